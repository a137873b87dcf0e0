package engine

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"windlane/internal/text"
	"windlane/internal/wire"
	"windlane/tackle"
)

// rigOf is a rig of the edge as tackle knows it. It refuses what would be left
// out in silence; ranges and the rest are cast's to check.
func rigOf(r wire.Rig, at string) (tackle.Rig, *wire.Fault) {
	if !slices.Contains(tackle.Ways, tackle.Way(r.Way)) {
		return tackle.Rig{}, wire.Refuse(at+".way", "is %q: allowed are %s", r.Way, words(tackle.Ways))
	}
	line, fault := lineOf(r.Line, at+".line")
	if fault != nil {
		return tackle.Rig{}, fault
	}
	rig := tackle.Rig{
		Name: r.Name, Way: tackle.Way(r.Way), Line: line, Rod: tackle.Rod{Length: r.RodLength},
		Leader: tackle.Leader{Material: tackle.Material(r.Leader.Material), Diameter: r.Leader.Diameter, Strength: r.Leader.Strength, Length: r.Leader.Length},
	}
	for i, f := range r.Flies {
		fly := tackle.Fly{Name: f.Name, Kind: tackle.Kind(f.Kind), Mass: f.Mass, DragArea: f.DragArea, Weighted: f.Weighted}
		if f.Sink != nil {
			if *f.Sink == 0 {
				return tackle.Rig{}, wire.Refuse(fmt.Sprintf("%s.flies[%d].sink_m_s", at, i), "is 0: give the slowest sink or rise (negative) seen, or leave it out")
			}
			fly.Sink = *f.Sink
		}
		rig.Flies = append(rig.Flies, tackle.Mounted{Fly: fly, FromPoint: f.FromPoint})
	}
	return rig, nil
}

func lineOf(l wire.FlyLine, at string) (tackle.Line, *wire.Fault) {
	line := tackle.Line{
		Class: l.Class, Profile: tackle.Profile(l.Profile), Sink: l.Sink, SlowSink: l.SlowSink, RatedAt: l.RatedAt,
		Length: l.Length, SinkTip: l.SinkTip, Head: l.Head,
	}
	refuse := func(field, format string, args ...any) (tackle.Line, *wire.Fault) {
		return line, wire.Refuse(at+field, format, args...)
	}
	if l.Class < 1 || l.Class > 15 || !slices.Contains(tackle.Profiles, line.Profile) {
		return line, nil // cast says so
	}
	graded := line.Profile == tackle.TipFirst || line.Profile == tackle.BellyFirst
	switch {
	case line.Profile == tackle.Floating && l.Sink != 0:
		return refuse(".sink_m_s", "is %v: a floating line has none: leave it out, or the profile is another", l.Sink)
	case line.Profile == tackle.BarelySinking && l.Sink > 0.0254:
		return refuse(".sink_m_s", "is %v: a barely sinking line has less than 0.0254; above that its profile is even", l.Sink)
	case line.Profile == tackle.SinkTip && l.SinkTip == 0:
		return refuse(".sink_tip_m", "is missing: a line of the profile sink_tip needs the length that sinks")
	case line.Profile != tackle.SinkTip && l.SinkTip != 0:
		return refuse(".sink_tip_m", "is for lines of the profile sink_tip only")
	case !graded && l.SlowSink != 0:
		return refuse(".slow_sink_m_s", "is for lines of the profiles tip_first and belly_first only")
	case l.Head > line.WholeLength():
		return refuse(".head_m", "is %v: the line is %v m long", l.Head, line.WholeLength())
	case l.SinkTip > line.WholeLength():
		return refuse(".sink_tip_m", "is %v: the line is %v m long", l.SinkTip, line.WholeLength())
	}
	if m := l.Measured; m != nil {
		line.Measured = tackle.Measured{Diameter: m.Diameter, LinearDensity: m.Linear, DropDepth: m.DropDepth, DropTime: m.DropTime, DropAt: m.DropAt}
		drop := m.DropDepth > 0 && m.DropTime > 0
		switch {
		case line.Profile == tackle.Floating && (m.DropDepth > 0 || m.DropTime > 0):
			return refuse(".measured.drop_depth_m", "is for lines that sink: a floating line does not drop")
		case !drop && (m.DropDepth > 0 || m.DropTime > 0 || m.DropAt > 0):
			return refuse(".measured.drop_depth_m", "and drop_time_s belong together: give both or neither")
		}
	}
	known := l.Sink > 0 || line.Measured.DropTime > 0 || line.Measured.Diameter > 0 && line.Measured.LinearDensity > 0
	if line.Profile == tackle.Floating || line.Profile == tackle.BarelySinking && !known {
		return line, nil
	}
	if !known {
		return refuse(".sink_m_s", "is missing: a line of the profile %s needs it, or a drop, or diameter and linear density measured", l.Profile)
	}
	sink := l.Sink
	if l.Measured != nil {
		sink = line.SinkAt(tackle.DefaultRatedAt)
	}
	if sink <= 0 {
		return refuse(".measured.linear_density_kg_m", "and diameter_m make a line that floats: measure them again, or its profile is floating")
	} else if l.SlowSink > sink {
		return refuse(".slow_sink_m_s", "is %v: it is the slowest part's, and cannot be above the sink", l.SlowSink)
	}
	return line, nil
}

// rigsOf reads a bag and gives its rigs.
func rigsOf(bag wire.File) ([]tackle.Rig, *wire.Fault) {
	b, err := tackle.ReadBag(bag.Name, strings.NewReader(bag.Text))
	if err != nil {
		var said *text.Fault
		if errors.As(err, &said) {
			return nil, wire.Refuse("bag", "%v", said)
		}
		return nil, wire.Refuse("bag", "%v", err)
	}
	if len(b.SetUps()) == 0 {
		return nil, wire.Refuse("bag", "%s: holds no rig: tie one together under [[rig]] of a rod, a line, a leader and flies", bag.Name)
	}
	return b.SetUps(), nil
}

func names(rigs []tackle.Rig) string {
	var list []string
	for _, r := range rigs {
		list = append(list, r.Name)
	}
	return strings.Join(list, ", ")
}

func words[T ~string](list []T) string {
	var out []string
	for _, w := range list {
		out = append(out, string(w))
	}
	return strings.Join(out, ", ")
}
