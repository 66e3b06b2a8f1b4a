package cond

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/rules/fact"
	"seepwright/rules/unit"
)

type words map[string]Spec

func (w words) Spec(name string) (Spec, bool) { s, ok := w[name]; return s, ok }

func (w words) Names() []string {
	var out []string
	for n := range w {
		out = append(out, n)
	}
	slices.Sort(out)
	return out
}

// vocabulary is invented.
var vocabulary = words{
	"hot":          {Type: fact.YesNo},
	"ring-nick":    {Type: fact.YesNo},
	"fluid":        {Type: fact.Choice, Options: []string{"water", "lube-oil", "fuel"}},
	"seen":         {Type: fact.Several, Options: []string{"one", "two", "three"}},
	"gap":          {Type: fact.Number, Dim: unit.LengthDim},
	"bore":         {Type: fact.Number, Dim: unit.LengthDim},
	"squeeze":      {Type: fact.Number, Dim: unit.RatioDim},
	"times-failed": {Type: fact.Number, Dim: unit.CountDim},
	"torque":       {Type: fact.Number, Dim: unit.TorqueDim},
	"growth":       {Type: fact.Number, Dim: unit.ExpansionDim},
	"head":         {Type: fact.Number, Dim: unit.PressureDim},
	"temp":         {Type: fact.Number, Dim: unit.TemperatureDim},
	"drop":         {Type: fact.Number, Dim: unit.KelvinDim},
	"bores":        {Type: fact.Readings, Dim: unit.LengthDim},
}

// chunks reads tiny conditions divided by ---, with what is expected after a marker.
func chunks(t *testing.T, file, marker string) (texts []string, expected [][]string) {
	data, err := os.ReadFile(file)
	require.NoError(t, err)
	for _, c := range strings.Split(string(data), "---\n") {
		var text, want []string
		for _, line := range strings.Split(strings.TrimRight(c, "\n"), "\n") {
			if tail, ok := strings.CutPrefix(line, marker+" "); ok {
				want = append(want, tail)
			} else {
				text = append(text, line)
			}
		}
		texts, expected = append(texts, strings.Join(text, "\n")), append(expected, want)
	}
	return texts, expected
}

func TestGoodConditionsPrintInPlainForm(t *testing.T) {
	texts, expected := chunks(t, "testdata/good.txt", ">>>")
	for i, text := range texts {
		t.Run(text, func(t *testing.T) {
			require.Len(t, expected[i], 1)
			c, problems := Parse(text)
			require.Empty(t, problems)
			assert.Equal(t, expected[i][0], c.String())
			assert.Empty(t, c.Check(vocabulary))
			again, problems := Parse(c.String())
			require.Empty(t, problems)
			assert.Equal(t, shape(c.root), shape(again.root))
		})
	}
}

func TestBadConditionsSayWhatWhereAndWhatToDo(t *testing.T) {
	texts, expected := chunks(t, "testdata/bad.txt", "###")
	for i, text := range texts {
		t.Run(text, func(t *testing.T) {
			require.NotEmpty(t, expected[i], "a bad condition without an expected problem")
			c, problems := Parse(text)
			if problems == nil {
				problems = c.Check(vocabulary)
			} else {
				assert.Nil(t, c)
			}
			var got []string
			for _, p := range problems {
				line := fmt.Sprintf("%d %s: %s", p.At, p.Code, p.What)
				if p.Hint != "" {
					line += ": " + p.Hint
				}
				got = append(got, line)
				assert.Contains(t, Codes(), p.Code)
				assert.Positive(t, p.Len)
			}
			assert.Equal(t, expected[i], got)
		})
	}
}

func TestEveryCodeHasABadCondition(t *testing.T) {
	data, err := os.ReadFile("testdata/bad.txt")
	require.NoError(t, err)
	for _, code := range Codes() {
		if code != TooLong && code != TooDeep { // those have a test of their own
			assert.Contains(t, string(data), " "+code+": ")
		}
	}
}

func TestLimitsGiveAMessageAndNoPanic(t *testing.T) {
	deep := strings.Repeat("(", MaxNesting) + "hot is yes" + strings.Repeat(")", MaxNesting)
	_, problems := Parse(deep)
	assert.Empty(t, problems)
	for name, text := range map[string]string{
		"one bracket too many": "(" + deep + ")",
		"a wall of brackets":   strings.Repeat("(", 1900),
		"a wall of nots":       strings.Repeat("not ", 600) + "hot is yes",
	} {
		_, problems := Parse(text)
		require.Len(t, problems, 1, name)
		assert.Equal(t, TooDeep, problems[0].Code, name)
	}
	_, problems = Parse(strings.Repeat("hot is yes and ", 300) + "hot is yes")
	require.Len(t, problems, 1)
	assert.Equal(t, TooLong, problems[0].Code)
}

func TestABlankConditionIsTrue(t *testing.T) {
	c, problems := Parse(" \n ")
	assert.Nil(t, c)
	assert.Empty(t, problems)
	assert.Equal(t, fact.True, c.Eval(nil).Truth)
	assert.Empty(t, c.String())
	assert.Empty(t, c.Facts())
	assert.Empty(t, c.Check(vocabulary))
	_, _, ok := c.SingleAtom()
	assert.False(t, ok)
}

func TestFactsAreSortedAndNamedOnce(t *testing.T) {
	c := MustParse("hot is yes and (gap < bore or not hot is no) and gap is between 1 mm and 2 mm")
	assert.Equal(t, []string{"bore", "gap", "hot"}, c.Facts())
}

func TestMustParsePanicsOnAMistake(t *testing.T) {
	assert.Panics(t, func() { MustParse("hot is") })
}

func TestASingleAtomIsAFactAndOneAnswer(t *testing.T) {
	for text, want := range map[string][3]string{
		"hot is yes":                    {"hot", "", "true"},
		"fluid is water":                {"fluid", "water", "true"},
		"(seen is one)":                 {"seen", "one", "true"},
		"hot is no":                     {"", "", "false"},
		"fluid is not water":            {"", "", "false"},
		"not hot is yes":                {"", "", "false"},
		"gap < 3 mm":                    {"", "", "false"},
		"hot is yes or hot is no":       {"", "", "false"},
		"fluid is one of (water, fuel)": {"", "", "false"},
	} {
		id, option, ok := MustParse(text).SingleAtom()
		assert.Equal(t, want, [3]string{id, option, fmt.Sprint(ok)}, text)
	}
}

// shape writes a tree without its places, independently of String.
func shape(n node) string {
	switch n := n.(type) {
	case *junction:
		parts := make([]string, len(n.parts))
		for i, p := range n.parts {
			parts[i] = shape(p)
		}
		return n.word + "[" + strings.Join(parts, " ") + "]"
	case *negation:
		return "not[" + shape(n.of) + "]"
	case *choice:
		var ids []string
		for _, o := range n.options {
			ids = append(ids, o.id)
		}
		return fmt.Sprintf("is[%s %t %t %v]", n.fact.id, n.not, n.oneOf, ids)
	case *comparison:
		return fmt.Sprintf("cmp[%s %s %g %s %s]", n.fact.id, n.sign, n.limit.number, n.limit.unit.Symbol, n.other.id)
	case *between:
		return fmt.Sprintf("between[%s %g %s %g %s]", n.fact.id, n.low.number, n.low.unit.Symbol, n.high.number, n.high.unit.Symbol)
	}
	return fmt.Sprintf("?%T", n)
}

func FuzzParse(f *testing.F) {
	for _, file := range []string{"testdata/good.txt", "testdata/bad.txt"} {
		data, err := os.ReadFile(file)
		if err != nil {
			f.Fatal(err)
		}
		for _, c := range strings.Split(string(data), "---\n") {
			text, _, _ := strings.Cut(c, "\n")
			f.Add(text)
		}
	}
	f.Add("a is yes \xff or (not b < 1e999 mm)")
	f.Fuzz(func(t *testing.T, text string) {
		c, problems := Parse(text)
		if len(problems) > 0 {
			if c != nil {
				t.Fatal("a condition with problems was returned")
			}
			for _, p := range problems {
				if p.At < 0 || p.At > len([]rune(text)) || p.What == "" {
					t.Fatalf("a problem without place or words: %+v", p)
				}
			}
			return
		}
		if c == nil {
			return
		}
		c.Check(vocabulary)
		again, problems := Parse(c.String())
		if len(problems) > 0 {
			t.Fatalf("%q was printed as %q, which does not parse: %v", text, c.String(), problems)
		}
		if shape(c.root) != shape(again.root) {
			t.Fatalf("%q was printed as %q, which is another tree", text, c.String())
		}
	})
}

func TestAConditionComesApartAtItsTopAnds(t *testing.T) {
	for text, want := range map[string][]string{
		"a is yes":                                   {"a"},
		"a is yes and b is no":                       {"a", "b"},
		"(a is yes and b is no) and c is red":        {"a", "b", "c"},
		"a is yes or b is no":                        {""},
		"a is yes and (b is no or c is red)":         {"a", ""},
		"not a is yes and (b is red or b is blue)":   {"a", "b"},
		"a > 2 mm and b is between 1 mm and 2 mm":    {"a", "b"},
		"a > b and not (a is yes and b is yes)":      {"", ""},
		"not (a is yes and a is no) and b is yes":    {"a", "b"},
		"a is one of (red, blue) and (a is not red)": {"a", "a"},
	} {
		c, bad := Parse(text)
		require.Empty(t, bad, text)
		var got []string
		for _, p := range c.Parts() {
			id, ok := p.OnlyFact()
			assert.Equal(t, ok, len(p.Facts()) == 1, "%s: %s", text, p)
			if ok {
				assert.Equal(t, p.Facts(), []string{id})
			} else {
				id = ""
			}
			got = append(got, id)
		}
		assert.Equal(t, want, got, text)
	}
	assert.Empty(t, (*Cond)(nil).Parts())
}
