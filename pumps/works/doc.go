// Package works is the water of a plan: its pumps on its line, clean and dirty, the
// pond they turn over, the tank and its return, and which pump to use. It knows the
// place only by what it is told of it (Surroundings), and no money.
package works
