package catalogue

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/rules/table"
	"seepwright/rules/unit"
)

// builtIn are the tables of the repository, each read once. The library itself knows no file; only its test reads them.
type builtIn struct{}

var read sync.Map

func (builtIn) Table(name string) (*table.Table, error) {
	once, _ := read.LoadOrStore(name, sync.OnceValues(func() (*table.Table, error) { return fromFiles(name) }))
	return once.(func() (*table.Table, error))()
}

func fromFiles(name string) (*table.Table, error) {
	dir := filepath.Join("..", "..", "..", "kb", "tables")
	figures, err := os.ReadFile(filepath.Join(dir, name+".csv"))
	if err != nil {
		return nil, err
	}
	about, err := os.ReadFile(filepath.Join(dir, name+".yaml"))
	if err != nil {
		return nil, err
	}
	t, bad := table.Read(name, figures, about)
	if bad.Errors() > 0 {
		return nil, bad
	}
	return t, nil
}

// example turns the texts of a calculation's example into its input, with an uncertainty on lengths.
func example(t *testing.T, c Calculation, u float64) In {
	in := In{Num: map[string]Num{}, Rows: map[string][]Row{}, Text: map[string]string{}, Tables: builtIn{}, Solve: true}
	known := map[string]Input{}
	for _, d := range c.Inputs {
		known[d.Name] = d
	}
	for name, text := range c.Example {
		d, ok := known[name]
		require.True(t, ok, "%s: the example gives %q, which is no input", c.Name, name)
		if d.Dim == "" {
			in.Text[name] = text
			continue
		}
		width := 0.0
		if d.Dim == unit.LengthDim {
			width = u
		}
		if !d.Rows {
			q, err := unit.Parse(text, d.Dim)
			require.NoError(t, err)
			in.Num[name] = Num{q.SI(), width}
			continue
		}
		for _, part := range strings.Split(text, ";") {
			at, value, ok := strings.Cut(part, "=")
			require.True(t, ok, part)
			q, err := unit.Parse(strings.TrimSpace(value), d.Dim)
			require.NoError(t, err)
			in.Rows[name] = append(in.Rows[name], Row{strings.TrimSpace(at), Num{q.SI(), width}})
		}
	}
	return in
}

func TestEveryExampleRunsAndGivesEveryOutput(t *testing.T) {
	for _, c := range All() {
		t.Run(c.Name, func(t *testing.T) {
			out, err := c.Run(example(t, c, 1e-6))
			require.NoError(t, err)
			listed := map[string]bool{}
			for _, o := range c.Outputs {
				listed[o.Name] = true
				if o.Dim == "" {
					assert.NotEmpty(t, out.Text[o.Name], o.Name)
					continue
				}
				n, ok := out.Num[o.Name]
				assert.True(t, ok, "%s is listed but not produced", o.Name)
				assert.False(t, n.SI != n.SI || n.U != n.U, "%s is not a number", o.Name)
			}
			for k := range out.Num {
				assert.True(t, listed[k], "%s is produced but not listed", k)
			}
			for k := range out.Text {
				assert.True(t, listed[k], "%s is produced but not listed", k)
			}
			assert.True(t, strings.HasSuffix(out.Sentence, "."), out.Sentence)
			t.Log(out.Verdict, "|", out.Sentence)
		})
	}
}

func TestEveryCalculationIsDescribed(t *testing.T) {
	kebab := regexp.MustCompile(`^[a-z]+(-[a-z]+)*$`)
	last := ""
	for _, c := range All() {
		assert.Less(t, last, c.Name, "sorted and unique")
		last = c.Name
		assert.Regexp(t, kebab, c.Name)
		assert.NotEmpty(t, c.Title)
		assert.NotEmpty(t, c.About, c.Name)
		for _, d := range c.Inputs {
			assert.Regexp(t, kebab, d.Name)
			assert.NotEmpty(t, d.Title, d.Name)
			if d.Dim == "" {
				assert.True(t, (len(d.Words) > 0) != (d.From != ""), "%s %s: a word has its words or a table", c.Name, d.Name)
				words, err := Choices(d, builtIn{})
				require.NoError(t, err)
				assert.NotEmpty(t, words)
				if d.Default != "" {
					assert.Contains(t, words, d.Default)
				}
				continue
			}
			assert.True(t, unit.Known(d.Dim), d.Dim)
			if d.Default != "" {
				_, err := unit.Parse(d.Default, d.Dim)
				assert.NoError(t, err)
				assert.True(t, d.Optional, "%s %s: an input with a default may be left out", c.Name, d.Name)
			}
		}
		for _, o := range c.Outputs {
			assert.Regexp(t, kebab, o.Name)
			assert.NotEmpty(t, o.Formula, o.Name)
			assert.NotEmpty(t, o.Source, o.Name)
			assert.Contains(t, []string{"confirmed", "common practice", "from memory", "estimate"}, o.Standing)
			if o.Dim != "" {
				assert.True(t, unit.Known(o.Dim), o.Dim)
			}
		}
	}
}

func TestAMissingInputIsRefusedInWords(t *testing.T) {
	for _, c := range All() {
		_, err := c.Run(In{})
		require.Error(t, err, c.Name)
		assert.Greater(t, len(strings.Fields(err.Error())), 5, err.Error())
	}
}

func TestAnUnknownInputIsRefused(t *testing.T) {
	c, ok := ByName("push-out")
	require.True(t, ok)
	_, err := c.Run(In{Num: map[string]Num{"diameter": {SI: 0.038}, "pressure": {SI: 1e5}, "colour": {SI: 1}}})
	assert.ErrorContains(t, err, "colour")
	_, ok = ByName("no-such")
	assert.False(t, ok)
}

func TestVerdictsFollowTheGuardBand(t *testing.T) {
	c, _ := ByName("ovality")
	for _, tc := range []struct {
		name    string
		u       float64
		limit   float64
		verdict string
	}{
		{"well within the limit", 0.01e-3, 0.60e-3, OK},
		{"well beyond the limit", 0.01e-3, 0.20e-3, TooLarge},
		{"a vernier cannot tell 0.40 from 0.41", 0.05e-3, 0.41e-3, CannotSay},
	} {
		t.Run(tc.name, func(t *testing.T) {
			in := example(t, c, tc.u)
			in.Num["limit"] = Num{SI: tc.limit}
			out, err := c.Run(in)
			require.NoError(t, err)
			assert.Equal(t, tc.verdict, out.Verdict, out.Sentence)
			assert.InDelta(t, 0.4e-3, out.Num["ovality"].SI, 1e-9)
		})
	}
}

func TestARoundPartIsNotProvedRoundByACoarseInstrument(t *testing.T) {
	c, _ := ByName("ovality")
	in := In{Rows: map[string][]Row{}, Num: map[string]Num{"limit": {SI: 0.01e-3}}}
	for _, at := range []string{"12:00", "1:30", "3:00", "4:30"} {
		in.Rows["diameters"] = append(in.Rows["diameters"], Row{at, Num{38e-3, 0.05e-3}})
	}
	out, err := c.Run(in)
	require.NoError(t, err)
	assert.Positive(t, out.Num["ovality"].U)
	assert.Equal(t, CannotSay, out.Verdict)
}

func TestWorstPlaceIsNamedByTheClock(t *testing.T) {
	c, _ := ByName("oring-local-squeeze")
	in := example(t, c, 0)
	delete(in.Num, "spigot-diameter")
	out, err := c.Run(in)
	require.NoError(t, err)
	assert.Equal(t, "3:00", out.Text["least-at"], "pushed to 9 o'clock, wide at 3 and 9")
	assert.InDelta(t, 0.58e-3, out.Num["least-squeeze-mm"].SI, 1e-9, "reference row: oval 31.00 x 31.20 and 0.05 off")
}

func TestPlacesAreReadOrRefused(t *testing.T) {
	for text, deg := range map[string]float64{"12:00": 0, "3:00": 90, "10:30": 315, "6 o'clock": 180, "45 deg": 45, "120": 120} {
		a, _, err := angleAt(text)
		require.NoError(t, err, text)
		assert.InDelta(t, deg, float64(a/unit.Degree), 1e-9, text)
	}
	for _, text := range []string{"", "13:00", "left", "3:75", "5 mm", "1:2:3"} {
		_, _, err := angleAt(text)
		assert.Error(t, err, text)
	}
	x, y, err := placeXY("40, 2 in", 0)
	require.NoError(t, err)
	assert.InDelta(t, 0.040, x, 1e-12)
	assert.InDelta(t, 0.0508, y, 1e-12)
	_, _, err = placeXY("3:00", 0)
	assert.ErrorContains(t, err, "diameter")
}

func FuzzPlacesNeverPanic(f *testing.F) {
	for _, s := range []string{"3:00", "40,30", "90 deg", "10 o'clock", "-1:70", "1e400,2", ";;", "1,2,3"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		_, _, _ = angleAt(s)
		_, _, _ = placeXY(s, 0.1)
		_, _ = distanceAt(s)
	})
}
