package line

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"windlane/fluid"
)

// randomCast is a cast of ordinary tackle over wide ranges.
func randomCast(r *random, mesh Mesh) Setup {
	const inch = 0.0254
	sink := inch * r.between(1.5, 7)
	grains := []float64{140, 185, 210}[int(3*r.next())]
	mu := grains * 64.79891e-6 / 9.144
	d, _ := fluid.DiameterFromSink(mu, sink, rho, nu)
	leader := Section{4.9, 9.45e-5, 2.6e-4, 100}
	if r.next() < 0.5 {
		leader = Section{3.9, 4.94e-5, 2.35e-4, 100}
	}
	point := bodyFromSink("point", []float64{0.2, 0.08, 0.02, -0.1}[int(4*r.next())], 6e-8, 6e-5, rho)
	s := Setup{
		Water:    Water{Density: rho, KinematicViscosity: nu},
		Sections: []Section{{r.between(11, 19), mu, d, 500}, leader},
		Bodies:   []Body{point, bodyFromSink("dropper", 0.05, 3e-8, 5e-5, rho)},
		Tip:      []TipMove{{Height: r.between(0.4, 2)}}, EntryDistance: r.between(1, 3),
		BoatSpeed: r.between(0, 0.4), Count: r.between(4, 54), TakeIn: r.next() < 0.5,
		Pull: Pull{Speed: r.between(0.25, 0.9)}, StopWithLineOut: 8.8, Hang: 10, Mesh: mesh, Sample: 0.5,
	}
	s.Bodies[1].FromEnd = 2.4
	s.Bodies[1].Name = "dropper"
	return s
}

// Two hundred random casts are all completed by every mesh, and Fine stays within
// 10 cm of a mesh of 0.1 m at every half second in every depth, also where the
// boat has drifted over its own line and the point is turned round in a hairpin.
func TestRandomCasts(t *testing.T) {
	meshes := []struct {
		name      string
		mesh      Mesh
		most, p95 float64
		worst     []float64
	}{
		{name: "Fine", mesh: Mesh{}, most: 0.10, p95: 0.035},
		{name: "Mid", mesh: Mesh{Preset: Mid}, most: 0.33, p95: 0.11},
		{name: "Fast", mesh: Mesh{Preset: Fast}, most: 0.48, p95: 0.17},
	}
	r := random(2026)
	folded := 0
	for cast := range 200 {
		setup := randomCast(&r, Mesh{Segment: 0.1, MaxStep: 0.1})
		truth, err := Run(setup)
		if err != nil || truth.Status != Complete {
			t.Fatalf("cast %d: %v %s", cast, err, truth.Status)
		}
		if setup.BoatSpeed*setup.Count > 0.7*setup.length() {
			folded++
		}
		for k := range meshes {
			m := &meshes[k]
			setup.Mesh = m.mesh
			got, err := Run(setup)
			if err != nil || got.Status != Complete || len(got.Samples) != len(truth.Samples) {
				t.Fatalf("cast %d, %s: %v %s, %d samples", cast, m.name, err, got.Status, len(got.Samples))
			}
			worst := 0.0
			for i, s := range got.Samples {
				for c, d := range s.Depth {
					if math.IsNaN(d) || math.IsNaN(s.Force) || math.IsNaN(s.FromTip[c]) {
						t.Fatalf("cast %d: NaN", cast)
					}
					worst = max(worst, math.Abs(d-truth.Samples[i].Depth[c]))
				}
			}
			m.worst = append(m.worst, worst)
		}
	}
	if folded < 15 {
		t.Errorf("the boat drifts over its line in only %d casts", folded)
	}
	for _, m := range meshes {
		slices.Sort(m.worst)
		p95, most := m.worst[len(m.worst)*95/100], m.worst[len(m.worst)-1]
		t.Logf("%s: median %.1f, p95 %.1f, most %.1f cm", m.name, m.worst[len(m.worst)/2]*100, p95*100, most*100)
		if most > m.most || p95 > m.p95 {
			t.Errorf("%s: p95 %v m, most %v m; want within %v and %v", m.name, p95, most, m.p95, m.most)
		}
	}
}

// Wherever the retrieve stops, however little is then left of the first link, no
// hang costs much more than another: a short link under the rod tip would whirl.
func TestShortLinkDoesNotWhirl(t *testing.T) {
	for _, preset := range []Preset{Fine, Mid, Fast} {
		var work []int
		for k := range 60 {
			s := longCast(t, Mesh{Preset: preset})
			s.Count, s.StopWithLineOut, s.BoatSpeed = 20, 8.5+0.04*float64(k), 0.05*float64(k%3)
			r, err := Run(s)
			if err != nil || r.Status != Complete {
				t.Fatal(err, r.Status)
			}
			work = append(work, r.NodePasses)
		}
		slices.Sort(work)
		if most, median := work[len(work)-1], work[len(work)/2]; 2*most > 3*median {
			t.Errorf("preset %d: the most work of a cast is %d node-passes, the median %d", preset, most, median)
		}
	}
}

// A retrieve branched from a snapshot at one of several counts is the cast run straight.
func TestBranchEqualsStraightRun(t *testing.T) {
	_, setups := referenceSetups(t, Mesh{})
	setup := setups["R2_#8_3ips_v0.3_T20_r0.6"]
	trunk, branch := build(setup), build(setup)
	for _, count := range []float64{5, 10, 20} {
		trunk.Continue(count)
		if !runCount(trunk) {
			t.Fatal(trunk.Status())
		}
		branch.Branch(trunk, Pull{Speed: 0.45}, 8)
		branch.Branch(trunk, setup.Pull, 10) // a second branch is not disturbed by the first
		setup.Count = count
		straight := build(setup)
		next := 0.0
		for branch.Next() {
			for straight.t < branch.t && straight.Next() {
			}
			if branch.t < next {
				continue
			}
			next = branch.t + 1
			at := min(branch.t, straight.t)
			for k := range len(branch.track) {
				_, a := branch.Place(k, at)
				_, b := straight.Place(k, at)
				if math.Abs(a-b) > 0.004 {
					t.Errorf("count %v: at %v s place %d is %v m deep, straight %v", count, at, k, a, b)
				}
			}
		}
		if branch.Status() != Complete || branch.Phase() != Hang {
			t.Errorf("count %v: %s", count, branch.Status())
		}
	}
}

func TestStepAllocatesNothing(t *testing.T) {
	_, setups := referenceSetups(t, Mesh{})
	setup := setups["R9_#8_3ips_v0.3_T20_strips0.25m@0.9"]
	setup.Water.Bed, setup.Water.Drift, setup.Water.DriftScale = 1.5, 0.05, 1
	s, branch := build(setup), build(setup)
	if n := testing.AllocsPerRun(400, func() {
		if !s.Next() {
			t.Fatal("the cast is over: nothing was measured")
		}
	}); n != 0 {
		t.Errorf("a step allocates %v times", n)
	}
	if n := testing.AllocsPerRun(10, func() { branch.Branch(s, setup.Pull, 1) }); n != 0 {
		t.Errorf("a branch allocates %v times", n)
	}
}

// Samples lie exactly at 0, sample, 2 sample …; one at the end of a phase
// belongs to that phase.
func TestSamplesAndPhases(t *testing.T) {
	_, setups := referenceSetups(t, Mesh{Segment: 0.5, MaxStep: 0.1})
	setup := setups["R1_#8_3ips_v0_T20_r0.6"]
	setup.Sample, setup.Hang = 0.1, 3
	r, err := Run(setup)
	if err != nil || r.Status != Complete {
		t.Fatal(err, r.Status)
	}
	end := r.Ends[2].T
	if want := 20 + (20-8.8392)/0.6 + 0.15 + 3; math.Abs(end-want) > 1e-9 {
		t.Errorf("ends at %v, want %v", end, want)
	}
	if want := int(math.Floor(end/0.1+1e-9)) + 1; len(r.Samples) != want {
		t.Errorf("%d samples, want %d", len(r.Samples), want)
	}
	for k, s := range r.Samples {
		want := Count
		switch {
		case s.T > r.Ends[1].T+1e-9:
			want = Hang
		case s.T > r.Ends[0].T+1e-9:
			want = Retrieve
		}
		if s.T != float64(k)*0.1 || s.Phase != want {
			t.Fatalf("sample %d at %v in %v, want %v in %v", k, s.T, s.Phase, float64(k)*0.1, want)
		}
	}
	if r.Ends[0].LineOut != 20 || math.Abs(r.Ends[1].LineOut-8.8392) > 1e-12 {
		t.Errorf("line out %v, %v", r.Ends[0].LineOut, r.Ends[1].LineOut)
	}
	if f := r.Ends[1].Force; f < 0.05 {
		t.Errorf("tip force at the end of the retrieve %v: the state after the stop", f)
	}
	if a, b := r.Samples[200], r.Ends[0]; math.Abs(a.Depth[0]-b.Depth[0]) > 1e-9 || a.Phase != Count {
		t.Errorf("sample at the end of the count differs from the end: %v, %v", a, b)
	}
	// nothing to take in, no speed, no count, no hang: empty phases still end
	for _, change := range []func(*Setup){
		func(s *Setup) { s.StopWithLineOut = 30 },
		func(s *Setup) { s.Pull.Speed = 0 },
	} {
		s := setup
		change(&s)
		s.Count, s.Hang = 5, 0
		r, err := Run(s)
		if err != nil || r.Status != Complete || len(r.Ends) != 3 || r.Ends[1].T != 5 || r.Ends[2].T != 5 || r.Ends[2].LineOut != 20 || r.Samples[50].Phase != Count {
			t.Errorf("an empty retrieve: %v %s %+v", err, r.Status, r.Ends)
		}
		s.Count = 0
		if r, err = Run(s); err != nil || len(r.Ends) != 3 || len(r.Samples) != 1 || r.Ends[2].T != 0 {
			t.Errorf("an empty cast: %v %+v", err, r)
		}
	}
}

// Line taken in at boat speed during a count stops where the retrieve would.
func TestTakeInStops(t *testing.T) {
	_, setups := referenceSetups(t, Mesh{Preset: Mid})
	setup := setups["R2_#8_3ips_v0.3_T20_r0.6"]
	setup.TakeIn, setup.Count = true, 60
	r, err := Run(setup)
	if err != nil || r.Status != Complete {
		t.Fatal(err, r.Status)
	}
	if r.Ends[0].LineOut != setup.StopWithLineOut || r.Ends[1].T != 60 {
		t.Errorf("%v m out at %v s", r.Ends[0].LineOut, r.Ends[1].T)
	}
}

// The tip's schedule: low through the count, up in two moves in the hang, whose
// flies it lifts.
func TestTipSchedule(t *testing.T) {
	_, setups := referenceSetups(t, Mesh{})
	setup := setups["R1_#8_3ips_v0_T20_r0.6"]
	setup.Sample = 0.25
	setup.Tip = []TipMove{{Height: 0.3}, {From: Hang, Height: 1, Over: 1}, {From: Hang, After: 4, Height: 3, Over: 2}}
	s := build(setup)
	heights := map[float64]float64{0: 0.3}
	for s.Next() {
		heights[s.t] = s.cur[s.tip].z
	}
	end := s.ends[Retrieve]
	for at, want := range map[float64]float64{0: 0.3, end: 0.3, end + 1: 1, end + 4: 1, end + 6: 3, end + 10: 3} {
		found := false
		for tm, h := range heights {
			if math.Abs(tm-at) < 1e-6 {
				found = true
				if math.Abs(h-want) > 1e-9 {
					t.Errorf("tip at %v m %v s in, want %v", h, at, want)
				}
			}
		}
		if !found {
			t.Errorf("no step ends at %v", at)
		}
	}
	lifted, err := Run(setup)
	if err != nil {
		t.Fatal(err)
	}
	setup.Tip = setup.Tip[:1]
	low, _ := Run(setup)
	up := low.Ends[2].Depth[2] - lifted.Ends[2].Depth[2]
	if up < 0.5 {
		t.Errorf("lifting the rod 2.7 m brings the junction up by %v m", up)
	}
}

// On a bed in reach things stop and say so.
func TestBed(t *testing.T) {
	_, setups := referenceSetups(t, Mesh{})
	setup := setups["R2_#8_3ips_v0.3_T20_r0.6"]
	setup.Water.Bed, setup.Sample = 1.2, 0.1
	r, err := Run(setup)
	if err != nil || r.Status != Complete {
		t.Fatal(err, r.Status)
	}
	deepest := 0.0
	for _, s := range r.Samples {
		deepest = max(deepest, s.Deepest)
	}
	if deepest > 1.22 || deepest < 1.19 {
		t.Errorf("deepest %v m over a bed at 1.2 m", deepest)
	}
	if len(r.OnBed) == 0 || r.OnBed[0].Name != "point" || r.OnBed[0].T < 8 || r.OnBed[0].T > 20 {
		t.Errorf("on the bed: %v; the point reaches 1.2 m near 12 s without one", r.OnBed)
	}
	setup.Water.Bed = 50
	if r, _ = Run(setup); len(r.OnBed) != 0 {
		t.Errorf("a bed out of reach was felt: %v", r.OnBed)
	}
}

// A floating line floats, holds up what hangs from it, and a dry fly stays at
// the surface through count, retrieve and hang.
func TestFloatingLine(t *testing.T) {
	floating := Section{12, 1.488e-3, 1.5e-3, 500} // 842 kg/m³
	nylon := Section{3.5, 3.6e-5, 2e-4, 100}
	for _, mesh := range []Mesh{{}, {Preset: Mid}, {Preset: Fast}, {Segment: 0.25, MaxStep: 0.05}} {
		setup := Setup{
			Water: Water{Density: rho, KinematicViscosity: nu}, Sections: []Section{floating, nylon},
			Bodies: []Body{bodyFromSink("dry", -0.1, 6e-8, 6e-5, rho)},
			Tip:    []TipMove{{Height: 1.2}}, EntryDistance: 2, BoatSpeed: 0.1, Count: 10, TakeIn: true,
			Pull: Pull{Speed: 0.2}, StopWithLineOut: 7, Hang: 5, Sample: 0.5, Mesh: mesh,
		}
		r, err := Run(setup)
		if err != nil || r.Status != Complete {
			t.Fatalf("%v: %v %s", mesh, err, r.Status)
		}
		for _, s := range r.Samples {
			if math.Abs(s.Depth[0]) > 0.02 || s.Depth[1] > 0.3 || s.Deepest > 0.35 {
				t.Errorf("%v: at %v s dry fly %v m, junction %v m, deepest %v m", mesh, s.T, s.Depth[0], s.Depth[1], s.Deepest)
				break
			}
		}
		t.Logf("%v: %d steps, %d passes", mesh, r.Steps, r.Passes)
		// nymphs under the same line sink to about the leader's length and no further
		setup.Bodies = []Body{bodyFromSink("point", 0.12, 3e-8, 4e-5, rho)}
		setup.Count, setup.TakeIn, setup.BoatSpeed, setup.Pull.Speed = 120, false, 0, 0
		r, err = Run(setup)
		if err != nil || r.Status != Complete {
			t.Fatalf("%v: %v %s", mesh, err, r.Status)
		}
		if d := r.Ends[0].Depth[0]; d < 2.5 || d > 3.6 {
			t.Errorf("%v: a nymph on 3.5 m of leader hangs at %v m after two minutes", mesh, d)
		}
	}
}

// A line whose tip goes with the water drifts with it, each part at its depth;
// in still water it would be pushed into folds.
func TestCurrent(t *testing.T) {
	s := deep(40, 0.5, sinking, rho, nil)
	s.drift, s.driftScale = 0.2, 1.0/50
	march(t, s, 6, 0.02, func(t float64) (x, z float64) { return 0.2 * math.Exp(-5.0/50) * t, -5 }, nil)
	mid := s.cur[s.end/2]
	if want := 0.2 * math.Exp(mid.z/50); math.Abs(mid.vx-want) > 0.02 {
		t.Errorf("the middle drifts at %v m/s, the water there at %v", mid.vx, want)
	}
}

// A dropper, a section end or a shot may lie anywhere; four bodies at once, many
// sections, bodies at the same place as a section end.
func TestOddLines(t *testing.T) {
	base := Setup{
		Water: Water{Density: rho, KinematicViscosity: nu},
		Tip:   []TipMove{{Height: 1}}, EntryDistance: 2, Count: 8, BoatSpeed: 0.2,
		Pull: Pull{Speed: 0.5, Length: 0.3, PullSpeed: 0.8}, StopWithLineOut: 6, Hang: 5, Sample: 1,
	}
	body := func(name string, at, sink float64) Body {
		b := bodyFromSink(name, sink, 5e-8, 5e-5, rho)
		b.FromEnd = at
		return b
	}
	tip, belly, leader := Section{6, 1.5e-3, 0.9e-3, 500}, Section{6, 1.4e-3, 1.3e-3, 500}, Section{4, 8e-5, 2.4e-4, 100}
	cases := map[string]Setup{
		"one section":       {Sections: []Section{tip}},
		"four flies":        {Sections: []Section{tip, leader}, Bodies: []Body{body("a", 5.9, 0.05), body("b", 0, 0.2), body("c", 1, -0.1), body("d", 2.5, 0.02)}},
		"profile":           {Sections: []Section{belly, tip, {0.5, 1.2e-3, 1.3e-3, 500}, leader}, Bodies: []Body{body("point", 0, 0.1)}},
		"fly at the joint":  {Sections: []Section{tip, leader}, Bodies: []Body{body("joint", 4, 0.1)}},
		"sink tip":          {Sections: []Section{{9, 1.488e-3, 1.5e-3, 500}, {3, 1.6e-3, 0.9e-3, 500}, leader}, Bodies: []Body{body("point", 0, 0.05)}},
		"stop just above":   {Sections: []Section{tip, leader}, Bodies: []Body{body("a", 5.9995, 0.05)}},
		"through the rings": {Sections: []Section{tip, leader}, StopWithLineOut: 1.2, Bodies: []Body{body("point", 0, 0.1), body("d", 1, 0.1)}},
	}
	for name, c := range cases {
		for _, mesh := range []Mesh{{}, {Preset: Fast}, {Segment: 0.5, MaxStep: 0.1}} {
			s := base
			s.Mesh, s.Sections, s.Bodies = mesh, c.Sections, c.Bodies
			if c.StopWithLineOut > 0 {
				s.StopWithLineOut = c.StopWithLineOut
			}
			r, err := Run(s)
			if err != nil || r.Status != Complete {
				t.Errorf("%s %v: %v %s", name, mesh, err, r.Status)
				continue
			}
			for _, x := range r.Samples {
				for k, d := range x.Depth {
					if math.IsNaN(d) || d > 10 || d < -1.01 {
						t.Fatalf("%s: %s at %v m", name, r.Names[k], d)
					}
				}
			}
			if junction := len(s.Sections) > 1; slices.Contains(r.Names, "junction") != junction || len(r.Names) != len(r.Samples[0].Depth) {
				t.Errorf("%s: names %v", name, r.Names)
			}
		}
	}
}

func TestValidateNamesTheField(t *testing.T) {
	_, setups := referenceSetups(t, Mesh{Segment: 0.25, MaxStep: 0.02})
	good := setups["R1_#8_3ips_v0_T20_r0.6"]
	if err := good.Validate(); err != nil {
		t.Fatal(err)
	}
	bad := map[string]func(*Setup){
		"water.density_kg_m3":            func(s *Setup) { s.Water.Density = math.NaN() },
		"water.kinematic_viscosity_m2_s": func(s *Setup) { s.Water.KinematicViscosity = 0 },
		"sections":                       func(s *Setup) { s.Sections = nil },
		"sections[1].diameter_m":         func(s *Setup) { s.Sections[1].Diameter = -1 },
		"sections[0].length_m":           func(s *Setup) { s.Sections[0].Length = math.Inf(1) },
		"sections[0].axial_stiffness_n":  func(s *Setup) { s.Sections[0].AxialStiffness = 0 },
		"bodies":                         func(s *Setup) { s.Bodies = make([]Body, 5) },
		"bodies[1].mass_kg":              func(s *Setup) { s.Bodies[1].Mass = -1 },
		"bodies[0].name":                 func(s *Setup) { s.Bodies[0].Name = "junction" },
		"bodies[1].name":                 func(s *Setup) { s.Bodies[1].Name = "point" },
		"bodies[1].from_end_m":           func(s *Setup) { s.Bodies[1].FromEnd = 20 },
		"tip_height_m":                   func(s *Setup) { s.Tip[0].Height = -1 },
		"tip_height_m[1].height_m":       func(s *Setup) { s.Tip = append(s.Tip, TipMove{From: Hang, Height: 99}) },
		"tip_height_m[1].from_phase":     func(s *Setup) { s.Tip = append(s.Tip, TipMove{From: 7}) },
		"entry_distance_m":               func(s *Setup) { s.EntryDistance = 21 },
		"boat_speed_m_s":                 func(s *Setup) { s.BoatSpeed = -0.1 },
		"count_s":                        func(s *Setup) { s.Count = 1e9 },
		"hang_s":                         func(s *Setup) { s.Hang = -1 },
		"retrieve.speed_m_s":             func(s *Setup) { s.Pull.Speed = 0.0001 },
		"retrieve.pull_length_m":         func(s *Setup) { s.Pull.Length = -1 },
		"retrieve.pull_speed_m_s":        func(s *Setup) { s.Pull.Length = 0.2 },
		"stop_with_line_out_m":           func(s *Setup) { s.StopWithLineOut = 2 },
		"slack_stiffness_n":              func(s *Setup) { s.SlackStiffness = -1 },
		"segment_m":                      func(s *Setup) { s.Mesh.Segment = 1e-4 },
		"segment_m ":                     func(s *Setup) { s.Mesh.Segment = 0 },
		"max_step_s":                     func(s *Setup) { s.Mesh.MaxStep = 0 },
		"sample_s":                       func(s *Setup) { s.Sample = 0 },
	}
	for field, spoil := range bad {
		s := good
		s.Sections, s.Bodies, s.Tip = slices.Clone(s.Sections), slices.Clone(s.Bodies), slices.Clone(s.Tip)
		spoil(&s)
		var fault *Fault
		if _, err := Run(s); !errors.As(err, &fault) || fault.Field != strings.TrimSpace(field) || fault.Message == "" {
			t.Errorf("%s: got %v", field, err)
		}
	}
}

// What a fault says has as many digits as a person reads.
func TestFaultsAreShort(t *testing.T) {
	_, setups := referenceSetups(t, Mesh{})
	s := setups["R1_#8_3ips_v0_T20_r0.6"]
	s.BoatSpeed = 10.0 / 3
	if _, err := Run(s); err == nil || err.Error() != "boat_speed_m_s: 3.33333 is not allowed: from 0 up to 3 m/s" {
		t.Errorf("got %v", err)
	}
	s.BoatSpeed, s.Bodies[0].FromEnd = 0, 49.999999999
	if _, err := Run(s); err == nil || !strings.Contains(err.Error(), "from_end_m: 50 is beyond the rod tip") {
		t.Errorf("got %v", err)
	}
}

// The pull's length in its own time, and its time for a length, are inverses.
func TestPull(t *testing.T) {
	r := random(3)
	for range 500 {
		p := Pull{Speed: r.between(0.05, 1)}
		if r.next() < 0.6 {
			p.Length = r.between(0.05, 1)
			p.PullSpeed = p.Speed * r.between(1, 3)
		}
		length := r.between(0.001, 20)
		if got := p.taken(p.duration(length)); math.Abs(got-length) > 1e-9 {
			t.Fatalf("%+v: %v m takes %v s, which takes in %v m", p, length, p.duration(length), got)
		}
	}
}

// Whatever Validate lets through ends with a status and never with NaN, be it
// a line of iron wire or of cork as thick as a finger.
func TestNoSenseNoNaN(t *testing.T) {
	r := random(77)
	spread := func(lo, hi float64) float64 { return math.Exp(r.between(math.Log(lo), math.Log(hi))) }
	ended := map[Status]int{}
	for k := range 150 {
		s := Setup{
			Water:         Water{Density: r.between(900, 1100), KinematicViscosity: spread(1e-7, 1e-5)},
			EntryDistance: r.between(0, 3), BoatSpeed: r.between(0, 1.5), Count: r.between(0, 40), TakeIn: r.next() < 0.5,
			Pull: Pull{Speed: spread(0.02, 5)}, Hang: r.between(0, 20), SlackStiffness: spread(1e-5, 1), Sample: 1,
			Tip: []TipMove{{Height: r.between(0, 5)}}, Mesh: []Mesh{{Preset: Mid}, {Preset: Fast}, {Segment: spread(0.2, 2), MaxStep: spread(0.02, 1)}}[int(3*r.next())],
		}
		if r.next() < 0.3 {
			s.Pull.Length = spread(0.02, 2)
			s.Pull.PullSpeed = min(5, s.Pull.Speed*r.between(1, 3))
		}
		if r.next() < 0.3 {
			s.Tip = append(s.Tip, TipMove{From: Phase(int(3 * r.next())), Height: r.between(0, 8), Over: r.between(0, 3)})
		}
		if r.next() < 0.3 {
			s.Water.Bed = r.between(0.3, 10)
		}
		if r.next() < 0.3 {
			s.Water.Drift, s.Water.DriftScale = r.between(-1, 1), spread(0.05, 20)
		}
		total, top := 0.0, 0.0
		for range 1 + int(4*r.next()) {
			sec := Section{spread(0.05, 20), spread(1e-5, 1e-2), spread(1e-4, 4e-3), spread(5, 1e4)}
			total += sec.Length
			s.Sections = append(s.Sections, sec)
		}
		for i := range int(5 * r.next()) {
			b := Body{string(rune('a' + i)), r.between(0, total*0.9), spread(1e-6, 0.1), spread(1e-9, 1e-4), spread(1e-7, 1e-2), r.between(0, 1)}
			top = max(top, b.FromEnd)
			s.Bodies = append(s.Bodies, b)
		}
		s.StopWithLineOut = top + spread(1e-3, 5)
		got, err := Run(s)
		if err != nil {
			continue
		}
		ended[got.Status]++
		for _, x := range got.Samples {
			for i, d := range x.Depth {
				if !(math.Abs(d) < 200 && math.Abs(x.FromTip[i]) < 300) || math.IsNaN(x.Force) || math.IsInf(x.Force, 0) || math.IsNaN(x.Deepest) {
					t.Fatalf("setup %d: at %v s %s at %v m, force %v; %s", k, x.T, got.Names[i], d, x.Force, got.Status)
				}
			}
		}
	}
	t.Log(ended)
	if ended[Complete] < 75 || ended[Running] > 0 || ended[Broken]+ended[TooManySteps] > ended[Complete]/30 {
		t.Errorf("ended as %v", ended)
	}
}
