package refcheck

import (
	"errors"
	"os"
	"strconv"

	"seepwright/engine/measure/gland"
	"seepwright/engine/measure/ringsize"
	"seepwright/rules/unit"
)

func exists(path string) bool { _, err := os.Stat(path); return err == nil }

// lengths in millimetres for the worked glands below
const (
	cord353   = 3.53 * mmU
	groove254 = 25.40 * mmU
)

func squeezeAtDepth(cord, depth unit.Length) func() (answer, error) {
	return func() (answer, error) { return one(gland.Squeeze(cord, depth)) }
}

func loss(stretch unit.Ratio) func() (answer, error) {
	return func() (answer, error) { return one(gland.SectionLoss(stretch)) }
}

func outside(s ringsize.Ring) func() (answer, error) {
	return func() (answer, error) { return one(gland.OutsideDiameter(s.ID, s.Cord)) }
}

func classB(id float64) func() (answer, error) {
	return func() (answer, error) { return one(gland.ClassBTolerance(unit.Length(id) * mmU)) }
}

func shoreModulus(s unit.Hardness) func() (answer, error) {
	return func() (answer, error) { return one(gland.Modulus(s)) }
}

func lineLoad(squeeze unit.Ratio) func() (answer, error) {
	return func() (answer, error) { return one(gland.LineLoad(cord353, 5.52*unit.Megapascal, squeeze)) }
}

func sizeAndTolerance(s ringsize.Ring) func() (answer, error) {
	return func() (answer, error) { return several(nil, float64(s.ID), float64(s.IDTol)) }
}

func largestID(rings []ringsize.Ring, hundreds int, last string) func() (answer, error) {
	return func() (answer, error) {
		best := ringsize.Ring{}
		for _, s := range rings {
			n, err := strconv.Atoi(s.Name)
			if err == nil && n/100 == hundreds && s.ID > best.ID {
				best = s
			}
		}
		if best.Name != last {
			return answer{}, errors.New("the largest ring of the series is -" + best.Name)
		}
		return several(nil, float64(best.ID))
	}
}

// around is the least squeeze round an oval 31.00 x 31.20 bore with the inner part off its middle.
func leastAround(offset unit.Length) func() (answer, error) {
	return func() (answer, error) {
		least, _, err := gland.SqueezeAround(cord353, groove254, gland.Oval{Mean: 31.10 * mmU, Semi: 0.10 * mmU}, gland.Offset{By: offset})
		return one(least.Squeeze, err)
	}
}

func eccentric(share bool) func() (answer, error) {
	return func() (answer, error) {
		least, _, err := gland.SqueezeAround(cord353, groove254, gland.Round(groove254+2*2.82*mmU), gland.Offset{By: 0.10 * mmU})
		if share {
			return one(least.Share, err)
		}
		return one(least.Squeeze, err)
	}
}

func oringCases(size map[string]ringsize.Ring, rings []ringsize.Ring, gaps map[string][]gland.Band) map[string]func() (answer, error) {
	mil := struct{ depth, cord gland.Span }{cord: gland.PlusMinus(0.139*inU, 0.004*inU)}
	mil.depth, _ = gland.DepthSpan(inch(1.678, 1.680), inch(1.433, 1.435))
	cs := func(nominal, tol float64) gland.Span {
		return gland.PlusMinus(unit.Length(nominal)*inU, unit.Length(tol)*inU)
	}
	jisCord := func(nominal, tol float64) gland.Span {
		return gland.PlusMinus(unit.Length(nominal)*mmU, unit.Length(tol)*mmU)
	}
	width := 4.75 * mmU
	c := map[string]func() (answer, error){
		"OR-S001": func() (answer, error) { return one(gland.SqueezeDepth(3.0*mmU, 2.3*mmU)) },
		"OR-S002": squeezeAtDepth(3.0*mmU, 2.3*mmU),
		"OR-S003": squeezeAtDepth(2.0*mmU, 1.5*mmU),
		"OR-S004": squeezeMM(jisCord(3.1, 0.10), jis(30, 25), false),
		"OR-S005": squeezeShare(jisCord(3.1, 0.10), jis(30, 25), false),
		"OR-S006": squeezeMM(jisCord(8.4, 0.15), jis(335, 320), false),
		"OR-S007": squeezeShare(jisCord(8.4, 0.15), jis(335, 320), false),
		"OR-S008": squeezeMM(jisCord(5.7, 0.13), jis(160, 150), false),
		"OR-S009": squeezeShare(jisCord(5.7, 0.13), jis(160, 150), false),
		"OR-S010": func() (answer, error) { return several(nil, float64(mil.depth.Min), float64(mil.depth.Max)) },
		"OR-S011": squeezeMM(mil.cord, mil.depth, true),
		"OR-S012": squeezeShare(mil.cord, mil.depth, true),
		"OR-S013": squeezeMM(cs(0.070, 0.003), inch(0.050, 0.052), true),
		"OR-S014": squeezeMM(cs(0.103, 0.003), inch(0.081, 0.083), true),
		"OR-S015": squeezeMM(cs(0.139, 0.004), inch(0.111, 0.113), true),
		"OR-S016": squeezeMM(cs(0.210, 0.005), inch(0.170, 0.173), true),
		"OR-S017": squeezeMM(cs(0.275, 0.006), inch(0.226, 0.229), true),
		"OR-S018": squeezeMM(cs(0.070, 0.003), inch(0.049, 0.054), true),
		"OR-S019": squeezeMM(cs(0.139, 0.004), inch(0.100, 0.108), true),
		"OR-S020": squeezeMM(cs(0.275, 0.006), inch(0.205, 0.215), true),
		"OR-S021": squeezeMM(cs(0.070, 0.003), inch(0.055, 0.057), true),
		"OR-S022": squeezeMM(cs(0.210, 0.005), inch(0.183, 0.188), true),
		"OR-S023": squeezeAtDepth(0.070*inU, 0.051*inU),
		"OR-S024": squeezeAtDepth(0.275*inU, 0.2275*inU),
		"OR-S025": func() (answer, error) { return one(gland.Stretch(58.0*mmU, 61.6*mmU)) },
		"OR-S026": loss(6.21 * pct),
		"OR-S027": func() (answer, error) { return one(gland.SectionAfterLoss(5.3*mmU, 4.04*pct)) },
		"OR-S028": func() (answer, error) {
			t, err := gland.Depth(70*mmU, 61.6*mmU)
			if err != nil {
				return answer{}, err
			}
			return one(gland.Squeeze(5.086*mmU, t))
		},
		"OR-S029": loss(1 * pct),
		"OR-S030": loss(2 * pct),
		"OR-S031": loss(5 * pct),
		"OR-S032": loss(8 * pct),
		"OR-S033": loss(20 * pct),
		"OR-S034": func() (answer, error) { return one(gland.StretchedSection(24.99*mmU, cord353, 26.00*mmU)) },
		"OR-S035": func() (answer, error) { return one(gland.SectionLossRule(4 * pct)) },
		"OR-S036": func() (answer, error) { return one(gland.Stretch(size["214"].ID, 1.010*inU)) },
		"OR-S037": func() (answer, error) { return one(gland.GreatestGroove(0.984*inU, 5*pct)) },
		"OR-S038": outside(size["214"]),
		"OR-S039": outside(size["325"]),
		"OR-S040": outside(size["110"]),
		"OR-S041": outside(size["012"]),
		"OR-S042": outside(size["446"]),
		"OR-S043": outside(size["281"]),
		"OR-S044": outside(size["904"]),
		"OR-S045": sizeAndTolerance(size["001"]),
		"OR-S046": sizeAndTolerance(size["475"]),
		"OR-S047": func() (answer, error) { return several(nil, float64(len(rings))) },
		"OR-S048": largestID(rings, 0, "050"),
		"OR-S049": largestID(rings, 1, "178"),
		"OR-S050": largestID(rings, 2, "284"),
		"OR-S051": identify(rings, 37.6, 5.3),
		"OR-S052": identify(rings, 24.9, 3.5),
		"OR-S053": identify(rings, 12.5, 1.75),
		"OR-S054": identify(rings, 66.3, 2.6),
		"OR-S055": classB(5),
		"OR-S056": classB(10),
		"OR-S057": classB(20),
		"OR-S058": classB(80),
		"OR-S059": classB(160),
		"OR-S060": classB(640),
		"OR-S061": func() (answer, error) { return one(gland.FillArea(cord353, 2.82*mmU, width)) },
		"OR-S062": func() (answer, error) { return one(gland.FillArea(1.78*mmU, 1.27*mmU, 2.36*mmU)) },
		"OR-S063": func() (answer, error) {
			return one(gland.FillVolume(24.99*mmU, cord353, groove254, 31.04*mmU, 4.78*mmU))
		},
		"OR-S064": func() (answer, error) {
			return one(gland.FillMaxMaterial(gland.PlusMinus(cord353, 0.10*mmU), gland.Span{Min: 2.819 * mmU, Max: 2.87 * mmU}, gland.Span{Min: 4.750 * mmU, Max: 5.0 * mmU}))
		},
		"OR-S065": func() (answer, error) {
			f, err := gland.FillArea(cord353, 2.82*mmU, width)
			if err != nil {
				return answer{}, err
			}
			return one(gland.FillSwollen(f, 15*pct))
		},
		"OR-S066": func() (answer, error) { return one(gland.VolumeGrowth(16e-5, 80)) },
		"OR-S067": func() (answer, error) { return one(gland.SectionChange(cord353, 16e-5, 80)) },
		"OR-S068": func() (answer, error) { return one(gland.SqueezeAt(cord353, 3.10*mmU, 11.2e-5, -50)) },
		"OR-S069": func() (answer, error) { return one(gland.SwollenSection(cord353, 20*pct)) },
		"OR-S070": func() (answer, error) {
			q, err := unit.Parse("6.2e-5 1/F", unit.ExpansionDim)
			return several(err, q.SI())
		},
		"OR-S071": func() (answer, error) { return one(gland.CompressionSet(cord353, 2.65*mmU, 3.09*mmU)) },
		"OR-S072": func() (answer, error) { return one(gland.HeightAfterSet(cord353, 2.70*mmU, 50*pct)) },
		"OR-S073": func() (answer, error) { return one(gland.SqueezeAfterSet(cord353, 2.70*mmU, 50*pct)) },
		"OR-S074": func() (answer, error) { return one(gland.SqueezeAfterSet(cord353, 2.70*mmU, 85*pct)) },
		"OR-S075": shoreModulus(30),
		"OR-S076": shoreModulus(40),
		"OR-S077": shoreModulus(50),
		"OR-S078": shoreModulus(60),
		"OR-S079": shoreModulus(70),
		"OR-S080": func() (answer, error) { return one(gland.ModulusLog(50)) },
		"OR-S081": func() (answer, error) {
			e, err := gland.Modulus(70)
			if err != nil {
				return answer{}, err
			}
			return one(gland.LineLoad(2.0*mmU, e, 25*pct))
		},
		"OR-S082": lineLoad(15 * pct),
		"OR-S083": lineLoad(20 * pct),
		"OR-S084": lineLoad(35 * pct),
		"OR-S085": func() (answer, error) {
			q, err := gland.LineLoad(cord353, 5.52*unit.Megapascal, 25*pct)
			if err != nil {
				return answer{}, err
			}
			return one(gland.CloseForce(q, 24.99*mmU, cord353))
		},
		"OR-S086": func() (answer, error) { return one(gland.ContactWidth(cord353, 20*pct)) },
		"OR-S087": func() (answer, error) { return one(gland.ContactWidthLine(cord353, 20*pct)) },
		"OR-S088": eccentric(false),
		"OR-S089": eccentric(true),
		"OR-S090": leastAround(0),
		"OR-S091": leastAround(0.05 * mmU),
		"OR-S092": func() (answer, error) {
			s, err := gland.SqueezeHardOver(cord353, groove254, 31.04*mmU, 30.94*mmU)
			return one(unit.Ratio(s/cord353), err)
		},
		"OR-S093": func() (answer, error) { return one(gland.OffsetFromRunout(0.10 * mmU)) },
		"OR-S094": func() (answer, error) {
			return one(gland.GreatestOvality(cord353, groove254, 31.04*mmU, 0.35*mmU))
		},
		"OR-S095": gap(gaps["E1"], 70, 6.0),
		"OR-S096": gap(gaps["E1"], 90, 12.0),
		"OR-S097": gap(gaps["E3"], 70, 5.0),
		"OR-S098": gap(gaps["E3"], 90, 14.0),
		"OR-S099": gap(gaps["E2"], 80, 5.0),
		"OR-S100": func() (answer, error) {
			limit, err := gland.GreatestGap(gaps["E1"], 70, 1000*unit.PSI)
			return word(0.016*inU <= limit, err)
		},
		"OR-S101": func() (answer, error) { return one(gland.SiliconeGap(0.010 * inU)) },
		"OR-S102": func() (answer, error) { return one(gland.ColdLimit(-24)) },
		"OR-S103": func() (answer, error) { return one(gland.ColdLimitMoving(-24)) },
		"OR-S105": func() (answer, error) { return one(gland.Depth(46.00*mmU, 40.40*mmU)) },
		"OR-S106": func() (answer, error) {
			t, err := gland.FaceDepth(2.70*mmU, 0.10*mmU)
			if err != nil {
				return answer{}, err
			}
			return one(gland.Squeeze(cord353, t))
		},
	}
	return c
}
