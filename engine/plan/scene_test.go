package plan

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine/derive"
	"seepwright/engine/infer"
	"seepwright/engine/network"
	"seepwright/engine/rank"
	"seepwright/kb"
	"seepwright/rules"
	"seepwright/rules/assembly"
	"seepwright/rules/fact"
)

// problem is a case of the built-in knowledge: answers by joint and fact.
func problem(t testing.TB, asm *assembly.Assembly, answers map[fact.Key]fact.Value) *Problem {
	var kinds []string
	for _, j := range asm.Joints {
		kinds = append(kinds, j.Kind)
	}
	k, err := kb.Load(kinds...)
	require.NoError(t, err)
	mem := infer.New(infer.Compile(k), asm, derive.Library{Tables: k.Tables})
	for key, v := range answers {
		require.NotNil(t, k.Fact(key.Fact), key.Fact)
		mem.Tell(mem.Key(key.Joint, key.Fact), v, infer.Answered)
	}
	n, err := network.Build(k, network.NewModels(k), asm, mem, rules.AfterRefit, nil)
	require.NoError(t, err)
	sv, err := rank.NewSolver(n.Rank, 0)
	require.NoError(t, err)
	return &Problem{KB: k, Index: NewIndex(k), Asm: asm, Mem: mem, Net: n, Solver: sv, Post: sv.Posterior()}
}

var yes, no = fact.MakeYesNo(true), fact.MakeYesNo(false)

// one case of each kind, invented.
var oneJoint = map[string]map[string]fact.Value{
	"radial-oring": {"wet-spread": fact.MakeChoice("one-sector"), "wet-amount": fact.MakeChoice("drip"), "ring-hard": no, "seat-pits": yes},
	"hose-clamp":   {"wet-amount": fact.MakeChoice("weep"), "clamp-slack": yes, "wet-when": fact.MakeSeveral([]string{"cold"}, nil)},
	"face-gasket":  {"wet-spread": fact.MakeChoice("one-sector"), "wet-amount": fact.MakeChoice("weep")},
	"tie-rod-cap":  {"wet-amount": fact.MakeChoice("drip")},
}

func keyed(joint string, given map[string]fact.Value) map[fact.Key]fact.Value {
	out := map[fact.Key]fact.Value{}
	for id, v := range given {
		out[fact.Key{Joint: joint, Fact: id}] = v
	}
	return out
}

func TestThePictureOfOneJointIsThePosteriorUpToTheSetsLeftOut(t *testing.T) {
	for kind, given := range oneJoint {
		p := problem(t, assembly.Single(kind), keyed("joint", given))
		b := p.prepare()
		got := b.scene.shares(nil)
		worst := 0.0
		for i, want := range b.chance {
			worst = max(worst, math.Abs(got[i]-want))
		}
		t.Logf("%s: %d sets, off by at most %.4f", kind, len(b.scene.sets), worst)
		assert.Less(t, worst, 0.03, kind)
		assert.False(t, b.scene.drawn)
	}
}

func TestThePictureOfAUnitHasTheChancesOfItsJoints(t *testing.T) {
	asm := &assembly.Assembly{Joints: []assembly.Joint{
		{ID: "a", Kind: "radial-oring"}, {ID: "b", Kind: "hose-clamp"}, {ID: "c", Kind: "face-gasket"},
	}}
	given := map[fact.Key]fact.Value{
		{Joint: "a", Fact: "joint-wet"}: yes, {Joint: "b", Fact: "joint-wet"}: yes,
		{Joint: "a", Fact: "wet-amount"}: fact.MakeChoice("drip"), {Joint: "b", Fact: "clamp-slack"}: yes,
	}
	p := problem(t, asm, given)
	b := p.prepare()
	assert.True(t, b.scene.drawn, "two joints are wet, so both may be at fault")
	at := make([]float64, b.groups())
	for _, set := range b.scene.sets {
		seen := map[int]bool{}
		for _, f := range set.Faults {
			if g := b.group[b.scene.item[f]]; !seen[g] {
				seen[g] = true
				at[g] += set.Chance / b.scene.total
			}
		}
	}
	for g, got := range at {
		assert.InDelta(t, b.fault(p.Post.Marginals, b.wet, g), got, 0.08, "group %d", g)
	}
}

// What the picture says of an answer is what the exact look-ahead says of it.
func TestTheChanceOfAnAnswerIsTheExactOne(t *testing.T) {
	weighed := 0
	for kind, given := range oneJoint {
		p := problem(t, assembly.Single(kind), keyed("joint", given))
		b := p.prepare()
		for _, l := range p.candidates(&b) {
			for _, pr := range l.probes {
				if len(pr.context) > 0 {
					continue
				}
				outs, err := p.Solver.LookAhead(pr.answers)
				require.NoError(t, err)
				tell := p.tell(&b.scene, pr, &slate{})
				rows := b.scene.table(telling{at: tell.at, mass: tell.mass, rows: tell.rows, known: 1}, telling{})
				require.GreaterOrEqual(t, len(rows), len(pr.answers))
				for a, o := range outs {
					got := 0.0
					for e, set := range b.scene.sets {
						got += set.Chance * rows[a][e] / b.scene.total
					}
					assert.InDelta(t, o.P, got, 0.03, "%s, %s, answer %d", kind, pr.fact.ID, a)
					if o.P < 0.05 { // what hardly comes hardly counts
						continue
					}
					weighed++
					want, then := b.marginals(o.Posterior.Marginals), b.scene.shares(rows[a])
					for i := range want {
						assert.InDelta(t, want[i], then[i], 0.06, "%s, %s, answer %d, cause %d", kind, pr.fact.ID, a, i)
					}
				}
			}
		}
	}
	assert.Greater(t, weighed, 200)
}

func TestEveryLookTellsWithChancesThatAddUpToOne(t *testing.T) {
	for kind, given := range oneJoint {
		p := problem(t, assembly.Single(kind), keyed("joint", given))
		b := p.prepare()
		for _, l := range p.candidates(&b) {
			rows := b.scene.table(p.tellings(&b.scene, l.probes, &slate{}))
			for e := range b.scene.sets {
				sum := 0.0
				for _, row := range rows {
					sum += row[e]
				}
				if rows != nil {
					require.InDelta(t, 1, sum, 1e-9, fmt.Sprint(kind, l.Check, l.Fact))
				}
			}
		}
	}
}

func TestNoLookSavesLessThanNothing(t *testing.T) {
	for kind, given := range oneJoint {
		p := problem(t, assembly.Single(kind), keyed("joint", given))
		b := p.prepare()
		list, err := p.advise(&b, p.candidates(&b))
		require.NoError(t, err)
		require.NotEmpty(t, list, kind)
		for _, l := range list {
			assert.GreaterOrEqual(t, l.Saves, 0.0, l.Check+l.Fact)
			assert.LessOrEqual(t, l.Saves, b.advice.Act)
		}
		assert.LessOrEqual(t, b.advice.Bounds.Lower(), b.advice.Minutes+1e-9)
		assert.LessOrEqual(t, b.advice.Minutes, b.advice.Act+1e-9)
	}
}

// BenchmarkLooks values every open look of one joint, and of a unit of twenty.
func BenchmarkLooks(b *testing.B) {
	twenty := &assembly.Assembly{}
	given := map[fact.Key]fact.Value{}
	for i := range 20 {
		id := fmt.Sprintf("j%02d", i)
		twenty.Joints = append(twenty.Joints, assembly.Joint{ID: id, Kind: kb.Kinds()[i%4]})
		if i < 4 {
			given[fact.Key{Joint: id, Fact: "joint-wet"}] = yes
		}
	}
	for _, u := range []struct {
		name  string
		asm   *assembly.Assembly
		given map[fact.Key]fact.Value
	}{{"joints=1", assembly.Single("radial-oring"), keyed("joint", oneJoint["radial-oring"])}, {"joints=20", twenty, given}} {
		p := problem(b, u.asm, u.given)
		b.Run(u.name, func(b *testing.B) {
			n := 0
			for b.Loop() {
				d := p.prepare()
				list, err := p.advise(&d, p.candidates(&d))
				require.NoError(b, err)
				n = len(list)
			}
			b.ReportMetric(float64(n), "looks")
		})
	}
}

// The chance that nothing is left after some cures is the exact one of the posterior.
func TestTheChanceThatItIsDryAfterCuresIsTheExactOne(t *testing.T) {
	for kind, given := range oneJoint {
		p := problem(t, assembly.Single(kind), keyed("joint", given))
		b := p.prepare()
		var treated []rank.CauseRef
		in := map[int]bool{}
		for k := range b.cures {
			for _, c := range b.cures[k].causes {
				in[b.item(c)] = true
				treated = append(treated, c)
			}
			want, err := p.Solver.DryIf(treated)
			require.NoError(t, err)
			got := 0.0
			for _, set := range b.scene.sets {
				if !slices.ContainsFunc(set.Faults, func(f int) bool { return !in[b.scene.item[f]] }) {
					got += set.Chance / b.scene.total
				}
			}
			assert.InDelta(t, want, got, 0.02, "%s, the first %d cures", kind, k+1)
		}
	}
}
