package catalogue

import (
	"fmt"
	"math"
	"strings"

	"seepwright/engine/measure/form"
	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

func lobes() []Calculation { return []Calculation{veeRoundness(), threePointBore()} }

const veeSource = "derived; agrees with ISO 4292 for 90 degrees"

func veeRoundness() Calculation {
	in := []Input{{Name: "range", Title: "range of the indicator over one turn of the part", Dim: unit.LengthDim, Optional: true, On: "outside"},
		{Name: "readings", Title: "indicator readings over one turn", Dim: unit.LengthDim, Rows: true, Optional: true, Signed: true, Spread: "turn"},
		{Name: "lobes", Title: "number of lobes (count the highs in one turn)", Dim: unit.CountDim}, {Name: "vee", Title: "included angle of the vee", Dim: unit.AngleDim, Optional: true, Default: "90 deg"}, limitIn}
	return Calculation{
		Name: "vee-roundness", Title: "Roundness from a vee-block",
		About:  "A vee magnifies some shapes and is blind to others, by the number of lobes and its angle. Give the range, or the readings of one turn.",
		Inputs: in,
		Outputs: []Output{
			{"indicator-range", "range of the indicator", unit.LengthDim, "largest - smallest reading", "definition", confirmed},
			{"factor", "range over roundness for these lobes", unit.CountDim, "|1 + cos(n (90 deg + a/2)) / sin(a/2)|", veeSource, confirmed},
			{"roundness", "roundness", unit.LengthDim, "range / factor", veeSource, confirmed},
			{"blind-to", "lobes that this vee hardly sees", "", "factor below 0.3 for 2 to 12 lobes", veeSource, confirmed},
		},
		Judges:  []Judge{atMost("roundness", "limit")},
		Blind:   "Other numbers of lobes than the one given: a part with several at once shows a mixture. Turn it in a second vee of another angle.",
		Example: map[string]string{"range": "0.04 mm", "lobes": "3", "limit": "0.03 mm"},
		formula: func(g given) (found, error) {
			f, err := newFound(), error(nil)
			r := g.num["range"]
			if g.has("range") == (len(g.rows["readings"]) > 0) {
				return f, refuse.Because("the indicator", "must be given once", "give its range, or the readings of one turn")
			}
			if row := g.rows["readings"]; len(row) > 0 {
				lo, hi := row[0].V, row[0].V
				for _, x := range row {
					lo, hi = math.Min(lo, x.V), math.Max(hi, x.V)
				}
				r = hi - lo
			}
			n := g.num["lobes"]
			if e := refuse.Within("the number of lobes", n, 2, 100, "2 is an oval, 3 the commonest shape from a three-jaw chuck"); e != nil || n != math.Trunc(n) {
				return f, refuse.First(e, refuse.Because("the number of lobes", "is no whole number", "count the highs in one turn"))
			}
			f.num["indicator-range"] = r
			k, e := form.VeeFactor(int(n), unit.Angle(g.num["vee"]))
			put(&f, &err, "factor", k, e)
			if e != nil {
				return f, err
			}
			var blind []string
			for i := 2; i <= 12; i++ {
				if k, e := form.VeeFactor(i, unit.Angle(g.num["vee"])); e == nil && k < 0.3 {
					blind = append(blind, fmt.Sprint(i))
				}
			}
			f.text["blind-to"] = "none of 2 to 12"
			if len(blind) > 0 {
				f.text["blind-to"] = strings.Join(blind, ", ")
			}
			z, e := form.FromVee(unit.Length(r), int(n), unit.Angle(g.num["vee"]))
			put(&f, &err, "roundness", z, e)
			return f, err
		},
		lead: func(g given, o *Out) string {
			return "Out of round by " + o.say(o.Num["roundness"], unit.LengthDim) + " with " + unit.Show(g.num["lobes"], 3) + " lobes"
		},
	}
}

func threePointBore() Calculation {
	in := []Input{{Name: "readings", Title: "diameters of a self-centring three-point gauge, at clock positions", Dim: unit.LengthDim, Rows: true, Spread: "turn", On: "bore"}, limitIn}
	return Calculation{
		Name: "three-point-bore", Title: "Bore by a three-point gauge",
		About:  "A gauge with three feet 120 degrees apart reads the mean of three radii. It finds three lobes, which two points never see, and misses every oval.",
		Inputs: in,
		Outputs: []Output{
			{"mean-bore", "mean of the readings", unit.LengthDim, "mean", "definition", confirmed},
			{"range", "range of the readings", unit.LengthDim, "largest - smallest", "definition", confirmed},
			{"three-lobed", "out of round by three lobes, at least", unit.LengthDim, "range / 2", "mean of three radii; ISO 4292 practice", confirmed},
		},
		Judges:  []Judge{atMost("three-lobed", "limit")},
		Blind:   "Ovals and every other shape whose number of lobes is no multiple of 3: an oval bore reads the same all round. Measure across two points as well (seepwright measure ovality).",
		Example: map[string]string{"readings": "12:00 = 38.02 mm; 2:00 = 38.05 mm; 4:00 = 38.02 mm", "limit": "0.03 mm"},
		formula: func(g given) (found, error) {
			f := newFound()
			row := g.rows["readings"]
			if len(row) < 2 {
				return f, refuse.Because("the readings", "are too few", "turn the gauge and read at three places at least")
			}
			lo, hi, sum := row[0].V, row[0].V, 0.0
			for _, x := range row {
				if err := refuse.Positive("the reading at "+x.At, x.V); err != nil {
					return f, err
				}
				lo, hi, sum = math.Min(lo, x.V), math.Max(hi, x.V), sum+x.V
			}
			k, err := form.FeetFactor(3, 3)
			if err != nil {
				return f, err
			}
			f.num["mean-bore"], f.num["range"], f.num["three-lobed"] = sum/float64(len(row)), hi-lo, (hi-lo)/float64(k)
			return f, nil
		},
		lead: func(_ given, o *Out) string {
			return "Mean bore " + o.say(o.Num["mean-bore"], unit.LengthDim) + ", three-lobed by at least " + o.say(o.Num["three-lobed"], unit.LengthDim)
		},
	}
}
