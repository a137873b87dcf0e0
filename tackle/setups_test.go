package tackle_test

import (
	"strings"
	"testing"

	"windlane/tackle"
)

func TestSetUps(t *testing.T) {
	fly := tackle.Fly{Name: "lure", Kind: tackle.Lure}
	small := tackle.Fly{Name: "buzzer", Kind: tackle.Buzzer}
	leader := tackle.Leader{Name: "four", Material: tackle.Nylon, Strength: 40, Length: 4, Droppers: []float64{1.5}}
	slow := tackle.Line{Name: "slow", Class: 8, Profile: tackle.Even, Sink: 0.04}
	fast := tackle.Line{Name: "fast", Class: 8, Profile: tackle.Even, Sink: 0.12}
	float := tackle.Line{Name: "float", Class: 8, Profile: tackle.Floating}
	heavy := tackle.Line{Name: "heavy", Class: 12, Profile: tackle.Even, Sink: 0.12}
	rod := tackle.Rod{Name: "eight", Class: 8}
	counted := tackle.Rig{Name: "deep", Rod: rod, Line: slow, Leader: leader, Flies: []tackle.Mounted{{Fly: fly}}, Way: tackle.Lures}
	bung := tackle.Rig{Name: "bung", Rod: rod, Line: float, Leader: leader, Flies: []tackle.Mounted{{Fly: small}}, Way: tackle.Bung}
	names := func(b tackle.Bag) string {
		var out []string
		for _, r := range b.SetUps() {
			out = append(out, r.Name)
		}
		return strings.Join(out, "; ")
	}
	// A counted rig goes on each other sinking line its rod throws, a bung on its own only.
	if got := names(tackle.Bag{Lines: []tackle.Line{slow, fast, float, heavy}, Rigs: []tackle.Rig{counted, bung}}); got != "deep; deep on fast; bung" {
		t.Errorf("set-ups: %s", got)
	}
	// A bag of loose parts: each line with each leader, the faster fly on the point.
	loose := tackle.Bag{Lines: []tackle.Line{slow, float}, Leaders: []tackle.Leader{leader}, Flies: []tackle.Fly{small, fly}, Rods: []tackle.Rod{rod}}
	if got := names(loose); got != "slow, four; float, four" {
		t.Errorf("loose set-ups: %s", got)
	}
	if r := loose.SetUps()[0]; r.Flies[0].Fly.SinkSpeed() < r.Flies[1].Fly.SinkSpeed() || r.Flies[1].FromPoint != 1.5 || r.Way != tackle.Lures {
		t.Errorf("loose parts tied as %+v", r)
	}
	if got := (&tackle.Bag{Lines: []tackle.Line{slow}}).SetUps(); len(got) != 0 {
		t.Errorf("a bag without flies makes %d set-ups", len(got))
	}
}
