package battery

import (
	"testing"
	"time"

	"sunrill/energy/supply"
)

// bare is the arithmetic of the hourly loop and nothing else: what BalanceOf is
// measured against.
func bare(panel, load []float64, size, charge, discharge, keep float64) (unmet, spilled, stored, taken, leaked, made, asked, low float64) {
	s := size
	low = s
	perGive, perStored := 1/discharge, 1/charge
	for i, p := range panel {
		l := load[i]
		made += p
		asked += l
		if net := p - l; net >= 0 {
			if put, room := charge*net, size-s; put < room {
				s += put
				stored += put
			} else {
				s = size
				stored += room
				spilled += net - room*perStored
			}
		} else {
			give := -net
			take := give * perGive
			if take > s {
				take, give = s, s*discharge
				s = 0
				unmet += -net - give
			} else {
				s -= take
			}
			taken += take
		}
		left := s * keep
		leaked += s - left
		s = left
		if s < low {
			low = s
		}
	}
	return
}

// benchYears is the record of the benchmarks: 20 years of 20 W.
func benchYears() supply.Record { return bareRecord(1, 20*8760, func(int) float64 { return 20 }) }

// benchStore is a LiFePO4 battery of 1800 Wh on 350 W, its loop without checks.
func benchStore(tb testing.TB, r supply.Record, b Battery) *store {
	tb.Helper()
	s := newStore(r, 1, b, 1800, BalanceOptions{StartCharge: 1})
	s.begin(true)
	return s
}

func BenchmarkBalance(b *testing.B) {
	r := scaledRecord(benchYears(), 350)
	kind := lithium(b)
	s := benchStore(b, r, kind)
	b.ReportAllocs()
	for b.Loop() {
		s.s, s.lastFull = s.cap, 0
		s.read(&r, 0, r.Load)
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(r.Hours()), "ns/hour")
}

func BenchmarkBalanceBare(b *testing.B) {
	r := scaledRecord(benchYears(), 350)
	kind := lithium(b)
	size := 1800 * kind.UsableOfNominal()
	for b.Loop() {
		bare(r.Panel, r.Load, size, kind.ChargeShare, kind.DischargeShare, kind.keptEachHour())
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(r.Hours()), "ns/hour")
}

func BenchmarkBalanceConnected(b *testing.B) {
	r := scaledRecord(benchYears(), 350)
	kind := lithium(b)
	for b.Loop() {
		s := newStore(r, 1, kind, 1800, FromFull())
		s.begin(true)
		s.advance(&r, 0, r.Hours())
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(r.Hours()), "ns/hour")
}

func BenchmarkFront30(b *testing.B) {
	r := benchYears()
	kind := lithium(b)
	for b.Loop() {
		if _, err := Size(r, kind, SizeOptions{Unmet: 0.01}); err != nil {
			b.Fatal(err)
		}
	}
}

// TestLoopNearBare: the hourly loop, with all its accounts, takes at most 1.5
// times a bare loop of the same arithmetic, the best of several turns each, in
// alternation. On a machine with other work to do it takes more turns before it
// believes that it does not.
func TestLoopNearBare(t *testing.T) {
	if testing.Short() || raced || testing.CoverMode() != "" {
		t.Skip("timing, which the race detector and the counters of coverage distort")
	}
	const most, turns, mostTurns = 1.5, 15, 300
	r := scaledRecord(benchYears(), 350)
	kind := lithium(t)
	size := 1800 * kind.UsableOfNominal()
	best := [2]time.Duration{time.Hour, time.Hour}
	ratio := func() float64 { return float64(best[0]) / float64(best[1]) }
	for turn := 0; turn < turns || turn < mostTurns && ratio() > most; turn++ {
		s := benchStore(t, r, kind)
		start := time.Now()
		s.read(&r, 0, r.Load)
		best[0] = min(best[0], time.Since(start))
		start = time.Now()
		bare(r.Panel, r.Load, size, kind.ChargeShare, kind.DischargeShare, kind.keptEachHour())
		best[1] = min(best[1], time.Since(start))
	}
	t.Logf("%.2f times a bare loop; %.2f ns a simulated hour", ratio(), float64(best[0].Nanoseconds())/float64(r.Hours()))
	if ratio() > most {
		t.Errorf("the loop takes %.2f times a bare one, at most %.1f", ratio(), most)
	}
}

// TestLoopAllocatesNothing: however long the record.
func TestLoopAllocatesNothing(t *testing.T) {
	r := scaledRecord(bareRecord(1, 8760, func(int) float64 { return 20 }), 120)
	s := benchStore(t, r, lithium(t))
	if n := testing.AllocsPerRun(5, func() { s.read(&r, 0, r.Load) }); n != 0 {
		t.Errorf("%g allocations a reading", n)
	}
}
