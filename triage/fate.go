package triage

import "time"

// A Fate is what became of a kept note later.
type Fate uint8

// The fates. Their numbers are stored: never renumber, only add.
const (
	StillHere   Fate = 0
	Sold        Fate = 1
	Traded      Fate = 2
	SentGrading Fate = 3 // sent to be graded: it is the person's still
	SpentAfter  Fate = 4 // spent after all: its face value is spent, not kept
)

// Fates lists every fate, that of a note still here first.
var Fates = []Fate{StillHere, Sold, Traded, SentGrading, SpentAfter}

// String gives the fate in words.
func (f Fate) String() string {
	switch f {
	case StillHere:
		return "still here"
	case Sold:
		return "sold"
	case Traded:
		return "traded"
	case SentGrading:
		return "sent to be graded"
	case SpentAfter:
		return "spent after all"
	}
	return "gone in a way that this version does not know"
}

// Gone reports whether the note is not the person's any more.
func (f Fate) Gone() bool { return f == Sold || f == Traded || f == SpentAfter }

// Revised gives the next version of a decided note with other facts. The decision and its time stay.
func (n Note) Revised(f Facts, at time.Time) Note {
	n = n.with(f)
	n.Version, n.Changed = n.Version+1, at
	return n
}

// Became gives the next version of a kept note after it has gone its way, or has come back.
func (n Note) Became(f Fate, day time.Time, remark string, at time.Time) Note {
	n.Fate, n.FateDay, n.FateRemark = f, day, remark
	if f == StillHere {
		n.FateDay, n.FateRemark = time.Time{}, ""
	}
	n.Version, n.Changed = n.Version+1, at
	return n
}
