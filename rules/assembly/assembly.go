// Package assembly holds the user's own unit: its joints, how they stand to each other, and
// what it costs to get at them. It reads and writes that from YAML.
// It knows nothing of causes and concludes nothing.
package assembly

import (
	"slices"

	"seepwright/rules"
	"seepwright/rules/source"
)

// Assembly is one unit with its joints.
type Assembly struct {
	Title   string
	Place   source.Place
	Joints  []Joint
	Access  []Access
	Answers map[string]rules.AnswerText // facts of the whole assembly (fluid, pressure ...)
	Tools   []string                    // instruments the person has; empty = not said
	Ready   []string                    // parts in hand
}

// Joint is one joint of the unit.
type Joint struct {
	ID        string
	Kind      string // a joint kind, or "unknown"
	Title     string
	Like      string   // joints with the same word here are twins
	Circuit   string   // what runs in it
	Above     []string // joints above it whose liquid would run here
	BlownFrom []string // joints from which wind or a fan blows liquid here
	LastWork  string   // remade | disturbed | untouched
	Leaked    string   // leaked before: yes | no | ""
	Answers   map[string]rules.AnswerText
	Place     source.Place
}

// Access is a shared step of getting there: paid once, uncovers joints.
type Access struct {
	ID       string
	Title    string
	Off      float64  // minutes to take off
	Back     float64  // minutes to put back
	Needs    []string // access steps that come before
	Uncovers []string // joints that can be reached once this is done
	Place    source.Place
}

// Joint finds a joint by id.
func (a *Assembly) Joint(id string) (Joint, bool) {
	for _, j := range a.Joints {
		if j.ID == id {
			return j, true
		}
	}
	return Joint{}, false
}

// IDs lists the ids of all joints in their order.
func (a *Assembly) IDs() []string {
	out := make([]string, len(a.Joints))
	for i, j := range a.Joints {
		out[i] = j.ID
	}
	return out
}

// Kinds lists the joint kinds of the assembly, sorted, each once.
func (a *Assembly) Kinds() []string {
	var out []string
	for _, j := range a.Joints {
		if !slices.Contains(out, j.Kind) {
			out = append(out, j.Kind)
		}
	}
	slices.Sort(out)
	return out
}

// Twins lists the other joints that are like this one.
func (a *Assembly) Twins(id string) []string {
	j, ok := a.Joint(id)
	if !ok || j.Like == "" {
		return nil
	}
	var out []string
	for _, o := range a.Joints {
		if o.ID != id && o.Like == j.Like && o.Kind == j.Kind {
			out = append(out, o.ID)
		}
	}
	return out
}

// Path lists the access steps that must be done to reach a joint, outermost first.
func (a *Assembly) Path(joint string) []Access {
	var out []Access
	seen := map[string]bool{}
	var add func(id string)
	add = func(id string) {
		for _, s := range a.Access {
			if s.ID == id && !seen[id] {
				seen[id] = true
				for _, n := range s.Needs {
					add(n)
				}
				out = append(out, s)
			}
		}
	}
	for _, s := range a.Access {
		if slices.Contains(s.Uncovers, joint) {
			add(s.ID)
		}
	}
	return out
}

// Single is an assembly of one joint of the given kind.
func Single(kind string) *Assembly {
	return &Assembly{Title: "one joint", Joints: []Joint{{ID: "joint", Kind: kind, Title: "the joint"}}}
}
