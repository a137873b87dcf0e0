package main

import (
	"bufio"
	"cmp"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strings"

	"github.com/paulmach/orb"

	"windlane/brief"
	"windlane/quantity"
	"windlane/water"
)

// surveyReport is how well a water is sounded, as --json has it.
type surveyReport struct {
	Lake       string        `json:"lake"`
	Area       float64       `json:"area_m2"`
	Soundings  int           `json:"soundings"`
	Tracks     int           `json:"tracks"`
	TrackGap   float64       `json:"track_gap_m"`
	Trust      float64       `json:"sounded_within_m"`
	NotSounded float64       `json:"not_sounded_share"`
	Before     *float64      `json:"not_sounded_share_before,omitempty"`
	Error      *trackError   `json:"leave_track_out,omitempty"`
	Thin       []surveyPatch `json:"thin"`
	Mounds     []surveyMound `json:"mounds"`
	Added      *addedLog     `json:"added,omitempty"`
	Remarks    []string      `json:"remarks"`
}

type trackError struct {
	Tracks   int     `json:"tracks"`
	Compared int     `json:"compared"`
	RMSE     float64 `json:"rmse_m"`
	P95      float64 `json:"p95_m"`
}

type surveyPatch struct {
	LonLat   [2]float64 `json:"lonlat"` // farthest from any sounding
	Where    string     `json:"where"`
	Area     float64    `json:"area_m2"`
	Farthest float64    `json:"from_sounding_m"`
}

type surveyMound struct {
	LonLat [2]float64 `json:"lonlat"`
	Where  string     `json:"where"`
	Top    float64    `json:"top_m"` // depth at full level
	Rise   float64    `json:"rise_m"`
}

type addedLog struct {
	Log       string `json:"log"`
	Date      string `json:"date"`
	Soundings int    `json:"soundings"`
	Into      string `json:"into"`
}

const (
	mostThin   = 5   // patches that are told
	leastThin  = 400 // smaller patches are not [m²]
	mostMounds = 5
	leastMound = 0.6 // [m]
)

func newSurveyReport(w *water.Water, u quantity.System) *surveyReport {
	r := &surveyReport{Lake: w.Name, Area: w.Area(), Soundings: w.Soundings(), Tracks: w.Tracks(), TrackGap: w.TrackGap(), Trust: w.Trust(),
		NotSounded: w.NotSounded(), Thin: []surveyPatch{}, Mounds: []surveyMound{}, Remarks: []string{}}
	for _, s := range w.Remarks {
		if !strings.HasPrefix(s, water.NotSoundedRemark) { // it is a figure here
			r.Remarks = append(r.Remarks, s)
		}
	}
	if e, ok := w.LeaveTrackOut(); ok {
		r.Error = &trackError{e.Tracks, e.Compared, e.RMSE, e.P95}
	}
	for _, p := range w.Thin(mostThin) {
		if p.Area >= leastThin {
			r.Thin = append(r.Thin, surveyPatch{lonLat(w, p.X, p.Y), whereabouts(w, u, p.X, p.Y), p.Area, p.Most})
		}
	}
	for _, p := range w.Mounts(leastMound, mostMounds) {
		top, _ := w.Depth(p.X, p.Y)
		r.Mounds = append(r.Mounds, surveyMound{lonLat(w, p.X, p.Y), whereabouts(w, u, p.X, p.Y), float64(top), p.Most})
	}
	return r
}

func lonLat(w *water.Water, x, y float64) [2]float64 {
	at := w.Plane.Position(x, y)
	round := func(v float64) float64 { return math.Round(v*1e6) / 1e6 }
	return [2]float64{round(at.LonDeg), round(at.LatDeg)}
}

// whereabouts says a place by the jetty or the nearest that has a name, and where
// there is none by its position.
func whereabouts(w *water.Water, u quantity.System, x, y float64) string {
	at := lonLat(w, x, y)
	side := func(v float64, plus, minus string) string {
		if v < 0 {
			return fmt.Sprintf("%.4f° %s", -v, minus)
		}
		return fmt.Sprintf("%.4f° %s", v, plus)
	}
	return cmp.Or(brief.Where(w.Places, u, x, y), side(at[1], "N", "S")+" "+side(at[0], "E", "W"))
}

// area says a surface: acres or hectares.
func area(u quantity.System, m2 float64) string {
	v, unit := m2/4046.8564224, "acres"
	if u == quantity.Metric {
		v, unit = m2/1e4, "ha"
	}
	if v < 10 {
		return fmt.Sprintf("%.1f %s", v, unit)
	}
	return fmt.Sprintf("%.0f %s", v, unit)
}

// near says a short distance: yards or metres, to the next one.
func near(u quantity.System, m float64) string {
	if u == quantity.Metric {
		return fmt.Sprintf("%.0f m", m)
	}
	return fmt.Sprintf("%.0f yd", m/0.9144)
}

func (cmd surveyCmd) tell(c *console, r *surveyReport) error {
	u, p := cmd.system(), &page{}
	p.say("%s, %s", cmp.Or(r.Lake, "The lake"), area(u, r.Area))
	p.say("")
	if a := r.Added; a != nil {
		p.say("Added to %s: %d soundings of %s, %s.", a.Into, a.Soundings, a.Log, a.Date)
	}
	switch {
	case r.Soundings == 0:
		p.say("Nobody has sounded it.")
	case r.Tracks > 1:
		p.say("Sounded:         %d soundings on %d tracks, some %s apart", r.Soundings, r.Tracks, near(u, r.TrackGap))
	default:
		p.say("Sounded:         %d soundings", r.Soundings)
	}
	if r.Soundings > 0 {
		was := ""
		if r.Before != nil {
			was = fmt.Sprintf("; before it was %.0f %%", 100**r.Before)
		}
		p.say("Not sounded:     %.0f %% of the water, over %s from any sounding%s", 100*r.NotSounded, near(u, r.Trust), was)
		if e := r.Error; e != nil {
			p.say("Leave-track-out: off by %s (root mean square), nineteen in twenty within %s", tenths(u, e.RMSE), tenths(u, e.P95))
			p.remark(fmt.Sprintf("Each of %d tracks was left out in turn, and its %d soundings guessed from the others. The bed itself is better known than that: leaving a track out doubles the gap.", e.Tracks, e.Compared))
		} else {
			p.say("Leave-track-out: cannot be said, the soundings are not on two tracks or more")
		}
	}
	if len(r.Thin) > 0 {
		p.say("\nStill to be sounded:")
		var rows [][]string
		for _, t := range r.Thin {
			rows = append(rows, []string{t.Where, area(u, t.Area), near(u, t.Farthest)})
		}
		p.table([]string{"its thinnest place", "size", "to the nearest sounding"}, rows)
	}
	if len(r.Mounds) > 0 {
		p.say("\nWhere the bed stands out, depths at full level:")
		var rows [][]string
		for _, m := range r.Mounds {
			rows = append(rows, []string{m.Where, tenths(u, m.Top), tenths(u, m.Rise)})
		}
		p.table([]string{"", "top", "above the bed round it"}, rows)
	}
	if len(r.Remarks) > 0 {
		p.say("\nMind:")
		for _, s := range r.Remarks {
			p.remark(s)
		}
	}
	return p.print(c)
}

// tenths says a small height to a tenth.
func tenths(u quantity.System, m float64) string {
	if u == quantity.Metric {
		return fmt.Sprintf("%.1f m", m)
	}
	return fmt.Sprintf("%.1f ft", m/0.3048)
}

// drawThin writes the unsounded patches as GeoJSON (RFC 7946).
func drawThin(out io.Writer, w *water.Water, u quantity.System) error {
	b := bufio.NewWriter(out)
	fmt.Fprint(b, `{"type":"FeatureCollection","features":[`)
	for i, p := range w.Thin(100) {
		if i > 0 {
			fmt.Fprint(b, ",")
		}
		properties, err := json.Marshal(map[string]any{"kind": "not_sounded", "where": whereabouts(w, u, p.X, p.Y),
			"area_m2": math.Round(p.Area), "from_sounding_m": math.Round(p.Most)})
		if err != nil {
			return err
		}
		shape := make(orb.MultiPolygon, len(p.Shape))
		for i, polygon := range p.Shape {
			for _, ring := range polygon {
				onEarth := make(orb.Ring, len(ring))
				for k, at := range ring {
					onEarth[k] = lonLat(w, at[0], at[1])
				}
				shape[i] = append(shape[i], onEarth)
			}
		}
		fmt.Fprintf(b, "\n{\"type\":\"Feature\",\"properties\":%s,\"geometry\":%s}", properties, water.EncodeShape(shape))
	}
	fmt.Fprintln(b, "\n]}")
	return b.Flush()
}

// drawCells writes the bed at full level and how well it is known. NaN cells, where
// a figure is not known, are left empty.
func drawCells(out io.Writer, w *water.Water, _ quantity.System) error {
	b := bufio.NewWriter(out)
	fmt.Fprintln(b, "lon,lat,depth_m,from_sounding_m,sounded,drop_off,mound_m")
	drop, mound := w.DropOff(), w.Mounds()
	figure := func(field []float32, k, decimals int) string {
		if field == nil || field[k] != field[k] {
			return ""
		}
		return fmt.Sprintf("%.*f", decimals, field[k])
	}
	for k, wet := range w.Wet() {
		if !wet {
			continue
		}
		x, y := w.Grid.Centre(k)
		at := w.Plane.Position(x, y)
		sounded := 0
		if w.Sounded(x, y) {
			sounded = 1
		}
		fmt.Fprintf(b, "%.6f,%.6f,%s,%s,%d,%s,%s\n", at.LonDeg, at.LatDeg, figure(w.Full, k, 2), figure(w.Gap, k, 0), sounded, figure(drop, k, 2), figure(mound, k, 2))
	}
	return b.Flush()
}
