package plan

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"seepwright/rules"
	"seepwright/rules/fact"
)

// writer collects the lines of one plan.
type writer struct {
	p    *Problem
	b    *bench
	c    []stroke // what the plan counts on, attempt after attempt
	plan Plan
}

// write puts the course into words: have ready, make safe, strip, decide, mend, reassemble,
// bench test, refit, retest.
func (p *Problem) write(b *bench) Plan {
	w := &writer{p: p, b: b, c: b.strokes(), plan: Plan{HaveReady: []string{}, Steps: []Step{}, Sums: []string{}}}
	w.plan.Minutes = b.advice.Act
	w.plan.Lower = min(b.advice.Bounds.Lower(), w.plan.Minutes)
	if s, ok := b.stripDown(stroke{}); len(w.c) == 0 && ok && s.dry >= worthWriting {
		w.c = append(w.c, s)
		w.plan.Sums = append(w.plan.Sums, w.orElse())
	}
	if len(w.c) == 0 {
		w.plan.LookAgain = "look again after the next run and next morning"
		w.plan.Sums = append(w.plan.Sums, "no repair is likely enough yet to be worth opening for: find out more, or have it looked at by someone with better access")
		return w.plan
	}
	tries := w.tries()
	first := w.c[0]
	checks := w.checks(first)
	w.ready(first, checks)
	for _, s := range tries {
		w.ready(s, nil)
	}
	if !w.apart(first) {
		w.before(first)
	}
	w.tryFirst(tries)
	if len(first.joints) > 0 {
		w.strip(first, checks)
		w.decide(first)
	}
	w.mend(first)
	if len(first.joints) > 0 {
		w.reassemble(first)
		w.benchTest(first)
		w.refit(first)
	}
	w.retest(first)
	w.sums(first)
	for _, s := range w.plan.Steps {
		w.plan.Wait += s.Wait
	}
	return w.plan
}

func (w *writer) add(s Step) {
	if s.Cautions == nil {
		s.Cautions = []string{}
	}
	w.plan.Steps = append(w.plan.Steps, s)
}

// at says for which joints a line holds: one is named by its id, several in the line itself.
func (w *writer) at(joints []int, action string) (joint, text string) {
	if len(joints) == 1 {
		return w.p.Net.Joints[joints[0]].ID, action
	}
	return "", "At " + w.names(joints) + ": " + action
}

func (w *writer) names(joints []int) string {
	var out []string
	for _, j := range joints {
		out = append(out, cmp.Or(w.p.Net.Joints[j].Title, w.p.Net.Joints[j].ID))
	}
	return list(out)
}

// several are the ids of the joints of a line, where it is for more than one.
func (w *writer) several(joints []int) []string {
	if len(joints) < 2 {
		return nil
	}
	out := make([]string, len(joints))
	for i, j := range joints {
		out[i] = w.p.Net.Joints[j].ID
	}
	return out
}

// list joins names as a sentence does.
func list(names []string) string {
	if n := len(names); n > 1 {
		return strings.Join(names[:n-1], ", ") + " and " + names[n-1]
	}
	return strings.Join(names, "")
}

// known keeps only the cautions that the knowledge base has.
func (w *writer) known(ids ...string) []string {
	out := []string{}
	for _, id := range ids {
		if w.p.KB.Caution(id) != nil && !slices.Contains(out, id) {
			out = append(out, id)
		}
	}
	return out
}

// want puts things on the list of what must be at hand, each once however it is written.
func (w *writer) want(things ...string) {
	for _, t := range things {
		if in := w.p.KB.Instrument(t); in != nil {
			t = cmp.Or(in.Title, in.ID)
		}
		same := func(o string) bool { return plain(o) == plain(t) || strings.HasPrefix(plain(o), plain(t)+" ") }
		if t != "" && !slices.ContainsFunc(w.plan.HaveReady, same) {
			w.plan.HaveReady = append(w.plan.HaveReady, t)
		}
	}
}

// plain is the name of a thing without what does not tell it from others.
func plain(s string) string {
	s = strings.ToLower(strings.ReplaceAll(s, "-", " "))
	words := strings.Fields(s)
	words = slices.DeleteFunc(words, func(x string) bool {
		return slices.Contains([]string{"a", "an", "the", "new", "some", "dry", "small"}, x)
	})
	for i, x := range words {
		if len(x) > 3 {
			words[i] = strings.TrimSuffix(x, "s")
		}
	}
	if len(words) == 2 {
		slices.Sort(words) // "10x lens" and "lens 10x"
	}
	return strings.Join(words, " ")
}

// goodChance is the chance from which on a dear part is had before the joint is opened.
const goodChance = 0.15

// ready lists parts and tools for all that may turn out, at all ends that are opened.
func (w *writer) ready(s stroke, checks []planned) {
	for _, j := range s.joints {
		if k := w.p.KB.Joint(w.p.Net.Joints[j].Kind); k != nil {
			w.want(k.HaveReady...)
		}
	}
	var dear []string
	for _, i := range w.all(s) {
		c := &w.b.cures[i]
		if kind := c.remedy.Kind; s.looks && (kind == "replace" || kind == "machine") && w.b.mass(c) < goodChance {
			for _, t := range c.remedy.Parts {
				if !slices.ContainsFunc(append(slices.Clone(dear), w.plan.HaveReady...), func(o string) bool { return plain(o) == plain(t) }) {
					dear = append(dear, t)
				}
			}
			continue
		}
		w.want(c.remedy.Parts...)
	}
	for _, i := range w.all(s) {
		w.want(w.b.cures[i].remedy.Tools...)
	}
	for _, c := range checks {
		w.want(c.check.Tools...)
	}
	if len(dear) > 0 {
		w.want("and know where to get, should the looks ask for it: " + list(dear))
	}
}

// all is the first attempt with what is done anyway.
func (w *writer) all(s stroke) []int {
	out := slices.Clone(w.likely(s))
	for _, e := range s.extras {
		out = append(out, e.cure)
	}
	return out
}

// before makes safe, each change of state a line of its own, after the photograph.
func (w *writer) before(s stroke) {
	w.add(Step{Part: "before", Action: "Photograph it as it is, with a clock mark, before wiping anything", Stage: string(rules.Outside), Minutes: 2, Why: "crust, trail and print are evidence that wiping destroys"})
	if len(s.joints) > 0 {
		w.inHand(s)
	}
	state, known, _ := w.p.Mem.Value(w.p.Mem.Key(w.p.Net.Joints[0].ID, "state-now"))
	cold := known && state.Answered() && slices.Contains(state.Is, "safe-and-cold")
	cool := 60.0
	if cold {
		cool = 0
	}
	w.add(Step{Part: "before", Action: "Stop it and make sure that nobody can start it: switch off, lock or tag", Stage: string(rules.Outside), Minutes: 5, Why: "hands go near", Cautions: w.known("turning-parts", "wet-and-live")})
	w.add(Step{Part: "before", Action: "Let it cool until you can hold your hand on it (below 50 C)", Stage: string(rules.Outside), Wait: cool, Why: "hot liquid flashes and scalds", Cautions: w.known("hot-coolant", "scald")})
	if w.oil() {
		w.add(Step{Part: "before", Action: "Bring every load down or block it, then work the levers until they are dead", Stage: string(rules.Outside), Minutes: 5, Why: "a held load keeps its pressure with the drive off", Cautions: w.known("held-load", "high-pressure-hydraulics")})
	}
	if w.p.refuses(rules.UnderPressure) {
		w.add(Step{Part: "before", Action: "Prove it dead: levers worked both ways until nothing moves, gauge at zero, accumulators shut off and let down by those whose work it is. Loosen nothing that still holds", Stage: string(rules.Outside), Minutes: 5, Why: "a line can hold pressure with the pump off", Cautions: w.known("stored-pressure")})
		return
	}
	w.add(Step{Part: "before", Action: "Prove the pressure zero: open a vent and see the flow stop; a gauge alone does not prove it", Stage: string(rules.Outside), Minutes: 5, Why: "stored pressure throws parts and liquid", Cautions: w.known("stored-pressure")})
}

func (w *writer) oil() bool {
	v, ok, _ := w.p.Mem.Value(w.p.Mem.Key(w.p.Net.Joints[0].ID, "fluid"))
	return ok && v.Type == fact.Choice && v.Option == "hydraulic-oil"
}

// inHand names what must be there before opening for repair.
func (w *writer) inHand(s stroke) {
	why := "an opened joint without its parts is a second strip-down"
	if len(w.p.Person.Ready) == 0 {
		w.add(Step{Part: "before", Action: "Have the parts on the list in hand first. Until then open to measure only", Stage: string(rules.Told), Why: why})
		return
	}
	if missing := w.missing(s); len(missing) > 0 {
		w.add(Step{Part: "before", Action: "Get first: " + list(missing) + ". Until they are in hand, open to measure only", Stage: string(rules.Told), Why: why})
	}
}

// missing are parts for the ends that are opened that the person has not got.
func (w *writer) missing(s stroke) []string {
	var need, out []string
	for _, j := range s.joints {
		if k := w.p.KB.Joint(w.p.Net.Joints[j].Kind); k != nil {
			need = append(need, k.HaveReady...)
		}
	}
	for _, i := range w.likely(s) {
		need = append(need, w.b.cures[i].remedy.Parts...)
	}
	have := func(list []string, t string) bool {
		return slices.ContainsFunc(list, func(o string) bool { return plain(o) == plain(t) })
	}
	for _, t := range need {
		if !have(w.p.Person.Ready, t) && !have(out, t) {
			out = append(out, t)
		}
	}
	return out
}

func (w *writer) sums(s stroke) {
	if len(s.joints) > 0 {
		looks := ""
		if s.looks {
			looks = " with the looks and what they are expected to ask for"
		}
		w.plan.Sums = append(w.plan.Sums, fmt.Sprintf("this attempt: about %s min%s, %.0f in 100 that it is dry after it (what is opened is put together tight %.0f times in 100)", minutes(s.minutes), looks, 100*s.dry, 100*w.b.passOf(s)))
	} else {
		w.plan.Sums = append(w.plan.Sums, fmt.Sprintf("this attempt: about %s min, nothing is opened, %.0f in 100 that it is dry after it", minutes(s.minutes), 100*s.dry))
	}
	for n, next := range w.c[1:] {
		if n == 2 {
			break
		}
		w.plan.Sums = append(w.plan.Sums, fmt.Sprintf("if it is still wet: %s, about %s min", w.cureNames(next), minutes(next.minutes)))
	}
	for _, e := range s.extras {
		w.plan.Sums = append(w.plan.Sums, w.b.sum(e))
	}
}

// sum is the trade in words: "5 min now against 9 % of another 95 min".
func (b *bench) sum(e extra) string {
	r := b.cures[e.cure].remedy
	return fmt.Sprintf("%s: %s min now against %.0f %% of another %s min", cmp.Or(r.Title, r.ID), minutes(e.trade.Minutes), 100*e.trade.Chance, minutes(e.trade.Round))
}

// passOf is the chance that all joints opened in an attempt are put together tight.
func (b *bench) passOf(s stroke) float64 {
	x := 1.0
	for _, j := range s.joints {
		x *= b.pass[j]
	}
	return x
}

// cureNames names the cures of an attempt.
func (w *writer) cureNames(s stroke) string {
	if s.looks {
		return "open " + w.names(s.joints) + ", look, and mend what is found"
	}
	var out []string
	for _, i := range s.cures[:min(3, len(s.cures))] {
		c := w.b.cures[i]
		t := lower(cmp.Or(c.remedy.Title, c.remedy.ID))
		if len(w.p.Net.Joints) > 1 && !c.shared {
			t += " (" + w.names(c.blocks) + ")"
		}
		out = append(out, t)
	}
	if len(s.cures) > 3 {
		return strings.Join(out, ", ") + " and more"
	}
	return list(out)
}

// lower begins a phrase in the middle of a sentence; names in capitals stay.
func lower(s string) string {
	if len(s) > 1 && s[1] >= 'a' && s[1] <= 'z' {
		return strings.ToLower(s[:1]) + s[1:]
	}
	return s
}
