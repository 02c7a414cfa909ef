// Package energy joins water and sun into a budget: load, battery, balance, sizing, daylight pumping, money and the plan as a whole.
package energy
