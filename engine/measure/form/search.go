package form

import (
	"container/heap"
	"math"
)

// search looks over the whole hull of the points for the places where a function of the centre
// could be least, by halving squares: a square whose value at its middle cannot come below the best within its
// reach is dropped. value may change by at most slope per length moved. It is given good places
// to start from through best and polish.
//
//	value(c)   the function
//	polish(c)  a nearby local least with its value; false where there is none inside the hull
//
// Squares below stop of the size are polished and not halved further. Of equal results the one
// found first stays, and the order of search is fixed by the points alone.
type search struct {
	hull   []Point
	value  func(Point) float64
	slope  float64
	polish func(Point) (Point, float64, bool)
	stop   float64
}

type square struct {
	at    Point
	half  float64
	bound float64
	value float64
	seq   int
}

type squares []square

func (s squares) Len() int { return len(s) }
func (s squares) Less(i, j int) bool {
	if s[i].bound != s[j].bound {
		return s[i].bound < s[j].bound
	}
	return s[i].seq < s[j].seq
}
func (s squares) Swap(i, j int) { s[i], s[j] = s[j], s[i] }
func (s *squares) Push(x any)   { *s = append(*s, x.(square)) }
func (s *squares) Pop() any {
	old := *s
	x := old[len(old)-1]
	*s = old[:len(old)-1]
	return x
}

// run gives the place of the least value, starting from a first guess. most is the number of
// squares after which it stops all the same, and futile the number of polishings that may lead out of
// the hull: bounds on time for freak sets (a reading in the middle of the part, an open arc), where
// the best place found is given without the proof. Round parts need a few hundred squares.
func (s search) run(start Point, most int) (Point, float64, bool) {
	lo, hi := s.hull[0], s.hull[0]
	for _, p := range s.hull {
		lo = Point{math.Min(lo.X, p.X), math.Min(lo.Y, p.Y)}
		hi = Point{math.Max(hi.X, p.X), math.Max(hi.Y, p.Y)}
	}
	half := math.Max(hi.X-lo.X, hi.Y-lo.Y) / 2
	best, least, found := s.polish(start)
	if !found { // probably an arc: any place inside bounds the search, and it is a short one
		least = math.Inf(1)
		most = min(most, 4000)
	}
	limit := s.stop * half
	queue := &squares{}
	seq, futile := 0, 0
	polish := func(c Point) (Point, float64, bool) {
		if futile >= 300 {
			return c, 0, false
		}
		at, v, ok := s.polish(c)
		if !ok {
			futile++
		}
		return at, v, ok
	}
	add := func(at Point, h float64) {
		reach := h * math.Sqrt2
		if depthInside(s.hull, at) < -reach {
			return
		}
		v := s.value(at)
		if !found && depthInside(s.hull, at) >= 0 {
			least = math.Min(least, v)
		}
		b := v - s.slope*reach
		if b >= least {
			return
		}
		seq++
		heap.Push(queue, square{at, h, b, v, seq})
	}
	add(Point{(lo.X + hi.X) / 2, (lo.Y + hi.Y) / 2}, half)
	for queue.Len() > 0 && seq < most {
		q := heap.Pop(queue).(square)
		if q.bound >= least {
			break
		}
		if q.half <= limit {
			if found && dist(q.at, best) < 30*limit { // the polished place itself
				continue
			}
			if c, v, ok := polish(q.at); ok && (v < least || !found && v <= least+1e-9*math.Abs(least)) {
				best, least, found = c, v, true
			}
			continue
		}
		if q.value < least { // a better valley: go to its bottom at once, for a good bound
			if c, v, ok := polish(q.at); ok && v < least-1e-12*math.Abs(least) {
				best, least, found = c, v, true
			}
		}
		for _, d := range [4]Point{{-1, -1}, {1, -1}, {-1, 1}, {1, 1}} {
			add(Point{q.at.X + d.X*q.half/2, q.at.Y + d.Y*q.half/2}, q.half/2)
		}
	}
	return best, least, found
}
