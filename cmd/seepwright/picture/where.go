package picture

import (
	"fmt"
	"math"
	"slices"
)

// The states in which a joint was seen.
const (
	Wet     = "wet"
	Dry     = "dry"
	Unknown = "not looked at"
)

// Where is the unit with its joints, what lies above on top: where liquid was seen, and from where it may have run.
type Where struct {
	About
	Joints []WetJoint
}

// WetJoint is one joint. Odds are those that it leaks of itself.
type WetJoint struct {
	ID, Title string
	State     string   // Wet, Dry or Unknown
	Odds      string   // "about 6 in 10"
	Share     float64  // 0 to 1
	Above     []string // ids of joints whose liquid runs down to here
	BlownFrom []string // ids of joints from which it is blown here
}

func (w Where) check() error {
	err := counted("joints", len(w.Joints), 1, 400)
	for _, j := range w.Joints {
		err = firstOf(err, within("the chance of a joint", j.Share, 0, 1, "a share from 0 to 1"))
		if j.State != Wet && j.State != Dry && j.State != Unknown {
			err = firstOf(err, fmt.Errorf("no picture: a joint is said to be %q; say %s, %s or %s", clean(j.State, 40), Wet, Dry, Unknown))
		}
	}
	return err
}

// most joints that are drawn; more are counted, dry ones first.
const mostJoints = 24

// shown are the joints in the order in which they are drawn: what lies above first, then those to which nothing runs.
func (w Where) shown() (list []WetJoint, left int) {
	list = slices.Clone(w.Joints)
	if len(list) > mostJoints {
		keep := slices.Clone(list)
		slices.SortStableFunc(keep, func(a, b WetJoint) int { return weight(b) - weight(a) })
		keep, left = keep[:mostJoints], len(list)-mostJoints
		list = slices.DeleteFunc(list, func(j WetJoint) bool {
			return !slices.ContainsFunc(keep, func(k WetJoint) bool { return k.ID == j.ID })
		})
	}
	at := map[string]int{}
	for i, j := range list {
		at[j.ID] = i
	}
	level := make([]int, len(list))
	tied := make([]bool, len(list))
	for range list { // as often as the longest way down can be; a loop in the relation ends here too
		for i, j := range list {
			for _, id := range slices.Concat(j.Above, j.BlownFrom) {
				if k, ok := at[id]; ok && k != i {
					tied[i], tied[k] = true, true
					if level[i] <= level[k] && level[k] < len(list) {
						level[i] = level[k] + 1
					}
				}
			}
		}
	}
	order := make([]int, len(list))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch {
		case tied[a] != tied[b]:
			if tied[a] {
				return -1
			}
			return 1
		}
		return level[a] - level[b]
	})
	out := make([]WetJoint, len(list))
	for i, k := range order {
		out[i] = list[k]
	}
	return out, left
}

// weight is how much a joint has to be in the picture.
func weight(j WetJoint) int {
	n := int(100 * j.Share)
	switch j.State {
	case Wet:
		return 1000 + n
	case Unknown:
		return 300 + n
	}
	return n
}

// likeliest is the place of the joint in a list that most likely leaks of itself, or -1 where none stands out.
func likeliest(list []WetJoint) int {
	best := -1
	for i, j := range list {
		if j.Share >= 0.05 && (best < 0 || j.Share > list[best].Share) {
			best = i
		}
	}
	for i, j := range list {
		if i != best && best >= 0 && j.Share == list[best].Share {
			return -1
		}
	}
	return best
}

// run is a way of liquid from one row to another.
type run struct {
	from, to int
	blown    bool
	lane     int
}

// runs are the ways between the joints shown, each with a lane of its own beside those that it would cross.
func runs(list []WetJoint) (out []run, lanes int) {
	at := map[string]int{}
	for i, j := range list {
		at[j.ID] = i
	}
	for i, j := range list {
		for n, id := range slices.Concat(j.Above, j.BlownFrom) {
			if k, ok := at[id]; ok && k != i {
				out = append(out, run{from: k, to: i, blown: n >= len(j.Above)})
			}
		}
	}
	slices.SortStableFunc(out, func(a, b run) int { return abs(a.to-a.from) - abs(b.to-b.from) })
	for i := range out {
		for lane := 0; ; lane++ {
			free := true
			for _, o := range out[:i] {
				free = free && (o.lane != lane || max(o.from, o.to) < min(out[i].from, out[i].to) || max(out[i].from, out[i].to) < min(o.from, o.to))
			}
			if free {
				out[i].lane, lanes = lane, max(lanes, lane+1)
				break
			}
		}
	}
	return out, lanes
}

func abs(x int) int { return max(x, -x) }

// Draw draws the joints one under the other. No joint, an unknown state and a chance that is none are refused.
func (w Where) Draw() (Picture, error) {
	if err := w.check(); err != nil {
		return Picture{}, err
	}
	list, left := w.shown()
	ways, lanes := runs(list)
	best := likeliest(list)
	title := w.titled("Where the liquid was seen")
	s := begin(w.named("where"), title)
	gutter := math.Min(90, 12*float64(lanes)+12)
	if lanes == 0 {
		gutter = 0
	}
	x := edge + gutter + 12
	text := x + 20
	mids := make([]float64, len(list))
	s.y += 4
	for i, j := range list {
		top := s.y
		y := s.para(text, top+4, wide-edge-6-text, named(j), true, 4)
		said := j.State
		if j.Odds != "" {
			said += "; " + clean(j.Odds, 60) + " that it leaks itself"
		}
		y = s.para(text, y, wide-edge-6-text, said, false, 3)
		if i == best {
			y = s.para(text, y, wide-edge-6-text, "the likeliest source", true, 2)
			s.rounded("thick likeliest", x-14, top, wide-edge-x+14, y-top+3, 4)
		}
		mids[i] = top + 12
		state(s, j.State, x, mids[i])
		s.y = y + 10
	}
	var told []string
	for _, r := range ways {
		lx := edge + gutter - 12 - float64(r.lane)*math.Min(12, (gutter-12)/float64(lanes))
		class := "line way"
		if list[r.from].State == Dry {
			class = "dots way"
		} else if r.blown {
			class = "dash way"
		}
		y1, y2 := mids[r.from]+4, mids[r.to]-4
		if r.to < r.from {
			y1, y2 = mids[r.from]-4, mids[r.to]+4
		}
		end := x - 16
		s.path(class, fmt.Sprintf("M%s %sH%sV%sH%s", num(x-14), num(y1), num(lx), num(y2), num(end)))
		s.path("solid", along([][2]float64{{end + 4, y2}, {end - 3, y2 - 3.5}, {end - 3, y2 + 3.5}}, true))
		verb := " runs down to "
		if r.blown {
			verb = " is blown to "
		}
		told = append(told, "from "+named(list[r.from])+verb+named(list[r.to]))
	}
	if left > 0 {
		s.note(fmt.Sprintf("%d more joints are not drawn.", left))
	}
	w.key(s, list, ways)
	return s.drawn(title, w.tell(list, best, told, left), w.table(list, best, left)), nil
}

func named(j WetJoint) string {
	if t := clean(j.Title, longest); t != "" {
		return t
	}
	return clean(j.ID, longest)
}

// state draws the shape of a state: a filled drop, an open square, a diamond with a question mark.
func state(s *sheet, what string, x, y float64) {
	switch what {
	case Wet:
		s.path("solid wet", fmt.Sprintf("M%s %sC%s %s %s %s %s %sA7 7 0 1 1 %s %sC%s %s %s %s %s %sZ", num(x), num(y-11), num(x+1), num(y-6), num(x+7), num(y-3), num(x+7), num(y+2),
			num(x-7), num(y+2), num(x-7), num(y-3), num(x-1), num(y-6), num(x), num(y-11)))
	case Dry:
		s.rect("open dry", x-7, y-7, 14, 14)
	default:
		s.path("open unknown", along([][2]float64{{x, y - 10}, {x + 10, y}, {x, y + 10}, {x - 10, y}}, true))
		s.text(x, y+4, "middle", "?", true)
	}
}

// key writes what shapes and lines mean, those that are there.
func (w Where) key(s *sheet, list []WetJoint, ways []run) {
	s.line("fine", edge, s.y, wide-edge, s.y)
	s.y += 8
	words := map[string]string{Wet: "wet: liquid was seen here", Dry: "dry: looked at and dry", Unknown: "not looked at, or it could not be seen"}
	for _, k := range []string{Wet, Dry, Unknown} {
		if slices.ContainsFunc(list, func(j WetJoint) bool { return j.State == k }) {
			s.y += 3
			s.legend(words[k], func(x, y float64) { state(s, k, x+12, y) })
			s.y += 3
		}
	}
	lines := []struct {
		class, words string
		is           func(run) bool
	}{
		{"line", "what leaks above runs down to the arrow", func(r run) bool { return !r.blown && list[r.from].State != Dry }},
		{"dash", "blown to the arrow", func(r run) bool { return r.blown && list[r.from].State != Dry }},
		{"dots", "would run so, but was dry above", func(r run) bool { return list[r.from].State == Dry }},
	}
	for _, l := range lines {
		if slices.ContainsFunc(ways, l.is) {
			s.legend(l.words, func(x, y float64) {
				s.line(l.class, x, y, x+20, y)
				s.path("solid", along([][2]float64{{x + 26, y}, {x + 19, y - 3.5}, {x + 19, y + 3.5}}, true))
			})
		}
	}
	if len(ways) > 0 {
		s.note("What lies above stands above; heights are not to scale.")
	}
}

// tell is the description.
func (w Where) tell(list []WetJoint, best int, ways []string, left int) string {
	by := map[string][]string{}
	for _, j := range list {
		by[j.State] = append(by[j.State], named(j))
	}
	out := ""
	for _, k := range []string{Wet, Dry, Unknown} {
		if len(by[k]) > 0 {
			out += sentence(k) + ": " + listed(by[k]) + ". "
		}
	}
	if best >= 0 {
		out += "The likeliest source is " + named(list[best]) + joined(", ", clean(list[best].Odds, 60)) + ". "
	}
	if len(ways) > 0 {
		out += "Liquid " + listed(ways) + ". "
	}
	if left > 0 {
		out += fmt.Sprintf("%d more joints are not drawn.", left)
	}
	return out
}

func (w Where) table(list []WetJoint, best, left int) Table {
	t := Table{Head: []string{"joint", "seen", "leaks itself", "from above"}}
	title := map[string]string{}
	for _, j := range w.Joints {
		title[j.ID] = named(j)
	}
	for i, j := range list {
		var from []string
		for _, id := range j.Above {
			if title[id] != "" {
				from = append(from, title[id])
			}
		}
		for _, id := range j.BlownFrom {
			if title[id] != "" {
				from = append(from, title[id]+" (blown)")
			}
		}
		odds := clean(j.Odds, 60)
		if i == best {
			odds += " (likeliest)"
		}
		t.Rows = append(t.Rows, []string{named(j), j.State, orDash(odds), orDash(listed(from))})
	}
	if left > 0 {
		t.Notes = append(t.Notes, fmt.Sprintf("%d more joints are not listed.", left))
	}
	return t
}
