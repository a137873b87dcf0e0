package plan

import (
	"math"
	"testing"

	"github.com/paulmach/orb"

	"windlane/quantity"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %v, want %v within %v", what, got, want, tol)
	}
}

// bumps is a worth with two hills of different height.
func bumps(x, y float64) float64 {
	hill := func(cx, cy, size float64) float64 {
		return math.Exp(-((x-cx)*(x-cx) + (y-cy)*(y-cy)) / (2 * size * size))
	}
	return 0.1 + hill(150, 120, 40) + 0.7*hill(420, 260, 60)
}

// Every start and every length on a small lake, worked out the long way: walk
// in steps of 5 s, average the worth over the cells of the disc one by one,
// divide by the whole time. The scan must find the same rates (its steps are a
// cell long: 6 %), and the day's first drift, which is followed exactly, must be the
// best there is, to 1.5 %.
func TestScoreByEnumeration(t *testing.T) {
	l := pool(600, 400)
	home := orb.Point{60, 200}
	q := ask(l, 4, 250, home, everywhere(l, bumps))
	for i := range q.Hours { // a forecast sure of itself
		q.Hours[i].FromSD, q.Hours[i].SpeedSD = 0, 0
	}
	q.Hours[4].Wind += 1                        // no drift of the first hours feels it, but the scan walks instead of summing lines
	s, m := q.Settings, q.Boat.SetUps[1].Motion // 14.4 m/min bare is too fast for lures: the drogue
	p := newPlanner(q)
	jetty, ok := p.a.launch(home)
	if !ok {
		t.Fatal("no jetty")
	}
	p.a.motorFrom(jetty, &p.home)
	p.a.motorFrom(jetty, &p.here)
	p.scan(0, &p.here)

	g := l.Grid
	speed := 4 * m.Fraction
	east, north := q.Hours[0].From.Toward().Vector()
	vx, vy := speed*east, speed*north
	wet := func(k int) bool { return l.Wet[k] }
	toLand := func(k int) float64 { // brute force, to the waterline
		x, y := g.Centre(k)
		best := math.Inf(1)
		for c := range l.Depth {
			if !wet(c) {
				cx, cy := g.Centre(c)
				best = math.Min(best, math.Hypot(cx-x, cy-y))
			}
		}
		return best - g.Cell/2
	}
	margin := math.Max(15, 180*speed)
	may := make([]bool, g.Len())
	disc := make([]float64, g.Len())
	for k := range may {
		if !wet(k) {
			continue
		}
		may[k] = toLand(k) >= margin
		x, y := g.Centre(k)
		n, sum := 0, 0.0
		for c := range l.Depth {
			if cx, cy := g.Centre(c); math.Hypot(cx-x, cy-y) <= s.Reach {
				n++
				if wet(c) {
					sum += float64(q.Hours[0].Worth[c])
				}
			}
		}
		disc[k] = sum / float64(n)
	}
	x := s.Swept / (2 * s.Reach * speed)
	phi := (1 - math.Exp(-x)) / x
	const dt = 5.0
	compared, bestRate := 0, 0.0
	worst := 0.0
	for k := range may {
		if !may[k] {
			if p.rate[k] >= 0 {
				t.Fatalf("cell %d may not be drifted and has a rate", k)
			}
			continue
		}
		x0, y0 := g.Centre(k)
		ride := math.Hypot(x0-home[0], y0-home[1]) / q.Boat.Speed // a convex lake: straight
		sum, most := 0.0, 0.0
		for n := 1; float64(n)*dt <= s.Longest; n++ {
			after := float64(n) * dt
			c, in := g.Index(x0+vx*after, y0+vy*after)
			if !in || !may[c] {
				break
			}
			sum += disc[c] * dt
			if after >= s.Shortest {
				most = math.Max(most, s.Swept*phi*sum/(ride+s.PutOut+s.HandIn+after))
			}
		}
		bestRate = math.Max(bestRate, most)
		got := float64(p.rate[k]) * quantum
		if most == 0 {
			continue // the coarse steps may just reach the shortest length
		}
		if got < 0 {
			got = 0
		}
		compared++
		if d := math.Abs(got-most) / bestRate; d > worst {
			worst = d
		}
		// the last lengths near the shortest are found or lost with a step
		if math.Abs(got-most) > 0.06*most && got > 0 {
			t.Errorf("cell %d: rate %v, by enumeration %v", k, got, most)
		}
	}
	if compared < 300 {
		t.Fatalf("%d starts compared", compared)
	}
	plan, err := Day(t.Context(), q)
	if err != nil || len(plan.Drifts) == 0 {
		t.Fatalf("%v %v", plan.Status, err)
	}
	first := plan.Drifts[0]
	t.Logf("%d starts, worst difference %.2f %%; best by enumeration %.3f, the day's first %.3f m²/min", compared, 100*worst, 60*bestRate, first.Rate)
	// on its way there the boat keeps off the lane, which the long way does not
	straight := math.Hypot(first.X-home[0], first.Y-home[1]) / q.Boat.Speed
	if rate := first.Value / ((straight+s.PutOut+s.HandIn)/60 + first.Minutes); rate < 0.985*60*bestRate || rate > 1.015*60*bestRate {
		t.Errorf("the first drift's rate is %v m²/min, the best is %v", rate, 60*bestRate)
	}
	near(t, "rate is value over time", first.Rate, first.Value/((first.Ride.Time+s.PutOut+s.HandIn)/60+first.Minutes), 1e-9)
	if first.SetUp != "drogue" {
		t.Errorf("set-up %s", first.SetUp)
	}
}

// The mean over the disc against the long way, and the diminishing returns of
// covered water: 1 − e^−x.
func TestFootprint(t *testing.T) {
	l := pool(300, 300)
	q := ask(l, 4, 270, orb.Point{20, 150}, everywhere(l, bumps))
	q.Settings.Reach = 27
	p := newPlanner(q)
	field := make([]float32, l.Grid.Len())
	for k := range field {
		field[k] = float32(k%17) - float32(k%5)
	}
	got := make([]float32, len(field))
	p.a.mean(field, got)
	g := l.Grid
	for _, k := range []int{g.W*10 + 10, g.W*20 + 17, g.W*15 + 9} {
		sum, n := 0.0, 0.0
		x, y := g.Centre(k)
		for c := range field {
			if cx, cy := g.Centre(c); math.Hypot(cx-x, cy-y) <= 27 {
				sum, n = sum+float64(field[c]), n+1
			}
		}
		if n != 21 { // 27 m of 10 m cells
			t.Fatalf("%v cells", n)
		}
		near(t, "mean over the disc", float64(got[k]), sum/n, 1e-5)
	}

	// Effort: what a drift covers is the swept area, all of it, and worth falls
	// by e^−effort, fresh again with the recovery time.
	f := followed{x: 100, y: 150, setUp: 1, start: 0, time: 600}
	p.cover(f)
	total := 0.0
	for _, e := range p.effort {
		total += float64(e) * g.Cell * g.Cell
	}
	since := math.Exp(-300 / q.Settings.Recovery) // its middle, when the day begins at 0
	near(t, "area covered", total*since, q.Settings.Swept*600, 1)
	k, _ := g.Index(130, 150)
	effort := float64(p.effort[k])
	if effort < 0.1 {
		t.Fatalf("effort on the way is %v", effort)
	}
	q2 := q
	q2.Fished = append([]float32(nil), p.effort...)
	for i := range q2.Hours {
		q2.Hours[i].Worth = everywhere(l, func(float64, float64) float64 { return 1 })
	}
	p2 := newPlanner(q2)
	p2.fresh(0)
	near(t, "worth of covered water", float64(p2.scaled[k]), math.Exp(-effort), 1e-6)
	p2.age(q.Settings.Recovery)
	p2.fresh(0)
	near(t, "worth after the recovery time", float64(p2.scaled[k]), math.Exp(-effort/math.E), 1e-6)
}

// A ridge of worth along the wind: the best drift lies on it.
func TestRidge(t *testing.T) {
	l := pool(900, 500)
	for _, c := range []struct{ ridge, from float64 }{{135, 270}, {315, 90}} {
		q := ask(l, 4, c.from, orb.Point{450, 30}, everywhere(l, func(_, y float64) float64 {
			return 0.05 + math.Exp(-(y-c.ridge)*(y-c.ridge)/(2*30*30))
		}))
		q.Until = clock(10, 30)
		p, err := Day(t.Context(), q)
		if err != nil || len(p.Drifts) == 0 {
			t.Fatalf("%v %v", p, err)
		}
		d := p.Drifts[0]
		near(t, "lane", d.Y, c.ridge, 10)
		near(t, "toward", d.Toward.Degrees(), quantity.FromDegrees(c.from).Toward().Degrees(), 1e-6)
		if d.Minutes < 20 {
			t.Errorf("the drift along the ridge lasts %v min", d.Minutes)
		}
		if d.Why.WorthRatio < 1.5 || d.Why.OverNext < 1 || d.Why.Fresh != 1 {
			t.Errorf("why: %+v", d.Why)
		}
		for _, h := range p.Hours {
			if len(h.Best) == 0 || math.Abs(h.Best[0].Y-c.ridge) > 10 {
				t.Errorf("%s: best %+v", h.At.Format("15:04"), h.Best)
			}
			for i := 1; i < len(h.Best); i++ {
				if h.Best[i].Rate > h.Best[i-1].Rate*1.02 {
					t.Errorf("options out of order: %+v", h.Best)
				}
				if math.Abs(h.Best[i].Y-h.Best[0].Y) < 2*q.Settings.Reach && math.Abs(h.Best[i].X-h.Best[0].X) < 100 {
					t.Errorf("options on one lane: %+v", h.Best)
				}
			}
		}
	}
}

// A fished stretch recovers: with a short recovery time the same lane is taken
// again, with a long one the next lane is.
func TestStretchIsRepeatedOnceRested(t *testing.T) {
	l := pool(900, 500)
	worth := everywhere(l, func(_, y float64) float64 { return 0.4 + 0.6*math.Exp(-(y-250)*(y-250)/(2*25*25)) })
	same := func(recovery float64) int {
		q := ask(l, 4, 270, orb.Point{450, 30}, worth)
		q.Settings.Recovery, q.Settings.Patch = recovery, 0
		q.Settings.Swept *= 3 // a busy boat
		p, err := Day(t.Context(), q)
		if err != nil || p.Status != Whole || len(p.Drifts) < 4 {
			t.Fatalf("%v %v, %d drifts, %v", p.Status, p.Reason, len(p.Drifts), err)
		}
		n := 0
		for _, d := range p.Drifts[1:] {
			if math.Abs(d.Y-p.Drifts[0].Y) < 20 {
				n++
			}
		}
		return n
	}
	if soon, late := same(1200), same(1e6); soon < 8 || late > soon/2 {
		t.Errorf("the same lane again %d times when it recovers in twenty minutes, %d when it never does", soon, late)
	}
}

// Two ridges of good water, one a little better and nearer home: a plan for a
// day without an offer leaves a patch that gave nothing, one without that doubt
// stays on the better.
func TestPatchThatGaveNothingIsLeft(t *testing.T) {
	l := pool(900, 1200)
	worth := everywhere(l, func(_, y float64) float64 {
		return 0.2 + math.Exp(-(y-300)*(y-300)/(2*50*50)) + 0.9*math.Exp(-(y-900)*(y-900)/(2*50*50))
	})
	far := func(patch float64) (n int) {
		q := ask(l, 4, 270, orb.Point{450, 30}, worth)
		q.Settings.Patch = patch
		p, err := Day(t.Context(), q)
		if err != nil || len(p.Drifts) < 4 {
			t.Fatalf("%d drifts, %v", len(p.Drifts), err)
		}
		for _, d := range p.Drifts {
			if d.Y > 600 {
				n++
			}
		}
		return n
	}
	if stays, leaves := far(0), far(120); stays >= leaves || leaves < 3 {
		t.Errorf("the farther ridge is fished %d times without doubt and %d times with it", stays, leaves)
	}
}
