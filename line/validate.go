package line

import (
	"fmt"
	"math"
)

// Fault is a setup that cannot be run: which field, as the engine names it,
// what is wrong and what is allowed.
type Fault struct{ Field, Message string }

func (f *Fault) Error() string { return f.Field + ": " + f.Message }

// limit is an allowed range of a field, both ends allowed unless above is set.
type limit struct {
	lo, hi float64
	above  bool // the low end itself is not allowed
	unit   string
}

// Allowed ranges. They are wide: they keep out slips of the unit, not rare tackle.
var (
	rangeDensity   = limit{lo: 900, hi: 1100, unit: "kg/m³"}
	rangeViscosity = limit{lo: 1e-7, hi: 1e-5, unit: "m²/s"}
	rangeSection   = limit{lo: 0.01, hi: 100, unit: "m"}
	rangeLinear    = limit{lo: 1e-6, hi: 0.1, unit: "kg/m"}
	rangeDiameter  = limit{lo: 2e-5, hi: 0.01, unit: "m"}
	rangeStiffness = limit{lo: 1, hi: 1e5, unit: "N"}
	rangeMass      = limit{lo: 0, hi: 1, unit: "kg"}
	rangeVolume    = limit{lo: 0, hi: 1e-3, unit: "m³"}
	rangeDragArea  = limit{lo: 0, hi: 0.1, unit: "m²"}
	rangeAdded     = limit{lo: 0, hi: 5, unit: "1"}
	rangeTip       = limit{lo: 0, hi: 10, unit: "m"}
	rangeEntry     = limit{lo: 0, hi: 50, unit: "m"}
	rangeBoat      = limit{lo: 0, hi: 3, unit: "m/s"}
	rangeTime      = limit{lo: 0, hi: 1800, unit: "s"}
	rangeSpeed     = limit{lo: 0, hi: 5, unit: "m/s"}
	rangeStrip     = limit{lo: 0, hi: 5, unit: "m"}
	rangeSlack     = limit{lo: 0, hi: 1, unit: "N"}
	rangeSegment   = limit{lo: 0.02, hi: 5, unit: "m"}
	rangeMaxStep   = limit{lo: 0.001, hi: 2, unit: "s"}
	rangeSample    = limit{lo: 0.01, hi: 600, unit: "s"}
	rangeDrift     = limit{lo: -2, hi: 2, unit: "m/s"}
	rangeScale     = limit{lo: 0.01, hi: 100, unit: "m"}
	rangeBed       = limit{lo: 0, hi: 500, unit: "m"}
)

// longestRetrieve, mostSamples and longestLine bound the work of one cast.
const (
	longestRetrieve = 3600.0 // [s]
	mostSamples     = 200_000
	longestLine     = 100.0 // [m]
	mostWork        = 5e7   // links times steps of an even mesh; some ten seconds
)

func (l limit) check(field string, v float64) error {
	if v >= l.lo && v <= l.hi && !(l.above && v == l.lo) { // false for NaN
		return nil
	}
	from := "from"
	if l.above {
		from = "above"
	}
	return &Fault{field, fmt.Sprintf("%.6g is not allowed: %s %.6g up to %.6g %s", v, from, l.lo, l.hi, l.unit)}
}

// Validate checks every field and how they fit together. The error is a *Fault
// whose Field is the engine's name of the field, such as sections[1].diameter_m.
func (s Setup) Validate() error {
	type check struct {
		field string
		value float64
		limit limit
	}
	checks := []check{
		{"water.density_kg_m3", s.Water.Density, rangeDensity},
		{"water.kinematic_viscosity_m2_s", s.Water.KinematicViscosity, rangeViscosity},
		{"water.drift_m_s", s.Water.Drift, rangeDrift},
		{"water.bed_m", s.Water.Bed, rangeBed},
		{"entry_distance_m", s.EntryDistance, rangeEntry},
		{"boat_speed_m_s", s.BoatSpeed, rangeBoat},
		{"count_s", s.Count, rangeTime},
		{"hang_s", s.Hang, rangeTime},
		{"retrieve.speed_m_s", s.Pull.Speed, rangeSpeed},
		{"retrieve.pull_length_m", s.Pull.Length, rangeStrip},
		{"retrieve.pull_speed_m_s", s.Pull.PullSpeed, rangeSpeed},
		{"slack_stiffness_n", s.SlackStiffness, rangeSlack},
		{"sample_s", s.Sample, rangeSample},
	}
	if s.Water.Drift != 0 {
		checks = append(checks, check{"water.drift_scale_m", s.Water.DriftScale, rangeScale})
	}
	if s.Mesh.Segment != 0 || s.Mesh.MaxStep != 0 { // a step alone is a mesh whose segment was forgotten
		checks = append(checks, check{"segment_m", s.Mesh.Segment, rangeSegment}, check{"max_step_s", s.Mesh.MaxStep, rangeMaxStep})
	}
	for i, sec := range s.Sections {
		at := fmt.Sprintf("sections[%d].", i)
		checks = append(checks,
			check{at + "length_m", sec.Length, rangeSection},
			check{at + "linear_density_kg_m", sec.LinearDensity, rangeLinear},
			check{at + "diameter_m", sec.Diameter, rangeDiameter},
			check{at + "axial_stiffness_n", sec.AxialStiffness, rangeStiffness})
	}
	for i, b := range s.Bodies {
		at := fmt.Sprintf("bodies[%d].", i)
		checks = append(checks,
			check{at + "from_end_m", b.FromEnd, rangeEntry},
			check{at + "mass_kg", b.Mass, rangeMass},
			check{at + "volume_m3", b.Volume, rangeVolume},
			check{at + "drag_area_m2", b.DragArea, rangeDragArea},
			check{at + "added_mass", b.AddedMass, rangeAdded})
	}
	for i, m := range s.Tip {
		at := fmt.Sprintf("tip_height_m[%d].", i)
		if len(s.Tip) == 1 {
			at = "tip_height_m"
			checks = append(checks, check{at, m.Height, rangeTip})
			continue
		}
		checks = append(checks,
			check{at + "height_m", m.Height, rangeTip},
			check{at + "over_s", m.Over, rangeTime},
			check{at + "after_s", m.After, rangeTime})
	}
	for _, c := range checks {
		if err := c.limit.check(c.field, c.value); err != nil {
			return err
		}
	}
	return s.fits()
}

// fits checks what fields say of each other.
func (s Setup) fits() error {
	total := s.length()
	switch {
	case s.Mesh.Preset < Fine || s.Mesh.Preset > Fast:
		return &Fault{"mesh", "unknown preset: Fine, Mid or Fast"}
	case len(s.Sections) == 0 || len(s.Sections) > 32:
		return &Fault{"sections", fmt.Sprintf("%d of them: 1 to 32, from the rod tip to the point", len(s.Sections))}
	case total > longestLine:
		return &Fault{"sections", fmt.Sprintf("add up to %.6g m: at most %.6g m", total, longestLine)}
	case len(s.Bodies) > MaxBodies:
		return &Fault{"bodies", fmt.Sprintf("%d of them: at most %d", len(s.Bodies), MaxBodies)}
	case len(s.Tip) == 0 || s.Tip[0].From != Count || s.Tip[0].After != 0:
		return &Fault{"tip_height_m", "must begin with the height at landing, from the phase \"count\""}
	}
	for i, m := range s.Tip {
		if m.From < Count || m.From > Hang {
			return &Fault{fmt.Sprintf("tip_height_m[%d].from_phase", i), "unknown phase: count, retrieve or hang"}
		}
		if i > 0 && m.From < s.Tip[i-1].From || i > 1 && m.From == s.Tip[i-1].From && m.After < s.Tip[i-1].After+s.Tip[i-1].Over {
			return &Fault{fmt.Sprintf("tip_height_m[%d].from_phase", i), "comes before the end of the move above it"}
		}
	}
	if air := math.Hypot(s.Tip[0].Height, s.EntryDistance); !(air < total) {
		return &Fault{"entry_distance_m", fmt.Sprintf("the line meets the water %.3g m of line from the tip, but only %.3g m is out", air, total)}
	}
	names := map[string]bool{"": true, "junction": true}
	for i, b := range s.Bodies {
		at := fmt.Sprintf("bodies[%d].", i)
		if names[b.Name] {
			return &Fault{at + "name", fmt.Sprintf("%q is empty, taken, or \"junction\", which is the end of the line", b.Name)}
		}
		names[b.Name] = true
		if b.FromEnd >= total {
			return &Fault{at + "from_end_m", fmt.Sprintf("%.6g is beyond the rod tip: %.6g m is out", b.FromEnd, total)}
		}
		if !(s.StopWithLineOut > b.FromEnd) {
			return &Fault{"stop_with_line_out_m", fmt.Sprintf("%.6g must exceed every from_end_m; bodies[%d] is %.6g m up", s.StopWithLineOut, i, b.FromEnd)}
		}
		for j := range i {
			if math.Abs(s.Bodies[j].FromEnd-b.FromEnd) < 1e-3 {
				return &Fault{at + "from_end_m", fmt.Sprintf("%.6g is within a millimetre of bodies[%d]", b.FromEnd, j)}
			}
		}
	}
	if err := (limit{0, longestLine, true, "m"}).check("stop_with_line_out_m", s.StopWithLineOut); err != nil {
		return err
	}
	if s.Pull.Length > 0 && s.Pull.Speed > 0 {
		if s.Pull.PullSpeed < s.Pull.Speed {
			return &Fault{"retrieve.pull_speed_m_s", fmt.Sprintf("%.6g is below the mean speed %.6g m/s", s.Pull.PullSpeed, s.Pull.Speed)}
		}
		if s.Pull.Length < 0.01 {
			return &Fault{"retrieve.pull_length_m", fmt.Sprintf("%.6g is not allowed: 0 for a steady retrieve, or from 0.01 m", s.Pull.Length)}
		}
	}
	if d := s.Pull.duration(total - s.StopWithLineOut); d > longestRetrieve {
		return &Fault{"retrieve.speed_m_s", fmt.Sprintf("%.6g m/s would retrieve for %.0f s: at most %.0f s, or 0 for no retrieve", s.Pull.Speed, d, longestRetrieve)}
	}
	span := s.Count + s.Hang + s.Pull.duration(total-s.StopWithLineOut)
	if m := s.Mesh; m.Segment > 0 && (total/m.Segment+20)*span/m.MaxStep > mostWork {
		return &Fault{"segment_m", fmt.Sprintf("%.6g m with steps of %.6g s is more work than one cast may take: a coarser mesh or longer steps", m.Segment, m.MaxStep)}
	}
	if n := span / s.Sample; n > mostSamples {
		return &Fault{"sample_s", fmt.Sprintf("%.6g would give %.0f samples: at most %d", s.Sample, n, mostSamples)}
	}
	return nil
}
