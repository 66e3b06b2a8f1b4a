package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"seepwright/cmd/seepwright/handbook"
	"seepwright/cmd/seepwright/journal"
	"seepwright/kb"
	"seepwright/rules/table"
)

// kbDocs writes the whole knowledge as pages to read.
func (a *app) kbDocs() *cobra.Command {
	var out string
	c := &cobra.Command{
		Use:   "docs [FOLDER ...]",
		Short: "write the whole knowledge as Markdown pages",
		Long: "Writes the whole knowledge, with the folders laid over it, as Markdown pages: one for each\n" +
			"kind of joint, and the facts, checks, remedies, targets, cautions, stops, instruments, rules\n" +
			"and sources, with links between them. Start at README.md. Made again, pages of the last time\n" +
			"are replaced or taken away; a file of another hand is never touched.",
		Example: "  seepwright kb docs --out handbook\n  seepwright kb docs my-shop --out handbook",
		RunE: func(_ *cobra.Command, args []string) error {
			k, bad, err := a.readAll(args)
			if err != nil {
				return err
			}
			if bad.Errors() > 0 {
				return faults(errorsOf(bad))
			}
			var tables []*table.Table
			for _, name := range kb.Published().Names() {
				t, err := kb.Published().Table(name)
				if err != nil {
					return fault(err)
				}
				tables = append(tables, t)
			}
			pages := handbook.Pages(k, tables)
			if err := writePages(pages, out); err != nil {
				return fault(err)
			}
			fmt.Fprintf(a.out, "wrote %d pages into %s; start at %s\n", len(pages), out, filepath.Join(out, "README.md"))
			return nil
		},
	}
	c.Flags().StringVarP(&out, "out", "o", "handbook", "the folder to write into")
	return c
}

// writePages lays the pages in a folder, and takes those away that it wrote before and that
// are no longer there.
func writePages(pages []handbook.Page, dir string) error {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return fmt.Errorf("%s: the folder cannot be made: %s", dir, reason(err))
	}
	old, err := filepath.Glob(filepath.Join(dir, "*.md"))
	if err != nil {
		return err
	}
	stale := map[string]bool{}
	for _, path := range old {
		data, err := os.ReadFile(path)
		if err != nil {
			return fmt.Errorf("%s: the file cannot be read: %s", path, reason(err))
		}
		stale[path] = strings.HasPrefix(string(data), handbook.Mark)
	}
	for _, p := range pages {
		path := filepath.Join(dir, p.Name)
		if ours, there := stale[path]; there && !ours {
			return fmt.Errorf("%s was not written by kb docs; nothing was written. Move it, or give another folder with --out", path)
		}
	}
	for _, p := range pages {
		path := filepath.Join(dir, p.Name)
		delete(stale, path)
		if err := journal.WriteWhole(path, strings.NewReader(p.Text)); err != nil {
			return err
		}
	}
	for path, ours := range stale {
		if ours {
			if err := os.Remove(path); err != nil {
				return err
			}
		}
	}
	return nil
}
