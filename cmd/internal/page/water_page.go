package page

import (
	"fmt"

	"sunrill/cmd/internal/document"
	"sunrill/data"
	"sunrill/data/units"
	"sunrill/energy"
	"sunrill/pumps"
	"sunrill/pumps/works"
)

// waterPage is a page about the water of a plan in the making.
type waterPage struct {
	In    *Input
	water *works.WaterResult
	pond  waterPond
	pumps []waterPump
	hoses []hoseStep
	swaps []swap
	money document.Unit
}

// NewWaterPage returns the page of a plan's water.
func NewWaterPage(in *Input, w *works.WaterResult, costs []energy.PumpCost, swaps []energy.Swap) *waterPage {
	p := &waterPage{In: in, water: w, pond: newWaterPond(w), money: document.Money(in.Plan.Mains.Currency)}
	for i, pump := range w.Pumps {
		p.pumps = append(p.pumps, newWaterPump(pump, costs[i]))
		clean, dirty := w.DryBranches(i)
		if s := p.pumps[i].Clean; s != nil {
			s.DryBranches = clean
		}
		if s := p.pumps[i].Dirty; s != nil {
			s.DryBranches = dirty
		}
	}
	p.swaps = p.newSwaps(swaps)
	p.hoses = p.newHoses()
	return p
}

// chosen returns the name of the pump to use, nil for none.
func (p *waterPage) chosen() *string {
	if i := p.water.Choice.Index; i >= 0 {
		return &p.pumps[i].Name
	}
	return nil
}

// why returns the reason of the choice, or of its lack, and what speaks against
// it all the same.
func (p *waterPage) why() string {
	why, i := p.because(), p.water.Choice.Index
	if i < 0 {
		return why
	}
	if p.pumps[i].Return != nil && p.pumps[i].Return.Spills {
		why += "; but with it the filter tank SPILLS"
	}
	switch dry := p.dryWhenDirty(i); len(dry) {
	case 0:
	case 1:
		why += "; but with it " + dry[0] + " GETS NO WATER"
	default:
		why += "; but with it " + listed(dry) + " GET NO WATER"
	}
	if p.water.Pumps[i].Clean.Run.NoStart {
		why += "; but after a stop it DOES NOT START by itself: the line is too high for it when empty"
	} else if p.water.Pumps[i].Clean.Run.StartInDoubt {
		why += "; but after a stop it MAY NOT START by itself: at the low end of its tolerance it does not lift to the crest"
	}
	if u := p.water.Pumps[i].Unfilled; u.Known {
		but := "but"
		if p.water.Pumps[i].Clean.Run.StartInDoubt {
			but = "and"
		}
		why += "; " + but + " it counts on a full siphon: if air stays in the falling pipe it MISSES THE GOAL"
		if t := u.Value.Turnover; t.Known {
			why += units.Sprintf(", with one turnover in %.3g h", t.Value.In(units.Hour))
		}
	}
	return why
}

func (p *waterPage) because() string {
	c := p.water.Choice
	switch {
	case c.Given && p.water.Pumps[c.Index].Dirty.Misses():
		return "the plan names it, but it misses the goal just before cleaning"
	case c.Given:
		return "the plan names it"
	case c.Index < 0 && c.NoneMeets && c.Faster.Known:
		f := c.Faster.Value
		as, speed := "in the hours and at the speeds of the plan", units.Sprintf("at %.0f %% speed", 100*f.Speed)
		if len(p.In.Plan.Run.Bands) == 0 {
			as = units.Sprintf("at the plan's %.0f %% speed", 100*p.water.Works.Speed)
		} else {
			speed += " day and night"
		}
		return fmt.Sprintf("no pump meets the goal just before cleaning %s; %s does %s: run it %s", as, p.pumps[f.Pump].Name, speed, p.more(f))
	case c.Index < 0 && c.NoneMeets:
		return "no pump meets the goal just before cleaning"
	case c.Index < 0:
		return c.Why + ", so nothing decides between the pumps"
	}
	if p.pumps[c.Index].Power == nil {
		return "it moves the least water of those that meet the goal just before cleaning; what it draws is not known"
	}
	why := "it needs the least power of those that meet the goal just before cleaning"
	if c.DryPassedOver {
		why += " and bring water to every branch"
	}
	if c.PassedOver {
		why += " and start by themselves after a stop"
	}
	return why
}

// more says what a plan lacks that meets the goal at f, day and night.
func (p *waterPage) more(f works.Faster) string {
	top, off := 0.0, false
	for _, h := range p.water.Schedule.Hours() {
		if h.Hours > 0 {
			top, off = max(top, h.Speed), off || h.Speed == 0
		}
	}
	switch {
	case !off:
		return "faster"
	case top < f.Speed:
		return "faster and longer"
	}
	return "longer"
}

// doubtLines are the slips in the plan that turn the whole answer: they come
// first.
func doubtLines(works *works.Waterworks) shortAnswer {
	var lines shortAnswer
	for _, d := range works.Doubts {
		lines.say("Check", document.Sentence("%v: %v", d.Key, d.Message))
	}
	return lines
}

// warnings returns the doubts about the plan and, of the runs, those about the
// pump that the page is about.
func (p *waterPage) warnings() []data.Warning {
	all := append(append([]data.Warning{}, p.In.Warnings...), p.water.Warnings...)
	if i := p.water.Choice.Nearest; i >= 0 {
		clean := p.water.Pumps[i].Clean.Run
		for _, w := range clean.Warnings {
			if w.Key != "filter" { // the page has a part about the bed
				all = append(all, w)
			}
		}
		if clean.Status == pumps.BeyondCurve {
			all = append(all, data.Warning{Key: p.pumps[i].Name, Message: clean.Why})
		}
	}
	return all
}
