package report

import (
	"fmt"
	"math"
	"strings"

	"seepwright/engine/measure/gland"
	"seepwright/engine/measure/ringsize"
	"seepwright/engine/measure/uncertain"
	"seepwright/rules/unit"
)

// Limit is a band that a fit is compared with, and where it comes from.
type Limit struct {
	Of             string
	Limits         ringsize.Limits
	OneSided       bool // a greatest value only
	Off            bool // not judged
	From, Standing string
}

// GlandFound is the answer to "which ring fits this gland best".
type GlandFound struct {
	Worked Worked
	Place  ringsize.Place
	Limits []Limit
	Best   ringsize.Best
}

// Verdict is the first word for a program: fits, none, outside, or cannot say.
func (f GlandFound) Verdict() string {
	switch b := f.Best; {
	case b.Suits && b.Safe == uncertain.Conforms:
		return "fits"
	case len(b.Fits) > 0 && b.Safe == uncertain.NotProven:
		return "cannot say"
	case b.Outside != "":
		return "outside"
	}
	return "none"
}

// Sentence says it in words.
func (f GlandFound) Sentence() string {
	b, w := f.Best, f.Worked
	if len(b.Fits) == 0 {
		if b.Outside != "" {
			return "NOT IN THE TABLES: " + b.Outside + "."
		}
		return "NO STANDARD RING comes near this gland."
	}
	first := b.Fits[0]
	switch f.Verdict() {
	case "fits":
		return "BEST FITS " + w.ring(first.Ring) + ": " + f.figures(first) + "."
	case "cannot say":
		if b.Suits {
			return "TOO CLOSE TO CALL: " + w.ring(first.Ring) + " fits by the readings, " + f.figures(first) + ", but they are not good enough to be sure."
		}
		return "TOO CLOSE TO CALL: no standard ring fits by the readings, but " + w.ring(first.Ring) + " may: " + f.violated(first) + "."
	case "outside":
		return "NOT IN THE TABLES: " + b.Outside + "; the nearest ring is " + w.ring(first.Ring) + ", with " + f.violated(first) + "."
	}
	return "NO STANDARD RING FITS: the nearest is " + w.ring(first.Ring) + ", with " + f.violated(first) + "."
}

// figures are squeeze, hold and fill in short.
func (f GlandFound) figures(x ringsize.Fit) string {
	s := "squeeze " + share(float64(x.Squeeze)) + ", " + f.hold() + " " + share(float64(x.Hold))
	if f.Place.Width.At > 0 {
		s += ", fill " + share(float64(x.Fill))
	}
	return s
}

// hold is what the ring is held by.
func (f GlandFound) hold() string {
	if f.Place.Kind.ByOutside() {
		return string(ringsize.Interference)
	}
	return string(ringsize.Stretch)
}

// violated lists the limits that a ring breaks.
func (f GlandFound) violated(x ringsize.Fit) string {
	var out []string
	for _, m := range x.Margins {
		if m.Margin < 0 {
			out = append(out, f.margin(m))
		}
	}
	return strings.Join(out, ", ")
}

// margin says a figure against the limit that is nearer.
func (f GlandFound) margin(m ringsize.Margin) string {
	show := func(x float64) string {
		if m.Of == ringsize.LeastSqueeze {
			return f.Worked.size(unit.Length(x))
		}
		return share(x)
	}
	low := !math.IsInf(m.Least, 0) && (math.IsInf(m.Greatest, 0) || m.Value-m.Least < m.Greatest-m.Value)
	side, limit, by := "at most", m.Greatest, m.Value <= m.Greatest
	if low {
		side, limit, by = "at least", m.Least, m.Value >= m.Least
	}
	word := " against "
	if !by {
		word = " instead of "
	}
	return string(m.Of) + " " + show(m.Value) + word + side + " " + show(limit)
}

// View is the answer for a person.
func (f GlandFound) View() []Block {
	p := &page{}
	p.add(Verdict, "%s", f.Sentence())
	f.safety(p)
	if len(f.Best.Fits) > 0 {
		p.add(Heading, "Rings, the best first")
	}
	for i, x := range f.Best.Fits {
		f.fit(p, i, x)
	}
	f.recut(p)
	p.add(Heading, "Limits")
	for _, l := range f.Limits {
		f.limit(p, l)
	}
	p.add(Heading, "What to know")
	p.add(Item, "The margin is the least of all: 1 at the value aimed at, 0 at a limit. Margins within a twentieth count as equal; then a listed ring goes before a metric size in no table.")
	p.add(Item, "Search: all sizes of AS568, JIS B 2401 P3 to P40, P320 to P400 and G25 to G180, and metric round sizes. Not searched: DIN 3771, the rest of JIS B 2401, aerospace series.")
	p.add(Item, "Not judged here: rubber against fluid and heat, the extrusion gap, ovality and offset (seepwright measure). The maker's own ring goes first.")
	return p.blocks
}

// safety says whether the choice holds over the uncertainty of the readings.
func (f GlandFound) safety(p *page) {
	b := f.Best
	if len(b.Fits) == 0 {
		return
	}
	if b.Suits {
		p.add(Para, "%s.", count(b.Count))
	}
	if b.Critical == "" {
		p.add(Para, "The sizes are taken as exact; state their uncertainty (+- 0.02 mm, or by vernier) to see whether the choice is safe.")
		return
	}
	first := f.Worked.short(b.Fits[0].Ring)
	switch {
	case b.Safe == uncertain.Conforms:
		p.add(Para, "Safe: over the uncertainty of the readings %s keeps every limit.", first)
	case b.Safe == uncertain.NotProven:
		s := "The " + string(b.Deciding) + " decides, and the " + b.Critical + " weighs most on it"
		if b.Needs > 0 {
			s += "; read to ± " + f.Worked.show(num(floor2(float64(b.Needs))), unit.LengthDim) + " it would settle whether " + first + " keeps every limit"
		} else {
			s += "; no better reading of it alone would settle it"
		}
		p.add(Para, "%s.", s)
	}
	if len(b.Fits) > 1 && b.Ahead != uncertain.Conforms {
		p.add(Para, "Whether it or %s fits better is too close to call with these readings.", f.Worked.short(b.Fits[1].Ring))
	}
}

func count(n int) string {
	if n == 1 {
		return "By the readings it is the only size that keeps every limit"
	}
	return fmt.Sprintf("By the readings %d sizes keep every limit", n)
}

func (f GlandFound) fit(p *page, i int, x ringsize.Fit) {
	w := f.Worked
	p.mark(Numbered, fmt.Sprint(i+1), "%s: %s", w.ring(x.Ring), f.figures(x))
	s := "Over the tolerances: squeeze " + share(float64(x.SqueezeLeast)) + " to " + share(float64(x.SqueezeGreatest)) + " (" + w.size(x.LeastLength) + " at least), " +
		f.hold() + " " + share(float64(x.HoldLeast)) + " to " + share(float64(x.HoldGreatest))
	if f.Place.Width.At > 0 {
		s += ", fill up to " + share(float64(x.FillWorst))
	}
	p.add(Note, "%s.", s)
	lead := "Margin " + unit.Show(round(x.Score, 2), 3) + ": "
	switch {
	case x.Score < 0:
		p.add(Note, "Does not fit: %s.", f.violated(x))
	case i == 0:
		p.add(Note, "%s%s.", lead, f.margin(x.Worst()))
	case round(x.Score, 2) >= round(f.Best.Fits[0].Score, 2):
		p.add(Note, "%s%s. Second for its standing only: %s.", lead, f.margin(x.Worst()), standingOf(x.Ring))
	default:
		p.add(Note, "%s%s: nearer to its limit than the first.", lead, f.margin(x.Worst()))
	}
	if !x.Listed {
		p.add(Note, "In no size table; tolerances of ISO 3601-1 class B; ask the dealer.")
	} else if x.Standing != "confirmed" {
		p.add(Note, "Size: %s.", x.Standing)
	}
}

func standingOf(r ringsize.Ring) string {
	if !r.Listed {
		return "a size that no table lists"
	}
	return "size " + r.Standing
}

// recut says what groove would fit, and what ring to ask for.
func (f GlandFound) recut(p *page) {
	b, w := f.Best, f.Worked
	if b.Suits {
		return
	}
	p.add(Heading, "What would fit")
	if r := b.Recut; r != nil {
		var sizes []string
		add := func(name string, to, now ringsize.Dim) {
			if to.At > 0 && w.bare(to.At) != w.bare(now.At) {
				sizes = append(sizes, name+" "+w.size(to.At)+" (now "+w.bare(now.At)+")")
			}
		}
		add(wallName(f.Place.Kind), r.Groove, f.Place.Groove)
		add("depth", r.Depth, f.Place.Depth)
		add("width", r.Width, f.Place.Width)
		p.add(Item, "Another groove: %s takes %s: %s.", strings.Join(sizes, ", "), w.ring(r.Ring), f.figures(r.Fit))
		if r.Cutting {
			p.add(Note, "Metal only has to come off. First see that the wall under the groove stays thick enough, and that nothing else is cut into; on a pressure part that is for the maker to say.")
		} else {
			p.add(Note, "That groove is smaller than the present one: it wants a new part or a sleeve.")
		}
	}
	if b.Ideal.ID > 0 {
		p.add(Item, "A special ring for the groove as it is: inside %s, section %s.", w.size(b.Ideal.ID), w.size(b.Ideal.Cord))
	}
}

func wallName(k gland.Kind) string {
	switch k {
	case gland.FaceInside:
		return "outer wall"
	case gland.FaceOutside:
		return "inner wall"
	}
	return "groove diameter"
}

func (f GlandFound) limit(p *page, l Limit) {
	switch {
	case l.Off:
		return
	case l.OneSided:
		p.add(Item, "%s: at most %s", l.Of, share(float64(l.Limits.Greatest)))
	default:
		p.add(Item, "%s: %s to %s, aimed at %s", l.Of, share(float64(l.Limits.Least)), share(float64(l.Limits.Greatest)), share(float64(l.Limits.Target())))
	}
	p.add(Note, "Source: %s.", Origin(l.From, l.Standing))
}
