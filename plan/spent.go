package plan

import "math"

// Effort is kept as E·e^(t/recovery), t being when it was spent: so it fades by
// itself, and nothing has to be gone through as time passes.

// age moves the planner to a time: what was fished before it has faded that far.
func (p *planner) age(t float64) {
	p.now, p.fade = t, math.Exp(-t/p.q.Settings.Recovery)
	p.forget()
}

// forget drops what was worked out from the effort.
func (p *planner) forget() {
	p.worthAge++
	for h := range p.worth {
		p.worth[h] = p.worth[h][:0]
	}
}

// left is the share of a cell's worth that what was fished has left: e^−E for
// the cell itself, and the doubt that time without an offer casts on its patch.
// A plan is for a day on which nothing is met; where fish are met one stays. [1]
func (p *planner) left(k int) float64 {
	e, b := float64(p.effort[k]), float64(p.blank[k])
	if e == 0 && b == 0 {
		return 1
	}
	return math.Exp(-e*p.fade - b/p.q.Settings.Blank)
}

// fresh is an hour's worth round the boat with what was fished taken off, for
// every cell: the mean over the disc of w·e^−E.
func (p *planner) fresh(h int) []float32 {
	if len(p.worth[h]) > 0 {
		return p.worth[h]
	}
	for k, w := range p.q.Hours[h].Worth {
		switch {
		case !(w > 0) || !p.a.wet[k]:
			w = 0
		default:
			w *= float32(p.left(k))
		}
		p.scaled[k] = w
	}
	if cap(p.worth[h]) == 0 {
		p.worth[h] = make([]float32, len(p.scaled))
	}
	p.worth[h] = p.worth[h][:len(p.scaled)]
	p.a.mean(p.scaled, p.worth[h])
	return p.worth[h]
}

// worthRound is fresh for one cell, from the raster if it is at hand.
func (p *planner) worthRound(k, h int) float64 {
	if f := p.worth[h]; len(f) > 0 {
		return float64(f[k])
	}
	return p.meanRound(k, h, true)
}

// meanRound is the mean worth of the disc round a cell, as fished or as if
// nothing had been.
func (p *planner) meanRound(k, h int, fished bool) float64 {
	w, half := p.a.g.W, len(p.a.halves)/2
	i, j, sum := k%w, k/w, 0.0
	worth := p.q.Hours[h].Worth
	for d, reach := range p.a.halves {
		row := j + d - half
		if row < 0 || row >= p.a.g.H {
			continue
		}
		for c := row*w + max(0, i-reach); c <= row*w+min(w-1, i+reach); c++ {
			switch v := float64(worth[c]); {
			case !(v > 0) || !p.a.wet[c]:
			case fished:
				sum += v * p.left(c)
			default:
				sum += v
			}
		}
	}
	return sum / p.a.reachN
}

// cover adds a drift's effort to the water round its way, and its time to the
// patches there.
func (p *planner) cover(f followed) {
	m := p.q.Boat.SetUps[f.setUp].Motion
	g := p.a.g
	air := p.airFrom(f.start, f.time)
	by := motionOf(m)
	// effort in steps of half a cell, patches in steps of a quarter of theirs
	step := p.pacing(m, f.start, f.time, g.Cell/2)
	each := p.q.Settings.Swept / (p.a.reachN * g.Cell * g.Cell) * math.Exp((f.start+f.time/2)/p.q.Settings.Recovery)
	p.along(air, by, f.x, f.y, f.time, step, func(k int, _, seconds float64) {
		p.a.spread(p.effort, p.a.halves, k, float32(each*seconds))
	})
	if len(p.patch) > 0 {
		step = p.pacing(m, f.start, f.time, math.Max(g.Cell/2, p.q.Settings.Patch/4))
		p.along(air, by, f.x, f.y, f.time, step, func(k int, _, seconds float64) {
			p.a.spread(p.blank, p.patch, k, float32(seconds))
		})
	}
	p.forget()
}
