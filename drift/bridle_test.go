package drift_test

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"windlane/drift"
)

const deg = math.Pi / 180

// Rope geometry: the prototype of refdata/drift/SOURCE.md (b = 4 m, L = 5 m, push 0.3 m aft for the
// first row and none for the others; the figures there are unsigned).
func TestRopes(t *testing.T) {
	for _, c := range []struct{ bow, stern, ahead, want float64 }{
		{5, 5, -0.3, 3.7}, {5, 5.25, 0, 3.9}, {5, 5.5, 0, 7.8}, {5, 6, 0, 15.5}, {5, 5, 0, 0},
	} {
		yaw, err := drift.Bridle{Bow: c.bow, Stern: c.stern, Spread: 4, Ahead: c.ahead}.Yaw()
		if err != nil {
			t.Fatal(err)
		}
		near(t, "yaw", math.Abs(yaw)/deg, c.want, 0.06)
		if yaw > 0 {
			t.Errorf("a longer stern rope or a push aft turned the bow downwind: %v", yaw/deg)
		}
	}
	if _, err := (drift.Bridle{Bow: 1, Stern: 1, Spread: 4}).Yaw(); err == nil || !strings.Contains(err.Error(), "meet") {
		t.Errorf("ropes too short to meet: %v", err)
	}
	rapid.Check(t, func(t *rapid.T) {
		l := rapid.Float64Range(3, 12)
		r := drift.Bridle{Bow: l.Draw(t, "bow"), Stern: l.Draw(t, "stern"), Spread: rapid.Float64Range(1, 5).Draw(t, "spread"), Ahead: rapid.Float64Range(-1, 1).Draw(t, "ahead")}
		mirror := drift.Bridle{Bow: r.Stern, Stern: r.Bow, Spread: r.Spread, Ahead: -r.Ahead}
		a, err1 := r.Yaw()
		b, err2 := mirror.Yaw()
		if (err1 == nil) != (err2 == nil) || math.Abs(a+b) > 1e-9 {
			t.Fatalf("end for end: %v and %v", a, b)
		}
	})
}

// smallSlip is the slip for a small yaw, no drogue and no current:
// tan(yaw+slip) = (kx²/ky²) tan yaw, kx² = CAair/CAwater end on, ky² beam on. It
// overstates by about a quarter (refdata/drift/SOURCE.md).
func smallSlip(s drift.Setup, ends drift.Ends, yaw float64) float64 {
	ratio := ends.AirArea / ends.HullArea / (s.AirArea / s.HullArea)
	return math.Atan(ratio*math.Tan(yaw)) - yaw
}

// Slip of a yawed boat: the prototype's full balance (refdata/drift/SOURCE.md), with
// the end-on areas of physics.json.
func TestSlip(t *testing.T) {
	ends := drift.Ends{AirArea: 1.5 * 0.8, HullArea: 0.28 * 0.25}
	calm := drift.OnLake(5, 0)
	calm.AtHull, calm.AtDrogue = drift.Flow{}, drift.Flow{}
	for _, r := range []struct{ yaw, formula, still, current, flat, mouth float64 }{
		{2, 6.8, 5.2, 4.0, -0.8, -0.9},
		{5, 16.1, 12.6, 9.7, -2.1, -2.2},
		{10, 27.9, 22.9, 17.9, -4.1, -4.5},
		{20, 38.1, 33.8, 27.4, -8.0, -8.7},
	} {
		s := prototype()
		near(t, "formula", smallSlip(s, ends, r.yaw*deg)/deg, r.formula, 0.06)
		near(t, "two dimensions, no current", s.Slip(calm, ends, r.yaw*deg)/deg, r.still, 0.1)
		near(t, "two dimensions, current", s.Slip(drift.OnLake(5, 0), ends, r.yaw*deg)/deg, r.current, 0.1)
		near(t, "with a flat drogue", s.With(drift.FlatRound(1.5)).Slip(drift.OnLake(5, 0), ends, r.yaw*deg)/deg, r.flat, 0.1)
		near(t, "with an open mouth", s.With(drift.OpenMouth(1.5)).Slip(drift.OnLake(5, 0), ends, r.yaw*deg)/deg, r.mouth, 0.1)
	}
	near(t, "square on", prototype().Slip(calm, ends, 0), 0, 1e-12)
	near(t, "mirrored", prototype().Slip(calm, ends, -0.2), -prototype().Slip(calm, ends, 0.2), 1e-9)
	// A hull that is the same from every side does not slip.
	round := prototype()
	near(t, "round", round.Slip(calm, drift.Ends{AirArea: round.AirArea, HullArea: round.HullArea}, 0.3), 0, 1e-12)
}

// The end-on areas of a boat by its measure, against those that the prototype of
// physics.json was given: air 1.5 × 0.8 m², hull 0.28 × 0.25 m². The slip they give
// is the same to a few degrees, and no better is claimed.
func TestEnds(t *testing.T) {
	boat := drift.Boat{Length: 5, Freeboard: 0.55, Draught: 0.20, People: 2}
	ends := boat.Ends()
	near(t, "air", ends.AirArea, 1.5*0.8, 0.15)
	near(t, "hull", ends.HullArea, 0.28*0.25, 0.02)
	boat.Beam = 1.7
	near(t, "a beam of a third of the length that is said", boat.Ends().HullArea, ends.HullArea, 1e-12)
	boat.Beam = 2
	if wide := boat.Ends(); !(wide.HullArea > ends.HullArea) || !(wide.AirArea > ends.AirArea) {
		t.Errorf("a broader boat: %v after %v", wide, ends)
	}
	for _, d := range []drift.Drogue{{}, drift.FlatRound(1.5), drift.OpenMouth(1.5)} {
		s := prototype().With(d)
		for _, yaw := range []float64{5, 10, 15} {
			given := s.Slip(drift.OnLake(5, 0), drift.Ends{AirArea: 1.2, HullArea: 0.07}, yaw*deg) / deg
			near(t, "slip", s.Slip(drift.OnLake(5, 0), ends, yaw*deg)/deg, given, 3)
		}
	}
}
