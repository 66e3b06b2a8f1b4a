// Package plan decides what to do next and writes the plan: the next question or look worth
// its minutes, the errand, and strip-down, reassembly and retest.
// It changes no probability; it reads the solved network.
package plan

// Next is a question or a check that is worth its minutes.
type Next struct {
	Fact    string   `json:"fact,omitempty"`  // a question that can be answered where one sits
	Check   string   `json:"check,omitempty"` // or a look at the machine
	Fills   []string `json:"fills,omitempty"`
	Joint   string   `json:"joint"`
	Title   string   `json:"title"`
	Kind    string   `json:"kind"` // rule-out | tell-apart | confirm
	Stage   string   `json:"stage"`
	Minutes float64  `json:"minutes"`
	Saves   float64  `json:"saves_minutes"`
	Why     string   `json:"why"`
	How     string   `json:"how,omitempty"`
	Tools   []string `json:"tools,omitempty"`
	Borrow  []string `json:"borrow,omitempty"` // tools the person said he has not got
	Caution []string `json:"cautions,omitempty"`
}

// Plan is strip-down, reassembly and retest.
type Plan struct {
	HaveReady []string `json:"have_ready"`
	Steps     []Step   `json:"steps"`
	Minutes   float64  `json:"expected_minutes"` // expected hands-on minutes until dry
	Wait      float64  `json:"wait_minutes"`
	Lower     float64  `json:"lower_bound"`
	LookAgain string   `json:"look_again"`
	Sums      []string `json:"sums"` // the trades made, each with its sum
}

// Step is one line of the plan.
type Step struct {
	Part     string   `json:"part"` // before | try | strip | decide | mend | reassemble | bench | refit | retest
	Action   string   `json:"action"`
	Joint    string   `json:"joint"`
	Joints   []string `json:"joints,omitempty"` // where the line is for several joints
	Check    string   `json:"check,omitempty"`  // the check, remedy or target that the line is about
	Remedy   string   `json:"remedy,omitempty"`
	Target   string   `json:"target,omitempty"`
	Stage    string   `json:"stage"`
	Minutes  float64  `json:"minutes"`
	Wait     float64  `json:"wait_minutes"`
	Why      string   `json:"why"`
	Cautions []string `json:"cautions"` // ids; their words stand among the cautions of the result
}

// Decision is what the planner has to say.
type Decision struct {
	Next        *Next
	NothingMore string // why, when Next is nil
	Errand      []Next
	Plan        Plan
	TooLarge    string // what was estimated because the exact optimum was out of reach
}
