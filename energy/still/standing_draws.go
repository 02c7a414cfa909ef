package still

import (
	"math"

	"sunrill/data/chance"
	"sunrill/data/cores"
	"sunrill/data/units"
	"sunrill/pumps"
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
		*at.of = shape.Of(chance.Uniform(at.name))
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

// season returns the pond in one month, in each draw in which the fish that are there could live.
func (s Standing) season(month int, d draws) ([]pond, error) {
	sated, err := saturations(s.Water[month], pumps.AirPressure(s.Altitude)) // up to a warm spell above the mean
	if err != nil {
		return nil, err
	}
	c, transfer := leastSatC(s.Water[month]), 0.0 // of water that the air brings to saturation by a K0 of 1 m/day [m³/h]
	if !s.Ice[month] {
		transfer = float64(s.Surface) / 24 * math.Pow(transferBy, c-20)
	}
	warmth, today := math.Pow(s.Rates.Factor, (c-20)/10), s.Lives.In(units.CubicMetrePerHour)
	ponds := make([]pond, 0, len(d.fish))
	for i, fish := range d.fish {
		spell := min(d.spell[i], mostWaterC-c)
		warm := warmth * d.warm[i] // by how much more is used than at 20 °C
		// What breathes in the water by night makes by day what it took: it swings the
		// oxygen and leaves its mean.
		p := pond{cs: pumps.Between(sated, spell/WarmSpell*float64(len(sated)-1)), swing: warm * d.swing[i],
			day: warm*fish + min(1, warm)*d.bed[i], air: transfer * d.surface[i], // fish eat less in the cold
			fall: 1 - 1/deficitRatio(d.weir[i], c+spell)}
		if p.night = p.day + warm*d.water[i]; today <= 0 || p.dawn(today) >= alive {
			ponds = append(ponds, p)
		}
	}
	return ponds, nil
}

// pond is one in a month by one draw, whatever flow falls back into it.
type pond struct {
	cs         float64 // oxygen of saturation [mg/L]
	day, night float64 // what breathes takes [g/h]
	swing      float64 // from dawn to dusk [mg/L]
	air        float64 // water brought to saturation [m³/h]
	fall       float64 // the share of what falls back that is, too
}

// dawn returns the oxygen of p when the night ends, below 0 where it does not last [mg/L].
func (p *pond) dawn(flow float64) float64 {
	return p.cs - p.day/(p.air+flow*p.fall) - p.swing/2
}
