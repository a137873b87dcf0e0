package presence

import (
	"cmp"
	"slices"
)

// Bands are the depths that hold half of a density over a bed [m]: the shortest
// range, or, where two depths are likely and the water between is not (its low
// under 0.6 of the lesser peak, and either run of the likeliest layers holds
// 0.15), those two runs. Never the middle between two.
func Bands(density []float64, bed float64) []Band {
	if two := split(density, bed); two != nil {
		return two
	}
	best := Band{0, bed, 1}
	for a := range density {
		share := 0.0
		for b := a; b < len(density); b++ {
			_, dz := layer(b, bed)
			share += density[b] * dz
			if share < 0.5 {
				continue
			}
			if r := run(density, bed, a, b); better(r, best) {
				best = r
			}
			break
		}
	}
	return []Band{best}
}

// better is shorter, else holding more; the shallower stands at a tie. Rounded, so
// that an ulp decides nothing.
func better(a, b Band) bool {
	la, lb := round(a.Bottom-a.Top), round(b.Bottom-b.Top)
	return la < lb || la == lb && round(a.Share) > round(b.Share)
}

func round(x float64) int64 { return int64(x*1e6 + 0.5) }

// run is layers a to b as a Band.
func run(density []float64, bed float64, a, b int) Band {
	r := Band{Top: float64(a) * Layer}
	for i := a; i <= b; i++ {
		_, dz := layer(i, bed)
		r.Share += density[i] * dz
		r.Bottom = float64(i)*Layer + dz
	}
	return r
}

// split finds the two runs of a density with two humps; nil for one hump.
func split(density []float64, bed float64) []Band {
	top := 0
	for i, d := range density {
		if round(d) > round(density[top]) {
			top = i
		}
	}
	second, low := -1, 0
	for _, step := range []int{-1, 1} {
		valley := top
		for i := top + step; i >= 0 && i < len(density); i += step {
			if density[i] < density[valley] {
				valley = i
			}
			if density[valley] < 0.6*density[i] && (second < 0 || round(density[i]) > round(density[second])) {
				second, low = i, valley
			}
		}
	}
	if second < 0 {
		return nil
	}
	// the likeliest layers until half is held
	order := make([]int, len(density))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(round(density[b]), round(density[a])) })
	in, share := make([]bool, len(density)), 0.0
	for _, i := range order {
		if share >= 0.5 {
			break
		}
		_, dz := layer(i, bed)
		in[i], share = true, share+density[i]*dz
	}
	if !in[second] || in[low] { // the second hump is too low to hold any of the half
		return nil
	}
	var two []Band
	for a := 0; a < len(in); a++ {
		if !in[a] {
			continue
		}
		b := a
		for b+1 < len(in) && in[b+1] {
			b++
		}
		if a <= top && top <= b || a <= second && second <= b {
			two = append(two, run(density, bed, a, b))
		}
		a = b
	}
	if len(two) != 2 || two[0].Share < 0.15 || two[1].Share < 0.15 {
		return nil
	}
	return two
}
