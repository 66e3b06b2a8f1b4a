package engine

import (
	"seepwright/engine/plan"
	"seepwright/rules/unit"
)

// Result is all that seepwright has to say about one case at one moment. Text, Markdown,
// card and JSON are drawn from it alone. Lists are never nil in JSON.
type Result struct {
	Schema      int         `json:"schema"` // 1
	Run         Run         `json:"run"`
	Stop        *StopNow    `json:"stop"`
	History     string      `json:"history"` // the history of the joint in the lead, or the default
	Joints      []JointOdds `json:"joints"`
	Kinds       []KindOdds  `json:"kinds,omitempty"` // where the kind of the joint is not known: how likely each is
	Ranking     []Ranked    `json:"ranking"`
	Exact       bool        `json:"exact"`
	Bounds      []Bound     `json:"bounds,omitempty"`
	Findings    []Finding   `json:"findings"`
	Contra      []Contra    `json:"contradicted"`
	Targets     []Target    `json:"targets"`
	Next        *plan.Next  `json:"next"`
	NothingMore string      `json:"nothing_worth_asking,omitempty"` // why, when Next is null
	Errand      []plan.Next `json:"errand"`
	Plan        plan.Plan   `json:"plan"`
	Meanwhile   []Meanwhile `json:"meanwhile"` // until it is mended, and afterwards
	Cautions    []Caution   `json:"cautions"`
	Ties        []Tie       `json:"ties"`
	Unanswered  []Open      `json:"unanswered"`
	Assumed     []string    `json:"assumed"` // what was taken for granted because it was not said
	Tried       []Attempt   `json:"tried"`
	Cured       bool        `json:"cured,omitempty"` // the last retest of all that was wet was dry
	Impossible  string      `json:"impossible,omitempty"`
	Mind        *Mind       `json:"mind,omitempty"` // only where it was asked for: Session.Mind
}

// Run is the first line of every result: may it be run.
type Run struct {
	Verdict   string   `json:"verdict"` // stop | watched | leave | dry
	Limit     string   `json:"limit,omitempty"`
	LookEvery string   `json:"look_every,omitempty"`
	Because   []string `json:"because"`
}

// StopNow breaks in before anything else.
type StopNow struct {
	ID       string   `json:"id"`
	Reason   string   `json:"reason"`
	MakeSafe []string `json:"make_safe"`
	ReferTo  string   `json:"refer_to"`
	Refuses  bool     `json:"refuses"`                // no plan is written
	Acts     []string `json:"refused_acts,omitempty"` // left to others
	GoesOn   bool     `json:"goes_on,omitempty"`      // only acts are refused: the rest of the work goes on
}

// JointOdds is the chance that this joint leaks of itself.
type JointOdds struct {
	Joint       string  `json:"joint"`
	Title       string  `json:"title"`
	Kind        string  `json:"kind"`
	Probability float64 `json:"probability"`
	Wet         string  `json:"wet"` // yes | no | not known
	History     string  `json:"history"`
}

// Ranked is one cause of one joint. Probabilities are marginals and do not add up to 1.
type Ranked struct {
	Joint       string    `json:"joint"` // "" for a shared cause
	Kind        string    `json:"kind"`
	Cause       string    `json:"cause"`
	Family      string    `json:"family"`
	Title       string    `json:"title"`
	Means       string    `json:"means,omitempty"`
	Probability float64   `json:"probability"`
	Prior       float64   `json:"prior"` // before any answer but "it leaks"
	Because     []Because `json:"because"`
	SplitBy     []string  `json:"split_by"`
	Shared      bool      `json:"shared,omitempty"`
}

// Because is one answer that moved a cause: Factor is its odds with all evidence over its
// odds with that answer, and all concluded from it, taken back.
type Because struct {
	Finding string  `json:"finding"` // fact id, with joint/ before it when of a joint
	Says    string  `json:"says"`    // in words: "wet all round"
	Factor  float64 `json:"factor"`
}

// Bound encloses the probability of one cause where it could not be had exactly in time.
type Bound struct {
	Joint string  `json:"joint"`
	Cause string  `json:"cause"`
	Low   float64 `json:"low"`
	High  float64 `json:"high"`
}

// Finding is one thing that is known.
type Finding struct {
	Fact        string   `json:"fact"`
	Joint       string   `json:"joint"`
	Title       string   `json:"title"`
	Value       any      `json:"value"` // as in an answers file: "yes", an option id, a number in Unit, is/not lists, readings
	Unit        string   `json:"unit,omitempty"`
	Uncertainty float64  `json:"uncertainty,omitempty"` // expanded (k = 2), in Unit
	Text        string   `json:"text"`                  // the value in words
	From        []string `json:"from"`                  // answered | given | rule ids | calculation names
	Says        string   `json:"says,omitempty"`
}

// Contra is a fact with two values that cannot both be true; it counts as unknown.
type Contra struct {
	Fact   string   `json:"fact"`
	Joint  string   `json:"joint"`
	Values []string `json:"values"`
	From   []string `json:"from"`
}

// Target is a number that has to be met, judged where it was measured.
type Target struct {
	ID       string  `json:"id"`
	Fact     string  `json:"fact"`
	Joint    string  `json:"joint"`
	Title    string  `json:"title"`
	Limit    string  `json:"limit"` // "at least 10 %"
	Unit     string  `json:"unit"`
	Measured string  `json:"measured,omitempty"`
	Verdict  string  `json:"verdict"` // met | missed | not proven | not measured
	Margin   string  `json:"margin,omitempty"`
	MarginSI float64 `json:"margin_si,omitempty"`
	Settle   string  `json:"settle,omitempty"` // not proven: the cheapest instrument that would settle it
	Source   string  `json:"source"`
	Standing string  `json:"standing"`
	Without  string  `json:"without"`
	Strict   bool    `json:"strict"` // the one that holds, of several for one fact
}

// Caution is a warning that holds here.
type Caution struct {
	ID      string `json:"id"`
	Title   string `json:"title"`
	Warning string `json:"warning"`
	Refer   string `json:"refer,omitempty"`
	Known   bool   `json:"known"`          // false: shown because nobody said that it does not hold
	Told    bool   `json:"told,omitempty"` // a rule gives it for what was answered
}

// Tie is a group of causes within a factor of 1.5 of each other, and what splits them.
type Tie struct {
	Causes  []string `json:"causes"` // joint/cause
	SplitBy string   `json:"split_by"`
	Says    string   `json:"says"`
}

// Open is a question that still can change something.
type Open struct {
	Fact  string `json:"fact"`
	Joint string `json:"joint"`
	Ask   string `json:"ask"`
	Stage string `json:"stage"`
}

// unitName is the symbol shown for a dimension.
func unitName(d unit.Dimension) string {
	u := unit.Standard(d)
	if u.Symbol == "1" || u.Symbol == "off" {
		return ""
	}
	return u.Symbol
}
