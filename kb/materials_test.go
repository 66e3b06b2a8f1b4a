package kb_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine"
	"seepwright/kb"
	"seepwright/rules"
	"seepwright/rules/answer"
	"seepwright/rules/assembly"
	"seepwright/rules/table"
)

// told is a session at one joint that has been given these answers.
func told(t *testing.T, b *engine.Brain, kind string, given map[string]rules.AnswerText) *engine.Session {
	t.Helper()
	s, err := b.NewSession(assembly.Single(kind), engine.Options{})
	require.NoError(t, err)
	values, bad := answer.ReadGiven(s.Knowledge(), given)
	require.Empty(t, bad)
	for f, v := range values {
		_, err := s.Answer("joint", f, v)
		require.NoError(t, err, f)
	}
	return s
}

// concluded is what a session holds of a yes-no fact: yes, no, or nothing.
func concluded(s *engine.Session, name string) string {
	v, ok, clash := s.Memory().Value(s.Key("joint", name))
	switch {
	case clash:
		return "contradicted"
	case !ok || !v.Answered():
		return ""
	}
	return v.String()
}

func word(s string) rules.AnswerText { return rules.AnswerText{Scalar: s} }

// rowsOf are the rows of a published table.
func rowsOf(t *testing.T, name string) []table.Row {
	t.Helper()
	tab, err := kb.Published().Table(name)
	require.NoError(t, err)
	return tab.Rows()
}

// The rules speak of cleaners one by one; the table has all pairs. What the table says of a cleaner and a metal the rules
// conclude: never is never, a minute above the row is too long, a minute below it is not.
func TestTheRulesOfTheBathAreThoseOfItsTable(t *testing.T) {
	k, err := kb.Load()
	require.NoError(t, err)
	b := engine.NewBrain(k)
	for _, r := range rowsOf(t, "cleaner-metals") {
		t.Run(r.Text("name"), func(t *testing.T) {
			seconds, ok := r.SI("longest_min")
			require.True(t, ok)
			most := seconds / 60
			after := func(minutes float64) *engine.Session {
				return told(t, b, "radial-oring", map[string]rules.AnswerText{
					"bath-cleaner": word(r.Text("cleaner")), "bath-time": word(fmt.Sprintf("%g min", minutes)),
					"bath-metals": {Is: []string{r.Text("metal")}},
				})
			}
			switch {
			case most == 0:
				assert.Equal(t, "yes", concluded(after(1), "bath-wrong-metal"))
			case most < 480:
				assert.Empty(t, concluded(after(most*0.9), "bath-too-long"))
				assert.Empty(t, concluded(after(most*0.9), "bath-wrong-metal"))
				assert.Equal(t, "yes", concluded(after(most*1.2), "bath-too-long"))
			default:
				assert.Empty(t, concluded(after(470), "bath-too-long"))
				assert.Empty(t, concluded(after(470), "bath-wrong-metal"))
			}
		})
	}
}

// Each row that a rule can lead to, with each rubber: destroyed is unsuited, first choice is not, and what lies between is left open.
func TestTheRulesOfRubberAndFluidAreThoseOfTheirTable(t *testing.T) {
	k, err := kb.Load()
	require.NoError(t, err)
	b := engine.NewBrain(k)
	known := map[string]bool{}
	for _, o := range k.Fact("fluid-family").Options {
		known[o.ID] = true
	}
	seen := 0
	for _, r := range rowsOf(t, "rubber-fluids") {
		if !known[r.Text("name")] {
			continue // a wash or a fuel: no rule of a circuit leads there
		}
		seen++
		for _, rubber := range []string{"nbr", "hnbr", "epdm", "silicone", "fkm", "polyurethane", "cr"} {
			t.Run(rubber+" in "+r.Text("name"), func(t *testing.T) {
				s := told(t, b, "tie-rod-cap", map[string]rules.AnswerText{"seal-rubber": word(rubber), "fluid-family": word(r.Text("name"))})
				grade, ok := r.SI(rubber + "_n")
				require.True(t, ok)
				want := map[int]string{1: "no", 4: "yes"}[int(grade)]
				assert.Equal(t, want, concluded(s, "rubber-unsuited"))
			})
		}
	}
	assert.Equal(t, len(known), seen, "every family of fluids has its row")
}
