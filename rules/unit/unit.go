// Package unit holds physical quantities: the dimensions a fitter meets, their units in
// everyday spelling, and conversion to and from SI.
// It knows no facts, no limits and no measuring uncertainty.
package unit

import (
	"fmt"
	"math"
	"sort"
	"strings"
)

// Dimension names what kind of quantity a number is. Two quantities can be compared only
// when their dimensions are equal. Stress and pressure are one dimension.
type Dimension string

// The dimensions that the knowledge base may use.
const (
	LengthDim      Dimension = "length"
	AreaDim        Dimension = "area"
	VolumeDim      Dimension = "volume"
	AngleDim       Dimension = "angle"
	TimeDim        Dimension = "time"
	FlowDim        Dimension = "flow"        // volume per time
	PressureDim    Dimension = "pressure"    // also stress
	ForceDim       Dimension = "force"       //
	TorqueDim      Dimension = "torque"      //
	TemperatureDim Dimension = "temperature" // a point on the scale
	KelvinDim      Dimension = "temperature-difference"
	RatioDim       Dimension = "ratio" // per cent, or a plain number
	CountDim       Dimension = "count" // whole things
	MassDim        Dimension = "mass"
	SpeedDim       Dimension = "speed"
	StiffnessDim   Dimension = "stiffness" // force per length
	ExpansionDim   Dimension = "expansion" // linear expansion per kelvin
	HardnessDim    Dimension = "hardness"  // Shore A
	EnergyDim      Dimension = "energy"
	LineLoadDim    Dimension = "line-load" // force per length of seal
	AngularDim     Dimension = "rotation"  // turns per time
	ViscosityDim   Dimension = "viscosity" // dynamic
	DensityDim     Dimension = "density"
)

// SI-based quantities as types, so that a bare number cannot pass for a length.
// Each value is in the SI unit named.
type (
	Length    float64 // metre
	Area      float64 // square metre
	Volume    float64 // cubic metre
	Angle     float64 // radian
	Time      float64 // second
	Flow      float64 // cubic metre per second
	Pressure  float64 // pascal
	Force     float64 // newton
	Torque    float64 // newton metre
	Celsius   float64 // degree Celsius, a point on the scale
	Kelvin    float64 // kelvin, a difference
	Ratio     float64 // 1 = 100 %
	Stiffness float64 // newton per metre
	Expansion float64 // per kelvin
	Hardness  float64 // Shore A
	Energy    float64 // joule
	LineLoad  float64 // newton per metre
	Speed     float64 // metre per second
)

// Named sizes for use in code: 3.53 * unit.Millimetre.
const (
	Millimetre  Length   = 1e-3
	Inch        Length   = 0.0254
	Newton      Force    = 1
	Kilonewton  Force    = 1e3
	PoundForce  Force    = 4.4482216152605
	NewtonMetre Torque   = 1
	Bar         Pressure = 1e5
	Megapascal  Pressure = 1e6
	PSI         Pressure = 6894.757293168
	Percent     Ratio    = 0.01
	SquareMM    Area     = 1e-6
	Millilitre  Volume   = 1e-6
	Litre       Volume   = 1e-3
	Minute      Time     = 60
	Hour        Time     = 3600
	Day         Time     = 86400
	Degree      Angle    = math.Pi / 180
)

// Percent gives the ratio in per cent.
func (r Ratio) Percent() float64 { return float64(r) * 100 }

// Millimetres gives the length in millimetres.
func (l Length) Millimetres() float64 { return float64(l) * 1e3 }

// Unit is one spelling-independent unit: SI value = (number + Offset) * Factor.
type Unit struct {
	Symbol string
	Dim    Dimension
	Factor float64
	Offset float64 // added before scaling; only temperatures have one
	names  string  // other spellings, separated by |
}

// ToSI converts a number in this unit to SI.
func (u Unit) ToSI(x float64) float64 { return (x + u.Offset) * u.Factor }

// FromSI converts an SI number to this unit.
func (u Unit) FromSI(x float64) float64 { return x/u.Factor - u.Offset }

// Width converts an uncertainty or a difference, for which offsets do not count.
func (u Unit) Width(x float64) float64 { return x * u.Factor }

const lbf = float64(PoundForce)

// The first unit of each dimension is the one shown when the user gave none.
var units = []Unit{
	{"mm", LengthDim, 1e-3, 0, "millimetre|millimetres|millimeter|millimeters"},
	{"m", LengthDim, 1, 0, "metre|metres|meter|meters"},
	{"cm", LengthDim, 1e-2, 0, "centimetre|centimetres|centimeter|centimeters"},
	{"um", LengthDim, 1e-6, 0, "µm|μm|micron|microns|micrometre|micrometres"},
	{"in", LengthDim, 0.0254, 0, "inch|inches|\"|″|''"},
	{"thou", LengthDim, 0.0254e-3, 0, "mil|mils"},
	{"uin", LengthDim, 0.0254e-6, 0, "µin|μin|microinch|microinches|micro-inch"},
	{"ft", LengthDim, 0.3048, 0, "foot|feet|'"},
	{"mm2", AreaDim, 1e-6, 0, "mm²|mm^2|sq mm"},
	{"cm2", AreaDim, 1e-4, 0, "cm²|cm^2|sq cm"},
	{"m2", AreaDim, 1, 0, "m²|m^2|sq m"},
	{"in2", AreaDim, 0.0254 * 0.0254, 0, "in²|in^2|sq in"},
	{"mL", VolumeDim, 1e-6, 0, "ml|cc|cm3|cm³|cm^3|millilitre|millilitres|milliliter|milliliters"},
	{"L", VolumeDim, 1e-3, 0, "l|litre|litres|liter|liters"},
	{"m3", VolumeDim, 1, 0, "m³|m^3"},
	{"cup", VolumeDim, 240e-6, 0, "cups"},
	{"pint", VolumeDim, 473.176473e-6, 0, "pints|pt|us pint"},
	{"quart", VolumeDim, 946.352946e-6, 0, "quarts|qt|us quart"},
	{"gallon", VolumeDim, 3785.411784e-6, 0, "gallons|gal|us gallon|us gal"},
	{"imp pint", VolumeDim, 568.26125e-6, 0, "imp pints|imperial pint|imperial pints"},
	{"imp quart", VolumeDim, 1136.5225e-6, 0, "imp quarts|imperial quart|imperial quarts"},
	{"imp gallon", VolumeDim, 4546.09e-6, 0, "imp gal|imp gallons|imperial gallon|imperial gallons"},
	{"fl oz", VolumeDim, 29.5735295625e-6, 0, "floz|fluid ounce|fluid ounces"},
	{"deg", AngleDim, math.Pi / 180, 0, "°|degree|degrees"},
	{"rad", AngleDim, 1, 0, "radian|radians"},
	{"min", TimeDim, 60, 0, "minute|minutes|mins"},
	{"s", TimeDim, 1, 0, "sec|secs|second|seconds"},
	{"h", TimeDim, 3600, 0, "hr|hrs|hour|hours"},
	{"day", TimeDim, 86400, 0, "days|d"},
	{"week", TimeDim, 7 * 86400, 0, "weeks|wk"},
	{"month", TimeDim, 30.4375 * 86400, 0, "months"},
	{"year", TimeDim, 365.25 * 86400, 0, "years|yr|yrs|a"},
	{"mL/h", FlowDim, 1e-6 / 3600, 0, "ml/h|mL/hr|ml/hr|ml/hour"},
	{"L/day", FlowDim, 1e-3 / 86400, 0, "l/day|L/d|l/d"},
	{"mL/min", FlowDim, 1e-6 / 60, 0, "ml/min|cc/min"},
	{"L/min", FlowDim, 1e-3 / 60, 0, "l/min|lpm"},
	{"L/h", FlowDim, 1e-3 / 3600, 0, "l/h"},
	{"m3/s", FlowDim, 1, 0, "m³/s"},
	{"bar", PressureDim, 1e5, 0, "bars|barg"},
	{"Pa", PressureDim, 1, 0, "pa|N/m2|pascal"},
	{"kPa", PressureDim, 1e3, 0, "kpa"},
	{"MPa", PressureDim, 1e6, 0, "mpa|N/mm2|N/mm²|N/mm^2"},
	{"GPa", PressureDim, 1e9, 0, "gpa"},
	{"mbar", PressureDim, 100, 0, "millibar"},
	{"psi", PressureDim, 6894.757293168, 0, "lbf/in2|lb/in2|psig"},
	{"ksi", PressureDim, 6894757.293168, 0, ""},
	{"m water", PressureDim, 9806.65, 0, "mH2O|m head|m of water"},
	{"N", ForceDim, 1, 0, "newton|newtons"},
	{"kN", ForceDim, 1e3, 0, "kn"},
	{"lbf", ForceDim, lbf, 0, "lb force|lbs"},
	{"kgf", ForceDim, 9.80665, 0, "kp"},
	{"N m", TorqueDim, 1, 0, "Nm|N*m|N·m|nm|newton metre|newton metres"},
	{"lbf ft", TorqueDim, lbf * 0.3048, 0, "lbfft|lb ft|ft lb|ft lbs|lbf*ft|lbf·ft|ft lbf|ftlb|lbft"},
	{"lbf in", TorqueDim, lbf * 0.0254, 0, "lbfin|lb in|in lb|in lbs|lbf*in|lbf·in|in lbf|inlb|lbin"},
	{"kgf m", TorqueDim, 9.80665, 0, "kgm|kg m|mkp"},
	{"C", TemperatureDim, 1, 0, "°C|degC|deg C|celsius|c"},
	{"F", TemperatureDim, 5.0 / 9, -32, "°F|degF|deg F|fahrenheit"},
	{"K", KelvinDim, 1, 0, "kelvin|C difference|degrees difference"},
	{"%", RatioDim, 0.01, 0, "percent|per cent|pc"},
	{"1", RatioDim, 1, 0, "ratio"},
	{"ppm", RatioDim, 1e-6, 0, ""},
	{"off", CountDim, 1, 0, "pcs|pieces|count|threads|turns"},
	{"kg", MassDim, 1, 0, "kilo|kilos|kilogram|kilograms"},
	{"g", MassDim, 1e-3, 0, "gram|grams"},
	{"lb", MassDim, 0.45359237, 0, "pound|pounds"},
	{"m/s", SpeedDim, 1, 0, ""},
	{"rpm", AngularDim, 2 * math.Pi / 60, 0, "rev/min"},
	{"N/mm", StiffnessDim, 1e3, 0, ""},
	{"kN/mm", StiffnessDim, 1e6, 0, ""},
	{"N/m", StiffnessDim, 1, 0, ""},
	{"1/K", ExpansionDim, 1, 0, "/K|per K|1/C"},
	{"1/F", ExpansionDim, 1.8, 0, "/F|per F"},
	{"Shore A", HardnessDim, 1, 0, "shore|shore a|IRHD|irhd"},
	{"J", EnergyDim, 1, 0, "joule|joules"},
	{"kJ", EnergyDim, 1e3, 0, ""},
	{"N per mm", LineLoadDim, 1e3, 0, ""},
	{"mPa s", ViscosityDim, 1e-3, 0, "mPas|mPa·s|cP|centipoise"},
	{"Pa s", ViscosityDim, 1, 0, "Pa·s"},
	{"uPa s", ViscosityDim, 1e-6, 0, "µPa s|μPa s"},
	{"kg/m3", DensityDim, 1, 0, "kg/m³|g/L"},
	{"g/cm3", DensityDim, 1e3, 0, "g/cm³|g/mL|kg/L"},
}

var bySpelling = func() map[string]int {
	m := map[string]int{}
	for i, u := range units {
		for _, s := range append([]string{u.Symbol}, strings.Split(u.names, "|")...) {
			if s != "" {
				m[s] = i
			}
		}
	}
	return m
}()

// ByName finds a unit by any of its spellings: exactly first, then without regard to
// case where that is not ambiguous. "M" and "A" are refused: no metre and no year is written so.
func ByName(name string) (Unit, bool) {
	name = strings.Join(strings.Fields(name), " ")
	if i, ok := bySpelling[name]; ok {
		return units[i], true
	}
	if name == "M" || name == "A" {
		return Unit{}, false
	}
	found := -1
	for s, i := range bySpelling {
		if strings.EqualFold(s, name) {
			if found >= 0 && found != i {
				return Unit{}, false
			}
			found = i
		}
	}
	if found < 0 {
		return Unit{}, false
	}
	return units[found], true
}

// Standard is the unit in which a dimension is shown when the user gave none.
func Standard(d Dimension) Unit {
	for _, u := range units {
		if u.Dim == d {
			return u
		}
	}
	return Unit{Symbol: "", Dim: d, Factor: 1}
}

// Known reports whether d is one of the dimensions of this package.
func Known(d Dimension) bool { return Standard(d).Symbol != "" }

// Named is the dimension with its article, for messages: "a length", "an angle".
func (d Dimension) Named() string {
	if d != "" && strings.ContainsRune("aeiou", rune(d[0])) {
		return "an " + string(d)
	}
	return "a " + string(d)
}

// Dimensions lists all dimensions in alphabetical order.
func Dimensions() []Dimension {
	seen := map[Dimension]bool{}
	var out []Dimension
	for _, u := range units {
		if !seen[u.Dim] {
			seen[u.Dim] = true
			out = append(out, u.Dim)
		}
	}
	sort.Slice(out, func(i, j int) bool { return out[i] < out[j] })
	return out
}

// Names lists the symbols of the units of one dimension.
func Names(d Dimension) []string {
	var out []string
	for _, u := range units {
		if u.Dim == d {
			out = append(out, u.Symbol)
		}
	}
	return out
}

// Quantity is a number with the unit it was given in.
type Quantity struct {
	Number float64
	Unit   Unit
}

// SI is the quantity in the SI unit of its dimension.
func (q Quantity) SI() float64 { return q.Unit.ToSI(q.Number) }

// In re-expresses the quantity in another unit of the same dimension.
func (q Quantity) In(u Unit) Quantity { return Quantity{u.FromSI(q.SI()), u} }

func (q Quantity) String() string { return Show(q.Number, 6) + suffix(q.Unit) }

func suffix(u Unit) string {
	switch u.Symbol {
	case "1", "off", "":
		return ""
	case "%":
		return " %"
	}
	return " " + u.Symbol
}

// FromSI shows an SI value in a unit.
func FromSI(si float64, u Unit) Quantity { return Quantity{u.FromSI(si), u} }

// Show writes x with at most digits significant digits and without a useless tail. Whole
// numbers below a milliard keep all their digits, because exponents are not read in a workshop.
func Show(x float64, digits int) string {
	s := fmt.Sprintf("%.*g", digits, x)
	if strings.ContainsAny(s, "e") && math.Abs(x) >= 1e-4 && math.Abs(x) < 1e9 {
		s = fmt.Sprintf("%.0f", x)
	}
	return s
}
