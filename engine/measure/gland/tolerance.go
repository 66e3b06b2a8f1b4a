package gland

import "seepwright/rules/unit"

// DepthSpan is the gland depth between its limits, from the limits of bore and groove.
//
//	t_min = (D_min - dg_max) / 2, t_max = (D_max - dg_min) / 2
//
// Source: worst-case stack, JIS B 2406 groove table notes; standing: confirmed.
func DepthSpan(bore, groove Span) (Span, error) {
	if err := first(bore.check("bore"), groove.check("groove diameter")); err != nil {
		return Span{}, err
	}
	lo, err := Depth(bore.Min, groove.Max)
	if err != nil {
		return Span{}, err
	}
	hi, err := Depth(bore.Max, groove.Min)
	return Span{lo, hi}, err
}

// Range is the least and the greatest squeeze that tolerances allow, in length and as a share.
type Range struct {
	Least, Greatest           unit.Length
	LeastShare, GreatestShare unit.Ratio
}

// WorstCase is the squeeze with every size at its worst limit together.
//
//	s_min = d_min - t_max, C_min = s_min / d_min; s_max = d_max - t_min, C_max = s_max / d_max
//
// A least squeeze below 0 is a gap and is returned as such. Source: JIS B 2406 and the usual
// gland tables, whose printed squeeze follows this stack; standing: confirmed.
func WorstCase(cord, depth Span) (Range, error) {
	if err := first(cord.check("cord"), depth.check("gland depth")); err != nil {
		return Range{}, err
	}
	r := Range{Least: cord.Min - depth.Max, Greatest: cord.Max - depth.Min}
	r.LeastShare = unit.Ratio(r.Least / cord.Min)
	r.GreatestShare = unit.Ratio(r.Greatest / cord.Max)
	return r, nil
}

// Statistical is the squeeze that nearly all assemblies keep, when the parts vary
// independently about the middle of their tolerances.
//
//	s = s_mid -/+ sqrt(h_d^2 + (h_D^2 + h_dg^2) / 4)
//
// h half widths of the tolerances of cord, bore, groove diameter; the shares follow the same rule, each
// size's own change of the share taken to its limits. Both lie within WorstCase. Not a bound: parts from one
// batch all lie to one side. Source: root-sum-square stack, general tolerance practice; standing: common practice.
func Statistical(cord, bore, groove Span) (Range, error) {
	f, err := Gland{Kind: Piston, Cord: cord, Outer: bore, Inner: groove}.Fit()
	if err != nil {
		return Range{}, err
	}
	return Range{f.Squeeze.StatLeast, f.Squeeze.StatGreatest, f.Share.StatLeast, f.Share.StatGreatest}, nil
}
