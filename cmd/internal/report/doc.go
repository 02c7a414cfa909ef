// Package report prints a Document as text, Markdown, CSV, JSON and HTML, and its
// pictures as PNG. CSV and JSON keep full precision in the unit that the key
// names, whatever --units says.
//
// To add a format, write a func(*document.Document, Options) ([]byte, error)
// and list it in Formats.
package report
