package main

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"seepwright/engine/ruletest"
	"seepwright/rules"
	"seepwright/rules/lint"
	"seepwright/rules/source"
)

func (a *app) kbTest() *cobra.Command {
	var verbose, thorough bool
	c := &cobra.Command{
		Use:   "test [FOLDER ...]",
		Short: "run the tests of all rules and the solved cases of all causes",
		Long: "Runs the tests of all rules and the solved cases of all causes. With --thorough it also\n" +
			"drops and flips every sign and names those that no solved case feels, and names the\n" +
			"cases that are too easy to prove anything: of the folders, or else of all knowledge.",
		Example: "  seepwright kb test\n  seepwright kb test my-shop\n  seepwright kb test my-shop --thorough",
		RunE: func(_ *cobra.Command, args []string) error {
			k, bad, err := a.readAll(args)
			if err != nil {
				return err
			}
			if bad.Errors() > 0 {
				return faults(bad)
			}
			tests, cases := ruletest.Rules(k), ruletest.Cases(k)
			failed := 0
			for _, r := range slices.Concat(tests, cases) {
				if verbose && r.Passed() && r.Rank > 0 {
					fmt.Fprintf(a.out, "%s: %s: stands at %d with %.0f %%\n", r.Place, r.Name, r.Rank, 100*r.P)
				}
				for _, f := range r.Fails {
					fmt.Fprintf(a.out, "%s: %s: %s\n", r.Place, r.Name, f)
				}
				if !r.Passed() {
					failed++
				}
			}
			if thorough {
				if err := a.thorough(k, len(args) > 0); err != nil {
					return fault(err)
				}
			}
			a.tally(k, tests, cases)
			if failed > 0 {
				return inputFault{fmt.Errorf("%d cases failed", failed)}
			}
			return nil
		},
	}
	c.Flags().BoolVarP(&verbose, "verbose", "v", false, "say where each true cause stood")
	c.Flags().BoolVar(&thorough, "thorough", false, "also name signs that no case feels, and cases that are too easy")
	return c
}

// tally writes how many passed, by kind and in all.
func (a *app) tally(k *rules.Knowledge, tests, cases []ruletest.Report) {
	count := func(list []ruletest.Report, kind string, of func(ruletest.Report) bool) int {
		n := 0
		for _, r := range list {
			if (kind == "" || r.Kind == kind) && of(r) {
				n++
			}
		}
		return n
	}
	passed := ruletest.Report.Passed
	failed := func(r ruletest.Report) bool { return !r.Passed() }
	first := func(r ruletest.Report) bool { return r.Rank == 1 }
	w := columns(a.out)
	fmt.Fprintln(w, kindColumn("kind")+"\trule tests\tfailed\tcases\tfailed\tcause first\t")
	for _, kind := range kindsAndShared(k) {
		fmt.Fprintf(w, "%s\t%d\t%d\t%d\t%d\t%d\t\n", kindColumn(kind), count(tests, kind, passed), count(tests, kind, failed), count(cases, kind, passed), count(cases, kind, failed), count(cases, kind, first))
	}
	w.Flush()
	fmt.Fprintf(a.out, "tests of rules: %d passed, %d failed\n", count(tests, "", passed), count(tests, "", failed))
	fmt.Fprintf(a.out, "solved cases: %d passed, %d failed\n", count(cases, "", passed), count(cases, "", failed))
}

// columns lines up numbers on the right; kindColumn keeps the names before them on the left.
func columns(w io.Writer) *tabwriter.Writer {
	return tabwriter.NewWriter(w, 0, 8, 2, ' ', tabwriter.AlignRight)
}

func kindColumn(kind string) string { return fmt.Sprintf("%-14s", kind) }

func kindsAndShared(k *rules.Knowledge) []string {
	var out []string
	for _, j := range k.Joints {
		out = append(out, j.ID)
	}
	return append(out, ruletest.Shared)
}

// thorough says what the cases are worth. It warns and fails nothing.
func (a *app) thorough(k *rules.Knowledge, own bool) error {
	shown := func(p source.Place) bool { return !own || !strings.HasPrefix(p.File, "kb/") }
	demands, err := ruletest.Demands(k)
	if err != nil {
		return err
	}
	for _, d := range demands {
		switch {
		case d.Place.File == "" && !own: // asked of all cases of a kind
			fmt.Fprintf(a.out, "warning: %s\n", d)
		case d.Place.File != "" && shown(d.Place):
			fmt.Fprintf(a.out, "%s: warning: %s\n", d.Place, d)
		}
	}
	mutants, err := ruletest.Mutate(k, func(c *rules.Cause) bool {
		return shown(c.Place) || slices.ContainsFunc(c.Signs, func(s rules.Sign) bool { return s.Place.File != "" && shown(s.Place) })
	})
	if err != nil {
		return err
	}
	silent := 0
	for _, m := range mutants {
		if m.Felt == "" {
			silent++
			fmt.Fprintf(a.out, "%s: warning: no solved case feels it (%d know the fact): %s\n", m.Place, m.Cases, m)
		}
	}
	fmt.Fprintf(a.out, "signs dropped or flipped: %d times, felt by a solved case %d times\n", len(mutants), len(mutants)-silent)
	return nil
}

// coverage writes what is there for each kind, and what is lacking.
func (a *app) coverage(k *rules.Knowledge) {
	rows := lint.Coverage(k)
	w := columns(a.out)
	fmt.Fprintln(w, kindColumn("kind")+"\tcauses\tdecided\ttwice\ttargets\tsourced\tunsplit\trules\tcases\t")
	for _, r := range rows {
		fmt.Fprintf(w, "%s\t%d\t%d\t%d\t%d\t%d\t%d\t%d\t%d\t\n", kindColumn(r.Kind), r.Causes, r.Decided, r.Twice, r.Targets, r.Sourced, len(r.Unsplit), r.Rules, r.Cases)
	}
	w.Flush()
	for _, r := range rows {
		for _, id := range r.Unsolved {
			fmt.Fprintf(a.out, "%s/%s has no solved case\n", r.Kind, id)
		}
		for _, pair := range r.Unsplit {
			fmt.Fprintf(a.out, "%s: nothing tells %s apart\n", r.Kind, pair)
		}
		for _, id := range r.Untested {
			fmt.Fprintf(a.out, "the rule %s has no tests\n", id)
		}
	}
}
