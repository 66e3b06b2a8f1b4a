package catalogue

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Water cover of the worked rows: G 200 mm, b 5 mm, m 1.0, y 200 psi, 0.30 MPa: 9425, 1885, 11310 and 4332 N.
func TestTheWaterCoverCarriesWhatAppendixTwoSays(t *testing.T) {
	ring := map[string]string{"gasket-outer": "210 mm", "gasket-inner": "190 mm", "factors": "rubber-hard", "pressure": "0.30 MPa", "total-load": "20 kN"}
	out := answered(t, "gasket-service", ring)
	assert.InDelta(t, 9425, out.Num["end-force"].SI, 1)
	assert.InDelta(t, 1885, out.Num["contact-load"].SI, 1)
	assert.InDelta(t, 11310, out.Num["operating-load"].SI, 1)
	assert.InDelta(t, 4332, out.Num["seating-load"].SI, 10, "the table rounds y to 1.38 MPa")
	assert.Equal(t, "the pressure decides", out.Text["governs"])
	assert.InDelta(t, 0.30e6*20000/11310, out.Num["greatest-pressure"].SI, 100)
	assert.Equal(t, OK, out.Verdict)

	ring["total-load"] = "9 kN"
	out = answered(t, "gasket-service", ring)
	assert.Equal(t, TooSmall, out.Verdict)
	assert.NotContains(t, out.Num, "stress-left")
	assert.Contains(t, out.Notes[len(out.Notes)-1], "lifts the cover")
	_, err := asked(t, "gasket-service", map[string]string{"gasket-outer": "210 mm", "gasket-inner": "190 mm", "factors": "ptfe", "pressure": "3 bar"})
	assert.ErrorContains(t, err, "not in the table")
	_, err = asked(t, "gasket-service", map[string]string{"gasket-outer": "210 mm", "gasket-inner": "190 mm", "pressure": "3 bar"})
	assert.ErrorContains(t, err, "factors=paper")
}

// Long strip of 60 IRHD, 10 by 3 mm: 15.33 MPa (Engineering Design with Natural Rubber).
func TestAWideStripOfRubberIsStiffer(t *testing.T) {
	strip := map[string]string{"hardness": "60 Shore A", "gasket-width": "10 mm", "gasket-thickness": "3 mm"}
	narrow := answered(t, "rubber-pad", strip)
	assert.InDelta(t, 15.33e6, narrow.Num["gasket-modulus"].SI, 0.08e6)
	strip["gasket-width"] = "20 mm"
	assert.Greater(t, answered(t, "rubber-pad", strip).Num["gasket-modulus"].SI, 2*narrow.Num["gasket-modulus"].SI)
	strip["hardness"] = "95 Shore A"
	_, err := asked(t, "rubber-pad", strip)
	assert.ErrorContains(t, err, "75", "outside the table is an answer of its own")
}

func TestABoltThatBottomsIsSaidSo(t *testing.T) {
	bolt := map[string]string{"length": "35 mm", "between": "12 mm", "depth": "20 mm", "thread": "m8"}
	out := answered(t, "bolt-reach", bolt)
	assert.InDelta(t, -3e-3, out.Num["free-depth"].SI, 1e-12)
	assert.Contains(t, out.Sentence, "bottoms")
	assert.Equal(t, TooSmall, out.Verdict)
	assert.InDelta(t, 29.5e-3, out.Num["longest-bolt"].SI, 1e-12, "12 + 20 - two threads of 1.25")
	bolt["hole"] = "aluminium"
	assert.InDelta(t, 28e-3, answered(t, "bolt-reach", bolt).Num["shortest-bolt"].SI, 1e-12, "12 + 2 d")
	bolt["length"] = "10 mm"
	assert.Contains(t, answered(t, "bolt-reach", bolt).Sentence, "does not reach")
}

// Exercise 8-22 of Shigley's Mechanical Engineering Design, 9th edition: 1379 MN/m.
func TestClampedPartsAgreeWithTheTextbook(t *testing.T) {
	out := answered(t, "clamped-parts", map[string]string{"bolt-diameter": "12 mm", "face-diameter": "18 mm", "first-thickness": "20 mm", "first-material": "steel", "second-thickness": "25 mm", "second-material": "cast-iron"})
	assert.InEpsilon(t, 1379e6, out.Num["joint-stiffness"].SI, 0.07, "the book's iron has 100 GPa, the table's 110, its steel 207 against 205")
	_, err := asked(t, "clamped-parts", map[string]string{"bolt-diameter": "12 mm", "face-diameter": "18 mm", "first-thickness": "20 mm", "first-material": "silicone"})
	assert.ErrorContains(t, err, "not in the table")
}

func TestANutSpringIsNamedOrSaidToBeNeedless(t *testing.T) {
	in := map[string]string{"settling": "0.10 mm", "loss-allowed": "2 kN", "rod-stiffness": "40 kN/mm"}
	out := answered(t, "nut-spring", in)
	assert.InDelta(t, 4000, out.Num["loss-without"].SI, 1e-6)
	assert.InDelta(t, 40e6, out.Num["spring-stiffness"].SI, 1, "a spring as stiff as the rod halves the loss")
	in["loss-allowed"] = "5 kN"
	_, err := asked(t, "nut-spring", in)
	assert.ErrorContains(t, err, "no spring washers are needed")
}

func TestASkimmedHeadIsHeldToTheMakersCompression(t *testing.T) {
	out := answered(t, "head-skim", map[string]string{"lapped": "0.5 mm", "swept-volume": "500 mL", "compression": "9", "bore": "80 mm", "compression-limit": "9.2", "valve-room": "1.5 mm", "least-valve-room": "1.2 mm"})
	assert.InDelta(t, 9.335, out.Num["compression-after"].SI, 0.001, "562.5 - 2.51 over 62.5 - 2.51, by hand")
	assert.InDelta(t, 1.0e-3, out.Num["valve-room-after"].SI, 1e-12)
	assert.Contains(t, []string{TooSmall, TooLarge}, out.Verdict)
	_, err := asked(t, "head-skim", map[string]string{"lapped": "0.5 mm", "swept-volume": "500 mL", "compression": "9"})
	require.Error(t, err)
	assert.ErrorContains(t, err, "bore")
}
