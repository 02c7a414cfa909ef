// Package wiring has the figures for an installer: fuses, conductors, controller and
// cold voltage. They are figures to hand to a licensed person, not instructions.
package wiring
