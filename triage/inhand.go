package triage

import (
	"time"

	"app/unband/patterns"
	"app/unband/triage/currency"
)

// A Mode is what the keys do to the note in hand just now.
type Mode uint8

// The modes.
const (
	Typing     Mode = iota // characters go into the serial
	Sure                   // a decision key came once and must come again
	Rereading              // the doubtful digits are blanked and typed once more from the note
	AskingStar             // a star is to be kept: its prefix and series are asked for
)

// Rules is what the notes of a session are judged by.
type Rules struct {
	Book   *patterns.Book
	Watch  patterns.Watch
	Wishes Wishes // the personal rules
	Pauses Pauses
	Whole  bool                         // every serial is typed to the end
	Met    func(patterns.Digits) []Note // notes met before with these digits; may be nil

	// Face is the denomination of a session's notes; nil says that all are of one.
	Face func(session uint64) Denomination

	// OldBefore is the series, as "2003", before which a note counts as old and stops the sorter;
	// empty for none.
	OldBefore string

	NewNotes bool  // the notes come from the printer, so that those beside each other adjoin
	Before   *Note // the last note of the strap before, nil for none
	After    *Note // the first note of the next strap, where it is decided already; nil for none
}

// InHand is the note being looked at: its serial as typed so far, what the digits say, and how far
// the person is on the way to a decision.
type InHand struct {
	Entry Entry

	facts     Facts
	pile      Denomination // of the session
	place     Place
	rules     Rules
	loaded    bool             // a decided note was taken up and not a key of it changed
	had       bool             // the note taken up had digits, or was said to be not there
	past      bool             // the band promises no such note
	listed    *Listed          // what was taken in of the note before, nil for nothing
	readAs    Serial           // see ReadOtherwise; empty where nothing was read
	elsewhere func(Serial) int // where a serial is listed, see ListedAt; nil where nothing is
	was       Note             // of one taken up: as it is stored
	beside    []Note           // the kept notes right before and after it that want their neighbours
	mode      Mode
	gate      Gate
	stood     standing // what the running pause is about
	sure      Decision // of Sure: the decision to be confirmed
	judged    patterns.Judgement
	remarks   []currency.Remark
	memories  []Memory

	match, near patterns.Set // still possible, or true when complete
	settled     bool

	blanks  []int  // of Rereading: the places to be typed again
	answer  string // of Rereading: what was typed into them so far
	decides bool   // of Rereading: the same digits again spend the note
	read    string // digits that a re-read has confirmed
	reread  Reread
	before  string

	asked  bool   // of AskingStar: the questions were answered or passed over
	field  int    // of AskingStar: see starPrefix
	typing string // of AskingStar: the answer so far
	insist string // of AskingStar: a series that was asked about and may be given again
}

// newInHand takes up the note at a place at the given time.
func newInHand(r Rules, d Denomination, p Place, at time.Time) InHand {
	h := InHand{Entry: newEntry(d), pile: d, place: p, rules: r}
	h.changed(at)
	return h
}

// Mode tells what the keys do just now.
func (h InHand) Mode() Mode { return h.mode }

// Asks reports whether a question stands that must be answered or left first.
func (h InHand) Asks() bool { return h.mode == Rereading || h.mode == AskingStar }

// Judged is what the eight digits say; it is empty until they are complete.
func (h InHand) Judged() patterns.Judgement { return h.judged }

// Confirming is the decision that the same key must give a second time; Undecided if none.
func (h InHand) Confirming() Decision {
	if h.mode != Sure {
		return Undecided
	}
	return h.sure
}

// Pause tells how much of the pause is over at a time, from 0 to 1.
func (h InHand) Pause(at time.Time) float64 { return h.gate.Done(at) }

// Ready is the moment from which a decision key counts.
func (h InHand) Ready() time.Time { return h.gate.Ready() }

// Possible are the watched rules that the digits typed so far can still meet, or come near to.
func (h InHand) Possible() (match, near patterns.Set) {
	return h.match & h.rules.Watch.Hit, h.near & h.rules.Watch.Near
}

// Settled reports whether some digits stand, fewer than eight, and no watched rule can be met or
// missed by one change any more, whatever the rest is.
func (h InHand) Settled() bool { return h.settled }

// Hit reports whether the serial meets a watched rule, or the note is a star or old.
func (h InHand) Hit() bool {
	return h.Entry.Complete() && (h.judged.Match()&h.rules.Watch.Hit != 0 || h.Entry.Star || h.Old())
}

// Near reports whether the serial misses a watched rule by one change, and may have been misread.
func (h InHand) Near() bool {
	return h.Entry.Complete() && !h.bySequence() && h.judged.NearSet()&h.rules.Watch.Near != 0
}

// Blanks are the places, 0 to 7, being typed again, and what has been typed into them so far.
func (h InHand) Blanks() (places []int, answer string) { return h.blanks, h.answer }

// Asking is the question about a star being kept, 0 for the prefix, 1 for the series and 2 for the
// plant, and what has been typed so far.
func (h InHand) Asking() (field int, answer string) { return h.field, h.typing }

// Type takes one character at a time of the person's choosing.
func (h *InHand) Type(r rune, at time.Time) Notice {
	h.gate.Other()
	switch h.mode {
	case Rereading:
		return h.typeAnswer(r)
	case AskingStar:
		return h.typeStar(r)
	}
	h.mode = Typing
	if h.loaded { // the note is typed anew: what was said of it before goes, if the character begins a serial
		fresh := newEntry(h.pile)
		if n := fresh.Type(r); n.Kind != Quiet && n.Kind != OTakenAsZero || fresh.Empty() {
			return n
		}
		h.forget()
	}
	n := h.Entry.Type(r)
	h.changed(at)
	return n
}

// forget drops what was said of the note, but not the hand's way to a decision.
func (h *InHand) forget() {
	h.Entry = newEntry(h.pile)
	h.know(Facts{})
	h.reread, h.before, h.read, h.asked, h.loaded = NotReread, "", "", false, false
}

// Erase takes back the last character typed.
func (h *InHand) Erase(at time.Time) Notice {
	h.gate.Other()
	switch h.mode {
	case Rereading:
		return dropLast(&h.answer)
	case AskingStar:
		return dropLast(&h.typing)
	}
	h.mode, h.loaded = Typing, false
	n := h.Entry.Erase()
	h.changed(at)
	return n
}

func dropLast(s *string) Notice {
	if *s == "" {
		return Notice{Kind: NothingToErase}
	}
	*s = (*s)[:len(*s)-1]
	return Notice{}
}

// Clear takes back everything typed; in a re-read or a question with nothing typed it leaves that.
func (h *InHand) Clear(at time.Time) Notice {
	h.gate.Other()
	switch {
	case h.mode == Rereading && h.answer != "":
		h.answer = ""
	case h.mode == AskingStar && h.typing != "":
		h.typing = ""
	case h.mode == Rereading, h.mode == AskingStar:
		left := h.mode
		h.mode = Typing
		h.gate.Open(at, h.wait())
		if left == Rereading {
			return Notice{Kind: RereadLeft}
		}
	case h.Entry.Empty() && h.listed != nil: // what was taken in of it comes back
		h.mode = Typing
		h.takeListed(*h.listed)
		h.changed(at)
	case h.Entry.Empty() && !h.readAs.Empty(): // what was read of it does, too
		h.mode = Typing
		h.Entry.Serial, h.loaded = h.readAs, true
		h.changed(at)
	default:
		h.mode = Typing
		face := h.facts.Denomination
		h.forget()
		h.know(Facts{Denomination: face}) // it was said so that its serial can be typed
		h.changed(at)
	}
	return Notice{}
}

// A standing is what a decision on the entry would rest on. While it stays the same the pause
// goes on: a suffix letter typed after the digits, say, does not start it again.
type standing struct {
	on    string // the digits, or why fewer are enough; empty when nothing can be decided
	stops bool
}

func (h InHand) standing() standing {
	switch {
	case h.Entry.Complete():
		return standing{h.Entry.Digits, h.Stops()}
	case h.settled:
		return standing{on: "settled"}
	case h.Entry.Empty():
		return standing{on: "unread"}
	}
	return standing{}
}

// changed judges the entry anew and starts the pause again if a decision would rest on something
// else now.
func (h *InHand) changed(at time.Time) {
	h.judge()
	before := h.stood
	h.stood = h.standing()
	if h.stood != before && h.stood.on != "" {
		h.gate.Open(at, h.wait())
	}
}

// judge asks the rules about the entry as it stands.
func (h *InHand) judge() {
	b := h.rules.Book
	h.judged, h.remarks, h.memories, h.settled = patterns.Judgement{}, nil, nil, false
	if d, ok := h.Entry.Whole(); ok {
		h.judged = b.Judge(d)
		h.match, h.near = h.judged.Match(), h.judged.NearSet()
		h.remarks = currency.Check(h.Reading())
		h.remember(d)
		return
	}
	h.match, h.near = 0, 0
	if n := len(h.Entry.Digits); n < patterns.Places {
		h.match, h.near = b.Possible(h.Entry.Digits)
		match, near := h.Possible()
		h.settled = n > 0 && match == 0 && near == 0 && !h.rules.Whole && !h.Entry.Star
	}
}

// Stops reports whether the note wants more than a glance: a hit, a near miss, a doubt, an error, or a keeper
// beside it.
func (h InHand) Stops() bool {
	_, beside := h.Beside()
	return h.Hit() || h.Near() || h.Doubtful() || beside || h.facts.Flaw.Keep()
}

// wait is the pause before a decision counts. An unread note waits as long as a hit: a key pressed
// once too often after the note before must not spend it.
func (h InHand) wait() time.Duration {
	if h.Stops() || h.Entry.Empty() {
		return h.rules.Pauses.Stop
	}
	return h.rules.Pauses.Plain
}

// Press is a decision key, KeyKeep, KeySpend or KeySetAside. The decision is Undecided while the key did not
// count; the notice says why.
func (h *InHand) Press(k KeyKind, at time.Time) (Decision, Notice) {
	if n := h.deaf(k); n.Kind != Quiet {
		h.gate.Lock(k, at)
		return Undecided, n
	}
	if n := h.gate.Press(k, at); n != Quiet {
		return Undecided, Notice{Kind: n}
	}
	want := Keep
	switch k {
	case KeySpend:
		want = Spend
	case KeySetAside:
		want = SetAside
		if h.Apart() {
			want = LaidApart
		}
	}
	if want == Spend && h.Entry.Empty() {
		want = Glance
	}
	if h.sensitive(want) && !(h.mode == Sure && h.sure == want) {
		h.mode, h.sure = Sure, want
		h.gate.Open(at, h.rules.Pauses.Stop)
		return Undecided, Notice{Kind: AskAgain}
	}
	h.mode = Typing
	switch {
	case want == Spend && h.AsksReread():
		return Undecided, h.startReread(true)
	case want == Keep && h.Entry.Star && !h.asked && h.startStar():
		return Undecided, Notice{Kind: StarFacts}
	}
	return want, Notice{}
}

// deaf says why no decision can be taken from the entry, whatever the time.
func (h InHand) deaf(k KeyKind) Notice {
	n := len(h.Entry.Digits)
	switch {
	case h.mode == Rereading:
		return Notice{Kind: RereadFirst}
	case h.mode == AskingStar:
		return Notice{Kind: StarFacts}
	case n > patterns.Places:
		return Notice{Kind: TooManyDigits, N: n}
	case h.Apart() && k != KeySetAside:
		return Notice{Kind: OtherDenomination, N: int(h.facts.Denomination)}
	case h.Entry.Complete(), k == KeySetAside: // of a suspected counterfeit the serial is welcome, not needed
		return Notice{}
	case k == KeySpend && (h.Entry.Empty() || h.settled):
		return Notice{}
	}
	return Notice{Kind: TooFewDigits, N: n}
}

// sensitive reports whether a decision must be given twice: one against the personal rules, anything
// about a serial in doubt, and passing over unread a note that had been read or that the band does not
// promise.
func (h InHand) sensitive(d Decision) bool {
	switch {
	case d == LaidApart: // which note it is was said before
		return false
	case d == SetAside || h.Said().Ruling.Denies(d):
		return true
	}
	if d == Glance {
		return h.had || h.past
	}
	return h.Doubtful()
}

// AsksTwice reports whether a decision key is to be pressed once more before it counts.
func (h InHand) AsksTwice(d Decision) bool {
	return h.mode != Sure && h.Entry.Complete() && h.sensitive(d)
}

// AsksReread reports whether the note is a near miss whose doubtful digits must be read again
// before it is spent. A hit that the rules keep is not: it takes the key twice.
func (h InHand) AsksReread() bool {
	return h.Near() && !h.keptHit() && h.read != h.Entry.Digits
}

// keptHit reports whether the serial meets a watched rule whose notes are kept.
func (h InHand) keptHit() bool {
	for _, id := range (h.judged.Match() & h.rules.Watch.Hit).IDs() {
		if h.rules.Wishes.Of(id).Ruling(h.facts.Grade) == RuledKeep {
			return true
		}
	}
	return false
}

// Against reports whether a decision that the rules do not want was asked for and must come once more.
func (h InHand) Against() bool { return h.mode == Sure && h.Said().Ruling.Denies(h.sure) }

// note gives the decided note without its place in the pile.
func (h InHand) note(d Decision, at time.Time) Note {
	if d == NotThere || d == LaidApart && h.bySequence() { // the number that lies here by the sequence is not that of this note
		return Note{Decision: d, Decided: at, Listed: h.takenIn()}.with(h.facts)
	}
	n := Note{
		Serial: h.Entry.Serial, Decision: d,
		Reread: h.reread, Before: h.before, Decided: at, Ruled: h.Said().Ruling,
	}
	if h.Entry.Complete() {
		n.Hits, n.Near = h.judged.Match(), h.judged.NearSet()
		n.Watched = n.Hits & h.rules.Watch.Hit
		if h.Near() {
			n.Watched |= n.Near & h.rules.Watch.Near
		}
		if d == Spend && h.Near() {
			n.Look = Waiting
		}
	}
	switch {
	case h.asStored():
		n.Origin, n.Listed = h.was.Origin, h.was.Listed
	case h.was.Version > 0:
		n.Listed = h.takenIn()
	case h.listed == nil:
		if s, other := h.ReadOtherwise(); other {
			n.Listed = s.String()
		}
	case h.asListed() && !h.Entry.Empty():
		n.Origin = h.listed.Origin
	default:
		n.Listed = h.takenIn()
	}
	return n.with(h.facts)
}

// TakeUp gives a decided note to be looked at more closely.
func TakeUp(r Rules, s Session, n Note, at time.Time) InHand {
	r.Pauses = r.Pauses.Bounded()
	h := newInHand(r.of(s), s.Denomination, n.Place(), at)
	h.takeUp(n, at)
	return h
}

// takeUp loads a decided note to be changed.
func (h *InHand) takeUp(n Note, at time.Time) {
	h.was = n
	h.Entry.Serial, h.loaded = n.Serial, true
	h.know(n.Facts())
	h.reread, h.before, h.asked, h.had = n.Reread, n.Before, n.Decision == Keep, n.Serial.Digits != "" || n.Decision == NotThere
	if n.Reread != NotReread || n.Origin == FromSequence {
		h.read = n.Serial.Digits
	}
	h.stood = standing{}
	h.changed(at)
}
