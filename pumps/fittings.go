package pumps

import "sunrill/data/units"

// Loss is a sum of minor losses on the velocity head of one bore.
//
//	h = ( K + K1/Re + Kinf (1 + 1 inch/D) ) V²/2g
//
// K holds fittings with one coefficient, K1 and KInf those of the two-K
// method, which also holds at the low Reynolds numbers of small pumps. The
// zero value is no loss.
//
// Source of the two-K form: W. B. Hooper, Chemical Engineering 88 (1981),
// no. 17, p. 96.
type Loss struct {
	K, K1, KInf float64
}

// ExitLoss is the velocity head given up where the last pipe opens into a tank
// or over the water: K = 1.0, whatever the shape of the end. Books that print
// 1.06 multiply it by the kinetic-energy factor of turbulent flow.
const ExitLoss = 1.0

// Plus returns l with n of another loss added.
func (l Loss) Plus(n int, other Loss) Loss {
	c := float64(n)
	return Loss{K: l.K + c*other.K, K1: l.K1 + c*other.K1, KInf: l.KInf + c*other.KInf}
}

// BoreChange returns the coefficient of the changes of bore at the ends of feed i, on
// its own velocity head: those at which it is the narrower of the two. A step of less
// than a hundredth is none. A System adds none by itself.
//
//	K = (1 - (d/D)²)/2 where the line narrows, (1 - (d/D)²)² where it widens
//
// Source: Crane TP-410; Borda and Carnot, any textbook of hydraulics.
func BoreChange(feeds []Feed, i int) (k float64) {
	const step = 1.01
	d := feeds[i].Bore
	gone := func(wide units.Length) float64 { return 1 - float64(d/wide)*float64(d/wide) }
	if i > 0 && feeds[i-1].Bore > d*step {
		k += gone(feeds[i-1].Bore) / 2
	}
	if i+1 < len(feeds) && feeds[i+1].Bore > d*step {
		k += gone(feeds[i+1].Bore) * gone(feeds[i+1].Bore)
	}
	return k
}
