// Package fluid holds what water and air are: their density and viscosity, the
// oxygen that water holds, and the drag of bodies in them.
//
// Temperatures are in °C, as every thermometer and file has them; the rest is
// SI. Temperatures outside a formula's range take the value at the nearer end;
// NaN gives NaN. fluid may touch nothing else in the module.
package fluid

import "math"

// StandardGravity is the standard acceleration of free fall, by definition
// (3rd General Conference on Weights and Measures, 1901). [m/s²]
const StandardGravity = 9.80665

// StandardAtmosphere is the standard pressure at sea level, by definition. [Pa]
const StandardAtmosphere = 101325.0

const zeroCelsius = 273.15 // [K]

// WaterDensity is the density of air-free fresh water at one atmosphere. [kg/m³]
// Kell 1975 (J. Chem. Eng. Data 20:97); t from 0 to 40 °C here (fitted to 150).
// Against IAPWS-95 it is up to 0.004 kg/m³ low; dissolved salts of an ordinary
// lake add 0.1 to 0.4 kg/m³ and are left out.
func WaterDensity(t float64) float64 {
	t = clamp(t, 0, 40)
	n := 999.83952 + t*(16.945176+t*(-7.9870401e-3+t*(-46.170461e-6+t*(105.56302e-9+t*-280.54253e-12))))
	return n / (1 + 16.879850e-3*t)
}

// WaterViscosity is the dynamic viscosity of fresh water. [Pa·s]
// Kestin, Sokolov and Wakeham 1978 (J. Phys. Chem. Ref. Data 7:941), on
// 1.002 mPa·s at 20 °C; t from 0 to 40 °C, good to 0.1 %.
func WaterViscosity(t float64) float64 {
	t = clamp(t, 0, 40)
	d := 20 - t
	return 1.002e-3 * power(10, d/(t+96)*(1.2364+d*(-1.37e-3+d*5.7e-6)))
}

// WaterKinematicViscosity is WaterViscosity over WaterDensity. [m²/s]
func WaterKinematicViscosity(t float64) float64 { return WaterViscosity(t) / WaterDensity(t) }

// StandardPressure is the pressure of the standard atmosphere (ISO 2533) at an
// altitude from −500 to 11 000 m above sea level; the nearer end beyond. [Pa]
// The day's weather moves the true one by some 3 % either way.
func StandardPressure(altitude float64) float64 {
	return StandardAtmosphere * math.Pow(1-2.25577e-5*clamp(altitude, -500, 11000), 5.25588)
}

// OxygenSaturation is the oxygen that fresh water holds in balance with the
// standard atmosphere at an altitude [m]. [g/m³], the same number as mg/L
// Benson and Krause 1984 (Limnol. Oceanogr. 29:620); t from 0 to 40 °C.
func OxygenSaturation(t, altitude float64) float64 {
	return OxygenSaturationAt(t, StandardPressure(altitude))
}

// OxygenSaturationAt is OxygenSaturation at an air pressure from 50 to 110 kPa
// [Pa]. [g/m³]
func OxygenSaturationAt(t, pressure float64) float64 {
	t = clamp(t, 0, 40)
	T := t + zeroCelsius
	p := clamp(pressure, 50e3, 110e3) / StandardAtmosphere // [atm]
	c := math.Exp(-139.34411 + (1.575701e5+(-6.642308e7+(1.243800e10-8.621949e11/T)/T)/T)/T)
	u := math.Exp(11.8571 - (3840.70+216961/T)/T) // vapour pressure [atm]
	theta := 0.000975 + t*(-1.426e-5+t*6.436e-8)  // second pressure coefficient of oxygen
	return c * p * ((1 - u/p) * (1 - theta*p)) / ((1 - u) * (1 - theta))
}

// clamp keeps NaN, unlike math.Max and math.Min in the usual order of calls.
func clamp(x, low, high float64) float64 {
	switch {
	case x < low:
		return low
	case x > high:
		return high
	}
	return x
}
