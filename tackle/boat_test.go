package tackle_test

import (
	"testing"

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
