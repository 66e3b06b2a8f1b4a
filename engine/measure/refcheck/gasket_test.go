package refcheck

import (
	"testing"

	"seepwright/engine/measure/fitting"
	"seepwright/engine/measure/flange"
	"seepwright/engine/measure/hose"
	"seepwright/engine/measure/leak"
	"seepwright/rules/unit"
)

const (
	kN    = unit.Kilonewton
	mPa   = unit.Megapascal
	kgf   = unit.Force(9.80665)
	kgcm2 = unit.Pressure(98066.5)
	lbf   = unit.PoundForce
	psi   = unit.PSI
	mm2   = unit.SquareMM
	in2   = unit.Area(0.0254 * 0.0254)
	lbfFt = unit.Torque(4.4482216152605 * 0.3048)
)

func TestEveryGasketBoltAndHoseRowAgreesWithItsFile(t *testing.T) {
	cases := map[string]func() (answer, error){}
	for _, group := range []map[string]func() (answer, error){boltCases(), torqueCases(), gasketCases(), coverCases(), heatCases(), hoseCases()} {
		for id, c := range group {
			cases[id] = c
		}
	}
	runChecks(t, "gasket-bolt-hose-checks.csv", cases, map[string]string{}, jointFromText)
}

func area(d, pitch unit.Length) func() (answer, error) {
	return func() (answer, error) { return one(flange.StressArea(d*mmU, pitch*mmU)) }
}

func areaUN(d unit.Length, perInch float64) func() (answer, error) {
	return func() (answer, error) { return one(flange.StressAreaUN(d*inU, perInch)) }
}

// proof is a share of the proof load.
func proof(a unit.Area, sp unit.Pressure, share unit.Force) func() (answer, error) {
	return func() (answer, error) {
		f, err := flange.ProofLoad(a, sp)
		return one(share*f, err)
	}
}

func torque(f unit.Force, d unit.Length, k unit.Ratio) func() (answer, error) {
	return func() (answer, error) { return one(flange.Torque(f, d, k)) }
}

func boltCases() map[string]func() (answer, error) {
	return map[string]func() (answer, error){
		"GB-001": area(4, 0.7), "GB-002": area(6, 1), "GB-003": area(8, 1.25), "GB-004": area(10, 1.5), "GB-005": area(12, 1.75),
		"GB-006": area(14, 2), "GB-007": area(16, 2), "GB-008": area(20, 2.5), "GB-009": area(24, 3),
		"GB-010": areaUN(0.25, 20), "GB-011": areaUN(0.3125, 18), "GB-012": areaUN(0.375, 16), "GB-013": areaUN(0.5, 13), "GB-014": areaUN(0.75, 10),
		"GB-015": proof(36.6*mm2, 580*mPa, 1), "GB-016": proof(58.0*mm2, 580*mPa, 1), "GB-017": proof(157*mm2, 580*mPa, 1),
		"GB-018": proof(84.3*mm2, 830*mPa, 1), "GB-019": proof(20.1*mm2, 310*mPa, 1), "GB-020": proof(561*mm2, 650*mPa, 0.90),
		"GB-022": proof(0.0775*in2, 85e3*psi, 0.75), "GB-024": proof(0.1419*in2, 55e3*psi, 0.75), "GB-032": proof(0.334*in2, 105e3*psi, 0.90),
		"GB-027": func() (answer, error) { return one(flange.PreloadStress(25e3*lbf, 0.373*in2)) },
		"GB-028": func() (answer, error) { return one(flange.JointConstant(6.50, 13.8)) },
		"GB-029": func() (answer, error) { return one(flange.ServiceStress(0.320, 6e3*lbf, 25e3*lbf, 0.373*in2)) },
		"GB-030": func() (answer, error) {
			h, err := flange.PressureLoad(4.25*inU, 1500*psi)
			if err != nil {
				return answer{}, err
			}
			return one(flange.PerBolt(h, 10))
		},
		"GB-031": func() (answer, error) { return one(flange.JointConstant(0.221, 0.368)) },
		"GB-034": func() (answer, error) { m, _, err := flange.Spread(tenBolts); return one(m, err) },
		"GB-035": func() (answer, error) { _, s, err := flange.Spread(tenBolts); return one(s, err) },
		"GB-080": func() (answer, error) { return one(flange.Stiffness(36.6*mm2, 40*mmU, 205e3*mPa)) },
	}
}

// tenBolts are preloads measured at one torque, from the row itself.
var tenBolts = []unit.Force{30.3 * kN, 32.5 * kN, 32.5 * kN, 32.9 * kN, 32.9 * kN, 33.8 * kN, 34.3 * kN, 34.7 * kN, 37.4 * kN, 40.5 * kN}

func preload90(d, pitch unit.Length, mu unit.Ratio) func() (answer, error) {
	return func() (answer, error) { return one(flange.AssemblyPreload(d*mmU, pitch*mmU, 640*mPa, 0.9, mu)) }
}

func longTorque(f unit.Force, d, pitch unit.Length, mu unit.Ratio, face, hole unit.Length) func() (answer, error) {
	return func() (answer, error) {
		return one(flange.TorqueLong(f*kN, d*mmU, pitch*mmU, mu, flange.Head{Face: face * mmU, Hole: hole * mmU}))
	}
}

func scatter(a unit.Ratio) func() (answer, error) {
	return func() (answer, error) { return one(flange.Scatter(a)) }
}

func torqueCases() map[string]func() (answer, error) {
	return map[string]func() (answer, error){
		"GB-021": torque(328.185*kN, 30*mmU, 0.18), "GB-023": torque(4940*lbf, 0.375*inU, 0.15), "GB-025": torque(5853*lbf, 0.5*inU, 0.20),
		"GB-026": torque(1312*lbf, 0.25*inU, 0.20), "GB-033": torque(31.6e3*lbf, 0.75*inU, 0.20),
		"GB-036": preload90(8, 1, 0.12), "GB-038": preload90(12, 1.25, 0.14), "GB-040": preload90(16, 1.5, 0.12), "GB-042": preload90(12, 1.75, 0.14),
		"GB-037": longTorque(20.2, 8, 1, 0.12, 11.63, 9), "GB-039": longTorque(46.8, 12, 1.25, 0.14, 16.63, 13.5), "GB-041": longTorque(87.6, 16, 1.5, 0.12, 22.49, 17.5),
		"GB-043": func() (answer, error) { return one(flange.LeastFromFactor(41.9*kN, 1.8)) },
		"GB-044": scatter(1.6), "GB-045": scatter(4.0),
		"GB-046": func() (answer, error) {
			lo, hi, err := flange.Band(10*kN, 0.35)
			return several(err, float64(lo), float64(hi))
		},
		"GB-047": func() (answer, error) {
			f, err := flange.Preload(25, 10*mmU, 0.15)
			if err != nil {
				return answer{}, err
			}
			lo, hi, err := flange.Band(f, 0.25)
			return several(err, float64(lo), float64(hi))
		},
		"GB-048": func() (answer, error) {
			f, err := flange.Preload(10, 6*mmU, 0.15)
			if err != nil {
				return answer{}, err
			}
			p, err := flange.ProofLoad(20.1*mm2, 580*mPa)
			return one(f/p, err)
		},
		"GB-049": func() (answer, error) { f, err := flange.Preload(10, 6*mmU, 0.20); return one(f, err) },
		"GB-050": func() (answer, error) {
			f, err := flange.ProofLoad(36.6*mm2, 450*mPa)
			if err != nil {
				return answer{}, err
			}
			return one(flange.Torque(0.70*f, 8*mmU, 0.25))
		},
		"GB-102": func() (answer, error) {
			q, err := unit.Parse("40 lbf in", unit.TorqueDim)
			return several(err, q.SI())
		},
	}
}

func gasketCases() map[string]func() (answer, error) {
	const bigG, bigB = 2824.59 * mmU, 25.98 * mmU
	return map[string]func() (answer, error){
		"GB-051": func() (answer, error) { return one(flange.EffectiveWidthBy(108.04*mmU, 2.5)) },
		"GB-052": func() (answer, error) {
			// the sheet's own rounded factor moves b by 0.8 %, G by 0.015 %
			return one(flange.ReactionDiameter(2876.55*mmU, (2876.55-4*108.04)*mmU, 108.04*mmU))
		},
		"GB-053": func() (answer, error) { return one(flange.PressureLoad(bigG, 5*kgcm2)) },
		"GB-054": func() (answer, error) { return one(flange.ContactLoad(bigB, bigG, 1, 5*kgcm2)) },
		"GB-055": func() (answer, error) { return one(flange.SeatingLoad(bigB, bigG, 14.06*kgcm2)) },
		"GB-056": func() (answer, error) { return one(flange.EffectiveWidth(34.95 * mmU / 2)) },
		"GB-057": func() (answer, error) { return one(flange.PressureLoad(40.79*inU, 2900.76*psi)) },
		"GB-058": func() (answer, error) { return one(flange.SeatingLoad(0.42*inU, 40.79*inU, 18000.7*psi)) },
		"GB-059": func() (answer, error) {
			return one(flange.Relaxation(3790610*lbf, 240.996*in2, 107.64*in2, 29573846*psi, 569000*psi, 1.63*inU, 34.793*inU))
		},
		"GB-060": func() (answer, error) {
			b, err := flange.EffectiveWidth(0.375 * inU)
			if err != nil {
				return answer{}, err
			}
			g, err := flange.ReactionDiameter(17.75*inU, 16.25*inU, 0.375*inU)
			return several(err, float64(b), float64(g))
		},
		"GB-061": func() (answer, error) { return one(flange.SeatingLoad(0.3062*inU, 17.138*inU, 10000*psi)) },
		"GB-062": func() (answer, error) { return one(flange.EffectiveWidth(5 * mmU)) },
		"GB-063": func() (answer, error) {
			h, err := flange.PressureLoad(200*mmU, 0.30*mPa)
			if err != nil {
				return answer{}, err
			}
			hp, err := flange.ContactLoad(5*mmU, 200*mmU, 1.0, 0.30*mPa)
			if err != nil {
				return answer{}, err
			}
			w, err := flange.OperatingLoad(5*mmU, 200*mmU, 1.0, 0.30*mPa)
			return several(err, float64(h), float64(hp), float64(w))
		},
		"GB-064": func() (answer, error) { return one(flange.SeatingLoad(5*mmU, 200*mmU, 200*psi)) },
		"GB-065": func() (answer, error) {
			f, err := flange.Preload(20, 8*mmU, 0.20)
			if err != nil {
				return answer{}, err
			}
			a, err := flange.RingArea(120*mmU, 100*mmU)
			if err != nil {
				return answer{}, err
			}
			return one(flange.GasketStress(f, 6, a))
		},
		"GB-066": func() (answer, error) {
			a, err := flange.RingArea(120*mmU, 100*mmU)
			if err != nil {
				return answer{}, err
			}
			return one(flange.TorqueForStress(10*mPa, a, 6, 8*mmU, 0.20))
		},
		"GB-067": func() (answer, error) {
			c, r, err := flange.Compressibility(1.60*mmU, 1.40*mmU, 1.50*mmU)
			return several(err, float64(c), float64(r))
		},
		"GB-068": func() (answer, error) {
			// the row prints "15 % squeeze left (0.60 of stress if linear)" without a unit
			c, err := flange.SqueezeOverHollow(3.0*mmU, 0.25, 0.30*mmU)
			return several(err, c.Percent(), float64(c/0.25))
		},
		"GB-088": func() (answer, error) {
			return one(flange.RingStiffness(830*psi, 0.54, 4*inU, 3*inU, 0.25*inU))
		},
		"GB-089": func() (answer, error) { return one(flange.StripModulus(4.45*mPa, 0.57, 10*mmU, 3*mmU)) },
		"GB-090": func() (answer, error) { return one(flange.DiscModulus(2.20*mPa, 0.73, 20*mmU, 5*mmU)) },
		"GB-091": func() (answer, error) { return word(flange.FlatEnough(0.18*mmU, 0.15*mmU)) },
		"GB-092": func() (answer, error) { return word(flange.FlatEnough(0.18*mmU, 0.25*mmU)) },
		"GB-093": func() (answer, error) { return word(flange.DefectPasses(hardFaced, 10*mmU, 2*mmU, 0.50*mmU)) },
		"GB-094": func() (answer, error) { return word(flange.DefectPasses(hardFaced, 10*mmU, 4*mmU, 0.50*mmU)) },
		"GB-095": func() (answer, error) { return word(flange.DefectPasses(hardFaced, 10*mmU, 6*mmU, 0.10*mmU)) },
	}
}

// hardFaced are the limits of the defect rows themselves (hard-faced gasket).
var hardFaced = []flange.DefectLimit{{UpTo: 0.25, Depth: 0.76 * mmU}, {UpTo: 0.5, Depth: 0.25 * mmU}, {UpTo: 0.75, Depth: 0}}

func coverCases() map[string]func() (answer, error) {
	cover := flange.Cover{Width: 20 * mmU, Thickness: 8 * mmU, E: 70e3 * mPa, GasketE: 50 * mPa, GasketWidth: 12 * mmU, GasketThickness: 1.5 * mmU}
	const lambda = 0.03597 * 1e3
	return map[string]func() (answer, error){
		"GB-069": func() (answer, error) { return one(flange.GreatestPitch(12*mmU, 16*mmU, 2.0)) },
		"GB-070": func() (answer, error) { return one(flange.GreatestPitch(12*mmU, 16*mmU, 0.5)) },
		"GB-071": func() (answer, error) { return one(flange.PitchPenalty(80*mmU, 12*mmU, 16*mmU)) },
		"GB-072": func() (answer, error) { return one(flange.PitchRatio(120*mmU, 6, 8*mmU)) },
		"GB-073": func() (answer, error) {
			return one(flange.PitchForBow(20*mmU, 10*mmU, 5*mmU, 70e3*mPa, 0.20*mmU, 1*mPa, 3*mPa))
		},
		"GB-074": func() (answer, error) { return one(cover.Lambda()) },
		"GB-075": func() (answer, error) { return one(flange.PressureRatio(lambda * 0.060 / 2)) },
		"GB-076": func() (answer, error) { return one(flange.PressureRatio(1.50)) },
		"GB-077": func() (answer, error) { return one(flange.LiftPitch(lambda)) },
		"GB-078": func() (answer, error) { return one(flange.PlateDish(50*mmU, 6*mmU, 70e3*mPa, 0.33, 0.2*mPa)) },
		"GB-079": func() (answer, error) {
			s, p, err := flange.CentreBoltLoad(150*mmU, 130*mmU, 1.5*mPa, 140*mmU, 0.10*mPa)
			return several(err, float64(s), float64(p), float64(s+p))
		},
	}
}

// rod is a 10 mm steel bolt in a 25/15 mm brass tube, both one metre long.
func rodAndTube() (rod, tube unit.Stiffness, rodArea, tubeArea unit.Area, err error) {
	tubeArea, err = flange.RingArea(25*mmU, 15*mmU)
	if err != nil {
		return
	}
	rodArea, err = flange.RingArea(10*mmU, 1e-9*mmU)
	if err != nil {
		return
	}
	rod, err = flange.Stiffness(rodArea, 1, 200e3*mPa)
	if err != nil {
		return
	}
	tube, err = flange.Stiffness(tubeArea, 1, 100e3*mPa)
	return
}

func heatCases() map[string]func() (answer, error) {
	return map[string]func() (answer, error){
		"GB-081": func() (answer, error) {
			k, err := flange.Stiffness(58*mm2, 300*mmU, 205e3*mPa)
			if err != nil {
				return answer{}, err
			}
			f, err := flange.LossBySettling(0.05*mmU, k, 0)
			return one(f, err)
		},
		"GB-082": func() (answer, error) {
			_, tube, ra, ta, err := rodAndTube()
			f := float64(tube) * 1.5e-3 // the tube is 1.5 mm shorter, the bolt pulls as hard
			return several(err, f/float64(ra), f/float64(ta))
		},
		"GB-083": func() (answer, error) {
			rod, tube, ra, ta, err := rodAndTube()
			if err != nil {
				return answer{}, err
			}
			x, err := flange.Mismatch(1, 1.9e-5, 1.2e-5, 40, 40)
			if err != nil {
				return answer{}, err
			}
			f, err := flange.LoadFromMismatch(x, rod, tube)
			return several(err, float64(f)/float64(ra), float64(f)/float64(ta))
		},
		"GB-084": func() (answer, error) {
			sleeve, err := flange.RingArea(36*mmU, 26*mmU)
			if err != nil {
				return answer{}, err
			}
			bolt, err := flange.RingArea(25*mmU, 1e-9*mmU)
			if err != nil {
				return answer{}, err
			}
			return one(flange.RiseForStress(25*mPa, bolt, sleeve, 200e3*mPa, 100e3*mPa, 10e-6, 21e-6))
		},
		"GB-085": func() (answer, error) {
			steel, err := flange.Stiffness(600*mm2, 1, 210e3*mPa)
			if err != nil {
				return answer{}, err
			}
			collar, err := flange.Stiffness(900*mm2, 1, 70e3*mPa)
			if err != nil {
				return answer{}, err
			}
			a, b, err := flange.Shared(60*kN, steel, collar)
			return several(err, float64(a), float64(b))
		},
		"GB-086": func() (answer, error) {
			// the collar's share of 60 kN is 40 kN on the bolt of 600 mm2: 66.67 MPa less tension
			s, err := flange.PreloadStress(40*kN, 600*mm2)
			return one(192.5*mPa-s, err)
		},
		"GB-087": func() (answer, error) {
			x, err := flange.Mismatch(40*mmU, 23e-6, 11.5e-6, 80, 80)
			if err != nil {
				return answer{}, err
			}
			f, err := flange.LoadFromMismatch(x, 187.6e6, 350e6)
			return one(f, err)
		},
	}
}

func hoseCases() map[string]func() (answer, error) {
	return map[string]func() (answer, error){
		"GB-096": func() (answer, error) { return one(hose.BlowOff(38*mmU, 1.1*unit.Bar)) },
		"GB-097": func() (answer, error) { return one(hose.BandPressure(1000, 12*mmU, 44*mmU)) },
		"GB-098": func() (answer, error) { return one(hose.Grip(3.788*mPa, 38*mmU, 12*mmU, 0.3)) },
		"GB-099": func() (answer, error) { return one(hose.Stretch(38*mmU, 40*mmU)) },
		"GB-100": func() (answer, error) { return one(hose.WallShrink(5*mmU, 1.6e-4, 80)) },
		"GB-101": func() (answer, error) { return one(hose.CoilGap(2, inU/28, 3)) },
		"GB-103": func() (answer, error) { return one(fitting.Turns(0.320*inU, inU/14)) },
		"GB-104": func() (answer, error) { return one(fitting.Turns(0.400*inU, inU/11.5)) },
		"GB-105": func() (answer, error) { return one(fitting.Turns(8.2*mmU, 1.814*mmU)) },
		"GB-106": func() (answer, error) { return one(fitting.TaperGrowth(1.814 * mmU)) },
		"GB-107": func() (answer, error) { return one(fitting.WallReduction(0.009*inU, 0.130*inU/2)) },
		"GB-108": func() (answer, error) { return one(fitting.SolderWire(1.125*inU, 0.910*inU, 0.010*inU, 0.125*inU)) },
		"GB-109": func() (answer, error) { return one(leak.Loss(5.6/1.004*unit.Millilitre, unit.Hour)) },
		"GB-110": func() (answer, error) { return one(leak.Drip(2, unit.Minute, unit.Millilitre/20)) },
		"GB-111": func() (answer, error) { return one(fitting.LipSpeed(40*mmU, 50)) },
		"GB-112": func() (answer, error) { return one(fitting.FlatsAngle(1.5)) },
	}
}
