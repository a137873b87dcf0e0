package store

import (
	"bytes"
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/google/uuid"

	"windlane/diary"
)

// kinds are the stores there are: each opens the store of a place again and again.
// Another database stands in this table and passes the same tests.
var kinds = map[string]func(t *testing.T, place string) Store{
	"sqlite": func(t *testing.T, place string) Store {
		s, err := Create(t.Context(), filepath.Join(place, "diary.db"))
		if err != nil {
			t.Fatal(err)
		}
		return s
	},
}

func each(t *testing.T, test func(t *testing.T, open func() Store)) {
	if len(kinds) == 0 {
		t.Fatal("no store to test")
	}
	for name, open := range kinds {
		t.Run(name, func(t *testing.T) {
			place := t.TempDir()
			test(t, func() Store { return open(t, place) })
		})
	}
}

func newID() string { return uuid.Must(uuid.NewV7()).String() }

func onDay(day, clock string, w diary.What) diary.Event {
	at, err := time.Parse("2006-01-02 15:04", day+" "+clock)
	if err != nil {
		panic(err)
	}
	return diary.Event{ID: newID(), Day: day, At: at, What: w}
}

// aSpell is a spell begun and closed: two entries that belong together.
func aSpell(rod int) []diary.Event {
	begun := onDay("2026-05-02", "10:00", diary.What{SpellBegun: &diary.SpellBegun{Rod: rod, Rig: "point: <b> & 'c'"}})
	casts := 34
	return []diary.Event{begun, onDay("2026-05-02", "10:40", diary.What{SpellClosed: &diary.SpellClosed{Spell: begun.ID, Casts: &casts}})}
}

func lines(events []diary.Event) string {
	var b bytes.Buffer
	if err := diary.Write(&b, events); err != nil {
		panic(err)
	}
	return b.String()
}

func must[T any](t *testing.T) func(v T, err error) T {
	return func(v T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

func sound(t *testing.T, s Store) {
	t.Helper()
	if err := s.Check(t.Context()); err != nil {
		t.Fatal(err)
	}
}

func TestWhatIsAddedStandsInItsOrder(t *testing.T) {
	each(t, func(t *testing.T, open func() Store) {
		s := open()
		note := func(day string) diary.Event {
			return onDay(day, "09:00", diary.What{Note: &diary.Note{Text: day}})
		}
		all := []diary.Event{note("2026-05-03"), note("2026-05-01"), note("2026-05-02")}
		all = append(all, aSpell(1)...)
		if n := must[int](t)(s.Append(t.Context(), all[:2]...)); n != 2 {
			t.Errorf("added %d", n)
		}
		must[int](t)(s.Append(t.Context(), all[2:]...))
		if err := s.Close(); err != nil {
			t.Fatal(err)
		}
		s = open()
		defer s.Close()
		for _, c := range []struct {
			first, last string
			want        []diary.Event
		}{{"", "", all}, {"2026-05-02", "2026-05-02", all[2:]}, {"2026-05-02", "", slices.Concat(all[:1], all[2:])}, {"", "2026-05-01", all[1:2]}, {"2027-01-01", "", nil}} {
			if got := must[[]diary.Event](t)(s.Events(t.Context(), c.first, c.last)); lines(got) != lines(c.want) {
				t.Errorf("%q to %q:\n%s\nwant\n%s", c.first, c.last, lines(got), lines(c.want))
			}
		}
		sound(t, s)
	})
}

func TestAddingAgainChangesNothing(t *testing.T) {
	each(t, func(t *testing.T, open func() Store) {
		s := open()
		defer s.Close()
		spell, more := aSpell(1), aSpell(2)
		must[int](t)(s.Append(t.Context(), spell...))
		// A lost answer is asked for again, with more.
		if n := must[int](t)(s.Append(t.Context(), slices.Concat(spell, more, more)...)); n != 2 {
			t.Errorf("added %d", n)
		}
		if got := must[[]diary.Event](t)(s.Events(t.Context(), "", "")); lines(got) != lines(slices.Concat(spell, more)) {
			t.Errorf("%s", lines(got))
		}
		if n := must[int](t)(s.Append(t.Context())); n != 0 {
			t.Errorf("nothing added %d", n)
		}
	})
}

// All or none: neither a taken id nor an entry that may not stand leaves anything.
func TestNothingIsHalfWritten(t *testing.T) {
	each(t, func(t *testing.T, open func() Store) {
		s := open()
		defer s.Close()
		spell := aSpell(1)
		must[int](t)(s.Append(t.Context(), spell...))
		other := aSpell(2)
		taken := other[1]
		taken.ID = spell[0].ID
		var conflict *ConflictError
		if n, err := s.Append(t.Context(), other[0], taken); !errors.As(err, &conflict) || conflict.ID != taken.ID || n != 0 {
			t.Errorf("a taken id: %d, %v", n, err)
		}
		wrong := other[1]
		wrong.Day = "yesterday"
		if _, err := s.Append(t.Context(), other[0], wrong); err == nil || !strings.Contains(err.Error(), "yesterday") {
			t.Errorf("an entry that may not stand: %v", err)
		}
		gone, cancel := context.WithCancel(t.Context())
		cancel()
		if _, err := s.Append(gone, other...); !errors.Is(err, context.Canceled) {
			t.Errorf("given up: %v", err)
		}
		if got := must[[]diary.Event](t)(s.Events(t.Context(), "", "")); lines(got) != lines(spell) {
			t.Errorf("%s", lines(got))
		}
		if n := must[int](t)(s.Append(t.Context(), other...)); n != 2 {
			t.Errorf("afterwards: %d", n)
		}
		sound(t, s)
	})
}

// Several programs write at once, and nothing is lost or doubled.
func TestManyWriters(t *testing.T) {
	each(t, func(t *testing.T, open func() Store) {
		var wait sync.WaitGroup
		const writers, spells = 4, 10
		for range writers {
			s := open()
			wait.Go(func() {
				defer s.Close()
				for range spells {
					if n, err := s.Append(t.Context(), aSpell(1)...); n != 2 || err != nil {
						t.Errorf("%d, %v", n, err)
					}
				}
			})
		}
		wait.Wait()
		s := open()
		defer s.Close()
		if got := must[[]diary.Event](t)(s.Events(t.Context(), "", "")); len(got) != 2*writers*spells {
			t.Errorf("%d entries", len(got))
		}
		sound(t, s)
	})
}

func TestBackup(t *testing.T) {
	each(t, func(t *testing.T, open func() Store) {
		s := open()
		defer s.Close()
		must[int](t)(s.Append(t.Context(), aSpell(1)...))
		folder := t.TempDir()
		place := filepath.Join(folder, "back up.db")
		if err := s.Backup(t.Context(), place); err != nil {
			t.Fatal(err)
		}
		if err := s.Backup(t.Context(), place); !errors.Is(err, fs.ErrExist) {
			t.Errorf("over a file: %v", err)
		}
		if err := s.Backup(t.Context(), filepath.Join(folder, "none", "x.db")); !errors.Is(err, fs.ErrNotExist) {
			t.Errorf("in no folder: %v", err)
		}
		must[int](t)(s.Append(t.Context(), aSpell(2)...))
		again := must[Store](t)(Open(t.Context(), place))
		defer again.Close()
		sound(t, again)
		all := must[[]diary.Event](t)(s.Events(t.Context(), "", ""))
		if got := must[[]diary.Event](t)(again.Events(t.Context(), "", "")); lines(got) != lines(all[:2]) {
			t.Errorf("%s", lines(got))
		}
		if n := must[int](t)(again.Append(t.Context(), all...)); n != 2 {
			t.Errorf("a backup is a diary: added %d", n)
		}
		left := must[[]os.DirEntry](t)(os.ReadDir(folder))
		for _, f := range left {
			if strings.HasPrefix(f.Name(), ".windlane") {
				t.Errorf("left behind: %s", f.Name())
			}
		}
	})
}

// Several programs begin the same diary at once.
func TestManyBegin(t *testing.T) {
	each(t, func(t *testing.T, open func() Store) {
		var wait sync.WaitGroup
		const programs = 8
		for range programs {
			wait.Go(func() {
				s := open()
				defer s.Close()
				if n, err := s.Append(t.Context(), aSpell(1)...); n != 2 || err != nil {
					t.Errorf("%d, %v", n, err)
				}
			})
		}
		wait.Wait()
		s := open()
		defer s.Close()
		if got := must[[]diary.Event](t)(s.Events(t.Context(), "", "")); len(got) != 2*programs {
			t.Errorf("%d entries", len(got))
		}
	})
}
