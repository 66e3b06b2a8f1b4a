package ringsize

import (
	"cmp"
	"math"
	"slices"

	"seepwright/engine/measure/gland"
	"seepwright/engine/measure/refuse"
	"seepwright/engine/measure/uncertain"
	"seepwright/rules/unit"
)

// Best is the answer to "which ring fits this gland best".
type Best struct {
	Fits     []Fit             // best first; without one that fits, the nearest
	Suits    bool              // the first keeps every band
	Count    int               // how many rings keep every band
	Score    uncertain.Value   // the margin that decides Safe, with its uncertainty
	Deciding Measure           // what that margin is of
	Safe     uncertain.Verdict // the first keeps (or misses) every band for sure, over the uncertainty of the readings
	Ahead    uncertain.Verdict // the first stays before the second for sure
	Critical string            // the size whose uncertainty weighs most on it, "" without uncertainty
	Needs    unit.Length       // how well it would have to be measured to settle Safe; 0 when that alone does not settle it
	Ideal    Ring              // the ring that would meet squeeze and hold as aimed at: the size to ask for
	Outside  string            // in words, when Ideal lies beyond everything that is searched
	Recut    *Recut            // when none fits: the groove that would fit a ring
}

// listed is how many fits are handed over.
const listed = 5

// ForPlace searches all sizes, the metric ones included, for the rings that suit a gland.
//
// The score of a ring is the least of its margins: squeeze, stretch (or interference) and fill against their
// bands, least squeeze and greatest fill over the tolerances. Scores that agree to a twentieth count as equal, and
// then a ring of a table goes before a metric size that none lists, a confirmed row before one from memory, and
// then the larger score. Rows without inside diameter are left out. Gland sizes that are not finite and above 0, or
// do not go together, are refused. Source: comparison with the limits given; the score is our own (estimate).
func ForPlace(sizes Sizes, p Place, b Bands) (Best, error) {
	if err := refuse.First(sizes.check(), p.check(), b.check(p.Kind)); err != nil {
		return Best{}, err
	}
	var out Best
	fits := rate(sizes.candidates(p, b), p, b)
	for _, f := range fits {
		if f.Score >= 0 {
			out.Count++
		}
	}
	out.Ideal = p.ideal(b)
	out.Outside = sizes.without(out.Ideal)
	if len(fits) == 0 {
		out.Recut = recut(sizes, p, b, nil)
		return out, nil
	}
	out.Fits = fits[:min(listed, len(fits))]
	for i := range out.Fits {
		out.Fits[i].judge(p, b)
	}
	out.Suits = fits[0].Score >= 0
	if !out.Suits {
		out.Recut = recut(sizes, p, b, &fits[0])
	}
	return out, out.weigh(p, b)
}

// rate works the rings out and sorts them.
func rate(rings []Ring, p Place, b Bands) []Fit {
	var fits []Fit
	for _, r := range rings {
		if f, ok := fit(r, p, b); ok {
			fits = append(fits, f)
		}
	}
	slices.SortStableFunc(fits, func(a, b Fit) int {
		return cmp.Or(cmp.Compare(math.Round(b.Score*20), math.Round(a.Score*20)), -cmp.Compare(rank(a.Ring), rank(b.Ring)), cmp.Compare(b.Score, a.Score))
	})
	return fits
}

func rank(r Ring) int {
	switch {
	case r.Listed && r.Standing == "confirmed":
		return 2
	case r.Listed:
		return 1
	}
	return 0
}

// candidates are all rings of the tables and the metric sizes about the gland.
func (s Sizes) candidates(p Place, b Bands) []Ring {
	lo, hi := float64(b.Hold.Least)-0.03, float64(b.Hold.Greatest)+0.03
	t := p.depth()
	return slices.Concat(s.Rings, s.metric(func(c unit.Length) (from, to unit.Length, ok bool) {
		ok = c > t && c < 2*t
		if p.Kind.ByOutside() {
			return p.Groove.At/unit.Length(1-lo) - 2*c, p.Groove.At/unit.Length(1-hi) - 2*c, ok
		}
		return p.Groove.At / unit.Length(1+hi), p.Groove.At / unit.Length(1+lo), ok
	}))
}

// ideal is the ring that meets squeeze and hold as aimed at in this gland.
//
//	d = t / [(1 - C)(1 - R(X))]; d1 = dg/(1 + X), or d1 = dg/(1 - I) - 2 d
//
// A ring held by its outside diameter gains a little section, below 1 %, which is left out. An inside diameter
// of 0 or less means that no ring goes round there.
func (p Place) ideal(b Bands) Ring {
	x := b.Hold.Target()
	r := Ring{Table: "special"}
	loss := unit.Ratio(0)
	if !p.Kind.ByOutside() && x > 0 {
		loss, _ = gland.SectionLoss(x) // the bands are checked: 25 % at most
	}
	r.Cord = p.depth() / unit.Length((1-b.Squeeze.Target())*(1-loss))
	if p.Kind.ByOutside() {
		r.ID = p.Groove.At/unit.Length(1-x) - 2*r.Cord
	} else {
		r.ID = p.Groove.At / unit.Length(1+x)
	}
	return r
}

// without says in words where an ideal ring lies beyond everything that is searched.
func (s Sizes) without(r Ring) string {
	if r.ID <= 0 {
		return "no ring of that section goes round so small a groove"
	}
	reach := s.Reach()
	switch {
	case r.Cord < 0.95*reach.CordFrom:
		return "the section wanted, " + mm2(r.Cord) + " mm, lies below the thinnest of every table, " + mm(reach.CordFrom) + " mm"
	case r.Cord > 1.1*reach.CordTo:
		return "the section wanted, " + mm2(r.Cord) + " mm, lies above the thickest of every table, " + mm(reach.CordTo) + " mm"
	case r.ID < 0.97*reach.IDFrom:
		return "the inside diameter wanted, " + mm2(r.ID) + " mm, lies below the smallest of every table, " + mm(reach.IDFrom) + " mm"
	case r.ID > 1.03*reach.IDTo:
		return "the inside diameter wanted, " + mm2(r.ID) + " mm, lies above the largest of every table, " + mm(reach.IDTo) + " mm"
	}
	return ""
}

func mm2(l unit.Length) string { return unit.Show(math.Round(l.Millimetres()*100)/100, 8) }

// weigh carries the uncertainty of the readings to the margins of the first, and to its lead before the second.
// Each margin is carried by itself: where two cross, the least of them would hide how fast the other falls.
func (out *Best) weigh(p Place, b Bands) error {
	in := make([]uncertain.Value, len(dims))
	for i := range dims {
		d := p.dim(i)
		in[i] = uncertain.Value{X: float64(d.At), U: float64(d.U)}
	}
	at := func(r Ring, x []float64) Fit {
		q := p
		for i := range dims {
			q.dim(i).At = unit.Length(x[i])
		}
		f, _ := fit(r, q, b)
		return f
	}
	first := out.Fits[0]
	margins := func(in []uncertain.Value) ([]uncertain.Value, error) {
		return uncertain.Many(func(x []float64) ([]float64, error) {
			f := at(first.Ring, x)
			m := make([]float64, len(first.Margins))
			for i := range m {
				m[i] = f.Score // where it cannot sit at all
			}
			if f.Score > far {
				f.judge(p, b)
				for i, x := range f.Margins {
					m[i] = x.Margin
				}
			}
			return m, nil
		}, in)
	}
	all, err := margins(in)
	if err != nil {
		return err
	}
	decides := 0 // the margin that is nearest to turning the answer round
	for i, m := range all {
		if out.Suits && m.X-m.U < all[decides].X-all[decides].U || !out.Suits && m.X+m.U < all[decides].X+all[decides].U {
			decides = i
		}
	}
	out.Score, out.Deciding = all[decides], first.Margins[decides].Of
	out.Safe, out.Ahead = uncertain.Above(out.Score.X, out.Score.U, 0), uncertain.Conforms
	if len(out.Fits) > 1 {
		second := out.Fits[1].Ring
		lead, err := uncertain.Propagate(func(x []float64) (float64, error) { return at(first.Ring, x).Score - at(second, x).Score, nil }, in...)
		if err != nil {
			return err
		}
		out.Ahead = uncertain.Above(lead.X, lead.U, 0)
	}
	most := 0.0
	for i := range dims {
		if in[i].U == 0 {
			continue
		}
		one := make([]uncertain.Value, len(in))
		for k := range in {
			one[k] = uncertain.Exact(in[k].X)
		}
		one[i].U = in[i].U
		by, err := margins(one)
		if err != nil {
			return err
		}
		if u := by[decides].U; u > most {
			most, out.Critical, out.Needs = u, dims[i], 0
			// with the other uncertainties as they are: U^2 = U_rest^2 + (c U_i)^2 has to come down to the margin
			if left := out.Score.X*out.Score.X - (out.Score.U*out.Score.U - u*u); left > 0 {
				out.Needs = unit.Length(math.Sqrt(left)/u) * p.dim(i).U
			}
		}
	}
	return nil
}
