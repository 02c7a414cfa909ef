package plan

import (
	"slices"
	"strings"

	"sunrill/data"
)

const listKeys = "sunrill help keys lists them"

// unknownTable says that there is no such table and which is nearest.
func (rd *planReader) unknownTable(key string, n name) {
	e := data.Error{Key: Pattern(key), Message: "no such table in a plan", Found: n.text, Hint: listKeys}
	rd.lost = true
	if !rd.tooManyFaults() {
		tables := map[string]string{}
		var names []string
		for s := range keyTable().tables {
			if section(s) == Pattern(section(key)) {
				one := strings.TrimSuffix(lastPart(s), "[]")
				names, tables[one] = append(names, one), s
			}
		}
		slices.Sort(names)
		if near := data.Nearest(n.text, names); near != "" {
			e.Hint = "did you mean " + header(tables[near]) + "?"
		}
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
	e := data.Error{Key: strings.TrimPrefix(table+"."+found, "."), Message: "no such key in a plan", Hint: listKeys}
	var here, all []string
	for _, k := range KeyTable() {
		if section(k.Path) == table {
			here = append(here, k.Name())
		}
		all = append(all, k.Name())
	}
	near := data.Nearest(found, here)
	if k, is := KeyForFlag(found); is && slices.Contains(here, k.Name()) {
		near = k.Name() // --lat is site.latitude
	}
	if near != "" {
		e.Hint = "did you mean " + near + "?"
		return e
	}
	e.Allowed = strings.Join(here, ", ")
	if i := slices.Index(all, data.Nearest(found, all)); i >= 0 {
		where := "in " + header(section(KeyTable()[i].Path))
		if section(KeyTable()[i].Path) == "" {
			where = "before the first [table]"
		}
		e.Hint = "did you mean " + all[i] + ", " + where + "?"
	}
	return e
}
