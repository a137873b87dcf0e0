package windlane

import (
	"fmt"
	"math"
	"slices"

	"windlane/brief"
	"windlane/cast"
	"windlane/drift"
	"windlane/presence"
	"windlane/tackle"
)

// How a cast is made when nobody says otherwise. Common practice, no source.
const (
	rodLow     = 0.4 // height of the tip in count and pull [m]
	rodHigh    = 2.2 // and in the hang [m]
	hangMark   = 3.5 // of line outside the rod when the hang begins [m]
	mostSetUps = 5
)

// lineOut is line and leader out at landing, by way of fishing. [m]
func lineOut(way tackle.Way) float64 {
	switch way {
	case tackle.ShortLine:
		return 9
	case tackle.Dries:
		return 14
	case tackle.Bung:
		return 15
	}
	return 20
}

// counts are those tried, no finer than a person counts. [s]
var counts = []float64{3, 6, 9, 12, 15, 18, 21, 24, 27, 30, 34, 38, 42, 46, 50, 55, 60}

// retrieves are those tried, by way of fishing; none where the rule has its own.
func retrieves(way tackle.Way) []cast.Retrieve {
	var out []cast.Retrieve
	add := func(kind cast.Kind, speeds ...float64) {
		for _, v := range speeds {
			out = append(out, cast.Retrieve{Kind: kind, Speed: v})
		}
	}
	switch way {
	case tackle.Lures:
		add(cast.Steady, 0.20, 0.25, 0.30, 0.36, 0.42, 0.48, 0.54, 0.60, 0.68, 0.76)
	case tackle.PulledWets:
		add(cast.Steady, 0.30, 0.36, 0.42, 0.48, 0.54, 0.60)
	case tackle.WashingLine:
		add(cast.FigureOfEight, 0.06, 0.09, 0.12)
		add(cast.Steady, 0.18, 0.25)
	case tackle.Nymphs:
		add(cast.FigureOfEight, 0.04, 0.06, 0.09, 0.12)
	}
	return out
}

var hang = []cast.Stage{{Height: 1.2, Over: 1.5, Hold: 4}, {Height: rodHigh, Over: 1.5, Hold: 3}}

// spell is a run of hours in which one set-up serves.
type spell struct{ from, until int }

// whatReachesThem chooses the set-ups: for each run of like hours the best that
// the bag allows at the depth expected, then the best of each other way.
func (d *day) whatReachesThem() error {
	boat, err := d.boat()
	if err != nil {
		return err
	}
	d.boats = boat
	rigs := d.rigs()
	if len(rigs) == 0 {
		return fmt.Errorf("the bag: nothing to fish with: it needs a line, a leader and a fly, or a rig made of them")
	}
	temperature := d.facts.Hours[0].Conditions.Surface.Value
	for _, s := range d.spells() {
		h := d.facts.Hours[(s.from+s.until-1)/2]
		band := likeliest(h.Belief)
		var best []found
		for _, way := range tackle.Ways {
			if d.Outing.Way != "" && way != d.Outing.Way && d.Outing.Aim == "method" {
				continue
			}
			f, ok, err := d.reach(rigs, way, band, h, temperature)
			if err != nil {
				return err
			}
			if ok {
				best = append(best, f)
			}
		}
		if len(best) == 0 {
			continue
		}
		slices.SortStableFunc(best, func(a, b found) int { // in steps of half a metre of path, so that targets agree
			return int(math.Round(b.option.FreshPerHour*2)) - int(math.Round(a.option.FreshPerHour*2))
		})
		if s.from == 0 {
			d.facts.Reach = best[0].all
			d.facts.ReachRigs = best[0].rigs
		}
		for i, f := range best {
			d.take(f, s, i == 0)
		}
	}
	return nil
}

// found is the best cast of one way of fishing.
type found struct {
	option cast.Option
	rig    tackle.Rig
	search cast.Search
	all    cast.Reached
	rigs   []tackle.Rig
}

// reach searches the rigs of one way at the boat speed that way wants.
func (d *day) reach(rigs []tackle.Rig, way tackle.Way, band cast.Band, h brief.HourFacts, temperature float64) (f found, ok bool, err error) {
	for _, r := range rigs {
		if r.Way == way {
			f.rigs = append(f.rigs, r)
		}
	}
	if len(f.rigs) == 0 {
		return f, false, nil
	}
	fractions := make([]float64, len(d.boats.SetUps))
	for i, s := range d.boats.SetUps {
		fractions[i] = s.Motion.Fraction
	}
	pace, _ := drift.Wanted(drift.Way(way))
	_, speed, _ := drift.Choose(h.Conditions.Wind.Value, fractions, pace)
	f.search = cast.Search{
		Rigs: f.rigs, LineOut: lineOut(way), TipHeight: rodLow, Hang: hang, HangMark: hangMark,
		Band: band, BoatSpeed: speed, Temperature: temperature, Units: d.Outing.Units,
		Counts: counts, Best: 6,
	}
	if d.lake.HasDepths() {
		f.search.Bed = float64(h.Belief.Bed)
	}
	f.search.Retrieves = retrieves(way)
	f.all, err = cast.Reach(f.search)
	if err != nil {
		return f, false, fmt.Errorf("what reaches them, %s: %w", way, err)
	}
	if len(f.all.Options) == 0 {
		return f, false, nil
	}
	f.option = f.all.Options[0]
	f.rig = f.rigs[f.option.Rig]
	return f, true, nil
}

// take adds a found cast to the set-ups, or lengthens the hours of one that is
// the same. One that is not first is kept only as another way of fishing.
func (d *day) take(f found, s spell, first bool) {
	for i := range d.facts.SetUps {
		t := &d.facts.SetUps[i]
		same := t.Rig.Name == f.rig.Name && t.Rig.Line.Name == f.rig.Line.Name && math.Abs(t.Question.Count-f.option.Count) < 5
		if same && first && t.Until == s.from {
			t.Until = s.until
			return
		}
		if same || !first && t.Rig.Way == f.rig.Way {
			return
		}
	}
	if len(d.facts.SetUps) == mostSetUps {
		return
	}
	q := cast.Question{
		Rig: f.rig, Way: f.rig.Way, LineOut: f.search.LineOut, TipHeight: rodLow, Hang: hang, HangMark: hangMark,
		BoatSpeed: f.search.BoatSpeed, Count: f.option.Count, Retrieve: f.option.Retrieve,
		Temperature: f.search.Temperature, Bed: f.search.Bed, Units: d.Outing.Units,
	}
	set := brief.SetUpFacts{Rig: f.rig, Question: q, Band: f.search.Band, Fresh: f.option.FreshPerHour, Seconds: f.option.Seconds, First: first}
	if first {
		set.From, set.Until = s.from, s.until
	}
	d.facts.SetUps = append(d.facts.SetUps, set)
}

// whatTheFliesDo runs the chosen casts in full, with their spread, and looks the
// set-ups over.
func (d *day) whatTheFliesDo() error {
	// Those to fish by the hour come first, the other ways after them.
	slices.SortStableFunc(d.facts.SetUps, func(a, b brief.SetUpFacts) int {
		switch {
		case a.First == b.First:
			return 0
		case a.First:
			return -1
		}
		return 1
	})
	windiest := 0.0
	for _, h := range d.facts.Hours {
		windiest = math.Max(windiest, h.Conditions.Wind.Value)
	}
	for i := range d.facts.SetUps {
		s := &d.facts.SetUps[i]
		a, err := cast.Run(s.Question)
		if err != nil {
			return fmt.Errorf("set-up %q: %w", s.Rig.Name, err)
		}
		s.Answer = a
		s.Checks = s.Rig.Check(tackle.Situation{Wind: windiest, Rules: d.Bag.Rules, Units: d.Outing.Units})
	}
	return nil
}

// spells cuts the hours where their depth moves by more than 2 ft or the wind by
// more than a third.
func (d *day) spells() []spell {
	const move, change = 0.6, 1.33
	var out []spell
	from := 0
	for i := 1; i <= len(d.facts.Hours); i++ {
		if i < len(d.facts.Hours) {
			a, b := d.facts.Hours[from], d.facts.Hours[i]
			x, y := likeliest(a.Belief), likeliest(b.Belief)
			wind := (b.Conditions.Wind.Value + 0.5) / (a.Conditions.Wind.Value + 0.5)
			if math.Abs(x.Top+x.Bottom-y.Top-y.Bottom)/2 <= move && wind < change && wind > 1/change {
				continue
			}
		}
		out = append(out, spell{from, i})
		from = i
	}
	return out
}

// likeliest is the band that holds most of what is expected.
func likeliest(b presence.Belief) cast.Band {
	best := presence.Band{Top: 0, Bottom: math.Max(presence.Layer, float64(b.Bed))}
	for i, x := range b.Bands {
		if i == 0 || x.Share > best.Share {
			best = x
		}
	}
	return cast.Band{Top: best.Top, Bottom: math.Max(best.Bottom, best.Top+presence.Layer)}
}

// rigs are the set-ups that the bag can be put together to: those it names,
// each counted one also on every other sinking line that its rod throws.
func (d *day) rigs() []tackle.Rig {
	var out []tackle.Rig
	for _, r := range d.Bag.Rigs {
		out = append(out, r)
		if r.Way != tackle.Lures && r.Way != tackle.PulledWets {
			continue
		}
		for _, l := range d.Bag.Lines {
			fits := r.Rod.Class == 0 || l.Class >= r.Rod.Class-1 && l.Class <= r.Rod.Class+1
			if l.Name != r.Line.Name && l.Profile != tackle.Floating && fits {
				other := r
				other.Line = l
				out = append(out, other)
			}
		}
	}
	if len(out) == 0 {
		out = d.looseRigs()
	}
	return out
}

// looseRigs makes set-ups of a bag that names none: each line with each leader,
// the heaviest fly on the point and the lightest on the first dropper.
func (d *day) looseRigs() []tackle.Rig {
	var out []tackle.Rig
	if len(d.Bag.Flies) == 0 {
		return nil
	}
	flies := slices.Clone(d.Bag.Flies)
	slices.SortStableFunc(flies, func(a, b tackle.Fly) int {
		return int(math.Round(1e4 * (b.SinkSpeed() - a.SinkSpeed())))
	})
	for _, l := range d.Bag.Lines {
		way := tackle.Lures
		if l.Profile == tackle.Floating {
			way = tackle.Nymphs
		}
		for _, leader := range d.Bag.Leaders {
			mounted := []tackle.Mounted{{Fly: flies[0]}}
			if len(leader.Droppers) > 0 && len(flies) > 1 {
				mounted = append(mounted, tackle.Mounted{Fly: flies[len(flies)-1], FromPoint: leader.Droppers[0]})
			}
			r := tackle.Rig{Name: l.Name + ", " + leader.Name, Line: l, Leader: leader, Flies: mounted, Way: way}
			if len(d.Bag.Rods) > 0 {
				r.Rod = d.Bag.Rods[0]
			}
			if out = append(out, r); len(out) == 24 {
				return out
			}
		}
	}
	return out
}
