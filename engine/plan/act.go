package plan

import (
	"slices"

	"seepwright/rules"
)

// refuses reports whether an act is left to others here.
func (p *Problem) refuses(a rules.Act) bool { return a != "" && slices.Contains(p.Acts, a) }

// barred reports whether a check is refused: as an act of its own, or because hands and eyes would be
// near while the thing runs or holds pressure.
func (p *Problem) barred(c *rules.Check) bool {
	return p.refuses(c.Act) || p.refuses(rules.UnderPressure) && (c.Stage.Loaded() && !c.Clear || c.Kind == rules.Attempt)
}

// mendable reports whether a remedy may be made at a joint of this kind.
func (p *Problem) mendable(r *rules.Remedy, kinds ...string) bool {
	if p.refuses(r.Act) {
		return false
	}
	return !slices.ContainsFunc(kinds, func(id string) bool { k := p.KB.Joint(id); return k != nil && p.refuses(k.Act) })
}

// keepsClear reports whether a check that keeps everybody clear fills this fact.
func (p *Problem) keepsClear(f *rules.Fact) bool {
	return slices.ContainsFunc(p.KB.Checks, func(c *rules.Check) bool { return c.Clear && slices.Contains(c.Fills, f.ID) })
}
