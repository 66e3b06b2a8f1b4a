package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"seepwright/engine"
	"seepwright/rules"
)

// whatIf says what would change the ranking and what carries it.
func (p *page) whatIf(r *engine.Result) {
	m := r.Mind
	if m == nil {
		return
	}
	p.add(Heading, "What would change this")
	if m.Silent != "" {
		p.add(Para, "%s.", Capital(m.Silent))
		return
	}
	t := titles{r}
	if len(m.First) > 0 {
		p.add(Para, "First now: %s, %s.", t.cause(m.First[0]), in100(m.First[0].Probability))
	}
	for _, x := range m.Topples {
		p.add(Item, "%s", t.topple(x))
	}
	if r.Run.Verdict == "stop" && slices.ContainsFunc(m.Topples, runs) {
		p.add(Note, "While the first line says STOP it is not run for any of these.")
	}
	if len(m.Steady) > 0 {
		var names []string
		for _, c := range m.Steady {
			names = append(names, t.cause(c))
		}
		few := "no open answer that comes at least once in 100 and no two of them"
		if !m.Tried.AllPairs {
			few = fmt.Sprintf("none of %d open answers and none of the %d pairs tried", m.Tried.Answers, m.Tried.Pairs)
		}
		where := ""
		if len(t.r.Joints) > len(m.Tried.Joints) {
			var places []string
			for _, j := range m.Tried.Joints {
				places = append(places, t.place(j))
			}
			where = " at " + strings.Join(places, ", ")
		}
		p.add(Item, "Not to be put first by what is still open: %s (%s%s).", strings.Join(names, ", "), few, where)
	}
	for _, x := range m.Flips {
		if !x.Near && x.Sees {
			continue
		}
		p.add(Item, "%s", t.flip(x))
	}
	t.without(p, m)
	t.together(p, m)
}

// mostWithout is how many answers are named that carry the order.
const mostWithout = 5

// titles names causes and joints of a result.
type titles struct{ r *engine.Result }

func (t titles) cause(c engine.Chance) string {
	s := "\"" + c.Title + "\""
	if at := t.place(c.Joint); at != "" {
		s += " (" + at + ")"
	}
	return s
}

// place is the title of a joint, where there are several.
func (t titles) place(joint string) string {
	if len(t.r.Joints) < 2 {
		return ""
	}
	return joints(t.r)[joint]
}

// at puts the place before what is said of it.
func (t titles) at(joint, says string) string {
	if at := t.place(joint); at != "" {
		return at + ", " + says
	}
	return says
}

func (t titles) topple(x engine.Topple) string {
	var answers []string
	for _, a := range x.Answers {
		answers = append(answers, t.at(a.Joint, fmt.Sprintf("\"%s\": %s (%s)", a.Asks, a.Text, effort(a))))
	}
	s := fmt.Sprintf("If %s: %s becomes first, %s instead of %s.", strings.Join(answers, ", and "), t.cause(x.Rival), in100(x.Rival.Probability), hundredths(x.Now))
	if x.Chance == nil {
		return s + " (How often it comes out so is not known.)"
	}
	return s + fmt.Sprintf(" It comes out so %s times.", in100(*x.Chance))
}

// runs reports whether the machine has to run, or to be hot, for an answer.
func runs(x engine.Topple) bool {
	return slices.ContainsFunc(x.Answers, func(a engine.OpenAnswer) bool {
		return a.Stage == string(rules.Running) || a.Stage == string(rules.Hot)
	})
}

// effort is what it takes to get an answer.
func effort(a engine.OpenAnswer) string {
	if a.Minutes < 0.75 {
		return stageWords[rules.Stage(a.Stage)]
	}
	return Minutes(a.Minutes) + ", " + stageWords[rules.Stage(a.Stage)]
}

var stageWords = map[rules.Stage]string{
	rules.Told: "asked", rules.Outside: "from outside", rules.Running: "running", rules.Static: "at standstill", rules.Hot: "hot", rules.OneFastener: "one fastener loosened",
	rules.CoverOff: "cover off", rules.Opened: "opened", rules.Bench: "on the bench",
}

func (t titles) flip(x engine.Flip) string {
	with := "this instrument"
	if x.Instrument != "" {
		with = "the " + lowerFirst(x.Instrument)
	}
	s := t.at(x.Joint, fmt.Sprintf("%s, measured %s: \"%s\" is %s", lowerFirst(strings.TrimSuffix(x.Title, "?")), x.Measured, x.Says, x.Now))
	if !x.Sees {
		return Capital(s) + fmt.Sprintf(" by the bare number and turns to %s at %s, too close for %s: it counts as not decided.", x.Then, x.From, with)
	}
	s = Capital(s) + fmt.Sprintf(" up to %s and turns to %s at %s", x.Holds, x.Then, x.From)
	if x.Holds != x.From {
		return s + fmt.Sprintf("; between, %s cannot tell.", with)
	}
	return s + "."
}

func (t titles) without(p *page, m *engine.Mind) {
	if len(m.First) == 0 {
		return
	}
	if !m.Carried {
		p.add(Para, "No single answer carries the result: without any one of them %s stays first.", t.cause(m.First[0]))
	}
	for i, w := range m.Without {
		if i == mostWithout {
			p.add(Item, "And %d more answers that move the first three (--format json has them).", len(m.Without)-i)
			break
		}
		var order []string
		for _, c := range w.First {
			order = append(order, fmt.Sprintf("%s %s", t.cause(c), hundredths(c.Probability)))
		}
		p.add(Item, "Without \"%s\" the first would be: %s in 100.", t.at(w.Joint, w.Says), strings.Join(order, ", "))
	}
}

func (t titles) together(p *page, m *engine.Mind) {
	if b := m.Both; b != nil {
		p.add(Para, "Most probably both there: %s and %s, %s.", t.cause(b.A), t.cause(b.B), in100(b.Probability))
	}
	if len(m.Sets) == 0 {
		return
	}
	var sets []string
	for _, x := range m.Sets {
		var names []string
		for _, c := range x.Causes {
			names = append(names, t.cause(c))
		}
		if len(names) == 0 {
			names = []string{"none of these"}
		}
		sets = append(sets, strings.Join(names, " with ")+" "+hundredths(x.Probability))
	}
	p.add(Para, "Exactly this and nothing else, the most probable: %s in 100.", strings.Join(sets, "; "))
}

// hundredths is a probability in hundredths.
func hundredths(p float64) string {
	n := math.Round(100 * p)
	switch {
	case n < 1:
		return "less than 1"
	case n > 99:
		return "more than 99"
	}
	return fmt.Sprintf("%.0f", n)
}

func in100(p float64) string { return hundredths(p) + " in 100" }
