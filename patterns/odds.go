package patterns

// A Price is what a watch list costs: how many of the serials 1 to Top stop the sorter.
type Price struct {
	Top      Digits
	Hits     int // serials that match a rule whose hits are watched
	NearOnly int // serials stopped by a near miss alone
}

// Stops is how many serials stop the sorter.
func (p Price) Stops() int { return p.Hits + p.NearOnly }

// StopsPerStrap is how often a strap of that many random notes stops the sorter, on average.
func (p Price) StopsPerStrap(notes int) float64 { return perStrap(p.Stops(), p.Top, notes) }

// HitsPerStrap is how many of a strap's random notes are hits, on average.
func (p Price) HitsPerStrap(notes int) float64 { return perStrap(p.Hits, p.Top, notes) }

// NearPerStrap is how many of a strap's random notes stop the sorter by a near miss alone.
func (p Price) NearPerStrap(notes int) float64 { return perStrap(p.NearOnly, p.Top, notes) }

func perStrap(count int, top Digits, notes int) float64 {
	if top == 0 {
		return 0
	}
	return float64(count) * float64(notes) / float64(top)
}

// A Settling says how soon the serials 1 to Top are settled under a watch list. A serial is settled
// as soon as no completion of the digits typed can stop the sorter, and at the latest after eight.
type Settling struct {
	Top   Digits
	After [Places + 1]int // After[k] serials are settled after k digits, and not before
}

// Mean is how many digits are typed for a random serial, on average.
func (s Settling) Mean() float64 {
	if s.Top == 0 {
		return 0
	}
	sum := 0
	for k, n := range s.After {
		sum += k * n
	}
	return float64(sum) / float64(s.Top)
}

// By is the share of serials, 0 to 1, that are settled after k digits or sooner.
func (s Settling) By(k int) float64 {
	if s.Top == 0 {
		return 0
	}
	sum := 0
	for i := 0; i <= k && i <= Places; i++ {
		sum += s.After[i]
	}
	return float64(sum) / float64(s.Top)
}
