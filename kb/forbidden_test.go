package kb

import (
	"encoding/csv"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gopkg.in/yaml.v3"
)

// text is a piece of what the knowledge base says, with where it stands.
type text struct {
	place  string
	words  string
	source bool // names a publication, where titles are in order
	code   bool // a string of the program, which has formulas, formats and words in capitals for FACT and NAME
}

// texts are all values and comments of all files of the knowledge, tables included, and those of
// the units, the demo, the real cases, the sound machines and the examples, and what the program says.
func texts(t *testing.T) []text {
	t.Helper()
	var out []text
	for _, place := range []string{"../cmd/seepwright/units/*.yaml", "../cmd/seepwright/demo/*.yaml", "../testdata/cases/*.yaml", "../testdata/sound/*.yaml", "../testdata/example/*.yaml"} {
		found, err := filepath.Glob(place)
		require.NoError(t, err)
		require.NotEmpty(t, found, place)
		for _, name := range found {
			out = append(out, yamlTexts(t, name)...)
		}
	}
	out = slices.DeleteFunc(out, func(x text) bool {
		return x.source && strings.HasPrefix(x.place, "../testdata/cases/") && strings.Contains(x.words, "//")
	}) // where a real case was told
	for _, folder := range []string{"../cmd", "../engine", "../rules"} {
		out = append(out, goTexts(t, folder)...)
	}
	require.NoError(t, fs.WalkDir(os.DirFS("."), ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || strings.HasPrefix(name, "compiled") {
			return err
		}
		switch path.Ext(name) {
		case ".yaml":
			out = append(out, yamlTexts(t, name)...)
		case ".csv":
			out = append(out, csvTexts(t, name)...)
		}
		return nil
	}))
	require.Greater(t, len(out), 10000)
	return out
}

func yamlTexts(t *testing.T, name string) []text {
	file, err := os.Open(name)
	require.NoError(t, err)
	defer file.Close()
	var out []text
	add := func(words string, source bool) {
		if words != "" {
			out = append(out, text{place: name, words: words, source: source})
		}
	}
	var walk func(n *yaml.Node, source bool)
	walk = func(n *yaml.Node, source bool) {
		for _, c := range []string{n.HeadComment, n.LineComment, n.FootComment} {
			add(strings.ReplaceAll(strings.TrimLeft(c, "# "), "\n# ", " "), true)
		}
		if n.Kind == yaml.ScalarNode {
			add(n.Value, source)
		}
		for i, c := range n.Content {
			said := source
			if n.Kind == yaml.MappingNode && i%2 == 1 {
				said = n.Content[i-1].Value == "source"
			}
			walk(c, said)
		}
	}
	for d := yaml.NewDecoder(file); ; {
		var n yaml.Node
		if d.Decode(&n) != nil {
			return out
		}
		walk(&n, false)
	}
}

// goTexts are the strings of a program that read like a text: several words with blanks between.
func goTexts(t *testing.T, folder string) []text {
	var out []text
	require.NoError(t, filepath.WalkDir(folder, func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go") {
			return err
		}
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.SkipObjectResolution)
		require.NoError(t, err)
		ast.Inspect(file, func(n ast.Node) bool {
			if lit, ok := n.(*ast.BasicLit); ok && lit.Kind == token.STRING {
				if words, err := strconv.Unquote(lit.Value); err == nil && len(strings.Fields(words)) > 2 {
					out = append(out, text{place: name, words: words, source: true, code: true})
				}
			}
			return true
		})
		return nil
	}))
	return out
}

func csvTexts(t *testing.T, name string) []text {
	file, err := os.Open(name)
	require.NoError(t, err)
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	require.NoError(t, err)
	var out []text
	for _, r := range rows[1:] {
		for i, cell := range r {
			out = append(out, text{place: name, words: cell, source: rows[0][i] == "source"})
		}
	}
	return out
}

var (
	marks    = regexp.MustCompile(`[®™©℠]|\((?:R|TM|C)\)|\b(?:Inc|Ltd|GmbH|Corp|LLC|Pty|S\.A|S\.p\.A|PLC)\b`)
	persons  = regexp.MustCompile(`\b(?:Mr|Mrs|Ms|Dr|Prof|Herr|Frau|Sir|Madame)\b\.?\s|(?:[Bb]y|of|to|from|[Aa]sk|and|with) [A-Z]\. ?[A-Z][a-z]+|\b[A-Z]\. ?[A-Z]\. ?[A-Z][a-z]+`)
	camel    = regexp.MustCompile(`\b[A-Za-z]*[a-z][A-Z][A-Za-z]*\b`)
	possess  = regexp.MustCompile(`\b([A-Z][a-z]+)['’]s\b`)
	midUpper = regexp.MustCompile(`[a-z0-9,;)] ([A-Z][A-Za-z0-9&/-]*)`)
	code     = regexp.MustCompile(`^(?:[A-Z]{1,2}\d+(?:[.-]\d+)*A?|[A-Z]|[IVX]+)$`) // M8, P40, A4-70, a grade, a roman number
)

// forbidden says what is wrong with a text, or nothing.
func forbidden(x text) []string {
	var out []string
	for _, m := range marks.FindAllString(x.words, -1) {
		out = append(out, "the mark or firm "+m)
	}
	for _, m := range persons.FindAllString(x.words, -1) {
		out = append(out, "a person: "+m)
	}
	for _, m := range camel.FindAllString(x.words, -1) {
		if !allowed[m] && !x.code {
			out = append(out, "a word like a product: "+m)
		}
	}
	for _, m := range possess.FindAllStringSubmatch(x.words, -1) {
		if w := m[1]; !plainOwners[w] && !(x.source && titles[w]) {
			out = append(out, "a person or firm: "+m[0])
		}
	}
	for _, m := range midUpper.FindAllStringSubmatch(x.words, -1) {
		w := strings.TrimSuffix(m[1], "s")
		if !x.code && !allowed[m[1]] && !allowed[w] && !code.MatchString(m[1]) && !(x.source && (titles[m[1]] || titles[w])) {
			out = append(out, "a name inside a sentence: "+m[1])
		}
	}
	return out
}

var (
	anyUpper = regexp.MustCompile(`\b[A-Z][a-z]+\b`)
	anyLower = regexp.MustCompile(`\b[a-z]+\b`)
	address  = regexp.MustCompile(`https?://\S+`)
)

// common are the words that are written small somewhere: in a text, in the program, in what it
// comes with, or in the list of words that begin a sentence and nothing else.
func common(t *testing.T, list []text) map[string]bool {
	data, err := os.ReadFile("../testdata/first-words.txt")
	require.NoError(t, err)
	out := set(string(data))
	require.NoError(t, filepath.WalkDir("..", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || strings.HasSuffix(name, "_test.go") || !strings.HasSuffix(name, ".go") && !strings.HasSuffix(name, ".md") {
			return err
		}
		text, err := os.ReadFile(name)
		for _, w := range anyLower.FindAllString(string(text), -1) {
			out[w] = true
		}
		return err
	}))
	for _, x := range list {
		for _, w := range anyLower.FindAllString(address.ReplaceAllString(x.words, ""), -1) {
			out[w] = true
		}
	}
	return out
}

// strangers are the capitalised words of a text, at the head of a sentence too, that are written
// small nowhere, as names are.
func strangers(x text, common map[string]bool) []string {
	var out []string
	for _, w := range anyUpper.FindAllString(address.ReplaceAllString(x.words, ""), -1) {
		if !common[strings.ToLower(w)] && !allowed[w] && !(x.source && titles[w]) {
			out = append(out, "a name, perhaps: "+w)
		}
	}
	return out
}

// plainOwners may own something at the head of a sentence.
var plainOwners = set(`Another Circuit Engine Everybody Fitter House It Machine Maker Nobody One Pump Somebody That The Valve What Young Poisson`) // the last two are moduli of the trade

// allowed are words of the trade, materials, standards, units and months.
var allowed = set(`
	O-ring O-rings X-ring X-section U-shaped T-shaped T-bolt T-piece V-band V-clamp V-belt V-ring
	NBR HNBR EPDM EPDM-P EPDM-S FKM FEPM FVMQ VMQ ACM CR NR SBR PTFE PVC RTV AU EU EP FFKM PU
	ISO JIS ASME ASTM DIN EN BS SAE VDI AS568 API ABYC BPVC PCC-1 NPT BSP BSPP BSPT UNF UNC HSE UK US TM GS4 WAC MSC OSHA CFR NAVEDTRA RMA VG
	Ra Rz Rmax RMS HRC IRHD Pa MPa GPa kPa mPa mV kN mL kJ IT8 Sp Se pH Shore DOT
	D-1M D-2M MIL-G-5514 MIL-G-5514F AL0907 Db E0 Table Part Section App Appendix
	January February March April May June July August September October November December Monday Tuesday Wednesday Thursday Friday Saturday Sunday
	Celsius Fahrenheit SI Japanese German European ROUND SILICONE degC Ctrl Mon
	Vs Vc Va Vw Poisson Brier ACN JTB00278 Div
`)

// titles are words of the titles of standards, textbooks, training texts and laws that are cited as sources.
var titles = set(`
	Air Act Army Basic Bolted Bolts Circ Clean Code Design Division Engineering Engineers Expanding Fluid Fluids Guide Handbook Joints Machinery Manual Mechanical
	Natural Navy Plumbing Power Pressure Principles Rubber Shigley States Tube United Vessel VIII O-Ring International Circular NACE/AMPP CORROSION STP Sutherland
`)

func set(words string) map[string]bool {
	out := map[string]bool{}
	for _, w := range strings.Fields(words) {
		out[w] = true
	}
	return out
}

// No brands, firms or people stand in the knowledge: neither their marks nor words that look like their names.
func TestTheKnowledgeNamesNoProductFirmOrPerson(t *testing.T) {
	seen := map[text]bool{}
	list := texts(t)
	known := common(t, list)
	for _, x := range list {
		if seen[x] || x.words == strings.ToLower(x.words) && !strings.ContainsAny(x.words, "®™©℠") {
			continue
		}
		seen[x] = true
		for _, bad := range append(forbidden(x), strangers(x, known)...) {
			t.Errorf("%s: %s, in %q; say it in trade words, or add the word to the list here if it is one", x.place, bad, x.words)
		}
	}
}

func TestWhatLooksLikeANameIsFound(t *testing.T) {
	for words, ok := range map[string]bool{
		"Wipe the bore, then push the pipe home.":          true,
		"An O-ring of EPDM by ISO 3601, 70 Shore A.":       true,
		"Coarse: M5 0.8, M6 1, M8 1.25.":                   true,
		"The maker's page goes before it.":                 true,
		"The old hand's first step.":                       true,
		"Fill it with Superseal paste.":                    false,
		"Smear on SuperSeal.":                              false,
		"A paste like Superseal® holds.":                   false,
		"Sealant (TM) on both faces.":                      false,
		"Ring by Seals Ltd, renewed last year.":            false,
		"Ask Dr. Miller about it.":                         false,
		"The rule of J. Miller holds.":                     false,
		"Miller's rule holds.":                             false,
		"The pump was mended by Miller in the summer.":     false,
		"It was a leak in the cooler of a Bluewater boat.": false,
	} {
		assert.Equal(t, ok, len(forbidden(text{words: words})) == 0, words)
	}
}

func TestANameIsFoundAtTheHeadOfASentenceToo(t *testing.T) {
	known := common(t, []text{{words: "wipe the bore, then push the pipe home; superior seals; see https://miller.example/smith"}})
	for words, ok := range map[string]bool{
		"Wipe the bore. Then push it home.":            true,
		"Seals: superior. Offer the part up square.":   true,
		"NBR by ISO 3601, in May.":                     true,
		"Superseal holds.":                             false,
		"Wipe the bore. Miller says so.":               false,
		"Pipe of 38 mm: Bluewater.":                    false,
		"\"Smith\" is scratched on it.":                false,
		"Wipe the bore - Kowalski.":                    false,
		"The bore\nKowalski wiped":                     false,
		"Wipe at https://Kowalski.example/Bore, wiped": true,
	} {
		assert.Equal(t, ok, len(strangers(text{words: words}, known)) == 0, words)
	}
}

// A list that grows without need lets names through.
func TestTheListOfFirstWordsHasOnlyWhatIsNeeded(t *testing.T) {
	data, err := os.ReadFile("../testdata/first-words.txt")
	require.NoError(t, err)
	words := strings.Fields(string(data))
	assert.True(t, slices.IsSorted(words), "sorted, one a line")
	used := map[string]bool{}
	for _, x := range texts(t) {
		for _, w := range anyUpper.FindAllString(x.words, -1) {
			used[strings.ToLower(w)] = true
		}
	}
	for _, w := range words {
		assert.True(t, used[w], "%s begins no sentence any more: take it out", w)
	}
}
