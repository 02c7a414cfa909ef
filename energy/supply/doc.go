// Package supply goes from a pump's watts through cable, inverter and controller to
// the source, lays them over a year, and runs a pump on the sun alone. Hot loops work
// on plain []float64 in W and Wh.
package supply
