package windlane_test

import (
	"bytes"
	"context"
	"encoding/json"
	"math"
	"strings"
	"testing"
	"time"

	"windlane"
	"windlane/brief"
	"windlane/tackle"
)

func planDemo(t *testing.T, change func(*windlane.Inputs)) *brief.Brief {
	t.Helper()
	in := demoInputs(t)
	if change != nil {
		change(&in)
	}
	b, err := windlane.Day(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// light leaves one set-up in the bag, for days on which the tackle does not matter.
func light(in *windlane.Inputs) {
	in.Bag.Lines, in.Bag.Rigs = nil, in.Bag.Rigs[:1]
}

// The main job on the demo: what a person would look for is there and belongs together.
func TestDayOnTheDemo(t *testing.T) {
	var steps []string
	b := planDemo(t, func(in *windlane.Inputs) { in.Progress = func(s string) { steps = append(steps, s) } })
	if len(steps) != 7 {
		t.Errorf("progress heard %v", steps)
	}
	if len(b.Hours) != 10 || len(b.Drifts) < 4 || len(b.SetUps) < 3 || len(b.Choices) < 3 {
		t.Fatalf("%d hours, %d drifts, %d set-ups, %d choices", len(b.Hours), len(b.Drifts), len(b.SetUps), len(b.Choices))
	}
	if b.Status != "go_in" || !strings.Contains(b.Reason, "25 mph") {
		t.Errorf("gusts pass the limit in the afternoon, but the plan is %s: %s", b.Status, b.Reason)
	}
	ways := map[string]bool{}
	for _, s := range b.SetUps {
		ways[s.Way] = true
		if len(s.Flies) == 0 || len(s.Flies[0].Path) < 10 || len(s.Checks) == 0 {
			t.Errorf("set-up %q: %d flies, %d checks", s.Name, len(s.Flies), len(s.Checks))
		}
	}
	if len(ways) < 3 {
		t.Errorf("ways of fishing advised: %v; the bag holds more", ways)
	}
	end := b.From
	for _, d := range b.Drifts {
		if d.Start.Before(end) {
			t.Errorf("drift %d starts %v, before the one ahead of it ends", d.Number, d.Start)
		}
		end = d.Start.Add(time.Duration(d.Minutes * float64(time.Minute)))
		if d.Why == "" || d.End == "" || d.StartAt == "" || len(d.Track) < 2 || d.SetUp >= len(b.SetUps) {
			t.Errorf("drift %d lacks words or a track: %+v", d.Number, d)
		}
	}
	if out := end.Sub(b.Drifts[0].Start); out < 3*time.Hour {
		t.Errorf("drifts cover only %v", out)
	}
	if b.Cautions[0].Level == brief.Note && len(b.Cautions) < 5 {
		t.Errorf("cautions: %v", b.Cautions)
	}
	for _, h := range b.Hours {
		if len(h.Bands) == 0 || !(h.DriftLow <= h.Drift && h.Drift <= h.DriftHigh) || !(h.WaveLow <= h.Wave && h.Wave <= h.WaveHigh+1e-9) {
			t.Errorf("hour %v: bands %v, drift %v in %v to %v, wave %v in %v to %v", h.At, h.Bands, h.Drift, h.DriftLow, h.DriftHigh, h.Wave, h.WaveLow, h.WaveHigh)
		}
	}
}

func TestDayIsTheSameTwice(t *testing.T) {
	a, err1 := json.Marshal(planDemo(t, light))
	b, err2 := json.Marshal(planDemo(t, light))
	if err1 != nil || err2 != nil || len(a) < 10000 || !bytes.Equal(a, b) {
		t.Errorf("two plans of one day differ (%d and %d bytes, %v, %v)", len(a), len(b), err1, err2)
	}
}

func TestDayWithoutSoundings(t *testing.T) {
	b := planDemo(t, func(in *windlane.Inputs) { light(in); in.Soundings = nil })
	if len(b.Drifts) == 0 {
		t.Errorf("no drift: %s", b.Reason)
	}
	if !strings.Contains(strings.Join(b.NotKnown, " "), "no soundings") {
		t.Errorf("what is not known lacks the bed: %q", b.NotKnown)
	}
	for _, d := range b.Drifts {
		for _, s := range d.Track {
			if s.Sounded || !math.IsNaN(s.Bed) {
				t.Fatalf("drift %d claims a bed of %v m", d.Number, s.Bed)
			}
		}
	}
}

func TestDayDrawnDown(t *testing.T) {
	b := planDemo(t, func(in *windlane.Inputs) { light(in); in.Outing.Drawdown = 12 })
	if b.Status != "nothing_reachable" || len(b.Drifts) != 0 || !strings.Contains(b.Reason, "level") {
		t.Errorf("12 m down, with the jetty dry: %s, %d drifts, %q", b.Status, len(b.Drifts), b.Reason)
	}
	if len(b.Cautions) == 0 || len(b.Hours) == 0 {
		t.Error("a day without drifts still has its hours and cautions")
	}
}

func TestDayInACalm(t *testing.T) {
	b := planDemo(t, func(in *windlane.Inputs) {
		light(in)
		for i := range in.Weather.Hours {
			in.Weather.Hours[i].Speed, in.Weather.Hours[i].Gust = 0.3, 0.5
		}
	})
	if len(b.Drifts) != 0 || !strings.Contains(b.Reason, "wind") {
		t.Errorf("a calm: %s, %d drifts, %q", b.Status, len(b.Drifts), b.Reason)
	}
}

func TestDayOfOneMethod(t *testing.T) {
	b := planDemo(t, func(in *windlane.Inputs) { in.Outing.Aim, in.Outing.Way = "method", tackle.WashingLine })
	for _, s := range b.SetUps {
		if s.Way != "washing line" {
			t.Errorf("asked for the washing line, advised %s", s.Way)
		}
	}
	if len(b.SetUps) == 0 {
		t.Error("nothing advised")
	}
}

func TestDayRefuses(t *testing.T) {
	cases := []struct {
		name   string
		change func(*windlane.Inputs)
		says   string
	}{
		{"no lake", func(in *windlane.Inputs) { in.Outline = nil }, "outline"},
		{"no forecast", func(in *windlane.Inputs) { in.Weather = nil }, "forecast"},
		{"no bag", func(in *windlane.Inputs) { in.Bag = nil }, "bag"},
		{"no day", func(in *windlane.Inputs) { in.Outing = nil }, "day"},
		{"another day", func(in *windlane.Inputs) {
			in.Outing.From, in.Outing.Until = in.Outing.From.AddDate(0, 0, 3), in.Outing.Until.AddDate(0, 0, 3)
		}, "tells the weather from"},
		{"nothing to fish with", func(in *windlane.Inputs) { in.Bag = &tackle.Bag{Boat: in.Bag.Boat} }, "nothing to fish with"},
		{"a drowned lake", func(in *windlane.Inputs) { in.Outing.Drawdown = 90 }, "no water is left"},
	}
	for _, c := range cases {
		in := demoInputs(t)
		c.change(&in)
		if b, err := windlane.Day(context.Background(), in); err == nil || b != nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v, want %q", c.name, err, c.says)
		}
	}
}

func TestDayGivesUp(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	in := demoInputs(t)
	in.Progress = func(step string) {
		if step == "the hours" {
			cancel()
		}
	}
	if _, err := windlane.Day(ctx, in); err != context.Canceled {
		t.Errorf("cancelled: %v", err)
	}
}

// text is everything a brief says, for looking for words in it.
func text(t *testing.T, b *brief.Brief) string {
	t.Helper()
	out, err := json.Marshal(b)
	if err != nil {
		t.Fatal(err)
	}
	return string(out)
}

func TestSquallEndsTheDay(t *testing.T) {
	b := planDemo(t, func(in *windlane.Inputs) {
		light(in)
		for i := range in.Weather.Hours {
			h := &in.Weather.Hours[i]
			h.Speed, h.Gust = 3, 4
			if h.At.Hour() >= 12 && h.At.Hour() <= 13 {
				h.Squall = 28
			}
		}
	})
	if b.Status != "go_in" || !strings.Contains(text(t, b), "quall") {
		t.Errorf("squalls of 28 m/s may come from noon: %s, %q", b.Status, b.Reason)
	}
	for _, d := range b.Drifts {
		if end := d.Start.Add(time.Duration(d.Minutes) * time.Minute); end.Hour() >= 12 {
			t.Errorf("drift %d ends at %v", d.Number, end)
		}
	}
}

// Weather told for a time between full hours, or for the very end, counts.
func TestWeatherBetweenHours(t *testing.T) {
	for name, minute := range map[string]time.Duration{"half past twelve": 4 * time.Hour, "the end": 9 * time.Hour} {
		b := planDemo(t, func(in *windlane.Inputs) {
			light(in)
			hours := in.Weather.Hours[:0:0]
			at := in.Outing.From.Add(minute) // from half past eight
			for _, h := range in.Weather.Hours {
				h.Speed, h.Gust = 3, 4
				if len(hours) > 0 && hours[len(hours)-1].At.Before(at) && !h.At.Before(at) {
					bad := h
					bad.At, bad.Gust, bad.ThunderChance = at, 22, 1
					hours = append(hours, bad)
					if h.At.Equal(at) {
						continue
					}
				}
				hours = append(hours, h)
			}
			in.Weather.Hours = hours
		})
		if b.Status != "go_in" || !strings.Contains(text(t, b), "hunder") {
			t.Errorf("%s: a gust of 22 m/s and thunder: %s, %q", name, b.Status, b.Reason)
		}
	}
}

func TestVariableWindLaysNoDrift(t *testing.T) {
	b := planDemo(t, func(in *windlane.Inputs) {
		light(in)
		for i := range in.Weather.Hours {
			in.Weather.Hours[i].Speed, in.Weather.Hours[i].Gust, in.Weather.Hours[i].Variable = 3, 4, true
		}
	})
	if len(b.Drifts) != 0 || len(b.Waits) == 0 || !b.Hours[0].Shifting {
		t.Errorf("a wind from anywhere: %d drifts, %d waits, shifting %v", len(b.Drifts), len(b.Waits), b.Hours[0].Shifting)
	}
}

func TestOnlyWhatIsOwnedIsAdvised(t *testing.T) {
	b := planDemo(t, func(in *windlane.Inputs) { light(in); in.Bag.Boat, in.Bag.Drogues = nil, nil })
	for _, d := range b.Drifts {
		if d.Drogue || strings.Contains(d.End+d.Why, "drogue") {
			t.Errorf("drift %d wants a drogue that nobody owns: %s %s", d.Number, d.End, d.Why)
		}
	}
	if len(b.Drifts) == 0 || b.Hours[9].Drogue {
		t.Errorf("%d drifts, drogue in the last hour: %v", len(b.Drifts), b.Hours[9].Drogue)
	}
}

func TestWhoseLimit(t *testing.T) {
	own := planDemo(t, light)
	taken := planDemo(t, func(in *windlane.Inputs) { light(in); in.Outing.GustLimit = 0 })
	if !strings.Contains(own.Reason, "your limit") || strings.Contains(text(t, taken), "your limit") {
		t.Errorf("limit given: %q; none given: %q", own.Reason, taken.Reason)
	}
	early := planDemo(t, func(in *windlane.Inputs) { light(in); in.Outing.GustLimit = 3 })
	if len(early.Drifts) != 0 || !strings.Contains(early.Reason, "stay ashore") || early.Cautions[0].Level != brief.Now {
		t.Errorf("over the limit before leaving: %d drifts, %q, first caution %s", len(early.Drifts), early.Reason, early.Cautions[0].Level)
	}
	if own.Cautions[0].Level != brief.Mind || own.First == "" {
		t.Errorf("a limit reached in the afternoon is not at once: %v; what comes first: %q", own.Cautions[0], own.First)
	}
}

func TestToldPlaceDraws(t *testing.T) {
	near := func(b *brief.Brief) (n int) {
		for _, d := range b.Drifts {
			for _, p := range d.Passes {
				if strings.Contains(p.What, "arm weed") {
					n++
				}
			}
		}
		return n
	}
	plain := planDemo(t, func(in *windlane.Inputs) { light(in); in.Outing.Told = nil })
	told := planDemo(t, func(in *windlane.Inputs) {
		light(in)
		one := in.Outing.Told[0]
		one.Place, one.Trust, one.Stocked = "arm weed", 1, time.Time{}
		in.Outing.Told = append(in.Outing.Told[:0:0], one, one, one)
	})
	if near(told) <= near(plain) {
		t.Errorf("told of the arm weed three times over, %d drifts pass it; told nothing, %d", near(told), near(plain))
	}
}
