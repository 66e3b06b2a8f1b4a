package report

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"seepwright/engine"
	"seepwright/engine/score"
)

// farOff is from how many standard deviations on a cause is named: about one in twenty is off
// by more through luck alone.
const farOff = 2

// balances compare, cause by cause, how often it was to be expected with how often it came.
func (s Scored) balances() []score.Balance {
	var list []score.Outcome
	for _, c := range s.Cases {
		if c.Unranked == "" && c.each != nil {
			list = append(list, *c.each)
		}
	}
	return score.BalanceOf(list)
}

// balance says which causes were said too timidly or too boldly.
func (s Scored) balance(w io.Writer, say func(...Block)) {
	all := s.balances()
	if len(all) == 0 {
		return
	}
	far := slices.DeleteFunc(slices.Clone(all), func(b score.Balance) bool { return math.Abs(b.Off()) <= farOff })
	slices.SortStableFunc(far, func(a, b score.Balance) int {
		switch x, y := math.Abs(a.Off()), math.Abs(b.Off()); {
		case x > y:
			return -1
		case x < y:
			return 1
		}
		return 0
	})
	say(Block{Kind: Heading, Text: "Causes said too timidly (+) or too boldly (-)"},
		Block{Kind: Para, Text: fmt.Sprintf("How often each cause should have come by the odds, with its standard deviation, and how often it came; shown where the two are more than %d deviations apart. Of %d causes that were compared, luck alone puts up to one in twenty here, and one case is enough where much less than one was expected. A folder that tells every cause about equally often, as solved cases do, says nothing of how common they are: there the rare ones come too often, and the common ones too seldom.",
			farOff, len(all))})
	if len(far) == 0 {
		say(Block{Kind: Para, Text: "None."})
		return
	}
	rows := [][]string{{"", "cases", "expected", "+/-", "came", "off"}}
	names, wide := make([]string, len(far)), 0
	for i, b := range far {
		names[i] = b.Name
		if kind, ok := strings.CutSuffix(b.Name, "/"+engine.UnknownCause); ok {
			names[i] = kind + " (not listed)"
		}
		wide = max(wide, len(names[i]))
	}
	for i, b := range far {
		off := fmt.Sprintf("%+.1f", b.Off())
		if math.IsInf(b.Off(), 0) {
			off = "held impossible"
			if b.Off() < 0 {
				off = "held certain"
			}
		}
		rows = append(rows, []string{fmt.Sprintf("%-*s", wide, names[i]), fmt.Sprint(b.N), fmt.Sprintf("%.2f", b.Expected), fmt.Sprintf("%.2f", b.SD), fmt.Sprintf("%.4g", math.Round(100*b.Came)/100), off})
	}
	lineUp(w, rows)
}

type balanceJSON struct {
	Cause     string   `json:"cause"`
	Cases     int      `json:"cases"`
	Expected  float64  `json:"expected"`
	Deviation float64  `json:"standard_deviation"`
	Came      float64  `json:"came"`
	Off       *float64 `json:"off"` // null: infinitely far, as what was held impossible or certain
	Far       bool     `json:"beyond_two"`
}

// balanceJSON is every cause that was in question, by name.
func (s Scored) balanceJSON() []balanceJSON {
	out := []balanceJSON{}
	for _, b := range s.balances() {
		x := balanceJSON{Cause: b.Name, Cases: b.N, Expected: b.Expected, Deviation: b.SD, Came: b.Came, Far: math.Abs(b.Off()) > farOff}
		if off := b.Off(); !math.IsInf(off, 0) {
			x.Off = &off
		}
		out = append(out, x)
	}
	return out
}
