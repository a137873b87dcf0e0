package render

import (
	"math"
	"slices"
	"strconv"
	"testing"

	"windlane/brief"
)

func TestChartShowsWhereToLift(t *testing.T) {
	b := exampleBrief()
	for _, dr := range b.Drifts {
		d := driftChart(b, dr, lakeDrift)
		said := map[string]bool{}
		dashes, ticks := 0, 0
		for _, m := range d.marks {
			said[m.words] = true
			if len(m.pen.dash) == 2 && m.pen.dash[0] == 5 {
				dashes++
			}
			if len(m.path) == 2 && m.pen.ink == black && m.pen.width == 2 && length(m.path) > 13.9 && length(m.path) < 14.1 {
				ticks++
			}
		}
		for _, want := range []string{strconv.Itoa(dr.Number), "lift " + clock(dr.Stop.At), "jetty 016°"} {
			if !said[want] {
				t.Errorf("drift %d: its chart does not say %q", dr.Number, want)
			}
		}
		if want := int(dr.Minutes-1) / 5; dashes != 2 || ticks != want {
			t.Errorf("drift %d: %d edges of the spread, %d ticks, want 2 and %d", dr.Number, dashes, ticks, want)
		}
	}
	whole := lakePicture(b, lakePhone)
	for _, dr := range b.Drifts {
		if !slices.ContainsFunc(whole.marks, func(m mark) bool { return m.words == strconv.Itoa(dr.Number) && m.ink == paper }) {
			t.Errorf("drift %d has no number on the lake", dr.Number)
		}
	}
}

func length(o outline) float64 {
	return math.Hypot(o[1].p[0].x-o[0].p[0].x, o[1].p[0].y-o[0].p[0].y)
}

func TestNotSoundedIsHatched(t *testing.T) {
	b := exampleBrief()
	dr := b.Drifts[1]
	spread := func(dr brief.Drift, is func(mark) bool) (low, high float64, n int) {
		low, high = math.Inf(1), math.Inf(-1)
		for _, m := range driftSide(b, dr, 344, 132, 14).marks {
			if is(m) {
				n++
				for _, s := range m.path {
					low, high = math.Min(low, s.p[0].x), math.Max(high, s.p[0].x)
				}
			}
		}
		return low, high, n
	}
	dots := func(m mark) bool { return len(m.pen.dash) == 2 && m.pen.dash[0] == 0.1 && m.pen.ink == grey }
	firm := func(m mark) bool { return m.pen.ink == black && m.pen.width == 3 }
	x := func(minute float64) float64 { return 30 + minute/41*(344-12-30) }
	// sounded but for 0.62 to 0.76 of 41 minutes: 26 to 31
	low, high, n := spread(dr, dots)
	if n < 5 || low < x(25)-1 || high > x(32)+1 || high-low < x(30)-x(27) {
		t.Errorf("%d strokes of dots from %.0f to %.0f, want some between %.0f and %.0f", n, low, high, x(25), x(32))
	}
	for _, m := range driftSide(b, dr, 344, 132, 14).marks {
		if firm(m) {
			for i := 1; i < len(m.path); i++ {
				if a, z := m.path[i-1].p[0].x, m.path[i].p[0].x; a > x(26)+1 && z < x(31)-1 {
					t.Errorf("a firm bed from %.0f to %.0f, where nobody has sounded", a, z)
				}
			}
		}
	}
	for i := range dr.Track {
		dr.Track[i].Sounded = true
	}
	if _, _, n := spread(dr, dots); n != 0 {
		t.Errorf("%d strokes of dots where all is sounded", n)
	}
	for i := range dr.Track {
		dr.Track[i].Bed, dr.Track[i].Sounded = math.NaN(), false
	}
	if _, _, n := spread(dr, dots); n == 0 {
		t.Error("a bed that nobody knows is not hatched")
	}
	if _, _, n := spread(dr, firm); n != 0 {
		t.Error("a bed that nobody knows is drawn")
	}
}

func TestMinutesStandOnce(t *testing.T) {
	b := exampleBrief()
	dr := b.Drifts[0]
	dr.Track = append(dr.Track[:36:36], brief.Step{Minute: 35.3, At: dr.Track[36].At, Bed: 4, Sounded: true})
	seen := map[string]int{}
	for _, r := range driftTable(b, dr).rows {
		seen[r[0]]++
	}
	if len(seen) != 8 || seen["35"] != 1 || seen["0"] != 1 {
		t.Errorf("%v", seen)
	}
}
