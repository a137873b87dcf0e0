package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/google/uuid"

	"windlane/diary"
	"windlane/internal/store"
	"windlane/tackle"
)

// logCmd writes into the diary, an entry or two at a time.
type logCmd struct {
	Day         logDayCmd         `cmd:"" help:"The day begins: which water, its clock, how many rods."`
	Spell       logSpellCmd       `cmd:"" help:"A spell: one rod, one set-up and way of fishing, from when to when. Without --to it runs on."`
	Close       logCloseCmd       `cmd:"" help:"The end of a rod's running spell."`
	Offer       logOfferCmd       `cmd:"" help:"What a fish did, and where in the cast."`
	Cast        logCastCmd        `cmd:"" help:"A single cast, as the flies landed. Spells do without."`
	Void        logVoidCmd        `cmd:"" help:"The last casts do not count: fouled, tangled."`
	Drift       logDriftCmd       `cmd:"" help:"The boat is let go broadside."`
	Lift        logLiftCmd        `cmd:"" help:"The drift is over."`
	Pause       logPauseCmd       `cmd:"" help:"No flies in the water for a while."`
	Note        logNoteCmd        `cmd:"" help:"A line of your own."`
	Temperature logTemperatureCmd `cmd:"" help:"The water's temperature, as read."`
	Undo        logUndoCmd        `cmd:"" help:"Take back the last entries of the day, or one by its id; take that back again too."`
}

func (logCmd) Help() string {
	return `Nothing need be pressed for each cast: a spell says it all. Hours are the lake's clock, of today if no --date is said. Nothing is ever changed in the diary; what is put right or taken back is an entry too.`
}

// inDiary is which diary a command is about.
type inDiary struct {
	Diary string `help:"The diary's file. Not said: the one that WINDLANE_DIARY names, else windlane/diary.db in your data folder (XDG_DATA_HOME)." env:"WINDLANE_DIARY" placeholder:"FILE"`
}

func (d inDiary) path() (string, error) {
	if d.Diary != "" {
		return d.Diary, nil
	}
	if data := os.Getenv("XDG_DATA_HOME"); filepath.IsAbs(data) {
		return filepath.Join(data, "windlane", "diary.db"), nil
	}
	home, err := os.UserHomeDir()
	if err != nil {
		return "", errors.New("--diary: is missing: this machine says no home folder to keep a diary in")
	}
	return filepath.Join(home, ".local", "share", "windlane", "diary.db"), nil
}

// with opens the diary for what is done with it, and begins one if create is said.
func (d inDiary) with(create bool, do func(context.Context, store.Store) error) error {
	path, err := d.path()
	if err != nil {
		return err
	}
	open, ctx := store.Open, context.Background()
	if create {
		open = store.Create
	}
	s, err := open(ctx, path)
	if errors.Is(err, store.ErrAbsent) {
		return fmt.Errorf("%w yet: windlane log begins one", err)
	}
	if err != nil {
		return storeFault(err)
	}
	return storeFault(errors.Join(do(ctx, s), s.Close()))
}

// storeFault tells the disk's faults from those of what was typed or brought.
func storeFault(err error) error {
	if errors.Is(err, store.ErrFull) || errors.Is(err, store.ErrBusy) {
		return &insideError{err}
	}
	return err
}

// onPage is the page of the diary that an entry is for.
type onPage struct {
	inDiary
	Date      string  `help:"The day, as 2026-05-02. Not said: today." placeholder:"DATE"`
	UTCOffset *offset `name:"utc-offset" help:"The lake's clock less UTC, as +01:00. Not said: the day's own, else this machine's." placeholder:"OFFSET"`
	Corrects  string  `help:"The id of an entry that this one puts right (diary show --ids)." placeholder:"ID"`
}

// when is the hour and place of an entry.
type when struct {
	At   string `help:"The hour, as 10:31. Not said: now, if the day is today." placeholder:"TIME"`
	Here *spot  `help:"Where: latitude and longitude as \"52.617,-14.620\"." placeholder:"PLACE"`
}

// onRod is the rod of an entry.
type onRod struct {
	Rod int `help:"Which rod, 1 to 8. Default: ${default}." default:"1" placeholder:"N"`
}

// dayPage is the day as it stands, and how its hours are read.
type dayPage struct {
	date   string
	zone   *time.Location
	events []diary.Event
	day    *diary.Day
}

// add has entries made from the day as it stands, writes them, and says so.
func (p onPage) add(c *console, entries func(*dayPage) ([]diary.Event, error)) error {
	return p.with(true, func(ctx context.Context, s store.Store) error {
		on, err := p.read(ctx, s)
		if err != nil {
			return err
		}
		events, err := entries(on)
		if err != nil {
			return err
		}
		if p.Corrects != "" {
			if events, err = on.correcting(p.Corrects, events); err != nil {
				return err
			}
		}
		for _, e := range events {
			if err := e.Check(); err != nil {
				return errors.New(strings.TrimPrefix(err.Error(), ", "))
			}
		}
		if _, err := s.Append(ctx, events...); err != nil {
			return err
		}
		say := page{}
		_, before := diary.Fold(on.date, on.events)
		_, after := diary.Fold(on.date, append(on.events, events...))
		for _, e := range events {
			say.say("saved: %s", on.tell(e))
		}
		for _, r := range after {
			if !slices.Contains(before, r) {
				say.remark(r.Says)
			}
		}
		return say.print(c)
	})
}

// read takes the day's page out of the diary.
func (p onPage) read(ctx context.Context, s store.Store) (*dayPage, error) {
	on := &dayPage{date: p.Date, zone: time.Local}
	if p.UTCOffset != nil {
		on.zone = time.FixedZone("", p.UTCOffset.minutes*60)
	}
	if on.date == "" {
		on.date = time.Now().In(on.zone).Format(time.DateOnly)
	}
	if _, err := time.Parse(time.DateOnly, on.date); err != nil {
		return nil, fmt.Errorf("--date %q: is no date: write it as 2026-05-02", on.date)
	}
	var err error
	if on.events, err = s.Events(ctx, on.date, on.date); err != nil {
		return nil, err
	}
	on.day, _ = diary.Fold(on.date, on.events)
	if p.UTCOffset == nil && on.day.UTCOffsetMin != nil {
		on.zone = time.FixedZone("", *on.day.UTCOffsetMin*60)
	}
	return on, nil
}

// clock reads an hour of the day; an empty one is now.
func (on *dayPage) clock(flag, s string) (time.Time, error) {
	if s == "" {
		now := time.Now().In(on.zone)
		if now.Format(time.DateOnly) != on.date {
			return now, fmt.Errorf("%s: is missing: the day is not today, so say the hour as 10:31", flag)
		}
		return now.Truncate(time.Millisecond).UTC(), nil
	}
	for _, form := range []string{"15:04", "15:04:05"} {
		if t, err := time.ParseInLocation(time.DateOnly+" "+form, on.date+" "+s, on.zone); err == nil {
			return t.UTC(), nil
		}
	}
	return time.Time{}, fmt.Errorf("%s %q: is no hour: write it as 10:31", flag, s)
}

// entry is one made now.
func (on *dayPage) entry(at time.Time, w diary.What) (diary.Event, error) {
	id, err := uuid.NewV7()
	if err != nil {
		return diary.Event{}, &insideError{err}
	}
	return diary.Event{ID: id.String(), Day: on.date, At: at, What: w}, nil
}

// one is a single entry at an hour and a place.
func (on *dayPage) one(w when, what diary.What) ([]diary.Event, error) {
	at, err := on.clock("--at", w.At)
	if err != nil {
		return nil, err
	}
	e, err := on.entry(at, what)
	if w.Here != nil && w.Here.lonLat == nil {
		return nil, fmt.Errorf("--here %q: latitude and longitude belong here, as 52.617,-14.620", w.Here.text)
	}
	if w.Here != nil {
		e.LonLat = w.Here.lonLat
	}
	return []diary.Event{e}, err
}

// correcting makes one entry into the correction of another.
func (on *dayPage) correcting(of string, events []diary.Event) ([]diary.Event, error) {
	i := slices.IndexFunc(on.events, func(e diary.Event) bool { return e.ID == of })
	switch {
	case i < 0:
		return nil, fmt.Errorf("--corrects %q: no such entry on the page of %s", of, on.date)
	case len(events) != 1:
		return nil, fmt.Errorf("--corrects %q: one entry is corrected at a time: leave --to out, or close anew", of)
	case events[0].Kind() != on.events[i].Kind():
		return nil, fmt.Errorf("--corrects %q: is %s: take it back with undo and write the other down", of, named(on.events[i].What))
	}
	e := events[0]
	c, err := on.entry(time.Now().Truncate(time.Millisecond).UTC(), diary.What{Correction: &diary.Correction{Of: of, Instead: &diary.Instead{At: e.At, LonLat: e.LonLat, What: e.What}}})
	c.At = on.after(c.At)
	return []diary.Event{c}, err
}

// after is the moment of a correction: now, but later than every correction on
// the page, and not far from a page written long ago or ahead.
func (on *dayPage) after(now time.Time) time.Time {
	day, _ := time.ParseInLocation(time.DateOnly, on.date, on.zone)
	if now.Before(day) || now.After(day.Add(30*time.Hour)) {
		now = day.Add(24 * time.Hour).UTC()
	}
	for _, e := range on.events {
		if e.Correction != nil && !now.After(e.At) {
			now = e.At.Add(time.Millisecond)
		}
	}
	return now
}

type logDayCmd struct {
	onPage
	At    string `help:"The hour it began. Not said: now, or midnight of another day." placeholder:"TIME"`
	Water string `help:"The lake's name." placeholder:"NAME"`
	Rods  int    `help:"Rods in the boat." placeholder:"N"`
}

func (cmd logDayCmd) Run(c *console) error {
	return cmd.add(c, func(on *dayPage) ([]diary.Event, error) {
		if cmd.At == "" && cmd.Date != "" {
			cmd.At = "00:00"
		}
		at, err := on.clock("--at", cmd.At)
		if err != nil {
			return nil, err
		}
		_, seconds := at.In(on.zone).Zone()
		minutes := seconds / 60
		e, err := on.entry(at, diary.What{DayBegun: &diary.DayBegun{Water: cmd.Water, Rods: cmd.Rods, UTCOffsetMin: &minutes}})
		return []diary.Event{e}, err
	})
}

// howClosed is what is said at a spell's end.
type howClosed struct {
	Casts      *int `help:"How many casts, void ones too. Not said: not known." placeholder:"N"`
	Estimated  bool `help:"The casts are a guess, not a count."`
	Void       int  `help:"Casts that do not count: fouled, tangled." placeholder:"N"`
	NotFishing span `help:"Time in it without flies in the water, as \"6 min\", beside what pauses tell." placeholder:"TIME"`
}

func (h howClosed) event(on *dayPage, spell string, at time.Time) (diary.Event, error) {
	return on.entry(at, diary.What{SpellClosed: &diary.SpellClosed{Spell: spell, Casts: h.Casts, Estimated: h.Estimated, VoidCasts: h.Void, NotFishingS: h.NotFishing.si}})
}

// howTaken is how line is let sink and taken in.
type howTaken struct {
	Count    span   `help:"How long it is let sink, as \"20 s\"." placeholder:"TIME"`
	Retrieve speed  `help:"How fast line comes in, as \"16 in/s\"." placeholder:"SPEED"`
	Strips   length `help:"In strips of this length." placeholder:"LENGTH"`
	Figure   bool   `name:"figure-of-eight" help:"By figure-of-eight."`
	Still    span   `help:"Left still, for as long." placeholder:"TIME"`
}

func (h howTaken) said() (count *float64, r *diary.Retrieve, err error) {
	if h.Count.given() {
		count = &h.Count.si
	}
	ways := 0
	for _, said := range []bool{h.Strips.given(), h.Figure, h.Still.given()} {
		if said {
			ways++
		}
	}
	switch {
	case ways > 1:
		return nil, nil, errors.New("--strips, --figure-of-eight and --still: one of them")
	case ways == 0 && !h.Retrieve.given():
		return count, nil, nil
	}
	r = &diary.Retrieve{Kind: "steady"}
	if h.Retrieve.given() {
		r.SpeedMS = &h.Retrieve.si
	}
	switch {
	case h.Strips.given():
		r.Kind, r.StripM = "strips", &h.Strips.si
	case h.Figure:
		r.Kind = "figure_of_eight"
	case h.Still.given():
		r.Kind, r.StillS = "still", &h.Still.si
	}
	return count, r, nil
}

type logSpellCmd struct {
	onPage
	onRod
	Rig  string   `help:"The set-up: its name in the bag, or what is tied on, as \"point: booby\"." placeholder:"SET-UP"`
	Way  string   `help:"lures, pulled_wets, short_line, washing_line, nymphs, bung, dries." placeholder:"WAY"`
	Fly  []string `help:"Kind of a fly tied on, the point first; may be given more than once." placeholder:"KIND"`
	From string   `help:"When it began, as 10:05. Not said: now." placeholder:"TIME"`
	To   string   `help:"When it ended, as 10:50. Not said: it runs on until log close, or the rod's next spell." placeholder:"TIME"`
	Here *spot    `help:"Where: latitude and longitude as \"52.617,-14.620\"." placeholder:"PLACE"`
	howTaken
	howClosed
}

func (cmd logSpellCmd) Run(c *console) error {
	return cmd.add(c, func(on *dayPage) ([]diary.Event, error) {
		begun := diary.SpellBegun{Rod: cmd.Rod, Rig: cmd.Rig, Way: tackle.Way(cmd.Way)}
		for _, f := range cmd.Fly {
			begun.Flies = append(begun.Flies, tackle.Kind(f))
		}
		var err error
		if begun.CountS, begun.Retrieve, err = cmd.said(); err != nil {
			return nil, err
		}
		events, err := on.one(when{cmd.From, cmd.Here}, diary.What{SpellBegun: &begun})
		if err != nil {
			return nil, errors.New(strings.Replace(err.Error(), "--at", "--from", 1))
		}
		if cmd.To == "" {
			if cmd.howClosed != (howClosed{}) {
				return nil, errors.New("--to: is missing: casts and what was not fished are said at a spell's end")
			}
			return events, nil
		}
		to, err := on.clock("--to", cmd.To)
		if err != nil {
			return nil, err
		}
		if to.Before(events[0].At) {
			return nil, fmt.Errorf("--to %q: is before the spell began", cmd.To)
		}
		end, err := cmd.event(on, events[0].ID, to)
		return append(events, end), err
	})
}

type logCloseCmd struct {
	onPage
	onRod
	At string `help:"When it ended, as 10:50. Not said: now, if the day is today." placeholder:"TIME"`
	howClosed
}

func (cmd logCloseCmd) Run(c *console) error {
	return cmd.add(c, func(on *dayPage) ([]diary.Event, error) {
		at, err := on.clock("--at", cmd.At)
		if err != nil {
			return nil, err
		}
		if cmd.Corrects != "" {
			for _, e := range on.events {
				if e.ID == cmd.Corrects && e.SpellClosed != nil {
					end, err := cmd.event(on, e.SpellClosed.Spell, at)
					return []diary.Event{end}, err
				}
			}
		}
		i := slices.IndexFunc(on.day.Spells, func(s *diary.Spell) bool { return s.Rod == cmd.Rod && s.Open })
		if i < 0 {
			return nil, fmt.Errorf("--rod %d: no spell of it is running on %s", cmd.Rod, on.date)
		}
		if at.Before(on.day.Spells[i].From) {
			return nil, fmt.Errorf("--at %q: is before the spell began", cmd.At)
		}
		end, err := cmd.event(on, on.day.Spells[i].ID, at)
		return []diary.Event{end}, err
	})
}

type logOfferCmd struct {
	Kind string `arg:"" enum:"follow,tap,pluck,missed,lost,landed" help:"follow, tap (or pluck), missed, lost, landed."`
	onPage
	onRod
	when
	Place   string `help:"Where in the cast: drop, early, middle, late, hang, unknown. It is never guessed from the hour." enum:"drop,early,middle,late,hang,unknown" default:"unknown" placeholder:"PLACE"`
	Fly     string `help:"Which fly: point, dropper_1 (the first up from the point), dropper_2, dropper_3." placeholder:"FLY"`
	Spell   string `help:"The id of its spell. Not said: the rod's at that hour." placeholder:"ID"`
	Species string `help:"Of the fish." placeholder:"NAME"`
	Length  length `help:"Of the fish." placeholder:"LENGTH"`
	Weight  mass   `help:"Of the fish." placeholder:"WEIGHT"`
	Kept    *bool  `help:"Kept, or --no-kept for released." negatable:""`
}

func (cmd logOfferCmd) Run(c *console) error {
	return cmd.add(c, func(on *dayPage) ([]diary.Event, error) {
		if cmd.Kind == "pluck" {
			cmd.Kind = string(diary.Tap)
		}
		o := diary.Offer{Rod: cmd.Rod, Kind: diary.Response(cmd.Kind), Place: diary.Place(cmd.Place), Fly: cmd.Fly, Spell: cmd.Spell}
		fish := diary.Fish{Species: cmd.Species, Kept: cmd.Kept}
		if cmd.Length.given() {
			fish.LengthM = &cmd.Length.si
		}
		if cmd.Weight.given() {
			fish.WeightKg = &cmd.Weight.si
		}
		if fish != (diary.Fish{}) {
			o.Fish = &fish
		}
		return on.one(cmd.when, diary.What{Offer: &o})
	})
}

type logCastCmd struct {
	onPage
	onRod
	when
	howTaken
}

func (cmd logCastCmd) Run(c *console) error {
	return cmd.add(c, func(on *dayPage) ([]diary.Event, error) {
		count, r, err := cmd.said()
		if err != nil {
			return nil, err
		}
		return on.one(cmd.when, diary.What{Cast: &diary.Cast{Rod: cmd.Rod, CountS: count, Retrieve: r}})
	})
}

type logVoidCmd struct {
	Casts int `arg:"" optional:"" default:"1" help:"How many."`
	onPage
	onRod
	when
}

func (cmd logVoidCmd) Run(c *console) error {
	return cmd.add(c, func(on *dayPage) ([]diary.Event, error) {
		return on.one(cmd.when, diary.What{Void: &diary.Void{Rod: cmd.Rod, Casts: cmd.Casts}})
	})
}

type logDriftCmd struct {
	onPage
	when
	Place  string `help:"The place's name." placeholder:"NAME"`
	Drogue *bool  `help:"With the drogue out, or --no-drogue." negatable:""`
}

func (cmd logDriftCmd) Run(c *console) error {
	return cmd.add(c, func(on *dayPage) ([]diary.Event, error) {
		return on.one(cmd.when, diary.What{DriftBegun: &diary.DriftBegun{Drogue: cmd.Drogue, Place: cmd.Place}})
	})
}

type logLiftCmd struct {
	onPage
	when
	Why string `help:"Why, in a word or two." placeholder:"WHY"`
}

func (cmd logLiftCmd) Run(c *console) error {
	return cmd.add(c, func(on *dayPage) ([]diary.Event, error) {
		return on.one(cmd.when, diary.What{DriftEnded: &diary.DriftEnded{Why: cmd.Why}})
	})
}

type logPauseCmd struct {
	onPage
	Rod  int    `help:"Which rod. Not said: all of them." placeholder:"N"`
	From string `help:"When it began, as 10:05." required:"" placeholder:"TIME"`
	To   string `help:"When it ended. Not said: now, if the day is today." placeholder:"TIME"`
	Why  string `help:"not_fishing, playing (a fish), motoring, tangle; unanswered: nobody knows." enum:"not_fishing,playing,motoring,tangle,unanswered" default:"not_fishing" placeholder:"WHY"`
}

func (cmd logPauseCmd) Run(c *console) error {
	return cmd.add(c, func(on *dayPage) ([]diary.Event, error) {
		from, err := on.clock("--from", cmd.From)
		if err != nil {
			return nil, err
		}
		to, err := on.clock("--to", cmd.To)
		if err != nil {
			return nil, err
		}
		e, err := on.entry(from, diary.What{Pause: &diary.Pause{Rod: cmd.Rod, Until: to, Why: diary.Why(cmd.Why)}})
		return []diary.Event{e}, err
	})
}

type logNoteCmd struct {
	Text string `arg:"" help:"What there is to say."`
	onPage
	when
}

func (cmd logNoteCmd) Run(c *console) error {
	return cmd.add(c, func(on *dayPage) ([]diary.Event, error) {
		return on.one(cmd.when, diary.What{Note: &diary.Note{Text: cmd.Text}})
	})
}

type logTemperatureCmd struct {
	C degrees `arg:"" help:"As \"11.5 C\" or \"52 F\"."`
	onPage
	when
	Depth length `help:"How deep it was read. Not said: at the surface." placeholder:"LENGTH"`
}

func (cmd logTemperatureCmd) Run(c *console) error {
	return cmd.add(c, func(on *dayPage) ([]diary.Event, error) {
		return on.one(cmd.when, diary.What{Temperature: &diary.Temperature{C: &cmd.C.si, DepthM: cmd.Depth.si}})
	})
}

type logUndoCmd struct {
	Entries int `arg:"" optional:"" default:"1" help:"How many of the last entries still standing."`
	onPage
	ID string `name:"id" help:"The entry of this id; of an undo: what it took back stands again." placeholder:"ID"`
}

func (cmd logUndoCmd) Run(c *console) error {
	if cmd.Corrects != "" {
		return errors.New("--corrects: an undo puts nothing in its place: say it with the entry that does")
	}
	return cmd.add(c, func(on *dayPage) ([]diary.Event, error) {
		standing, _ := diary.InForce(on.date, on.events)
		var of []string
		if cmd.ID != "" {
			if !slices.ContainsFunc(on.events, func(e diary.Event) bool { return e.ID == cmd.ID }) {
				return nil, fmt.Errorf("--id %q: no such entry on the page of %s", cmd.ID, on.date)
			}
			of = []string{cmd.ID}
		}
		for _, e := range slices.Backward(on.events) { // in the order of writing
			if cmd.ID == "" && len(of) < cmd.Entries && slices.ContainsFunc(standing, func(s diary.Event) bool { return s.ID == e.ID }) {
				of = append(of, e.ID)
			}
		}
		if len(of) < cmd.Entries || cmd.Entries < 1 {
			return nil, fmt.Errorf("%d: only %d entries stand on the page of %s", cmd.Entries, len(standing), on.date)
		}
		now := on.after(time.Now().Truncate(time.Millisecond).UTC())
		var events []diary.Event
		for i, id := range of {
			e, err := on.entry(now.Add(time.Duration(i)*time.Millisecond), diary.What{Correction: &diary.Correction{Of: id}})
			if err != nil {
				return nil, err
			}
			events = append(events, e)
		}
		return events, nil
	})
}
