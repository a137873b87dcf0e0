package cast

import (
	"fmt"
	"math"
	"slices"

	"windlane/drift"
	"windlane/line"
	"windlane/quantity"
	"windlane/tackle"
)

// ruleAgrees is how near n·t needs no explaining. [1]
const ruleAgrees = 0.05

// comesAfter is how much deeper than at the end of the count is worth a word. [m]
const comesAfter = 0.05

// rating is the sink by which a sinking line is counted down, if it is. [m/s]
func (q Question) rating() (n float64, ok bool) {
	if !counted(q.Way) || q.Rig.Line.Profile == tackle.Floating {
		return 0, false
	}
	if n = q.Rig.Line.Sink; n == 0 {
		n = q.Rig.Line.SinkAt(q.Temperature)
	}
	return n, true
}

// apart is whether a depth is not that of the rule.
func apart(d, rule quantity.Depth) bool {
	return math.Abs(float64(d-rule)) > ruleAgrees*float64(rule)+0.02
}

// whyFly says why a fly is not at the depth of the rule when the count ends, and
// when drawing it takes it deeper yet.
func (q Question) whyFly(i int, f FlyPath, rule quantity.Depth) []string {
	var out []string
	if fly := q.Rig.Flies[i].Fly; apart(f.CountEnd, rule) {
		switch sink := fly.SinkSpeed(); {
		case f.CountEnd > rule:
			out = append(out, fly.Name+" sinks faster than the line and goes ahead of it")
		case sink < 0:
			out = append(out, fly.Name+" floats: it stays up until the line draws it down")
		default:
			out = append(out, "leader and "+fly.Name+" sink more slowly than the line, and follow its track only when it is drawn")
		}
	}
	deeper := func(p Point) bool { return p.Phase == line.Retrieve && p.Depth > f.CountEnd+comesAfter }
	if q.Retrieve.Kind != Still && slices.ContainsFunc(f.Points, deeper) {
		out = append(out, "the flies go deeper first when the retrieve starts, following the line's own track")
	}
	return out
}

// rule sets n·t beside what was computed, and says why they differ.
func (a *Answer) rule(q Question, tr track) {
	n, ok := q.rating()
	if !ok {
		return
	}
	actual := q.Rig.Line.SinkAt(q.Temperature)
	r := &Rule{Depth: quantity.Depth(n * q.Count), Middle: quantity.Depth(tr.middle)}
	r.Point = a.Flies[0].CountEnd
	say := func(format string, args ...any) { r.Reasons = append(r.Reasons, fmt.Sprintf(format, args...)) }
	u := q.Units
	if apart(r.Middle, r.Depth) {
		if inches(u, actual) != inches(u, n) { // a difference that can be said
			say("in water of %s the line sinks at %s, not at its rated %s", u.Temperature(q.Temperature), inches(u, actual), inches(u, n))
		}
		if q.Rig.Line.Profile != tackle.Even && q.Rig.Line.Profile != tackle.BarelySinking {
			say("the rating holds for one part of the line only: its profile is %s", q.Rig.Line.Profile)
		}
		if float64(r.Depth) > 0.3*(q.LineOut-q.Rig.Leader.Length) {
			say("so short a line is held up by rod and leader before its middle is that deep")
		}
		if q.Bed > 0 && float64(r.Depth) > q.Bed {
			say("the bed is at %s", u.Depth(q.Bed))
		}
		if len(r.Reasons) == 0 {
			say("leader and flies hold the line's end up, and the rod its other end")
		}
	}
	r.Reasons = append(r.Reasons, q.whyFly(0, a.Flies[0], r.Depth)...)
	a.Rule = r
}

// inches says a sink to a tenth of an inch a second, as halves would hide why.
func inches(u quantity.System, v float64) string {
	if u == quantity.Metric {
		return fmt.Sprintf("%.1f cm/s", v*100)
	}
	return fmt.Sprintf("%.1f in/s", v/0.0254)
}

// wetting is the sink under which a leader may stay in the surface until it is
// wetted: nylon of a quarter millimetre; its weight is a thousandth of what
// surface tension can hold (0.073 N/m, from memory). [m/s]
const wetting = 0.010

// handHeight is how far above the water a seated angler holds the butt of a rod
// pointed straight up; common practice, no source. [m]
const handHeight = 0.6

// remark says what the person should know about a simulated cast.
func (a *Answer) remark(q Question) {
	u := q.Units
	if v := q.along(); q.Retrieve.Kind != Still && q.Retrieve.Speed <= v {
		a.say(AboutPace, "the retrieve, %s, is no faster than the boat, %s: the flies are never drawn, and slack grows; keep at or above the boat's pace, or fish them still", u.Retrieve(q.Retrieve.Speed), u.Retrieve(v))
	}
	if a.Slack > 0.25*q.LineOut {
		a.say(AboutSlack, "the drift folds %s of the %s out while you count: take line in as you count, or count less", u.Cast(a.Slack), u.Cast(q.LineOut))
	}
	if !q.LeaveSlack && a.TakenIn >= q.LineOut-q.stop()-0.01 && q.along() > 0 && a.TakenIn > 0 {
		a.say(AboutSlack, "by the end of the count the boat has taken up all there was to retrieve")
	}
	if a.RetrieveEnd > a.CountEnd && q.Retrieve.Kind != Still && q.Retrieve.Speed > q.along() && !a.Contact {
		a.say(AboutSlack, "the hand never comes into touch with the point fly during the retrieve")
	}
	for _, f := range q.Rig.Line.Check(u) {
		if f.Level != tackle.Good {
			a.say(AboutLabel, "%s", f.Text)
		}
	}
	if q.Rig.Leader.Section().SinkAt(q.Temperature) < wetting {
		a.say(AboutSurface, "a dry leader of this kind can hang in the surface: the depths take it as wetted when it lands")
	}
	if point := q.Rig.Flies[0].Fly; q.Way == tackle.WashingLine && point.SinkSpeed() >= 0 {
		a.say(AboutBuoyancy, "a washing line hangs from a point that floats, and %s sinks", point.Name)
	}
	for _, f := range a.Flies {
		if f.OnBed {
			a.say(AboutBed, "%s is on the bed after %.0f s", f.Name, f.OnBedAt)
		}
	}
	if rod := q.Rig.Rod.Length; len(q.Hang) > 0 && len(q.Rig.Flies) > 1 && rod > 0 {
		if up := q.stop() - q.Rig.Flies[len(q.Rig.Flies)-1].FromPoint; up > rod+handHeight {
			a.say(AboutHang, "with %s outside the tip ring the top dropper cannot be brought to the surface by this rod", u.Cast(q.stop()))
		}
	}
	a.remarkAngle(q)
	a.pace(q)
	water := "still water"
	if q.Current != 0 {
		water = "water that the wind moves, " + u.Drift(math.Abs(q.Current)) + " at the top and less and less below,"
	}
	a.say(AboutCertainty, "computed in %s for a line in one plane; friction along the line is known within a factor of two, so a depth is good to about %s either way", water, u.Depth(0.25))
}

func (a *Answer) remarkAngle(q Question) {
	switch deg := math.Abs(q.Angle) * 180 / math.Pi; {
	case a.Status == TooWide:
		a.say(AboutAngle, "%.0f° off the drift: %s", deg, string(TooWide))
	case deg > 10:
		a.say(AboutAngle, "%.0f° off the drift: the boat's speed along the cast is taken, its side step is not", deg)
	}
}

// pace says when the drift is not what the way wants.
func (a *Answer) pace(q Question) {
	want, ok := drift.Wanted(drift.Way(q.Way))
	const near = 0.5 / 60 // [m/s]
	if v := q.BoatSpeed; ok && v > 0 && (v < want.Slow-near || v > want.Fast+near) {
		a.say(AboutPace, "the boat makes %s; this way of fishing wants %s to %s", q.Units.Drift(v), q.Units.DriftFigure(want.Slow), q.Units.Drift(want.Fast))
	}
}
