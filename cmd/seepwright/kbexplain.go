package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"seepwright/cmd/seepwright/report"
	"seepwright/rules/lint"
	"seepwright/rules/source"
)

// kbExplain says what a finding of kb check means and how to mend it.
func (a *app) kbExplain() *cobra.Command {
	var format string
	c := &cobra.Command{
		Use:   "explain [CODE]",
		Short: "say what a finding means, with an example and its mending",
		Long: "Says what a finding of kb check means: the word in square brackets at the end of its line.\n" +
			"Without a word, lists all of them.",
		Example: "  seepwright kb explain unknown-name\n  seepwright kb explain",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := oneOf("--format", format, []string{"text", "json"}); err != nil {
				return err
			}
			if len(args) == 0 {
				return a.explainAll(format)
			}
			return a.explain(args[0], format)
		},
	}
	c.Flags().StringVar(&format, "format", "text", "text or json")
	return c
}

func (a *app) explain(name, format string) error {
	p, ok := lint.PageOf(strings.Trim(name, "[]"))
	if !ok {
		var names []string
		for _, c := range lint.Codes() {
			names = append(names, c.Name)
		}
		return fmt.Errorf("no finding has the code %q: %s", name, orList(source.DidYouMean(name, names), names))
	}
	if format == "json" {
		return writeJSON(a.out, report.ExplainedOf(p))
	}
	return report.Explain(a.out, p, a.width())
}

func (a *app) explainAll(format string) error {
	list := []report.Explained{}
	for _, c := range lint.Codes() {
		p, _ := lint.PageOf(c.Name)
		list = append(list, report.ExplainedOf(p))
	}
	if format == "json" {
		return writeJSON(a.out, list)
	}
	var blocks []report.Block
	for _, p := range list {
		blocks = append(blocks, report.Block{Kind: report.Item, Text: p.Code + " (" + p.Weight + "): " + report.FirstSentence(p.Means)})
	}
	return report.Text(a.out, blocks, a.width())
}
