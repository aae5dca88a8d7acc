package currency

// A Likeness says whether two entries can be two notes.
type Likeness uint8

// What two entries can be.
const (
	DifferentNotes Likeness = iota // their serials or series differ
	SeriesOpen                     // the same serial, but a series is not known: it recurs in other series [F3][CW12]
	SameNote                       // all of it equal: typed twice, or the same note again
	PairOpen                       // twice-printed stars: FW decides whether it is a pair
	TwinPair                       // one from Washington, one from Fort Worth: keep them together
)

// Alike says what two entries with their serials can be. Entries without all digits are different.
func Alike(a, b Note) Likeness {
	ra, rb := read(a), read(b)
	switch {
	case !a.Whole || !b.Whole || a.Denomination != b.Denomination || a.Digits != b.Digits,
		ra.Prefix != rb.Prefix, ra.Suffix != rb.Suffix, a.Star != b.Star, a.StarFront != b.StarFront:
		return DifferentNotes
	case !ra.series.Known() || !rb.series.Known():
		return SeriesOpen
	case ra.series != rb.series:
		return DifferentNotes
	case Twin(a) != TwicePrinted:
		return SameNote
	case a.FW == FacilityUnknown || b.FW == FacilityUnknown:
		return PairOpen
	case a.FW != b.FW:
		return TwinPair
	}
	return SameNote
}
