package main

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"seepwright/cmd/seepwright/picture"
	"seepwright/cmd/seepwright/report"
	"seepwright/cmd/seepwright/sheet"
	"seepwright/engine"
	"seepwright/engine/plan"
	"seepwright/rules/fact"
	"seepwright/rules/unit"
)

// drawing is anything that can be drawn.
type drawing interface {
	Draw() (picture.Picture, error)
}

// pictures draws what a sheet shows: where it is wet, rings in their glands, rows of diameters,
// and last what is likeliest and where the minutes go. What cannot be drawn is left out: its
// numbers stand in the tables of the sheet.
func (w *work) pictures(r *engine.Result, units string) []sheet.Picture {
	if r.Stop != nil && r.Stop.Refuses {
		return nil
	}
	about := picture.About{Of: w.asm.Title, Inch: units == "inch"}
	if len(w.asm.Joints) == 1 {
		about.Of = ""
	}
	over := r.Cured || r.Run.Verdict == "dry"
	var list []drawing
	if len(r.Joints) > 1 && !over {
		list = append(list, w.whereWet(r, about))
	}
	for _, j := range w.drawable(r) {
		at := picture.About{Key: j.Joint, Of: j.Title, Inch: about.Inch}
		g, ok := w.gland(j.Joint, at)
		if ok {
			list = append(list, g)
		}
		list = append(list, w.rounds(j, at, g)...)
		list = append(list, w.beyond(j.Joint)...)
	}
	if !over {
		list = append(list, likeliest(r, about))
		if len(r.Plan.Steps) > 0 {
			list = append(list, planMinutes(r, about))
		}
	}
	var out []sheet.Picture
	for _, d := range list {
		if p, err := d.Draw(); err == nil {
			out = append(out, sheet.Picture{Title: p.Title, Desc: p.Desc, SVG: p.SVG, Head: p.Table.Head, Rows: p.Table.Rows, Notes: p.Table.Notes})
		}
	}
	return out
}

// drawable are the joints that are worked on; where there is no plan, all.
func (w *work) drawable(r *engine.Result) []engine.JointOdds {
	var out []engine.JointOdds
	for _, j := range r.Joints {
		if slices.ContainsFunc(r.Plan.Steps, func(s plan.Step) bool { return s.Joint == j.Joint || slices.Contains(s.Joints, j.Joint) }) {
			out = append(out, j)
		}
	}
	if len(r.Plan.Steps) == 0 {
		return r.Joints
	}
	return out
}

func (w *work) whereWet(r *engine.Result, about picture.About) picture.Where {
	p := picture.Where{About: about}
	for _, j := range r.Joints {
		x := picture.WetJoint{ID: j.Joint, Title: j.Title, State: picture.Unknown, Odds: report.Odds(j.Probability), Share: j.Probability}
		switch j.Wet {
		case "yes":
			x.State = picture.Wet
		case "no":
			x.State = picture.Dry
		}
		if a, ok := w.asm.Joint(j.Joint); ok {
			x.Above, x.BlownFrom = a.Above, a.BlownFrom
		}
		p.Joints = append(p.Joints, x)
	}
	return p
}

// The facts of a ring in a groove on a spigot, and the targets that hold its squeeze.
const (
	ringCord     = "ring-section"
	grooveFloor  = "groove-diameter"
	grooveWidth  = "groove-width"
	boreDiameter = "bore-mean"
	clearance    = "diametral-clearance"
	leastSqueeze = "least-squeeze-floor"
	leastPushed  = "least-squeeze-pushed-over"
	mostSqueeze  = "squeeze-ceiling"
)

const millimetre = 1e-3

// length is a number of a joint in millimetres.
func (w *work) length(joint, id string) (mm float64, ok bool) {
	mem := w.session.Memory()
	v, known, clash := mem.Value(mem.Key(joint, id))
	if !known || clash || !v.Answered() || v.Type != fact.Number {
		return 0, false
	}
	return v.Num.SI / millimetre, true
}

// gland is the ring with the spigot in the middle, and on the open side of a spigot that is pushed
// over by its clearance; ok where all sizes are known.
func (w *work) gland(joint string, about picture.About) (picture.Gland, bool) {
	cord, ok1 := w.length(joint, ringCord)
	floor, ok2 := w.length(joint, grooveFloor)
	bore, ok3 := w.length(joint, boreDiameter)
	if !ok1 || !ok2 || !ok3 {
		return picture.Gland{}, false
	}
	g := picture.Gland{About: about, Inner: "spigot", Outer: "bore"}
	g.Width, _ = w.length(joint, grooveWidth)
	if t := w.kb.Target(leastSqueeze); t != nil && t.AtLeast != nil {
		g.Least = t.AtLeast.SI
	}
	if t := w.kb.Target(mostSqueeze); t != nil && t.AtMost != nil {
		g.Most = t.AtMost.SI
	}
	depth := (bore - floor) / 2
	slack, known := w.length(joint, clearance)
	g.Sections = []picture.GlandSection{{Title: "spigot in the middle", Cord: cord, Depth: depth, Gap: slack / 2}}
	if known && slack > 0 {
		if t := w.kb.Target(leastPushed); t != nil && t.AtLeast != nil {
			g.Notes = append(g.Notes, fmt.Sprintf("Wanted: at least %s round the clock, and at least %s where the spigot is pushed over.", share(g.Least), share(t.AtLeast.SI)))
		}
		g.Least = 0 // the two sections have limits of their own
		g.Sections = append(g.Sections, picture.GlandSection{Title: "pushed over, open side", Cord: cord, Depth: depth + slack/2, Gap: slack})
	}
	return g, true
}

// share writes a share in per cent.
func share(x float64) string { return unit.Show(100*x, 3) + " %" }

// fewest rows of diameters of which a profile is drawn.
const fewestDiameters = 3

// rounds are the profiles of rows of diameters that were read round the clock. Each diameter
// says the same of both its ends.
func (w *work) rounds(j engine.JointOdds, about picture.About, g picture.Gland) []drawing {
	var out []drawing
	mem := w.session.Memory()
	for _, f := range w.kb.Facts {
		if f.Answer != fact.Readings || f.Dim != unit.LengthDim || f.UsedOn != "bore" && f.UsedOn != "outside" {
			continue
		}
		v, known, clash := mem.Value(mem.Key(j.Joint, f.ID))
		if !known || clash || !v.Answered() || len(v.Rows) < fewestDiameters {
			continue
		}
		p := picture.Roundness{About: about, Clock: true}
		p.Key += "-" + f.ID
		p.Of = strings.TrimSpace(f.Title + ", " + j.Title)
		lo, hi := v.Rows[0].SI/millimetre/2, v.Rows[0].SI/millimetre/2
		for _, row := range v.Rows {
			deg, ok := clockDegrees(row.At)
			if !ok {
				p.Profile = nil
				break
			}
			radius := row.SI / millimetre / 2
			lo, hi = min(lo, radius), max(hi, radius)
			p.Profile = append(p.Profile, picture.Polar{Angle: deg, Off: radius}, picture.Polar{Angle: deg + 180, Off: radius})
		}
		if p.Profile == nil {
			continue
		}
		p.Radius, p.Zone = (lo+hi)/2, hi-lo
		for i := range p.Profile {
			p.Profile[i].Off -= p.Radius
		}
		if t := w.kb.Target(leastSqueeze); len(g.Sections) > 0 && t != nil && t.AtLeast != nil && f.UsedOn == "bore" {
			floor, _ := w.length(j.Joint, grooveFloor)
			p.Lost = &picture.Lost{Off: g.Sections[0].Cord*(1-t.AtLeast.SI) + floor/2 - p.Radius, Limit: share(t.AtLeast.SI)}
		}
		out = append(out, p)
	}
	return out
}

// clockDegrees reads a place of a row of readings as a clock.
func clockDegrees(at string) (deg float64, ok bool) {
	word, _, _ := strings.Cut(strings.TrimSpace(at), " ")
	h, m, found := strings.Cut(word, ":")
	hours, err := strconv.Atoi(h)
	if !found || err != nil || hours < 0 || hours > 12 {
		return 0, false
	}
	minutes, err := strconv.Atoi(m)
	if err != nil || minutes < 0 || minutes > 59 {
		return 0, false
	}
	return float64(hours%12)*30 + float64(minutes)/2, true
}

// likeliest are the leading causes as bars.
func likeliest(r *engine.Result, about picture.About) picture.Ranking {
	titles := map[string]string{}
	for _, j := range r.Joints {
		titles[j.Joint] = j.Title
	}
	p := picture.Ranking{About: about}
	shown := report.Shown(r)
	for _, x := range shown {
		c := picture.Chance{Title: x.Title, At: titles[x.Joint], Odds: report.Odds(x.Probability), Share: x.Probability, Before: x.Prior}
		if x.Shared {
			c.At = "all like joints at once"
		} else if len(r.Joints) == 1 {
			c.At = ""
		}
		for _, b := range r.Bounds {
			if b.Joint == x.Joint && b.Cause == x.Cause {
				c.Low, c.High = b.Low, b.High
			}
		}
		p.Causes = append(p.Causes, c)
	}
	if n := len(r.Ranking) - len(shown); n > 0 {
		p.Rest = fmt.Sprintf("%d more causes are less likely.", n)
	}
	return p
}

// planMinutes are the minutes of the plan by its parts.
func planMinutes(r *engine.Result, about picture.About) picture.Minutes {
	p := picture.Minutes{About: about, Notes: []string{"What may not be needed is counted in full."}}
	for _, part := range report.Parts {
		x := picture.PartTime{Title: part.Title}
		for _, s := range r.Plan.Steps {
			if s.Part == part.ID {
				x.Hands, x.Wait = x.Hands+s.Minutes, x.Wait+s.Wait
			}
		}
		if x.Hands+x.Wait > 0 {
			p.Parts = append(p.Parts, x)
		}
	}
	return p
}
