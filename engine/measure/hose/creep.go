package hose

import (
	"seepwright/engine/measure/refuse"
	"seepwright/rules/unit"
)

// WallShrink is how much a hose wall thins on cooling: a t dT. It is what a hard clamp must follow.
// Valid for 0 <= dT <= 300 K. Source: definition; standing: confirmed (expansion of rubber from memory).
func WallShrink(wall unit.Length, a unit.Expansion, fall unit.Kelvin) (unit.Length, error) {
	if err := first(positive("the hose wall", wall), refuse.Within("the expansion of the rubber", float64(a), 0, 1e-3, "rubbers have 1 to 3 e-4 per kelvin"), refuse.Within("the fall of temperature", float64(fall), 0, 300, "give it in kelvin")); err != nil {
		return 0, err
	}
	return wall * unit.Length(float64(a)*float64(fall)), nil
}

// CoilGap is the gap between the coils of a spring clamp that was screwed solid and turned back.
//
//	g = n P / k      n turns back, P pitch of the screw, k gaps between coils
//
// Source: geometry; standing: confirmed (a clamp note prints about the same).
func CoilGap(turns float64, pitch unit.Length, gaps int) (unit.Length, error) {
	if err := first(refuse.NotNegative("the turns", turns), positive("the pitch of the screw", pitch)); err != nil {
		return 0, err
	}
	if gaps < 1 {
		return 0, refuse.Because("the number of gaps", "is below 1", "count the gaps between the coils")
	}
	return unit.Length(turns) * pitch / unit.Length(gaps), nil
}

// Squeezed is how the rubber under a band stands: what it was pressed in, and what is left.
type Squeezed struct {
	Wall      unit.Length    // of the hose on its spigot, before the band was drawn
	Pressed   unit.Length    // how much the band presses the wall in
	Set       unit.Ratio     // share of it that the rubber has kept (compression set)
	Expansion unit.Expansion // linear, of the rubber
	Follow    unit.Length    // by how much the clamp follows in radius: 0 for a plain screw clamp
}

func (s Squeezed) check() error {
	if err := first(positive("the hose wall", s.Wall), notNegative("the squeeze of the wall", s.Pressed), refuse.Within("the set of the rubber", float64(s.Set), 0, 1, "give the share of the squeeze that stays, such as 40 %"),
		refuse.Within("the expansion of the rubber", float64(s.Expansion), 0, 1e-3, "rubbers have 1 to 3 e-4 per kelvin"), notNegative("the follow-up of the clamp", s.Follow)); err != nil {
		return err
	}
	if s.Pressed >= s.Wall {
		return refuse.Because("the squeeze of the wall", "is not below the wall itself", "give how much thinner the wall is under the band")
	}
	return nil
}

// Left is the squeeze that is left after set, and after cooling from the heat in which it set.
//
//	x = x0 (1 - s) + f - t a dT      s set, f follow-up, t wall, a expansion, dT fall of temperature
//
// Below 0 there is a gap under the band: the cold leak. Source: sum of lengths with the definition of
// compression set; standing: estimate (the rubber is taken as a spring without memory).
func (s Squeezed) Left(fall unit.Kelvin) (unit.Length, error) {
	if err := s.check(); err != nil {
		return 0, err
	}
	x, err := WallShrink(s.Wall, s.Expansion, fall)
	if err != nil {
		return 0, err
	}
	return s.Pressed*unit.Length(1-s.Set) + s.Follow - x, nil
}

// ColdestBy is the fall of temperature at which nothing is left: Left solved for dT.
func (s Squeezed) ColdestBy() (unit.Kelvin, error) {
	if err := first(s.check(), positive("the expansion of the rubber", s.Expansion)); err != nil {
		return 0, err
	}
	x := s.Pressed*unit.Length(1-s.Set) + s.Follow
	return unit.Kelvin(float64(x/s.Wall) / float64(s.Expansion)), nil
}

// FollowFor is by how much a clamp must follow so that a wanted squeeze is left in the cold: Left solved for f,
// 0 where the rubber itself is enough.
func (s Squeezed) FollowFor(fall unit.Kelvin, wanted unit.Length) (unit.Length, error) {
	s.Follow = 0
	left, err := s.Left(fall)
	if err := first(err, notNegative("the wanted squeeze", wanted)); err != nil {
		return 0, err
	}
	return max(0, wanted-left), nil
}

// AsFound is the torque found on a clamp, cold, as a share of its target. Below 60 % it is slack and wants its
// one re-nip: cold, after the first full heat cycle, to the torque for a used hose, never more.
// Source: workshop check of clamps; standing: common practice.
func AsFound(found, target unit.Torque) (unit.Ratio, error) {
	if err := first(notNegative("the torque found", found), positive("the target torque", target)); err != nil {
		return 0, err
	}
	return unit.Ratio(found / target), nil
}

// SlackBelow is the share of the target torque below which a clamp is slack. Source: common practice.
const SlackBelow unit.Ratio = 0.6
