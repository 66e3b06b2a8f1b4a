// Package rules holds the documents of which a knowledge base consists and reads them from
// YAML: joints, facts, checks, causes, remedies, targets, cautions, stops, rules, cases.
// It concludes nothing; that is the business of the engine.
package rules

import (
	"seepwright/rules/cond"
	"seepwright/rules/fact"
	"seepwright/rules/source"
	"seepwright/rules/table"
	"seepwright/rules/unit"
)

// Standing says how far a number or a claim can be trusted.
type Standing string

// The standings, from the firmest to the loosest.
const (
	Confirmed      Standing = "confirmed"
	CommonPractice Standing = "common practice"
	FromMemory     Standing = "from memory"
	Estimate       Standing = "estimate"
)

// Origin is where a claim comes from: a published source, and how far it can be trusted.
type Origin struct {
	Source   string   `json:"source,omitempty"`
	Standing Standing `json:"standing,omitempty"`
}

// When is a condition as written, with its place; Cond is parsed from Text at load.
// An empty When is always true.
type When struct {
	Text  string       `json:"text"`
	Place source.Place `json:"place,omitzero"`
	Cond  *cond.Cond   `json:"-"`
}

// Head is what all documents have in common.
type Head struct {
	ID    string       `json:"id"`
	Title string       `json:"title,omitempty"`
	Place source.Place `json:"place"`
	Origin
}

// History is what was done to a joint before it leaked.
type History string

// The four histories. Disturbed means: not opened, but a neighbour undone or the unit moved.
const (
	AfterRefit  History = "after-refit"
	BackInWeeks History = "back-in-weeks"
	LongService History = "long-service"
	Disturbed   History = "disturbed"
)

// Histories lists all histories in the order in which tables show them.
func Histories() []History { return []History{AfterRefit, BackInWeeks, LongService, Disturbed} }

// PerHistory is one number per history; a missing history has no entry.
type PerHistory map[History]float64

// Joint is a kind of joint: everything the knowledge base knows hangs on one.
// Its id is also the name of its folder.
type Joint struct {
	Head
	CaseKind    string     `json:"caseKind"`              // joint_kind of the case collection to which it belongs
	LooksLike   string     `json:"looksLike,omitempty"`   // what one sees
	WorksBy     string     `json:"worksBy,omitempty"`     // how it seals
	FailsBy     string     `json:"failsBy,omitempty"`     //
	OtherNames  []string   `json:"otherNames,omitempty"`  // what else people call it
	HeldBy      []Hold     `json:"heldBy,omitempty"`      // what holds it together, as seen from outside
	Moves       Motion     `json:"moves,omitempty"`       // what moves at it; "" = nothing
	Act         Act        `json:"act,omitempty"`         // what mending it is, where a stop may refuse it
	Order       []string   `json:"order,omitempty"`       // check ids in the order that saves the most strip-downs
	Reassembly  []Step     `json:"reassembly,omitempty"`  // in order
	TurnTest    string     `json:"turnTest,omitempty"`    // the test built into the next assembly, if any
	HaveReady   []string   `json:"haveReady,omitempty"`   // parts always renewed when this kind is opened
	Restraint   string     `json:"restraint,omitempty"`   // what must hold the part against pressure, if it can walk
	OpenMinutes float64    `json:"openMinutes,omitempty"` // hands-on minutes to part this joint once it can be reached
	ShutMinutes float64    `json:"shutMinutes,omitempty"` // and to put it together
	LookAlikes  []PairTest `json:"lookAlikes,omitempty"`
}

// Hold is what holds a joint together, for people who do not know its kind.
type Hold string

// Holds lists what can hold a joint together.
func Holds() []Hold {
	return []Hold{"clamp", "pushed-in", "bolts", "centre-bolt", "band", "thread", "union-nut", "press-fit", "solder", "one-piece", "exchanger", "by-hand"}
}

// Motion is what moves at a joint.
type Motion string

// The motions: a shaft that turns, a rod or piston that slides.
const (
	Turns  Motion = "turns"
	Slides Motion = "slides"
)

// Step is one line of work, with the cautions shown before it.
type Step struct {
	Do       string   `json:"do"`
	Why      string   `json:"why,omitempty"`
	Stage    Stage    `json:"stage,omitempty"`
	Minutes  float64  `json:"minutes,omitempty"`
	Wait     float64  `json:"wait,omitempty"` // minutes of waiting
	Cautions []string `json:"cautions,omitempty"`
}

// PairTest names causes that look alike and the one question or check that splits them.
type PairTest struct {
	Causes  []string `json:"causes"`
	SplitBy string   `json:"splitBy"` // fact or check id
	Says    string   `json:"says"`
}

// Stage is where in the work a fact can be had.
type Stage string

// The stages. Running, static and hot are states: everything closed and filled.
// Told needs no look at the machine at all: the person knows it or not.
const (
	Told        Stage = "told"
	Outside     Stage = "outside"
	Running     Stage = "running"
	Static      Stage = "static"
	Hot         Stage = "hot"
	OneFastener Stage = "one-fastener"
	CoverOff    Stage = "cover-off"
	Opened      Stage = "opened"
	Bench       Stage = "bench"
)

// Stages lists the stages from the cheapest to the dearest.
func Stages() []Stage {
	return []Stage{Told, Outside, Running, Static, Hot, OneFastener, CoverOff, Opened, Bench}
}

// Option is one possible answer of a choice or a several fact.
type Option struct {
	ID    string     `json:"id"`
	Title string     `json:"title"`
	Base  PerHistory `json:"base,omitempty"` // how often it shows in any leak of these kinds
}

// Fact is a thing that can be known, and how to ask for it.
type Fact struct {
	Head
	Ask        string               `json:"ask"` // the question, as put to the person
	Answer     fact.Type            `json:"answer"`
	Options    []Option             `json:"options,omitempty"`
	Graded     bool                 `json:"graded,omitempty"` // a choice whose options are listed highest first: the highest hides the others (noisy-MAX)
	Within     map[History][]string `json:"within,omitempty"` // a graded choice is evidence only among these options in that history
	Dim        unit.Dimension       `json:"dimension,omitempty"`
	Instrument string               `json:"instrument,omitempty"` // the usual instrument, for a quantity or readings
	UsedOn     string               `json:"usedOn,omitempty"`     // bore | outside | face: which uncertainty of the instrument
	Least      *fact.Measure        `json:"least,omitempty"`      // below this an answer is questioned
	Most       *fact.Measure        `json:"most,omitempty"`
	Scope      fact.Scope           `json:"scope"`
	For        []string             `json:"for,omitempty"` // joint kinds; empty = all
	Stage      Stage                `json:"stage"`
	Minutes    float64              `json:"minutes,omitempty"`
	Known      float64              `json:"known,omitempty"` // how often a person can answer it; 0 = by stage
	Tools      []string             `json:"tools,omitempty"`
	How        string               `json:"how,omitempty"`
	Why        string               `json:"why,omitempty"`
	Base       PerHistory           `json:"base,omitempty"`    // of a yes-no sign: how often it shows in any leak
	Misread    float64              `json:"misread,omitempty"` // leak probability; 0 = by rule
	First      int                  `json:"first,omitempty"`   // 1, 2, 3 ...: the questions that always come first, in this order
	Safety     bool                 `json:"safety,omitempty"`
	AskIf      *When                `json:"askIf,omitempty"`  // asked only when this is true
	Engine     bool                 `json:"engine,omitempty"` // filled by the engine or by a rule, never asked
}

// CheckKind is how a check gets its facts.
type CheckKind string

// The kinds of check. A Try is a cheap reversible remedy whose result is a sign.
const (
	Look    CheckKind = "look"
	Gauge   CheckKind = "measure"
	Attempt CheckKind = "try"
)

// State a check needs before hands go near.
type State string

// The states. Every check of a joint that may hold pressure names what it needs.
const (
	Cold         State = "cold"
	PressureZero State = "pressure-zero"
	Stopped      State = "stopped"
	LoadBlocked  State = "load-blocked"
	Pressurised  State = "pressurised"
	RunningState State = "running"
	HotState     State = "hot"
	AnyState     State = "any"
)

// States lists the states.
func States() []State {
	return []State{Cold, PressureZero, Stopped, LoadBlocked, Pressurised, RunningState, HotState, AnyState}
}

// Check is a way of getting facts.
type Check struct {
	Head
	Kind      CheckKind `json:"kind"`
	For       []string  `json:"for,omitempty"` // joint kinds; empty = all
	Fills     []string  `json:"fills"`         // fact ids
	Stage     Stage     `json:"stage"`
	Minutes   float64   `json:"minutes"`
	Wait      float64   `json:"wait,omitempty"` // minutes
	MayRun    bool      `json:"mayRun,omitempty"`
	Act       Act       `json:"act,omitempty"`   // what it is beside a look, where a stop may refuse it
	Clear     bool      `json:"clear,omitempty"` // nobody is near while it runs or holds pressure
	Needs     []State   `json:"needs,omitempty"`
	Destroys  []string  `json:"destroys,omitempty"`  // evidence: crust, print, tightness, marks, set
	Shows     []string  `json:"shows,omitempty"`     // evidence it reads: crust, print, tightness, marks, set
	CommitsTo string    `json:"commitsTo,omitempty"` // what has to be renewed once this is done
	Tools     []string  `json:"tools,omitempty"`     // instrument or tool ids and plain names
	How       string    `json:"how"`
	Se        float64   `json:"se,omitempty"`
	Sp        float64   `json:"sp,omitempty"`
	Cautions  []string  `json:"cautions,omitempty"`
	Without   string    `json:"without,omitempty"` // how to do it without the proper instrument
}

// Sign is an answer that a cause tends to produce: Fact is Option (or yes) with probability Shows.
type Sign struct {
	Fact   string       `json:"fact"`
	Option string       `json:"option,omitempty"` // "" for a yes-no fact
	Shows  float64      `json:"shows"`            // observed rate, 0..1, with that cause alone present
	Place  source.Place `json:"place,omitzero"`
	Origin
}

// Context raises or lowers a cause: its prior odds are multiplied while When holds. A rough
// guess gives way where something better is known: then Unless names the fact that says it.
type Context struct {
	When   When    `json:"when"`
	Times  float64 `json:"times"`
	Unless string  `json:"unless,omitempty"` // counts only while this fact is not known
	Origin
}

// FoundBy is a check that decides a cause: the yes-no fact Shows says what the check said about this cause.
type FoundBy struct {
	Check string       `json:"check"`
	Fact  string       `json:"fact"`          // the fact, filled by the check, that means "this cause is seen"
	Opt   string       `json:"opt,omitempty"` // its option, for a several or choice fact
	Se    float64      `json:"se"`
	Sp    float64      `json:"sp"`
	Place source.Place `json:"place,omitzero"`
}

// RemedyRef is one way to cure a cause, best first in the list.
type RemedyRef struct {
	Remedy  string  `json:"remedy"`
	Minutes float64 `json:"minutes,omitempty"` // instead of the remedy's own
	Success float64 `json:"success,omitempty"`
	Note    string  `json:"note,omitempty"`
}

// StopGap is a temporary measure, always with its limit.
type StopGap struct {
	Allowed string `json:"allowed"` // yes | no | short
	Measure string `json:"measure,omitempty"`
	Limit   string `json:"limit,omitempty"`
}

// Alike is a cause that looks the same, and what splits the two.
type Alike struct {
	Cause   string `json:"cause"`
	SplitBy string `json:"splitBy"` // fact or check id
	Says    string `json:"says,omitempty"`
}

// ActsAt is how strongly a shared cause acts on some joint kinds, where that is not what it does elsewhere.
type ActsAt struct {
	Joints  []string `json:"joints"`
	Acts    float64  `json:"acts"`
	Because string   `json:"because"`
	Origin
}

// NeverAt are joint kinds on which a shared cause does not act.
type NeverAt struct {
	Joints  []string `json:"joints"`
	Because string   `json:"because"`
}

// Cause is why a joint leaks.
type Cause struct {
	Head
	For       string      `json:"for"` // joint kind; "" for a shared cause
	Means     string      `json:"means"`
	Family    string      `json:"family"`
	Shared    bool        `json:"shared,omitempty"`    // explains several joints at once
	Joints    []string    `json:"joints,omitempty"`    // shared: the joint kinds it acts on
	Acts      float64     `json:"acts,omitempty"`      // shared: chance that it makes a joint of these leak
	ActsAt    []ActsAt    `json:"actsAt,omitempty"`    // shared: the kinds where that chance is another
	NeverAt   []NeverAt   `json:"neverAt,omitempty"`   // shared: the kinds on which it does not act, and why
	Share     PerHistory  `json:"share"`               // weights inside the kind; shared: per cent of leaking assemblies
	Elsewhere bool        `json:"elsewhere,omitempty"` // the kind's "not this joint" row
	Context   []Context   `json:"context,omitempty"`
	Signs     []Sign      `json:"signs,omitempty"`
	FoundBy   []FoundBy   `json:"foundBy,omitempty"`
	Targets   []string    `json:"targets,omitempty"`
	Remedies  []RemedyRef `json:"remedies"`
	StopGap   StopGap     `json:"stopGap"`
	Prevent   string      `json:"prevent"`
	IfIgnored string      `json:"ifIgnored"`
	Course    string      `json:"course,omitempty"` // slow | grows | sudden
	Cautions  []string    `json:"cautions,omitempty"`
	Alikes    []Alike     `json:"alikes,omitempty"`
	PreCheck  string      `json:"preCheck,omitempty"` // the step of reassembly that prevents it
	Anyway    bool        `json:"anyway,omitempty"`   // cheap enough to treat whenever the joint is open
}

// Remedy is a way to cure.
type Remedy struct {
	Head
	Kind       string   `json:"kind"` // adjust | clean | new-seal | dress | replace | machine | locate
	Minutes    float64  `json:"minutes"`
	Wait       float64  `json:"wait,omitempty"`
	Success    float64  `json:"success"`
	Opens      bool     `json:"opens"` // the joint has to be parted for it
	Specialist bool     `json:"specialist,omitempty"`
	Act        Act      `json:"act,omitempty"` // what it is, where a stop may refuse it
	Parts      []string `json:"parts,omitempty"`
	Tools      []string `json:"tools,omitempty"`
	How        string   `json:"how"`
	Limit      string   `json:"limit,omitempty"`
	Cautions   []string `json:"cautions,omitempty"`
}

// Target is the number that a measured or computed fact must meet.
type Target struct {
	Head
	For     string        `json:"for,omitempty"`
	Fact    string        `json:"fact"`
	AtLeast *fact.Measure `json:"atLeast,omitempty"`
	AtMost  *fact.Measure `json:"atMost,omitempty"`
	LimitBy string        `json:"limitBy,omitempty"` // the fact (computed or maker's) that holds the limit: "at-most: FACT"
	LowBy   string        `json:"lowBy,omitempty"`
	Maker   string        `json:"maker,omitempty"` // the fact that holds the maker's figure, which comes first
	When    *When         `json:"when,omitempty"`
	Without string        `json:"without"` // how to judge it without the proper instrument, or "not without a ..."
}

// Caution is a plain warning.
type Caution struct {
	Head
	Hazard  string `json:"hazard"`
	Warning string `json:"warning"`
	Refer   string `json:"refer,omitempty"` // stop and call licensed practice when
	When    *When  `json:"when,omitempty"`  // shown when true or unknown; nil = only where a step names it
}

// Stop is a reason to stop at once, or work that is refused.
type Stop struct {
	Head
	When     When     `json:"when"`
	Reason   string   `json:"reason"`
	MakeSafe []string `json:"makeSafe"`
	ReferTo  string   `json:"referTo"`
	Refuses  bool     `json:"refuses,omitempty"` // diagnosis ends here: no plan is written
	Acts     []Act    `json:"acts,omitempty"`    // these acts are refused; the rest goes on
}

// Rule concludes that, when these conditions hold.
type Rule struct {
	Head
	For  []string `json:"for,omitempty"` // joint kinds; empty with PerJob = once
	Job  bool     `json:"job,omitempty"` // evaluated once for the assembly, not per joint
	Says string   `json:"says"`          // the sentence that explains it
	When When     `json:"when"`
	Then []Action `json:"then"`
}

// Action is one conclusion of a rule; exactly one of its parts is set.
type Action struct {
	Conclude *Conclude    `json:"conclude,omitempty"`
	Compute  *Compute     `json:"compute,omitempty"`
	Find     *FindCause   `json:"find,omitempty"`
	Exclude  *FindCause   `json:"exclude,omitempty"`
	Raise    *MoveCause   `json:"raise,omitempty"`
	Lower    *MoveCause   `json:"lower,omitempty"`
	Target   string       `json:"target,omitempty"`
	Caution  string       `json:"caution,omitempty"`
	Stop     string       `json:"stop,omitempty"`
	Run      *RunVerdict  `json:"run,omitempty"`
	Place    source.Place `json:"place,omitzero"`
}

// Conclude sets a fact.
type Conclude struct {
	Fact  string     `json:"fact"`
	Value fact.Value `json:"value"`
}

// Compute sets facts by a calculation of the measurement library.
type Compute struct {
	By   string            `json:"by"`   // name in the catalogue of calculations
	From map[string]string `json:"from"` // input name -> fact id, or a quantity as text
	Into map[string]string `json:"into"` // output name -> fact id
}

// FindCause is a positive (or negative) finding on one cause alone.
type FindCause struct {
	Cause string  `json:"cause"`
	Se    float64 `json:"se"`
	Sp    float64 `json:"sp"`
}

// MoveCause multiplies the odds of a cause, while the fact named in Unless is not known.
type MoveCause struct {
	Cause  string  `json:"cause"`
	Times  float64 `json:"times"`
	Unless string  `json:"unless,omitempty"`
}

// RunVerdict permits running under a limit. Without any permission the verdict is stop.
type RunVerdict struct {
	Verdict   string `json:"verdict"` // stop | watched | leave | dry
	Limit     string `json:"limit,omitempty"`
	LookEvery string `json:"lookEvery,omitempty"`
	Because   string `json:"because"`
}

// Instrument is one way of measuring, with its expanded uncertainty as used by hand.
type Instrument struct {
	Head
	Dim      unit.Dimension          `json:"dimension"`
	U        map[string]fact.Measure `json:"u"`                  // on: bore | outside | face | any
	Share    float64                 `json:"share,omitempty"`    // relative part: U = max(U, share * value)
	CantSee  string                  `json:"cantSee,omitempty"`  // what it cannot see
	Systemic float64                 `json:"systemic,omitempty"` // share of U that a row of readings has in common (default 0.5)
	Cost     int                     `json:"cost,omitempty"`     // 1 = in every box ... 5 = borrow it
}

// Estimates is the one table of our own judgement (DESIGN: "(J)").
type Estimates struct {
	Head
	Values map[string]float64 `json:"values"`
}

// Case is a solved case: what a fitter would have at that stage, and what it proved to be.
type Case struct {
	Head
	For      string                `json:"for"`
	Cause    string                `json:"cause"`
	LookLike string                `json:"looksLike"` // the named look-alike
	Stage    string                `json:"stage"`     // before-opening | opened
	History  History               `json:"history"`
	Story    string                `json:"story"`
	Given    map[string]AnswerText `json:"given"`             // fact id -> answer
	Top      int                   `json:"top,omitempty"`     // the cause must stand among the first Top (default 1 opened, 6 before opening)
	Splits   string                `json:"splits,omitempty"`  // the fact or check that must be named next, or split_by
	Expect   map[string]AnswerText `json:"expect,omitempty"`  // facts concluded
	Verdict  string                `json:"verdict,omitempty"` // expected run verdict
	Joints   map[string]CaseJoint  `json:"joints,omitempty"`  // several joints; Given then holds assembly facts
}

// CaseJoint is one joint of a case about an assembly.
type CaseJoint struct {
	Kind  string                `json:"kind"`
	Like  string                `json:"like,omitempty"`
	Above []string              `json:"above,omitempty"`
	Given map[string]AnswerText `json:"given,omitempty"`
}

// AnswerText is an answer as written in YAML, with its place: a scalar, a list or a mapping
// (is/not), kept as text until it is read against its fact.
type AnswerText struct {
	Scalar string       `json:"scalar,omitempty"`
	List   []string     `json:"list,omitempty"`
	Is     []string     `json:"is,omitempty"`
	Not    []string     `json:"not,omitempty"`
	At     []string     `json:"at,omitempty"` // for readings: where each of List was taken
	Unit   string       `json:"unit,omitempty"`
	Place  source.Place `json:"place,omitzero"`
}

// RuleTest stands beside a rule as ID_test.yaml.
type RuleTest struct {
	Head
	Rule  string         `json:"rule"`
	Cases []RuleTestCase `json:"cases"`
}

// RuleTestCase: the rule fires, is silent, or cannot say yet.
type RuleTestCase struct {
	Name        string                `json:"name"`
	For         string                `json:"for,omitempty"`
	Given       map[string]AnswerText `json:"given"`
	Expect      string                `json:"expect"` // fires | silent | undecided
	WouldSettle []string              `json:"wouldSettle,omitempty"`
	Place       source.Place          `json:"place,omitzero"`
}

// Knowledge is a knowledge base, complete or of the kinds in play. All lists are sorted by
// id (causes by kind, then id).
type Knowledge struct {
	Joints      []*Joint      `json:"joints,omitempty"`
	Facts       []*Fact       `json:"facts,omitempty"`
	Checks      []*Check      `json:"checks,omitempty"`
	Causes      []*Cause      `json:"causes,omitempty"`
	Remedies    []*Remedy     `json:"remedies,omitempty"`
	Targets     []*Target     `json:"targets,omitempty"`
	Cautions    []*Caution    `json:"cautions,omitempty"`
	Stops       []*Stop       `json:"stops,omitempty"`
	Rules       []*Rule       `json:"rules,omitempty"`
	Instruments []*Instrument `json:"instruments,omitempty"`
	Estimates   []*Estimates  `json:"estimates,omitempty"`
	Cases       []*Case       `json:"cases,omitempty"`
	RuleTests   []*RuleTest   `json:"ruleTests,omitempty"`
	// Tables are the published figures that calculations look up; nil where there are none. Whoever loads a
	// knowledge base brings them: they are no documents.
	Tables Tables `json:"-"`
	index  *index
}

// Tables hands over tables of published figures by name.
type Tables interface {
	Table(name string) (*table.Table, error)
}
