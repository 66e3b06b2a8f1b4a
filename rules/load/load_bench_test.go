package load_test

import (
	"fmt"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"seepwright/rules/load"
)

// drawnFolder writes n made-up rules, each in its file, over n/10 facts.
func drawnFolder(n int) fstest.MapFS {
	files := fstest.MapFS{}
	put := func(name, format string, args ...any) {
		files[name] = &fstest.MapFile{Data: fmt.Appendf(nil, format, args...)}
	}
	put("plug.yaml", "joint: plug\ntitle: A plug\ncase kind: radial_oring\nlooks like: a plug\nworks by: fitting\nfails by: not fitting\n")
	var facts []string
	for i := range n / 10 {
		facts = append(facts, fmt.Sprintf("fact: f%d\nask: Is it so?\nanswer: yes-no\n", i), fmt.Sprintf("fact: made%d\nask: Does it follow?\nanswer: yes-no\nengine: yes\n", i))
	}
	put("facts.yaml", "%s", strings.Join(facts, "---\n"))
	for i := range n {
		f := func(step int) int { return (i*7 + step) % (n / 10) }
		put(fmt.Sprintf("rules/r%d.yaml", i), "rule: r%d\nsays: Three things together make a fourth.\nwhen: f%d is yes and (f%d is no or f%d is yes)\nthen:\n  - conclude: made%d is yes\n", i, f(0), f(1), f(2), f(3))
	}
	return files
}

// BenchmarkLoad reads rules from YAML with the place of every text. 10 000 is half of what
// one folder may hold.
func BenchmarkLoad(b *testing.B) {
	for _, n := range []int{1000, 10000} {
		b.Run(fmt.Sprintf("rules=%d", n), func(b *testing.B) {
			files := drawnFolder(n)
			for b.Loop() {
				_, bad := load.Read(files, load.Options{Prefix: "kb", Places: &load.Places{}})
				require.Zero(b, bad.Errors(), "%v", bad)
			}
		})
	}
}
