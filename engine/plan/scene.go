package plan

import (
	"cmp"
	"encoding/binary"
	"math"
	"math/rand/v2"
	"slices"

	"seepwright/engine/abreast"
	"seepwright/engine/plan/optimum"
	"seepwright/engine/rank"
)

// scene is what may be wrong, as sets of causes with their chances: the picture of the
// posterior that planning works on.
//
// At one joint the sets are weighed exactly: all single causes and pairs, and sets of three and
// four of the likeliest; the likeliest sets are kept, and some of every cause, and weighed
// again so that each cause has its exact chance. Joints, and shared causes, are taken as
// independent given that at least one of them is at fault, with the exact chance of each; where
// several can be at fault at once, some such cases are drawn, the same ones every time.
type scene struct {
	layout
	item   []int // of each fault of the model
	sets   []optimum.Possibility
	local  [][]local   // by joint: the situations there are
	at     [][]int     // by joint and possibility: which of them it is
	mass   [][]float64 // by joint and situation: chance of all possibilities with it
	each   []int       // 0, 1, 2 ...: every possibility a situation of its own
	chance []float64   // of each possibility
	total  float64     // sum of all chances
	drawn  bool
}

// local is the situation at one joint in some possibilities.
type local struct {
	vars []int   // what is present, as a finding counts it, shared causes not among them
	acts []int   // and with the shared causes that act here
	leak float64 // chance that it leaks of itself
	down float64 // chance that liquid runs down to it
}

// How many of the likeliest causes of a joint are combined, by the size of the set; the last
// of a set may be any cause. How many sets are kept and drawn in all.
var combined = [...]int{2: 99, 3: 6, 4: 5}

// ofEach is how many sets of every cause are kept at a joint that stands alone; of several
// joints one at those that are likely at fault.
const ofEach = 3

const (
	mostSets  = 300
	mostDraws = 240
	// Between two questions fewer do.
	briefSets  = 150
	briefDraws = 60
)

// part is a set of causes at one group, numbered as findings number them.
type part struct {
	vars   []int
	weight float64
}

// scene makes the picture. Of a unit of several joints those that are hardly at fault beside the
// others are left out, and all where together they hardly are: then there are no sets. What shared causes do shows at joints.
func (p *Problem) scene(b *bench) scene {
	s := scene{layout: b.layout}
	sets, draws := mostSets, mostDraws
	if p.Person.Brief {
		sets, draws = briefSets, briefDraws
	}
	fault := make([]float64, b.groups())
	sum, most := 0.0, 0.0
	for g := range fault {
		fault[g] = b.fault(p.Post.Marginals, b.wet, g)
		most = max(most, fault[g])
		if g < b.n {
			sum += fault[g]
		}
	}
	for g := range fault {
		if sum < hardly || b.groups() > 1 && fault[g] < min(hardly/2, most/10) {
			fault[g] = 0
		}
	}
	rho := scaled(fault)
	pass := 1.0
	sum = 0
	var groups []int
	for g, r := range rho {
		if r > 0 {
			groups = append(groups, g)
			pass *= 1 - r
			sum += fault[g]
		}
	}
	at := make([]int, b.items())
	for i := range at {
		at[i] = -1
	}
	parts := make([][]part, b.groups())
	abreast.Each(len(groups), func(k int) {
		g := groups[k]
		if g >= b.n {
			parts[g] = []part{{nil, 1}}
			return
		}
		each := ofEach
		switch {
		case len(groups) == 1:
		case fault[g] > 0.2:
			each = 1
		default:
			each = 0
		}
		parts[g] = p.parts(g, fault[g], max(8, int(float64(sets)*fault[g]/sum)), each)
	})
	for _, g := range groups {
		for i := b.start[g]; i < b.start[g+1]; i++ {
			at[i] = len(s.item)
			s.item = append(s.item, i)
		}
	}
	var vars [][][]int // by possibility and joint
	put := func(chosen map[int]part, chance float64) {
		v := make([][]int, b.n)
		var faults []int
		for _, g := range groups {
			q, ok := chosen[g]
			if !ok {
				continue
			}
			if g >= b.n {
				faults = append(faults, at[b.start[g]])
				continue
			}
			v[g] = q.vars
			for _, x := range q.vars {
				faults = append(faults, at[b.start[g]+x])
			}
		}
		s.sets, vars = append(s.sets, optimum.Possibility{Faults: faults, Chance: chance}), append(vars, v)
		s.total += chance
	}
	left := 1 - pass
	for _, g := range groups {
		one := pass * rho[g] / (1 - rho[g])
		left -= one
		for _, q := range parts[g] {
			put(map[int]part{g: q}, one*q.weight)
		}
	}
	if len(groups) > 1 && left > 0.01*(1-pass) {
		s.drawn = true
		drawn := p.draws(draws, groups, rho, parts)
		for _, c := range drawn {
			put(c, left/float64(len(drawn)))
		}
	}
	for e, set := range s.sets {
		s.each, s.chance = append(s.each, e), append(s.chance, set.Chance)
	}
	s.local, s.at, s.mass = make([][]local, b.n), make([][]int, b.n), make([][]float64, b.n)
	for j := range b.n {
		p.locals(&s, vars, j)
	}
	return s
}

// locals tells the situations at one joint apart, so that an answer is weighed once for each.
func (p *Problem) locals(s *scene, vars [][][]int, j int) {
	blk := &p.Net.Rank.Blocks[j]
	away := len(blk.Prior)
	number := map[string]int{}
	s.at[j] = make([]int, len(vars))
	var key []byte
	for e := range vars {
		here := vars[e][j]
		up, acting := 0, 0
		for _, o := range blk.Above {
			if len(vars[e][o]) > 0 {
				up++
			}
		}
		for k, sh := range blk.Shared {
			if s.has(e, s.n+sh.Cause) {
				acting |= 1 << k
			}
		}
		key = key[:0]
		for _, x := range append([]int{up, acting}, here...) {
			key = binary.AppendVarint(key, int64(x))
		}
		n, ok := number[string(key)]
		if !ok {
			l := local{vars: here, acts: slices.Clone(here)}
			quiet := 1.0
			for k, sh := range blk.Shared {
				if acting>>k&1 == 1 {
					l.acts = append(l.acts, blk.ActivationIndex(k))
					quiet *= 1 - sh.Acts
				}
			}
			l.leak = 1 - quiet
			if len(here) > 0 && !(len(here) == 1 && here[0] == away) {
				l.leak = 1
			}
			for range up {
				l.down += (1 - l.down) * blk.RunDown
			}
			n = len(s.local[j])
			number[string(key)] = n
			s.local[j], s.mass[j] = append(s.local[j], l), append(s.mass[j], 0)
		}
		s.at[j][e] = n
		s.mass[j][n] += s.sets[e].Chance
	}
}

// has reports whether the cause of a group of one is present in a possibility.
func (s *scene) has(e, group int) bool {
	return slices.ContainsFunc(s.sets[e].Faults, func(f int) bool { return s.item[f] == s.start[group] })
}

// draws draws cases in which several groups are at fault.
func (p *Problem) draws(most int, groups []int, rho []float64, parts [][]part) []map[int]part {
	rng := rand.New(rand.NewPCG(1, uint64(len(groups))))
	// The chance that at least so many of the groups from here on are at fault, for drawing
	// only cases with two.
	n := len(groups)
	none, one := make([]float64, n+1), make([]float64, n+1)
	none[n] = 1
	for i := n - 1; i >= 0; i-- {
		r := rho[groups[i]]
		none[i] = (1 - r) * none[i+1]
		one[i] = (1-r)*one[i+1] + r*none[i+1]
	}
	least := func(i, k int) float64 { // chance of at least k among groups i..
		switch {
		case k <= 0:
			return 1
		case k == 1:
			return 1 - none[i]
		}
		return 1 - none[i] - one[i]
	}
	var out []map[int]part
	for range most {
		c := map[int]part{}
		for i, g := range groups {
			want := 2 - len(c)
			yes := rho[g] * least(i+1, want-1)
			all := yes + (1-rho[g])*least(i+1, want)
			if all <= 0 || rng.Float64()*all >= yes {
				continue
			}
			x := rng.Float64()
			c[g] = parts[g][len(parts[g])-1]
			for _, q := range parts[g] {
				if x -= q.weight; x < 0 {
					c[g] = q
					break
				}
			}
		}
		if len(c) > 0 {
			out = append(out, c)
		}
	}
	return out
}

// parts lists the sets of causes of a joint with their chances, given that it is at fault; the
// likeliest, about so many, and so many of every cause. fault is the chance that it is.
func (p *Problem) parts(j int, fault float64, most, each int) []part {
	blk := p.Net.Rank.Blocks[j]
	n := len(blk.Prior)
	none := 1.0
	odds := make([]float64, n+1)
	for v, q := range append(slices.Clone(blk.Prior), blk.Elsewhere) {
		q = min(q, 1-1e-9)
		odds[v] = q / (1 - q)
		if v < n {
			none *= 1 - q
		}
	}
	on := 1.0
	if blk.Weight < 1 {
		on = blk.Weight / max(1-none, 1e-12) * none / max(1-blk.Weight, 1e-12) // against off
	}
	e := newEvidence(blk.Findings, n+1)
	weight := func(vars []int) float64 {
		w, own := 1.0, false
		for _, v := range vars {
			w *= odds[v]
			own = own || v < n
		}
		if own {
			w *= on
		}
		return w * e.chance(vars)
	}
	out := make([]part, 0, (n+1)*(n+2)/2)
	block := make([]int, 0, 2*cap(out)) // where sets lie that are kept
	add := func(vars ...int) float64 {
		w := weight(vars)
		if w > 0 {
			from := len(block)
			block = append(block, vars...)
			out = append(out, part{block[from:len(block):len(block)], w})
		}
		return w
	}
	alone := make([]float64, n+1)
	order := make([]int, n+1)
	for v := range alone {
		alone[v], order[v] = add(v), v
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(alone[b], alone[a]) })
	var grow func(vars []int, from, size int)
	grow = func(vars []int, from, size int) {
		if len(vars) == size {
			add(vars...)
			return
		}
		to := min(combined[size], len(order))
		if len(vars) == size-1 && size < 4 {
			to = len(order)
		}
		for i := from; i < to; i++ {
			grow(append(vars, order[i]), i+1, size)
		}
	}
	for size := 2; size < len(combined) && (size == 2 || most > 30); size++ {
		grow(make([]int, 0, size), 0, size)
	}
	likely := make([]int32, len(out))
	for i := range likely {
		likely[i] = int32(i)
	}
	slices.SortFunc(likely, func(a, b int32) int {
		return cmp.Or(cmp.Compare(out[b].weight, out[a].weight), cmp.Compare(a, b))
	})
	kept, of := out[:0:0], make([]int, n+1)
	for i, at := range likely {
		q := out[at]
		if i < most || slices.ContainsFunc(q.vars, func(v int) bool { return of[v] < each }) {
			kept = append(kept, q)
			for _, v := range q.vars {
				of[v]++
			}
		}
	}
	out = kept
	total := 0.0
	for _, q := range out {
		total += q.weight
	}
	if total <= 0 {
		return []part{{[]int{n - 1}, 1}} // nothing fits: what is not in the knowledge base
	}
	for i := range out {
		out[i].weight /= total
	}
	want := make([]float64, n+1)
	for v := range want {
		x := p.Post.Elsewhere[j]
		if v < n {
			x = p.Post.Cause[j][v]
		}
		want[v] = min(x/fault, 1)
	}
	if len(p.Net.Joints) == 1 {
		out = p.larger(j, out, want)
	}
	fit(out, want)
	return out
}

// larger adds sets that were left out where one joint stands alone: what they weigh together is
// known from the exact chance of one cause alone, and some are drawn by the chances of the causes.
func (p *Problem) larger(j int, listed []part, want []float64) []part {
	one := slices.IndexFunc(listed, func(q part) bool { return len(q.vars) == 1 })
	if one < 0 {
		return listed
	}
	exact, err := p.Solver.DryIf([]rank.CauseRef{{Block: j, Cause: listed[one].vars[0]}})
	if err != nil || exact <= 0 {
		return listed
	}
	scale := exact / listed[one].weight // of all that is listed to one
	if scale > 1-1e-3 {
		return listed
	}
	known := map[string]bool{}
	key := func(vars []int) string {
		vars = slices.Sorted(slices.Values(vars))
		var b []byte
		for _, v := range vars {
			b = binary.AppendVarint(b, int64(v))
		}
		return string(b)
	}
	for i := range listed {
		listed[i].weight *= scale
		known[key(listed[i].vars)] = true
	}
	rng := rand.New(rand.NewPCG(2, uint64(len(want))))
	var drawn []part
	for range 8 * len(listed) {
		var vars []int
		for v, q := range want {
			if rng.Float64() < q {
				vars = append(vars, v)
			}
		}
		if k := key(vars); len(vars) > 2 && !known[k] {
			known[k] = true
			drawn = append(drawn, part{vars: vars})
		}
		if len(drawn) == len(listed)/3 {
			break
		}
	}
	for i := range drawn {
		drawn[i].weight = (1 - scale) / float64(len(drawn))
	}
	if len(drawn) == 0 {
		for i := range listed {
			listed[i].weight /= scale
		}
	}
	return append(listed, drawn...)
}

// fit weighs sets again so that every cause has the chance that it should have, as far as the
// sets allow (iterative proportional fitting).
func fit(parts []part, want []float64) {
	for range 12 {
		have := make([]float64, len(want))
		for _, q := range parts {
			for _, v := range q.vars {
				have[v] += q.weight
			}
		}
		for v, h := range have {
			if h < 1e-9 || h > 1-1e-9 || want[v] > 1-1e-9 {
				continue
			}
			with, without := want[v]/h, (1-want[v])/(1-h)
			if math.Abs(with-1) < 1e-3 {
				continue
			}
			for i := range parts {
				q, by := &parts[i], without
				if slices.Contains(q.vars, v) {
					by = with
				}
				was := q.weight
				q.weight *= by
				for _, o := range q.vars {
					have[o] += q.weight - was
				}
			}
		}
	}
}

// evidence is findings at one joint, ready to be weighed for many sets.
type evidence struct {
	sure []float64   // by finding: its largest chance with one thing present, for scale
	base []float64   // factor
	leak []float64   // chance that nothing explains it, -1 for a negative one
	miss [][]float64 // by finding and what is present: chance that it does not explain it
	caps [][]float64
}

func newEvidence(findings []rank.Finding, n int) *evidence {
	e := readEvidence(findings, n, func(n int) []float64 { return make([]float64, n) })
	e.sure = make([]float64, len(e.base))
	for i := range e.sure {
		for v := range n {
			e.sure[i] = max(e.sure[i], e.one(i, []int{v}))
		}
		if e.sure[i] <= 0 {
			e.sure[i] = 1
		}
	}
	return e
}

// readEvidence is newEvidence without the scale, on rows of the given memory.
func readEvidence(findings []rank.Finding, n int, row func(n int) []float64) *evidence {
	e := &evidence{}
	for _, f := range findings {
		if f.State == rank.Unknown {
			continue
		}
		miss, caps := row(n), row(n)
		for v := range miss {
			miss[v], caps[v] = 1, 1
		}
		for _, l := range f.Links {
			if l.Cause < n {
				miss[l.Cause], caps[l.Cause] = 1-l.Q, l.Cap
			}
		}
		leak := -1.0
		if f.State == rank.Positive {
			leak = 1 - f.Leak
		}
		e.base, e.leak, e.miss, e.caps = append(e.base, f.Base), append(e.leak, leak), append(e.miss, miss), append(e.caps, caps)
	}
	return e
}

// one is the chance of one finding with these present.
func (e *evidence) one(i int, vars []int) float64 {
	p, miss := e.base[i], e.leak[i]
	for _, v := range vars {
		p *= e.caps[i][v]
		miss *= e.miss[i][v]
	}
	if e.leak[i] < 0 {
		return p
	}
	return p * (1 - miss)
}

// chance is the chance of all findings with these present, up to a constant.
func (e *evidence) chance(vars []int) float64 {
	w := 1.0
	for i := range e.base {
		w *= e.one(i, vars) / e.sure[i]
	}
	return w
}

// scaled finds chances that have the given ones as marginals once at least one of the things
// is known to be there: r s with s = 1 - product(1 - r s). Where they add up to 1 or less it
// is a single one, the limit of small s.
func scaled(q []float64) []float64 {
	const small = 1e-6
	sum := 0.0
	for _, x := range q {
		sum += x
	}
	lo, hi := small, 1.0
	if sum <= 1+1e-6 {
		hi = small
	}
	for range 40 {
		s := (lo + hi) / 2
		none := 1.0
		for _, x := range q {
			none *= 1 - x*s
		}
		if 1-none > s {
			lo = s
		} else {
			hi = s
		}
	}
	out := make([]float64, len(q))
	for i, x := range q {
		out[i] = min(x*(lo+hi)/2, 1-1e-9)
	}
	return out
}
