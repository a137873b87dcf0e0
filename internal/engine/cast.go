package engine

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"windlane/cast"
	"windlane/internal/wire"
	"windlane/quantity"
	"windlane/tackle"
)

func castOnce(r *wire.CastRequest) (wire.CastAnswer, *wire.Fault) {
	rig, fault := rigToCast(r)
	if fault != nil {
		return wire.CastAnswer{}, fault
	}
	retrieve, fault := retrieveOf(r.Retrieve, "retrieve", simulated(rig.Way))
	if fault != nil {
		return wire.CastAnswer{}, fault
	}
	a, err := cast.Run(cast.Question{
		Rig: rig, LineOut: r.LineOut, TipHeight: r.TipHeight, Hang: stagesOf(r.Hang), HangMark: r.HangMark,
		Angle: r.Angle * degree, BoatSpeed: r.BoatSpeed, Count: r.Count, LeaveSlack: r.TakeIn != nil && !*r.TakeIn,
		Retrieve: retrieve, Temperature: r.Temperature, Bed: r.Bed, Recast: r.Recast,
		Moments: slices.Sorted(slices.Values(r.Moments)), Units: unitsOf(r.Units),
	})
	if err != nil {
		return wire.CastAnswer{}, castFault(err, r.Bag, "rig", []tackle.Rig{rig})
	}
	return castAnswer(a), nil
}

// rigToCast is the rig given, or the one of that name in the bag.
func rigToCast(r *wire.CastRequest) (tackle.Rig, *wire.Fault) {
	switch {
	case r.Bag == nil && r.Rig == nil:
		return tackle.Rig{}, wire.Refuse("rig", "is missing: a rig belongs here, or a bag and rig_name instead")
	case r.Bag == nil && r.RigName != "":
		return tackle.Rig{}, wire.Refuse("rig_name", "is for a rig of a bag: bring the bag, or leave it out")
	case r.Bag == nil:
		return rigOf(*r.Rig, "rig")
	case r.Rig != nil:
		return tackle.Rig{}, wire.Refuse("rig", "stands beside a bag: give one of them")
	}
	rigs, fault := rigsOf(*r.Bag)
	if fault != nil {
		return tackle.Rig{}, fault
	}
	if r.RigName == "" {
		return tackle.Rig{}, wire.Refuse("rig_name", "is missing: the bag has %s", names(rigs))
	}
	at := slices.IndexFunc(rigs, func(g tackle.Rig) bool { return g.Name == r.RigName })
	if at < 0 {
		return tackle.Rig{}, wire.Refuse("rig_name", "is %q: the bag has %s", r.RigName, names(rigs))
	}
	return rigs[at], nil
}

// simulated is whether a way goes through the mechanics of the line.
func simulated(way tackle.Way) bool {
	return way != tackle.Bung && way != tackle.Dries && way != tackle.ShortLine
}

// retrieveOf refuses what a kind of retrieve has no use for.
func retrieveOf(r wire.Retrieve, at string, simulated bool) (cast.Retrieve, *wire.Fault) {
	kind := cast.Kind(r.Kind)
	out := cast.Retrieve{Kind: kind, Speed: r.Speed, Strip: r.Strip, StripSpeed: r.StripSpeed, For: r.For}
	if !slices.Contains(cast.Kinds, kind) { // an empty one would be taken as steady
		return out, wire.Refuse(at+".kind", "is %q: allowed are %s", r.Kind, words(cast.Kinds))
	}
	switch {
	case kind == cast.Still && r.Speed != 0:
		return out, wire.Refuse(at+".speed_m_s", "is %v where the flies are left still: leave it out", r.Speed)
	case kind != cast.Strips && r.Strip != 0:
		return out, wire.Refuse(at+".strip_m", "is for the kind strips only")
	case kind != cast.Strips && r.StripSpeed != 0:
		return out, wire.Refuse(at+".strip_speed_m_s", "is for the kind strips only")
	case simulated && kind != cast.Still && r.For != 0:
		return out, wire.Refuse(at+".for_s", "is for the kind still, and for the ways bung, dries and short_line")
	case simulated && kind == cast.Still && r.For == 0:
		return out, wire.Refuse(at+".for_s", "is missing: the time that the flies are left still")
	}
	return out, nil
}

func stagesOf(list []wire.HangStage) []cast.Stage {
	var out []cast.Stage
	for _, h := range list {
		out = append(out, cast.Stage{Height: h.Height, Over: h.Over, Hold: h.Hold})
	}
	return out
}

func unitsOf(name string) quantity.System {
	if name == "metric" {
		return quantity.Metric
	}
	return quantity.Trade
}

// castFault gives a fault of cast the request's field. In a bag it names the rig,
// as the request has no field for it.
func castFault(err error, bag *wire.File, at string, rigs []tackle.Rig) *wire.Fault {
	var f *cast.Fault
	if !errors.As(err, &f) {
		return wire.Refuse("", "%v", err)
	}
	field, message := f.Field, f.Message
	if inside, ok := strings.CutPrefix(field, "rig (as "); ok { // the mechanics refused it
		field, message = at, "cannot be cast so: "+strings.TrimSuffix(inside, ")")+" "+message
	}
	if bag == nil || !strings.HasPrefix(field, at) {
		return wire.Refuse(field, "%s", message)
	}
	rest := strings.TrimPrefix(field, at)
	which := 0
	if n, _ := fmt.Sscanf(rest, "[%d]", &which); n == 1 {
		_, rest, _ = strings.Cut(rest, "]")
	}
	return wire.Refuse("bag", "%s: rig %q: %s %s", bag.Name, rigs[which].Name, strings.TrimPrefix(rest, "."), message)
}

func castAnswer(a cast.Answer) wire.CastAnswer {
	out := wire.CastAnswer{
		Way: string(a.Way), Flies: []wire.FlyPath{}, Layer: cast.LayerDepth,
		CountEnd: a.CountEnd, RetrieveEnd: a.RetrieveEnd, HangEnd: a.HangEnd, Cycle: a.Cycle, Slack: a.Slack, TakenIn: a.TakenIn,
		Drawings: []wire.Drawing{}, Remarks: remarks(a.Remarks),
	}
	switch a.Status {
	case cast.Complete:
		out.Status = "complete"
	case cast.TooWide:
		out.Status, out.Reason = "too_wide", string(a.Status)
	default:
		out.Status, out.Reason = "broken_off", string(a.Status)
	}
	if a.Contact {
		out.Contact = &a.ContactTime
	}
	if r := a.Rule; r != nil {
		out.Rule = &wire.Rule{Depth: float64(r.Depth), Middle: float64(r.Middle), Point: float64(r.Point) + 0, Reasons: filled(r.Reasons)}
	}
	for _, f := range a.Flies {
		out.Flies = append(out.Flies, flyPath(f))
	}
	for _, d := range a.Drawings {
		out.Drawings = append(out.Drawings, wire.Drawing{T: d.T, Phase: d.Phase.String(), X: d.FromTip, Depth: d.Depth})
	}
	return out
}

func flyPath(f cast.FlyPath) wire.FlyPath {
	out := wire.FlyPath{
		Name: f.Name, FromPoint: f.FromPoint, Path: make([]wire.PathPoint, len(f.Points)),
		CountEnd: float64(f.CountEnd) + 0, RetrieveEnd: float64(f.RetrieveEnd) + 0, HangEnd: float64(f.HangEnd) + 0,
		Deepest: float64(f.Deepest) + 0, DeepestAt: f.DeepestAt, DeepestPhase: f.DeepestPhase.String(),
		Seconds: byPhase(f.Seconds), Searched: byPhase(f.Searched),
	}
	if f.OnBed {
		out.OnBed = &f.OnBedAt
	}
	for i, p := range f.Points {
		out.Path[i] = wire.PathPoint{T: p.T, Phase: p.Phase.String(), X: p.FromTip + 0, Depth: float64(p.Depth) + 0, Low: float64(p.Low) + 0, High: float64(p.High) + 0, Speed: p.Speed}
	}
	return out
}

func byPhase(x [3][]float64) wire.ByPhase {
	return wire.ByPhase{Count: filled(x[0]), Retrieve: filled(x[1]), Hang: filled(x[2])}
}

// filled is a list, never null.
func filled[T any](list []T) []T {
	if list == nil {
		return []T{}
	}
	return list
}

func remarks(list []cast.Remark) []wire.Remark {
	out := []wire.Remark{}
	for _, r := range list {
		out = append(out, wire.Remark{About: string(r.About), Text: r.Text})
	}
	return out
}

func reach(r *wire.ReachRequest) (wire.ReachAnswer, *wire.Fault) {
	rigs, fault := rigsToReach(r)
	if fault != nil {
		return wire.ReachAnswer{}, fault
	}
	s := cast.Search{
		Rigs: rigs, LineOut: r.LineOut, TipHeight: r.TipHeight, Hang: stagesOf(r.Hang), HangMark: r.HangMark,
		Band: cast.Band{Top: r.Band.Top, Bottom: r.Band.Bottom}, BoatSpeed: r.BoatSpeed, Angle: r.Angle * degree,
		LeaveSlack: r.TakeIn != nil && !*r.TakeIn, Counts: r.Counts, Temperature: r.Temperature, Bed: r.Bed,
		Recast: r.Recast, Best: r.Best, Units: unitsOf(r.Units),
	}
	hands := slices.ContainsFunc(rigs, func(g tackle.Rig) bool { return simulated(g.Way) })
	for i, one := range r.Retrieves {
		retrieve, fault := retrieveOf(one, fmt.Sprintf("retrieves[%d]", i), hands)
		if fault != nil {
			return wire.ReachAnswer{}, fault
		}
		s.Retrieves = append(s.Retrieves, retrieve)
	}
	found, err := cast.Reach(s)
	if err != nil {
		return wire.ReachAnswer{}, castFault(err, r.Bag, "rigs", rigs)
	}
	out := wire.ReachAnswer{Options: []wire.ReachOption{}, ByRig: []wire.ReachOption{}, Tried: found.Tried, Broken: found.Broken, Remarks: remarks(found.Remarks)}
	_, out.Reason, _ = strings.Cut(string(found.Status), ": ")
	switch found.Status {
	case cast.Held:
		out.Status = "held"
	case cast.Passed:
		out.Status = "passed"
	default:
		out.Status = "not_reached"
	}
	for _, o := range found.Options {
		out.Options = append(out.Options, reachOption(o, rigs))
	}
	for _, o := range found.ByRig {
		out.ByRig = append(out.ByRig, reachOption(o, rigs))
	}
	if found.Nearest != nil {
		o := reachOption(*found.Nearest, rigs)
		out.Nearest, out.Missing = &o, &found.Missing
	}
	return out, nil
}

// rigsToReach are the rigs given, or those of the bag that are fished in the way.
func rigsToReach(r *wire.ReachRequest) ([]tackle.Rig, *wire.Fault) {
	if r.Way != "" && !slices.Contains(tackle.Ways, tackle.Way(r.Way)) {
		return nil, wire.Refuse("way", "is %q: allowed are %s", r.Way, words(tackle.Ways))
	}
	var rigs []tackle.Rig
	switch {
	case r.Bag == nil && r.Rigs == nil:
		return nil, wire.Refuse("rigs", "are missing: a list of rigs belongs here, or a bag instead")
	case r.Bag != nil && r.Rigs != nil:
		return nil, wire.Refuse("rigs", "stand beside a bag: give one of them")
	case r.Bag != nil:
		var fault *wire.Fault
		if rigs, fault = rigsOf(*r.Bag); fault != nil {
			return nil, fault
		}
	default:
		for i, one := range r.Rigs {
			rig, fault := rigOf(one, fmt.Sprintf("rigs[%d]", i))
			if fault != nil {
				return nil, fault
			}
			rigs = append(rigs, rig)
		}
	}
	if r.Way == "" {
		return rigs, nil
	}
	if r.Bag == nil {
		return nil, wire.Refuse("way", "chooses among the rigs of a bag: each of rigs has its own")
	}
	var fit []tackle.Rig
	for _, g := range rigs {
		if g.Way == tackle.Way(r.Way) {
			fit = append(fit, g)
		}
	}
	if fit == nil {
		return nil, wire.Refuse("way", "is %q, and the bag has no rig for it: it has %s", r.Way, ways(rigs))
	}
	return fit, nil
}

// ways lists how rigs are fished, each once.
func ways(rigs []tackle.Rig) string {
	var list []tackle.Way
	for _, g := range rigs {
		if !slices.Contains(list, g.Way) {
			list = append(list, g.Way)
		}
	}
	return words(list)
}

func reachOption(o cast.Option, rigs []tackle.Rig) wire.ReachOption {
	r := o.Retrieve
	return wire.ReachOption{
		Rig: o.Rig, RigName: rigs[o.Rig].Name, Way: string(rigs[o.Rig].Way), Count: o.Count,
		Retrieve: wire.Retrieve{Kind: string(r.Kind), Speed: r.Speed, Strip: r.Strip, StripSpeed: r.StripSpeed, For: r.For},
		Fresh:    o.Fresh, FreshPerHour: o.FreshPerHour, Seconds: o.Seconds, SecondsPerHour: o.SecondsPerHour, Held: o.Held,
		Cycle: o.Cycle, Slack: o.Slack, TakenIn: o.TakenIn,
		Top: float64(o.Top) + 0, Bottom: float64(o.Bottom) + 0, Deepest: float64(o.Deepest) + 0, Confirmed: o.Confirmed,
	}
}
