package line

import (
	"math"
	"slices"
)

// grading is a preset: element sizes [m] at the belly, in the leader, in its end
// below the last fly but one, and at what must be resolved; their growth away from
// it; and the step control. Values: random search of a prototype over sixteen
// casts, then over 1200 random ones; see the model page.
type grading struct {
	belly, leader, end, junction, body, point, tip, growth float64
	step                                                   control
}

// control is the error control of the time step.
type control struct {
	longest, first float64 // steps [s]
	grow           float64 // largest growth of a step
	error          float64 // wanted error of a step [m]
	again          float64 // a pass that moved more than this is repeated [m]
	shortest       float64 // a first link shorter than this joins the next [m]
}

var gradings = [...]grading{
	Fine: {0.263, 0.270, 0.12, 0.129, 0.15, 0.040, math.Inf(1), 0.296, control{0.5, 0.020, 2, 0.0055, 0.008, 0.07}},
	Mid:  {0.55, 0.6, 0.3, 0.25, 0.3, 0.07, 0.5, 0.35, control{1.5, 0.015, 2, 0.008, 0.02, 0.2}},
	Fast: {0.65, 1.0, 0.4, 0.275, 0.70, 0.125, 0.37, 0.40, control{3.0, 0.014, 2, 0.016, 0.033, 0.25}},
}

func (m Mesh) control() control {
	if m.Segment > 0 {
		return control{m.MaxStep, min(0.010, m.MaxStep), 1.5, 0.002, 1e-4, 0.03}
	}
	return gradings[m.Preset].step
}

// forced is a place that must be a node.
type forced struct {
	arc     float64 // from the tip [m]
	size    float64 // wanted element there [m]
	section int     // that begins or goes on here
}

// kink says whether the line turns sharply where two sections meet: their weights
// in water differ by more than three tenths.
func kink(a, b Section, density float64) bool {
	weight := func(s Section) float64 { return s.LinearDensity - density*math.Pi/4*s.Diameter*s.Diameter }
	wa, wb := weight(a), weight(b)
	return math.Abs(wa-wb) > 0.3*max(math.Abs(wa), math.Abs(wb))
}

// cuts gives the lengths of the links from the tip down and the section of each,
// in water of a density.
func (m Mesh) cuts(sections []Section, bodies []Body, density float64) (lengths []float64, section []int) {
	total := 0.0
	for _, s := range sections {
		total += s.Length
	}
	g := gradings[m.Preset]
	places := []forced{{0, g.tip, 0}}
	arc := 0.0
	var junctions []float64
	for i, s := range sections {
		arc += s.Length
		if i < len(sections)-1 {
			size := g.belly
			if kink(s, sections[i+1], density) {
				size = g.junction
				junctions = append(junctions, arc)
			}
			places = append(places, forced{arc, size, i + 1})
		}
	}
	places = append(places, forced{total, g.point, len(sections) - 1})
	for _, b := range bodies {
		if b.FromEnd > 0 {
			places = append(places, forced{total - b.FromEnd, g.body, -1})
		}
	}
	if m.Segment > 0 && !m.Ungraded {
		zones := []float64{total - endZone, total - midZone}
		for _, j := range junctions {
			zones = append(zones, j-kinkZone, j+kinkZone)
		}
		for _, z := range zones {
			if z > 0 && z < total {
				places = append(places, forced{z, 0, -1})
			}
		}
	}
	slices.SortStableFunc(places, func(a, b forced) int {
		switch {
		case a.arc < b.arc:
			return -1
		case a.arc > b.arc:
			return 1
		}
		return 0
	})
	// Places nearer than a tenth of a millimetre are one.
	merged := places[:1]
	for _, p := range places[1:] {
		last := &merged[len(merged)-1]
		if p.arc-last.arc < 1e-4 {
			last.section = max(last.section, p.section)
			last.size = min(last.size, p.size)
			continue
		}
		if p.section < 0 {
			p.section = last.section
		}
		p.section = max(p.section, last.section)
		merged = append(merged, p)
	}
	for k := 0; k+1 < len(merged); k++ {
		a, b := merged[k], merged[k+1]
		span := b.arc - a.arc
		from := len(lengths)
		if m.Segment > 0 {
			size := m.Segment
			if !m.Ungraded {
				size /= finer((a.arc+b.arc)/2, total, junctions)
			}
			n := max(1, int(math.Ceil(span/size-1e-9)))
			for range n {
				lengths = append(lengths, span/float64(n))
			}
		} else {
			widest := g.belly
			if len(sections) > 1 && a.section == len(sections)-1 {
				widest = g.leader
				if k+2 == len(merged) { // a hairpin runs through it when the boat has passed the point
					widest = g.end
				}
			}
			lengths = equidistribute(lengths, span, func(s float64) float64 {
				return min(widest, a.size+g.growth*s, b.size+g.growth*(span-s))
			})
		}
		for range len(lengths) - from {
			section = append(section, a.section)
		}
	}
	return lengths, section
}

// An even mesh is cut to 1/8 and 1/3 within endZone and midZone of the point, and
// to 1/2 within kinkZone of where sections meet. [m]
const endZone, midZone, kinkZone = 0.3, 1.0, 1.5

// finer is by how much an even mesh is cut finer at an arc from the tip.
func finer(arc, total float64, junctions []float64) float64 {
	switch up := total - arc; {
	case up < endZone:
		return 8
	case up < midZone:
		return 3
	}
	for _, j := range junctions {
		if math.Abs(arc-j) < kinkZone {
			return 2
		}
	}
	return 1
}

// equidistribute cuts a span so that each piece holds the same share of the
// integral of 1/size, and appends the pieces.
func equidistribute(dst []float64, span float64, size func(s float64) float64) []float64 {
	const fine = 200
	var sums [fine + 1]float64
	ds := span / fine
	for i := range fine {
		sums[i+1] = sums[i] + ds/size((float64(i)+0.5)*ds)
	}
	n := max(1, int(math.Ceil(sums[fine]-0.2)))
	last, i := 0.0, 0
	for k := 1; k <= n; k++ {
		want := sums[fine] * float64(k) / float64(n)
		for i < fine-1 && sums[i+1] < want {
			i++
		}
		s := ds * (float64(i) + (want-sums[i])/(sums[i+1]-sums[i]))
		if k == n {
			s = span
		}
		dst = append(dst, s-last)
		last = s
	}
	return dst
}
