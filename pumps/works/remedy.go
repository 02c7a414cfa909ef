package works

import (
	"cmp"
	"slices"

	"sunrill/data/figure"
)

// Remedy is what makes a pump of the plan meet the goal for sure, where none does as the
// plan stands.
type Remedy struct {
	Pump   string                `json:"pump"`
	Hose   string                `json:"hose,omitempty"`    // a wider one in place of the plan's
	Number int                   `json:"count,omitempty"`   // so many of it, each on a line of its own
	Clean  float64               `json:"clean_at_fraction"` // cleaned when so much of the flow is lost; 0 for as planned
	Chance float64               `json:"chance"`
	Yearly figure.Maybe[float64] `json:"equivalent_cost_per_year"` // hose and work left out
}

// soonerLoss is the share of flow at which a keeper cleans who cleans soon. Common
// practice, no source.
const soonerLoss = 0.10

// remedies looks for what would do where no pump is a sure yes: a wider hose, cleaning
// sooner, two of one pump; in the order of their yearly cost, those without one last.
func (w *WaterResult) remedies(place Surroundings) {
	if w.Choice.Index < 0 || !w.Pond.Value.Goal.Known || slices.ContainsFunc(w.Pumps,
		func(p WaterPump) bool { return p.Surely.Value.Chance >= ChanceYes }) {
		return
	}
	add := func(r Remedy, p *WaterPump, chance figure.Maybe[float64]) {
		r.Pump, r.Chance, r.Yearly = p.Name, chance.Value, place.yearly(p)
		if r.Chance >= ChanceYes && w.Sound(*p) {
			w.Remedies = append(w.Remedies, r)
		}
	}
	for _, h := range w.Hoses {
		if h.Hose != "" && !slices.ContainsFunc(w.Remedies, func(r Remedy) bool { return r.Pump == h.Name }) { // the narrowest that does
			add(Remedy{Hose: h.Hose}, &h.Laid.Water.Pumps[h.Pump], h.Chance)
		}
	}
	try := func(r Remedy, p WaterPump, under *Waterworks) {
		alt := *w
		alt.Works = under
		alt.Run(&p)
		add(r, &p, alt.chanceOf(&p, alt.luck()))
	}
	for _, p := range w.Pumps {
		if w.Works.DirtLoss > soonerLoss {
			cleaner := *w.Works
			cleaner.Dirt, cleaner.DirtLoss = w.Works.DirtOf(soonerLoss), soonerLoss
			try(Remedy{Clean: soonerLoss}, p, &cleaner)
		}
		p.Spec.Count = 2 * p.Number() // that are bought
		p.Pump = p.Pump.Times(p.Spec.Count).LineEach()
		try(Remedy{Number: p.Spec.Count}, p, w.Works)
	}
	slices.SortStableFunc(w.Remedies, func(a, b Remedy) int {
		if a.Yearly.Known != b.Yearly.Known {
			return map[bool]int{true: -1, false: 1}[a.Yearly.Known]
		}
		return cmp.Compare(a.Yearly.Value, b.Yearly.Value)
	})
}
