package flange

import (
	"math"

	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

// Embedding is how far roughness beds in by guide values: thread once, each bearing face of head and nut, each
// joint between clamped parts.
//
//	f = f_thread + n_heads f_head + n_joints f_joint
//
// Metal on metal; a gasket creeps more. Source: VDI 2230, guide values; standing: from memory.
func Embedding(thread, head unit.Length, heads int, joint unit.Length, joints int) (unit.Length, error) {
	if err := first(notNegative("the bedding in of the thread", thread), notNegative("the bedding in under the head", head), notNegative("the bedding in of a joint", joint)); err != nil {
		return 0, err
	}
	if heads < 0 || joints < 0 {
		return 0, because("the number of faces", "is below 0", "count heads, nuts and joints between parts")
	}
	return thread + unit.Length(heads)*head + unit.Length(joints)*joint, nil
}

// GasketCreep is how far a gasket settles that loses a share of its thickness: x = share t.
// Source: definition; standing: confirmed.
func GasketCreep(thickness unit.Length, share unit.Ratio) (unit.Length, error) {
	if err := first(positive("the gasket thickness", thickness), refuse.Within("the share of the thickness", float64(share), 0, 0.9, "a few per cent for sheet, more for cork")); err != nil {
		return 0, err
	}
	return thickness * unit.Length(share), nil
}

// LeastGrip is how long a bolt must stretch over so that a settling takes no more than a share of its load.
//
//	L = E A (f / (share F) - 1/kj)      kj clamped parts, 0 = rigid
//
// Rigid parts give the longest, cautious answer. The result 0 means that any length will do.
// Source: LossBySettling turned round; standing: confirmed (algebra).
func LeastGrip(settling unit.Length, preload unit.Force, share unit.Ratio, area unit.Area, e unit.Pressure, parts unit.Stiffness) (unit.Length, error) {
	if err := first(notNegative("the settling", settling), positive("the bolt load", preload), refuse.Within("the share that may be lost", float64(share), 1e-6, 1, "10 to 30 %"), positive("the area of the bolt", area), modulus("the modulus of the bolt", e), notNegative("the stiffness of the clamped parts", parts)); err != nil {
		return 0, err
	}
	give := float64(settling) / (float64(share) * float64(preload))
	if parts > 0 {
		give -= 1 / float64(parts)
	}
	return unit.Length(math.Max(0, float64(e)*float64(area)*give)), nil
}

// InLine is the stiffness of springs behind one another: 1 / sum(1/k). Shank and thread of a bolt, parts of a
// stack, a spring washer and its rod.
// Source: springs in series; standing: confirmed.
func InLine(ks ...unit.Stiffness) (unit.Stiffness, error) {
	if len(ks) == 0 {
		return 0, because("the springs", "are missing", "give at least one stiffness")
	}
	give := 0.0
	for _, k := range ks {
		if err := positive("a stiffness", k); err != nil {
			return 0, err
		}
		give += 1 / float64(k)
	}
	return unit.Stiffness(1 / give), nil
}

// Part is one clamped part under a bolt: how thick, and its modulus.
type Part struct {
	Thickness unit.Length
	E         unit.Pressure
}

// ConeStiffness is the stiffness of the metal under a bolt head: a hollow cone of 30 degrees.
//
//	k = 0.5774 pi E d / ln[ (1.155 t + D - d)(D + d) / ((1.155 t + D + d)(D - d)) ]
//
// D small end of the cone, d hole (bolt diameter), t its length. Source: Shigley's Mechanical Engineering Design, eq. 8-20; standing: confirmed.
func ConeStiffness(d, small unit.Length, part Part) (unit.Stiffness, error) {
	if err := first(positive("the bolt diameter", d), positive("the part's thickness", part.Thickness), modulus("the part's modulus", part.E)); err != nil {
		return 0, err
	}
	if small <= d {
		return 0, because("the bearing face under the head", "is not larger than the bolt", "measure the face of head or washer")
	}
	dd, D, t := float64(d), float64(small), 1.155*float64(part.Thickness)
	return unit.Stiffness(0.5774 * math.Pi * float64(part.E) * dd / math.Log((t+D-dd)*(D+dd)/((t+D+dd)*(D-dd)))), nil
}

// ClampedStiffness is the stiffness of a stack of parts between head and nut: cones from both ends that meet in
// the middle of the grip.
//
// Valid for parts that reach past the cones; a thin rim or a narrow flange is softer. Faces of gasket do not
// belong into it: a gasket takes the load on its own area, put it in line with InLine. Source: Shigley's Mechanical
// Engineering Design, section 8-5; standing: confirmed.
func ClampedStiffness(d, face unit.Length, parts ...Part) (unit.Stiffness, error) {
	grip := unit.Length(0)
	for _, p := range parts {
		if err := positive("the part's thickness", p.Thickness); err != nil {
			return 0, err
		}
		grip += p.Thickness
	}
	var ks []unit.Stiffness
	at := unit.Length(0)
	for _, p := range parts {
		for _, half := range [2][2]unit.Length{{0, grip / 2}, {grip / 2, grip}} {
			from, to := max(at, half[0]), min(at+p.Thickness, half[1])
			if to-from <= 1e-9*grip {
				continue
			}
			deep := min(from, grip-to) // distance of the small end from its own head
			k, err := ConeStiffness(d, face+2*deep*unit.Length(math.Tan(math.Pi/6)), Part{to - from, p.E})
			if err != nil {
				return 0, err
			}
			ks = append(ks, k)
		}
		at += p.Thickness
	}
	if len(ks) == 0 {
		return 0, because("the clamped parts", "are missing", "give the thickness of each")
	}
	return InLine(ks...)
}
