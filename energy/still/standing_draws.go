package still

import (
	"math"

	"sunrill/data/chance"
	"sunrill/data/cores"
	"sunrill/data/units"
)

// oxygenDraws are the quantiles of what is uncertain, as values.
type oxygenDraws struct{ fish, water, mud, bed, fall, lip, surface, quality, spell, warm []float64 }

func (s Standing) draw() oxygenDraws {
	var d oxygenDraws
	var mass, feed []float64
	r := s.Rates
	spans := []struct {
		of   *[]float64
		name string
		Span
		even bool // rather than likelier in the middle of the logarithms
	}{
		{&mass, "fish", Span{float64(s.FishLow), float64(s.FishHigh)}, false}, {&d.fish, "breath of fish", r.Fish, false},
		{&feed, "feed", Span{float64(s.FeedLow), float64(s.FeedHigh)}, false}, {&d.water, "breath of water", r.Water, false},
		{&d.mud, "breath of mud", r.Mud, false}, {&d.bed, "breath of bed", r.Nitrification, false},
		{&d.surface, "surface of the pond", Surface, false}, {&d.lip, "lip", s.Fall.Lip, true},
		{&d.fall, "fall of the return", Span{float64(s.Fall.Low), float64(s.Fall.High)}, true},
		{&d.quality, "water of the fall", Quality, true}, {&d.spell, "warm spell", Span{0, WarmSpell}, true},
	}
	cores.Each(len(spans), func(i int) {
		at, shape := spans[i], chance.Rectangular(spans[i].Low, spans[i].High)
		if at.Low > 0 && !at.even {
			shape = chance.LogTriangular(at.Low, math.Sqrt(at.Low*at.High), at.High)
		}
		*at.of = shape.Of(chance.Uniform(at.name))
	})
	d.warm = make([]float64, len(d.fish)) // by the warm spell alone
	for i := range d.fish {
		d.warm[i] = math.Pow(r.Factor, d.spell[i]/10)
		d.surface[i] *= math.Pow(transferBy, d.spell[i])
		d.fish[i] *= mass[i] / 1000 // g/h at 20 °C, from here on
		d.water[i] *= float64(s.Volume)
		d.mud[i] *= float64(s.Surface) / 1000
		d.bed[i] = s.Bed.demand(r, d.bed[i], units.Mass(feed[i]))
	}
	return d
}
