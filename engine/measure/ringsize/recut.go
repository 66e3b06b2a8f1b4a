package ringsize

import (
	"math"

	"seepwright/engine/measure/gland"
	"seepwright/rules/unit"
)

// Recut is a groove that would fit a ring, worked out with the mating part as it is.
type Recut struct {
	Fit              // the ring in the new groove
	Groove   Dim     // diameter of the groove, as Place.Groove
	Depth    Dim     // depth of a face groove
	Width    Dim     // width, at least the present one; At 0 when the present one is not known
	Cutting  bool    // taking metal off is enough; otherwise it wants a new part or a sleeve
	Changes  float64 // sum of the changes of groove diameter, depth and width, m
	measured Place
}

// recut looks for the groove with the least change: by taking metal off where that is possible, else by a new part
// for the nearest ring.
//
// For each ring the groove diameter (and the depth of a face groove) runs between the present size and the one at
// which squeeze and hold are as aimed at; the first size that keeps the bands with a margin of a quarter is taken, so that
// the least is cut. nil when no ring can be helped so. Source: the same relations as the search, turned round.
func recut(sizes Sizes, p Place, b Bands, nearest *Fit) *Recut {
	var best *Recut
	for _, r := range sizes.wide(p, b) {
		if c := cutFor(r, p, b); c != nil && c.Cutting && (best == nil || c.Changes < best.Changes-1e-9) {
			best = c
		}
	}
	if best == nil && nearest != nil {
		best = cutFor(nearest.Ring, p, b)
	}
	if best != nil {
		best.judge(best.measured, b)
	}
	return best
}

// wide lists rings of the tables, and metric sizes, that a deeper or shallower groove might take.
func (s Sizes) wide(p Place, b Bands) []Ring {
	t := p.depth()
	var out []Ring
	for _, r := range s.Rings {
		if !r.anyID() && r.Cord > t/2 && r.Cord < 4*t {
			out = append(out, r)
		}
	}
	return append(out, s.metric(func(c unit.Length) (from, to unit.Length, ok bool) {
		d := p.Groove.At
		if p.Kind.ByOutside() {
			return 0.85*d - 2*c, 1.15*d - 2*c, c > t/2 && c < 4*t
		}
		return 0.85 * d, 1.15 * d, c > t/2 && c < 4*t
	})...)
}

// enough is the margin to which a groove is cut.
const enough = 0.25

// cutFor is the groove for one ring, nil when none keeps the bands.
func cutFor(r Ring, p Place, b Bands) *Recut {
	at := func(groove unit.Length) (Place, Fit, bool) {
		q := p
		q.Groove.At = groove
		if p.Kind.Face() {
			q.Depth.At = p.depthFor(r, groove, b)
		}
		if q.Width.At > 0 && q.depth() > 0 { // wide enough for the fill aimed at, but never narrower than it is
			need := math.Pi / 4 * float64(r.Cord*r.Cord/q.depth()) / float64(b.Fill.Target())
			q.Width.At = max(q.Width.At, unit.Length(need))
		}
		f, ok := fit(r, q, b)
		return q, f, ok && q.depth() > q.depthTol()
	}
	lo, hi := p.grooveSpan(r, b)
	if !(lo < hi) || lo <= 0 {
		return nil
	}
	top := crest(lo, hi, func(g unit.Length) float64 {
		_, f, _ := at(g)
		return f.Score
	})
	q, f, ok := at(top)
	if !ok || f.Score < 0 {
		return nil
	}
	if near := min(max(p.Groove.At, lo), hi); f.Score > enough { // go back towards the present size as far as the margin allows
		from, to := near, top
		for range 50 {
			mid := (from + to) / 2
			if _, g, ok := at(mid); ok && g.Score >= enough {
				to = mid
			} else {
				from = mid
			}
		}
		if _, g, ok := at(near); ok && g.Score >= enough {
			to = near
		}
		q, f, _ = at(to)
	}
	c := &Recut{Fit: f, Groove: q.Groove, Depth: q.Depth, Width: q.Width, measured: q}
	dg, dd := float64(q.Groove.At-p.Groove.At), float64(q.Depth.At-p.Depth.At)
	c.Changes = math.Abs(dg) + math.Abs(dd) + float64(q.Width.At-p.Width.At)
	outward := dg >= -1e-9
	if !p.Kind.ByOutside() {
		outward = dg <= 1e-9
	}
	c.Cutting = outward && dd >= -1e-9
	return c
}

// depthFor is the depth of a face groove at which the squeeze is as aimed at, or the present depth where that
// lies in the band.
func (p Place) depthFor(r Ring, groove unit.Length, b Bands) unit.Length {
	held, err := gland.Held(p.Kind, r.ID, r.Cord, groove)
	if err != nil {
		return p.Depth.At // fit says the same of it
	}
	fitted := held.Cord
	if s := unit.Ratio((fitted - p.Depth.At) / fitted); b.Squeeze.margin(s) >= enough {
		return p.Depth.At
	}
	return fitted * unit.Length(1-b.Squeeze.Target())
}

// grooveSpan is where the hold of a ring lies in its band.
func (p Place) grooveSpan(r Ring, b Bands) (lo, hi unit.Length) {
	if p.Kind.ByOutside() {
		return r.Outside() * unit.Length(1-b.Hold.Greatest), r.Outside() * unit.Length(1-b.Hold.Least)
	}
	return r.ID * unit.Length(1+b.Hold.Least), r.ID * unit.Length(1+b.Hold.Greatest)
}

// crest is where a function with one hump is greatest.
func crest(lo, hi unit.Length, f func(unit.Length) float64) unit.Length {
	for range 60 {
		a, b := lo+(hi-lo)/3, hi-(hi-lo)/3
		if f(a) < f(b) {
			lo = a
		} else {
			hi = b
		}
	}
	return (lo + hi) / 2
}
