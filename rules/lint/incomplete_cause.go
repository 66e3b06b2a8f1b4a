package lint

import (
	"fmt"
	"strings"

	"seepwright/rules"
	"seepwright/rules/source"
)

// Families are the classes of causes: those of the collection of real cases, and two of our own.
func Families() []string {
	return []string{
		"cracked_body", "chafe", "clamp_or_hose_end", "contamination", "corroded_through", "face_or_bore_defect", "hose_degraded", "loose_fastener",
		"made_defective", "misalignment_or_strain", "old_seal_left", "overpressure_or_blocked_vent", "overtightened_or_uneven", "part_omitted",
		"seal_aged_or_set", "seal_misfitted", "sealant_misuse", "shaft_or_rod_worn", "stripped_or_missing_fastener", "thermal",
		"valve_or_switch_failed", "vibration_or_no_support", "wrong_material", "wrong_part_or_size",
		"elsewhere", "not_in_knowledge_base",
	}
}

func families(c *checker) {
	for _, d := range c.k.Causes {
		known := false
		for _, f := range Families() {
			known = known || f == d.Family
		}
		if !known && d.Family != "" {
			hint := source.DidYouMean(d.Family, Families())
			if hint == "" {
				hint = "known are " + strings.Join(Families(), ", ")
			}
			c.report(c.at(d.Head, "family", d.Family), "unknown-family", fmt.Sprintf("no class of causes is called %q", d.Family), hint)
		}
	}
}

// incomplete reports causes that leave a person without help.
func incomplete(c *checker) {
	for _, d := range c.k.Causes {
		lack := func(missing bool, what, hint string) {
			if missing {
				c.report(d.Place, "incomplete-cause", fmt.Sprintf("the cause %q has no %s", d.ID, what), "add "+hint)
			}
		}
		lack(len(d.Share) == 0, "share", "share: {after-refit: 3 %, long-service: 1 %}")
		lack(len(d.Signs) == 0, "signs", "signs: [{when: FACT is yes, shows: 60 %}, ...]")
		lack(len(d.Remedies) == 0, "remedies", "remedies: [NAME], best first")
		lack(d.StopGap.Allowed == "", "stop-gap", "stop-gap: {allowed: no}, or a measure with its limit")
		lack(d.Prevent == "", "prevention", "prevent: how to keep it from coming back")
		lack(d.IfIgnored == "", `"if ignored"`, "if ignored: what happens if nothing is done")
		if a := d.StopGap.Allowed; (a == "yes" || a == "short") && (d.StopGap.Limit == "" || d.StopGap.Measure == "") {
			c.report(c.at(d.Head, "stop-gap", ""), "no-limit", fmt.Sprintf("the stop-gap of %q has no measure or no limit", d.ID), "add measure: what is done, and limit: how far and how long it may be trusted")
		}
		if d.Shared {
			lack(len(d.Joints) == 0, "joints", "joints: [KIND, ...] on which it acts")
			lack(d.Acts == 0, `"acts"`, "acts: 80 %, how often it makes such a joint leak")
		}
	}
	for _, d := range c.k.Checks {
		if d.Se > 0 && d.Sp > 0 && d.Se+d.Sp <= 1 {
			c.report(c.at(d.Head, "sp", ""), "no-better-than-chance", fmt.Sprintf("with %.0f %% and %.0f %% the check %q tells no more than a coin", 100*d.Se, 100*d.Sp, d.ID), "sensitivity and specificity together must exceed 100 %")
		}
	}
}

// shares reports joint kinds whose shares do not add up.
func shares(c *checker) {
	for _, kind := range c.kinds {
		causes := c.k.CausesOf(kind)
		sum, n := rules.PerHistory{}, map[rules.History]int{}
		for _, d := range causes {
			for h, x := range d.Share {
				sum[h] += x
				n[h]++
			}
		}
		for _, h := range rules.Histories() {
			if n[h] > 0 && (sum[h] < 0.98 || sum[h] > 1.02) {
				f := source.Finding{Place: c.k.Joint(kind).Place, Code: "share-sum", Warning: c.o.Overlaid || warns("share-sum"),
					What: fmt.Sprintf("the shares of %s add up to %.1f %% (%s, %d causes)", kind, 100*sum[h], h, n[h]),
					Hint: "they are shares of all leaks of the kind: mend them so that they add up to 98 to 102 %"}
				if c.o.Overlaid {
					f.Hint = "they count as weights, so each is taken as its part of this sum"
				}
				c.out = append(c.out, f)
			}
		}
	}
}
