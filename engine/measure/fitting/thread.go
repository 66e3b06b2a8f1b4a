package fitting

import (
	"cmp"
	"math"
	"slices"

	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

// Wedged is how far a 1 in 16 taper thread is wedged by turns past hand-tight.
type Wedged struct {
	Travel       unit.Length // along the pipe
	Interference unit.Length // on diameter
}

// MakeUp is the travel and the interference of turns past hand-tight: n P and n P / 16.
// Source: taper of ISO 7-1 and ASME B1.20.1; standing: confirmed.
func MakeUp(turns float64, pitch unit.Length) (Wedged, error) {
	if err := refuse.First(refuse.NotNegative("the turns past hand-tight", turns), positive("the pitch", pitch)); err != nil {
		return Wedged{}, err
	}
	travel := unit.Length(turns) * pitch
	return Wedged{travel, travel / 16}, nil
}

// Exposed is how much male thread still shows when turns past hand-tight are on.
//
//	E = Lt - L1 - n P      Lt whole thread, L1 hand-tight length
//
// Below 0 it has run out of thread before it is tight. Source: ASME B1.20.1; standing: confirmed.
func Exposed(whole, handTight unit.Length, turns float64, pitch unit.Length) (unit.Length, error) {
	w, err := MakeUp(turns, pitch)
	if err := refuse.First(err, positive("the whole thread", whole), positive("the hand-tight length", handTight)); err != nil {
		return 0, err
	}
	return whole - handTight - w.Travel, nil
}

// Thread is a standard thread to compare with.
type Thread struct {
	Name         string
	Major, Pitch unit.Length
	Flank        unit.Angle
}

// Likeness is how far a thread lies from what was measured, in standard deviations of the measurement: below 2 it
// agrees, above 3 it does not.
type Likeness struct {
	Thread
	Off float64
}

// WhichThread ranks threads by how well outside and pitch agree with what was measured.
//
//	off = sqrt( ((D - d) / u(D))^2 + ((P - p) / u(P))^2 )
//
// A taper thread is measured at the gauge plane; along 10 mm of it the outside grows by 0.6 mm. The flank angle (55
// or 60 degrees) is not measured and may have to decide: a thread gauge with both leaves. Source: least squares;
// standing: confirmed. uMajor and uPitch are standard uncertainties.
func WhichThread(major, uMajor, pitch, uPitch unit.Length, among []Thread) ([]Likeness, error) {
	if err := refuse.First(positive("the outside of the thread", major), positive("the uncertainty of the outside", uMajor), positive("the pitch", pitch), positive("the uncertainty of the pitch", uPitch)); err != nil {
		return nil, err
	}
	var out []Likeness
	for _, t := range among {
		out = append(out, Likeness{t, math.Hypot(float64((t.Major-major)/uMajor), float64((t.Pitch-pitch)/uPitch))})
	}
	slices.SortStableFunc(out, func(a, b Likeness) int { return cmp.Or(cmp.Compare(a.Off, b.Off), cmp.Compare(a.Name, b.Name)) })
	return out, nil
}

// HollowArea is the area that carries in a banjo bolt.
//
//	A = As - pi h^2 / 4 - n c (d3 - h) / 2      As stress area, h bore, n holes in the wall of diameter c, d3 core
//
// A hole drilled right through counts as two. The weaker of the threaded part and of the
// part with the cross holes is what counts; this takes both at one place and is on the safe side.
// Source: geometry; standing: confirmed.
func HollowArea(stress unit.Area, core, bore, cross unit.Length, holes int) (unit.Area, error) {
	if err := refuse.First(positive("the stress area", stress), positive("the core of the thread", core), refuse.NotNegative("the bore", float64(bore)), refuse.NotNegative("the cross hole", float64(cross))); err != nil {
		return 0, err
	}
	if holes < 0 || bore >= core {
		return 0, refuse.Because("the hollow bolt", "has a bore as large as its core, or a count below 0", "measure the bore, and count the cross holes in the wall")
	}
	a := float64(stress) - math.Pi/4*float64(bore*bore) - float64(holes)*float64(cross)*float64(core-bore)/2
	if a <= 0 {
		return 0, refuse.Because("the hollow bolt", "has nothing left to carry", "check bore and cross holes")
	}
	return unit.Area(a), nil
}
