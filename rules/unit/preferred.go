package unit

// preferred are the units that a person of one system expects to read.
var preferred = map[string]map[Dimension]string{
	"inch":   {LengthDim: "in", AreaDim: "in2", PressureDim: "psi", ForceDim: "lbf", TorqueDim: "lbf ft", TemperatureDim: "F", VolumeDim: "fl oz"},
	"metric": {LengthDim: "mm", AreaDim: "mm2", PressureDim: "bar", ForceDim: "N", TorqueDim: "N m", TemperatureDim: "C", VolumeDim: "mL"},
}

// Preferred is the symbol of the unit in which a system ("metric" or "inch") shows a
// dimension, or "" where the system has no say.
func Preferred(d Dimension, system string) string { return preferred[system][d] }
