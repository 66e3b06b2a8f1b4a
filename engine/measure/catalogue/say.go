package catalogue

import (
	"fmt"
	"math"
	"strings"

	"seepwright/engine/measure/uncertain"
	"seepwright/rules/unit"
)

// say writes a number in the standard unit of its dimension with no digit that its uncertainty
// does not support.
func say(n Num, dim unit.Dimension) string {
	u := unit.Standard(dim)
	switch {
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

// limits are the bounds that a result is held against; nil means none.
type limits struct {
	least, greatest *float64
	dim             unit.Dimension
}

func bound(g given, name string) *float64 {
	if v, ok := g.num[name]; ok {
		return &v
	}
	return nil
}

// judge compares with the guard band U of ISO 14253-1 and says the verdict in words.
func (l limits) judge(low, high Num) (verdict, words string) {
	if l.least == nil && l.greatest == nil {
		return "", ""
	}
	proven := true
	if l.least != nil {
		switch uncertain.Above(low.SI, low.U, *l.least) {
		case uncertain.DoesNotConform:
			return TooSmall, "too small: at least " + say(Num{SI: *l.least}, l.dim) + " is wanted"
		case uncertain.NotProven:
			proven = false
		}
	}
	if l.greatest != nil {
		switch uncertain.Below(high.SI, high.U, *l.greatest) {
		case uncertain.DoesNotConform:
			return TooLarge, "too large: at most " + say(Num{SI: *l.greatest}, l.dim) + " is allowed"
		case uncertain.NotProven:
			proven = false
		}
	}
	if !proven {
		return "", "too close to the limit to call with this instrument: measure more finely or take more readings"
	}
	return OK, "within the limit"
}

// conclude sets verdict and sentence from a leading phrase.
func conclude(o *Out, lead, verdict, words string) {
	o.Verdict, o.Sentence = verdict, lead
	if words != "" {
		o.Sentence += "; " + words
	}
	o.Sentence += "."
}
