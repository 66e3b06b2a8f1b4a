package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine/infer"
	"seepwright/rules/fact"
)

// accusations works an answers file out and lists all that is held against the unit: a stop, a
// contradiction, a missed target, a rule that finds a cause, and an observation that decides a
// cause and was concluded by a rule. What the person saw himself is no accusation of ours.
func accusations(t *testing.T, path string) []string {
	a := &app{in: strings.NewReader(""), out: io.Discard, err: io.Discard, env: func(string) string { return "" }}
	w, err := a.open(start{answers: path})
	require.NoError(t, err)
	r, err := w.result()
	require.NoError(t, err)
	var out []string
	say := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	if r.Stop != nil {
		say("stop %s: %s", r.Stop.ID, r.Stop.Reason)
	}
	if r.Impossible != "" {
		say("impossible: %s", r.Impossible)
	}
	for _, c := range r.Contra {
		say("contradicted %s at %q: %v from %v", c.Fact, c.Joint, c.Values, c.From)
	}
	for _, x := range r.Targets {
		if x.Verdict == "missed" {
			say("missed %s at %s: %s, wanted %s", x.ID, x.Joint, x.Measured, x.Limit)
		}
	}
	mem := w.session.Memory()
	for _, f := range mem.Active() {
		if f.Action.Find != nil {
			say("rule %s finds %s at %q", f.Rule.ID, f.Action.Find.Cause, f.Joint)
		}
	}
	for _, c := range w.kb.Causes {
		for _, by := range c.FoundBy {
			for _, j := range w.asm.Joints {
				if by.Fact == "" || j.Kind != c.For && !(c.Shared && slices.Contains(c.Joints, j.Kind)) {
					continue
				}
				k := w.session.Key(j.ID, by.Fact)
				v, ok, _ := mem.Value(k)
				if !ok || !shows(v, by.Opt) {
					continue
				}
				for _, s := range mem.Supports(k) {
					if s.Origin == infer.Concluded || s.Origin == infer.Computed {
						say("rule %s concludes %s, which decides for %s", s.Rule, k, c.Ref())
					}
				}
			}
		}
	}
	return out
}

// shows reports whether a value is yes, or the option, that a check finds a cause by.
func shows(v fact.Value, option string) bool {
	switch {
	case !v.Answered():
		return false
	case option == "":
		return v.Type == fact.YesNo && v.Yes
	case v.Type == fact.Choice:
		return v.Option == option
	}
	return slices.Contains(v.Is, option)
}

var soundFiles = filepath.Join("..", "..", "testdata", "sound")

// A rule that accuses a healthy assembly is wrong until someone writes down why not.
func TestHealthyAssembliesAreNotAccused(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(soundFiles, "*.yaml"))
	require.NoError(t, err)
	require.Greater(t, len(files), 10)
	for _, path := range files {
		t.Run(filepath.Base(path), func(t *testing.T) {
			assert.Empty(t, accusations(t, path))
		})
	}
}

// The same assemblies with one thing spoiled: each kind of accusation can be made.
func TestAHealthyAssemblyThatIsSpoiledIsAccused(t *testing.T) {
	for name, c := range map[string]struct{ file, was, is, says string }{
		"the bore is gauged oval, and a target is missed": {"radial-header-stub-all-measured", `{at: "3:00", value: 38.12 mm}`, `{at: "3:00", value: 38.62 mm}`, "missed bore-ovality"},
		"the bore is gauged oval, and that decides":       {"radial-header-stub-all-measured", `{at: "3:00", value: 38.12 mm}`, `{at: "3:00", value: 39.42 mm}`, "rule bore-too-oval concludes joint/bore-out-of-round, which decides for radial-oring/bore-oval"},
		"a look contradicts the gauge":                    {"radial-header-stub-all-measured", "bore-growth: 0 mm", "bore-out-of-round: yes", "contradicted bore-out-of-round"},
		"fuel stops the work":                             {"radial-header-stub-all-measured", "fluid: water", "fluid: fuel", "stop "},
	} {
		t.Run(name, func(t *testing.T) {
			data, err := os.ReadFile(filepath.Join(soundFiles, c.file+".yaml"))
			require.NoError(t, err)
			require.Contains(t, string(data), c.was)
			path := filepath.Join(t.TempDir(), "spoiled.yaml")
			require.NoError(t, os.WriteFile(path, []byte(strings.Replace(string(data), c.was, c.is, 1)), 0o600))
			assert.Contains(t, strings.Join(accusations(t, path), "\n"), c.says)
		})
	}
}
