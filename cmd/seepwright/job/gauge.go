package job

import (
	"fmt"
	"math"
	"strings"

	"seepwright/engine/measure/leak"
	"seepwright/rules"
	"seepwright/rules/answer"
	"seepwright/rules/fact"
	"seepwright/rules/unit"
)

// Gauge is what was noted of a pressure gauge during a step of the retest.
type Gauge struct {
	Start, End unit.Pressure
	Reads      unit.Pressure // the smallest change that can be read off it
	Volume     unit.Volume   // of the system, 0 where it was not said
	Air        unit.Volume   // left in it
	AirSaid    bool
}

// usualReading is the change of pressure that is seen on a gauge of shop grade where nothing
// else was said. Source: description of the instrument shop-gauge; standing: common practice.
const usualReading = 0.02e5 * unit.Pressure(1)

// ReadGauge reads "1.0 bar to 0.98 bar", with what else is known behind commas: "reads to 0.01
// bar", "12 L" for the volume of the system, "100 mL air" for the air that was left in it.
func ReadGauge(text string) (Gauge, error) {
	g := Gauge{Reads: usualReading}
	parts := strings.Split(text, ",")
	from, to, ok := strings.Cut(parts[0], " to ")
	if !ok {
		return g, fmt.Errorf("%q does not say two readings: write it as 1.0 bar to 0.98 bar", text)
	}
	a, b := strings.TrimSpace(from), strings.TrimSpace(to)
	if _, rest, err := unit.Number(a); err == nil && strings.TrimSpace(rest) == "" { // "1.0 to 0.98 bar"
		if _, u, err := unit.Number(b); err == nil {
			a += " " + u
		}
	}
	for _, x := range []struct {
		text string
		into *unit.Pressure
	}{{a, &g.Start}, {b, &g.End}} {
		q, err := unit.Parse(x.text, unit.PressureDim)
		if err != nil {
			return g, fmt.Errorf("the gauge: %w", err)
		}
		*x.into = unit.Pressure(q.SI())
	}
	if g.Start <= 0 || g.End < 0 || g.Start > 100e5 {
		return g, fmt.Errorf("the gauge: %q is no test pressure; the reading at the start is above zero", strings.TrimSpace(parts[0]))
	}
	for _, p := range parts[1:] {
		p = strings.TrimSpace(p)
		switch {
		case strings.HasPrefix(p, "reads to "):
			q, err := unit.Parse(strings.TrimPrefix(p, "reads to "), unit.PressureDim)
			if err != nil || q.SI() <= 0 {
				return g, fmt.Errorf("the gauge: %q is no change of pressure that can be read: write reads to 0.02 bar", p)
			}
			g.Reads = unit.Pressure(q.SI())
		case strings.HasSuffix(p, " air"):
			q, err := unit.Parse(strings.TrimSuffix(p, " air"), unit.VolumeDim)
			if err != nil || q.SI() < 0 {
				return g, fmt.Errorf("the gauge: %q is no volume of air: write 100 mL air", p)
			}
			g.Air, g.AirSaid = unit.Volume(q.SI()), true
		case p != "":
			q, err := unit.Parse(p, unit.VolumeDim)
			if err != nil || q.SI() <= 0 {
				return g, fmt.Errorf("the gauge: %q is none of: reads to 0.02 bar, 12 L, 100 mL air", p)
			}
			g.Volume = unit.Volume(q.SI())
		}
	}
	if g.Volume > 0 && g.Air >= g.Volume {
		return g, fmt.Errorf("the gauge: the air that was left is as much as the whole system")
	}
	return g, nil
}

// system is what stands under the pressure, with its name.
type system struct {
	name string
	leak.WaterTest
}

// systems are those to reckon with: the one that was described, or where its size was not said
// a small and a large one, between which it will lie. Source: springiness of test systems,
// worked out with the gas law and checked against the method's table; standing: common practice.
func (g Gauge) systems(compressibility float64) []system {
	const litre = 1e-3
	test := func(water, air, give float64) leak.WaterTest {
		return leak.WaterTest{Water: unit.Volume(water), TrappedAir: unit.Volume(air), Give: unit.Volume(give), Compressibility: compressibility}
	}
	if g.Volume > 0 {
		air := float64(g.Air)
		name := "this system"
		if !g.AirSaid {
			air, name = min(0.05*litre, float64(g.Volume)/2), "this system with 50 mL of air left in it"
		}
		return []system{{name, test(float64(g.Volume)-air, air, 0)}}
	}
	// The give of hoses is taken as 30 mL for each bar (an estimate, by the method's 50 to 70
	// mL/bar for a cooler with soft hoses).
	hoses := 0.03 * litre * float64(g.Start) / 1e5
	return []system{
		{"a small part filled solid (50 mL of air left)", test(1*litre, 0.05*litre, 0)},
		{"a circuit of 15 L with hoses and half a litre of air", test(15*litre, 0.5*litre, hoses)},
	}
}

// Seen is what a gauge could see in a step of the retest.
type Seen struct {
	Says        []string
	Unexplained bool // it fell by more than temperature and reading explain
}

// liquid holds the properties that a test of pressure needs.
type liquid struct {
	name            string
	drop            float64 // m3
	expansion       unit.Expansion
	compressibility float64
}

// rows are the rows of the table fluid-properties for the fluids of a case. Drops are 0.05 mL of
// water and 0.033 mL of oil (see leak.Drip). All others count as water.
var rows = map[string]liquid{
	"coolant":       {name: "glycol-50", drop: 0.05e-6},
	"lube-oil":      {name: "oil-vg46", drop: 0.033e-6},
	"hydraulic-oil": {name: "oil-vg46", drop: 0.033e-6},
	"gear-oil":      {name: "oil-vg68", drop: 0.033e-6},
}

// liquidOf takes the properties of what is in the joint from the table of fluids, at 20 C;
// without it those of water (university water-structure data).
func (j *Job) liquidOf(joint string) liquid {
	l, ok := rows[j.value(joint, "fluid")]
	if !ok {
		l = liquid{name: "water", drop: 0.05e-6}
	}
	l.expansion, l.compressibility = 2.07e-4, 4.589e-10
	if j.Tables == nil {
		return l
	}
	t, err := j.Tables.Table("fluid-properties")
	if err != nil {
		return l
	}
	for _, r := range t.Rows() {
		if at, _ := r.SI("at_C"); r.Text("name") != l.name || math.Abs(at-20) > 0.5 {
			continue
		}
		if b, ok := r.SI("expansion_per_K"); ok {
			l.expansion = unit.Expansion(b)
		}
		if k, ok := r.SI("bulk_GPa"); ok && k > 0 {
			l.compressibility = 1 / k
		}
	}
	return l
}

// Look says what the needle proves, and what it can hide.
func (j *Job) Look(joint, gauge, temperature string, over unit.Time) (Seen, error) {
	var out Seen
	g, err := ReadGauge(gauge)
	if err != nil {
		return out, err
	}
	if over <= 0 {
		return out, fmt.Errorf("for how long was the pressure held? say it with --minutes")
	}
	l := j.liquidOf(joint)
	fall := g.Start - g.End
	say := func(format string, args ...any) { out.Says = append(out.Says, fmt.Sprintf(format, args...)) }
	var hides []string
	for _, s := range g.systems(l.compressibility) {
		v, err := s.LostFor(g.Start, min(g.Reads, g.Start), leak.Atmosphere)
		if err != nil {
			return out, err
		}
		n := float64(v) / l.drop
		hides = append(hides, fmt.Sprintf("%s (%s) in %s", volume(v), drops(n, over), s.name))
	}
	say("A needle that moved less than %s in %s can hide %s.", pressure(g.Reads), lasting(over), strings.Join(hides, ", or "))
	t1, t2, noted, err := temperatures(temperature)
	if err != nil {
		return out, err
	}
	low, high := unit.Pressure(math.Inf(1)), unit.Pressure(math.Inf(-1))
	change := unit.Kelvin(float64(t2 - t1))
	if !noted {
		change = 1
	}
	for _, s := range g.systems(l.compressibility) {
		if s.Water <= 0 {
			continue
		}
		by, err := s.ByHeat(g.Start, l.expansion, change, leak.Atmosphere)
		if err != nil {
			return out, err
		}
		low, high = min(low, by), max(high, by)
	}
	switch {
	case !noted:
		say("No temperature was noted: one kelvin alone moves it by %s.", between(low, high))
		out.Unexplained = fall > g.Reads && fall > high
	case change == 0:
		say("The temperature stayed, so it moved nothing.")
		out.Unexplained = fall > g.Reads
	default:
		word := "lift"
		if change < 0 {
			word = "drop"
		}
		say("The %s alone would %s it by %s.", kelvins(change), word, between(min(abs(low), abs(high)), max(abs(low), abs(high))))
		out.Unexplained = fall+low > g.Reads && fall+high > g.Reads
	}
	switch {
	case fall < 0:
		say("It rose by %s. A needle that rises hides a leak: let part and liquid reach one temperature, then judge.", pressure(-fall))
	case out.Unexplained:
		most := fall + max(high, 0)
		if !noted {
			most = fall
		}
		var lost []string
		for _, s := range g.systems(l.compressibility) {
			if v, err := s.LostFor(g.Start, min(most, g.Start), leak.Atmosphere); err == nil {
				lost = append(lost, volume(v))
			}
		}
		say("It fell by %s, more than reading and temperature explain: up to %s went somewhere.", pressure(fall), strings.Join(lost, ", or "))
	case fall == 0:
		say("It did not move: a steady needle alone is no pass.")
	case fall <= g.Reads:
		say("It fell by %s, no more than can be read: a steady needle alone is no pass.", pressure(fall))
	default:
		say("It fell by %s, which temperature can explain: it proves nothing either way.", pressure(fall))
	}
	return out, nil
}

// temperatures reads "18 C to 21 C"; noted is false where nothing was said.
func temperatures(text string) (a, b unit.Celsius, noted bool, err error) {
	if strings.TrimSpace(text) == "" {
		return 0, 0, false, nil
	}
	from, to, two := strings.Cut(text, " to ")
	if !two {
		to = from
	}
	if _, rest, e := unit.Number(from); e == nil && strings.TrimSpace(rest) == "" {
		if _, u, e := unit.Number(to); e == nil {
			from += " " + u
		}
	}
	qa, err := unit.Parse(from, unit.TemperatureDim)
	if err != nil {
		return 0, 0, false, fmt.Errorf("the temperature: %w", err)
	}
	qb, err := unit.Parse(to, unit.TemperatureDim)
	if err != nil {
		return 0, 0, false, fmt.Errorf("the temperature: %w", err)
	}
	celsius, _ := unit.ByName("C")
	return unit.Celsius(qa.In(celsius).Number), unit.Celsius(qb.In(celsius).Number), true, nil
}

// CheckTemperature says what is wrong with a note of two temperatures, if anything.
func CheckTemperature(text string) error {
	_, _, _, err := temperatures(text)
	return err
}

// Rate reads how much comes, in the words of the bench ("a drop a minute"); ok is false where
// it says no rate.
func Rate(text string) (q unit.Flow, ok bool) {
	if strings.TrimSpace(text) == "" {
		return 0, false
	}
	v, err := answer.ReadText(&rules.Fact{Head: rules.Head{ID: "amount"}, Answer: fact.Number, Dim: unit.FlowDim}, text, nil)
	if err != nil || !v.Answered() {
		return 0, false
	}
	return unit.Flow(v.Num.SI), true
}

func abs(p unit.Pressure) unit.Pressure { return unit.Pressure(math.Abs(float64(p))) }

func pressure(p unit.Pressure) string { return unit.Show(float64(p)/1e5, 2) + " bar" }

func between(a, b unit.Pressure) string {
	x, y := unit.Show(float64(a)/1e5, 2), unit.Show(float64(b)/1e5, 2)
	if x == y {
		return x + " bar"
	}
	return x + " to " + y + " bar"
}

func volume(v unit.Volume) string {
	if float64(v) >= 1e-3 {
		return unit.Show(float64(v)*1e3, 2) + " L"
	}
	return unit.Show(float64(v)*1e6, 2) + " mL"
}

func kelvins(k unit.Kelvin) string {
	word := "warming"
	if k < 0 {
		word = "cooling"
	}
	return word + " by " + unit.Show(math.Abs(float64(k)), 2) + " K"
}

func lasting(t unit.Time) string {
	if t < 2*unit.Hour {
		return unit.Show(float64(t)/60, 3) + " min"
	}
	return unit.Show(float64(t)/3600, 3) + " h"
}

// drops says a number of drops in a time as a rate that can be counted.
func drops(n float64, over unit.Time) string {
	per := n / (float64(over) / 60)
	switch {
	case per >= 1.5:
		return fmt.Sprintf("%.0f drops a minute", per)
	case per >= 0.75:
		return "a drop a minute"
	case per > 0:
		every := unit.Time(60 / per)
		if every < 2*unit.Hour {
			return "a drop every " + unit.Show(float64(every)/60, 2) + " min"
		}
		return "a drop every " + unit.Show(float64(every)/3600, 2) + " h"
	}
	return "nothing"
}
