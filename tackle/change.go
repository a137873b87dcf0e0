package tackle

// Minutes that changes cost in a boat; common practice, no source. Half as much
// again with cold hands or in a strong wind.
const (
	spareRodMinutes   = 0.75 // pick up a rod that stands made up
	lineSwapMinutes   = 3.5  // reel and line swapped on the rod in hand
	newLeaderMinutes  = 7.0  // line and leader new
	leaderOnlyMinutes = 5.5
	pointFlyMinutes   = 1.5
	dropperMinutes    = 2.25
	drogueMinutes     = 1.5 // each way
	hardHands         = 1.5
)

// Change is what going from one set-up to another costs.
type Change struct {
	Seconds float64  // fishing time lost. [s]
	Steps   []string // what is done, in the trade's words
}

// ChangeTo is the cheapest way from the set-up in hand to another: the rod that
// stands made up with it, a swap of line, leader or flies. hard is set when it is
// cold or windy. Nothing to do costs nothing.
//
// Like DrogueSeconds it is for advice on when a change is worth its time, which
// no step of the day gives yet.
func (b *Bag) ChangeTo(now, then Rig, hard bool) Change {
	if now.Name == then.Name {
		return Change{}
	}
	c := Change{}
	step := func(minutes float64, what string) {
		c.Seconds += minutes * 60
		c.Steps = append(c.Steps, what)
	}
	switch {
	case b.standsMadeUp(now, then):
		step(spareRodMinutes, "pick up the "+then.Rod.Name+" that stands made up")
	case now.Line.Name != then.Line.Name && now.Leader.Name == then.Leader.Name:
		step(lineSwapMinutes, "swap the line for the "+then.Line.Name)
		b.swapFlies(now, then, step)
	case now.Line.Name != then.Line.Name:
		step(newLeaderMinutes, "put up the "+then.Line.Name+" with a new leader")
	case now.Leader.Name != then.Leader.Name:
		step(leaderOnlyMinutes, "tie a new leader")
	default:
		b.swapFlies(now, then, step)
	}
	if hard {
		c.Seconds *= hardHands
	}
	return c
}

func (b *Bag) standsMadeUp(now, then Rig) bool {
	if now.Rod.Name == then.Rod.Name {
		return false
	}
	for _, rod := range b.Rods {
		if rod.Name == then.Rod.Name && rod.MadeUp == then.Name {
			return true
		}
	}
	return false
}

func (b *Bag) swapFlies(now, then Rig, step func(float64, string)) {
	on := map[float64]string{}
	for _, m := range now.Flies {
		on[m.FromPoint] = m.Fly.Name
	}
	for _, m := range then.Flies {
		switch {
		case on[m.FromPoint] == m.Fly.Name:
		case m.FromPoint == 0:
			step(pointFlyMinutes, "change the point fly for "+m.Fly.Name)
		default:
			step(dropperMinutes, "change the dropper for "+m.Fly.Name)
		}
	}
}

// DrogueSeconds is the time to put a drogue out or to take it in. [s]
func DrogueSeconds(hard bool) float64 {
	if hard {
		return drogueMinutes * 60 * hardHands
	}
	return drogueMinutes * 60
}
