package triage

import (
	"fmt"

	"app/unband/patterns"
	"app/unband/triage/flaws"
)

// An Advice is what the notes around a note ask for. All of it is common practice, no source.
type Advice uint8

// The advices.
const (
	NoAdvice         Advice = iota
	KeepNeighbours          // keep the note before and the note after, too
	KeepIfNeighbours        // the same, where their numbers are those before and after it
	WholeStarStrap          // the strap is made of stars: keep it whole, with its band
)

// neighbourly are the rules whose notes are sought together with those beside them: a ladder, a low
// number.
var neighbourly = patterns.Set(0).With(patterns.LadderUp).With(patterns.LadderDown).With(patterns.LowNumber)

// starsInARow is how many stars from the top of a strap of new notes make it a strap of stars.
const starsInARow = 3

// WantsNeighbours reports whether the notes beside this one are to be kept with it: it is kept, and an
// error, a ladder or a low number, or the person has marked it. Nothing ties a star to the notes
// beside it. Of a note that is not decided it is what holds if it is kept.
func (n Note) WantsNeighbours() bool {
	outcome, _ := n.Flaw.Outcome()
	return (n.Decision == Keep || n.Decision == Undecided) && n.Fate != SpentAfter && !n.Serial.Star &&
		(n.Hits&neighbourly != 0 || outcome.Kind == flaws.Error || n.Neighbours)
}

// AdviceOn says what is to be done about the notes around the one at a position of the strap, which was
// decided just now. It is said before the next note is turned.
func AdviceOn(s Session, notes []Note, position int) Advice {
	if position < 1 || position > len(notes) {
		return NoAdvice
	}
	switch n := notes[position-1]; {
	case n.WantsNeighbours() && s.NewNotes:
		return KeepNeighbours
	case n.WantsNeighbours():
		return KeepIfNeighbours
	case s.NewNotes && position == len(notes) && position == starsInARow && allStars(notes):
		return WholeStarStrap
	}
	return NoAdvice
}

func allStars(notes []Note) bool {
	for _, n := range notes {
		if !n.Serial.Star {
			return false
		}
	}
	return true
}

// besideOf are the notes right before and after a place that want their neighbours. before is the last note
// of the strap before, after the first of the next one, nil for none.
func besideOf(notes []Note, place int, before, after *Note) (keepers []Note) {
	add := func(n Note) {
		if n.WantsNeighbours() {
			keepers = append(keepers, n)
		}
	}
	switch {
	case place >= 2 && place-2 < len(notes):
		add(notes[place-2])
	case place == 1 && before != nil:
		add(*before)
	}
	switch {
	case place < len(notes):
		add(notes[place])
	case place == len(notes) && after != nil:
		add(*after)
	}
	return keepers
}

// mayAdjoin reports whether two serials can be next to each other in one block, as far as both were
// typed.
func mayAdjoin(a, b Serial) bool {
	d, whole := a.Whole()
	if !whole {
		if d, whole = b.Whole(); !whole {
			return true
		}
		a, b = b, a
	}
	if b.Star != a.Star && b.Digits != "" || !mayBeSame(a, b) {
		return false
	}
	starts := func(n patterns.Digits) bool {
		text := n.String()
		return len(b.Digits) <= len(text) && text[:len(b.Digits)] == b.Digits
	}
	return d > 0 && starts(d-1) || d+1 < patterns.Total && starts(d+1)
}

// joined reports whether a note with the serial is a neighbour that a keeper wants. In a strap of new
// notes the notes beside an error, or beside one the person has marked, are its neighbours whatever number was
// pulled between them.
func joined(newNotes bool, keeper Note, s Serial) bool {
	if s.Star {
		return false
	}
	return whateverNumber(newNotes, keeper) || mayAdjoin(keeper.Serial, s)
}

// whateverNumber reports whether what lies beside a keeper is its neighbour without a look at its number.
func whateverNumber(newNotes bool, keeper Note) bool {
	outcome, _ := keeper.Flaw.Outcome()
	return newNotes && (outcome.Kind == flaws.Error || keeper.Neighbours)
}

// BesideByNumber reports whether the note lies beside a keeper that wants its neighbours, and only its number, which is not
// typed to the end, can tell if it is one.
func (h InHand) BesideByNumber() bool {
	k, ok := h.Beside()
	return ok && !h.Entry.Complete() && !whateverNumber(h.rules.NewNotes, k)
}

// WantsBeside reports whether a note that lies right beside this one is a neighbour to be kept with it, as
// far as the numbers of both were typed. Whether it lies there is for the caller to know.
func (n Note) WantsBeside(neighbour Note, newNotes bool) bool {
	return n.WantsNeighbours() && joined(newNotes, n, neighbour.Serial)
}

// Beside gives the kept note beside this one that wants its neighbours; ok is false where none does, or
// where the number typed shows that this note is not its neighbour.
func (h InHand) Beside() (keeper Note, ok bool) {
	for _, k := range h.beside {
		if joined(h.rules.NewNotes, k, h.Entry.Serial) {
			return k, true
		}
	}
	return Note{}, false
}

// BesideWords say beside which note this one lies.
func (h InHand) BesideWords() string {
	k, ok := h.Beside()
	if !ok {
		return ""
	}
	return besideWords(h.place, k)
}

func besideWords(here Place, k Note) string {
	if k.Strap != here.Strap {
		return fmt.Sprintf("beside note %d of strap %d", k.Position, k.Strap)
	}
	return fmt.Sprintf("beside note %d", k.Position)
}

// wanted gives the positions of the decided notes of a strap that lie beside a keeper which wants them, and are
// not kept. before is the last note of the strap before, nil for none.
func wanted(newNotes bool, notes []Note, before, after *Note) []int {
	var places []int
	for i, n := range notes {
		for _, k := range besideOf(notes, i+1, before, after) {
			if k.Decision == Keep && (n.Decision == Spend || n.Decision == Glance) && joined(newNotes, k, n.Serial) {
				places = append(places, i+1)
				break
			}
		}
	}
	return places
}
