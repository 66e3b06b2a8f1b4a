package load

import (
	"fmt"
	"maps"
	"math"
	"strings"

	"seepwright/rules"
	"seepwright/rules/fact"
	"seepwright/rules/unit"
)

func (r *reader) scalar(n *node, field, wanted string) bool {
	if n.form == textForm && strings.Contains(n.text, fillIn) {
		r.fail(n.at, "fill-in", fmt.Sprintf("%q is still to be filled in", field), "write "+wanted)
		return false
	}
	switch n.form {
	case textForm:
		return true
	case brokenForm:
		return false
	}
	r.fail(n.at, "wrong-type", fmt.Sprintf("%q holds %s, found %s", field, wanted, n.form), "")
	return false
}

func (r *reader) mapping(n *node, field string) bool {
	switch n.form {
	case mapForm:
		return true
	case brokenForm:
		return false
	}
	r.fail(n.at, "wrong-type", fmt.Sprintf("%q holds names with values, found %s", field, n.form), "write {NAME: VALUE, NAME: VALUE}, or one NAME: VALUE a line")
	return false
}

// items are the members of a list; a single value stands for a list of one.
func (r *reader) items(n *node, field string) []*node {
	switch n.form {
	case listForm:
		var out []*node
		for _, v := range n.vals {
			if v.form == emptyForm {
				r.fail(v.at, "wrong-type", fmt.Sprintf("an entry of %q is empty", field), "take the dash or the comma out")
				continue
			}
			out = append(out, v)
		}
		return out
	case emptyForm, brokenForm:
		return nil
	}
	return []*node{n}
}

func (r *reader) text(n *node, field string) (string, bool) {
	if !r.scalar(n, field, "a text") {
		return "", false
	}
	s := strings.TrimSpace(n.text)
	if s == "" {
		r.fail(n.at, "wrong-type", fmt.Sprintf("%q is empty", field), "write a text, or take the line out")
		return "", false
	}
	return s, true
}

func (r *reader) texts(n *node, field string) []string {
	out := []string{}
	for _, item := range r.items(n, field) {
		if s, ok := r.text(item, field); ok {
			out = append(out, s)
		}
	}
	return out
}

// newID reads the name of a new document or option.
func (r *reader) newID(n *node, field string) (string, bool) {
	if !r.scalar(n, field, "a name") {
		return "", false
	}
	s := n.text
	switch {
	case allDigit(s):
		r.fail(n.at, "number-id", fmt.Sprintf("%q is a number to YAML (1.10 is 1.1, 010 is eight)", s), "use a name in words, such as size-10")
		return "", false
	case isTrap(s):
		r.fail(n.at, "yes-no-trap", fmt.Sprintf("%q cannot be a name: it means yes or no to YAML and in conditions", s), "use a word that says what is seen, such as wet and dry")
		return "", false
	case !idForm(s):
		hint := "use small letters, digits and hyphens, such as bore-oval"
		if made := MakeID(s); made != "" {
			hint = "write " + made
		}
		r.fail(n.at, "bad-id", fmt.Sprintf("%q is not a plain name", s), hint)
		return "", false
	}
	return s, true
}

func isTrap(s string) bool {
	switch strings.ToLower(s) {
	case "yes", "no", "on", "off", "true", "false", "y", "n", "null", "is", "not", "and", "or":
		return true
	}
	return false
}

// MakeID turns a title into a name for a document: "Bore is oval" becomes "bore-is-oval".
func MakeID(title string) string {
	var b strings.Builder
	for _, c := range strings.ToLower(title) {
		switch {
		case c >= 'a' && c <= 'z', c >= '0' && c <= '9':
			b.WriteRune(c)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
	}
	return strings.Trim(b.String(), "-")
}

// name reads the name of a document that is elsewhere.
func (r *reader) name(n *node, field string) (string, bool) {
	if !r.scalar(n, field, "a name") {
		return "", false
	}
	if !refForm(n.text) {
		hint := "use small letters, digits and hyphens"
		if made := MakeID(n.text); made != "" {
			hint = "did you mean " + made + "?"
		}
		r.fail(n.at, "bad-id", fmt.Sprintf("%q is not the name of a document", n.text), hint)
		return "", false
	}
	return n.text, true
}

func (r *reader) names(n *node, field string) []string {
	out := []string{}
	for _, item := range r.items(n, field) {
		if s, ok := r.name(item, field); ok {
			out = append(out, s)
		}
	}
	return out
}

func (r *reader) word(n *node, field string, words []string) (string, bool) {
	if !r.scalar(n, field, "one of "+strings.Join(words, ", ")) {
		return "", false
	}
	for _, w := range words {
		if w == n.text {
			return w, true
		}
	}
	r.unknown(n.at, "bad-choice", fmt.Sprintf("%q is not a value of %q", n.text, field), n.text, words)
	return "", false
}

func (r *reader) flag(n *node, field string) (yes, ok bool) {
	if n.form == textForm {
		switch n.text {
		case "yes", "true":
			return true, true
		case "no", "false":
			return false, true
		}
	}
	if r.scalar(n, field, "yes or no") {
		r.fail(n.at, "bad-choice", fmt.Sprintf("%q is yes or no, found %q", field, n.text), "")
	}
	return false, false
}

// zeros warns of 010, which other readers of YAML take for eight.
func (r *reader) zeros(n *node) {
	if !n.quoted && leadingZero(n.text) {
		r.fail(n.at, "leading-zero", fmt.Sprintf("%q is read as eight-based by YAML", n.text), "write it without the leading zero")
	}
}

func (r *reader) number(n *node, field string, least, most float64) (float64, bool) {
	if !r.scalar(n, field, "a number") {
		return 0, false
	}
	r.zeros(n)
	x, rest, err := unit.Number(n.text)
	if err != nil || strings.TrimSpace(rest) != "" {
		r.fail(n.at, "bad-number", fmt.Sprintf("%q is a plain number, found %q", field, n.text), "")
		return 0, false
	}
	if x < least || x > most || math.IsNaN(x) {
		r.fail(n.at, "bad-number", fmt.Sprintf("%q is between %v and %v, found %v", field, least, most, x), "")
		return 0, false
	}
	return x, true
}

func (r *reader) percent(n *node, field string) (float64, bool) {
	if !r.scalar(n, field, "a percentage") {
		return 0, false
	}
	r.zeros(n)
	q, err := unit.Parse(n.text, unit.RatioDim)
	if err != nil {
		r.fail(n.at, "bad-percent", fmt.Sprintf("%q is a percentage, found %q", field, n.text), "write it like 30 % or 0.3")
		return 0, false
	}
	x := q.SI()
	if q.Unit.Symbol == "%" {
		x = hundredth(q.Number)
	}
	if x < 0 || x > 1 {
		hint := "the value lies between 0 % and 100 %"
		if x > 1 && x <= 100 && q.Unit.Symbol == "1" {
			hint = fmt.Sprintf("write %s %%", n.text)
		}
		r.fail(n.at, "bad-percent", fmt.Sprintf("%q is %s, more than the whole or less than nothing", field, n.text), hint)
		return 0, false
	}
	return x, true
}

// minutes reads hands-on minutes (plain) or a waiting time, which must say its unit.
func (r *reader) minutes(n *node, field string, plain bool) (float64, bool) {
	if !r.scalar(n, field, "a time") {
		return 0, false
	}
	r.zeros(n)
	x, rest, err := unit.Number(n.text)
	if err == nil && strings.TrimSpace(rest) == "" {
		if !plain && x != 0 {
			r.fail(n.at, "bad-duration", fmt.Sprintf("%q has no unit", field), fmt.Sprintf("write %s min, %s h or %s days", n.text, n.text, n.text))
			return 0, false
		}
	} else if err == nil {
		var q unit.Quantity
		if q, err = unit.Parse(n.text, unit.TimeDim); err == nil {
			x = q.SI() / float64(unit.Minute)
		}
	}
	if err != nil {
		r.fail(n.at, "bad-duration", fmt.Sprintf("%q is a time, found %q", field, n.text), "write it like 15 (minutes) or 24 h")
		return 0, false
	}
	if x < 0 || x > 60*24*366 {
		r.fail(n.at, "bad-duration", fmt.Sprintf("%q is less than nothing or more than a year", field), "")
		return 0, false
	}
	return x, true
}

// measure reads a quantity with its unit. A bare number is kept without dimension: whether
// it is a ratio, a count or a mistake is decided when its fact is known.
func (r *reader) measure(n *node, field string) (fact.Measure, bool) {
	if !r.scalar(n, field, "a quantity with its unit") {
		return fact.Measure{}, false
	}
	r.zeros(n)
	if x, rest, err := unit.Number(n.text); err == nil && strings.TrimSpace(rest) == "" {
		return fact.Measure{SI: x}, true
	}
	q, err := unit.Parse(n.text, "")
	if err != nil {
		what := err.Error()
		if bad, ok := err.(*unit.BadQuantity); ok {
			what = fmt.Sprintf("%q: %s", bad.Text, bad.What)
		}
		r.fail(n.at, "bad-quantity", fmt.Sprintf("%q is a quantity, found %s", field, what), "write it like 0.05 mm, 2 bar, 40 N m")
		return fact.Measure{}, false
	}
	return fact.Measure{SI: q.SI(), Dim: q.Unit.Dim, Unit: q.Unit.Symbol}, true
}

func (r *reader) perHistory(n *node, field string, old rules.PerHistory) rules.PerHistory {
	out := maps.Clone(old)
	if out == nil {
		out = rules.PerHistory{}
	}
	if n.form != mapForm {
		if x, ok := r.percent(n, field); ok {
			for _, h := range rules.Histories() {
				out[h] = x
			}
		}
		return out
	}
	r.eachHistory(n, field, func(h rules.History, v *node) {
		if x, ok := r.percent(v, field); ok {
			out[h] = x
		}
	})
	return out
}

func (r *reader) eachHistory(n *node, field string, read func(rules.History, *node)) {
	words := make([]string, 0, 4)
	for _, h := range rules.Histories() {
		words = append(words, string(h))
	}
	seen := map[string]bool{}
	for i, k := range n.keys {
		w, ok := r.word(k, field, words)
		if ok && seen[w] {
			r.fail(k.at, "duplicate-key", fmt.Sprintf("%q stands twice in this %q", w, field), "keep one")
			continue
		}
		if ok {
			seen[w] = true
			read(rules.History(w), n.vals[i])
		}
	}
}

// figure is a plain number or a percentage of any size.
func (r *reader) figure(n *node, field string) (float64, bool) {
	if !r.scalar(n, field, "a number") {
		return 0, false
	}
	q, err := unit.Parse(n.text, unit.RatioDim)
	if err != nil {
		r.fail(n.at, "bad-number", fmt.Sprintf("%q is a plain number or a percentage, found %q", field, n.text), "")
		return 0, false
	}
	if q.Unit.Symbol == "%" {
		return hundredth(q.Number), true
	}
	return q.SI(), true
}

// hundredth turns per cent into a ratio that is the number a person would write: 2.2 % is
// 0.022 and not 0.022000000000000002.
func hundredth(x float64) float64 {
	if r := math.Round(x*1e10) / 1e12; math.Abs(x) < 1e4 {
		return r
	}
	return x / 100
}

// commaCut reports a name without value inside braces that is the rest of a text after a comma.
func (r *reader) commaCut(key, val *node) bool {
	if val.form != emptyForm || !strings.Contains(key.text, " ") {
		return false
	}
	r.fail(key.at, "comma-cut", fmt.Sprintf("inside braces a comma ends the text, so %q is read as a name", key.text), "put the whole text in quotes")
	return true
}
