package flange

import (
	"math"

	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

// Room is how much may still be taken off a face before something becomes too small, and what that is. Below 0 it is
// too small already.
type Room struct {
	Why  string
	Left unit.Length
}

// RoomByThickness is what a part may lose: thickness now less the least it must keep. Which least holds is the maker's
// matter; without a figure there is none of ours.
// Source: definition; standing: confirmed.
func RoomByThickness(now, least unit.Length) (Room, error) {
	err := first(positive("the thickness now", now), notNegative("the least thickness", least))
	return Room{"thickness of the part", now - least}, err
}

// RoomByMeasure is what a clearance that shrinks with the face may lose: clearance now less the least wanted. It serves
// for pins in blind holes, bolts above the bottom of their holes, a cap above its stack, a valve above its piston.
// Source: geometry; standing: confirmed.
func RoomByMeasure(why string, now, least unit.Length) (Room, error) {
	err := first(refuse.Finite(why, float64(now)), notNegative("the least "+why, least))
	return Room{why, now - least}, err
}

// RoomBySqueeze is what the face round a recess may lose before a gasket or ring of a free height in it is squeezed
// more than it stands.
//
//	x = depth - height (1 - Cmax)
//
// Only where the faces close metal to metal. Source: geometry; standing: confirmed.
func RoomBySqueeze(depth, height unit.Length, utmost unit.Ratio) (Room, error) {
	err := first(positive("the depth of the recess", depth), positive("the free height of gasket or ring", height), refuse.Within("the greatest squeeze", float64(utmost), 0, 0.9, "give the share of the height"))
	return Room{"squeeze of what lies in the recess", depth - height*unit.Length(1-utmost)}, err
}

// Lapping is how much has to come off a face, and how much may.
//
//	needed = unevenness - permitted (0 where it is flat enough), clean up = unevenness, may = least of the rooms
//
// Material comes off the high places only until the deepest hollow is within the permitted flatness: the part loses
// the needed amount at most. Needed above May: the part cannot be saved by lapping.
type Lapping struct {
	Needed, CleanUp, May unit.Length
	Why                  string // what sets May
	Possible             bool
}

// Lap judges the rooms; refused without one. Source: geometry; standing: confirmed.
func Lap(unevenness, permitted unit.Length, rooms ...Room) (Lapping, error) {
	if err := first(notNegative("the unevenness", unevenness), notNegative("the permitted flatness", permitted)); err != nil {
		return Lapping{}, err
	}
	if len(rooms) == 0 {
		return Lapping{}, because("how much may come off", "is not known", "give the maker's figure, or the thickness and the least it must keep")
	}
	out := Lapping{Needed: max(0, unevenness-permitted), CleanUp: unevenness, May: rooms[0].Left, Why: rooms[0].Why}
	for _, r := range rooms {
		if err := refuse.Finite(r.Why, float64(r.Left)); err != nil {
			return Lapping{}, err
		}
		if r.Left < out.May {
			out.May, out.Why = r.Left, r.Why
		}
	}
	out.Possible = out.Needed <= out.May
	return out, nil
}

// CompressionAfterLapping is the compression ratio of a cylinder when its head or deck has lost some height.
//
//	e = (Vs + Vc - A x) / (Vc - A x), Vc = Vs / (e0 - 1)      Vs swept volume, A area of the chamber at the face
//
// Refused where nothing of the chamber would be left. Source: definition; standing: confirmed.
func CompressionAfterLapping(swept unit.Volume, before unit.Ratio, chamber unit.Area, lapped unit.Length) (unit.Ratio, error) {
	if err := first(positive("the swept volume", swept), refuse.Within("the compression ratio", float64(before), 2, 40, "6 to 12 petrol, 14 to 24 diesel"), positive("the area of the chamber", chamber), notNegative("what is lapped off", lapped)); err != nil {
		return 0, err
	}
	vs := float64(swept)
	vc := vs/(float64(before)-1) - float64(chamber)*float64(lapped)
	if vc <= 0 {
		return 0, because("what is lapped off", "leaves no chamber", "check the sizes and the units")
	}
	return unit.Ratio((vs + vc) / vc), nil
}

// Disc is the area of a round face: (pi/4) D^2. It is 0 for a diameter of 0 and makes no other check.
func Disc(d unit.Length) unit.Area { return unit.Area(math.Pi / 4 * float64(d*d)) }
