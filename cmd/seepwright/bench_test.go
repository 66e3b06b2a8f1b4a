package main

import (
	"bytes"
	"io"
	"testing"

	"github.com/stretchr/testify/require"

	"seepwright/engine/plan"
	"seepwright/rules/answer"
	"seepwright/rules/assembly"
	"seepwright/rules/fact"
)

// opened opens the demo's unit with the answers of its first two scenes.
func opened(b testing.TB) *work {
	data, err := demoFiles.ReadFile("demo/unit.yaml")
	require.NoError(b, err)
	a := &app{out: io.Discard, err: io.Discard, env: func(string) string { return "" }}
	asm, bad := assembly.Read(bytes.NewReader(data), "unit.yaml", []string{"face-gasket", "hose-clamp", "radial-oring", "tie-rod-cap"})
	require.Zero(b, bad.Errors(), "%v", bad)
	w, err := a.start(asm)
	require.NoError(b, err)
	for _, sc := range scenes[:2] {
		data, err := demoFiles.ReadFile("demo/" + sc.file)
		require.NoError(b, err)
		f, bad := answer.ReadFile(bytes.NewReader(data), sc.file)
		bad = append(bad, w.tell(f)...)
		require.Zero(b, bad.Errors(), "%v", bad)
	}
	return w
}

// BenchmarkOneAnswerOfTheUnit is one answer about a unit of eight joints: chain, rank, next
// step and plan.
func BenchmarkOneAnswerOfTheUnit(b *testing.B) {
	w := opened(b)
	for i := range b.N {
		_, err := w.session.Answer("water-in", "ring-hard", fact.MakeYesNo(i%2 == 0))
		require.NoError(b, err)
		_, err = w.session.Result(plan.Person{})
		require.NoError(b, err)
	}
}

// BenchmarkOneAnswerOfOneJoint is the same for a single joint with six answers.
func BenchmarkOneAnswerOfOneJoint(b *testing.B) {
	a := &app{out: io.Discard, err: io.Discard, env: func(string) string { return "" }}
	w, err := a.start(assembly.Single("radial-oring"))
	require.NoError(b, err)
	f, bad := answer.ReadFile(bytes.NewReader([]byte("answers: {last-work: remade, first-wet: at-once, wet-spread: one-sector, wet-amount: drip, new-seal: new, wet-when: {is: [moved], not: [cold]}}")), "x")
	bad = append(bad, w.tell(f)...)
	require.Zero(b, bad.Errors(), "%v", bad)
	for i := range b.N {
		_, err := w.session.Answer("joint", "ring-hard", fact.MakeYesNo(i%2 == 0))
		require.NoError(b, err)
		_, err = w.session.Result(plan.Person{})
		require.NoError(b, err)
	}
}
