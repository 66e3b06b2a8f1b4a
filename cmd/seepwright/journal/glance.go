package journal

import (
	"bytes"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"seepwright/rules"
)

// A glance reads a record in the very form in which seepwright writes it: one key a line, its
// value behind it. It is some twenty times as fast as a reader of all YAML, so that ten thousand
// cases need no index. Whatever has another form it refuses, and the general reader takes the
// file; it never reads anything otherwise than that one would. Faults in parts that it passes
// over are left to who opens the case.

// glancer goes through the lines of a record.
type glancer struct {
	rest []byte
	line []byte // the line that was read last, without its end
	end  bool   // there are no more lines
}

func (g *glancer) next() {
	if len(g.rest) == 0 {
		g.line, g.end = nil, true
		return
	}
	i := bytes.IndexByte(g.rest, '\n')
	if i < 0 {
		g.line, g.rest = g.rest, nil
		return
	}
	g.line, g.rest = g.rest[:i], g.rest[i+1:]
}

// pair divides "key: value" behind the indent. A dash may stand for the last two blanks.
func pair(line []byte, indent int) (key, value []byte, dash, ok bool) {
	if len(line) <= indent || line[indent] == ' ' {
		return nil, nil, false, false
	}
	for i := range indent {
		switch {
		case line[i] == ' ':
		case line[i] == '-' && i == indent-2:
			dash = true
		default:
			return nil, nil, false, false
		}
	}
	i := bytes.IndexByte(line[indent:], ':')
	if i < 1 {
		return nil, nil, false, false
	}
	key, value = line[indent:indent+i], line[indent+i+1:]
	if len(value) > 0 {
		if len(value) < 2 || value[0] != ' ' || value[1] == ' ' {
			return nil, nil, false, false
		}
		value = value[1:]
	}
	return key, value, dash, true
}

// glanceHead reads the sections that begin a record. The section behind them must have begun in
// data, else there may be more of them to come.
func glanceHead(data []byte) (h Head, proven []Proven, ok bool) {
	g := &glancer{rest: data}
	if g.next(); string(g.line) != "case:" {
		return h, nil, false
	}
	seen := 0
	for g.next(); ; g.next() {
		key, v, dash, ok := pair(g.line, 2)
		if !ok || dash {
			break
		}
		s, ok := scalar(v)
		if !ok {
			return h, nil, false
		}
		bit := 0
		switch string(key) {
		case "id":
			bit, h.ID = 1, s
		case "title":
			bit, h.Title = 2, s
		case "unit":
			bit, h.Unit = 4, s
		case "by":
			bit, h.By = 8, s
		case "opened":
			bit = 16
			h.Opened, ok = glanceTime(s)
		case "closed":
			bit = 32
			h.Closed, ok = glanceTime(s)
		case "end":
			bit, h.End = 64, s
		case "record":
			n, err := strconv.Atoi(s)
			bit, h.Form, ok = 128, n, err == nil
		}
		if !ok || bit == 0 || seen&bit != 0 {
			return h, nil, false
		}
		seen |= bit
	}
	if h.ID == "" || h.Form > Form || h.Closed.IsZero() != (h.End == "") || h.End != "" && !slices.Contains(Ends, h.End) {
		return h, nil, false
	}
	if string(g.line) == "proven:" {
		for g.next(); ; g.next() {
			key, v, dash, ok := pair(g.line, 4)
			if !ok {
				break
			}
			if dash {
				proven = append(proven, Proven{})
				seen = 0
			}
			s, ok := scalar(v)
			if !ok || len(proven) == 0 {
				return h, nil, false
			}
			p, bit := &proven[len(proven)-1], 0
			switch string(key) {
			case "joint":
				bit, p.Joint = 1, s
			case "kind":
				bit, p.Kind = 2, s
			case "cause":
				bit, p.Cause = 4, s
			case "said":
				bit, p.Said = 8, s
			case "done":
				bit, p.Done = 16, s
			}
			if bit == 0 || seen&bit != 0 {
				return h, nil, false
			}
			seen |= bit
		}
		if len(proven) == 0 {
			return h, nil, false
		}
	}
	// Only a section of another name ends these for good.
	key, _, _, ok := pair(g.line, 0)
	return h, proven, ok && word0(key) && string(key) != "case" && string(key) != "proven"
}

func word0(key []byte) bool { return key[0] >= 'a' && key[0] <= 'z' }

func glanceTime(s string) (time.Time, bool) {
	t, err := moment(s)
	return t, err == nil
}

// workKinds are the entries of the log that tell what was done and how it came out.
var workKinds = []What{Did, Opened, Retest, Closed, Reopened}

// work keeps of a log what tells what was done and how it came out, and the answers to the
// facts that are wanted.
func work(log []Entry, want []string) []Entry {
	var out []Entry
	for _, e := range log {
		switch {
		case slices.Contains(workKinds, e.What):
		case e.What == Answered && e.Value.Scalar != "" && slices.Contains(want, e.Name):
		default:
			continue
		}
		kept := Entry{At: e.At, What: e.What, Joint: e.Joint, Did: e.Did, Minutes: e.Minutes, Tissue: e.Tissue}
		if e.What != Reopened {
			kept.Name = e.Name
		}
		kept.Value.Scalar = e.Value.Scalar
		out = append(out, kept)
	}
	return out
}

// glanceLog reads what work keeps of the log of a record.
func glanceLog(data []byte, want []string) (out []Entry, ok bool) {
	at := bytes.Index(data, []byte("\nlog:"))
	if at < 0 {
		return nil, true
	}
	g := &glancer{rest: data[at+1:]}
	if g.next(); string(g.line) != "log:" {
		return nil, false
	}
	g.next()
	for !g.end {
		e, keep, ok := g.entry(want)
		if !ok {
			return nil, false
		}
		if keep {
			out = append(out, e)
		}
	}
	return out, true
}

// entry reads one entry; the line that was read last is its first, and then the first of the
// next one.
func (g *glancer) entry(want []string) (e Entry, keep, ok bool) {
	first := true
	seen := 0
	for {
		key, v, dash, ok := pair(g.line, 4)
		if !ok || dash != first {
			if first || !ok && !g.end {
				return e, false, false
			}
			break
		}
		first = false
		bit := 0
		lead := What(key)
		switch lead {
		case "at":
			var s string
			if s, ok = scalar(v); ok {
				e.At, ok = glanceTime(s)
			}
			bit = 1
		case "joint":
			bit = 2
			e.Joint, ok = scalar(v)
		case "minutes":
			bit = 4
			var s string
			if s, ok = scalar(v); ok {
				x, err := strconv.ParseFloat(s, 64)
				e.Minutes, ok = x, err == nil && x >= 0 && x <= 1e9
			}
		case "tissue":
			bit = 8
			e.Tissue, ok = scalar(v)
			ok = ok && slices.Contains(Tissues, e.Tissue)
		case Did:
			bit = 16
			e.Did, ok = flowList(v)
		case Opened, Retest, Closed, Answered:
			bit = 16
			e.Name, ok = scalar(v)
		case Ranked:
			bit = 16
			if ok = len(v) == 0; ok {
				g.next()
				for bytes.HasPrefix(g.line, []byte("      - {")) {
					if !flat(g.line[8:]) {
						return e, false, false
					}
					g.next()
				}
				e.What = lead
				if seen&bit != 0 {
					return e, false, false
				}
				seen |= bit
				continue
			}
		case Measured, TookBack, Note, Reopened:
			bit = 16
			ok = passed(v)
		case "value":
			bit = 32
			if s, plain := scalar(v); plain {
				e.Value = rules.AnswerText{Scalar: s}
			} else {
				ok = flat(v)
			}
		default:
			ok = passed(v)
		}
		if !ok || seen&bit != 0 {
			return e, false, false
		}
		seen |= bit
		if bit == 16 {
			e.What = lead
		}
		g.next()
		if len(v) > 0 && v[0] == '|' && !g.block() {
			return e, false, false
		}
	}
	if e.What == "" || e.At.IsZero() {
		return e, false, false
	}
	if slices.Contains(workKinds, e.What) {
		e.Value = rules.AnswerText{}
		return e, true, true
	}
	return e, e.What == Answered && e.Value.Scalar != "" && slices.Contains(want, e.Name), true
}

// block passes over the lines of a text in a block: those that stand as far in as its first.
func (g *glancer) block() bool {
	depth := 0
	for ; !g.end; g.next() {
		if len(g.line) == 0 {
			continue
		}
		n := len(g.line) - len(bytes.TrimLeft(g.line, " "))
		if n <= 4 {
			return depth > 0
		}
		if depth == 0 {
			depth = n
		}
		if n < depth || n == len(g.line) || !texts(g.line) {
			return false
		}
	}
	return depth > 0
}

// passed reports whether a value that is passed over ends on its line, or is a text in a block.
func passed(v []byte) bool {
	if s := string(v); s == "|-" || s == "|" || s == "|+" {
		return true
	}
	return form(v) != 0 || flat(v) || quotedWhole(v)
}

// quotedWhole reports whether a text in double quotes ends at the end of the line.
func quotedWhole(v []byte) bool {
	return len(v) > 1 && v[0] == '"' && closing(v) == len(v)-1 && texts(v)
}

// closing is where the quotes that begin v end; -1 where they do not.
func closing(v []byte) int {
	for i := 1; i < len(v); i++ {
		switch {
		case v[0] == '"' && v[i] == '\\':
			i++
		case v[i] == v[0] && v[0] == '\'' && i+1 < len(v) && v[i+1] == '\'':
			i++
		case v[i] == v[0]:
			return i
		}
	}
	return -1
}

// flat reports whether a list or mapping in brackets ends at the end of the line.
func flat(v []byte) bool {
	if len(v) < 2 || v[0] != '[' && v[0] != '{' || !texts(v) {
		return false
	}
	depth := 0
	for i := 0; i < len(v); i++ {
		switch v[i] {
		case '[', '{':
			depth++
		case ']', '}':
			depth--
			if depth == 0 {
				return i == len(v)-1
			}
		case '"', '\'':
			if b := v[i-1]; b != ' ' && b != '[' && b != '{' {
				continue // inside a word
			}
			n := closing(v[i:])
			if n < 0 {
				return false
			}
			i += n
		case '#':
			return false
		}
	}
	return false
}

// flowList reads [one, 'two']; its words hold none of the characters that divide.
func flowList(v []byte) ([]string, bool) {
	if len(v) < 2 || v[0] != '[' || v[len(v)-1] != ']' {
		return nil, false
	}
	v = v[1 : len(v)-1]
	if len(v) == 0 {
		return nil, true
	}
	var out []string
	for w := range bytes.SplitSeq(v, []byte(", ")) {
		if bytes.ContainsAny(w, ",:[]{}#'\"?&*!|>%@`") {
			return nil, false
		}
		s, ok := scalar(w)
		if !ok {
			return nil, false
		}
		out = append(out, s)
	}
	return out, true
}

// scalar reads a text that stands on one line, plain or in quotes without escapes, as YAML
// would.
func scalar(v []byte) (string, bool) {
	switch form(v) {
	case '\'':
		v = v[1 : len(v)-1]
		if bytes.IndexByte(v, '\'') >= 0 {
			return strings.ReplaceAll(string(v), "''", "'"), true
		}
		return string(v), true
	case '"':
		return string(v[1 : len(v)-1]), true
	case 'a':
		return string(v), true
	}
	return "", false
}

// form is how scalar can read a text: in single or double quotes, plain (a), or not at all (0).
func form(v []byte) byte {
	if len(v) == 0 || !texts(v) {
		return 0
	}
	switch c := v[0]; {
	case c == '\'' || c == '"':
		if len(v) < 2 || closing(v) != len(v)-1 || c == '"' && bytes.IndexByte(v, '\\') >= 0 {
			return 0
		}
		return c
	case c >= 'a' && c <= 'z', c >= 'A' && c <= 'Z', c >= '0' && c <= '9', c >= utf8.RuneSelf, c == '/', c == '(', c == '.', c == '+', c == '_':
		last := v[len(v)-1]
		if last == ' ' || last == ':' || bytes.Contains(v, []byte(": ")) || bytes.Contains(v, []byte(" #")) {
			return 0
		}
		return 'a'
	}
	return 0
}

// texts reports whether a line holds only characters that stand for themselves in YAML.
func texts(v []byte) bool {
	for i := 0; i < len(v); {
		c := v[i]
		if c >= ' ' && c < 0x7f {
			i++
			continue
		}
		r, n := utf8.DecodeRune(v[i:])
		if r < 0xa0 || n < 2 || r == 0x2028 || r == 0x2029 || r == 0xfeff || r == 0xfffe || r == 0xffff {
			return false
		}
		i += n
	}
	return true
}
