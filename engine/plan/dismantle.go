package plan

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"seepwright/rules"
	"seepwright/rules/fact"
)

// worthALook is the chance from which on a cause is looked for while its joint is apart.
const worthALook = 0.03

// planned is one check of the strip-down, at one joint or the same at several.
type planned struct {
	joints []int
	check  *rules.Check
	why    string
}

// checks lists what to look at on the way in and while the joints are apart: the checks that
// decide the leading causes, stage by stage in the kind's order, evidence before what destroys it.
func (w *writer) checks(s stroke) []planned {
	var out []planned
	for _, j := range s.joints {
		for _, l := range w.checksAt(j) {
			if i := slices.IndexFunc(out, func(o planned) bool { return o.check == l.checks }); i >= 0 {
				if !w.once(l.checks) {
					out[i].joints = append(out[i].joints, j)
				}
				continue
			}
			out = append(out, planned{[]int{j}, l.checks, l.Why})
		}
	}
	return out
}

// once reports whether a check speaks of the whole unit, so that one is enough for all joints.
func (w *writer) once(c *rules.Check) bool {
	return len(c.Fills) > 0 && !slices.ContainsFunc(c.Fills, func(id string) bool {
		f := w.p.KB.Fact(id)
		return f == nil || f.Scope == fact.JointScope || f.Scope == fact.LikeJoints
	})
}

func (w *writer) checksAt(j int) []look {
	joint := w.p.Net.Joints[j]
	want := map[string][]string{}
	see := func(c *rules.Cause, p float64) {
		if c == nil || p < worthALook {
			return
		}
		for _, f := range c.FoundBy {
			if !slices.Contains(want[f.Check], c.Title) {
				want[f.Check] = append(want[f.Check], c.Title)
			}
		}
	}
	for k, c := range joint.Model.Causes {
		see(c, w.p.Post.Cause[j][k])
	}
	for s, c := range w.p.Net.Shared {
		see(c, w.p.Post.Shared[s])
	}
	var out []look
	for _, c := range w.p.KB.Checks {
		titles, ok := want[c.ID]
		state := c.Stage == rules.Told || c.Stage == rules.Running || c.Stage == rules.Static || c.Stage == rules.Hot
		if !ok || state || w.p.barred(c) || c.Kind == rules.Attempt || !rules.Applies(c.For, joint.Kind) || !w.p.unknown(j, c) {
			continue
		}
		if len(titles) > 3 {
			titles = append(titles[:3:3], "more")
		}
		out = append(out, look{Next: Next{Joint: joint.ID, Why: "decides: " + strings.Join(titles, "; ")}, checks: c, stage: c.Stage})
	}
	place := func(id string) int {
		if kind := w.p.KB.Joint(joint.Kind); kind != nil {
			if i := slices.Index(kind.Order, id); i >= 0 {
				return i
			}
		}
		return 1000
	}
	slices.SortStableFunc(out, func(x, y look) int {
		return cmp.Or(cmp.Compare(slices.Index(rules.Stages(), x.stage), slices.Index(rules.Stages(), y.stage)), cmp.Compare(place(x.checks.ID), place(y.checks.ID)))
	})
	return evidenceOrder(out)
}

// unknown reports whether the check would still fill something.
func (p *Problem) unknown(j int, c *rules.Check) bool {
	for _, id := range c.Fills {
		if _, ok, _ := p.Mem.Value(p.Mem.Key(p.Net.Joints[j].ID, id)); !ok {
			return true
		}
	}
	return len(c.Fills) == 0
}

// strip goes in: what can be seen closed and at one fastener, the access, the parting, and
// the looks at what lies open.
func (w *writer) strip(s stroke, checks []planned) {
	put := func(stages ...rules.Stage) {
		for _, c := range checks {
			if !slices.Contains(stages, c.check.Stage) {
				continue
			}
			why := c.why
			if c.check.CommitsTo != "" {
				why += " (commits you to: " + c.check.CommitsTo + ")"
			}
			joint, action := w.at(c.joints, cmp.Or(c.check.Title, c.check.ID)+": "+c.check.How)
			w.add(Step{Part: "strip", Action: action, Joint: joint, Joints: w.several(c.joints), Check: c.check.ID, Stage: string(c.check.Stage), Minutes: c.check.Minutes * float64(len(c.joints)), Wait: c.check.Wait, Why: why, Cautions: w.known(c.check.Cautions...)})
		}
	}
	put(rules.Outside)
	put(rules.OneFastener)
	var paid []string
	for _, j := range s.joints {
		for _, st := range w.b.reach[j].steps {
			if w.b.opened[j] || slices.Contains(paid, st.ID) {
				continue
			}
			paid = append(paid, st.ID)
			w.add(Step{Part: "strip", Action: cmp.Or(st.Title, st.ID), Stage: string(rules.CoverOff), Minutes: st.Off, Why: "access, paid once for all it uncovers"})
		}
	}
	put(rules.CoverOff)
	for _, j := range s.joints {
		if w.b.opened[j] {
			continue
		}
		joint := w.p.Net.Joints[j]
		w.add(Step{Part: "strip", Action: "Part " + cmp.Or(joint.Title, joint.ID) + "; mark 12 o'clock on every part first, count what comes off", Joint: joint.ID, Stage: string(rules.Opened), Minutes: w.b.reach[j].off, Why: "marks are the only way to say later which part the leak follows", Cautions: w.known("weight")})
	}
	put(rules.Opened)
	put(rules.Bench)
}

// mostNumbers is how many targets the plan names; the others stand among the targets.
const mostNumbers = 6

// decide lists the numbers that settle: use it, rework it, replace it.
func (w *writer) decide(s stroke) {
	type number struct {
		joints []int
		target *rules.Target
		why    string
		p      float64
	}
	var list []number
	for _, j := range s.joints {
		joint := w.p.Net.Joints[j]
		for k, c := range joint.Model.Causes {
			p := w.p.Post.Cause[j][k]
			if p < worthALook {
				continue
			}
			for _, id := range c.Targets {
				t := w.p.KB.Target(id)
				if t == nil || t.When != nil && t.When.Cond.Eval(w.p.Mem.Env(joint.ID)).Truth == fact.False {
					continue
				}
				i := slices.IndexFunc(list, func(o number) bool { return o.target == t })
				if i < 0 {
					list = append(list, number{[]int{j}, t, c.Title, p})
					continue
				}
				if !slices.Contains(list[i].joints, j) {
					list[i].joints = append(list[i].joints, j)
				}
				list[i].p = max(list[i].p, p)
			}
		}
	}
	slices.SortStableFunc(list, func(a, b number) int { return cmp.Compare(b.p, a.p) })
	for _, n := range list[:min(mostNumbers, len(list))] {
		joint, action := w.at(n.joints, fmt.Sprintf("%s: %s. Without the instrument: %s", cmp.Or(n.target.Title, n.target.ID), limit(n.target), strings.TrimSuffix(n.target.Without, ".")))
		w.add(Step{Part: "decide", Action: action, Joint: joint, Joints: w.several(n.joints), Target: n.target.ID, Stage: string(rules.Opened), Why: "decides about: " + n.why})
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
