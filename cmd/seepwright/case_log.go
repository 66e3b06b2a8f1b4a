package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"seepwright/cmd/seepwright/journal"
	"seepwright/cmd/seepwright/report"
	"seepwright/engine"
	"seepwright/rules"
	"seepwright/rules/answer"
	"seepwright/rules/source"
)

func (a *app) caseNote() *cobra.Command {
	var f caseFlags
	var joint string
	var photos []string
	c := &cobra.Command{
		Use:     "note CASE WORDS...",
		Short:   "write down anything, or where a photo is",
		Example: "  seepwright case note pad \"drips only with the pump running\"\n  seepwright case note pad --photo photos/pad-before.jpg --joint pad",
		Args:    cobra.MinimumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			said := strings.TrimSpace(strings.Join(args[1:], " "))
			if said == "" && len(photos) == 0 {
				return errors.New("what is to be noted? write it behind the case, or give --photo FILE")
			}
			return a.onCase(f, args[0], func(h *journal.Held) error {
				if err := a.jointOf(h.Case, joint); err != nil {
					return err
				}
				e := journal.Entry{At: a.now(), By: f.by, What: journal.Note, Said: said, Joint: joint}
				if said == "" {
					e.Said = "photo"
				}
				for _, p := range photos {
					e.Photos = append(e.Photos, beside(h.Path, p))
				}
				h.Case.Add(e)
				return nil
			})
		},
	}
	c.Flags().StringVar(&joint, "joint", "", "the joint that it is about")
	c.Flags().StringArrayVar(&photos, "photo", nil, "a picture; its name is kept, not the picture (repeatable)")
	f.add(c, true)
	return c
}

// jointOf checks a joint against the unit of a case.
func (a *app) jointOf(c *journal.Case, joint string) error {
	if joint == "" {
		return nil
	}
	ids := []string{"joint"}
	if len(c.File.Assembly.Inline) > 0 || c.File.Assembly.File != "" {
		_, kinds, err := a.overlaid(nil)
		if err != nil {
			return err
		}
		asm, bad, err := a.assemblyFor(start{}, c.File, kinds)
		if err != nil {
			return err
		}
		if err := faults(bad); err != nil {
			return err
		}
		ids = asm.IDs()
	}
	if slices.Contains(ids, joint) {
		return nil
	}
	hint := source.DidYouMean(joint, ids)
	if hint == "" {
		hint = "it has " + strings.Join(ids, ", ")
	}
	return fault(fmt.Errorf("--joint %s: no joint of this unit is called that: %s", joint, hint))
}

func (a *app) caseMeasure() *cobra.Command {
	var f caseFlags
	var joint, with string
	var meant bool
	c := &cobra.Command{
		Use:   "measure CASE FACT VALUE",
		Short: "write down a reading, and see whether it is good enough",
		Long: "Writes a reading into the case, where it counts as an answer, and says how it stands\n" +
			"against its target. seepwright facts lists what can be measured. Several readings go into\n" +
			"one value: \"12: 34.02, 3: 34.05 mm\".",
		Example: "  seepwright case measure pad face-flatness \"0.08 mm\" --joint pad --with feeler-gauge",
		Args:    cobra.ExactArgs(3),
		RunE: func(_ *cobra.Command, args []string) error {
			return a.onCase(f, args[0], func(h *journal.Held) error {
				w, err := a.caseWork(h)
				if err != nil {
					return err
				}
				return a.read(h, w, f.by, args[1], args[2], joint, with, meant)
			})
		},
	}
	c.Flags().StringVar(&joint, "joint", "", "the joint that was measured, where the unit has several")
	c.Flags().StringVar(&with, "with", "", "the instrument, such as vernier or micrometer")
	c.Flags().BoolVar(&meant, "meant", false, "the value is hard to believe, and right")
	f.add(c, true)
	return c
}

// read puts one reading into a case and says how it stands.
func (a *app) read(h *journal.Held, w *work, by, factID, value, joint, with string, meant bool) error {
	f := w.kb.Fact(factID)
	if f == nil {
		var ids []string
		for _, x := range w.kb.Facts {
			ids = append(ids, x.ID)
		}
		hint := source.DidYouMean(factID, ids)
		if hint == "" {
			hint = "seepwright facts lists them"
		}
		return fault(fmt.Errorf("nothing that can be measured here is called %q: %s", factID, hint))
	}
	if joint != "" {
		j, ok := w.asm.Joint(joint)
		if !ok {
			return a.jointOf(h.Case, joint)
		}
		if !rules.Applies(f.For, j.Kind) {
			return fault(fmt.Errorf("%s is no question about a %s: it belongs to %s", factID, j.Kind, strings.Join(f.For, ", ")))
		}
	} else {
		at, err := w.reach(factID)
		if err != nil {
			return fault(fmt.Errorf("%w Say it with --joint", err))
		}
		joint = at[0]
	}
	text := value
	if with != "" {
		if _, ok := answer.Instruments(w.kb.Instruments).Find(with); !ok {
			return fault(fmt.Errorf("--with %s: no instrument is called that. One of %s", with, strings.Join(instrumentIDs(w.kb), ", ")))
		}
		text += " by " + with
	}
	v, err := answer.ReadText(f, text, w.kb.Instruments)
	var odd *answer.Implausible
	switch {
	case errors.As(err, &odd) && !meant:
		return fault(fmt.Errorf("%s = %s: %w. If it is right, say so with --meant", factID, value, err))
	case err != nil && odd == nil:
		return fault(fmt.Errorf("%s = %s: %w", factID, value, err))
	}
	if odd != nil {
		h.Case.Confirm(joint, factID)
	}
	keys, err := w.session.Answer(joint, factID, v)
	if err != nil {
		return fault(err)
	}
	d := &desk{app: a, work: w, saved: h.Case}
	d.put(keys[0], answer.Write(v))
	at := ""
	if len(w.asm.Joints) > 1 || joint != w.asm.Joints[0].ID {
		at = joint
	}
	h.Case.Add(journal.Entry{At: a.now(), By: by, What: journal.Measured, Name: factID, Joint: at, Value: answer.Write(v), With: with})
	r, err := w.result()
	if err != nil {
		return err
	}
	fmt.Fprint(a.out, report.Wrap(fmt.Sprintf("%s: %s = %s", h.Case.Head.ID, title(f), engine.Say(f, v)), a.width(), 2, "", "  "))
	d.rank(r)
	if !slices.ContainsFunc(r.Targets, func(t engine.Target) bool { return t.Fact == factID && t.Joint == joint && t.Measured != "" }) {
		fmt.Fprint(a.out, report.Wrap("No limit holds for it on what is known so far.", a.width(), 0, "", ""))
	}
	return report.Text(a.out, report.Pick(r, report.Options{}, report.Measured), a.width())
}

func title(f *rules.Fact) string {
	if f.Title != "" {
		return f.Title
	}
	return strings.ReplaceAll(f.ID, "-", " ")
}

func instrumentIDs(k *rules.Knowledge) []string {
	var out []string
	for _, i := range k.Instruments {
		out = append(out, i.ID)
	}
	slices.Sort(out)
	return out
}

func (a *app) caseOpened() *cobra.Command {
	var f caseFlags
	var minutes float64
	c := &cobra.Command{
		Use:     "opened CASE WHAT...",
		Short:   "write down what was taken off or apart",
		Long:    "Writes down which steps of access, or which joints, are open, by their ids. What was seen\nbefore stays; what is measured from here on is as found.",
		Example: "  seepwright case opened pad guard cooler-off --minutes 70",
		Args:    cobra.MinimumNArgs(2),
		RunE: func(_ *cobra.Command, args []string) error {
			return a.onCase(f, args[0], func(h *journal.Held) error {
				w, err := a.caseWork(h)
				if err != nil {
					return err
				}
				ids := w.asm.IDs()
				for _, s := range w.asm.Access {
					ids = append(ids, s.ID)
				}
				for i, id := range args[1:] {
					if !slices.Contains(ids, id) {
						hint := source.DidYouMean(id, ids)
						if hint == "" {
							hint = "it has " + strings.Join(ids, ", ")
						}
						return fault(fmt.Errorf("no joint and no step of access of this unit is called %q: %s", id, hint))
					}
					e := journal.Entry{At: a.now(), By: f.by, What: journal.Opened, Name: id}
					if _, ok := w.asm.Joint(id); ok && len(w.asm.Joints) > 1 {
						e.Joint = id
					}
					if i == 0 {
						e.Minutes = minutes
					}
					h.Case.Add(e)
				}
				return nil
			})
		},
	}
	c.Flags().Float64Var(&minutes, "minutes", 0, "how long it took, all together")
	f.add(c, true)
	return c
}

func (a *app) caseDid() *cobra.Command {
	var f caseFlags
	var joint, said string
	var parts, fluids, photos []string
	var minutes float64
	c := &cobra.Command{
		Use:   "did CASE [REMEDY...]",
		Short: "write down work that was done, with parts and fluids",
		Long: "Writes down remedies by their ids, or with --said in your own words. Only remedies by id\n" +
			"teach anything at the retest. Without either, the remedies of this unit are listed.",
		Example: "  seepwright case did pad\n  seepwright case did pad face-clean-fit-dry --joint pad --part \"gasket 60 x 80\" --minutes 40\n  seepwright case did pad --said \"cleaned all eight bolts\"",
		Args:    cobra.MinimumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) == 1 && said == "" {
				return a.listRemedies(f, args[0], joint)
			}
			if minutes < 0 {
				return fmt.Errorf("--minutes %v: give a number from 0 on", minutes)
			}
			return a.onCase(f, args[0], func(h *journal.Held) error {
				if err := a.jointOf(h.Case, joint); err != nil {
					return err
				}
				e := journal.Entry{At: a.now(), By: f.by, What: journal.Did, Joint: joint, Said: said, Did: args[1:], Parts: parts, Fluids: fluids, Minutes: minutes}
				if len(e.Did) > 0 {
					w, err := a.caseWork(h)
					if err != nil {
						return err
					}
					if err := checkRemedies(w, joint, e.Did); err != nil {
						return err
					}
				} else {
					e.Did = nil
				}
				for _, p := range photos {
					e.Photos = append(e.Photos, beside(h.Path, p))
				}
				h.Case.Add(e)
				return nil
			})
		},
	}
	c.Flags().StringVar(&joint, "joint", "", "the joint that was worked on")
	c.Flags().StringVar(&said, "said", "", "what was done, in your own words")
	c.Flags().StringArrayVar(&parts, "part", nil, "a part that was fitted (repeatable)")
	c.Flags().StringArrayVar(&fluids, "fluid", nil, "a fluid, lubricant or sealant that was used (repeatable)")
	c.Flags().StringArrayVar(&photos, "photo", nil, "a picture; its name is kept (repeatable)")
	c.Flags().Float64Var(&minutes, "minutes", 0, "how long it took")
	f.add(c, true)
	return c
}

func checkRemedies(w *work, joint string, did []string) error {
	list, err := w.session.Remedies(joint)
	if err != nil {
		return fault(err)
	}
	var ids []string
	for _, r := range list {
		ids = append(ids, r.ID)
	}
	for _, id := range did {
		if slices.Contains(ids, id) {
			continue
		}
		hint := source.DidYouMean(id, ids)
		if hint == "" {
			hint = "seepwright case did CASE lists them; --said takes your own words"
		}
		return fault(fmt.Errorf("no remedy here is called %q: %s", id, hint))
	}
	return nil
}

func (a *app) listRemedies(f caseFlags, name, joint string) error {
	path, err := a.casePath(f, name)
	if err != nil {
		return err
	}
	w, err := a.open(start{answers: path})
	if err != nil {
		return err
	}
	list, err := w.session.Remedies(joint)
	if err != nil {
		return fault(err)
	}
	for _, r := range list {
		lead := "  " + r.ID + "  "
		pad := strings.Repeat(" ", min(len(lead), 8))
		fmt.Fprint(a.out, report.Wrap(r.Title, a.width(), len(lead), lead, pad))
	}
	return nil
}
