package rules

// Act is a kind of work that a stop can refuse while the rest of the work goes on.
type Act string

// The acts. A look or a question at a stage where the thing runs, is hot or holds pressure is a search
// under pressure by its stage, unless its check keeps everybody clear.
const (
	UnderPressure   Act = "search-under-pressure"
	PressureTest    Act = "pressure-test"
	MendPipework    Act = "mend-pipework"
	PlugPort        Act = "plug-port"
	OpenAccumulator Act = "open-accumulator"
)

// Acts lists the acts that can be refused.
func Acts() []Act {
	return []Act{UnderPressure, PressureTest, MendPipework, PlugPort, OpenAccumulator}
}

// Words say an act as a line for people does.
func (a Act) Words() string {
	switch a {
	case UnderPressure:
		return "searching by hand, or while it runs or holds pressure"
	case PressureTest:
		return "pressure tests of one's own"
	case MendPipework:
		return "mending hoses, pipes and their fittings"
	case PlugPort:
		return "plugging or blanking a port"
	case OpenAccumulator:
		return "opening or charging an accumulator"
	}
	return string(a)
}

// Loaded reports whether a thing runs, is hot or may hold pressure at this stage.
func (s Stage) Loaded() bool {
	return s == Running || s == Static || s == Hot || s == OneFastener
}
