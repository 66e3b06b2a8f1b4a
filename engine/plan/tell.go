package plan

import (
	"math"
	"slices"

	"seepwright/engine/rank"
)

// tell is what one probe can tell: by answer and possibility the chance of the answer. The
// chances of all answers add up to 1; what is none of the answers that can be given is one more.
func (p *Problem) tell(s *scene, pr probe) [][]float64 {
	var out [][]float64
	for _, v := range pr.context {
		row := s.row()
		norm := 0.0
		for e, set := range s.sets {
			row[e] = 1
			for _, f := range set.Faults {
				if t, ok := v.times[s.item[f]]; ok {
					row[e] *= t
				}
			}
			norm += set.Chance * row[e]
		}
		for e := range row {
			row[e] *= v.p * s.total / max(norm, 1e-12)
		}
		out = append(out, row)
	}
	if len(out) > 0 { // an answer cannot be surer than sure
		for e := range s.sets {
			sum := 0.0
			for a := range out {
				sum += out[a][e]
			}
			for a := range out {
				out[a][e] /= max(sum, 1e-12)
			}
		}
		return out
	}
	for _, changes := range pr.answers {
		row := s.row()
		for e := range row {
			row[e] = 1
		}
		for _, ch := range changes {
			p.change(s, ch, row)
		}
		out = append(out, row)
	}
	rest, some := s.row(), false
	for e := range rest {
		sum := 0.0
		for a := range out {
			sum += out[a][e]
		}
		if sum > 1 {
			for a := range out {
				out[a][e] /= sum
			}
		}
		rest[e] = max(0, 1-sum)
		some = some || rest[e] > 1e-9
	}
	if some {
		out = append(out, rest)
	}
	return out
}

// change multiplies the chances of what one answer says at one joint into a row.
func (p *Problem) change(s *scene, ch rank.Change, row []float64) {
	blk := &p.Net.Rank.Blocks[ch.Block]
	n := len(blk.Prior) + 1
	wide := n + len(blk.Shared)
	e := newEvidence(ch.Add, wide)
	for k, sh := range blk.Shared { // a shared cause acts here with this chance only
		v := blk.ActivationIndex(k)
		for i := range e.base {
			e.miss[i][v] = 1 - sh.Acts*(1-e.miss[i][v])
			e.caps[i][v] = 1 - sh.Acts*(1-e.caps[i][v])
		}
	}
	misread := p.Net.Rank.WetMisread
	chance := make([]float64, len(s.local[ch.Block]))
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
	for x, k := range s.at[ch.Block] {
		row[x] *= chance[k]
	}
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

// moved is how far the answers move the chances of the possibilities: the mean over the
// answers of half the sum of all differences.
func (s *scene) moved(table [][]float64) float64 {
	total := 0.0
	for _, row := range table {
		q, d := 0.0, 0.0
		for e, set := range s.sets {
			q += set.Chance * row[e]
		}
		for e, set := range s.sets {
			d += math.Abs(set.Chance * (row[e] - q/s.total))
		}
		total += d / 2
	}
	return total / s.total
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

// table is what a look can tell, by its two most telling facts: each answer of the one with
// each of the other, and last that the person cannot tell.
func (p *Problem) table(s *scene, probes []probe) [][]float64 {
	type told struct {
		rows  [][]float64
		known float64
		move  float64
	}
	var best, next told
	for _, pr := range probes {
		t := told{rows: p.tell(s, pr), known: pr.known}
		if len(t.rows) < 2 {
			continue
		}
		t.move = t.known * s.moved(t.rows)
		switch {
		case t.move > best.move:
			best, next = t, best
		case t.move > next.move:
			next = t
		}
	}
	if best.rows == nil {
		return nil
	}
	rows, known := best.rows, best.known
	if next.rows != nil && next.move > best.move/10 && len(rows)*len(next.rows) <= mostAnswers {
		rows = cross(s, rows, next.rows, min(1, next.known/max(known, 1e-9)))
	}
	if known >= 1 {
		return rows
	}
	cant := s.row()
	for _, row := range rows {
		for e := range row {
			row[e] *= known
		}
	}
	for e := range cant {
		cant[e] = 1 - known
	}
	return append(rows, cant)
}

// cross pairs two tables. The second tells something only with a chance; otherwise its answer
// is drawn blindly.
func cross(s *scene, a, b [][]float64, tells float64) [][]float64 {
	var out [][]float64
	for _, y := range b {
		q := 0.0
		for e, set := range s.sets {
			q += set.Chance * y[e]
		}
		for _, x := range a {
			row := s.row()
			for e := range row {
				row[e] = x[e] * (tells*y[e] + (1-tells)*q/s.total)
			}
			out = append(out, row)
		}
	}
	return out
}
