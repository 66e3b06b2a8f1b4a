package cond

import (
	"math"
	"slices"

	"seepwright/rules/fact"
	"seepwright/rules/unit"
)

// Eval gives the truth of the condition and, when it is unknown, the facts that keep it so.
// The nil condition is true. More knowledge can only turn unknown into true or false.
func (c *Cond) Eval(env Env) Outcome {
	if c == nil || c.root == nil {
		return Outcome{Truth: fact.True}
	}
	return c.root.eval(env)
}

// Truth is the truth that Eval gives, for those who need not know what is lacking: it is
// cheaper where the condition is unknown.
func (c *Cond) Truth(env Env) fact.Truth {
	if c == nil || c.root == nil {
		return fact.True
	}
	return c.root.truth(env)
}

func (j *junction) truth(env Env) fact.Truth {
	settles := fact.False
	if j.word == "or" {
		settles = fact.True
	}
	out := settles.Not()
	for _, p := range j.parts {
		switch p.truth(env) {
		case settles:
			return settles
		case fact.Unknown:
			out = fact.Unknown
		}
	}
	return out
}

func (n *negation) truth(env Env) fact.Truth   { return n.of.truth(env).Not() }
func (c *comparison) truth(env Env) fact.Truth { return c.eval(env).Truth }
func (c *between) truth(env Env) fact.Truth    { return c.eval(env).Truth }
func (a *choice) truth(env Env) fact.Truth     { t, _ := a.decide(env); return t }

// eval of "and": false as soon as one part is false, else unknown with the lacks of all
// unknown parts. "or" mirrors it.
func (j *junction) eval(env Env) Outcome {
	settles := fact.False
	if j.word == "or" {
		settles = fact.True
	}
	out := Outcome{Truth: settles.Not()}
	for _, p := range j.parts {
		switch o := p.eval(env); o.Truth {
		case settles:
			return Outcome{Truth: settles}
		case fact.Unknown:
			out.Truth = fact.Unknown
			for _, l := range o.Lacks {
				out.Lacks = addLack(out.Lacks, l)
			}
		}
	}
	return out
}

// addLack keeps one lack per fact and reason. Of two uncertainties wanted the larger stays,
// because it is the first at which anything changes.
func addLack(list []Lack, l Lack) []Lack {
	for i, have := range list {
		if have.Fact == l.Fact && have.Reason == l.Reason {
			list[i].NeedU = max(have.NeedU, l.NeedU)
			return list
		}
	}
	return append(list, l)
}

func (n *negation) eval(env Env) Outcome {
	o := n.of.eval(env)
	o.Truth = o.Truth.Not()
	return o
}

func unknown(id string, why Reason) Outcome {
	return Outcome{Truth: fact.Unknown, Lacks: []Lack{{Fact: id, Reason: why}}}
}

// get is the value of a fact, or why there is none to work with.
func get(id string, env Env) (fact.Value, Reason) {
	v, ok, contradicted := env.Value(id)
	switch {
	case contradicted:
		return v, Contradicted
	case !ok:
		return v, NotAsked
	case v.State == fact.CantTell:
		return v, CantTell
	case v.State == fact.CantGet:
		return v, CantGet
	}
	return v, ""
}

func (a *choice) eval(env Env) Outcome {
	t, why := a.decide(env)
	if t == fact.Unknown {
		return unknown(a.fact.id, why)
	}
	return Outcome{Truth: t}
}

// decide gives the truth and, when it is unknown, why.
func (a *choice) decide(env Env) (fact.Truth, Reason) {
	v, why := get(a.fact.id, env)
	if why != "" {
		return fact.Unknown, why
	}
	var t fact.Truth
	switch v.Type {
	case fact.YesNo:
		t = fact.Of(a.names("yes") && v.Yes || a.names("no") && !v.Yes)
	case fact.Choice:
		t = fact.Of(a.names(v.Option))
	case fact.Several:
		t = a.among(&v)
	}
	if a.not {
		t = t.Not()
	}
	return t, NotAsked
}

func (a *choice) names(id string) bool {
	return slices.ContainsFunc(a.options, func(o name) bool { return o.id == id })
}

// among: seen is true, seen not to be so is false, the rest nobody asked about.
func (a *choice) among(v *fact.Value) fact.Truth {
	t := fact.False
	for _, o := range a.options {
		switch {
		case slices.Contains(v.Is, o.id):
			return fact.True
		case !slices.Contains(v.Not, o.id):
			t = fact.Unknown
		}
	}
	return t
}

// si is the amount in the SI unit of a dimension. A plain number can only be a ratio, a
// count or a hardness; some spellings ("C", "lb") mean what the dimension makes of them.
func (a amount) si(dim unit.Dimension) (float64, bool) {
	if a.unit.Symbol != "" && a.unit.Dim == dim {
		return a.unit.ToSI(a.number), true
	}
	q, err := unit.Parse(a.text, dim)
	if err != nil || dim == "" {
		return 0, false
	}
	return q.SI(), true
}

// number is the value of a fact that must be a quantity.
func number(id string, env Env) (fact.Measure, Reason) {
	v, why := get(id, env)
	switch {
	case why != "":
		return v.Num, why
	case v.Type != fact.Number || math.IsNaN(v.Num.SI) || math.IsNaN(v.Num.U):
		return v.Num, CantTell
	}
	return v.Num, ""
}

func (c *comparison) eval(env Env) Outcome {
	m, why := number(c.fact.id, env)
	if c.other.id == "" {
		if why != "" {
			return unknown(c.fact.id, why)
		}
		return within(c.fact.id, m, c.sign, c.limit)
	}
	o, why2 := number(c.other.id, env)
	out := Outcome{}
	if why != "" {
		out.Lacks = addLack(out.Lacks, Lack{Fact: c.fact.id, Reason: why})
	}
	if why2 != "" {
		out.Lacks = addLack(out.Lacks, Lack{Fact: c.other.id, Reason: why2})
	}
	if len(out.Lacks) > 0 {
		return out
	}
	if m.Dim != o.Dim {
		return unknown(c.other.id, CantTell)
	}
	out.Truth = compare(m.SI, math.Hypot(m.U, o.U), c.sign, o.SI)
	if out.Truth == fact.Unknown {
		out.Lacks = finer(c.fact.id, m, c.other.id, o)
	}
	return out
}

// finer says how fine each of two measures must be, the other staying as it is; where
// neither alone can settle it, both must share what is left.
func finer(idA string, a fact.Measure, idB string, b fact.Measure) []Lack {
	d := math.Abs(a.SI - b.SI)
	var out []Lack
	alone := func(id string, own, other float64) {
		if own > 0 && d > other {
			out = append(out, Lack{id, TooCoarse, math.Sqrt(d*d - other*other)})
		}
	}
	alone(idA, a.U, b.U)
	alone(idB, b.U, a.U)
	if len(out) == 0 {
		out = []Lack{{idA, TooCoarse, d / math.Sqrt2}, {idB, TooCoarse, d / math.Sqrt2}}
	}
	return out
}

func (c *between) eval(env Env) Outcome {
	m, why := number(c.fact.id, env)
	if why != "" {
		return unknown(c.fact.id, why)
	}
	low, high := within(c.fact.id, m, ">=", c.low), within(c.fact.id, m, "<=", c.high)
	out := Outcome{Truth: low.Truth.And(high.Truth)}
	if out.Truth == fact.Unknown {
		for _, l := range append(low.Lacks, high.Lacks...) {
			out.Lacks = addLack(out.Lacks, l)
		}
	}
	return out
}

func within(id string, m fact.Measure, sign string, limit amount) Outcome {
	l, ok := limit.si(m.Dim)
	if !ok {
		return unknown(id, CantTell)
	}
	t := compare(m.SI, m.U, sign, l)
	if t == fact.Unknown {
		return Outcome{Lacks: []Lack{{id, TooCoarse, math.Abs(m.SI - l)}}}
	}
	return Outcome{Truth: t}
}

// compare follows ISO 14253-1: true or false only where the whole interval x - U to x + U
// lies on one side of the limit. Differences that are only rounding (12.7 mm against
// 0.5 in) count as none.
func compare(x, u float64, sign string, limit float64) fact.Truth {
	d := x - limit
	if math.Abs(d) <= 1e-12*max(math.Abs(x), math.Abs(limit)) {
		d = 0
	}
	var yes, no bool
	switch sign {
	case "<":
		yes, no = d+u < 0, d-u >= 0
	case "<=":
		yes, no = d+u <= 0, d-u > 0
	case ">":
		yes, no = d-u > 0, d+u <= 0
	case ">=":
		yes, no = d-u >= 0, d+u < 0
	case "=":
		yes, no = d == 0 && u == 0, math.Abs(d) > u
	}
	switch {
	case yes:
		return fact.True
	case no:
		return fact.False
	}
	return fact.Unknown
}
