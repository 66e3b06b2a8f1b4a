package kb_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine"
	"seepwright/engine/plan"
	"seepwright/kb"
	"seepwright/rules"
)

// harmless answers the questions of safety for an ordinary joint in a harmless place.
var harmless = map[string]rules.AnswerText{
	"fluid": word("coolant"), "work-on": word("ordinary"), "state-now": {Is: []string{"safe-and-cold"}}, "can-isolate": word("yes"),
	"reaches": {Is: []string{"nothing-that-matters"}}, "below-waterline": word("no"), "pressure-max": word("1 bar"), "temp-max": word("80 C"),
	"joint-wet": word("yes"), "wet-amount": word("drip"), "growing": word("no"), "crack-seen": word("no"), "would-defeat-safety": word("no"),
}

// with are the harmless answers but for these.
func with(more map[string]rules.AnswerText) map[string]rules.AnswerText {
	out := map[string]rules.AnswerText{}
	for f, v := range harmless {
		out[f] = v
	}
	for f, v := range more {
		out[f] = v
	}
	return out
}

type given = map[string]rules.AnswerText

func at(ids ...string) rules.AnswerText { return rules.AnswerText{Is: ids} }

// refused are the acts that are left to others, by what would have to be done; each line is one way to come to it.
var refused = []struct {
	act, stop string
	given     given
}{
	{"opening a fuel pipe", "fuel", given{"fluid": word("fuel")}},
	{"opening a gas pipe", "fuel-gas", given{"fluid": word("gas")}},
	{"work on a burner or its supply", "fuel-gas", given{"work-on": word("gas-supply")}},
	{"opening a refrigerant circuit", "refrigerant", given{"fluid": word("refrigerant")}},
	{"opening a steam joint", "steam-or-boiler", given{"fluid": word("steam")}},
	{"opening water above 100 C", "steam-or-boiler", given{"fluid": word("water"), "temp-max": word("120 C")}},
	{"work on a vessel under inspection", "coded-vessel", given{"work-on": word("coded-vessel")}},
	{"work on brakes", "brakes", given{"work-on": word("brakes")}},
	{"opening a joint with brake fluid", "brakes", given{"fluid": word("brake-fluid")}},
	{"work on steering", "steering", given{"work-on": word("steering")}},
	{"opening a joint with breathing air", "breathing-air-or-oxygen", given{"fluid": word("breathing-air")}},
	{"work on a supply of breathing air", "breathing-air-or-oxygen", given{"work-on": word("breathing-air")}},
	{"work on what lifts people", "lifted-persons", given{"work-on": word("lifted-persons")}},
	{"hydraulics above 7 bar", "hydraulics-above-7-bar", given{"fluid": word("hydraulic-oil"), "hydraulic-pressure": word("high")}},
	{"hydraulics whose pressure nobody knows", "hydraulics-above-7-bar", given{"fluid": word("hydraulic-oil"), "hydraulic-pressure": word("not-known")}},
	{"hydraulics at 160 bar by the plate", "hydraulics-above-7-bar", given{"fluid": word("hydraulic-oil"), "pressure-max": word("160 bar")}},
	{"anything where it crosses into drinking water", "crossing-into-drinking-water", given{"second-fluid": word("drinking-water"), "both-fluids-mixing": word("yes")}},
	{"a leak that runs into drinking water", "crossing-into-drinking-water", given{"reaches": at("drinking-water")}},
	{"anything while it smells of fuel or gas", "smell-of-fuel-or-gas", given{"fluid": word("other"), "smells-of-fuel": word("yes")}},
}

// stopped are the reasons to stop at once; the diagnosis goes on, the machine does not.
var stopped = []struct {
	what, stop string
	given      given
}{
	{"a jet or mist", "jet-or-mist", given{"wet-amount": word("jet")}},
	{"it grows while one watches", "grows-while-watched", given{"growing": word("yes")}},
	{"water rises", "rising-water", given{"water-rising": word("yes")}},
	{"the joint sits below a waterline", "below-the-waterline", given{"below-waterline": word("yes")}},
	{"the two fluids mix", "fluids-mixing", given{"second-fluid": word("lube-oil"), "both-fluids-mixing": word("yes")}},
	{"a crack in a pressure part", "crack-in-pressure-part", given{"crack-seen": word("yes")}},
	{"it cannot be shut off and is hot", "cannot-be-shut-off", given{"can-isolate": word("no"), "temp-max": word("90 C")}},
	{"it cannot be shut off and runs in a stream", "cannot-be-shut-off", given{"can-isolate": word("no"), "wet-amount": word("stream")}},
	{"a safety device is in the way", "safety-device-in-the-way", given{"would-defeat-safety": word("yes")}},
	{"oil over hot metal", "oil-over-hot-metal", given{"fluid": word("lube-oil"), "reaches": at("hot-metal")}},
	{"it wets electrics", "wet-electrics", given{"reaches": at("electrics")}},
	{"it holds up a load", "held-up-load", given{"work-on": word("held-load")}},
	{"a held-up load hangs below it", "held-up-load", given{"reaches": at("held-up-load")}},
	{"hot liquid above people", "hot-over-people", given{"reaches": at("a-person")}},
	{"liquid in a cylinder", "liquid-in-the-cylinder", given{"level-falls": word("yes"), "stood-and-filled": word("yes")}},
}

func TestEveryRefusedActIsRefusedAtEveryKind(t *testing.T) {
	k, b := knowledge(t)
	for _, c := range refused {
		t.Run(c.act, func(t *testing.T) {
			for _, kind := range kb.Kinds() {
				r, err := told(t, b, kind, with(c.given)).Result(plan.Person{Brief: true})
				require.NoError(t, err)
				require.NotNil(t, r.Stop, "%s: nothing stops it", kind)
				assert.Equal(t, c.stop, r.Stop.ID, kind)
				assert.Equal(t, "stop", r.Run.Verdict, kind)
				assert.Equal(t, []string{r.Stop.Reason}, r.Run.Because, "%s: the reason is what is said first", kind)
				assert.NotEmpty(t, r.Stop.MakeSafe, kind)
				assert.NotEmpty(t, r.Stop.ReferTo, kind)
				if acts := k.Stop(c.stop).Acts; len(acts) > 0 && !r.Stop.Refuses {
					for _, a := range acts {
						assert.Contains(t, r.Stop.Acts, a.Words(), "%s: this act is refused by name", kind)
					}
					continue
				}
				assert.True(t, r.Stop.Refuses, kind)
				assert.Empty(t, r.Plan.Steps, "%s: no plan is written", kind)
				assert.Empty(t, r.Errand, "%s: nobody is sent to look", kind)
				if r.Next != nil {
					f := k.Fact(r.Next.Fact)
					require.NotNil(t, f, "%s: only a question may be left, no check", kind)
					assert.True(t, f.Safety, "%s asks for %s", kind, r.Next.Fact)
				}
			}
		})
	}
}

// Every act that can be refused is refused by some stop, and what is left of the work begins with the load down and blocked.
func TestEveryActThatCanBeRefusedIsRefused(t *testing.T) {
	k, b := knowledge(t)
	for _, a := range rules.Acts() {
		assert.True(t, slices.ContainsFunc(k.Stops, func(st *rules.Stop) bool { return slices.Contains(st.Acts, a) }), "nothing refuses %s", a)
	}
	for _, kind := range []string{"hose-clamp", "reciprocating-seal", "face-gasket", "lip-seal"} {
		r, err := told(t, b, kind, with(given{"fluid": word("hydraulic-oil"), "hydraulic-pressure": word("high"), "last-work": word("remade"), "first-wet": word("at-once")})).Result(plan.Person{})
		require.NoError(t, err)
		for _, n := range r.Errand {
			if c := k.Check(n.Check); c != nil {
				assert.NotContains(t, []rules.Act{rules.PressureTest, rules.MendPipework, rules.PlugPort, rules.OpenAccumulator}, c.Act, "%s: %s", kind, c.ID)
			}
		}
	}
}

func TestEveryReasonToStopStopsEveryKind(t *testing.T) {
	_, b := knowledge(t)
	for _, c := range stopped {
		t.Run(c.what, func(t *testing.T) {
			for _, kind := range kb.Kinds() {
				r, err := told(t, b, kind, with(c.given)).Result(plan.Person{Brief: true})
				require.NoError(t, err)
				require.NotNil(t, r.Stop, "%s: nothing stops it", kind)
				assert.Equal(t, c.stop, r.Stop.ID, kind)
				assert.False(t, r.Stop.Refuses, kind)
				assert.Equal(t, "stop", r.Run.Verdict, kind)
				assert.NotEmpty(t, r.Stop.MakeSafe, kind)
				assert.NotEmpty(t, r.Ranking, "%s: what is seen still ranks the causes", kind)
			}
		})
	}
}

func TestNothingStopsAnOrdinaryJointInAHarmlessPlace(t *testing.T) {
	_, b := knowledge(t)
	for _, kind := range kb.Kinds() {
		r, err := told(t, b, kind, harmless).Result(plan.Person{Brief: true})
		require.NoError(t, err)
		assert.Nil(t, r.Stop, kind)
	}
}

// A stop that is added later has to come with its line above, or this fails.
func TestEveryStopStandsInTheTablesAbove(t *testing.T) {
	k, _ := knowledge(t)
	for _, st := range k.Stops {
		if st.Refuses || len(st.Acts) > 0 {
			assert.True(t, slices.ContainsFunc(refused, func(c struct {
				act, stop string
				given     given
			}) bool {
				return c.stop == st.ID
			}), "no refused act leads to %s", st.ID)
			continue
		}
		assert.True(t, slices.ContainsFunc(stopped, func(c struct {
			what, stop string
			given      given
		}) bool {
			return c.stop == st.ID
		}), "nothing leads to %s", st.ID)
	}
}

// What a step of the plan warns of stands among the cautions of the result, which are shown before it.
func TestEveryStepBringsItsCautions(t *testing.T) {
	k, b := knowledge(t)
	for _, kind := range kb.Kinds() {
		t.Run(kind, func(t *testing.T) {
			r, err := told(t, b, kind, with(given{"last-work": word("remade"), "first-wet": word("at-once")})).Result(plan.Person{})
			require.NoError(t, err)
			var shown []string
			for _, c := range r.Cautions {
				shown = append(shown, c.ID)
			}
			warned := 0
			for _, s := range r.Plan.Steps {
				for _, id := range s.Cautions {
					warned++
					assert.Contains(t, shown, id, s.Action)
					assert.NotNil(t, k.Caution(id), id)
				}
			}
			assert.NotEmpty(t, r.Plan.Steps)
			assert.Positive(t, warned, "no step of the plan carries a caution")
		})
	}
}

// A look at a ram begins with the load down or blocked, and no hand comes near while there is pressure.
func TestARamIsLookedAtWithItsLoadBlocked(t *testing.T) {
	k, b := knowledge(t)
	seen := 0
	for _, c := range k.Checks {
		if !slices.Contains(c.For, "reciprocating-seal") {
			continue
		}
		if c.Stage != rules.Outside && c.Stage != rules.Running {
			continue // stripped and on the bench
		}
		seen++
		blocked := slices.Contains(c.Needs, rules.LoadBlocked)
		warned := slices.Contains(c.Cautions, "held-load") && slices.Contains(c.Cautions, "ram-load-first")
		assert.True(t, blocked || warned, "%s: neither needs the load blocked nor warns of it", c.ID)
	}
	assert.Positive(t, seen)
	r, err := told(t, b, "reciprocating-seal", with(given{"fluid": word("hydraulic-oil"), "hydraulic-pressure": word("high"), "work-on": word("held-load")})).Result(plan.Person{Brief: true})
	require.NoError(t, err)
	assert.Equal(t, "held-up-load", r.Stop.ID, "a load that hangs is at hand; the refused acts stand beside it")
	assert.False(t, r.Stop.GoesOn)
	assert.Len(t, r.Stop.Acts, len(rules.Acts()))
	assert.Contains(t, strings.Join(r.Stop.MakeSafe, " "), k.Stop("hydraulics-above-7-bar").MakeSafe[1], "how to make safe for them too")
	assert.NotEmpty(t, r.Ranking, "what is seen still ranks the causes")
	assert.Contains(t, strings.Join(r.Stop.MakeSafe, " "), "Load down or blocked", "the load comes first")
}

func knowledge(t *testing.T) (*rules.Knowledge, *engine.Brain) {
	t.Helper()
	k, err := kb.Load()
	require.NoError(t, err)
	return k, engine.NewBrain(k)
}
