package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"windlane/demo"
	"windlane/internal/engine"
	"windlane/internal/wire"
)

func saying(name, text string) file {
	return file{name, func(w io.Writer) error { _, err := io.WriteString(w, text); return err }}
}

// All of a day is written, or nothing of it and nothing beside it, and the code
// says whose fault it was.
func TestNothingHalfWritten(t *testing.T) {
	folder := t.TempDir()
	for _, name := range []string{"taken", filepath.Join("blocked", "b", "x")} {
		if err := os.MkdirAll(filepath.Dir(filepath.Join(folder, name)), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(folder, name), nil, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	full := file{"b", func(w io.Writer) error { return syscall.ENOSPC }}
	for _, c := range []struct {
		name, folder string
		files        []file
		says         string
		inside       bool
		left         int // files in the folder, -1: no folder
	}{
		{"a folder over a file", "taken", []file{saying("a", "1")}, "taken", false, -1},
		{"a folder where a file belongs", "blocked", []file{saying("a", "1"), saying("b", "2"), saying("c", "3")}, "a folder stands there", false, 1},
		{"a fault half-way", "new", []file{saying("a", "1"), full, saying("c", "3")}, "b: no space left", true, -1},
		{"a fault half-way, in a folder that was there", "blocked", []file{saying("a", "1"), {"c", full.draw}}, "c: no space left", true, 1},
	} {
		err := writeAll(filepath.Join(folder, c.folder), c.files)
		var inside *insideError
		if err == nil || !strings.Contains(err.Error(), c.says) || errors.As(err, &inside) != c.inside {
			t.Errorf("%s: %v", c.name, err)
		}
		left := -1
		if entries, err := os.ReadDir(filepath.Join(folder, c.folder)); err == nil {
			left = len(entries)
		}
		if left != c.left {
			t.Errorf("%s: %d files are left, want %d", c.name, left, c.left)
		}
	}
	var inside *insideError
	if err := writeFault("write", "x", &os.PathError{Op: "write", Path: "x", Err: syscall.ENOSPC}); !errors.As(err, &inside) {
		t.Errorf("a full disk is told as the person's fault: %v", err)
	}
	// A day asked for twice is written over.
	for _, text := range []string{"first", "second"} {
		if err := writeAll(filepath.Join(folder, "new"), []file{saying("a", text)}); err != nil {
			t.Fatal(err)
		}
	}
	b, err := os.ReadFile(filepath.Join(folder, "new", "a"))
	entries, _ := os.ReadDir(filepath.Join(folder, "new"))
	if err != nil || string(b) != "second" || len(entries) != 1 {
		t.Errorf("read %q, %v, %d files", b, err, len(entries))
	}
}

// fullDisk takes nothing; broken falls over.
type (
	fullDisk struct{}
	broken   struct{}
)

func (fullDisk) Write([]byte) (int, error) { return 0, syscall.ENOSPC }
func (broken) Write([]byte) (int, error)   { panic("a fault of ours") }

// Whatever command it is: an answer that cannot be written ends with 1 and a word.
func TestAnswersThatCannotBeWritten(t *testing.T) {
	kitchen(t)
	for _, args := range [][]string{
		{"cast"}, {"cast", "--json"}, {"drift", "--wind", "4", "--from", "S"}, {"engine"}, {"version"}, {"completion", "bash"}, {"completion", "fish"},
		{"--help"}, {"cast", "--help"}, {"demo", "--files", "files"},
	} {
		for _, c := range []struct {
			out  io.Writer
			says string
		}{{fullDisk{}, "no space left"}, {broken{}, "failed inside: a fault of ours"}} {
			var errs bytes.Buffer
			code := run(args, &console{in: strings.NewReader("{}\n"), out: c.out, err: &errs})
			if code != exitInside || !strings.Contains(errs.String(), c.says) || !strings.HasPrefix(errs.String(), "windlane: ") {
				t.Errorf("%v: code %d, %s", args, code, &errs)
			}
		}
	}
}

// --json beside --out prints the engine's answer and writes the files.
func TestJSONBesideFiles(t *testing.T) {
	kitchen(t)
	heard := 0
	b, fault := engine.Day(t.Context(), demoRequest(), func(string) { heard++ })
	if fault != nil || heard != steps {
		t.Errorf("%d steps heard, the bar of progress has %d: %v", heard, steps, fault)
	}
	want := string(wire.Answer(json.RawMessage(`"day"`), b, nil)) + "\n"
	if got := typeIn("", "demo", "--json", "--quiet", "--out", "plan"); got.code != exitFine || got.err != "" || got.out != want {
		t.Errorf("code %d %s\n%.300s\nwant\n%.300s", got.code, got.err, got.out, want)
	}
	if entries, err := os.ReadDir("plan"); err != nil || len(entries) != len(pages(b, 80)) {
		t.Errorf("%d files are written, want %d: %v", len(entries), len(pages(b, 80)), err)
	}
	// A refusal is on both streams, as the engine words it, and nothing is written.
	if err := os.WriteFile(demo.BagFile, []byte("# nothing yet\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	got := typeIn("", "day", "--lake", demo.OutlineFile, "--forecast", demo.ForecastFile, "--bag", demo.BagFile, "--day", demo.DayFile, "--json", "--out", "none")
	if got.code != exitInput || !strings.HasPrefix(got.out, `{"id":"day","error":{"field":"bag",`) || !strings.Contains(got.err, "holds no tackle") {
		t.Errorf("refused: code %d\n%s\n%s", got.code, got.out, got.err)
	}
	if _, err := os.Stat("none"); err == nil {
		t.Error("something was written")
	}
}

// Progress stays unseen until it is shown, then says the step it is at with those
// before it counted, and wipes itself off.
func TestProgress(t *testing.T) {
	var screen bytes.Buffer
	p := &progress{out: &screen}
	for _, name := range []string{"the files", "the lake", "the hours"} {
		p.step(name)
	}
	if screen.Len() > 0 {
		t.Errorf("seen at once: %q", &screen)
	}
	p.show()
	if s := screen.String(); !strings.Contains(s, "the hours") || !strings.Contains(s, "25%") {
		t.Errorf("two steps of eight are done, and it shows %q", s)
	}
	screen.Reset()
	p.step("where they lie")
	if s := screen.String(); !strings.Contains(s, "where they lie") || !strings.Contains(s, "37%") {
		t.Errorf("three steps of eight are done, and it shows %q", s)
	}
	p.done()
	if s := screen.String(); strings.TrimSpace(s[strings.LastIndex(s, "\r"):]) != "" {
		t.Errorf("left behind: %q", s)
	}
	screen.Reset()
	late := &progress{out: &screen}
	late.done()
	late.show()
	late.step("too late")
	if screen.Len() > 0 {
		t.Errorf("shown after the end: %q", &screen)
	}
}
