// Package ruletest runs what stands beside the knowledge: the three cases of every rule, and
// the solved cases of causes; and it asks what those cases are worth.
// It prints nothing; the command and the tests read its reports.
package ruletest

import (
	"fmt"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"

	"seepwright/engine"
	"seepwright/rules"
	"seepwright/rules/answer"
	"seepwright/rules/source"
)

// Report is what became of one case.
type Report struct {
	Name    string
	Kind    string // joint kind; Shared for what belongs to several
	Place   source.Place
	Fails   []string // empty = passed
	Rank    int      // of the true cause, from 1; 0 for a rule's case
	P       float64  // probability of the true cause
	Lead    string   // the cause in the lead
	LeadP   float64  // its probability
	unsplit bool     // what fails is the look that tells the cause from its look-alike
}

// Shared is the kind of what belongs to several joint kinds.
const Shared = "shared"

// Passed reports whether nothing failed.
func (r Report) Passed() bool { return len(r.Fails) == 0 }

func (r *Report) fail(format string, args ...any) {
	r.Fails = append(r.Fails, fmt.Sprintf(format, args...))
}

// parallel does one thing for each item of a list on all cores; results stand in the order of
// the list. Each worker has a tool of its own, for what is not safe to share.
func parallel[W, T, R any](kb *rules.Knowledge, list []T, tool func() W, do func(W, T) R) []R {
	kb.Fact("") // the index of names is made on first use: now, before it is shared
	out := make([]R, len(list))
	var next atomic.Int64
	var wg sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(list)) {
		wg.Add(1)
		go func() {
			defer wg.Done()
			w := tool()
			for {
				i := int(next.Add(1)) - 1
				if i >= len(list) {
					return
				}
				out[i] = do(w, list[i])
			}
		}()
	}
	wg.Wait()
	return out
}

// give tells a session what a case gives; facts known by rule only are given as if asked.
func give(s *engine.Session, joint string, given map[string]rules.AnswerText, rep *Report) bool {
	values, bad := answer.ReadGiven(s.Knowledge(), given)
	for _, b := range bad {
		rep.fail("%s", b)
	}
	names := make([]string, 0, len(values))
	for n := range values {
		names = append(names, n)
	}
	slices.Sort(names)
	for _, n := range names {
		if _, err := s.Answer(joint, n, values[n]); err != nil {
			rep.fail("%v", err)
		}
	}
	return len(bad) == 0
}
