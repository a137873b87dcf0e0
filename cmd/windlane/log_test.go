package main

import (
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"time"

	"windlane/diary"
)

// jot writes into a diary of the test's own.
func jot(t *testing.T, line string) screen {
	t.Helper()
	return typeIn("", words(line)...)
}

// ownDiary gives the test a diary that is not the person's.
func ownDiary(t *testing.T) string {
	t.Helper()
	t.Chdir(t.TempDir())
	t.Setenv("WINDLANE_DIARY", "")
	data := t.TempDir()
	t.Setenv("XDG_DATA_HOME", data)
	return filepath.Join(data, "windlane", "diary.db")
}

const onDay = " --date 2026-05-02"

func TestADayIsLogged(t *testing.T) {
	place := ownDiary(t)
	for _, c := range [][2]string{
		{"log day --water Osmerley --utc-offset=+01:00 --rods 2", "day begun, 2026-05-02, Osmerley"},
		{`log spell --rig "point: booby" --from 10:05 --to 10:50 --casts 34`, "34 casts"},
		{`log spell --rod 2 --rig "deep lure" --from 10:05`, "rod 2, deep lure"},
		{"log offer tap --place hang --at 10:31", "tap, 10:31, rod 1, on the hang"},
		{`log offer landed --place late --at 10:48 --length "18 in" --weight "2 lb" --no-kept`, "landed"},
		{"log pause --from 10:34 --to 10:40 --why unanswered", "unanswered"},
		{"log close --rod 2 --at 10:55 --casts 30 --estimated", "about 30 casts"},
		{"log void 3 --at 10:45", "3 casts"},
		{"log undo", "taken back: void"},
	} {
		if got := jot(t, c[0]+onDay); got.code != exitFine || got.err != "" || !strings.HasPrefix(got.out, "saved: ") || !strings.Contains(got.out, c[1]) {
			t.Fatalf("%s: code %d\n%s%s", c[0], got.code, got.err, got.out)
		}
	}
	if _, err := os.Stat(place); err != nil {
		t.Errorf("the diary is not where it belongs: %v", err)
	}
	show := jot(t, "diary show 2026-05-02")
	for _, s := range []string{"2 May 2026, Osmerley", "10:05 to 10:50", "39 min, 6 min not known", "about 30", "18.0 in, 2.0 lb, released", "Offers 2, landed 1"} {
		if !strings.Contains(show.out, s) {
			t.Errorf("show does not say %q:\n%s", s, show.out)
		}
	}
	if strings.Contains(show.out, "void") {
		t.Errorf("what was taken back is shown:\n%s", show.out)
	}
	if got := jot(t, "diary show 2026-05-02 --json"); !strings.Contains(got.out, `"fished_s":2340`) || !strings.Contains(got.out, `"unknown_s":360`) || !strings.Contains(got.out, `"remarks":[]`) {
		t.Errorf("%s", got.out)
	}

	// Out, into another diary, and out again: the same bytes.
	lines := jot(t, "diary export")
	if lines.code != exitFine || strings.Count(lines.out, "\n") != 10 {
		t.Fatalf("code %d, %s\n%s", lines.code, lines.err, lines.out)
	}
	if got := jot(t, "diary export --out all.jsonl"); got.code != exitFine {
		t.Errorf("%s", got.err)
	}
	if got := jot(t, "diary import all.jsonl --diary other.db"); got.out != "entries 10, new ones 10\n" {
		t.Errorf("%d %s%s", got.code, got.err, got.out)
	}
	if got := jot(t, "diary import all.jsonl --diary other.db"); got.out != "entries 10, new ones 0\n" {
		t.Errorf("%d %s%s", got.code, got.err, got.out)
	}
	if got := jot(t, "diary export --diary other.db"); got.out != lines.out {
		t.Errorf("the round trip changed\n%s\ninto\n%s", lines.out, got.out)
	}
	// The same from a backup; a backup is never written over.
	if got := jot(t, "diary backup b.db"); got.code != exitFine {
		t.Errorf("%s", got.err)
	}
	if got := jot(t, "diary backup b.db"); got.code != exitInput || !strings.Contains(got.err, "new file") {
		t.Errorf("%d %s", got.code, got.err)
	}
	t.Setenv("WINDLANE_DIARY", "b.db")
	if got := jot(t, "diary export"); got.out != lines.out {
		t.Errorf("the backup is another diary:\n%s", got.out)
	}
	if got := jot(t, "diary check"); got.out != "sound: entries 10, days 1\n" {
		t.Errorf("%s%s", got.err, got.out)
	}
}

// Undo steps back through what stands, and an undo can be undone.
func TestUndo(t *testing.T) {
	ownDiary(t)
	kinds := func() string {
		var all []string
		for line := range strings.Lines(jot(t, "diary export --csv offers").out) {
			all = append(all, strings.Split(line, ",")[4])
		}
		return strings.Join(all[1:], " ")
	}
	id := func(n int) string {
		return strings.Fields(strings.Split(jot(t, "diary show 2026-05-02 --ids").out, "\n")[n])[0]
	}
	for _, step := range []struct{ line, want string }{
		{"log offer tap --at 10:00", "tap"},
		{"log offer lost --at 10:01", "tap lost"},
		{"log offer follow --at 10:02", "tap lost follow"},
		{"log undo 2", "tap"},
		{"log undo --id 4", "tap lost"}, // the fifth entry is the undo of the second
		{"log offer landed --at 10:00 --corrects 0", "landed lost"},
		{"log undo --id 6", "tap lost"},
		{"log undo 2", ""},
	} {
		f := strings.Fields(step.line)
		if last := f[len(f)-1]; strings.Contains(step.line, "--id") || strings.Contains(step.line, "--corrects") {
			f[len(f)-1] = id(int(last[0] - '0'))
		}
		if got := jot(t, strings.Join(f, " ")+onDay); got.code != exitFine {
			t.Fatalf("%s: %s", step.line, got.err)
		}
		if got := kinds(); got != step.want {
			t.Fatalf("%s: %q, want %q\n%s", step.line, got, step.want, jot(t, "diary show 2026-05-02 --ids").out)
		}
	}
	if got := jot(t, "log undo"+onDay); got.code != exitInput || !strings.Contains(got.err, "only 0 entries") {
		t.Errorf("%d %s", got.code, got.err)
	}
}

// In the boat neither the day nor the hour is typed.
func TestNow(t *testing.T) {
	ownDiary(t)
	if got := jot(t, "log spell --utc-offset=+00:00"); got.code != exitFine {
		t.Fatal(got.err)
	}
	if got := jot(t, "log offer tap --place hang --utc-offset=+00:00"); got.code != exitFine || strings.Contains(got.out, "no spell") && time.Now().UTC().Hour() != 0 {
		t.Errorf("%s%s", got.err, got.out)
	}
}

func TestBadEntries(t *testing.T) {
	ownDiary(t)
	if got := jot(t, "diary show"); got.code != exitInput || !strings.Contains(got.err, "windlane log begins one") {
		t.Errorf("no diary yet: %d %s", got.code, got.err)
	}
	os.WriteFile("bad.jsonl", []byte("\n{\"id\":7}\n"), 0o600)
	os.WriteFile("text.db", []byte(strings.Repeat("not a diary\n", 400)), 0o600)
	jot(t, "log note begun --at 08:00"+onDay)
	before := jot(t, "diary export").out
	for _, c := range [][]string{
		{"log offer bite" + onDay, "bite", "follow"},
		{"log offer tap --place nowhere --at 10:00" + onDay, "--place", "hang"},
		{"log offer tap --fish 7 --at 10:00" + onDay, "--fish"},
		{"log offer tap --at 25:00" + onDay, `--at "25:00"`, "10:31"},
		{"log offer tap" + onDay, "--at", "not today"},
		{`log offer tap --at 10:00 --length "18 in"` + onDay, "offer.fish", "lost or landed"},
		{`log offer landed --at 10:00 --length "18 lb"` + onDay, "--length", "lb"},
		{"log spell --from 11:00 --to 10:00" + onDay, `--to "10:00"`, "before"},
		{"log spell --from 11:00 --casts 5" + onDay, "--to", "missing"},
		{"log spell --from 11:00 --way trolling" + onDay, "spell_begun.way", "trolling", "washing_line"},
		{"log spell --from 11:00 --rod 9" + onDay, "rod", "1 to 8"},
		{`log spell --from 11:00 --strips "1 ft" --figure-of-eight` + onDay, "--strips", "one of them"},
		{"log close --at 10:00" + onDay, "--rod 1", "no spell"},
		{"log pause --from 10:00 --to 09:00" + onDay, "pause.until_utc", "after"},
		{`log temperature "99 C" --at 10:00` + onDay, "99", "40"},
		{"log note x --at 10:00 --date 2026-13-02", `--date "2026-13-02"`, "2026-05-02"},
		{"log note x --at 10:00 --corrects y" + onDay, `--corrects "y"`, "no such entry"},
		{"log note x --at 10:00 --here pier" + onDay, `--here "pier"`, "52.617"},
		{"log undo 9" + onDay, "only 1"},
		{"log", "spell"},
		{"diary show 2026-5-2", "2026-05-02"},
		{"diary export --from May", `--from "May"`},
		{"diary export --csv fish", "--csv", "spells"},
		{"diary import bad.jsonl", "bad.jsonl, line 2", "id"},
		{"diary import none.jsonl", "none.jsonl"},
		{"diary check --diary text.db", "text.db", "not a diary"},
		{"log note x --at 10:00 --diary text.db" + onDay, "text.db", "not a diary"},
		{"log note x --at 10:00 --diary text.db/d.db" + onDay, "text.db"},
	} {
		got := jot(t, c[0])
		if got.code != exitInput {
			t.Errorf("%s: code %d\n%s%s", c[0], got.code, got.out, got.err)
		}
		for _, s := range c[1:] {
			if !strings.Contains(got.err, s) {
				t.Errorf("%s: does not say %q: %s", c[0], s, got.err)
			}
		}
	}
	if after := jot(t, "diary export").out; after != before {
		t.Errorf("something was written:\n%s", after)
	}
}

// The example of docs/formats.md is a day, and comes out as it went in; every
// matter and field of an entry is named there.
func TestTheFormatsDiary(t *testing.T) {
	page, err := os.ReadFile(filepath.Join("..", "..", "docs", "formats.md"))
	if err != nil {
		t.Fatal(err)
	}
	_, example, _ := strings.Cut(string(page), "```jsonl\n")
	example, _, _ = strings.Cut(example, "```")
	ownDiary(t)
	if err := os.WriteFile("day.jsonl", []byte(example), 0o600); err != nil {
		t.Fatal(err)
	}
	if got := jot(t, "diary import day.jsonl"); got.out != "entries 4, new ones 4\n" {
		t.Fatalf("%s%s", got.err, got.out)
	}
	if got := jot(t, "diary export"); got.out != example {
		t.Errorf("%s\nwant\n%s", got.out, example)
	}
	if got := jot(t, "diary export --csv offers"); !strings.Contains(got.out, "missed,hang,point") {
		t.Errorf("the correction is not carried out:\n%s", got.out)
	}
	_, section, _ := strings.Cut(string(page), "\n## The diary: JSON Lines")
	section, _, _ = strings.Cut(section, "\n# ")
	names := 0
	var walk func(typ reflect.Type)
	walk = func(typ reflect.Type) {
		for typ.Kind() == reflect.Pointer || typ.Kind() == reflect.Slice {
			typ = typ.Elem()
		}
		if typ.Kind() != reflect.Struct || typ == reflect.TypeFor[time.Time]() {
			return
		}
		for f := range typ.Fields() {
			if name, _, _ := strings.Cut(f.Tag.Get("json"), ","); name != "" {
				names++
				if !strings.Contains(section, name) {
					t.Errorf("docs/formats.md does not name %s", name)
				}
			}
			if f.Name != "Instead" {
				walk(f.Type)
			}
		}
	}
	walk(reflect.TypeFor[diary.Event]())
	if names < 30 {
		t.Errorf("looked for %d names only", names)
	}
}

// A person's words are never a formula to a spreadsheet.
func TestTablesCarryNoFormula(t *testing.T) {
	ownDiary(t)
	for _, line := range []string{`log day --water "@lake"`, `log spell --rig "=1+1" --from 10:00 --to 10:20`, `log offer landed --at 10:10 --species "+x"`} {
		if got := jot(t, line+onDay); got.code != exitFine {
			t.Fatal(got.err)
		}
	}
	if got := jot(t, "diary export --csv spells"); !strings.Contains(got.out, ",'=1+1,") || !strings.Contains(got.out, ",'@lake,") {
		t.Errorf("%s", got.out)
	}
	if got := jot(t, "diary export --csv offers"); !strings.Contains(got.out, ",'+x,") {
		t.Errorf("%s", got.out)
	}
}

// What stands after log and diary is completed too.
func TestCompletionKnowsTheSecondWord(t *testing.T) {
	for shell, says := range map[string][]string{
		"bash": {"log/offer) words=\"--help", "--place", "show export import backup check --help"},
		"fish": {"'__fish_seen_subcommand_from log; and __fish_seen_subcommand_from offer' -l place", "-a export -d"},
	} {
		got := jot(t, "completion "+shell)
		for _, s := range says {
			if !strings.Contains(got.out, s) {
				t.Errorf("%s does not say %q", shell, s)
			}
		}
	}
}
