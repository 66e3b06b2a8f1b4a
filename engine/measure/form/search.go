package form

import (
	"container/heap"
	"math"
)

// search looks over the whole hull of the points for the place from which a circle or ring is
// best: the narrowest ring (ring true), or the largest empty circle (ring false, where the value is
// the radius with its sign turned). It halves squares. One is dropped only on proof that it holds
// nothing better:
//
//   - it lies outside the hull, or
//   - by the weights of its contacts the value cannot come below the best found (a distance is a
//     convex function of the centre, its bend is known, and the points that could touch are listed), or
//   - there is a direction in which the value falls all over it, so that it ends nowhere inside.
//
// Places where the value would only be least at the edge of the hull are thereby not answers: a ring
// or circle must be held by its contacts.
type search struct {
	p    []Point
	hull []Point
	ring bool

	best  float64
	at    Point
	found bool
	seq   int
}

// square is a square of centres and the points that can be farthest or nearest from within it.
type square struct {
	at         Point
	half       float64
	far, near  []int32
	bound      float64
	seq        int
	lo, hi     float64
	first, end int32 // the nearest and the farthest
}

const (
	mostSquares  = 100000
	leastSquare  = 1e-9  // of the size: here a square is a point for every purpose
	settledShare = 2e-10 // of the value, and
	settledSize  = 2e-14 // of the size: nothing smaller is looked for
)

type squares []*square

func (s squares) Len() int { return len(s) }
func (s squares) Less(i, j int) bool {
	if s[i].bound != s[j].bound {
		return s[i].bound < s[j].bound
	}
	return s[i].seq < s[j].seq
}
func (s squares) Swap(i, j int) { s[i], s[j] = s[j], s[i] }
func (s *squares) Push(x any)   { *s = append(*s, x.(*square)) }
func (s *squares) Pop() any {
	old := *s
	x := old[len(old)-1]
	*s = old[:len(old)-1]
	return x
}

// run starts from a first guess. found is false where no place inside the hull holds.
func (s *search) run(start Point) (Point, bool) {
	s.best = math.Inf(1)
	s.polish(start)
	lo, hi := s.hull[0], s.hull[0]
	for _, p := range s.hull {
		lo = Point{math.Min(lo.X, p.X), math.Min(lo.Y, p.Y)}
		hi = Point{math.Max(hi.X, p.X), math.Max(hi.Y, p.Y)}
	}
	all := distinct(s.p)
	queue := &squares{}
	s.add(queue, Point{(lo.X + hi.X) / 2, (lo.Y + hi.Y) / 2}, math.Max(hi.X-lo.X, hi.Y-lo.Y)/2, all, all)
	for queue.Len() > 0 && s.seq < mostSquares {
		q := heap.Pop(queue).(*square)
		if q.bound >= s.enough() || len(q.far)+len(q.near) < s.contacts() || s.hopeless(q) || q.half < leastSquare {
			continue
		}
		for _, d := range [4]Point{{-1, -1}, {1, -1}, {-1, 1}, {1, 1}} {
			s.add(queue, Point{q.at.X + d.X*q.half/2, q.at.Y + d.Y*q.half/2}, q.half/2, q.far, q.near)
		}
	}
	return s.at, s.found
}

// enough is the value above which nothing is looked for.
func (s *search) enough() float64 {
	if math.IsInf(s.best, 1) {
		return s.best
	}
	return s.best - settledShare*math.Abs(s.best) - settledSize
}

// contacts is the least number of different contacts that hold a ring (with fewer, a way across
// the line of two contacts leads on) or a circle.
func (s *search) contacts() int {
	if s.ring {
		return 4
	}
	return 3
}

// distinct lists the points without repetitions.
func distinct(p []Point) []int32 {
	seen := make(map[Point]bool, len(p))
	var out []int32
	for i, q := range p {
		if !seen[q] {
			seen[q] = true
			out = append(out, int32(i))
		}
	}
	return out
}

// polish goes from a place to the bottom of its valley and keeps it if it is inside and better.
func (s *search) polish(c Point) {
	var at Point
	var v float64
	var ok bool
	if s.ring {
		var z valley
		z, ok = zoneNear(s.p, c)
		at, v = z.at, z.hi-z.lo
	} else {
		at, ok = emptyNear(s.p, c)
		lo, _ := spread(s.p, at)
		v = -lo
	}
	if ok && v < s.best && depthInside(s.hull, at) >= 0 {
		s.best, s.at, s.found = v, at, true
	}
}

// add lists the points that matter in a square and queues it unless it is dropped at first sight.
func (s *search) add(queue *squares, at Point, half float64, far, near []int32) {
	reach := half * math.Sqrt2
	if depthInside(s.hull, at) < -reach {
		return
	}
	q := &square{at: at, half: half, lo: math.Inf(1), seq: s.seq}
	s.seq++
	dist2 := func(i int32) float64 {
		x, y := s.p[i].X-at.X, s.p[i].Y-at.Y
		return x*x + y*y
	}
	for _, i := range near {
		if d := dist2(i); d < q.lo {
			q.lo, q.first = d, i
		}
	}
	for _, i := range far {
		if d := dist2(i); d > q.hi {
			q.hi, q.end = d, i
		}
	}
	q.lo, q.hi = math.Sqrt(q.lo), math.Sqrt(q.hi)
	v, turn := -q.lo, s.slope(at, q.first)
	turn = Point{-turn.X, -turn.Y}
	if s.ring {
		g := s.slope(at, q.end)
		v, turn = q.hi-q.lo, Point{g.X + turn.X, g.Y + turn.Y}
	}
	q.bound = v - half*(math.Abs(turn.X)+math.Abs(turn.Y)) - bend(q.lo, reach)
	if q.lo < 2*reach { // too near a reading for its bend to be known
		q.bound = v - reach
		if s.ring {
			q.bound -= reach
		}
	}
	if q.bound >= s.enough() {
		return
	}
	limit := (q.lo + 2*reach) * (q.lo + 2*reach)
	for _, i := range near {
		if dist2(i) <= limit*(1+1e-12) {
			q.near = append(q.near, i)
		}
	}
	if s.ring {
		limit = math.Max(0, q.hi-2*reach)
		limit *= limit
		for _, i := range far {
			if dist2(i) >= limit*(1-1e-12) {
				q.far = append(q.far, i)
			}
		}
	}
	heap.Push(queue, q)
}

// slope is the way in which the distance of a point grows, seen from a centre.
func (s *search) slope(at Point, i int32) Point {
	x, y := at.X-s.p[i].X, at.Y-s.p[i].Y
	d := math.Hypot(x, y)
	if d == 0 {
		return Point{}
	}
	return Point{x / d, y / d}
}

// bend is the most by which a distance d exceeds its straight continuation within reach.
func bend(d, reach float64) float64 { return reach * reach / (2 * (d - reach)) }

// hopeless tries to prove, with the contacts of the straightened problem, that a square holds no
// better place; where it promises one instead, the place is looked for.
func (s *search) hopeless(q *square) bool {
	reach := q.half * math.Sqrt2
	if q.lo < 2*reach {
		return false
	}
	turned := reach / (q.lo - reach) // the most by which a slope turns inside the square
	if s.ring {
		turned += reach / math.Max(q.hi-reach, q.lo)
	}
	if s.falls(q, s.apart(q), turned) {
		return true
	}
	if len(q.far)+len(q.near) > 400 && reach > 1e-3 { // too coarse to be worth its time
		return false
	}
	c, ok := s.straightened(q)
	if s.falls(q, c.step, turned) {
		return true
	}
	if !ok {
		return false
	}
	if c.bound(q, reach) >= s.enough() {
		return true
	}
	if math.Hypot(c.step.X, c.step.Y) < 3*reach && c.value < s.enough() {
		s.polish(q.at)
		return c.bound(q, reach) >= s.enough()
	}
	return false
}

// apart is the direction from the mean slope of the far points to that of the near ones.
func (s *search) apart(q *square) Point {
	var d Point
	for _, i := range q.near {
		g := s.slope(q.at, i)
		d.X, d.Y = d.X+g.X/float64(len(q.near)), d.Y+g.Y/float64(len(q.near))
	}
	for _, i := range q.far {
		g := s.slope(q.at, i)
		d.X, d.Y = d.X-g.X/float64(len(q.far)), d.Y-g.Y/float64(len(q.far))
	}
	return d
}

// falls says whether along a direction every near distance grows faster than every far one, all
// over the square.
func (s *search) falls(q *square, along Point, turned float64) bool {
	l := math.Hypot(along.X, along.Y)
	if l == 0 {
		return false
	}
	least, most := math.Inf(1), math.Inf(-1)
	for _, i := range q.near {
		g := s.slope(q.at, i)
		least = math.Min(least, (g.X*along.X+g.Y*along.Y)/l)
	}
	if !s.ring {
		return least > turned+1e-12
	}
	for _, i := range q.far {
		g := s.slope(q.at, i)
		most = math.Max(most, (g.X*along.X+g.Y*along.Y)/l)
	}
	return least-most > turned+1e-12
}
