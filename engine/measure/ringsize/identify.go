package ringsize

import (
	"cmp"
	"math"
	"slices"

	"seepwright/engine/measure/refuse"
	"seepwright/engine/measure/uncertain"
	"seepwright/rules/unit"
)

// Used is how far a ring that has run may have grown, shrunk or flattened, as shares of the nominal size, about
// 95 % of rings within. A new ring has none.
type Used struct{ ID, Cord unit.Ratio }

// Worn is the allowance for a used ring of unknown history: the inside diameter within 3 %, the section within 6 %.
// Source: estimate from permitted swell (15 to 30 % by volume are 5 to 9 % in length for the worst rings), set of
// the section and lasting stretch; standing: estimate.
func Worn() Used { return Used{ID: 0.03, Cord: 0.06} }

// Weights of the candidates before anything is measured, in rings of a table; estimates, kept in one place.
const (
	wholeWeight = 0.5  // a metric size in whole millimetres
	halfWeight  = 0.25 // a metric size in half millimetres
	anyWeight   = 25   // all rings together of a section whose inside diameters no table here lists
	otherWeight = 20   // all special rings together
	spread      = 0.2  // width of the flat laws below, as a share of the size
	leastChance = 1e-9 // a chance below this is given as none
)

// The sizes over which rings of unknown size are spread evenly on a logarithmic scale.
var (
	lnIDs   = math.Log(700 / 0.7)
	lnCords = math.Log(10 / 0.5)
)

// Candidate is a ring with the chance that it is the measured one.
type Candidate struct {
	Ring
	Probability  float64
	ByID, ByCord unit.Length // measured less nominal
	New          bool        // the measured sizes lie within the tolerances of a new ring
	Apart        *Apart      // how it differs from the first candidate; nil for the first itself
}

// Found is the answer to "which ring is this".
type Found struct {
	ID, Cord   uncertain.Value // what the readings give by themselves
	Candidates []Candidate     // most likely first, two at least
	Rest       float64         // chance of all candidates that are not listed, each unlikely by itself
	None       float64         // chance that it is none of these: a special ring, or a series that is not searched
	Outside    string          // in words, when the measured sizes lie beyond every table
}

// Identify ranks the standard rings that a measured ring may be.
//
//	P(ring) ~ w N(y; A x, A diag(T/2)^2 A' + diag(U/2)^2)
//
// y the readings, x the nominal inside diameter and section, T their tolerances (and the allowance for use, in
// quadrature) taken as two standard deviations, U the uncertainty of the readings (k = 2), A what each reading
// sees of the two (Quantity), w the weight before measuring. Metric sizes in round millimetres are candidates of
// their own, a section without listed diameters stands for all its rings, and a special ring lies anywhere. Ties
// keep the order of the tables. Readings that do not give both diameter and section are refused, as are sizes
// that are not finite and above 0. Source: Bayes' rule with normal laws (JCGM 101, 6.4.7 for the law); standing:
// common practice, the weights and the allowance for use are estimates.
func Identify(sizes Sizes, readings []Reading, used Used) (Found, error) {
	if err := refuse.First(sizes.check(), refuse.Within("the allowance for the inside diameter", float64(used.ID), 0, 0.3, "give the growth or shrinkage of a used ring as a share"),
		refuse.Within("the allowance for the section", float64(used.Cord), 0, 0.3, "give the growth or shrinkage of a used ring as a share")); err != nil {
		return Found{}, err
	}
	id, cord, err := Free(readings)
	if err != nil {
		return Found{}, err
	}
	f := Found{ID: id, Cord: cord, Outside: sizes.beyond(id, cord, used)}
	other := otherWeight * square(spread*math.Sqrt(2*math.Pi)) / (lnIDs * lnCords)
	logs := []float64{math.Log(other) + logLikely(flat(id.X, cord.X, true, used, Ring{}), readings)}
	rings := sizes.near(id, cord, used)
	for _, r := range rings {
		logs = append(logs, math.Log(weight(r))+logLikely(flat(id.X, cord.X, false, used, r), readings))
	}
	p := shares(logs)
	f.None = p[0]
	f.list(rings, p[1:], logs[1:])
	for i := range f.Candidates[1:] {
		a := Compare(f.Candidates[0].Ring, f.Candidates[i+1].Ring, readings, used)
		f.Candidates[i+1].Apart = &a
	}
	return f, nil
}

// weight is what a ring counts before anything is measured, in rings of a table.
func weight(r Ring) float64 {
	switch {
	case r.anyID() && r.To > r.From && r.From > 0 && r.Count > 0:
		return r.Count * spread * math.Sqrt(2*math.Pi) / math.Log(float64(r.To/r.From))
	case r.anyID():
		return anyWeight * spread * math.Sqrt(2*math.Pi) / lnIDs
	case r.Listed:
		return 1
	case whole(r.ID):
		return wholeWeight
	}
	return halfWeight
}

// shown is how many candidates are handed over at most, likely is the chance below which none need be.
const (
	shown  = 8
	likely = 0.005
)

// list keeps the candidates with a chance, most likely first, two with a known inside diameter at least.
func (f *Found) list(rings []Ring, p, logs []float64) {
	order := make([]int, len(rings))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(logs[b], logs[a]) })
	sized := 0
	for _, i := range order {
		r := rings[i]
		if len(f.Candidates) >= shown || p[i] < likely && (sized >= 2 || r.anyID()) {
			f.Rest += p[i]
			continue
		}
		c := Candidate{Ring: r, Probability: p[i], ByCord: unit.Length(f.Cord.X) - r.Cord}
		if c.Probability < leastChance {
			c.Probability = 0
		}
		if !r.anyID() {
			sized++
			c.ByID = unit.Length(f.ID.X) - r.ID
		}
		c.New = within(c.ByID, r.IDTol) && within(c.ByCord, r.CordTol)
		f.Candidates = append(f.Candidates, c)
	}
}

// within compares to a nanometre, so that a size on the limit counts as within.
func within(by, tol unit.Length) bool { return math.Abs(float64(by)) <= float64(tol)+1e-9 }

// near lists the rings worth a look: those of the tables, and the metric sizes within reach of the readings.
func (s Sizes) near(id, cord uncertain.Value, used Used) []Ring {
	reach := unit.Length(math.Max(1.5e-3, 2.5*math.Hypot(id.U, float64(used.ID)*id.X)+0.02*id.X))
	nearest := math.Inf(1)
	wide := math.Max(0.6e-3, 2.5*math.Hypot(cord.U, float64(used.Cord)*cord.X))
	for _, g := range s.Metric { // the nearest section at least, so that a ring far from all has its neighbour
		if _, ok := s.sectionTol(g.Cord); ok {
			nearest = math.Min(nearest, math.Abs(float64(g.Cord)-cord.X))
		}
	}
	if !math.IsInf(nearest, 1) {
		wide = math.Max(wide, nearest*(1+1e-9))
	}
	listed := slices.DeleteFunc(slices.Clone(s.Rings), func(r Ring) bool { // a span of unknown sizes that lies elsewhere
		return r.anyID() && r.To > 0 && (unit.Length(id.X) < r.From-reach || unit.Length(id.X) > r.To+reach)
	})
	return append(listed, s.metric(func(c unit.Length) (lo, hi unit.Length, ok bool) {
		return unit.Length(id.X) - reach, unit.Length(id.X) + reach, math.Abs(float64(c)-cord.X) <= wide
	})...)
}

// beyond says in words where a measured ring lies outside everything that is searched.
func (s Sizes) beyond(id, cord uncertain.Value, used Used) string {
	r := s.Reach()
	slackID, slackCord := unit.Length(id.U+float64(used.ID)*id.X+0.02*id.X), unit.Length(cord.U+float64(used.Cord)*cord.X+0.15e-3)
	switch x, c := unit.Length(id.X), unit.Length(cord.X); {
	case c < r.CordFrom-slackCord:
		return "the section lies below the thinnest of every table, " + mm(r.CordFrom) + " mm"
	case c > r.CordTo+slackCord:
		return "the section lies above the thickest of every table, " + mm(r.CordTo) + " mm"
	case x < r.IDFrom-slackID:
		return "the inside diameter lies below the smallest of every table, " + mm(r.IDFrom) + " mm"
	case x > r.IDTo+slackID:
		return "the inside diameter lies above the largest of every table, " + mm(r.IDTo) + " mm"
	}
	return ""
}

func whole(l unit.Length) bool {
	return math.Abs(l.Millimetres()-math.Round(l.Millimetres())) < 1e-6
}

func square(x float64) float64 { return x * x }

// flat is what is believed of inside diameter and section before measuring: of a ring of a table; of one whose
// inside diameter is open; of a special ring, where both are.
func flat(id, cord float64, special bool, used Used, r Ring) belief {
	b := belief{m: [2]float64{float64(r.ID), float64(r.Cord)}}
	b.p[0] = square(float64(r.IDTol)/2) + square(float64(used.ID)*b.m[0]/2)
	b.p[2] = square(float64(r.CordTol)/2) + square(float64(used.Cord)*b.m[1]/2)
	if special || r.anyID() {
		b.m[0], b.p[0] = id, square(spread*id)
	}
	if special {
		b.m[1], b.p[2] = cord, square(spread*cord)
	}
	return b
}

func logLikely(b belief, readings []Reading) float64 {
	sum := 0.0
	for _, r := range readings {
		d2, v := b.see(r)
		sum -= 0.5*d2 + 0.5*math.Log(2*math.Pi*v)
	}
	return sum
}

// shares turns logarithms into probabilities that add up to 1.
func shares(logs []float64) []float64 {
	top := slices.Max(logs)
	out, sum := make([]float64, len(logs)), 0.0
	for i, l := range logs {
		out[i] = math.Exp(l - top)
		sum += out[i]
	}
	for i := range out {
		out[i] /= sum
	}
	return out
}
