package main

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"windlane/internal/wire"
	"windlane/quantity"
	"windlane/tackle"
)

// castCmd asks what the flies do in one cast.
type castCmd struct {
	tied
	fromBag
	Rig string `help:"The rig of the bag." placeholder:"NAME"`
	delivery
	Count    span   `help:"Count before the retrieve. Not said: 15 s; washing_line and nymphs 10 s; short_line, bung and dries none." placeholder:"TIME"`
	Retrieve speed  `help:"How fast line is taken in. Not said: 18 in/s; short_line 12, washing_line 4, nymphs 3 in/s." placeholder:"SPEED"`
	Strips   length `help:"Take it in by strips of this length, with pauses." placeholder:"LENGTH"`
	Still    span   `help:"Leave the flies still for so long instead of a retrieve." placeholder:"TIME"`
	told
}

func (castCmd) Help() string {
	return `Examples:
  windlane cast --sink "3 in/s" --fly lure --fly "blob@5 ft" --count "20 s" --retrieve "24 in/s" --boat "0.4 mph"
  windlane cast --class 8 --sink "5 in/s" --leader "11 ft" --strength "10 lb" --retrieve "16 in/s" --strips "12 in" --bed "20 ft"
  windlane cast --way washing_line --profile barely_sinking --leader "17 ft" --fly booby --fly "buzzer@5 ft" --fly "nymph@10 ft"
  windlane cast --way bung --leader "14 ft" --fly buzzer --fly "buzzer@4 ft" --fly "bung@9 ft" --still "60 s"
  windlane cast --bag bag.toml --rig "deep lure" --count "25 s" --units metric

Depths come with the range they are known to. Casts more than 30 degrees off the drift get none.`
}

// pulls are what is not said of count and retrieve, by way.
var pulls = map[tackle.Way]struct{ count, retrieve string }{
	tackle.Lures: {"15 s", "18 in/s"}, tackle.PulledWets: {"15 s", "18 in/s"}, tackle.ShortLine: {"0 s", "12 in/s"},
	tackle.WashingLine: {"10 s", "4 in/s"}, tackle.Nymphs: {"10 s", "3 in/s"}, tackle.Bung: {"0 s", ""}, tackle.Dries: {"0 s", ""},
}

// eightAt is where a figure-of-eight ends and pulling begins. [m/s]
const eightAt = 0.153

func (cmd castCmd) Run(c *console) error {
	way, name, r, err := cmd.setUp()
	if err != nil {
		return err
	}
	if err := cmd.delivery.settle(way); err != nil {
		return err
	}
	r.LineOut, r.TipHeight, r.Hang, r.HangMark = cmd.Out.si, cmd.Tip.si, cmd.hang(way), cmd.HangMark.si
	r.Angle, r.BoatSpeed, r.TakeIn = degreesOf(cmd.Angle), cmd.Boat.si, cmd.takeIn()
	r.Temperature, r.Bed, r.Units = cmd.Temperature.si, cmd.Bed.si, cmd.Units
	if !cmd.Count.given() {
		if err := cmd.Count.UnmarshalText([]byte(pulls[way].count)); err != nil {
			return err
		}
	}
	r.Count = cmd.Count.si
	if r.Retrieve, err = cmd.retrieve(way); err != nil {
		return err
	}
	flags := append(cmd.delivery.flags(), from{"count_s", "--count", cmd.Count.text},
		from{"retrieve.strip_m", "--strips", cmd.Strips.text}, from{"retrieve.for_s", "--still", cmd.Still.text},
		from{"retrieve", "--retrieve", cmd.Retrieve.text}, from{"rig_name", "--rig", cmd.Rig})
	flags = append(flags, cmd.tied.flags()...)
	a, err := ask[wire.CastAnswer](c, question{"cast", r, cmd.JSON, flags})
	if err != nil || cmd.JSON {
		return err
	}
	return cmd.tell(c, name, a)
}

// setUp is the rig said by flags, or that of a bag, and how it is fished.
func (cmd *castCmd) setUp() (tackle.Way, string, *wire.CastRequest, error) {
	file, bag, err := cmd.open()
	if err != nil {
		return "", "", nil, err
	}
	if file == nil {
		if cmd.Rig != "" {
			return "", "", nil, fmt.Errorf("--rig %q: is of a bag: bring it with --bag", cmd.Rig)
		}
		if err := cmd.tied.settle(); err != nil {
			return "", "", nil, err
		}
		rig, err := cmd.rig()
		return tackle.Way(cmd.Way), cmd.tied.words(cmd.system()), &wire.CastRequest{Rig: rig}, err
	}
	if said := cmd.typed(); len(said) > 0 {
		return "", "", nil, fmt.Errorf("%s: the bag says it already: leave it out, or leave out the bag", said[0])
	}
	way := tackle.Lures
	if at := slices.IndexFunc(bag.Rigs, func(r tackle.Rig) bool { return r.Name == cmd.Rig }); at >= 0 {
		way = bag.Rigs[at].Way
	}
	return way, cmd.Rig, &wire.CastRequest{Bag: file, RigName: cmd.Rig}, nil
}

func (cmd *castCmd) retrieve(way tackle.Way) (wire.Retrieve, error) {
	lies := way == tackle.Bung || way == tackle.Dries
	switch {
	case cmd.Still.given() && (cmd.Retrieve.given() || cmd.Strips.given()):
		return wire.Retrieve{}, fmt.Errorf("--still %q: flies left still are not retrieved: leave out --retrieve and --strips", cmd.Still.text)
	case lies && (cmd.Retrieve.given() || cmd.Strips.given()):
		return wire.Retrieve{}, fmt.Errorf("--retrieve: in the way %s the flies lie: say with --still for how long", way)
	case cmd.Still.given() && cmd.Still.si <= 0:
		return wire.Retrieve{}, fmt.Errorf("--still %q: allowed is above 0, to 600 s", cmd.Still.text)
	case cmd.Still.given() || lies:
		return wire.Retrieve{Kind: "still", For: cmd.Still.si}, nil
	}
	if !cmd.Retrieve.given() {
		if err := cmd.Retrieve.UnmarshalText([]byte(pulls[way].retrieve)); err != nil {
			return wire.Retrieve{}, err
		}
	}
	r := wire.Retrieve{Kind: "steady", Speed: cmd.Retrieve.si, Strip: cmd.Strips.si}
	switch {
	case cmd.Strips.given():
		r.Kind = "strips"
	case r.Speed < eightAt:
		r.Kind = "figure_of_eight"
	}
	return r, nil
}

func degreesOf(a angle) float64 { return a.si * 180 / math.Pi }

// tell says a cast in words and tables.
func (cmd castCmd) tell(c *console, name string, a *wire.CastAnswer) error {
	u, p := cmd.system(), &page{}
	p.say("%s", name)
	p.say("%s out, boat at %s, water of %s; %s", u.Cast(cmd.Out.si), u.Drift(cmd.Boat.si), u.Temperature(cmd.Temperature.si), cmd.handling(u, a))
	p.say("")
	if a.Status != "complete" {
		p.say("%s", sentence(a.Reason))
	}
	if len(a.Flies) > 0 {
		cmd.depths(p, u, a)
	}
	if r := a.Rule; r != nil {
		p.say("Rating times seconds gives %s. Computed: %s for the middle of the line, %s for the point.", u.Depth(r.Depth), u.Depth(r.Middle), u.Depth(r.Point))
		for _, why := range r.Reasons {
			p.remark(why)
		}
	}
	switch {
	case a.Contact != nil && *a.Contact < 1:
		p.say("In touch with the point as soon as the retrieve begins.")
	case a.Contact != nil:
		p.say("In touch with the point %.0f s after the retrieve begins.", *a.Contact)
	case a.Rule != nil:
		p.say("The point never follows the hand.")
	}
	if a.Cycle > 0 {
		p.say("One cast takes %.0f s from landing to landing: %.0f an hour.", a.Cycle, 3600/a.Cycle)
	}
	if len(a.Remarks) > 0 {
		p.say("\nMind:")
		for _, r := range a.Remarks {
			p.remark(r.Text)
		}
	}
	return p.print(c)
}

// handling is what the hands do.
func (cmd castCmd) handling(u quantity.System, a *wire.CastAnswer) string {
	switch {
	case a.Way == string(tackle.Bung) || a.Way == string(tackle.Dries):
		return fmt.Sprintf("left for %.0f s", a.RetrieveEnd-a.CountEnd)
	case cmd.Still.given():
		return fmt.Sprintf("count %.0f, then left for %.0f s", cmd.Count.si, cmd.Still.si)
	case a.Way == string(tackle.ShortLine):
		return "drawn at " + u.Retrieve(cmd.Retrieve.si)
	case cmd.Strips.given():
		return fmt.Sprintf("count %.0f, strips of %s at %s", cmd.Count.si, cmd.Strips.text, u.Retrieve(cmd.Retrieve.si))
	}
	return fmt.Sprintf("count %.0f, retrieve %s", cmd.Count.si, u.Retrieve(cmd.Retrieve.si))
}

// depths are the flies by the phases, and their seconds by depth.
func (cmd castCmd) depths(p *page, u quantity.System, a *wire.CastAnswer) {
	counted, hung := a.CountEnd > 0, a.HangEnd > a.RetrieveEnd
	heads := []string{"fly"}
	if counted {
		heads = append(heads, fmt.Sprintf("count ends, %.0f s", a.CountEnd))
	}
	heads = append(heads, fmt.Sprintf("retrieve ends, %.0f s", a.RetrieveEnd))
	if hung {
		heads = append(heads, fmt.Sprintf("hang ends, %.0f s", a.HangEnd))
	}
	heads = append(heads, "deepest")
	var rows [][]string
	for i, f := range a.Flies {
		row := []string{fly(i, f.Name)}
		at := func(t, depth float64) {
			row = append(row, spread(u, f.Path, t, depth))
		}
		if counted {
			at(a.CountEnd, f.CountEnd)
		}
		at(a.RetrieveEnd, f.RetrieveEnd)
		if hung {
			at(a.HangEnd, f.HangEnd)
		}
		rows = append(rows, append(row, fmt.Sprintf("%s at %.0f s", u.Depth(f.Deepest), f.DeepestAt)))
	}
	p.table(heads, rows)
	p.say("")
	heads, rows = []string{"seconds at"}, nil
	const thick = 0.5 // [m] of a row
	each := int(math.Round(thick / a.Layer))
	for i, f := range a.Flies {
		heads = append(heads, fly(i, f.Name))
		for _, phase := range [][]float64{f.Seconds.Count, f.Seconds.Retrieve, f.Seconds.Hang} {
			for len(rows)*each < len(phase) {
				top := float64(len(rows)) * thick
				rows = append(rows, []string{u.DepthRange(top, top+thick)})
			}
		}
	}
	for k := range rows {
		for _, f := range a.Flies {
			rows[k] = append(rows[k], fmt.Sprintf("%.0f + %.0f + %.0f", sum(f.Seconds.Count, k, each), sum(f.Seconds.Retrieve, k, each), sum(f.Seconds.Hang, k, each)))
		}
	}
	p.table(heads, rows)
	p.say("in count + retrieve + hang")
	p.say("")
}

// spread is a depth with the range it is known to, where that shows.
func spread(u quantity.System, path []wire.PathPoint, t, depth float64) string {
	s := u.Depth(depth)
	for _, x := range path {
		if x.T < t-1e-6 {
			continue
		}
		low, high := u.DepthFigure(math.Max(depth+x.Low-x.Depth, 0)), u.DepthFigure(depth+x.High-x.Depth)
		if low != high {
			s += fmt.Sprintf(" (%s to %s)", low, high)
		}
		break
	}
	return s
}

func sum(layers []float64, row, each int) float64 {
	total := 0.0
	for k := row * each; k < min((row+1)*each, len(layers)); k++ {
		total += layers[k]
	}
	return total
}

// fly names a fly by its place on the leader.
func fly(i int, name string) string {
	if i == 0 {
		return "point " + name
	}
	return fmt.Sprintf("dropper %d %s", i, name)
}

// sentence begins with a capital and ends with a full stop.
func sentence(s string) string {
	first, n := utf8.DecodeRuneInString(s)
	if n == 0 {
		return s
	}
	return string(unicode.ToUpper(first)) + strings.TrimSuffix(s[n:], ".") + "."
}
