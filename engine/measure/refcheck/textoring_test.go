package refcheck

import (
	"errors"
	"regexp"
	"strings"

	"seepwright/engine/measure/gland"
	"seepwright/engine/measure/ringsize"
	"seepwright/rules/unit"
)

// tables are the size and gap tables of the folder, which some rows look up.
type tables struct {
	sizes map[string]ringsize.Ring
	rings []ringsize.Ring
	gaps  map[string][]gland.Band
}

var errUnknownTopic = errors.New("no evaluator knows this topic")

// byTopic are the evaluators of O-ring rows. "_pct", "_mm", "_in" and "_mean" say how the answer is
// printed, which the unit column says too, so they are left out of the names.
func byTopic(t tables) map[string]func(*said) (answer, error) {
	all := map[string]func(*said) (answer, error){}
	for _, group := range []map[string]func(*said) (answer, error){squeezeTopics(), stretchTopics(), fillTopics(), rubberTopics(), aroundTopics(), sizeTopics(t), limitTopics(t), turnedTopics()} {
		for name, run := range group {
			all[name] = run
		}
	}
	return all
}

var printedAs = regexp.MustCompile(`_(pct|percent|mm|in|inch|mean|mpa|n)(_|$)`)

func topicName(s string) string {
	s = strings.ToLower(strings.TrimSpace(strings.NewReplacer(" ", "_", "-", "_").Replace(s)))
	for printedAs.MatchString(s) {
		s = printedAs.ReplaceAllString(s, "$2")
	}
	return s
}

// ringFromText computes a row of the O-ring file from its text.
func ringFromText(row map[string]string, t tables) (answer, error) {
	s, err := sayRow(row)
	if err != nil {
		return answer{}, err
	}
	run, ok := byTopic(t)[topicName(row["topic"])]
	if !ok {
		return answer{}, errUnknownTopic
	}
	return s.finish(run)
}

// finish runs an evaluator; what the text lacks goes before what a formula says to it.
func (s *said) finish(run func(*said) (answer, error)) (answer, error) {
	a, err := run(s)
	if len(s.missing) > 0 {
		return answer{}, errors.New("the text gives " + strings.Join(s.missing, "; "))
	}
	a.unused = s.unused()
	return a, err
}

// percent says that the row wants a share.
func (s *said) percent() bool { return strings.HasPrefix(s.row["unit"], "%") }

// least and greatest in the order in which the row prints them, or the one that it prints.
func (s *said) ends(least, greatest float64, err error) (answer, error) {
	printedText := strings.ToLower(s.row["expected"])
	lo, hi := strings.Index(printedText, "min"), strings.Index(printedText, "max")
	if n := len(printed(s.row["expected"])); n == 1 {
		if lo < 0 && hi < 0 {
			lo, hi = strings.Index(s.topic, "min"), strings.Index(s.topic, "max")
		}
		switch {
		case lo >= 0 && hi < 0:
			return several(err, least)
		case hi >= 0 && lo < 0:
			return several(err, greatest)
		}
		s.missing = append(s.missing, "one number for a range, and not which end it is")
	}
	if hi >= 0 && hi < lo {
		return several(err, greatest, least)
	}
	return several(err, least, greatest)
}

var (
	cordNames   = []string{"cs", "cord", "section", "d2", "cross section", "cord dia", "cs after", "t0"}
	depthNames  = []string{"gland depth", "gland depth mean", "depth", "groove depth", "radial gap", "squeezed height", "gland", "gland height", "mean depth", "ts", "height", "t"}
	boreNames   = []string{"bore", "bore dia", "mean bore", "bore mean", "cylinder", "cylinder bore", "housing bore", "hole"}
	grooveNames = []string{"groove dia", "groove", "shaft groove", "piston groove", "groove diameter", "groove bottom", "dg"}
	rodNames    = []string{"rod", "rod dia", "shaft", "rod diameter"}
	idNames     = []string{"id", "ring id", "d1", "inside diameter", "inside dia", "ring inside"}
	gapNames    = []string{"gap between faces", "face gap", "standoff", "stand-off", "open gap", "shim", "gap"}
)

func (s *said) cord() unit.Length { return s.length(cordNames...) }

// depthSpan is the depth that the ring is squeezed into: said, or from bore and groove, or from the
// groove in the housing and the rod; a gap left open between faces adds to it.
func (s *said) depthSpan() gland.Span {
	var d gland.Span
	var err error
	switch {
	case s.given(unit.LengthDim, depthNames...) || s.given(unit.LengthDim, minMax(depthNames)...):
		d = s.span(depthNames...)
	case s.given(unit.LengthDim, boreNames...) || !s.given(unit.LengthDim, rodNames...):
		d, err = gland.DepthSpan(s.span(boreNames...), s.span(grooveNames...))
	default:
		d, err = gland.DepthSpan(s.span(grooveNames...), s.span(rodNames...))
	}
	if it := s.look(unit.LengthDim, gapNames...); it != nil && !holds(strings.ToLower(it.label), []string{"radial", "extrusion", "clearance", "diametral"}) {
		g := s.span(gapNames...)
		d.Min, d.Max = d.Min+g.Min, d.Max+g.Max
	}
	if err != nil {
		s.missing = append(s.missing, err.Error())
	}
	return d
}

func minMax(names []string) []string {
	var out []string
	for _, n := range names {
		out = append(out, n+" min", "min "+n)
	}
	return out
}

// depth is one depth, by the formula of the seat.
func (s *said) depth() unit.Length {
	d := s.depthSpan()
	return (d.Min + d.Max) / 2
}

func squeezeTopics() map[string]func(*said) (answer, error) {
	plainSqueeze := func(s *said) (answer, error) {
		cord, depth := s.cord(), s.depth()
		if s.percent() {
			return one(gland.Squeeze(cord, depth))
		}
		return one(gland.SqueezeDepth(cord, depth))
	}
	span := func(s *said) (answer, error) {
		r, err := gland.WorstCase(s.span(cordNames...), s.depthSpan())
		if s.percent() {
			return s.ends(float64(r.LeastShare), float64(r.GreatestShare), err)
		}
		return s.ends(float64(r.Least), float64(r.Greatest), err)
	}
	depthRange := func(s *said) (answer, error) {
		d := s.depthSpan()
		return s.ends(float64(d.Min), float64(d.Max), nil)
	}
	depth := func(s *said) (answer, error) { return several(nil, float64(s.depth())) }
	standoff := func(s *said) (answer, error) {
		d, err := gland.FaceDepth(s.length("groove depth", "depth", "gland depth"), s.length(gapNames...))
		if err != nil {
			return answer{}, err
		}
		if s.percent() {
			return one(gland.Squeeze(s.cord(), d))
		}
		return one(gland.SqueezeDepth(s.cord(), d))
	}
	return map[string]func(*said) (answer, error){
		"squeeze": plainSqueeze, "squeeze_face": plainSqueeze, "squeeze_radial": plainSqueeze, "squeeze_nominal": plainSqueeze, "squeeze_after_stretch": plainSqueeze,
		"squeeze_range": span, "squeeze_max": span, "squeeze_min": span, "max_squeeze": span, "min_squeeze": span, "squeeze_limits": span,
		"gland_depth_range": depthRange, "gland_depth_min": depthRange, "gland_depth_max": depthRange,
		"gland_depth": depth, "rod_gland_depth": depth, "piston_gland_depth": depth, "face_gland_depth": depth,
		"squeeze_face_with_standoff": standoff, "squeeze_with_standoff": standoff,
	}
}

func stretchTopics() map[string]func(*said) (answer, error) {
	stretch := func(s *said) (answer, error) {
		return one(gland.Stretch(s.length(idNames...), s.length(append(grooveNames, rodNames...)...)))
	}
	// the stretch is written, or follows from ring and groove
	by := func(s *said) unit.Ratio {
		if s.given(unit.RatioDim, "stretch", "id stretch") {
			return s.share("stretch", "id stretch")
		}
		x, err := gland.Stretch(s.length(idNames...), s.length(grooveNames...))
		if err != nil {
			s.missing = append(s.missing, err.Error())
		}
		return x
	}
	after := func(s *said) (answer, error) {
		if s.given(unit.RatioDim, "section loss", "loss") {
			return one(gland.SectionAfterLoss(s.cord(), s.share("section loss", "loss")))
		}
		loss, err := gland.SectionLoss(by(s))
		if err != nil {
			return answer{}, err
		}
		return one(gland.SectionAfterLoss(s.cord(), loss))
	}
	limit := func(s *said) (answer, error) {
		return one(gland.GreatestGroove(s.length(idNames...), s.share("max stretch", "stretch", "stretch limit", "limit")))
	}
	constant := func(s *said) (answer, error) {
		return one(gland.StretchedSection(s.length(idNames...), s.cord(), s.length(grooveNames...)))
	}
	return map[string]func(*said) (answer, error){
		"stretch": stretch, "id_stretch": stretch,
		"section_loss":          func(s *said) (answer, error) { return one(gland.SectionLoss(by(s))) },
		"section_rule_of_thumb": func(s *said) (answer, error) { return one(gland.SectionLossRule(by(s))) },
		"section_after_stretch": after, "section_constant_volume": constant,
		"stretch_limit_groove_dia": limit, "max_groove_dia": limit,
	}
}

func fillTopics() map[string]func(*said) (answer, error) {
	width := []string{"width", "groove width", "gland width", "b"}
	fill := func(s *said) (answer, error) {
		return one(gland.FillArea(s.cord(), s.depth(), s.length(width...)))
	}
	return map[string]func(*said) (answer, error){
		"gland_fill_area": fill, "gland_fill": fill,
		"gland_fill_volume": func(s *said) (answer, error) {
			return one(gland.FillVolume(s.length(idNames...), s.cord(), s.length(grooveNames...), s.length(boreNames...), s.length(width...)))
		},
		"gland_fill_max_material": func(s *said) (answer, error) {
			cord, depth, w := s.span(cordNames...), s.depthSpan(), s.span(width...)
			// what the row gives are the limits themselves, or sizes with their tolerance
			return one(gland.FillMaxMaterial(cord, depth, w))
		},
		"gland_fill_with_swell": func(s *said) (answer, error) {
			swell := s.share("swell", "volume swell")
			f, err := gland.FillArea(s.cord(), s.depth(), s.length(width...))
			if s.given(unit.RatioDim, "fill") {
				f, err = s.share("fill"), nil
			}
			if err != nil {
				return answer{}, err
			}
			return one(gland.FillSwollen(f, swell))
		},
	}
}
