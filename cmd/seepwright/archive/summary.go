package archive

import (
	"cmp"
	"maps"
	"slices"
	"time"

	"seepwright/cmd/seepwright/journal"
)

// Asked is what a summary is to be of.
type Asked struct {
	Now     time.Time
	Since   time.Time                           // of cases opened before nothing is said; zero: of all
	Planned func(remedy string) (float64, bool) // hands-on minutes that the knowledge base plans; nil: none known
}

// Summary is what many cases say together.
type Summary struct {
	Cases  int        `json:"cases"`
	Open   int        `json:"open"`
	Dry    int        `json:"closed-dry"`
	Other  int        `json:"ended-otherwise"`
	First  time.Time  `json:"first,omitzero"`
	Last   time.Time  `json:"last,omitzero"`
	Unread []Unread   `json:"cannot-be-read,omitempty"`
	Failed []Failed   `json:"failed"`
	Lasted Lasted     `json:"lasted"`
	Kinds  []Lasted   `json:"lasted-by-kind,omitempty"`
	Again  []Again    `json:"leaked-again,omitempty"`
	Retest FirstTime  `json:"first-retest"`
	Time   Minutes    `json:"minutes"`
	Work   []Overtime `json:"work,omitempty"`
}

// Unread is a case that cannot be read.
type Unread struct {
	Path string `json:"path"`
	Why  string `json:"why"`
}

// Failed is one cause at one joint of one unit.
type Failed struct {
	Unit  string `json:"unit,omitempty"`
	Joint string `json:"joint,omitempty"`
	Kind  string `json:"kind,omitempty"`
	Cause string `json:"cause,omitempty"` // "" where it was told in words alone
	Cases int    `json:"cases"`
}

// Lasted is how long repairs lasted.
type Lasted struct {
	Kind    string     `json:"kind,omitempty"`
	Repairs int        `json:"repairs"`
	Again   int        `json:"leaked-again"`
	Hold    int        `json:"still-hold"`
	Unnamed int        `json:"of-no-named-unit,omitempty"` // left out: nobody can say whether they hold
	Median  *float64   `json:"median-days,omitempty"`      // nil: more than half hold
	Longest float64    `json:"longest-watched-days"`
	After   []Standing `json:"dry-after,omitempty"`
}

// Standing is the share that is dry after some days, with 95 % limits, where anything failed.
type Standing struct {
	Days    int     `json:"days"`
	Share   float64 `json:"share"`
	Low     float64 `json:"low"`
	High    float64 `json:"high"`
	Watched int     `json:"watched"` // repairs that were watched for longer
}

// Again is a joint that leaked again after it was closed dry.
type Again struct {
	Unit     string  `json:"unit"`
	Joint    string  `json:"joint,omitempty"`
	Times    int     `json:"times"`
	Repairs  int     `json:"repairs"`
	Shortest float64 `json:"shortest-days"`
}

// FirstTime is how many cases passed when they were first tried after work.
type FirstTime struct {
	Passed int `json:"passed"` // every retest was dry until the case was closed dry
	Failed int `json:"failed"`
	None   int `json:"no-retest-logged"` // of the closed ones
}

// Minutes is time that was written down.
type Minutes struct {
	All     float64 `json:"all"`     // of work, opening and retests
	Spent   float64 `json:"spent"`   // of work that names remedies whose minutes are known
	Planned float64 `json:"planned"` // of the same work
	Jobs    int     `json:"jobs"`
}

// Overtime is one way of work: remedies done in one go.
type Overtime struct {
	Did     []string `json:"did"`
	Times   int      `json:"times"`
	Spent   float64  `json:"spent"`
	Planned float64  `json:"planned"`
}

// after are the days of which a summary says what is dry then.
var after = []int{7, 30, 90, 365, 2 * 365}

// Summarize puts many cases together.
func Summarize(all []journal.Line, ask Asked) Summary {
	s := Summary{Failed: []Failed{}}
	cases := make([]journal.Line, 0, len(all))
	for _, l := range all {
		if l.Err != nil {
			s.Unread = append(s.Unread, Unread{l.Path, l.Err.Error()})
			continue
		}
		cases = append(cases, l)
	}
	slices.SortStableFunc(cases, func(a, b journal.Line) int { return a.Head.Opened.Compare(b.Head.Opened) })
	failed := map[Failed]int{}
	ways := map[string]*Overtime{}
	for i := range cases {
		l := &cases[i]
		if l.Head.Opened.Before(ask.Since) {
			continue
		}
		if s.Cases++; s.First.IsZero() {
			s.First = l.Head.Opened
		}
		s.Last = l.Head.Opened
		switch {
		case l.Head.Open():
			s.Open++
		case l.Head.End == journal.Dry:
			s.Dry++
		default:
			s.Other++
		}
		for _, p := range l.Proven {
			failed[Failed{Unit: l.Head.Unit, Joint: p.Joint, Kind: p.Kind, Cause: p.Cause}]++
		}
		s.Retest.add(l)
		s.Time.add(l, ask.Planned, ways)
	}
	for f, n := range failed {
		f.Cases = n
		s.Failed = append(s.Failed, f)
	}
	slices.SortFunc(s.Failed, func(a, b Failed) int {
		return cmp.Or(cmp.Compare(b.Cases, a.Cases), cmp.Compare(a.Unit, b.Unit), cmp.Compare(a.Joint, b.Joint), cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.Cause, b.Cause))
	})
	for _, k := range slices.Sorted(maps.Keys(ways)) {
		s.Work = append(s.Work, *ways[k])
	}
	slices.SortStableFunc(s.Work, func(a, b Overtime) int { return cmp.Compare(b.Spent-b.Planned, a.Spent-a.Planned) })
	s.lasted(cases, ask)
	return s
}

// lasted fills in how long repairs lasted.
func (s *Summary) lasted(cases []journal.Line, ask Asked) {
	list, ends, unnamed := repairs(cases)
	list = slices.DeleteFunc(list, func(r repair) bool { return r.from.Before(ask.Since) })
	kinds := map[string][]Spell{}
	type key struct{ unit, joint string }
	at := map[key]*Again{}
	var spells []Spell
	for _, r := range list {
		x := r.spell(ask.Now, ends)
		spells = append(spells, x)
		if r.kind != "" {
			kinds[r.kind] = append(kinds[r.kind], x)
		}
		k := key{r.unit, r.joint}
		if at[k] == nil {
			at[k] = &Again{Unit: r.unit, Joint: r.joint}
		}
		a := at[k]
		a.Repairs++
		if x.Failed {
			if a.Times++; a.Times == 1 || x.Days < a.Shortest {
				a.Shortest = x.Days
			}
		}
	}
	s.Lasted = lasted("", spells)
	s.Lasted.Unnamed = unnamed
	for _, k := range slices.Sorted(maps.Keys(kinds)) {
		s.Kinds = append(s.Kinds, lasted(k, kinds[k]))
	}
	for _, a := range at {
		if a.Times > 0 {
			s.Again = append(s.Again, *a)
		}
	}
	slices.SortFunc(s.Again, func(a, b Again) int {
		return cmp.Or(cmp.Compare(b.Times, a.Times), cmp.Compare(a.Shortest, b.Shortest), cmp.Compare(a.Unit, b.Unit), cmp.Compare(a.Joint, b.Joint))
	})
}

func lasted(kind string, spells []Spell) Lasted {
	out := Lasted{Kind: kind, Repairs: len(spells)}
	for _, x := range spells {
		out.Longest = max(out.Longest, x.Days)
		if x.Failed {
			out.Again++
		} else {
			out.Hold++
		}
	}
	steps := ProductLimit(spells)
	if m, ok := Median(steps); ok {
		out.Median = &m
	}
	for _, days := range after {
		n := watched(spells, float64(days))
		if n == 0 {
			break // nobody has watched so long
		}
		p := At(steps, float64(days))
		low, high := p.Limits()
		out.After = append(out.After, Standing{Days: days, Share: p.Holds, Low: low, High: high, Watched: n})
	}
	return out
}

// add counts how a case came out when it was first tried after work.
func (f *FirstTime) add(l *journal.Line) {
	worked := slices.ContainsFunc(l.Work, func(e journal.Entry) bool { return e.What == journal.Did })
	begun, tested := !worked, false
	for _, e := range l.Work {
		switch {
		case e.What == journal.Did:
			begun = true
		case e.What == journal.Retest && begun && leaked(e):
			f.Failed++
			return
		case e.What == journal.Retest && begun:
			tested = true
		case e.What == journal.Closed && e.Name == journal.Dry && tested:
			f.Passed++
			return
		}
	}
	if !l.Head.Open() && !tested {
		f.None++
	}
}

// add counts the minutes of a case.
func (m *Minutes) add(l *journal.Line, planned func(string) (float64, bool), ways map[string]*Overtime) {
	for _, e := range l.Work {
		m.All += e.Minutes
		if e.What != journal.Did || e.Minutes == 0 || len(e.Did) == 0 || planned == nil {
			continue
		}
		sum, known := 0.0, true
		name := ""
		for _, id := range e.Did {
			x, ok := planned(id)
			sum, known = sum+x, known && ok
			name += id + "\n"
		}
		if !known {
			continue
		}
		m.Spent, m.Planned, m.Jobs = m.Spent+e.Minutes, m.Planned+sum, m.Jobs+1
		w := ways[name]
		if w == nil {
			w = &Overtime{Did: slices.Clone(e.Did)}
			ways[name] = w
		}
		w.Times, w.Spent, w.Planned = w.Times+1, w.Spent+e.Minutes, w.Planned+sum
	}
}
