package interview

import (
	"errors"

	"seepwright/engine/plan"
	"seepwright/rules/fact"
)

// Locate is what is done first where nobody knows which joint it is: locating checks of the
// knowledge base, as one list, and what they showed.
type Locate struct {
	Checks []string // ids, in order
	Why    string
	Levels bool // nothing is wet outside: the levels are watched, not the joints
}

// FindJoint are the locating steps for "something is wet and I don't know which joint";
// WatchLevels those for a level that falls with nothing wet outside.
func FindJoint() *Locate {
	return &Locate{Checks: []string{"photograph-before-wiping", "highest-wet-point-walk", "clean-dry-powder"},
		Why: "Liquid runs, drips and is blown along. The lowest wet place says nothing; the highest one, and the first spot after cleaning, do."}
}

// WatchLevels are the steps for a level that falls with nothing wet outside.
func WatchLevels() *Locate {
	return &Locate{Checks: []string{"two-level-watch"}, Levels: true,
		Why: "Where two fluids meet at a wall, the leak may cross inside. Leaks inside a unit are not in this knowledge base yet: if one level falls and the other rises, that is where it is. The joints outside are ranked all the same."}
}

// locate takes the locating steps.
func (l *Loop) locate(where *Locate) (bool, error) {
	l.Talk.Tell("\n%s", where.Why)
	r, err := l.result()
	if err != nil {
		return true, err
	}
	joint := l.anyJoint("")
	var walk []plan.Next
	for _, id := range where.Checks {
		if c := l.kb().Check(id); c != nil {
			n := plan.Next{Check: id, Title: c.Title, How: c.How, Minutes: c.Minutes, Caution: c.Cautions, Tools: c.Tools, Why: where.Why}
			if where.Levels {
				n.Joint, n.Fills = joint, c.Fills
			}
			walk = append(walk, n)
		}
	}
	l.slipOf(r, walk)
	n, err := l.Talk.Pick(Question{ID: "locate", Ask: "What now?", Why: where.Why, Options: []Option{{"answer", "done: I can say what it showed"}, {"later", "later: ask the other questions first"}}})
	if err != nil || n != 0 {
		return err != nil, err
	}
	if where.Levels {
		for _, w := range walk {
			l.enqueue(w)
		}
		return false, nil
	}
	return l.found()
}

// found asks which joint the locating steps led to.
func (l *Loop) found() (bool, error) {
	var list []Option
	joints := l.joints()
	for _, j := range joints {
		list = append(list, Option{j.ID, l.title(j.ID)})
	}
	list = append(list, Option{"none-of-these", "none of these: another place"})
	n, err := l.Talk.Pick(Question{ID: "highest-wet", Ask: "Which joint is the highest wet one?", Options: list, Unsure: true})
	if err != nil || n < 0 {
		return err != nil, err
	}
	if n == len(joints) {
		l.Talk.Tell("Then the leak is likely to be at a place that is not on the list. Add it to the unit's file (kind: unknown, if none of the kinds fits), and go on there.")
		return false, nil
	}
	j := joints[n].ID
	if err := l.record(j, "joint-wet", true); err != nil {
		return true, err
	}
	yes, err := l.Talk.YesNo(Question{ID: "powder-proof", Ask: "Cleaned, dried and dusted: was the first dark spot there?", Unsure: true, Back: true})
	if errors.Is(err, errBack) {
		l.changed()
		l.Session.Withdraw(j, "joint-wet")
		return l.found()
	}
	if err != nil {
		return true, err
	}
	if yes >= 0 {
		if err := l.record(j, "leak-proven", yes == 1); err != nil {
			return true, err
		}
	}
	return l.after()
}

// record keeps a yes or no that was asked in another form.
func (l *Loop) record(joint, id string, yes bool) error {
	if l.kb().Fact(id) == nil {
		return nil
	}
	l.changed()
	keys, err := l.Session.Answer(joint, id, fact.MakeYesNo(yes))
	if err != nil {
		return err
	}
	l.trail = append(l.trail, entry{item{joint: joint, fact: id, again: true}, keys})
	l.given++
	return l.Keep()
}
