package picture

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// longest is the number of characters from which a name is cut.
const longest = 160

// clean makes foreign text fit for a drawing: one line, no control characters, nothing that turns the direction of writing,
// cut after n characters.
func clean(s string, n int) string {
	s = strings.ToValidUTF8(s, "?")
	s = strings.Map(func(r rune) rune {
		switch {
		case unicode.IsSpace(r), unicode.IsControl(r):
			return ' '
		case r >= 0x202a && r <= 0x202e, r >= 0x2066 && r <= 0x2069, r == 0x200e, r == 0x200f, r == 0xfeff, r == 0xfffe, r == 0xffff:
			return -1
		}
		return r
	}, s)
	s = strings.Join(strings.Fields(s), " ")
	if utf8.RuneCountInString(s) > n {
		s = strings.TrimSpace(string([]rune(s)[:n-1])) + "…"
	}
	return s
}

var escaper = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;", "'", "&#39;")

// escaped is text as it may stand in XML, between tags and in attributes.
func escaped(s string) string { return escaper.Replace(clean(s, 4000)) }

// wider is the width of a text in drawing units, rather too wide than too narrow: no typeface is known where it is read.
func wider(s string, bold bool) float64 {
	w := 0.0
	for _, r := range s {
		switch {
		case strings.ContainsRune("il.,:;|!jI", r):
			w += 0.36
		case strings.ContainsRune(" ftr-()[]/\"'", r):
			w += 0.42
		case strings.ContainsRune("<>=+~&#^", r):
			w += 0.86
		case strings.ContainsRune("mwMW@%—", r):
			w += 0.98
		case r >= 0x1100:
			w += 1.05
		case unicode.IsUpper(r):
			w += 0.72
		default:
			w += 0.6
		}
	}
	if bold {
		w *= 1.1
	}
	return w * em
}

// wrapped breaks text into lines of a width in drawing units, words that are too long as well; the last of most lines ends
// in … where more would follow.
func wrapped(s string, width float64, bold bool, most int) []string {
	var out []string
	now := ""
	for _, word := range pieces(s) {
		for {
			try := word
			if now != "" {
				try = now + " " + word
			}
			if wider(try, bold) <= width {
				now = try
				break
			}
			if now != "" {
				out, now = append(out, now), ""
				continue
			}
			n := 1
			r := []rune(word)
			for n < len(r) && wider(string(r[:n+1]), bold) <= width {
				n++
			}
			out, word = append(out, string(r[:n])), string(r[n:])
			if word == "" {
				break
			}
		}
	}
	if now != "" {
		out = append(out, now)
	}
	if len(out) > most {
		out = out[:most]
		last := []rune(out[most-1])
		for len(last) > 0 && wider(string(last)+"…", bold) > width {
			last = last[:len(last)-1]
		}
		out[most-1] = strings.TrimSpace(string(last)) + "…"
	}
	return out
}

// units are what stays on the line of its figure.
var units = map[string]bool{"mm": true, "in": true, "%": true, "min": true, "h": true, "deg": true, "MPa": true, "psi": true, "times": true}

// pieces are the words of a text, a figure and its unit in one.
func pieces(s string) []string {
	var out []string
	for _, w := range strings.Fields(s) {
		if n := len(out); n > 0 && units[strings.TrimRight(w, ".,;:)")] && unicode.IsDigit(rune(out[n-1][len(out[n-1])-1])) && len(out[n-1]) < 12 {
			out[n-1] += " " + w
			continue
		}
		out = append(out, w)
	}
	return out
}

// length writes millimetres with as many digits as a caliper or an indicator shows, or in inches.
func (a About) length(mm float64) string {
	if a.Inch {
		return digits(mm/25.4, 3, 4) + " in"
	}
	return digits(mm, 2, 3) + " mm"
}

// bare is length without its unit.
func (a About) bare(mm float64) string {
	s, _, _ := strings.Cut(a.length(mm), " ")
	return s
}

// round is a length of a round number, for a scale.
func (a About) round(mm float64) string {
	if a.Inch {
		return strconv.FormatFloat(tidy(mm/25.4), 'f', -1, 64) + " in"
	}
	return strconv.FormatFloat(tidy(mm), 'f', -1, 64) + " mm"
}

// tidy takes off what is left of rounding.
func tidy(x float64) float64 { return math.Round(x*1e9) / 1e9 }

// digits writes a figure with up to the usual number of decimals, below 1 with up to as many as small.
func digits(x float64, usual, small int) string {
	d := usual
	switch a := math.Abs(x); {
	case a >= 999.5:
		d = 0
	case a >= 99.5:
		d = 1
	case a < 1:
		d = small
	}
	s := strconv.FormatFloat(x, 'f', d, 64)
	if d > 0 {
		s = strings.TrimSuffix(strings.TrimRight(s, "0"), ".")
	}
	if strings.Trim(s, "-0.") == "" {
		return "0"
	}
	return s
}

// tenths writes a share with one decimal.
func tenths(share float64) string { return tidied(share*100) + " %" }

// tidied is a figure with one decimal, none where it is nought.
func tidied(x float64) string { return strings.TrimSuffix(strconv.FormatFloat(x, 'f', 1, 64), ".0") }

// percent writes a share.
func percent(share float64) string {
	p := share * 100
	if math.Abs(p) >= 9.95 || p == math.Trunc(p) {
		return fmt.Sprintf("%.0f %%", p)
	}
	return fmt.Sprintf("%.1f %%", p)
}

// chance writes a probability in whole per cent.
func chance(share float64) string {
	switch {
	case share > 0 && share < 0.01:
		return "below 1 %"
	case share < 1 && share > 0.99:
		return "above 99 %"
	}
	return fmt.Sprintf("%.0f %%", share*100)
}

// minutes writes a time as it would be said.
func minutes(m float64) string {
	r := math.Round(m)
	switch {
	case r < 100:
		return fmt.Sprintf("%.0f min", r)
	case r >= 48*60:
		return tidied(m/1440) + " days"
	case math.Mod(r, 60) == 0:
		return fmt.Sprintf("%.0f h", r/60)
	}
	return fmt.Sprintf("%.0f h %.0f min", math.Floor(r/60), math.Mod(r, 60))
}

// niceTime is a time of a round number, at most x minutes: for a scale.
func niceTime(x float64) float64 {
	best := nice(x)
	for _, m := range []float64{10, 15, 30, 60, 120, 180, 360, 720, 1440, 2880, 7200, 14400} {
		if m <= x {
			best = m
		}
	}
	return best
}

// clock writes a place round a part, an angle clockwise from 12 o'clock, to ten minutes of the clock or to whole degrees.
func clock(deg float64, asClock bool) string {
	deg = math.Mod(math.Mod(deg, 360)+360, 360)
	if !asClock {
		return fmt.Sprintf("%.0f deg", math.Mod(math.Round(deg), 360))
	}
	tens := int(math.Round(deg/5)) % 72
	hour := tens / 6
	if hour == 0 {
		hour = 12
	}
	return fmt.Sprintf("%d:%02d", hour, tens%6*10)
}

// nice is the largest of 1, 2 or 5 times a power of ten that is not above x.
func nice(x float64) float64 {
	p := math.Pow(10, math.Floor(math.Log10(x)))
	for _, m := range []float64{5, 2} {
		if m*p <= x*(1+1e-9) {
			return m * p
		}
	}
	return p
}

// listed joins names: "a, b and c".
func listed(names []string) string {
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	return strings.Join(names[:len(names)-1], ", ") + " and " + names[len(names)-1]
}
