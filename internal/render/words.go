package render

import (
	"fmt"
	"math"
	"sort"
	"strconv"
	"strings"
	"time"

	"windlane/brief"
	"windlane/quantity"
)

// What the pictures, the tables and the text share: how a figure is said.

const unknown = "not known"

func clock(t time.Time) string { return t.Format("15:04") }

// day is "Tue 14 April", in the water's own clock.
func day(b brief.Brief) string { return b.From.Format("Mon 2 January") }

// known says a figure, or that nobody knows it.
func known(v float64, say func(float64) string) string {
	if !finite(v) {
		return unknown
	}
	return say(v)
}

func whole(v float64) string {
	return known(v, func(v float64) string { return short(math.Round(v), 0) })
}

func percent(v float64) string {
	return known(v, func(v float64) string { return strconv.Itoa(int(math.Round(v*100))) + " %" })
}

// bands says "7 to 10" for one, "4 to 6 or 11 to 14" for two, figures only.
func bands(u quantity.System, bs []brief.Band) string {
	var parts []string
	for _, b := range bs {
		if finite(b.Top) && finite(b.Bottom) {
			parts = append(parts, u.DepthFigure(b.Top)+" to "+u.DepthFigure(b.Bottom))
		}
	}
	if len(parts) == 0 {
		return unknown
	}
	return strings.Join(parts, " or ")
}

func bandsWithUnit(u quantity.System, bs []brief.Band) string {
	s := bands(u, bs)
	if s == unknown {
		return s
	}
	return s + " " + u.DepthUnit()
}

// drogueWord says whether the drogue is in the water. "In" and "out" would each
// be taken for the water by one and for the boat by another.
func drogueWord(set bool) string {
	if set {
		return "set"
	}
	return "none"
}

// within says a figure with its least and most, "5 (4 to 7)"; alone where they round to it.
func within(v, low, high float64, say func(float64) string) string {
	s := known(v, say)
	if !finite(v) || !finite(low) || !finite(high) || (low == 0 && high == 0) {
		return s
	}
	l, h := say(low), say(high)
	if l == s && h == s {
		return s
	}
	return s + " (" + l + " to " + h + ")"
}

// table is the figures of a picture as text.
type table struct {
	caption string
	head    []string
	rows    [][]string
	words   []bool // columns of words, set to the left; figures to the right
}

func (t *table) row(cells ...string) { t.rows = append(t.rows, cells) }

func (t *table) isWords(column int) bool { return column < len(t.words) && t.words[column] }

func hoursTable(b brief.Brief) table {
	u := b.Units
	t := table{
		caption: "The day by the hour",
		head: []string{"Hour", "Wind from", "Wind, " + u.WindUnit(), "Gusts, " + u.WindUnit(), "Chop, " + u.WaveUnit(),
			"Light", "Drift, " + u.DriftUnit(), "Without drogue", "Drogue", "Air", "Their depth, " + u.DepthUnit()},
		words: []bool{true, true, false, false, false, false, false, false, true, false, true},
	}
	for _, h := range b.Hours {
		gust := known(h.Gust, u.WindFigure)
		if h.GustLimit {
			gust += ", over the limit"
		}
		t.row(clock(h.At), windFrom(h), known(h.Wind, u.WindFigure), gust,
			within(h.Wave, h.WaveLow, h.WaveHigh, u.WaveFigure), percent(h.Light),
			within(h.Drift, h.DriftLow, h.DriftHigh, u.DriftFigure), known(h.DriftBare, u.DriftFigure),
			drogueWord(h.Drogue), known(h.AirC, u.Temperature), bands(u, h.Bands))
	}
	return t
}

// windFrom says where an hour's wind comes from, or that nobody can.
func windFrom(h brief.Hour) string {
	if h.Shifting {
		return "var"
	}
	return compass(h.WindFrom)
}

func compass(f quantity.From) string {
	if !finite(float64(f)) {
		return unknown
	}
	return quantity.Bearing(f).Compass()
}

// beliefTable says the ruling: each layer's likelihood in tenths of the greatest.
func beliefTable(b brief.Brief) table {
	u := b.Units
	t := table{caption: "How likely they are at each depth, in tenths of the likeliest", head: []string{"Depth, " + u.DepthUnit()}, words: []bool{true}}
	deep := 0.0
	for _, h := range b.Hours {
		t.head = append(t.head, clock(h.At))
		deep = math.Max(deep, beliefDepth(h.Belief, h.LayerDepth))
	}
	step := stepOf(u, deep, 12)
	for top := 0.0; deep > 0 && top < deep-1e-9; top += step {
		cells := []string{u.DepthFigure(top) + " to " + u.DepthFigure(top+step)}
		for _, h := range b.Hours {
			cells = append(cells, known(meanBelief(h.Belief, h.LayerDepth, top, top+step), func(v float64) string {
				return strconv.Itoa(int(math.Round(v * 10)))
			}))
		}
		t.rows = append(t.rows, cells)
	}
	return t
}

// stepOf is a round depth step in the person's units that makes at most n steps of deep. [m]
func stepOf(u quantity.System, deep float64, n int) float64 {
	unit, first := 0.3048, 1.0
	if u == quantity.Metric {
		unit, first = 1, 0.5
	}
	for step := first; ; step *= 10 {
		for _, k := range []float64{1, 2, 5} {
			s := step * k
			if first == 0.5 && k == 5 {
				s = step * 4 // half, one, two metres; then five, ten, twenty
			}
			if !(deep/(s*unit) > float64(n)) {
				return s * unit
			}
		}
	}
}

// meanBelief is the mean of the layers between two depths; NaN where there are none.
func meanBelief(belief []float64, layer, top, bottom float64) float64 {
	if !(layer > 0) {
		return math.NaN()
	}
	sum, n := 0.0, 0.0
	for i, v := range belief {
		over := math.Min(bottom, float64(i+1)*layer) - math.Max(top, float64(i)*layer)
		if over > 1e-9 && finite(v) {
			sum += v * over
			n += over
		}
	}
	if n == 0 {
		return math.NaN()
	}
	return sum / n
}

// beliefDepth is the depth above which 95 % of the belief lies. [m]
func beliefDepth(belief []float64, layer float64) float64 {
	sum := 0.0
	for _, v := range belief {
		if finite(v) {
			sum += v
		}
	}
	if !(sum > 0) || !(layer > 0) {
		return 0
	}
	run := 0.0
	for i, v := range belief {
		if finite(v) {
			run += v
		}
		if run >= 0.95*sum {
			return float64(i+1) * layer
		}
	}
	return float64(len(belief)) * layer
}

func driftTable(b brief.Brief, d brief.Drift) table {
	u := b.Units
	t := table{caption: fmt.Sprintf("Drift %d, minute by minute", d.Number),
		head: []string{"Minute", "Bed, " + u.DepthUnit(), "Passing"}, words: []bool{false, false, true}}
	for _, s := range fives(d) {
		bed := known(s.Bed, u.DepthFigure)
		if finite(s.Bed) && !s.Sounded {
			bed += ", not sounded"
		}
		var passing []string
		for _, p := range d.Passes {
			if p.FromMinute <= s.Minute+1e-9 && p.ToMinute >= s.Minute-1e-9 {
				passing = append(passing, p.What)
			}
		}
		t.row(whole(s.Minute), bed, strings.Join(passing, "; "))
	}
	return t
}

// fives are the steps of a drift at each five minutes and at its end, each minute
// once as it is said.
func fives(d brief.Drift) []brief.Step {
	var out []brief.Step
	for i, s := range d.Track {
		if last := i == len(d.Track)-1; !finite(s.Minute) || !last && math.Mod(s.Minute, 5) > 1e-9 {
			continue
		}
		if n := len(out); n > 0 && whole(out[n-1].Minute) == whole(s.Minute) {
			out = out[:n-1]
		}
		out = append(out, s)
	}
	return out
}

// minutes says "12–16 min" or "12 min".
func minutes(p brief.Pass) string {
	a, z := whole(p.FromMinute), whole(p.ToMinute)
	if a == z {
		return a + " min"
	}
	return a + " to " + z + " min"
}

func placesTable(b brief.Brief) table {
	t := table{caption: "Places on the lake", head: []string{"Place", "Kind"}, words: []bool{true, true}}
	for _, p := range b.Lake.Places {
		name := p.Name
		if name == "" {
			name = kindWords(p.Kind)
		}
		t.row(name, kindWords(p.Kind))
	}
	return t
}

func kindWords(kind string) string { return strings.NewReplacer("_", " ", "-", " ").Replace(kind) }

func pathTable(b brief.Brief, s brief.SetUp, step float64) table {
	u := b.Units
	t := table{caption: "Where the flies are, second by second", head: []string{"Second"}, words: []bool{false}}
	for _, f := range s.Flies {
		t.head = append(t.head, capital(f.Role)+", "+u.DepthUnit())
		t.words = append(t.words, false)
	}
	t.head = append(t.head, "Doing")
	t.words = append(t.words, true)
	if len(s.Flies) == 0 || !(s.Cast.Span > 0) {
		return t
	}
	for sec := 0.0; sec <= s.Cast.Span+1e-9 && sec < 1000; sec += step {
		cells := []string{whole(sec)}
		seen := false
		for _, f := range s.Flies {
			p, ok := at(f.Path, sec)
			if !ok {
				cells = append(cells, "out of the water")
				continue
			}
			seen = true
			cell := u.DepthFigure(math.Max(0, p.Depth))
			if inside(s.Cast.Band, p.Depth) {
				cell += ", at their depth"
			}
			cells = append(cells, cell)
		}
		if seen {
			t.rows = append(t.rows, append(cells, phase(s, sec)))
		}
	}
	return t
}

// phase is what the hands do at a second of the cast.
func phase(s brief.SetUp, second float64) string {
	switch c := s.Cast; {
	case second < c.CountEnd && s.Count == 0:
		return "sink"
	case second < c.CountEnd:
		return "count"
	case second < c.PullEnd:
		return pulling(s)
	case second < c.HangEnd:
		return "hang"
	}
	return "lift"
}

func pulling(s brief.SetUp) string {
	switch {
	case strings.Contains(s.Pull, "roly-poly"):
		return "roly-poly"
	case s.Cast.PullEvery > 0 || strings.Contains(s.Pull, " pulls"):
		return "pull"
	case strings.Contains(s.Pull, "figure-of-eight"):
		return "figure-of-eight"
	case s.Pull == "" || strings.Contains(s.Pull, "still") || strings.Contains(strings.ToLower(s.Pull), "let "):
		return "let lie"
	}
	return "steady"
}

// at is where a path is at a second, between its samples; false outside them.
func at(path []brief.Sample, second float64) (brief.Sample, bool) {
	for i, s := range path {
		if !finite(s.Second) || !finite(s.Depth) {
			continue
		}
		if math.Abs(s.Second-second) < 1e-9 {
			return s, true
		}
		if s.Second > second {
			if i == 0 || !finite(path[i-1].Second) || !finite(path[i-1].Depth) {
				return brief.Sample{}, false
			}
			p := path[i-1]
			f := (second - p.Second) / (s.Second - p.Second)
			return brief.Sample{Second: second, Depth: p.Depth + f*(s.Depth-p.Depth), X: p.X + f*(s.X-p.X)}, true
		}
	}
	return brief.Sample{}, false
}

func inside(bs []brief.Band, depth float64) bool {
	for _, b := range bs {
		if depth >= b.Top && depth <= b.Bottom {
			return true
		}
	}
	return false
}

func fliesTable(b brief.Brief, s brief.SetUp) table {
	u := b.Units
	t := table{caption: "Where the flies go, depths in " + u.DepthUnit(), words: []bool{true}}
	t.head = []string{"Fly"}
	counted := s.Count > 0
	if counted {
		t.head = append(t.head, "At the count")
	}
	t.head = append(t.head, "Deepest", "End of hang", "At their depth, s")
	for _, f := range s.Flies {
		cells := []string{strings.Join(filled(capital(f.Role), f.Name), ", ")}
		if counted {
			cells = append(cells, known(f.AtCount, u.DepthFigure))
		}
		t.rows = append(t.rows, append(cells, known(f.Deepest, u.DepthFigure), known(f.AtHang, u.DepthFigure), whole(f.In)))
	}
	return t
}

// tell is the set-up's cast in one line, as one would say it in a boat.
func tell(b brief.Brief, s brief.SetUp) string {
	var parts []string
	switch {
	case s.Count > 0 && s.Pull != "":
		parts = append(parts, "Count "+whole(s.Count)+", then "+lowered(s.Pull))
	case s.Count > 0:
		parts = append(parts, "Count "+whole(s.Count))
	case s.Pull != "":
		parts = append(parts, "No count: "+lowered(s.Pull))
	default:
		parts = append(parts, "No count")
	}
	if hang := s.Cast.HangEnd - s.Cast.PullEnd; hang >= 1 {
		parts = append(parts, "hang "+whole(hang)+" s")
	}
	return strings.Join(parts, ", ") + "."
}

// way says how a set-up is fished, by what rule, and why it is advised.
func way(s brief.SetUp) string {
	return strings.Join(filled(sentence(capital(s.Way)), sentence(capital(s.Rule)), sentence(s.Why)), " ")
}

// aside is the sentence under the picture of a cast.
func aside(b brief.Brief, s brief.SetUp) string {
	u := b.Units
	var parts []string
	if s.Out > 0 && finite(s.Out) {
		out := u.Cast(s.Out) + " out at landing"
		if s.Hang > 0 && s.Cast.HangEnd-s.Cast.PullEnd >= 1 {
			out += ", " + u.Cast(s.Hang) + " at the hang"
		}
		parts = append(parts, out+".")
	}
	if finite(s.Cast.Bed) && s.Cast.Bed > 0 {
		parts = append(parts, "Bed "+u.Depth(s.Cast.Bed)+".")
	} else if len(s.Cast.Belief) > 0 {
		parts = append(parts, "Bed not known.")
	}
	if len(s.Cast.Band) > 0 {
		parts = append(parts, "Their depth "+bandsWithUnit(u, s.Cast.Band)+".")
	}
	if s.In > 0 {
		parts = append(parts, whole(s.In)+" s of "+whole(s.Cycle)+" at their depth.")
	}
	if point, ok := pointFly(s); ok && (s.Cast.Low > 0 || s.Cast.High > 0) && finite(point.Deepest) {
		parts = append(parts, "The "+point.Role+" may lie "+u.Depth(s.Cast.Low)+" shallower or "+u.Depth(s.Cast.High)+" deeper.")
	}
	if s.Cast.RuleDepth > 0 {
		rule := "By the rule of thumb the line lies at " + u.Depth(s.Cast.RuleDepth)
		if s.Cast.RuleText != "" {
			rule += ": " + lowered(s.Cast.RuleText)
		}
		parts = append(parts, sentence(rule))
	} else if s.Cast.RuleText != "" {
		parts = append(parts, sentence(s.Cast.RuleText))
	}
	return strings.Join(parts, " ")
}

func pointFly(s brief.SetUp) (brief.Fly, bool) {
	for _, f := range s.Flies {
		if f.Role == "point" {
			return f, true
		}
	}
	if len(s.Flies) > 0 {
		return s.Flies[0], true
	}
	return brief.Fly{}, false
}

func sentence(s string) string {
	s = strings.TrimSpace(s)
	if s == "" || strings.ContainsRune(".!?", rune(s[len(s)-1])) {
		return s
	}
	return s + "."
}

// firstSentence is what stands before the first full stop that ends a sentence.
func firstSentence(s string) string {
	if i := strings.Index(s, ". "); i > 0 {
		return s[:i+1]
	}
	return s
}

func capital(s string) string {
	for i, r := range s {
		return strings.ToUpper(string(r)) + s[i+len(string(r)):]
	}
	return s
}

func lowered(s string) string {
	for i, r := range s {
		return strings.ToLower(string(r)) + strings.TrimSuffix(s[i+len(string(r)):], ".")
	}
	return s
}

// driftLine is what stands beside a drift's number.
func driftLine(b brief.Brief, d brief.Drift) (bold, rest string) {
	u := b.Units
	bold = clock(d.Start) + ", " + whole(d.Minutes) + " min"
	parts := []string{known(d.Length, u.Distance), known(d.Speed, u.Drift), map[bool]string{true: "drogue set", false: "no drogue"}[d.Drogue]}
	if d.Motor >= 0.5 {
		parts = append(parts, "motor "+whole(d.Motor)+" min")
	}
	return bold, strings.Join(parts, ", ")
}

// hourAt is the hour that a time falls in; false where there are no hours.
func hourAt(b brief.Brief, t time.Time) (brief.Hour, bool) {
	var best brief.Hour
	found := false
	for _, h := range b.Hours {
		if !found || !h.At.After(t) {
			best, found = h, true
		}
	}
	return best, found
}

// contourWords lists the depths that are drawn as lines.
func contourWords(b brief.Brief) string {
	var all []string
	for _, c := range b.Lake.Contours {
		if finite(c.Depth) {
			all = append(all, b.Units.DepthFigure(c.Depth))
		}
	}
	if len(all) == 0 {
		return ""
	}
	return "Lines of equal depth: " + strings.Join(all, ", ") + " " + b.Units.DepthUnit() + "."
}

func lakeTitle(b brief.Brief) string {
	s := "The lake, the wind blowing down the page: " + b.Lake.WindText + ". "
	for _, d := range b.Drifts {
		s += fmt.Sprintf("Drift %d starts %s. ", d.Number, d.StartAt)
	}
	return strings.TrimSpace(s)
}

func driftTitle(d brief.Drift) string {
	s := fmt.Sprintf("Side view under drift %d, %s min long.", d.Number, whole(d.Minutes))
	for _, p := range d.Passes {
		s += " " + capital(minutes(p)) + ": " + sentence(p.What)
	}
	return s
}

func castTitle(b brief.Brief, s brief.SetUp) string {
	return "Side view under a cast with " + s.Name + ": " + tell(b, s) + " The table below has the figures"
}

// leaderWords says the leader from the tip to the point, and where the hang mark is.
func leaderWords(b brief.Brief, s brief.SetUp) string {
	u := b.Units
	var parts []string
	if s.Hang > s.Length && finite(s.Hang) {
		parts = append(parts, "hang mark "+u.Cast(s.Hang-s.Length)+" up the line from its tip")
	}
	// down the leader, each from the one before it as in the picture
	order := append([]brief.Fly{}, s.Flies...)
	sort.SliceStable(order, func(i, j int) bool { return order[i].FromTip < order[j].FromTip })
	for i, f := range order {
		below, from := "the tip", 0.0
		if i > 0 {
			below, from = "the "+order[i-1].Role, order[i-1].FromTip
		}
		parts = append(parts, f.Role+" "+known(f.FromTip-from, u.Cast)+" below "+below)
	}
	if n := len(order); n > 0 && s.Length-order[n-1].FromTip > 0.05 {
		parts = append(parts, u.Cast(s.Length-order[n-1].FromTip)+" more to the end")
	}
	if len(s.Flies) == 0 {
		parts = append(parts, "no flies chosen")
	}
	return sentence(capital(strings.Join(parts, ", ")))
}

// stillWords says where the flies are against the boat when the count ends.
func stillWords(b brief.Brief, s brief.SetUp) string {
	u := b.Units
	var parts []string
	for _, f := range s.Flies {
		if p, ok := at(f.Path, s.Cast.CountEnd); ok && finite(p.X) {
			parts = append(parts, f.Role+" "+u.Cast(math.Max(0, p.X))+" off at "+u.Depth(math.Max(0, p.Depth)))
		}
	}
	deepest := 0.0
	for _, p := range s.Cast.Still {
		if finite(p.Depth) {
			deepest = math.Max(deepest, p.Depth)
		}
	}
	parts = append(parts, "the line's lowest place lies at "+u.Depth(deepest))
	return sentence(capital(strings.Join(parts, ", ")))
}

// spread says how wide the spread of a drift is at its end.
func spread(b brief.Brief, d brief.Drift) string {
	if len(d.Fan) != 2 || len(d.Fan[0]) == 0 || len(d.Fan[1]) == 0 {
		return ""
	}
	l, r := d.Fan[0][len(d.Fan[0])-1], d.Fan[1][len(d.Fan[1])-1]
	w := math.Hypot(l.X-r.X, l.Y-r.Y)
	if !finite(w) {
		return ""
	}
	return "Spread at the end: " + b.Units.Distance(w) + " holds 8 in 10."
}

// lonLat is the start for whoever types it into something, five decimals (1 m); empty where unknown.
func lonLat(d brief.Drift) string {
	lon, lat := d.LonLat[0], d.LonLat[1]
	if !finite(lon) || !finite(lat) || (lon == 0 && lat == 0) {
		return ""
	}
	ns, ew := "N", "E"
	if lat < 0 {
		ns, lat = "S", -lat
	}
	if lon < 0 {
		ew, lon = "W", -lon
	}
	return fmt.Sprintf("%.5f° %s, %.5f° %s", lat, ns, lon, ew)
}

func chartTitle(d brief.Drift) string {
	return fmt.Sprintf("The water round drift %d, its wind blowing down the page. Start %s. %s", d.Number, d.StartAt, sentence(d.End))
}
