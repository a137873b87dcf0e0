package forecast_test

import (
	"math"
	"os"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"windlane/forecast"
	"windlane/internal/text"
	"windlane/quantity"
)

const knot = 1852.0 / 3600 // [m/s]

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: %v, want %v ± %v", what, got, want, tol)
	}
}

func table(t *testing.T, path string) (*text.Table, func(text.Row, string) string) {
	t.Helper()
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	tab, err := text.ReadTable(path, strings.NewReader(string(b)), 1<<16)
	if err != nil {
		t.Fatal(err)
	}
	if len(tab.Rows) == 0 {
		t.Fatalf("%s holds no rows", path)
	}
	return tab, func(r text.Row, name string) string {
		c, err := tab.Need(name)
		if err != nil {
			t.Fatal(err)
		}
		return r.Cell(c)
	}
}

// Source: CEM 2002 Fig. II-2-1 after SPM 1984, values computed elsewhere from
// the same formula: 600 s 1.0500, 60 s 1.2439, 3 s 1.5094.
func TestGustFactor(t *testing.T) {
	for s, want := range map[float64]float64{600: 1.0500, 60: 1.2439, 3: 1.5094} {
		near(t, "gust factor", forecast.GustFactor(s), want, 1e-4)
	}
	near(t, "across the hour", forecast.GustFactor(3599.999), forecast.GustFactor(3600), 0.002)
	near(t, "an hour", forecast.GustFactor(3600), 1, 0.002)
	h := forecast.Hour{Speed: 4}
	near(t, "usual gust", h.GustOrUsual(), 4*1.5094/1.05, 1e-3)
}

// Source: the Beaufort scale (refdata/forecast/SOURCE.md); the mean formula's
// worked values 6.69 and 12.29 m/s.
func TestBeaufortMean(t *testing.T) {
	near(t, "force 4", forecast.BeaufortMean(4), 6.69, 0.005)
	near(t, "force 6", forecast.BeaufortMean(6), 12.29, 0.01)
	tab, cell := table(t, "../refdata/forecast/beaufort.csv")
	checked := 0
	for _, r := range tab.Rows {
		if cell(r, "high_m_s") == "" {
			continue
		}
		force, _ := r.Number(tab.Column("force"), 0, 12)
		low, _ := r.Number(tab.Column("low_m_s"), 0, 99)
		high, _ := r.Number(tab.Column("high_m_s"), 0, 99)
		if v := forecast.BeaufortMean(force); v < low || v > high {
			t.Errorf("force %v: %v m/s is outside %v to %v", force, v, low, high)
		}
		checked++
	}
	if checked != 12 {
		t.Errorf("%d forces compared, want 12", checked)
	}
}

func hour(h int, speed, from float64) forecast.Hour {
	return forecast.Hour{At: time.Date(2026, 4, 18, h, 0, 0, 0, time.UTC), Speed: speed, From: quantity.FromDegrees(from), Calm: speed == 0}
}

func TestAt(t *testing.T) {
	f := &forecast.Forecast{Hours: []forecast.Hour{hour(8, 4, 350), hour(9, 4, 30), hour(10, 0, 0), hour(11, 6, 90), hour(12, 6, 270)}}
	at := func(h, m int) forecast.Hour {
		got, ok := f.At(time.Date(2026, 4, 18, h, m, 0, 0, time.UTC))
		if !ok {
			t.Fatalf("%d:%02d is not covered", h, m)
		}
		return got
	}
	// Half way from 350 to 30 is 10, over north, and a little slower: 4 cos 20°.
	h := at(8, 30)
	near(t, "over north", h.From.Degrees(), 10, 1e-9)
	near(t, "speed of the mean vector", h.Speed, 4*math.Cos(20*math.Pi/180), 1e-9)
	h = at(9, 45)
	near(t, "toward a calm", h.Speed, 1, 1e-9)
	near(t, "toward a calm", h.From.Degrees(), 30, 1e-9)
	h = at(10, 30)
	near(t, "out of a calm", h.From.Degrees(), 90, 1e-9)
	if h = at(11, 30); !h.Calm || h.Speed != 0 {
		t.Errorf("a wind that turns right round: %+v, want a calm", h)
	}
	if h = at(10, 0); !h.Calm {
		t.Errorf("on a row: %+v", h)
	}
	for _, out := range []time.Time{f.Hours[0].At.Add(-time.Second), f.Hours[4].At.Add(time.Second)} {
		if _, ok := f.At(out); ok {
			t.Errorf("%v is covered", out)
		}
	}
	if _, ok := (&forecast.Forecast{}).At(f.Hours[0].At); ok {
		t.Error("an empty forecast covers a time")
	}
}

func TestAtOtherThings(t *testing.T) {
	a, b := hour(8, 4, 200), hour(9, 6, 200)
	a.Gust, a.HasGust = 8, true
	a.AirC, a.HasAir, b.AirC, b.HasAir = 8, true, 10, true
	a.Oktas, a.HasCloud = 8, true
	b.ThunderChance, b.Squall = 0.3, 14
	f := &forecast.Forecast{Hours: []forecast.Hour{a, b}}
	h, _ := f.At(a.At.Add(30 * time.Minute))
	near(t, "speed", h.Speed, 5, 1e-9)
	near(t, "gust, the second the usual one", h.Gust, (8+6*1.43752)/2, 1e-3)
	near(t, "air", h.AirC, 9, 1e-9)
	near(t, "squall", h.Squall, 14, 0)
	near(t, "thunder", float64(h.ThunderChance), 0.3, 0)
	if h.ThunderChance == 0 || h.HasCloud || h.HasPressure {
		t.Errorf("%+v", h)
	}
	// A variable wind takes the direction of its neighbour.
	v := hour(9, 2, 0)
	v.Variable = true
	f.Hours[1] = v
	h, _ = f.At(a.At.Add(30 * time.Minute))
	if h.Variable || math.Abs(h.From.Degrees()-200) > 1e-9 || math.Abs(h.Speed-3) > 1e-9 {
		t.Errorf("beside a variable wind: %+v", h)
	}
	f.Hours[0].Variable = true
	if h, _ = f.At(a.At.Add(30 * time.Minute)); !h.Variable {
		t.Errorf("between variable winds: %+v", h)
	}
}

// Laws of the blend: never above the stronger neighbour, always a bearing from 0
// up to 360, the ends themselves at the ends.
func TestBlendLaws(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		draw := func(name string) forecast.Hour {
			return hour(0, rapid.Float64Range(0, 20).Draw(rt, name+" speed"), rapid.Float64Range(0, 360).Draw(rt, name+" from"))
		}
		a, b := draw("a"), draw("b")
		b.At = a.At.Add(time.Hour)
		f := &forecast.Forecast{Hours: []forecast.Hour{a, b}}
		h, ok := f.At(a.At.Add(time.Duration(rapid.IntRange(0, 3600).Draw(rt, "s")) * time.Second))
		if !ok || h.Speed > max(a.Speed, b.Speed)+1e-9 || h.Speed < 0 || math.IsNaN(h.Speed) {
			rt.Fatalf("between %+v and %+v: %+v", a, b, h)
		}
		if d := h.From.Degrees(); !(d >= 0 && d < 360) {
			rt.Fatalf("from %v", d)
		}
	})
}

func TestCover(t *testing.T) {
	f := &forecast.Forecast{Source: "w.csv", Hours: []forecast.Hour{hour(8, 4, 0), hour(18, 4, 0)}}
	if err := f.Cover(f.Hours[0].At, f.Hours[1].At); err != nil {
		t.Error(err)
	}
	// The rows are in UTC, as a METAR's are; the fault speaks by the lake's clock.
	lake := time.FixedZone("", 3600)
	err := f.Cover(f.Hours[0].At.Add(-time.Hour).In(lake), f.Hours[1].At)
	if err == nil || !strings.Contains(err.Error(), "w.csv: tells the weather from 18 Apr 2026 09:00 to 18 Apr 2026 19:00, but 18 Apr 2026 08:00 to 18 Apr 2026 19:00 is asked for, all by the day's own clock (UTC+01:00)") {
		t.Error(err)
	}
	if f.Cover(f.Hours[0].At, f.Hours[1].At.Add(time.Minute)) == nil || (&forecast.Forecast{}).Cover(f.Hours[0].At, f.Hours[1].At) == nil {
		t.Error("covers what it does not hold")
	}
}

// Between gives the rows inside and the weather at both ends, each once.
func TestBetween(t *testing.T) {
	rows := []forecast.Hour{hour(8, 2, 0), hour(9, 4, 0), hour(10, 8, 0), hour(11, 3, 0)}
	rows[2].At = rows[2].At.Add(20 * time.Minute) // 10:20, as FM makes it
	f := &forecast.Forecast{Hours: rows}
	at := func(h, m int) time.Time {
		return rows[0].At.Add(time.Duration(h-8)*time.Hour + time.Duration(m)*time.Minute)
	}
	for _, c := range []struct {
		name        string
		from, until time.Time
		want        []time.Time
		speeds      []float64
	}{
		{"ends between rows", at(8, 30), at(10, 40), []time.Time{at(8, 30), at(9, 0), at(10, 20), at(10, 40)}, []float64{3, 4, 8, 5.5}},
		{"ends on rows", at(9, 0), at(10, 20), []time.Time{at(9, 0), at(10, 20)}, []float64{4, 8}},
		{"inside one gap", at(9, 20), at(9, 40), []time.Time{at(9, 20), at(9, 40)}, []float64{5, 6}},
		{"a moment", at(8, 30), at(8, 30), []time.Time{at(8, 30)}, []float64{3}},
		{"ends outside the rows", at(7, 0), at(12, 0), []time.Time{at(8, 0), at(9, 0), at(10, 20), at(11, 0)}, []float64{2, 4, 8, 3}},
		{"the wrong way round", at(10, 0), at(9, 0), nil, nil},
	} {
		got := f.Between(c.from, c.until)
		if len(got) != len(c.want) {
			t.Errorf("%s: %d rows %v, want %d", c.name, len(got), got, len(c.want))
			continue
		}
		for i, h := range got {
			if !h.At.Equal(c.want[i]) || math.Abs(h.Speed-c.speeds[i]) > 1e-9 {
				t.Errorf("%s: %s %v m/s, want %s %v", c.name, h.At, h.Speed, c.want[i], c.speeds[i])
			}
		}
	}
}
