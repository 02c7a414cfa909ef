package data

import (
	"math"
	"slices"
	"strings"
	"time"
)

// readMonths reads rows of PARAMETER, perhaps a year, and the months: the means of years
// of months, or a climatology, which has one row a parameter.
func (b *weatherBuilder) readMonths() {
	columns := []column{{name: "PARAMETER", at: -1}}
	for m := range 12 {
		columns = append(columns, column{name: strings.ToUpper(time.Month(m + 1).String()[:3]), at: -1})
	}
	b.plan = filePlan{others: true}
	if !b.findColumns(columns) {
		return
	}
	for _, parameter := range []struct {
		name string
		of   figureOf
	}{{powerSun, global}, {powerTemp, air}} {
		scale := b.scale(parameter.of, parameter.name, b.units[parameter.name], columns[0].at)
		means, counts, rows := make([]float64, 12), [12]int{}, 0
		for _, r := range b.sheet.rows {
			if r.cell(columns[0].at) != parameter.name {
				continue
			}
			rows++
			for m, c := range columns[1:] {
				one := newRow(r.line)
				b.figure(&one, parameter.of, r, c.at, scale, point)
				if v := one.figures[parameter.of]; !math.IsNaN(v) {
					means[m] += v
					counts[m]++
				}
			}
		}
		most := slices.Max(counts[:])
		for m, n := range counts {
			switch month := columns[1+m].name; {
			case rows == 0 && m == 0:
				b.fail(b.heads.line, parameter.name, "the parameter has no row", "", "a row of each of "+powerSun+" and "+powerTemp)
			case rows > 0 && n == 0:
				b.fail(b.heads.line, parameter.name, "no value for "+month, "", "a value for each month")
			case n < most:
				b.warn("%s of %s is missing in %d of %d years: the mean is that of the others", parameter.name, month, most-n, most)
			}
			means[m] /= float64(n)
		}
		if b.w.TempC = means; parameter.of == global {
			b.w.GHI = means
		}
	}
}
