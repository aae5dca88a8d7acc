package triage

import (
	"app/unband/patterns"
	"app/unband/triage/currency"
)

// A Relation is how a note met before stands to the one in hand, as far as both were typed.
type Relation uint8

// The relations.
const (
	SameDigits  Relation = iota + 1 // the same eight digits; whether it is the same note is not known
	OtherBlock                      // the same eight digits under other letters: another note
	OtherSeries                     // the same whole serial in another series: another note
	SameSerial                      // the same whole serial: most likely the same note, met again
	OtherPlant                      // the same star printed at the other plant: a pair to keep together
	OneBefore                       // the serial before this one, in the same block
	OneAfter                        // the serial after this one, in the same block
)

// A Memory is a note met before that has to do with the one in hand.
type Memory struct {
	Note     Note
	Relation Relation
	Here     bool // it lies in the strap on the table
}

// relate says how an older note with the same digits stands to the one in hand.
func (h InHand) relate(n Note) Relation {
	a, b := n.Serial, h.Entry.Serial
	plants := n.Facility != currency.FacilityUnknown && h.facts.Facility != currency.FacilityUnknown
	lettered := a.Prefix != "" && b.Prefix != "" && closed(a) && closed(b)
	switch {
	case !h.sameFace(n), !mayBeSame(a, b):
		return OtherBlock
	case lettered && n.Series != "" && h.facts.Series != "" && n.Series != h.facts.Series:
		return OtherSeries
	case lettered && plants && n.Facility != h.facts.Facility && currency.Twin(h.Reading()) == currency.TwicePrinted:
		return OtherPlant
	case lettered:
		return SameSerial
	}
	return SameDigits
}

// closed reports whether the serial was typed to its end, with letter or star.
func closed(s Serial) bool { return s.Suffix != 0 || s.Star }

// remember gathers what was met before: the same digits anywhere, and serials next to this one that
// lie in the strap on the table or were kept.
func (h *InHand) remember(d patterns.Digits) {
	met := h.rules.Met
	if met == nil {
		return
	}
	for _, n := range met(d) {
		if n.Place() != h.place { // else this note itself, being changed
			h.memories = append(h.memories, Memory{n, h.relate(n), h.here(n)})
		}
	}
	if d > 0 {
		h.neighbours(met(d-1), OneBefore)
	}
	if d < patterns.Total-1 {
		h.neighbours(met(d+1), OneAfter)
	}
}

// neighbours takes in those notes that are of this block and can still be put beside this one.
func (h *InHand) neighbours(notes []Note, r Relation) {
	for _, n := range notes {
		reachable := h.here(n) || n.Decision == Keep
		if reachable && h.sameFace(n) && n.Place() != h.place && n.Serial.Star == h.Entry.Star && mayBeSame(n.Serial, h.Entry.Serial) && h.maySeries(n) {
			h.memories = append(h.memories, Memory{n, r, h.here(n)})
		}
	}
}

// maySeries reports whether both notes can be of one series.
func (h InHand) maySeries(n Note) bool {
	return n.Series == "" || h.facts.Series == "" || n.Series == h.facts.Series
}

// sameFace reports whether a note is of the same denomination: a $1 and a $2 are never one block.
func (h InHand) sameFace(n Note) bool {
	face := n.Denomination
	switch {
	case face != 0:
	case n.Session == h.place.Session:
		face = h.pile
	case h.rules.Face == nil: // not known
		return true
	default:
		face = h.rules.Face(n.Session)
	}
	return face == h.face()
}

func (h InHand) here(n Note) bool {
	return n.Session == h.place.Session && n.Strap == h.place.Strap
}

// mayBeSame reports whether two serials with the same digits can be of one note, or neighbours of
// one block: no letter that was typed for both differs.
func mayBeSame(a, b Serial) bool {
	switch {
	case a.Prefix != "" && b.Prefix != "" && a.Prefix != b.Prefix:
		return false
	case a.Suffix != 0 && b.Suffix != 0:
		return a.Suffix == b.Suffix
	case a.Star && b.Suffix != 0, b.Star && a.Suffix != 0:
		return false
	}
	return true
}

// Memories are the notes met before that have to do with the one in hand: those with its digits,
// newest first, then its neighbours.
func (h InHand) Memories() []Memory { return h.memories }

// Twin is the note of this strap that may be this very one, typed before.
func (h InHand) Twin() (n Note, ok bool) {
	for _, m := range h.memories {
		if m.Here && (m.Relation == SameDigits || m.Relation == SameSerial) {
			return m.Note, true
		}
	}
	return Note{}, false
}
