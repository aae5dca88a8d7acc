// Package tally counts what was found, over a session, a range of days or everything, and sets it beside
// what was to be expected.
//
// A rule is counted only on the notes that were really tested for it. The package is pure: no clock, no
// files.
package tally

import (
	"maps"
	"time"

	"app/unband/patterns"
	"app/unband/triage"
	"app/unband/triage/currency"
)

// A Day is a day of the calendar in UTC, in days since 1 January 1970.
type Day uint32

// DayOf gives the day of a moment; moments before 1970 count as its first day.
func DayOf(t time.Time) Day { return Day(max(t.Unix(), 0) / (24 * 60 * 60)) }

// Time is midnight, UTC, at which the day begins.
func (d Day) Time() time.Time { return time.Unix(int64(d)*24*60*60, 0).UTC() }

// quarter is how long the pieces are that the pace of an evening is told in.
const quarter = 15 * time.Minute

// A Pace is what was sorted in one quarter of an hour.
type Pace struct {
	Notes   int `json:"n"`
	Seconds int `json:"s"` // spent on them, pauses included, supper not
}

// A Tally counts the notes of one session on one day, or a sum of those. The zero Tally counts nothing.
type Tally struct {
	Notes   int `json:"notes,omitempty"`
	Glances int `json:"glances,omitempty"` // spent unread: tested for nothing
	Kept    int `json:"kept,omitempty"`
	Stars   int `json:"stars,omitempty"`
	Old     int `json:"old,omitempty"`    // of an old series, by the session's own limit
	Said    int `json:"said,omitempty"`   // whose series was said
	Keys    int `json:"keys,omitempty"`   // characters of serials, and one for each decision
	Reread  int `json:"reread,omitempty"` // read again
	Changed int `json:"changed,omitempty"`

	Took time.Duration `json:"took,omitempty"`

	Found  map[patterns.ID]int `json:"found,omitempty"`  // notes that met a rule and were tested for it
	Series map[string]int      `json:"series,omitempty"` // by the year and letter that were said
	Pace   map[int]Pace        `json:"pace,omitempty"`   // by quarters of an hour since midnight, UTC
}

// InHand is how many notes took time: all but those spent or kept with the rest of a list.
func (t Tally) InHand() (n int) {
	for _, p := range t.Pace {
		n += p.Notes
	}
	return n
}

// Read is how many notes were tested: all but those passed over unread.
func (t Tally) Read() int { return t.Notes - t.Glances }

// Tested are the rules that the read notes of a session were tested for. In a session where notes are
// settled early it is the watched ones alone: a note is typed to its end only while something watched is
// possible, so those typed to the end are no fair sample for the others. Of new straps it is none: their
// numbers follow one another, so a hundred notes are one draw of chance and not a hundred.
func Tested(s triage.Session) patterns.Set {
	switch {
	case s.NewNotes:
		return 0
	case s.Whole:
		return ^patterns.Set(0)
	}
	return s.Watch.Hit
}

// Of counts one note of a session.
func Of(s triage.Session, n triage.Note) Tally {
	if n.Decision == triage.NotThere {
		return Tally{}
	}
	t := Tally{Notes: 1, Took: n.Took}
	if n.Origin == triage.Typed {
		t.Keys = 1 + keys(n.Serial)
	}
	if n.Decision == triage.Glance {
		t.Glances = 1
	}
	if n.Decision == triage.Keep {
		t.Kept = 1
	}
	if n.Serial.Star {
		t.Stars = 1
	}
	if n.Reread != triage.NotReread {
		t.Reread = 1
	}
	if n.Reread == triage.RereadChanged {
		t.Changed = 1
	}
	if series, err := currency.ParseSeries(n.Series); err == nil && n.Series != "" {
		t.Said, t.Series = 1, map[string]int{n.Series: 1}
		if limit, err := currency.ParseSeries(s.OldBefore); err == nil && s.OldBefore != "" && currency.Old(series, limit) {
			t.Old = 1
		}
	}
	for _, id := range (n.Hits & Tested(s)).IDs() {
		if t.Found == nil {
			t.Found = map[patterns.ID]int{}
		}
		t.Found[id] = 1
	}
	if n.Origin != triage.Typed && n.Took == 0 {
		return t // spent with the rest of a list: no time was spent on it
	}
	at := n.Decided.UTC()
	t.Pace = map[int]Pace{int((time.Duration(at.Hour())*time.Hour + time.Duration(at.Minute())*time.Minute) / quarter): {1, int(n.Took.Round(time.Second) / time.Second)}}
	return t
}

// keys are the characters typed of a serial.
func keys(s triage.Serial) int {
	n := len(s.Prefix) + len(s.Digits)
	if s.Suffix != 0 {
		n++
	}
	if s.Star {
		n++
	}
	return n
}

// Count counts u into t itself, without a copy: for sums over many notes.
func (t *Tally) Count(u Tally) {
	sum := t.numbers(u, 1)
	sum.Found, sum.Series, sum.Pace = t.Found, t.Series, t.Pace
	*t = sum
	for id, n := range u.Found {
		if t.Found == nil {
			t.Found = map[patterns.ID]int{}
		}
		t.Found[id] += n
	}
	for series, n := range u.Series {
		if t.Series == nil {
			t.Series = map[string]int{}
		}
		t.Series[series] += n
	}
	for at, p := range u.Pace {
		if t.Pace == nil {
			t.Pace = map[int]Pace{}
		}
		t.Pace[at] = Pace{t.Pace[at].Notes + p.Notes, t.Pace[at].Seconds + p.Seconds}
	}
}

// Add gives the tally of both.
func (t Tally) Add(u Tally) Tally { return t.combine(u, 1) }

// Sub gives t without u: what remains when an earlier version of a note is taken out.
func (t Tally) Sub(u Tally) Tally { return t.combine(u, -1) }

func (t Tally) combine(u Tally, sign int) Tally {
	sum := t.numbers(u, sign)
	sum.Found, sum.Series, sum.Pace = combined(t.Found, u.Found, sign), combined(t.Series, u.Series, sign), paced(t.Pace, u.Pace, sign)
	return sum
}

// numbers combines what is no map.
func (t Tally) numbers(u Tally, sign int) Tally {
	return Tally{
		Notes: t.Notes + sign*u.Notes, Glances: t.Glances + sign*u.Glances, Kept: t.Kept + sign*u.Kept,
		Stars: t.Stars + sign*u.Stars, Old: t.Old + sign*u.Old, Said: t.Said + sign*u.Said, Keys: t.Keys + sign*u.Keys,
		Reread: t.Reread + sign*u.Reread, Changed: t.Changed + sign*u.Changed, Took: t.Took + time.Duration(sign)*u.Took,
	}
}

// combined adds counts up; a count of nothing has no key, so that equal tallies are equal.
func combined[K comparable](a, b map[K]int, sign int) map[K]int {
	sum := maps.Clone(a)
	if sum == nil {
		sum = map[K]int{}
	}
	for k, n := range b {
		if sum[k] += sign * n; sum[k] == 0 {
			delete(sum, k)
		}
	}
	if len(sum) == 0 {
		return nil
	}
	return sum
}

func paced(a, b map[int]Pace, sign int) map[int]Pace {
	sum := maps.Clone(a)
	if sum == nil {
		sum = map[int]Pace{}
	}
	for k, p := range b {
		now := Pace{sum[k].Notes + sign*p.Notes, sum[k].Seconds + sign*p.Seconds}
		if sum[k] = now; now == (Pace{}) {
			delete(sum, k)
		}
	}
	if len(sum) == 0 {
		return nil
	}
	return sum
}

// Empty reports whether nothing is counted.
func (t Tally) Empty() bool { return t.Notes == 0 }
