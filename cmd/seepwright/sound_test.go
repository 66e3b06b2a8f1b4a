package main

import (
	"io"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine/infer"
)

// TestHealthyAssembliesAreNotAccused: no rule finds fault with them, nothing that decides a
// cause is concluded of them, no target is missed, and nothing stops them.
func TestHealthyAssembliesAreNotAccused(t *testing.T) {
	files, err := filepath.Glob(filepath.Join("..", "..", "testdata", "sound", "*.yaml"))
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, path := range files {
		t.Run(filepath.Base(path), func(t *testing.T) {
			a := &app{in: os.Stdin, out: io.Discard, err: io.Discard, env: func(string) string { return "" }}
			w, err := a.open(start{answers: path})
			require.NoError(t, err)
			r, err := w.result()
			require.NoError(t, err)
			assert.Nil(t, r.Stop)
			assert.Empty(t, r.Contra)
			for _, x := range r.Targets {
				assert.NotEqual(t, "missed", x.Verdict, "%s of %s: %s, wanted %s", x.ID, x.Joint, x.Measured, x.Limit)
			}
			mem := w.session.Memory()
			for _, f := range mem.Active() {
				assert.Nil(t, f.Action.Find, "rule %s finds %v", f.Rule.ID, f.Action.Find)
			}
			for _, c := range w.kb.Causes {
				for _, by := range c.FoundBy {
					for _, k := range mem.Keys() {
						j, _ := w.asm.Joint(k.Joint)
						v, ok, _ := mem.Value(k)
						if by.Fact == "" || k.Fact != by.Fact || by.Opt != "" || j.Kind != c.For || !ok || !v.Answered() || !v.Yes {
							continue
						}
						for _, s := range mem.Supports(k) {
							assert.Equal(t, infer.Answered, s.Origin, "rule %s concludes %s of %s, which decides for %s", s.Rule, k.Fact, k.Joint, c.ID)
						}
					}
				}
			}
		})
	}
}
