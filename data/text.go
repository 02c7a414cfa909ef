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
	line, start := 1, 0
	for i := 0; i <= len(text); i++ {
		if i < len(text) && text[i] >= ' ' && text[i] != 0x7f {
			continue // nearly all of a file, which may be large
		}
		switch {
		case i == len(text) || text[i] == '\n':
			if i-start > maxLineBytes {
				return "", nil, &Error{File: name, Line: line, Column: 1, Message: "the line is too long",
					Allowed: fmt.Sprintf("up to %d MB a line", maxLineBytes>>20)}
			}
			line, start = line+1, i+1
		case text[i] != '\t' && text[i] != '\f' && text[i] != '\v' && text[i] != 0x1a:
			return "", nil, &Error{File: name, Line: line, Column: utf8.RuneCountInString(text[start:i]) + 1,
				Message: "the file is not text but binary data", Found: text[i : i+1], Allowed: "a text file in UTF-8 or UTF-16"}
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
