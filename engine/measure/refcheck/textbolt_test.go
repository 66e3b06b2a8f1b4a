package refcheck

import (
	"math"
	"regexp"

	"seepwright/engine/measure/flange"
	"seepwright/rules/unit"
)

// rule is an evaluator of the gasket, bolt and hose file with the words of "what" that call for it:
// every group must be met by one of its words, none of the words of not may stand there.
type rule struct {
	all [][]string
	not []string
	run func(*said) (answer, error)
}

func oneOf(words ...string) []string { return words }

// when is a rule for a title that has one word of every group.
func when(run func(*said) (answer, error), groups ...[]string) rule {
	return rule{all: groups, run: run}
}

func (r rule) without(words ...string) rule { r.not = words; return r }

func (r rule) meets(title string) bool {
	for _, g := range r.all {
		if !holds(title, g) {
			return false
		}
	}
	return !holds(title, r.not)
}

// jointFromText computes a row of the gasket, bolt and hose file from its text. The first rule
// that meets the title counts: the particular ones stand before the general.
func jointFromText(row map[string]string) (answer, error) {
	s, err := sayRow(row)
	if err != nil {
		return answer{}, err
	}
	for _, group := range [][]rule{hoseRules(), coverRules(), heatRules(), rubberRules(), gasketRules(), boltRules(), limitRules()} {
		for _, r := range group {
			if r.meets(s.topic) {
				return s.finish(r.run)
			}
		}
	}
	return answer{}, errUnknownTopic
}

// bolt diameter and pitch: written, or by the name of the thread.
func (s *said) boltDiameter() unit.Length {
	if s.given(unit.LengthDim, "d", "bolt dia", "bolt diameter", "nominal diameter", "thread dia") || len(s.threads) == 0 {
		return s.length("d", "bolt dia", "bolt diameter", "nominal diameter", "thread dia")
	}
	return unit.Length(s.threads[0].d)
}

func (s *said) threadPitch() unit.Length {
	switch {
	case s.given(unit.LengthDim, "P", "pitch"):
		return s.length("P", "pitch")
	case s.given(threadCount, "n", "tpi", "*"):
		return unit.Length(0.0254 / s.value(threadCount, "n", "tpi", "*"))
	case len(s.threads) > 0 && s.threads[0].pitch > 0:
		return unit.Length(s.threads[0].pitch)
	}
	return unit.Length(s.lack(unit.LengthDim, []string{"P", "pitch"}))
}

// stressArea is the area as written, or that of the thread where its pitch is known.
func (s *said) stressArea() unit.Area {
	names := []string{"A", "At", "As", "stress area", "area", "*"}
	if s.given(unit.AreaDim, names...) || len(s.threads) == 0 {
		return unit.Area(s.value(unit.AreaDim, names...))
	}
	if s.threads[0].pitch == 0 {
		return s.coarseArea(s.threads[0].d)
	}
	a, err := flange.StressArea(unit.Length(s.threads[0].d), unit.Length(s.threads[0].pitch))
	if err != nil {
		s.missing = append(s.missing, err.Error())
	}
	return a
}

var (
	proofNames  = []string{"Sp", "proof stress", "proof strength", "Rp", "proof"}
	yieldNames  = []string{"Rp0.2", "Re", "yield", "yield strength", "Sy"}
	fractionOf  = regexp.MustCompile(`(\d*\.?\d+)\s*(%?)\s*(?:of\s+)?(?:the\s+)?(?:proof|rp|yield|x proof)`)
	preloadName = []string{"F", "Fi", "Fp", "preload", "clamp load", "FM", "nominal", "*"}
)

// fraction is the share of proof or yield: "fraction 0.90", "0.75 proof", "70 % of Rp0.2".
func (s *said) fraction(none unit.Ratio) unit.Ratio {
	if s.given(unit.RatioDim, "fraction", "share") {
		return s.share("fraction", "share")
	}
	if m := fractionOf.FindStringSubmatch(s.text); m != nil {
		x := unit.Ratio(float(m[1]))
		if m[2] == "%" {
			x /= 100
		}
		return x
	}
	return none
}

func (s *said) nutFactor() unit.Ratio { return unit.Ratio(s.number("K", "nut factor")) }
func (s *said) friction() unit.Ratio {
	return unit.Ratio(s.number("mu", "friction", "coefficient of friction"))
}
func (s *said) torque() unit.Torque {
	return unit.Torque(s.value(unit.TorqueDim, "T", "torque", "MA", "*"))
}

// preload is what is written, or follows from torque, K and d.
func (s *said) preload() (unit.Force, error) {
	if s.given(unit.ForceDim, preloadName...) {
		return s.force(preloadName...), nil
	}
	return flange.Preload(s.torque(), s.boltDiameter(), s.nutFactor())
}

// scatterOf is Gamma as written, else what the same relation takes for dry and oiled bolts.
func (s *said) scatterOf() unit.Ratio {
	return s.share("Gamma", "scatter", "uncertainty")
}

func boltRules() []rule {
	area := func(s *said) (answer, error) {
		if s.given(threadCount, "n", "tpi", "*") {
			return one(flange.StressAreaUN(s.boltDiameter(), s.value(threadCount, "n", "tpi", "*")))
		}
		if len(s.threads) > 0 && s.threads[0].perInch > 0 {
			return one(flange.StressAreaUN(s.boltDiameter(), s.threads[0].perInch))
		}
		return one(flange.StressArea(s.boltDiameter(), s.threadPitch()))
	}
	proof := func(s *said) (answer, error) {
		f, err := flange.ProofLoad(s.stressArea(), s.proof())
		return one(unit.Force(s.fraction(1))*f, err)
	}
	shareOfProof := func(s *said) (answer, error) {
		f, err := s.preload()
		if err != nil {
			return answer{}, err
		}
		p, err := flange.ProofLoad(s.stressArea(), s.proof())
		return one(f/p, err)
	}
	band := func(s *said) (answer, error) {
		f, err := s.preload()
		if err != nil {
			return answer{}, err
		}
		lo, hi, err := flange.Band(f, s.scatterOf())
		return s.ends(float64(lo), float64(hi), err)
	}
	assembly := func(s *said) (answer, error) {
		return one(flange.AssemblyPreload(s.boltDiameter(), s.threadPitch(), s.pressure(yieldNames...), s.fraction(0.9), s.friction()))
	}
	long := func(s *said) (answer, error) {
		return one(flange.TorqueLong(s.force(preloadName...), s.boltDiameter(), s.threadPitch(), s.friction(), flange.Head{Face: s.length("dw", "head"), Hole: s.length("dh", "hole")}))
	}
	short := func(s *said) (answer, error) {
		return one(flange.Torque(s.force(preloadName...), s.boltDiameter(), s.nutFactor()))
	}
	shareTorque := func(s *said) (answer, error) {
		strength := append(append([]string{}, yieldNames...), proofNames...)
		f, err := flange.ProofLoad(s.stressArea(), s.pressure(strength...))
		if err != nil {
			return answer{}, err
		}
		return one(flange.Torque(f*unit.Force(s.fraction(unit.Ratio(math.NaN()))), s.boltDiameter(), s.nutFactor()))
	}
	constant := func(s *said) (answer, error) {
		return one(flange.JointConstant(unit.Stiffness(s.bareStiffness("kb", "kbolt", "bolt")), unit.Stiffness(s.bareStiffness("km", "kp", "kj", "parts", "members"))))
	}
	perBolt := func(s *said) (answer, error) {
		h := s.force
		if s.given(unit.PressureDim, "p", "pressure", "gas pressure", "*") {
			total, err := flange.PressureLoad(s.length("D", "diameter", "G", "bore", "*"), s.pressure("p", "pressure", "gas pressure", "*"))
			if err != nil {
				return answer{}, err
			}
			return one(flange.PerBolt(total, s.bolts()))
		}
		return one(flange.PerBolt(h("P", "load", "total", "*"), s.bolts()))
	}
	service := func(s *said) (answer, error) {
		return one(flange.ServiceStress(unit.Ratio(s.number("C", "joint constant")), s.force("P", "external load", "service load"), s.force("Fi", "F", "preload"), s.stressArea()))
	}
	stress := func(s *said) (answer, error) {
		f, err := s.preload()
		if err != nil {
			return answer{}, err
		}
		return one(flange.PreloadStress(f, s.stressArea()))
	}
	spread := func(deviation bool) func(*said) (answer, error) {
		return func(s *said) (answer, error) {
			loads := s.loads()
			m, d, err := flange.Spread(loads)
			if deviation {
				return one(d, err)
			}
			return one(m, err)
		}
	}
	fromFactor := func(s *said) (answer, error) {
		return one(flange.LeastFromFactor(s.force("Fmax", "greatest preload", "FMmax", "*"), unit.Ratio(s.number("alphaA", "alpha", "tightening factor"))))
	}
	scatterBy := func(s *said) (answer, error) {
		return one(flange.Scatter(unit.Ratio(s.number("alphaA", "alpha", "tightening factor"))))
	}
	fromTorque := func(s *said) (answer, error) {
		return one(flange.Preload(s.torque(), s.boltDiameter(), s.nutFactor()))
	}
	convert := func(s *said) (answer, error) { return several(nil, float64(s.torque())) }
	return []rule{
		when(convert, oneOf("torque conversion", "convert torque")),
		when(area, oneOf("stress area")),
		when(shareOfProof, oneOf("share of proof", "fraction of proof", "percent of proof", "% of proof", "proof used")),
		when(band, oneOf("band", "preload range", "preload scatter range")),
		when(assembly, oneOf("assembly preload", "combined stress")),
		when(long, oneOf("long formula", "full formula", "long form")),
		when(constant, oneOf("joint constant", "load factor")),
		when(perBolt, oneOf("per bolt", "each bolt"), oneOf("load", "force")),
		when(service, oneOf("service", "working load"), oneOf("stress")),
		when(spread(true), oneOf("deviation")),
		when(spread(false), oneOf("mean preload", "mean of", "average preload")),
		when(fromFactor, oneOf("minimum preload", "least preload"), oneOf("factor", "alphaa")),
		when(scatterBy, oneOf("scatter"), oneOf("alphaa", "factor")),
		when(shareTorque, oneOf("torque"), oneOf("% of", "0.2", "of yield", "of proof", "stainless")),
		when(fromTorque, oneOf("from torque", "at torque", "by torque", "f=t/", "preload of same torque")),
		when(stress, oneOf("preload stress", "bolt stress", "stress from preload")),
		when(short, oneOf("torque"), oneOf("t=k", "k f d", "kfd", "tightening", "torque for preload", "torque from preload")),
		when(proof, oneOf("proof load", "proof", "clamp load")),
		when(fromTorque, oneOf("preload", "clamp")),
	}
}
