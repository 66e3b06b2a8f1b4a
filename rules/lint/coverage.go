package lint

import (
	"fmt"
	"strings"

	"seepwright/rules"
	"seepwright/rules/load"
)

// Row tells how well one joint kind is covered. The shared causes have a row of their own.
type Row struct {
	Kind      string
	Causes    int
	Share     rules.PerHistory // sum
	Rules     int
	Checks    int
	Cases     int
	Unsolved  []string // causes without a solved case
	Untested  []string // rules without tests
	Opened    int      // cases at the stage opened
	FromAfar  int      // cases before opening
	Sourceful int      // causes with a source
	Decided   int      // causes with a check that decides them
	Twice     int      // causes with two solved cases or more
	Targets   int      // numbers to meet
	Sourced   int      // of these with a source
	Unsplit   []string // pairs of causes that no sign and no check tells apart, as "a / b"
}

// Coverage lists the joint kinds with what is there for each, sorted by kind, shared last.
func Coverage(k *rules.Knowledge) []Row {
	times := solvedCauses(k)
	tested := map[string]bool{}
	for _, t := range k.RuleTests {
		tested[t.Rule] = true
	}
	kinds := []string{}
	for _, j := range k.Joints {
		kinds = append(kinds, j.ID)
	}
	var out []Row
	for _, kind := range append(kinds, "shared") {
		row := Row{Kind: kind, Share: rules.PerHistory{}}
		causes := k.CausesOf(kind)
		if kind == "shared" {
			causes = k.SharedCauses()
		}
		for _, d := range causes {
			row.Causes++
			for h, x := range d.Share {
				row.Share[h] += x
			}
			switch n := times[d.Ref()]; {
			case n == 0:
				row.Unsolved = append(row.Unsolved, d.ID)
			case n > 1:
				row.Twice++
			}
			if d.Source != "" {
				row.Sourceful++
			}
			if len(d.FoundBy) > 0 {
				row.Decided++
			}
		}
		for _, p := range unsplit(causes) {
			row.Unsplit = append(row.Unsplit, p[0].ID+" / "+p[1].ID)
		}
		for _, t := range k.Targets {
			if t.For == kind || kind == "shared" && t.For == "" {
				row.Targets++
				if t.Source != "" {
					row.Sourced++
				}
			}
		}
		for _, d := range k.Rules {
			if (kind == "shared" && len(d.For) == 0) || (len(d.For) > 0 && rules.Applies(d.For, kind)) {
				row.Rules++
				if !tested[d.ID] {
					row.Untested = append(row.Untested, d.ID)
				}
			}
		}
		for _, d := range k.Checks {
			if (kind == "shared" && len(d.For) == 0) || (len(d.For) > 0 && rules.Applies(d.For, kind)) {
				row.Checks++
			}
		}
		for _, d := range k.Cases {
			of := d.For
			if of == "" || strings.HasPrefix(d.Cause, "shared/") {
				of = "shared"
			}
			if of == kind {
				row.Cases++
				if d.Stage == "opened" {
					row.Opened++
				} else {
					row.FromAfar++
				}
			}
		}
		out = append(out, row)
	}
	return out
}

// tells is by how much the rates of a sign must differ to tell two causes apart.
const tells = 1.5

// unsplit lists pairs of causes that no sign shows at clearly different rates, and for which the
// same facts decide. A sign that only one of the two lists tells them apart unless it is rare.
func unsplit(causes []*rules.Cause) [][2]*rules.Cause {
	type look struct{ fact, option string }
	rates := make([]map[look]float64, len(causes))
	for i, c := range causes {
		rates[i] = map[look]float64{}
		for _, g := range c.Signs {
			rates[i][look{g.Fact, g.Option}] = g.Shows
		}
		for _, f := range c.FoundBy {
			rates[i][look{f.Fact, f.Opt}] = max(rates[i][look{f.Fact, f.Opt}], f.Se)
		}
	}
	const rare = 0.2
	splits := func(a, b map[look]float64) bool {
		for l, x := range a {
			y, listed := b[l]
			if !listed && x > rare || listed && (x > tells*y || y > tells*x) {
				return true
			}
		}
		return false
	}
	var out [][2]*rules.Cause
	for i := range causes {
		for j := range i {
			if !splits(rates[i], rates[j]) && !splits(rates[j], rates[i]) {
				out = append(out, [2]*rules.Cause{causes[j], causes[i]})
			}
		}
	}
	return out
}

// solvedCauses counts the solved cases of each cause.
func solvedCauses(k *rules.Knowledge) map[string]int {
	solved := map[string]int{}
	for _, d := range k.Cases {
		kinds := []string{}
		if d.For != "" {
			kinds = append(kinds, d.For)
		}
		for _, id := range sortedKeys(d.Joints) {
			kinds = append(kinds, d.Joints[id].Kind)
		}
		for _, ref := range load.CauseRefs(k, d.Cause, kinds) {
			solved[ref]++
		}
	}
	return solved
}

// noCase reports causes without a solved case.
func noCase(c *checker) {
	solved := solvedCauses(c.k)
	for _, d := range c.k.Causes {
		if solved[d.Ref()] == 0 {
			c.report(d.Place, "no-case", fmt.Sprintf("no solved case proves that %q is found", d.Ref()), "write one under cases/; a new case file starts from kb new cause")
		}
	}
}

// ruleTests reports rules without the three cases that show what they do.
func ruleTests(c *checker) {
	tests := map[string]*rules.RuleTest{}
	for _, t := range c.k.RuleTests {
		tests[t.Rule] = t
	}
	for _, d := range c.k.Rules {
		t := tests[d.ID]
		if t == nil {
			c.report(d.Place, "rule-tests", fmt.Sprintf("the rule %q has no tests", d.ID), fmt.Sprintf("write %s_test.yaml beside it, with a case where it fires, one where it is silent and one where it cannot say yet", d.ID))
			continue
		}
		has := map[string]bool{}
		for _, x := range t.Cases {
			has[x.Expect] = true
		}
		for _, want := range []string{"fires", "silent", "undecided"} {
			if !has[want] && (d.When.Text != "" || want == "fires") {
				c.report(t.Place, "rule-tests", fmt.Sprintf("the tests of %q have no case that expects %q", d.ID, want), "add one")
			}
		}
	}
}
