package picture

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
)

// Flatness is a map of a face: how high it stands over the lower of the two planes that hold it.
type Flatness struct {
	About
	Spots        []Spot
	Holes        []Hole
	Outer, Inner float64 // diameters of a round face about 0,0, mm; 0 = not known
	Flat         float64 // distance of the two planes, mm
	Allowed      float64 // greatest allowed, mm; 0 = none
}

// Spot is a measured place of the face, mm from its middle, Y towards 12 o'clock.
type Spot struct {
	X, Y float64
	High float64 // over the lower plane, mm
	At   string  // how the person named the place
}

// Hole is a bolt hole.
type Hole struct{ X, Y, D float64 }

// steps of shade between the lower and the upper plane.
const shades = 5

func (f *Flatness) check() error {
	err := firstOf(counted("places on the face", len(f.Spots), 3, 5000), counted("bolt holes", len(f.Holes), 0, 200), sizedOr0("the flatness", f.Flat),
		sizedOr0("the greatest allowed", f.Allowed), sizedOr0("the outside of the face", f.Outer), sizedOr0("the inside of the face", f.Inner))
	if err == nil && f.Outer > 0 && f.Inner >= f.Outer {
		err = fmt.Errorf("no picture: the inside of the face, %g mm, is not smaller than its outside, %g mm; swap them", f.Inner, f.Outer)
	}
	give := fmt.Sprintf("millimetres from %g to %g", -greatestSize, greatestSize)
	for _, p := range f.Spots {
		err = firstOf(err, within("a place", p.X, -greatestSize, greatestSize, give), within("a place", p.Y, -greatestSize, greatestSize, give), within("a height", p.High, -greatestSize, greatestSize, give))
	}
	for _, h := range f.Holes {
		err = firstOf(err, within("a bolt hole", h.X, -greatestSize, greatestSize, give), within("a bolt hole", h.Y, -greatestSize, greatestSize, give), sized("a bolt hole", h.D))
	}
	return err
}

// outline is what of the plane belongs to the face: a ring where it is known or where all places lie on one circle, else
// what lies within a rectangle about the places.
func (f *Flatness) outline() (outer, inner float64, ring bool) {
	if f.Outer > 0 {
		return f.Outer / 2, f.Inner / 2, true
	}
	least, most := math.Inf(1), 0.0
	for _, p := range f.Spots {
		r := math.Hypot(p.X, p.Y)
		least, most = math.Min(least, r), math.Max(most, r)
	}
	if most > 0 && least > 0.9*most {
		return most * 1.12, least * 0.84, true
	}
	return 0, 0, false
}

// at is the height between the places: their mean, weighted by the square of nearness.
func (f *Flatness) at(x, y, near float64) float64 {
	sum, weight := 0.0, 0.0
	for _, p := range f.Spots {
		d := (p.X-x)*(p.X-x) + (p.Y-y)*(p.Y-y)
		w := 1 / (d + near*near)
		w *= w
		sum, weight = sum+w*p.High, weight+w
	}
	return sum / weight
}

// Draw draws the map. Sizes that are none, and places that all lie on one another, are refused.
func (f Flatness) Draw() (Picture, error) {
	if err := f.check(); err != nil {
		return Picture{}, err
	}
	outer, inner, ring := f.outline()
	l, r, b, t := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	see := func(x, y, d float64) {
		l, r, b, t = math.Min(l, x-d), math.Max(r, x+d), math.Min(b, y-d), math.Max(t, y+d)
	}
	for _, p := range f.Spots {
		see(p.X, p.Y, 0)
	}
	if size := math.Max(r-l, t-b); size < leastSize {
		return Picture{}, fmt.Errorf("no picture: all places of the face lie on one another; give their x,y in millimetres, or clock positions and the circle")
	}
	pad := 0.06 * math.Max(r-l, t-b)
	l, r, b, t = l-pad, r+pad, b-pad, t+pad
	faceL, faceR, faceB, faceT := l, r, b, t
	if ring {
		see(0, 0, outer)
	}
	for _, h := range f.Holes {
		see(h.X, h.Y, h.D/2*1.2)
	}
	title := f.titled("Flatness of the face")
	s := begin(f.named("flatness"), title)
	scale := math.Min((wide-2*edge)/(r-l), 330/(t-b))
	left := wide/2 - (r-l)*scale/2
	topY := s.y + 2
	px := func(x float64) float64 { return left + (x-l)*scale }
	py := func(y float64) float64 { return topY + (t-y)*scale }
	hi, lo := 0, 0
	for i, p := range f.Spots {
		if p.High > f.Spots[hi].High {
			hi = i
		}
		if p.High < f.Spots[lo].High {
			lo = i
		}
	}
	low := f.Spots[lo].High
	span := f.Spots[hi].High - low
	f.cells(s, cells{outer, inner, ring, faceL, faceR, faceB, faceT, low, span, scale, px, py})
	if ring {
		s.circle("line face-out", px(0), py(0), outer*scale)
		if inner > 0 {
			s.circle("line face-in", px(0), py(0), inner*scale)
		}
	}
	for _, h := range f.Holes {
		s.circle("open hole", px(h.X), py(h.Y), h.D/2*scale)
		s.path("fine", fmt.Sprintf("M%s %sh%sM%s %sv%s", num(px(h.X)-h.D/3*scale), num(py(h.Y)), num(h.D*2/3*scale), num(px(h.X)), num(py(h.Y)-h.D/3*scale), num(h.D*2/3*scale)))
		s.take(px(h.X)-h.D/2*scale, py(h.Y)-h.D/2*scale, px(h.X)+h.D/2*scale, py(h.Y)+h.D/2*scale)
	}
	f.spots(s, hi, lo, span, px, py)
	s.y = topY + (t-b)*scale + 10
	return f.explain(s, title, hi, lo, span, scale), nil
}

// cells is where and in what shades the face is filled in.
type cells struct {
	outer, inner float64
	ring         bool
	l, r, b, t   float64
	low, span    float64
	scale        float64
	px, py       func(float64) float64
}

// cells fills the face with shades: cells in a row of one shade are one rectangle.
func (f *Flatness) cells(s *sheet, c cells) {
	if c.ring {
		c.l, c.r, c.b, c.t = -c.outer, c.outer, -c.outer, c.outer
	}
	size := math.Max(c.r-c.l, c.t-c.b) / 56
	near := size / 2
	clip := ""
	if c.ring {
		clip = fmt.Sprintf(` clip-path="url(#%s-face)"`, s.name)
		fmt.Fprintf(s, `<clipPath id="%s-face"><path clip-rule="evenodd" d="%s%s"/></clipPath>`+"\n", s.name, disc(c.px(0), c.py(0), c.outer*c.scale), disc(c.px(0), c.py(0), c.inner*c.scale))
	}
	fmt.Fprintf(s, `<g shape-rendering="crispEdges"%s>`+"\n", clip)
	for y := c.b; y < c.t-size/4; y += size {
		from, shade := 0.0, -1
		flush := func(to float64) {
			if shade >= 0 {
				s.rect("h"+strconv.Itoa(shade), c.px(from), c.py(math.Min(y+size, c.t)), (to-from)*c.scale, (math.Min(y+size, c.t)-y)*c.scale+.3)
			}
		}
		for x := c.l; x < c.r-size/4; x += size {
			now := -1
			cx, cy := x+size/2, y+size/2
			if d := math.Hypot(cx, cy); !c.ring || d <= c.outer+size && d >= c.inner-size {
				now = shades / 2
				if c.span > 0 {
					now = min(shades-1, max(0, int(float64(shades)*(f.at(cx, cy, near)-c.low)/c.span)))
				}
			}
			if now != shade {
				flush(x)
				from, shade = x, now
			}
		}
		flush(c.r)
	}
	s.WriteString("</g>\n")
}

// spots marks the measured places with their values, the highest and the lowest first.
func (f *Flatness) spots(s *sheet, hi, lo int, span float64, px, py func(float64) float64) {
	order := []int{hi, lo}
	for i := range f.Spots {
		x, y := px(f.Spots[i].X), py(f.Spots[i].Y)
		if len(f.Spots) <= 80 {
			s.take(x-3, y-3, x+3, y+3)
		}
		if i != hi && i != lo {
			order = append(order, i)
		}
	}
	for n, i := range order {
		p := f.Spots[i]
		x, y := px(p.X), py(p.Y)
		switch {
		case span > 0 && i == hi && n == 0:
			mark(s, [2]float64{x, y}, 0, true)
			s.take(x-7, y-7, x+7, y+7)
			s.label(x, y, 10, f.bare(p.High), true, true)
			continue
		case span > 0 && i == lo && n == 1:
			mark(s, [2]float64{x, y}, 0, false)
			s.take(x-7, y-7, x+7, y+7)
			s.label(x, y, 10, f.bare(p.High), true, true)
			continue
		case i == lo && n == 1 && hi == lo:
			continue
		}
		if len(f.Spots) <= 80 {
			s.circle("open spot", x, y, 2.6)
		}
		if len(f.Spots) <= 40 {
			s.label(x, y, 4, f.bare(p.High), false, false)
		}
	}
}

// explain writes what the drawing means, the description and the table.
func (f Flatness) explain(s *sheet, title string, hi, lo int, span, scale float64) Picture {
	unitName := "mm"
	if f.Inch {
		unitName = "in"
	}
	s.text(edge, s.y+em-1, "start", "low", false)
	for i := range shades {
		s.rect("h"+strconv.Itoa(i), edge+30+float64(i)*26, s.y, 26, em)
	}
	s.rect("line", edge+30, s.y, 26*shades, em)
	s.text(edge+36+26*shades, s.y+em-1, "start", "high, by "+f.length(span/shades)+" a shade", false)
	s.y += step + 3
	flat := "flat within " + f.length(f.Flat)
	if f.Allowed > 0 {
		word := ": kept"
		if f.Flat > f.Allowed {
			word = ": not kept"
		}
		flat += "; at most " + f.length(f.Allowed) + word
	}
	name := func(i int) string {
		if at := clean(f.Spots[i].At, 40); at != "" {
			return at
		}
		return f.bare(f.Spots[i].X) + "," + f.bare(f.Spots[i].Y)
	}
	high, lowWords := "", ""
	if span > 0 {
		high, lowWords = "highest at "+name(hi)+": "+f.length(f.Spots[hi].High), "lowest at "+name(lo)+": "+f.length(f.Spots[lo].High)
		s.legend(high, func(x, y float64) { mark(s, [2]float64{x + 12, y}, 0, true) })
		s.legend(lowWords, func(x, y float64) { mark(s, [2]float64{x + 12, y}, 0, false) })
	}
	if len(f.Holes) > 0 {
		s.legend(fmt.Sprintf("bolt hole (%d)", len(f.Holes)), func(x, y float64) {
			s.circle("open", x+12, y, 6)
			s.path("fine", fmt.Sprintf("M%s %sh8M%s %sv8", num(x+8), num(y), num(x+12), num(y-4)))
		})
	}
	s.scaleBar(f.About, scale)
	how := "Numbers: " + unitName + " over the lower of the two planes that hold the face. Between the places the shade is filled in by nearness: what lies between them was not seen."
	s.note(sentence(flat) + ". " + how)
	desc := fmt.Sprintf("Map of %d places on the face. %s. ", len(f.Spots), sentence(flat))
	for _, w := range []string{high, lowWords} {
		if w != "" {
			desc += sentence(w) + ". "
		}
	}
	t := Table{Head: []string{"place", "height", ""}, Notes: []string{sentence(flat) + ".", "Heights over the lower of the two planes that hold the face."}}
	order := make([]int, len(f.Spots))
	for i := range order {
		order[i] = i
	}
	if len(order) > 40 {
		slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(f.Spots[b].High, f.Spots[a].High) })
		order = append(order[:5:5], order[len(order)-5:]...)
		t.Notes = append(t.Notes, fmt.Sprintf("Of %d places the five highest and the five lowest.", len(f.Spots)))
	}
	for _, i := range order {
		word := ""
		if span > 0 && f.Spots[hi].High-f.Spots[i].High < 1e-6 {
			word = "highest"
		} else if span > 0 && f.Spots[i].High-f.Spots[lo].High < 1e-6 {
			word = "lowest"
		}
		t.Rows = append(t.Rows, []string{name(i), f.length(f.Spots[i].High), word})
	}
	return s.drawn(title, desc+how, t)
}

// disc is a circle as a path.
func disc(x, y, r float64) string {
	return fmt.Sprintf("M%s %sa%s %s 0 1 0 %s 0a%s %s 0 1 0 %s 0Z", num(x-r), num(y), num(r), num(r), num(2*r), num(r), num(r), num(-2*r))
}
