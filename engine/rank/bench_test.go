package rank

import (
	"fmt"
	"math/rand"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// pumphouse is an assembly of joints in a row, each with the given number of causes that all read all findings, positive and as
// many negative ones, and one shared cause; the first joint stands above the second and so on. Invented.
func pumphouse(joints, causes, positives int) Assembly {
	a := Assembly{Known: Positive, WetMisread: 0.05, Shared: []float64{0.05}}
	for j := range joints {
		n := denseNetwork(causes, positives, int64(j+1))
		b := Block{
			ID: fmt.Sprintf("joint-%d", j), Weight: 0.3, Prior: n.Prior, Elsewhere: 0.05, RunDown: 0.5,
			Shared: []SharedAct{{0, 0.4}}, Findings: n.Findings, Wet: Positive,
		}
		for i := range b.Findings {
			for _, v := range []int{b.ArrivesIndex(), b.ActivationIndex(0)} {
				b.Findings[i].Links = append(b.Findings[i].Links, YesNo("", b.Findings[i].State == Positive, 0, []Rate{{v, 0.3}}).Links...)
			}
		}
		if j > 0 {
			b.Above = []int{j - 1}
		}
		a.Blocks = append(a.Blocks, b)
	}
	return a
}

func BenchmarkDenseNetwork38Causes(b *testing.B) {
	for _, positives := range []int{8, 12, 14, 16} {
		n := denseNetwork(38, positives, 1)
		b.Run(fmt.Sprintf("%d-positives", positives), func(b *testing.B) {
			for b.Loop() {
				if _, err := Solve(n); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkOneJoint38Causes(b *testing.B) {
	for _, positives := range []int{6, 12, 14} {
		a := pumphouse(1, 38, positives)
		b.Run(fmt.Sprintf("%d-positives", positives), func(b *testing.B) {
			for b.Loop() {
				if _, err := SolveAssembly(a); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkSevenJointsOf38Causes(b *testing.B) {
	a := pumphouse(7, 38, 6)
	b.Run("solve", func(b *testing.B) {
		for b.Loop() {
			if _, err := SolveAssembly(a); err != nil {
				b.Fatal(err)
			}
		}
	})
	s, err := NewSolver(a, 0)
	require.NoError(b, err)
	var groups [][]FindingRef
	for j, bl := range a.Blocks {
		for i := range bl.Findings {
			groups = append(groups, []FindingRef{{j, i}})
		}
	}
	b.Run(fmt.Sprintf("factors-of-%d-answers", len(groups)), func(b *testing.B) {
		for b.Loop() {
			if _, err := s.Factors(groups); err != nil {
				b.Fatal(err)
			}
		}
	})
	r := rand.New(rand.NewSource(1))
	var rates []Rate
	for i := range 38 {
		rates = append(rates, Rate{i, r.Float64()})
	}
	question := [][]Change{{{Block: 3, Add: []Finding{YesNo("q", true, 0.01, rates)}}}, {{Block: 3, Add: []Finding{YesNo("q", false, 0.01, rates)}}}}
	b.Run("look-ahead-one-question", func(b *testing.B) {
		for b.Loop() {
			if _, err := s.LookAhead(question); err != nil {
				b.Fatal(err)
			}
		}
	})
	treated := []CauseRef{{0, 0}, {0, 1}, {3, 2}, {3, 38}}
	b.Run("dry-if-four-treated", func(b *testing.B) {
		for b.Loop() {
			if _, err := s.DryIf(treated); err != nil {
				b.Fatal(err)
			}
		}
	})
}

func BenchmarkReferenceNetworks(b *testing.B) {
	for _, file := range referenceFiles(b) {
		n, _ := readReference(b, file).network()
		b.Run(filepath.Base(file), func(b *testing.B) {
			for b.Loop() {
				if _, err := Solve(n); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
