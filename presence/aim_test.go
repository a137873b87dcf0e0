package presence_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"windlane/presence"
	"windlane/quantity"
	"windlane/water"
)

// Worked by hand: half a chance of none at all and half of two: none is met with
// (1 + e^−2)/2 = 0.5677, as with 0.5662 for sure.
func TestCertain(t *testing.T) {
	for _, c := range []struct {
		chances, takes []float64
		want           float64
	}{
		{[]float64{0.5, 0.5}, []float64{0, 2}, 0.5662},
		{[]float64{5, 5}, []float64{0, 2}, 0.5662}, // chances are scaled
		{[]float64{0.2, 0.3, 0.5}, []float64{1.7, 1.7, 1.7}, 1.7},
		{[]float64{0.5, 0.5}, []float64{0, 0.002}, 0.001}, // hardly any: the mean
		{[]float64{0.5, 0.5}, []float64{1, 1000}, 1 + math.Ln2},
		{[]float64{0.5, 0.5}, []float64{0, 0}, 0},
		{nil, nil, 0},
	} {
		if got := presence.Certain(c.chances, c.takes); math.Abs(got-c.want) > 5e-5 {
			t.Errorf("%v of %v: %v, want %v", c.chances, c.takes, got, c.want)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 6).Draw(t, "n")
		p, l := make([]float64, n), make([]float64, n)
		sum, mean, none, least := 0.0, 0.0, 0.0, math.Inf(1)
		for i := range n {
			p[i], l[i] = rapid.Float64Range(0.01, 1).Draw(t, "p"), rapid.Float64Range(0, 20).Draw(t, "l")
			sum, mean, none, least = sum+p[i], mean+p[i]*l[i], none+p[i]*math.Exp(-l[i]), math.Min(least, l[i])
		}
		got := presence.Certain(p, l)
		if got > mean/sum+1e-9 || got < least-1e-9 || math.Abs(math.Exp(-got)-none/sum) > 1e-12 {
			t.Fatalf("%v of %v: %v, mean %v, least %v", p, l, got, mean/sum, least)
		}
	})
}

func TestRodAverage(t *testing.T) {
	told := func(trust, fish float64) presence.Told {
		return presence.Told{HasRodAverage: true, RodAverage: fish, Trust: quantity.Probability(trust)}
	}
	const usual = presence.UsualRodAverage
	for name, c := range map[string]struct {
		told []presence.Told
		want float64
	}{
		"nothing":        {nil, usual},
		"no trust":       {[]presence.Told{told(0, 9)}, usual},
		"believed":       {[]presence.Told{told(1, 6)}, 6},
		"half":           {[]presence.Told{told(0.5, 6)}, math.Sqrt(usual * 6)},
		"two half":       {[]presence.Told{told(0.5, 6), told(0.5, 6)}, usual * math.Pow(2, 0.75)},
		"two views":      {[]presence.Told{told(1, 8), told(1, 2)}, 4},
		"nobody catches": {[]presence.Told{told(1, 0)}, 0.1},
		"nonsense":       {[]presence.Told{told(1, math.NaN()), told(math.NaN(), 3), told(1, -2)}, usual},
	} {
		day := presence.Day{Told: c.told}
		if got := day.RodAverage(); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%s: %v, want %v", name, got, c.want)
		}
	}
}

// shelves is a lake with weed in 1.5 m of water, an edge, and plain water of 4.5 m.
func shelves() (f *presence.Field, weed, edge, plain, cells int) {
	g, depth := basin()
	for k := range depth {
		if x, y := g.Centre(k); x > 0 && x < 100 && y > 0 && y < 400 {
			depth[k] = 1.5
		}
	}
	f = presence.Lay(g, depth, []water.Place{{Kind: water.WeedBed, Shape: orb.Polygon{{{10, 10}, {60, 10}, {60, 390}, {10, 390}, {10, 10}}}, Radius: math.NaN()}})
	at := func(x, y float64) int { k, _ := g.Index(x, y); return k }
	return f, at(35, 205), at(300, 205), at(205, 205), g.Len()
}

func TestSurestWater(t *testing.T) {
	f, weed, _, plain, n := shelves()
	most, sure := make([]float32, n), make([]float32, n)
	noon := clock(time.August, 20, 12)
	day := presence.Day{}
	f.Worths(expect(lake(), noon, 4, 4, day), most)
	day.Aim = presence.Surest
	f.Worths(expect(lake(), noon, 4, 4, day), sure)
	for k := range most {
		if sure[k] > most[k]*(1+1e-6) || (most[k] > 0) != (sure[k] > 0) {
			t.Fatalf("cell %d: %v for sure, %v in the mean", k, sure[k], most[k])
		}
	}
	// Weed in a foot or two is full of fish if they are on fry or what lives on
	// the bed, and empty if they are not; open water is fair whatever they are on.
	if !(most[weed] > most[plain] && sure[weed] < sure[plain]) {
		t.Errorf("weed and open water: %v and %v in the mean, %v and %v for sure", most[weed], most[plain], sure[weed], sure[plain])
	}
	// The fewer a rod lands, the nearer the mean: one can only hope then.
	day.Told = []presence.Told{{HasRodAverage: true, RodAverage: 0, Trust: 1}}
	f.Worths(expect(lake(), noon, 4, 4, day), sure)
	if r := float64(sure[weed] / most[weed]); r < 0.9 || r >= 1 {
		t.Errorf("nobody catches: %v of the mean", r)
	}
	// A rod average alone changes nothing for most fish.
	day.Aim = presence.Most
	f.Worths(expect(lake(), noon, 4, 4, day), sure)
	for k := range most {
		if most[k] != sure[k] {
			t.Fatalf("cell %d: %v with a rod average, %v without", k, sure[k], most[k])
		}
	}
	p := expect(lake(), noon, 4, 4, presence.Day{Aim: presence.Surest})
	if n := testing.AllocsPerRun(5, func() { f.Worths(p, sure) }); n != 0 {
		t.Errorf("%v allocations", n)
	}
}

// For the biggest: more on fry, less on new fish, edges before plain water, and
// deeper in the sun.
func TestBiggest(t *testing.T) {
	at := clock(time.September, 20, 12)
	day := presence.Day{Stocked: []presence.Stocking{{At: at.Add(-24 * time.Hour)}}}
	most := expect(lake(), at, 3, 1, day)
	day.Aim = presence.Biggest
	biggest := expect(lake(), at, 3, 1, day)
	a, b := most.At(over(4)), biggest.At(over(4))
	if named(t, b, "fry").Weight < 1.5*named(t, a, "fry").Weight || named(t, b, "fresh stock").Weight > 0.5*named(t, a, "fresh stock").Weight {
		t.Errorf("fry %v and %v, fresh stock %v and %v", named(t, a, "fry").Weight, named(t, b, "fry").Weight, named(t, a, "fresh stock").Weight, named(t, b, "fresh stock").Weight)
	}
	lawful(t, b)
	f, _, edge, plain, n := shelves()
	wa, wb := make([]float32, n), make([]float32, n)
	f.Worths(most, wa)
	f.Worths(biggest, wb)
	if wb[edge]/wb[plain] <= wa[edge]/wa[plain] {
		t.Errorf("an edge is worth %v of plain water for most, %v for the biggest", wa[edge]/wa[plain], wb[edge]/wb[plain])
	}
	// A light that all fish bear drives the big ones down.
	shuns := func(aim presence.Aim) bool {
		b := expect(lake(), clock(time.June, 20, 13), 2, 8, presence.Day{Aim: aim, BrightDays: 3}).At(over(6))
		return strings.Contains(strings.Join(b.Remarks, ";"), "the top of the water counts for less")
	}
	if shuns(presence.Most) || !shuns(presence.Biggest) {
		t.Errorf("under thick cloud the top is shunned by all: %v, by the biggest: %v", shuns(presence.Most), shuns(presence.Biggest))
	}
}
