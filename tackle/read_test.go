package tackle_test

import (
	"errors"
	"strings"
	"testing"

	"windlane/internal/text"
	"windlane/tackle"
)

const goodBag = `# an angler's bag
[boat]
length = "16 ft"
beam = 1.8
freeboard = "18 in"
people = 2
motor = "petrol"
anchor = true

[[rod]]
name = "the long one"
length = "11 ft"
class = 7
made_up = "deep"

[[line]]
name = "slow"
class = 7
profile = "even"
sink = "3 in/s"
rated_at = "20 C"

[[line]]
name = "watched"
class = 7
profile = "tip_first"
drop = {depth = "1.5 m", time = "20 s", temperature = "12 C"}
weighed = {mass = "12.5 g", length = "9 m"}

[[leader]]
name = "four yards"
material = "fluorocarbon"
strength = "8 lb"
length = "12 ft"
droppers = ["4 ft", "8 ft"]

[[fly]]
name = "dark"
kind = "nymph"
drop = {depth = "1 ft", time = "4 s"}

[[fly]]
name = "eyes"
kind = "booby"
rise = {depth = "1 ft", time = "3 s"}

[[rig]]
name = "deep"
rod = "the long one"
line = "slow"
leader = "four yards"
way = "lures"
flies = ["eyes", "", "dark"]

[[drogue]]
name = "wide"
shape = "square"
size = "4 ft"
measured = "mouth"

[[rules]]
name = "International loch rules"
published = true

[[rules]]
name = "House rules"
dated = 2026-03-01
max_flies = 2
`

// bagSeeds are the fuzz target's corpus.
var bagSeeds = []string{
	goodBag,
	boatHead + learned + drogueHead + "bow_rope = 5\nstern_rope = 5.5\nrope_spread = 3\nbow = \"left\"\n",
	boatHead + "battery_ah = 100\nbattery_v = 12\nmotor_power_w = 500\n",
	"[[line]]\nname = \"a\"\nclass = 8\nprofile = \"belly_first\"\nsink = \"15 in/s\"\nslow_sink = \"1 in/s\"\nhead = 9\nlength = 20\n",
	"[[line]]\nname = \"a\"\nclass = 1\nprofile = \"even\"\ndiameter = 0.004\nweighed = {mass = 0.0001, length = 0.3}\n",
	"[[fly]]\nname = \"a\"\nkind = \"dry\"\nmass = 0.01\nsink = -2\n",
	"[boat]\nlength = 5\npeople = 2\n[[boat]]\n",
	"line = [{name = \"a\", class = 8, profile = \"floating\"}]\n",
}

func TestReadBag(t *testing.T) {
	if len(bagSeeds) == 0 {
		t.Fatal("no seeds")
	}
	b, err := tackle.ReadBag("bag.toml", strings.NewReader(goodBag))
	if err != nil {
		t.Fatal(err)
	}
	if b.Boat == nil || len(b.Rods) != 1 || len(b.Lines) != 2 || len(b.Leaders) != 1 || len(b.Flies) != 2 || len(b.Rigs) != 1 || len(b.Drogues) != 1 || len(b.Rules) != 2 {
		t.Fatalf("bag %+v", b)
	}
	near(t, "boat", b.Boat.Length, 4.8768, 1e-9)
	near(t, "beam", b.Boat.Beam, 1.8, 0)
	near(t, "sink", b.Lines[0].Sink, 0.0762, 1e-12)
	near(t, "rated at", b.Lines[0].RatedAt, 20, 0)
	near(t, "watched", b.Lines[1].Measured.DropDepth/b.Lines[1].Measured.DropTime, 0.075, 1e-12)
	near(t, "weighed", b.Lines[1].Measured.LinearDensity, 0.0125/9, 1e-12)
	near(t, "strength", b.Leaders[0].Strength, 35.5858, 1e-4)
	near(t, "jar, sinking", b.Flies[0].Sink, 0.3048/4, 1e-12)
	near(t, "jar, rising", b.Flies[1].Sink, -0.3048/3, 1e-12)
	rig := b.Rigs[0]
	if len(rig.Flies) != 2 || rig.Flies[0].FromPoint != 0 || rig.Flies[1].Fly.Name != "dark" {
		t.Fatalf("rig %+v", rig)
	}
	near(t, "top dropper", rig.Flies[1].FromPoint, 8*0.3048, 1e-12)
	if rig.Line.Name != "slow" || rig.Rod.MadeUp != "deep" || rig.Way != tackle.Lures {
		t.Errorf("rig %+v", rig)
	}
	if b.Rules[0].MaxFlies != 4 || b.Rules[1].MaxFlies != 2 || b.Rules[1].Dated != "2026-03-01" {
		t.Errorf("rules %+v", b.Rules)
	}
	near(t, "drogue", b.Drogues[0].Size, 1.2192, 1e-12)
}

func TestBagFaults(t *testing.T) {
	line := "[[line]]\nname = \"a\"\nclass = 8\nprofile = \"even\"\nsink = \"3 in/s\"\n"
	leader := "[[leader]]\nname = \"l\"\nmaterial = \"nylon\"\ndiameter = \"0.2 mm\"\nlength = \"12 ft\"\ndroppers = [\"4 ft\"]\n"
	fly := "[[fly]]\nname = \"f\"\nkind = \"wet\"\n"
	rod := "[[rod]]\nname = \"r\"\nlength = \"10 ft\"\nclass = 7\n"
	all := line + leader + fly + rod
	rig := func(s string) string { return all + "[[rig]]\nname = \"x\"\nway = \"lures\"\n" + s }
	cases := []struct{ name, in, want string }{
		{"empty", "# nothing\n", "holds no tackle"},
		{"unknown table", "[[reel]]\nname = \"a\"\n", `line 1, reel: is an unknown key: allowed here are boat, drogue, fly, leader, line`},
		{"unknown key", line + "colour = \"red\"\n", `b.toml, line 6, line[1].colour: "red" is an unknown key: allowed here are class, diameter, drop, head`},
		{"unit", strings.Replace(line, "3 in/s", "3 knots", 1), `line 5, line[1].sink: "3 knots" is wrong: "knots" is not a unit of speed here: use m/s`},
		{"not a number", strings.Replace(line, "3 in/s", "fast", 1), `"fast" is not a speed: write a number and a unit`},
		{"range", strings.Replace(line, "3 in/s", "3 m/s", 1), `line 5, line[1].sink: "3 m/s" is out of range: allowed is 0.001 to 0.4 m/s`},
		{"class", strings.Replace(line, "class = 8", "class = 16", 1), "whole number from 1 to 15"},
		{"profile", strings.Replace(line, "\"even\"", "\"fast\"", 1), `"fast" is not known here: allowed are even, tip_first, belly_first, sink_tip, floating, barely_sinking`},
		{"no name", strings.Replace(line, "name = \"a\"\n", "", 1), "every line needs a name of its own"},
		{"twice", line + line, `line 7, line[2].name: "a" is the name of another line already, on line 1`},
		{"no sink", strings.Replace(line, "sink = \"3 in/s\"\n", "", 1), `lacks sink, as in`},
		{"floats", "[[line]]\nname = \"a\"\nclass = 8\nprofile = \"floating\"\nsink = \"3 in/s\"\n", "a floating line has no sink"},
		{"barely", "[[line]]\nname = \"a\"\nclass = 8\nprofile = \"barely_sinking\"\nsink = \"3 in/s\"\n", "less than 1 in/s"},
		{"sink tip", "[[line]]\nname = \"a\"\nclass = 8\nprofile = \"sink_tip\"\nsink = \"3 in/s\"\n", "lacks sink_tip"},
		{"slow sink", line + "slow_sink = \"1 in/s\"\n", "tip_first and belly_first only"},
		{"slow sink too fast", strings.Replace(line, "\"even\"", "\"tip_first\"", 1) + "slow_sink = \"4 in/s\"\n", "cannot be above the sink"},
		{"sink tip elsewhere", line + "sink_tip = \"10 ft\"\n", "profile sink_tip only"},
		{"floats, and drops", "[[line]]\nname = \"a\"\nclass = 8\nprofile = \"floating\"\ndrop = {depth = \"1 m\", time = \"30 s\"}\n", "a floating line has no sink"},
		{"drops like a stone", line + "drop = {depth = \"10 m\", time = \"1 s\"}\n", "a line sinks at 0.001 to 0.4 m/s"},
		{"measured to float", line + "diameter = \"2 mm\"\nweighed = {mass = \"9 g\", length = \"9 m\"}\n", "which floats"},
		{"head", line + "length = \"20 m\"\nhead = \"21 m\"\n", "longer than the line of 20 m"},
		{"sink tip of it all", strings.Replace(line, "\"even\"", "\"sink_tip\"", 1) + "length = \"8 m\"\nsink_tip = \"9 m\"\n", "longer than the line of 8 m"},
		{"made up elsewhere", rig("rod = \"r\"\nline = \"a\"\nleader = \"l\"\nflies = [\"f\"]\n") + "[[rod]]\nname = \"s\"\nlength = 3\nclass = 7\nmade_up = \"x\"\n", "that rig is on rod r"},
		{"drop too fast", line + "drop = {depth = \"20 m\", time = \"10 s\"}\n", "a line sinks at"},
		{"drop without time", line + "drop = {depth = \"20 m\"}\n", "lacks time"},
		{"leader of nothing", strings.Replace(leader, "diameter = \"0.2 mm\"\n", "", 1), "lacks diameter and strength"},
		{"droppers", strings.Replace(leader, "[\"4 ft\"]", "[\"4 ft\", \"4 ft\"]", 1), "the nearest first"},
		{"dropper in the line", strings.Replace(leader, "[\"4 ft\"]", "[\"13 ft\"]", 1), "must be below the line"},
		{"fly twice", fly + "sink = \"2 in/s\"\ndrop = {depth = \"1 ft\", time = \"4 s\"}\n", "said twice"},
		{"fly still", fly + "sink = 0\n", "hangs still"},
		{"fly too light", fly + "sink = \"1 m/s\"\nmass = \"1 mg\"\n", "weigh it again"},
		{"fly kind", strings.Replace(fly, "wet", "worm", 1), "allowed are lure, booby"},
		{"drogue", "[[drogue]]\nname = \"d\"\nshape = \"round\"\nsize = \"4 ft\"\n", `("fabric") or of the open mouth ("mouth")`},
		{"two boats", "[[boat]]\nlength = 5\npeople = 2\n[[boat]]\nlength = 5\npeople = 2\n", "one boat"},
		{"boat size", "[boat]\nlength = \"5 ft\"\npeople = 2\n", "allowed is 2 to 10 m"},
		{"rig of nothing", rig(""), "lacks rod"},
		{"rig's line", rig("rod = \"r\"\nline = \"b\"\nleader = \"l\"\nflies = [\"f\"]\n"), `"b" is no line of this bag: there are a`},
		{"rig's fly", rig("rod = \"r\"\nline = \"a\"\nleader = \"l\"\nflies = [\"g\"]\n"), `"g" is no fly of this bag: there are f`},
		{"rig's flies", rig("rod = \"r\"\nline = \"a\"\nleader = \"l\"\nflies = [\"f\", \"f\", \"f\"]\n"), "are 3, but leader l has a point and 1 droppers"},
		{"rig without flies", rig("rod = \"r\"\nline = \"a\"\nleader = \"l\"\nflies = []\n"), "needs one fly at least"},
		{"rig's way", strings.Replace(rig(""), "lures", "trolled", 1), "allowed are lures, pulled_wets"},
		{"made up", rod + "made_up = \"x\"\n", `"x" is no rig of this bag: there are none`},
		{"rules", "[[rules]]\nname = \"Some\"\npublished = true\n", "no published set of rules here: there are International loch rules"},
	}
	for _, c := range cases {
		_, err := tackle.ReadBag("b.toml", strings.NewReader(c.in))
		var f *text.Fault
		if !errors.As(err, &f) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v\nwant %q", c.name, err, c.want)
		}
	}
}

func FuzzReadBag(f *testing.F) {
	for _, s := range bagSeeds {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, in []byte) {
		b, err := tackle.ReadBag("fuzz", strings.NewReader(string(in)))
		if err != nil {
			if err.Error() == "" {
				t.Error("an error without words")
			}
			return
		}
		for _, l := range b.Lines { // what was accepted has a body of finite numbers
			for _, s := range l.Sections(20) {
				if !(s.Diameter > 0) || !(s.LinearDensity > 0) || !(density(s) < 1e7) {
					t.Errorf("line %+v: %+v", l, s)
				}
			}
		}
		for _, fly := range b.Flies {
			if body, ok := fly.Body(); !ok || !(body.Volume > 0) || !(body.Mass > 0) {
				t.Errorf("fly %+v: %+v", fly, body)
			}
		}
		for _, r := range b.Rigs {
			if len(r.Check(tackle.Situation{Wind: 5, Fish: 1})) == 0 {
				t.Error("no findings")
			}
		}
	})
}
