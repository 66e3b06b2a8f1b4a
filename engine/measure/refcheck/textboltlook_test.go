package refcheck

import (
	"regexp"
	"strings"

	"seepwright/rules/unit"
)

var classText = regexp.MustCompile(`(?i)\b(\d{1,2}\.\d|a[24]-\d0)\b`)

// coarseArea is the stress area of a coarse thread that a row names by its diameter alone.
func (s *said) coarseArea(d float64) unit.Area {
	all, err := faceTable("bolt-thread.csv")
	for _, r := range all {
		if r["name"] == "m"+strings.TrimSuffix(r["d_mm"], ".0") && float(r["d_mm"])*1e-3 == d {
			return unit.Area(float(r["area_mm2"])) * mm2
		}
	}
	if err != nil {
		s.missing = append(s.missing, err.Error())
	}
	return unit.Area(s.lack(unit.AreaDim, []string{"A", "and no coarse thread of that diameter"}))
}

// proof is the proof stress as written, or that of the property class which the row names.
func (s *said) proof() unit.Pressure {
	m := classText.FindString(s.row["inputs"])
	if s.given(unit.PressureDim, proofNames...) || m == "" || len(s.threads) == 0 {
		return s.pressure(proofNames...)
	}
	all, err := faceTable("bolt-strength.csv")
	if err != nil {
		s.missing = append(s.missing, err.Error())
	}
	d := s.threads[0].d * 1e3
	for _, r := range all {
		over, upTo := float(r["from_mm"]), float(r["to_mm"])
		if r["name"] == strings.ToLower(m) && float(r["proof_MPa"]) > 0 && d > over && (upTo == 0 || d <= upTo) {
			return unit.Pressure(float(r["proof_MPa"])) * mPa
		}
	}
	return s.pressure(proofNames...)
}

// bareStiffness is a stiffness for a ratio: without a unit, or with a symbol in its place.
func (s *said) bareStiffness(names ...string) float64 {
	if it := s.look(unit.StiffnessDim, names...); it != nil {
		if it.has {
			return it.unit.si(it.nums[0])
		}
		return it.nums[0]
	}
	return s.lack(unit.StiffnessDim, names)
}

var countText = regexp.MustCompile(`\b(\d+)\s*(?:x\s*m\d|bolts?\b|off\b|screws?\b|studs?\b|x\s*\d/\d)`)

// bolts is the number of bolts: "6 x M8", "10 bolts", "N=6".
func (s *said) bolts() int {
	if m := countText.FindStringSubmatch(strings.ToLower(s.row["inputs"])); m != nil {
		return int(float(m[1]))
	}
	return int(s.number("N", "n", "bolts", "number of bolts"))
}

// loads are the readings of a list, in SI.
func (s *said) loads() []unit.Force {
	for i := range s.items {
		it := &s.items[i]
		if len(it.nums) > 2 && fits(it, unit.ForceDim) {
			u, ok := s.unitOf(it, unit.ForceDim)
			if !ok {
				continue
			}
			s.used[it] = true
			var out []unit.Force
			for _, x := range it.nums {
				out = append(out, unit.Force(u.si(x)))
			}
			return out
		}
	}
	s.missing = append(s.missing, "no list of loads with a unit")
	return nil
}
