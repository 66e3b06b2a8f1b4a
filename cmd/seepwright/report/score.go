package report

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"text/tabwriter"

	"seepwright/engine/score"
)

// ScoredCase is one solved case with what was made of it.
type ScoredCase struct {
	ID         string  `json:"case"`
	Kind       string  `json:"kind"`
	Place      string  `json:"place"`
	Half       string  `json:"half"`
	Family     string  `json:"family"`
	FamilyRank int     `json:"family_rank"` // 0: not in question
	Rank       int     `json:"cause_rank,omitempty"`
	Share      float64 `json:"share"` // of the cause, or of the family where only that is known
	Before     float64 `json:"share_alone"`
	Unranked   string  `json:"unranked,omitempty"` // why it could not be ranked
	cause      *score.Trial
	family     score.Trial
	each       *score.Outcome
}

// With adds what was said of every cause by itself.
func (c ScoredCase) With(each score.Outcome) ScoredCase {
	c.each = &each
	return c
}

// ScoredCaseOf joins a case with its trials; cause is nil where only the family is known.
func ScoredCaseOf(id, kind, place, family string, cause *score.Trial, byFamily score.Trial) ScoredCase {
	c := ScoredCase{ID: id, Kind: kind, Place: place, Half: score.Half(id), Family: family, cause: cause, family: byFamily}
	c.FamilyRank = byFamily.Now.Rank(byFamily.Truth)
	t := c.named()
	c.Share, c.Before = t.Now.Share(t.Truth), t.Before.Share(t.Truth)
	if cause != nil {
		c.Rank = cause.Now.Rank(cause.Truth)
	}
	return c
}

// named is the trial by cause, or by family where only that is known.
func (c ScoredCase) named() score.Trial {
	if c.cause != nil {
		return *c.cause
	}
	return c.family
}

// Scored is a folder of solved cases with what the ranking made of them.
type Scored struct {
	Folder string
	Half   string // a | b | both
	Cases  []ScoredCase
}

// set is one line of a table: some of the cases under a name.
type set struct {
	name  string
	cases []ScoredCase
}

// sets are the kinds, all together, and the halves.
func (s Scored) sets() []set {
	pick := func(of func(ScoredCase) bool) []ScoredCase {
		return slices.DeleteFunc(slices.Clone(s.Cases), func(c ScoredCase) bool { return c.Unranked != "" || !of(c) })
	}
	var kinds []string
	for _, c := range s.Cases {
		kinds = append(kinds, c.Kind)
	}
	slices.Sort(kinds)
	var out []set
	for _, k := range slices.Compact(kinds) {
		out = append(out, set{k, pick(func(c ScoredCase) bool { return c.Kind == k })})
	}
	out = append(out, set{"all", pick(func(ScoredCase) bool { return true })})
	if s.Half == "both" {
		for _, h := range []string{"a", "b"} {
			out = append(out, set{"half " + h, pick(func(c ScoredCase) bool { return c.Half == h })})
		}
	}
	return out
}

func trials(cases []ScoredCase, of func(ScoredCase) *score.Trial) []score.Trial {
	var out []score.Trial
	for _, c := range cases {
		if t := of(c); t != nil {
			out = append(out, *t)
		}
	}
	return out
}

func byName(c ScoredCase) *score.Trial   { t := c.named(); return &t }
func byCause(c ScoredCase) *score.Trial  { return c.cause }
func byFamily(c ScoredCase) *score.Trial { return &c.family }

// claims are all chances that were given to causes, with their outcomes.
func (s Scored) claims() []score.Claim {
	var out []score.Claim
	for _, c := range s.Cases {
		if c.Unranked == "" && c.cause != nil {
			out = append(out, c.cause.Now.Claims(c.cause.Truth)...)
		}
	}
	return out
}

// Write says it in words and tables.
func (s Scored) Write(w io.Writer, width int, each bool) error {
	var err error
	say := func(blocks ...Block) {
		if err == nil {
			err = Text(w, blocks, width)
		}
	}
	p := &page{}
	sets := s.sets()
	all := slices.IndexFunc(sets, func(x set) bool { return x.name == "all" })
	t := score.Sum(trials(sets[all].cases, byName))
	p.add(Verdict, "%d solved cases of %s. The proven cause stood first in %s and in the first three in %s; by the history and the shares alone, in %d and %d.",
		t.N, s.Folder, ofN(t.Now.First, t.N), ofN(t.Now.Three, t.N), t.Before.First, t.Before.Three)
	if family := t.N - len(trials(sets[all].cases, byCause)); family > 0 {
		p.add(Para, "In %d of them only the family of the cause is known here; there the family counts.", family)
	}
	if s.Half != "both" {
		p.add(Para, "Only the cases of half %s.", s.Half)
	}
	for _, c := range s.Cases {
		if c.Unranked != "" {
			p.add(Item, "%s: %s could not be ranked and is left out: %s", c.Place, c.ID, c.Unranked)
		}
	}
	p.add(Heading, "How often the proven cause stood in front")
	say(p.blocks...)
	places(w, sets)
	scores := func(head string, of func(ScoredCase) *score.Trial, about string) {
		say(Block{Kind: Heading, Text: head}, Block{Kind: Para, Text: about})
		worth(w, sets, of)
	}
	scores("What the odds of the causes were worth", byCause,
		"Two scores, the log score and the Brier score: 0 is a perfect forecast, smaller is better. \"alone\" is what the history and the shares score without any other answer. Below nought in \"change\" the answers helped; it is proven when the change is more than twice its standard error (in brackets).")
	scores("What the odds of the families were worth", byFamily, "The same for the classes of causes, all cases.")
	say(Block{Kind: Heading, Text: "When a chance was given, how often did it come true"},
		Block{Kind: Para, Text: "Every chance given to every cause. \"off\" is the distance between said and came in standard errors; beyond 3 it is no bad luck. A case names one proven cause, while the chances allow for several at once: the low rows may come true less often than said for that reason alone."})
	r := score.Table(s.claims(), score.Edges())
	reliability(w, r)
	say(Block{Kind: Para, Text: fmt.Sprintf("Brier score of these chances %.4f = reliability %.4f - resolution %.4f + uncertainty %.4f %s inside the rows %.4f.",
		r.Brier, r.Reliability, r.Resolution, r.Uncertainty, map[bool]string{true: "-", false: "+"}[r.Inside < 0], math.Abs(r.Inside))})
	if f := score.Sum(trials(sets[all].cases, byCause)).Floored; f > 0 {
		say(Block{Kind: Para, Text: fmt.Sprintf("In %d cases the proven cause was given less than one in ten thousand; the log score counts that as one in ten thousand.", f)})
	}
	s.balance(w, say)
	if each {
		say(Block{Kind: Heading, Text: "Case by case"})
		list(w, s.Cases)
	}
	return err
}

func ofN(k, n int) string {
	if n == 0 {
		return "none"
	}
	return fmt.Sprintf("%d (%.0f %%)", k, 100*float64(k)/float64(n))
}

func lineUp(w io.Writer, rows [][]string) {
	t := tabwriter.NewWriter(w, 0, 8, 2, ' ', tabwriter.AlignRight)
	for _, r := range rows {
		fmt.Fprintln(t, fmt.Sprintf("%-12s", r[0])+"\t"+strings.Join(r[1:], "\t")+"\t")
	}
	t.Flush()
}

func places(w io.Writer, sets []set) {
	rows := [][]string{{"", "cases", "first", "first three", "alone: first", "first three"}}
	for _, x := range sets {
		t := score.Sum(trials(x.cases, byName))
		rows = append(rows, []string{x.name, fmt.Sprint(t.N), fmt.Sprint(t.Now.First), fmt.Sprint(t.Now.Three), fmt.Sprint(t.Before.First), fmt.Sprint(t.Before.Three)})
	}
	lineUp(w, rows)
}

func change(m score.Mean) string {
	if !m.Known {
		return fmt.Sprintf("%+.2f", m.Mean)
	}
	return fmt.Sprintf("%+.2f (%.2f)", m.Mean, m.SE)
}

func worth(w io.Writer, sets []set, of func(ScoredCase) *score.Trial) {
	rows := [][]string{{"", "cases", "log", "alone", "change", "Brier", "alone", "change"}}
	for _, x := range sets {
		t := score.Sum(trials(x.cases, of))
		if t.N == 0 {
			rows = append(rows, []string{x.name, "0", "", "", "", "", "", ""})
			continue
		}
		rows = append(rows, []string{x.name, fmt.Sprint(t.N), fmt.Sprintf("%.2f", t.Log.Mean), fmt.Sprintf("%.2f", t.LogBefore.Mean), change(t.LogGain),
			fmt.Sprintf("%.2f", t.Brier.Mean), fmt.Sprintf("%.2f", t.BrierBefore.Mean), change(t.BrierGain)})
	}
	lineUp(w, rows)
}

func reliability(w io.Writer, r score.Reliability) {
	rows := [][]string{{"given", "times", "said", "came", "rate", "off"}}
	for _, b := range r.Bins {
		if b.N > 0 {
			rows = append(rows, []string{fmt.Sprintf("%.0f-%.0f %%", 100*b.From, 100*b.To), fmt.Sprint(b.N), fmt.Sprintf("%.1f %%", 100*b.Said), fmt.Sprint(b.Came), fmt.Sprintf("%.1f %%", 100*b.Rate), fmt.Sprintf("%+.1f", b.Off())})
		}
	}
	lineUp(w, rows)
}

func list(w io.Writer, cases []ScoredCase) {
	for _, c := range cases {
		if c.Unranked != "" {
			continue
		}
		place := "family only"
		if c.Rank > 0 {
			place = fmt.Sprintf("cause %d", c.Rank)
		}
		fmt.Fprintf(w, "%s: %s: %s, family %d; %.1f %%, alone %.1f %%\n", c.Place, c.ID, place, c.FamilyRank, 100*c.Share, 100*c.Before)
	}
}

type meanJSON struct {
	Mean float64  `json:"mean"`
	SE   *float64 `json:"standard_error"`
}

func meanOf(m score.Mean) meanJSON {
	out := meanJSON{Mean: m.Mean}
	if m.Known {
		out.SE = &m.SE
	}
	return out
}

func tallyJSON(t score.Tally) map[string]any {
	return map[string]any{"cases": t.N, "first": t.Now.First, "first_three": t.Now.Three, "alone_first": t.Before.First, "alone_first_three": t.Before.Three,
		"log": meanOf(t.Log), "log_alone": meanOf(t.LogBefore), "log_change": meanOf(t.LogGain),
		"brier": meanOf(t.Brier), "brier_alone": meanOf(t.BrierBefore), "brier_change": meanOf(t.BrierGain), "floored": t.Floored}
}

// JSON is the same for a program.
func (s Scored) JSON() any {
	groups := []map[string]any{}
	for _, x := range s.sets() {
		groups = append(groups, map[string]any{"name": x.name, "cause_or_family": tallyJSON(score.Sum(trials(x.cases, byName))),
			"causes": tallyJSON(score.Sum(trials(x.cases, byCause))), "families": tallyJSON(score.Sum(trials(x.cases, byFamily)))})
	}
	r := score.Table(s.claims(), score.Edges())
	bins := []map[string]any{}
	for _, b := range r.Bins {
		bins = append(bins, map[string]any{"from": b.From, "to": b.To, "times": b.N, "said": b.Said, "came": b.Came, "rate": b.Rate, "standard_error": b.SE, "off": b.Off()})
	}
	cases := s.Cases
	if cases == nil {
		cases = []ScoredCase{}
	}
	return map[string]any{"schema": 1, "folder": s.Folder, "half": s.Half, "groups": groups, "cases": cases, "causes": s.balanceJSON(),
		"reliability": map[string]any{"bins": bins, "claims": r.N, "brier": r.Brier, "reliability": r.Reliability, "resolution": r.Resolution, "uncertainty": r.Uncertainty, "inside": r.Inside}}
}
