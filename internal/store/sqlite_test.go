package store

import (
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"windlane/diary"
)

// The settings that the promise rests on are those of the connection itself.
func TestSettingsOfTheConnection(t *testing.T) {
	s, err := Create(t.Context(), filepath.Join(t.TempDir(), "a folder", "50% ?of#it.db"))
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	for pragma, want := range map[string]string{"journal_mode": "wal", "synchronous": "2", "busy_timeout": "5000", "application_id": "1464616025"} {
		var got string
		if err := s.(*sqlite).db.QueryRow("pragma " + pragma).Scan(&got); err != nil || got != want {
			t.Errorf("%s = %q, want %q, %v", pragma, got, want, err)
		}
	}
	if _, err := os.Stat(s.(*sqlite).path); err != nil {
		t.Errorf("it stands under another name: %v", err)
	}
}

// The file itself refuses that an entry is changed or removed.
func TestEntriesAreNotChanged(t *testing.T) {
	s := kinds["sqlite"](t, t.TempDir())
	defer s.Close()
	must[int](t)(s.Append(t.Context(), aSpell(1)...))
	for _, q := range []string{`update events set line = '{}'`, `delete from events`, `replace into events select seq, id, day, at_ms, kind, '{}' from events`} {
		if _, err := s.(*sqlite).db.Exec(q); (err == nil) != strings.HasPrefix(q, "replace") || err != nil && !strings.Contains(err.Error(), "never") {
			t.Errorf("%s: %v", q, err)
		}
	}
	if got := must[[]diary.Event](t)(s.Events(t.Context(), "", "")); len(got) != 2 {
		t.Errorf("%d entries", len(got))
	}
	sound(t, s)
}

// A migration that has been released stands as it is.
func TestMigrationsAreOnlyAdded(t *testing.T) {
	released := []string{"216a2b669aa6fab0"}
	if len(migrations) < len(released) || len(released) == 0 {
		t.Fatalf("%d migrations, %d released", len(migrations), len(released))
	}
	for i, want := range released {
		sum := sha256.Sum256([]byte(migrations[i]))
		if got := hex.EncodeToString(sum[:8]); got != want {
			t.Errorf("migration %d is %s, was released as %s: add another instead", i+1, got, want)
		}
	}
}

func TestFilesThatAreNoDiary(t *testing.T) {
	make := func(name string, fill func(path string)) string {
		path := filepath.Join(t.TempDir(), name)
		fill(path)
		return path
	}
	exec := func(path, q string) {
		db, err := sql.Open("sqlite", path)
		if err == nil {
			_, err = db.Exec(q)
		}
		if err := errors.Join(err, db.Close()); err != nil {
			t.Fatal(err)
		}
	}
	diaryFile := func(path string) {
		s, err := Create(t.Context(), path)
		if err != nil {
			t.Fatal(err)
		}
		for range 200 {
			must[int](t)(s.Append(t.Context(), aSpell(1)...))
		}
		if err := s.Close(); err != nil {
			t.Fatal(err)
		}
	}
	cases := []struct {
		path string
		want error
	}{
		{make("none.db", func(string) {}), ErrAbsent},
		{make("text.db", func(path string) { os.WriteFile(path, []byte(strings.Repeat("a spell at ten\n", 100)), 0o600) }), ErrForeign},
		{make("other.db", func(path string) { exec(path, `create table fish (name text)`) }), ErrForeign},
		{make("newer.db", func(path string) { diaryFile(path); exec(path, `pragma user_version = 99`) }), ErrNewer},
	}
	for _, c := range cases {
		before, _ := os.ReadFile(c.path)
		s, err := Open(t.Context(), c.path)
		if !errors.Is(err, c.want) || !strings.Contains(err.Error(), filepath.Base(c.path)) {
			t.Errorf("%s: %v", filepath.Base(c.path), err)
		}
		if s != nil {
			s.Close()
		}
		if after, _ := os.ReadFile(c.path); string(after) != string(before) {
			t.Errorf("%s was changed", filepath.Base(c.path))
		}
	}

	// Damage inside is found, whichever page it is on, and never read as entries.
	path := make("damaged.db", diaryFile)
	whole, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	found := 0
	for page := 1; page*4096 < len(whole); page += 3 {
		hurt := []byte(string(whole))
		for i := range 512 {
			hurt[page*4096+i] = 0x5a
		}
		if err := os.WriteFile(path, hurt, 0o600); err != nil {
			t.Fatal(err)
		}
		s, err := Open(t.Context(), path)
		if err == nil {
			err = errors.Join(s.Check(t.Context()), s.Close())
		}
		if !errors.Is(err, ErrDamaged) {
			t.Errorf("page %d: %v", page, err)
		}
		found++
	}
	if found < 5 {
		t.Errorf("only %d pages were hurt", found)
	}
}

func TestAFullDisk(t *testing.T) {
	path := filepath.Join(t.TempDir(), "diary.db")
	s, err := Create(t.Context(), path)
	if err != nil {
		t.Fatal(err)
	}
	first := aSpell(1)
	must[int](t)(s.Append(t.Context(), first...))
	s.Close()
	s = must[Store](t)(open(t.Context(), path, "_pragma=max_page_count(12)"))
	var many []diary.Event
	for range 500 {
		many = append(many, aSpell(1)...)
	}
	n, err := s.Append(t.Context(), many...)
	if n != 0 || !errors.Is(err, ErrFull) || !strings.Contains(err.Error(), "make room") {
		t.Errorf("%d, %v", n, err)
	}
	if got := must[[]diary.Event](t)(s.Events(t.Context(), "", "")); lines(got) != lines(first) {
		t.Errorf("half written: %d entries", len(got))
	}
	sound(t, s)
	s.Close()
	s = must[Store](t)(Open(t.Context(), path))
	defer s.Close()
	if n := must[int](t)(s.Append(t.Context(), many...)); n != len(many) {
		t.Errorf("with room again: %d", n)
	}
}

func TestAFileThatCannotBeWrittenTo(t *testing.T) {
	path := filepath.Join(t.TempDir(), "diary.db")
	s, err := Create(t.Context(), path)
	if err != nil {
		t.Fatal(err)
	}
	first := aSpell(1)
	must[int](t)(s.Append(t.Context(), first...))
	s.Close()
	s = must[Store](t)(open(t.Context(), path, "mode=ro"))
	defer s.Close()
	if _, err := s.Append(t.Context(), aSpell(2)...); !errors.Is(err, ErrReadOnly) {
		t.Errorf("%v", err)
	}
	if got := must[[]diary.Event](t)(s.Events(t.Context(), "", "")); lines(got) != lines(first) {
		t.Errorf("%s", lines(got))
	}
}

// BenchmarkAppend is one press: an entry that outlasts a loss of power.
func BenchmarkAppend(b *testing.B) {
	s, err := Create(b.Context(), filepath.Join(b.TempDir(), "diary.db"))
	if err != nil {
		b.Fatal(err)
	}
	defer s.Close()
	b.ReportAllocs()
	n := 0
	for b.Loop() {
		e := onDay("2026-05-02", "10:00", diary.What{Cast: &diary.Cast{Rod: 1}})
		if _, err := s.Append(b.Context(), e); err != nil {
			b.Fatal(err)
		}
		n++
	}
	b.ReportMetric(float64(n)/b.Elapsed().Seconds(), "casts/s")
}
