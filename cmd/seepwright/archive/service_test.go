package archive

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/cmd/seepwright/journal"
	"seepwright/rules"
	"seepwright/rules/assembly"
)

// cooler is the invented oil cooler of the lift pump.
func cooler(t require.TestingT) *assembly.Assembly {
	asm, bad := assembly.Read(strings.NewReader(`assembly: oil cooler of the lift pump
joints:
  - {id: front-cap, kind: tie-rod-cap}
  - {id: hose-in, kind: hose-clamp}
  - {id: pad, kind: face-gasket}
access:
  - {id: drain, title: water side drained, off: 15, back: 10, uncovers: [front-cap, hose-in]}
  - {id: cooler-off, off: 60, back: 75, needs: [drain], uncovers: [pad]}
`), "unit", []string{"tie-rod-cap", "hose-clamp", "face-gasket"})
	require.Zero(t, bad.Errors(), bad)
	return asm
}

var services = []Service{
	{ID: "coolant", Title: "renew the coolant", Fluid: "coolant", Years: 2, Minutes: 30, AgeFact: "coolant-age"},
	{ID: "exchanger", Title: "clean and re-seal the exchanger", Kinds: []string{"tie-rod-cap"}, Years: 3, Minutes: 90, Renews: []string{"new-seal"}},
	{ID: "hoses", Title: "renew the hoses", Kinds: []string{"hose-clamp"}, Years: 5, Minutes: 20, AgeFact: "hose-age", Renews: []string{"replace"}},
	{ID: "rings", Title: "renew the rings", Kinds: []string{"radial-oring"}, Years: 5, Minutes: 15},
}

func kindOfRemedy(id string) string {
	return map[string]string{"new-cap-rings": "new-seal", "new-hose": "replace"}[id]
}

func TestARecordTellsWhenAServiceWasLastDone(t *testing.T) {
	cases := []journal.Line{
		{Work: []journal.Entry{
			{At: on(0), What: journal.Answered, Name: "coolant-age", Value: rules.AnswerText{Scalar: "1 year +/- 0.5 year"}},
			{At: on(5), What: journal.Did, Joint: "front-cap", Did: []string{"new-cap-rings"}},
			{At: on(6), What: journal.Did, Joint: "hose-in", Did: []string{"turn-clamp"}},
		}},
		{Work: []journal.Entry{{At: on(30), What: journal.Did, Joint: "pad", Did: []string{"new-cap-rings"}}}},
	}
	turns := Turns(services, cooler(t), pumphouse, "coolant", cases, kindOfRemedy)
	require.Len(t, turns, 3, "there are no rings here")
	assert.WithinDuration(t, on(-365.25), turns[0].Last, 12*time.Hour)
	assert.WithinDuration(t, on(365.25), turns[0].Due(), 12*time.Hour)
	assert.Equal(t, on(5), turns[1].Last)
	assert.True(t, turns[2].Last.IsZero(), "a clamp that was turned renews no hose")
	assert.Len(t, Turns(services, cooler(t), pumphouse, "water", nil, kindOfRemedy), 2)
	_, ok := ageOf(rules.AnswerText{Scalar: "old"})
	assert.False(t, ok)
}

func TestAJobIsPulledForwardWhenItsLifeIsWorthLessThanTheOpening(t *testing.T) {
	turn := func(i int, due float64) Turn {
		s := services[i]
		return Turn{Service: s, Unit: pumphouse, Last: on(due - s.Years*365.25), Opens: []Opening{{"drain", "drained", 25}}}
	}
	names := func(visits []Visit) (out []string) {
		for _, v := range visits {
			var ids []string
			for _, t := range v.Turns {
				ids = append(ids, t.Service.ID)
			}
			out = append(out, strings.Join(ids, "+"))
		}
		return out
	}
	for _, c := range []struct {
		name  string
		turns []Turn
		want  []string
	}{
		// 300 of 1095.75 days of 90 min are worth 24.6 min, less than the 25 of draining.
		{"just worth less", []Turn{turn(0, 10), turn(1, 310)}, []string{"coolant+exchanger"}},
		// 310 days: 25.5 min, more than 25.
		{"just worth more", []Turn{turn(0, 10), turn(1, 320)}, []string{"coolant", "exchanger"}},
		{"nothing is shared", []Turn{turn(0, 10), {Service: services[1], Unit: pumphouse, Last: on(-1000), Opens: []Opening{{"guard", "guard", 99}}}}, []string{"coolant", "exchanger"}},
		{"another unit", []Turn{turn(0, 10), {Service: services[1], Unit: "twin", Last: on(-1085), Opens: []Opening{{"drain", "drained", 25}}}}, []string{"coolant", "exchanger"}},
		{"without a date there is no visit", []Turn{{Service: services[1], Unit: pumphouse}}, nil},
		// Overdue by 200 days: what matters is what is left today, not then.
		{"what is overdue counts from today", []Turn{turn(0, -200), turn(1, 290)}, []string{"coolant+exchanger"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := names(Combine(c.turns, on(0)))
			assert.Equal(t, c.want, got)
		})
	}
	v := Combine([]Turn{turn(0, 10), turn(1, 310)}, on(0))
	require.Len(t, v[0].Sums, 1)
	assert.Equal(t, "due "+day(on(310))+": 27 % of 3 years are left, worth 25 of its 90 min; 25 min of opening are saved", v[0].Sums[0])
}
