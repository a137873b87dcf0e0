package windlane

import (
	"context"
	"fmt"
	"math"
	"time"

	"github.com/paulmach/orb"

	"windlane/brief"
	"windlane/geodesy"
	"windlane/plan"
	"windlane/tackle"
	"windlane/water"
)

// Afloat is what the drifts are asked for with beside the day's inputs: the
// evening before nothing, on the water the hour, the place and the wind just met.
type Afloat struct {
	At       time.Time         // lines in the water from then on; zero: from the first hour of the outing
	Here     *geodesy.Position // where the boat lies; nil: at Place
	Place    string            // the place of the lake that it lies at; empty: at home
	Observed *plan.Observed    // the wind just met; nil: the forecast stands
	Past     []Past            // drifts made today
	Way      tackle.Way        // way of fishing; empty: the outing's, or the one advised
	Most     int               // drifts at the most; 0 for as many as the day holds, 1 for the next alone
	Tries    *int              // changes tried to better the plan; nil: as for a day
	Seed     uint64            // of those changes
}

// Past is a drift made before Afloat.At.
type Past struct {
	Track  []geodesy.Position // gone along at an even pace
	Time   float64            // from its first point to its last [s]
	Ago    float64            // since its end [s]
	Hooked bool               // fish were hooked on it
}

// Planned is the drifts of a day: the plan, what it was asked of, and its words.
type Planned struct {
	Brief    *brief.Brief // of the drifts, and set-ups where they were looked for
	Lake     *water.Water
	Question plan.Question
	Plan     plan.Plan
}

// Misfit is what of Inputs or Afloat does not fit the rest.
type Misfit struct {
	Field   string // "Lake" for outline and soundings together, else the field's name
	Problem string
}

func (m *Misfit) Error() string {
	switch m.Field {
	case "At", "Here", "Place", "Past":
		return "afloat: " + m.Field + " " + m.Problem
	}
	return m.Problem
}

// Drifts plans a day's drifts alone: the steps of Day that they rest on. Set-ups
// are looked for only where no way of fishing is said, since the pace that a way
// wants decides the drogue.
func Drifts(ctx context.Context, in Inputs, now Afloat) (*Planned, error) {
	if in.Outing != nil {
		out := *in.Outing
		if !now.At.IsZero() {
			if !now.At.Before(out.Until) || out.Until.Sub(now.At) > 18*time.Hour {
				return nil, &Misfit{"At", fmt.Sprintf("is %s: the day is till %s", now.At.Format("15:04"), out.Until.Format("2 January 15:04"))}
			}
			out.From = now.At.In(out.Zone)
		}
		if now.Way != "" {
			out.Way = now.Way
		}
		in.Outing = &out
	}
	if err := in.fit(); err != nil {
		return nil, err
	}
	d := &day{Inputs: in, now: &now}
	ready := step{"what reaches them", d.whatReachesThem}
	if in.Outing.Way != "" {
		ready = step{"the boat", func() (err error) { d.boats, err = d.boat(); return err }}
	}
	if err := in.walk(ctx, []step{
		{"the lake", d.survey}, {"the hours", d.hours}, {"where they lie", d.whereTheyLie}, ready,
		{"the drifts", func() error { return d.drifts(ctx) }}, {"what to mind", d.whatToMind},
	}); err != nil {
		return nil, err
	}
	return &Planned{brief.Of(d.facts), d.lake, d.question, d.facts.Plan}, nil
}

// fitNow puts what is known afloat into the planner's question.
func (d *day) fitNow(q *plan.Question) error {
	now := d.now
	q.Observed = now.Observed
	q.Settings.Most, q.Settings.Seed = now.Most, now.Seed
	if now.Tries != nil {
		q.Settings.Tries = *now.Tries
	}
	field := "Here"
	switch {
	case now.Here != nil:
		x, y := d.lake.Plane.XY(*now.Here)
		q.Start = orb.Point{x, y}
	case now.Place != "":
		field = "Place"
		x, y, ok := d.placeNamed(now.Place)
		if !ok {
			return &Misfit{field, fmt.Sprintf("is %q: no place of this lake is called so; %s", now.Place, d.knownPlaces())}
		}
		q.Start = orb.Point{x, y}
	}
	if _, on := q.Lake.Grid.Index(q.Start[0], q.Start[1]); !on {
		return &Misfit{field, fmt.Sprintf("lies off the lake, %.1f km from its middle", math.Hypot(q.Start[0], q.Start[1])/1000)}
	}
	if why := plan.CannotLie(q.Lake, q.Lake.Wet, q.Start); why != "" && q.Start != q.Home {
		return &Misfit{field, why + ": the boat has to be on open water first"}
	}
	var past []plan.Past
	for _, p := range now.Past {
		one := plan.Past{Time: p.Time, Ago: p.Ago, Hooked: p.Hooked}
		for _, at := range p.Track {
			x, y := d.lake.Plane.XY(at)
			one.Track = append(one.Track, orb.Point{x, y})
		}
		past = append(past, one)
	}
	var err error
	if q.Fished, q.Blank, err = plan.Fished(q.Lake.Grid, q.Settings, past); err != nil {
		return &Misfit{"Past", err.Error()}
	}
	return nil
}
