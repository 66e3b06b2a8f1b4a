package main

import (
	"fmt"
	"slices"

	"github.com/spf13/cobra"

	"seepwright/rules/schema"
	"seepwright/rules/source"
)

// kbSchema prints the form of documents for editors.
func (a *app) kbSchema() *cobra.Command {
	var folders []string
	c := &cobra.Command{
		Use:   "schema [KIND | answers | assembly]",
		Short: "print the JSON Schema of documents and of your own files, for completion in an editor",
		Long: "Prints the JSON Schema (draft 7) of one kind of document, or of all kinds and of the\n" +
			"documents that change others; of a file of answers; or of the file of a unit. An editor that\n" +
			"reads it completes fields and marks what has the wrong form while you type; in answers and\n" +
			"units it also knows the names of facts, options, kinds, remedies and tools. What it cannot\n" +
			"see, kb check and diagnose say.",
		Example: "  seepwright kb schema > knowledge.json\n  seepwright kb schema cause\n  seepwright kb schema answers --kb my-shop > answers.json",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			name := ""
			if len(args) == 1 {
				name = args[0]
			}
			if slices.Contains(schema.Forms(), name) {
				k, err := a.knowledge(folders)
				if err != nil {
					return err
				}
				text, err := schema.OfForm(name, k)
				if err != nil {
					return err
				}
				_, err = a.out.Write(text)
				return err
			}
			if len(folders) > 0 {
				return fmt.Errorf("--kb counts for answers and assembly only: the form of documents is the same in every folder")
			}
			if known := append(schema.Kinds(), schema.Forms()...); name != "" && !slices.Contains(known, name) {
				return fmt.Errorf("nothing that has a schema is called %q: %s", name, orList(source.DidYouMean(name, known), known))
			}
			text, err := schema.Of(name)
			if err != nil {
				return err
			}
			_, err = a.out.Write(text)
			return err
		},
	}
	c.Flags().StringArrayVar(&folders, "kb", nil, "a folder of your own knowledge, whose names count too (repeatable)")
	return c
}
