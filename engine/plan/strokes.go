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
	failure float64 // expected minutes after a failed first attempt
	extras  []extra // cures done anyway in the first attempt
}

// extra is a cure added because it costs less than its chance of another strip-down.
type extra struct {
	cure  int
	gain  float64
	spare float64 // minutes saved
}

// plot weighs the attempts that look best with exact chances.
func (p *Problem) plot(b *bench) course {
	c := course{strokes: slices.Clone(b.course)}
	p.weigh(b, &c)
	if len(c.strokes) > 0 {
		p.addAnyway(b, &c)
	}
	return c
}

// weigh gives each attempt the exact chance that nothing is left after it, and drops what
// does not pay by it.
func (p *Problem) weigh(b *bench, c *course) {
	x := b.now.untreated(&b.layout)
	var set []rank.CauseRef
	dry, before, last := 0.0, 0.0, 0.0
	for n := range c.strokes {
		s := &c.strokes[n]
		for _, i := range s.cures {
			x.treat(&b.cures[i], s.found)
			set = append(set, b.cures[i].causes...)
		}
		after, err := p.Solver.DryIf(set)
		if err != nil {
			c.strokes = c.strokes[:n]
			break
		}
		after *= x.surely(b, c.strokes[:n+1])
		dry = min(1, dry+max(0, after-before)*b.passOf(*s))
		if (dry-last)/s.minutes < (1-last)/b.resort && n > 0 || dry-last < 0.005 {
			c.strokes = c.strokes[:n]
			break
		}
		s.dry = dry
		before, last = after, dry
	}
	left := 1.0
	for _, s := range c.strokes {
		c.minutes += left * s.minutes
		left = 1 - s.dry
	}
	c.minutes += left * b.resort
	if len(c.strokes) > 0 {
		first := c.strokes[0]
		if q := 1 - first.dry; q > 1e-6 {
			c.failure = (c.minutes - first.minutes) / q
		}
	}
}

// surely is the share of what was treated that the cures do cure: cures can fail.
func (x *left) surely(b *bench, done []stroke) float64 {
	whole := x.b.untreated(x.l)
	for _, s := range done {
		for _, i := range s.cures {
			sure := cure{items: slices.Clone(b.cures[i].items)}
			for k := range sure.items {
				sure.items[k].success = 1
			}
			whole.treat(&sure, 1)
		}
	}
	if d := whole.dry(); d > 1e-9 {
		return min(1, x.dry()/d)
	}
	return 1
}

// mostAnyway is how many minutes a cure may take that is done anyway, mostExtras how many are.
const (
	mostAnyway = 30
	mostExtras = 5
)

// addAnyway adds to the first attempt what pays whatever the looks say: while a joint is
// open, a cure pays if its gain in the chance of dry, times the minutes after a failed attempt,
// is more than its own minutes. A joint that would have to be opened for it is never taken: that could
// make a new leak.
func (p *Problem) addAnyway(b *bench, c *course) {
	first := c.strokes[0]
	x := b.now.untreated(&b.layout)
	for _, i := range first.cures {
		x.treat(&b.cures[i], first.found)
	}
	now := x.dry()
	for i := range b.cures {
		k := &b.cures[i]
		if k.minutes > mostAnyway || k.shared || !slices.Contains(first.joints, k.blocks[0]) {
			continue
		}
		cost := k.minutes
		if slices.Contains(first.cures, i) {
			if !first.looks {
				continue
			}
			y := b.now.untreated(&b.layout)
			cost *= 1 - min(1, y.mass(k)) // it may have to be done in any case
		}
		var y left
		x.copyTo(&y)
		y.treat(k, 1)
		gain := (y.dry() - now) * b.passOf(first)
		if e := (extra{i, gain, gain * c.failure}); e.spare > cost {
			c.extras = append(c.extras, e)
		}
	}
	slices.SortStableFunc(c.extras, func(x, y extra) int {
		return cmp.Compare(y.spare-b.cures[y.cure].minutes, x.spare-b.cures[x.cure].minutes)
	})
	c.extras = c.extras[:min(mostExtras, len(c.extras))]
}

// sum is the trade in words: "5 min now against 9 % of another 95 min".
func (p *Problem) sum(b *bench, c course, e extra) string {
	k := b.cures[e.cure]
	return fmt.Sprintf("%s: %s min now against %.0f %% of another %s min", cmp.Or(k.remedy.Title, k.remedy.ID), minutes(k.minutes), 100*e.gain, minutes(c.failure))
}
