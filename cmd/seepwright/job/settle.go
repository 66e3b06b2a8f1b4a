package job

import (
	"strings"

	"seepwright/rules/table"
)

// Settling is what may be done about the tightness of a joint after its first heat.
type Settling struct {
	May      string // what may be done once; "" = it is only looked at
	Not      string // what must not be done
	Source   string
	Standing string
}

// lookOnly holds for every kind that the table does not name.
var lookOnly = Settling{Not: "look only, do not nip it up", Source: "method of the retest", Standing: "common practice"}

// Settling reads the table after-first-heat: the first row of the joint's kind whose condition
// is known to hold. What is not known is not tightened.
func (j *Job) Settling(joint string) Settling {
	k := j.kind(joint)
	if k == nil || j.Tables == nil {
		return lookOnly
	}
	t, err := j.Tables.Table("after-first-heat")
	if err != nil {
		return lookOnly
	}
	for _, r := range t.Where(table.Is("kind", k.ID)) {
		if f := r.Text("fact"); f != "" && !oneOf(r.Text("options"), j.value(joint, f)) {
			continue
		}
		return Settling{May: r.Text("may"), Not: r.Text("not"), Source: r.Source(), Standing: r.Standing()}
	}
	return lookOnly
}

func oneOf(options, value string) bool {
	if value == "" {
		return false
	}
	for _, o := range strings.Fields(options) {
		if o == value {
			return true
		}
	}
	return false
}
