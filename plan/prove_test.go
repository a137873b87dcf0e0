package plan

import (
	"fmt"
	"math"
	"testing"

	"github.com/paulmach/orb"

	"windlane/quantity"
)

// smallCase is one of a row of small days that can be gone through wholly: two
// hours on 20 ha with lumps, islands, a zone and worth by chance, the wind steady
// or turning, some days with a battery, some in nine winds; and the twelve drifts
// allowed on it, six starts of two lengths [s].
func smallCase(t testing.TB, i int, lengths [2]float64) (q Question, choices []asked) {
	t.Helper()
	dice := chance(100 * i)
	between := func(a, b float64) float64 { return a + (b-a)*dice.share() }
	l := pool(500, 400)
	for range 3 {
		cx, cy, size, rise := between(120, 500), between(120, 400), between(20, 60), between(2, 7)
		for k := range l.Depth {
			x, y := l.Grid.Centre(k)
			l.Depth[k] -= float32(rise * math.Exp(-((x-cx)*(x-cx)+(y-cy)*(y-cy))/(2*size*size)))
			l.Wet[k] = l.Depth[k] > 0
		}
	}
	if i%2 == 0 {
		l.Places = []Place{{Kind: "no_go", Shape: orb.Bound{Min: orb.Point{350, 60}, Max: orb.Point{400, 90}}.ToPolygon(), KeepOff: 30, MotorOff: 5}}
	}
	var hills [4][4]float64
	for n := range hills {
		hills[n] = [4]float64{between(0, 500), between(0, 400), between(30, 90), between(0.3, 1)}
	}
	worth := everywhere(l, func(x, y float64) float64 {
		sum := 0.1
		for _, h := range hills {
			sum += h[3] * math.Exp(-((x-h[0])*(x-h[0])+(y-h[1])*(y-h[1]))/(2*h[2]*h[2]))
		}
		return sum
	})
	q = ask(l, between(2, 5), between(0, 360), orb.Point{35, 35}, worth)
	q.Until, q.Settings.Shortest = clock(11, 0), lengths[0]-300
	for h := range q.Hours {
		if i%3 > 0 {
			q.Hours[h].From = quantity.FromDegrees(q.Hours[0].From.Degrees() + float64(h)*between(10, 30))
		}
		if i%8 > 0 {
			q.Hours[h].FromSD, q.Hours[h].SpeedSD = 0, 0
		}
	}
	if i%5 == 1 {
		q.Boat.Power, q.Boat.Energy = 500, between(7e5, 12e5)
	}
	p := morning(t, q)
	for tries := 0; len(choices) < 12; tries++ {
		if tries > 5000 {
			t.Fatalf("small case %d has no room for its drifts", i)
		}
		at := orb.Point{10*math.Floor(between(2, 48)) + 5, 10*math.Floor(between(2, 38)) + 5}
		if f, ok := p.follow(asked{at, lengths[0]}, 0, q.Home, p.judged); ok && f.time >= q.Settings.Shortest {
			choices = append(choices, asked{at, lengths[0]}, asked{at, lengths[1]})
		}
	}
	return q, choices
}

// everyPlan goes through every ordered list of the choices that can be made and
// gives the best list's value and how many lists there are.
func (p *planner) everyPlan(choices []asked) (best float64, plans int) {
	var deeper func(from *moment)
	deeper = func(from *moment) {
		best = math.Max(best, from.value)
		moved := true
		for _, want := range choices {
			if moved { // by a list gone into
				p.restore(from)
				p.age(from.t)
				for h := p.hourOf(from.t); h < len(p.hours) && p.hours[h] < p.deadline; h++ {
					p.fresh(h)
				}
				moved = false
			}
			f, ok := p.follow(want, from.t, from.at, p.judged)
			if !ok {
				continue
			}
			plans++
			after := &moment{t: f.start + f.time + p.q.Settings.HandIn, at: f.end, value: from.value + f.value}
			if after.t+p.q.Settings.PutOut+p.q.Settings.Shortest > p.deadline { // the last there is time for
				best = math.Max(best, after.value)
				continue
			}
			moved = true
			p.used += f.ride.Time * p.q.Boat.Power
			p.cover(f)
			after.used = p.used
			p.remember(after)
			deeper(after)
		}
	}
	p.reset()
	start := &moment{at: p.q.Start}
	p.remember(start)
	deeper(start)
	return best, plans
}

// greedyOf is the greedy list of some choices: the best rate each time.
func (p *planner) greedyOf(choices []asked) (list []asked) {
	p.reset()
	t, at := 0.0, p.q.Start
	for {
		p.age(t)
		var best followed
		for _, want := range choices {
			if f, ok := p.follow(want, t, at, p.judged); ok && f.rate > best.rate {
				best = f
			}
		}
		if best.time == 0 {
			return list
		}
		list = append(list, best.want)
		p.used += best.ride.Time * p.q.Boat.Power
		p.cover(best)
		t, at = best.start+best.time+p.q.Settings.HandIn, best.end
	}
}

// worthOf is what a list brings.
func (p *planner) worthOf(list []asked) float64 {
	s := &search{p: p}
	p.reset()
	start := &moment{at: p.q.Start}
	p.remember(start)
	s.marks = []*moment{start}
	_, _, value := s.carry(list, 0)
	return value
}

// ratios are shares of the best there is over some cases.
type ratios struct {
	worst, sum float64
	n          int
}

func (r *ratios) add(share float64) {
	if r.n == 0 || share < r.worst {
		r.worst = share
	}
	r.sum += share
	r.n++
}

func (r *ratios) mean() float64 { return r.sum / float64(r.n) }

// smallCases goes through small days and gives the shares of the best reached by
// the greedy list and after some changes tried, for each count of them. Days with
// less than a hundred plans are passed over.
func smallCases(t testing.TB, cases int, lengths [2]float64, tries []int) (greedy ratios, better []ratios, plans int) {
	better = make([]ratios, len(tries))
	for i := 0; greedy.n < cases; i++ {
		q, choices := smallCase(t, i, lengths)
		p := morning(t, q)
		best, n := p.everyPlan(choices)
		if n < 100 { // too easy
			continue
		}
		plans += n
		list := p.greedyOf(choices)
		first := p.worthOf(list)
		greedy.add(first / best)
		for j, tries := range tries {
			value := p.worthOf(p.better(t.Context(), list, choices, tries, true))
			if value > best*(1+1e-6) || value < first*(1-1e-6) {
				t.Errorf("small case %d: %v m² after %d changes, %v before, the best is %v", i, value, tries, first, best)
			}
			better[j].add(value / best)
		}
	}
	return greedy, better, plans
}

// The search against every plan there is, on small days with twelve drifts to
// choose from. Wanted: 98 % in the mean, 90 % at the worst.
func TestSmallCases(t *testing.T) {
	cases := 30
	if testing.Short() {
		cases = 8
	}
	greedy, better, plans := smallCases(t, cases, [2]float64{1800, 3000}, []int{300})
	last := better[0]
	t.Logf("%d cases, %d plans; worst and mean: greedy %.1f, %.1f %%; 300 changes %.1f, %.1f %%", cases, plans,
		100*greedy.worst, 100*greedy.mean(), 100*last.worst, 100*last.mean())
	if last.n != cases || last.mean() < 0.98 || last.worst < 0.9 {
		t.Errorf("%d cases, mean %.3f, worst %.3f", last.n, last.mean(), last.worst)
	}
}

// 40 small days: the worst and the mean share of the best plan there is.
func BenchmarkSmallCases(b *testing.B) {
	report := func(b *testing.B, r ratios) {
		b.ReportMetric(100*r.worst, "worst_%")
		b.ReportMetric(100*r.mean(), "mean_%")
	}
	counts := []int{150, 300, 2000}
	var greedy ratios
	var better []ratios
	b.Run("greedy", func(b *testing.B) {
		plans := 0
		for b.Loop() {
			greedy, better, plans = smallCases(b, 40, [2]float64{1500, 2700}, counts)
		}
		report(b, greedy)
		b.ReportMetric(float64(plans)/40, "plans/case")
	})
	for j, n := range counts {
		if better == nil { // not asked for
			return
		}
		b.Run(fmt.Sprintf("%d changes", n), func(b *testing.B) {
			for b.Loop() {
			}
			report(b, better[j])
		})
	}
}
