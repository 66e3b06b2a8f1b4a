package rank

import (
	"math"
	"math/bits"
	"math/rand"
)

// The brute force of the tests: every combination one by one, from the words of the model. It shares no code with the sweep and
// keeps its own description of findings.

// sign is a finding as the model says it, before any folding.
type sign struct {
	state State
	leak  float64
	q     map[int]float64
	// For ordered answers: distributions by cause and of the base rate, highest first; seen is the index of the answer.
	graded bool
	dist   map[int][]float64
	base   []float64
	seen   int
}

// probability of the sign's state given which variables are true.
func (s sign) probability(on func(v int) bool) float64 {
	if s.state == Unknown {
		return 1
	}
	if s.graded {
		// All draws at most the seen answer, less all draws below it.
		most, below := 1.0, 1.0
		count := func(p []float64) {
			if p == nil {
				return
			}
			var above float64
			for _, x := range p[:s.seen] {
				above += x
			}
			most *= 1 - above
			below *= 1 - above - p[s.seen]
		}
		count(s.base)
		for v := 0; v < 64; v++ {
			if d, ok := s.dist[v]; ok && on(v) {
				count(d)
			}
		}
		return math.Max(0, most-below)
	}
	silent := 1 - s.leak
	for v := 0; v < 64; v++ {
		if q, ok := s.q[v]; ok && on(v) {
			silent *= 1 - q
		}
	}
	if s.state == Negative {
		return silent
	}
	return 1 - silent
}

func (s sign) finding() Finding {
	if s.graded {
		var links []Grades
		for v := 0; v < 64; v++ {
			if d, ok := s.dist[v]; ok {
				links = append(links, Grades{v, d})
			}
		}
		f, err := Graded("graded", s.seen, links, s.base)
		if err != nil {
			panic(err)
		}
		if s.state == Unknown {
			f.State = Unknown
		}
		return f
	}
	var links []Rate
	for v := 0; v < 64; v++ {
		if q, ok := s.q[v]; ok {
			links = append(links, Rate{v, q})
		}
	}
	f := YesNo("yesno", s.state == Positive, s.leak, links)
	if s.state == Unknown {
		f.State = Unknown
	}
	return f
}

// chance is a random probability that is sometimes exactly 0 or 1 or tiny.
func chance(r *rand.Rand) float64 {
	switch r.Intn(14) {
	case 0:
		return 0
	case 1:
		return 1
	case 2:
		return 1e-9 * r.Float64()
	}
	return r.Float64()
}

func distribution(r *rand.Rand, answers int) []float64 {
	p := make([]float64, answers)
	var sum float64
	for i := range p {
		if r.Intn(4) > 0 {
			p[i] = r.Float64()
		}
		sum += p[i]
	}
	if sum == 0 {
		p[0], sum = 1, 1
	}
	for i := range p {
		p[i] /= sum
	}
	if r.Intn(4) == 0 {
		for i := range p {
			p[i] *= 0.8 // sometimes gives none of them
		}
	}
	return p
}

func randomSign(r *rand.Rand, variables int) sign {
	s := sign{state: State(r.Intn(3)), q: map[int]float64{}, dist: map[int][]float64{}}
	if r.Intn(3) == 0 {
		s.graded, s.state = true, Positive
		answers := 2 + r.Intn(4)
		s.seen = r.Intn(answers)
		if r.Intn(2) == 0 {
			s.base = distribution(r, answers)
		}
		for v := 0; v < variables; v++ {
			if r.Intn(3) > 0 {
				s.dist[v] = distribution(r, answers)
			}
		}
		return s
	}
	s.leak = chance(r) * 0.3
	if r.Intn(20) == 0 {
		s.leak = 1
	}
	for v := 0; v < variables; v++ {
		if r.Intn(2) == 0 {
			s.q[v] = chance(r)
		}
	}
	return s
}

// bruteNetwork gives Z, the weight of each cause present, and the weight of no cause.
func bruteNetwork(prior []float64, signs []sign) (z float64, with []float64, none float64) {
	with = make([]float64, len(prior))
	for set := 0; set < 1<<len(prior); set++ {
		w := 1.0
		for i, p := range prior {
			if set>>i&1 == 1 {
				w *= p
			} else {
				w *= 1 - p
			}
		}
		for _, s := range signs {
			w *= s.probability(func(v int) bool { return set>>v&1 == 1 })
		}
		z += w
		for i := range prior {
			if set>>i&1 == 1 {
				with[i] += w
			}
		}
		if set == 0 {
			none = w
		}
	}
	return z, with, none
}

// model is an assembly together with its findings as signs, by joint.
type model struct {
	a     Assembly
	signs [][]sign
	visit func(p float64, shared int, at []situation) // called by brute for every combination, if set
}

func randomModel(r *rand.Rand) model {
	n := 1 + r.Intn(3)
	m := model{a: Assembly{WetMisread: 0.1 * r.Float64(), Known: State(r.Intn(2))}}
	if r.Intn(25) == 0 {
		m.a.Known = Negative
	}
	for range r.Intn(3) {
		m.a.Shared = append(m.a.Shared, chance(r))
	}
	if r.Intn(3) == 0 {
		m.a.AtOnce = 1
		if len(m.a.Shared) == 2 && m.a.Shared[0] == 1 && m.a.Shared[1] == 1 {
			m.a.Shared[0] = 0.5 // two that are certain cannot be one at most
		}
	}
	rank := r.Perm(n) // joints above have a lower rank
	for j := 0; j < n; j++ {
		b := Block{Weight: chance(r), Elsewhere: chance(r) * 0.5, RunDown: chance(r)}
		for range r.Intn(4) {
			b.Prior = append(b.Prior, chance(r))
		}
		for k := range m.a.Shared {
			if r.Intn(3) > 0 {
				b.Shared = append(b.Shared, SharedAct{k, chance(r)})
			}
		}
		for up := 0; up < n; up++ {
			if rank[up] < rank[j] && r.Intn(3) > 0 {
				b.Above = append(b.Above, up)
			}
		}
		var signs []sign
		for range r.Intn(5) {
			s := randomSign(r, len(b.Prior)+1+len(b.Shared))
			signs = append(signs, s)
			b.Findings = append(b.Findings, s.finding())
		}
		if r.Intn(3) == 0 {
			b.Wet = State(r.Intn(3))
		}
		if r.Intn(6) == 0 {
			b.Leaks = State(r.Intn(3))
		}
		m.a.Blocks = append(m.a.Blocks, b)
		m.signs = append(m.signs, signs)
	}
	return m
}

// situation is one combination at one joint, without the arrival.
type situation struct {
	p         float64 // given the shared causes
	leaks     bool
	elsewhere bool
	causes    int
	acts      int
	evidence  [2]float64 // by arrival
}

func (m model) situations(j, shared int) []situation {
	b := m.a.Blocks[j]
	some := 0.0 // P(at least one), summed over the sets
	prior := func(set int) float64 {
		p := 1.0
		for i, q := range b.Prior {
			if set>>i&1 == 1 {
				p *= q
			} else {
				p *= 1 - q
			}
		}
		return p
	}
	for set := 1; set < 1<<len(b.Prior); set++ {
		some += prior(set)
	}
	weight := b.Weight
	if some == 0 {
		weight = 0
	}
	var out []situation
	for set := 0; set < 1<<len(b.Prior); set++ {
		local := 1 - weight
		if set > 0 {
			local = 0
			if some > 0 {
				local = weight * prior(set) / some
			}
		}
		for acts := 0; acts < 1<<len(b.Shared); acts++ {
			p := local
			for k, s := range b.Shared {
				here := 0.0
				if shared>>s.Cause&1 == 1 {
					here = s.Acts
				}
				if acts>>k&1 == 1 {
					p *= here
				} else {
					p *= 1 - here
				}
			}
			for e := 0; e < 2; e++ {
				q := p * (1 - b.Elsewhere)
				if e == 1 {
					q = p * b.Elsewhere
				}
				if q == 0 {
					continue
				}
				s := situation{p: q, leaks: set > 0 || acts > 0, elsewhere: e == 1, causes: set, acts: acts}
				for d := range s.evidence {
					s.evidence[d] = m.evidence(j, set, acts, d, s.leaks)
				}
				out = append(out, s)
			}
		}
	}
	return out
}

func (m model) evidence(j, causes, acts, arrives int, leaks bool) float64 {
	b := m.a.Blocks[j]
	n := len(b.Prior)
	p := 1.0
	for _, s := range m.signs[j] {
		p *= s.probability(func(v int) bool {
			switch {
			case v < n:
				return causes>>v&1 == 1
			case v == n:
				return arrives == 1
			}
			return acts>>(v-n-1)&1 == 1
		})
	}
	wet := leaks || arrives == 1
	if b.Wet != Unknown {
		if wet == (b.Wet == Positive) {
			p *= 1 - m.a.WetMisread
		} else {
			p *= m.a.WetMisread
		}
	}
	if b.Leaks != Unknown && leaks != (b.Leaks == Positive) {
		p = 0
	}
	return p
}

// priorOf is the probability that exactly these of some independent things are there.
func priorOf(p []float64, set int) float64 {
	w := 1.0
	for k, x := range p {
		if set>>k&1 == 1 {
			w *= x
		} else {
			w *= 1 - x
		}
	}
	return w
}

// brute sums over everything. treated is for the probability of dry.
func (m model) brute(treated map[CauseRef]bool) (z float64, sums Marginals, dry float64) {
	n := len(m.a.Blocks)
	sums = newMarginals(&m.a)
	allowed := func(shared int) bool { return m.a.AtOnce == 0 || bits.OnesCount(uint(shared)) <= m.a.AtOnce }
	all := 0.0
	for shared := range 1 << len(m.a.Shared) {
		if allowed(shared) {
			all += priorOf(m.a.Shared, shared)
		}
	}
	for shared := 0; shared < 1<<len(m.a.Shared); shared++ {
		if !allowed(shared) {
			continue
		}
		ps := priorOf(m.a.Shared, shared) / all
		if ps == 0 {
			continue
		}
		at := make([]situation, n)
		lists := make([][]situation, n)
		for j := range lists {
			lists[j] = m.situations(j, shared)
		}
		var choose func(j int, w float64)
		choose = func(j int, w float64) {
			if w == 0 {
				return
			}
			if j < n {
				for _, s := range lists[j] {
					at[j] = s
					choose(j+1, w*s.p)
				}
				return
			}
			for arrivals := 0; arrivals < 1<<n; arrivals++ {
				p := w
				anything := arrivals != 0
				for j, b := range m.a.Blocks {
					d := arrivals >> j & 1
					arrive := 1.0
					if !at[j].elsewhere {
						stays := 1.0
						for _, up := range b.Above {
							if at[up].leaks {
								stays *= 1 - b.RunDown
							}
						}
						arrive = 1 - stays
					}
					if d == 0 {
						arrive = 1 - arrive
					}
					p *= arrive * at[j].evidence[d]
					anything = anything || at[j].leaks
				}
				if m.a.Known == Positive && !anything || m.a.Known == Negative && anything {
					p = 0
				}
				if p == 0 {
					continue
				}
				z += p
				if m.visit != nil {
					m.visit(p, shared, at)
				}
				isDry := true
				for k := range m.a.Shared {
					if shared>>k&1 == 1 {
						sums.Shared[k] += p
					}
				}
				for j, b := range m.a.Blocks {
					if at[j].leaks {
						sums.JointLeaks[j] += p
					}
					if at[j].elsewhere {
						sums.Elsewhere[j] += p
						isDry = isDry && treated[CauseRef{j, len(b.Prior)}]
					}
					if arrivals>>j&1 == 1 {
						sums.Arrives[j] += p
					}
					for i := range b.Prior {
						if at[j].causes>>i&1 == 1 {
							sums.Cause[j][i] += p
							isDry = isDry && treated[CauseRef{j, i}]
						}
					}
					for k, s := range b.Shared {
						if at[j].acts>>k&1 == 1 {
							isDry = isDry && treated[CauseRef{SharedBlock, s.Cause}]
						}
					}
				}
				if isDry {
					dry += p
				}
			}
		}
		choose(0, ps)
	}
	return z, sums, dry
}
