//go:build race

package energy

// raced tells that the race detector slows each loop in its own way.
const raced = true
