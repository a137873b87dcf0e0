package cast

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"windlane/line"
	"windlane/tackle"
)

// bagful is six sinks on two leaders, the search of the speed targets.
func bagful() []tackle.Rig {
	var rigs []tackle.Rig
	for _, sink := range []float64{1.5, 2.5, 3, 4, 5, 7} {
		a := outfit(sink * inch)
		b := outfit(sink * inch)
		b.Leader = tackle.Leader{Material: tackle.Nylon, Diameter: 2.1e-4, Length: 3.8}
		b.Flies = []tackle.Mounted{{Fly: tackle.Fly{Name: "foam fry", Kind: tackle.Booby}}, {Fly: tackle.Fly{Name: "black lure", Kind: tackle.Lure}, FromPoint: 1.7}}
		rigs = append(rigs, a, b)
	}
	return rigs
}

func searchFor(top, bottom float64) Search {
	return Search{
		Rigs: bagful(), LineOut: 20, TipHeight: 0.4, HangMark: 3, Hang: []Stage{{Height: 1.5, Over: 1, Hold: 4}, {Height: 2.5, Over: 2, Hold: 3}},
		Band: Band{top, bottom}, BoatSpeed: 0.13, Temperature: 12,
	}
}

// Depths taken from a table, at counts and speeds between its nodes, against runs on
// the fine mesh: root mean square within 4 cm over retrieve and hang.
func TestTableAgainstFineRuns(t *testing.T) {
	s := searchFor(2, 3).settled()
	n, sum, worst := 0, 0.0, 0.0
	for _, rig := range []int{0, 3, 4, 7, 8, 11} {
		q := s.question(rig)
		var speeds []float64
		for _, r := range s.Retrieves {
			speeds = append(speeds, r.Speed)
		}
		tab, err := newTable(q, pick(s.Counts, mostCounts, math.Sqrt), pick(speeds, mostSpeeds, math.Log), line.Mesh{Preset: line.Mid})
		if err != nil || tab.broken > 0 {
			t.Fatal(err, tab.broken)
		}
		for _, count := range []float64{4.5, 16.5, 29, 48} {
			for _, speed := range []float64{0.25, 0.45, 0.7} {
				q.Count, q.Retrieve = count, Retrieve{Kind: Steady, Speed: speed}
				tr, err := q.follow(q.setup(line.Mesh{}), 0.05, nil)
				if err != nil {
					t.Fatal(err)
				}
				path := tab.path(count, speed)
				span := tab.duration(count, speed)
				if math.Abs(tr.ends[1]-count-span) > 1e-6 {
					t.Fatalf("the retrieve lasts %v s in the table, %v s in truth", span, tr.ends[1]-count)
				}
				for f := range tab.flies {
					for k := range tab.steps {
						when := count + span*min(float64(k)/retrieveParts, 1) + min(max(float64(k-retrieveParts), 0)*hangStep, tab.hang)
						off := path[k*tab.flies+f].d - float64(tr.depthAt(f, when))
						n, sum, worst = n+1, sum+off*off, max(worst, math.Abs(off))
					}
				}
			}
		}
	}
	rms := math.Sqrt(sum / float64(n))
	t.Logf("%d depths: rms %.1f cm, worst %.1f cm", n, rms*100, worst*100)
	if rms > 0.04 || n < 1000 {
		t.Errorf("rms %v m over %d depths, want within 4 cm", rms, n)
	}
}

// The table's best are the direct search's best, and say what they are.
func TestReachRanks(t *testing.T) {
	s := searchFor(2, 3)
	s.Rigs = s.Rigs[4:8]
	s.Best = 8
	table, err := Reach(s)
	if err != nil {
		t.Fatal(err)
	}
	s.Direct = true
	direct, err := Reach(s)
	if err != nil {
		t.Fatal(err)
	}
	if table.Status != Held || len(table.Options) != 8 || table.Tried != 4*40*10 || table.Broken != 0 {
		t.Fatalf("%s, %d options of %d", table.Status, len(table.Options), table.Tried)
	}
	best := direct.Options[0].FreshPerHour
	if got := table.Options[0].FreshPerHour; got < 0.98*best {
		t.Errorf("the table's best searches %v m an hour, the direct search's %v", got, best)
	}
	for i, o := range append(table.Options, direct.Options[0], table.ByRig[1], table.ByRig[3]) {
		if !o.Confirmed || o.Fresh <= 0 || o.Seconds <= 0 || math.Abs(o.FreshPerHour-o.Fresh*3600/o.Cycle) > 1e-9 || math.Abs(o.SecondsPerHour-o.Seconds*3600/o.Cycle) > 1e-9 {
			t.Errorf("%+v", o)
		}
		if i > 0 && i < len(table.Options) && better(table.Options[i-1], o) > 0 {
			t.Error("options are out of order")
		}
		q := s.question(o.Rig)
		q.Count, q.Retrieve = o.Count, o.Retrieve
		a := must(t, q)
		fresh, seconds := inBand(a, s.Band, q)
		if math.Abs(fresh-o.Fresh) > 1e-6 || math.Abs(seconds-o.Seconds) > 1e-6 {
			t.Errorf("the cast itself searches %v m in %v s, the option says %v, %v", fresh, seconds, o.Fresh, o.Seconds)
		}
		if d := a.Flies[o.Fly].CountEnd; math.Abs(float64(o.AtCount-d)) > 1e-6 {
			t.Errorf("%s is at %v m when the count ends, the option says %v", a.Flies[o.Fly].Name, d, o.AtCount)
		}
		if o.Rule != a.Rule.Depth || o.Rule <= 0 {
			t.Errorf("by the rule %v m, %v m", o.Rule, a.Rule.Depth)
		}
		f := a.Flies[o.Fly]
		lags, deeper := float64(o.AtCount) < 0.9*float64(o.Rule), f.DeepestPhase == line.Retrieve && f.Deepest > f.CountEnd+0.1
		if lags && !strings.Contains(o.Why, f.Name) || deeper && !strings.Contains(o.Why, "deeper first") {
			t.Errorf("%s at %v m, %v m by the rule, deepest %v m in the %s: %q", f.Name, o.AtCount, o.Rule, f.Deepest, f.DeepestPhase, o.Why)
		}
		for i := range a.Flies { // alone, no other fly is longer at it with more speed
			if one, best := searchedBy(a, i, s.Band, q), searchedBy(a, o.Fly, s.Band, q); one > best+1e-9 {
				t.Errorf("%s searches %v m, %s, said to do best, %v m", a.Flies[i].Name, one, a.Flies[o.Fly].Name, best)
			}
		}
	}
	if len(table.ByRig) != 4 {
		t.Errorf("%d rigs reach the depth, want 4", len(table.ByRig))
	}
	again, _ := Reach(s)
	if !slices.Equal(again.Options, direct.Options) {
		t.Error("the same search gives another answer")
	}
}

// The best of a rig is no worse than any option of it, whatever the table took
// strips for.
func TestByRigIsTheBest(t *testing.T) {
	s := searchFor(1, 2)
	s.Rigs = s.Rigs[:4]
	for _, v := range []float64{0.3, 0.45, 0.6} {
		s.Retrieves = append(s.Retrieves, Retrieve{Kind: Steady, Speed: v}, Retrieve{Kind: Strips, Speed: v, Strip: 0.3})
	}
	r, err := Reach(s)
	if err != nil || len(r.ByRig) == 0 || len(r.Options) < 10 {
		t.Fatal(err, len(r.ByRig), len(r.Options))
	}
	for _, best := range r.ByRig {
		for _, o := range r.Options {
			if o.Rig == best.Rig && better(o, best) < 0 {
				t.Errorf("rig %d: %.1f m an hour, and %.1f is among the options", o.Rig, best.FreshPerHour, o.FreshPerHour)
			}
		}
	}
}

// A search in a current is of casts in that current.
func TestReachInACurrent(t *testing.T) {
	s := searchFor(1, 2)
	s.Rigs, s.Best, s.Current, s.CurrentScale = s.Rigs[:2], 3, 0.1, 1
	s.Counts = []float64{5, 10, 20, 30}
	r, err := Reach(s)
	if err != nil || len(r.Options) != 3 {
		t.Fatal(err, len(r.Options))
	}
	o := r.Options[0]
	q := s.question(o.Rig)
	q.Count, q.Retrieve = o.Count, o.Retrieve
	if q.Current != 0.1 || q.CurrentScale != 1 {
		t.Fatalf("the cast is asked in %v m/s", q.Current)
	}
	fresh, seconds := inBand(must(t, q), s.Band, q)
	if math.Abs(fresh-o.Fresh) > 1e-6 || math.Abs(seconds-o.Seconds) > 1e-6 {
		t.Errorf("the cast itself searches %v m in %v s, the option says %v, %v", fresh, seconds, o.Fresh, o.Seconds)
	}
	s.Direct = true
	direct, err := Reach(s)
	if err != nil || o.FreshPerHour < 0.97*direct.Options[0].FreshPerHour {
		t.Errorf("the table's best searches %v m an hour, the direct search's %v; %v", o.FreshPerHour, direct.Options[0].FreshPerHour, err)
	}
}

// searchedBy is one fly's time at the depth, each second times its speed of meeting.
func searchedBy(a Answer, fly int, band Band, q Question) float64 {
	sum := 0.0
	f, c := a.Flies[fly], newCovered(q.current())
	for i := 1; i < len(f.Points); i++ {
		o, p := f.Points[i-1], f.Points[i]
		_, s := c.sweep(o.FromTip+q.along()*o.T, float64(o.Depth), p.FromTip+q.along()*p.T, float64(p.Depth), o.T, p.T-o.T, band)
		sum += s
	}
	return sum
}

// A depth out of reach is an answer, with what comes nearest.
func TestNotReached(t *testing.T) {
	s := searchFor(14, 16)
	s.Rigs = s.Rigs[:2]
	r, err := Reach(s)
	if err != nil || r.Status != NotReach || len(r.Options) != 0 || r.Nearest == nil {
		t.Fatalf("%v %s %v", err, r.Status, r.Nearest)
	}
	if gap := 14 - float64(r.Nearest.Deepest); math.Abs(gap-r.Missing) > 1e-9 || gap < 5 {
		t.Errorf("nearest goes to %v m, %v m missing", r.Nearest.Deepest, r.Missing)
	}
}

// With much drift and the slack left, depth in the hang does not always grow with
// the count; every count is looked at, so the search still finds its best.
func TestDriftEatsLine(t *testing.T) {
	s := searchFor(1, 2)
	s.Rigs, s.BoatSpeed, s.LeaveSlack = s.Rigs[:2], 0.5, true
	s.Counts = []float64{3, 6, 9, 12, 15, 18, 21, 24}
	r, err := Reach(s)
	if err != nil || len(r.Options) == 0 {
		t.Fatal(err, r.Status)
	}
	for _, o := range r.Options {
		if math.Abs(o.Slack-0.5*o.Count) > 1e-9 || o.TakenIn != 0 {
			t.Errorf("count %v: %v m folded, %v m taken in", o.Count, o.Slack, o.TakenIn)
		}
	}
	s.LeaveSlack = false
	r, err = Reach(s)
	if err != nil || len(r.Options) == 0 {
		t.Fatal(err, r.Status)
	}
	for _, o := range r.Options {
		if out := s.LineOut - o.TakenIn; out < s.question(o.Rig).stop()+leastPull-1e-9 || o.Slack != 0 {
			t.Errorf("count %v leaves %v m out, nothing to pull", o.Count, out)
		}
	}
}

// All ways of fishing stand in one search.
func TestReachAllWays(t *testing.T) {
	s := searchFor(1.5, 2.5)
	floating := tackle.Line{Class: 7, Profile: tackle.Floating}
	bung := outfit(3 * inch)
	bung.Way, bung.Line = tackle.Bung, floating
	bung.Flies = []tackle.Mounted{{Fly: tackle.Fly{Name: "buzzer", Kind: tackle.Buzzer}}, {Fly: tackle.Fly{Name: "bung", Kind: tackle.BungKind}, FromPoint: 2}}
	dry := outfit(3 * inch)
	dry.Way, dry.Line = tackle.Dries, floating
	dry.Flies = []tackle.Mounted{{Fly: tackle.Fly{Name: "dry", Kind: tackle.Dry}}}
	s.Rigs = []tackle.Rig{outfit(3 * inch), bung, dry}
	s.Retrieves = []Retrieve{{Kind: Steady, Speed: 0.4}, {Kind: Strips, Speed: 0.4, Strip: 0.3}, {Kind: Still, For: 30}}
	r, err := Reach(s)
	if err != nil {
		t.Fatal(err)
	}
	ways := map[int]bool{}
	for _, o := range r.ByRig {
		ways[o.Rig] = true
		if o.Rig == 1 && (o.Count != 0 || o.Top > 2.001) {
			t.Errorf("the bung: %+v", o)
		}
	}
	if !ways[0] || !ways[1] || ways[2] {
		t.Errorf("rigs that reach %v: want the line and the bung, not the dry", ways)
	}
	kinds := map[Kind]bool{}
	for _, o := range r.Options {
		kinds[o.Retrieve.Kind] = true
	}
	if !kinds[Steady] || !kinds[Strips] {
		t.Errorf("retrieves among the best: %v", kinds)
	}
}

func TestSearchValidate(t *testing.T) {
	bad := map[string]func(*Search){
		"rigs":                   func(s *Search) { s.Rigs = nil },
		"rigs[1].line.class":     func(s *Search) { s.Rigs[1].Line.Class = 40 },
		"band.top_m":             func(s *Search) { s.Band.Top = math.NaN() },
		"band.bottom_m":          func(s *Search) { s.Band.Bottom = 1 },
		"boat_speed_m_s":         func(s *Search) { s.BoatSpeed = 20 },
		"angle_deg":              func(s *Search) { s.Angle = 1 },
		"counts_s[0]":            func(s *Search) { s.Counts = []float64{0} },
		"counts_s[1]":            func(s *Search) { s.Counts = []float64{20, 700, 10} },
		"counts_s":               func(s *Search) { s.Counts = []float64{} },
		"retrieves[0].speed_m_s": func(s *Search) { s.Retrieves = []Retrieve{{Kind: Steady}} },
		"best":                   func(s *Search) { s.Best = -1 },
		"temperature_c":          func(s *Search) { s.Temperature = -20 },
	}
	for field, spoil := range bad {
		s := searchFor(2, 3)
		spoil(&s)
		var fault *Fault
		if _, err := Reach(s); !errors.As(err, &fault) || fault.Field != field {
			t.Errorf("%s: got %v", field, err)
		}
	}
	s := searchFor(2, 3)
	s.Angle = 1
	if _, err := Reach(s); err == nil || err.Error() != "angle_deg: 57.2958 is not allowed: from -30 up to 30 deg, where depths can be computed" {
		t.Errorf("got %v", err)
	}
}

func BenchmarkReachTable(b *testing.B)  { benchmarkReach(b, false) }
func BenchmarkReachDirect(b *testing.B) { benchmarkReach(b, true) }

func benchmarkReach(b *testing.B, direct bool) {
	b.ReportAllocs()
	s := searchFor(2, 3)
	s.Direct = direct
	tried := 0
	for b.Loop() {
		r, err := Reach(s)
		if err != nil {
			b.Fatal(err)
		}
		tried += r.Tried
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(tried), "ns/combination")
}

// BenchmarkRun is one question in full, with its spread.
func BenchmarkRun(b *testing.B) {
	b.ReportAllocs()
	q := question(3 * inch)
	for b.Loop() {
		if _, err := Run(q); err != nil {
			b.Fatal(err)
		}
	}
}
