package plan

import (
	"cmp"
	"fmt"
	"slices"

	"seepwright/engine/rank"
)

// course is the sequence of attempts that the plan counts on, with exact chances.
type course struct {
	strokes []stroke
	minutes float64 // expected, to the end
	failure float64 // expected minutes after a failed first retest, reopening included
	extras  []extra // cures done anyway in the first attempt
}

// extra is a cure added because it costs less than its chance of another strip-down.
type extra struct {
	cure  int
	gain  float64
	spare float64 // minutes saved
}

// plot finds the attempts: the policy of worth gives the sets, exact chances weigh them.
func (p *Problem) plot(b *bench) course {
	var c course
	done := map[int]bool{}
	treated := []rank.CauseRef{}
	dry := 0.0
	for range 5 {
		st := p.nextStroke(b, done, treated, dry)
		if len(st.cures) == 0 || st.dry-dry < 0.005 || (st.dry-dry)/st.minutes < (1-dry)/(b.resort*2) {
			break
		}
		for _, i := range st.cures {
			done[i] = true
			treated = append(treated, b.cures[i].causes...)
		}
		c.strokes = append(c.strokes, st)
		dry = st.dry
	}
	left := 1.0
	for _, s := range c.strokes {
		c.minutes += left * s.minutes
		left = 1 - s.dry
	}
	c.minutes += left * b.resort
	if len(c.strokes) > 0 {
		first := c.strokes[0]
		rest := c.minutes - first.minutes
		if q := 1 - first.dry; q > 1e-6 {
			c.failure = rest / q
		}
		for _, j := range first.joints {
			c.failure += b.reach[j].off // it has to be opened again
		}
		p.addAnyway(b, &c, done)
	}
	return c
}

// nextStroke chooses the next set by marginals and gives it its exact chance. The chance
// that an opened joint is put together tight counts against opening.
func (p *Problem) nextStroke(b *bench, done map[int]bool, treated []rank.CauseRef, dry float64) stroke {
	best, bestRate := stroke{}, 0.0
	blocks := p.Net.Rank.Blocks
	mass := func(i int) float64 {
		q := 0.0
		for _, r := range b.cures[i].causes {
			q += at(p.Post.Marginals, r, blocks)
		}
		return q
	}
	for j := range p.Net.Joints {
		for _, opens := range []bool{false, true} {
			var idx []int
			for i, c := range b.cures {
				if c.block == j && !done[i] && mass(i) > 0.005 && (opens || !c.remedy.Opens) {
					idx = append(idx, i)
				}
			}
			slices.SortStableFunc(idx, func(x, y int) int {
				return cmp.Compare(mass(y)/(b.cures[y].minutes+1), mass(x)/(b.cures[x].minutes+1))
			})
			if len(idx) == 0 {
				continue
			}
			sum, set := 0.0, append([]rank.CauseRef{}, treated...)
			for n, i := range idx {
				sum += mass(i)
				set = append(set, b.cures[i].causes...)
				if n+1 < len(idx) && mass(i) < 0.02 && sum > 0.05 {
					continue
				}
				if n > 7 && n+1 < len(idx) {
					continue
				}
				d, err := p.Solver.DryIf(set)
				if err != nil {
					continue
				}
				st := stroke{cures: slices.Clone(idx[:n+1])}
				st.minutes, st.joints = p.price(b, st.cures)
				pass := 1.0
				for _, o := range st.joints {
					pass *= b.pass[o]
				}
				st.dry = dry + (d-dry)*pass
				if rate := (st.dry - dry) / st.minutes; rate > bestRate {
					best, bestRate = st, rate
				}
			}
		}
	}
	return best
}

// price is the cost of an attempt: access paid once for all joints that it opens, the cures,
// putting back and the retest.
func (p *Problem) price(b *bench, cures []int) (float64, []int) {
	total, joints := 10.0, []int{}
	paid := map[string]bool{}
	for _, i := range cures {
		c := b.cures[i]
		total += c.minutes
		if c.remedy.Opens && !slices.Contains(joints, c.block) {
			joints = append(joints, c.block)
			r := p.reachOf(p.Net.Joints[c.block], paid)
			total += r.back
			if !b.opened[c.block] {
				total += r.off
			}
			for _, s := range r.steps {
				paid[s.ID] = true
			}
		}
	}
	if len(joints) > 0 {
		total += b.retest - 10
	}
	slices.Sort(joints)
	return total, joints
}

// addAnyway adds to the first attempt what pays: while a joint is open, a further cure pays
// if its gain in the chance of dry, times the minutes after a failed retest, is more than
// its own minutes.
func (p *Problem) addAnyway(b *bench, c *course, done map[int]bool) {
	first := &c.strokes[0]
	for _, i := range first.cures {
		done[i] = true
	}
	var set []rank.CauseRef
	for _, i := range first.cures {
		set = append(set, b.cures[i].causes...)
	}
	base, err := p.Solver.DryIf(set)
	if err != nil {
		return
	}
	for i, k := range b.cures {
		if !slices.Contains(first.joints, k.block) || slices.Contains(first.cures, i) || k.minutes > 30 {
			continue
		}
		d, err := p.Solver.DryIf(append(slices.Clone(set), k.causes...))
		if err != nil {
			continue
		}
		gain := (d - base) * b.pass[k.block]
		if spare := gain * c.failure; spare > k.minutes {
			c.extras = append(c.extras, extra{i, gain, spare})
		}
	}
	slices.SortStableFunc(c.extras, func(x, y extra) int { return cmp.Compare(y.spare, x.spare) })
	if len(c.extras) > 5 {
		c.extras = c.extras[:5]
	}
}

// sum is the trade in words: "5 min now against 9 % of another 95 min".
func (p *Problem) sum(b *bench, c course, e extra) string {
	k := b.cures[e.cure]
	return fmt.Sprintf("%s: %s min now against %.0f %% of another %s min", cmp.Or(k.remedy.Title, k.remedy.ID), minutes(k.minutes), 100*e.gain, minutes(c.failure))
}
