package plan

import (
	"math"
	"reflect"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"

	"windlane/drift"
	"windlane/quantity"
)

func flat(l Lake) []float32 { return everywhere(l, func(_, _ float64) float64 { return 1 }) }

func plain(t *testing.T) Question {
	t.Helper()
	l := pool(900, 500)
	return ask(l, 4, 270, orb.Point{450, 30}, flat(l))
}

func mustPlan(t *testing.T, q Question) Plan {
	t.Helper()
	p, err := Day(t.Context(), q)
	if err != nil {
		t.Fatal(err)
	}
	if (p.Status == Whole) != (p.Reason == "") {
		t.Fatalf("%s with reason %q", p.Status, p.Reason)
	}
	return p
}

func TestWholeDay(t *testing.T) {
	q := plain(t)
	p := mustPlan(t, q)
	if p.Status != Whole || len(p.Drifts) < 5 || len(p.Hours) != 8 {
		t.Fatalf("%s, %d drifts, %d hours", p.Status, len(p.Drifts), len(p.Hours))
	}
	if !p.GoIn.IsZero() || !p.Deadline.Equal(q.Until) || p.Home.After(p.Deadline) || p.TurnHome.After(p.Deadline) || p.TurnHome.Before(p.Drifts[len(p.Drifts)-1].End) {
		t.Errorf("go in %v, home %v, turn %v, deadline %v", p.GoIn, p.Home, p.TurnHome, p.Deadline)
	}
	if p.FishingShare < 0.5 || p.FishingShare > 1 || p.EnergyLeft != 1 {
		t.Errorf("fishing share %v, energy left %v", p.FishingShare, p.EnergyLeft)
	}
	d := p.Drifts[0]
	near(t, "speed of the drogue set-up", d.Speed, 0.16, 1e-9)
	if d.SetUp != "drogue" || !d.Drogue || d.Verdict != drift.Right || d.Stop.Lift.Sub(d.End) != -time.Minute {
		t.Errorf("%s %v %v lift %v", d.SetUp, d.Drogue, d.Verdict, d.Stop.Lift)
	}
	if got := d.Start.Sub(q.From).Seconds(); math.Abs(got-d.Ride.Time-q.Settings.PutOut) > 1 {
		t.Errorf("starts %v s after from, ride %v s", got, d.Ride.Time)
	}
	// the same question, the same answer
	if again := mustPlan(t, q); !reflect.DeepEqual(p, again) {
		t.Error("the same question was answered otherwise")
	}
	// and with another way of fishing the same wind wants no drogue
	q.Limits.Pace, _ = drift.Wanted(drift.PulledWets)
	if d := mustPlan(t, q).Drifts[0]; d.SetUp != "bare" || !d.Stop.Lift.Equal(d.Stop.At) {
		t.Errorf("pulled wet flies: %s", d.SetUp)
	}
}

// The wind falls below the least that drifts want: none begins later.
func TestNoDriftBeginsInACalm(t *testing.T) {
	for n := range 60 {
		wind := 1.01 + float64(n%30)*0.01
		q := plain(t)
		if n >= 30 { // a slow boat: starts well before and after their curve's
			q.Boat.Speed = 0.4
		}
		q.Until = clock(11, 0)
		for i := range q.Hours {
			q.Hours[i].Wind, q.Hours[i].Gust = 0.3, 0
		}
		q.Hours[0].Wind = wind
		calm := q.From.Add(time.Duration((wind - q.Limits.Calm) / (wind - 0.3) * float64(time.Hour)))
		p := mustPlan(t, q)
		for _, d := range p.Drifts {
			if d.Start.After(calm.Add(time.Second)) {
				t.Errorf("%v m/s at 9, calm from %s, a drift begins at %s", wind, calm.Format("15:04:05"), d.Start.Format("15:04:05"))
			}
		}
	}
}

// Each reason for a drift's end, where it is the only one. The forecast is sure
// of itself but in the last.
func TestEndings(t *testing.T) {
	even := func(_, _ float64) float64 { return 1 }
	for want, c := range map[Ending]struct {
		width  float64
		worth  func(x, y float64) float64
		change func(q *Question)
		endX   float64
		tol    float64
	}{
		AtShore: {500, even, func(*Question) {}, 500 - 5 - 0.16*180, 10},
		AtShallow: {500, even, func(q *Question) {
			for k := range q.Lake.Depth {
				if x, _ := q.Lake.Grid.Centre(k); x > 350 {
					q.Lake.Depth[k] = 1.2 // enough for the bare boat
				}
			}
		}, 350, 1},
		AtKeepOff: {500, even, func(q *Question) {
			q.Lake.Places = []Place{{Kind: "no_go", Shape: orb.Bound{Min: orb.Point{380, -50}, Max: orb.Point{600, 400}}.ToPolygon(), KeepOff: 30}}
		}, 350, 1},
		AtLongest: {2000, even, func(*Question) {}, 0, math.Inf(1)},
		AtPoorer: {500, func(x, _ float64) float64 {
			if x < 250 {
				return 1
			}
			return 0
		}, func(*Question) {}, 250, 25},
		AtTime: {2000, even, func(q *Question) { q.Until = clock(9, 30) }, 0, math.Inf(1)},
		AtWind: {2000, even, func(q *Question) {
			q.Hours[1].At, q.Hours[1].Shifting = clock(9, 30), true
			q.Hours[1].From = quantity.FromDegrees(90) // means nothing
		}, 0, math.Inf(1)},
		AtSpread: {500, even, func(q *Question) {
			for i := range q.Hours {
				q.Hours[i].SpeedSD, q.Hours[i].FromSD = 0.1, degrees(25)
			}
		}, 0, math.Inf(1)},
	} {
		l := pool(c.width, 200)
		q := ask(l, 4, 270, orb.Point{30, 100}, everywhere(l, c.worth))
		q.Until = clock(11, 0)
		for i := range q.Hours {
			q.Hours[i].FromSD, q.Hours[i].SpeedSD = 0, 0
		}
		c.change(&q)
		d := mustPlan(t, q).Drifts[0]
		if d.Ending != want || math.Abs(d.Stop.X-c.endX) > c.tol {
			t.Errorf("ended by %s at x = %v, want %s at %v", d.Ending, d.Stop.X, want, c.endX)
		}
	}
}

// Drifts lead away from the jetty: the last one ends early enough for the way
// back and its reserve.
func TestTheWayHomeIsKept(t *testing.T) {
	l := pool(3000, 200)
	q := ask(l, 6, 270, orb.Point{30, 100}, everywhere(l, func(x, _ float64) float64 { return x }))
	q.Until = clock(11, 0)
	p := mustPlan(t, q)
	last := p.Drifts[len(p.Drifts)-1]
	if p.RideHome.Metres < 1500 {
		t.Fatalf("the day ends only %v m from the jetty", p.RideHome.Metres)
	}
	free := last.End.Add(time.Duration(q.Settings.HandIn) * time.Second)
	if p.TurnHome.Before(free) {
		t.Errorf("turn for home at %v, the drogue is in at %v", p.TurnHome, free)
	}
	// turn for home in time for the gusts, straight into them, and a quarter more
	near(t, "the reserve", p.Deadline.Sub(p.TurnHome).Seconds(), (1+q.Limits.Reserve)*p.RideHome.Metres/(1.8-0.035*q.Hours[0].Gust), 15)
	near(t, "ride home from the last end", last.RideHome, p.RideHome.Time, 15)
	// straight into 6 m/s: 0.21 m/s slower
	near(t, "time against the wind", p.RideHome.Time, p.RideHome.Metres/(1.8-0.035*6), 0.03*p.RideHome.Time)
	near(t, "home", p.Home.Sub(free).Seconds(), p.RideHome.Time, 1)
	if used := last.End.Sub(q.From).Seconds() + q.Settings.HandIn + 1.25*p.RideHome.Time; used > p.Deadline.Sub(q.From).Seconds()+1 {
		t.Errorf("%v s of %v", used, p.Deadline.Sub(q.From).Seconds())
	}
}

// Under motor a wind from ahead slows, one from behind does not help, one from
// anywhere counts as from ahead, and no wind stops the boat.
func TestHeadWind(t *testing.T) {
	q := plain(t)
	for i := range q.Hours {
		q.Hours[i].Wind = 8
	}
	slow := 1.8 - 0.035*8
	check := func(name string, q Question, dx, dy, want float64) {
		t.Helper()
		near(t, name, newPlanner(q).rideTime(600, false)(dx, dy), want, 1e-9)
	}
	check("ahead", q, -100, 0, 100/slow)
	check("behind", q, 100, 0, 100/1.8)
	check("abeam", q, 0, 100, 100/1.8)
	check("on the bow", q, -30, 40, 50/(1.8-0.035*8*0.6))
	check("nowhere", q, 0, 0, 0)
	q.Boat.Speed = 0.3
	check("too much", q, -100, 0, 100/0.075)
	q = plain(t)
	q.Hours[0].Shifting, q.Hours[0].Wind = true, 8
	check("from anywhere", q, 100, 0, 100/slow)
}

// The limits end the day; they are never worked round.
func TestGoIn(t *testing.T) {
	q := plain(t)
	gusts := []float64{6, 6, 8, 11, 14, 15, 8, 6, 6} // from 9
	for i := range q.Hours {
		q.Hours[i].Gust = gusts[i]
	}
	p := mustPlan(t, q)
	// 11 at 12:00, 14 at 13:00: 12 a third of an hour later
	if p.Status != GoIn || !p.GoIn.Equal(clock(12, 20)) || !strings.Contains(p.Reason, "gusts") || !strings.Contains(p.Reason, "12:20") {
		t.Fatalf("%s %q at %v", p.Status, p.Reason, p.GoIn)
	}
	if len(p.Drifts) == 0 || p.Home.After(p.GoIn) || p.TurnHome.After(p.GoIn) {
		t.Errorf("%d drifts, home %v, go in %v", len(p.Drifts), p.Home, p.GoIn)
	}
	for _, h := range p.Hours {
		if h.Over != (h.At.Equal(clock(13, 0)) || h.At.Equal(clock(14, 0))) {
			t.Errorf("%s over: %v", h.At.Format("15:04"), h.Over)
		}
		if h.Over && h.Best != nil {
			t.Errorf("%s: over the limit, with options", h.At.Format("15:04"))
		}
	}

	q.Hours[0].Gust, q.Hours[1].Gust = 12, 13 // from the start
	p = mustPlan(t, q)
	if p.Status != GoIn || len(p.Drifts) != 0 || !p.GoIn.Equal(q.From) {
		t.Errorf("over the limit at once: %s, %d drifts, %v", p.Status, len(p.Drifts), p.GoIn)
	}

	q = plain(t)
	q.Hours[8].Gust = 30 // reaches the limit between 16 and 17
	if p = mustPlan(t, q); p.Status != GoIn || !p.GoIn.After(clock(16, 0)) || !p.GoIn.Before(clock(17, 0)) {
		t.Errorf("gusts in the last hour: %s %v", p.Status, p.GoIn)
	}
	q = plain(t)
	q.From, q.Hours[0].Gust = clock(10, 30), 20 // a gale that is over by the start
	if p = mustPlan(t, q); p.Status != Whole {
		t.Errorf("gusts before the start: %s %q", p.Status, p.Reason)
	}

	q = plain(t)
	q.Lake.Wave = func(wind, fetch, depth float64) float64 {
		if depth != 5 {
			t.Errorf("depth %v", depth)
		}
		return 0.05 * wind * math.Sqrt(fetch/900) // 0.28 m at 5.6 m/s over 900 m
	}
	if p = mustPlan(t, q); p.Status != Whole {
		t.Errorf("waves under the limit: %s %q", p.Status, p.Reason)
	}
	near(t, "wave", p.Hours[0].Wave, 0.28, 0.005)
	near(t, "longest fetch", p.Hours[0].Fetch, 900, 10)
	for i := range q.Hours {
		q.Hours[i].Gust = 5 + 0.4*float64(i) // 6.0 m/s, 0.3 m, at 11:30
	}
	if p = mustPlan(t, q); p.Status != GoIn || !strings.Contains(p.Reason, "waves") || math.Abs(p.GoIn.Sub(clock(11, 30)).Minutes()) > 5 {
		t.Errorf("waves: %s %q %v", p.Status, p.Reason, p.GoIn)
	}
	q.Limits.Wave = 0 // not judged
	if p = mustPlan(t, q); p.Status != Whole {
		t.Errorf("waves not judged: %s", p.Status)
	}
}

func TestFirstOver(t *testing.T) {
	times := []float64{-3600, 0, 3600, 7200}
	for _, c := range []struct {
		values []float64
		want   float64
	}{
		{[]float64{9, 1, 1, 1}, math.Inf(1)}, {[]float64{1, 5, 1, 1}, 0}, {[]float64{1, 1, 9, 1}, 1800},
		{[]float64{1, 1, 1, 5}, 7200}, {[]float64{5, 5, 5, 5}, 0}, {[]float64{1, 4, 6, 9}, 1800}, {[]float64{9, 5, 1, 1}, 0},
	} {
		if got, _ := firstOver(times, c.values, 5, 7200); got != c.want {
			t.Errorf("%v: %v, want %v", c.values, got, c.want)
		}
	}
	if got, _ := firstOver(times, []float64{1, 1, 1, 9}, 5, 5000); !math.IsInf(got, 1) {
		t.Errorf("after the end: %v", got)
	}
}

func TestNothingReachable(t *testing.T) {
	for name, c := range map[string]struct {
		change func(q *Question)
		reason string
	}{
		"drawn down": {func(q *Question) {
			for k := range q.Lake.Depth {
				if _, y := q.Lake.Grid.Centre(k); y < 100 {
					q.Lake.Depth[k] = 0.3
				}
			}
		}, "the jetty cannot be left at this level"},
		"calm": {func(q *Question) {
			for i := range q.Hours {
				q.Hours[i].Wind, q.Hours[i].Gust = 0.8, 1
			}
		}, "too little wind"},
		"worthless": {func(q *Question) {
			for i := range q.Hours {
				q.Hours[i].Worth = make([]float32, len(q.Lake.Depth))
			}
		}, "worth"},
		"kept off": {func(q *Question) {
			q.Lake.Places = []Place{{Kind: "no_go", KeepOff: 1, Shape: orb.Bound{Max: orb.Point{900, 500}}.ToPolygon()}}
		}, "clear of shores"},
		"no time": {func(q *Question) { q.Until = clock(9, 5) }, "no time"},
		"adrift": {func(q *Question) {
			q.Start = orb.Point{850, 450}
			for k := range q.Lake.Depth {
				if x, _ := q.Lake.Grid.Centre(k); x > 600 && x < 650 {
					q.Lake.Depth[k] = 0.2
				}
			}
		}, "the boat cannot leave its place"},
	} {
		q := plain(t)
		c.change(&q)
		p := mustPlan(t, q)
		if p.Status != NothingReachable || len(p.Drifts) != 0 || !strings.Contains(p.Reason, c.reason) {
			t.Errorf("%s: %s %q, %d drifts", name, p.Status, p.Reason, len(p.Drifts))
		}
	}
}

func TestCutShort(t *testing.T) {
	q := plain(t)
	q.Boat.Power, q.Boat.Energy = 600, 600*900 // a quarter of an hour of motor
	p := mustPlan(t, q)
	if p.Status != CutShort || !strings.Contains(p.Reason, "energy") || len(p.Drifts) == 0 {
		t.Fatalf("little energy: %s %q, %d drifts", p.Status, p.Reason, len(p.Drifts))
	}
	if p.EnergyLeft < q.Limits.Reserve || p.EnergyLeft > 0.6 {
		t.Errorf("energy left %v, reserve %v", p.EnergyLeft, q.Limits.Reserve)
	}

	q = plain(t)
	for i := range q.Hours {
		if i >= 4 {
			q.Hours[i].Wind, q.Hours[i].Gust = 0.5, 0.6
		}
	}
	p = mustPlan(t, q)
	if p.Status != CutShort || !strings.Contains(p.Reason, "too little wind") || len(p.Waits) != 1 {
		t.Fatalf("wind dies: %s %q %v", p.Status, p.Reason, p.Waits)
	}
	if p.Hours[3].Calm || !p.Hours[4].Calm || p.Hours[4].Best != nil {
		t.Error("calm hours are not said")
	}

	for i := range q.Hours { // and comes back: a wait, and the day goes on
		if i >= 6 {
			q.Hours[i].Wind = 3
		}
	}
	p = mustPlan(t, q)
	if p.Status != Whole || len(p.Waits) != 1 || !p.Waits[0].Until.After(p.Waits[0].From) {
		t.Fatalf("wind comes back: %s %q %v", p.Status, p.Reason, p.Waits)
	}
	for _, d := range p.Drifts {
		if d.Start.Before(p.Waits[0].Until) && d.End.After(p.Waits[0].From) {
			t.Errorf("a drift from %v to %v in the wait %v", d.Start, d.End, p.Waits[0])
		}
	}
}

// A wind from anywhere: nothing is laid in it, the wait says so, what it looks
// like by its numbers does not matter, and the day goes on after it.
func TestShiftingWind(t *testing.T) {
	q := plain(t)
	q.Hours[2].Shifting, q.Hours[3].Shifting = true, true // 11 to 13
	q.Hours[2].From, q.Hours[3].From = quantity.FromDegrees(10), quantity.FromDegrees(200)
	p := mustPlan(t, q)
	if p.Status != Whole || len(p.Waits) != 1 || !p.Waits[0].Until.Equal(clock(13, 0)) || p.Waits[0].From.After(clock(11, 2)) || !strings.Contains(p.Waits[0].Reason, "anywhere") {
		t.Fatalf("%s %q, waits %+v", p.Status, p.Reason, p.Waits)
	}
	before, after := 0, 0
	for _, d := range p.Drifts {
		switch {
		case !d.End.After(clock(11, 0)):
			before++
			near(t, "toward, before", d.Toward.Degrees(), 90, 1e-6)
		case !d.Start.Before(clock(13, 0)):
			after++
			near(t, "toward, after", d.Toward.Degrees(), 90, 1e-6)
		default:
			t.Errorf("a drift from %v to %v", d.Start, d.End)
		}
	}
	if before < 2 || after < 2 {
		t.Errorf("%d drifts before, %d after", before, after)
	}
	for i, h := range p.Hours {
		if want := i == 2 || i == 3; h.Shifting != want || (h.Best == nil) != want || h.Calm {
			t.Errorf("%s: %+v", h.At.Format("15:04"), h)
		}
	}
	q.Lake.Wave = func(_, fetch, _ float64) float64 { return fetch * 1e-6 }
	q.Hours[2].From = 0 // across the pool, were it one
	p = mustPlan(t, q)
	if f := p.Hours[2].Fetch; f < 650 { // slantwise; 500 m across
		t.Errorf("from anywhere over %v m", f)
	}
	if w := p.Hours[2].Wave; w != p.Hours[2].Fetch*1e-6 {
		t.Errorf("waves %v", w)
	}

	// from anywhere to the end: the day stops, with its reason
	for i := range q.Hours {
		q.Hours[i].Shifting = i >= 4
	}
	p = mustPlan(t, q)
	if p.Status != CutShort || !strings.Contains(p.Reason, "anywhere") || !strings.Contains(p.Reason, "13:0") {
		t.Errorf("%s %q", p.Status, p.Reason)
	}
	for i := range q.Hours {
		q.Hours[i].Shifting = true
	}
	p = mustPlan(t, q)
	if p.Status != NothingReachable || !strings.Contains(p.Reason, "anywhere") || len(p.Waits) != 1 || !p.Waits[0].From.Equal(q.From) {
		t.Errorf("%s %q, waits %+v", p.Status, p.Reason, p.Waits)
	}

	// a breath from anywhere is a calm, and the wind that grows out of it has the
	// direction of the next
	q = plain(t)
	q.Hours[0].Wind, q.Hours[0].Shifting, q.Hours[0].From = 0.5, true, quantity.FromDegrees(0)
	p = mustPlan(t, q)
	if len(p.Waits) != 1 || !strings.Contains(p.Waits[0].Reason, "too little wind") || !p.Waits[0].Until.Before(clock(9, 30)) || p.Hours[0].Shifting || !p.Hours[0].Calm {
		t.Fatalf("waits %+v, hour %+v", p.Waits, p.Hours[0])
	}
	near(t, "toward, out of the calm", p.Drifts[0].Toward.Degrees(), 90, 1e-6)
}

// The minutes before the wind drops are too few for a drift: the day goes on
// when it is back.
func TestDayGoesOnAfterACalm(t *testing.T) {
	q := plain(t)
	for i := range q.Hours {
		switch i {
		case 0:
			q.Hours[i].Wind = 1.01
		case 1, 2:
			q.Hours[i].Wind = 0.3
		}
	}
	p := mustPlan(t, q)
	if p.Status != Whole || len(p.Drifts) < 3 {
		t.Errorf("%s %q, %d drifts, waits %+v", p.Status, p.Reason, len(p.Drifts), p.Waits)
	}
}

// Rows stand at any minute: a limit reached in one of them counts, between From
// and Until, both included, and an hour of minutes is not looked at for options.
func TestRowsAtAnyMinute(t *testing.T) {
	insert := func(q *Question, at time.Time, gust float64) {
		i := 0
		for i < len(q.Hours) && q.Hours[i].At.Before(at) {
			i++
		}
		h := q.Hours[max(0, i-1)]
		h.At, h.Gust = at, gust
		if i < len(q.Hours) && q.Hours[i].At.Equal(at) {
			q.Hours[i].Gust = gust
			return
		}
		q.Hours = append(q.Hours[:i:i], append([]Hour{h}, q.Hours[i:]...)...)
	}
	for _, c := range []struct {
		name string
		rows map[time.Time]float64
		want time.Time
	}{
		{"a spike between two hours", map[time.Time]float64{clock(11, 19): 5.6, clock(11, 20): 14, clock(11, 40): 5.6}, clock(11, 20)},
		{"at the very end", map[time.Time]float64{clock(16, 19): 5.6, clock(16, 20): 12}, clock(16, 20)},
		{"at the very beginning", map[time.Time]float64{clock(9, 10): 12, clock(9, 11): 5.6}, clock(9, 10)},
		{"a minute too late", map[time.Time]float64{clock(16, 20): 5.6, clock(16, 21): 30}, time.Time{}},
		{"over before the start", map[time.Time]float64{clock(9, 5): 30, clock(9, 10): 5.6}, time.Time{}},
	} {
		q := plain(t)
		for at, gust := range c.rows {
			insert(&q, at, gust)
		}
		q.From, q.Until = clock(9, 10), clock(16, 20)
		p := mustPlan(t, q)
		// the gusts grow within the minute before their row
		if d := p.GoIn.Sub(c.want); p.GoIn.IsZero() != c.want.IsZero() || d > 0 || d < -time.Minute {
			t.Errorf("%s: go in %v, want %v", c.name, p.GoIn, c.want)
		}
		if c.want.IsZero() != (p.Status == Whole) {
			t.Errorf("%s: %s %q", c.name, p.Status, p.Reason)
		}
	}

	q := plain(t)
	insert(&q, clock(11, 58), 5.6)
	p := mustPlan(t, q)
	if len(p.Hours) != 9 || p.Hours[2].Best == nil || p.Hours[3].Best != nil || p.Hours[4].Best == nil {
		t.Errorf("%d hours, options %v %v %v", len(p.Hours), p.Hours[2].Best, p.Hours[3].Best, p.Hours[4].Best)
	}
}

func TestRefusals(t *testing.T) {
	for field, change := range map[string]func(q *Question){
		"hours":                    func(q *Question) { q.Hours = nil },
		"hours[2]":                 func(q *Question) { q.Hours[2].Wind = math.NaN() },
		"until":                    func(q *Question) { q.Until = q.From },
		"start":                    func(q *Question) { q.Start = orb.Point{1e5, 0} },
		"home":                     func(q *Question) { q.Home = orb.Point{math.NaN(), 0} },
		"boat.setups":              func(q *Question) { q.Boat.SetUps = nil },
		"boat.setups[0]":           func(q *Question) { q.Boat.SetUps[0].Motion.Fraction = -1 },
		"boat.setups[1].least_dep": func(q *Question) { q.Boat.SetUps[1].LeastDepth = 0 },
		"boat.speed":               func(q *Question) { q.Boat.Speed = 0 },
		"boat.energy":              func(q *Question) { q.Boat.Energy = 5 },
		"limits.gust":              func(q *Question) { q.Limits.Gust = 0 },
		"limits.pace":              func(q *Question) { q.Limits.Pace = drift.Pace{Slow: 1, Fast: 0.5} },
		"settings":                 func(q *Question) { q.Settings.Longest = 10 },
	} {
		q := plain(t)
		change(&q)
		if _, err := Day(t.Context(), q); err == nil || !strings.HasPrefix(err.Error(), field) {
			t.Errorf("%s: %v", field, err)
		}
	}
	q := plain(t)
	q.Hours = q.Hours[:5]
	if _, err := Day(t.Context(), q); err == nil || !strings.Contains(err.Error(), "13:00") {
		t.Errorf("hours that end early: %v", err)
	}
	defer func() {
		if recover() == nil {
			t.Error("a raster of the wrong length did not panic")
		}
	}()
	q.Lake.Depth = q.Lake.Depth[:5]
	_, _ = Day(t.Context(), q)
}
