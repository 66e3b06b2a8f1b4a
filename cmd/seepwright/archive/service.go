package archive

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"seepwright/cmd/seepwright/journal"
	"seepwright/rules"
	"seepwright/rules/assembly"
	"seepwright/rules/unit"
)

// Service is a job that comes round.
type Service struct {
	ID      string
	Title   string
	Kinds   []string // of joints that it renews; none: of the whole unit
	Fluid   string   // only where this fluid runs; "": anywhere
	Years   float64  // at the latest after so many
	Minutes float64  // hands-on, without opening
	AgeFact string   // the answer that tells how old it is
	Renews  []string // kinds of remedy that renew it
	With    string   // with what it is done
}

// Turn is one service of one unit.
type Turn struct {
	Service Service
	Unit    string
	Joints  []string
	Last    time.Time // when it was last done; zero: no record says so
	Opens   []Opening // what has to be opened for it
}

// Opening is a step of access and the minutes that it takes there and back.
type Opening struct {
	ID, Title string
	Minutes   float64
}

const year = 365.25 * 24 * float64(time.Hour)

// Due is when it falls due.
func (t Turn) Due() time.Time { return t.Last.Add(time.Duration(t.Service.Years * year)) }

// Turns are the services of a unit, as its cases tell when each was last done: by work that
// renews it at one of its joints, or by an answer that says how old it is. asm is the unit as
// it was last described; fluid is what runs in it; renews tells the kind of a remedy.
func Turns(services []Service, asm *assembly.Assembly, name, fluid string, cases []journal.Line, remedy func(id string) string) []Turn {
	var out []Turn
	for _, s := range services {
		t := Turn{Service: s, Unit: name}
		for _, j := range asm.Joints {
			if slices.Contains(s.Kinds, j.Kind) {
				t.Joints = append(t.Joints, j.ID)
			}
		}
		if s.Fluid != "" && s.Fluid != fluid || len(s.Kinds) > 0 && len(t.Joints) == 0 {
			continue
		}
		t.Opens = openings(asm, t.Joints)
		for _, l := range cases {
			for _, e := range l.Work {
				at := e.At
				switch {
				case e.What == journal.Did && (slices.Contains(t.Joints, e.Joint) || e.Joint == "" && len(asm.Joints) == 1) && slices.ContainsFunc(e.Did, func(id string) bool { return slices.Contains(s.Renews, remedy(id)) }):
				case e.What == journal.Answered && e.Name == s.AgeFact && s.AgeFact != "":
					age, ok := ageOf(e.Value)
					if !ok {
						continue
					}
					at = at.Add(-age)
				default:
					continue
				}
				if at.After(t.Last) {
					t.Last = at
				}
			}
		}
		out = append(out, t)
	}
	return out
}

// ageOf reads an age, without its uncertainty.
func ageOf(v rules.AnswerText) (time.Duration, bool) {
	text, _, _ := strings.Cut(v.Scalar, " by ")
	text, _, _ = strings.Cut(text, "+/-")
	q, err := unit.Parse(strings.TrimSpace(text), unit.TimeDim)
	if err != nil || !(q.SI() >= 0) || q.SI() > 100*year/float64(time.Second) {
		return 0, false
	}
	return time.Duration(q.SI() * float64(time.Second)), true
}

// openings are the steps of access to some joints; to none, draining is all that is known of,
// which every step that uncovers most joints stands for.
func openings(asm *assembly.Assembly, joints []string) []Opening {
	var out []Opening
	put := func(a assembly.Access) {
		if !slices.ContainsFunc(out, func(o Opening) bool { return o.ID == a.ID }) {
			out = append(out, Opening{a.ID, cmp.Or(a.Title, a.ID), a.Off + a.Back})
		}
	}
	for _, j := range joints {
		for _, a := range asm.Path(j) {
			put(a)
		}
	}
	if len(joints) == 0 {
		for _, a := range asm.Access {
			if strings.Contains(a.ID, "drain") || strings.Contains(strings.ToLower(a.Title), "drain") {
				put(a)
			}
		}
	}
	return out
}

// Visit is what is done at a unit in one go.
type Visit struct {
	Unit  string
	At    time.Time
	Turns []Turn
	Sums  []string // for each turn but the first: why it is done with it
}

// Combine puts services of one unit that share an opening into one visit. A job is pulled
// forward when its remaining life is worth less than the opening that is saved: the part of its
// interval that is thrown away, times its minutes, against the minutes of the openings that both
// need. The order is that of their dates; what is overdue counts from now.
// Source: common practice ("pull a job forward when its remaining life is worth less than the
// access hours saved"); the sum is our reading of it.
func Combine(turns []Turn, now time.Time) []Visit {
	list := slices.DeleteFunc(slices.Clone(turns), func(t Turn) bool { return t.Last.IsZero() })
	slices.SortStableFunc(list, func(a, b Turn) int {
		return cmp.Or(cmp.Compare(a.Unit, b.Unit), a.Due().Compare(b.Due()), cmp.Compare(a.Service.ID, b.Service.ID))
	})
	var out []Visit
	used := make([]bool, len(list))
	for i, first := range list {
		if used[i] {
			continue
		}
		v := Visit{Unit: first.Unit, At: first.Due(), Turns: []Turn{first}}
		open := slices.Clone(first.Opens)
		from := v.At
		if from.Before(now) {
			from = now
		}
		for k := i + 1; k < len(list); k++ {
			t := list[k]
			if used[k] || t.Unit != first.Unit {
				continue
			}
			shared := 0.0
			for _, o := range t.Opens {
				if slices.ContainsFunc(open, func(p Opening) bool { return p.ID == o.ID }) {
					shared += o.Minutes
				}
			}
			left := max(0, float64(t.Due().Sub(from))/(t.Service.Years*year))
			worth := left * t.Service.Minutes
			if shared == 0 || worth >= shared {
				continue
			}
			used[k] = true
			v.Turns = append(v.Turns, t)
			v.Sums = append(v.Sums, fmt.Sprintf("due %s: %.0f %% of %s years are left, worth %.0f of its %.0f min; %.0f min of opening are saved", day(t.Due()), 100*left, number(t.Service.Years), worth, t.Service.Minutes, shared))
			for _, o := range t.Opens {
				if !slices.ContainsFunc(open, func(p Opening) bool { return p.ID == o.ID }) {
					open = append(open, o)
				}
			}
		}
		out = append(out, v)
	}
	slices.SortStableFunc(out, func(a, b Visit) int { return cmp.Or(a.At.Compare(b.At), cmp.Compare(a.Unit, b.Unit)) })
	return out
}

func number(x float64) string { return strings.TrimSuffix(fmt.Sprintf("%.1f", x), ".0") }
