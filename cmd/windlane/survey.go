package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"windlane/demo"
	"windlane/internal/wire"
	"windlane/quantity"
	"windlane/water"
)

// surveyCmd says how well a water is sounded, and adds a day's log to its survey.
type surveyCmd struct {
	Lake       string   `aliases:"outline" help:"The lake's outline and places: GeoJSON." placeholder:"FILE"`
	Demo       bool     `help:"On the invented lake that comes with windlane, as it was surveyed."`
	Soundings  []string `help:"Depths: CSV, GPX, NMEA 0183 log, ESRI ASCII grid or GeoTIFF; may be given more than once." placeholder:"FILE"`
	Add        string   `help:"A sounder's log to add to the survey." placeholder:"LOG"`
	Into       string   `help:"The survey file that --add adds to, made if it is not there. Not said: the file of --soundings, if there is one alone." placeholder:"FILE"`
	Drawdown   length   `help:"How far the water stood below full when the log was taken." placeholder:"LENGTH"`
	Transducer length   `help:"How deep the sounder's transducer hung, where the log does not tell it." placeholder:"LENGTH"`
	Date       string   `help:"The day of the log, where it tells none, as 2026-05-15." placeholder:"DATE"`
	Cell       length   `help:"Width of a grid cell, 2 to 50 m." placeholder:"LENGTH"`
	GeoJSON    string   `name:"geojson" help:"Write the unsounded patches there for a map: GeoJSON." type:"path" placeholder:"FILE"`
	Cells      string   `help:"Write the bed there, cell by cell: CSV." type:"path" placeholder:"FILE"`
	told
}

func (surveyCmd) Help() string {
	return `Examples:
  windlane survey --demo
  windlane survey --lake osmerley.geojson --soundings osmerley-soundings.csv --add sounder.nmea --into mine.csv --drawdown "1 ft"
  windlane survey --lake osmerley.geojson --soundings osmerley-soundings.csv --soundings mine.csv --geojson thin.geojson --cells bed.csv --units metric

It says how much of the water nobody has sounded and where, and the leave-track-out error: each track left out in turn, and its depths guessed from the others. A log is added to the end of a survey file; nothing in the file is changed, and a log that is in it already is refused.`
}

func (cmd surveyCmd) Run(c *console) error {
	report, err := cmd.survey()
	if cmd.JSON {
		var fault *wire.Fault
		var answer any = report
		if err != nil {
			fault, answer = wire.Refuse("", "%v", err), nil
		}
		fmt.Fprintf(c.out, "%s\n", wire.Answer(json.RawMessage(`"survey"`), answer, fault))
	}
	if err != nil || cmd.JSON {
		return err
	}
	return cmd.tell(c, report)
}

// survey reads, adds and writes: the log last, once all else is known to be good.
func (cmd surveyCmd) survey() (*surveyReport, error) {
	if err := cmd.check(); err != nil {
		return nil, err
	}
	outline, files, err := cmd.read()
	if err != nil {
		return nil, err
	}
	settings := water.Settings{Cell: cmd.Cell.si}
	if cmd.Add == "" {
		w, err := water.Survey(outline, files, settings)
		if err != nil {
			return nil, err
		}
		return newSurveyReport(w, cmd.system()), cmd.write(w)
	}
	into := cmd.into()
	old, err := openGrown(into)
	if err != nil {
		return nil, err
	}
	if old.Soundings != nil {
		files = append(files, old.Soundings)
	}
	before, err := water.Survey(outline, files, settings)
	if err != nil {
		return nil, err
	}
	log, err := cmd.log(before)
	if err != nil {
		return nil, err
	}
	whole, err := old.Add(log)
	if err != nil {
		return nil, err
	}
	w, err := water.Survey(outline, append(files, log.Soundings), settings)
	if err != nil {
		return nil, err
	}
	report := newSurveyReport(w, cmd.system())
	share := before.NotSounded()
	report.Before = &share
	report.Added = &addedLog{Log: filepath.Base(cmd.Add), Date: log.Date, Soundings: len(log.List), Into: into}
	if old.Torn > 0 {
		report.Remarks = append(report.Remarks, fmt.Sprintf("%s, line %d: was cut short, and left out", into, old.Torn))
	}
	if err := cmd.write(w); err != nil {
		return nil, err
	}
	return report, old.replace(whole)
}

func (cmd surveyCmd) check() error {
	switch {
	case cmd.Demo && (cmd.Lake != "" || len(cmd.Soundings) > 0):
		return errors.New("--demo: has its own lake and soundings: leave it out, or leave out --lake and --soundings")
	case !cmd.Demo && cmd.Lake == "":
		return errors.New("--lake: is missing: bring an outline, or say --demo")
	case cmd.Cell.given() && (cmd.Cell.si < 2 || cmd.Cell.si > 50):
		return fmt.Errorf("--cell %q: allowed is 2 to 50 m", cmd.Cell.text)
	case cmd.Add == "" && cmd.Into != "":
		return fmt.Errorf("--into %q: nothing is to be added: say a log with --add", cmd.Into)
	case cmd.Add != "" && cmd.Into == "" && len(cmd.Soundings) != 1:
		return errors.New("--into: is missing: name the survey file that the log is added to")
	case cmd.Add == "" && (cmd.Drawdown.given() || cmd.Transducer.given() || cmd.Date != ""):
		return errors.New("--drawdown, --transducer and --date are of a log: say it with --add")
	case cmd.Drawdown.si < 0:
		return fmt.Errorf("--drawdown %q: allowed is 0 (full) and more, positive down", cmd.Drawdown.text)
	case cmd.Transducer.si < 0:
		return fmt.Errorf("--transducer %q: allowed is 0 and more, positive down", cmd.Transducer.text)
	}
	if _, err := time.Parse(time.DateOnly, cmd.Date); err != nil && cmd.Date != "" {
		return fmt.Errorf("--date %q: is no date: write it as 2026-05-15", cmd.Date)
	}
	return nil
}

// into is the file that a log is added to.
func (cmd surveyCmd) into() string {
	if cmd.Into == "" && len(cmd.Soundings) == 1 {
		return cmd.Soundings[0]
	}
	return cmd.Into
}

// read brings outline and soundings, but for the file that is added to.
func (cmd surveyCmd) read() (*water.Outline, []*water.Soundings, error) {
	var files []*water.Soundings
	if cmd.Demo {
		text, _ := demo.Open(demo.OutlineFile)
		outline, err := water.ReadOutline(demo.OutlineFile, text)
		if err != nil {
			return nil, nil, &insideError{err}
		}
		text, _ = demo.Open(demo.SoundingsFile)
		s, err := water.ReadSoundings(demo.SoundingsFile, text)
		if err != nil {
			return nil, nil, &insideError{err}
		}
		return outline, append(files, s), nil
	}
	raw, err := bytesOf(cmd.Lake)
	if err != nil {
		return nil, nil, err
	}
	outline, err := water.ReadOutline(filepath.Base(cmd.Lake), bytes.NewReader(raw))
	if err != nil {
		return nil, nil, err
	}
	for _, path := range cmd.Soundings {
		if cmd.Add != "" && path == cmd.into() {
			continue // read as what it is added to
		}
		raw, err := bytesOf(path)
		if err != nil {
			return nil, nil, err
		}
		s, err := water.ReadSoundings(filepath.Base(path), bytes.NewReader(raw))
		if err != nil {
			return nil, nil, err
		}
		files = append(files, s)
	}
	return outline, files, nil
}

// log reads the log and cleans it as the survey does.
func (cmd surveyCmd) log(w *water.Water) (water.Log, error) {
	raw, err := bytesOf(cmd.Add)
	if err != nil {
		return water.Log{}, err
	}
	how := water.Taken{Drawdown: cmd.Drawdown.si, Transducer: cmd.Transducer.si}
	s, err := how.ReadSoundings(filepath.Base(cmd.Add), bytes.NewReader(raw))
	if err != nil {
		return water.Log{}, err
	}
	if s, err = w.Clean(s); err != nil {
		return water.Log{}, err
	}
	log := water.Log{Soundings: s, Date: s.Date, Drawdown: cmd.Drawdown.si}
	switch {
	case log.Date == "" && cmd.Date == "":
		return water.Log{}, fmt.Errorf("%s: tells no date: say the day it was taken with --date", s.Name)
	case log.Date == "":
		log.Date = cmd.Date
	case cmd.Date != "" && cmd.Date != log.Date:
		return water.Log{}, fmt.Errorf("--date %q: the log itself says %s: leave it out", cmd.Date, log.Date)
	}
	sum := sha256.Sum256(raw)
	log.Fingerprint = hex.EncodeToString(sum[:6])
	return log, nil
}

// bytesOf is a file's content, text or not.
func bytesOf(path string) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		var p *os.PathError
		if errors.As(err, &p) {
			return nil, fmt.Errorf("%s: %w", path, p.Err)
		}
		return nil, err
	}
	defer f.Close()
	b, err := io.ReadAll(io.LimitReader(f, largest+1))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	if len(b) > largest {
		return nil, fmt.Errorf("%s: is larger than the %d MB allowed: split it or thin it out", path, largest>>20)
	}
	return b, nil
}

// grown is a survey file on the disk.
type grown struct {
	*water.Grown
	path string
	was  []byte // nil when there was none
}

func openGrown(path string) (*grown, error) {
	was, err := bytesOf(path)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, err
	}
	g, err := water.ReadGrown(filepath.Base(path), was)
	return &grown{g, path, was}, err
}

// replace puts the longer file in the place of the old one, which stays whole
// until the new one is on the disk. If somebody else added meanwhile it is left.
func (g *grown) replace(whole []byte) (err error) {
	place := g.path
	if real, err := filepath.EvalSymlinks(place); err == nil {
		place = real
	}
	mode := fs.FileMode(0o644)
	if info, err := os.Stat(place); err == nil {
		mode = info.Mode().Perm()
	}
	tmp, err := os.CreateTemp(filepath.Dir(place), ".windlane-*")
	if err != nil {
		return writeFault("write in", filepath.Dir(place), err)
	}
	defer func() {
		if err != nil {
			os.Remove(tmp.Name())
		}
	}()
	_, err = tmp.Write(whole)
	if err := errors.Join(err, tmp.Chmod(mode), tmp.Sync(), tmp.Close()); err != nil {
		return writeFault("write", g.path, err)
	}
	if now, err := bytesOf(place); err == nil && !bytes.Equal(now, g.was) {
		return fmt.Errorf("%s: was changed by somebody else just now: nothing was added; add the log again", g.path)
	}
	if err := os.Rename(tmp.Name(), place); err != nil {
		return writeFault("write", g.path, err)
	}
	if folder, err := os.Open(filepath.Dir(place)); err == nil { // the name too, where the system lets it
		_ = folder.Sync()
		folder.Close()
	}
	return nil
}

// write puts map and cells where they were asked for.
func (cmd surveyCmd) write(w *water.Water) error {
	for _, f := range []struct {
		path string
		draw func(io.Writer, *water.Water, quantity.System) error
	}{{cmd.GeoJSON, drawThin}, {cmd.Cells, drawCells}} {
		if f.path == "" {
			continue
		}
		one := file{filepath.Base(f.path), func(out io.Writer) error { return f.draw(out, w, cmd.system()) }}
		if err := writeAll(filepath.Dir(f.path), []file{one}); err != nil {
			return err
		}
	}
	return nil
}

// bringDepths brings a file of soundings to the engine, which takes text only: a
// GeoTIFF as the table of its depths.
func bringDepths(path string) (wire.File, error) {
	raw, err := bytesOf(path)
	if err != nil {
		return wire.File{}, err
	}
	if !water.IsGeoTIFF(raw) {
		return bring(path)
	}
	s, err := water.ReadSoundings(filepath.Base(path), bytes.NewReader(raw))
	if err != nil {
		return wire.File{}, err
	}
	return wire.File{Name: s.Name, Text: string(s.Table())}, nil
}
