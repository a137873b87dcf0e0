package presence

import (
	"math"
	"testing"

	"windlane/quantity"
)

// Whether fish are on is forgotten, a stretch's class is not: after a long time
// away each class is on for its share; the chance of a class never changes. By
// hand: class .4 of 20 min spells turns at 1/12 a minute, so that after 12 minutes
// 1/e of the difference is left.
func TestLater(t *testing.T) {
	d := NewDrifts(DriftsModel(8), DefaultSpells())
	q := Stretch{0, 0, 0, 0, 1, 0, 0, 0}
	if got, want := d.Later(q, 12)[4], 0.4+0.6/math.E; math.Abs(got-want) > 1e-12 {
		t.Errorf("on after 12 minutes: %v, want %v", got, want)
	}
	fresh := d.New()
	for i, x := range d.Later(fresh, 37) {
		if math.Abs(x-fresh[i]) > 1e-12 {
			t.Errorf("new water changes with time: %v, was %v", x, fresh[i])
		}
	}
	// Pass and Later are one thing to a stretch
	c := sweep(1.5, 3)
	c.events = []Event{{}}
	d.Update(c.exposure, c.events)
	later := d.Later(d.Here(), 25)
	d.Pass(25)
	for i, x := range d.Here() {
		if math.Abs(x-later[i]) > 1e-12 {
			t.Errorf("passing gives %v, being away %v", x, later[i])
		}
	}
}

// The index by hand for a stretch known to be of one class: .68 of the time on
// brings .25 + 2.75·.68 = 2.12 a minute in the long run; over 180 minutes, less u* = 1, it is
// 1.12·180, and 2.75·.32·(1−e^(−180 r))/r more when it is known to be on, r = 1/6.4.
func TestIndex(t *testing.T) {
	d := NewDrifts(DriftsModel(8), DefaultSpells())
	r := 1 / (20 * 0.32)
	on, any := Stretch{0, 0, 0, 0, 0, 0, 1, 0}, Stretch{0, 0, 0, 0, 0, 0, 0.68, 0.32}
	if got, want := d.gain(any, 400, 1), 1.12*180; math.Abs(got-want) > 1e-9 {
		t.Errorf("any time: %v, want %v", got, want)
	}
	if got, want := d.gain(on, 400, 1), 1.12*180+2.75*0.32*(1-math.Exp(-180*r))/r; math.Abs(got-want) > 1e-9 {
		t.Errorf("on: %v, want %v", got, want)
	}
	if got := d.gain(on, 5, 1); !math.IsInf(got, -1) {
		t.Errorf("no time for a stay: %v", got)
	}
}

func TestJudge(t *testing.T) {
	c := sweep(1.5, 3.5)
	rule := DefaultMoveRule(1)
	quietDay := func() *Drifts {
		d := NewDrifts(DriftsModel(8), DefaultSpells())
		for range 24 { // an hour of nothing
			d.Pass(2.5)
			d.Update(c.exposure, nil)
		}
		return d
	}
	d := quietDay()
	if m := d.Judge(rule, c.exposure, nil, 60, 200); !m.Leave || m.To != -1 {
		t.Errorf("after an hour of nothing: %+v", m)
	}
	if m := d.Judge(rule, c.exposure, nil, 60, 29); m.Leave {
		t.Errorf("with half an hour left: %+v", m)
	}
	if m := d.Judge(rule, c.exposure, nil, 21, 200); m.Leave || m.Stay != 0 {
		t.Errorf("within the guard: %+v", m)
	}
	// the ride is paid for: by hand as in TestIndex, less its 12 minutes
	any := Stretch{0, 0, 0, 0, 0, 0, 0.68, 0.32}
	if m := d.Judge(rule, c.exposure, []Stretch{any}, 60, 250); math.Abs(m.Go-(1.12*180-12)) > 1e-9 || m.To != 0 {
		t.Errorf("water known to be good: %+v", m)
	}
	good := d.Marked(0.68, 0.27)
	if m := d.Judge(rule, c.exposure, []Stretch{d.Here(), good}, 60, 200); !m.Leave || m.To != 1 {
		t.Errorf("with a good place marked: %+v", m)
	}
	// an answer holds the boat, and water that gave some is gone back to
	d = NewDrifts(DriftsModel(8), DefaultSpells())
	for i := range 8 {
		d.Pass(2.5)
		var e []Event
		if i%2 == 0 {
			e = []Event{{HasDepth: true, Depth: quantity.Depth(2.5), SD: 0.9}}
		}
		d.Update(c.exposure, e)
	}
	if m := d.Judge(rule, c.exposure, nil, 3, 200); m.Leave {
		t.Errorf("three minutes after a fish: %+v", m)
	}
	was := d.Here()
	depth := d.Expect(c.exposure) / d.Expect(sweep(5.5, 7.5).exposure)
	d.Pass(rule.Ride)
	d.Arrive(d.New())
	if x := d.Here(); math.Abs(x[0]-d.New()[0]) > 1e-12 {
		t.Errorf("on new water it is believed that %v", x)
	}
	if after := d.Expect(c.exposure) / d.Expect(sweep(5.5, 7.5).exposure); math.Abs(after/depth-1) > 0.2 {
		t.Errorf("the depth is forgotten by a ride: %v, was %v", after, depth)
	}
	for range 16 {
		d.Pass(2.5)
		d.Update(c.exposure, nil)
	}
	m := d.Judge(rule, c.exposure, []Stretch{d.Later(was, 40+2*rule.Ride)}, 40, 200)
	if !m.Leave || m.To != 0 {
		t.Errorf("water that gave four fish is not gone back to: %+v", m)
	}
}

// A stretch is worth what the rig brings there: levels are counted by it. With a
// rig that searches all depths alike a fish is met with anywhere, and the mean multiplier is
// E[αu]/E[α].
func TestWorthHere(t *testing.T) {
	d := NewDrifts(DriftsModel(8), DefaultSpells())
	all := make([]float64, 32)
	for i := range all {
		all[i] = 5
	}
	for i := range 10 {
		d.Pass(2.5)
		d.Update(all, make([]Event, i%2))
	}
	level, multiplier := 0.0, 0.0
	for i, x := range d.l.p {
		level += x * d.level[i%d.l.states/8]
	}
	for z, x := range d.worthHere(all) {
		multiplier += x * []float64{3, 0.25}[z%2]
	}
	if got := d.Expect(all) / (level * 5 / Layer); math.Abs(got-multiplier) > 1e-9 {
		t.Errorf("multiplier %v, want %v", multiplier, got)
	}
	plain := 0.0
	for z, x := range d.Here() {
		plain += x * []float64{3, 0.25}[z%2]
	}
	if math.Abs(plain-multiplier) < 1e-3 {
		t.Errorf("the level does not count: %v and %v", plain, multiplier)
	}
}

// Known water with the same class and spells as the Filter's one multiplier of 1
// is the Filter: the same casts, the same evidence.
func TestDriftsAsFilter(t *testing.T) {
	m := DriftsModel(8)
	m.Local, m.LocalWeights, m.Renewal, m.TwoLayers = []float64{1}, []float64{1}, 0, false
	f, d := New(m), NewDrifts(m, Spells{Share: []float64{0.5}, Chances: []float64{1}, On: 1, Off: 1, Length: 20})
	day := recordedDays(t, "R7_depth_moves.json")
	sum := 0.0
	for i, c := range day.casts() {
		f.Pass(c.minutes)
		d.Pass(c.minutes)
		a, _ := f.Update(c.exposure, c.events)
		b, _ := d.Update(c.exposure, c.events)
		if sum += b; math.Abs(a-b) > 1e-10 {
			t.Fatalf("cast %d: %v as a drift, %v as a filter", i, b, a)
		}
	}
	if sum > -20 {
		t.Errorf("evidence %v: the day was not fished", sum)
	}
}

func TestOffers(t *testing.T) {
	x := []float64{1, 2}
	for _, c := range []struct {
		offer Offer
		place Place
		known bool
		sd    float64
		part  bool
	}{
		{Landed, Pressed, true, 0.45, true}, {Tap, Hang, true, 0.9, true}, {Missed, Somewhere, false, 0, false}, {Follow, Late, false, 0, false},
	} {
		e := EventOf(c.offer, c.place, 2, x)
		if e.HasDepth != c.known || e.SD != c.sd || (e.Exposure != nil) != c.part {
			t.Errorf("%+v: %+v", c, e)
		}
	}
	// all seen at the surface; in the deep, all but the follows
	if a, b := Sight(0, 3), Sight(50, 3); a != 1 || math.Abs(b-0.62) > 1e-9 || !(Sight(2, 6) > Sight(2, 2)) {
		t.Errorf("seen: %v at the surface, %v deep", a, b)
	}
	f := NewFactor()
	f.Learn(10/0.85, 3) // (4 + 3)/(4 + 10)
	if math.Abs(f.Mean()-0.5) > 1e-12 || math.Abs(f.SD()-math.Sqrt(7)/14) > 1e-12 {
		t.Errorf("factor %v ± %v", f.Mean(), f.SD())
	}
}

// What the companion starts from and goes back to: pairs weighed by their shares
// of the prior (one that grows with depth, by hand), an even chance a little
// nearer its prior after each hour; and multipliers of mean 1.
func TestTwoLayersPrior(t *testing.T) {
	m := DefaultModel(8)
	m.Prior = make([]float64, 32)
	for i := range m.Prior {
		m.Prior[i] = (float64(i) + 0.5) * Layer
	}
	m.Local, m.LocalWeights = []float64{1, 4}, []float64{3, 1}
	f := New(m)
	a, b := f.two.pairs[0], f.two.pairs[181]
	want := (a.share*a.upper + (1-a.share)*a.lower) / (b.share*b.upper + (1-b.share)*b.lower)
	if got := f.two.prior[0] / f.two.prior[181]; math.Abs(got-want) > 1e-9 {
		t.Errorf("the first and the last pair: %v, want %v", got, want)
	}
	if math.Abs(f.Here()-1) > 1e-12 {
		t.Errorf("new water is %v of the rest", f.Here())
	}
	m = recordedDays(t, "R6_two_layers.json").model()
	f = New(m).fish(t, recordedDays(t, "R6_two_layers.json").casts())
	f.model.Leak = 0.12
	was := f.TwoLayers()
	f.Pass(90)
	if want := 0.3 + (was-0.3)*math.Exp(-0.12*1.5); math.Abs(f.TwoLayers()-want) > 1e-12 {
		t.Errorf("two layers after an hour and a half: %v, want %v", f.TwoLayers(), want)
	}
}

// The words never name the empty gap: R6's fish are at 1.5 and 5 m.
func TestLie(t *testing.T) {
	d := recordedDays(t, "R6_two_layers.json")
	f := New(d.model()).fish(t, d.casts())
	l := f.Lie()
	t.Logf("R6: two layers %.2f, %+v", f.TwoLayers(), l)
	if len(l.Bands) != 2 || !(l.Bands[0].Top < 1.5 && l.Bands[0].Bottom > 1.5 && l.Bands[1].Top < 5.2 && l.Bands[1].Bottom > 5) {
		t.Errorf("R6: %+v", l)
	}
	for _, b := range l.Bands {
		if b.Top <= 3 && b.Bottom >= 3.25 {
			t.Errorf("R6: the gap is named: %+v", b)
		}
	}
	if l.HardlyTried {
		t.Error("R6: both depths gave fish, and count as hardly tried")
	}
	// one layer well known: one band about it
	d = recordedDays(t, "R2_static_depth.json")
	l = New(d.model()).fish(t, d.casts()).Lie()
	if len(l.Bands) != 1 || !(l.Bands[0].Top < 3.54 && l.Bands[0].Bottom > 3.54 && l.Bands[0].Bottom-l.Bands[0].Top < 2) || l.HardlyTried {
		t.Errorf("R2: %+v", l)
	}
	// blanks high up leave the rest, which is not known to hold any
	f = New(DefaultModel(8))
	high := sweep(0, 3)
	for range 60 {
		f.Pass(1)
		f.Update(high.exposure, nil)
	}
	l = f.Lie()
	if b := l.Bands[0]; b.Top < 2.5 || !l.HardlyTried {
		t.Errorf("blanks above 3 m: %+v, hardly tried %v", l.Bands, l.HardlyTried)
	}
	if e := f.Expected(1.5); e < 2 {
		t.Errorf("an hour at 1.5 m would have brought %v", e)
	}
	// no words before a cast but what the prior says
	if l := New(DefaultModel(1.5)).Lie(); len(l.Bands) != 1 {
		t.Errorf("shallow water: %+v", l)
	}
}
