package catalogue

import (
	"seepwright/engine/measure/flange"
	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

func headSkims() []Calculation { return []Calculation{headSkim()} }

func headSkim() Calculation {
	in := []Input{{Name: "lapped", Title: "what comes off head and block together", Dim: unit.LengthDim}, {Name: "swept-volume", Title: "swept volume of one cylinder", Dim: unit.VolumeDim}, {Name: "compression", Title: "compression ratio as new", Dim: unit.CountDim, Parted: true},
		{Name: "chamber-area", Title: "area of the chamber at the face", Dim: unit.AreaDim, Optional: true}, {Name: "bore", Title: "bore of the cylinder, where the chamber covers it", Dim: unit.LengthDim, Optional: true, On: "bore"},
		{Name: "valve-room", Title: "least room between valve and piston, by putty at overlap", Dim: unit.LengthDim, Optional: true}, {Name: "least-valve-room", Title: "least valve room allowed (maker's)", Dim: unit.LengthDim, Optional: true}, {Name: "compression-limit", Title: "greatest compression ratio allowed (maker's)", Dim: unit.CountDim, Parted: true, Optional: true}}
	return Calculation{
		Name: "head-skim", Title: "What skimming a cylinder head does to compression and valves",
		About:  "Every tenth off the head or the block raises the compression and brings the valves nearer to the pistons. The maker's least height goes before all of it (lap-off); a head below it is scrap however flat.",
		Inputs: in,
		Outputs: []Output{
			{"compression-after", "compression ratio afterwards", unit.CountDim, "(Vs + Vc - A x) / (Vc - A x), Vc = Vs / (e - 1)", "definition", confirmed},
			{"valve-room-after", "room between valve and piston afterwards", unit.LengthDim, "valve room - lapped", "geometry, valves that stand square to the face; slanted ones lose less", confirmed},
		},
		Judges:  []Judge{atMost("compression-after", "compression-limit"), atLeast("valve-room-after", "least-valve-room")},
		Blind:   "An overhead camshaft also comes nearer to the crankshaft: the valve timing falls back and the chain or belt goes slack. Turn the engine over by hand, twice, before it is started.",
		Example: map[string]string{"lapped": "0.5 mm", "swept-volume": "500 mL", "compression": "9", "bore": "80 mm", "valve-room": "2.0 mm", "least-valve-room": "1.2 mm", "compression-limit": "9.5"},
		formula: func(g given) (found, error) {
			f, err := newFound(), error(nil)
			area := unit.Area(g.num["chamber-area"])
			switch {
			case g.has("chamber-area") == g.has("bore"):
				return f, refuse.Because("the area of the chamber", "is needed once", "give chamber-area, or the bore where the chamber covers it")
			case g.has("bore"):
				if err := refuse.Positive("the bore", g.num["bore"]); err != nil {
					return f, err
				}
				area = flange.Disc(g.length("bore"))
			}
			e, err := flange.CompressionAfterLapping(unit.Volume(g.num["swept-volume"]), g.ratio("compression"), area, g.length("lapped"))
			f.num["compression-after"] = float64(e)
			if g.has("valve-room") {
				r, e := flange.RoomByMeasure("room between valve and piston", g.length("valve-room"), g.length("lapped"))
				put(&f, &err, "valve-room-after", r.Left, e)
			}
			return f, err
		},
		lead: func(_ given, o *Out) string {
			s := "The compression rises to " + unit.Show(o.Num["compression-after"].SI, 3) + " to 1"
			if v, ok := o.Num["valve-room-after"]; ok {
				s += " and " + o.say(v, unit.LengthDim) + " is left between valve and piston"
			}
			return s
		},
	}
}
