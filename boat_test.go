package windlane_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"windlane"
	"windlane/drift"
	"windlane/tackle"
)

// What the boat's own tracks said outranks its measures, and those what is
// published; uneven ropes turn the track to the side they say.
func TestSetUpsAdrift(t *testing.T) {
	const degree = math.Pi / 180
	const boat = "[boat]\nlength = 5\npeople = 2\nfreeboard = 0.55\ndraught = 0.2\nmotor = \"oars\"\n"
	const drogue = "[[drogue]]\nname = \"sheet\"\nshape = \"round\"\nsize = 1.5\nmeasured = \"fabric\"\n"
	const learned = "drift_percent = 5.1\ndrift_percent_sd = 0.3\nslip_deg = 9\nslip_deg_sd = 2\ndrift_minutes = 85\n"
	const ropes = "bow_rope = 5\nstern_rope = 5.5\nrope_spread = 3\nbow = "
	of := func(bag string) []windlane.Adrift {
		t.Helper()
		b, err := tackle.ReadBag("b.toml", strings.NewReader(bag))
		if err != nil {
			t.Fatal(err)
		}
		out, err := windlane.SetUpsAdrift(b)
		if err != nil || len(out) != 2 || out[0].Drogue || !out[1].Drogue {
			t.Fatalf("%+v, %v", out, err)
		}
		for _, a := range out {
			if err := a.Expected.Validate(); err != nil {
				t.Errorf("%s: %v", a.Name, err)
			}
		}
		return out
	}
	plain := of(boat + drogue)
	if plain[0].Source != windlane.Measures || plain[1].Source != windlane.Measures || plain[1].Expected.Slip != 0 || !(plain[1].Expected.Fraction.Mean < plain[0].Expected.Fraction.Mean) {
		t.Errorf("by measures: %+v", plain)
	}
	if none := of(drogue); none[0].Source != windlane.Published || none[0].Expected != drift.ExpectedOf(false) || none[1].Expected != drift.ExpectedOf(true) {
		t.Errorf("no boat: %+v", none)
	}
	taught := of(boat + learned + drogue)
	if e := taught[0].Expected; taught[0].Source != windlane.Tracks || math.Abs(e.Fraction.Mean-0.051) > 1e-12 || math.Abs(e.Slip-9*degree) > 1e-12 || e.Worth != 30*60 || taught[0].Time != 85*60 {
		t.Errorf("by its tracks: %+v", taught[0])
	}
	if taught[1] != plain[1] && taught[1].Expected != plain[1].Expected {
		t.Errorf("the boat's own figure reached the drogue's: %+v", taught[1])
	}
	if held := of(boat + drogue + learned); held[1].Source != windlane.Tracks || held[0].Source != windlane.Measures {
		t.Errorf("the drogue by its tracks: %+v", held)
	}
	// A longer stern rope turns the bow upwind. With a drogue out the boat slips
	// a few degrees away from where the bow would sail it (drift.TestSlip).
	right, left := of(boat + drogue + ropes + "\"right\"")[1].Expected, of(boat + drogue + ropes + "\"left\"")[1].Expected
	if math.Abs(right.Slip+left.Slip) > 1e-12 || !(right.Slip > 1*degree && right.Slip < 8*degree) || right.Fraction != plain[1].Expected.Fraction {
		t.Errorf("bow right %v°, bow left %v°", right.Slip/degree, left.Slip/degree)
	}
	if even := of(boat + drogue + strings.Replace(ropes, "5.5", "5", 1) + "\"left\"")[1].Expected; math.Abs(even.Slip) > 1e-12 {
		t.Errorf("even ropes slip by %v°", even.Slip/degree)
	}
}

// What the tracks said turns and slows the day's drifts, the battery keeps the
// rides within what it holds, and the brief says which figure was used.
func TestTheDayGoesByTheBoatsOwn(t *testing.T) {
	const degree = math.Pi / 180
	b := planDemo(t, func(in *windlane.Inputs) {
		light(in)
		boat := *in.Bag.Boat
		boat.Drift = tackle.Learned{Fraction: 0.05, SD: 0.003, Slip: 12 * degree, SlipSD: 2 * degree, Time: 85 * 60}
		boat.Motor, boat.Power, boat.Energy, boat.Speed = tackle.Electric, 600, 0.8*3600*600, 1.5
		in.Bag.Boat, in.Bag.Drogues = &boat, nil
	})
	if len(b.Drifts) == 0 {
		t.Fatalf("no drift: %s", b.Reason)
	}
	ridden := 0.0
	for _, d := range b.Drifts {
		ridden += d.Motor
		from, to := d.Track[0].At, d.Track[len(d.Track)-1].At
		middle := d.Start.Add(time.Duration(d.Minutes * float64(time.Minute) / 2))
		wind := 0.0 // toward, in the middle of the drift: between the hours before and after it
		for i, h := range b.Hours {
			if h.At.After(middle) || i+1 == len(b.Hours) {
				continue
			}
			share := min(1, middle.Sub(h.At).Hours())
			wind = float64(h.WindFrom.Toward()) + share*math.Remainder(float64(b.Hours[i+1].WindFrom-h.WindFrom), 2*math.Pi)
		}
		turn := math.Remainder(math.Atan2(to.X-from.X, to.Y-from.Y)-wind, 2*math.Pi)
		if turn < 8*degree || turn > 16*degree {
			t.Errorf("drift %d goes %.0f° to the right of downwind, want some 12", d.Number, turn/degree)
		}
	}
	if ridden > 0.75*48 {
		t.Errorf("%v min of rides on a battery of 48 with a quarter kept", ridden)
	}
	if said := strings.Join(b.NotKnown, "; "); !strings.Contains(said, "5.0 % of the wind and 12° to the right of downwind: by 85 min of the boat's own tracks, where its measures say") || !strings.Contains(said, "s after it is let go") {
		t.Errorf("the brief does not say which figure was used: %s", said)
	}
}
