package table

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Invented figures.
const (
	gaps = `name,hardness_ShoreA,from_MPa,to_MPa,gap_mm,source,standing,note
soft,70,0,3.5,0.40,a first sheet,confirmed,
soft,70,3.5,7,0.25,,,"with a comma, quoted"
hard,90,0,3.5,0.70,,from memory,
`
	about = `table: gaps
title: Invented gaps
source: invented for this test
standing: estimate
choose: name
columns: {gap_mm: greatest gap}
relations: [from_MPa < to_MPa]
`
	line = "key_mm,value_N\n1,10\n2,20\n4,60\n"
)

func gapTable(t *testing.T) *Table {
	t.Helper()
	tab, bad := Read("gaps", []byte(gaps), []byte(about))
	require.Empty(t, bad)
	return tab
}

func TestCellsAreSIAndRowsKnowTheirOrigin(t *testing.T) {
	tab := gapTable(t)
	require.Len(t, tab.Rows(), 3)
	r := tab.Rows()[1]
	gap, ok := r.SI("gap_mm")
	assert.True(t, ok)
	assert.InDelta(t, 0.25e-3, gap, 1e-15)
	assert.Equal(t, "0.25 mm", r.Show("gap_mm"))
	assert.Equal(t, "with a comma, quoted", r.Text("note"))
	assert.Equal(t, []string{"invented for this test", "estimate"}, []string{r.Source(), r.Standing()})
	assert.Equal(t, []string{"a first sheet", "confirmed"}, []string{tab.Rows()[0].Source(), tab.Rows()[0].Standing()})
	assert.Equal(t, 3, r.Line())
	_, ok = r.SI("note")
	assert.False(t, ok, "text is no figure")
	_, ok = r.SI("nothing")
	assert.False(t, ok)
	assert.Equal(t, []string{"soft", "hard"}, tab.Choices())
}

func TestARangeHoldsItsUpperEndAndTheFirstItsLowerToo(t *testing.T) {
	tab := gapTable(t)
	for p, want := range map[float64]float64{0: 0.40e-3, 3.5e6: 0.40e-3, 3.6e6: 0.25e-3, 7e6: 0.25e-3} {
		r, err := tab.Find("a gap", Equal("hardness_ShoreA", 70), Between("from_MPa", "to_MPa", p))
		require.NoError(t, err)
		got, _ := r.SI("gap_mm")
		assert.InDelta(t, want, got, 1e-12, "%g", p)
	}
}

func TestAWordIsNamedWithoutSlashes(t *testing.T) {
	for word, want := range map[string]string{
		"9/16-18": "size-9-16-18", "1-1/16-12": "size-1-1-16-12", "npt-1/2": "npt-1-2", "M10x1.25": "m10x1-25",
		"size-9-16-18": "size-9-16-18", " rubber ": "rubber", "": "size",
	} {
		assert.Equal(t, want, Plain(word), word)
	}
}

func TestOutsideIsAnAnswerOfItsOwn(t *testing.T) {
	tab := gapTable(t)
	var outside *Outside
	_, err := tab.Find("a gap at 9 MPa", Equal("hardness_ShoreA", 70), Between("from_MPa", "to_MPa", 9e6))
	require.ErrorAs(t, err, &outside)
	assert.ErrorContains(t, err, "it runs from 0 MPa to 7 MPa")
	_, err = tab.Find("a gap for 80 Shore A", Equal("hardness_ShoreA", 80))
	assert.ErrorContains(t, err, "it has 70 Shore A, 90 Shore A")
	_, err = tab.Find("a gap", Is("name", "sotf"))
	assert.ErrorContains(t, err, "soft")
	_, err = tab.Find("a gap", Between("from_MPa", "to_MPa", math.NaN()))
	assert.Error(t, err)
}

func TestOnlyATableThatAllowsItIsInterpolated(t *testing.T) {
	head := "table: line\ntitle: t\nsource: invented\nstanding: estimate\n"
	fixed, bad := Read("line", []byte(line), []byte(head))
	require.Empty(t, bad)
	_, err := fixed.Linear("key_mm", "value_N", 3e-3)
	assert.ErrorContains(t, err, "nothing is interpolated")
	free, bad := Read("line", []byte(line), []byte(head+"interpolate: linear\n"))
	require.Empty(t, bad)
	for at, want := range map[float64]float64{1e-3: 10, 1.5e-3: 15, 3e-3: 40, 4e-3: 60} {
		got, err := free.Linear("key_mm", "value_N", at)
		require.NoError(t, err)
		assert.InDelta(t, want, got, 1e-9)
	}
	for _, at := range []float64{0.5e-3, 5e-3, math.NaN()} {
		_, err := free.Linear("key_mm", "value_N", at)
		assert.Error(t, err, "%g", at)
	}
}

func TestWhatIsWrongComesBackWithItsLine(t *testing.T) {
	for name, c := range map[string]struct{ figures, about, want string }{
		"a slipped digit":          {strings.Replace(gaps, "3.5,7,", "3.5,0.7,", 1), about, `gaps.csv:3:1: the row breaks the relation "from_MPa < to_MPa"`},
		"a word in a number":       {strings.Replace(gaps, "0.25", "about a quarter", 1), about, `gaps.csv:3:15: "about a quarter" in column gap_mm is not a number`},
		"infinity":                 {strings.Replace(gaps, "0.25", "inf", 1), about, `"inf" in column gap_mm is not a number`},
		"a row too short":          {gaps + "soft,70\n", about, "gaps.csv:5:1: the row has 2 cells, the head 8"},
		"an open quote":            {gaps + "\"soft,70\n", about, "gaps.csv:5"},
		"a head that stands twice": {strings.Replace(gaps, "gap_mm", "to_MPa", 1), about, "stands twice"},
		"no rows":                  {"name,gap_mm\n", strings.Replace(about, "relations: [from_MPa < to_MPa]\n", "", 1), "the table has no rows"},
		"another name":             {gaps, strings.Replace(about, "table: gaps", "table: gap", 1), `called "gap", its file "gaps"`},
		"no source":                {gaps, strings.Replace(about, "source: invented for this test\n", "", 1), "title or source is missing"},
		"an unknown field":         {gaps, about + "colour: red\n", "field colour not found"},
		"an unknown standing":      {gaps, strings.Replace(about, "standing: estimate", "standing: sure", 1), `standing is "sure"`},
		"a relation on text":       {gaps, about + "", ""},
		"a relation half written":  {gaps, strings.Replace(about, "from_MPa < to_MPa", "from_MPa <", 1), "lacks a column or a number"},
		"a choice of no column":    {gaps, strings.Replace(about, "choose: name", "choose: word", 1), `"word", which the table does not have`},
	} {
		t.Run(name, func(t *testing.T) {
			_, bad := Read("gaps", []byte(c.figures), []byte(c.about))
			if c.want == "" {
				assert.Empty(t, bad)
				return
			}
			assert.ErrorContains(t, bad, c.want)
		})
	}
}

func TestRelationsAreLinearSums(t *testing.T) {
	tab := gapTable(t)
	for text, want := range map[string]bool{
		"gap_mm < 1":                       true,
		"gap_mm = 0.4":                     false,
		"2 from_MPa + 3.5 = to_MPa":        false,
		"to_MPa = from_MPa + 3.5":          true,
		"to_MPa - from_MPa = 3 within 0.6": true,
		"to_MPa > from_MPa + 3.4":          true,
		"hardness_ShoreA >= 70":            true,
		"hardness_ShoreA <= 70":            false,
	} {
		rel, err := parseRelation(text, tab)
		require.NoError(t, err, text)
		all := true
		for _, r := range tab.Rows() {
			_, ok := rel.holds(r)
			all = all && ok
		}
		assert.Equal(t, want, all, text)
	}
	for _, text := range []string{"", "gap_mm", "note < 1", "gap_mm < ", "gap_mm < x", "gap_mm to_MPa < 1", "- gap_mm < 1", "gap_mm < 1 within x", "+ < +"} {
		_, err := parseRelation(text, tab)
		assert.Error(t, err, text)
	}
}

func FuzzRead(f *testing.F) {
	f.Add(gaps, about)
	f.Add(line, "table: gaps\ntitle: t\nsource: s\nstanding: estimate\nrelations: ['key_mm < 2 value_N within 1']")
	f.Fuzz(func(t *testing.T, figures, about string) {
		tab, bad := Read("gaps", []byte(figures), []byte(about))
		if (tab == nil) == (bad.Errors() == 0) {
			t.Fatalf("a table or findings, not both and not neither: %v", bad)
		}
		if tab != nil {
			for _, r := range tab.Rows() {
				for _, h := range tab.Heads() {
					r.Show(h)
				}
			}
			_, _ = tab.Find("x", Is("name", "x"), Between("from_MPa", "to_MPa", 1))
		}
	})
}
