// Package pumps computes what water really flows: where a pump's curve meets
// the lift, pipe, fittings and dirt in front of it, what the return and the
// filter make of that flow, and what the pond does when it stops.
//
// A Curve is what a pump can do, a System what the water asks for: pipes in series, and
// the branches behind them where several filters share a pump. Operate finds where they
// meet. Nothing is extrapolated: a pump that runs off
// either end of its curve has a Status that says so, and no invented figure.
//
// Left out: pumps drawing water up on their suction side (suction lift,
// cavitation, priming), external pumps with a suction pipe, water hammer, and
// anything but fresh water from 0 to 45 C.
//
// Sources are named at each function. Where a figure was written down from
// memory of a source that was not at hand, the comment says so.
package pumps
