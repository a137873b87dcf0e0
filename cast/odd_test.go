package cast

import (
	"errors"
	"math"
	"testing"

	"windlane/tackle"
)

// Whatever Validate lets through is answered without a panic and without NaN:
// tackle drawn at random over the allowed ranges, most of it absurd.
func TestOddTackle(t *testing.T) {
	state := uint64(9)
	next := func() float64 { // splitmix64
		state += 0x9E3779B97F4A7C15
		z := state
		z = (z ^ z>>30) * 0xBF58476D1CE4E5B9
		z = (z ^ z>>27) * 0x94D049BB133111EB
		return float64((z^z>>31)>>11) / (1 << 53)
	}
	maybe := func(p, v float64) float64 {
		if next() < p {
			return v
		}
		return 0
	}
	one := func(n int) int { return int(next() * float64(n)) }
	answered, refused := 0, 0
	for k := range 400 {
		q := Question{
			Way: tackle.Ways[one(len(tackle.Ways))], LineOut: 5 + 25*next(), TipHeight: 3 * next(), HangMark: 5 * next(),
			Angle: 1.2 * (next() - 0.5), BoatSpeed: maybe(0.8, 0.8*next()), Count: 40 * next(), LeaveSlack: next() < 0.5,
			Temperature: 30 * next(), Bed: maybe(0.3, 6*next()), NoSpread: next() < 0.8,
			Retrieve: Retrieve{Kind: Kinds[one(4)], Speed: 0.05 + next(), Strip: 0.02 + next(), For: 40 * next()},
		}
		for range one(4) {
			q.Hang = append(q.Hang, Stage{4 * next(), 3 * next(), 5 * next()})
		}
		q.Rig.Line = tackle.Line{
			Class: 1 + one(15), Profile: tackle.Profiles[one(len(tackle.Profiles))], Sink: 0.4 * next(), SlowSink: maybe(0.3, 0.4*next()),
			RatedAt: maybe(0.5, 40*next()), Length: maybe(0.5, 60*next()), SinkTip: 8 * next(), Head: maybe(0.5, 20*next()),
			Measured: tackle.Measured{Diameter: maybe(0.2, 5e-3*next()), LinearDensity: maybe(0.2, 1e-2*next()), DropDepth: maybe(0.2, 3*next()), DropTime: maybe(0.5, 40*next())},
		}
		q.Rig.Leader = tackle.Leader{Material: tackle.Materials[one(3)], Diameter: maybe(0.7, 1e-4+6e-4*next()), Strength: maybe(0.7, 100*next()), Length: 1 + 6*next()}
		at := 0.0
		for range 1 + one(4) {
			fly := tackle.Fly{Name: "fly", Kind: tackle.Kinds[one(len(tackle.Kinds))], Sink: maybe(0.5, 2*next()-1), Mass: maybe(0.3, 5e-3*next()), DragArea: maybe(0.3, 1e-3*next()), Weighted: next() < 0.2}
			q.Rig.Flies = append(q.Rig.Flies, tackle.Mounted{Fly: fly, FromPoint: at})
			at += 0.02 + 1.5*next()
		}
		a, err := Run(q)
		if err != nil {
			var f *Fault
			if !errors.As(err, &f) || f.Field == "" {
				t.Fatalf("question %d: %v names no field", k, err)
			}
			refused++
			continue
		}
		answered++
		for _, f := range a.Flies {
			for _, p := range f.Points {
				if math.IsNaN(float64(p.Depth+p.Low+p.High)) || math.IsNaN(p.Speed+p.FromTip) {
					t.Fatalf("question %d: %s at %v s: %+v", k, f.Name, p.T, p)
				}
			}
		}
	}
	t.Logf("%d answered, %d refused", answered, refused)
	if answered < 100 || refused < 20 {
		t.Errorf("%d answered, %d refused: the draw is lopsided", answered, refused)
	}
}
