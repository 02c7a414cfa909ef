package units_test

import (
	"fmt"

	"sunrill/data/units"
)

func ExampleParse_refused() {
	q, err := units.Parse(units.KindFlow, "600 US gal/h")
	fmt.Printf("%.1f L/h %v\n", units.Flow(q).In(units.LitrePerHour), err)
	_, err = units.Parse(units.KindFlow, "2 kW")
	fmt.Println(err.(*units.Error).Problem)
	_, err = units.Parse(units.KindFlow, "600 gph")
	fmt.Println(err.(*units.Error).Problem)
	// Output:
	// 2271.2 L/h <nil>
	// 2 kW is a power; a flow is needed
	// the gallon can be two sizes: write 600 US gal/h for US gallons or 600 imp gal/h for imperial ones
}

func ExampleParse() {
	for _, s := range []string{"1 1/4 in", "5 ft 6 in", "0,9 m"} {
		m, err := units.Parse(units.KindLength, s)
		fmt.Printf("%s = %.5g m %v\n", s, m, err)
	}
	// Output:
	// 1 1/4 in = 0.03175 m <nil>
	// 5 ft 6 in = 1.6764 m <nil>
	// 0,9 m = 0.9 m <nil>
}

func ExampleSystem_Unit() {
	u := units.US.Unit(units.KindHead)
	fmt.Printf("%.2f %s\n", u.From(float64(0.9*units.Metre)), u)
	// Output: 2.95 ft
}
