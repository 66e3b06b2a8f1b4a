package ringsize_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine/measure/ringsize"
	"seepwright/rules/unit"
)

func identify(t testing.TB, s ringsize.Sizes, in []ringsize.Reading, used ringsize.Used) ringsize.Found {
	t.Helper()
	f, err := ringsize.Identify(s, in, used)
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(f.Candidates), 2, "never only one")
	sum := f.None + f.Rest
	for i, c := range f.Candidates {
		sum += c.Probability
		assert.Equal(t, i > 0, c.Apart != nil)
		if i > 0 {
			assert.GreaterOrEqual(t, f.Candidates[i-1].Probability, c.Probability)
		}
	}
	assert.InDelta(t, 1, sum, 1e-6)
	return f
}

// The four measured rings of the O-ring reference checks OR-S051 to OR-S054: nearest AS568 size of the same section.
func TestMeasuredRingsOfTheReferenceAreFound(t *testing.T) {
	for _, tt := range []struct {
		id, cord unit.Length
		name     string
		byID     float64
	}{{37.6 * mm, 5.3 * mm, "-325", 0.13}, {24.9 * mm, 3.5 * mm, "-214", -0.09}, {12.5 * mm, 1.75 * mm, "-014", 0.08}, {66.3 * mm, 2.6 * mm, "-146", -0.04}} {
		f := identify(t, ringsize.Sizes{Rings: as568(t)}, readings(tt.id, tt.cord, 0.1*mm), ringsize.Used{})
		c := f.Candidates[0]
		assert.Equal(t, tt.name, c.Name)
		assert.InDelta(t, tt.byID, c.ByID.Millimetres(), 0.01)
		assert.True(t, c.New)
		assert.Greater(t, c.Probability, 0.8, "%s", tt.name)
	}
}

// Sizes that public documents state singly, each measured as stated: MIL-DTL-3533C (-214, 0.984 in inside), the note
// on the first and last size of AS568A (-001: 0.74 +/- 0.10 mm, -475: 658.88 +/- 3.05 mm).
func TestPublishedSizesAreFound(t *testing.T) {
	for _, tt := range []struct {
		id, cord, u unit.Length
		name        string
	}{{0.984 * inch, 0.139 * inch, 0.02 * mm, "-214"}, {0.74 * mm, 1.02 * mm, 0.02 * mm, "-001"}, {658.88 * mm, 6.99 * mm, 0.5 * mm, "-475"}} {
		f := identify(t, all(t), readings(tt.id, tt.cord, tt.u), ringsize.Used{})
		assert.Equal(t, tt.name, f.Candidates[0].Name)
		assert.Empty(t, f.Outside)
	}
}

func TestEveryRingOfTheTableMeasuredExactlyIsItsOwnFirstCandidate(t *testing.T) {
	s := all(t)
	for _, r := range s.Rings {
		if r.ID == 0 {
			continue
		}
		for _, in := range [][]ringsize.Reading{
			readings(r.ID, r.Cord, 0),
			{{Of: ringsize.Outside, At: r.Outside()}, {Of: ringsize.Section, At: r.Cord}},
			{{Of: ringsize.Length, At: unit.Length(math.Pi) * (r.ID + r.Cord)}, {Of: ringsize.Section, At: r.Cord}},
		} {
			f := identify(t, s, in, ringsize.Used{})
			c := f.Candidates[0]
			if c.Name != r.Name { // only a ring of another table within a few hundredths may share the place
				assert.True(t, c.New && r.Table != c.Table && f.Candidates[1].Name == r.Name, "%s is taken for %s %s", r.Name, c.Table, c.Name)
				assert.Less(t, math.Abs(float64(c.ID-r.ID)), float64(c.IDTol))
			}
		}
	}
}

func TestARingInRoundMillimetresIsACandidateOfItsOwn(t *testing.T) {
	f := identify(t, all(t), readings(28.05*mm, 3.02*mm, 0.05*mm), ringsize.Used{})
	c := f.Candidates[0]
	assert.Equal(t, "28 x 3", c.Name)
	assert.Equal(t, ringsize.ClassB, c.Table)
	assert.False(t, c.Listed)
	// ISO 3601-1 class B rule: 0.009 * 28^0.95 + 0.11 = 0.3233 mm; section 2.26 to 3.15 mm: 0.09 mm
	assert.InDelta(t, 0.3233, c.IDTol.Millimetres(), 0.0005)
	assert.InDelta(t, 0.09, c.CordTol.Millimetres(), 1e-9)
}

func TestNearTwinsAreBothNamedAndWhatTellsThemApart(t *testing.T) {
	// 24.9 x 3.5 with a caliper on rubber: -214 (24.99 x 3.53), P25 (24.7 x 3.5) and 25 x 3.5 all lie within reach.
	f := identify(t, all(t), readings(24.9*mm, 3.5*mm, 0.2*mm), ringsize.Used{})
	names := map[string]ringsize.Candidate{}
	for _, c := range f.Candidates {
		names[c.Name] = c
	}
	for _, want := range []string{"-214", "P25", "25 x 3.5", "section 3.55"} {
		require.Contains(t, names, want)
	}
	assert.Less(t, f.Candidates[0].Probability, 0.7)
	assert.True(t, names["25 x 3.5"].Apart.Never, "no reading can tell 24.99 x 3.53 from 25 x 3.5: the tolerances overlap")
	assert.Empty(t, names["25 x 3.5"].Apart.Settles)
	assert.False(t, names["25 x 3.5"].Apart.Sure)
	assert.True(t, names["section 3.55"].Apart.Never)
}

func TestAFinerReadingSettlesWhatACoarseOneCannot(t *testing.T) {
	s := ringsize.Sizes{Rings: as568(t)}
	// -115 and -211 differ by 2.6 and 3.5 mm of section; a rule sees the diameter only.
	coarse := []ringsize.Reading{{Of: ringsize.Inside, At: 20.2 * mm, U: 0.5 * mm}, {Of: ringsize.Section, At: 3.05 * mm, U: 1 * mm}}
	f := identify(t, s, coarse, ringsize.Used{})
	var apart *ringsize.Apart
	for _, c := range f.Candidates[1:] {
		if math.Abs(float64(c.Apart.ByCord)) > 0.5e-3 && !c.Apart.Sure {
			apart = c.Apart
			break
		}
	}
	require.NotNil(t, apart)
	require.NotEmpty(t, apart.Settles)
	assert.False(t, apart.Never)
	for i, x := range apart.Settles {
		assert.Positive(t, float64(x.U))
		if i > 0 {
			assert.GreaterOrEqual(t, apart.Settles[i-1].U, x.U, "the coarsest reading that settles it stands first")
		}
	}
	// and with that reading they are told apart
	c := f.Candidates[0]
	settled := ringsize.Compare(c.Ring, findApart(f, apart).Ring, append(coarse, ringsize.Reading{Of: apart.Settles[0].Of, At: c.Cord, U: apart.Settles[0].U * 0.99}), ringsize.Used{})
	assert.True(t, settled.Sure)
}

func findApart(f ringsize.Found, a *ringsize.Apart) ringsize.Candidate {
	for _, c := range f.Candidates {
		if c.Apart == a {
			return c
		}
	}
	return ringsize.Candidate{}
}

func TestAUsedRingLeavesMoreOpen(t *testing.T) {
	fresh := identify(t, all(t), readings(24.99*mm, 3.53*mm, 0.05*mm), ringsize.Used{})
	worn := identify(t, all(t), readings(24.99*mm, 3.53*mm, 0.05*mm), ringsize.Worn())
	assert.Greater(t, len(worn.Candidates), len(fresh.Candidates))
	assert.Less(t, worn.Candidates[0].Probability, fresh.Candidates[0].Probability)
	// swollen by 2 % in length: far outside the new tolerance, within that of a used ring
	s := ringsize.Sizes{Rings: as568(t)}
	swollen := identify(t, s, readings(100.97*mm*1.02, 5.33*mm*1.02, 0.05*mm), ringsize.Worn()) // -345 grown
	assert.Contains(t, []string{swollen.Candidates[0].Name, swollen.Candidates[1].Name}, "-345")
	assert.Less(t, swollen.None, 0.2)
}

func TestAnOddRingIsMostLikelyNoneOfTheTables(t *testing.T) {
	f := identify(t, ringsize.Sizes{Rings: as568(t)}, readings(27.3*mm, 4.3*mm, 0.05*mm), ringsize.Used{})
	assert.Greater(t, f.None, 0.95)
	assert.Empty(t, f.Outside)
	for _, c := range f.Candidates {
		assert.False(t, c.New)
	}
}

func TestBeyondEveryTableIsAnAnswerOfItsOwn(t *testing.T) {
	for _, tt := range []struct {
		id, cord unit.Length
		says     string
	}{{900 * mm, 7 * mm, "inside diameter lies above the largest of every table, 658.876 mm"}, {50 * mm, 12 * mm, "section lies above the thickest"}, {50 * mm, 0.5 * mm, "section lies below the thinnest of every table, 1.016 mm"}, {0.3 * mm, 1 * mm, "inside diameter lies below the smallest"}} {
		f := identify(t, all(t), readings(tt.id, tt.cord, 0.05*mm), ringsize.Used{})
		assert.Contains(t, f.Outside, tt.says)
		assert.Greater(t, f.None, 0.99)
	}
}

func TestTurningInchesToMillimetresChangesNothing(t *testing.T) {
	s := all(t)
	a := identify(t, s, readings(0.98*inch, 0.138*inch, 0.002*inch), ringsize.Used{})
	b := identify(t, s, readings(24.892*mm, 3.5052*mm, 0.0508*mm), ringsize.Used{})
	require.Equal(t, len(a.Candidates), len(b.Candidates))
	for i := range a.Candidates {
		assert.Equal(t, a.Candidates[i].Name, b.Candidates[i].Name)
		assert.InDelta(t, a.Candidates[i].Probability, b.Candidates[i].Probability, 1e-9)
	}
}

func TestASecondReadingOfTheSameRingOnlySharpens(t *testing.T) {
	one := identify(t, all(t), readings(37.47*mm, 5.33*mm, 0.2*mm), ringsize.Used{})
	two := identify(t, all(t), append(readings(37.47*mm, 5.33*mm, 0.2*mm), ringsize.Reading{Of: ringsize.Outside, At: 48.13 * mm, U: 0.05 * mm}), ringsize.Used{})
	assert.Less(t, two.ID.U, one.ID.U)
	assert.Equal(t, one.Candidates[0].Name, two.Candidates[0].Name)
}

// Weighted least squares by hand: section 3.5 (U 0.1) and outside 32 (U 0.1) give inside 25, U sqrt(0.1^2 + 4 0.1^2).
func TestInsideFromOutsideAndSection(t *testing.T) {
	id, cord, err := ringsize.Free([]ringsize.Reading{{Of: ringsize.Outside, At: 32 * mm, U: 0.1 * mm}, {Of: ringsize.Section, At: 3.5 * mm, U: 0.1 * mm}})
	require.NoError(t, err)
	assert.InDelta(t, 25e-3, id.X, 1e-12)
	assert.InDelta(t, 0.1e-3*math.Sqrt(5), id.U, 1e-9)
	assert.InDelta(t, 3.5e-3, cord.X, 1e-12)
	assert.InDelta(t, 0.1e-3, cord.U, 1e-9)
	// cut and laid straight: middle line pi (25 + 3.5) = 89.535 mm
	id, _, err = ringsize.Free([]ringsize.Reading{{Of: ringsize.Length, At: 89.535 * mm, U: 0.5 * mm}, {Of: ringsize.Section, At: 3.5 * mm, U: 0.1 * mm}})
	require.NoError(t, err)
	assert.InDelta(t, 25e-3, id.X, 1e-6)
}

func TestOddReadingsAreRefusedInWords(t *testing.T) {
	s := all(t)
	bad := unit.Length(math.NaN())
	for name, tt := range map[string]struct {
		in   []ringsize.Reading
		says string
	}{
		"nothing measured":             {nil, "do not give both"},
		"no section":                   {[]ringsize.Reading{{Of: ringsize.Inside, At: 25 * mm}}, "measure the section"},
		"a section only":               {[]ringsize.Reading{{Of: ringsize.Section, At: 3.5 * mm}}, "do not give both"},
		"not a number":                 {readings(bad, 3*mm, 0), "the inside diameter"},
		"a section of nought":          {readings(25*mm, 0, 0), "the section"},
		"a negative diameter":          {readings(-25*mm, 3*mm, 0), "the inside diameter"},
		"an infinite size":             {readings(unit.Length(math.Inf(1)), 3*mm, 0), "the inside diameter"},
		"a negative uncertainty":       {readings(25*mm, 3*mm, -1*mm), "uncertainty"},
		"an outside below two corners": {[]ringsize.Reading{{Of: ringsize.Outside, At: 6 * mm}, {Of: ringsize.Section, At: 3.5 * mm}}, "inside diameter that the readings give"},
	} {
		_, err := ringsize.Identify(s, tt.in, ringsize.Used{})
		assert.ErrorContains(t, err, tt.says, name)
	}
	_, err := ringsize.Identify(ringsize.Sizes{}, readings(25*mm, 3*mm, 0), ringsize.Used{})
	assert.ErrorContains(t, err, "is empty")
	_, err = ringsize.Identify(s, readings(25*mm, 3*mm, 0), ringsize.Used{ID: unit.Ratio(bad)})
	assert.ErrorContains(t, err, "allowance")
}

func FuzzIdentifyNeverPanics(f *testing.F) {
	s := all(f)
	f.Add(25e-3, 3.5e-3, 0.1e-3, 0.0, uint8(0))
	f.Add(math.NaN(), math.Inf(1), -1.0, 0.5, uint8(1))
	f.Add(1e-9, 1e9, 1e300, 0.03, uint8(3))
	f.Fuzz(func(t *testing.T, a, b, u, used float64, kind uint8) {
		in := []ringsize.Reading{{Of: ringsize.Quantity(kind % 5), At: unit.Length(a), U: unit.Length(u)}, {Of: ringsize.Section, At: unit.Length(b), U: unit.Length(u)}}
		got, err := ringsize.Identify(s, in, ringsize.Used{ID: unit.Ratio(used), Cord: unit.Ratio(used)})
		if err != nil {
			return
		}
		require.GreaterOrEqual(t, len(got.Candidates), 2)
		for _, c := range got.Candidates {
			require.False(t, math.IsNaN(c.Probability) || c.Probability < 0 || c.Probability > 1)
		}
	})
}

func BenchmarkIdentify(b *testing.B) {
	s := all(b)
	in := readings(24.9*mm, 3.5*mm, 0.1*mm)
	for b.Loop() {
		_, _ = ringsize.Identify(s, in, ringsize.Used{})
	}
}

func TestASpanOfUnknownSizesCountsOnlyWhereItLies(t *testing.T) {
	span := ringsize.Ring{Table: "JIS B 2401", Name: "P48A to P150", Cord: 5.7 * mm, CordTol: 0.13 * mm, From: 47.6 * mm, To: 149.6 * mm, Count: 33, Listed: true}
	s := ringsize.Sizes{Rings: append(as568(t), span), Metric: metricSections(), ClassB: classB}
	in := func(id unit.Length) bool {
		for _, c := range identify(t, s, readings(id, 5.7*mm, 0.05*mm), ringsize.Used{}).Candidates {
			if c.Name == span.Name {
				return true
			}
		}
		return false
	}
	assert.True(t, in(79.6*mm))
	assert.False(t, in(20*mm))
	assert.False(t, in(300*mm))
}
