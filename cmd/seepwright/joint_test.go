package main

import (
	"bytes"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/cmd/seepwright/report"
	"seepwright/kb"
)

// after is what a page has under a heading, up to the next one.
func after(page, heading string) string {
	_, rest, ok := strings.Cut(page, "\n"+heading)
	if !ok {
		return ""
	}
	_, rest, _ = strings.Cut(rest, "\n") // the rule under the heading
	_, rest, _ = strings.Cut(rest, "\n")
	if i := strings.Index(rest, "\n---"); i >= 0 {
		rest = rest[:strings.LastIndex(rest[:i], "\n\n")]
	}
	return rest
}

func TestThePageOfEachKindSaysHowItSealsFailsAndIsMeasured(t *testing.T) {
	for _, kind := range kb.Kinds() {
		k, err := kb.Load(kind)
		require.NoError(t, err)
		d := report.JointPage{Joint: k.Joint(kind), Causes: k.CausesOf(kind), KB: k}
		var b bytes.Buffer
		require.NoError(t, report.Text(&b, d.View(), 80))
		page := b.String()
		for _, line := range strings.Split(page, "\n") {
			assert.LessOrEqual(t, utf8.RuneCountInString(line), 80, "%s: %q", kind, line)
		}
		for _, head := range []string{"What it looks like", "How it seals", "How it fails", "What holds it", "Before hands go near", "Finding the fault", "What to measure", "Putting it together", "Causes: "} {
			assert.NotEmpty(t, after(page, head), "%s has nothing under %q", kind, head)
		}
		for _, item := range strings.Split("\n"+after(page, "What to measure"), "\n- ")[1:] {
			name, _, _ := strings.Cut(item, "\n")
			assert.Contains(t, item, "  With: ", "%s: no tool for %s", kind, name)
			assert.Contains(t, item, "Source: ", "%s: no source for %s", kind, name)
			assert.Contains(t, item, "Without the tool: ", "%s: no way without the tool for %s", kind, name)
			assert.Regexp(t, `[0-9]|worked out for this joint|the maker's figure`, item, "%s: no number for %s", kind, name)
		}
		for _, c := range d.Causes {
			b.Reset()
			require.NoError(t, report.Text(&b, d.CauseView(c), 80))
			for _, head := range []string{"How often", "How to find out", "How to cure it", "How to prevent it", "If it is ignored"} {
				assert.NotEmpty(t, after(b.String(), head), "%s/%s has nothing under %q", kind, c.ID, head)
			}
			assert.NotContains(t, b.String(), "%!", c.ID)
		}
		assert.NotContains(t, page, "%!", kind)
	}
}

func TestASignStandsOnThePageOfACauseOnlyWhereItTells(t *testing.T) {
	k, err := kb.Load("banjo")
	require.NoError(t, err)
	d := report.JointPage{Joint: k.Joint("banjo"), Causes: k.CausesOf("banjo"), KB: k}
	var b bytes.Buffer
	require.NoError(t, report.Text(&b, d.CauseView(k.Cause("banjo/banjo-slack")), 80))
	assert.Contains(t, after(b.String(), "What speaks for it"), "After one re-tightening: dry since")
	assert.Contains(t, after(b.String(), "What speaks against it"), "After one re-tightening: nothing")
	assert.NotContains(t, after(b.String(), "What speaks for it"), "First wet after the work", "it shows as often with any cause")
}
