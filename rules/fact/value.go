package fact

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"seepwright/rules/unit"
)

// Type is the kind of answer a fact takes.
type Type string

// The answer types. Choice is exactly one of the options, Several any number of them.
const (
	YesNo    Type = "yes-no"
	Choice   Type = "choice"
	Several  Type = "several"
	Number   Type = "quantity"
	Clock    Type = "clock"
	Readings Type = "readings"
)

// Types lists the answer types in the order in which they are explained to authors.
func Types() []Type { return []Type{YesNo, Choice, Several, Number, Clock, Readings} }

// State tells a real answer from the two ways of having none.
type State string

// A value is Known, or the person cannot tell, or cannot get at it. Neither of the last two
// is evidence; they only stop the same question from being asked again.
const (
	Known    State = "known"
	CantTell State = "cant-tell"
	CantGet  State = "cant-get-at"
)

// Measure is a number with its expanded uncertainty U (k = 2), both in SI.
type Measure struct {
	SI         float64        `json:"si"`
	U          float64        `json:"u"`
	Dim        unit.Dimension `json:"dimension"`
	Unit       string         `json:"unit,omitempty"`       // the unit it was given in; shown again in it
	Instrument string         `json:"instrument,omitempty"` // id of the instrument, when one was named
}

// Shown is the number in the unit it was given in, or in the standard unit.
func (m Measure) Shown() unit.Quantity {
	u, ok := unit.ByName(m.Unit)
	if !ok || u.Dim != m.Dim {
		u = unit.Standard(m.Dim)
	}
	return unit.FromSI(m.SI, u)
}

// ShownU is the uncertainty in the same unit as Shown.
func (m Measure) ShownU() float64 { return m.U / m.Shown().Unit.Factor }

// String shows no digit that the instrument could not give.
func (m Measure) String() string {
	q := m.Shown()
	u := m.ShownU()
	if u <= 0 {
		return q.String()
	}
	places := 0
	if e := math.Floor(math.Log10(u)); e < 1 {
		places = int(1 - e)
	}
	places = min(places, 6)
	text := fmt.Sprintf("%.*f", places, q.Number)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	name := q.Unit.Symbol
	if name == "1" || name == "off" {
		name = ""
	} else {
		name = " " + name
	}
	return fmt.Sprintf("%s%s ± %s", text, name, unit.Show(u, 1))
}

// Reading is one of a row, with the place where it was taken: a clock position ("3:00"),
// an angle ("90 deg"), a place on the face ("20 mm, 35 mm"), or nothing.
type Reading struct {
	At string `json:"at,omitempty"`
	Measure
}

// Value is one answer or one conclusion.
type Value struct {
	Type   Type      `json:"type"`
	State  State     `json:"state"`
	Yes    bool      `json:"yes,omitempty"`
	Option string    `json:"option,omitempty"` // Choice
	Is     []string  `json:"is,omitempty"`     // Several: seen, sorted
	Not    []string  `json:"not,omitempty"`    // Several: seen not to be so, sorted
	Num    Measure   `json:"num,omitzero"`     // Number
	Hour   float64   `json:"hour,omitempty"`   // Clock: 0 < Hour <= 12
	From   string    `json:"from,omitempty"`   // Clock: seen from where
	Rows   []Reading `json:"rows,omitempty"`   // Readings
}

// Yes and its companions make values.
func MakeYesNo(yes bool) Value { return Value{Type: YesNo, State: Known, Yes: yes} }

// MakeChoice is the answer "this one of the options".
func MakeChoice(option string) Value { return Value{Type: Choice, State: Known, Option: option} }

// MakeSeveral is the answer "these were seen, those were not"; the rest stays unknown.
func MakeSeveral(is, not []string) Value {
	is, not = slices.Clone(is), slices.Clone(not)
	slices.Sort(is)
	slices.Sort(not)
	return Value{Type: Several, State: Known, Is: slices.Compact(is), Not: slices.Compact(not)}
}

// MakeNumber is a measured or computed quantity.
func MakeNumber(m Measure) Value { return Value{Type: Number, State: Known, Num: m} }

// MakeClock is a clock position seen from a named side.
func MakeClock(hour float64, from string) Value {
	return Value{Type: Clock, State: Known, Hour: hour, From: from}
}

// MakeReadings is a row of readings.
func MakeReadings(rows []Reading) Value { return Value{Type: Readings, State: Known, Rows: rows} }

// None is an answer without knowledge: CantTell or CantGet.
func None(t Type, s State) Value { return Value{Type: t, State: s} }

// Answered reports whether the value carries knowledge.
func (v Value) Answered() bool { return v.State == Known }

// Same reports whether two values say the same thing, uncertainty and units included.
func (v Value) Same(o Value) bool {
	return v.Type == o.Type && v.State == o.State && v.Yes == o.Yes && v.Option == o.Option &&
		slices.Equal(v.Is, o.Is) && slices.Equal(v.Not, o.Not) && v.Num == o.Num &&
		v.Hour == o.Hour && v.From == o.From && slices.Equal(v.Rows, o.Rows)
}

// Clash reports whether both values carry knowledge and cannot both be true. Two numbers
// clash when their intervals do not meet.
func (v Value) Clash(o Value) bool {
	if !v.Answered() || !o.Answered() || v.Type != o.Type {
		return false
	}
	switch v.Type {
	case YesNo:
		return v.Yes != o.Yes
	case Choice:
		return v.Option != o.Option
	case Several:
		return meet(v.Is, o.Not) || meet(v.Not, o.Is)
	case Number:
		return math.Abs(v.Num.SI-o.Num.SI) > v.Num.U+o.Num.U
	}
	return false
}

func meet(a, b []string) bool {
	return slices.ContainsFunc(a, func(s string) bool { return slices.Contains(b, s) })
}

// String shows a value as a person would say it (option ids, not titles).
func (v Value) String() string {
	switch v.State {
	case CantTell:
		return "can't tell"
	case CantGet:
		return "can't get at it"
	}
	switch v.Type {
	case YesNo:
		if v.Yes {
			return "yes"
		}
		return "no"
	case Choice:
		return v.Option
	case Several:
		s := strings.Join(v.Is, ", ")
		if len(v.Not) > 0 {
			if s != "" {
				s += "; "
			}
			s += "not " + strings.Join(v.Not, ", not ")
		}
		return s
	case Number:
		return v.Num.String()
	case Clock:
		minutes := int(math.Round(v.Hour * 60))
		h := (minutes/60+11)%12 + 1 // half an hour past the top is 12:30
		s := fmt.Sprintf("%d:%02d o'clock", h, minutes%60)
		if v.From != "" {
			s += " seen from " + v.From
		}
		return s
	case Readings:
		parts := make([]string, len(v.Rows))
		for i, r := range v.Rows {
			parts[i] = r.Measure.Shown().String()
			if r.At != "" {
				parts[i] = r.At + " " + parts[i]
			}
		}
		return strings.Join(parts, "; ")
	}
	return ""
}

// Scope tells how far one answer reaches.
type Scope string

// The scopes. A LikeJoints answer holds for all joints of the same `like` group unless one
// of them has an answer of its own.
const (
	JointScope Scope = "joint"
	LikeJoints Scope = "like-joints"
	Circuit    Scope = "circuit"
	Assembly   Scope = "assembly"
	Job        Scope = "job"
)

// Scopes lists the scopes from the narrowest to the widest.
func Scopes() []Scope { return []Scope{JointScope, LikeJoints, Circuit, Assembly, Job} }

// Key names one fact of one place: the joint id for scope joint and like-joints,
// "circuit:NAME" for a circuit, "" for assembly and job.
type Key struct {
	Joint string `json:"joint,omitempty"`
	Fact  string `json:"fact"`
}

func (k Key) String() string {
	if k.Joint == "" {
		return k.Fact
	}
	return k.Joint + "/" + k.Fact
}
