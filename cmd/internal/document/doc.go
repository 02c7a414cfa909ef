// Package document holds the one Document that every command builds, and prints
// it as HTML. Other formats are made of it by package report.
//
// A command fills a Document with numbers, never with formatted figures:
// sentences are Prose, whose arguments keep value and unit, and tables hold
// Cells under Columns that know their unit. Only the renderers round and only
// they convert to the units that the reader asked for.
//
// A Picture holds the numbers that it draws, and its table is made of them. Draw
// lays it out, once for every drawer. Names may come from a user's file: every
// renderer cleans or escapes them at its own border.
//
// The package links the standard library and units alone, without templates, so
// that a page can be made where little may be linked.
package document
