package handbook

import (
	"regexp"
	"strings"
	"sync"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/kb"
	"seepwright/rules"
	"seepwright/rules/load"
	"seepwright/rules/table"
)

// knowledge is read once: it is only looked at.
var knowledge = sync.OnceValue(func() *rules.Knowledge {
	k, _ := kb.Read(nil)
	return k
})

func whole(t *testing.T) []Page {
	k := knowledge()
	var tables []*table.Table
	for _, name := range kb.Published().Names() {
		x, err := kb.Published().Table(name)
		require.NoError(t, err)
		tables = append(tables, x)
	}
	return Pages(k, tables)
}

var (
	links   = regexp.MustCompile(`[^\\]\]\(([^)#]*)(?:#([^)]*))?\)`)
	anchors = regexp.MustCompile(`<a id="([^"]*)"></a>`)
)

// broken lists the links that lead nowhere, and the anchors that stand twice on a page.
func broken(pages []Page) []string {
	at := map[string]map[string]bool{}
	var out []string
	for _, p := range pages {
		at[p.Name] = map[string]bool{}
		for _, m := range anchors.FindAllStringSubmatch(p.Text, -1) {
			if at[p.Name][m[1]] {
				out = append(out, p.Name+": "+m[1]+" stands twice")
			}
			at[p.Name][m[1]] = true
		}
	}
	for _, p := range pages {
		for _, m := range links.FindAllStringSubmatch(p.Text, -1) {
			to := m[1]
			if to == "" {
				to = p.Name
			}
			if at[to] == nil || m[2] != "" && !at[to][m[2]] {
				out = append(out, p.Name+": "+m[0])
			}
		}
	}
	return out
}

func TestEveryLinkOfTheWholeKnowledgeResolves(t *testing.T) {
	pages := whole(t)
	assert.Empty(t, broken(pages))
	count := 0
	for _, p := range pages {
		count += len(links.FindAllString(p.Text, -1))
		assert.True(t, strings.HasPrefix(p.Text, Mark+"\n"), p.Name)
	}
	assert.Greater(t, count, 5000)
	assert.Len(t, pages, len(kb.Kinds())+12)
	assert.NotEmpty(t, broken([]Page{{"a.md", "see [b](b.md)"}, {"c.md", "see [x](#y)"}}), "the test sees a link that leads nowhere")
}

func TestTheSameKnowledgeGivesTheSamePages(t *testing.T) {
	assert.Equal(t, whole(t), whole(t))
}

func TestEveryDocumentHasItsPlace(t *testing.T) {
	k := knowledge()
	text := map[string]string{}
	for _, p := range whole(t) {
		text[p.Name] = p.Text
	}
	for _, c := range k.Causes {
		kind := c.For
		if c.Shared {
			kind = shared
		}
		assert.Contains(t, text[kindPage(kind)], `<a id="cause-`+c.ID+`"></a>`)
	}
	for _, f := range k.Facts {
		assert.Contains(t, text["facts.md"], `<a id="fact-`+f.ID+`"></a>`)
	}
	for _, r := range k.Rules {
		assert.Contains(t, text["rules.md"], `<a id="rule-`+r.ID+`"></a>`)
	}
}

// What stands in a file stays text.
func TestWhatComesFromFilesHasNoMeaningInMarkdown(t *testing.T) {
	nasty := "1. <script>x</script> [a](http://b) | `c` **d** # e &amp; ![i](j)"
	k := &rules.Knowledge{Cautions: []*rules.Caution{{Head: rules.Head{ID: "x", Title: "- " + nasty, Origin: rules.Origin{Source: nasty}}, Hazard: "+ " + nasty, Warning: nasty + "\n\n# New\n- item"}}}
	pages := Pages(k, nil)
	assert.Empty(t, broken(pages), "no link comes out of a text")
	for _, p := range pages {
		assert.NotContains(t, p.Text, "<script", p.Name)
		assert.NotContains(t, p.Text, "http://", p.Name)
		assert.NotContains(t, p.Text, "\n# New", p.Name)
		assert.NotContains(t, p.Text, "\n- item", p.Name)
		assert.NotContains(t, p.Text, "\n1. ", p.Name)
		assert.NotContains(t, p.Text, " `c`", p.Name)
	}
	assert.Equal(t, `1\. x`, esc("1. x"))
	assert.Equal(t, `\- x`, esc("- x"))
	assert.Equal(t, `\=== x`, esc("=== x"))
	assert.Equal(t, "a b", esc(" a\n b "))
}

func TestANameThatNothingBearsStaysAName(t *testing.T) {
	k, found := load.Read(fstest.MapFS{"a.yaml": {Data: []byte("check: look\ntitle: Look\nkind: look\nfills: [gone]\nstage: opened\nminutes: 1\nneeds: any\nhow: Look.\n")}}, load.Options{})
	require.Empty(t, found)
	pages := Pages(k, nil)
	assert.Empty(t, broken(pages))
}
