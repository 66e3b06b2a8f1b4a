package load

import "seepwright/rules/source"

// change is one overlay document as read.
type change struct {
	verb string
	at   source.Place
	n    *node
}

var verbs = []string{"amend", "replace", "remove", "after"}

func verb(s string) bool {
	for _, v := range verbs {
		if s == v {
			return true
		}
	}
	return false
}

func (r *reader) change(n *node) {
	r.overlay = append(r.overlay, change{n.keys[0].text, n.at, n})
}
