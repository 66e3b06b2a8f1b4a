package main

import (
	"embed"
	"fmt"
	"io/fs"
	"os"
	"path"
	"strings"

	"github.com/spf13/cobra"

	"seepwright/rules/source"
)

//go:embed units
var unitFiles embed.FS

// units lists the usual units that can be started from.
func units() []string {
	var out []string
	list, _ := fs.ReadDir(unitFiles, "units") // an embedded folder can be read
	for _, f := range list {
		out = append(out, strings.TrimSuffix(f.Name(), ".yaml"))
	}
	return out
}

// assembly lists the usual units, or writes the file of one to fill in.
func (a *app) assembly() *cobra.Command {
	c := &cobra.Command{
		Use:   "assembly",
		Short: "ready lists of joints of the usual units, to start your own unit from",
		Args:  cobra.NoArgs,
		RunE: func(_ *cobra.Command, _ []string) error {
			for _, name := range units() {
				data, err := unitFiles.ReadFile(path.Join("units", name+".yaml"))
				if err != nil {
					return err
				}
				first, _, _ := strings.Cut(string(data), "\n")
				fmt.Fprintf(a.out, "%-20s %s\n", name, strings.TrimPrefix(first, "# "))
			}
			fmt.Fprintln(a.out, "Start from one: seepwright assembly new NAME --out my-unit.yaml")
			return nil
		},
	}
	c.AddCommand(a.assemblyNew())
	return c
}

func (a *app) assemblyNew() *cobra.Command {
	var out string
	c := &cobra.Command{
		Use:     "new NAME",
		Short:   "write the list of joints of a usual unit, to fill in",
		Example: "  seepwright assembly new gear-case --out my-unit.yaml\n  seepwright diagnose --assembly my-unit.yaml",
		Args:    cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			data, err := unitFiles.ReadFile(path.Join("units", args[0]+".yaml"))
			if err != nil {
				return fmt.Errorf("no unit is called %q: %s", args[0], orList(source.DidYouMean(args[0], units()), units()))
			}
			if out == "" || out == "-" {
				_, err := a.out.Write(data)
				return err
			}
			f, err := os.OpenFile(out, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
			if os.IsExist(err) {
				return fault(fmt.Errorf("%s is there already; nothing was written over it", out))
			}
			if err != nil {
				return fault(fmt.Errorf("%s cannot be written: %s", out, reason(err)))
			}
			if _, err := f.Write(data); err != nil {
				return fault(fmt.Errorf("%s cannot be written: %s", out, reason(err)))
			}
			if err := f.Close(); err != nil {
				return fault(fmt.Errorf("%s cannot be written: %s", out, reason(err)))
			}
			fmt.Fprintf(a.out, "wrote %s\nFill it in, then: seepwright diagnose --assembly %s\n", out, out)
			return nil
		},
	}
	c.Flags().StringVarP(&out, "out", "o", "", "the file to write; without it the list is printed")
	return c
}
