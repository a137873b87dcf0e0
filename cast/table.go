package cast

import (
	"math"
	"slices"

	"windlane/line"
)

// A table holds the casts of one rig over counts and retrieving speeds as paths
// of its flies: the count once, as it does not depend on what follows; retrieve
// and hang for each node, branched from one countdown. Between nodes paths are
// interpolated by cubics through the four nearest in √count and log speed.

const (
	countStep     = 1.0 // between points of the count's path [s]
	retrieveParts = 32  // pieces of a retrieve's path, even in time
	hangStep      = 1.0 // [s]
	mostCounts    = 9   // nodes of a table
	mostSpeeds    = 5
	leastPull     = 0.5 // a retrieve of less is none [m]
)

// spot is a fly at a moment: downwind of the tip, and depth. [m]
type spot struct{ x, d float64 }

type table struct {
	q       Question // with everything but count and retrieve
	flies   int
	counts  []float64 // nodes [s]
	speeds  []float64 // nodes [m/s]
	count   []spot    // [step][fly]
	after   []spot    // [count][speed][step][fly], retrieve then hang
	steps   int       // of after
	hang    float64   // [s]
	scratch []spot
	broken  int // casts that broke off
}

// newTable runs a rig's casts. speeds are even; strips are taken at their mean.
func newTable(q Question, counts, speeds []float64, mesh line.Mesh) (*table, error) {
	q.Count = counts[len(counts)-1]
	q.Retrieve = Retrieve{Kind: Steady, Speed: speeds[0]}
	setup := q.setup(mesh)
	trunk, err := line.New(setup)
	if err != nil {
		return nil, asFault(err)
	}
	branch, err := line.New(setup)
	if err != nil {
		return nil, asFault(err)
	}
	t := &table{q: q, flies: len(setup.Bodies), counts: counts, speeds: speeds, hang: setup.Hang}
	hangSteps := int(math.Ceil(t.hang/hangStep - 1e-9))
	t.steps = retrieveParts + 1 + hangSteps
	t.scratch = make([]spot, t.steps*t.flies)
	t.after = make([]spot, 0, len(counts)*len(speeds)*t.steps*t.flies)
	keep := func(dst []spot, s *line.Sim, at float64) []spot {
		for f := range t.flies {
			x, d := s.Place(f, at)
			dst = append(dst, spot{x, d})
		}
		return dst
	}
	t.count = keep(nil, trunk, 0)
	next := countStep
	for _, c := range counts {
		trunk.Continue(c)
		for trunk.Time() < c && trunk.Next() {
			for ; next <= trunk.Time(); next += countStep {
				t.count = keep(t.count, trunk, next)
			}
		}
		for _, v := range speeds {
			branch.Branch(trunk, line.Pull{Speed: v}, setup.Hang)
			ok := branch.Status() == line.Running
			start := branch.Time()
			span := t.duration(c, v)
			k := 0
			moment := func(k int) float64 {
				if k <= retrieveParts {
					return start + span*float64(k)/retrieveParts
				}
				return start + span + min(float64(k-retrieveParts)*hangStep, t.hang)
			}
			for ; k < t.steps && moment(k) <= start; k++ {
				t.after = keep(t.after, branch, start)
			}
			for ok && k < t.steps {
				if ok = branch.Next(); !ok {
					break
				}
				for ; k < t.steps && moment(k) <= branch.Time()+1e-9; k++ {
					t.after = keep(t.after, branch, moment(k))
				}
			}
			if k < t.steps {
				t.broken++
				for ; k < t.steps; k++ {
					t.after = keep(t.after, branch, branch.Time())
				}
			}
		}
	}
	for len(t.count) < (int(counts[len(counts)-1]/countStep)+2)*t.flies {
		t.count = keep(t.count, trunk, trunk.Time())
	}
	return t, nil
}

// out is the line out at the end of a count. [m]
func (t *table) out(count float64) float64 {
	if t.q.LeaveSlack {
		return t.q.LineOut
	}
	return max(t.q.LineOut-t.q.along()*count, t.q.stop())
}

// duration is how long the retrieve lasts: 0.15 s more than at full speed throughout.
func (t *table) duration(count, speed float64) float64 {
	pull := t.out(count) - t.q.stop()
	if pull < speed*0.15 {
		return math.Sqrt(0.6 * pull / speed)
	}
	return pull/speed + 0.15
}

// path interpolates retrieve and hang; it is good until the next call.
func (t *table) path(count, speed float64) []spot {
	ci, cw := weights(t.counts, count, math.Sqrt)
	vi, vw := weights(t.speeds, speed, math.Log)
	size := t.steps * t.flies
	clear(t.scratch)
	for a := range cw {
		for b := range vw {
			w := cw[a] * vw[b]
			if w == 0 {
				continue
			}
			from := t.after[((ci+a)*len(t.speeds)+vi+b)*size:][:size]
			for k, p := range from {
				t.scratch[k].x += w * p.x
				t.scratch[k].d += w * p.d
			}
		}
	}
	return t.scratch
}

// weights are Lagrange's over up to four neighbouring nodes, in a scale of
// their own; at a node all weight is on it.
func weights(nodes []float64, x float64, scale func(float64) float64) (first int, w [4]float64) {
	n := min(4, len(nodes))
	i, _ := slices.BinarySearch(nodes, x)
	first = min(max(i-n/2, 0), len(nodes)-n)
	s := scale(x)
	for a := range n {
		w[a] = 1
		for b := range n {
			if a != b {
				w[a] *= (s - scale(nodes[first+b])) / (scale(nodes[first+a]) - scale(nodes[first+b]))
			}
		}
	}
	return first, w
}

// found is what a cast does for a band.
type found struct {
	fresh, seconds  float64 // [m], [s]
	held            float64 // seconds of it in retrieve and hang [s]
	shallow, deep   float64 // of all flies in the retrieve [m]
	deepest, length float64 // of the whole cast [m], [s]
	ofFly
}

// ofFly is what one fly does.
type ofFly struct {
	fly        int
	most       float64 // that it searches in the band, over and over [m]
	flyAtCount float64 // depth at the end of the count [m]
}

// take keeps the fly that searches most.
func (r *found) take(one ofFly) {
	if one.most > r.most {
		r.ofFly = one
	}
}

// search measures a cast of the table against a band.
func (t *table) search(count, speed float64, band Band, c *covered) found {
	boat := t.q.along()
	r := found{shallow: math.Inf(1), deep: math.Inf(-1), deepest: math.Inf(-1), ofFly: ofFly{most: -1}}
	path := t.path(count, speed)
	span := t.duration(count, speed)
	r.length = count + span + t.hang
	whole := int(count / countStep)
	for f := range t.flies {
		from, at := t.count[f], 0.0
		one := ofFly{fly: f, flyAtCount: path[f].d}
		move := func(to spot, when float64) float64 {
			s, searched := c.sweep(from.x+boat*at, from.d, to.x+boat*when, to.d, at, when-at, band)
			r.seconds += s
			one.most += searched
			from, at = to, when
			r.deepest = max(r.deepest, to.d)
			return s
		}
		for k := 1; k <= whole; k++ {
			move(t.count[k*t.flies+f], float64(k)*countStep)
		}
		for k := range t.steps {
			p := path[k*t.flies+f]
			when := count + span*float64(k)/retrieveParts
			if k > retrieveParts {
				when = count + span + min(float64(k-retrieveParts)*hangStep, t.hang)
			} else {
				r.shallow, r.deep = min(r.shallow, p.d), max(r.deep, p.d)
			}
			if s := move(p, when); k > 0 {
				r.held += s
			}
		}
		r.take(one)
	}
	r.fresh = c.fresh()
	return r
}

// pick takes up to n of sorted values, ends included, even on a scale.
func pick(values []float64, n int, scale func(float64) float64) []float64 {
	if len(values) <= n {
		return values
	}
	lo, hi := scale(values[0]), scale(values[len(values)-1])
	var out []float64
	for k := range n {
		want := lo + (hi-lo)*float64(k)/float64(n-1)
		best := values[0]
		for _, v := range values {
			if math.Abs(scale(v)-want) < math.Abs(scale(best)-want) {
				best = v
			}
		}
		if len(out) == 0 || best > out[len(out)-1] {
			out = append(out, best)
		}
	}
	return out
}
