package currency

import "app/unband/patterns"

// A TwinState says whether a star note has a double that differs in the plant alone.
type TwinState uint8

// The twin states.
const (
	NoTwin        TwinState = iota
	TwicePrinted            // printed in Washington and again in Fort Worth: FW tells them apart
	FortWorthOnly           // between the doubled ranges: only Fort Worth printed it
)

// A TwinRange is a range of Series 2013 $1 New York stars, both ends inclusive.
type TwinRange struct {
	First, Last patterns.Digits
	State       TwinState
	Sure        Sure
	Source      string
}

// TwinRanges lists the ranges: Washington printed the doubled ones in October and November 2014, Fort
// Worth everything up to 9,600,000 in June and July 2016. In all 6,650,000 serials exist twice.
var TwinRanges = []TwinRange{
	{1, 250_000, TwicePrinted, Published, "[CW2][CW3][A2][CCF]"},
	{250_001, 3_200_000, FortWorthOnly, Computed, "[A2][CCF]"},
	{3_200_001, 9_600_000, TwicePrinted, Published, "[CW2][CW3][A2][CCF]"},
}

// Twin says where a note stands among the twice-printed Series 2013 $1 New York stars. The series must
// have been said: other series use the same numbers.
func Twin(n Note) TwinState {
	row, _ := twinRow(n)
	return row.State
}

func twinRow(n Note) (TwinRange, bool) {
	r := read(n)
	if !n.Whole || !n.Star || n.Denomination != 1 || r.Prefix != "B" || n.Series != (Series{2013, 0}) || r.class != FederalReserveNote {
		return TwinRange{}, false
	}
	for _, row := range TwinRanges {
		if row.First <= n.Digits && n.Digits <= row.Last {
			return row, true
		}
	}
	return TwinRange{}, false
}

// twin tells what the plant decides.
func twin(r reading) []Remark {
	row, ok := twinRow(r.Note)
	switch {
	case !ok:
		return nil
	case row.State == FortWorthOnly && r.FW == Washington:
		return []Remark{{LookAgain, KindTwin, "On record this star was printed in Fort Worth only. Look for a small FW before the plate number at the lower right; without it, read series and serial again.", row.Sure, row.Source}}
	case row.State == FortWorthOnly:
		return nil
	case r.FW == FacilityUnknown:
		return []Remark{{Fine, KindTwin, "This star was printed twice. Look whether FW stands before the plate number at the lower right: its twin differs in that alone.", row.Sure, row.Source}}
	case r.FW == FortWorth:
		return []Remark{{Fine, KindTwin, "This star was printed twice, and this is the one from Fort Worth: its twin has no FW. Two with the same serial, one with and one without, are a pair to keep together.", row.Sure, row.Source}}
	}
	return []Remark{{Fine, KindTwin, "This star was printed twice, and this is the one from Washington: its twin has FW. Two with the same serial, one with and one without, are a pair to keep together.", row.Sure, row.Source}}
}
