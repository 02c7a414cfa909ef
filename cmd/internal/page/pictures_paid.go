package page

import (
	"slices"

	"sunrill/cmd/internal/document"
	"sunrill/data"
	"sunrill/energy"
	"sunrill/energy/money"
)

// paidPicture shows what keeping the pump of today costs over the years against the
// swap that keep weighs.
func (p *PlanPage) paidPicture() (document.Picture, bool) {
	k := p.keep.Value
	owned, terms := p.Result.Owned()
	if !p.keep.Known || !k.SwapTo.Known || !k.Saving.Known {
		return document.Picture{}, false
	}
	pic := document.Picture{Key: "paid", Chart: document.Chart{
		X: document.Axis{Key: "time_years", Label: "years from now", Unit: document.None, To: float64(terms.Years)},
		Y: document.Axis{Key: "price", Label: "paid, in today's money", Unit: p.money}}}
	add := func(name, what string, ink document.Ink, dash document.Dash) money.Money {
		s := document.Series{Name: what + " " + called(name), As: document.AsLine, Ink: ink, Dash: dash}
		i := slices.IndexFunc(owned, func(o energy.PumpOwned) bool { return o.Name == name })
		var last money.Money
		for _, at := range terms.Paid(owned[i]) {
			s.X, s.Y, last = append(s.X, at.Years), append(s.Y, float64(at.Sum)), at.Sum
		}
		pic.Chart.Series = append(pic.Chart.Series, s)
		return last
	}
	old := add(k.Present, "keep", document.InkBlack, document.Dashed)
	fresh := add(k.SwapTo.Value, "buy", document.InkWater, document.Solid)
	pic.Title = document.Sentence("In %v %v costs %v in all, %v %v", data.Plural(terms.Years, "year"), k.Present, p.money.Of(old),
		k.SwapTo.Value, p.money.Of(fresh))
	if i := p.water.Choice.Index; i >= 0 && p.water.Pumps[i].Name == k.SwapTo.Value && k.Payback.Known {
		pic.Title = document.Sentence("%v is paid back in %v and lasts %v", k.SwapTo.Value, document.Years.Rough(k.Payback),
			document.Years.Rough(k.Life))
	}
	pic.Alt = document.Sentence("Two rising lines: after %v keeping %v has cost %v, buying %v %v.",
		data.Plural(terms.Years, "year"), k.Present,
		p.money.Of(old), k.SwapTo.Value, p.money.Of(fresh))
	return pic, true
}
