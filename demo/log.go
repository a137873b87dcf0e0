package demo

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
)

// logLevel is the water's level on the morning of the log. [m]
const logLevel = -0.3

// log is a morning's NMEA 0183 log of the arm that the survey left out: lanes
// across it, a fix every two seconds, with what goes wrong in any log.
func (l *lake) log() []byte {
	r := rand.New(rand.NewPCG(77, 3))
	var b bytes.Buffer
	sentence := func(format string, a ...any) {
		body := fmt.Sprintf(format, a...)
		var sum byte
		for i := range len(body) {
			sum ^= body[i]
		}
		fmt.Fprintf(&b, "$%s*%02X\r\n", body, sum)
	}
	second := 6*3600 + 40*60
	fixes := 0
	for lane := range 9 {
		x0 := unsounded.x - 240 + 60*float64(lane)
		for step := range 300 {
			y := unsounded.y - 450 + 3*float64(step)
			if lane%2 == 1 {
				y = unsounded.y + 450 - 3*float64(step)
			}
			p := point{x0 + 4*math.Sin(y/60), y}
			if !l.wet(p) || math.Hypot(p.x-unsounded.x, p.y-unsounded.y) > unsoundedSize+60 || l.depth(p)+logLevel < 0.6 {
				continue
			}
			if step%7 == 0 { // the sounder is quicker than the receiver at times
				sentence("SDDPT,%.1f,0.2,50", l.depth(p)+logLevel-0.2)
			}
			at := p
			fixes++
			if fixes == 120 || fixes == 121 { // a reflection
				at.x += 900
			}
			lat, lon := originLat+at.y/perLat, -(originLon + at.x/perLon)
			sentence("GPRMC,%02d%02d%02d,A,%02d%07.4f,N,%03d%07.4f,W,2.9,,240427,,,A", second/3600, second/60%60, second%60,
				int(lat), 60*(lat-math.Floor(lat)), int(lon), 60*(lon-math.Floor(lon)))
			depth := l.depth(p) + logLevel - 0.2
			switch {
			case r.Float64() < 0.01: // weed or fish
				depth *= 0.5
			case fixes == 300:
				b.WriteString("$SDDPT,4.7,0.2,50*00\r\n") // a spark
				continue
			}
			sentence("SDDPT,%.1f,0.2,50", depth)
			second += 2
		}
		second += 60
	}
	return b.Bytes()
}
