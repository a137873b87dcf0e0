// Package nmea takes the sentences of NMEA 0183 apart: the checksum, the fields,
// the place and time that RMC, GLL and GGA tell, and the depth that DPT and DBT
// do. It knows no trade and no file, and may touch nothing else in the module.
package nmea

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"
)

// Sentence is one sentence: its kind, without who talks ("RMC"), and its fields,
// the address first. A maker's own sentence has no kind.
type Sentence struct {
	Kind   string
	Fields []string
}

// Fault is what is wrong with a sentence.
type Fault struct {
	Field   string // as in "RMC, latitude"; empty when the whole is meant
	Value   string // what stood there
	Problem string // what is wrong and what is allowed
}

// Split takes a line apart, with whatever a logger put before its $. summed says
// that the log's sentences carry checksums: one without is then torn.
func Split(line string, summed bool) (Sentence, *Fault) {
	at := strings.LastIndexByte(line, '$')
	if at < 0 {
		return Sentence{}, &Fault{Value: line, Problem: "is no NMEA sentence"}
	}
	body, sum, has := strings.Cut(line[at+1:], "*")
	if summed {
		var x byte
		for i := range len(body) {
			x ^= body[i]
		}
		said, err := strconv.ParseUint(strings.TrimSpace(sum), 16, 8)
		switch {
		case !has || err != nil:
			return Sentence{}, &Fault{Value: line, Problem: "ends without its checksum"}
		case byte(said) != x:
			return Sentence{}, &Fault{Value: line, Problem: fmt.Sprintf("has the checksum %02X, and its letters give %02X", said, x)}
		}
	}
	s := Sentence{Fields: strings.Split(body, ",")}
	if a := s.Fields[0]; len(a) >= 3 && a[0] != 'P' {
		s.Kind = a[len(a)-3:]
	}
	return s, nil
}

// Fix is a place that a sentence tells.
type Fix struct {
	LatDeg float64 // north positive [°]
	LonDeg float64 // east positive [°]
	Second float64 // of the UTC day; NaN when not told [s]
	Day    int     // days since 1970; 0 when not told, as only RMC does
	Void   bool    // the receiver says that it has no place
}

// Fix is the place that a RMC, GLL or GGA tells; is is false for any other kind.
func (s Sentence) Fix() (f Fix, is bool, fault *Fault) {
	p := figures{kind: s.Kind}
	field := func(i int) string {
		if i < len(s.Fields) {
			return strings.TrimSpace(s.Fields[i])
		}
		return ""
	}
	clock, place, least := 0, 0, 0
	switch s.Kind {
	case "RMC": // time, status, lat, N, lon, E, speed, course, date
		clock, place, least = 1, 3, 9
		f.Void = field(2) != "A"
	case "GLL": // lat, N, lon, E, time, status
		clock, place, least = 5, 1, 4
		f.Void = len(s.Fields) > 6 && field(6) != "A"
	case "GGA": // time, lat, N, lon, E, quality
		clock, place, least = 1, 2, 6
		f.Void = field(6) == "" || field(6) == "0"
	default:
		return f, false, nil
	}
	if len(s.Fields) <= least {
		return f, true, &Fault{s.Kind, strings.Join(s.Fields, ","), "is too short"}
	}
	if f.Void {
		return f, true, nil
	}
	f.Second = math.NaN()
	if t := field(clock); t != "" || s.Kind != "GLL" {
		f.Second = p.clock(t)
	}
	if s.Kind == "RMC" {
		date, err := time.Parse("020106", field(9))
		if err != nil {
			p.refuse("date", field(9), "is no date: ddmmyy belongs here")
		}
		f.Day = int(date.Unix() / 86400)
	}
	f.LatDeg = p.degrees("latitude", field(place), field(place+1), "N", "S", 90)
	f.LonDeg = p.degrees("longitude", field(place+2), field(place+3), "E", "W", 180)
	return f, true, p.fault
}

// Depth is what a sounder tells.
type Depth struct {
	Metres float64 // below the transducer; NaN when it met no bottom [m]
	Offset float64 // of the transducer below the surface; negative: above the keel; 0 when not told [m]
}

// Depth is the depth that a DPT or DBT tells, down to deepest, with an offset up
// to so much either way; is is false for any other kind.
func (s Sentence) Depth(deepest, mostOffset float64) (d Depth, is bool, fault *Fault) {
	p := figures{kind: s.Kind}
	d.Metres = math.NaN()
	switch s.Kind {
	case "DPT": // metres, offset
		if len(s.Fields) <= 2 {
			return d, true, &Fault{s.Kind, strings.Join(s.Fields, ","), "is too short"}
		}
		if s.Fields[1] != "" {
			d.Metres = p.number("depth", s.Fields[1], 0, deepest)
			if s.Fields[2] != "" {
				d.Offset = p.number("offset", s.Fields[2], -mostOffset, mostOffset)
			}
		}
	case "DBT": // feet,f,metres,M,fathoms,F
		if len(s.Fields) <= 4 {
			return d, true, &Fault{s.Kind, strings.Join(s.Fields, ","), "is too short"}
		}
		for _, unit := range [3]struct {
			at     int
			metres float64
		}{{3, 1}, {1, 0.3048}, {5, 1.8288}} {
			if len(s.Fields) > unit.at && s.Fields[unit.at] != "" {
				d.Metres = p.number("depth", s.Fields[unit.at], 0, deepest/unit.metres) * unit.metres
				break
			}
		}
	default:
		return d, false, nil
	}
	if d.Metres == 0 { // sounders say 0 where they hear nothing
		d.Metres = math.NaN()
	}
	return d, true, p.fault
}

// figures reads the fields of a sentence and keeps the first fault.
type figures struct {
	kind  string
	fault *Fault
}

func (p *figures) refuse(field, value, problem string) {
	if p.fault == nil {
		p.fault = &Fault{p.kind + ", " + field, value, problem}
	}
}

func (p *figures) number(field, s string, low, high float64) float64 {
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || !(v >= low && v <= high) {
		p.refuse(field, s, fmt.Sprintf("is out of range: allowed is %g to %g", low, high))
		return 0
	}
	return v
}

// clock reads hhmmss.ss as seconds of the day.
func (p *figures) clock(s string) float64 {
	if len(s) < 6 {
		p.refuse("time", s, "is no time: hhmmss belongs here")
		return 0
	}
	return 3600*p.number("time", s[:2], 0, 23) + 60*p.number("time", s[2:4], 0, 59) + p.number("time", s[4:], 0, 60.999)
}

// degrees reads dddmm.mmm and its side.
func (p *figures) degrees(field, s, side, plus, minus string, most float64) float64 {
	v := p.number(field, s, 0, most*100)
	whole := math.Floor(v / 100)
	minutes := v - 100*whole
	v = whole + minutes/60
	switch {
	case minutes >= 60 || v > most:
		p.refuse(field, s, "is no place: degrees and minutes belong here")
	case side == minus:
		v = -v
	case side != plus:
		p.refuse(field, side, fmt.Sprintf("is neither %s nor %s", plus, minus))
	}
	return v
}
