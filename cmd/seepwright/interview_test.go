package main

import (
	"bytes"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/cmd/seepwright/interview"
	"seepwright/cmd/seepwright/journal"
	"seepwright/engine"
	"seepwright/kb"
	"seepwright/rules/assembly"
)

// seat is a sitting with a script in place of a person.
type seat struct {
	desk   *desk
	script *interview.Script
	out    bytes.Buffer
	dir    string
}

func sit(t *testing.T, dir string, st start, lines ...string) *seat {
	t.Helper()
	s := &seat{script: interview.NewScript(lines...), dir: dir}
	a := &app{in: strings.NewReader(""), out: &s.out, err: &s.out, env: func(string) string { return "" }}
	path := filepath.Join(dir, "case.yaml")
	s.desk = &desk{app: a, start: st, how: talk{format: "text"}, path: path, saved: journal.New(), say: &s.out,
		talk: &interview.Talk{Asker: s.script, Width: 80}}
	c, err := journal.Open(path)
	require.NoError(t, err)
	if c != nil {
		s.desk.saved, s.desk.wrote, s.desk.start.answers = c, true, path
	}
	return s
}

func (s *seat) run(t *testing.T) *engine.Result {
	t.Helper()
	r, err := s.desk.run()
	require.NoError(t, s.desk.end(r, err), "said so far:\n%s", s.script.Said.String())
	return r
}

// safe answers the safety questions of a harmless place.
var safe = []string{"fluid: coolant", "work-on: 1", "state-now: 4", "state-now/others: y", "can-isolate: y",
	"reaches: 9", "reaches/others: y"}

func with(more ...string) []string { return append(append([]string{}, safe...), more...) }

// counts answers which kinds of joints a unit has, and how many of each.
func counts(have map[string]string) []string {
	kinds := slices.Sorted(maps.Keys(have))
	lines := []string{"kinds: " + strings.Join(kinds, ", ")}
	for _, kind := range kinds {
		lines = append(lines, "count/"+kind+": "+have[kind])
	}
	return lines
}

func TestATwoPipeUnitIsBuiltByTalkAndReadsBack(t *testing.T) {
	dir := t.TempDir()
	s := sit(t, dir, start{}, slices.Concat(with("start: 1", "unit: oil cooler"), counts(map[string]string{"hose-clamp": "1", "radial-oring": "2", "tie-rod-cap": "0"}), []string{"other-kinds: shaft seal",
		"names/hose-clamp: inlet hose", "names/radial-oring: upper pipe, lower pipe", "alike/radial-oring:",
		"above: 1 2", "above: 2 1", "above: 2 3", "above:", "blown:",
		"access: 2", "access/except: 1", "access: 1", "access/once/an-hour: y",
		"last-work: 1", "last-work/except: 1 4", "last-work: 3", "last-work/except:",
		"wet-now: 3", "wet-now/others: y", "tools: 1",
		"lower-pipe/first-wet: q"})...)
	_, err := s.desk.run()
	require.ErrorIs(t, err, interview.ErrQuit, s.script.Said.String())
	f, err := os.Open(filepath.Join(dir, "seepwright-unit.yaml"))
	require.NoError(t, err)
	defer f.Close()
	a, bad := assembly.Read(f, "unit", []string{"face-gasket", "hose-clamp", "radial-oring", "tie-rod-cap"})
	require.Empty(t, bad)
	assert.Equal(t, []string{"inlet-hose", "upper-pipe", "lower-pipe", "shaft-seal"}, a.IDs())
	assert.Equal(t, "unknown", a.Joints[3].Kind, "a kind that is not known is not forced into one that is")
	assert.Equal(t, []string{"lower-pipe"}, a.Twins("upper-pipe"))
	assert.Equal(t, []string{"inlet-hose"}, a.Joints[1].Above)
	assert.Empty(t, a.Joints[0].Above, "a joint below another cannot hang above it")
	assert.Equal(t, []string{"untouched", "remade", "remade", "untouched"}, []string{a.Joints[0].LastWork, a.Joints[1].LastWork, a.Joints[2].LastWork, a.Joints[3].LastWork})
	require.Len(t, a.Path("upper-pipe"), 1)
	assert.ElementsMatch(t, []string{"upper-pipe", "lower-pipe", "shaft-seal"}, a.Path("upper-pipe")[0].Uncovers)
	assert.InDelta(t, 60, a.Path("upper-pipe")[0].Off+a.Path("upper-pipe")[0].Back, 1e-9)
	assert.InDelta(t, 15, a.Path("inlet-hose")[0].Off+a.Path("inlet-hose")[0].Back, 1e-9)
	assert.Contains(t, a.Tools, "vernier")

	c, err := journal.Open(filepath.Join(dir, "case.yaml"))
	require.NoError(t, err)
	assert.Equal(t, "seepwright-unit.yaml", c.File.Assembly.File)
	assert.Equal(t, "yes", c.File.Joints["lower-pipe"]["joint-wet"].Scalar)
	assert.Equal(t, "no", c.File.Joints["upper-pipe"]["joint-wet"].Scalar)
	assert.Equal(t, "coolant", c.File.Answers["fluid"].Scalar, "what was said before the unit was built is kept")
}

func TestAHoseThatWeepsOnlyInTheColdComesToOneColdNip(t *testing.T) {
	s := sit(t, t.TempDir(), start{joint: "hose-clamp"})
	p := &fitter{knows: map[string]string{
		"fluid": "coolant", "work-on": "ordinary", "state-now": "safe-and-cold", "can-isolate": "y", "reaches": "9", "below-waterline": "n", "water-rising": "n",
		"joint/last-work": "untouched", "joint/first-wet": "years",
		"joint/wet-when": "cold", "joint/clamp-type": "worm-drive", "joint/hose-age": "7 year", "joint/hose-state": "reused", "joint/wet-place": "hose-end", "joint/wet-amount": "weep",
	}}
	s.desk.talk.Asker = p
	r := s.run(t)
	safety, asked := 0, 0
	for _, id := range p.answered {
		id = strings.TrimPrefix(id, "joint/")
		if f := s.desk.work.kb.Fact(id); f != nil && f.First > 0 {
			safety++
		} else {
			asked++
		}
	}
	t.Logf("after %d questions of safety and history: %v", safety, p.answered[safety:])
	assert.LessOrEqual(t, asked, 4, "in at most four questions: %v", p.answered)
	require.NotEmpty(t, r.Ranking)
	assert.Equal(t, "slack-after-set", r.Ranking[0].Cause)
	says := ""
	for _, x := range r.Plan.Steps {
		if x.Part == "mend" || x.Part == "decide" || x.Part == "strip" {
			says += strings.ToLower(x.Action) + "\n"
		}
	}
	assert.Contains(t, says, "cold", "the plan: %s", says)
	assert.Contains(t, says, "nip", "the plan: %s", says)
}

// fitter answers what he knows, leaves open what he may leave open, and cannot tell the rest.
type fitter struct {
	knows    map[string]string
	answered []string
	said     strings.Builder
}

func (p *fitter) Say(text string) { p.said.WriteString(text) }

func (p *fitter) Ask(q interview.Question) (string, error) {
	a, ok := p.knows[q.ID]
	switch {
	case ok:
		p.answered = append(p.answered, q.ID)
	case strings.HasSuffix(q.ID, "/others"):
		a = "y"
	case q.ID == "look":
		a = "1"
	case q.Blank != "":
		a = ""
	default:
		a = "?"
	}
	p.said.WriteString(q.Text(80) + q.Prompt() + "> " + a + "\n")
	return a, nil
}

func TestACaseGoesOnWhereItWasAndKeepsWhatItTurnedOutToBe(t *testing.T) {
	dir := t.TempDir()
	s := sit(t, dir, start{joint: "hose-clamp"}, append(with(), "joint/last-work: 3", "joint/first-wet: ^C")...)
	s.run(t)
	assert.NoError(t, s.script.Left())
	said := s.script.Said.String()
	assert.Contains(t, said, "answers are kept")
	assert.Contains(t, said, "seepwright diagnose --save "+quote(filepath.Join(dir, "case.yaml")))

	s = sit(t, dir, start{}, "dry-now: n", "what-was-tried: ", "joint/first-wet: 4", "joint/wet-place: ^C")
	s.run(t)
	assert.NoError(t, s.script.Left(), s.script.Said.String())
	assert.Contains(t, s.script.Said.String(), "Going on with 6 answers")

	s = sit(t, dir, start{}, "dry-now: n", "what-was-tried: 1, 3", "joint/wet-place: ^C")
	s.run(t)
	assert.NoError(t, s.script.Left(), s.script.Said.String())
	tried := s.desk.saved.File.Tried
	require.Len(t, tried, 1)
	assert.Len(t, tried[0].Did, 2)
	assert.True(t, tried[0].Wet)

	s = sit(t, dir, start{}, "dry-now: ", "joint/wet-place: ^C")
	s.run(t)
	assert.NoError(t, s.script.Left(), s.script.Said.String())
	assert.Equal(t, 1, len(s.desk.work.session.Tried()), "it is kept with the case")

	s = sit(t, dir, start{}, "dry-now: y", "what-was-it: slack", "what-was-done: one cold turn")
	s.run(t)
	assert.NoError(t, s.script.Left(), s.script.Said.String())
	c, err := journal.Open(filepath.Join(dir, "case.yaml"))
	require.NoError(t, err)
	assert.Equal(t, []journal.Proven{{Joint: "joint", Kind: "hose-clamp", Cause: "slack-after-set", Done: "one cold turn"}}, c.Proven)

	var out bytes.Buffer
	a := &app{in: strings.NewReader(""), out: &out, err: &out, env: func(string) string { return "" }}
	assert.Equal(t, exitDone, a.run([]string{"diagnose", "--answers", filepath.Join(dir, "case.yaml")}), out.String())
}

func TestAnAnswerThatIsHardToBelieveAndMeantIsTakenWhenTheCaseIsReadAgain(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "case.yaml")
	require.NoError(t, os.WriteFile(path, []byte("joint: hose-clamp\njoints:\n  joint:\n    spigot-diameter: 0.8 mm\n"), 0o600))
	var out bytes.Buffer
	a := &app{in: strings.NewReader(""), out: &out, err: &out, env: func(string) string { return "" }}
	assert.Equal(t, exitInput, a.run([]string{"diagnose", "--answers", path}))
	assert.Contains(t, out.String(), "hard to believe")

	c, err := journal.Open(path)
	require.NoError(t, err)
	c.Confirm("joint", "spigot-diameter")
	require.NoError(t, journal.Save(path, c))
	out.Reset()
	assert.Equal(t, exitDone, a.run([]string{"diagnose", "--answers", path}), out.String())
}

func TestABrokenOrNewerCaseIsLeftAloneAndSaysWhere(t *testing.T) {
	for _, text := range []string{"schema: 99\n", "answers:\n  fluid: [\n"} {
		path := filepath.Join(t.TempDir(), "case.yaml")
		require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
		var out bytes.Buffer
		a := &app{in: strings.NewReader("1\n1\n"), out: &out, err: &out, env: func(string) string { return "" }}
		assert.Equal(t, exitInput, a.run([]string{"diagnose", "--joint", "hose-clamp", "--save", path}))
		assert.Contains(t, out.String(), "case.yaml:")
		assert.Contains(t, out.String(), "kept as it is")
		now, err := os.ReadFile(path)
		require.NoError(t, err)
		assert.Equal(t, text, string(now))
	}
}

func TestAPipeThatEndsGivesTheResultSoFar(t *testing.T) {
	t.Chdir(t.TempDir())
	var out, errs bytes.Buffer
	a := &app{in: strings.NewReader("coolant\n1\n4\ny\n"), out: &out, err: &errs, env: func(string) string { return "" }}
	require.Equal(t, exitDone, a.run([]string{"diagnose", "--joint", "hose-clamp"}), errs.String())
	assert.Contains(t, out.String(), "Likely causes")
	assert.Contains(t, out.String(), "seepwright diagnose --save seepwright-answers.yaml")
	assert.FileExists(t, "seepwright-answers.yaml")
	require.Equal(t, exitDone, a.run([]string{"diagnose", "--answers", "seepwright-answers.yaml"}), errs.String())

	out.Reset()
	a.in = strings.NewReader("coolant\n")
	require.Equal(t, exitDone, a.run([]string{"diagnose", "--joint", "hose-clamp", "--format", "card"}), errs.String())
	assert.FileExists(t, "seepwright-answers-2.yaml", "another case never writes over the first")
	assert.NotContains(t, out.String(), "What leaks out?", "the result alone goes to standard output")
	assert.Contains(t, errs.String(), "What leaks out?")
}

func TestAJointOfAnotherKindIsNamedAndNotForced(t *testing.T) {
	s := sit(t, t.TempDir(), start{}, append(with(), "start: 4", "kind: other")...)
	s.run(t)
	said := strings.Join(strings.Fields(s.script.Said.String()), " ")
	assert.Contains(t, said, "not in this knowledge base")
	assert.Contains(t, said, "The first dark spot is the place")
	assert.NoError(t, s.script.Left())
}

func TestFuelEndsTheTalkBeforeAnyUnitIsBuilt(t *testing.T) {
	s := sit(t, t.TempDir(), start{}, "start: 1", "fluid: fuel", "stop:")
	s.run(t)
	assert.NoError(t, s.script.Left(), s.script.Said.String())
	assert.Contains(t, s.script.Said.String(), "STOP.")
}

// oneHose builds a unit of one hose by talk.
var oneHose = slices.Concat([]string{"unit:"}, counts(map[string]string{"hose-clamp": "1"}), []string{"other-kinds:",
	"names/hose-clamp: b", "other-kinds:", "names/hose-clamp:", "access: 1", "last-work: 3", "tools:"})

func TestAFallingLevelWithNothingWetIsAWayInOfItsOwn(t *testing.T) {
	s := sit(t, t.TempDir(), start{}, append(append(with(), oneHose...), "start: 3", "locate: later", "hose/first-wet: q")...)
	s.run(t)
	said := strings.Join(strings.Fields(s.script.Said.String()), " ")
	assert.Contains(t, said, "not in this knowledge base yet")
	assert.NoError(t, s.script.Left(), said)
	c, err := journal.Open(s.desk.path)
	require.NoError(t, err)
	assert.Equal(t, "yes", c.File.Answers["level-falls"].Scalar)
}

func TestNotKnowingWhichJointBeginsWithTheLocatingSteps(t *testing.T) {
	s := sit(t, t.TempDir(), start{}, append(append(with(), oneHose...), "start: 2", "wet-now: ?", "locate: 1", "highest-wet: 1", "powder-proof: n", "hose/first-wet: q")...)
	s.run(t)
	assert.NoError(t, s.script.Left(), s.script.Said.String())
	c, err := journal.Open(s.desk.path)
	require.NoError(t, err)
	assert.Equal(t, "yes", c.File.Joints["hose"]["joint-wet"].Scalar)
	assert.Equal(t, "no", c.File.Joints["hose"]["leak-proven"].Scalar)
}

func TestEndingAtAStopBuildsNothingMore(t *testing.T) {
	dir := t.TempDir()
	s := sit(t, dir, start{}, "start: 1", "fluid: water", "work-on: 1", "state-now: 4", "state-now/others: y", "below-waterline: y", "stop: n")
	s.run(t)
	assert.NoError(t, s.script.Left(), s.script.Said.String())
	s = sit(t, dir, start{}, "start: 4", "stop: y", "can-isolate: y", "reaches: 9", "reaches/others: y", "water-rising: n", "kind: hose", "joint/last-work: q")
	s.run(t)
	assert.NoError(t, s.script.Left(), s.script.Said.String())
	s = sit(t, dir, start{}, "dry-now: n", "stop: y", "joint/last-work: q")
	s.run(t)
	assert.NoError(t, s.script.Left(), "the kind of joint is kept too: %s", s.script.Said.String())
}

func TestMSaysWhatWouldChangeTheMindAndTheQuestionStandsAgain(t *testing.T) {
	dir := t.TempDir()
	s := sit(t, dir, start{joint: "radial-oring"}, with("joint/last-work: m", "joint/last-work: h", "joint/last-work: q")...)
	_, err := s.desk.run()
	require.ErrorIs(t, err, interview.ErrQuit, s.script.Said.String())
	said := s.script.Said.String()
	assert.Contains(t, said, "What would change this")
	assert.Contains(t, said, "becomes first")
	assert.Contains(t, said, "m = what would change your mind")
	assert.NoError(t, s.script.Left())
}

// Whatever is chosen on the way to the kind, the question stands on a screen of 80 by 24.
func TestTheWayToTheKindFitsASmallScreen(t *testing.T) {
	k, err := kb.Overview()
	require.NoError(t, err)
	try := func(lines ...string) *interview.Script {
		s := interview.NewScript(lines...)
		_, _ = (&interview.Talk{Asker: s, Width: 80}).Kind(k.Joints)
		for _, q := range s.Asked {
			assert.LessOrEqual(t, strings.Count(q.Text(80), "\n"), 23, "%v:\n%s", lines, q.Text(80))
		}
		return s
	}
	first := try().Asked[0]
	require.Less(t, len(first.Options), len(k.Joints))
	for i := range first.Options {
		try(fmt.Sprintf("kind: %d", i+1))
	}
	for _, word := range []string{"ring", "plug", "seal", "pipe", "o-ring", "cover"} {
		s := try("kind: " + word)
		assert.Equal(t, "kind-of-these", s.Asked[1].ID, word)
	}
	for _, j := range k.Joints { // who knows the name is asked no more
		s := interview.NewScript("kind: " + j.ID)
		got, err := (&interview.Talk{Asker: s, Width: 80}).Kind(k.Joints)
		require.NoError(t, err)
		assert.Equal(t, j.ID, got)
	}
}
