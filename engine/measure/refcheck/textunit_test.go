package refcheck

import (
	"math"
	"strings"

	"seepwright/rules/unit"
)

// measureUnit is a unit as a reference row writes it.
type measureUnit struct {
	dim    unit.Dimension
	factor float64
	offset float64 // added before scaling, temperatures only
}

func (u measureUnit) si(x float64) float64 { return (x + u.offset) * u.factor }

// dimensions that only reference rows need
const (
	inverseLength unit.Dimension = "per length"
	dropRate      unit.Dimension = "drops per time"
	dropsPerUnit  unit.Dimension = "drops per volume"
	massRate      unit.Dimension = "mass per time"
	threadCount   unit.Dimension = "threads per length"
)

// rowUnits are spellings that the product itself does not take.
var rowUnits = map[string]measureUnit{
	"kgf/cm^2": {unit.PressureDim, 98066.5, 0}, "kgf/cm2": {unit.PressureDim, 98066.5, 0}, "kgf/mm^2": {unit.PressureDim, 9806650, 0},
	"ksi": {unit.PressureDim, 6894757.293168, 0}, "Msi": {unit.PressureDim, 6894757293.168, 0},
	"kip": {unit.ForceDim, 4448.2216152605, 0}, "kips": {unit.ForceDim, 4448.2216152605, 0}, "MN": {unit.ForceDim, 1e6, 0},
	"kip*in": {unit.TorqueDim, 4448.2216152605 * 0.0254, 0}, "kip in": {unit.TorqueDim, 4448.2216152605 * 0.0254, 0},
	"kip*ft": {unit.TorqueDim, 4448.2216152605 * 0.3048, 0}, "N*mm": {unit.TorqueDim, 1e-3, 0}, "N mm": {unit.TorqueDim, 1e-3, 0},
	"kN*m": {unit.TorqueDim, 1e3, 0}, "in*lbf": {unit.TorqueDim, 4.4482216152605 * 0.0254, 0}, "ft*lbf": {unit.TorqueDim, 4.4482216152605 * 0.3048, 0},
	"lbf-ft": {unit.TorqueDim, 4.4482216152605 * 0.3048, 0}, "ft-lb": {unit.TorqueDim, 4.4482216152605 * 0.3048, 0}, "ft-lbf": {unit.TorqueDim, 4.4482216152605 * 0.3048, 0},
	"lbf-in": {unit.TorqueDim, 4.4482216152605 * 0.0254, 0}, "in-lb": {unit.TorqueDim, 4.4482216152605 * 0.0254, 0}, "in-lbf": {unit.TorqueDim, 4.4482216152605 * 0.0254, 0},
	"Mlbf/in": {unit.StiffnessDim, 4448221.6152605 / 0.0254, 0}, "lbf/in": {unit.StiffnessDim, 4.4482216152605 / 0.0254, 0},
	"MN/m": {unit.StiffnessDim, 1e6, 0}, "kN/m": {unit.StiffnessDim, 1e3, 0},
	"/C": {unit.ExpansionDim, 1, 0}, "per C": {unit.ExpansionDim, 1, 0}, "/°C": {unit.ExpansionDim, 1, 0}, "per °C": {unit.ExpansionDim, 1, 0},
	"1/°C": {unit.ExpansionDim, 1, 0}, "um/m K": {unit.ExpansionDim, 1e-6, 0}, "ppm/K": {unit.ExpansionDim, 1e-6, 0}, "per °F": {unit.ExpansionDim, 1.8, 0},
	"1/mm": {inverseLength, 1e3, 0}, "/mm": {inverseLength, 1e3, 0}, "1/m": {inverseLength, 1, 0}, "1/in": {inverseLength, 1 / 0.0254, 0},
	"g/cm^3": {unit.DensityDim, 1e3, 0}, "g/h": {massRate, 1e-3 / 3600, 0}, "g/min": {massRate, 1e-3 / 60, 0}, "kg/h": {massRate, 1.0 / 3600, 0},
	"drops/min": {dropRate, 1.0 / 60, 0}, "drop/min": {dropRate, 1.0 / 60, 0}, "drops per minute": {dropRate, 1.0 / 60, 0}, "drops a minute": {dropRate, 1.0 / 60, 0},
	"drops/s": {dropRate, 1, 0}, "drop/s": {dropRate, 1, 0}, "drops/h": {dropRate, 1.0 / 3600, 0}, "drops per hour": {dropRate, 1.0 / 3600, 0},
	"drops/mL": {dropsPerUnit, 1e6, 0}, "drops per mL": {dropsPerUnit, 1e6, 0}, "drops/cm^3": {dropsPerUnit, 1e6, 0},
	"mL/drop": {unit.VolumeDim, 1e-6, 0}, "mL per drop": {unit.VolumeDim, 1e-6, 0}, "cm^3/drop": {unit.VolumeDim, 1e-6, 0},
	"tpi": {threadCount, 1, 0}, "threads/in": {threadCount, 1, 0}, "threads per inch": {threadCount, 1, 0},
	"cm^3/h": {unit.FlowDim, 1e-6 / 3600, 0}, "cm3/h": {unit.FlowDim, 1e-6 / 3600, 0}, "in each": {unit.LengthDim, 0.0254, 0},
	"N/mm": {unit.StiffnessDim, 1e3, 0}, "degrees": {unit.AngleDim, math.Pi / 180, 0}, "rev/s": {unit.AngularDim, 2 * math.Pi, 0},
}

// notAlone are names of units that in a row are words or symbols rather than units.
var notAlone = map[string]bool{"a": true, "A": true, "d": true, "D": true, "H": true, "l": true, "'": true, "S": true, "ratio": true, "1": true, "off": true,
	"count": true, "pieces": true, "turns": true, "threads": true, "pc": true, "P": true, "G": true, "k": true, "M": true, "p": true}

func namedUnit(name string) (measureUnit, bool) {
	if u, ok := rowUnits[name]; ok {
		return u, true
	}
	if name == "" || notAlone[name] {
		return measureUnit{}, false
	}
	u, ok := unit.ByName(name)
	if !ok {
		return measureUnit{}, false
	}
	// one-letter units are case-sensitive here: "n" and "c" are symbols
	if len(name) == 1 && u.Symbol != name {
		return measureUnit{}, false
	}
	return measureUnit{u.Dim, u.Factor, u.Offset}, true
}

// unitAt reads the longest unit at the start of text. One letter before "=" is a symbol: "5 m=2".
func unitAt(text string) (u measureUnit, length int) {
	lead := len(text) - len(strings.TrimLeft(text, " "))
	body := text[lead:]
	limit := min(len(body), 18)
	for n := limit; n > 0; n-- {
		if n < len(body) && joined(body[n-1], body[n:]) {
			continue
		}
		name := body[:n]
		if strings.TrimSpace(name) != name || strings.ContainsAny(name, "=;:,") {
			continue
		}
		if v, ok := namedUnit(name); ok && !(n == 1 && strings.HasPrefix(strings.TrimLeft(body[n:], " "), "=")) {
			return v, lead + n
		}
	}
	return measureUnit{}, 0
}

// joined says that the text does not end after last: letters run on, or an operator binds it.
func joined(last byte, rest string) bool {
	next := rest[0]
	if isLetter(last) && (isLetter(next) || isDigit(next) || next == '_') {
		return true
	}
	if next >= 0x80 && last >= 0x80 {
		return true // inside a rune, or a letter that is not ASCII
	}
	if next == '^' || next == '*' {
		return true
	}
	if next == '/' && len(rest) > 1 && isLetter(rest[1]) {
		return true
	}
	return false
}

func isLetter(c byte) bool { return c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' }
func isDigit(c byte) bool  { return c >= '0' && c <= '9' }
