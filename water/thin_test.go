package water

import "testing"

// Of three in a square the middle one stays where it was taken; of two, halfway.
func TestThin(t *testing.T) {
	in := []sounded{{at: [2]float64{1, 1}, depth: 9}, {at: [2]float64{2, 3}, depth: 4}, {at: [2]float64{3, 2}, depth: 5}, // one square
		{at: [2]float64{-1, 1}, depth: 2}, {at: [2]float64{-3, 3}, depth: 4}} // the one west of it
	got := thin(in, 10)
	want := []sounded{{at: [2]float64{-2, 2}, depth: 3}, {at: [2]float64{3, 2}, depth: 5}}
	if len(got) != 2 || got[0] != want[0] || got[1] != want[1] {
		t.Errorf("%v, want %v", got, want)
	}
	if in[0].depth != 9 {
		t.Error("thin changed what it was given")
	}
}

// A false bottom among ten that fall evenly goes; a step in the bed, and what
// lies on another track, stays.
func TestDespike(t *testing.T) {
	var in []sounded
	for i := range 30 {
		d := 5 + 0.1*float64(i)
		switch {
		case i == 8:
			d = 2
		case i >= 20:
			d += 3
		}
		in = append(in, sounded{[2]float64{0, 3 * float64(i)}, d, 1})
	}
	in = append(in, sounded{[2]float64{0, 93}, 1, 2})
	got := despike(in)
	if len(got) != 30 || got[8].depth != in[9].depth {
		t.Errorf("%d of 31 left: %v", len(got), got)
	}
	if alongTracks(in[:10]) || !alongTracks(append(append([]sounded{}, in...), sounded{at: [2]float64{500, 500}})) {
		t.Error("tracks are not told from scattered soundings")
	}
}
