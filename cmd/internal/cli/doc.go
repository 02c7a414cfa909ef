// Package cli is the sunrill command line: a table of commands, each of which
// reads, computes and returns a page, and one way to write it.
package cli
