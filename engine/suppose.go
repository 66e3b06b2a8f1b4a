package engine

import (
	"slices"

	"seepwright/engine/infer"
	"seepwright/rules/fact"
)

// given is one answer as the person gave it: with the keys of all like joints it was taken for.
type given struct {
	keys  []fact.Key
	value fact.Value
}

// given lists the answers, those that were taken for several like joints once.
func (s *Session) given() []given {
	var out []given
	for _, k := range s.mem.Answers() {
		v := s.told(k).Value
		f := s.kb.Fact(k.Fact)
		like := -1
		if f != nil && f.Scope == fact.LikeJoints {
			twins := s.asm.Twins(k.Joint)
			like = slices.IndexFunc(out, func(g given) bool {
				return g.keys[0].Fact == k.Fact && slices.Contains(twins, g.keys[0].Joint) && g.value.Same(v)
			})
		}
		if like >= 0 {
			out[like].keys = append(out[like].keys, k)
			continue
		}
		out = append(out, given{[]fact.Key{k}, v})
	}
	return out
}

// told is what was told of a key, by the person or the assembly, not concluded. Its origin is
// empty where nothing was.
func (s *Session) told(k fact.Key) infer.Support {
	for _, x := range s.mem.Supports(k) {
		if x.Rule == "" && (x.Origin == infer.Answered || x.Origin == infer.Given) {
			return x
		}
	}
	return infer.Support{}
}

// trial answers the keys for a moment, or with nil takes their answers back. The function that
// it gives puts all back as it was, conclusions included.
func (s *Session) trial(keys []fact.Key, v *fact.Value) (back func()) {
	var was []infer.Support
	for _, k := range keys {
		was = append(was, s.told(k))
		if v == nil {
			s.mem.Withdraw(k)
		} else {
			s.mem.Tell(k, *v, infer.Answered)
		}
	}
	return func() {
		for i, k := range keys {
			if was[i].Origin == "" {
				s.mem.Withdraw(k)
			} else {
				s.mem.Tell(k, was[i].Value, was[i].Origin)
			}
		}
	}
}
