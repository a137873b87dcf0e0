package drift_test

import (
	"math"
	"testing"

	"windlane/drift"
)

// The table of paces, m/min. Common practice, no source.
func TestWantedPaces(t *testing.T) {
	want := map[drift.Way][2]float64{
		drift.Lures: {6, 12}, drift.PulledWets: {12, 25}, drift.ShortLine: {12, 25}, drift.WashingLine: {4, 8},
		drift.Nymphs: {3, 6}, drift.Bung: {3, 6}, drift.Dries: {3, 8},
	}
	for way, w := range want {
		p, ok := drift.Wanted(way)
		if !ok {
			t.Fatalf("%s is not known", way)
		}
		near(t, string(way)+" slow", p.Slow*60, w[0], 1e-12)
		near(t, string(way)+" fast", p.Fast*60, w[1], 1e-12)
	}
	if _, ok := drift.Wanted("trolling"); ok {
		t.Error("an unknown way has a pace")
	}
}

// The speed wanted decides on the drogue, not the wind.
func TestChoose(t *testing.T) {
	fractions := []float64{0.0635, 0.0412, 0.0347}
	lures, _ := drift.Wanted(drift.Lures)
	wets, _ := drift.Wanted(drift.PulledWets)
	for _, c := range []struct {
		wind    float64
		want    drift.Pace
		pick    int
		verdict drift.Verdict
	}{
		{2.5, lures, 0, drift.Right},      // 9.5 m/min bare
		{1, lures, 0, drift.TooSlow},      // 3.8
		{4, lures, 1, drift.Right},        // 15.2 bare, 9.9 with the flat one
		{5.5, lures, 2, drift.Right},      // 13.6 with the flat one, 11.5 with the bag
		{5.2, lures, 2, drift.Right},      // 12.9 with the flat one is too fast
		{9, lures, 2, drift.TooFast},      // 18.7
		{5.5, wets, 0, drift.Right},       // 21 bare: no drogue in the same wind
		{12, wets, 2, drift.Right},        // 25.0 − a hair
		{3.149606, lures, 0, drift.Right}, // 12.0 m/min
	} {
		pick, speed, verdict := drift.Choose(c.wind, fractions, c.want)
		if pick != c.pick || verdict != c.verdict {
			t.Errorf("wind %v for %v to %v m/min: set-up %d (%.1f m/min, %s), want %d (%s)", c.wind, 60*c.want.Slow, 60*c.want.Fast, pick, 60*speed, verdict, c.pick, c.verdict)
		}
		near(t, "speed", speed, fractions[pick]*c.wind, 1e-12)
	}
}

// A trade fact as a check of the physics (common practice, no source): a breeze
// of 5 to 6 mph is where a drogue starts to matter. For lures (up to 12 m/min)
// the typical bare boat comes to it at 3.15 m/s, 7 mph: a mph later than the
// rule, which by our figures keeps the boat under about 10 m/min. For nymphs
// and the bung it is sooner, 1.6 m/s (3½ mph), for pulled wet flies 6.6 m/s
// (15 mph). One wind for every way of fishing cannot be right.
func TestWhereADrogueStartsToMatter(t *testing.T) {
	bare := prototype().Fraction()
	mph := 0.44704
	atRule := [2]float64{5 * mph * bare * 60, 6 * mph * bare * 60}
	near(t, "bare boat at 5 mph, m/min", atRule[0], 8.5, 0.1)
	near(t, "bare boat at 6 mph, m/min", atRule[1], 10.2, 0.1)
	lures, _ := drift.Wanted(drift.Lures)
	if atRule[0] < 60*lures.Slow || atRule[1] > 60*lures.Fast {
		t.Errorf("at the rule's wind the boat goes %v m/min: outside what lures want", atRule)
	}
	for way, want := range map[drift.Way]float64{drift.Lures: 7.0, drift.Nymphs: 3.5, drift.PulledWets: 14.7} {
		p, _ := drift.Wanted(way)
		near(t, string(way)+" drogue from, mph", drift.DrogueFrom(bare, p)/mph, want, 0.1)
	}
	if !math.IsInf(drift.DrogueFrom(0, lures), 1) {
		t.Error("a boat that never moves wants a drogue")
	}
}
