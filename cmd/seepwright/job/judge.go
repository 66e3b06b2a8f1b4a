package job

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"seepwright/cmd/seepwright/journal"
	"seepwright/engine/measure/leak"
	"seepwright/rules/unit"
)

// Verdict is what one step of a retest says of a joint.
type Verdict string

// The verdicts. Again means that it is not proved yet, neither way.
const (
	Pass  Verdict = "dry"
	Fail  Verdict = "wet"
	Again Verdict = "again"
)

// Judged is one step of a retest, judged.
type Judged struct {
	Verdict Verdict
	Says    []string // what was seen, and what it could have hidden
	Do      string   // what to do now; "" = on to the next step
	Circuit string   // what the circuit does beside this joint, and where to look; "" = nothing
}

// enough is the part of a step's time that it must at least have lasted: 15 of 20 minutes under
// cold pressure, as the method has it.
const enough = 0.75

// Judge judges an entry of the retest. The entry is not in the log yet. The error is a mistake
// in what was noted.
func (j *Job) Judge(e journal.Entry) (Judged, error) {
	s, ok := j.step(e.Name)
	if !ok {
		return Judged{}, fmt.Errorf("no step of the retest is called %q", e.Name)
	}
	out := Judged{Verdict: Again}
	say := func(format string, args ...any) { out.Says = append(out.Says, fmt.Sprintf(format, args...)) }
	var seen Seen
	if e.Gauge != "" {
		var err error
		if seen, err = j.Look(e.Joint, e.Gauge, e.Temperature, unit.Time(e.Minutes*60)); err != nil {
			return out, err
		}
		out.Says = append(out.Says, seen.Says...)
	} else if e.Temperature != "" {
		if _, _, _, err := temperatures(e.Temperature); err != nil {
			return out, err
		}
	}
	switch {
	case e.Tissue == "wet":
		out.Verdict = Fail
	case e.Tissue == "damp" && j.dampBefore(e):
		out.Verdict = Fail
		say("Damp again after it was wiped: that is wet.")
	case e.Tissue == "damp":
		say("Damp may be what was spilt. Damp is not dry.")
		out.Do = "Wipe it, hold the state as long again, and put a new tissue to it. Damp a second time counts as wet."
	case e.Tissue == "":
		say("No tissue was held to it. Dry means that a tissue stays dry; the needle cannot say that.")
		out.Do = "Put a dry tissue round the joint and hold the state again."
	case s.Stage != "outside" && e.Minutes < enough*s.Minutes:
		held := "how long was not noted"
		if e.Minutes > 0 {
			held = "it was held for " + lasting(unit.Time(e.Minutes*60))
		}
		say("The tissue is dry, but %s; it takes %s.", held, lasting(unit.Time(s.Minutes*60)))
		out.Do = "Go on with the same step until the time is full."
	default:
		out.Verdict = Pass
	}
	if out.Verdict == Pass && seen.Unexplained {
		out.Circuit = "The joint is dry and the needle fell: look for a crossing into the other circuit, at the pump and its hose, at the relief valve. Air that dissolves does it too: vent, wait 10 min, and hold the pressure again."
	}
	if l := strings.ToLower(strings.TrimSpace(e.Level)); out.Verdict == Pass && fell(l) {
		out.Circuit = strings.TrimSpace(out.Circuit + " The level is down and the joint is dry: it goes inside, into the other circuit, or out elsewhere.")
	}
	if c := j.compare(e, out.Verdict); c != "" && s.Number > 0 {
		say("%s", c)
	}
	if out.Verdict == Fail {
		out.Do = failedAt(s.Number)
	}
	return out, nil
}

// fell reports whether words about a level say that it went down.
func fell(level string) bool {
	return slices.ContainsFunc([]string{"down", "lower", "fell", "fallen", "below", "less"}, func(w string) bool {
		return slices.Contains(strings.FieldsFunc(level, func(r rune) bool { return r < 'a' || r > 'z' }), w)
	})
}

// dampBefore reports whether the same step was damp in this retest already.
func (j *Job) dampBefore(e journal.Entry) bool {
	return slices.ContainsFunc(j.tests(e.Joint), func(o journal.Entry) bool { return o.Name == e.Name && o.Tissue == "damp" })
}

// failedAt says what a step means at which it was wet first, and what to do. Source: method of
// the retest; standing: common practice.
func failedAt(n int) string {
	switch {
	case n <= coldPressure:
		return "Go back now, before anything more is fitted or filled: here the least is lost. Wet at the fill or cold means a part that is missing, torn or nipped, or not home."
	case n == 3:
		return "Stop it and let the pressure off. First wet at idle means pressure or shaking: look at what holds the joint together before the seal."
	case n <= heatSoak:
		return "Stop it, let it cool, pressure off. First wet hot means pressure, a crack, or a clearance that is wrong at heat."
	case n == nextMorning:
		return "First wet in the cold morning means squeeze that fades: a set or hard seal, a seal too small, or faces that part as they shrink. More tightening hides it for a day."
	case n == tightness:
		return "Wet after it was tightened again: leave the spanner. It is not slack; the seal or the faces are at fault."
	case n == 8:
		return "Stop it, let it cool, pressure off. Dry at the first heat and wet at the second means that it settled: squeeze fades, or something moved."
	}
	return "It came back in service: note the hours, mark the place, and begin a new round with what was done in mind."
}

// compare puts the leak now beside the leak before.
func (j *Job) compare(e journal.Entry, v Verdict) string {
	before, words := j.Before(e.Joint)
	now, rated := Rate(e.Amount)
	over := unit.Time(e.Minutes * 60)
	drop := j.liquidOf(e.Joint).drop
	switch {
	case v == Pass && before > 0 && over > 0:
		n, err := leak.DropsIn(before, over, unit.Volume(drop))
		if err != nil {
			return ""
		}
		if n >= 3 {
			return fmt.Sprintf("Before, it leaked %s: in this time that made %s. Now none.", words, count(n))
		}
		return fmt.Sprintf("Before, it leaked %s: in this time that makes %s, so a dry tissue after %s proves little yet. The long steps decide.", words, count(n), lasting(over))
	case v == Pass && words != "":
		return fmt.Sprintf("Before: %s. Now dry.", words)
	case v == Pass:
		return ""
	case rated && before > 0 && now > 0:
		return fmt.Sprintf("Before: %s. Now: %s, %s.", words, flowWords(now, drop), times(float64(now)/float64(before)))
	case e.Amount != "" && words != "":
		return fmt.Sprintf("Before: %s. Now: %s.", words, strings.TrimSuffix(e.Amount, "."))
	}
	return ""
}

// Before is how much the joint leaked as the case was described: as a rate, and in words. The
// rate is 0 where only words are known.
func (j *Job) Before(joint string) (unit.Flow, string) {
	if j.Result == nil {
		return 0, ""
	}
	for _, id := range []string{"caught-flow", "drip-flow", "level-fall-flow", "top-up-flow"} {
		for _, f := range j.Result.Findings {
			if f.Fact != id || f.Joint != joint && !strings.HasPrefix(f.Joint, "circuit:") && f.Joint != "" {
				continue
			}
			x, ok := f.Value.(float64)
			u, known := unit.ByName(f.Unit)
			if ok && known && x > 0 {
				q := unit.Flow(u.ToSI(x))
				return q, flowWords(q, j.liquidOf(joint).drop)
			}
		}
	}
	for _, f := range j.Result.Findings {
		if f.Fact == "wet-amount" && (f.Joint == joint || f.Joint == "") {
			return 0, f.Text
		}
	}
	return 0, ""
}

func flowWords(q unit.Flow, drop float64) string {
	perMinute := float64(q) * 60 / drop
	if perMinute > 300 {
		return unit.Show(float64(q)*1e3*60, 2) + " L/min"
	}
	return drops(perMinute, unit.Minute)
}

func count(n float64) string {
	switch {
	case n >= 1.5:
		return fmt.Sprintf("%.0f drops", n)
	case n >= 0.75:
		return "one drop"
	}
	return "less than one drop"
}

func times(x float64) string {
	switch {
	case x > 1.5:
		return fmt.Sprintf("%.0f times as much", max(x, 2))
	case x > 0.67:
		return "much the same"
	case x > 0.4:
		return "about half"
	}
	return fmt.Sprintf("about %s of it", cmp.Or(parts[int(1/x+0.5)], fmt.Sprintf("1/%.0f", 1/x)))
}

var parts = map[int]string{3: "a third", 4: "a quarter", 5: "a fifth", 10: "a tenth"}
