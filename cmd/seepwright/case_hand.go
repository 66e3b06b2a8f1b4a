package main

import (
	"fmt"
	"maps"
	"slices"

	"github.com/spf13/cobra"

	"seepwright/cmd/seepwright/archive"
	"seepwright/cmd/seepwright/report"
)

func (a *app) caseHandOn() *cobra.Command {
	var f caseFlags
	c := &cobra.Command{
		Use:   "hand-on CASE",
		Short: "copy a case without personal data, to give to others",
		Long: "Writes a copy in which nothing stands that was typed freely: no names, titles, notes,\n" +
			"photos, parts, fluids or own words. Joints and steps of access get new names, and all times\n" +
			"are moved so that the case was opened on 2000-01-01. What was left out is counted on the\n" +
			"error stream. Look at the copy before you pass it on: readings themselves stay.",
		Example: "  seepwright case hand-on pad > pad-to-share.yaml",
		Args:    cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			_, c, err := a.readCase(f, args[0])
			if err != nil {
				return err
			}
			k, err := a.knowledge(nil)
			if err != nil {
				return err
			}
			out, left := archive.HandOn(c, k, a.unitOf(c))
			if _, err := out.WriteTo(a.out); err != nil {
				return fault(err)
			}
			for _, w := range slices.Sorted(maps.Keys(left)) {
				fmt.Fprint(a.err, report.Wrap(fmt.Sprintf("left out: %s: %d", w, left[w]), a.width(), 2, "", "  "))
			}
			return nil
		},
	}
	f.add(c, false)
	return c
}
