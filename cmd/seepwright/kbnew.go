package main

import (
	"errors"
	"fmt"
	"io"
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

// sort is one of what kb new can write: what each needs to be told, in the order in which it is
// asked for, the flags that it takes besides, and how it is asked for on a terminal.
type sort struct {
	name, short, example string
	make                 func(*newDocument) ([]load.NewFile, error)
	told, may            []string
}

var sorts = []sort{
	{"cause", "a reason why a joint leaks, with its check, its cure and the case in which you found it",
		"seepwright kb new cause ring-painted-over --joint radial-oring --dir my-shop", (*newDocument).cause, nil,
		[]string{"title", "means", "family", "share", "sign", "more-likely", "check", "how", "ask", "remedy", "cure", "prevent", "if-ignored", "taken-for", "story", "history", "se", "sp", "minutes", "template"}},
	{"fact", "something to ask or to see that speaks for a cause",
		"seepwright kb new fact stored-in-sun --joint radial-oring --ask 'Did the new ring lie in the sun?' --cause bad-new-ring", (*newDocument).fact, []string{"ask", "cause"},
		[]string{"times", "answer", "options", "dimension", "stage", "when", "says"}},
	{"check", "a way to find out, with the question that it answers",
		"seepwright kb new check lamp-look --joint radial-oring --title 'Look with a lamp' --how 'Hold it to the light.' --ask 'Is a hair line seen in the ring?' --cause ring-nicked", (*newDocument).check, []string{"title", "how", "ask", "cause"},
		[]string{"stage", "minutes", "needs", "fills", "se", "sp", "when", "says"}},
	{"rule", "when this is so, conclude that; with its three tests",
		"seepwright kb new rule wet-twins --joint radial-oring --when 'twin is wet and wet-onset is at-once' --says 'Both wet at once: look at how they were fitted.' --then 'raise: {cause: dry-assembly, times: 2}'", (*newDocument).rule, nil,
		[]string{"when", "says", "then", "template"}},
	{"case", "a leak that you solved, made of the answers that diagnose kept",
		"seepwright kb new case last-week --joint radial-oring --cause bad-new-ring --answers seepwright-answers.yaml --story 'A ring from the sunny sill.'", (*newDocument).solved, []string{"answers", "cause", "story"},
		[]string{"taken-for", "history", "top", "stage"}},
	{"joint", "a kind of joint that is not known yet, with two looks, three causes and their cases to start from",
		"seepwright kb new joint sight-glass --title 'Sight glass' --held-by bolts --looks-like '...' --works-by '...' --fails-by '...'", (*newDocument).joint, []string{"title", "looks-like", "works-by", "fails-by", "held-by"}, nil},
}

func sortNames() string {
	var out []string
	for _, s := range sorts {
		out = append(out, s.name)
	}
	return strings.Join(out[:len(out)-1], ", ") + " or " + out[len(out)-1]
}

// newDocument is what kb new was told.
type newDocument struct {
	app      *app
	d        load.Draft
	sort     sort
	about    string // the cause that a fact, a check or a rule speaks for
	from     string // the file of answers
	times    string
	cure     string // how a cure of its own is done
	dir      string
	template bool                                         // a file to fill in is wanted
	tests    func(*rules.Knowledge) (load.NewFile, error) // the tests of the rule, once it can be read
	whole    bool                                         // nothing is left to fill in
	late     bool                                         // all could be read; what failed are tests or cases

	base   *rules.Knowledge // the built-in knowledge, once it was read
	places load.Places
	talk   *interview.Talk // nil: nobody to ask
}

func (a *app) kbNew() *cobra.Command {
	var example strings.Builder
	for _, s := range sorts {
		example.WriteString("  " + s.example + "\n")
	}
	c := &cobra.Command{
		Use:   "new [cause|fact|check|rule|case|joint [NAME]]",
		Short: "write a new document together with its test or solved case",
		Long: "Writes a new document together with what proves it: a cause with its solved case, a fact with\n" +
			"the rule by which a yes speaks for a cause, a rule with its three tests (found by trying\n" +
			"answers), a check with the fact that it answers, a case made of the answers that diagnose kept,\n" +
			"a kind of joint with all that it needs to start from. What is not given by flags is asked for\n" +
			"on a terminal; kb new alone asks for everything. It is read, checked and tested before it is\n" +
			"written: nothing is written that would not pass, and nothing is written over.",
		Example: strings.TrimRight(example.String(), "\n"),
		Args:    cobra.ArbitraryArgs,
		RunE: func(c *cobra.Command, args []string) error {
			if len(args) > 0 {
				return fmt.Errorf("what is to be written, %q? %s", args[0], sortNames())
			}
			n := newOf(a, sort{})
			if err := n.sit(); err != nil {
				return err
			}
			if n.talk == nil {
				return fmt.Errorf("say what is to be written and its name, such as kb new cause ring-painted-over: %s", sortNames())
			}
			var list []interview.Option
			for _, s := range sorts {
				list = append(list, interview.Option{ID: s.name, Title: s.name + ": " + s.short})
			}
			i, err := n.talk.Pick(interview.Question{ID: "what", Ask: "What did you learn?", Options: list, Why: "A leak whose reason is not on the list is a cause. Something that speaks for a reason on the list is a fact. If you do not know, begin with the case: it shows what is missing."})
			if err != nil {
				return stopped(err)
			}
			n.sort = sorts[i]
			return n.run(nil)
		},
	}
	for _, s := range sorts {
		c.AddCommand(a.kbNewOf(s))
	}
	return c
}

func newOf(a *app, s sort) *newDocument {
	n := &newDocument{app: a, sort: s, dir: "my-knowledge", times: "3"}
	n.d.Source, n.d.Standing, n.d.Answer, n.d.Minutes, n.d.Needs, n.d.Se, n.d.Sp = "own practice of the shop", "estimate", "yes-no", "5", "cold, pressure-zero, stopped", "80 %", "90 %"
	return n
}

// sit opens the talk, where there is a person to talk to.
func (n *newDocument) sit() error {
	if n.talk != nil || !isTerminal(n.app.in) || !isTerminal(n.app.out) {
		return nil
	}
	asker, err := n.app.asker(talk{}, n.app.out, nil)
	if err != nil {
		return fault(err)
	}
	n.talk = &interview.Talk{Asker: asker, Width: n.app.width()}
	return nil
}

// kbNewOf writes one sort of document, and has its flags only.
func (a *app) kbNewOf(s sort) *cobra.Command {
	n := newOf(a, s)
	c := &cobra.Command{
		Use:     s.name + " [NAME]",
		Short:   s.short,
		Example: "  " + s.example,
		Args:    cobra.MaximumNArgs(1),
		RunE:    func(_ *cobra.Command, args []string) error { return n.run(args) },
	}
	f := c.Flags()
	if s.name != "joint" {
		f.StringVar(&n.d.Kind, "joint", "", "the kind of joint it belongs to, or shared")
	}
	f.StringVar(&n.dir, "dir", n.dir, "the folder to write into")
	f.StringVar(&n.d.Source, "source", n.d.Source, "where it comes from: title, edition, page; or common practice")
	f.StringVar(&n.d.Standing, "standing", n.d.Standing, "confirmed, common practice, from memory or estimate")
	for _, name := range append(slices.Clone(s.told), s.may...) {
		switch name {
		case "sign":
			f.StringArrayVar(&n.d.Signs, name, nil, flagHelp[name])
		case "more-likely":
			f.StringArrayVar(&n.d.Likelier, name, nil, flagHelp[name])
		case "template":
			f.BoolVar(&n.template, name, false, flagHelp[name])
		default:
			to := n.told(name)
			f.StringVar(to, name, *to, flagHelp[name])
		}
	}
	return c
}

// told is where the value of a flag is kept.
func (n *newDocument) told(flag string) *string {
	d := &n.d
	return map[string]*string{
		"ask": &d.Ask, "cause": &n.about, "title": &d.Title, "how": &d.How, "works-by": &d.WorksBy, "fails-by": &d.FailsBy, "looks-like": &d.LooksLike, "held-by": &d.HeldBy,
		"answers": &n.from, "story": &d.Story, "times": &n.times, "answer": &d.Answer, "options": &d.Options, "dimension": &d.Dimension, "stage": &d.Stage, "when": &d.When, "then": &d.Then,
		"says": &d.Says, "minutes": &d.Minutes, "needs": &d.Needs, "fills": &d.Fills, "taken-for": &d.TakenFor, "history": &d.History, "top": &d.Top, "se": &d.Se, "sp": &d.Sp,
		"means": &d.Means, "family": &d.Family, "share": &d.Share, "check": &d.FoundBy, "remedy": &d.Remedy, "cure": &n.cure, "prevent": &d.Prevent, "if-ignored": &d.IfIgnored,
	}[flag]
}

// flagHelp says what each flag is for.
var flagHelp = map[string]string{
	"ask":         "the question, as it is put to the person",
	"cause":       "the cause for which a yes speaks, or which it proved to be, such as ring-nicked",
	"answers":     "the file with the answers that were known, as diagnose keeps it",
	"story":       "what happened, as one would tell it",
	"title":       "what it is called where a person reads it",
	"how":         "how to do it, in the order of the hands",
	"works-by":    "how the joint seals, in one sentence",
	"fails-by":    "how it usually starts to leak, in one sentence",
	"looks-like":  "what one sees of it from outside",
	"held-by":     "what holds it together: clamp, bolts, thread, union-nut ...",
	"times":       "how many times likelier it makes the cause",
	"answer":      "yes-no, choice or quantity",
	"options":     "of a choice: the answers, with commas between",
	"dimension":   "of a quantity: length, pressure ...",
	"stage":       "where in the work it can be had: told, outside, opened, bench ... (a fact: told, a check: opened, a case: before-opening, if not given)",
	"when":        "the condition, such as 'FACT is yes'",
	"then":        "what follows, such as 'raise: {cause: NAME, times: 2}' or 'conclude: FACT is yes'",
	"says":        "the sentence that explains it",
	"minutes":     "hands-on time of the check",
	"needs":       "the state that the check needs",
	"fills":       "a fact that is there already, instead of a new one",
	"taken-for":   "the cause that looked as likely",
	"history":     "after-refit, back-in-weeks, long-service or disturbed, if the answers do not say",
	"top":         "the cause must stand among the first so many (6 before opening, 1 opened)",
	"se":          "of those that have it, how many the check finds",
	"sp":          "of those that do not have it, how many the check clears",
	"means":       "what is wrong, as one would tell a colleague",
	"family":      "its class, such as seal_misfitted",
	"share":       "of a hundred leaks of this kind: 'after-refit: 1 %, long-service: 1 %'",
	"sign":        "what is seen, and in how many of a hundred: 'wet-onset is at-once: 60 %' (repeatable)",
	"more-likely": "what was done or fitted that makes it likelier, and how many times: 'fitted-dry is yes: 3' (repeatable)",
	"check":       "a check that is there, and what it shows then: 'CHECK: FACT is yes'; else give --how and --ask for one of its own",
	"remedy":      "a cure that is there, by its name; else give --cure",
	"cure":        "how it is cured, if no cure that is there will do",
	"prevent":     "how to keep it from coming back",
	"if-ignored":  "what happens if nothing is done",
	"template":    "write a file to fill in, and ask nothing",
}

// run asks for what is not told, and writes.
func (n *newDocument) run(args []string) error {
	if len(args) > 0 {
		n.d.ID = args[0]
		if err := load.PlainName(n.d.ID); err != nil {
			return fault(err)
		}
	}
	if err := n.sit(); err != nil {
		return err
	}
	if err := n.place(); err != nil {
		return err
	}
	if err := n.askFor(); err != nil {
		return stopped(err)
	}
	// A new cause is one of many. Where its case does not put it first it may stand among the
	// first few; that is said.
	tops := []string{n.d.Top}
	if n.sort.name == "cause" && !n.template {
		tops = []string{"", "3", "6"}
	}
	var err error
	for _, n.d.Top = range tops {
		files, bad := n.sort.make(n)
		if bad != nil {
			return fault(bad)
		}
		if err = n.write(files); err == nil || !n.late {
			break
		}
	}
	if err == nil && n.d.Top != "" && n.sort.name == "cause" {
		fmt.Fprintf(n.app.out, "With the answers of its case it stands among the first %s, not first: a look that seldom errs (--se, --sp), a sign that tells more, or a larger share would bring it up.\n", n.d.Top)
	}
	return err
}

// stopped says that nothing was written, where the person stopped.
func stopped(err error) error {
	if errors.Is(err, interview.ErrQuit) || errors.Is(err, io.EOF) {
		return fault(errors.New("stopped; nothing was written"))
	}
	return err
}

// place checks the joint kind: those of the built-in knowledge, and of the folder itself.
func (n *newDocument) place() error {
	if n.sort.name == "joint" {
		return nil
	}
	kinds := kb.Kinds()
	own, _ := filepath.Glob(filepath.Join(n.dir, "*", "joint.yaml"))
	for _, f := range own {
		kinds = append(kinds, filepath.Base(filepath.Dir(f)))
	}
	if n.d.Kind == "" && n.talk != nil {
		k, err := n.known()
		if err != nil {
			return err
		}
		if n.d.Kind, err = n.talk.Kind(k.Joints); err != nil {
			return stopped(err)
		}
		if n.d.Kind == "" || strings.Contains(n.d.Kind, ",") {
			return fault(errors.New("nothing was written: a new kind of joint is written with kb new joint, and what all kinds share with --joint shared"))
		}
	}
	if n.d.Kind == "" {
		return fmt.Errorf("give --joint KIND: one of %s", strings.Join(kinds, ", "))
	}
	if n.d.Kind != "shared" && !slices.Contains(kinds, n.d.Kind) {
		return fmt.Errorf("no joint kind is called %q: %s", n.d.Kind, orList(source.DidYouMean(n.d.Kind, kinds), kinds))
	}
	return nil
}

// known is the knowledge with the folder, if there is one, laid over it.
func (n *newDocument) known(kinds ...string) (*rules.Knowledge, error) {
	if st, err := os.Stat(n.dir); err == nil && st.IsDir() {
		return n.app.knowledge([]string{n.dir})
	}
	return n.app.knowledge(nil, kinds...)
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
	lead := "Fill it in, then:"
	if n.whole {
		lead = "Its own tests pass as it stands; put your figures in their place, then:"
	}
	fmt.Fprintln(n.app.out, lead)
	for _, next := range []string{"kb check " + n.dir, "kb test " + n.dir, "diagnose --kb " + n.dir} {
		fmt.Fprintln(n.app.out, "  seepwright "+next)
	}
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
