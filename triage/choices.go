package triage

import (
	"cmp"
	"maps"

	"app/unband/patterns"
	"app/unband/triage/currency"
)

// Choices are what a person has chosen for sorting. A new session takes them over and keeps them;
// the pauses and the comfort hold for every session.
type Choices struct {
	Pauses   Pauses
	Whole    bool // every serial is typed to the end: no note is settled early
	Watch    patterns.Watch
	Wishes   Wishes // the personal rules
	Settings patterns.Settings

	// OldBefore is the series before which a note of a denomination counts as old and stops the
	// sorter, as "2003"; "none" for never, and the usual limit where nothing stands.
	OldBefore map[Denomination]string

	Ripe  int   // stars to be looked up that make a batch ripe; 0 for the usual hundred
	Hints Hints // those told on the first strap

	ShortRun int // most notes of a short run of stars; 0 for the usual 640,000 (common practice)

	Comfort Comfort
}

// RipeAt is how many stars to be looked up make a batch ripe.
func (c Choices) RipeAt() int { return cmp.Or(c.Ripe, 100) }

// ShortUpTo is how many notes a run of stars has at most that is called short.
func (c Choices) ShortUpTo() int { return cmp.Or(c.ShortRun, 640_000) }

// OldLimit is the series before which notes of a denomination count as old, empty for none.
func (c Choices) OldLimit(d Denomination) string {
	switch limit := c.OldBefore[d]; limit {
	case "":
		return currency.DefaultOldLimit(int(d)).String()
	case NeverOld:
		return ""
	default:
		return limit
	}
}

// SetOldLimit gives the choices with another limit for one denomination.
func (c Choices) SetOldLimit(d Denomination, limit string) Choices {
	c.OldBefore = maps.Clone(c.OldBefore)
	if c.OldBefore == nil {
		c.OldBefore = map[Denomination]string{}
	}
	c.OldBefore[d] = limit
	return c
}

// NeverOld is the limit of a person whom no series stops.
const NeverOld = "none"

// DefaultChoices gives what a new user starts with.
func DefaultChoices() (Choices, error) {
	book, err := patterns.NewBook(patterns.DefaultSettings())
	if err != nil {
		return Choices{}, err
	}
	return ChoicesFrom(book), nil
}

// ChoicesFrom gives what a new user starts with, under the definitions of a book.
func ChoicesFrom(book *patterns.Book) Choices {
	return Choices{Pauses: DefaultPauses(), Watch: book.DefaultWatch(), Settings: book.Settings()}
}
