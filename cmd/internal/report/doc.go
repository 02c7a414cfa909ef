// Package report holds the one Document that every command builds and the
// renderers that print it as text, Markdown, CSV, JSON and HTML.
package report
