package engine

import "seepwright/rules/fact"

// Supposed is an open answer with the ranking after it, for tests.
type Supposed struct {
	Fact  string
	Value fact.Value
	Then  []Chance
}

// SupposeAll is the work behind Mind: every open answer tried.
func (s *Session) SupposeAll() ([]Supposed, error) {
	n, sv, err := s.Network()
	if err != nil {
		return nil, err
	}
	list, err := s.supposeAll(&Mind{}, n, sv, inOrder(n, sv.Posterior().Marginals))
	var out []Supposed
	for _, x := range list {
		out = append(out, Supposed{x.Fact, x.value, x.then})
	}
	return out, err
}
