package windlane_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"windlane"
	"windlane/brief"
	"windlane/outing"
	"windlane/tackle"
)

// rigs leaves so many of the demo's rigs in the bag, for a short day.
func rigs(in *windlane.Inputs, names ...string) []tackle.Rig {
	light(in)
	in.Outing.Until = in.Outing.From.Add(150 * time.Minute)
	var out []tackle.Rig
	for _, name := range names {
		for _, r := range in.Bag.Rigs[:cap(in.Bag.Rigs)] {
			if r.Name == name {
				out = append(out, r)
			}
		}
	}
	in.Bag.Rigs = out
	return out
}

// seconds is the time of all flies of a set-up within a foot and a half of a depth.
func seconds(s brief.SetUp, depth float64) (sum float64) {
	for _, f := range s.Flies {
		for i := 1; i < len(f.Path); i++ {
			if math.Abs(f.Path[i].Depth-depth) < 0.45 {
				sum += f.Path[i].Second - f.Path[i-1].Second
			}
		}
	}
	return sum
}

// In the demo midge may hold the fish half way down, or what was told may be
// right and they lie deeper. For most fish the likelier depth is fished; for the
// surest both are, and neither for little.
func TestSurestFish(t *testing.T) {
	with := func(aim outing.Aim) *brief.Brief {
		return planDemo(t, func(in *windlane.Inputs) {
			rigs(in, "deep lure", "middle lure", "sink tip nymphs")
			in.Outing.Aim = aim
		})
	}
	most, sure := with(outing.Most), with(outing.Surest)
	worst := func(b *brief.Brief) (least float64) {
		least, n := math.Inf(1), 0
		for _, r := range b.Lie[0].Reasons {
			if r.Share > 0.1 {
				n, least = n+1, math.Min(least, seconds(b.SetUps[0], r.Depth))
			}
		}
		if n < 2 {
			t.Fatalf("reasons %v", b.Lie[0].Reasons)
		}
		return least
	}
	if a, b := worst(most), worst(sure); b < 1.5*a {
		t.Errorf("at the depth that it serves worse, the set-up for most fish has %.0f s of a cast, that for the surest %.0f s", a, b)
	}
	if !strings.Contains(sure.Aim, "% of the best tenth") || !strings.Contains(sure.SetUps[0].Why, "at least one offer") {
		t.Errorf("%q; %q", sure.Aim, sure.SetUps[0].Why)
	}
	if sure.Drifts[0].LonLat == most.Drifts[0].LonLat && sure.Drifts[1].LonLat == most.Drifts[1].LonLat {
		t.Error("the plan is the same")
	}
	// For most fish the set-up is the one that searches most, as the table has it.
	top := most.Choices[0]
	if s := most.SetUps[0]; most.Aim != "" || s.Line != top.Line || s.Count != top.Count || !strings.Contains(s.Why, "the most fresh water") {
		t.Errorf("for most fish: %q, %s count %v, %q; the table begins with %s count %v", most.Aim, s.Line, s.Count, s.Why, top.Line, top.Count)
	}
}

// Two small flies search more water than one lure on the same line. For most
// fish they come first, for the biggest the lure.
func TestBiggestFish(t *testing.T) {
	with := func(aim outing.Aim) *brief.Brief {
		return planDemo(t, func(in *windlane.Inputs) {
			lure := rigs(in, "deep lure")[0]
			small := lure
			small.Name, small.Way = "two small ones", tackle.PulledWets
			small.Flies = []tackle.Mounted{lure.Flies[1], lure.Flies[1]}
			small.Flies[0].FromPoint = 0
			lure.Flies = lure.Flies[:1]
			in.Bag.Rigs = []tackle.Rig{lure, small}
			in.Outing.Aim = aim
		})
	}
	most, big := with(outing.Most), with(outing.Biggest)
	if most.SetUps[0].Name != "two small ones" || big.SetUps[0].Name != "deep lure" || !strings.Contains(big.Aim, "begin with two small ones") {
		t.Errorf("first for most %s, for the biggest %s: %q", most.SetUps[0].Name, big.SetUps[0].Name, big.Aim)
	}
}

// A way that was told comes up by its trust, one that was asked for stands first.
func TestToldAndAskedWay(t *testing.T) {
	first := func(change func(*outing.Day)) (string, *brief.Brief) {
		b := planDemo(t, func(in *windlane.Inputs) {
			rigs(in, "deep lure", "sink tip nymphs")
			in.Outing.Told = nil
			change(in.Outing)
		})
		return b.SetUps[0].Name, b
	}
	nymphs := outing.Told{Way: tackle.Nymphs, Trust: 1}
	if name, _ := first(func(d *outing.Day) {}); name != "deep lure" {
		t.Errorf("nothing told: %s", name)
	}
	if name, _ := first(func(d *outing.Day) { d.Told = []outing.Told{nymphs, nymphs} }); name != "sink tip nymphs" {
		t.Errorf("told twice of nymphs: %s", name)
	}
	if name, b := first(func(d *outing.Day) { d.Way = tackle.Nymphs }); name != "sink tip nymphs" || len(b.SetUps) < 2 || !strings.Contains(b.Aim, "nymphs on a straight line") {
		t.Errorf("asked for nymphs: %s, %q", name, b.Aim)
	}
}

// Dries do not reach fish that lie deep in the morning: they are fished all day
// if that is the way, and the brief says when they do not reach.
func TestAWayThatDoesNotAlwaysReach(t *testing.T) {
	b := planDemo(t, func(in *windlane.Inputs) { in.Outing.Aim, in.Outing.Way = outing.Method, tackle.Dries })
	if len(b.SetUps) != 1 || b.SetUps[0].When != "all day" || !strings.Contains(strings.Join(b.NotKnown, "\n"), "nothing you would fish with reaches the depth expected") {
		t.Errorf("%d set-ups, the first %q; not known: %q", len(b.SetUps), b.SetUps[0].When, b.NotKnown)
	}
	if said := strings.Join(b.Touch, "\n"); strings.Contains(said, "ount") {
		t.Errorf("dries have no count: %s", said)
	}
}

// What the day file names must be there, or the brief says that it is not.
func TestWhatMeansNothingIsSaid(t *testing.T) {
	b := planDemo(t, func(in *windlane.Inputs) {
		light(in)
		in.Outing.Way = tackle.Dries
		in.Outing.Told = []outing.Told{
			{Place: "the far bay", Trust: 0.5}, {Place: "Drowned Lane", Trust: 0.5}, {Place: "weed bed", Trust: 0.5},
			{Way: tackle.ShortLine, Trust: 0.5}, {HasDepth: true, Top: 60, Bottom: 70, Trust: 0.5}, {HasRodAverage: true, RodAverage: 12, Trust: 1},
		}
	})
	said, rules := strings.Join(b.NotKnown, "\n"), strings.Join(b.Touch, "\n")
	for _, want := range []string{`"the far bay": no place`, "known are the dam", "Told of short line", "Told of 197 to 229½ ft: the lake is"} {
		if !strings.Contains(said, want) {
			t.Errorf("%q is not said in\n%s", want, said)
		}
	}
	if strings.Contains(said, "Drowned Lane") || strings.Contains(said, "weed bed\"") {
		t.Errorf("names that mean something are doubted:\n%s", said)
	}
	if !strings.Contains(b.Aim, "dry flies. Nothing in the bag is set up for it") {
		t.Errorf("a way that the bag does not hold: %q", b.Aim)
	}
	// At 12 fish a rod 20 minutes cast as much doubt as the usual 45 do at 3.
	if !strings.Contains(rules, "If 15 min on this depth") || !strings.Contains(rules, "12.0 fish a rod") {
		t.Errorf("a rod average of 12 is not heeded: %s", rules)
	}
	plain := planDemo(t, func(in *windlane.Inputs) { light(in); in.Outing.Told = nil })
	many := planDemo(t, func(in *windlane.Inputs) {
		light(in)
		in.Outing.Told = []outing.Told{{HasRodAverage: true, RodAverage: 12, Trust: 1}}
	})
	same := len(plain.Drifts) == len(many.Drifts)
	for i := range plain.Drifts {
		same = same && plain.Drifts[i].LonLat == many.Drifts[i].LonLat && plain.Drifts[i].Minutes == many.Drifts[i].Minutes
	}
	if same {
		t.Error("the plan is the same at 12 fish a rod and at the usual 3")
	}
	if rules := strings.Join(plain.Touch, "\n"); !strings.Contains(rules, "If 30 min on this depth") || strings.Contains(rules, "fish a rod") {
		t.Errorf("nothing told: %s", rules)
	}
}
