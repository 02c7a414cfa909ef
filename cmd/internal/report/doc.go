// Package report holds the one Document that every command builds and the
// renderers that print it as text, Markdown, CSV, JSON and HTML.
//
// A command fills a Document with numbers, never with formatted figures:
// sentences are Prose, whose arguments keep value and unit, and tables hold
// Cells under Columns that know their unit. Only the renderers round and only
// they convert to the units that the reader asked for. CSV and JSON keep full
// precision in the unit that the key names, whatever --units says.
//
// A Picture holds the numbers that it draws, and its table is made of them. HTML
// draws it into the page; SVG and PNG draw it for a file. Names may come from
// a user's file: every renderer cleans or escapes them at its own border.
//
// To add a renderer, write a func(io.Writer, *Document, Options) error and
// list it in Formats.
package report
