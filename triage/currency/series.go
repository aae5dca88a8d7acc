package currency

import "fmt"

// A Series is the year on a note and the small letter that may follow it.
type Series struct {
	Year   int  // 1928 to 2099, 0 when unknown
	Letter byte // A to Y without I and O, 0 for none
}

// String gives the series as it is printed, "2017A"; empty when unknown.
func (s Series) String() string {
	if s.Year == 0 {
		return ""
	}
	if s.Letter == 0 {
		return fmt.Sprintf("%04d", s.Year)
	}
	return fmt.Sprintf("%04d%c", s.Year, s.Letter)
}
