package brief

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"windlane/cast"
	"windlane/conditions"
	"windlane/drift"
	"windlane/plan"
	"windlane/presence"
	"windlane/quantity"
	"windlane/tackle"
)

// Of makes the brief of what the steps found.
func Of(f Facts) *Brief {
	b := &Brief{
		Water:  f.Water.Name,
		Units:  f.Outing.Units,
		From:   f.Outing.From,
		Until:  f.Outing.Until,
		Status: string(f.Plan.Status),
		Reason: f.reason(),
		Aim:    f.aim(),
	}
	if b.Water == "" {
		b.Water = "The lake"
	}
	b.First, b.Cautions = f.cautions()
	b.Hours = f.hours()
	b.Lie = f.lie()
	b.Lake = f.lake()
	b.SetUps = f.setUps()
	b.Drifts = f.drifts()
	for _, w := range f.Plan.Waits {
		b.Waits = append(b.Waits, Wait{w.From, w.Until, sentence(w.Reason)})
	}
	b.Others = f.others()
	b.Choices = f.choices()
	b.Turn = f.turn()
	b.RideHome = points(f.Plan.RideHome.Way)
	b.Kit = f.kit()
	b.Touch = f.touch()
	b.NotKnown = f.notKnown()
	b.Sources = sources
	b.Headline = f.headline()
	return b
}

func clock(t time.Time) string { return t.Format("15:04") }

// sentence gives a phrase its capital and full stop; the name of a file keeps
// its first letter.
func sentence(s string) string {
	if s == "" {
		return ""
	}
	if word, _, _ := strings.Cut(s, " "); !strings.ContainsAny(strings.TrimRight(word, ".,:;"), "./") {
		r, n := utf8.DecodeRuneInString(s)
		s = string(unicode.ToUpper(r)) + s[n:]
	}
	if !strings.HasSuffix(s, ".") {
		s += "."
	}
	return s
}

// reason says why the plan came out as it did, in the person's units.
func (f Facts) reason() string {
	p := f.Plan
	if p.GoIn.IsZero() {
		return sentence(p.Reason)
	}
	ashore := !p.GoIn.After(f.Outing.From)
	when := "at " + clock(p.GoIn) + ": be ashore before then"
	if ashore {
		when = "before you would leave: stay ashore"
	}
	if p.GoIn.Equal(f.Over) {
		return f.OverWhy + " " + when + "."
	}
	gust := func(h HourFacts) float64 { return h.Conditions.Gust }
	squall := func(h HourFacts) float64 { return math.Max(h.Conditions.Gust, h.Weather.Squall) }
	if f.strongest(p.GoIn, squall) >= f.Limits.Gust-0.05 {
		what := "Gusts"
		if f.strongest(p.GoIn, gust) < f.Limits.Gust-0.05 {
			what = "Squalls that may come"
		}
		limit := "the limit taken"
		if f.Outing.GustLimit > 0 {
			limit = "your limit"
		}
		if now := f.strongest(p.GoIn, squall); ashore && f.units().Wind(now) != f.units().Wind(f.Limits.Gust) {
			return fmt.Sprintf("%s reach %s before you would leave, and %s is %s: stay ashore.", what, f.units().Wind(now), limit, f.units().Wind(f.Limits.Gust))
		}
		return fmt.Sprintf("%s reach %s, %s, %s.", what, f.units().Wind(f.Limits.Gust), limit, when)
	}
	return fmt.Sprintf("Waves on the open water reach %s, the limit taken, %s.", f.units().Wave(f.Limits.Wave), when)
}

// cautions are what comes before this page, and what to mind, gravest first: why
// a day is not whole stands at the head of its level.
func (f Facts) cautions() (first string, out []Caution) {
	level := Mind
	if len(f.Plan.Drifts) == 0 || !f.Plan.GoIn.IsZero() && !f.Plan.GoIn.After(f.Outing.From) {
		level = Now
	}
	placed := f.Plan.Status == plan.Whole
	for _, c := range f.Cautions {
		switch c.Key {
		case "come_first":
			first = c.Text
			continue
		case "go_in": // the reason says it
			continue
		}
		if l := Level(c.Level.String()); !placed && (l != Now || level == Now) {
			out = append(out, Caution{Level: level, Text: f.reason(), Why: "What a plan is worth ends there.", Source: "the plan"})
			placed = true
		}
		out = append(out, Caution{Level: Level(c.Level.String()), Text: c.Text, Why: c.Why, Source: c.Source})
	}
	return first, out
}

// others are the best lines of each hour wherever the boat is.
func (f Facts) others() []string {
	var out []string
	for _, h := range f.Plan.Hours {
		if h.At.Minute() != 0 && !h.At.Equal(f.Outing.From) || len(h.Best) == 0 || h.Over {
			continue
		}
		var lines []string
		said := map[string]bool{}
		for _, o := range h.Best {
			if at := f.where(o.X, o.Y); at != "" && !said[at] {
				said[at] = true
				lines = append(lines, fmt.Sprintf("%s (%.0f min)", at, o.Minutes))
			}
		}
		if len(lines) > 0 {
			out = append(out, clock(h.At)+": "+strings.Join(lines, "; ")+".")
		}
	}
	return out
}

// strongest is a wind at a time, straight between the rows told. [m/s]
func (f Facts) strongest(t time.Time, wind func(HourFacts) float64) float64 {
	for i, h := range f.Rows {
		if i+1 == len(f.Rows) || !f.Rows[i+1].At.Before(t) {
			if i+1 == len(f.Rows) {
				return wind(h)
			}
			next := f.Rows[i+1]
			share := t.Sub(h.At).Seconds() / next.At.Sub(h.At).Seconds()
			return wind(h) + share*(wind(next)-wind(h))
		}
	}
	return 0
}

func (f Facts) units() quantity.System { return f.Outing.Units }

func (f Facts) headline() string {
	if len(f.Plan.Drifts) == 0 {
		return "No drift today. " + f.reason()
	}
	from := f.Outing.From
	if f.Lifts.After(from) {
		from = f.Lifts
	}
	out := fmt.Sprintf("Boat %s to %s.", clock(from), clock(f.Plan.Deadline))
	if len(f.SetUps) > 0 {
		s := f.SetUps[0]
		out += " Start with the " + f.lineName(s.Rig.Line)
		if s.Question.Count > 0 {
			out += fmt.Sprintf(", count %.0f", s.Question.Count)
		}
		out += ", drift 1."
	}
	return out
}

func (f Facts) hours() []Hour {
	brightest := 0.0
	under := func(c conditions.Conditions) float64 { return c.Daylight.Value * (1 - c.Reflectance) }
	for _, h := range f.Hours {
		brightest = math.Max(brightest, under(h.Conditions))
	}
	// All hours are drawn on one scale of depth, to where nineteen in twenty lie.
	layers := 0
	for _, h := range f.Hours {
		sum := 0.0
		for i, d := range h.Belief.Density {
			if sum += d * presence.Layer; sum >= 0.95 {
				layers = max(layers, i+1)
				break
			}
		}
	}
	var out []Hour
	for i, h := range f.Hours {
		c := h.Conditions
		o := Hour{
			At: h.At, WindFrom: c.From, Shifting: c.Shifting, GustTold: h.Weather.HasGust, Wind: c.Wind.Value, Gust: c.Gust, GustLimit: c.Gust >= f.Limits.Gust,
			Wave: c.Wave.Value, WaveLow: c.Wave.Low, WaveHigh: c.Wave.High,
			AirC: c.Air.Value, LayerDepth: presence.Layer,
		}
		if brightest > 0 {
			o.Light = under(c) / brightest
		}
		o.Belief, o.Bands = belief(h.Belief, layers)
		pick, speed := f.advised(i)
		o.DriftBare = f.Boats[0].Fraction * o.Wind
		o.Drift, o.Drogue = speed, f.Boats[pick].Drogue
		o.DriftLow, o.DriftHigh = f.Boats[pick].band(c)
		out = append(out, o)
	}
	return out
}

// advised is which of Boats the pace wanted asks for in an hour, and its drift.
func (f Facts) advised(hour int) (pick int, speed float64) {
	fractions := make([]float64, len(f.Boats))
	for i, b := range f.Boats {
		fractions[i] = b.Fraction
	}
	pick, speed, _ = drift.Choose(f.Hours[hour].Conditions.Wind.Value, fractions, f.Limits.Pace)
	return pick, speed
}

// band is the spread of a boat's drift in an hour's wind. [m/s]
func (b BoatFacts) band(c conditions.Conditions) (low, high float64) {
	sd := b.SD
	if b.Setup == nil && sd == 0 {
		sd = drift.Prior(b.Drogue).SD
	}
	if sd > 0 {
		return math.Max(0, b.Fraction-1.645*sd) * c.Wind.Value, (b.Fraction + 1.645*sd) * c.Wind.Value
	}
	return b.Setup.Band(drift.OnLake(c.Wind.Value, c.From), drift.StatedSpread())
}

// belief is a density by layers against its greatest, and its bands.
func belief(b presence.Belief, layers int) ([]float64, []Band) {
	most := 0.0
	for _, d := range b.Density {
		most = math.Max(most, d)
	}
	out := make([]float64, layers)
	for i := range out {
		if i < len(b.Density) && most > 0 {
			out[i] = b.Density[i] / most
		}
	}
	var bands []Band
	for _, x := range b.Bands {
		bands = append(bands, Band{x.Top, x.Bottom})
	}
	return out, bands
}

// lie is what speaks for the depths of the first hour and of the middle one.
func (f Facts) lie() []Lie {
	var out []Lie
	for i, h := range f.Hours {
		if i != 0 && i != len(f.Hours)/2 {
			continue
		}
		l := Lie{At: h.At, Bed: float64(h.Belief.Bed), Remarks: h.Belief.Remarks}
		for _, p := range h.Belief.Parts {
			l.Reasons = append(l.Reasons, Reason{p.Name, p.Weight, p.Low, p.High, p.Centre, p.FromBed, sentence(p.Why)})
		}
		out = append(out, l)
	}
	return out
}

func (f Facts) turn() string {
	p := f.Plan
	switch {
	case len(p.Drifts) == 0:
		return ""
	case p.Status == plan.GoIn:
		return fmt.Sprintf("Turn for home by %s. %s", clock(p.TurnHome), f.reason())
	}
	ride := math.Ceil(p.RideHome.Time / 60)
	return fmt.Sprintf("Turn for home by %s: %.0f min back, boat in at %s.", clock(p.TurnHome), math.Max(1, ride), clock(p.Deadline))
}

// touch is how to keep in touch, hang and move.
func (f Facts) touch() []string {
	if p := f.Plan; !p.GoIn.IsZero() && !p.GoIn.After(f.Outing.From) {
		return nil // nobody goes out
	}
	var slow, fast float64
	for _, d := range f.Plan.Drifts {
		if slow == 0 || d.Speed < slow {
			slow = d.Speed
		}
		fast = math.Max(fast, d.Speed)
	}
	u := f.units()
	strip, said := stripOf(u, fast)
	beat := func(v float64) string { return fmt.Sprintf("%.0f a minute at %s", math.Ceil(v*60/strip), u.Drift(v)) }
	var out []string
	if fast > 0 {
		out = append(out, fmt.Sprintf("Keep in touch: pull no slower than the boat. In %s pulls that is %s", said, beat(slow)))
		if math.Abs(fast-slow) > 0.03 {
			out[0] += ", " + beat(fast)
		}
		out[0] += "."
	}
	if len(f.SetUps) > 0 && len(f.SetUps[0].Question.Hang) > 0 {
		q := f.SetUps[0].Question
		hold := 0.0
		for _, s := range q.Hang {
			hold += s.Over + s.Hold
		}
		out = append(out, fmt.Sprintf("Hang at the mark, %s of line outside the rod, for %.0f s; watch the dropper, then lift.", u.Cast(q.HangMark), hold))
	}
	what := "depth"
	if slices.ContainsFunc(f.SetUps, func(s SetUpFacts) bool { return s.Question.Count > 0 }) {
		what = "count"
		out = append(out, "Count by the watch from the flies' landing; a count you cannot repeat teaches nothing.")
	}
	out = append(out, fmt.Sprintf("If %.0f min on this depth bring nothing, change the %s before the fly, and the water before the line.", f.quiet(), what))
	if f.Aim.RodTold {
		out[len(out)-1] += fmt.Sprintf(" That is at %.1f fish a rod and day, from what was told: the more are caught, the sooner a blank tells.", f.Aim.RodAverage)
	}
	return out
}

func (f Facts) notKnown() []string {
	var out []string
	seen := map[string]bool{}
	add := func(s string) {
		if s = sentence(s); s != "" && !seen[s] {
			seen[s] = true
			out = append(out, s)
		}
	}
	add("where fish lie is a judgement from light, warmth, season and what was seen and told, not a measurement")
	certain := false // one stands for all: they differ by the hour's wind
	for _, s := range f.SetUps {
		for _, r := range s.Answer.Remarks {
			if r.About == cast.AboutCertainty && !certain {
				certain = true
				add(r.Text)
			}
			if r.About == cast.AboutRule {
				add(wayNames[s.Answer.Way] + ": " + r.Text)
			}
		}
	}
	for _, h := range f.Hours {
		for _, s := range h.Conditions.Assumed {
			add(s)
		}
	}
	if f.Bag.Boat == nil {
		add("the bag says no boat: rides are reckoned at the pace of oars, " + f.units().Drift(tackle.Boat{}.UnderWay()) + ", and the warnings are those for an engine")
	}
	for _, b := range f.Boats {
		add(f.source(b))
	}
	for _, remarks := range [][]string{f.Remarks, f.Water.Remarks, f.Weather.Remarks, f.Bag.Remarks} {
		for _, r := range remarks {
			add(r)
		}
	}
	if f.Bag.Boat != nil && f.Bag.Boat.Speed == 0 {
		add("the boat's speed under way was not told: " + f.units().Drift(f.Bag.Boat.UnderWay()) + " taken, for the ride home too")
	}
	if f.Bag.Boat == nil {
		add("no boat in the bag: a small open boat's drift taken, a quarter either way, and an electric motor's speed")
	}
	if !f.HomeNamed {
		add("the lake names no jetty: the middle of the lake taken as the start")
	}
	return out
}

// sources says which part computed what.
var sources = []string{
	"Wind, gusts, air: the forecast as given, straight lines between its hours.",
	"Light: clear sky by Haurwitz 1945, cloud by Kasten and Czeplak 1980, water by the Secchi depth (docs/models/light.md).",
	"Chop: Young and Verhagen 1996 over the open water up-wind; spread over three models (docs/models/waves.md).",
	"Drift: balance of wind on boat and people against hull and drogue; 5 to 95 % over the figures' spread (docs/models/drift.md).",
	"Where they lie: our mixture of reasons, weights shown; no published model exists (docs/models/presence.md).",
	"What the flies do: line and flies followed through the water, second by second (docs/models/line.md, cast.md).",
	"Drifts: every cell tried as a start, scored by fresh water worth fishing each minute (docs/models/plan.md).",
}

// choices is the table of what else reaches their depth.
func (f Facts) choices() []Choice {
	var out []Choice
	if len(f.Reach.Options) == 0 {
		return nil
	}
	best := f.Reach.Options[0].FreshPerHour
	for _, o := range append(slices.Clone(f.Reach.ByRig), f.Reach.Options...) {
		rig := f.ReachRigs[o.Rig]
		line, fly := f.lineName(rig.Line), rig.Flies[o.Fly].Fly.Name
		alike := func(c Choice) bool {
			return c.Line == line && math.Abs(c.Count-o.Count) < 8 && (c.Fly == fly || math.Abs(c.Hour-o.FreshPerHour/best) < 0.02)
		}
		if best <= 0 || slices.ContainsFunc(out, alike) {
			continue // much the same as one that stands already
		}
		out = append(out, Choice{
			Line: line, Fly: fly, Count: o.Count, Retrieve: pull(f.units(), o.Retrieve),
			AtCount: float64(o.AtCount), Rule: float64(o.Rule), Why: sentence(o.Why),
			Deepest: float64(o.Deepest), In: o.Seconds, Hour: o.FreshPerHour / best,
		})
		if len(out) == 8 {
			break
		}
	}
	slices.SortStableFunc(out, func(a, b Choice) int { return int(math.Round(1000*b.Hour)) - int(math.Round(1000*a.Hour)) })
	return out
}
