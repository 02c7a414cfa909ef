package plan

import (
	"maps"
	"slices"
	"strings"

	"sunrill/data"
)

const listKeys = "sunrill help keys lists them"

// unknown says that the table at has no such table or key.
func (rd *planReader) unknown(at string, n name, table bool) {
	var e data.Error
	switch rd.lost = rd.lost || table; {
	case rd.tooManyFaults(): // and the nearest word takes long to find
	case table:
		e = unknownTable(Pattern(at), n.text)
	default:
		e = unknownKey(Pattern(at), n.text)
	}
	rd.fail(n.offset, e)
}

// unknownTable returns the fault of a table that table does not have.
func unknownTable(table, found string) data.Error {
	e := data.Error{Key: joinKey(table, found), Message: "no such table in a plan", Found: found, Hint: listKeys}
	tables := map[string]string{}
	for path := range keyTable().tables {
		if section(path) == table {
			tables[strings.TrimSuffix(lastPart(path), "[]")] = path
		}
	}
	if near := data.Nearest(found, slices.Sorted(maps.Keys(tables))); near != "" {
		e.Hint = "did you mean " + header(tables[near]) + "?"
	}
	return e
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

// unknownKey returns the fault of a name that table (a pattern, "" at the top)
// does not have: which key is nearest, there or elsewhere.
func unknownKey(table, found string) data.Error {
	e := data.Error{Key: strings.TrimPrefix(table+"."+found, "."), Message: "no such key in a plan", Hint: listKeys}
	here, all := namesOf(keyTable().inside[table]), namesOf(KeyTable())
	near := data.Nearest(found, here)
	if k, is := KeyForFlag(found); is && slices.Contains(here, k.Name()) {
		near = k.Name() // --lat is site.latitude
	}
	if near == "" {
		e.Allowed = strings.Join(here, ", ")
		if i := slices.Index(all, data.Nearest(found, all)); i >= 0 {
			near = all[i] + ", before the first [table]"
			if at := section(KeyTable()[i].Path); at != "" {
				near = all[i] + ", in " + header(at)
			}
		}
	}
	if near != "" {
		e.Hint = "did you mean " + near + "?"
	}
	return e
}

func namesOf(keys []Key) (all []string) {
	for _, k := range keys {
		all = append(all, k.Name())
	}
	return all
}
