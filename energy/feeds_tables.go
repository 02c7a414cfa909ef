package energy

import (
	"sunrill/data"
	"sunrill/pumps"
)

func (w *Waterworks) pipe(f *pumps.Feed, name, key string) error {
	return &data.Error{Key: key + ".pipe", Found: name, Message: "the table of pipes is still to come"}
}

func (w *Waterworks) fittings(f *pumps.Feed, list []data.Fitting, key string) error {
	if len(list) == 0 {
		return nil
	}
	return &data.Error{Key: key + ".fittings", Message: "the table of fittings is still to come"}
}
