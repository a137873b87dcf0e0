package plan

import (
	"math"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"windlane/drift"
	"windlane/grid"
	"windlane/quantity"
)

// Known things by the way, at known minutes.
func TestPasses(t *testing.T) {
	l := pool(900, 300)
	l.Sounded = make([]bool, l.Grid.Len())
	for k := range l.Depth {
		x, y := l.Grid.Centre(k)
		if !(l.Depth[k] > 0) {
			continue
		}
		l.Depth[k] = float32(3 + math.Max(0, math.Min(5, (x-400)/10))) // 3 to 8 m between 400 and 450 m
		l.Sounded[k] = x <= 600
		if math.Hypot(x-300, y-225) < 20 {
			l.Wet[k] = false // an island
		}
	}
	l.Places = []Place{
		{Kind: "weed_bed", Name: "weed", Shape: orb.Polygon{{{500, 100}, {560, 100}, {560, 200}, {500, 200}, {500, 100}}}},
		{Kind: "buoy_line", Name: "buoys", Shape: orb.LineString{{200, 80}, {260, 80}}, KeepOff: 15, MotorOff: 5},
		{Kind: "aerator", Name: "far", Shape: orb.Point{500, 290}},
		{Kind: "tower", Name: "tower", Shape: orb.Point{700, 400}, Landmark: true},
		{Kind: "tower", Name: "mast", Shape: orb.Point{100, -200}, Landmark: true},
	}
	q := ask(l, 4, 270, orb.Point{60, 150}, flat(l))
	p := newPlanner(q)
	jetty, _ := p.a.launch(q.Home)
	p.a.motorFrom(jetty, &p.home)
	f := followed{x: 105, y: 155, setUp: 1, start: 0, time: 3600, clear: 3600, margin: 30}
	e, _ := q.Boat.SetUps[1].Motion.Path(p.wind, 0, 3600)
	f.end = orb.Point{105 + e, 155}
	d := p.tell(f, nil)
	minute := func(x float64) float64 { return (x - 105) / 0.16 / 60 }
	want := []Pass{
		{Kind: IslandEdge, From: minute(300 - 26), To: minute(300 + 26)},
		{Kind: DropOff, From: minute(390), To: minute(460)},
		{Kind: "weed_bed", Name: "weed", From: minute(475), To: minute(585)},
	}
	if len(d.Passes) != len(want) {
		t.Fatalf("passes %+v", d.Passes)
	}
	for i, w := range want {
		g := d.Passes[i]
		if g.Kind != w.Kind || g.Name != w.Name || math.Abs(g.From-w.From) > 2 || math.Abs(g.To-w.To) > 2 {
			t.Errorf("pass %+v, want %+v", g, w)
		}
	}
	// marked by the lake itself, the edge and the island are passed once, by name
	q.Lake.Places = append(q.Lake.Places,
		Place{Kind: DropOff, Name: "shelf edge", Shape: orb.LineString{{425, 0}, {425, 300}}},
		Place{Kind: "island", Name: "holm", Shape: orb.Bound{Min: orb.Point{280, 205}, Max: orb.Point{320, 245}}.ToPolygon()})
	p.q.Lake.Places = q.Lake.Places
	named := p.passes(f)
	if len(named) != 3 || named[0].Name != "holm" || named[0].Kind != IslandEdge || named[1].Name != "shelf edge" {
		t.Errorf("marked on the lake: %+v", named)
	}
	if e := d.Passes[1]; e.First > 3.6 || e.Last < 7.4 || e.Least > e.First || e.Most < e.Last {
		t.Errorf("the edge goes from %v to %v m", e.First, e.Last)
	}
	if d.Passes[2].Near != 0 {
		t.Errorf("over the weed, nearest %v m", d.Passes[2].Near)
	}
	if len(d.Track) != 61 || d.Track[60].Sounded || !d.Track[0].Sounded || d.Track[10].Depth != 3 {
		t.Errorf("%d points, ends %+v", len(d.Track), d.Track[60])
	}
	near(t, "bearing of the tower", d.Stop.Bearing.Degrees(), math.Atan2(700-f.end[0], 400-155)*180/math.Pi, 1e-6)
	near(t, "distance to it", d.Stop.Distance, math.Hypot(700-f.end[0], 400-155), 1e-6)
	if d.Stop.Landmark != "tower" {
		t.Errorf("landmark %q", d.Stop.Landmark)
	}
	// eight in ten of the directions: 10° × 1.2816 either way
	last := d.Fan.Right[len(d.Fan.Right)-1]
	near(t, "right edge of the fan", quantity.TowardVector(last[0]-105, last[1]-155).Degrees(), 90+12.816, 0.01)
	last = d.Fan.Left[len(d.Fan.Left)-1]
	near(t, "left edge of the fan", quantity.TowardVector(last[0]-105, last[1]-155).Degrees(), 90-12.816, 0.01)
	near(t, "short end", d.Fan.Short[0]-105, e*(1-1.2816*0.2), 0.1)
}

// Two lanes of worth leave one place at an angle: the wind that runs along the
// better one takes it, and the change named is true.
func TestWhatWouldChangeIt(t *testing.T) {
	l := pool(1200, 900)
	angle := func(x, y float64) float64 { return math.Atan2(y-450, x-100) * 180 / math.Pi }
	worth := everywhere(l, func(x, y float64) float64 {
		a := angle(x, y)
		near := 1 / (1 + math.Exp((math.Hypot(x-100, y-450)-500)/20))          // both end 500 m out
		return 0.02 + near*(math.Exp(-a*a/18)+0.9*math.Exp(-(a-40)*(a-40)/18)) // due east, and 40° to the north of it
	})
	q := ask(l, 4, 270, orb.Point{100, 450}, worth)
	for i := range q.Hours {
		q.Hours[i].FromSD = degrees(4)
	}
	q.Until = clock(11, 0)
	d := mustPlan(t, q).Drifts[0]
	if math.Abs(d.Y-450) > 40 {
		t.Fatalf("the west wind's drift begins at (%v, %v)", d.X, d.Y)
	}
	if d.Change == nil {
		t.Fatal("nothing would change it")
	}
	// Both drifts followed in the day's wind turned that far, and turned 10° less:
	// the one named wins, and does not yet.
	rates := func(turn float64) (this, that float64) {
		turned := q
		turned.Hours = append([]Hour(nil), q.Hours...)
		for i := range turned.Hours {
			turned.Hours[i].From += quantity.From(turn)
		}
		p := newPlanner(turned)
		jetty, _ := p.a.launch(q.Home)
		p.a.motorFrom(jetty, &p.home)
		p.a.motorFrom(jetty, &p.here)
		way := func(t float64, from, to orb.Point) (Ride, bool) { return p.ride(&p.here, t, from, to) }
		f, _ := p.follow(asked{orb.Point{d.X, d.Y}, 60 * d.Minutes}, 0, q.Home, way)
		g, _ := p.follow(asked{orb.Point{d.Change.To.X, d.Change.To.Y}, 60 * d.Change.To.Minutes}, 0, q.Home, way)
		return f.rate, g.rate
	}
	if this, that := rates(d.Change.Turn); that < 0.97*this {
		t.Errorf("the wind turned by %v rad, the drift named brings %v, this one %v", d.Change.Turn, that, this)
	}
	if this, that := rates(d.Change.Turn - math.Copysign(10*math.Pi/180, d.Change.Turn)); this < 0.97*that {
		t.Errorf("the wind turned by 10° less than %v rad, the drift named brings %v already, this one %v", d.Change.Turn, that, this)
	}
	near(t, "the wind it names", d.Change.From.Degrees(), 270+d.Change.Turn*180/math.Pi, 1e-6)
}

// The walk over starts and steps allocates nothing: what a scan allocates does
// not grow with them.
func TestScanAllocatesNothingPerStep(t *testing.T) {
	l := pool(600, 400)
	p := newPlanner(ask(l, 4, 270, orb.Point{60, 200}, flat(l)))
	jetty, _ := p.a.launch(p.q.Home)
	if n := testing.AllocsPerRun(5, func() { p.a.motorFrom(jetty, &p.home) }); n > 60 {
		t.Errorf("rides: %v allocations", n)
	}
	if n := testing.AllocsPerRun(5, func() { p.scan(0, &p.home) }); n > 60 {
		t.Errorf("scan: %v allocations for some 1500 starts of 60 to 200 steps", n)
	}
}

// Laws of any plan, on lakes with islands, shallows, zones and turning winds.
func TestPlanLaws(t *testing.T) {
	statuses := map[Status]int{}
	rapid.Check(t, func(t *rapid.T) {
		l := pool(600, 500)
		for range rapid.IntRange(0, 4).Draw(t, "lumps") {
			cx, cy := rapid.Float64Range(0, 600).Draw(t, "x"), rapid.Float64Range(0, 500).Draw(t, "y")
			size, rise := rapid.Float64Range(20, 120).Draw(t, "size"), rapid.Float64Range(2, 7).Draw(t, "rise")
			for k := range l.Depth {
				x, y := l.Grid.Centre(k)
				l.Depth[k] -= float32(rise * math.Exp(-((x-cx)*(x-cx)+(y-cy)*(y-cy))/(2*size*size)))
				l.Wet[k] = l.Depth[k] > 0
			}
		}
		l.Places = []Place{
			{Kind: "no_go", Shape: orb.Bound{Min: orb.Point{400, 300}, Max: orb.Point{450, 380}}.ToPolygon(), KeepOff: 30, MotorOff: 5},
			{Kind: "bank_angler", Shape: orb.Point{rapid.Float64Range(0, 600).Draw(t, "angler"), 0}, KeepOff: 50, MotorOff: 50},
		}
		q := ask(l, 0, 0, orb.Point{20, 20}, everywhere(l, bumps))
		q.Until = clock(9, 0).Add(time.Duration(rapid.IntRange(60, 300).Draw(t, "minutes")) * time.Minute)
		from := rapid.Float64Range(0, 360).Draw(t, "from")
		for i := range q.Hours {
			from += rapid.Float64Range(-30, 30).Draw(t, "veer")
			q.Hours[i].From = quantity.FromDegrees(from)
			q.Hours[i].Wind = rapid.Float64Range(0.5, 9).Draw(t, "wind")
			q.Hours[i].Gust = q.Hours[i].Wind * 1.4
		}
		if rapid.Bool().Draw(t, "battery") {
			q.Boat.Power, q.Boat.Energy = 500, rapid.Float64Range(1e5, 2e6).Draw(t, "energy")
		}
		p, err := Day(t.Context(), q)
		if err != nil {
			t.Fatal(err)
		}
		statuses[p.Status]++
		if (p.Status == Whole) != (p.Reason == "") || (p.Status == NothingReachable) != (len(p.Drifts) == 0) && p.Status != GoIn {
			t.Fatalf("%s %q with %d drifts", p.Status, p.Reason, len(p.Drifts))
		}
		wet := l.Wet
		shore := grid.Distance(l.Grid, wet)
		free := q.From
		for i, d := range p.Drifts {
			if d.Start.Before(free) {
				t.Fatalf("drift %d begins at %v, before %v", i, d.Start, free)
			}
			free = d.End.Add(time.Duration(q.Settings.HandIn) * time.Second)
			if d.Minutes*60 < q.Settings.Shortest || d.Minutes*60 > q.Settings.Longest || d.Value <= 0 || d.Rate <= 0 {
				t.Fatalf("drift %d: %v min, value %v, rate %v", i, d.Minutes, d.Value, d.Rate)
			}
			if d.Fan.Safe < 0.75-1e-9 || d.Fan.Safe > 1 || d.Why.Fresh <= 0 || d.Why.Fresh > 1 || d.Why.OverNext < 0 {
				t.Fatalf("drift %d: %+v %+v", i, d.Fan.Safe, d.Why)
			}
			least := q.Boat.SetUps[0].LeastDepth
			if d.Drogue {
				least = q.Boat.SetUps[1].LeastDepth
			}
			for m, pt := range d.Track {
				k, ok := l.Grid.Index(pt.X, pt.Y)
				if !ok || !wet[k] || quantity.Depth(l.Depth[k]) < least || float64(shore[k])-l.Grid.Cell/2 < q.Limits.LeastMargin {
					t.Fatalf("drift %d at minute %d: depth %v, %v m to land", i, m, l.Depth[k], shore[k])
				}
				for _, place := range l.Places {
					if x, y := l.Grid.Centre(k); away(place.Shape, x, y) < place.KeepOff {
						t.Fatalf("drift %d at minute %d is %v m from a %s", i, m, away(place.Shape, x, y), place.Kind)
					}
				}
				if pt.Minute != math.Min(float64(m), d.Minutes) {
					t.Fatalf("point %d at minute %v of %v", m, pt.Minute, d.Minutes)
				}
			}
			rides := []Ride{d.Ride}
			if i == len(p.Drifts)-1 {
				rides = append(rides, p.RideHome)
			}
			for _, r := range rides {
				for j := 1; j < len(r.Way); j++ {
					for s := 0.0; s <= 1; s += 0.02 {
						x, y := r.Way[j-1][0]+s*(r.Way[j][0]-r.Way[j-1][0]), r.Way[j-1][1]+s*(r.Way[j][1]-r.Way[j-1][1])
						k, ok := l.Grid.Index(x, y)
						if math.Hypot(x-q.Home[0], y-q.Home[1]) > 30 && (!ok || !(float64(l.Depth[k]) >= q.Limits.MotorDepth)) {
							t.Fatalf("drift %d: the ride crosses water of %v m at (%v, %v)", i, l.Depth[k], x, y)
						}
					}
				}
			}
		}
		if len(p.Drifts) > 0 && (p.Home.After(p.Deadline) || p.TurnHome.Before(free.Add(-time.Second)) || p.FishingShare <= 0 || p.FishingShare >= 1) {
			t.Fatalf("home %v, deadline %v, turn %v, last free %v, share %v", p.Home, p.Deadline, p.TurnHome, free, p.FishingShare)
		}
		if q.Boat.Energy > 0 && len(p.Drifts) > 0 && p.EnergyLeft < q.Limits.Reserve-0.03 {
			t.Fatalf("energy left %v", p.EnergyLeft)
		}
	})
	t.Log(statuses)
	if statuses[Whole] == 0 || statuses[GoIn] == 0 {
		t.Error("too few kinds of day were drawn")
	}
}

// How long a drift may last does not depend on how long was asked for, and no
// cell it touches till then is forbidden.
func TestReach(t *testing.T) {
	l := pool(600, 500)
	for k := range l.Depth { // many small shallows, whose corners are clipped
		if x, y := l.Grid.Centre(k); int(x/10)%7 == 3 && int(y/10)%5 == 2 {
			l.Depth[k] = 0.9
		}
	}
	q := ask(l, 5, 250, orb.Point{20, 20}, flat(l))
	for i := range q.Hours {
		q.Hours[i].From = quantity.FromDegrees(200 + 40*float64(i))
	}
	p := newPlanner(q)
	ended := 0
	rapid.Check(t, func(t *rapid.T) {
		x, y := rapid.Float64Range(30, 570).Draw(t, "x"), rapid.Float64Range(30, 470).Draw(t, "y")
		m := drift.Motion{Fraction: rapid.Float64Range(0.01, 0.08).Draw(t, "fraction"), Slip: rapid.Float64Range(-1, 1).Draw(t, "slip")}
		long, _ := p.reach(x, y, 0, 3600, 1, 15, m)
		short := rapid.Float64Range(0, 3600).Draw(t, "asked")
		if got, _ := p.reach(x, y, 0, short, 1, 15, m); math.Abs(got-math.Min(short, long)) > 0.01 {
			t.Fatalf("asked for 3600 s it lasts %v, asked for %v it lasts %v", long, short, got)
		}
		for after := 0.0; after < long-0.01; after += 0.5 {
			e, n := m.Path(p.wind, 0, after)
			if k, ok := l.Grid.Index(x+e, y+n); !ok || !p.allowed(k, 1, 15) {
				t.Fatalf("after %v of %v s at (%v, %v)", after, long, x+e, y+n)
			}
		}
		if long < 3600 {
			ended++
		}
	})
	if ended < 20 {
		t.Errorf("only %d drifts met anything", ended)
	}
}
