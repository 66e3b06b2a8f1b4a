package plan

import (
	"seepwright/engine/infer"
	"seepwright/engine/network"
	"seepwright/engine/rank"
	"seepwright/rules"
	"seepwright/rules/assembly"
)

// Person is what the planner must know about the one who asks.
type Person struct {
	Tools    []string            // instruments and tools that he has; empty = not said
	Ready    []string            // parts in hand
	CantTell map[rules.Stage]int // "can't tell" answers so far, by stage
	Answered int                 // answers given so far
	Deadline float64             // minutes until it must run; 0 = none
	First    bool                // only the questions of safety and history: nothing is valued, nothing planned
	Brief    bool                // between two questions: no plan and no reasons; of the looks those that move most are valued, and none while questions of safety are open
}

// Problem is one decision: what is known, the solved network, and the person.
type Problem struct {
	KB      *rules.Knowledge
	Index   *Index // what leads to what in KB; nil = made anew
	Asm     *assembly.Assembly
	Mem     *infer.Memory
	Net     *network.Network
	Solver  *rank.Solver
	Post    rank.AssemblyPosterior
	Person  Person
	Acts    []rules.Act     // what is refused while the rest goes on
	Refused bool            // the work itself is refused: no plan, no checks beyond what is safe
	Settles func() []string // facts that would decide whether it may be run; called when nothing else is worth asking
}
