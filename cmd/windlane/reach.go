package main

import (
	"fmt"
	"math"
	"slices"

	"windlane/cast"
	"windlane/internal/wire"
	"windlane/quantity"
	"windlane/tackle"
)

// reachCmd asks which casts of a bag search a depth.
type reachCmd struct {
	fromBag
	Band between `required:"" help:"The depth where fish are: top and bottom." placeholder:"DEPTHS"`
	Way  string  `enum:"lures,pulled_wets,short_line,washing_line,nymphs,bung,dries" default:"lures" help:"The rigs fished in this way: lures, pulled_wets, short_line, washing_line, nymphs, bung or dries. Ways want boats of different pace, so they are asked one at a time."`
	Best int     `default:"5" help:"How many to show, 1 to 200. Default: ${default}." placeholder:"N"`
	delivery
	told
}

func (reachCmd) Help() string {
	return `Examples:
  windlane reach --demo --band "7-10 ft" --boat "0.4 mph"
  windlane reach --bag bag.toml --band "2 to 3 m" --way washing_line --boat "6 m/min" --units metric

Every count up to 60 s with every retrieve is looked at, for each rig of the bag that is fished in the way asked for. Best is the most water searched for the first time at the depth, an hour. A depth that nothing reaches is answered with what comes nearest, and is no error.`
}

func (cmd reachCmd) Run(c *console) error {
	file, _, err := cmd.open()
	if err != nil {
		return err
	}
	if file == nil {
		return fmt.Errorf("--bag: is missing: bring a bag, or try --demo")
	}
	way := tackle.Way(cmd.Way)
	if err := cmd.delivery.settle(way); err != nil {
		return err
	}
	r := &wire.ReachRequest{
		Bag: file, Way: cmd.Way, Band: wire.DepthBand{Top: cmd.Band.top, Bottom: cmd.Band.bottom},
		LineOut: cmd.Out.si, TipHeight: cmd.Tip.si, Hang: cmd.hang(way), HangMark: cmd.HangMark.si,
		Angle: degreesOf(cmd.Angle), BoatSpeed: cmd.Boat.si, TakeIn: cmd.takeIn(), Retrieves: retrieves(way, cmd.Temperature.si),
		Temperature: cmd.Temperature.si, Bed: cmd.Bed.si, Best: cmd.Best, Units: cmd.Units,
	}
	if cmd.Best < 1 {
		return fmt.Errorf("--best %d: allowed is 1 to 200", cmd.Best)
	}
	flags := append(cmd.delivery.flags(), from{"band", "--band", cmd.Band.text}, from{"way", "--way", cmd.Way}, from{"best", "--best", fmt.Sprint(cmd.Best)})
	a, err := ask[wire.ReachAnswer](c, question{"reach", r, cmd.JSON, flags})
	if err != nil || cmd.JSON {
		return err
	}
	return cmd.tell(c, a)
}

// retrieves are those that a way of fishing is tried with.
func retrieves(way tackle.Way, waterC float64) []wire.Retrieve {
	var out []wire.Retrieve
	for _, r := range cast.UsualRetrieves(way, waterC) {
		out = append(out, wire.Retrieve{Kind: string(r.Kind), Speed: r.Speed, Strip: r.Strip, StripSpeed: r.StripSpeed, For: r.For})
	}
	return out
}

func (cmd reachCmd) tell(c *console, a *wire.ReachAnswer) error {
	u, p := cmd.system(), &page{}
	p.say("%s, boat at %s, %s out: %s.", u.DepthRange(cmd.Band.top, cmd.Band.bottom), u.Drift(cmd.Boat.si), u.Cast(cmd.Out.si), a.Reason)
	p.say("")
	if len(a.Options) > 0 {
		cmd.options(p, u, a.Options, a.Options[0].FreshPerHour)
	}
	var others []wire.ReachOption
	for _, o := range a.ByRig {
		if !slices.ContainsFunc(a.Options, func(x wire.ReachOption) bool { return x.Rig == o.Rig }) {
			others = append(others, o)
		}
	}
	if len(others) > 0 {
		p.say("\nThe other set-ups, each at its best:")
		cmd.options(p, u, others, a.Options[0].FreshPerHour)
	}
	if n := a.Nearest; n != nil && a.Missing != nil {
		p.say("Nearest: %s, count %.0f, %s: at most %s deep, %s short.", n.RigName, n.Count, pull(u, n.Retrieve), u.Depth(n.Deepest), u.Depth(*a.Missing))
	}
	for _, r := range a.Remarks {
		p.remark(r.Text)
	}
	p.say("\n%d casts looked at.", a.Tried)
	return p.print(c)
}

func (cmd reachCmd) options(p *page, u quantity.System, list []wire.ReachOption, most float64) {
	var rows [][]string
	for _, o := range list {
		share := 0.0
		if most > 0 {
			share = 100 * o.FreshPerHour / most
		}
		rows = append(rows, []string{
			o.RigName, fmt.Sprintf("%.0f", o.Count), pull(u, o.Retrieve), fmt.Sprintf("%.0f s", o.Seconds), fmt.Sprintf("%.0f min", o.SecondsPerHour/60),
			fmt.Sprintf("%.0f", math.Round(share)), u.DepthRange(o.Top, o.Bottom), fmt.Sprintf("%.0f s", o.Cycle),
		})
	}
	p.table([]string{"set-up", "count", "retrieve", "there a cast", "an hour", "searched", "retrieve runs", "cycle"}, rows)
	p.say("there: all flies added up; searched: fresh water an hour, the best 100")
}

func pull(u quantity.System, r wire.Retrieve) string {
	if r.Kind == "still" {
		if r.For == 0 {
			return "still"
		}
		return fmt.Sprintf("still %.0f s", r.For)
	}
	return u.Retrieve(r.Speed)
}
