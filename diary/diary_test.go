package diary_test

import (
	"bytes"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"windlane/diary"
	"windlane/internal/text"
	"windlane/tackle"
)

const day = "2026-05-02"

// id is a UUID of version 7's shape that sorts by n.
func id(n int) string { return fmt.Sprintf("0196900a-0000-7000-8000-%012x", n) }

func at(clock string) time.Time {
	t, err := time.Parse("2006-01-02 15:04", day+" "+clock)
	if err != nil {
		panic(err)
	}
	return t
}

func entry(n int, clock string, w diary.What) diary.Event {
	return diary.Event{ID: id(n), Day: day, At: at(clock), What: w}
}

func ptr[T any](v T) *T { return &v }

func withdraw(n int, clock string, of int) diary.Event {
	return entry(n, clock, diary.What{Correction: &diary.Correction{Of: id(of)}})
}

func begun(rod int) diary.What {
	return diary.What{SpellBegun: &diary.SpellBegun{Rod: rod, Rig: "point: booby", Way: tackle.Lures, CountS: ptr(20.0)}}
}

func closed(of int, c diary.SpellClosed) diary.What {
	c.Spell = id(of)
	return diary.What{SpellClosed: &c}
}

func offer(rod int, kind diary.Response, place diary.Place) diary.What {
	return diary.What{Offer: &diary.Offer{Rod: rod, Kind: kind, Place: place}}
}

func pause(until string, why diary.Why) diary.What {
	return diary.What{Pause: &diary.Pause{Until: at(until), Why: why}}
}

// A morning reckoned by hand: 45 minutes, six of them spent on a fish, two of
// those inside a pause for motoring, five nobody answered for.
func TestADayFolds(t *testing.T) {
	d, remarks := diary.Fold(day, []diary.Event{
		entry(1, "09:00", diary.What{DayBegun: &diary.DayBegun{Water: "Osmerley", UTCOffsetMin: ptr(60), Rods: 2}}),
		entry(2, "09:05", diary.What{DriftBegun: &diary.DriftBegun{Drogue: ptr(true), Place: "the hump"}}),
		entry(3, "09:05", begun(1)),
		entry(4, "09:06", begun(2)),
		entry(5, "09:20", offer(1, diary.Tap, diary.Hang)),
		entry(6, "09:25", pause("09:31", diary.Playing)),
		entry(7, "09:29", pause("09:35", diary.Motoring)),
		entry(8, "09:33", pause("09:40", diary.Unanswered)),
		entry(9, "09:50", closed(3, diary.SpellClosed{NotFishingS: 120, VoidCasts: 1, Casts: ptr(34)})),
		entry(10, "09:52", offer(1, diary.Landed, diary.Late)), // written when a hand was free
		entry(11, "09:41", diary.What{Cast: &diary.Cast{Rod: 2}}),
		entry(12, "09:42", diary.What{Void: &diary.Void{Rod: 2, Casts: 3}}),
		entry(13, "09:45", begun(2)), // another set-up: the first spell of the rod ends
		entry(14, "09:48", diary.What{DriftEnded: &diary.DriftEnded{Why: "the shore"}}),
		entry(15, "09:55", diary.What{Temperature: &diary.Temperature{C: ptr(11.5), DepthM: 0.3}}),
	})
	if len(remarks) != 0 {
		t.Errorf("remarks: %v", remarks)
	}
	if d.Water != "Osmerley" || d.Rods != 2 || len(d.Spells) != 3 || len(d.Drifts) != 1 || len(d.Readings) != 1 {
		t.Fatalf("day: %+v", d)
	}
	s := d.Spells[0]
	if got := []float64{s.NotFishingS, s.UnknownS, s.FishedS}; !slices.Equal(got, []float64{12 * 60, 5 * 60, 28 * 60}) {
		t.Errorf("not fishing, unknown, fished: %v", got)
	}
	if s.Open || *s.Casts != 34 || s.VoidCasts != 1 || len(s.Offers) != 2 || s.Offers[1].Place != diary.Late {
		t.Errorf("first spell: %+v", s)
	}
	if s := d.Spells[1]; s.Open || s.Casts != nil || !s.To.Equal(at("09:45")) || s.VoidCasts != 3 || len(s.Pressed) != 1 {
		t.Errorf("second spell: %+v", s)
	}
	if s := d.Spells[2]; !s.Open || s.FishedS != 0 {
		t.Errorf("an open spell of which nothing more is known: %+v", s)
	}
	if dr := d.Drifts[0]; dr.Open || !dr.To.Equal(at("09:48")) || !*dr.Drogue {
		t.Errorf("drift: %+v", dr)
	}
}

// The hour of writing an offer down sets neither its place nor, long after, its spell.
func TestOffersAreNotPlacedByTheClock(t *testing.T) {
	base := []diary.Event{entry(1, "10:00", begun(1)), entry(2, "10:30", closed(1, diary.SpellClosed{}))}
	for _, c := range []struct {
		clock string
		loose bool
	}{{"09:59", true}, {"10:00", false}, {"10:15", false}, {"10:40", false}, {"10:41", true}} {
		d, _ := diary.Fold(day, append(base, entry(3, c.clock, offer(1, diary.Tap, diary.Unplaced))))
		if loose := len(d.Loose) == 1; loose != c.loose {
			t.Errorf("%s: loose %v", c.clock, loose)
		}
		if !c.loose && d.Spells[0].Offers[0].Place != diary.Unplaced {
			t.Errorf("%s: placed %q", c.clock, d.Spells[0].Offers[0].Place)
		}
	}
}

func TestCorrections(t *testing.T) {
	base := []diary.Event{entry(1, "10:00", begun(1)), entry(2, "10:10", offer(1, diary.Tap, diary.Hang))}
	lost := entry(3, "10:20", diary.What{Correction: &diary.Correction{Of: id(2), Instead: &diary.Instead{At: at("10:09"), What: offer(1, diary.Lost, diary.Late)}}})
	kind := func(more ...diary.Event) string {
		d, remarks := diary.Fold(day, slices.Concat(base, more))
		said := fmt.Sprint(len(remarks), " ")
		for _, o := range d.Spells[0].Offers {
			said += string(o.Kind)
		}
		return said
	}
	for _, c := range []struct {
		name, want string
		more       []diary.Event
	}{
		{"as written", "0 tap", nil},
		{"changed", "0 lost", []diary.Event{lost}},
		{"withdrawn", "0 ", []diary.Event{withdraw(3, "10:20", 2)}},
		{"changed, then withdrawn", "0 ", []diary.Event{lost, withdraw(4, "10:21", 2)}},
		{"the change taken back", "0 tap", []diary.Event{lost, withdraw(4, "10:21", 3)}},
		{"that taken back too", "0 lost", []diary.Event{lost, withdraw(4, "10:21", 3), withdraw(5, "10:22", 4)}},
		{"of nothing", "1 tap", []diary.Event{withdraw(3, "10:20", 99)}},
		{"of itself", "1 tap", []diary.Event{withdraw(3, "10:20", 3)}},
		{"of one another", "0 tap", []diary.Event{withdraw(3, "10:20", 4), withdraw(4, "10:21", 3)}}, // the later one holds
		{"into another kind", "1 tap", []diary.Event{entry(3, "10:20", diary.What{Correction: &diary.Correction{Of: id(2), Instead: &diary.Instead{At: at("10:09"), What: diary.What{Note: &diary.Note{Text: "x"}}}}})}},
	} {
		if got := kind(c.more...); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

// anyEvent draws an entry that may stand in a diary.
func anyEvent(n int) *rapid.Generator[diary.Event] {
	return rapid.Custom(func(t *rapid.T) diary.Event {
		minute := rapid.IntRange(0, 59)
		when := func() time.Time { return at("10:00").Add(time.Duration(minute.Draw(t, "minute")) * time.Minute) }
		rod := rapid.IntRange(1, 2).Draw(t, "rod")
		other := func() string { return id(rapid.IntRange(0, 30).Draw(t, "other")) }
		matter := func(kind int) diary.What {
			switch kind {
			case 0, 1:
				return begun(rod)
			case 2, 3:
				return diary.What{SpellClosed: &diary.SpellClosed{Spell: other(), NotFishingS: float64(minute.Draw(t, "not fishing")), Casts: ptr(minute.Draw(t, "casts"))}}
			case 4, 5:
				o := offer(rod, rapid.SampledFrom(diary.Responses).Draw(t, "response"), rapid.SampledFrom(diary.Places).Draw(t, "place"))
				if rapid.Bool().Draw(t, "named") {
					o.Offer.Spell = other()
				}
				return o
			case 6:
				return diary.What{Cast: &diary.Cast{Rod: rod}}
			case 7:
				return diary.What{Void: &diary.Void{Rod: rod, Casts: 2}}
			case 8:
				return diary.What{DriftBegun: &diary.DriftBegun{}}
			case 9:
				return diary.What{DriftEnded: &diary.DriftEnded{}}
			case 10:
				return diary.What{DayBegun: &diary.DayBegun{Water: rapid.SampledFrom([]string{"a", "b"}).Draw(t, "water")}}
			case 11:
				return diary.What{Note: &diary.Note{Text: "<wind & rain>"}}
			case 12:
				return diary.What{Temperature: &diary.Temperature{C: ptr(0.1 + float64(minute.Draw(t, "c"))/7)}}
			}
			return diary.What{Pause: &diary.Pause{Rod: rapid.IntRange(0, 2).Draw(t, "rod"), Until: at("11:00"), Why: rapid.SampledFrom(diary.Whys).Draw(t, "why")}}
		}
		e := diary.Event{ID: id(n), Day: day, At: when()}
		if rapid.Bool().Draw(t, "where") {
			e.LonLat = &[2]float64{-14.62, 52.61 + float64(minute.Draw(t, "lat"))/3e4}
		}
		if kind := rapid.IntRange(0, 18).Draw(t, "kind"); kind < 15 {
			e.What = matter(kind)
		} else {
			e.Correction = &diary.Correction{Of: other()}
			if kind > 16 {
				w := matter(rapid.IntRange(0, 14).Draw(t, "instead"))
				in := when()
				if w.Pause != nil {
					in = at("10:00")
				}
				e.Correction.Instead = &diary.Instead{At: in, What: w}
			}
		}
		return e
	})
}

func anyPage(t *rapid.T) []diary.Event {
	n := rapid.IntRange(0, 30).Draw(t, "entries")
	var all []diary.Event
	for i := range n {
		e := anyEvent(i).Draw(t, "entry")
		if err := e.Check(); err != nil {
			t.Fatalf("drew what is refused: %v\n%s", err, e.Line())
		}
		all = append(all, e)
	}
	return all
}

func TestOrderAndDoublesChangeNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		all := anyPage(t)
		d, remarks := diary.Fold(day, all)
		mixed := rapid.Permutation(slices.Concat(all, all[:len(all)/2])).Draw(t, "mixed")
		d2, remarks2 := diary.Fold(day, mixed)
		if !reflect.DeepEqual(d, d2) || !slices.Equal(remarks, remarks2) {
			t.Fatalf("%+v\n%+v\n%v\n%v", d, d2, remarks, remarks2)
		}
		for _, s := range d.Spells {
			whole := s.To.Sub(s.From).Seconds()
			if s.FishedS < 0 || s.NotFishingS < 0 || s.UnknownS < 0 || s.FishedS+s.NotFishingS+s.UnknownS-whole > 1e-9 {
				t.Fatalf("minutes do not add up: %+v", s)
			}
		}
	})
}

func TestUndoIsExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		all := anyPage(t)
		extra := anyEvent(100).Draw(t, "extra")
		back := withdraw(101, "12:00", 100)
		d, remarks := diary.Fold(day, all)
		d2, remarks2 := diary.Fold(day, append(slices.Clone(all), extra, back))
		if !reflect.DeepEqual(d, d2) || !slices.Equal(remarks, remarks2) {
			t.Fatalf("%s\nleaves a trace:\n%+v\n%+v\n%v\n%v", extra.Line(), d, d2, remarks, remarks2)
		}
		d, remarks = diary.Fold(day, append(slices.Clone(all), extra))
		d2, remarks2 = diary.Fold(day, append(slices.Clone(all), extra, back, withdraw(102, "12:01", 101)))
		if !reflect.DeepEqual(d, d2) || !slices.Equal(remarks, remarks2) {
			t.Fatalf("an undo taken back leaves a trace:\n%+v\n%+v", d, d2)
		}
	})
}

func TestLinesRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		all := anyPage(t)
		var file bytes.Buffer
		if err := diary.Write(&file, all); err != nil {
			t.Fatal(err)
		}
		if len(all) == 0 {
			return
		}
		again, err := diary.Read("x.jsonl", bytes.NewReader(file.Bytes()))
		if err != nil {
			t.Fatal(err)
		}
		var file2 bytes.Buffer
		if err := diary.Write(&file2, again); err != nil || !reflect.DeepEqual(all, again) || file.String() != file2.String() {
			t.Fatalf("%v\n%s\n%s", err, file.String(), file2.String())
		}
	})
}

// Two events of another day stay on their page.
func TestPagesAreApart(t *testing.T) {
	e := entry(1, "10:00", begun(1))
	e.Day = "2026-05-01"
	if d, remarks := diary.Fold(day, []diary.Event{e, withdraw(2, "10:01", 1)}); len(d.Spells) != 0 || len(remarks) != 1 {
		t.Errorf("%+v %v", d, remarks)
	}
}

const good = `{"id":"0196900a-0000-7000-8000-000000000001","day":"2026-05-02","at_utc":"2026-05-02T09:05:00Z","lonlat":[-14.62,52.61],"offer":{"rod":1,"kind":"landed","place":"hang","fish":{"length_m":0.45,"kept":false}}}`

// bad are lines that must be refused, with a word of the reason.
var bad = [][2]string{
	{`[]`, "object"}, {`{}`, "id"}, {`{`, "object"}, {`null`, "object"}, {good + good, "object"},
	{strings.Replace(good, `"rod":1`, `"rod":9`, 1), "offer.rod"},
	{strings.Replace(good, `"rod":1,`, ``, 1), "offer.rod"},
	{strings.Replace(good, `"rod":1`, `"rod":1.5`, 1), "rod"},
	{strings.Replace(good, `"rod":1`, `"rod":1,"rod":2`, 1), "twice"},
	{strings.Replace(good, `"rod"`, `"Rod"`, 1), "Rod"},
	{strings.Replace(good, `"rod":1`, `"rod":null`, 1), "null"},
	{strings.Replace(good, `"rod":1`, `"rod":1,"reel":2`, 1), "reel"},
	{strings.Replace(good, `"kind":"landed"`, `"kind":"pluck"`, 1), "follow tap"},
	{strings.Replace(good, `"kind":"landed"`, `"kind":"tap"`, 1), "fish"},
	{strings.Replace(good, `"place":"hang",`, ``, 1), "place"},
	{strings.Replace(good, `0.45`, `45`, 1), "0.01 to 2"},
	{strings.Replace(good, `0.45`, `1e999`, 1), "length_m"},
	{strings.Replace(good, `-14.62,52.61`, `52.61,-94.62`, 1), "lonlat"},
	{strings.Replace(good, `-14.62,52.61`, `52.61`, 1), "two numbers"},
	{strings.Replace(good, `-14.62,52.61`, `52.61,1,2`, 1), "two numbers"},
	{strings.Replace(good, `"2026-05-02"`, `"2026-05-32"`, 1), "day"},
	{strings.Replace(good, `"2026-05-02"`, `"2026-06-02"`, 1), "at_utc"},
	{strings.Replace(good, `09:05:00Z`, `09:05:00+01:00`, 1), ""},
	{strings.Replace(good, `09:05:00Z`, `09:05:00.0001Z`, 1), "millisecond"},
	{strings.Replace(good, `0196900a`, `0196900A`, 1), "id"},
	{strings.Replace(good, `,"offer"`, `,"note":{"text":"x"},"offer"`, 1), "exactly one"},
	{strings.Replace(good, `"offer":{`, `"note":{"text":"two\nlines"},"x":{`, 1), ""},
}

func TestBadLinesAreRefused(t *testing.T) {
	if _, err := diary.Parse([]byte(good)); err != nil {
		t.Fatal(err)
	}
	for _, b := range bad {
		if b[0] == strings.Replace(good, `09:05:00Z`, `09:05:00+01:00`, 1) {
			if e, err := diary.Parse([]byte(b[0])); err != nil || !e.At.Equal(at("08:05")) {
				t.Errorf("an offset is read and kept as UTC: %v %v", e.At, err)
			}
			continue
		}
		_, err := diary.Read("x.jsonl", strings.NewReader("\n"+good+"\n"+b[0]+"\n"))
		var f *text.Fault
		if !errors.As(err, &f) || f.Line != 3 || f.File != "x.jsonl" || !strings.Contains(err.Error(), b[1]) {
			t.Errorf("%s\n%v, want %q", b[0], err, b[1])
		}
	}
	if _, err := diary.Read("x.jsonl", strings.NewReader(`{"id":"`+strings.Repeat("x", 70_000)+`"}`)); err == nil || !strings.Contains(err.Error(), "64 kB") {
		t.Errorf("a long line: %v", err)
	}
}

// seeds are lines that the fuzzing starts from.
func seeds() []string {
	all := []string{good}
	for _, b := range bad {
		all = append(all, b[0])
	}
	return all
}

func TestSeeds(t *testing.T) {
	if all := seeds(); len(all) < 20 {
		t.Fatalf("%d seeds", len(all))
	}
	if e, err := diary.Parse([]byte(seeds()[0])); err != nil || e.Kind() != "offer" || *e.Offer.Fish.Kept {
		t.Errorf("%+v %v", e, err)
	}
}

// What is read can be written, read again and folded.
func FuzzParse(f *testing.F) {
	for _, s := range seeds() {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, line string) {
		e, err := diary.Parse([]byte(line))
		if err != nil {
			return
		}
		again, err := diary.Parse(e.Line())
		if err != nil || !reflect.DeepEqual(e, again) {
			t.Fatalf("%v\n%s\n%s", err, e.Line(), again.Line())
		}
		diary.Fold(e.Day, []diary.Event{e})
	})
}

// BenchmarkFold reads a day of 600 casts: a spell each twenty minutes a rod, two rods, an offer in ten casts.
func BenchmarkFold(b *testing.B) {
	var all []diary.Event
	for i := range 48 {
		from := at("08:00").Add(time.Duration(i/2*20) * time.Minute)
		all = append(all, diary.Event{ID: id(1000 + i), Day: day, At: from, What: begun(1 + i%2)},
			diary.Event{ID: id(2000 + i), Day: day, At: from.Add(19 * time.Minute), What: closed(1000+i, diary.SpellClosed{Casts: ptr(12)})},
			diary.Event{ID: id(3000 + i), Day: day, At: from.Add(5 * time.Minute), What: offer(1+i%2, diary.Tap, diary.Hang)})
	}
	b.ReportAllocs()
	for b.Loop() {
		if d, remarks := diary.Fold(day, all); len(d.Spells) != 48 || len(remarks) != 0 {
			b.Fatal(len(d.Spells), remarks)
		}
	}
}

// Two phones that wrote different things under one id: whichever order they come in.
func TestOneIDInSeveralForms(t *testing.T) {
	a, b, c := entry(1, "10:00", begun(1)), entry(1, "10:00", begun(2)), entry(1, "10:01", begun(1))
	d, remarks := diary.Fold(day, []diary.Event{a, b, c})
	for _, other := range [][]diary.Event{{c, b, a}, {b, a, c, a}, {c, a, b}} {
		if d2, remarks2 := diary.Fold(day, other); !reflect.DeepEqual(d, d2) || !slices.Equal(remarks, remarks2) || len(remarks) != 1 || len(d.Spells) != 1 {
			t.Errorf("%+v %v\n%+v %v", d, remarks, d2, remarks2)
		}
	}
}
