package forecast

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"time"

	"windlane/internal/text"
	"windlane/quantity"
)

const tableLimit = 4 << 20 // [bytes]

// Beyond these a wind is taken for a slip of the unit. [m/s]
const (
	mostMean = 40.0
	mostGust = 60.0
)

// speedUnits are the endings of a wind column's name.
var speedUnits = []struct {
	name string
	toSI float64 // [m/s]
}{
	{"m_s", 1}, {"ms", 1}, {"mph", 0.44704}, {"kmh", 1 / 3.6}, {"kph", 1 / 3.6}, {"kn", 1852.0 / 3600}, {"kt", 1852.0 / 3600}, {"kts", 1852.0 / 3600}, {"knots", 1852.0 / 3600},
}

// speedColumn is a column of speeds, with the unit that its name ends in.
type speedColumn struct {
	col      int
	toSI     float64 // [m/s]
	beaufort bool
}

func findSpeed(t *text.Table, kinds ...string) (speedColumn, bool) {
	for _, kind := range kinds {
		for _, u := range speedUnits {
			if c := t.Column(kind + "_" + u.name); c >= 0 {
				return speedColumn{col: c, toSI: u.toSI}, true
			}
		}
		if c := t.Column(kind+"_bft", kind+"_beaufort"); c >= 0 {
			return speedColumn{col: c, beaufort: true}, true
		}
	}
	return speedColumn{col: -1}, false
}

// BeaufortMean is the middle wind of a force: 0.836 B^1.5 (WMO code 1100, from
// memory). [m/s]
func BeaufortMean(force float64) float64 { return 0.836 * math.Pow(force, 1.5) }

// read gives the speed in m/s.
func (s speedColumn) read(r text.Row, most float64) (float64, error) {
	if s.beaufort {
		b, err := r.Number(s.col, 0, 12)
		return BeaufortMean(b), err
	}
	v, err := r.Number(s.col, 0, 1e6)
	if err != nil {
		return 0, err
	}
	if v *= s.toSI; v > most {
		return 0, r.Fault(s.col, fmt.Sprintf("is %.0f m/s, a wind of no fishing day (over %.0f): is the unit in the column's name the right one?", v, most))
	}
	return v, nil
}

// ReadCSV reads a table of one row per hour; docs/formats.md gives its columns.
// Times without an offset are in zone; with zone nil they are refused. Rows must
// follow each other in time by at most three hours.
func ReadCSV(name string, r io.Reader, zone *time.Location) (*Forecast, error) {
	t, err := text.ReadTable(name, r, tableLimit)
	if err != nil {
		return nil, err
	}
	wind, ok := findSpeed(t, "wind", "wind_speed")
	if !ok {
		problem := "lacks the wind: name its column by its unit, wind_m_s, wind_mph, wind_kmh, wind_kn or wind_bft"
		return nil, &text.Fault{File: name, Line: 1, Value: strings.Join(t.Header, ","), Problem: problem}
	}
	gust, hasGust := findSpeed(t, "gust", "wind_gust")
	timeCol, err := t.Need("time", "time_local", "time_utc", "at_utc", "at", "datetime")
	if err != nil {
		return nil, err
	}
	fromCol, err := t.Need("from", "from_deg", "wind_from", "wind_from_deg")
	if err != nil {
		return nil, err
	}
	dateCol := t.Column("date")
	if t.Header[timeCol] == "time_utc" || t.Header[timeCol] == "at_utc" {
		zone = time.UTC
	}
	f := &Forecast{Source: name}
	used := []int{wind.col, gust.col, timeCol, fromCol, dateCol}
	var optional []func(row text.Row, h *Hour) error
	number := func(low, high, scale, shift float64, put func(*Hour, float64), names ...string) {
		if c := t.Column(names...); c >= 0 {
			used = append(used, c)
			optional = append(optional, func(row text.Row, h *Hour) error {
				if row.Cell(c) == "" {
					return nil
				}
				v, err := row.Number(c, low, high)
				if err == nil {
					put(h, v*scale+shift)
				}
				return err
			})
		}
	}
	number(-60, 60, 1, 0, func(h *Hour, v float64) { h.AirC, h.HasAir = v, true }, "air_c", "temperature_c", "air")
	number(-76, 140, 1/1.8, -32/1.8, func(h *Hour, v float64) { h.AirC, h.HasAir = v, true }, "air_f", "temperature_f")
	number(0, 8, 1, 0, func(h *Hour, v float64) { h.Oktas, h.HasCloud = v, true }, "cloud_oktas")
	number(0, 100, 0.08, 0, func(h *Hour, v float64) { h.Oktas, h.HasCloud = v, true }, "cloud_percent")
	number(850, 1100, 1, 0, func(h *Hour, v float64) { h.PressureHPa, h.HasPressure = v, true }, "pressure_hpa", "pressure_mb")
	number(0, 200, 1, 0, func(h *Hour, v float64) { h.RainMM, h.HasRain = v, true }, "rain_mm")
	number(0, 1e5, 1, 0, func(h *Hour, v float64) { h.Visibility, h.HasVisibility = v, true }, "visibility_m")
	number(0, 100, 0.01, 0, func(h *Hour, v float64) {
		h.ThunderChance = max(h.ThunderChance, quantity.Probability(v))
	}, "thunder_percent")
	if c := t.Column("thunder"); c >= 0 {
		used = append(used, c)
		optional = append(optional, func(row text.Row, h *Hour) error {
			switch strings.ToLower(row.Cell(c)) {
			case "", "0", "no", "false":
			case "1", "yes", "true":
				h.ThunderChance = 1
			default:
				return row.Fault(c, "must be yes or no")
			}
			return nil
		})
	}
	for _, row := range t.Rows {
		var h Hour
		if h.At, err = readTime(row, dateCol, timeCol, zone); err != nil {
			return nil, err
		}
		if h.Speed, err = wind.read(row, mostMean); err != nil {
			return nil, err
		}
		if err = readFrom(row, fromCol, &h); err != nil {
			return nil, err
		}
		if hasGust && row.Cell(gust.col) != "" {
			if h.Gust, err = gust.read(row, mostGust); err != nil {
				return nil, err
			}
			h.HasGust = true
			if h.Gust < h.Speed-1e-9 {
				return nil, row.Fault(gust.col, fmt.Sprintf("is below the mean wind of the same row (%.1f m/s under %.1f): swap the columns if they are the wrong way round, or leave the gust empty", h.Gust, h.Speed))
			}
		}
		for _, read := range optional {
			if err := read(row, &h); err != nil {
				return nil, err
			}
		}
		if n := len(f.Hours); n > 0 {
			before := f.Hours[n-1].At
			switch step := h.At.Sub(before); {
			case step == 0:
				return nil, row.Fault(timeCol, "stands twice: keep one row for each time")
			case step < 0:
				return nil, row.Fault(timeCol, "is before the row above: put the rows in order of time")
			case step > longestGap:
				return nil, row.Fault(timeCol, fmt.Sprintf("leaves a gap of %.3g h after the row above: the longest is 3 h", step.Hours()))
			}
		}
		f.Hours = append(f.Hours, h)
	}
	if len(f.Hours) == 0 {
		return nil, &text.Fault{File: name, Problem: "has a header but no rows"}
	}
	for c, h := range t.Header {
		if !contains(used, c) {
			f.Remarks = append(f.Remarks, fmt.Sprintf("column %s is not used", h))
		}
	}
	return f, nil
}

func contains(list []int, c int) bool {
	for _, x := range list {
		if x == c {
			return true
		}
	}
	return false
}

var (
	zonedLayouts = []string{time.RFC3339, "2006-01-02T15:04Z07:00", "2006-01-02 15:04:05Z07:00", "2006-01-02 15:04Z07:00", "2006-01-02 15:04 Z07:00"}
	bareLayouts  = []string{"2006-01-02T15:04", "2006-01-02 15:04", "2006-01-02T15:04:05", "2006-01-02 15:04:05"}
)

func readTime(row text.Row, dateCol, timeCol int, zone *time.Location) (time.Time, error) {
	s := row.Cell(timeCol)
	if dateCol >= 0 {
		s = row.Cell(dateCol) + " " + s
	}
	for _, l := range zonedLayouts {
		if t, err := time.Parse(l, s); err == nil && sane(t) {
			if zone != nil {
				t = t.In(zone)
			}
			return t, nil
		}
	}
	for _, l := range bareLayouts {
		if zone == nil {
			if t, err := time.Parse(l, s); err == nil && sane(t) {
				return time.Time{}, row.Fault(timeCol, "says no zone: write the offset after it, as in 2026-04-18T09:00+01:00, or say the day's utc_offset")
			}
			continue
		}
		if t, err := time.ParseInLocation(l, s, zone); err == nil && sane(t) {
			return t, nil
		}
	}
	return time.Time{}, row.Fault(timeCol, "is not a time: write 2026-04-18 09:00, with its offset if it is not the lake's own (2026-04-18T08:00Z)")
}

func sane(t time.Time) bool { return t.Year() >= 1900 && t.Year() < 2200 }

var compass = map[string]float64{
	"N": 0, "NNE": 22.5, "NE": 45, "ENE": 67.5, "E": 90, "ESE": 112.5, "SE": 135, "SSE": 157.5,
	"S": 180, "SSW": 202.5, "SW": 225, "WSW": 247.5, "W": 270, "WNW": 292.5, "NW": 315, "NNW": 337.5,
}

func readFrom(row text.Row, col int, h *Hour) error {
	s := strings.ToUpper(strings.TrimSuffix(strings.TrimSpace(row.Cell(col)), "°"))
	if h.Speed == 0 {
		h.Calm = true
		if _, err := strconv.ParseFloat(s, 64); s == "" || s == "CALM" || s == "VRB" || err == nil {
			return nil
		}
	}
	if s == "VRB" {
		h.Variable = true
		return nil
	}
	deg, named := compass[s]
	if !named {
		var err error
		deg, err = strconv.ParseFloat(s, 64)
		if err != nil || math.IsNaN(deg) || deg < 0 || deg > 360 {
			return row.Fault(col, "is no direction: write degrees from 0 to 360, a point such as SW, or VRB; it is where the wind comes from")
		}
	}
	h.From = quantity.FromDegrees(deg)
	return nil
}
