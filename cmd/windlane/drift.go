package main

import (
	"fmt"
	"math"
	"strings"

	"windlane/internal/wire"
	"windlane/quantity"
)

// driftCmd asks how a boat drifts.
type driftCmd struct {
	Wind       speed   `required:"" help:"Mean wind at 10 m, as a forecast gives it." placeholder:"SPEED"`
	From       bearing `required:"" help:"Where it comes from: SW, or degrees." placeholder:"BEARING"`
	Length     length  `default:"17 ft" help:"Of the boat. Default: ${default}." placeholder:"LENGTH"`
	Beam       length  `help:"Of the boat, for uneven ropes. Not said: a third of the length." placeholder:"LENGTH"`
	Freeboard  length  `default:"17 in" help:"Height of the side above water, laden. Default: ${default}." placeholder:"LENGTH"`
	Draught    length  `default:"7 in" help:"Depth of the hull below water, laden. Default: ${default}." placeholder:"LENGTH"`
	People     int     `default:"2" help:"Seated, 0 to 12. Default: ${default}." placeholder:"N"`
	Mass       mass    `default:"400 kg" help:"Boat, people and gear. Default: ${default}." placeholder:"MASS"`
	Drogue     length  `help:"Diameter or side of a drogue. Not said: none." placeholder:"LENGTH"`
	Shape      string  `enum:"round,square" default:"square" help:"Of the drogue: round or square."`
	Measured   string  `enum:",fabric,mouth" default:"" help:"What the drogue's size was taken of: fabric laid flat, or the open mouth. It has no default: the drag differs by 1.8." placeholder:"WORD"`
	BowRope    length  `help:"The drogue's rope from the forward cleat." placeholder:"LENGTH"`
	SternRope  length  `help:"And from the after cleat." placeholder:"LENGTH"`
	RopeSpread length  `help:"Between the cleats." placeholder:"LENGTH"`
	Bow        string  `enum:",left,right" default:"" help:"Where the bow is as you look downwind: left or right. Uneven ropes turn the track to one side." placeholder:"SIDE"`
	Below      speed   `help:"Keep the boat below this speed: says whether that takes the drogue." placeholder:"SPEED"`
	told
}

func (driftCmd) Help() string {
	return `Examples:
  windlane drift --wind "9 mph" --from SW
  windlane drift --wind "9 mph" --from SW --drogue "5 ft" --measured fabric
  windlane drift --wind "9 mph" --from SW --drogue "5 ft" --measured fabric --below "10 m/min" --bow-rope "15 ft" --stern-rope "17 ft" --rope-spread "10 ft" --bow left
  windlane drift --wind "4 m/s" --from 230 --length "5.2 m" --people 1 --drogue "0.9 m" --shape round --measured mouth --units metric

The speed comes with the range it is known to, and with the pace that each way of fishing wants.`
}

func (cmd driftCmd) Run(c *console) error {
	r := &wire.DriftRequest{Wind: cmd.Wind.si, WindFrom: cmd.From.deg}
	r.KeepBelow, r.Boat.Beam = cmd.Below.si, cmd.Beam.si
	r.Boat.Length, r.Boat.Freeboard, r.Boat.Draught = cmd.Length.si, cmd.Freeboard.si, cmd.Draught.si
	r.Boat.People, r.Boat.Mass = cmd.People, cmd.Mass.si
	switch {
	case cmd.Below.given() && cmd.Below.si == 0:
		return fmt.Errorf("--below %q: allowed is above 0, to 3 m/s", cmd.Below.text)
	case cmd.Drogue.given() && cmd.Measured == "":
		return fmt.Errorf("--measured: is missing: was the drogue's size taken of the cloth laid flat (fabric) or of the open mouth (mouth)? The drag differs by 1.8")
	case !cmd.Drogue.given() && cmd.Measured != "":
		return fmt.Errorf("--measured %q: there is no drogue: say its size with --drogue", cmd.Measured)
	case cmd.Drogue.given():
		r.Drogue = &wire.Drogue{Shape: cmd.Shape, Size: cmd.Drogue.si, Measured: cmd.Measured}
	}
	if ropes := (wire.Ropes{Bow: cmd.BowRope.si, Stern: cmd.SternRope.si, Spread: cmd.RopeSpread.si, Side: cmd.Bow}); ropes != (wire.Ropes{}) {
		switch {
		case r.Drogue == nil:
			return fmt.Errorf("--bow-rope, --stern-rope, --rope-spread, --bow: there is no drogue: say its size with --drogue")
		case ropes.Bow == 0 || ropes.Stern == 0 || ropes.Spread == 0 || ropes.Side == "":
			return fmt.Errorf("--bow-rope, --stern-rope, --rope-spread, --bow: one of them is missing, and the ropes mean nothing without all four")
		}
		r.Drogue.Ropes = &ropes
	}
	a, err := ask[wire.DriftAnswer](c, question{"drift", r, cmd.JSON, []from{
		{"wind_speed_m_s", "--wind", cmd.Wind.text}, {"wind_from_deg", "--from", cmd.From.text},
		{"boat.length_m", "--length", cmd.Length.text}, {"boat.freeboard_m", "--freeboard", cmd.Freeboard.text},
		{"boat.draught_m", "--draught", cmd.Draught.text}, {"boat.people", "--people", fmt.Sprint(cmd.People)},
		{"boat.mass_kg", "--mass", cmd.Mass.text}, {"drogue.size_m", "--drogue", cmd.Drogue.text},
		{"drogue.ropes.bow_m", "--bow-rope", cmd.BowRope.text}, {"drogue.ropes.stern_m", "--stern-rope", cmd.SternRope.text},
		{"drogue.ropes.spread_m", "--rope-spread", cmd.RopeSpread.text}, {"drogue.ropes", "--rope-spread", ""},
		{"keep_below_m_s", "--below", cmd.Below.text}, {"boat.beam_m", "--beam", cmd.Beam.text},
	}})
	if err != nil || cmd.JSON {
		return err
	}
	return cmd.tell(c, a)
}

func (cmd driftCmd) tell(c *console, a *wire.DriftAnswer) error {
	u, p := cmd.system(), &page{}
	toward := quantity.Bearing(quantity.TowardDegrees(a.Bare.Toward))
	p.say("Wind %s from %s: the boat goes %s.", u.Wind(cmd.Wind.si), quantity.Bearing(quantity.FromDegrees(cmd.From.deg)).Compass(), toward.Compass())
	p.say("")
	row := func(name string, d wire.SteadyDrift) []string {
		load := "-"
		if d.DrogueLoad > 0 {
			load = weight(u, d.DrogueLoad)
		}
		return []string{name, u.Drift(d.Speed), u.DriftFigure(d.Low) + " to " + u.Drift(d.High), fmt.Sprintf("%.0f s", d.Settled), load}
	}
	rows := [][]string{row("no drogue", a.Bare)}
	if a.Held != nil {
		rows = append(rows, row("drogue out", *a.Held))
	}
	p.table([]string{"", "drift", "nine times in ten", "settled after", "pull on the ropes"}, rows)
	p.say("")
	rows = nil
	for _, w := range a.Paces {
		use := "no drogue"
		if w.UseDrogue {
			use = "drogue"
		}
		from := "-"
		if w.DrogueFrom != nil {
			from = u.Wind(*w.DrogueFrom)
		}
		rows = append(rows, []string{strings.ReplaceAll(w.Way, "_", " "), u.DriftFigure(w.Slow) + " to " + u.Drift(w.Fast), from, use, u.Drift(w.Speed), strings.ReplaceAll(w.Verdict, "_", " ")})
	}
	p.table([]string{"way of fishing", "wants", "a drogue matters from", "now", "gives", ""}, rows)
	if a.Held != nil && math.Abs(a.Held.Slip) >= 0.5 {
		side := "right"
		if a.Held.Slip < 0 {
			side = "left"
		}
		p.say("\nWith the drogue out its ropes turn the track some %.0f° to the %s of downwind: the pattern, not the decimals.", math.Abs(a.Held.Slip), side)
	}
	if k := a.Kept; k != nil {
		with := "by the bare boat"
		if k.UseDrogue {
			with = "with the drogue out"
		}
		verdict := "kept"
		if k.Verdict == "too_fast" {
			verdict = "not kept even"
		}
		p.say("\nBelow %s: %s %s, %.1f m/min.", cmd.Below.text, verdict, with, 60*k.Speed)
		if k.DrogueFrom != nil {
			p.say("The bare boat is too fast from a wind of %s on.", u.Wind(*k.DrogueFrom))
		}
	}
	if a.Held == nil {
		p.say("\nNo drogue was said: say one with --drogue to see it out.")
	}
	p.say("\nPaces wanted are common practice.")
	return p.print(c)
}

// weight says a pull as the weight it feels like: pounds or kilograms.
func weight(u quantity.System, newtons float64) string {
	if u == quantity.Metric {
		return fmt.Sprintf("%.1f kg", math.Round(newtons/9.80665*10)/10)
	}
	return fmt.Sprintf("%.0f lb", newtons/4.4482216152605)
}
