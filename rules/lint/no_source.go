package lint

import (
	"fmt"

	"seepwright/rules"
)

// noSource reports documents that hold figures and say nothing of where they come from.
func noSource(c *checker) {
	warn := func(kind string, h rules.Head, figures bool) {
		if figures && h.Source == "" && h.Standing == "" {
			c.report(h.Place, "no-source", fmt.Sprintf("the %s %q gives figures without source or standing", kind, h.ID), "add source: TITLE, TABLE OR PAGE and standing: confirmed; or standing: common practice, from memory or estimate")
		}
	}
	for _, d := range c.k.Causes {
		warn("cause", d.Head, len(d.Share)+len(d.Signs)+len(d.Context) > 0)
	}
	for _, d := range c.k.Facts {
		based := len(d.Base) > 0
		for _, o := range d.Options {
			based = based || len(o.Base) > 0
		}
		warn("fact", d.Head, based)
	}
	for _, d := range c.k.Checks {
		warn("check", d.Head, d.Se+d.Sp > 0)
	}
	for _, d := range c.k.Remedies {
		warn("remedy", d.Head, d.Minutes+d.Success > 0)
	}
	for _, d := range c.k.Targets {
		warn("target", d.Head, d.AtLeast != nil || d.AtMost != nil)
	}
	for _, d := range c.k.Instruments {
		warn("instrument", d.Head, true)
	}
	for _, d := range c.k.Estimates {
		warn("table of estimates", d.Head, true)
	}
	for _, d := range c.k.Rules {
		warn("rule", d.Head, true)
	}
}
