package network

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"seepwright/engine/rank"
	"seepwright/rules"
)

// Tried is work that was done before one retest, and how the retest came out.
type Tried struct {
	Joint string   // id of the joint that was worked on; "" = all joints
	Did   []string // ids of remedies
	Wet   bool     // it leaked again
}

// at reports whether the work was done at this joint.
func (t Tried) at(joint string) bool { return t.Joint == "" || t.Joint == joint }

// Failed reports whether a remedy was tried at a joint that leaked again after it.
func (n *Network) Failed(joint, remedy string) bool {
	return slices.ContainsFunc(n.tried, func(t Tried) bool { return t.Wet && t.at(joint) && slices.Contains(t.Did, remedy) })
}

// Retested reports whether a joint was closed and retested.
func (n *Network) Retested(joint string) bool {
	return slices.ContainsFunc(n.tried, func(t Tried) bool { return t.at(joint) })
}

// RetestRefs lists the findings of retests at a joint, or with "" everywhere.
func (n *Network) RetestRefs(joint string) []rank.FindingRef {
	var out []rank.FindingRef
	for b, j := range n.Joints {
		for i, f := range n.Rank.Blocks[b].Findings {
			if IsRetest(f) && (joint == "" || j.ID == joint) {
				out = append(out, rank.FindingRef{Block: b, Finding: i})
			}
		}
	}
	return out
}

// IsRetest reports whether a finding is one of a retest.
func IsRetest(f rank.Finding) bool { return strings.HasPrefix(f.ID, RetestFinding+"=") }

// RetestFinding begins the ids of the findings that retests make.
const RetestFinding = "retest"

// retest is what the retests say of a joint, one finding for each. All other findings spoke of
// the joint as it was before any of the work, and stay. A wet retest says that something is
// there still: a cause that was not treated, for sure; a treated one, with the chance that its
// remedies failed; or a leak that the closing made. A dry one says that nothing is. The first
// retest has its exact chance for all sets of causes, and all of them together for each cause
// alone; a second one is taken as independent given a set of several.
func (n *Network) retest(i int) (out []rank.Finding) {
	j := n.Joints[i]
	var done []Tried
	for _, t := range n.tried {
		if t.at(j.ID) {
			done = append(done, t)
		}
	}
	if len(done) == 0 {
		return nil
	}
	causes := append(slices.Clone(j.Model.Causes), nil, j.Model.Away) // nil: what is not in the knowledge base
	for _, s := range j.shared {
		causes = append(causes, n.Shared[s])
	}
	leak := n.course(done, nil, false) // what the closing alone makes
	var wet [][]float64                // by cause and retest
	for _, c := range causes {
		wet = append(wet, n.course(done, c, true))
		for r, p := range wet[len(wet)-1] {
			leak[r] = min(leak[r], p) // a leak of the closing is sure where nothing else was there, not where a cause may have been
		}
	}
	for r, t := range done {
		links := make([]rank.Rate, len(causes))
		// Work that cures no cause of this joint has cured something else where it comes out dry, and is no contradiction.
		most := 1.0
		if !t.Wet && !slices.ContainsFunc(wet, func(by []float64) bool { return by[r] < 1 }) {
			most = 1 - n.fig.LeakLeast
		}
		for k := range causes {
			links[k] = rank.Rate{Cause: k, Q: rank.LinkQ(min(wet[k][r], most), leak[r])}
		}
		out = append(out, rank.YesNo(fmt.Sprintf("%s=%d", RetestFinding, r+1), t.Wet, leak[r], links))
	}
	return out
}

// course is the chance of a wet retest, for each retest given those before it, with one cause
// alone there at first, or none.
func (n *Network) course(done []Tried, c *rules.Cause, there bool) []float64 {
	var p [2][2]float64 // by the cause being there and by a leak that the closing made
	p[0][0] = 1
	if there {
		p[0], p[1] = p[1], p[0]
	}
	out := make([]float64, len(done))
	opened := 0
	for r, t := range done {
		q := 1 - n.cures(c, t)
		for m := range 2 {
			p[0][m], p[1][m] = p[0][m]+(1-q)*p[1][m], q*p[1][m]
		}
		if n.opens(t) {
			spoils := 1 - n.fig.PassFirst
			if opened++; opened > 1 {
				spoils = 1 - n.fig.PassAgain
			}
			for k := range p {
				all := p[k][0] + p[k][1]
				p[k][0], p[k][1] = (1-spoils)*all, spoils*all
			}
		}
		wet := p[0][1] + p[1][0] + p[1][1]
		out[r] = wet
		switch {
		case t.Wet && wet > 0:
			p[0][0] = 0
			p[0][1], p[1][0], p[1][1] = p[0][1]/wet, p[1][0]/wet, p[1][1]/wet
		case !t.Wet && p[0][0] > 0:
			p = [2][2]float64{{1, 0}, {0, 0}}
		}
	}
	return out
}

// cures is the chance that this work took a cause away: of several remedies the best counts.
func (n *Network) cures(c *rules.Cause, t Tried) (best float64) {
	if c == nil {
		return 0
	}
	for _, rr := range c.Remedies {
		if r := n.kb.Remedy(rr.Remedy); r != nil && slices.Contains(t.Did, rr.Remedy) {
			best = max(best, Success(r, rr, n.fig.Success, n.fig.SuccessSpecialist))
		}
	}
	return best
}

// opens reports whether the joint was parted for this work.
func (n *Network) opens(t Tried) bool {
	return slices.ContainsFunc(t.Did, func(id string) bool { r := n.kb.Remedy(id); return r != nil && r.Opens })
}

// Success is the chance that a remedy cures a cause that names it: its own where it is said, else
// the usual one, or that of a specialist.
func Success(r *rules.Remedy, rr rules.RemedyRef, usual, specialist float64) float64 {
	if r.Specialist {
		usual = specialist
	}
	return cmp.Or(rr.Success, r.Success, usual)
}
