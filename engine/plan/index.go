package plan

import (
	"slices"

	"seepwright/rules"
)

// Index says what an answer can lead to. It depends on the knowledge base alone and is made
// once for it.
type Index struct {
	moves map[string][]move   // by fact: what raises or lowers causes
	leads map[string][]string // by fact: facts that rules conclude from it, over any number of steps

	makers map[string][]*rules.Rule // by fact: the rules that conclude or compute it
	reads  map[string][]string      // by rule: the facts that it reads
}

// move is one context of one cause, or of the causes that a rule names.
type move struct {
	cause *rules.Cause // nil: ref names it
	ref   string
	kinds []string // kinds for which the rule holds; empty = all
	when  *rules.When
	times float64
	less  string // counts only while this fact is not known
}

// NewIndex reads a knowledge base.
func NewIndex(kb *rules.Knowledge) *Index {
	x := &Index{moves: map[string][]move{}, leads: map[string][]string{}}
	x.remember(kb)
	for _, c := range kb.Causes {
		for i := range c.Context {
			k := &c.Context[i]
			for _, f := range k.When.Cond.Facts() {
				x.moves[f] = append(x.moves[f], move{cause: c, when: &k.When, times: k.Times, less: k.Unless})
			}
		}
	}
	direct := map[string][]string{}
	for _, r := range kb.Rules {
		from := r.When.Cond.Facts()
		for _, a := range r.Then {
			for _, mv := range []*rules.MoveCause{a.Raise, a.Lower} {
				if mv == nil {
					continue
				}
				for _, f := range from {
					x.moves[f] = append(x.moves[f], move{ref: mv.Cause, kinds: r.For, when: &r.When, times: mv.Times, less: mv.Unless})
				}
			}
			read, into := from, []string(nil)
			switch {
			case a.Conclude != nil:
				into = []string{a.Conclude.Fact}
			case a.Compute != nil:
				read = slices.Clone(from)
				for _, f := range a.Compute.From {
					read = append(read, f)
				}
				for _, f := range a.Compute.Into {
					into = append(into, f)
				}
			}
			for _, f := range read {
				direct[f] = append(direct[f], into...)
			}
		}
	}
	for f := range direct {
		seen := map[string]bool{f: true}
		queue := slices.Clone(direct[f])
		for len(queue) > 0 {
			n := queue[0]
			queue = queue[1:]
			if !seen[n] {
				seen[n] = true
				x.leads[f] = append(x.leads[f], n)
				queue = append(queue, direct[n]...)
			}
		}
		slices.Sort(x.leads[f])
	}
	return x
}
