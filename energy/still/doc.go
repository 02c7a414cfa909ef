// Package still is what a stop of the water does to the pond: oxygen, how long the fish
// can bear it, and the risk. It may grade a risk, never clear one.
package still
