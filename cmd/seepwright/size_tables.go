package main

import (
	"fmt"
	"strings"

	"seepwright/cmd/seepwright/report"
	"seepwright/engine/measure/gland"
	"seepwright/engine/measure/ringsize"
	"seepwright/kb"
	"seepwright/rules/table"
	"seepwright/rules/unit"
)

// ringTables are the tables of ring sizes: the name that is shown, and how a row of it is ordered.
var ringTables = []struct {
	name, standard string
	order          func(r table.Row) string
}{
	{"ring-sizes-as568", "AS568", func(r table.Row) string { return "-" + r.Text("name") }},
	{"ring-sizes-jis-b2401", "JIS B 2401", func(r table.Row) string { return r.Text("size") }},
	{"ring-sizes-din3771", "DIN 3771", func(r table.Row) string { return strings.ReplaceAll(r.Text("name"), "-", " ") }},
}

// ringSizes reads all ring sizes out of the tables.
func ringSizes(tables *kb.Tables) (ringsize.Sizes, error) {
	var s ringsize.Sizes
	for _, in := range ringTables {
		t, err := tables.Table(in.name)
		if err != nil {
			return s, err
		}
		for _, r := range t.Rows() {
			count, _ := r.SI("sizes_n")
			s.Rings = append(s.Rings, ringsize.Ring{Table: in.standard, Name: in.order(r), ID: exact(r, "id"), IDTol: exact(r, "id_tol"), Cord: exact(r, "cs"), CordTol: exact(r, "cs_tol"),
				From: exact(r, "id_from"), To: exact(r, "id_to"), Count: count, Listed: true, Source: r.Source(), Standing: r.Standing(), Note: r.Text("note")})
		}
	}
	metric, err := tables.Table("ring-sizes-metric")
	if err != nil {
		return s, err
	}
	for _, r := range metric.Rows() {
		s.Metric = append(s.Metric, ringsize.Grid{Cord: exact(r, "cs"), From: exact(r, "id_from"), To: exact(r, "id_to"), Step: exact(r, "step")})
	}
	sections, err := tables.Table("ring-section-tolerance")
	if err != nil {
		return s, err
	}
	for _, r := range sections.Where(table.Is("name", "iso3601-class-b-metric")) {
		s.ClassB = append(s.ClassB, ringsize.Band{From: exact(r, "cs_from"), To: exact(r, "cs_to"), Tol: exact(r, "tol")})
	}
	return s, nil
}

// exact is a length of a row: from inches where the row has them, because millimetres are rounded there.
func exact(r table.Row, head string) unit.Length {
	if in, ok := r.SI(head + "_in"); ok {
		return unit.Length(in)
	}
	mm, _ := r.SI(head + "_mm")
	return unit.Length(mm)
}

// The rows of oring-limits that bound a ring in its gland. The sources disagree; static glands take squeeze,
// interference and fill from one page, so that they go together, and stretch from another.
type limitRow struct {
	quantity, duty, source string
}

const (
	notebook = "engineering notebook page on O-rings"
	design   = "groove design considerations, trade page"
	guide    = "seal design guide, dimensional considerations"
	ebook    = "O-ring e-handbook, volume change and gland overfill"
)

// bandsFor reads the limits for a gland and a duty, with where each comes from.
func bandsFor(tables *kb.Tables, kind gland.Kind, duty string) (ringsize.Bands, []report.Limit, error) {
	var b ringsize.Bands
	t, err := tables.Table("oring-limits")
	if err != nil {
		return b, nil, err
	}
	var used []report.Limit
	row := func(want limitRow) (table.Row, error) {
		return t.Find(want.quantity+" for "+want.duty, table.Is("name", want.quantity), table.Is("duty", want.duty), table.Is("source", want.source))
	}
	take := func(of string, into *ringsize.Limits, want, aim limitRow) error {
		r, err := row(want)
		if err != nil {
			return err
		}
		least, _ := r.SI("least_pct")
		most, ok := r.SI("greatest_pct")
		if !ok {
			return fmt.Errorf("the limits of %s have no greatest value in the table", want.quantity)
		}
		from := r.Source()
		typical, _ := r.SI("typical_pct")
		if aim.quantity != "" {
			a, err := row(aim)
			if err != nil {
				return err
			}
			typical, _ = a.SI("typical_pct")
			from += "; value aimed at: " + a.Source()
		}
		*into = ringsize.Limits{Least: unit.Ratio(least), Greatest: unit.Ratio(most), Aim: unit.Ratio(typical)}
		used = append(used, report.Limit{Of: of, Limits: *into, From: from, Standing: r.Standing()})
		return nil
	}
	squeeze := limitRow{"squeeze", "radial-static", notebook}
	switch {
	case duty == "moving":
		squeeze = limitRow{"squeeze", "reciprocating", design}
	case kind.Face():
		squeeze = limitRow{"squeeze", "face-static", notebook}
	}
	hold, holdName, aim := limitRow{"stretch", "general", design}, "stretch", limitRow{"stretch", "piston", guide}
	switch kind {
	case gland.Rod:
		hold, holdName, aim = limitRow{"interference", "rod", notebook}, "interference", limitRow{}
	case gland.FaceInside:
		hold, holdName, aim = limitRow{"interference", "face-inside-pressure", notebook}, "interference", limitRow{}
	case gland.FaceOutside:
		hold, aim = limitRow{"stretch", "face-outside-pressure", notebook}, limitRow{}
	}
	for _, err := range []error{take("squeeze", &b.Squeeze, squeeze, limitRow{}), take(holdName, &b.Hold, hold, aim), take("fill", &b.Fill, limitRow{"fill", "static", notebook}, limitRow{})} {
		if err != nil {
			return b, nil, err
		}
	}
	worst, err := row(limitRow{"fill-worst-case", "any", ebook})
	if err != nil {
		return b, nil, err
	}
	most, _ := worst.SI("greatest_pct")
	b.FillWorst = unit.Ratio(most)
	used = append(used, report.Limit{Of: "fill over the tolerances", Limits: ringsize.Limits{Greatest: b.FillWorst}, OneSided: true, From: worst.Source(), Standing: worst.Standing()})
	return b, used, nil
}
