package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/cmd/seepwright/interview"
	"seepwright/cmd/seepwright/journal"
	"seepwright/engine"
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
	"reaches: 9", "reaches/others: y", "below-waterline: n", "water-rising: n"}

func with(more ...string) []string { return append(append([]string{}, safe...), more...) }

func TestATwoPipeUnitIsBuiltByTalkAndReadsBack(t *testing.T) {
	dir := t.TempDir()
	s := sit(t, dir, start{}, append(with(),
		"start: 1", "unit: oil cooler", "count/face-gasket:", "count/hose-clamp: 1", "count/radial-oring: 2", "count/tie-rod-cap: 0", "other-kinds: shaft seal",
		"names/hose-clamp: inlet hose", "names/radial-oring: upper pipe, lower pipe", "alike/radial-oring:",
		"above: 1 2", "above: 2 1", "above: 2 3", "above:", "blown:",
		"access: 2", "access/except: 1", "access: 1", "access/once/an-hour: y",
		"last-work: 1", "last-work/except: 1 4", "last-work: 3", "last-work/except:",
		"wet-now: 3", "wet-now/others: y", "tools: 1", "joint-quit: q",
		"lower-pipe/first-wet: 1", "look: q")...)
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
