package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"unicode/utf8"

	"windlane/brief"
	"windlane/demo"
	"windlane/internal/engine"
	"windlane/internal/render"
	"windlane/internal/wire"
)

// shown is how an answer is shown.
type shown struct {
	JSON  bool `name:"json" help:"Print the engine's own answer instead of text."`
	Quiet bool `help:"Print nothing but what was asked for."`
	Width int  `help:"Columns of the text, 60 to 200." default:"80"`
}

func (s shown) check() error {
	if s.Width < 60 || s.Width > 200 {
		return fmt.Errorf("--width %d: allowed is 60 to 200", s.Width)
	}
	return nil
}

// output is where a brief goes.
type output struct {
	Out string `help:"Write the brief there: day.txt, day.html, day.pdf and day.json; the drifts for a plotter or a map: day.gpx and day.geojson." type:"path" placeholder:"FOLDER"`
	shown
}

// dayFiles are the files of a day.
type dayFiles struct {
	Lake      string   `help:"The lake's outline and places: GeoJSON." placeholder:"FILE"`
	Soundings []string `help:"Depths: CSV, GPX, NMEA 0183 log, ESRI ASCII grid or GeoTIFF; may be given more than once." placeholder:"FILE"`
	Forecast  string   `help:"The weather: a table by the hour (.csv), or a TAF or METAR as text." placeholder:"FILE"`
	Bag       string   `help:"What is owned: TOML." placeholder:"FILE"`
	Day       string   `help:"Date, hours, aim, what is seen and told: TOML." placeholder:"FILE"`
	Profile   string   `help:"Water temperature by depth: CSV." placeholder:"FILE"`
	Cell      length   `help:"Width of a grid cell, 2 to 50 m." placeholder:"LENGTH"`
}

// given are those that were said, and those that a day cannot do without.
func (d dayFiles) given() (said, missing []string) {
	for _, f := range []struct {
		flag   string
		is     bool
		needed bool
	}{
		{"--lake", d.Lake != "", true}, {"--soundings", d.Soundings != nil, false}, {"--forecast", d.Forecast != "", true}, {"--bag", d.Bag != "", true},
		{"--day", d.Day != "", true}, {"--profile", d.Profile != "", false}, {"--cell", d.Cell.given(), false},
	} {
		switch {
		case f.is:
			said = append(said, f.flag)
		case f.needed:
			missing = append(missing, f.flag)
		}
	}
	return said, missing
}

// bring reads them.
func (d dayFiles) bring() (*wire.DayRequest, error) {
	if _, missing := d.given(); missing != nil {
		return nil, fmt.Errorf("%s: is missing: a day is planned from --lake, --forecast, --bag and --day, with --soundings where there are any", strings.Join(missing, ", "))
	}
	r := &wire.DayRequest{Soundings: []wire.File{}}
	for _, f := range []struct {
		path string
		into *wire.File
	}{{d.Lake, &r.Outline}, {d.Forecast, &r.Forecast}, {d.Bag, &r.Bag}, {d.Day, &r.Outing}} {
		file, err := bring(f.path)
		if err != nil {
			return nil, err
		}
		*f.into = file
	}
	for _, path := range d.Soundings {
		file, err := bringDepths(path)
		if err != nil {
			return nil, err
		}
		r.Soundings = append(r.Soundings, file)
	}
	if d.Profile != "" {
		file, err := bring(d.Profile)
		if err != nil {
			return nil, err
		}
		r.Profile = &file
	}
	r.Cell = d.Cell.si
	if d.Cell.given() && (r.Cell < 2 || r.Cell > 50) {
		return nil, fmt.Errorf("--cell %q: allowed is 2 to 50 m", d.Cell.text)
	}
	r.Code = form(r.Forecast.Text)
	return r, nil
}

// dayCmd plans a day from files.
type dayCmd struct {
	dayFiles
	output
}

func (cmd dayCmd) Run(c *console) error {
	r, err := cmd.dayFiles.bring()
	if err != nil {
		return err
	}
	return cmd.brief(c, r)
}

// form tells a table from a TAF and a METAR by its first words.
func form(s string) string {
	for _, word := range strings.Fields(s)[:min(6, len(strings.Fields(s)))] {
		switch word {
		case "TAF":
			return "taf"
		case "METAR", "SPECI":
			return "metar"
		}
	}
	return "csv"
}

// largest file that is brought at all. [bytes]
const largest = engine.MaxLine

func bring(path string) (wire.File, error) {
	f, err := os.Open(path)
	if err != nil {
		var p *os.PathError
		if errors.As(err, &p) {
			return wire.File{}, fmt.Errorf("%s: %w", path, p.Err)
		}
		return wire.File{}, err
	}
	defer f.Close()
	tooLarge := fmt.Errorf("%s: is larger than the %d MB allowed: split it or thin it out", path, largest>>20)
	if info, err := f.Stat(); err == nil && info.Size() > largest {
		return wire.File{}, tooLarge
	}
	b, err := io.ReadAll(io.LimitReader(f, largest+1))
	if err != nil {
		return wire.File{}, fmt.Errorf("%s: %w", path, err)
	}
	if len(b) > largest {
		return wire.File{}, tooLarge
	}
	if !utf8.Valid(b) || bytes.IndexByte(b, 0) >= 0 { // it could not be asked as JSON
		return wire.File{}, fmt.Errorf("%s: is not a text file (UTF-8): bring the text form of it", path)
	}
	return wire.File{Name: filepath.Base(path), Text: string(b)}, nil
}

// demoCmd plans a day on the invented lake.
type demoCmd struct {
	Files string `help:"Only write the files of the demo there, to look at or change." type:"path" placeholder:"FOLDER"`
	output
}

func (cmd demoCmd) Run(c *console) error {
	if cmd.Files == "" {
		return cmd.brief(c, demoRequest())
	}
	var files []file
	for _, f := range demo.Files() {
		files = append(files, file{f.Name, func(w io.Writer) error { _, err := w.Write(f.Data); return err }})
	}
	if err := writeAll(cmd.Files, files); err != nil {
		return err
	}
	for _, f := range demo.Files() {
		fmt.Fprintf(c.out, "%-26s %s\n", f.Name, f.What)
	}
	return nil
}

func demoRequest() *wire.DayRequest {
	profile := demoFile(demo.ProfileFile)
	return &wire.DayRequest{
		Outline: demoFile(demo.OutlineFile), Soundings: []wire.File{demoFile(demo.SoundingsFile)},
		Forecast: demoFile(demo.ForecastFile), Code: "csv", Bag: demoFile(demo.BagFile), Outing: demoFile(demo.DayFile), Profile: &profile,
	}
}

func demoFile(name string) wire.File {
	r, ok := demo.Open(name)
	if !ok {
		panic("windlane: the demo has no file " + name)
	}
	b, _ := io.ReadAll(r) // from memory
	return wire.File{Name: name, Text: string(b)}
}

// brief plans and tells. Files are written before anything is said.
func (o output) brief(c *console, r *wire.DayRequest) error {
	if err := o.check(); err != nil {
		return err
	}
	step, done := o.progress(c)
	b, fault := engine.Day(context.Background(), r, step)
	done()
	if fault == nil && o.Out != "" {
		if err := writeAll(o.Out, pages(b, o.Width)); err != nil {
			return err
		}
	}
	switch {
	case o.JSON: // as the engine answers it
		fmt.Fprintf(c.out, "%s\n", wire.Answer(json.RawMessage(`"day"`), b, fault))
	case o.Quiet || fault != nil:
	default:
		if err := render.Text(c.out, *b, o.Width); err != nil {
			return &insideError{err}
		}
		if o.Out != "" {
			fmt.Fprintf(c.out, "\nTo read or print: %s and %s\n", filepath.Join(o.Out, "day.html"), filepath.Join(o.Out, "day.pdf"))
		}
	}
	if fault != nil {
		return errors.New(fault.Message)
	}
	return nil
}

// pages are a brief in every form.
func pages(b *brief.Brief, width int) []file {
	return []file{
		{"day.geojson", func(w io.Writer) error { return render.GeoJSON(w, *b) }},
		{"day.gpx", func(w io.Writer) error { return render.GPX(w, *b) }},
		{"day.html", func(w io.Writer) error { return render.HTML(w, *b) }},
		{"day.json", func(w io.Writer) error { return json.NewEncoder(w).Encode(b) }},
		{"day.pdf", func(w io.Writer) error { return render.PDF(w, *b) }},
		{"day.txt", func(w io.Writer) error { return render.Text(w, *b, width) }},
	}
}
