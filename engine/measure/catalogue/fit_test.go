package catalogue

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func run(t *testing.T, name string, num map[string]float64, text map[string]string) Out {
	t.Helper()
	c, ok := ByName(name)
	require.True(t, ok, name)
	in := In{Num: map[string]Num{}, Text: text, Tables: builtIn{}}
	for k, v := range num {
		in.Num[k] = Num{SI: v}
	}
	out, err := c.Run(in)
	require.NoError(t, err)
	return out
}

// ASME B1.20.1: 1/2 NPT goes in 4.5 turns by hand (0.320 in at 14 threads), three more with the wrench.
func TestATaperThreadIsThatOfItsStandard(t *testing.T) {
	o := run(t, "taper-thread", map[string]float64{"turns-made": 3}, map[string]string{"thread": "npt-1/2"})
	assert.InDelta(t, 8.13e-3, o.Num["hand-tight-length"].SI, 1e-9)
	assert.InDelta(t, 3*25.4e-3/14, o.Num["travel"].SI, 2e-6)
	assert.Equal(t, OK, o.Verdict)
	o = run(t, "taper-thread", map[string]float64{"turns-made": 5, "thread-length": 0.014}, map[string]string{"thread": "npt-1/2"})
	assert.Equal(t, TooLarge, o.Verdict)
}

// Technical manual to EN 1254-2: 15 mm half-hard copper takes 1.25 turns or 30 N m.
func TestAnOliveTakesTheTurnsOfItsManual(t *testing.T) {
	o := run(t, "olive-turns", map[string]float64{"tube-diameter": 0.015}, map[string]string{"tube": "copper-half-hard"})
	assert.InDelta(t, 1.25, o.Num["least-turns"].SI, 1e-12)
	assert.InDelta(t, 30, o.Num["torque"].SI, 1e-12)
	c, _ := ByName("olive-turns")
	_, err := c.Run(In{Num: map[string]Num{"tube-diameter": {SI: 0.075}}, Text: map[string]string{"tube": "copper-half-hard"}, Tables: builtIn{}})
	assert.ErrorContains(t, err, "54 mm", "outside the table is an answer of its own")
}

// Engine sheet: band of 12 mm 4.5 N m on a new hose, 3.0 on one that was clamped before.
func TestAClampTakesLessOnAUsedHose(t *testing.T) {
	assert.InDelta(t, 4.5, run(t, "clamp-torque", map[string]float64{"band-width": 0.012}, map[string]string{"clamp": "worm"}).Num["torque"].SI, 1e-12)
	assert.InDelta(t, 3.0, run(t, "clamp-torque", map[string]float64{"band-width": 0.012}, map[string]string{"clamp": "worm", "hose": "used"}).Num["torque"].SI, 1e-12)
}

// Seal makers' sheets: finish 0.2 to 0.8 um, run-out 0.13 mm, offset 0.08 mm, both together 0.20 mm.
func TestAShaftIsJudgedByTheSheetsOfItsSeal(t *testing.T) {
	o := run(t, "shaft-seal", map[string]float64{"shaft-diameter": 0.04, "speed": 150, "roughness": 0.15e-6}, nil)
	assert.Equal(t, TooSmall, o.Verdict, "too smooth: the oil film fails")
	o = run(t, "shaft-seal", map[string]float64{"shaft-diameter": 0.04, "speed": 150, "run-out": 0.12e-3, "dial-round-bore": 0.16e-3 * 1.0001}, nil)
	assert.Equal(t, TooLarge, o.Verdict)
}

// API 682: 5.6 g/h, about two drops a minute.
func TestTwoDropsAMinuteAreTheLimitOfAFaceSeal(t *testing.T) {
	assert.Equal(t, OK, run(t, "face-seal-leak", map[string]float64{"drops": 18, "time": 600}, nil).Verdict)
	assert.Equal(t, TooLarge, run(t, "face-seal-leak", map[string]float64{"drops": 20, "time": 600}, nil).Verdict)
}

// Force balance, and the trade rule of twice the pressure: 113 N for every bar at 38 mm; twice the pressure, two screws, so 113 N each at 1 bar.
func TestARetainerIsAskedForTwiceThePressure(t *testing.T) {
	o := run(t, "plug-in-retainer", map[string]float64{"diameter": 0.038, "pressure": 1e5}, map[string]string{"retainer": "plate-screws"})
	assert.InDelta(t, 113.4, o.Num["thrust"].SI, 0.1)
	assert.InDelta(t, 113.4, o.Num["each-needs"].SI, 0.1)
	c, _ := ByName("plug-in-retainer")
	_, err := c.Run(In{Num: map[string]Num{"diameter": {SI: 0.038}, "pressure": {SI: 1e5}}, Text: map[string]string{"retainer": "ring-friction"}, Tables: builtIn{}})
	assert.ErrorContains(t, err, "never counted")
}

// Rigid vessel, water at 20 C: 4.5 bar a kelvin (definition, university water-structure data).
func TestLockedWaterRisesByFourAndAHalfBarAKelvin(t *testing.T) {
	o := run(t, "locked-liquid", map[string]float64{"temperature": 19.5, "rise": 1}, map[string]string{"fluid": "water"})
	assert.InDelta(t, 4.5e5, o.Num["per-kelvin"].SI, 0.05e5)
}

// A vee of 90 degrees doubles three lobes and is blind to seven (ISO 4292 values).
func TestAVeeSeesThreeLobesTwiceAndSevenNotAtAll(t *testing.T) {
	o := run(t, "vee-roundness", map[string]float64{"range": 0.04e-3, "lobes": 3}, nil)
	assert.InDelta(t, 0.02e-3, o.Num["roundness"].SI, 1e-12)
	assert.Contains(t, o.Text["blind-to"], "7")
	c, _ := ByName("vee-roundness")
	_, err := c.Run(In{Num: map[string]Num{"range": {SI: 1e-5}, "lobes": {SI: 7}}})
	assert.ErrorContains(t, err, "blind")
}

// The leak of one litre an hour fills ten litres in ten hours; a leak that is pumped out never does.
func TestTimeToTheLimitIsVolumeOverWhatIsLeft(t *testing.T) {
	q := 1e-3 / 3600
	o := run(t, "time-to-limit", map[string]float64{"flow": q, "margin": 10e-3, "spread": 1}, nil)
	assert.InDelta(t, 36000, o.Num["time"].SI, 1e-6)
	o = run(t, "time-to-limit", map[string]float64{"flow": q, "margin": 10e-3, "spread": 1, "taken": 2 * q}, nil)
	_, ends := o.Num["time"]
	assert.False(t, ends)
	assert.Contains(t, o.Sentence, "never reached")
}

// Leak-testing page: 4.0 mL/min of air at 1 bar corresponds to 0.07 mL/min of water at 20 C by viscosity alone; with the
// expansion of the gas counted it is 2/3 of it.
func TestWaterFromAirCountsTheExpansionOfTheGas(t *testing.T) {
	o := run(t, "air-to-liquid", map[string]float64{"air-leak": 4e-6 / 60, "test-pressure": 1e5, "pressure": 1e5, "temperature": 20}, map[string]string{"fluid": "water"})
	byViscosity := 4.0 * 0.01813 / 1.0016
	assert.InDelta(t, byViscosity*2*101325*1e5/((201325*201325.0)-(101325*101325.0)), o.Num["liquid-leak"].SI*60e6, 1e-6)
}

// Mechanics' notes (from memory): a soft crush washer takes a quarter turn after contact.
func TestACrushWasherTakesAQuarterTurn(t *testing.T) {
	o := run(t, "sealing-washer", map[string]float64{"washer-bore": 0.0143, "thread-outside": 0.0139}, nil)
	assert.InDelta(t, 0.25, o.Num["crush-turn"].SI, 1e-12)
	assert.Equal(t, OK, o.Verdict)
}
