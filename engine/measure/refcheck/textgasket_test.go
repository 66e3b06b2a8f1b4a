package refcheck

import (
	"encoding/csv"
	"errors"
	"os"
	"path/filepath"
	"regexp"
	"strings"

	"seepwright/engine/measure/flange"
	"seepwright/rules/unit"
)

var (
	effectiveNames = []string{"b", "effective width", "effective gasket width"}
	basicNames     = []string{"b0", "so b0", "basic width", "basic gasket width"}
	reactionNames  = []string{"G", "reaction diameter", "gasket diameter"}
	fluidNames     = []string{"P", "p", "pressure", "design pressure", "*"}
)

// basic is b0 as written, or half the contact width N.
func (s *said) basic() unit.Length {
	if s.given(unit.LengthDim, basicNames...) {
		return s.length(basicNames...)
	}
	return s.length("N", "ring width", "contact width", "gasket width") / 2
}

// basicOf is the basic width that has the effective width b, found by halving.
func basicOf(b unit.Length) (unit.Length, error) {
	lo, hi := 1e-6*mmU, 1e5*mmU
	for range 200 {
		mid := (lo + hi) / 2
		x, err := flange.EffectiveWidth(mid)
		if err != nil {
			return 0, err
		}
		if x < b {
			lo = mid
		} else {
			hi = mid
		}
	}
	return hi, nil
}

func (s *said) effectiveWidth() (unit.Length, error) {
	if s.given(unit.RatioDim, "C", "factor") {
		return flange.EffectiveWidthBy(s.basic(), s.number("C", "factor"))
	}
	return flange.EffectiveWidth(s.basic())
}

// reaction is G from the outside diameter and b, or from both diameters and b0.
func (s *said) reaction() (unit.Length, error) {
	if s.given(unit.LengthDim, "OD", "outside diameter", "outer") && s.given(unit.LengthDim, effectiveNames...) {
		outer := s.length("OD", "outside diameter", "outer")
		basic, err := basicOf(s.length(effectiveNames...))
		if err != nil {
			return 0, err
		}
		return flange.ReactionDiameter(outer, outer-4*basic, basic)
	}
	if s.given(unit.LengthDim, "OD") && s.given(unit.LengthDim, "ID") {
		return flange.ReactionDiameter(s.length("OD"), s.length("ID"), s.basic())
	}
	a, b := s.pair(unit.LengthDim, "ring", "gasket")
	return flange.ReactionDiameter(unit.Length(max(a, b)), unit.Length(min(a, b)), s.basic())
}

var loadSymbol = regexp.MustCompile(`\b(H|Hp|Wm1|Wm2)\b`)

// load is one of the loads of the flange rules by its symbol.
func (s *said) load(symbol string) (unit.Force, error) {
	b, g := func() unit.Length { return s.length(effectiveNames...) }, s.length(reactionNames...)
	m := func() unit.Ratio { return unit.Ratio(s.number("m", "gasket factor")) }
	switch symbol {
	case "H":
		return flange.PressureLoad(g, s.pressure(fluidNames...))
	case "Hp":
		return flange.ContactLoad(b(), g, m(), s.pressure(fluidNames...))
	case "Wm1":
		return flange.OperatingLoad(b(), g, m(), s.pressure(fluidNames...))
	}
	return flange.SeatingLoad(b(), g, s.pressure("y", "seating stress"))
}

// loads asked for: by the symbols of the title, in their order, or by its words.
func flangeLoads(s *said) (answer, error) {
	var symbols []string
	for _, m := range loadSymbol.FindAllString(s.row["what"], -1) {
		if !strings.Contains(" "+strings.Join(symbols, " ")+" ", " "+m+" ") {
			symbols = append(symbols, m)
		}
	}
	if len(symbols) == 0 {
		switch {
		case s.asks("hydrostatic", "end force"):
			symbols = []string{"H"}
		case s.asks("contact load"):
			symbols = []string{"Hp"}
		case s.asks("operating"):
			symbols = []string{"Wm1"}
		default:
			symbols = []string{"Wm2"}
		}
	}
	if len(symbols) > 1 && len(printed(s.row["expected"])) == 1 {
		symbols = symbols[:1] // the rest is how it is made: "contact load Hp=2b pi G m P"
	}
	var out []float64
	for _, x := range symbols {
		f, err := s.load(x)
		if err != nil {
			return answer{}, err
		}
		out = append(out, float64(f))
	}
	return several(nil, out...)
}

// ringArea is the area between two diameters.
func (s *said) ringArea(names ...string) (unit.Area, error) {
	if s.given(unit.AreaDim, "Ag", "gasket area", "area") {
		return unit.Area(s.value(unit.AreaDim, "Ag", "gasket area", "area")), nil
	}
	a, b := s.pair(unit.LengthDim, names...)
	return flange.RingArea(unit.Length(max(a, b)), unit.Length(min(a, b)))
}

func gasketRules() []rule {
	both := func(s *said) (answer, error) {
		b, err := s.effectiveWidth()
		if err != nil {
			return answer{}, err
		}
		g, err := s.reaction()
		return several(err, float64(b), float64(g))
	}
	relaxation := func(s *said) (answer, error) {
		return one(flange.Relaxation(s.force("H", "end force", "*"), unit.Area(s.value(unit.AreaDim, "Ab", "bolt area")), unit.Area(s.value(unit.AreaDim, "Ag", "gasket area")),
			s.pressure("Eb", "bolt modulus"), s.pressure("Eg", "gasket modulus"), s.length("tg", "gasket thickness", "t"), s.length("Lb", "bolt length", "L")))
	}
	stress := func(s *said) (answer, error) {
		f, err := s.preload()
		if err != nil {
			return answer{}, err
		}
		a, err := s.ringArea("ring", "gasket")
		if err != nil {
			return answer{}, err
		}
		return one(flange.GasketStress(f, s.bolts(), a))
	}
	torque := func(s *said) (answer, error) {
		a, err := s.ringArea("ring", "gasket", "on ring")
		if err != nil {
			return answer{}, err
		}
		return one(flange.TorqueForStress(s.pressure("stress", "gasket stress", "sigma", "wanted", "*"), a, s.bolts(), s.boltDiameter(), s.nutFactor()))
	}
	f36 := func(s *said) (answer, error) {
		c, r, err := flange.Compressibility(s.length("P"), s.length("M"), s.length("R"))
		switch {
		case len(printed(s.row["expected"])) > 1:
			return several(err, float64(c), float64(r))
		case s.asks("compressibility"):
			return one(c, err)
		}
		return one(r, err)
	}
	hollow := func(s *said) (answer, error) {
		before := s.share("squeeze", "compression")
		c, err := flange.SqueezeOverHollow(s.length("t", "thickness", "sheet"), before, s.length("hollow", "dip", "depth", "low spot"))
		first := float64(c)
		if strings.Contains(s.row["expected"], "%") && !s.percent() {
			first = c.Percent() // the row prints per cent without a unit
		}
		if len(printed(s.row["expected"])) == 1 {
			return several(err, first)
		}
		return several(err, first, float64(c/before))
	}
	flat := func(s *said) (answer, error) {
		limit, err := s.flatnessLimit()
		if err != nil {
			return answer{}, err
		}
		return word(flange.FlatEnough(s.length("flatness", "unevenness", "warp", "*"), limit))
	}
	defect := func(s *said) (answer, error) {
		table, err := s.defectLimits()
		if err != nil {
			return answer{}, err
		}
		return word(flange.DefectPasses(table, s.length("w", "width"), s.length("rd", "span"), s.length("depth", "d")))
	}
	return []rule{
		when(both, oneOf("width and g", "b and g")),
		when(relaxation, oneOf("relaxation force", "joint relaxation")),
		when(func(s *said) (answer, error) { return one(s.effectiveWidth()) }, oneOf("effective width", "effective gasket width")),
		when(func(s *said) (answer, error) { return one(s.reaction()) }, oneOf("reaction diameter")),
		when(flangeLoads, oneOf("end force", "contact load", "seating bolt load", "seating load", "wm1", "wm2", "hydrostatic", "operating load", "operating bolt load")).without("centre-bolt", "centre bolt"),
		when(torque, oneOf("torque"), oneOf("gasket stress")),
		when(stress, oneOf("gasket stress", "gasket pressure")),
		when(f36, oneOf("compressibility", "recovery")),
		when(hollow, oneOf("hollow", "low spot")),
		when(flat, oneOf("flatness class", "flatness verdict", "flatness")),
		when(defect, oneOf("defect")),
	}
}

// hardness class of a gasket by the words of the row.
func (s *said) gasketClass() (string, error) {
	soft, hard := s.has("soft"), s.has("hard")
	if soft == hard {
		return "", errors.New("the text does not say whether the gasket is hard or soft")
	}
	if soft {
		return "soft", nil
	}
	return "hard", nil
}

// faceTable reads a table of faces of this repository.
func faceTable(name string) ([]map[string]string, error) {
	f, err := os.Open(filepath.Join("../../../kb/tables", name))
	if err != nil {
		return nil, err
	}
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	if err != nil {
		return nil, err
	}
	var out []map[string]string
	for _, r := range all[1:] {
		m := map[string]string{}
		for i, k := range all[0] {
			m[k] = r[i]
		}
		out = append(out, m)
	}
	return out, nil
}

func (s *said) flatnessLimit() (unit.Length, error) {
	class, err := s.gasketClass()
	if err != nil {
		return 0, err
	}
	name := "vessel-round"
	if s.has("across") {
		name = "vessel-across"
	}
	all, err := faceTable("face-flatness.csv")
	for _, r := range all {
		if r["name"] == name && r["class"] == class {
			return unit.Length(float(r["limit_mm"])) * mmU, nil
		}
	}
	return 0, errors.Join(err, errors.New("no flatness limit for a "+class+" gasket"))
}

func (s *said) defectLimits() ([]flange.DefectLimit, error) {
	class, err := s.gasketClass()
	if err != nil {
		return nil, err
	}
	all, err := faceTable("face-defect.csv")
	var out []flange.DefectLimit
	for _, r := range all {
		if r["name"] == class {
			out = append(out, flange.DefectLimit{UpTo: unit.Ratio(float(r["span_to_ratio"])), Depth: unit.Length(float(r["depth_mm"])) * mmU})
		}
	}
	return out, err
}
