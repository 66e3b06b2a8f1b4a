package main

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine/measure/catalogue"
	"seepwright/kb"
)

// measured runs the command on arguments and gives what it writes.
func measured(t *testing.T, args ...string) (out, bad string, state int) {
	t.Helper()
	var stdout, stderr bytes.Buffer
	a := &app{in: strings.NewReader(""), out: &stdout, err: &stderr, env: func(string) string { return "" }}
	state = a.run(append([]string{"measure"}, args...))
	return stdout.String(), stderr.String(), state
}

// exampleOf are the arguments of the worked example, as the help writes them but without quotes.
func exampleOf(c catalogue.Calculation) []string {
	var args []string
	for _, i := range c.Inputs {
		text, ok := c.Example[i.Name]
		if !ok {
			continue
		}
		if !i.Rows {
			args = append(args, i.Name+"="+text)
			continue
		}
		for _, part := range strings.Split(text, ";") {
			at, value, _ := strings.Cut(part, "=")
			arg := i.Name + "=" + strings.TrimSpace(value)
			if at = strings.TrimSpace(at); at != "" {
				arg += "@" + at
			}
			args = append(args, arg)
		}
	}
	return args
}

func TestEveryExampleRunsFromTheCommandLine(t *testing.T) {
	for _, c := range catalogue.All() {
		t.Run(c.Name, func(t *testing.T) {
			out, bad, state := measured(t, append([]string{c.Name}, exampleOf(c)...)...)
			require.Equal(t, exitDone, state, bad)
			for _, line := range strings.Split(out, "\n") {
				assert.LessOrEqual(t, len([]rune(line)), 80, line)
			}
			_, bad, state = measured(t, append([]string{c.Name, "--format", "json"}, exampleOf(c)...)...)
			require.Equal(t, exitDone, state, bad)
			out, bad, state = measured(t, c.Name, "--help")
			require.Equal(t, exitDone, state, bad)
			assert.Contains(t, out, "seepwright measure "+c.Name)
		})
	}
}

// A missing input, a size of nought, one below nought and one beyond all bounds never give a figure in silence: each is
// refused in words, or (nought and below may be proper values) worked out to finite numbers.
func TestNoSillySizePanicsOrPassesWithoutANumber(t *testing.T) {
	k, err := kb.Load(kb.Kinds()[0])
	require.NoError(t, err)
	for _, c := range catalogue.All() {
		for _, i := range c.Inputs {
			if i.Rows || i.Dim == "" {
				continue
			}
			for _, silly := range []string{"0", "-1", "1e300", "1e-300", "nan", ""} {
				name := c.Name + " " + i.Name + "=" + silly
				texts, _, bad := inputsFromArgs(c, exampleOf(c))
				require.Empty(t, bad)
				text := texts[i.Name]
				fields := strings.Fields(text.Scalar)
				text.Scalar = strings.TrimSpace(silly + " " + strings.Join(fields[min(1, len(fields)):], " "))
				texts[i.Name] = text
				in, bad := readInputs(c, texts, k.Instruments)
				if bad.Errors() > 0 {
					assert.Greater(t, len(bad.Error()), 30, name)
					continue
				}
				in.Tables = kb.Published()
				out, err := c.Run(in.In)
				if err != nil {
					assert.Greater(t, len(err.Error()), 30, name)
					continue
				}
				for k, n := range out.Num {
					assert.False(t, math.IsNaN(n.SI) || math.IsInf(n.SI, 0) || math.IsInf(n.U, 0), "%s gives %s", name, k)
				}
			}
		}
	}
}
