package forecast_test

import (
	"errors"
	"math"
	"strings"
	"testing"
	"time"

	"windlane/forecast"
	"windlane/internal/text"
)

var bst = time.FixedZone("", 3600)

// csvSeeds are the fuzz target's corpus; the first two must read.
var csvSeeds = []string{
	"# by the hour\ntime,wind_mph,gust_mph,from,air_c,cloud_oktas,pressure_hpa,thunder,mood\n2026-04-18 08:00,9,15,SW,8,7,1012,no,fine\n2026-04-18 09:00,10,,230,9,8,1012,yes,fine\n2026-04-18 10:00,0,,,9,,,,\n2026-04-18 11:00,2,,vrb,9,,,,\n",
	"date;time;wind_kn;from_deg;cloud_percent;air_f\n2026-04-18;08:00+01:00;10;359;50;50\n2026-04-18;11:00+01:00;10;1;100;50\n",
	"time_utc\twind_bft\tfrom\n2026-04-18T08:00\t4\tN\n",
	"time,wind,from\n08:00,9,SW\n",
	"time,wind_mph,from\n2026-04-18 08:00,nan,SW\n",
	"time,wind_mph,from\n9999-99-99 99:99,9,SW\n",
}

func TestThunderPercent(t *testing.T) {
	f, err := forecast.ReadCSV("w.csv", strings.NewReader("time,wind_mph,from,thunder_percent,thunder\n2026-04-18 08:00,9,SW,0,no\n2026-04-18 09:00,9,SW,15,\n2026-04-18 10:00,9,SW,60,yes\n"), time.UTC)
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []float64{0, 0.15, 1} {
		if got := float64(f.Hours[i].ThunderChance); math.Abs(got-want) > 1e-12 {
			t.Errorf("row %d: %v, want %v", i+1, got, want)
		}
	}
}

func TestReadCSV(t *testing.T) {
	f, err := forecast.ReadCSV("w.csv", strings.NewReader(csvSeeds[0]), bst)
	if err != nil {
		t.Fatal(err)
	}
	if len(f.Hours) != 4 || len(f.Remarks) != 1 || !strings.Contains(f.Remarks[0], "mood") {
		t.Fatalf("%d hours, remarks %v", len(f.Hours), f.Remarks)
	}
	h := f.Hours[0]
	near(t, "9 mph", h.Speed, 4.02336, 1e-9)
	near(t, "15 mph", h.Gust, 6.7056, 1e-9)
	near(t, "SW", h.From.Degrees(), 225, 1e-9)
	near(t, "air", h.AirC, 8, 0)
	near(t, "cloud", h.Oktas, 7, 0)
	near(t, "pressure", h.PressureHPa, 1012, 0)
	if want := time.Date(2026, 4, 18, 7, 0, 0, 0, time.UTC); !h.At.Equal(want) {
		t.Errorf("8 o'clock at +01:00 is %v", h.At.UTC())
	}
	if h.ThunderChance > 0 || f.Hours[1].ThunderChance == 0 || f.Hours[1].HasGust || f.Hours[2].HasCloud {
		t.Errorf("%+v", f.Hours)
	}
	if !f.Hours[2].Calm || !f.Hours[3].Variable {
		t.Errorf("calm and variable: %+v", f.Hours[2:])
	}
	f, err = forecast.ReadCSV("w.csv", strings.NewReader(csvSeeds[1]), nil)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "10 kn", f.Hours[0].Speed, 5.144444444, 1e-8)
	near(t, "half the sky", f.Hours[0].Oktas, 4, 1e-12)
	near(t, "50 F", f.Hours[0].AirC, 10, 1e-9)
	near(t, "zone", f.Hours[1].At.Sub(time.Date(2026, 4, 18, 10, 0, 0, 0, time.UTC)).Hours(), 0, 0)
	for header, want := range map[string]float64{"wind_m_s": 10, "wind_kmh": 10 / 3.6, "wind_kn": 10 * 1852.0 / 3600, "wind_mph": 4.4704, "wind_speed_m_s": 10, "wind_bft": 0.836 * math.Pow(10, 1.5)} {
		f, err := forecast.ReadCSV("w.csv", strings.NewReader("time_utc,"+header+",from\n2026-04-18 08:00,10,N\n"), nil)
		if err != nil {
			t.Errorf("%s: %v", header, err)
			continue
		}
		near(t, header, f.Hours[0].Speed, want, 1e-9)
	}
}

func TestCSVFaults(t *testing.T) {
	head := "time,wind_mph,gust_mph,from\n"
	cases := []struct{ name, in, want string }{
		{"no unit", csvSeeds[3], "name its column by its unit, wind_m_s, wind_mph"},
		{"no time", "hour,wind_mph,from\n8,9,SW\n", "lacks a column: it must be called time"},
		{"no direction", "time,wind_mph\n2026-04-18 08:00,9\n", "lacks a column: it must be called from"},
		{"no rows", head, "no rows"},
		{"bad time", head + "18/04/2026 8am,9,,SW\n", "w.csv, line 2, time: \"18/04/2026 8am\" is not a time: write 2026-04-18 09:00"},
		{"bad direction", head + "2026-04-18 08:00,9,,up\n", "is no direction"},
		{"degrees", head + "2026-04-18 08:00,9,,400\n", "is no direction"},
		{"no direction told", head + "2026-04-18 08:00,9,,\n", "is no direction"},
		{"gust", head + "2026-04-18 08:00,9,8,SW\n", "is below the mean wind of the same row (3.6 m/s under 4.0): swap the columns"},
		{"unit slip", "time,wind_m_s,from\n2026-04-18 08:00,50,SW\n", "is 50 m/s, a wind of no fishing day (over 40): is the unit"},
		{"gust unit slip", head + "2026-04-18 08:00,9,200,SW\n", "a wind of no fishing day (over 60)"},
		{"negative", head + "2026-04-18 08:00,-1,,SW\n", "out of range"},
		{"twice", head + "2026-04-18 08:00,9,,SW\n2026-04-18 08:00,9,,SW\n", "line 3, time: \"2026-04-18 08:00\" stands twice"},
		{"unsorted", head + "2026-04-18 08:00,9,,SW\n2026-04-18 07:00,9,,SW\n", "is before the row above"},
		{"gap", head + "2026-04-18 08:00,9,,SW\n2026-04-18 12:30,9,,SW\n", "leaves a gap of 4.5 h"},
		{"thunder", "time,wind_mph,from,thunder\n2026-04-18 08:00,9,SW,perhaps\n", "must be yes or no"},
		{"cloud", "time,wind_mph,from,cloud_oktas\n2026-04-18 08:00,9,SW,9\n", "allowed is 0 to 8"},
		{"empty", "", "is empty"},
	}
	for _, c := range cases {
		_, err := forecast.ReadCSV("w.csv", strings.NewReader(c.in), bst)
		var f *text.Fault
		if !errors.As(err, &f) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v\nwant %q", c.name, err, c.want)
		}
	}
	if _, err := forecast.ReadCSV("w.csv", strings.NewReader(csvSeeds[0]), nil); err == nil || !strings.Contains(err.Error(), "says no zone: write the offset") {
		t.Errorf("no zone: %v", err)
	}
}

func FuzzReadCSV(f *testing.F) {
	for _, s := range csvSeeds {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		fc, err := forecast.ReadCSV("fuzz", strings.NewReader(string(b)), bst)
		checkRead(t, fc, err)
	})
}

// checkRead holds what every reader promises.
func checkRead(t *testing.T, f *forecast.Forecast, err error) {
	t.Helper()
	if err != nil {
		if err.Error() == "" {
			t.Error("an error without words")
		}
		return
	}
	if len(f.Hours) == 0 {
		t.Fatal("no hours and no fault")
	}
	for i, h := range f.Hours {
		if i > 0 && !h.At.After(f.Hours[i-1].At) {
			t.Errorf("row %d is not after the one before", i)
		}
		if math.IsNaN(h.Speed) || h.Speed < 0 || h.HasGust && h.Gust < h.Speed-1e-9 {
			t.Errorf("row %d: %+v", i, h)
		}
		if d := h.From.Degrees(); !(d >= 0 && d < 360) {
			t.Errorf("row %d comes from %v", i, d)
		}
	}
}
