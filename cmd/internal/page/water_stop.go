package page

import (
	"slices"

	"sunrill/cmd/internal/document"
	"sunrill/data/units"
	"sunrill/pumps"
)

// stopSection says what happens when the pump, the return or the rain stops.
func (p *waterPage) stopSection() document.Section {
	r := p.water.Rest
	off, far, alone := document.Sentence("a hose comes off"), document.Sentence("the hose comes off at its far end"), document.Prose{}
	back := document.Sentence("When the pump stops, up to %v run back out of the line", litres(r.DrainBack))
	free := document.Sentence("With no lift and hardly any hose before it the pump gives the end of its curve, %v, or more than the curve shows.", flowQuantity(r.Quickest.Value.FreeFlow))
	if r.Lines > 1 {
		all, times := allHoses(r.Lines)
		off, far = document.Sentence("%v come off", all), document.Sentence("all come off at their far ends")
		alone = document.Sentence("One hose alone takes %v as long.", times)
		back = document.Sentence("When the pumps stop, up to %v run back out of the %v lines", litres(r.DrainBack), r.Lines)
		free = document.Sentence("With no lift and hardly any hose before them the pumps give the end of their curves, %v together, or more than the curves show.", flowQuantity(r.Quickest.Value.FreeFlow))
	}
	if r.Rise.Known {
		back = document.Sentence("%v and raise the pond by %v", back, round(document.Bore, r.Rise.Value.In(units.Millimetre)))
	}
	prose := []document.Prose{document.Sentence("%v. If the outlet ends under water in the bed, the bed runs back too, unless a siphon break near the top or a check valve holds it.", back)}
	u := r.Unseen.Value
	soon, bare := spell(r.Quickest.Value.ToBare.In(units.Hour)), spell(u.ToBare.In(units.Hour))
	switch {
	case !r.Unseen.Known:
		prose = append(prose, document.Sentence("How long until a lost return bares the intake is not known: %v.", document.Told(r.Unseen.Why)))
	case u.LeftShare < pumps.NoneLeft:
		floor := ""
		if p.water.Pond.Value.OnFloor {
			floor = ", as it is taken to stand on the floor"
		}
		prose = append(prose, document.Sentence("If %v unseen at the pond's edge, %v pumps the pond empty in %v or less%v; if the return blocks or %v, in %v. First advice: a float switch that stops the pump when the level falls.",
			off, r.Pump, soon, floor, far, bare),
			alone, free, document.Sentence("Raise the intake above the floor: what lies below it cannot be pumped away, and the fish keep it."))
	default:
		prose = append(prose, document.Sentence("If %v unseen at the pond's edge, %v bares its intake in %v or less; if the return blocks or %v, in %v. Either leaves %v, %v of the pond. First advice: a float switch that stops the pump when the level falls.",
			off, r.Pump, soon, far, bare, document.Volume.Of(float64(u.Left)), round(document.Fraction, u.LeftShare)),
			alone, free, document.Sentence("That is why the intake stands above the floor: what lies below it cannot be pumped away, and the fish keep it."))
	}
	return document.Section{Heading: "When something stops", Prose: slices.DeleteFunc(prose, document.Prose.IsZero)}
}

// allHoses names the hoses of n lines, above 1, and how much longer one of them
// takes to lose what all lose.
func allHoses(n int) (all, times document.Prose) {
	if n == 2 {
		return document.Sentence("both hoses"), document.Sentence("twice")
	}
	return document.Sentence("all %v hoses", n), document.Sentence("%v times", n)
}

// evaporationSection shows by month what the air takes from the pond.
func (p *waterPage) evaporationSection() document.Section {
	s, months := document.Section{Heading: "What the air takes"}, p.water.Rest.Evaporation
	if !months.Known {
		s.Prose = []document.Prose{document.Sentence("Not known: %v.", months.Why)}
		return s
	}
	s.Tables = []document.Table{document.TableOf("evaporation", months.Value[:], []document.Column{
		{Key: "month", Heading: "month"},
		{Key: "loss_l_per_day", Heading: "loss a day", Unit: document.Litres},
		{Key: "fall_in_month_mm", Heading: "fall in the month"},
		{Key: "days_to_bare_intake_days", Heading: "to bare the intake"},
	})}
	s.Notes = []document.Prose{document.Sentence("If neither rain nor tap tops the pond up; days are from full, at that month's rate.")}
	return s
}
