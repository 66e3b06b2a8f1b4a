package interview

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"seepwright/engine"
	"seepwright/engine/infer"
	"seepwright/engine/plan"
	"seepwright/rules"
	"seepwright/rules/assembly"
	"seepwright/rules/fact"
)

// Loop goes from question to question until nothing more is worth asking.
type Loop struct {
	Talk    *Talk
	Session *engine.Session
	Person  func() plan.Person
	Keep    func() error                         // saves; called after every answer, before the next question
	Meant   func(joint, factID string)           // a hard-to-believe answer was confirmed
	SoFar   func(*engine.Result) string          // the one line of advice so far
	Advice  func(*engine.Result)                 // the advice so far in full, without the plan
	Mind    func(*engine.Result) (string, error) // what would change the ranking, in words; nil = not offered
	Safety  bool                                 // only the questions of safety
	Locate  *Locate                              // locating steps, taken when the questions of safety are through
	Most    int                                  // answers after which nothing more is asked
	Shown   string                               // the stop that was already shown

	queue []item
	trail []entry
	left  map[fact.Key]bool // questions left open for now: not asked again, not saved
	given int               // answers given in this sitting
	ended bool              // the person ended it at a stop
	now   *engine.Result    // what is known now, while nothing has changed
}

// item is a question that waits for its turn.
type item struct {
	joint, fact string
	why         string
	open        bool // may be left open
	again       bool // asked although it has an answer
	was         string
}

// entry is one answer that can be gone back to.
type entry struct {
	item item
	keys []fact.Key
}

// manyAnswers is where an interview ends at the latest; adviceEvery is after how many
// answers the advice is shown in full.
const (
	manyAnswers = 400
	adviceEvery = 8
)

// Left lists the questions that were put off: they count as open, and are not saved.
func (l *Loop) Left() map[fact.Key]bool { return l.left }

// Run asks until nothing more is worth asking, and gives the result then. With ErrQuit or
// io.EOF the result is what is known so far.
func (l *Loop) Run() (*engine.Result, error) {
	l.left = map[fact.Key]bool{}
	if l.Most == 0 {
		l.Most = manyAnswers
	}
	r, err := l.result()
	if err != nil {
		return nil, err
	}
	end, err := l.broken(r)
	for !end && err == nil {
		end, err = l.step()
	}
	last, e := l.last()
	if e != nil {
		return nil, e
	}
	return last, err
}

// Ended reports whether the interview ended at a stop.
func (l *Loop) Ended() bool { return l.ended }

func (l *Loop) result() (*engine.Result, error) {
	if l.now != nil {
		return l.now, nil
	}
	p := l.Person()
	p.Brief = true // the plan and the reasons are for the end
	r, err := l.Session.Result(p)
	l.now = r
	return r, err
}

// changed says that something else is known now.
func (l *Loop) changed() { l.now = nil }

// last is the result with all that was put off open again.
func (l *Loop) last() (*engine.Result, error) {
	for k := range l.left {
		l.Session.Memory().Withdraw(k)
	}
	l.left = map[fact.Key]bool{}
	l.changed()
	return l.Session.Result(l.Person())
}

// step asks one question. It reports whether the interview has come to its end.
func (l *Loop) step() (bool, error) {
	r, err := l.result()
	if err != nil {
		return true, err
	}
	safety := r.Next != nil && r.Next.Fact != "" && l.kb().Fact(r.Next.Fact).Safety
	switch {
	case safety && !slices.ContainsFunc(l.queue, func(i item) bool { return i.fact == r.Next.Fact }):
		l.queue = slices.Insert(l.queue, 0, item{joint: l.anyJoint(r.Next.Joint), fact: r.Next.Fact, why: r.Next.Why})
	case len(l.queue) > 0:
	case l.Safety:
		return true, nil
	case l.Locate != nil:
		where := l.Locate
		l.Locate = nil
		return l.locate(where)
	case l.given >= l.Most:
		l.Talk.Tell("That is enough for one sitting.")
		return true, nil
	case r.Impossible != "":
		return l.impossible(r)
	case r.Next == nil:
		l.Talk.Tell("\nThat is all: %s.", strings.TrimSuffix(r.NothingMore, "."))
		return true, nil
	case r.Next.Check != "":
		return l.offer(r)
	default:
		l.queue = append(l.queue, item{joint: l.anyJoint(r.Next.Joint), fact: r.Next.Fact, why: r.Next.Why})
	}
	it := l.queue[0]
	l.queue = l.queue[1:]
	return l.ask(it)
}

func (l *Loop) kb() *rules.Knowledge { return l.Session.Knowledge() }

// anyJoint gives a joint for a question that belongs to none.
func (l *Loop) anyJoint(j string) string {
	if _, ok := l.Session.Assembly().Joint(j); ok {
		return j
	}
	for _, x := range l.Session.Assembly().Joints {
		if l.kb().Joint(x.Kind) != nil && (j == "" || j == "circuit:"+x.Circuit) {
			return x.ID
		}
	}
	return j
}

// ask asks one fact, records the answer and says what follows from it.
func (l *Loop) ask(it item) (bool, error) {
	f := l.kb().Fact(it.fact)
	if f == nil || !it.again && !l.asks(it.joint, f) {
		return false, nil
	}
	key := l.Session.Key(it.joint, f.ID)
	got, err := l.Talk.fact(f, l.kb().Instruments, about{id: key.String(), place: l.place(f, it.joint), why: it.why, open: it.open, back: true, was: it.was, mind: l.mind()})
	if errors.Is(err, errBack) {
		return false, l.back(it)
	}
	if err != nil {
		return true, err
	}
	if got.blank {
		l.putOff(key, f)
		return false, nil
	}
	delete(l.left, key)
	l.changed()
	keys, err := l.Session.Answer(it.joint, f.ID, got.value)
	if err != nil {
		return true, err
	}
	if got.meant && l.Meant != nil {
		for _, k := range keys {
			l.Meant(k.Joint, k.Fact)
		}
	}
	l.trail = append(l.trail, entry{item{joint: it.joint, fact: it.fact, why: it.why, open: it.open, again: true}, keys})
	l.given++
	if err := l.Keep(); err != nil {
		return true, err
	}
	if err := l.sameElsewhere(f, it.joint, got.value); err != nil && !errors.Is(err, errBack) {
		return true, err
	}
	return l.after()
}

// mind is what m says at a question; nothing is known yet while only safety is asked about.
func (l *Loop) mind() func() (string, error) {
	if l.Mind == nil || l.Safety {
		return nil
	}
	return func() (string, error) {
		r, err := l.result()
		if err != nil {
			return "", err
		}
		return l.Mind(r)
	}
}

// after tests the stops, asks about clashes, and says what follows so far.
func (l *Loop) after() (bool, error) {
	l.changed()
	r, err := l.result()
	if err != nil {
		return true, err
	}
	if end, err := l.broken(r); end || err != nil {
		return end, err
	}
	if len(r.Contra) > 0 {
		if err := l.clash(r); err != nil && !errors.Is(err, errBack) {
			return true, err
		}
	}
	if l.Safety {
		return false, nil
	}
	if l.given%adviceEvery == 0 && l.Advice != nil {
		l.Talk.Say("\n")
		l.Advice(r)
	} else if s := l.SoFar(r); s != "" {
		l.Talk.Say(wrap(s, l.Talk.Width, "", "  "))
	}
	return false, nil
}

// asks reports whether a question is still open at a joint.
func (l *Loop) asks(joint string, f *rules.Fact) bool {
	j, ok := l.Session.Assembly().Joint(joint)
	if f.Engine || ok && !rules.Applies(f.For, j.Kind) {
		return false
	}
	mem := l.Session.Memory()
	if _, ok, _ := mem.Value(mem.Key(joint, f.ID)); ok {
		return false
	}
	return f.AskIf == nil || f.AskIf.Cond.Eval(mem.Env(joint)).Truth != fact.False
}

// place is the joint's title, where there are several joints and the fact is about one.
func (l *Loop) place(f *rules.Fact, joint string) string {
	if len(l.Session.Assembly().Joints) < 2 || f.Scope != fact.JointScope && f.Scope != fact.LikeJoints {
		return ""
	}
	return l.title(joint)
}

func (l *Loop) title(joint string) string {
	j, ok := l.Session.Assembly().Joint(joint)
	if ok && j.Title != "" {
		return j.Title
	}
	return joint
}

// putOff leaves a question open: it is not asked again in this sitting, and not saved.
func (l *Loop) putOff(k fact.Key, f *rules.Fact) {
	if _, ok, _ := l.Session.Memory().Value(k); !ok {
		l.changed()
		l.Session.Memory().Tell(k, fact.None(f.Answer, fact.CantGet), infer.Answered)
		l.left[k] = true
	}
}

// back takes the last answer back and asks it again; at the beginning, any answer that was
// loaded with the case.
func (l *Loop) back(now item) error {
	l.queue = slices.Insert(l.queue, 0, now)
	if len(l.trail) == 0 {
		return l.change("Which answer is to be changed?")
	}
	e := l.trail[len(l.trail)-1]
	l.trail = l.trail[:len(l.trail)-1]
	return l.reopen(e)
}

// reopen withdraws an answer and puts its question first.
func (l *Loop) reopen(e entry) error {
	it := e.item
	mem := l.Session.Memory()
	if f := l.kb().Fact(it.fact); f != nil {
		if v, ok := answered(mem, l.Session.Key(it.joint, it.fact)); ok {
			it.was = engine.Say(f, v)
		}
	}
	l.changed()
	for _, k := range e.keys {
		mem.Withdraw(k)
		delete(l.left, k)
	}
	it.again = true
	l.queue = slices.Insert(l.queue, 0, it)
	l.given = max(0, l.given-1)
	return l.Keep()
}

func answered(mem *infer.Memory, k fact.Key) (fact.Value, bool) {
	for _, s := range mem.Supports(k) {
		if s.Origin == infer.Answered {
			return s.Value, true
		}
	}
	return fact.Value{}, false
}

// change lets the person pick an answer to give anew. Enter changes nothing.
func (l *Loop) change(ask string) error {
	mem := l.Session.Memory()
	var keys []fact.Key
	var list []Option
	for _, k := range mem.Answers() {
		f := l.kb().Fact(k.Fact)
		v, ok := answered(mem, k)
		if f == nil || !ok || l.left[k] {
			continue
		}
		title := name(f) + ": " + engine.Say(f, v)
		if k.Joint != "" {
			title = l.title(k.Joint) + ", " + title
		}
		keys, list = append(keys, k), append(list, Option{k.String(), title})
	}
	if len(keys) == 0 {
		l.Talk.Tell("Nothing was answered yet.")
		return nil
	}
	n, err := l.Talk.Pick(Question{ID: "change", Ask: ask, Options: list, Blank: "none"})
	if err != nil || n < 0 {
		return err
	}
	k := keys[n]
	return l.reopen(entry{item{joint: l.anyJoint(k.Joint), fact: k.Fact}, []fact.Key{k}})
}

// impossible says that the answers do not fit together and offers to change one.
func (l *Loop) impossible(r *engine.Result) (bool, error) {
	l.Talk.Tell("\nThese answers do not fit together: %s.", strings.TrimSuffix(r.Impossible, "."))
	before := len(l.queue)
	err := l.change("Which one would you look at again? Enter = none, show what there is.")
	return len(l.queue) == before, err
}

// sameElsewhere asks once whether an answer holds at other joints too: at the twins for a
// fact of like joints, at all joints in play for what was done and when.
func (l *Loop) sameElsewhere(f *rules.Fact, joint string, v fact.Value) error {
	e := &l.trail[len(l.trail)-1]
	var others []string
	switch {
	case f.Scope == fact.LikeJoints:
		for _, k := range e.keys[1:] {
			others = append(others, k.Joint)
		}
	case f.Scope == fact.JointScope && f.First > 0 && v.Answered():
		for _, j := range l.Session.Assembly().Joints {
			if j.ID != joint && l.kb().Joint(j.Kind) != nil && l.asks(j.ID, f) && (f.ID != "last-work" || j.LastWork == "") && !l.dry(j.ID) {
				others = append(others, j.ID)
			}
		}
	}
	if len(others) == 0 {
		return nil
	}
	same, err := l.which(f, others)
	if err != nil {
		return err
	}
	for i, o := range others {
		k := l.Session.Key(o, f.ID)
		switch {
		case f.Scope == fact.LikeJoints && !same[i]:
			l.Session.Memory().Withdraw(k)
			e.keys = slices.DeleteFunc(e.keys, func(x fact.Key) bool { return x == k })
		case f.Scope != fact.LikeJoints && same[i]:
			keys, err := l.Session.Answer(o, f.ID, v)
			if err != nil {
				return err
			}
			e.keys = append(e.keys, keys...)
		}
	}
	return l.Keep()
}

// which asks for the joints at which the same holds.
func (l *Loop) which(f *rules.Fact, others []string) ([]bool, error) {
	same := make([]bool, len(others))
	var list []Option
	for _, o := range others {
		list = append(list, Option{o, l.title(o)})
	}
	q := Question{ID: f.ID + "/same", Ask: "The same at the others?", Options: list, Note: "y = all, n = only there; or the numbers of those that differ", Many: true}
	for {
		s, err := l.Talk.line(q)
		if err != nil {
			return same, err
		}
		n, ok := yesNo(s)
		if strings.Trim(s, "0123456789") == "" && s != "0" {
			ok = false // a number names a joint here
		}
		if ok {
			for i := range same {
				same[i] = n == 1
			}
			return same, nil
		}
		differ, _, none, complaint := several(list, strings.TrimPrefix(s, "except "))
		if complaint == "" {
			for i := range same {
				same[i] = none || !slices.Contains(differ, i)
			}
			return same, nil
		}
		l.Talk.Tell("%s", complaint)
		q.Again = true
	}
}

func (l *Loop) dry(joint string) bool {
	v, ok, _ := l.Session.Memory().Value(l.Session.Key(joint, "joint-wet"))
	return ok && v.Answered() && !v.Yes
}

// joints are the joints of kinds that are known.
func (l *Loop) joints() []assembly.Joint {
	var out []assembly.Joint
	for _, j := range l.Session.Assembly().Joints {
		if l.kb().Joint(j.Kind) != nil {
			out = append(out, j)
		}
	}
	return out
}

// say is a value of a fact with the joint it belongs to.
func (l *Loop) say(k fact.Key, v fact.Value) string {
	f := l.kb().Fact(k.Fact)
	if f == nil {
		return k.String()
	}
	s := fmt.Sprintf("%s: %s", name(f), engine.Say(f, v))
	if k.Joint != "" && len(l.Session.Assembly().Joints) > 1 {
		s = l.title(k.Joint) + ", " + s
	}
	return s
}
