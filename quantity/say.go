package quantity

import (
	"math"
	"strconv"
)

// System is the set of units a person reads.
type System int

const (
	Trade  System = iota // ft, yd, in/s, lb, mph, °C
	Metric               // m, cm/s, kg, m/s, °C
)

// Depth says a depth as finely as it is known: half a foot, or a tenth of a metre.
func (u System) Depth(m float64) string { return u.DepthFigure(m) + " " + u.DepthUnit() }

// DepthUnit is the unit of Depth.
func (u System) DepthUnit() string {
	if u == Metric {
		return "m"
	}
	return "ft"
}

// DepthFigure is Depth without its unit.
func (u System) DepthFigure(m float64) string {
	if u == Metric {
		return trim(math.Round(m*10)/10, 1)
	}
	halves := int(math.Round(m / 0.3048 * 2))
	switch {
	case halves%2 == 0:
		return strconv.Itoa(halves / 2)
	case halves == 1:
		return "½"
	case halves == -1:
		return "-½"
	}
	return strconv.Itoa(halves/2) + "½"
}

// DepthRange says "7 to 10 ft".
func (u System) DepthRange(top, bottom float64) string {
	return u.DepthFigure(top) + " to " + u.Depth(bottom)
}

// Distance says a distance on the lake: whole yards or metres, miles beyond a mile.
func (u System) Distance(m float64) string {
	if u == Metric {
		if m >= 2000 {
			return trim(math.Round(m/100)/10, 1) + " km"
		}
		return strconv.Itoa(int(math.Round(m/10))*10) + " m"
	}
	if m >= 2*1609.344 {
		return trim(math.Round(m/160.9344)/10, 1) + " miles"
	}
	return strconv.Itoa(int(math.Round(m/9.144))*10) + " yd"
}

// Cast says a casting or leader length: whole yards (feet below ten), or tenths of a metre.
func (u System) Cast(m float64) string {
	if u == Metric {
		return trim(math.Round(m*10)/10, 1) + " m"
	}
	if m < 8 {
		return u.Depth(m)
	}
	return strconv.Itoa(int(math.Round(m/0.9144))) + " yd"
}

// Wind says a wind speed in whole mph, or m/s.
func (u System) Wind(ms float64) string { return u.WindFigure(ms) + " " + u.WindUnit() }

// WindUnit is the unit of Wind.
func (u System) WindUnit() string {
	if u == Metric {
		return "m/s"
	}
	return "mph"
}

// WindFigure is Wind without its unit.
func (u System) WindFigure(ms float64) string {
	if u == Metric {
		return strconv.Itoa(int(math.Round(ms)))
	}
	return strconv.Itoa(int(math.Round(ms / 0.44704)))
}

// Drift says a boat's drift: tenths of a mph, or whole metres a minute.
func (u System) Drift(ms float64) string { return u.DriftFigure(ms) + " " + u.DriftUnit() }

// DriftUnit is the unit of Drift.
func (u System) DriftUnit() string {
	if u == Metric {
		return "m/min"
	}
	return "mph"
}

// DriftFigure is Drift without its unit.
func (u System) DriftFigure(ms float64) string {
	if u == Metric {
		return strconv.Itoa(int(math.Round(ms * 60)))
	}
	return strconv.FormatFloat(math.Round(ms/0.44704*10)/10, 'f', 1, 64)
}

// Retrieve says how fast line is taken in: inches or centimetres a second.
func (u System) Retrieve(ms float64) string {
	if u == Metric {
		return strconv.Itoa(int(math.Round(ms*100))) + " cm/s"
	}
	return strconv.Itoa(int(math.Round(ms/0.0254))) + " in/s"
}

// Sink says a line's rating: halves of an inch a second, or cm/s.
func (u System) Sink(ms float64) string {
	if u == Metric {
		return trim(math.Round(ms*1000)/10, 1) + " cm/s"
	}
	return trim(math.Round(ms/0.0254*2)/2, 1) + " in/s"
}

// Wave says a wave's height: whole inches or cm.
func (u System) Wave(m float64) string { return u.WaveFigure(m) + " " + u.WaveUnit() }

// WaveUnit is the unit of Wave.
func (u System) WaveUnit() string {
	if u == Metric {
		return "cm"
	}
	return "in"
}

// WaveFigure is Wave without its unit.
func (u System) WaveFigure(m float64) string {
	if u == Metric {
		return strconv.Itoa(int(math.Round(m * 100)))
	}
	return strconv.Itoa(int(math.Round(m / 0.0254)))
}

// Strain says a breaking strain in lb, or kg.
func (u System) Strain(n float64) string {
	if u == Metric {
		return trim(math.Round(n/9.80665*10)/10, 1) + " kg"
	}
	return trim(math.Round(n/4.4482216152605*10)/10, 1) + " lb"
}

// Temperature says whole degrees Celsius.
func (u System) Temperature(c float64) string {
	return strconv.Itoa(int(math.Round(c))) + " °C"
}

func trim(v float64, decimals int) string {
	s := strconv.FormatFloat(v, 'f', decimals, 64)
	for s[len(s)-1] == '0' {
		s = s[:len(s)-1]
	}
	if s[len(s)-1] == '.' {
		s = s[:len(s)-1]
	}
	if s == "-0" {
		return "0"
	}
	return s
}

// MarshalText is "trade" or "metric".
func (u System) MarshalText() ([]byte, error) {
	if u == Metric {
		return []byte("metric"), nil
	}
	return []byte("trade"), nil
}
