package water_test

import (
	"bytes"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"windlane/water"
)

// trough is a bed c·(X² − x²) m deep between shores at x = ±X, sounded along
// lanes north and south, gap apart from each other and from the shores. Between
// two lanes, straight lines from one to the next lie c·gap² above a lane left out.
func trough(t testing.TB, gap float64, asOneTrack bool) (*water.Water, float64) {
	const half, c = 400.0, 5e-5
	var at [][3]float64
	north := true
	for x := -half + gap; x < half-1; x += gap {
		var lane [][3]float64
		for y := -900.0; y <= 900; y += 5 {
			lane = append(lane, [3]float64{x, y, c * (half*half - x*x)})
		}
		if asOneTrack && !north { // down one lane, up the next, and across between
			slices.Reverse(lane)
		}
		at = append(at, lane...)
		for k := 1.0; asOneTrack && x < half-gap-1 && k < gap/5; k++ {
			at = append(at, [3]float64{x + 5*k, lane[len(lane)-1][1], c * (half*half - (x+5*k)*(x+5*k))})
		}
		north = !north
	}
	o := drawn(t, rectangle(-half, -1000, half, 1000))
	return survey(t, o, water.Settings{Cell: 5, Block: 2}, measured(t, at)), c * gap * gap
}

// The leave-track-out error of a parabola has a closed form.
func TestLeaveTrackOutClosedForm(t *testing.T) {
	for _, gap := range []float64{80, 100} {
		w, want := trough(t, gap, false)
		got, ok := w.LeaveTrackOut()
		lanes := int(800/gap) - 1
		if !ok || got.Tracks != lanes || w.Tracks() != lanes || got.Compared < 300*lanes {
			t.Fatalf("gap %v m: %+v, %v, %d tracks", gap, got, ok, w.Tracks())
		}
		// At their ends lanes lie near the shore, which is at 0 and not on the parabola.
		if math.Abs(got.RMSE/want-1) > 0.1 || math.Abs(got.P95/want-1) > 0.1 {
			t.Errorf("gap %v m: off by %.3f m, 95 %% within %.3f m; want %.3f", gap, got.RMSE, got.P95, want)
		}
		if math.Abs(w.TrackGap()/gap-1) > 0.25 {
			t.Errorf("tracks %v m apart are taken for %.0f m", gap, w.TrackGap())
		}
	}
}

// One log of lanes up and down is as many legs, and a few more to turn.
func TestLegsOfOneLog(t *testing.T) {
	w, want := trough(t, 100, true)
	got, ok := w.LeaveTrackOut()
	if !ok || got.Tracks < 7 || got.Tracks > 14 {
		t.Fatalf("%+v, %v", got, ok)
	}
	if math.Abs(got.RMSE/want-1) > 0.2 {
		t.Errorf("off by %.3f m; want %.3f", got.RMSE, want)
	}
}

// Each file numbers its own tracks: two lanes in one line, of two files, stay two.
func TestTracksOfTwoFiles(t *testing.T) {
	lane := func(y0 float64) *water.Soundings {
		var at [][3]float64
		for y := y0; y < y0+300; y += 5 {
			at = append(at, [3]float64{0, y, 6})
		}
		return measured(t, at)
	}
	w := survey(t, drawn(t, rectangle(-400, -400, 400, 400)), water.Settings{}, lane(-305), lane(0))
	if got := w.Tracks(); got != 2 {
		t.Errorf("%d tracks, want 2", got)
	}
}

// Soundings on a grid follow no track; one track has no other to go by.
func TestNoTracksToLeaveOut(t *testing.T) {
	var lattice, one [][3]float64
	for x := -380.0; x < 400; x += 20 {
		for y := -380.0; y < 400; y += 20 {
			lattice = append(lattice, [3]float64{x, y, 5})
		}
		one = append(one, [3]float64{x / 4, 10, 5})
	}
	o := drawn(t, rectangle(-400, -400, 400, 400))
	for name, at := range map[string][][3]float64{"a grid": lattice, "one track": one} {
		w := survey(t, o, water.Settings{}, measured(t, at))
		if got, ok := w.LeaveTrackOut(); ok || got != (water.LeaveTrackOut{}) {
			t.Errorf("%s: %+v", name, got)
		}
		said := strings.Contains(strings.Join(w.Remarks, "; "), "along one line")
		if said != (name == "one track") {
			t.Errorf("%s: remarks %q", name, w.Remarks)
		}
	}
	if w := survey(t, o, water.Settings{}); w.NotSounded() != 1 || w.Tracks() != 0 || w.TrackGap() != 0 || w.Thin(3) != nil || w.Mounts(1, 3) != nil || w.Soundings() != 0 {
		t.Error("a survey out of nothing")
	}
}

// Half of a water sounded: the other half is one patch, and its middle the
// thinnest place.
func TestThinPatches(t *testing.T) {
	var at [][3]float64
	for x := -570.0; x <= 0; x += 38 {
		for y := -390.0; y < 400; y += 4 {
			at = append(at, [3]float64{x, y, 6})
		}
	}
	for y := -390.0; y < 400; y += 4 { // a lane far off cuts the rest in two
		at = append(at, [3]float64{400, y, 6})
	}
	w := survey(t, drawn(t, rectangle(-600, -400, 600, 400)), water.Settings{Cell: 5, Trust: 34}, measured(t, at))
	// Unsounded: 34 m and more from the lanes at 0 and 400: 332 m, and 166 m, of 1200.
	if got, want := w.NotSounded(), (332+166)/1200.0; math.Abs(got-want) > 0.02 {
		t.Errorf("not sounded: %.3f, want %.3f", got, want)
	}
	thin := w.Thin(5)
	if len(thin) != 2 || len(w.Thin(1)) != 1 {
		t.Fatalf("%d patches", len(thin))
	}
	for i, want := range []struct{ area, x, most float64 }{{332 * 800, 200, 200}, {166 * 800, 597.5, 200}} {
		p := thin[i]
		x, _ := sea.XY(w.Plane.Position(p.X, p.Y))
		if math.Abs(p.Area/want.area-1) > 0.04 || math.Abs(x-want.x) > 8 || math.Abs(p.Most-want.most) > 8 {
			t.Errorf("patch %d: %.0f m², farthest at %.0f, %.0f m; want %+v", i, p.Area, x, p.Most, want)
		}
		if got := planar.Area(p.Shape); math.Abs(got/p.Area-1) > 0.01 || len(p.Shape) != 1 || p.Shape[0][0].Orientation() != orb.CCW {
			t.Errorf("patch %d: its shape holds %.0f m² of %.0f", i, got, p.Area)
		}
	}
	// Half a gap decides: of lanes 60 m apart all between is sounded, of 400 m not.
	if k := slices.IndexFunc(w.Gap, func(g float32) bool { return math.Abs(float64(g)-100) < 3 }); k < 0 || w.Sounded(w.Grid.Centre(k)) {
		t.Error("100 m from any sounding counts as sounded")
	}
	for _, gap := range []float64{60, 90} {
		var lanes [][3]float64
		for x := -600 + gap/2; x < 600; x += gap {
			for y := -390.0; y < 400; y += 4 {
				lanes = append(lanes, [3]float64{x, y, 6})
			}
		}
		even := survey(t, drawn(t, rectangle(-600, -400, 600, 400)), water.Settings{Cell: 5}, measured(t, lanes))
		if even.Trust() < gap/2 || even.Trust() > 0.75*gap || even.NotSounded() > 0.02 {
			t.Errorf("lanes %v m apart: sounded within %.0f m, %.3f not sounded", gap, even.Trust(), even.NotSounded())
		}
	}
}

// A mound 3 m high is found where it is; banks and the lip of an edge of 1 in 4 are
// no mounds.
func TestMounts(t *testing.T) {
	var at [][3]float64
	for x := -597.0; x < 600; x += 6 {
		for y := -397.0; y < 400; y += 6 {
			d := 6 + min(max(0.25*(x-200), 0), 5) - 3*math.Exp(-(math.Pow(x+300, 2)+math.Pow(y-100, 2))/(2*25*25))
			at = append(at, [3]float64{x, y, min(d, 0.2*min(600-math.Abs(x), 400-math.Abs(y)))})
		}
	}
	w := survey(t, drawn(t, rectangle(-600, -400, 600, 400)), water.Settings{Cell: 5, Block: 4, Trust: 30}, measured(t, at))
	mounts := w.Mounts(1, 5)
	if len(mounts) != 1 {
		t.Fatalf("%d mounds: %+v", len(mounts), mounts)
	}
	if x, y := sea.XY(w.Plane.Position(mounts[0].X, mounts[0].Y)); math.Hypot(x+300, y-100) > 8 || mounts[0].Most < 1.5 || mounts[0].Most > 3 {
		t.Errorf("a mound of %.1f m at %.0f, %.0f", mounts[0].Most, x, y)
	}
	off := w.ShoreDistance()
	for k, rise := range w.Mounds() {
		if (rise == rise) != (off[k] >= 40) {
			t.Fatalf("%.0f m from the shore the bed rises %v m", off[k], rise)
		}
	}
	if d := w.Mounds()[0]; d == d {
		t.Error("land has a mound")
	}
}

// The invented small lake: lanes some 38 m apart over a steep bed with an island,
// so a lane left out is missed by metres where single soundings (TestSmallLake)
// are met to decimetres. The bounds are our own, of 25 November 2026.
func TestLeaveTrackOutOfTheSmallLake(t *testing.T) {
	raw, err := os.ReadFile("../refdata/water/soundings_small.csv")
	if err != nil {
		t.Fatal(err)
	}
	file, err := water.ReadSoundings("soundings_small.csv", bytes.NewReader(raw))
	if err != nil {
		t.Fatal(err)
	}
	w := survey(t, outlineFile(t, "lake_small.geojson"), water.Settings{}, file)
	got, ok := w.LeaveTrackOut()
	t.Logf("%d tracks %.0f m apart, %d compared: off by %.3f m, 95 %% within %.3f m; %.1f %% not sounded", got.Tracks, w.TrackGap(), got.Compared, got.RMSE, got.P95, 100*w.NotSounded())
	if !ok || got.Tracks < 10 || got.RMSE < 0.5 || got.RMSE > 2 || got.P95 < got.RMSE {
		t.Errorf("%+v, %v", got, ok)
	}
	again, _ := w.LeaveTrackOut()
	if again != got {
		t.Error("measured twice, two errors")
	}
}
