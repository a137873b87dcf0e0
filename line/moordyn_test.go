package line

import (
	"bufio"
	"fmt"
	"math"
	"os"
	"testing"
)

// cable is 10 m of 3 in/s line all under water with the constants of a mooring
// code, laid at the nodes of a file.
func cable(t *testing.T, init string, bodies ...Body) *Sim {
	t.Helper()
	s := build(Setup{
		Water:    Water{Density: 999.70, KinematicViscosity: 1.30738e-6},
		Sections: []Section{{10, 1.48815e-3, 1.1324e-3, 500}},
		Bodies:   bodies,
		Tip:      []TipMove{{}}, EntryDistance: 1, StopWithLineOut: 10, Sample: 1,
		SlackStiffness: 1e-3, Mesh: Mesh{Segment: 0.5, MaxStep: 0.01, Ungraded: true},
		Drag: constantDrag(1.45, 0.01),
	})
	f, err := os.Open("../refdata/line/" + init)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	n := 0
	for scan := bufio.NewScanner(f); scan.Scan(); n++ {
		if _, err := fmt.Sscan(scan.Text(), &s.cur[n].x, &s.cur[n].z); err != nil {
			t.Fatal(err)
		}
	}
	if n != 21 || s.end != 20 {
		t.Fatalf("%d nodes in the file, %d here", n, s.end+1)
	}
	copy(s.prv, s.cur)
	return s
}

// MoorDyn v2.7.1 (commit 319ff99), an independent explicit mooring code, on the
// same constants: refdata/line/SOURCE.md. Its own runs differ by as much as the
// 2 cm between two axial dampings while the line is slack.
func TestAgainstMoorDyn(t *testing.T) {
	still := func(float64) float64 { return 0 }
	towed := func(t float64) float64 { // at rest 10 s, then to -0.5 m/s in 1 s
		switch {
		case t < 10:
			return 0
		case t < 11:
			return -0.25 * (t - 10) * (t - 10)
		}
		return -0.25 - 0.5*(t-11)
	}
	fly := Body{Name: "fly", Mass: 1e-3, Volume: 2e-7, DragArea: 2e-5, AddedMass: 0.5}
	cases := []struct {
		name       string
		tip        func(float64) float64
		bodies     []Body
		end        float64 // depth of the end, any time [m]
		late, pull float64 // from 20 s on: depths [m] and tip force [1]
	}{
		{"m1", still, nil, 0.02, 0.02, 0},
		{"m3", towed, []Body{fly}, 0.02, 0.002, 0.02},
	}
	for _, c := range cases {
		s := cable(t, "moordyn_"+c.name+"_20.init", c.bodies...)
		compared := 0
		var worstEnd, worstLate, worstForce, worstPlace float64
		for _, row := range table(t, "moordyn_"+c.name+"_20.csv") {
			f := func(name string) float64 { return number(t, row, name) }
			for f("t")-s.t > 0.005 {
				s.t += 0.01
				if _, _, ok := s.step(0.01, c.tip(s.t), -5, 10); !ok {
					t.Fatalf("%s broke at %v s", c.name, s.t)
				}
			}
			if math.Abs(c.tip(f("t"))-f("xtop")) > 2e-3 {
				t.Fatalf("%s: the tip is at %v, want %v", c.name, c.tip(f("t")), f("xtop"))
			}
			end, mid := s.cur[20], s.cur[10]
			worstEnd = max(worstEnd, math.Abs(end.z-f("zend")))
			if c.pull > 0 {
				worstPlace = max(worstPlace, math.Hypot(end.x-f("xend"), end.z-f("zend")), math.Hypot(mid.x-f("xmid"), mid.z-f("zmid")))
			}
			if f("t") >= 20 {
				worstLate = max(worstLate, math.Abs(mid.z-f("zmid")))
				if c.pull > 0 {
					worstLate = max(worstLate, math.Abs(end.z-f("zend")))
					worstForce = max(worstForce, math.Abs(s.el[1].now/f("Ttop")-1))
				}
			}
			compared++
		}
		t.Logf("%s: end depth %.2f cm, late %.2f mm, force %.2f %%, place %.2f cm", c.name, worstEnd*100, worstLate*1000, worstForce*100, worstPlace*100)
		if compared < 30 {
			t.Fatalf("%s: compared %d times", c.name, compared)
		}
		if worstEnd > c.end || worstPlace > 0.02 || worstLate > c.late || worstForce > max(c.pull, 1e-9) {
			t.Errorf("%s: outside the agreement stated", c.name)
		}
	}
}
