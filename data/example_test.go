package data_test

import (
	"fmt"
	"strings"

	"sunrill/data"
	"sunrill/data/units"
)

func ExampleReadCurves() {
	file := "flow (US gal/h);head (ft)\n0;8,2\n300;6,5\n600;0,5\n"
	curves, _, err := data.ReadCurves("creek.csv", strings.NewReader(file))
	for _, p := range curves[0].Rows {
		fmt.Printf("%s %4.0f L/h %.2f m\n", curves[0].Pump, p.Flow.In(units.LitrePerHour), p.Head)
	}
	fmt.Println(err)
	// Output:
	// creek    0 L/h 2.50 m
	// creek 1136 L/h 1.98 m
	// creek 2271 L/h 0.15 m
	// <nil>
}

func ExamplePipeNamed() {
	p, err := data.PipeNamed("pe40 sdr17")
	fmt.Println(p.Name, "has a bore of", p.Bore.In(units.Millimetre), "mm", err)
	_, err = data.PipeNamed("PE 40")
	fmt.Println(err)
	// Output:
	// PE 40 SDR 17 has a bore of 35.2 mm <nil>
	// pipe: there is no such pipe: found "PE 40"; allowed: a row of the table of pipes, perhaps PE 40 SDR 11, PE 40 SDR 13.6, PE 40 SDR 17
}
