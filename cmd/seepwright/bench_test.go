package main

import (
	"bytes"
	"fmt"
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

// twenty is a unit of twenty joints, five of each of four kinds behind one cover, with six
// answers about three joints that are wet.
func twenty(b testing.TB) *work {
	asm := &assembly.Assembly{Title: "twenty joints", Access: []assembly.Access{{ID: "cover", Title: "Cover off", Off: 20, Back: 25}}}
	kinds := []string{"face-gasket", "hose-clamp", "radial-oring", "tie-rod-cap"}
	for i := range 20 {
		id := fmt.Sprintf("j%02d", i)
		asm.Joints = append(asm.Joints, assembly.Joint{ID: id, Title: "Joint " + id, Kind: kinds[i%4]})
		asm.Access[0].Uncovers = append(asm.Access[0].Uncovers, id)
	}
	a := &app{out: io.Discard, err: io.Discard, env: func(string) string { return "" }}
	w, err := a.start(asm)
	require.NoError(b, err)
	f, bad := answer.ReadFile(bytes.NewReader([]byte(twentyAnswers)), "x")
	bad = append(bad, w.tell(f)...)
	require.Zero(b, bad.Errors(), "%v", bad)
	return w
}

// Invented.
const twentyAnswers = `answers: {fluid: coolant, work-on: ordinary, state-now: safe-and-cold, can-isolate: yes, reaches: nothing-that-matters, below-waterline: no}
joints:
  j02: {joint-wet: yes, last-work: remade, first-wet: at-once, wet-spread: one-sector, wet-amount: drip, new-seal: new}
  j03: {joint-wet: yes, last-work: remade, wet-amount: weep}
  j05: {joint-wet: yes, last-work: remade, wet-when: {is: [cold]}}
`

// BenchmarkOneAnswer is one answer, with chain, rank and next look (brief), or with reasons
// and the whole plan.
func BenchmarkOneAnswer(b *testing.B) {
	for _, u := range []struct {
		joints int
		open   func(testing.TB) *work
		joint  string
	}{{1, single, "joint"}, {8, opened, "water-in"}, {20, twenty, "j02"}} {
		for _, brief := range []bool{true, false} {
			b.Run(fmt.Sprintf("joints=%d/brief=%v", u.joints, brief), func(b *testing.B) {
				w := u.open(b)
				for i := range b.N {
					_, err := w.session.Answer(u.joint, "ring-hard", fact.MakeYesNo(i%2 == 0))
					require.NoError(b, err)
					_, err = w.session.Result(plan.Person{Brief: brief})
					require.NoError(b, err)
				}
			})
		}
	}
}

// single is one joint with six answers.
func single(b testing.TB) *work {
	a := &app{out: io.Discard, err: io.Discard, env: func(string) string { return "" }}
	w, err := a.start(assembly.Single("radial-oring"))
	require.NoError(b, err)
	f, bad := answer.ReadFile(bytes.NewReader([]byte("answers: {fluid: coolant, work-on: ordinary, state-now: safe-and-cold, can-isolate: yes, reaches: nothing-that-matters, below-waterline: no, last-work: remade, first-wet: at-once, wet-spread: one-sector, wet-amount: drip, new-seal: new, wet-when: {is: [moved], not: [cold]}}")), "x")
	bad = append(bad, w.tell(f)...)
	require.Zero(b, bad.Errors(), "%v", bad)
	return w
}

// BenchmarkMind is all that would change the mind, asked for once.
func BenchmarkMind(b *testing.B) {
	for _, u := range []struct {
		joints int
		open   func(testing.TB) *work
	}{{1, single}, {8, opened}} {
		b.Run(fmt.Sprintf("joints=%d", u.joints), func(b *testing.B) {
			w := u.open(b)
			for range b.N {
				_, err := w.session.Mind()
				require.NoError(b, err)
			}
		})
	}
}
