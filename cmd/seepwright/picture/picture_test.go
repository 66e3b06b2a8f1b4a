package picture

import (
	"encoding/xml"
	"flag"
	"io"
	"maps"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "rewrite the drawings and tables in testdata")

func TestDrawingsAndTablesAreAsTheyWere(t *testing.T) {
	for _, name := range slices.Sorted(maps.Keys(examples())) {
		p, err := examples()[name].Draw()
		require.NoError(t, err, name)
		for file, now := range map[string]string{name + ".svg": p.SVG, name + ".txt": p.Title + "\n\n" + p.Table.Text(80) + "\n" + p.Desc + "\n"} {
			file = filepath.Join("testdata", file)
			if *update {
				require.NoError(t, os.MkdirAll("testdata", 0o755))
				require.NoError(t, os.WriteFile(file, []byte(now), 0o644))
			}
			was, err := os.ReadFile(file)
			require.NoError(t, err)
			assert.Equal(t, string(was), now, file)
		}
	}
}

// shape is one element of a drawing with its attributes.
type shape struct {
	name, text string
	at         map[string]string
}

func (s shape) f(t *testing.T, name string) float64 {
	x, err := strconv.ParseFloat(s.at[name], 64)
	require.NoError(t, err, "%s of %s", name, s.name)
	return x
}

// parsed reads a drawing as XML.
func parsed(t *testing.T, svg string) []shape {
	t.Helper()
	var out []shape
	d := xml.NewDecoder(strings.NewReader(svg))
	for {
		tok, err := d.Token()
		if err == io.EOF {
			return out
		}
		require.NoError(t, err)
		switch x := tok.(type) {
		case xml.StartElement:
			s := shape{name: x.Name.Local, at: map[string]string{}}
			for _, a := range x.Attr {
				s.at[a.Name.Local] = a.Value
			}
			out = append(out, s)
		case xml.CharData:
			if len(out) > 0 {
				out[len(out)-1].text += string(x)
			}
		}
	}
}

// classed are the elements of a class.
func classed(shapes []shape, class string) []shape {
	var out []shape
	for _, s := range shapes {
		if slices.Contains(strings.Fields(s.at["class"]), class) {
			out = append(out, s)
		}
	}
	return out
}

// perMM is the scale of a drawing by its bar and the words beside it.
func perMM(t *testing.T, shapes []shape) float64 {
	t.Helper()
	for i, s := range shapes {
		if slices.Contains(strings.Fields(s.at["class"]), "scalebar") {
			n, unit, _ := strings.Cut(shapes[i+1].text, " ")
			x, err := strconv.ParseFloat(n, 64)
			require.NoError(t, err)
			if strings.HasPrefix(unit, "in") {
				x *= 25.4
			}
			return s.f(t, "width") / x
		}
	}
	t.Fatal("the drawing has no scale")
	return 0
}

func drawn(t *testing.T, d drawing) (Picture, []shape) {
	t.Helper()
	p, err := d.Draw()
	require.NoError(t, err)
	return p, parsed(t, p.SVG)
}

func TestEveryDrawingCanBeReadByThoseWhoCannotSeeIt(t *testing.T) {
	names := map[string]bool{}
	for name, d := range examples() {
		p, shapes := drawn(t, d)
		root := shapes[0]
		assert.Equal(t, "svg", root.name)
		assert.Equal(t, "img", root.at["role"], name)
		assert.Equal(t, p.Name+"-title "+p.Name+"-desc", root.at["aria-labelledby"], name)
		assert.Equal(t, []string{"title", p.Name + "-title", p.Title}, []string{shapes[1].name, shapes[1].at["id"], strings.TrimSpace(shapes[1].text)}, name)
		assert.Equal(t, []string{"desc", p.Name + "-desc", p.Desc}, []string{shapes[2].name, shapes[2].at["id"], strings.TrimSpace(shapes[2].text)}, name)
		assert.Greater(t, len(p.Desc), 40, name)
		assert.Regexp(t, `^[a-z0-9-]+$`, p.Name)
		names[p.Name] = true
		assert.NotContains(t, p.SVG, "<script")
		assert.NotRegexp(t, `(?i)href|@import|url\([^#]|\son[a-z]+=`, p.SVG, "nothing is fetched or run")
	}
	assert.Greater(t, len(names), 5)
}

// Letters are 12 units of 360: 11.3 px on a phone that leaves the drawing 340; none is set smaller, none runs over the edge.
func TestLettersAreLargeEnoughAndInsideTheDrawing(t *testing.T) {
	for name, d := range examples() {
		p, shapes := drawn(t, d)
		box := strings.Fields(shapes[0].at["viewBox"])
		require.Equal(t, []string{"0", "0", "360"}, box[:3], name)
		assert.GreaterOrEqual(t, em*340/360, 11.0)
		for _, m := range regexp.MustCompile(`font-size:\s*([0-9.]+)`).FindAllStringSubmatch(p.SVG, -1) {
			assert.Equal(t, "12", m[1], name)
		}
		high, err := strconv.ParseFloat(box[3], 64)
		require.NoError(t, err)
		for _, s := range shapes {
			if s.name != "text" {
				continue
			}
			w := wider(s.text, s.at["class"] == "b")
			l := s.f(t, "x")
			switch s.at["text-anchor"] {
			case "middle":
				l -= w / 2
			case "end":
				l -= w
			}
			assert.GreaterOrEqual(t, l, 0.0, "%s: %q", name, s.text)
			assert.LessOrEqual(t, l+w, wide+0.5, "%s: %q", name, s.text)
			assert.LessOrEqual(t, s.f(t, "y"), high, "%s: %q", name, s.text)
		}
	}
}

// No two texts of a drawing lie over each other, by widths rather too wide.
func TestNoTextLiesOverAnother(t *testing.T) {
	for name, d := range examples() {
		_, shapes := drawn(t, d)
		var boxes []box
		var words []string
		for _, s := range shapes {
			if s.name != "text" {
				continue
			}
			w := wider(s.text, s.at["class"] == "b")
			l, foot := s.f(t, "x"), s.f(t, "y")
			switch s.at["text-anchor"] {
			case "middle":
				l -= w / 2
			case "end":
				l -= w
			}
			now := box{l, foot - 9, l + w, foot + 2}
			for i, b := range boxes {
				assert.False(t, b.meets(now), "%s: %q lies over %q", name, s.text, words[i])
			}
			boxes, words = append(boxes, now), append(words, s.text)
		}
	}
}

func TestAGlandIsDrawnToScale(t *testing.T) {
	g := examples()["gland-two"].(Gland)
	_, shapes := drawn(t, g)
	scale := perMM(t, shapes)
	rings, cords := classed(shapes, "ring"), classed(shapes, "cord")
	require.Len(t, rings, 2)
	require.Len(t, cords, 2)
	for i, c := range g.Sections {
		high, across := rings[i].f(t, "height")/scale, rings[i].f(t, "width")/scale
		assert.InDelta(t, c.Depth, high, 0.01)
		assert.InDelta(t, c.Cord, 2*cords[i].f(t, "r")/scale, 0.01)
		assert.InDelta(t, math.Pi/4*c.Cord*c.Cord, math.Pi/4*high*high+(across-high)*high, 0.1, "the flattened ring has the area of the free one")
	}
	gap := func(i int) float64 { // from what closes the gland to the land beside the groove
		closes, groove := classed(shapes, "closes")[i], classed(shapes, "groove")[i]
		m := regexp.MustCompile(`^M[0-9.]+ ([0-9.]+)L`).FindStringSubmatch(groove.at["d"])
		y, err := strconv.ParseFloat(m[1], 64)
		require.NoError(t, err)
		return (y - closes.f(t, "y") - closes.f(t, "height")) / scale
	}
	assert.InDelta(t, 0.10, gap(0), 0.01)
	assert.InDelta(t, 0.05, gap(1), 0.01)
}

func TestARoundnessProfileIsDrawnLargerByTheFactorThatItSays(t *testing.T) {
	r := examples()["roundness-bore"].(Roundness)
	p, shapes := drawn(t, r)
	m := regexp.MustCompile(`drawn (\d+) times larger`).FindStringSubmatch(p.Desc)
	require.NotNil(t, m)
	times, err := strconv.ParseFloat(m[1], 64)
	require.NoError(t, err)
	zone := classed(shapes, "zone-out")[0].f(t, "r") - classed(shapes, "zone-in")[0].f(t, "r")
	mean := (classed(shapes, "zone-out")[0].f(t, "r") + classed(shapes, "zone-in")[0].f(t, "r")) / 2
	assert.InDelta(t, times, (zone/r.Zone)/(mean/r.Radius), times/100)
	assert.InDelta(t, zone, r.Zone*perMM(t, shapes), 0.05, "the scale across the profile says the same")
	assert.InDelta(t, r.Lost.Off*perMM(t, shapes), classed(shapes, "limit")[0].f(t, "r")-mean, 0.05)
}

func TestTheSectorsOfLostSqueezeEndWhereTheProfileCrossesTheLimit(t *testing.T) {
	profile := []Polar{{0, 0}, {90, 0.10}, {180, 0}, {270, -0.10}}
	tests := []struct {
		name string
		lost *Lost
		want []Sector
	}{
		{"a bore loses it where it is wide", &Lost{Off: 0.05}, []Sector{{45, 135}}},
		{"a spigot loses it where it is low", &Lost{Off: -0.05, Inward: true}, []Sector{{225, 315}}},
		{"over 12 o'clock as well", &Lost{Off: -0.05}, []Sector{{315, 585}}},
		{"nowhere", &Lost{Off: 0.2}, nil},
		{"all round", &Lost{Off: -0.2}, []Sector{{0, 360}}},
		{"no limit", nil, nil},
	}
	for _, tt := range tests {
		got := Roundness{Profile: profile, Radius: 20, Zone: 0.2, Lost: tt.lost}.LostAt()
		require.Len(t, got, len(tt.want), tt.name)
		for i := range got {
			assert.InDelta(t, tt.want[i].From, got[i].From, 1e-6, tt.name)
			assert.InDelta(t, tt.want[i].To, got[i].To, 1e-6, tt.name)
		}
	}
}

func TestAFaceIsDrawnToScale(t *testing.T) {
	f := examples()["flatness-pad"].(Flatness)
	_, shapes := drawn(t, f)
	scale := perMM(t, shapes)
	assert.InDelta(t, f.Outer/2, classed(shapes, "face-out")[0].f(t, "r")/scale, 0.05)
	assert.InDelta(t, f.Inner/2, classed(shapes, "face-in")[0].f(t, "r")/scale, 0.05)
	holes := classed(shapes, "hole")
	require.Len(t, holes, 4)
	assert.InDelta(t, 83.4, math.Hypot(holes[0].f(t, "cx")-holes[1].f(t, "cx"), holes[0].f(t, "cy")-holes[1].f(t, "cy"))/scale, 0.1)
	assert.Less(t, holes[0].f(t, "cy"), holes[1].f(t, "cy"), "12 o'clock is on top")
	assert.InDelta(t, f.Holes[0].D/2, holes[0].f(t, "r")/scale, 0.05)
}

func TestBoltsStandToScaleAndTheRoundsAreAsLongAsTheirShares(t *testing.T) {
	b := examples()["bolts-round"].(Bolts)
	_, shapes := drawn(t, b)
	scale := perMM(t, shapes)
	bolts := classed(shapes, "bolt")
	require.Len(t, bolts, 8)
	assert.InDelta(t, b.Circle, (bolts[4].f(t, "cy")-bolts[0].f(t, "cy"))/scale, 0.1)
	assert.InDelta(t, b.Head/2, bolts[0].f(t, "r")/scale, 0.05)
	assert.Less(t, bolts[1].f(t, "cy"), bolts[2].f(t, "cy"), "numbered clockwise from 12 o'clock")
	assert.Greater(t, bolts[1].f(t, "cx"), bolts[0].f(t, "cx"))
	for i, p := range classed(shapes, "pass") {
		assert.InDelta(t, b.Passes[i].Share, p.f(t, "width")/classed(shapes, "track")[i].f(t, "width"), 0.001)
	}
}

func TestAHoseEndIsDrawnToScale(t *testing.T) {
	h := examples()["hose-end"].(Hose)
	_, shapes := drawn(t, h)
	scale := perMM(t, shapes)
	length := func(class string) float64 {
		s := classed(shapes, class)[0]
		return math.Abs(s.f(t, "x2")-s.f(t, "x1")) / scale
	}
	assert.InDelta(t, h.PushOn, length("push-on"), 0.05)
	assert.InDelta(t, *h.ClampToBead, length("to-bead"), 0.05)
	assert.InDelta(t, *h.ClampToEnd, length("to-end"), 0.05)
	assert.InDelta(t, h.Band, classed(shapes, "clamp")[0].f(t, "width")/scale, 0.05)
	ys := regexp.MustCompile(`[ML][0-9.]+ ([0-9.]+)`).FindAllStringSubmatch(classed(shapes, "spigot")[0].at["d"], -1)
	var high []float64
	for _, m := range ys {
		y, err := strconv.ParseFloat(m[1], 64)
		require.NoError(t, err)
		high = append(high, y)
	}
	slices.Sort(high)
	surface, err := strconv.ParseFloat(ys[1][1], 64)
	require.NoError(t, err)
	assert.InDelta(t, 1.8, (surface-high[0])/scale, 0.05, "the bead stands as high as it is")
}

func TestDistancesThatDoNotAddUpAreSaid(t *testing.T) {
	h := Hose{Spigot: 38, PushOn: 32, ClampToBead: ptr(3), ClampToEnd: ptr(7), Band: 12}
	p, _ := drawn(t, h)
	assert.Contains(t, p.Desc, "The distances leave 22 mm for the clamp, its width is 12 mm: one of them is off.")
	h.ClampToEnd = ptr(30)
	_, err := h.Draw()
	assert.ErrorContains(t, err, "leave nothing of the 32 mm")
	p, _ = drawn(t, examples()["hose-bead"])
	assert.Contains(t, p.Desc, "The clamp stands on the bead.")
	p, _ = drawn(t, examples()["hose-few"])
	assert.Contains(t, p.Desc, "The clamp hangs over the end of the hose.")
}

func TestThePressureIsDrawnOverItsAxis(t *testing.T) {
	g := examples()["stress-round"].(Stress)
	p, shapes := drawn(t, g)
	ticks := classed(shapes, "tick")
	tick := 0.0
	for i, s := range shapes {
		if s.at["class"] == ticks[1].at["class"] && s.at["y1"] == ticks[1].at["y1"] {
			var err error
			tick, err = strconv.ParseFloat(strings.TrimSpace(shapes[i+1].text), 64)
			require.NoError(t, err)
		}
	}
	per := (ticks[0].f(t, "y1") - ticks[1].f(t, "y1")) / tick
	at := func(s shape) float64 { return (ticks[0].f(t, "y1") - s.f(t, "y1")) / per }
	limits := classed(shapes, "limit")
	assert.InDelta(t, g.Least, at(limits[0]), 0.05)
	m := regexp.MustCompile(`^M[0-9.]+ ([0-9.]+)L`).FindStringSubmatch(classed(shapes, "pressure")[0].at["d"])
	y, err := strconv.ParseFloat(m[1], 64)
	require.NoError(t, err)
	assert.InDelta(t, 22, (ticks[0].f(t, "y1")-y)/per, 0.05)
	assert.Contains(t, p.Desc, "least 9.1 MPa")
	assert.Contains(t, p.Desc, "At least 10 MPa to seat it: not reached everywhere")
	assert.Len(t, classed(shapes, "at-bolt"), 9)
}

func TestBarsAreAsLongAsTheirShares(t *testing.T) {
	r := examples()["ranking"].(Ranking)
	_, shapes := drawn(t, r)
	tracks, bars := classed(shapes, "track"), classed(shapes, "share")
	require.Len(t, bars, 3)
	for i, c := range r.Causes {
		assert.InDelta(t, c.Share, bars[i].f(t, "width")/tracks[i].f(t, "width"), 0.001)
	}
	m := examples()["minutes"].(Minutes)
	_, shapes = drawn(t, m)
	scale := 0.0
	for i, s := range shapes {
		if slices.Contains(strings.Fields(s.at["class"]), "scalebar") {
			n, err := strconv.ParseFloat(strings.Fields(shapes[i+1].text)[0], 64)
			require.NoError(t, err)
			if strings.Contains(shapes[i+1].text, " h") {
				n *= 60
			}
			scale = s.f(t, "width") / n
		}
	}
	waits := classed(shapes, "wait")
	for i, h := range classed(shapes, "hands") {
		assert.InDelta(t, m.Parts[i].Hands, h.f(t, "width")/scale, 0.1)
	}
	require.Len(t, waits, 3)
	assert.InDelta(t, 240, waits[2].f(t, "width")/scale, 0.1)
}

func TestLiquidRunsFromWhatStandsAboveAndTheLikeliestSourceIsMarked(t *testing.T) {
	w := examples()["where-unit"].(Where)
	list, left := w.shown()
	assert.Zero(t, left)
	at := map[string]int{}
	for i, j := range list {
		at[j.ID] = i
	}
	for _, j := range list {
		for _, above := range j.Above {
			assert.Less(t, at[above], at[j.ID], "%s stands over %s", above, j.ID)
		}
	}
	p, shapes := drawn(t, w)
	assert.Len(t, classed(shapes, "likeliest"), 1)
	assert.Contains(t, p.Desc, "The likeliest source is water pipe in (plug-in), about 9 in 10.")
	assert.Len(t, classed(shapes, "way"), 6)
	loop := Where{Joints: []WetJoint{{ID: "a", State: Wet, Above: []string{"b"}}, {ID: "b", State: Dry, Above: []string{"a"}}, {ID: "c", State: Unknown, Above: []string{"c", "nowhere"}}}}
	_, err := loop.Draw()
	assert.NoError(t, err, "a loop in what lies above ends")
	tie := Where{Joints: []WetJoint{{ID: "a", State: Wet, Share: 0.5}, {ID: "b", State: Wet, Share: 0.5}}}
	_, shapes = drawn(t, tie)
	assert.Empty(t, classed(shapes, "likeliest"), "two that are level are both left unmarked")
}

func TestOfVeryManyJointsTheWetAndLikelyOnesAreDrawn(t *testing.T) {
	w := Where{}
	for i := range 200 {
		w.Joints = append(w.Joints, WetJoint{ID: strconv.Itoa(i), Title: "joint " + strconv.Itoa(i), State: Dry})
	}
	w.Joints[150].State, w.Joints[199].State = Wet, Unknown
	p, shapes := drawn(t, w)
	assert.Contains(t, p.Desc, "Wet: joint 150.")
	assert.Contains(t, p.Desc, "176 more joints are not drawn")
	assert.Len(t, classed(shapes, "dry"), mostJoints-2+1, "and one in the key")
}

// hostile is what nobody should get into a page through a name.
const hostile = `</text></svg><script>alert(1)</script><img src=x onerror="alert(2)"> ' " & ]]> <!-- ` + "\x00\x07\x1b[31m\u202e\u2066\ufffe\xff\n\t" + "WWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWW"

// hostiles are drawings of which every word is hostile.
func hostiles() map[string]drawing {
	a := About{Key: hostile, Of: hostile}
	return map[string]drawing{
		"gland":     Gland{About: a, Inner: hostile, Outer: hostile, Notes: []string{hostile}, Sections: []GlandSection{{hostile, 3.53, 3, 0.1}, {hostile, 3.53, 2.9, 0.1}}},
		"roundness": Roundness{About: a, Profile: []Polar{{0, 0.1}, {90, 0}, {180, 0.1}, {270, 0}}, Radius: 20, Zone: 0.1, Lost: &Lost{Off: 0.05, Limit: hostile}},
		"flatness":  Flatness{About: a, Flat: 0.1, Spots: []Spot{{0, 0, 0, hostile}, {40, 0, 0.1, hostile}, {0, 40, 0, hostile}}},
		"where":     Where{About: a, Joints: []WetJoint{{ID: hostile, Title: hostile, State: Wet, Odds: hostile, Share: 0.4}, {ID: "b", Title: hostile, State: Dry, Above: []string{hostile}, BlownFrom: []string{hostile}}}},
		"ranking":   Ranking{About: a, Rest: hostile, Causes: []Chance{{hostile, hostile, hostile, 0.5, 0.1, 0.4, 0.6}}},
		"bolts":     Bolts{About: a, Count: 4, Order: []int{1, 3, 2, 4}, Then: hostile, Passes: []Pass{{hostile, 1, hostile}}},
		"stress":    Stress{About: a, Points: []StressAt{{0, 10}, {360, 12}}, Round: true, Notes: []string{hostile}},
		"hose":      Hose{About: a, Spigot: 38, Notes: []string{hostile}},
		"minutes":   Minutes{About: a, Parts: []PartTime{{hostile, 1, 2}}, Notes: []string{hostile}},
	}
}

func TestHostileWordsStayWords(t *testing.T) {
	for name, d := range hostiles() {
		p, shapes := drawn(t, d)
		assert.Regexp(t, `^[a-z0-9-]+$`, p.Name)
		for _, s := range shapes {
			assert.Contains(t, []string{"svg", "title", "desc", "style", "defs", "pattern", "clipPath", "rect", "line", "circle", "path", "text", "g"}, s.name, name)
			for at := range s.at {
				assert.False(t, strings.HasPrefix(at, "on"), "%s: %s", name, at)
			}
		}
		for _, bad := range []string{"<script", "<img", "\x00", "\x07", "\x1b", "\u202e", "\u2066", "\ufffe"} {
			assert.NotContains(t, p.SVG, bad, name)
			if bad[0] != '<' {
				assert.NotContains(t, p.Table.Text(80), bad, name)
			}
		}
		assert.True(t, utf8.ValidString(p.SVG+p.Title+p.Desc+p.Table.Text(80)), name)
	}
}

func TestSillySizesAreRefusedInWords(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	gland := func(change func(*Gland)) drawing {
		g := examples()["gland-two"].(Gland)
		g.Sections = slices.Clone(g.Sections)
		change(&g)
		return g
	}
	var bad []drawing
	for _, x := range []float64{0, -1, nan, inf, -inf, 1e9, 1e-9} {
		bad = append(bad, gland(func(g *Gland) { g.Sections[1].Cord = x }), gland(func(g *Gland) { g.Sections[0].Depth = x }))
		if x != 0 {
			bad = append(bad, gland(func(g *Gland) { g.Width = x }), gland(func(g *Gland) { g.Sections[0].Gap = x }))
			bad = append(bad, Roundness{Profile: []Polar{{0, 0}, {120, 0.01}, {240, 0}}, Radius: x, Zone: 0.01}, Roundness{Profile: []Polar{{0, 0}, {120, 0.01}, {240, 0}}, Radius: 20, Zone: x})
			bad = append(bad, Flatness{Spots: clockSpots([]float64{0, 0.1, 0}, 100), Flat: 0.1, Outer: x}, Flatness{Spots: clockSpots([]float64{0, 0.1, 0}, 100), Flat: x}, Flatness{Spots: clockSpots([]float64{0, 0.1, 0}, 100), Holes: []Hole{{0, 0, x}}})
		}
	}
	for _, x := range []float64{-0.1, 1.1, nan, inf} {
		bad = append(bad, Ranking{Causes: []Chance{{Title: "a", Share: x}}}, Ranking{Causes: []Chance{{Title: "a", Share: 0.5, High: x}}}, Where{Joints: []WetJoint{{ID: "a", State: Wet, Share: x}}})
	}
	for _, x := range []float64{-1, nan, inf, 1e9} {
		bad = append(bad, Minutes{Parts: []PartTime{{"a", x, 0}}}, Minutes{Parts: []PartTime{{"a", 1, x}}})
	}
	for _, x := range []float64{-1, nan, inf, 1e9} {
		bad = append(bad, Bolts{Count: 4, Order: []int{1, 2, 3, 4}, Circle: x}, Bolts{Count: 4, Order: []int{1, 2, 3, 4}, Head: x}, Bolts{Places: []Place{{0, 0}, {x * 1e6, 0}}, Order: []int{1, 2}}, Bolts{Count: 4, Order: []int{1, 2, 3, 4}, Passes: []Pass{{"a", x, ""}}},
			Stress{Points: []StressAt{{0, 10}, {360, x * 1e6}}}, Stress{Points: []StressAt{{0, 10}, {360, 10}}, Spread: x}, Stress{Points: []StressAt{{0, 10}, {360, 10}}, Least: x}, Stress{Points: []StressAt{{0, 10}, {x * 1e9, 10}}},
			Hose{Spigot: x}, Hose{Spigot: 38, Bead: x}, Hose{Spigot: 38, Wall: x}, Hose{Spigot: 38, PushOn: x}, Hose{Spigot: 38, Band: x}, Hose{Spigot: 38, ClampToBead: ptr(x * 1e9)})
	}
	bad = append(bad, Bolts{}, Bolts{Count: 4, Order: []int{1, 2, 3}}, Bolts{Count: 4, Order: []int{1, 2, 3, 3}}, Bolts{Count: 100, Order: crossed(100)}, Bolts{Places: []Place{{1, 1}, {1, 1}}, Order: []int{1, 2}}, Stress{},
		Stress{Points: []StressAt{{0, 0}, {360, 0}}}, Stress{Points: []StressAt{{10, 5}, {0, 5}}}, Hose{}, Hose{Spigot: 38, Bead: 30}, Hose{Spigot: 38, Bead: 99}, Hose{Spigot: 38, Wall: 50}, Hose{Spigot: 38, ClampToBead: ptr(-60), ClampToEnd: ptr(3)})
	bad = append(bad, Gland{}, Roundness{}, Flatness{}, Where{}, Ranking{}, Minutes{}, Minutes{Parts: []PartTime{{"a", 0, 0}}},
		gland(func(g *Gland) { g.Sections[0].Gap = 2.9 }), gland(func(g *Gland) { g.Sections[0].Depth = 40 }), gland(func(g *Gland) { g.Sections[0].Depth = 0.1 }), gland(func(g *Gland) { g.Width = 90 }),
		gland(func(g *Gland) { g.Least = nan }), Flatness{Spots: clockSpots([]float64{0, 1, 0}, 1e-7)}, Flatness{Spots: clockSpots([]float64{0, nan, 0}, 100)}, Flatness{Spots: clockSpots([]float64{0, 1, 0}, 100), Outer: 50, Inner: 60},
		Roundness{Profile: []Polar{{nan, 0}, {120, 0}, {240, 0}}}, Roundness{Profile: []Polar{{0, 900}, {120, 0}, {240, 0}}, Radius: 1}, Where{Joints: []WetJoint{{ID: "a", State: "damp"}}})
	for i, d := range bad {
		_, err := d.Draw()
		if assert.Error(t, err, "%d: %+v", i, d) {
			assert.True(t, strings.HasPrefix(err.Error(), "no picture: "), err.Error())
			assert.Contains(t, err.Error()+";", ";", err.Error())
		}
	}
}

func TestATableKeepsToTheWidthAndLosesNoWord(t *testing.T) {
	table := Table{Head: []string{"", "cause", "odds"}, Rows: [][]string{{"1", strings.Repeat("spigot out of round ", 8), "about 6 in 10"}, {"2", strings.Repeat("x", 120), ""}, {"3"}}, Notes: []string{strings.Repeat("a note ", 30)}}
	for _, width := range []int{0, 40, 80, 200} {
		text := table.Text(width)
		for _, l := range strings.Split(text, "\n") {
			assert.LessOrEqual(t, utf8.RuneCountInString(l), max(width, 40))
		}
		assert.Equal(t, 8, strings.Count(text, "spigot"))
		assert.Equal(t, 120, strings.Count(text, "x"))
		assert.Equal(t, 30, strings.Count(text, "note"))
	}
}
