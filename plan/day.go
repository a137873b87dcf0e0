package plan

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"

	"github.com/paulmach/orb"

	"windlane/drift"
	"windlane/grid"
)

// candidates is how many lanes of a scan are followed exactly.
const candidates = 10

// Day plans the question's hours. The error is what Validate says; that no
// drift can be made is a Status.
func Day(q Question) (Plan, error) {
	if err := q.Validate(); err != nil {
		return Plan{}, err
	}
	p := newPlanner(q)
	out := Plan{Deadline: q.Until, EnergyLeft: 1}

	jetty, ok := p.a.launch(q.Home)
	if !ok {
		return p.nothing(out, "the jetty cannot be left at this level"), nil
	}
	p.a.motorFrom(jetty, &p.home)
	x, y := p.a.g.Centre(jetty)
	p.ashore = math.Hypot(x-q.Home[0], y-q.Home[1])
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

	t, from := 0.0, q.Start
	var last *followed
	stopped := ""
	for {
		if calmTill := p.calmUntil(t); calmTill > t {
			out.Waits = append(out.Waits, Wait{p.clock(t), p.clock(math.Min(calmTill, p.deadline)), "too little wind to drift: anchor, or move in short steps"})
			if calmTill >= p.deadline {
				stopped = "too little wind to drift from " + p.clock(t).Format("15:04")
				break
			}
			t = calmTill
		}
		best, next, ok := p.best(t, from)
		if !ok {
			stopped = p.whyNone(t, from)
			break
		}
		out.Drifts = append(out.Drifts, p.tell(best, next))
		p.used += best.ride.Time * q.Boat.Power
		p.age(best.start + best.time/2)
		p.cover(best)
		t, from = best.start+best.time+q.Settings.HandIn, best.end
		last = &best
	}

	if last != nil {
		p.goHome(&out, *last)
	}
	switch {
	case len(out.Drifts) == 0 && !math.IsInf(goIn, 1):
		out.Status, out.Reason = GoIn, why
	case len(out.Drifts) == 0:
		out.Status, out.Reason = NothingReachable, stopped
		if stopped == "" {
			out.Reason = "no time for a drift and the way home"
		}
	case !math.IsInf(goIn, 1):
		out.Status, out.Reason = GoIn, why
	case stopped != "":
		out.Status, out.Reason = CutShort, stopped
	default:
		out.Status = Whole
	}
	return out, nil
}

func newPlanner(q Question) *planner {
	n := q.Lake.Grid.Len()
	p := &planner{
		q: q, a: newGround(q), effort: make([]float32, n), blank: make([]float32, n), scaled: make([]float32, n), rate: make([]int64, n), length: make([]int32, n), bin: make([]int16, n),
		worth: make([][]float32, len(q.Hours)), deadline: q.Until.Sub(q.From).Seconds(),
	}
	copy(p.effort, q.Fished)
	if q.Settings.Patch > 0 {
		p.patch, _ = disc(q.Settings.Patch / q.Lake.Grid.Cell)
	}
	var rows []drift.Row
	for _, h := range q.Hours {
		at := h.At.Sub(q.From).Seconds()
		p.hours = append(p.hours, at)
		rows = append(rows, drift.Row{T: at, Speed: h.Wind, From: h.From})
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

// calmUntil is when there is wind enough again, looked at every five minutes.
func (p *planner) calmUntil(t float64) float64 {
	for ; t < p.deadline && p.windSpeed(t) < p.q.Limits.Calm; t += 300 {
	}
	return t
}

// best is the drift with the best rate from here and now, and the next best
// distinct ones.
func (p *planner) best(t float64, from orb.Point) (best followed, next []followed, ok bool) {
	k, ok := p.a.launch(from)
	if !ok {
		return best, nil, false
	}
	p.age(t)
	p.a.motorFrom(k, &p.here)
	p.scan(t, &p.here)
	var all []followed
	for _, k := range p.pick(candidates) {
		if f, ok := p.follow(k, t, from); ok && f.rate > quantum {
			all = append(all, f)
		}
	}
	if len(all) == 0 {
		return best, nil, false
	}
	// The scan's order, best first and lower cells before higher, settles ties.
	slices.SortStableFunc(all, func(a, b followed) int {
		return cmp.Compare(math.Round(b.rate/quantum), math.Round(a.rate/quantum))
	})
	return all[0], all[1:], true
}

// whyNone says why no further drift is made; empty when the hours are filled.
func (p *planner) whyNone(t float64, from orb.Point) string {
	s := p.q.Settings
	k, ok := p.a.launch(from)
	if !ok {
		return "the boat lies where it cannot leave under motor"
	}
	home := float64(p.home.metres[k]) / p.q.Boat.Speed
	if p.deadline-t < s.PutOut+s.HandIn+2*s.Shortest+(1+p.q.Limits.Reserve)*home {
		return ""
	}
	if !p.enough(2 * home) {
		return "the energy left is kept for the way home"
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
		return "no water that can be reached is deep enough and clear of shores and of places kept off"
	case !worth:
		return "no water that can be reached is worth a drift at " + p.clock(t).Format("15:04")
	}
	return "no further drift is long enough before a shore, a place kept off or the time to go home"
}

// goHome fills in the end of the day.
func (p *planner) goHome(out *Plan, last followed) {
	q := p.q
	k, ok := p.a.launch(last.end)
	if !ok {
		panic("plan: a drift ended where no motor runs")
	}
	p.a.motorFrom(k, &p.here)
	ride, ok := p.a.ride(&p.here, last.end, q.Home, q.Boat.Speed)
	if !ok {
		panic("plan: a drift ended where no way leads home")
	}
	out.RideHome = ride
	left := last.start + last.time + q.Settings.HandIn
	out.Home = p.clock(left + ride.Time)
	out.TurnHome = out.Deadline.Add(-time.Duration(math.Round((1+q.Limits.Reserve)*ride.Time)) * time.Second)
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

// notes looks at each hour alone.
func (p *planner) notes() []HourNote {
	q := p.q
	var out []HourNote
	fetch := make([]float32, p.a.g.Len())
	for i, h := range q.Hours {
		t := p.hours[i]
		setUp, verdict := p.choose(t)
		n := HourNote{
			At: h.At, Calm: h.Wind < q.Limits.Calm, SetUp: q.Boat.SetUps[setUp].Name, Verdict: verdict,
			Speed: q.Boat.SetUps[setUp].Motion.Fraction * h.Wind,
		}
		grid.Fetch(p.a.g, p.a.wet, float64(h.From), fetch)
		far := -1
		for k, f := range fetch {
			if !math.IsInf(float64(p.home.metres[k]), 1) && (far < 0 || f > fetch[far]) {
				far = k
			}
		}
		if far >= 0 {
			n.Fetch = float64(fetch[far])
			if q.Lake.Wave != nil {
				n.Wave = q.Lake.Wave(h.strongest(), n.Fetch, float64(p.a.depth[far]))
			}
		}
		p.waves = append(p.waves, n.Wave)
		if !h.At.Before(q.Until) || (i+1 < len(q.Hours) && !q.Hours[i+1].At.After(q.From)) {
			continue // its waves are wanted up to the end, the hour itself is not
		}
		n.Over = h.strongest() >= q.Limits.Gust || (q.Limits.Wave > 0 && n.Wave >= q.Limits.Wave)
		if !n.Calm && !n.Over {
			n.Best = p.options(t)
		}
		out = append(out, n)
	}
	return out
}

// options are the best three distinct drifts begun at a time with the boat
// already there.
func (p *planner) options(t float64) []Option {
	p.scan(t, nil)
	var out []Option
	for _, k := range p.pick(3) {
		c := p.curves[p.bin[k]]
		o := Option{Minutes: float64(p.length[k]) * c.dt / 60}
		o.X, o.Y = p.a.g.Centre(k)
		e, n := p.q.Boat.SetUps[c.setUp].Motion.Path(p.wind, t, t+60*o.Minutes)
		o.EndX, o.EndY = o.X+e, o.Y+n
		o.Value = p.value(o.X, o.Y, t, 60*o.Minutes, p.q.Boat.SetUps[c.setUp].Motion, p.fresh)
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
	look := func(what, unit string, values []float64, limit float64) {
		t, most := firstOver(p.hours, values, limit, until)
		if t < first {
			first = t
			why = fmt.Sprintf("%s reach the limit of %.3g %s at %s (%.3g forecast)", what, limit, unit, p.clock(t).Format("15:04"), most)
		}
	}
	look("gusts", "m/s", gusts, q.Limits.Gust)
	if q.Limits.Wave > 0 {
		look("waves", "m", p.waves, q.Limits.Wave)
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
