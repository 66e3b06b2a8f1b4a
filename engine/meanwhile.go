package engine

// Meanwhile is what may be done about a likely cause until it is mended, and what keeps it
// from coming back.
type Meanwhile struct {
	Joint     string `json:"joint"` // "" for a shared cause
	Cause     string `json:"cause"`
	Title     string `json:"title"`
	Allowed   string `json:"allowed"` // yes | short | no
	Measure   string `json:"measure,omitempty"`
	Limit     string `json:"limit,omitempty"`
	IfIgnored string `json:"if_ignored,omitempty"`
	Prevent   string `json:"prevent,omitempty"`
}

const (
	meanwhileMost  = 2    // causes
	meanwhileLeast = 0.15 // chance of a cause that is worth the words
)

// meanwhile says it for the causes in the lead. Where work is left to others, or has to stop,
// there is no temporary measure, whatever the cause allows.
func (s *Session) meanwhile(r *Result) []Meanwhile {
	out := []Meanwhile{}
	for _, x := range r.Ranking {
		if len(out) == meanwhileMost || x.Probability < meanwhileLeast {
			break
		}
		kind := x.Kind
		if x.Shared {
			kind = "shared"
		}
		c := s.kb.Cause(kind + "/" + x.Cause)
		if c == nil {
			continue // a cause that the knowledge does not have
		}
		m := Meanwhile{Joint: x.Joint, Cause: x.Cause, Title: x.Title, Allowed: c.StopGap.Allowed, Measure: c.StopGap.Measure, Limit: c.StopGap.Limit, IfIgnored: c.IfIgnored, Prevent: c.Prevent}
		if r.Stop != nil || m.Measure == "" {
			m.Allowed, m.Measure, m.Limit = "no", "", ""
		}
		out = append(out, m)
	}
	return out
}
