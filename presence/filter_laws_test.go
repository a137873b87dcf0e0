package presence

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"windlane/quantity"
)

// drawCast is a cast that sweeps a run of layers, and what answered.
func drawCast(t *rapid.T, layers, events int) cast {
	x := make([]float64, layers)
	top := rapid.IntRange(0, layers-1).Draw(t, "top")
	for i := top; i < min(layers, top+rapid.IntRange(1, layers).Draw(t, "through")); i++ {
		x[i] = rapid.Float64Range(0.5, 40).Draw(t, "seconds")
	}
	c := cast{minutes: rapid.Float64Range(0, 40).Draw(t, "minutes"), exposure: x, move: rapid.IntRange(0, 9).Draw(t, "move") == 0}
	for range rapid.IntRange(0, events).Draw(t, "events") {
		e := Event{}
		if rapid.Bool().Draw(t, "known") {
			e.HasDepth = true
			e.Depth = quantity.Depth((float64(top) + 0.5) * Layer)
			e.SD = rapid.Float64Range(0.3, 1).Draw(t, "sd")
		}
		c.events = append(c.events, e)
	}
	return c
}

func drawDay(t *rapid.T, layers, events int) (day []cast) {
	for range rapid.IntRange(1, 12).Draw(t, "casts") {
		day = append(day, drawCast(t, layers, events))
	}
	return day
}

// apartBy is the greatest difference between two beliefs.
func apartBy(a, b *Filter) float64 {
	worst := math.Abs(a.TwoLayers() - b.TwoLayers())
	for i, x := range a.one.p {
		worst = math.Max(worst, math.Abs(x-b.one.p[i]))
	}
	if a.two != nil {
		for i, x := range a.two.l.p {
			worst = math.Max(worst, math.Abs(x-b.two.l.p[i]))
		}
	}
	return worst
}

const bed = 5.0 // shallower than the references: 20 layers

func TestFilterLaws(t *testing.T) {
	layers := Layers(bed)
	intensity := func(f *Filter) []float64 {
		h := make([]float64, layers)
		f.Intensity(h)
		return h
	}
	drifts := func(day []cast) *Drifts {
		d := NewDrifts(DriftsModel(bed), DefaultSpells())
		for _, c := range day {
			d.Pass(c.minutes)
			d.Update(c.exposure, c.events)
		}
		return d
	}
	rapid.Check(t, func(rt *rapid.T) {
		day := drawDay(rt, layers, 2)
		f := New(DefaultModel(bed)).fish(t, day)

		// chances sum to one, and none is below nothing
		for _, l := range []*lattice{f.one, f.two.l, drifts(day).l} {
			sum, least := 0.0, 0.0
			for _, x := range l.p {
				sum, least = sum+x, math.Min(least, x)
			}
			if math.Abs(sum-1) > 1e-12 || least < 0 || sum != sum {
				rt.Fatalf("chances sum to %v, the least is %v", sum, least)
			}
		}

		// the same bits on two runs, and from a copy
		again, copied := New(DefaultModel(bed)).fish(t, day), f.Clone()
		if !slices.Equal(again.one.p, f.one.p) || !slices.Equal(again.two.l.p, f.two.l.p) || again.TwoLayers() != f.TwoLayers() || apartBy(copied, f) != 0 {
			rt.Fatal("two runs differ")
		}

		// nothing fished, nothing learned
		if log, ok := f.Update(make([]float64, layers), nil); log != 0 || !ok || apartBy(f, again) != 0 {
			rt.Fatal("a cast of no exposure changes the belief")
		}
		f.Pass(0)
		if apartBy(f, again) != 0 {
			rt.Fatal("no time changes the belief")
		}

		// casts at one time, in either order, or as one spell
		a, b := drawCast(rt, layers, 1), drawCast(rt, layers, 1)
		a.minutes, b.minutes, a.move, b.move = 0, 0, false, false
		ab, ba := f.Clone().fish(t, []cast{a, b}), f.Clone().fish(t, []cast{b, a})
		if d := apartBy(ab, ba); d > 1e-12 || math.Abs(ab.LogEvidence()-ba.LogEvidence()) > 1e-10 {
			rt.Fatalf("the order of two casts matters: %v", d)
		}
		spell := cast{exposure: make([]float64, layers)}
		for _, c := range []cast{a, b} {
			for i, x := range c.exposure {
				spell.exposure[i] += x
			}
			for _, e := range c.events {
				e.Exposure = c.exposure
				spell.events = append(spell.events, e)
			}
		}
		if d := apartBy(ab, f.Clone().fish(t, []cast{spell})); d > 1e-12 {
			rt.Fatalf("two casts are not one spell: %v", d)
		}

		// an exposure in two parts
		part := rapid.Float64Range(0, 1).Draw(rt, "part")
		first, second := cast{exposure: make([]float64, layers)}, cast{exposure: make([]float64, layers)}
		for i, x := range a.exposure {
			first.exposure[i], second.exposure[i] = part*x, x-part*x
		}
		if d := apartBy(f.Clone().fish(t, []cast{{exposure: a.exposure}}), f.Clone().fish(t, []cast{first, second})); d > 1e-12 {
			rt.Fatalf("an exposure in two parts is another: %v", d)
		}

		// a blank in a layer never raises it
		at := rapid.IntRange(0, layers-1).Draw(rt, "layer")
		blank := make([]float64, layers)
		blank[at] = rapid.Float64Range(0.1, 500).Draw(rt, "blank")
		before := intensity(f)[at]
		if after := intensity(f.Clone().fish(t, []cast{{exposure: blank}}))[at]; after > before*(1+1e-12) {
			rt.Fatalf("a blank cast raised its layer from %v to %v", before, after)
		}
		x := drifts(day)
		before = x.Expect(blank)
		if x.Update(blank, nil); x.Expect(blank) > before*(1+1e-12) {
			rt.Fatal("a blank cast raised its layer on a drift")
		}
	})
}

// Data upside down give a belief upside down: with no prior, one layer exactly.
// Pairs are weighed share by share in both orders, so two layers too.
func TestMirrored(t *testing.T) {
	layers := Layers(bed)
	rapid.Check(t, func(rt *rapid.T) {
		day := drawDay(rt, layers, 2)
		var over []cast
		for _, c := range day {
			m := cast{minutes: c.minutes, move: c.move, exposure: slices.Clone(c.exposure)}
			slices.Reverse(m.exposure)
			for _, e := range c.events {
				if e.HasDepth {
					e.Depth = bed - e.Depth
				}
				m.events = append(m.events, e)
			}
			over = append(over, m)
		}
		a, b := New(DefaultModel(bed)).fish(t, day), New(DefaultModel(bed)).fish(t, over)
		ha, hb := make([]float64, layers), make([]float64, layers)
		a.Intensity(ha)
		b.Intensity(hb)
		pa, pb := a.Centre(), b.Centre()
		for i := range ha {
			j := layers - 1 - i
			if math.Abs(pa[i]-pb[j]) > 1e-11 || math.Abs(ha[i]-hb[j]) > 1e-11 {
				rt.Fatalf("layer %d: %v and %v, intensity %v and %v", i, pa[i], pb[j], ha[i], hb[j])
			}
		}
		if math.Abs(a.TwoLayers()-b.TwoLayers()) > 1e-11 {
			rt.Fatalf("two layers %v and %v", a.TwoLayers(), b.TwoLayers())
		}
	})
}

// What could not have been is said, and changes nothing; with whatever numbers.
func TestWhatCouldNotBe(t *testing.T) {
	m := DefaultModel(bed)
	f, d := New(m), NewDrifts(DriftsModel(bed), DefaultSpells())
	was := f.Clone()
	nowhere := make([]float64, Layers(bed))
	log, ok := f.Update(nowhere, make([]Event, 1))
	if ok || !math.IsInf(log, -1) || apartBy(f, was) != 0 || f.LogEvidence() != 0 {
		t.Errorf("an offer without a fly in the water: %v, %v", log, ok)
	}
	if _, ok := d.Update(nowhere, make([]Event, 1)); ok {
		t.Error("an offer without a fly in the water, on a drift")
	}
	// a huge blank, and a great many offers: no chance is lost to an exponential
	for i := range nowhere {
		nowhere[i] = 1e7
	}
	if _, ok := f.Update(nowhere, nil); !ok || f.Expect(nowhere) != f.Expect(nowhere) {
		t.Error("a huge blank is lost")
	}
	f = New(m)
	for i := range nowhere {
		nowhere[i] = 100
	}
	if log, ok := f.Update(nowhere, make([]Event, 1000)); !ok || math.IsNaN(log) || math.IsInf(log, 0) {
		t.Errorf("a thousand offers: %v, %v", log, ok)
	}
	for name, bad := range map[string]func(){
		"too few layers":     func() { f.Update(nowhere[1:], nil) },
		"no spread":          func() { f.Update(nowhere, []Event{{HasDepth: true}}) },
		"time backwards":     func() { f.Pass(-1) },
		"half a layer":       func() { m := m; m.Bottom = 5.1; New(m) },
		"a spread too few":   func() { m := m; m.Sigmas = m.Sigmas[1:]; New(m) },
		"a prior of nothing": func() { f.SetPrior(make([]float64, Layers(bed))) },
		"always on":          func() { NewDrifts(m, Spells{Share: []float64{1}, Chances: []float64{1}, On: 3, Off: 1, Length: 20}) },
	} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%s is taken", name)
				}
			}()
			bad()
		}()
	}
}

func TestDecay(t *testing.T) {
	worst := 0.0
	for i := range 100000 {
		x := float64(i) * 0.00701
		worst = math.Max(worst, math.Abs(decay(x)/math.Exp(-x)-1))
	}
	if worst > 3e-14 || decay(0) != 1 || decay(-1e-13) < 1 || decay(1e6) != 0 || decay(math.Inf(1)) != 0 {
		t.Errorf("off by %v; at 0 %v, beyond %v", worst, decay(0), decay(1e6))
	}
}

func TestFilterAllocatesNothing(t *testing.T) {
	c := sweep(1.5, 3)
	c.events = []Event{{HasDepth: true, Depth: 2, SD: 0.45}, {}}
	f, d := New(DefaultModel(8)), NewDrifts(DriftsModel(8), DefaultSpells())
	h := make([]float64, 32)
	if n := testing.AllocsPerRun(20, func() {
		f.Pass(2.5)
		f.Move()
		f.Update(c.exposure, c.events)
		f.Intensity(h)
		f.Expect(c.exposure)
		d.Pass(2.5)
		d.Update(c.exposure, c.events)
		d.Expect(c.exposure)
	}); n != 0 {
		t.Errorf("%v allocations a cast", n)
	}
}

// sweep is a cast of some 50 s through a band of 8 m of water.
func sweep(top, bottom float64) cast {
	c := cast{minutes: 2.5, exposure: make([]float64, 32)}
	for i := range c.exposure {
		if z := (float64(i) + 0.5) * Layer; z > top && z < bottom {
			c.exposure[i] = 50 * Layer / (bottom - top)
		}
	}
	return c
}

// BenchmarkCast is two and a half minutes and an empty cast.
func BenchmarkCast(b *testing.B) {
	c := sweep(1.5, 3)
	one := DefaultModel(8)
	one.TwoLayers = false
	for name, m := range map[string]Model{"one layer": one, "with its companion": DefaultModel(8)} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			f := New(m)
			for b.Loop() {
				f.Pass(c.minutes)
				f.Update(c.exposure, nil)
			}
		})
	}
	b.Run("drifts", func(b *testing.B) {
		b.ReportAllocs()
		d := NewDrifts(DriftsModel(8), DefaultSpells())
		for b.Loop() {
			d.Pass(c.minutes)
			d.Update(c.exposure, nil)
		}
	})
	b.Run("judging a move", func(b *testing.B) {
		b.ReportAllocs()
		d := NewDrifts(DriftsModel(8), DefaultSpells())
		others := []Stretch{d.Marked(0.3, 0.3), d.Marked(0.6, 0.3)}
		for b.Loop() {
			d.Judge(DefaultMoveRule(1), c.exposure, others, 30, 200)
		}
	})
}

// BenchmarkDay110 is the 110 casts and 20 offers of R9, from nothing.
func BenchmarkDay110(b *testing.B) {
	b.ReportAllocs()
	d := recordedDays(b, "R9_full_day.json")
	casts := d.casts()
	for b.Loop() {
		New(d.model()).fish(b, casts)
	}
}
