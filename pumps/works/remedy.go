package works

import (
	"cmp"
	"slices"

	"sunrill/data/figure"
	"sunrill/pumps"
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
func (w *WaterResult) remedies(place Surroundings) error {
	if w.Choice.Index < 0 || !w.Pond.Value.Goal.Known || slices.ContainsFunc(w.Pumps,
		func(p WaterPump) bool { return p.Surely.Value.Chance >= ChanceYes }) {
		return nil
	}
	add := func(r Remedy, p *WaterPump, chance figure.Maybe[float64]) {
		r.Pump, r.Chance, r.Yearly = p.Name, chance.Value, place.yearly(p)
		spills := w.spill.Known && p.Clean.Flow > w.spill.Value
		if r.Chance >= ChanceYes && p.Unsound() == "" && !spills {
			w.Remedies = append(w.Remedies, r)
		}
	}
	for _, h := range w.Hoses {
		if h.Hose != "" && !slices.ContainsFunc(w.Remedies, func(r Remedy) bool { return r.Pump == h.Name }) { // the narrowest that does
			add(Remedy{Hose: h.Hose}, &h.Laid.Water.Pumps[h.Pump], h.Chance)
		}
	}
	try := func(r Remedy, i int, change func(alt *WaterResult, p *WaterPump) error) error {
		alt, works := *w, *w.Works
		alt.Works = &works
		p := w.Pumps[i]
		if err := change(&alt, &p); err != nil {
			return err
		}
		if err := alt.Run(&p); err != nil {
			return err
		}
		add(r, &p, alt.chanceOf(&p, alt.luck()))
		return nil
	}
	for i := range w.Pumps {
		if w.Works.DirtLoss > soonerLoss {
			err := try(Remedy{Clean: soonerLoss}, i, func(alt *WaterResult, _ *WaterPump) error {
				f, err := alt.Works.DirtOf(soonerLoss)
				alt.Works.Dirt, alt.Works.DirtLoss = f.Dirt, soonerLoss
				return err
			})
			if err != nil {
				return err
			}
		}
		number := 2 * w.Pumps[i].Number()
		err := try(Remedy{Number: number}, i, func(_ *WaterResult, p *WaterPump) (err error) {
			spec := p.Pump.Spec()
			spec.Count, spec.OwnLines = number, true
			p.Pump, err = pumps.NewPump(spec)
			p.Spec.Count = number // that are bought
			return err
		})
		if err != nil {
			return err
		}
	}
	slices.SortStableFunc(w.Remedies, func(a, b Remedy) int {
		if a.Yearly.Known != b.Yearly.Known {
			return map[bool]int{true: -1, false: 1}[a.Yearly.Known]
		}
		return cmp.Compare(a.Yearly.Value, b.Yearly.Value)
	})
	return nil
}
