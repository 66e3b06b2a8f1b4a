package plan

import (
	"math"
	"slices"

	"seepwright/engine/rank"
)

// telling is what one probe can tell: by answer and situation the chance of the answer. The
// chances of all answers add up to 1; what is none of the answers that can be given is one more.
type telling struct {
	at    []int     // by possibility: its situation
	mass  []float64 // by situation: chance of all its possibilities
	rows  [][]float64
	known float64 // chance that the person can answer
	move  float64 // how far the answers move the chances, times that
}

// slate is memory for rows that is wiped and used again.
type slate struct {
	free []float64
	all  []float64
}

// row is a new row of n noughts.
func (m *slate) row(n int) []float64 {
	if len(m.free) < n {
		m.all = make([]float64, 2*len(m.all)+8*n)
		m.free = m.all
	}
	r := m.free[:n:n]
	m.free = m.free[n:]
	clear(r)
	return r
}

func (m *slate) wipe() { m.free = m.all }

// kept is a copy of what stands on a slate.
func (t telling) kept() telling {
	size := 0
	for _, row := range t.rows {
		size += len(row)
	}
	all := make([]float64, 0, size)
	rows := make([][]float64, len(t.rows))
	for a, row := range t.rows {
		all = append(all, row...)
		rows[a] = all[len(all)-len(row):]
	}
	t.rows = rows
	return t
}

// tell works out what a probe can tell, with its rows on a slate. An answer about one joint is
// weighed once for each situation there.
func (p *Problem) tell(s *scene, pr probe, m *slate) telling {
	t := telling{at: s.each, mass: s.chance, known: pr.known}
	if j, one := pr.joint(); one {
		t.at, t.mass = s.at[j], s.mass[j]
	}
	for _, v := range pr.context {
		row, times := m.row(len(t.mass)), m.row(len(s.item))
		for f, item := range s.item {
			times[f] = 1
			if by, ok := v.times[item]; ok {
				times[f] = by
			}
		}
		norm := 0.0
		for e, set := range s.sets {
			row[e] = 1
			for _, f := range set.Faults {
				row[e] *= times[f]
			}
			norm += set.Chance * row[e]
		}
		for e := range row {
			row[e] *= v.p * s.total / max(norm, 1e-12)
		}
		t.rows = append(t.rows, row)
	}
	for _, changes := range pr.answers {
		row := m.row(len(t.mass))
		for e := range row {
			row[e] = 1
		}
		for _, ch := range changes {
			chance := p.change(s, ch, m)
			if len(t.mass) == len(chance) && &t.mass[0] == &s.mass[ch.Block][0] {
				for k, q := range chance {
					row[k] *= q
				}
				continue
			}
			for e, k := range s.at[ch.Block] {
				row[e] *= chance[k]
			}
		}
		t.rows = append(t.rows, row)
	}
	rest, some := m.row(len(t.mass)), false
	for e := range rest {
		sum := 0.0
		for a := range t.rows {
			sum += t.rows[a][e]
		}
		if sum > 1 || len(pr.context) > 0 { // an answer cannot be surer than sure
			for a := range t.rows {
				t.rows[a][e] /= max(sum, 1e-12)
			}
			continue
		}
		rest[e] = max(0, 1-sum)
		some = some || rest[e] > 1e-9
	}
	if some {
		t.rows = append(t.rows, rest)
	}
	t.move = t.known * t.moved()
	return t
}

// joint is the only joint that a sign speaks of.
func (pr probe) joint() (int, bool) {
	at := -1
	for _, changes := range pr.answers {
		for _, ch := range changes {
			if at >= 0 && ch.Block != at {
				return 0, false
			}
			at = ch.Block
		}
	}
	return at, at >= 0 && len(pr.context) == 0
}

// moved is the mean over the answers of half the sum of all differences in the chances of the
// situations.
func (t *telling) moved() float64 {
	total, all := 0.0, 0.0
	for _, m := range t.mass {
		all += m
	}
	for _, row := range t.rows {
		q, d := 0.0, 0.0
		for k, m := range t.mass {
			q += m * row[k]
		}
		for k, m := range t.mass {
			d += math.Abs(m * (row[k] - q/all))
		}
		total += d / 2
	}
	return total / all
}

// change is the chance of what one answer says at one joint, by situation there.
func (p *Problem) change(s *scene, ch rank.Change, m *slate) []float64 {
	blk := &p.Net.Rank.Blocks[ch.Block]
	n := len(blk.Prior) + 1
	wide := n + len(blk.Shared)
	e := readEvidence(ch.Add, wide, m.row)
	for k, sh := range blk.Shared { // a shared cause acts here with this chance only
		v := blk.ActivationIndex(k)
		for i := range e.base {
			e.miss[i][v] = 1 - sh.Acts*(1-e.miss[i][v])
			e.caps[i][v] = 1 - sh.Acts*(1-e.caps[i][v])
		}
	}
	misread := p.Net.Rank.WetMisread
	chance := m.row(len(s.local[ch.Block]))
	for k, l := range s.local[ch.Block] {
		q := 1.0
		if len(ch.Add) > 0 {
			q = e.joint(l.acts)
			if l.down > 0 && !slices.Contains(l.vars, n-1) {
				q = (1-l.down)*q + l.down*e.joint(append(slices.Clone(l.acts), n-1))
			}
		}
		wet := 1 - (1-l.leak)*(1-l.down)
		if len(l.vars) > 0 {
			wet = 1
		}
		wet = wet*(1-misread) + (1-wet)*misread
		chance[k] = q * side(ch.Wet, wet) * side(ch.Leaks, l.leak)
	}
	return chance
}

func side(s rank.State, p float64) float64 {
	switch s {
	case rank.Positive:
		return p
	case rank.Negative:
		return 1 - p
	}
	return 1
}

// joint is the chance of all findings with these present.
func (e *evidence) joint(vars []int) float64 {
	w := 1.0
	for i := range e.base {
		w *= e.one(i, vars)
	}
	return w
}

// shares is the chance of each item after an answer.
func (s *scene) shares(row []float64) []float64 {
	out := make([]float64, s.items())
	all := 0.0
	for e, set := range s.sets {
		w := set.Chance
		if row != nil {
			w *= row[e]
		}
		all += w
		for _, f := range set.Faults {
			out[s.item[f]] += w
		}
	}
	for i := range out {
		out[i] /= max(all, 1e-300)
	}
	return out
}

// mostAnswers is how many answers a look may have together; beyond it only its most telling
// fact counts.
const mostAnswers = 12

// tellings are the two facts of a look that tell most; the second only if it tells enough
// beside the first.
func (p *Problem) tellings(s *scene, probes []probe, m *slate) (best, next telling) {
	for _, pr := range probes {
		m.wipe()
		t := p.tell(s, pr, m)
		if len(t.rows) < 2 {
			continue
		}
		switch {
		case t.move > best.move:
			best, next = t.kept(), best
		case t.move > next.move:
			next = t.kept()
		}
	}
	if next.move <= best.move/10 || len(best.rows)*len(next.rows) > mostAnswers {
		next = telling{}
	}
	return best, next
}

// table is what a look can tell by its two most telling facts, by answer and possibility: each
// answer of the one with each of the other, and last that the person cannot tell. Where the
// second is less sure to be told than the first, its answer is drawn blindly so much of the time.
func (s *scene) table(best, next telling) [][]float64 {
	if best.rows == nil {
		return nil
	}
	var out [][]float64
	free := make([]float64, (len(best.rows)*max(len(next.rows), 1)+1)*len(s.sets))
	fresh := func() []float64 {
		r := free[:len(s.sets):len(s.sets)]
		free = free[len(s.sets):]
		return r
	}
	put := func(second []float64, q float64) {
		tells := min(1, next.known/max(best.known, 1e-9))
		for _, x := range best.rows {
			row := fresh()
			for e, k := range best.at {
				row[e] = x[k] * best.known
				if second != nil {
					row[e] *= tells*second[next.at[e]] + (1-tells)*q
				}
			}
			out = append(out, row)
		}
	}
	if next.rows == nil {
		put(nil, 0)
	}
	for _, y := range next.rows {
		q := 0.0
		for k, m := range next.mass {
			q += m * y[k]
		}
		put(y, q/s.total)
	}
	if best.known < 1 {
		cant := fresh()
		for e := range cant {
			cant[e] = 1 - best.known
		}
		out = append(out, cant)
	}
	return out
}
