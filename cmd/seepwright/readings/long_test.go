package readings

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestATableThatNamesWhatWasMeasuredIsRead(t *testing.T) {
	for name, text := range map[string]string{
		"with commas":                        "fact,joint,at,value,unit,instrument\nbore-readings,in,12:00,38.11,mm,bore-gauge\nbore-readings,in,3:00,38.12,mm,bore-gauge\n",
		"as a spreadsheet of decimal commas": "\ufeffFact;Joint;At;Value;Unit;Instrument\r\nbore-readings;in;12:00;38,11;mm;bore-gauge\r\n\r\nbore-readings;in;3:00;38,12;mm;bore-gauge\r\n",
		"with the unit in the value":         "value,fact,joint,at,instrument,note\n38.11 mm,bore-readings,in,12:00,bore-gauge,\"x, y\"\n# a remark\n38.12 mm,bore-readings,in,3:00,bore-gauge,\n",
	} {
		t.Run(name, func(t *testing.T) {
			list, bad := ParseNamed("r.csv", []byte(text))
			require.Empty(t, bad)
			require.Len(t, list, 2)
			assert.Equal(t, "38.12 mm", list[1].Value)
			assert.Equal(t, "3:00", list[1].At)
			assert.Equal(t, "in", list[1].Joint)
			assert.Equal(t, "bore-gauge", list[1].Instrument)
		})
	}
	list, bad := ParseNamed("r.csv", []byte("fact,value,unit,plus_minus\nring-section,3.53,mm,0.02 mm\n"))
	require.Empty(t, bad)
	assert.Equal(t, "3.53 mm +/- 0.02 mm", list[0].Value)
}

func TestEveryFaultOfATableHasItsLineAndColumn(t *testing.T) {
	for text, says := range map[string]string{
		"":                                 "r.csv:1:1: there are no readings",
		"fact,value\n":                     "r.csv:1:1: there are no readings",
		"fact,worth\na,1 mm\n":             `r.csv:1:6: a table of readings has no column "worth"`,
		"fact,fact,value\na,a,1 mm\n":      `r.csv:1:6: two columns are called "fact"`,
		"joint,value\na,1 mm\n":            `r.csv:1:1: there is no column "fact"`,
		"fact,value\nring-section,3.53\n":  `r.csv:2:14: "3.53" has no unit`,
		"fact,value\nring-section,wide\n":  `r.csv:2:14: "wide" is not a reading`,
		"fact,value\n,3.53 mm\n":           "r.csv:2:1: the line does not say what was measured",
		"fact,value,unit\na,3.53 in,mm\n":  "r.csv:2:11: the value says in, and the column unit mm",
		"fact,value\na,1 mm,2\n":           "r.csv:2:1: the line has 3 cells, the first 2",
		"fact,value\na,\"1 mm\n":           "r.csv:",
		"fact,value\na,1 mm@3:00\n":        `r.csv:2:3: "1 mm@3:00" is not a reading`,
		"fact,value\na,1 mm\n\nb,x\nc,y\n": `r.csv:5:3: "y" is not a reading`,
		"fact,value\n\x00":                 "this is no text",
	} {
		list, bad := ParseNamed("r.csv", []byte(text))
		assert.Nil(t, list)
		assert.ErrorContains(t, bad, says, text)
	}
}

func FuzzParseNamed(f *testing.F) {
	f.Add("fact,joint,at,value,unit,plus_minus,instrument\nbore,in,12:00,38.11,mm,0.01 mm,bore-gauge\n")
	f.Add("fact;value\na;1,5 mm\n")
	f.Add("\ufefffact,value\n\"a\nb\",'1 mm\n")
	f.Fuzz(func(t *testing.T, text string) {
		list, bad := ParseNamed("r.csv", []byte(text))
		if len(bad) > 0 {
			require.Nil(t, list)
		}
		for _, b := range bad {
			require.Positive(t, b.Place.Line)
			require.Positive(t, b.Place.Col)
			require.LessOrEqual(t, b.Place.Line, strings.Count(text, "\n")+strings.Count(text, "\r")+1)
		}
		for _, n := range list {
			require.NotEmpty(t, n.Fact)
			require.NotEmpty(t, n.Value)
		}
	})
}
