package plan

import (
	"fmt"
	"math"
	"time"
)

// Validate says what a person has to mend. Rasters of the wrong length are the
// caller's mistake and panic.
func (q Question) Validate() error {
	n := q.Lake.Grid.Len()
	if len(q.Lake.Wet) != n || len(q.Lake.Depth) != n || (q.Lake.Sounded != nil && len(q.Lake.Sounded) != n) || (q.Fished != nil && len(q.Fished) != n) || (q.Blank != nil && len(q.Blank) != n) || n == 0 {
		panic("plan: wet, depth, sounded, fished and blank must have a value for each cell of the grid")
	}
	bad := func(field string, format string, args ...any) error {
		return fmt.Errorf("%s: %s", field, fmt.Sprintf(format, args...))
	}
	if len(q.Hours) == 0 {
		return bad("hours", "none: the wind by the hour is needed")
	}
	for i, h := range q.Hours {
		field := fmt.Sprintf("hours[%d]", i)
		if len(h.Worth) != n {
			panic("plan: each hour's worth must have a value for each cell of the grid")
		}
		switch {
		case i > 0 && !h.At.After(q.Hours[i-1].At):
			return bad(field, "must be later than the hour before")
		case !within(h.Wind, 0, 60) || !within(h.Gust, 0, 100):
			return bad(field, "wind %v, gust %v m/s: allowed are 0 to 60 and 0 to 100", h.Wind, h.Gust)
		case !within(float64(h.From), -7, 7) || !within(h.FromSD, 0, math.Pi) || !within(h.SpeedSD, 0, 2):
			return bad(field, "wind from %v rad, its spread %v rad, of the speed %v: out of range", float64(h.From), h.FromSD, h.SpeedSD)
		}
	}
	switch d := q.Until.Sub(q.From); {
	case d <= 0 || d > 24*time.Hour:
		return bad("until", "%v after from: allowed is up to 24 h", d)
	case q.Hours[0].At.After(q.From):
		return bad("hours", "the first is at %s, after from", q.Hours[0].At.Format("15:04"))
	case q.Hours[len(q.Hours)-1].At.Add(time.Hour).Before(q.Until):
		return bad("hours", "the last is at %s: it must be no more than an hour before until", q.Hours[len(q.Hours)-1].At.Format("15:04"))
	}
	if _, ok := q.Lake.Grid.Index(q.Start[0], q.Start[1]); !ok {
		return bad("start", "lies off the lake's map")
	}
	if _, ok := q.Lake.Grid.Index(q.Home[0], q.Home[1]); !ok {
		return bad("home", "lies off the lake's map")
	}
	if len(q.Boat.SetUps) == 0 {
		return bad("boat.setups", "none: at least the bare boat is needed")
	}
	for i, s := range q.Boat.SetUps {
		if err := s.Motion.Validate(); err != nil {
			return bad(fmt.Sprintf("boat.setups[%d]", i), "%v", err)
		}
		if !within(s.FractionSD, 0, 1) || !within(s.SlipSD, 0, math.Pi) {
			return bad(fmt.Sprintf("boat.setups[%d]", i), "known to %v and %v rad: out of range", s.FractionSD, s.SlipSD)
		}
		if !within(float64(s.LeastDepth), 0.2, 10) {
			return bad(fmt.Sprintf("boat.setups[%d].least_depth", i), "%v m: allowed is 0.2 to 10", float64(s.LeastDepth))
		}
	}
	l, s := q.Limits, q.Settings
	switch {
	case !within(q.Boat.Speed, 0.3, 10):
		return bad("boat.speed", "%v m/s: allowed is 0.3 to 10", q.Boat.Speed)
	case !within(q.Boat.Power, 0, 1e5) || !within(q.Boat.Energy, 0, 1e10) || (q.Boat.Energy > 0 && q.Boat.Power == 0):
		return bad("boat.energy", "%v J at %v W: an energy needs the motor's power", q.Boat.Energy, q.Boat.Power)
	case !within(l.Gust, 1, 40):
		return bad("limits.gust", "%v m/s: allowed is 1 to 40", l.Gust)
	case !within(l.Wave, 0, 5):
		return bad("limits.wave", "%v m: allowed is 0 (not judged) to 5", l.Wave)
	case !within(l.Pace.Slow, 0, 2) || !within(l.Pace.Fast, 0.01, 2) || l.Pace.Fast < l.Pace.Slow:
		return bad("limits.pace", "%v to %v m/s: allowed is up to 2, the slower first", l.Pace.Slow, l.Pace.Fast)
	case !within(l.Calm, 0, 5) || !within(l.MarginTime, 0, 3600) || !within(l.LeastMargin, 1, 500) || !within(l.MotorDepth, 0.1, 10) || !within(l.Reserve, 0, 0.9):
		return bad("limits", "calm %v m/s, margin %v s and %v m, motor depth %v m, reserve %v: out of range", l.Calm, l.MarginTime, l.LeastMargin, l.MotorDepth, l.Reserve)
	case !within(s.Patch, 0, 2000) || !within(s.Blank, 1, 1e7):
		return bad("settings", "patch %v m, blank %v s: out of range", s.Patch, s.Blank)
	case !within(s.Swept, 1e-3, 1000) || !within(s.Reach, 1, 200) || !within(s.Recovery, 1200, 1e7):
		return bad("settings", "swept %v m²/s, reach %v m, recovery %v s: out of range", s.Swept, s.Reach, s.Recovery)
	case !within(s.PutOut, 0, 3600) || !within(s.HandIn, 0, 3600) || !within(s.Shortest, 60, 1e5) || !within(s.Longest, s.Shortest, 1e5):
		return bad("settings", "put out %v, hand in %v, shortest %v, longest %v s: out of range", s.PutOut, s.HandIn, s.Shortest, s.Longest)
	case !within(s.PassWidth, 0, 500) || !within(s.DropOff, 0.001, 10):
		return bad("settings", "pass width %v m, drop-off %v: out of range", s.PassWidth, s.DropOff)
	}
	return nil
}

// within is false for NaN.
func within(v, low, high float64) bool { return v >= low && v <= high }
