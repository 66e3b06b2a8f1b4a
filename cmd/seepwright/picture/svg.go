package picture

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Sizes of a drawing, in units of its view box. It is 360 units wide whatever it shows, so that its letters, 12 units high,
// are above 11 px on a phone that leaves it 340.
const (
	wide = 360.0
	edge = 10.0
	em   = 12.0
	step = 15.0 // from line to line
)

// style holds for every drawing; light and dark differ in colours alone, and what tells one thing from another is its
// lightness, its hatching, its shape or a word.
const style = `.swp{color:#1c1c1c;font-family:sans-serif;font-size:12px}` +
	`.swp text{fill:currentColor}.swp .b{font-weight:bold}` +
	`.swp .paper{fill:#fff}.swp .metal{fill:#d6d9dd;stroke:currentColor;stroke-width:1}.swp .rubber{fill:#55595e;stroke:currentColor;stroke-width:1}` +
	`.swp .bar{fill:#3d5a80;stroke:currentColor;stroke-width:.75}.swp .track{fill:#e9ebee}.swp .solid{fill:currentColor}` +
	`.swp .line{fill:none;stroke:currentColor;stroke-width:1}.swp .thick{fill:none;stroke:currentColor;stroke-width:2.2}` +
	`.swp .fine{fill:none;stroke:currentColor;stroke-width:.6}.swp .dash{fill:none;stroke:currentColor;stroke-width:1.2;stroke-dasharray:5 3}` +
	`.swp .dots{fill:none;stroke:currentColor;stroke-width:1.2;stroke-dasharray:1.5 3}.swp .axis{fill:none;stroke:currentColor;stroke-width:.8;stroke-dasharray:12 3 2 3}` +
	`.swp .open{fill:#fff;stroke:currentColor;stroke-width:1.2}.swp .hl{stroke:currentColor;stroke-width:1}` +
	`.swp .h0{fill:#5b6067}.swp .h1{fill:#868b92}.swp .h2{fill:#adb2b8}.swp .h3{fill:#d0d4d9}.swp .h4{fill:#f1f2f4}` +
	`@media screen and (prefers-color-scheme:dark){.swp{color:#ededed}.swp .paper,.swp .open{fill:#16181b}.swp .metal{fill:#3b4148}.swp .rubber{fill:#a6adb5}` +
	`.swp .bar{fill:#7fa6d6}.swp .track{fill:#2a2e33}.swp .h0{fill:#23272b}.swp .h1{fill:#3a4046}.swp .h2{fill:#565d65}.swp .h3{fill:#767e87}.swp .h4{fill:#99a1aa}}`

// box is a rectangle that is taken: left, top, right, bottom.
type box struct{ l, t, r, b float64 }

func (a box) meets(o box) bool { return a.l < o.r && o.l < a.r && a.t < o.b && o.t < a.b }

// sheet is a drawing in the making; y is where the next thing below begins.
type sheet struct {
	strings.Builder
	name  string
	y     float64
	taken []box
}

// begin starts a drawing with its title on top.
func begin(name, title string) *sheet {
	s := &sheet{name: name, y: edge}
	s.y = s.para(edge, s.y, wide-2*edge, title, true, 4) + 4
	return s
}

// num writes a coordinate.
func num(x float64) string {
	t := strconv.FormatFloat(x, 'f', 2, 64)
	t = strings.TrimRight(strings.TrimRight(t, "0"), ".")
	if t == "-0" || t == "" {
		return "0"
	}
	return t
}

func (s *sheet) rect(class string, x, y, w, h float64) {
	fmt.Fprintf(s, `<rect class="%s" x="%s" y="%s" width="%s" height="%s"/>`+"\n", class, num(x), num(y), num(math.Max(0, w)), num(math.Max(0, h)))
}

func (s *sheet) rounded(class string, x, y, w, h, r float64) {
	fmt.Fprintf(s, `<rect class="%s" x="%s" y="%s" width="%s" height="%s" rx="%s"/>`+"\n", class, num(x), num(y), num(math.Max(0, w)), num(math.Max(0, h)), num(r))
}

func (s *sheet) hatched(class string, x, y, w, h float64) {
	fmt.Fprintf(s, `<rect class="%s hl" x="%s" y="%s" width="%s" height="%s" fill="url(#%s-hatch)"/>`+"\n", class, num(x), num(y), num(math.Max(0, w)), num(math.Max(0, h)), s.name)
}

func (s *sheet) line(class string, x1, y1, x2, y2 float64) {
	fmt.Fprintf(s, `<line class="%s" x1="%s" y1="%s" x2="%s" y2="%s"/>`+"\n", class, num(x1), num(y1), num(x2), num(y2))
}

func (s *sheet) circle(class string, x, y, r float64) {
	fmt.Fprintf(s, `<circle class="%s" cx="%s" cy="%s" r="%s"/>`+"\n", class, num(x), num(y), num(r))
}

func (s *sheet) path(class string, d string) {
	fmt.Fprintf(s, `<path class="%s" d="%s"/>`+"\n", class, d)
}

func (s *sheet) hatchedPath(class string, d string) {
	fmt.Fprintf(s, `<path class="%s" fill="url(#%s-hatch)" d="%s"/>`+"\n", class, s.name, d)
}

// text writes one line whose foot stands at y; anchor is start, middle or end.
func (s *sheet) text(x, y float64, anchor, words string, bold bool) {
	class := ""
	if bold {
		class = ` class="b"`
	}
	fmt.Fprintf(s, `<text%s x="%s" y="%s" text-anchor="%s">%s</text>`+"\n", class, num(x), num(y), anchor, escaped(words))
}

// para writes lines of a width from the top y on and gives where they end.
func (s *sheet) para(x, y, width float64, words string, bold bool, most int) float64 {
	for _, l := range wrapped(clean(words, 2000), width, bold, most) {
		s.text(x, y+em-1, "start", l, bold)
		y += step
	}
	return y
}

// note writes sentences over the whole width below all that is drawn.
func (s *sheet) note(words string) { s.y = s.para(edge, s.y, wide-2*edge, words, false, 12) }

// legend writes what a sample of drawing means; sample draws into 24 units from x, about the middle height y.
func (s *sheet) legend(words string, sample func(x, y float64)) {
	sample(edge, s.y+step/2)
	s.y = s.para(edge+32, s.y, wide-2*edge-32, words, false, 6) + 2
}

// take notes a box as taken.
func (s *sheet) take(l, t, r, b float64) { s.taken = append(s.taken, box{l, t, r, b}) }

// label writes a short text on a plate of paper near a point where there is room, trying the sides in turn; it reports
// whether it did. With force it is written above the point whatever is there.
func (s *sheet) label(x, y, off float64, words string, bold, force bool) bool {
	w := wider(words, bold)
	write := func(l, t float64) {
		s.rounded("paper", l-1, t, w+2, em+1, 2)
		s.text(l+w/2, t+em-2, "middle", words, bold)
	}
	try := func(l, t float64) bool {
		b := box{l - 1, t, l + w + 1, t + em + 1}
		if b.l < 1 || b.r > wide-1 {
			return false
		}
		for _, o := range s.taken {
			if o.meets(b) {
				return false
			}
		}
		s.taken = append(s.taken, b)
		write(l, t)
		return true
	}
	for _, p := range [][2]float64{{x - w/2, y - off - em - 1}, {x - w/2, y + off}, {x + off + 1, y - em/2}, {x - off - w - 1, y - em/2},
		{x + off/2, y - off - em}, {x - w - off/2, y - off - em}, {x + off/2, y + off}, {x - w - off/2, y + off}} {
		if try(p[0], p[1]) {
			return true
		}
	}
	if force {
		write(math.Min(math.Max(2, x-w/2), wide-w-2), y-off-em-1)
	}
	return force
}

// span draws a dimension from x1 to x2 at height y, its words on a plate of paper above it.
func (s *sheet) span(class string, x1, x2, y float64, words string) {
	s.line(class+" fine", x1, y, x2, y)
	s.line("fine", x1, y-4, x1, y+4)
	s.line("fine", x2, y-4, x2, y+4)
	w := wider(words, false)
	mid := math.Min(math.Max((x1+x2)/2, edge/2+w/2), wide-edge/2-w/2)
	s.rounded("paper", mid-w/2, y-5-em, w, em+2, 2)
	s.text(mid, y-5, "middle", words, false)
}

// scaleBar draws a length of a round number: mm at units per mm.
func (s *sheet) scaleBar(a About, scale float64) {
	per := 1.0
	if a.Inch {
		per = 25.4
	}
	mm := nice(90/scale/per) * per
	x, y := edge, s.y+8
	s.rect("scalebar solid", x, y-2, mm*scale, 4)
	s.text(x+mm*scale+6, y+4, "start", a.round(mm)+" to scale", false)
	s.y += step + 3
}

// done closes the drawing: title, description, style and what was drawn.
func (s *sheet) done(title, desc string) string {
	h := math.Ceil(s.y + edge)
	var b strings.Builder
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" class="swp" viewBox="0 0 %s %s" role="img" aria-labelledby="%s-title %s-desc">`+"\n", num(wide), num(h), s.name, s.name)
	fmt.Fprintf(&b, `<title id="%s-title">%s</title>`+"\n"+`<desc id="%s-desc">%s</desc>`+"\n", s.name, escaped(title), s.name, escaped(desc))
	b.WriteString("<style>" + style + "</style>\n")
	fmt.Fprintf(&b, `<defs><pattern id="%s-hatch" width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><line class="hl" x1="0" y1="0" x2="0" y2="5"/></pattern></defs>`+"\n", s.name)
	fmt.Fprintf(&b, `<rect class="paper" width="%s" height="%s"/>`+"\n", num(wide), num(h))
	b.WriteString(s.String())
	b.WriteString("</svg>\n")
	return b.String()
}

// drawn puts a finished drawing together.
func (s *sheet) drawn(title, desc string, t Table) Picture {
	return Picture{Name: s.name, Title: clean(title, 400), Desc: clean(desc, 4000), SVG: s.done(title, desc), Table: t}
}

// along is a path through points; closed where it comes back.
func along(p [][2]float64, closed bool) string {
	var b strings.Builder
	for i, q := range p {
		if i == 0 {
			b.WriteString("M")
		} else {
			b.WriteString("L")
		}
		b.WriteString(num(q[0]) + " " + num(q[1]))
	}
	if closed {
		b.WriteString("Z")
	}
	return b.String()
}
