package currency

// Old reports whether a known series is older than the limit.
func Old(s, limit Series) bool { return s.Known() && s.Compare(limit) < 0 }

// An OldLimit is the series before which notes of a denomination count as old.
type OldLimit struct {
	Denomination int
	Limit        Series
	Why          string
	Sure         Sure
	Source       string
}

// OldLimits lists the limits that serve until the user sets one. They say what is unusual to meet,
// nothing about worth.
var OldLimits = []OldLimit{
	{1, Series{2003, 0}, "ones wear out first; before Series 2006 is uncommon", Common, "common practice, no source"},
	{2, Series{1976, 0}, "the first Federal Reserve notes; red seals are older", Common, "common practice, no source"},
	{5, Series{1999, 0}, "the first with two letters and the large portrait", Common, "common practice, no source"},
	{10, Series{1999, 0}, "the first with two letters and the large portrait", Common, "common practice, no source"},
	{20, Series{1996, 0}, "the first with two letters and the large portrait", Common, "common practice, no source"},
	{50, Series{1996, 0}, "the first with two letters and the large portrait", Common, "common practice, no source"},
	{100, Series{1996, 0}, "the first with two letters and the large portrait", Common, "common practice, no source"},
}

// DefaultOldLimit is the series before which a note counts as old unless the user says otherwise;
// unknown for a denomination that is not issued.
func DefaultOldLimit(denomination int) Series {
	for _, row := range OldLimits {
		if row.Denomination == denomination {
			return row.Limit
		}
	}
	return Series{}
}
