package main

import (
	"cmp"
	"fmt"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"seepwright/cmd/seepwright/report"
	"seepwright/engine/ruletest"
	"seepwright/kb"
	"seepwright/rules"
	"seepwright/rules/lint"
	"seepwright/rules/load"
	"seepwright/rules/source"
	"seepwright/rules/unit"
)

// builtIn is what the built-in knowledge is called where a folder would stand.
const builtIn = "the built-in knowledge"

// kbDiff says what a folder of knowledge changes in the ranking of solved cases.
func (a *app) kbDiff() *cobra.Command {
	var format, least string
	c := &cobra.Command{
		Use:   "diff [OLD] NEW",
		Short: "say which solved cases rank differently under another folder of knowledge",
		Long: "Works all solved cases out under two folders of knowledge, and says which of them rank\n" +
			"differently: what stands first, and the place and chance of the proven cause, before and\n" +
			"after; and which causes, rules, facts and other documents were added, changed or are gone.\n" +
			"With one folder, OLD is the built-in knowledge. A folder with a document \"estimates\" of its\n" +
			"own is a whole knowledge base; any other is laid over the built-in one.",
		Example: "  seepwright kb diff my-shop\n  seepwright kb diff my-shop-2024 my-shop\n  seepwright kb diff my-shop --least '5 %' --format json",
		Args:    cobra.RangeArgs(1, 2),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := oneOf("--format", format, []string{"text", "json"}); err != nil {
				return err
			}
			q, err := unit.Parse(least, unit.RatioDim)
			if err != nil || q.SI() < 0 || q.SI() > 1 {
				return fmt.Errorf("--least %s: give a percentage such as 1 %%", least)
			}
			if len(args) == 1 {
				args = []string{"", args[0]}
			}
			d, err := a.compare(args[0], args[1], q.SI())
			if err != nil {
				return err
			}
			if format == "json" {
				return writeJSON(a.out, d.JSON())
			}
			return report.Text(a.out, d.View(), a.width())
		},
	}
	c.Flags().StringVar(&format, "format", "text", "text or json")
	c.Flags().StringVar(&least, "least", "1 %", "a chance that moves by less is not told")
	return c
}

func (a *app) compare(first, second string, least float64) (report.Compared, error) {
	old, oldTables, err := a.whole(first)
	if err != nil {
		return report.Compared{}, err
	}
	now, nowTables, err := a.whole(second)
	if err != nil {
		return report.Compared{}, err
	}
	return report.Compared{
		Old: cmp.Or(first, builtIn), New: second, Least: least,
		Documents: load.Differences(old, now), Tables: oldTables.Differing(nowTables),
		Pairs: ruletest.Compare(old, now),
	}, nil
}

// whole is the knowledge that a folder stands for: itself, when it is a knowledge base of its
// own, or the built-in one with the folder laid over; "" is the built-in one.
func (a *app) whole(folder string) (*rules.Knowledge, *kb.Tables, error) {
	if folder != "" {
		if st, err := os.Stat(folder); err == nil && st.IsDir() {
			var places load.Places
			name := filepath.ToSlash(filepath.Clean(folder))
			if k, bad := load.Read(os.DirFS(folder), load.Options{Prefix: name, Places: &places}); len(k.Estimates) > 0 {
				tables := kb.TablesIn(os.DirFS(folder))
				k.Tables = tables
				if bad.Errors() == 0 {
					bad = append(bad, lint.Check(k, lint.Options{Places: &places, Calculations: calculations()})...)
				}
				return k, tables, faults(errorsOf(bad))
			}
		}
		k, bad, err := a.readAll([]string{folder})
		if err == nil {
			err = faults(errorsOf(bad))
		}
		return k, kb.Published(), err
	}
	k, bad := kb.Read(nil)
	return k, kb.Published(), faults(errorsOf(bad))
}

// errorsOf leaves the warnings out, which are for kb check to say.
func errorsOf(bad source.Findings) source.Findings {
	var out source.Findings
	for _, f := range bad.Sort() {
		if !f.Warning {
			out = append(out, f)
		}
	}
	return out
}
