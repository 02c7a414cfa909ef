package data

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"io"
	"strings"
	"unicode/utf16"
	"unicode/utf8"
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
	switch {
	case bytes.HasPrefix(raw, []byte("\xef\xbb\xbf")):
		raw = raw[3:]
	case bytes.HasPrefix(raw, []byte("\xff\xfe")):
		return decodeUTF16(raw[2:], binary.LittleEndian), nil
	case bytes.HasPrefix(raw, []byte("\xfe\xff")):
		return decodeUTF16(raw[2:], binary.BigEndian), nil
	case len(raw) >= 4 && raw[0] != 0 && raw[1] == 0 && raw[2] != 0 && raw[3] == 0:
		return decodeUTF16(raw, binary.LittleEndian), nil
	case len(raw) >= 4 && raw[0] == 0 && raw[1] != 0 && raw[2] == 0 && raw[3] != 0:
		return decodeUTF16(raw, binary.BigEndian), nil
	}
	if utf8.Valid(raw) {
		return string(raw), nil
	}
	var b strings.Builder
	for _, c := range raw {
		b.WriteRune(windows1252(c))
	}
	return b.String(), []Warning{{File: name, Message: "the file is not in UTF-8; it was read as Windows-1252"}}
}

func decodeUTF16(raw []byte, order binary.ByteOrder) string {
	codes := make([]uint16, len(raw)/2, len(raw)/2+1)
	for i := range codes {
		codes[i] = order.Uint16(raw[2*i:])
	}
	if len(raw)%2 == 1 { // a cut file: let the reader see that something is wrong
		codes = append(codes, utf8.RuneError)
	}
	return string(utf16.Decode(codes))
}

// high1252 are the characters of 0x80 to 0x9f in Windows-1252; 0 is unused.
var high1252 = [32]rune{
	'€', 0, '‚', 'ƒ', '„', '…', '†', '‡', 'ˆ', '‰', 'Š', '‹', 'Œ', 0, 'Ž', 0,
	0, '‘', '’', '“', '”', '•', '–', '—', '˜', '™', 'š', '›', 'œ', 0, 'ž', 'Ÿ',
}

func windows1252(c byte) rune {
	if c < 0x80 || c >= 0xa0 {
		return rune(c)
	}
	if r := high1252[c-0x80]; r != 0 {
		return r
	}
	return utf8.RuneError
}
