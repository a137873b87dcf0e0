package presence_test

import (
	"math"
	"reflect"
	"strings"
	"testing"
	"time"

	"windlane/almanac"
	"windlane/conditions"
	"windlane/forecast"
	"windlane/presence"
	"windlane/quantity"
	"windlane/strata"
)

// There is no published depth of fish by the hour to compare with. What is
// tested is the arithmetic, the direction in which each rule moves, and the
// trade's facts as check values: "common practice, no source".

var zone = time.FixedZone("", 3600)

func clock(month time.Month, day, hour int) time.Time {
	return time.Date(2026, month, day, hour, 0, 0, 0, zone)
}

// weather is one wind and one cloud all day.
func weather(date time.Time, wind, oktas float64) *forecast.Forecast {
	f := &forecast.Forecast{}
	for h := -24; h <= 48; h++ {
		f.Hours = append(f.Hours, forecast.Hour{At: date.Add(time.Duration(h) * time.Hour), Speed: wind, From: quantity.FromDegrees(225), AirC: 15, HasAir: true, Oktas: oktas, HasCloud: true})
	}
	return f
}

func lake() *conditions.Lake {
	return &conditions.Lake{
		Site: almanac.Site{LonDeg: -1, LatDeg: 53}, MeanDepth: 7, Across: 1500, Secchi: 3, HasSurface: true, Surface: 14,
		Fetch: func(x, y float64, from quantity.From) float64 { return 800 },
	}
}

func expect(l *conditions.Lake, at time.Time, wind, oktas float64, day presence.Day) *presence.Prior {
	return presence.Expect(conditions.On(l, weather(at, wind, oktas), at).At(conditions.Place{}, at), day)
}

func over(bed float64) presence.Spot {
	return presence.Spot{HasBed: true, Bed: quantity.Depth(bed)}
}

// between is the share of fish between two depths.
func between(b presence.Belief, top, bottom float64) float64 {
	sum := 0.0
	for i, d := range b.Density {
		a, z := float64(i)*presence.Layer, math.Min(float64(i+1)*presence.Layer, float64(b.Bed))
		sum += d * math.Max(0, math.Min(z, bottom)-math.Max(a, top))
	}
	return sum
}

func named(t *testing.T, b presence.Belief, name string) presence.Part {
	t.Helper()
	for _, p := range b.Parts {
		if p.Name == name {
			return p
		}
	}
	return presence.Part{Name: name}
}

// Common practice, no source: "the top 3 to 4 ft are poor after days of strong
// sun; 5 to 10 ft is a start".
func TestTradeFacts(t *testing.T) {
	const ft = 0.3048
	noon := clock(time.June, 10, 13)
	bright := expect(lake(), noon, 3, 0, presence.Day{BrightDays: 4}).At(over(7))
	if top, start := between(bright, 0, 3.5*ft)/3.5, between(bright, 5*ft, 10*ft)/5; top > 0.6*start {
		t.Errorf("after days of strong sun a foot of the top holds %.3f, of 5 to 10 ft %.3f", top, start)
	}
	fresh := expect(lake(), noon, 3, 0, presence.Day{}).At(over(7))
	if between(bright, 0, 3.5*ft) >= between(fresh, 0, 3.5*ft) {
		t.Error("days of strong sun do not make the top poorer")
	}
	for _, month := range []time.Month{time.March, time.April, time.May, time.June, time.September} {
		b := expect(lake(), clock(month, 15, 11), 5, 5, presence.Day{}).At(over(6))
		if len(b.Bands) != 1 || b.Bands[0].Top > 10*ft || b.Bands[0].Bottom < 5*ft {
			t.Errorf("%v: half of them at %+v, which misses 5 to 10 ft", month, b.Bands)
		}
	}
}

func TestMidgeClimbAndDaphniaSink(t *testing.T) {
	last := math.Inf(1)
	for _, hour := range []int{6, 9, 12, 15, 18} {
		b := expect(lake(), clock(time.May, 15, hour), 4, 4, presence.Day{}).At(over(6))
		m := named(t, b, "midge")
		if m.Centre > last {
			t.Errorf("at %d midge sink from %v to %v", hour, last, m.Centre)
		}
		if hour == 6 && (!m.FromBed || m.Centre < 4) || hour == 18 && (m.FromBed || m.Centre > 1) {
			t.Errorf("at %d: %+v", hour, m)
		}
		last = m.Centre
	}
	depth := func(hour int, oktas float64) float64 {
		return named(t, expect(lake(), clock(time.July, 1, hour), 4, oktas, presence.Day{}).At(over(9)), "daphnia").Centre
	}
	if !(depth(5, 0) < depth(9, 0) && depth(9, 0) < depth(13, 0) && depth(13, 0) > depth(21, 0) && depth(13, 8) < depth(13, 0)-1) {
		t.Errorf("daphnia at %.1f, %.1f, %.1f, %.1f m through a clear day, %.1f under cloud", depth(5, 0), depth(9, 0), depth(13, 0), depth(21, 0), depth(13, 8))
	}
}

func TestFreshStock(t *testing.T) {
	at := clock(time.May, 15, 11)
	weight := func(days float64, x float64) presence.Part {
		in := presence.Stocking{At: at.Add(-time.Duration(days * 24 * float64(time.Hour))), HasPlace: true}
		s := over(4)
		s.X = x
		return named(t, expect(lake(), at, 4, 4, presence.Day{Stocked: []presence.Stocking{in}}).At(s), "fresh stock")
	}
	if w := weight(2, 0); w.Weight < 0.3 || w.Centre > 1.83 {
		t.Errorf("two days after, where they went in: %+v", w)
	}
	if !(weight(2, 0).Weight > weight(7, 0).Weight && weight(7, 0).Weight > weight(11, 0).Weight && weight(11, 0).Weight == 0) {
		t.Error("fresh stock do not fade from the third to the tenth day")
	}
	if near, far := weight(2, 0).Weight, weight(2, 1500).Weight; far > near/2 {
		t.Errorf("%v where they went in, %v a mile off", near, far)
	}
	if weight(-1, 0).Weight != 0 {
		t.Error("fish not yet put in are expected")
	}
}

func TestSeenAndTold(t *testing.T) {
	at := clock(time.August, 20, 12)
	none := named(t, expect(lake(), at, 4, 4, presence.Day{}).At(over(5)), "fry").Weight
	last := none
	for _, trust := range []quantity.Probability{0, 0.3, 1, 7} {
		w := named(t, expect(lake(), at, 4, 4, presence.Day{Seen: []presence.Seen{{Sign: presence.FryScattering, Trust: trust}}}).At(over(5)), "fry").Weight
		if w < last-1e-12 || trust == 0 && math.Abs(w-none) > 1e-12 {
			t.Errorf("fry seen with trust %v: %v after %v", trust, w, last)
		}
		last = w
	}
	if last < 2*none || last > 0.9 {
		t.Errorf("fry seen for sure moves them from %v to %v", none, last)
	}
	told := named(t, expect(lake(), at, 4, 4, presence.Day{Told: []presence.Told{{HasCause: true, Cause: presence.Fry, Trust: 0.5}}}).At(over(5)), "fry").Weight
	if !(told > none && told < last) {
		t.Errorf("fry half believed: %v, between %v and %v", told, none, last)
	}

	before := expect(lake(), at, 4, 4, presence.Day{}).At(over(12))
	for _, c := range []struct {
		told        presence.Told
		top, bottom float64
	}{
		{presence.Told{HasDepth: true, Top: 5, Bottom: 7, Trust: 0.9}, 5, 7},
		{presence.Told{HasDepth: true, Top: 0, Bottom: 2, FromBed: true, Trust: 0.9}, 10, 12},
	} {
		b := expect(lake(), at, 4, 4, presence.Day{Told: []presence.Told{c.told}}).At(over(12))
		if is, was := between(b, c.top, c.bottom), between(before, c.top, c.bottom); is < 2*was {
			t.Errorf("told %v to %v m: %v there, %v before", c.top, c.bottom, is, was)
		}
		if p := named(t, b, "told"); p.Weight < 0.4 || p.FromBed != c.told.FromBed || !strings.Contains(p.Why, "well trusted") {
			t.Errorf("%+v", p)
		}
	}
	// what makes no sense is not believed
	b := expect(lake(), at, 4, 4, presence.Day{Told: []presence.Told{{HasDepth: true, Top: 7, Bottom: 5, Trust: 1}, {HasDepth: true, Top: math.NaN(), Bottom: 5, Trust: 1}, {HasDepth: true, Top: 2, Bottom: 5, Trust: quantity.Probability(math.NaN())}}}).At(over(12))
	if !reflect.DeepEqual(b, before) {
		t.Error("a hearsay without sense was believed")
	}
}

func TestWhatTheyCannotBear(t *testing.T) {
	l := lake()
	var err error
	l.Profile, err = strata.NewProfile([]float64{0, 2, 4, 5, 6, 7, 8, 12}, []float64{23, 23, 22.5, 20, 15, 11, 9, 8})
	if err != nil {
		t.Fatal(err)
	}
	b := expect(l, clock(time.August, 5, 13), 3, 2, presence.Day{}).At(over(12))
	if up, at, down := between(b, 0, 2)/2, between(b, 4.5, 6.5)/2, between(b, 9, 12)/3; !(at > 1.5*up && at > 1.5*down) {
		t.Errorf("per metre: %.3f in 23 °C, %.3f about the layer, %.3f under it", up, at, down)
	}
	said := strings.Join(b.Remarks, "; ")
	if !strings.Contains(said, "warm") || !strings.Contains(said, "oxygen") {
		t.Errorf("said %q", said)
	}
}

// Every layer keeps at least 0.15 of 1.15 of the likeliest: no rule rules out.
func lawful(t *testing.T, b presence.Belief) {
	t.Helper()
	sum, least, most := 0.0, math.Inf(1), 0.0
	for i, d := range b.Density {
		sum += d * math.Min(presence.Layer, float64(b.Bed)-float64(i)*presence.Layer)
		least, most = math.Min(least, d), math.Max(most, d)
	}
	if math.Abs(sum-1) > 1e-9 || least/most < presence.Floor/(1+presence.Floor)-1e-9 {
		t.Fatalf("sum %v, least %v, most %v", sum, least, most)
	}
	weights, share := 0.0, 0.0
	for _, p := range b.Parts {
		weights += p.Weight
		if !(p.Low <= p.Weight && p.Weight <= p.High) || p.Centre < 0 || p.Centre > float64(b.Bed) || p.Why == "" {
			t.Fatalf("%+v", p)
		}
	}
	if weights > 1+1e-9 || weights < 0.95 {
		t.Fatalf("parts sum to %v", weights)
	}
	last := -1.0
	for _, r := range b.Bands {
		share += r.Share
		if r.Top <= last || r.Bottom <= r.Top || r.Bottom > float64(b.Bed)+1e-9 {
			t.Fatalf("bands %+v over %v m", b.Bands, b.Bed)
		}
		last = r.Bottom
	}
	if len(b.Bands) == 0 || len(b.Bands) > 2 || share > 1+1e-9 || len(b.Bands) == 1 && share < 0.5-1e-9 {
		t.Fatalf("bands %+v", b.Bands)
	}
	if !(b.Worth > 0) || math.IsNaN(b.Mean) || math.IsNaN(b.SD) || b.Mean < 0 || b.Mean > float64(b.Bed) {
		t.Fatalf("worth %v, mean %v, sd %v", b.Worth, b.Mean, b.SD)
	}
}

func TestEveryBeliefIsLawful(t *testing.T) {
	in := []presence.Stocking{{At: clock(time.May, 1, 9)}}
	told := []presence.Told{{HasDepth: true, Top: 1, Bottom: 3, Trust: 0.5}, {HasDepth: true, Top: 0, Bottom: 1, FromBed: true, Trust: 1}}
	bare := &conditions.Lake{Site: almanac.Site{LatDeg: -41}}
	n := 0
	for month := time.January; month <= time.December; month++ {
		for hour := 0; hour < 24; hour += 3 {
			for _, p := range []*presence.Prior{
				expect(lake(), clock(month, 3, hour), 6, 3, presence.Day{Stocked: in, Told: told, BrightDays: 9}),
				presence.Expect(conditions.On(bare, nil, clock(month, 3, 0)).At(conditions.Place{}, clock(month, 3, hour)), presence.Day{}),
			} {
				for _, bed := range []float64{0.05, 0.6, 2.25, 5.1, 19, 80} {
					n++
					b := p.At(over(bed))
					lawful(t, b)
				}
				unknown := p.At(presence.Spot{})
				lawful(t, unknown)
				if !strings.Contains(strings.Join(unknown.Remarks, ";"), "not sounded") {
					t.Fatal("an unsounded bed is not owned up to")
				}
			}
		}
	}
	if n == 0 {
		t.Error("nothing was compared")
	}
}

func TestFillIsAtAndAllocatesNothing(t *testing.T) {
	p := expect(lake(), clock(time.June, 1, 11), 5, 4, presence.Day{Told: []presence.Told{{HasDepth: true, Top: 2, Bottom: 3, Trust: 1}}})
	s := over(7.3)
	s.Ground[presence.WeedBed] = 0.5
	b := p.At(s)
	dst := make([]float64, presence.Layers(7.3))
	worth := p.Fill(dst, s)
	if worth != b.Worth || !reflect.DeepEqual(dst, b.Density) {
		t.Error("Fill and At differ")
	}
	if n := testing.AllocsPerRun(50, func() { p.Fill(dst, s) }); n != 0 {
		t.Errorf("%v allocations", n)
	}
}

func BenchmarkExpect(b *testing.B) {
	b.ReportAllocs()
	at := clock(time.June, 1, 11)
	c := conditions.On(lake(), weather(at, 5, 4), at).At(conditions.Place{}, at)
	for b.Loop() {
		presence.Expect(c, presence.Day{BrightDays: 2})
	}
}

func BenchmarkFill(b *testing.B) {
	b.ReportAllocs()
	p := expect(lake(), clock(time.June, 1, 11), 5, 4, presence.Day{})
	dst := make([]float64, presence.Layers(7))
	for b.Loop() {
		p.Fill(dst, over(7))
	}
}
