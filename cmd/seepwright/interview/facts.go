package interview

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"seepwright/rules"
	"seepwright/rules/answer"
	"seepwright/rules/fact"
	"seepwright/rules/unit"
)

// asked is what came of asking for a fact.
type asked struct {
	value fact.Value
	blank bool // left open
	meant bool // hard to believe, and confirmed
}

// about is how a fact is asked: where, why, and whether it may be left open.
type about struct {
	id    string // of the question
	place string // the joint's title, "" where it is plain
	why   string
	open  bool // Enter leaves it open
	back  bool
	was   string // the answer that is being changed
	mind  func() (string, error)
}

// fact asks for one fact in the manner of its answer type.
func (t *Talk) fact(f *rules.Fact, tools answer.Instruments, a about) (asked, error) {
	q := question(f, tools, a)
	switch f.Answer {
	case fact.YesNo:
		n, err := t.YesNo(q)
		return plain(f, n, fact.MakeYesNo(n == 1)), err
	case fact.Choice:
		n, err := t.Pick(q)
		if err != nil || n < 0 {
			return plain(f, n, fact.Value{}), err
		}
		return asked{value: fact.MakeChoice(f.Options[n].ID)}, nil
	case fact.Several:
		return t.several(f, q)
	}
	for {
		s, err := t.line(q)
		switch {
		case err != nil:
			return asked{}, err
		case s == "":
			return asked{blank: true}, nil
		}
		if n, ok := state(q, s); ok {
			return plain(f, n, fact.Value{}), nil
		}
		v, err := answer.ReadText(f, s, tools)
		if err == nil {
			return asked{value: v}, nil
		}
		q.Again = true
		var odd *answer.Implausible
		if !errors.As(err, &odd) {
			t.Tell("%s", complaint(f, s, err))
			continue
		}
		n, err := t.YesNo(Question{ID: a.id + "?", Back: true, Ask: fmt.Sprintf("%s is unusual for %s (usual: %s). Is that right?", s, lower(name(f)), odd.Expected)})
		switch {
		case errors.Is(err, errBack):
		case err != nil:
			return asked{}, err
		case n == 1:
			return asked{value: v, meant: true}, nil
		}
		q.Again = false
	}
}

// plain turns a reply without an answer into what it means; n >= 0 gives v.
func plain(f *rules.Fact, n int, v fact.Value) asked {
	switch n {
	case blank:
		return asked{blank: true}
	case unsure:
		return asked{value: fact.None(f.Answer, fact.CantTell)}
	case noReach:
		return asked{value: fact.None(f.Answer, fact.CantGet)}
	}
	return asked{value: v}
}

// several asks which of the options were seen, and then for the others.
func (t *Talk) several(f *rules.Fact, q Question) (asked, error) {
	for {
		is, not, none, kind, err := t.Many(q)
		if err != nil || kind < 0 {
			return plain(f, kind, fact.Value{}), err
		}
		var rest []int
		for i := range f.Options {
			if !slices.Contains(is, i) && !slices.Contains(not, i) {
				rest = append(rest, i)
			}
		}
		// A list of one thing says of itself that the others are not so only when asked.
		if !none && len(rest) > 0 && len(is) > 0 {
			n, err := t.YesNo(Question{ID: q.ID + "/others", Back: true, Ask: "And none of the others? (y = the others were looked at and are not so)"})
			if errors.Is(err, errBack) {
				q.Again = false
				continue
			}
			if err != nil {
				return asked{}, err
			}
			none = n == 1
		}
		if none {
			not = append(not, rest...)
		}
		return asked{value: fact.MakeSeveral(ids(f, is), ids(f, not))}, nil
	}
}

func ids(f *rules.Fact, list []int) []string {
	var out []string
	for _, i := range list {
		out = append(out, f.Options[i].ID)
	}
	return out
}

// question puts a fact into words.
func question(f *rules.Fact, tools answer.Instruments, a about) Question {
	q := Question{ID: a.id, Ask: f.Ask, Unsure: true, Back: a.back, Why: reasons(a.why, f), Mind: a.mind}
	if a.place != "" {
		q.Ask = a.place + ": " + q.Ask
	}
	if a.open {
		q.Blank = "leave open"
	}
	for _, o := range f.Options {
		title := o.Title
		if title == "" {
			title = o.ID
		}
		q.Options = append(q.Options, Option{o.ID, title})
	}
	switch f.Answer {
	case fact.Number:
		q.Note = amountNote(f, tools)
	case fact.Readings:
		q.Note = fmt.Sprintf("A row of readings: 1; 2; 3 %s. With the place: 3:00 1 %s; 6:00 2 %s.", symbol(f), symbol(f), symbol(f))
		if in, ok := tools.Find(f.Instrument); ok {
			q.Note += " Taken as measured by " + in.ID + "."
		}
	case fact.Clock:
		q.Note = "Such as 4:30 seen from front."
	}
	if a.was != "" {
		q.Note = strings.TrimSpace("It was: " + a.was + ". " + q.Note)
	}
	return q
}

func amountNote(f *rules.Fact, tools answer.Instruments) string {
	if f.Dim == unit.CountDim {
		return "A number."
	}
	s := "With its unit: " + units(f) + "."
	if in, ok := tools.Find(f.Instrument); ok {
		s += " Taken as measured by " + in.ID + "; if not, add: by NAME."
	}
	return s
}

func symbol(f *rules.Fact) string { return unit.Standard(f.Dim).Symbol }

// everyday are the units that people use most, by dimension; all others are read too.
var everyday = map[unit.Dimension][]string{
	unit.LengthDim: {"mm", "cm", "in", "thou"}, unit.PressureDim: {"bar", "psi", "kPa"}, unit.TimeDim: {"min", "h", "day", "year"},
	unit.VolumeDim: {"mL", "L", "cup", "gal"}, unit.FlowDim: {"mL/h", "L/day", "a drop every 10 s"},
}

// units names the units in which an answer can be given.
func units(f *rules.Fact) string {
	list := everyday[f.Dim]
	if len(list) == 0 {
		list = []string{symbol(f)}
		for _, n := range unit.Names(f.Dim) {
			if len(list) < 4 && !slices.Contains(list, n) {
				list = append(list, n)
			}
		}
	}
	return strings.Join(list, ", ")
}

// complaint says what is wrong with a typed answer and what was expected.
func complaint(f *rules.Fact, s string, err error) string {
	var bad *answer.Mistake
	if !errors.As(err, &bad) {
		return err.Error()
	}
	if f.Answer == fact.Number || f.Answer == fact.Readings {
		if _, rest, e := unit.Number(s); e == nil && strings.TrimSpace(rest) == "" && bad.Code == answer.BadQuantity && f.Dim != unit.CountDim {
			return fmt.Sprintf("%s what? Add the unit: %s.", s, units(f))
		}
		if bad.Code == answer.WrongDimension {
			return fmt.Sprintf("%s is not %s. Wanted: %s, in %s.", clip(s), f.Dim.Named(), f.Dim.Named(), units(f))
		}
	}
	out := bad.What
	if bad.Hint != "" {
		out += ": " + bad.Hint
	}
	return out
}

// reasons is what w says.
func reasons(why string, f *rules.Fact) string {
	var parts []string
	for _, s := range []string{why, f.Why} {
		if s = strings.TrimSpace(s); s != "" && !slices.Contains(parts, s) {
			parts = append(parts, s)
		}
	}
	if len(parts) == 0 {
		parts = append(parts, "It can change which cause is likely, or what to do.")
	}
	if f.How != "" {
		parts = append(parts, "How: "+f.How)
	}
	return strings.Join(parts, "\n")
}

func name(f *rules.Fact) string {
	if f.Title != "" {
		return f.Title
	}
	return f.ID
}

func lower(s string) string {
	if len(s) > 1 && s[1] >= 'a' && s[1] <= 'z' {
		return strings.ToLower(s[:1]) + s[1:]
	}
	return s
}
