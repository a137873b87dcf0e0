package main

import (
	"fmt"
	"math"
	"strings"
	"time"

	"windlane/demo"
	"windlane/internal/wire"
)

// boatCmd learns how the boat drifts from its own track.
type boatCmd struct {
	Track     []string `help:"Where the boat went with this set-up: GPX 1.1 or an NMEA 0183 log; may be given more than once." placeholder:"FILE"`
	Wind      met      `help:"The mean wind over the track: \"5 m/s from 240\", \"9 mph from SW\"." placeholder:"WIND"`
	Forecast  string   `help:"The wind by the hour instead: a table (.csv), or a TAF or METAR as text." placeholder:"FILE"`
	UTCOffset offset   `help:"The clock of a forecast table whose times have no offset: +01:00. Not said: UTC." placeholder:"OFFSET"`
	Drogue    string   `help:"Name of the drogue that was out. Not said: none." placeholder:"NAME"`
	fromBag
	told
}

func (boatCmd) Help() string {
	return `Examples:
  windlane boat --bag bag.toml --track way.gpx --forecast forecast.csv --drogue "big sheet"
  windlane boat --bag bag.toml --track way.gpx --wind "7 mph from WSW" --drogue "big sheet" --units metric
  windlane boat --demo --drogue "big sheet"
  windlane boat --track way.gpx --wind "3 m/s from 250"

What was learned comes as lines for the bag. Rides, anchoring and the first minute and a half of a drift are left out by themselves. A wind told too strong makes the drift too small by as much: that is what the next forecast of the same kind wants.`
}

func (cmd boatCmd) Run(c *console) error {
	r := &wire.LearnDriftRequest{Drogue: cmd.Drogue, Offset: cmd.UTCOffset.minutes}
	bag, _, err := cmd.open()
	if err != nil {
		return err
	}
	r.Bag = bag
	for _, path := range cmd.Track {
		f, err := bring(path)
		if err != nil {
			return err
		}
		r.Tracks = append(r.Tracks, f)
	}
	if len(cmd.Track) == 0 {
		if !cmd.Demo {
			return fmt.Errorf("--track: is missing: the boat's way belongs here, GPX 1.1 or an NMEA 0183 log")
		}
		r.Tracks = append(r.Tracks, demoFile(demo.WayFile))
	}
	switch {
	case cmd.Wind.text != "" && cmd.Forecast != "":
		return fmt.Errorf("--wind: stands beside --forecast: give one of them")
	case cmd.Wind.text != "":
		r.Wind = []wire.WindRow{{At: time.Unix(0, 0).UTC(), Speed: cmd.Wind.speed, From: cmd.Wind.from.deg}}
	case cmd.Forecast != "":
		f, err := bring(cmd.Forecast)
		if err != nil {
			return err
		}
		r.Forecast, r.Code = &f, form(f.Text)
	case cmd.Demo:
		f := demoFile(demo.ForecastFile)
		r.Forecast, r.Code = &f, "csv"
	default:
		return fmt.Errorf("--wind: is missing: say the wind over the track, as in --wind \"5 m/s from 240\", or bring a --forecast")
	}
	a, err := ask[wire.LearnDriftAnswer](c, question{"learn_drift", r, cmd.JSON, []from{
		{"wind[0].speed_m_s", "--wind", cmd.Wind.text}, {"drogue", "--drogue", cmd.Drogue}, {"utc_offset_min", "--utc-offset", ""},
	}})
	if err != nil || cmd.JSON {
		return err
	}
	return cmd.tell(c, a)
}

// was is what became of a piece of track, in words.
var was = map[string]string{
	"heard": "learned from", "motoring": "under motor (over 1 m/s)", "settling": "settling, the drogue going out or coming in, or beside a ride",
	"still": "at anchor or aground", "calm": "too little wind (under 1.5 m/s)", "odd": "across or against the wind, or faster than a boat drifts",
	"jumped": "where the receiver jumped", "gap": "without a fix", "short": "odd minutes at an end",
}

// figureWind is the wind that a drift is said for beside its share. [m/s]
const figureWind = 4.0

func (cmd boatCmd) tell(c *console, a *wire.LearnDriftAnswer) error {
	u, p := cmd.system(), &page{}
	source := map[string]string{"tracks": fmt.Sprintf("its own tracks so far, %.0f min", a.Expected.Minutes), "measures": "its measures", "published": "published leeway of small open boats"}[a.Expected.Source]
	p.say("The boat with %s.", a.SetUp)
	p.say("")
	row := func(name string, f wire.DriftFigure) []string {
		return []string{name, fmt.Sprintf("%.1f ± %.1f", 100*f.Fraction, 100*f.FractionSD), fmt.Sprintf("%.1f", 60*f.Fraction*figureWind), slipped(f)}
	}
	rows := [][]string{row("by "+source, a.Expected)}
	if a.Learned != nil {
		rows = append(rows, row("by this track as well", *a.Learned))
	}
	p.table([]string{"", "% of the wind", "m/min in " + u.Wind(figureWind), "off downwind"}, rows)
	p.say("")
	var parts []string
	for _, t := range a.Track {
		parts = append(parts, fmt.Sprintf("%.0f min %s", t.Minutes, was[t.Was]))
	}
	p.remark("Of the track: " + strings.Join(parts, "; ") + ".")
	if a.Learned == nil {
		p.remark("Nothing in it is a settled drift of two and a half minutes, so nothing was learned.")
	} else {
		l, e := a.Learned, a.Expected
		p.remark(fmt.Sprintf("It now rests on %.0f min of drifting, the earlier faded. %s", l.Minutes, compare(*l, e)))
		p.remark(fmt.Sprintf("How sure: ± is one standard error, for a wind as told. In ten minutes the pace is off by %.0f %% and the way by %.0f° as the wind wanders: a drift of %s ends within %s to either side eight times in ten.",
			100*a.Scatter.Pace, a.Scatter.Slip, u.Cast(400), u.Cast(a.Scatter.Lane)))
	}
	for _, r := range a.Remarks {
		p.remark(r)
	}
	if a.Learned != nil {
		under := "[boat]"
		if cmd.Drogue != "" {
			under = fmt.Sprintf("[[drogue]] name = %q", cmd.Drogue)
		}
		p.say("")
		p.say("For the bag, under %s:", under)
		p.say("")
		p.say("%s", strings.TrimRight(a.Lines, "\n"))
	}
	return p.print(c)
}

// slipped says a slip as a person sees it looking downwind.
func slipped(f wire.DriftFigure) string {
	side := "right"
	if f.Slip < 0 {
		side = "left"
	}
	if math.Abs(f.Slip) < 0.5 {
		return fmt.Sprintf("none ± %.0f°", f.SlipSD)
	}
	return fmt.Sprintf("%.0f° to the %s ± %.0f°", math.Abs(f.Slip), side, f.SlipSD)
}

// compare says how what was learned differs from what was expected.
func compare(l, e wire.DriftFigure) string {
	by := 100 * (l.Fraction/e.Fraction - 1)
	word := "faster"
	if by < 0 {
		word = "slower"
	}
	turn := l.Slip - e.Slip
	out := fmt.Sprintf("That is %.0f %% %s than expected", math.Abs(by), word)
	if math.Abs(by) < 1 {
		out = "That is the pace expected"
	}
	if math.Abs(turn) >= 1 {
		side := "right"
		if turn < 0 {
			side = "left"
		}
		out += fmt.Sprintf(", and %.0f° more to the %s", math.Abs(turn), side)
	}
	if math.Abs(l.Fraction-e.Fraction) > 2*e.FractionSD {
		out += ": more than the expectation's own error allows, so look at the wind, the load and the drogue"
	}
	return out + "."
}
