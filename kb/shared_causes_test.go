package kb_test

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine"
	"seepwright/engine/plan"
	"seepwright/kb"
	"seepwright/rules"
	"seepwright/rules/answer"
	"seepwright/rules/assembly"
)

// What works on a whole unit works on every kind of joint in it, or there is a reason. A new kind that nobody thought of here
// would make the shared causes silent on every unit that has it.
func TestEverySharedCauseActsOnEveryKindOrSaysWhyNot(t *testing.T) {
	k, _ := knowledge(t)
	require.GreaterOrEqual(t, len(k.SharedCauses()), 12)
	for _, c := range k.SharedCauses() {
		for _, kind := range kb.Kinds() {
			acts, why := c.ActsOn(kind) > 0, c.Spares(kind)
			switch {
			case acts && why != "":
				t.Errorf("%s acts on %s and says that it does not: %s", c.Ref(), kind, why)
			case !acts && len(strings.Fields(why)) < 4:
				t.Errorf("%s says nothing of %s: write it under joints, or under never at with the reason (kb/shared/causes/%s.yaml)", c.Ref(), kind, c.ID)
			}
		}
	}
}

func TestEveryStrengthOfASharedCauseSaysHowFarItCanBeTrusted(t *testing.T) {
	k, _ := knowledge(t)
	for _, c := range k.SharedCauses() {
		assert.NotEmpty(t, c.Standing, c.ID)
		assert.Less(t, c.Acts, 1.0, "%s: nothing makes every joint leak", c.ID)
		for _, x := range c.ActsAt {
			assert.NotEmpty(t, x.Standing, "%s at %v", c.ID, x.Joints)
			assert.NotEmpty(t, x.Because, "%s at %v", c.ID, x.Joints)
			assert.NotEqual(t, c.Acts, x.Acts, "%s at %v says what holds anyway", c.ID, x.Joints)
		}
	}
}

// unit is a session on a unit of three joints, one of each kind, some of them wet, with facts told of the unit.
func unit(t *testing.T, b *engine.Brain, kinds []string, wet int, given map[string]rules.AnswerText) *engine.Result {
	t.Helper()
	asm := &assembly.Assembly{Title: "unit"}
	for i, kind := range kinds {
		id := fmt.Sprintf("joint-%d", i+1)
		asm.Joints = append(asm.Joints, assembly.Joint{ID: id, Kind: kind, Title: id})
	}
	s, err := b.NewSession(asm, engine.Options{History: rules.BackInWeeks})
	require.NoError(t, err)
	give := func(joint string, given map[string]rules.AnswerText) {
		values, bad := answer.ReadGiven(s.Knowledge(), given)
		require.Empty(t, bad)
		for f, v := range values {
			_, err := s.Answer(joint, f, v)
			require.NoError(t, err, f)
		}
	}
	for i := range kinds {
		state := "no"
		if i < wet {
			state = "yes"
		}
		give(fmt.Sprintf("joint-%d", i+1), map[string]rules.AnswerText{"joint-wet": word(state)})
	}
	give("joint-1", given)
	r, err := s.Result(plan.Person{Brief: true})
	require.NoError(t, err)
	return r
}

// standing is the place of a cause in a ranking and its probability; place 0 where it is not in it.
func standing(r *engine.Result, cause string) (place int, p float64) {
	for i, x := range r.Ranking {
		if x.Shared && x.Cause == cause {
			return i + 1, x.Probability
		}
	}
	return 0, 0
}

// proofs are what is found on a unit that has the cause: a fact of the unit by itself, without any joint opened.
var proofs = map[string]string{
	"all-fitted-dry":                   "dry-marks",
	"circuit-pressure-too-high":        "cap-stuck",
	"fluid-attacks-seals":              "seals-swollen",
	"fluid-eats-metal":                 "metal-eaten",
	"heat-cycles":                      "no-room-to-grow",
	"old-parts-disturbed-together":     "old-parts-put-back",
	"one-careless-fitting":             "fitting-slips-seen",
	"same-ring-batch":                  "seals-wrong",
	"strained-pipe-between-two-bodies": "pipe-springs",
	"unit-twisted-by-its-feet":         "feet-twist",
	"vent-blocked":                     "vent-choked",
	"vibration":                        "fasteners-turned",
}

func TestSeveralLeaksAtOnceBringASharedCauseUpAndOneAloneDoesNot(t *testing.T) {
	k, b := knowledge(t)
	for _, c := range k.SharedCauses() {
		t.Run(c.ID, func(t *testing.T) {
			kinds := slices.Clone(c.Joints)
			slices.SortFunc(kinds, func(x, y string) int { return cmp.Or(cmp.Compare(c.ActsOn(y), c.ActsOn(x)), cmp.Compare(x, y)) })
			kinds = kinds[:3]
			require.NotEmpty(t, proofs[c.ID], "name what is found on a unit that has it")
			found := map[string]rules.AnswerText{proofs[c.ID]: word("yes")}

			all, one := unit(t, b, kinds, 3, nil), unit(t, b, kinds, 1, nil)
			allFound, oneFound := unit(t, b, kinds, 3, found), unit(t, b, kinds, 1, found)
			alone := unit(t, b, kinds[:1], 1, found)
			_, many := standing(all, c.ID)
			place, few := standing(one, c.ID)
			assert.Greater(t, many, 4*few, "%v: three leaks say more than one", kinds)
			assert.Greater(t, place, 10, "%v: one leak among three joints does not bring it up", kinds)
			lead, known := standing(allFound, c.ID)
			_, doubted := standing(oneFound, c.ID)
			assert.Contains(t, []int{1, 2}, lead, "%v: three leaks, and what is found on such a unit", kinds)
			assert.Greater(t, known, 3*doubted, "%v: the same found where one joint of three leaks says less", kinds)
			none, _ := standing(alone, c.ID)
			assert.Zero(t, none, "%s: a joint by itself shares nothing", kinds[0])
		})
	}
}
