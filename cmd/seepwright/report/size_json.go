package report

import (
	"math"

	"seepwright/engine/measure/catalogue"
	"seepwright/engine/measure/ringsize"
	"seepwright/engine/measure/uncertain"
	"seepwright/rules/unit"
)

func num(si float64) catalogue.Num { return catalogue.Num{SI: si} }

// length is a length for a program.
type length struct {
	Value       float64 `json:"value"`
	Unit        string  `json:"unit"`
	Uncertainty float64 `json:"uncertainty,omitempty"`
	Tolerance   float64 `json:"tolerance,omitempty"`
}

func (m Worked) lengthJSON(x, u, tol unit.Length) length {
	v, sym := m.number(float64(x), unit.LengthDim)
	return length{v, sym, m.width(float64(u), unit.LengthDim), m.width(float64(tol), unit.LengthDim)}
}

func (m Worked) dimJSON(d ringsize.Dim) *length {
	if d.At == 0 {
		return nil
	}
	l := m.lengthJSON(d.At, d.U, d.Tol)
	return &l
}

type ringJSON struct {
	Table    string  `json:"table"`
	Name     string  `json:"name"`
	Listed   bool    `json:"listed"`
	Inside   *length `json:"inside,omitempty"`
	Section  length  `json:"section"`
	Source   string  `json:"source"`
	Standing string  `json:"standing"`
	Note     string  `json:"note,omitempty"`
}

func (m Worked) ringJSON(r ringsize.Ring) ringJSON {
	out := ringJSON{Table: r.Table, Name: r.Name, Listed: r.Listed, Section: m.lengthJSON(r.Cord, 0, r.CordTol), Source: r.Source, Standing: r.Standing, Note: r.Note}
	if r.ID > 0 {
		l := m.lengthJSON(r.ID, 0, r.IDTol)
		out.Inside = &l
	}
	return out
}

type settleJSON struct {
	Read string `json:"read"`
	To   length `json:"to"`
}

type apartJSON struct {
	Inside  length       `json:"inside"`
	Section length       `json:"section"`
	Outside length       `json:"outside"`
	Sure    bool         `json:"toldApart"`
	Never   bool         `json:"never"`
	Settles []settleJSON `json:"settles"`
}

type candidateJSON struct {
	ringJSON
	Probability float64    `json:"probability"`
	ByInside    *length    `json:"measuredLessInside,omitempty"`
	BySection   length     `json:"measuredLessSection"`
	New         bool       `json:"withinNewTolerance"`
	Apart       *apartJSON `json:"againstFirst,omitempty"`
}

type readingJSON struct {
	Of      string `json:"of"`
	Reading length `json:"reading"`
	Assumed bool   `json:"uncertaintyAssumed,omitempty"`
}

// JSON is the answer for a program, with every intermediate.
func (f RingFound) JSON() any {
	w := f.Worked
	var list []candidateJSON
	for _, c := range f.Found.Candidates {
		x := candidateJSON{ringJSON: w.ringJSON(c.Ring), Probability: c.Probability, BySection: w.lengthJSON(c.ByCord, 0, 0), New: c.New}
		if c.ID > 0 {
			l := w.lengthJSON(c.ByID, 0, 0)
			x.ByInside = &l
		}
		if a := c.Apart; a != nil {
			x.Apart = &apartJSON{w.lengthJSON(a.ByID, 0, 0), w.lengthJSON(a.ByCord, 0, 0), w.lengthJSON(a.ByOutside, 0, 0), a.Sure, a.Never, []settleJSON{}}
			for _, s := range a.Settles {
				x.Apart.Settles = append(x.Apart.Settles, settleJSON{s.Of.String(), w.lengthJSON(s.U, 0, 0)})
			}
		}
		list = append(list, x)
	}
	var in []readingJSON
	for _, r := range f.Readings {
		x := readingJSON{Of: r.Of.String(), Reading: w.lengthJSON(r.At, r.U, 0)}
		for _, a := range f.Assumed {
			x.Assumed = x.Assumed || a.Of == r.Of
		}
		in = append(in, x)
	}
	return struct {
		Question   string          `json:"question"`
		Verdict    string          `json:"verdict"`
		Sentence   string          `json:"sentence"`
		Readings   []readingJSON   `json:"readings"`
		UsedInside float64         `json:"usedAllowanceInside"`
		UsedCord   float64         `json:"usedAllowanceSection"`
		Inside     length          `json:"inside"`
		Section    length          `json:"section"`
		Candidates []candidateJSON `json:"candidates"`
		Rest       float64         `json:"others"`
		None       float64         `json:"noneOfThese"`
		Outside    string          `json:"outside,omitempty"`
	}{"which ring is this", f.Verdict(), f.Sentence(), in, float64(f.Used.ID), float64(f.Used.Cord), w.lengthJSON(unit.Length(f.Found.ID.X), unit.Length(f.Found.ID.U), 0),
		w.lengthJSON(unit.Length(f.Found.Cord.X), unit.Length(f.Found.Cord.U), 0), list, f.Found.Rest, f.Found.None, f.Found.Outside}
}

type marginJSON struct {
	Of       string   `json:"of"`
	Value    float64  `json:"value"`
	Unit     string   `json:"unit"`
	Least    *float64 `json:"least,omitempty"`
	Greatest *float64 `json:"greatest,omitempty"`
	Margin   float64  `json:"margin"`
}

type fitJSON struct {
	ringJSON
	Score           float64      `json:"score"`
	Depth           length       `json:"glandDepth"`
	Hold            float64      `json:"hold"`
	HoldLeast       float64      `json:"holdLeast"`
	HoldGreatest    float64      `json:"holdGreatest"`
	Loss            float64      `json:"sectionLoss"`
	Fitted          length       `json:"fittedSection"`
	Squeeze         float64      `json:"squeeze"`
	SqueezeLeast    float64      `json:"squeezeLeast"`
	SqueezeGreatest float64      `json:"squeezeGreatest"`
	Fill            float64      `json:"fill,omitempty"`
	FillWorst       float64      `json:"fillWorst,omitempty"`
	Margins         []marginJSON `json:"margins"`
}

func (f GlandFound) fitJSON(x ringsize.Fit) fitJSON {
	w := f.Worked
	out := fitJSON{w.ringJSON(x.Ring), x.Score, w.lengthJSON(x.Depth, 0, 0), float64(x.Hold), float64(x.HoldLeast), float64(x.HoldGreatest), float64(x.Loss), w.lengthJSON(x.Fitted, 0, 0),
		float64(x.Squeeze), float64(x.SqueezeLeast), float64(x.SqueezeGreatest), float64(x.Fill), float64(x.FillWorst), []marginJSON{}}
	for _, m := range x.Margins {
		j := marginJSON{Of: string(m.Of), Value: m.Value, Unit: "1", Margin: m.Margin}
		show := func(x float64) *float64 {
			if math.IsInf(x, 0) {
				return nil
			}
			return &x
		}
		if m.Of == ringsize.LeastSqueeze {
			j.Value, j.Unit = w.number(m.Value, unit.LengthDim)
			m.Least, _ = w.number(m.Least, unit.LengthDim)
		}
		j.Least, j.Greatest = show(m.Least), show(m.Greatest)
		out.Margins = append(out.Margins, j)
	}
	return out
}

type limitJSON struct {
	Of       string   `json:"of"`
	Least    *float64 `json:"least,omitempty"`
	Greatest float64  `json:"greatest"`
	Aim      *float64 `json:"aim,omitempty"`
	Source   string   `json:"source"`
	Standing string   `json:"standing,omitempty"`
}

type recutJSON struct {
	fitJSON
	Groove  *length `json:"groove"`
	Depth   *length `json:"depth,omitempty"`
	Width   *length `json:"width,omitempty"`
	Cutting bool    `json:"cuttingIsEnough"`
}

// JSON is the answer for a program, with every intermediate.
func (f GlandFound) JSON() any {
	w, b := f.Worked, f.Best
	fits := []fitJSON{}
	for _, x := range b.Fits {
		fits = append(fits, f.fitJSON(x))
	}
	limits := []limitJSON{}
	for _, l := range f.Limits {
		if l.Off {
			continue
		}
		j := limitJSON{Of: l.Of, Greatest: float64(l.Limits.Greatest), Source: l.From, Standing: l.Standing}
		if !l.OneSided {
			least, aim := float64(l.Limits.Least), float64(l.Limits.Target())
			j.Least, j.Aim = &least, &aim
		}
		limits = append(limits, j)
	}
	var cut *recutJSON
	if r := b.Recut; r != nil {
		cut = &recutJSON{f.fitJSON(r.Fit), w.dimJSON(r.Groove), w.dimJSON(r.Depth), w.dimJSON(r.Width), r.Cutting}
	}
	var needs *length
	if b.Needs > 0 {
		l := w.lengthJSON(b.Needs, 0, 0)
		needs = &l
	}
	safe := func(v uncertain.Verdict) string {
		return map[uncertain.Verdict]string{uncertain.Conforms: "yes", uncertain.DoesNotConform: "no", uncertain.NotProven: "cannot say"}[v]
	}
	return struct {
		Question string      `json:"question"`
		Verdict  string      `json:"verdict"`
		Sentence string      `json:"sentence"`
		Gland    string      `json:"gland"`
		Groove   *length     `json:"groove"`
		Mate     *length     `json:"mate,omitempty"`
		Depth    *length     `json:"depth,omitempty"`
		Width    *length     `json:"width,omitempty"`
		Suit     int         `json:"sizesThatSuit"`
		Fits     []fitJSON   `json:"fits"`
		Deciding string      `json:"deciding,omitempty"`
		Score    float64     `json:"decidingMargin"`
		ScoreU   float64     `json:"decidingMarginUncertainty"`
		Safe     string      `json:"keepsEveryLimit"`
		Ahead    string      `json:"staysFirst"`
		Critical string      `json:"weighsMost,omitempty"`
		Needs    *length     `json:"wouldSettle,omitempty"`
		Ideal    ringJSON    `json:"idealRing"`
		Outside  string      `json:"outside,omitempty"`
		Recut    *recutJSON  `json:"grooveThatFits,omitempty"`
		Limits   []limitJSON `json:"limits"`
	}{"which ring fits this gland best", f.Verdict(), f.Sentence(), f.Place.Kind.String(), w.dimJSON(f.Place.Groove), w.dimJSON(f.Place.Mate), w.dimJSON(f.Place.Depth), w.dimJSON(f.Place.Width), b.Count, fits,
		string(b.Deciding), b.Score.X, b.Score.U, safe(b.Safe), safe(b.Ahead), b.Critical, needs, w.ringJSON(b.Ideal), b.Outside, cut, limits}
}
