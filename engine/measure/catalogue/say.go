package catalogue

import (
	"fmt"
	"math"
	"strings"

	"seepwright/rules/unit"
)

// Fine is the length below which micrometres are easier to read than millimetres.
const Fine = 5e-6

// shown says in which unit a dimension is written, so that who gave inches reads inches.
type shown map[unit.Dimension]string

// say writes a number with no digit that its uncertainty does not support, in the standard unit of its dimension where
// none is named.
func (s shown) say(n Num, dim unit.Dimension) string {
	u := unit.Standard(dim)
	given, ok := unit.ByName(s[dim])
	switch {
	case ok && given.Dim == dim && (given.Symbol != "mm" || n.SI == 0 || math.Abs(n.SI) >= Fine):
		u = given
	case dim == unit.LengthDim && n.SI != 0 && math.Abs(n.SI) < Fine:
		u, _ = unit.ByName("um")
	case dim == unit.ForceDim && math.Abs(n.SI) >= 1000:
		u, _ = unit.ByName("kN")
	case dim == unit.PressureDim && math.Abs(n.SI) >= 1e6:
		u, _ = unit.ByName("MPa")
	case dim == unit.FlowDim && math.Abs(n.SI) > 2e-4/3600:
		u, _ = unit.ByName("L/day")
	case dim == unit.VolumeDim && math.Abs(n.SI) >= 1e-3:
		u, _ = unit.ByName("L")
	}
	x, w := u.FromSI(n.SI), math.Abs(n.U/u.Factor)
	symbol := u.Symbol
	if symbol == "1" || symbol == "off" {
		symbol = ""
	}
	if w == 0 {
		return strings.TrimSpace(unit.Show(x, 3) + " " + symbol)
	}
	places := 0
	if w < 10 {
		places = min(9, max(0, -int(math.Floor(math.Log10(w)))))
		if lead := w * math.Pow(10, float64(places)); lead < 2 { // a leading 1 keeps a second digit
			places++
		}
	}
	return strings.TrimSpace(fmt.Sprintf("%.*f ± %.*f %s", places, x, places, w, symbol))
}
