package refcheck

import (
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"seepwright/engine/measure/gland"
	"seepwright/engine/measure/ringsize"
	"seepwright/rules/unit"
)

var errUnknownTable = errors.New("no table of extrusion gaps lists this hardness, and the row names none")

var (
	dashWritten = regexp.MustCompile(`(?i)(?:dash|size|as568|no\.?)?\s*[=:]?\s*-?\b(\d{3})\b`)
	seriesText  = regexp.MustCompile(`(?i)\b(\d)xx`)
	lastText    = regexp.MustCompile(`-(\d{3})\b`)
)

// dash is the ring whose dash number the row names.
func (s *said) dash(t tables) (ringsize.Ring, error) {
	m := dashWritten.FindStringSubmatch(s.row["inputs"])
	if m == nil {
		return ringsize.Ring{}, errors.New("the text names no dash number")
	}
	r, ok := t.sizes[m[1]]
	if !ok {
		return r, fmt.Errorf("the table has no dash number %s", m[1])
	}
	return r, nil
}

// sizeTopics are questions to the table of sizes.
func sizeTopics(t tables) map[string]func(*said) (answer, error) {
	of := func(pick func(ringsize.Ring) []float64) func(*said) (answer, error) {
		return func(s *said) (answer, error) {
			r, err := s.dash(t)
			if err != nil {
				return answer{}, err
			}
			return several(nil, pick(r)...)
		}
	}
	count := func(s *said) (answer, error) {
		m := seriesText.FindStringSubmatch(s.row["inputs"])
		if m == nil && !s.has("all") {
			return answer{}, errors.New("the text names neither a series nor all sizes")
		}
		n := 0
		for _, r := range t.rings {
			if m == nil || strings.HasPrefix(r.Name, m[1]) {
				n++
			}
		}
		return several(nil, float64(n))
	}
	last := func(s *said) (answer, error) {
		m, end := seriesText.FindStringSubmatch(s.row["inputs"]), lastText.FindStringSubmatch(s.row["inputs"])
		if m == nil {
			return answer{}, errors.New("the text names no series")
		}
		best := ringsize.Ring{}
		for _, r := range t.rings {
			if strings.HasPrefix(r.Name, m[1]) && r.ID > best.ID {
				best = r
			}
		}
		if end != nil && end[1] != best.Name {
			return answer{}, fmt.Errorf("the largest ring of the series is -%s, the row says -%s", best.Name, end[1])
		}
		return several(nil, float64(best.ID))
	}
	classB := func(s *said) (answer, error) {
		return one(gland.ClassBTolerance(s.length("id", "d1", "ring id", "inside diameter", "*")))
	}
	sizeOf := func(s *said) (answer, error) {
		r, err := s.dash(t)
		if err != nil {
			return answer{}, err
		}
		// a row may print the tolerance alone, or size and tolerance
		if len(printed(s.row["expected"])) == 1 {
			if s.asks("tol") {
				return several(nil, float64(r.IDTol))
			}
			return several(nil, float64(r.ID))
		}
		return several(nil, float64(r.ID), float64(r.IDTol))
	}
	outsideOf := func(s *said) (answer, error) {
		r, err := s.dash(t)
		if err != nil {
			return answer{}, err
		}
		return one(gland.OutsideDiameter(r.ID, r.Cord))
	}
	return map[string]func(*said) (answer, error){
		"as568_od": outsideOf, "as568_id_tol": sizeOf, "as568_id": sizeOf,
		"as568_cs":     of(func(r ringsize.Ring) []float64 { return []float64{float64(r.Cord)} }),
		"as568_cs_tol": of(func(r ringsize.Ring) []float64 { return []float64{float64(r.CordTol)} }),
		"as568_count":  count, "as568_last_id": last, "iso3601_class_b_id_tol": classB,
		"identify_dash": func(s *said) (answer, error) {
			return nearestDash(s, t, s.length("measured id", "id"), s.length("cs", "section", "measured cs", "cord"))
		},
	}
}

// nearestDash answers as the rows print it: the dash number with its hyphen as a negative number,
// and measured less nominal in mm where the row prints it.
func nearestDash(s *said, t tables, id, cord unit.Length) (answer, error) {
	f, err := ringsize.Identify(ringsize.Sizes{Rings: t.rings}, []ringsize.Reading{
		{Of: ringsize.Inside, At: id, U: 0.1 * mmU}, {Of: ringsize.Section, At: cord, U: 0.1 * mmU}}, ringsize.Used{})
	if err != nil {
		return answer{}, err
	}
	first := f.Candidates[0]
	n, err := strconv.Atoi(first.Name)
	a := answer{si: []float64{-float64(n), first.ByID.Millimetres()}}
	if len(printed(s.row["expected"])) == 1 {
		a.si = a.si[:1]
	}
	if strings.Contains(s.row["expected"], "tolerance") {
		a.word = "outside the new-ring tolerance"
		if first.New {
			a.word = "inside the new-ring tolerance"
		}
	}
	return a, err
}
