package catalogue

import (
	"strings"

	"seepwright/engine/measure/form"
	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

func faces() []Calculation { return []Calculation{flatness(), straightedge()} }

func flatness() Calculation {
	in := []Input{{Name: "points", Title: "heights of the face at x,y (mm) or at clock positions", Dim: unit.LengthDim, Rows: true, Signed: true},
		{Name: "circle-diameter", Title: "diameter of the circle on which clock positions lie", Dim: unit.LengthDim, Optional: true}, limitIn,
		{Name: "holes", Title: "bolt holes, the diameter of each at x,y (mm) or at a clock position of the bolt circle: only drawn", Dim: unit.LengthDim, Rows: true, Optional: true, On: "bore"},
		{Name: "bolt-circle", Title: "diameter of the bolt circle, for holes at clock positions", Dim: unit.LengthDim, Optional: true}}
	return Calculation{
		Name: "flatness", Title: "Flatness of a face",
		About:  "The narrowest pair of parallel planes that holds the face, from heights over a plate or along an indicator; tilt does not matter. Points only see what lies under them.",
		Inputs: in,
		Outputs: []Output{
			{"flatness", "flatness, minimum zone", unit.LengthDim, "least (max r - min r), r = z - A x - B y", "ISO 12781-1 (MZPL)", confirmed},
			{"flatness-ls", "flatness, least squares plane", unit.LengthDim, "range about the plane of least sum of r^2", "ISO 12781-1 (LSPL)", confirmed},
			{"raw-range", "range of the readings", unit.LengthDim, "largest - smallest reading", "definition", confirmed},
			{"high-at", "places that carry the upper plane", "", "contact points of the zone", "ISO 12781-1 (MZPL)", confirmed},
			{"low-at", "places that carry the lower plane", "", "contact points of the zone", "ISO 12781-1 (MZPL)", confirmed},
		},
		Example: map[string]string{"points": "12:00 = 0.00 mm; 1:30 = 0.04 mm; 3:00 = 0.01 mm; 4:30 = -0.03 mm; 6:00 = 0.00 mm; 7:30 = 0.05 mm; 9:00 = 0.01 mm; 10:30 = -0.02 mm", "circle-diameter": "120 mm", "limit": "0.15 mm"},
		Judges:  []Judge{atMost("flatness", "limit")},
		Blind:   "What lies between the points: a burr at a hole, a scratch, a dip narrower than their distance.",
		formula: flatnessFormula,
		lead: func(g given, o *Out) string {
			lead := "Flat within " + o.say(o.Num["flatness"], unit.LengthDim)
			if o.Text["high-at"] != "" {
				lead += ", high at " + o.Text["high-at"] + ", low at " + o.Text["low-at"]
			}
			if len(g.rows["points"]) == 3 {
				lead += " (three points are always flat: take more)"
			}
			return lead
		},
	}
}

func flatnessFormula(g given) (found, error) {
	f := newFound()
	if _, err := holesOf(g); err != nil {
		return f, err
	}
	row := g.rows["points"]
	var p []form.Height
	lo, hi := row[0].V, row[0].V
	for _, r := range row {
		x, y, err := placeXY(r.At, g.length("circle-diameter"))
		if err != nil {
			return f, err
		}
		p = append(p, form.Height{X: x, Y: y, Z: r.V})
		lo, hi = min(lo, r.V), max(hi, r.V)
	}
	z, err := form.FlatnessZone(p)
	if err != nil {
		return f, err
	}
	ls, err := form.PlaneLeastSquares(p)
	if err != nil {
		return f, err
	}
	f.num["flatness"], f.num["flatness-ls"], f.num["raw-range"] = float64(z.Flatness), float64(ls.Flatness()), hi-lo
	f.text["high-at"], f.text["low-at"] = placesOf(row, z.Upper), placesOf(row, z.Lower)
	f.touch = map[string][]int{"points": append(append([]int{}, z.Upper...), z.Lower...)}
	return f, nil
}

func placesOf(row []reading, at []int) string {
	var out []string
	for _, i := range at {
		out = append(out, row[i].At)
	}
	return strings.Join(out, " and ")
}

func straightedge() Calculation {
	in := []Input{{Name: "gaps", Title: "feeler gaps under the straight-edge, each with its line or place", Dim: unit.LengthDim, Rows: true, Optional: true},
		{Name: "heights", Title: "heights along one line, each at its distance", Dim: unit.LengthDim, Rows: true, Signed: true, Optional: true}, limitIn}
	return Calculation{
		Name: "straightedge", Title: "Straight-edge over a face",
		About:  "The largest gap under a straight-edge resting on the high points. On a crowned face it rocks and shows nothing: no gap is no proof of flatness.",
		Inputs: in,
		Outputs: []Output{
			{"largest-gap", "largest gap", unit.LengthDim, "greatest feeler gap, or upper hull - height", "geometry, ISO 12780-1", confirmed},
			{"gap-at", "where the gap is", "", "place of the largest gap", "geometry", confirmed},
		},
		Example: map[string]string{"gaps": "edge front = 0.03 mm; edge back = 0.04 mm; diagonal 1 = 0.08 mm; diagonal 2 = 0.02 mm", "limit": "0.15 mm"},
		Judges:  []Judge{atMost("largest-gap", "limit")},
		Blind:   "A crown: on a face that is high in the middle the edge rocks and shows no gap. Turn it to the diagonals and try whether it rocks; ink and plate glass show a crown.",
		formula: func(g given) (found, error) {
			f := newFound()
			gaps, heights := g.rows["gaps"], g.rows["heights"]
			if (len(gaps) > 0) == (len(heights) > 0) {
				return f, refuse.Because("the readings", "must be feeler gaps or heights along one line, one of the two", "give gaps for a straight-edge with feelers, heights for an indicator run along a line")
			}
			if len(gaps) > 0 {
				best := 0
				for i, r := range gaps {
					if err := refuse.NotNegative("the gap at "+r.At, r.V); err != nil && r.V < -1e-4 {
						return f, err
					}
					if r.V > gaps[best].V {
						best = i
					}
				}
				f.num["largest-gap"], f.text["gap-at"] = max(0, gaps[best].V), gaps[best].At
				return f, nil
			}
			var p []form.LinePoint
			for _, r := range heights {
				s, err := distanceAt(r.At)
				if err != nil {
					return f, err
				}
				p = append(p, form.LinePoint{S: s, Height: unit.Length(r.V)})
			}
			l, err := form.Straightedge(p)
			f.num["largest-gap"] = float64(l.Gap)
			if err == nil {
				f.text["gap-at"] = heights[l.GapAt].At
			}
			return f, err
		},
		lead: func(_ given, o *Out) string {
			return "Largest gap " + o.say(o.Num["largest-gap"], unit.LengthDim) + " at " + o.Text["gap-at"]
		},
	}
}
