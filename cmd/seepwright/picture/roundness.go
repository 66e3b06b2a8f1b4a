package picture

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
)

// Roundness is the profile of a bore or a spigot, what it lacks of a circle drawn many times larger than the part.
type Roundness struct {
	About
	Profile []Polar
	Read    []Polar // the readings, where the profile is a shape laid to them; nil = the profile is the readings
	Laid    string  // what was laid to them: "oval laid to the readings"
	Ring    string  // what the two circles are; "" = the narrowest ring that holds the profile
	Radius  float64 // mean radius of the part, mm; 0 = not known (indicator readings)
	Zone    float64 // distance of the two circles of the narrowest ring, mm
	Allowed float64 // greatest out-of-round allowed, mm; 0 = none
	Clock   bool    // places are said as a clock, else in degrees
	Lost    *Lost
	Notes   []string
}

// Polar is one reading: how far it lies off the middle of the narrowest ring, outward positive.
type Polar struct {
	Angle float64 // degrees clockwise from 12 o'clock
	Off   float64 // mm
}

// Lost says where a ring on this part is squeezed less than it should be.
type Lost struct {
	Off    float64 // mm off the middle of the ring, at which the squeeze just meets the limit
	Inward bool    // the squeeze is lost where the profile lies further in (a spigot); else further out (a bore)
	Limit  string  // "10 %"
}

// Sector is a part of the circle, degrees clockwise from 12 o'clock, From to To on the way round.
type Sector struct{ From, To float64 }

func (r *Roundness) check() error {
	err := firstOf(counted("readings", len(r.Profile), 3, 20000), sizedOr0("the radius", r.Radius), sizedOr0("the narrowest ring", r.Zone), sizedOr0("the greatest allowed", r.Allowed))
	err = firstOf(err, counted("readings", len(r.Read), 0, 20000))
	for _, p := range slices.Concat(r.Profile, r.Read) {
		err = firstOf(err, within("an angle", p.Angle, -3600, 3600, "degrees"), within("a reading off the circle, in mm,", p.Off, -greatestSize, greatestSize, "a length"))
	}
	if r.Lost != nil {
		err = firstOf(err, within("the place where the limit is met, in mm,", r.Lost.Off, -greatestSize, greatestSize, "a length"))
	}
	return err
}

// sorted are the readings round the circle from 12 o'clock on.
func (r Roundness) sorted() []Polar {
	p := slices.Clone(r.Profile)
	for i := range p {
		p[i].Angle = math.Mod(math.Mod(p[i].Angle, 360)+360, 360)
	}
	slices.SortStableFunc(p, func(a, b Polar) int { return cmp.Compare(a.Angle, b.Angle) })
	return p
}

// between is the profile at an angle, straight from reading to reading.
func between(p []Polar, deg float64) float64 {
	n := len(p)
	i := 0
	for i < n && p[i].Angle <= deg {
		i++
	}
	a, b := p[(i+n-1)%n], p[i%n]
	from, to := a.Angle, b.Angle
	if i == 0 {
		from -= 360
	}
	if i == n {
		to += 360
	}
	if to-from < 1e-9 {
		return a.Off
	}
	return a.Off + (b.Off-a.Off)*(deg-from)/(to-from)
}

// LostAt are the sectors in which the profile lies beyond the limit, straight from reading to reading.
func (r Roundness) LostAt() []Sector {
	if r.Lost == nil {
		return nil
	}
	p := r.sorted()
	beyond := func(off float64) float64 {
		if r.Lost.Inward {
			return r.Lost.Off - off
		}
		return off - r.Lost.Off
	}
	type cross struct {
		at  float64
		out bool // from here on the squeeze is lost
	}
	var list []cross
	any := false
	for i, a := range p {
		b := p[(i+1)%len(p)]
		da, db := beyond(a.Off), beyond(b.Off)
		any = any || da > 0
		if (da > 0) == (db > 0) {
			continue
		}
		turn := math.Mod(b.Angle-a.Angle+360, 360)
		list = append(list, cross{math.Mod(a.Angle+turn*da/(da-db), 360), db > 0})
	}
	if len(list) == 0 {
		if any {
			return []Sector{{0, 360}}
		}
		return nil
	}
	slices.SortStableFunc(list, func(a, b cross) int { return cmp.Compare(a.at, b.at) })
	var out []Sector
	for i, c := range list {
		if !c.out {
			continue
		}
		to := list[(i+1)%len(list)].at
		if to <= c.at {
			to += 360
		}
		out = append(out, Sector{c.at, to})
	}
	return out
}

// around is a point at an angle clockwise from the top.
func around(cx, cy, radius, deg float64) [2]float64 {
	s, c := math.Sincos(deg * math.Pi / 180)
	return [2]float64{cx + radius*s, cy - radius*c}
}

const (
	roundRadius = 88.0 // units at which the middle of the narrowest ring is drawn
	roundRoom   = 30.0 // units that the profile may lie inside and outside
)

// Draw draws the profile. Too few readings and sizes that are none are refused.
func (r Roundness) Draw() (Picture, error) {
	if err := r.check(); err != nil {
		return Picture{}, err
	}
	p := r.sorted()
	hi, lo := ends(p)
	most := math.Max(r.Zone/2, math.Max(math.Abs(p[hi].Off), math.Abs(p[lo].Off)))
	for _, q := range r.Read {
		most = math.Max(most, math.Abs(q.Off))
	}
	limitDrawn := r.Lost != nil && math.Abs(r.Lost.Off) <= 3*most && most > 0
	if limitDrawn {
		most = math.Max(most, math.Abs(r.Lost.Off))
	}
	per, times := 0.0, 0.0 // units per mm across the profile; how much larger than the part
	if most > leastSize/10 {
		per = roundRoom / most
		if r.Radius > 0 {
			if times = nice(per * r.Radius / roundRadius); times < 1 {
				return Picture{}, fmt.Errorf("no picture: readings up to %g mm off a circle of radius %g mm are no roundness; check the sizes and their units", most, r.Radius)
			}
			per = times * roundRadius / r.Radius
		}
	}
	title := r.titled("Out of round")
	s := begin(r.named("roundness"), title)
	far := roundRadius + roundRoom + 20
	cx, cy := wide/2, s.y+far+12
	sectors := r.LostAt()
	for _, q := range sectors {
		s.hatchedPath("lost hl", wedge(cx, cy, roundRadius-roundRoom-3, roundRadius+roundRoom+3, q))
	}
	s.circle("line zone-out", cx, cy, roundRadius+r.Zone/2*per)
	s.circle("line zone-in", cx, cy, roundRadius-r.Zone/2*per)
	if limitDrawn {
		s.circle("dash limit", cx, cy, roundRadius+r.Lost.Off*per)
	}
	var line [][2]float64
	for i, a := range p {
		turn := 360.0
		if len(p) > 1 {
			turn = math.Mod(p[(i+1)%len(p)].Angle-a.Angle+360, 360)
		}
		for d := 0.0; d < turn || d == 0; d += 3 {
			line = append(line, around(cx, cy, roundRadius+between(p, math.Mod(a.Angle+d, 360))*per, a.Angle+d))
		}
	}
	s.path("thick profile", along(line, true))
	dots := r.Read
	if dots == nil {
		dots = p
	}
	if len(dots) <= 72 {
		for _, a := range dots {
			q := around(cx, cy, roundRadius+a.Off*per, a.Angle)
			s.circle("solid reading", q[0], q[1], 2.6)
		}
	}
	s.path("axis", fmt.Sprintf("M%s %sH%sM%s %sV%s", num(cx-12), num(cy), num(cx+12), num(cx), num(cy-12), num(cy+12)))
	for i, w := range []string{"12", "3", "6", "9"} {
		if !r.Clock {
			w = []string{"0", "90", "180", "270"}[i] + "°"
		}
		q := around(cx, cy, far, float64(i)*90)
		s.text(q[0], q[1]+[]float64{0, 4, 9, 4}[i], []string{"middle", "start", "middle", "end"}[i], w, false)
	}
	round := most > leastSize/10
	if round {
		mark(s, around(cx, cy, roundRadius+p[hi].Off*per+11, p[hi].Angle), p[hi].Angle, true)
		mark(s, around(cx, cy, roundRadius+p[lo].Off*per-11, p[lo].Angle), p[lo].Angle, false)
	}
	s.y = cy + far + 20
	return r.explain(s, title, p, hi, lo, times, per, sectors, limitDrawn), nil
}

// explain writes what the drawing means, the description and the table.
func (r Roundness) explain(s *sheet, title string, p []Polar, hi, lo int, times, per float64, sectors []Sector, limitDrawn bool) Picture {
	ring, line := "narrowest ring that holds the profile", "as measured, straight from reading to reading"
	if w := clean(r.Ring, longest); w != "" {
		ring = w
	}
	if w := clean(r.Laid, longest); w != "" {
		line = w
	}
	zone := ring + ": two circles " + r.length(r.Zone) + " apart"
	if r.Allowed > 0 {
		word := ": kept"
		if r.Zone > r.Allowed {
			word = ": not kept"
		}
		zone += "; at most " + r.length(r.Allowed) + word
	}
	s.legend(line, func(x, y float64) { s.line("thick", x, y, x+24, y); s.circle("solid", x+12, y, 2.6) })
	s.legend(zone, func(x, y float64) { s.line("line", x, y-3, x+24, y-3); s.line("line", x, y+3, x+24, y+3) })
	high, low := "", ""
	if per > 0 {
		high = "high at " + clock(p[hi].Angle, r.Clock) + ", " + r.length(p[hi].Off-p[lo].Off) + " further out than the low"
		low = "low at " + clock(p[lo].Angle, r.Clock)
		s.legend(high, func(x, y float64) { mark(s, [2]float64{x + 12, y}, 0, true) })
		s.legend(low, func(x, y float64) { mark(s, [2]float64{x + 12, y}, 0, false) })
	}
	lost := ""
	if r.Lost != nil {
		var where []string
		for _, q := range sectors {
			if q.To-q.From >= 360 {
				where = append(where, "all round")
			} else {
				where = append(where, clock(q.From, r.Clock)+" to "+clock(q.To, r.Clock))
			}
		}
		limit := clean(r.Lost.Limit, 24)
		lost = "squeeze nowhere below " + limit
		if len(where) > 8 {
			where = append(where[:8], "more")
		}
		if len(where) > 0 {
			lost = "squeeze below " + limit + ": " + listed(where)
			s.legend(lost, func(x, y float64) { s.hatched("", x, y-6, 24, 12) })
		}
		if limitDrawn {
			s.legend("where the squeeze is "+limit, func(x, y float64) { s.line("dash", x, y, x+24, y) })
		}
		if len(where) == 0 {
			s.note(sentence(lost) + ".")
		}
	}
	how := "All readings lie on one circle."
	if times > 0 {
		how = fmt.Sprintf("What it lacks of a circle is drawn %g times larger than the part.", times)
	} else if per > 0 {
		how = "What it lacks of a circle is drawn much larger than the part, whose size is not known."
	}
	if per > 0 {
		s.scaleBarAt(r.About, per, "across the profile")
	}
	s.note(how)
	rows := p
	if r.Read != nil {
		rows = Roundness{Profile: r.Read}.sorted()
	}
	desc := fmt.Sprintf("Polar picture of %d readings. %s. ", len(rows), sentence(zone))
	for _, w := range []string{high, low, lost} {
		if w != "" {
			desc += sentence(w) + ". "
		}
	}
	t := Table{Head: []string{"at", "off the middle", ""}, Notes: []string{sentence(zone) + "."}}
	if r.Read != nil {
		hi, lo = ends(rows)
	}
	for i, a := range rows {
		if len(rows) > 40 && i != hi && i != lo {
			continue
		}
		word := ""
		if per > 0 && i == hi {
			word = "high"
		} else if per > 0 && i == lo {
			word = "low"
		}
		for _, q := range sectors {
			if a.Angle >= q.From && a.Angle <= q.To || a.Angle+360 <= q.To {
				word = strings.TrimPrefix(word+", squeeze below "+clean(r.Lost.Limit, 24), ", ")
				break
			}
		}
		t.Rows = append(t.Rows, []string{clock(a.Angle, r.Clock), r.length(a.Off), word})
	}
	if lost != "" {
		t.Notes = append(t.Notes, sentence(lost)+".")
	}
	for _, n := range r.Notes {
		s.note(n)
		how += " " + clean(n, 400)
		t.Notes = append(t.Notes, n)
	}
	return s.drawn(title, desc+how, t)
}

// ends are the places that lie furthest out and furthest in, the first of equals.
func ends(p []Polar) (hi, lo int) {
	for i := range p {
		if p[i].Off > p[hi].Off {
			hi = i
		}
		if p[i].Off < p[lo].Off {
			lo = i
		}
	}
	return hi, lo
}

// wedge is a sector between two radii.
func wedge(cx, cy, in, out float64, q Sector) string {
	var p [][2]float64
	turn := math.Min(q.To-q.From, 360)
	n := int(math.Ceil(turn/3)) + 1
	for i := range n {
		p = append(p, around(cx, cy, out, q.From+turn*float64(i)/float64(n-1)))
	}
	for i := n - 1; i >= 0; i-- {
		p = append(p, around(cx, cy, in, q.From+turn*float64(i)/float64(n-1)))
	}
	return along(p, true)
}

// mark is a filled triangle that points outward for a high place, an open one that points inward for a low one.
func mark(s *sheet, at [2]float64, deg float64, high bool) {
	class, d := "solid high", deg
	if !high {
		class, d = "open low", deg+180
	}
	var p [][2]float64
	for _, a := range []float64{0, 130, 230} {
		p = append(p, around(at[0], at[1], 6.5, d+a))
	}
	s.path(class, along(p, true))
}

// scaleBarAt is scaleBar with words of what it measures.
func (s *sheet) scaleBarAt(a About, scale float64, what string) {
	per := 1.0
	if a.Inch {
		per = 25.4
	}
	mm := nice(50/scale/per) * per
	y := s.y + 8
	s.rect("scalebar solid", edge, y-2, mm*scale, 4)
	s.text(edge+mm*scale+6, y+4, "start", a.round(mm)+" "+what, false)
	s.y += step + 3
}
