package pumps

import (
	"sunrill/data"
	"sunrill/data/units"
)

// outside returns the fault of a figure that is not in its range.
func outside(key, found, allowed string) *data.Error {
	return &data.Error{Key: key, Message: "outside the allowed range", Found: found, Allowed: allowed}
}

// ranges collects the faults of figures whose plan keys begin alike.
type ranges struct {
	under  string // the beginning, with its full stop
	faults []error
}

// check adds a fault unless ok; unit has its space before it.
func (r *ranges) check(ok bool, key string, found float64, unit, allowed string) {
	if !ok {
		r.faults = append(r.faults, outside(r.under+key, units.Sprintf("%g%s", found, unit), allowed))
	}
}
