package refcheck

import (
	"errors"
	"math"
	"strings"

	"seepwright/engine/measure/fitting"
	"seepwright/engine/measure/hose"
	"seepwright/engine/measure/leak"
	"seepwright/rules/unit"
)

// hoseRules: hoses, clamps, pipe threads, tubes and small leaks.
func hoseRules() []rule {
	spigot := []string{"spigot", "D", "d", "pipe", "stub"}
	wide := []string{"w", "width", "band", "band width"}
	pressure := []string{"p", "P", "pressure", "band pressure", "*"}
	friction := []string{"mu", "friction"}
	blowOff := func(s *said) (answer, error) {
		return one(hose.BlowOff(s.length(append(spigot, "*")...), s.pressure(pressure...)))
	}
	band := func(s *said) (answer, error) {
		return one(hose.BandPressure(s.force("band tension", "tension", "T", "*"), s.length(wide...), s.length("D", "diameter", "hose", "OD")))
	}
	grip := func(s *said) (answer, error) {
		return one(hose.Grip(s.pressure(pressure...), s.length(append([]string{"D"}, spigot...)...), s.length(wide...), unit.Ratio(s.number(friction...))))
	}
	stretch := func(s *said) (answer, error) {
		return one(hose.Stretch(s.length("hose ID", "ID", "bore", "hose"), s.length("spigot", "OD", "pipe", "stub")))
	}
	shrink := func(s *said) (answer, error) {
		return one(hose.WallShrink(s.length("wall", "t", "thickness"), s.cte(), s.rise()))
	}
	coil := func(s *said) (answer, error) {
		return one(hose.CoilGap(s.counted("turns", "turn"), s.threadStep(), int(s.counted("gaps", "gap", "coils"))))
	}
	turns := func(s *said) (answer, error) {
		for i := range s.items {
			// "8.2 mm / 1.814 mm": length over pitch
			if it := &s.items[i]; !it.aside && len(it.nums) == 2 && !it.spread && fits(it, unit.LengthDim) && it.has {
				return one(fitting.Turns(unit.Length(it.unit.si(it.nums[0])), unit.Length(it.unit.si(it.nums[1]))))
			}
		}
		return one(fitting.Turns(s.length("L1", "gauge length", "length", "hand-tight length"), s.threadStep()))
	}
	taper := func(s *said) (answer, error) { return one(fitting.TaperGrowth(s.threadStep())) }
	wall := func(s *said) (answer, error) {
		w := s.length("two walls", "wall", "both walls", "t")
		if s.has("two walls", "both walls") {
			w /= 2
		}
		return one(fitting.WallReduction(s.length("roll", "growth", "rolled", "past contact", "expansion"), w))
	}
	solder := func(s *said) (answer, error) {
		return one(fitting.SolderWire(s.length("OD", "tube", "tube OD"), s.length("cup", "cup depth", "depth"), s.length("diametral clearance", "clearance", "gap"), s.wire()))
	}
	byMass := func(s *said) (answer, error) {
		m, density := s.value(massRate, "leakage", "*"), s.value(unit.DensityDim, "density", "*")
		return one(leak.Loss(unit.Volume(m/density), 1))
	}
	drops := func(s *said) (answer, error) {
		rate := s.value(dropRate, "rate", "drops", "*")
		if s.given(unit.VolumeDim, "drop", "a drop", "*") {
			return one(leak.Drip(rate, 1, unit.Volume(s.value(unit.VolumeDim, "drop", "a drop", "*"))))
		}
		return one(leak.Drip(rate, 1, unit.Volume(1/s.value(dropsPerUnit, "drops", "*"))))
	}
	lip := func(s *said) (answer, error) {
		return one(fitting.LipSpeed(s.length("shaft", "d", "D", "*"), s.value(unit.AngularDim, "speed", "n", "*")/(2*math.Pi)))
	}
	flats := func(s *said) (answer, error) { return one(fitting.FlatsAngle(s.counted("flats", "flat"))) }
	return []rule{
		when(func(*said) (answer, error) { return answer{}, errPlainDifference }, oneOf("stress after external")),
		when(grip, oneOf("grip")),
		when(blowOff, oneOf("blow-off", "blow off", "push-out", "end thrust")),
		when(band, oneOf("band pressure")),
		when(stretch, oneOf("hose stretch", "hose interference", "stretch (od-id)")),
		when(shrink, oneOf("shrink"), oneOf("wall", "hose")),
		when(coil, oneOf("coil gap")),
		when(turns, oneOf("turns"), oneOf("hand-tight", "hand tight", "gauge length", "length in turns", "npt", "bspt")),
		when(taper, oneOf("per turn", "a turn"), oneOf("growth", "taper")),
		when(wall, oneOf("wall reduction", "wall thinning")),
		when(solder, oneOf("solder")),
		when(byMass, oneOf("as volume", "mass to volume", "volume of"), oneOf("leak")),
		when(drops, oneOf("drops", "drip")),
		when(lip, oneOf("lip speed", "surface speed", "rubbing speed")),
		when(flats, oneOf("flats")),
	}
}

// counted is a number of things: "2 turns", "turns=2", "1 1/2 flats".
func (s *said) counted(names ...string) float64 {
	return s.number(names...)
}

// threadStep is the pitch as a length, from threads to the inch, or from the name of the thread.
func (s *said) threadStep() unit.Length {
	switch {
	case s.given(unit.LengthDim, "P", "pitch"):
		return s.length("P", "pitch")
	case s.given(threadCount, "tpi", "n", "*"):
		return unit.Length(0.0254 / s.value(threadCount, "tpi", "n", "*"))
	case len(s.threads) > 0 && s.threads[0].pitch > 0:
		return unit.Length(s.threads[0].pitch)
	}
	return unit.Length(s.lack(unit.LengthDim, []string{"P", "pitch", "tpi"}))
}

// wire is the solder wire's diameter, in the inputs or the title.
func (s *said) wire() unit.Length {
	if s.given(unit.LengthDim, "wire", "wire dia") {
		return s.length("wire", "wire dia")
	}
	for i := range s.items {
		if it := &s.items[i]; it.aside && it.has && it.unit.dim == unit.LengthDim && strings.Contains(s.topic, "wire") {
			return unit.Length(it.unit.si(it.nums[0]))
		}
	}
	return unit.Length(s.lack(unit.LengthDim, []string{"wire"}))
}

// errPlainDifference is for rows that no formula of engine/measure answers.
var errPlainDifference = errors.New("a plain difference of two figures: no formula of engine/measure takes two stresses")
