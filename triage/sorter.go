package triage

import (
	"cmp"
	"time"
)

const (
	// longest is the most time one note is counted with. Whoever takes longer has left the table,
	// and supper is not part of the pace.
	longest = 2 * time.Minute
	// near is by how many notes a strap's count may miss its band without being asked about twice.
	near = 3
	// rushed is how many notes in a row must be too fast before the screen asks to slow down.
	rushed = 10
)

// A Sorter takes one strap from its first note to its last. It is driven by keys, each with the
// time it came, and answers each with an Effect.
//
// A decision counts only when the store has said so. Until then the sorter keeps the keys that come
// and plays them after Stored. After Failed they are dropped: they were typed for another note than
// the one still in hand.
type Sorter struct {
	session Session
	strap   Strap
	notes   []Note // by position; of a listed note a placeholder without a decision
	listed  listedNotes
	rules   Rules

	place  int     // the position being worked on, 1 or more
	hand   InHand  // the note at place
	resume *InHand // the note in hand, while another one is being changed
	ending bool    // asking whether the strap ends here
	sure   bool    // of ending: the answer came once, and the count is so far off that it must come again
	gate   Gate    // of that question

	outbox
	put       Held // the Held last handed out as in hand
	unkept    int  // the listed note whose facts could not be put down, 0 for none
	onward    Onward
	takingOut bool // the pending note is to be taken out, not decided
	saving    bool // the pending note is decided already, and only what is known of it changes
	dropping  bool // the key to take it out came once
	unlisting bool // the key to sort note by note came once
	answered  bool // the pending decision came of an answer, not of a decision key

	last  time.Time // the decision before, or when the sitting began
	fast  int       // notes in a row faster than the pace
	takes []time.Duration
}

// A Held is what is to be kept of a note in hand that is not decided: its serial once it is complete,
// and what was said of it, which may come first. The zero Held is nothing in hand.
type Held struct {
	Serial   Serial
	Facts    Facts
	Position int // place in the strap it is in hand for; 0 for the next one there is to look at
}

// An Effect is what a key has brought about.
type Effect struct {
	Notice   Notice
	Decide   *Note // to be stored; then call Stored or Failed
	TakeOut  *Note // to be taken out of the strap; then call Stored or Failed
	Hand     *Held // to be stored as in hand and undecided; the zero Held: nothing is in hand
	EndStrap bool  // the strap is closed as counted

	Listed *Listed // to be stored: what is known of a listed note has changed
	Rest   bool    // the listed notes that are not looked at are spent, see Sorter.Rest, and the strap is closed
	Unlist bool    // the notes of the strap are sorted one by one, whatever was taken in of them
	GoOn   bool    // on to the strap that Onward names
}

// NewSorter takes up a strap with the notes already decided and those listed, both by position. hand is the
// note that was complete but undecided when the strap was left, empty if none; it is taken up where it was in hand.
func NewSorter(s Session, t Strap, notes []Note, list []Listed, hand Held, r Rules, at time.Time) *Sorter {
	r.Pauses = r.Pauses.Bounded()
	r = r.of(s)
	o := &Sorter{session: s, strap: t, rules: r, last: at}
	for _, n := range notes[max(len(notes)-rushed, 0):] {
		o.takes = append(o.takes, n.Took)
	}
	o.notes, o.listed = withListed(notes, list, r, s.Denomination)
	o.next(at)
	if o.mayHold(hand) {
		if o.place != hand.Position && hand.Position > 0 {
			o.place = min(hand.Position, len(o.notes)+1)
			o.hand = o.take(o.place, at)
		}
		o.hand.Entry.Serial = hand.Serial
		o.hand.know(hand.Facts)
		o.hand.loaded = !hand.Serial.Empty() && hand.Serial == o.hand.readAs
		o.put = hand
		o.hand.changed(at)
		o.ending = false
	}
	return o
}

// mayHold reports whether there is something in hand whose note is not decided.
func (o *Sorter) mayHold(h Held) bool {
	decided := h.Position >= 1 && h.Position <= len(o.notes) && o.notes[h.Position-1].Decision != Undecided
	return h != Held{} && !decided
}

// of gives the rules as the session has them.
func (r Rules) of(s Session) Rules {
	r.Watch, r.Wishes, r.OldBefore, r.Whole, r.NewNotes = s.Watch, s.Wishes, s.OldBefore, s.Whole, s.NewNotes
	return r
}

// Session is the session with its totals as stored.
func (o *Sorter) Session() Session { return o.session }

// Strap is the strap with its totals as stored.
func (o *Sorter) Strap() Strap { return o.strap }

// Notes are the notes of the strap by position; one that is listed and not decided is Undecided. The caller
// does not change them.
func (o *Sorter) Notes() []Note { return o.notes }

// Place is the position of the note being worked on.
func (o *Sorter) Place() int { return o.place }

// Hand is the note being worked on.
func (o *Sorter) Hand() *InHand { return &o.hand }

// Back reports whether another note is being looked at instead of the one in hand.
func (o *Sorter) Back() bool { return o.resume != nil }

// Ending reports whether the question stands if the strap ends here.
func (o *Sorter) Ending() bool { return o.ending }

// PauseAt tells how much of the pause that is running is over, from 0 to 1.
func (o *Sorter) PauseAt(at time.Time) float64 {
	if o.ending {
		return o.gate.Done(at)
	}
	return o.hand.Pause(at)
}

// Ready is the moment the running pause is over.
func (o *Sorter) Ready() time.Time {
	if o.ending {
		return o.gate.Ready()
	}
	return o.hand.Ready()
}

// Pace is how long each of the last notes of the strap took, the newest last, at most ten.
func (o *Sorter) Pace() []time.Duration { return o.takes }

// next takes up the next note to be pulled, or with none the note after the last one.
func (o *Sorter) next(at time.Time) {
	o.resume = nil
	o.place = o.nextPlace()
	o.hand = o.take(o.place, at)
	if o.complete() {
		o.ask(at)
	}
}

// complete reports whether nothing of the strap is left to look at, as far as is known.
func (o *Sorter) complete() bool {
	return o.place > len(o.notes) && !o.strap.Done && (len(o.notes) == o.strap.Band || len(o.listed.notes) > 0) && o.PullsLeft() == 0
}

// idle reports whether a note behind the last one is in hand and nothing is typed or said of it.
func (o *Sorter) idle() bool {
	return o.place > len(o.notes) && o.hand.Entry.Empty() && o.hand.facts == Facts{}
}

func (o *Sorter) take(place int, at time.Time) InHand {
	h := newInHand(o.rules, o.session.Denomination, Place{o.session.ID, o.strap.Number, place}, at)
	h.past = place > o.strap.Band
	h.beside = besideOf(o.notes, place, o.rules.Before, o.rules.After)
	if len(o.listed.notes) > 0 {
		h.elsewhere = o.elsewhere
	}
	if l, ok := o.listed.notes[place]; ok {
		h.takeListed(l)
	} else if h.readAs = o.readBefore(place); o.readLast(place) {
		h.Entry.Serial, h.loaded = h.readAs, true
	}
	h.changed(at)
	return h
}

// Wanted gives the positions of the decided notes of the strap that lie beside a keeper which wants them, and
// are not kept.
func (o *Sorter) Wanted() []int {
	return wanted(o.session.NewNotes, o.notes, o.rules.Before, o.rules.After)
}

// ask puts the question whether the strap ends here.
func (o *Sorter) ask(at time.Time) {
	o.ending, o.sure = true, false
	o.gate.Open(at, o.rules.Pauses.Plain)
	o.gate.Lock(KeyEnter, at) // the key that led here may still be down
}

// Press takes one key.
func (o *Sorter) Press(k Key, at time.Time) Effect {
	if o.holds(k) {
		return Effect{}
	}
	e := o.press(k, at)
	if e.Decide != nil || e.TakeOut != nil {
		o.pending, o.takingOut = cmp.Or(e.Decide, e.TakeOut), e.TakeOut != nil
		return e
	}
	if o.resume == nil {
		e.Hand = o.handOut()
	}
	if l, open := o.listed.notes[o.unkept]; open && (e == Effect{Notice: e.Notice}) {
		e.Listed, o.unkept = &l, 0
	}
	return e
}

// handOut gives the Held to be put down as in hand, nil when the one put down still holds.
func (o *Sorter) handOut() *Held {
	var now Held
	switch {
	case o.hand.asListed(): // it is in the file already
	case o.hand.Entry.Complete():
		now = Held{o.hand.Entry.Serial, o.hand.facts, o.place}
	case o.hand.facts != Facts{}:
		now = Held{Facts: o.hand.facts, Position: o.place} // what was said is kept before the serial is whole
	}
	if now == o.put {
		return nil
	}
	o.put = now
	return &now
}

func (o *Sorter) press(k Key, at time.Time) Effect {
	if k.Kind != KeyOneByOne {
		o.unlisting = false
	}
	if o.ending {
		switch k.Kind {
		case KeyMove:
			if k.N > 0 {
				return Effect{Notice: Notice{Kind: NoNoteAfter}}
			}
		case KeyOneByOne:
			o.sure = false // two answers to two questions are no answer
			return o.unlist(at)
		case KeyEnter:
			return o.end(at)
		case KeyKeep, KeySpend, KeySetAside: // a key too many after the last note must not open a new one
			o.Deaf(k.Kind, at)
			return Effect{Notice: Notice{Kind: EndAsked}}
		case KeyErase, KeyClear:
			return Effect{}
		}
		o.ending = false
	}
	if k.Kind != KeyTakeOut {
		o.dropping = false
	}
	switch k.Kind {
	case KeyOneByOne:
		return o.unlist(at)
	case KeyTakeOut:
		return o.takeOut(at)
	case KeyRune:
		return o.typed(k.Rune, at)
	case KeyErase:
		return Effect{Notice: o.hand.Erase(at)}
	case KeyClear:
		return Effect{Notice: o.hand.Clear(at)}
	case KeyBack:
		return o.move(o.place-1, at)
	case KeyMove:
		return o.move(o.place+k.N, at)
	case KeyEnter:
		return o.enter(at)
	case KeyKeep, KeySpend, KeySetAside:
		return o.decide(k.Kind, at)
	}
	return Effect{}
}

func (o *Sorter) typed(r rune, at time.Time) Effect {
	first := o.hand.Entry.Empty()
	n := o.hand.Type(r, at)
	if n.Kind == Quiet && first && o.resume == nil && o.place == o.strap.Band+1 {
		n = Notice{Kind: PastBand, N: o.place}
	}
	return Effect{Notice: n}
}

// Deaf says that a decision key came in a way in which it never decides, as in a burst. It is locked
// like one that came too early: a held key comes in bursts when the line is slow.
func (o *Sorter) Deaf(k KeyKind, at time.Time) {
	o.hand.gate.Lock(k, at)
	o.gate.Lock(k, at)
}

// SaveFacts stores what was said about an earlier note that was gone back to; its decision stays.
// Of the note in hand nothing is stored before it is decided.
func (o *Sorter) SaveFacts(at time.Time) Effect {
	if o.resume == nil || o.pending != nil {
		return Effect{}
	}
	old := o.notes[o.place-1]
	if old.Decision == Undecided || old.Facts() == o.hand.facts || old.Serial != o.hand.Entry.Serial { // see KeepHand; retyped: the facts wait for the decision
		return Effect{}
	}
	note := old.Revised(o.hand.facts, at)
	o.pending, o.saving = &note, true
	return Effect{Decide: &note}
}

// KeepHand gives the note in hand, or the listed one looked at, to be put down once more where what was said
// of it has changed.
func (o *Sorter) KeepHand() Effect {
	if o.pending != nil {
		return Effect{}
	}
	if l, ok := o.listed.notes[o.place]; ok && o.hand.asListed() {
		if l.Facts == o.hand.facts {
			return Effect{}
		}
		l.Facts = o.hand.facts
		o.listed.notes[o.place] = l
		o.listed.calls[o.place] = o.rules.caller(o.session.Denomination).calls(l)
		o.notes[o.place-1] = o.rules.placeholder(l)
		return Effect{Listed: &l}
	}
	if o.resume != nil {
		return Effect{}
	}
	return Effect{Hand: o.handOut()}
}

// takeOut takes the last decided note out of the strap when it has been gone back to and the key
// comes twice, each time after the pause. At a listed note it says that it is not there.
func (o *Sorter) takeOut(at time.Time) Effect {
	if _, listed := o.listed.notes[o.place]; listed {
		return o.notThere(at)
	}
	if o.resume == nil || o.place != len(o.notes) || o.notes[o.place-1].Decision == Undecided {
		return Effect{Notice: Notice{Kind: OnlyLast}}
	}
	if n := o.hand.gate.Press(KeyTakeOut, at); n != Quiet {
		return Effect{Notice: Notice{Kind: n}}
	}
	if !o.dropping {
		o.dropping = true
		o.hand.gate.Open(at, o.rules.Pauses.Stop)
		return Effect{Notice: Notice{Kind: TakeOut, N: o.place}}
	}
	note := o.notes[o.place-1]
	return Effect{TakeOut: &note}
}

// notThere says of the listed note in hand that it is not in the pile, when it has been asked for twice.
func (o *Sorter) notThere(at time.Time) Effect {
	if n := o.hand.gate.Press(KeyTakeOut, at); n != Quiet {
		return Effect{Notice: Notice{Kind: n}}
	}
	if !o.dropping {
		o.dropping = true
		o.hand.gate.Open(at, o.rules.Pauses.Stop)
		return Effect{Notice: Notice{Kind: NotThereAsked, N: o.place}}
	}
	o.dropping = false
	return o.decided(NotThere, Notice{}, at)
}

// restWords say what closing the strap does with %s of it, the rest.
func (o *Sorter) restWords() string {
	switch {
	case o.Whole():
		return "keeps %s"
	case o.strap.InSequence:
		return "spends %s by their sequence"
	}
	return "spends %s as listed"
}

// end answers the question whether the strap ends here.
func (o *Sorter) end(at time.Time) Effect {
	if n := o.gate.Press(KeyEnter, at); n != Quiet {
		return Effect{Notice: Notice{Kind: n}}
	}
	rest := len(o.listed.notes) > 0
	if rest && o.onward.Strap > 0 {
		return Effect{GoOn: true}
	}
	off := o.strap.Off()
	if !o.sure && (rest || off > near || off < -near) {
		o.sure = true
		o.gate.Open(at, o.rules.Pauses.Stop)
		if rest {
			return Effect{Notice: Notice{Kind: RestAsked, N: o.RestNotes(), Text: o.restWords()}}
		}
		return Effect{Notice: Notice{Kind: FarOff, N: off}}
	}
	return Effect{EndStrap: !rest, Rest: rest}
}

// Shown says that the note in hand can be seen again after it could not: the pause begins anew.
func (o *Sorter) Shown(at time.Time) {
	o.hand.gate.Open(at, o.hand.wait())
	if o.ending {
		o.ask(at)
	}
}

// enter answers whatever question stands. With nothing asked and nothing typed it asks whether the
// strap ends here; from an earlier note it leads back to the one in hand.
func (o *Sorter) enter(at time.Time) Effect {
	if o.hand.Asks() {
		d, n := o.hand.Answer(at)
		o.answered = true
		return o.decided(d, n, at)
	}
	if o.hand.gate.Rests(KeyEnter, at) {
		o.hand.gate.Lock(KeyEnter, at)
		return Effect{Notice: Notice{Kind: HeldKey}}
	}
	switch {
	case o.hand.filling(): // also of a note that was gone to: what is typed of it must not be lost
		o.hand.gate.Lock(KeyEnter, at) // held down, it must not lead back either
		return Effect{Notice: o.hand.fill(at)}
	case o.resume != nil:
		return o.move(o.resume.place.Position, at)
	case !o.hand.Entry.Empty():
		return Effect{Notice: Notice{Kind: EnterDecidesNot, N: len(o.hand.Entry.Digits)}}
	case len(o.notes) == 0:
		return Effect{Notice: Notice{Kind: StrapEmpty}}
	case o.PullsLeft() > 0: // a note decided or marked meanwhile may have made some
		if o.idle() {
			o.next(at)
		}
		return Effect{Notice: Notice{Kind: PullsLeft, N: o.PullsLeft()}}
	}
	o.ask(at)
	return Effect{}
}

func (o *Sorter) decide(k KeyKind, at time.Time) Effect {
	d, n := o.hand.Press(k, at)
	o.answered = false
	return o.decided(d, n, at)
}

// decided makes the note to be stored of a decision.
func (o *Sorter) decided(d Decision, n Notice, at time.Time) Effect {
	if d == Undecided {
		return Effect{Notice: n}
	}
	note := o.hand.note(d, at)
	note.Session, note.Strap, note.Position = o.session.ID, o.strap.Number, o.place
	note.Version, note.Took = 1, min(max(at.Sub(o.last), 0), longest)
	if o.place <= len(o.notes) && o.notes[o.place-1].Decision != Undecided {
		old := o.notes[o.place-1]
		note = revise(old, note)
		if sameDecision(old, note) {
			return Effect{Notice: Notice{Kind: Unchanged}}
		}
	}
	return Effect{Notice: n, Decide: &note}
}

// revise gives the next version of a decided note. The time it took stays what it was, and a second
// look already taken at the same digits stays taken.
func revise(old, now Note) Note {
	now.Version, now.Took = old.Version+1, old.Took
	same := now.Serial.Digits == old.Serial.Digits
	switch {
	case now.Decision == Keep && old.Look != NoLook && same:
		now.Look = KeptAfter
	case now.Look == Waiting && old.Look == StillSpent && same:
		now.Look = StillSpent
	}
	if now.Decision == Keep && same && old.Fate != SpentAfter { // kept once more, a note that was spent is here again
		now.Fate, now.FateDay, now.FateRemark = old.Fate, old.FateDay, old.FateRemark
	}
	return now
}

// sameDecision reports whether two versions differ in nothing the person said.
func sameDecision(a, b Note) bool {
	return a.Serial == b.Serial && a.Decision == b.Decision && a.Facts() == b.Facts() && a.Look == b.Look && a.Fate == b.Fate
}

// move goes to another note of the strap, or back to the one in hand.
func (o *Sorter) move(to int, at time.Time) Effect {
	next := o.place
	if o.resume != nil {
		next = o.resume.place.Position
	}
	end := max(next, len(o.notes))
	switch {
	case len(o.notes) == 0:
		return Effect{Notice: Notice{Kind: NoNoteBefore}}
	case to < 1 && o.place == 1:
		return Effect{Notice: Notice{Kind: NoNoteBefore}}
	case to > end && o.place == end:
		return Effect{Notice: Notice{Kind: NoNoteAfter}}
	}
	to = min(max(to, 1), end)
	if o.undone() && to != o.place { // another number was typed here: it would be gone without a word
		return Effect{Notice: Notice{Kind: DecideFirst}}
	}
	if to == next {
		if o.resume != nil {
			o.hand, o.resume = *o.resume, nil
			o.hand.beside = besideOf(o.notes, next, o.rules.Before, o.rules.After) // the note before may be a keeper now
			if o.hand.mode == Sure {                                               // it was pressed under what held before
				o.hand.mode = Typing
			}
			o.hand.judge() // what was changed meanwhile may be this very note
			o.place = next
			o.hand.gate.Open(at, o.hand.wait())
		}
		switch {
		case o.idle() && o.PullsLeft() > 0:
			o.next(at)
		case o.complete() && o.hand.Entry.Empty():
			o.ask(at)
		}
		return Effect{}
	}
	if o.resume == nil {
		hand := o.hand
		o.resume = &hand
	}
	o.lookAt(to, at)
	return Effect{}
}

// undone reports whether another serial was typed over that of a note gone to, and stands undecided.
func (o *Sorter) undone() bool {
	h := o.hand
	return o.resume != nil && !h.Entry.Empty() && h.Entry.Serial != o.notes[o.place-1].Serial && !h.asListed() && !h.asStored()
}

// lookAt takes up a decided note.
func (o *Sorter) lookAt(place int, at time.Time) {
	o.place = place
	o.hand = o.take(place, at)
	if n := o.notes[place-1]; n.Decision != Undecided {
		o.hand.takeUp(n, at)
	}
}

// Stored says that the pending decision is on the disk, with the totals as they stand there now,
// and plays the keys that came meanwhile. It gives the effect of each of those that had one.
func (o *Sorter) Stored(s Session, t Strap, at time.Time) []Effect {
	if o.pending == nil {
		return nil
	}
	note := *o.pending
	o.pending, o.session, o.strap = nil, s, t
	o.met(note)
	var effects []Effect
	switch {
	case o.takingOut:
		o.takingOut, o.dropping = false, false
		o.notes = o.notes[:len(o.notes)-1]
		hand := *o.resume
		o.next(at)
		o.ending = false
		o.keepTyped(hand, at)
		return o.replay(o.Press, at)
	case note.Position > len(o.notes):
		o.notes = append(o.notes, note)
		o.put = Held{} // the store drops it together with the decision
		o.last = note.Decided
		effects = o.hurry(note)
		o.next(at)
	case note.Version == 1: // a listed one
		effects = o.pulled(note, at)
	case o.saving: // the note is still being looked at: a decision key must not meet another one
		o.saving = false
		o.notes[note.Position-1] = note
		o.lookAt(note.Position, at)
		return append(effects, o.replay(o.Press, at)...)
	default:
		o.notes[note.Position-1] = note
		o.comeBack(at)
	}
	o.Deaf(note.Decision.key(), note.Decided)
	if o.answered {
		o.Deaf(KeyEnter, note.Decided)
	}
	return append(effects, o.replay(o.Press, at)...)
}

// keepTyped goes on with what was typed or said of the note in hand before the last note was taken out. The note
// behind that one has its place now.
func (o *Sorter) keepTyped(hand InHand, at time.Time) {
	if hand.asListed() || hand.Entry.Empty() && hand.facts == (Facts{}) {
		return
	}
	o.place = min(hand.place.Position, len(o.notes)+1)
	o.hand = o.take(o.place, at)
	o.hand.Entry, o.hand.facts, o.hand.loaded = hand.Entry, hand.facts, hand.loaded
	o.hand.changed(at)
}

// hurry keeps the pace and speaks up when ten notes in a row were too fast.
func (o *Sorter) hurry(n Note) []Effect {
	o.takes = append(o.takes, n.Took)
	if len(o.takes) > rushed {
		o.takes = o.takes[1:]
	}
	if n.Took >= o.rules.Pauses.Pace {
		o.fast = 0
		return nil
	}
	o.fast++
	if o.fast < rushed {
		return nil
	}
	o.fast = 0
	return []Effect{{Notice: Notice{Kind: SlowDown, N: rushed}}}
}

// Failed says that the pending decision is not on the disk. The note is still in hand.
func (o *Sorter) Failed(at time.Time) {
	o.drop()
	o.takingOut, o.dropping, o.saving = false, false, false
	o.hand.gate.Open(at, o.hand.wait())
}

// ListedFailed says that what was said of a listed note could not be put down: it is handed out again.
func (o *Sorter) ListedFailed(position int) { o.unkept = position }

// HandFailed says that the note in hand could not be put down: it is handed out again.
func (o *Sorter) HandFailed() { o.put = Held{} }
