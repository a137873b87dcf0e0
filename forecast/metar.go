package forecast

import (
	"io"
	"regexp"
	"sort"
	"strings"
	"time"

	"windlane/internal/text"
)

var (
	station   = regexp.MustCompile(`^[A-Z][A-Z0-9]{3}$`)
	issuedAt  = regexp.MustCompile(`^(\d{6})Z$`)
	noiseWord = map[string]bool{"METAR": true, "SPECI": true, "COR": true, "AUTO": true, "AMD": true}
)

// ReadMETAR reads aerodrome reports (FM 15 METAR, FM 16 SPECI), one or many, in
// any order; each ends with = or with the next station and time. Days of the
// month are taken nearest to day. A later report of the same time replaces the
// one before. Trends and remarks after RMK are not used.
func ReadMETAR(name string, r io.Reader, day time.Time) (*Forecast, error) {
	b, err := text.ReadAll(name, r, codeLimit)
	if err != nil {
		return nil, err
	}
	f := &Forecast{Source: name, Raw: string(b)}
	toks := tokens(b)
	for i := 0; i < len(toks); {
		at := issuedAt.FindStringSubmatch(toks[i].text)
		if at == nil {
			if !station.MatchString(toks[i].text) && !noiseWord[toks[i].text] {
				f.Remarks = append(f.Remarks, toks[i].text+": before any report, not used")
			}
			i++
			continue
		}
		d := digits(at[1])
		t, ok := resolve(day, d[0], d[1], d[2])
		if !ok {
			return nil, fault(name, toks[i], "is not a day, hour and minute: 151020Z is the 15th at 10:20")
		}
		var s state
		i = f.readReport(&s, toks, i)
		if !s.hasWind {
			continue
		}
		h := s.hour
		h.At = t
		h.Weather = strings.Join(s.weather, " ")
		if s.thunder() {
			h.ThunderChance = 1
		}
		f.insert(h)
	}
	if len(f.Hours) == 0 {
		return nil, &text.Fault{File: name, Problem: "holds no report with a wind: METAR, station, time such as 151020Z, wind such as 24015G27KT"}
	}
	return f, nil
}

// readReport reads the groups after the time at i and gives where they end.
func (f *Forecast) readReport(s *state, toks []token, i int) int {
	body := true
	for ended := toks[i].end; !ended; {
		if i++; i >= len(toks) {
			break
		}
		g := toks[i].text
		if i+1 < len(toks) && issuedAt.MatchString(toks[i+1].text) && station.MatchString(g) || g == "METAR" || g == "SPECI" {
			return i
		}
		ended = toks[i].end
		switch {
		case g == "NIL" || noiseWord[g]:
		case g == "NOSIG" || g == "BECMG" || g == "TEMPO" || g == "RMK":
			body = false // trends tell of the next two hours, remarks vary by country
		case !body:
		case varyGroup.MatchString(g):
			f.Remarks = append(f.Remarks, g+": the direction swings between these")
		default:
			f.read(s, g)
		}
	}
	return min(i+1, len(toks))
}

// read takes a group into s, and into the remarks if it is not understood.
func (f *Forecast) read(s *state, g string) {
	if c, ok := temperature(g); ok {
		s.hour.AirC, s.hour.HasAir = c, true
		return
	}
	if p, ok := pressure(g); ok {
		s.hour.PressureHPa, s.hour.HasPressure = p, true
		return
	}
	known, remark := s.read(g)
	if !known {
		remark = g + ": not understood"
	}
	if remark != "" {
		f.Remarks = append(f.Remarks, remark)
	}
}

// insert puts an hour in its place, over one of the same time.
func (f *Forecast) insert(h Hour) {
	i := sort.Search(len(f.Hours), func(i int) bool { return !f.Hours[i].At.Before(h.At) })
	if i < len(f.Hours) && f.Hours[i].At.Equal(h.At) {
		f.Hours[i] = h
		return
	}
	f.Hours = append(f.Hours, Hour{})
	copy(f.Hours[i+1:], f.Hours[i:])
	f.Hours[i] = h
}
