package rules

import "slices"

// index finds documents by id. It is built on first use, because most runs look up few.
type index struct {
	joints      map[string]*Joint
	facts       map[string]*Fact
	checks      map[string]*Check
	causes      map[string]*Cause // KIND/ID; shared causes under shared/ID
	remedies    map[string]*Remedy
	targets     map[string]*Target
	cautions    map[string]*Caution
	stops       map[string]*Stop
	rules       map[string]*Rule
	instruments map[string]*Instrument
}

func byID[T any](list []T, id func(T) string) map[string]T {
	m := make(map[string]T, len(list))
	for _, x := range list {
		m[id(x)] = x
	}
	return m
}

func (k *Knowledge) idx() *index {
	if k.index == nil {
		k.index = &index{
			joints:      byID(k.Joints, func(x *Joint) string { return x.ID }),
			facts:       byID(k.Facts, func(x *Fact) string { return x.ID }),
			checks:      byID(k.Checks, func(x *Check) string { return x.ID }),
			causes:      byID(k.Causes, (*Cause).Ref),
			remedies:    byID(k.Remedies, func(x *Remedy) string { return x.ID }),
			targets:     byID(k.Targets, func(x *Target) string { return x.ID }),
			cautions:    byID(k.Cautions, func(x *Caution) string { return x.ID }),
			stops:       byID(k.Stops, func(x *Stop) string { return x.ID }),
			rules:       byID(k.Rules, func(x *Rule) string { return x.ID }),
			instruments: byID(k.Instruments, func(x *Instrument) string { return x.ID }),
		}
	}
	return k.index
}

// Reindex must be called after the lists were changed.
func (k *Knowledge) Reindex() { k.index = nil }

// Ref is the full name of a cause: KIND/ID, or shared/ID.
func (c *Cause) Ref() string {
	if c.Shared {
		return "shared/" + c.ID
	}
	return c.For + "/" + c.ID
}

// Joint finds a joint kind by id, or nil.
func (k *Knowledge) Joint(id string) *Joint { return k.idx().joints[id] }

// Fact finds a fact by id, or nil.
func (k *Knowledge) Fact(id string) *Fact { return k.idx().facts[id] }

// Check finds a check by id, or nil.
func (k *Knowledge) Check(id string) *Check { return k.idx().checks[id] }

// ActsOn is the chance that a shared cause, where present, makes a joint of this kind leak; 0 where it does not act on the kind.
func (c *Cause) ActsOn(kind string) float64 {
	if !c.Shared || !slices.Contains(c.Joints, kind) {
		return 0
	}
	for _, x := range c.ActsAt {
		if slices.Contains(x.Joints, kind) {
			return x.Acts
		}
	}
	return c.Acts
}

// Spares is the written reason why a shared cause does not act on this kind; empty where there is none.
func (c *Cause) Spares(kind string) string {
	for _, x := range c.NeverAt {
		if slices.Contains(x.Joints, kind) {
			return x.Because
		}
	}
	return ""
}

// Cause finds a cause by its full name KIND/ID (or shared/ID), or nil.
func (k *Knowledge) Cause(ref string) *Cause { return k.idx().causes[ref] }

// Remedy finds a remedy by id, or nil.
func (k *Knowledge) Remedy(id string) *Remedy { return k.idx().remedies[id] }

// Target finds a target by id, or nil.
func (k *Knowledge) Target(id string) *Target { return k.idx().targets[id] }

// Caution finds a caution by id, or nil.
func (k *Knowledge) Caution(id string) *Caution { return k.idx().cautions[id] }

// Stop finds a stop by id, or nil.
func (k *Knowledge) Stop(id string) *Stop { return k.idx().stops[id] }

// Rule finds a rule by id, or nil.
func (k *Knowledge) Rule(id string) *Rule { return k.idx().rules[id] }

// Instrument finds an instrument by id, or nil.
func (k *Knowledge) Instrument(id string) *Instrument { return k.idx().instruments[id] }

// CausesOf lists the causes of one joint kind (not the shared ones), sorted by id.
func (k *Knowledge) CausesOf(kind string) []*Cause {
	var out []*Cause
	for _, c := range k.Causes {
		if c.For == kind && !c.Shared {
			out = append(out, c)
		}
	}
	return out
}

// SharedCauses lists the shared causes, sorted by id.
func (k *Knowledge) SharedCauses() []*Cause {
	var out []*Cause
	for _, c := range k.Causes {
		if c.Shared {
			out = append(out, c)
		}
	}
	return out
}

// Estimate is one figure of the table of our own judgement; ok is false when it is missing.
func (k *Knowledge) Estimate(name string) (x float64, ok bool) {
	for _, e := range k.Estimates {
		if v, found := e.Values[name]; found {
			x, ok = v, true
		}
	}
	return x, ok
}

// Applies reports whether a document limited to these kinds holds for one kind.
func Applies(kinds []string, kind string) bool {
	if len(kinds) == 0 {
		return true
	}
	for _, k := range kinds {
		if k == kind {
			return true
		}
	}
	return false
}
