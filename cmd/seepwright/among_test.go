package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/cmd/seepwright/journal"
)

func TestWhereTheKindIsNotKnownAllThatFitStayInPlayUntilOneIsSeen(t *testing.T) {
	dir := t.TempDir()
	s := sit(t, dir, start{joint: "taper-thread,washer-joint"})
	p := &fitter{knows: map[string]string{
		"fluid": "coolant", "work-on": "ordinary", "state-now": "safe-and-cold", "can-isolate": "y", "reaches": "9", "below-waterline": "n", "water-rising": "n",
		"joint/last-work": "remade", "joint/first-wet": "at-once", "joint/wet-amount": "drip", "which-kind": "washer-joint",
	}}
	s.desk.talk.Asker = p
	r, err := s.desk.run()
	require.NoError(t, err, p.said.String())
	assert.Contains(t, p.said.String(), "By what you said the joint is:")
	assert.Contains(t, p.said.String(), "I cannot tell: rank the causes of all of them together")
	require.NotNil(t, r)
	assert.Equal(t, "washer-joint", r.Joints[0].Kind)
	assert.Empty(t, r.Kinds, "once it is known the others are out")
	c, err := journal.Open(filepath.Join(dir, "case.yaml"))
	require.NoError(t, err)
	assert.Equal(t, "washer-joint", c.File.Joint.Text)
	assert.Equal(t, "coolant", c.File.Answers["fluid"].Scalar, "what was said while the kind was open is kept")
	assert.Equal(t, "remade", c.File.Joints["joint"]["last-work"].Scalar)
}

func TestAKindThatStaysOpenGivesOneRankingOfAllAndGoesOnLater(t *testing.T) {
	dir := t.TempDir()
	s := sit(t, dir, start{joint: "taper-thread,washer-joint"})
	p := &fitter{knows: map[string]string{
		"fluid": "coolant", "work-on": "ordinary", "state-now": "safe-and-cold", "can-isolate": "y", "reaches": "9", "below-waterline": "n", "water-rising": "n",
		"joint/last-work": "remade", "which-kind": "open",
	}}
	s.desk.talk.Asker = p
	r, err := s.desk.run()
	require.NoError(t, err, p.said.String())
	require.NotNil(t, r)
	require.Len(t, r.Kinds, 2)
	c, err := journal.Open(filepath.Join(dir, "case.yaml"))
	require.NoError(t, err)
	assert.Equal(t, "taper-thread, washer-joint", c.File.Joint.Text)

	s = sit(t, dir, start{})
	s.desk.talk.Asker = &fitter{knows: map[string]string{"which-kind": "taper-thread"}}
	r, err = s.desk.run()
	require.NoError(t, err)
	assert.Equal(t, "taper-thread", r.Joints[0].Kind)
}

func TestAStopBreaksInThoughTheKindIsNotKnown(t *testing.T) {
	dir := t.TempDir()
	s := sit(t, dir, start{joint: "taper-thread,washer-joint"}, "fluid: fuel", "stop: ")
	r, err := s.desk.run()
	require.NoError(t, err, s.script.Said.String())
	assert.Nil(t, r)
	assert.NoError(t, s.script.Left(), s.script.Said.String())
	assert.Contains(t, s.script.Said.String(), "STOP.")
	assert.NotContains(t, s.script.Said.String(), "Which is it?")
}

func TestAnswersAboutAKindThatItIsNotAreNoHindrance(t *testing.T) {
	for _, kinds := range []string{"reciprocating-seal,radial-oring", "radial-oring,reciprocating-seal"} {
		dir := t.TempDir()
		path := filepath.Join(dir, "case.yaml")
		require.NoError(t, os.WriteFile(path, []byte("joint: "+kinds+"\njoints: {joint: {ram-load-down: yes, ring-nick: no}}\n"), 0o600))
		s := sit(t, dir, start{})
		s.desk.talk.Asker = &fitter{knows: map[string]string{
			"fluid": "coolant", "work-on": "ordinary", "state-now": "safe-and-cold", "can-isolate": "y", "reaches": "9", "below-waterline": "n", "joint/last-work": "remade", "which-kind": "radial-oring",
		}}
		r, err := s.desk.run()
		require.NoError(t, err)
		assert.Equal(t, "radial-oring", r.Joints[0].Kind)
		c, err := journal.Open(path)
		require.NoError(t, err)
		assert.NotContains(t, c.File.Joints["joint"], "ram-load-down", "it speaks of what this joint is not")
		assert.Contains(t, c.File.Joints["joint"], "ring-nick")
	}
}
