package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"

	"github.com/spf13/cobra"

	"seepwright/cmd/seepwright/archive"
	"seepwright/cmd/seepwright/journal"
)

func (a *app) caseExport() *cobra.Command {
	var f caseFlags
	var all, single bool
	var format string
	c := &cobra.Command{
		Use:   "export [CASE]",
		Short: "write a case as JSON, or all as a table",
		Long: "Writes one case as JSON, with the keys that its file has; or with --all a table (CSV,\n" +
			"UTF-8, commas) with one line a case, or with --readings one line a reading. In a table a\n" +
			"text that begins with = + - or @ gets an apostrophe before it, so that no spreadsheet takes\n" +
			"it for a formula. Names and notes are in it: seepwright case hand-on leaves them out.",
		Example: "  seepwright case export pad > pad.json\n  seepwright case export --all > cases.csv\n  seepwright case export --all --readings > readings.csv",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			if all == (len(args) == 1) {
				return errors.New("which case? name one, or give --all")
			}
			if format == "" {
				format = "json"
				if all || single {
					format = "csv"
				}
			}
			if err := oneOf("--format", format, []string{"json", "csv"}); err != nil {
				return err
			}
			if single && format != "csv" {
				return errors.New("--readings is a table: leave --format out, or give --format csv")
			}
			s, err := a.store(f.dir)
			if err != nil {
				return fault(err)
			}
			var list []journal.Line
			if all {
				if list, err = s.Works(); err != nil {
					return fault(err)
				}
			} else {
				path, err := s.Find(args[0])
				if err != nil {
					return fault(err)
				}
				l, err := journal.Work(path)
				if err != nil {
					return fault(journal.Offer(path, err))
				}
				list = []journal.Line{l}
			}
			return a.export(list, format, single, all)
		},
	}
	c.Flags().BoolVar(&all, "all", false, "all cases of the folder")
	c.Flags().BoolVar(&single, "readings", false, "a table of readings, one a line")
	c.Flags().StringVar(&format, "format", "", "json or csv (default: json for one case, csv for a table)")
	f.add(c, false)
	return c
}

// export writes cases. Those that cannot be read are told at the end, when all others are
// written.
func (a *app) export(list []journal.Line, format string, single, all bool) error {
	var bad []error
	open := func(l journal.Line) *journal.Case {
		if l.Err != nil {
			bad = append(bad, l.Err)
			return nil
		}
		c, err := journal.Open(l.Path)
		if err == nil && c == nil {
			err = fmt.Errorf("%s is gone", l.Path)
		}
		if err != nil {
			bad = append(bad, err)
			return nil
		}
		c.Head = l.Head // also of a file that has none
		return c
	}
	var err error
	switch {
	case format == "csv" && !single:
		for _, l := range list {
			if l.Err != nil {
				bad = append(bad, l.Err)
			}
		}
		err = archive.CSV(a.out, list)
	case format == "csv":
		add := archive.Readings(a.out)
		for _, l := range list {
			if c := open(l); c != nil && err == nil {
				err = add(c)
			}
		}
	default:
		err = a.exportJSON(list, open, all)
	}
	if err != nil {
		return fault(err)
	}
	if len(bad) > 0 {
		return fault(fmt.Errorf("%d of %d cases cannot be read and are left out:\n%w", len(bad), len(list), errors.Join(bad...)))
	}
	return nil
}

func (a *app) exportJSON(list []journal.Line, open func(journal.Line) *journal.Case, all bool) error {
	lead := "[\n"
	for _, l := range list {
		c := open(l)
		if c == nil {
			continue
		}
		data, err := archive.JSON(c)
		if err != nil {
			return fmt.Errorf("%s: %w", l.Path, err)
		}
		if all {
			data = append([]byte(lead), bytes.TrimRight(data, "\n")...)
			lead = ",\n"
		}
		if _, err := a.out.Write(data); err != nil {
			return err
		}
	}
	if !all {
		return nil
	}
	if lead == "[\n" {
		_, err := fmt.Fprint(a.out, "[]\n")
		return err
	}
	_, err := fmt.Fprint(a.out, "\n]\n")
	return err
}

func (a *app) caseImport() *cobra.Command {
	c := &cobra.Command{
		Use:   "import",
		Short: "take over readings or a case from elsewhere",
		Args:  cobra.NoArgs,
		RunE:  func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	c.AddCommand(a.importReadings(), a.importCase())
	return c
}

// importCase takes over a case that was exported as JSON.
func (a *app) importCase() *cobra.Command {
	var f caseFlags
	c := &cobra.Command{
		Use:     "case FILE.json",
		Short:   "take over a case that was exported as JSON",
		Long:    "Takes over a case that seepwright case export wrote. It gets a name of its own, so that\nnothing that is there is written over.",
		Example: "  seepwright case import case pad.json",
		Args:    cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			in, err := os.Open(args[0])
			if err != nil {
				return fault(fmt.Errorf("%s: the file cannot be read: %s", args[0], reason(err)))
			}
			defer in.Close()
			c, err := archive.FromJSON(in, args[0])
			if err != nil {
				return fault(err)
			}
			s, err := a.store(f.dir)
			if err != nil {
				return fault(err)
			}
			if c.Head.Opened.IsZero() {
				c.Head.Opened = a.now()
			}
			path, err := s.Create(c)
			if err != nil {
				return fault(err)
			}
			fmt.Fprintf(a.out, "%s\nKept in %s\n", c.Head.ID, path)
			return nil
		},
	}
	f.add(c, false)
	return c
}
