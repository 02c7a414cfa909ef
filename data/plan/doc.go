// Package plan reads a plan: its file, settings and flags by the one key table, with the
// place of every fault; and holds it as structs, each field tagged with its key.
package plan
