// Package energy joins water and sun into the whole job of a plan. It does no I/O.
//
// Evaluate is that job, and a good place to start reading; its steps follow one
// another in plan.go. Below it lie the water of a plan (pumps/works), its sun
// (solar/sky), the way from a pump's watts to the source (supply), the store
// (battery), tariff and ownership (money), what a stop does to the pond (still) and
// the figures for an installer (wiring). What is here puts them together: NewStorage
// makes the Record that a battery meets and Storage.Size finds the pair to buy
// (storage*.go), a Variant is the plan with keys set (variant.go), and the trade-off
// holds variants side by side (strategy*.go).
//
// Powers and energies are at the battery's terminals or the socket unless a name
// says otherwise; a day is a mean day, a year has 365. Every hour is a clock hour
// of the site. What is not known is a figure.Maybe with its reason, what nobody gave
// is listed as figure.Assumed.
//
// It leaves out what happens within an hour. Sources stand at the formulas.
package energy
