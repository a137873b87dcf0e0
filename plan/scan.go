package plan

import (
	"math"

	"github.com/paulmach/orb"

	"windlane/drift"
)

// planner is a day in the making. Times are seconds since From.
type planner struct {
	q     Question
	a     *ground
	wind  *drift.Wind
	hours []float64 // when each begins [s]

	effort   []float32 // on each cell at effortAt [1]
	effortAt float64
	blank    []float32 // time fished within a patch of each cell [s]
	patch    []int     // half widths of the rows of a patch; none when no patch is judged
	home     rides     // from the jetty
	here     rides     // from the boat
	deadline float64
	used     float64 // energy [J]

	waves  []float64   // significant, by the gust at the longest fetch, for each hour; 0 not judged [m]
	worth  [][]float32 // for each hour, fresh worth round the boat: mean over the disc [1]; nil till asked for
	scaled []float32   // scratch
	masked [][]float32 // the same with −1 where the drift may not go, for one curve
	rate   []int64     // best rate from each start, quantised; −1 none
	length []int32     // and its length in steps of its curve
	bin    []int16     // which curve belongs to a start; −1 none
	curves []curve
}

// curve is what all drifts begun at about one time have in common: all starts
// are translations of it.
type curve struct {
	start  float64 // [s]
	setUp  int
	dt     float64 // a step, half a cell at the fastest [s]
	gain   float64 // value of a step over water of worth 1 [m²]
	margin float64 // to the shore [m]
	offset []int   // cells from the start at the middle of each step
	hour   []int   // whose worth each step reads
}

const (
	binLength = 600.0 // starts this near in time share a curve [s]
	quantum   = 1e-6  // rates are compared to this [m²/s]
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
	fractions := make([]float64, len(p.q.Boat.SetUps))
	for i, s := range p.q.Boat.SetUps {
		fractions[i] = s.Motion.Fraction
	}
	setUp, _, verdict = drift.Choose(wind, fractions, p.q.Limits.Pace)
	return setUp, verdict
}

// curveAt lays the curve of drifts begun at a time.
func (p *planner) curveAt(t float64) curve {
	s := p.q.Settings
	c := curve{start: t}
	c.setUp, _ = p.choose(p.windSpeed(t))
	m := p.q.Boat.SetUps[c.setUp].Motion
	fastest := m.Fraction * p.wind.Strongest(t, t+s.Longest)
	c.margin = math.Max(p.q.Limits.LeastMargin, fastest*p.q.Limits.MarginTime)
	c.dt = math.Min(60, p.a.g.Cell/2/math.Max(fastest, 1e-6))
	c.gain = s.Swept * c.dt * p.onePass(m.Fraction*p.windSpeed(t))
	n := int(s.Longest / c.dt)
	c.offset, c.hour = make([]int, n), make([]int, n)
	for i := range n {
		after := (float64(i) + 0.5) * c.dt // the middle of the step stands for it
		e, north := m.Path(p.wind, t, t+after)
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

// age lets the effort fade to a time.
func (p *planner) age(t float64) {
	if t <= p.effortAt {
		return
	}
	fade := float32(math.Exp(-(t - p.effortAt) / p.q.Settings.Recovery))
	for k := range p.effort {
		p.effort[k] *= fade
	}
	p.effortAt = t
	p.forget()
}

// forget drops what was worked out from the effort.
func (p *planner) forget() {
	for h := range p.worth {
		p.worth[h] = p.worth[h][:0]
	}
}

// fresh is an hour's worth round the boat with what earlier drifts have
// covered taken off: mean over the disc of w·e^−E.
func (p *planner) fresh(h int) []float32 {
	if len(p.worth[h]) > 0 {
		return p.worth[h]
	}
	for k, w := range p.q.Hours[h].Worth {
		switch e := p.effort[k]; {
		case !(w > 0) || !p.a.wet[k]:
			w = 0
		case e > 1e-4 || p.blank[k] > 0:
			w *= float32(math.Exp(-float64(e) - p.doubt(k)))
		}
		p.scaled[k] = w
	}
	if cap(p.worth[h]) == 0 {
		p.worth[h] = make([]float32, len(p.scaled))
	}
	p.worth[h] = p.worth[h][:len(p.scaled)]
	p.a.mean(p.scaled, p.worth[h])
	return p.worth[h]
}

// doubt is how far what was fished of a cell's patch has told against it, were
// nothing met there: a plan is for such a day, and where fish are met one stays. [1]
func (p *planner) doubt(k int) float64 {
	if p.q.Settings.Patch <= 0 {
		return 0
	}
	return float64(p.blank[k]) / p.q.Settings.Blank
}

// scan finds for every start the length of drift with the best rate: value over
// the time of ride, drogue and drift. Without rides every fourth start is tried,
// each as if at hand, and neither hours nor energy end anything.
func (p *planner) scan(t float64, here *rides) {
	s, speed := p.q.Settings, p.q.Boat.Speed
	bins := 1
	for k := range p.rate {
		p.rate[k], p.bin[k] = -1, -1
		switch {
		case !p.a.motor[k] || p.a.off[k] || math.IsInf(float64(p.home.metres[k]), 1):
		case here == nil: // options are for looking at: every other row and column will do
			if k%p.a.g.W%2 == 0 && k/p.a.g.W%2 == 0 {
				p.bin[k] = 0
			}
		case !math.IsInf(float64(here.metres[k]), 1):
			b := int(float64(here.metres[k]) / speed / binLength)
			p.bin[k] = int16(b)
			bins = max(bins, b+1)
		}
	}
	p.curves = p.curves[:0]
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
		p.scanBin(int16(b), here)
	}
}

// scanBin walks the curve from each of its starts.
func (p *planner) scanBin(b int16, here *rides) {
	c := p.curves[b]
	s, speed := p.q.Settings, p.q.Boat.Speed
	// Fields with −1 where the drift may not go: one read a step.
	first, last := c.hour[0], c.hour[len(c.hour)-1]
	for h := first; h <= last; h++ {
		field := p.fresh(h)
		if len(p.masked) <= h-first {
			p.masked = append(p.masked, make([]float32, len(field)))
		}
		for k, f := range field {
			if !p.allowed(k, c.setUp, c.margin) {
				f = -1
			}
			p.masked[h-first][k] = f
		}
	}
	// Steps that read one field, before and from the shortest length on.
	type stretch struct {
		field  []float32
		offset []int
		judged bool
	}
	least := max(1, int(math.Ceil(s.Shortest/c.dt)))
	var stretches []stretch
	for i, h := range c.hour {
		if i == 0 || h != c.hour[i-1] || i == least-1 {
			stretches = append(stretches, stretch{field: p.masked[h-first], judged: i >= least-1})
		}
		last := &stretches[len(stretches)-1]
		last.offset = append(last.offset, c.offset[i])
	}
	reserve := 1 + p.q.Limits.Reserve
	known := int(math.Min(float64(len(c.offset)), (p.knownFor(c.start)+binLength/2)/c.dt)) // followed exactly later
	for k, kb := range p.bin {
		if kb != b || p.masked[0][k] < 0 {
			continue
		}
		lead, most := s.PutOut+s.HandIn, known
		if here != nil {
			ride := float64(here.metres[k]) / speed
			lead += ride
			// Time left for the drift itself, the nearest way home from its start
			// taken as the way from its end: the exact check comes later.
			left := p.deadline - (c.start - (float64(b)+0.5)*binLength) - ride - s.HandIn - reserve*float64(p.home.metres[k])/speed
			most = min(most, int(left/c.dt))
			if !p.enough(ride + float64(p.home.metres[k])/speed) {
				continue
			}
		}
		var sum, bestSum float64
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
			p.rate[k] = int64(math.Round(bestSum * c.gain / bestTime / quantum))
			p.length[k] = int32(bestN)
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
	var out []int
	for len(out) < n {
		best := -1
		for k, r := range p.rate {
			if r > 0 && (best < 0 || r > p.rate[best]) {
				best = k
			}
		}
		if best < 0 {
			break
		}
		out = append(out, best)
		c := p.curves[p.bin[best]]
		half := int(p.length[best]) / 2
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

// followed is one drift followed exactly.
type followed struct {
	x, y   float64
	setUp  int
	start  float64 // [s]
	time   float64 // how long it lasts [s]
	clear  float64 // how long it could [s]
	end    orb.Point
	value  float64 // [m²]
	margin float64 // [m]
	ride   Ride
	rate   float64 // [m²/s]
	ending Ending
}

// reach is how long a drift from a place stays where it may be, and where it
// then is. Its way is taken in chords of ten seconds, of which every cell counts:
// the same chords whatever the length asked for.
func (p *planner) reach(x, y, start, longest float64, setUp int, margin float64, m drift.Motion) (float64, orb.Point) {
	const chord = 10.0
	at := func(after float64) orb.Point {
		e, n := m.Path(p.wind, start, start+after)
		return orb.Point{x + e, y + n}
	}
	may := func(k int) bool { return p.allowed(k, setUp, margin) }
	here := orb.Point{x, y}
	if !p.a.touches(here, here, may) {
		return 0, here
	}
	for t := 0.0; t < longest; t += chord {
		next := at(math.Min(t+chord, longest))
		if !p.a.touches(here, next, may) {
			near, far := t, math.Min(t+chord, longest)
			for far-near > 1e-3 {
				if mid := (near + far) / 2; p.a.touches(here, at(mid), may) {
					near = mid
				} else {
					far = mid
				}
			}
			return near, at(far)
		}
		here = next
	}
	return longest, here
}

// value is what a drift covers: the steps of its curve, each worth the fresh
// water round the boat at that hour.
func (p *planner) value(x, y, start, time float64, m drift.Motion, fields func(h int) []float32) float64 {
	dt := math.Min(60, p.a.g.Cell/2/math.Max(m.Fraction*p.wind.Strongest(start, start+time), 1e-6))
	sum := 0.0
	for at := 0.0; at < time; at += dt {
		step := math.Min(dt, time-at)
		e, n := m.Path(p.wind, start, start+at+step/2)
		if k, ok := p.a.g.Index(x+e, y+n); ok {
			sum += step * float64(fields(p.hourOf(start + at + step/2))[k])
		}
	}
	return p.q.Settings.Swept * p.onePass(m.Fraction*p.windSpeed(start)) * sum
}

// follow goes along a scan's start exactly: the way there, the true time of its
// beginning, the place where it has to end.
func (p *planner) follow(k int, t float64, from orb.Point) (followed, bool) {
	s := p.q.Settings
	c := p.curves[p.bin[k]]
	f := followed{setUp: c.setUp}
	f.x, f.y = p.a.g.Centre(k)
	var ok bool
	if f.ride, ok = p.ride(&p.here, t, from, orb.Point{f.x, f.y}); !ok {
		return f, false
	}
	f.start = t + f.ride.Time + s.PutOut
	if p.windSpeed(f.start) < p.q.Limits.Calm {
		return f, false
	}
	motion := p.q.Boat.SetUps[f.setUp].Motion
	f.margin = math.Max(p.q.Limits.LeastMargin, motion.Fraction*p.wind.Strongest(f.start, f.start+s.Longest)*p.q.Limits.MarginTime)
	f.clear, f.end = p.reach(f.x, f.y, f.start, math.Min(s.Longest, p.knownFor(f.start)), f.setUp, f.margin, motion)
	f.time, f.ending = float64(p.length[k])*c.dt, AtPoorer
	if f.time+c.dt >= f.clear {
		f.time, f.ending = f.clear, p.stopped(f)
	}
	if sure := p.sure(f); sure < f.time {
		f.time, f.ending = sure, AtSpread
	}
	f.time = math.Floor(f.time) // whole seconds, and inside what it may not cross
	spare, ok := p.homeInTime(&f, motion)
	if !ok || f.time < s.Shortest {
		return f, false
	}
	if f.ending == AtPoorer && spare <= c.dt { // the scan stopped it for the same reason
		f.ending = AtTime
	}
	f.value = p.value(f.x, f.y, f.start, f.time, motion, p.fresh)
	f.rate = f.value / (f.ride.Time + s.PutOut + f.time + s.HandIn)
	return f, true
}

// stopped says what a drift that can go no further meets.
func (p *planner) stopped(f followed) Ending {
	switch {
	case f.clear >= p.q.Settings.Longest:
		return AtLongest
	case f.clear >= p.knownFor(f.start):
		return AtWind
	}
	k, ok := p.a.g.Index(f.end[0], f.end[1])
	switch {
	case !ok || p.a.off[k]:
		return AtKeepOff
	case float64(p.a.depth[k]) > 0 && float64(p.a.shore[k]) >= f.margin:
		return AtShallow
	}
	return AtShore
}

// winds are the nine points of a three by three Gauss-Hermite rule over the
// forecast's error: direction and speed in standard deviations, and the weight.
var winds = func() (w [9][3]float64) {
	nodes, weights := [3]float64{-math.Sqrt(3), 0, math.Sqrt(3)}, [3]float64{1.0 / 6, 2.0 / 3, 1.0 / 6}
	for i := range w {
		w[i] = [3]float64{nodes[i/3], nodes[i%3], weights[i/3] * weights[i%3]}
	}
	return w
}()

// turned is a set-up's motion in a wind that differs from the forecast by a
// turn clockwise and a share of its speed: the same as turning and stretching
// the track.
func (p *planner) turned(setUp int, turn, stretch float64) drift.Motion {
	m := p.q.Boat.SetUps[setUp].Motion
	m.Fraction = math.Min(1, m.Fraction*math.Max(0, stretch))
	m.Slip = math.Remainder(m.Slip+turn, 2*math.Pi)
	return m
}

// sure is how long a drift stays where it may be in three of four winds. [s]
func (p *planner) sure(f followed) float64 {
	h := p.q.Hours[p.hourOf(f.start)]
	var times [9]float64
	for i, w := range winds {
		times[i], _ = p.reach(f.x, f.y, f.start, f.time, f.setUp, f.margin, p.turned(f.setUp, w[0]*h.FromSD, 1+w[1]*h.SpeedSD))
	}
	best := 0.0
	for _, t := range times {
		share := 0.0
		for i, w := range winds {
			if times[i] >= t {
				share += w[2]
			}
		}
		if share >= 0.75 {
			best = math.Max(best, t)
		}
	}
	return best
}

// homeInTime shortens a drift until the way home from its end fits the deadline
// and the energy, and gives the time left over then; false if nothing is left of it.
func (p *planner) homeInTime(f *followed, m drift.Motion) (spare float64, ok bool) {
	for range 200 {
		e, n := m.Path(p.wind, f.start, f.start+f.time)
		f.end = orb.Point{f.x + e, f.y + n}
		k, ok := p.a.g.Index(f.end[0], f.end[1])
		if ok && !p.a.motor[k] { // the last of the way: its edge
			k, ok = p.a.launch(f.end)
		}
		if !ok || math.IsInf(float64(p.home.metres[k]), 1) {
			return 0, false
		}
		x, y := p.a.g.Centre(k)
		left := f.start + f.time + p.q.Settings.HandIn
		home := p.homeTime(k, left) + p.rideTime(left)(x-f.end[0], y-f.end[1])
		if !p.enough(f.ride.Time + home) {
			return 0, false
		}
		over := left + (1+p.q.Limits.Reserve)*home - p.deadline
		if over <= 0 {
			return -over, true
		}
		f.ending = AtTime
		if f.time -= math.Ceil(math.Max(over, 15)); f.time < p.q.Settings.Shortest {
			return 0, false
		}
	}
	return 0, false
}

// cover adds a drift's effort to the water round its way, and its time to the
// patches there.
func (p *planner) cover(f followed) {
	m := p.q.Boat.SetUps[f.setUp].Motion
	g := p.a.g
	dt := math.Min(60, g.Cell/2/math.Max(m.Fraction*p.wind.Strongest(f.start, f.start+f.time), 1e-6))
	p.forget()
	for at := 0.0; at < f.time; at += dt {
		step := math.Min(dt, f.time-at)
		e, n := m.Path(p.wind, f.start, f.start+at+step/2)
		k, ok := g.Index(f.x+e, f.y+n)
		if !ok {
			continue
		}
		p.a.spread(p.effort, p.a.halves, k, float32(p.q.Settings.Swept*step/(p.a.reachN*g.Cell*g.Cell)))
		p.a.spread(p.blank, p.patch, k, float32(step))
	}
}
