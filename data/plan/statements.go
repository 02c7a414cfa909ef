package plan

import (
	"bytes"
	"errors"
	"fmt"
	"sort"
	"strings"
	"unicode/utf8"

	"github.com/pelletier/go-toml/v2/unstable"

	"sunrill/data"
)

// This file alone knows the TOML parser, whose walk of raw nodes makes no
// promise between versions. It turns a file into statements: headers and
// values with their places. What they mean is read.go's business.

// statement is a header, or a key with its value.
type statement struct {
	pair   // without value where it is a header
	header bool
	item   bool // [[header]] of a list
}

// source is the text of a plan file and where its lines begin.
type source struct {
	file  string
	text  []byte
	lines []int
}

// place returns line and column of an offset, both from 1, the column in
// characters.
func (s *source) place(offset int) (line, column int) {
	offset = min(max(offset, 0), len(s.text))
	line = sort.Search(len(s.lines), func(i int) bool { return s.lines[i] > offset })
	return line, utf8.RuneCount(s.text[s.lines[line-1]:offset]) + 1
}

// lineAt returns the bounds of the line that offset is in, without its end.
func (s *source) lineAt(offset int) (from, to int) {
	line, _ := s.place(offset)
	from = s.lines[line-1]
	to = len(s.text)
	if i := bytes.IndexByte(s.text[from:], '\n'); i >= 0 {
		to = from + i
	}
	return from, to
}

// fault returns an error at an offset.
func (s *source) fault(offset int, e data.Error) *data.Error {
	e.File = s.file
	e.Line, e.Column = s.place(offset)
	return &e
}

// parse returns the statements of the file and its faults of form. After a
// fault it goes on with the next line where that makes sense, so that all
// faults are told at once.
func (s *source) parse() ([]statement, []*data.Error) {
	text := bytes.Clone(s.text)
	var faults []*data.Error
	for {
		all, fault, resume := s.parseOnce(text)
		if fault != nil {
			faults = append(faults, fault)
		}
		if fault == nil || !resume || len(faults) == data.MaxFaults {
			return all, faults
		}
		from, to := s.lineAt(s.lines[fault.Line-1])
		for i := from; i < to; i++ {
			text[i] = ' '
		}
	}
}

// parseOnce parses text up to its first fault. resume tells whether the rest
// can be read with the faulty line left out.
func (s *source) parseOnce(text []byte) (all []statement, fault *data.Error, resume bool) {
	p := unstable.Parser{KeepComments: true}
	p.Reset(text)
	for p.NextExpression() {
		switch e := p.Expression(); e.Kind {
		case unstable.Comment:
		case unstable.KeyValue:
			all = append(all, statement{pair: pair{names(e.Key()), s.value(&p, e)}})
		default:
			all = append(all, statement{pair: pair{names: names(e.Key())}, header: true, item: e.Kind == unstable.ArrayTable})
		}
	}
	err := p.Error()
	if err == nil {
		return all, nil, false
	}
	offset := len(text)
	var pe *unstable.ParserError
	if errors.As(err, &pe) && len(pe.Highlight) > 0 {
		offset = int(p.Range(pe.Highlight).Offset)
	}
	from, to := s.lineAt(offset)
	line := strings.TrimSpace(string(s.text[from:to]))
	fault = s.fault(offset, data.Error{Message: "not TOML: " + plainSyntax(err.Error()), Found: line})
	unquoted(line, fault)
	open := strings.Contains(err.Error(), "incomplete") || strings.Contains(err.Error(), "multiline") ||
		strings.HasPrefix(line, "[") || offset >= len(text)
	return all, fault, !open
}

// plainSyntax puts the parser's words for a reader of plan files.
func plainSyntax(s string) string {
	const empty, open = "nothing stands after the = sign", "a quote is opened and not closed on its line"
	return strings.NewReplacer("toml: ", "", "unexpected character U+000A at start of value", empty,
		"unexpected character U+000D at start of value", empty, "basic strings cannot have new lines", open,
		"literal strings cannot have new lines", open).Replace(s)
}

// unquoted recognises the commonest slip: a quantity or a word without quotes.
func unquoted(line string, e *data.Error) {
	key, value, ok := strings.Cut(line, "=")
	key = strings.TrimSpace(key)
	value, _, _ = strings.Cut(value, "#")
	value = strings.Trim(strings.TrimSpace(value), "“”„‟‘’«» ") // as a word processor sets quotes
	if !ok || key == "" || value == "" || strings.ContainsAny(value, "\"'[]{}=\\") || strings.ContainsAny(key, " \t\"'") {
		return
	}
	e.Message = "a value with letters needs quotes"
	e.Hint = fmt.Sprintf("%s = %q", key, value)
}

func names(it unstable.Iterator) (all []name) {
	for it.Next() {
		all = append(all, name{string(it.Node().Data), int(it.Node().Raw.Offset)})
	}
	return all
}

// value returns the value of a key-value node. The parser gives an array no
// place, so that it is looked for after the = sign.
func (s *source) value(p *unstable.Parser, kv *unstable.Node) written {
	w := s.written(p, kv.Value())
	last := kv.Raw
	for it := kv.Key(); it.Next(); {
		last = it.Node().Raw
	}
	from := int(last.Offset + last.Length)
	w.from, w.to = from, int(kv.Raw.Offset+kv.Raw.Length)
	if i := bytes.IndexByte(s.text[from:], '='); i >= 0 {
		rest := s.text[from+i+1:]
		w.from = from + i + 1 + len(rest) - len(bytes.TrimLeft(rest, " \t"))
	}
	if w.form == array {
		w.offset = w.from
	}
	return w
}

func (s *source) written(p *unstable.Parser, n *unstable.Node) written {
	w := written{text: string(p.Raw(n.Raw)), offset: int(n.Raw.Offset)}
	switch n.Kind {
	case unstable.String:
		w.text = string(n.Data)
	case unstable.Integer, unstable.Float:
		w.form = plainNumber
	case unstable.Bool:
		w.form = plainBool
	case unstable.Array:
		w.form = array
	case unstable.InlineTable:
		w.form = inlineTable
	default:
		w.form = plainDate
	}
	for it := n.Children(); it.Next(); {
		switch child := it.Node(); child.Kind {
		case unstable.Comment:
		case unstable.KeyValue:
			w.pairs = append(w.pairs, pair{names(child.Key()), s.value(p, child)})
		default:
			w.items = append(w.items, s.written(p, child))
		}
	}
	if w.form == array && len(w.items) > 0 {
		w.offset = w.items[0].offset
	}
	return w
}
