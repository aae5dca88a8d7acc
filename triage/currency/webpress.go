package currency

import (
	"fmt"

	"app/unband/patterns"
)

// A WebRange is a range of $1 notes from the web press, both ends inclusive.
type WebRange struct {
	Series      Series
	Block       string // prefix and suffix; * for a star
	First, Last patterns.Digits
	When        string
	Kind        WebRangeKind
	Source      string
}

// A WebRangeKind says what it means that a serial lies in a range.
type WebRangeKind uint8

// The kinds of range. Even in a full run the tells on the note decide, not the number.
const (
	FullRun  WebRangeKind = iota // listed as printed on the web press as a whole
	MixedRun                     // part web, part sheet-fed
	WeakRun                      // seen in a machine-written article only
)

// WebRanges lists the runs of Series 1988A up to October 1993 that a list of 2025 still had [W2], and
// the two weak hints for later series. A mixed run is given its whole slot: which part is web is not
// known. Full runs add up to 185,600,000 notes.
var WebRanges = []WebRange{
	{Series{1988, 'A'}, "AE", 25_600_001, 32_000_000, "November 1992", FullRun, "[W2]"},
	{Series{1988, 'A'}, "AE", 38_400_001, 44_800_000, "November 1992", FullRun, "[W2]"},
	{Series{1988, 'A'}, "AE", 57_600_001, 64_000_000, "November 1992", FullRun, "[W2]"},
	{Series{1988, 'A'}, "AF", 1, 12_800_000, "December 1992", FullRun, "[W2]"},
	{Series{1988, 'A'}, "AF", 83_200_001, 96_000_000, "June 1993", FullRun, "[W2]"},
	{Series{1988, 'A'}, "AG", 1, 19_200_000, "June 1993", FullRun, "[W2]"},
	{Series{1988, 'A'}, "BL", 32_000_001, 38_400_000, "May 1992", MixedRun, "[W2]"},
	{Series{1988, 'A'}, "CA", 64_000_001, 76_800_000, "September 1992", FullRun, "[W2]"},
	{Series{1988, 'A'}, "EI", 44_800_001, 64_000_000, "February 1993", FullRun, "[W2]"},
	{Series{1988, 'A'}, "EK", 44_800_001, 64_000_000, "April 1993", FullRun, "[W2]"},
	{Series{1988, 'A'}, "F*", 6_400_001, 9_600_000, "June 1992", MixedRun, "[W2]"},
	{Series{1988, 'A'}, "FL", 70_400_001, 76_800_000, "July 1992", FullRun, "[W2]"},
	{Series{1988, 'A'}, "FL", 83_200_001, 89_600_000, "July 1992", FullRun, "[W2]"},
	{Series{1988, 'A'}, "FM", 1, 6_400_000, "July 1992", FullRun, "[W2]"},
	{Series{1988, 'A'}, "FN", 57_600_001, 76_800_000, "September 1992", FullRun, "[W2]"},
	{Series{1988, 'A'}, "FU", 51_200_001, 57_600_000, "October 1993", FullRun, "[W2]"},
	{Series{1988, 'A'}, "FU", 64_000_001, 70_400_000, "October 1993", FullRun, "[W2]"},
	{Series{1988, 'A'}, "GP", 44_800_001, 57_600_000, "July 1993", FullRun, "[W2]"},
	{Series{1988, 'A'}, "GQ", 44_800_001, 51_200_000, "August 1993", FullRun, "[W2]"},
	{Series{1993, 0}, "BH", 19_200_001, 25_600_000, "", WeakRun, "[W4]"},
}

// WebTells are the three signs of a web-press note, in the order to look for them [OO][W4][F5].
var WebTells = []string{
	"face, upper left: no letter and number of the place on the sheet",
	"face, lower right: the plate number stands alone, without a letter",
	"back: the plate number stands at the upper right, right of IN GOD WE TRUST",
}

// WebSeries are the series of the web press: $1 alone, Washington alone, May 1992 to 1996 [W2][F5].
var WebSeries = mustSeries("1988A 1993 1995")

// WebPress says whether a note may come from the web press, whether its serial lies in a range listed
// as printed there as a whole, which tells to look for, and all of that in a sentence or two. The
// range is a hint only: the tells decide. A note with FW, or of another series, is no candidate.
func WebPress(n Note) (candidate, inListedRange bool, tells []string, text string) {
	r := read(n)
	switch {
	case n.Denomination != 1 || r.class != FederalReserveNote || !holds(WebSeries, r.series):
		return false, false, nil, ""
	case n.FW == FortWorth:
		return false, false, nil, "FW stands before the plate number: web-press notes were made in Washington only."
	}
	row, listed := webRange(r)
	return true, listed && row.Kind == FullRun, WebTells, webText(r, row, listed)
}

// webRange finds the range a whole serial lies in.
func webRange(r reading) (WebRange, bool) {
	block := r.Prefix + string(rune(r.Suffix))
	if r.Star {
		block = r.Prefix + "*"
	}
	for _, row := range WebRanges {
		if r.Whole && row.Series == r.series && row.Block == block && row.First <= r.Digits && r.Digits <= row.Last {
			return row, true
		}
	}
	return WebRange{}, false
}

func webText(r reading, row WebRange, listed bool) string {
	switch {
	case listed && row.Kind == FullRun:
		return fmt.Sprintf("This serial lies in a run listed as web-press (block %s, %s). That is a hint: look for the three tells.", row.Block, row.When)
	case listed && row.Kind == MixedRun:
		return fmt.Sprintf("Part of this run came from the web press (block %s, %s), so the serial cannot decide: look for the three tells.", row.Block, row.When)
	case listed:
		return "One weak source names this range as web-press: look for the three tells."
	case fortWorth1995(r):
		return "May be a web-press note, but Series 1995 of this bank usually came from Fort Worth: look for FW first, then for the three tells."
	case r.series.Year == 1988:
		return "May be a web-press note: look for the three tells. The list of runs known here ends with October 1993."
	}
	return "May be a web-press note: look for the three tells. No list of the runs of this series was found."
}

// webPress tells about web-press notes, and what contradicts one that was taken for it.
func webPress(r reading) []Remark {
	candidate, _, _, text := WebPress(r.Note)
	switch {
	case !r.Web && candidate:
		return []Remark{{Fine, KindWebPress, text, Published, "[W2][F5]"}}
	case !r.Web:
		return nil
	case r.Denomination != 1 && r.Denomination != 0:
		return []Remark{{LookAgain, KindWebPress, "Web-press notes were made as $1 only. Look again at the denomination and for the three tells.", Published, "[W2][F5]"}}
	case r.FW == FortWorth:
		return []Remark{{LookAgain, KindWebPress, "FW contradicts a web-press note: these were made in Washington only. With FW it is not one; look at the lower right of the face again.", Published, "[W2][CW13]"}}
	case r.series.Known() && !holds(WebSeries, r.series):
		return []Remark{{LookAgain, KindWebPress, fmt.Sprintf("Web-press notes are Series 1988A, 1993 and 1995 only, this one is said to be %s. Look again at the series and for the three tells.", r.series), Published, "[W2][F5]"}}
	}
	return nil
}
