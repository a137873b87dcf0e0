package brief

import (
	"fmt"
	"math"
	"strings"

	"windlane/cast"
	"windlane/outing"
	"windlane/quantity"
	"windlane/tackle"
)

// wayNames is how people say a way of fishing.
var wayNames = map[tackle.Way]string{
	tackle.Lures:       "sinking line, counted, pulled and hung",
	tackle.PulledWets:  "pulled wet flies",
	tackle.ShortLine:   "short line, the top dropper dibbled",
	tackle.WashingLine: "washing line",
	tackle.Nymphs:      "nymphs on a straight line",
	tackle.Bung:        "bung",
	tackle.Dries:       "dry flies",
}

// lineName says "the 3 in/s line" or "the floating line".
func (f Facts) lineName(l tackle.Line) string {
	switch l.Profile {
	case tackle.Floating:
		return fmt.Sprintf("#%d floating line", l.Class)
	case tackle.BarelySinking:
		return fmt.Sprintf("#%d barely sinking line", l.Class)
	case tackle.SinkTip:
		return fmt.Sprintf("#%d sink tip, %s of %s", l.Class, f.units().Cast(l.SinkTip), f.units().Sink(l.Sink))
	case tackle.TipFirst:
		return fmt.Sprintf("#%d tip-first line, %s", l.Class, f.units().Sink(l.Sink))
	case tackle.BellyFirst:
		return fmt.Sprintf("#%d belly-first line, %s", l.Class, f.units().Sink(l.Sink))
	}
	return fmt.Sprintf("#%d line, %s", l.Class, f.units().Sink(l.Sink))
}

// roles name the flies from the point up.
func roles(n int) []string {
	switch n {
	case 1:
		return []string{"point"}
	case 2:
		return []string{"point", "dropper"}
	case 3:
		return []string{"point", "middle", "dropper"}
	}
	return []string{"point", "middle", "second middle", "top dropper"}[:min(n, 4)]
}

// stripOf is a pull that a hand makes no more than once a second at a speed
// [m/s], and how it is said. [m]
func stripOf(u quantity.System, speed float64) (strip float64, said string) {
	const foot = 0.3048
	switch short := speed <= foot; {
	case u == quantity.Metric && short:
		return 0.3, "30 cm"
	case u == quantity.Metric:
		return 0.6, "60 cm"
	case short:
		return foot, "12 in"
	}
	return 2 * foot, "24 in"
}

// pull says how line is taken in, in pulls that can be counted.
func pull(u quantity.System, r cast.Retrieve) string {
	each, said := stripOf(u, r.Speed)
	switch r.Kind {
	case cast.Still:
		return fmt.Sprintf("leave still for %.0f s", r.For)
	case cast.FigureOfEight:
		return "figure-of-eight, " + u.Retrieve(r.Speed)
	case cast.Strips:
		return fmt.Sprintf("strips, %.0f a minute at %s on average", 60*r.Speed/math.Max(r.Strip, 0.01), u.Retrieve(r.Speed))
	}
	if r.Speed < 0.12 {
		return "figure-of-eight, " + u.Retrieve(r.Speed)
	}
	if r.Speed > 0.55 {
		return "roly-poly or long pulls, " + u.Retrieve(r.Speed)
	}
	return fmt.Sprintf("%s pulls, %.0f a minute (%s)", said, 60*r.Speed/each, u.Retrieve(r.Speed))
}

// handling is what the hands do after the count.
func (f Facts) handling(s SetUpFacts) string {
	switch s.Answer.Way {
	case tackle.Bung, tackle.Dries:
		return fmt.Sprintf("let them lie %.0f s, taking in what the drift gives you", s.Answer.RetrieveEnd-s.Answer.CountEnd)
	case tackle.ShortLine:
		return "lift the rod and dibble the top dropper"
	}
	return pull(f.units(), s.Question.Retrieve)
}

func (f Facts) setUps() []SetUp {
	u := f.units()
	most := 0.0
	for _, s := range f.SetUps {
		most = math.Max(most, s.Fresh)
	}
	var out []SetUp
	for _, s := range f.SetUps {
		o := SetUp{
			Name:   s.Rig.Name,
			Way:    wayNames[s.Answer.Way],
			Line:   f.lineName(s.Rig.Line),
			Leader: fmt.Sprintf("%s of %s %s", u.Cast(s.Rig.Leader.Length), u.Strain(s.Rig.Leader.Straight()), s.Rig.Leader.Material),
			Hang:   s.Rig.Leader.Length + s.Question.HangMark,
			Length: s.Rig.Leader.Length,
			Count:  s.Question.Count,
			Pull:   f.handling(s),
			Out:    s.Question.LineOut,
			Cycle:  s.Answer.Cycle,
			When:   f.when(s),
			Cast:   f.picture(s),
		}
		if most > 0 {
			o.Searched = s.Fresh / most
		}
		if len(s.Question.Hang) == 0 || s.Answer.RetrieveEnd == s.Answer.HangEnd {
			o.Hang = 0
		}
		names := roles(len(s.Answer.Flies))
		for i, p := range s.Answer.Flies {
			fly := Fly{
				Role: names[min(i, len(names)-1)], Name: p.Name,
				FromTip: s.Rig.Leader.Length - p.FromPoint,
				AtCount: float64(p.CountEnd), Deepest: float64(p.Deepest), AtHang: float64(p.HangEnd),
			}
			for j, x := range p.Points {
				fly.Path = append(fly.Path, Sample{x.T, float64(x.Depth), x.FromTip})
				if j > 0 && float64(x.Depth) >= s.Band.Top && float64(x.Depth) <= s.Band.Bottom {
					fly.In += x.T - p.Points[j-1].T
				}
			}
			o.In = math.Max(o.In, fly.In)
			o.Flies = append(o.Flies, fly)
		}
		o.Rule, o.Why = f.rule(s), f.whySetUp(s, o)
		for _, c := range s.Checks {
			o.Checks = append(o.Checks, Check{string(c.Level), sentence(c.Text)})
		}
		for _, r := range s.Answer.Remarks {
			if r.About == cast.AboutCertainty || r.About == cast.AboutRule { // what is assumed stands under what is not known
				continue
			}
			o.Checks = append(o.Checks, Check{"mind", sentence(r.Text)})
		}
		out = append(out, o)
	}
	return out
}

// when says at which hours a set-up is meant to be fished.
func (f Facts) when(s SetUpFacts) string {
	switch {
	case !f.Plan.GoIn.IsZero() && !f.Plan.GoIn.After(f.Outing.From):
		return "not today"
	case !s.First:
		return "another way, if they want it"
	}
	var said []string
	for i, x := range s.Spells {
		switch start, end := x.From == 0, x.Until >= len(f.Hours); {
		case start && end:
			return "all day"
		case start:
			said = append(said, "start here, until "+clock(f.Hours[x.Until].At))
		case end:
			said = append(said, "from "+clock(f.Hours[x.From].At))
		default:
			said = append(said, clock(f.Hours[x.From].At)+" to "+clock(f.Hours[x.Until].At))
		}
		if i > 0 {
			said[i] = "again " + said[i]
		}
	}
	return strings.Join(said, ", ")
}

// leastSpread is the half foot that no depth of a fly is known better than. [m]
const leastSpread = 0.1524

func (f Facts) picture(s SetUpFacts) CastPicture {
	a, q := s.Answer, s.Question
	c := CastPicture{
		Span: math.Max(8, math.Ceil(a.HangEnd/4)*4), CountEnd: a.CountEnd, PullEnd: a.RetrieveEnd, HangEnd: a.HangEnd,
		Band: []Band{{s.Band.Top, s.Band.Bottom}}, Bed: math.NaN(),
	}
	if q.Retrieve.Kind == cast.Strips && q.Retrieve.Speed > 0 {
		c.PullEvery = q.Retrieve.Strip / q.Retrieve.Speed
	}
	if q.Bed > 0 {
		c.Bed = q.Bed
	}
	hour := f.Hours[0]
	if len(s.Spells) > 0 {
		hour = f.Hours[s.Spells[0].From]
	}
	c.LayerDepth = 0.25
	c.Belief, _ = belief(hour.Belief, len(hour.Belief.Density))
	c.Low, c.High = leastSpread, leastSpread
	if len(a.Flies) > 0 {
		for _, p := range a.Flies[0].Points {
			c.Low = math.Max(c.Low, float64(p.Depth-p.Low))
			c.High = math.Max(c.High, float64(p.High-p.Depth))
		}
	}
	if a.Rule != nil {
		c.RuleDepth = float64(a.Rule.Depth)
		c.RuleText = sentence(strings.Join(a.Rule.Reasons, "; "))
	}
	for _, d := range a.Drawings {
		if math.Abs(d.T-a.CountEnd) > 0.5 {
			continue
		}
		for i := range d.FromTip {
			c.Still = append(c.Still, Sample{d.T, d.Depth[i], d.FromTip[i]})
		}
		break
	}
	return c
}

// rule says what decides the depth in this way of fishing.
func (f Facts) rule(s SetUpFacts) string {
	u := f.units()
	switch s.Answer.Way {
	case tackle.Bung:
		return "The flies hang where the leader below the float puts them; the count does not matter."
	case tackle.Dries:
		return "On the surface: cast ahead of rising fish, which move upwind."
	case tackle.ShortLine:
		return "Rod and leader keep the flies in the top of the water; hold the top dropper in the surface."
	case tackle.WashingLine:
		return "The buoyant point holds the leader up, and the nymphs hang between it and the line."
	case tackle.Nymphs:
		if s.Question.Retrieve.Kind == cast.Still {
			return "Leader, weight and time: let them sink, take in no more than the drift gives you."
		}
		return "Leader, weight and time: let them sink, then draw them slowly."
	}
	if s.Answer.Rule == nil || s.Question.Count == 0 {
		return ""
	}
	return fmt.Sprintf("The angler's rule, %s times %.0f s, gives %s. The middle of the line is then at %s and the point fly at %s.",
		u.Sink(s.Rig.Line.Sink), s.Question.Count, u.Depth(float64(s.Answer.Rule.Depth)), u.Depth(float64(s.Answer.Rule.Middle)), u.Depth(float64(s.Answer.Rule.Point)))
}

func (f Facts) whySetUp(s SetUpFacts, o SetUp) string {
	u := f.units()
	band := u.DepthRange(s.Band.Top, s.Band.Bottom)
	if s.Answer.Way == tackle.Dries {
		return "Only for fish at the surface: watch for rises."
	}
	if s.Seconds < 0.5 {
		return fmt.Sprintf("Nothing in the bag holds %s; this comes nearest.", band)
	}
	out := fmt.Sprintf("%.0f s of each cast at %s, the flies added up", s.Seconds, band)
	if s.First && s.At(0) {
		switch {
		case f.Outing.Aim == outing.Surest:
			out += "; the best chance of at least one offer, whatever they are on"
		case f.Outing.Aim == outing.Biggest:
			out += "; the most fresh water searched with large flies"
		case s.Freshest:
			out += "; searches the most fresh water there in an hour"
		}
	}
	return out + "."
}

// kit is what to take, in the order of packing.
func (f Facts) kit() []string {
	var out []string
	seen := map[string]bool{}
	add := func(s string) {
		if s != "" && !seen[s] {
			seen[s] = true
			out = append(out, s)
		}
	}
	add("lifejackets, worn")
	for _, s := range f.SetUps {
		if s.Rig.Rod.Name != "" {
			add(fmt.Sprintf("#%d rod, %s (%s)", s.Rig.Rod.Class, f.units().Depth(s.Rig.Rod.Length), s.Rig.Rod.Name))
		}
		add(f.lineName(s.Rig.Line))
		add(fmt.Sprintf("leader %s of %s", s.Rig.Leader.Material, f.units().Strain(s.Rig.Leader.Straight())))
		for _, m := range s.Rig.Flies {
			add(m.Fly.Name)
		}
	}
	for _, d := range f.Bag.Drogues {
		add(d.Name + ", ropes equal")
	}
	add("net, priest, hook remover")
	add("glasses for every pair of eyes")
	add("watch or phone in a dry bag, someone ashore told")
	hot := 0.0
	if len(f.Hours) > 0 {
		cold := f.Hours[0].Conditions.Air.Value
		for _, h := range f.Hours {
			cold, hot = math.Min(cold, h.Conditions.Air.Value), math.Max(hot, h.Conditions.Air.Value)
		}
		if cold < 15 {
			add("warm coat and hat: " + f.units().Temperature(cold))
		}
	}
	if hot >= 25 {
		add("food, more to drink than you think, and sun cream: " + f.units().Temperature(hot))
	} else {
		add("food and a hot drink")
	}
	return out
}
