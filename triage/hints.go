package triage

// Hints are what a person is told once, on the very first strap of a file, when it first applies.
type Hints uint8

// The hints, in the order in which one is preferred where several apply.
const (
	HintPause   Hints = 1 << iota // the serial stands, and no decision counts yet
	HintNear                      // a watched near miss
	HintStar                      // a star
	HintBack                      // a note is decided: one can go back to it
	HintLeaving                   // some are: one can leave

	AllHints = HintPause | HintNear | HintStar | HintBack | HintLeaving
)

// hintLeavingAt is the place at which the last hint comes: not before the hand has found its way.
const hintLeavingAt = 4

// FirstHint gives the hint that applies to what is in hand and was not told, 0 for none. Only notes of the first strap of
// a file that are typed are ever told of.
func (s *Sorter) FirstHint(told Hints) Hints {
	if s.session.ID != 1 || s.strap.Number != 1 || s.HasListed() || s.Back() || s.Ending() || s.hand.Asks() {
		return 0
	}
	e := s.hand.Entry
	for _, h := range []struct {
		hint    Hints
		applies bool
	}{
		{HintPause, e.Complete() || s.hand.Settled()},
		{HintNear, e.Complete() && s.hand.Near()},
		{HintStar, e.Star},
		{HintBack, e.Empty() && s.Place() == 2},
		{HintLeaving, e.Empty() && s.Place() == hintLeavingAt},
	} {
		if h.applies && told&h.hint == 0 {
			return h.hint
		}
	}
	return 0
}
