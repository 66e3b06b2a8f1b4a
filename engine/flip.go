package engine

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"seepwright/rules"
	"seepwright/rules/fact"
)

// Flip is the value of a measured number at which a verdict that rests on it would turn. It is
// found by giving the rules other numbers with the same uncertainty, all else kept.
type Flip struct {
	Fact       string `json:"fact"`
	Joint      string `json:"joint"`
	Title      string `json:"title"`
	Measured   string `json:"measured"` // as given, with its unit
	Instrument string `json:"instrument,omitempty"`
	Verdict    string `json:"verdict"`  // fact id of what is concluded
	Says       string `json:"says"`     // what is concluded, in short
	Now        string `json:"now"`      // the verdict as it stands
	Holds      string `json:"holds_to"` // the last value at which it still stands
	Then       string `json:"then"`     // the verdict on the other side
	From       string `json:"turns_at"` // the first value at which it is that; between the two it is open
	Sees       bool   `json:"sees"`     // the instrument tells the measured value from the one where it turns
	Near       bool   `json:"nearest"`  // of the verdicts on this number the one that turns first
}

// flips lists, for each number that was given, the nearest value at which each yes, no or choice
// concluded from it that can move the ranking would be another.
func (s *Session) flips() []Flip {
	out := []Flip{}
	for _, g := range s.given() {
		k := g.keys[0]
		f := s.kb.Fact(k.Fact)
		if f == nil || !s.feeds[k.Fact] || g.value.Type != fact.Number || !g.value.Answered() || g.value.Num.SI == 0 {
			continue
		}
		from, near := len(out), []float64{}
		t := &turner{s: s, given: g, had: map[[2]float64]map[fact.Key]string{}}
		x, u := g.value.Num.SI, g.value.Num.U
		now, sharp := t.verdicts(x, u), t.verdicts(x, 0)
		for _, v := range s.mem.Keys() {
			vf := s.kb.Fact(v.Fact)
			if vf == nil || slices.Contains(g.keys, v) || s.told(v).Origin != "" {
				continue
			}
			if now[v] == "" {
				continue
			}
			if l, ok := t.turn(f, v, now[v], u); ok {
				l.Sees = true
				out, near = append(out, s.flip(g, f, vf, l)), append(near, math.Abs(l.from-x))
			}
		}
		// What a sharper instrument would decide at this very value.
		var blunt []fact.Key
		for v := range sharp {
			if now[v] == "" && !slices.Contains(g.keys, v) {
				blunt = append(blunt, v)
			}
		}
		slices.SortFunc(blunt, func(a, b fact.Key) int { return cmp.Or(cmp.Compare(a.Joint, b.Joint), cmp.Compare(a.Fact, b.Fact)) })
		for _, v := range blunt {
			if l, ok := t.turn(f, v, sharp[v], 0); ok && math.Abs(l.until-x) <= u {
				out, near = append(out, s.flip(g, f, s.kb.Fact(v.Fact), l)), append(near, math.Abs(l.from-x))
			}
		}
		if len(near) > 0 {
			out[from+slices.Index(near, slices.Min(near))].Near = true
		}
	}
	return out
}

// turned is where a verdict turns.
type turned struct {
	key         fact.Key
	now, then   string
	until, from float64 // the last value at which it holds, the first at which it is another
	Sees        bool
}

func (s *Session) flip(g given, f, verdict *rules.Fact, l turned) Flip {
	at := func(x float64) string {
		m := g.value.Num
		m.SI = x
		text, _, _ := strings.Cut(m.String(), " ±")
		return text
	}
	out := Flip{Fact: f.ID, Joint: g.keys[0].Joint, Title: title(f), Measured: g.value.Num.String(), Verdict: verdict.ID,
		Says: strings.TrimSuffix(title(verdict), "?"), Now: l.now, Then: l.then, Holds: at(l.until), From: at(l.from), Sees: l.Sees}
	if in := s.kb.Instrument(cmp.Or(g.value.Num.Instrument, f.Instrument)); in != nil {
		out.Instrument = cmp.Or(in.Title, in.ID)
	}
	return out
}

// turner gives the rules other values of one number and remembers what they concluded.
type turner struct {
	s     *Session
	given given
	had   map[[2]float64]map[fact.Key]string
}

// verdicts lists what is concluded, in words, when the number is x with uncertainty u.
func (t *turner) verdicts(x, u float64) map[fact.Key]string {
	if got := t.had[[2]float64{x, u}]; got != nil {
		return got
	}
	v := t.given.value
	v.Num.SI, v.Num.U = x, u
	back := t.s.trial(t.given.keys, &v)
	defer back()
	out := map[fact.Key]string{}
	mem := t.s.mem
	for _, k := range mem.Keys() {
		got, ok, _ := mem.Value(k)
		f := t.s.kb.Fact(k.Fact)
		if f == nil || !ok || !got.Answered() || !t.s.moves[k.Fact] || got.Type != fact.YesNo && got.Type != fact.Choice {
			continue
		}
		if slices.ContainsFunc(mem.RestsOn(k), func(r fact.Key) bool { return slices.Contains(t.given.keys, r) }) {
			out[k] = Say(f, got)
		}
	}
	t.had[[2]float64{x, u}] = out
	return out
}

// steps is how many values on either side are tried, evenly over the way to the bound.
const steps = 24

// turn finds the nearest value, within what is usual for this number (else from nought to
// twice the value), at which the verdict is another; between until and from it is open.
func (t *turner) turn(f *rules.Fact, v fact.Key, now string, u float64) (turned, bool) {
	x := t.given.value.Num.SI
	low, high := min(0, 2*x), max(0, 2*x)
	if f.Least != nil {
		low = max(low, f.Least.SI)
	}
	if f.Most != nil {
		high = min(high, f.Most.SI)
	}
	best, found := turned{key: v, now: now}, false
	for _, end := range []float64{low, high} {
		held, open := x, x // last value where it held, last that was tried
		for i := 1; i <= steps; i++ {
			// Close by at first: the tries stand ever farther apart.
			y := x + (end-x)*math.Pow(1e-4, 1-float64(i)/steps)
			got := t.verdicts(y, u)[v]
			if got == now {
				held, open = y, y
				continue
			}
			if got == "" {
				open = y
				continue
			}
			until := t.edge(held, y, u, func(g string) bool { return g == now }, v)
			from := t.edge(y, open, u, func(g string) bool { return g == got }, v)
			if !found || math.Abs(from-x) < math.Abs(best.from-x) {
				best.then, best.until, best.from, found = got, until, from, true
			}
			break
		}
	}
	return best, found
}

// edge is the last value from a towards b at which the verdict is still good; good at a.
func (t *turner) edge(a, b, u float64, good func(string) bool, v fact.Key) float64 {
	for range 30 {
		mid := (a + b) / 2
		if math.Abs(b-a) < max(u/50, 1e-6*math.Abs(a)) {
			break
		}
		if good(t.verdicts(mid, u)[v]) {
			a = mid
		} else {
			b = mid
		}
	}
	return a
}
