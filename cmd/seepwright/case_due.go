package main

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"seepwright/cmd/seepwright/archive"
	"seepwright/cmd/seepwright/job"
	"seepwright/cmd/seepwright/journal"
	"seepwright/kb"
	"seepwright/rules"
	"seepwright/rules/unit"
)

// stale is how long a look that nobody made stays in the list.
const stale = 90 * 24 * time.Hour

func (a *app) caseDue() *cobra.Command {
	var f caseFlags
	var format string
	c := &cobra.Command{
		Use:   "due",
		Short: "what falls due over all cases: rechecks, stop-gaps, services",
		Long: "Lists what is due over all cases of the folder: rechecks after a retest, stop-gaps with the\n" +
			"day by which the real repair has to be made, and services (table service-jobs: coolant every two\n" +
			"years, the exchanger every three ...), counted from what the records say was done or how old\n" +
			"it was. Services of a unit that share an opening are put into one visit where what is thrown\n" +
			"away is worth less than the opening saved; the sum is shown. --format ical writes a calendar\n" +
			"(RFC 5545).",
		Example: "  seepwright case due\n  seepwright case due --format ical > due.ics",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if err := oneOf("--format", format, []string{"text", "ical"}); err != nil {
				return err
			}
			k, err := a.knowledge(nil)
			if err != nil {
				return err
			}
			services, err := serviceJobs()
			if err != nil {
				return fault(err)
			}
			var ages []string
			for _, s := range services {
				ages = append(ages, s.AgeFact)
			}
			s, err := a.store(f.dir)
			if err != nil {
				return fault(err)
			}
			lines, err := s.Works(ages...)
			if err != nil {
				return fault(err)
			}
			list, remarks := a.caseDates(lines, k)
			visits, unknown := a.visits(lines, k, services)
			list = append(list, visits...)
			slices.SortStableFunc(list, func(x, y archive.Date) int {
				if x.At.IsZero() != y.At.IsZero() {
					if x.At.IsZero() {
						return 1
					}
					return -1
				}
				return cmp.Or(x.At.Compare(y.At), cmp.Compare(x.Unit, y.Unit), cmp.Compare(x.Case, y.Case))
			})
			if format == "ical" {
				_, err = fmt.Fprint(a.out, archive.Calendar(list, a.now()))
				return err
			}
			words := a.archiveWords(k)
			fmt.Fprint(a.out, archive.DueText(list, a.now(), words))
			for _, r := range append(remarks, unknown...) {
				fmt.Fprint(a.out, words.Wrap(r, "", ""))
			}
			return nil
		},
	}
	c.Flags().StringVar(&format, "format", "text", "text or ical")
	f.add(c, false)
	return c
}

// serviceJobs are the services of the table.
func serviceJobs() ([]archive.Service, error) {
	t, err := kb.Published().Table("service-jobs")
	if err != nil {
		return nil, err
	}
	y, _ := unit.ByName("year")
	var out []archive.Service
	for _, r := range t.Rows() {
		every, _ := r.SI("every_year")
		takes, _ := r.SI("job_min")
		out = append(out, archive.Service{
			ID: r.Text("name"), Title: r.Text("job"), Kinds: strings.Fields(r.Text("kinds")), Fluid: r.Text("fluid"),
			Years: every / y.ToSI(1), Minutes: takes / 60, AgeFact: r.Text("age_fact"), Renews: strings.Fields(r.Text("renewed_by")), With: r.Text("with"),
		})
	}
	return out, nil
}

// caseDates are what falls due in single cases. Only those are opened in which something can.
func (a *app) caseDates(lines []journal.Line, k *rules.Knowledge) (list []archive.Date, remarks []string) {
	now := a.now()
	tagged := func(e journal.Entry) bool {
		return e.What == journal.Did && slices.ContainsFunc(e.Did, func(id string) bool {
			r := k.Remedy(id)
			return r != nil && slices.Contains(r.Cautions, "tag-it")
		})
	}
	old := 0
	for _, l := range lines {
		if l.Err != nil {
			remarks = append(remarks, fmt.Sprintf("Cannot be read: %v", l.Err))
			continue
		}
		recent := l.Head.End == journal.Dry && now.Sub(l.Head.Closed) < stale+60*24*time.Hour
		if !l.Head.Open() && !recent && !slices.ContainsFunc(l.Work, tagged) || l.Head.End == "replaced" {
			continue
		}
		c, err := journal.Open(l.Path)
		if err != nil || c == nil {
			continue // it went between the two looks
		}
		j := &job.Job{Case: c, KB: k, Unit: a.unitOf(c), Tables: kb.Published(), Now: now}
		for _, d := range j.Due() {
			if d.Kind != job.Replace && !d.At.IsZero() && now.Sub(d.At) > stale {
				old++
				continue
			}
			list = append(list, archive.Date{At: d.At, Case: l.Head.ID, Unit: l.Head.Unit, Joint: j.Title(d.Joint), Kind: string(d.Kind), What: d.What, Until: d.Until})
		}
	}
	if old > 0 {
		remarks = append(remarks, fmt.Sprintf("Left out: %d looks that were due more than %.0f days ago.", old, stale.Hours()/24))
	}
	return list, remarks
}

// visits are the services of all units, and of which no record says when they were last done.
func (a *app) visits(lines []journal.Line, k *rules.Knowledge, services []archive.Service) (list []archive.Date, unknown []string) {
	units := map[string][]journal.Line{}
	for _, l := range lines {
		if l.Err == nil && l.Head.Unit != "" {
			units[l.Head.Unit] = append(units[l.Head.Unit], l)
		}
	}
	kind := func(id string) string {
		if r := k.Remedy(id); r != nil {
			return r.Kind
		}
		return ""
	}
	for _, name := range slices.Sorted(maps.Keys(units)) {
		cases := units[name]
		slices.SortStableFunc(cases, func(x, y journal.Line) int { return x.Head.Opened.Compare(y.Head.Opened) })
		last := cases[len(cases)-1]
		if last.Head.End == "replaced" {
			continue
		}
		c, err := journal.Open(last.Path)
		if err != nil || c == nil {
			continue
		}
		asm := a.unitOf(c)
		if asm == nil {
			continue
		}
		fluid := c.File.Answers["fluid"].Scalar
		if fluid == "" {
			fluid = asm.Answers["fluid"].Scalar
		}
		turns := archive.Turns(services, asm, name, fluid, cases, kind)
		var without []string
		for _, t := range turns {
			if t.Last.IsZero() {
				w := t.Service.Title
				if t.Service.AgeFact != "" {
					w += " (or answer " + t.Service.AgeFact + ")"
				}
				without = append(without, w)
			}
		}
		if len(without) > 0 {
			unknown = append(unknown, fmt.Sprintf("Of %s no record says when this was last done: %s.", name, strings.Join(without, ", ")))
		}
		for _, v := range archive.Combine(turns, a.now()) {
			list = append(list, visitDate(v))
		}
	}
	return list, unknown
}

// visitDate puts a visit into a line and its sums.
func visitDate(v archive.Visit) archive.Date {
	d := archive.Date{At: v.At, Unit: v.Unit, Kind: "service"}
	for i, t := range v.Turns {
		s := fmt.Sprintf("%s, every %g years, last %s", t.Service.Title, t.Service.Years, t.Last.Local().Format(time.DateOnly))
		if i == 0 {
			d.What = s
			if t.Service.With != "" {
				d.Notes = append(d.Notes, t.Service.With)
			}
			continue
		}
		d.What += "; in the same visit " + t.Service.Title
		d.Notes = append(d.Notes, t.Service.Title+": "+v.Sums[i-1])
	}
	return d
}
