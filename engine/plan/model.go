package plan

import (
	"cmp"
	"fmt"
	"slices"

	"seepwright/engine/plan/optimum"
	"seepwright/rules"
	"seepwright/rules/assembly"
)

// action is what a repair of the model stands for: a cure, or opening a joint, looking, and
// mending what is found.
type action struct {
	cure   int
	search int // joint that is searched, -1 = none
}

// mostClusters is how many stages of access a model may have.
const mostClusters = 64

// model says the whole problem in the terms of optimum: access, cures, searches, looks.
func (p *Problem) model(b *bench, looks []*look) optimum.Model {
	s := &b.scene
	m := optimum.Model{Possible: s.sets, Drawn: s.drawn, Retest: b.look, LastResort: b.resort}
	id := func(fault int) string { return fmt.Sprintf("f%03d", fault) }
	place := map[int]int{} // fault of an item
	for f, item := range s.item {
		m.Faults = append(m.Faults, optimum.Fault{ID: id(f)})
		place[item] = f
	}
	in := make([]bool, b.n)
	for j := range s.local {
		in[j] = slices.ContainsFunc(s.local[j], func(l local) bool { return len(l.vars) > 0 })
	}
	m.Clusters, m.Open = p.clusters(b, in, looks)
	has := map[string]bool{"": true}
	for _, c := range m.Clusters {
		has[c.ID] = true
	}
	b.steps = map[string]action{}
	put := func(r optimum.Repair, a action) {
		b.steps[r.ID] = a
		m.Repairs = append(m.Repairs, r)
	}
	type found struct {
		cure    int
		success float64
		order   int
	}
	mends := make([]map[int]found, b.n) // by joint and fault: the cure that a search would make
	for k := range b.cures {
		c := &b.cures[k]
		r := optimum.Repair{ID: fmt.Sprintf("cure%04d", k), Minutes: c.minutes}
		if c.remedy.Opens {
			switch {
			case len(c.blocks) == 1 && has[jointCluster(c.blocks[0])]:
				r.Cluster = jointCluster(c.blocks[0])
			case len(c.blocks) > 0: // several joints: their access counts with the work
				off, back := b.access(c.blocks)
				r.Minutes += off + back + b.retest - b.look
			}
		}
		for _, t := range c.items {
			f, ok := place[t.item]
			if !ok {
				continue
			}
			r.Fixes, r.Chances = append(r.Fixes, id(f)), append(r.Chances, t.success)
			if g := b.group[t.item]; g < b.n && (c.remedy.Opens || c.remedy.Kind == "adjust") {
				if mends[g] == nil {
					mends[g] = map[int]found{}
				}
				if q, had := mends[g][f]; !had || t.order < q.order {
					mends[g][f] = found{k, t.success, t.order}
				}
			}
		}
		if len(r.Fixes) > 0 {
			put(r, action{k, -1})
		}
	}
	for j := range mends {
		if len(mends[j]) == 0 || !has[jointCluster(j)] {
			continue
		}
		r := optimum.Repair{ID: fmt.Sprintf("search%04d", j), Cluster: jointCluster(j), Minutes: b.looking[j], Tries: 2}
		for f := range s.item {
			if q, ok := mends[j][f]; ok {
				r.Fixes, r.Chances, r.Mend = append(r.Fixes, id(f)), append(r.Chances, b.found*q.success), append(r.Mend, b.cures[q.cure].minutes)
			}
		}
		put(r, action{-1, j})
	}
	for i := range looks {
		l := looks[i]
		c := optimum.Check{ID: fmt.Sprintf("look%04d", i), Minutes: l.cost, Answers: l.table, Walk: string(l.stage)}
		switch {
		case l.seated():
			c.Walk = ""
		case has[stateCluster(l.stage)]:
			c.Cluster = stateCluster(l.stage)
		default:
			c.Cluster = walkCluster
		}
		if !isOutside(l.stage) && has[jointCluster(l.place)] {
			c.Cluster = jointCluster(l.place)
		}
		m.Checks = append(m.Checks, c)
	}
	return m
}

// walkCluster is the way to the machine, which all looks but those from memory need.
const walkCluster = "walk"

func jointCluster(j int) string { return fmt.Sprintf("joint%04d", j) }

func stateCluster(st rules.Stage) string { return "state " + string(st) }

// clusters lists the stages of access to these joints, and the states that looks are made in.
// Where there are too many, the joints that are least at fault have no access of their own.
func (p *Problem) clusters(b *bench, in []bool, looks []*look) (out []optimum.Cluster, open []string) {
	out = append(out, optimum.Cluster{ID: walkCluster, Open: p.fig("trip-minutes")})
	setup := p.setups()
	for _, st := range rules.Stages() {
		if x := setup[st]; x > 0 && slices.ContainsFunc(looks, func(l *look) bool { return l.stage == st }) {
			out = append(out, optimum.Cluster{ID: stateCluster(st), Parent: walkCluster, Open: x})
		}
	}
	// Proving takes longer once something was opened.
	out = append(out, optimum.Cluster{ID: "apart", Close: max(0, b.retest-b.look), MustClose: true})
	var order []int
	for j := range in {
		if in[j] {
			order = append(order, j)
		}
	}
	slices.SortStableFunc(order, func(x, y int) int {
		return cmp.Compare(p.Post.JointLeaks[y], p.Post.JointLeaks[x])
	})
	had := map[string]bool{}
	for _, j := range order {
		r := &b.reach[j]
		var fresh []optimum.Cluster
		c := optimum.Cluster{ID: jointCluster(j), Parent: "apart", Open: r.off, Close: r.back, MustClose: true, Pass: b.pass[j]}
		for _, st := range r.steps {
			c.Needs = append(c.Needs, "step "+st.ID)
			if !had[st.ID] {
				step := optimum.Cluster{ID: "step " + st.ID, Open: st.Off, Close: st.Back, MustClose: true}
				for _, n := range st.Needs {
					if slices.ContainsFunc(r.steps, func(o assembly.Access) bool { return o.ID == n }) {
						step.Needs = append(step.Needs, "step "+n)
					}
				}
				fresh = append(fresh, step)
			}
		}
		if len(out)+len(fresh)+1 > mostClusters {
			continue
		}
		for _, st := range r.steps {
			had[st.ID] = true
		}
		out = append(append(out, fresh...), c)
		if b.opened[j] {
			open = append(open, c.ID)
		}
	}
	return out, open
}

// strokes puts the attempts of the advice into cures and joints.
func (b *bench) strokes() []stroke {
	var out []stroke
	for _, t := range b.advice.Course {
		s := stroke{minutes: t.Minutes, dry: t.Dry, failed: t.Failed}
		b.fill(&s, t.Repairs)
		for _, x := range t.Anyway {
			a := b.steps[x.Repair]
			if a.search >= 0 || x.Chosen || !x.Pays {
				continue
			}
			c := &b.cures[a.cure]
			if c.minutes > mostAnyway || c.shared || c.remedy.Opens && !slices.Contains(s.joints, c.blocks[0]) {
				continue
			}
			s.extras = append(s.extras, extra{a.cure, x})
		}
		s.extras = s.extras[:min(mostExtras, len(s.extras))]
		out = append(out, s)
	}
	return out
}

// mostAnyway is how many minutes a cure may take that is done anyway, mostExtras how many are.
const (
	mostAnyway = 30
	mostExtras = 5
)

// fill lists what a batch does.
func (b *bench) fill(s *stroke, repairs []string) {
	put := func(k int) {
		if !slices.Contains(s.cures, k) {
			s.cures = append(s.cures, k)
		}
	}
	join := func(j int) {
		if !slices.Contains(s.joints, j) {
			s.joints = append(s.joints, j)
		}
	}
	for _, id := range repairs {
		a := b.steps[id]
		if a.search < 0 {
			put(a.cure)
			if c := &b.cures[a.cure]; c.remedy.Opens {
				for _, j := range c.blocks {
					join(j)
				}
			}
			continue
		}
		s.looks = true
		join(a.search)
	}
	for _, id := range repairs {
		if a := b.steps[id]; a.search >= 0 {
			for _, k := range b.at[a.search] {
				if b.mass(&b.cures[k]) > 1e-3 {
					put(k)
				}
			}
		}
	}
	slices.Sort(s.joints)
}
