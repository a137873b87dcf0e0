package forecast

import (
	"regexp"
	"strconv"
	"strings"
	"time"

	"windlane/internal/text"
	"windlane/quantity"
)

// The groups that METAR and TAF share, after WMO-No. 306 Vol. I.1, FM 15 and
// FM 51. Groups not known here are kept as remarks and never fail.

const codeLimit = 1 << 20 // [bytes]

// token is one group with the line it stands on; end is the mark = after it.
type token struct {
	text string
	line int
	end  bool
}

// tokens cuts a text into groups.
func tokens(b []byte) []token {
	var out []token
	for i, line := range strings.Split(string(b), "\n") {
		if strings.HasPrefix(strings.TrimSpace(line), "#") {
			continue
		}
		for _, w := range strings.Fields(strings.ReplaceAll(line, "=", " = ")) {
			if w == "=" {
				if len(out) > 0 {
					out[len(out)-1].end = true
				}
				continue
			}
			out = append(out, token{text: strings.ToUpper(w), line: i + 1})
		}
	}
	return out
}

// state is what the groups of one report or one part of a forecast say.
type state struct {
	hour      Hour // its At is not used
	hasWind   bool
	hasCloud  bool // clouds, or that there are none
	weather   []string
	noWeather bool // NSW: what was before has ended
}

var (
	windGroup  = regexp.MustCompile(`^(\d{3}|VRB)(P?)(\d{2,3})(?:G(P?)(\d{2,3}))?(KT|MPS|KMH)$`)
	varyGroup  = regexp.MustCompile(`^(\d{3})V(\d{3})$`)
	cloudGroup = regexp.MustCompile(`^(FEW|SCT|BKN|OVC|VV)(\d{3}|///)(CB|TCU|///)?$`)
	visGroup   = regexp.MustCompile(`^(\d{4})(NDV|[NESW]{1,2})?$`)
	milesGroup = regexp.MustCompile(`^([PM]?)(\d{1,2})SM$`)
	tempGroup  = regexp.MustCompile(`^(M?\d{2})/(M?\d{2}|//)?$`)
	qnhGroup   = regexp.MustCompile(`^(?:Q(\d{4})|A(\d{4})|QNH(\d{4})INS)$`)
	weatherTS  = regexp.MustCompile(`^(?:[+-]|VC|RE)?(?:(?:MI|PR|BC|DR|BL|SH|TS|FZ)(?:DZ|RA|SN|SG|PL|GR|GS|UP|FG|SS|DS|SA|DU)*|(?:DZ|RA|SN|SG|PL|GR|GS|UP|BR|FG|FU|VA|DU|SA|HZ|PO|SQ|FC|SS|DS)+)$`)
)

// speedOf gives the value of one unit of a wind group. [m/s]
func speedOf(unit string) float64 {
	switch unit {
	case "MPS":
		return 1
	case "KMH":
		return 1 / 3.6
	}
	return 1852.0 / 3600
}

const (
	hPaPerInHg = 33.863886 // inch of mercury at 32 °F, 3386.3886 Pa, by convention
	statute    = 1609.344  // statute mile, by definition. [m]
)

// oktasOf is the middle of the eighths that a cloud amount stands for: few 1 to
// 2, scattered 3 to 4, broken 5 to 7, overcast 8. [1]
var oktasOf = map[string]float64{"FEW": 1.5, "SCT": 3.5, "BKN": 6, "OVC": 8, "VV": 8}

// read takes in a group; known is false when it is none of these, remark holds
// what is worth saying about one that is.
func (s *state) read(g string) (known bool, remark string) {
	h := &s.hour
	if m := windGroup.FindStringSubmatch(g); m != nil {
		speed, _ := strconv.ParseFloat(m[3], 64)
		speed *= speedOf(m[6])
		gust := 0.0
		if m[5] != "" {
			gust, _ = strconv.ParseFloat(m[5], 64)
			gust *= speedOf(m[6])
		}
		deg, _ := strconv.ParseFloat(m[1], 64)
		if m[1] != "VRB" && deg > 360 {
			return false, ""
		}
		s.hasWind = true
		h.Speed, h.Calm, h.Variable, h.From = speed, speed == 0, m[1] == "VRB" && speed > 0, 0
		h.Gust, h.HasGust = 0, false
		if !h.Variable && !h.Calm {
			h.From = quantity.FromDegrees(deg)
		}
		switch {
		case m[5] != "" && gust < speed:
			remark = g + ": the gust is below the mean and is left out"
		case m[5] != "":
			h.Gust, h.HasGust = gust, true
		}
		if m[2] == "P" || m[4] == "P" {
			remark = g + ": the wind is above that figure"
		}
		return true, remark
	}
	if g == "CAVOK" {
		h.Oktas, h.HasCloud, h.Visibility, h.HasVisibility = 0, true, 10000, true
		s.hasCloud, s.noWeather, s.weather = true, true, nil
		return true, "CAVOK: no cloud below 5000 ft; high cloud is not told"
	}
	switch g {
	case "SKC", "CLR", "NSC", "NCD":
		h.Oktas, h.HasCloud, s.hasCloud = 0, true, true
		return true, ""
	case "NSW":
		s.noWeather, s.weather = true, nil
		return true, ""
	}
	if m := cloudGroup.FindStringSubmatch(g); m != nil {
		oktas := oktasOf[m[1]]
		if s.hasCloud { // the fullest of several layers
			oktas = max(oktas, h.Oktas)
		}
		h.Oktas, h.HasCloud, s.hasCloud = oktas, true, true
		if m[3] == "CB" {
			remark = g + ": thunder cloud in sight or expected"
		}
		return true, remark
	}
	if m := visGroup.FindStringSubmatch(g); m != nil {
		v, _ := strconv.ParseFloat(m[1], 64)
		if v == 9999 {
			v = 10000
		}
		if m[2] == "" || m[2] == "NDV" { // a second group with a direction is the worst of one side
			h.Visibility, h.HasVisibility = v, true
		}
		return true, ""
	}
	if m := milesGroup.FindStringSubmatch(g); m != nil {
		v, _ := strconv.ParseFloat(m[2], 64)
		h.Visibility, h.HasVisibility = min(v*statute, 10000), true
		return true, ""
	}
	if weatherTS.MatchString(g) {
		if strings.HasPrefix(g, "RE") { // recent, not present
			return true, g + ": recent weather"
		}
		s.weather = append(s.weather, g)
		return true, ""
	}
	return false, ""
}

// thunder says whether the weather groups tell of thunder.
func (s *state) thunder() bool {
	for _, w := range s.weather {
		if strings.Contains(w, "TS") {
			return true
		}
	}
	return false
}

// temperature reads M02/M05; the dew point is not kept.
func temperature(g string) (c float64, ok bool) {
	m := tempGroup.FindStringSubmatch(g)
	if m == nil {
		return 0, false
	}
	c, _ = strconv.ParseFloat(strings.TrimPrefix(m[1], "M"), 64)
	if strings.HasPrefix(m[1], "M") {
		c = -c
	}
	return c, true
}

// pressure reads Q1013, A2992 or QNH2992INS. [hPa]
func pressure(g string) (hPa float64, ok bool) {
	m := qnhGroup.FindStringSubmatch(g)
	if m == nil {
		return 0, false
	}
	inches := m[2] + m[3]
	if inches != "" {
		v, _ := strconv.ParseFloat(inches, 64)
		hPa = v / 100 * hPaPerInHg
	} else {
		hPa, _ = strconv.ParseFloat(m[1], 64)
	}
	return hPa, hPa > 850 && hPa < 1100
}

// resolve turns a day of the month and an hour from 0 to 24 into the time
// nearest to near. ok is false when no month near it has such a day.
func resolve(near time.Time, day, hour, minute int) (t time.Time, ok bool) {
	near = near.UTC()
	if hour > 24 || minute > 59 || hour == 24 && minute > 0 {
		return t, false
	}
	for shift := -1; shift <= 1; shift++ {
		first := time.Date(near.Year(), near.Month()+time.Month(shift), 1, 0, 0, 0, 0, time.UTC)
		c := first.AddDate(0, 0, day-1)
		if day < 1 || c.Month() != first.Month() {
			continue
		}
		c = c.Add(time.Duration(hour)*time.Hour + time.Duration(minute)*time.Minute)
		if !ok || absDuration(c.Sub(near)) < absDuration(t.Sub(near)) {
			t, ok = c, true
		}
	}
	return t, ok
}

func absDuration(d time.Duration) time.Duration {
	if d < 0 {
		return -d
	}
	return d
}

// digits cuts a string of digits into numbers of two.
func digits(s string) []int {
	var out []int
	for ; len(s) >= 2; s = s[2:] {
		n, _ := strconv.Atoi(s[:2])
		out = append(out, n)
	}
	return out
}

func fault(name string, t token, problem string) error {
	return &text.Fault{File: name, Line: t.line, Value: t.text, Problem: problem}
}
