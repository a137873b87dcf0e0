package main

import (
	"context"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"windlane/diary"
	"windlane/internal/store"
	"windlane/quantity"
)

// diaryCmd reads the diary, brings it in and out, and keeps it safe.
type diaryCmd struct {
	Show   diaryShowCmd   `cmd:"" help:"A day: its spells, offers and drifts."`
	Export diaryExportCmd `cmd:"" help:"Entries as JSON Lines, or spells or offers as CSV."`
	Import diaryImportCmd `cmd:"" help:"Bring JSON Lines in: all of a file or nothing; what is there already is passed over."`
	Backup diaryBackupCmd `cmd:"" help:"Write the whole diary into a new file."`
	Check  diaryCheckCmd  `cmd:"" help:"Read the whole diary and say whether it is sound."`
}

func (diaryCmd) Help() string {
	return `Entries are written with windlane log. JSON Lines are described in docs/formats.md.`
}

// named is an entry's kind in words.
func named(w diary.What) string { return strings.ReplaceAll(w.Kind(), "_", " ") }

func (on *dayPage) hour(t time.Time) string { return t.In(on.zone).Format("15:04") }

// tell says an entry in one line.
func (on *dayPage) tell(e diary.Event) string {
	said := named(e.What) + ", " + on.hour(e.At)
	rod := func(n int) {
		if n > 0 {
			said += fmt.Sprintf(", rod %d", n)
		}
	}
	add := func(parts ...string) {
		for _, p := range parts {
			if p != "" {
				said += ", " + p
			}
		}
	}
	switch {
	case e.DayBegun != nil:
		said = named(e.What) + ", " + on.date
		add(e.DayBegun.Water)
	case e.SpellBegun != nil:
		rod(e.SpellBegun.Rod)
		add(e.SpellBegun.Rig)
	case e.SpellClosed != nil:
		add(casts(e.SpellClosed.Casts, e.SpellClosed.Estimated))
	case e.Cast != nil:
		rod(e.Cast.Rod)
	case e.Void != nil:
		rod(e.Void.Rod)
		add(casts(&e.Void.Casts, false))
	case e.Offer != nil:
		said = string(e.Offer.Kind) + ", " + on.hour(e.At)
		rod(e.Offer.Rod)
		add(where(e.Offer.Place))
	case e.Pause != nil:
		said += " to " + on.hour(e.Pause.Until) + ", " + strings.ReplaceAll(string(e.Pause.Why), "_", " ")
		rod(e.Pause.Rod)
	case e.Note != nil:
		add(e.Note.Text)
	case e.Correction != nil:
		i := slices.IndexFunc(on.events, func(x diary.Event) bool { return x.ID == e.Correction.Of })
		what := "an entry"
		if i >= 0 {
			what = on.tell(on.events[i])
		}
		if e.Correction.Instead == nil {
			return "taken back: " + what
		}
		return "put right: " + what + ": now " + on.tell(diary.Event{At: e.Correction.Instead.At, What: e.Correction.Instead.What})
	}
	return said
}

func casts(n *int, estimated bool) string {
	switch {
	case n == nil:
		return ""
	case *n == 1:
		return "1 cast"
	case estimated:
		return fmt.Sprintf("about %d casts", *n)
	}
	return fmt.Sprintf("%d casts", *n)
}

func where(p diary.Place) string {
	switch p {
	case diary.Unplaced:
		return "place not known"
	case diary.Drop, diary.Hang:
		return "on the " + string(p)
	}
	return string(p) + " in the retrieve"
}

type diaryShowCmd struct {
	Day string `arg:"" optional:"" help:"As 2026-05-02. Not said: today." placeholder:"DATE"`
	inDiary
	UTCOffset *offset `name:"utc-offset" help:"The lake's clock less UTC, as +01:00. Not said: the day's own, else this machine's." placeholder:"OFFSET"`
	IDs       bool    `name:"ids" help:"Every entry with its id, in the order of writing, instead."`
	told
}

func (cmd diaryShowCmd) Run(c *console) error {
	return cmd.with(false, func(ctx context.Context, s store.Store) error {
		on, err := onPage{inDiary: cmd.inDiary, Date: cmd.Day, UTCOffset: cmd.UTCOffset}.read(ctx, s)
		if err != nil {
			return errors.New(strings.Replace(err.Error(), "--date ", "", 1))
		}
		d, remarks := diary.Fold(on.date, on.events)
		if cmd.JSON {
			enc := json.NewEncoder(c.out)
			enc.SetEscapeHTML(false)
			says := []string{}
			for _, r := range remarks {
				says = append(says, r.Event+": "+r.Says)
			}
			return enc.Encode(struct {
				*diary.Day
				Remarks []string `json:"remarks"`
			}{d, says})
		}
		p := page{}
		if len(on.events) == 0 {
			p.say("%s: nothing is written down.", on.date)
			return p.print(c)
		}
		if cmd.IDs {
			for _, e := range on.events {
				p.say("%s  %s", e.ID, on.tell(e))
			}
			return p.print(c)
		}
		on.show(&p, d, cmd.system())
		for _, r := range remarks {
			p.remark(r.Says)
		}
		return p.print(c)
	})
}

// show sets the day as a page.
func (on *dayPage) show(p *page, d *diary.Day, units quantity.System) {
	date, _ := time.Parse(time.DateOnly, d.Day)
	head := date.Format("2 January 2006")
	if d.Water != "" {
		head += ", " + d.Water
	}
	p.say("%s", head)
	hours := func(from, to time.Time, open bool) string {
		if open {
			return on.hour(from) + " on"
		}
		return on.hour(from) + " to " + on.hour(to)
	}
	all := slices.Clone(d.Loose)
	var rows [][]string
	for _, s := range d.Spells {
		n := "not known"
		if s.Casts != nil {
			n = strings.TrimSuffix(strings.TrimSuffix(casts(s.Casts, s.Estimated), "s"), " cast")
		}
		if s.VoidCasts > 0 {
			n += fmt.Sprintf(", %d void", s.VoidCasts)
		}
		fished := minutes(s.FishedS)
		if s.UnknownS > 0 {
			fished += ", " + minutes(s.UnknownS) + " not known"
		}
		rows = append(rows, []string{strconv.Itoa(s.Rod), hours(s.From, s.To, s.Open), s.Rig, fished, n, strconv.Itoa(len(s.Offers))})
		all = append(all, s.Offers...)
	}
	if len(rows) > 0 {
		p.say("")
		p.table([]string{"rod", "spell", "set-up", "fished", "casts", "offers"}, rows)
	}
	slices.SortStableFunc(all, func(a, b diary.Met) int { return a.At.Compare(b.At) })
	rows = nil
	landed := 0
	for _, o := range all {
		if o.Kind == diary.Landed {
			landed++
		}
		rows = append(rows, []string{on.hour(o.At), strconv.Itoa(o.Rod), string(o.Kind), where(o.Place), strings.ReplaceAll(o.Fly, "_", " "), fishWords(o.Fish, units)})
	}
	if len(rows) > 0 {
		p.say("")
		p.table([]string{"hour", "rod", "offer", "where in the cast", "fly", "fish"}, rows)
	}
	rows = nil
	for _, dr := range d.Drifts {
		drogue := ""
		if dr.Drogue != nil {
			drogue = map[bool]string{true: "out", false: "in"}[*dr.Drogue]
		}
		rows = append(rows, []string{hours(dr.From, dr.To, dr.Open), dr.Place, drogue, dr.Why})
	}
	if len(rows) > 0 {
		p.say("")
		p.table([]string{"drift", "from", "drogue", "lifted for"}, rows)
	}
	if len(d.Readings)+len(d.Notes) > 0 {
		p.say("")
	}
	for _, e := range d.Readings {
		p.say("%s  water %s", on.hour(e.At), units.Temperature(*e.Temperature.C))
	}
	for _, e := range d.Notes {
		p.say("%s  %s", on.hour(e.At), e.Note.Text)
	}
	p.say("")
	p.say("Offers %d, landed %d. Hours in no spell are not known to have been fished.", len(all), landed)
}

func minutes(s float64) string { return fmt.Sprintf("%.0f min", s/60) }

func fishWords(f *diary.Fish, units quantity.System) string {
	if f == nil {
		return ""
	}
	var said []string
	if f.Species != "" {
		said = append(said, f.Species)
	}
	figure := func(v *float64, trade float64, unit string, metric float64, other string) {
		switch {
		case v == nil:
		case units == quantity.Metric:
			said = append(said, strconv.FormatFloat(*v*metric, 'f', 1, 64)+" "+other)
		default:
			said = append(said, strconv.FormatFloat(*v*trade, 'f', 1, 64)+" "+unit)
		}
	}
	figure(f.LengthM, 1/0.0254, "in", 100, "cm")
	figure(f.WeightKg, 1/0.45359237, "lb", 1, "kg") // international inch and pound, exact by definition
	if f.Kept != nil {
		said = append(said, map[bool]string{true: "kept", false: "released"}[*f.Kept])
	}
	return strings.Join(said, ", ")
}

type diaryExportCmd struct {
	inDiary
	From string `help:"The first day, as 2026-05-02. Not said: from the beginning." placeholder:"DATE"`
	To   string `help:"The last day. Not said: to the end." placeholder:"DATE"`
	CSV  string `name:"csv" help:"As a table, with corrections carried out: spells or offers." enum:",spells,offers" default:"" placeholder:"TABLE"`
	Out  string `help:"Write it there instead of printing it." type:"path" placeholder:"FILE"`
}

func (cmd diaryExportCmd) Run(c *console) error {
	for flag, s := range map[string]string{"--from": cmd.From, "--to": cmd.To} {
		if _, err := time.Parse(time.DateOnly, s); s != "" && err != nil {
			return fmt.Errorf("%s %q: is no date: write it as 2026-05-02", flag, s)
		}
	}
	return cmd.with(false, func(ctx context.Context, s store.Store) error {
		events, err := s.Events(ctx, cmd.From, cmd.To)
		if err != nil {
			return err
		}
		draw := func(w io.Writer) error { return diary.Write(w, events) }
		if cmd.CSV != "" {
			draw = func(w io.Writer) error { return tables[cmd.CSV](csv.NewWriter(w), days(events)) }
		}
		if cmd.Out != "" {
			if err := writeAll(filepath.Dir(cmd.Out), []file{{filepath.Base(cmd.Out), draw}}); err != nil {
				return err
			}
			fmt.Fprintf(c.out, "written to %s\n", cmd.Out)
			return nil
		}
		return draw(c.out)
	})
}

// days folds every day there is, in order.
func days(events []diary.Event) []*diary.Day {
	var dates []string
	by := map[string][]diary.Event{}
	for _, e := range events {
		if by[e.Day] == nil {
			dates = append(dates, e.Day)
		}
		by[e.Day] = append(by[e.Day], e)
	}
	slices.Sort(dates)
	var all []*diary.Day
	for _, date := range dates {
		d, _ := diary.Fold(date, by[date])
		all = append(all, d)
	}
	return all
}

var tables = map[string]func(*csv.Writer, []*diary.Day) error{"spells": spellTable, "offers": offerTable}

func spellTable(w *csv.Writer, days []*diary.Day) error {
	w.Write([]string{"day", "water", "rod", "from_utc", "to_utc", "open", "rig", "way", "count_s", "retrieve", "retrieve_speed_m_s", "fished_s", "not_fishing_s", "unknown_s", "casts", "estimated", "void_casts", "offers", "spell"})
	for _, d := range days {
		for _, s := range d.Spells {
			kind, speed, n := "", (*float64)(nil), ""
			if s.Retrieve != nil {
				kind, speed = s.Retrieve.Kind, s.Retrieve.SpeedMS
			}
			if s.Casts != nil {
				n = strconv.Itoa(*s.Casts)
			}
			w.Write([]string{d.Day, cell(d.Water), strconv.Itoa(s.Rod), s.From.Format(time.RFC3339), s.To.Format(time.RFC3339), strconv.FormatBool(s.Open), cell(s.Rig), string(s.Way), number(s.CountS), kind, number(speed), number(&s.FishedS), number(&s.NotFishingS), number(&s.UnknownS), n, strconv.FormatBool(s.Estimated), strconv.Itoa(s.VoidCasts), strconv.Itoa(len(s.Offers)), s.ID})
		}
	}
	w.Flush()
	return w.Error()
}

func offerTable(w *csv.Writer, days []*diary.Day) error {
	w.Write([]string{"day", "water", "rod", "at_utc", "kind", "place", "fly", "species", "length_m", "weight_kg", "kept", "lon_deg", "lat_deg", "spell", "offer"})
	row := func(d *diary.Day, o diary.Met, spell string) {
		fish, kept, lon, lat := diary.Fish{}, "", "", ""
		if o.Fish != nil {
			fish = *o.Fish
		}
		if fish.Kept != nil {
			kept = strconv.FormatBool(*fish.Kept)
		}
		if o.LonLat != nil {
			lon, lat = number(&o.LonLat[0]), number(&o.LonLat[1])
		}
		w.Write([]string{d.Day, cell(d.Water), strconv.Itoa(o.Rod), o.At.Format(time.RFC3339), string(o.Kind), string(o.Place), o.Fly, cell(fish.Species), number(fish.LengthM), number(fish.WeightKg), kept, lon, lat, spell, o.ID})
	}
	for _, d := range days {
		for _, s := range d.Spells {
			for _, o := range s.Offers {
				row(d, o, s.ID)
			}
		}
		for _, o := range d.Loose {
			row(d, o, "")
		}
	}
	w.Flush()
	return w.Error()
}

func number(v *float64) string {
	if v == nil {
		return ""
	}
	return strconv.FormatFloat(*v, 'g', -1, 64)
}

// cell keeps a person's words from being taken for a formula by a spreadsheet.
func cell(s string) string {
	if s != "" && strings.ContainsRune("=+-@", rune(s[0])) {
		return "'" + s
	}
	return s
}

type diaryImportCmd struct {
	File string `arg:"" help:"JSON Lines." placeholder:"FILE"`
	inDiary
}

func (cmd diaryImportCmd) Run(c *console) error {
	f, err := os.Open(cmd.File)
	if err != nil {
		return err
	}
	defer f.Close()
	events, err := diary.Read(cmd.File, f)
	if err != nil {
		return err
	}
	return cmd.with(true, func(ctx context.Context, s store.Store) error {
		n, err := s.Append(ctx, events...)
		if err != nil {
			return fmt.Errorf("%s: nothing was brought in: %w", cmd.File, err)
		}
		fmt.Fprintf(c.out, "entries %d, new ones %d\n", len(events), n)
		return nil
	})
}

type diaryBackupCmd struct {
	File string `arg:"" help:"A new file." placeholder:"FILE"`
	inDiary
}

func (cmd diaryBackupCmd) Run(c *console) error {
	return cmd.with(false, func(ctx context.Context, s store.Store) error {
		if err := s.Backup(ctx, cmd.File); err != nil {
			return err
		}
		fmt.Fprintf(c.out, "backed up to %s\n", cmd.File)
		return nil
	})
}

type diaryCheckCmd struct{ inDiary }

func (cmd diaryCheckCmd) Run(c *console) error {
	return cmd.with(false, func(ctx context.Context, s store.Store) error {
		if err := s.Check(ctx); err != nil {
			return err
		}
		events, err := s.Events(ctx, "", "")
		if err != nil {
			return err
		}
		fmt.Fprintf(c.out, "sound: entries %d, days %d\n", len(events), len(days(events)))
		return nil
	})
}
