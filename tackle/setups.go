package tackle

import (
	"math"
	"slices"
)

// SetUps are what the bag can be put together to: the rigs it names, each
// counted one also on every other sinking line that its rod throws; of a bag
// that names none, its parts put together.
func (b *Bag) SetUps() []Rig {
	var out []Rig
	for _, r := range b.Rigs {
		out = append(out, r)
		if r.Way != Lures && r.Way != PulledWets {
			continue
		}
		for _, l := range b.Lines {
			fits := r.Rod.Class == 0 || l.Class >= r.Rod.Class-1 && l.Class <= r.Rod.Class+1
			if l.Name != r.Line.Name && l.Profile != Floating && fits {
				other := r
				other.Line, other.Name = l, r.Name+" on "+l.Name
				out = append(out, other)
			}
		}
	}
	if len(out) == 0 {
		out = b.loose()
	}
	return out
}

// loose makes set-ups of a bag that names none: each line with each leader,
// the heaviest fly on the point and the lightest on the first dropper.
func (b *Bag) loose() []Rig {
	var out []Rig
	if len(b.Flies) == 0 {
		return nil
	}
	flies := slices.Clone(b.Flies)
	slices.SortStableFunc(flies, func(a, b Fly) int {
		return int(math.Round(1e4 * (b.SinkSpeed() - a.SinkSpeed())))
	})
	for _, l := range b.Lines {
		way := Lures
		if l.Profile == Floating {
			way = Nymphs
		}
		for _, leader := range b.Leaders {
			mounted := []Mounted{{Fly: flies[0]}}
			if len(leader.Droppers) > 0 && len(flies) > 1 {
				mounted = append(mounted, Mounted{Fly: flies[len(flies)-1], FromPoint: leader.Droppers[0]})
			}
			r := Rig{Name: l.Name + ", " + leader.Name, Line: l, Leader: leader, Flies: mounted, Way: way}
			if len(b.Rods) > 0 {
				r.Rod = b.Rods[0]
			}
			if out = append(out, r); len(out) == 24 {
				return out
			}
		}
	}
	return out
}
