package main

import (
	"encoding/json"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"seepwright/cmd/seepwright/interview"
	"seepwright/cmd/seepwright/report"
	"seepwright/kb"
	"seepwright/rules"
	"seepwright/rules/source"
)

// joint lists the kinds of joint, or says all about one.
func (a *app) joint() *cobra.Command {
	var format string
	var folders []string
	c := &cobra.Command{
		Use:   "joint [KIND [CAUSE]]",
		Short: "the kinds of joint; one kind as a page of a handbook; one cause in full",
		Long: "Without a name: the kinds of joint. With a kind: how it seals and fails, what hurts, the looks in\n" +
			"their order, what to measure with which tool and the number, how it goes together, its causes.\n" +
			"With a cause of that kind too: that cause in full, with how each look and cure is done.",
		Example: "  seepwright joint\n  seepwright joint radial-oring\n  seepwright joint radial-oring ring-nicked\n  seepwright joint hose-clamp --format json",
		Args:    cobra.MaximumNArgs(2),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := oneOf("--format", format, []string{"text", "markdown", "json"}); err != nil {
				return err
			}
			if len(args) == 0 {
				return a.jointList(folders, format)
			}
			kind, cause, _ := strings.Cut(args[0], "/")
			if len(args) == 2 {
				cause = args[1]
			}
			k, err := a.knowledge(folders, kind)
			if err != nil {
				return err
			}
			j := k.Joint(kind)
			if j == nil {
				return fault(fmt.Errorf("no joint kind is called %q: %s", kind, orList(source.DidYouMean(kind, kb.Kinds()), kb.Kinds())))
			}
			d := report.JointPage{Joint: j, Causes: k.CausesOf(j.ID), KB: k}
			data, page := d.JSON, d.View
			if cause != "" {
				c := k.Cause(kind + "/" + cause)
				if c == nil {
					var names []string
					for _, c := range d.Causes {
						names = append(names, c.ID)
					}
					return fault(fmt.Errorf("%s has no cause called %q: %s", kind, cause, orList(source.DidYouMean(cause, names), names)))
				}
				data, page = func() any { return d.CauseData(c) }, func() []report.Block { return d.CauseView(c) }
			}
			switch format {
			case "json":
				return writeJSON(a.out, data())
			case "markdown":
				return report.Markdown(a.out, page())
			}
			return report.Text(a.out, page(), a.width())
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
	for _, g := range interview.Groups(k.Joints) {
		blocks = append(blocks, report.Block{Kind: report.Heading, Text: strings.ToUpper(g.Looks[:1]) + g.Looks[1:]})
		for _, j := range g.Kinds {
			blocks = append(blocks, report.Block{Kind: report.Item, Text: j.ID + ": " + j.Title})
		}
	}
	blocks = append(blocks, report.Block{Kind: report.Para, Text: ""})
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
