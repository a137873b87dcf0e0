package cast

import (
	"fmt"
	"math"

	"windlane/fluid"
	"windlane/line"
	"windlane/quantity"
	"windlane/tackle"
)

// The ways that need no mechanics of the line. Each rule gives a path of straight
// pieces; what it assumes is said in the answer's remarks.

// longestWait is how long a bung is left at most when nothing is said, and
// shortWait a dry fly: common practice, no source. [s]
const longestWait, shortWait = 120.0, 20.0

// nearest is how near the boat flies are fished on a short line. [m]
const nearest = 3.0

// leg is a straight piece of a fly's path.
type leg struct {
	until, depth float64 // at its end [s], [m]
}

// ruled makes an answer of rules: the count is the settling, the retrieve the
// fishing, and there is no hang. speed is that of the flies through the water.
func (q Question) ruled(settle, fished, speed, closing float64, legs func(i int) []leg) Answer {
	a := Answer{Way: q.Way, Status: Complete, CountEnd: settle, RetrieveEnd: settle + fished, HangEnd: settle + fished}
	a.Cycle = a.HangEnd + q.Recast
	for i, m := range q.Rig.Flies {
		f := FlyPath{Name: m.Fly.Name, FromPoint: m.FromPoint}
		path := legs(i)
		at := func(t float64) float64 {
			t0, d0 := 0.0, 0.0
			for _, l := range path {
				if t <= l.until {
					return d0 + (l.depth-d0)*(t-t0)/max(l.until-t0, 1e-9)
				}
				t0, d0 = l.until, l.depth
			}
			return d0
		}
		was := 0.0
		for k := 0; ; k++ {
			t := min(float64(k)*sample, a.HangEnd)
			p, v := line.Count, 0.0
			if t > settle {
				p, v = line.Retrieve, speed
			}
			d := at(t)
			depth := quantity.Depth(d)
			f.Points = append(f.Points, Point{T: t, Phase: p, FromTip: max(q.LineOut-m.FromPoint-closing*t, 0), Depth: depth, Low: depth, High: depth, Speed: v})
			if depth > f.Deepest {
				f.Deepest, f.DeepestAt, f.DeepestPhase = depth, t, p
			}
			if k > 0 {
				dt := t - f.Points[k-1].T
				f.Seconds[p], f.Searched[p] = layers(f.Seconds[p], f.Searched[p], was, d, dt, math.Hypot(v, (d-was)/max(dt, 1e-9)))
			}
			was = d
			if t >= a.HangEnd {
				break
			}
		}
		f.CountEnd, f.RetrieveEnd, f.HangEnd = quantity.Depth(at(settle)), quantity.Depth(was), quantity.Depth(was)
		if q.Bed > 0 && float64(f.Deepest) >= q.Bed {
			f.OnBed, f.OnBedAt = true, f.DeepestAt
			a.say(AboutBed, "%s would lie on the bed", f.Name)
		}
		a.Flies = append(a.Flies, f)
	}
	return a
}

// left is how long flies stay before the boat is upon them.
func (q Question) left(most float64) float64 {
	if q.Retrieve.For > 0 {
		return q.Retrieve.For
	}
	if v := q.along(); v > 0 {
		return min(most, (q.LineOut-q.stop())/v)
	}
	return most
}

// bungAt is the index of the bung among the flies, the highest if several; -1 without.
func (q Question) bungAt() int {
	for i := len(q.Rig.Flies) - 1; i >= 0; i-- {
		if q.Rig.Flies[i].Fly.Kind == tackle.BungKind {
			return i
		}
	}
	return -1
}

// bung: each fly sinks at its own speed to its distance below the float and stays.
func (q Question) bung() Answer {
	float := q.Rig.Flies[q.bungAt()].FromPoint
	settle := 0.0
	target := func(i int) (depth, sink float64) {
		m := q.Rig.Flies[i]
		if depth = float - m.FromPoint; depth <= 0 {
			return 0, 0
		}
		if sink = m.Fly.SinkSpeed(); sink <= 0 {
			return 0, 0
		}
		return depth, sink
	}
	for i := range q.Rig.Flies {
		if d, v := target(i); v > 0 {
			settle = max(settle, d/v)
		}
	}
	a := q.ruled(settle, q.left(longestWait), 0, q.along(), func(i int) []leg {
		d, v := target(i)
		if v == 0 {
			return nil
		}
		return []leg{{d / v, d}}
	})
	a.say(AboutRule, "each fly hangs straight below the bung at the distance tied, and sinks there at its own speed; the slack is kept in and the bung is not drawn")
	for i, m := range q.Rig.Flies {
		if d, _ := target(i); d == 0 && m.FromPoint < float {
			a.say(AboutBuoyancy, "%s floats: it will not hang below the bung", m.Fly.Name)
		}
	}
	a.pace(q)
	return a
}

// dries lie on the water.
func (q Question) dries() Answer {
	a := q.ruled(0, q.left(shortWait), 0, q.along(), func(int) []leg { return nil })
	a.say(AboutRule, "dry flies lie in the surface and drift with it; greased, whatever they would do under water")
	for _, m := range q.Rig.Flies {
		if m.Fly.Kind != tackle.Dry && m.Fly.Kind != tackle.Sedge && m.Fly.SinkSpeed() > 0 {
			a.say(AboutBuoyancy, "%s sinks: it will not stay up among dry flies", m.Fly.Name)
		}
	}
	a.pace(q)
	return a
}

// shortLine: the top fly dibbles in the surface, the others trail below it on a
// straight leader at the angle where their weight balances the water's push.
func (q Question) shortLine() Answer {
	speed := max(q.Retrieve.Speed-q.along(), 0)
	if q.Retrieve.Kind == Still {
		speed = 0
	}
	angle := q.trailing(speed)
	top := q.Rig.Flies[len(q.Rig.Flies)-1].FromPoint
	fished := q.Retrieve.For
	if fished == 0 {
		fished = min(max(q.LineOut-nearest, 0)/max(q.Retrieve.Speed, q.along(), 0.05), longestWait)
	}
	a := q.ruled(0, fished, speed, max(q.Retrieve.Speed, q.along()), func(i int) []leg {
		m := q.Rig.Flies[i]
		depth := (top - m.FromPoint) * math.Sin(angle)
		if depth == 0 {
			return nil
		}
		return []leg{{depth / max(m.Fly.SinkSpeed(), 0.02), depth}}
	})
	a.say(AboutRule, "the top fly is kept in the surface by the rod; the others trail %.0f° below it on a straight leader, as their weight and the pull through the water balance", angle*180/math.Pi)
	a.pace(q)
	return a
}

// trailing is the angle below the level of a straight leader with its flies,
// held at the top fly and drawn through the water at a speed: the moments of
// weights and drags about the top fly balance. [rad], 0 up to π/2
func (q Question) trailing(speed float64) float64 {
	rho, nu := fluid.WaterDensity(q.Temperature), fluid.WaterKinematicViscosity(q.Temperature)
	top := q.Rig.Flies[len(q.Rig.Flies)-1].FromPoint
	leader := q.Rig.Leader.Section()
	weight := leader.WeightInWater(q.Temperature) * top * top / 2
	push := 0.0 // of the flies, per v²
	bodies, _ := q.Rig.Bodies()
	for _, b := range bodies {
		arm := top - b.FromPoint
		weight += (b.Mass - rho*b.Volume) * fluid.StandardGravity * arm
		push += 0.5 * rho * b.DragArea * arm
	}
	if weight <= 0 {
		return 0
	}
	lo, hi := 0.0, math.Pi/2
	for range 60 {
		phi := (lo + hi) / 2
		vn := speed * math.Sin(phi)
		across := 0.0
		if vn > 0 {
			across = 0.5 * rho * leader.Diameter * fluid.NormalDrag(vn*leader.Diameter/nu) * vn * vn * top * top / 2
		}
		if push*speed*speed*math.Sin(phi)+across < weight*math.Cos(phi) {
			lo = phi
		} else {
			hi = phi
		}
	}
	return lo
}

func (a *Answer) say(about About, format string, args ...any) {
	a.Remarks = append(a.Remarks, Remark{about, fmt.Sprintf(format, args...)})
}
