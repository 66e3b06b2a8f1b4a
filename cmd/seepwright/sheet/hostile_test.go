package sheet

import (
	"bytes"
	"reflect"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine"
	"seepwright/engine/plan"
	"seepwright/rules"
	"seepwright/rules/assembly"
)

// hostile are texts that somebody could write into a title, a note, a reading or a unit.
var hostile = []string{
	`<script>window.hacked=1</script>`,
	`"><img src=x onerror="window.hacked=1">`,
	`' onfocus='window.hacked=1' autofocus='`,
	`</style><svg onload=window.hacked=1>`,
	"</textarea>\n# heading\n- [x](javascript:window.hacked=1)",
	`{{.Title}} ]]> <!-- `,
	"\x1b[2J\x07 escape",
}

// fill sets every text below a value, so that each place where one can stand is tried.
func fill(v reflect.Value, text string) {
	switch v.Kind() {
	case reflect.String:
		v.SetString(text)
	case reflect.Int:
		v.SetInt(7)
	case reflect.Bool:
		v.SetBool(true)
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		fill(v.Elem(), text)
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 2, 2))
		for i := range 2 {
			fill(v.Index(i), text)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			fill(v.Field(i), text)
		}
	}
}

// full is a sheet with every kind of item, every text in it the same.
func full(text string) Sheet {
	var s Sheet
	fill(reflect.ValueOf(&s).Elem(), text)
	items := reflect.TypeOf(Item{})
	var list []Item
	for i := range items.NumField() {
		var x Item
		fill(reflect.ValueOf(&x).Elem().Field(i), text)
		list = append(list, x)
	}
	for _, f := range []Field{{Label: text, Known: text}, {Label: text, Options: []string{text}, Hint: text}, {Label: text, Slots: []string{text}, Unit: text}, {Label: text, Long: true, Hint: text}, {Label: text, Unit: text, Hint: text}} {
		list = append(list, Item{Field: &f})
	}
	s.Sections = []Section{{ID: "one", Title: text, Says: text, Items: list}}
	return s
}

var tags = regexp.MustCompile(`<[a-zA-Z!/][^<>]*`)

// shape is the markup of a page without its texts and the values of its attributes.
func shape(html string) string {
	values := regexp.MustCompile(`"[^"]*"`)
	var out []string
	for _, m := range tags.FindAllString(html[strings.Index(html, "<body>"):], -1) {
		out = append(out, values.ReplaceAllString(m, `""`))
	}
	return strings.Join(out, "\n")
}

func TestNoTextBecomesMarkupOfThePage(t *testing.T) {
	var plainPage, plainMark bytes.Buffer
	require.NoError(t, HTML(&plainPage, full("plain")))
	require.NoError(t, Markdown(&plainMark, full("plain")))
	for _, text := range hostile {
		t.Run(text, func(t *testing.T) {
			var page, mark, lines bytes.Buffer
			require.NoError(t, HTML(&page, full(text)))
			assert.Equal(t, shape(plainPage.String()), shape(page.String()))
			require.NoError(t, Markdown(&mark, full(text)))
			assert.Equal(t, strings.Count(plainMark.String(), "\n"), strings.Count(mark.String(), "\n"), "a text made lines of its own")
			assert.NotContains(t, mark.String(), "<script")
			assert.NotRegexp(t, `[^\\]\]\(`, mark.String(), "a link")
			require.NoError(t, Text(&lines, full(text), 80))
			assert.NotContains(t, lines.String(), "\x1b")
			assert.NotContains(t, lines.String(), "\x07")
		})
	}
}

func TestWhatAnswersAndRecordsSayIsEscaped(t *testing.T) {
	for _, text := range hostile {
		in := Input{
			Result: &engine.Result{
				Run:      engine.Run{Verdict: "watched", Limit: text, Because: []string{text}, LookEvery: text},
				Stop:     &engine.StopNow{MakeSafe: []string{text}, ReferTo: text, Acts: []string{text}},
				Joints:   []engine.JointOdds{{Joint: "a", Title: text}, {Joint: "b", Title: text}},
				Contra:   []engine.Contra{{Fact: text, Values: []string{text}, From: []string{text}}},
				Findings: []engine.Finding{{Fact: "x", Joint: "a", Title: text, Value: 1.0, Unit: text, Text: text, From: []string{"answered"}}},
				Targets:  []engine.Target{{ID: "t", Joint: "a", Title: text, Limit: text, Unit: text, Measured: text, Verdict: "missed", Margin: text, Source: text, Strict: true}},
				Cautions: []engine.Caution{{ID: "c", Warning: text, Refer: text, Known: true}},
				Plan:     plan.Plan{HaveReady: []string{text}, LookAgain: text, Steps: []plan.Step{{Part: "strip", Action: text, Joint: "a", Why: text, Cautions: []string{"c"}}}},
			},
			KB:       &rules.Knowledge{},
			Unit:     &assembly.Assembly{Title: text},
			Record:   Record{ID: text, Title: text + "!", By: text, Opened: time.Unix(0, 0), Notes: []Note{{By: text, Text: text}}, Retests: []Retest{{Step: text, Tissue: text}}},
			Pictures: []Picture{{Title: text, Desc: text, SVG: text, Head: []string{text}, Rows: [][]string{{text}}}},
		}
		var page bytes.Buffer
		require.NoError(t, HTML(&page, New(in)))
		for _, bad := range []string{"<script", "<img", "<svg", "<!-- ", " onfocus='"} {
			assert.NotContains(t, page.String(), bad)
		}
		assert.Greater(t, strings.Count(page.String(), `class="warning"`), 1, "the caution stands first and before its step")
	}
}

func TestAPictureThatCouldRunOrFetchSomethingIsLeftOut(t *testing.T) {
	for name, svg := range map[string]string{
		"a script":        `<svg xmlns="http://www.w3.org/2000/svg"><script>1</script></svg>`,
		"a handler":       `<svg xmlns="http://www.w3.org/2000/svg" onload="x()"/>`,
		"a link":          `<svg xmlns="http://www.w3.org/2000/svg"><a href="http://x.invalid"><path/></a></svg>`,
		"a foreign page":  `<svg xmlns="http://www.w3.org/2000/svg"><foreignObject/></svg>`,
		"a fetched image": `<svg xmlns="http://www.w3.org/2000/svg"><image href="http://x.invalid/a.png"/></svg>`,
		"a fetched use":   `<svg xmlns="http://www.w3.org/2000/svg"><use href="http://x.invalid/a.svg#b"/></svg>`,
		"a style that fetches by a word in two halves": `<svg xmlns="http://www.w3.org/2000/svg"><style>.a{fill:u<!-- -->rl(http://x.invalid)}</style></svg>`,
		"a style that fetches with an escape":          `<svg xmlns="http://www.w3.org/2000/svg"><style>.a{fill:u\72l(http://x.invalid)}</style></svg>`,
		"a style that fetches":                         `<svg xmlns="http://www.w3.org/2000/svg"><style>@import url(http://x.invalid)</style></svg>`,
		"a fill that fetches":                          `<svg xmlns="http://www.w3.org/2000/svg"><path fill="url( http://x.invalid#a)"/></svg>`,
		"markup behind it":                             `<svg xmlns="http://www.w3.org/2000/svg"/><p>x</p>`,
		"text before it":                               `x<svg xmlns="http://www.w3.org/2000/svg"/>`,
		"half of one":                                  `<svg xmlns="http://www.w3.org/2000/svg">`,
		"another element":                              `<div/>`,
		"an entity":                                    `<!DOCTYPE svg [<!ENTITY x "y">]><svg xmlns="http://www.w3.org/2000/svg">&x;</svg>`,
		"nothing":                                      ``,
	} {
		t.Run(name, func(t *testing.T) {
			got, err := drawing(svg)
			assert.Error(t, err)
			assert.Empty(t, got)
			var page bytes.Buffer
			require.NoError(t, HTML(&page, Sheet{Sections: []Section{{ID: "p", Items: []Item{{Picture: &Picture{Title: "t", SVG: svg, Head: []string{"a"}, Rows: [][]string{{"its table"}}}}}}}}))
			assert.Contains(t, page.String(), "its table")
			assert.NotContains(t, page.String(), "x.invalid")
		})
	}
	good := pictured().Sections[1].Items[0].Picture.SVG
	got, err := drawing(good)
	require.NoError(t, err)
	assert.Equal(t, good, string(got))
}

// pictured is a sheet with a picture and hostile words, for the browser.
func pictured() Sheet {
	s := Sheet{Title: "Job sheet: " + hostile[0], Verdict: "STOP", Sections: []Section{
		{ID: "cautions", Title: "Cautions", Items: []Item{{Warning: &Warning{Mark: "C1", Text: hostile[1]}}}},
		{ID: "pictures", Title: "Pictures"},
	}}
	for _, title := range []string{"Ring in its gland", hostile[3]} {
		s.Sections[1].Items = append(s.Sections[1].Items, Item{Picture: &Picture{Title: title, Desc: "the ring is squeezed by 19 % " + hostile[2],
			SVG:  `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 900 300" width="900" height="300"><title>ring</title><rect x="10" y="10" width="880" height="280" fill="none" stroke="#15181b"/><circle cx="450" cy="150" r="100" fill="none" stroke="#15181b"/><text x="30" y="50" font-size="30">3.53 mm</text></svg>`,
			Head: []string{"where", "least", "greatest"}, Rows: [][]string{{"12:00", "18.8 %", "19.1 %"}, {hostile[4], "1", "2"}}}})
	}
	for _, x := range hostile {
		s.Sections[1].Items = append(s.Sections[1].Items, Item{Tick: x}, Item{Field: &Field{Label: x, Options: []string{x, "no"}}}, Item{Field: &Field{Label: strings.Repeat("longword", 20), Unit: x}})
	}
	return s
}
