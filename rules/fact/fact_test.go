package fact

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/rules/unit"
)

// Kleene's strong tables: S. C. Kleene, Introduction to Metamathematics, section 64.
func TestTruthTables(t *testing.T) {
	const T, U, F = True, Unknown, False
	for _, row := range [][4]Truth{ // a, b, and, or
		{T, T, T, T}, {T, U, U, T}, {T, F, F, T},
		{U, T, U, T}, {U, U, U, U}, {U, F, F, U},
		{F, T, F, T}, {F, U, F, U}, {F, F, F, F},
	} {
		a, b := row[0], row[1]
		assert.Equal(t, row[2], a.And(b), "%v and %v", a, b)
		assert.Equal(t, row[3], a.Or(b), "%v or %v", a, b)
		assert.Equal(t, a.And(b).Not(), a.Not().Or(b.Not()), "De Morgan")
	}
	assert.Equal(t, []Truth{F, U, T}, []Truth{T.Not(), U.Not(), F.Not()})
	assert.Equal(t, []Truth{T, F}, []Truth{Of(true), Of(false)})
	assert.Equal(t, "true unknown false", T.String()+" "+U.String()+" "+F.String())
	assert.Equal(t, Unknown, *new(Truth), "the zero value is unknown")
}

func mm(x, u float64) Measure {
	return Measure{SI: x * 1e-3, U: u * 1e-3, Dim: unit.LengthDim, Unit: "mm"}
}

func TestAMeasureShowsNoDigitThatTheInstrumentCouldNotGive(t *testing.T) {
	for _, tt := range []struct {
		m    Measure
		want string
	}{
		{mm(34.023456, 0.02), "34.023 mm ± 0.02"},
		{mm(34.023456, 0), "34.0235 mm"},
		{mm(34.023456, 0.5), "34.02 mm ± 0.5"},
		{mm(100, 20), "100 mm ± 20"},
		{Measure{SI: 0.0254, U: 0.0000254, Dim: unit.LengthDim, Unit: "in"}, "1 in ± 0.001"},
		{Measure{SI: 80, U: 5, Dim: unit.TemperatureDim, Unit: "F"}, "176 F ± 9"},
		{Measure{SI: 3, U: 1, Dim: unit.CountDim}, "3 ± 1"},
		{Measure{SI: 0.3, U: 0.05, Dim: unit.RatioDim}, "30 % ± 5"},
		{Measure{SI: 0.001, Dim: unit.LengthDim, Unit: "bar"}, "1 mm"},
	} {
		assert.Equal(t, tt.want, tt.m.String())
	}
}

func TestValuesAreSaidAsAPersonWould(t *testing.T) {
	for _, tt := range []struct {
		v    Value
		want string
	}{
		{MakeYesNo(true), "yes"},
		{MakeYesNo(false), "no"},
		{MakeChoice("all-round"), "all-round"},
		{MakeSeveral([]string{"hot", "cold", "hot"}, nil), "cold, hot"},
		{MakeSeveral([]string{"hot"}, []string{"running", "cold"}), "hot; not cold, not running"},
		{MakeSeveral(nil, []string{"hot"}), "not hot"},
		{MakeNumber(mm(3, 0.1)), "3 mm ± 0.1"},
		{MakeClock(4.5, "front"), "4:30 o'clock seen from front"},
		{MakeClock(0.5, ""), "12:30 o'clock"},
		{MakeClock(12, ""), "12:00 o'clock"},
		{MakeClock(2+59.9/60, ""), "3:00 o'clock"},
		{MakeReadings([]Reading{{At: "3:00", Measure: mm(12, 0.1)}, {Measure: mm(13, 0.1)}}), "3:00 12 mm; 13 mm"},
		{None(YesNo, CantTell), "can't tell"},
		{None(Number, CantGet), "can't get at it"},
		{Value{State: Known}, ""},
	} {
		assert.Equal(t, tt.want, tt.v.String())
	}
}

func TestClash(t *testing.T) {
	for _, tt := range []struct {
		name string
		a, b Value
		want bool
	}{
		{"yes and no", MakeYesNo(true), MakeYesNo(false), true},
		{"yes and yes", MakeYesNo(true), MakeYesNo(true), false},
		{"two options of a choice", MakeChoice("a"), MakeChoice("b"), true},
		{"two options of several go together", MakeSeveral([]string{"a"}, nil), MakeSeveral([]string{"b"}, nil), false},
		{"seen and not seen", MakeSeveral([]string{"a"}, nil), MakeSeveral(nil, []string{"a"}), true},
		{"sizes whose intervals meet", MakeNumber(mm(3, 0.1)), MakeNumber(mm(3.15, 0.1)), false},
		{"sizes whose intervals do not meet", MakeNumber(mm(3, 0.1)), MakeNumber(mm(3.25, 0.1)), true},
		{"nothing known clashes with nothing", None(YesNo, CantTell), MakeYesNo(true), false},
		{"other types are not compared", MakeChoice("a"), MakeYesNo(true), false},
		{"clock positions are marks, and there can be two", MakeClock(3, ""), MakeClock(6, ""), false},
	} {
		t.Run(tt.name, func(t *testing.T) {
			assert.Equal(t, tt.want, tt.a.Clash(tt.b))
			assert.Equal(t, tt.want, tt.b.Clash(tt.a), "either way round")
		})
	}
}

func TestAValueSurvivesBeingKept(t *testing.T) {
	for _, v := range []Value{
		MakeYesNo(false), MakeChoice("a"), MakeSeveral([]string{"a"}, []string{"b"}), MakeNumber(mm(3, 0.1)), MakeClock(4.5, "front"),
		MakeReadings([]Reading{{At: "3:00", Measure: mm(12, 0.1)}}), None(Number, CantGet),
	} {
		kept, err := json.Marshal(v)
		require.NoError(t, err)
		var again Value
		require.NoError(t, json.Unmarshal(kept, &again))
		assert.True(t, v.Same(again), "%s", kept)
	}
	assert.False(t, MakeNumber(mm(3, 0.1)).Same(MakeNumber(mm(3, 0.2))))
	assert.False(t, MakeYesNo(true).Same(None(YesNo, CantTell)))
}

func TestMakeSeveralLeavesItsListsAlone(t *testing.T) {
	is := []string{"b", "a"}
	v := MakeSeveral(is, nil)
	assert.Equal(t, []string{"b", "a"}, is)
	assert.Equal(t, []string{"a", "b"}, v.Is)
}

func TestAKeyNamesJointAndFact(t *testing.T) {
	assert.Equal(t, "fluid", Key{Fact: "fluid"}.String())
	assert.Equal(t, "lid/wet", Key{Joint: "lid", Fact: "wet"}.String())
	assert.Len(t, Types(), 6)
	assert.Equal(t, JointScope, Scopes()[0])
}
