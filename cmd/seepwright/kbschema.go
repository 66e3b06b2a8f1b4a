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
	return &cobra.Command{
		Use:   "schema [KIND]",
		Short: "print the JSON Schema of documents, for completion in an editor",
		Long: "Prints the JSON Schema (draft 7) of one kind of document, or of all kinds and of the\n" +
			"documents that change others. An editor that reads it completes fields and marks what has\n" +
			"the wrong form while you type. What it cannot see, kb check says.",
		Example: "  seepwright kb schema > knowledge.json\n  seepwright kb schema cause",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			kind := ""
			if len(args) == 1 {
				kind = args[0]
				if !slices.Contains(schema.Kinds(), kind) {
					return fmt.Errorf("no kind of document is called %q: %s", kind, orList(source.DidYouMean(kind, schema.Kinds()), schema.Kinds()))
				}
			}
			text, err := schema.Of(kind)
			if err != nil {
				return err
			}
			_, err = a.out.Write(text)
			return err
		},
	}
}
