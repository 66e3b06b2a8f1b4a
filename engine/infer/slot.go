package infer

import (
	"slices"

	"seepwright/rules/fact"
)

// support is a reason in its slot; by is nil for what was told.
type support struct {
	Support
	by *instance
}

// order is the place of a reason in its list: what was told stands first.
func (s *support) order() int {
	if s.by == nil {
		return -1
	}
	return s.by.at
}

// slot is where one fact of one joint is kept: its reasons, the value that they show
// together, and the rules that read it.
type slot struct {
	ok      bool
	clash   bool
	key     fact.Key
	list    []*support // what was told, then by rule id and joint
	tests   []*test
	readers []*instance // rules that are no row of tests
	value   fact.Value
}

// slot finds the slot of a key, or makes it.
func (m *Memory) slot(k fact.Key) *slot {
	s := m.slots[k]
	if s == nil {
		s = &slot{key: k}
		m.slots[k] = s
	}
	return s
}

// search is where the reason that a rule gives stands, or would stand.
func (s *slot) search(in *instance) (int, bool) {
	return slices.BinarySearchFunc(s.list, in.at, func(x *support, at int) int { return x.order() - at })
}

func (s *slot) find(in *instance) *support {
	if i, ok := s.search(in); ok {
		return s.list[i]
	}
	return nil
}

func (s *slot) add(x *support) {
	i, _ := s.search(x.by)
	s.list = slices.Insert(s.list, i, x)
}

func (s *slot) drop(in *instance) {
	if i, ok := s.search(in); ok {
		s.list = slices.Delete(s.list, i, i+1)
	}
}

// tell puts the only reason that no rule gave; nil takes it away.
func (s *slot) tell(x *support) {
	told := len(s.list) > 0 && s.list[0].by == nil
	switch {
	case told && x != nil:
		s.list[0] = x
	case told:
		s.list = slices.Delete(s.list, 0, 1)
	case x != nil:
		s.list = slices.Insert(s.list, 0, x)
	}
}

// show works out the value from the reasons. Reasons that say the same count once, so that
// the work grows with their number times that of different values among them.
func (s *slot) show() {
	var v fact.Value
	s.ok, s.clash = false, false
	var room [4]*support
	different := room[:0]
	for _, x := range s.list {
		if slices.ContainsFunc(different, func(o *support) bool { return o.Value.Same(x.Value) }) {
			continue
		}
		if slices.ContainsFunc(different, func(o *support) bool { return o.Value.Clash(x.Value) }) {
			s.value, s.ok, s.clash = fact.Value{}, false, true
			return
		}
		different = append(different, x)
		switch {
		case !s.ok || !v.Answered():
			v, s.ok = x.Value, true
		case !x.Value.Answered():
		case v.Type == fact.Several && x.Value.Type == fact.Several:
			v = fact.MakeSeveral(slices.Concat(v.Is, x.Value.Is), slices.Concat(v.Not, x.Value.Not))
		case v.Type == fact.Number && x.Value.Type == fact.Number && x.Value.Num.U < v.Num.U:
			v = x.Value
		}
	}
	s.value = v
}
