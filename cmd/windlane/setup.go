package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/alecthomas/kong"

	"windlane/cast"
	"windlane/demo"
	"windlane/internal/wire"
	"windlane/quantity"
	"windlane/tackle"
)

// told is how the answer is told.
type told struct {
	Units string `enum:"trade,metric" default:"trade" help:"Units to read: trade (ft, in/s, mph) or metric."`
	JSON  bool   `name:"json" help:"Print the engine's own answer instead of text."`
}

func (t told) system() quantity.System {
	if t.Units == "metric" {
		return quantity.Metric
	}
	return quantity.Trade
}

// usual says in the help how a cast is made when nothing else is said.
var usual = kong.Vars{
	"line_out":  usualLineOuts(),
	"tip":       metres(cast.UsualTip),
	"hang_mark": metres(cast.UsualHangMark),
	"hang":      usualHang(),
}

func metres(m float64) string { return fmt.Sprintf("%g m", m) }

func usualLineOuts() string {
	var ways []string
	most := cast.UsualLineOut(tackle.Lures)
	for _, way := range tackle.Ways {
		if out := cast.UsualLineOut(way); out != most {
			ways = append(ways, string(way)+" "+metres(out))
		}
	}
	return metres(most) + "; " + strings.Join(ways, ", ")
}

func usualHang() string {
	var stages []string
	for _, s := range cast.UsualHang() {
		stages = append(stages, fmt.Sprintf("tip to %s and %g s there", metres(s.Height), s.Hold))
	}
	return strings.Join(stages, ", then ")
}

// delivery is how a cast is made. What is not said depends on the way of fishing.
type delivery struct {
	Out         length  `help:"Line and leader out when the flies land. Not said: ${line_out}." placeholder:"LENGTH"`
	Tip         length  `default:"${tip}" help:"Height of the rod tip in count and retrieve. Default: ${default}." placeholder:"LENGTH"`
	HangMark    length  `default:"${hang_mark}" help:"Line outside the rod when the hang begins, leader not counted. Default: ${default}." placeholder:"LENGTH"`
	NoHang      bool    `help:"Lift straight off, with no hang. Without this: ${hang}; bung, dries and short_line have none."`
	Boat        speed   `default:"0.4 mph" help:"Drift of the boat. Default: ${default}." placeholder:"SPEED"`
	LeaveSlack  bool    `help:"Take in no line while counting."`
	Temperature degrees `default:"10 C" help:"Of the water. Default: ${default}." placeholder:"DEGREES"`
	Bed         length  `help:"Depth of the bed. Not said: out of reach." placeholder:"LENGTH"`
	Angle       angle   `default:"0" help:"Of the cast off the drift, up to 30 for a line that sinks. Default: ${default}." placeholder:"DEGREES"`
}

func (d delivery) flags() []from {
	return []from{
		{"line_out_m", "--out", d.Out.text}, {"tip_height_m", "--tip", d.Tip.text}, {"hang_mark_m", "--hang-mark", d.HangMark.text},
		{"boat_speed_m_s", "--boat", d.Boat.text}, {"temperature_c", "--temperature", d.Temperature.text},
		{"bed_m", "--bed", d.Bed.text}, {"angle_deg", "--angle", d.Angle.text}, {"units", "--units", ""},
	}
}

// settle fills in what the way of fishing leaves unsaid.
func (d *delivery) settle(way tackle.Way) error {
	if d.Bed.given() && d.Bed.si <= 0 {
		return fmt.Errorf("--bed %q: a depth counts down from the surface: allowed is above 0, to 200 m", d.Bed.text)
	}
	if !d.Out.given() {
		return d.Out.UnmarshalText([]byte(metres(cast.UsualLineOut(way))))
	}
	return nil
}

func (d delivery) hang(way tackle.Way) []wire.HangStage {
	if d.NoHang || way == tackle.Bung || way == tackle.Dries || way == tackle.ShortLine {
		return []wire.HangStage{}
	}
	var stages []wire.HangStage
	for _, s := range cast.UsualHang() {
		stages = append(stages, wire.HangStage(s))
	}
	return stages
}

func (d delivery) takeIn() *bool {
	if !d.LeaveSlack {
		return nil
	}
	no := false
	return &no
}

// fromBag is a bag to take rigs from.
type fromBag struct {
	Bag  string `help:"Take the set-up from this bag: TOML." placeholder:"FILE"`
	Demo bool   `help:"Take it from the bag of the invented day."`
}

// open is the bag, nil when none was named, and what tackle makes of it; a bag
// with a fault is left for the engine to refuse.
func (b fromBag) open() (*wire.File, *tackle.Bag, error) {
	var file wire.File
	var err error
	switch {
	case b.Bag != "" && b.Demo:
		return nil, nil, fmt.Errorf("--demo: stands beside --bag: give one of them")
	case b.Demo:
		file = demoFile(demo.BagFile)
	case b.Bag != "":
		if file, err = bring(b.Bag); err != nil {
			return nil, nil, err
		}
	default:
		return nil, nil, nil
	}
	bag, err := tackle.ReadBag(file.Name, strings.NewReader(file.Text))
	if err != nil {
		return &file, &tackle.Bag{}, nil
	}
	return &file, bag, nil
}

// tied is a set-up said by flags.
type tied struct {
	Class    *int     `help:"Line class, 1 to 15. Not said: 7." placeholder:"N"`
	Profile  string   `enum:",even,tip_first,belly_first,sink_tip,floating,barely_sinking" default:"" help:"How the line sinks: even, tip_first, belly_first, sink_tip, floating or barely_sinking. Not said: even; floating for nymphs, bung, dries and short_line." placeholder:"WORD"`
	Sink     speed    `help:"The line's rating. Not said: 3 in/s, where the profile sinks." placeholder:"SPEED"`
	SinkTip  length   `help:"The end that sinks, for sink_tip. Not said: 10 ft." placeholder:"LENGTH"`
	Leader   length   `help:"Length of the leader. Not said: 12 ft." placeholder:"LENGTH"`
	Material string   `enum:",nylon,copolymer,fluorocarbon" default:"" help:"Of the leader: nylon, copolymer or fluorocarbon. Not said: fluorocarbon." placeholder:"WORD"`
	Strength strength `help:"Of the leader. Not said: 8 lb." placeholder:"STRENGTH"`
	Diameter length   `help:"Of the leader, instead of its strength." placeholder:"LENGTH"`
	Fly      []string `sep:"none" help:"A fly by its kind, the point first, then each dropper with its distance up from the point: --fly lure --fly 'blob@5 ft'. Kinds: lure, booby, blob, nymph, buzzer, wet, dry, sedge, fry, bung. Not said: one lure (pulled_wets, short_line wet; washing_line booby; nymphs buzzer; bung buzzer and a bung 8 ft above it; dries dry)." placeholder:"KIND"`
	Way      string   `enum:",lures,pulled_wets,short_line,washing_line,nymphs,bung,dries" default:"" help:"Way of fishing: lures, pulled_wets, short_line, washing_line, nymphs, bung or dries. Not said: lures." placeholder:"WORD"`
}

// typed lists the flags that were typed, for a set-up that a bag says already.
func (t tied) typed() []string {
	var out []string
	for flag, given := range map[string]bool{
		"--class": t.Class != nil, "--profile": t.Profile != "", "--sink": t.Sink.given(), "--sink-tip": t.SinkTip.given(),
		"--leader": t.Leader.given(), "--material": t.Material != "", "--strength": t.Strength.given(),
		"--diameter": t.Diameter.given(), "--fly": len(t.Fly) > 0, "--way": t.Way != "",
	} {
		if given {
			out = append(out, flag)
		}
	}
	slices.Sort(out)
	return out
}

func (t tied) flags() []from {
	list := []from{
		{"rig.line.class", "--class", fmt.Sprint(t.class())}, {"rig.line.profile", "--profile", t.Profile}, {"rig.line.sink_m_s", "--sink", t.Sink.text},
		{"rig.line.sink_tip_m", "--sink-tip", t.SinkTip.text}, {"rig.leader.length_m", "--leader", t.Leader.text},
		{"rig.leader.strength_n", "--strength", t.Strength.text}, {"rig.leader.diameter_m", "--diameter", t.Diameter.text},
		{"rig.flies", "--fly", ""}, {"rig.way", "--way", t.Way}, {"rig", "the set-up", ""},
	}
	for i, f := range t.Fly {
		list = append(list, from{fmt.Sprintf("rig.flies[%d]", i), "--fly", f})
	}
	return list
}

// class is the line's, the usual one when it was not said.
func (t tied) class() int {
	if t.Class == nil {
		return 7
	}
	return *t.Class
}

// pointFly is the fly of a way that nothing else was said of.
var pointFly = map[tackle.Way]string{
	tackle.Lures: "lure", tackle.PulledWets: "wet", tackle.ShortLine: "wet", tackle.WashingLine: "booby",
	tackle.Nymphs: "buzzer", tackle.Bung: "buzzer", tackle.Dries: "dry",
}

// settle fills in what was not said.
func (t *tied) settle() error {
	if t.Way == "" {
		t.Way = string(tackle.Lures)
	}
	way := tackle.Way(t.Way)
	if t.Profile == "" {
		t.Profile = string(tackle.Even)
		if way == tackle.Nymphs || way == tackle.Bung || way == tackle.Dries || way == tackle.ShortLine {
			t.Profile = string(tackle.Floating)
		}
	}
	profile := tackle.Profile(t.Profile)
	if t.Material == "" {
		t.Material = string(tackle.Fluorocarbon)
	}
	if len(t.Fly) == 0 {
		t.Fly = []string{pointFly[way]}
		if way == tackle.Bung {
			t.Fly = append(t.Fly, "bung@8 ft")
		}
	}
	var err error
	fill := func(given bool, into interface{ UnmarshalText([]byte) error }, s string) {
		if !given && err == nil {
			err = into.UnmarshalText([]byte(s))
		}
	}
	fill(t.Leader.given(), &t.Leader, "12 ft")
	fill(t.Strength.given() || t.Diameter.given(), &t.Strength, "8 lb")
	if profile == tackle.SinkTip {
		fill(t.SinkTip.given(), &t.SinkTip, "10 ft")
	}
	if profile != tackle.Floating && profile != tackle.BarelySinking {
		fill(t.Sink.given(), &t.Sink, "3 in/s")
	}
	return err
}

// rig is the set-up as the engine wants it, once settled.
func (t tied) rig() (*wire.Rig, error) {
	r := &wire.Rig{
		Line:   wire.FlyLine{Class: t.class(), Profile: t.Profile, Sink: t.Sink.si, SinkTip: t.SinkTip.si},
		Leader: wire.Leader{Material: t.Material, Diameter: t.Diameter.si, Strength: t.Strength.si, Length: t.Leader.si},
		Way:    t.Way,
	}
	for _, said := range t.Fly {
		kind, at, has := strings.Cut(said, "@")
		f := wire.Fly{Name: strings.TrimSpace(kind), Kind: strings.TrimSpace(kind)}
		if f.Name == "" {
			return nil, fmt.Errorf("--fly %q: names no kind: write lure, or 'blob@5 ft' for a dropper", said)
		}
		if has {
			v, err := quantity.Length.Parse(at)
			if err != nil {
				return nil, fmt.Errorf("--fly %q: %v", said, err)
			}
			f.FromPoint = v
		}
		r.Flies = append(r.Flies, f)
	}
	return r, nil
}

// words is the set-up in a line of text, once settled.
func (t tied) words(u quantity.System) string {
	line := fmt.Sprintf("#%d %s line", t.class(), strings.ReplaceAll(t.Profile, "_", " "))
	if t.Sink.given() {
		line += ", " + u.Sink(t.Sink.si)
	}
	leader := u.Cast(t.Leader.si) + " of "
	if t.Strength.given() {
		leader += u.Strain(t.Strength.si)
	} else {
		leader += fmt.Sprintf("%.2g mm", t.Diameter.si*1000)
	}
	return fmt.Sprintf("%s; leader %s %s; %s", line, leader, t.Material, strings.Join(t.Fly, ", "))
}
