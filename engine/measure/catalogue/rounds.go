package catalogue

import (
	"seepwright/engine/measure/form"
	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

func rounds() []Calculation { return []Calculation{roundness(), ovality()} }

var limitIn = Input{Name: "limit", Title: "greatest allowed", Dim: unit.LengthDim, Optional: true}

func roundness() Calculation {
	in := []Input{
		{Name: "radii", Title: "radii from one centre, at clock positions or angles", Dim: unit.LengthDim, Rows: true, Spread: "turn", Optional: true},
		{Name: "dial", Title: "indicator readings at clock positions or angles (outward positive)", Dim: unit.LengthDim, Rows: true, Signed: true, Spread: "turn", Optional: true}, limitIn}
	return Calculation{
		Name: "roundness", Title: "Roundness of a bore or spigot",
		About:  "Roundness by the narrowest ring, and by least squares, smallest outer and largest inner circle. Give radii, or indicator readings with the set-up error taken out.",
		Inputs: in,
		Outputs: []Output{
			{"roundness", "roundness, minimum zone", unit.LengthDim, "least (max d - min d) over all centres; for a dial with r = R + A cos t + B sin t taken off", "ISO 12181-1 (MZCI)", confirmed},
			{"roundness-ls", "roundness, least squares", unit.LengthDim, "range of distances about the least squares circle", "ISO 12181-1 (LSCI), ISO 4291", confirmed},
			{"off-centre", "how far the part sat off centre", unit.LengthDim, "distance of the least squares centre, sqrt(A^2 + B^2)", "ISO 4291", confirmed},
			{"roundness-outside", "roundness about the smallest outer circle", unit.LengthDim, "range of distances about that centre", "ISO 12181-1 (MCCI)", confirmed},
			{"roundness-inside", "roundness about the largest inner circle", unit.LengthDim, "range of distances about that centre", "ISO 12181-1 (MICI)", confirmed},
			{"high-at", "where it stands out most", "", "greatest distance from the least squares circle", "ISO 12181-1", confirmed},
			{"low-at", "where it lies lowest", "", "least distance from the least squares circle", "ISO 12181-1", confirmed},
		},
		Example: map[string]string{"radii": "0 deg = 19.05 mm; 60 deg = 19.01 mm; 120 deg = 18.94 mm; 180 deg = 19.05 mm; 240 deg = 19.01 mm; 300 deg = 18.94 mm", "limit": "0.30 mm"},
		Judges:  []Judge{atMost("roundness", "limit")},
		Blind:   "What lies between the readings, and taper: this is one ring of the part. Take another at a second depth.",
		formula: roundnessFormula,
		lead: func(_ given, o *Out) string {
			return "Out of round by " + o.say(o.Num["roundness"], unit.LengthDim) + ", high at " + o.Text["high-at"] + ", low at " + o.Text["low-at"]
		},
	}
}

func roundnessFormula(g given) (found, error) {
	f := newFound()
	radii, dial := g.rows["radii"], g.rows["dial"]
	if (len(radii) > 0) == (len(dial) > 0) {
		return f, refuse.Because("the readings", "must be radii or indicator readings, one of the two", "give radii for micrometer or caliper readings from a centre, dial for a turned part under an indicator")
	}
	row := radii
	if len(dial) > 0 {
		row = dial
	}
	var p []form.Polar
	clock := false
	for _, r := range row {
		a, c, err := angleAt(r.At)
		if err != nil {
			return f, err
		}
		clock = clock || c
		p = append(p, form.Polar{At: a, Radius: unit.Length(r.V)})
	}
	off, err := roundnessOf(p, len(dial) > 0, &f)
	if err != nil {
		return f, err
	}
	hi, lo := 0, 0
	for i := range off {
		if off[i] > off[hi] {
			hi = i
		}
		if off[i] < off[lo] {
			lo = i
		}
	}
	f.text["high-at"], f.text["low-at"] = sayAngle(p[hi].At, clock), sayAngle(p[lo].At, clock)
	f.touch["radii"] = append(f.touch["radii"], hi, lo)
	f.touch["dial"] = f.touch["radii"]
	if n := len(p); n < 20 {
		f.note("%d readings see shapes of up to %d lobes; more lobes than that pass between them.", n, n/2)
	}
	return f, nil
}

// roundnessOf fills in the figures and gives each reading's deviation from the least squares shape.
func roundnessOf(p []form.Polar, dial bool, f *found) ([]float64, error) {
	ls, err := form.LimaconLeastSquares(p)
	if err != nil {
		return nil, err
	}
	off := make([]float64, len(p))
	if dial {
		z, err := form.LimaconZone(p)
		if err != nil {
			return nil, err
		}
		f.num["roundness"], f.num["roundness-ls"], f.num["off-centre"] = float64(z.Roundness()), float64(ls.Roundness()), float64(ls.Off())
		var touch []int
		for i, r := range p {
			off[i] = float64(r.Radius - ls.At(r.At))
			if d := float64(r.Radius - z.At(r.At)); d > float64(z.High)-1e-9 || d < float64(z.Low)+1e-9 {
				touch = append(touch, i)
			}
		}
		f.touch = map[string][]int{"radii": touch}
		return off, nil
	}
	xy := form.XY(p)
	c, err := form.LeastSquares(xy)
	if err != nil {
		return nil, err
	}
	z, err := form.MinimumZone(xy)
	if err != nil {
		return nil, err
	}
	f.num["roundness"], f.num["roundness-ls"], f.num["off-centre"] = float64(z.Roundness()), float64(c.Roundness()), float64(c.Off())
	out, err := form.Circumscribed(xy)
	if err != nil {
		return nil, err
	}
	f.num["roundness-outside"] = float64(out.Roundness)
	if in, err := form.Inscribed(xy); err == nil { // an arc has no inner circle; the others stand
		f.num["roundness-inside"] = float64(in.Roundness)
	}
	for i := range xy {
		off[i] = float64(c.Deviation(xy[i]))
	}
	f.touch = map[string][]int{"radii": append(append([]int{}, z.OuterAt...), z.InnerAt...)}
	return off, nil
}

func ovality() Calculation {
	in := []Input{{Name: "diameters", Title: "two-point diameters at clock positions or angles", Dim: unit.LengthDim, Rows: true, Spread: "half-turn"}, limitIn}
	return Calculation{
		Name: "ovality", Title: "Ovality from two-point diameters",
		About:  "Largest less smallest diameter of the oval that fits the readings, and which way it lies. Two-point readings are blind to three lobes; two crossed ones can miss an oval altogether.",
		Inputs: in,
		Outputs: []Output{
			{"ovality", "ovality (largest less smallest diameter)", unit.LengthDim, "2 sqrt(A^2 + B^2) of D0 + A cos 2a + B sin 2a by least squares; range where only two directions were measured", "two-wave fit, ISO 4292 practice", confirmed},
			{"half-range", "out-of-roundness, half the range", unit.LengthDim, "(largest - smallest) / 2", "ISO 4292", confirmed},
			{"mean-diameter", "mean diameter", unit.LengthDim, "D0 of the same fit", "two-wave fit, ISO 4292 practice", confirmed},
			{"largest", "largest diameter read", unit.LengthDim, "greatest reading", "definition", confirmed},
			{"smallest", "smallest diameter read", unit.LengthDim, "least reading", "definition", confirmed},
			{"widest-at", "where it is widest", "", "atan2(B, A) / 2", "two-wave fit, ISO 4292 practice", confirmed},
			{"narrowest-at", "where it is narrowest", "", "a quarter turn from the widest", "two-wave fit, ISO 4292 practice", confirmed},
		},
		Example: map[string]string{"diameters": "12:00 = 38.20 mm; 1:30 = 38.00 mm; 3:00 = 37.80 mm; 4:30 = 38.00 mm", "limit": "0.30 mm"},
		Judges:  []Judge{atMost("ovality", "limit")},
		Blind:   "Shapes of an odd number of lobes: across two points a three-lobed bore measures the same all round. A three-point gauge sees it (seepwright measure three-point-bore).",
		formula: func(g given) (found, error) {
			f := newFound()
			d, clock, err := diametersOf(g.rows["diameters"])
			if err != nil {
				return f, err
			}
			s, err := form.Diameters(d)
			if err != nil {
				return f, err
			}
			o, err := ovalOf(d)
			if err != nil {
				return f, err
			}
			f.num["ovality"], f.num["half-range"], f.num["mean-diameter"] = float64(2*o.Semi), float64(s.HalfRange()), float64(o.Mean)
			f.num["largest"], f.num["smallest"] = float64(s.Largest), float64(s.Smallest)
			f.text["widest-at"], f.text["narrowest-at"] = sayAngle(o.Major, clock), sayAngle(o.Major+90*unit.Degree, clock)
			return f, nil
		},
		lead: func(g given, o *Out) string {
			lead := "Oval by " + o.say(o.Num["ovality"], unit.LengthDim) + ", widest at " + o.Text["widest-at"]
			if n := len(g.rows["diameters"]); n < 3 {
				lead += " (two directions only: an oval that lies between them is not seen)"
			}
			return lead
		},
	}
}
