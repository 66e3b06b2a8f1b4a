package archive

import (
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/cmd/seepwright/journal"
)

var monday = time.Date(2026, 5, 4, 16, 30, 0, 0, time.UTC)

func on(d float64) time.Time { return monday.Add(time.Duration(d * 24 * float64(time.Hour))) }

const pumphouse = "oil cooler of the lift pump"

// repaired is an invented case of the pumphouse: opened, mended and closed dry on those days.
func repaired(id, unit, joint, cause string, opened, closed float64, work ...journal.Entry) journal.Line {
	l := journal.Line{
		Path: id, Head: journal.Head{ID: id, Title: id, Unit: unit, Opened: on(opened), Closed: on(closed), End: journal.Dry, Form: 1},
		Proven: []journal.Proven{{Joint: joint, Kind: "radial-oring", Cause: cause}},
	}
	l.Work = append(work, journal.Entry{At: on(closed), What: journal.Closed, Name: journal.Dry})
	return l
}

func did(d, minutes float64, ids ...string) journal.Entry {
	return journal.Entry{At: on(d), What: journal.Did, Did: ids, Minutes: minutes, Joint: "pad"}
}

func tested(d float64, tissue string) journal.Entry {
	return journal.Entry{At: on(d), What: journal.Retest, Name: "cold-pressure", Tissue: tissue, Minutes: 10}
}

func TestARepairLastsUntilTheSameJointOfTheSameUnitLeaksAgain(t *testing.T) {
	reopened := repaired("again", "filter", "lid", "x", 0, 60)
	reopened.Work = []journal.Entry{
		{At: on(1), What: journal.Did, Joint: "lid"}, {At: on(2), What: journal.Closed, Name: journal.Dry},
		{At: on(30), What: journal.Reopened}, {At: on(60), What: journal.Closed, Name: journal.Dry},
	}
	later := repaired("later", "filter", "cap", "x", 0, 1, journal.Entry{At: on(0), What: journal.Did, Joint: "cap"})
	later.Work = append(later.Work, tested(8, "wet"))
	open := journal.Line{Head: journal.Head{ID: "open", Unit: pumphouse, Opened: on(200)}, Work: []journal.Entry{{At: on(201), What: journal.Did, Joint: "front-cap"}}}
	replaced := journal.Line{Head: journal.Head{ID: "r", Unit: "old pump", Opened: on(90), Closed: on(100), End: "replaced"}}
	for _, c := range []struct {
		name  string
		cases []journal.Line
		want  []Spell
	}{
		{"one that still holds counts up to today", []journal.Line{repaired("a", pumphouse, "pad", "x", 0, 10)}, []Spell{{290, false}}},
		{"the next case of the same joint ends it", []journal.Line{repaired("a", pumphouse, "pad", "x", 0, 10), repaired("b", pumphouse, "pad", "y", 110, 120)}, []Spell{{100, true}, {180, false}}},
		{"another joint does not", []journal.Line{repaired("a", pumphouse, "pad", "x", 0, 10), repaired("b", pumphouse, "water-in", "y", 110, 120)}, []Spell{{290, false}, {180, false}}},
		{"nor another unit", []journal.Line{repaired("a", pumphouse, "pad", "x", 0, 10), repaired("b", "twin", "pad", "y", 110, 120)}, []Spell{{290, false}, {180, false}}},
		{"a case that is opened again", []journal.Line{reopened}, []Spell{{28, true}, {240, false}}},
		{"a wet look behind the closing", []journal.Line{later}, []Spell{{7, true}}},
		{"an open case where nothing is proven counts by the joint that was worked on", []journal.Line{repaired("a", pumphouse, "front-cap", "x", 0, 10), open}, []Spell{{190, true}}},
		{"a unit that was replaced", []journal.Line{repaired("a", "old pump", "pad", "x", 0, 10), replaced}, []Spell{{90, false}}},
		{"a unit without a name", []journal.Line{repaired("a", "", "pad", "x", 0, 10)}, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			list, ends, unnamed := repairs(c.cases)
			var got []Spell
			for _, r := range list {
				got = append(got, r.spell(on(300), ends))
			}
			assert.Equal(t, c.want, got)
			assert.Equal(t, c.want == nil, unnamed > 0)
		})
	}
}

func TestTheFirstRetestAfterWorkIsCounted(t *testing.T) {
	for _, c := range []struct {
		name string
		work []journal.Entry
		want FirstTime
	}{
		{"dry at once", []journal.Entry{did(1, 10), tested(1, "dry"), tested(2, "dry")}, FirstTime{Passed: 1}},
		{"wet, then mended", []journal.Entry{did(1, 10), tested(1, "wet"), did(2, 10), tested(2, "dry")}, FirstTime{Failed: 1}},
		{"damp is not dry", []journal.Entry{did(1, 10), tested(1, "dry"), tested(2, "damp"), did(3, 5), tested(3, "dry")}, FirstTime{Failed: 1}},
		{"the look before the work is none", []journal.Entry{tested(0, "wet"), did(1, 10), tested(1, "dry")}, FirstTime{Passed: 1}},
		{"none is logged", []journal.Entry{did(1, 10)}, FirstTime{None: 1}},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := Summarize([]journal.Line{repaired("a", pumphouse, "pad", "x", 0, 5, c.work...)}, Asked{Now: on(9)})
			assert.Equal(t, c.want, s.Retest)
		})
	}
}

// season is an invented season of the pumphouse.
func season() []journal.Line {
	left := journal.Line{Path: "l", Head: journal.Head{ID: "l", Unit: "strainer", Opened: on(3), Closed: on(31), End: "left"}}
	return []journal.Line{
		repaired("a", pumphouse, "pad", "face-bowed", 0, 2, did(1, 55, "lap-face", "new-gasket"), tested(2, "dry")),
		repaired("b", pumphouse, "water-in", "ring-nicked", 5, 6, did(5, 12, "new-ring"), tested(6, "wet"), did(6, 20, "new-ring"), tested(6, "dry")),
		repaired("c", pumphouse, "water-in", "bore-oval", 76, 78, did(77, 90, "hone-bore")),
		repaired("d", "filter", "lid", "", 80, 81, did(80, 7, "not-known")),
		{Path: "e", Head: journal.Head{ID: "e", Unit: "filter", Opened: on(100)}},
		{Path: "bad.yaml", Err: fmt.Errorf("bad.yaml:3:1: this is not YAML")},
		left,
		repaired("g", "", "", "hose-aged", 90, 91),
	}
}

func planned(id string) (float64, bool) {
	m, ok := map[string]float64{"lap-face": 30, "new-gasket": 15, "new-ring": 15, "hone-bore": 60}[id]
	return m, ok
}

func TestASeasonIsPutTogether(t *testing.T) {
	s := Summarize(season(), Asked{Now: on(178), Planned: planned})
	assert.Equal(t, [4]int{7, 1, 5, 1}, [4]int{s.Cases, s.Open, s.Dry, s.Other})
	require.Len(t, s.Unread, 1)
	assert.Len(t, s.Failed, 5)
	assert.Equal(t, 4, s.Lasted.Repairs)
	assert.Equal(t, 1, s.Lasted.Again)
	assert.Nil(t, s.Lasted.Median, "three of four hold")
	assert.Equal(t, 1, s.Lasted.Unnamed)
	assert.Equal(t, []Again{{Unit: pumphouse, Joint: "water-in", Times: 1, Repairs: 2, Shortest: 70}}, s.Again)
	assert.Equal(t, FirstTime{Passed: 1, Failed: 1, None: 4}, s.Retest)
	assert.Equal(t, Minutes{All: 55 + 10 + 12 + 10 + 20 + 10 + 90 + 7, Spent: 177, Planned: 45 + 15 + 15 + 60, Jobs: 4}, s.Time)
	golden(t, "season.txt", s.Text(words))
	since := Summarize(season(), Asked{Now: on(178), Since: on(70), Planned: planned})
	assert.Equal(t, 4, since.Cases)
	assert.Equal(t, 2, since.Lasted.Repairs)
	none := Summarize(nil, Asked{Now: on(0)})
	assert.Equal(t, "There is no case to put together.\n", none.Text(words))
}

var words = Words{
	Kind:   func(k string) string { return strings.ReplaceAll(k, "-", " ") },
	Cause:  func(_, c string) string { return strings.ReplaceAll(c, "-", " ") },
	Remedy: func(r string) string { return strings.ReplaceAll(r, "-", " ") },
	Wrap:   func(text, lead, _ string) string { return lead + text + "\n" },
}

func BenchmarkSummaryOf10000Cases(b *testing.B) {
	s := journal.Store{Dir: b.TempDir()}
	for i := range 10000 {
		l := repaired(fmt.Sprintf("2026-05-04-case-%05d", i), fmt.Sprintf("pump set %d", i%300), []string{"pad", "water-in", "lid"}[i%3], "face-bowed", float64(i%900), float64(i%900)+2)
		c := journal.New()
		c.Head, c.Proven = l.Head, l.Proven
		for j := range 12 {
			c.Add(journal.Entry{At: on(float64(i % 900)), What: journal.Note, Said: fmt.Sprintf("drips on the pad, look %d: with the pump running, not before", j)})
		}
		c.Add(did(float64(i%900), 40, "lap-face"), tested(float64(i%900)+1, []string{"dry", "wet"}[i%2]))
		c.Add(l.Work...)
		var t strings.Builder
		_, err := c.WriteTo(&t)
		require.NoError(b, err)
		require.NoError(b, os.WriteFile(s.Path(c.Head.ID), []byte(t.String()), 0o600))
	}
	b.Run("listed", func(b *testing.B) {
		for range b.N {
			list, err := s.List()
			require.NoError(b, err)
			require.Len(b, list, 10000)
		}
	})
	b.Run("summarised", func(b *testing.B) {
		for range b.N {
			list, err := s.Works()
			require.NoError(b, err)
			sum := Summarize(list, Asked{Now: on(1000), Planned: planned})
			require.Equal(b, 10000, sum.Cases)
			require.NotEmpty(b, sum.Text(words))
		}
	})
}
