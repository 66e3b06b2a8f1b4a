package main

import (
	"errors"
	"fmt"
	"io"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"seepwright/cmd/seepwright/journal"
	"seepwright/cmd/seepwright/outcomes"
	"seepwright/cmd/seepwright/report"
	"seepwright/engine/learn"
)

// kbLearn brings the shares nearer to one's own confirmed outcomes.
func (a *app) kbLearn() *cobra.Command {
	var format, dir, from string
	var cases bool
	var folders []string
	var weight float64
	c := &cobra.Command{
		Use:   "learn [OUTCOMES.yaml]",
		Short: "bring the shares nearer to your own confirmed causes",
		Long: "Reads a list of confirmed causes and says what they make of the shares:\n" +
			"(s x share + yours) / (s + all of yours), where s is how many cases the share of the\n" +
			"knowledge base is worth. Several causes treated together each count with the chance that\n" +
			"they were it. Write down every case, not only the ones that surprised you.\n" +
			"With --cases the list is read from the records of cases that were closed dry.\n" +
			"Nothing is written without --write. The list is the truth: writing again counts nothing twice.",
		Example: "  seepwright kb learn outcomes.yaml\n  seepwright kb learn outcomes.yaml --weight 50\n  seepwright kb learn outcomes.yaml --write my-shares\n  seepwright kb learn --cases",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			if cases == (len(args) == 1) {
				return errors.New("what is to be learnt from? name a list of outcomes, or give --cases")
			}
			if from != "" && !cases {
				return errors.New("--dir belongs to --cases")
			}
			if err := oneOf("--format", format, []string{"text", "json"}); err != nil {
				return err
			}
			if c.Flags().Changed("weight") && !(weight > 0 && weight <= 1e6) {
				return fmt.Errorf("--weight %v: give a number of cases above 0, such as 20", weight)
			}
			for _, f := range folders {
				if dir != "" && filepath.Clean(f) == filepath.Clean(dir) {
					return fmt.Errorf("--write %s: keep learned shares in a folder of their own, beside %s", dir, f)
				}
				if old, _ := filepath.Glob(filepath.Join(f, outcomes.FileName("*"))); len(old) > 0 {
					return fault(fmt.Errorf("%s was learned from outcomes already, and they would count twice: leave this folder out, and keep learned shares in a folder of their own", old[0]))
				}
			}
			l, left, err := a.learn(args, from, folders, weight)
			if err != nil {
				return err
			}
			if dir != "" {
				if err := write(&l, dir, folders); err != nil {
					return fault(err)
				}
			}
			if format == "json" {
				return writeJSON(a.out, l.JSON())
			}
			if err := report.Text(a.out, l.View(), a.width()); err != nil {
				return err
			}
			_, err = fmt.Fprint(a.out, left)
			return err
		},
	}
	c.Flags().StringVar(&format, "format", "text", "text or json")
	c.Flags().StringVar(&dir, "write", "", "write the new shares into this folder of yours")
	c.Flags().StringArrayVar(&folders, "kb", nil, "a folder of your own knowledge, laid over the built-in one; may be given again")
	c.Flags().BoolVar(&cases, "cases", false, "learn from the records of cases that were closed dry")
	c.Flags().StringVar(&from, "dir", "", "the folder of cases")
	c.Flags().Float64Var(&weight, "weight", 0, "how many cases the shares are worth (if not given, as many as the estimate\nshares-worth-cases of the knowledge base says)")
	return c
}

// learn reads a list of outcomes, or where none is named the records of a folder, and says in
// remarks what of these was left out.
func (a *app) learn(args []string, from string, folders []string, weight float64) (l report.Learned, left string, err error) {
	k, err := a.knowledge(folders)
	if err != nil {
		return l, "", err
	}
	name := "the records of cases"
	var in io.Reader
	if len(args) == 1 {
		name = args[0]
		f, err := os.Open(name)
		if err != nil {
			return l, "", fault(fmt.Errorf("%s: the file cannot be read: %s", name, reason(err)))
		}
		defer f.Close()
		in = f
	} else {
		text, without, err := a.outcomesOf(from, k)
		if err != nil {
			return l, "", err
		}
		if text == "" {
			return l, "", fault(errors.New("no case was closed dry with a cause that can be learnt from\n" + strings.TrimSpace(without)))
		}
		in, left = strings.NewReader(text), without
	}
	list, bad := outcomes.Read(in, name, k)
	if err := faults(bad); err != nil {
		return l, "", err
	}
	if weight == 0 {
		weight = learn.WorthOf(k)
	}
	groups, err := learn.Learn(k, list.Outcomes, weight)
	return report.Learned{From: name, Worth: weight, Groups: groups, Aside: list.Aside, Says: outcomes.Says}, left, fault(err)
}

// write lays the shares in a folder. Files that it wrote for kinds of which the list no longer
// speaks go; a file of another hand is never touched.
func write(l *report.Learned, dir string, folders []string) error {
	files := outcomes.Files(l.Groups, l.Worth, filepath.Base(l.From), folders)
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	old, err := filepath.Glob(filepath.Join(dir, outcomes.FileName("*")))
	if err != nil {
		return err
	}
	for _, path := range old {
		data, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		if !strings.HasPrefix(string(data), outcomes.Mark) {
			return fmt.Errorf("%s was not written by kb learn; nothing was written. Rename it, or give another folder", path)
		}
	}
	for _, path := range old {
		if _, again := files[filepath.Base(path)]; !again {
			if err := os.Remove(path); err != nil {
				return err
			}
			l.Wrote = append(l.Wrote, "removed "+path)
		}
	}
	for _, name := range slices.Sorted(maps.Keys(files)) {
		path := filepath.Join(dir, name)
		if err := journal.WriteWhole(path, strings.NewReader(files[name])); err != nil {
			return err
		}
		l.Wrote = append(l.Wrote, "wrote "+path)
	}
	l.Use = "seepwright diagnose"
	for _, f := range append(slices.Clone(folders), dir) {
		l.Use += " --kb " + f
	}
	return nil
}
