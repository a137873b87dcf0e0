package diary

import (
	"bytes"
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"
)

// Day is a page of the diary as it reads after every correction. Times in no
// spell say nothing: they are unknown, not fished and empty.
type Day struct {
	Day          string   `json:"day"`
	Water        string   `json:"water,omitempty"`
	UTCOffsetMin *int     `json:"utc_offset_min,omitempty"` // nil: not said
	Rods         int      `json:"rods"`                     // as said, or as many as fished
	Spells       []*Spell `json:"spells"`                   // by beginning, rod, id
	Drifts       []*Drift `json:"drifts"`
	Loose        []Met    `json:"loose"` // offers that belong to no spell
	Readings     []Event  `json:"readings"`
	Notes        []Event  `json:"notes"`
}

// Spell is one rod with one set-up, from when to when.
type Spell struct {
	ID string `json:"id"`
	SpellBegun
	From        time.Time `json:"from_utc"`
	To          time.Time `json:"to_utc"`
	Open        bool      `json:"open"`          // nobody ended it: To is the last that is known of it
	NotFishingS float64   `json:"not_fishing_s"` // pauses, and what was said at the close [s]
	UnknownS    float64   `json:"unknown_s"`     // asked about and not answered [s]
	FishedS     float64   `json:"fished_s"`      // what is left: flies in the water [s]
	VoidCasts   int       `json:"void_casts"`
	Casts       *int      `json:"casts,omitempty"` // void ones too; nil: not known
	Estimated   bool      `json:"estimated"`
	Pressed     []Pressed `json:"pressed"`
	Offers      []Met     `json:"offers"`

	ended  bool // by its own close
	pauses [2][]stretch
}

// Pressed is a single cast that was pressed.
type Pressed struct {
	ID string    `json:"id"`
	At time.Time `json:"at_utc"`
	Cast
}

// Met is an offer of the day. At orders it; it says nothing of its place.
type Met struct {
	ID     string      `json:"id"`
	At     time.Time   `json:"at_utc"`
	LonLat *[2]float64 `json:"lonlat,omitempty"` // [deg]
	Offer
}

// Drift is one time that the boat was let go.
type Drift struct {
	ID string `json:"id"`
	DriftBegun
	From  time.Time   `json:"from_utc"`
	To    time.Time   `json:"to_utc"`
	Open  bool        `json:"open"`            // nobody ended it: To is when it began
	Start *[2]float64 `json:"start,omitempty"` // longitude, latitude; nil: not known [deg]
	End   *[2]float64 `json:"end,omitempty"`   // the same [deg]
	Why   string      `json:"why,omitempty"`
}

// Remark is what could not be taken as it was written.
type Remark struct {
	Event string // its id
	Says  string
}

// late is how long after a spell's end an offer is still taken for one of it:
// it is written down when a hand is free. Our own choice, no source.
const late = 10 * time.Minute

// Fold reads one day's page from entries in any order, of any days. It depends on
// the set of entries alone: order and doubles change nothing, and an entry that is
// taken back leaves no trace.
func Fold(day string, events []Event) (*Day, []Remark) {
	f := &folder{Day: Day{Day: day, Spells: []*Spell{}, Drifts: []*Drift{}, Loose: []Met{}, Readings: []Event{}, Notes: []Event{}}}
	page, remarks := InForce(day, events)
	f.remarks = remarks
	f.begin(page)
	f.close(page)
	f.fill(page)
	f.reckon()
	f.drift(page)
	return &f.Day, f.remarks
}

// InForce is the entries of a day as they stand now, by time and then id:
// corrections carried out, what is withdrawn left out, corrections left out.
func InForce(day string, events []Event) ([]Event, []Remark) {
	var remarks []Remark
	byID := map[string]Event{}
	for _, e := range events {
		if e.Day != day {
			continue
		}
		old, twice := byID[e.ID]
		if !twice {
			byID[e.ID] = e
			continue
		}
		a, b := old.Line(), e.Line()
		if order := bytes.Compare(a, b); order != 0 {
			remarks = append(remarks, Remark{e.ID, "stands there in several forms: one of them is taken, always the same"})
			if order > 0 {
				byID[e.ID] = e
			}
		}
	}
	all := make([]Event, 0, len(byID))
	for _, e := range byID {
		all = append(all, e)
	}
	slices.SortFunc(all, before)

	// A correction speaks only of what is earlier if that is a correction too, so
	// the last one is always in force, and each is settled before those it is of.
	settled := map[string]*Correction{}
	for _, e := range slices.Backward(all) {
		c := e.Correction
		if c == nil || settled[e.ID] != nil {
			continue // withdrawn by a later one
		}
		of, known := byID[c.Of]
		switch {
		case !known:
			remarks = append(remarks, Remark{e.ID, "corrects an entry that is not on this page: " + c.Of})
		case of.Correction != nil && before(of, e) >= 0:
			remarks = append(remarks, Remark{e.ID, "corrects a correction that is not earlier"})
		case of.Correction != nil && c.Instead != nil:
			remarks = append(remarks, Remark{e.ID, "a correction can be taken back, not changed: correct the entry itself again"})
		case c.Instead != nil && c.Instead.Kind() != of.Kind():
			remarks = append(remarks, Remark{e.ID, fmt.Sprintf("puts a %s where a %s stood: take that back and write the other down", c.Instead.Kind(), of.Kind())})
		case settled[c.Of] == nil:
			settled[c.Of] = c
		}
	}
	page := all[:0]
	for _, e := range all {
		c := settled[e.ID]
		switch {
		case e.Correction != nil:
		case c == nil:
			page = append(page, e)
		case c.Instead != nil:
			page = append(page, Event{ID: e.ID, Day: e.Day, At: c.Instead.At, LonLat: c.Instead.LonLat, What: c.Instead.What})
		}
	}
	slices.SortFunc(page, before)
	slices.SortFunc(remarks, func(a, b Remark) int {
		return cmp.Or(strings.Compare(a.Event, b.Event), strings.Compare(a.Says, b.Says))
	})
	return page, slices.Compact(remarks)
}

func before(a, b Event) int { return cmp.Or(a.At.Compare(b.At), strings.Compare(a.ID, b.ID)) }

type folder struct {
	Day
	byID    map[string]*Spell
	rods    map[int][]*Spell // each by beginning
	remarks []Remark
}

func (f *folder) remark(e Event, format string, args ...any) {
	f.remarks = append(f.remarks, Remark{e.ID, fmt.Sprintf(format, args...)})
}

// begin opens the page and its spells; each ends where the rod's next begins.
func (f *folder) begin(page []Event) {
	f.byID, f.rods = map[string]*Spell{}, map[int][]*Spell{}
	opened := false
	for _, e := range page {
		switch {
		case e.DayBegun != nil && opened:
			f.remark(e, "the day is begun already: this beginning is not used")
		case e.DayBegun != nil:
			opened = true
			f.Water, f.UTCOffsetMin, f.Rods = e.DayBegun.Water, e.DayBegun.UTCOffsetMin, e.DayBegun.Rods
		case e.SpellBegun != nil:
			s := &Spell{ID: e.ID, SpellBegun: *e.SpellBegun, From: e.At, To: e.At, Open: true, Pressed: []Pressed{}, Offers: []Met{}}
			if on := f.rods[s.Rod]; len(on) > 0 {
				last := on[len(on)-1]
				last.To, last.Open = s.From, false
			}
			f.byID[s.ID] = s
			f.rods[s.Rod] = append(f.rods[s.Rod], s)
			f.Spells = append(f.Spells, s)
		}
	}
	slices.SortStableFunc(f.Spells, func(a, b *Spell) int { return cmp.Or(a.From.Compare(b.From), cmp.Compare(a.Rod, b.Rod)) })
	for _, s := range f.Spells {
		f.Rods = max(f.Rods, s.Rod)
	}
}

// close ends spells by what was said at their end.
func (f *folder) close(page []Event) {
	for _, e := range page {
		c := e.SpellClosed
		if c == nil {
			continue
		}
		s := f.byID[c.Spell]
		switch {
		case s == nil:
			f.remark(e, "closes a spell that is not on this page: %s", c.Spell)
			continue
		case e.At.Before(s.From):
			f.remark(e, "closes a spell before it began: not used")
			continue
		case s.ended:
			f.remark(e, "closes a spell a second time: this, the later, holds")
		}
		on := f.rods[s.Rod]
		end := e.At
		if i := slices.Index(on, s); i+1 < len(on) && on[i+1].From.Before(end) {
			end = on[i+1].From
			f.remark(e, "closes the spell after the rod's next had begun: it ends there")
		}
		s.To, s.Open, s.ended = end, false, true
		s.NotFishingS, s.VoidCasts, s.Casts, s.Estimated = c.NotFishingS, c.VoidCasts, c.Casts, c.Estimated
	}
}

// at is the rod's spell at a time: the last that had begun; nil if none had, or
// if it had ended too long before.
func (f *folder) at(rod int, t time.Time, slack time.Duration) *Spell {
	on := f.rods[rod]
	i, _ := slices.BinarySearchFunc(on, t, func(s *Spell, t time.Time) int {
		if s.From.After(t) {
			return 1
		}
		return -1
	})
	if i == 0 || !on[i-1].Open && t.Sub(on[i-1].To) > slack {
		return nil
	}
	return on[i-1]
}

// fill puts everything else where it belongs.
func (f *folder) fill(page []Event) {
	known := func(s *Spell, t time.Time) {
		if s.Open && t.After(s.To) {
			s.To = t
		}
	}
	for _, e := range page {
		switch {
		case e.Offer != nil:
			met := Met{e.ID, e.At, e.LonLat, *e.Offer}
			s := f.at(e.Offer.Rod, e.At, late)
			if named := e.Offer.Spell; named != "" {
				if s = f.byID[named]; s != nil && s.Rod != e.Offer.Rod {
					f.remark(e, "names a spell of rod %d: it is no offer to rod %d", s.Rod, e.Offer.Rod)
					s = nil
				}
			}
			if s == nil {
				f.Loose = append(f.Loose, met)
				f.remark(e, "belongs to no spell of rod %d: it is kept, but no set-up goes with it", e.Offer.Rod)
				continue
			}
			s.Offers = append(s.Offers, met)
			known(s, e.At)
		case e.Cast != nil:
			if s := f.at(e.Cast.Rod, e.At, 0); s == nil {
				f.remark(e, "a cast in no spell of rod %d: not used", e.Cast.Rod)
			} else {
				s.Pressed = append(s.Pressed, Pressed{e.ID, e.At, *e.Cast})
				known(s, e.At)
			}
		case e.Void != nil:
			if s := f.at(e.Void.Rod, e.At, late); s == nil {
				f.remark(e, "takes casts out of no spell of rod %d: not used", e.Void.Rod)
			} else {
				s.VoidCasts += e.Void.Casts
				known(s, e.At)
			}
		case e.Pause != nil:
			for rod, on := range f.rods {
				if e.Pause.Rod != 0 && rod != e.Pause.Rod {
					continue
				}
				for _, s := range on {
					which := 0
					if e.Pause.Why == Unanswered {
						which = 1
					}
					s.pauses[which] = append(s.pauses[which], stretch{e.At, e.Pause.Until})
				}
				// Up to a pause the flies were in the water; after it, who knows.
				if s := f.at(rod, e.At, 0); s != nil {
					known(s, e.At)
				}
			}
		case e.Temperature != nil:
			f.Readings = append(f.Readings, e)
		case e.Note != nil:
			f.Notes = append(f.Notes, e)
		}
	}
}

// reckon says for each spell how long the flies were in the water.
func (f *folder) reckon() {
	for _, s := range f.Spells {
		whole := s.To.Sub(s.From).Seconds()
		paused := covered(s.From, s.To, s.pauses[0])
		unknown := covered(s.From, s.To, slices.Concat(s.pauses[0], s.pauses[1])) - paused
		s.NotFishingS += paused
		if s.NotFishingS+unknown > whole {
			f.remarks = append(f.remarks, Remark{s.ID, "more minutes not fishing than the spell has: it was not fished at all"})
			s.NotFishingS = whole - unknown
		}
		if s.Casts != nil && s.VoidCasts > *s.Casts {
			f.remarks = append(f.remarks, Remark{s.ID, "more void casts than casts: all of them are void"})
			s.VoidCasts = *s.Casts
		}
		s.UnknownS = unknown
		s.FishedS = whole - s.NotFishingS - unknown
		s.pauses = [2][]stretch{}
	}
}

// stretch is a run of time.
type stretch struct{ from, to time.Time }

// covered is how much of from to to the stretches cover together. [s]
func covered(from, to time.Time, all []stretch) float64 {
	all = slices.Clone(all)
	slices.SortFunc(all, func(a, b stretch) int { return cmp.Or(a.from.Compare(b.from), a.to.Compare(b.to)) })
	sum := time.Duration(0)
	for _, s := range all {
		if s.from.Before(from) {
			s.from = from
		}
		if s.to.After(to) {
			s.to = to
		}
		if d := s.to.Sub(s.from); d > 0 {
			sum += d
			from = s.to
		}
	}
	return sum.Seconds()
}

// drift puts the day's drifts in a row; one ends where the next begins.
func (f *folder) drift(page []Event) {
	var last *Drift
	for _, e := range page {
		switch {
		case e.DriftBegun != nil:
			if last != nil && last.Open {
				last.To, last.Open = e.At, false
			}
			last = &Drift{ID: e.ID, DriftBegun: *e.DriftBegun, From: e.At, To: e.At, Open: true, Start: e.LonLat}
			f.Drifts = append(f.Drifts, last)
		case e.DriftEnded != nil && (last == nil || !last.Open):
			f.remark(e, "ends a drift where none was running: not used")
		case e.DriftEnded != nil:
			last.To, last.Open, last.End, last.Why = e.At, false, e.LonLat, e.DriftEnded.Why
		}
	}
}
