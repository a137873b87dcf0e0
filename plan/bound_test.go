package plan

import (
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"windlane/quantity"
)

// A bound that no day of drifts begun at cells' centres can exceed, whatever
// drifts it is made of.
//
// Water is taken as untouched throughout (fishing only takes worth off), so a
// drift's value is at most that of the best lane of its start and length. All
// drifts begun at one time are translations of one curve; for starts between two
// times (a bin) the curve of the middle stands for them, and every cell's worth
// and leave is replaced by the best of the 3 × 3 cells round it. That covers a
// boat up to a cell away each way: a quarter of a cell for sampling a step at its
// middle, as much for the planner's own steps, and up to 0.45 for the bin. For a start t in a bin of width Δ round m,
//
//	|∫(W(t+u) − W(m+u)) du| ≤ Δ/2 × (the wind's total variation over bin and drift),
//
// and Δ is chosen by that. The pass factor is taken at the strongest wind of the
// bin, the margin at the weakest that any of its drifts can have, and all set-ups
// are tried that its winds ask for.
//
// A day is then at most the best chain of such lanes in time, wherever they lie:
// a walk over time from the end. The ways under motor close the trip: their
// vectors and the drifts' add up to the way from Start to Home, so for any
// direction u the metres motored are at least Σ u·D − u·(Home − Start), D being a
// drift's displacement. That joins the walk by a price λ ≥ 0 on seconds: a ride
// earns λ a second, and a drift pays λ·u·D/v. The battery allows so many seconds
// under motor; that joins by a price κ ≥ 0 in the same way. For every u, λ and κ
// the walk's result is a bound (Lagrange; Everett 1963); the least is taken over a
// grid of them that is the same for every day. In the walk times are rounded
// down to 15 s, and a ride is paid 15 s too many.

// lanes are the best values of drifts begun within a bin.
type lanes struct {
	from, to float64      // begun between [s]
	dt       float64      // a step [s]
	value    []float64    // the most, for a drift that ends within each step; −1 where none does [m²]
	run      [][2]float64 // displacement by the end of each step, east and north; run[0] at the start [m]
	slack    float64      // of the displacement [m]
}

const (
	walkStep = 15.0 // [s]
	binSlack = 0.45 // how far a bin's curves part, in cells [1]
)

// lanesOf are the lanes of all bins up to the deadline.
func (p *planner) lanesOf() (all []lanes) {
	s := p.q.Settings
	clear(p.effort)
	clear(p.blank)
	p.forget()
	for from := 0.0; from < p.deadline; {
		// The wind's variation: its steps from hour to hour are straight.
		swing := 0.0
		for a := from; a < from+600+s.Longest; a += 60 {
			e0, n0 := p.wind.At(a)
			e1, n1 := p.wind.At(a + 60)
			swing += math.Hypot(e1-e0, n1-n0)
		}
		fastest := 0.0
		for u, s := range p.q.Boat.SetUps {
			_, stretch := p.spread(followed{setUp: u, start: from})
			fastest = math.Max(fastest, s.Motion.Fraction*(1+math.Sqrt(3)*stretch))
		}
		width := math.Min(600, 2*binSlack*p.a.g.Cell/math.Max(fastest*swing, 1e-9))
		to := math.Min(from+width, p.hourAfter(from))
		strong := p.wind.Strongest(from, to)
		e0, n0 := p.wind.At(from)
		e1, n1 := p.wind.At(to)
		weak := away(orb.LineString{{e0, n0}, {e1, n1}}, 0, 0)
		first, _ := p.choose(weak)
		last, _ := p.choose(strong)
		for u := min(first, last); u <= max(first, last); u++ {
			all = append(all, p.lanesWith(u, from, to))
		}
		from = to
	}
	return all
}

func (p *planner) lanesWith(setUp int, from, to float64) lanes {
	s, g := p.q.Settings, p.a.g
	motion := p.q.Boat.SetUps[setUp].Motion
	type wind struct {
		m      by
		weight float64
		offset []int
	}
	members := []wind{{m: motionOf(motion), weight: 1}} // the first is the forecast itself
	turn, stretch := p.spread(followed{setUp: setUp, start: from})
	if turn > 0 || stretch > 0 {
		members[0].weight = 0
		for _, w := range winds {
			members = append(members, wind{m: motionOf(p.turned(setUp, w[0]*turn, 1+w[1]*stretch)), weight: w[2]})
		}
	}
	strongest := p.wind.Strongest(from, to+s.Longest)
	l := lanes{from: from, to: to, dt: g.Cell / 2 / math.Max(motion.Fraction*(1+math.Sqrt(3)*stretch)*strongest, 1e-6), slack: binSlack * g.Cell}
	l.dt = math.Min(60, l.dt)
	steps := int(math.Ceil(s.Longest / l.dt))
	l.run = [][2]float64{{}}
	middle := (from + to) / 2
	for i := range steps {
		l.value = append(l.value, -1)
		for m := range members {
			end := p.placeBy(members[m].m, middle, (float64(i)+0.5)*l.dt)
			members[m].offset = append(members[m].offset, int(math.Floor(end[1]/g.Cell+0.5))*g.W+int(math.Floor(end[0]/g.Cell+0.5)))
		}
		l.run = append(l.run, p.placeBy(members[0].m, middle, float64(i+1)*l.dt))
	}
	// fields are the best worth round each cell in the hours that a step may fall in;
	// −1 where no drift may be
	weakest := 0.0
	if to < from+s.Longest {
		weakest = p.wind.Strongest(to, from+s.Longest)
	}
	margin := math.Max(p.q.Limits.LeastMargin, math.Ceil(motion.Fraction*weakest*p.q.Limits.MarginTime-1e-6))
	fields := map[[2]int][]float32{}
	at := make([][]float32, steps)
	for i := range at {
		hours := [2]int{p.hourOf(from + float64(i-1)*l.dt), p.hourOf(to + float64(i+2)*l.dt)}
		if fields[hours] == nil {
			fields[hours] = p.bestRound(hours, setUp, margin)
		}
		at[i] = fields[hours]
	}
	gain := (1 + 1e-6) * s.Swept * p.onePass(motion.Fraction*p.wind.Strongest(from, to)) * l.dt // the fields are single precision
	alive := make([]bool, len(members))
	for k := range p.a.wet {
		if !p.allowed(k, setUp, margin) || math.IsInf(float64(p.home.metres[k]), 1) {
			continue
		}
		sum := 0.0
		for m := range alive {
			alive[m] = true
		}
		for i, field := range at {
			left := 0.0
			for m := range members {
				if !alive[m] {
					continue
				}
				to := k + members[m].offset[i]
				if to < 0 || to >= len(field) || field[to] < 0 {
					alive[m] = false
					continue
				}
				left += members[m].weight
				sum += members[m].weight * float64(field[to])
			}
			if !alive[0] || (len(members) > 1 && left < 0.75-1e-9) {
				break
			}
			l.value[i] = math.Max(l.value[i], sum*gain)
		}
	}
	return l
}

// placeBy is how far a boat gets in some time. [m]
func (p *planner) placeBy(m by, start, time float64) [2]float64 {
	e0, n0 := p.wind.Run(start)
	e1, n1 := p.wind.Run(start + time)
	e, n := e1-e0, n1-n0
	return [2]float64{m.c*e + m.s*n, m.c*n - m.s*e}
}

func (p *planner) bestRound(hours [2]int, setUp int, margin float64) []float32 {
	g := p.a.g
	masked, out := make([]float32, g.Len()), make([]float32, g.Len())
	for k := range masked {
		masked[k], out[k] = -1, -1
		if p.allowed(k, setUp, margin) {
			for h := hours[0]; h <= hours[1]; h++ {
				masked[k] = max(masked[k], p.fresh(h)[k])
			}
		}
	}
	for j := 1; j < g.H-1; j++ {
		for i := 1; i < g.W-1; i++ {
			k := j*g.W + i
			for _, d := range [...]int{-g.W - 1, -g.W, -g.W + 1, -1, 0, 1, g.W - 1, g.W, g.W + 1} {
				out[k] = max(out[k], masked[k+d])
			}
		}
	}
	return out
}

// bound is the least that the walks give. [m²]
func bound(t testing.TB, q Question) float64 {
	t.Helper()
	p := morning(t, q)
	if goIn, _ := p.limit(); goIn < p.deadline {
		p.deadline = goIn
	}
	all := p.lanesOf()
	energies := []float64{0}
	budget := 0.0
	if q.Boat.Energy > 0 {
		energies = []float64{0, 0.2, 0.6}
		budget = q.Boat.Energy * (1 - q.Limits.Reserve) / q.Boat.Power
	}
	least := math.Inf(1)
	for _, lambda := range []float64{0, 0.05, 0.1, 0.2, 0.35, 0.6, 1} {
		for _, kappa := range energies {
			for d := range 16 {
				sin, cos := math.Sincos(float64(d) * math.Pi / 8)
				u := [2]float64{sin, cos}
				if lambda+kappa == 0 && d > 0 {
					break
				}
				l, k := lambda*q.Settings.Swept, kappa*q.Settings.Swept
				off := u[0]*(q.Home[0]-q.Start[0]) + u[1]*(q.Home[1]-q.Start[1])
				least = math.Min(least, p.chain(all, l, k, u)+k*budget+(l+k)*off/q.Boat.Speed)
			}
		}
	}
	return least
}

// chain is the best chain of lanes at some prices.
func (p *planner) chain(all []lanes, lambda, kappa float64, u [2]float64) float64 {
	s, n := p.q.Settings, int(math.Ceil(p.deadline/walkStep))
	free := make([]float64, n+1) // the most from each time on, free for a ride
	set := 0.0                   // the same without the next ride, and riding on
	// what each lane brings, its displacement paid
	paid := make([][]float64, len(all))
	for b, l := range all {
		for i, v := range l.value {
			along := math.Min(u[0]*l.run[i][0]+u[1]*l.run[i][1], u[0]*l.run[i+1][0]+u[1]*l.run[i+1][1]) - l.slack
			paid[b] = append(paid[b], v-(lambda+kappa)*along/p.q.Boat.Speed)
		}
	}
	last := len(all) // lanes from here on begin too late
	for j := n - 1; j >= 0; j-- {
		set += lambda * walkStep
		early, late := float64(j)*walkStep+s.PutOut, float64(j+1)*walkStep+s.PutOut
		for last > 0 && all[last-1].from > late {
			last--
		}
		for b := last - 1; b >= 0 && all[b].to >= early; b-- {
			l := &all[b]
			for i := max(0, int(math.Ceil(s.Shortest/l.dt))-1); i < len(l.value) && l.value[i] >= 0; i++ {
				then := early + max(s.Shortest, float64(i)*l.dt) + s.HandIn
				if then > p.deadline {
					break
				}
				if v := paid[b][i] + free[int(then/walkStep)]; v > set {
					set = v
				}
			}
		}
		free[j] = lambda*walkStep + set
	}
	return free[0]
}

// No day's value comes above its bound, whatever the tries; and a bigger battery,
// a longer day or a zone taken away never lowers it.
func TestNoPlanBeatsTheBound(t *testing.T) {
	whole := t
	nearest, days := 0.0, 0
	rapid.Check(t, func(t *rapid.T) {
		l := pool(320, 260)
		corner := orb.Point{rapid.Float64Range(80, 280).Draw(t, "zone x"), rapid.Float64Range(80, 220).Draw(t, "zone y")}
		l.Places = []Place{{Kind: "no_go", Shape: orb.Bound{Min: corner, Max: orb.Point{corner[0] + 30, corner[1] + 20}}.ToPolygon(), KeepOff: 20, MotorOff: 5}}
		cx, cy, size := rapid.Float64Range(50, 270).Draw(t, "x"), rapid.Float64Range(50, 210).Draw(t, "y"), rapid.Float64Range(15, 200).Draw(t, "size")
		base := rapid.Float64Range(0, 1).Draw(t, "base")
		q := ask(l, 0, 0, orb.Point{20, 20}, everywhere(l, func(x, y float64) float64 {
			return base + math.Exp(-((x-cx)*(x-cx)+(y-cy)*(y-cy))/(2*size*size))
		}))
		q.Until = clock(9, 0).Add(time.Duration(rapid.IntRange(30, 90).Draw(t, "minutes")) * time.Minute)
		q.Settings.Longest, q.Limits.LeastMargin, q.Limits.MarginTime = 1800, 15, 60
		q.Settings.Recovery = rapid.Float64Range(1200, 1e4).Draw(t, "recovery")
		q.Settings.Patch = rapid.SampledFrom([]float64{0, 120}).Draw(t, "patch")
		q.Settings.Tries = 40
		from, sure := rapid.Float64Range(0, 360).Draw(t, "from"), rapid.IntRange(0, 3).Draw(t, "sure") > 0
		for i := range q.Hours {
			from += rapid.Float64Range(-20, 20).Draw(t, "veer")
			q.Hours[i].From, q.Hours[i].Wind = quantity.FromDegrees(from), rapid.Float64Range(1.2, 6).Draw(t, "wind")
			q.Hours[i].Gust = q.Hours[i].Wind
			if sure {
				q.Hours[i].FromSD, q.Hours[i].SpeedSD = 0, 0
			}
		}
		if !sure {
			q.Boat.SetUps[1].FractionSD, q.Boat.SetUps[1].SlipSD = 0.005, degrees(5)
		}
		if rapid.Bool().Draw(t, "battery") {
			q.Boat.Power, q.Boat.Energy = 500, rapid.Float64Range(1e5, 5e5).Draw(t, "energy")
		}
		p, err := Day(t.Context(), q)
		if err != nil {
			t.Fatal(err)
		}
		most := bound(whole, q)
		if p.Value > most {
			t.Fatalf("a day of %v m², its bound %v", p.Value, most)
		}
		if most > 0 {
			days++
			nearest = math.Max(nearest, p.Value/most)
		}
		more := q
		what := rapid.SampledFrom([]string{"battery", "day", "zone"}).Draw(t, "more")
		switch what {
		case "battery":
			more.Boat.Energy *= 1.5
		case "day":
			more.Until = q.Until.Add(10 * time.Minute)
		case "zone":
			more.Lake.Places = nil
		}
		if b := bound(whole, more); b < most*(1-1e-12) {
			t.Fatalf("more %s lowers the bound from %v to %v", what, most, b)
		}
	})
	t.Logf("%d days, %.0f %% of the bound at the most", days, 100*nearest)
	if days < 50 || nearest < 0.5 {
		t.Errorf("%d days, %v of the bound at the most: it holds nothing", days, nearest)
	}
}

// Full days on 563 ha, nine to five, the wind taken as forecast, with a battery
// of 960 Wh: what each way of planning brings [1e3 m²], the bound, and the best
// of them as a share of it [%].
func BenchmarkFullDays(b *testing.B) {
	for _, name := range []string{"steady", "shift", "blow", "breeze"} {
		b.Run(name, func(b *testing.B) {
			q := wholeDay(b, 10)
			forecastOf(b, name, &q)
			q = sure(q)
			q.Boat.Power, q.Boat.Energy = 620, 960*3600
			best, most := 0.0, 0.0
			for b.Loop() {
				most = bound(b, q)
				b.ReportMetric(most/1000, "bound")
				b.ReportMetric(randomDrifts(b, q, 1)/1000, "random")
				b.ReportMetric(sameLane(b, q)/1000, "same_lane")
				for _, tries := range []int{0, 300, 2000} {
					q.Settings.Tries = tries
					p, err := Day(b.Context(), q)
					if err != nil {
						b.Fatal(err)
					}
					best = math.Max(best, p.Value)
					b.ReportMetric(p.Value/1000, fmt.Sprintf("tries_%d", tries))
				}
			}
			if best > most {
				b.Fatalf("%v m², the bound is %v", best, most)
			}
			b.ReportMetric(100*best/most, "of_bound_%")
		})
	}
}

// fishing makes drifts that somebody names, one after the other, till 300 in a
// row cannot be made, and gives their value.
func (p *planner) fishing(next func() asked) (value float64) {
	if goIn, _ := p.limit(); goIn < p.deadline {
		p.deadline = goIn
	}
	t, at := 0.0, p.q.Start
	for failed := 0; failed < 300; {
		p.age(t)
		f, ok := p.follow(next(), t, at, p.judged)
		if !ok {
			failed++
			continue
		}
		failed = 0
		value += f.value
		p.used += f.ride.Time * p.q.Boat.Power
		p.cover(f)
		t, at = f.start+f.time+p.q.Settings.HandIn, f.end
	}
	return value
}

// randomDrifts is a day of starts and lengths by chance.
func randomDrifts(t testing.TB, q Question, seed uint64) float64 {
	p, dice := morning(t, q), chance(seed)
	return p.fishing(func() asked {
		for {
			if k := dice.below(p.a.g.Len()); p.allowed(k, 0, q.Limits.LeastMargin) {
				x, y := p.a.g.Centre(k)
				return asked{orb.Point{x, y}, q.Settings.Shortest + dice.share()*(q.Settings.Longest-q.Settings.Shortest)}
			}
		}
	})
}

// sameLane is the best first drift again and again.
func sameLane(t testing.TB, q Question) float64 {
	p := morning(t, q)
	if goIn, _ := p.limit(); goIn < p.deadline {
		p.deadline = goIn
	}
	first, _, ok := p.best(0, q.Start, nil)
	if !ok {
		return 0
	}
	p.reset()
	return p.fishing(func() asked { return first.want })
}
