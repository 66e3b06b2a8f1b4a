package flange

import "seepwright/rules/unit"

// DefectLimit is one row of a table of marks that a sealing face may have: up to this share of the
// gasket width across it (radial span), marks may be this deep; Depth 0 means not allowed.
type DefectLimit struct {
	UpTo  unit.Ratio
	Depth unit.Length
}

// DefectDepth is the depth that a mark of this radial span may have, from the table given.
//
// Rows rise by UpTo; the first whose UpTo is not below span / width holds. The result 0 means not
// allowed at any depth. Refused for an empty table; a span beyond the last row is not allowed.
// Source and standing: those of the table (ASME PCC-1 App. D type).
func DefectDepth(table []DefectLimit, width, span unit.Length) (unit.Length, error) {
	if err := first(positive("the gasket width", width), positive("the radial span of the mark", span)); err != nil {
		return 0, err
	}
	if len(table) == 0 {
		return 0, because("the table of marks", "is empty", "give the limits of your gasket class")
	}
	for _, row := range table {
		if unit.Ratio(span/width) <= row.UpTo {
			return row.Depth, nil
		}
	}
	return 0, nil
}

// DefectPasses says whether a mark is within the table; see DefectDepth.
func DefectPasses(table []DefectLimit, width, span, depth unit.Length) (bool, error) {
	if err := notNegative("the depth of the mark", depth); err != nil {
		return false, err
	}
	limit, err := DefectDepth(table, width, span)
	return err == nil && limit > 0 && depth <= limit, err
}

// FlatEnough compares the unevenness of a face with the limit of its gasket class.
// Source: definition; standing: confirmed.
func FlatEnough(unevenness, limit unit.Length) (bool, error) {
	if err := first(notNegative("the unevenness", unevenness), positive("the limit", limit)); err != nil {
		return false, err
	}
	return unevenness <= limit, nil
}
