package refcheck

import (
	"seepwright/engine/measure/flange"
	"seepwright/engine/measure/gland"
	"seepwright/engine/measure/hose"
	"seepwright/rules/unit"
)

// limitRules are questions that the built-in file does not ask, solved by formulas that exist. They
// stand last: every other rule goes before.
func limitRules() []rule {
	head := func(s *said) flange.Head {
		return flange.Head{Face: s.length("dw", "head"), Hole: s.length("dh", "hole")}
	}
	return []rule{
		when(func(s *said) (answer, error) {
			return one(flange.NutFactorOf(s.friction(), s.boltDiameter(), s.threadPitch(), head(s)))
		}, oneOf("nut factor"), oneOf("from friction", "from mu", "of friction")),
		when(func(s *said) (answer, error) {
			return one(flange.FrictionOf(s.nutFactor(), s.boltDiameter(), s.threadPitch(), head(s)))
		}, oneOf("friction"), oneOf("from nut factor", "from k")),
		when(func(s *said) (answer, error) {
			return one(flange.LeastBoltArea(s.force("Wm1"), s.force("Wm2"), s.pressure("Sb"), s.pressure("Sa")))
		}, oneOf("bolt area"), oneOf("required", "least", "minimum")),
		when(func(s *said) (answer, error) {
			return one(flange.TighteningStress(s.force(preloadName...), s.boltDiameter(), s.threadPitch(), s.friction()))
		}, oneOf("tightening stress", "von mises", "equivalent stress")),
		when(func(s *said) (answer, error) {
			return one(flange.Pitch(s.length("Db", "bolt circle", "circle"), s.bolts()))
		}, oneOf("bolt pitch pi", "pitch on the bolt circle", "pitch along", "bolt pitch on")),
		when(func(s *said) (answer, error) {
			n, err := flange.BoltsForLoad(s.force("W", "load", "total"), s.force("F", "per bolt", "each"))
			return several(err, float64(n))
		}, oneOf("number of bolts", "bolts needed")),
		when(func(s *said) (answer, error) {
			return one(flange.YieldMargin(s.pressure("S", "stress"), s.pressure(yieldNames...)))
		}, oneOf("yield margin")),
		when(func(s *said) (answer, error) {
			return one(hose.TensionFromTorque(s.torque(), s.length("d", "screw"), s.nutFactor()))
		}, oneOf("band tension"), oneOf("torque")),
	}
}

// turnedTopics solve the ring formulas for what a part must measure.
func turnedTopics() map[string]func(*said) (answer, error) {
	least, most := []string{"least squeeze", "min squeeze", "squeeze"}, []string{"max squeeze", "squeeze"}
	cord := func(s *said) (answer, error) { return one(gland.LeastCord(s.depth(), s.share(least...))) }
	deepest := func(s *said) (answer, error) {
		gap := unit.Length(0)
		if s.given(unit.LengthDim, gapNames...) {
			gap = s.length(gapNames...)
		}
		return one(gland.DeepestGroove(s.cord(), gap, s.share(least...)))
	}
	shallowest := func(s *said) (answer, error) { return one(gland.ShallowestGroove(s.cord(), 0, s.share(most...))) }
	narrowest := func(s *said) (answer, error) {
		swell := unit.Ratio(0)
		if s.given(unit.RatioDim, "swell", "volume swell") {
			swell = s.share("swell", "volume swell")
		}
		return one(gland.NarrowestGroove(s.cord(), s.depth(), swell, s.share("fill", "max fill")))
	}
	return map[string]func(*said) (answer, error){
		"min_cs_for_squeeze": cord, "max_depth_for_squeeze": deepest, "max_groove_depth_for_squeeze": deepest, "min_depth_for_squeeze": shallowest,
		"min_width_for_fill": narrowest, "min_groove_width_for_fill": narrowest,
		"eccentricity": func(s *said) (answer, error) {
			return one(gland.Eccentricity(s.length(boreNames...), s.length("spigot", "piston", "land")))
		},
		"od_interference": func(s *said) (answer, error) {
			return one(gland.Interference(s.length(idNames...), s.cord(), s.length(append([]string{"wall", "groove od"}, grooveNames...)...)))
		},
	}
}
