package pumps_test

import (
	"fmt"

	"sunrill/data/units"
	"sunrill/pumps"
)

// Cengel & Cimbala, Fluid Mechanics, example 8-2: water at 5 C in a tube of
// 3 mm, 9 m long, at 0.9 m/s. The book has Re 1777 and 4.46 m.
func ExampleFeed_HeadLoss() {
	water := pumps.Water{Density: 1000, Viscosity: 1.519e-3}
	tube := pumps.Feed{Bore: 3 * units.Millimetre, Length: 9}
	q := units.Flow(0.9 * float64(tube.Area()))
	re := tube.Reynolds(q, water)
	fmt.Printf("Re %.0f, %.2f m\n", re, tube.HeadLoss(q, water).In(units.Metre))
	// Output: Re 1777, 4.46 m
}

// Crane TP-410, example 7-33: 400 gpm at 126 ft and 17.5 hp, slowed from 3500
// to 1700 rpm. The book has 194.3 gpm, 29.73 ft and 2.005 hp.
func ExampleCurve_AtSpeed() {
	curve, err := pumps.NewCurve([]pumps.Point{
		{Flow: 0, Head: 150 * units.Foot, Power: 10 * units.Horsepower},
		{Flow: 400 * units.USGallonPerMinute, Head: 126 * units.Foot, Power: 17.5 * units.Horsepower},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	p := curve.AtSpeed(1700.0 / 3500).Points()[1]
	fmt.Printf("%.1f gpm, %.2f ft, %.3f hp\n", p.Flow.In(units.USGallonPerMinute), p.Head.In(units.Foot), p.Power.In(units.Horsepower))
	// Output: 194.3 gpm, 29.73 ft, 2.005 hp
}

// The pump of Schaschke, Fluid Mechanics, problem 9.11, on an invented line: a
// lift, a hose and its fittings.
func ExampleOperate() {
	const lps = units.LitrePerSecond
	curve, err := pumps.NewCurve([]pumps.Point{
		{Flow: 0, Head: 9.25}, {Flow: 5 * lps, Head: 8.81}, {Flow: 10 * lps, Head: 7.85},
		{Flow: 15 * lps, Head: 6.48}, {Flow: 20 * lps, Head: 4.81}, {Flow: 25 * lps, Head: 2.96},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, lift := range []units.Length{4, 10} {
		system := pumps.NewSystem(pumps.SystemSpec{
			StaticHead:  lift,
			Feeds:       []pumps.Feed{{Bore: 100 * units.Millimetre, Length: 20, Loss: pumps.Loss{K: 4}}},
			Exit:        true,
			Temperature: units.Celsius(15),
		})
		o := pumps.Operate(curve, system)
		fmt.Printf("%v (%s)\n", o.Status, o.Why)
	}
	// Output:
	// meets the system ()
	// cannot lift (the lift of 10 m is not below the pump's 9.25 m at no flow)
}
