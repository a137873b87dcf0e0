package quantity_test

import (
	"math"
	"strings"
	"testing"

	"windlane/quantity"
)

func TestParse(t *testing.T) {
	// Conversions: exact by definition (international yard and pound, 1959; nautical mile 1852 m).
	cases := []struct {
		kind quantity.Kind
		in   string
		want float64
	}{
		{quantity.Length, "15 ft", 4.572},
		{quantity.Length, "4.5 m", 4.5},
		{quantity.Length, "4.5", 4.5},
		{quantity.Length, "30 yd", 27.432},
		{quantity.Length, "1e-3 m", 0.001},
		{quantity.Speed, "3 in/s", 0.0762},
		{quantity.Speed, "9 mph", 4.02336},
		{quantity.Speed, "10 kn", 5.144444444444445},
		{quantity.Speed, "36 km/h", 10},
		{quantity.Mass, "210 gr", 0.0136077711},
		{quantity.Force, "10 lb", 44.482216152605},
		{quantity.Time, "2 min", 120},
		{quantity.Angle, "90", math.Pi / 2},
	}
	for _, c := range cases {
		got, err := c.kind.Parse(c.in)
		if err != nil || math.Abs(got-c.want) > 1e-12*math.Abs(c.want) {
			t.Errorf("Parse(%q) = %v, %v; want %v", c.in, got, err, c.want)
		}
	}
	for _, bad := range []string{"", "ft", "4 parsec", "NaN", "1e999", "--3", "4 in/s"} {
		if v, err := quantity.Length.Parse(bad); err == nil {
			t.Errorf("Parse(%q) = %v, want an error", bad, v)
		} else if !strings.Contains(err.Error(), "ft") {
			t.Errorf("Parse(%q): %v does not say what is allowed", bad, err)
		}
	}
}

func TestParseTemperature(t *testing.T) {
	for in, want := range map[string]float64{"12": 12, "12 C": 12, "12 °C": 12, "54 F": 12.222222222222221, "-2": -2} {
		if got, err := quantity.ParseTemperature(in); err != nil || math.Abs(got-want) > 1e-12 {
			t.Errorf("ParseTemperature(%q) = %v, %v; want %v", in, got, err, want)
		}
	}
	if _, err := quantity.ParseTemperature("warm"); err == nil {
		t.Error("ParseTemperature(warm) gave no error")
	}
}

func TestBearings(t *testing.T) {
	west := quantity.FromDegrees(270)
	if got := west.Toward().Degrees(); math.Abs(got-90) > 1e-9 {
		t.Errorf("a west wind blows toward %v, want 90", got)
	}
	e, n := west.Toward().Vector()
	if math.Abs(e-1) > 1e-12 || math.Abs(n) > 1e-12 {
		t.Errorf("a west wind blows along (%v, %v), want (1, 0)", e, n)
	}
	if got := quantity.TowardVector(e, n).From().Degrees(); math.Abs(got-270) > 1e-9 {
		t.Errorf("back to %v, want 270", got)
	}
	if got := quantity.Turn(quantity.Bearing(quantity.FromDegrees(350)), quantity.Bearing(quantity.FromDegrees(20))); math.Abs(got-math.Pi/6) > 1e-12 {
		t.Errorf("Turn over north = %v, want 30°", got*180/math.Pi)
	}
	for deg, want := range map[float64]string{0: "N", 11.2: "N", 11.3: "NNE", 270: "W", 359: "N", -45: "NW"} {
		if got := quantity.Bearing(quantity.FromDegrees(deg)).Compass(); got != want {
			t.Errorf("Compass(%v) = %s, want %s", deg, got, want)
		}
	}
	if d := quantity.FromDegrees(-1e-15).Degrees(); d < 0 || d >= 360 {
		t.Errorf("a hair west of north is %v, want 0 up to 360", d)
	}
}

func TestSay(t *testing.T) {
	ft, m := quantity.Trade, quantity.Metric
	cases := []struct{ got, want string }{
		{ft.Depth(4.572), "15 ft"},
		{ft.Depth(1.67), "5½ ft"},
		{ft.DepthFigure(0.15), "½"},
		{m.Depth(1.67), "1.7 m"},
		{ft.DepthRange(2.1336, 3.048), "7 to 10 ft"},
		{ft.Wind(4.02336), "9 mph"},
		{m.Wind(4.02336), "4 m/s"},
		{ft.Drift(0.2), "0.4 mph"},
		{m.Drift(0.2), "12 m/min"},
		{ft.Retrieve(0.6), "24 in/s"},
		{ft.Sink(0.0762), "3 in/s"},
		{ft.Sink(0.0381), "1.5 in/s"},
		{ft.Wave(0.25), "10 in"},
		{ft.Strain(44.482216), "10 lb"},
		{ft.Distance(610 * 0.9144), "610 yd"},
		{ft.Cast(22.86), "25 yd"},
		{ft.Cast(4.8768), "16 ft"},
		{m.Depth(-0.01), "0 m"},
	}
	for _, c := range cases {
		if c.got != c.want {
			t.Errorf("said %q, want %q", c.got, c.want)
		}
	}
}
