package plan

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"seepwright/engine/rank"
	"seepwright/rules"
)

// How many looks are valued exactly at each decision, and by how many of their facts. The
// others are cut by a cheap estimate of how far their answers could move the chances.
const (
	mostExact  = 12
	mostProbes = 3
)

// value works out what each candidate saves, best first. An answer saves what following the
// course that one would take now would cost under it, less the best course then; the look
// saves the mean of that over its answers, times the chance that the person can answer. So no
// look saves less than nothing, and none saves anything whose answers change no decision.
// Several facts of one check add up short of what perfect knowledge would save.
func (p *Problem) value(b *bench, list []look) []look {
	for i := range list {
		l := &list[i]
		for _, pr := range l.probes {
			l.hint = max(l.hint, pr.known*b.hint(&p.Post, pr))
		}
		l.hint = l.hint*b.minutes - l.cost
	}
	slices.SortStableFunc(list, func(x, y look) int { return cmp.Compare(y.hint, x.hint) })
	list = list[:min(mostExact, len(list))]
	perfect := max(b.minutes-b.floor(p.Post.Marginals), 1)
	done := map[string]float64{} // several looks can tell the same thing
	saves := func(pr probe) float64 {
		k := fmt.Sprint(pr.fact.ID, "=", pr.option, "@", pr.blocks, len(pr.context))
		v, ok := done[k]
		if !ok {
			v = p.saves(b, pr)
			done[k] = v
		}
		return v
	}
	for i := range list {
		l := &list[i]
		if len(l.probes) > mostProbes {
			hints := make([]float64, len(l.probes))
			order := make([]int, len(l.probes))
			for k, pr := range l.probes {
				hints[k], order[k] = pr.known*b.hint(&p.Post, pr), k
			}
			slices.SortStableFunc(order, func(x, y int) int { return cmp.Compare(hints[y], hints[x]) })
			best := make([]probe, mostProbes)
			for k := range best {
				best[k] = l.probes[order[k]]
			}
			l.probes = best
		}
		rest := 1.0
		for _, pr := range l.probes {
			rest *= 1 - min(1, pr.known*saves(pr)/perfect)
		}
		l.Saves = perfect * (1 - rest)
	}
	slices.SortStableFunc(list, func(x, y look) int {
		return cmp.Or(cmp.Compare(y.Saves-y.cost, x.Saves-x.cost), cmp.Compare(y.hint, x.hint), cmp.Compare(x.Joint, y.Joint), cmp.Compare(x.Check+x.Fact, y.Check+y.Fact))
	})
	return list
}

// saves is what an answer is expected to save once it is given.
func (p *Problem) saves(b *bench, pr probe) float64 {
	sum := 0.0
	change := func(chance float64, item, fault []float64) {
		if chance < 1e-6 {
			return
		}
		v := b.believe(item, fault)
		_, then := b.plan(&v)
		sum += chance * max(0, b.follow(b.course, &v)-then)
	}
	for _, s := range pr.context {
		change(s.p, s.item, s.fault)
	}
	if len(pr.answers) > 0 {
		outs, err := p.Solver.LookAhead(pr.answers)
		if err != nil {
			return 0
		}
		for _, o := range outs {
			if o.P > 0 {
				change(o.P, b.marginals(o.Posterior.Marginals), b.faults(o.Posterior.Marginals))
			}
		}
	}
	return sum
}

// hint is how far the answers move the chances of the causes, taken one cause at a time: the
// mean over the answers of half the sum of all differences.
func (b *bench) hint(post *rank.AssemblyPosterior, pr probe) float64 {
	if len(pr.context) > 0 {
		item := b.marginals(post.Marginals)
		sum := 0.0
		for _, s := range pr.context {
			d := 0.0
			for i := range item {
				d += math.Abs(s.item[i] - item[i])
			}
			sum += s.p * d / 2
		}
		return sum
	}
	j := pr.blocks[0]
	w := append(slices.Clone(post.Cause[j]), post.Arrives[j])
	sum := 0.0
	for _, x := range w {
		sum += x
	}
	fault := min(1, post.JointLeaks[j]+post.Arrives[j])
	if sum <= 0 {
		return 0
	}
	if c := pr.answers[0][0]; c.Wet != rank.Unknown || c.Leaks != rank.Unknown {
		return 2 * fault * (1 - fault)
	}
	rates := make([][]float64, len(pr.answers))
	norm := make([]float64, len(w))
	for a, ch := range pr.answers {
		rates[a] = likelihood(ch[0].Add, len(w))
		for k, r := range rates[a] {
			norm[k] += r
		}
	}
	move := 0.0
	for _, r := range rates {
		total := 0.0
		for k := range r {
			r[k] /= max(norm[k], 1e-12)
			total += w[k] / sum * r[k]
		}
		for k := range r {
			move += w[k] / sum * math.Abs(r[k]-total) / 2
		}
	}
	return move * fault
}

// likelihood of findings with each cause alone: the causes of a joint and, last, what arrives.
func likelihood(add []rank.Finding, n int) []float64 {
	out := make([]float64, n)
	for k := range out {
		out[k] = 1
	}
	for _, f := range add {
		for k, x := range f.Alone(n) {
			out[k] *= x
		}
	}
	return out
}

// purpose says in the words of a consultant what a question is for.
func (p *Problem) purpose() string {
	best, second := 0.0, 0.0
	for i := range p.Net.Joints {
		for _, q := range p.Post.Cause[i] {
			if q > best {
				best, second = q, best
			} else if q > second {
				second = q
			}
		}
	}
	switch {
	case best > 0.6 && second < best/3:
		return "confirm"
	case best > 0.3:
		return "tell-apart"
	}
	return "rule-out"
}

// why says in one sentence what the answer would do.
func (p *Problem) why(l look) string {
	if l.Why != "" {
		return l.Why
	}
	names := p.splits(l)
	switch {
	case len(names) > 1:
		return fmt.Sprintf("it tells %q from %q", names[0], names[1])
	case len(names) == 1:
		return fmt.Sprintf("it speaks for or against %q", names[0])
	}
	if len(p.Net.Joints) == 1 {
		return "what it tells bears on what is likely here"
	}
	return "it narrows down which joint leaks"
}

// leans shows the causes whose chances depend on an answer of context: by how much the
// highest chance over all answers lies above the lowest, for the cause with the largest spread,
// and what falls when that one rises.
func (p *Problem) leans(pr probe, see func(*rules.Cause, float64)) {
	l := newLayout(p.Net.Rank.Blocks, len(p.Net.Shared))
	lead, rise, by := 0, 0, 0.0
	for i := range l.items() {
		for a, s := range pr.context {
			for _, o := range pr.context {
				if d := s.item[i] - o.item[i]; d > by {
					lead, rise, by = i, a, d
				}
			}
		}
	}
	if by < 0.005 {
		return
	}
	now := l.marginals(p.Post.Marginals)
	see(p.causeOf(l, lead), by)
	for i := range now {
		if d := pr.context[rise].item[i] - now[i]; i != lead && d < 0 {
			see(p.causeOf(l, i), d)
		}
	}
}

// causeOf is the document of an item, nil for the unknown cause.
func (p *Problem) causeOf(l layout, item int) *rules.Cause {
	g := l.group[item]
	if g >= l.n {
		return p.Net.Shared[g-l.n]
	}
	m := p.Net.Joints[g].Model
	switch k := item - l.start[g]; {
	case k < len(m.Causes):
		return m.Causes[k]
	case item == l.start[g+1]-1:
		return m.Away
	}
	return nil
}

// splits names the two causes whose chances differ most between the answers, one that goes
// up and one that goes down.
func (p *Problem) splits(l look) []string {
	type moved struct {
		title string
		by    float64
	}
	var up, down moved
	see := func(c *rules.Cause, by float64) {
		if c == nil {
			return
		}
		if by > up.by {
			up = moved{c.Title, by}
		}
		if by < down.by {
			down = moved{c.Title, by}
		}
	}
	for _, pr := range l.probes {
		if len(pr.context) > 1 {
			p.leans(pr, see)
		}
		if len(pr.answers) < 2 || len(pr.answers[0][0].Add) == 0 {
			continue
		}
		j := pr.blocks[0]
		m, q := p.Net.Joints[j].Model, p.Post.Cause[j]
		yes := likelihood(pr.answers[0][0].Add, len(q)+1)
		total, sum := 0.0, 1e-12
		for k := range q {
			total += q[k] * yes[k]
			sum += q[k]
		}
		for k, c := range m.Causes {
			see(c, q[k]*(yes[k]/max(total/sum, 1e-12)-1))
		}
	}
	var out []string
	for _, m := range []moved{up, down} {
		if m.title != "" && !slices.Contains(out, m.title) {
			out = append(out, m.title)
		}
	}
	return out
}
