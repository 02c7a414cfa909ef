package units

import "strings"

// SplitHeading splits a column heading into the name and the unit in one of
// the spellings "flow (L/h)", "flow [L/h]", "flow_l_per_h" and "flow L/h".
// The unit is empty where the heading holds none that Sunrill knows.
func SplitHeading(heading string) (name, unit string) {
	h := strings.TrimSpace(ordinary.Replace(heading))
	if len(h) > longest {
		return h, ""
	}
	for _, pair := range []string{"()", "[]"} {
		if open := strings.IndexByte(h, pair[0]); open > 0 && h[len(h)-1] == pair[1] {
			return strings.TrimSpace(h[:open]), strings.TrimSpace(h[open+1 : len(h)-1])
		}
	}
	for i, r := range h {
		if i == 0 || r != '_' && r != ' ' {
			continue
		}
		rest := strings.ReplaceAll(h[i+1:], "_", " ")
		_, known := kindOf(rest)
		if _, _, two := bareGallon(rest); known || two {
			return strings.Trim(h[:i], "_ ,"), strings.TrimSpace(rest)
		}
	}
	return h, ""
}
