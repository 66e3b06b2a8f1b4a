package network

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine/rank"
	"seepwright/rules"
	"seepwright/rules/assembly"
)

// benchOf is an invented joint with three causes: ring and seat are cured by work that opens it,
// bolts without.
func benchOf(tried ...Tried) *Network {
	cause := func(id string, refs ...rules.RemedyRef) *rules.Cause {
		c := &rules.Cause{For: "k", Remedies: refs}
		c.ID = id
		return c
	}
	remedy := func(id string, opens bool, success float64) *rules.Remedy {
		r := &rules.Remedy{Opens: opens, Success: success}
		r.ID = id
		return r
	}
	kb := &rules.Knowledge{Remedies: []*rules.Remedy{remedy("renew", true, 0.9), remedy("dress", true, 0), remedy("tighten", false, 0.6)}}
	m := &Model{Kind: "k", Causes: []*rules.Cause{
		cause("ring", rules.RemedyRef{Remedy: "renew"}),
		cause("seat", rules.RemedyRef{Remedy: "dress"}, rules.RemedyRef{Remedy: "renew", Success: 0.2}),
		cause("bolts", rules.RemedyRef{Remedy: "tighten"}),
	}}
	return &Network{kb: kb, tried: tried, fig: FiguresOf(kb), Joints: []Joint{{Joint: assembly.Joint{ID: "j"}, Model: m}}}
}

// weight is what a finding says of a set of causes.
func weight(f rank.Finding, set map[int]bool) float64 {
	w, silent := f.Base, 1-f.Leak
	for _, l := range f.Links {
		if set[l.Cause] {
			w *= l.Cap
			silent *= 1 - l.Q
		}
	}
	if f.State == rank.Positive {
		w *= 1 - silent
	}
	return w
}

// plainly follows every way that the work can go, one after the other.
func plainly(n *Network, set []int, spoilt bool, opened int, done []Tried) float64 {
	if len(done) == 0 {
		return 1
	}
	t := done[0]
	var left func(k int, still []int, p float64) float64
	left = func(k int, still []int, p float64) float64 {
		if p == 0 {
			return 0
		}
		if k < len(set) {
			s := 0.0
			switch c := set[k]; {
			case c < 3:
				s = n.cures(n.Joints[0].Model.Causes[c], t)
			}
			return left(k+1, still, p*s) + left(k+1, append(still[:len(still):len(still)], set[k]), p*(1-s))
		}
		see := func(spoilt bool, p float64, opened int) float64 {
			if p == 0 || (len(still) > 0 || spoilt) != t.Wet {
				return 0
			}
			return p * plainly(n, still, spoilt, opened, done[1:])
		}
		if !n.opens(t) {
			return see(spoilt, p, opened)
		}
		pass := 0.8
		if opened > 0 {
			pass = 0.55
		}
		return see(false, p*pass, opened+1) + see(true, p*(1-pass), opened+1)
	}
	return left(0, nil, 1)
}

func TestRetestsHaveTheirChanceForEachCauseAlone(t *testing.T) {
	works := [][]string{{"renew"}, {"dress"}, {"tighten"}, {"renew", "tighten"}}
	courses := [][]Tried{}
	for _, a := range works {
		for _, wet := range []bool{true, false} {
			one := Tried{Joint: "j", Did: a, Wet: wet}
			courses = append(courses, []Tried{one})
			for _, b := range works {
				for _, again := range []bool{true, false} {
					courses = append(courses, []Tried{one, {Did: b, Wet: again}}, []Tried{one, {Did: b, Wet: again}, {Joint: "j", Did: a, Wet: wet}})
				}
			}
		}
	}
	for _, course := range courses {
		n := benchOf(course...)
		found := n.retest(0)
		require.Len(t, found, len(course))
		for cause := -1; cause < 5; cause++ { // none, three causes, the unknown one, from elsewhere
			set, in := []int{}, map[int]bool{}
			if cause >= 0 {
				set, in[cause] = []int{cause}, true
			}
			got := 1.0
			for _, f := range found {
				got *= weight(f, in)
			}
			if cause < 0 && len(course) > 1 {
				continue // with nothing wrong at first: only the first retest is exact
			}
			assert.InDelta(t, plainly(n, set, false, 0, course), got, 1e-12, "%v, cause %d", course, cause)
		}
	}
}

func TestTheFirstRetestHasItsChanceForEverySetOfCauses(t *testing.T) {
	for _, did := range [][]string{{"renew"}, {"tighten"}, {"dress", "tighten"}} {
		for _, wet := range []bool{true, false} {
			n := benchOf(Tried{Joint: "j", Did: did, Wet: wet})
			f := n.retest(0)[0]
			for mask := range 1 << 5 {
				set, in := []int{}, map[int]bool{}
				for k := range 5 {
					if mask>>k&1 == 1 {
						set, in[k] = append(set, k), true
					}
				}
				assert.InDelta(t, plainly(n, set, false, 0, n.tried), weight(f, in), 1e-12, fmt.Sprint(did, wet, set))
			}
		}
	}
}

func TestWorkAtAnotherJointSaysNothing(t *testing.T) {
	assert.Empty(t, benchOf(Tried{Joint: "other", Did: []string{"renew"}, Wet: true}).retest(0))
	n := benchOf(Tried{Joint: "j", Did: []string{"renew"}, Wet: true})
	assert.True(t, n.Failed("j", "renew"))
	assert.False(t, n.Failed("j", "dress"))
	assert.False(t, n.Failed("other", "renew"))
}
