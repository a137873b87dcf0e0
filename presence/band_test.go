package presence_test

import (
	"math"
	"testing"

	"windlane/presence"
)

// humps is a density of bells (centre, sd, weight) over a bed, summing to 1.
func humps(bed float64, bells ...[3]float64) []float64 {
	d, sum := make([]float64, presence.Layers(bed)), 0.0
	for i := range d {
		z := (float64(i) + 0.5) * presence.Layer
		for _, b := range bells {
			d[i] += b[2] / b[1] * math.Exp(-(z-b[0])*(z-b[0])/(2*b[1]*b[1]))
		}
		sum += d[i] * math.Min(presence.Layer, bed-float64(i)*presence.Layer)
	}
	for i := range d {
		d[i] /= sum
	}
	return d
}

func TestBands(t *testing.T) {
	cases := []struct {
		name  string
		bed   float64
		bells [][3]float64
		want  [][2]float64
	}{
		// half of a bell lies within 0.674 sd either way of its middle
		{"one", 8, [][3]float64{{3, 1, 1}}, [][2]float64{{2.25, 3.75}}},
		{"against the surface", 8, [][3]float64{{0, 1, 1}}, [][2]float64{{0, 0.75}}},
		{"against the bed", 6, [][3]float64{{6, 1, 1}}, [][2]float64{{5.25, 6}}},
		{"two", 8, [][3]float64{{1.5, 0.5, 1}, {5.5, 0.5, 1}}, [][2]float64{{1.25, 2}, {5.25, 6}}},
		{"two, one of them small", 8, [][3]float64{{1.5, 0.5, 1}, {5.5, 0.5, 0.15}}, [][2]float64{{1, 2}}},
		{"two, one of them sharp and holding an eighth", 8, [][3]float64{{1.5, 0.5, 1}, {5.625, 0.15, 0.25}}, [][2]float64{{1, 2.25}}},
		{"the same upside down", 8, [][3]float64{{1.375, 0.15, 0.25}, {5.5, 0.5, 1}}, [][2]float64{{5, 6.25}}},
		{"two that run together", 8, [][3]float64{{2.5, 0.9, 1}, {4.5, 0.9, 1}}, [][2]float64{{2.5, 4.5}}},
	}
	for _, c := range cases {
		d := humps(c.bed, c.bells...)
		got := presence.Bands(d, c.bed)
		if len(got) != len(c.want) {
			t.Errorf("%s: %+v, want %v", c.name, got, c.want)
			continue
		}
		for i, r := range got {
			// a layer either way: bands are made of whole layers
			if math.Abs(r.Top-c.want[i][0]) > presence.Layer+1e-9 || math.Abs(r.Bottom-c.want[i][1]) > presence.Layer+1e-9 {
				t.Errorf("%s: %+v, want %v", c.name, got, c.want)
			}
		}
		if len(got) == 1 {
			// no shorter range holds half
			n := int(math.Round((got[0].Bottom - got[0].Top) / presence.Layer))
			for a := 0; a+n-1 < len(d); a++ {
				share := 0.0
				for _, x := range d[a : a+n-1] {
					share += x * presence.Layer
				}
				if share >= 0.5 {
					t.Errorf("%s: %d layers from %d hold %v, fewer than %+v", c.name, n-1, a, share, got)
				}
			}
		}
	}
	if got := presence.Bands(humps(0.1, [3]float64{0, 1, 1}), 0.1); len(got) != 1 || got[0].Top != 0 || got[0].Bottom != 0.1 {
		t.Errorf("a hand of water: %+v", got)
	}
}
