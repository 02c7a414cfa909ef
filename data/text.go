package data

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
)

// What a file that a person brings may weigh. Twenty years of hours are about
// 10 MB; anything near the limits is not a table for this program.
const (
	maxFileBytes = 32 << 20
	maxLineBytes = 1 << 20
)

// ReadText returns the text of r in UTF-8 with lines that end in \n, whatever
// it came in: UTF-8 or UTF-16 with or without a byte-order mark, CRLF or CR.
// Text that is neither is read as Windows-1252, as spreadsheets write it, with
// a warning. Binary data and files over the limits are refused with an *Error.
func ReadText(name string, r io.Reader) (string, []Warning, error) {
	raw, err := io.ReadAll(io.LimitReader(r, maxFileBytes+1))
	if err != nil {
		return "", nil, &Error{File: name, Message: "the file cannot be read: " + err.Error(), Err: err}
	}
	if len(raw) > maxFileBytes {
		return "", nil, &Error{File: name, Message: "the file is too large", Allowed: fmt.Sprintf("up to %d MB", maxFileBytes>>20)}
	}
	text, warnings := decodeText(name, raw)
	text = strings.ReplaceAll(text, "\r\n", "\n")
	text = strings.ReplaceAll(text, "\r", "\n")
	binary := func(r rune) bool { return (r < ' ' || r == 0x7f) && !strings.ContainsRune("\t\f\v\x1a\n", r) }
	number := 0
	for line := range strings.Lines(text) {
		number++
		if i := strings.IndexFunc(line, binary); i >= 0 {
			return "", nil, &Error{File: name, Line: number, Column: utf8.RuneCountInString(line[:i]) + 1,
				Message: "the file is not text but binary data", Found: line[i : i+1], Allowed: "a text file in UTF-8 or UTF-16"}
		}
		if len(strings.TrimSuffix(line, "\n")) > maxLineBytes {
			return "", nil, &Error{File: name, Line: number, Column: 1, Message: "the line is too long",
				Allowed: fmt.Sprintf("up to %d MB a line", maxLineBytes>>20)}
		}
	}
	return strings.TrimRight(text, "\x1a"), warnings, nil // 0x1a closed text files under DOS
}

func decodeText(name string, raw []byte) (string, []Warning) {
	var from encoding.Encoding
	var warnings []Warning
	raw = bytes.TrimPrefix(raw, []byte("\ufeff"))
	switch {
	case bytes.HasPrefix(raw, []byte("\xff\xfe")), len(raw) >= 4 && raw[0] != 0 && raw[1] == 0 && raw[2] != 0 && raw[3] == 0:
		from = unicode.UTF16(unicode.LittleEndian, unicode.UseBOM)
	case bytes.HasPrefix(raw, []byte("\xfe\xff")), len(raw) >= 4 && raw[0] == 0 && raw[1] != 0 && raw[2] == 0 && raw[3] != 0:
		from = unicode.UTF16(unicode.BigEndian, unicode.UseBOM)
	case utf8.Valid(raw):
		return string(raw), nil
	default:
		from = charmap.Windows1252
		warnings = []Warning{{File: name, Message: "the file is not in UTF-8; it was read as Windows-1252"}}
	}
	text, err := from.NewDecoder().Bytes(raw)
	if err != nil {
		panic("data: what has no meaning is decoded to a mark of its own: " + err.Error())
	}
	return string(text), warnings
}
