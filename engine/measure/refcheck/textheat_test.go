package refcheck

import (
	"strings"

	"seepwright/engine/measure/flange"
	"seepwright/rules/unit"
)

// members are a rod in a casing with their materials, in the order of flange: rod, casing.
type members struct {
	rodArea, casingArea unit.Area
	rodE, casingE       unit.Pressure
	rod, casing         unit.Expansion
}

// bodies reads rod and casing: "10 mm steel bolt in 25/15 mm brass tube; Es=200, Eb=100 GPa".
func (s *said) bodies(heat bool) (m members, err error) {
	rod := s.length("bolt", "rod", "steel bolt", "steel rod", "bolt dia", "rod dia", "d")
	a, b := s.pair(unit.LengthDim, "tube", "brass tube", "sleeve", "casing", "in", "collar")
	if m.rodArea, err = flange.RingArea(rod, 1e-9*mmU); err != nil {
		return m, err
	}
	if m.casingArea, err = flange.RingArea(unit.Length(max(a, b)), unit.Length(min(a, b))); err != nil {
		return m, err
	}
	e1, e2 := []string{"Es", "E steel", "Eb bolt", "E bolt"}, []string{"Eb", "Ea", "E brass", "E sleeve", "E tube", "Ec"}
	x1, x2 := []string{"alpha steel", "steel", "alpha s", "alpha bolt"}, []string{"alpha brass", "brass", "alpha b", "sleeve", "alpha sleeve", "aluminium", "alpha aluminium", "alpha tube"}
	if s.given(unit.PressureDim, e1...) {
		m.rodE, m.casingE = s.pressure(e1...), s.pressure(e2...)
		if heat {
			m.rod, m.casing = unit.Expansion(s.value(unit.ExpansionDim, x1...)), unit.Expansion(s.value(unit.ExpansionDim, x2...))
		}
		return m, nil
	}
	// "alpha 21e-6 and 10e-6; E 100 and 200 GPa": one order for both, and the casing expands more
	p, q := s.pair(unit.ExpansionDim, "alpha")
	u, v := s.pair(unit.PressureDim, "E")
	if p < q {
		p, q, u, v = q, p, v, u
	}
	m.casing, m.rod, m.casingE, m.rodE = unit.Expansion(p), unit.Expansion(q), unit.Pressure(u), unit.Pressure(v)
	return m, nil
}

func (m members) stiff() (rod, casing unit.Stiffness, err error) {
	if rod, err = flange.Stiffness(m.rodArea, 1, m.rodE); err != nil {
		return
	}
	casing, err = flange.Stiffness(m.casingArea, 1, m.casingE)
	return
}

// heatRules: stiffness, creep and the different growth of bolt and parts.
func heatRules() []rule {
	e := []string{"E", "Es", "modulus"}
	long := []string{"L", "length", "grip", "free length"}
	stiffness := func(s *said) (answer, error) {
		return one(flange.Stiffness(s.stressArea(), s.length(long...), s.pressure(e...)))
	}
	settle := func(s *said) (answer, error) {
		k := unit.Stiffness(0)
		var err error
		if s.given(unit.StiffnessDim, "kb") {
			k = unit.Stiffness(s.value(unit.StiffnessDim, "kb"))
		} else if k, err = flange.Stiffness(s.stressArea(), s.length(long...), s.pressure(e...)); err != nil {
			return answer{}, err
		}
		parts := unit.Stiffness(0) // rigid
		if s.given(unit.StiffnessDim, "kj", "kp", "km") {
			parts = unit.Stiffness(s.value(unit.StiffnessDim, "kj", "kp", "km"))
		}
		return one(flange.LossBySettling(s.length("settling", "creep", "embedding", "lost to", "of creep", "~to"), k, parts))
	}
	shorten := func(s *said) (answer, error) {
		m, err := s.bodies(false)
		if err != nil {
			return answer{}, err
		}
		_, casing, err := m.stiff()
		// the casing is shorter by x in a length, the rod pulls as hard
		x := s.length("tube shortened", "shortened", "~shortened") / s.length("in", "length", "L")
		f := float64(casing) * float64(x)
		return several(err, f/float64(m.rodArea), f/float64(m.casingArea))
	}
	thermal := func(s *said) (answer, error) {
		m, err := s.bodies(true)
		if err != nil {
			return answer{}, err
		}
		rod, casing, err := m.stiff()
		if err != nil {
			return answer{}, err
		}
		x, err := flange.Mismatch(1, m.casing, m.rod, s.rise(), s.rise())
		if err != nil {
			return answer{}, err
		}
		f, err := flange.LoadFromMismatch(x, rod, casing)
		return several(err, float64(f)/float64(m.rodArea), float64(f)/float64(m.casingArea))
	}
	rise := func(s *said) (answer, error) {
		m, err := s.bodies(true)
		if err != nil {
			return answer{}, err
		}
		stress := s.pressure("for", "stress", "~for")
		if s.asks("in bolt", "in the bolt", "in rod") {
			stress *= unit.Pressure(m.rodArea / m.casingArea)
		}
		return one(flange.RiseForStress(stress, m.rodArea, m.casingArea, m.rodE, m.casingE, m.rod, m.casing))
	}
	share := func(s *said) (answer, error) {
		steel, err := flange.Stiffness(unit.Area(s.value(unit.AreaDim, "As", "steel")), 1, s.pressure("Es", "E steel"))
		if err != nil {
			return answer{}, err
		}
		other, err := flange.Stiffness(unit.Area(s.value(unit.AreaDim, "Aa", "Ab", "aluminium", "brass")), 1, s.pressure("Ea", "Eb", "E aluminium", "E brass"))
		if err != nil {
			return answer{}, err
		}
		a, b, err := flange.Shared(s.force("load", "P", "F", "*"), steel, other)
		return several(err, float64(a), float64(b))
	}
	clamp := func(s *said) (answer, error) {
		casing, rod := s.expansions()
		x, err := flange.Mismatch(s.length(long...), casing, rod, s.rise(), s.rise())
		if err != nil {
			return answer{}, err
		}
		f, err := flange.LoadFromMismatch(x, unit.Stiffness(s.value(unit.StiffnessDim, "kb", "bolt")), unit.Stiffness(s.value(unit.StiffnessDim, "kj", "kp", "km", "parts")))
		return one(f, err)
	}
	return []rule{
		when(share, oneOf("load share", "shared load", "share of load")),
		when(shorten, oneOf("stress"), oneOf("on tightening", "tightened")),
		when(thermal, oneOf("thermal stress", "stress from heat", "extra thermal")),
		when(rise, oneOf("temperature rise for", "rise for")),
		when(clamp, oneOf("clamp change", "preload change", "change of clamp", "bolt load change", "change in clamp"), oneOf("housing", "steel", "alumin", "temperature", "heat")),
		when(settle, oneOf("creep", "settling", "embedding", "relaxation of bolt"), oneOf("lost", "loss")),
		when(stiffness, oneOf("bolt stiffness", "rod stiffness", "ea/l")),
	}
}

// expansions are those of the clamped part and the bolt, by name, or as a pair in the order of the title.
func (s *said) expansions() (casing, rod unit.Expansion) {
	if s.given(unit.ExpansionDim, "aj", "alpha j", "alpha housing") {
		return unit.Expansion(s.value(unit.ExpansionDim, "aj", "alpha j", "alpha housing")), unit.Expansion(s.value(unit.ExpansionDim, "ab", "alpha b", "alpha bolt"))
	}
	a, b := s.pair(unit.ExpansionDim, "alpha")
	bolt := strings.Index(s.topic, "bolt")
	if house := strings.Index(s.topic, "housing"); bolt >= 0 && house >= 0 && bolt < house {
		a, b = b, a
	}
	return unit.Expansion(a), unit.Expansion(b)
}
