package engine_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"windlane/drift"
	"windlane/geodesy"
	"windlane/internal/engine"
	"windlane/quantity"
)

// planned is what a test reads of a plan's answer.
type planned struct {
	Status, Reason string
	Drifts         []struct {
		Start   [2]float64 `json:"start_lonlat"`
		StartAt string     `json:"start_local"`
		Minutes float64
		Drogue  bool
		SetUp   string  `json:"set_up"`
		Speed   float64 `json:"speed_m_s"`
		Toward  float64 `json:"toward_deg"`
		Track   []struct {
			Min    float64
			LonLat [2]float64
			Depth  *float64 `json:"depth_m"`
		}
		Passes []struct {
			From float64 `json:"minute_from"`
			To   float64 `json:"minute_to"`
			What string
		}
		Value  float64
		Rate   float64 `json:"value_per_min"`
		Energy float64 `json:"energy_share"`
		Stop   struct {
			At      string `json:"at_local"`
			Bearing *float64
		}
		Why   string
		Words string `json:"in_words"`
	}
	Waits []struct{ Reason string }
	Left  float64 `json:"energy_left_share"`
	Ride  struct {
		Minutes float64
	} `json:"ride_home"`
	GoIn    *string `json:"go_in_local"`
	Remarks []string
}

// askPlan asks a recorded plan with some of its fields changed ("null" takes one out).
func askPlan(t testing.TB, name string, change map[string]string) (p planned, field, message string) {
	t.Helper()
	var request map[string]json.RawMessage
	if err := json.Unmarshal([]byte(recordedCase(t, name)), &request); err != nil {
		t.Fatal(err)
	}
	for k, v := range change {
		if request[k] = json.RawMessage(v); v == "null" {
			delete(request, k)
		}
	}
	line, err := json.Marshal(request)
	if err != nil {
		t.Fatal(err)
	}
	var a struct {
		Answer planned
		Error  *struct{ Field, Message string }
	}
	if err := json.Unmarshal(engine.Answer(line), &a); err != nil {
		t.Fatal(err)
	}
	if a.Error != nil {
		return p, a.Error.Field, a.Error.Message
	}
	return a.Answer, "", ""
}

// mustPlan is askPlan where an answer is wanted.
func mustPlan(t testing.TB, name string, change map[string]string) planned {
	t.Helper()
	p, field, message := askPlan(t, name, change)
	if field != "" || message != "" {
		t.Fatalf("%s: refused: %s %s", name, field, message)
	}
	return p
}

// Whatever was asked, a plan says why it is as it is, and each drift what it
// passes when, how deep it is there, why it was chosen and when to stop.
func TestEveryPlanSaysWhy(t *testing.T) {
	seen := map[string]int{}
	for _, line := range requests(t) {
		var r recorded
		if err := json.Unmarshal(line, &r); err != nil || r.Ask != "plan" && r.Ask != "drifts" || r.ID.Error != "" {
			continue
		}
		var a struct{ Answer planned }
		if err := json.Unmarshal(engine.Answer(line), &a); err != nil {
			t.Fatal(err)
		}
		p := a.Answer
		seen[p.Status]++
		if p.Status != r.ID.Status || p.Reason == "" {
			t.Errorf("%s: %s %q, want %s", r.ID.Case, p.Status, p.Reason, r.ID.Status)
		}
		if (p.GoIn != nil) != (p.Status == "go_in") || p.Status == "nothing_reachable" && len(p.Drifts) > 0 || p.Status == "whole" && len(p.Drifts) == 0 {
			t.Errorf("%s: %s, go in %v, %d drifts", r.ID.Case, p.Status, p.GoIn, len(p.Drifts))
		}
		used := 0.0
		for i, d := range p.Drifts {
			used += d.Energy
			last := d.Track[len(d.Track)-1].Min
			if d.Why == "" || !strings.Contains(d.Words, fmt.Sprintf("%.0f min", math.Round(d.Minutes))) || !strings.Contains(d.Words, d.Stop.At[:5]) || d.Minutes <= 0 || math.Abs(last-d.Minutes) > 1e-9 {
				t.Errorf("%s, drift %d: %v min, to minute %v: %q; %q", r.ID.Case, i+1, d.Minutes, last, d.Words, d.Why)
			}
			for _, s := range d.Passes {
				if s.What == "" || s.From > s.To || s.To > d.Minutes || !strings.Contains(d.Words, "You ") {
					t.Errorf("%s, drift %d: passes %+v", r.ID.Case, i+1, s)
				}
			}
		}
		// What is left is what neither the rides to drifts nor the one home have used.
		if len(p.Drifts) > 0 && p.Left < 1 && (p.Left < 0.25-1e-9 || used >= 1-p.Left) {
			t.Errorf("%s: %v of the energy left, %v used on the way", r.ID.Case, p.Left, used)
		}
	}
	for _, status := range []string{"whole", "cut_short", "go_in", "nothing_reachable"} {
		if seen[status] == 0 {
			t.Errorf("no recorded plan is %s", status)
		}
	}
}

const metresADegree = 111_200.0

// apart is the distance of two places on the small water, near enough. [m]
func apart(a, b [2]float64) float64 {
	return math.Hypot((a[0]-b[0])*math.Cos(52*math.Pi/180), a[1]-b[1]) * metresADegree
}

// The next drift afloat: where the boat is, in the wind just met, off what was fished.
func TestPlannedAgain(t *testing.T) {
	const name = "planned again, the wind as forecast"
	before := mustPlan(t, name, nil)
	met := mustPlan(t, name, map[string]string{"observed": `{"at_local":"10:40","speed_m_s":6,"from_deg":200}`})
	if len(before.Drifts) != 1 || len(met.Drifts) != 1 {
		t.Fatalf("%d and %d drifts, want the next alone", len(before.Drifts), len(met.Drifts))
	}
	// The forecast has about 255° then; at once the drift goes with the wind met,
	// from 200°, but for the drogue's slip of 3° and what of it has faded.
	if d := met.Drifts[0]; math.Abs(d.Toward-20) > 15 || math.Abs(before.Drifts[0].Toward-75) > 15 {
		t.Errorf("toward %v° in the wind met, %v° in the forecast", d.Toward, before.Drifts[0].Toward)
	}
	track, err := json.Marshal([][2]float64{before.Drifts[0].Start, before.Drifts[0].Track[len(before.Drifts[0].Track)-1].LonLat})
	if err != nil {
		t.Fatal(err)
	}
	fished := func(ago float64, hooked bool, settings string) planned {
		return mustPlan(t, name, map[string]string{"settings": settings, "already_fished": fmt.Sprintf(`[{"track":%s,"minutes":30,"minutes_ago":%v,"hooked":%v}]`, track, ago, hooked)})
	}
	const noPatches = `{"patch_m":0}` // nothing is told by a blank then
	plain := mustPlan(t, name, map[string]string{"settings": noPatches}).Drifts[0]
	now := fished(1, false, noPatches).Drifts[0]
	if a := apart(now.Start, plain.Start); a < 10 || now.Rate > 1.005*plain.Rate {
		t.Errorf("fished a minute ago: %v m beside it, worth %v and %v a minute", a, now.Rate, plain.Rate)
	}
	if long := fished(600, false, noPatches).Drifts[0]; apart(long.Start, plain.Start) > 1 {
		t.Error("fished ten hours ago: another drift")
	}
	// An hour after, water where fish were hooked is less fresh than the rest.
	if a, b := fished(60, true, noPatches).Drifts[0].Rate, fished(60, false, noPatches).Drifts[0].Rate; a > b {
		t.Errorf("worth %v where fish were hooked, %v where not", a, b)
	}
	// But a patch fished blank is doubted for the day, and one where fish were met is not.
	if a, b := fished(600, false, "{}").Drifts[0].Rate, fished(600, true, "{}").Drifts[0].Rate; a > 0.98*b {
		t.Errorf("worth %v where half an hour was blank, %v where fish were hooked", a, b)
	}
}

// Weights by depth and near places draw the drifts there.
func TestWeightsDraw(t *testing.T) {
	const name = "the next drift only"
	deep := func(p planned) float64 {
		sum := 0.0
		for _, s := range p.Drifts[0].Track {
			sum += *s.Depth / float64(len(p.Drifts[0].Track))
		}
		return sum
	}
	weights := func(from string, shallow, mid, deep float64) map[string]string {
		return map[string]string{"mark_weights": "[]", "open_weight": "1", "presence": fmt.Sprintf(
			`[{"at_local":"09:00","depth_from":%q,"weights":[{"depth_m":3,"weight":%v},{"depth_m":4.5,"weight":%v},{"depth_m":6,"weight":%v}]}]`, from, shallow, mid, deep)}
	}
	margin, far := deep(mustPlan(t, name, weights("bed", 1, 0, 0))), deep(mustPlan(t, name, weights("bed", 0, 0, 1)))
	if !(margin < 3.7 && far > 5.2) {
		t.Errorf("%v m deep where the shallows are worth it, %v m where the deep is", margin, far)
	}
	// Fish that hang at 3 m are over deeper water too: as good as all alike.
	hanging, alike := mustPlan(t, name, weights("surface", 1, 0, 0)), mustPlan(t, name, weights("bed", 1, 1, 1))
	if hanging.Drifts[0].Start != alike.Drifts[0].Start {
		t.Errorf("hanging at 3 m: %v, all alike %v", hanging.Drifts[0].Start, alike.Drifts[0].Start)
	}
	near := func(change map[string]string) float64 {
		change["presence"] = "null"
		best := math.Inf(1)
		for _, s := range mustPlan(t, name, change).Drifts[0].Track {
			best = math.Min(best, apart(s.LonLat, [2]float64{-29.9995, 52.0008}))
		}
		return best
	}
	if d := near(map[string]string{"open_weight": "0.1", "mark_weights": `[{"kind":"sunken_island","weight":3}]`}); d > 60 {
		t.Errorf("%v m off the hump that alone is worth it", d)
	}
}

// Another boat's drift is kept off by 40 m, its whole way along.
func TestOtherBoats(t *testing.T) {
	const name = "past another boat's drift"
	alone := mustPlan(t, name, map[string]string{"other_drifts": "null"}).Drifts[0]
	way, err := json.Marshal([][2]float64{alone.Start, alone.Track[len(alone.Track)-1].LonLat})
	if err != nil {
		t.Fatal(err)
	}
	beside := mustPlan(t, name, map[string]string{"other_drifts": "[" + string(way) + "]"}).Drifts[0]
	for _, s := range beside.Track {
		for _, o := range alone.Track {
			if d := apart(s.LonLat, o.LonLat); d < 35 { // the track bends off the straight way a little
				t.Fatalf("minute %v: %v m from the other boat's way", s.Min, d)
			}
		}
	}
}

// The drifts of a day's files are those of its day plan.
func TestDriftsAreTheDays(t *testing.T) {
	request := []byte(recordedCase(t, "a morning on a small water"))
	var day struct {
		Answer struct {
			Status string
			Drifts []struct {
				Start   time.Time
				Minutes float64    `json:"minutes_min"`
				LonLat  [2]float64 `json:"lonlat_deg"`
				Words   string     `json:"in_words"`
			}
		}
	}
	var alone struct{ Answer planned }
	for into, line := range map[any][]byte{&day: request, &alone: bytes.Replace(request, []byte(`"ask":"day"`), []byte(`"ask":"drifts"`), 1)} {
		if err := json.Unmarshal(engine.Answer(line), into); err != nil {
			t.Fatal(err)
		}
	}
	if n := len(day.Answer.Drifts); n == 0 || n != len(alone.Answer.Drifts) || day.Answer.Status != alone.Answer.Status {
		t.Fatalf("%d drifts and %s, %d and %s", n, day.Answer.Status, len(alone.Answer.Drifts), alone.Answer.Status)
	}
	for i, d := range day.Answer.Drifts {
		if a := alone.Answer.Drifts[i]; a.Start != d.LonLat || a.StartAt != d.Start.Format(time.TimeOnly) || a.Minutes != d.Minutes || a.Words != d.Words {
			t.Errorf("drift %d: %+v, of the day %+v", i+1, a, d)
		}
	}
}

// An outline may stand for the whole water, nothing sounded.
func TestOutlineAlone(t *testing.T) {
	const name = "a boat by its drag areas, its bed unknown"
	var request struct {
		Water struct{ Outline json.RawMessage }
	}
	if err := json.Unmarshal([]byte(recordedCase(t, name)), &request); err != nil {
		t.Fatal(err)
	}
	a, b := mustPlan(t, name, nil), mustPlan(t, name, map[string]string{"water": string(request.Water.Outline)})
	if len(a.Drifts) == 0 || len(a.Drifts) != len(b.Drifts) || a.Drifts[0].Words != b.Drifts[0].Words {
		t.Errorf("%d and %d drifts", len(a.Drifts), len(b.Drifts))
	}
}

// A drift followed again by the track question is the one planned.
func TestPlannedDriftIsTheTrack(t *testing.T) {
	p := mustPlan(t, "planned again, the wind as forecast", nil)
	d := p.Drifts[0]
	var request struct {
		Wind []struct {
			At    string  `json:"at_local"`
			Speed float64 `json:"speed_m_s"`
			From  float64 `json:"from_deg"`
		}
		Boat struct {
			SetUps []struct {
				Name     string
				Fraction float64 `json:"drift_fraction"`
				Slip     float64 `json:"slip_deg"`
			} `json:"set_ups"`
		}
	}
	if err := json.Unmarshal([]byte(recordedCase(t, "planned again, the wind as forecast")), &request); err != nil {
		t.Fatal(err)
	}
	seconds := func(clock string) float64 {
		var h, m, s float64
		fmt.Sscanf(clock, "%f:%f:%f", &h, &m, &s)
		return 3600*h + 60*m + s
	}
	var rows []drift.Row
	for _, w := range request.Wind {
		rows = append(rows, drift.Row{T: seconds(w.At), Speed: w.Speed, From: quantity.FromDegrees(w.From)})
	}
	wind, err := drift.NewWind(rows)
	if err != nil {
		t.Fatal(err)
	}
	at := slices.IndexFunc(request.Boat.SetUps, func(s struct {
		Name     string
		Fraction float64 `json:"drift_fraction"`
		Slip     float64 `json:"slip_deg"`
	}) bool {
		return s.Name == d.SetUp
	})
	motion := drift.Motion{Fraction: request.Boat.SetUps[at].Fraction, Slip: request.Boat.SetUps[at].Slip * math.Pi / 180}
	plane := geodesy.NewPlane(geodesy.Position{LonDeg: d.Start[0], LatDeg: d.Start[1]})
	for _, s := range d.Track {
		e, n := motion.Path(wind, seconds(d.StartAt), seconds(d.StartAt)+60*s.Min)
		x, y := plane.XY(geodesy.Position{LonDeg: s.LonLat[0], LatDeg: s.LonLat[1]})
		if off := math.Hypot(x-e, y-n); off > 2 { // the 2 m; the two planes differ by less than 1 cm here
			t.Fatalf("minute %v: %v m off", s.Min, off)
		}
	}
}

// What was drifted today is the same told by an earlier plan, by a list, or by the
// boat's own track, and it is not drifted again while it rests.
func TestWhatWasFishedToday(t *testing.T) {
	const plan, track, list = "after an earlier plan", "after the boat's own track", "after a drift told by its track"
	common := func(more map[string]string) map[string]string {
		out := map[string]string{"start": "null", "start_place": "null", "hooked": "null"}
		for k, v := range more {
			out[k] = v
		}
		return out
	}
	untouched := mustPlan(t, list, common(map[string]string{"already_fished": "null"})).Drifts[0]
	byPlan, byTrack := mustPlan(t, plan, common(nil)).Drifts[0], mustPlan(t, track, common(nil)).Drifts[0]
	byList := mustPlan(t, list, common(map[string]string{"already_fished": `[{"track":[[-29.9990,52.0025],[-29.9975,52.0030],[-29.9960,52.0035]],"minutes":30,"minutes_ago":5}]`})).Drifts[0]
	if byPlan.Start != byList.Start || math.Abs(byPlan.Value-byList.Value) > 1e-6*byList.Value {
		t.Errorf("by the plan %v worth %v, by the list %v worth %v", byPlan.Start, byPlan.Value, byList.Start, byList.Value)
	}
	if apart(byTrack.Start, byList.Start) > 20 || math.Abs(byTrack.Value-byList.Value) > 0.03*byList.Value { // its minutes are whole ones
		t.Errorf("by the track %v worth %v, by the list %v worth %v", byTrack.Start, byTrack.Value, byList.Start, byList.Value)
	}
	if byList.Value > 0.98*untouched.Value && byList.Start == untouched.Start {
		t.Errorf("worth %v fished, %v untouched, from the same place", byList.Value, untouched.Value)
	}
	answered := mustPlan(t, list, common(map[string]string{"already_fished": `[{"track":[{"min":0,"lonlat":[-29.9990,52.0025],"depth_m":null,"sounded":false},{"min":30,"lonlat":[-29.9960,52.0035]}],"minutes_ago":5}]`})).Drifts[0]
	if answered.Start != byList.Start || math.Abs(answered.Value-byList.Value) > 1e-3*byList.Value {
		t.Errorf("by an answer's track %v worth %v, by the list %v worth %v", answered.Start, answered.Value, byList.Start, byList.Value)
	}
	half := mustPlan(t, plan, common(map[string]string{"at_local": `"09:20"`})).Drifts[0] // it has gone half its way
	if half.Start == byPlan.Start && half.Value == byPlan.Value {
		t.Error("half an earlier drift counts as all of it")
	}
	hooked := mustPlan(t, plan, common(map[string]string{"hooked": "[1]"})).Drifts[0]
	if hooked.Rate <= byPlan.Rate { // no doubt is cast on a patch where fish were met
		t.Errorf("worth %v a minute where fish were hooked, %v where not", hooked.Rate, byPlan.Rate)
	}
}

// An outline of 200,000 corners is planned on, or refused by its field with what is
// allowed; a quarter as many are planned on.
func TestPlanOnManyCorners(t *testing.T) {
	outline := func(n int) string {
		var b strings.Builder
		b.WriteString(`{"outline":{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"kind":"jetty","name":"the jetty"},"geometry":{"type":"Point","coordinates":[-30.0085,52]}},{"type":"Feature","properties":{"kind":"shoreline"},"geometry":{"type":"Polygon","coordinates":[[`)
		for i := range n + 1 {
			a := 2 * math.Pi * float64(i%n) / float64(n)
			r := 1 + 0.0005*math.Sin(4000*a)
			if i > 0 {
				b.WriteByte(',')
			}
			fmt.Fprintf(&b, "[%.8f,%.8f]", -30+0.0088*r*math.Cos(a), 52+0.0036*r*math.Sin(a))
		}
		return b.String() + `]]}}]}}`
	}
	p, field, message := askPlan(t, "the next drift only", map[string]string{"water": outline(200_000), "mark_weights": "null", "presence": "null"})
	if len(p.Drifts) != 1 && (field != "water.outline" || !strings.Contains(message, "00000")) {
		t.Errorf("200 000 corners: %d drifts, %s %q; refused %q %q", len(p.Drifts), p.Status, p.Reason, field, message)
	}
	if p := mustPlan(t, "the next drift only", map[string]string{"water": outline(50_000), "mark_weights": "null", "presence": "null"}); len(p.Drifts) != 1 || p.Drifts[0].Track[0].Depth != nil {
		t.Errorf("50 000 corners: %s %q", p.Status, p.Reason)
	}
}

// Bad input in the middle of a plan never ends in a plan without a reason. The
// seeds are a calm, a gale, a start on land, a day turned round, and weights of nothing.
type planSeed struct {
	wind, gust, from, fraction, lon, lat, weight float64
	begin, end, status                           string
}

var planSeeds = []planSeed{
	{4, 7, 250, 0.05, -30, 52, 1, "09:00", "12:00", "whole"},
	{0, 0, 0, 0.05, -30, 52, 1, "09:00", "12:00", "nothing_reachable"},
	{40, 50, 250, 0.05, -30, 52, 1, "09:00", "12:00", "go_in"},
	{4, 7, 250, 0, -30, 52, 1, "09:00", "12:00", "boat.set_ups[0].drift_fraction"},
	{4, 7, 250, 0.05, -30, 53, 1, "09:00", "12:00", "start"},
	{4, 7, -350, 1, -30.008, 52.0005, 0, "09:00", "12:00", "nothing_reachable"},
	{4, 7, 250, 0.05, -30, 52, 1, "12:00", "09:00", "until_local"},
	{4, 7, 250, 0.05, -30, 52, 1, "noon", "13:00", "from_local"},
}

func (s planSeed) change() map[string]string {
	number := func(v float64) string {
		b, err := json.Marshal(v)
		if err != nil { // JSON has no such number
			return "0"
		}
		return string(b)
	}
	word := func(s string) string { b, _ := json.Marshal(s); return string(b) }
	return map[string]string{
		"wind":           fmt.Sprintf(`[{"at_local":"09:00","speed_m_s":%s,"gust_m_s":%s,"from_deg":%s},{"at_local":"12:00","speed_m_s":%s,"from_deg":250}]`, number(s.wind), number(s.gust), number(s.from), number(s.wind)),
		"boat":           fmt.Sprintf(`{"set_ups":[{"name":"bare","drogue":false,"drift_fraction":%s}]}`, number(s.fraction)),
		"start":          fmt.Sprintf(`[%s,%s]`, number(s.lon), number(s.lat)),
		"presence":       fmt.Sprintf(`[{"at_local":"09:00","weights":[{"depth_m":2,"weight":%s}]}]`, number(s.weight)),
		"from_local":     word(s.begin),
		"until_local":    word(s.end),
		"mark_weights":   "null",
		"effort":         `"quick"`,
		"units":          `"metric"`,
		"open_weight":    "null",
		"already_fished": "null",
	}
}

func TestPlanSeeds(t *testing.T) {
	if len(planSeeds) < 5 {
		t.Fatalf("%d seeds: the corpus is not there", len(planSeeds))
	}
	for _, s := range planSeeds {
		if p, field, message := askPlan(t, "the next drift only", s.change()); p.Status+field != s.status {
			t.Errorf("%+v: %s %q, refused %s %q", s, p.Status, p.Reason, field, message)
		}
	}
}

func FuzzPlan(f *testing.F) {
	if len(planSeeds) == 0 {
		f.Fatal("no seeds")
	}
	for _, s := range planSeeds {
		f.Add(s.wind, s.gust, s.from, s.fraction, s.lon, s.lat, s.weight, s.begin, s.end)
	}
	f.Fuzz(func(t *testing.T, wind, gust, from, fraction, lon, lat, weight float64, begin, end string) {
		s := planSeed{wind, gust, from, fraction, lon, lat, weight, begin, end, ""}
		p, field, message := askPlan(t, "the next drift only", s.change())
		switch {
		case strings.Contains(message, "failed inside"):
			t.Errorf("%+v: %s", s, message)
		case message == "" && (p.Reason == "" || p.Status == "whole" && len(p.Drifts) == 0):
			t.Errorf("%+v: %s without a reason, %d drifts", s, p.Status, len(p.Drifts))
		case message != "" && field == "":
			t.Errorf("%+v: refused without a field: %s", s, message)
		}
	})
}
