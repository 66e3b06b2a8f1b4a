package kb_test

import (
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
)

// mover is one thing that multiplies the odds of a cause: a context of its own, or a rule.
type mover struct {
	name, unless string
	known        map[string]bool // what has to be told before the fact in unless is known
	up           bool
	direct       []string        // the facts that its condition names
	told         map[string]bool // the answers of a person that it rests on, through all rules
}

// givesWayTo reports whether a guess no longer counts where the other thing is known.
func (m mover) givesWayTo(better mover) bool {
	if m.unless == "" || slices.Contains(better.direct, m.unless) {
		return m.unless != ""
	}
	for id := range m.known {
		if !better.told[id] {
			return false
		}
	}
	return len(m.known) > 0
}

// moversOf lists what moves each cause, by its reference.
func moversOf(k *rules.Knowledge) map[string][]mover {
	from := map[string][]string{} // what a concluded or computed fact rests on
	for _, r := range k.Rules {
		for _, a := range r.Then {
			if a.Conclude != nil {
				from[a.Conclude.Fact] = append(from[a.Conclude.Fact], r.When.Cond.Facts()...)
			}
			if a.Compute != nil {
				for _, into := range a.Compute.Into {
					from[into] = append(from[into], r.When.Cond.Facts()...)
					for _, in := range a.Compute.From {
						if k.Fact(in) != nil {
							from[into] = append(from[into], in)
						}
					}
				}
			}
		}
	}
	read := func(name string, w rules.When, times float64, unless, kind string) mover {
		told := func(ids ...string) map[string]bool {
			out, seen := map[string]bool{}, map[string]bool{}
			var walk func(string)
			walk = func(id string) {
				f := k.Fact(id)
				if seen[id] || f == nil || kind != "" && !rules.Applies(f.For, kind) {
					return
				}
				seen[id] = true
				if !f.Engine {
					out[id] = true
				}
				for _, in := range from[id] {
					walk(in)
				}
			}
			for _, id := range ids {
				walk(id)
			}
			return out
		}
		facts := w.Cond.Facts()
		return mover{name: name, unless: unless, up: times > 1, direct: facts, told: told(facts...), known: told(unless)}
	}
	out := map[string][]mover{}
	for _, c := range k.Causes {
		for _, x := range c.Context {
			out[c.Ref()] = append(out[c.Ref()], read("context "+x.When.Text, x.When, x.Times, x.Unless, c.For))
		}
	}
	for _, r := range k.Rules {
		for _, a := range r.Then {
			for _, mv := range []*rules.MoveCause{a.Raise, a.Lower} {
				if mv == nil {
					continue
				}
				ref := mv.Cause
				if !strings.Contains(ref, "/") {
					ref = r.For[0] + "/" + ref
				}
				if c := k.Cause(ref); c != nil {
					out[ref] = append(out[ref], read("rule "+r.ID, r.When, mv.Times, mv.Unless, c.For))
				}
			}
		}
	}
	return out
}

// whyBoth says, for two things that rest on the same answer and both move a cause the same way, why both may count:
// they exclude each other, or the second adds what the first cannot see.
var whyBoth = map[string]string{
	"rule unsuited-rubber-leaks & rule doubtful-rubber-leaks-later":                                "grade 4 and grade 3 exclude each other",
	"rule unsuited-rubber-leaks & rule overheated-rubber-hardens":                                  "the fluid and the heat are two harms",
	"rule doubtful-rubber-leaks-later & rule overheated-rubber-hardens":                            "the fluid and the heat are two harms",
	"rule unsuited-rubber-leaks & rule wrong-grease-swells-the-seal":                               "the fluid and the grease are two harms",
	"rule doubtful-rubber-leaks-later & rule wrong-grease-swells-the-seal":                         "the fluid and the grease are two harms",
	"rule doubtful-rubber-leaks-later & rule doubtful-grease-may-swell-it":                         "the fluid and the grease are two harms",
	"rule unsuited-rubber-leaks & rule doubtful-grease-may-swell-it":                               "the fluid and the grease are two harms",
	"rule overheated-rubber-hardens & rule wrong-grease-swells-the-seal":                           "the heat and the grease are two harms",
	"rule overheated-rubber-hardens & rule doubtful-grease-may-swell-it":                           "the heat and the grease are two harms",
	"rule suited-rubber-holds & rule harmless-grease-clears-the-rubber":                            "no harm by the fluid and none by the grease",
	"rule suited-rubber-holds & rule cool-rubber-ages-slowly":                                      "no harm by the fluid and none by the heat",
	"rule cool-rubber-ages-slowly & rule harmless-grease-clears-the-rubber":                        "no harm by the heat and none by the grease",
	"rule strange-fluid-comes-from-elsewhere & rule water-from-outside-clears-the-joint":           "rain is no fluid of another circuit",
	"rule bath-ate-the-seat & rule acid-left-in-pits":                                              "eaten in the bath, and by what was left after it",
	"rule bath-met-a-wrong-metal & rule acid-left-in-pits":                                         "eaten in the bath, and by what was left after it",
	"rule mixed-coolants-may-gel & rule strong-coolant-leaves-crust":                               "two kinds mixed, and too much of one",
	"context hose-material is pvc and temp-max > 50 C & rule unsuited-rubber-leaks":                "a hose of PVC has no rubber",
	"context hose-material is pvc and temp-max > 50 C & rule doubtful-rubber-leaks-later":          "a hose of PVC has no rubber",
	"context lip-rubber is fluoro & rule harmless-grease-clears-the-rubber":                        "it stands the heat, and the grease does no harm",
	"rule lip-too-fast-for-nitrile & rule overheated-rubber-hardens":                               "the speed heats the lip, not the oil",
	"rule lip-too-fast-for-nitrile & rule unsuited-rubber-leaks":                                   "the speed and the fluid are two harms",
	"rule lip-too-fast-for-nitrile & rule doubtful-rubber-leaks-later":                             "the speed and the fluid are two harms",
	"rule lip-too-fast-for-nitrile & rule wrong-grease-swells-the-seal":                            "the speed and the grease are two harms",
	"rule ram-polyurethane-in-hot-wet-oil & rule unsuited-rubber-leaks":                            "water in the oil is not in the table of fluids",
	"rule ram-polyurethane-in-hot-wet-oil & rule doubtful-rubber-leaks-later":                      "water in the oil is not in the table of fluids",
	"rule ram-polyurethane-in-hot-wet-oil & rule wrong-grease-swells-the-seal":                     "the water and the grease are two harms",
	"context ram-wet-oil is yes & rule ram-polyurethane-in-hot-wet-oil":                            "the rule adds what heat does to polyurethane",
	"context ram-rubber is epdm and fluid is hydraulic-oil & rule ram-polyurethane-in-hot-wet-oil": "a seal is of one rubber",
	"context ram-rubber is epdm and fluid is hydraulic-oil & rule wrong-grease-swells-the-seal":    "the fluid and the grease are two harms",
	"context ram-rubber is epdm and fluid is hydraulic-oil & rule doubtful-grease-may-swell-it":    "the fluid and the grease are two harms",
	"context fluid is one of (fuel, brake-fluid, other) & rule doubtful-grease-may-swell-it":       "the fluid and the grease are two harms",
	"context last-lubricant is dry & rule thin-lubricant-rolls-rings":                              "on a worn seat dry is worse than on a new one",
	"context times-failed >= 2 and new-seal is new & rule hidden-end-not-round":                    "the rule adds that the end is hard to see",
	"context times-failed >= 2 & rule hidden-end-not-round":                                        "the rule adds that the end is hard to see",
	"context times-failed >= 2 & rule face-third-reseal":                                           "the rule adds that the faces were measured good",
	"context sealant-two-metals is yes & rule sealant-layer-too-thin-to-stretch":                   "the rule adds that the layer is thin",
	"context fin-clearance < 5 mm & rule fin-too-close":                                            "the rule adds that it is closer still",
	"context port-body-is is aluminium & rule port-torque-over-the-top":                            "aluminium is easily overdone by feel; the rule adds what the wrench read",
	"context cock-kind is gland & rule cock-gland-nipped-out":                                      "the rule adds how far the gland was turned",
	"context ring-section < 2.2 mm & context lead-in-poor is yes":                                  "thin rings nick easily, and here the lead-in is poor as well",
	"rule thin-lubricant-rolls-rings & rule wrong-grease-swells-the-seal":                          "dry and greased exclude each other",
	"rule thin-lubricant-rolls-rings & rule doubtful-grease-may-swell-it":                          "dry and greased exclude each other",
	"context gasket-unsuited is yes & rule doubtful-grease-may-swell-it":                           "the fluid and the grease are two harms",
	"context gasket-unsuited is yes & rule wrong-grease-swells-the-seal":                           "the fluid and the grease are two harms",
	"context coolants-mixed is yes & context coolant-tired is yes":                                 "two kinds mixed and a coolant past its age are two harms",
	"context joint-hot is yes & rule unsuited-rubber-leaks":                                        "the heat and the fluid are two harms",
	"context joint-hot is yes & rule doubtful-rubber-leaks-later":                                  "the heat and the fluid are two harms",
}

// What was told once moves the odds of a cause once. A rough guess says what it gives way to (unless known);
// all else that rests on the same answer has its reason in the table above.
func TestNoAnswerCountsTwice(t *testing.T) {
	k, err := kb.Load()
	require.NoError(t, err)
	used := map[string]bool{}
	for ref, list := range moversOf(k) {
		for i, a := range list {
			for _, b := range list[i+1:] {
				if a.up != b.up || a.givesWayTo(b) || b.givesWayTo(a) {
					continue
				}
				if strings.HasPrefix(a.name, "context") && strings.HasPrefix(b.name, "context") && sameFacts(a, b) {
					continue // two options, or two steps, of one answer
				}
				var both []string
				for id := range a.told {
					if b.told[id] {
						both = append(both, id)
					}
				}
				if len(both) == 0 {
					continue
				}
				slices.Sort(both)
				pair, back := a.name+" & "+b.name, b.name+" & "+a.name
				switch {
				case whyBoth[pair] != "":
					used[pair] = true
				case whyBoth[back] != "":
					used[back] = true
				case whyBoth[ref+": "+pair] != "":
					used[ref+": "+pair] = true
				default:
					assert.Fail(t, fmt.Sprintf("%s: %s, and %s, both rest on %v", ref, a.name, b.name, both),
						"say in one of them what it gives way to, as unless known: FACT, or give the reason why both count")
				}
			}
		}
	}
	for pair := range whyBoth {
		assert.True(t, used[pair], "no longer needed: %s", pair)
	}
}

// sameFacts reports whether two conditions name the same facts: options or steps of the same answers.
func sameFacts(a, b mover) bool {
	return slices.ContainsFunc(a.direct, func(id string) bool { return slices.Contains(b.direct, id) })
}

// A guess counts until the better word is known, and then not at all: not beside it, and not against it.
func TestARoughGuessGivesWay(t *testing.T) {
	k, err := kb.Load()
	require.NoError(t, err)
	b := engine.NewBrain(k)
	odds := func(given map[string]rules.AnswerText) float64 {
		given["joint-wet"], given["last-work"] = word("yes"), word("remade")
		r, err := told(t, b, "quad-ring", given).Result(plan.Person{})
		require.NoError(t, err)
		for _, c := range r.Ranking {
			if c.Cause == "wrong-size-or-rubber" {
				return c.Probability / (1 - c.Probability)
			}
		}
		require.Fail(t, "not ranked")
		return 0
	}
	alone := odds(map[string]rules.AnswerText{"fluid": word("coolant")})
	guess := odds(map[string]rules.AnswerText{"fluid": word("coolant"), "last-lubricant": word("mineral-grease-or-oil")})
	proved := odds(map[string]rules.AnswerText{"fluid": word("coolant"), "last-lubricant": word("mineral-grease-or-oil"), "seal-rubber": word("epdm")})
	cleared := odds(map[string]rules.AnswerText{"fluid": word("coolant"), "last-lubricant": word("mineral-grease-or-oil"), "seal-rubber": word("nbr")})
	assert.Greater(t, guess, 2*alone, "coolant rings are mostly EPDM, which this grease swells")
	assert.Greater(t, proved, guess, "it is EPDM")
	assert.Less(t, proved, 8*alone, "and counts once")
	assert.Less(t, cleared, alone, "it is nitrile, which this grease does not harm")
}
