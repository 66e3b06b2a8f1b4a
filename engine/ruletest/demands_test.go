package ruletest_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine/ruletest"
	"seepwright/rules"
)

const demandsHead = `# Solved cases that are too easy, and kinds with too few of them (see Demands in
# engine/ruletest). A debt: this list only shrinks; go test ./engine/ruletest -update strikes
# what is paid.
`

func TestSolvedCasesAreHardEnough(t *testing.T) {
	all, err := ruletest.Demands(builtIn(t))
	require.NoError(t, err)
	var lines []string
	for _, d := range all {
		lines = append(lines, d.String())
	}
	debts(t, "case-debts.txt", demandsHead, lines)
}

// wants runs the demands on one case of the built-in knowledge after it was changed.
func wants(t *testing.T, id string, change func(*rules.Case)) string {
	kb := builtIn(t)
	i := slices.IndexFunc(kb.Cases, func(c *rules.Case) bool { return c.ID == id })
	require.GreaterOrEqual(t, i, 0)
	c := *kb.Cases[i]
	change(&c)
	kb.Cases = []*rules.Case{&c}
	all, err := ruletest.Demands(kb)
	require.NoError(t, err)
	var lines []string
	for _, d := range all {
		lines = append(lines, d.String())
	}
	return strings.Join(lines, "\n")
}

const easy = "axial-score-seen-from-outside"

func TestACaseAsItStandsOwesNothing(t *testing.T) {
	assert.NotContains(t, wants(t, easy, func(*rules.Case) {}), easy)
}

func TestACaseThatOnlyPointsAtTheCauseIsTooEasy(t *testing.T) {
	got := wants(t, easy, func(c *rules.Case) { c.Given = map[string]rules.AnswerText{"how-pushed": {Scalar: "sudden"}} })
	assert.Contains(t, got, easy+": fewer than 2 answers fit ring-nicked better than axial-score")
}

func TestACaseWhoseCauseIsDecidedIsTooEasy(t *testing.T) {
	got := wants(t, easy, func(c *rules.Case) {
		c.Cause, c.LookLike = "bore-oval", "pipe-strained"
		c.Given = map[string]rules.AnswerText{"bore-out-of-round": {Scalar: "yes"}, "wet-spread": {Scalar: "one-sector"}}
	})
	assert.Contains(t, got, "holds bore-out-of-round, which decides for bore-oval, and nothing that decides for pipe-strained")
	got = wants(t, easy, func(c *rules.Case) {
		c.Cause, c.LookLike = "bore-oval", "pipe-strained"
		c.Given = map[string]rules.AnswerText{"bore-out-of-round": {Scalar: "yes"}, "pipe-springs-away": {Scalar: "no"}}
	})
	assert.NotContains(t, got, "decides for bore-oval")
}

func TestACaseBesideNoLookAlikeIsNamed(t *testing.T) {
	got := wants(t, easy, func(c *rules.Case) { c.LookLike = "moon-dust" })
	assert.Contains(t, got, `no cause "axial-score" beside its look-alike "moon-dust"`)
}

func TestCausesWithoutACaseAndKindsSeenOnlyOpenedAreNamed(t *testing.T) {
	got := wants(t, easy, func(c *rules.Case) { c.Stage = "opened" })
	assert.Contains(t, got, "radial-oring: fewer than half of the cases stop before the joint is opened")
	assert.Contains(t, got, "radial-oring/bore-oval has no solved case")
	assert.NotContains(t, got, "radial-oring/axial-score has no solved case")
}
