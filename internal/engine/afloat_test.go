package engine

import (
	"math"
	"strings"
	"testing"
	"time"

	"windlane"
	"windlane/drift"
	"windlane/internal/wire"
	"windlane/plan"
	"windlane/quantity"
	"windlane/water"
)

// A row put in between two changes nothing of the wind: it is where the straight
// way from one vector to the other has come to.
func TestAlong(t *testing.T) {
	at := time.Date(2026, 5, 2, 9, 0, 0, 0, time.UTC)
	a := plan.Hour{At: at, Wind: 4, Gust: 6, From: quantity.FromDegrees(350), FromSD: 0.1, SpeedSD: 0.1}
	b := plan.Hour{At: at.Add(2 * time.Hour), Wind: 7, Gust: 12, From: quantity.FromDegrees(30), FromSD: 0.3, SpeedSD: 0.2}
	wind, err := drift.NewWind([]drift.Row{{T: 0, Speed: a.Wind, From: a.From}, {T: 7200, Speed: b.Wind, From: b.From}})
	if err != nil {
		t.Fatal(err)
	}
	for _, minutes := range []float64{0, 30, 75, 120} {
		h := along(a, b, at.Add(time.Duration(minutes)*time.Minute))
		e, n := wind.At(60 * minutes)
		he, hn := h.From.Toward().Vector()
		if math.Hypot(h.Wind*he-e, h.Wind*hn-n) > 1e-9 {
			t.Errorf("after %v min: %v m/s from %v, want (%v, %v)", minutes, h.Wind, h.From.Degrees(), e, n)
		}
		if f := minutes / 120; math.Abs(h.Gust-6-6*f) > 1e-9 || math.Abs(h.FromSD-0.1-0.2*f) > 1e-9 || math.Abs(h.SpeedSD-0.1-0.1*f) > 1e-9 {
			t.Errorf("after %v min: %+v", minutes, h)
		}
	}
	b.Shifting = true
	if h := along(a, b, at.Add(time.Hour)); h.Wind != a.Wind || h.From != a.From {
		t.Errorf("before a wind from anywhere: %+v", h)
	}
}

// Weights hold from their own time on, whether a row of the forecast stands there or not.
func TestWeightsKeepTheirHours(t *testing.T) {
	outline, err := water.ReadOutline("outline", strings.NewReader(`{"type":"Polygon","coordinates":[[[-30,52],[-29.99,52],[-29.99,52.005],[-30,52.005],[-30,52]]]}`))
	if err != nil {
		t.Fatal(err)
	}
	lake, err := water.Survey(outline, nil, water.Settings{Cell: 25})
	if err != nil {
		t.Fatal(err)
	}
	clock := clockOf{time.Date(2026, 5, 2, 0, 0, 0, 0, time.UTC)}
	row := func(h int) plan.Hour {
		return plan.Hour{At: clock.date.Add(time.Duration(h) * time.Hour), Wind: float64(h)}
	}
	weight := func(at string, w float64) wire.DepthWeights {
		d := wire.DepthWeights{At: at}
		d.Weights = append(d.Weights, struct {
			Depth  float64 `json:"depth_m" in:"[0,400]"`
			Weight float64 `json:"weight" in:"[0,1000]"`
		}{3, w})
		return d
	}
	r := &wire.PlanRequest{Presence: []wire.DepthWeights{weight("09:30", 1), weight("10:15", 2), weight("10:45", 3), weight("13:00", 4)}}
	hours, fault := worthsOf(r, lake, clock, []plan.Hour{row(9), row(10), row(11), row(12)})
	if fault != nil {
		t.Fatal(fault)
	}
	var got []string
	middle, _ := lake.Grid.Index(0, 0)
	for _, h := range hours {
		got = append(got, h.At.Format("15:04")+" "+string(rune('0'+int(h.Worth[middle]))))
	}
	if want := "09:00 1, 10:00 1, 10:15 2, 10:45 3, 11:00 3, 12:00 3, 13:00 4"; strings.Join(got, ", ") != want {
		t.Errorf("%v, want %s", got, want)
	}
}

// earlierSeeds are what people may bring as drifted today, and how many drifts
// of it lie before 09:40.
var earlierSeeds = []struct {
	text   string
	drifts int
	says   string
}{
	{`{"id":"drifts","answer":{"drifts":[{"start_local":"09:05:00","minutes":30,"track":[{"min":0,"lonlat":[-29.999,52.0025]},{"min":30,"lonlat":[-29.996,52.0035]}]}]}}`, 1, ""},
	{`{"drifts":[{"start_local":"09:05","minutes":10,"track":[{"min":0,"lonlat":[-29.999,52.0025]}]},{"start_local":"09:50","minutes":10,"track":[{"min":0,"lonlat":[-29.999,52.0025]}]}]}`, 1, ""},
	{`{"lake":{"origin_lonlat_deg":[-29.995,52.0025]},"drifts":[{"start":"2026-05-02T09:05:00+01:00","minutes_min":30,"track":[{"minute_min":0,"at":{"x_m":-200,"y_m":10}},{"minute_min":30,"at":{"x_m":100,"y_m":40}}]}]}`, 1, ""},
	{`{"drifts":[{"start_local":"09:50","minutes":10,"track":[{"min":0,"lonlat":[-29.999,52.0025]}]}]}`, 0, "before"},
	{`{"drifts":[{"start_local":"nine","minutes":10,"track":[]}]}`, 0, "drift 1"},
	{`{"drifts":[{"start_local":"09:05","minutes":10,"track":[]}]}`, 0, "no track"},
	{`{"drifts":[{"start_local":"09:05","minutes":10,"track":[{"min":0,"lonlat":[-29.999,152]}]}]}`, 0, "no place"},
	{`{"drifts":[{"start":"1999-05-02T09:05:00Z","minutes_min":1e9,"track":[{"minute_min":0,"lonlat":[-29.999,52]}]}]}`, 0, "today's"},
	{`{"drifts":[]}`, 0, "no drifts"},
	{`{"drifts":7}`, 0, "no answer"},
	{`<gpx version="1.1" xmlns="http://www.topografix.com/GPX/1/1"><trk><trkseg><trkpt lat="52" lon="-30"><time>2026-05-02T08:05:00Z</time></trkpt><trkpt lat="52.0002" lon="-30"><time>2026-05-02T08:09:00Z</time></trkpt></trkseg></trk></gpx>`, 1, ""},
	{`drifted a bit`, 0, "x.json"},
	{`!0000`, 0, "x.json"},
	{`{"lake":{"origin_lonlat_deg":[181]},"drifts":[{}]}`, 0, "no place"},
}

func earlierOf(text string) ([]windlane.Past, *wire.Fault) {
	zone := time.FixedZone("", 3600)
	date := time.Date(2026, 5, 2, 0, 0, 0, 0, zone)
	return pastOf(&wire.DriftsRequest{Earlier: &wire.File{Name: "x.json", Text: text}}, clockOf{date}, date.Add(9*time.Hour+40*time.Minute))
}

func TestEarlier(t *testing.T) {
	if len(earlierSeeds) < 5 {
		t.Fatal("the seeds are not there")
	}
	for _, s := range earlierSeeds {
		past, fault := earlierOf(s.text)
		if len(past) != s.drifts || (fault == nil) != (s.says == "") || fault != nil && (fault.Field != "earlier" || !strings.Contains(fault.Message, s.says)) {
			t.Errorf("%.60s: %d drifts, %v; want %d, %q", s.text, len(past), fault, s.drifts, s.says)
		}
	}
	// The day's own file: on the lake's plane, so long and so long ago.
	past, _ := earlierOf(earlierSeeds[2].text)
	if p := past[0]; p.Time != 1800 || p.Ago != 300 || len(p.Track) != 2 || math.Abs(p.Track[1].LonDeg+29.99354) > 1e-4 {
		t.Errorf("day.json: %+v", p)
	}
}

func FuzzEarlier(f *testing.F) {
	for _, s := range earlierSeeds {
		f.Add(s.text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		past, fault := earlierOf(text)
		if (past == nil) == (fault == nil) || fault != nil && fault.Message == "" {
			t.Errorf("%d drifts, %v", len(past), fault)
		}
		for _, p := range past {
			if len(p.Track) == 0 || !(p.Time >= 0 && p.Ago >= 0 && p.Time+p.Ago <= 86400) {
				t.Errorf("%+v", p)
			}
		}
	})
}
