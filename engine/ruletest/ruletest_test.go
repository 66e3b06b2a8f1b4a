package ruletest_test

import (
	"path"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine/ruletest"
	"seepwright/rules"
)

func TestAllTestsOfRulesPassInTheirOrder(t *testing.T) {
	kb := builtIn(t)
	list := ruletest.Rules(kb)
	i := 0
	for _, set := range kb.RuleTests {
		for _, c := range set.Cases {
			require.Equal(t, c.Place, list[i].Place)
			assert.True(t, list[i].Passed(), "%s: %s: %s", list[i].Place, list[i].Name, strings.Join(list[i].Fails, "; "))
			i++
		}
	}
	assert.Len(t, list, i)
}

func TestAllSolvedCasesPassInTheirOrder(t *testing.T) {
	kb := builtIn(t)
	list := ruletest.Cases(kb)
	require.Len(t, list, len(kb.Cases))
	for i, r := range list {
		require.Equal(t, kb.Cases[i].ID, r.Name)
		assert.True(t, r.Passed(), "%s: %s: %s", r.Place, r.Name, strings.Join(r.Fails, "; "))
		assert.Positive(t, r.Rank)
	}
}

// one runs a single solved case after it was changed.
func one(t *testing.T, id string, change func(*rules.Case)) ruletest.Report {
	kb := builtIn(t)
	i := slices.IndexFunc(kb.Cases, func(c *rules.Case) bool { return c.ID == id })
	require.GreaterOrEqual(t, i, 0)
	c := *kb.Cases[i]
	change(&c)
	kb.Cases = []*rules.Case{&c}
	return ruletest.Cases(kb)[0]
}

func TestAWrongCaseFailsAndSaysWhy(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*rules.Case)
		says   string
	}{
		"the cause stands too low":             {func(c *rules.Case) { c.Cause, c.Splits, c.Top = "ring-doubled", "", 1 }, "among the first 1, it stands at"},
		"no cause is called so":                {func(c *rules.Case) { c.Cause = "moon-dust" }, "is not in the ranking"},
		"no check of that name splits":         {func(c *rules.Case) { c.Splits = "moon-look" }, "expected that moon-look is named to split"},
		"another verdict is expected":          {func(c *rules.Case) { c.Verdict = "dry" }, "expected the run verdict dry"},
		"a fact is not concluded":              {func(c *rules.Case) { c.Expect = map[string]rules.AnswerText{"ring-hard": {Scalar: "yes"}} }, "expected to conclude ring-hard"},
		"a fact that is expected is not there": {func(c *rules.Case) { c.Expect = map[string]rules.AnswerText{"moon-wet": {Scalar: "yes"}} }, `no fact is called "moon-wet"`},
		"an answer is none":                    {func(c *rules.Case) { c.Given = map[string]rules.AnswerText{"twin": {Scalar: "moon"}} }, "moon"},
		"the joint is of no known kind":        {func(c *rules.Case) { c.For = "moon-joint" }, "no joint of a kind"},
	} {
		t.Run(name, func(t *testing.T) {
			r := one(t, easy, c.change)
			require.False(t, r.Passed())
			assert.Contains(t, strings.Join(r.Fails, "; "), c.says)
		})
	}
}

func TestAWrongTestOfARuleFailsAndSaysWhy(t *testing.T) {
	kb := builtIn(t)
	i := slices.IndexFunc(kb.RuleTests, func(s *rules.RuleTest) bool {
		return slices.ContainsFunc(s.Cases, func(c rules.RuleTestCase) bool { return c.Expect == "undecided" && len(c.WouldSettle) > 0 })
	})
	require.GreaterOrEqual(t, i, 0)
	set := *kb.RuleTests[i]
	set.Cases = slices.Clone(set.Cases)
	for k := range set.Cases {
		c := &set.Cases[k]
		switch c.Expect {
		case "fires":
			c.Expect = "silent"
		case "silent":
			c.Expect = "undecided"
		default:
			c.WouldSettle = []string{"moon-wet"}
		}
	}
	lost := set
	lost.Rule = "moon-rule"
	kb.RuleTests = []*rules.RuleTest{&set, &lost}
	for k, r := range ruletest.Rules(kb) {
		require.False(t, r.Passed(), r.Name)
		if k >= len(set.Cases) {
			assert.Equal(t, []string{`no rule is called "moon-rule"`}, r.Fails)
		}
	}
}

// A rule without its three cases is half a rule (DEVELOPERS.md: what we refuse). A rule
// without a condition cannot be silent.
func TestEveryRuleHasItsNeighbourWithThreeCases(t *testing.T) {
	kb := builtIn(t)
	tests := map[string]*rules.RuleTest{}
	for _, s := range kb.RuleTests {
		require.NotContains(t, tests, s.Rule, "a rule has one file of tests")
		tests[s.Rule] = s
	}
	for _, r := range kb.Rules {
		s := tests[r.ID]
		if !assert.NotNil(t, s, "%s has no tests", r.ID) {
			continue
		}
		assert.Equal(t, path.Join(path.Dir(r.Place.File), r.ID+"_test.yaml"), s.Place.File)
		want := []string{"fires", "silent", "undecided"}
		if r.When.Text == "" {
			want = []string{"fires"}
			if computes(r) {
				want = append(want, "undecided")
			}
		}
		for _, w := range want {
			assert.True(t, slices.ContainsFunc(s.Cases, func(c rules.RuleTestCase) bool { return c.Expect == w }), "%s: no case expects %s", s.Place.File, w)
		}
		delete(tests, r.ID)
	}
	for id := range tests {
		assert.Fail(t, "tests of a rule that is not there", id)
	}
}

// computes reports whether a rule needs values of facts, which may be unknown.
func computes(r *rules.Rule) bool {
	return slices.ContainsFunc(r.Then, func(a rules.Action) bool { return a.Compute != nil })
}
