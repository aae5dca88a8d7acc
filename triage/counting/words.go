package counting

import (
	"fmt"
	"strings"

	"app/unband/triage"
)

// Differs puts a difference into words: how many notes more, or fewer, were counted than go back by what was entered.
func Differs(n int) string {
	if n > 0 {
		return triage.Plural(n, "note", "notes") + " more than should go back"
	}
	return triage.Plural(-n, "note", "notes") + " fewer than should go back"
}

// OffWords says by how much a strap is off its band, which promised so many notes, as "2 short of 100"; nothing where it is
// right.
func OffWords(off, band int) string {
	switch {
	case off < 0:
		return fmt.Sprintf("%s short of %d", triage.Thousands(-off), band)
	case off > 0:
		return fmt.Sprintf("%s over %d", triage.Thousands(off), band)
	}
	return ""
}

// BackWords says what goes back in notes and dollars.
func (c Count) BackWords(l Line) string {
	return triage.Plural(l.Back(), "note goes", "notes go") + " back, " + c.face(l.Back())
}

// WholeWords says what goes back as it is banded again: in full straps and the rest.
func (c Count) WholeWords() string {
	straps, rest := c.Whole(c.Together().Back())
	full := fmt.Sprintf("%s of %d", triage.Plural(straps, "full strap", "full straps"), c.StrapNotes)
	switch {
	case straps == 0:
		return fmt.Sprintf("less than a full strap of %d", c.StrapNotes)
	case rest == 0:
		return full
	}
	return full + " and " + triage.Plural(rest, "note", "notes")
}

// SumWords says what the notes that go back are reckoned from.
func (c Count) SumWords() string {
	all := c.Together()
	kept := triage.Thousands(all.Kept) + " kept"
	if all.Respent > 0 {
		kept += fmt.Sprintf(" (%s of them spent after all, but not with this pile)", triage.Thousands(all.Respent))
	}
	apart := ""
	if all.Apart > 0 {
		apart = fmt.Sprintf(" (%s of them of another denomination)", triage.Thousands(all.Apart))
	}
	return fmt.Sprintf("%s received by the bands, %s entered, %s, %s set aside%s, %s put in place of keepers",
		triage.Thousands(all.Band), triage.Thousands(all.Entered), kept, triage.Thousands(all.Aside+all.Apart), apart, triage.Thousands(all.InPlace))
}

// CountedWords says what was counted by hand and whether it agrees; nothing while the pile was not counted.
func (c Count) CountedWords() string {
	all := c.Together()
	switch n, ok := all.Difference(); {
	case !ok:
		return ""
	case n != 0:
		return fmt.Sprintf("%s counted by hand: %s, %s", triage.Thousands(all.Counted), Differs(n), c.face(max(n, -n)))
	}
	return triage.Thousands(all.Counted) + " counted by hand: it agrees"
}

// BandWords sums up the straps that are sorted and were not as their bands said; nothing where all were right.
func (c Count) BandWords() string {
	straps, notes := 0, 0
	for _, l := range c.Straps {
		if l.Done && l.Off() != 0 {
			straps++
			notes += l.Off()
		}
	}
	text := triage.Plural(straps, "strap was", "straps were") + " not as the band said"
	switch {
	case straps == 0:
		return ""
	case notes < 0:
		return text + ": " + triage.Plural(-notes, "note", "notes") + " missing in all"
	case notes > 0:
		return text + ": " + triage.Plural(notes, "note", "notes") + " too many in all"
	}
	return text + ", but together the count is right"
}

// EventWords tells one trace of a session's history.
func EventWords(e triage.Event) string {
	day := e.At.Format("2 January 2006 15:04")
	switch e.Kind {
	case triage.SignedOff:
		if e.Back == e.Counted {
			return fmt.Sprintf("%s: signed off, %s counted as entered", day, triage.Plural(e.Counted, "note", "notes"))
		}
		return fmt.Sprintf("%s: signed off with %s, %s counted", day, Differs(e.Counted-e.Back), triage.Thousands(e.Counted))
	case triage.Reopened:
		return day + ": opened again"
	}
	return day + ": closed without being counted back"
}

// Sorted reports whether nothing of the session is left to sort: what goes back is known then.
func (c Count) Sorted() bool {
	if len(c.Straps) == 0 || len(c.Straps) < c.Promised {
		return false
	}
	for _, l := range c.Straps {
		if !l.Done {
			return false
		}
	}
	return true
}

// Begun reports whether somebody has begun to count back: said what was put in place of a keeper, or counted.
func (c Count) Begun() bool {
	for _, l := range c.Straps {
		if l.Said || l.Replaced {
			return true
		}
	}
	return c.Said
}

// Lines tells of a session, for a page to read, what its bands and counting it back have to say, one sentence a
// line; nothing where there is nothing to say.
func (c Count) Lines(s triage.Session) []string {
	var lines []string
	if left := c.Promised - len(c.Straps); left > 0 && !s.Open() {
		lines = append(lines, triage.Plural(left, "strap was", "straps were")+" not sorted")
	}
	if text := c.BandWords(); text != "" {
		lines = append(lines, text+" ("+strings.Join(c.off(), ", ")+")")
	}
	if c.Begun() || c.Sorted() || !s.Open() && len(c.Straps) > 0 {
		lines = append(lines, c.BackWords(c.Together())+", "+c.WholeWords(), c.SumWords())
	}
	if text := c.CountedWords(); text != "" {
		lines = append(lines, text)
	}
	for _, l := range c.Straps {
		if n, ok := l.Difference(); ok && n != 0 {
			lines = append(lines, fmt.Sprintf("strap %d: %s counted by hand, %s", l.Strap, triage.Thousands(l.Counted), Differs(n)))
		}
	}
	if c.Agrees() && c.Sorted() {
		for _, cause := range c.Causes() { // what was wrong from the bank on
			lines = append(lines, cause.String())
		}
	}
	for _, e := range s.Log {
		lines = append(lines, EventWords(e))
	}
	if s.Open() && c.Begun() {
		lines = append(lines, "not signed off yet")
	}
	return lines
}

// off names the straps that are sorted and were not as their bands said.
func (c Count) off() (words []string) {
	for _, l := range c.Straps {
		if text := OffWords(l.Off(), l.Band); l.Done && text != "" {
			words = append(words, fmt.Sprintf("strap %d: %s", l.Strap, text))
		}
	}
	return words
}

// face writes the face value of notes.
func (c Count) face(notes int) string { return "$" + triage.Thousands(c.Dollars(notes)) }
