package kb

import (
	"encoding/csv"
	"io/fs"
	"os"
	"path"
	"regexp"
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
}

// texts are all values and comments of all files, tables included.
func texts(t *testing.T) []text {
	t.Helper()
	var out []text
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
			out = append(out, text{name, words, source})
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

func csvTexts(t *testing.T, name string) []text {
	file, err := os.Open(name)
	require.NoError(t, err)
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	require.NoError(t, err)
	var out []text
	for _, r := range rows[1:] {
		for i, cell := range r {
			out = append(out, text{name, cell, rows[0][i] == "source"})
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
		if !allowed[m] {
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
		if !allowed[m[1]] && !allowed[w] && !code.MatchString(m[1]) && !(x.source && (titles[m[1]] || titles[w])) {
			out = append(out, "a name inside a sentence: "+m[1])
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
	Ra Rz Rmax RMS HRC IRHD Pa MPa GPa kPa mPa kN mL kJ IT8 Sp Se pH Shore DOT
	D-1M D-2M MIL-G-5514 MIL-G-5514F AL0907 Db E0 Table Part Section App Appendix
	January February March April May June July August September October November December Monday Tuesday Wednesday Thursday Friday Saturday Sunday
	Celsius Fahrenheit SI Japanese German European ROUND SILICONE
`)

// titles are words of the titles of standards, textbooks, training texts and laws that are cited as sources.
var titles = set(`
	Air Act Army Basic Bolted Bolts Circ Clean Code Design Division Engineering Engineers Expanding Fluid Fluids Guide Handbook Joints Machinery Manual Mechanical
	Natural Navy Plumbing Power Pressure Principles Rubber Shigley States Tube United Vessel VIII O-Ring International Circular NACE/AMPP CORROSION STP
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
	for _, x := range texts(t) {
		if seen[x] || x.words == strings.ToLower(x.words) && !strings.ContainsAny(x.words, "®™©℠") {
			continue
		}
		seen[x] = true
		for _, bad := range forbidden(x) {
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
