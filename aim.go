package windlane

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"windlane/brief"
	"windlane/cast"
	"windlane/outing"
	"windlane/plan"
	"windlane/presence"
	"windlane/tackle"
	"windlane/water"
)

// What the aim, what was told and the names in the day file change.
// docs/models/presence.md has the choices, docs/decisions/0006 the reasons.

var aims = map[outing.Aim]presence.Aim{outing.Surest: presence.Surest, outing.Biggest: presence.Biggest}

// candidates are the casts of one way among which the aim chooses: for most
// fish the one that searches most, else the best few and the best of each rig.
func (f *found) candidates(aim outing.Aim) []cast.Option {
	if aims[aim] == presence.Most {
		return f.all.Options[:1]
	}
	return append(slices.Clone(f.all.Options), f.all.ByRig...)
}

// appreciable is the share from which a reason for fish to be there counts in
// the depths that the surest cast is looked for over. [1]
const appreciable = 0.1

// everywhere is the range of depth that holds half of what each appreciable
// reason expects.
func everywhere(b presence.Belief) cast.Band {
	const half = 0.6745 // standard deviations
	bed := math.Max(presence.Layer, float64(b.Bed))
	out := cast.Band{Top: bed, Bottom: presence.Layer}
	for _, p := range b.Parts {
		if p.Weight >= appreciable {
			out.Top = math.Min(out.Top, math.Max(0, p.Centre-half*p.SD))
			out.Bottom = math.Max(out.Bottom, math.Min(bed, p.Centre+half*p.SD))
		}
	}
	out.Top = math.Min(out.Top, out.Bottom-presence.Layer)
	return out
}

// measured is a cast against the depth that the search is for; what was found
// for another depth is looked at again.
func (f *found) measured(o cast.Option) (cast.Option, error) {
	s := f.search
	s.Rigs, s.Counts, s.Retrieves, s.Direct = f.rigs[o.Rig:o.Rig+1], []float64{math.Max(o.Count, 3)}, []cast.Retrieve{o.Retrieve}, true
	all, err := cast.Reach(s)
	if err != nil {
		return o, err
	}
	o.Fresh, o.FreshPerHour, o.Seconds, o.SecondsPerHour = 0, 0, 0, 0
	if len(all.Options) > 0 {
		rig := o.Rig
		o = all.Options[0]
		o.Rig = rig
	}
	return o, nil
}

// rank puts the ways of an hour in order, each with the cast that the aim likes
// best: by fresh water searched an hour, for the biggest times mouthful, for the
// surest by the chance of at least one offer; times the trust in a way that was
// told. A way that was asked for stands first.
func (d *day) rank(ways []found, b presence.Belief, aim outing.Aim) error {
	for i := range ways {
		f := &ways[i]
		f.option, f.value, f.tried = f.all.Options[0], 0, nil
		if aim == outing.Surest { // casts through all depths that are likely, besides
			s := f.search
			s.Band, s.Counts = everywhere(b), []float64{3, 9, 18, 30, 46} // coarse: what they offer is worked out in full
			if n := len(s.Retrieves); n > 3 {
				s.Retrieves = []cast.Retrieve{s.Retrieves[0], s.Retrieves[n/2], s.Retrieves[n-1]}
			}
			through, err := cast.Reach(s)
			if err != nil {
				return err
			}
			for _, o := range append(through.Options, through.ByRig...) {
				if err := f.try(o, s.Band, b); err != nil {
					return err
				}
			}
		}
		for _, o := range f.candidates(aim) {
			value := o.FreshPerHour
			switch aim {
			case outing.Biggest:
				value *= mouthful(f.rigs[o.Rig])
			case outing.Surest:
				if err := f.try(o, f.search.Band, b); err != nil {
					return err
				}
				continue
			}
			if value > f.value {
				f.option, f.value = o, value
			}
		}
	}
	if aim == outing.Surest {
		if err := surest(ways, b, d.belief.RodAverage()); err != nil {
			return err
		}
	}
	for i := range ways {
		f := &ways[i]
		f.rig = f.rigs[f.option.Rig]
		for _, t := range d.Outing.Told {
			if t.Way == f.rig.Way {
				f.value *= 1 + float64(t.Trust)
			}
		}
	}
	slices.SortStableFunc(ways, func(a, b found) int { // in steps of half a metre of path, so that targets agree
		asked := func(f found) int {
			if f.rig.Way == d.Outing.Way {
				return 0
			}
			return 1
		}
		return cmp.Or(asked(a)-asked(b), int(math.Round(b.value*2))-int(math.Round(a.value*2)))
	})
	return nil
}

// mouthful is what a rig offers a big fish: half, and as much again by the share
// of its flies that are lures or small fish. [1] Common practice put into a
// number by us, no source.
func mouthful(r tackle.Rig) float64 {
	large := 0
	for _, m := range r.Flies {
		if m.Fly.Kind == tackle.Lure || m.Fly.Kind == tackle.Fry {
			large++
		}
	}
	return 0.5 + 0.5*float64(large)/float64(max(1, len(r.Flies)))
}

// tried is a cast and what it offers an hour where each reason puts the fish.
type tried struct {
	option cast.Option
	offers []float64 // water searched an hour times how thick fish are in it, by Belief.Parts [1]
}

// try takes a cast that was found for a band among those that the surest is
// chosen from: it runs it and adds up what its flies search in each layer, by how
// thick each reason for fish to be there puts them in it. What is searched twice
// counts as seldom as in the band.
func (f *found) try(o cast.Option, band cast.Band, b presence.Belief) error {
	q := f.question(f.rigs[o.Rig], o)
	q.NoSpread = true
	a, err := cast.Run(q)
	if err != nil {
		return fmt.Errorf("what reaches them, %s: %w", q.Way, err)
	}
	var searched []float64
	within := 0.0 // the band
	for _, fly := range a.Flies {
		for _, phase := range fly.Searched {
			for i, s := range phase {
				for len(searched) <= i {
					searched = append(searched, 0)
				}
				searched[i] += s
				if z := (float64(i) + 0.5) * cast.LayerDepth; z >= band.Top && z <= band.Bottom {
					within += s
				}
			}
		}
	}
	out := make([]float64, len(b.Parts))
	if !(within > 0) {
		return nil
	}
	fresh := math.Min(1, o.Fresh/within) * 3600 / a.Cycle
	for h, p := range b.Parts {
		thick := p.Thickness(len(searched), float64(b.Bed))
		for i, s := range searched {
			out[h] += fresh * s * thick[i]
		}
	}
	f.tried = append(f.tried, tried{o, out})
	return nil
}

// surest chooses of each way the cast with the best chance of at least one
// offer, and gives it its value: what is certain, in thousandths of the most that
// any offers in the mean. The cast that offers most in the mean is taken to bring what a rod lands in a day.
func surest(ways []found, b presence.Belief, rodAverage float64) error {
	chances := make([]float64, len(b.Parts))
	for h, p := range b.Parts {
		chances[h] = p.Weight
	}
	most := 0.0
	for _, f := range ways {
		for _, t := range f.tried {
			mean := 0.0
			for h, e := range t.offers {
				mean += chances[h] * e
			}
			most = math.Max(most, mean)
		}
	}
	if most == 0 {
		return nil
	}
	for i := range ways {
		f := &ways[i]
		for _, t := range f.tried {
			takes := make([]float64, len(t.offers))
			for h, e := range t.offers {
				takes[h] = rodAverage * e / most
			}
			// in thousandths of the most in the mean, so that targets agree
			if value := math.Round(1000 * presence.Certain(chances, takes) / rodAverage); value > f.value {
				f.option, f.value = t.option, value
			}
		}
		var err error
		if f.option, err = f.measured(f.option); err != nil {
			return err
		}
	}
	return nil
}

// So long a blank at the least, and at the most, takes a factor e off a patch's
// worth: some forty casts, and two hours. [s] Modelling choices.
const (
	leastBlank = 20 * 60.0
	mostBlank  = 120 * 60.0
)

// whatTheAimChanged compares the best tenth of the lake in the middle hour with
// what it would be for most fish.
func (d *day) whatTheAimChanged() {
	aim := &d.facts.Aim
	aim.RodAverage = d.belief.RodAverage()
	for _, t := range d.belief.Told {
		aim.RodTold = aim.RodTold || t.HasRodAverage
	}
	// The more a rod lands, the more a blank says (docs/models/presence.md).
	usual := plan.DefaultSettings().Blank
	aim.Blank = min(max(usual*presence.UsualRodAverage/aim.RodAverage, leastBlank), mostBlank)
	if d.belief.Aim == presence.Most {
		return
	}
	i := len(d.facts.Hours) / 2
	h := d.facts.Hours[i]
	aim.At = h.At
	plain := d.belief
	plain.Aim = presence.Most
	most := d.worthOf(presence.Expect(h.Conditions, plain), h)
	best, was := d.bestTenth(d.worth[i]), map[int]bool{}
	for _, k := range d.bestTenth(most) {
		was[k] = true
	}
	other := 0
	for _, k := range best {
		if !was[k] {
			other++
		}
	}
	if len(best) > 0 {
		aim.OtherWater = float64(other) / float64(len(best))
	}
}

// spoken is a name as people may write it: small letters, no article.
func spoken(s string) string {
	s = strings.ToLower(strings.Join(strings.FieldsFunc(s, func(r rune) bool { return r == ' ' || r == '_' || r == '-' }), " "))
	return strings.TrimPrefix(s, "the ")
}

// placesNamed are the places of the lake that a name may mean: those called so,
// else those of that kind.
func (d *day) placesNamed(name string) []water.Place {
	var called, kind []water.Place
	for _, p := range d.lake.Places {
		if p.Shape == nil || name == "" {
			continue
		}
		if spoken(p.Name) == spoken(name) {
			called = append(called, p)
		}
		if spoken(string(p.Kind)) == spoken(name) {
			kind = append(kind, p)
		}
	}
	if called != nil {
		return called
	}
	return kind
}

// remark notes for the brief what of the day file means nothing on this lake or
// with this bag.
func (d *day) remark(format string, args ...any) {
	s := fmt.Sprintf(format, args...)
	if !slices.Contains(d.facts.Remarks, s) {
		d.facts.Remarks = append(d.facts.Remarks, s)
	}
}

// knownPlaces lists the places of the lake that have a name.
func (d *day) knownPlaces() string {
	var known []string
	for _, p := range d.lake.Places {
		if p.Name != "" && !slices.Contains(known, p.Name) {
			known = append(known, p.Name)
		}
	}
	if known == nil {
		return "the lake names none"
	}
	return "known are " + strings.Join(known, ", ")
}

// unknownNames remarks on told places and depths that this lake does not have.
func (d *day) unknownNames() {
	list := d.knownPlaces()
	deepest := float32(0)
	for _, z := range d.depths {
		if z > deepest {
			deepest = z
		}
	}
	for _, t := range d.Outing.Told {
		if t.Place != "" && d.placesNamed(t.Place) == nil {
			d.remark("told of %q: no place of this lake is called so, and where it was told of counts for nothing; %s", t.Place, list)
		}
		if t.HasDepth && d.lake.HasDepths() && t.Top > float64(deepest) {
			u := d.Outing.Units
			d.remark("told of %s: the lake is %s deep today, so the bed is taken, or the top of the water if it was told from the bed", u.DepthRange(t.Top, t.Bottom), u.Depth(float64(deepest)))
		}
	}
}

// unusedWay remarks on a way that was asked for or told and that the bag or the
// day has no use for.
func (d *day) unusedWay(rigs []tackle.Rig) {
	has := func(way tackle.Way) bool {
		return slices.ContainsFunc(rigs, func(r tackle.Rig) bool { return r.Way == way })
	}
	said := func(way tackle.Way) string { return strings.ReplaceAll(string(way), "_", " ") }
	if way := d.Outing.Way; way != "" {
		used := slices.ContainsFunc(d.facts.SetUps, func(s brief.SetUpFacts) bool { return s.Rig.Way == way })
		switch {
		case !has(way):
			d.facts.Aim.Unmet = "nothing in the bag is set up for it"
		case !used:
			d.facts.Aim.Unmet = "nothing in the bag brings it to the depth expected"
		}
	}
	for _, t := range d.Outing.Told {
		if t.Way != "" && !has(t.Way) {
			d.remark("told of %s: nothing in the bag is set up for it", said(t.Way))
		}
	}
}

// wayTells is the cause that a way of fishing that was told tells of, half as
// surely as if it had been named. Ways that catch fish whatever they are on tell
// of none. Common practice put into numbers by us, no source.
var wayTells = map[tackle.Way]presence.Cause{
	tackle.Dries: presence.Surface, tackle.Nymphs: presence.Midge, tackle.WashingLine: presence.Midge, tackle.Bung: presence.Midge,
}
