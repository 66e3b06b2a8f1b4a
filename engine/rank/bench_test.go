package rank

import (
	"fmt"
	"math/rand"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"seepwright/engine/abreast"
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
	for _, positives := range []int{8, 12, 14, 16, 20} {
		n := denseNetwork(38, positives, 1)
		b.Run(fmt.Sprintf("positives=%d", positives), func(b *testing.B) {
			for b.Loop() {
				if _, err := Solve(n); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkTopFiveOf38DenseCauses(b *testing.B) {
	for _, positives := range []int{8, 12, 16, 20, 24} {
		n := denseNetwork(38, positives, 1)
		b.Run(fmt.Sprintf("positives=%d", positives), func(b *testing.B) {
			certain, width := false, 0.0
			for b.Loop() {
				post, ok, err := SolveTop(n, 5, 1_000_000)
				if err != nil {
					b.Fatal(err)
				}
				certain, width = ok, 0
				for i := range post.P {
					width = max(width, post.High[i]-post.Low[i])
				}
			}
			b.ReportMetric(width, "width")
			b.ReportMetric(float64(bit01(certain)), "certain")
		})
	}
}

func BenchmarkScale(b *testing.B) {
	for _, file := range referenceFiles(b) {
		if !strings.HasPrefix(filepath.Base(file), "scale") {
			continue
		}
		n, _ := readReference(b, file).network()
		positives := 0
		for _, f := range n.Findings {
			positives += bit01(f.State == Positive)
		}
		b.Run(fmt.Sprintf("causes=%d/positives=%d", len(n.Prior), positives), func(b *testing.B) {
			for b.Loop() {
				if _, err := Solve(n); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// overlapping is a row of groups of causes; each group has findings of its own and shares some with the next. Invented.
func overlapping(groups, causes, own, shared int) Network {
	r := rand.New(rand.NewSource(3))
	n := Network{}
	for range groups * causes {
		n.Prior = append(n.Prior, 0.01+0.1*r.Float64())
	}
	add := func(from, to int) {
		var rates []Rate
		for i := from; i < to; i++ {
			rates = append(rates, Rate{i, 0.1 + 0.8*r.Float64()})
		}
		n.Findings = append(n.Findings, YesNo("", true, 0.02, rates))
	}
	for g := range groups {
		for range own {
			add(g*causes, (g+1)*causes)
		}
		if g+1 < groups {
			for range shared {
				add(g*causes+causes/2, (g+1)*causes+causes/2)
			}
		}
	}
	return n
}

// What the work grows with: not the causes, not the positives, but the positives that are open at once.
func BenchmarkGrowth(b *testing.B) {
	for _, x := range []struct {
		by                          string
		groups, causes, own, shared int
	}{
		{"causes", 10, 5, 3, 0}, {"causes", 10, 10, 3, 0}, {"causes", 10, 20, 3, 0}, {"causes", 10, 40, 3, 0},
		{"positives", 5, 10, 3, 0}, {"positives", 10, 10, 3, 0}, {"positives", 20, 10, 3, 0}, {"positives", 40, 10, 3, 0},
		{"overlap", 10, 10, 3, 1}, {"overlap", 10, 10, 3, 2}, {"overlap", 10, 10, 3, 3}, {"overlap", 10, 10, 3, 4},
	} {
		n := overlapping(x.groups, x.causes, x.own, x.shared)
		width := newPlan(compile(n.Prior, nil, n.Findings)).width
		b.Run(fmt.Sprintf("by=%s/causes=%d/positives=%d/open=%d", x.by, len(n.Prior), len(n.Findings), width), func(b *testing.B) {
			for b.Loop() {
				if _, err := Solve(n); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// One joint of an assembly, all causes reading all findings: exact while that is in time, bounds beyond.
func BenchmarkOneJointOf38Causes(b *testing.B) {
	for _, positives := range []int{8, 12, 14, 16, 20, 24} {
		a := pumphouse(1, 38, positives)
		b.Run(fmt.Sprintf("positives=%d", positives), func(b *testing.B) {
			exact, sure, width := false, false, 0.0
			for b.Loop() {
				s, err := NewSolver(a, 0)
				if err != nil {
					b.Fatal(err)
				}
				if exact, sure, width = s.post.Exact, s.sure, 0; !exact {
					eachPair(*s.post.Low, *s.post.High, func(l, h float64) { width = max(width, h-l) })
				}
				s.Release()
			}
			b.ReportMetric(width, "width")
			b.ReportMetric(float64(bit01(exact || sure)), "certain")
		})
	}
}

// Every open question of an assembly of 304 causes at eight joints, 190 of them, each a yes or no about one joint that all its causes
// bear on.
func BenchmarkLookAheadOver190Questions(b *testing.B) {
	for _, positives := range []int{0, 5, 10, 20} {
		a := pumphouse(8, 38, 0)
		for k := range positives { // spread over three joints, as a person reports them
			j := []int{0, 3, 6}[k%3]
			a.Blocks[j].Findings = append(a.Blocks[j].Findings, pumphouse(8, 38, 8).Blocks[j].Findings[k/3])
		}
		r := rand.New(rand.NewSource(1))
		var questions [][][]Change
		for k := range 190 {
			var rates []Rate
			for i := range 38 {
				rates = append(rates, Rate{i, r.Float64()})
			}
			yes, no := YesNo("q", true, 0.05, rates), YesNo("q", false, 0.05, rates)
			questions = append(questions, [][]Change{{{Block: k % 8, Add: []Finding{yes}}}, {{Block: k % 8, Add: []Finding{no}}}})
		}
		b.Run(fmt.Sprintf("causes=304/questions=190/positives=%d", positives), func(b *testing.B) {
			for b.Loop() {
				s, err := NewSolver(a, 0)
				if err != nil {
					b.Fatal(err)
				}
				abreast.Each(len(questions), func(k int) {
					if _, err := s.LookAhead(questions[k]); err != nil {
						b.Error(err)
					}
				})
				s.Release()
			}
		})
	}
	// All ten positives at one joint, and all questions about it: nothing is untouched.
	a := pumphouse(8, 38, 0)
	a.Blocks[3] = pumphouse(8, 38, 10).Blocks[3]
	b.Run("causes=304/questions=190/positives=10/joints=1", func(b *testing.B) {
		r := rand.New(rand.NewSource(2))
		var rates []Rate
		for i := range 38 {
			rates = append(rates, Rate{i, r.Float64()})
		}
		q := [][]Change{{{Block: 3, Add: []Finding{YesNo("q", true, 0.05, rates)}}}, {{Block: 3, Add: []Finding{YesNo("q", false, 0.05, rates)}}}}
		for b.Loop() {
			s, err := NewSolver(a, 0)
			if err != nil {
				b.Fatal(err)
			}
			abreast.Each(190, func(int) {
				if _, err := s.LookAhead(q); err != nil {
					b.Error(err)
				}
			})
			s.Release()
		}
	})
}

func BenchmarkSevenJointsOf38Causes(b *testing.B) {
	a := pumphouse(7, 38, 6)
	b.Run("work=solve", func(b *testing.B) {
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
	b.Run(fmt.Sprintf("work=factors/answers=%d", len(groups)), func(b *testing.B) {
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
	b.Run("work=look-ahead/questions=1", func(b *testing.B) {
		for b.Loop() {
			if _, err := s.LookAhead(question); err != nil {
				b.Fatal(err)
			}
		}
	})
	treated := []CauseRef{{0, 0}, {0, 1}, {3, 2}, {3, 38}}
	b.Run("work=dry-if/treated=4", func(b *testing.B) {
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
		b.Run("network="+strings.TrimSuffix(filepath.Base(file), ".json"), func(b *testing.B) {
			for b.Loop() {
				if _, err := Solve(n); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
