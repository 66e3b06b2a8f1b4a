package main

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"seepwright/kb"
	"seepwright/rules"
	"seepwright/rules/lint"
	"seepwright/rules/load"
	"seepwright/rules/source"
)

// kb judges knowledge and helps to write it.
func (a *app) kb() *cobra.Command {
	c := &cobra.Command{
		Use:   "kb",
		Short: "judge a folder of knowledge, run its cases, write new documents, say what a finding means",
		Args:  cobra.NoArgs,
		RunE:  func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	c.AddCommand(a.kbCheck(), a.kbTest(), a.kbScore(), a.kbLearn(), a.kbNew(), a.kbExplain(), a.kbDiff(), a.kbSchema(), a.kbDocs())
	return c
}

// read gives the built-in knowledge read from its YAML, with the user's folders laid over
// it, and all findings about either. With folders only the findings in them are shown: the
// built-in knowledge is not the user's to mend.
func (a *app) readAll(folders []string) (*rules.Knowledge, source.Findings, error) {
	var places load.Places
	k, bad := kb.Read(&places)
	if bad.Errors() > 0 {
		return nil, bad, nil
	}
	if len(folders) > 0 {
		var list []load.Folder
		for _, f := range folders {
			st, err := os.Stat(f)
			if err != nil {
				return nil, nil, fault(fmt.Errorf("%s: the folder cannot be read: %s", f, reason(err)))
			}
			if !st.IsDir() {
				return nil, nil, fault(fmt.Errorf("%s is a file; give the folder that holds it, such as %s", f, filepath.Dir(f)))
			}
			list = append(list, load.Folder{Name: filepath.ToSlash(filepath.Clean(f)), FS: os.DirFS(f)})
		}
		over, more := load.Overlay(k, list, &places)
		bad = append(bad, more...)
		if more.Errors() > 0 {
			return nil, bad.Sort(), nil
		}
		k = over
	}
	bad = append(bad, lint.Check(k, lint.Options{Places: &places, Calculations: calculations(), Overlaid: len(folders) > 0})...)
	if len(folders) > 0 {
		bad = slices.DeleteFunc(bad, func(f source.Finding) bool { return f.Warning && strings.HasPrefix(f.File, "kb/") })
	}
	return k, bad.Sort(), nil
}

func (a *app) kbCheck() *cobra.Command {
	var format, explain string
	var coverage bool
	c := &cobra.Command{
		Use:     "check [FOLDER ...]",
		Short:   "say all that is wrong in a folder of knowledge, laid over the built-in one",
		Example: "  seepwright kb check\n  seepwright kb check my-shop\n  seepwright kb explain unknown-name",
		RunE: func(_ *cobra.Command, args []string) error {
			if err := oneOf("--format", format, []string{"text", "json"}); err != nil {
				return err
			}
			if explain != "" {
				return a.explain(explain, format)
			}
			k, bad, err := a.readAll(args)
			if err != nil {
				return err
			}
			if format == "json" {
				if bad == nil {
					bad = source.Findings{}
				}
				if err := writeJSON(a.out, bad); err != nil {
					return err
				}
			} else {
				for _, f := range bad {
					line := f.String()
					if f.Warning {
						line = strings.Replace(line, ": ", ": warning: ", 1)
					}
					fmt.Fprintln(a.out, line)
				}
				if coverage && k != nil {
					a.coverage(k)
				}
				fmt.Fprintf(a.out, "%d errors, %d warnings\n", bad.Errors(), len(bad)-bad.Errors())
			}
			if bad.Errors() > 0 {
				return inputFault{fmt.Errorf("%d errors in the knowledge", bad.Errors())}
			}
			return nil
		},
	}
	c.Flags().StringVar(&format, "format", "text", "text or json")
	c.Flags().StringVar(&explain, "explain", "", "say what a code such as unknown-name means, like kb explain")
	c.Flags().BoolVar(&coverage, "coverage", false, "per kind: causes, those with a check that decides, with two solved cases, targets, those with a source, pairs nothing splits, rules, cases")
	return c
}
