package catalogue

import (
	"fmt"
	"math"

	"seepwright/engine/measure/flange"
	"seepwright/engine/measure/form"
	"seepwright/engine/measure/gland"
	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

// Shape is what a calculation sees in the readings round a part, for a drawing. Angles run clockwise from 12 o'clock,
// and where a radius is asked for stands how far the place lies outside of the circle Middle.
type Shape struct {
	Curve  []form.Polar // at the readings; or all round, where an oval was laid to them
	Read   []form.Polar // the readings beside an oval that was laid to them; else nil
	Middle unit.Length  // radius of the circle; 0 where indicator readings do not tell it
	Width  unit.Length  // distance of the two circles that hold the curve
	Clock  bool         // the places were written as a clock

	cord, groove unit.Length
}

// Edge is how far outside of the middle circle a place lies at which a ring is squeezed by just this share of its cord;
// ok is false where no ring is in play.
func (s Shape) Edge(share unit.Ratio) (off unit.Length, ok bool) {
	return s.groove/2 + s.cord*unit.Length(1-share) - s.Middle, s.cord > 0
}

// Round is the shape that a calculation sees round a part: of roundness, ovality, oring-local-squeeze.
func (c Calculation) Round(in In) (Shape, error) {
	g, _, err := c.gather(in)
	if err != nil {
		return Shape{}, err
	}
	switch c.Name {
	case "roundness":
		return roundShape(g)
	case "ovality":
		d, clock, err := diametersOf(g.rows["diameters"])
		if err != nil {
			return Shape{}, err
		}
		o, err := ovalOf(d)
		if err != nil {
			return Shape{}, err
		}
		return between(gland.Oval{}, o, gland.Offset{}, d, clock), nil
	case "oring-local-squeeze":
		return squeezeShape(g)
	}
	return Shape{}, fmt.Errorf("%s does not measure round a part", c.Name)
}

// roundShape is the profile about the narrowest ring that holds it.
func roundShape(g given) (Shape, error) {
	row, dial := g.rows["radii"], false
	if len(row) == 0 {
		row, dial = g.rows["dial"], true
	}
	var s Shape
	var p []form.Polar
	for _, r := range row {
		a, clock, err := angleAt(r.At)
		if err != nil {
			return Shape{}, err
		}
		s.Clock = s.Clock || clock
		p = append(p, form.Polar{At: a, Radius: unit.Length(r.V)})
	}
	if dial {
		z, err := form.LimaconZone(p)
		if err != nil {
			return Shape{}, err
		}
		for _, r := range p {
			s.Curve = append(s.Curve, form.Polar{At: r.At, Radius: r.Radius - z.At(r.At)})
		}
		s.Width = z.Roundness()
		return s, nil
	}
	xy := form.XY(p)
	z, err := form.MinimumZone(xy)
	if err != nil {
		return Shape{}, err
	}
	s.Middle, s.Width = (z.Outer+z.Inner)/2, z.Roundness()
	for _, q := range xy {
		s.Curve = append(s.Curve, form.Polar{At: unit.Angle(math.Atan2(q.Y-z.Y, q.X-z.X)), Radius: unit.Length(math.Hypot(q.X-z.X, q.Y-z.Y)) - s.Middle})
	}
	return s, nil
}

// squeezeShape is the bore as the groove sees it: from the middle of the spigot, less what the groove itself is out of round.
func squeezeShape(g given) (Shape, error) {
	d, clock, err := diametersOf(g.rows["bore"])
	if err != nil {
		return Shape{}, err
	}
	oval, err := ovalOf(d)
	if err != nil {
		return Shape{}, err
	}
	groove := gland.Round(g.length("groove-diameter"))
	if row := g.rows["groove"]; len(row) > 0 {
		dg, _, err := diametersOf(row)
		if err != nil {
			return Shape{}, err
		}
		if groove, err = ovalOf(dg); err != nil {
			return Shape{}, err
		}
	}
	off, err := offsetOf(g, oval)
	if err != nil {
		return Shape{}, err
	}
	f, err := localSqueezeFormula(g)
	if err != nil {
		return Shape{}, err
	}
	s := between(groove, oval, off, d, clock)
	s.cord, s.groove = unit.Length(f.num["cord-used"]), groove.Mean
	return s, nil
}

// between is the room from an inner part to an outer one all round, on top of the mean radius of the inner part.
func between(inner, outer gland.Oval, off gland.Offset, d []form.Diameter, clock bool) Shape {
	s := Shape{Clock: clock}
	radius := func(at unit.Angle, across unit.Length) unit.Length {
		r := across / 2
		if inner.Mean > 0 {
			r += (inner.Mean-inner.At(at))/2 - off.By*unit.Length(math.Cos(float64(at-off.Towards)))
		}
		return r
	}
	least, most := unit.Length(math.Inf(1)), unit.Length(0)
	for i := range 120 {
		a := unit.Angle(i*3) * unit.Degree
		r := radius(a, outer.At(a))
		least, most = min(least, r), max(most, r)
		s.Curve = append(s.Curve, form.Polar{At: a, Radius: r})
	}
	for _, x := range d {
		for _, a := range []unit.Angle{x.At, x.At + math.Pi} {
			s.Read = append(s.Read, form.Polar{At: a, Radius: radius(a, x.D)})
		}
	}
	s.Middle, s.Width = (least+most)/2, most-least
	for _, row := range [][]form.Polar{s.Curve, s.Read} {
		for i := range row {
			row[i].Radius -= s.Middle
		}
	}
	return s
}

// Place is a place of a face as it was named, with its height over the lower of the two planes that hold the face.
type Place struct {
	At string
	form.Height
}

// Face gives the places of a face for a drawing: of flatness.
func (c Calculation) Face(in In) ([]Place, error) {
	if c.Name != "flatness" {
		return nil, fmt.Errorf("%s does not measure a face", c.Name)
	}
	g, _, err := c.gather(in)
	if err != nil {
		return nil, err
	}
	var out []Place
	var p []form.Height
	for _, r := range g.rows["points"] {
		x, y, err := placeXY(r.At, g.length("circle-diameter"))
		if err != nil {
			return nil, err
		}
		p = append(p, form.Height{X: x, Y: y, Z: r.V})
	}
	z, err := form.FlatnessZone(p)
	if err != nil {
		return nil, err
	}
	low := math.Inf(1)
	for i, h := range p {
		h.Z -= z.A*h.X + z.B*h.Y
		low = math.Min(low, h.Z)
		out = append(out, Place{g.rows["points"][i].At, h})
	}
	for i := range out {
		if out[i].Z -= low; out[i].Z < 1e-12 { // what is left of rounding
			out[i].Z = 0
		}
	}
	return out, nil
}

// Holes gives the bolt holes of a face for a drawing, the diameter of each as its height: of flatness.
func (c Calculation) Holes(in In) ([]Place, error) {
	if c.Name != "flatness" {
		return nil, fmt.Errorf("%s does not measure a face", c.Name)
	}
	g, _, err := c.gather(in)
	if err != nil {
		return nil, err
	}
	return holesOf(g)
}

// holesOf reads the bolt holes; without a circle of their own they lie on that of the readings.
func holesOf(g given) ([]Place, error) {
	circle := g.length("bolt-circle")
	if circle == 0 {
		circle = g.length("circle-diameter")
	}
	var out []Place
	for _, r := range g.rows["holes"] {
		x, y, err := placeXY(r.At, circle)
		if err != nil {
			return nil, err
		}
		if err := refuse.Positive("a bolt hole", r.V); err != nil {
			return nil, err
		}
		out = append(out, Place{r.At, form.Height{X: x, Y: y, Z: r.V}})
	}
	return out, nil
}

// Along is the pressure on a gasket from one bolt to the next, as shares of the way, for a drawing: of cover-bow with its
// bolt load.
func (c Calculation) Along(in In) (at []float64, p []unit.Pressure, err error) {
	if c.Name != "cover-bow" {
		return nil, nil, fmt.Errorf("%s does not know the pressure along a gasket", c.Name)
	}
	g, _, err := c.gather(in)
	if err != nil {
		return nil, nil, err
	}
	if !g.has("bolt-load") {
		return nil, nil, fmt.Errorf("the pressure along the gasket needs the load of one bolt: give bolt-load")
	}
	f := newFound()
	e, eg, err := moduli(g, &f)
	if err != nil {
		return nil, nil, err
	}
	cover := flange.Cover{Width: g.length("cover-width"), Thickness: g.length("cover-thickness"), E: e, GasketE: eg, GasketWidth: g.length("gasket-width"), GasketThickness: g.length("gasket-thickness")}
	l, err := cover.Lambda()
	if err != nil {
		return nil, nil, err
	}
	b, err := cover.Between(g.force("bolt-load"), g.length("spacing"))
	if err != nil {
		return nil, nil, err
	}
	for i := range 61 {
		x := float64(i) / 60
		share, err := flange.PressureAlong(l*float64(g.length("spacing"))/2, unit.Ratio(2*x-1))
		if err != nil {
			return nil, nil, err
		}
		at, p = append(at, x), append(p, unit.Pressure(float64(eg)*float64(b.AtBolt/cover.GasketThickness)*float64(share)))
	}
	return at, p, nil
}
