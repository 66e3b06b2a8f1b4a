package archive

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"seepwright/cmd/seepwright/journal"
	"seepwright/engine/learn"
	"seepwright/rules"
	"seepwright/rules/assembly"
)

// Outcome is one proven cause of a case, ready to be learnt from.
type Outcome struct{ Case, Kind, History, Cause string }

// historyFact is the answer that says what went before, at a joint or of the whole unit.
const historyFact = "history"

// Outcomes are the proven causes of a case, one each. Nothing is learnt from a case that was
// not closed dry, from one that was wet or damp at a retest since the last work, or from a cause
// of which neither kind nor history is known; why says so then. asm is its unit, or nil. Of a cause
// that was told in own words, only that the knowledge base has it not is learnt.
func Outcomes(c *journal.Case, kb *rules.Knowledge, asm *assembly.Assembly) (list []Outcome, why string) {
	if c.Head.End != journal.Dry {
		return nil, "not closed dry"
	}
	for _, e := range slices.Backward(c.Log) {
		if e.What == journal.Retest && leaked(e) {
			return nil, "not dry at its last retest"
		}
		if e.What == journal.Did {
			break
		}
	}
	if len(c.Proven) == 0 {
		return nil, "nothing proven"
	}
	for _, p := range c.Proven {
		kind := p.Kind
		if kind == "" {
			kind = kindOf(c, asm, p.Joint)
		}
		o := Outcome{Case: c.Head.ID, Kind: kind, History: historyOf(c, asm, p.Joint), Cause: p.Cause}
		if len(list) > 0 {
			o.Case = fmt.Sprintf("%s (%d)", c.Head.ID, len(list)+1)
		}
		known := func(id string) bool {
			return slices.ContainsFunc(kb.Causes, func(x *rules.Cause) bool { return x.ID == id && (x.Shared || x.For == kind) })
		}
		switch {
		case kind == learn.Shared && (p.Cause == "" || !known(p.Cause)), kind != learn.Shared && kb.Joint(kind) == nil:
			why = "the kind of joint is not known"
			continue
		case !slices.Contains(rules.Histories(), rules.History(o.History)):
			why = "the history is not known"
			continue
		case p.Cause == "" || !known(p.Cause):
			o.Cause = learn.NotListed
		}
		list = append(list, o)
	}
	return list, why
}

func kindOf(c *journal.Case, asm *assembly.Assembly, joint string) string {
	if asm != nil {
		if j, ok := asm.Joint(joint); ok {
			return j.Kind
		}
		if len(asm.Joints) == 1 {
			return asm.Joints[0].Kind
		}
	}
	return c.File.Joint.Text
}

func historyOf(c *journal.Case, asm *assembly.Assembly, joint string) string {
	if joint == "" {
		joint = "joint"
	}
	if v := c.File.Joints[joint][historyFact].Scalar; v != "" {
		return v
	}
	if v := c.File.Answers[historyFact].Scalar; v != "" {
		return v
	}
	if asm != nil {
		if j, ok := asm.Joint(joint); ok && j.Answers[historyFact].Scalar != "" {
			return j.Answers[historyFact].Scalar
		}
		if v := asm.Answers[historyFact].Scalar; v != "" {
			return v
		}
	}
	return c.File.History.Text
}

// OutcomesFile writes outcomes as the list that is learnt from.
func OutcomesFile(list []Outcome) string {
	var b strings.Builder
	for _, o := range list {
		name, err := json.Marshal(o.Case) // quoted so that any name is one text
		if err != nil {
			name = []byte(`""`)
		}
		fmt.Fprintf(&b, "- {case: %s, kind: %s, history: %s, cause: %s, retest: dry}\n", name, o.Kind, o.History, o.Cause)
	}
	return b.String()
}
