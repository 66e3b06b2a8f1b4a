package main

import (
	"encoding/json"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"seepwright/cmd/seepwright/report"
	"seepwright/kb"
	"seepwright/rules"
)

// joint lists the kinds of joint, or says all about one.
func (a *app) joint() *cobra.Command {
	var format string
	var folders []string
	c := &cobra.Command{
		Use:     "joint [KIND]",
		Short:   "the kinds of joint; one kind: how it seals, its fit checks with targets, its causes",
		Example: "  seepwright joint\n  seepwright joint radial-oring\n  seepwright joint hose-clamp --format json",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := oneOf("--format", format, []string{"text", "markdown", "json"}); err != nil {
				return err
			}
			if len(args) == 0 {
				return a.jointList(folders, format)
			}
			k, err := a.knowledge(folders, args...)
			if err != nil {
				return err
			}
			j := k.Joint(args[0])
			if j == nil {
				return fault(fmt.Errorf("no joint kind is called %q: known are %s", args[0], strings.Join(kb.Kinds(), ", ")))
			}
			d := report.JointPage{Joint: j, Causes: k.CausesOf(j.ID), KB: k}
			switch format {
			case "json":
				return writeJSON(a.out, d.JSON())
			case "markdown":
				return report.Markdown(a.out, d.View())
			}
			return report.Text(a.out, d.View(), a.width())
		},
	}
	c.Flags().StringVar(&format, "format", "text", "text, markdown or json")
	c.Flags().StringArrayVar(&folders, "kb", nil, "a folder of your own knowledge, laid over the built-in one (repeatable)")
	return c
}

func (a *app) jointList(folders []string, format string) error {
	k, err := a.overview(folders)
	if err != nil {
		return err
	}
	if format == "json" {
		type row struct {
			Kind  string `json:"kind"`
			Title string `json:"title"`
			Looks string `json:"looks_like"`
			Case  string `json:"joint_kind"`
		}
		rows := []row{}
		for _, j := range k.Joints {
			rows = append(rows, row{j.ID, j.Title, j.LooksLike, j.CaseKind})
		}
		return writeJSON(a.out, rows)
	}
	var blocks []report.Block
	for _, j := range k.Joints {
		blocks = append(blocks, report.Block{Kind: report.Item, Text: j.ID + ": " + j.Title}, report.Block{Kind: report.Note, Text: j.LooksLike})
	}
	blocks = append(blocks, report.Block{Kind: report.Para, Text: "One kind in full: seepwright joint KIND"})
	if format == "markdown" {
		return report.Markdown(a.out, blocks)
	}
	return report.Text(a.out, blocks, a.width())
}

func writeJSON(w interface{ Write([]byte) (int, error) }, v any) error {
	e := json.NewEncoder(w)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	return e.Encode(v)
}

// facts lists the vocabulary: all that can be answered.
func (a *app) facts() *cobra.Command {
	var kind, format string
	var folders []string
	c := &cobra.Command{
		Use:     "facts",
		Short:   "the vocabulary: what can be answered, allowed values, units, scope, stage",
		Example: "  seepwright facts --joint radial-oring\n  seepwright facts --format json",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if err := oneOf("--format", format, []string{"text", "json"}); err != nil {
				return err
			}
			var kinds []string
			if kind != "" {
				kinds = []string{kind}
			}
			k, err := a.knowledge(folders, kinds...)
			if err != nil {
				return err
			}
			var list []*rules.Fact
			for _, f := range k.Facts {
				if kind == "" || rules.Applies(f.For, kind) {
					list = append(list, f)
				}
			}
			if format == "json" {
				return writeJSON(a.out, report.FactRows(list))
			}
			return report.Text(a.out, report.FactList(list), a.width())
		},
	}
	c.Flags().StringVar(&kind, "joint", "", "only what can be said of this kind of joint")
	c.Flags().StringVar(&format, "format", "text", "text or json")
	c.Flags().StringArrayVar(&folders, "kb", nil, "a folder of your own knowledge, laid over the built-in one (repeatable)")
	return c
}
