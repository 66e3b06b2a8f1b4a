package plan

import "seepwright/engine/rank"

// layout numbers all causes in a row: joint after joint its causes, the unknown one and the
// place not on the list; then the shared causes, each a group of its own.
type layout struct {
	start []int // first item of each group; one more at the end
	group []int // group of each item
	n     int   // joints
}

func newLayout(blocks []rank.Block, shared int) layout {
	l := layout{n: len(blocks)}
	put := func(size int) {
		l.start = append(l.start, len(l.group))
		for range size {
			l.group = append(l.group, len(l.start)-1)
		}
	}
	for _, b := range blocks {
		put(len(b.Prior) + 1)
	}
	for range shared {
		put(1)
	}
	l.start = append(l.start, len(l.group))
	return l
}

func (l layout) items() int  { return len(l.group) }
func (l layout) groups() int { return len(l.start) - 1 }

// item is the number of a cause.
func (l layout) item(c rank.CauseRef) int {
	if c.Block == rank.SharedBlock {
		return l.start[l.n+c.Cause]
	}
	return l.start[c.Block] + c.Cause
}

// fault is the chance that a joint, or a shared cause, is at fault. A shared cause that acts makes a joint leak, so it is no
// likelier at fault than any joint leaks.
func (l layout) fault(m rank.Marginals, wet []rank.State, g int) float64 {
	if g >= l.n {
		leaks := 0.0
		for _, p := range m.JointLeaks {
			leaks += p
		}
		return clamp(min(m.Shared[g-l.n], leaks))
	}
	own, far := m.JointLeaks[g], m.Elsewhere[g]
	if wet[g] == rank.Positive {
		return clamp(own + far) // something made it wet; what runs down from above is not its own fault
	}
	return clamp(own + far - own*far)
}

// marginals lists the chances of all items.
func (l layout) marginals(m rank.Marginals) []float64 {
	out := make([]float64, 0, l.items())
	for j := range l.n {
		out = append(out, m.Cause[j]...)
		out = append(out, m.Elsewhere[j])
	}
	return append(out, m.Shared...)
}

func clamp(p float64) float64 { return min(max(p, 0), 1-1e-9) }
