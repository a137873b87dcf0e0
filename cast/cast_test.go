package cast

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"windlane/line"
	"windlane/quantity"
	"windlane/tackle"
)

const inch, foot = 0.0254, 0.3048

// outfit is a #7 sinking line of a rating with a nymph on the point and a wet on
// the dropper: an invented set-up.
func outfit(sink float64) tackle.Rig {
	return tackle.Rig{
		Name:   "test",
		Rod:    tackle.Rod{Length: 3.05, Class: 7},
		Line:   tackle.Line{Class: 7, Profile: tackle.Even, Sink: sink, RatedAt: 12},
		Leader: tackle.Leader{Material: tackle.Fluorocarbon, Diameter: 2.3e-4, Length: 4.2},
		Flies: []tackle.Mounted{
			{Fly: tackle.Fly{Name: "lead nymph", Kind: tackle.Nymph, Sink: 0.12}},
			{Fly: tackle.Fly{Name: "grey wet", Kind: tackle.Wet}, FromPoint: 1.9},
		},
		Way: tackle.Lures,
	}
}

func question(sink float64) Question {
	return Question{
		Rig: outfit(sink), LineOut: 19, TipHeight: 0.4, HangMark: 3,
		Hang:      []Stage{{Height: 1.5, Over: 1, Hold: 5}, {Height: 2.6, Over: 2, Hold: 4}},
		BoatSpeed: 0.12, Count: 18, Retrieve: Retrieve{Kind: Steady, Speed: 0.5}, Temperature: 12,
	}
}

func must(t *testing.T, q Question) Answer {
	t.Helper()
	a, err := Run(q)
	if err != nil || a.Status != Complete {
		t.Fatalf("%v %s", err, a.Status)
	}
	return a
}

func about(a Answer, what About) string {
	var words []string
	for _, r := range a.Remarks {
		if r.About == what {
			words = append(words, r.Text)
		}
	}
	return strings.Join(words, "; ")
}

// Depth is rating times seconds for the middle of the line (common practice, no
// source): it holds within 5 % in water of the rating's temperature. For the
// flies it does not, and the answer says why.
func TestRatingTimesSeconds(t *testing.T) {
	compared := 0
	for _, n := range []float64{1.5, 3, 5, 7} {
		for _, count := range []float64{10, 20, 40} {
			q := question(n * inch)
			q.LineOut, q.BoatSpeed, q.Count, q.NoSpread = 24, 0, count, true
			q.Rig.Flies[0].Fly = tackle.Fly{Name: "foam", Kind: tackle.Booby} // does not outrun the line
			a := must(t, q)
			if a.Rule == nil || math.Abs(float64(a.Rule.Depth)-n*inch*count) > 1e-9 {
				t.Fatalf("%v in/s: rule %+v", n, a.Rule)
			}
			ratio := float64(a.Rule.Middle) / float64(a.Rule.Depth)
			if math.Abs(ratio-1) > 0.05 {
				t.Errorf("%v in/s for %v s: the middle is at %.3f of n·t", n, count, ratio)
			}
			if float64(a.Rule.Point) > 0.9*float64(a.Rule.Depth) || !strings.Contains(strings.Join(a.Rule.Reasons, " "), "floats") {
				t.Errorf("%v in/s for %v s: a buoyant point at %v m of %v m, because %q", n, count, a.Rule.Point, a.Rule.Depth, a.Rule.Reasons)
			}
			compared++
		}
	}
	if compared != 12 {
		t.Fatal("nothing compared")
	}
	// in cold water the same line is slower, and that is the reason given
	q := question(3 * inch)
	q.Rig.Line.RatedAt, q.Temperature, q.BoatSpeed, q.Count = 25, 4, 0, 40
	a := must(t, q)
	if a.Rule.Middle >= a.Rule.Depth*0.97 || !strings.Contains(strings.Join(a.Rule.Reasons, " "), "4 °C") {
		t.Errorf("in cold water: %+v", a.Rule)
	}
}

// Flies left still after the count change nothing of what the count did.
func TestStillBeginsWhereTheCountEnds(t *testing.T) {
	q := question(3 * inch)
	q.NoSpread = true
	pulled := must(t, q)
	q.Retrieve = Retrieve{Kind: Still, For: 30}
	still := must(t, q)
	if off := still.Rule.Middle - pulled.Rule.Middle; math.Abs(float64(off)) > 0.01 || still.Rule.Depth != pulled.Rule.Depth || still.TakenIn != pulled.TakenIn {
		t.Errorf("after %v s: %+v, and %+v when left still", q.Count, pulled.Rule, still.Rule)
	}
	if math.Abs(float64(still.Flies[0].CountEnd-pulled.Flies[0].CountEnd)) > 0.01 {
		t.Errorf("the point is at %v m, %v m when left still", pulled.Flies[0].CountEnd, still.Flies[0].CountEnd)
	}
	var at []float64
	for _, d := range still.Drawings {
		at = append(at, d.T)
	}
	if want := []float64{18, 48, still.HangEnd}; !slices.Equal(at, want) {
		t.Errorf("drawn at %v s, want the ends of count, still time and hang, %v", at, want)
	}
}

// When the retrieve starts, a fly that lags behind its line goes down its track
// first; the answer says so when it does, and only then.
func TestDeeperFirstIsSaid(t *testing.T) {
	for _, c := range []struct {
		sink, fly float64
		deeper    bool
	}{{7, 0.05, true}, {3, 0.12, true}, {1.5, 0.4, false}} {
		q := question(c.sink * inch)
		q.NoSpread, q.Count, q.Retrieve.Speed = true, 40, 0.9
		q.Rig.Flies[0].Fly.Sink = c.fly
		a := must(t, q)
		f := a.Flies[0]
		went := quantity.Depth(0)
		for _, p := range f.Points {
			if p.Phase == line.Retrieve {
				went = max(went, p.Depth-f.CountEnd)
			}
		}
		if said := strings.Contains(strings.Join(a.Rule.Reasons, " "), "deeper first"); went > 0.1 != c.deeper || said != c.deeper {
			t.Errorf("%v in/s: at %v m, %v m deeper in the retrieve: %q", c.sink, f.CountEnd, went, a.Rule.Reasons)
		}
		q.Retrieve = Retrieve{Kind: Still, For: 20}
		if a := must(t, q); strings.Contains(strings.Join(a.Rule.Reasons, " "), "deeper first") {
			t.Errorf("%v in/s, left still: %q", c.sink, a.Rule.Reasons)
		}
	}
}

// A hang mark some 13 ft back from the line's end, two lures on 7 ft and 9 ft of
// leader (common practice, no source). The retrieve ends with exactly mark and
// leader out, and each stage of the rod lifts the dropper. Physics disagrees with
// the practice where it means to bring the dropper up: the flies go on sinking
// and swinging in while the rod rises, and with a 10 ft rod it stays well down.
func TestHangMarkAndLeader(t *testing.T) {
	q := question(3 * inch)
	q.LineOut, q.BoatSpeed, q.NoSpread = 22, 0, true
	q.HangMark = 13 * foot
	q.Rig.Leader.Length = 16 * foot
	lure := tackle.Fly{Name: "lure", Kind: tackle.Lure}
	q.Rig.Flies = []tackle.Mounted{{Fly: lure}, {Fly: lure, FromPoint: 9 * foot}}
	q.Hang = []Stage{{Height: 0.4, Over: 0.1, Hold: 20}, {Height: 1.5, Over: 1, Hold: 5}, {Height: 3, Over: 1, Hold: 5}}
	a := must(t, q)
	if want := q.Count + (22-29*foot)/0.5 + 0.15; math.Abs(a.RetrieveEnd-want) > 1e-6 {
		t.Errorf("the retrieve ends at %v s, want %v: with mark and leader out", a.RetrieveEnd, want)
	}
	at := func(a Answer, after float64) float64 {
		for _, p := range a.Flies[1].Points {
			if p.T >= a.RetrieveEnd+after {
				return float64(p.Depth)
			}
		}
		return math.NaN()
	}
	kept := q
	kept.Hang = []Stage{{Height: 0.4, Over: 0.1, Hold: 40}}
	b := must(t, kept)
	before, first, second := at(a, 19), at(b, 26)-at(a, 26), at(b, 31.5)-at(a, 31.5)
	if math.Abs(before-at(b, 19)) > 0.01 || first < 0.05 || second < first+0.3 {
		t.Errorf("the rod's stages lift the dropper from %v m by %v and %v m", before, first, second)
	}
	high := at(a, 31.5)
	outAbove := 29*foot - 9*foot // tip to dropper
	if high > outAbove-3+0.05 || high < 0.5 {
		t.Errorf("the dropper is %v m down under a tip at 3 m with %v m between", high, outAbove)
	}
	if about(a, AboutHang) == "" {
		t.Error("nothing said of a dropper that this rod cannot lift to the surface")
	}
	// a rod's tip goes up to its length and the hand's height, 3.65 m here
	for up, said := range map[float64]bool{3.5: false, 3.8: true} {
		q := q
		q.HangMark = up + q.Rig.Flies[1].FromPoint - q.Rig.Leader.Length
		if a := must(t, q); (about(a, AboutHang) != "") != said {
			t.Errorf("a dropper %v m below the tip ring of a rod of %v m: %q", up, q.Rig.Rod.Length, about(a, AboutHang))
		}
	}
	// one lure on 12 ft of leader
	q.Rig.Leader.Length = 12 * foot
	q.Rig.Flies = q.Rig.Flies[:1]
	if a := must(t, q); about(a, AboutHang) != "" || len(a.Flies) != 1 {
		t.Error("a single lure has no dropper to lift")
	}
}

// A retrieve no slower than the boat (common practice, no source): below it the
// point never follows, and the answer says so; above it contact comes, later
// the more line the drift has folded.
func TestRetrieveAgainstBoat(t *testing.T) {
	q := question(3 * inch)
	q.NoSpread, q.BoatSpeed, q.LeaveSlack = true, 0.3, true
	q.Retrieve.Speed = 0.28
	a := must(t, q)
	if a.Contact || !strings.Contains(about(a, AboutPace), "no faster than the boat") {
		t.Errorf("contact %v at less than the boat's pace: %q", a.Contact, about(a, AboutPace))
	}
	q.Retrieve.Speed = 0.6
	var delays []float64
	for _, count := range []float64{2, 8, 16} {
		q.Count = count
		a := must(t, q)
		if !a.Contact || math.Abs(a.Slack-0.3*count) > 1e-9 {
			t.Fatalf("count %v: contact %v, slack %v m", count, a.Contact, a.Slack)
		}
		delays = append(delays, a.ContactTime)
	}
	if !(delays[0] < delays[1] && delays[1] < delays[2]) || delays[2] < 3 {
		t.Errorf("contact after %v s for counts of 2, 8, 16 s", delays)
	}
	q.LeaveSlack = false
	a = must(t, q)
	if !a.Contact || a.ContactTime > 2 || a.Slack != 0 || math.Abs(a.TakenIn-0.3*16) > 1e-9 {
		t.Errorf("with the slack taken in: contact %v after %v s, %v m taken in", a.Contact, a.ContactTime, a.TakenIn)
	}
}

func TestPathsAndLayers(t *testing.T) {
	q := question(5 * inch)
	q.Moments = []float64{25, 3}
	a := must(t, q)
	spread := 0.0
	for _, f := range a.Flies {
		last := f.Points[len(f.Points)-1]
		if f.Points[0].T != 0 || math.Abs(last.T-a.HangEnd) > 1e-9 || math.Abs(a.Cycle-a.HangEnd-DefaultRecast) > 1e-9 {
			t.Errorf("%s: from %v to %v s, hang ends %v, cycle %v", f.Name, f.Points[0].T, last.T, a.HangEnd, a.Cycle)
		}
		seconds := 0.0
		for p, phase := range f.Seconds {
			for k, s := range phase {
				seconds += s
				if met := f.Searched[p][k]; met < s*Meeting(0)-1e-9 {
					t.Errorf("%s: %v s searched as %v m, less than standing still", f.Name, s, met)
				}
			}
		}
		if math.Abs(seconds-a.HangEnd) > 1e-6 {
			t.Errorf("%s: layers hold %v s of %v", f.Name, seconds, a.HangEnd)
		}
		for _, p := range f.Points {
			if p.Low > p.Depth+1e-12 || p.High < p.Depth-1e-12 || math.IsNaN(p.Speed) {
				t.Fatalf("%s at %v s: %v between %v and %v, %v m/s", f.Name, p.T, p.Depth, p.Low, p.High, p.Speed)
			}
			spread = max(spread, float64(p.High-p.Low))
			if p.Depth > f.Deepest {
				t.Fatalf("%s is %v m deep at %v s, deepest said %v", f.Name, p.Depth, p.T, f.Deepest)
			}
		}
		for _, e := range []struct {
			at   float64
			want quantity.Depth
		}{{a.CountEnd, f.CountEnd}, {a.RetrieveEnd, f.RetrieveEnd}, {a.HangEnd, f.HangEnd}} {
			k := slices.IndexFunc(f.Points, func(p Point) bool { return p.T >= e.at-1e-9 })
			if math.Abs(float64(f.Points[k].Depth-e.want)) > 0.15 {
				t.Errorf("%s at %v s: %v, path has %v", f.Name, e.at, e.want, f.Points[k].Depth)
			}
		}
	}
	if spread < 0.1 || spread > 2 {
		t.Errorf("the widest spread is %v m", spread)
	}
	if len(a.Drawings) != 5 {
		t.Fatalf("%d drawings, want two moments and three ends", len(a.Drawings))
	}
	for _, d := range a.Drawings {
		length := 0.0
		for i := 1; i < len(d.Depth); i++ {
			length += math.Hypot(d.FromTip[i]-d.FromTip[i-1], d.Depth[i]-d.Depth[i-1])
		}
		if length < 6.5 || length > q.LineOut+0.1 || d.FromTip[0] != 0 || d.Depth[0] > -0.3 {
			t.Errorf("drawn at %v s: %v m of line from %v, %v", d.T, length, d.FromTip[0], d.Depth[0])
		}
	}
}

func TestAngle(t *testing.T) {
	q := question(3 * inch)
	q.NoSpread = true
	q.Angle = 40 * math.Pi / 180
	a, err := Run(q)
	if err != nil || a.Status != TooWide || len(a.Flies) != 0 || about(a, AboutAngle) == "" {
		t.Errorf("at 40°: %v %s, %d paths", err, a.Status, len(a.Flies))
	}
	q.Angle = 25 * math.Pi / 180
	wide := must(t, q)
	q.BoatSpeed *= math.Cos(q.Angle)
	q.Angle = 0
	along := must(t, q)
	if wide.Flies[0].RetrieveEnd != along.Flies[0].RetrieveEnd || about(wide, AboutAngle) == "" || about(along, AboutAngle) != "" {
		t.Errorf("at 25°: %v m, at v·cos 25°: %v m", wide.Flies[0].RetrieveEnd, along.Flies[0].RetrieveEnd)
	}
}

// Each way of fishing has its own depth rule and clock.
func TestWays(t *testing.T) {
	base := question(3 * inch)
	base.NoSpread, base.BoatSpeed = true, 0.08
	nymph := tackle.Fly{Name: "nymph", Kind: tackle.Nymph}
	buzzer := tackle.Fly{Name: "buzzer", Kind: tackle.Buzzer}
	floating := tackle.Line{Class: 7, Profile: tackle.Floating}

	t.Run("washing line", func(t *testing.T) {
		q := base
		q.Way = tackle.WashingLine
		q.Rig.Line = floating
		q.Rig.Leader.Length = 5
		q.Rig.Flies = []tackle.Mounted{{Fly: tackle.Fly{Name: "booby", Kind: tackle.Booby}}, {Fly: buzzer, FromPoint: 1.5}, {Fly: nymph, FromPoint: 3}}
		q.Retrieve = Retrieve{Kind: FigureOfEight, Speed: 0.12}
		a := must(t, q)
		if p := a.Flies[0].CountEnd; math.Abs(float64(p)) > 0.05 {
			t.Errorf("the buoyant point is at %v m", p)
		}
		for _, f := range a.Flies[1:] {
			if f.Deepest < 0.1 || f.Deepest > 2 {
				t.Errorf("%s hangs at %v m at most, between a floating line and a floating point", f.Name, f.Deepest)
			}
		}
		if about(a, AboutBuoyancy) != "" || a.Rule != nil {
			t.Errorf("said %q, rule %v", about(a, AboutBuoyancy), a.Rule)
		}
		q.Rig.Line = outfit(3 * inch).Line // the same, sunk
		if sunk := must(t, q); sunk.Flies[2].RetrieveEnd < a.Flies[2].RetrieveEnd {
			t.Errorf("under a sinking line the nymph is at %v m, under a floating one %v m", sunk.Flies[2].RetrieveEnd, a.Flies[2].RetrieveEnd)
		}
		q.Rig.Flies[0].Fly = nymph
		if about(must(t, q), AboutBuoyancy) == "" {
			t.Error("a sinking point on a washing line goes unremarked")
		}
	})
	t.Run("nymphs", func(t *testing.T) {
		q := base
		q.Way = tackle.Nymphs
		q.Rig.Line = floating
		q.Rig.Flies = []tackle.Mounted{{Fly: buzzer}, {Fly: nymph, FromPoint: 1.9}}
		q.Count, q.Retrieve, q.Hang = 10, Retrieve{Kind: Still, For: 60}, nil
		a := must(t, q)
		if a.CountEnd != 10 || math.Abs(a.RetrieveEnd-70) > 1e-9 || a.HangEnd != a.RetrieveEnd {
			t.Errorf("ends %v, %v, %v", a.CountEnd, a.RetrieveEnd, a.HangEnd)
		}
		if d := a.Flies[0].RetrieveEnd; d < 2 || d > 4.2 || a.Flies[1].RetrieveEnd > d {
			t.Errorf("after 70 s on 4.2 m of leader the point is at %v m, the dropper at %v", d, a.Flies[1].RetrieveEnd)
		}
		still := 0.0
		for _, p := range a.Flies[0].Points {
			if p.Phase == line.Retrieve {
				still++
			}
		}
		if still < 200 {
			t.Errorf("%v points of the still time", still)
		}
	})
	t.Run("bung", func(t *testing.T) {
		q := base
		q.Way = tackle.Bung
		if _, err := Run(q); err == nil || !strings.HasPrefix(err.Error(), "rig.flies") {
			t.Errorf("without a bung: %v", err)
		}
		q.Rig.Line = floating
		q.Rig.Flies = []tackle.Mounted{{Fly: buzzer}, {Fly: nymph, FromPoint: 1.2}, {Fly: tackle.Fly{Name: "bung", Kind: tackle.BungKind}, FromPoint: 3.5}}
		q.Retrieve = Retrieve{Kind: Still, For: 90}
		a := must(t, q)
		if a.Flies[0].RetrieveEnd != 3.5 || math.Abs(float64(a.Flies[1].RetrieveEnd)-2.3) > 1e-9 || a.Flies[2].Deepest != 0 {
			t.Errorf("depths %v, %v, %v; want 3.5, 2.3, 0", a.Flies[0].RetrieveEnd, a.Flies[1].RetrieveEnd, a.Flies[2].Deepest)
		}
		settle := max(3.5/buzzer.SinkSpeed(), 2.3/nymph.SinkSpeed())
		if math.Abs(a.CountEnd-settle) > 1e-9 || math.Abs(a.Cycle-settle-90-DefaultRecast) > 1e-9 {
			t.Errorf("settles by %v s, want %v; cycle %v", a.CountEnd, settle, a.Cycle)
		}
		if about(a, AboutRule) == "" {
			t.Error("the rule's assumptions are not said")
		}
		q.Retrieve.For = 0
		if a := must(t, q); a.RetrieveEnd-a.CountEnd > longestWait+1e-6 {
			t.Errorf("left for %v s", a.RetrieveEnd-a.CountEnd)
		}
	})
	t.Run("dries", func(t *testing.T) {
		q := base
		q.Way = tackle.Dries
		q.Rig.Line = floating
		q.Rig.Flies = []tackle.Mounted{{Fly: tackle.Fly{Name: "sedge", Kind: tackle.Sedge}}, {Fly: tackle.Fly{Name: "dry", Kind: tackle.Dry}, FromPoint: 1.5}}
		a := must(t, q)
		if a.Flies[0].Deepest != 0 || a.Flies[1].Deepest != 0 || a.CountEnd != 0 || a.HangEnd > shortWait {
			t.Errorf("%+v", a.Flies[0])
		}
		q.Rig.Flies[0].Fly = nymph
		if about(must(t, q), AboutBuoyancy) == "" {
			t.Error("a nymph among dry flies goes unremarked")
		}
	})
	t.Run("short line", func(t *testing.T) {
		q := base
		q.Way = tackle.ShortLine
		q.LineOut, q.BoatSpeed, q.HangMark = 7, 0.3, 0
		q.Rig.Line = floating
		wet := tackle.Fly{Name: "wet", Kind: tackle.Wet}
		q.Rig.Flies = []tackle.Mounted{{Fly: wet}, {Fly: wet, FromPoint: 1.5}, {Fly: wet, FromPoint: 3}}
		depth := func(speed float64) float64 {
			q.Retrieve.Speed = speed
			a := must(t, q)
			if a.Flies[2].Deepest != 0 {
				t.Errorf("the top dropper is at %v m", a.Flies[2].Deepest)
			}
			return float64(a.Flies[0].Deepest)
		}
		q.Retrieve.For = 120
		if d := depth(0.3); math.Abs(d-3) > 1e-6 { // no faster than the boat: not drawn at all
			t.Errorf("undrawn, three metres of leader hang %v m down", d)
		}
		slow, fast := depth(0.4), depth(0.9)
		if !(slow > 2*fast && fast > 0.02 && slow < 2.9) {
			t.Errorf("the point trails at %v m when drawn slowly, %v m fast", slow, fast)
		}
	})
	// a boat too fast for the way is said (common practice, no source), for every way
	for _, way := range tackle.Ways {
		a := Answer{}
		q := base
		q.Way, q.BoatSpeed = way, 0.6
		a.pace(q)
		q.BoatSpeed = 0
		a.pace(q)
		if len(a.Remarks) != 1 || a.Remarks[0].About != AboutPace {
			t.Errorf("%s at 36 m/min: %v", way, a.Remarks)
		}
	}
}

// The water that the wind moves takes along what lies in it, and hardly what has
// sunk below it.
func TestCurrent(t *testing.T) {
	const count, flow = 20.0, 0.1
	moved := func(q Question) (x, speed, ground float64) {
		q.NoSpread, q.LeaveSlack, q.BoatSpeed, q.Count = true, true, 0.3, count
		still := must(t, q)
		q.Current, q.CurrentScale = flow, 0.2
		a := must(t, q)
		k := slices.IndexFunc(a.Flies[0].Points, func(p Point) bool { return p.T >= count })
		p, o := a.Flies[0].Points[k], a.Flies[0].Points[k-4]
		if strings.Contains(about(a, AboutCertainty), "still water") || !strings.Contains(about(still, AboutCertainty), "still water") {
			t.Errorf("in a current: %q", about(a, AboutCertainty))
		}
		return p.FromTip - still.Flies[0].Points[k].FromTip, p.Speed, (p.FromTip-o.FromTip)/(p.T-o.T) + q.BoatSpeed
	}
	shallow := question(3 * inch)
	shallow.Rig.Line = tackle.Line{Class: 7, Profile: tackle.Floating}
	shallow.Rig.Flies[0].Fly = tackle.Fly{Name: "foam", Kind: tackle.Booby}
	up, speed, ground := moved(shallow)
	down, _, _ := moved(question(7 * inch))
	t.Logf("%v s of %v m/s move a floating fly by %.2f m, a sunk one by %.2f m", count, flow, up, down)
	if up < 0.5*flow*count || up > flow*count {
		t.Errorf("a floating fly goes %v m with water that goes %v m", up, flow*count)
	}
	if down > 0.3*up || down < 0 {
		t.Errorf("a sunk fly goes %v m, a floating one %v m", down, up)
	}
	if math.Abs(speed-math.Abs(ground-flow)) > 0.01 {
		t.Errorf("%v m/s through the water, at %v m/s over the ground", speed, ground)
	}
	// across the drift only the part along the cast counts
	q := shallow
	q.Current, q.CurrentScale, q.Angle = flow, 1, 0.5
	if got := q.setup(line.Mesh{}).Water.Drift; math.Abs(got-flow*math.Cos(0.5)) > 1e-12 {
		t.Errorf("the line feels %v m/s", got)
	}
	// cells of water go with it: a fly that lies in it searches no more than half a metre
	c := newCovered(current{flow, 1})
	v := c.water.at(2)
	if c.sweep(5.2, 2, 5.2+600*v, 2, 0, 600, Band{1, 3}); c.fresh() > coveredCell {
		t.Error("a fly that drifts with the water searches new water")
	}
}

func TestBedIsSaid(t *testing.T) {
	q := question(7 * inch)
	q.NoSpread, q.Bed, q.Count = true, 2, 40
	a := must(t, q)
	if !slices.ContainsFunc(a.Flies, func(f FlyPath) bool { return f.OnBed }) || about(a, AboutBed) == "" {
		t.Error("a fast line over a bed at 2 m never touches it")
	}
	for _, f := range a.Flies {
		if f.Deepest > 2.02 {
			t.Errorf("%s goes to %v m", f.Name, f.Deepest)
		}
	}
}

// Graded lines and sink tips go through the same mechanics.
func TestProfiles(t *testing.T) {
	depths := map[tackle.Profile]quantity.Depth{}
	for _, p := range tackle.Profiles {
		q := question(3 * inch)
		q.NoSpread = true
		q.Rig.Line.Profile = p
		switch p {
		case tackle.SinkTip:
			q.Rig.Line.SinkTip = 3
		case tackle.Floating, tackle.BarelySinking:
			q.Rig.Line.Sink = 0
		}
		a := must(t, q)
		depths[p] = a.Flies[0].RetrieveEnd
		t.Logf("%s: point at %.2f m at the end of the retrieve, %d steps", p, depths[p], a.Steps)
	}
	if !(depths[tackle.Even] > depths[tackle.SinkTip] && depths[tackle.SinkTip] > depths[tackle.Floating]) {
		t.Errorf("depths by profile: %v", depths)
	}
}

func TestMeeting(t *testing.T) {
	const u = fishSpeed
	// Gerritsen and Strickler 1977: equal speeds meet at 4/3, a fast one at its own.
	for v, want := range map[float64]float64{0: u, u: 4 * u / 3, 30: 30, u / 2: u * (1 + 1.0/12)} {
		if got := Meeting(v); math.Abs(got/want-1) > 1e-3 {
			t.Errorf("Meeting(%v) = %v, want %v", v, got, want)
		}
	}
	for v := 0.0; v < 2; v += 0.01 {
		if Meeting(v+0.01) < Meeting(v) {
			t.Errorf("Meeting falls at %v", v)
		}
	}
}

// inBand is what a cast searches within a band, from its points alone: fresh
// water [m], and the time its flies spend there, added up [s].
func inBand(a Answer, band Band, q Question) (fresh, seconds float64) {
	c := newCovered(q.current())
	for _, f := range a.Flies {
		for i := 1; i < len(f.Points); i++ {
			p, o := f.Points[i-1], f.Points[i]
			s, _ := c.sweep(p.FromTip+q.along()*p.T, float64(p.Depth), o.FromTip+q.along()*o.T, float64(o.Depth), p.T, o.T-p.T, band)
			seconds += s
		}
	}
	return c.fresh(), seconds
}

// A motionless fly soon has searched its water; a second fly on the same track
// adds to the first, but does not double it (common practice: ten or fifteen per cent).
func TestFreshWater(t *testing.T) {
	band := Band{1, 3}
	c := newCovered(current{})
	c.sweep(5, 2, 5, 2, 0, 600, band)
	if got := c.fresh(); got > coveredCell || got < 0.9*coveredCell {
		t.Errorf("ten minutes in one place search %v m", got)
	}
	pass := func(flies int) float64 {
		for range flies {
			c.sweep(0, 2, 12, 2, 0, 24, band)
		}
		return c.fresh()
	}
	one, two := pass(1), pass(2)
	if one < 5 || one > 12 || two <= one*1.05 || two >= one*1.9 {
		t.Errorf("one fly over 12 m searches %v m, two on its track %v m", one, two)
	}
	if s, _ := c.sweep(0, 0, 0, 4, 0, 8, band); math.Abs(s-4) > 0.3 {
		t.Errorf("sinking through a band of 2 m at ½ m/s takes %v s", s)
	}
	c.fresh()
	q := question(5 * inch)
	q.NoSpread = true
	both := must(t, q)
	q.Rig.Flies = q.Rig.Flies[:1]
	single := must(t, q)
	f2, s2 := inBand(both, Band{1, 4}, q)
	f1, s1 := inBand(single, Band{1, 4}, q)
	t.Logf("a second fly adds %.0f %% of water, %.0f %% of time", (f2/f1-1)*100, (s2/s1-1)*100)
	if f2 <= f1 || f2 >= 2*f1 {
		t.Errorf("two flies search %v m, one %v m", f2, f1)
	}
}

func TestValidateNamesTheField(t *testing.T) {
	if err := question(3 * inch).Validate(); err != nil {
		t.Fatal(err)
	}
	bad := map[string]func(*Question){
		"way":                       func(q *Question) { q.Way = "trolling" },
		"rig.line.class":            func(q *Question) { q.Rig.Line.Class = 0 },
		"rig.line.profile":          func(q *Question) { q.Rig.Line.Profile = "" },
		"rig.line.sink_m_s":         func(q *Question) { q.Rig.Line.Sink = 0 },
		"rig.leader.material":       func(q *Question) { q.Rig.Leader.Material = "gut" },
		"rig.leader.length_m":       func(q *Question) { q.Rig.Leader.Length = math.NaN() },
		"rig.leader.diameter_m":     func(q *Question) { q.Rig.Leader.Diameter = 0 },
		"rig.flies":                 func(q *Question) { q.Rig.Flies = nil },
		"rig.flies[0].from_point_m": func(q *Question) { q.Rig.Flies[0].FromPoint = 1 },
		"rig.flies[1].from_point_m": func(q *Question) { q.Rig.Flies[1].FromPoint = 4.2 },
		"rig.flies[1].kind":         func(q *Question) { q.Rig.Flies[1].Fly.Kind = "worm" },
		"rig.flies[1].sink_m_s":     func(q *Question) { q.Rig.Flies[1].Fly.Sink = math.Inf(1) },
		"line_out_m":                func(q *Question) { q.LineOut = 5 },
		"tip_height_m":              func(q *Question) { q.TipHeight = -1 },
		"hang[1].height_m":          func(q *Question) { q.Hang[1].Height = 90 },
		"hang_mark_m":               func(q *Question) { q.HangMark = -1 },
		"angle_deg":                 func(q *Question) { q.Angle = 3 },
		"boat_speed_m_s":            func(q *Question) { q.BoatSpeed = math.NaN() },
		"count_s":                   func(q *Question) { q.Count = -2 },
		"current_m_s":               func(q *Question) { q.Current = math.NaN() },
		"current_scale_m":           func(q *Question) { q.Current = 0.1 },
		"retrieve.kind":             func(q *Question) { q.Retrieve.Kind = "jig" },
		"retrieve.speed_m_s":        func(q *Question) { q.Retrieve.Speed = 0 },
		"retrieve.strip_m":          func(q *Question) { q.Retrieve.Kind = Strips },
		"temperature_c":             func(q *Question) { q.Temperature = 99 },
		"bed_m":                     func(q *Question) { q.Bed = -1 },
		"moments_s[1]":              func(q *Question) { q.Moments = []float64{5, -1} },
	}
	for field, spoil := range bad {
		q := question(3 * inch)
		spoil(&q)
		var fault *Fault
		if _, err := Run(q); !errors.As(err, &fault) || fault.Field != field || fault.Message == "" {
			t.Errorf("%s: got %v", field, err)
		}
	}
}
