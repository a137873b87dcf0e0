package demo_test

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb/planar"

	"windlane/demo"
	"windlane/forecast"
	"windlane/outing"
	"windlane/quantity"
	"windlane/strata"
	"windlane/tackle"
	"windlane/track"
	"windlane/water"
)

func open(t *testing.T, name string) *bytes.Reader {
	t.Helper()
	r, ok := demo.Open(name)
	if !ok {
		t.Fatalf("there is no %s", name)
	}
	return r
}

// The same bytes on every machine, so that what is made of them can be compared.
// A change of the demo changes this sum; a machine must not.
func TestSameBytesEverywhere(t *testing.T) {
	const want = "271640c67295073d"
	sum := sha256.New()
	for _, f := range demo.Files() {
		if len(f.Data) == 0 || f.What == "" {
			t.Errorf("%s is empty", f.Name)
		}
		sum.Write(f.Data)
	}
	if got := hex.EncodeToString(sum.Sum(nil)[:8]); got != want {
		t.Errorf("the files sum up to %s, want %s", got, want)
	}
	f := demo.Files()[0]
	f.Data[0] = 'x'
	if demo.Files()[0].Data[0] == 'x' {
		t.Error("a caller can change the files")
	}
	if _, ok := demo.Open("nothing"); ok {
		t.Error("opens a file that is not there")
	}
}

func TestLake(t *testing.T) {
	o, err := water.ReadOutline(demo.OutlineFile, open(t, demo.OutlineFile))
	if err != nil {
		t.Fatal(err)
	}
	if len(o.Remarks) > 0 {
		t.Errorf("the outline had to be mended: %v", o.Remarks)
	}
	if o.Name != demo.Name || len(o.Shore) != 1 || len(o.Shore[0]) != 3 {
		t.Fatalf("%q with %d waters: want one with two islands", o.Name, len(o.Shore))
	}
	lat := o.Shore[0][0][0][1]
	metres := 111_200 * 111_200 * math.Cos(lat*math.Pi/180)
	if ha := planar.Area(o.Shore) * metres / 1e4; ha < 300 || ha > 600 {
		t.Errorf("the lake has %.0f ha, want 300 to 600", ha)
	}
	if lat < 52 || lat > 53 {
		t.Errorf("latitude %v", lat)
	}
	kinds := map[water.Kind]int{}
	for _, p := range o.Places {
		if !p.Kind.Known() {
			t.Errorf("kind %s is not known", p.Kind)
		}
		kinds[p.Kind]++
	}
	for kind, n := range map[water.Kind]int{water.Dam: 1, water.NoGo: 2, water.BuoyLine: 1, water.Jetty: 1, water.Inflow: 2, water.StreamBed: 2,
		water.Causeway: 1, water.HedgeLine: 3, water.Shelf: 1, water.DropOff: 1, water.SunkenIsland: 1, water.WeedBed: 3, water.Aerator: 2} {
		if kinds[kind] != n {
			t.Errorf("%d places of kind %s, want %d", kinds[kind], kind, n)
		}
	}

	s, err := water.ReadSoundings(demo.SoundingsFile, open(t, demo.SoundingsFile))
	if err != nil {
		t.Fatal(err)
	}
	tracks := map[int32]bool{}
	deepest := 0.0
	for _, d := range s.List {
		tracks[d.Track] = true
		deepest = max(deepest, d.Depth)
	}
	if len(s.List) < 5000 || len(s.List) > 20000 || len(tracks) < 60 || deepest < 15 || deepest > 35 || len(s.Remarks) > 0 {
		t.Errorf("%d soundings on %d tracks, deepest %.1f m, remarks %v", len(s.List), len(tracks), deepest, s.Remarks)
	}
}

func TestDayFits(t *testing.T) {
	day, err := outing.ReadDay(demo.DayFile, open(t, demo.DayFile))
	if err != nil {
		t.Fatal(err)
	}
	table, err := forecast.ReadCSV(demo.ForecastFile, open(t, demo.ForecastFile), day.Zone)
	if err != nil {
		t.Fatal(err)
	}
	code, err := forecast.ReadTAF(demo.TAFFile, open(t, demo.TAFFile), day.From)
	if err != nil {
		t.Fatal(err)
	}
	if len(table.Remarks)+len(code.Remarks) > 0 {
		t.Errorf("remarks %v %v", table.Remarks, code.Remarks)
	}
	for _, f := range []*forecast.Forecast{table, code} {
		if err := f.Cover(day.From, day.Until); err != nil {
			t.Error(err)
		}
	}
	// Both tell the same day; the wind backs and freshens, and its gusts pass the
	// limit after lunch.
	before, worst := 360.0, 0.0
	for at := day.From; !at.After(day.Until); at = at.Add(time.Hour) {
		a, _ := table.At(at)
		b, _ := code.At(at)
		if math.Abs(a.Speed-b.Speed) > 2.5 || math.Abs(a.From.Degrees()-b.From.Degrees()) > 20 {
			t.Errorf("%s: %.1f m/s from %.0f by the table, %.1f from %.0f by the code", at.Format("15:04"), a.Speed, a.From.Degrees(), b.Speed, b.From.Degrees())
		}
		if a.From.Degrees() >= before {
			t.Errorf("%s: the wind does not back", at.Format("15:04"))
		}
		before = a.From.Degrees()
		worst = max(worst, a.Gust)
		if at.Hour() < 13 && a.Gust > day.GustLimit {
			t.Errorf("%s: gusts of %.1f m/s in the morning", at.Format("15:04"), a.Gust)
		}
	}
	if worst < day.GustLimit {
		t.Error("the gusts never pass the limit")
	}
	p, err := strata.ReadProfile(demo.ProfileFile, open(t, demo.ProfileFile))
	if err != nil || len(p.Depths) != 10 {
		t.Errorf("profile: %v, %v", p, err)
	}
	for _, told := range day.Told {
		if told.Place != "" && !bytes.Contains(read(t, demo.OutlineFile), []byte(`"name":"`+told.Place+`"`)) {
			t.Errorf("%q is no place of the lake", told.Place)
		}
	}
}

func read(t *testing.T, name string) []byte {
	t.Helper()
	for _, f := range demo.Files() {
		if f.Name == name {
			return f.Data
		}
	}
	t.Fatalf("there is no %s", name)
	return nil
}

func TestBag(t *testing.T) {
	b, err := tackle.ReadBag(demo.BagFile, open(t, demo.BagFile))
	if err != nil {
		t.Fatal(err)
	}
	if len(b.Remarks) > 1 || len(b.Remarks) == 1 && !strings.Contains(b.Remarks[0], "three") {
		t.Errorf("remarks %v", b.Remarks)
	}
	profiles := map[tackle.Profile]bool{}
	for _, l := range b.Lines {
		profiles[l.Profile] = true
	}
	ways := map[tackle.Way]bool{}
	for _, r := range b.Rigs {
		ways[r.Way] = true
		for _, f := range r.Check(tackle.Situation{Wind: 4, Fish: 1.4}) {
			if f.Level == tackle.No {
				t.Errorf("%s: %s: %s", r.Name, f.About, f.Text)
			}
		}
		if _, ok := r.Bodies(); !ok {
			t.Errorf("%s has a fly without a body", r.Name)
		}
	}
	if len(profiles) < 4 || len(ways) < 5 || len(b.Drogues) < 2 || b.Boat == nil {
		t.Errorf("profiles %v, ways %v, %d drogues", profiles, ways, len(b.Drogues))
	}
}

// The lake surveys into what was meant: as deep as it is, with corners that
// nobody has sounded, and the same lake a little smaller with less water.
func TestSurvey(t *testing.T) {
	o, err := water.ReadOutline(demo.OutlineFile, open(t, demo.OutlineFile))
	if err != nil {
		t.Fatal(err)
	}
	s, err := water.ReadSoundings(demo.SoundingsFile, open(t, demo.SoundingsFile))
	if err != nil {
		t.Fatal(err)
	}
	w, err := water.Survey(o, []*water.Soundings{s}, water.Settings{Cell: 15, Drawdown: 0.3})
	if err != nil {
		t.Fatal(err)
	}
	wet, unsounded, deepest := 0, 0, 0.0
	for k := range w.Grid.Len() {
		x, y := w.Grid.Centre(k)
		d, in := w.Depth(x, y)
		if !in {
			continue
		}
		wet++
		if !w.Sounded(x, y) {
			unsounded++
		}
		deepest = max(deepest, float64(d))
	}
	if deepest < 16 || deepest > 19 {
		t.Errorf("deepest %.1f m: spikes were left in, or the old bed was lost", deepest)
	}
	if share := float64(unsounded) / float64(wet); share < 0.03 || share > 0.25 {
		t.Errorf("%.0f %% of the water is not sounded", share*100)
	}
}

// The log is of the arm that the survey left out, with a log's usual faults.
func TestLog(t *testing.T) {
	log, err := water.Taken{Drawdown: 0.3}.ReadSoundings(demo.LogFile, open(t, demo.LogFile))
	if err != nil {
		t.Fatal(err)
	}
	said := strings.Join(log.Remarks, "; ")
	if len(log.List) < 700 || log.Date != "2027-04-24" || !strings.Contains(said, "damaged sentences, not used: 1 of") || !strings.Contains(said, "left out: 2 of") {
		t.Errorf("%d soundings on %s, remarks %q", len(log.List), log.Date, said)
	}
	o, err := water.ReadOutline(demo.OutlineFile, open(t, demo.OutlineFile))
	if err != nil {
		t.Fatal(err)
	}
	s, err := water.ReadSoundings(demo.SoundingsFile, open(t, demo.SoundingsFile))
	if err != nil {
		t.Fatal(err)
	}
	share := [2]float64{}
	for i, files := range [2][]*water.Soundings{{s}, {s, log}} {
		w, err := water.Survey(o, files, water.Settings{Cell: 10})
		if err != nil {
			t.Fatal(err)
		}
		share[i] = w.NotSounded()
	}
	if share[0]-share[1] < 0.02 {
		t.Errorf("not sounded: %.3f before the log, %.3f after", share[0], share[1])
	}
}

// The boat's way lies on the water, clear of the islands, and within the hours
// that the weather is told for.
func TestWay(t *testing.T) {
	w, err := track.Read(demo.WayFile, open(t, demo.WayFile))
	if err != nil || len(w.Remarks) > 0 {
		t.Fatalf("%v, %v", err, w)
	}
	o, err := water.ReadOutline(demo.OutlineFile, open(t, demo.OutlineFile))
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range w.Fixes {
		if _, wet := o.Fetch(f.Position, []quantity.From{0}); !wet {
			t.Fatalf("ashore at %s, %v", f.At.Format(time.TimeOnly), f.Position)
		}
	}
	weather, err := forecast.ReadCSV(demo.ForecastFile, open(t, demo.ForecastFile), time.UTC)
	if err != nil {
		t.Fatal(err)
	}
	first, last := w.Fixes[0].At, w.Fixes[len(w.Fixes)-1].At
	if err := weather.Cover(first, last); err != nil || last.Sub(first) < 90*time.Minute || last.Sub(first) > 3*time.Hour {
		t.Errorf("from %s to %s: %v", first, last, err)
	}
}
