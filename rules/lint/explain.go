package lint

import (
	"embed"
	"io/fs"
	"strings"
)

// Page is what an author can read about one kind of finding.
type Page struct {
	Code
	Mend  string // what to do about it
	Wrong string // an example that gives the finding; "" where none can be written down
	Right string // the same, mended
	Lines string // both at once: lines with - only stand in the wrong form, lines with + only in the mended one
}

// One file a code: how to mend it, and below an empty line an example. Of the example the
// lines that begin with - are only in the wrong form, those with + only in the mended one.
//
//go:embed pages/*.txt
var pages embed.FS

// PageOf finds the page of a kind of finding.
func PageOf(name string) (Page, bool) {
	code, ok := Explain(name)
	if !ok {
		return Page{}, false
	}
	text, err := fs.ReadFile(pages, "pages/"+name+".txt")
	if err != nil {
		return Page{}, false
	}
	mend, example, _ := strings.Cut(string(text), "\n\n")
	p := Page{Code: code, Mend: strings.Join(strings.Fields(mend), " ")}
	p.Wrong, p.Right = forms(example)
	p.Lines = example
	return p, true
}

// forms takes the wrong and the mended form of an example apart.
func forms(example string) (wrong, right string) {
	var w, r strings.Builder
	for line := range strings.Lines(example) {
		body := ""
		if len(line) > 2 {
			body = line[2:]
		}
		switch line[0] {
		case '-':
			w.WriteString(body)
		case '+':
			r.WriteString(body)
		default:
			w.WriteString(body)
			r.WriteString(body)
		}
	}
	return w.String(), r.String()
}
