package water

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"windlane/geodesy"
	"windlane/internal/text"
)

// NMEA 0183 logs: one sentence a line, with anything a logger puts before its
// $. Fixes come from RMC, GLL and GGA, depths from DPT, or from DBT where the
// log has no DPT. A depth has no time: those between two fixes are placed evenly
// along the way from one to the other, in their order.
//
// A damaged sentence (checksum, torn, figures out of range) is never used. More
// than one in twenty of them and the log is refused, since then the checksum,
// which lets one damaged sentence in 256 through, is little help.
const mostDamaged = 20 // one sentence in so many may be

// isNMEA says whether one of the first lines holds a sentence.
func isNMEA(b []byte) bool {
	n := 0
	for line := range bytes.Lines(b) {
		if n++; n > 20 {
			break
		}
		_, s, has := bytes.Cut(line, []byte("$"))
		address, _, comma := bytes.Cut(s, []byte(","))
		if has && comma && len(address) >= 4 && len(address) <= 8 && bytes.Equal(address, bytes.ToUpper(address)) && !bytes.ContainsAny(address, " ;\t") {
			return true
		}
	}
	return false
}

// nmeaLog is what a log holds, sentence by sentence.
type nmeaLog struct {
	how       Taken
	fixes     []fix
	dpt, dbt  []echo
	sentences int
	damaged   int
	first     *text.Fault // the first damaged one
	summed    bool        // sentences carry checksums
	void      int         // fixes that say themselves that they are none
	silent    int         // depths without a figure
	noKeel    int         // DPT that count from the keel
	day       int         // since 1970; 0 while no RMC has told it
	date      string
}

// echo is a depth and its place among the fixes.
type echo struct {
	depth float64 // below the surface [m]
	after int     // fixes read before it
}

func (how Taken) readNMEA(name string, b []byte) (*Soundings, error) {
	log := &nmeaLog{how: how, summed: bytes.Contains(b, []byte("*"))}
	number := 0
	for line := range bytes.Lines(b) {
		number++
		line = bytes.TrimSpace(line)
		if len(line) == 0 || line[0] == '#' || line[0] == '!' { // ! is another kind of sentence, of no use here
			continue
		}
		log.sentences++
		if field, value, problem := log.sentence(string(line)); problem != "" {
			if log.damaged++; log.first == nil {
				log.first = &text.Fault{File: name, Line: number, Field: field, Value: value, Problem: problem}
			}
		}
	}
	s := &Soundings{Name: name, Date: log.date}
	if log.damaged*mostDamaged > log.sentences {
		log.first.Problem += fmt.Sprintf("; of %d sentences %d are damaged, more than one in %d: the log cannot be trusted", log.sentences, log.damaged, mostDamaged)
		return nil, log.first
	}
	if log.damaged > 0 {
		s.Remarks = append(s.Remarks, fmt.Sprintf("%s: damaged sentences, not used: %d of %d, the first on line %d (%s)", name, log.damaged, log.sentences, log.first.Line, log.first.Problem))
	}
	echoes := log.dpt
	if len(echoes) == 0 {
		echoes = log.dbt
	}
	for _, missing := range []struct {
		is      bool
		problem string
	}{
		{len(log.fixes) == 0 && log.void > 0, "has no position in it: all its fixes say that they are void"},
		{len(log.fixes) == 0, "has no position in it: sentences RMC, GLL or GGA are looked for"},
		{len(echoes) == 0 && log.silent > 0, "has no depth in it: the sounder met no bottom"},
		{len(echoes) == 0, "has no depth in it: sentences DPT or DBT are looked for"},
		{len(echoes) > mostRows, fmt.Sprintf("has %d soundings: allowed are %d; split it", len(echoes), mostRows)},
	} {
		if missing.is {
			return nil, &text.Fault{File: name, Problem: missing.problem}
		}
	}
	good, begins, dropped := honest(log.fixes)
	way, at := trimmed(log.fixes, good, begins)
	lost := s.place(echoes, way, at)
	if len(s.List) == 0 {
		return nil, &text.Fault{File: name, Problem: fmt.Sprintf("has %d depths, and none of them with a position near it in time", len(echoes))}
	}
	count := func(n int, format string, of int) {
		if n > 0 {
			s.Remarks = append(s.Remarks, fmt.Sprintf("%s: "+format, name, n, of))
		}
	}
	if !log.summed {
		s.Remarks = append(s.Remarks, name+": its sentences carry no checksum, so a damaged one cannot be told")
	}
	if dropped > 0 {
		s.Remarks = append(s.Remarks, jumps(name, dropped, len(log.fixes)))
	}
	count(log.void, "fixes that say they are void, left out: %d of %d", log.void+len(log.fixes))
	count(log.silent, "soundings that met no bottom, left out: %d of %d", log.silent+len(echoes))
	count(lost, "depths with no position near them in time, left out: %d of %d", len(echoes))
	if len(log.dpt) == 0 && how.Transducer == 0 {
		s.Remarks = append(s.Remarks, name+": its depths count from the transducer, and were taken as from the surface")
	} else if len(log.dpt) > 0 && log.noKeel > 0 && how.Transducer == 0 {
		s.Remarks = append(s.Remarks, name+": its depths tell the keel's depth and not the transducer's below the surface; they were taken as from the surface")
	}
	how.levelRemark(s)
	return s, nil
}

// sentence takes what one line tells, or says what is wrong with it.
func (l *nmeaLog) sentence(line string) (field, value, problem string) {
	at := strings.LastIndexByte(line, '$')
	if at < 0 {
		return "", line, "is no NMEA sentence"
	}
	body, sum, has := strings.Cut(line[at+1:], "*")
	if l.summed {
		var x byte
		for i := range len(body) {
			x ^= body[i]
		}
		said, err := strconv.ParseUint(strings.TrimSpace(sum), 16, 8)
		switch {
		case !has || err != nil:
			return "", line, "ends without its checksum"
		case byte(said) != x:
			return "", line, fmt.Sprintf("has the checksum %02X, and its letters give %02X", said, x)
		}
	}
	f := strings.Split(body, ",")
	if len(f[0]) < 3 || f[0][0] == 'P' { // a maker's own
		return "", "", ""
	}
	kind := f[0][len(f[0])-3:]
	need := func(n int) bool { return len(f) > n }
	p := &figures{}
	switch kind {
	case "DBT": // feet,f,metres,M,fathoms,F
		if !need(4) {
			return kind, line, "is too short"
		}
		for _, unit := range [3]struct {
			at int
			m  float64
		}{{3, 1}, {1, 0.3048}, {5, 1.8288}} {
			if len(f) > unit.at && f[unit.at] != "" {
				d := p.number("depth", f[unit.at], 0, deepest/unit.m) * unit.m
				if p.problem == "" {
					l.hear(&l.dbt, d, l.how.Transducer)
				}
				return p.field, p.value, p.problem
			}
		}
		l.silent++
	case "DPT": // metres, transducer to surface (to keel when negative)
		if !need(2) {
			return kind, line, "is too short"
		}
		if f[1] == "" {
			l.silent++
			return "", "", ""
		}
		d, offset := p.number("depth", f[1], 0, deepest), 0.0
		if f[2] != "" {
			offset = p.number("offset", f[2], -mostTransducer, mostTransducer)
		}
		switch {
		case p.problem != "":
		case offset > 0:
			l.hear(&l.dpt, d, offset)
		default:
			if offset < 0 {
				l.noKeel++
			}
			l.hear(&l.dpt, d, l.how.Transducer)
		}
	case "RMC": // time, status, lat, N, lon, E, speed, course, date
		if !need(9) {
			return kind, line, "is too short"
		}
		if f[2] != "A" {
			l.void++
			return "", "", ""
		}
		t := p.clock(f[1])
		date, err := time.Parse("020106", f[9])
		if err != nil {
			return "RMC, date", f[9], "is no date"
		}
		at := p.position(f[3:7])
		if p.problem == "" {
			l.dated(date)
			l.fixed(at, t)
		}
	case "GLL": // lat, N, lon, E, time, status
		if !need(4) {
			return kind, line, "is too short"
		}
		if len(f) > 6 && f[6] != "A" {
			l.void++
			return "", "", ""
		}
		t := math.NaN()
		if len(f) > 5 && f[5] != "" {
			t = p.clock(f[5])
		}
		at := p.position(f[1:5])
		if p.problem == "" {
			l.fixed(at, t)
		}
	case "GGA": // time, lat, N, lon, E, quality
		if !need(6) {
			return kind, line, "is too short"
		}
		if f[6] == "" || f[6] == "0" {
			l.void++
			return "", "", ""
		}
		t, at := p.clock(f[1]), p.position(f[2:6])
		if p.problem == "" {
			l.fixed(at, t)
		}
	}
	if p.problem != "" {
		return kind + ", " + p.field, p.value, p.problem
	}
	return "", "", ""
}

// hear takes a depth below the transducer. Sounders say 0 where they hear nothing.
func (l *nmeaLog) hear(into *[]echo, depth, offset float64) {
	if depth == 0 {
		l.silent++
		return
	}
	*into = append(*into, echo{depth + offset, len(l.fixes)})
}

// dated tells the day of this fix and, if it is the first to do so, of those before.
func (l *nmeaLog) dated(date time.Time) {
	day := int(date.Unix() / 86400)
	if l.date == "" {
		l.date = date.Format(time.DateOnly)
		for i := range l.fixes {
			l.fixes[i].t += float64(86400 * (day - l.day))
		}
	}
	l.day = day
}

// fixed takes a fix at a second of the day. Several kinds of sentence tell the
// same fix: the first counts.
func (l *nmeaLog) fixed(at geodesy.Position, second float64) {
	t := second + float64(86400*l.day)
	if n := len(l.fixes); n > 0 {
		last := l.fixes[n-1].t
		if l.date == "" && t < last-43200 { // past midnight
			l.day++
			t += 86400
		}
		if t <= last && t > last-5 {
			return
		}
	}
	l.fixes = append(l.fixes, fix{at, t})
}

// figures reads the fields of a sentence and keeps the first fault.
type figures struct{ field, value, problem string }

func (p *figures) fault(field, value, problem string) {
	if p.problem == "" {
		p.field, p.value, p.problem = field, value, problem
	}
}

func (p *figures) number(field, s string, low, high float64) float64 {
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || !(v >= low && v <= high) {
		p.fault(field, s, fmt.Sprintf("is out of range: allowed is %g to %g", low, high))
		return 0
	}
	return v
}

// clock reads hhmmss.ss as seconds of the day.
func (p *figures) clock(s string) float64 {
	if len(s) < 6 {
		p.fault("time", s, "is no time: hhmmss belongs here")
		return 0
	}
	return 3600*p.number("time", s[:2], 0, 23) + 60*p.number("time", s[2:4], 0, 59) + p.number("time", s[4:], 0, 60.999)
}

// position reads ddmm.mmm, N or S, dddmm.mmm, E or W.
func (p *figures) position(f []string) geodesy.Position {
	degrees := func(field, s, side, plus, minus string, most float64) float64 {
		v := p.number(field, s, 0, most*100)
		whole := math.Floor(v / 100)
		minutes := v - 100*whole
		v = whole + minutes/60
		switch {
		case minutes >= 60 || v > most:
			p.fault(field, s, "is no place: degrees and minutes belong here")
		case side == minus:
			v = -v
		case side != plus:
			p.fault(field, side, fmt.Sprintf("is neither %s nor %s", plus, minus))
		}
		return v
	}
	return geodesy.Position{LatDeg: degrees("latitude", f[0], f[1], "N", "S", 90), LonDeg: degrees("longitude", f[2], f[3], "E", "W", 180)}
}

// waypoint is a good fix; joined when the boat's way from the one before is known.
type waypoint struct {
	fix
	joined bool
}

// trimmed is the way of the good fixes, and for each number of fixes read how
// many of them were good.
func trimmed(fixes []fix, good, begins []bool) (way []waypoint, at []int) {
	at = make([]int, 0, len(fixes)+1)
	anew := true
	for i, f := range fixes {
		at = append(at, len(way))
		anew = anew || begins[i]
		if !good[i] {
			continue
		}
		joined := !anew
		if joined {
			last := way[len(way)-1].fix
			dt := f.t - last.t
			joined = metresBetween(last.at, f.at) <= trackBreak && (dt != dt || dt >= 0 && dt <= longestGap)
		}
		way, anew = append(way, waypoint{f, joined}), false
	}
	return way, append(at, len(way))
}

// place spreads depths along the way, in their order. Where the way on from a
// fix is not known, the depths after it, as many as came after the fix before,
// lie at the fix itself. It says how many find no place.
func (s *Soundings) place(echoes []echo, way []waypoint, at []int) (lost int) {
	track, usual, last := int32(0), 1, -1
	for i := 0; i < len(echoes); {
		after := at[echoes[i].after] // the first good fix behind these depths
		n := i + 1
		for n < len(echoes) && at[echoes[n].after] == after {
			n++
		}
		group := echoes[i:n]
		i = n
		before := after - 1
		if before < 0 {
			lost += len(group)
			continue
		}
		for k := last + 1; k <= before; k++ {
			if !way[k].joined {
				track++
			}
		}
		last = before
		from := way[before].at
		if after == len(way) || !way[after].joined {
			for k, e := range group {
				if k == usual {
					lost += len(group) - k
					break
				}
				s.List = append(s.List, Sounding{At: from, Depth: e.depth, Track: track})
			}
			continue
		}
		usual = len(group)
		to := way[after].at
		for k, e := range group {
			f := float64(k+1) / float64(len(group)+1)
			s.List = append(s.List, Sounding{Depth: e.depth, Track: track, At: geodesy.Position{
				LonDeg: math.Remainder(from.LonDeg+f*math.Remainder(to.LonDeg-from.LonDeg, 360), 360),
				LatDeg: from.LatDeg + f*(to.LatDeg-from.LatDeg),
			}})
		}
	}
	return lost
}
