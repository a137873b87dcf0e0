// Package forecast holds the weather of the day as it is told: by the hour in a
// table, or in the codes of aerodromes (WMO-No. 306, FM 15 and FM 51).
//
// Wind is the mean of ten minutes at 10 m, given as the bearing it comes from;
// a gust is the strongest three seconds. What is not told is marked so by a Has
// field, never by a number.
package forecast

import (
	"fmt"
	"math"
	"sort"
	"time"

	"windlane/internal/text"
	"windlane/quantity"
)

// Hour is the weather at one time.
type Hour struct {
	At            time.Time
	Speed         float64       // mean wind at 10 m. [m/s]
	Gust          float64       // strongest three seconds. [m/s]
	From          quantity.From // means nothing if Variable or Calm
	Variable      bool          // it blows from all sides
	Calm          bool          // no wind, so no direction
	AirC          float64       // air temperature. [°C]
	Oktas         float64       // cloud cover in eighths, 0 to 8. [1]
	PressureHPa   float64       // at sea level. [hPa]
	RainMM        float64       // in the hour. [mm]
	Visibility    float64       // 10 000 means that or more. [m]
	HasGust       bool
	HasAir        bool
	HasCloud      bool
	HasPressure   bool
	HasRain       bool
	HasVisibility bool
	ThunderChance quantity.Probability // of thunder; 1 if told outright
	Squall        float64              // strongest wind of a spell that may come (TEMPO, PROB); 0: none told. [m/s]
	Weather       string               // groups of present or expected weather, as written
}

// Forecast is the weather over a time, in order of time.
type Forecast struct {
	Hours   []Hour
	Source  string   // the file it came from
	Raw     string   // its text, of a TAF or METAR
	Remarks []string // what was not understood or not used
}

// longestGap is the longest time between rows that is still drawn as a line.
const longestGap = 3 * time.Hour

// GustFactor is the ratio of the strongest mean over t seconds to the mean over
// an hour, over open water or flat land. [1] CEM 2002 (Fig. II-2-1) after the
// Shore Protection Manual 1984.
func GustFactor(t float64) float64 {
	if t < 3600 {
		return 1.277 + 0.296*math.Tanh(0.9*math.Log10(45/t))
	}
	return 1.5334 - 0.15*math.Log10(t)
}

// GustOrUsual is the gust told, or the usual one for the mean: three seconds
// over ten minutes by GustFactor, 1.44. [m/s]
func (h Hour) GustOrUsual() float64 {
	if h.HasGust {
		return h.Gust
	}
	return h.Speed * GustFactor(3) / GustFactor(600)
}

// Vector is where the wind goes, east and north; nought if Variable or Calm. [m/s]
func (h Hour) Vector() (east, north float64) {
	if h.Variable || h.Calm {
		return 0, 0
	}
	e, n := h.From.Toward().Vector()
	return e * h.Speed, n * h.Speed
}

// At is the weather at a time, by straight lines between the rows; the wind as a
// vector, so a wind that turns right round passes through a calm. A variable
// wind takes the direction of its neighbour. ok is false outside the rows.
func (f *Forecast) At(t time.Time) (h Hour, ok bool) {
	i := sort.Search(len(f.Hours), func(i int) bool { return !f.Hours[i].At.Before(t) })
	if i == len(f.Hours) {
		return Hour{}, false
	}
	if f.Hours[i].At.Equal(t) {
		return f.Hours[i], true
	}
	if i == 0 {
		return Hour{}, false
	}
	a, b := f.Hours[i-1], f.Hours[i]
	s := float64(t.Sub(a.At)) / float64(b.At.Sub(a.At))
	h = blend(a, b, s)
	h.At = t
	return h, true
}

// Between is the weather of a time: every row from from to until, both counted,
// and the weather at its two ends where they fall between rows; in order, each
// once. An end outside the rows is left out. The wind between two of these is no
// stronger than the stronger of them.
func (f *Forecast) Between(from, until time.Time) []Hour {
	var out []Hour
	if until.Before(from) {
		return out
	}
	if h, ok := f.At(from); ok {
		out = append(out, h)
	}
	for _, h := range f.Hours {
		if h.At.After(from) && h.At.Before(until) {
			out = append(out, h)
		}
	}
	if h, ok := f.At(until); ok && until.After(from) {
		out = append(out, h)
	}
	return out
}

// blend is the share s of the way from a to b.
func blend(a, b Hour, s float64) Hour {
	mix := func(x, y float64) float64 { return x + (y-x)*s }
	h := a
	switch {
	case a.Variable || b.Variable:
		h.Speed = mix(a.Speed, b.Speed)
		h.Variable = (a.Variable || a.Calm) && (b.Variable || b.Calm)
		h.Calm = false
		if a.Variable || a.Calm {
			h.From = b.From
		}
	default:
		ae, an := a.Vector()
		be, bn := b.Vector()
		e, n := mix(ae, be), mix(an, bn)
		h.Speed = math.Hypot(e, n)
		if h.Calm = h.Speed < 1e-6; h.Calm {
			h.Speed, h.From = 0, 0
		} else {
			h.From = quantity.TowardVector(e, n).From()
		}
	}
	h.HasGust = a.HasGust || b.HasGust
	h.Gust = 0
	if h.HasGust {
		h.Gust = max(mix(a.GustOrUsual(), b.GustOrUsual()), h.Speed)
	}
	both := func(hasA, hasB bool, x, y float64) (float64, bool) {
		if hasA && hasB {
			return mix(x, y), true
		}
		return 0, false
	}
	h.AirC, h.HasAir = both(a.HasAir, b.HasAir, a.AirC, b.AirC)
	h.Oktas, h.HasCloud = both(a.HasCloud, b.HasCloud, a.Oktas, b.Oktas)
	h.PressureHPa, h.HasPressure = both(a.HasPressure, b.HasPressure, a.PressureHPa, b.PressureHPa)
	h.RainMM, h.HasRain = both(a.HasRain, b.HasRain, a.RainMM, b.RainMM)
	h.Visibility, h.HasVisibility = both(a.HasVisibility, b.HasVisibility, a.Visibility, b.Visibility)
	h.ThunderChance = max(a.ThunderChance, b.ThunderChance)
	h.Squall = max(a.Squall, b.Squall)
	return h
}

// Cover is a Fault when the rows do not reach from a time until another; it
// speaks in the zone of from.
func (f *Forecast) Cover(from, until time.Time) error {
	if len(f.Hours) == 0 {
		return &text.Fault{File: f.Source, Problem: "holds no weather"}
	}
	first, last := f.Hours[0].At, f.Hours[len(f.Hours)-1].At
	if first.After(from) || last.Before(until) {
		stamp := func(t time.Time) string { return t.In(from.Location()).Format("2 Jan 2006 15:04") }
		return &text.Fault{File: f.Source, Problem: fmt.Sprintf(
			"tells the weather from %s to %s, but %s to %s is asked for, all by the day's own clock (UTC%s): bring a forecast of that day, or change the hours afloat",
			stamp(first), stamp(last), stamp(from), stamp(until), from.Format("-07:00"))}
	}
	return nil
}
