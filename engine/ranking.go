package engine

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"seepwright/engine/network"
	"seepwright/engine/rank"
	"seepwright/rules"
	"seepwright/rules/fact"
)

// UnknownCause is the id of "not in this knowledge base", ElsewhereFamily the family of the
// rows that say the liquid comes from another place.
const (
	UnknownCause    = "not-in-this-knowledge-base"
	UnknownFamily   = "not_in_knowledge_base"
	ElsewhereFamily = "elsewhere"
)

// slot is one cause of the network and where its numbers stand in the marginals.
type slot struct {
	block, cause int // block -1: shared
	away         bool
	ranked       Ranked
	doc          *rules.Cause
}

func (x slot) of(m rank.Marginals) float64 {
	switch {
	case x.block < 0:
		return m.Shared[x.cause]
	case x.away:
		return m.Arrives[x.block]
	}
	return m.Cause[x.block][x.cause]
}

// slots lists every cause of every joint in play.
func slots(n *network.Network) []slot {
	var out []slot
	for b, j := range n.Joints {
		m := j.Model
		prior := m.GivenLeak()
		weight := 1.0
		if len(n.Joints) > 1 {
			weight = n.Rank.Blocks[b].Weight
		}
		for i, c := range m.Causes {
			out = append(out, slot{block: b, cause: i, doc: c, ranked: Ranked{Joint: j.ID, Kind: j.Kind, Cause: c.ID, Family: c.Family, Title: c.Title, Means: c.Means, Prior: weight * prior[i]}})
		}
		out = append(out, slot{block: b, cause: m.Unknown(), ranked: Ranked{Joint: j.ID, Kind: j.Kind, Cause: UnknownCause, Family: UnknownFamily,
			Title: "Something that is not in this knowledge base", Prior: weight * prior[m.Unknown()]}})
		away := Ranked{Joint: j.ID, Kind: j.Kind, Cause: "from-elsewhere", Family: ElsewhereFamily, Title: "The liquid comes from another place", Prior: weight * prior[m.Unknown()+1]}
		if m.Away != nil {
			away.Cause, away.Title, away.Means = m.Away.ID, m.Away.Title, m.Away.Means
		}
		out = append(out, slot{block: b, away: true, doc: m.Away, ranked: away})
	}
	for i, c := range n.Shared {
		out = append(out, slot{block: -1, cause: i, doc: c, ranked: Ranked{Cause: c.ID, Family: c.Family, Title: c.Title, Means: c.Means, Shared: true, Prior: n.Rank.Shared[i]}})
	}
	return out
}

// rank fills joints and ranking.
func (s *Session) rank(r *Result, n *network.Network, sv *rank.Solver, post rank.AssemblyPosterior, brief bool) error {
	r.Exact = post.Exact
	for b, j := range n.Joints {
		wet := map[rank.State]string{rank.Positive: "yes", rank.Negative: "no", rank.Unknown: "not known"}[wetState(s, j.ID)]
		r.Joints = append(r.Joints, JointOdds{Joint: j.ID, Title: label(j.Joint), Kind: j.Kind, Probability: tidy(post.JointLeaks[b]), Wet: wet, History: string(j.History)})
	}
	list := slots(n)
	moved := make([][]Because, len(list))
	if !brief {
		var err error
		if moved, err = s.moved(n, sv, post, list); err != nil {
			return err
		}
	}
	for i := range list {
		x := &list[i]
		x.ranked.Probability = tidy(x.of(post.Marginals))
		x.ranked.Because = append([]Because{}, moved[i]...)
		x.ranked.SplitBy = []string{}
		if !post.Exact {
			r.Bounds = append(r.Bounds, Bound{x.ranked.Joint, x.ranked.Cause, tidy(x.of(*post.Low)), tidy(x.of(*post.High))})
		}
	}
	order := make([]int, len(list)) // a slot is large to move
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(i, k int) int {
		a, b := &list[i].ranked, &list[k].ranked
		return cmp.Or(cmp.Compare(b.Probability, a.Probability), strings.Compare(a.Joint, b.Joint), strings.Compare(a.Cause, b.Cause), i-k)
	})
	sorted := make([]slot, len(list))
	for place, i := range order {
		sorted[place] = list[i]
	}
	list = sorted
	r.Ranking = make([]Ranked, 0, len(list))
	for i, x := range list {
		if x.doc != nil {
			x.ranked.SplitBy = s.splitters(x, list[:min(len(list), 8)], i)
		}
		r.Ranking = append(r.Ranking, x.ranked)
	}
	if len(list) > 0 {
		r.History = string(s.assume)
		for _, j := range n.Joints {
			if j.ID == list[0].ranked.Joint {
				r.History = string(j.History)
			}
		}
	}
	return nil
}

func wetState(s *Session, joint string) rank.State {
	v, ok, _ := s.mem.Value(s.mem.Key(joint, network.WetFact))
	switch {
	case !ok || !v.Answered():
		return rank.Unknown
	case v.Yes:
		return rank.Positive
	}
	return rank.Negative
}

// tidy keeps rounding of the last bits from showing a probability outside 0..1.
func tidy(p float64) float64 { return math.Min(1, math.Max(0, p)) }

// splitters lists the checks or facts that tell a cause from the look-alikes near it, and
// then the check that decides it.
func (s *Session) splitters(x slot, top []slot, self int) []string {
	out := []string{}
	for i, o := range top {
		if i == self || o.doc == nil {
			continue
		}
		for _, a := range x.doc.Alikes {
			if a.Cause == o.doc.ID && o.doc.For == x.doc.For {
				out = append(out, a.SplitBy)
			}
		}
		for _, a := range o.doc.Alikes {
			if a.Cause == x.doc.ID && o.doc.For == x.doc.For {
				out = append(out, a.SplitBy)
			}
		}
	}
	for _, f := range x.doc.FoundBy {
		out = append(out, f.Check)
	}
	for _, a := range x.doc.Alikes {
		out = append(out, a.SplitBy)
	}
	return nonNil(uniq(out))
}

// moved gives, per slot, the three answers that moved it most. An answer that is only seen
// as a sign is taken back inside the solved network; one that also feeds rules or priors is
// withdrawn from the memory, so that all concluded from it goes too.
func (s *Session) moved(n *network.Network, sv *rank.Solver, post rank.AssemblyPosterior, list []slot) ([][]Because, error) {
	out := make([][]Because, len(list))
	for i := range out {
		out[i] = []Because{}
	}
	put := func(k fact.Key, says func(slot) string, factor func(slot) float64) {
		for i, x := range list {
			if g := factor(x); math.Abs(math.Log(g)) > 0.02 {
				out[i] = append(out[i], Because{Finding: k.String(), Says: says(x), Factor: g})
			}
		}
	}
	var plain []fact.Key
	var groups [][]rank.FindingRef
	words := map[fact.Key]func(slot) string{}
	for _, k := range s.mem.Answers() {
		f := s.kb.Fact(k.Fact)
		v, ok, _ := s.mem.Value(k)
		if f == nil || !ok || !v.Answered() || !s.moves[k.Fact] {
			continue
		}
		says := wording(n, post, k, f, v)
		if s.feeds[k.Fact] {
			if p, ok := s.without(k, n, sv); ok {
				put(k, says, func(x slot) float64 { return ratio(x.of(post.Marginals), p[slotKey(x)]) })
			}
			continue
		}
		if refs := n.Refs(k); len(refs) > 0 {
			plain, groups = append(plain, k), append(groups, refs)
			words[k] = says
		}
	}
	for _, j := range n.Joints {
		if refs := n.RetestRefs(j.ID); len(refs) > 0 {
			k := fact.Key{Joint: j.ID, Fact: network.RetestFinding}
			says := s.sayRetest(j.ID)
			plain, groups, words[k] = append(plain, k), append(groups, refs), func(slot) string { return says }
		}
	}
	factors, err := sv.Factors(groups)
	if err != nil {
		return nil, err
	}
	for g, k := range plain {
		put(k, words[k], func(x slot) float64 { return x.of(factors[g].Marginals) })
	}
	for i := range out {
		slices.SortStableFunc(out[i], func(a, b Because) int {
			return cmp.Or(cmp.Compare(math.Abs(math.Log(b.Factor)), math.Abs(math.Log(a.Factor))), cmp.Compare(a.Finding, b.Finding))
		})
		out[i] = out[i][:min(3, len(out[i]))]
	}
	return out, nil
}

// wording puts an answer in words for each cause. Of an answer that ticks several options
// only the two are named that bear most on that cause, by how much likelier each is with that
// cause alone than with all.
func wording(n *network.Network, post rank.AssemblyPosterior, k fact.Key, f *rules.Fact, v fact.Value) func(slot) string {
	whole := sayFinding(f, v)
	if v.Type != fact.Several {
		return func(slot) string { return whole }
	}
	type ticked struct {
		block int
		word  string
		bears []float64 // per cause of the joint: logarithm
	}
	var list []ticked
	for _, ref := range n.Refs(k) {
		if ref.Finding < 0 {
			continue
		}
		g := n.Rank.Blocks[ref.Block].Findings[ref.Finding]
		_, option, _ := strings.Cut(g.ID, "=")
		t := ticked{block: ref.Block, word: optionTitle(f, option), bears: g.Alone(len(n.Rank.Blocks[ref.Block].Prior) + 1)}
		if slices.Contains(v.Not, option) {
			t.word = "not " + t.word
		}
		mean, sum := 0.0, 1e-12
		for i, p := range post.Cause[ref.Block] {
			mean += p * t.bears[i]
			sum += p
		}
		for i, x := range t.bears {
			t.bears[i] = math.Abs(math.Log(max(x, 1e-9) / max(mean/sum, 1e-9)))
		}
		list = append(list, t)
	}
	return func(x slot) string {
		weight := func(t ticked) float64 {
			switch {
			case t.block != x.block:
				return 0
			case x.away:
				return t.bears[len(t.bears)-1]
			}
			return t.bears[x.cause]
		}
		order := slices.Clone(list)
		slices.SortStableFunc(order, func(a, b ticked) int { return cmp.Compare(weight(b), weight(a)) })
		var parts []string
		for _, t := range order[:min(2, len(order))] {
			if weight(t) >= 0.1 {
				parts = append(parts, t.word)
			}
		}
		if len(parts) == 0 {
			return whole
		}
		return strings.TrimSuffix(title(f), "?") + ": " + strings.Join(parts, ", ")
	}
}

func slotKey(x slot) string { return x.ranked.Joint + "/" + x.ranked.Cause }

// ratio of two odds, kept inside what a sentence can say.
func ratio(p, q float64) float64 {
	const tiny = 1e-9
	p, q = math.Min(1-tiny, math.Max(tiny, p)), math.Min(1-tiny, math.Max(tiny, q))
	return p / (1 - p) / (q / (1 - q))
}

// without solves the network with one answer taken back and gives the probabilities then.
func (s *Session) without(k fact.Key, now *network.Network, sv *rank.Solver) (map[string]float64, bool) {
	var given fact.Value
	for _, sup := range s.mem.Supports(k) {
		if sup.Rule == "" {
			given = sup.Value
		}
	}
	s.mem.Withdraw(k)
	defer s.retell(k, given)
	n, err := network.Build(s.kb, s.models, s.asm, s.mem, s.assume, s.tried)
	if err != nil || n.Rank.Same(&now.Rank) {
		return nil, false // it changes nothing
	}
	post, err := sv.Alternative(n.Rank)
	if err != nil {
		return nil, false
	}
	out := map[string]float64{}
	for _, x := range slots(n) {
		out[slotKey(x)] = x.of(post.Marginals)
	}
	return out, true
}

// ties groups the causes that stand within the tie factor of the leader.
func (s *Session) ties(r *Result) []Tie {
	out := []Tie{}
	factor := 1.5
	if x, ok := s.kb.Estimate("tie-factor"); ok {
		factor = x
	}
	if len(r.Ranking) < 2 {
		return out
	}
	lead := r.Ranking[0]
	t := Tie{Causes: []string{lead.Joint + "/" + lead.Cause}}
	for _, x := range r.Ranking[1:] {
		if x.Probability*factor < lead.Probability || len(t.Causes) == 5 {
			break
		}
		t.Causes = append(t.Causes, x.Joint+"/"+x.Cause)
		if t.SplitBy == "" {
			t.SplitBy, t.Says = s.split(lead, x)
		}
	}
	if len(t.Causes) < 2 {
		return out
	}
	if t.SplitBy == "" && r.Next != nil {
		t.SplitBy, t.Says = cmp.Or(r.Next.Check, r.Next.Fact), r.Next.Title
	}
	return append(out, t)
}

// split is the check that the knowledge base names for a pair of look-alikes.
func (s *Session) split(a, b Ranked) (string, string) {
	if a.Kind != b.Kind || a.Joint != b.Joint {
		return "", ""
	}
	for _, p := range []struct{ x, y Ranked }{{a, b}, {b, a}} {
		if c := s.kb.Cause(p.x.Kind + "/" + p.x.Cause); c != nil {
			for _, al := range c.Alikes {
				if al.Cause == p.y.Cause {
					return al.SplitBy, al.Says
				}
			}
		}
	}
	if j := s.kb.Joint(a.Kind); j != nil {
		for _, l := range j.LookAlikes {
			if slices.Contains(l.Causes, a.Cause) && slices.Contains(l.Causes, b.Cause) {
				return l.SplitBy, l.Says
			}
		}
	}
	return "", ""
}
