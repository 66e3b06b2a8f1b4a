package report

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"seepwright/rules"
)

// sight is one yes-no observation: a fact, or one option of a fact.
type sight struct{ fact, option string }

// usual is how often each sign shows over all causes of the kind, weighted by their shares in
// all histories; the knowledge's own figure for any leak goes first where it is higher.
func (j JointPage) usual() map[sight]float64 {
	out, all := map[sight]float64{}, 0.0
	for _, c := range j.Causes {
		weight := 0.0
		for _, h := range rules.Histories() {
			weight += c.Share[h]
		}
		all += weight
		for _, s := range c.Signs {
			out[sight{s.Fact, s.Option}] += weight * s.Shows
		}
	}
	for s := range out {
		out[s] = max(out[s]/max(all, 1e-9), j.base(s))
	}
	return out
}

// base is how often a sign shows in any leak, by the knowledge: the mean of its histories.
func (j JointPage) base(s sight) float64 {
	f := j.KB.Fact(s.fact)
	if f == nil {
		return 0
	}
	by := f.Base
	for _, o := range f.Options {
		if o.ID == s.option {
			by = o.Base
		}
	}
	sum := 0.0
	for _, h := range rules.Histories() { // not over the map, so that sums come out the same each time
		sum += by[h]
	}
	return sum / float64(max(len(by), 1))
}

// telling picks the signs that speak for a cause and, of those that are common, the ones that
// it seldom shows; each list with the most telling first.
func (j JointPage) telling(c *rules.Cause, usual map[sight]float64) (speaks, against []string) {
	type told struct {
		text   string
		weight float64
	}
	var yes, no []told
	for _, s := range c.Signs {
		u := min(max(usual[sight{s.Fact, s.Option}], 0.01), 0.99)
		text := fmt.Sprintf("%s (%.0f %%, else %.0f %%)", j.sign(s), 100*s.Shows, 100*u)
		switch {
		case s.Shows >= 1.3*u && s.Shows >= 0.1:
			yes = append(yes, told{text, s.Shows * math.Log(s.Shows/u)})
		case s.Shows <= 0.4*u && u >= 0.2:
			no = append(no, told{text, (1 - s.Shows) * math.Log((1-s.Shows)/(1-u))})
		}
	}
	texts := func(list []told) (out []string) {
		slices.SortStableFunc(list, func(a, b told) int { return cmp.Compare(b.weight, a.weight) })
		for _, x := range list {
			out = append(out, x.text)
		}
		return out
	}
	return texts(yes), texts(no)
}

func (j JointPage) sign(s rules.Sign) string {
	f := j.KB.Fact(s.Fact)
	if f == nil {
		return s.Fact
	}
	name := strings.TrimSuffix(cmp.Or(f.Title, f.Ask), "?")
	for _, o := range f.Options {
		if o.ID == s.Option {
			return name + ": " + cmp.Or(o.Title, o.ID)
		}
	}
	return name
}
