package quantity

import (
	"fmt"
	"math"
	"sort"
	"strconv"
	"strings"
)

// Kind says what a typed quantity measures, and so which units it may carry.
type Kind struct {
	name  string
	bare  string             // the unit meant by a number without one
	units map[string]float64 // SI value of one unit
}

// The kinds of quantity that people type. International foot, pound, grain and
// knot: exact by definition (1959 yard and pound agreement; 1852 m a nautical
// mile). lb as a breaking strain is a force, 4.4482216 N.
var (
	Length = Kind{"length", "m", map[string]float64{"m": 1, "cm": 0.01, "mm": 0.001, "km": 1000, "ft": 0.3048, "'": 0.3048, "in": 0.0254, "\"": 0.0254, "yd": 0.9144}}
	Speed  = Kind{"speed", "m/s", map[string]float64{"m/s": 1, "m/min": 1.0 / 60, "km/h": 1 / 3.6, "kph": 1 / 3.6, "mph": 0.44704, "kn": 1852.0 / 3600, "kt": 1852.0 / 3600, "in/s": 0.0254, "ft/s": 0.3048, "cm/s": 0.01}}
	Mass   = Kind{"mass", "kg", map[string]float64{"kg": 1, "g": 0.001, "mg": 1e-6, "gr": 64.79891e-6, "lb": 0.45359237, "oz": 0.028349523125}}
	Force  = Kind{"breaking strain", "N", map[string]float64{"n": 1, "lb": 4.4482216152605, "kg": 9.80665}}
	Time   = Kind{"time", "s", map[string]float64{"s": 1, "min": 60, "h": 3600}}
	Angle  = Kind{"angle", "deg", map[string]float64{"deg": math.Pi / 180, "°": math.Pi / 180, "rad": 1}}
)

// Parse reads a number with or without its unit, such as "15 ft", "4.5 m",
// "3 in/s" or "9 mph", and gives it in SI. The error says what is allowed.
func (k Kind) Parse(s string) (float64, error) {
	t := strings.TrimSpace(s)
	cut := len(t)
	for i, r := range t {
		if !strings.ContainsRune("0123456789.+-", r) && !(r == 'e' || r == 'E') {
			cut = i
			break
		}
		// an e is part of the number only before a digit or sign ("1e-3"), not in a unit
		if (r == 'e' || r == 'E') && (i+1 >= len(t) || !strings.ContainsRune("0123456789+-", rune(t[i+1]))) {
			cut = i
			break
		}
	}
	number, unit := strings.TrimSpace(t[:cut]), strings.ToLower(strings.TrimSpace(t[cut:]))
	v, err := strconv.ParseFloat(number, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, fmt.Errorf("%q is not a %s: write a number and a unit, %s", s, k.name, k.Units())
	}
	if unit == "" {
		unit = strings.ToLower(k.bare)
	}
	si, ok := k.units[unit]
	if !ok {
		return 0, fmt.Errorf("%q: %q is not a unit of %s here: use %s", s, unit, k.name, k.Units())
	}
	return v * si, nil
}

// Units lists the units that may be typed, the bare one first.
func (k Kind) Units() string {
	names := make([]string, 0, len(k.units))
	for u := range k.units {
		if u != strings.ToLower(k.bare) && u != "'" && u != "\"" && u != "°" {
			names = append(names, u)
		}
	}
	sort.Strings(names)
	return k.bare + " (when none is given), " + strings.Join(names, ", ")
}

// ParseTemperature reads "12", "12 C", "12 °C" or "54 F" and gives °C.
func ParseTemperature(s string) (float64, error) {
	t := strings.ToUpper(strings.ReplaceAll(strings.TrimSpace(s), "°", ""))
	fahrenheit := strings.HasSuffix(t, "F")
	v, err := strconv.ParseFloat(strings.TrimSpace(strings.TrimRight(t, "CF")), 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, fmt.Errorf("%q is not a temperature: write a number in C (when none is given) or F", s)
	}
	if fahrenheit {
		v = (v - 32) / 1.8
	}
	return v, nil
}
