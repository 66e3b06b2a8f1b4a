package assembly

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"maps"
	"slices"
	"strconv"
	"strings"

	"gopkg.in/yaml.v3"

	"seepwright/rules"
	"seepwright/rules/answer"
	"seepwright/rules/source"
)

// Limits against hostile files.
const (
	mostBytes  = 1 << 20
	mostJoints = 200
	mostDepth  = 12
)

// reader collects all that is wrong.
type reader struct {
	file string
	bad  source.Findings
}

func (r *reader) fail(n *yaml.Node, code, hint, format string, args ...any) {
	at := source.Place{File: r.file, Line: 1, Col: 1}
	if n != nil {
		at.Line, at.Col = n.Line, n.Column
	}
	r.bad = append(r.bad, source.Finding{Place: at, Code: code, What: fmt.Sprintf(format, args...), Hint: hint})
}

// Read reads an assembly file. All that is wrong is reported together; kinds lists the joint
// kinds that are known (a joint of another kind must say `kind: unknown`, or name itself).
func Read(in io.Reader, name string, kinds []string) (*Assembly, source.Findings) {
	r := &reader{file: name}
	data, err := io.ReadAll(io.LimitReader(in, mostBytes+1))
	switch {
	case err != nil:
		r.fail(nil, "unreadable-file", "check that it is there and that you may read it", "%v", err)
		return nil, r.bad
	case len(data) > mostBytes:
		r.fail(nil, "file-too-large", "an assembly has at most a few hundred lines", "the file is larger than 1 MB")
		return nil, r.bad
	}
	root := r.parse(data)
	if root == nil {
		return nil, r.bad.Sort()
	}
	a := r.assembly(root, kinds)
	return a, r.bad.Sort()
}

func (r *reader) parse(data []byte) (root *yaml.Node) {
	defer func() {
		if p := recover(); p != nil {
			r.fail(nil, "yaml-syntax", "look at indents and quotes", "this is not YAML")
			root = nil
		}
	}()
	var doc yaml.Node
	err := yaml.NewDecoder(bytes.NewReader(data)).Decode(&doc)
	switch {
	case errors.Is(err, io.EOF) || err == nil && len(doc.Content) == 0:
		r.fail(nil, "empty-file", `begin with "assembly: NAME"`, "the file is empty")
		return nil
	case err != nil:
		r.bad = append(r.bad, answer.SyntaxFault(r.file, data, err)...)
		return nil
	}
	if !r.shallow(doc.Content[0], 0) {
		return nil
	}
	return doc.Content[0]
}

func (r *reader) shallow(n *yaml.Node, depth int) bool {
	if depth > mostDepth {
		r.fail(n, "too-deep", "an assembly needs four levels", "lists and names are nested more than %d deep", mostDepth)
		return false
	}
	if n.Kind == yaml.AliasNode || n.Anchor != "" {
		r.fail(n, "alias", "write it out", "anchors and aliases (& and *) are not used here")
		return false
	}
	for _, c := range n.Content {
		if !r.shallow(c, depth+1) {
			return false
		}
	}
	return true
}

// fields walks a mapping; unknown names are reported with the nearest right ones.
func (r *reader) fields(n *yaml.Node, what string, do names) {
	if n.Kind != yaml.MappingNode {
		r.fail(n, "wrong-type", "write names with a colon", "%s is a list of names with values", what)
		return
	}
	known := slices.Sorted(maps.Keys(do))
	seen := map[string]bool{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		k, v := n.Content[i], n.Content[i+1]
		f, ok := do[k.Value]
		switch {
		case !ok:
			r.fail(k, "unknown-field", orElse(source.DidYouMean(k.Value, known), "it has "+strings.Join(known, ", ")), "%s has no %q", what, k.Value)
		case seen[k.Value]:
			r.fail(k, "duplicate-field", "take one of them out", "%q stands twice", k.Value)
		default:
			seen[k.Value] = true
			f(v)
		}
	}
}

// empty is a name with nothing behind its colon: a line of a form that was not filled in.
func empty(n *yaml.Node) bool { return n.Kind == yaml.ScalarNode && n.Tag == "!!null" }

func (r *reader) text(into *string) func(*yaml.Node) {
	return func(n *yaml.Node) {
		if n.Kind != yaml.ScalarNode {
			r.fail(n, "wrong-type", "write it on one line", "a word or a sentence is wanted here")
			return
		}
		if empty(n) {
			return
		}
		*into = strings.TrimSpace(n.Value)
	}
}

func (r *reader) minutes(into *float64) func(*yaml.Node) {
	return func(n *yaml.Node) {
		x, err := strconv.ParseFloat(strings.TrimSpace(strings.TrimSuffix(n.Value, "min")), 64)
		if n.Kind != yaml.ScalarNode || err != nil || x < 0 || x > 1e5 || x != x {
			r.fail(n, "bad-minutes", "write minutes as a plain number, such as 20", "%q is not a number of minutes", n.Value)
			return
		}
		*into = x
	}
}

func (r *reader) words(into *[]string) func(*yaml.Node) {
	return func(n *yaml.Node) {
		if empty(n) {
			return
		}
		if n.Kind == yaml.ScalarNode && n.Value != "" {
			*into = []string{n.Value}
			return
		}
		if n.Kind != yaml.SequenceNode {
			r.fail(n, "wrong-type", "write [a, b]", "a list is wanted here")
			return
		}
		for _, c := range n.Content {
			var s string
			r.text(&s)(c)
			if s != "" {
				*into = append(*into, s)
			}
		}
	}
}

func (r *reader) answers(into *map[string]rules.AnswerText) func(*yaml.Node) {
	return func(n *yaml.Node) {
		if empty(n) {
			return
		}
		if n.Kind != yaml.MappingNode {
			r.fail(n, "wrong-type", "write FACT: ANSWER, one a line", "names with answers are wanted here")
			return
		}
		*into = map[string]rules.AnswerText{}
		for i := 0; i+1 < len(n.Content); i += 2 {
			a, bad := answer.FromNode(n.Content[i+1], r.file)
			r.bad = append(r.bad, bad...)
			(*into)[n.Content[i].Value] = a
		}
	}
}

func (r *reader) each(what string, do func(*yaml.Node)) func(*yaml.Node) {
	return func(n *yaml.Node) {
		if empty(n) {
			return
		}
		if n.Kind != yaml.SequenceNode {
			r.fail(n, "wrong-type", "begin each entry with a dash", "%s is a list", what)
			return
		}
		for i, c := range n.Content {
			if i >= mostJoints {
				r.fail(c, "too-many", "split the unit", "more than %d entries under %s", mostJoints, what)
				return
			}
			do(c)
		}
	}
}

func (r *reader) place(n *yaml.Node) source.Place {
	return source.Place{File: r.file, Line: n.Line, Col: n.Column}
}

// names are the fields of a mapping with what reads each.
type names map[string]func(*yaml.Node)

func (r *reader) unitNames(a *Assembly) names {
	return names{
		"assembly": r.text(&a.Title), "known": r.answers(&a.Answers), "tools": r.words(&a.Tools), "in hand": r.words(&a.Ready),
		"joints": r.each("joints", func(n *yaml.Node) {
			j := Joint{Place: r.place(n)}
			r.fields(n, "a joint", r.jointNames(&j))
			a.Joints = append(a.Joints, j)
		}),
		"access": r.each("access", func(n *yaml.Node) {
			s := Access{Place: r.place(n)}
			r.fields(n, "an access step", r.accessNames(&s))
			a.Access = append(a.Access, s)
		}),
	}
}

func (r *reader) jointNames(j *Joint) names {
	return names{
		"id": r.text(&j.ID), "kind": r.text(&j.Kind), "title": r.text(&j.Title), "like": r.text(&j.Like), "circuit": r.text(&j.Circuit),
		"above": r.words(&j.Above), "blown from": r.words(&j.BlownFrom), "last work": r.text(&j.LastWork), "leaked before": r.text(&j.Leaked), "known": r.answers(&j.Answers),
	}
}

func (r *reader) accessNames(s *Access) names {
	return names{"id": r.text(&s.ID), "title": r.text(&s.Title), "off": r.minutes(&s.Off), "back": r.minutes(&s.Back), "needs": r.words(&s.Needs), "uncovers": r.words(&s.Uncovers)}
}

// Fields lists the names that an assembly, a joint of it and a step of access can have, sorted.
func Fields() (unit, joint, access []string) {
	r := &reader{}
	list := func(n names) []string { return slices.Sorted(maps.Keys(n)) }
	return list(r.unitNames(&Assembly{})), list(r.jointNames(&Joint{})), list(r.accessNames(&Access{}))
}

// What the last work on a joint can have been, and whether it leaked before.
var (
	lastWorks = []string{"remade", "disturbed", "untouched"}
	leaked    = []string{"yes", "no"}
)

// Choices lists what a field of a joint can say, where that is limited.
func Choices(field string) []string {
	return slices.Clone(map[string][]string{"last work": lastWorks, "leaked before": leaked}[field])
}

func (r *reader) assembly(root *yaml.Node, kinds []string) *Assembly {
	a := &Assembly{Place: r.place(root)}
	r.fields(root, "an assembly", r.unitNames(a))
	r.check(a, root, kinds)
	return a
}

// check looks at what the parts say of each other.
func (r *reader) check(a *Assembly, root *yaml.Node, kinds []string) {
	at := func(p source.Place) *yaml.Node { return &yaml.Node{Line: p.Line, Column: p.Col} }
	if len(a.Joints) == 0 {
		r.fail(root, "no-joints", "add joints: with an id and a kind each", "this assembly has no joints")
	}
	ids := map[string]bool{}
	for _, j := range a.Joints {
		switch {
		case j.ID == "":
			r.fail(at(j.Place), "missing-field", "add id: NAME", "this joint has no id")
		case ids[j.ID]:
			r.fail(at(j.Place), "duplicate-id", "give one of them another id", "two joints are called %q", j.ID)
		}
		ids[j.ID] = true
		if j.Kind == "" {
			r.fail(at(j.Place), "missing-field", "add kind: one of "+strings.Join(kinds, ", ")+", or unknown", "joint %q has no kind", j.ID)
		} else if j.Kind != "unknown" && !has(kinds, j.Kind) {
			r.fail(at(j.Place), "unknown-kind", orElse(source.DidYouMean(j.Kind, kinds), "write unknown where the kind is not among "+strings.Join(kinds, ", ")), "no joint kind is called %q", j.Kind)
		}
		for _, w := range []struct {
			field, value string
			allowed      []string
		}{{"last work", j.LastWork, lastWorks}, {"leaked before", j.Leaked, leaked}} {
			if w.value != "" && !has(w.allowed, w.value) {
				r.fail(at(j.Place), "unknown-option", orElse(source.DidYouMean(w.value, w.allowed), "one of "+strings.Join(w.allowed, ", ")), "%s cannot be %q", w.field, w.value)
			}
		}
	}
	known := a.IDs()
	for _, j := range a.Joints {
		for _, o := range append(append([]string{}, j.Above...), j.BlownFrom...) {
			if !ids[o] || o == j.ID {
				r.fail(at(j.Place), "unknown-joint", source.DidYouMean(o, known), "joint %q names %q above it, which is not another joint of this assembly", j.ID, o)
			}
		}
	}
	if loop := cycle(a); loop != "" {
		r.fail(at(a.Place), "joint-loop", "leave one of the `above` out", "going up from joint %q one comes back to it", loop)
	}
	steps := map[string]bool{}
	for _, s := range a.Access {
		if s.ID == "" || steps[s.ID] {
			r.fail(at(s.Place), "duplicate-id", "give each access step an id of its own", "access step %q has no id of its own", s.ID)
		}
		steps[s.ID] = true
	}
	for _, s := range a.Access {
		for _, n := range s.Needs {
			if !steps[n] {
				r.fail(at(s.Place), "unknown-access", "", "access step %q needs %q, which is not there", s.ID, n)
			}
		}
		for _, u := range s.Uncovers {
			if !ids[u] {
				r.fail(at(s.Place), "unknown-joint", source.DidYouMean(u, known), "access step %q uncovers %q, which is no joint", s.ID, u)
			}
		}
	}
}

func has(list []string, s string) bool {
	for _, x := range list {
		if x == s {
			return true
		}
	}
	return false
}

func orElse(a, b string) string {
	if a != "" {
		return a
	}
	return b
}

// cycle finds a joint that lies above itself, by way of others; "" = none.
func cycle(a *Assembly) string {
	state := map[string]int{}
	var visit func(id string) string
	visit = func(id string) string {
		switch state[id] {
		case 1:
			return id
		case 2:
			return ""
		}
		state[id] = 1
		j, _ := a.Joint(id)
		for _, o := range append(append([]string{}, j.Above...), j.BlownFrom...) {
			if l := visit(o); l != "" {
				return l
			}
		}
		state[id] = 2
		return ""
	}
	for _, j := range a.Joints {
		if l := visit(j.ID); l != "" {
			return l
		}
	}
	return ""
}
