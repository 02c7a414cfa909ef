package battery

import (
	"math"

	"sunrill/data/units"
	"sunrill/energy/supply"
	"sunrill/solar"
)

// cell is the part of a battery that the hourly loop needs, in Wh and W.
type cell struct {
	cap             float64 // usable energy
	limIn, limOut   float64 // charge and discharge limits, +Inf for none
	charge, perTake float64 // stored per energy in; energy out per taken
	keep            float64 // share of the store that an hour leaves
	warm            float64 // no charging below this [°C]
}

// cellOf returns b of a nominal size [Wh] for the loop.
func cellOf(b Battery, nominal float64) cell {
	c := cell{
		cap: nominal * b.UsableOfNominal(), limIn: math.Inf(1), limOut: math.Inf(1),
		charge: b.ChargeShare, perTake: b.DischargeShare, keep: b.keptEachHour(), warm: math.Inf(-1),
	}
	if b.ChargeLimit > 0 {
		c.limIn = b.ChargeLimit * nominal
	}
	if b.DischargeLimit > 0 {
		c.limOut = b.DischargeLimit * nominal
	}
	if b.NoChargeBelow > 0 {
		c.warm = b.NoChargeBelow.InCelsius()
	}
	return c
}

// fullAt carries a store of s [Wh] from hour lo of r towards hi, and returns the
// first hour in which it is full, and hi and what is left where there is none.
func (c cell) fullAt(r *supply.Record, scale, s float64, lo, hi int) (hour int, left float64) {
	perGive := 1 / c.perTake
	for i := lo; i < hi; i++ {
		if net := scale*r.Panel[i] - r.Load[i]; net >= 0 {
			put := c.charge * min(net, c.limIn)
			if r.BatteryC != nil && r.BatteryC[i] < c.warm {
				put = 0
			}
			if s += put; s >= c.cap {
				return i, c.cap
			}
		} else {
			s = max(0, s-min(-net, c.limOut)*perGive)
		}
		s *= c.keep
	}
	return hi, s
}

// store carries one battery through a record and keeps every account of
// Balance.
type store struct {
	cell
	kind    Battery
	nominal float64
	scale   float64 // what the record's panel is multiplied by
	cut     float64 // store at which the load is disconnected; below 0: never
	rejoin  float64

	on    bool
	s     float64 // the store [Wh]
	was   float64 // the store before it began to seek
	seeks bool
	start float64 // at the beginning of this reading
	hours int

	load, panel, unmet, spilled, stored, taken, leaked float64
	low                                                float64
	lastFull, longestGap                               int
	cutHours                                           int
	asked, missed                                      float64
	log                                                stopLog
}

func newStore(r supply.Record, scale float64, b Battery, nominal float64, o BalanceOptions) *store {
	st := &store{cell: cellOf(b, nominal), kind: b, nominal: nominal, scale: scale, cut: -1, on: true, hours: r.Hours()}
	st.s = b.left(o.StartCharge, st.cap)
	if o.Connected && st.cap > 0 && b.Reconnect > 0 {
		st.cut, st.rejoin = b.left(b.CutOff, st.cap), b.left(b.Reconnect, st.cap)
		st.on = st.s > st.cut+unmetLeast
	}
	st.log.years = make([]YearStops, (st.hours+solar.HoursPerYear-1)/solar.HoursPerYear)
	return st
}

func (st *store) begin(counted bool) {
	if !counted {
		return
	}
	st.start, st.low = st.s, st.s
	st.load, st.panel, st.unmet, st.spilled, st.stored, st.taken, st.leaked = 0, 0, 0, 0, 0, 0, 0
	st.cutHours, st.asked, st.missed, st.longestGap = 0, 0, 0, 0
	st.lastFull -= st.log.seen
	clear(st.log.years)
	st.log = stopLog{years: st.log.years, last: -2, lastNight: -2}
}

func (st *store) end() {
	if gap := st.hours - 1 - st.lastFull; gap > st.longestGap && st.cap > 0 {
		st.longestGap = gap
	}
}

func (st *store) seek() bool {
	st.was, st.s, st.seeks = st.s, 0, true
	return true
}

func (st *store) settled() bool {
	if st.seeks {
		st.s, st.seeks = st.was, false
		return false
	}
	return true
}

// advance reads hours lo to hi. A store that seeks is followed without cut-off,
// which takes most from it: where even that is full, it is, and connected.
func (st *store) advance(r *supply.Record, lo, hi int) {
	if st.seeks {
		hour, left := st.fullAt(r, st.scale, st.s, lo, hi)
		if st.s = left; hour == hi {
			return
		}
		st.s *= st.keep
		st.on, st.seeks, st.lastFull, lo = st.s > st.cut+unmetLeast, false, hour, hour+1
	}
	if st.cut >= 0 {
		st.connected(r, lo, hi)
	} else {
		st.plain(r, lo, hi)
	}
	if r.Water != nil {
		for _, w := range r.Water[lo:hi] {
			st.asked += w
		}
	}
	st.log.seen = hi
}

// plain is the hourly loop without cut-off: see BalanceOf for its order.
func (st *store) plain(r *supply.Record, lo, hi int) {
	c := st.cell
	perGive := 1 / c.perTake
	perStored := 1 / c.charge
	scale, s, low := st.scale, st.s, st.low
	load, panel, unmet, spilled := st.load, st.panel, st.unmet, st.spilled
	stored, taken, leaked := st.stored, st.taken, st.leaked
	asked := r.Load[lo:hi]
	cold := c.warm > math.Inf(-1) && r.BatteryC != nil
	for i, made := range r.Panel[lo:hi:hi][:len(asked)] {
		p, l := scale*made, asked[i]
		panel += p
		load += l
		if net := p - l; net >= 0 {
			in := min(net, c.limIn)
			if cold && r.BatteryC[lo+i] < c.warm {
				in = 0
			}
			if put, room := c.charge*in, c.cap-s; put < room {
				s += put
				stored += put
				spilled += net - in
			} else {
				s = c.cap
				stored += room
				spilled += net - room*perStored
				if gap := lo + i - st.lastFull; gap > st.longestGap {
					st.longestGap = gap
				}
				st.lastFull = lo + i
			}
		} else {
			give := min(-net, c.limOut)
			take := give * perGive
			if take > s {
				take, give = s, s*c.perTake
				s = 0
			} else {
				s -= take
			}
			taken += take
			if short := -net - give; short > 0 {
				unmet += short
				if short > unmetLeast {
					st.stop(r, lo+i, short, l)
				}
			}
		}
		left := s * c.keep
		leaked += s - left
		s = left
		if s < low {
			low = s
		}
	}
	st.s, st.low = s, low
	st.load, st.panel, st.unmet, st.spilled = load, panel, unmet, spilled
	st.stored, st.taken, st.leaked = stored, taken, leaked
}

// stop notes an hour with less than was asked for.
func (st *store) stop(r *supply.Record, i int, short, asked float64) {
	st.log.add(r.Start, i, short)
	if r.Water != nil {
		st.missed += r.Water[i] * short / asked
	}
}

// drawn returns what a store of s gives to a shortfall and what that takes from
// it, down to its cut-off, with what is left.
func (c cell) drawn(short, s, cut float64) (take, give, left float64) {
	give = min(short, c.limOut)
	take = give / c.perTake
	have := max(0, s-cut)
	if take < have {
		return take, give, s - take
	}
	return have, min(give, have*c.perTake), min(s, cut)
}

// connected is the hourly loop with cut-off and reconnect. It is not one with
// plain, whose loop is the shorter for it: fronts run plain, choices this.
func (st *store) connected(r *supply.Record, lo, hi int) {
	c := st.cell
	scale, s, low, on := st.scale, st.s, st.low, st.on
	cut, rejoin := st.cut, st.rejoin-unmetLeast
	load, panel, unmet, spilled := st.load, st.panel, st.unmet, st.spilled
	stored, taken, leaked := st.stored, st.taken, st.leaked
	asked := r.Load[lo:hi]
	cold := c.warm > math.Inf(-1) && r.BatteryC != nil
	for i, made := range r.Panel[lo:hi:hi][:len(asked)] {
		p, l := scale*made, asked[i]
		panel += p
		load += l
		net := p - l
		if !on {
			net = p
			if l > unmetLeast {
				unmet += l
				st.cutHours++
				st.stop(r, lo+i, l, l)
			}
		}
		if net >= 0 {
			in := min(net, c.limIn)
			if cold && r.BatteryC[lo+i] < c.warm {
				in = 0
			}
			put, room := c.charge*in, c.cap-s
			if put < room {
				s += put
				stored += put
				spilled += net - in
			} else {
				s = c.cap
				stored += room
				spilled += net - room/c.charge
				st.longestGap, st.lastFull = max(st.longestGap, lo+i-st.lastFull), lo+i
			}
		} else {
			var take, give float64
			take, give, s = c.drawn(-net, s, cut)
			taken += take
			if short := -net - give; short > 0 {
				unmet += short
				if short > unmetLeast {
					st.stop(r, lo+i, short, l)
				}
			}
		}
		on = on || s >= rejoin // before it leaks: full is 100 %
		left := s * c.keep
		leaked += s - left
		s = left
		low = min(low, s)
		on = on && s > cut+unmetLeast
	}
	st.s, st.low, st.on = s, low, on
	st.load, st.panel, st.unmet, st.spilled = load, panel, unmet, spilled
	st.stored, st.taken, st.leaked = stored, taken, leaked
}

// balance returns the accounts of the counted reading.
func (st *store) balance() Balance {
	b := Balance{
		Hours: st.hours, LoadWh: st.load, PanelWh: st.panel, UnmetWh: st.unmet, SpilledWh: st.spilled,
		ChargeLossWh: st.stored * (1/st.charge - 1), DischargeLossWh: st.taken * (1 - st.perTake),
		SelfDischargeWh: st.leaked, StartWh: st.start, EndWh: st.s, TakenWh: st.taken, UsableWh: st.cap,
		LowestCharge: st.kind.charge(st.low, st.cap), CutOffHours: st.cutHours, Stops: st.log.Stops,
		LongestSinceFullHours: st.longestGap, WaterAsked: st.asked, WaterMissed: st.missed,
		Years: len(st.log.years),
	}
	for i, y := range st.log.years {
		if y.Hours > 0 {
			b.YearsWithStop++
		}
		if y.UnmetWh > b.WorstYear.UnmetWh {
			b.WorstYear = y
			b.WorstYear.Year = i + 1
		}
	}
	return b
}

// WattHours returns an energy of x Wh.
func WattHours(x float64) units.Energy { return units.Energy(x) * units.WattHour }
