package answer

import (
	"bytes"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"seepwright/rules"
	"seepwright/rules/source"
)

// Schema is the newest form of answers files that is understood.
const Schema = 1

// Limits against broken or hostile files.
const (
	MaxFile  = 1 << 20 // bytes
	MaxDepth = 20      // nesting
)

// File is an answers file as written: nothing in it has been read against a fact yet.
type File struct {
	Name     string
	Answers  map[string]rules.AnswerText            // fact id -> answer
	Joints   map[string]map[string]rules.AnswerText // joint id -> fact id -> answer
	History  Word                                   // one of rules.Histories, when given
	Joint    Word                                   // the kind of joint, for a job on one joint
	Tried    []Tried                                // work done since, in its order
	Assembly AssemblyRef
}

// Word is one text with its place.
type Word struct {
	Text  string
	Place source.Place
}

// Tried is work that was done before one retest, and how the retest came out.
type Tried struct {
	Joint Word   // id of the joint that was worked on; none = the only one, or all
	Did   []Word // ids of remedies
	Wet   bool
	Place source.Place
}

// AssemblyRef is where the assembly is described: in a file of that name, or inline. Inline is
// YAML with as many blank lines and columns before it as stood in the answers file, so that
// places found in it are right.
type AssemblyRef struct {
	File   string
	Inline []byte
	Place  source.Place
}

// ReadFile reads an answers file and reports all that is wrong with its form. The file is
// returned as far as it could be read, and is nil when it is no YAML at all.
func ReadFile(r io.Reader, name string) (*File, source.Findings) {
	data, err := io.ReadAll(io.LimitReader(r, MaxFile+1))
	at := source.Place{File: name, Line: 1, Col: 1}
	switch {
	case err != nil:
		return nil, source.Findings{{Place: source.Place{File: name}, Code: "unreadable", What: "the file cannot be read: " + err.Error()}}
	case len(data) > MaxFile:
		return nil, source.Findings{{Place: at, Code: "too-large", What: fmt.Sprintf("the file is larger than %d kB", MaxFile>>10), Hint: "an answers file has a few kB; is it the right one?"}}
	case !utf8.Valid(data):
		return nil, source.Findings{{Place: at, Code: "not-text", What: "this is not a text in UTF-8", Hint: "save the file as UTF-8"}}
	}
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	p := &reader{file: name, lines: strings.Split(string(data), "\n")}
	root := p.parse(data)
	if root == nil {
		return nil, p.findings.Sort()
	}
	f := p.read(root)
	return f, p.findings.Sort()
}

// reader collects the findings of one file.
type reader struct {
	file     string
	lines    []string
	findings source.Findings
}

func (p *reader) fail(at source.Place, code, hint, format string, args ...any) {
	p.findings = append(p.findings, source.Finding{Place: at, Code: code, What: fmt.Sprintf(format, args...), Hint: hint})
}

var fileKeys = []string{"answers", "assembly", "history", "joint", "joints", "tried", "schema", "version"}

// Keys lists what an answers file can have at its top.
func Keys() []string { return slices.Clone(fileKeys) }

func (p *reader) read(root *piece) *File {
	f := &File{Name: p.file, Answers: map[string]rules.AnswerText{}, Joints: map[string]map[string]rules.AnswerText{}}
	if root.form != mapping {
		p.fail(root.at, "wrong-form", `begin with "answers:" and put the answers under it`, "an answers file consists of names with values, but this is %s", root.form)
		return f
	}
	for i, k := range root.keys {
		v := root.items[i]
		switch k.text {
		case "answers":
			f.Answers = p.answers(v, "fact: answer")
		case "joints":
			p.joints(f, v)
		case "history":
			f.History = p.word(v, "a history")
			p.history(f.History)
		case "joint":
			f.Joint = p.kinds(v)
		case "assembly":
			f.Assembly = p.assembly(root, i)
		case "tried":
			p.tried(f, v)
		case "schema", "version":
			p.schema(v)
		default:
			hint := source.DidYouMean(k.text, fileKeys)
			if hint == "" {
				hint = "an answers file has " + strings.Join(fileKeys[:6], ", ")
			}
			p.fail(k.at, "unknown-key", hint, "an answers file has no %q", k.text)
		}
	}
	return f
}

func (p *reader) schema(v *piece) {
	n, err := strconv.Atoi(v.text)
	switch {
	case v.form != scalar || err != nil || n < 1:
		p.fail(v.at, "bad-schema", fmt.Sprintf("write schema: %d, or leave it out", Schema), "the schema is a whole number")
	case n > Schema:
		p.fail(v.at, "newer-schema", "use a newer seepwright, or save the file in the older form", "the file is in form %d, and this seepwright reads up to %d", n, Schema)
	}
}

func (p *reader) word(v *piece, wanted string) Word {
	if v.form != scalar || strings.TrimSpace(v.text) == "" {
		p.fail(v.at, "wrong-form", "write one word", "%s is wanted here, but this is %s", wanted, v.form)
		return Word{Place: v.at}
	}
	return Word{strings.TrimSpace(v.text), v.at}
}

// kinds reads the kind of joint; of several that are in play the names come with commas between.
func (p *reader) kinds(v *piece) Word {
	if v.form != list {
		return p.word(v, "a joint kind")
	}
	var all []string
	for _, item := range v.items {
		if w := p.word(item, "a joint kind"); w.Text != "" {
			all = append(all, w.Text)
		}
	}
	if len(all) == 0 {
		p.fail(v.at, "wrong-form", "write one word", "a joint kind is wanted here, but the list has none")
	}
	return Word{strings.Join(all, ", "), v.at}
}

func (p *reader) history(w Word) {
	var names []string
	for _, h := range rules.Histories() {
		names = append(names, string(h))
	}
	if w.Text == "" || slices.Contains(names, w.Text) {
		return
	}
	hint := source.DidYouMean(w.Text, names)
	if hint == "" {
		hint = "it is one of " + strings.Join(names, ", ")
	}
	p.fail(w.Place, "unknown-history", hint, "no history is called %q", w.Text)
}

func (p *reader) joints(f *File, v *piece) {
	if v.form != mapping {
		p.fail(v.at, "wrong-form", "write the id of each joint, and its answers under it", "joints consist of names with answers, but this is %s", v.form)
		return
	}
	for i, k := range v.keys {
		f.Joints[k.text] = p.answers(v.items[i], "fact: answer under "+k.text)
	}
}

// answers reads fact: answer. Nothing at all is no answers.
func (p *reader) answers(v *piece, wanted string) map[string]rules.AnswerText {
	out := map[string]rules.AnswerText{}
	switch v.form {
	case nothing:
	case mapping:
		for i, k := range v.keys {
			if a, ok := p.answer(v.items[i]); ok {
				out[k.text] = a
			}
		}
	default:
		p.fail(v.at, "wrong-form", "write "+wanted+", each on its own line", "answers are wanted here, but this is %s", v.form)
	}
	return out
}

// answer reads one answer in any of its forms.
func (p *reader) answer(v *piece) (rules.AnswerText, bool) {
	a := rules.AnswerText{Place: v.at}
	switch v.form {
	case nothing:
		p.fail(v.at, EmptyAnswer, "answer it, write cant-tell, or leave the line out", "nothing is answered here")
		return a, false
	case scalar:
		a.Scalar = v.text
		return a, true
	case list:
		return a, p.rows(v, &a)
	}
	for i, k := range v.keys {
		item := v.items[i]
		ok := true
		switch k.text {
		case "is":
			a.Is, ok = p.texts(item)
		case "not":
			a.Not, ok = p.texts(item)
		case "readings":
			ok = item.form == list && p.rows(item, &a)
			if item.form != list {
				p.fail(item.at, "wrong-form", "write [12.03 mm, 12.01 mm]", "readings are a list")
			}
		case "unit":
			a.Unit = item.text
			if ok = item.form == scalar; !ok {
				p.fail(item.at, "wrong-form", "write unit: mm", "a unit is one word")
			}
		case "value":
			a.Scalar = item.text
			if ok = item.form == scalar; !ok {
				p.fail(item.at, "wrong-form", "write value: 12.03 mm", "a value is one quantity")
			}
		default:
			ok = false
			p.fail(k.at, "unknown-key", `write a plain answer, a list, {is: [...], not: [...]} or {unit: mm, readings: [...]}`, "an answer has no %q", k.text)
		}
		if !ok {
			return a, false
		}
	}
	if len(v.keys) == 0 {
		p.fail(v.at, EmptyAnswer, "answer it, write cant-tell, or leave the line out", "nothing is answered here")
		return a, false
	}
	return a, true
}

// rows reads a list: texts, or readings with the place where each was taken.
func (p *reader) rows(v *piece, a *rules.AnswerText) bool {
	a.List = []string{}
	placed := false
	for _, item := range v.items {
		at, text := "", item.text
		if item.form == mapping {
			text = ""
			for i, k := range item.keys {
				switch x := item.items[i]; {
				case x.form != scalar:
				case k.text == "at":
					at, placed = x.text, true
				case k.text == "value":
					text = x.text
				default:
					p.fail(k.at, "unknown-key", `write {at: "3:00", value: 12.03 mm}`, "a reading has no %q", k.text)
					return false
				}
			}
		}
		if strings.TrimSpace(text) == "" || item.form == list || item.form == nothing {
			p.fail(item.at, "wrong-form", `write a text, or {at: "3:00", value: 12.03 mm}`, "this item of the list is %s", item.form)
			return false
		}
		a.List, a.At = append(a.List, text), append(a.At, at)
	}
	if !placed {
		a.At = nil
	}
	return true
}

// texts reads a list of texts, or one text.
func (p *reader) texts(v *piece) ([]string, bool) {
	out := []string{}
	switch v.form {
	case nothing:
		return out, true
	case scalar:
		return []string{v.text}, true
	case list:
		for _, item := range v.items {
			if item.form != scalar {
				p.fail(item.at, "wrong-form", "write one option", "this item of the list is %s", item.form)
				return nil, false
			}
			out = append(out, item.text)
		}
		return out, true
	}
	p.fail(v.at, "wrong-form", "write [one, two]", "a list is wanted here, but this is %s", v.form)
	return nil, false
}

// assembly reads a file name, or keeps the text of an inline description with its place.
func (p *reader) assembly(root *piece, i int) AssemblyRef {
	v := root.items[i]
	switch v.form {
	case scalar:
		return AssemblyRef{File: p.word(v, "a file name").Text, Place: v.at}
	case mapping:
		last := len(p.lines)
		if i+1 < len(root.keys) {
			last = root.keys[i+1].at.Line - 1
		}
		return AssemblyRef{Inline: p.cutOut(v.at, last), Place: v.at}
	}
	p.fail(v.at, "wrong-form", "write the name of the assembly file", "an assembly is a file name or a description, but this is %s", v.form)
	return AssemblyRef{}
}

// cutOut is the text from a place to the end of a line, with everything before it blanked.
func (p *reader) cutOut(at source.Place, last int) []byte {
	var b strings.Builder
	b.WriteString(strings.Repeat("\n", at.Line-1))
	for n := at.Line; n <= last && n <= len(p.lines); n++ {
		line := []rune(p.lines[n-1])
		if n == at.Line {
			for i := 0; i < at.Col-1 && i < len(line); i++ {
				line[i] = ' '
			}
		}
		b.WriteString(string(line) + "\n")
	}
	return []byte(b.String())
}
