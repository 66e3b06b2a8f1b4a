package engine

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"seepwright/rules"
	"seepwright/rules/assembly"
	"seepwright/rules/fact"
	"seepwright/rules/unit"
)

// targets judges every target whose fact is known, and lists those of the leading causes
// that still have to be measured.
func (s *Session) targets(ranking []Ranked) []Target {
	wanted := map[string]bool{}
	for _, x := range ranking[:min(6, len(ranking))] {
		if c := s.kb.Cause(x.Kind + "/" + x.Cause); c != nil {
			for _, t := range c.Targets {
				wanted[x.Joint+"/"+t] = true
			}
		}
	}
	for _, f := range s.mem.Active() {
		if f.Action.Target != "" {
			wanted[f.Joint+"/"+f.Action.Target] = true
		}
	}
	out := []Target{}
	for _, j := range s.asm.Joints {
		for _, t := range s.kb.Targets {
			if t.For != "" && t.For != j.Kind || s.kb.Joint(j.Kind) == nil {
				continue
			}
			if t.When != nil && t.When.Cond.Eval(s.mem.Env(j.ID)).Truth != fact.True {
				continue
			}
			v, ok, _ := s.mem.Value(s.mem.Key(j.ID, t.Fact))
			known := ok && v.Answered() && v.Type == fact.Number
			if !known && !wanted[j.ID+"/"+t.ID] {
				continue
			}
			out = append(out, s.judge(t, j, v, known))
		}
	}
	markStrict(out)
	slices.SortStableFunc(out, func(a, b Target) int {
		return cmp.Or(cmp.Compare(order(a), order(b)), cmp.Compare(a.Joint, b.Joint), cmp.Compare(a.Fact, b.Fact))
	})
	return out
}

func order(t Target) int {
	return map[string]int{"missed": 0, "not proven": 1, "not measured": 2, "met": 3}[t.Verdict]
}

// limits gives the lower and upper limit that hold: the maker's figure first, then a solved
// one, then the table's.
func (s *Session) limits(t *rules.Target, joint string) (lo, hi *fact.Measure, from string) {
	lo, hi = t.AtLeast, t.AtMost
	number := func(id string) *fact.Measure {
		if id == "" {
			return nil
		}
		if v, ok, _ := s.mem.Value(s.mem.Key(joint, id)); ok && v.Answered() && v.Type == fact.Number {
			return &v.Num
		}
		return nil
	}
	if m := number(t.LimitBy); m != nil {
		hi, from = m, "solved from this joint's own sizes"
	}
	if m := number(t.LowBy); m != nil {
		lo, from = m, "solved from this joint's own sizes"
	}
	if m := number(t.Maker); m != nil {
		from = "the maker's figure; ours is only a plausibility check"
		if hi != nil {
			hi = m
		} else {
			lo = m
		}
	}
	return lo, hi, from
}

func (s *Session) judge(t *rules.Target, j assembly.Joint, v fact.Value, known bool) Target {
	lo, hi, from := s.limits(t, j.ID)
	f := s.kb.Fact(t.Fact)
	out := Target{ID: t.ID, Fact: t.Fact, Joint: j.ID, Title: t.Title, Verdict: "not measured", Source: t.Source, Standing: string(t.Standing), Without: t.Without, Strict: true}
	if from != "" {
		out.Source = from
	}
	if f != nil {
		out.Unit = unitName(f.Dim)
		if out.Title == "" {
			out.Title = title(f)
		}
	}
	show := func(m *fact.Measure) string {
		if known {
			if u, ok := unit.ByName(v.Num.Unit); ok && u.Dim == m.Dim {
				return unit.FromSI(m.SI, u).String()
			}
		}
		return m.Shown().String()
	}
	switch {
	case lo != nil && hi != nil:
		out.Limit = show(lo) + " to " + show(hi)
	case lo != nil:
		out.Limit = "at least " + show(lo)
	case hi != nil:
		out.Limit = "at most " + show(hi)
	default:
		out.Limit, out.Verdict = "no figure for this joint yet", "not measured"
		return out
	}
	if !known {
		return out
	}
	out.Measured = v.Num.String()
	out.Unit = v.Num.Shown().Unit.Symbol
	margin := math.Inf(1)
	doubt := v.Num.U
	if lo != nil {
		margin, doubt = v.Num.SI-lo.SI, math.Hypot(v.Num.U, lo.U)
	}
	if hi != nil && hi.SI-v.Num.SI < margin {
		margin, doubt = hi.SI-v.Num.SI, math.Hypot(v.Num.U, hi.U)
	}
	out.MarginSI = margin
	width := fact.Measure{SI: math.Abs(margin), Dim: v.Num.Dim, Unit: v.Num.Unit}
	shown := v.Num.Shown().Unit
	amount := unit.Show(width.SI/shown.Factor, 2)
	if shown.Symbol != "1" && shown.Symbol != "off" {
		amount += " " + shown.Symbol
	}
	switch {
	case margin >= doubt:
		out.Verdict, out.Margin = "met", amount+" to spare"
	case margin <= -doubt:
		out.Verdict, out.Margin = "missed", amount+" over the limit"
	default:
		out.Verdict, out.Margin = "not proven", "too close to call with this instrument"
		out.Settle = s.settle(f, v, math.Abs(margin))
	}
	return out
}

// mostReadings is how many repeated readings are worth asking for.
const mostReadings = 10

// settle names the cheapest instrument whose doubt is smaller than what is left to the limit, and how many readings
// with the same one would do.
func (s *Session) settle(f *rules.Fact, v fact.Value, need float64) string {
	if f == nil || need <= 0 {
		return "no instrument can settle a value that lies on the limit itself"
	}
	best, cost := "", 0
	for _, in := range s.kb.Instruments {
		if in.Dim != v.Num.Dim {
			continue
		}
		u, ok := in.U[f.UsedOn]
		if any, has := in.U["any"]; !ok && has && (f.UsedOn == "" || len(in.U) == 1) {
			u, ok = any, true // one made for certain surfaces is not proposed for others
		}
		if ok && math.Max(u.SI, in.Share*math.Abs(v.Num.SI)) < need && (best == "" || in.Cost < cost) {
			best, cost = cmp.Or(in.Title, in.ID), in.Cost
		}
	}
	var ways []string
	if best != "" {
		ways = append(ways, "measure again with: "+best)
	}
	if n := readingsFor(v.Num.U, need); n > 0 {
		ways = append(ways, fmt.Sprintf("take the mean of %d readings", n))
	}
	if len(ways) == 0 {
		return "no instrument listed and no number of readings would settle it: it lies too near to the limit"
	}
	return strings.Join(ways, ", or ")
}

// readingsFor is the number of readings whose mean is doubtful by less than need, 0 when none is worth asking for. Half of
// the variance is the instrument's own and stays.
func readingsFor(u, need float64) int {
	for n := 2; n <= mostReadings; n++ {
		if u*math.Sqrt((1+1/float64(n))/2) < need {
			return n
		}
	}
	return 0
}

// markStrict leaves the mark only on the strictest of several targets for one fact.
func markStrict(list []Target) {
	type place struct{ joint, fact string }
	best := map[place]int{}
	for i := range list {
		if list[i].Measured == "" {
			continue
		}
		k := place{list[i].Joint, list[i].Fact}
		if b, ok := best[k]; !ok || list[i].MarginSI < list[b].MarginSI {
			best[k] = i
		}
	}
	for i := range list {
		if b, ok := best[place{list[i].Joint, list[i].Fact}]; ok && list[i].Measured != "" {
			list[i].Strict = b == i
		}
	}
}

// Limit puts the limit of a target in words for a kind that is only looked up.
func Limit(t *rules.Target) string {
	switch {
	case t.AtLeast != nil && t.AtMost != nil:
		return fmt.Sprintf("%s to %s", t.AtLeast.Shown(), t.AtMost.Shown())
	case t.AtLeast != nil:
		return "at least " + t.AtLeast.Shown().String()
	case t.AtMost != nil:
		return "at most " + t.AtMost.Shown().String()
	case t.LimitBy != "" || t.LowBy != "":
		return "solved from this joint's own sizes"
	case t.Maker != "":
		return "the maker's figure"
	}
	return ""
}
