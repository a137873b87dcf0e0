package water

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"windlane/internal/text"
)

// grownHeader is the first line of a survey that grows: a table that
// ReadSoundings reads like any other. Depths are at full level, so level_m is
// always 0; drawdown_m is how low the water stood when they were taken, source
// and date say where they came from, log is a fingerprint of that file.
const grownHeader = "lon,lat,depth_m,level_m,track,date,drawdown_m,source,log"

// Grown is a survey file to which a day's soundings are added at its end.
type Grown struct {
	Name      string
	Soundings *Soundings // what is in it; nil in a new one
	Torn      int        // the line of a last row that was cut short, and is left out; 0 when there is none
	whole     []byte     // the file up to the end of its last whole row
	logs      map[string]string
	places    map[string]bool // rows by place, as written
}

// Log is what is added to a survey, and where it came from.
type Log struct {
	*Soundings
	Date        string  // as 2026-05-15
	Drawdown    float64 // how low the water stood [m]
	Fingerprint string  // of the file, in hexadecimal digits, so many as tell files apart
}

// ReadGrown reads a survey file; nothing in it, or no file, is a new one. A last
// row without its end, as a full disk or a torn copy leaves it, is left out and
// told; anything else that windlane did not write so is refused.
func ReadGrown(name string, b []byte) (*Grown, error) {
	g := &Grown{Name: name, whole: b, logs: map[string]string{}, places: map[string]bool{}}
	if n := bytes.LastIndexByte(b, '\n') + 1; n < len(b) {
		if last := string(b[n:]); n > 0 && wholeRow(last) {
			g.whole = append(bytes.Clone(b), '\n')
		} else {
			g.whole, g.Torn = b[:n], 1+bytes.Count(b[:n], []byte("\n"))
		}
	}
	if len(g.whole) == 0 {
		if !strings.HasPrefix(grownHeader, strings.TrimSpace(string(b))) {
			return nil, g.fault(string(b))
		}
		return g, nil
	}
	head, rows, _ := bytes.Cut(g.whole, []byte("\n"))
	if string(bytes.TrimSpace(head)) != grownHeader {
		return nil, g.fault(string(head))
	}
	if len(bytes.TrimSpace(rows)) == 0 {
		g.whole = g.whole[:len(head)+1]
		return g, nil
	}
	table, err := text.ReadTable(name, bytes.NewReader(g.whole), soundingsBytes)
	if err != nil {
		return nil, err
	}
	for _, row := range table.Rows {
		g.places[row.Cell(0)+","+row.Cell(1)] = true
		g.logs[row.Cell(8)] = fmt.Sprintf("%s of %s", row.Cell(7), row.Cell(5))
	}
	g.Soundings, err = ReadSoundings(name, bytes.NewReader(g.whole))
	return g, err
}

func (g *Grown) fault(head string) error {
	return &text.Fault{File: g.Name, Line: 1, Value: head, Problem: "is not the first line of a survey that windlane has begun (" + grownHeader + "): name a new file to add to, and bring this one beside it"}
}

// wholeRow says whether a line without its end is whole all the same.
func wholeRow(line string) bool {
	cells := strings.Split(strings.TrimSpace(line), ",")
	if line == grownHeader {
		return true
	}
	last := cells[len(cells)-1]
	_, err := strconv.ParseUint(last, 16, 64)
	return len(cells) >= 9 && len(last) == fingerprintDigits && err == nil
}

const fingerprintDigits = 12

// Add gives the whole file anew: every byte that was kept, and the log's
// soundings at the end. A log that is in there already, by its fingerprint or,
// under another name, by half of its places, is refused.
func (g *Grown) Add(log Log) ([]byte, error) {
	if len(log.Fingerprint) != fingerprintDigits || len(log.Date) != len("2026-05-15") {
		panic(fmt.Sprintf("water: a log of %q with the fingerprint %q", log.Date, log.Fingerprint))
	}
	if had, twice := g.logs[log.Fingerprint]; twice {
		return nil, fmt.Errorf("%s: is in %s already, as %s: nothing was added", log.Name, g.Name, had)
	}
	if g.Soundings != nil && len(g.Soundings.List)+len(log.List) > mostRows {
		return nil, tooMany(g.Name, len(g.Soundings.List)+len(log.List), mostRows)
	}
	out := bytes.NewBuffer(slices.Clip(g.whole))
	if len(g.whole) == 0 {
		out.WriteString(grownHeader + "\n")
	}
	rows := csv.NewWriter(out)
	same := 0
	for _, s := range log.List {
		lon, lat := strconv.FormatFloat(s.At.LonDeg, 'f', 7, 64), strconv.FormatFloat(s.At.LatDeg, 'f', 7, 64)
		if g.places[lon+","+lat] {
			same++
		}
		// A buffer takes everything.
		_ = rows.Write([]string{lon, lat, strconv.FormatFloat(s.Depth, 'f', 2, 64), "0", fmt.Sprintf("%s.%d", log.Fingerprint, s.Track),
			log.Date, strconv.FormatFloat(log.Drawdown, 'f', -1, 64), log.Name, log.Fingerprint})
	}
	rows.Flush()
	if 2*same > len(log.List) {
		return nil, fmt.Errorf("%s: %d of its %d soundings are in %s already: nothing was added", log.Name, same, len(log.List), g.Name)
	}
	if out.Len() > soundingsBytes {
		return nil, &text.Fault{File: g.Name, Problem: fmt.Sprintf("would be larger than %d MB: begin another file", soundingsBytes>>20)}
	}
	return out.Bytes(), nil
}

// Clean is a file's soundings as the survey takes them: on the water and without
// false bottoms. What was left out stands in its remarks. Nothing of it on the
// water is an error, as it is to Survey.
func (w *Water) Clean(f *Soundings) (*Soundings, error) {
	at := *w
	at.Remarks = nil
	in, err := at.lay(f, Settings{})
	if err != nil {
		return nil, err
	}
	out := &Soundings{Name: f.Name, Date: f.Date, Remarks: at.Remarks, List: make([]Sounding, len(in))}
	for i, one := range in {
		out.List[i] = Sounding{At: w.Plane.Position(one.at[0], one.at[1]), Depth: one.depth, Track: max(one.track, 0)}
	}
	return out, nil
}

// Table is soundings as a table that ReadSoundings reads, at full level.
func (s *Soundings) Table() []byte {
	out := []byte("lon,lat,depth_m,level_m,track\n")
	for _, one := range s.List {
		out = fmt.Appendf(out, "%.9f,%.9f,%g,0,%d\n", one.At.LonDeg, one.At.LatDeg, one.Depth, one.Track)
	}
	return out
}
