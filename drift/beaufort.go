package drift

// Force is a class of the Beaufort scale. Its waves are those of the open sea
// and say nothing about a lake, so they are not here.
type Force struct {
	Number int
	Name   string
	From   float64 // least mean wind of the class [m/s]
}

// forces by least 10 min mean wind at 10 m (WMO scale).
var forces = [13]Force{
	{0, "Calm", 0}, {1, "Light air", 0.3}, {2, "Light breeze", 1.6}, {3, "Gentle breeze", 3.4},
	{4, "Moderate breeze", 5.5}, {5, "Fresh breeze", 8.0}, {6, "Strong breeze", 10.8},
	{7, "Near gale", 13.9}, {8, "Gale", 17.2}, {9, "Strong gale", 20.8},
	{10, "Storm", 24.5}, {11, "Violent storm", 28.5}, {12, "Hurricane", 32.7},
}

// Beaufort is the class of a mean wind. The printed bands leave gaps (3.3 to
// 3.4): a wind belongs to the last class whose least wind it reaches. Below
// zero and NaN count as calm.
func Beaufort(wind float64) Force {
	class := forces[0]
	for _, f := range forces[1:] {
		if wind >= f.From {
			class = f
		}
	}
	return class
}
