package windlane

import (
	"context"
	"fmt"
	"time"

	"windlane/brief"
	"windlane/forecast"
	"windlane/outing"
	"windlane/strata"
	"windlane/tackle"
	"windlane/water"
)

// Inputs are what a person brings to the kitchen table.
type Inputs struct {
	Outline   *water.Outline
	Soundings []*water.Soundings // none: the bed is unknown
	Cell      float64            // width of a grid cell; 0: by the water's size [m]
	Weather   *forecast.Forecast
	Bag       *tackle.Bag
	Outing    *outing.Day
	Profile   *strata.Profile // of the water's temperature; nil: not taken

	// Progress hears which step begins; nil: nobody listens.
	Progress func(step string)
}

// Day plans a day: the whole story, one step a line. It gives up between steps
// when ctx ends. The same inputs give the same brief.
func Day(ctx context.Context, in Inputs) (*brief.Brief, error) {
	if err := in.fit(); err != nil {
		return nil, err
	}
	d := &day{Inputs: in}
	if err := in.walk(ctx, []step{
		{"the lake", d.survey},
		{"the hours", d.hours},
		{"where they lie", d.whereTheyLie},
		{"what reaches them", d.whatReachesThem},
		{"the drifts", func() error { return d.drifts(ctx) }},
		{"what the flies do", d.whatTheFliesDo},
		{"what to mind", d.whatToMind},
	}); err != nil {
		return nil, err
	}
	return brief.Of(d.facts), nil
}

// step is one of a plan's.
type step struct {
	name string
	do   func() error
}

// walk takes the steps in turn, until one fails or ctx ends.
func (in *Inputs) walk(ctx context.Context, steps []step) error {
	for _, s := range steps {
		if err := ctx.Err(); err != nil {
			return err
		}
		if in.Progress != nil {
			in.Progress(s.name)
		}
		if err := s.do(); err != nil {
			return err
		}
	}
	return nil
}

// fit says when the parts do not belong together.
func (in *Inputs) fit() error {
	switch {
	case in.Outline == nil:
		return fmt.Errorf("the lake: no outline: bring the shore as GeoJSON")
	case in.Outing == nil:
		return fmt.Errorf("the day: no date and hours: bring the day file, or say them")
	case in.Weather == nil || len(in.Weather.Hours) == 0:
		return fmt.Errorf("the forecast: none: bring the wind by the hour, a TAF or a METAR")
	case in.Bag == nil:
		return fmt.Errorf("the bag: none: bring it as TOML")
	}
	if in.Outing.Until.Sub(in.Outing.From) > 18*time.Hour {
		return fmt.Errorf("the day: %s to %s is longer than the 18 hours allowed", in.Outing.From.Format("15:04"), in.Outing.Until.Format("15:04"))
	}
	if err := in.Weather.Cover(in.Outing.From, in.Outing.Until); err != nil {
		return &Misfit{"Weather", err.Error()}
	}
	return nil
}
