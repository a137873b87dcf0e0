package tackle

import "math"

// Sections are the pieces outside the rod tip when out metres of line and leader
// together are out, from the rod tip to the point fly. [m] The leader is the
// last; when out is less than the leader, only that much of it is there.
func (r Rig) Sections(out float64) []Section {
	leader := r.Leader.Section()
	if out <= leader.Length {
		leader.Length = max(out, 0)
		return []Section{leader}
	}
	return append(r.Line.Sections(out-leader.Length), leader)
}

// Bodies are the flies, the point fly first. ok is false when one of them has no
// body, as Fly.Body says.
func (r Rig) Bodies() (bodies []Body, ok bool) {
	ok = true
	for _, m := range r.Flies {
		b, has := m.Fly.Body()
		b.FromPoint = m.FromPoint
		bodies = append(bodies, b)
		ok = ok && has
	}
	return bodies, ok
}

// RoundSize is the diameter of a round drogue of the same area, measured the
// same way. [m] What it drags is the room of package drift.
func (d Drogue) RoundSize() float64 {
	if d.Shape == Square {
		return d.Size * 2 / math.SqrtPi
	}
	return d.Size
}
