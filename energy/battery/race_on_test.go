//go:build race

package battery

// raced tells that the race detector slows each loop in its own way.
const raced = true
