package optimum

import (
	"errors"
	"fmt"
	"math"
	"slices"
)

// Fault is something that may be wrong. Prior is the chance that it is the one present, or,
// with several faults, that it is present before anything is known.
type Fault struct {
	ID    string
	Prior float64
}

// Cluster is a stage of access. It needs its Parent open ("" = reached from outside); Open and
// Close are minutes. With MustClose it has to be closed for a retest, with all that is inside.
type Cluster struct {
	ID, Parent  string
	Open, Close float64
	MustClose   bool
}

// Check is a look or a test: Positive is the chance of a positive answer by fault, a fault not
// named counts as 0; False is the chance of a positive answer that no fault brings about.
// Answers are independent given the faults that were there when the job began.
type Check struct {
	ID, Cluster string
	Minutes     float64
	Positive    map[string]float64
	False       float64
	Bench       bool // may be made while a repair waits for its retest; only SolveChanging knows it
}

// Repair cures the faults in Fixes, each with the chance Success (0 stands for 1: surely). It
// may be made Tries times (0 stands for once), each a fresh attempt.
type Repair struct {
	ID, Cluster string
	Minutes     float64
	Fixes       []string
	Success     float64
	Tries       int
}

// Refit is a fault that work may make: closing Cluster for a retest, or making Repair (one of
// the two is named), draws Fault anew with the chance 1 - Pass.
type Refit struct {
	Cluster, Repair string
	Fault           string
	Pass            float64
}

// Model is a whole troubleshooting problem. Without Several exactly one fault is present; with
// it each is present independently, given that at least one is. All minutes are at least 0.
type Model struct {
	Faults     []Fault
	Several    bool
	Clusters   []Cluster
	Checks     []Check
	Repairs    []Repair
	Retest     float64
	LastResort float64
	Refits     []Refit // only SolveChanging knows them
}

// BenchTest is a test of a part that is off the unit: it sees every fault named in sees with
// the chance sensitivity and answers positive without one of them with the chance
// 1 - specificity. To all other faults it is blind. It needs sensitivity >= 1 - specificity.
func BenchTest(id, cluster string, minutes, sensitivity, specificity float64, sees []string) Check {
	c := Check{ID: id, Cluster: cluster, Minutes: minutes, False: 1 - specificity, Positive: map[string]float64{}}
	for _, f := range sees {
		if specificity > 0 {
			c.Positive[f] = 1 - (1-sensitivity)/specificity // noisy-OR with the false answers gives the sensitivity
		}
	}
	return c
}

// machine is a model in numbers. Its possibilities are sets of faults with weights that add
// up to 1.
type machine struct {
	Model
	sets    [][]int
	weight  []float64
	holds   [][]int     // by fault: the possibilities that contain it
	yes     [][]float64 // by check and possibility: chance of a positive answer
	fixes   [][]int     // by repair
	mendsOf [][]int     // by fault
	rank    []int       // of each repair in the order of ids
	path    []uint64    // by cluster + 1: the clusters that must be open; path[0] is outside
	checkAt []int       // index into path
	mendAt  []int
	shut    uint64 // clusters that must be closed for a retest
	sampled bool   // possibilities are drawn, not all listed
}

// enumerable is the number of independent faults up to which all sets of them are listed.
const enumerable = 12

var errChanging = errors.New("refits that make leaks, and bench tests between repair and retest, need SolveChanging")

var errNothing = errors.New("no fault is possible: give at least one fault a chance above 0")

func prepare(m Model) (*machine, error) {
	x := &machine{Model: m}
	if len(m.Refits) > 0 || slices.ContainsFunc(m.Checks, func(c Check) bool { return c.Bench }) {
		return nil, errChanging
	}
	return x.number()
}

func (x *machine) number() (*machine, error) {
	m := x.Model
	fault, err := number(m.Faults, "fault", func(f Fault) (string, float64, bool) { return f.ID, f.Prior, f.Prior <= 1 })
	if err != nil {
		return nil, err
	}
	if err := x.access(); err != nil {
		return nil, err
	}
	if !minutes(m.Retest) || !minutes(m.LastResort) {
		return nil, fmt.Errorf("retest and last resort need minutes of 0 or more, not %v and %v", m.Retest, m.LastResort)
	}
	if err := x.possibilities(); err != nil {
		return nil, err
	}
	place := map[string]int{"": 0}
	for i, c := range m.Clusters {
		place[c.ID] = i + 1
	}
	if _, err := number(m.Checks, "check", func(c Check) (string, float64, bool) {
		return c.ID, c.Minutes, c.False >= 0 && c.False <= 1
	}); err != nil {
		return nil, err
	}
	for _, c := range m.Checks {
		at, ok := place[c.Cluster]
		if !ok {
			return nil, fmt.Errorf("check %q is made in cluster %q, which is not in the model", c.ID, c.Cluster)
		}
		x.checkAt = append(x.checkAt, at)
		q := make([]float64, len(m.Faults))
		for f, p := range c.Positive {
			i, ok := fault[f]
			if !ok || !(p >= 0 && p <= 1) {
				return nil, fmt.Errorf("check %q: the chance %v of fault %q needs a fault of the model and a number from 0 to 1", c.ID, p, f)
			}
			q[i] = p
		}
		yes := make([]float64, len(x.sets))
		for e, set := range x.sets {
			no := 1 - c.False
			for _, f := range set {
				no *= 1 - q[f]
			}
			yes[e] = 1 - no
			if len(set) == 1 && c.False == 0 {
				yes[e] = q[set[0]]
			}
		}
		x.yes = append(x.yes, yes)
	}
	if _, err := number(m.Repairs, "repair", func(r Repair) (string, float64, bool) {
		return r.ID, r.Minutes, r.Success >= 0 && r.Success <= 1 && r.Tries >= 0 && r.Tries < 128
	}); err != nil {
		return nil, err
	}
	x.mendsOf = make([][]int, len(m.Faults))
	for i := range m.Repairs {
		r := m.Repairs[i]
		at, ok := place[r.Cluster]
		if !ok {
			return nil, fmt.Errorf("repair %q is made in cluster %q, which is not in the model", r.ID, r.Cluster)
		}
		x.mendAt = append(x.mendAt, at)
		var fixes []int
		for _, f := range r.Fixes {
			k, ok := fault[f]
			if !ok {
				return nil, fmt.Errorf("repair %q fixes %q, which is not a fault of the model", r.ID, f)
			}
			fixes = append(fixes, k)
			x.mendsOf[k] = append(x.mendsOf[k], i)
		}
		x.fixes = append(x.fixes, fixes)
	}
	x.rank = make([]int, len(m.Repairs))
	for i, r := range m.Repairs {
		for _, q := range m.Repairs {
			if q.ID < r.ID {
				x.rank[i]++
			}
		}
	}
	return x, nil
}

// number checks that ids are there once and that figures are usable.
func number[T any](list []T, kind string, of func(T) (string, float64, bool)) (map[string]int, error) {
	out := map[string]int{}
	for i, v := range list {
		id, x, ok := of(v)
		if _, twice := out[id]; id == "" || twice {
			return nil, fmt.Errorf("%s %d needs an id of its own, not %q", kind, i+1, id)
		}
		if !ok || !minutes(x) {
			return nil, fmt.Errorf("%s %q has a figure out of its range", kind, id)
		}
		out[id] = i
	}
	return out, nil
}

func minutes(x float64) bool { return x >= 0 && !math.IsInf(x, 0) && !math.IsNaN(x) }

// access works out what has to be open for what.
func (x *machine) access() error {
	if len(x.Clusters) > 64 {
		return fmt.Errorf("%d clusters are too many: at most 64", len(x.Clusters))
	}
	at, err := number(x.Clusters, "cluster", func(c Cluster) (string, float64, bool) { return c.ID, c.Open, minutes(c.Close) })
	if err != nil {
		return err
	}
	x.path = make([]uint64, len(x.Clusters)+1)
	for i, c := range x.Clusters {
		shut := false
		for k, steps := i, 0; ; steps++ {
			if steps > len(x.Clusters) {
				return fmt.Errorf("cluster %q lies within itself: mend its parents", c.ID)
			}
			x.path[i+1] |= 1 << k
			shut = shut || x.Clusters[k].MustClose
			if x.Clusters[k].Parent == "" {
				break
			}
			p, ok := at[x.Clusters[k].Parent]
			if !ok {
				return fmt.Errorf("cluster %q has the parent %q, which is not in the model", x.Clusters[k].ID, x.Clusters[k].Parent)
			}
			k = p
		}
		if shut {
			x.shut |= 1 << i
		}
	}
	return nil
}

// openCost and closeCost are the minutes for a set of clusters.
func (x *machine) openCost(set uint64) float64 {
	t := 0.0
	for i := range x.Clusters {
		if set>>i&1 == 1 {
			t += x.Clusters[i].Open
		}
	}
	return t
}

func (x *machine) closeCost(set uint64) float64 {
	t := 0.0
	for i := range x.Clusters {
		if set>>i&1 == 1 {
			t += x.Clusters[i].Close
		}
	}
	return t
}

func (x *machine) success(r int) float64 {
	if s := x.Repairs[r].Success; s > 0 {
		return s
	}
	return 1
}

func (x *machine) mends(f int) []int { return x.mendsOf[f] }

func (x *machine) tries(r int) int { return max(1, x.Repairs[r].Tries) }
