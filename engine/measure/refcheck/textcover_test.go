package refcheck

import (
	"seepwright/engine/measure/flange"
	"seepwright/rules/unit"
)

// coverRules: bolt pitch, bow of a cover between bolts, the rim under a centre bolt.
func coverRules() []rule {
	thickness := []string{"t", "thickness", "flange thickness", "cover thickness"}
	greatest := func(s *said) (answer, error) {
		return one(flange.GreatestPitch(s.boltDiameter(), s.length(thickness...), unit.Ratio(s.number("m", "gasket factor"))))
	}
	penalty := func(s *said) (answer, error) {
		return one(flange.PitchPenalty(s.length("pitch", "bolt pitch"), s.length("a", "d", "bolt"), s.length(thickness...)))
	}
	ratio := func(s *said) (answer, error) {
		return one(flange.PitchRatio(s.length("Db", "bolt circle", "circle", "D"), s.bolts(), s.boltDiameter()))
	}
	width, gasket := []string{"a", "width", "cover width"}, []string{"b", "gasket width", "gasket"}
	e := []string{"E", "modulus"}
	pMin, pMax := []string{"Pmin", "pmin", "least pressure", "min pressure"}, []string{"Pmax", "pmax", "greatest pressure", "max pressure"}
	forBow := func(s *said) (answer, error) {
		return one(flange.PitchForBow(s.length(width...), s.length(gasket...), s.length(thickness...), s.pressure(e...), s.length("dH", "bow", "bowing", "gap"), s.pressure(pMin...), s.pressure(pMax...)))
	}
	bow := func(s *said) (answer, error) {
		return one(flange.BowForPitch(s.length(width...), s.length(gasket...), s.length(thickness...), s.pressure(e...), s.length("pitch", "bolt pitch", "L"), s.pressure(pMin...), s.pressure(pMax...)))
	}
	lambda := func(s *said) (answer, error) {
		w, t := s.pair(unit.LengthDim, "cover", "flange", "strip")
		c := flange.Cover{Width: unit.Length(w), Thickness: unit.Length(t), E: s.pressure(e...), GasketE: s.pressure("Eg", "gasket Eg", "gasket modulus"),
			GasketWidth: s.length("wide", "gasket width", "bg"), GasketThickness: s.length("thick", "gasket thickness", "tg")}
		return one(c.Lambda())
	}
	parameter := func(s *said) float64 { return s.value(inverseLength, "lambda", "*") }
	midSpan := func(s *said) (answer, error) {
		if s.given(unit.RatioDim, "u") {
			return one(flange.PressureRatio(s.number("u")))
		}
		return one(flange.PressureRatio(parameter(s) * float64(s.length("pitch", "bolt pitch", "L")) / 2))
	}
	lift := func(s *said) (answer, error) { return one(flange.LiftPitch(parameter(s))) }
	dish := func(s *said) (answer, error) {
		a := s.look(unit.LengthDim, "a", "radius")
		radius := unit.Length(0)
		if a != nil {
			radius = s.length("a", "radius")
		} else {
			radius = s.length("D", "diameter", "dia") / 2
		}
		return one(flange.PlateDish(radius, s.length(thickness...), s.pressure(e...), unit.Ratio(s.number("nu", "poisson")), s.pressure("p", "P", "pressure")))
	}
	centre := func(s *said) (answer, error) {
		outer, inner := s.pair(unit.LengthDim, "rim", "ring")
		seat, p, err := flange.CentreBoltLoad(unit.Length(max(outer, inner)), unit.Length(min(outer, inner)), s.pressure("seating", "seating stress"), s.length("over", "sealed", "sealed diameter"), s.pressure("p", "P", "pressure"))
		if len(printed(s.row["expected"])) == 1 {
			return several(err, float64(seat+p))
		}
		return several(err, float64(seat), float64(p), float64(seat+p))
	}
	return []rule{
		when(greatest, oneOf("maximum bolt pitch", "greatest bolt pitch", "max bolt pitch", "largest bolt pitch", "maximum pitch")),
		when(penalty, oneOf("moment multiplier", "bolt-spacing correction", "pitch correction")),
		when(ratio, oneOf("pitch ratio", "pitch in diameters", "pitch to diameter")),
		when(forBow, oneOf("pitch for", "bolt pitch for"), oneOf("bow")),
		when(bow, oneOf("bow", "bowing"), oneOf("pitch", "between bolts")),
		when(lift, oneOf("falls to zero", "lift-off", "lifts", "zero pressure")),
		when(midSpan, oneOf("mid-span", "midspan", "mid span")),
		when(lambda, oneOf("lambda", "stiffness parameter", "winkler")),
		when(dish, oneOf("deflection", "dish"), oneOf("clamped", "circular")).without("simply", "supported"),
		when(centre, oneOf("centre-bolt", "centre bolt", "center bolt")),
	}
}

// rubberRules: stiffness of rubber pads by their shape.
func rubberRules() []rule {
	e0, k := []string{"E0", "Young's modulus"}, []string{"k"}
	thickness := []string{"t", "thickness"}
	ring := func(s *said) (answer, error) {
		return one(flange.RingStiffness(s.pressure(e0...), unit.Ratio(s.number(k...)), s.length("D", "OD", "outer"), s.length("d", "ID", "inner"), s.length(thickness...)))
	}
	strip := func(s *said) (answer, error) {
		return one(flange.StripModulus(s.pressure(e0...), unit.Ratio(s.number(k...)), s.length("width", "w", "b"), s.length(thickness...)))
	}
	disc := func(s *said) (answer, error) {
		return one(flange.DiscModulus(s.pressure(e0...), unit.Ratio(s.number(k...)), s.length("D", "diameter", "d"), s.length(thickness...)))
	}
	return []rule{
		when(ring, oneOf("annular", "ring"), oneOf("stiffness"), oneOf("pad", "rubber", "e0")),
		when(strip, oneOf("strip"), oneOf("modulus")),
		when(disc, oneOf("disc", "disk"), oneOf("modulus")),
	}
}
