package engine_test

import (
	"cmp"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine"
	"seepwright/engine/rank"
	"seepwright/rules"
	"seepwright/rules/answer"
	"seepwright/rules/assembly"
	"seepwright/rules/fact"
)

// ranked are the chances of all causes of a session by name, worked out from the network alone.
func ranked(t testing.TB, s *engine.Session) (lead string, p map[string]float64, evidence float64) {
	n, sv, err := s.Network()
	if err != nil {
		return "", nil, 0
	}
	post := sv.Posterior()
	p = map[string]float64{}
	for b, j := range n.Joints {
		for i, c := range j.Model.Causes {
			p[j.ID+"/"+c.ID] = post.Cause[b][i]
		}
		p[j.ID+"/"+engine.UnknownCause] = post.Cause[b][j.Model.Unknown()]
		if len(n.Joints) == 1 {
			away := "from-elsewhere"
			if j.Model.Away != nil {
				away = j.Model.Away.ID
			}
			p[j.ID+"/"+away] = post.Arrives[b]
		}
	}
	for i, c := range n.Shared {
		p["/"+c.ID] = post.Shared[i]
	}
	names := make([]string, 0, len(p))
	for name := range p {
		names = append(names, name)
	}
	slices.SortFunc(names, func(a, b string) int { return cmp.Or(cmp.Compare(p[b], p[a]), cmp.Compare(a, b)) })
	return names[0], p, post.LogEvidence
}

// every lists all answers that could be given to a question with a list of answers.
func every(f *rules.Fact) []fact.Value {
	var out []fact.Value
	switch f.Answer {
	case fact.YesNo:
		out = append(out, fact.MakeYesNo(true), fact.MakeYesNo(false))
	case fact.Choice:
		for _, o := range f.Options {
			out = append(out, fact.MakeChoice(o.ID))
		}
	case fact.Several:
		for _, o := range f.Options {
			out = append(out, fact.MakeSeveral([]string{o.ID}, nil), fact.MakeSeveral(nil, []string{o.ID}))
		}
	}
	return out
}

var mindCases = []struct {
	name, kind string
	history    rules.History
	said       []said
}{
	{"a plug-in pipe after a refit", "radial-oring", rules.AfterRefit, refit},
	{"a plug-in pipe of which little is known", "radial-oring", rules.LongService, refit[:4]},
	{"a ring fitted dry", "radial-oring", rules.AfterRefit, []said{{fact: "fluid", text: "coolant"}, {fact: "last-work", text: "remade"}, {fact: "first-wet", text: "at-once"},
		{fact: "joint-wet", text: "yes"}, {fact: "wet-spread", text: "one-sector"}, {fact: "wet-amount", text: "drip"}, {fact: "last-lubricant", text: "dry"}}},
	{"a hose fitted anew", "hose-clamp", rules.AfterRefit, []said{{fact: "fluid", text: "water"}, {fact: "last-work", text: "remade"}, {fact: "wet-amount", text: "drip"}}},
	{"a flat gasket in long service", "face-gasket", rules.LongService, []said{{fact: "fluid", text: "coolant"}, {fact: "wet-amount", text: "drip"}}},
}

// Every answer to every open question is really given to a session of its own, and the ranking
// then compared with what was said it would be.
func TestWhatTopplesTheOrderIsWhatReallyAnsweringShows(t *testing.T) {
	singles, pairs, chances := 0, 0, 0
	defer func() {
		assert.Positive(t, singles)
		assert.Positive(t, pairs)
		assert.Positive(t, chances)
	}()
	for _, c := range mindCases {
		t.Run(c.name, func(t *testing.T) {
			b := brain(t, c.kind)
			with := func(more func(s *engine.Session)) (string, map[string]float64, float64) {
				s := session(t, b, assembly.Single(c.kind), c.history)
				tell(t, s, c.said...)
				more(s)
				return ranked(t, s)
			}
			s := session(t, b, assembly.Single(c.kind), c.history)
			tell(t, s, c.said...)
			before := asJSON(t, result(t, s))
			m, err := s.Mind()
			require.NoError(t, err)
			require.Equal(t, before, asJSON(t, result(t, s)), "asking leaves no trace")
			lead, now, evidence := ranked(t, s)
			require.Empty(t, m.Silent)
			require.Equal(t, lead, m.First[0].Joint+"/"+m.First[0].Cause)
			require.InDelta(t, now[lead], m.First[0].Probability, 1e-12)

			for _, x := range m.Topples {
				require.Contains(t, []int{1, 2}, len(x.Answers))
				if len(x.Answers) == 1 {
					singles++
				} else {
					pairs++
				}
				first, p, _ := with(func(s *engine.Session) {
					for _, a := range x.Answers {
						_, err := s.Answer("joint", a.Fact, read(t, s.Knowledge().Fact(a.Fact), a.Value))
						require.NoError(t, err)
					}
				})
				name := x.Rival.Joint + "/" + x.Rival.Cause
				assert.Equal(t, name, first, "%v", x.Answers)
				assert.InDelta(t, p[name], x.Rival.Probability, 1e-12)
				assert.InDelta(t, now[name], x.Now, 1e-12)
				assert.InDelta(t, p[lead], x.First.Probability, 1e-12)
				if x.Chance == nil || len(x.Answers) == 2 {
					continue
				}
				// The chance that an answer comes is the evidence with it as a sign over the evidence without.
				f := s.Knowledge().Fact(x.Answers[0].Fact)
				n, _, err := s.Network()
				require.NoError(t, err)
				if !n.Joints[0].Model.IsSign(f.ID) {
					continue
				}
				a := n.Rank
				a.Blocks = slices.Clone(a.Blocks)
				a.Blocks[0].Findings = append(slices.Clone(a.Blocks[0].Findings), n.Findings(0, f, read(t, f, x.Answers[0].Value))...)
				post, err := rank.SolveAssembly(a)
				require.NoError(t, err)
				assert.InDelta(t, math.Exp(post.LogEvidence-evidence), *x.Chance, 1e-9, f.ID)
				chances++
			}

			// All single answers, one by one.
			firsts := map[string][]found{}
			for _, f := range s.Knowledge().Facts {
				if f.Engine || !rules.Applies(f.For, c.kind) {
					continue
				}
				if _, ok, clash := s.Memory().Value(s.Key("joint", f.ID)); ok || clash {
					continue
				}
				if f.AskIf != nil && f.AskIf.Cond.Eval(s.Memory().Env("joint")).Truth == fact.False {
					continue
				}
				stage, minutes, ok := effort(s.Knowledge(), f, c.kind)
				if !ok {
					continue
				}
				for _, v := range every(f) {
					first, _, e := with(func(s *engine.Session) { _, _ = s.Answer("joint", f.ID, v) })
					firsts[first] = append(firsts[first], found{f.ID, stage, minutes, math.Exp(e - evidence)})
				}
			}
			for _, x := range m.Topples {
				list := firsts[x.Rival.Joint+"/"+x.Rival.Cause]
				if len(x.Answers) == 2 {
					for _, y := range list {
						assert.Less(t, y.chance, 0.01, "%s alone does it for %s", y.fact, x.Rival.Cause)
					}
					continue
				}
				at := slices.Index(rules.Stages(), rules.Stage(x.Answers[0].Stage))
				for _, y := range list {
					cheaper := y.stage < at || y.stage == at && y.minutes < x.Minutes
					assert.False(t, cheaper && y.chance >= 0.011 && !fed(s, y.fact), "%s is cheaper for %s", y.fact, x.Rival.Cause)
				}
			}
			for _, x := range m.Steady {
				for _, y := range firsts[x.Joint+"/"+x.Cause] {
					assert.Less(t, y.chance, 0.01, "%s puts %s first", y.fact, x.Cause)
				}
			}
			assert.True(t, slices.IsSortedFunc(m.Topples, func(a, b engine.Topple) int { return last(a) - last(b) }), "the earlier stage first")
		})
	}
}

// found is one answer that puts some cause first.
type found struct {
	fact    string
	stage   int
	minutes float64
	chance  float64
}

func last(x engine.Topple) int {
	n := 0
	for _, a := range x.Answers {
		n = max(n, slices.Index(rules.Stages(), rules.Stage(a.Stage)))
	}
	return n
}

// fed reports whether a fact is read by a rule or a context, so that its answer changes more
// than one sign.
func fed(s *engine.Session, id string) bool {
	k := s.Knowledge()
	for _, r := range k.Rules {
		if slices.Contains(r.When.Cond.Facts(), id) {
			return true
		}
	}
	for _, c := range k.Causes {
		for i := range c.Context {
			if slices.Contains(c.Context[i].When.Cond.Facts(), id) {
				return true
			}
		}
	}
	return false
}

// effort is the least stage and minutes in which a question can be answered.
func effort(k *rules.Knowledge, f *rules.Fact, kind string) (stage int, minutes float64, ok bool) {
	stage, minutes = slices.Index(rules.Stages(), f.Stage), max(0.5, f.Minutes)
	if f.Stage == rules.Told {
		return stage, minutes, true
	}
	best := 100
	for _, c := range k.Checks {
		if !slices.Contains(c.Fills, f.ID) {
			continue
		}
		if strings.HasPrefix(c.ID, "retest-") {
			return 0, 0, false
		}
		if at := slices.Index(rules.Stages(), c.Stage); rules.Applies(c.For, kind) && (at < best || at == best && c.Minutes < minutes) {
			best, stage, minutes = at, at, c.Minutes
		}
	}
	return stage, minutes, true
}

// read turns the value of a JSON result into an answer again.
func read(t testing.TB, f *rules.Fact, v any) fact.Value {
	switch x := v.(type) {
	case string:
		got, err := answer.ReadText(f, x, nil)
		require.NoError(t, err)
		return got
	case map[string][]string:
		return fact.MakeSeveral(x["is"], x["not"])
	}
	require.Fail(t, "no answer", "%T", v)
	return fact.Value{}
}

func TestTheRankingWithoutAnAnswerIsThatOfASessionThatNeverHadIt(t *testing.T) {
	for _, c := range mindCases {
		t.Run(c.name, func(t *testing.T) {
			b := brain(t, c.kind)
			s := session(t, b, assembly.Single(c.kind), c.history)
			tell(t, s, c.said...)
			m, err := s.Mind()
			require.NoError(t, err)
			lead, now, _ := ranked(t, s)
			said := map[string]engine.Without{}
			for _, w := range m.Without {
				said[w.Finding] = w
			}
			carried := false
			for i := range c.said {
				left := session(t, b, assembly.Single(c.kind), c.history)
				tell(t, left, slices.Concat(c.said[:i], c.said[i+1:])...)
				first, p, _ := ranked(t, left)
				carried = carried || first != lead
				factor := odds(now[lead]) / odds(p[lead])
				w, ok := said[c.said[i].fact]
				if !ok {
					assert.Equal(t, lead, first, c.said[i].fact)
					assert.InDelta(t, 0, math.Log(factor), math.Log(1.5)+1e-9, c.said[i].fact)
					continue
				}
				assert.InEpsilon(t, factor, w.Factor, 1e-9, c.said[i].fact)
				assert.Equal(t, first != lead, w.ChangesFirst)
				for _, x := range w.First {
					assert.InDelta(t, p[x.Joint+"/"+x.Cause], x.Probability, 1e-12)
				}
			}
			assert.Equal(t, carried, m.Carried)
		})
	}
}

// At the value where a verdict is said to turn, a session that was given that value says so;
// at the last value where it is said to hold it still holds.
func TestAVerdictTurnsWhereItIsSaidTo(t *testing.T) {
	b := brain(t, "radial-oring")
	base := append(slices.Clone(refit), said{fact: "bore-readings", text: "38.10 mm; 38.14 mm"})
	s := session(t, b, assembly.Single("radial-oring"), "")
	tell(t, s, base...)
	m, err := s.Mind()
	require.NoError(t, err)
	require.NotEmpty(t, m.Flips)
	for _, x := range m.Flips {
		at := func(value string) string {
			s := session(t, b, assembly.Single("radial-oring"), "")
			for _, a := range base {
				if a.fact == x.Fact {
					a.text = value + " by micrometer"
				}
				k := s.Knowledge().Fact(a.fact)
				v, err := answer.ReadText(k, a.text, answer.Instruments(s.Knowledge().Instruments))
				if v.Answered() { // one that is hard to believe is meant here
					err = nil
				}
				require.NoError(t, err)
				_, err = s.Answer("joint", a.fact, v)
				require.NoError(t, err)
			}
			v, ok, _ := s.Memory().Value(s.Key("joint", x.Verdict))
			if !ok {
				return ""
			}
			return engine.Say(s.Knowledge().Fact(x.Verdict), v)
		}
		assert.NotEqual(t, x.Now, x.Then)
		assert.Equal(t, x.Now, at(beyond(x.Holds, x.From, -1)), "%s: %s holds to %s", x.Fact, x.Verdict, x.Holds)
		assert.Equal(t, x.Then, at(beyond(x.From, x.Holds, -1)), "%s: %s turns at %s", x.Fact, x.Verdict, x.From)
	}
}

// beyond moves a value in mm by two thousandths away from another.
func beyond(value, from string, sign float64) string {
	var x, y float64
	fmt.Sscanf(value, "%g", &x)
	fmt.Sscanf(from, "%g", &y)
	return fmt.Sprintf("%.4f mm", x+0.002*sign*math.Copysign(1, y-x))
}

func TestTwoCausesTogetherAreThePairThatIsMostProbable(t *testing.T) {
	named := 0
	for _, c := range mindCases {
		t.Run(c.name, func(t *testing.T) {
			s := session(t, brain(t, c.kind), assembly.Single(c.kind), c.history)
			tell(t, s, c.said...)
			m, err := s.Mind()
			require.NoError(t, err)
			n, sv, err := s.Network()
			require.NoError(t, err)
			best := 0.0
			p := sv.Posterior().Cause[0]
			order := make([]int, len(p))
			for i := range order {
				order[i] = i
			}
			slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(p[b], p[a]) })
			for i, a := range order[:6] {
				for _, b := range order[:i] {
					both, err := sv.Pair(rank.CauseRef{Cause: a}, rank.CauseRef{Cause: b})
					require.NoError(t, err)
					best = max(best, both.Both)
				}
			}
			if best < 0.03 {
				assert.Nil(t, m.Both)
			} else {
				named++
				require.NotNil(t, m.Both)
				assert.InDelta(t, best, m.Both.Probability, 1e-12)
				assert.LessOrEqual(t, m.Both.Probability, min(m.Both.A.Probability, m.Both.B.Probability))
			}
			sets, err := sv.MostProbableSets(3)
			require.NoError(t, err)
			require.Len(t, m.Sets, len(sets))
			for i, x := range m.Sets {
				assert.InDelta(t, sets[i].P, x.Probability, 1e-12)
				require.Len(t, x.Causes, len(sets[i].Causes))
				for k, ref := range sets[i].Causes {
					if ref.Cause < len(n.Joints[0].Model.Causes) {
						assert.Equal(t, n.Joints[0].Model.Causes[ref.Cause].ID, x.Causes[k].Cause)
					}
				}
			}
		})
	}
	assert.Positive(t, named, "a case in which two causes are probably there together")
}

// One answer that was taken for like joints is one answer: left out, it is left out at all of them.
func TestAnAnswerForLikeJointsIsLeftOutAtAllOfThem(t *testing.T) {
	b := brain(t, "radial-oring")
	pair := func() *engine.Session {
		asm := &assembly.Assembly{Title: "two pipes", Joints: []assembly.Joint{{ID: "a", Kind: "radial-oring", Like: "pipe"}, {ID: "b", Kind: "radial-oring", Like: "pipe"}}}
		return session(t, b, asm, "")
	}
	lead := func(s *engine.Session) map[string]float64 { _, p, _ := ranked(t, s); return p }
	s := pair()
	wet := []said{{"a", "joint-wet", "yes"}, {"b", "joint-wet", "yes"}, {"", "fluid", "coolant"}}
	tell(t, s, wet...)
	without := lead(s)
	tell(t, s, said{"a", "last-lubricant", "dry"})
	v, ok, _ := s.Memory().Value(s.Key("b", "last-lubricant"))
	require.True(t, ok, "a fact of like joints: %v", v)
	m, err := s.Mind()
	require.NoError(t, err)
	n := 0
	for _, w := range m.Without {
		if w.Finding != "last-lubricant" {
			continue
		}
		n++
		for _, x := range w.First {
			assert.InDelta(t, without[x.Joint+"/"+x.Cause], x.Probability, 1e-12)
		}
	}
	assert.Equal(t, 1, n)
}

func TestAResultHasNoMindUnlessAskedAndItsListsAreNeverNull(t *testing.T) {
	b := brain(t, "hose-clamp")
	s := session(t, b, assembly.Single("hose-clamp"), "")
	r := result(t, s)
	assert.Nil(t, r.Mind)
	m, err := s.Mind()
	require.NoError(t, err)
	data, err := json.Marshal(m)
	require.NoError(t, err)
	for _, name := range []string{"first", "topples", "steady", "flips", "without", "sets"} {
		assert.NotContains(t, string(data), fmt.Sprintf("%q:null", name))
	}
}

// On a unit of several joints, where an answer may be taken for like joints and causes may be
// shared, the answers named really put that cause first.
func TestWhatTopplesTheOrderOnAUnitIsWhatReallyAnsweringShows(t *testing.T) {
	b := brain(t, "radial-oring", "hose-clamp")
	unit := func() *engine.Session {
		asm := &assembly.Assembly{Title: "two pipes and a hose", Joints: []assembly.Joint{{ID: "a", Kind: "radial-oring", Like: "pipe", Above: []string{"c"}}, {ID: "b", Kind: "radial-oring", Like: "pipe"}, {ID: "c", Kind: "hose-clamp"}}}
		s := session(t, b, asm, "")
		tell(t, s, said{"a", "joint-wet", "yes"}, said{"b", "joint-wet", "yes"}, said{"a", "fluid", "coolant"}, said{"a", "wet-amount", "drip"})
		return s
	}
	s := unit()
	m, err := s.Mind()
	require.NoError(t, err)
	require.NotEmpty(t, m.Topples)
	lead, now, _ := ranked(t, s)
	require.Equal(t, lead, m.First[0].Joint+"/"+m.First[0].Cause)
	for _, x := range m.Topples {
		s := unit()
		for _, a := range x.Answers {
			joint := cmp.Or(a.Joint, "a")
			if _, ok := s.Assembly().Joint(joint); !ok {
				joint = "a" // of a circuit
			}
			_, err := s.Answer(joint, a.Fact, read(t, s.Knowledge().Fact(a.Fact), a.Value))
			require.NoError(t, err)
		}
		first, p, _ := ranked(t, s)
		name := x.Rival.Joint + "/" + x.Rival.Cause
		assert.Equal(t, name, first, "%v", x.Answers)
		assert.InDelta(t, p[name], x.Rival.Probability, 1e-12)
		assert.InDelta(t, now[name], x.Now, 1e-12)
		assert.InDelta(t, p[lead], x.First.Probability, 1e-12)
	}
}

// Not only what topples the order: the ranking after every open answer, signs that rules read
// among them, is that of a session to which it was really given.
func TestTheRankingAfterEveryOpenAnswerIsThatOfReallyAnswering(t *testing.T) {
	for _, c := range mindCases {
		t.Run(c.name, func(t *testing.T) {
			b := brain(t, c.kind)
			s := session(t, b, assembly.Single(c.kind), c.history)
			tell(t, s, c.said...)
			list, err := s.SupposeAll()
			require.NoError(t, err)
			require.Greater(t, len(list), 50)
			for _, x := range list {
				s := session(t, b, assembly.Single(c.kind), c.history)
				tell(t, s, c.said...)
				_, err := s.Answer("joint", x.Fact, x.Value)
				require.NoError(t, err)
				first, p, _ := ranked(t, s)
				require.Equal(t, p[first], p[x.Then[0].Joint+"/"+x.Then[0].Cause], "%s: %v", x.Fact, x.Value)
				for _, y := range x.Then {
					require.InDelta(t, p[y.Joint+"/"+y.Cause], y.Probability, 1e-12, "%s: %v", x.Fact, x.Value)
				}
			}
		})
	}
}
