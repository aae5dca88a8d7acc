package stars

import (
	"cmp"
	"errors"
	"fmt"
	"regexp"
	"time"

	"app/unband/patterns"
	"app/unband/triage"
	"app/unband/triage/currency"
)

// A Facility is where notes are printed.
type Facility = currency.Facility

// The facilities of the Bureau of Engraving and Printing.
const (
	AnyFacility = currency.FacilityUnknown // not known
	Washington  = currency.Washington
	FortWorth   = currency.FortWorth
)

// A Month is a month of a year as year*100+month: 201410 is October 2014. 0 is not known.
type Month int

// MonthOf gives the month of a year.
func MonthOf(year int, month time.Month) Month { return Month(year*100 + int(month)) }

// Valid reports whether it is a month from 1861, when the Bureau began, to 9999.
func (m Month) Valid() bool {
	return m/100 >= 1861 && m/100 <= 9999 && m%100 >= 1 && m%100 <= 12
}

// String writes the month as "October 2014".
func (m Month) String() string {
	if !m.Valid() {
		return "month unknown"
	}
	return fmt.Sprintf("%s %d", time.Month(m%100), m/100)
}

// A Run is a run of star notes as a list of them has it. The numbers From to To are both in it.
type Run struct {
	Denomination triage.Denomination
	Series       string // as printed, "2017A"
	Bank         byte   // the Federal Reserve Bank, 'A' to 'L'
	From, To     patterns.Digits
	Facility     Facility
	Month        Month     // printed in; 0 when the list does not say
	Quantity     int       // notes in the run; 0 when the list does not say: all from From to To
	Listed       time.Time // date of the list it was read from, as a time of that day in UTC; zero when not known
}

// Group gives the group that the run belongs to.
func (r Run) Group() Group { return Group{r.Denomination, r.Series, r.Bank} }

// Numbers is how many numbers there are from From to To.
func (r Run) Numbers() int { return int(r.To) - int(r.From) + 1 }

// Notes is how many notes the run has: Quantity, or all its numbers when the list does not say.
func (r Run) Notes() int {
	if r.Quantity > 0 {
		return r.Quantity
	}
	return r.Numbers()
}

// Contains reports whether a number lies in the run, its ends included.
func (r Run) Contains(n patterns.Digits) bool { return r.From <= n && n <= r.To }

// String names the run: "$1 Series 2009 New York (B) 03200001 to 03840000".
func (r Run) String() string { return fmt.Sprintf("%v %v to %v", r.Group(), r.From, r.To) }

// Line writes the run as one line of a list: group, numbers, notes, place, month and date.
func (r Run) Line() string {
	listed := "date of the list unknown"
	if !r.Listed.IsZero() {
		listed = "list of " + r.Listed.Format("2 January 2006")
	}
	return fmt.Sprintf("%v  %v to %v  %s notes  %v  %v  %s", r.Group(), r.From, r.To, triage.Thousands(r.Notes()), r.Facility, r.Month, listed)
}

// Compare orders runs by denomination, series, district, first number and facility.
func (r Run) Compare(s Run) int {
	return cmp.Or(r.Group().Compare(s.Group()), cmp.Compare(r.From, s.From), cmp.Compare(r.Facility, s.Facility))
}

// seriesForm is a year of the small-size notes and the letter that may follow it. Which series exist
// for which denomination is not asked here.
var seriesForm = regexp.MustCompile(`^(19[2-9][0-9]|20[0-9][0-9])[A-HJ-Y]?$`)

// Valid says in plain words why there can be no such run. The rule of the slots is asked of Series
// 1996 and later alone: for older ones it is common practice without a source to cite, and partial
// runs with gaps are told of (see SlotOf).
func (r Run) Valid() error {
	const last = patterns.Total - 1
	switch {
	case !r.Denomination.Valid():
		return fmt.Errorf("%v is no denomination of Federal Reserve notes", r.Denomination)
	case !seriesForm.MatchString(r.Series):
		return fmt.Errorf("%s is not a series: a year such as 2017, and a letter where the note has one", quoted(r.Series))
	case !bankLetter(r.Bank):
		return errors.New("no bank is named: its letter is one of A to L")
	case r.From < 1:
		return errors.New("the first number is 0: numbers begin with 00000001")
	case r.To > last || r.From > last:
		return fmt.Errorf("a number has more than %d digits", patterns.Places)
	case r.From > r.To:
		return fmt.Errorf("it begins with %v, after its end %v", r.From, r.To)
	case r.Quantity < 0 || r.Quantity > r.Numbers():
		return fmt.Errorf("%s notes do not fit: from %v to %v there are %s numbers",
			triage.Thousands(r.Quantity), r.From, r.To, triage.Thousands(r.Numbers()))
	}
	return cmp.Or(r.when(), r.inOneSlot())
}

// when says what is wrong with the facility and the month.
func (r Run) when() error {
	switch {
	case r.Facility > FortWorth:
		return errors.New("there is no such facility: Washington or Fort Worth")
	case r.Month != 0 && !r.Month.Valid():
		return fmt.Errorf("%d is not a month of a year", int(r.Month))
	case r.Month != 0 && !r.Listed.IsZero() && r.Month > MonthOf(r.Listed.Year(), r.Listed.Month()):
		return fmt.Errorf("it is of %v, after the date of the list, %s", r.Month, date(r.Listed))
	}
	return nil
}

// inOneSlot refuses what cannot be one run.
func (r Run) inOneSlot() error {
	first, last := SlotOf(r.Series, r.From), SlotOf(r.Series, r.To)
	if !first.Published || first == last {
		return nil
	}
	return fmt.Errorf("it goes from slot %d into slot %d, so it is more than one run: a star run is given %s numbers, here up to %v",
		first.Number, last.Number, triage.Thousands(first.Numbers()), first.To)
}

// Split gives a run that fills slots to their end and goes on in the next as one run for each slot.
// Any other, also one with fewer notes than numbers, comes back alone and as it is.
func (r Run) Split() []Run {
	if r.From > r.To || r.To >= patterns.Total || r.Notes() != r.Numbers() {
		return []Run{r}
	}
	whole := r
	var parts []Run
	for r.inOneSlot() != nil {
		part := r.until(SlotOf(r.Series, r.From).To)
		parts = append(parts, part)
		r.From = part.To + 1
	}
	parts = append(parts, r.until(r.To))
	for _, p := range parts {
		if p.Valid() != nil { // something else is wrong with it
			return []Run{whole}
		}
	}
	return parts
}

// until cuts the run off after a number.
func (r Run) until(to patterns.Digits) Run {
	r.To = to
	if r.Quantity > 0 {
		r.Quantity = r.Numbers()
	}
	return r
}

// date writes the day of a list.
func date(t time.Time) string {
	if t.IsZero() {
		return "unknown date"
	}
	return t.Format("2 January 2006")
}

// quoted shows text from outside in a message: short, and nothing in it can move a cursor.
func quoted(text string) string {
	const shown = 40
	if r := []rune(text); len(r) > shown {
		text = string(r[:shown]) + "…"
	}
	return "“" + triage.Printable(text) + "”"
}
