package network

import (
	"fmt"
	"slices"
	"strings"

	"seepwright/engine/infer"
	"seepwright/engine/rank"
	"seepwright/rules"
	"seepwright/rules/assembly"
	"seepwright/rules/cond"
	"seepwright/rules/fact"
)

// The facts that the engine itself reads; no cause may use them as signs.
const (
	WetFact     = "joint-wet"
	ProvenFact  = "leak-proven"
	HistoryFact = "history"
	InsideFact  = "leaks-inside" // leaks from one passage into another: wet, though dry outside
	WorkFact    = "last-work"
)

// Network is an assembly with its findings, ready to be solved.
type Network struct {
	Rank   rank.Assembly
	Joints []Joint
	Shared []*rules.Cause
	kb     *rules.Knowledge
	mem    *infer.Memory
	active []infer.Fired // what the rules that hold do
	models *Models
	known  map[string]bool // facts of which something is known anywhere
	tried  []Tried
	fig    Figures
}

// Joint is one block of the network.
type Joint struct {
	assembly.Joint
	Model   *Model
	History rules.History
	Assumed bool // the history was not known
	shared  []int
}

// Models keeps prepared kinds, because preparing costs more than solving.
type Models struct {
	kb    *rules.Knowledge
	ready map[string]*Model
	reads map[*rules.Cause][][]string // facts of each context of a cause
}

// readsOf lists the facts that each context of a cause reads.
func (s *Models) readsOf(c *rules.Cause) [][]string {
	list, ok := s.reads[c]
	if !ok {
		for i := range c.Context {
			list = append(list, c.Context[i].When.Cond.Facts())
		}
		s.reads[c] = list
	}
	return list
}

// NewModels makes an empty store.
func NewModels(kb *rules.Knowledge) *Models {
	return &Models{kb, map[string]*Model{}, map[*rules.Cause][][]string{}}
}

// Of gives the model of a kind in a history.
func (s *Models) Of(kind string, h rules.History) (*Model, error) {
	key := kind + "@" + string(h)
	if m, ok := s.ready[key]; ok {
		return m, nil
	}
	m, err := NewModel(s.kb, kind, h)
	if err != nil {
		return nil, fmt.Errorf("kind %s, history %s: %w", kind, h, err)
	}
	s.ready[key] = m
	return m, nil
}

// Build makes the network of an assembly from what is known of it and from what was tried on
// it, in the order in which it was.
func Build(kb *rules.Knowledge, models *Models, asm *assembly.Assembly, mem *infer.Memory, assume rules.History, tried []Tried) (*Network, error) {
	n := &Network{kb: kb, mem: mem, active: mem.Active(), models: models, known: map[string]bool{}, tried: tried, fig: FiguresOf(kb)}
	for _, k := range mem.Keys() {
		n.known[k.Fact] = true
	}
	fig := n.fig
	for _, j := range asm.Joints {
		if kb.Joint(j.Kind) == nil {
			continue // a kind that is not in the knowledge base has no block; the caller names it
		}
		h, known := historyOf(mem, j.ID)
		if !known {
			h = assume
		}
		m, err := models.Of(j.Kind, h)
		if err != nil {
			return nil, err
		}
		n.Joints = append(n.Joints, Joint{Joint: j, Model: m, History: h, Assumed: !known})
	}
	n.share(assume)
	weights := n.weights(fig)
	for i := range n.Joints {
		n.Rank.Blocks = append(n.Rank.Blocks, n.block(i, weights[i], fig))
	}
	n.Rank.WetMisread = fig.LeakLeast
	n.Rank.AtOnce = fig.SharedAtOnce
	if !n.allDry() {
		n.Rank.Known = rank.Positive
	}
	return n, nil
}

func historyOf(mem *infer.Memory, joint string) (rules.History, bool) {
	v, ok, _ := mem.Value(mem.Key(joint, HistoryFact))
	if !ok || !v.Answered() || !slices.Contains(rules.Histories(), rules.History(v.Option)) {
		return "", false
	}
	return rules.History(v.Option), true
}

func (n *Network) allDry() bool {
	for _, j := range n.Joints {
		if yesNo(n.mem, j.ID, WetFact) != rank.Negative || yesNo(n.mem, j.ID, InsideFact) == rank.Positive {
			return false
		}
	}
	return len(n.Joints) > 0
}

func yesNo(mem *infer.Memory, joint, name string) rank.State {
	v, ok, _ := mem.Value(mem.Key(joint, name))
	switch {
	case !ok || !v.Answered() || v.Type != fact.YesNo:
		return rank.Unknown
	case v.Yes:
		return rank.Positive
	}
	return rank.Negative
}

// share puts the shared causes in play that could act on at least two joints.
func (n *Network) share(assume rules.History) {
	h := assume
	if len(n.Joints) > 0 {
		h = n.Joints[0].History
	}
	for _, c := range n.kb.SharedCauses() {
		var acts []int
		for i, j := range n.Joints {
			if c.ActsOn(j.Kind) > 0 {
				acts = append(acts, i)
			}
		}
		p := ShareOf([]*rules.Cause{c}, c, h)
		if len(acts) < 2 || p <= 0 {
			continue
		}
		mean := 0.0
		for _, i := range acts {
			mean += n.context(c, n.Joints[i].ID) / float64(len(acts))
			n.Joints[i].shared = append(n.Joints[i].shared, len(n.Shared))
		}
		n.Shared = append(n.Shared, c)
		n.Rank.Shared = append(n.Rank.Shared, rank.Raise(p, mean))
	}
}

// weights are the priors of the switches: a joint that the last work touched counts more.
func (n *Network) weights(fig Figures) []float64 {
	raw := make([]float64, len(n.Joints))
	for i, j := range n.Joints {
		work := j.LastWork
		if v, ok, _ := n.mem.Value(n.mem.Key(j.ID, WorkFact)); ok && v.Answered() {
			work = v.Option
		}
		raw[i] = fig.SwitchDisturbed
		if work == "untouched" {
			raw[i] = fig.SwitchOther
		}
	}
	if len(raw) == 0 {
		return raw
	}
	scaled, err := rank.ScaleSwitches(raw, fig.JointsLeaking)
	if err != nil {
		return raw
	}
	return scaled
}

// block makes the block of one joint. A joint that stands alone leaks, or is wet from
// elsewhere, in the ratio of the shares: its switch then has the prior that at least one of
// its causes is present, which makes the causes independent given the context.
func (n *Network) block(i int, weight float64, fig Figures) rank.Block {
	j := n.Joints[i]
	m := j.Model
	b := rank.Block{ID: j.ID, RunDown: fig.RunsDown, Wet: yesNo(n.mem, j.ID, WetFact), Leaks: yesNo(n.mem, j.ID, ProvenFact)}
	if yesNo(n.mem, j.ID, InsideFact) == rank.Positive {
		b.Wet = rank.Positive
	}
	none := 1.0
	for k := range m.Prior {
		p := m.Prior[k]
		if k < len(m.Causes) {
			p = rank.Raise(p, n.context(m.Causes[k], j.ID))
		}
		b.Prior = append(b.Prior, p)
		none *= 1 - p
	}
	away := 1.0
	if m.Away != nil {
		away = n.context(m.Away, j.ID)
	}
	if len(n.Joints) == 1 {
		b.Weight, b.Elsewhere = 1-none, rank.Raise(m.AwayPrior, away)
		if b.Wet == rank.Unknown {
			b.Wet = rank.Positive
		}
	} else {
		b.Weight = weight
		e := weight * m.awayShare / max(m.Total-m.awayShare, 1e-9)
		if len(j.Above)+len(j.BlownFrom) > 0 {
			e *= fig.ElsewhereWithAbove
		}
		b.Elsewhere = rank.Raise(min(e, 0.95), away)
	}
	for k, o := range n.Joints {
		if k != i && (slices.Contains(j.Above, o.ID) || slices.Contains(j.BlownFrom, o.ID)) {
			b.Above = append(b.Above, k)
		}
	}
	for _, s := range j.shared {
		b.Shared = append(b.Shared, rank.SharedAct{Cause: s, Acts: n.Shared[s].ActsOn(j.Kind)})
	}
	b.Findings = append(n.evidence(i), n.retest(i)...)
	return b
}

// context is the product of all that raises or lowers a cause at a joint, kept in bounds.
func (n *Network) context(c *rules.Cause, joint string) float64 {
	product := 1.0
	env := n.mem.Env(joint)
	reads := n.models.readsOf(c)
	for i := range c.Context {
		x := &c.Context[i]
		if len(reads[i]) > 0 && !slices.ContainsFunc(reads[i], func(f string) bool { return n.known[f] }) {
			continue // nothing that it reads is known, so it is not true
		}
		if x.When.Cond.Eval(env).Truth == fact.True && !Known(env, x.Unless) {
			product *= x.Times
		}
	}
	for _, f := range n.active {
		if f.Joint != joint && f.Joint != "" {
			continue
		}
		for _, mv := range []*rules.MoveCause{f.Action.Raise, f.Action.Lower} {
			if mv != nil && Names(mv.Cause, c) && !Known(env, mv.Unless) {
				product *= mv.Times
			}
		}
	}
	return rank.ClampContext(product)
}

// Known reports whether a fact that a rough guess gives way to has an answer; no name, no answer.
func Known(env cond.Env, name string) bool {
	if name == "" {
		return false
	}
	v, ok, clash := env.Value(name)
	return ok && !clash && v.Answered()
}

// Names reports whether a reference in a rule means this cause.
func Names(ref string, c *rules.Cause) bool {
	return ref == c.Ref() || !strings.Contains(ref, "/") && ref == c.ID
}

// evidence turns all that is known at a joint into findings.
func (n *Network) evidence(i int) []rank.Finding {
	j := n.Joints[i]
	var out []rank.Finding
	for _, id := range j.Model.Facts() {
		v, ok, _ := n.mem.Value(n.mem.Key(j.ID, id))
		if !ok || !v.Answered() {
			continue
		}
		if f := n.kb.Fact(id); f != nil {
			out = append(out, n.Findings(i, f, v)...)
		}
	}
	for _, f := range n.active {
		if f.Joint != j.ID {
			continue
		}
		if f.Action.Find != nil {
			out = append(out, n.verdict(i, f.Rule.ID, f.Action.Find, true)...)
		}
		if f.Action.Exclude != nil {
			out = append(out, n.verdict(i, f.Rule.ID, f.Action.Exclude, false)...)
		}
	}
	return out
}

// verdict is what a rule finds of one cause alone.
func (n *Network) verdict(i int, rule string, c *rules.FindCause, positive bool) []rank.Finding {
	for k, cause := range n.Joints[i].Model.rows() {
		if !Names(c.Cause, cause) {
			continue
		}
		if k == len(n.Joints[i].Model.Causes) {
			k = n.Joints[i].Model.Unknown() + 1 // the elsewhere row
		}
		leak := 1 - c.Sp
		return []rank.Finding{rank.YesNo("rule:"+rule, positive, leak, []rank.Rate{{Cause: k, Q: rank.LinkQ(c.Se, leak)}})}
	}
	return nil
}

// Findings is what one answer to a fact says at one joint. The same function serves what
// was answered and what might be answered.
func (n *Network) Findings(i int, f *rules.Fact, v fact.Value) []rank.Finding {
	switch f.Answer {
	case fact.YesNo:
		return []rank.Finding{n.observed(i, f.ID, "", v.Yes)}
	case fact.Several:
		var out []rank.Finding
		for _, o := range f.Options {
			if n.Joints[i].Model.listed[obs{f.ID, o.ID}] == nil {
				continue // no cause of this kind says anything about it
			}
			switch {
			case slices.Contains(v.Is, o.ID):
				out = append(out, n.observed(i, f.ID, o.ID, true))
			case slices.Contains(v.Not, o.ID):
				out = append(out, n.observed(i, f.ID, o.ID, false))
			}
		}
		return out
	case fact.Choice:
		return n.chosen(i, f, v.Option)
	}
	return nil
}

func (n *Network) observed(i int, factID, option string, positive bool) rank.Finding {
	m := n.Joints[i].Model
	r := m.YesNo(factID, option)
	links := make([]rank.Rate, 0, len(r.Rate)+len(n.Joints[i].shared))
	for k, x := range r.Rate {
		links = append(links, rank.Rate{Cause: k, Q: rank.LinkQ(x, r.Leak)})
	}
	for k, s := range n.Joints[i].shared {
		x, ok := m.sharedRate(n.Shared[s], obs{factID, option})
		if !ok {
			x = r.Base
		}
		links = append(links, rank.Rate{Cause: len(m.Causes) + 2 + k, Q: rank.LinkQ(x, r.Leak)})
	}
	id := factID
	if option != "" {
		id += "=" + option
	}
	return rank.YesNo(id, positive, r.Leak, links)
}

func (n *Network) chosen(i int, f *rules.Fact, option string) []rank.Finding {
	m := n.Joints[i].Model
	options, dist, ok := m.Graded(f)
	seen := slices.Index(options, option)
	if !ok || seen < 0 {
		return nil
	}
	var links []rank.Grades
	for k, d := range dist {
		links = append(links, rank.Grades{Cause: k, P: d})
	}
	for k, s := range n.Joints[i].shared {
		links = append(links, rank.Grades{Cause: len(m.Causes) + 2 + k, P: m.sharedGrades(n.Shared[s], f, options)})
	}
	leak := make([]float64, len(options))
	for k := range leak {
		leak[k] = m.fig.LeakLeast * dist[m.Unknown()][k]
	}
	got, err := rank.Graded(f.ID, seen, links, leak)
	if err != nil {
		return nil
	}
	return []rank.Finding{got}
}

// Refs lists the findings of the network that one answer made.
func (n *Network) Refs(k fact.Key) []rank.FindingRef {
	var out []rank.FindingRef
	for b, j := range n.Joints {
		if n.mem.Key(j.ID, k.Fact) != k {
			continue
		}
		switch k.Fact {
		case WetFact:
			out = append(out, rank.FindingRef{Block: b, Finding: rank.WetRef})
		case ProvenFact:
			out = append(out, rank.FindingRef{Block: b, Finding: rank.LeaksRef})
		}
		for i, f := range n.Rank.Blocks[b].Findings {
			if name, _, _ := strings.Cut(f.ID, "="); name == k.Fact {
				out = append(out, rank.FindingRef{Block: b, Finding: i})
			}
		}
	}
	return out
}
