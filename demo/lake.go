package demo

import (
	"math"
	"math/rand/v2"
)

// The invented lake: a valley flooded behind an earth dam. Everything here is in
// metres on its own plane, x east and y north of the point at originLon,
// originLat, and depths are below full level.

// point is a place on the plane. [m]
type point struct{ x, y float64 }

// Where the lake is put: open ocean on purpose, far from any land.
const (
	originLon = -14.62
	originLat = 52.617
	perLon    = 67_760.0  // length of a degree there, near enough. [m]
	perLat    = 111_280.0 // [m]
)

// shoreCorners is the bank, anticlockwise from the north end of the dam to its
// south end; the dam closes the ring.
var shoreCorners = []point{
	{2010, 430}, {1730, 560}, {1500, 800}, {1240, 870}, {960, 760}, {690, 800}, {470, 1010}, {210, 1120},
	{-60, 1020}, {-210, 760}, {-400, 640}, {-640, 720}, {-860, 960}, {-1150, 1130}, {-1470, 1240},
	{-1790, 1420}, {-2080, 1480}, {-2230, 1390}, {-2150, 1230}, {-1880, 1090}, {-1620, 870}, {-1480, 610},
	{-1490, 330}, {-1600, 70}, {-1690, -230}, {-1640, -460}, {-1470, -470}, {-1330, -260}, {-1140, -80},
	{-880, -40}, {-640, -170}, {-420, -390}, {-120, -480}, {180, -400}, {420, -220}, {690, -200},
	{960, -380}, {1250, -470}, {1550, -430}, {1800, -290}, {1960, -120},
}

var (
	damSouth = point{1960, -120}
	damNorth = point{2010, 430}
)

var islandCorners = [][]point{
	{{-545, 345}, {-490, 395}, {-400, 402}, {-330, 352}, {-325, 300}, {-395, 262}, {-490, 270}},
	{{735, 245}, {760, 300}, {835, 332}, {890, 300}, {880, 225}, {815, 185}, {755, 195}},
}

// stream is a bed that ran before the flood, with the depth that it has along it.
type stream struct {
	bed   []point
	depth []float64 // at each corner of bed. [m]
}

var streams = []stream{
	{[]point{{-2190, 1430}, {-1800, 1270}, {-1350, 900}, {-960, 560}, {-560, 150}, {-120, 240}, {350, 420}, {840, 480}, {1300, 330}, {1700, 190}, {1985, 150}},
		[]float64{0.8, 2.6, 5.0, 7.0, 9.4, 10.6, 12.0, 13.4, 14.8, 16.2, 17.4}},
	{[]point{{-1610, -430}, {-1400, 20}, {-1050, 180}, {-560, 150}}, []float64{0.9, 4.2, 6.8, 9.4}},
}

// Features of the bed.
var (
	causeway      = []point{{250, 1080}, {140, 560}, {60, 130}, {10, -430}}
	hedgeLines    = [][]point{{{-1180, 1080}, {-1040, 640}, {-940, 520}}, {{560, -190}, {640, 120}, {600, 330}}, {{1120, 840}, {1080, 560}}}
	shelfRing     = curve([]point{{990, 720}, {1120, 830}, {1260, 860}, {1430, 810}, {1500, 740}, {1430, 660}, {1210, 680}, {1040, 640}}, true, 4)
	sunkenIsland  = point{1330, -60}
	sunkenTop     = 1.9 // [m]
	sunkenRadius  = 85.0
	weedBeds      = [][]point{{{-2120, 1430}, {-1960, 1410}, {-1820, 1330}, {-1900, 1200}, {-2060, 1250}}, {{-1640, -250}, {-1560, -160}, {-1420, -230}, {-1480, -400}, {-1600, -400}}, {{-830, 900}, {-660, 740}, {-560, 700}, {-640, 640}, {-820, 800}}}
	aerators      = []point{{1560, 260}, {1180, 390}}
	reserve       = []point{{-2260, 1530}, {-1930, 1540}, {-1990, 1350}, {-2060, 1230}, {-2300, 1200}}
	damKeepOff    = []point{{1850, -180}, {1890, 130}, {1905, 455}}
	jetty         = point{1395, 832}
	unsounded     = point{-1560, -330} // nobody has been up the south-west arm
	unsoundedSize = 330.0              // [m]
)

// surveyLevel is the water's level on the day of the survey. [m]
const surveyLevel = -0.7

// lake is the shore worked out fine enough to measure from.
type lake struct {
	shore   []point // the bank without the dam, an open line
	islands [][]point
}

func newLake() *lake {
	l := &lake{shore: curve(shoreCorners, false, 8)}
	for i := range l.shore[1 : len(l.shore)-1] { // bays and points too small for a corner
		k := float64(i)
		l.shore[i+1].x += 10*math.Sin(0.83*k) + 5*math.Sin(2.1*k+1)
		l.shore[i+1].y += 10*math.Sin(0.71*k+2) + 5*math.Sin(1.9*k)
	}
	for _, corners := range islandCorners {
		l.islands = append(l.islands, curve(corners, true, 5))
	}
	return l
}

// curve draws a smooth line through corners (Catmull and Rom 1974), n steps to
// each piece.
func curve(corners []point, closed bool, n int) []point {
	at := func(i int) point {
		if closed {
			return corners[(i+len(corners))%len(corners)]
		}
		return corners[min(max(i, 0), len(corners)-1)]
	}
	pieces := len(corners)
	if !closed {
		pieces--
	}
	var line []point
	for i := range pieces {
		a, b, c, d := at(i-1), at(i), at(i+1), at(i+2)
		for j := range n {
			t := float64(j) / float64(n)
			f := func(a, b, c, d float64) float64 {
				return b + 0.5*t*(c-a+t*(2*a-5*b+4*c-d+t*(3*(b-c)+d-a)))
			}
			line = append(line, point{f(a.x, b.x, c.x, d.x), f(a.y, b.y, c.y, d.y)})
		}
	}
	if closed {
		return append(line, line[0])
	}
	return append(line, corners[len(corners)-1])
}

// toLine is the distance to an open line and how far along it, in corners.
func toLine(p point, line []point) (distance, along float64) {
	best := math.Inf(1)
	for i := 1; i < len(line); i++ {
		a, b := line[i-1], line[i]
		dx, dy := b.x-a.x, b.y-a.y
		t := ((p.x-a.x)*dx + (p.y-a.y)*dy) / (dx*dx + dy*dy)
		t = min(max(t, 0), 1)
		ex, ey := p.x-a.x-t*dx, p.y-a.y-t*dy
		if d := ex*ex + ey*ey; d < best {
			best, along = d, float64(i-1)+t
		}
	}
	return math.Sqrt(best), along
}

// inside says whether p is in a ring, open or closed.
func inside(p point, ring []point) bool {
	in := false
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		if (a.y > p.y) != (b.y > p.y) && p.x < a.x+(p.y-a.y)/(b.y-a.y)*(b.x-a.x) {
			in = !in
		}
	}
	return in
}

func (l *lake) wet(p point) bool {
	if !inside(p, l.shore) {
		return false
	}
	for _, island := range l.islands {
		if inside(p, island) {
			return false
		}
	}
	return true
}

// bump is 1 at the middle, 0.25 at r = 1 and gone beyond a few; a bell without exp.
func bump(r float64) float64 { q := 1 / (1 + r*r); return q * q }

// depth is the bed below full level at a point in the water. [m]
func (l *lake) depth(p point) float64 {
	shore, _ := toLine(p, l.shore)
	for _, island := range l.islands {
		if d, _ := toLine(p, island); d*1.4 < shore { // islands fall off faster than banks
			shore = d * 1.4
		}
	}
	var sum, weight, nearest float64
	nearest = math.Inf(1)
	for _, s := range streams {
		t, along := toLine(p, s.bed)
		i := min(int(along), len(s.depth)-2)
		d := s.depth[i] + (along-float64(i))*(s.depth[i+1]-s.depth[i])
		w := 1 / (t*t + 400)
		sum, weight, nearest = sum+w*d, weight+w, min(nearest, t)
	}
	floor := sum / weight
	q := shore / (shore + nearest)
	d := floor * q * (1.5 - 0.5*q)
	d += 1.1 * bump(nearest/9) * q                                           // the bed itself
	d += 0.35 * math.Sin(p.x/83+1) * math.Sin(p.y/67+2) * q                  // rolling ground
	d += 0.15 * math.Sin(p.x/31) * math.Sin((p.x+p.y)/41) * min(1, shore/40) // and finer
	if t, along := toLine(p, causeway); along > 0.02 && along < 2.98 {
		d -= min(1.7, 0.4*d) * bump(t/7)
	}
	for _, h := range hedgeLines {
		t, _ := toLine(p, h)
		d -= min(0.6, 0.2*d) * bump(t/4)
	}
	if inside(p, shelfRing) {
		d = min(d, 2.3+shore/260)
	} else if t, _ := toLine(p, shelfRing); t < 35 {
		d = min(d, 2.3+shore/260+t*0.22) // the drop off its edge
	}
	dx, dy := p.x-sunkenIsland.x, p.y-sunkenIsland.y
	if b := bump(math.Sqrt(dx*dx+dy*dy) / sunkenRadius); d > sunkenTop {
		d -= (d - sunkenTop) * b
	}
	face, _ := toLine(p, []point{damSouth, damNorth})
	return max(min(d, face/2), 0) // the dam's stone face, 1 in 2
}

// sounding is one depth of the survey, as it was measured.
type sounding struct {
	at    point
	depth float64 // below the level of that day. [m]
	track int
}

// survey is a boat's: tracks across the valley some 60 m apart, a depth every
// 8 m or so, with the errors of a plain echo sounder and a few false echoes.
func (l *lake) survey() []sounding {
	r := rand.New(rand.NewPCG(1949, 8))
	noise := func(sd float64) float64 { // near enough normal, without a logarithm
		return (r.Float64() + r.Float64() + r.Float64() - 1.5) * 2 * sd
	}
	// Tracks run at right angles to the valley, which lies to the east-south-east.
	ux, uy := 0.28, 0.96
	vx, vy := 0.96, -0.28
	var out []sounding
	for track := range 82 {
		across := -2450 + 60*float64(track) + noise(4)
		phase := r.Float64() * 6
		for along := -1900.0; along < 2300; along += 8 + noise(0.8) {
			sway := across + 5*math.Sin(along/190+phase)
			p := point{sway*vx + along*ux, sway*vy + along*uy}
			if !l.wet(p) || math.Hypot(p.x-unsounded.x, p.y-unsounded.y) < unsoundedSize || inside(p, reserve) {
				continue
			}
			d := l.depth(p) + surveyLevel
			if d < 0.5 {
				continue
			}
			d += noise(0.05 + 0.006*d)
			if r.Float64() < 0.003 { // weed, fish or a second echo
				d *= 0.35 + 1.5*r.Float64()
			}
			p.x += noise(1.2)
			p.y += noise(1.2)
			out = append(out, sounding{p, max(d, 0.3), track})
		}
	}
	return out
}
