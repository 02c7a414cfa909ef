package battery

import (
	"math"

	"sunrill/data/units"
	"sunrill/energy/supply"
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

// store carries one battery through a record and keeps every account of
// Balance.
type store struct {
	cell
	kind    Battery
	nominal float64
	scale   float64 // what the record's panel is multiplied by
	cut     float64 // store at which the load is disconnected; below 0: never
	rejoin  float64 // at which it is connected again

	on    bool
	s     float64 // the store [Wh]
	start float64 // at the beginning of this reading
	hours int

	load, panel, unmet, spilled, stored, taken, leaked float64
	low                                                float64
	lastFull, longestGap                               int
	cutHours                                           int
	idle                                               float64 // what the panel made of the load while that was cut off [Wh]
	asked, missed                                      float64
	log                                                stopLog
	noted                                              *[]missedHour // where they are asked for
}

// missedHour is an hour of stop and the water missed in it [m³].
type missedHour struct {
	hour  int
	water float64
}

func newStore(r supply.Record, scale float64, b Battery, nominal float64, o BalanceOptions) *store {
	st := &store{cell: cellOf(b, nominal), kind: b, nominal: nominal, scale: scale, cut: -1, rejoin: math.Inf(-1), on: true,
		hours: r.Hours()}
	st.s = b.left(o.StartCharge, st.cap)
	if o.Connected && st.cap > 0 && b.Reconnect > 0 {
		st.cut, st.rejoin = b.left(b.CutOff, st.cap), b.left(b.Reconnect, st.cap)
		st.on = st.s > st.cut+unmetLeast
	}
	st.log = newLog(st.hours, o.Limits)
	return st
}

func (st *store) begin(counted bool) {
	if !counted {
		return
	}
	st.start, st.low = st.s, st.s
	st.load, st.panel, st.unmet, st.spilled, st.stored, st.taken, st.leaked = 0, 0, 0, 0, 0, 0, 0
	st.cutHours, st.idle, st.asked, st.missed, st.longestGap = 0, 0, 0, 0, 0
	st.lastFull -= st.log.seen
	st.log = st.log.cleared()
}

func (st *store) end() {
	if gap := st.hours - 1 - st.lastFull; gap > st.longestGap && st.cap > 0 {
		st.longestGap = gap
	}
}

// fill puts the store where it is after an hour in which it was full.
func (st *store) fill(hour int) {
	st.s = st.cap * st.keep
	st.on, st.lastFull = st.s > st.cut+unmetLeast, hour-1
}

// advance reads hours lo to hi.
func (st *store) advance(r *supply.Record, lo, hi int) {
	for lo < hi {
		asked, water := r.Asked(lo, hi)
		st.read(r, lo, asked)
		sum := st.asked
		for _, w := range water {
			sum += w
		}
		st.asked = sum
		lo += len(asked)
	}
	st.log.seen = hi
}

// read reads the hours from lo on in which so much is asked for: see BalanceOf for
// its order. Without cut-off the store never lies below it.
func (st *store) read(r *supply.Record, lo int, asked []float64) {
	c := st.cell
	perGive, perStored := 1/c.perTake, 1/c.charge
	scale, s, low, on := st.scale, st.s, st.low, st.on
	cut, floor, rejoin := st.cut+unmetLeast, max(st.cut, 0), st.rejoin-unmetLeast
	load, panel, unmet, spilled := st.load, st.panel, st.unmet, st.spilled
	stored, taken, leaked := st.stored, st.taken, st.leaked
	cold := c.warm > math.Inf(-1) && r.BatteryC != nil
	for i, made := range r.Panel[lo : lo+len(asked)][:len(asked)] {
		p, l := scale*made, asked[i]
		panel += p
		load += l
		net := p - l
		if !on {
			net = p
			if l > unmetLeast {
				unmet += l
				st.idle += min(p, l)
				st.cutHours++
				st.stop(r, lo+i, l, l)
			}
		}
		if net >= 0 {
			in := net
			if in > c.limIn {
				in = c.limIn
			}
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
			give := -net
			if give > c.limOut {
				give = c.limOut
			}
			take := give * perGive
			if have := s - floor; take > have {
				take = max(have, 0)
				give = take * c.perTake
			}
			s -= take
			taken += take
			if short := -net - give; short > 0 {
				unmet += short
				if short > unmetLeast {
					st.stop(r, lo+i, short, l)
				}
			}
		}
		if !on && s >= rejoin { // before it leaks: full is 100 %
			on = true
		}
		left := s * c.keep
		leaked += s - left
		s = left
		if s < low {
			low = s
		}
		if s <= cut {
			on = false
		}
	}
	st.s, st.low, st.on = s, low, on
	st.load, st.panel, st.unmet, st.spilled = load, panel, unmet, spilled
	st.stored, st.taken, st.leaked = stored, taken, leaked
}

// stop notes an hour with less than was asked for.
func (st *store) stop(r *supply.Record, i int, short, asked float64) {
	st.log.add(r.Start, i, short)
	if r.Water == nil {
		return
	}
	_, water := r.Asked(i, i+1)
	missed := water[0] * short / asked
	if st.missed += missed; st.noted != nil {
		*st.noted = append(*st.noted, missedHour{i, missed})
	}
}

// balance returns the accounts of the counted reading.
func (st *store) balance() Balance {
	b := Balance{
		Hours: st.hours, LoadWh: st.load, PanelWh: st.panel, UnmetWh: st.unmet, SpilledWh: st.spilled,
		ChargeLossWh: st.stored * (1/st.charge - 1), DischargeLossWh: st.taken * (1 - st.perTake),
		SelfDischargeWh: st.leaked, StartWh: st.start, EndWh: st.s, TakenWh: st.taken, UsableWh: st.cap,
		LowestCharge: st.kind.charge(st.low, st.cap), CutOffHours: st.cutHours, Stops: st.log.Stops,
		LongestSinceFullHours: st.longestGap, WaterAsked: st.asked, WaterMissed: st.missed,
		Years: len(st.log.years), BadYears: st.log.bad,
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
