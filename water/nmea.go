package water

import (
	"bytes"
	"fmt"
	"math"
	"time"

	"windlane/geodesy"
	"windlane/internal/nmea"
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
		if fault := log.sentence(string(line)); fault != nil {
			if log.damaged++; log.first == nil {
				log.first = &text.Fault{File: name, Line: number, Field: fault.Field, Value: fault.Value, Problem: fault.Problem}
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
func (l *nmeaLog) sentence(line string) *nmea.Fault {
	s, fault := nmea.Split(line, l.summed)
	if fault != nil {
		return fault
	}
	f, is, fault := s.Fix()
	switch {
	case fault != nil:
		return fault
	case is && f.Void:
		l.void++
		return nil
	case is:
		if f.Day != 0 {
			l.dated(f.Day)
		}
		l.fixed(geodesy.Position{LonDeg: f.LonDeg, LatDeg: f.LatDeg}, f.Second, f.Day != 0)
		return nil
	}
	d, is, fault := s.Depth(deepest, mostTransducer)
	switch {
	case fault != nil:
		return fault
	case !is:
	case d.Metres != d.Metres:
		l.silent++
	case s.Kind == "DBT":
		l.dbt = append(l.dbt, echo{d.Metres + l.how.Transducer, len(l.fixes)})
	case d.Offset > 0:
		l.dpt = append(l.dpt, echo{d.Metres + d.Offset, len(l.fixes)})
	default:
		if d.Offset < 0 {
			l.noKeel++
		}
		l.dpt = append(l.dpt, echo{d.Metres + l.how.Transducer, len(l.fixes)})
	}
	return nil
}

// dated tells the day of this fix and, if it is the first to do so, of those before.
func (l *nmeaLog) dated(day int) {
	if l.date == "" {
		l.date = time.Unix(86400*int64(day), 0).UTC().Format(time.DateOnly)
		for i := range l.fixes {
			l.fixes[i].t += float64(86400 * (day - l.day))
		}
	}
	l.day = day
}

// fixed takes a fix at a second of the day; dated, where its sentence tells the
// day too. Several kinds of sentence tell the same fix: the first counts.
func (l *nmeaLog) fixed(at geodesy.Position, second float64, dated bool) {
	t := second + float64(86400*l.day)
	if n := len(l.fixes); n > 0 {
		last := l.fixes[n-1].t
		if !dated && t < last-43200 { // past midnight
			l.day++
			t += 86400
		}
		if t <= last && t > last-5 {
			return
		}
	}
	l.fixes = append(l.fixes, fix{at, t})
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
