package optimum

import (
	"fmt"
	"math"
	"math/rand/v2"
	"sort"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// world is a second, plain reading of a model: chances by the set of faults present, written
// as a string of their ids. Clusters are opened one by one; nothing is remembered.
type world struct {
	m    Model
	from bool // checks answer by the faults of the start, kept after a bar
}

type job struct {
	p     map[string]float64
	open  map[string]bool
	tried map[string]int
	asked map[string]bool
	wait  bool
}

func (j job) clone() job {
	n := job{map[string]float64{}, map[string]bool{}, map[string]int{}, map[string]bool{}, j.wait}
	for k, v := range j.p {
		n.p[k] = v
	}
	for k, v := range j.open {
		n.open[k] = v
	}
	for k, v := range j.tried {
		n.tried[k] = v
	}
	for k, v := range j.asked {
		n.asked[k] = v
	}
	return n
}

func has(s, f string) bool { return strings.Contains(s, f+" ") }

func (w world) with(s, f string) string {
	if has(s, f) {
		return s
	}
	l := append(strings.Fields(s), f)
	sort.Strings(l)
	return strings.Join(l, " ") + " "
}

func (w world) start() job {
	j := job{map[string]float64{}, map[string]bool{}, map[string]int{}, map[string]bool{}, false}
	if !w.m.Several {
		for _, f := range w.m.Faults {
			j.p[f.ID+" |"+f.ID+" "] = f.Prior
		}
	} else {
		all := map[string]float64{"": 1}
		for _, f := range w.m.Faults {
			next := map[string]float64{}
			for s, p := range all {
				next[s] += p * (1 - f.Prior)
				next[w.with(s, f.ID)] += p * f.Prior
			}
			all = next
		}
		for s, p := range all {
			if s != "" {
				j.p[s+"|"+s] = p
			}
		}
	}
	return w.norm(j)
}

func (w world) norm(j job) job {
	t := 0.0
	for _, p := range j.p {
		t += p
	}
	for s := range j.p {
		j.p[s] /= t
	}
	return j
}

// change draws: present faults with the chance, f added or taken away.
func (w world) change(j job, f string, add bool, chance float64) {
	next := map[string]float64{}
	for s, p := range j.p {
		now, first, _ := strings.Cut(s, "|")
		if add == has(now, f) {
			next[s] += p
			continue
		}
		to := strings.Replace(" "+now, " "+f+" ", " ", 1)[1:]
		if add {
			to = w.with(now, f)
		}
		next[to+"|"+first] += p * chance
		next[s] += p * (1 - chance)
	}
	for s := range j.p {
		delete(j.p, s)
	}
	for s, p := range next {
		if p > 0 {
			j.p[s] = p
		}
	}
}

func (w world) sealed(id string) bool {
	for _, c := range w.m.Clusters {
		if c.ID == id {
			return c.MustClose || c.Parent != "" && w.sealed(c.Parent)
		}
	}
	return false
}

func (w world) least(j job) float64 {
	best := w.m.LastResort
	for _, c := range w.m.Clusters {
		if !j.open[c.ID] && (c.Parent == "" || j.open[c.Parent]) {
			n := j.clone()
			n.open[c.ID] = true
			if c.Open < best {
				best = math.Min(best, c.Open+w.least(n))
			}
		}
	}
	for _, c := range w.m.Checks {
		if j.asked[c.ID] || c.Cluster != "" && !j.open[c.Cluster] || j.wait && !c.Bench {
			continue
		}
		v := c.Minutes
		for _, yes := range []bool{true, false} {
			n, t := j.clone(), 0.0
			n.asked[c.ID] = true
			for s := range n.p {
				now, first, _ := strings.Cut(s, "|")
				if w.from {
					now = first
				}
				quiet := 1 - c.False
				for _, f := range strings.Fields(now) {
					quiet *= 1 - c.Positive[f]
				}
				if yes {
					quiet = 1 - quiet
				}
				if n.p[s] *= quiet; n.p[s] == 0 {
					delete(n.p, s)
				}
			}
			for _, p := range n.p {
				t += p
			}
			if t > 1e-14 && v < best {
				v += t * w.least(w.norm(n))
			}
		}
		best = math.Min(best, v)
	}
	for _, r := range w.m.Repairs {
		if j.tried[r.ID] >= max(1, r.Tries) || r.Cluster != "" && !j.open[r.Cluster] || r.Minutes >= best {
			continue
		}
		n := j.clone()
		n.tried[r.ID]++
		n.wait = true
		s := r.Success
		if s == 0 {
			s = 1
		}
		for _, f := range r.Fixes {
			w.change(n, f, false, s)
		}
		for _, x := range w.m.Refits {
			if x.Repair == r.ID {
				w.change(n, x.Fault, true, 1-x.Pass)
			}
		}
		for _, c := range w.m.Checks {
			if c.Bench {
				delete(n.asked, c.ID)
			}
		}
		best = math.Min(best, r.Minutes+w.least(n))
	}
	if j.wait {
		best = math.Min(best, w.retest(j.clone()))
	}
	return best
}

func (w world) retest(n job) float64 {
	v, rest, wet := w.m.Retest, 0.0, 0.0
	for _, c := range w.m.Clusters {
		switch {
		case n.open[c.ID] && w.sealed(c.ID):
			v += c.Close
			delete(n.open, c.ID)
			for _, x := range w.m.Refits {
				if x.Cluster == c.ID {
					w.change(n, x.Fault, true, 1-x.Pass)
				}
			}
		case n.open[c.ID]:
			rest += c.Close
		}
	}
	n.wait = false
	for s, p := range n.p {
		if strings.HasPrefix(s, "|") {
			delete(n.p, s)
		} else {
			wet += p
		}
	}
	v += (1 - wet) * rest
	if wet > 1e-14 {
		v += wet * w.least(w.norm(n))
	}
	return v
}

// small is an invented model that the plain recursion can do.
func small(rng *rand.Rand, several bool) Model {
	m := Model{Several: several, Retest: float64(rng.IntN(20)), LastResort: 80 + float64(rng.IntN(300))}
	rest := 1.0
	for i, id := range []string{"x", "y", "z"}[:2+rng.IntN(2)] {
		p := 0.1 + 0.4*rng.Float64()
		if !several && i > 0 {
			p = rest
			if i == 1 {
				p = rest * rng.Float64()
			}
		}
		rest -= p
		m.Faults = append(m.Faults, Fault{id, p})
		m.Repairs = append(m.Repairs, Repair{ID: "a" + id, Cluster: []string{"", "k", "k"}[i], Minutes: 2 + float64(rng.IntN(40)), Fixes: []string{id}})
	}
	if !several {
		m.Faults[len(m.Faults)-1].Prior += 1
	}
	t := 0.0
	for _, f := range m.Faults {
		t += f.Prior
	}
	for i := range m.Faults {
		if !several {
			m.Faults[i].Prior /= t
		}
	}
	m.Clusters = []Cluster{{ID: "k", Open: float64(rng.IntN(50)), Close: float64(rng.IntN(50)), MustClose: rng.IntN(2) == 0}}
	m.Checks = []Check{{ID: "t", Cluster: []string{"", "k"}[rng.IntN(2)], Minutes: float64(rng.IntN(9)), False: 0.1 * rng.Float64(), Positive: map[string]float64{"x": 0.5 + rng.Float64()/2, "y": 0.2 * rng.Float64()}}}
	return m
}

func TestAPlainRecursionOverBeliefsAgrees(t *testing.T) {
	for _, several := range []bool{false, true} {
		for _, kind := range []string{"imperfect checks", "failing remedies", "bench test off the unit", "two tries"} {
			t.Run(fmt.Sprintf("%s, several %v", kind, several), func(t *testing.T) {
				rng := rand.New(rand.NewPCG(11, 5))
				for range 40 {
					m := small(rng, several)
					switch kind {
					case "failing remedies":
						m.Repairs[0].Success, m.Repairs[1].Success = 0.3+0.6*rng.Float64(), 0.5
					case "bench test off the unit":
						m.Checks = append(m.Checks, BenchTest("b", "k", 5, 0.9, 0.8, []string{"y"}))
					case "two tries":
						m.Repairs = m.Repairs[:2]
						m.Repairs[1].Success, m.Repairs[1].Tries = 0.6, 2
					}
					e, err := Solve(m, Limits{})
					require.NoError(t, err)
					w := world{m: m, from: true}
					assert.InEpsilon(t, w.least(w.start()), e.Value(), 1e-9)
				}
			})
		}
	}
}

func TestAPlainRecursionAgreesWhereWorkChangesThings(t *testing.T) {
	for _, kind := range []string{"refits", "renewed joints", "bench test before the retest", "all of them"} {
		t.Run(kind, func(t *testing.T) {
			rng := rand.New(rand.NewPCG(13, 5))
			for i := range 15 {
				m := small(rng, i%2 == 1)
				all := kind == "all of them"
				if kind != "refits" {
					m.Repairs = m.Repairs[:2] // the plain recursion takes minutes with more
				}
				if kind == "refits" || all {
					m.Clusters[0].MustClose = true
					m.Refits = append(m.Refits, Refit{Cluster: "k", Fault: "y", Pass: 0.7 + 0.3*rng.Float64()})
				}
				if kind == "renewed joints" || all {
					m.Refits = append(m.Refits, Refit{Repair: "ax", Fault: "x", Pass: 0.8}, Refit{Repair: "ax", Fault: "y", Pass: 0.9})
					m.Repairs[0].Tries = 2
				}
				if kind == "bench test before the retest" || all {
					m.Repairs[1].Success, m.Repairs[1].Tries = 0.6, 2
					m.Repairs[0].Tries = 1
					b := BenchTest("b", "k", float64(rng.IntN(5)), 0.95, 0.9, []string{"y"})
					b.Bench = true
					m.Checks = []Check{b}
				}
				c, err := SolveChanging(m, 0)
				require.NoError(t, err)
				w := world{m: m}
				assert.InEpsilon(t, w.least(w.start()), c.Value(), 1e-9)
			}
		})
	}
}
