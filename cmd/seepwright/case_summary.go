package main

import (
	"fmt"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"seepwright/cmd/seepwright/archive"
	"seepwright/cmd/seepwright/report"
	"seepwright/rules"
)

func (a *app) caseSummary() *cobra.Command {
	var f caseFlags
	var format, since string
	c := &cobra.Command{
		Use:   "summary",
		Short: "what many cases say together: what failed where, how long repairs last",
		Long: "Puts all cases of the folder together: what proved to be wrong at which joint of which\n" +
			"unit, how long repairs last, how many passed when first tried, and minutes spent against\n" +
			"those planned. A repair lasts from its dry closing until the same joint of the same unit\n" +
			"leaks again; one that still holds counts as holding up to today. The files are read each\n" +
			"time, so nothing can be out of date.",
		Example: "  seepwright case summary\n  seepwright case summary --since 2026-01-01 --format json",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if err := oneOf("--format", format, []string{"text", "json"}); err != nil {
				return err
			}
			ask := archive.Asked{Now: a.now()}
			if since != "" {
				t, err := time.ParseInLocation(time.DateOnly, since, time.Local)
				if err != nil {
					return fmt.Errorf("--since %s: write a day, such as 2026-01-31", since)
				}
				ask.Since = t
			}
			s, err := a.store(f.dir)
			if err != nil {
				return fault(err)
			}
			list, err := s.Works()
			if err != nil {
				return fault(err)
			}
			k, err := a.knowledge(nil)
			if err != nil {
				return err
			}
			ask.Planned = func(id string) (float64, bool) {
				r := k.Remedy(id)
				if r == nil {
					return 0, false
				}
				return r.Minutes, r.Minutes > 0
			}
			sum := archive.Summarize(list, ask)
			if format == "json" {
				return writeJSON(a.out, sum)
			}
			_, err = fmt.Fprint(a.out, sum.Text(a.archiveWords(k)))
			return err
		},
	}
	c.Flags().StringVar(&format, "format", "text", "text or json")
	c.Flags().StringVar(&since, "since", "", "only of cases opened on this day or later")
	f.add(c, false)
	return c
}

// archiveWords puts ids into the words of the knowledge base.
func (a *app) archiveWords(k *rules.Knowledge) archive.Words {
	w := caseWords{kb: k}
	titles := map[string]string{}
	for _, j := range k.Joints {
		titles[j.ID] = j.Title
	}
	return archive.Words{
		Kind: func(kind string) string {
			if t := titles[kind]; t != "" {
				return t
			}
			return strings.ReplaceAll(kind, "-", " ")
		},
		Cause: func(kind, cause string) string { return w.cause("", kind, cause) },
		Remedy: func(id string) string {
			if r := k.Remedy(id); r != nil {
				return r.Title
			}
			return strings.ReplaceAll(id, "-", " ")
		},
		Wrap: func(text, lead, pad string) string { return report.Wrap(text, a.width(), len(lead), lead, pad) },
	}
}
