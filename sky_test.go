package windlane_test

import (
	"strings"
	"testing"
	"time"

	"windlane"
	"windlane/brief"
	"windlane/quantity"
)

// Likely thunder ends the day before it; less likely thunder is told and the day
// goes on; before setting out it leaves no day.
func TestThunderEndsTheDay(t *testing.T) {
	stormy := func(hour int, chance quantity.Probability) *brief.Brief {
		return planDemo(t, func(in *windlane.Inputs) {
			light(in)
			for i := range in.Weather.Hours {
				h := &in.Weather.Hours[i]
				h.Speed, h.Gust = 3, 4
				if h.At.Hour() == hour {
					h.ThunderChance = chance
				}
			}
		})
	}
	said := func(b *brief.Brief) string {
		for _, c := range b.Cautions {
			if strings.Contains(c.Text, "first thunder") {
				return string(c.Level) + ": " + c.Text
			}
		}
		return "nothing"
	}
	b := stormy(13, 0.6)
	if b.Status != "go_in" || !strings.Contains(b.Reason, "Thunder is likely at 13:00: be ashore") || !strings.Contains(said(b), "mind: Thunder is likely from 13:00") {
		t.Errorf("likely from 13:00: %s, %q, %q", b.Status, b.Reason, said(b))
	}
	for _, d := range b.Drifts {
		if end := d.Start.Add(time.Duration(d.Minutes * float64(time.Minute))); end.Hour() >= 13 {
			t.Errorf("drift %d ends at %v", d.Number, end)
		}
	}
	if b := stormy(13, 0.15); b.Status == "go_in" || !strings.Contains(said(b), "note: A small chance of thunder is forecast from 13:00 (chance taken: 15 %)") {
		t.Errorf("15 %%: %s, %q", b.Status, said(b))
	}
	if b := stormy(8, 1); len(b.Drifts) != 0 || !strings.Contains(b.Reason, "stay ashore") || b.Cautions[0].Level != brief.Now {
		t.Errorf("told for the start: %d drifts, %q, %+v", len(b.Drifts), b.Reason, b.Cautions[0])
	}
}

// In a morning's fog nobody goes out before it lifts, an evening's ends the day,
// and a day of it is none.
func TestFog(t *testing.T) {
	foggy := func(thick func(hour int) bool) *brief.Brief {
		return planDemo(t, func(in *windlane.Inputs) {
			light(in)
			for i := range in.Weather.Hours {
				h := &in.Weather.Hours[i]
				h.Speed, h.Gust, h.Visibility, h.HasVisibility = 3, 4, 9000, true
				if thick(h.At.Hour()) {
					h.Visibility = 300
				}
			}
		})
	}
	b := foggy(func(hour int) bool { return hour < 11 })
	if len(b.Drifts) == 0 || b.Drifts[0].Start.Hour() < 11 || !strings.HasPrefix(b.Headline, "Boat 11:00") || len(b.Waits) == 0 || !strings.Contains(b.Waits[0].Reason, "Fog") {
		t.Errorf("fog till 11:00: %q, %+v", b.Headline, b.Waits)
	}
	if c := b.Cautions[0]; c.Level != brief.Now || !strings.Contains(c.Text, "by the forecast at 11:00") {
		t.Errorf("fog till 11:00: %+v", c)
	}
	b = foggy(func(hour int) bool { return hour >= 14 })
	if len(b.Drifts) == 0 || b.Status != "go_in" || !strings.Contains(b.Reason, "Fog is forecast at") {
		t.Errorf("fog from 14:00: %s %q", b.Status, b.Reason)
	}
	for _, d := range b.Drifts {
		if end := d.Start.Add(time.Duration(d.Minutes * float64(time.Minute))); end.Hour() >= 14 {
			t.Errorf("drift %d ends at %v", d.Number, end)
		}
	}
	if b = foggy(func(int) bool { return true }); len(b.Drifts) != 0 || !strings.Contains(b.Reason, "stay ashore") {
		t.Errorf("fog all day: %d drifts, %q", len(b.Drifts), b.Reason)
	}
}
