package unit

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"
)

// BadQuantity says why a text is not a quantity, in words for the person who typed it.
type BadQuantity struct {
	Text string
	What string
}

func (e *BadQuantity) Error() string { return fmt.Sprintf("%q: %s", e.Text, e.What) }

// Number reads one number at the start of text: "3.53", "35,3", "1/8", "1 1/2", "1e-3".
// A single comma followed by anything but three digits is a decimal comma; where it could
// be either ("1,234") it is refused rather than guessed. It returns the rest of the text.
func Number(text string) (x float64, rest string, err error) {
	s := strings.TrimLeftFunc(text, unicode.IsSpace)
	i, digits, commas, points := 0, 0, 0, 0
	for i < len(s) {
		c := s[i]
		switch {
		case c >= '0' && c <= '9':
			digits++
		case (c == '+' || c == '-') && i == 0:
		case c == '.' && i+1 <= len(s):
			points++
		case c == ',':
			commas++
		case (c == 'e' || c == 'E') && digits > 0 && i+1 < len(s) && exponent(s[i+1:]):
			i++
			if s[i] == '+' || s[i] == '-' {
				i++
			}
			for i < len(s) && s[i] >= '0' && s[i] <= '9' {
				i++
			}
			goto done
		default:
			goto done
		}
		i++
	}
done:
	num := s[:i]
	if digits == 0 {
		return 0, text, &BadQuantity{strings.TrimSpace(text), "no number found"}
	}
	if points > 1 || commas > 1 || (points == 1 && commas == 1) {
		return 0, text, &BadQuantity{num, "more than one decimal mark: write it like 1234.5"}
	}
	if commas == 1 {
		k := strings.IndexByte(num, ',')
		lead := strings.TrimLeft(num[:k], "+-")
		if tail := num[k+1:]; len(tail) == 3 && lead != "0" && lead != "" {
			return 0, text, &BadQuantity{num, "comma with three digits after it could be a decimal comma or thousands: write " + lead + tail + " or " + lead + "." + tail}
		}
		num = strings.Replace(num, ",", ".", 1)
	}
	x, perr := strconv.ParseFloat(num, 64)
	if perr != nil || math.IsInf(x, 0) {
		return 0, text, &BadQuantity{num, "this is not a usable number"}
	}
	rest = s[i:]
	if points == 0 && commas == 0 {
		if f, r, ok := fraction(x, rest); ok {
			return f, r, nil
		}
	}
	return x, rest, nil
}

func exponent(s string) bool {
	if s != "" && (s[0] == '+' || s[0] == '-') {
		s = s[1:]
	}
	return s != "" && s[0] >= '0' && s[0] <= '9'
}

// fraction continues "1/8" after its 1, or "1 1/2" after its first 1.
func fraction(whole float64, rest string) (float64, string, bool) {
	if strings.HasPrefix(rest, "/") {
		d, r := digitsAt(rest[1:])
		if d == "" {
			return 0, rest, false
		}
		den, _ := strconv.ParseFloat(d, 64)
		if den == 0 || math.IsInf(den, 0) {
			return 0, rest, false
		}
		return whole / den, r, true
	}
	if !strings.HasPrefix(rest, " ") {
		return 0, rest, false
	}
	n, r := digitsAt(strings.TrimLeft(rest, " "))
	if n == "" || !strings.HasPrefix(r, "/") {
		return 0, rest, false
	}
	d, r2 := digitsAt(r[1:])
	den, _ := strconv.ParseFloat(d, 64)
	num, _ := strconv.ParseFloat(n, 64)
	if d == "" || den == 0 || math.IsInf(num, 0) || math.IsInf(den, 0) {
		return 0, rest, false
	}
	return whole + math.Copysign(num/den, math.Copysign(1, whole)), r2, true
}

func digitsAt(s string) (string, string) {
	i := 0
	for i < len(s) && s[i] >= '0' && s[i] <= '9' {
		i++
	}
	return s[:i], s[i:]
}

// Parse reads a quantity with its unit: "1.39 in", "35,3 mm", "30 psi", "2 1/2 in", "-5 C".
// A number without a unit is an error unless want is a ratio or a count.
// When want is not empty the dimension must match; an error names what was expected.
func Parse(text string, want Dimension) (Quantity, error) {
	x, rest, err := Number(text)
	if err != nil {
		return Quantity{}, err
	}
	name := strings.TrimSpace(rest)
	if name == "" {
		switch want {
		case RatioDim:
			u, _ := ByName("1")
			return Quantity{x, u}, nil
		case CountDim, HardnessDim:
			return Quantity{x, Standard(want)}, nil
		}
		hint := "give a unit"
		if want != "" {
			hint += ", such as " + strings.Join(head(Names(want), 4), ", ")
		}
		return Quantity{}, &BadQuantity{strings.TrimSpace(text), "a number without a unit: " + hint}
	}
	u, ok := unitFor(name, want)
	if !ok {
		what := fmt.Sprintf("no unit is called %q", name)
		if want != "" {
			what += "; for " + want.Named() + " use " + strings.Join(head(Names(want), 6), ", ")
		}
		return Quantity{}, &BadQuantity{strings.TrimSpace(text), what}
	}
	if want != "" && u.Dim != want {
		return Quantity{}, &BadQuantity{strings.TrimSpace(text), fmt.Sprintf("%s is %s, but %s is wanted here (%s)",
			u.Symbol, u.Dim.Named(), want.Named(), strings.Join(head(Names(want), 6), ", "))}
	}
	return Quantity{x, u}, nil
}

// unitFor resolves spellings that mean different things in different dimensions.
func unitFor(name string, want Dimension) (Unit, bool) {
	u, ok := ByName(name)
	if ok && (want == "" || u.Dim == want) {
		return u, true
	}
	switch {
	case want == KelvinDim && ok && u.Dim == TemperatureDim:
		return Unit{Symbol: "K", Dim: KelvinDim, Factor: u.Factor}, true
	case want == ForceDim && ok && u.Dim == MassDim && u.Symbol == "lb":
		return ByName("lbf")
	case want == MassDim && ok && u.Symbol == "lbf":
		return ByName("lb")
	case want == LineLoadDim && ok && u.Dim == StiffnessDim:
		return Unit{Symbol: u.Symbol, Dim: LineLoadDim, Factor: u.Factor}, true
	}
	return u, ok
}

func head(s []string, n int) []string {
	if len(s) > n {
		return s[:n]
	}
	return s
}
