package forecast

import (
	"io"
	"regexp"
	"sort"
	"strings"
	"time"

	"windlane/internal/text"
	"windlane/quantity"
)

var (
	span  = regexp.MustCompile(`^(\d{4})/(\d{4})$`)
	fromG = regexp.MustCompile(`^FM(\d{6})$`)
	probG = regexp.MustCompile(`^PROB([34]0)$`)
	maxT  = regexp.MustCompile(`^T[XN]M?\d{2}/\d{4}Z$`)
)

// change is how a part of a TAF comes about.
type change int

const (
	base      change = iota // from the beginning
	from                    // FM: all is new from then on
	becoming                // BECMG: over the span, what is named is new
	temporary               // TEMPO or PROB: may come, for less than half of the span
)

// part is one part of a TAF.
type part struct {
	state
	change      change
	from, until time.Time
	chance      quantity.Probability // of a temporary one
}

// tempoChance is how likely thunder told by TEMPO without a PROB is taken to be:
// it is expected, for less than half of the time. A modelling choice.
const tempoChance = 0.5

// ReadTAF reads an aerodrome forecast (FM 51); of several the one issued last.
// Days of the month are taken nearest to day. FM takes effect at its minute,
// BECMG changes the wind evenly over its span; TEMPO and PROB leave the wind
// alone and show as Squall and ThunderChance of the hours they touch.
// The result has a row for every hour and for every change.
func ReadTAF(name string, r io.Reader, day time.Time) (*Forecast, error) {
	b, err := text.ReadAll(name, r, codeLimit)
	if err != nil {
		return nil, err
	}
	toks := tokens(b)
	var best *Forecast
	var issuedBest time.Time
	count := 0
	for i := 0; i < len(toks); i++ {
		at := issuedAt.FindStringSubmatch(toks[i].text)
		if at == nil {
			continue
		}
		d := digits(at[1])
		issued, ok := resolve(day, d[0], d[1], d[2])
		if !ok {
			return nil, fault(name, toks[i], "is not a day, hour and minute: 150500Z is the 15th at 05:00")
		}
		f, err := readTAF(name, toks, i, issued)
		if err != nil {
			return nil, err
		}
		if f == nil { // missing or cancelled
			continue
		}
		if count++; best == nil || issued.After(issuedBest) {
			best, issuedBest = f, issued
		}
	}
	if best == nil {
		return nil, &text.Fault{File: name, Problem: "holds no forecast: TAF, station, time such as 150500Z, span such as 1506/1512, wind such as 24008KT"}
	}
	if count > 1 {
		best.Remarks = append(best.Remarks, "several forecasts: the one issued last is used")
	}
	best.Raw = string(b)
	return best, nil
}

// readTAF reads one forecast whose time of issue is at i. nil, nil when it says
// that it is missing or cancelled.
func readTAF(name string, toks []token, i int, issued time.Time) (*Forecast, error) {
	f := &Forecast{Source: name}
	if toks[i].end || i+1 >= len(toks) || toks[i+1].text == "NIL" {
		return nil, nil
	}
	i++
	begin, end, err := readSpan(name, toks[i], issued)
	if err != nil {
		return nil, err
	}
	parts := []part{{change: base, from: begin, until: end}}
	chance := quantity.Probability(0) // of a PROB whose span is still to come
	for ended := toks[i].end; !ended; {
		if i++; i >= len(toks) {
			break
		}
		g := toks[i].text
		if g == "TAF" || i+1 < len(toks) && station.MatchString(g) && issuedAt.MatchString(toks[i+1].text) {
			break
		}
		ended = toks[i].end
		now := &parts[len(parts)-1]
		switch {
		case g == "CNL":
			return nil, nil
		case g == "RMK":
			f.Remarks = append(f.Remarks, "RMK: what follows is not used")
			ended = true
		case fromG.MatchString(g):
			d := digits(g[2:])
			t, ok := resolve(begin, d[0], d[1], d[2])
			if !ok {
				return nil, fault(name, toks[i], "is not FM, day, hour and minute")
			}
			parts = append(parts, part{change: from, from: t, until: end})
		case probG.MatchString(g):
			chance = 0.3
			if g == "PROB40" {
				chance = 0.4
			}
			if i+1 < len(toks) && toks[i+1].text == "TEMPO" {
				continue // one part of both words, read at TEMPO
			}
			fallthrough
		case g == "BECMG" || g == "TEMPO":
			p := part{change: becoming, chance: chance}
			if g != "BECMG" {
				p.change = temporary
				if chance == 0 {
					p.chance = tempoChance
				}
			}
			chance = 0
			if ended || i+1 >= len(toks) {
				return nil, fault(name, toks[i], "lacks its span, such as 1508/1510")
			}
			i++
			if p.from, p.until, err = readSpan(name, toks[i], begin); err != nil {
				return nil, err
			}
			ended = toks[i].end
			parts = append(parts, p)
		case maxT.MatchString(g):
			f.Remarks = append(f.Remarks, g+": highest or lowest temperature")
		case strings.HasPrefix(g, "WS") || g == "AMD" || g == "COR" || g == "AUTO":
			f.Remarks = append(f.Remarks, g+": not used")
		default:
			f.read(&now.state, g)
		}
	}
	if !parts[0].hasWind {
		return nil, fault(name, toks[min(i, len(toks)-1)], "ends a forecast that tells no wind: a group such as 24008KT follows the span")
	}
	f.Hours = hourly(parts, begin, end)
	return f, nil
}

func readSpan(name string, t token, near time.Time) (begin, end time.Time, err error) {
	m := span.FindStringSubmatch(t.text)
	if m == nil {
		return begin, end, fault(name, t, "is no span of day and hour: 1506/1512 is from the 15th 06:00 to the 15th 12:00")
	}
	d := append(digits(m[1]), digits(m[2])...)
	begin, ok := resolve(near, d[0], d[1], 0)
	end, ok2 := resolve(begin, d[2], d[3], 0)
	if !ok || !ok2 || !end.After(begin) || end.Sub(begin) > 72*time.Hour {
		return begin, end, fault(name, t, "is no span: day and hour (0 to 24) of its beginning, then of its end, at most 72 h later")
	}
	return begin, end, nil
}

// hourly draws the rows out of the parts.
func hourly(parts []part, begin, end time.Time) []Hour {
	var times []time.Time
	for t := begin.Truncate(time.Hour); !t.After(end); t = t.Add(time.Hour) {
		times = append(times, t)
	}
	for _, p := range parts {
		times = append(times, p.from, p.until)
		if p.change == from {
			times = append(times, p.from.Add(-time.Minute)) // the wind before it holds to the last
		}
	}
	sort.Slice(times, func(i, j int) bool { return times[i].Before(times[j]) })
	var hours []Hour
	for _, t := range times {
		if t.Before(begin) || t.After(end) || len(hours) > 0 && hours[len(hours)-1].At.Equal(t) {
			continue
		}
		hours = append(hours, stateAt(parts, t))
	}
	return hours
}

// stateAt is the weather that the parts tell for a time.
func stateAt(parts []part, t time.Time) Hour {
	now := parts[0].state
	for _, p := range parts[1:] {
		switch {
		case p.change == from && !t.Before(p.from):
			if !p.hasWind {
				p.hour = withWind(p.hour, now.hour)
			}
			now = p.state
		case p.change == becoming && t.After(p.from):
			now = become(now, p, t)
		}
	}
	h := now.hour
	h.At = t
	h.Weather = strings.Join(now.weather, " ")
	if now.thunder() {
		h.ThunderChance = 1
	}
	for _, p := range parts {
		if p.change != temporary || t.Before(p.from) || !t.Before(p.until) {
			continue
		}
		if p.hasWind {
			h.Squall = max(h.Squall, p.hour.Speed, p.hour.Gust)
		}
		if p.thunder() {
			h.ThunderChance = max(h.ThunderChance, p.chance)
		}
		if len(p.weather) > 0 {
			h.Weather = strings.TrimSpace(h.Weather + " (" + strings.Join(p.weather, " ") + ")")
		}
	}
	return h
}

func withWind(h, wind Hour) Hour {
	h.Speed, h.Gust, h.HasGust, h.From, h.Variable, h.Calm = wind.Speed, wind.Gust, wind.HasGust, wind.From, wind.Variable, wind.Calm
	return h
}

// become is now on its way to what p names, at t after p's beginning.
func become(now state, p part, t time.Time) state {
	share := 1.0
	if t.Before(p.until) {
		share = float64(t.Sub(p.from)) / float64(p.until.Sub(p.from))
	}
	h := now.hour
	if p.hasWind {
		target := withWind(h, p.hour)
		if share < 1 {
			h = withWind(h, blend(h, target, share))
		} else {
			h = target
		}
	}
	if p.hour.HasCloud {
		if !h.HasCloud {
			h.Oktas = p.hour.Oktas
		}
		h.Oktas, h.HasCloud = h.Oktas+(p.hour.Oktas-h.Oktas)*share, true
	}
	if p.hour.HasVisibility {
		h.Visibility, h.HasVisibility = p.hour.Visibility, true
	}
	if p.hour.HasPressure {
		h.PressureHPa, h.HasPressure = p.hour.PressureHPa, true
	}
	now.hour = h
	switch {
	case len(p.weather) > 0:
		now.weather = p.weather
	case p.noWeather && share == 1:
		now.weather = nil
	}
	return now
}
