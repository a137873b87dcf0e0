package plan

import (
	"math"

	"windlane/grid"
)

// lines are the digital lines of a wind that does not turn: every cell lies on
// exactly one of them, and the cell next on it is one on along the major axis
// and, now and then, one across. Sums along them give the value of a drift of any
// length from any start by two reads.
type lines struct {
	laid    bool
	east    bool        // the major axis runs east; else north
	forward int         // +1 or −1 along it
	slope   float64     // cells across for each along [1]
	way     float64     // of one step [cells]
	across  []int32     // for each place along the axis, cells across up to there
	clear   []int32     // steps from each cell till the drift may not go on
	sum     [][]float64 // for each hour of the question, worth from each cell to the line's end; empty till asked for
	setUp   int
	margin  float64
}

// steady says whether the wind holds for the next four hours, or to the end of
// the day: to half a hundredth, by which no track is half a cell out.
func (p *planner) steady(t float64) bool {
	e0, n0 := p.wind.At(t)
	speed := math.Hypot(e0, n0)
	end := math.Min(p.deadline, t+4*3600)
	for _, at := range append([]float64{end}, p.hours...) {
		if at < t || at > end {
			continue
		}
		e, n := p.wind.At(at)
		if math.Hypot(e-e0, n-n0) > 0.005*speed {
			return false
		}
	}
	return speed > 0
}

// lay finds the lines and how far each cell's is clear for a curve.
func (l *lines) lay(p *planner, c curve) {
	g := p.a.g
	if l.laid && l.setUp == c.setUp && l.margin == c.margin {
		return
	}
	m := motionOf(p.q.Boat.SetUps[c.setUp].Motion)
	e, n := p.wind.At(c.start)
	east, north := m.c*e+m.s*n, m.c*n-m.s*e
	l.laid, l.setUp, l.margin = true, c.setUp, c.margin
	l.east = math.Abs(east) >= math.Abs(north)
	along, across, size := north, east, g.H
	if l.east {
		along, across, size = east, north, g.W
	}
	l.forward, l.slope = 1, across/along
	if along < 0 {
		l.forward = -1
	}
	l.way = math.Hypot(1, l.slope)
	l.across = l.across[:0]
	for a := range size {
		l.across = append(l.across, int32(math.Floor(l.slope*float64(a)+0.5)))
	}
	if len(l.clear) != g.Len() {
		l.clear = make([]int32, g.Len())
		l.sum = make([][]float64, len(p.hours))
	}
	for h := range l.sum {
		l.sum[h] = l.sum[h][:0]
	}
	for k := range l.clear {
		l.clear[k] = 0
		if p.allowed(k, c.setUp, c.margin) {
			l.clear[k] = 1
		}
	}
	l.back(g, func(here, there, count, stride int) {
		for range count {
			if l.clear[here] > 0 {
				l.clear[here] += l.clear[there]
			}
			here, there = here+stride, there+stride
		}
	})
}

// back goes up the wind through the rows of cells that lie across it, and gives
// of each the cells that have a next one on their line: the first, the one next
// to it, how many there are and how far apart.
func (l *lines) back(g grid.Grid, visit func(here, there, count, stride int)) {
	size, other, ahead, stride := g.H, g.W, g.W, 1
	if l.east {
		size, other, ahead, stride = g.W, g.H, 1, g.W
	}
	for i := 1; i < size; i++ {
		a := i
		if l.forward > 0 {
			a = size - 1 - i
		}
		shift := int(l.across[a+l.forward] - l.across[a])
		first, last := max(0, -shift), min(other, other-shift)
		if first < last {
			here := a*ahead + first*stride
			visit(here, here+l.forward*ahead+shift*stride, last-first, stride)
		}
	}
}

// after is the cell some steps down the line of another, which has as many.
func (l *lines) after(w, k, steps int) int {
	a, stride, side := k/w, w, 1
	if l.east {
		a, stride, side = k%w, 1, w
	}
	to := a + steps*l.forward
	return k + (to-a)*stride + int(l.across[to]-l.across[a])*side
}

// total is an hour's worth from each cell to its line's end.
func (l *lines) total(p *planner, h int) []float64 {
	if len(l.sum[h]) > 0 {
		return l.sum[h]
	}
	if cap(l.sum[h]) == 0 {
		l.sum[h] = make([]float64, p.a.g.Len())
	}
	l.sum[h] = l.sum[h][:p.a.g.Len()]
	sum := l.sum[h]
	for k, f := range p.fresh(h) {
		sum[k] = float64(f)
	}
	l.back(p.a.g, func(here, there, count, stride int) {
		for range count {
			sum[here] += sum[there]
			here, there = here+stride, there+stride
		}
	})
	return sum
}

// lengths is how many lengths of drift are looked at for a start, besides the
// longest it has.
const lengths = 8

// sumBin finds the best length from each start of a curve by sums along lines.
func (p *planner) sumBin(b int16, here *rides) {
	c, l, w := p.curves[b], &p.lines, p.a.g.W
	l.lay(p, c)
	speed := p.q.Boat.SetUps[c.setUp].Motion.Fraction * p.windSpeed(c.start)
	dt := l.way * p.a.g.Cell / speed // of a step
	least, whole := max(1, int(math.Ceil(p.q.Settings.Shortest/dt))), int(p.q.Settings.Longest/dt)
	// The steps up to which each hour is read.
	type part struct {
		sum   []float64
		field []float32
		until int
	}
	var parts []part
	for h := p.hourOf(c.start); len(parts) == 0 || parts[len(parts)-1].until < whole; h++ {
		until := whole
		if h+1 < len(p.hours) {
			until = max(0, min(whole, int(math.Ceil((p.hours[h+1]-c.start)/dt))))
		}
		parts = append(parts, part{l.total(p, h), p.fresh(h), until})
	}
	// The worth of so many steps: half the cells at both ends, all between.
	worth := func(k, steps int) float64 {
		total, at, done := -float64(parts[0].field[k])/2, k, 0
		for i := range parts {
			q := &parts[i]
			if to := min(steps, q.until); to > done {
				next := l.after(w, k, to)
				total += q.sum[at] - q.sum[next]
				at, done = next, to
			}
			if done == steps {
				return total + float64(q.field[at])/2
			}
		}
		return total
	}
	m := p.termsOf(c, b, here)
	for k, kb := range p.bin {
		if kb != b || int(l.clear[k]) <= least {
			continue
		}
		lead, toll, longest, ok := m.of(k)
		most := min(int(l.clear[k])-1, int(longest/dt), whole)
		if !ok || most < least {
			continue
		}
		best, bestSteps := 0.0, 0
		gap := max(1, (whole-least)/lengths)
		for n := least; ; n = min(n+gap, most) {
			if r := (worth(k, n)*c.gain*dt - toll) / (lead + float64(n)*dt); r > best {
				best, bestSteps = r, n
			}
			if n == most {
				break
			}
		}
		if bestSteps > 0 {
			p.rate[k] = int64(math.Round(best / quantum))
			p.length[k] = float32(float64(bestSteps) * dt)
		}
	}
}
