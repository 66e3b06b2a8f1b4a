package plan

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"seepwright/rules"
)

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
		stage := rules.Outside
		if c.remedy.Opens {
			stage = rules.Bench
		}
		blocks := c.blocks
		if c.shared && !c.remedy.Opens {
			blocks = nil // it is done to the unit, not at a joint
		}
		joint := ""
		if len(blocks) > 0 {
			joint, act = w.at(blocks, act)
		}
		w.add(Step{Part: "mend", Action: act, Joint: joint, Joints: w.several(blocks), Remedy: c.remedy.ID, Stage: string(stage), Minutes: c.minutes, Wait: c.remedy.Wait, Why: why, Cautions: w.known(c.remedy.Cautions...)})
	}
	for _, e := range s.extras {
		put(e.cure, "do it anyway; "+w.b.sum(e))
	}
	for _, i := range w.likely(s) {
		why := "cures: " + w.cured(i)
		if s.looks {
			why = "if the looks show: " + w.cured(i)
		}
		put(i, why)
	}
}

// mostMends is how many cures are written for an attempt in which the looks decide.
const mostMends = 6

// likely lists the cures of an attempt that are written: all that are made, or those that
// the looks may well ask for; what is done anyway stands before them.
func (w *writer) likely(s stroke) []int {
	if !s.looks {
		return s.cures
	}
	var out []int
	for _, i := range s.cures {
		if w.b.mass(&w.b.cures[i]) >= worthALook && !slices.ContainsFunc(s.extras, func(e extra) bool { return e.cure == i }) {
			out = append(out, i)
		}
	}
	slices.SortStableFunc(out, func(a, b int) int {
		return cmp.Compare(w.b.mass(&w.b.cures[b]), w.b.mass(&w.b.cures[a]))
	})
	return out[:min(mostMends, len(out))]
}

// cured names the likely causes that a cure is for, likeliest first.
func (w *writer) cured(i int) string {
	type named struct {
		title string
		p     float64
	}
	var list []named
	item := w.b.chance
	for _, r := range w.b.cures[i].causes {
		var c *rules.Cause
		switch {
		case r.Block < 0:
			c = w.p.Net.Shared[r.Cause]
		case r.Cause < len(w.p.Net.Joints[r.Block].Model.Causes):
			c = w.p.Net.Joints[r.Block].Model.Causes[r.Cause]
		default:
			c = w.p.Net.Joints[r.Block].Model.Away
		}
		if c != nil {
			list = append(list, named{c.Title, item[w.b.item(r)]})
		}
	}
	slices.SortStableFunc(list, func(a, b named) int { return cmp.Compare(b.p, a.p) })
	var out []string
	for n, x := range list {
		if n == 3 || n > 0 && x.p < 0.01 {
			break
		}
		out = append(out, x.title)
	}
	return strings.Join(out, "; ")
}

// kinds groups the opened joints by kind, because the same work is the same line.
func (w *writer) kinds(s stroke) (kinds []*rules.Joint, joints [][]int) {
	for _, j := range s.joints {
		kind := w.p.KB.Joint(w.p.Net.Joints[j].Kind)
		if kind == nil {
			continue
		}
		i := slices.Index(kinds, kind)
		if i < 0 {
			i = len(kinds)
			kinds, joints = append(kinds, kind), append(joints, nil)
		}
		joints[i] = append(joints[i], j)
	}
	return kinds, joints
}

// proves reports whether a step of reassembly needs the unit closed and filled: it belongs to
// the retest.
func proves(s rules.Step) bool {
	return s.Stage == rules.Static || s.Stage == rules.Running || s.Stage == rules.Hot
}

func (w *writer) reassemble(s stroke) {
	kinds, joints := w.kinds(s)
	for i, kind := range kinds {
		if len(joints[i]) > 1 {
			w.add(Step{Part: "reassemble", Action: "The next lines hold for each of " + w.names(joints[i]) + ", one after the other", Stage: string(rules.Opened), Why: "one joint finished before the next is begun leaves none half done"})
		}
		w.steps(kind, joints[i], "reassemble", false)
		joint, action := w.one(joints[i]), ""
		if kind.Restraint != "" {
			action = "Hold it: " + kind.Restraint
			w.add(Step{Part: "reassemble", Action: action, Joint: joint, Stage: string(rules.Opened), Why: "no friction fit holds against pressure", Cautions: w.known("plugs-held")})
		}
		if kind.TurnTest != "" {
			w.add(Step{Part: "reassemble", Action: "Turn test: " + kind.TurnTest, Joint: joint, Stage: string(rules.Opened), Why: "costs nothing now and says which part is at fault if it leaks again"})
		}
	}
}

// one is the id of the only joint, or nothing where there are several.
func (w *writer) one(joints []int) string {
	if len(joints) == 1 {
		return w.p.Net.Joints[joints[0]].ID
	}
	return ""
}

func (w *writer) steps(kind *rules.Joint, joints []int, part string, proving bool) {
	for _, st := range kind.Reassembly {
		if proves(st) == proving {
			w.add(Step{Part: part, Action: st.Do, Joint: w.one(joints), Joints: w.several(joints), Stage: string(st.Stage), Minutes: st.Minutes * float64(len(joints)), Wait: st.Wait, Why: st.Why, Cautions: w.known(st.Cautions...)})
		}
	}
}

// benchTest is written when it saves more than it costs; its sum is shown either way. It
// finds a leak before the unit goes back; it can also send a sound joint back to the bench.
func (w *writer) benchTest(s stroke) {
	if w.p.refuses(rules.PressureTest) {
		return
	}
	cost, se, sp := w.p.fig("bench-test-minutes"), w.p.fig("bench-test-se"), w.p.fig("bench-test-sp")
	off, back := w.b.access(s.joints)
	own := 0.0 // parting the joints on the bench
	for _, j := range s.joints {
		if kind := w.p.KB.Joint(w.p.Net.Joints[j].Kind); kind != nil {
			own += kind.OpenMinutes + kind.ShutMinutes
		}
	}
	again := off + back + w.b.retest
	for _, j := range s.joints {
		if w.b.opened[j] { // it would have to come off again even if it is apart now
			again += w.b.reach[j].off
		}
	}
	wet := 1 - s.dry
	se *= w.seenOnBench() // pipes, feet, hoses and heat are not there to be tested
	save := wet*se*max(0, again-own) - (1-wet)*(1-sp)*own
	sum := fmt.Sprintf("bench test before refitting: %s min against %.0f %% of another %s min off and on", minutes(cost), 100*wet*se, minutes(again))
	if save <= cost {
		w.plan.Sums = append(w.plan.Sums, sum+": it does not pay here")
		return
	}
	w.plan.Sums = append(w.plan.Sums, sum)
	how, cautions := "fill it solid with water, vent, bring it to working pressure by hand pump, dry tissue on every joint at 1, 5, 15 and 30 min", []string(nil)
	if c := w.p.KB.Check("bench-water-test"); c != nil {
		how, cautions = strings.TrimSuffix(c.How, "."), c.Cautions
	}
	w.add(Step{Part: "bench", Action: "Bench water test: " + how, Stage: string(rules.Bench), Minutes: cost, Why: sum + ". It cannot see a twist by the mounting, a pulling pipe, a hose or heat: dry here and wet in place points to exactly those", Cautions: w.known(append(slices.Clone(cautions), "air-test", "plugs-held")...)})
}

// seenOnBench is how much of what may be wrong is in the parts themselves: what is shared by
// joints, comes from elsewhere, or is not on the list, no bench test can see.
func (w *writer) seenOnBench() float64 {
	seen, all := 0.0, 1e-12
	for i, p := range w.b.chance {
		all += p
		if g := w.b.group[i]; g < w.b.n && i-w.b.start[g] < len(w.p.Net.Joints[g].Model.Causes) {
			seen += p
		}
	}
	return seen / all
}

// refit puts the unit back: the joints, then the access in the opposite order.
func (w *writer) refit(s stroke) {
	var steps []string
	for _, j := range s.joints {
		joint := w.p.Net.Joints[j]
		back := w.b.reach[j].back
		if kind := w.p.KB.Joint(joint.Kind); kind != nil && len(kind.Reassembly) > 0 {
			back -= kind.ShutMinutes // its lines stand under reassembly
		}
		w.add(Step{Part: "refit", Action: "Close " + cmp.Or(joint.Title, joint.ID) + " and put a mark on each fastener when it is done", Joint: joint.ID, Stage: string(rules.Opened), Minutes: max(back, 0), Why: "a fastener left hand-tight looks like a tight one"})
		for _, st := range w.b.reach[j].steps {
			if !slices.Contains(steps, st.ID) {
				steps = append(steps, st.ID)
			}
		}
	}
	for _, id := range slices.Backward(steps) {
		for _, st := range w.p.Asm.Access {
			if st.ID == id {
				w.add(Step{Part: "refit", Action: "Back: " + lower(cmp.Or(st.Title, st.ID)), Stage: string(rules.CoverOff), Minutes: st.Back, Why: "covers that hide the joint stay off until the retest has passed"})
			}
		}
	}
}

// retestPrefix begins the ids of the checks that prove a repair; they are no looks at a leak.
const retestPrefix = "retest-"

// retest takes the stages of the retest from the knowledge base: the checks named
// retest-..., in their order. Where nothing was opened a run with somebody there and the cold
// morning are enough.
func (w *writer) retest(s stroke) {
	kinds, joints := w.kinds(s)
	for i, kind := range kinds {
		w.steps(kind, joints[i], "retest", true)
	}
	ran, slept := false, false
	for _, c := range w.p.KB.Checks {
		// Where nobody may be near under pressure it is proved by the checks that keep clear, and only there.
		if !strings.HasPrefix(c.ID, retestPrefix) || c.Clear != w.p.refuses(rules.UnderPressure) {
			continue
		}
		if len(s.joints) == 0 {
			run, cold := c.Stage == rules.Running && !ran, c.Stage == rules.Outside && c.Wait > 0 && slices.Contains(c.Needs, rules.Cold) && !slept
			if !run && !cold {
				continue
			}
			ran, slept = ran || run, slept || cold
		}
		w.add(Step{Part: "retest", Action: cmp.Or(c.Title, c.ID) + ": " + c.How, Check: c.ID, Stage: string(c.Stage), Minutes: c.Minutes, Wait: c.Wait, Why: "dry tissue passes a joint, a steady needle does not", Cautions: w.known(c.Cautions...)})
	}
	w.plan.LookAgain = w.lookAgain(s)
}

// lookAgain says when to look after the repair: after what was only nipped or propped two cold
// mornings tell, after a joint was opened its first heats and weeks, sooner where the cause
// can grow or let go.
func (w *writer) lookAgain(s stroke) string {
	if len(s.joints) == 0 {
		for _, i := range s.cures {
			if w.b.cures[i].remedy.Kind != "locate" {
				return "cold, on the next two mornings"
			}
		}
		return "at the next run and cold next morning, at the place just cleaned"
	}
	item := w.b.chance
	course, best := "", 0.0
	for _, i := range s.cures {
		for _, r := range w.b.cures[i].causes {
			if q := item[w.b.item(r)]; q > best && r.Block >= 0 && r.Cause < len(w.p.Net.Joints[r.Block].Model.Causes) {
				best, course = q, w.p.Net.Joints[r.Block].Model.Causes[r.Cause].Course
			}
		}
	}
	switch course {
	case "sudden":
		return "every hour of the first day, cold next morning, then each run for a week: this kind of fault lets go without warning"
	case "grows":
		return "after the first full heat, cold next morning, then every day for a week and after a month"
	}
	return "after the first full heat, cold next morning, after a week and after a month"
}
