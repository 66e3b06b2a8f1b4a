package interview

import (
	"io"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/kb"
	"seepwright/rules"
	"seepwright/rules/fact"
)

func knowledge(t testing.TB) *rules.Knowledge {
	t.Helper()
	k, err := kb.Load()
	require.NoError(t, err)
	return k
}

func TestAnswersAreReadInAllTheirForms(t *testing.T) {
	k := knowledge(t)
	for _, c := range []struct {
		name, fact string
		typed      []string
		want       string
		says       string
	}{
		{"a number of a choice", "fluid", []string{"2"}, "coolant", ""},
		{"the id of an option", "fluid", []string{"hydraulic-oil"}, "hydraulic-oil", ""},
		{"first letters that fit one option only", "fluid", []string{"hydr"}, "hydraulic-oil", ""},
		{"first letters that fit two options are asked again", "fluid", []string{"br", "1"}, "water", "could be"},
		{"a number past the end is asked again", "fluid", []string{"77", "1"}, "water", "There is no 77"},
		{"can't tell", "fluid", []string{"?"}, "can't tell", ""},
		{"can't get at it", "fluid", []string{"x"}, "can't get at it", ""},
		{"yes by letter", "joint-wet", []string{"y"}, "yes", ""},
		{"no by word", "joint-wet", []string{"No"}, "no", ""},
		{"neither yes nor no", "joint-wet", []string{"perhaps", "n"}, "no", "y for yes"},
		{"several numbers, the others left unknown", "wet-when", []string{"1 3", "n"}, "cold, hot", ""},
		{"several numbers with a comma, the others looked at", "wet-when", []string{"1,9", "y"}, "cold, moved; not at-rest, not cool-down, not first-start, not hot, not peak, not pressure, not running", ""},
		{"none of them", "twin", []string{"0"}, "not dry, not felt-same, not wet", ""},
		{"one named as not so", "twin", []string{"1 -2", "n"}, "dry; not wet", ""},
		{"b at the others goes back to the list", "twin", []string{"1", "b", "3", "y"}, "felt-same; not dry, not wet", ""},
		{"an amount in inches", "spigot-diameter", []string{"1.39 in"}, "1.39 in ± 0.002", ""},
		{"a decimal comma", "spigot-diameter", []string{"35,3 mm"}, "35.3 mm ± 0.05", ""},
		{"a number without its unit is asked again with the units", "spigot-diameter", []string{"35.3", "35.3 mm"}, "35.3 mm ± 0.05", "Add the unit: mm, cm, in, thou"},
		{"a wrong dimension says what was expected", "spigot-diameter", []string{"3 bar", "35 mm"}, "35 mm ± 0.05", "Wanted: a length"},
		{"an unusual value is questioned and taken", "spigot-diameter", []string{"0.8 mm", "y"}, "0.8 mm ± 0.05", "is unusual for"},
		{"an unusual value is questioned and corrected", "spigot-diameter", []string{"0.8 mm", "n", "38 mm"}, "38 mm ± 0.05", "usual: 4 mm to 200 mm"},
		{"a row of readings", "hose-spigot-readings", []string{"3:00 38.1 mm; 6:00 38.3 mm"}, "3:00 38.1 mm; 6:00 38.3 mm", ""},
		{"a clock position", "wet-clock", []string{"4:30 seen from front"}, "4:30 o'clock seen from front", ""},
		{"a clock position that is none", "wet-clock", []string{"27:00", "4:30"}, "4:30 o'clock", ""},
		{"w and h say more and ask again", "fluid", []string{"w", "h", "1"}, "water", "It decides what may be done"},
		{"nothing typed is asked again", "fluid", []string{"", "1"}, "water", "Please answer"},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := NewScript()
			for _, x := range c.typed {
				s.Replies = append(s.Replies, Reply{"*", x})
			}
			f := k.Fact(c.fact)
			require.NotNil(t, f)
			got, err := (&Talk{s, 60}).fact(f, k.Instruments, about{id: c.fact, back: true})
			require.NoError(t, err, s.Said.String())
			assert.Equal(t, c.want, got.value.String(), s.Said.String())
			assert.Contains(t, strings.Join(strings.Fields(s.Said.String()), " "), c.says)
			assert.NoError(t, s.Left())
		})
	}
}

func TestAScriptComplainsOfWhatDoesNotFit(t *testing.T) {
	k := knowledge(t)
	s := NewScript("other: y")
	_, err := (&Talk{s, 60}).fact(k.Fact("joint-wet"), nil, about{id: "joint-wet"})
	var none NoReply
	require.ErrorAs(t, err, &none)
	assert.Equal(t, "joint-wet", none.Question.ID)
	assert.ErrorContains(t, s.Left(), "other: y", "an answer that nobody asked for")
}

func TestLinesAreReadFromAPipe(t *testing.T) {
	k := knowledge(t)
	long := strings.Repeat("z", 1<<20)
	var out strings.Builder
	l := NewLine(strings.NewReader(long+"\r\n\n3\r\n2"), &out, nil, 40, true)
	ask := func() (asked, error) {
		return (&Talk{l, 40}).fact(k.Fact("fluid"), nil, about{id: "fluid"})
	}
	got, err := ask()
	require.NoError(t, err)
	assert.Equal(t, "drinking-water", got.value.Option)
	assert.Less(t, out.Len(), 3*longestLine, "a line of a megabyte is cut, not kept")
	got, err = ask()
	require.NoError(t, err, "a last line without an end counts")
	assert.Equal(t, "coolant", got.value.Option)
	_, err = ask()
	assert.ErrorIs(t, err, io.EOF)
}

func TestASignalEndsAQuestionOnPlainLines(t *testing.T) {
	r, w := io.Pipe()
	defer w.Close()
	stop := make(chan os.Signal, 1)
	stop <- os.Interrupt
	_, err := NewLine(r, io.Discard, stop, 40, false).Ask(Question{ID: "x", Ask: "?"})
	assert.ErrorIs(t, err, ErrQuit)
}

func TestEveryQuestionFitsANarrowScreen(t *testing.T) {
	k := knowledge(t)
	for _, f := range k.Facts {
		if f.Engine {
			continue
		}
		q := question(f, k.Instruments, about{id: f.ID, place: "the upper pipe of the cooler", back: true, open: true})
		for _, width := range []int{40, 80} {
			for _, line := range strings.Split(q.Text(width), "\n") {
				assert.LessOrEqual(t, len([]rune(line)), width, "%s: %q", f.ID, line)
			}
			assert.LessOrEqual(t, len(q.Prompt()), 46, f.ID)
		}
		assert.NotEmpty(t, q.Why)
		if f.Answer == fact.Choice || f.Answer == fact.Several {
			assert.Len(t, q.Options, len(f.Options))
		}
	}
}

func FuzzChoicesNeverPanic(f *testing.F) {
	for _, s := range []string{"1 3", "1,3", "-2", "0", "not hot", ", ,", "1 -1", "999999999999999999999", "hot, cold", "é", "--"} {
		f.Add(s)
	}
	list := []Option{{"cold", "cold, at rest"}, {"hot", "only when hot"}, {"running", "while it runs"}}
	f.Fuzz(func(t *testing.T, s string) {
		is, not, none, complaint := several(list, s)
		if complaint == "" && !none && len(is)+len(not) == 0 {
			t.Fatalf("%q is neither an answer nor a complaint", s)
		}
		for _, i := range append(is, not...) {
			if i < 0 || i >= len(list) {
				t.Fatalf("%q names option %d", s, i)
			}
		}
		if n, complaint := find(list, s); complaint == "" && (n < 0 || n >= len(list)) {
			t.Fatalf("%q names option %d", s, n)
		}
	})
}
