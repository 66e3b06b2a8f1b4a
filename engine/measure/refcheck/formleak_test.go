package refcheck

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine/measure/form"
	"seepwright/engine/measure/leak"
	"seepwright/engine/measure/uncertain"
	"seepwright/rules/unit"
)

// notMeasured are rows of form-leak-checks.csv that no function here answers, with the reason.
var notMeasured = map[string]string{
	"K006": "the algebraic circle fit is the wrong method and is not offered",
	"K046": "a bare conversion of cubic inches, which no unit here names",
	"K041": "grades of surface plates are a table of a standard, not a measurement",
	"K042": "grades of surface plates are a table of a standard, not a measurement",
	"K068": "the viscosity of glycol mixtures is a fluid property, which comes in as an argument",
	"K091": "the viscosity of water is a fluid property, which comes in as an argument",
	"K092": "as K091", "K093": "as K091", "K094": "as K091", "K095": "as K091", "K096": "as K091", "K097": "as K091",
	"K098": "as K068", "K099": "as K068",
}

// fromSet evaluates a form set of the same folder and picks one answer.
func fromSet(id string, keys ...string) func(t *testing.T) (float64, error) {
	return func(t *testing.T) (float64, error) {
		dir, _ := reference()
		path := filepath.Join(dir, "form", id+".json")
		if !exists(path) {
			path = filepath.Join(builtIn, "form", id+".json")
		}
		var s set
		readJSON(t, path, &s)
		got, err := groups[s.Group](t, s)
		if err != nil {
			return 0, err
		}
		for _, k := range keys[:len(keys)-1] {
			got = got[k].(map[string]any)
		}
		return number(got[keys[len(keys)-1]]), nil
	}
}

func value[T ~float64](scale float64, f func() (T, error)) func(*testing.T) (float64, error) {
	return func(*testing.T) (float64, error) { x, err := f(); return float64(x) / scale, err }
}

func vee(lobes int, deg float64) func(*testing.T) (float64, error) {
	return value(1, func() (unit.Ratio, error) { return form.VeeFactor(lobes, unit.Angle(deg)*unit.Degree) })
}

func seen(n int) func(*testing.T) (float64, error) {
	return value(1, func() (unit.Ratio, error) { return form.OvalSeen(n) })
}

func boils(cap float64, glycol unit.Ratio) func(*testing.T) (float64, error) {
	return value(1, func() (unit.Celsius, error) { return leak.GlycolBoils(unit.Pressure(cap*1e3), leak.Atmosphere, glycol) })
}

func energy(litres, kPa float64, water bool) func(*testing.T) (float64, error) {
	return value(1, func() (unit.Energy, error) {
		if water {
			return leak.LiquidEnergy(unit.Volume(litres*1e-3), unit.Pressure(kPa*1e3), 2.18e9)
		}
		return leak.AirEnergy(unit.Volume(litres*1e-3), unit.Pressure(kPa*1e3), leak.Atmosphere, 1.4)
	})
}

func jet(inch unit.Length) func(*testing.T) (float64, error) {
	return value(usGallon/86400, func() (unit.Flow, error) { return leak.Orifice(inch*inU, 60*psi, 998.2, 0.62) })
}

func gasIn(name string) func(*testing.T) (float64, error) {
	return value(1, func() (leak.Throughput, error) { return leak.ThroughputIn(1, name) })
}

func line(heights ...float64) func(*testing.T) (float64, error) {
	return func(*testing.T) (float64, error) {
		var p []form.LinePoint
		for i, h := range heights {
			p = append(p, form.LinePoint{S: unit.Length(i) * 0.01, Height: unit.Length(h) * mmU})
		}
		l, err := form.Straightedge(p)
		return l.Gap.Millimetres(), err
	}
}

func crownGap(h, touch float64) func(*testing.T) (float64, error) {
	return value(1e-3, func() (unit.Length, error) { return form.CrownGap(unit.Length(h)*mmU, unit.Ratio(touch)) })
}

const (
	airViscosity   leak.Viscosity = 18.13322120356043e-6
	waterViscosity leak.Viscosity = 1.0015981729553542e-3
)

func numericK() map[string]func(*testing.T) (float64, error) {
	p13 := func(k string) func(*testing.T) (float64, error) { return fromSet("P13", k, "roundness") }
	flat := func(id, k string) func(*testing.T) (float64, error) { return fromSet(id, k, "flatness") }
	drip20 := func() (unit.Flow, error) { return leak.Drip(20, unit.Minute, 0.05e-6) }
	decay := func(end unit.Celsius) func() (leak.Throughput, error) {
		return func() (leak.Throughput, error) {
			d, err := leak.PressureDecay(5e-3, 1e5, 97e3, 600, 20, end, leak.Atmosphere)
			return d.Leak, err
		}
	}
	asWater := func(water leak.Viscosity) func() (unit.Flow, error) {
		return func() (unit.Flow, error) { // the plain ratio of the page: air flow times 17.98/1002
			r, err := leak.HotToCold(17.98e-6, water)
			return unit.Flow(4.0*mLMin) * unit.Flow(r), err
		}
	}
	return map[string]func(*testing.T) (float64, error){
		"K001": fromSet("P01", "lsc", "cx"), "K002": fromSet("P01", "lsc", "cy"), "K003": fromSet("P01", "lsc", "r"), "K004": fromSet("P02", "lsc", "r"), "K005": fromSet("P03", "lsc", "r"),
		"K007": fromSet("P04", "mzc", "roundness"), "K008": p13("lsc"), "K009": p13("mzc"), "K010": p13("mcc"), "K011": p13("mic"), "K012": fromSet("P20", "flatness_micro_inch"),
		"K013": flat("F03", "mz_vertical"), "K014": flat("F03", "ls_vertical"), "K015": flat("F09", "mz_vertical"), "K016": flat("F09", "ls_vertical"),
		"K017": flat("F19", "mz_vertical"), "K018": flat("F19", "ls_vertical"), "K019": flat("F29", "mz_vertical"), "K020": flat("F29", "ls_vertical"),
		"K021": value(1e-3, func() (unit.Length, error) {
			z, err := form.FlatnessZone([]form.Height{{X: 0, Y: 0, Z: 0}, {X: 0.1, Y: 0, Z: 0.05e-3}, {X: 0.1, Y: 0.08, Z: 0.01e-3}, {X: 0, Y: 0.08, Z: 0.03e-3}})
			return z.Flatness, err
		}),
		"K022": line(0.10, 0.025, 0, 0.025, 0.10), "K023": crownGap(0.10, 0), "K024": crownGap(0.10, -1),
		"K025": fromSet("L05", "largest_gap"),
		"K026": vee(2, 90), "K027": vee(3, 90), "K028": vee(5, 90), "K029": vee(7, 90), "K030": vee(3, 60), "K031": vee(5, 60), "K032": vee(2, 120), "K033": vee(5, 120),
		"K034": seen(2), "K035": seen(3), "K036": seen(4), "K037": seen(6),
		"K040": func(*testing.T) (float64, error) { return uncertain.ChanceBelow(0.046, 0.01, 0.05), nil },
		"K043": value(mLHour, drip20), "K044": value(lDay, drip20),
		"K045": value(1e-6, func() (unit.Volume, error) { q, err := leak.Loss(420*usGallon, leak.Year); return leak.In(q, 1), err }),
		"K047": func(*testing.T) (float64, error) {
			q, err := leak.Drip(3, unit.Minute, unit.Volume(0.002*math.Pow(0.0254, 3)))
			return float64(leak.In(q, 250*unit.Day)) / usGallon, err
		},
		"K048": func(*testing.T) (float64, error) {
			q, err := leak.Loss(0.5e-6, unit.Minute)
			return float64(leak.In(q, leak.Year) / unit.Litre), err
		},
		"K049": func(*testing.T) (float64, error) {
			d, err := leak.PressureDecay(2e-3, 50.6e3-leak.Atmosphere, 25.3e3-leak.Atmosphere, 70, 20, 20, leak.Atmosphere)
			return d.Leak.Moles(20), err
		},
		"K050": value(1, decay(20)), "K052": value(1, decay(18)),
		"K051": func(*testing.T) (float64, error) { q, err := decay(20)(); return float64(q.FreeAir()) / mLMin, err },
		"K053": value(1e3, func() (unit.Pressure, error) { return leak.SealedAir(1e5, 20, 10, leak.Atmosphere) }),
		"K054": func(*testing.T) (float64, error) {
			s, err := leak.LeastVisible(5e-3, 1e3, 600, 1e5, 0, 20, leak.Atmosphere)
			return float64(s.ByGauge.FreeAir()) / mLMin, err
		},
		"K055": gasIn("atm cm3/s"), "K056": gasIn("mbar L/s"), "K057": gasIn("mL/min at 1 atm"),
		"K058": value(1, func() (leak.Throughput, error) { return leak.AtOtherPressure(0.001, 10, 1, 20, 1) }),
		"K059": value(mLMin, asWater(1002e-6)), "K060": value(mLMin, asWater(355e-6)),
		"K061": value(mLMin, func() (unit.Flow, error) {
			return leak.LiquidFromGas(leak.FromFreeAir(4.0*mLMin), 1e5, leak.Atmosphere, 1e5, airViscosity, waterViscosity)
		}),
		"K062": value(mLHour, func() (unit.Flow, error) { return leak.Capillary(50e-6, 10*mmU, 1e5, waterViscosity) }),
		"K063": func(*testing.T) (float64, error) {
			q, err := leak.CapillaryGas(50e-6, 10*mmU, 1e5, leak.Atmosphere, airViscosity)
			return float64(q.FreeAir()) / mLMin, err
		},
		"K064": value(mLHour, func() (unit.Flow, error) { return leak.Slot(20e-6, 10*mmU, 5*mmU, 1e5, waterViscosity) }),
		"K065": ratio(func(h unit.Length) (unit.Flow, error) { return leak.Slot(h, 10*mmU, 5*mmU, 1e5, waterViscosity) }),
		"K066": ratio(func(d unit.Length) (unit.Flow, error) { return leak.Capillary(d, 10*mmU, 1e5, waterViscosity) }),
		"K067": value(1, func() (unit.Ratio, error) { return leak.HotToCold(1.00159817e-3, 0.314181541e-3) }),
		"K069": jet(0.0625), "K070": jet(0.125), "K071": jet(0.25),
		"K072": func(*testing.T) (float64, error) { return leak.Bubbles(0.1e-6, 2*mmU) },
		"K073": value(1e3, func() (unit.Pressure, error) { return leak.HoldingPressure(1e-6, 0.0728, 0) }),
		"K074": func(*testing.T) (float64, error) { // pressure times diameter is fixed: radius for 100 kPa
			p, err := leak.HoldingPressure(1e-6, 0.073, 0)
			return float64(p) / 1e5 / 2, err
		},
		"K075": func(*testing.T) (float64, error) { return leak.CriticalRatio(), nil },
		"K076": energy(5, 100, false), "K077": energy(5, 100, true), "K078": energy(5, 700, false), "K079": energy(5, 700, true), "K080": energy(50, 600, false), "K081": energy(50, 600, true),
		"K082": value(1e3, func() (unit.Pressure, error) { return leak.LockedRigid(0.207e-3, 0.4589e-9, 1) }),
		"K083": value(1e3, func() (unit.Pressure, error) { return leak.LockedRigid(0.523e-3, 0.4450e-9, 1) }),
		"K084": boils(0, 0), "K085": boils(50, 0), "K086": boils(100, 0), "K087": boils(103.4, 0), "K088": boils(140, 0), "K089": boils(0, 0.5), "K090": boils(103.4, 0.5),
	}
}

// ratio is the flow at twice the size over that at one size.
func ratio(f func(unit.Length) (unit.Flow, error)) func(*testing.T) (float64, error) {
	return func(*testing.T) (float64, error) {
		a, err := f(20e-6)
		if err != nil {
			return 0, err
		}
		b, err := f(40e-6)
		return float64(b / a), err
	}
}

// verdictsK are the rows whose answer is a verdict: reading, U and limit as printed in the row.
var verdictsK = map[string][3]float64{"K038": {0.042, 0.01, 0.05}, "K039": {0.040, 0.01, 0.05}}

func TestEveryFormAndLeakRowAgreesWithItsFile(t *testing.T) {
	f, err := os.Open(open(t, "form/form-leak-checks.csv"))
	require.NoError(t, err)
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	_, own := reference()
	numeric := numericK()
	found, computed, left, unknown := map[string]bool{}, 0, 0, 0
	for _, r := range all[1:] {
		id, want, tol := r[0], r[4], r[6]
		found[id] = true
		if v, ok := verdictsK[id]; ok {
			computed++
			assert.Equal(t, want, uncertain.Below(v[0], v[1], v[2]).String(), id)
			continue
		}
		if _, skip := notMeasured[id]; skip {
			left++
			continue
		}
		run, ok := numeric[id]
		if !ok {
			unknown++
			assert.False(t, own, "no case coded for %s: %s", id, r[2])
			continue
		}
		computed++
		got, err := run(t)
		require.NoError(t, err, id)
		w, err := strconv.ParseFloat(want, 64)
		require.NoError(t, err)
		width, err := strconv.ParseFloat(strings.TrimSuffix(tol, " rel"), 64)
		require.NoError(t, err)
		if math.Abs(w) > 1e-3 && (math.Abs(w) < 1 || strings.HasSuffix(tol, " rel") || width <= 1e-3) {
			width *= math.Abs(w)
		}
		// the file prints nine figures, which is the floor of any comparison
		assert.InDelta(t, w, got, math.Max(width, 5e-9*math.Abs(w)), "%s %s", id, r[2])
	}
	if own {
		for _, ids := range []map[string]bool{keys(numeric), keys(notMeasured), keys(verdictsK)} {
			for id := range ids {
				assert.True(t, found[id], "case %s has no row", id)
			}
		}
	}
	t.Logf("form-leak-checks.csv: computed %d, skipped with a reason %d, no case coded %d", computed, left, unknown)
}

func keys[T any](m map[string]T) map[string]bool {
	out := map[string]bool{}
	for k := range m {
		out[k] = true
	}
	return out
}
