package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"seepwright/cmd/seepwright/interview"
	"seepwright/kb"
	"seepwright/rules"
	"seepwright/rules/load"
	"seepwright/rules/source"
)

// sorts are what kb new can write, with what each needs to be told: the flags without which
// nothing is written, in the order in which they are asked for.
var sorts = []sort{
	{"cause", (*newDocument).cause, nil},
	{"fact", (*newDocument).fact, []string{"ask", "cause"}},
	{"check", (*newDocument).check, []string{"title", "how", "ask", "cause"}},
	{"rule", (*newDocument).rule, nil},
	{"case", (*newDocument).solved, []string{"answers", "cause", "story"}},
	{"joint", (*newDocument).joint, []string{"title", "looks-like", "works-by", "fails-by", "held-by"}},
}

type sort struct {
	name string
	make func(*newDocument) ([]load.NewFile, error)
	told []string
}

// questions are how a flag is asked for on a terminal, and what it is for.
var questions = map[string]string{
	"ask":        "the question, as it is put to the person",
	"cause":      "the cause for which a yes speaks, or which it proved to be, such as ring-nicked",
	"answers":    "the file with the answers that were known, as diagnose keeps it",
	"story":      "what happened, as one would tell it",
	"title":      "what it is called where a person reads it",
	"how":        "how to do it, in the order of the hands",
	"works-by":   "how the joint seals, in one sentence",
	"fails-by":   "how it usually starts to leak, in one sentence",
	"looks-like": "what one sees of it from outside",
	"held-by":    "what holds it together: clamp, bolts, thread, union-nut ...",
}

// newDocument is what kb new was told.
type newDocument struct {
	app   *app
	d     load.Draft
	about string // the cause that a fact, a check or a rule speaks for
	from  string // the file of answers
	times string
	dir   string
	tests func(*rules.Knowledge) (load.NewFile, error) // the tests of the rule, once it can be read
	whole bool                                         // nothing is left to fill in

	base   *rules.Knowledge // the built-in knowledge, once it was read
	places load.Places
}

func (a *app) kbNew() *cobra.Command {
	n := &newDocument{app: a}
	c := &cobra.Command{
		Use:   "new cause|fact|check|rule|case|joint NAME",
		Short: "write a new document together with its test or solved case",
		Long: "Writes a new document together with what proves it. A cause and its solved case, and a rule\n" +
			"without --when, are written to fill in. A fact comes with a rule by which a yes speaks for a\n" +
			"cause, and a rule with its three tests, found by trying answers; a check comes with the fact\n" +
			"that it answers; a solved case is made of the answers that diagnose kept; a joint comes with\n" +
			"two looks, three causes and a solved case of each to start from. These pass kb check and\n" +
			"their own tests as they stand: nothing is written that would not.\n" +
			"What is not given by flags is asked for on a terminal.",
		Example: "  seepwright kb new cause ring-painted-over --joint radial-oring --dir my-shop\n" +
			"  seepwright kb new fact stored-in-sun --joint radial-oring --ask 'Did the new ring lie in the sun?' --cause bad-new-ring\n" +
			"  seepwright kb new rule wet-twins --joint radial-oring --when 'twin is wet and wet-onset is at-once' --says 'Both wet at once: look at how they were fitted.' --then 'raise: {cause: dry-assembly, times: 2}'\n" +
			"  seepwright kb new case last-week --joint radial-oring --cause bad-new-ring --answers case.yaml --story 'A ring from the sunny sill.'\n" +
			"  seepwright kb new joint sight-glass --title 'Sight glass' --held-by bolts --looks-like '...' --works-by '...' --fails-by '...'",
		Args: cobra.ExactArgs(2),
		RunE: func(c *cobra.Command, args []string) error {
			i := slices.IndexFunc(sorts, func(s sort) bool { return s.name == args[0] })
			if i < 0 {
				return fmt.Errorf("what is to be written, %q? cause, fact, check, rule, case or joint", args[0])
			}
			n.d.ID = args[1]
			if err := n.place(args[0]); err != nil {
				return err
			}
			if err := n.askFor(c, sorts[i].told); err != nil {
				return err
			}
			files, err := sorts[i].make(n)
			if err != nil {
				return fault(err)
			}
			return n.write(files)
		},
	}
	f := c.Flags()
	f.StringVar(&n.d.Kind, "joint", "", "the kind of joint it belongs to, or shared")
	f.StringVar(&n.dir, "dir", "my-knowledge", "the folder to write into")
	f.StringVar(&n.d.Source, "source", "own practice of the shop", "where it comes from: title, edition, page; or common practice")
	f.StringVar(&n.d.Standing, "standing", "estimate", "confirmed, common practice, from memory or estimate")
	for name, to := range map[string]*string{"ask": &n.d.Ask, "cause": &n.about, "title": &n.d.Title, "how": &n.d.How, "works-by": &n.d.WorksBy, "fails-by": &n.d.FailsBy, "looks-like": &n.d.LooksLike, "held-by": &n.d.HeldBy, "answers": &n.from, "story": &n.d.Story} {
		f.StringVar(to, name, "", questions[name])
	}
	f.StringVar(&n.times, "times", "3", "of a fact: how many times likelier it makes the cause")
	f.StringVar(&n.d.Answer, "answer", "yes-no", "of a fact: yes-no, choice or quantity")
	f.StringVar(&n.d.Options, "options", "", "of a choice: the answers, with commas between")
	f.StringVar(&n.d.Dimension, "dimension", "", "of a quantity: length, pressure ...")
	f.StringVar(&n.d.Stage, "stage", "", "where in the work it can be had: told, outside, opened, bench ... (a fact: told, a check: opened, a case: before-opening, if not given)")
	f.StringVar(&n.d.When, "when", "", "of a rule or a fact: the condition, such as 'FACT is yes'")
	f.StringVar(&n.d.Then, "then", "", "of a rule: what follows, such as 'raise: {cause: NAME, times: 2}' or 'conclude: FACT is yes'")
	f.StringVar(&n.d.Says, "says", "", "of a rule or a fact: the sentence that explains it")
	f.StringVar(&n.d.Minutes, "minutes", "5", "of a check: hands-on time")
	f.StringVar(&n.d.Needs, "needs", "cold, pressure-zero, stopped", "of a check: the state it needs")
	f.StringVar(&n.d.Fills, "fills", "", "of a check: a fact that is there already, instead of a new one")
	f.StringVar(&n.d.TakenFor, "taken-for", "", "of a case: the cause that looked as likely")
	f.StringVar(&n.d.History, "history", "", "of a case: after-refit, back-in-weeks, long-service or disturbed, if the answers do not say")
	f.StringVar(&n.d.Top, "top", "", "of a case: the cause must stand among the first so many (6 before opening, 1 opened)")
	f.StringVar(&n.d.Se, "se", "80 %", "of a check: of those that have it, how many it finds")
	f.StringVar(&n.d.Sp, "sp", "90 %", "of a check: of those that do not have it, how many it clears")
	return c
}

// place checks the joint kind: those of the built-in knowledge, and of the folder itself.
func (n *newDocument) place(sort string) error {
	if sort == "joint" {
		n.d.Kind = n.d.ID
		return nil
	}
	kinds := kb.Kinds()
	own, _ := filepath.Glob(filepath.Join(n.dir, "*", "joint.yaml"))
	for _, f := range own {
		kinds = append(kinds, filepath.Base(filepath.Dir(f)))
	}
	if n.d.Kind == "" {
		return fmt.Errorf("give --joint KIND: one of %s", strings.Join(kinds, ", "))
	}
	if n.d.Kind != "shared" && !slices.Contains(kinds, n.d.Kind) {
		return fmt.Errorf("no joint kind is called %q: %s", n.d.Kind, orList(source.DidYouMean(n.d.Kind, kinds), kinds))
	}
	return nil
}

// askFor asks on a terminal for what the flags do not say; elsewhere it is an error.
func (n *newDocument) askFor(c *cobra.Command, names []string) error {
	var asker interview.Asker
	for _, name := range names {
		flag := c.Flags().Lookup(name)
		if flag.Value.String() != "" || (name == "ask" || name == "cause") && n.d.Fills != "" {
			continue
		}
		if !isTerminal(n.app.in) || !isTerminal(n.app.out) {
			return fmt.Errorf("give --%s TEXT: %s", name, questions[name])
		}
		if asker == nil {
			var err error
			if asker, err = n.app.asker(talk{}, n.app.out, nil); err != nil {
				return fault(err)
			}
		}
		t := &interview.Talk{Asker: asker, Width: n.app.width()}
		s, err := t.Words(interview.Question{ID: name, Ask: "--" + name + ": " + questions[name]})
		if errors.Is(err, interview.ErrQuit) {
			return fault(errors.New("stopped; nothing was written"))
		}
		if err != nil {
			return fault(err)
		}
		if err := flag.Value.Set(s); err != nil {
			return err
		}
	}
	return nil
}

// write writes the files of a document. Nothing is written over.
func (n *newDocument) write(files []load.NewFile) error {
	for _, f := range files {
		path := filepath.Join(n.dir, filepath.FromSlash(f.Name))
		if _, err := os.Lstat(path); err == nil {
			return fault(fmt.Errorf("%s is there already; nothing was written over it", path))
		}
	}
	if n.whole {
		more, err := n.prove(files)
		if err != nil {
			return err
		}
		files = append(files, more...)
	}
	for _, f := range files {
		path := filepath.Join(n.dir, filepath.FromSlash(f.Name))
		if err := put(n.dir, f); err != nil {
			return fault(err)
		}
		fmt.Fprintln(n.app.out, "wrote", path)
	}
	lead := "Fill it in, then"
	if n.whole {
		lead = "Its own tests pass as it stands; put your figures in their place, then"
	}
	fmt.Fprintf(n.app.out, "%s: seepwright kb check %s; seepwright kb test %s\n", lead, n.dir, n.dir)
	return nil
}

func put(dir string, f load.NewFile) error {
	path := filepath.Join(dir, filepath.FromSlash(f.Name))
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return err
	}
	w, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return err
	}
	if _, err := w.WriteString(f.Text); err != nil {
		w.Close()
		return err
	}
	return w.Close()
}
