// Package report holds the one Document that every command builds and the
// renderers that print it as text, Markdown, CSV and JSON.
//
// A command fills a Document with numbers, never with formatted figures:
// sentences are Prose, whose arguments keep value and unit, and tables hold
// Cells under Columns that know their unit. Only the renderers round and only
// they convert to the units that the reader asked for. CSV and JSON keep full
// precision in the unit that the key names, whatever --units says.
//
// To add a renderer, write a func(io.Writer, *Document, Options) error and
// list it in Formats.
package report
