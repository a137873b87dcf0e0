package cast

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"windlane/line"
	"windlane/tackle"
)

// Fault is a question that cannot be asked: which field, as the engine names it,
// what is wrong and what is allowed.
type Fault = line.Fault

// fastestSink is beyond what any line does, solid metal or not. [m/s]
const fastestSink = 0.4

type rangeOf struct {
	field  string
	value  float64
	lo, hi float64
	unit   string
}

func (r rangeOf) check() error {
	if r.value >= r.lo && r.value <= r.hi { // false for NaN
		return nil
	}
	return &Fault{Field: r.field, Message: fmt.Sprintf("%.6g is not allowed: from %.6g up to %.6g %s", r.value, r.lo, r.hi, r.unit)}
}

func checkAll(ranges []rangeOf) error {
	for _, r := range ranges {
		if err := r.check(); err != nil {
			return err
		}
	}
	return nil
}

// Validate checks every field and how they fit together. The error is a *Fault
// whose Field is the engine's name, such as hang[1].height_m or rig.flies.
func (q Question) Validate() error {
	q = q.settled()
	if !slices.Contains(tackle.Ways, q.Way) {
		return &Fault{Field: "way", Message: fmt.Sprintf("%q is no way of fishing: one of %s", q.Way, listed(tackle.Ways))}
	}
	if err := validateRig("rig", q.Rig, q.LineOut, q.HangMark); err != nil {
		return err
	}
	checks := []rangeOf{
		{"line_out_m", q.LineOut, 3, 60, "m"},
		{"tip_height_m", q.TipHeight, 0, 8, "m"},
		{"hang_mark_m", q.HangMark, 0, 30, "m"},
		{"angle_deg", q.Angle * 180 / math.Pi, -90, 90, "deg"},
		{"boat_speed_m_s", q.BoatSpeed, 0, 2, "m/s"},
		{"current_m_s", q.Current, -1, 1, "m/s"},
		{"count_s", q.Count, 0, 600, "s"},
		{"temperature_c", q.Temperature, 0, 40, "°C"},
		{"bed_m", q.Bed, 0, 200, "m"},
		{"recast_s", q.Recast, 1, 600, "s"},
	}
	if q.Current != 0 {
		checks = append(checks, rangeOf{"current_scale_m", q.CurrentScale, 0.05, 100, "m"})
	}
	for i, s := range q.Hang {
		at := fmt.Sprintf("hang[%d].", i)
		checks = append(checks, rangeOf{at + "height_m", s.Height, 0, 8, "m"}, rangeOf{at + "over_s", s.Over, 0, 60, "s"}, rangeOf{at + "hold_s", s.Hold, 0, 300, "s"})
	}
	for i, m := range q.Moments {
		checks = append(checks, rangeOf{fmt.Sprintf("moments_s[%d]", i), m, 0, 5000, "s"})
	}
	if err := checkAll(checks); err != nil {
		return err
	}
	if len(q.Hang) > 8 {
		return &Fault{Field: "hang", Message: fmt.Sprintf("%d stages: at most 8", len(q.Hang))}
	}
	if err := q.Retrieve.validate("retrieve"); err != nil {
		return err
	}
	if q.Way == tackle.Bung && q.bungAt() < 0 {
		return &Fault{Field: "rig.flies", Message: "fishing the bung needs a fly of the kind bung on the leader, above the others"}
	}
	return nil
}

func validateRig(at string, r tackle.Rig, out, mark float64) error {
	if !(r.Line.Class >= 1 && r.Line.Class <= 15) {
		return &Fault{Field: at + ".line.class", Message: fmt.Sprintf("%d is not allowed: 1 to 15", r.Line.Class)}
	}
	if !slices.Contains(tackle.Profiles, r.Line.Profile) {
		return &Fault{Field: at + ".line.profile", Message: fmt.Sprintf("%q is no profile: one of %s", r.Line.Profile, listed(tackle.Profiles))}
	}
	if !slices.Contains(tackle.Materials, r.Leader.Material) {
		return &Fault{Field: at + ".leader.material", Message: fmt.Sprintf("%q is no material: one of %s", r.Leader.Material, listed(tackle.Materials))}
	}
	checks := []rangeOf{
		{at + ".line.sink_m_s", r.Line.Sink, 0, fastestSink, "m/s"},
		{at + ".line.slow_sink_m_s", r.Line.SlowSink, 0, fastestSink, "m/s"},
		{at + ".line.rated_at_c", r.Line.RatedAt, 0, 40, "°C"},
		{at + ".line.length_m", r.Line.Length, 0, 60, "m"},
		{at + ".line.sink_tip_m", r.Line.SinkTip, 0, 30, "m"},
		{at + ".line.head_m", r.Line.Head, 0, 60, "m"},
		{at + ".line.measured.diameter_m", r.Line.Measured.Diameter, 0, 0.005, "m"},
		{at + ".line.measured.linear_density_kg_m", r.Line.Measured.LinearDensity, 0, 0.01, "kg/m"},
		{at + ".line.measured.drop_depth_m", r.Line.Measured.DropDepth, 0, 30, "m"},
		{at + ".line.measured.drop_time_s", r.Line.Measured.DropTime, 0, 600, "s"},
		{at + ".line.measured.drop_at_c", r.Line.Measured.DropAt, 0, 40, "°C"},
		{at + ".leader.length_m", r.Leader.Length, 0.5, 15, "m"},
		{at + ".leader.diameter_m", r.Leader.Diameter, 0, 0.001, "m"},
		{at + ".leader.strength_n", r.Leader.Strength, 0, 500, "N"},
	}
	if len(r.Flies) == 0 || len(r.Flies) > line.MaxBodies {
		return &Fault{Field: at + ".flies", Message: fmt.Sprintf("%d of them: 1 to %d, the point first", len(r.Flies), line.MaxBodies)}
	}
	for i, m := range r.Flies {
		f := fmt.Sprintf("%s.flies[%d].", at, i)
		if !slices.Contains(tackle.Kinds, m.Fly.Kind) {
			return &Fault{Field: f + "kind", Message: fmt.Sprintf("%q is no kind of fly: one of %s", m.Fly.Kind, listed(tackle.Kinds))}
		}
		checks = append(checks,
			rangeOf{f + "from_point_m", m.FromPoint, 0, 15, "m"},
			rangeOf{f + "sink_m_s", m.Fly.Sink, -1, 1, "m/s"},
			rangeOf{f + "mass_kg", m.Fly.Mass, 0, 0.05, "kg"},
			rangeOf{f + "drag_area_m2", m.Fly.DragArea, 0, 0.01, "m²"})
	}
	if err := checkAll(checks); err != nil {
		return err
	}
	if r.Leader.Diameter == 0 && r.Leader.Strength == 0 {
		return &Fault{Field: at + ".leader.diameter_m", Message: "neither diameter nor strength is said: one of them is needed"}
	}
	if (r.Line.Profile == tackle.Even || r.Line.Profile == tackle.TipFirst || r.Line.Profile == tackle.BellyFirst || r.Line.Profile == tackle.SinkTip) && r.Line.Sink == 0 && r.Line.Measured == (tackle.Measured{}) {
		return &Fault{Field: at + ".line.sink_m_s", Message: fmt.Sprintf("a line of the profile %s needs its sink: above 0", r.Line.Profile)}
	}
	if m := r.Line.Measured; m.DropDepth > 0 && m.DropTime > 0 && !(m.DropDepth/m.DropTime <= fastestSink) {
		return &Fault{Field: at + ".line.measured.drop_time_s", Message: fmt.Sprintf("%.6g m in %.6g s is faster than any line: at most %.6g m/s", m.DropDepth, m.DropTime, fastestSink)}
	}
	if r.Flies[0].FromPoint != 0 {
		return &Fault{Field: at + ".flies[0].from_point_m", Message: "the first fly is the point: 0"}
	}
	for i := 1; i < len(r.Flies); i++ {
		f := fmt.Sprintf("%s.flies[%d].from_point_m", at, i)
		if r.Flies[i].FromPoint < r.Flies[i-1].FromPoint+0.01 {
			return &Fault{Field: f, Message: fmt.Sprintf("%.6g m: flies go up the leader from the point, each above the last", r.Flies[i].FromPoint)}
		}
		if r.Flies[i].FromPoint >= r.Leader.Length {
			return &Fault{Field: f, Message: fmt.Sprintf("%.6g m is above the leader's end, %.6g m up", r.Flies[i].FromPoint, r.Leader.Length)}
		}
	}
	for i, m := range r.Flies {
		if _, ok := m.Fly.Body(); !ok {
			return &Fault{Field: fmt.Sprintf("%s.flies[%d].mass_kg", at, i), Message: fmt.Sprintf("%.6g kg is less than its weight in water at the sink said", m.Fly.Mass)}
		}
	}
	if out <= r.Leader.Length+mark {
		return &Fault{Field: "line_out_m", Message: fmt.Sprintf("%.6g m is out, and the hang begins with leader and mark, %.6g m, out: more", out, r.Leader.Length+mark)}
	}
	if whole := r.Line.WholeLength() + r.Leader.Length; out > whole+1e-9 {
		return &Fault{Field: "line_out_m", Message: fmt.Sprintf("%.6g m is more than line and leader, %.6g m", out, whole)}
	}
	return nil
}

func (r Retrieve) validate(at string) error {
	if !slices.Contains(Kinds, r.Kind) {
		return &Fault{Field: at + ".kind", Message: fmt.Sprintf("%q is no retrieve: one of %s", r.Kind, listed(Kinds))}
	}
	if err := checkAll([]rangeOf{
		{at + ".speed_m_s", r.Speed, 0, 3, "m/s"},
		{at + ".strip_m", r.Strip, 0, 2, "m"},
		{at + ".strip_speed_m_s", r.StripSpeed, 0, 5, "m/s"},
		{at + ".for_s", r.For, 0, 600, "s"},
	}); err != nil {
		return err
	}
	switch {
	case r.Kind != Still && !(r.Speed >= 0.01):
		return &Fault{Field: at + ".speed_m_s", Message: fmt.Sprintf("%.6g is not allowed: from 0.01 m/s, or the kind still", r.Speed)}
	case r.Kind == Strips && !(r.Strip >= 0.02):
		return &Fault{Field: at + ".strip_m", Message: fmt.Sprintf("%.6g is not allowed: from 0.02 m", r.Strip)}
	case r.Kind == Strips && r.StripSpeed < r.Speed:
		return &Fault{Field: at + ".strip_speed_m_s", Message: fmt.Sprintf("%.6g is below the mean speed %.6g m/s", r.StripSpeed, r.Speed)}
	}
	return nil
}

func listed[T ~string](list []T) string {
	var s []string
	for _, v := range list {
		s = append(s, string(v))
	}
	return strings.Join(s, ", ")
}

// asFault gives a fault of the mechanics the name of the whole question.
func asFault(err error) error {
	var f *Fault
	if errors.As(err, &f) {
		return &Fault{Field: "rig (as " + f.Field + ")", Message: f.Message}
	}
	return err
}
