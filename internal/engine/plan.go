package engine

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"time"

	"github.com/paulmach/orb"

	"windlane/drift"
	"windlane/geodesy"
	"windlane/internal/text"
	"windlane/internal/wire"
	"windlane/plan"
	"windlane/presence"
	"windlane/quantity"
	"windlane/water"
	"windlane/waves"
)

func planDrifts(r *wire.PlanRequest) (wire.PlanAnswer, *wire.Fault) {
	lake, fault := lakeOf(r)
	if fault != nil {
		return wire.PlanAnswer{}, fault
	}
	q, fault := questionOf(r, lake)
	if fault != nil {
		return wire.PlanAnswer{}, fault
	}
	p, err := plan.Day(context.Background(), q)
	if err != nil {
		return wire.PlanAnswer{}, wire.Refuse("", "%v", err)
	}
	return planAnswer(lake, q, p, unitsOf(r.Units)), nil
}

// lakeOf surveys the lake that was sent along, at today's level.
func lakeOf(r *wire.PlanRequest) (*water.Water, *wire.Fault) {
	outline, err := water.ReadOutline("outline", bytes.NewReader(r.Water.Outline))
	if err != nil {
		return nil, fileFault("water.outline", err)
	}
	var files []*water.Soundings
	if len(r.Water.Soundings) > 0 {
		s := &water.Soundings{Name: "the soundings", List: make([]water.Sounding, len(r.Water.Soundings))}
		for i, one := range r.Water.Soundings {
			s.List[i] = water.Sounding{At: geodesy.Position{LonDeg: one[0], LatDeg: one[1]}, Depth: one[2]}
			if !s.List[i].At.Valid() || !(one[2] >= 0 && one[2] <= 2000) {
				return nil, wire.Refuse(fmt.Sprintf("water.soundings[%d]", i), "is %v: [longitude, latitude, depth] belong here, in degrees (±180, ±90) and metres (0 to 2000, positive down, at full level)", one)
			}
		}
		files = []*water.Soundings{s}
	}
	lake, err := water.Survey(outline, files, water.Settings{Cell: r.Water.Cell})
	if err != nil {
		field := "water.outline" // it is too large for the cell, or too small
		switch {
		case r.Water.Cell > 0:
			field = "water.cell_m"
		case files != nil:
			field = "water.soundings"
		}
		var said *text.Fault
		if errors.As(err, &said) {
			return nil, fileFault(field, err)
		}
		return nil, wire.Refuse(field, "cannot be used: %v", err)
	}
	today, err := lake.At(r.Drawdown)
	if err != nil {
		return nil, wire.Refuse("drawdown_m", "leaves no lake: %v", err)
	}
	return today, nil
}

// clockOf reads local times of one request.
type clockOf struct {
	date time.Time // its midnight
}

// at reads "09:00", "09:00:30" or "2026-05-02T09:00".
func (c clockOf) at(s, field string) (time.Time, *wire.Fault) {
	for _, form := range []string{"15:04", "15:04:05"} {
		if t, err := time.Parse(form, s); err == nil {
			return c.date.Add(time.Duration(t.Hour())*time.Hour + time.Duration(t.Minute())*time.Minute + time.Duration(t.Second())*time.Second), nil
		}
	}
	for _, form := range []string{"2006-01-02T15:04", "2006-01-02T15:04:05"} {
		if t, err := time.ParseInLocation(form, s, c.date.Location()); err == nil {
			return t, nil
		}
	}
	return time.Time{}, wire.Refuse(field, "is %q: a time by the lake's clock belongs here, such as \"09:00\" or \"2026-05-02T09:00\"", s)
}

// longestGap is how far rows of the forecast may lie apart, and the last of them
// before the end. As in files (docs/formats.md).
const (
	longestGap = 3 * time.Hour
	holds      = time.Hour
)

// questionOf turns the edge's names into the planner's question.
func questionOf(r *wire.PlanRequest, lake *water.Water) (plan.Question, *wire.Fault) {
	q := plan.Question{Lake: plan.Of(lake, significant), Limits: limitsOf(r.Limits), Settings: settingsOf(r)}
	date, err := time.ParseInLocation(time.DateOnly, r.Date, time.FixedZone("", r.Offset*60))
	if err != nil {
		return q, wire.Refuse("date", "is %q: a date such as 2026-04-14 belongs here", r.Date)
	}
	clock := clockOf{date}
	var fault *wire.Fault
	if q.From, fault = clock.at(r.From, "from_local"); fault != nil {
		return q, fault
	}
	if q.Until, fault = clock.at(r.Until, "until_local"); fault != nil {
		return q, fault
	}
	switch d := q.Until.Sub(q.From); {
	case d <= 0:
		return q, wire.Refuse("until_local", "is %q, not after from_local %q: a day ends after it begins", r.Until, r.From)
	case d > 24*time.Hour:
		return q, wire.Refuse("until_local", "is %q, %.0f h after from_local: allowed is up to 24", r.Until, d.Hours())
	case q.Limits.Pace.Fast < q.Limits.Pace.Slow:
		return q, wire.Refuse("limits.speed_wanted.fast_m_s", "is %v, below slow_m_s: the slower speed comes first", q.Limits.Pace.Fast)
	case q.Settings.Longest < q.Settings.Shortest:
		return q, wire.Refuse("settings.longest_s", "is %v, below the shortest drift's %v s", q.Settings.Longest, q.Settings.Shortest)
	}
	if q.Start, q.Home, fault = placesOf(r, lake); fault != nil {
		return q, fault
	}
	if fault := afloat(r, lake, q); fault != nil {
		return q, fault
	}
	if q.Boat, fault = boatOf(r); fault != nil {
		return q, fault
	}
	if fault = fishedOf(r.Fished, lake, &q); fault != nil {
		return q, fault
	}
	for i, way := range r.Others {
		track, fault := positions(way, fmt.Sprintf("other_drifts[%d]", i))
		if fault != nil {
			return q, fault
		}
		if len(track) < 2 {
			return q, wire.Refuse(fmt.Sprintf("other_drifts[%d]", i), "has %d positions: two at least make the way of a drift", len(track))
		}
		q.Others = append(q.Others, orb.LineString(onPlane(track, lake.Plane)))
	}
	if r.Observed != nil {
		if q.Observed, fault = observedOf(r.Observed, clock, q.From); fault != nil {
			return q, fault
		}
	}
	rows, fault := rowsOf(r.Wind, clock, q.From, q.Until)
	if fault != nil {
		return q, fault
	}
	q.Hours, fault = worthsOf(r, lake, clock, rows)
	return q, fault
}

// significant is the wave height that the planner judges by. [m]
func significant(wind, fetch, depth float64) float64 {
	return waves.Default(waves.Water{Wind: wind, Fetch: fetch, Depth: math.Min(depth, 1e3)}).Height
}

// said puts what was said in the place of what the product has.
func said(into *float64, v *float64) {
	if v != nil {
		*into = *v
	}
}

func limitsOf(l wire.PlanLimits) plan.Limits {
	out := plan.DefaultLimits()
	said(&out.Gust, l.Gust)
	said(&out.Wave, l.Wave)
	said(&out.MarginTime, l.MarginTime)
	said(&out.LeastMargin, l.LeastMargin)
	said(&out.MotorDepth, l.MotorDepth)
	said(&out.Calm, l.Calm)
	said(&out.Reserve, l.Reserve)
	if l.Pace != nil {
		out.Pace = drift.Pace{Slow: l.Pace.Slow, Fast: l.Pace.Fast}
	}
	return out
}

func settingsOf(r *wire.PlanRequest) plan.Settings {
	out, s := plan.DefaultSettings(), r.Settings
	said(&out.Swept, s.Swept)
	said(&out.Reach, s.Reach)
	said(&out.Recovery, s.Recovery)
	said(&out.Patch, s.Patch)
	said(&out.Blank, s.Blank)
	said(&out.PutOut, s.PutOut)
	said(&out.HandIn, s.HandIn)
	said(&out.Shortest, s.Shortest)
	said(&out.Longest, s.Longest)
	out.Seed = uint64(r.Seed)
	if r.Effort == "quick" {
		out.Most, out.Tries = 1, 0
	}
	if r.Tries != nil {
		out.Tries = *r.Tries
	}
	return out
}

// placesOf is where the boat is and where it belongs: home when not said is the
// first jetty, the start when not said is home.
func placesOf(r *wire.PlanRequest, lake *water.Water) (start, home orb.Point, fault *wire.Fault) {
	onMap := func(at [2]float64, field string) (orb.Point, *wire.Fault) {
		p, fault := position(at, field)
		if fault != nil {
			return orb.Point{}, fault
		}
		x, y := lake.Plane.XY(p)
		if _, ok := lake.Grid.Index(x, y); !ok {
			return orb.Point{}, wire.Refuse(field, "is %v, which lies off the lake, %.1f km from its middle", at, geodesy.Distance(p, lake.Plane.Origin())/1000)
		}
		return orb.Point{x, y}, nil
	}
	switch jetty, ok := plan.Landing(lake); {
	case r.Home != nil:
		if home, fault = onMap(*r.Home, "home"); fault != nil {
			return start, home, fault
		}
	case ok:
		if _, on := lake.Grid.Index(jetty[0], jetty[1]); !on {
			return start, home, wire.Refuse("home", "is not said, and the outline's jetty lies off the water: mend it, or say home as [longitude, latitude]")
		}
		home = jetty
	case r.Start != nil:
		if home, fault = onMap(*r.Start, "start"); fault != nil {
			return start, home, fault
		}
	default:
		return start, home, wire.Refuse("home", "is missing, and the outline has no place of kind jetty: say where the boat belongs as [longitude, latitude]")
	}
	if r.Start == nil {
		return home, home, nil
	}
	start, fault = onMap(*r.Start, "start")
	return start, home, fault
}

// afloat refuses a jetty that lies on land whatever the level, and a start where
// no boat can be.
func afloat(r *wire.PlanRequest, lake *water.Water, q plan.Question) *wire.Fault {
	wet := lake.Wet()
	if full, err := lake.At(0); err == nil {
		wet = full.Wet()
	}
	zones := q.Lake.Places
	q.Lake.Places = nil // a jetty may stand in one
	switch why := plan.CannotLie(q.Lake, wet, q.Home); {
	case why != "" && r.Home == nil:
		return wire.Refuse("water.outline", "has a jetty that %s: it belongs at the shore", why)
	case why != "":
		return wire.Refuse("home", "%s: a place at the shore belongs here", why)
	}
	if r.Start == nil {
		return nil
	}
	q.Lake.Places = zones
	if why := plan.CannotLie(q.Lake, lake.Wet(), q.Start); why != "" {
		return wire.Refuse("start", "%s: the boat has to be on open water first", why)
	}
	return nil
}

// boatOf is the boat under motor and its set-ups, the bare boat first.
func boatOf(r *wire.PlanRequest) (plan.Boat, *wire.Fault) {
	b := plan.Boat{Speed: r.Motor.Speed, Power: r.Motor.Power, Energy: r.Motor.Energy}
	if b.Energy > 0 && b.Power == 0 {
		return b, wire.Refuse("motor.power_w", "is missing: an energy_j lasts as long as the motor's power lets it")
	}
	bare, held := float64(plan.LeastDepth), float64(plan.LeastDepthDrogue)
	said(&bare, r.Limits.DriftDepth)
	said(&held, r.Limits.DrogueDepth)
	for i, s := range r.Boat.SetUps {
		at := fmt.Sprintf("boat.set_ups[%d]", i)
		one := plan.SetUp{Name: s.Name, Drogue: s.Drogue, LeastDepth: quantity.Depth(bare), FractionSD: s.FractionSD, SlipSD: s.SlipSD * degree}
		if s.Drogue {
			one.LeastDepth = quantity.Depth(held)
		}
		if s.LeastDepth > 0 {
			one.LeastDepth = quantity.Depth(s.LeastDepth)
		}
		switch {
		case i == 0 && s.Drogue:
			return b, wire.Refuse(at+".drogue", "is true for the first set-up: the bare boat comes first")
		case s.Fraction != nil && s.Areas != nil:
			return b, wire.Refuse(at+".areas", "stand beside drift_fraction: give one of them")
		case s.Fraction != nil:
			one.Motion = drift.Motion{Fraction: *s.Fraction, Slip: s.Slip * degree}
		case s.Areas == nil:
			return b, wire.Refuse(at+".drift_fraction", "is missing: the drift as a share of the wind, or areas instead")
		default:
			if s.Drogue && s.Areas.Drogue == 0 {
				return b, wire.Refuse(at+".areas.drogue_drag_area_m2", "is missing: the set-up has a drogue out")
			}
			one.Motion = drift.Motion{Fraction: drift.Setup{
				AirArea: s.Areas.Air, HullArea: s.Areas.Hull, DrogueArea: s.Areas.Drogue,
				WindageHeight: cmp.Or(s.Areas.WindageHeight, drift.WindageHeight),
			}.Fraction(), Slip: s.Slip * degree}
		}
		b.SetUps = append(b.SetUps, one)
	}
	return b, nil
}

func onPlane(track []geodesy.Position, plane geodesy.Plane) []orb.Point {
	out := make([]orb.Point, len(track))
	for i, p := range track {
		x, y := plane.XY(p)
		out[i] = orb.Point{x, y}
	}
	return out
}

// drifted is where a drift went and how long it took. [s]
func drifted(d wire.FishedDrift, field string) (track []geodesy.Position, time float64, fault *wire.Fault) {
	minutes := d.Minutes
	if minutes == nil {
		minutes = d.Track.Minutes
	}
	if minutes == nil {
		return nil, 0, wire.Refuse(field+".minutes", "is missing: how long the drift took, as its track does not say")
	}
	track, fault = positions(d.Track.Way, field+".track")
	return track, 60 * *minutes, fault
}

// fishedOf is what drifts made before have left on the water.
func fishedOf(list []wire.FishedDrift, lake *water.Water, q *plan.Question) *wire.Fault {
	var past []plan.Past
	for i, d := range list {
		track, time, fault := drifted(d, fmt.Sprintf("already_fished[%d]", i))
		if fault != nil {
			return fault
		}
		past = append(past, plan.Past{Track: onPlane(track, lake.Plane), Time: time, Ago: 60 * d.MinutesAgo, Hooked: d.Hooked})
	}
	var err error
	if q.Fished, q.Blank, err = plan.Fished(q.Lake.Grid, q.Settings, past); err != nil {
		return wire.Refuse("already_fished", "%v", err)
	}
	return nil
}

// rowsOf reads the forecast, which must cover the hours without a gap.
func rowsOf(list []wire.PlanRow, clock clockOf, from, until time.Time) ([]plan.Hour, *wire.Fault) {
	var rows []plan.Hour
	for i, w := range list {
		field := fieldAt("wind", i, "at_local")
		at, fault := clock.at(w.At, field)
		switch {
		case fault != nil:
			return nil, fault
		case i == 0 && at.After(from):
			return nil, wire.Refuse(field, "is %q, after from_local: the wind must cover the hours from their beginning", w.At)
		case i > 0 && !at.After(rows[i-1].At):
			return nil, wire.Refuse(field, "is %q, not later than the row before: rows belong in order of time", w.At)
		case i > 0 && at.Sub(rows[i-1].At) > longestGap:
			return nil, wire.Refuse(field, "is %q, %.1f h after the row before: rows may lie %.0f h apart at most, as nobody knows the wind between", w.At, at.Sub(rows[i-1].At).Hours(), longestGap.Hours())
		}
		rows = append(rows, plan.Hour{
			At: at, Wind: w.Speed, Gust: w.Gust, From: quantity.FromDegrees(w.From), FromSD: w.FromSD * degree, SpeedSD: w.SpeedSD, Shifting: w.Shifting,
		})
	}
	if last := rows[len(rows)-1]; last.At.Add(holds).Before(until) {
		return nil, wire.Refuse(fieldAt("wind", len(rows)-1, "at_local"), "is %q, the last row, more than %.0f h before until_local: the wind must cover the hours to their end", list[len(list)-1].At, holds.Hours())
	}
	return rows, nil
}

// worthsOf gives each row of the forecast what the water is worth then; a row is
// put in where the weights change between two.
func worthsOf(r *wire.PlanRequest, lake *water.Water, clock clockOf, rows []plan.Hour) ([]plan.Hour, *wire.Fault) {
	open := 1.0
	said(&open, r.Open)
	if fault := marksKnown(r.Marks, "mark_weights", lake); fault != nil {
		return nil, fault
	}
	from := []time.Time{{}} // each weight's beginning; the first holds from ever
	given := []presence.Given{{Depths: []float64{0}, Weights: []float64{1}}}
	marks := [][]wire.MarkWeight{r.Marks}
	for i, h := range r.Presence {
		at, fault := clock.at(h.At, fieldAt("presence", i, "at_local"))
		if fault != nil {
			return nil, fault
		}
		if i > 0 && !at.After(from[i-1]) {
			return nil, wire.Refuse(fieldAt("presence", i, "at_local"), "is %q, not later than the one before: they belong in order of time", h.At)
		}
		g := presence.Given{FromBed: h.From != "surface"}
		for j, w := range h.Weights {
			if j > 0 && w.Depth <= h.Weights[j-1].Depth {
				return nil, wire.Refuse(fmt.Sprintf("presence[%d].weights[%d].depth_m", i, j), "is %v, not below the one before: depths belong in order, shallow first", w.Depth)
			}
			g.Depths, g.Weights = append(g.Depths, w.Depth), append(g.Weights, w.Weight)
		}
		if fault := marksKnown(h.Marks, fmt.Sprintf("presence[%d].mark_weights", i), lake); fault != nil {
			return nil, fault
		}
		m := r.Marks
		if h.Marks != nil {
			m = h.Marks
		}
		if i == 0 { // it holds before its own time too
			from, given, marks = from[:0], given[:0], marks[:0]
		}
		from, given, marks = append(from, at), append(given, g), append(marks, m)
	}
	depths := lake.Depths()
	worth := make([][]float32, len(given))
	for i := range given {
		draws := make([]presence.Draw, len(marks[i]))
		for j, m := range marks[i] {
			draws[j] = presence.Draw{Kind: water.Kind(m.Kind), Name: m.Name, Weight: m.Weight, Reach: m.Reach}
		}
		worth[i] = make([]float32, len(depths))
		presence.DrawOf(lake.Grid, depths, lake.Places, open, draws, worth[i])
		for k, wet := range lake.Wet() {
			if wet {
				worth[i][k] *= float32(given[i].Over(float64(depths[k])))
			} else {
				worth[i][k] = 0
			}
		}
	}
	at := func(t time.Time) int {
		i := 0
		for i+1 < len(from) && !from[i+1].After(t) {
			i++
		}
		return i
	}
	var out []plan.Hour
	for i, row := range rows {
		row.Worth = worth[at(row.At)]
		out = append(out, row)
		for j := 1; j < len(from); j++ {
			if between := i+1 == len(rows) || from[j].Before(rows[i+1].At); from[j].After(row.At) && between {
				next := row
				if i+1 < len(rows) {
					next = along(row, rows[i+1], from[j])
				}
				next.At, next.Worth = from[j], worth[j]
				out = append(out, next)
			}
		}
	}
	return out, nil
}

// along is the forecast between two rows: the wind straight from one vector to
// the other, as the planner takes it.
func along(a, b plan.Hour, t time.Time) plan.Hour {
	if a.Shifting || b.Shifting {
		return a
	}
	f := t.Sub(a.At).Seconds() / b.At.Sub(a.At).Seconds()
	mix := func(x, y float64) float64 { return x + f*(y-x) }
	ae, an := a.From.Toward().Vector()
	be, bn := b.From.Toward().Vector()
	e, n := mix(a.Wind*ae, b.Wind*be), mix(a.Wind*an, b.Wind*bn)
	a.Wind, a.Gust = math.Hypot(e, n), mix(a.Gust, b.Gust)
	if a.Wind > 0 {
		a.From = quantity.TowardVector(e, n).From()
	}
	a.FromSD, a.SpeedSD = mix(a.FromSD, b.FromSD), mix(a.SpeedSD, b.SpeedSD)
	return a
}

// marksKnown refuses a name that no place of the kind has: its weight would be
// lost without a word. A kind that the lake lacks is no fault.
func marksKnown(list []wire.MarkWeight, field string, lake *water.Water) *wire.Fault {
	for i, m := range list {
		if m.Name != "" && !slices.ContainsFunc(lake.Places, func(p water.Place) bool { return string(p.Kind) == m.Kind && p.Name == m.Name }) {
			return wire.Refuse(fmt.Sprintf("%s[%d].name", field, i), "is %q: the outline has no %s of that name", m.Name, m.Kind)
		}
	}
	return nil
}
