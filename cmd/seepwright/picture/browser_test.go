package picture

import (
	"context"
	"maps"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// seen is run inside a page of drawings: letters too small, texts over the edge or over each other, and anything that ran.
const seen = `<script>
const bad = [];
for (const d of document.querySelectorAll("div")) {
  const edge = d.querySelector("svg").getBoundingClientRect();
  const texts = [...d.querySelectorAll("svg text")].map(t => ({r: t.getBoundingClientRect(), s: t.textContent, px: parseFloat(getComputedStyle(t).fontSize) * edge.width / 360}));
  if (texts.length < 4) bad.push(d.dataset.name + ": hardly any words");
  texts.forEach((t, i) => {
    if (t.px < 11) bad.push(d.dataset.name + ": letters of " + t.px + " px");
    if (t.r.left < edge.left - 0.5 || t.r.right > edge.right + 0.5 || t.r.bottom > edge.bottom + 0.5) bad.push(d.dataset.name + ": over the edge: " + t.s);
    for (const o of texts.slice(0, i))
      if (t.r.left + 1 < o.r.right && o.r.left + 1 < t.r.right && t.r.top + 3 < o.r.bottom && o.r.top + 3 < t.r.bottom) bad.push(d.dataset.name + ": " + t.s + " lies over " + o.s);
  });
}
if (window.ran) bad.push("something ran");
document.body.textContent = "<<" + document.querySelectorAll("svg").length + " drawings" + bad.map(b => " | " + b).join("") + ">>";
</script>`

// On a phone that leaves a drawing 340 px, in a wide and in a usual typeface, hostile words among them.
func TestDrawingsAreLegibleInABrowser(t *testing.T) {
	browser := ""
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome", "chrome"} {
		if p, err := exec.LookPath(name); err == nil {
			browser = p
			break
		}
	}
	if browser == "" {
		if os.Getenv("CI") == "true" {
			t.Fatal("no Chromium: install it (apt-get install chromium)")
		}
		t.Skip("no Chromium on this machine: install it (apt-get install chromium) to test how the drawings look")
	}
	all := examples()
	for name, d := range hostiles() {
		all["hostile "+name] = d
	}
	for _, face := range []string{"sans-serif", "DejaVu Sans"} {
		var page strings.Builder
		page.WriteString(`<!doctype html><meta charset="utf-8"><style>div,svg{display:block;width:340px}.swp{font-family:"` + face + `"!important}</style><script>window.alert=()=>{window.ran=1}</script>`)
		for _, name := range slices.Sorted(maps.Keys(all)) {
			p, err := all[name].Draw()
			require.NoError(t, err, name)
			page.WriteString(`<div data-name="` + name + `">` + p.SVG + "</div>\n")
		}
		page.WriteString(seen)
		file := filepath.Join(t.TempDir(), "page.html")
		require.NoError(t, os.WriteFile(file, []byte(page.String()), 0o600))
		ctx, stop := context.WithTimeout(context.Background(), 2*time.Minute)
		args := []string{"--headless", "--disable-gpu", "--disable-dev-shm-usage", "--user-data-dir=" + t.TempDir(), "--window-size=360,800"}
		if os.Geteuid() == 0 {
			args = append(args, "--no-sandbox") // Chromium refuses its sandbox to root
		}
		out, err := exec.CommandContext(ctx, browser, append(args, "--dump-dom", "file://"+file)...).Output()
		stop()
		require.NoError(t, err)
		said := regexp.MustCompile(`&lt;&lt;(\d+) drawings(.*?)&gt;&gt;`).FindStringSubmatch(string(out))
		require.NotNil(t, said, "the page was not looked at: %.300s", out)
		assert.Empty(t, said[2], face)
		assert.NotEqual(t, "0", said[1])
	}
}

// Words stand on paper, on metal and in rings of the drawing; what has to be told apart has other lightness.
func TestColoursContrastInLightAndInDark(t *testing.T) {
	light, dark, found := strings.Cut(style, "@media screen and (prefers-color-scheme:dark){")
	require.True(t, found)
	colour := func(css, class, property string) float64 {
		m := regexp.MustCompile(regexp.QuoteMeta(class) + `(?:,\.swp \.open)?\{[^}]*` + property + `:#([0-9a-f]{3,6})`).FindStringSubmatch(css)
		require.NotNil(t, m, "%s of %s", property, class)
		return lightness(t, m[1])
	}
	ratio := func(a, b float64) float64 { return (max(a, b) + 0.05) / (min(a, b) + 0.05) }
	for name, css := range map[string]string{"light": light, "dark": dark} {
		ink, paper := colour(css, ".swp", "color"), colour(css, ".paper", "fill")
		metal, rubber := colour(css, ".metal", "fill"), colour(css, ".rubber", "fill")
		assert.GreaterOrEqual(t, ratio(ink, paper), 7.0, name)
		assert.GreaterOrEqual(t, ratio(ink, metal), 4.5, "%s: words on metal", name)
		assert.GreaterOrEqual(t, ratio(metal, rubber), 3.0, "%s: a ring in its groove", name)
		assert.GreaterOrEqual(t, ratio(colour(css, ".bar", "fill"), colour(css, ".track", "fill")), 3.0, "%s: bars", name)
		last := colour(css, ".h0", "fill")
		for _, class := range []string{".h1", ".h2", ".h3", ".h4"} {
			now := colour(css, class, "fill")
			assert.Greater(t, now, last, "%s: higher is lighter", name)
			last = now
		}
	}
}

// lightness is the relative luminance of a colour, as the contrast of WCAG 2 counts it.
func lightness(t *testing.T, hex string) float64 {
	if len(hex) == 3 {
		hex = string([]byte{hex[0], hex[0], hex[1], hex[1], hex[2], hex[2]})
	}
	out := 0.0
	for i, w := range []float64{0.2126, 0.7152, 0.0722} {
		n, err := strconv.ParseUint(hex[2*i:2*i+2], 16, 8)
		require.NoError(t, err)
		x := float64(n) / 255
		if x <= 0.04045 {
			x /= 12.92
		} else {
			x = math.Pow((x+0.055)/1.055, 2.4)
		}
		out += w * x
	}
	return out
}
