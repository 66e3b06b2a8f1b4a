package picture

import (
	"fmt"
	"math"
	"slices"
)

// Ranking are the likeliest causes as bars from nought to certain.
type Ranking struct {
	About
	Causes []Chance // the likeliest first
	Rest   string   // a sentence about those left out; may be empty
}

// Chance is one bar. Low and High enclose the share where it could not be worked out exactly; both 0 = exact.
type Chance struct {
	Title, At string // the cause, and the joint
	Odds      string // "about 6 in 10"
	Share     float64
	Before    float64 // the share before any answer
	Low, High float64
}

// mostBars are drawn.
const mostBars = 10

func (r Ranking) check() error {
	err := counted("causes", len(r.Causes), 1, 10000)
	for _, c := range r.Causes {
		for _, x := range []float64{c.Share, c.Before, c.Low, c.High} {
			err = firstOf(err, within("a chance", x, 0, 1, "a share from 0 to 1"))
		}
	}
	return err
}

// Draw draws the bars. No cause, and chances that are none, are refused.
func (r Ranking) Draw() (Picture, error) {
	if err := r.check(); err != nil {
		return Picture{}, err
	}
	list := r.Causes[:min(len(r.Causes), mostBars)]
	title := r.titled("What is likeliest")
	s := begin(r.named("ranking"), title)
	t := Table{Head: []string{"", "cause", "joint", "odds", "%", "before"}}
	desc := fmt.Sprintf("Bars of the %d likeliest causes. ", len(list))
	if len(list) == 1 {
		desc = "The bar of one cause. "
	}
	const from, to = edge + 2, wide - edge - 2
	at := func(share float64) float64 { return from + (to-from)*share }
	before, bounds := false, false
	for i, c := range list {
		name := clean(c.Title, longest)
		if joint := clean(c.At, longest); joint != "" {
			name += " (" + joint + ")"
		}
		s.y = s.para(from, s.y, to-from, fmt.Sprintf("%d. %s", i+1, name), true, 4)
		said := chance(c.Share)
		if odds := clean(c.Odds, 60); odds != "" {
			said = odds + " (" + said + ")"
		}
		s.y = s.para(from, s.y, to-from, said, false, 2) + 2
		s.rect("track", from, s.y, to-from, 11)
		s.rect("bar share", from, s.y, at(c.Share)-from, 11)
		if c.High > 0 {
			bounds = true
			s.line("line", at(c.Low), s.y+5.5, at(c.High), s.y+5.5)
			s.line("line", at(c.Low), s.y+2, at(c.Low), s.y+9)
			s.line("line", at(c.High), s.y+2, at(c.High), s.y+9)
		}
		if c.Before > 0 {
			before = true
			notch(s, at(c.Before), s.y)
		}
		s.y += 22
		was := "-"
		if c.Before > 0 {
			was = chance(c.Before)
		}
		t.Rows = append(t.Rows, []string{fmt.Sprint(i + 1), clean(c.Title, longest), orDash(clean(c.At, longest)), orDash(clean(c.Odds, 60)), chance(c.Share), was})
		desc += fmt.Sprintf("%d: %s, %s. ", i+1, name, said)
	}
	s.line("fine", from, s.y-2, to, s.y-2)
	for i, w := range []string{"0", "25", "50", "75", "100 %"} {
		x := at(float64(i) / 4)
		s.line("fine", x, s.y-5, x, s.y+1)
		s.text(x, s.y+em+2, []string{"start", "middle", "middle", "middle", "end"}[i], w, false)
	}
	s.y += step + 8
	if before {
		s.legend("before any answer, by the history alone", func(x, y float64) { notch(s, x+12, y-12) })
	}
	if bounds {
		s.legend("the chance lies between", func(x, y float64) {
			s.line("line", x, y, x+24, y)
			s.line("line", x, y-3, x, y+3)
			s.line("line", x+24, y-3, x+24, y+3)
		})
	}
	if !slices.ContainsFunc(list, func(c Chance) bool { return clean(c.At, longest) != "" }) {
		t.Head = slices.Delete(t.Head, 2, 3) // one joint needs no column
		for i := range t.Rows {
			t.Rows[i] = slices.Delete(t.Rows[i], 2, 3)
		}
	}
	note := "Several causes can be there at once: the chances need not add up to 100."
	if rest := clean(r.Rest, 400); rest != "" {
		note += " " + rest
	}
	s.note(note)
	t.Notes = []string{note}
	return s.drawn(title, desc+note, t), nil
}

// orDash is a cell of a table that has nothing to say.
func orDash(s string) string {
	if s == "" {
		return "-"
	}
	return s
}

// notch marks a place of a bar from below.
func notch(s *sheet, x, y float64) {
	s.path("open before", along([][2]float64{{x, y + 7}, {x + 5, y + 16}, {x - 5, y + 16}}, true))
}

// Minutes is where the time goes, part of the plan by part of it.
type Minutes struct {
	About
	Parts []PartTime // in the order of the work
	Notes []string
}

// PartTime is what a part of the plan takes, minutes.
type PartTime struct {
	Title       string
	Hands, Wait float64
}

// greatestTime is a year.
const greatestTime = 525600

func (m Minutes) check() error {
	err, sum := counted("parts of the plan", len(m.Parts), 1, 40), 0.0
	for _, p := range m.Parts {
		err = firstOf(err, within("the hands-on time", p.Hands, 0, greatestTime, "minutes from 0 to a year"), within("the waiting time", p.Wait, 0, greatestTime, "minutes from 0 to a year"))
		sum += p.Hands + p.Wait
	}
	if err == nil && sum == 0 {
		err = fmt.Errorf("no picture: nothing takes any time; give the minutes of at least one part")
	}
	return err
}

// Draw draws the bars of all parts at one scale. Times that are none are refused.
func (m Minutes) Draw() (Picture, error) {
	if err := m.check(); err != nil {
		return Picture{}, err
	}
	longestPart, hands, wait := 0.0, 0.0, 0.0
	mostHands, mostWait := 0.0, 0.0
	for _, p := range m.Parts {
		longestPart = math.Max(longestPart, p.Hands+p.Wait)
		mostHands, mostWait = math.Max(mostHands, p.Hands), math.Max(mostWait, p.Wait)
		hands, wait = hands+p.Hands, wait+p.Wait
	}
	// Days of watching would leave nothing of the hours of work: then each has a scale of its own.
	apart := mostHands > 0 && mostWait > 4*mostHands
	if apart {
		longestPart = mostHands
	}
	title := m.titled("Where the minutes go")
	s := begin(m.named("minutes"), title)
	const from, to = edge + 2, wide - edge - 2
	scale := (to - from) / longestPart
	waitScale := scale
	if apart {
		waitScale = (to - from) / mostWait
	}
	t := Table{Head: []string{"part", "hands-on", "waiting"}}
	sum := "In all " + minutes(hands) + " hands-on and " + minutes(wait) + " waiting"
	desc := sum + ". "
	for _, p := range m.Parts {
		name := clean(p.Title, longest)
		s.y = s.para(from, s.y, to-from, name, true, 3)
		said := minutes(p.Hands) + " hands-on"
		if p.Wait > 0 {
			said += ", " + minutes(p.Wait) + " waiting"
		}
		s.y = s.para(from, s.y, to-from, said, false, 2) + 2
		s.rect("bar hands", from, s.y, p.Hands*scale, 11)
		switch {
		case p.Wait > 0 && apart:
			s.y += 14
			s.hatched("wait", from, s.y, p.Wait*waitScale, 11)
		case p.Wait > 0:
			s.hatched("wait", from+p.Hands*scale, s.y, p.Wait*scale, 11)
		}
		if p.Hands+p.Wait == 0 {
			s.line("line", from, s.y, from, s.y+11)
		}
		s.y += 20
		t.Rows = append(t.Rows, []string{name, minutes(p.Hands), minutes(p.Wait)})
		desc += name + ": " + said + ". "
	}
	t.Rows = append(t.Rows, []string{"in all", minutes(hands), minutes(wait)})
	m.scale(s, "scalebar", niceTime(longestPart/3), scale, map[bool]string{true: " hands-on"}[apart])
	if apart {
		m.scale(s, "waitbar", niceTime(mostWait/3), waitScale, " waiting, at a scale of its own")
	}
	s.legend("hands-on", func(x, y float64) { s.rect("bar", x, y-5, 24, 10) })
	if wait > 0 {
		s.legend("waiting: warming, soaking, draining, watching", func(x, y float64) { s.hatched("", x, y-5, 24, 10) })
	}
	s.note(sum + ".")
	for _, n := range m.Notes {
		s.note(n)
		desc += clean(n, 400) + " "
		t.Notes = append(t.Notes, n)
	}
	return s.drawn(title, desc, t), nil
}

// scale draws a time of a round number.
func (m Minutes) scale(s *sheet, class string, time, scale float64, what string) {
	s.rect(class+" solid", edge+2, s.y+4, time*scale, 4)
	s.text(edge+8+time*scale, s.y+10, "start", minutes(time)+what, false)
	s.y += step + 4
}
