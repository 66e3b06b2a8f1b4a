package rank

import "slices"

// Of is the number of a cause, of the place not on the list of a joint, or of a shared cause; see CauseRef. An index out of
// range has 0.
func (m Marginals) Of(c CauseRef) float64 {
	list := m.Shared
	if c.Block != SharedBlock {
		if c.Block < 0 || c.Block >= len(m.Cause) {
			return 0
		}
		list = m.Cause[c.Block]
		if c.Cause == len(list) {
			return m.Elsewhere[c.Block]
		}
	}
	if c.Cause < 0 || c.Cause >= len(list) {
		return 0
	}
	return list[c.Cause]
}

// Ranked is a cause with its posterior probability.
type Ranked struct {
	CauseRef
	P float64
}

// Ranking puts the named causes in order: the most probable first, of equals the one with the smaller joint and cause.
func (m Marginals) Ranking(refs []CauseRef) []Ranked {
	out := make([]Ranked, len(refs))
	for i, c := range refs {
		out[i] = Ranked{c, m.Of(c)}
	}
	slices.SortFunc(out, func(a, b Ranked) int {
		switch {
		case before(a, b):
			return -1
		case before(b, a):
			return 1
		}
		return 0
	})
	return out
}

func before(a, b Ranked) bool {
	if a.P != b.P {
		return a.P > b.P
	}
	return a.Block < b.Block || a.Block == b.Block && a.Cause < b.Cause
}

// checkRefs checks that every reference names something of the assembly.
func (a *Assembly) checkRefs(where string, refs []CauseRef) error {
	for _, t := range refs {
		most := len(a.Shared) - 1
		if t.Block != SharedBlock {
			if t.Block < 0 || t.Block >= len(a.Blocks) {
				return badInput(where, "joint %d; there are joints 0 to %d", t.Block, len(a.Blocks)-1)
			}
			most = a.Blocks[t.Block].ArrivesIndex()
		}
		if t.Cause < 0 || t.Cause > most {
			return badInput(where, "cause %d of joint %d; there are causes 0 to %d", t.Cause, t.Block, most)
		}
	}
	return nil
}
