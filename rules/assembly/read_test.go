package assembly

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var kinds = []string{"face-gasket", "hose-clamp", "radial-oring", "tie-rod-cap"}

// An invented unit.
const pump = `
assembly: pump set of the upper field
known: {fluid: water}
tools: [vernier, feeler]
joints:
  - {id: inlet, kind: hose-clamp, title: inlet hose, circuit: water}
  - id: pipe
    kind: radial-oring
    like: pipes
    above: [inlet]
    last work: remade
    known:
      bore-diameter:
        - {at: "12:00", value: 38.10 mm}
        - {at: "3:00", value: 38.28 mm}
      wet-place: {is: [lowest-point], not: [from-above]}
access:
  - {id: guard, title: guard off, off: 5, back: 5, uncovers: [inlet]}
  - {id: drain, off: 20, back: 10, needs: [guard], uncovers: [pipe]}
`

func TestAnAssemblyReadsWritesAndReadsTheSame(t *testing.T) {
	a, bad := Read(strings.NewReader(pump), "pump.yaml", kinds)
	require.Empty(t, bad)
	assert.Equal(t, []string{"inlet", "pipe"}, a.IDs())
	assert.Equal(t, []string{"38.10 mm", "38.28 mm"}, a.Joints[1].Answers["bore-diameter"].List)
	var steps []string
	for _, s := range a.Path("pipe") {
		steps = append(steps, s.ID)
	}
	assert.Equal(t, []string{"guard", "drain"}, steps, "what a step needs comes first")

	var b bytes.Buffer
	_, err := a.WriteTo(&b)
	require.NoError(t, err)
	again, bad := Read(&b, "again.yaml", kinds)
	require.Empty(t, bad)
	var c bytes.Buffer
	_, err = again.WriteTo(&c)
	require.NoError(t, err)
	var first bytes.Buffer
	_, _ = a.WriteTo(&first)
	assert.Equal(t, first.String(), c.String())
}

func TestEverythingWrongInAnAssemblyIsReportedAtOnceWithItsPlace(t *testing.T) {
	_, bad := Read(strings.NewReader(`
assembly: x
joints:
  - {id: a, kind: radial-orng, above: [b]}
  - {id: b, kind: hose-clamp, abve: [a]}
  - {id: b, kind: hose-clamp, above: [c], last work: redone}
access:
  - {id: s, off: soon, needs: [t], uncovers: [d]}
`), "x.yaml", kinds)
	text := bad.Error()
	for _, want := range []string{
		`x.yaml:4:5: no joint kind is called "radial-orng": did you mean "radial-oring"`,
		`x.yaml:5:31: a joint has no "abve": did you mean "above"`,
		`two joints are called "b"`, `names "c" above it`, `last work cannot be "redone"`,
		`x.yaml:8:18: "soon" is not a number of minutes`, `needs "t"`, `uncovers "d"`,
	} {
		assert.Contains(t, text, want)
	}
}

func TestJointsThatLieAboveEachOtherInACircleAreRefused(t *testing.T) {
	_, bad := Read(strings.NewReader("assembly: x\njoints:\n  - {id: a, kind: hose-clamp, above: [b]}\n  - {id: b, kind: hose-clamp, above: [a]}\n"), "x.yaml", kinds)
	assert.Contains(t, bad.Error(), "comes back to it")
}

func FuzzRead(f *testing.F) {
	f.Add(pump)
	f.Add("joints: [&a {id: x}, *a]")
	f.Add("assembly: [")
	f.Fuzz(func(t *testing.T, text string) {
		a, bad := Read(strings.NewReader(text), "f.yaml", kinds)
		if a != nil && bad.Errors() == 0 {
			var b bytes.Buffer
			_, err := a.WriteTo(&b)
			require.NoError(t, err)
			_, again := Read(&b, "g.yaml", kinds)
			require.Zero(t, again.Errors(), "%v\n%s", again, text)
		}
	})
}
