package triage

import "time"

// Pauses are the waits the sorter has chosen. None can be switched off.
type Pauses struct {
	Plain time.Duration // before an ordinary note can be decided
	Stop  time.Duration // before a hit, a near miss or a doubtful serial can be decided
	Pace  time.Duration // notes decided faster than this, ten in a row, are too fast
}

// The bounds of Pauses.Plain and Pauses.Stop.
const (
	MinPause = 200 * time.Millisecond
	MaxPause = 10 * time.Second
)

// DefaultPauses gives the waits a new user starts with.
func DefaultPauses() Pauses {
	return Pauses{Plain: 400 * time.Millisecond, Stop: 1500 * time.Millisecond, Pace: 2 * time.Second}
}

// Bounded gives the pauses with each wait drawn into its bounds.
func (p Pauses) Bounded() Pauses {
	bound := func(d, low time.Duration) time.Duration { return min(max(d, low), MaxPause) }
	return Pauses{Plain: bound(p.Plain, MinPause), Stop: bound(p.Stop, MinPause), Pace: bound(p.Pace, 0)}
}

// rest is how long a key that came too early must stay away before it counts again. A held key
// repeats after a first delay of up to a second, so a shorter rest would let it through.
const rest = 1100 * time.Millisecond

// A Gate is deaf to decision keys until its pause is over. Keys that come too early belong to the
// rhythm of the note before: they are dropped, never saved up. A terminal tells a held key from a
// pressed one by nothing, so a key that came too early stays locked until it has rested or another
// key has come.
type Gate struct {
	opened time.Time
	wait   time.Duration
	heard  [keyKinds]time.Time // when each locked key was last heard; zero: not locked
}

// Open starts a pause of the given length. A locked key stays locked.
func (g *Gate) Open(at time.Time, wait time.Duration) { g.opened, g.wait = at, wait }

// Lock makes a key rest, as after it has decided.
func (g *Gate) Lock(k KeyKind, at time.Time) { g.heard[k] = at }

// Other says that a key came which decides nothing: it frees the locked ones.
func (g *Gate) Other() { g.heard = [keyKinds]time.Time{} }

// Rests reports whether a key is locked and has not been away long enough.
func (g Gate) Rests(k KeyKind, at time.Time) bool {
	return !g.heard[k].IsZero() && at.Sub(g.heard[k]) < rest
}

// Press says that a decision key came, and answers Quiet if it counts. A key that counts is locked
// from then on, so that its own repeats decide nothing more.
func (g *Gate) Press(k KeyKind, at time.Time) NoticeKind {
	resting := g.Rests(k, at)
	g.Other()
	g.Lock(k, at)
	switch {
	case resting:
		return HeldKey
	case at.Before(g.Ready()):
		return TooEarly
	}
	return Quiet
}

// Ready is the moment at which the pause is over.
func (g Gate) Ready() time.Time { return g.opened.Add(g.wait) }

// Done tells how much of the pause is over, from 0 to 1.
func (g Gate) Done(at time.Time) float64 {
	if g.wait <= 0 {
		return 1
	}
	return min(max(float64(at.Sub(g.opened))/float64(g.wait), 0), 1)
}
