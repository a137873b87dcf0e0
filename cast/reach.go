package cast

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"windlane/line"
	"windlane/quantity"
	"windlane/tackle"
)

// Search asks which casts search most fresh water at a depth.
type Search struct {
	Rigs         []tackle.Rig // lines, leaders and flies as they can be put together
	LineOut      float64      // [m]
	TipHeight    float64      // in count and retrieve [m]
	Hang         []Stage
	HangMark     float64 // [m]
	Band         Band
	BoatSpeed    float64 // over the ground [m/s]
	Current      float64 // as Question.Current [m/s]
	CurrentScale float64 // as Question.CurrentScale [m]
	Angle        float64 // between cast and drift, at most MostAngle either way [rad]
	LeaveSlack   bool
	Counts       []float64  // to try; none: 40 of them up to 60 s [s]
	Retrieves    []Retrieve // to try; none: ten even ones
	Temperature  float64    // [°C]
	Bed          float64    // 0: not in reach [m]
	Recast       float64    // 0: DefaultRecast [s]
	Best         int        // how many to keep and run again on the fine mesh; 0: 20
	Direct       bool       // every cast is run instead of interpolated
	Units        quantity.System
}

// Option is one way to cast.
type Option struct {
	Rig            int     // index into Search.Rigs
	Count          float64 // [s]
	Retrieve       Retrieve
	Fresh          float64        // water searched at the depth for the first time, as a length of path, a cast [m]
	FreshPerHour   float64        // the same an hour [m]
	Seconds        float64        // time of all flies at the depth, a cast [s]
	SecondsPerHour float64        // the same an hour [s]
	Held           float64        // of Seconds, in retrieve and hang [s]
	Cycle          float64        // landing to landing [s]
	Slack          float64        // line folded by the drift in the count [m]
	TakenIn        float64        // line taken in during the count [m]
	Top            quantity.Depth // of the flies in the retrieve [m]
	Bottom         quantity.Depth // of the flies in the retrieve [m]
	Deepest        quantity.Depth // in the whole cast [m]
	Fly            int            // of the rig's flies, the one that searches most at the depth
	AtCount        quantity.Depth // of that fly when the count ends [m]
	Rule           quantity.Depth // rating times count; 0 where no sinking line is counted down [m]
	Why            string         // why AtCount is not Rule, and what comes after; confirmed options with a Rule
	Confirmed      bool           // by a run on the fine mesh, strips as they are
}

// ReachStatus says how well the depth can be fished.
type ReachStatus string

// The statuses of a search.
const (
	Held     ReachStatus = "held: flies can be kept at the depth"
	Passed   ReachStatus = "passed: flies only pass through the depth"
	NotReach ReachStatus = "not reached: nothing brings a fly to the depth"
)

// Reached is the answer to a search.
type Reached struct {
	Status  ReachStatus
	Options []Option // best first
	ByRig   []Option // the best of each rig that reaches the depth, best first
	Nearest *Option  // when not reached: what comes nearest ...
	Missing float64  // ... and how far that is from the depth [m]
	Tried   int
	Broken  int // casts that broke off, which are not among the options
	Remarks []Remark
}

// heldFor is how long flies must stay in the depth to be said to hold it. [s]
const heldFor = 4.0

// question is the search as a question about one rig.
func (s Search) question(rig int) Question {
	return Question{
		Rig: s.Rigs[rig], LineOut: s.LineOut, TipHeight: s.TipHeight, Hang: s.Hang, HangMark: s.HangMark,
		Angle: s.Angle, BoatSpeed: s.BoatSpeed, Current: s.Current, CurrentScale: s.CurrentScale, LeaveSlack: s.LeaveSlack, Temperature: s.Temperature,
		Bed: s.Bed, Recast: s.Recast, Units: s.Units, NoSpread: true,
		Retrieve: Retrieve{Kind: Still},
	}.settled()
}

// settled fills in what was left to its default.
func (s Search) settled() Search {
	if s.Counts == nil {
		for k := range 40 {
			s.Counts = append(s.Counts, 1.5*float64(k+1))
		}
	}
	if s.Retrieves == nil {
		for k := range 10 {
			s.Retrieves = append(s.Retrieves, Retrieve{Kind: Steady, Speed: 0.20 + 0.07*float64(k)})
		}
	}
	s.Counts, s.Retrieves, s.Hang = slices.Clone(s.Counts), slices.Clone(s.Retrieves), slices.Clone(s.Hang)
	for i, r := range s.Retrieves {
		s.Retrieves[i] = Question{Retrieve: r}.settled().Retrieve
	}
	if s.Recast == 0 {
		s.Recast = DefaultRecast
	}
	if s.Best == 0 {
		s.Best = 20
	}
	return s
}

// Validate checks every field. The error is a *Fault that names it.
func (s Search) Validate() error {
	s = s.settled()
	if len(s.Rigs) == 0 || len(s.Rigs) > 500 {
		return &Fault{Field: "rigs", Message: fmt.Sprintf("%d of them: 1 to 500", len(s.Rigs))}
	}
	if err := checkAll([]rangeOf{
		{"band.top_m", s.Band.Top, 0, 40, "m"},
		{"band.bottom_m", s.Band.Bottom, 0, 40, "m"},
		{"angle_deg", s.Angle * 180 / math.Pi, -MostAngle * 180 / math.Pi, MostAngle * 180 / math.Pi, "deg, where depths can be computed"},
		{"best", float64(s.Best), 1, 200, "options"},
	}); err != nil {
		return err
	}
	switch {
	case !(s.Band.Bottom > s.Band.Top):
		return &Fault{Field: "band.bottom_m", Message: fmt.Sprintf("%.6g m is not below the top, %.6g m", s.Band.Bottom, s.Band.Top)}
	case len(s.Counts) == 0 || len(s.Counts) > 200:
		return &Fault{Field: "counts_s", Message: fmt.Sprintf("%d of them: 1 to 200", len(s.Counts))}
	case len(s.Retrieves) == 0 || len(s.Retrieves) > 50:
		return &Fault{Field: "retrieves", Message: fmt.Sprintf("%d of them: 1 to 50", len(s.Retrieves))}
	}
	for i, c := range s.Counts {
		if err := (rangeOf{fmt.Sprintf("counts_s[%d]", i), c, 0.5, 600, "s"}).check(); err != nil {
			return err
		}
	}
	for i, r := range s.Retrieves {
		if err := r.validate(fmt.Sprintf("retrieves[%d]", i)); err != nil {
			return err
		}
	}
	for i := range s.Rigs {
		if err := s.question(i).Validate(); err != nil {
			f := err.(*Fault)
			if len(f.Field) > 3 && f.Field[:3] == "rig" {
				return &Fault{Field: fmt.Sprintf("rigs[%d]%s", i, f.Field[3:]), Message: f.Message}
			}
			return f
		}
	}
	return nil
}

// Reach searches lines, counts and retrieves for a depth, and ranks what it
// finds by fresh water searched there an hour. Every combination is looked at: with
// much drift depth does not always grow with the count. The error is a *Fault.
func Reach(s Search) (Reached, error) {
	s = s.settled()
	if err := s.Validate(); err != nil {
		return Reached{}, err
	}
	slices.Sort(s.Counts)
	s.Counts = slices.Compact(s.Counts)
	var out Reached
	var all []Option
	c := newCovered(s.question(0).current())
	for rig := range s.Rigs {
		q := s.question(rig)
		var err error
		if q.solved() {
			all, err = s.tryLine(q, rig, all, c, &out)
		} else {
			all, err = s.tryRule(q, rig, all, &out)
		}
		if err != nil {
			return Reached{}, err
		}
	}
	out.rank(s, all)
	return out, nil
}

// solved is whether a question goes through the mechanics of the line.
func (q Question) solved() bool {
	return q.Way != tackle.Bung && q.Way != tackle.Dries && q.Way != tackle.ShortLine
}

// tryLine tries all counts and retrieves of a rig from its table.
func (s Search) tryLine(q Question, rig int, all []Option, c *covered, out *Reached) ([]Option, error) {
	counts := s.Counts
	if v := q.along(); !s.LeaveSlack && v > 0 { // beyond, the boat has taken up what there was to pull
		most := (q.LineOut - q.stop() - leastPull) / v
		n := 0
		for n < len(counts) && counts[n] <= most {
			n++
		}
		counts = counts[:n]
	}
	if len(counts) == 0 {
		return all, nil
	}
	var speeds []float64
	for _, r := range s.Retrieves {
		if r.Kind != Still {
			speeds = append(speeds, r.Speed)
		}
	}
	slices.Sort(speeds)
	speeds = slices.Compact(speeds)
	nodes, paces := pick(counts, mostCounts, math.Sqrt), pick(speeds, mostSpeeds, math.Log)
	if s.Direct {
		nodes, paces = counts, speeds
	}
	if len(paces) > 0 {
		t, err := newTable(q, nodes, paces, line.Mesh{Preset: line.Mid})
		if err != nil {
			return all, err
		}
		out.Broken += t.broken
		for _, count := range counts {
			for _, r := range s.Retrieves {
				if r.Kind == Still {
					continue
				}
				f := t.search(count, r.Speed, s.Band, c)
				all = append(all, s.option(q, rig, count, r, f))
				out.Tried++
			}
		}
	}
	for _, r := range s.Retrieves {
		if r.Kind != Still {
			continue
		}
		for _, count := range nodes {
			q.Count, q.Retrieve = count, r
			a, ok := s.run(q, line.Mesh{Preset: line.Mid})
			if !ok {
				out.Broken++
				continue
			}
			all = append(all, s.option(q, rig, count, r, s.measure(a, c)))
			out.Tried++
		}
	}
	return all, nil
}

// tryRule tries the retrieves of a rig that is fished by a rule; it has no count.
func (s Search) tryRule(q Question, rig int, all []Option, out *Reached) ([]Option, error) {
	for _, r := range s.Retrieves {
		if q.Way != tackle.ShortLine && r.Kind != Still {
			r = Retrieve{Kind: Still}
		}
		if slices.ContainsFunc(all, func(o Option) bool { return o.Rig == rig && o.Retrieve == r }) {
			continue
		}
		q.Retrieve = r
		a, err := Run(q)
		if err != nil {
			return all, err
		}
		all = append(all, s.option(q, rig, 0, r, s.measure(a, newCovered(current{}))))
		out.Tried++
	}
	return all, nil
}

// run follows a cast in full, for its flies alone.
func (s Search) run(q Question, mesh line.Mesh) (a Answer, ok bool) {
	tr, err := q.follow(q.setup(mesh), sample, nil)
	if err != nil || tr.status != line.Complete {
		return a, false
	}
	zero := make([]float64, len(tr.t))
	for i := range q.Rig.Flies {
		a.Flies = append(a.Flies, tr.fly(q, i, zero, zero))
	}
	a.HangEnd = tr.t[len(tr.t)-1]
	return a, true
}

// measure is an answer against the band.
func (s Search) measure(a Answer, c *covered) found {
	r := found{shallow: math.Inf(1), deep: math.Inf(-1), deepest: math.Inf(-1), ofFly: ofFly{most: -1}, length: a.HangEnd}
	boat := s.BoatSpeed * math.Cos(s.Angle)
	for i, f := range a.Flies {
		one := ofFly{fly: i, flyAtCount: float64(f.CountEnd)}
		for k, p := range f.Points {
			d := float64(p.Depth)
			r.deepest = max(r.deepest, d)
			if p.Phase == line.Retrieve {
				r.shallow, r.deep = min(r.shallow, d), max(r.deep, d)
			}
			if k == 0 {
				continue
			}
			o := f.Points[k-1]
			t, searched := c.sweep(o.FromTip+boat*o.T, float64(o.Depth), p.FromTip+boat*p.T, d, o.T, p.T-o.T, s.Band)
			r.seconds += t
			one.most += searched
			if p.Phase != line.Count {
				r.held += t
			}
		}
		r.take(one)
	}
	if r.shallow > r.deep { // an empty retrieve
		r.shallow, r.deep = r.deepest, r.deepest
	}
	r.fresh = c.fresh()
	return r
}

func (s Search) option(q Question, rig int, count float64, r Retrieve, f found) Option {
	cycle := f.length + s.Recast
	o := Option{
		Rig: rig, Count: count, Retrieve: r, Fresh: f.fresh, FreshPerHour: f.fresh * 3600 / cycle,
		Seconds: f.seconds, SecondsPerHour: f.seconds * 3600 / cycle, Held: f.held, Cycle: cycle,
		Top: quantity.Depth(f.shallow), Bottom: quantity.Depth(f.deep), Deepest: quantity.Depth(f.deepest),
		Fly: f.fly, AtCount: quantity.Depth(f.flyAtCount),
	}
	if n, counted := q.rating(); counted {
		o.Rule = quantity.Depth(n * count)
	}
	if s.LeaveSlack {
		o.Slack = q.along() * count
	} else {
		o.TakenIn = min(q.along()*count, q.LineOut-q.stop())
	}
	return o
}

// better orders options: fresh water an hour to a tenth of a metre, then rig,
// count and retrieving speed.
func better(a, b Option) int {
	if c := cmp.Compare(math.Round(b.FreshPerHour*10), math.Round(a.FreshPerHour*10)); c != 0 {
		return c
	}
	return cmp.Or(cmp.Compare(a.Rig, b.Rig), cmp.Compare(a.Count, b.Count), cmp.Compare(a.Retrieve.Speed, b.Retrieve.Speed), cmp.Compare(a.Retrieve.Kind, b.Retrieve.Kind))
}

// rank keeps the best, runs them again on the fine mesh, and says how well the
// depth can be fished.
func (out *Reached) rank(s Search, all []Option) {
	slices.SortFunc(all, better)
	c := newCovered(s.question(0).current())
	confirm := func(o Option) Option {
		q := s.question(o.Rig)
		q.Count, q.Retrieve = o.Count, o.Retrieve
		if !q.solved() {
			o.Confirmed = true
			return o
		}
		a, ok := s.run(q, line.Mesh{})
		if !ok {
			return o
		}
		f := s.measure(a, c)
		o = s.option(q, o.Rig, o.Count, o.Retrieve, f)
		if o.Rule > 0 {
			o.Why = strings.Join(q.whyFly(o.Fly, a.Flies[o.Fly], o.Rule), "; ")
		}
		o.Confirmed = true
		return o
	}
	ofRig, seen := make([]Option, len(s.Rigs)), make([]bool, len(s.Rigs))
	for _, o := range all {
		if o.Seconds <= 0 {
			break
		}
		kept := len(out.Options) < s.Best
		if !kept && seen[o.Rig] {
			continue
		}
		o = confirm(o)
		if kept {
			out.Options = append(out.Options, o)
		}
		if !seen[o.Rig] || better(o, ofRig[o.Rig]) < 0 {
			ofRig[o.Rig], seen[o.Rig] = o, true
		}
	}
	for rig, o := range ofRig {
		if seen[rig] {
			out.ByRig = append(out.ByRig, o)
		}
	}
	slices.SortFunc(out.Options, better)
	slices.SortFunc(out.ByRig, better)
	switch longest := slices.MaxFunc(append(out.Options, Option{}), func(a, b Option) int { return cmp.Compare(a.Held, b.Held) }); {
	case len(out.Options) == 0:
		out.Status = NotReach
		out.nearest(s, all)
	case longest.Held >= heldFor:
		out.Status = Held
	default:
		out.Status = Passed
	}
	if s.Bed > 0 && s.Bed < s.Band.Bottom {
		out.Remarks = append(out.Remarks, Remark{AboutBed, fmt.Sprintf("the bed lies at %s: the depth asked for goes below it", s.Units.Depth(s.Bed))})
	}
	if v := s.BoatSpeed * math.Cos(s.Angle); slices.ContainsFunc(s.Retrieves, func(r Retrieve) bool { return r.Kind != Still && r.Speed <= v }) {
		out.Remarks = append(out.Remarks, Remark{AboutPace, fmt.Sprintf("some of the retrieves tried are no faster than the boat, %s, and never draw the flies", s.Units.Retrieve(v))})
	}
}

// nearest finds what comes nearest to a depth that nothing reaches.
func (out *Reached) nearest(s Search, all []Option) {
	best := math.Inf(1)
	for _, o := range all {
		missing := max(s.Band.Top-float64(o.Deepest), float64(o.Top)-s.Band.Bottom)
		if missing < best-1e-9 {
			best = missing
			near := o
			out.Nearest, out.Missing = &near, max(missing, 0)
		}
	}
	if out.Nearest != nil {
		out.Remarks = append(out.Remarks, Remark{AboutCertainty, fmt.Sprintf("the nearest comes within %s", s.Units.Depth(out.Missing))})
	}
}
