package triage

import (
	"testing"
	"time"

	"app/unband/patterns"
)

// glass is a second look at notes near a radar, with a store that always says yes.
type glass struct {
	l     *SecondLook
	now   time.Time
	saved []Note
	said  NoticeKind
}

func newGlass(digits ...string) *glass {
	g := &glass{now: time.Date(2026, 3, 1, 21, 0, 0, 0, time.UTC)}
	book := defaultBook()
	s := Session{ID: 1, Denomination: 1, Watch: book.DefaultWatch()}
	var notes []Note
	for i, d := range digits {
		notes = append(notes, Note{Session: 1, Strap: 1, Position: i + 1, Version: 1, Serial: Serial{Digits: d},
			Decision: Spend, Reread: RereadSame, Look: Waiting, Took: 3 * time.Second})
	}
	g.l = NewSecondLook(s, notes, Rules{Book: book, Pauses: DefaultPauses()}, g.now)
	return g
}

func (g *glass) press(k Key) {
	g.now = g.now.Add(2 * time.Second)
	e := g.l.Press(k, g.now)
	g.said = e.Notice.Kind
	if e.Decide != nil {
		g.saved = append(g.saved, *e.Decide)
		g.l.Stored(g.l.Session(), g.now)
	}
}

func (g *glass) typed(digits string) {
	for _, r := range digits {
		g.press(Key{Kind: KeyRune, Rune: r})
	}
}

func TestSecondLookAnswers(t *testing.T) {
	g := newGlass("70633507", "70633607", "50715072")
	g.press(Key{Kind: KeySpend})
	g.press(Key{Kind: KeyKeep})
	if n := g.saved[0]; n.Look != StillSpent || n.Decision != Spend || n.Version != 2 || n.Took != 3*time.Second {
		t.Errorf("still spend gave %+v", n)
	}
	if n := g.saved[1]; n.Look != KeptAfter || n.Decision != Keep {
		t.Errorf("keep after all gave %+v", n)
	}
	if g.l.Left() != 1 {
		t.Errorf("%d left, want 1", g.l.Left())
	}
}

func TestSecondLookReadsAgain(t *testing.T) {
	g := newGlass("70633507")
	g.typed("4")
	if g.said != UnknownKey {
		t.Errorf("a digit outside a re-read gave notice %d", g.said)
	}
	g.press(Key{Kind: KeyEnter})
	g.typed("66")
	g.press(Key{Kind: KeyEnter})
	if g.said != RereadHit || len(g.saved) != 0 {
		t.Fatalf("notice %d and %d answers, want the note judged anew and nothing decided", g.said, len(g.saved))
	}
	g.press(Key{Kind: KeyKeep})
	n := g.saved[0]
	if n.Serial.Digits != "70633607" || n.Before != "70633507" || !n.Hits.Has(patterns.Radar) || n.Look != KeptAfter {
		t.Errorf("kept %+v", n)
	}
}

func TestSecondLookSameDigitsDecideNothing(t *testing.T) {
	g := newGlass("70633507")
	g.press(Key{Kind: KeyEnter})
	g.typed("65")
	g.press(Key{Kind: KeyEnter})
	if len(g.saved) != 0 {
		t.Fatal("reading the same digits again decided the note")
	}
	g.press(Key{Kind: KeySpend})
	if len(g.saved) != 1 || g.saved[0].Look != StillSpent {
		t.Errorf("saved %+v", g.saved)
	}
}

func TestSecondLookPassesOver(t *testing.T) {
	g := newGlass("70633507", "50715072")
	g.press(Key{Kind: KeyMove, N: 1})
	g.press(Key{Kind: KeySpend})
	if n := g.saved[0]; n.Position != 2 {
		t.Errorf("note %d answered, want 2", n.Position)
	}
	if n, ok := g.l.Note(); !ok || n.Position != 1 {
		t.Errorf("note %d shown, want the one passed over", n.Position)
	}
}

func TestAbove(t *testing.T) {
	var notes []Note
	for i, d := range []Decision{Spend, Keep, Spend, Glance, Keep, Spend} {
		notes = append(notes, Note{Position: i + 1, Decision: d})
	}
	for position, want := range map[int]int{1: 3, 3: 2, 6: 0} {
		if got := Above(notes, position); got != want {
			t.Errorf("%d notes above note %d, want %d", got, position, want)
		}
	}
}
