package cli

import (
	"sunrill/energy"
	"sunrill/pumps/works"
)

// readWater returns the water of the plan, at the place that it names.
func (in *input) readWater() (*works.WaterResult, error) {
	place, err := in.surroundings(in.Plan.Water.Temperature == nil || in.Plan.Pond.Evaporation == nil)
	if err != nil {
		return nil, err
	}
	if place.Loss, err = in.loggedLoss(); err != nil {
		return nil, err
	}
	return works.NewWater(&in.Plan, in.Curves, place)
}

// surroundings returns what the place adds to the plan; its climate or weather
// file is read where the answer rests on it.
func (in *input) surroundings(asked bool) (works.Surroundings, error) {
	if !asked {
		return works.Surroundings{}, nil
	}
	files, err := in.readSite()
	if err != nil {
		return works.Surroundings{}, err
	}
	place, err := energy.SurroundingsOf(&in.Plan, files)
	return place, in.placed(err)
}
