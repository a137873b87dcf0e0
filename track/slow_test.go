package track

import (
	"strings"
	"testing"
	"time"

	"windlane/geodesy"
)

// A drift, a ride, a drift, a gap, a short stop: two drifts.
func TestSlow(t *testing.T) {
	start := time.Date(2026, 5, 2, 9, 0, 0, 0, time.UTC)
	var log Track
	at, lat := start, 52.0
	go10 := func(seconds int, speed float64) { // a fix every ten seconds
		for range seconds / 10 {
			at, lat = at.Add(10*time.Second), lat+speed*10/111_200
			log.Fixes = append(log.Fixes, Fix{at, geodesy.Position{LonDeg: -30, LatDeg: lat}})
		}
	}
	go10(1200, 0.2)
	go10(300, 2)
	go10(1800, 0.3)
	at = at.Add(20 * time.Minute) // the receiver was off
	go10(120, 0.1)
	go10(300, 2)
	parts := log.Slow(1)
	if len(parts) != 2 {
		t.Fatalf("%d drifts, want 2", len(parts))
	}
	for i, want := range []time.Duration{20 * time.Minute, 30 * time.Minute} {
		p := parts[i]
		if took := p[len(p)-1].At.Sub(p[0].At); took < want-2*time.Minute || took > want+time.Minute {
			t.Errorf("drift %d took %v, want %v", i+1, took, want)
		}
		for k := 1; k < len(p); k++ {
			if !p[k].At.After(p[k-1].At) {
				t.Fatalf("drift %d: fixes out of order", i+1)
			}
		}
	}
	if parts := log.Slow(5); len(parts) != 2 { // all of it, but for the gap
		t.Errorf("%d parts under 5 m/s", len(parts))
	}
	if parts := (&Track{}).Slow(1); parts != nil {
		t.Errorf("nothing gives %v", parts)
	}
}

// A log of nothing but what is read over is refused, not fallen over.
func TestNothingToRead(t *testing.T) {
	for _, text := range []string{"!0000", "# a remark\n", "\n\n"} {
		if got, err := Read("log", strings.NewReader(text)); err == nil {
			t.Errorf("%q: %+v", text, got)
		}
	}
}
