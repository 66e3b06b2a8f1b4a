// Package learn brings shares nearer to what confirmed outcomes show: the share of the
// knowledge base counts as so many cases, and the outcomes are added to them.
// It reads no file and changes no knowledge; it says what the shares would be.
package learn

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"seepwright/engine/network"
	"seepwright/rules"
	"seepwright/rules/source"
)

// Worth is how many cases the shares of a knowledge base count as that does not say it itself.
// Standing: estimate; the reason stands with shares-worth-cases in kb/shared/estimates.yaml.
const Worth = 20

// WorthOf is how many cases the shares of a knowledge base count as: shares-worth-cases of its
// estimates, or Worth where it has none above 0.
func WorthOf(kb *rules.Knowledge) float64 {
	if x, ok := kb.Estimate("shares-worth-cases"); ok && x > 0 {
		return x
	}
	return Worth
}

// Shared is the kind of outcomes of whole units; NoneShared says that a unit had no cause in
// common, NotListed that a joint had a cause that the knowledge base has not.
const (
	Shared     = "shared"
	NoneShared = "none"
	NotListed  = "not-in-this-knowledge-base"
)

// Outcome is one confirmed case. Several causes that were treated together count with the
// share that each was given, which add up to at most 1.
type Outcome struct {
	Case    string
	Kind    string // joint kind, or Shared
	History rules.History
	Causes  map[string]float64 // cause id -> 0..1
	Weight  float64            // how many cases it stands for, usually 1
	Place   source.Place
}

// Update is the posterior mean of a share: (s p0 + k) / (s + n), with a prior worth s cases,
// k of n seen. Domain: s > 0, 0 <= p0 <= 1, 0 <= k <= n; outside it is an error.
// Source: beta-binomial, for a vector of shares Dirichlet (textbook).
func Update(p0, s, k, n float64) (float64, error) {
	if !(s > 0) || math.IsInf(s, 0) || !(p0 >= 0 && p0 <= 1) || !(k >= 0 && k <= n+1e-9) || math.IsInf(n, 0) {
		return 0, fmt.Errorf("a share of %v worth %v cases cannot be updated by %v of %v", p0, s, k, n)
	}
	return (s*p0 + k) / (s + n), nil
}

// Row is one cause before and after.
type Row struct {
	Cause         *rules.Cause
	Before, After float64
	Count         float64 // of the outcomes, by weight and share
}

// Group is one joint kind (or Shared) in one history.
type Group struct {
	Kind      string
	History   rules.History
	N         float64 // outcomes that count, by weight
	NotListed float64 // outcomes whose cause the knowledge base has not; they move no share
	Rows      []Row   // every cause with a share or a count, likeliest first
}

// Learn says what the shares become when they are worth so many cases. Outcomes must name
// kinds and causes of the knowledge base. Shares that do not add up to 98..102 % are weights
// and are first brought to 100 %. Groups are sorted by kind and history.
func Learn(kb *rules.Knowledge, outcomes []Outcome, worth float64) ([]Group, error) {
	type key struct {
		kind    string
		history rules.History
	}
	counts := map[key]map[string]float64{}
	var keys []key
	for _, o := range outcomes {
		k := key{o.Kind, o.History}
		if counts[k] == nil {
			counts[k] = map[string]float64{}
			keys = append(keys, k)
		}
		for id, share := range o.Causes {
			counts[k][id] += share * o.Weight
		}
	}
	slices.SortFunc(keys, func(a, b key) int {
		return cmp.Or(cmp.Compare(a.kind, b.kind), cmp.Compare(slices.Index(rules.Histories(), a.history), slices.Index(rules.Histories(), b.history)))
	})
	var out []Group
	for _, k := range keys {
		g := Group{Kind: k.kind, History: k.history}
		for _, id := range sorted(counts[k]) {
			if id == NotListed && k.kind != Shared {
				g.NotListed += counts[k][id]
			} else {
				g.N += counts[k][id]
			}
		}
		var err error
		if g.Rows, err = rows(kb, k.kind, k.history, counts[k], g.N, worth); err != nil {
			return nil, err
		}
		out = append(out, g)
	}
	return out, nil
}

func sorted(m map[string]float64) []string {
	out := make([]string, 0, len(m))
	for id := range m {
		out = append(out, id)
	}
	slices.Sort(out)
	return out
}

func rows(kb *rules.Knowledge, kind string, h rules.History, count map[string]float64, n, worth float64) ([]Row, error) {
	causes := kb.CausesOf(kind)
	if kind == Shared {
		causes = kb.SharedCauses()
	}
	sum := 0.0
	var out []Row
	for _, c := range causes {
		group := causes
		if kind == Shared { // each has its own columns: they are no parts of one whole
			group = []*rules.Cause{c}
		}
		r := Row{Cause: c, Before: network.ShareOf(group, c, h), Count: count[c.ID]}
		sum += r.Before
		if r.Before > 0 || r.Count > 0 {
			out = append(out, r)
		}
	}
	for i := range out {
		r := &out[i]
		if kind != Shared && sum > 0 && (sum < 0.98 || sum > 1.02) {
			r.Before /= sum
		}
		var err error
		if r.After, err = Update(r.Before, worth, r.Count, n); err != nil {
			return nil, fmt.Errorf("%s: %w", r.Cause.Ref(), err)
		}
	}
	slices.SortStableFunc(out, func(a, b Row) int {
		return cmp.Or(cmp.Compare(b.After, a.After), cmp.Compare(a.Cause.ID, b.Cause.ID))
	})
	return out, nil
}
