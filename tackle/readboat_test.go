package tackle_test

import (
	"math"
	"strings"
	"testing"

	"windlane/tackle"
)

const (
	boatHead   = "[boat]\nlength = 5\npeople = 2\nfreeboard = 0.5\ndraught = 0.2\n"
	drogueHead = "[[drogue]]\nname = \"the square one\"\nshape = \"square\"\nsize = \"5 ft\"\nmeasured = \"fabric\"\n"
	learned    = "drift_percent = 6.2\ndrift_percent_sd = 0.4\nslip_deg = -7.5\nslip_deg_sd = 3\ndrift_minutes = 85\n"
)

// A motor that is not said is read the slower way where a ride is reckoned and
// the careful way where a warning is, and both are said.
func TestMotorNotSaid(t *testing.T) {
	for _, c := range []struct {
		more   string
		speed  float64
		engine bool
		remark string
	}{
		{"", 0.8, true, "motor is not said: rides are reckoned at the pace of oars, 0.8 m/s (1.8 mph), and the warnings are those for an engine"},
		{"speed = 2\n", 2, true, "at the speed it gives"},
		{"motor = \"oars\"\n", 0.8, false, ""},
		{"motor = \"electric\"\n", 1.5, true, ""},
		{"battery_wh = 1200\nmotor_power_w = 600\n", 1.5, true, ""}, // a battery says it
		{"fuel_l = 5\nfuel_l_per_h = 1.5\n", 2.5, true, ""},
	} {
		b, err := tackle.ReadBag("b.toml", strings.NewReader(boatHead+c.more))
		if err != nil {
			t.Fatal(err)
		}
		if b.Boat.UnderWay() != c.speed || b.Boat.HasEngine() != c.engine {
			t.Errorf("%q: %v m/s, engine %v", c.more, b.Boat.UnderWay(), b.Boat.HasEngine())
		}
		if said := strings.Join(b.Remarks, "; "); !strings.Contains(said, c.remark) || (said == "") != (c.remark == "") {
			t.Errorf("%q: remarks %q, want %q", c.more, said, c.remark)
		}
	}
}

func TestEnergyAboard(t *testing.T) {
	for more, hours := range map[string]float64{
		"battery_wh = 1200\nmotor_power_w = 600\n":                  0.8 * 2, // four fifths of it may be drawn
		"battery_ah = 100\nbattery_v = 12.8\nmotor_power_w = 640\n": 0.8 * 2,
		"fuel_l = 5\nfuel_l_per_h = 2\n":                            2.5,
		"motor = \"electric\"\n":                                    math.NaN(),
	} {
		b, err := tackle.ReadBag("b.toml", strings.NewReader(boatHead+more))
		if err != nil {
			t.Fatal(err)
		}
		if got := b.Boat.Energy / b.Boat.Power / 3600; !(math.Abs(got-hours) < 1e-12) && hours == hours || hours != hours && b.Boat.Energy+b.Boat.Power != 0 {
			t.Errorf("%q lasts %v h, want %v", more, got, hours)
		}
	}
}

func TestLearnedAndRopes(t *testing.T) {
	ropes := "bow_rope = \"5 m\"\nstern_rope = \"18 ft\"\nrope_spread = \"10 ft\"\nbow = \"right\"\n"
	b, err := tackle.ReadBag("b.toml", strings.NewReader(boatHead+learned+drogueHead+ropes+learned))
	if err != nil {
		t.Fatal(err)
	}
	for what, l := range map[string]tackle.Learned{"boat": b.Boat.Drift, "drogue": b.Drogues[0].Drift} {
		near(t, what+" drift", l.Fraction, 0.062, 1e-15)
		near(t, what+" sd", l.SD, 0.004, 1e-15)
		near(t, what+" slip", l.Slip, -7.5*math.Pi/180, 1e-15)
		near(t, what+" slip sd", l.SlipSD, 3*math.Pi/180, 1e-15)
		near(t, what+" time", l.Time, 5100, 1e-9)
	}
	r := b.Drogues[0].Ropes
	if r == nil || !r.Right {
		t.Fatalf("ropes %+v", r)
	}
	near(t, "bow rope", r.Bow, 5, 0)
	near(t, "stern rope", r.Stern, 18*0.3048, 1e-12)
	near(t, "spread", r.Spread, 3.048, 1e-12)
	if b, err = tackle.ReadBag("b.toml", strings.NewReader(boatHead+drogueHead)); err != nil || b.Drogues[0].Ropes != nil || b.Boat.Drift != (tackle.Learned{}) {
		t.Errorf("nothing said: %+v, %v", b, err)
	}
}

func TestBoatFaults(t *testing.T) {
	for in, want := range map[string]string{
		boatHead + "battery_wh = 1200\n":                                                        "lacks motor_power_w",
		boatHead + "motor_power_w = 500\n":                                                      "lacks motor_power_w or the battery",
		boatHead + "battery_ah = 100\nmotor_power_w = 500\n":                                    "the one means nothing without the other",
		boatHead + "battery_ah = 100\nbattery_v = 12\nbattery_wh = 1200\nmotor_power_w = 500\n": "says the battery twice",
		boatHead + "fuel_l = 5\n":                                                               "lacks fuel_l or fuel_l_per_h",
		boatHead + "fuel_l = 5\nfuel_l_per_h = 1\nbattery_wh = 1200\nmotor_power_w = 500\n":     "stands beside a battery",
		boatHead + "motor = \"oars\"\nbattery_wh = 1200\nmotor_power_w = 500\n":                 "runs on no battery",
		boatHead + "motor = \"electric\"\nfuel_l = 5\nfuel_l_per_h = 1\n":                       "runs on no fuel",
		boatHead + "battery_wh = 1\nmotor_power_w = 500\n":                                      "allowed is 10 to 50000 Wh",
		boatHead + "motor = \"\"\n":                                                             "allowed are oars, electric, petrol",
		boatHead + "drift_percent = 6\n":                                                        "lacks drift_percent_sd",
		boatHead + strings.Replace(learned, "6.2", "62", 1):                                     "allowed is 0.5 to 20 % of the wind",
		boatHead + strings.Replace(learned, "-7.5", "nan", 1):                                   "out of range",
		drogueHead + "bow_rope = 5\n":                                                           "lacks stern_rope",
		drogueHead + "bow_rope = 5\nstern_rope = 5\nrope_spread = 3\n":                          "lacks bow: is the bow on the",
		drogueHead + "bow_rope = 1\nstern_rope = 1\nrope_spread = 3\nbow = \"left\"\n":          "do not meet in one point",
		drogueHead + "bow_rope = 9\nstern_rope = 5\nrope_spread = 3\nbow = \"left\"\n":          "do not meet in one point",
		drogueHead + "bow_rope = 5\nstern_rope = 5\nrope_spread = 3\nbow = \"port\"\n":          "allowed are left, right",
		boatHead + "[[fly]]\nname = \"f\"\nkind = \"wet\"\nhook_gape = \"5 mm\"\n":              "unknown key",
	} {
		if _, err := tackle.ReadBag("b.toml", strings.NewReader(in)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %q", in, err, want)
		}
	}
}
