// Package data is Sunrill's shelf: the embedded tables with their sources, and the
// strict readers of the files that people bring. The plan is package plan's.
//
// It computes nothing about water, sun or money. Readers return plain rows
// with the line each came from; every fault of a file is reported at once as
// joined *Error values.
package data
