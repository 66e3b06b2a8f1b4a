package handbook

import (
	"fmt"
	"regexp"
	"strings"
)

// escaper takes the meaning from what Markdown or HTML would read in a text of a file.
var escaper = strings.NewReplacer(`\`, `\\`, "*", `\*`, "_", `\_`, "`", "\\`", "&", "&amp;", "<", "&lt;", ">", "&gt;", "[", `\[`, "]", `\]`, "|", `\|`, "#", `\#`, "~", `\~`, "!", `\!`, "://", `:&#47;/`)

// leader is the start of a line that Markdown would take for a list or a rule.
var leader = regexp.MustCompile(`^([0-9]+)([.)])(\s|$)|^([-+=])`)

// esc makes a text of a file safe: one line, without any meaning in Markdown.
func esc(text string) string {
	s := escaper.Replace(strings.Join(strings.Fields(text), " "))
	return leader.ReplaceAllString(s, `$1\$2$3$4`)
}

// Escape is esc for other writers of Markdown.
func Escape(text string) string { return esc(text) }

// page is a page while it is written.
type page struct{ strings.Builder }

func (p *page) line(format string, args ...any) { fmt.Fprintf(p, format+"\n", args...) }

func (p *page) head(level int, anchor, text string) {
	if !strings.HasSuffix(p.String(), "\n\n") {
		p.line("")
	}
	if anchor != "" {
		p.line("<a id=%q></a>", anchor)
		p.line("")
	}
	p.line("%s %s", strings.Repeat("#", level), esc(text))
	p.line("")
}

func (p *page) para(text string) {
	if text != "" {
		p.line("%s", esc(text))
		p.line("")
	}
}

// item writes "- **name:** text", where the text is safe already; nothing when it is empty.
func (p *page) item(name, safe string) {
	if safe != "" {
		p.line("- **%s:** %s", name, safe)
	}
}

// list escapes texts and joins them.
func list(texts []string) string {
	safe := make([]string, len(texts))
	for i, t := range texts {
		safe[i] = esc(t)
	}
	return strings.Join(safe, ", ")
}
