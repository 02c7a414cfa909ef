package plan

import (
	"fmt"
	"strings"

	"sunrill/data"
)

const listKeys = "sunrill help keys lists them"

// unknownTable says that there is no such table and which is nearest.
func (rd *planReader) unknownTable(key string, n name) {
	e := data.Error{Key: Pattern(key), Message: "no such table in a plan", Found: n.text}
	rd.lostTable = true
	if rd.tooManyFaults() {
		rd.fail(n.offset, e)
		return
	}
	var names, tables []string
	for _, k := range KeyTable() {
		if s := section(k.Path); s != "" && section(s) == Pattern(section(key)) {
			tables = append(tables, s)
			names = append(names, strings.TrimSuffix(lastPart(s), "[]"))
		}
	}
	if near := data.Nearest(n.text, names); near != "" {
		for i, one := range names {
			if one == near {
				e.Hint = "did you mean " + header(tables[i]) + "?"
			}
		}
	}
	if e.Hint == "" {
		e.Hint = listKeys
	}
	rd.fail(n.offset, e)
}

// header returns a table as it is written in a file: [pond], [[branch.feed]].
func header(table string) string {
	bare := strings.ReplaceAll(table, "[]", "")
	if strings.HasSuffix(table, "[]") {
		return "[[" + bare + "]]"
	}
	return "[" + bare + "]"
}

func lastPart(path string) string { return path[strings.LastIndexByte(path, '.')+1:] }

// unknownKey says that there is no such key in the table at and which is
// nearest, there or elsewhere.
func (rd *planReader) unknownKey(at string, n name) {
	var e data.Error
	if !rd.tooManyFaults() {
		e = unknown(Pattern(at), n.text)
	}
	rd.fail(n.offset, e)
}

// unknown returns the fault of a name that table (a pattern, "" at the top)
// does not have.
func unknown(table, found string) data.Error {
	e := data.Error{Key: strings.TrimPrefix(table+"."+found, "."), Message: "no such key in a plan"}
	var here, all []string
	near := ""
	for _, k := range KeyTable() {
		if section(k.Path) == table {
			here = append(here, k.Name())
			if k.Flag == found {
				near = k.Name() // --lat is site.latitude
			}
		}
		all = append(all, k.Name())
	}
	if near == "" {
		near = data.Nearest(found, here)
	}
	if near != "" {
		e.Hint = fmt.Sprintf("did you mean %s?", near)
		return e
	}
	e.Allowed = strings.Join(here, ", ")
	if near = data.Nearest(found, all); near == "" {
		e.Hint = listKeys
		return e
	}
	for _, k := range KeyTable() {
		if k.Name() == near {
			e.Hint = fmt.Sprintf("did you mean %s, in %s?", near, header(section(k.Path)))
			if section(k.Path) == "" {
				e.Hint = fmt.Sprintf("did you mean %s, before the first [table]?", near)
			}
			break
		}
	}
	return e
}
