package sheet

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"seepwright/cmd/seepwright/report"
	"seepwright/engine"
	"seepwright/engine/plan"
	"seepwright/rules"
	"seepwright/rules/assembly"
)

// builder holds what is shared by the sections while they are put together.
type builder struct {
	Input
	titles map[string]string // joint -> title
	kinds  map[string]string // joint -> kind
	marks  map[string]string // caution -> its mark
	needed map[string][]int  // caution -> the steps before which it stands
	proofs map[string]bool   // cautions that a step of the retest needs
	tools  []string          // instruments that the fields ask for
	steps  int
}

// New puts the sheet together.
func New(in Input) Sheet {
	b := &builder{Input: in, titles: map[string]string{}, kinds: map[string]string{}, marks: map[string]string{}, needed: map[string][]int{}, proofs: map[string]bool{}}
	for _, j := range in.Result.Joints {
		b.titles[j.Joint], b.kinds[j.Joint] = cmp.Or(j.Title, j.Joint), j.Kind
	}
	r := in.Result
	s := Sheet{Title: "Job sheet", Verdict: report.RunWords(r.Run.Verdict), Facts: b.about()}
	if name := b.unit(); name != "" {
		s.Title += ": " + name
	}
	if r.Run.Limit != "" {
		s.Verdict += ": " + r.Run.Limit
	}
	for _, x := range r.Run.Because {
		s.Because = append(s.Because, "Because: "+x)
	}
	if r.Run.LookEvery != "" {
		s.Because = append(s.Because, "Look again: "+sentence(r.Run.LookEvery))
	}
	refused := r.Stop != nil && r.Stop.Refuses
	var work []Section
	if !refused {
		b.work() // tells which cautions are needed, and where
	}
	cautions := b.cautions()
	if !refused {
		b.steps, b.needed = 0, map[string][]int{}
		work = b.work() // with the marks of the cautions
	}
	add := func(x Section) {
		if len(x.Items) > 0 {
			s.Sections = append(s.Sections, x)
		}
	}
	add(b.clash())
	add(b.stop())
	add(cautions)
	add(b.ready(refused))
	for _, x := range work {
		add(x)
	}
	if !refused {
		add(b.again())
		add(b.meanwhile())
	}
	add(b.notes())
	add(b.sign(refused))
	return s
}

// unit is what the sheet is for: the unit, or the kind of joint where only one joint is known.
func (b *builder) unit() string {
	if b.Unit == nil {
		return ""
	}
	if j := b.Unit.Joints; len(j) == 1 && b.Unit.Title == assembly.Single("").Title {
		if k := b.KB.Joint(j[0].Kind); k != nil {
			return cmp.Or(k.Title, k.ID)
		}
	}
	return b.Unit.Title
}

// about says what the sheet is about.
func (b *builder) about() []Pair {
	var out []Pair
	put := func(name, text string) {
		if text != "" {
			out = append(out, Pair{name, text})
		}
	}
	id := b.Record.ID
	if b.Record.Title != "" && b.Record.Title != id {
		id = strings.TrimSpace(b.Record.Title + " (" + b.Record.ID + ")")
	}
	put("Case", id)
	put("Opened", strings.TrimSpace(day(b.Record.Opened)+by(b.Record.By)))
	put("Printed", moment(b.Printed))
	if !b.over() && !(b.Result.Stop != nil && b.Result.Stop.Refuses) {
		put("Most likely", strings.Join(b.suspects(), "; "))
	}
	return out
}

// over reports whether the leak is cured: there is nothing left to mend.
func (b *builder) over() bool { return b.Result.Cured || b.Result.Run.Verdict == "dry" }

// suspects are the leading causes with their chances.
func (b *builder) suspects() []string {
	var out []string
	for i, x := range report.Shown(b.Result) {
		if i == 3 {
			break
		}
		place := ""
		switch {
		case x.Shared:
			place = ", all like joints at once"
		case len(b.Result.Joints) > 1:
			place = ", " + b.titles[x.Joint]
		}
		out = append(out, x.Title+place+" ("+report.Odds(x.Probability)+")")
	}
	return out
}

func (b *builder) clash() Section {
	s := Section{ID: "clash", Title: "Answers that do not fit"}
	if b.Result.Impossible != "" {
		s.Items = append(s.Items, Item{Point: sentence(b.Result.Impossible)})
	}
	for _, c := range b.Result.Contra {
		s.Items = append(s.Items, Item{Point: fmt.Sprintf("%s is both %s (%s): it counts as not known until one of them is changed.", c.Fact, strings.Join(c.Values, " and "), strings.Join(c.From, "; "))})
	}
	return s
}

// stop is what to do before anything else, and what is left to others.
func (b *builder) stop() Section {
	x := b.Result.Stop
	if x == nil {
		return Section{}
	}
	s := Section{ID: "stop", Title: "Stop: make it safe first"}
	if x.Refuses {
		s.Says = "This work is not planned here: make it safe, and hand it over."
	}
	for _, m := range x.MakeSafe {
		s.Items = append(s.Items, Item{Tick: m})
	}
	if x.ReferTo != "" {
		s.Items = append(s.Items, Item{Text: "Then: " + sentence(x.ReferTo)})
	}
	if len(x.Acts) > 0 {
		s.Items = append(s.Items, Item{Text: "Not here and not by you: " + sentence(strings.Join(x.Acts, "; "))})
	}
	return s
}

// mostOpen is how many cautions are shown that nobody has ruled out and no step needs.
const mostOpen = 4

// cautions come first: those that hold and those that a step needs in full, then the first of
// those that nobody has ruled out. They are marked in that order.
func (b *builder) cautions() Section {
	s := Section{ID: "cautions", Title: "Cautions", Says: "Local codes and licensed practice come first."}
	var here, open []engine.Caution
	for _, c := range b.Result.Cautions {
		if c.Known || len(b.needed[c.ID]) > 0 || b.proofs[c.ID] {
			here = append(here, c)
		} else {
			open = append(open, c)
		}
	}
	slices.SortStableFunc(here, func(x, y engine.Caution) int { return cmp.Compare(b.rank(x), b.rank(y)) })
	clear(b.marks)
	for _, c := range here {
		w := b.warning(c.ID)
		w.For = b.before(c.ID)
		s.Items = append(s.Items, Item{Warning: &w})
	}
	for i, c := range open {
		if i == mostOpen {
			s.Items = append(s.Items, Item{Text: fmt.Sprintf("And %d more that nobody has ruled out yet: answer the safety questions to shorten this list.", len(open)-i)})
			break
		}
		s.Items = append(s.Items, Item{Point: report.CautionWords(c)})
	}
	return s
}

// rank puts cautions that hold for the whole first, then those of steps in the order of the steps.
func (b *builder) rank(c engine.Caution) int {
	if len(b.needed[c.ID]) > 0 {
		return b.needed[c.ID][0]
	}
	if b.proofs[c.ID] {
		return b.steps + 1
	}
	return 0
}

// before says which steps need a caution.
func (b *builder) before(id string) string {
	var out string
	switch list := b.needed[id]; len(list) {
	case 0:
	case 1:
		out = fmt.Sprintf("before step %d", list[0])
	default:
		var n []string
		for _, x := range list {
			n = append(n, fmt.Sprint(x))
		}
		out = "before steps " + strings.Join(n[:len(n)-1], ", ") + " and " + n[len(n)-1]
	}
	if b.proofs[id] {
		if out == "" {
			return "at the retest"
		}
		out += ", and at the retest"
	}
	return out
}

// warning is a caution as it stands before the work that needs it.
func (b *builder) warning(id string) Warning {
	if b.marks[id] == "" {
		b.marks[id] = fmt.Sprintf("C%d", len(b.marks)+1)
	}
	for _, c := range b.Result.Cautions {
		if c.ID == id {
			c.Known = true // it is shown because it is needed here
			return Warning{Mark: b.marks[id], Text: report.CautionWords(c)}
		}
	}
	if c := b.KB.Caution(id); c != nil {
		return Warning{Mark: b.marks[id], Text: report.CautionWords(engine.Caution{ID: id, Warning: c.Warning, Refer: c.Refer, Known: true})}
	}
	return Warning{Mark: b.marks[id], Text: id}
}

// getLead begins the entry of things that are not needed at once.
const getLead = "and know where to get"

func (b *builder) ready(refused bool) Section {
	s := Section{ID: "ready", Title: "Have ready"}
	if refused || b.over() {
		return s
	}
	for _, t := range b.Result.Plan.HaveReady {
		if strings.HasPrefix(t, getLead) {
			s.Items = append(s.Items, Item{Text: sentence(report.Capital(strings.TrimPrefix(t, "and ")))})
			continue
		}
		s.Items = append(s.Items, Item{Tick: report.Capital(t)})
	}
	return s
}

// work is the plan, part by part, with the numbers before what they decide.
func (b *builder) work() []Section {
	var out []Section
	r := b.Result
	if len(r.Plan.Steps) == 0 && r.Next != nil {
		out = append(out, b.looks())
	}
	for _, part := range report.Parts {
		s := Section{ID: part.ID, Title: part.Title}
		if part.ID == "decide" {
			out = append(out, b.numbers(), b.drawn())
		}
		if part.ID == "retest" || !b.over() {
			b.part(&s, part.ID)
		}
		out = append(out, s)
		if part.ID == "reassemble" && !b.over() {
			out = append(out, b.bolts(), b.lubricants())
		}
	}
	return out
}

// looks are what is to be found out before anything is planned.
func (b *builder) looks() Section {
	s := Section{ID: "looks", Title: "Find out first"}
	list := b.Result.Errand
	if len(list) == 0 {
		list = []plan.Next{*b.Result.Next}
	}
	place := ""
	for _, n := range list {
		b.at(&s, &place, n.Joint, nil)
		x := b.step(plan.Step{Joint: n.Joint, Check: n.Check, Minutes: n.Minutes, Why: n.Why, Cautions: n.Caution}, nil)
		x.Head, x.Text = n.Title, n.How
		if n.Fact != "" {
			if f := b.KB.Fact(n.Fact); f != nil {
				x.Fields = []Field{b.field(f, n.Joint)}
			}
		}
		s.Items = append(s.Items, Item{Step: &x})
	}
	return s
}

func (b *builder) notes() Section {
	s := Section{ID: "notes", Title: "Noted so far"}
	for _, n := range b.Record.Notes {
		s.Items = append(s.Items, Item{Point: strings.TrimSpace(moment(n.At)+by(n.By)) + ": " + n.Text})
	}
	return s
}

// at writes the joint of what follows, where there are several and it changes.
func (b *builder) at(s *Section, place *string, joint string, several []string) {
	if len(b.Result.Joints) < 2 {
		return
	}
	now := b.titles[joint]
	if len(several) > 0 {
		now = ""
	}
	if now != *place {
		*place = now
		if now == "" {
			now = "The whole unit"
		}
		s.Items = append(s.Items, Item{Place: report.Capital(now)})
	}
}

func sentence(s string) string {
	if s == "" {
		return ""
	}
	return strings.TrimSuffix(s, ".") + "."
}

func by(name string) string {
	if name == "" {
		return ""
	}
	return ", " + name
}

func day(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.Format("2006-01-02")
}

func moment(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.Format("2006-01-02 15:04")
}

// applies reports whether a fact can be had of a joint of this kind.
func applies(f *rules.Fact, kind string) bool { return kind == "" || rules.Applies(f.For, kind) }
