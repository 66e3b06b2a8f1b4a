package form

import (
	"math"
	"math/rand"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// hardFaces make faces that are nasty to a search (invented data).
var hardFaces = map[string]func(r *rand.Rand) []Height{
	"a grid read to 0.01 mm, full of ties": func(r *rand.Rand) []Height {
		return grid(3, 3, func(x, y float64) float64 { return 1e-5 * float64(r.Intn(6)) })
	},
	"a twisted grid: two corners up and two down": func(r *rand.Rand) []Height {
		return grid(3, 4, func(x, y float64) float64 { return 2e-4*(x-1)*(y-1) + 1e-7*r.Float64() })
	},
	"a dish": func(r *rand.Rand) []Height {
		return grid(3, 3, func(x, y float64) float64 { return 1e-4*((x-1)*(x-1)+(y-1)*(y-1)) + 1e-6*r.Float64() })
	},
	"an exact plane": func(r *rand.Rand) []Height {
		a, b := r.Float64(), r.Float64()
		return grid(3, 3, func(x, y float64) float64 { return 0.01*a*x - 0.02*b*y })
	},
	"a steep exact tilt": func(r *rand.Rand) []Height {
		return grid(3, 3, func(x, y float64) float64 { return 0.02*x - 0.013*y + 1e-5*r.Float64() })
	},
	"a narrow strip": func(r *rand.Rand) []Height {
		return grid(6, 2, func(x, y float64) float64 { return 4e-5*math.Sin(x) + 1e-6*r.Float64() })
	},
	"four corners": func(r *rand.Rand) []Height {
		return grid(2, 2, func(x, y float64) float64 { return 1e-4 * r.Float64() })
	},
	"a ring at the bolts": func(r *rand.Rand) []Height {
		var p []Height
		for i := range 8 {
			a := float64(i) * math.Pi / 4
			p = append(p, Height{0.05 * math.Cos(a), 0.05 * math.Sin(a), 5e-5*math.Cos(2*a) + 1e-5*float64(r.Intn(3))})
		}
		return p
	},
	"points read twice": func(r *rand.Rand) []Height {
		p := grid(2, 2, func(x, y float64) float64 { return 1e-5 * float64(r.Intn(9)) })
		for _, q := range append([]Height(nil), p...) {
			p = append(p, Height{q.X, q.Y, q.Z + 1e-5*float64(r.Intn(3)-1)})
		}
		return p
	},
	"far from the origin": func(r *rand.Rand) []Height {
		p := grid(3, 3, func(x, y float64) float64 { return 1e-5 * r.Float64() })
		for i := range p {
			p[i].X, p[i].Y, p[i].Z = p[i].X+500, p[i].Y-300, p[i].Z+2
		}
		return p
	},
}

// grid has places 40 mm apart; z gets the column and row.
func grid(nx, ny int, z func(x, y float64) float64) []Height {
	var p []Height
	for i := range nx {
		for j := range ny {
			p = append(p, Height{0.04 * float64(i), 0.04 * float64(j), z(float64(i), float64(j))})
		}
	}
	return p
}

// bruteSquare tries the normal of every triple, and of every two pairs of points.
func bruteSquare(p []Height) float64 {
	best := math.Inf(1)
	d := func(a, b Height) Height { return Height{a.X - b.X, a.Y - b.Y, a.Z - b.Z} }
	for i := range p {
		for j := range i {
			for k := range p {
				for l := range k {
					a, b := d(p[i], p[j]), d(p[k], p[l])
					n := Height{a.Y*b.Z - a.Z*b.Y, a.Z*b.X - a.X*b.Z, a.X*b.Y - a.Y*b.X}
					size := math.Sqrt(dot(n, n))
					if size <= 1e-9*math.Sqrt(dot(a, a)*dot(b, b)) || math.Abs(n.Z) < 0.7*size {
						continue
					}
					lo, hi := math.Inf(1), math.Inf(-1)
					for _, q := range p {
						v := dot(d(q, p[0]), n) / size
						lo, hi = math.Min(lo, v), math.Max(hi, v)
					}
					best = math.Min(best, hi-lo)
				}
			}
		}
	}
	return best
}

func TestHardFacesAgreeWithEveryContact(t *testing.T) {
	for name, face := range hardFaces {
		t.Run(name, func(t *testing.T) {
			for seed := range int64(12) {
				p := face(rand.New(rand.NewSource(seed)))
				near := make([]Height, len(p)) // the brute force works beside the first point
				for i, q := range p {
					near[i] = Height{q.X - p[0].X, q.Y - p[0].Y, q.Z - p[0].Z}
				}
				z, err := FlatnessZone(p)
				require.NoError(t, err)
				want := bruteFlat(near)
				assert.InDelta(t, want, float64(z.Flatness), 1e-9*want+1e-13, "seed %d along z", seed)
				sq, err := FlatnessZoneSquare(p)
				require.NoError(t, err)
				want = bruteSquare(near)
				assert.InDelta(t, want, float64(sq), 1e-9*want+1e-13, "seed %d square", seed)
				ls, err := PlaneLeastSquares(p)
				require.NoError(t, err)
				assert.LessOrEqual(t, float64(z.Flatness), float64(ls.Flatness())*(1+1e-12)+1e-15)
			}
		})
	}
}
