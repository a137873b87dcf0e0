package plan

import (
	"math"

	"windlane/drift"
)

// planner is a day in the making. Times are seconds since From.
type planner struct {
	q     Question
	a     *ground
	wind  *drift.Wind
	hours []float64 // when each begins [s]

	effort   []float32 // on each cell, as at From were it spent then [1]
	blank    []float32 // time fished within a patch of each cell [s]
	patch    []int     // half widths of the rows of a patch; none when no patch is judged
	now      float64   // what was fished has faded to then [s]
	fade     float64   // e^(−now/recovery) [1]
	home     rides     // from the jetty
	here     rides     // from the boat
	deadline float64
	used     float64 // energy [J]
	price    float64 // of a second under motor, where the energy is short [m²/s]

	waves  []float64   // significant, by the gust at the longest fetch, for each hour; 0 not judged [m]
	worth  [][]float32 // for each hour, fresh worth round the boat: mean over the disc [1]; nil till asked for
	scaled []float32   // scratch
	masked [][]float32 // the same with −1 where the drift may not go, for one curve

	maskedAs []masking // for which curve, each hour
	worthAge int       // counts the times that worth was forgotten
	rate     []int64   // best rate from each start, quantised; −1 none
	length   []float32 // and how long it then lasts [s]
	starts   []int32   // scratch
	bin      []int16   // which curve belongs to a start; −1 none
	curves   []curve
	lines    lines
	air      airRun
	few      []member

	options    []asked // the best drifts of each hour, for the search
	coarse     coarse
	clearWay   []bool   // scratch
	clearMoves []uint16 // scratch
	round      rides
}

// curve is what all drifts begun at about one time have in common: all starts
// are translations of it.
type curve struct {
	start  float64 // [s]
	setUp  int
	dt     float64 // a step, a cell at the fastest [s]
	gain   float64 // value of a second over water of worth 1 [m²/s]
	margin float64 // to the shore [m]
	offset []int   // cells from the start at the middle of each step
	hour   []int   // whose worth each step reads
}

// masking is what an hour's masked worth depends on.
type masking struct {
	worthAge int
	setUp    int
	margin   float64
}

const (
	binLength  = 600.0 // starts this near in time share a curve [s]
	quantum    = 1e-6  // rates are compared to this [m²/s]
	fewStarts  = 6000  // a lake of no more cells is tried at each of them
	manyStarts = 3e4   // a lake of more starts, land and all, is tried at fewer
)

// hourOf is the hour that holds a time.
func (p *planner) hourOf(t float64) int {
	h := 0
	for h+1 < len(p.hours) && p.hours[h+1] <= t {
		h++
	}
	return h
}

func (p *planner) windSpeed(t float64) float64 {
	e, n := p.wind.At(t)
	return math.Hypot(e, n)
}

// choose is the set-up for a mean wind in m/s.
func (p *planner) choose(wind float64) (setUp int, verdict drift.Verdict) {
	var few [8]float64
	fractions := few[:0]
	for _, s := range p.q.Boat.SetUps {
		fractions = append(fractions, s.Motion.Fraction)
	}
	setUp, _, verdict = drift.Choose(wind, fractions, p.q.Limits.Pace)
	return setUp, verdict
}

// marginOf is how far off a shore a drift begun at a time stays, in whole metres. [m]
func (p *planner) marginOf(setUp int, start float64) float64 {
	fastest := p.q.Boat.SetUps[setUp].Motion.Fraction * p.wind.Strongest(start, start+p.q.Settings.Longest)
	return math.Max(p.q.Limits.LeastMargin, math.Ceil(fastest*p.q.Limits.MarginTime-1e-6))
}

// gainOf is the value of a second over water of worth 1 at a drift's first speed. [m²/s]
func (p *planner) gainOf(setUp int, start float64) float64 {
	return p.q.Settings.Swept * p.onePass(p.q.Boat.SetUps[setUp].Motion.Fraction*p.windSpeed(start))
}

// curveAt lays the curve of drifts begun at a time.
func (p *planner) curveAt(t float64) curve {
	s := p.q.Settings
	c := curve{start: t}
	c.setUp, _ = p.choose(p.windSpeed(t))
	m := p.q.Boat.SetUps[c.setUp].Motion
	c.margin, c.gain = p.marginOf(c.setUp, t), p.gainOf(c.setUp, t)
	c.dt = p.pacing(m, t, s.Longest, p.a.g.Cell)
	n := int(s.Longest / c.dt)
	c.offset, c.hour = make([]int, n), make([]int, n)
	air, by := p.airFrom(t, s.Longest), motionOf(m)
	for i := range n {
		after := (float64(i) + 0.5) * c.dt // the middle of the step stands for it
		e, north := air.at(by, after)
		c.offset[i] = int(math.Floor(north/p.a.g.Cell+0.5))*p.a.g.W + int(math.Floor(e/p.a.g.Cell+0.5))
		c.hour[i] = p.hourOf(t + after)
	}
	return c
}

// onePass is the share of the water covered in one pass that is not covered
// twice in it: (1−e^−x)/x with x = swept/(2·reach·speed).
func (p *planner) onePass(speed float64) float64 {
	x := p.q.Settings.Swept / (2 * p.q.Settings.Reach * math.Max(speed, 1e-6))
	if x < 1e-6 {
		return 1
	}
	return -math.Expm1(-x) / x
}

// allowed says whether a drift may be on a cell.
func (p *planner) allowed(k int, setUp int, margin float64) bool {
	return !p.a.off[k] && p.a.motor[k] && float64(p.a.shore[k]) >= margin &&
		float64(p.a.depth[k]) >= float64(p.q.Boat.SetUps[setUp].LeastDepth)
}

// scan finds for starts a reach apart (each cell where there are few) the length of
// drift with the best rate: value over the time of ride, drogue and drift; while
// the wind is steady by sums along lines, else by walking the curve from each.
// Without rides each start is taken as at hand, and neither hours nor energy end
// anything.
func (p *planner) scan(t float64, here *rides) {
	s, speed := p.q.Settings, p.q.Boat.Speed
	steady := here != nil && p.steady(t)
	every := p.apart(here == nil)
	bins := 1
	for k := range p.rate {
		p.rate[k], p.bin[k] = -1, -1
		switch {
		case !p.a.motor[k] || p.a.off[k] || math.IsInf(float64(p.home.metres[k]), 1):
		case every > 1 && (k%p.a.g.W%every != 0 || k/p.a.g.W%every != 0):
		case here == nil:
			p.bin[k] = 0
		case !math.IsInf(float64(here.metres[k]), 1):
			b := int(float64(here.metres[k]) / speed / binLength)
			p.bin[k] = int16(b)
			bins = max(bins, b+1)
		}
	}
	p.curves, p.lines.laid = p.curves[:0], false
	for b := range bins {
		start := t
		if here != nil {
			start += s.PutOut + (float64(b)+0.5)*binLength
		}
		if here != nil && start-binLength/2+s.Shortest > p.deadline {
			p.curves = append(p.curves, curve{})
			continue
		}
		p.curves = append(p.curves, p.curveAt(start))
		if steady {
			p.sumBin(int16(b), here)
		} else {
			p.walkBin(int16(b), here)
		}
	}
}

// apart is how many cells lie between two starts that are tried: about one reach,
// half as much again on a wide lake and where they are only to be looked at; every
// cell is one where there are few.
func (p *planner) apart(looked bool) int {
	metres := 20.0
	if float64(p.a.g.Len())*p.a.g.Cell*p.a.g.Cell/(metres*metres) > manyStarts || looked {
		metres = 30
	}
	if p.a.g.Len() <= fewStarts && !looked {
		return 1
	}
	return max(1, int(metres/p.a.g.Cell+0.5))
}

// mask is the fresh worth in the hours of a curve, with −1 where the drift may
// not go: one read a step. What was masked alike before is kept.
func (p *planner) mask(c curve) {
	if len(p.masked) == 0 {
		p.masked, p.maskedAs = make([][]float32, len(p.hours)), make([]masking, len(p.hours))
	}
	as := masking{p.worthAge, c.setUp, c.margin}
	for h := c.hour[0]; h <= c.hour[len(c.hour)-1]; h++ {
		field := p.fresh(h)
		if p.maskedAs[h] == as {
			continue
		}
		if p.masked[h] == nil {
			p.masked[h] = make([]float32, len(field))
		}
		p.maskedAs[h] = as
		masked := p.masked[h]
		if h > c.hour[0] { // kept off in one hour, kept off in all
			for k, first := range p.masked[c.hour[0]] {
				masked[k] = first
				if first >= 0 {
					masked[k] = field[k]
				}
			}
			continue
		}
		off, motor, shore, depth := p.a.off, p.a.motor, p.a.shore, p.a.depth
		least := float64(p.q.Boat.SetUps[c.setUp].LeastDepth)
		for k, f := range field { // allowed, for all
			masked[k] = -1
			if motor[k] && !off[k] && float64(shore[k]) >= c.margin && float64(depth[k]) >= least {
				masked[k] = f
			}
		}
	}
}

// terms are what starts of one curve cost and leave.
type terms struct {
	p     *planner
	here  *rides
	fixed float64 // time for the drogue [s]
	until float64 // from when the boat sets out till it has to be home [s]
	most  float64 // no drift is longer [s]
}

func (p *planner) termsOf(c curve, b int16, here *rides) terms {
	s := p.q.Settings
	return terms{
		p: p, here: here, fixed: s.PutOut + s.HandIn, until: p.deadline - (c.start - (float64(b)+0.5)*binLength) - s.HandIn,
		most: math.Min(s.Longest, p.knownFor(c.start)+binLength/2), // followed exactly later
	}
}

// of a start: the time before and after the drift, what the ride is worth in
// energy, and how long the drift may last; ok is false where the energy does not
// last. The nearest way home from the start stands for the way from the end: the
// exact check comes later.
func (m *terms) of(k int) (lead, toll, most float64, ok bool) {
	if m.here == nil {
		return m.fixed, 0, m.most, true
	}
	speed := m.p.q.Boat.Speed
	ride, home := float64(m.here.metres[k])/speed, float64(m.p.home.metres[k])/speed
	left := m.until - ride - (1+m.p.q.Limits.Reserve)*home
	return m.fixed + ride, m.p.price * ride, min(m.most, left), m.p.enough(ride + home)
}

// walkBin walks the curve from each of its starts.
func (p *planner) walkBin(b int16, here *rides) {
	c := p.curves[b]
	p.mask(c)
	// Steps that read one field, before and from the shortest length on.
	type stretch struct {
		field  []float32
		offset []int
		judged bool
	}
	least := max(1, int(math.Ceil(p.q.Settings.Shortest/c.dt)))
	var stretches []stretch
	for i, h := range c.hour {
		if i == 0 || h != c.hour[i-1] || i == least-1 {
			stretches = append(stretches, stretch{field: p.masked[h], judged: i >= least-1})
		}
		last := &stretches[len(stretches)-1]
		last.offset = append(last.offset, c.offset[i])
	}
	step, m := c.gain*c.dt, p.termsOf(c, b, here)
	start := p.masked[c.hour[0]]
	for k, kb := range p.bin {
		if kb != b || start[k] < 0 {
			continue
		}
		lead, toll, longest, ok := m.of(k)
		most := min(len(c.offset), int(longest/c.dt))
		if !ok {
			continue
		}
		sum, bestSum := -toll/step, 0.0
		bestTime, bestN, n := 1.0, 0, 0
	walk:
		for _, w := range stretches {
			steps := w.offset[:max(0, min(len(w.offset), most-n))]
			n += len(steps)
			if !w.judged {
				for _, o := range steps {
					f := w.field[k+o]
					if f < 0 {
						break walk
					}
					sum += float64(f)
				}
				continue
			}
			time := lead + float64(n-len(steps))*c.dt
			for i, o := range steps {
				f := w.field[k+o]
				if f < 0 {
					break walk
				}
				sum += float64(f)
				time += c.dt
				if sum*bestTime > bestSum*time {
					bestSum, bestTime, bestN = sum, time, n-len(steps)+i+1
				}
			}
		}
		if bestN > 0 {
			p.rate[k] = int64(math.Round(bestSum * step / bestTime / quantum))
			p.length[k] = float32(float64(bestN) * c.dt)
		}
	}
}

// enough says whether the energy lasts for some time under motor, the reserve kept.
func (p *planner) enough(motor float64) bool {
	b := p.q.Boat
	return b.Energy == 0 || p.used+motor*b.Power <= b.Energy*(1-p.q.Limits.Reserve)
}

// pick takes the best starts of a scan, each a lane of its own: a start that
// would share half its way with one already taken is passed over. Ties go to
// the lower cell.
func (p *planner) pick(n int) []int {
	p.starts = p.starts[:0]
	for k, r := range p.rate {
		if r > 0 {
			p.starts = append(p.starts, int32(k))
		}
	}
	var out []int
	for len(out) < n {
		best, most := -1, int64(0)
		for _, k := range p.starts {
			if r := p.rate[k]; r > most {
				best, most = int(k), r
			}
		}
		if best < 0 {
			break
		}
		out = append(out, best)
		c := p.curves[p.bin[best]]
		half := int(float64(p.length[best])/c.dt) / 2
		for i := 0; i < half; i += 2 { // each cell of the way, forward and back
			p.strike(best + c.offset[i])
			p.strike(best - c.offset[i])
		}
		p.strike(best)
	}
	return out
}

// strike takes the starts within two reaches of a cell out of a scan.
func (p *planner) strike(k int) {
	w, h := p.a.g.W, p.a.g.H
	if k < 0 || k >= p.a.g.Len() {
		return
	}
	m := int(2*p.q.Settings.Reach/p.a.g.Cell + 0.5)
	i, j := k%w, k/w
	for dj := max(0, j-m); dj <= min(h-1, j+m); dj++ {
		for di := max(0, i-m); di <= min(w-1, i+m); di++ {
			p.rate[dj*w+di] = -1
		}
	}
}
