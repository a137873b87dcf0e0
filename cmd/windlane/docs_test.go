package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// words splits a line as a shell would: by spaces, but for those in quotes.
func words(line string) []string {
	var out []string
	var word strings.Builder
	quote, open := rune(0), false
	for _, r := range line {
		switch {
		case quote != 0 && r == quote:
			quote = 0
		case quote == 0 && (r == '"' || r == '\''):
			quote, open = r, true
		case quote == 0 && r == ' ':
			if open || word.Len() > 0 {
				out = append(out, word.String())
			}
			word.Reset()
			open = false
		default:
			word.WriteRune(r)
		}
	}
	if open || word.Len() > 0 {
		out = append(out, word.String())
	}
	return out
}

// Every example of docs/commands.md, and of the commands' own help, is run as
// typed; every command has one.
func TestExamplesRun(t *testing.T) {
	page, err := os.ReadFile(filepath.Join("..", "..", "docs", "commands.md"))
	if err != nil {
		t.Fatal(err)
	}
	kitchen(t)
	t.Setenv("WINDLANE_DIARY", "")
	t.Setenv("XDG_DATA_HOME", t.TempDir())
	var all commands
	examples := string(page)
	for _, cmd := range model(t, &all).Children {
		examples += "\n" + strings.ReplaceAll(cmd.Detail, "\n  windlane", "\nwindlane")
	}
	ran := map[string]bool{}
	done := map[string]bool{}
	for line := range strings.Lines(examples) {
		line = strings.TrimSpace(line)
		in := ""
		if said, rest, piped := strings.Cut(line, " | windlane "); piped && strings.HasPrefix(said, "echo ") {
			in, line = words(said)[1]+"\n", "windlane "+rest
		}
		args := words(line)
		if len(args) < 2 || args[0] != "windlane" || done[line] {
			continue
		}
		done[line] = true
		got := typeIn(in, args[1:]...)
		if got.code != exitFine || got.err != "" || got.out == "" && !strings.Contains(line, "--quiet") || strings.Contains(got.out, `"error"`) {
			t.Errorf("%s: code %d\n%s%.500s", line, got.code, got.err, got.out)
		}
		ran[args[1]] = true
	}
	for _, cmd := range model(t, &all).Children {
		if !ran[cmd.Name] {
			t.Errorf("docs/commands.md has no example of %s", cmd.Name)
		}
		if !strings.Contains(string(page), cmd.Name) {
			t.Errorf("docs/commands.md does not name %s", cmd.Name)
		}
	}
	for _, name := range []string{"day.txt", "day.html", "day.pdf", "day.json", "day.gpx", "day.geojson"} {
		if info, err := os.Stat(filepath.Join("demo-day", name)); err != nil || info.Size() == 0 {
			t.Errorf("the demo wrote no %s: %v", name, err)
		}
	}
	if entries, err := os.ReadDir("demo-files"); err != nil || len(entries) < 7 {
		t.Errorf("the demo's files: %d, %v", len(entries), err)
	}
}

// The examples of docs/formats.md make a day together.
func TestExamplesOfTheFormatsPlan(t *testing.T) {
	page, err := os.ReadFile(filepath.Join("..", "..", "docs", "formats.md"))
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir(t.TempDir())
	for heading, name := range map[string]string{"Outline": "lake.geojson", "TAF": "taf.txt", "Water temperature": "water.csv", "The bag": "bag.toml", "The day": "day.toml"} {
		_, section, _ := strings.Cut(string(page), "\n## "+heading)
		_, example, _ := strings.Cut(section, "\n```")
		_, example, _ = strings.Cut(example, "\n")
		example, _, _ = strings.Cut(example, "```")
		if err := os.WriteFile(name, []byte(example), 0o644); err != nil || example == "" {
			t.Fatalf("%s: %q, %v", heading, example, err)
		}
	}
	got := typeIn("", "day", "--lake", "lake.geojson", "--forecast", "taf.txt", "--bag", "bag.toml", "--day", "day.toml", "--profile", "water.csv", "--cell", "25 m")
	if got.code != exitFine || !strings.Contains(got.out, "Drift 1") {
		t.Errorf("code %d %s\n%.600s", got.code, got.err, got.out)
	}
}
