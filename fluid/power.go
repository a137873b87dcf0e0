package fluid

import "math"

// power is x^y for x of 0 or more. math.Pow goes by an exponential that has its
// own assembly on some machines and differs there in the last bit; a slack line
// in the water makes centimetres of that within a minute. math.Log and
// math.Expm1 give the same bits natively and as WebAssembly.
func power(x, y float64) float64 {
	e := y * math.Log(x)
	if e < 0 {
		return 1 / (1 + math.Expm1(-e))
	}
	return 1 + math.Expm1(e)
}
