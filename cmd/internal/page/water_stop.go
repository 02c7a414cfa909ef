package page

import (
	"sunrill/cmd/internal/document"
	"sunrill/pumps"
)

// stopSection says what happens when the pump or the return stops; how soon the intake is
// bare is told in the first lines.
func (p *waterPage) stopSection() document.Section {
	r, u := p.water.Rest, p.water.Rest.Unseen.Value
	back := document.Sentence("When the pump stops, up to %v run back out of the line", document.Litres.Of(r.DrainBack))
	if r.Lines > 1 {
		back = document.Sentence("When the pumps stop, up to %v run back out of the %v lines", document.Litres.Of(r.DrainBack), r.Lines)
	}
	back = back.When(r.Rise.Known, " and raise the pond by %v", document.Bore.Rough(r.Rise))
	prose := []document.Prose{document.Sentence("%v. If the outlet ends under water in the bed, the bed runs back too, unless a siphon "+
		"break near the top or a check valve holds it.", back)}
	if !r.Unseen.Known {
		prose = append(prose, document.Sentence("How long until a lost return bares the intake is not known: %v.", document.Told(r.Unseen.Why)))
		return document.Section{Heading: "When something stops", Prose: prose}
	}
	prose = append(prose, document.Sentence("If the return blocks or a hose comes off unseen, the pond loses all that %v gives: %v, or with "+
		"the hose off at the pond's edge, where neither lift nor hose holds it back, the end of its curve, %v or more. First advice: a float "+
		"switch that stops the pump when the level falls.",
		r.Pump, document.Flow.Of(p.water.Pumps[p.water.Choice.Nearest].Clean.Flow), document.Flow.Of(r.Quickest.Value.FreeFlow)))
	switch {
	case u.LeftShare >= pumps.NoneLeft:
		prose = append(prose, document.Sentence("Either leaves %v, %v of the pond: what lies below the intake cannot be pumped away, and the "+
			"fish keep it.", document.Volume.Of(u.Left), document.Fraction.Rough(u.LeftShare)))
	case p.water.Pond.Value.OnFloor:
		prose = append(prose, document.Sentence("The intake is taken to stand on the floor. Raise it: what lies below it cannot be pumped "+
			"away, and the fish keep it."))
	default:
		prose = append(prose, document.Sentence("Raise the intake above the floor: what lies below it cannot be pumped away, and the fish keep "+
			"it."))
	}
	return document.Section{Heading: "When something stops", Prose: prose}
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
