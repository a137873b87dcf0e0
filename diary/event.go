// Package diary is the day as it was fished, written down in entries that are
// never changed: spells, casts, offers, drifts, and what was put right later.
//
// The unit of evidence is the spell: one rod, one set-up and way of fishing, from
// when to when. Nothing need be pressed for each cast. An offer's place in the
// cast is what the person said; the moment of writing it down never sets it. Time
// about which nobody said anything is unknown, which is not the same as empty.
package diary

import (
	"time"

	"windlane/tackle"
)

// Event is one entry. Exactly one of What's fields is set. What happened twice
// has two ids; what is written twice under one id is one entry.
type Event struct {
	ID     string      `json:"id"`               // UUID (lower case) or ULID (upper case), made by whoever writes it down
	Day    string      `json:"day"`              // the page it stands on, by the lake's calendar: 2026-05-02
	At     time.Time   `json:"at_utc"`           // when it happened, UTC, whole milliseconds
	LonLat *[2]float64 `json:"lonlat,omitempty"` // where the boat was, WGS 84, longitude first; nil: not known [deg]
	What
}

// What is the matter of an entry: one of these.
type What struct {
	DayBegun    *DayBegun    `json:"day_begun,omitempty"`
	SpellBegun  *SpellBegun  `json:"spell_begun,omitempty"`
	SpellClosed *SpellClosed `json:"spell_closed,omitempty"`
	Cast        *Cast        `json:"cast,omitempty"`
	Void        *Void        `json:"void,omitempty"`
	Offer       *Offer       `json:"offer,omitempty"`
	DriftBegun  *DriftBegun  `json:"drift_begun,omitempty"`
	DriftEnded  *DriftEnded  `json:"drift_ended,omitempty"`
	Pause       *Pause       `json:"pause,omitempty"`
	Note        *Note        `json:"note,omitempty"`
	Temperature *Temperature `json:"water_temperature,omitempty"`
	Correction  *Correction  `json:"correction,omitempty"`
}

// Kind is the name of the field that is set; "" when none or several are.
func (w What) Kind() string {
	kind := ""
	for _, f := range []struct {
		set  bool
		name string
	}{
		{w.DayBegun != nil, "day_begun"}, {w.SpellBegun != nil, "spell_begun"}, {w.SpellClosed != nil, "spell_closed"},
		{w.Cast != nil, "cast"}, {w.Void != nil, "void"}, {w.Offer != nil, "offer"},
		{w.DriftBegun != nil, "drift_begun"}, {w.DriftEnded != nil, "drift_ended"}, {w.Pause != nil, "pause"},
		{w.Note != nil, "note"}, {w.Temperature != nil, "water_temperature"}, {w.Correction != nil, "correction"},
	} {
		if f.set && kind != "" {
			return ""
		}
		if f.set {
			kind = f.name
		}
	}
	return kind
}

// DayBegun opens a page.
type DayBegun struct {
	Water        string `json:"water,omitempty"`          // the lake's name
	UTCOffsetMin *int   `json:"utc_offset_min,omitempty"` // the lake's clock less UTC, minutes; nil: not known
	Rods         int    `json:"rods,omitempty"`           // rods in the boat; 0: not said
}

// SpellBegun starts a spell. Its entry's id is the spell's. One rod fishes one
// spell: beginning the next ends the last, so a change of set-up may be written
// down late, with the hour it was made.
type SpellBegun struct {
	Rod      int           `json:"rod"`                // 1 to 8
	Rig      string        `json:"rig,omitempty"`      // a set-up of the bag by its name, or what is tied on
	Way      tackle.Way    `json:"way,omitempty"`      // way of fishing; empty: the rig's own, or not known
	Flies    []tackle.Kind `json:"flies,omitempty"`    // the point first, then each dropper
	CountS   *float64      `json:"count_s,omitempty"`  // how long it is let sink; nil: not known [s]
	Retrieve *Retrieve     `json:"retrieve,omitempty"` // nil: not known
}

// Retrieve is how line is taken in.
type Retrieve struct {
	Kind    string   `json:"kind"`                  // steady, strips, figure_of_eight, still
	SpeedMS *float64 `json:"speed_m_s,omitempty"`   // mean, relative to the boat; nil: not known [m/s]
	StripM  *float64 `json:"strip_m,omitempty"`     // length of one strip; nil: not known [m]
	StillS  *float64 `json:"still_for_s,omitempty"` // how long the flies are left; nil: not known [s]
}

// SpellClosed ends a spell and says what is known of it.
type SpellClosed struct {
	Spell       string  `json:"spell"`                   // the id of the entry that began it
	NotFishingS float64 `json:"not_fishing_s,omitempty"` // beside what pauses tell [s]
	VoidCasts   int     `json:"void_casts,omitempty"`    // fouled or tangled, beside what voids tell
	Casts       *int    `json:"casts,omitempty"`         // all of them, void ones too; nil: not known
	Estimated   bool    `json:"estimated,omitempty"`     // Casts is a guess, not a count
}

// Cast is a single pressed cast, at the moment the flies landed. It refines its spell.
type Cast struct {
	Rod      int       `json:"rod"`
	CountS   *float64  `json:"count_s,omitempty"`  // if other than the spell's [s]
	Retrieve *Retrieve `json:"retrieve,omitempty"` // if other than the spell's
}

// Void takes casts out of a spell: fouled, tangled.
type Void struct {
	Rod   int `json:"rod"`
	Casts int `json:"casts"` // the last so many
}

// Response is what a fish did. Pluck is tap.
type Response string

// The kinds of offer, the weakest first.
const (
	Follow Response = "follow"
	Tap    Response = "tap"
	Missed Response = "missed"
	Lost   Response = "lost"
	Landed Response = "landed"
)

// Responses lists every kind of offer.
var Responses = []Response{Follow, Tap, Missed, Lost, Landed}

// Place is where in the cast an offer came.
type Place string

// The places. Early, middle and late are thirds of the retrieve.
const (
	Unplaced Place = "unknown"
	Drop     Place = "drop"
	Early    Place = "early"
	Middle   Place = "middle"
	Late     Place = "late"
	Hang     Place = "hang"
)

// Places lists every place, the one not known last.
var Places = []Place{Drop, Early, Middle, Late, Hang, Unplaced}

// Flies lists the words for which fly of the leader it was.
var Flies = []string{"point", "dropper_1", "dropper_2", "dropper_3"}

// Offer is one fish that did something on one cast.
type Offer struct {
	Rod   int      `json:"rod"`
	Kind  Response `json:"kind"`
	Place Place    `json:"place"`           // as the person said; never from the moment of writing
	Fly   string   `json:"fly,omitempty"`   // one of Flies, droppers counted from the point; empty: not known
	Spell string   `json:"spell,omitempty"` // its spell's id; empty: the rod's spell at that time
	Fish  *Fish    `json:"fish,omitempty"`  // lost and landed only
}

// Fish is what is known of one.
type Fish struct {
	Species  string   `json:"species,omitempty"`
	LengthM  *float64 `json:"length_m,omitempty"`  // nil: not measured [m]
	WeightKg *float64 `json:"weight_kg,omitempty"` // nil: not weighed [kg]
	Kept     *bool    `json:"kept,omitempty"`      // false: released; nil: not said
}

// DriftBegun is the boat let go broadside.
type DriftBegun struct {
	Drogue *bool  `json:"drogue,omitempty"` // whether it is out; nil: not said
	Place  string `json:"place,omitempty"`  // of the lake, by its name
}

// DriftEnded is the boat lifted: motor, anchor, shore.
type DriftEnded struct {
	Why string `json:"why,omitempty"`
}

// Why is what a pause was for.
type Why string

// The reasons. Unanswered is the silence that was asked about and not explained:
// that time is unknown.
const (
	NotFishing Why = "not_fishing"
	Playing    Why = "playing" // a fish
	Motoring   Why = "motoring"
	Tangle     Why = "tangle"
	Unanswered Why = "unanswered"
)

// Whys lists every reason.
var Whys = []Why{NotFishing, Playing, Motoring, Tangle, Unanswered}

// Pause is time without flies in the water, from the entry's At on.
type Pause struct {
	Rod   int       `json:"rod,omitempty"` // 0: every rod
	Until time.Time `json:"until_utc"`
	Why   Why       `json:"why"`
}

// Note is anything worth a line.
type Note struct {
	Text string `json:"text"`
}

// Temperature is the water's, read where the boat was.
type Temperature struct {
	C      *float64 `json:"temperature_c"`     // needed [°C]
	DepthM float64  `json:"depth_m,omitempty"` // below the surface [m]
}

// Correction puts an earlier entry of the same page right, or takes it back. Of
// several, the last by time and id holds. A correction can itself be taken back.
type Correction struct {
	Of      string   `json:"of"`                // the id of the entry
	Instead *Instead `json:"instead,omitempty"` // nil: it is withdrawn
}

// Instead is what stands for the corrected entry, under its id.
type Instead struct {
	At     time.Time   `json:"at_utc"`
	LonLat *[2]float64 `json:"lonlat,omitempty"` // as in Event [deg]
	What
}
