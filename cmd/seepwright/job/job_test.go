package job

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/cmd/seepwright/journal"
	"seepwright/engine"
	"seepwright/engine/network"
	"seepwright/engine/plan"
	"seepwright/kb"
	"seepwright/rules"
	"seepwright/rules/answer"
	"seepwright/rules/assembly"
)

// monday is when the invented jobs of these tests begin.
var monday = time.Date(2026, 5, 4, 8, 0, 0, 0, time.UTC)

// cooler is an invented unit with a joint of each of four kinds.
const cooler = `assembly: oil cooler
joints:
  - {id: pipe, kind: radial-oring, title: pipe in}
  - {id: pad, kind: face-gasket, title: pad}
  - {id: cap, kind: tie-rod-cap, title: cap}
  - {id: hose, kind: hose-clamp, title: hose}
access:
  - {id: guard, title: guard, off: 10, back: 10, uncovers: [pipe, pad]}
`

// begin is a job on a kind of joint, or on the cooler with "", with the answers of a file.
func begin(t *testing.T, kind, answers string) *Job {
	t.Helper()
	text := answers
	if text == "" {
		text = "answers: {}\n"
	}
	c, bad := journal.Read(strings.NewReader(text), "test.yaml")
	require.Empty(t, bad)
	c.Head = journal.Head{ID: "job", Title: "job", Opened: monday, Form: journal.Form}
	asm := assembly.Single(kind)
	if kind == "" {
		asm, bad = assembly.Read(strings.NewReader(cooler), "cooler.yaml", kb.Kinds())
		require.Empty(t, bad)
	}
	k, err := kb.Load(asm.Kinds()...)
	require.NoError(t, err)
	j := &Job{Case: c, KB: k, Unit: asm, Tables: kb.Published(), Now: monday.Add(time.Hour)}
	j.think(t)
	return j
}

// think works the result out anew.
func (j *Job) think(t *testing.T) {
	t.Helper()
	s, err := engine.NewSession(j.KB, j.Unit, engine.Options{})
	require.NoError(t, err)
	tell := func(joint string, given map[string]rules.AnswerText) {
		values, bad := answer.ReadGiven(j.KB, given)
		require.Empty(t, bad)
		for _, id := range sortedKeys(values) {
			_, err := s.Answer(joint, id, values[id])
			require.NoError(t, err)
		}
	}
	tell(j.Unit.Joints[0].ID, j.Case.File.Answers)
	for _, id := range sortedKeys(j.Case.File.Joints) {
		tell(id, j.Case.File.Joints[id])
	}
	for _, x := range j.Case.File.Tried {
		var did []string
		for _, w := range x.Did {
			did = append(did, w.Text)
		}
		require.NoError(t, s.Try(network.Tried{Joint: x.Joint.Text, Did: did, Wet: x.Wet}))
	}
	j.Result, err = s.Result(plan.Person{Brief: true}) // without the plan: the tests that want it think for themselves
	require.NoError(t, err)
}

// happens adds entries to the log, an hour apart.
func (j *Job) happens(list ...journal.Entry) *Job {
	for _, e := range list {
		if e.At.IsZero() {
			e.At = j.Now
		}
		j.Case.Add(e)
		j.Now = j.Case.Log[len(j.Case.Log)-1].At.Add(time.Hour)
	}
	return j
}

func opened(id string) journal.Entry { return journal.Entry{What: journal.Opened, Name: id} }
func did(joint string, ids ...string) journal.Entry {
	return journal.Entry{What: journal.Did, Joint: joint, Did: ids, Said: "work"}
}
func dry(joint, step string) journal.Entry {
	return journal.Entry{What: journal.Retest, Joint: joint, Name: step, Tissue: "dry", Minutes: 60}
}
func wet(joint, step string) journal.Entry {
	return journal.Entry{What: journal.Retest, Joint: joint, Name: step, Tissue: "wet", Minutes: 5}
}

// upTo are dry entries of all steps up to one.
func upTo(j *Job, joint string, last int) (out []journal.Entry) {
	for _, s := range j.Steps() {
		if s.Number <= last {
			out = append(out, dry(joint, s.ID))
		}
	}
	return out
}

const harmless = `fluid: water, state-now: {is: [safe-and-cold], not: [running, hot, under-pressure]}, can-isolate: yes,
  reaches: {is: [nothing-that-matters], not: [hot-metal, electrics, hull-or-pit, a-person, held-up-load, drinking-water, ground-or-drain, belts-or-turning]},
  below-waterline: no, water-rising: no, growing: no, crack-seen: no, both-fluids-mixing: no, smells-of-fuel: no, pressure-max: 1.8 bar, temp-max: 24 C`

const pad = "answers: {" + harmless + ", joint-wet: yes, wet-amount: drip, drops-counted: \"6\", drops-time: 1 min, gasket-kind: fibre-sheet}\n"

func TestWhereOneIsFollowsFromTheLog(t *testing.T) {
	for _, c := range []struct {
		name    string
		kind    string
		answers string
		log     func(j *Job) []journal.Entry
		want    Phase
		round   int
		says    string
		asks    bool
	}{
		{"nothing is wet yet on a unit of several joints", "", "", nil, Locate, 1, "not known yet where", true},
		{"one joint, answers wanted", "face-gasket", pad, nil, Diagnose, 1, "Answers are still worth", true},
		{"a guard off is no open joint", "", "joints: {pad: {joint-wet: yes}}\n", func(*Job) []journal.Entry { return []journal.Entry{opened("guard")} }, Diagnose, 1, "", true},
		{"parted, nothing measured", "face-gasket", pad, func(*Job) []journal.Entry { return []journal.Entry{opened("joint")} }, AsFound, 1, "The joint is open", true},
		{"work done on an open joint", "face-gasket", pad, func(*Job) []journal.Entry { return []journal.Entry{opened("joint"), did("", "face-clean-fit-dry")} }, Rebuild, 1, "Now it goes together", false},
		{"nipped without opening", "face-gasket", pad, func(*Job) []journal.Entry { return []journal.Entry{did("", "face-tighten-cold")} }, Retest, 1, "Now prove it", false},
		{"finding the place is no work", "face-gasket", pad, func(*Job) []journal.Entry { return []journal.Entry{did("", "locate-again")} }, Diagnose, 1, "", true},
		{"the retest has begun", "face-gasket", pad, func(j *Job) []journal.Entry {
			return append([]journal.Entry{opened("joint"), did("joint", "face-clean-fit-dry")}, upTo(j, "joint", 2)...)
		}, Retest, 1, "Next is step 3", false},
		{"dry up to the cold morning", "face-gasket", pad, func(j *Job) []journal.Entry {
			return append([]journal.Entry{opened("joint"), did("joint", "face-clean-fit-dry")}, upTo(j, "joint", 6)...)
		}, Recheck, 1, "what is left is the recheck", false},
		{"everything dry", "face-gasket", pad, func(j *Job) []journal.Entry {
			return append([]journal.Entry{opened("joint"), did("joint", "face-clean-fit-dry")}, upTo(j, "joint", 9)...)
		}, Recheck, 1, "Close the case", false},
		{"wet at the retest begins a new round", "face-gasket", pad, func(*Job) []journal.Entry {
			return []journal.Entry{opened("joint"), did("joint", "face-clean-fit-dry"), wet("joint", "static-fill")}
		}, Diagnose, 2, "", true},
		{"new work on what was dry so far begins the retest anew", "face-gasket", pad, func(j *Job) []journal.Entry {
			return append(append([]journal.Entry{opened("joint"), did("joint", "face-clean-fit-dry")}, upTo(j, "joint", 2)...), did("joint", "face-tighten-cold"))
		}, Rebuild, 1, "Now it goes together", false},
		{"one of two joints wet: back to it, though the other was dry", "", "joints: {pad: {joint-wet: yes}, cap: {joint-wet: yes}}\n", func(*Job) []journal.Entry {
			return []journal.Entry{did("pad", "face-clean-fit-dry"), did("cap", "new-cap-ring"), dry("pad", "static-fill"), wet("cap", "static-fill")}
		}, Diagnose, 2, "Wet at the retest: cap.", true},
		{"opened again after a failure", "face-gasket", pad, func(*Job) []journal.Entry {
			return []journal.Entry{opened("joint"), did("joint", "face-clean-fit-dry"), wet("joint", "static-fill"), opened("joint")}
		}, AsFound, 2, "", true},
		{"two joints: the one that is less far decides", "", "joints: {pad: {joint-wet: yes}, cap: {joint-wet: yes}}\n", func(*Job) []journal.Entry {
			return []journal.Entry{opened("pad"), did("pad", "face-clean-fit-dry"), opened("cap"), did("cap", "new-cap-ring"), dry("pad", "before-fill"), dry("cap", "before-fill"), dry("pad", "static-fill")}
		}, Retest, 1, "(cap)", false},
	} {
		t.Run(c.name, func(t *testing.T) {
			j := begin(t, c.kind, c.answers)
			if c.log != nil {
				j.happens(c.log(j)...)
			}
			p := j.Where()
			assert.Equal(t, c.want, p.Phase, p.Says)
			assert.Equal(t, c.round, p.Round)
			assert.Contains(t, p.Says, c.says)
			assert.Equal(t, c.asks, p.Asks)
			assert.True(t, slices.Contains(Phases(), p.Phase))
			assert.LessOrEqual(t, len(p.Next), mostNext)
		})
	}
}

func TestACaseWithoutAUnitIsAtItsBeginningAndAClosedOneAtItsEnd(t *testing.T) {
	j := &Job{Case: journal.New(), Now: monday}
	assert.Equal(t, Locate, j.Where().Phase)
	assert.Empty(t, j.Stale())
	j = begin(t, "face-gasket", pad)
	j.Case.Close(journal.Dry, j.Now, "", "")
	assert.Equal(t, Ended, j.Where().Phase)
	due := j.Due()
	require.Len(t, due, 2)
	assert.Equal(t, j.Case.Head.Closed.Add(week), due[0].At)
	j.Case.Reopen(j.Now, "", "wet again")
	assert.Equal(t, 2, j.Where().Round)
	assert.NotEqual(t, Ended, j.Where().Phase)
}

func TestAStopStandsBeforeWhereOneIs(t *testing.T) {
	j := begin(t, "face-gasket", "answers: {fluid: fuel, joint-wet: yes}\n")
	p := j.Where()
	assert.Contains(t, p.Stop, "Fuel burns")
	assert.Contains(t, p.Says, "left to others")
	assert.False(t, p.Asks)
}

func TestWhatIsDueHasItsDate(t *testing.T) {
	find := func(list []Due, kind DueKind) (out []Due) {
		for _, d := range list {
			if d.Kind == kind {
				out = append(out, d)
			}
		}
		return out
	}
	for _, c := range []struct {
		name    string
		kind    string
		answers string
		log     func(j *Job) []journal.Entry
		due     DueKind
		after   time.Duration // after the last entry
		what    string
		until   bool
	}{
		{"a gasket settles for four hours", "face-gasket", pad, func(*Job) []journal.Entry { return []journal.Entry{did("joint", "face-clean-fit-dry")} }, Cure, 4 * time.Hour, "four hours", true},
		{"what was filled sets", "face-gasket", pad, func(*Job) []journal.Entry { return []journal.Entry{did("joint", "face-fill-pits")} }, Cure, 4 * time.Hour, "four hours", true},
		{"a nipped clamp is looked at in two days", "hose-clamp", "answers: {fluid: water}\n", func(*Job) []journal.Entry { return []journal.Entry{did("joint", "renip-clamp-cold")} }, Watch, 48 * time.Hour, "look again, cold, after 2 days", false},
		{"a gasket that is torqued in order settles", "face-gasket", pad, func(*Job) []journal.Entry { return []journal.Entry{did("joint", "face-new-gasket-in-order")} }, Cure, 4 * time.Hour, "no pressure before", true},
		{"epoxy is a stop-gap with a date", "casting", "answers: {fluid: water}\n", func(*Job) []journal.Entry { return []journal.Entry{did("joint", "casting-epoxy")} }, Replace, 504 * time.Hour, "the real repair by then; looked at daily; never for fuel", false},
		{"tape lasts days", "hose-clamp", "answers: {fluid: water}\n", func(*Job) []journal.Entry { return []journal.Entry{did("joint", "wrap-tape")} }, Replace, 72 * time.Hour, "hourly", false},
		{"the cold morning after the heat", "face-gasket", pad, func(j *Job) []journal.Entry { return upTo(j, "joint", 5) }, Proof, 12 * time.Hour, "cold next morning", false},
		{"fibre is tightened once, cold", "face-gasket", pad, func(j *Job) []journal.Entry { return upTo(j, "joint", 5) }, Renip, 12 * time.Hour, "once round in the same order", false},
		{"a week and a month", "face-gasket", pad, func(j *Job) []journal.Entry { return upTo(j, "joint", 6) }, Watch, week, "after a week", false},
	} {
		t.Run(c.name, func(t *testing.T) {
			j := begin(t, c.kind, c.answers)
			j.happens(c.log(j)...)
			list := find(j.Due(), c.due)
			require.NotEmpty(t, list, "%v", j.Due())
			assert.Equal(t, j.Case.Log[len(j.Case.Log)-1].At.Add(c.after), list[0].At)
			assert.Contains(t, list[0].What, c.what)
			assert.Equal(t, c.until, list[0].Until)
			assert.False(t, list[0].Overdue(j.Now))
			assert.Equal(t, !c.until, list[0].Overdue(list[0].At.Add(time.Minute)))
		})
	}
}

func TestWhatIsDueGoesWhenItIsDone(t *testing.T) {
	j := begin(t, "face-gasket", pad)
	j.happens(did("joint", "face-fill-pits"))
	kinds := func() (out []DueKind) {
		for _, d := range j.Due() {
			out = append(out, d.Kind)
		}
		return out
	}
	assert.Equal(t, []DueKind{Cure, Cure, Replace}, kinds())
	j.happens(dry("joint", "static-fill"))
	assert.Equal(t, []DueKind{Replace}, kinds(), "it has set when it is filled")
	j = begin(t, "casting", "answers: {fluid: water}\n")
	j.happens(did("joint", "casting-epoxy"))
	j.happens(did("joint", "casting-new-water-right"))
	for _, d := range j.Due() {
		assert.NotEqual(t, Replace, d.Kind, "the stop-gap is off when the real repair is made")
	}
	j = begin(t, "face-gasket", pad)
	j.happens(upTo(j, "joint", 9)...)
	due := j.Due()
	require.Len(t, due, 1, "%v", due)
	assert.Contains(t, due[0].What, "after a month")
}

func TestOnlyWhatTheTableNamesIsTightenedAgain(t *testing.T) {
	for _, c := range []struct{ name, kind, answers, may, not string }{
		{"fibre", "face-gasket", "answers: {gasket-kind: fibre-sheet}\n", "once round", "never hot"},
		{"coated steel", "face-gasket", "answers: {gasket-kind: coated-steel}\n", "", "look only"},
		{"nobody knows the gasket", "face-gasket", "answers: {}\n", "", "do not nip it up"},
		{"a screw clamp", "hose-clamp", "answers: {clamp-type: worm-drive}\n", "torque for a used hose", "each further turn"},
		{"a spring clamp", "hose-clamp", "answers: {clamp-type: spring-band}\n", "", "follows the hose"},
		{"a tie-rod nut", "tie-rod-cap", "answers: {}\n", "only to its limit", "dishes the cap"},
		{"an O-ring", "radial-oring", "answers: {}\n", "", "do not nip it up"},
		{"an aluminium flare", "flare-cone", "answers: {flare-metal: aluminium}\n", "", "thins and splits"},
		{"a steel flare", "flare-cone", "answers: {flare-metal: steel}\n", "a sixth", "aluminium"},
		{"a taper thread", "taper-thread", "answers: {}\n", "", "never back it off"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := begin(t, c.kind, c.answers).Settling("joint")
			if c.may == "" {
				assert.Empty(t, got.May)
			}
			assert.Contains(t, got.May, c.may)
			assert.Contains(t, got.Not, c.not)
			assert.NotEmpty(t, got.Source)
			assert.NotEmpty(t, got.Standing)
		})
	}
}

func TestTheTablesNameWhatTheKnowledgeHas(t *testing.T) {
	k, err := kb.Load()
	require.NoError(t, err)
	heat, err := kb.Published().Table("after-first-heat")
	require.NoError(t, err)
	for _, r := range heat.Rows() {
		require.NotNil(t, k.Joint(r.Text("kind")), r.Text("kind"))
		if id := r.Text("fact"); id != "" {
			f := k.Fact(id)
			require.NotNil(t, f, id)
			for _, o := range strings.Fields(r.Text("options")) {
				assert.True(t, slices.ContainsFunc(f.Options, func(x rules.Option) bool { return x.ID == o }), "%s has no option %s", id, o)
			}
		}
	}
	gaps, err := kb.Published().Table("stop-gaps")
	require.NoError(t, err)
	named := map[string]bool{}
	for _, r := range gaps.Rows() {
		named[r.Text("name")] = true
		x := k.Remedy(r.Text("name"))
		require.NotNil(t, x, r.Text("name"))
		assert.Contains(t, x.Cautions, "tag-it", "%s is no stop-gap", x.ID)
	}
	for _, r := range k.Remedies {
		if strings.Contains(r.Title, "stop-gap") {
			assert.True(t, named[r.ID], "%s has no life in the table stop-gaps", r.ID)
		}
	}
}

func TestAnAnswerIsOutOfDateForAReason(t *testing.T) {
	said := func(id, v string) journal.Entry {
		return journal.Entry{What: journal.Answered, Name: id, Joint: "joint", Value: rules.AnswerText{Scalar: v}}
	}
	answers := "answers: {fluid: water, state-now: {is: [safe-and-cold], not: [running]}}\njoints: {joint: {face-flatness: 0.15 mm by feeler-gauge, face-heights: [{at: \"12:00\", value: 0.1 mm}, {at: \"6:00\", value: 0.02 mm}], wet-amount: drip, crust-seen: yes, gasket-kind: fibre-sheet, bolt-count: \"4\", dry-at-retest: [static-fill]}}\n"
	for _, c := range []struct {
		name  string
		log   []journal.Entry
		fact  string
		stale bool
		why   string
		again bool
	}{
		{"lapped: the flatness is another", []journal.Entry{did("joint", "face-lap")}, "face-flatness", true, "It says what was there", true},
		{"and so are the heights that it came from", []journal.Entry{did("joint", "face-lap")}, "face-heights", true, "It says what was there", true},
		{"lapped and measured after it", []journal.Entry{did("joint", "face-lap"), said("face-flatness", "0.02 mm")}, "face-flatness", false, "", false},
		{"opened alone changes no face", []journal.Entry{opened("joint")}, "face-flatness", false, "", false},
		{"what the leak was like is past when work is done", []journal.Entry{did("joint", "face-clean-fit-dry")}, "wet-amount", true, "describes the leak before", false},
		{"opening wipes out the crust", []journal.Entry{opened("joint")}, "crust-seen", true, "cannot be seen again", false},
		{"how many bolts there are stays", []journal.Entry{opened("joint"), did("joint", "face-lap")}, "bolt-count", false, "", false},
		{"an earlier retest", []journal.Entry{did("joint", "face-lap")}, "dry-at-retest", true, "begins anew", true},
		{"work at another joint", []journal.Entry{did("lid", "face-lap")}, "face-flatness", false, "", false},
		{"what leaks stays", []journal.Entry{opened("joint"), did("joint", "face-lap")}, "fluid", false, "", false},
	} {
		t.Run(c.name, func(t *testing.T) {
			j := begin(t, "face-gasket", answers)
			j.happens(c.log...)
			i := slices.IndexFunc(j.Stale(), func(s Stale) bool { return s.Fact == c.fact })
			require.Equal(t, c.stale, i >= 0, "%v", j.Stale())
			if !c.stale {
				return
			}
			s := j.Stale()[i]
			assert.Contains(t, s.Why, c.why)
			assert.Contains(t, s.Why, "2026-05-04")
			assert.True(t, strings.HasSuffix(s.Why, "."), "a sentence")
			assert.Equal(t, c.again, s.Again)
			assert.NotEmpty(t, s.Group)
		})
	}
	j := begin(t, "face-gasket", answers)
	assert.Empty(t, j.Stale(), "an hour later everything holds")
	j.Now = monday.Add(30 * time.Hour)
	require.Len(t, j.Stale(), 1)
	assert.Contains(t, j.Stale()[0].Why, "look again before hands go near")
}

func TestNothingOfAJobIsStoredAndAllOfItIsTheSameTwice(t *testing.T) {
	j := begin(t, "", "joints: {pad: {joint-wet: yes}, hose: {joint-wet: yes}}\n")
	j.happens(opened("pad"), did("pad", "face-clean-fit-dry"), did("hose", "wrap-tape"), dry("pad", "static-fill"))
	before := fmt.Sprint(j.Case.Log)
	all := func() string { return fmt.Sprint(j.Where(), j.Due(), j.Stale(), j.Steps()) }
	assert.Equal(t, all(), all())
	assert.Equal(t, before, fmt.Sprint(j.Case.Log))
}
