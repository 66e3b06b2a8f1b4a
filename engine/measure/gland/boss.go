package gland

import (
	"math"

	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

// Boss is the room of the ring at a straight-thread port: the cone at the mouth of the port, the shank of the
// fitting below its hex, and the flat of the hex or washer that lies metal to metal on the port's face.
type Boss struct {
	Mouth unit.Length // largest diameter of the cone, at the face
	Angle unit.Angle  // of the cone's wall to the axis; 0 is a counterbore
	Depth unit.Length // depth of the cone below the face
	Shank unit.Length // diameter on which the ring sits
}

// BossFit is how the ring sits in the port.
type BossFit struct {
	Stretch unit.Ratio
	Loss    unit.Ratio  // of section, by stretch
	Cord    unit.Length // on the shank
	Room    unit.Length // across the corner of shank and flat to the cone, square to the cone
	Squeeze unit.Length // cord less room; below 0 the ring does not reach the cone
	Share   unit.Ratio  // of the cord on the shank
	Fill    unit.Ratio  // volume of the ring over the room below the flat
}

// Fit is the squeeze of a ring that the flat of the hex pushes into the corner between shank and cone.
//
//	d' = d (1 - R), R from SectionLoss at X = (ds - d1)/d1; centre at r = (ds + d')/2, z = d'/2
//	h  = d'/2 + [ (D/2 - z tan b) - r ] cos b      s = d' - h
//	fill = pi^2/4 d^2 (d1 + d) / V, V = pi [ (D^3/8 - R1^3) / (3 tan b) - L ds^2/4 ], R1 = D/2 - L tan b
//
// D mouth, b angle, L depth of the cone, ds shank, d1 and d ring. Valid for 0 <= b <= 45 degrees, shank
// smaller than the narrow end of the cone, cone deeper than half the cord. The sizes of standard ports stand in their standards
// (metric ports 15 degrees, inch ports 12 degrees to the axis: from memory). Source: geometry; standing: confirmed (geometry).
func (b Boss) Fit(ringID, cord unit.Length) (BossFit, error) {
	err := first(positive("the mouth of the port", b.Mouth), positive("the depth of the cone", b.Depth), positive("the shank of the fitting", b.Shank),
		refuse.Within("the angle of the cone", float64(b.Angle/unit.Degree), 0, 45, "give the angle of the wall to the axis: 12 or 15 degrees is usual"))
	if err != nil {
		return BossFit{}, err
	}
	hold, err := Held(Piston, ringID, cord, b.Shank)
	if err != nil {
		return BossFit{}, err
	}
	tan, cos := math.Tan(float64(b.Angle)), math.Cos(float64(b.Angle))
	wide, long, shank, d := float64(b.Mouth)/2, float64(b.Depth), float64(b.Shank)/2, float64(hold.Cord)
	narrow := wide - long*tan
	if narrow <= shank {
		return BossFit{}, because("the shank of the fitting", "is not smaller than the narrow end of the cone", "measure the mouth, depth and angle of the cone again")
	}
	if long < d/2 {
		return BossFit{}, because("the depth of the cone", "is less than half the cord", "the ring would meet the thread: measure the cone again")
	}
	room := d/2 + (wide-d/2*tan-(shank+d/2))*cos
	if room <= 0 {
		return BossFit{}, because("the room of the ring", "is nothing", "the cord is too thick for this port, or a size is wrong")
	}
	solid := wide * wide * long
	if tan > 0 {
		solid = (wide*wide*wide - narrow*narrow*narrow) / (3 * tan)
	}
	volume := math.Pi * (solid - shank*shank*long)
	ring := math.Pi * math.Pi / 4 * float64(cord*cord*(ringID+cord))
	s := d - room
	return BossFit{hold.Share, hold.Loss, hold.Cord, unit.Length(room), unit.Length(s), unit.Ratio(s / d), unit.Ratio(ring / volume)}, nil
}
