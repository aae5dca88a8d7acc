package store

import (
	"testing"

	"app/unband/patterns"
	"app/unband/triage"
)

// listStraps takes in so many straps of a hundred listed notes each into a new session.
func listStraps(t testing.TB, s *Store, number int) (w List) {
	t.Helper()
	session := must(t, s, AddSession{triage.Session{Name: "market float", Denomination: 1, Straps: number, StrapNotes: 100, Opened: start, Settings: patterns.DefaultSettings()}}).Session
	for n := range number {
		w.Straps = append(w.Straps, triage.Strap{Session: session.ID, Number: n + 1, Band: 100, Opened: start})
		for i := range 100 {
			digits := patterns.Digits((n*100 + i + 1) * 7_919 % patterns.Total)
			w.Notes = append(w.Notes, triage.Listed{Session: session.ID, Strap: n + 1, Position: i + 1, Origin: triage.FromList,
				Serial: triage.Serial{Prefix: "B", Digits: digits.String(), Suffix: 'C'}})
		}
	}
	must(t, s, w)
	return w
}

// restOf are the listed notes as they are decided in one go.
func restOf(w List) DecideRest {
	var rest DecideRest
	for _, l := range w.Notes {
		rest.Notes = append(rest.Notes, triage.Note{Session: l.Session, Strap: l.Strap, Position: l.Position, Version: 1,
			Serial: l.Serial, Origin: l.Origin, Decision: triage.Spend, Decided: start})
	}
	return rest
}

// With a note too many nothing of the rest is decided: one behind the listed ones, one decided anew, or one of
// another session.
func TestTheRestIsWhatIsListed(t *testing.T) {
	s := tempStore(t)
	other := withStrap(t, s)
	w := listStraps(t, s, 1)
	first := restOf(w).Notes[0]
	must(t, s, Decide{first})
	rest := restOf(w).Notes[1:]
	behind, anew, strange := rest[len(rest)-1], first, rest[0]
	behind.Position = 101
	anew.Version = 2
	strange.Session, strange.Position = other.Session, 1
	for name, more := range map[string]triage.Note{"behind": behind, "anew": anew, "strange": strange} {
		if r := s.Do(DecideRest{append(rest[:len(rest):len(rest)], more)}); r.Err == nil {
			t.Errorf("%s: a note too many was decided with the rest", name)
		}
	}
	must(t, s, DecideRest{rest})
	wantSound(t, s)
}

// BenchmarkDecideRest decides the rest of a thousand straps, a hundred thousand notes, in one go.
func BenchmarkDecideRest(b *testing.B) {
	s := tempStore(b)
	for b.Loop() {
		b.StopTimer()
		rest := restOf(listStraps(b, s, 1000))
		b.StartTimer()
		must(b, s, rest)
	}
}

// Notes with the same digits that were decided at the same time are met in pile order, also when the strap of the
// earlier one is still being sorted and that of the later one is done.
func TestMetInPileOrder(t *testing.T) {
	s := tempStore(t)
	first := withStrap(t, s)
	later := triage.Strap{Session: first.Session, Number: 2, Band: 100, Opened: start}
	twin := note(later, 1)
	must(t, s, List{[]triage.Strap{later}, []triage.Listed{{Session: first.Session, Strap: 2, Position: 1, Serial: twin.Serial, Origin: triage.FromList}}})
	must(t, s, DecideRest{[]triage.Note{twin}})
	n := note(first, 1)
	n.Serial, n.Decided = twin.Serial, twin.Decided
	must(t, s, Decide{n})
	d, _ := twin.Serial.Whole()
	met, err := s.Met(d, 0)
	if err != nil || len(met) != 2 || met[0].Strap != 1 || met[1].Strap != 2 {
		t.Errorf("met are %+v, %v", met, err)
	}
}
