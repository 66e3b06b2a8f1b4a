package main

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"seepwright/cmd/seepwright/archive"
	"seepwright/cmd/seepwright/journal"
	"seepwright/rules"
	"seepwright/rules/assembly"
)

func (a *app) caseOutcomes() *cobra.Command {
	var f caseFlags
	c := &cobra.Command{
		Use:   "outcomes",
		Short: "list what cases proved, for kb learn",
		Long: "Writes one line for each proven cause of cases that were closed dry, in the form that kb\n" +
			"learn reads; kb learn --cases does both at once. What is left out is said as a remark.",
		Example: "  seepwright case outcomes > outcomes.yaml\n  seepwright kb learn outcomes.yaml",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			k, err := a.knowledge(nil)
			if err != nil {
				return err
			}
			text, left, err := a.outcomesOf(f.dir, k)
			if err != nil {
				return err
			}
			_, err = fmt.Fprint(a.out, text+left)
			return err
		},
	}
	f.add(c, false)
	return c
}

// outcomesOf reads the outcomes of a folder of cases, and says in remarks what was left out.
func (a *app) outcomesOf(dir string, k *rules.Knowledge) (text, left string, err error) {
	s, err := a.store(dir)
	if err != nil {
		return "", "", fault(err)
	}
	lines, err := s.List()
	if err != nil {
		return "", "", fault(err)
	}
	var list []archive.Outcome
	why := map[string]int{}
	for _, l := range lines {
		if l.Err != nil {
			why["they cannot be read"]++
			continue
		}
		if l.Head.End != journal.Dry {
			why["not closed dry"]++
			continue
		}
		c, err := journal.Open(l.Path)
		if err != nil || c == nil {
			why["they cannot be read"]++
			continue
		}
		more, without := archive.Outcomes(c, k, a.unitOf(c))
		if list = append(list, more...); without != "" {
			why[without]++
		}
	}
	var b strings.Builder
	for _, w := range slices.Sorted(maps.Keys(why)) {
		fmt.Fprintf(&b, "# left out, %s: %d\n", w, why[w])
	}
	return archive.OutcomesFile(list), b.String(), nil
}

// unitOf is the unit of a case; nil where it has none that can be read.
func (a *app) unitOf(c *journal.Case) *assembly.Assembly {
	_, kinds, err := a.overlaid(nil)
	if err != nil {
		return nil
	}
	asm, bad, err := a.assemblyFor(start{}, c.File, kinds)
	if err != nil || bad.Errors() > 0 {
		return nil
	}
	return asm
}
