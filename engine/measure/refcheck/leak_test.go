package refcheck

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"seepwright/engine/measure/leak"
	"seepwright/rules/unit"
)

// leakCase is one case of leak-cases.json.
type leakCase struct {
	ID, Kind, Title string
	Inputs, Expect  map[string]any
}

func (c leakCase) num(k string) float64 {
	v, ok := c.Inputs[k].(float64)
	if !ok {
		return math.NaN() // refused by the package under test, in words
	}
	return v
}

func (c leakCase) litres(k string) unit.Volume  { return unit.Volume(c.num(k)) * unit.Litre }
func (c leakCase) mL(k string) unit.Volume      { return unit.Volume(c.num(k)) * unit.Millilitre }
func (c leakCase) kPa(k string) unit.Pressure   { return unit.Pressure(c.num(k) * 1e3) }
func (c leakCase) mm(k string) unit.Length      { return unit.Length(c.num(k)) * unit.Millimetre }
func (c leakCase) um(k string) unit.Length      { return unit.Length(c.num(k) * 1e-6) }
func (c leakCase) sec(k string) unit.Time       { return unit.Time(c.num(k)) }
func (c leakCase) cel(k string) unit.Celsius    { return unit.Celsius(c.num(k)) }
func (c leakCase) mPas(k string) leak.Viscosity { return leak.Viscosity(c.num(k) * 1e-3) }
func (c leakCase) uPas(k string) leak.Viscosity { return leak.Viscosity(c.num(k) * 1e-6) }
func (c leakCase) rat(k string) unit.Ratio      { return unit.Ratio(c.num(k)) }

const mLMin, mLHour, lHour, lDay = 1e-6 / 60, 1e-6 / 3600, 1e-3 / 3600, 1e-3 / 86400

// usGallon is the volume of a US gallon, cubic metres.
const usGallon = 3.785411784e-3

type answers = map[string]any

// kinds of leak cases and how each is evaluated; keys as in expect.
var kinds = map[string]func(c leakCase) (answers, error){
	"drip":                  drip,
	"loss_to_drips":         lossToDrips,
	"pressure_decay":        pressureDecay,
	"min_detectable":        minDetectable,
	"capillary_liquid":      capillaryLiquid,
	"capillary_gas":         capillaryGas,
	"slot_liquid":           slotLiquid,
	"radial_gap_liquid":     radialGap,
	"gas_to_liquid":         gasToLiquid,
	"viscosity_scaling":     viscosityScaling,
	"orifice_liquid":        orificeLiquid,
	"orifice_air":           orificeAir,
	"capillary_hold":        capillaryHold,
	"stored_energy":         storedEnergy,
	"thermal_lock_rigid":    lockRigid,
	"thermal_lock_tube":     lockTube,
	"water_test_air_pocket": airPocket,
	"boiling":               boiling,
	"air_temperature_only":  airTemperature,
	"unit":                  gasUnit,
}

func TestEveryLeakCaseAgreesWithItsFile(t *testing.T) {
	var f struct {
		RelTol float64 `json:"rel_tol"`
		Cases  []leakCase
	}
	readJSON(t, open(t, "form/leak-cases.json"), &f)
	require.NotEmpty(t, f.Cases)
	require.Positive(t, f.RelTol)
	n := 0
	for _, c := range f.Cases {
		t.Run(c.ID+" "+c.Kind, func(t *testing.T) {
			run, ok := kinds[c.Kind]
			require.True(t, ok, "no evaluation for kind %q", c.Kind)
			got, err := run(c)
			if c.Expect["refuse"] == true {
				require.Error(t, err)
				return
			}
			require.NoError(t, err)
			for k, want := range c.Expect {
				g, ok := got[k]
				require.True(t, ok, "%s is not computed", k)
				n++
				if w, isNumber := want.(float64); isNumber {
					v := number(g)
					assert.True(t, math.Abs(v-w) <= f.RelTol*math.Abs(w), "%s: want %.12g, got %.12g", k, w, v)
					continue
				}
				assert.Equal(t, want, g, k)
			}
		})
	}
	t.Logf("leak cases checked: %d, answers compared: %d", len(f.Cases), n)
}

func drip(c leakCase) (answers, error) {
	out := answers{}
	for _, size := range []string{"low", "mid", "high"} {
		q, err := leak.Drip(c.num("drops_per_min"), unit.Minute, c.mL("drop_mL_"+size))
		if err != nil {
			return nil, err
		}
		out[size+"_mL_per_min"] = float64(q) / mLMin
		out[size+"_mL_per_h"] = float64(q) / mLHour
		out[size+"_L_per_day"] = float64(leak.In(q, unit.Day) / unit.Litre)
		out[size+"_L_per_year"] = float64(leak.In(q, leak.Year) / unit.Litre)
	}
	return out, nil
}

func lossToDrips(c leakCase) (answers, error) {
	q, err := leak.Loss(c.litres("loss_L"), unit.Time(c.num("hours"))*unit.Hour)
	if err != nil {
		return nil, err
	}
	n, err := leak.DropsIn(q, unit.Minute, c.mL("drop_mL"))
	return answers{"mL_per_min": float64(q) / mLMin, "mL_per_h": float64(q) / mLHour, "drops_per_min": n}, err
}

func pressureDecay(c leakCase) (answers, error) {
	d, err := leak.PressureDecay(c.litres("volume_L"), c.kPa("p_start_kPa_gauge"), c.kPa("p_end_kPa_gauge"), c.sec("time_s"), c.cel("T_start_C"), c.cel("T_end_C"), c.kPa("p_atm_kPa"))
	return answers{"raw_drop_Pa": float64(d.Raw), "drop_from_temperature_Pa": float64(d.ByHeat), "corrected_drop_Pa": float64(d.Leaked),
		"leak_Pa_m3_per_s": float64(d.Leak), "leak_mL_per_min_at_1atm": float64(d.AirOfOne) / mLMin}, err
}

func minDetectable(c leakCase) (answers, error) {
	s, err := leak.LeastVisible(c.litres("volume_L"), unit.Pressure(c.num("gauge_step_Pa")), c.sec("time_s"), c.kPa("p_kPa_gauge"), unit.Kelvin(c.num("temperature_uncertainty_C")), c.cel("T_C"), c.kPa("p_atm_kPa"))
	return answers{"from_gauge_Pa_m3_per_s": float64(s.ByGauge), "from_gauge_mL_per_min": float64(s.ByGauge.FreeAir()) / mLMin,
		"pressure_from_temperature_Pa": float64(s.HeatPressure), "from_temperature_Pa_m3_per_s": float64(s.ByHeat),
		"from_temperature_mL_per_min": float64(s.ByHeat.FreeAir()) / mLMin, "total_root_sum_square_Pa_m3_per_s": float64(s.Together)}, err
}

func capillaryLiquid(c leakCase) (answers, error) {
	q, err := leak.Capillary(c.um("d_um"), c.mm("length_mm"), c.kPa("dp_kPa"), c.mPas("viscosity_mPas"))
	if err != nil {
		return nil, err
	}
	n, err := leak.DropsIn(q, unit.Minute, 0.05*unit.Millilitre)
	if err != nil {
		return nil, err
	}
	re, err := leak.Reynolds(q, c.um("d_um"), c.num("density"), c.mPas("viscosity_mPas"))
	return answers{"m3_per_s": float64(q), "mL_per_h": float64(q) / mLHour, "drops_per_min_0_05mL": n, "reynolds": re}, err
}

func capillaryGas(c leakCase) (answers, error) {
	q, err := leak.CapillaryGas(c.um("d_um"), c.mm("length_mm"), c.kPa("p_kPa_gauge"), c.kPa("p_atm_kPa"), c.uPas("viscosity_uPas"))
	if err != nil {
		return nil, err
	}
	re, err := leak.ReynoldsAir(q, c.um("d_um"), c.uPas("viscosity_uPas"), c.cel("T_C"))
	if err != nil {
		return nil, err
	}
	l, err := leak.MeanFreePath(c.kPa("p_kPa_gauge"), c.kPa("p_atm_kPa"), c.uPas("viscosity_uPas"), c.cel("T_C"))
	return answers{"Pa_m3_per_s": float64(q), "mL_per_min_at_1atm": float64(q.FreeAir()) / mLMin, "reynolds": re, "mean_free_path_um": float64(l) * 1e6, "knudsen": float64(l / c.um("d_um"))}, err
}

func volumes(q unit.Flow, err error) (answers, error) {
	return answers{"m3_per_s": float64(q), "mL_per_h": float64(q) / mLHour, "L_per_h": float64(q) / lHour, "L_per_day": float64(q) / lDay, "US_gal_per_day": float64(q) * 86400 / usGallon}, err
}

func slotLiquid(c leakCase) (answers, error) {
	return volumes(leak.Slot(c.um("gap_um"), c.mm("width_mm"), c.mm("length_mm"), c.kPa("dp_kPa"), c.mPas("viscosity_mPas")))
}

func radialGap(c leakCase) (answers, error) {
	return volumes(leak.RadialGap(c.um("gap_um"), c.mm("r_in_mm"), c.mm("r_out_mm"), c.kPa("dp_kPa"), c.mPas("viscosity_mPas")))
}

func gasToLiquid(c leakCase) (answers, error) {
	q := leak.FromFreeAir(unit.Flow(c.num("air_mL_per_min_at_1atm") * mLMin))
	gas, liquid := c.uPas("viscosity_air_uPas"), c.mPas("viscosity_liquid_mPas")
	l, err := leak.LiquidFromGas(q, c.kPa("air_test_kPa_gauge"), c.kPa("p_atm_kPa"), c.kPa("liquid_dp_kPa"), gas, liquid)
	atm := float64(c.kPa("p_atm_kPa"))
	return answers{"liquid_mL_per_min": float64(l) / mLMin, "liquid_mL_per_h": float64(l) / mLHour, "ratio_air_to_liquid": float64(q.FreeAir() / l),
		"plain_viscosity_ratio": float64(liquid / gas), "gas_expansion_factor": (float64(c.kPa("air_test_kPa_gauge")) + 2*atm) / (2 * atm)}, err
}

func viscosityScaling(c leakCase) (answers, error) {
	r, err := leak.HotToCold(c.mPas("viscosity_cold_mPas"), c.mPas("viscosity_hot_mPas"))
	return answers{"flow_ratio_hot_to_cold": float64(r)}, err
}

func orificeLiquid(c leakCase) (answers, error) {
	return volumes(leak.Orifice(c.mm("d_mm"), c.kPa("dp_kPa"), c.num("density"), c.rat("Cd")))
}

func orificeAir(c leakCase) (answers, error) {
	m, choked, err := leak.OrificeAir(c.mm("d_mm"), c.kPa("p_kPa_gauge"), c.kPa("p_atm_kPa"), c.cel("T_C"), c.rat("Cd"))
	return answers{"choked": choked, "kg_per_s": m, "L_per_min_at_1atm_20C": float64(leak.FreeAirOf(m, 20)) / (1e-3 / 60), "critical_ratio": leak.CriticalRatio()}, err
}

func capillaryHold(c leakCase) (answers, error) {
	p, err := leak.HoldingPressure(c.um("d_um"), c.num("surface_tension_N_per_m"), unit.Angle(c.num("contact_angle_deg"))*unit.Degree)
	return answers{"pressure_Pa": float64(p)}, err
}

func storedEnergy(c leakCase) (answers, error) {
	v, p, atm := c.litres("volume_L"), c.kPa("p_kPa_gauge"), c.kPa("p_atm_kPa")
	e, err := leak.AirEnergy(v, p, atm, c.num("k"))
	if err != nil {
		return nil, err
	}
	r, err := leak.AirEnergyRounded(v, p, atm)
	if err != nil {
		return nil, err
	}
	iso, err := leak.AirEnergyIsothermal(v, p, atm)
	if err != nil {
		return nil, err
	}
	w, err := leak.LiquidEnergy(v, p, unit.Pressure(c.num("water_bulk_modulus_GPa")*1e9))
	return answers{"air_J": float64(e), "air_J_exponent_0_286": float64(r), "air_J_isothermal_available": float64(iso), "water_J": float64(w),
		"ratio_air_to_water": float64(e / w), "TNT_g": leak.TNT(e) * 1e3, "height_1kg_m": float64(leak.ThrowHeight(e))}, err
}

func lockRigid(c leakCase) (answers, error) {
	p, err := leak.LockedRigid(unit.Expansion(c.num("expansivity_per_K")), c.num("compressibility_per_Pa"), unit.Kelvin(c.num("dT_K")))
	return answers{"pressure_rise_kPa": float64(p) / 1e3}, err
}

func lockTube(c leakCase) (answers, error) {
	p, err := leak.LockedTube(unit.Expansion(c.num("expansivity_per_K")), c.num("compressibility_per_Pa"), unit.Kelvin(c.num("dT_K")),
		leak.Tube{Diameter: c.mm("D_mm"), Wall: c.mm("wall_mm"), E: unit.Pressure(c.num("E_GPa") * 1e9), Poisson: c.rat("poisson"), Expansion: unit.Expansion(c.num("wall_expansion_per_K"))})
	return answers{"pressure_rise_kPa": float64(p) / 1e3}, err
}

func airPocket(c leakCase) (answers, error) {
	w := leak.WaterTest{Water: c.litres("water_L"), TrappedAir: c.litres("trapped_air_L"), Compressibility: c.num("compressibility_per_Pa")}
	v, err := w.LostFor(c.kPa("p_kPa_gauge"), c.kPa("pressure_drop_kPa"), c.kPa("p_atm_kPa"))
	if err != nil {
		return nil, err
	}
	w.TrappedAir = 0
	none, err := w.LostFor(c.kPa("p_kPa_gauge"), c.kPa("pressure_drop_kPa"), c.kPa("p_atm_kPa"))
	return answers{"liquid_lost_mL": float64(v / unit.Millilitre), "liquid_lost_without_air_mL": float64(none / unit.Millilitre), "ratio": float64(v / none)}, err
}

func boiling(c leakCase) (answers, error) {
	p, atm := c.kPa("cap_kPa_gauge"), c.kPa("p_atm_kPa")
	w, err := leak.WaterBoils(p, atm)
	if err != nil {
		return nil, err
	}
	g, err := leak.GlycolBoils(p, atm, c.rat("glycol_volume_fraction"))
	if err != nil {
		return nil, err
	}
	r, err := leak.RuleOfThumb(p)
	return answers{"water_boils_C": float64(w), "glycol_50_ideal_C": float64(g), "rule_3F_per_psi_water_C": float64(r)}, err
}

func airTemperature(c leakCase) (answers, error) {
	p, err := leak.SealedAir(c.kPa("p_kPa_gauge"), c.cel("T_start_C"), c.cel("T_end_C"), c.kPa("p_atm_kPa"))
	return answers{"p_end_kPa_gauge": float64(p) / 1e3}, err
}

func gasUnit(c leakCase) (answers, error) {
	q, err := leak.ThroughputIn(c.num("value"), text(c, "unit_from"))
	if err != nil {
		return nil, err
	}
	v, err := q.In(text(c, "unit_to"))
	return answers{"value": v}, err
}

func text(c leakCase, k string) string { s, _ := c.Inputs[k].(string); return s }
