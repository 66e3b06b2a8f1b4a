package refcheck

import (
	"math"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// answer is what a case computes: numbers in SI, in the order in which the row prints them, or the
// first word of a verdict.
type answer struct {
	si     []float64
	word   string
	unused []string // what a row names and its evaluator did not ask for
}

// one is the answer of a function with a single typed result.
func one[T ~float64](x T, err error) (answer, error) { return answer{si: []float64{float64(x)}}, err }

// several is an answer of several numbers.
func several(err error, x ...float64) (answer, error) { return answer{si: x}, err }

func word(yes bool, err error) (answer, error) {
	if yes {
		return answer{word: "pass"}, err
	}
	return answer{word: "fail"}, err
}

// siFactor turns the unit column into SI.
var siFactor = map[string]float64{
	"mm": 1e-3, "in": 0.0254, "m/s": 1, "%": 0.01, "-": 1, "": 1, "count": 1, "C": 1, "K": 1, "turns": 1,
	"1e-5/C": 1e-5, "MPa": 1e6, "ksi": 6894757.293168, "N/mm": 1e3, "N": 1, "kN": 1e3, "lbf": 4.4482216152605, "kip": 4448.2216152605,
	"kgf": 9.80665, "N*m": 1, "lbf*ft": 4.4482216152605 * 0.3048, "kip*in": 4448.2216152605 * 0.0254, "mm^2": 1e-6, "in^2": 0.0254 * 0.0254,
	"mm (Dmax-Dmin)": 1e-3, "% (plus/minus)": 0.01, "in each": 0.0254, "1/mm": 1e3, "kN/mm": 1e6, "lbf/in": 4.4482216152605 / 0.0254,
	"cm^3/h": 1e-6 / 3600, "mL/h": 1e-6 / 3600, "degrees": math.Pi / 180,
}

var numberIn = regexp.MustCompile(`[-+]?\d+(\.\d+)?(e-?\d+)?`)

// printed reads the numbers that a row expects.
func printed(text string) []float64 {
	text = strings.ReplaceAll(text, "+/-", " ")
	text = strings.ReplaceAll(text, " + ", " ")
	var out []float64
	for _, s := range numberIn.FindAllString(text, -1) {
		x, _ := strconv.ParseFloat(s, 64)
		out = append(out, x)
	}
	return out
}

// allowed reads the tolerance column: "0.5 %" is relative, "1 point" and a plain number absolute
// in the unit of the row, "exact" leaves room for rounding only; what stands in brackets is a remark.
func allowed(t *testing.T, text string, want float64) float64 {
	if text == "exact" {
		return 1e-9 * math.Abs(want)
	}
	m := regexp.MustCompile(`^([\d.]+(?:e-?\d+)?)\s*(%|point)?`).FindStringSubmatch(text)
	require.NotNil(t, m, "tolerance %q cannot be read", text)
	x, err := strconv.ParseFloat(m[1], 64)
	require.NoError(t, err)
	if m[2] == "%" {
		return x / 100 * math.Abs(want)
	}
	return x + 1e-12*math.Abs(want)
}

// runChecks computes every row of a check file. On the built-in file a row without a case and a
// case without a row fail. In another folder a row that is not one of ours, or asks or gives
// something else under an id of ours, is computed from its own text; what cannot be read is a
// skipped test that says why. It returns how many were computed as coded, from their text, and not read.
func runChecks(t *testing.T, name string, cases map[string]func() (answer, error), skipped map[string]string, fromText func(map[string]string) (answer, error)) (computed, texts, unread int) {
	_, own := reference()
	ours := map[string]map[string]string{}
	for _, r := range rows(t, filepath.Join(builtIn, name)) {
		ours[r["id"]] = r
	}
	seen := map[string]bool{}
	left := 0
	for _, r := range rows(t, open(t, name)) {
		id := r["id"]
		seen[id] = true
		same := sameQuestion(r, ours[id])
		if why, skip := skipped[id]; skip && same {
			require.NotEmpty(t, why)
			left++
			continue
		}
		run, ok := cases[id]
		if own {
			require.True(t, ok, "no case coded for row %s: %s", id, r["inputs"])
		}
		if !ok || !same {
			run = func() (answer, error) { return fromText(r) }
			if a, err := run(); err == nil {
				if len(a.unused) > 0 {
					t.Logf("%s computed from its text without its %s (%s%s: %s)", id, strings.Join(a.unused, ", "), r["topic"], r["what"], r["inputs"])
				}
			} else {
				unread++
				t.Run(id, func(t *testing.T) {
					t.Skipf("not read from its text: %v (%s%s: %s)", err, r["topic"], r["what"], r["inputs"])
				})
				t.Logf("%s not read from its text: %v (%s%s: %s)", id, err, r["topic"], r["what"], r["inputs"])
				continue
			}
			texts++
		} else {
			computed++
		}
		t.Run(id, func(t *testing.T) {
			got, err := run()
			require.NoError(t, err)
			judge(t, r, got)
		})
	}
	if own {
		for id := range cases {
			assert.True(t, seen[id], "case %s has no row in %s", id, name)
		}
		for id := range skipped {
			assert.True(t, seen[id], "skipped %s has no row in %s", id, name)
		}
	}
	t.Logf("%s: computed as coded %d, from their text %d, skipped with a reason %d, not read %d", name, computed, texts, left, unread)
	return computed, texts, unread
}

// sameQuestion says that two rows ask the same of the same inputs; what they expect may differ.
func sameQuestion(a, b map[string]string) bool {
	for _, k := range []string{"topic", "what", "inputs"} {
		if strings.Join(strings.Fields(a[k]), " ") != strings.Join(strings.Fields(b[k]), " ") {
			return false
		}
	}
	return true
}

// factorOf turns the unit column into SI: our own list, then the product's units.
func factorOf(name string) (float64, bool) {
	if f, ok := siFactor[name]; ok {
		return f, true
	}
	name, _, _ = strings.Cut(name, " (")
	u, ok := namedUnit(strings.TrimSpace(name))
	return u.factor, ok && u.offset == 0
}

func judge(t *testing.T, r map[string]string, got answer) {
	if got.word != "" {
		assert.True(t, says(r["expected"], got.word), "want %q, got %q", r["expected"], got.word)
		if len(got.si) == 0 {
			return
		}
	}
	f, ok := factorOf(r["unit"])
	require.True(t, ok, "no unit %q", r["unit"])
	want := printed(r["expected"])
	require.Len(t, want, len(got.si), "numbers in %q", r["expected"])
	for i, w := range want {
		g := got.si[i] / f
		assert.InDelta(t, w, g, allowed(t, r["tolerance"], w), "%s %s: want %g, got %g %s", r["inputs"], r["expected"], w, g, r["unit"])
	}
}

// says: a verdict stands first, a remark on a size anywhere.
func says(expected, word string) bool {
	if word == "pass" || word == "fail" {
		return strings.HasPrefix(strings.ToLower(expected), word)
	}
	return strings.Contains(expected, word)
}
