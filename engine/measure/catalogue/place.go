package catalogue

import (
	"fmt"
	"math"
	"strings"

	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

// angleAt reads a place round a part: "3:00", "10:30", "3 o'clock" (30 degrees an hour, clockwise
// from 12), "90 deg", or a bare number of degrees. clock says whether it was written as a clock.
func angleAt(text string) (a unit.Angle, clock bool, err error) {
	s := strings.TrimSpace(text)
	bad := refuse.Because("the place \""+text+"\"", "is not a clock position or an angle", "write it like 3:00, 10:30 or 90 deg")
	if h, m, ok := strings.Cut(s, ":"); ok {
		hour, rest, err1 := unit.Number(h)
		minute, rest2, err2 := unit.Number(m)
		if err1 != nil || err2 != nil || strings.TrimSpace(rest+rest2) != "" || !(hour >= 0 && hour <= 12) || !(minute >= 0 && minute < 60) {
			return 0, false, bad
		}
		return unit.Angle(math.Mod(hour+minute/60, 12)*30) * unit.Degree, true, nil
	}
	if h, ok := strings.CutSuffix(s, "o'clock"); ok {
		hour, rest, err := unit.Number(h)
		if err != nil || strings.TrimSpace(rest) != "" || !(hour >= 0 && hour <= 12) {
			return 0, false, bad
		}
		return unit.Angle(math.Mod(hour, 12)*30) * unit.Degree, true, nil
	}
	if x, rest, err := unit.Number(s); err == nil && strings.TrimSpace(rest) == "" {
		return unit.Angle(x) * unit.Degree, false, nil
	}
	q, perr := unit.Parse(s, unit.AngleDim)
	if perr != nil {
		return 0, false, bad
	}
	return unit.Angle(q.SI()), false, nil
}

// sayAngle writes a place in the manner in which the readings were given: to 10 minutes of the
// clock or to whole degrees, for nobody reads a bore more finely.
func sayAngle(a unit.Angle, clock bool) string {
	deg := math.Mod(float64(a/unit.Degree), 360)
	if deg < 0 {
		deg += 360
	}
	if !clock {
		return fmt.Sprintf("%.0f deg", math.Mod(math.Round(deg), 360))
	}
	tens := int(math.Round(deg/5)) % 72 // ten minutes of the clock are five degrees
	hour := tens / 6
	if hour == 0 {
		hour = 12
	}
	return fmt.Sprintf("%d:%02d", hour, tens%6*10)
}

// placeXY reads a place on a face: "40,30" or "40; 30" in mm, each number optionally with a unit, or
// a clock position on a circle of the diameter given (0 when none was).
func placeXY(text string, circle unit.Length) (x, y float64, err error) {
	parts := strings.Split(text, ";")
	if len(parts) == 1 {
		parts = strings.Split(text, ",")
	}
	if len(parts) == 2 {
		var v [2]float64
		for i, p := range parts {
			n, rest, err := unit.Number(p)
			if err != nil {
				return 0, 0, refuse.Because("the place \""+text+"\"", "is not two numbers", "write it like 40,30 (millimetres)")
			}
			v[i] = n * float64(unit.Millimetre)
			if strings.TrimSpace(rest) != "" {
				q, err := unit.Parse(p, unit.LengthDim)
				if err != nil {
					return 0, 0, err
				}
				v[i] = q.SI()
			}
		}
		return v[0], v[1], nil
	}
	a, _, err := angleAt(text)
	if err != nil || len(parts) > 2 {
		return 0, 0, refuse.Because("the place \""+text+"\"", "is neither \"x,y\" nor a clock position", "write it like 40,30 (millimetres) or 3:00 with the circle's diameter")
	}
	if circle <= 0 {
		return 0, 0, refuse.Because("the circle of the readings", "is missing", "give its diameter, or the places as x,y")
	}
	s, c := math.Sincos(float64(a))
	return float64(circle) / 2 * s, float64(circle) / 2 * c, nil
}

// distanceAt reads a distance along a line: "40", "40 mm", "2 in".
func distanceAt(text string) (unit.Length, error) {
	if x, rest, err := unit.Number(text); err == nil && strings.TrimSpace(rest) == "" {
		return unit.Length(x) * unit.Millimetre, nil
	}
	q, err := unit.Parse(text, unit.LengthDim)
	if err != nil {
		return 0, refuse.Because("the place \""+text+"\"", "is not a distance along the line", "write it like 40 mm")
	}
	return unit.Length(q.SI()), nil
}
