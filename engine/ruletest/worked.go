package ruletest

import (
	"slices"
	"strings"

	"seepwright/engine"
	"seepwright/engine/plan"
	"seepwright/engine/score"
	"seepwright/rules"
)

// Worked is a solved case worked out twice: with all that it gives, and with nothing but the
// history that follows from it, which is what the shares alone say.
type Worked struct {
	Case        *rules.Case
	Now, Before *engine.Result // nil when there are Fails
	Fails       []string       // answers that cannot be read or told
}

// Work works solved cases out on all cores; results stand in the order of the cases.
func Work(kb *rules.Knowledge, cases []*rules.Case) []Worked {
	tool := func() *engine.Brain { return engine.NewBrain(kb) }
	out := parallel(kb, cases, tool, func(b *engine.Brain, c *rules.Case) Worked {
		r, fails := work(b, c)
		return Worked{Case: c, Now: r, Fails: fails}
	})
	// Of single joints the shares say the same for a kind and history, whatever the case.
	type plain struct{ key, kind, history string }
	var keys []plain
	var bare []*rules.Case
	at := make([]int, len(out))
	for i, w := range out {
		if w.Now == nil {
			continue
		}
		k := plain{kind: w.Case.For, history: w.Now.History}
		if len(w.Case.Joints) > 0 {
			k.key = w.Case.ID
		}
		at[i] = slices.Index(keys, k)
		if at[i] < 0 {
			at[i] = len(keys)
			keys, bare = append(keys, k), append(bare, withoutAnswers(w.Case, w.Now.History))
		}
	}
	type told struct {
		r     *engine.Result
		fails []string
	}
	before := parallel(kb, bare, tool, func(b *engine.Brain, c *rules.Case) told {
		r, fails := work(b, c)
		return told{r, fails}
	})
	for i := range out {
		if out[i].Now == nil {
			continue
		}
		b := before[at[i]]
		out[i].Before, out[i].Fails = b.r, b.fails
	}
	return out
}

func work(b *engine.Brain, c *rules.Case) (*engine.Result, []string) {
	var rep Report
	s, err := open(b, c, &rep)
	if err == nil && rep.Passed() {
		var r *engine.Result
		if r, err = s.Result(plan.Person{Answered: len(c.Given), Brief: true}); err == nil {
			return r, nil
		}
	}
	if err != nil {
		rep.fail("%v", err)
	}
	return nil, rep.Fails
}

// withoutAnswers is a case of which only the history is known, and in what order things hang.
func withoutAnswers(c *rules.Case, history string) *rules.Case {
	out := &rules.Case{Head: c.Head, For: c.For, History: rules.History(history)}
	if len(c.Joints) > 0 {
		out.Joints = map[string]rules.CaseJoint{}
	}
	for id, j := range c.Joints {
		j.Given = nil
		out.Joints[id] = j
	}
	return out
}

// TrueCause is the name under which ByCause gathers all that counts as the true cause.
const TrueCause = "the true one"

// ByCause is the forecast of a result cause by cause. The causes that truth names, as
// KIND/ID, shared/ID or ID, say the same and go together under one name, as if they were
// independent; of an assembly they count at whatever joint.
func ByCause(r *engine.Result, truth []string) score.Forecast {
	p := map[string]float64{}
	none := 1.0
	for _, x := range r.Ranking {
		if slices.ContainsFunc(truth, func(ref string) bool { return names(ref, x) }) {
			none *= 1 - x.Probability
			continue
		}
		p[x.Joint+"/"+x.Cause] = x.Probability
	}
	if len(truth) > 0 {
		p[TrueCause] = 1 - none
	}
	return score.New(p)
}

func names(ref string, x engine.Ranked) bool {
	kind, id, full := strings.Cut(ref, "/")
	if !full {
		return ref == x.Cause
	}
	if x.Shared {
		return ref == Shared+"/"+x.Cause
	}
	return id == x.Cause && kind == x.Kind
}

// EachCause is the forecast of a result for every cause by itself, as KIND/ID or shared/ID,
// with what came true. The joints of an assembly that are of one kind are taken together. A
// truth that the knowledge base has not is its "not in this knowledge base".
func EachCause(r *engine.Result, kind string, truth []string) score.Outcome {
	p := map[string]float64{}
	for _, x := range r.Ranking {
		ref := x.Kind + "/" + x.Cause
		if x.Shared {
			ref = Shared + "/" + x.Cause
		}
		p[ref] += x.Probability
	}
	if len(truth) == 0 {
		truth = []string{kind + "/" + engine.UnknownCause}
	}
	return score.Outcome{Forecast: score.New(p), Truth: truth}
}

// ByFamily is the forecast of a result by classes of causes. A class is taken for present
// when one of its causes is, as if they were independent.
func ByFamily(r *engine.Result) score.Forecast {
	absent := map[string]float64{}
	for _, x := range r.Ranking {
		if _, seen := absent[x.Family]; !seen {
			absent[x.Family] = 1
		}
		absent[x.Family] *= 1 - x.Probability
	}
	p := map[string]float64{}
	for family, none := range absent {
		p[family] = 1 - none
	}
	return score.New(p)
}
