package sheet

import (
	"bytes"
	"context"
	"fmt"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// browser starts a headless Chromium. Without one the test is skipped, but in continuous
// integration, which installs it, that is a failure.
func browser(t *testing.T) context.Context {
	t.Helper()
	path := ""
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome", "chrome", "headless-shell"} {
		if p, err := exec.LookPath(name); err == nil {
			path = p
			break
		}
	}
	if path == "" {
		if os.Getenv("CI") == "true" {
			t.Fatal("no Chromium: .ci/run installs it")
		}
		t.Skip("no Chromium on this machine: install it (apt-get install chromium) to test how the sheet looks and prints")
	}
	opts := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(path), chromedp.Flag("disable-dev-shm-usage", true))
	if os.Geteuid() == 0 {
		opts = append(opts, chromedp.NoSandbox) // Chromium refuses its sandbox to root
	}
	ctx, stop := chromedp.NewExecAllocator(context.Background(), opts...)
	t.Cleanup(stop)
	ctx, stop = chromedp.NewContext(ctx)
	t.Cleanup(stop)
	ctx, stop = context.WithTimeout(ctx, 3*time.Minute)
	t.Cleanup(stop)
	require.NoError(t, chromedp.Do(ctx), "Chromium does not start")
	return ctx
}

// run does one thing in the browser.
func run[T any](t *testing.T, ctx context.Context, a chromedp.Action[T]) T {
	t.Helper()
	got, err := chromedp.Run(ctx, a)
	require.NoError(t, err)
	return got
}

// show opens a page at a width, in light or dark, on a screen or as it prints.
func show(t *testing.T, ctx context.Context, path string, width, height int64, scheme, media string) {
	t.Helper()
	run(t, ctx, func(ctx context.Context, _ *chromedp.Target) (cdp.Empty, error) {
		return chromedp.Call(ctx, emulation.SetDeviceMetricsOverride, emulation.SetDeviceMetricsOverrideParams{Width: width, Height: height, DeviceScaleFactor: 1, Mobile: media == "screen" && width < 600})
	})
	run(t, ctx, func(ctx context.Context, _ *chromedp.Target) (cdp.Empty, error) {
		return chromedp.Call(ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: media, Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}})
	})
	require.NoError(t, chromedp.Do(ctx, chromedp.Navigate((&url.URL{Scheme: "file", Path: path}).String()), chromedp.WaitReady(chromedp.CSS("main"))))
}

// look is run inside the page and says what is wrong with it.
const look = `(least) => {
  const bad = [];
  const say = (e, s) => bad.push(s + ": " + e.outerHTML.replace(/\s+/g, " ").slice(0, 140));
  const wide = document.documentElement.clientWidth;
  if (document.documentElement.scrollWidth > wide) bad.push("the page scrolls sideways: " + document.documentElement.scrollWidth + " of " + wide);
  const parse = c => { const m = c.match(/[\d.]+/g).map(Number); return {r: m[0], g: m[1], b: m[2], a: m.length > 3 ? m[3] : 1}; };
  const lum = c => { const f = x => (x /= 255) <= 0.03928 ? x / 12.92 : Math.pow((x + 0.055) / 1.055, 2.4); return 0.2126 * f(c.r) + 0.7152 * f(c.g) + 0.0722 * f(c.b); };
  const behind = e => { for (; e; e = e.parentElement) { const c = parse(getComputedStyle(e).backgroundColor); if (c.a > 0) return c; } return {r: 255, g: 255, b: 255, a: 1}; };
  let texts = 0;
  const hidden = e => { for (; e; e = e.parentElement) { const s = getComputedStyle(e); if (s.display === "none" || s.visibility === "hidden" || s.clipPath === "inset(50%)") return true; } return false; };
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walk.nextNode()) {
    const n = walk.currentNode, e = n.parentElement;
    if (!n.textContent.trim() || hidden(e) || e.closest("svg")) continue;
    texts++;
    const s = getComputedStyle(e);
    if (parseFloat(s.fontSize) < least) say(e, "letters of " + s.fontSize);
    const a = lum(parse(s.color)), b = lum(behind(e));
    const ratio = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
    if (ratio < 4.5) say(e, "contrast of " + ratio.toFixed(2));
    const range = document.createRange(); range.selectNodeContents(n);
    for (const r of range.getClientRects()) if (r.right > wide + 0.5 || r.left < -0.5) { say(e, "text runs out of the page"); break; }
  }
  for (const e of document.querySelectorAll("body *")) {
    if (hidden(e) || e.closest("svg")) continue;
    const s = getComputedStyle(e);
    if (s.overflowX !== "visible" && e.scrollWidth > e.clientWidth + 1 && e.tagName !== "INPUT" || s.overflowY === "hidden" && e.scrollHeight > e.clientHeight + 1) say(e, "is clipped");
    const r = e.getBoundingClientRect();
    if (r.width > 0 && (r.right > wide + 0.5 || r.left < -0.5)) say(e, "lies outside the page");
  }
  for (const e of document.querySelectorAll("input")) {
    const own = e.getAttribute("aria-label") || Array.from(e.labels || []).map(l => l.textContent.trim()).join(" ");
    if (!own) say(e, "has no label");
  }
  for (const e of document.querySelectorAll("svg, img, [role=img]")) {
    const named = x => x && ((x.getAttribute("aria-label") || "").trim() || x.getAttribute("role") === "img" && x.querySelector("title") && x.querySelector("title").textContent.trim());
    if (!named(e) && !named(e.closest("[role=img]"))) say(e, "has no name");
  }
  for (const e of document.querySelectorAll("svg text")) {
    const s = getComputedStyle(e), scale = e.getScreenCTM().a, paper = e.closest("svg").querySelector(".paper");
    if (parseFloat(s.fontSize) * scale < least * 0.9 && least >= 12) say(e, "letters of " + (parseFloat(s.fontSize) * scale).toFixed(1));
    if (paper && !e.closest("[class~=solid]")) {
      const a = lum(parse(s.fill)), b = lum(parse(getComputedStyle(paper).fill)), ratio = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
      if (ratio < 4.5) say(e, "contrast of " + ratio.toFixed(2));
    }
  }
  for (const e of document.querySelectorAll("fieldset")) if (!e.querySelector("legend") || !e.querySelector("legend").textContent.trim()) say(e, "has no legend");
  const ids = Array.from(document.querySelectorAll("[id]")).map(e => e.id);
  ids.forEach((x, i) => { if (ids.indexOf(x) !== i) bad.push("the id " + x + " is there twice"); });
  if (window.hacked) bad.push("a text was run");
  if (document.scripts.length) bad.push("there is a script");
  return {bad: bad.slice(0, 20), texts: texts, boxes: document.querySelectorAll("input").length};
}`

type looked struct {
	Bad   []string `json:"bad"`
	Texts int      `json:"texts"`
	Boxes int      `json:"boxes"`
}

// The paper that is printed on: its size less the margins of the style sheet, at 96 dots an inch,
// and in inches for the printer.
var papers = map[string]struct{ width, height, w, h float64 }{
	"A4":     {(210 - 24) / 25.4 * 96, (297 - 26) / 25.4 * 96, 8.27, 11.69},
	"Letter": {(215.9 - 24) / 25.4 * 96, (279.4 - 26) / 25.4 * 96, 8.5, 11},
}

var pages = regexp.MustCompile(`/Type\s*/Page[^s]`)

// shots is a folder for pictures of what the tests saw; nothing is kept without it.
const shots = "SEEPWRIGHT_SHOTS"

func keep(t *testing.T, name string, data []byte) {
	t.Helper()
	if dir := os.Getenv(shots); dir != "" {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), data, 0o600))
	}
}

func TestTheSheetIsLegibleOnAPhoneAndOnPaper(t *testing.T) {
	ctx := browser(t)
	drawn := filepath.Join(t.TempDir(), "pictures.html")
	var b bytes.Buffer
	require.NoError(t, HTML(&b, pictured()))
	require.NoError(t, os.WriteFile(drawn, b.Bytes(), 0o600))
	for _, file := range []string{"testdata/on-the-bench.html", "testdata/first-drip.html", "testdata/eight-bolts.html", "testdata/refused.html", drawn} {
		name := filepath.Base(file)
		path, err := filepath.Abs(file)
		require.NoError(t, err)
		for _, scheme := range []string{"light", "dark"} {
			t.Run(name+" on a phone, "+scheme, func(t *testing.T) {
				show(t, ctx, path, 360, 740, scheme, "screen")
				sees(t, ctx, 12)
				if os.Getenv(shots) != "" {
					keep(t, name+"-phone-"+scheme+".png", run(t, ctx, chromedp.FullScreenshot(100)))
				}
			})
		}
		t.Run(name+" on a wide screen", func(t *testing.T) {
			show(t, ctx, path, 1200, 800, "light", "screen")
			sees(t, ctx, 12)
		})
		for paper, p := range papers {
			t.Run(name+" on "+paper, func(t *testing.T) {
				show(t, ctx, path, int64(p.width), int64(p.height), "dark", "print")
				sees(t, ctx, 10)
				black(t, ctx)
				bottom := run(t, ctx, chromedp.Evaluate[float64](`Math.max(0, ...Array.from(document.querySelectorAll("#stop, #cautions")).map(e => e.getBoundingClientRect().bottom))`))
				assert.Less(t, bottom, p.height, "stops and cautions do not fit on the first page")
				data := run(t, ctx, chromedp.PrintToPDF(func(o *page.PrintToPDFParams) { o.PaperWidth, o.PaperHeight = p.w, p.h }))
				require.True(t, bytes.HasPrefix(data, []byte("%PDF")), "no PDF")
				tall := run(t, ctx, chromedp.Evaluate[float64](`document.documentElement.scrollHeight`))
				n := len(pages.FindAll(data, -1))
				assert.GreaterOrEqual(t, float64(n), tall/p.height-0.1, "pages are missing")
				assert.LessOrEqual(t, float64(n), tall/p.height*1.35+1, "pages are left half empty")
				keep(t, fmt.Sprintf("%s-%s.pdf", name, paper), data)
			})
		}
	}
}

// sees fails with all that is wrong with the page as it is shown.
func sees(t *testing.T, ctx context.Context, least float64) {
	t.Helper()
	got := run(t, ctx, chromedp.Evaluate[looked](fmt.Sprintf("(%s)(%v)", look, least)))
	assert.Empty(t, got.Bad)
	assert.Greater(t, got.Texts, 5, "the test saw no text")
	assert.Positive(t, got.Boxes, "the test saw no boxes")
}

// black fails where printed text is not black on white, though the reader prefers dark.
func black(t *testing.T, ctx context.Context) {
	t.Helper()
	got := run(t, ctx, chromedp.Evaluate[[]string](`Array.from(document.querySelectorAll("body, body *")).filter(e => !e.closest(".drawing") && (getComputedStyle(e).color !== "rgb(0, 0, 0)" || !["rgba(0, 0, 0, 0)", "rgb(255, 255, 255)"].includes(getComputedStyle(e).backgroundColor))).map(e => e.outerHTML.slice(0, 120)).slice(0, 10)`))
	assert.Empty(t, got, "not black on white")
}
