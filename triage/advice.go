package triage

import (
	"app/unband/patterns"
	"app/unband/triage/flaws"
)

// An Advice is what the notes around a note ask for. All of it is common practice, no source.
type Advice uint8

// The advices.
const (
	NoAdvice       Advice = iota
	KeepNeighbours        // keep the note before and the note after, too
	WholeStarStrap        // the strap is made of stars: keep it whole, with its band
)

// neighbourly are the rules whose notes are sought together with those beside them: a ladder, a low
// number.
var neighbourly = patterns.Set(0).With(patterns.LadderUp).With(patterns.LadderDown).With(patterns.LowNumber)

// starsInARow is how many stars from the top of a strap of new notes make it a strap of stars.
const starsInARow = 5

// AdviceOn says what is to be done about the notes around the one just decided, which is the last of
// notes. It is said before the next note is turned. Nothing ties a star to the notes beside it.
func AdviceOn(s Session, notes []Note) Advice {
	if len(notes) == 0 {
		return NoAdvice
	}
	n := notes[len(notes)-1]
	if n.Serial.Star {
		if s.NewNotes && len(notes) == starsInARow && allStars(notes) {
			return WholeStarStrap
		}
		return NoAdvice
	}
	outcome, _ := n.Flaw.Outcome()
	if n.Decision == Keep && (n.Hits&neighbourly != 0 || outcome.Kind == flaws.Error) {
		return KeepNeighbours
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
