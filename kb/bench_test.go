package kb_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"seepwright/engine/infer"
	"seepwright/kb"
)

// BenchmarkReady makes the built-in knowledge of one kind, and of all, ready for use: the
// compiled form decoded, conditions parsed, rules ordered.
func BenchmarkReady(b *testing.B) {
	ready := func(name string, kinds ...string) {
		b.Run("kind="+name, func(b *testing.B) {
			for b.Loop() {
				k, err := kb.Load(kinds...)
				require.NoError(b, err)
				infer.Compile(k)
			}
		})
	}
	for _, kind := range kb.Kinds() {
		ready(kind, kind)
	}
	ready("all")
}
