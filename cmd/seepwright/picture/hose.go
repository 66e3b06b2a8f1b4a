package picture

import (
	"fmt"
	"math"
)

// Hose is a hose end on its spigot with its clamp, cut through the wall on one side. Sizes in mm; 0 = not known.
type Hose struct {
	About
	Spigot, Bead float64  // outside of the spigot (must be known) and of the bead
	BeadWidth    float64  // along the spigot
	Bore, Wall   float64  // of the free hose
	PushOn       float64  // how far the hose is pushed on past the bead
	ClampToBead  *float64 // from the edge of the clamp to the bead; below 0 the clamp stands on it; nil = not known
	ClampToEnd   *float64 // from the edge of the clamp to the end of the hose; nil = not known
	Band         float64  // width of the clamp
	Notes        []string
}

// laid is where everything lies, mm along the spigot from the edge of the bead towards the end of the hose.
type laid struct {
	push, from, to float64 // end of the hose; the clamp
	clamp          bool
	guessed        []string
}

// lay finds where the hose ends and where the clamp stands from what is known.
func (h Hose) lay() (laid, error) {
	l := laid{push: h.PushOn}
	band := h.Band
	bead, end := h.ClampToBead, h.ClampToEnd
	if bead != nil && end != nil && l.push > 0 {
		rest := l.push - *bead - *end
		if rest <= 0 {
			return l, fmt.Errorf("no picture: the clamp's distances, %g mm to the bead and %g mm to the end, leave nothing of the %g mm that the hose is pushed on; measure them again from the edges of the clamp", *bead, *end, l.push)
		}
		if band > 0 && math.Abs(rest-band) > math.Max(0.5, 0.1*band) {
			l.guessed = append(l.guessed, fmt.Sprintf("The distances leave %s for the clamp, its width is %s: one of them is off.", h.length(rest), h.length(band)))
		} else if band == 0 {
			l.guessed = append(l.guessed, "The width of the clamp is what the distances leave: "+h.length(rest)+".")
		}
		l.from, l.to, l.clamp = *bead, l.push-*end, true
		return l, nil
	}
	if (bead != nil || end != nil) && band == 0 {
		band = 12
		l.guessed = append(l.guessed, "The width of the clamp is not known: drawn "+h.length(band)+".")
	}
	if l.push == 0 {
		switch {
		case bead != nil && end != nil:
			l.push = *bead + band + *end
		default:
			l.push = math.Max(0.6*h.Spigot, 1.6*band)
			if bead != nil {
				l.push = math.Max(l.push, *bead+band+6)
			}
			if end != nil {
				l.push = math.Max(l.push, *end+band+3)
			}
			l.guessed = append(l.guessed, "How far the hose is pushed on is not known: drawn "+h.length(l.push)+".")
		}
		if l.push <= 0 {
			return l, fmt.Errorf("no picture: the hose would end on the bead (%g mm past it); measure the clamp's distances again", l.push)
		}
	}
	switch {
	case bead != nil:
		l.from, l.to, l.clamp = *bead, *bead+band, true
	case end != nil:
		l.from, l.to, l.clamp = l.push-*end-band, l.push-*end, true
	}
	return l, nil
}

func (h Hose) check() error {
	err := firstOf(sized("the spigot", h.Spigot), sizedOr0("the bead", h.Bead), sizedOr0("the width of the bead", h.BeadWidth), sizedOr0("the bore of the hose", h.Bore),
		sizedOr0("the wall of the hose", h.Wall), sizedOr0("the push-on depth", h.PushOn), sizedOr0("the width of the clamp", h.Band))
	for _, d := range []*float64{h.ClampToBead, h.ClampToEnd} {
		if d != nil {
			err = firstOf(err, within("a distance of the clamp", *d, -greatestSize, greatestSize, "millimetres"))
		}
	}
	if err != nil {
		return err
	}
	for _, x := range []struct {
		what string
		mm   float64
	}{{"bead", h.Bead}, {"hose bore", h.Bore}} {
		if x.mm != 0 && (x.mm > 2*h.Spigot || x.mm < h.Spigot/2) {
			return fmt.Errorf("no picture: a %s of %g mm and a spigot of %g mm do not belong together; check the sizes and their units", x.what, x.mm, h.Spigot)
		}
	}
	if h.Bead != 0 && h.Bead < h.Spigot {
		return fmt.Errorf("no picture: the bead, %g mm, is smaller than the spigot, %g mm; measure both again", h.Bead, h.Spigot)
	}
	if h.Wall > h.Spigot || h.PushOn > 20*h.Spigot || h.Band > 10*h.Spigot || h.BeadWidth > 5*h.Spigot {
		return fmt.Errorf("no picture: a hose %g mm thick, %g mm on, with a clamp of %g mm, does not belong to a spigot of %g mm; check the sizes and their units", h.Wall, h.PushOn, h.Band, h.Spigot)
	}
	return nil
}

// Draw draws the hose end. Sizes that are none, or that do not belong together, are refused.
func (h Hose) Draw() (Picture, error) {
	if err := h.check(); err != nil {
		return Picture{}, err
	}
	l, err := h.lay()
	if err != nil {
		return Picture{}, err
	}
	rise := math.Max(0, (h.Bead-h.Spigot)/2)
	bead := h.BeadWidth
	if rise > 0 && bead == 0 {
		bead = 2.5 * rise
		l.guessed = append(l.guessed, "The width of the bead is not known: drawn "+h.length(bead)+".")
	}
	wall := h.Wall
	if wall == 0 {
		wall = math.Max(0.1*h.Spigot, 1.5*rise)
		l.guessed = append(l.guessed, "The wall of the hose is not known: drawn "+h.length(wall)+".")
	}
	drop := 0.0
	if h.Bore > 0 {
		drop = (h.Spigot - h.Bore) / 2 // how far the free hose lies inside the spigot's outside
	}
	tip, lead := 0.12*l.push+bead*0.5, 0.3*l.push
	metal := math.Max(1.6*rise, 0.8*wall)
	long := lead + tip + bead + l.push + 0.2*l.push
	tall := metal + rise + wall*1.25
	scale := math.Min((wide-2*edge)/long, 200/tall)
	title := h.titled("Hose end and clamp")
	s := begin(h.named("hose"), title)
	spans := h.spans(l)
	sky := s.y + 6 + 20*float64(len(spans))
	surface := sky + (rise+wall*1.25)*scale + 4 // outside of the spigot
	zero := edge + (lead+tip+bead)*scale        // edge of the bead towards the end of the hose
	px := func(mm float64) float64 { return zero + mm*scale }
	right, foot := px(1.2*l.push), surface+metal*scale
	// the spigot with its bead
	outline := [][2]float64{{px(-bead - tip), foot}, {px(-bead - tip), surface}, {px(-bead), surface}}
	for i := range 25 {
		a := math.Pi * float64(i) / 24
		if rise > 0 {
			outline = append(outline, [2]float64{px(-bead/2 - bead/2*math.Cos(a)), surface - rise*scale*math.Sin(a)})
		}
	}
	outline = append(outline, [2]float64{px(0), surface}, [2]float64{right, surface}, [2]float64{right, foot})
	s.path("metal spigot", along(outline, true))
	// the hose: its inside lies over the bead and slopes down on both sides
	inner := func(mm float64) float64 {
		if mm < -bead-tip { // free: slopes to its own bore
			return -drop * math.Min(1, (-bead-tip-mm)/(0.5*lead))
		}
		x, half := math.Abs(mm+bead/2), bead/2
		in := 0.0
		if x < half {
			in = rise * math.Sqrt(1-x*x/(half*half))
		}
		if slope := half + 1.5*rise; x < slope {
			c := math.Cos(math.Pi / 2 * x / slope)
			in = math.Max(in, rise*c*c)
		}
		return in
	}
	var under, over [][2]float64
	for i := range 181 {
		mm := -bead - tip - lead + (l.push+bead+tip+lead)*float64(i)/180
		in := inner(mm)
		under = append(under, [2]float64{px(mm), surface - in*scale})
		over = append([][2]float64{{px(mm), surface - (in+wall)*scale}}, over...)
	}
	s.path("rubber hose", along(append(under, over...), true))
	if l.clamp {
		s.rect("metal clamp", px(l.from), surface-wall*1.25*scale, (l.to-l.from)*scale, wall*0.25*scale)
	}
	level := func(i int) float64 { return sky - 6 - 20*float64(len(spans)-1-i) }
	for i, d := range spans {
		for _, x := range []float64{d.from, d.to} {
			s.line("dots", px(x), level(i)+4, px(x), surface-(wall*1.25+0.3)*scale)
		}
	}
	for i, d := range spans {
		s.span(d.class, px(d.from), px(d.to), level(i), d.words)
	}
	s.y = foot + 10
	return h.explain(s, title, l, rise, scale), nil
}

// span is one dimension over the drawing.
type span struct {
	class, words string
	from, to     float64
}

// spans are the dimensions that are known, shortest first.
func (h Hose) spans(l laid) []span {
	var out []span
	if h.PushOn > 0 {
		out = append(out, span{"push-on", h.length(h.PushOn) + " past the bead", 0, l.push})
	}
	if l.clamp && h.ClampToEnd != nil {
		out = append(out, span{"to-end", h.length(*h.ClampToEnd) + " to the end", l.to, l.push})
	}
	if l.clamp && h.Band > 0 {
		out = append(out, span{"band", "clamp " + h.length(h.Band), l.from, l.to})
	}
	if l.clamp && h.ClampToBead != nil {
		out = append(out, span{"to-bead", h.length(*h.ClampToBead) + " to the bead", math.Min(0, l.from), math.Max(0, l.from)})
	}
	return out
}

func (h Hose) explain(s *sheet, title string, l laid, rise, scale float64) Picture {
	t := Table{Head: []string{"what", "size"}}
	add := func(what string, mm float64) {
		if mm != 0 {
			t.Rows = append(t.Rows, []string{what, h.length(mm)})
		}
	}
	add("spigot, outside", h.Spigot)
	add("bead, outside", h.Bead)
	if h.Bead > 0 {
		add("bead, height on the radius", rise)
	}
	add("hose, bore", h.Bore)
	add("hose, wall", h.Wall)
	add("hose pushed on past the bead", h.PushOn)
	add("clamp, width", h.Band)
	if h.ClampToBead != nil {
		t.Rows = append(t.Rows, []string{"clamp to the bead", h.length(*h.ClampToBead)})
	}
	if h.ClampToEnd != nil {
		t.Rows = append(t.Rows, []string{"clamp to the end of the hose", h.length(*h.ClampToEnd)})
	}
	s.legend("hose", func(x, y float64) { s.rect("rubber", x, y-5, 24, 10) })
	s.legend("spigot and clamp", func(x, y float64) { s.rect("metal", x, y-5, 24, 10) })
	said := "spigot " + h.length(h.Spigot)
	if h.Bead > 0 {
		said += ", bead " + h.length(h.Bead) + ", so " + h.length(rise) + " high"
	}
	if h.Bore > 0 {
		said += "; hose bore " + h.length(h.Bore) + " free"
		if h.Bore < h.Spigot {
			said += ", stretched by " + tenths(h.Spigot/h.Bore-1)
		} else {
			said += ": it lies loose"
		}
		if h.Bead > h.Bore {
			said += ", over the bead by " + tenths(h.Bead/h.Bore-1)
		}
	}
	s.scaleBar(h.About, scale)
	s.note(sentence(said) + ".")
	desc := "Cut through the wall of a hose on its spigot, the hose coming from the left. " + sentence(said) + ". "
	for _, r := range t.Rows {
		desc += sentence(r[0]) + ": " + r[1] + ". "
	}
	notes := l.guessed
	if l.clamp && l.from < 0 {
		notes = append(notes, "The clamp stands on the bead.")
	}
	if l.clamp && l.to > l.push {
		notes = append(notes, "The clamp hangs over the end of the hose.")
	}
	if !l.clamp {
		notes = append(notes, "Where the clamp stands is not known: it is not drawn.")
	}
	if h.Bead == 0 {
		notes = append(notes, "No bead is known: none is drawn.")
	}
	for _, n := range append(notes, h.Notes...) {
		s.note(n)
		desc += clean(n, 400) + " "
		t.Notes = append(t.Notes, n)
	}
	return s.drawn(title, desc, t)
}
