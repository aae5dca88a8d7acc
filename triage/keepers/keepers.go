// Package keepers makes the list of everything that was kept: why, where it lies, what became of it.
// It finds and sorts; it draws nothing and stores nothing. Equal input, equal output.
package keepers

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"app/unband/patterns"
	"app/unband/triage"
	"app/unband/triage/currency"
	"app/unband/triage/flaws"
	"app/unband/triage/stars"
)

// A Keeper is one kept note with what its session says of it.
type Keeper struct {
	Note    triage.Note
	Session triage.Session
	Why     []string // what it was kept for, the rarest first: "radar", "star", "gutter fold"
	Bank    byte     // 'A' to 'L'; 0 where the serial names none, or not yet

	text string // what the filter looks through, in small letters
}

// Face is the face value in dollars.
func (k *Keeper) Face() int { return int(cmp.Or(k.Note.Denomination, k.Session.Denomination)) }

// List makes keepers of kept notes, the newest first. Sessions that are missing leave their notes without
// a name and a face value. rarest gives the rules with the rarest first; a rule that is not among them is
// the person's own and leads.
func List(notes []triage.Note, sessions []triage.Session, rarest []patterns.ID) []*Keeper {
	byID := map[uint64]triage.Session{}
	names := map[uint64]map[patterns.ID]string{}
	for _, s := range sessions {
		byID[s.ID] = s
		names[s.ID], _ = patterns.Names(s.Settings) // a session whose definitions cannot be read has no names for its patterns
	}
	wanted := map[triage.Place]bool{}
	for _, n := range notes {
		if n.WantsNeighbours() {
			wanted[n.Place()] = true
		}
	}
	rank := [64]int{}
	for i, id := range rarest {
		rank[id&63] = i + 1
	}
	all := make([]*Keeper, 0, len(notes))
	for _, n := range notes {
		k := &Keeper{Note: n, Session: byID[n.Session]}
		k.Bank = bank(n, k.Session.Denomination)
		k.Why = why(n, names[n.Session], rank[:], beside(n, wanted))
		k.text = k.words()
		all = append(all, k)
	}
	Sort(all, Newest)
	return all
}

// beside gives the position of a keeper next to this one that wants its neighbours, 0 for none.
func beside(n triage.Note, wanted map[triage.Place]bool) int {
	if n.Serial.Star { // nothing ties a star to the notes beside it
		return 0
	}
	for _, by := range []int{-1, 1} {
		p := n.Place()
		p.Position += by
		if wanted[p] {
			return p.Position
		}
	}
	return 0
}

// why says what a note was kept for, as far as it is known.
func why(n triage.Note, names map[patterns.ID]string, rank []int, beside int) []string {
	var words []string
	hits := (n.Hits & n.Watched).IDs()
	slices.SortStableFunc(hits, func(a, b patterns.ID) int { return cmp.Compare(rank[a], rank[b]) })
	for _, id := range hits {
		if name := names[id]; name != "" {
			words = append(words, name)
		}
	}
	if n.Serial.Star {
		words = append(words, "star")
	}
	if n.Flaw.Keep() {
		words = append(words, n.Flaw.String())
	}
	if n.Look == triage.KeptAfter && len(hits) == 0 { // else it was misread, and is what it nearly was
		near := "near miss"
		for _, id := range (n.Near & n.Watched).IDs() {
			if name := names[id]; name != "" {
				near = "near " + name
				break
			}
		}
		words = append(words, near)
	}
	if beside > 0 {
		words = append(words, fmt.Sprintf("beside note %d", beside))
	}
	if n.Neighbours {
		words = append(words, "with its neighbours")
	}
	if n.Stamp {
		words = append(words, "tracking stamp")
	}
	if n.Reason != "" {
		words = append(words, triage.Printable(n.Reason))
	}
	if len(words) == 0 && n.Series != "" {
		words = append(words, "series "+n.Series)
	}
	return words
}

// bank is the Federal Reserve Bank that the serial names: the letter of $1 and $2, the second of two, and
// the only one of a series before 1996 (BEP, Serial Numbers). Older classes name none.
func bank(n triage.Note, d triage.Denomination) byte {
	if n.Serial.StarFront || n.Seal != currency.ColourUnknown && n.Seal != currency.Green {
		return 0
	}
	star, _ := stars.Of(n, d)
	return star.Bank
}

// words are what the filter looks through.
func (k *Keeper) words() string {
	n := k.Note
	parts := append([]string{
		n.Serial.String(), "series " + n.Series, k.Session.Denomination.String(), n.Where, k.Session.Name, k.Session.Source, n.Remark,
		n.Face, n.Back, n.FateRemark,
	}, k.Why...)
	if k.Bank != 0 {
		parts = append(parts, stars.BankName(k.Bank))
	}
	if n.Defects != 0 {
		parts = append(parts, n.Defects.String())
	}
	if n.Grade != flaws.NoGrade {
		parts = append(parts, n.Grade.String())
	}
	if n.Fate != triage.StillHere {
		parts = append(parts, n.Fate.String())
	}
	return strings.ToLower(strings.Join(parts, "\n"))
}

// Filter gives the keepers that have every word of the query somewhere in what is known of them: serial,
// pattern, series, bank, place, session, defect, remark. Small and capital letters are alike.
func Filter(all []*Keeper, query string) []*Keeper {
	words := strings.Fields(strings.ToLower(query))
	if len(words) == 0 {
		return all
	}
	var found []*Keeper
	for _, k := range all {
		if k.has(words) {
			found = append(found, k)
		}
	}
	return found
}

func (k *Keeper) has(words []string) bool {
	for _, w := range words {
		if !strings.Contains(k.text, w) {
			return false
		}
	}
	return true
}

// An Order is how keepers are sorted.
type Order uint8

// The orders.
const (
	Newest Order = iota
	Oldest
	BySeries // denomination, series, bank, serial
	ByPlace  // where they lie; those that lie nowhere yet come first
	ByWhy    // what they were kept for
	orders
)

// String names the order.
func (o Order) String() string {
	return [...]string{"newest first", "oldest first", "by series and bank", "by place", "by what they are"}[o%orders]
}

// Next gives the order after this one, around.
func (o Order) Next() Order { return (o + 1) % orders }

// Sort sorts keepers in place. Equal ones stay by session, strap and note.
func Sort(all []*Keeper, o Order) {
	slices.SortStableFunc(all, func(a, b *Keeper) int {
		return cmp.Or(o.compare(a, b), cmp.Compare(a.Note.Session, b.Note.Session),
			cmp.Compare(a.Note.Strap, b.Note.Strap), cmp.Compare(a.Note.Position, b.Note.Position))
	})
}

func (o Order) compare(a, b *Keeper) int {
	switch o {
	case Oldest:
		return a.Note.Decided.Compare(b.Note.Decided)
	case BySeries:
		return cmp.Or(cmp.Compare(a.Session.Denomination, b.Session.Denomination), stars.CompareSeries(a.Note.Series, b.Note.Series),
			cmp.Compare(a.Bank, b.Bank), cmp.Compare(a.Note.Serial.Digits, b.Note.Serial.Digits))
	case ByPlace:
		return cmp.Compare(a.Note.Where, b.Note.Where)
	case ByWhy:
		return cmp.Compare(strings.Join(a.Why, ", "), strings.Join(b.Why, ", "))
	}
	return b.Note.Decided.Compare(a.Note.Decided)
}

// A Sum counts keepers and their face value in dollars, by what became of them.
type Sum struct {
	Notes, Dollars map[triage.Fate]int
}

// Add sums keepers up.
func Add(all []*Keeper) Sum {
	s := Sum{map[triage.Fate]int{}, map[triage.Fate]int{}}
	for _, k := range all {
		s.Notes[k.Note.Fate]++
		s.Dollars[k.Note.Fate] += k.Face()
	}
	return s
}
