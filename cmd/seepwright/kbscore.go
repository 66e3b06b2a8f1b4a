package main

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"seepwright/cmd/seepwright/journeys"
	"seepwright/cmd/seepwright/report"
	"seepwright/engine"
	"seepwright/engine/ruletest"
	"seepwright/engine/score"
	"seepwright/rules"
	"seepwright/rules/source"
)

// kbScore says how good the odds were on cases of which the cause is known.
func (a *app) kbScore() *cobra.Command {
	var format, half string
	var folders []string
	var verbose bool
	c := &cobra.Command{
		Use:   "score DIR",
		Short: "say how good the odds are, on a folder of solved cases",
		Long: "Works out every solved case below a folder, in the form of kb/KIND/cases or of real leaks\n" +
			"told with their end, and says how often the proven cause stood in front and what the odds\n" +
			"were worth against the shares alone. A hash of its id puts every case for ever into one of\n" +
			"two halves: mend on one, and see on the other whether it helped.",
		Example: "  seepwright kb score kb\n  seepwright kb score my-cases --half a\n  seepwright kb score my-cases --kb my-shop --format json",
		Args:    cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := oneOf("--format", format, []string{"text", "json"}); err != nil {
				return err
			}
			if err := oneOf("--half", half, []string{"a", "b", "both"}); err != nil {
				return err
			}
			s, err := a.score(args[0], folders, half)
			if err != nil {
				return err
			}
			if format == "json" {
				return writeJSON(a.out, s.JSON())
			}
			return s.Write(a.out, a.width(), verbose)
		},
	}
	c.Flags().StringVar(&format, "format", "text", "text or json")
	c.Flags().StringVar(&half, "half", "both", "a, b or both")
	c.Flags().StringArrayVar(&folders, "kb", nil, "a folder of your own knowledge, laid over the built-in one; may be given again")
	c.Flags().BoolVarP(&verbose, "verbose", "v", false, "also say where each true cause stood")
	return c
}

// score works out the solved cases of a folder.
func (a *app) score(dir string, folders []string, half string) (report.Scored, error) {
	out := report.Scored{Folder: dir, Half: half}
	st, err := os.Stat(dir)
	switch {
	case err != nil:
		return out, fault(fmt.Errorf("%s: the folder cannot be read: %s", dir, reason(err)))
	case !st.IsDir():
		return out, fault(fmt.Errorf("%s is a file; give the folder that holds it, such as %s", dir, filepath.Dir(dir)))
	}
	k, err := a.knowledge(folders)
	if err != nil {
		return out, err
	}
	leaks, bad := journeys.Read(os.DirFS(dir), filepath.ToSlash(filepath.Clean(dir)), k)
	if err := faults(bad); err != nil {
		return out, err
	}
	if half != "both" {
		leaks = slices.DeleteFunc(leaks, func(l journeys.Leak) bool { return score.Half(l.ID) != half })
		if len(leaks) == 0 {
			return out, fault(fmt.Errorf("no case of %s falls into half %s; try --half both", dir, half))
		}
	}
	var cases []*rules.Case
	for _, l := range leaks {
		cases = append(cases, l.Case)
	}
	var unread source.Findings
	for i, w := range ruletest.Work(k, cases) {
		l := leaks[i]
		for _, f := range w.Fails {
			unread = append(unread, source.Finding{Place: l.Place, Code: "case", What: l.ID + ": " + f})
		}
		if len(w.Fails) > 0 {
			continue
		}
		if w.Now.Impossible != "" || w.Before.Impossible != "" {
			out.Cases = append(out.Cases, report.ScoredCase{ID: l.ID, Kind: kindOfLeak(l), Place: l.Place.String(), Half: score.Half(l.ID), Family: l.Family, Unranked: w.Now.Impossible + w.Before.Impossible})
			continue
		}
		var byCause *score.Trial
		if len(l.Causes) > 0 {
			t := causeTrial(l, w)
			byCause = &t
		}
		c := report.ScoredCaseOf(l.ID, kindOfLeak(l), l.Place.String(), l.Family, byCause, familyTrial(l, w))
		out.Cases = append(out.Cases, c.With(ruletest.EachCause(w.Now, kindOfLeak(l), l.Causes)))
	}
	return out, faults(unread)
}

// kindOfLeak is the kind to whose cause a case belongs.
func kindOfLeak(l journeys.Leak) string {
	if len(l.Causes) > 0 {
		kind, _, _ := strings.Cut(l.Causes[0], "/")
		return kind
	}
	return l.For
}

func causeTrial(l journeys.Leak, w ruletest.Worked) score.Trial {
	return score.Trial{Now: ruletest.ByCause(w.Now, l.Causes), Before: ruletest.ByCause(w.Before, l.Causes), Truth: ruletest.TrueCause}
}

// familyTrial counts a class that no cause of the joint has as "not in this knowledge base".
func familyTrial(l journeys.Leak, w ruletest.Worked) score.Trial {
	t := score.Trial{Now: ruletest.ByFamily(w.Now), Before: ruletest.ByFamily(w.Before), Truth: l.Family}
	if t.Now.Rank(t.Truth) == 0 {
		t.Truth = engine.UnknownFamily
	}
	return t
}
