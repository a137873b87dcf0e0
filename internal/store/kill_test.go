package store

import (
	"bufio"
	"context"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"windlane/diary"
)

// kills is how often the writer is killed; `make kill` does it 200 times.
var kills = flag.Int("kills", 10, "how often the writing program is killed")

// writer, as the environment's variable of this name, makes the test's program
// the one that writes into that diary until it is killed.
const writer = "WINDLANE_TEST_WRITER"

func TestMain(m *testing.M) {
	if path := os.Getenv(writer); path != "" {
		write(path)
	}
	os.Exit(m.Run())
}

// write adds spells, two entries at a time, and says so once each is safe.
func write(path string) {
	ctx := context.Background()
	s, err := Create(ctx, path)
	for err == nil {
		spell := aSpell(1)
		if _, err = s.Append(ctx, spell...); err == nil {
			fmt.Println(spell[0].ID, spell[1].ID)
		}
	}
	fmt.Fprintln(os.Stderr, err)
	os.Exit(1)
}

// The writer is killed (SIGKILL) at random moments, its opening included. What it
// said was safe is there; of the rest, spells are whole or absent.
func TestNothingAcknowledgedIsLost(t *testing.T) {
	path := filepath.Join(t.TempDir(), "diary.db")
	safe := map[string]bool{}
	seed := uint64(time.Now().UnixNano())
	random := rand.New(rand.NewPCG(seed, 1))
	t.Logf("seed %d", seed)
	for kill := range *kills {
		cmd := exec.Command(os.Args[0], "-test.run=^$")
		cmd.Env = append(os.Environ(), writer+"="+path)
		cmd.Stderr = os.Stderr
		said, err := cmd.StdoutPipe()
		if err != nil {
			t.Fatal(err)
		}
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		// One kill in eight falls somewhere into the start; the others after some
		// spells and a part of the next.
		in := bufio.NewScanner(said)
		if random.IntN(8) == 0 {
			time.Sleep(time.Duration(random.IntN(30_000)) * time.Microsecond)
		} else {
			for n := random.IntN(40); n >= 0 && in.Scan(); n-- {
				acknowledge(safe, in.Text())
			}
			time.Sleep(time.Duration(random.IntN(2000)) * time.Microsecond)
		}
		if err := cmd.Process.Kill(); err != nil {
			t.Fatal(err)
		}
		for in.Scan() { // what it had said before it died
			acknowledge(safe, in.Text())
		}
		if err := cmd.Wait(); err == nil || err.Error() != "signal: killed" {
			t.Fatalf("the writer ended by itself: %v", err)
		}

		s := must[Store](t)(Create(t.Context(), path))
		sound(t, s)
		events := must[[]diary.Event](t)(s.Events(t.Context(), "", ""))
		if err := s.Close(); err != nil {
			t.Fatal(err)
		}
		stands := map[string]bool{}
		for i, e := range events {
			stands[e.ID] = true
			if e.SpellClosed != nil && (i == 0 || events[i-1].ID != e.SpellClosed.Spell) {
				t.Fatalf("kill %d: half a spell", kill)
			}
		}
		if len(events)%2 != 0 {
			t.Fatalf("kill %d: half a spell", kill)
		}
		for id := range safe {
			if !stands[id] {
				t.Fatalf("kill %d: %s was said to be safe and is lost", kill, id)
			}
		}
	}
	if len(safe) < *kills {
		t.Errorf("only %d entries were acknowledged: nothing was tried", len(safe))
	}
	t.Logf("%d kills, %d entries acknowledged, none lost", *kills, len(safe))
}

// acknowledge takes a whole line; one that was cut off was not said.
func acknowledge(safe map[string]bool, line string) {
	ids := strings.Fields(line)
	if len(ids) == 2 && len(ids[1]) == len(newID()) {
		safe[ids[0]], safe[ids[1]] = true, true
	}
}
