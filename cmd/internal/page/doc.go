// Package page turns results into documents: words, tables, pictures and working, a
// file a topic. It opens files only through the plan's own opener, and needs no
// terminal.
package page
