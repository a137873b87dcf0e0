package plan

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"time"

	"github.com/paulmach/orb"

	"windlane/drift"
	"windlane/grid"
	"windlane/quantity"
)

// candidates is how many lanes of a scan are followed exactly.
const candidates = 10

// Day plans the question's hours. The error is what Validate says; that no
// drift can be made is a Status. When ctx ends, the plan is what was found by then.
func Day(ctx context.Context, q Question) (Plan, error) {
	if err := q.Validate(); err != nil {
		return Plan{}, err
	}
	p := newPlanner(observe(q))
	out := Plan{Deadline: q.Until, EnergyLeft: 1}

	jetty, ok := p.a.launch(q.Home)
	if !ok {
		return p.nothing(out, "the jetty cannot be left at this level"), nil
	}
	p.a.motorFrom(jetty, &p.home)
	boat, ok := p.a.launch(q.Start)
	if !ok || math.IsInf(float64(p.home.metres[boat]), 1) {
		return p.nothing(out, "the boat cannot leave its place for home at this level"), nil
	}
	out.Hours = p.notes()
	goIn, why := p.limit()
	if !math.IsInf(goIn, 1) {
		out.GoIn = p.clock(goIn)
		out.Deadline = out.GoIn
		p.deadline = goIn
	}

	d := p.search(ctx)
	out.Drifts, out.Waits, out.Value = d.drifts, d.waits, d.value
	if len(d.made) > 0 {
		p.used = d.used
		p.goHome(&out, d.made[len(d.made)-1])
	}
	switch {
	case len(out.Drifts) == 0 && !math.IsInf(goIn, 1):
		out.Status, out.Reason = GoIn, why
	case len(out.Drifts) == 0:
		out.Status, out.Reason = NothingReachable, d.stopped
		if d.stopped == "" {
			out.Reason = "no time for a drift and the way home"
		}
	case !math.IsInf(goIn, 1):
		out.Status, out.Reason = GoIn, why
	case d.stopped != "":
		out.Status, out.Reason = CutShort, d.stopped
	default:
		out.Status = Whole
	}
	return out, nil
}

// fishing is a day's drifts, one after the other.
type fishing struct {
	made    []followed
	drifts  []Drift
	waits   []Wait
	pool    []asked // every drift looked at on the way
	value   float64 // [m²]
	used    float64 // energy, the way home not in it [J]
	stopped string  // why it ends before the hours do
	short   bool    // of energy
}

// prices are what a second under motor is taken to cost where the energy is
// short, as shares of what a second of the first drift brings.
var prices = [...]float64{0.15, 0.4, 1, 2}

// search is the greedy day, bettered where that was asked for: first by prices
// on the energy if that is what ends it, then by small changes.
func (p *planner) search(ctx context.Context) fishing {
	best := p.fish(ctx, nil)
	s := p.q.Settings
	if s.Most == 1 || len(best.made) == 0 {
		return best
	}
	pool := best.pool
	try := func(d fishing) {
		if math.Round(d.value) > math.Round(best.value) {
			d.pool = nil
			best = d
		}
	}
	if best.short {
		first := best.made[0].rate
		for _, share := range prices {
			p.price = share * first
			d := p.fish(ctx, nil)
			p.price = 0
			pool = append(pool, d.pool...)
			try(d)
		}
	}
	if s.Tries > 0 {
		list := p.better(ctx, wishes(best.made), append(pool, p.options...), s.Tries, false)
		try(p.fish(ctx, list))
	}
	return best
}

// wishes are drifts as they were asked for.
func wishes(made []followed) (out []asked) {
	for _, f := range made {
		out = append(out, f.want)
	}
	return out
}

// reset is the morning again.
func (p *planner) reset() {
	for k := range p.effort {
		p.effort[k], p.blank[k] = 0, 0
	}
	copy(p.effort, p.q.Fished)
	copy(p.blank, p.q.Blank)
	p.used = 0
	p.age(0)
}

// fish makes a day: the drifts of a list while they last, then the best there is
// each time. When ctx ends it stops, but not before the first drift.
func (p *planner) fish(ctx context.Context, list []asked) (d fishing) {
	p.reset()
	q := p.q
	t, from := 0.0, q.Start
	for q.Settings.Most == 0 || len(d.made) < q.Settings.Most {
		if len(d.made) > 0 && ctx.Err() != nil {
			break
		}
		begin, till, why := p.soonIdle(t)
		waits := till > begin
		var best followed
		var next []followed
		ok := false
		if !waits || begin > t {
			best, next, ok = p.best(t, from, list)
		}
		switch {
		case ok:
		case waits: // what is left before it is too short: the day goes on after it
			d.waits = append(d.waits, Wait{p.clock(t), p.clock(math.Min(till, p.deadline)), why.wait})
			if t = till; t < p.deadline {
				continue
			}
			d.stopped = why.stop + p.clock(begin).Format("15:04")
		default:
			if len(list) > 0 { // this one cannot be made
				list = list[1:]
				continue
			}
			d.stopped, d.short = p.whyNone(t, from)
		}
		if !ok {
			break
		}
		if len(list) > 0 {
			list = list[1:]
		}
		for _, f := range next {
			d.pool = append(d.pool, f.want)
		}
		d.pool = append(d.pool, best.want)
		d.drifts = append(d.drifts, p.tell(best, next))
		d.made = append(d.made, best)
		d.value += best.value
		p.used += best.ride.Time * q.Boat.Power
		p.cover(best)
		t, from = best.start+best.time+q.Settings.HandIn, best.end
	}
	d.used = p.used
	return d
}

func newPlanner(q Question) *planner {
	n := q.Lake.Grid.Len()
	p := &planner{
		q: q, a: newGround(q), effort: make([]float32, n), blank: make([]float32, n), scaled: make([]float32, n),
		rate: make([]int64, n), length: make([]float32, n), bin: make([]int16, n),
		worth: make([][]float32, len(q.Hours)), deadline: q.Until.Sub(q.From).Seconds(), few: make([]member, 0, len(winds)),
	}
	if q.Settings.Patch > 0 {
		p.patch, _ = disc(q.Settings.Patch / q.Lake.Grid.Cell)
	}
	p.reset()
	var rows []drift.Row
	for i, h := range q.Hours {
		at := h.At.Sub(q.From).Seconds()
		p.hours = append(p.hours, at)
		row := drift.Row{T: at, Speed: h.Wind, From: h.From}
		if h.Shifting { // those that end at it keep their direction, if they had one
			if i > 0 && !q.Hours[i-1].Shifting && p.shifts(i) {
				row.From = rows[len(rows)-1].From
			} else {
				row.Speed = 0
			}
		}
		rows = append(rows, row)
	}
	end := rows[len(rows)-1]
	end.T += 1e6 // the last hour's wind holds
	wind, err := drift.NewWind(append(rows, end))
	if err != nil {
		panic("plan: " + err.Error()) // Validate has seen to it
	}
	p.wind = wind
	return p
}

func (p *planner) clock(t float64) time.Time {
	return p.q.From.Add(time.Duration(math.Round(t)) * time.Second)
}

func (p *planner) nothing(out Plan, reason string) Plan {
	out.Status, out.Reason = NothingReachable, reason
	return out
}

// waiting is why no drift is laid at a time: for a Wait, and for a day that ends so.
type waiting struct{ wait, stop string }

var (
	calm     = waiting{"too little wind to drift: anchor where it is allowed, or move in short steps", "too little wind to drift from "}
	shifting = waiting{"the wind may come from anywhere: no drift can be laid; look on the day", "the wind may come from anywhere: no drift can be laid from "}
)

const look = 300.0 // a calm is looked at this often [s]

// idle is until when there is too little wind to drift, or one from anywhere,
// from a time on, and which of the two it is first; the time itself if neither.
func (p *planner) idle(t float64) (till float64, why waiting) {
	for till = t; till < p.deadline; {
		now, next := calm, till+look
		switch {
		case p.shifts(p.hourOf(till)):
			now, next = shifting, p.hourAfter(till)
		case p.windSpeed(till) >= p.q.Limits.Calm:
			return till, why
		}
		if till == t {
			why = now
		}
		till = next
	}
	return till, why
}

// soonIdle is the first time to wait that begins within a short drift of a time;
// without one it ends as it begins.
func (p *planner) soonIdle(t float64) (begin, till float64, why waiting) {
	s := p.q.Settings
	soon := math.Min(p.deadline, t+s.PutOut+s.HandIn+2*s.Shortest)
	for begin = t; begin < soon; begin = math.Min(begin+look, p.hourAfter(begin)) {
		if till, why = p.idle(begin); till > begin {
			return begin, till, why
		}
	}
	return begin, begin, why
}

// shifts says whether the wind of an hour may come from anywhere. A breath that
// does is a calm.
func (p *planner) shifts(hour int) bool {
	h := p.q.Hours[hour]
	return h.Shifting && h.Wind >= p.q.Limits.Calm
}

// hourAfter is when the next hour begins; +Inf in the last. [s]
func (p *planner) hourAfter(t float64) float64 {
	if h := p.hourOf(t); h+1 < len(p.hours) {
		return p.hours[h+1]
	}
	return math.Inf(1)
}

// knownFor is how long from a time on the wind's direction is known; 0 when it
// is not. [s]
func (p *planner) knownFor(t float64) float64 {
	for h := p.hourOf(t); h < len(p.hours); h++ {
		if p.shifts(h) {
			return math.Max(0, p.hours[h]-t)
		}
	}
	return math.Inf(1)
}

// best is the drift asked for first, or if none is the drift with the best rate
// from here and now, and the next best distinct ones.
func (p *planner) best(t float64, from orb.Point, list []asked) (best followed, next []followed, ok bool) {
	k, ok := p.a.launch(from)
	if !ok {
		return best, nil, false
	}
	p.age(t)
	p.a.motorFrom(k, &p.here)
	exact := func(t float64, from, to orb.Point) (Ride, bool) { return p.ride(&p.here, t, from, to) }
	if len(list) > 0 {
		if best, ok = p.follow(list[0], t, from, exact); !ok {
			return best, nil, false
		}
	}
	p.scan(t, &p.here)
	var all []followed
	for _, k := range p.pick(candidates) {
		x, y := p.a.g.Centre(k)
		if f, ok := p.follow(asked{orb.Point{x, y}, float64(p.length[k])}, t, from, exact); ok {
			all = append(all, f)
		}
	}
	// The scan's order, best first and lower cells before higher, settles ties.
	slices.SortStableFunc(all, func(a, b followed) int {
		return cmp.Compare(math.Round(b.rate/quantum), math.Round(a.rate/quantum))
	})
	if len(list) > 0 {
		all = slices.DeleteFunc(all, func(f followed) bool { return p.sameLane(f, best) })
	} else {
		if len(all) == 0 {
			return best, nil, false
		}
		best, all = p.polish(all[0], t, from, exact), all[1:]
	}
	return p.settle(best, t, from), all, true
}

// sameLane says whether two drifts begin within two reaches of each other's way.
func (p *planner) sameLane(a, b followed) bool {
	return away(orb.LineString{{a.x, a.y}, a.end}, b.x, b.y) < 2*p.q.Settings.Reach || away(orb.LineString{{b.x, b.y}, b.end}, a.x, a.y) < 2*p.q.Settings.Reach
}

// polish moves a drift's start cell by cell, and its length by a tenth, while
// that betters it: the scan looked at starts a reach apart and a few lengths.
func (p *planner) polish(f followed, t float64, from orb.Point, way wayTo) followed {
	cell := p.a.g.Cell
	for range 4 {
		was := f
		for _, m := range [...][3]float64{{0, 1, 1}, {0, -1, 1}, {1, 0, 1}, {-1, 0, 1}, {0, 0, 1.1}, {0, 0, 0.9}} {
			want := asked{orb.Point{was.want.at[0] + m[0]*cell, was.want.at[1] + m[1]*cell}, was.want.time * m[2]}
			if g, ok := p.follow(want, t, from, way); ok && math.Round(g.rate/quantum) > math.Round(f.rate/quantum) {
				f = g
			}
		}
		if f.want == was.want {
			break
		}
	}
	return f
}

// settle sends the boat to a drift's start by a way that keeps off the water it
// is about to fish, where there is one.
func (p *planner) settle(f followed, t float64, from orb.Point) followed {
	r, ok := p.aside(f, t, from)
	if !ok {
		return f
	}
	g, ok := p.follow(f.want, t, from, func(float64, orb.Point, orb.Point) (Ride, bool) { return r, true })
	if !ok {
		return f
	}
	return g
}

// whyNone says why no further drift is made, empty when the hours are filled, and
// whether it is for want of energy.
func (p *planner) whyNone(t float64, from orb.Point) (why string, short bool) {
	s := p.q.Settings
	k, ok := p.a.launch(from)
	if !ok {
		return "the boat lies where it cannot leave under motor", false
	}
	home := p.homeTime(k, t, true)
	if p.deadline-t < s.PutOut+s.HandIn+2*s.Shortest+(1+p.q.Limits.Reserve)*home {
		return "", false
	}
	if !p.enough(2 * home) {
		return "the energy left is kept for the way home", true
	}
	clear, worth := false, false
	h := p.hourOf(t)
	for k := range p.a.wet {
		if p.allowed(k, 0, p.q.Limits.LeastMargin) && !math.IsInf(float64(p.home.metres[k]), 1) {
			clear = true
			worth = worth || p.fresh(h)[k] > 0
		}
	}
	switch {
	case !clear:
		return "no water that can be reached is deep enough and clear of shores and of places kept off", false
	case !worth:
		return "no water that can be reached is worth a drift at " + p.clock(t).Format("15:04"), false
	}
	return "no further drift is long enough before a shore, a place kept off or the time to go home", false
}

// goHome fills in the end of the day.
func (p *planner) goHome(out *Plan, last followed) {
	q := p.q
	k, ok := p.a.launch(last.end)
	if !ok {
		panic("plan: a drift ended where no motor runs")
	}
	p.a.motorFrom(k, &p.here)
	left := last.start + last.time + q.Settings.HandIn
	ride, ok := p.ride(&p.here, left, last.end, q.Home)
	if !ok {
		panic("plan: a drift ended where no way leads home")
	}
	out.RideHome = ride
	out.Home = p.clock(left + ride.Time)
	gusts := p.rideTime(left, true)
	slow := 0.0
	for i := 1; i < len(ride.Way); i++ {
		slow += gusts(ride.Way[i][0]-ride.Way[i-1][0], ride.Way[i][1]-ride.Way[i-1][1])
	}
	out.TurnHome = out.Deadline.Add(-time.Duration(math.Round((1+q.Limits.Reserve)*slow)) * time.Second)
	drifting := 0.0
	for _, d := range out.Drifts {
		drifting += d.Minutes * 60
	}
	out.FishingShare = drifting / (left + ride.Time)
	p.used += ride.Time * q.Boat.Power
	if q.Boat.Energy > 0 {
		out.EnergyLeft = 1 - p.used/q.Boat.Energy
	}
}

// worthALook is how long an hour must last for its options to be looked for: a
// forecast may change within minutes. [s]
const worthALook = 900.0

// notes looks at each hour alone.
func (p *planner) notes() []HourNote {
	q := p.q
	var out []HourNote
	fetch := make([]float32, p.a.g.Len())
	for i, h := range q.Hours {
		t := p.hours[i]
		setUp, verdict := p.choose(h.Wind)
		n := HourNote{
			At: h.At, Calm: h.Wind < q.Limits.Calm, Shifting: p.shifts(i), SetUp: q.Boat.SetUps[setUp].Name, Verdict: verdict,
			Speed: q.Boat.SetUps[setUp].Motion.Fraction * h.Wind,
		}
		winds, far := []quantity.From{h.From}, -1
		if h.Shifting { // the longest of eight: one of them is not far off
			winds = winds[:0]
			for d := range 8 {
				winds = append(winds, quantity.FromDegrees(45*float64(d)))
			}
		}
		for _, from := range winds {
			grid.Fetch(p.a.g, p.a.wet, float64(from), fetch)
			for k, f := range fetch {
				if !math.IsInf(float64(p.home.metres[k]), 1) && (far < 0 || float64(f) > n.Fetch) {
					far, n.Fetch = k, float64(f)
				}
			}
		}
		if far >= 0 && q.Lake.Wave != nil {
			n.Wave = q.Lake.Wave(h.strongest(), n.Fetch, float64(p.a.depth[far]))
		}
		p.waves = append(p.waves, n.Wave)
		if !h.At.Before(q.Until) || (i+1 < len(q.Hours) && !q.Hours[i+1].At.After(q.From)) {
			continue // its waves are wanted up to the end, the hour itself is not
		}
		n.Over = h.strongest() >= q.Limits.Gust || (q.Limits.Wave > 0 && n.Wave >= q.Limits.Wave)
		if q.Settings.Most != 1 && !n.Calm && !n.Shifting && !n.Over && p.hourAfter(t)-math.Max(0, t) >= worthALook {
			n.Best = p.best3(t)
		}
		out = append(out, n)
	}
	return out
}

// best3 are the best three distinct drifts begun at a time with the boat already
// there, of as many as a scan's candidates, which are kept for the search.
func (p *planner) best3(t float64) []Option {
	p.scan(t, nil)
	var out []Option
	for _, k := range p.pick(candidates) {
		c := p.curves[p.bin[k]]
		o := Option{Minutes: float64(p.length[k]) / 60}
		o.X, o.Y = p.a.g.Centre(k)
		p.options = append(p.options, asked{orb.Point{o.X, o.Y}, 60 * o.Minutes})
		if len(out) == 3 {
			continue
		}
		m := p.q.Boat.SetUps[c.setUp].Motion
		end := p.place(o.X, o.Y, m, t, 60*o.Minutes)
		o.EndX, o.EndY = end[0], end[1]
		o.Value = p.value(o.X, o.Y, t, 60*o.Minutes, c.setUp, m, true)
		o.Rate = o.Value / (o.Minutes + (p.q.Settings.PutOut+p.q.Settings.HandIn)/60)
		out = append(out, o)
	}
	return out
}

// limit is when gusts or waves first reach their limit between From and Until,
// linear from hour to hour, and why; +Inf if never. [s]
func (p *planner) limit() (float64, string) {
	q := p.q
	until := q.Until.Sub(q.From).Seconds()
	gusts := make([]float64, len(q.Hours))
	for i, h := range q.Hours {
		gusts[i] = h.strongest()
	}
	first, why := math.Inf(1), ""
	judge := func(what, unit string, values []float64, limit float64) {
		t, most := firstOver(p.hours, values, limit, until)
		if t < first {
			first = t
			why = fmt.Sprintf("%s reach the limit of %.3g %s at %s (%.3g forecast)", what, limit, unit, p.clock(t).Format("15:04"), most)
		}
	}
	judge("gusts", "m/s", gusts, q.Limits.Gust)
	if q.Limits.Wave > 0 {
		judge("waves", "m", p.waves, q.Limits.Wave)
	}
	return first, why
}

// strongest is the gust, or the mean wind where no gust is forecast. [m/s]
func (h Hour) strongest() float64 { return math.Max(h.Wind, h.Gust) }

// firstOver is the first time from 0 to until at which values, linear between
// their times and held after the last, reach a limit, and the most they come to
// by then or at the next of the times; +Inf if they never do.
func firstOver(times, values []float64, limit, until float64) (at, most float64) {
	for i, a := range values {
		from, to, b := times[i], math.Inf(1), a
		if i+1 < len(values) {
			to, b = times[i+1], values[i+1]
		}
		if to <= 0 || from > until {
			continue
		}
		at := math.Max(0, from)
		if b != a {
			if v := a + (b-a)*(at-from)/(to-from); v < limit && b >= limit {
				at = from + (limit-a)/(b-a)*(to-from)
			} else if v < limit {
				continue
			}
		} else if a < limit {
			continue
		}
		if at <= until {
			return at, math.Max(a, b)
		}
	}
	return math.Inf(1), 0
}
