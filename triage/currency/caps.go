package currency

import "app/unband/patterns"

// A Cap is the highest serial of circulation notes in an era.
type Cap struct {
	Low, High int    // denominations, both inclusive
	From, To  Series // both inclusive
	Highest   patterns.Digits
	Why       string
	Sure      Sure
	Source    string
}

// Caps lists the highest serials of Federal Reserve notes. The sources give eras, not series: where
// one era goes over into the next the row is from memory and asks only. Numbers above a cap were used
// for uncut sheets sold to collectors, if at all [CT1].
var Caps = []Cap{
	{1, 100, Series{1928, 0}, Series{1976, 'Y'}, 99_999_999, "the block was filled up", Published, "[CT2]"},
	{1, 100, Series{1977, 0}, Series{1981, 'Y'}, 99_840_000, "156 runs of 640,000", Published, "[CT3]"},
	{1, 20, Series{1985, 0}, Series{1988, 0}, 99_840_000, "156 runs of 640,000", Memory, "from memory"},
	{50, 100, Series{1985, 0}, Series{1988, 'Y'}, 99_840_000, "156 runs of 640,000", Memory, "from memory"},
	{1, 20, Series{1988, 'A'}, Series{2099, 'Y'}, 96_000_000, "15 runs of 6,400,000", Published, "[CT1][CT3][AG]"},
	{50, 100, Series{1990, 0}, Series{2099, 'Y'}, 99_200_000, "31 runs of 3,200,000", Published, "[CT1][CT3]"},
}

// CapOf gives the cap of a denomination and series of Federal Reserve notes. An unknown series is
// given today's cap.
func CapOf(denomination int, s Series) (Cap, bool) {
	if !s.Known() {
		s = latest
	}
	for _, c := range Caps {
		if c.Low <= denomination && denomination <= c.High && c.From.Compare(s) <= 0 && s.Compare(c.To) <= 0 {
			return c, true
		}
	}
	return Cap{}, false
}
