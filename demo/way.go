package demo

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"time"
)

// The boat's way on the morning, as a receiver in a pocket kept it: out from the
// jetty, two drifts with the big sheet, and home. It drifts a little faster than
// its measures say and to the right of downwind, in a wind that wanders about the
// forecast's.
const (
	wayFraction = 0.047 // of the wind [1]
	waySlip     = 7 * math.Pi / 180
	wayMotor    = 2.6  // [m/s]
	wayEvery    = 15.0 // between fixes [s]
	wayNoise    = 2.5  // of the receiver [m]
	wayForgets  = 60.0 // the time it takes to change its mind [s]
	wayWanders  = 600.0
	wayPace     = 0.08
	wayTurn     = 4 * math.Pi / 180
	handling    = 75.0 // drogue out or in, the boat still bare [s]
	bareFaster  = 1.5  // than with it [1]
)

var (
	wayStart  = time.Date(2027, 4, 24, 8, 32, 0, 0, time.UTC)
	wayDrifts = []struct {
		from    point
		minutes float64
	}{{point{-140, 560}, 38}, {point{-250, 690}, 41}}
)

// wind is the forecast's by the second of that morning, near enough. [m/s], [rad]
func wayWind(second float64) (speed, toward float64) {
	h := 8 + (32+second/60)/60
	return (7 + (h - 9)) * 0.44704, (250 - 5*(h-9) + 180) * math.Pi / 180
}

func (l *lake) way() []byte {
	dice := rand.New(rand.NewPCG(11, 47))
	var b bytes.Buffer
	b.WriteString("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<gpx version=\"1.1\" creator=\"nobody\" xmlns=\"http://www.topografix.com/GPX/1/1\"><trk><name>Saturday morning</name><trkseg>\n")
	at, second, next := point{jetty.x - 30, jetty.y - 60}, 0.0, 0.0
	var noise point
	pace, turn := 0.0, 0.0
	wander := func(v, sd, forgets float64) float64 {
		r := math.Exp(-1 / forgets)
		return r*v + math.Sqrt(1-r*r)*sd*dice.NormFloat64()
	}
	step := func(vx, vy float64) { // a second
		if second >= next {
			lon, lat := degrees(point{at.x + noise.x, at.y + noise.y})
			fmt.Fprintf(&b, "<trkpt lat=\"%s\" lon=\"%s\"><time>%s</time></trkpt>\n", lat, lon, wayStart.Add(time.Duration(second)*time.Second).Format(time.RFC3339))
			next += wayEvery
		}
		at.x, at.y = at.x+vx, at.y+vy
		noise = point{wander(noise.x, wayNoise, wayForgets), wander(noise.y, wayNoise, wayForgets)}
		pace, turn = wander(pace, wayPace, wayWanders), wander(turn, wayTurn, wayWanders)
		second++
	}
	ride := func(to point) {
		for {
			dx, dy := to.x-at.x, to.y-at.y
			far := math.Hypot(dx, dy)
			if far < wayMotor {
				return
			}
			step(wayMotor*dx/far, wayMotor*dy/far)
		}
	}
	adrift := func(fraction, seconds float64) {
		for range int(seconds) {
			speed, toward := wayWind(second)
			v, s := fraction*speed*math.Exp(pace), toward+waySlip+turn
			step(v*math.Sin(s), v*math.Cos(s))
		}
	}
	ride(point{860, 560}) // round the point
	for _, d := range wayDrifts {
		ride(d.from)
		adrift(bareFaster*wayFraction, handling)
		adrift(wayFraction, d.minutes*60)
		adrift(bareFaster*wayFraction, handling)
	}
	ride(point{860, 560}) // round the point
	ride(point{jetty.x - 30, jetty.y - 60})
	b.WriteString("</trkseg></trk></gpx>\n")
	return b.Bytes()
}
