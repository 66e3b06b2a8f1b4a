package picture

import (
	"fmt"
	"math"
	"slices"
)

// Bolts is the pattern of the bolts of a joint with the order in which they are tightened, and the rounds.
type Bolts struct {
	About
	Count  int     // bolts evenly round a circle, numbered clockwise, bolt 1 at 12 o'clock
	Places []Place // or where each bolt stands, mm; Count is then left at 0
	Circle float64 // diameter of the bolt circle, mm; 0 = not known
	Head   float64 // width of a bolt head, mm; 0 = not known
	Order  []int   // numbers of the bolts, first to last
	Passes []Pass
	Then   string // what comes after the last round
}

// Place is a place on a face, mm from its middle, Y towards 12 o'clock.
type Place struct{ X, Y float64 }

// Pass is one round of tightening.
type Pass struct {
	Title  string
	Share  float64 // of the final torque
	Torque string  // "5.4 N m"; "" = not known
}

const mostBolts = 64

func (b Bolts) check() error {
	n := b.Count
	err := firstOf(sizedOr0("the bolt circle", b.Circle), sizedOr0("the bolt head", b.Head))
	if len(b.Places) > 0 {
		n = len(b.Places)
		give := fmt.Sprintf("millimetres from %g to %g", -greatestSize, greatestSize)
		for _, p := range b.Places {
			err = firstOf(err, within("the place of a bolt", p.X, -greatestSize, greatestSize, give), within("the place of a bolt", p.Y, -greatestSize, greatestSize, give))
		}
	}
	err = firstOf(err, counted("bolts", n, 2, mostBolts), counted("rounds", len(b.Passes), 0, 12))
	for _, p := range b.Passes {
		err = firstOf(err, within("the share of a round", p.Share, 0.001, 2, "a share from 0 to 1"))
	}
	if err != nil {
		return err
	}
	seen := slices.Sorted(slices.Values(b.Order))
	for i := range n {
		if len(seen) != n || seen[i] != i+1 {
			return fmt.Errorf("no picture: the order of tightening does not name each of the %d bolts once; give their numbers, 1 to %d", n, n)
		}
	}
	return nil
}

// Draw draws the pattern: the number at a bolt is its turn. An order that does not name each bolt once is refused.
func (b Bolts) Draw() (Picture, error) {
	if err := b.check(); err != nil {
		return Picture{}, err
	}
	places, round := b.Places, false
	if len(places) == 0 {
		round = true
		radius := b.Circle / 2
		if radius == 0 {
			radius = 1
		}
		for i := range b.Count {
			q := around(0, 0, radius, 360*float64(i)/float64(b.Count))
			places = append(places, Place{q[0], -q[1]})
		}
	}
	l, r, low, high := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	for _, p := range places {
		l, r, low, high = math.Min(l, p.X), math.Max(r, p.X), math.Min(low, p.Y), math.Max(high, p.Y)
	}
	if round {
		l, r, low, high = places[0].X-places[0].Y, places[0].X+places[0].Y, -places[0].Y, places[0].Y
	}
	if math.Max(r-l, high-low) < leastSize {
		return Picture{}, fmt.Errorf("no picture: all bolts stand in one place; give the place of each in millimetres")
	}
	title := b.titled("Order of tightening")
	s := begin(b.named("bolts"), title)
	const room = 30.0
	scale := math.Min((wide-2*edge-2*room)/math.Max(r-l, leastSize), 240/math.Max(high-low, leastSize))
	mx, my := (l+r)/2, (low+high)/2
	top := s.y + room - 6
	at := func(p Place) (x, y float64) { return wide/2 + (p.X-mx)*scale, top + (high-p.Y)*scale }
	head, known := b.Head/2*scale, b.Head > 0 && (b.Circle > 0 || !round)
	if !known {
		head = 7
	}
	if round {
		s.circle("axis circle", wide/2, top+(high-my)*scale, (r-l)/2*scale)
	}
	for i := range min(4, len(b.Order)) - 1 {
		x1, y1 := at(places[b.Order[i]-1])
		x2, y2 := at(places[b.Order[i+1]-1])
		arrow(s, x1, y1, x2, y2, math.Min(head, 12)+3)
	}
	turns := make([]int, len(places))
	for turn, bolt := range b.Order {
		turns[bolt-1] = turn + 1
	}
	for i, p := range places {
		x, y := at(p)
		s.circle("open bolt", x, y, head)
		dx, dy := p.X-mx, p.Y-my
		d := math.Max(math.Hypot(dx, dy), 1e-12)
		if known && head >= 11 {
			s.text(x, y+4, "middle", fmt.Sprint(turns[i]), true)
			continue
		}
		s.text(x+dx/d*(head+10), y-dy/d*(head+9)+4, "middle", fmt.Sprint(turns[i]), true)
	}
	s.y = top + (high-low)*scale + room
	return b.explain(s, title, turns, scale, round, known), nil
}

// arrow is a thin line from one bolt to the next, with its head before the next.
func arrow(s *sheet, x1, y1, x2, y2, off float64) {
	d := math.Hypot(x2-x1, y2-y1)
	if d < 2*off+4 {
		return
	}
	ux, uy := (x2-x1)/d, (y2-y1)/d
	ex, ey := x2-ux*off, y2-uy*off
	s.line("fine", x1+ux*off, y1+uy*off, ex-ux*6, ey-uy*6)
	s.path("solid", along([][2]float64{{ex, ey}, {ex - ux*8 - uy*3.5, ey - uy*8 + ux*3.5}, {ex - ux*8 + uy*3.5, ey - uy*8 - ux*3.5}}, true))
}

func (b Bolts) explain(s *sheet, title string, turns []int, scale float64, round, known bool) Picture {
	what := "The number at a bolt is its turn; the arrows show the first turns."
	if round {
		what += " 12 o'clock is on top."
	}
	s.note(what)
	desc := fmt.Sprintf("%d bolts. In order of tightening: ", len(turns))
	for i, n := range b.Order {
		if i > 0 {
			desc += ", "
		}
		desc += fmt.Sprint(n)
	}
	if round {
		desc += ", numbered clockwise from 12 o'clock. "
	} else {
		desc += ", numbered as they were given. "
	}
	t := Table{Head: []string{"turn", "bolt"}}
	for i, n := range b.Order {
		row := []string{fmt.Sprint(i + 1), fmt.Sprint(n)}
		if round {
			row[1] += " (" + clock(360*float64(n-1)/float64(len(turns)), true) + ")"
		}
		t.Rows = append(t.Rows, row)
	}
	t = t.folded(4)
	if b.Circle > 0 || !round {
		s.scaleBar(b.About, scale)
		if !known {
			s.note("The size of the bolts is not known: not to scale.")
		}
	} else {
		s.note("The bolt circle is not known: not to scale.")
	}
	if b.Circle > 0 {
		t.Notes = append(t.Notes, "Bolt circle "+b.length(b.Circle)+".")
		desc += "Bolt circle " + b.length(b.Circle) + ". "
	}
	s.y += 4
	most := 1.0
	for _, p := range b.Passes {
		most = math.Max(most, p.Share)
	}
	const from, to = edge + 2, wide - edge - 2
	for _, p := range b.Passes {
		said := clean(p.Title, 60) + ": " + percent(p.Share)
		if torque := clean(p.Torque, 30); torque != "" {
			said += ", " + torque
		}
		s.y = s.para(from, s.y, to-from, said, false, 2) + 2
		s.rect("track", from, s.y, to-from, 9)
		s.rect("bar pass", from, s.y, (to-from)*p.Share/most, 9)
		s.y += 15
		desc += sentence(said) + ". "
		t.Notes = append(t.Notes, sentence(said)+".")
	}
	if then := clean(b.Then, 300); then != "" {
		s.note("Then " + then)
		desc += "Then " + then
		t.Notes = append(t.Notes, "Then "+then)
	}
	return s.drawn(title, desc, t)
}

// folded puts a long narrow table into blocks side by side.
func (t Table) folded(blocks int) Table {
	if len(t.Rows) <= 6 {
		return t
	}
	high := (len(t.Rows) + blocks - 1) / blocks
	out := Table{Notes: t.Notes, Rows: make([][]string, high)}
	for i := 0; i < len(t.Rows); i += high {
		out.Head = append(out.Head, t.Head...)
		for k := range high {
			if i+k < len(t.Rows) {
				out.Rows[k] = append(out.Rows[k], t.Rows[i+k]...)
			}
		}
	}
	return out
}
