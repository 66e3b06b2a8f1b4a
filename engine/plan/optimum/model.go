package optimum

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"sync"
)

// Fault is something that may be wrong. Prior is the chance that it is the one present, or,
// with several faults, that it is present before anything is known.
type Fault struct {
	ID    string
	Prior float64
}

// Possibility is a set of faults, by their places in Faults, that may be what is present.
type Possibility struct {
	Faults []int
	Chance float64
}

// Cluster is a stage of access. It needs its Parent open ("" = reached from outside), and all
// that stands in Needs; Open and Close are minutes. With MustClose it has to be closed for a retest, with all that is inside.
// Pass is the chance that closing it makes no new leak, 0 stands for 1: what a closing spoils,
// another opening and closing mends with the same chance. Only Advise knows it; Refits say the
// same to SolveChanging.
type Cluster struct {
	ID, Parent  string
	Open, Close float64
	MustClose   bool
	Pass        float64
	Needs       []string
}

// Check is a look or a test: Positive is the chance of a positive answer by fault, a fault not
// named counts as 0; False is the chance of a positive answer that no fault brings about.
// Answers are independent given the faults that were there when the job began. Answers, in
// place of Positive and False, is for looks with more than two answers in a model that lists
// its possibilities: by answer and possibility the chance of that answer; over all answers
// they add up to 1.
type Check struct {
	ID, Cluster string
	Minutes     float64
	Positive    map[string]float64
	False       float64
	Answers     [][]float64
	Walk        string // looks of one walk can be made in one errand; "" is part of none
	Bench       bool   // may be made while a repair waits for its retest; only SolveChanging knows it
}

// Repair cures the faults in Fixes, each with the chance Success (0 stands for 1: surely), or
// where Chances is given each with its own. It may be made Tries times (0 stands for once),
// each a fresh attempt. Mend, where given, is what each fault costs beside Minutes if it is
// there and cured: a search that mends what it finds.
type Repair struct {
	ID, Cluster   string
	Minutes       float64
	Fixes         []string
	Success       float64
	Chances, Mend []float64
	Tries         int
}

// Refit is a fault that work may make: closing Cluster for a retest, or making Repair (one of
// the two is named), draws Fault anew with the chance 1 - Pass.
type Refit struct {
	Cluster, Repair string
	Fault           string
	Pass            float64
}

// Model is a whole troubleshooting problem. Without Several exactly one fault is present; with
// it each is present independently, given that at least one is; with Possible what is present
// is one of those sets, and priors are not read. Open clusters are open at the start. All
// minutes are at least 0.
type Model struct {
	Faults     []Fault
	Several    bool
	Possible   []Possibility
	Clusters   []Cluster
	Open       []string
	Checks     []Check
	Repairs    []Repair
	Retest     float64
	LastResort float64
	Refits     []Refit // only SolveChanging knows them
	Drawn      bool    // Possible was drawn, not listed: figures are estimates
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
	holds   [][]int       // by fault: the possibilities that contain it
	tells   [][][]float64 // by check, answer and possibility: chance of the answer; of two answers no, then yes
	fixes   [][]int       // by repair
	chance  [][]float64   // likewise: chance of the cure
	mendsOf [][]int       // by fault
	rank    []int         // of each repair in the order of ids
	path    []uint64      // by cluster + 1: the clusters that must be open; path[0] is outside
	checkAt []int         // index into path
	mendAt  []int
	opened  uint64 // clusters that are open at the start
	shut    uint64 // clusters that must be closed for a retest
	spoils  uint64 // clusters that closing may spoil
	wide    []bool // by repair: it touches so many possibilities that all are looked at once
	sampled bool   // possibilities are drawn, not all listed
	quick   bool   // the base policy makes batches only, see Effort.Quick
	idle    sync.Pool
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
		if c.Pass > 0 && c.Pass < 1 {
			x.spoils |= 1 << i
		}
	}
	for _, id := range m.Open {
		at, ok := place[id]
		if !ok {
			return nil, fmt.Errorf("cluster %q is said to be open but is not in the model", id)
		}
		x.opened |= x.path[at]
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
		if len(c.Answers) > 0 {
			if err := x.complete(c); err != nil {
				return nil, err
			}
			x.tells = append(x.tells, c.Answers)
			continue
		}
		q := make([]float64, len(m.Faults))
		for f, p := range c.Positive {
			i, ok := fault[f]
			if !ok || !(p >= 0 && p <= 1) {
				return nil, fmt.Errorf("check %q: the chance %v of fault %q needs a fault of the model and a number from 0 to 1", c.ID, p, f)
			}
			q[i] = p
		}
		yes, no := make([]float64, len(x.sets)), make([]float64, len(x.sets))
		for e, set := range x.sets {
			no[e] = 1 - c.False
			for _, f := range set {
				no[e] *= 1 - q[f]
			}
			yes[e] = 1 - no[e]
			if len(set) == 1 && c.False == 0 {
				yes[e] = q[set[0]]
			}
		}
		x.tells = append(x.tells, [][]float64{no, yes})
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
		if n := len(r.Fixes); len(r.Chances) != 0 && len(r.Chances) != n || len(r.Mend) != 0 && len(r.Mend) != n {
			return nil, fmt.Errorf("repair %q: chances and minutes by fault must be as many as the faults it fixes", r.ID)
		}
		var fixes []int
		var chance []float64
		for n, f := range r.Fixes {
			k, ok := fault[f]
			if !ok {
				return nil, fmt.Errorf("repair %q fixes %q, which is not a fault of the model", r.ID, f)
			}
			p := 1.0
			switch {
			case len(r.Chances) > 0:
				p = r.Chances[n]
			case r.Success > 0:
				p = r.Success
			}
			if !(p >= 0 && p <= 1) || len(r.Mend) > 0 && !minutes(r.Mend[n]) {
				return nil, fmt.Errorf("repair %q has a figure out of its range for %q", r.ID, f)
			}
			fixes, chance = append(fixes, k), append(chance, p)
			x.mendsOf[k] = append(x.mendsOf[k], i)
		}
		x.fixes, x.chance = append(x.fixes, fixes), append(x.chance, chance)
	}
	x.measure()
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

// measure marks the repairs that touch most possibilities.
func (x *machine) measure() {
	x.wide = make([]bool, len(x.fixes))
	for r, fixes := range x.fixes {
		n := 0
		for _, f := range fixes {
			n += len(x.holds[f])
		}
		x.wide[r] = 2*n > len(x.sets)
	}
}

// complete reports whether a look with several answers has a chance for each possibility.
func (x *machine) complete(c Check) error {
	for e := range x.sets {
		sum := 0.0
		for _, a := range c.Answers {
			if len(x.Possible) == 0 || len(a) != len(x.sets) || !(a[e] >= 0) {
				return fmt.Errorf("check %q needs, for every answer, a chance for each listed possibility", c.ID)
			}
			sum += a[e]
		}
		if math.Abs(sum-1) > 1e-6 {
			return fmt.Errorf("check %q: the chances of its answers add up to %v for possibility %d", c.ID, sum, e+1)
		}
	}
	return nil
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
	var add func(i, k int) error
	add = func(i, k int) error {
		x.path[i+1] |= 1 << k
		for _, id := range append(slices.Clone(x.Clusters[k].Needs), x.Clusters[k].Parent) {
			if id == "" {
				continue
			}
			p, ok := at[id]
			if !ok {
				return fmt.Errorf("cluster %q has the parent %q, which is not in the model", x.Clusters[k].ID, id)
			}
			if p == i {
				return fmt.Errorf("cluster %q lies within itself: mend its parents", x.Clusters[i].ID)
			}
			if x.path[i+1]>>p&1 == 1 {
				continue
			}
			if err := add(i, p); err != nil {
				return err
			}
		}
		return nil
	}
	for i := range x.Clusters {
		if err := add(i, i); err != nil {
			return err
		}
	}
	for i := range x.Clusters {
		for k := range x.Clusters {
			if x.path[i+1]>>k&1 == 1 && x.Clusters[k].MustClose {
				x.shut |= 1 << i
			}
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

func (x *machine) mends(f int) []int { return x.mendsOf[f] }

func (x *machine) tries(r int) int { return max(1, x.Repairs[r].Tries) }
