package readings

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestListsAreReadAsPeopleWriteThem(t *testing.T) {
	for name, c := range map[string]struct {
		text, assume string
		want         []Reading
	}{
		"bare numbers with a unit assumed": {"34.02 34.05\n33.98", "mm", []Reading{{Value: "34.02 mm"}, {Value: "34.05 mm"}, {Value: "33.98 mm"}}},
		"the unit of the first goes on":    {"34.02mm 34.05", "", []Reading{{Value: "34.02mm"}, {Value: "34.05 mm"}}},
		"a unit apart and places":          {"34.02 mm@12:00; 34.05 mm@3:00", "", []Reading{{At: "12:00", Value: "34.02 mm"}, {At: "3:00", Value: "34.05 mm"}}},
		"another unit from there on":       {"1.339 in 34.05mm 34", "", []Reading{{Value: "1.339 in"}, {Value: "34.05mm"}, {Value: "34 mm"}}},
		"decimal commas and remarks":       {"34,02 34,05 # near the flange\n33,98", "mm", []Reading{{Value: "34,02 mm"}, {Value: "34,05 mm"}, {Value: "33,98 mm"}}},
		"commas with blanks divide":        {"34.02, 34.05, 33.98", "mm", []Reading{{Value: "34.02 mm"}, {Value: "34.05 mm"}, {Value: "33.98 mm"}}},
		"signs of an indicator":            {"-0.02 +0.01 .03", "mm", []Reading{{Value: "-0.02 mm"}, {Value: "+0.01 mm"}, {Value: ".03 mm"}}},
	} {
		t.Run(name, func(t *testing.T) {
			rows, bad := Parse("r.txt", []byte(c.text), c.assume)
			require.Empty(t, bad)
			got := rows[""]
			for i := range got {
				got[i].Place.File, got[i].Place.Line, got[i].Place.Col = "", 0, 0
			}
			assert.Equal(t, c.want, got)
		})
	}
}

func TestTablesAreReadByTheirHeads(t *testing.T) {
	rows, bad := Parse("r.csv", []byte("angle_deg,radius_mm,u_mm\n0,34.02,0.01\n30,34.05,0.01\n"), "")
	require.Empty(t, bad)
	require.Len(t, rows["radius"], 2)
	assert.Equal(t, "30 deg", rows["radius"][1].At)
	assert.Equal(t, "34.05 mm +- 0.01 mm", rows["radius"][1].Value)
	assert.Equal(t, 3, rows["radius"][1].Place.Line)

	rows, bad = Parse("r.csv", []byte("x_mm;y_mm;z_um\n0;0;12,5\n100;0;-3\n"), "")
	require.Empty(t, bad)
	assert.Equal(t, Reading{At: "100 mm; 0 mm", Value: "-3 um", Place: rows["z"][1].Place}, rows["z"][1])
	assert.Equal(t, "12.5 um", rows["z"][0].Value)

	rows, bad = Parse("r.csv", []byte("line,position_mm,gap_mm\nfront,20,0.05\n"), "")
	require.Empty(t, bad)
	assert.Equal(t, "front: 20 mm", rows["gap"][0].At)

	rows, bad = Parse("r.csv", []byte("at,bore,spigot\n12:00,34.02,33.9\n3:00,,33.8\n"), "mm")
	require.Empty(t, bad)
	assert.Len(t, rows["bore"], 1, "an empty cell is no reading")
	assert.Len(t, rows["spigot"], 2)
}

func TestWhatCannotBeReadIsNamedWithItsPlace(t *testing.T) {
	for name, c := range map[string]struct{ text, want string }{
		"no unit anywhere":      {"34.02 34.05", `r.csv:1:1: "34.02" has no unit`},
		"a word":                {"34.02 mm\n33.98 mm 12..3 mm", `r.csv:2:10: "12..3 mm" is not a reading`},
		"an unknown unit":       {"34.02 furlongs", "has no known unit"},
		"nothing":               {"", "there are no readings"},
		"a head without unit":   {"at,bore\n12:00,34.02\n", `r.csv:1:2: the column "bore" says no unit`},
		"a cell that is none":   {"at,bore_mm\n12:00,about 34\n", `r.csv:2:7: "about 34" is not a number`},
		"a line too short":      {"at,bore_mm\n12:00\n", "the line has 1 cells, the first 2"},
		"heads only":            {"at,bore_mm\n", "heads but no readings"},
		"only places":           {"x_mm,y_mm\n1,2\n", "no column holds readings"},
		"the same column twice": {"bore_mm,bore_in\n1,2\n", "two columns mean the same"},
		"a picture":             {"\x89PNG\x00", "this is no text"},
		"a word for a number":   {"inf mm", "heads but no readings"},
	} {
		t.Run(name, func(t *testing.T) {
			_, bad := Parse("r.csv", []byte(c.text), "")
			require.NotEmpty(t, bad)
			assert.Contains(t, bad.Error(), c.want)
		})
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"34.02 34.05", "at,bore_mm\n12:00,34\n", "x;y;z_mm\n1;2;3\n", "34,02mm@3:00 # x", "\"a,b\n", "1e999 mm"} {
		f.Add(s, "mm")
	}
	f.Fuzz(func(t *testing.T, s, assume string) {
		rows, bad := Parse("f", []byte(s), assume)
		if len(bad) == 0 {
			n := 0
			for _, r := range rows {
				n += len(r)
			}
			if n == 0 {
				t.Fatal("neither readings nor a finding")
			}
		}
	})
}
