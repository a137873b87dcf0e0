package cast

import "windlane/tackle"

// How a cast is made when nobody says otherwise. Common practice, no source.
const (
	UsualTip      = 0.4 // height of the rod tip in count and retrieve [m]
	UsualHangMark = 3.5 // line outside the rod when the hang begins, leader not counted [m]
)

// UsualLineOut is line and leader out at landing, by way of fishing. [m]
func UsualLineOut(way tackle.Way) float64 {
	switch way {
	case tackle.ShortLine:
		return 9
	case tackle.Dries:
		return 14
	case tackle.Bung:
		return 15
	}
	return 20
}

// UsualHang is a hang in two stages: half way up, then high.
func UsualHang() []Stage {
	return []Stage{{Height: 1.2, Over: 1.5, Hold: 4}, {Height: 2.2, Over: 1.5, Hold: 3}}
}

// UsualRetrieves are those a way of fishing is tried with in water of a
// temperature [°C]; none where its rule has no use for one. Cold fish are not
// pulled at as fast: nothing over 0.42 m/s at 6 °C, everything from 14 °C on.
func UsualRetrieves(way tackle.Way, waterC float64) []Retrieve {
	fastest := 0.42 + 0.34*min(1, max(0, (waterC-6)/8))
	var out []Retrieve
	add := func(kind Kind, speeds ...float64) {
		for _, v := range speeds {
			if v <= fastest+1e-9 {
				out = append(out, Retrieve{Kind: kind, Speed: v})
			}
		}
	}
	switch way {
	case tackle.Lures:
		add(Steady, 0.20, 0.25, 0.30, 0.36, 0.42, 0.48, 0.54, 0.60, 0.68, 0.76)
		if r := (Retrieve{Kind: Strips, Speed: 0.45, Strip: 0.45}); r.Speed <= fastest { // a strip a second
			out = append(out, r)
		}
	case tackle.PulledWets:
		add(Steady, 0.30, 0.36, 0.42, 0.48, 0.54, 0.60)
	case tackle.WashingLine:
		add(FigureOfEight, 0.06, 0.09, 0.12)
		add(Steady, 0.18, 0.25)
	case tackle.Nymphs:
		add(FigureOfEight, 0.04, 0.06, 0.09, 0.12)
		out = append(out, Retrieve{Kind: Still, For: 20})
	}
	return out
}
