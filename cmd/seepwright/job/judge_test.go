package job

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/cmd/seepwright/journal"
	"seepwright/engine/network"
	"seepwright/rules"
	"seepwright/rules/unit"
)

func TestAStepOfTheRetestIsJudgedByTheTissueAndByWhatCouldBeSeen(t *testing.T) {
	for _, c := range []struct {
		name  string
		entry journal.Entry
		want  Verdict
		says  string // in what was seen
		do    string
		other string // of the circuit
	}{
		{"a dry tissue for the whole time", journal.Entry{Name: "cold-pressure", Tissue: "dry", Minutes: 20, Gauge: "1.0 bar to 1.0 bar", Temperature: "18 C to 18 C"}, Pass, "a steady needle alone is no pass", "", ""},
		{"fifteen of twenty minutes are enough", journal.Entry{Name: "cold-pressure", Tissue: "dry", Minutes: 15}, Pass, "", "", ""},
		{"a steady needle without a tissue", journal.Entry{Name: "cold-pressure", Minutes: 20, Gauge: "1.0 bar to 1.0 bar"}, Again, "the needle cannot say that", "Put a dry tissue round", ""},
		{"too short", journal.Entry{Name: "cold-pressure", Tissue: "dry", Minutes: 5}, Again, "it was held for 5 min; it takes 20 min", "Go on with the same step", ""},
		{"nobody wrote how long", journal.Entry{Name: "working-heat", Tissue: "dry"}, Again, "how long was not noted", "", ""},
		{"a look at what stands takes no time", journal.Entry{Name: "cold-morning", Tissue: "dry"}, Pass, "", "", ""},
		{"damp is not dry", journal.Entry{Name: "static-fill", Tissue: "damp", Minutes: 15}, Again, "Damp is not dry", "a new tissue", ""},
		{"wet at the fill", journal.Entry{Name: "static-fill", Tissue: "wet", Minutes: 2}, Fail, "", "Go back now", ""},
		{"wet cold under pressure", journal.Entry{Name: "cold-pressure", Tissue: "wet", Minutes: 2}, Fail, "", "Go back now", ""},
		{"first wet hot", journal.Entry{Name: "working-heat", Tissue: "wet"}, Fail, "", "a crack", ""},
		{"first wet in the cold morning", journal.Entry{Name: "cold-morning", Tissue: "wet"}, Fail, "", "squeeze that fades", ""},
		{"wet after weeks", journal.Entry{Name: "long-run", Tissue: "wet"}, Fail, "", "came back in service", ""},
		{"the joint is dry and the needle fell though it got warmer", journal.Entry{Name: "cold-pressure", Tissue: "dry", Minutes: 20, Gauge: "1.0 bar to 0.9 bar", Temperature: "18 C to 21 C"}, Pass, "more than reading and temperature explain", "", "crossing into the other circuit"},
		{"it got colder: the fall proves nothing", journal.Entry{Name: "cold-pressure", Tissue: "dry", Minutes: 20, Gauge: "1.0 bar to 0.97 bar", Temperature: "24 C to 20 C"}, Pass, "proves nothing either way", "", ""},
		{"it rose", journal.Entry{Name: "cold-pressure", Tissue: "dry", Minutes: 20, Gauge: "1.0 bar to 1.1 bar", Temperature: "18 C to 30 C"}, Pass, "A needle that rises hides a leak", "", ""},
		{"no temperature was noted", journal.Entry{Name: "cold-pressure", Tissue: "dry", Minutes: 20, Gauge: "1.0 bar to 1.0 bar"}, Pass, "one kelvin alone moves it", "", ""},
		{"the level is down and the joint dry", journal.Entry{Name: "idle", Tissue: "dry", Minutes: 10, Level: "3 mm lower"}, Pass, "", "", "it goes inside"},
		{"the level is back at its mark", journal.Entry{Name: "cold-morning", Tissue: "dry", Level: "at its mark"}, Pass, "", "", ""},
		{"the leak before had time to show", journal.Entry{Name: "cold-pressure", Tissue: "dry", Minutes: 20}, Pass, "Before, it leaked 6 drops a minute: in this time that made 120 drops. Now none", "", ""},
		{"less than before", journal.Entry{Name: "working-heat", Tissue: "wet", Minutes: 10, Amount: "a drop in 10 min"}, Fail, "Now: a drop every 10 min, about 1/60 of it", "", ""},
		{"in words", journal.Entry{Name: "working-heat", Tissue: "wet", Minutes: 10, Amount: "it only sweats"}, Fail, "Now: it only sweats", "", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			j := begin(t, "face-gasket", pad)
			j.happens(opened("joint"), did("joint", "face-clean-fit-dry"))
			c.entry.Joint, c.entry.What = "joint", journal.Retest
			got, err := j.Judge(c.entry)
			require.NoError(t, err)
			assert.Equal(t, c.want, got.Verdict)
			assert.Contains(t, strings.Join(got.Says, " "), c.says)
			assert.Contains(t, got.Do, c.do)
			assert.Equal(t, c.want == Pass, got.Do == "")
			assert.Contains(t, got.Circuit, c.other)
			assert.Equal(t, c.other == "", got.Circuit == "")
		})
	}
}

func TestDampASecondTimeIsWet(t *testing.T) {
	j := begin(t, "face-gasket", pad)
	e := journal.Entry{What: journal.Retest, Joint: "joint", Name: "static-fill", Tissue: "damp", Minutes: 15}
	first, err := j.Judge(e)
	require.NoError(t, err)
	assert.Equal(t, Again, first.Verdict)
	j.happens(e)
	second, err := j.Judge(e)
	require.NoError(t, err)
	assert.Equal(t, Fail, second.Verdict)
}

func TestASlowLeakIsNotDisprovedInTwentyMinutes(t *testing.T) {
	j := begin(t, "face-gasket", "answers: {"+harmless+", joint-wet: yes, drops-counted: \"1\", drops-time: 4 h}\n")
	got, err := j.Judge(journal.Entry{What: journal.Retest, Joint: "joint", Name: "cold-pressure", Tissue: "dry", Minutes: 20})
	require.NoError(t, err)
	assert.Equal(t, Pass, got.Verdict)
	assert.Contains(t, strings.Join(got.Says, " "), "less than one drop, so a dry tissue after 20 min proves little yet")
}

// The method's table: 50 mL of air in a small part give way by 25 mL for a bar, so that a step of
// 0.02 bar is half a millilitre, ten drops; a circuit with half a litre of air and hoses by 250 to 300.
func TestWhatANeedleCanHideAgreesWithTheMethodsTable(t *testing.T) {
	j := begin(t, "face-gasket", pad)
	got, err := j.Look("joint", "1.0 bar to 0.98 bar", "18 C to 21 C", 20*unit.Minute)
	require.NoError(t, err)
	assert.Equal(t, "A needle that moved less than 0.02 bar in 20 min can hide 0.5 mL (a drop every 2 min) in a small part filled solid (50 mL of air left), or 5.6 mL (6 drops a minute) in a circuit of 15 L with hoses and half a litre of air.", got.Says[0])
	assert.Contains(t, got.Says[1], "The warming by 3 K alone would lift it by")
	assert.Contains(t, strings.Join(got.Says, " "), "It fell by 0.02 bar, more than reading and temperature explain", "it should have risen")
	assert.True(t, got.Unexplained)
	own, err := j.Look("joint", "1.0 bar to 1.0 bar, reads to 0.01 bar, 10 L, 100 mL air", "20 C", 20*unit.Minute)
	require.NoError(t, err)
	assert.Contains(t, own.Says[0], "less than 0.01 bar in 20 min can hide 0.5 mL")
	assert.Contains(t, own.Says[1], "The temperature stayed")
	assert.False(t, own.Unexplained)
}

func TestWhatIsNotedOfAGaugeIsReadOrRefused(t *testing.T) {
	for _, c := range []struct{ text, bad string }{
		{"1.0 bar to 0.98 bar", ""}, {"1.0 to 0.98 bar", ""}, {"15 psi to 14.5 psi, reads to 0.5 psi, 12 L, 50 mL air", ""},
		{"1 bar", "does not say two readings"}, {"1 bar to x", "the gauge"}, {"1 mm to 2 mm", "the gauge"}, {"0 bar to 0 bar", "no test pressure"},
		{"500 bar to 499 bar", "no test pressure"}, {"1 bar to 1 bar, soon", "none of: reads to"}, {"1 bar to 1 bar, reads to 0 bar", "no change of pressure"},
		{"1 bar to 1 bar, 1 L, 1 L air", "as much as the whole system"}, {"1 bar to 1 bar, -1 L air", "no volume of air"},
	} {
		_, err := ReadGauge(c.text)
		if c.bad == "" {
			assert.NoError(t, err, c.text)
		} else {
			assert.ErrorContains(t, err, c.bad, c.text)
		}
	}
	j := begin(t, "face-gasket", pad)
	_, err := j.Judge(journal.Entry{Joint: "joint", Name: "cold-pressure", Tissue: "dry", Gauge: "1 bar to 1 bar"})
	assert.ErrorContains(t, err, "--minutes")
	_, err = j.Judge(journal.Entry{Joint: "joint", Name: "cold-pressure", Tissue: "dry", Minutes: 20, Temperature: "warm"})
	assert.ErrorContains(t, err, "the temperature")
	_, err = j.Judge(journal.Entry{Joint: "joint", Name: "never"})
	assert.ErrorContains(t, err, "no step of the retest")
}

func FuzzReadGauge(f *testing.F) {
	f.Add("1.0 bar to 0.98 bar, reads to 0.01 bar, 12 L, 100 mL air")
	f.Add("15 to 14 psi")
	f.Fuzz(func(t *testing.T, text string) {
		if g, err := ReadGauge(text); err == nil {
			assert.Positive(t, float64(g.Start))
			assert.Positive(t, float64(g.Reads))
		}
	})
}

func TestStepsAreFoundByEveryName(t *testing.T) {
	j := begin(t, "face-gasket", pad)
	require.Len(t, j.Steps(), 10)
	for i, s := range j.Steps() {
		assert.Equal(t, i, s.Number)
		assert.NotEmpty(t, s.How)
		assert.Empty(t, s.Refused)
	}
	for _, name := range []string{"R2", "r2", "2", "cold-pressure", "step 2"} {
		s, ok := j.FindStep(name)
		require.True(t, ok, name)
		assert.Equal(t, 2, s.Number)
	}
	_, ok := j.FindStep("R12")
	assert.False(t, ok)
}

func TestAboveSevenBarItIsProvedByTheMachinesOwnControls(t *testing.T) {
	j := begin(t, "face-gasket", "answers: {fluid: hydraulic-oil, pressure-max: 160 bar, joint-wet: yes}\n")
	refused, controls := 0, 0
	for _, s := range j.Steps() {
		switch {
		case s.Refused != "":
			refused++
			assert.Contains(t, []string{"static-fill", "cold-pressure"}, s.ID)
		case s.Controls:
			controls++
			assert.Contains(t, s.How, "levers dead")
		}
	}
	assert.Equal(t, 2, refused)
	assert.NotZero(t, controls)
	j.happens(did("joint", "face-clean-fit-dry"))
	s, ok := j.NextStep("joint")
	require.True(t, ok)
	assert.Equal(t, "before-fill", s.ID)
	j.happens(dry("joint", "before-fill"))
	s, _ = j.NextStep("joint")
	assert.Equal(t, "idle", s.ID, "the steps that are left to others are left out")
}

func TestAnUnfinishedRetestGoesOnWhereItWas(t *testing.T) {
	j := begin(t, "face-gasket", "answers: {gasket-kind: coated-steel}\n")
	next := func() string { s, _ := j.NextStep("joint"); return s.ID }
	assert.Equal(t, "static-fill", next(), "what was not opened was not drained")
	j.happens(opened("joint"), did("joint", "face-clean-fit-dry"))
	assert.Equal(t, "before-fill", next())
	j.happens(dry("joint", "before-fill"), dry("joint", "static-fill"))
	assert.Equal(t, "cold-pressure", next())
	j.happens(journal.Entry{What: journal.Retest, Joint: "joint", Name: "cold-pressure", Tissue: "damp"})
	assert.Equal(t, "cold-pressure", next(), "damp is not passed")
	j.happens(upTo(j, "joint", 6)...)
	assert.Equal(t, "second-heat", next(), "coated steel is not tightened again")
	assert.True(t, j.Passed("joint"))
	j.happens(wet("joint", "second-heat"))
	assert.False(t, j.Passed("joint"))
	j.happens(did("joint", "face-new-gasket"))
	assert.Equal(t, "before-fill", next(), "after new work it begins anew")
}

func TestWhatAStepChangesInTheRecord(t *testing.T) {
	told := func(o Outcome) map[string]string {
		out := map[string]string{}
		for _, a := range o.Answers {
			if out[a.Fact] = "-"; a.Value != nil {
				out[a.Fact] = a.Value.String()
			}
		}
		return out
	}
	j := begin(t, "face-gasket", pad)
	j.happens(opened("joint"), did("joint", "face-clean-fit-dry"), did("joint", "locate-again"))
	now := map[string]rules.AnswerText{"wet-at-retest": {Scalar: "idle"}, "dry-at-retest": {Is: []string{"idle"}}}
	first := j.Outcome(dry("joint", "static-fill"), Pass, now)
	got := told(first)
	assert.Equal(t, "-", got["wet-at-retest"], "what an earlier retest said is taken back")
	assert.Contains(t, got["dry-at-retest"], "static-fill")
	assert.NotContains(t, got["dry-at-retest"], "idle")
	assert.Equal(t, "no", got["joint-wet"])
	assert.Nil(t, first.Tried)

	fail := j.Outcome(wet("joint", "second-heat"), Fail, nil)
	got = told(fail)
	assert.Equal(t, "later", got["wet-at-retest"], "the second heat has no word of its own there")
	assert.Equal(t, "yes", got["joint-wet"])
	assert.Equal(t, "no", got["whole-day-dry"])
	assert.Equal(t, &network.Tried{Joint: "joint", Did: []string{"face-clean-fit-dry"}, Wet: true}, fail.Tried, "finding the place is no work that could have failed")

	j.happens(upTo(j, "joint", 5)...)
	last := j.Outcome(dry("joint", "cold-morning"), Pass, map[string]rules.AnswerText{"dry-at-retest": {List: []string{"static-fill"}}})
	got = told(last)
	assert.Equal(t, "nowhere", got["wet-at-retest"])
	assert.Equal(t, "yes", got["whole-day-dry"])
	assert.Contains(t, got["dry-at-retest"], "static-fill")
	require.NotNil(t, last.Tried)
	assert.False(t, last.Tried.Wet)
	assert.Empty(t, told(j.Outcome(dry("joint", "cold-morning"), Again, nil)), "what is not decided changes nothing")

	words := begin(t, "face-gasket", pad)
	words.happens(journal.Entry{What: journal.Did, Said: "hit it"})
	assert.True(t, words.Outcome(wet("joint", "static-fill"), Fail, nil).Unnamed)
}
