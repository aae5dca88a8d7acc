package triage

import (
	"strconv"
	"time"
)

// A Pass is where going through a strap once more stands.
type Pass struct {
	Position int  // of the note shown, 1 on top when the strap was sorted; 0 for the start
	Turned   bool // it runs from the last note to the first, as in a pile turned over
}

// An Again goes through the decided notes of one strap once more, note by note in the order of the pile: to add
// to what is known of them, or to decide one anew. Each change is stored by itself, so it can be left and taken
// up at any time.
//
// Characters name a position to go to, so that a serial is never typed by mistake; see Retype.
type Again struct {
	session Session
	strap   Strap
	rules   Rules
	notes   []Note // by position; one that is not decided yet is Undecided
	pass    Pass
	hand    InHand
	outbox

	jump     string // the position typed so far
	retype   bool   // characters go into the serial
	saving   bool   // of the pending note only what is known of it changes
	answered bool   // the pending decision came of an answer, not of a decision key
}

// longestJump is how many digits a position has at most.
const longestJump = 4

// NewAgain takes up a strap with its decided notes by position, at least one, where the pass was left.
func NewAgain(s Session, t Strap, notes []Note, from Pass, r Rules, at time.Time) *Again {
	r.Pauses = r.Pauses.Bounded()
	r = r.of(s)
	a := &Again{session: s, strap: t, rules: r, notes: inPlace(notes), pass: from}
	if !a.decided(from.Position) {
		a.pass.Position = a.first()
	}
	a.show(a.pass.Position, at)
	return a
}

// inPlace sets the notes on their positions, with undecided ones between where some are not decided yet.
func inPlace(notes []Note) []Note {
	var all []Note
	for _, n := range notes {
		for len(all) < n.Position {
			all = append(all, Note{Session: n.Session, Strap: n.Strap, Position: len(all) + 1})
		}
		all[n.Position-1] = n
	}
	return all
}

// Session is the session with its totals as stored.
func (a *Again) Session() Session { return a.session }

// Strap is the strap with its totals as stored.
func (a *Again) Strap() Strap { return a.strap }

// Notes are the notes of the strap by position; one that is not decided is Undecided. The caller does not change
// them.
func (a *Again) Notes() []Note { return a.notes }

// Note is the note shown, as it is stored.
func (a *Again) Note() Note { return a.notes[a.pass.Position-1] }

// Hand is the note shown, with what has been read again or typed.
func (a *Again) Hand() *InHand { return &a.hand }

// Pass tells where it stands, so that it can be taken up there.
func (a *Again) Pass() Pass { return a.pass }

// Jump is the position typed so far, "" for none.
func (a *Again) Jump() string { return a.jump }

// Retyping reports whether characters go into the serial of the note shown.
func (a *Again) Retyping() bool { return a.retype }

// Undone reports whether the serial was changed, by a re-read or by typing, and is not decided yet.
func (a *Again) Undone() bool { return a.hand.Entry.Serial != a.Note().Serial }

// Wanted gives the positions of the notes that lie beside a keeper which wants them, and were spent.
func (a *Again) Wanted() []int {
	return wanted(a.session.NewNotes, a.notes, a.rules.Before, a.rules.After)
}

// decided reports whether there is a decided note at a position.
func (a *Again) decided(position int) bool {
	return position >= 1 && position <= len(a.notes) && a.notes[position-1].Decision != Undecided
}

// step is from one position to the next, the way the pass runs.
func (a *Again) step() int {
	if a.pass.Turned {
		return -1
	}
	return 1
}

// first is the position at which the pass begins.
func (a *Again) first() int {
	from := 1
	if a.pass.Turned {
		from = len(a.notes)
	}
	for !a.decided(from) {
		from += a.step()
	}
	return from
}

// After gives the position n notes further on, or for a negative n before; where there are fewer, the last that
// there is.
func (a *Again) After(n int) int {
	here, step := a.pass.Position, a.step()
	if n < 0 {
		n, step = -n, -step
	}
	for next := here + step; n > 0 && next >= 1 && next <= len(a.notes); next += step {
		if a.decided(next) {
			here, n = next, n-1
		}
	}
	return here
}

func (a *Again) show(position int, at time.Time) {
	a.pass.Position, a.jump, a.retype = position, "", false
	a.hand = newInHand(a.rules, a.session.Denomination, a.Note().Place(), at)
	a.hand.beside = besideOf(a.notes, position, a.rules.Before, a.rules.After)
	a.hand.takeUp(a.Note(), at)
}

// Turn says that the pile was turned over: the pass runs the other way. Turned before it has gone anywhere, it
// begins at the other end, which is on top now.
func (a *Again) Turn(at time.Time) Notice {
	if a.Undone() {
		return Notice{Kind: DecideFirst}
	}
	begins := a.pass.Position == a.first()
	a.pass.Turned = !a.pass.Turned
	to := a.pass.Position
	if begins {
		to = a.first()
	}
	a.show(to, at)
	return Notice{}
}

// Retype lets characters go into the serial: of a note spent unread or settled early, so that it can be kept, or
// of one typed wrong. It goes on behind what was typed, and what is known of the note stays.
func (a *Again) Retype(at time.Time) Notice {
	switch {
	case !a.session.Open():
		return Notice{Kind: StaysClosed}
	case a.hand.Asks():
		return Notice{Kind: AnswerFirst}
	}
	a.jump, a.retype, a.hand.loaded = "", true, false
	a.hand.gate.Other()
	return Notice{}
}

// Press takes one key. KeyMove goes on by N notes, the way the pass runs.
func (a *Again) Press(k Key, at time.Time) Effect {
	if a.holds(k) {
		return Effect{}
	}
	e := a.press(k, at)
	a.pending = e.Decide
	return e
}

func (a *Again) press(k Key, at time.Time) Effect {
	switch k.Kind {
	case KeyKeep, KeySpend, KeySetAside:
		return a.decide(k.Kind, at)
	case KeyEnter:
		return a.enter(at)
	case KeyBack:
		return Effect{Notice: a.move(-1, at)}
	case KeyMove:
		return Effect{Notice: a.move(k.N, at)}
	case KeyRune:
		return Effect{Notice: a.typed(k.Rune, at)}
	case KeyErase:
		return Effect{Notice: a.erase(at)}
	case KeyClear:
		return Effect{Notice: a.clear(at)}
	}
	return Effect{}
}

func (a *Again) move(n int, at time.Time) Notice {
	to := a.After(n)
	switch {
	case a.Undone():
		return Notice{Kind: DecideFirst}
	case to == a.pass.Position && n < 0:
		return Notice{Kind: PassBegins}
	case to == a.pass.Position:
		return Notice{Kind: PassEnds}
	}
	a.show(to, at)
	return Notice{}
}

// enter answers a question, goes to the position typed, or on to the next note. It never decides a note that no
// decision key was pressed for.
func (a *Again) enter(at time.Time) Effect {
	switch {
	case a.hand.Asks():
		d, n := a.hand.Answer(at)
		a.hand.gate.Lock(KeyEnter, at) // held down, it must not go on to the next note
		a.answered = true
		return a.answer(d, n, at)
	case a.hand.gate.Rests(KeyEnter, at):
		a.hand.gate.Lock(KeyEnter, at)
		return Effect{Notice: Notice{Kind: HeldKey}}
	case a.jump != "":
		return Effect{Notice: a.jumps(at)}
	case a.retype && !a.Undone():
		a.show(a.pass.Position, at)
		return Effect{}
	}
	return Effect{Notice: a.move(1, at)}
}

// jumps goes to the position typed.
func (a *Again) jumps(at time.Time) Notice {
	to, _ := strconv.Atoi(a.jump) // a few digits
	a.jump = ""
	switch {
	case !a.decided(to):
		return Notice{Kind: NoSuchNote, N: to, Text: strconv.Itoa(len(a.notes))}
	case a.Undone():
		return Notice{Kind: DecideFirst}
	}
	a.show(to, at)
	return Notice{}
}

// typed takes a character: of an answer, of the serial, or of a position.
func (a *Again) typed(r rune, at time.Time) Notice {
	switch {
	case a.hand.Asks(), a.retype:
		return a.hand.Type(r, at)
	case r < '0' || '9' < r:
		return Notice{Kind: UnknownKey, Text: string(r)}
	}
	a.hand.gate.Other()
	if a.hand.mode == Sure {
		a.hand.mode = Typing
	}
	if len(a.jump) < longestJump {
		a.jump += string(r)
	}
	return Notice{}
}

func (a *Again) erase(at time.Time) Notice {
	if a.hand.Asks() || a.retype {
		return a.hand.Erase(at)
	}
	return dropLast(&a.jump)
}

// clear takes back what was typed; with nothing typed the note is shown as it is stored. Another serial leaves
// what is known of the note: it is the same piece of paper, typed wrong.
func (a *Again) clear(at time.Time) Notice {
	switch {
	case a.hand.Asks():
		return a.hand.Clear(at)
	case a.retype && !a.hand.Entry.Empty():
		facts := a.hand.facts
		n := a.hand.Clear(at)
		a.hand.know(facts)
		a.hand.changed(at)
		return n
	case a.jump != "":
		a.jump = ""
		return Notice{}
	}
	a.show(a.pass.Position, at)
	return Notice{}
}

func (a *Again) decide(k KeyKind, at time.Time) Effect {
	switch {
	case !a.session.Open():
		a.Deaf(k, at)
		return Effect{Notice: Notice{Kind: StaysClosed}}
	case a.jump != "": // another note is meant
		a.Deaf(k, at)
		return Effect{Notice: Notice{Kind: JumpFirst, Text: a.jump}}
	}
	d, n := a.hand.Press(k, at)
	a.answered = false
	return a.answer(d, n, at)
}

// answer makes the next version of the note from a decision.
func (a *Again) answer(d Decision, n Notice, at time.Time) Effect {
	if d == Undecided {
		return Effect{Notice: n}
	}
	old, note := a.Note(), a.hand.note(d, at)
	note.Session, note.Strap, note.Position = old.Session, old.Strap, old.Position
	note = revise(old, note)
	if sameDecision(old, note) {
		return Effect{Notice: Notice{Kind: Unchanged}}
	}
	return Effect{Notice: n, Decide: &note}
}

// SaveFacts stores what was said about the note shown; its decision stays. What was said of a note whose serial is
// being typed is stored with the decision.
func (a *Again) SaveFacts(at time.Time) Effect {
	old := a.Note()
	if a.pending != nil || old.Facts() == a.hand.facts || a.retype && a.Undone() {
		return Effect{}
	}
	note := old.Revised(a.hand.facts, at)
	a.pending, a.saving = &note, true
	return Effect{Decide: &note}
}

// Stored says that the pending change is on the disk, with the totals as they stand there now, and plays the keys
// that came meanwhile. The note stays in sight.
func (a *Again) Stored(s Session, t Strap, at time.Time) []Effect {
	if a.pending == nil {
		return nil
	}
	note, saving := *a.pending, a.saving
	a.pending, a.saving, a.session, a.strap = nil, false, s, t
	a.notes[note.Position-1] = note
	if !saving { // else what has been read again meanwhile stays in hand
		a.show(note.Position, at)
		a.Deaf(note.Decision.key(), note.Decided)
		if a.answered {
			a.Deaf(KeyEnter, note.Decided)
		}
	}
	return a.replay(a.Press, at)
}

// Failed says that the pending change is not on the disk. The note is as it was, and what was said of it is still
// in hand.
func (a *Again) Failed(at time.Time) {
	a.drop()
	a.saving = false
	a.Shown(at)
}

// Deaf says that a decision key came in a way in which it never decides, as in a burst.
func (a *Again) Deaf(k KeyKind, at time.Time) { a.hand.gate.Lock(k, at) }

// Shown says that the note can be seen again after it could not: the pause begins anew.
func (a *Again) Shown(at time.Time) { a.hand.gate.Open(at, a.hand.wait()) }
