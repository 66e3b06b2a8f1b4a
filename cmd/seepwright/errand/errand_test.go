package errand

import (
	"encoding/json"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// slip is an invented walk of three looks.
func slip() Slip {
	s := Slip{Code: "ab12", Case: "pad", Minutes: 9, Groups: []Group{}}
	yes := []string{"yes", "no"}
	s.put(Look{Number: 1, Title: "Photograph it", How: "With a clock mark", Minutes: 2, Joint: "pad", Place: "pad on the head", Cautions: []string{"At rest only."},
		Questions: []Question{{Mark: "1a", Joint: "pad", Fact: "crust-seen", Ask: "Is there a crust?", Options: yes}, {Mark: "1b", Joint: "pad", Fact: "wet-clock", Ask: "Where?", Unit: "o'clock, seen from"}}}, []string{"cold", "stopped"})
	s.put(Look{Number: 2, Title: "Is it dry beside it?", Minutes: 1, Joint: "pad", Questions: []Question{{Mark: "2", Joint: "pad", Fact: "twin", Ask: "Is it dry beside it?", Options: yes}}}, nil)
	s.put(Look{Number: 3, Title: "Measure the gap", Minutes: 6, Joint: "lid", Tools: []string{"feeler-gauge"}, Wipes: []string{"print"},
		Questions: []Question{{Mark: "3", Joint: "lid", Fact: "gap", Ask: "How wide is it?", Unit: "mm"}}}, []string{"running"})
	return s
}

func TestLooksThatGoInOneStateStandTogether(t *testing.T) {
	s := slip()
	require.Len(t, s.Groups, 2)
	assert.Equal(t, "cold, stopped", s.Groups[0].State, "a look that goes in any state joins the one before it")
	assert.Len(t, s.Groups[0].Looks, 2)
	assert.Equal(t, "running", s.Groups[1].State)
	s.put(Look{Number: 4}, nil)
	s.put(Look{Number: 5}, []string{"cold"})
	assert.Len(t, s.Groups, 3, "what wants it cold does not join what wants it running")
	assert.Len(t, s.Questions(), 4)
}

func TestASlipFitsItsWidthAndHasRoomToWrite(t *testing.T) {
	for _, width := range []int{40, 58, 80, 120} {
		var b strings.Builder
		require.NoError(t, slip().Text(&b, width))
		for _, line := range strings.Split(b.String(), "\n") {
			assert.LessOrEqual(t, utf8.RuneCountInString(line), width, line)
		}
		text := b.String()
		assert.Contains(t, text, "____")
		assert.Equal(t, 3, strings.Count(text, "[ ] "), "a box for each look")
		assert.Less(t, strings.Index(text, "CAUTION: At rest only."), strings.Index(text, "1. Photograph it"), "the caution stands before the look")
		assert.Equal(t, 1, strings.Count(text, "Is it dry beside it?"), "what is the title is not asked twice")
		assert.Contains(t, text, "mm\n")
	}
}

func TestTheOtherFormsHaveAllOfIt(t *testing.T) {
	s := slip()
	s.Groups[0].Looks[0].Title = "<b>*Photo*</b>"
	s.Stop, s.Safe = "It sprays.", []string{"Pressure off."}
	var b strings.Builder
	require.NoError(t, s.Markdown(&b))
	assert.Contains(t, b.String(), `- [ ] **1. &lt;b>\*Photo\*&lt;/b> (pad on the head)**, 2 min`)
	assert.Contains(t, b.String(), "**STOP: It sprays.**")
	assert.Contains(t, b.String(), "**First: Pressure off.**")
	j, err := json.Marshal(s)
	require.NoError(t, err)
	var again Slip
	require.NoError(t, json.Unmarshal(j, &again))
	assert.Equal(t, s.Questions(), again.Questions())
}

func TestAnAnsweredSlipIsRead(t *testing.T) {
	for _, c := range []struct {
		name, text string
		want       string // mark=text, in order
		bad        string
	}{
		{"a line for each look, in order", "yes | 4:30 seen from front\nno\n0.12 mm\n", "1a=yes 1b=4:30 seen from front 2=no 3=0.12 mm", ""},
		{"what was not seen stays blank", "\n\n0.12 mm\n", "3=0.12 mm", ""},
		{"a line of underscores is blank too", "____ | 4:30\n", "1b=4:30", ""},
		{"by number, in any order", "3: 0.12 mm\n1b: 4:30\n", "3=0.12 mm 1b=4:30", ""},
		{"by fact", "gap: 0.12 mm\npad/crust-seen: no\n", "3=0.12 mm 1a=no", ""},
		{"a line without a number belongs to the look behind", "1: yes\nno\n", "1a=yes 2=no", ""},
		{"a hard-to-believe value that is meant", "3: 12 mm !\n", "3=12 mm", ""},
		{"its own code is no answer", "slip ab12\nyes\n", "1a=yes", ""},
		{"a remark is left out", "# by m, at noon\nyes\n", "1a=yes", ""},
		{"nothing at all", "", "", ""},
		{"another slip", "Slip 0000.\nyes\n", "", "line 1: this is slip 0000, but the case has moved on to slip ab12"},
		{"too many answers", "yes | 4 | no\n", "", "line 1: look 1 has 2 questions, but here are 3 answers"},
		{"too many lines", "\n\n\nyes\n", "", "line 4: there is no look for this: the slip has 3"},
		{"a number that is not there", "7c: yes\n", "", "line 1: there is no 7c on this slip"},
		{"twice", "2: yes\n2: no\n", "", "line 2: 2 is answered twice"},
		{"a line without an end", strings.Repeat("y", mostColumn+1), "", "line 1: the line is too long"},
		{"lines without an end", strings.Repeat("\n", mostLines+1), "", "a slip has not so many lines"},
	} {
		t.Run(c.name, func(t *testing.T) {
			list, err := slip().Read(strings.NewReader(c.text))
			if c.bad != "" {
				assert.ErrorContains(t, err, c.bad)
				return
			}
			require.NoError(t, err)
			var got []string
			for _, a := range list {
				got = append(got, a.Mark+"="+a.Text)
			}
			assert.Equal(t, c.want, strings.Join(got, " "))
			assert.Equal(t, strings.Contains(c.text, "!"), len(list) > 0 && list[0].Meant)
		})
	}
}

func FuzzRead(f *testing.F) {
	f.Add("yes | 4:30\nno\n")
	f.Add("slip ab12\n3: 0.12 mm !\n1b: x\n")
	f.Fuzz(func(t *testing.T, text string) {
		list, err := slip().Read(strings.NewReader(text))
		if err != nil {
			assert.Empty(t, list)
		}
		seen := map[string]bool{}
		for _, a := range list {
			assert.False(t, seen[a.Mark], "no question twice")
			seen[a.Mark] = true
		}
	})
}
