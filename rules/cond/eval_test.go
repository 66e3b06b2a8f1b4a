package cond

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"

	"seepwright/rules/fact"
	"seepwright/rules/unit"
)

// state is what is known at one moment.
type state struct {
	values       map[string]fact.Value
	contradicted map[string]bool
}

func (s state) Value(name string) (fact.Value, bool, bool) {
	v, ok := s.values[name]
	return v, ok, s.contradicted[name]
}

func mm(x, u float64) fact.Value {
	return fact.MakeNumber(fact.Measure{SI: x * 1e-3, U: u * 1e-3, Dim: unit.LengthDim})
}

func TestEval(t *testing.T) {
	known := state{
		values: map[string]fact.Value{
			"hot":          fact.MakeYesNo(true),
			"fluid":        fact.MakeChoice("water"),
			"seen":         fact.MakeSeveral([]string{"one"}, []string{"two"}),
			"gap":          mm(0.30, 0.05),
			"bore":         mm(0.40, 0.05),
			"times-failed": fact.MakeNumber(fact.Measure{SI: 2, Dim: unit.CountDim}),
			"temp":         fact.MakeNumber(fact.Measure{SI: 80, U: 2, Dim: unit.TemperatureDim}),
			"drop":         fact.MakeNumber(fact.Measure{SI: 20, U: 1, Dim: unit.KelvinDim}),
			"exact":        mm(12.7, 0),
			"told":         fact.None(fact.YesNo, fact.CantTell),
			"deep":         fact.None(fact.Number, fact.CantGet),
			"sick":         fact.MakeNumber(fact.Measure{SI: math.NaN(), Dim: unit.LengthDim}),
		},
		contradicted: map[string]bool{"both": true},
	}
	lack := func(id string, why Reason, u float64) []Lack { return []Lack{{id, why, u}} }
	tests := []struct {
		name, text string
		want       fact.Truth
		lacks      []Lack
	}{
		{"a yes is yes", "hot is yes", fact.True, nil},
		{"a yes is not no", "hot is no", fact.False, nil},
		{"is not turns it round", "hot is not no", fact.True, nil},
		{"not turns it round", "not hot is yes", fact.False, nil},
		{"a choice is what it is", "fluid is water", fact.True, nil},
		{"a choice is nothing else", "fluid is fuel", fact.False, nil},
		{"a choice is one of several", "fluid is one of (fuel, water)", fact.True, nil},
		{"a choice is none of the others", "fluid is not one of (fuel, lube-oil)", fact.True, nil},
		{"an option seen is true", "seen is one", fact.True, nil},
		{"an option excluded is false", "seen is two", fact.False, nil},
		{"an option nobody asked for is unknown", "seen is three", fact.Unknown, lack("seen", NotAsked, 0)},
		{"one of several is true when one is seen", "seen is one of (three, one)", fact.True, nil},
		{"one of several is unknown while one is open", "seen is one of (two, three)", fact.Unknown, lack("seen", NotAsked, 0)},
		{"a fact never asked", "cold is yes", fact.Unknown, lack("cold", NotAsked, 0)},
		{"a fact nobody can tell", "told is yes", fact.Unknown, lack("told", CantTell, 0)},
		{"a fact that cannot be got at", "deep > 1 mm", fact.Unknown, lack("deep", CantGet, 0)},
		{"a contradicted fact is unknown", "both is yes", fact.Unknown, lack("both", Contradicted, 0)},
		{"no number is not known", "sick > 1 mm", fact.Unknown, lack("sick", CantTell, 0)},
		{"the whole interval lies below", "gap < 0.36 mm", fact.True, nil},
		{"the whole interval lies above", "gap < 0.24 mm", fact.False, nil},
		{"the interval meets the limit", "gap < 0.32 mm", fact.Unknown, lack("gap", TooCoarse, 0.02e-3)},
		{"at least holds where the interval touches", "times-failed >= 2", fact.True, nil},
		{"a count is equal or not", "times-failed = 2", fact.True, nil},
		{"a count is not another", "times-failed = 3", fact.False, nil},
		{"a count is less or not", "times-failed < 2", fact.False, nil},
		{"a measured size is never proven equal", "gap = 0.3 mm", fact.Unknown, lack("gap", TooCoarse, 0)},
		{"a measured size can be proven unequal", "gap = 0.4 mm", fact.False, nil},
		{"rounding of units is no difference", "exact <= 0.5 in", fact.True, nil},
		{"and no excess either", "exact > 0.5 in", fact.False, nil},
		{"a temperature in another scale", "temp > 160 F", fact.True, nil},
		{"a difference of temperature takes degrees", "drop < 25 C", fact.True, nil},
		{"between includes the middle", "gap is between 0.1 mm and 0.5 mm", fact.True, nil},
		{"between excludes what is beyond", "gap is between 0.5 mm and 0.9 mm", fact.False, nil},
		{"between is unknown at its end", "gap is between 0.28 mm and 0.9 mm", fact.Unknown, lack("gap", TooCoarse, 0.02e-3)},
		{"a wrong dimension settles nothing", "gap < 3 bar", fact.Unknown, lack("gap", CantTell, 0)},
		{"true or unknown is true", "hot is yes or cold is yes", fact.True, nil},
		{"false and unknown is false", "hot is no and cold is yes", fact.False, nil},
		{"false or unknown is unknown", "hot is no or cold is yes", fact.Unknown, lack("cold", NotAsked, 0)},
		{"the lacks of both are named once", "cold is yes or wet is yes or cold is no", fact.Unknown,
			[]Lack{{"cold", NotAsked, 0}, {"wet", NotAsked, 0}}},
		{"and names what it lacks", "hot is yes and cold is yes and told is no", fact.Unknown,
			[]Lack{{"cold", NotAsked, 0}, {"told", CantTell, 0}}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := MustParse(tt.text).Eval(known)
			assert.Equal(t, got.Truth, MustParse(tt.text).Truth(known), "Truth is what Eval gives")
			assert.Equal(t, tt.want, got.Truth)
			if assert.Len(t, got.Lacks, len(tt.lacks)) {
				for i, l := range tt.lacks {
					assert.Equal(t, l.Fact, got.Lacks[i].Fact)
					assert.Equal(t, l.Reason, got.Lacks[i].Reason)
					assert.InDelta(t, l.NeedU, got.Lacks[i].NeedU, 1e-12)
				}
			}
		})
	}
}

func TestTwoFactsCombineTheirUncertainties(t *testing.T) {
	at := func(ua, ub float64) Outcome {
		return MustParse("gap < bore").Eval(state{values: map[string]fact.Value{"gap": mm(0.30, ua), "bore": mm(0.40, ub)}})
	}
	assert.Equal(t, fact.True, at(0.05, 0.05).Truth, "0.071 mm together, less than the 0.1 mm between them")
	coarse := at(0.12, 0.06)
	assert.Equal(t, fact.Unknown, coarse.Truth)
	if assert.Len(t, coarse.Lacks, 1, "a better bore alone would not do") {
		assert.Equal(t, "gap", coarse.Lacks[0].Fact)
		assert.InDelta(t, 0.08e-3, coarse.Lacks[0].NeedU, 1e-9, "3-4-5 with 0.06 and 0.1")
	}
	assert.Len(t, at(0.2, 0.2).Lacks, 2, "both are too coarse")
	half := MustParse("gap < bore").Eval(state{values: map[string]fact.Value{"gap": mm(0.30, 0)}})
	assert.Equal(t, []Lack{{"bore", NotAsked, 0}}, half.Lacks)
}

func TestTheUWantedSettlesTheComparison(t *testing.T) {
	c := MustParse("gap < 0.32 mm")
	o := c.Eval(state{values: map[string]fact.Value{"gap": mm(0.30, 0.05)}})
	fine := c.Eval(state{values: map[string]fact.Value{"gap": fact.MakeNumber(fact.Measure{SI: 0.30e-3, U: o.Lacks[0].NeedU * 0.99, Dim: unit.LengthDim})}})
	assert.Equal(t, fact.True, fine.Truth)
}

// One more answer can only turn unknown into true or false, in whatever order they come.
func TestKnowledgeOnlyGrows(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	ids := []string{"a", "b", "c", "d"}
	atom := func() string {
		switch r.IntN(4) {
		case 0:
			return "n is between 0.2 mm and 0.6 mm"
		case 1:
			return "n < 0.5 mm"
		case 2:
			return "s is one of (x, y)"
		}
		return ids[r.IntN(len(ids))] + []string{" is yes", " is no", " is not yes"}[r.IntN(3)]
	}
	var grow func(depth int) string
	grow = func(depth int) string {
		if depth == 0 || r.IntN(4) == 0 {
			return atom()
		}
		switch r.IntN(5) {
		case 0:
			return "not (" + grow(depth-1) + ")"
		case 1, 2:
			return "(" + grow(depth-1) + " and " + grow(depth-1) + ")"
		}
		return "(" + grow(depth-1) + " or " + grow(depth-1) + ")"
	}
	for range 2000 {
		c := MustParse(grow(4))
		final := map[string]fact.Value{
			"n": mm(r.Float64(), r.Float64()*0.2),
			"s": fact.MakeSeveral([]string{"x"}, nil),
		}
		if r.IntN(2) == 0 {
			final["s"] = fact.MakeSeveral(nil, []string{"x", "y"})
		}
		for _, id := range ids {
			final[id] = fact.MakeYesNo(r.IntN(2) == 0)
		}
		whole := c.Eval(state{values: final}).Truth
		for range 2 {
			now := state{values: map[string]fact.Value{}}
			before := c.Eval(now)
			assert.Equal(t, before.Truth, c.Truth(now))
			order := []string{"a", "b", "c", "d", "n", "s"}
			r.Shuffle(len(order), func(i, j int) { order[i], order[j] = order[j], order[i] })
			for _, id := range order {
				now.values[id] = final[id]
				after := c.Eval(now)
				if before.Truth != fact.Unknown {
					assert.Equal(t, before.Truth, after.Truth, c.Text)
				}
				if after.Truth == fact.Unknown {
					assert.NotEmpty(t, after.Lacks, c.Text)
				} else {
					assert.Empty(t, after.Lacks, c.Text)
				}
				before = after
			}
			assert.Equal(t, whole, before.Truth, c.Text)
		}
	}
}

func BenchmarkEval(b *testing.B) {
	c := MustParse("hot is yes and (gap < 0.36 mm or fluid is one of (water, fuel)) and not seen is three")
	s := state{values: map[string]fact.Value{"hot": fact.MakeYesNo(true), "gap": mm(0.3, 0.05), "fluid": fact.MakeChoice("fuel")}}
	for b.Loop() {
		c.Eval(s)
	}
}
