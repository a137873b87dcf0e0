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
