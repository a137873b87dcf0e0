package tackle_test

import (
	"strings"
	"testing"

	"windlane/drift"
	"windlane/quantity"
	"windlane/tackle"
)

// outfit is a rig that nothing is wrong with.
func outfit() tackle.Rig {
	return tackle.Rig{
		Rod:    tackle.Rod{Name: "r", Length: 3.2, Class: 8},
		Line:   tackle.Line{Name: "l", Class: 8, Profile: tackle.Even, Sink: 3 * inch},
		Leader: tackle.Leader{Material: tackle.Fluorocarbon, Strength: 44.5, Length: 4.2},
		Flies:  []tackle.Mounted{{Fly: tackle.Fly{Name: "point", Kind: tackle.Lure}}, {Fly: tackle.Fly{Name: "dropper", Kind: tackle.Lure}, FromPoint: 2}},
	}
}

// look gives the level and words of the findings about one thing.
func look(fs []tackle.Finding, about tackle.About) (worst tackle.Level, words string) {
	rank := map[tackle.Level]int{tackle.Good: 1, tackle.Mind: 2, tackle.No: 3}
	for _, f := range fs {
		if f.About == about {
			words += f.Text + "; "
			if rank[f.Level] > rank[worst] {
				worst = f.Level
			}
		}
	}
	return worst, words
}

func TestChecks(t *testing.T) {
	lure := func(name string, from float64) tackle.Mounted {
		return tackle.Mounted{Fly: tackle.Fly{Name: name, Kind: tackle.Lure}, FromPoint: from}
	}
	breeze := tackle.Situation{Wind: 4, Fish: 1}
	cases := []struct {
		name   string
		change func(*tackle.Rig, *tackle.Situation)
		about  tackle.About
		want   tackle.Level
		words  string
	}{
		// Common practice, no source: a #8 outfit throws two big lures, a lighter one
		// had better not; 8 lb or more for big lures.
		{"two lures on a #8", func(*tackle.Rig, *tackle.Situation) {}, tackle.AboutTurnOver, tackle.Good, "#8"},
		{"two lures on a #7", func(r *tackle.Rig, _ *tackle.Situation) { r.Rod.Class, r.Line.Class = 7, 7 }, tackle.AboutTurnOver, tackle.Mind, "want a #8 outfit"},
		{"two lures on a #6", func(r *tackle.Rig, _ *tackle.Situation) { r.Rod.Class, r.Line.Class = 6, 6 }, tackle.AboutTurnOver, tackle.No, "fold back"},
		{"in a strong wind", func(_ *tackle.Rig, s *tackle.Situation) { s.Wind = 10 }, tackle.AboutTurnOver, tackle.Mind, "want a #9"},
		{"long leader", func(r *tackle.Rig, _ *tackle.Situation) { r.Leader.Length = 6 }, tackle.AboutTurnOver, tackle.Mind, "long for these flies"},
		{"long leader in a calm", func(r *tackle.Rig, s *tackle.Situation) { r.Leader.Length = 4.8; s.Wind = 1 }, tackle.AboutTurnOver, tackle.Mind, "so little wind"},
		{"small flies on a #6", func(r *tackle.Rig, _ *tackle.Situation) {
			r.Rod.Class, r.Line.Class = 6, 6
			r.Flies = []tackle.Mounted{{Fly: tackle.Fly{Kind: tackle.Buzzer}}, {Fly: tackle.Fly{Kind: tackle.Buzzer}, FromPoint: 1.5}, {Fly: tackle.Fly{Kind: tackle.Nymph}, FromPoint: 3}}
		}, tackle.AboutTurnOver, tackle.Good, ""},
		{"rod and line apart", func(r *tackle.Rig, _ *tackle.Situation) { r.Line.Class = 10 }, tackle.AboutTurnOver, tackle.Mind, "#10 line on a #8 rod"},

		{"10 lb", func(*tackle.Rig, *tackle.Situation) {}, tackle.AboutStrength, tackle.Good, "ordinary knot"},
		{"8 lb", func(r *tackle.Rig, s *tackle.Situation) { r.Leader.Strength = 35.58577; s.Fish = 0 }, tackle.AboutStrength, tackle.Good, ""},
		{"7 lb", func(r *tackle.Rig, s *tackle.Situation) { r.Leader.Strength = 31.1; s.Fish = 0 }, tackle.AboutStrength, tackle.Mind, "7 lb: 8 lb or more"},
		{"5 lb", func(r *tackle.Rig, s *tackle.Situation) { r.Leader.Strength = 22.2; s.Fish = 0 }, tackle.AboutStrength, tackle.No, "big lure"},
		{"heavy fish", func(_ *tackle.Rig, s *tackle.Situation) { s.Fish = 3 }, tackle.AboutStrength, tackle.Mind, "jerk"},
		{"too heavy a fish", func(_ *tackle.Rig, s *tackle.Situation) { s.Fish = 5 }, tackle.AboutStrength, tackle.No, "less than the weight"},
		{"rope", func(r *tackle.Rig, _ *tackle.Situation) { r.Leader.Strength = 100 }, tackle.AboutStrength, tackle.Mind, "a snag takes the line"},

		{"apart", func(*tackle.Rig, *tackle.Situation) {}, tackle.AboutDroppers, tackle.Good, ""},
		{"together", func(r *tackle.Rig, _ *tackle.Situation) { r.Flies[1] = lure("dropper", 0.3) }, tackle.AboutDroppers, tackle.Mind, "11.8 in apart"},
		{"under the line", func(r *tackle.Rig, _ *tackle.Situation) { r.Flies[1] = lure("dropper", 4.1) }, tackle.AboutDroppers, tackle.Mind, "leave room"},
		{"out of reach of the net", func(r *tackle.Rig, _ *tackle.Situation) { r.Flies[1] = lure("dropper", 3.6) }, tackle.AboutDroppers, tackle.Mind, "not come to the net"},

		{"plausible line", func(*tackle.Rig, *tackle.Situation) {}, tackle.AboutLine, tackle.Good, "kg/m³"},
		{"metal line", func(r *tackle.Rig, _ *tackle.Situation) { r.Line.Sink = 7 * inch }, tackle.AboutLine, tackle.Mind, "denser than any coating"},
		{"slow by the watch", func(r *tackle.Rig, _ *tackle.Situation) {
			r.Line.Measured = tackle.Measured{DropDepth: 1.27, DropTime: 20}
		}, tackle.AboutLine, tackle.Mind, "by the watch it sinks at 2.5 in/s, by its label at 3 in/s"},
		{"heavy by the scales", func(r *tackle.Rig, _ *tackle.Situation) { r.Line.Measured.LinearDensity = 1.7e-3 }, tackle.AboutLine, tackle.Mind, "casts as a #9"},
		{"once too often", func(r *tackle.Rig, _ *tackle.Situation) {
			r.Line.Measured = tackle.Measured{DropDepth: 1.5, DropTime: 20, LinearDensity: 1.488e-3, Diameter: 1e-3}
		}, tackle.AboutLine, tackle.Mind, "one measurement too many"},
		{"floater that sinks", func(r *tackle.Rig, _ *tackle.Situation) {
			r.Line = tackle.Line{Class: 8, Profile: tackle.Floating, Measured: tackle.Measured{LinearDensity: 1.488e-3, Diameter: 1e-3}}
		}, tackle.AboutLine, tackle.Mind, "it sinks"},
		{"weak leader", func(r *tackle.Rig, _ *tackle.Situation) { r.Leader.Diameter = 0.0006 }, tackle.AboutLeader, tackle.Mind, "very weak"},
		{"strong leader", func(r *tackle.Rig, _ *tackle.Situation) { r.Leader.Diameter = 0.0002 }, tackle.AboutLeader, tackle.Mind, "very strong"},
	}
	for _, c := range cases {
		r, s := outfit(), breeze
		c.change(&r, &s)
		level, words := look(r.Check(s), c.about)
		if level != c.want || !strings.Contains(words, c.words) {
			t.Errorf("%s: %s, %q\nwant %s, %q", c.name, level, words, c.want, c.words)
		}
	}
}

// Source: International Fly Fishing Association, loch rules of 17 May 2017: at
// most four flies, 20 in apart, no weight, no tandem, hook to 5/8 in, fly to
// 15/16 in, rod to 12 ft, no anchor. World federation: rod to 12 ft (366 cm);
// three flies and leader to twice the rod from memory.
func TestPublishedRules(t *testing.T) {
	rules := tackle.PublishedRules()
	if len(rules) != 2 {
		t.Fatalf("%d sets of rules", len(rules))
	}
	loch, world := rules[0], rules[1]
	fly := func(from float64) tackle.Mounted {
		return tackle.Mounted{Fly: tackle.Fly{Name: "f", Kind: tackle.Wet, HookLength: 0.5 * inch, Length: 0.9 * inch}, FromPoint: from}
	}
	lawful := func() tackle.Rig {
		return tackle.Rig{Rod: tackle.Rod{Length: 3.6576}, Leader: tackle.Leader{Length: 5}, Flies: []tackle.Mounted{fly(0), fly(0.508), fly(1.016), fly(1.524)}}
	}
	cases := []struct {
		name   string
		rules  tackle.Rules
		change func(*tackle.Rig)
		want   tackle.Level
		words  string
	}{
		{"lawful", loch, func(*tackle.Rig) {}, tackle.Good, "within International loch rules (2017-05-17)"},
		{"five", loch, func(r *tackle.Rig) { r.Flies = append(r.Flies, fly(3)) }, tackle.No, "5 flies, allowed are 4"},
		{"near", loch, func(r *tackle.Rig) { r.Flies[1].FromPoint = 0.49 }, tackle.No, "19.3 in apart, the least is 20 in"},
		{"weighted", loch, func(r *tackle.Rig) { r.Flies[0].Fly.Weighted = true }, tackle.No, "weighted"},
		{"tandem", loch, func(r *tackle.Rig) { r.Flies[0].Fly.Tandem = true }, tackle.No, "tandem"},
		{"hook", loch, func(r *tackle.Rig) { r.Flies[0].Fly.HookLength = 0.7 * inch }, tackle.No, "the longest is 0.625 in"},
		{"fly", loch, func(r *tackle.Rig) { r.Flies[0].Fly.Length = inch }, tackle.No, "the longest is 0.938 in"},
		{"rod", loch, func(r *tackle.Rig) { r.Rod.Length = 3.7 }, tackle.No, "the longest is 12 ft"},
		{"four", world, func(*tackle.Rig) {}, tackle.No, "4 flies, allowed are 3"},
		{"leader", world, func(r *tackle.Rig) { r.Leader.Length = 7.5 }, tackle.No, "2 times the rod"},
	}
	for _, c := range cases {
		r := lawful()
		c.change(&r)
		level, words := look(c.rules.Check(r, false, quantity.Trade), tackle.AboutRules)
		if level != c.want || !strings.Contains(words, c.words) || !strings.Contains(words, "check the current text") {
			t.Errorf("%s: %s, %q\nwant %s, %q", c.name, level, words, c.want, c.words)
		}
	}
	if level, words := look(loch.Check(lawful(), true, quantity.Metric), tackle.AboutRules); level != tackle.No || !strings.Contains(words, "anchoring") {
		t.Errorf("at anchor: %s, %q", level, words)
	}
}

// Common practice, no source: a spare rod ½ to 1 min, line swap 3 to 4, new line
// and leader 6 to 8, point fly 1½, dropper 2 to 2½, leader 5 to 6; half as much
// again when cold or windy; drogue 1½ each way.
func TestChangeTo(t *testing.T) {
	now := outfit()
	now.Name = "now"
	bag := &tackle.Bag{Rods: []tackle.Rod{{Name: "spare", MadeUp: "then"}}}
	cases := []struct {
		name      string
		change    func(*tackle.Rig)
		low, high float64 // [min]
	}{
		{"spare rod", func(r *tackle.Rig) { r.Rod.Name = "spare"; r.Line.Name = "other" }, 0.5, 1},
		{"line", func(r *tackle.Rig) { r.Line.Name = "other" }, 3, 4},
		{"line and leader", func(r *tackle.Rig) { r.Line.Name = "other"; r.Leader.Name = "other" }, 6, 8},
		{"leader", func(r *tackle.Rig) { r.Leader.Name = "other" }, 5, 6},
		{"point", func(r *tackle.Rig) { r.Flies[0].Fly.Name = "other" }, 1.5, 1.5},
		{"dropper", func(r *tackle.Rig) { r.Flies[1].Fly.Name = "other" }, 2, 2.5},
	}
	for _, c := range cases {
		then := outfit()
		then.Name = "then"
		c.change(&then)
		got := bag.ChangeTo(now, then, false)
		if min := got.Seconds / 60; min < c.low || min > c.high || len(got.Steps) != 1 {
			t.Errorf("%s: %v min, %v; want %v to %v", c.name, min, got.Steps, c.low, c.high)
		}
		near(t, c.name+" with cold hands", bag.ChangeTo(now, then, true).Seconds, got.Seconds*1.5, 1e-9)
	}
	if got := bag.ChangeTo(now, now, false); got.Seconds != 0 || len(got.Steps) != 0 {
		t.Errorf("no change costs %+v", got)
	}
	near(t, "drogue", tackle.DrogueSeconds(false), 90, 0)
}

// The ways have drift's words, so that the pace each wants can be asked for.
func TestEveryWayHasAPace(t *testing.T) {
	if len(tackle.Ways) == 0 {
		t.Fatal("no ways")
	}
	for _, w := range tackle.Ways {
		if _, ok := drift.Wanted(drift.Way(w)); !ok {
			t.Errorf("drift knows no pace for %s", w)
		}
	}
}
