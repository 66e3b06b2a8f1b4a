package main

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"seepwright/rules/source"
)

// app holds what the commands may touch of the world: streams and the environment.
type app struct {
	in       io.Reader
	out, err io.Writer
	env      func(string) string
}

// Exit states: done; the input or the knowledge base is at fault; the command line is.
const (
	exitDone  = 0
	exitInput = 1
	exitUsage = 2
)

// inputFault marks an error that lies in what was read, not in how the command was called.
type inputFault struct{ error }

func (f inputFault) Unwrap() error { return f.error }

// fault wraps an error of the input; nil stays nil.
func fault(err error) error {
	if err == nil {
		return nil
	}
	return inputFault{err}
}

// faults turns findings into an error of the input when one of them is more than a warning.
func faults(fs source.Findings) error {
	if fs.Errors() == 0 {
		return nil
	}
	return inputFault{fs}
}

func (a *app) run(args []string) int {
	root := a.root()
	root.SetArgs(args)
	c, err := root.ExecuteC()
	var in inputFault
	switch {
	case err == nil:
		return exitDone
	case errors.As(err, &in):
		fmt.Fprintln(a.err, "seepwright: "+strings.TrimSpace(err.Error()))
		return exitInput
	}
	fmt.Fprintf(a.err, "seepwright: %v\nSee: %s --help\n", err, c.CommandPath())
	return exitUsage
}

// root builds the command tree.
func (a *app) root() *cobra.Command {
	root := &cobra.Command{
		Use:   "seepwright",
		Short: "find out why a joint leaks and how to put it back so that it stays dry",
		Long: "seepwright interviews you after a leak test, ranks the causes with honest odds, names the\n" +
			"next look worth its minutes, works out fits and targets from your own measurements, and\n" +
			"writes the strip-down, reassembly and retest plan.",
		SilenceUsage: true, SilenceErrors: true,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	root.SetIn(a.in)
	root.SetOut(a.out)
	root.SetErr(a.err)
	root.CompletionOptions.HiddenDefaultCmd = true
	root.AddCommand(a.demo(), a.diagnose(), a.caseCommand(), a.errand(), a.sheet(), a.joint(), a.facts(), a.measure(), a.size(), a.assembly(), a.kb())
	return root
}
