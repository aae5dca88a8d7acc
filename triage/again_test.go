package triage

import (
	"testing"
	"time"
)

// lamp is a strap gone through once more, with a store that always says yes unless it is slow.
type lamp struct {
	a     *Again
	now   time.Time
	saved []Note
	said  NoticeKind
	slow  bool // nothing is stored until it is said so
}

// newLamp has notes with these digits, spent; "" is one spent unread, "-" one not decided yet.
func newLamp(from Pass, digits ...string) *lamp {
	g := &lamp{now: time.Date(2026, 3, 1, 21, 0, 0, 0, time.UTC)}
	book := defaultBook()
	s := Session{ID: 1, Denomination: 1, Watch: book.DefaultWatch()}
	var notes []Note
	for i, d := range digits {
		n := Note{Session: 1, Strap: 1, Position: i + 1, Version: 1, Serial: Serial{Digits: d}, Decision: Spend, Took: 3 * time.Second}
		switch d {
		case "-":
			continue
		case "":
			n.Decision = Glance
		}
		notes = append(notes, n)
	}
	g.a = NewAgain(s, Strap{Session: 1, Number: 1, Band: len(digits)}, notes, from, Rules{Book: book, Pauses: DefaultPauses()}, g.now)
	return g
}

func (g *lamp) press(k Key) {
	g.now = g.now.Add(2 * time.Second)
	g.at(k)
}

func (g *lamp) at(k Key) {
	e := g.a.Press(k, g.now)
	g.said = e.Notice.Kind
	g.take(e)
}

func (g *lamp) take(e Effect) {
	if e.Decide != nil {
		g.saved = append(g.saved, *e.Decide)
		if !g.slow {
			g.a.Stored(g.a.Session(), g.a.Strap(), g.now)
		}
	}
}

func (g *lamp) typed(text string) {
	for _, r := range text {
		g.press(Key{Kind: KeyRune, Rune: r})
	}
}

// is checks where the pass stands and what was said last.
func (g *lamp) is(t *testing.T, position int, said NoticeKind) {
	t.Helper()
	if got := g.a.Pass().Position; got != position || g.said != said {
		t.Errorf("at note %d, said %d; want note %d, said %d", got, g.said, position, said)
	}
}

var (
	enterKey = Key{Kind: KeyEnter}
	onKey    = Key{Kind: KeyMove, N: 1}
	backKey  = Key{Kind: KeyBack}
	rowKey   = Key{Kind: KeyMove, N: 10}
)

// The pass goes over what is decided, the way the pile lies, and stops at its ends.
func TestAgainGoesTheWayThePileLies(t *testing.T) {
	g := newLamp(Pass{}, "-", "48160297", "-", "35120846", "61225697", "-")
	g.is(t, 2, Quiet)
	g.press(backKey)
	g.is(t, 2, PassBegins)
	g.press(enterKey)
	g.is(t, 4, Quiet)
	g.press(rowKey)
	g.is(t, 5, Quiet)
	g.press(enterKey)
	g.is(t, 5, PassEnds)
	g.a.Turn(g.now)
	g.press(onKey)
	g.is(t, 4, Quiet)
	g.press(rowKey)
	g.is(t, 2, Quiet)
	g.press(enterKey)
	g.is(t, 2, PassEnds)
}

// Turned before it has gone anywhere, the pass begins at the note that is on top now.
func TestAgainTurnedAtTheStart(t *testing.T) {
	g := newLamp(Pass{}, "48160297", "35120846", "61225697")
	g.a.Turn(g.now)
	g.is(t, 3, Quiet)
	g.a.Turn(g.now)
	g.is(t, 1, Quiet)
	g.press(onKey)
	g.a.Turn(g.now)
	g.is(t, 2, Quiet)
}

func TestAgainTakesUpWhereItWasLeft(t *testing.T) {
	for _, c := range []struct {
		from Pass
		want int
	}{{Pass{2, false}, 2}, {Pass{2, true}, 2}, {Pass{0, true}, 3}, {Pass{9, false}, 1}, {Pass{-1, false}, 1}} {
		if g := newLamp(c.from, "48160297", "35120846", "61225697"); g.a.Pass().Position != c.want {
			t.Errorf("left at %+v, taken up at note %d, want %d", c.from, g.a.Pass().Position, c.want)
		}
	}
}

// A position is typed; while it stands no decision counts, and no serial is changed by it.
func TestAgainGoesToAPosition(t *testing.T) {
	g := newLamp(Pass{}, "48160297", "-", "35120846")
	g.typed("3")
	g.press(Key{Kind: KeyKeep})
	g.is(t, 1, JumpFirst)
	g.press(enterKey)
	g.is(t, 3, Quiet)
	for _, none := range []string{"0", "2", "4", "99999"} {
		g.typed(none)
		g.press(enterKey)
		g.is(t, 3, NoSuchNote)
	}
	g.typed("12")
	g.press(Key{Kind: KeyErase})
	g.press(enterKey)
	g.is(t, 1, Quiet)
	g.typed("3")
	g.press(Key{Kind: KeyClear})
	if g.a.Jump() != "" || g.a.Undone() || len(g.saved) > 0 {
		t.Errorf("position %q, %v stored", g.a.Jump(), g.saved)
	}
}

// A note decided anew is its next version; the time it took at first stays.
func TestAgainDecides(t *testing.T) {
	g := newLamp(Pass{}, "70633607", "48160297")
	g.press(Key{Kind: KeySpend}) // against the rule
	g.is(t, 1, AskAgain)
	g.press(Key{Kind: KeySpend})
	g.is(t, 1, Unchanged)
	g.press(Key{Kind: KeyKeep})
	if n := g.a.Note(); len(g.saved) != 1 || n.Decision != Keep || n.Version != 2 || n.Took != 3*time.Second {
		t.Errorf("%d stored, the note is %+v", len(g.saved), n)
	}
	g.at(Key{Kind: KeyKeep})
	g.is(t, 1, HeldKey)
}

// A near miss is read again before it is spent, once: a re-read that was made counts, and so does a second look.
func TestAgainAsksForTheReread(t *testing.T) {
	g := newLamp(Pass{}, "70633507", "48160297")
	g.press(Key{Kind: KeySetAside})
	g.press(Key{Kind: KeySetAside})
	g.press(Key{Kind: KeySpend})
	g.is(t, 1, RereadAsked)
	g.typed("65")
	g.press(enterKey)
	n := g.a.Note()
	if n.Decision != Spend || n.Look != Waiting || n.Reread != RereadSame {
		t.Errorf("spent as %+v", n)
	}
	g.at(enterKey)
	g.is(t, 1, HeldKey) // the Enter that answered does not go on
	g.press(Key{Kind: KeyKeep})
	if n := g.a.Note(); n.Look != KeptAfter {
		t.Errorf("kept after all: %+v", n)
	}
	g.press(Key{Kind: KeySpend})
	if n := g.a.Note(); n.Decision != Spend {
		t.Errorf("it was read again already, and is %v, said %d", n.Decision, g.said)
	}
}

// A note looked at twice and spent stays so when something else is said of it, and when it is decided again.
func TestAgainKeepsTheSecondLook(t *testing.T) {
	g := newLamp(Pass{}, "70633507")
	g.a.notes[0].Look, g.a.notes[0].Reread = StillSpent, RereadSame
	g.a.show(1, g.now)
	f := g.a.Hand().Facts()
	f.Remark = "torn"
	if err := g.a.Hand().SetFacts(f, g.now); err != nil {
		t.Fatal(err)
	}
	g.take(g.a.SaveFacts(g.now))
	if n := g.a.Note(); n.Look != StillSpent || n.Remark != "torn" || n.Version != 2 {
		t.Fatalf("%+v", n)
	}
	f.Remark = "torn twice"
	if err := g.a.Hand().SetFacts(f, g.now); err != nil {
		t.Fatal(err)
	}
	g.press(Key{Kind: KeySpend})
	if n := g.a.Note(); n.Look != StillSpent || n.Remark != "torn twice" {
		t.Errorf("%+v", n)
	}
}

// What the re-read corrects is decided, or taken back, before another note is shown.
func TestAgainHoldsACorrectedSerial(t *testing.T) {
	g := newLamp(Pass{}, "70633507", "48160297")
	g.press(Key{Kind: KeySetAside})
	g.press(Key{Kind: KeySetAside})
	g.press(Key{Kind: KeySpend})
	g.typed("66")
	g.press(enterKey)
	g.is(t, 1, RereadHit)
	g.press(onKey)
	g.is(t, 1, DecideFirst)
	g.typed("2")
	g.press(enterKey)
	g.is(t, 1, DecideFirst)
	g.press(Key{Kind: KeyClear})
	g.press(onKey)
	g.is(t, 2, Quiet)
	if g.a.Notes()[0].Serial.Digits != "70633507" {
		t.Errorf("stored as %s", g.a.Notes()[0].Serial)
	}
}

// A note spent unread gets its serial, and what was said of it before stays.
func TestAgainTypesTheSerialOfAnUnreadNote(t *testing.T) {
	g := newLamp(Pass{}, "", "48160297")
	f := Facts{Remark: "ink on the back"}
	if err := g.a.Hand().SetFacts(f, g.now); err != nil {
		t.Fatal(err)
	}
	g.take(g.a.SaveFacts(g.now))
	g.press(Key{Kind: KeyKeep})
	g.is(t, 1, TooFewDigits)
	g.a.Retype(g.now)
	g.typed("B1234")
	g.press(Key{Kind: KeyClear})
	g.typed("B70633607C")
	g.press(onKey)
	g.is(t, 1, DecideFirst)
	g.press(Key{Kind: KeyKeep})
	n := g.a.Note()
	if n.Decision != Keep || n.Serial.Digits != "70633607" || n.Remark != f.Remark || n.Version != 3 {
		t.Errorf("%+v", n)
	}
	g.typed("2") // a position again
	g.press(enterKey)
	g.is(t, 2, Quiet)
}

// While the disk is waited for, keys wait, too; when it fails they are dropped and what was said is still in hand.
func TestAgainWaitsForTheDisk(t *testing.T) {
	g := newLamp(Pass{}, "48160297", "35120846")
	g.slow = true
	if err := g.a.Hand().SetFacts(Facts{Remark: "torn"}, g.now); err != nil {
		t.Fatal(err)
	}
	g.take(g.a.SaveFacts(g.now))
	g.press(onKey)
	if g.a.Pass().Position != 1 || g.a.Note().Remark != "" {
		t.Errorf("ahead of the file: note %d, %q", g.a.Pass().Position, g.a.Notes()[0].Remark)
	}
	g.a.Failed(g.now)
	if g.a.Pass().Position != 1 || g.a.Note().Remark != "" || g.a.Hand().Facts().Remark != "torn" {
		t.Errorf("after the failure: note %d, %q", g.a.Pass().Position, g.a.Hand().Facts().Remark)
	}
	g.take(g.a.SaveFacts(g.now))
	g.press(onKey)
	g.a.Stored(g.a.Session(), g.a.Strap(), g.now)
	g.is(t, 2, Quiet)
	if g.a.Notes()[0].Remark != "torn" {
		t.Errorf("stored %+v", g.a.Notes()[0])
	}
}

// In a closed session no decision is taken and no serial typed; what is known can be added to.
func TestAgainInAClosedSession(t *testing.T) {
	g := newLamp(Pass{}, "48160297", "")
	g.a.session.Closed = g.now
	g.press(Key{Kind: KeyKeep})
	g.is(t, 1, StaysClosed)
	if n := g.a.Retype(g.now); n.Kind != StaysClosed {
		t.Errorf("said %d", n.Kind)
	}
	if err := g.a.Hand().SetFacts(Facts{BackPlate: "295"}, g.now); err != nil {
		t.Fatal(err)
	}
	g.take(g.a.SaveFacts(g.now))
	if len(g.saved) != 1 || g.a.Note().Totals() != g.a.Notes()[0].Totals() || g.a.Note().BackPlate != "295" {
		t.Errorf("%+v", g.saved)
	}
}
