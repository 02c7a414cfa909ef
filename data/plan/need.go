package plan

import (
	"sunrill/data"
)

// Need is what a plan must hold to be answered; needs are added with |.
type Need int

// The needs. NeedPond includes NeedDuty.
const (
	NeedDuty  Need = 1 << iota // where a pump meets its line
	needPond                   // how often the pond turns over
	NeedSite                   // sun and temperature
	NeedLoad                   // watts at a battery
	NeedPanel                  // one panel
	NeedStore                  // one battery
	NeedPond  = NeedDuty | needPond
)

// Missing returns an error for each thing that need asks for and p does not
// say, each with what to give; nil where p says enough.
func (p *Plan) Missing(need Need) []*data.Error {
	var faults []*data.Error
	lack := func(lacks bool, key, message, hint string) {
		if lacks {
			faults = append(faults, &data.Error{File: p.File, Key: key, Message: message, Hint: hint})
		}
	}
	if need&NeedDuty != 0 {
		lack(len(p.Pumps) == 0, "pump", "no pump is given", "give --curve with the pump's curve as CSV, or a [[pump]] in a plan")
		lack(p.Lift.StaticHead == nil, "lift.static_head", "the lift is not given",
			"give --static-head, the height from the pond's surface to the highest free water level or open outlet")
		lack(len(p.Feeds) == 0 && len(p.Branches) == 0, "feed", "no pipe is given",
			"give --pipe-bore (or --pipe) and --pipe-length, or a [[feed]] in a plan")
	}
	if need&needPond != 0 {
		q := p.Pond
		lack(q.Volume == nil && q.Shape == "" && q.FillFlow == nil, "pond.volume", "the pond's volume is not given",
			"give --volume, or shape with its dimensions, or fill_flow and fill_time")
		lack(q.Stocking == "" && q.TurnoverGoal == nil, "pond.stocking", "the stocking is not given, which sets the goal",
			"give --stocking none, light, medium or heavy")
	}
	if need&NeedSite != 0 {
		s := p.Site
		lack(s.Place == "" && s.Weather == "" && (s.Latitude == nil || s.Longitude == nil), "site", "the site is not given",
			"give --lat and --lon, or --place, or --weather")
	}
	if need&NeedLoad != 0 {
		lack(p.Load.Power == nil && p.Load.Series == "", "load.power", "no load is given", "give --load, such as --load 20W, or --series")
	}
	if need&NeedPanel != 0 {
		lack(p.Panel.Watts == nil && p.Load.Series == "", "panel.watts", "no panel is given", "give --panel, such as --panel 120W")
	}
	if need&NeedStore != 0 {
		lack(p.Battery.Size == nil, "battery.size", "no battery is given", "give --battery, such as --battery 600Wh; 0 is none")
	}
	return faults
}
