package page

import (
	"slices"

	"sunrill/cmd/internal/document"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/pumps"
)

// stopWater is what stops do, as JSON shows it.
type stopWater struct {
	Pump           string      `json:"pump"`
	DrainBack      float64     `json:"drain_back_l"`
	Rise           *float64    `json:"drain_back_rise_mm"`
	RiseWhy        string      `json:"drain_back_rise_mm_why,omitempty"`
	ToBare         *float64    `json:"hours_to_bare_intake_h"`
	Quickest       *float64    `json:"least_hours_to_bare_intake_h"`
	FreeFlow       *float64    `json:"free_flow_m3_per_h"`
	Left           *float64    `json:"water_left_m3"`
	LeftShare      *float64    `json:"water_left_fraction"`
	UnseenWhy      string      `json:"hours_to_bare_intake_h_why,omitempty"`
	QuickestWhy    string      `json:"least_hours_to_bare_intake_h_why,omitempty"`
	FreeFlowWhy    string      `json:"free_flow_m3_per_h_why,omitempty"`
	LeftWhy        string      `json:"water_left_m3_why,omitempty"`
	LeftShareWhy   string      `json:"water_left_fraction_why,omitempty"`
	Evaporation    []stopMonth `json:"evaporation"`
	EvaporationWhy string      `json:"evaporation_why,omitempty"`
}

type stopMonth struct {
	Month  int      `json:"month"`
	PerDay float64  `json:"loss_l_per_day"`
	Fall   float64  `json:"fall_in_month_mm"`
	ToBare *float64 `json:"days_to_bare_intake_days"`
	Why    string   `json:"days_to_bare_intake_days_why,omitempty"`
}

func (p *waterPage) stop() stopWater {
	r := p.water.Rest
	s := stopWater{Pump: r.Pump, DrainBack: r.DrainBack.Volume.In(units.Litre), UnseenWhy: r.Unseen.Why, QuickestWhy: r.Quickest.Why, LeftWhy: r.Unseen.Why, LeftShareWhy: r.Unseen.Why, EvaporationWhy: r.Evaporation.Why, Evaporation: []stopMonth{}}
	if r.DrainBack.Rise > 0 {
		s.Rise = number(r.DrainBack.Rise.In(units.Millimetre))
	} else {
		s.RiseWhy = p.noRise()
	}
	if u := r.Unseen; u.Known {
		s.ToBare, s.Left, s.LeftShare = number(u.Value.ToBare.In(units.Hour)), number(u.Value.Left), number(u.Value.LeftShare)
	}
	if u := r.Quickest; u.Known {
		s.Quickest, s.FreeFlow = number(u.Value.ToBare.In(units.Hour)), number(r.FreeFlow.In(units.CubicMetrePerHour))
	} else {
		s.FreeFlowWhy = u.Why
	}
	if r.Evaporation.Known {
		for m, e := range r.Evaporation.Value {
			s.Evaporation = append(s.Evaporation, newStopMonth(m, e))
		}
	}
	return s
}

// noRise returns why the pond is not known to rise when the line runs back.
func (p *waterPage) noRise() string {
	if p.pond.Surface == nil {
		return p.pond.SurfaceWhy
	}
	return "nothing runs back"
}

// newStopMonth returns what the air takes in month m, 0 to 11.
func newStopMonth(m int, e pumps.Evaporation) stopMonth {
	out := stopMonth{Month: m + 1, PerDay: e.PerDay.In(units.Litre), Fall: e.Fall.In(units.Millimetre), ToBare: positive(e.ToBare.In(units.Day))}
	if out.ToBare == nil {
		out.Why = "nothing evaporates, or the intake stands at the surface"
	}
	return out
}

// stopSection says what happens when the pump, the return or the rain stops.
func (p *waterPage) stopSection() document.Section {
	s := p.stop()
	back := document.Sentence("When the pump stops, up to %v run back out of the line", document.Litres.Of(s.DrainBack))
	if n := p.water.Rest.Lines; n > 1 {
		back = document.Sentence("When the pumps stop, up to %v run back out of the %v lines", document.Litres.Of(s.DrainBack), n)
	}
	if s.Rise != nil {
		back = document.Sentence("%v and raise the pond by %v", back, round(document.Bore, *s.Rise))
	}
	prose := []document.Prose{document.Sentence("%v. If the outlet ends under water in the bed, the bed runs back too, unless a siphon break near the top or a check valve holds it.", back)}
	off, far, alone := document.Sentence("a hose comes off"), document.Sentence("the hose comes off at its far end"), document.Prose{}
	if n := p.water.Rest.Lines; n > 1 {
		all, times := allHoses(n)
		off, far = document.Sentence("%v come off", all), document.Sentence("all come off at their far ends")
		alone = document.Sentence("One hose alone takes %v as long.", times)
	}
	switch {
	case s.ToBare != nil && *s.LeftShare < pumps.NoneLeft:
		prose = append(prose, document.Sentence("If %v unseen at the pond's edge, %v pumps the pond empty in %v or less%v; if the return blocks or %v, in %v. First advice: a float switch that stops the pump when the level falls.",
			off, s.Pump, spell(*s.Quickest), map[bool]string{true: ", as it is taken to stand on the floor", false: ""}[p.water.Pond.Value.OnFloor], far, spell(*s.ToBare)))
		prose = append(prose, alone, p.freeFlowNote(s), document.Sentence("Raise the intake above the floor: what lies below it cannot be pumped away, and the fish keep it."))
	case s.ToBare != nil:
		prose = append(prose, document.Sentence("If %v unseen at the pond's edge, %v bares its intake in %v or less; if the return blocks or %v, in %v. Either leaves %v, %v of the pond. First advice: a float switch that stops the pump when the level falls.",
			off, s.Pump, spell(*s.Quickest), far, spell(*s.ToBare), document.Volume.Of(*s.Left), round(document.Fraction, *s.LeftShare)))
		prose = append(prose, alone, p.freeFlowNote(s), document.Sentence("That is why the intake stands above the floor: what lies below it cannot be pumped away, and the fish keep it."))
	default:
		prose = append(prose, document.Sentence("How long until a lost return bares the intake is not known: %v.", document.Told(s.UnseenWhy)))
	}
	prose = slices.DeleteFunc(prose, document.Prose.IsZero)
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

// freeFlowNote says what the shorter of the two times rests on.
func (p *waterPage) freeFlowNote(s stopWater) document.Prose {
	if p.water.Rest.Lines > 1 {
		return document.Sentence("With no lift and hardly any hose before them the pumps give the end of their curves, %v together, or more than the curves show.", document.Flow.Of(*s.FreeFlow))
	}
	return document.Sentence("With no lift and hardly any hose before it the pump gives the end of its curve, %v, or more than the curve shows.", document.Flow.Of(*s.FreeFlow))
}

const evaporationHeading = "What the air takes"

// evaporationSection shows by month what the air takes from the pond.
func (p *waterPage) evaporationSection() document.Section {
	s := p.stop()
	section := document.Section{Heading: evaporationHeading}
	if len(s.Evaporation) == 0 {
		section.Prose = append(section.Prose, document.Sentence("Not known: %v.", s.EvaporationWhy))
		return section
	}
	t := document.Table{Key: "evaporation", Columns: []document.Column{
		{Key: "month", Heading: "month", Unit: document.Word},
		{Key: "loss_l_per_day", Heading: "loss a day", Unit: document.Litres},
		{Key: "fall_in_month_mm", Heading: "fall in the month", Unit: document.Bore},
		{Key: "days_to_bare_intake_days", Heading: "to bare the intake", Unit: document.Days},
	}}
	for _, e := range s.Evaporation {
		t.Rows = append(t.Rows, []document.Cell{document.Text(plan.MonthNames[e.Month-1]), document.Number(e.PerDay), document.Number(e.Fall), document.NumberOr(e.ToBare, "nothing evaporates")})
	}
	section.Tables = append(section.Tables, t)
	section.Notes = append(section.Notes, document.Sentence("If neither rain nor tap tops the pond up; days are from full, at that month's rate."))
	return section
}
