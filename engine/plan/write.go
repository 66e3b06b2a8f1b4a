package plan

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"seepwright/engine/rank"
	"seepwright/rules"
)

// writer collects the lines of one plan.
type writer struct {
	p    *Problem
	b    *bench
	c    course
	plan Plan
}

// write puts the course into words: have ready, make safe, strip, decide, mend, reassemble,
// bench test, refit, retest.
func (p *Problem) write(b *bench) Plan {
	w := &writer{p: p, b: b, c: p.plot(b), plan: Plan{HaveReady: []string{}, Steps: []Step{}, Sums: []string{}}}
	w.plan.Minutes, w.plan.Lower = w.c.minutes, p.floor(b)
	if len(w.c.strokes) == 0 {
		w.plan.LookAgain = "look again after the next run and next morning"
		w.plan.Sums = append(w.plan.Sums, "no repair is likely enough yet to be worth opening for: find out more, or have it looked at by someone with better access")
		return w.plan
	}
	first := w.c.strokes[0]
	w.ready(first)
	w.before(first)
	if len(first.joints) > 0 {
		w.strip(first)
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

// known keeps only the cautions that the knowledge base has.
func (w *writer) known(ids ...string) []string {
	out := []string{}
	for _, id := range ids {
		if w.p.KB.Caution(id) != nil {
			out = append(out, id)
		}
	}
	return out
}

func (w *writer) want(things ...string) {
	for _, t := range things {
		if in := w.p.KB.Instrument(t); in != nil {
			t = cmp.Or(in.Title, in.ID)
		}
		if t != "" && !slices.Contains(w.plan.HaveReady, t) {
			w.plan.HaveReady = append(w.plan.HaveReady, t)
		}
	}
}

// ready lists parts and tools for all that may turn out, at all ends that are opened.
func (w *writer) ready(s stroke) {
	for _, j := range s.joints {
		if k := w.p.KB.Joint(w.p.Net.Joints[j].Kind); k != nil {
			w.want(k.HaveReady...)
		}
	}
	for _, i := range w.all(s) {
		w.want(w.b.cures[i].remedy.Parts...)
	}
	for _, i := range w.all(s) {
		w.want(w.b.cures[i].remedy.Tools...)
	}
	for _, c := range w.checks(s) {
		w.want(c.check.Tools...)
	}
}

// all is the first attempt with what is done anyway.
func (w *writer) all(s stroke) []int {
	out := slices.Clone(s.cures)
	for _, e := range w.c.extras {
		out = append(out, e.cure)
	}
	return out
}

// before makes safe, each change of state a line of its own, after the photograph.
func (w *writer) before(s stroke) {
	w.add(Step{Part: "before", Action: "Photograph it as it is, with a clock mark, before wiping anything", Stage: string(rules.Outside), Minutes: 2, Why: "crust, trail and print are evidence that wiping destroys"})
	if len(s.joints) == 0 {
		return
	}
	if missing := w.missing(); len(missing) > 0 {
		w.add(Step{Part: "before", Action: "Get first: " + strings.Join(missing, ", ") + ". Until they are in hand, open to measure only", Stage: string(rules.Told), Why: "an opened joint without its parts is a second strip-down"})
	}
	w.add(Step{Part: "before", Action: "Stop it and make sure that nobody can start it: switch off, lock or tag", Stage: string(rules.Outside), Minutes: 5, Why: "hands go near", Cautions: w.known("turning-parts", "wet-and-live")})
	w.add(Step{Part: "before", Action: "Let it cool until you can hold your hand on it (below 50 C)", Stage: string(rules.Outside), Wait: 60, Why: "hot liquid flashes and scalds", Cautions: w.known("hot-coolant", "scald")})
	w.add(Step{Part: "before", Action: "Prove the pressure zero: open a vent and see the flow stop; a gauge alone does not prove it", Stage: string(rules.Outside), Minutes: 5, Why: "stored pressure throws parts and liquid", Cautions: w.known("stored-pressure")})
}

// missing are parts that are not in hand, once the person said what is.
func (w *writer) missing() []string {
	if len(w.p.Person.Ready) == 0 {
		return nil
	}
	var out []string
	for _, j := range w.c.strokes[0].joints {
		if k := w.p.KB.Joint(w.p.Net.Joints[j].Kind); k != nil {
			for _, h := range k.HaveReady {
				if !slices.Contains(w.p.Person.Ready, h) && !slices.Contains(out, h) {
					out = append(out, h)
				}
			}
		}
	}
	return out
}

// planned is one check of the strip-down.
type planned struct {
	joint int
	check *rules.Check
	why   string
}

// checks lists what to look at while the joints are apart: the checks that decide the
// leading causes or what is cured, in the kind's order, evidence before what destroys it.
func (w *writer) checks(s stroke) []planned {
	var out []planned
	for _, j := range s.joints {
		kind := w.p.KB.Joint(w.p.Net.Joints[j].Kind)
		want := map[string]string{}
		for k, c := range w.p.Net.Joints[j].Model.Causes {
			if w.p.Post.Cause[j][k] < 0.03 {
				continue
			}
			for _, f := range c.FoundBy {
				if want[f.Check] == "" {
					want[f.Check] = "decides: " + c.Title
				} else if !strings.Contains(want[f.Check], c.Title) {
					want[f.Check] += "; " + c.Title
				}
			}
		}
		var list []look
		for _, c := range w.p.KB.Checks {
			why, ok := want[c.ID]
			if !ok || isOutside(c.Stage) && c.Stage != rules.OneFastener && c.Stage != rules.Outside || !w.unknown(j, c) {
				continue
			}
			list = append(list, look{Next: Next{Joint: w.p.Net.Joints[j].ID, Why: why}, checks: c, stage: c.Stage})
		}
		rank := func(id string) int {
			if kind == nil {
				return 99
			}
			if i := slices.Index(kind.Order, id); i >= 0 {
				return i
			}
			return 99
		}
		slices.SortStableFunc(list, func(x, y look) int {
			return cmp.Or(cmp.Compare(slices.Index(rules.Stages(), x.stage), slices.Index(rules.Stages(), y.stage)), cmp.Compare(rank(x.checks.ID), rank(y.checks.ID)))
		})
		for _, l := range evidenceOrder(list) {
			out = append(out, planned{j, l.checks, l.Why})
		}
	}
	return out
}

// unknown reports whether the check would still fill something.
func (w *writer) unknown(j int, c *rules.Check) bool {
	for _, id := range c.Fills {
		if _, ok, _ := w.p.Mem.Value(w.p.Mem.Key(w.p.Net.Joints[j].ID, id)); !ok {
			return true
		}
	}
	return len(c.Fills) == 0
}

func (w *writer) strip(s stroke) {
	checks := w.checks(s)
	put := func(outside bool) {
		for _, c := range checks {
			if (c.check.Stage == rules.Outside) != outside {
				continue
			}
			why := c.why
			if c.check.CommitsTo != "" {
				why += " (commits you to: " + c.check.CommitsTo + ")"
			}
			w.add(Step{Part: "strip", Action: cmp.Or(c.check.Title, c.check.ID) + ": " + c.check.How, Joint: w.p.Net.Joints[c.joint].ID, Stage: string(c.check.Stage), Minutes: c.check.Minutes, Wait: c.check.Wait, Why: why, Cautions: w.known(c.check.Cautions...)})
		}
	}
	put(true)
	paid := map[string]bool{}
	for _, j := range s.joints {
		if w.b.opened[j] {
			continue
		}
		joint := w.p.Net.Joints[j]
		r := w.p.reachOf(joint, paid)
		for _, st := range r.steps {
			paid[st.ID] = true
			w.add(Step{Part: "strip", Action: cmp.Or(st.Title, st.ID), Stage: string(rules.CoverOff), Minutes: st.Off, Why: "access; paid once for " + strings.Join(st.Uncovers, ", ")})
			r.off -= st.Off
		}
		w.add(Step{Part: "strip", Action: "Part the joint: " + name(joint.Title, joint.ID) + "; mark 12 o'clock on every part first, count what comes off", Joint: joint.ID, Stage: string(rules.Opened), Minutes: r.off, Why: "position marks are the only way to say later which part the leak follows", Cautions: w.known("weight")})
	}
	put(false)
}

func name(title, id string) string { return cmp.Or(title, id) }

// decide lists the numbers that settle: use it, rework it, replace it.
func (w *writer) decide(s stroke) {
	for _, j := range s.joints {
		joint := w.p.Net.Joints[j]
		var seen []string
		for k, c := range joint.Model.Causes {
			if w.p.Post.Cause[j][k] < 0.03 {
				continue
			}
			for _, id := range c.Targets {
				t := w.p.KB.Target(id)
				if t == nil || slices.Contains(seen, id) || t.When != nil && t.When.Cond.Eval(w.p.Mem.Env(joint.ID)).Truth < 0 {
					continue
				}
				seen = append(seen, id)
				w.add(Step{Part: "decide", Action: cmp.Or(t.Title, t.ID) + ": " + limit(t) + ". Without the instrument: " + t.Without, Joint: joint.ID, Stage: string(rules.Opened), Why: "decides about: " + c.Title})
				if len(seen) >= 6 {
					break
				}
			}
		}
	}
}

func limit(t *rules.Target) string {
	switch {
	case t.AtLeast != nil && t.AtMost != nil:
		return t.AtLeast.Shown().String() + " to " + t.AtMost.Shown().String()
	case t.AtLeast != nil:
		return "at least " + t.AtLeast.Shown().String()
	case t.AtMost != nil:
		return "at most " + t.AtMost.Shown().String()
	}
	return "solved from this joint's own sizes"
}

func (w *writer) mend(s stroke) {
	put := func(i int, why string) {
		c := w.b.cures[i]
		act := cmp.Or(c.remedy.Title, c.remedy.ID)
		if c.remedy.How != "" {
			act += ": " + c.remedy.How
		}
		if c.remedy.Limit != "" {
			act += " Limit: " + c.remedy.Limit
		}
		w.add(Step{Part: "mend", Action: act, Joint: w.p.Net.Joints[c.block].ID, Stage: string(rules.Bench), Minutes: c.minutes, Wait: c.remedy.Wait, Why: why, Cautions: w.known(c.remedy.Cautions...)})
	}
	for _, i := range s.cures {
		put(i, "cures: "+w.cured(i))
	}
	for _, e := range w.c.extras {
		put(e.cure, "do it anyway; "+w.p.sum(w.b, w.c, e))
	}
}

// cured names the likely causes that a cure is for.
func (w *writer) cured(i int) string {
	c := w.b.cures[i]
	refs := slices.Clone(c.causes)
	blocks := w.p.Net.Rank.Blocks
	slices.SortStableFunc(refs, func(a, b rank.CauseRef) int {
		return cmp.Compare(at(w.p.Post.Marginals, b, blocks), at(w.p.Post.Marginals, a, blocks))
	})
	m := w.p.Net.Joints[c.block].Model
	var names []string
	for _, r := range refs {
		switch {
		case len(names) == 3:
		case r.Cause < len(m.Causes):
			names = append(names, m.Causes[r.Cause].Title)
		case m.Away != nil:
			names = append(names, m.Away.Title)
		}
	}
	return strings.Join(names, "; ")
}

func (w *writer) reassemble(s stroke) {
	for _, j := range s.joints {
		joint := w.p.Net.Joints[j]
		kind := w.p.KB.Joint(joint.Kind)
		if kind == nil {
			continue
		}
		for _, st := range kind.Reassembly {
			w.add(Step{Part: "reassemble", Action: st.Do, Joint: joint.ID, Stage: string(st.Stage), Minutes: st.Minutes, Wait: st.Wait, Why: st.Why, Cautions: w.known(st.Cautions...)})
		}
		if kind.TurnTest != "" {
			w.add(Step{Part: "reassemble", Action: "Turn test: " + kind.TurnTest, Joint: joint.ID, Stage: string(rules.Opened), Why: "costs nothing now and says which part is at fault if it leaks again"})
		}
		if kind.Restraint != "" {
			w.add(Step{Part: "reassemble", Action: "Hold it: " + kind.Restraint, Joint: joint.ID, Stage: string(rules.Opened), Why: "no friction fit holds against pressure", Cautions: w.known("plugs-held")})
		}
	}
}

// benchTest is written when it saves more than it costs; its sum is shown either way.
func (w *writer) benchTest(s stroke) {
	cost, se := w.p.fig("bench-test-minutes"), w.p.fig("bench-test-se")
	again := 0.0
	for _, j := range s.joints {
		again += w.b.reach[j].off + w.b.reach[j].back
	}
	leak := 1 - s.dry
	save := leak * se * again
	sum := fmt.Sprintf("bench test before refitting: %s min against %.0f %% of another %s min off and on", minutes(cost), 100*leak*se, minutes(again))
	w.plan.Sums = append(w.plan.Sums, sum)
	if save <= cost {
		return
	}
	how := "fill it solid with water, vent, bring to working pressure by hand pump, dry tissue on every joint at 1, 5, 15 and 30 min"
	var cautions []string
	if c := w.p.KB.Check("bench-water-test"); c != nil {
		how, cautions = c.How, c.Cautions
	}
	w.add(Step{Part: "bench", Action: "Bench water test: " + how, Stage: string(rules.Bench), Minutes: cost, Why: sum + ". It cannot see a twist by the mounting, a pulling pipe, a hose or heat: dry here and wet in place points to exactly those", Cautions: w.known(append(cautions, "air-test", "plugs-held")...)})
}

func (w *writer) refit(s stroke) {
	paid := map[string]bool{}
	for _, j := range s.joints {
		joint := w.p.Net.Joints[j]
		r := w.p.reachOf(joint, paid)
		back := r.back
		for _, st := range r.steps {
			paid[st.ID] = true
			back -= st.Back
		}
		w.add(Step{Part: "refit", Action: "Put together " + name(joint.Title, joint.ID), Joint: joint.ID, Stage: string(rules.Opened), Minutes: back, Why: "no joint is left between hand-tight and tight: mark each fastener when it is done"})
		for _, st := range slices.Backward(r.steps) {
			w.add(Step{Part: "refit", Action: "Back on: " + cmp.Or(st.Title, st.ID), Stage: string(rules.CoverOff), Minutes: st.Back, Why: "leave covers that hide the joint off until the retest has passed"})
		}
	}
}

// retest takes the stages of the retest from the knowledge base: the checks named
// retest-..., in their order.
func (w *writer) retest(s stroke) {
	for _, c := range w.p.KB.Checks {
		if !strings.HasPrefix(c.ID, "retest-") {
			continue
		}
		w.add(Step{Part: "retest", Action: cmp.Or(c.Title, c.ID) + ": " + c.How, Stage: string(c.Stage), Minutes: c.Minutes, Wait: c.Wait, Why: "dry tissue passes a joint, a steady needle does not", Cautions: w.known(c.Cautions...)})
	}
	w.plan.LookAgain = "cold next morning, after the first full heat, and after a week"
	if len(s.joints) == 0 {
		w.plan.LookAgain = "cold, on the next two mornings"
	}
}

func (w *writer) sums(s stroke) {
	w.plan.Sums = append(w.plan.Sums, fmt.Sprintf("this attempt: about %s min, %.0f in 100 that it is dry after it (a joint that is opened is put together tight %.0f times in 100)", minutes(s.minutes), 100*s.dry, 100*w.passOf(s)))
	for _, e := range w.c.extras {
		w.plan.Sums = append(w.plan.Sums, w.p.sum(w.b, w.c, e))
	}
}

func (w *writer) passOf(s stroke) float64 {
	x := 1.0
	for _, j := range s.joints {
		x *= w.b.pass[j]
	}
	return x
}
