package main

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"seepwright/cmd/seepwright/picture"
	"seepwright/engine/measure/catalogue"
	"seepwright/kb"
	"seepwright/rules/table"
	"seepwright/rules/unit"
)

// sketch is a calculation that has run, ready to be drawn.
type sketch struct {
	about picture.About
	calc  catalogue.Calculation
	in    catalogue.In
	out   catalogue.Out
}

// sketches are the calculations that have a picture.
var sketches = map[string]func(sketch) (drawing, error){
	"oring-fit":           sketch.piston,
	"oring-rod-fit":       sketch.rod,
	"oring-face-fit":      sketch.faceRing,
	"oring-local-squeeze": sketch.round,
	"roundness":           sketch.round,
	"ovality":             sketch.round,
	"flatness":            sketch.face,
	"bolt-order":          sketch.order,
	"gasket-stress":       sketch.stress,
	"cover-bow":           sketch.bow,
	"hose-end":            sketch.hose,
	"hose-fit":            sketch.hose,
}

// sketched names the calculations that have a picture, sorted.
func sketched() []string {
	var out []string
	for name := range sketches {
		out = append(out, name)
	}
	slices.Sort(out)
	return out
}

// draw makes the picture of a calculation that has run.
func (s sketch) draw() (picture.Picture, error) {
	drawer, ok := sketches[s.calc.Name]
	if !ok {
		return picture.Picture{}, fmt.Errorf("%s has no picture; these have one: %s", s.calc.Name, strings.Join(sketched(), ", "))
	}
	d, err := drawer(s)
	if err != nil {
		return picture.Picture{}, err
	}
	return d.Draw()
}

// given is an input in SI, its default where nobody gave it; ok is false where there is neither.
func (s sketch) given(name string) (si float64, ok bool) {
	if n, ok := s.in.Num[name]; ok {
		return n.SI, true
	}
	for _, i := range s.calc.Inputs {
		if i.Name == name && i.Default != "" {
			if q, err := unit.Parse(i.Default, i.Dim); err == nil {
				return q.SI(), true
			}
		}
	}
	return 0, false
}

// mm is a length among the inputs, 0 where it is not known.
func (s sketch) mm(name string) float64 {
	si, _ := s.given(name)
	return millimetres(si)
}

// millimetres leaves off what is left of rounding in a length.
func millimetres(si float64) float64 { return math.Round(si*1e12) / 1e9 }

// doubt is the uncertainty of an input, mm.
func (s sketch) doubt(name string) float64 { return millimetres(s.in.Num[name].U) }

// limit is what an output was held against, 0 where it was held against nothing.
func (s sketch) limit(output string, atMost bool) float64 {
	for _, l := range s.out.Limits {
		if l.Output == output && l.AtMost == atMost {
			return l.SI
		}
	}
	return 0
}

// ringRoom is a ring in a groove: cord, room and gap with their tolerances, mm, and what they are called.
type ringRoom struct {
	cord, depth, gap          float64
	cordTol, depthTol, gapTol float64
	doubt                     bool // the tolerances are the doubts of the measurement
	lean                      bool // the gap is all on one side where the inner part lies against the other
}

// sections are the states of a gland that are worth drawing: least and greatest by tolerance, else the two sides of a
// part that lies over to one, else by the doubt of the readings, else the one there is.
func (g ringRoom) sections() []picture.GlandSection {
	at := func(title string, sign float64) picture.GlandSection {
		return picture.GlandSection{Title: title, Cord: g.cord - sign*g.cordTol, Depth: g.depth + sign*g.depthTol, Gap: math.Max(0, g.gap+sign*g.gapTol)}
	}
	ranged := g.cordTol > 0 || g.depthTol > 0
	switch {
	case ranged && !g.doubt:
		return []picture.GlandSection{at("least squeeze, by the tolerances", 1), at("greatest squeeze, by the tolerances", -1)}
	case g.lean && g.gap > 0:
		return []picture.GlandSection{{Title: "least squeeze: side with the gap, the parts touch on the other", Cord: g.cord, Depth: g.depth + g.gap, Gap: 2 * g.gap},
			{Title: "greatest squeeze: side where the parts touch", Cord: g.cord, Depth: g.depth - g.gap}}
	case ranged:
		return []picture.GlandSection{at("least squeeze that the readings allow", 1), at("greatest squeeze that the readings allow", -1)}
	}
	return []picture.GlandSection{at("as given", 0)}
}

// radial is the gland between two diameters, each the name of an input.
func (s sketch) radial(outer, outerTol, inner, innerTol, beside string, housing bool) ringRoom {
	g := ringRoom{cord: s.mm("cord"), depth: (s.mm(outer) - s.mm(inner)) / 2, cordTol: s.mm("cord-tolerance"), lean: true}
	ot, it := s.mm(outerTol), s.mm(innerTol)
	if g.cordTol+ot+it == 0 {
		g.doubt = true
		g.cordTol, ot, it = s.doubt("cord"), s.doubt(outer), s.doubt(inner)
	}
	g.depthTol = (ot + it) / 2
	if x := s.mm(beside); x > 0 {
		if housing {
			g.gap, g.gapTol = (x-s.mm(inner))/2, it/2
		} else {
			g.gap, g.gapTol = (s.mm(outer)-x)/2, ot/2
		}
	}
	g.gap = math.Max(0, g.gap)
	return g
}

func (s sketch) piston() (drawing, error) {
	return s.ring(s.radial("bore-diameter", "bore-tolerance", "groove-diameter", "groove-tolerance", "spigot-diameter", false), "spigot or plug", "bore")
}

func (s sketch) rod() (drawing, error) {
	return s.ring(s.radial("groove-diameter", "groove-tolerance", "rod-diameter", "rod-tolerance", "housing-diameter", true), "housing", "rod")
}

func (s sketch) faceRing() (drawing, error) {
	gap := s.mm("face-gap")
	g := ringRoom{cord: s.mm("cord"), depth: s.mm("groove-depth") + gap, gap: gap, cordTol: s.mm("cord-tolerance"), depthTol: s.mm("depth-tolerance")}
	if g.cordTol+g.depthTol == 0 {
		g.doubt, g.cordTol, g.depthTol = true, s.doubt("cord"), s.doubt("groove-depth")
	}
	return s.ring(g, "face with the groove", "cover")
}

// ring is the picture of a gland.
func (s sketch) ring(g ringRoom, inner, outer string) (drawing, error) {
	p := picture.Gland{About: s.about, Inner: inner, Outer: outer, Width: s.mm("groove-width"), Sections: g.sections(), Least: s.limit("squeeze-min", false), Most: s.limit("squeeze-max", true)}
	leans := strings.Contains(p.Sections[0].Title, "touch")
	if leans {
		p.Least = s.limit("squeeze-off-centre", false)
	}
	for _, of := range []struct{ least, most, words string }{{"squeeze-stretched-min", "squeeze-stretched-max", "Stretched on its groove"}, {"squeeze-held-min", "squeeze-held-max", "Pressed into its groove"}} {
		lo, ok := s.out.Num[of.least]
		hi, also := s.out.Num[of.most]
		if ok && also {
			words := fmt.Sprintf("%s the ring is squeezed by %.1f %%", of.words, 100*lo.SI)
			if hi.SI-lo.SI > 5e-4 {
				words = fmt.Sprintf("%s the ring is squeezed by %.1f to %.1f %%", of.words, 100*lo.SI, 100*hi.SI)
			}
			p.Notes = append(p.Notes, words+"; the cord is drawn free.")
		}
	}
	if x, ok := s.out.Num["squeeze-off-centre"]; ok && g.gap > 0 && !leans {
		p.Notes = append(p.Notes, fmt.Sprintf("With the parts against each other on one side the least squeeze is %.1f %%.", 100*x.SI))
	}
	return p, nil
}

// round is the picture of what was read round a part.
func (s sketch) round() (drawing, error) {
	shape, err := s.calc.Round(s.in)
	if err != nil {
		return nil, err
	}
	p := picture.Roundness{About: s.about, Radius: millimetres(float64(shape.Middle)), Zone: millimetres(float64(shape.Width)), Clock: shape.Clock}
	for _, c := range shape.Curve {
		p.Profile = append(p.Profile, picture.Polar{Angle: float64(c.At / unit.Degree), Off: millimetres(float64(c.Radius))})
	}
	for _, c := range shape.Read {
		p.Read = append(p.Read, picture.Polar{Angle: float64(c.At / unit.Degree), Off: millimetres(float64(c.Radius))})
	}
	if shape.Read != nil {
		p.Laid = "oval laid to the two-point readings, the dots"
	}
	switch s.calc.Name {
	case "roundness":
		p.Allowed = millimetres(s.limit("roundness", true))
	case "ovality":
		p.Ring = "about the middle"
		p.Notes = append(p.Notes, s.judged()...)
	case "oring-local-squeeze":
		p.Ring = "the bore as the ring sees it, about the middle of the spigot"
		least := s.limit("least-squeeze-here", false)
		if edge, ok := shape.Edge(unit.Ratio(least)); ok {
			p.Lost = &picture.Lost{Off: millimetres(float64(edge)), Limit: strconv.FormatFloat(math.Round(least*1000)/10, 'f', -1, 64) + " %"}
		}
	}
	return p, nil
}

// face is the map of a face.
func (s sketch) face() (drawing, error) {
	places, err := s.calc.Face(s.in)
	if err != nil {
		return nil, err
	}
	p := picture.Flatness{About: s.about, Flat: millimetres(s.out.Num["flatness"].SI), Allowed: millimetres(s.limit("flatness", true))}
	for _, x := range places {
		p.Spots = append(p.Spots, picture.Spot{X: millimetres(x.X), Y: millimetres(x.Y), High: millimetres(x.Z), At: x.At})
	}
	holes, err := s.calc.Holes(s.in)
	if err != nil {
		return nil, err
	}
	for _, x := range holes {
		p.Holes = append(p.Holes, picture.Hole{X: millimetres(x.X), Y: millimetres(x.Y), D: millimetres(x.Z)})
	}
	return p, nil
}

// order is the pattern of bolts.
func (s sketch) order() (drawing, error) {
	p := picture.Bolts{About: s.about}
	for _, w := range strings.Split(s.out.Text["order"], "-") {
		n, err := strconv.Atoi(strings.TrimSpace(w))
		if err != nil {
			return nil, fmt.Errorf("no picture: this order is told in words, not bolt by bolt: %s", s.out.Text["order"])
		}
		p.Order = append(p.Order, n)
	}
	p.Count = len(p.Order)
	return withRounds(p, func(output string) string {
		n, ok := s.out.Num[output]
		if !ok {
			return ""
		}
		return quantity(n.SI, unit.TorqueDim, s.in.Shown)
	})
}

// withRounds adds the usual rounds of tightening.
func withRounds(p picture.Bolts, torque func(output string) string) (drawing, error) {
	t, err := kb.Published().Table("bolt-rounds")
	if err != nil {
		return nil, err
	}
	r, err := t.Find("the usual rounds", table.Is("name", "usual"))
	if err != nil {
		return nil, err
	}
	for i, x := range []struct{ head, title, output string }{{"round1_pct", "first round", "first-round"}, {"round2_pct", "second round", "second-round"}, {"round3_pct", "third round", "last-round"}} {
		share, ok := r.SI(x.head)
		if !ok {
			return nil, fmt.Errorf("the table of rounds has no figure for round %d", i+1)
		}
		p.Passes = append(p.Passes, picture.Pass{Title: x.title, Share: share, Torque: torque(x.output)})
	}
	p.Then = r.Text("then") + "."
	return p, nil
}

// quantity writes a figure in the unit in which the person gives its kind.
func quantity(si float64, d unit.Dimension, shown map[unit.Dimension]string) string {
	u, ok := unit.ByName(shown[d])
	if !ok || u.Dim != d {
		u = unit.Standard(d)
	}
	return strconv.FormatFloat(math.Round(si/u.Factor*100)/100, 'f', -1, 64) + " " + u.Symbol
}

// stress is the pressure on a gasket round its bolts, the same all round but for the scatter of the loads.
func (s sketch) stress() (drawing, error) {
	n, _ := s.given("bolts")
	if n < 1 || n > 200 {
		return nil, fmt.Errorf("no picture: there are %g bolts; give from 1 to 200", n)
	}
	mean := s.out.Num["stress"].SI / 1e6
	p := picture.Stress{About: s.about, Points: []picture.StressAt{{Along: 0, MPa: mean}, {Along: 360, MPa: mean}}, Round: true, Least: s.limit("stress-min", false) / 1e6, Most: s.limit("stress-max", true) / 1e6,
		Notes: []string{"Mean round the circle: midway between bolts, and under a bowed cover, it is less."}}
	p.Spread, _ = s.given("scatter")
	for i := range int(n) + 1 {
		p.Bolts = append(p.Bolts, 360*float64(i)/n)
	}
	return p, nil
}

// bow is the pressure from one bolt to the next under a cover that bows.
func (s sketch) bow() (drawing, error) {
	at, pressure, err := s.calc.Along(s.in)
	if err != nil {
		return nil, err
	}
	spacing := s.mm("spacing")
	p := picture.Stress{About: s.about, Bolts: []float64{0, spacing}}
	for i := range at {
		p.Points = append(p.Points, picture.StressAt{Along: at[i] * spacing, MPa: float64(pressure[i]) / 1e6})
	}
	if s.out.Num["mid-span-share"].SI <= 0 {
		p.Notes = append(p.Notes, "The gasket lifts midway between the bolts.")
	}
	return p, nil
}

// hose is a hose end as far as it is known.
func (s sketch) hose() (drawing, error) {
	p := picture.Hose{About: s.about, Spigot: s.mm("spigot-diameter"), Bead: s.mm("bead-diameter"), Bore: s.mm("hose-id"), Wall: s.mm("wall"), PushOn: s.mm("push-on"), Band: s.mm("band-width"), Notes: s.judged()}
	for name, to := range map[string]**float64{"clamp-to-bead": &p.ClampToBead, "clamp-to-end": &p.ClampToEnd} {
		if _, ok := s.in.Num[name]; ok {
			x := s.mm(name)
			*to = &x
		}
	}
	return p, nil
}

// judged are the limits of the calculation in short sentences, both sides of a range in one.
func (s sketch) judged() []string {
	var order []string
	limits := map[string][]catalogue.Limit{}
	for _, l := range s.out.Limits {
		if _, ok := s.out.Num[l.Output]; !ok {
			continue
		}
		if limits[l.Output] == nil {
			order = append(order, l.Output)
		}
		limits[l.Output] = append(limits[l.Output], l)
	}
	var out []string
	for _, output := range order {
		word := "kept"
		var sides []string
		for _, l := range limits[output] {
			side := "at least "
			if l.AtMost {
				side = "at most "
			}
			sides = append(sides, side+quantity(l.SI, l.Dim, s.in.Shown))
			switch {
			case l.Verdict == catalogue.TooSmall || l.Verdict == catalogue.TooLarge:
				word = "not kept"
			case l.Verdict == catalogue.CannotSay && word == "kept":
				word = "too close to call"
			}
		}
		l := limits[output][0]
		title := strings.ToUpper(l.Title[:1]) + l.Title[1:]
		out = append(out, fmt.Sprintf("%s %s: %s, %s.", title, quantity(s.out.Num[output].SI, l.Dim, s.in.Shown), strings.Join(sides, " and "), word))
	}
	return out
}
