package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// practices are the rules of the trade that a person must get to see, each with answers that call for it, the
// sentence that says it on the printed page, and answers that do not call for it: then it is not there.
var practices = []struct {
	practice, kind, called, says, spared string
}{
	{"seals are never used twice", "face-oring", "new-seal: reused", "Seals and gaskets are never used twice.", "new-seal: new"},
	{"nor are washers", "banjo", "banjo-washers-were: old-ones", "Seals and gaskets are never used twice.", "banjo-washers-were: two-new"},
	{"what comes out is thrown away", "radial-oring", "last-work: remade, first-wet: at-once", "Throw away every ring that came out.", ""},
	{"soapy water is for new parts", "tie-rod-cap", "last-lubricant: soapy-water, seat-worn: yes", "Soapy water may do on new parts. A worn or pitted seat wants silicone grease", "last-lubricant: soapy-water, seat-worn: no"},
	{"nor dry on a worn seat", "port-oring", "last-lubricant: dry, seat-worn: yes", "A worn or pitted seat wants silicone grease", "last-lubricant: dry, seat-worn: no"},
	{"grease by the rubber", "shell-and-tube", "seal-rubber: epdm, last-lubricant: mineral-grease-or-oil", "No mineral grease, petroleum jelly or oil on EPDM", ""},
	{"rubber by the fluid", "bonded-seal", "seal-rubber: epdm, fluid: gear-oil, temp-max: 50 C", "Renew with a rubber that the table rubber-fluids gives as first choice", "seal-rubber: nbr, fluid: lube-oil, temp-max: 50 C"},
	{"rubber by the heat", "flare-cone", "seal-rubber: nbr, fluid: lube-oil, temp-max: 130 C", "Every 10 K more halves the life.", "seal-rubber: fkm, fluid: lube-oil, temp-max: 90 C"},
	{"rubber washed with soap only", "quad-ring", "last-work: remade, rings-washed-in: solvent", "Soap and warm water only", "last-work: remade, rings-washed-in: soap-and-water"},
	{"a descaler by the weakest metal, in its own row", "tie-rod-cap", "last-work: remade, bath-cleaner: citric, bath-metals: [iron, zinc], bath-time: 20 min", "A mixed part goes by its weakest metal, in its own row of the table", "last-work: remade, bath-cleaner: soap"},
	{"half and half, eight hours, is no advice", "radial-oring", "last-work: remade, bath-cleaner: citric, bath-metals: [iron], bath-time: 9 h", "Half and half, at most eight hours, is an outer limit that any shorter row overrules, never advice.", "last-work: remade, bath-cleaner: none"},
	{"rubber and anodes out, the fizz watched", "shell-and-tube", "last-work: remade, bath-cleaner: sulphamic, bath-care: {not: [anodes-out]}", "Rubber and anodes out, a third of the strength first, cold; watch the fizz and stop when it stops.", "last-work: remade, bath-cleaner: sulphamic, bath-care: [rubber-out, anodes-out, fizz-watched]"},
	{"what lay in mild acid is renewed", "tie-rod-cap", "last-work: remade, bath-cleaner: vinegar, bath-care: {not: [rubber-out]}", "Rubber that lay in petrol, brake cleaner, acetone, acid or caustic goes in the bin.", "last-work: remade, bath-cleaner: vinegar, bath-care: [rubber-out]"},
	{"neutralised, and seats gauged before and after", "face-gasket", "last-work: remade, bath-cleaner: phosphoric, bath-care: {not: [neutralised, seats-gauged]}", "Gauge the seats before and after.", "last-work: remade, bath-cleaner: phosphoric, bath-care: [neutralised, seats-gauged]"},
	{"where the plan itself descales, the same", "drain-valve", "cock-scale-holds: yes, water-kind: hard-untreated", "Half and half, at most eight hours, is an outer limit", ""},
	{"dents of levering are stoned flush first", "face-gasket", "parted-how: levered", "Stone the raised lip flush first. Fill a dent only outside hot or pressure lands. Dress it flat on plate glass with abrasive paper", "parted-how: jacking-screws"},
	{"filler never on hot or pressed lands", "tie-rod-cap", "last-work: remade, filler-where: hot-or-pressed-land", "Not on the pressed land, a lead-in edge, cracks, hot coolant, fuel or above 10 bar.", "last-work: remade, filler-where: none"},
	{"no paint in a seat", "face-oring", "face-ring-faces-had: [painted]", "No paint, powder, rust converter or paste in a seat", "face-ring-faces-had: [wiped-in-place]"},
	{"a missing pin lets the gasket shift", "face-gasket", "located-by: pin-left-out", "Put the locating pin back, or hang gasket and part on two headless studs, before any bolt goes in.", ""},
	{"a rusted plate lets pipes walk out", "radial-oring", "retainer-lacking: yes", "A retaining plate that has rusted away is replaced, not left off.", "retainer-lacking: no"},
	{"a hose for a pipe leaves the spigot free", "radial-oring", "hose-for-pipe: yes", "Put the rigid pipe back with its brackets, or hold the spigot by a bracket of its own.", "hose-for-pipe: no"},
	{"lock nuts where it shakes", "tie-rod-cap", "unlocked-on-a-shaker: yes", "Lock nuts, tab washers, wire or thread-lock where it vibrates", "unlocked-on-a-shaker: no"},
	{"and at a cock, whose question has another name", "drain-valve", "cock-shakes: yes", "Lock nuts, tab washers, wire or thread-lock where it vibrates", "cock-shakes: no"},
	{"marks before removal", "face-gasket", "access-size: a-day", "Scribe marks across body, cover, pipes and clamps before removal: they restore its position.", "access-size: minutes"},
	{"two bolts, one in a slot", "shell-and-tube", "access-size: half-a-day", "Two bolts, one of them in a slot, hold the unit while it is offered up.", "access-size: minutes"},
	{"coolant every two years", "tie-rod-cap", "fluid: coolant, coolant-family: hybrid, coolant-age: 21 month", "Coolant every two years, exchanger every three: what falls due within a fifth of the time is done while it is drained.", "fluid: coolant, coolant-family: hybrid, coolant-age: 10 month"},
	{"exchanger every three", "shell-and-tube", "shell-bundle-age: old", "Coolant every two years, exchanger every three", "shell-bundle-age: recent"},
	{"mixed coolants first in a jar", "face-shaft-seal", "fluid: coolant, fluid-changed: yes, coolant-flushed: no", "A jar first: one to one in clean glass", "fluid: coolant, fluid-changed: yes, coolant-flushed: yes"},
	{"an end that is not round defeats every new ring", "radial-oring", "last-work: remade, times-failed: 2, awkward: yes, new-seal: new", "An end that is hard to see and not round defeats every new ring.", "last-work: remade, times-failed: 0, awkward: yes, new-seal: new"},
	{"tape and a clip are no repair", "hose-clamp", "joint-wet: yes", "Tape and a clip are not a repair: they win hours or days.", "joint-wet: no"},

	{"whose fluid: a drop on paper beside each dipstick", "radial-oring", "paper-matches: engine-oil, circuit-carries: coolant", "What leaks does not run in this joint.", "paper-matches: coolant, circuit-carries: coolant"},
	{"whose fluid: smell and feel", "hose-clamp", "stray-smell: sulphur, stray-feel: oily, circuit-carries: coolant", "What leaks does not run in this joint.", "stray-smell: sweet, stray-feel: slippery-thin, circuit-carries: coolant"},
	{"whose fluid: colour", "lip-seal", "stray-colour: black, stray-feel: oily, circuit-carries: gear-oil", "What leaks does not run in this joint.", "stray-colour: black, stray-feel: oily, circuit-carries: engine-oil"},
	{"whose fluid: strips", "core-plug", "strip-antifreeze: no, strip-salt: yes, circuit-carries: coolant", "What leaks does not run in this joint.", "strip-antifreeze: yes, circuit-carries: coolant"},
	{"rain is nobody's leak", "casting", "only-after-rain: yes, strip-antifreeze: no", "Rain, wash water and dew wet a joint without any leak.", "only-after-rain: no, strip-antifreeze: no"},
	{"two levels: the side that pushed is tested", "plate-exchanger", "joint-wet: no, level-that-falls: engine-oil, level-that-rises: coolant, levels-move-when: [running]", "Put the side whose level fell under pressure and leave the other open and dry", "joint-wet: no, level-that-falls: none"},
	{"a crossing leaks, though all is dry outside", "shell-and-tube", "joint-wet: no, level-that-falls: engine-oil, level-that-rises: coolant", "1. Single end ring passes, circuits mix", "joint-wet: no, level-that-falls: none"},
	{"running and standing push opposite ways", "shell-and-tube", "crossing-seen: [oil-in-water-running, water-in-oil-standing]", "One hole passes oil over while it runs and water back while it stands.", "crossing-seen: {is: [oil-in-water-running], not: [water-in-oil-standing]}"},
	{"raw water shut at rest", "shell-and-tube", "level-that-falls: raw-water, level-that-rises: coolant, levels-move-when: {is: [standing], not: [running]}", "Shut the raw water inlet whenever it stands", "level-that-falls: coolant, level-that-rises: raw-water, levels-move-when: {is: [running], not: [standing]}"},
	{"fill in steps, look below each joint", "hose-clamp", "joint-wet: yes, last-work: remade, first-wet: at-once", "Fill in steps, stop below each joint and look", ""},
	{"air after a drain-down is no verdict", "tie-rod-cap", "level-falls: yes, heats-since-drained: one-or-two", "no verdict before the third heat", "level-falls: yes, heats-since-drained: three-or-more"},
	{"left-over oil runs down for days", "washer-joint", "wet-after-two-runs: no", "Overfilled, spilt or old oil creeps down for days.", "wet-after-two-runs: yes"},
}

// safeAnswers are those that keep the page from ending in a stop.
const safeAnswers = "work-on: ordinary, state-now: [safe-and-cold], can-isolate: yes, reaches: [nothing-that-matters], below-waterline: no, growing: no, crack-seen: no"

// Each practice is seen where it is called for, and only there.
func TestThePracticeOfTheTradeIsSeenWhereItIsCalledFor(t *testing.T) {
	page := func(t *testing.T, kind, given string) string {
		t.Helper()
		file := filepath.Join(t.TempDir(), "answers.yaml")
		all := given
		for _, a := range strings.Split(safeAnswers, ", ") {
			if name, _, _ := strings.Cut(a, ":"); !strings.Contains(", "+given, ", "+name+":") {
				all += ", " + a
			}
		}
		require.NoError(t, os.WriteFile(file, []byte("joint: "+kind+"\nanswers: {"+all+"}\n"), 0o600))
		var out, errs bytes.Buffer
		a := &app{in: strings.NewReader(""), out: &out, err: &errs, env: func(string) string { return "" }}
		require.Zero(t, a.run([]string{"diagnose", "--answers", file}), errs.String())
		return strings.Join(strings.Fields(out.String()), " ")
	}
	for _, x := range practices {
		t.Run(x.practice, func(t *testing.T) {
			assert.Contains(t, page(t, x.kind, x.called), x.says)
			if x.spared != "" {
				assert.NotContains(t, page(t, x.kind, x.spared), x.says)
			}
		})
	}
}
