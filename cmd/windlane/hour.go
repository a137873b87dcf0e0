package main

import (
	"fmt"
	"math"
	"time"

	"windlane/internal/wire"
	"windlane/quantity"
)

// hourCmd asks what an hour at a place is like.
type hourCmd struct {
	At     moment  `required:"" help:"The hour by the lake's clock, \"2026-04-14 15:00\", or with its offset, \"2026-04-14T14:00Z\"." placeholder:"TIME"`
	Offset offset  `name:"utc-offset" default:"+00:00" help:"The lake's clock less UTC. Default: ${default}." placeholder:"OFFSET"`
	Lat    float64 `required:"" help:"Latitude, degrees north." placeholder:"DEGREES"`
	Lon    float64 `required:"" help:"Longitude, degrees east; west is negative: --lon=-1.5." placeholder:"DEGREES"`
	Wind   speed   `required:"" help:"Mean wind at 10 m." placeholder:"SPEED"`
	Fetch  length  `required:"" help:"Open water upwind of the place." placeholder:"LENGTH"`
	Depth  length  `default:"5 m" help:"Mean depth of that water. Default: ${default}." placeholder:"LENGTH"`
	Cloud  float64 `default:"4" help:"Eighths of the sky, 0 to 8. Default: ${default}." placeholder:"OKTAS"`
	Secchi length  `default:"2.5 m" help:"Depth at which a white disc vanishes. Default: ${default}." placeholder:"LENGTH"`
	told
}

func (hourCmd) Help() string {
	return `Examples:
  windlane hour --at "2026-04-14 15:00" --utc-offset=+01:00 --lat 53 --lon=-1 --wind "9 mph" --fetch "1200 yd"
  windlane hour --at 2026-06-21T20:00Z --lat 53 --lon=-1 --wind "3 m/s" --fetch "2 km" --depth "8 m" --cloud 7 --units metric

Light is for all wavelengths; waves are the significant height, with the range of three models.`
}

// depthsOfLight are those that light is told for. [m]
var depthsOfLight = []float64{1, 2, 3, 5}

func (cmd hourCmd) Run(c *console) error {
	at := cmd.At.Time
	if cmd.At.local {
		at = at.Add(-time.Duration(cmd.Offset.minutes) * time.Minute)
	}
	r := &wire.HourRequest{
		At: at.UTC(), Offset: cmd.Offset.minutes, Latitude: cmd.Lat, Longitude: cmd.Lon,
		Cloud: cmd.Cloud, Secchi: cmd.Secchi.si, Depths: depthsOfLight,
		Wind: cmd.Wind.si, Fetch: cmd.Fetch.si, Depth: cmd.Depth.si,
	}
	if math.IsNaN(cmd.Lat+cmd.Lon+cmd.Cloud) || math.IsInf(cmd.Lat+cmd.Lon+cmd.Cloud, 0) {
		return fmt.Errorf("--lat %v, --lon %v, --cloud %v: each must be a finite number", cmd.Lat, cmd.Lon, cmd.Cloud)
	}
	a, err := ask[wire.HourAnswer](c, question{"hour", r, cmd.JSON, []from{
		{"at_utc", "--at", ""}, {"utc_offset_min", "--utc-offset", ""}, {"latitude_deg", "--lat", fmt.Sprint(cmd.Lat)}, {"longitude_deg", "--lon", fmt.Sprint(cmd.Lon)},
		{"cloud_oktas", "--cloud", fmt.Sprint(cmd.Cloud)}, {"secchi_m", "--secchi", cmd.Secchi.text}, {"wind_speed_m_s", "--wind", cmd.Wind.text},
		{"fetch_m", "--fetch", cmd.Fetch.text}, {"depth_m", "--depth", cmd.Depth.text},
	}})
	if err != nil || cmd.JSON {
		return err
	}
	return cmd.tell(c, a, at)
}

func (cmd hourCmd) tell(c *console, a *wire.HourAnswer, at time.Time) error {
	u, p := cmd.system(), &page{}
	zone := time.FixedZone("", cmd.Offset.minutes*60)
	p.say("%s, %s %s", at.In(zone).Format("2 January 2006 15:04 -07:00"), side(cmd.Lat, "N", "S"), side(cmd.Lon, "E", "W"))
	p.say("")
	if a.Sun.Refracted > 0 {
		p.say("Sun    %.0f° up in the %s", a.Sun.Refracted, quantity.Bearing(quantity.FromDegrees(a.Sun.Azimuth)).Compass())
	} else {
		p.say("Sun    %.0f° down", -a.Sun.Refracted)
	}
	clock := func(s *string) string {
		if s == nil {
			return "none"
		}
		t, err := time.Parse(time.RFC3339, *s)
		if err != nil {
			return *s
		}
		return t.In(zone).Format("15:04")
	}
	p.say("       first light %s, rise %s, noon %s, set %s, dark %s", clock(a.Times.Dawn), clock(a.Times.Sunrise), clock(a.Times.Noon), clock(a.Times.Sunset), clock(a.Times.Dusk))
	if a.Light.Surface < 0.5 {
		p.say("Light  none of the sun's to speak of")
	} else {
		p.say("Light  %.0f W/m² above water", a.Light.Surface)
		for i, z := range depthsOfLight {
			p.say("       %s at %s", share(a.Light.AtDepths[i]/a.Light.Surface), u.Depth(z))
		}
	}
	if a.Waves.Height < 0.01 {
		p.say("Waves  none to speak of")
	} else {
		p.say("Waves  %s (%s to %s), %.1f s from crest to crest, %s long", u.Wave(a.Waves.Height), u.WaveFigure(a.Waves.Low), u.Wave(a.Waves.High), a.Waves.Period, u.Depth(a.Waves.Length))
	}
	return p.print(c)
}

// share says a part of the light above water.
func share(x float64) string {
	if x < 0.01 {
		return "under 1 %"
	}
	return fmt.Sprintf("%.0f %%", 100*x)
}

// side says a coordinate by its side of the equator or of Greenwich.
func side(deg float64, plus, minus string) string {
	if deg < 0 {
		return fmt.Sprintf("%g° %s", -deg, minus)
	}
	return fmt.Sprintf("%g° %s", deg, plus)
}
