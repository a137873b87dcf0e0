package plan

import (
	"math"

	"github.com/paulmach/orb"

	"windlane/drift"
)

// followed is one drift followed exactly.
type followed struct {
	want   asked
	x, y   float64
	setUp  int
	start  float64 // [s]
	time   float64 // how long it lasts [s]
	clear  float64 // how long it could [s]
	end    orb.Point
	value  float64 // mean over the winds [m²]
	margin float64 // [m]
	ride   Ride
	rate   float64 // [m²/s]
	ending Ending
}

// reach is how long a drift from a place stays where it may be, and where it
// then is. Its way is taken in chords of ten seconds, of which every cell counts:
// the same chords whatever the length asked for.
func (p *planner) reach(x, y, start, longest float64, setUp int, margin float64, m drift.Motion) (float64, orb.Point) {
	may := func(k int) bool { return p.allowed(k, setUp, margin) }
	here := orb.Point{x, y}
	if !p.a.touches(here, here, may) {
		return 0, here
	}
	air, by := p.airFrom(start, longest), motionOf(m)
	cell, _ := p.a.g.Index(x, y)
	for i := 0; float64(i)*tick < longest; i++ {
		t := float64(i) * tick
		next := orb.Point{x + by.c*air.e[i+1] + by.s*air.n[i+1], y + by.c*air.n[i+1] - by.s*air.e[i+1]}
		if t+tick > longest {
			next = p.place(x, y, m, start, longest)
		}
		k, in := p.a.g.Index(next[0], next[1])
		if in && k == cell { // the cell it was in
			here = next
			continue
		}
		cell = k
		if !p.a.touches(here, next, may) {
			near, far := t, math.Min(t+tick, longest)
			for far-near > 1e-3 {
				if mid := (near + far) / 2; p.a.touches(here, p.place(x, y, m, start, mid), may) {
					near = mid
				} else {
					far = mid
				}
			}
			return near, p.place(x, y, m, start, far)
		}
		here = next
	}
	return longest, here
}

// value is what a drift covers: its steps, each worth the fresh water round the
// boat at that hour. [m²]
func (p *planner) value(x, y, start, time float64, setUp int, m drift.Motion, fished bool) float64 {
	sum := 0.0
	p.along(p.airFrom(start, time), motionOf(m), x, y, time, p.pacing(m, start, time, p.a.g.Cell/2), func(k int, after, seconds float64) {
		h := p.hourOf(start + after)
		if fished {
			sum += seconds * p.worthRound(k, h)
		} else {
			sum += seconds * p.meanRound(k, h, false)
		}
	})
	return p.gainOf(setUp, start) * sum
}

// asked is a drift asked for: where it begins and how long it lasts at the most.
type asked struct {
	at   orb.Point
	time float64 // [s]
}

// follow goes along a drift asked for exactly: the way there from where the boat
// is, the true time of its beginning, the place where it has to end. Its value is
// the mean over the winds that the forecast holds possible. ok is false for one
// that cannot be made, or is worth nothing.
func (p *planner) follow(want asked, t float64, from orb.Point, way wayTo) (f followed, ok bool) {
	s := p.q.Settings
	f.want, f.x, f.y = want, want.at[0], want.at[1]
	if f.ride, ok = way(t, from, want.at); !ok {
		return f, false
	}
	f.start = t + f.ride.Time + s.PutOut
	if f.start >= p.deadline || p.windSpeed(f.start) < p.q.Limits.Calm {
		return f, false
	}
	f.setUp, _ = p.choose(p.windSpeed(f.start))
	motion := p.q.Boat.SetUps[f.setUp].Motion
	f.margin = p.marginOf(f.setUp, f.start)
	f.clear, f.end = p.reach(f.x, f.y, f.start, math.Min(s.Longest, p.knownFor(f.start)), f.setUp, f.margin, motion)
	f.time, f.ending = want.time, AtPoorer
	if step := p.pacing(motion, f.start, s.Longest, p.a.g.Cell/2); f.time+step >= f.clear {
		f.time, f.ending = f.clear, p.stopped(f)
	}
	if f.time < s.Shortest {
		return f, false
	}
	members, sure := p.members(f)
	if sure < f.time {
		f.time, f.ending = sure, AtSpread
	}
	f.time = math.Floor(f.time) // whole seconds, and inside what it may not cross
	spare, ok := p.homeInTime(&f, motion)
	if !ok || f.time < s.Shortest {
		return f, false
	}
	if f.ending == AtPoorer && spare <= 60 { // it was asked for no longer for the same reason
		f.ending = AtTime
	}
	for _, m := range members {
		f.value += m.weight * p.value(f.x, f.y, f.start, math.Min(f.time, m.time), f.setUp, m.motion, true)
	}
	f.rate = (f.value - p.price*f.ride.Time) / (f.ride.Time + s.PutOut + f.time + s.HandIn)
	return f, f.rate > quantum
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

// member is a drift in one of the winds the forecast holds possible.
type member struct {
	motion drift.Motion
	time   float64 // how long it stays where it may be [s]
	weight float64 // [1]
}

// members are a drift in each of the winds, and how long it stays where it may
// be in three of four of them. One that knows no error is alone.
func (p *planner) members(f followed) (all []member, sure float64) {
	turn, stretch := p.spread(f)
	if turn == 0 && stretch == 0 {
		return append(p.few[:0], member{p.q.Boat.SetUps[f.setUp].Motion, f.time, 1}), f.time
	}
	all = p.few[:0]
	for _, w := range winds {
		m := p.turned(f.setUp, w[0]*turn, 1+w[1]*stretch)
		time, _ := p.reach(f.x, f.y, f.start, f.time, f.setUp, f.margin, m)
		all = append(all, member{m, time, w[2]})
	}
	for _, one := range all {
		share := 0.0
		for _, m := range all {
			if m.time >= one.time {
				share += m.weight
			}
		}
		if share >= 0.75 {
			sure = math.Max(sure, one.time)
		}
	}
	return all, sure
}

// homeInTime shortens a drift until the way home from its end, in the hour's
// gusts, fits the deadline and the energy, and gives the time left over then;
// false if nothing is left of it.
func (p *planner) homeInTime(f *followed, m drift.Motion) (spare float64, ok bool) {
	for range 200 {
		f.end = p.place(f.x, f.y, m, f.start, f.time)
		k, ok := p.a.g.Index(f.end[0], f.end[1])
		if ok && !p.a.motor[k] { // the last of the way: its edge
			k, ok = p.a.launch(f.end)
		}
		if !ok || math.IsInf(float64(p.home.metres[k]), 1) {
			return 0, false
		}
		x, y := p.a.g.Centre(k)
		left := f.start + f.time + p.q.Settings.HandIn
		home := p.homeTime(k, left, true) + p.rideTime(left, true)(x-f.end[0], y-f.end[1])
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
