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

// Drogue drag over its area: laid flat the cloth of a drogue is larger than its
// mouth when it pulls. Our estimates, not measured; learn the real one from drifts.
const (
	fabricDrag = 0.75
	mouthDrag  = 1.35
)

// DragArea is the drogue's drag coefficient times its area. [m²]
func (d Drogue) DragArea() float64 {
	a := d.Size * d.Size
	if d.Shape == Round {
		a *= math.Pi / 4
	}
	if d.Measured == Mouth {
		return mouthDrag * a
	}
	return fabricDrag * a
}
