package picture

import (
	"fmt"
	"math"
)

type drawing interface{ Draw() (Picture, error) }

// examples are the pictures of the invented pumphouse, one or more of each kind. All their data is invented.
func examples() map[string]drawing {
	bore := []Polar{}
	for i := range 24 {
		a := float64(i) * 15
		bore = append(bore, Polar{a, 0.055*math.Cos(2*(a-75)*math.Pi/180) + 0.006*math.Sin(5*a*math.Pi/180)})
	}
	grid := []Spot{}
	for y := -1; y <= 1; y++ {
		for x := -2; x <= 2; x++ {
			grid = append(grid, Spot{float64(x) * 45, float64(y) * 40, 0.02 + 0.03*float64(x*x)/4 + 0.01*float64(y) + 0.005*float64((x+3)*(y+2)%3), ""})
		}
	}
	return map[string]drawing{
		"gland-two": Gland{About: About{Key: "water-in", Of: "water pipe in (plug-in)"}, Inner: "pipe end", Outer: "bore", Width: 4.78, Least: 0.10, Most: 0.30, Sections: []GlandSection{
			{"least squeeze", 3.43, 2.87, 0.10}, {"greatest squeeze", 3.63, 2.77, 0.05}}, Notes: []string{"Stretched on its groove the ring is squeezed 12 to 22 %."}},
		"gland-open":     Gland{About: About{Of: "drain plug", Inch: true}, Inner: "plug", Outer: "bore", Least: 0.10, Sections: []GlandSection{{"as measured", 3.53, 3.70, 0.30}}},
		"gland-tight":    Gland{About: About{Of: "filter head"}, Inner: "head", Outer: "cover", Width: 3.6, Most: 0.3, Sections: []GlandSection{{"as measured", 3.53, 2.40, 0}}},
		"roundness-bore": Roundness{About: About{Key: "water-in", Of: "bore of the water pipe in"}, Profile: bore, Radius: 19.05, Zone: 0.119, Allowed: 0.10, Clock: true, Lost: &Lost{Off: 0.03, Limit: "10 %"}},
		"roundness-dial": Roundness{About: About{Of: "pipe end"}, Profile: []Polar{{0, 0.02}, {60, -0.02}, {120, 0.02}, {180, -0.02}, {240, 0.02}, {300, -0.02}}, Zone: 0.04, Lost: &Lost{Off: -0.2, Inward: true, Limit: "8 %"}},
		"roundness-true": Roundness{Profile: []Polar{{0, 0}, {120, 0}, {240, 0}}, Radius: 20},
		"flatness-pad": Flatness{About: About{Key: "pad", Of: "cooler pad on the filter head"}, Flat: 0.08, Allowed: 0.05, Outer: 132, Inner: 104, Spots: clockSpots([]float64{0.03, 0.07, 0.04, 0, 0.03, 0.08, 0.04, 0.01}, 118),
			Holes: []Hole{{22.6, 54.5, 9}, {54.5, -22.6, 9}, {-22.6, -54.5, 9}, {-54.5, 22.6, 9}}},
		"flatness-cover": Flatness{About: About{Of: "long cover"}, Flat: 0.06, Spots: grid, Holes: []Hole{{-95, 45, 7}, {-32, 45, 7}, {32, 45, 7}, {95, 45, 7}, {-95, -45, 7}, {-32, -45, 7}, {32, -45, 7}, {95, -45, 7}}},
		"bolts-round": Bolts{About: About{Key: "pad", Of: "cooler pad on the filter head"}, Count: 8, Circle: 140, Head: 13, Order: []int{1, 5, 3, 7, 2, 6, 4, 8}, Then: "round the circle at 100 % until no bolt moves.",
			Passes: []Pass{{"first round", 0.3, "5.4 N m"}, {"second round", 0.6, "10.8 N m"}, {"third round", 1, "18 N m"}}},
		"bolts-many":    Bolts{About: About{Of: "end cover"}, Count: 32, Order: crossed(32), Passes: []Pass{{"first round", 0.3, ""}, {"second round", 0.6, ""}, {"third round", 1, ""}}},
		"bolts-cover":   Bolts{About: About{Of: "long cover"}, Head: 10, Places: []Place{{-95, 45}, {-32, 45}, {32, 45}, {95, 45}, {95, -45}, {32, -45}, {-32, -45}, {-95, -45}}, Order: []int{2, 6, 7, 3, 1, 5, 8, 4}},
		"stress-round":  Stress{About: About{Key: "pad", Of: "cooler pad on the filter head"}, Points: waves(8, 22, 9), Bolts: []float64{0, 45, 90, 135, 180, 225, 270, 315, 360}, Round: true, Spread: 0.3, Least: 10, Most: 60},
		"stress-even":   Stress{About: About{Of: "end cover", Inch: true}, Points: []StressAt{{0, 31}, {360, 31}}, Bolts: []float64{0, 60, 120, 180, 240, 300, 360}, Round: true, Spread: 0.25, Least: 35, Most: 200},
		"stress-lifted": Stress{About: About{Of: "thin cover"}, Points: []StressAt{{0, 40}, {10, 22}, {20, 8}, {35, -3}, {50, 8}, {60, 22}, {70, 40}}, Bolts: []float64{0, 70}, Notes: []string{"The gasket lifts midway: a thicker cover, or bolts nearer to each other."}},
		"hose-end": Hose{About: About{Key: "hose-in", Of: "hose from the strainer"}, Spigot: 38, Bead: 41.6, Bore: 37.5, Wall: 5, PushOn: 24, ClampToBead: ptr(3), ClampToEnd: ptr(8), Band: 13,
			Notes: []string{"Bead 1.8 mm high: at least 1.5 mm, kept."}},
		"hose-few":  Hose{About: About{Of: "drain hose", Inch: true}, Spigot: 19, ClampToEnd: ptr(-2)},
		"hose-bead": Hose{About: About{Of: "hose to the canal"}, Spigot: 60, Bead: 63, Bore: 61, ClampToBead: ptr(-2), Band: 12, PushOn: 40},
		"where-unit": Where{About: About{Of: "oil cooler of the lift pump, upper pumphouse"}, Joints: []WetJoint{
			{ID: "water-in", Title: "water pipe in (plug-in)", State: Wet, Odds: "about 9 in 10", Share: 0.9},
			{ID: "water-out", Title: "water pipe out (plug-in)", State: Dry, Odds: "less than 1 in 100", Share: 0.004},
			{ID: "front-cap", Title: "front end cap", State: Wet, Odds: "about 2 in 10", Share: 0.2, Above: []string{"water-in"}},
			{ID: "back-cap", Title: "back end cap", State: Dry, Odds: "less than 1 in 100", Share: 0.002},
			{ID: "pad", Title: "cooler pad on the filter head", State: Wet, Odds: "about 1 in 10", Share: 0.1, Above: []string{"water-in", "front-cap"}},
			{ID: "hose-in", Title: "hose from the strainer", State: Dry, Share: 0.002},
			{ID: "hose-out", Title: "hose to the canal", State: Unknown, Odds: "about 1 in 20", Share: 0.05, Above: []string{"pad"}, BlownFrom: []string{"front-cap"}},
			{ID: "drain-hose", Title: "drain hose", State: Dry, Above: []string{"back-cap"}}}},
		"where-one": Where{Joints: []WetJoint{{ID: "joint", Title: "the joint", State: Wet, Odds: "almost certain", Share: 0.99}}},
		"ranking": Ranking{About: About{Of: "oil cooler of the lift pump"}, Rest: "26 more causes, none above 3 %.", Causes: []Chance{
			{"spigot out of round or off centre, so that the ring is squeezed less on one side", "water pipe in (plug-in)", "about 6 in 10", 0.58, 0.08, 0, 0},
			{"ring of the wrong section", "water pipe in (plug-in)", "about 2 in 10", 0.21, 0.11, 0.15, 0.3},
			{"ring cut at fitting", "water pipe in (plug-in)", "about 1 in 20", 0.05, 0.17, 0, 0}}},
		"minutes-days": Minutes{About: About{Of: "oil cooler of the lift pump"}, Parts: []PartTime{{"Strip down", 45, 0}, {"Put together", 47, 1440}, {"Prove it dry", 210, 11520}}},
		"minutes": Minutes{About: About{Of: "oil cooler of the lift pump"}, Parts: []PartTime{{"before you start", 10, 0}, {"try first", 12, 60}, {"strip down", 45, 0}, {"measure and decide", 22, 0}, {"put back together", 60, 30}, {"retest", 35, 240}},
			Notes: []string{"Expected over what may be found: a part that may not be needed counts by its chance."}},
	}
}

func clockSpots(high []float64, circle float64) []Spot {
	var out []Spot
	for i, h := range high {
		s, c := math.Sincos(2 * math.Pi * float64(i) / float64(len(high)))
		out = append(out, Spot{circle / 2 * s, circle / 2 * c, h, fmt.Sprintf("%d:%02d", (i*12/len(high)+11)%12+1, i*720/len(high)%60)})
	}
	return out
}

func ptr(x float64) *float64 { return &x }

// crossed is an order for n bolts, each next opposite the last.
func crossed(n int) []int {
	var out []int
	for i := range n / 2 {
		out = append(out, i+1, i+1+n/2)
	}
	return out
}

// waves is a pressure round n bolts, high at each and low between.
func waves(n int, high, low float64) []StressAt {
	var out []StressAt
	for d := 0.0; d <= 360; d += 3 {
		out = append(out, StressAt{d, (high+low)/2 + (high-low)/2*math.Cos(float64(n)*d*math.Pi/180)})
	}
	return out
}
