package tackle_test

import (
	"strings"
	"testing"

	"windlane/drift"
	"windlane/tackle"
)

func TestBoatUnderWay(t *testing.T) {
	if v := (tackle.Boat{Motor: tackle.Petrol, Speed: 1.1}).UnderWay(); v != 1.1 {
		t.Errorf("told 1.1 m/s, taken %v", v)
	}
	oars, electric, petrol := (tackle.Boat{Motor: tackle.Oars}).UnderWay(), (tackle.Boat{Motor: tackle.Electric}).UnderWay(), (tackle.Boat{Motor: tackle.Petrol}).UnderWay()
	if !(0 < oars && oars < electric && electric < petrol) || (tackle.Boat{}).UnderWay() != oars {
		t.Errorf("oars %v, electric %v, petrol %v m/s", oars, electric, petrol)
	}
	if m := (tackle.Boat{Mass: 200, People: 2}).Laden(); m != 360 {
		t.Errorf("200 kg and two people: %v kg", m)
	}
	if m := (tackle.Boat{People: 2}).Laden(); m != 0 {
		t.Errorf("a boat of unknown mass: %v kg", m)
	}
}

// Of a boat, length and people are enough: what else a drift needs is assumed,
// and said.
func TestBoatDefaults(t *testing.T) {
	read := func(more string) *tackle.Bag {
		t.Helper()
		b, err := tackle.ReadBag("b.toml", strings.NewReader("[boat]\nlength = \"16 ft\"\npeople = 2\nmotor = \"oars\"\n"+more))
		if err != nil {
			t.Fatal(err)
		}
		return b
	}
	b := read("")
	near(t, "freeboard", b.Boat.Freeboard, 0.45, 0) // common practice, no source
	near(t, "draught", b.Boat.Draught, 0.20, 0)
	if said := strings.Join(b.Remarks, "; "); len(b.Remarks) != 2 || !strings.Contains(said, "freeboard") || !strings.Contains(said, "draught") {
		t.Errorf("remarks %q", b.Remarks)
	}
	b = read("freeboard = 0.6\ndraught = 0.15\n")
	near(t, "freeboard", b.Boat.Freeboard, 0.6, 0)
	near(t, "draught", b.Boat.Draught, 0.15, 0)
	if len(b.Remarks) != 0 {
		t.Errorf("remarks %q", b.Remarks)
	}
	// whatever a bag may say of a boat, drift takes; and no less
	for _, more := range []string{"", "freeboard = 0.1\ndraught = 0.05", "freeboard = 2\ndraught = 1.5\nmass = 3000"} {
		c := read(more).Boat
		if _, err := (drift.Boat{Length: c.Length, Beam: c.Beam, Freeboard: c.Freeboard, Draught: c.Draught, People: c.People, Mass: c.Laden()}).Setup(); err != nil {
			t.Errorf("%q: %v", more, err)
		}
	}
	for _, bad := range []string{"freeboard = 0.09", "draught = 0.04", "draught = 1.6", "freeboard = 2.1"} {
		if _, err := tackle.ReadBag("b.toml", strings.NewReader("[boat]\nlength = 5\npeople = 2\n"+bad)); err == nil || !strings.Contains(err.Error(), "out of range") {
			t.Errorf("%s: %v", bad, err)
		}
	}
}
