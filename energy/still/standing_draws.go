package still

import (
	"math"

	"sunrill/data/chance"
	"sunrill/data/cores"
	"sunrill/data/units"
)

// draws are what is uncertain, one value for each draw: rates of the whole pond [g/h] and
// the transfer of its surface, at 20 °C or at the mean of the month.
type draws struct{ fish, water, swing, bed, weir, surface, spell, warm []float64 }

func (s Standing) draw() draws {
	var d draws
	var mass, feed, mud, lip, quality []float64
	r := s.Rates
	spans := []struct {
		of   *[]float64
		name string
		Span
		even bool // rather than likelier in the middle of the logarithms
	}{
		{&mass, "fish", Span{float64(s.FishLow), float64(s.FishHigh)}, false}, {&d.fish, "breath of fish", r.Fish, false},
		{&feed, "feed", Span{float64(s.FeedLow), float64(s.FeedHigh)}, false}, {&d.water, "breath of water", r.Water, false},
		{&mud, "breath of mud", r.Mud, false}, {&d.bed, "breath of bed", r.Nitrification, false},
		{&d.surface, "surface of the pond", Surface, false}, {&lip, "lip", s.Fall.Lip, true},
		{&d.weir, "fall of the return", Span{float64(s.Fall.Low), float64(s.Fall.High)}, true},
		{&quality, "water of the fall", Quality, true}, {&d.spell, "warm spell", Span{0, WarmSpell}, true},
	}
	cores.Each(len(spans), func(i int) {
		at, shape := spans[i], chance.Rectangular(spans[i].Low, spans[i].High)
		if at.Low > 0 && !at.even {
			shape = chance.LogTriangular(at.Low, math.Sqrt(at.Low*at.High), at.High)
		}
		*at.of = chance.Uniform(at.name)
		for k, u := range *at.of {
			(*at.of)[k] = shape(u)
		}
	})
	d.warm, d.swing = make([]float64, len(d.fish)), make([]float64, len(d.fish)) // by the warm spell alone
	for i := range d.fish {
		d.warm[i] = math.Exp(d.spell[i] / 10 * math.Log(r.Factor))
		d.surface[i] *= math.Exp(d.spell[i] * math.Log(transferBy))
		d.fish[i] = d.fish[i]*(mass[i]/1000) + mud[i]*(float64(s.Surface)/1000)
		d.swing[i] = d.water[i] * nightHours
		d.water[i] *= float64(s.Volume)
		d.bed[i] = s.Bed.demand(r, d.bed[i], units.Mass(feed[i]))
		d.weir[i] = weir(quality[i], lip[i], d.weir[i])
	}
	return d
}
