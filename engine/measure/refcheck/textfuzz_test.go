package refcheck

import (
	"math"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/rules/unit"
)

func TestTheReaderTakesSizesAsRowsWriteThem(t *testing.T) {
	tests := []struct {
		text, name string
		dim        unit.Dimension
		lo, hi     float64
	}{
		{"cs=3.1+/-0.10", "cs", unit.LengthDim, 3.0e-3, 3.2e-3},
		{"cs = 3.1 ± 0.10 mm", "cs", unit.LengthDim, 3.0e-3, 3.2e-3},
		{"cs 3.1 mm +/- 0.1 mm", "cs", unit.LengthDim, 3.0e-3, 3.2e-3},
		{"section: 2.62 mm +/-3%", "section", unit.LengthDim, 2.5414e-3, 2.6986e-3},
		{"shaft_groove=25(0/-0.1)", "groove", unit.LengthDim, 24.9e-3, 25e-3},
		{"bore=30(+0.1/0)", "bore", unit.LengthDim, 30e-3, 30.1e-3},
		{"bore=30 (+0.1, -0.05) mm", "bore", unit.LengthDim, 29.95e-3, 30.1e-3},
		{"bore=30 +0.1/-0 mm", "bore", unit.LengthDim, 30e-3, 30.1e-3},
		{"bore=1.678..1.680in", "bore", unit.LengthDim, 1.678 * 0.0254, 1.680 * 0.0254},
		{"bore=1.678 to 1.680 in", "bore", unit.LengthDim, 1.678 * 0.0254, 1.680 * 0.0254},
		{"bore=1.678 in to 1.680 in", "bore", unit.LengthDim, 1.678 * 0.0254, 1.680 * 0.0254},
		{"bore=1.678-1.680 in", "bore", unit.LengthDim, 1.678 * 0.0254, 1.680 * 0.0254},
		{"hollow 0,30 mm", "hollow", unit.LengthDim, 0.30e-3, 0.30e-3},
		{"gasket 12 mm wide, 1.5 mm thick", "wide", unit.LengthDim, 12e-3, 12e-3},
		{"gasket 12 mm wide, 1.5 mm thick", "thick", unit.LengthDim, 1.5e-3, 1.5e-3},
		{"wire 1/8 in", "wire", unit.LengthDim, 0.125 * 0.0254, 0.125 * 0.0254},
		{"d=1 1/2 in", "d", unit.LengthDim, 1.5 * 0.0254, 1.5 * 0.0254},
		{"p=150 psi", "p", unit.PressureDim, 150 * 6894.757293168, 150 * 6894.757293168},
		{"y=14.06 kgf/cm^2 (=200 psi)", "y", unit.PressureDim, 14.06 * 98066.5, 14.06 * 98066.5},
		{"y=200 psi=1.379 MPa", "y", unit.PressureDim, 200 * 6894.757293168, 200 * 6894.757293168},
		{"F=25 kip", "F", unit.ForceDim, 25 * 4448.2216152605, 25 * 4448.2216152605},
		{"F=20.2 kN; T=25 N*m", "T", unit.TorqueDim, 25, 25},
		{"alpha 1.6e-4 1/K", "alpha", unit.ExpansionDim, 1.6e-4, 1.6e-4},
		{"alpha=16 x 10^-5 /C", "alpha", unit.ExpansionDim, 16e-5, 16e-5},
		{"dT=-50C", "dT", unit.KelvinDim, -50, -50},
		{"cover; A=36.6 mm^2", "A", unit.AreaDim, 36.6e-6, 36.6e-6},
	}
	for _, tt := range tests {
		t.Run(tt.text, func(t *testing.T) {
			s, err := sayRow(map[string]string{"inputs": tt.text, "unit": "mm"})
			require.NoError(t, err)
			it := s.look(tt.dim, tt.name)
			require.NotNil(t, it, "%+v", s.items)
			u, ok := s.unitOf(it, tt.dim)
			require.True(t, ok)
			if tt.dim == unit.KelvinDim {
				u.offset = 0
			}
			assert.InDelta(t, tt.lo, u.si(it.lo), 1e-9*math.Abs(tt.lo)+1e-12)
			assert.InDelta(t, tt.hi, u.si(it.hi), 1e-9*math.Abs(tt.hi)+1e-12)
		})
	}
}

func TestTheReaderLeavesFormulasAlone(t *testing.T) {
	for _, text := range []string{"b=2.4*C*d", "log10(E)=0.0235*S-0.6403", "d2e^2*(dg+d2e)", "b=1.545*d*C^0.75"} {
		assert.Empty(t, readText(text, false).items, text)
	}
}

func TestWhatCouldBeThousandsIsRefused(t *testing.T) {
	_, err := sayRow(map[string]string{"inputs": "F=1,500 N"})
	assert.ErrorContains(t, err, "thousands")
}

func TestMissingInputsAreNamed(t *testing.T) {
	sizes, rings := as568(t)
	_, err := ringFromText(map[string]string{"topic": "squeeze_range", "inputs": "cs=3.53+/-0.1; bore=31.0..31.1", "expected": "min 1; max 2", "unit": "mm"}, tables{sizes, rings, extrusion(t)})
	assert.ErrorContains(t, err, "groove")
	_, err = ringFromText(map[string]string{"topic": "unheard_of", "inputs": "cs=3.53"}, tables{})
	assert.ErrorIs(t, err, errUnknownTopic)
	_, err = jointFromText(map[string]string{"what": "proof load = proof stress x area", "inputs": "A=36.6 mm^2", "unit": "kN"})
	assert.ErrorContains(t, err, "Sp")
}

func FuzzTheReaderNeverPanics(f *testing.F) {
	for _, s := range []string{"cs=3.1+/-0.10; shaft_groove=25(0/-0.1); bore=30(+0.1/0)", "M8 class 8.8; A=36.6 mm^2", "1/2-14: L1=0.320 in", "30.3 32.5 32.5 kN",
		"10 mm steel bolt in 25/15 mm brass tube; alpha steel 1.2e-5, brass 1.9e-5", "R 1/2: 8.2 mm / 1.814 mm", "b=2.4*C*d", "1e999 mm", "−5 µm", "1,234", "((((", "=", "5 m=2"} {
		f.Add(s, "squeeze_range", "min 1; max 2", "mm")
	}
	f.Fuzz(func(t *testing.T, inputs, title, expected, unitName string) {
		if len(inputs) > 300 || !utf8.ValidString(inputs) {
			t.Skip()
		}
		row := map[string]string{"inputs": inputs, "topic": title, "expected": expected, "unit": unitName}
		for name, run := range byTopic(tables{}) {
			if len(name)%7 == len(inputs)%7 || name == title {
				if s, err := sayRow(row); err == nil {
					_, _ = s.finish(run)
				}
			}
		}
		delete(row, "topic")
		row["what"] = title
		_, _ = jointFromText(row)
		if s, err := sayRow(row); err == nil {
			for _, group := range [][]rule{hoseRules(), coverRules(), heatRules(), rubberRules(), gasketRules(), boltRules(), limitRules()} {
				for i, r := range group {
					if i%5 == len(inputs)%5 {
						_, _ = s.finish(r.run)
					}
				}
			}
		}
	})
}
