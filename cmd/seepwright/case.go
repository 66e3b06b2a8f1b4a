package main

import (
	"bytes"
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"seepwright/cmd/seepwright/journal"
	"seepwright/cmd/seepwright/report"
	"seepwright/rules/answer"
	"seepwright/rules/assembly"
)

// caseFlags are the flags that all commands on cases share.
type caseFlags struct {
	dir string
	by  string
}

func (f *caseFlags) add(c *cobra.Command, writes bool) {
	c.Flags().StringVar(&f.dir, "dir", "", "the folder of cases (default: seepwright/cases in your data folder)")
	if writes {
		c.Flags().StringVar(&f.by, "by", "", "who says so: a name or initials")
	}
}

// caseCommand holds the records.
func (a *app) caseCommand() *cobra.Command {
	c := &cobra.Command{
		Use:   "case",
		Short: "keep a record of a repair: what was seen, measured, done and proved",
		Long: "A case is one readable file: the unit, every answer with its date, readings, what was\n" +
			"thought at each step, the work, the retests and what it proved to be. CASE is its name, a\n" +
			"part of it that no other case has, or a file. Nothing that was typed is lost: a file is\n" +
			"written whole or not at all, and the last good state is kept beside it.",
		Example: "  seepwright case new --title \"cooler drips at the pad\" --assembly cooler.yaml\n" +
			"  seepwright diagnose --case pad\n  seepwright case did pad --said \"lapped the pad\" --joint pad --minutes 40",
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	c.AddCommand(a.caseNew(), a.caseList(), a.caseShow(), a.caseNote(), a.caseMeasure(), a.caseOpened(), a.caseDid(), a.caseRetest(), a.caseResume(), a.caseClose(), a.caseReopen(), a.caseRestore(),
		a.caseSummary(), a.caseDue(), a.caseOutcomes(), a.caseExport(), a.caseImport(), a.caseHandOn())
	return c
}

// now is the time that is written into records. SOURCE_DATE_EPOCH, the open convention for
// output that must come out the same, stands in for the clock where it is set.
func (a *app) now() time.Time {
	if n, err := strconv.ParseInt(a.env("SOURCE_DATE_EPOCH"), 10, 64); err == nil && n > 0 {
		return time.Unix(n, 0)
	}
	return time.Now().Truncate(time.Second)
}

// store is the folder of cases.
func (a *app) store(dir string) (journal.Store, error) {
	if dir == "" {
		var err error
		if dir, err = journal.Folder(a.env); err != nil {
			return journal.Store{}, err
		}
	}
	return journal.Store{Dir: dir}, nil
}

// casePath finds the file of a case.
func (a *app) casePath(f caseFlags, name string) (string, error) {
	s, err := a.store(f.dir)
	if err != nil {
		return "", err
	}
	path, err := s.Find(name)
	return path, fault(err)
}

// readCase reads a case without holding it. One that cannot be read comes with the offer of its
// last good state.
func (a *app) readCase(f caseFlags, name string) (path string, c *journal.Case, err error) {
	if path, err = a.casePath(f, name); err != nil {
		return "", nil, err
	}
	if c, err = journal.Open(path); err == nil && c == nil {
		err = fmt.Errorf("the case %s is gone", path)
	}
	return path, c, fault(journal.Offer(path, err))
}

// onCase opens a case for writing, lets something be done, and saves it.
func (a *app) onCase(f caseFlags, name string, do func(h *journal.Held) error) error {
	path, err := a.casePath(f, name)
	if err != nil {
		return err
	}
	h, err := journal.Hold(path)
	if err != nil {
		return fault(err)
	}
	defer h.Free()
	if err := do(h); err != nil {
		return err
	}
	return fault(h.Save())
}

// caseWork is a case with the knowledge of its kinds and all its answers told.
func (a *app) caseWork(h *journal.Held) (*work, error) {
	f := h.Case.File
	if f.Joint.Text == "" && f.Assembly.File == "" && len(f.Assembly.Inline) == 0 {
		return nil, fault(fmt.Errorf("the case does not say yet which joint or unit it is about: seepwright diagnose --case %s finds out", quote(h.Case.Head.ID)))
	}
	return a.open(start{answers: h.Path})
}

func (a *app) caseNew() *cobra.Command {
	var f caseFlags
	var title, unit, joint, from string
	c := &cobra.Command{
		Use:   "new",
		Short: "begin a case",
		Long: "Begins a case and says how to go on. The unit is copied into it, so that the case still\n" +
			"tells what was there when the unit's own file has changed. --from takes over what an\n" +
			"interview has saved.",
		Example: "  seepwright case new --title \"strainer lid weeps\" --joint face-gasket\n  seepwright case new --title \"cooler drips\" --assembly cooler.yaml --by m\n  seepwright case new --from seepwright-answers.yaml",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if unit != "" && joint != "" {
				return fmt.Errorf("--assembly and --joint: give one of them")
			}
			s, err := a.store(f.dir)
			if err != nil {
				return fault(err)
			}
			c := journal.New()
			if from != "" {
				if c, err = journal.Open(from); err != nil {
					return fault(err)
				}
				if c == nil {
					return fault(fmt.Errorf("--from %s: there is no such file", from))
				}
				if c.Head.ID != "" {
					return fault(fmt.Errorf("--from %s is a record already: it can be used by its file name, as seepwright case show %s", from, quote(from)))
				}
			}
			c.Head = journal.Head{Title: strings.Join(strings.Fields(title), " "), By: f.by, Opened: a.now()}
			if err := a.putUnit(c, start{assembly: unit, joint: joint, answers: from}); err != nil {
				return err
			}
			before := journal.New()
			if from == "" {
				before.File = c.File
			}
			c.Add(journal.Changes(before, c, a.now(), f.by)...)
			path, err := s.Create(c)
			if err != nil {
				return fault(err)
			}
			fmt.Fprintf(a.out, "%s\nKept in %s\nGo on with:\n  seepwright diagnose --case %s%s\n", c.Head.ID, path, quote(c.Head.ID), f.again())
			return nil
		},
	}
	c.Flags().StringVar(&title, "title", "", "what it is about, in a few words")
	c.Flags().StringVar(&unit, "assembly", "", "the file that describes the unit")
	c.Flags().StringVar(&joint, "joint", "", "the kind of joint, for a job on one joint")
	c.Flags().StringVar(&from, "from", "", "a saved interview or an answers file to take over")
	f.add(c, true)
	return c
}

// again repeats the folder on a command line that goes on.
func (f caseFlags) again() string {
	if f.dir == "" {
		return ""
	}
	return " --dir " + quote(f.dir)
}

// putUnit copies the unit into a case, and names the case after it where it has no title.
func (a *app) putUnit(c *journal.Case, st start) error {
	file := c.File
	if st.joint != "" {
		file.Joint.Text = st.joint
	}
	if st.assembly == "" && st.joint == "" && file.Assembly.File == "" && len(file.Assembly.Inline) == 0 && file.Joint.Text == "" {
		if c.Head.Title == "" {
			c.Head.Title = "leak"
		}
		return nil
	}
	if severalKinds(st, file) == nil {
		_, kinds, err := a.overlaid(st.folders)
		if err != nil {
			return err
		}
		asm, bad, err := a.assemblyFor(st, file, kinds)
		if err != nil {
			return err
		}
		if err := faults(bad); err != nil {
			return err
		}
		if file.Joint.Text == "" || st.assembly != "" {
			if err := copyUnit(c, asm); err != nil {
				return err
			}
		}
	}
	if c.Head.Title == "" {
		c.Head.Title = strings.Join(strings.Fields(c.Head.Unit+" "+file.Joint.Text), " ")
	}
	return nil
}

// copyUnit puts a unit into a case as it is now.
func copyUnit(c *journal.Case, asm *assembly.Assembly) error {
	var b bytes.Buffer
	if _, err := asm.WriteTo(&b); err != nil {
		return fault(err)
	}
	c.File.Assembly = answer.AssemblyRef{Inline: b.Bytes()}
	c.File.Joint = answer.Word{}
	c.Head.Unit = asm.Title
	return nil
}

func (a *app) caseList() *cobra.Command {
	var f caseFlags
	var open bool
	c := &cobra.Command{
		Use:     "list",
		Short:   "show the cases, newest first",
		Example: "  seepwright case list --open",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			s, err := a.store(f.dir)
			if err != nil {
				return fault(err)
			}
			list, err := s.List()
			if err != nil {
				return fault(err)
			}
			slices.SortFunc(list, func(x, y journal.Line) int {
				return cmp.Or(y.Head.Opened.Compare(x.Head.Opened), cmp.Compare(y.Head.ID, x.Head.ID), cmp.Compare(x.Path, y.Path))
			})
			shown := 0
			for _, l := range list {
				if open && l.Err == nil && !l.Head.Open() {
					continue
				}
				shown++
				fmt.Fprint(a.out, a.caseLine(l))
			}
			if shown == 0 {
				fmt.Fprintf(a.out, "There is no %scase in %s.\n", map[bool]string{true: "open "}[open], s.Dir)
			}
			return nil
		},
	}
	c.Flags().BoolVar(&open, "open", false, "only those that are not closed")
	f.add(c, false)
	return c
}

// caseLine is a case in two lines of a list.
func (a *app) caseLine(l journal.Line) string {
	if l.Err != nil {
		return report.Wrap(fmt.Sprintf("%s cannot be read: %v", l.Path, l.Err), a.width(), 2, "", "  ")
	}
	h := l.Head
	state := "open"
	if !h.Open() {
		state = endWords(h.End) + " " + h.Closed.Local().Format(time.DateOnly)
	}
	s := fmt.Sprintf("%s  %s\n", h.ID, state)
	what := h.Title
	if h.Unit != "" && !strings.EqualFold(h.Unit, h.Title) {
		what += " (" + h.Unit + ")"
	}
	for _, p := range l.Proven {
		what += "; it was: " + provenWords(p)
	}
	return s + report.Wrap(what, a.width(), 2, "  ", "  ")
}

func provenWords(p journal.Proven) string {
	s := p.Said
	if p.Cause != "" {
		s = strings.ReplaceAll(p.Cause, "-", " ")
	}
	if p.Joint != "" && p.Joint != "joint" {
		s = p.Joint + ", " + s
	}
	return s
}

// endWords says how a case ended.
func endWords(end string) string {
	switch end {
	case journal.Dry:
		return "closed dry"
	case "left":
		return "left as it is"
	case "replaced":
		return "unit replaced"
	case "sent-out":
		return "sent out"
	case "given-up":
		return "given up"
	}
	return end
}

func (a *app) caseRestore() *cobra.Command {
	var f caseFlags
	c := &cobra.Command{
		Use:   "restore CASE",
		Short: "go back to the last good state of a case that cannot be read",
		Long:  "Puts the last state that seepwright wrote in the place of a file that cannot be read any\nmore. The broken file is kept beside it.",
		Args:  cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			path, err := a.casePath(f, args[0])
			if err != nil {
				return err
			}
			kept, err := journal.Restore(path)
			if err != nil {
				return fault(err)
			}
			fmt.Fprintf(a.out, "%s is as it was last written.\nThe file that could not be read is kept as %s\n", path, kept)
			return nil
		},
	}
	f.add(c, false)
	return c
}
