package table

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"seepwright/rules/unit"
)

// relation is a linear comparison that holds in every row: sum OP sum, in the units of the heads.
type relation struct {
	left, right []term
	op          string
	within      float64
}

// term is factor times column, or a bare number where column is "".
type term struct {
	factor float64
	column string
}

// parseRelation reads "p_from_MPa < p_to_MPa" or "od_mm = id_mm + 2 cs_mm within 0.02".
func parseRelation(text string, t *Table) (relation, error) {
	var r relation
	body, within, ok := strings.Cut(text, " within ")
	if ok {
		x, err := strconv.ParseFloat(strings.TrimSpace(within), 64)
		if err != nil || !(x >= 0) {
			return r, fmt.Errorf("%q after within is not a number", within)
		}
		r.within = x
	}
	for _, op := range []string{"<=", ">=", "<", ">", "="} {
		left, right, ok := strings.Cut(body, op)
		if !ok {
			continue
		}
		r.op = op
		var err error
		if r.left, err = parseSum(left, t); err != nil {
			return r, err
		}
		r.right, err = parseSum(right, t)
		return r, err
	}
	return r, fmt.Errorf("it has none of <, <=, =, >=, >")
}

func parseSum(text string, t *Table) ([]term, error) {
	var out []term
	sign, factor, given := 1.0, 1.0, false
	end := func() error {
		if given {
			out = append(out, term{factor: sign * factor})
			return nil
		}
		return fmt.Errorf("%q lacks a column or a number", strings.TrimSpace(text))
	}
	open := false // a term has begun and waits for its column
	for _, word := range strings.Fields(text) {
		switch {
		case word == "+" || word == "-":
			if open {
				if err := end(); err != nil {
					return nil, err
				}
			} else if len(out) == 0 {
				return nil, fmt.Errorf("%q begins with %s", strings.TrimSpace(text), word)
			}
			sign, factor, given, open = 1, 1, false, true
			if word == "-" {
				sign = -1
			}
		case t.at(word) >= 0:
			if _, ok := t.Unit(word); !ok {
				return nil, fmt.Errorf("the column %q holds text", word)
			}
			if len(out) > 0 && !open {
				return nil, fmt.Errorf("there is no + or - before %q", word)
			}
			out = append(out, term{sign * factor, word})
			sign, factor, given, open = 1, 1, false, false
		default:
			x, err := strconv.ParseFloat(word, 64)
			if err != nil || math.IsNaN(x) || math.IsInf(x, 0) {
				return nil, fmt.Errorf("%q is neither a column nor a number", word)
			}
			factor, given, open = x, true, true
		}
	}
	if open || len(out) == 0 {
		if err := end(); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// holds tests a row; a row in which a needed cell is empty says nothing. got are the two sides in words.
func (rel relation) holds(r Row) (got string, ok bool) {
	a, okA := rel.sum(rel.left, r)
	b, okB := rel.sum(rel.right, r)
	if !okA || !okB {
		return "", true
	}
	slack := rel.within + 1e-9*math.Max(math.Abs(a), math.Abs(b))
	switch rel.op {
	case "<":
		ok = a < b+rel.within
	case "<=":
		ok = a <= b+slack
	case ">":
		ok = a > b-rel.within
	case ">=":
		ok = a >= b-slack
	default:
		ok = math.Abs(a-b) <= slack
	}
	return fmt.Sprintf("%s against %s", unit.Show(a, 8), unit.Show(b, 8)), ok
}

func (rel relation) sum(terms []term, r Row) (float64, bool) {
	s := 0.0
	for _, t := range terms {
		if t.column == "" {
			s += t.factor
			continue
		}
		si, ok := r.SI(t.column)
		if !ok {
			return 0, false
		}
		u, _ := r.of.Unit(t.column)
		s += t.factor * u.FromSI(si)
	}
	return s, true
}
