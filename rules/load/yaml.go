package load

import (
	"io"
	"regexp"
	"strconv"
	"strings"
	"sync"

	"gopkg.in/yaml.v3"

	"seepwright/rules/source"
)

// form is the shape of a piece of YAML.
type form int8

const (
	emptyForm form = iota // nothing, ~ or null
	textForm
	listForm
	mapForm
	brokenForm // reported already; whoever meets it says no more
)

func (f form) String() string {
	return [...]string{"nothing", "a text", "a list", "names with values", "nothing readable"}[f]
}

// node is a piece of YAML with its place. It is ours, so that this file alone knows the library.
type node struct {
	form   form
	text   string
	quoted bool // in quotes: the text starts one column later
	block  bool // a | or > block: the text starts on the next line
	at     source.Place
	keys   []*node
	vals   []*node // of a mapping beside its keys, or the items of a list
}

// chunk is the text of one document and the number of lines before it.
type chunk struct {
	text   string
	before int
}

// chunks cuts a file at its document markers, so that a slip in one document does not hide the others.
func chunks(text string) []chunk {
	if !strings.HasPrefix(text, "---") && !strings.Contains(text, "\n---") {
		return []chunk{{text, 0}}
	}
	var out []chunk
	var cur strings.Builder
	start := 0
	for i, line := range strings.SplitAfter(text, "\n") {
		if marker(line) {
			out = append(out, chunk{cur.String(), start})
			cur.Reset()
			start = i
			line = "   " + line[3:]
		}
		cur.WriteString(line)
	}
	return append(out, chunk{cur.String(), start})
}

// parse turns one document into nodes. A nil node without findings is an empty document.
func (r *reader) parse(c chunk) *node {
	if strings.TrimSpace(c.text) == "" {
		return nil
	}
	var doc, more yaml.Node
	dec := yaml.NewDecoder(strings.NewReader(c.text))
	err := dec.Decode(&doc)
	switch {
	case err == io.EOF:
		return nil
	case err != nil:
		r.syntax(c, err)
		return nil
	}
	if err := dec.Decode(&more); err != io.EOF {
		if err != nil {
			r.syntax(c, err)
		} else {
			r.fail(r.place(c, more.Line, 1), "yaml-syntax", "a second document starts here without a line ---", "put --- on a line of its own before it")
		}
		return nil
	}
	w := walker{r: r, c: c, lines: strings.Split(c.text, "\n")}
	if len(doc.Content) == 0 {
		return nil
	}
	n := w.walk(doc.Content[0], 0)
	if w.stop || n.form == emptyForm {
		return nil
	}
	return n
}

func (r *reader) place(c chunk, line, col int) source.Place {
	return source.Place{File: r.file, Line: c.before + max(line, 1), Col: max(col, 1)}
}

// walker copies the library's tree and looks for what YAML swallows without a word.
type walker struct {
	r     *reader
	c     chunk
	lines []string
	stop  bool // the document is not to be read further
}

func (w *walker) walk(y *yaml.Node, depth int) *node {
	n := &node{at: w.r.place(w.c, y.Line, y.Column)}
	if w.stop {
		return n
	}
	if depth > MaxDepth {
		w.stop = true
		w.r.fail(n.at, "too-deep", "lists and names are nested more than "+strconv.Itoa(MaxDepth)+" deep", "no document of a knowledge base needs more than six levels; check the indentation")
		return n
	}
	if y.Kind == yaml.AliasNode || y.Anchor != "" {
		mark := "*" + y.Value
		if y.Anchor != "" {
			mark = "&" + y.Anchor
		}
		w.r.fail(n.at, "anchor", "anchors and aliases ("+mark+") are not read here", "write the value out, or put a text that starts with & or * in quotes")
		if y.Kind == yaml.AliasNode {
			n.form = brokenForm
			return n
		}
	}
	w.slips(y, n.at)
	switch y.Kind {
	case yaml.MappingNode:
		n.form = mapForm
		for i := 0; i+1 < len(y.Content); i += 2 {
			n.keys = append(n.keys, w.walk(y.Content[i], depth+1))
			n.vals = append(n.vals, w.walk(y.Content[i+1], depth+1))
		}
	case yaml.SequenceNode:
		n.form = listForm
		for _, c := range y.Content {
			n.vals = append(n.vals, w.walk(c, depth+1))
		}
	default:
		n.text = y.Value
		n.quoted = y.Style&(yaml.DoubleQuotedStyle|yaml.SingleQuotedStyle) != 0
		n.block = y.Style&(yaml.LiteralStyle|yaml.FoldedStyle) != 0
		n.form = textForm
		switch {
		case y.Style&yaml.TaggedStyle != 0:
			n.form = brokenForm
		case y.Tag == "!!null":
			n.form = emptyForm
		}
	}
	return n
}

// slips reports what YAML takes without complaint and means otherwise.
func (w *walker) slips(y *yaml.Node, at source.Place) {
	if y.Style&yaml.TaggedStyle != 0 {
		w.r.fail(at, "tag", "a ! at the start makes YAML swallow the word "+strconv.Quote(y.Tag), "put the text in quotes")
	}
	if c := y.LineComment; len(c) > 1 && c[0] == '#' && c[1] != ' ' && c[1] != '#' && c[1] != '\t' {
		p := at
		if line := w.line(y.Line); strings.Contains(line, c) {
			p.Col = len([]rune(line[:strings.Index(line, c)])) + 1
		}
		w.r.fail(p, "cut-text", "YAML cuts the text off here: after a space, # starts a remark", "put the text in quotes, or write \"# \" if it is a remark")
	}
	if y.Kind != yaml.ScalarNode || y.Style != 0 {
		return
	}
	if y.Tag == "!!null" || y.Value == "" {
		return
	}
	// A plain text that runs on over lines of which one starts with a dash was meant as a list.
	next := y.Line + 1
	if t := strings.TrimSpace(w.line(next)); strings.Contains(y.Value, " - ") && strings.HasPrefix(t, "- ") && strings.Contains(y.Value, t) {
		p := w.r.place(w.c, next, strings.Index(w.line(next), "-")+1)
		w.r.fail(p, "joined-line", "this line is read as the end of the line above, because its dash stands deeper", "put the dash under the dash above it")
	}
}

func (w *walker) line(n int) string {
	if n < 1 || n > len(w.lines) {
		return ""
	}
	return w.lines[n-1]
}

// syntax reports what the library says of a document, on the right line and in bench words.
func (r *reader) syntax(c chunk, err error) {
	lines := strings.SplitAfter(c.text, "\n")
	n := faultLine(lines, err)
	line := ""
	if n <= len(lines) {
		line = strings.TrimRight(lines[n-1], "\r\n")
	}
	body := strings.TrimLeft(line, " \t")
	col := len(line) - len(body) + 1
	what, hint := benchWords(err.Error(), line)
	switch {
	case what == listWords || what == braceWords:
		n, col = opened(lines, n, col)
	case what == tabWords:
		col = len([]rune(line[:strings.IndexByte(line, '\t')])) + 1
	case what == colonWords:
		if first := strings.Index(line, ": "); first >= 0 {
			if second := strings.Index(line[first+2:], ": "); second >= 0 {
				col = len([]rune(line[:first+2+second])) + 1
			}
		}
	}
	r.fail(r.place(c, n, col), "yaml-syntax", what, hint)
}

const (
	tabWords   = "a tab in the indentation"
	listWords  = "a list that is not closed"
	braceWords = "braces that are not closed"
	colonWords = "a colon and a space inside text, or a line that stands too deep"
)

// opened is where a bracket was opened that is not closed before line n.
func opened(lines []string, n, col int) (line, at int) {
	for i := min(n, len(lines)); i > 0 && i > n-20; i-- {
		text := lines[i-1]
		open := strings.Count(text, "[") + strings.Count(text, "{")
		if open > strings.Count(text, "]")+strings.Count(text, "}") {
			return i, len([]rune(text[:strings.IndexAny(text, "[{")])) + 1
		}
	}
	return n, col
}

// benchWords turns the phrases of the library into what to do about them.
func benchWords(message, line string) (what, hint string) {
	body := strings.TrimSpace(line)
	indent := line[:len(line)-len(strings.TrimLeft(line, " \t"))]
	has := func(s string) bool { return strings.Contains(message, s) }
	switch {
	case strings.Contains(indent, "\t"):
		return tabWords, "use spaces only"
	case has("mapping values are not allowed"):
		return colonWords, "put the text in quotes; else put the name under the names above it"
	case has("did not find expected ',' or ']'"):
		return listWords, "close it with ]; put texts with commas, colons or brackets in quotes"
	case has("did not find expected ',' or '}'"):
		return braceWords, "close them with }; put texts with commas, colons or braces in quotes"
	case has("found unexpected end of stream"), has("found unexpected document indicator"):
		return "a quote or bracket is opened and never closed", "close it on the same line"
	case has("did not find expected '-' indicator"):
		return "a line inside a list that is no item of it", "start it with a dash under the dashes above, or indent it further"
	case has("did not find expected key"), has("could not find expected ':'"):
		return "a name with a colon was expected here", "check the indentation and the quotes of this line and the one above"
	case has("cannot start any token"), has("found character"):
		return "a text must not start with this character", "put the text in quotes"
	case has("did not find expected node content"), has("did not find expected alphabetic"):
		return "a text must not start with this character", "put the text in quotes"
	case has("unknown escape character"):
		return `a backslash in double quotes means something else to YAML`, `use single quotes, or write \\`
	case has("block sequence entries are not allowed"):
		return "a list starts on the line of its name", "start the list on the next line, with a dash for each item"
	case has("exceeded"):
		return "nested far too deep", "check for brackets that are never closed"
	case strings.HasPrefix(body, "%"):
		return "a text must not start with %", "put the text in quotes"
	}
	return "this is not YAML", "check the indentation, the colons and the quotes near this line"
}

// faultLine is the line after the longest leading part that still parses. The library gives
// no column for syntax errors and often no line or a wrong one. The work is bounded: a long
// hostile file gets the library's line.
func faultLine(lines []string, err error) int {
	budget := 3 << 20
	for n := len(lines) - 1; n > 0; n-- {
		text := strings.Join(lines[:n], "")
		if budget -= len(text) + 64; budget < 0 {
			return libraryLine(err, len(lines))
		}
		var doc yaml.Node
		if yaml.Unmarshal([]byte(text), &doc) == nil {
			return min(n+1, len(lines))
		}
	}
	return 1
}

var lineIn = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`line (\d+)`) })

func libraryLine(err error, most int) int {
	if m := lineIn().FindStringSubmatch(err.Error()); m != nil {
		if n, e := strconv.Atoi(m[1]); e == nil {
			return min(max(n, 1), most)
		}
	}
	return 1
}
