package pumps

import "math"

// Regime is how the water moves in a pipe.
type Regime int

// Regimes by Reynolds number: laminar up to 2300, turbulent from 4000.
const (
	Still Regime = iota
	Laminar
	Transitional
	Turbulent
)

// Limits of the regimes for round pipes, as in any textbook of hydraulics.
const (
	laminarRe   = 2300
	turbulentRe = 4000
)

// String returns the regime in a word.
func (r Regime) String() string {
	return [...]string{"still", "laminar", "transitional", "turbulent"}[r]
}

// RegimeOf returns the regime at Reynolds number re.
func RegimeOf(re float64) Regime {
	switch {
	case re <= 0:
		return Still
	case re <= laminarRe:
		return Laminar
	case re < turbulentRe:
		return Transitional
	}
	return Turbulent
}

// LaminarFriction returns the Darcy friction factor of laminar flow
// (Hagen-Poiseuille), f = 64/Re. Valid for Re up to about 2300; re must be
// above 0.
func LaminarFriction(re float64) float64 { return 64 / re }

// Churchill returns the Darcy friction factor at Reynolds number re and
// relative roughness e = eps/D, over laminar, transitional and turbulent flow.
//
//	f = 8 [ (8/Re)^12 + (A+B)^-1.5 ]^(1/12)
//	A = { 2.457 ln[ 1 / ((7/Re)^0.9 + 0.27 e) ] }^16
//	B = (37530/Re)^16
//
// Within 3 % of Colebrook from Re 4000; between 2300 and 4000 nature itself
// does not settle on one value. re must be above 0 and e from 0 to 0.05.
//
// Source: S. W. Churchill, Chemical Engineering 84 (1977), no. 24, p. 91. Some
// copies misprint the exponent of A+B as 15.
func Churchill(re, e float64) float64 {
	if re < 1 {
		return 64 / re // what the formula tends to; its twelfth power would overflow
	}
	a := 2.457 * -math.Log(math.Pow(7/re, 0.9)+0.27*e)
	a *= a
	a *= a
	a *= a
	a *= a
	b := 37530 / re
	b *= b
	b *= b
	b *= b
	b *= b
	l := 8 / re
	l *= l * l // to the third
	l *= l
	l *= l // to the twelfth
	ab := a + b
	return 8 * math.Cbrt(math.Sqrt(math.Sqrt(l+1/(ab*math.Sqrt(ab)))))
}

// Colebrook returns the Darcy friction factor of turbulent flow, solved
// exactly by Newton's method.
//
//	1/sqrt f = -2 log10( e/3.7 + 2.51/(Re sqrt f) )
//
// Valid from Re 4000, e up to 0.05. An infinite re gives the fully rough limit
// of von Karman, and e = 0 the smooth pipe of Prandtl and Nikuradse.
//
// Source: C. F. Colebrook, J. Inst. Civil Engineers 11 (1939) 133.
func Colebrook(re, e float64) float64 {
	const perLn = 2 / math.Ln10
	a, b := e/3.7, 2.51/re
	x := 1 / math.Sqrt(Haaland(re, e)) // x = 1/sqrt f
	for range 50 {
		g := x + perLn*math.Log(a+b*x)
		step := g / (1 + perLn*b/(a+b*x))
		x -= step
		if math.Abs(step) <= 1e-15*x {
			break
		}
	}
	return 1 / (x * x)
}

// Haaland returns the Darcy friction factor of turbulent flow by an explicit
// form within 1.5 % of Colebrook.
//
//	1/sqrt f = -1.8 log10( (e/3.7)^1.11 + 6.9/Re )
//
// Source: S. E. Haaland, J. Fluids Engineering 105 (1983) 89.
func Haaland(re, e float64) float64 {
	x := -1.8 * math.Log10(math.Pow(e/3.7, 1.11)+6.9/re)
	return 1 / (x * x)
}

// SwameeJain returns the Darcy friction factor of turbulent flow.
//
//	f = 0.25 / [ log10( e/3.7 + 5.74/Re^0.9 ) ]²
//
// Valid for 5e3 < Re < 1e8 and 1e-6 < e < 1e-2.
//
// Source: P. K. Swamee and A. K. Jain, J. Hydraulics Division ASCE 102 (1976) 657.
func SwameeJain(re, e float64) float64 {
	x := math.Log10(e/3.7 + 5.74/math.Pow(re, 0.9))
	return 0.25 / (x * x)
}

// Blasius returns the Darcy friction factor of turbulent flow in a smooth
// pipe, f = 0.3164/Re^0.25. Valid for 4000 < Re < 1e5.
//
// Source: H. Blasius, VDI Forschungsheft 131 (1913).
func Blasius(re float64) float64 { return 0.3164 / math.Pow(re, 0.25) }

// RibbedFriction returns the Darcy friction factor of a hose with ribs inside,
// of bore d and distance s from rib to rib (annular corrugation), both in m.
//
//	f = (D/s) { 1 - [ D/(D + 0.438 s) ]² }²
//
// It does not depend on Re, so it holds for turbulent flow only; near laminar
// flow the larger of this and 64/Re is used. A hose ribbed outside and smooth
// inside is a smooth pipe.
//
// Source: R. C. Hawthorne and H. C. von Helms, Product Engineering, 1963;
// quoted from memory, the paper was not at hand.
func RibbedFriction(d, s float64) float64 {
	x := d / (d + 0.438*s)
	y := 1 - x*x
	return d / s * y * y
}
