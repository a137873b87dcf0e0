package windlane

import (
	"fmt"
	"math"
	"slices"

	"windlane/brief"
	"windlane/cast"
	"windlane/drift"
	"windlane/outing"
	"windlane/presence"
	"windlane/tackle"
)

// currentScale is the depth over which the wind-driven current falls by a factor
// e. [m] The skin moves at 3 % of the wind, a hull's depth at 1 to 1.5 % (drift): a guess.
const currentScale = 0.5

// So many set-ups are advised by the hour, and so many other ways beside them.
const (
	mostByHour = 4
	mostOthers = 3
)

// counts are those tried, no finer than a person counts. [s]
func counts() []float64 {
	return []float64{3, 6, 9, 12, 15, 18, 21, 24, 27, 30, 34, 38, 42, 46, 50, 55, 60}
}

// fastestCast and fastestSkin are the fastest boat and surface that a cast is
// worked out for. [m/s] The plan has sent everybody in long before.
const (
	fastestCast = 2.0
	fastestSkin = 1.0
)

// whatReachesThem chooses the set-ups: for each run of like hours the best that
// the bag allows at the depth expected, then the best of each other way.
func (d *day) whatReachesThem() error {
	boat, err := d.boat()
	if err != nil {
		return err
	}
	d.boats = boat
	rigs := d.Bag.SetUps()
	if len(rigs) == 0 {
		return fmt.Errorf("the bag: nothing to fish with: it needs a line, a leader and a fly, or a rig made of them")
	}
	temperature := d.facts.Hours[0].Conditions.Surface.Value
	ways := tackle.Ways
	if d.Outing.Aim == outing.Method {
		ways = []tackle.Way{d.Outing.Way}
	}
	for _, s := range d.spells() {
		h := d.facts.Hours[(s.From+s.Until-1)/2]
		band := likeliest(h.Belief)
		var best []found // of each way
		for _, way := range ways {
			f, ok, err := d.reach(rigs, way, band, h, temperature)
			if err != nil {
				return err
			}
			if ok {
				best = append(best, f)
			}
		}
		if len(best) == 0 {
			if slices.ContainsFunc(rigs, func(r tackle.Rig) bool { return slices.Contains(ways, r.Way) }) {
				d.outOfReach(s, band)
			}
			continue
		}
		if s.From == 0 && d.belief.Aim != presence.Most {
			if err := d.rank(best, h.Belief, outing.Most); err != nil {
				return err
			}
		}
		plain := best[0]
		if err := d.rank(best, h.Belief, d.Outing.Aim); err != nil {
			return err
		}
		if s.From == 0 {
			if !best[0].alike(plain.rig, plain.option.Count) && d.belief.Aim != presence.Most {
				d.facts.Aim.FirstElse = plain.rig.Name
				if plain.option.Count > 0 {
					d.facts.Aim.FirstElse += fmt.Sprintf(", count %.0f", plain.option.Count)
				}
			}
			d.facts.Reach = best[0].all
			d.facts.ReachRigs = best[0].rigs
		}
		for i, f := range best {
			f.freshest = !slices.ContainsFunc(best, func(o found) bool { return o.option.FreshPerHour > f.option.FreshPerHour })
			d.take(f, s, i == 0)
		}
	}
	d.fillGaps()
	d.unusedWay(rigs)
	return nil
}

// outOfReach remarks on hours whose depth nothing reaches.
func (d *day) outOfReach(s brief.Spell, band cast.Band) {
	end := d.Outing.Until
	if s.Until < len(d.times) {
		end = d.times[s.Until]
	}
	d.remark("from %s to %s nothing you would fish with reaches the depth expected, %s: what serves the other hours stands for these", d.times[s.From].Format("15:04"), end.Format("15:04"), d.Outing.Units.DepthRange(band.Top, band.Bottom))
}

// fillGaps lets a set-up stand for hours that none was found for: the one
// before them, or the first of the day.
func (d *day) fillGaps() {
	const none = -1
	owner, last := make([]int, len(d.facts.Hours)), none
	for h := range owner {
		owner[h] = slices.IndexFunc(d.facts.SetUps, func(s brief.SetUpFacts) bool { return s.At(h) })
		if owner[h] == none {
			owner[h] = last
		}
		last = owner[h]
	}
	for h := len(owner) - 1; h > 0; h-- {
		if owner[h-1] == none {
			owner[h-1] = owner[h]
		}
	}
	for i := range d.facts.SetUps {
		d.facts.SetUps[i].Spells = nil
	}
	for h, i := range owner {
		if i == none {
			continue
		}
		s := &d.facts.SetUps[i].Spells
		if n := len(*s); n > 0 && (*s)[n-1].Until == h {
			(*s)[n-1].Until++
		} else {
			*s = append(*s, brief.Spell{From: h, Until: h + 1})
		}
	}
}

// found is the best cast of one way of fishing.
type found struct {
	option cast.Option
	rig    tackle.Rig
	search cast.Search
	all    cast.Reached
	rigs   []tackle.Rig
	value  float64 // that ways are ranked by: fresh water searched an hour [m], or what is certain for the surest fish [1]
	tried  []tried // for the surest fish

	freshest bool // no other way searches more
}

// alike is whether a set-up and count are hardly another.
func (f *found) alike(rig tackle.Rig, count float64) bool {
	return rig.Name == f.rig.Name && rig.Line.Name == f.rig.Line.Name && math.Abs(count-f.option.Count) < 5
}

// question is one of its casts in full.
func (f *found) question(rig tackle.Rig, o cast.Option) cast.Question {
	s := f.search
	return cast.Question{
		Rig: rig, Way: rig.Way, LineOut: s.LineOut, TipHeight: s.TipHeight, Hang: s.Hang, HangMark: s.HangMark,
		BoatSpeed: s.BoatSpeed, Current: s.Current, CurrentScale: s.CurrentScale, Count: o.Count, Retrieve: o.Retrieve,
		Temperature: s.Temperature, Bed: s.Bed, Units: s.Units,
	}
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
		Rigs: f.rigs, LineOut: cast.UsualLineOut(way), TipHeight: cast.UsualTip, Hang: cast.UsualHang(), HangMark: cast.UsualHangMark,
		Band: band, BoatSpeed: math.Min(speed, fastestCast), Temperature: temperature, Units: d.Outing.Units,
		Counts: counts(), Best: 4,
		Current: math.Min(h.Conditions.Skin.Value, fastestSkin), CurrentScale: currentScale,
	}
	if d.lake.HasDepths() {
		f.search.Bed = float64(h.Belief.Bed)
	}
	f.search.Retrieves = cast.UsualRetrieves(way, temperature)
	f.all, err = cast.Reach(f.search)
	if err != nil {
		return f, false, fmt.Errorf("what reaches them, %s: %w", way, err)
	}
	if len(f.all.Options) == 0 {
		return f, false, nil
	}
	return f, true, nil
}

// take adds a found cast to the set-ups, or lengthens the hours of one that is
// the same. One that is not first is kept only as another way of fishing.
func (d *day) take(f found, s brief.Spell, first bool) {
	for i := range d.facts.SetUps {
		t := &d.facts.SetUps[i]
		same := f.alike(t.Rig, t.Question.Count)
		if same && first {
			t.First, t.Spells = true, append(t.Spells, s)
			return
		}
		if same || !first && t.Rig.Way == f.rig.Way {
			return
		}
	}
	byHour, others := 0, 0
	for _, t := range d.facts.SetUps {
		if t.First {
			byHour++
		} else {
			others++
		}
	}
	most := mostOthers
	if d.Outing.Aim == outing.Biggest { // many ways are many small fish
		most = 1
	}
	if first && byHour == mostByHour || !first && others >= most {
		return
	}
	set := brief.SetUpFacts{Rig: f.rig, Question: f.question(f.rig, f.option), Band: f.search.Band, Fresh: f.option.FreshPerHour, Seconds: f.option.Seconds, First: first, Freshest: f.freshest}
	if first {
		set.Spells = []brief.Spell{s}
	}
	d.facts.SetUps = append(d.facts.SetUps, set)
}

// whatTheFliesDo runs the chosen casts in full, with their spread, and looks the
// set-ups over.
func (d *day) whatTheFliesDo() error {
	d.facts.SetUps = d.wanted()
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

// wanted are the set-ups that the plan has a use for: those by the hour in whose
// hours a drift begins, then the ways that none of these is.
func (d *day) wanted() []brief.SetUpFacts {
	var out []brief.SetUpFacts
	ways := map[tackle.Way]bool{}
	for _, s := range d.facts.SetUps {
		used := len(d.facts.Plan.Drifts) == 0
		for _, drift := range d.facts.Plan.Drifts {
			h := d.hourOf(drift.Start)
			used = used || s.At(h)
		}
		if s.First && used {
			out, ways[s.Rig.Way] = append(out, s), true
		}
	}
	for _, s := range d.facts.SetUps {
		if !s.First && !ways[s.Rig.Way] {
			out, ways[s.Rig.Way] = append(out, s), true
		}
	}
	return out
}

// spells cuts the hours where their depth moves by more than 2 ft or the wind by
// more than half.
func (d *day) spells() []brief.Spell {
	const move, change = 0.6, 1.5
	var out []brief.Spell
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
		out = append(out, brief.Spell{From: from, Until: i})
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
