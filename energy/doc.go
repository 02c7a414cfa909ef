// Package energy joins water and sun into a budget: load, battery, balance,
// sizing, daylight pumping, money and the plan as a whole. It does no I/O.
//
// Evaluate is the whole job, and a good place to start reading; its steps follow
// one another in plan.go. Below it lie
//
//   - water: NewWater runs the pumps of a plan on its line, clean and dirty, and
//     chooses one (water*.go, waterworks.go, pondwater.go);
//   - load: NewChain goes from the pump's watts through cable, inverter and
//     controller to the source, and Chain.Year lays them over a Schedule
//     (load*.go, cable.go, inverter.go);
//   - sun: NewSky makes the hours of a site and what each watt of panel gives in
//     them (site*.go, controller.go);
//   - store: NewStorage puts load and sun into a Record; BalanceOf runs one
//     battery through it (balance*.go, battery*.go, storage*.go), Size finds the
//     least battery for every panel (sizing*.go, front*.go);
//   - no store: Daylight.Run is a pump on the sun alone (daylight*.go);
//   - what a stop does to the pond: Rest and GradeStop (stop*.go, oxygen.go);
//   - choices and money: strategy*.go, tariff.go, ownership.go, payback.go.
//
// Powers and energies are at the battery's terminals or the socket unless a name
// says otherwise; a day is a mean day, a year has 365. Every hour is a clock hour
// of the site. Hot loops work on plain []float64 in W and Wh, which their
// comments say; everything else has the types of package units. What is not
// known is a Maybe with its reason, what nobody gave is listed as Assumed.
//
// It leaves out what happens within an hour, the state of single cells, and how
// the battery's voltage moves with its charge. Sources stand at the formulas.
package energy
