package journal

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/rules"
)

var monday = time.Date(2026, 5, 4, 16, 30, 0, 0, time.FixedZone("", 2*3600))

// An invented record of the pumphouse of a hillside irrigation cooperative.
func record() *Case {
	c := example()
	c.Head = Head{Title: "Oil cooler drips: pad side", Unit: "oil cooler of the lift pump", By: "m", Opened: monday}
	c.File.Assembly.Inline = []byte("assembly: oil cooler\njoints:\n  - {id: left, kind: hose-clamp}\n")
	c.File.Joint.Text = ""
	c.Add(
		Entry{At: monday, What: Answered, Name: "fluid", Value: rules.AnswerText{Scalar: "coolant"}},
		Entry{At: monday, What: Measured, Name: "spigot-diameter", Joint: "left", With: "vernier", Value: rules.AnswerText{Scalar: "34.02 mm"}},
		Entry{At: monday, What: Measured, Name: "bore-row", Joint: "left", Value: rules.AnswerText{List: []string{"34.02", "34.05"}, At: []string{"12", "3"}, Unit: "mm"}},
		Entry{At: monday, What: Ranked, Ranked: []Chance{{"left", "slack-after-set", 0.31}, {"left", "hose-aged", 0.2}}, Run: "stop", Next: "turn the clamp"},
		Entry{At: monday, What: Note, Said: "drips with the pump on:\n- not before", Photos: []string{"photos/one.jpg"}},
		Entry{At: monday, What: TookBack, Name: "fluid"},
		Entry{At: monday, What: Opened, Name: "guard", Minutes: 10},
		Entry{At: monday, What: Did, Did: []string{"turn-clamp"}, Joint: "left", Said: "half a turn, cold", Parts: []string{"clamp 32-50"}, Fluids: []string{"water, 2 L"}, Minutes: 12.5},
		Entry{At: monday, What: Did, Said: "told in words only"},
		Entry{At: monday, What: Retest, Name: "cold-pressure", Joint: "left", Tissue: "dry", Gauge: "1.0 bar to 0.98 bar", Temperature: "18 C to 21 C", Minutes: 20, Level: "the same"},
		Entry{At: monday, What: Closed, Name: Dry},
		Entry{At: monday, What: Reopened, Said: "wet again after a week"},
	)
	return c
}

func TestARecordReadsBackAsItWasWritten(t *testing.T) {
	s := Store{t.TempDir()}
	c := record()
	path, err := s.Create(c)
	require.NoError(t, err)
	assert.Equal(t, "2026-05-04-oil-cooler-drips-pad-side", c.Head.ID)
	assert.Equal(t, s.Path(c.Head.ID), path)
	again, err := Open(path)
	require.NoError(t, err)
	assert.Equal(t, text(t, c), text(t, again))
	require.Len(t, again.Log, len(c.Log))
	for i, e := range again.Log {
		e.At, e.Value.Place = c.Log[i].At, c.Log[i].Value.Place
		assert.Equal(t, c.Log[i], e)
	}
	assert.Contains(t, text(t, again), "joints:\n    - {id: left", "the unit is in the record")
}

func TestACaseThatCouldNotBeReadBackIsNotSaved(t *testing.T) {
	path, err := Store{t.TempDir()}.Create(record())
	require.NoError(t, err)
	h, err := Hold(path)
	require.NoError(t, err)
	defer h.Free()
	whole := text(t, h.Case)
	h.Case.Add(Entry{At: monday, What: Retest, Name: "idle", Tissue: "moist"})
	assert.ErrorContains(t, h.Save(), "the old state is kept")
	now, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, whole, string(now))
}

func TestTimesOfTheLogGoUpWhateverTheClockDoes(t *testing.T) {
	c := New()
	c.Add(Entry{At: monday, What: Note, Said: "a"}, Entry{At: monday.Add(-time.Hour), What: Note, Said: "b"})
	assert.Equal(t, monday, c.Log[1].At)
}

func TestChangesTellWhatLedFromOneStateToTheOther(t *testing.T) {
	a, b := example(), example()
	delete(b.File.Answers, "fluid")
	b.File.Answers["growing"] = rules.AnswerText{Scalar: "no"}
	b.File.Joints["left"]["spigot-diameter"] = rules.AnswerText{Scalar: "34 mm"}
	list := Changes(a, b, monday, "m")
	var says []string
	for _, e := range list {
		says = append(says, fmt.Sprintf("%s %s %s %s", e.What, e.Joint, e.Name, e.Value.Scalar))
	}
	assert.Equal(t, []string{"took back  fluid ", "answered  growing no", "answered left spigot-diameter 34 mm"}, says)
	assert.Empty(t, Changes(a, example(), monday, ""))
}

func TestAFaultInARecordIsNamedWithItsPlace(t *testing.T) {
	head := "case: {id: x, title: x, opened: 2026-05-04T16:30:00+02:00, record: 1}\n"
	for _, c := range []struct{ name, text, says string }{
		{"a head without an id", "case: {title: x, record: 1}\n", "x.yaml:1:7: the case has no id"},
		{"a newer form", "case: {id: x, record: 9}\n", "x.yaml:1:7: the record is in form 9"},
		{"an end without a date", "case: {id: x, record: 1, end: dry}\n", "closed has a date and an end"},
		{"an end that there is not", "case: {id: x, record: 1, closed: 2026-05-05, end: done}\n", `no end is called "done"`},
		{"a day that there is not", "case: {id: x, opened: 2026-02-30}\n", `x.yaml:1:23: "2026-02-30" is no date`},
		{"an entry without a kind", head + "log:\n- at: 2026-05-04\n", "x.yaml:3:3: this entry of the log does not say what was done"},
		{"an entry of two kinds", head + "log:\n- {at: 2026-05-04, note: a, closed: dry}\n", "an entry of the log says one thing"},
		{"an entry without a date", head + "log:\n- {note: a}\n", "x.yaml:3:3: this entry of the log has no date"},
		{"a strange key of an entry", head + "log:\n- {at: 2026-05-04, note: a, colour: red}\n", `x.yaml:3:29: the entry note has no "colour"`},
		{"a key twice", head + "log:\n- {at: 2026-05-04, note: a, by: x, by: y}\n", "x.yaml:"},
		{"a tissue that is neither", head + "log:\n- {at: 2026-05-04, retest: idle, tissue: moist}\n", `this says "moist"`},
		{"minutes below nought", head + "log:\n- {at: 2026-05-04, opened: cap, minutes: -1}\n", "minutes is a number from 0 on"},
		{"a log that is no list", head + "log: yes\n", "x.yaml:2:6: log is a list"},
		{"a broken log", head + "log:\n- {at: 2026-05-04, note: [}\n", "x.yaml:3:1:"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, bad := Read(strings.NewReader(c.text), "x.yaml")
			require.Positive(t, bad.Errors())
			assert.ErrorContains(t, bad, c.says)
		})
	}
}

func TestACaseIsFoundByAPartOfItsName(t *testing.T) {
	s := Store{filepath.Join(t.TempDir(), "cases")}
	_, err := s.Find("pad")
	assert.ErrorContains(t, err, "begin one with seepwright case new")
	for _, title := range []string{"pad of the cooler", "strainer lid", "strainer hose"} {
		_, err := s.Create(&Case{File: example().File, Head: Head{Title: title, Opened: monday}})
		require.NoError(t, err)
	}
	path, err := s.Find("pad")
	require.NoError(t, err)
	assert.Equal(t, s.Path("2026-05-04-pad-of-the-cooler"), path)
	_, err = s.Find("strainer")
	assert.ErrorContains(t, err, "2 cases have")
	_, err = s.Find("2026-05-04-strainer-lit")
	assert.ErrorContains(t, err, "2026-05-04-strainer-lid")
	_, err = s.Find("nothing/of/it.yaml")
	assert.ErrorContains(t, err, "no such file")
	_, err = s.Find("")
	assert.ErrorContains(t, err, "which case?")
}

func TestTwoWhoBeginTheSameCaseGetOneEach(t *testing.T) {
	s := Store{t.TempDir()}
	var wait sync.WaitGroup
	for range 8 {
		wait.Add(1)
		go func() {
			defer wait.Done()
			_, err := s.Create(record())
			assert.NoError(t, err)
		}()
	}
	wait.Wait()
	list, err := s.List()
	require.NoError(t, err)
	assert.Len(t, list, 8)
	for _, l := range list {
		require.NoError(t, l.Err)
		assert.Equal(t, "Oil cooler drips: pad side", l.Head.Title)
		assert.Len(t, l.Proven, 2)
	}
}

func TestOfTwoWritersTheSecondIsSentAway(t *testing.T) {
	s := Store{t.TempDir()}
	path, err := s.Create(record())
	require.NoError(t, err)
	h, err := Hold(path)
	require.NoError(t, err)
	_, err = Hold(path)
	assert.ErrorContains(t, err, "is open in another seepwright (process "+fmt.Sprint(os.Getpid())+")")
	h.Free()
	h, err = Hold(path)
	require.NoError(t, err)
	h.Free()
}

func TestABrokenRecordIsKeptAndTheLastGoodStateOffered(t *testing.T) {
	s := Store{t.TempDir()}
	path, err := s.Create(record())
	require.NoError(t, err)
	whole, err := os.ReadFile(path)
	require.NoError(t, err)
	broken := strings.Replace(string(whole), "tissue: dry", "tissue: [dry", 1)
	require.NoError(t, os.WriteFile(path, []byte(broken), 0o600))
	_, err = Hold(path)
	var b Broken
	require.True(t, errors.As(err, &b))
	require.NotNil(t, b.Last)
	assert.Regexp(t, `pad-side\.yaml:\d+:1: `, err.Error())
	assert.ErrorContains(t, err, "the last good state (2026-05-04")
	list, err := s.List()
	require.NoError(t, err)
	assert.NoError(t, list[0].Err, "the head can be read all the same")

	kept, err := Restore(path)
	require.NoError(t, err)
	was, err := os.ReadFile(kept)
	require.NoError(t, err)
	assert.Equal(t, broken, string(was))
	now, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, string(whole), string(now))
	_, err = Restore(path)
	assert.ErrorContains(t, err, "can be read; nothing is restored")
}

func TestASavedInterviewBecomesARecord(t *testing.T) {
	path := filepath.Join(t.TempDir(), "pad.yaml")
	require.NoError(t, Save(path, example()))
	h, err := Hold(path)
	require.NoError(t, err)
	defer h.Free()
	assert.Equal(t, "pad", h.Case.Head.ID)
	assert.Equal(t, Form, h.Case.Head.Form)
	require.NoError(t, h.Save())
	c, err := Open(path)
	require.NoError(t, err)
	assert.Equal(t, example().Proven, c.Proven)
	assert.False(t, c.Head.Opened.IsZero())
}

func TestCasesAreKeptInTheDataFolder(t *testing.T) {
	env := func(m map[string]string) func(string) string { return func(k string) string { return m[k] } }
	dir, err := Folder(env(map[string]string{"XDG_DATA_HOME": "/data", "HOME": "/home/m"}))
	require.NoError(t, err)
	assert.Equal(t, filepath.FromSlash("/data/seepwright/cases"), dir)
	dir, err = Folder(env(map[string]string{"XDG_DATA_HOME": "not/absolute", "HOME": "/home/m"}))
	require.NoError(t, err)
	assert.Equal(t, filepath.FromSlash("/home/m/.local/share/seepwright/cases"), dir)
	_, err = Folder(env(nil))
	assert.ErrorContains(t, err, "--dir")
}

func BenchmarkListOf10000Cases(b *testing.B) {
	s := Store{b.TempDir()}
	for i := range 10000 {
		c := record()
		c.Head.ID, c.Head.Form = fmt.Sprintf("2026-05-04-case-%d", i), Form
		var t strings.Builder
		_, err := c.WriteTo(&t)
		require.NoError(b, err)
		require.NoError(b, os.WriteFile(s.Path(c.Head.ID), []byte(t.String()), 0o600))
	}
	b.ResetTimer()
	for range b.N {
		list, err := s.List()
		require.NoError(b, err)
		require.Len(b, list, 10000)
	}
}

func BenchmarkWorksOf10000Cases(b *testing.B) {
	s := Store{b.TempDir()}
	for i := range 10000 {
		c := record()
		c.Head.ID, c.Head.Form = fmt.Sprintf("2026-05-04-case-%d", i), Form
		var t strings.Builder
		_, err := c.WriteTo(&t)
		require.NoError(b, err)
		require.NoError(b, os.WriteFile(s.Path(c.Head.ID), []byte(t.String()), 0o600))
	}
	b.ResetTimer()
	for range b.N {
		list, err := s.Works("fluid")
		require.NoError(b, err)
		require.Len(b, list, 10000)
	}
}
