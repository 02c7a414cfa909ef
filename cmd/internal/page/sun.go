package page

import (
	"cmp"
	"math"
	"time"

	"sunrill/cmd/internal/document"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/solar"
	"sunrill/solar/sky"
)

// sunView is everything that a page about sun shows.
type sunView struct {
	sky    *sky.Sky
	months sky.SunMonths // as the source has them
	sizing sky.SunMonths // as panels are sized
	best   solar.Optimum
	losses []solar.Loss
	gain   float64 // of the worst month's yield on the best plane, as a share
	dark   []int   // months, 0 to 11, without sun
}

// NewSunView works out what a page about sun shows.
func NewSunView(sky *sky.Sky) *sunView {
	v := &sunView{sky: sky, sizing: sky.Months(sky.Weather)}
	v.months = v.sizing
	if sky.Climate.LowWinter {
		v.months = sky.Months(sky.AsSource())
	}
	v.best = sky.Best(nil, nil)
	v.dark = v.best.DarkMonths
	if !v.liesBest() {
		// The best plane was found by mean hours: what it gains is read from the
		// hours of the table.
		months := sky.MonthsOn(v.best.Plane, sky.Weather)
		v.gain = months.Yield[months.WorstLit(v.dark)]/max(v.sizing.Yield[v.worst()], 1e-9) - 1
	}
	v.losses = sky.Losses(sky.Weather)
	return v
}

// liesBest reports whether the panel lies on the best plane.
func (v *sunView) liesBest() bool {
	best := v.best.Plane
	return v.sky.Plane.Tilt == best.Tilt && v.sky.Plane.Azimuth == best.Azimuth
}

// worst returns the month, 0 to 11, in which each watt gives least, dark months
// left out unless there are no others.
func (v *sunView) worst() int { return v.sizing.WorstLit(v.dark) }

// sunObject is what sun prints as JSON.
type sunObject struct {
	Demo     bool                     `json:"demo"`
	Site     siteObject               `json:"site"`
	Panel    planeBest                `json:"panel"`
	Months   []SunMonth               `json:"months"`
	Sizing   figure.Maybe[[]SunMonth] `json:"sizing_months"`
	Year     SunYear                  `json:"year"`
	SizingOf figure.Maybe[SunYear]    `json:"sizing_year"`
	Worst    SunMonth                 `json:"worst_month"`
	Dark     []int                    `json:"months_without_sun"`
	Quality  string                   `json:"quality"` // in words
	Losses   []solar.Loss             `json:"losses"`
}

// siteObject says where the sun was worked out and from what hours.
type siteObject struct {
	Place string `json:"place"`
	solar.Site
	Source string  `json:"source"`
	Years  float64 `json:"years"` // of the record
}

func newSite(sky *sky.Sky) siteObject {
	return siteObject{sky.Climate.Place, sky.Geometry.Site, sky.Climate.Source, recordYears(sky.Weather.Hours())}
}

// planeBest is the plane of the panel and the best ones of the site.
type planeBest struct {
	solar.Plane
	Best     solar.Plane `json:"best_,inline"`
	YearTilt units.Angle `json:"best_tilt_for_the_year_deg"`
}

// sunDay is what a site and a panel give in a mean day.
type sunDay struct {
	GHI   float64 `json:"ghi_kwh_per_m2_day"`
	POA   float64 `json:"poa_kwh_per_m2_day"`
	TempC float64 `json:"temp_c"`
	Yield float64 `json:"yield_wh_per_w_day"`
}

// SunMonth is one month of sun.
type SunMonth struct {
	Month int `json:"month"`
	sunDay
}

// SunYear is the year of sun.
type SunYear struct {
	sunDay
	GHISum   float64 `json:"ghi_kwh_per_m2_year"`
	POASum   float64 `json:"poa_kwh_per_m2_year"`
	YieldSum float64 `json:"yield_wh_per_w_year"`
}

func sunMonths(m sky.SunMonths) []SunMonth {
	list := make([]SunMonth, 12)
	for i := range list {
		list[i] = SunMonth{i + 1, sunDay{m.GHI[i], m.POA[i], m.TempC[i], m.Yield[i]}}
	}
	return list
}

func newSunYear(m sky.SunMonths) SunYear {
	var d sunDay
	d.GHI, d.POA, d.TempC, d.Yield = m.Year()
	const days = solar.DaysPerYear
	return SunYear{d, d.GHI * days, d.POA * days, d.Yield * days}
}

func (v *sunView) object(in *Input) sunObject {
	const why = "months are used as the source has them"
	low, sizing := v.sky.Climate.LowWinter, sunMonths(v.sizing)
	return sunObject{Demo: in.Demo, Site: newSite(v.sky), Months: sunMonths(v.months), Year: newSunYear(v.months),
		Sizing: figure.Given(low, sizing, why), SizingOf: figure.Given(low, newSunYear(v.sizing), why),
		Worst: sizing[v.worst()], Quality: v.sky.Climate.Quality(), Dark: calendar(v.dark), Losses: v.losses,
		Panel: planeBest{v.sky.Plane, v.best.Plane, v.best.YearOptimum.Tilt}}
}

// Document returns the page.
func (v *sunView) Document(in *Input) *document.Document {
	doc := in.document(v.title(in), v.object(in))
	doc.Answer = v.answer()
	doc.Sections = []document.Section{v.monthSection(), v.lossSection()}
	doc.Warnings = doubts(in.Warnings, v.sky.Warnings)
	doc.Assumed, doc.Sources = assumed(v.sky.Assumed), v.sky.Sources
	doc.Work = func() []document.Step { return newFigures(doc.Object, &plan.Plan{}).work() }
	return doc
}

func (v *sunView) title(in *Input) document.Prose {
	where := placeText(v.sky.Climate.Site)
	if name := cmp.Or(in.Plan.Name, v.sky.Climate.Place); name != "" {
		return document.Sentence("%v: the sun at %v", name, where)
	}
	return document.Sentence("The sun at %v", where)
}

// placeText writes a site as "52.4 N 13.1 E".
func placeText(site solar.Site) string {
	half := func(angle units.Angle, plus, minus string) string {
		d := angle.In(units.Degree)
		if d < 0 {
			plus = minus
		}
		return units.Sprintf("%.4g %s", math.Abs(d), plus)
	}
	return half(site.Latitude, "N", "S") + " " + half(site.Longitude, "E", "W")
}

// planeText says how a panel lies.
func planeText(plane solar.Plane) document.Prose {
	if plane.Tilt == 0 {
		return document.Sentence("level")
	}
	names := [...]string{"north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west"}
	n := int(math.Round(plane.Azimuth.In(units.Degree)/45)) % len(names)
	compass := names[(n+len(names))%len(names)]
	return document.Sentence("tilted %v, facing %v (%v)", document.Degrees.Exact(plane.Tilt), compass,
		document.Degrees.Exact(plane.Azimuth))
}

func (v *sunView) answer() []document.Line {
	worst, year := v.worst(), newSunYear(v.months)
	yield := document.Sentence("each watt of panel gives %v", document.WhPerWattDay.Of(v.months.Yield[worst])).
		When(v.sky.Climate.LowWinter, "; sizes count on %v", document.WhPerWattDay.Of(v.sizing.Yield[worst]))
	return []document.Line{
		{Label: "Panel", Text: v.panelLine()},
		{Label: "Worst month", Text: document.Sentence("%v: %v on the level, %v on the panel; %v.", time.Month(worst+1),
			document.KWhPerM2Day.Of(v.months.GHI[worst]), document.KWhPerM2Day.Of(v.months.POA[worst]), yield)},
		{Label: "Year", Text: document.Sentence("%v on the level, %v on the panel; each watt of panel gives %v, %v in a year.",
			document.KWhPerM2Day.Of(year.GHI), document.KWhPerM2Day.Of(year.POA), document.WhPerWattDay.Of(year.Yield),
			document.WattHours.Of(year.YieldSum))},
		{Label: "How good", Text: v.howGood()},
	}
}

func (v *sunView) panelLine() document.Prose {
	const battery = " A panel with a battery is laid for the darkest days, mostly flatter: sunrill size says how."
	best, lies := planeText(v.best.Plane), planeText(v.sky.Plane)
	switch {
	case v.best.WorstMonth < 0:
		return document.Sentence("%v; no month has sun to speak of.", lies)
	case v.liesBest():
		return document.Sentence("%v: best for the worst month. For the year as a whole %v would be best.%v", best,
			document.Degrees.Exact(v.best.YearOptimum.Tilt), battery)
	case v.gain < 0.005:
		return document.Sentence("%v, which is as good as any in the worst month.", lies)
	}
	return document.Sentence("%v. Best for the worst month: %v, which gives %v more then.%v", lies, best, document.Fraction.Rough(v.gain),
		battery)
}

// howGood says how far the figures are to be trusted.
func (v *sunView) howGood() document.Prose {
	c, years := v.sky.Climate, recordYears(v.sky.Weather.Hours())
	switch {
	case v.sky.Years == 0 && years < 2:
		return document.Sentence("the hours of %v, used as they are. %v.", c.Source, Capital(oneYear))
	case v.sky.Years == 0:
		return document.Sentence("the record of %v, %v years, used as it is.", c.Source, units.Sprintf("%.3g", years))
	case c.LowWinter:
		return document.Sentence("%v. %v. Both are shown.", Capital(c.Quality()), Capital(c.LowReason()))
	}
	return document.Sentence("%v.", Capital(c.Quality()))
}

// monthSection shows the mean day of each month, and what sizes count on where that is less.
func (v *sunView) monthSection() document.Section {
	type row struct {
		Name string `json:"month"`
		sunDay
		Sizing float64 `json:"sizing_yield_wh_per_w_day"`
	}
	low, months, sizing := v.sky.Climate.LowWinter, sunMonths(v.months), sunMonths(v.sizing)
	var rows []row
	for i, month := range months {
		rows = append(rows, row{plan.MonthNames[i], month.sunDay, sizing[i].Yield})
	}
	rows = append(rows, row{"Year", newSunYear(v.months).sunDay, newSunYear(v.sizing).Yield})
	columns := document.Columns("month: month", "ghi_kwh_per_m2_day: level", "poa_kwh_per_m2_day: on the panel", "temp_c: air",
		"yield_wh_per_w_day: each watt", "sizing_yield_wh_per_w_day: counted on")
	if !low {
		columns = columns[:5]
	}
	section := document.Section{Heading: "Month by month, the mean of a day",
		Tables: []document.Table{document.TableOf("months", rows, columns)}}
	section.Notes = append(section.Notes, document.Sentence("On the panel: before the loss by slanting light. Each watt: what reaches the "+
		"battery, after every loss."))
	if len(v.dark) > 0 {
		section.Notes = append(section.Notes, document.Sentence("No sun to speak of in %v: no panel serves those months, and the worst "+
			"month above is the worst of the others.", plan.MonthList(v.dark)))
	}
	return section
}

func (v *sunView) lossSection() document.Section {
	return document.Section{Heading: "What is lost between panel and battery",
		Tables: []document.Table{document.TableOf("losses", v.losses, document.Columns("name: loss", "fraction: share"))},
		Notes: []document.Prose{document.Sentence("Over the year, multiplied one after the other. A minus is a gain: a panel colder " +
			"than 25 °C gives more than its label.")}}
}
