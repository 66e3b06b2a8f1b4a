package leak

import "seepwright/rules/unit"

// Year is 365 days, as leak figures per year are usually meant.
const Year = 365 * unit.Day

// Drip is the flow of a drip.
//
//	Q = n v / t      n drops counted in the time t, v size of a drop
//
// A drop of water from a small edge is 0.05 mL, 0.03 to 0.08; of oil 0.033, 0.02 to 0.05; from a
// tap-like edge 0.25, 0.1 to 0.33. Valid for n >= 0, t > 0, v > 0. Source: arithmetic, confirmed;
// drop sizes from reference pages (confirmed) and as a spread common practice.
func Drip(drops float64, over unit.Time, drop unit.Volume) (unit.Flow, error) {
	if err := first(notNegative("the number of drops", drops), positive("the time", over), positive("the size of a drop", drop)); err != nil {
		return 0, err
	}
	return unit.Flow(drops * float64(drop) / float64(over)), nil
}

// Loss is the flow of a loss seen as a volume in a time ("a cup in 45 minutes"): Q = V / t.
// Source: arithmetic; standing: confirmed.
func Loss(volume unit.Volume, over unit.Time) (unit.Flow, error) {
	if err := first(notNegative("the volume lost", volume), positive("the time", over)); err != nil {
		return 0, err
	}
	return unit.Flow(float64(volume) / float64(over)), nil
}

// DropsIn is the number of drops that a flow gives in a time: n = Q t / v.
// Source: arithmetic; standing: confirmed.
func DropsIn(q unit.Flow, over unit.Time, drop unit.Volume) (float64, error) {
	if err := first(notNegative("the flow", q), positive("the time", over), positive("the size of a drop", drop)); err != nil {
		return 0, err
	}
	return float64(q) * float64(over) / float64(drop), nil
}

// In is the volume that a flow gives in a time: V = Q t.
func In(q unit.Flow, over unit.Time) unit.Volume { return unit.Volume(float64(q) * float64(over)) }

// LevelFall is the volume lost when the level of a tank falls.
//
//	V = A h      A free surface of the tank (all vessels that share the level), h fall
//
// Valid for A > 0, h >= 0, straight walls over the fall. Source: geometry; standing: confirmed.
func LevelFall(area unit.Area, fall unit.Length) (unit.Volume, error) {
	if err := first(positive("the surface of the tank", area), notNegative("the fall of the level", fall)); err != nil {
		return 0, err
	}
	return unit.Volume(float64(area) * float64(fall)), nil
}

// Cooling is the volume by which a body of liquid shrinks on cooling: V b dT, b volume expansion.
// It looks like a loss and is none. Valid for |dT| <= 300. Source: definition; standing: confirmed.
func Cooling(volume unit.Volume, expansion unit.Expansion, fall unit.Kelvin) (unit.Volume, error) {
	if err := first(positive("the volume of liquid", volume), volumeExpansion(expansion), span("the fall of temperature", fall)); err != nil {
		return 0, err
	}
	return volume * unit.Volume(float64(expansion)*float64(fall)), nil
}
