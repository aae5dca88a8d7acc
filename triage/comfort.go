package triage

import "time"

// Comfort is how the screen treats the person before it. Its zero value is what a new user starts with.
type Comfort struct {
	Calm    bool          // nothing on the screen moves by itself
	OneLine bool          // the serial stands in one line instead of drawn digits
	Bell    bool          // the terminal's bell rings for a watched hit
	Flash   bool          // a line is lit for a moment for a watched hit
	Break   time.Duration // of sorting, after which a break is called to mind; 0 for never
}

// The bounds of Comfort.Break where it is not 0.
const (
	MinBreak = 20 * time.Minute
	MaxBreak = 120 * time.Minute
)

// BreakStep is by how much Comfort.Break is turned.
const BreakStep = 10 * time.Minute

// Rested is how long nobody has to have sorted for that to count as a break (common practice, no source).
const Rested = 5 * time.Minute

// A Sitting tells when a break is due. It is told of every decision and of the time it was made at.
type Sitting struct {
	began, last time.Time
}

// Decided takes in a decision. It reports how long notes have been sorted, and whether a break is due: once when the
// time chosen is over, and again after as long. A pause of Rested starts the count anew.
func (s *Sitting) Decided(at time.Time, every time.Duration) (sorted time.Duration, due bool) {
	if s.last.IsZero() || at.Sub(s.last) >= Rested || at.Before(s.last) {
		s.began = at
	}
	s.last = at
	sorted = at.Sub(s.began)
	if every <= 0 || sorted < every {
		return sorted, false
	}
	s.began = at
	return sorted, true
}
