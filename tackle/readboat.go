package tackle

import (
	"fmt"
	"math"

	"windlane/internal/text"
)

// What stands in for what is not said of a boat, laden; common practice, no
// source. [m]
const (
	DefaultFreeboard = 0.45
	DefaultDraught   = 0.20
)

// What is reckoned with of a battery and of fuel.
const (
	// usable is the share of a battery's rating that may be drawn. [1] Common
	// practice, no source: below a fifth a battery suffers and the motor slows.
	usable = 0.8
	// petrolEnergy is the heat in petrol, so that a tank counts like a battery;
	// only its ratio to what the motor burns matters. [J/l] 32 to 34 MJ, from memory.
	petrolEnergy = 33e6
)

func (b *Bag) readBoat(r *text.Record) Boat {
	boat := Boat{
		Name:      r.Text("name"),
		Length:    r.Quantity("length", boatLength),
		Beam:      r.Quantity("beam", boatBeam),
		Freeboard: r.Quantity("freeboard", freeboard),
		Draught:   r.Quantity("draught", draught),
		Mass:      r.Quantity("mass", boatMass),
		People:    r.Whole("people", 0, 1, 6),
		Motor:     Motor(r.Word("motor", "", texts(Motors)...)),
		Speed:     r.Quantity("speed", boatSpeed),
		Anchor:    r.Yes("anchor"),
		Drift:     readLearned(r),
	}
	need(r, "length", "people")
	readEnergy(r, &boat)
	if !r.Has("freeboard") {
		boat.Freeboard = DefaultFreeboard
		b.remark("boat: its freeboard is not said: %.2f m (%.1f ft) is taken, which decides how the wind holds it", DefaultFreeboard, DefaultFreeboard/0.3048)
	}
	if !r.Has("draught") {
		boat.Draught = DefaultDraught
		b.remark("boat: its draught is not said: %.2f m (%.1f ft) is taken, which decides how the water holds it", DefaultDraught, DefaultDraught/0.3048)
	}
	if boat.Motor == "" {
		pace := fmt.Sprintf("at the pace of oars, %.1f m/s (%.1f mph)", boat.UnderWay(), boat.UnderWay()/0.44704)
		if boat.Speed > 0 {
			pace = "at the speed it gives"
		}
		b.remark("boat: its motor is not said: rides are reckoned %s, and the warnings are those for an engine", pace)
	}
	return boat
}

// readEnergy reads what the motor draws and what is aboard for it: a battery by
// Wh, or by Ah and V, or a tank by litres.
func readEnergy(r *text.Record, boat *Boat) {
	wh, ah, v, w := r.Quantity("battery_wh", wattHours), r.Quantity("battery_ah", ampereHours), r.Quantity("battery_v", volts), r.Quantity("motor_power_w", watts)
	fuel, burns := r.Quantity("fuel_l", litres), r.Quantity("fuel_l_per_h", litresPerHour)
	battery, tank := wh+ah+v+w > 0, fuel+burns > 0
	switch {
	case !battery && !tank:
		return
	case battery && tank:
		r.Refuse("fuel_l", "stands beside a battery: say what the motor that brings you home runs on")
	case wh > 0 && ah+v > 0:
		r.Refuse("battery_wh", "says the battery twice: keep it, or battery_ah with battery_v")
	case (ah > 0) != (v > 0):
		r.Refuse("", "lacks battery_ah or battery_v: the one means nothing without the other")
	case battery && (wh+ah == 0 || w == 0):
		r.Refuse("", "lacks motor_power_w or the battery (battery_wh, or battery_ah with battery_v): how far it takes the boat needs both")
	case tank && (fuel == 0 || burns == 0):
		r.Refuse("", "lacks fuel_l or fuel_l_per_h: how far it takes the boat needs both")
	case battery && boat.Motor != "" && boat.Motor != Electric:
		r.Refuse("motor", "runs on no battery: it is electric, or the battery goes")
	case tank && boat.Motor != "" && boat.Motor != Petrol:
		r.Refuse("motor", "runs on no fuel: it is petrol, or the fuel goes")
	}
	if battery {
		boat.Motor, boat.Power, boat.Energy = Electric, w, usable*3600*(wh+ah*v)
	} else {
		boat.Motor, boat.Power, boat.Energy = Petrol, burns/3600*petrolEnergy, fuel*petrolEnergy
	}
}

// readLearned reads what the boat command printed of a set-up.
func readLearned(r *text.Record) Learned {
	const degree = math.Pi / 180
	keys := []string{"drift_percent", "drift_percent_sd", "slip_deg", "slip_deg_sd", "drift_minutes"}
	l := Learned{
		Fraction: r.Quantity(keys[0], driftPercent) / 100,
		SD:       r.Quantity(keys[1], driftSD) / 100,
		Slip:     r.Quantity(keys[2], slipDegrees) * degree,
		SlipSD:   r.Quantity(keys[3], slipSD) * degree,
		Time:     r.Quantity(keys[4], driftMinutes) * 60,
	}
	for _, key := range keys {
		if r.Has(key) {
			need(r, keys...)
			break
		}
	}
	return l
}

func readDrogue(r *text.Record) Drogue {
	d := Drogue{
		Name:     r.Text("name"),
		Shape:    Shape(r.Word("shape", "", string(Round), string(Square))),
		Size:     r.Quantity("size", drogueSize),
		Measured: Measure(r.Word("measured", "", string(Fabric), string(Mouth))),
		Ropes:    readRopes(r),
		Drift:    readLearned(r),
	}
	need(r, "shape", "size")
	if !r.Has("measured") {
		r.Refuse("", `lacks measured: was size taken of the cloth laid flat ("fabric") or of the open mouth ("mouth")? The drag differs by 1.8`)
	}
	return d
}

// readRopes reads a drogue's ropes; which way uneven ones turn the track needs
// the side that the bow is on.
func readRopes(r *text.Record) *Ropes {
	ropes := Ropes{
		Bow:    r.Quantity("bow_rope", drogueRope),
		Stern:  r.Quantity("stern_rope", drogueRope),
		Spread: r.Quantity("rope_spread", ropeSpread),
		Right:  r.Word("bow", "", "left", "right") == "right",
	}
	if !r.Has("bow_rope") && !r.Has("stern_rope") && !r.Has("rope_spread") && !r.Has("bow") {
		return nil
	}
	need(r, "bow_rope", "stern_rope", "rope_spread")
	if !r.Has("bow") {
		r.Refuse("", `lacks bow: is the bow on the "left" or the "right" as you look downwind? Uneven ropes turn the track to one side`)
	}
	if r.Has("rope_spread") && !(math.Abs(ropes.Bow-ropes.Stern) < ropes.Spread && ropes.Spread < ropes.Bow+ropes.Stern) {
		r.Refuse("rope_spread", fmt.Sprintf("ropes of %.4g and %.4g m on cleats so far apart do not meet in one point", ropes.Bow, ropes.Stern))
	}
	return &ropes
}
