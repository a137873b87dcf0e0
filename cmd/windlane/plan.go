package main

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"

	"windlane/brief"
	"windlane/internal/engine"
	"windlane/internal/render"
	"windlane/internal/wire"
	"windlane/quantity"
)

// planCmd plans a day's drifts alone, or again what is left of it once afloat.
type planCmd struct {
	dayFiles
	Demo    bool   `help:"On the invented lake that comes with windlane."`
	At      string `help:"From this hour on, by the lake's clock, as 11:40. Not said: the first hour of the day file." placeholder:"TIME"`
	Here    spot   `help:"Where the boat lies: latitude and longitude as \"52.617,-14.620\", or the name of a place. Not said: at the jetty." placeholder:"PLACE"`
	Wind    met    `help:"The wind just met, as \"6 m/s from 230\" or \"14 mph from SW\": the forecast is turned to it, and comes back to itself in some hours." placeholder:"WIND"`
	Fished  string `help:"What was drifted today: an earlier plan, as --json or day.json has it, of which all that it began before --at was made; or the boat's own track, GPX or NMEA 0183." placeholder:"FILE"`
	Hooked  []int  `help:"Number of a drift of that file on which fish were hooked: its water rests longer, and is not doubted. May be given more than once." placeholder:"N"`
	Way     string `help:"Way of fishing, which says how fast the boat may go: lures, pulled_wets, short_line, washing_line, nymphs, bung, dries. Not said: the day file's, else the one that reaches them best." placeholder:"WAY"`
	Next    bool   `help:"Only the next drift."`
	Tries   *int   `help:"Changes tried to better the plan, 0 to 100000: more take longer." placeholder:"N"`
	Seed    int    `help:"Which changes are tried. Default: ${default}." default:"0" placeholder:"N"`
	GPX     string `name:"gpx" help:"Write the drifts there for a plotter: GPX 1.1." type:"path" placeholder:"FILE"`
	GeoJSON string `name:"geojson" help:"Write the drifts there for a map: GeoJSON." type:"path" placeholder:"FILE"`
	shown
}

func (planCmd) Help() string {
	return `Examples:
  windlane plan --demo
  windlane plan --demo --next --at 11:40 --here "52.617,-14.620" --wind "14 mph from SW"
  windlane plan --demo --way washing_line --gpx drifts.gpx --quiet

Each drift is told as one would in the boat: where to start, with or without the drogue, how long, what is crossed at which minute, where to lift and what comes then. After a drift, ask again with --at, --here and --wind, and with --fished for what has been fished.`
}

func (cmd planCmd) Run(c *console) error {
	if err := cmd.check(); err != nil {
		return err
	}
	r, day := &wire.DriftsRequest{}, demoRequest()
	switch said, _ := cmd.given(); {
	case cmd.Demo && said != nil:
		return fmt.Errorf("%s: stands beside --demo, which has its own: give one of them", said[0])
	case !cmd.Demo && said == nil:
		return fmt.Errorf("--lake: is missing: bring your own files (--lake, --forecast, --bag, --day), or say --demo")
	case !cmd.Demo:
		var err error
		if day, err = cmd.bring(); err != nil {
			return err
		}
	}
	r.SetDay(day)
	r.At, r.Start, r.Place, r.Way, r.Hooked, r.Tries, r.Seed = cmd.At, cmd.Here.lonLat, cmd.Here.name, cmd.Way, cmd.Hooked, cmd.Tries, cmd.Seed
	if cmd.Next {
		r.Effort = "quick"
	}
	if cmd.Wind.text != "" {
		at := cmd.At
		if at == "" {
			return fmt.Errorf("--wind %q: when was it met? Say the hour with --at", cmd.Wind.text)
		}
		r.Observed = &wire.ObservedWind{At: at, Speed: cmd.Wind.speed, From: cmd.Wind.from.deg}
	}
	if cmd.Fished == "" && cmd.Hooked != nil {
		return fmt.Errorf("--hooked %d: of which plan? Bring it with --fished", cmd.Hooked[0])
	}
	if cmd.Fished != "" {
		file, err := bring(cmd.Fished)
		if err != nil {
			return err
		}
		r.Earlier = &file
	}
	step, done := cmd.progress(c)
	b, a, fault := engine.Drifts(context.Background(), r, step)
	done()
	if fault == nil {
		if err := cmd.write(b); err != nil {
			return err
		}
	}
	switch {
	case cmd.JSON: // as the engine answers it
		var answer any
		if fault == nil {
			answer = a
		}
		fmt.Fprintf(c.out, "%s\n", wire.Answer(json.RawMessage(`"drifts"`), answer, fault))
	case cmd.Quiet || fault != nil:
	default:
		if err := render.Drifts(c.out, *b, cmd.Width); err != nil {
			return &insideError{err}
		}
	}
	if fault != nil {
		return question{flags: []from{
			{"at_local", "--at", cmd.At}, {"start", "--here", cmd.Here.text}, {"start_place", "--here", cmd.Here.name}, {"observed", "--wind", cmd.Wind.text},
			{"way", "--way", cmd.Way}, {"earlier", "--fished", ""}, {"hooked", "--hooked", ""}, {"tries", "--tries", ""}, {"seed", "--seed", ""}, {"cell_m", "--cell", cmd.Cell.text},
		}}.refusal(fault)
	}
	return nil
}

// write puts the drifts where they were asked for.
func (cmd planCmd) write(b *brief.Brief) error {
	for _, f := range []struct {
		path string
		draw func(io.Writer, brief.Brief) error
	}{{cmd.GPX, render.GPX}, {cmd.GeoJSON, render.GeoJSON}} {
		if f.path == "" {
			continue
		}
		one := file{filepath.Base(f.path), func(w io.Writer) error { return f.draw(w, *b) }}
		if err := writeAll(filepath.Dir(f.path), []file{one}); err != nil {
			return err
		}
	}
	return nil
}

// spot is where the boat lies: a position, or a place by its name.
type spot struct {
	lonLat *[2]float64
	name   string
	text   string
}

// position is latitude before longitude, as people and the brief write it:
// "52.617,-14.620", "52.61702° N, 14.62000° W".
var atPosition = regexp.MustCompile(`^\s*(-?\d+(?:\.\d+)?)\s*°?\s*([NSns]?)\s*[,; ]\s*(-?\d+(?:\.\d+)?)\s*°?\s*([EWew]?)\s*$`)

func (s *spot) UnmarshalText(b []byte) error {
	s.text = string(b)
	m := atPosition.FindStringSubmatch(s.text)
	if m == nil {
		if s.name = strings.TrimSpace(s.text); s.name == "" {
			return fmt.Errorf("%q is no place: write latitude and longitude as 52.617,-14.620, or the name of a place", s.text)
		}
		return nil
	}
	lat, errLat := strconv.ParseFloat(m[1], 64)
	lon, errLon := strconv.ParseFloat(m[3], 64)
	if strings.EqualFold(m[2], "S") {
		lat = -lat
	}
	if strings.EqualFold(m[4], "W") {
		lon = -lon
	}
	if errLat != nil || errLon != nil || lat < -90 || lat > 90 || lon < -180 || lon > 180 {
		return fmt.Errorf("%q is no position: latitude comes first, -90 to 90, then longitude, -180 to 180", s.text)
	}
	s.lonLat = &[2]float64{lon, lat}
	return nil
}

// met is a wind as one says it: "6 m/s from 230".
type met struct {
	speed float64 // [m/s]
	from  bearing
	text  string
}

func (w *met) UnmarshalText(b []byte) error {
	w.text = string(b)
	speed, from, ok := strings.Cut(strings.ToLower(w.text), " from ")
	if !ok {
		return fmt.Errorf("%q is no wind: write its speed and where it comes from, such as \"6 m/s from 230\" or \"14 mph from SW\"", w.text)
	}
	var err error
	if w.speed, err = quantity.Speed.Parse(speed); err != nil {
		return fmt.Errorf("%q: %w", w.text, err)
	}
	return w.from.UnmarshalText([]byte(from))
}
