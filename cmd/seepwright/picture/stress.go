package picture

import (
	"fmt"
	"math"
	"strconv"
)

// Stress is the pressure on a gasket along its bolts: round the bolt circle, or from bolt to bolt.
type Stress struct {
	About
	Points []StressAt // in order along the gasket
	Bolts  []float64  // where the bolts stand, along the same line
	Round  bool       // along the line in degrees clockwise from 12 o'clock; else mm
	Spread float64    // share by which the load of each bolt may differ at one torque
	Least  float64    // MPa that seat the gasket; 0 = not known
	Most   float64    // MPa that it stands; 0 = not known
	Notes  []string
}

// StressAt is the pressure at a place, MPa; at or below 0 the gasket has lifted.
type StressAt struct{ Along, MPa float64 }

func (g Stress) check() error {
	err := firstOf(counted("places along the gasket", len(g.Points), 2, 20000), counted("bolts", len(g.Bolts), 0, 200), within("the spread", g.Spread, 0, 0.95, "a share from 0 to 0.95"),
		within("the least pressure", g.Least, 0, 1e5, "MPa from 0 to 100000"), within("the greatest pressure", g.Most, 0, 1e5, "MPa from 0 to 100000"))
	for i, p := range g.Points {
		err = firstOf(err, within("a place along the gasket", p.Along, -greatestSize, greatestSize, "degrees or millimetres"), within("the pressure on the gasket", p.MPa, -1e5, 1e5, "MPa from 0 to 100000"))
		if err == nil && i > 0 && p.Along <= g.Points[i-1].Along {
			err = fmt.Errorf("no picture: the places along the gasket do not go forward at %g; give them in order", p.Along)
		}
	}
	for _, x := range g.Bolts {
		err = firstOf(err, within("the place of a bolt", x, -greatestSize, greatestSize, "degrees or millimetres"))
	}
	return err
}

func (g Stress) pressure(mpa float64) string {
	if g.Inch {
		psi := mpa * 145.0377
		if psi == 0 {
			return "0 psi"
		}
		p := math.Pow(10, math.Floor(math.Log10(math.Abs(psi)))-2)
		return strconv.FormatFloat(math.Round(psi/p)*p, 'f', 0, 64) + " psi"
	}
	if math.Abs(mpa) < 99.5 {
		return tidied(mpa) + " MPa"
	}
	return digits(mpa, 0, 0) + " MPa"
}

// at says a place along the gasket.
func (g Stress) at(x float64) string {
	if g.Round {
		return clock(x, true)
	}
	return g.length(x)
}

// least and greatest are the places of the curve that stand out; even is set where it does not differ.
func (g Stress) extremes() (lo, hi int, even bool) {
	for i, p := range g.Points {
		if p.MPa < g.Points[lo].MPa-1e-9 {
			lo = i
		}
		if p.MPa > g.Points[hi].MPa+1e-9 {
			hi = i
		}
	}
	return lo, hi, g.Points[hi].MPa-g.Points[lo].MPa <= 1e-6*math.Abs(g.Points[hi].MPa)
}

// Draw draws the pressure over the line of the bolts. Pressures that are none, or nowhere above 0, are refused.
func (g Stress) Draw() (Picture, error) {
	if err := g.check(); err != nil {
		return Picture{}, err
	}
	lo, hi, even := g.extremes()
	most := g.Points[hi].MPa
	if most <= 0 {
		return Picture{}, fmt.Errorf("no picture: the gasket is pressed nowhere (greatest %g MPa); check the loads", most)
	}
	top := most * (1 + g.Spread)
	for _, limit := range []float64{g.Least, g.Most} {
		if limit <= 2.5*most*(1+g.Spread) {
			top = math.Max(top, limit)
		}
	}
	top *= 1.12
	title := g.titled("Pressure on the gasket")
	s := begin(g.named("stress"), title)
	axes := map[bool]string{false: "MPa", true: "psi"}[g.Inch]
	switch {
	case g.Round:
		axes += ", round the clock"
	case g.Inch:
		axes += ", inches along the gasket"
	default:
		axes += ", millimetres along the gasket"
	}
	s.y = s.para(edge, s.y, wide-2*edge, axes, false, 1)
	const left, high = 44.0, 150.0
	right := wide - edge - 8
	upper := s.y + 2
	foot := upper + high
	first, last := g.Points[0].Along, g.Points[len(g.Points)-1].Along
	px := func(x float64) float64 { return left + (x-first)/(last-first)*(right-left) }
	py := func(mpa float64) float64 { return foot - math.Max(0, mpa)/top*high }
	per := 1.0
	if g.Inch {
		per = 145.0377
	}
	tick := nice(top*per/3.2) / per
	for v := 0.0; v <= top; v += tick {
		s.line("fine tick", left-4, py(v), right, py(v))
		s.text(left-7, py(v)+4, "end", strconv.FormatFloat(tidy(math.Round(v*per*1e6)/1e6), 'f', -1, 64), false)
	}
	if g.Spread > 0 {
		var band [][2]float64
		for _, p := range g.Points {
			band = append(band, [2]float64{px(p.Along), py(p.MPa * (1 + g.Spread))})
		}
		for i := len(g.Points) - 1; i >= 0; i-- {
			band = append(band, [2]float64{px(g.Points[i].Along), py(g.Points[i].MPa * (1 - g.Spread))})
		}
		s.hatchedPath("spread hl", along(band, true))
	}
	for i, limit := range []float64{g.Least, g.Most} {
		if limit > 0 && limit < top {
			s.line([]string{"dash limit", "dots limit"}[i], left, py(limit), right, py(limit))
		}
	}
	var curve [][2]float64
	for _, p := range g.Points {
		curve = append(curve, [2]float64{px(p.Along), py(p.MPa)})
	}
	s.path("thick pressure", along(curve, false))
	s.line("line", left, foot, right, foot)
	for _, b := range g.Bolts {
		if b >= first-1e-9 && b <= last+1e-9 {
			s.path("solid at-bolt", along([][2]float64{{px(b), foot + 3}, {px(b) + 4.5, foot + 11}, {px(b) - 4.5, foot + 11}}, true))
		}
	}
	for i := range 5 {
		x := first + (last-first)*float64(i)/4
		w := g.bare(x)
		if g.Round {
			w = []string{"12", "3", "6", "9", "12"}[i]
		}
		s.text(px(x), foot+24, []string{"start", "middle", "middle", "middle", "end"}[i], w, false)
	}
	s.y = foot + 32
	if !even {
		mark(s, [2]float64{px(g.Points[hi].Along), py(g.Points[hi].MPa) - 9}, 0, true)
		below := py(g.Points[lo].MPa) + 9
		if below > foot-8 {
			below = py(g.Points[lo].MPa) - 9
		}
		mark(s, [2]float64{px(g.Points[lo].Along), below}, 0, false)
	}
	return g.explain(s, title, lo, hi, even), nil
}

func (g Stress) explain(s *sheet, title string, lo, hi int, even bool) Picture {
	t := Table{Head: []string{"", "where", "pressure"}}
	if g.Spread > 0 {
		t.Head = append(t.Head, "with loads as they scatter")
	}
	desc := ""
	row := func(what, where string, mpa float64) {
		cells := []string{what, where, g.pressure(math.Max(0, mpa))}
		if g.Spread > 0 {
			cells = append(cells, g.pressure(math.Max(0, mpa*(1-g.Spread)))+" to "+g.pressure(math.Max(0, mpa*(1+g.Spread))))
		}
		t.Rows = append(t.Rows, cells)
	}
	sum, length := 0.0, 0.0
	for i := 1; i < len(g.Points); i++ {
		d := g.Points[i].Along - g.Points[i-1].Along
		sum, length = sum+d*(math.Max(0, g.Points[i].MPa)+math.Max(0, g.Points[i-1].MPa))/2, length+d
	}
	if even {
		said := "the same all along: " + g.pressure(g.Points[hi].MPa)
		s.legend(said, func(x, y float64) { s.line("thick", x, y, x+24, y) })
		row("even", "all along", g.Points[hi].MPa)
		desc = "Pressure on the gasket, " + said + ". "
	} else {
		s.legend("pressure on the gasket", func(x, y float64) { s.line("thick", x, y, x+24, y) })
		high := "greatest " + g.pressure(g.Points[hi].MPa) + " at " + g.at(g.Points[hi].Along)
		low := "least " + g.pressure(math.Max(0, g.Points[lo].MPa)) + " at " + g.at(g.Points[lo].Along)
		if g.Points[lo].MPa <= 0 {
			low = "lifted, no pressure, at " + g.at(g.Points[lo].Along)
		}
		s.legend(high, func(x, y float64) { mark(s, [2]float64{x + 12, y}, 0, true) })
		s.legend(low, func(x, y float64) { mark(s, [2]float64{x + 12, y}, 0, false) })
		row("greatest", g.at(g.Points[hi].Along), g.Points[hi].MPa)
		row("least", g.at(g.Points[lo].Along), g.Points[lo].MPa)
		row("mean", "all along", sum/length)
		desc = "Pressure on the gasket: " + high + ", " + low + ", mean " + g.pressure(sum/length) + ". "
	}
	if len(g.Bolts) > 0 {
		s.legend("a bolt", func(x, y float64) {
			s.path("solid", along([][2]float64{{x + 12, y - 4}, {x + 16.5, y + 4}, {x + 7.5, y + 4}}, true))
		})
	}
	if g.Spread > 0 {
		said := "loads scatter by " + percent(g.Spread) + " at one torque: the pressure lies within"
		s.legend(said, func(x, y float64) { s.hatched("", x, y-5, 24, 10) })
		desc += sentence(said) + " " + g.pressure(math.Max(0, g.Points[lo].MPa*(1-g.Spread))) + " to " + g.pressure(g.Points[hi].MPa*(1+g.Spread)) + ". "
	}
	bottom, peak := math.Max(0, g.Points[lo].MPa)*(1-g.Spread), g.Points[hi].MPa*(1+g.Spread)
	if g.Least > 0 {
		said := "at least " + g.pressure(g.Least) + " to seat it: " + map[bool]string{true: "reached everywhere", false: "not reached everywhere"}[bottom >= g.Least]
		s.legend(said, func(x, y float64) { s.line("dash", x, y, x+24, y) })
		t.Notes = append(t.Notes, sentence(said)+".")
		desc += sentence(said) + ". "
	}
	if g.Most > 0 {
		said := "at most " + g.pressure(g.Most) + ": " + map[bool]string{true: "kept everywhere", false: "not kept everywhere"}[peak <= g.Most]
		s.legend(said, func(x, y float64) { s.line("dots", x, y, x+24, y) })
		t.Notes = append(t.Notes, sentence(said)+".")
		desc += sentence(said) + ". "
	}
	for _, n := range g.Notes {
		s.note(n)
		desc += clean(n, 400) + " "
		t.Notes = append(t.Notes, n)
	}
	return s.drawn(title, desc, t)
}
