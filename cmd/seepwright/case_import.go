package main

import (
	"fmt"
	"os"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"seepwright/cmd/seepwright/journal"
	"seepwright/cmd/seepwright/readings"
	"seepwright/cmd/seepwright/report"
	"seepwright/engine"
	"seepwright/rules"
	"seepwright/rules/answer"
	"seepwright/rules/fact"
	"seepwright/rules/source"
)

// importReadings takes readings of a table into a case.
func (a *app) importReadings() *cobra.Command {
	var f caseFlags
	var meant bool
	c := &cobra.Command{
		Use:   "readings CASE FILE.csv",
		Short: "take readings of a table into a case",
		Long: "Takes readings into a case, whole or not at all. The first line of the table has the heads\n" +
			"fact, joint, at, value, unit, plus_minus, instrument; fact and value must be there. Each\n" +
			"further line is one reading; several of one fact at one joint are a row. Commas, semicolons\n" +
			"(then with decimal commas) or tabs divide. case export --readings writes such a table.",
		Example: "  seepwright case import readings pad bore.csv --by m",
		Args:    cobra.ExactArgs(2),
		RunE: func(_ *cobra.Command, args []string) error {
			data, err := os.ReadFile(args[1])
			if err != nil {
				return fault(fmt.Errorf("%s: the file cannot be read: %s", args[1], reason(err)))
			}
			list, bad := readings.ParseNamed(args[1], data)
			if err := faults(bad); err != nil {
				return err
			}
			return a.onCase(f, args[0], func(h *journal.Held) error { return a.takeIn(h, list, f.by, meant) })
		},
	}
	c.Flags().BoolVar(&meant, "meant", false, "values that are hard to believe are right")
	f.add(c, true)
	return c
}

// tableRow is what a table says of one fact at one joint.
type tableRow struct {
	fact  *rules.Fact
	joint string
	list  []readings.Named
}

// takeIn puts readings into a case, and says how they stand.
func (a *app) takeIn(h *journal.Held, list []readings.Named, by string, meant bool) error {
	w, err := a.caseWork(h)
	if err != nil {
		return err
	}
	var rows []*tableRow
	var bad source.Findings
	fail := func(at source.Place, hint, format string, args ...any) {
		bad = append(bad, source.Finding{Place: at, Code: "bad-reading", What: fmt.Sprintf(format, args...), Hint: hint})
	}
	for _, n := range list {
		f, joint, column, hint, err := w.wants(n)
		if err != nil {
			at, ok := n.Cells[column]
			if !ok {
				at = n.Place
			}
			fail(at, hint, "%s", err)
			continue
		}
		i := slices.IndexFunc(rows, func(r *tableRow) bool { return r.fact == f && r.joint == joint })
		if i < 0 {
			rows = append(rows, &tableRow{fact: f, joint: joint})
			i = len(rows) - 1
		} else if f.Answer == fact.Number {
			fail(n.Place, "leave one of them out", "%s is one number, and this is a second reading of it", f.ID)
			continue
		}
		rows[i].list = append(rows[i].list, n)
	}
	if len(bad) > 0 {
		return faults(bad.Sort())
	}
	d := &desk{app: a, work: w, saved: h.Case}
	var said strings.Builder
	for _, r := range rows {
		text := rules.AnswerText{Place: r.list[0].Place}
		with := r.list[0].Instrument
		for _, n := range r.list {
			v := n.Value
			if n.Instrument != "" {
				v += " by " + n.Instrument
			}
			if n.Instrument != with {
				with = ""
			}
			text.List, text.At = append(text.List, v), append(text.At, n.At)
		}
		if r.fact.Answer == fact.Number {
			text = rules.AnswerText{Scalar: text.List[0], Place: text.Place}
		}
		v, found := answer.Read(r.fact, text, w.kb.Instruments)
		odd := len(found) > 0 && found[0].Code == answer.ImplausibleCode
		if len(found) > 0 && (!odd || !meant) {
			if odd {
				found[0].Hint += "; if it is right, say so with --meant"
			}
			bad = append(bad, found...)
			continue
		}
		if odd {
			h.Case.Confirm(r.joint, r.fact.ID)
		}
		keys, err := w.session.Answer(r.joint, r.fact.ID, v)
		if err != nil {
			fail(text.Place, "", "%s", err)
			continue
		}
		d.put(keys[0], answer.Write(v))
		at := ""
		if len(w.asm.Joints) > 1 || r.joint != w.asm.Joints[0].ID {
			at = r.joint
		}
		h.Case.Add(journal.Entry{At: a.now(), By: by, What: journal.Measured, Name: r.fact.ID, Joint: at, Value: answer.Write(v), With: with})
		said.WriteString(report.Wrap(fmt.Sprintf("%s: %s = %s", h.Case.Head.ID, title(r.fact), engine.Say(r.fact, v)), a.width(), 2, "", "  "))
	}
	if len(bad) > 0 {
		for i := range bad {
			bad[i].Warning = false
		}
		return faults(bad.Sort())
	}
	fmt.Fprint(a.out, said.String())
	r, err := w.result()
	if err != nil {
		return err
	}
	d.rank(r)
	return report.Text(a.out, report.Pick(r, report.Options{}, report.Measured), a.width())
}

// wants finds the fact and the joint of a reading; column is the one that an error is about.
func (w *work) wants(n readings.Named) (f *rules.Fact, joint, column, hint string, err error) {
	f = w.kb.Fact(n.Fact)
	switch {
	case f == nil:
		var ids []string
		for _, x := range w.kb.Facts {
			ids = append(ids, x.ID)
		}
		if hint = source.DidYouMean(n.Fact, ids); hint == "" {
			hint = "seepwright facts lists them"
		}
		return nil, "", "fact", hint, fmt.Errorf("nothing that can be measured here is called %q", n.Fact)
	case f.Answer != fact.Number && f.Answer != fact.Readings:
		return nil, "", "fact", "answer it with seepwright diagnose --case", fmt.Errorf("%s is no measurement", f.ID)
	case n.Joint == "":
		at, err := w.reach(f.ID)
		if err != nil {
			return nil, "", "joint", "say it in the column joint", err
		}
		joint = at[0]
	default:
		j, ok := w.asm.Joint(n.Joint)
		if !ok {
			if hint = source.DidYouMean(n.Joint, w.asm.IDs()); hint == "" {
				hint = "it has " + strings.Join(w.asm.IDs(), ", ")
			}
			return nil, "", "joint", hint, fmt.Errorf("no joint of this unit is called %q", n.Joint)
		}
		if !rules.Applies(f.For, j.Kind) {
			return nil, "", "fact", "it belongs to " + strings.Join(f.For, ", "), fmt.Errorf("%s is no question about a %s", f.ID, j.Kind)
		}
		joint = n.Joint
	}
	if n.Instrument != "" {
		if _, ok := answer.Instruments(w.kb.Instruments).Find(n.Instrument); !ok {
			return nil, "", "instrument", "one of " + strings.Join(instrumentIDs(w.kb), ", "), fmt.Errorf("no instrument is called %q", n.Instrument)
		}
	}
	return f, joint, "", "", nil
}
