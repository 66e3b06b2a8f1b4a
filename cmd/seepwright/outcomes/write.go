package outcomes

import (
	"fmt"
	"strings"

	"seepwright/engine/learn"
	"seepwright/rules/unit"
)

// Mark is the first line of every file that is written, by which such a file is known again.
const Mark = "# Learned shares, written by seepwright kb learn."

// FileName is the file of a kind.
func FileName(kind string) string { return "learned-" + kind + ".yaml" }

// Number says a count or a percentage as a person writes it.
func Number(x float64) string { return unit.Show(x, 3) }

// Says is the sentence about one share: before, what was seen, after.
func Says(r learn.Row, n, worth float64) string {
	return fmt.Sprintf("%s %% in the knowledge base, worth %s cases; %s of your %s: now %s %%", Number(100*r.Before), Number(worth), Number(r.Count), Number(n), unit.Show(100*r.After, 2))
}

// Files writes one file of amendments for each kind, by file name. after are the folders over
// which the new one is laid.
func Files(groups []learn.Group, worth float64, from string, after []string) map[string]string {
	out := map[string]string{}
	oneLine := strings.Join(strings.Fields(from), " ")
	for i, g := range groups {
		if i > 0 && groups[i-1].Kind == g.Kind {
			continue
		}
		var b strings.Builder
		fmt.Fprintf(&b, "%s\n# From %s, with the shares of the knowledge base worth %s cases. The list is the truth:\n# change it and write again; what is changed here is lost then.\n", Mark, oneLine, Number(worth))
		if len(after) > 0 {
			fmt.Fprintf(&b, "after: [%s]\n---\n", strings.Join(quoted(after), ", "))
		}
		parts := 0
		of := map[string][]string{}  // cause -> share per history
		why := map[string][]string{} // and its sentence
		var ids []string
		for _, h := range groups[i:] {
			if h.Kind != g.Kind {
				break
			}
			if h.N == 0 {
				continue
			}
			for _, r := range h.Rows {
				id := r.Cause.Ref()
				if of[id] == nil {
					ids = append(ids, id)
				}
				of[id] = append(of[id], fmt.Sprintf("%s: %s %%", h.History, unit.Show(100*r.After, 6)))
				why[id] = append(why[id], string(h.History)+": "+Says(r, h.N, worth))
				if len(of[id]) == 1 && r.Cause.Source != "" {
					why[id] = append(why[id], "before that: "+r.Cause.Source)
				}
			}
		}
		for _, id := range ids {
			if parts++; parts > 1 {
				b.WriteString("---\n")
			}
			fmt.Fprintf(&b, "amend: cause %s\nshare: {%s}\nsource: %s\nstanding: estimate\n", id, strings.Join(of[id], ", "), quote(oneLine+"; "+strings.Join(why[id], "; ")))
		}
		if parts > 0 {
			out[FileName(g.Kind)] = b.String()
		}
	}
	return out
}

// quote writes a text in single quotes, as YAML reads it back.
func quote(s string) string {
	return "'" + strings.ReplaceAll(strings.Join(strings.Fields(s), " "), "'", "''") + "'"
}

func quoted(list []string) []string {
	var out []string
	for _, s := range list {
		out = append(out, quote(s))
	}
	return out
}
