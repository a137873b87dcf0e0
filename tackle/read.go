package tackle

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"windlane/internal/text"
	"windlane/quantity"
)

// bagLimit is the largest bag file. [bytes]
const bagLimit = 1 << 20

// What a typed quantity may be, in SI. Wider than any tackle in use, tight
// enough to catch a slip of the unit.
var (
	rodLength     = length(1.5, 6)
	lineLength    = length(5, 60)
	partLength    = length(0.3, 30)
	lineDiameter  = length(0.0002, 0.004)
	lineSink      = text.Range{Parse: quantity.Speed.Parse, Low: 0.001, High: 0.4, Unit: "m/s"}
	water         = text.Range{Parse: quantity.ParseTemperature, Low: 0, High: 35, Unit: "°C"}
	leaderLength  = length(0.3, 15)
	leaderThick   = length(0.00005, 0.001)
	breaking      = text.Range{Parse: quantity.Force.Parse, Low: 2, High: 400, Unit: "N"}
	flySink       = text.Range{Parse: quantity.Speed.Parse, Low: -2, High: 2, Unit: "m/s"}
	flyMass       = text.Range{Parse: quantity.Mass.Parse, Low: 1e-6, High: 0.03, Unit: "kg"}
	flyLength     = length(0.002, 0.25)
	dragArea      = text.Range{Parse: text.Bare, Low: 1e-7, High: 0.01, Unit: "m²"}
	dropDepth     = length(0.05, 30)
	dropTime      = text.Range{Parse: quantity.Time.Parse, Low: 0.1, High: 3600, Unit: "s"}
	weighedMass   = text.Range{Parse: quantity.Mass.Parse, Low: 1e-4, High: 0.2, Unit: "kg"}
	boatLength    = length(2, 10)
	boatBeam      = length(0.8, 4)
	freeboard     = length(0.1, 2) // this and the next are as drift allows
	draught       = length(0.05, 1.5)
	boatMass      = text.Range{Parse: quantity.Mass.Parse, Low: 20, High: 3000, Unit: "kg"}
	boatSpeed     = text.Range{Parse: quantity.Speed.Parse, Low: 0.2, High: 15, Unit: "m/s"}
	drogueSize    = length(0.2, 5)
	drogueRope    = length(0.5, 50)
	ropeSpread    = length(0.3, 10)
	driftPercent  = bare(0.5, 20, "% of the wind")
	driftSD       = bare(0.01, 10, "% of the wind")
	slipDegrees   = bare(-90, 90, "degrees")
	slipSD        = bare(0.1, 90, "degrees")
	driftMinutes  = bare(1, 1e5, "minutes")
	wattHours     = bare(10, 50_000, "Wh")
	ampereHours   = bare(1, 2000, "Ah")
	volts         = bare(6, 100, "V")
	watts         = bare(10, 20_000, "W")
	litres        = bare(0.1, 200, "l")
	litresPerHour = bare(0.05, 50, "l/h")
	dropperHeight = length(0.05, 15)
)

func length(low, high float64) text.Range {
	return text.Range{Parse: quantity.Length.Parse, Low: low, High: high, Unit: "m"}
}

func bare(low, high float64, unit string) text.Range {
	return text.Range{Parse: text.Bare, Low: low, High: high, Unit: unit}
}

// ReadBag reads a bag from a TOML file; docs/formats.md gives its keys. Every
// quantity may carry a unit ("15 ft", "3 in/s", "8 lb") or be a number in SI.
// What is wrong, unknown, named twice or refers to nothing is a text.Fault that
// says the line; the first one is returned.
func ReadBag(name string, r io.Reader) (*Bag, error) {
	root, err := text.ReadTOML(name, r, bagLimit)
	if err != nil {
		return nil, err
	}
	b := &Bag{}
	each(root, "line", &b.Lines, b.readLine)
	each(root, "leader", &b.Leaders, b.readLeader)
	each(root, "fly", &b.Flies, readFly)
	each(root, "rod", &b.Rods, readRod)
	each(root, "rig", &b.Rigs, b.readRig)
	each(root, "drogue", &b.Drogues, readDrogue)
	each(root, "rules", &b.Rules, readRules)
	if boats := root.Tables("boat"); len(boats) == 1 {
		boat := b.readBoat(boats[0])
		b.Boat = &boat
		boats[0].Done()
	} else if len(boats) > 1 {
		root.Refuse("boat", "there is one boat in a bag: keep one [boat]")
	}
	b.checkMadeUp(root)
	if err := root.Done(); err != nil {
		return nil, err
	}
	if b.Boat == nil && len(b.Lines)+len(b.Leaders)+len(b.Flies)+len(b.Rods)+len(b.Rigs)+len(b.Drogues) == 0 {
		root.Refuse("", "holds no tackle: list it under [[rod]], [[line]], [[leader]], [[fly]], [[rig]], [[drogue]] and [boat]")
		return nil, root.Done()
	}
	return b, nil
}

// each reads the tables of a key, refusing names that are missing or repeated.
func each[T any](root *text.Record, key string, list *[]T, read func(*text.Record) T) {
	seen := map[string]int{}
	for _, r := range root.Tables(key) {
		if name := r.Text("name"); name == "" {
			r.Refuse("name", fmt.Sprintf("every %s needs a name of its own", key))
		} else if first, twice := seen[name]; twice {
			r.Refuse("name", fmt.Sprintf("is the name of another %s already, on line %d: each needs its own", key, first))
		} else {
			seen[name] = r.Line
		}
		*list = append(*list, read(r))
		r.Done()
	}
}

func (b *Bag) remark(format string, args ...any) {
	b.Remarks = append(b.Remarks, fmt.Sprintf(format, args...))
}

func (b *Bag) readLine(r *text.Record) Line {
	l := Line{
		Name:     r.Text("name"),
		Class:    r.Whole("class", 0, 1, 15),
		Profile:  Profile(r.Word("profile", "", texts(Profiles)...)),
		Sink:     r.Quantity("sink", lineSink),
		SlowSink: r.Quantity("slow_sink", lineSink),
		RatedAt:  r.Quantity("rated_at", water),
		Length:   r.Quantity("length", lineLength),
		SinkTip:  r.Quantity("sink_tip", partLength),
		Head:     r.Quantity("head", partLength),
		Measured: Measured{Diameter: r.Quantity("diameter", lineDiameter)},
	}
	for _, d := range r.Tables("drop") {
		l.Measured.DropDepth = d.Quantity("depth", dropDepth)
		l.Measured.DropTime = d.Quantity("time", dropTime)
		l.Measured.DropAt = d.Quantity("temperature", water)
		need(d, "depth", "time")
		if v := l.Measured.DropDepth / l.Measured.DropTime; d.Done() == nil && (v < lineSink.Low || v > lineSink.High) {
			r.Refuse("drop", fmt.Sprintf("that is %.3g m/s: a line sinks at %g to %g m/s", v, lineSink.Low, lineSink.High))
		}
	}
	for _, w := range r.Tables("weighed") {
		mass, of := w.Quantity("mass", weighedMass), w.Quantity("length", partLength)
		need(w, "mass", "length")
		if w.Done() == nil {
			l.Measured.LinearDensity = mass / of
			if l.Measured.LinearDensity < 3e-4 || l.Measured.LinearDensity > 1e-2 {
				r.Refuse("weighed", fmt.Sprintf("that is %.3g g/m: a fly line has 0.3 to 10", l.Measured.LinearDensity*1000))
			}
		}
	}
	need(r, "class", "profile")
	if r.Done() == nil {
		l.refuse(r)
	}
	if r.Done() == nil {
		for _, f := range l.Check(quantity.Trade) {
			if f.Level != Good {
				b.remark("line %s: %s", l.Name, f.Text)
			}
		}
	}
	return l
}

// need refuses a table that lacks keys it cannot do without.
func need(r *text.Record, keys ...string) {
	for _, key := range keys {
		if !r.Has(key) {
			r.Refuse("", "lacks "+key)
		}
	}
}

// refuse says what in a line does not go together.
func (l Line) refuse(r *text.Record) {
	m := l.Measured
	dropped, bothMeasured := m.DropTime > 0, m.Diameter > 0 && m.LinearDensity > 0
	graded := l.Profile == TipFirst || l.Profile == BellyFirst
	switch {
	case l.Profile == Floating && (l.Sink != 0 || dropped):
		r.Refuse("profile", "a floating line has no sink and no drop: it is even, barely_sinking or sink_tip if it sinks")
	case l.Profile == BarelySinking && l.Sink > 0.0254:
		r.Refuse("sink", "a barely sinking line sinks at less than 1 in/s: above that its profile is even")
	case l.Profile != Floating && l.Profile != BarelySinking && l.Sink == 0 && !dropped && !bothMeasured:
		r.Refuse("", `lacks sink, as in sink = "3 in/s"; or drop = {depth = "2 m", time = "26 s", temperature = "10 C"} instead`)
	case l.Profile == SinkTip && l.SinkTip == 0:
		r.Refuse("", `lacks sink_tip, the length that sinks, as in sink_tip = "10 ft"`)
	case l.Profile != SinkTip && l.SinkTip != 0:
		r.Refuse("sink_tip", "is for lines of the profile sink_tip only")
	case !graded && l.SlowSink != 0:
		r.Refuse("slow_sink", "is for lines of the profiles tip_first and belly_first only")
	case l.Head > l.WholeLength() || l.SinkTip > l.WholeLength():
		r.Refuse("", fmt.Sprintf("head or sink tip is longer than the line of %.4g m", l.WholeLength()))
	}
	if r.Done() != nil || l.Profile == Floating {
		return
	}
	if h := l.head(); h.sink <= 0 {
		r.Refuse("weighed", fmt.Sprintf("diameter and mass together give %.0f kg/m³, which floats: measure them again, or the profile is floating", h.linearDensity/area(h.diameter)))
	} else if l.SlowSink > h.sink {
		r.Refuse("slow_sink", "is the slowest part's: it cannot be above the sink")
	}
}

func (b *Bag) readLeader(r *text.Record) Leader {
	l := Leader{
		Name:     r.Text("name"),
		Material: Material(r.Word("material", "", texts(Materials)...)),
		Diameter: r.Quantity("diameter", leaderThick),
		Strength: r.Quantity("strength", breaking),
		Length:   r.Quantity("length", leaderLength),
		Droppers: r.Quantities("droppers", dropperHeight),
	}
	need(r, "material", "length")
	if l.Diameter == 0 && l.Strength == 0 {
		r.Refuse("", "lacks diameter and strength: one of them is needed")
	}
	below := 0.0
	for _, d := range l.Droppers {
		if d <= below {
			r.Refuse("droppers", "are distances up from the point, the nearest first, no two alike")
		}
		below = d
	}
	if below >= l.Length {
		r.Refuse("droppers", fmt.Sprintf("the highest is %.3g m up a leader of %.3g m: it must be below the line", below, l.Length))
	}
	if r.Done() == nil {
		for _, f := range l.Check(quantity.Trade) {
			if f.Level != Good {
				b.remark("leader %s: %s", l.Name, f.Text)
			}
		}
	}
	return l
}

func readFly(r *text.Record) Fly {
	f := Fly{
		Name:       r.Text("name"),
		Kind:       Kind(r.Word("kind", "", texts(Kinds)...)),
		Sink:       r.Quantity("sink", flySink),
		Mass:       r.Quantity("mass", flyMass),
		DragArea:   r.Quantity("drag_area", dragArea),
		Length:     r.Quantity("length", flyLength),
		HookLength: r.Quantity("hook_length", flyLength),
		Weighted:   r.Yes("weighted"),
		Tandem:     r.Yes("tandem"),
	}
	need(r, "kind")
	ways := 0
	for i, key := range []string{"drop", "rise"} { // a jar test
		sign := float64(1 - 2*i)
		for _, d := range r.Tables(key) {
			depth, time := d.Quantity("depth", dropDepth), d.Quantity("time", dropTime)
			need(d, "depth", "time")
			if d.Done() == nil {
				f.Sink = sign * depth / time
			}
			ways++
		}
	}
	if r.Has("sink") {
		ways++
		if f.Sink == 0 {
			r.Refuse("sink", "a fly that hangs still has no figure here: give the slowest sink or rise that you saw")
		}
	}
	if ways > 1 {
		r.Refuse("", "has its sink said twice: keep one of sink, drop and rise")
	}
	if f.Sink < flySink.Low || f.Sink > flySink.High {
		r.Refuse("", fmt.Sprintf("moves at %.3g m/s in the jar: allowed is %g to %g", f.Sink, flySink.Low, flySink.High))
	}
	if r.Done() == nil {
		if _, ok := f.Body(); !ok {
			r.Refuse("mass", fmt.Sprintf("is less than the %.2g g that such a fly weighs in water when it sinks at %.3g m/s: weigh it again, or give a smaller drag_area", f.WeightInWater()/9.80665*1000, f.Sink))
		}
	}
	return f
}

func readRod(r *text.Record) Rod {
	rod := Rod{Name: r.Text("name"), Length: r.Quantity("length", rodLength), Class: r.Whole("class", 0, 1, 15), MadeUp: r.Text("made_up")}
	need(r, "length", "class")
	return rod
}

func (b *Bag) readRig(r *text.Record) Rig {
	rig := Rig{Name: r.Text("name"), Way: Way(r.Word("way", "", texts(Ways)...))}
	rig.Rod, _ = pick(r, "rod", "rod", b.Rods, func(x Rod) string { return x.Name })
	rig.Line, _ = pick(r, "line", "line", b.Lines, func(x Line) string { return x.Name })
	leader, found := pick(r, "leader", "leader", b.Leaders, func(x Leader) string { return x.Name })
	rig.Leader = leader
	need(r, "rod", "line", "leader", "way", "flies")
	names := r.Texts("flies")
	if found && len(names) > len(leader.Droppers)+1 {
		r.Refuse("flies", fmt.Sprintf("are %d, but leader %s has a point and %d droppers", len(names), leader.Name, len(leader.Droppers)))
		return rig
	}
	for i, name := range names {
		if name == "" { // a bare dropper
			continue
		}
		at := slices.IndexFunc(b.Flies, func(f Fly) bool { return f.Name == name })
		if at < 0 {
			r.Refuse("flies", fmt.Sprintf("%q is no fly of this bag: there are %s", name, list(b.Flies, func(f Fly) string { return f.Name })))
			return rig
		}
		m := Mounted{Fly: b.Flies[at]}
		if i > 0 && found {
			m.FromPoint = leader.Droppers[i-1]
		}
		rig.Flies = append(rig.Flies, m)
	}
	if len(rig.Flies) == 0 {
		r.Refuse("flies", "needs one fly at least, the point fly first")
	}
	return rig
}

// pick finds what a key names in a list of the bag, whose things are called what.
func pick[T any](r *text.Record, key, what string, from []T, name func(T) string) (found T, ok bool) {
	want := r.Text(key)
	for _, x := range from {
		if name(x) == want && want != "" {
			return x, true
		}
	}
	if r.Has(key) {
		r.Refuse(key, fmt.Sprintf("is no %s of this bag: there are %s", what, list(from, name)))
	}
	return found, false
}

func list[T any](from []T, name func(T) string) string {
	if len(from) == 0 {
		return "none"
	}
	var names []string
	for _, x := range from {
		names = append(names, name(x))
	}
	return strings.Join(names, ", ")
}

// checkMadeUp holds that a rod stands made up with a rig that is on that rod.
func (b *Bag) checkMadeUp(root *text.Record) {
	for i, r := range root.Tables("rod") {
		if root.Done() != nil || i >= len(b.Rods) || b.Rods[i].MadeUp == "" {
			continue
		}
		rig, ok := pick(r, "made_up", "rig", b.Rigs, func(x Rig) string { return x.Name })
		if ok && rig.Rod.Name != b.Rods[i].Name {
			r.Refuse("made_up", fmt.Sprintf("that rig is on rod %s", rig.Rod.Name))
		}
	}
}

func texts[T ~string](list []T) []string {
	var out []string
	for _, x := range list {
		out = append(out, string(x))
	}
	return out
}
