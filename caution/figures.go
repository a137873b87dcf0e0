package caution

import (
	"math"

	"windlane/quantity"
)

// Category is a boat's design category by ISO 12217 and the Recreational Craft
// Directive: what it is built for, never a permission to go out. As printed in
// owners' manuals.
type Category struct {
	Name string
	Wind float64 // mean [m/s]
	Gust float64 // [m/s]
	Wave float64 // significant height [m]
}

// The categories of small boats. C is inshore, up to Beaufort 6; D sheltered
// water, up to Beaufort 4, with waves of 0.5 m now and then.
var (
	CategoryC = Category{"C", 14, 18, 2}
	CategoryD = Category{"D", 8, 12, 0.3}
)

// Beyond says whether any of wind, gust [m/s] or wave [m] is over what the
// category is built for.
func (c Category) Beyond(wind, gust, wave float64) bool {
	return wind > c.Wind || gust > c.Gust || wave > c.Wave
}

// Water temperatures. [°C]
const (
	ColdShock = 15.0 // below it a fall takes the breath away (Tipton 1989, from memory)
	StillCold = 21.0 // some services say already below this (70 °F)
	Care      = 19.0 // rainbow trout: chronic criterion (Brungs and Jones 1977)
	StopBack  = 21.0 // above it fish put back fare badly: see Release
	StopAll   = 23.0 // rainbow trout put back died at 9 to 16 % (Boyd et al. 2010)
)

// Chances of thunder from which it may come, and is likely: the US National
// Weather Service speaks of a slight chance at 20 % and of likely from 60 %
// (Zone Forecast Terminology, weather.gov/hun/zfp_terminology). [1]
const (
	ThunderPossible quantity.Probability = 0.2
	ThunderLikely   quantity.Probability = 0.6
)

// FogBelow is the visibility under which the weather services speak of fog. [m]
// From memory.
const FogBelow = 1000.0

// Band is what warm water means for fish that are put back.
type Band string

const (
	Normal   Band = "normal"    // under 19 °C
	WithCare Band = "with_care" // 19 to 21 °C
	NoReturn Band = "no_return" // over 21 °C: fish for what will be kept, or not
	Stop     Band = "stop"      // over 23 °C
)

// Release is the band of a water temperature. [°C] The bands are ours, put
// together from published figures: fly-caught trout put back all lived below
// 20 °C; rainbows died at 9 and 16 % from 23 °C on (Boyd et al. 2010, N. Am. J.
// Fish. Manage. 30:898); recapture of cutthroat .58 below 21 °C, .35 to 23, .17
// above (stream study). NaN counts as normal.
func Release(waterC float64) Band {
	switch {
	case waterC > StopAll:
		return Stop
	case waterC > StopBack:
		return NoReturn
	case waterC >= Care:
		return WithCare
	}
	return Normal
}

// WindChill is how cold moving air feels on a bare face, by the 2001 JAG/TI
// index: 13.12 + 0.6215 T − 11.37 V^0.16 + 0.3965 T V^0.16, V in km/h at 10 m.
// ok is false outside its range: air up to 10 °C, wind from 4.8 km/h. [°C]
func WindChill(airC, wind float64) (c float64, ok bool) {
	v := wind * 3.6
	if !(airC <= 10) || !(v >= 4.8) {
		return airC, false
	}
	p := math.Pow(v, 0.16)
	return 13.12 + 0.6215*airC - 11.37*p + 0.3965*airC*p, true
}
