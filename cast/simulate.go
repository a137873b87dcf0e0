package cast

import (
	"cmp"
	"math"
	"slices"

	"windlane/fluid"
	"windlane/line"
	"windlane/quantity"
	"windlane/tackle"
)

// along is the boat's speed in the plane of the cast. [m/s]
func (q Question) along() float64 { return q.BoatSpeed * math.Cos(q.Angle) }

// current is the water's in the plane of the cast.
func (q Question) current() current {
	return current{top: q.Current * math.Cos(q.Angle), scale: q.CurrentScale}
}

// stop is the line out when the hang begins. [m]
func (q Question) stop() float64 { return q.Rig.Leader.Length + q.HangMark }

// setup is the question in the terms of mechanics; names of bodies are
// positions, as flies may share a name.
func (q Question) setup(mesh line.Mesh) line.Setup {
	s := line.Setup{
		Water: line.Water{
			Density:            fluid.WaterDensity(q.Temperature),
			KinematicViscosity: fluid.WaterKinematicViscosity(q.Temperature),
			Drift:              q.current().top,
			DriftScale:         q.CurrentScale,
			Bed:                q.Bed,
		},
		Tip:           []line.TipMove{{From: line.Count, Height: q.TipHeight}},
		EntryDistance: min(entry, q.LineOut/3), BoatSpeed: q.along(), Count: q.Count, TakeIn: !q.LeaveSlack,
		StopWithLineOut: q.stop(), Mesh: mesh, Sample: sample,
	}
	s.Sections = sections(q.Rig, q.LineOut)
	bodies, _ := q.Rig.Bodies()
	for i, b := range bodies {
		s.Bodies = append(s.Bodies, line.Body{Name: string(rune('0' + i)), FromEnd: b.FromPoint, Mass: b.Mass, Volume: b.Volume, DragArea: b.DragArea, AddedMass: b.AddedMass})
	}
	switch r := q.Retrieve; r.Kind {
	case Still:
		s.Count += r.For
	case Strips:
		s.Pull = line.Pull{Speed: r.Speed, Length: r.Strip, PullSpeed: r.StripSpeed}
	default:
		s.Pull = line.Pull{Speed: r.Speed}
	}
	after := 0.0
	for _, h := range q.Hang {
		s.Tip = append(s.Tip, line.TipMove{From: line.Hang, After: after, Height: h.Height, Over: max(h.Over, 0.1)})
		after += max(h.Over, 0.1) + h.Hold
	}
	s.Hang = after
	return s
}

// sections are the rig's, those shorter than 5 cm joined to a neighbour.
func sections(r tackle.Rig, out float64) []line.Section {
	var list []line.Section
	for _, t := range r.Sections(out) {
		n := len(list)
		if n > 0 && list[n-1].Length < 0.05 {
			t.Length += list[n-1].Length
			list = list[:n-1]
		}
		list = append(list, line.Section{Length: t.Length, LinearDensity: t.LinearDensity, Diameter: t.Diameter, AxialStiffness: t.AxialStiffness})
	}
	return list
}

// track is a cast as it was followed: places of the flies at the same times.
type track struct {
	t        []float64
	phase    []line.Phase
	x, d     [][]float64 // by fly: downwind of the tip, depth
	middle   float64     // deepest part of the line proper at the end of the count
	ends     [3]float64
	status   line.Status
	drawings []Drawing
	onBed    []float64 // -1: not
	taken    float64   // line taken in during the count
	steps    int
}

// follow runs a setup and keeps points every dt and at the phase ends.
func (q Question) follow(setup line.Setup, dt float64, moments []float64) (track, error) {
	s, err := line.New(setup)
	if err != nil {
		return track{}, asFault(err)
	}
	flies := len(setup.Bodies)
	out := track{x: make([][]float64, flies), d: make([][]float64, flies)}
	keep := func(t float64, p line.Phase) {
		out.t, out.phase = append(out.t, t), append(out.phase, p)
		for i := range flies {
			x, d := s.Place(i, t)
			out.x[i], out.d[i] = append(out.x[i], x), append(out.d[i], d)
		}
	}
	draw := func(t float64, p line.Phase) {
		x, d := s.Shape(t, nil, nil)
		out.drawings = append(out.drawings, Drawing{T: t, Phase: p, FromTip: x, Depth: d})
	}
	phaseAt := func(t float64) line.Phase { // a still retrieve is the later part of a count
		if p := s.Phase(); p != line.Count || q.Retrieve.Kind != Still || t <= q.Count+1e-9 {
			return p
		}
		return line.Retrieve
	}
	keep(0, line.Count)
	ended := line.Count
	next, m := 1, 0
	for counting := true; ; {
		if counting && s.Time() >= q.Count { // within a step if the flies are then left still
			out.ends[line.Count], counting = q.Count, false
			out.taken = q.LineOut - s.LineOut(q.Count)
			out.middle = s.DeepestLine(q.Count)
			draw(q.Count, line.Count)
		}
		if p := s.Phase(); s.Time() >= s.PhaseEnd() && p >= ended {
			if ended = p + 1; p != line.Count {
				out.ends[p] = s.Time()
				draw(s.Time(), phaseAt(s.Time()))
			}
		}
		if !s.Next() {
			break
		}
		for ; float64(next)*dt <= s.Time()+1e-9; next++ {
			t := float64(next) * dt
			keep(t, phaseAt(t))
		}
		for ; m < len(moments) && moments[m] <= s.Time(); m++ {
			draw(moments[m], phaseAt(moments[m]))
		}
	}
	slices.SortStableFunc(out.drawings, func(a, b Drawing) int { return cmp.Compare(a.T, b.T) })
	if n := len(out.t); s.Time() > out.t[n-1]+1e-6 {
		keep(s.Time(), phaseAt(s.Time()))
	}
	out.status, out.steps = s.Status(), s.Steps
	for i := range flies {
		at := -1.0
		if t, ok := s.OnBed(i); ok {
			at = t
		}
		out.onBed = append(out.onBed, at)
	}
	return out, nil
}

// simulate answers a question whose depths come from line, count, pull and drift.
func (q Question) simulate() (Answer, error) {
	a := Answer{Way: q.Way, Status: Complete}
	if math.Abs(q.Angle) > MostAngle+1e-12 {
		a.Status = TooWide
		a.remarkAngle(q)
		return a, nil
	}
	tr, err := q.follow(q.setup(line.Mesh{}), sample, slices.Sorted(slices.Values(q.Moments)))
	if err != nil {
		return a, err
	}
	if tr.status != line.Complete {
		a.Status = Status(tr.status)
	}
	a.Steps = tr.steps
	a.CountEnd, a.RetrieveEnd, a.HangEnd = tr.ends[0], tr.ends[1], tr.ends[2]
	a.Cycle = tr.t[len(tr.t)-1] + q.Recast
	a.TakenIn = tr.taken
	if q.LeaveSlack {
		a.TakenIn = 0
		a.Slack = q.along() * q.Count
	}
	a.Drawings = tr.drawings
	low, high := q.spread(tr)
	for i := range q.Rig.Flies {
		a.Flies = append(a.Flies, tr.fly(q, i, low[i], high[i]))
	}
	a.contact(q, tr)
	a.rule(q, tr)
	a.remark(q)
	return a, nil
}

// fly is the path of one fly.
func (tr track) fly(q Question, i int, low, high []float64) FlyPath {
	m, boat, water := q.Rig.Flies[i], q.along(), q.current()
	f := FlyPath{Name: m.Fly.Name, FromPoint: m.FromPoint, Deepest: quantity.Depth(math.Inf(-1))}
	n := len(tr.t)
	through := func(a, b int) float64 { // the water, on the mean
		dt := tr.t[b] - tr.t[a]
		if dt <= 0 {
			return 0
		}
		flow := water.at((tr.d[i][a] + tr.d[i][b]) / 2)
		return math.Hypot(tr.x[i][b]-tr.x[i][a]+(boat-flow)*dt, tr.d[i][b]-tr.d[i][a]) / dt
	}
	for k := range n {
		speed := through(max(k-1, 0), min(k+1, n-1))
		d := quantity.Depth(tr.d[i][k])
		f.Points = append(f.Points, Point{T: tr.t[k], Phase: tr.phase[k], FromTip: tr.x[i][k], Depth: d, Low: d + quantity.Depth(low[k]), High: d + quantity.Depth(high[k]), Speed: speed})
		if d > f.Deepest {
			f.Deepest, f.DeepestAt, f.DeepestPhase = d, tr.t[k], tr.phase[k]
		}
		if k > 0 {
			p := tr.phase[k]
			dt := tr.t[k] - tr.t[k-1]
			f.Seconds[p], f.Searched[p] = layers(f.Seconds[p], f.Searched[p], tr.d[i][k-1], tr.d[i][k], dt, through(k-1, k))
		}
	}
	f.CountEnd, f.RetrieveEnd, f.HangEnd = tr.depthAt(i, tr.ends[0]), tr.depthAt(i, tr.ends[1]), tr.depthAt(i, tr.ends[2])
	if tr.onBed[i] >= 0 {
		f.OnBed, f.OnBedAt = true, tr.onBed[i]
	}
	return f
}

// depthAt is a fly's depth at a time, between the points kept.
func (tr track) depthAt(i int, t float64) quantity.Depth {
	for k := 1; k < len(tr.t); k++ {
		if tr.t[k] >= t {
			f := (t - tr.t[k-1]) / (tr.t[k] - tr.t[k-1])
			return quantity.Depth(tr.d[i][k-1] + f*(tr.d[i][k]-tr.d[i][k-1]))
		}
	}
	return quantity.Depth(tr.d[i][len(tr.t)-1])
}

// spread is how much shallower (negative) and deeper each fly may run at each
// time: the root of the summed squares of what each uncertain input does.
func (q Question) spread(tr track) (low, high [][]float64) {
	n, flies := len(tr.t), len(q.Rig.Flies)
	for range flies {
		low, high = append(low, make([]float64, n)), append(high, make([]float64, n))
	}
	if q.NoSpread {
		return low, high
	}
	mid := line.Mesh{Preset: line.Mid}
	base, err := q.follow(q.setup(mid), sample, nil)
	if err != nil {
		return low, high
	}
	vary := func(change func(*line.Setup)) {
		s := q.setup(mid)
		change(&s)
		v, err := q.follow(s, sample, nil)
		if err != nil {
			return
		}
		for i := range flies {
			for k := range min(n, len(v.t), len(base.t)) {
				e := v.d[i][k] - base.d[i][k]
				if e < 0 {
					low[i][k] += e * e
				} else {
					high[i][k] += e * e
				}
			}
		}
	}
	for _, f := range []float64{0.9, 1.1} {
		vary(func(s *line.Setup) { sinkBy(s, f) })
		vary(func(s *line.Setup) { s.Drag = line.ScaledDrag(f, 1) })
	}
	for _, f := range []float64{0.5, 2} {
		vary(func(s *line.Setup) { s.Drag = line.ScaledDrag(1, f) })
	}
	for i := range flies {
		for k := range n {
			low[i][k], high[i][k] = -math.Sqrt(low[i][k]), math.Sqrt(high[i][k])
		}
	}
	return low, high
}

// sinkBy makes every sinking section but the leader sink so many times as fast,
// by its diameter.
func sinkBy(s *line.Setup, factor float64) {
	rho, nu := s.Water.Density, s.Water.KinematicViscosity
	for i := range s.Sections[:len(s.Sections)-1] {
		sec := &s.Sections[i]
		v := fluid.Cylinder{LinearDensity: sec.LinearDensity, Diameter: sec.Diameter}.SinkSpeed(rho, nu)
		if v <= 0 {
			continue
		}
		if d, ok := fluid.DiameterFromSink(sec.LinearDensity, v*factor, rho, nu); ok {
			sec.Diameter = d
		}
	}
}

// contact finds when the point fly moves toward the boat at half the speed that
// a straight line would give it, taken over a strip's period or a second.
func (a *Answer) contact(q Question, tr track) {
	want := (q.Retrieve.Speed - q.along()) / 2
	if q.Retrieve.Kind == Still || want <= 0 {
		return
	}
	window := 1.0
	if q.Retrieve.Kind == Strips {
		window = max(window, q.Retrieve.Strip/q.Retrieve.Speed)
	}
	j := 0
	for k := range tr.t {
		if tr.t[k] < tr.ends[0] || tr.t[k] > tr.ends[1]-window {
			continue
		}
		for j = max(j, k); j < len(tr.t)-1 && tr.t[j]-tr.t[k] < window-1e-9; j++ {
		}
		dt := tr.t[j] - tr.t[k]
		world := func(n int) float64 { return tr.x[0][n] + q.along()*tr.t[n] }
		if dt > 0 && (world(k)-world(j))/dt >= want {
			a.Contact, a.ContactTime = true, tr.t[k]-tr.ends[0]
			return
		}
	}
}
