// Package cli is the sunrill command line: one file a command, each of which
// reads, computes and renders.
package cli
