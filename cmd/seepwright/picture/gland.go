package picture

import (
	"fmt"
	"math"
	"strings"
)

// Gland is a ring in its groove, cut through: one or two sections side by side, at one scale.
type Gland struct {
	About
	Inner, Outer string         // what holds the groove, and what closes it: "spigot", "bore"
	Width        float64        // of the groove, mm; 0 = not known
	Sections     []GlandSection // one or two
	Least, Most  float64        // squeeze wanted at least and allowed at most, as shares; 0 = none
	Notes        []string
}

// GlandSection is one state of the gland, sizes in mm.
type GlandSection struct {
	Title string  // "least squeeze"
	Cord  float64 // of the free ring
	Depth float64 // from the bottom of the groove to what closes it
	Gap   float64 // between the parts beside the groove; 0 = closed or not known
}

// squeeze of the section, as a share; below 0 the ring does not touch.
func (c GlandSection) squeeze() float64 { return 1 - c.Depth/c.Cord }

// flattened is how wide a ring lies that is pressed to a height: round ends, flat between, of the same area.
func flattened(cord, depth float64) float64 {
	if depth >= cord {
		return cord
	}
	return math.Pi*(cord*cord-depth*depth)/(4*depth) + depth
}

func (g Gland) check() error {
	err := firstOf(counted("sections of the gland", len(g.Sections), 1, 2), sizedOr0("the width of the groove", g.Width),
		within("the least squeeze", g.Least, 0, 0.9, "a share from 0 to 0.9"), within("the greatest squeeze", g.Most, 0, 0.9, "a share from 0 to 0.9"))
	for _, c := range g.Sections {
		err = firstOf(err, sized("the cord", c.Cord), sized("the gland depth", c.Depth), sizedOr0("the gap", c.Gap))
		switch {
		case err != nil:
		case c.Gap >= c.Depth:
			err = fmt.Errorf("no picture: the gap of %g mm is as deep as the gland of %g mm: no groove is left; give the gap between the parts beside the groove", c.Gap, c.Depth)
		case c.Depth > 3*c.Cord || c.Depth < c.Cord/10:
			err = fmt.Errorf("no picture: a gland %g mm deep and a cord of %g mm do not belong together; check the sizes and their units", c.Depth, c.Cord)
		case g.Width != 0 && (g.Width > 20*c.Cord || g.Width < c.Cord/4):
			err = fmt.Errorf("no picture: a groove %g mm wide and a cord of %g mm do not belong together; check the sizes and their units", g.Width, c.Cord)
		}
	}
	return err
}

// words are what is said of a section.
func (g Gland) words(c GlandSection) (squeeze, limit string) {
	q := c.squeeze()
	switch {
	case q > 0:
		squeeze = "squeeze " + tenths(q) + " (" + g.length(c.Cord-c.Depth) + ")"
	case q == 0:
		squeeze = "no squeeze: the ring only touches"
	default:
		squeeze = "no squeeze: " + g.length(c.Depth-c.Cord) + " of air over the ring"
	}
	switch {
	case g.Least > 0 && q < g.Least:
		limit = "below the least, " + tenths(g.Least)
	case g.Most > 0 && q > g.Most:
		limit = "above the greatest, " + tenths(g.Most)
	case g.Least > 0 && g.Most > 0:
		limit = "within " + tenths(g.Least) + " to " + tenths(g.Most)
	case g.Least > 0:
		limit = "at least " + tenths(g.Least) + ": kept"
	case g.Most > 0:
		limit = "at most " + tenths(g.Most) + ": kept"
	}
	return squeeze, limit
}

// Draw draws the gland. Sizes that are no sizes, or that do not belong together, are refused.
func (g Gland) Draw() (Picture, error) {
	if err := g.check(); err != nil {
		return Picture{}, err
	}
	inner, outer := clean(g.Inner, 24), clean(g.Outer, 24)
	if inner == "" {
		inner = "groove"
	}
	if outer == "" {
		outer = "face"
	}
	width, guessed := g.Width, false
	deepest, thickest := 0.0, 0.0
	for _, c := range g.Sections {
		deepest, thickest = math.Max(deepest, c.Depth), math.Max(thickest, c.Cord)
	}
	if width == 0 {
		width, guessed = 1.35*thickest, true
	}
	n := float64(len(g.Sections))
	panel := (wide - 2*edge - 14*(n-1)) / n
	land := math.Max(0.28*width, 0.3*thickest)
	scale := math.Min(panel/(width+2*land), 150/math.Max(deepest, thickest))
	title := g.titled("Ring in its gland")
	s := begin(g.named("gland"), title)
	top := s.y
	roof, floor := top+26+math.Max(0, thickest-deepest)*scale/2, 0.0
	floor = roof + deepest*scale
	ground := floor + 24 + math.Max(0, thickest-deepest)*scale/2
	desc, overfull := "", false
	t := Table{Head: []string{"state", "cord", "gland depth", "gap", "squeeze", "limit"}}
	low := 0.0
	for i, c := range g.Sections {
		x := edge + float64(i)*(panel+14)
		g.section(s, c, section{x, panel, roof, ground, scale, width, inner, outer})
		if flattened(c.Cord, c.Depth) > width && !guessed {
			overfull = true
		}
		squeeze, limit := g.words(c)
		y := s.para(x, ground+6, panel, c.Title, true, 3)
		said := []string{squeeze, limit, "cord " + g.length(c.Cord), "gland depth " + g.length(c.Depth)}
		gap := "-"
		if c.Gap > 0 {
			gap = g.length(c.Gap)
			said = append(said, "gap beside it "+gap)
		}
		for _, w := range said {
			if w != "" {
				y = s.para(x, y, panel, w, false, 3)
			}
		}
		low = math.Max(low, y)
		t.Rows = append(t.Rows, []string{c.Title, g.length(c.Cord), g.length(c.Depth), gap, tenths(c.squeeze()), limit})
		desc += fmt.Sprintf("%s: cord %s in a gland %s deep, %s%s. ", sentence(clean(c.Title, longest)), g.length(c.Cord), g.length(c.Depth), squeeze, joined("; ", limit))
		if c.Gap > 0 {
			desc += "The parts stand " + gap + " apart beside the groove. "
		}
	}
	s.y = low + 6
	s.scaleBar(g.About, scale)
	notes := []string{"The broken line is the free cord; the ring is drawn flattened to the same area, an approximation of how rubber lies."}
	if guessed {
		notes = append(notes, "The width of the groove is not known: drawn as 1.35 times the cord.")
	}
	if overfull {
		notes = append(notes, "The groove is too narrow for the flattened ring: it has no room left to swell.")
	}
	notes = append(notes, g.Notes...)
	for _, w := range notes {
		s.note(w)
		desc += w + " "
	}
	t.Notes = notes
	return s.drawn(title, desc, t), nil
}

// section is where one state is drawn.
type section struct {
	x, panel, roof, ground, scale, width float64
	inner, outer                         string
}

// section draws metal, ring and gap of one state; the part that closes the gland is above.
func (g Gland) section(s *sheet, c GlandSection, at section) {
	mid := at.x + at.panel/2
	bottom := at.roof + c.Depth*at.scale
	half := at.width * at.scale / 2
	land := at.roof + c.Gap*at.scale
	s.rect("metal closes", at.x, at.roof-26, at.panel, 26)
	s.path("metal groove", along([][2]float64{{at.x, land}, {mid - half, land}, {mid - half, bottom}, {mid + half, bottom}, {mid + half, land}, {at.x + at.panel, land}, {at.x + at.panel, at.ground}, {at.x, at.ground}}, true))
	free, high := c.Cord*at.scale, math.Min(c.Depth, c.Cord)*at.scale
	across := flattened(c.Cord, c.Depth) * at.scale
	r := high / 2
	if across > 2*half { // held by the walls: it fills its height
		across, r = 2*half, math.Min(r, 3)
	}
	s.rounded("rubber ring", mid-across/2, bottom-high, across, high, r)
	if c.Depth < c.Cord {
		fmt.Fprintf(s, `<circle class="dash cord" cx="%s" cy="%s" r="%s"/>`+"\n", num(mid), num(bottom-high/2), num(free/2))
	}
	s.text(at.x+6, at.roof-8, "start", fitted(at.outer, at.panel-12), false)
	s.text(at.x+6, at.ground-6, "start", fitted(at.inner, at.panel-12), false)
}

// fitted is as much of a name as fits on one line.
func fitted(name string, width float64) string {
	return strings.Join(wrapped(name, width, false, 1), "")
}

// sentence begins with a capital letter.
func sentence(s string) string {
	if s == "" || s[0] < 'a' || s[0] > 'z' {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// joined is words with what comes before them, or nothing.
func joined(before, words string) string {
	if words == "" {
		return ""
	}
	return before + words
}
