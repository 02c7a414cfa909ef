// Package battery runs a store through a record of hours, finds the least store for
// each panel, and chooses the pair to buy. It leaves out the state of single cells and
// how the voltage moves with the charge. Hot loops work on plain []float64 in W and Wh.
package battery
