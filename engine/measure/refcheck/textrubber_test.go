package refcheck

import (
	"strings"

	"seepwright/engine/measure/gland"
	"seepwright/rules/unit"
)

var (
	cteNames  = []string{"cte", "cte linear", "alpha", "linear cte", "expansion", "rubber cte", "*"}
	riseNames = []string{"dT", "delta T", "rise", "temperature rise", "fall", "*"}
	setNames  = []string{"set", "compression set", "c"}
)

func (s *said) cte() unit.Expansion {
	return unit.Expansion(s.value(unit.ExpansionDim, cteNames...))
}
func (s *said) rise() unit.Kelvin { return unit.Kelvin(s.value(unit.KelvinDim, riseNames...)) }

// modulus is E as written, or by the hardness relation.
func (s *said) modulus() (unit.Pressure, error) {
	if s.given(unit.PressureDim, "E", "modulus") {
		return s.pressure("E", "modulus"), nil
	}
	return gland.Modulus(s.shore())
}

func (s *said) shore() unit.Hardness {
	return unit.Hardness(s.value(unit.HardnessDim, "shore a", "shore", "hardness", "irhd", "S", "*"))
}

// rubberTopics: heat, swell, set and contact.
func rubberTopics() map[string]func(*said) (answer, error) {
	warm := func(s *said) (answer, error) {
		return one(gland.SqueezeAt(s.cord(), s.depth(), s.cte(), s.rise()))
	}
	before := []string{"t0", "new height", "original height", "original", "cs", "cord"}
	held := []string{"ts", "gland", "squeezed height", "spacer", "gland depth", "depth"}
	load := func(s *said) (unit.LineLoad, error) {
		e, err := s.modulus()
		if err != nil {
			return 0, err
		}
		return gland.LineLoad(s.cord(), e, s.share("squeeze"))
	}
	left := func(s *said) (answer, error) {
		return one(gland.SqueezeAfterSet(s.length(before...), s.length(held...), s.share(setNames...)))
	}
	width := func(s *said) (answer, error) { return one(gland.ContactWidth(s.cord(), s.share("squeeze"))) }
	return map[string]func(*said) (answer, error){
		"thermal_volume_growth":  func(s *said) (answer, error) { return one(gland.VolumeGrowth(s.cte(), s.rise())) },
		"thermal_section_change": func(s *said) (answer, error) { return one(gland.SectionChange(s.cord(), s.cte(), s.rise())) },
		"squeeze_cold":           warm, "squeeze_hot": warm, "squeeze_warm": warm, "squeeze_at_temperature": warm,
		"swollen_section": func(s *said) (answer, error) {
			return one(gland.SwollenSection(s.cord(), s.share("volume swell", "swell")))
		},
		"cte_conversion": func(s *said) (answer, error) { return several(nil, float64(s.cte())) },
		"compression_set": func(s *said) (answer, error) {
			return one(gland.CompressionSet(s.length(before...), s.length(held...), s.length("t1", "recovered height", "recovered", "now")))
		},
		"height_after_set": func(s *said) (answer, error) {
			return one(gland.HeightAfterSet(s.length(before...), s.length(held...), s.share(setNames...)))
		},
		"residual_squeeze_refit": left, "residual_squeeze": left,
		"youngs_modulus_from_shore_a":     func(s *said) (answer, error) { return one(gland.Modulus(s.shore())) },
		"youngs_modulus_from_shore_a_log": func(s *said) (answer, error) { return one(gland.ModulusLog(s.shore())) },
		"line_load":                       func(s *said) (answer, error) { return one(load(s)) },
		"total_compression_force": func(s *said) (answer, error) {
			q, err := load(s)
			if err != nil {
				return answer{}, err
			}
			return one(gland.CloseForce(q, s.length(idNames...), s.cord()))
		},
		"contact_width":       width,
		"contact_width_hertz": func(s *said) (answer, error) { return one(gland.ContactWidthLine(s.cord(), s.share("squeeze"))) },
	}
}

// aroundTopics: the least squeeze round a ring that does not sit in the middle, or in an oval.
func aroundTopics() map[string]func(*said) (answer, error) {
	offset := func(s *said) unit.Length {
		names := []string{"axis offset", "offset", "eccentricity", "e"}
		if s.given(unit.LengthDim, names...) {
			return s.length(names...)
		}
		if s.given(unit.LengthDim, "tir", "runout", "run-out") {
			x, err := gland.OffsetFromRunout(s.length("tir", "runout", "run-out"))
			if err != nil {
				s.missing = append(s.missing, err.Error())
			}
			return x
		}
		if !s.has("concentric") {
			s.lack(unit.LengthDim, names)
		}
		return 0
	}
	answerOf := func(s *said, l gland.Local, err error) (answer, error) {
		if s.percent() {
			return one(l.Share, err)
		}
		return one(l.Squeeze, err)
	}
	around := func(s *said) (answer, error) {
		cord, off := s.cord(), offset(s)
		var groove unit.Length
		var bore gland.Oval
		switch {
		case s.has("oval") && (s.given(unit.LengthDim, "ovality") || s.given(unit.LengthDim, "bore max")):
			groove = s.length(grooveNames...)
			if s.given(unit.LengthDim, "ovality") {
				bore = gland.Oval{Mean: s.length(boreNames...), Semi: s.length("ovality") / 2}
			} else {
				lo, hi := s.length("bore min"), s.length("bore max")
				bore = gland.Oval{Mean: (lo + hi) / 2, Semi: (hi - lo) / 2}
			}
		case s.has("oval"):
			groove = s.length(grooveNames...)
			a, b := s.pair(unit.LengthDim, "bore")
			bore = gland.Oval{Mean: unit.Length(a+b) / 2, Semi: unit.Length(max(a, b)-min(a, b)) / 2}
		case s.given(unit.LengthDim, grooveNames...) && s.given(unit.LengthDim, boreNames...):
			groove, bore = s.length(grooveNames...), gland.Round(s.length(boreNames...))
		default:
			// only the depth is known: the local squeeze of a large round seat of that depth
			groove = 100 * cord
			bore = gland.Round(groove + 2*s.depth())
		}
		least, _, err := gland.SqueezeAround(cord, groove, bore, gland.Offset{By: off})
		return answerOf(s, least, err)
	}
	spigot := []string{"spigot", "piston", "land", "piston dia", "spigot dia"}
	aside := func(s *said) (answer, error) {
		cord := s.cord()
		x, err := gland.SqueezeHardOver(cord, s.length(grooveNames...), s.length(boreNames...), s.length(spigot...))
		if s.percent() {
			return one(unit.Ratio(x/cord), err)
		}
		return one(x, err)
	}
	// the squeeze that must stay, in length or as a share of the section
	keep := func(s *said, names []string) unit.Length {
		if !s.given(unit.LengthDim, names...) && s.given(unit.RatioDim, names...) {
			return s.cord() * unit.Length(s.share(names...))
		}
		return s.length(names...)
	}
	stay := []string{"~must stay", "~squeeze", "min squeeze", "least squeeze", "smin"}
	return map[string]func(*said) (answer, error){
		"min_squeeze_eccentric": around, "min_squeeze_oval_bore": around, "min_squeeze_oval_and_eccentric": around, "min_squeeze_oval": around,
		"min_squeeze_piston_on_one_side": aside, "min_squeeze_hard_over": aside,
		"axis_offset_from_tir": func(s *said) (answer, error) {
			return one(gland.OffsetFromRunout(s.length("tir", "runout", "run-out", "*")))
		},
		"max_ovality_for_min_squeeze": func(s *said) (answer, error) {
			if !s.has("concentric") && s.given(unit.LengthDim, spigot...) {
				return one(gland.GreatestOvalityHardOver(s.cord(), s.length(grooveNames...), s.length(boreNames...), s.length(spigot...), keep(s, stay)))
			}
			return one(gland.GreatestOvality(s.cord(), s.length(grooveNames...), s.length(boreNames...), keep(s, stay)))
		},
		"max_axis_offset_for_min_squeeze": func(s *said) (answer, error) {
			return one(gland.GreatestOffset(s.cord(), s.length(grooveNames...), s.length(boreNames...), keep(s, stay)))
		},
		"max_bore_for_min_squeeze": func(s *said) (answer, error) {
			return one(gland.LargestBore(s.cord(), s.length(grooveNames...), keep(s, stay)))
		},
	}
}

// limitTopics: published limits of gap and cold.
func limitTopics(t tables) map[string]func(*said) (answer, error) {
	tr10 := func(s *said) unit.Celsius { return unit.Celsius(s.value(unit.TemperatureDim, "TR10", "*")) }
	pressure := []string{"p", "pressure", "*"}
	gapLimit := func(s *said) (unit.Length, error) {
		table, err := tableFor(s, t)
		if err != nil {
			return 0, err
		}
		return gland.GreatestGap(table, s.shore(), onEdge(table, s.pressure(pressure...)))
	}
	greatest := func(s *said) (answer, error) { return one(gapLimit(s)) }
	return map[string]func(*said) (answer, error){
		"extrusion_gap_max_diametral": greatest, "extrusion_gap_max": greatest,
		"extrusion_verdict": func(s *said) (answer, error) {
			limit, err := gapLimit(s)
			clearance := s.length("diametral clearance", "diametral gap", "clearance")
			return word(clearance <= limit, err)
		},
		"silicone_clearance": func(s *said) (answer, error) {
			return one(gland.SiliconeGap(s.length("tabulated diametral clearance", "diametral clearance", "clearance", "gap", "*")))
		},
		"low_temp_static_limit":  func(s *said) (answer, error) { return one(gland.ColdLimit(tr10(s))) },
		"low_temp_dynamic_limit": func(s *said) (answer, error) { return one(gland.ColdLimitMoving(tr10(s))) },
	}
}

// onEdge is a pressure that lies on the end of a band but for the rounding of psi to 0.01 MPa.
func onEdge(table []gland.Band, p unit.Pressure) unit.Pressure {
	for _, b := range table {
		if p > b.To && p-b.To < 0.006*mPa {
			return b.To
		}
	}
	return p
}

// tableFor is the gap table that the row names by its key, by JIS, or else the first that lists the hardness.
func tableFor(s *said, t tables) ([]gland.Band, error) {
	for _, key := range []string{"E1", "E2", "E3"} {
		if strings.Contains(s.row["source"]+" "+s.row["inputs"], key) {
			return t.gaps[key], nil
		}
	}
	if strings.Contains(s.text+strings.ToLower(s.row["source"]), "jis") {
		return t.gaps["E3"], nil
	}
	for _, key := range []string{"E1", "E2"} {
		for _, b := range t.gaps[key] {
			if b.Hardness == s.shore() {
				return t.gaps[key], nil
			}
		}
	}
	return nil, errUnknownTable
}
