package triage

import (
	"slices"
	"time"
)

// A SecondLook goes once more through the near misses that were spent. Each can stay spent, be kept
// after all, or have its doubtful digits read again; it can be left and taken up at any time, since
// each answer is stored by itself.
type SecondLook struct {
	session Session
	rules   Rules
	list    []Note // still to be looked at, in the order of the pile
	index   int
	hand    InHand
	outbox
	done, kept int // answers given in this sitting
}

// NewSecondLook takes up the notes that wait, in the order given.
func NewSecondLook(s Session, waiting []Note, r Rules, at time.Time) *SecondLook {
	r.Pauses = r.Pauses.Bounded()
	r = r.of(s)
	l := &SecondLook{session: s, rules: r, list: slices.Clone(waiting)}
	l.show(0, at)
	l.Deaf(KeyEnter, at) // the key that led here may still be down
	return l
}

// Session is the session with its totals as stored.
func (l *SecondLook) Session() Session { return l.session }

// Left is how many notes still wait.
func (l *SecondLook) Left() int { return len(l.list) }

// Answered counts the notes looked at in this sitting, and those of them kept after all.
func (l *SecondLook) Answered() (notes, kept int) { return l.done, l.kept }

// Index is the place of the note shown among those that wait, from 0.
func (l *SecondLook) Index() int { return l.index }

// Note is the note shown, as it is stored; ok is false when none is left.
func (l *SecondLook) Note() (n Note, ok bool) {
	if l.index >= len(l.list) {
		return Note{}, false
	}
	return l.list[l.index], true
}

// Hand is the note shown, with what has been read again.
func (l *SecondLook) Hand() *InHand { return &l.hand }

func (l *SecondLook) show(i int, at time.Time) {
	l.index = min(max(i, 0), max(len(l.list)-1, 0))
	if n, ok := l.Note(); ok {
		l.hand = newInHand(l.rules, l.session.Denomination, n.Place(), at)
		l.hand.takeUp(n, at)
	}
}

// Press takes one key. Characters count only while the doubtful digits are being read again.
func (l *SecondLook) Press(k Key, at time.Time) Effect {
	if l.holds(k) || len(l.list) == 0 {
		return Effect{}
	}
	e := l.press(k, at)
	l.pending = e.Decide
	return e
}

func (l *SecondLook) press(k Key, at time.Time) Effect {
	reading := l.hand.Asks()
	switch k.Kind {
	case KeyKeep, KeySpend:
		l.hand.read = l.hand.Entry.Digits // looking again is what this is: nothing more is asked
		d, n := l.hand.Press(k.Kind, at)
		return l.decided(d, n, at)
	case KeyEnter:
		if reading {
			d, n := l.hand.Answer(at)
			l.hand.gate.Lock(KeyEnter, at) // held down, it must not begin the re-read again
			return l.decided(d, n, at)
		}
		if l.hand.gate.Rests(KeyEnter, at) { // the key that answered before may still be down
			l.hand.gate.Lock(KeyEnter, at)
			return Effect{Notice: Notice{Kind: HeldKey}}
		}
		return Effect{Notice: l.hand.StartReread(at)}
	case KeyBack:
		l.show(l.index-1, at)
	case KeyMove:
		l.show(l.index+k.N, at)
	case KeyRune:
		if reading {
			return Effect{Notice: l.hand.Type(k.Rune, at)}
		}
		return Effect{Notice: Notice{Kind: UnknownKey, Text: string(k.Rune)}}
	case KeyErase:
		if reading {
			return Effect{Notice: l.hand.Erase(at)}
		}
	case KeyClear:
		if reading {
			return Effect{Notice: l.hand.Clear(at)}
		}
	}
	return Effect{}
}

// SaveFacts stores what was said about the note shown; it waits on as it did.
func (l *SecondLook) SaveFacts(at time.Time) Effect {
	old, ok := l.Note()
	if !ok || l.pending != nil || old.Facts() == l.hand.facts {
		return Effect{}
	}
	note := old.Revised(l.hand.facts, at)
	l.pending = &note
	return Effect{Decide: &note}
}

func (l *SecondLook) decided(d Decision, n Notice, at time.Time) Effect {
	old, ok := l.Note()
	if d == Undecided || !ok {
		return Effect{Notice: n}
	}
	note := l.hand.note(d, at)
	note.Session, note.Strap, note.Position = old.Session, old.Strap, old.Position
	note.Version, note.Took = old.Version+1, old.Took
	if note.Ruled == NoRuling && note.Serial.Digits == old.Serial.Digits { // as beside a keeper, which is not seen here
		note.Ruled = old.Ruled
	}
	note.Look = StillSpent
	if d == Keep {
		note.Look = KeptAfter
	}
	return Effect{Decide: &note}
}

// Stored says that the pending answer is on the disk, goes on to the next note and plays the keys
// that came meanwhile.
func (l *SecondLook) Stored(s Session, at time.Time) []Effect {
	if l.pending == nil {
		return nil
	}
	note := *l.pending
	l.pending, l.session = nil, s
	if note.Look == Waiting { // only what is known of it was changed
		l.list[l.index] = note // what has been read again meanwhile stays in hand
		return l.replay(l.Press, at)
	}
	l.done++
	if note.Decision == Keep {
		l.kept++
	}
	l.list = slices.Delete(l.list, l.index, l.index+1)
	l.show(l.index, at)
	l.Deaf(note.Decision.key(), note.Decided)
	l.Deaf(KeyEnter, note.Decided)
	return l.replay(l.Press, at)
}

// Deaf says that a decision key came in a way in which it never decides, as in a burst.
func (l *SecondLook) Deaf(k KeyKind, at time.Time) { l.hand.gate.Lock(k, at) }

// Shown says that the note can be seen again after it could not: the pause begins anew.
func (l *SecondLook) Shown(at time.Time) { l.hand.gate.Open(at, l.hand.wait()) }

// Failed says that the pending answer is not on the disk. The note is still to be looked at.
func (l *SecondLook) Failed(at time.Time) {
	l.drop()
	l.hand.gate.Open(at, l.hand.wait())
}

// Above counts the spent notes that lie on top of one in the spend pile of its strap, when the
// pile was laid note upon note.
func Above(notes []Note, position int) int {
	n := 0
	for _, other := range notes {
		if other.Position > position && (other.Decision == Spend || other.Decision == Glance) {
			n++
		}
	}
	return n
}
