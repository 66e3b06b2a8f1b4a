package report

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"seepwright/engine"
	"seepwright/rules"
	"seepwright/rules/cond"
)

// measures says what to measure, with which tool, and the number, a quantity at a time: the
// quantities in the order of the checks that give them, then the others.
func (j JointPage) measures(p *page) {
	byFact := map[string][]*rules.Target{}
	var facts []string
	for _, t := range j.KB.Targets {
		if t.For == j.Joint.ID {
			if len(byFact[t.Fact]) == 0 {
				facts = append(facts, t.Fact)
			}
			byFact[t.Fact] = append(byFact[t.Fact], t)
		}
	}
	if len(facts) == 0 {
		return
	}
	place := map[string]int{}
	for i, id := range j.Joint.Order {
		if c := j.KB.Check(id); c != nil {
			for _, f := range c.Fills {
				if _, ok := place[f]; !ok {
					place[f] = i + 1
				}
			}
		}
	}
	when := func(id string) int {
		last := place[id]
		if last == 0 {
			for _, in := range j.workedOutFrom(id) {
				last = max(last, place[in])
			}
		}
		return cmp.Or(last, len(j.Joint.Order)+1)
	}
	slices.SortStableFunc(facts, func(a, b string) int { return cmp.Compare(when(a), when(b)) })
	p.add(Heading, "What to measure, with which tool, and the number")
	said := map[string]bool{}
	for _, id := range facts {
		j.quantity(p, id, byFact[id], said)
	}
}

// quantity is one thing to measure with all its numbers; what rows share is said once.
func (j JointPage) quantity(p *page, id string, list []*rules.Target, said map[string]bool) {
	titles, shared := map[string]int{}, map[[2]string][]*rules.Target{}
	var groups [][2]string
	for _, t := range list {
		titles[cmp.Or(t.Title, t.ID)]++
		key := [2]string{Origin(t.Source, string(t.Standing)), t.Without}
		if len(shared[key]) == 0 {
			groups = append(groups, key)
		}
		shared[key] = append(shared[key], t)
	}
	row := func(t *rules.Target, w string) string {
		s := cmp.Or(t.Title, t.ID) + ": " + j.limit(t)
		if w != "" {
			s += ", where " + w
		}
		return s
	}
	when := func(t *rules.Target) string { return j.when(t, titles[cmp.Or(t.Title, t.ID)] > 1) }
	with := j.instrument(id, said)
	if len(list) == 1 {
		p.add(Item, "%s", row(list[0], when(list[0])))
		note(p, "With", with)
		note(p, "Source", groups[0][0])
		note(p, "Without the tool", groups[0][1])
		return
	}
	p.add(Item, "%s", high(j.factTitle(id)))
	note(p, "With", with)
	var without []string
	for _, key := range groups {
		without = append(without, key[1])
	}
	without = uniq(without)
	if len(without) == 1 {
		note(p, "Without the tool", without[0])
	}
	for _, key := range groups {
		rows := shared[key]
		slices.SortStableFunc(rows, func(a, b *rules.Target) int { return natural(a.Title, b.Title) })
		var all []string
		for _, t := range rows {
			all = append(all, when(t))
		}
		all = uniq(all)
		for _, t := range rows {
			w := ""
			if len(all) > 1 || len(rows) == 1 {
				w = when(t)
			}
			p.add(Sub, "%s", row(t, w))
		}
		if len(all) == 1 && len(rows) > 1 && all[0] != "" {
			p.add(Note, "All where %s.", all[0])
		}
		note(p, "Source", key[0])
		if len(without) > 1 {
			note(p, "Without the tool", key[1])
		}
	}
}

// limit is the number of a target, or from what it is worked out for this very joint.
func (j JointPage) limit(t *rules.Target) string {
	by, word := t.LimitBy, "at most "
	if by == "" {
		by, word = t.LowBy, "at least "
	}
	if t.AtLeast != nil || t.AtMost != nil || by == "" {
		return engine.Limit(t)
	}
	var from []string
	for _, in := range j.workedOutFrom(by) {
		from = append(from, low(j.factTitle(in)))
	}
	if len(from) == 0 {
		return word + "the " + low(j.factTitle(by))
	}
	return word + "what is worked out for this joint, from " + strings.Join(from, "; ")
}

// natural orders texts by their words, and numbers in them by size.
func natural(a, b string) int {
	for a != "" && b != "" {
		x, y := strings.IndexFunc(a, notDigit), strings.IndexFunc(b, notDigit)
		if x < 0 {
			x = len(a)
		}
		if y < 0 {
			y = len(b)
		}
		if x > 0 && y > 0 {
			m, n := strings.TrimLeft(a[:x], "0"), strings.TrimLeft(b[:y], "0")
			if c := cmp.Or(cmp.Compare(len(m), len(n)), cmp.Compare(m, n)); c != 0 {
				return c
			}
			a, b = a[x:], b[y:]
			continue
		}
		if a[0] != b[0] {
			return cmp.Compare(a[0], b[0])
		}
		a, b = a[1:], b[1:]
	}
	return cmp.Compare(len(a), len(b))
}

func notDigit(r rune) bool { return r < '0' || r > '9' }

// instrument says how to come by a quantity: the usual tool and how far off it can be, or the
// measured sizes from which it is worked out, each with its tool where it is named first; failing
// both, which look tells it.
func (j JointPage) instrument(id string, said map[string]bool) string {
	f := j.KB.Fact(id)
	if f == nil {
		return ""
	}
	from := j.workedOutFrom(id)
	if f.Engine || f.Instrument == "" && len(f.Tools) == 0 && len(from) > 0 {
		var parts []string
		for _, in := range from {
			name := low(j.factTitle(in))
			if tool := j.tool(in); tool != "" && !said[in] {
				name += " (" + tool + ")"
			}
			said[in] = true
			parts = append(parts, name)
		}
		if len(parts) == 0 {
			return j.look(id)
		}
		return "worked out by seepwright from " + strings.Join(parts, "; ")
	}
	out := j.tool(id)
	if i := j.KB.Instrument(f.Instrument); i != nil {
		for _, on := range []string{f.UsedOn, "any"} {
			if m, ok := i.U[on]; ok && on != "" {
				out += fmt.Sprintf(", good to %s", m.Shown())
				break
			}
		}
	}
	if f.How != "" {
		out = strings.TrimSuffix(out, ".") + ". " + f.How
	}
	out = cmp.Or(strings.TrimPrefix(out, ". "), j.look(id))
	if out == "" && f.Stage == rules.Told {
		return "no tool: what the maker says, or the one who did the work"
	}
	return out
}

// look names the check of this kind that tells a fact.
func (j JointPage) look(id string) string {
	for _, name := range j.Joint.Order {
		if c := j.KB.Check(name); c != nil && slices.Contains(c.Fills, id) {
			return "the look \"" + cmp.Or(c.Title, c.ID) + "\""
		}
	}
	for _, c := range j.KB.Checks {
		if rules.Applies(c.For, j.Joint.ID) && slices.Contains(c.Fills, id) {
			return "the look \"" + cmp.Or(c.Title, c.ID) + "\""
		}
	}
	return ""
}

// tool is the usual instrument of a fact, or its first tool.
func (j JointPage) tool(id string) string {
	f := j.KB.Fact(id)
	if f == nil {
		return ""
	}
	if i := j.KB.Instrument(f.Instrument); i != nil {
		return cmp.Or(i.Title, i.ID)
	}
	return strings.Join(j.tools(f.Tools[:min(1, len(f.Tools))]), "")
}

// workedOutFrom lists what a person has to measure for a quantity that is worked out: the
// inputs of the rule for this kind with the fewest, those that are worked out replaced by theirs.
func (j JointPage) workedOutFrom(id string) []string { return j.inputs(id, map[string]bool{}) }

func (j JointPage) inputs(id string, seen map[string]bool) []string {
	if seen[id] {
		return nil
	}
	seen[id] = true
	var best []string
	for _, r := range j.KB.Rules {
		if !rules.Applies(r.For, j.Joint.ID) {
			continue
		}
		for _, a := range r.Then {
			if a.Compute == nil || !slices.Contains(slices.Collect(maps.Values(a.Compute.Into)), id) {
				continue
			}
			var in []string
			for _, name := range slices.Sorted(maps.Keys(a.Compute.From)) {
				if f := j.KB.Fact(a.Compute.From[name]); f != nil {
					if f.Engine {
						in = append(in, j.inputs(f.ID, seen)...)
					} else {
						in = append(in, f.ID)
					}
				}
			}
			if in = uniq(in); len(in) > 0 && (best == nil || len(in) < len(best)) {
				best = in
			}
		}
	}
	return best
}

// when is the condition of a target in words; a range of sizes that its title names already is
// left out, unless the title does not tell it from another.
func (j JointPage) when(t *rules.Target, needed bool) string {
	if t.When == nil {
		return ""
	}
	var out []string
	for _, c := range t.When.Cond.Parts() {
		s := c.String()
		sized := strings.ContainsAny(s, "<>") || strings.Contains(s, " between ")
		if sized && !needed && strings.ContainsAny(t.Title, "0123456789") {
			continue
		}
		if !sized && !needed && j.named(c, t.Title) {
			continue
		}
		out = append(out, j.words(c))
	}
	return strings.Join(out, " and ")
}

// named tells whether a title names one of the options of a condition already.
func (j JointPage) named(c *cond.Cond, title string) bool {
	id, option, ok := c.SingleAtom()
	f := j.KB.Fact(id)
	if !ok || f == nil || option == "" {
		return false
	}
	for _, o := range f.Options {
		if o.ID == option {
			name := " " + strings.ToLower(title) + " "
			return strings.Contains(name, " "+strings.ToLower(o.Title)+" ") || strings.Contains(name, " "+strings.ReplaceAll(o.ID, "-", " ")+" ")
		}
	}
	return false
}

var signs = map[string]string{"<": "below", "<=": "up to", ">": "above", ">=": "at least"}

// words puts a condition into plain words: names of facts and options by their titles.
func (j JointPage) words(c *cond.Cond) string {
	s := c.String()
	if id, option, ok := c.SingleAtom(); ok && option == "" {
		return short(j.factTitle(id), id)
	}
	facts := c.Facts()
	var out []string
	for _, w := range strings.Fields(strings.NewReplacer("is one of (", "is ", ")", "", ",", " or").Replace(s)) {
		plain := signs[w]
		switch {
		case plain != "":
		case slices.Contains(facts, w):
			plain = short(j.factTitle(w), w)
		default:
			plain = w
			for _, id := range facts {
				if f := j.KB.Fact(id); f != nil {
					for _, o := range f.Options {
						if o.ID == w {
							plain = short(o.Title, w)
						}
					}
				}
			}
		}
		out = append(out, plain)
	}
	return strings.Join(out, " ")
}

// short is a title that is short enough to stand in a line and no question, else the name without its hyphens.
func short(title, id string) string {
	first, _, _ := strings.Cut(strings.ToLower(title), " ")
	if len(title) > 28 || slices.Contains([]string{"", "what", "where", "how", "who", "which", "nothing", "it"}, first) {
		return strings.ReplaceAll(id, "-", " ")
	}
	return low(title)
}

// low begins with a small letter, unless a short form or a grade begins there.
func low(s string) string {
	if len(s) < 2 || s[1] != ' ' && (s[1] < 'a' || s[1] > 'z') {
		return s
	}
	return strings.ToLower(s[:1]) + s[1:]
}

// high begins with a capital letter.
func high(s string) string {
	if s == "" {
		return ""
	}
	return strings.ToUpper(s[:1]) + s[1:]
}
