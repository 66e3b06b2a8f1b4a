package optimum

import (
	"errors"
	"fmt"
	"math"
	"math/bits"
)

// Limits bound the exact optimum. The zero value allows a million states and every step.
type Limits struct {
	States    int  // most states held; 0 = a million
	NoChecks  bool // no check may be made
	OneRepair bool // every repair is followed by its retest
}

// key is a state between a retest and the next: clusters open, attempts made, answers.
type key struct{ open, done, answers uint64 }

// Kind of a step.
type Kind string

// The steps there are. A batch of repairs ends with its retest.
const (
	CheckStep  Kind = "check"
	RepairStep Kind = "repair"
	LastStep   Kind = "last resort"
)

// Action is one decision: a check, a batch of repairs with the retest after it, or the last
// resort. The openings that it needs belong to it.
type Action struct {
	Kind    Kind
	Check   string
	Repairs []string
	check   int
	after   uint64 // attempts made when it is done
}

// Exact is a model solved to the optimum. It is not safe for use by several goroutines.
type Exact struct {
	x       *machine
	lim     Limits
	memo    map[key]float64
	fails   map[uint64]remain
	weights map[uint64][]float64
	shift   []int // of each repair in done
	ask     []int // of each check in answers
	over    bool
	begin   key
}

var errSpoils = errors.New("a closing that may make a leak is known to Advise; for the exact optimum say it as a refit to SolveChanging")

// TooLarge says that the optimum needs more states than allowed, or more repairs and checks
// than a state can tell apart.
type TooLarge struct{ States int }

func (e TooLarge) Error() string {
	return fmt.Sprintf("the exact optimum needs more than %d states: take the policy for large models", e.States)
}

// Solve finds the policy of least expected minutes. The error is a TooLarge, or says what is
// wrong with the model.
func Solve(m Model, lim Limits) (*Exact, error) {
	x, err := prepare(m)
	if err != nil {
		return nil, err
	}
	return x.exact(lim, x.weight, make([]uint8, len(m.Repairs)), x.opened)
}

// exact solves from given weights, which must be those of the sets, after attempts done.
func (x *machine) exact(lim Limits, weight []float64, done []uint8, open uint64) (*Exact, error) {
	if lim.States <= 0 {
		lim.States = 1_000_000
	}
	e := &Exact{x: x, lim: lim, memo: map[key]float64{}, fails: map[uint64]remain{}, weights: map[uint64][]float64{0: weight}}
	at := 0
	for r := range x.Repairs {
		e.shift = append(e.shift, at)
		at += bits.Len(uint(x.tries(r)))
	}
	told := 0
	for c := range x.Checks {
		e.ask = append(e.ask, told)
		told += bits.Len(uint(len(x.tells[c])))
	}
	if at > 63 || told > 63 || len(x.Repairs) > 16 || x.sampled {
		return nil, TooLarge{lim.States}
	}
	if x.spoils != 0 {
		return nil, errSpoils
	}
	e.begin = key{open: open}
	for r, k := range done {
		e.begin.done |= uint64(k) << e.shift[r]
	}
	e.value(e.begin)
	if e.over {
		return nil, TooLarge{lim.States}
	}
	return e, nil
}

// Value is the least expected minutes from the start.
func (e *Exact) Value() float64 { return e.value(e.begin) / e.mass(e.begin) }

// States is how many states were valued.
func (e *Exact) States() int { return len(e.memo) }

func (e *Exact) made(done uint64, r int) int {
	return int(done >> e.shift[r] & (1<<bits.Len(uint(e.x.tries(r))) - 1))
}

func (e *Exact) remain(done uint64) remain {
	f, ok := e.fails[done]
	if !ok {
		count := make([]uint8, len(e.x.Repairs))
		for r := range count {
			count[r] = uint8(e.made(done, r))
		}
		f = e.x.remaining(count)
		e.fails[done] = f
	}
	return f
}

// weight is the chance of each possibility together with the answers.
func (e *Exact) weight(answers uint64) []float64 {
	w, ok := e.weights[answers]
	if !ok {
		c := len(e.ask) - 1
		for e.told(answers, c) == 0 {
			c--
		} // the last check answered
		a := e.told(answers, c)
		w = append([]float64(nil), e.weight(answers&^(uint64(a)<<e.ask[c]))...)
		for i, p := range e.x.tells[c][a-1] {
			w[i] *= p
		}
		e.weights[answers] = w
	}
	return w
}

// told is the number of the answer to a check, 0 = not made.
func (e *Exact) told(answers uint64, c int) int {
	return int(answers >> e.ask[c] & (1<<bits.Len(uint(len(e.x.tells[c]))) - 1))
}

func (e *Exact) mass(k key) float64 { return dot(e.weight(k.answers), e.remain(k.done).wet) }

// vanish is a chance so small that what follows it cannot matter.
const vanish = 1e-17

// value is the least expected minutes from a state on, times the chance of the state.
func (e *Exact) value(k key) float64 {
	if v, ok := e.memo[k]; ok {
		return v
	}
	if e.over || len(e.memo) >= e.lim.States {
		e.over = true
		return 0
	}
	mass := e.mass(k)
	if mass < vanish {
		return 0
	}
	best := math.Inf(1)
	e.each(k, mass, func() float64 { return best }, func(_ Action, v float64) { best = min(best, v) })
	e.memo[k] = best
	return best
}

// each yields every step at a state with its value times the chance of the state. Steps whose
// own minutes exceed atMost() already are left out.
func (e *Exact) each(k key, mass float64, atMost func() float64, yield func(Action, float64)) {
	x := e.x
	yield(Action{Kind: LastStep}, mass*x.LastResort)
	if !e.lim.NoChecks {
		for c := range x.Checks {
			if e.told(k.answers, c) != 0 {
				continue
			}
			path := x.path[x.checkAt[c]]
			v := mass * (x.openCost(path&^k.open) + x.Checks[c].Minutes)
			if v > atMost() {
				continue
			}
			for a := range x.tells[c] {
				if v > atMost() {
					break
				}
				v += e.value(key{k.open | path, k.done, k.answers | uint64(a+1)<<e.ask[c]})
			}
			if v <= atMost() {
				yield(Action{Kind: CheckStep, Check: x.Checks[c].ID, check: c}, v)
			}
		}
	}
	e.batches(k, mass, 0, batch{open: k.open, done: k.done}, atMost, yield)
}

// batch is a set of repairs in the making.
type batch struct {
	open, done       uint64
	minutes, mending float64 // mending is times the chance of the state
}

func (e *Exact) batches(k key, mass float64, from int, b batch, atMost func() float64, yield func(Action, float64)) {
	x := e.x
	for r := from; r < len(x.Repairs); r++ {
		if e.made(b.done, r) >= x.tries(r) || !e.useful(k, b.done, r) {
			continue
		}
		path := x.path[x.mendAt[r]]
		n := batch{
			open: b.open | path, done: b.done + 1<<e.shift[r],
			minutes: b.minutes + x.openCost(path&^b.open) + x.Repairs[r].Minutes,
			mending: b.mending + e.mending(k, b.done, r),
		}
		closing := x.closeCost(n.open & x.shut)
		if mass*n.minutes+n.mending > atMost() {
			continue
		}
		if v := mass*(n.minutes+closing+x.Retest) + n.mending; v <= atMost() {
			after := key{n.open &^ x.shut, n.done, k.answers}
			v += (mass - e.mass(after)) * x.closeCost(after.open)
			v += e.value(after)
			yield(Action{Kind: RepairStep, after: n.done}, v)
		}
		if !e.lim.OneRepair {
			next := r + 1
			if x.tries(r) > 1 {
				next = r // the same again, without a retest between
			}
			e.batches(k, mass, next, n, atMost, yield)
		}
	}
}

// mending is what the cures of one more attempt cost beside its minutes, times their chance.
func (e *Exact) mending(k key, done uint64, r int) float64 {
	mend := e.x.Repairs[r].Mend
	if mend == nil {
		return 0
	}
	w, left, t := e.weight(k.answers), e.remain(done).fault, 0.0
	for i, f := range e.x.fixes[r] {
		there := 0.0
		for _, s := range e.x.holds[f] {
			there += w[s]
		}
		t += there * left[f] * e.x.chance[r][i] * mend[i]
	}
	return t
}

// useful reports whether a repair can cure something that may still be there.
func (e *Exact) useful(k key, done uint64, r int) bool {
	w, f := e.weight(k.answers), e.remain(done)
	for _, i := range e.x.fixes[r] {
		if f.fault[i] <= 0 {
			continue
		}
		for _, s := range e.x.holds[i] {
			if w[s] > 0 {
				return true
			}
		}
	}
	return false
}

// action names the attempts between two counts.
func (e *Exact) action(before, after uint64) Action {
	a := Action{Kind: RepairStep, after: after}
	for r := range e.x.Repairs {
		for range e.made(after, r) - e.made(before, r) {
			a.Repairs = append(a.Repairs, e.x.Repairs[r].ID)
		}
	}
	return a
}
