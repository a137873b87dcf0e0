package plan

import (
	"context"
	"math"

	"github.com/paulmach/orb"
)

// chance is a small generator of numbers that look random (splitmix64, Steele,
// Lea and Flood 2014): the same seed, the same numbers, on every machine.
type chance uint64

func (c *chance) next() uint64 {
	*c += 0x9e3779b97f4a7c15
	z := uint64(*c)
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// below is a number from 0 to n−1.
func (c *chance) below(n int) int { return int(c.next() >> 1 % uint64(n)) }

// share is a number from 0 to 1.
func (c *chance) share() float64 { return float64(c.next()>>11) / (1 << 53) }

// moment is a day so far, at the end of a drift.
type moment struct {
	t      float64 // free for the next ride [s]
	at     orb.Point
	used   float64 // energy [J]
	value  float64 // [m²]
	effort []float32
	blank  []float32
}

func (p *planner) remember(m *moment) {
	m.effort, m.blank = append(m.effort[:0], p.effort...), append(m.blank[:0], p.blank...)
}

func (p *planner) restore(m *moment) {
	copy(p.effort, m.effort)
	copy(p.blank, m.blank)
	p.used = m.used
	p.forget()
}

// search betters a list of drifts by small changes.
type search struct {
	p     *planner
	list  []asked
	marks []*moment // before each drift, and after the last
	value float64
	pool  []asked // drifts worth trying, in any order
	bound bool    // only drifts of the pool are allowed
	dice  chance
	spare []*moment
}

// stale is how many changes in a row may fail before the search goes back to the
// best list, takes a few drifts out of it and begins from there.
const stale = 150

// heat is how much worse than the last a list may be and still be gone on from,
// in the mean, as a share of its value: at first; less and less to the end (so
// called annealing, Kirkpatrick, Gelatt and Vecchi 1983).
const heat = 0.001

// better tries changes to a day's drifts, scored by rides that are only judged,
// and gives the best list found.
func (p *planner) better(ctx context.Context, list, pool []asked, tries int, bound bool) []asked {
	s := &search{p: p, pool: pool, bound: bound, dice: chance(p.q.Settings.Seed)}
	start := &moment{at: p.q.Start}
	p.reset()
	p.remember(start)
	s.marks = []*moment{start}
	s.list, s.marks, s.value = s.carry(list, 0)
	best, bestValue := s.list, s.value
	failed := 0
	for n := 0; n < tries && ctx.Err() == nil && len(pool) > 0; n++ {
		restart := failed >= stale
		if restart {
			s.spare = append(s.spare, s.marks[1:]...)
			s.marks = s.marks[:1]
			s.list, s.marks, s.value = s.carry(best, 0)
			failed = 0
		}
		changed, from := s.change(restart)
		if changed == nil {
			continue
		}
		list, marks, value := s.carry(changed, from)
		warm := -math.Log(1-s.dice.share()) * heat * s.value * (1 - float64(n)/float64(tries))
		if !restart && !(math.Round(value) > math.Round(s.value-warm)) {
			failed++
			s.spare = append(s.spare, marks[from+1:]...)
			continue
		}
		if math.Round(value) <= math.Round(s.value) {
			failed++
		} else {
			failed = 0
		}
		s.spare = append(s.spare, s.marks[from+1:]...)
		s.list, s.marks, s.value = list, marks, value
		if math.Round(value) > math.Round(bestValue) {
			best, bestValue = list, value
		}
	}
	return best
}

// carry makes the drifts of a list from one of them on, and leaves out those
// that cannot be made.
func (s *search) carry(list []asked, from int) (made []asked, marks []*moment, value float64) {
	p := s.p
	now := s.marks[from]
	made, marks = append(made, list[:from]...), append(marks, s.marks[:from+1]...)
	p.restore(now)
	value = now.value
	t, at := now.t, now.at
	for _, want := range list[from:] {
		if len(made) == p.q.Settings.Most && p.q.Settings.Most > 0 {
			break
		}
		p.age(t)
		f, ok := p.follow(want, t, at, p.judged)
		if !ok { // after a wait, perhaps
			if begin, till, _ := p.soonIdle(t); till > begin && till < p.deadline {
				p.age(till)
				f, ok = p.follow(want, till, at, p.judged)
			}
		}
		if !ok {
			continue
		}
		p.used += f.ride.Time * p.q.Boat.Power
		p.cover(f)
		value += f.value
		t, at = f.start+f.time+p.q.Settings.HandIn, f.end
		after := &moment{}
		if n := len(s.spare); n > 0 {
			after, s.spare = s.spare[n-1], s.spare[:n-1]
		}
		after.t, after.at, after.used, after.value = t, at, p.used, value
		p.remember(after)
		made, marks = append(made, want), append(marks, after)
	}
	return made, marks, value
}

// change is the list with one thing changed, and from which drift on it differs;
// nil where the dice gave nothing to change. After many failures it is the list
// with a few drifts out and others in.
func (s *search) change(restart bool) (list []asked, from int) {
	n, dice := len(s.list), &s.dice
	list = append(list, s.list...)
	any := func() asked { return s.pool[dice.below(len(s.pool))] }
	insert := func(i int, a asked) { list = append(list[:i], append([]asked{a}, list[i:]...)...) }
	if restart {
		from = n
		for range 1 + dice.below(max(3, n/2)) {
			i := dice.below(n + 1)
			from = min(from, i)
			if i < len(list) {
				list = append(list[:i], list[i+1:]...)
			}
			insert(min(i, len(list)), any())
		}
		return list, from
	}
	kinds := 8
	if s.bound { // the last four leave the pool
		kinds = 4
	}
	what := dice.below(kinds)
	switch {
	case n == 0 || what == 0: // one more
		i := dice.below(n + 1)
		insert(i, any())
		return list, i
	case what == 1: // another in its place
		i := dice.below(n)
		list[i] = any()
		return list, i
	case what == 2: // one less
		i := dice.below(n)
		return append(list[:i], list[i+1:]...), i
	case what == 3: // the other way round
		i, j := dice.below(n), dice.below(n)
		list[i], list[j] = list[j], list[i]
		if list[i] == list[j] {
			return nil, 0
		}
		return list, min(i, j)
	case what <= 5: // begun elsewhere near by
		i := dice.below(n)
		cell := s.p.a.g.Cell
		reach := 2 + 10*dice.share()*dice.share()
		list[i].at[0] += cell * math.Round(reach*(2*dice.share()-1))
		list[i].at[1] += cell * math.Round(reach*(2*dice.share()-1))
		return list, i
	default: // longer or shorter
		i := dice.below(n)
		q := s.p.q.Settings
		list[i].time = math.Max(q.Shortest, math.Min(q.Longest, list[i].time*math.Exp(0.8*(dice.share()-0.5))))
		return list, i
	}
}

// coarse is the lake in wider cells, for rides that are only judged, and the
// rides already looked for from them.
type coarse struct {
	ground *ground
	step   int // cells of the lake to one of these
	from   map[int][]float32
}

const coarseCell = 40.0 // [m]

// judged is the way to a place, straight where that is clear, else about as long
// as the way over wider cells.
func (p *planner) judged(t float64, from, to orb.Point) (r Ride, ok bool) {
	straight := math.Hypot(to[0]-from[0], to[1]-from[1])
	along := p.rideTime(t, false)
	if p.a.sees(from, to) {
		return Ride{Metres: straight, Time: along(to[0]-from[0], to[1]-from[1])}, true
	}
	if k, in := p.a.g.Index(to[0], to[1]); !in || !p.a.motor[k] {
		return r, false
	}
	metres := p.coarsely(from, to)
	if math.IsInf(metres, 1) { // through where the wider cells see no way
		k, ok := p.a.launch(from)
		if !ok {
			return r, false
		}
		p.a.motorFrom(k, &p.here)
		return p.ride(&p.here, t, from, to)
	}
	metres = math.Max(metres, straight)
	if straight == 0 {
		return Ride{Metres: metres, Time: metres / p.q.Boat.Speed}, true
	}
	return Ride{Metres: metres, Time: along(to[0]-from[0], to[1]-from[1]) * metres / straight}, true
}

func (p *planner) coarsely(from, to orb.Point) float64 {
	c := &p.coarse
	if c.ground == nil {
		c.lay(p.a)
	}
	a, okA := c.ground.launch(from)
	b, okB := c.ground.launch(to)
	if !okA || !okB {
		return math.Inf(1)
	}
	metres, known := c.from[a]
	if !known {
		var r rides
		c.ground.motorFrom(a, &r)
		metres = r.metres
		c.from[a] = metres
	}
	return float64(metres[b])
}

// lay makes the wider cells: passable where most of theirs are.
func (c *coarse) lay(a *ground) {
	c.step = max(1, int(coarseCell/a.g.Cell+0.5))
	c.from = map[int][]float32{}
	g := a.g
	g.W, g.H, g.Cell = (g.W+c.step-1)/c.step+2, (g.H+c.step-1)/c.step+2, g.Cell*float64(c.step)
	g.X0, g.Y0 = g.X0-g.Cell, g.Y0-g.Cell // a rim, never passable
	c.ground = &ground{g: g, motor: make([]bool, g.Len())}
	count := make([]int, g.Len())
	for k, passable := range a.motor {
		if passable {
			count[(k/a.g.W/c.step+1)*g.W+k%a.g.W/c.step+1]++
		}
	}
	for k, n := range count {
		c.ground.motor[k] = 2*n > c.step*c.step
	}
}
