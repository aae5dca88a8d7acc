package store

import (
	"errors"
	"slices"
	"testing"

	bolt "go.etcd.io/bbolt"

	"app/unband/triage"
	"app/unband/triage/errands"
)

// Nothing of a session that was taken out stays in the file, and its number is not given again.
func TestASessionWithoutNotesIsTakenOutWhole(t *testing.T) {
	s := tempStore(t)
	other := withStrap(t, s)
	must(t, s, Decide{note(other, 1)})
	before := everyKey(t, s)
	strap := withStrap(t, s)
	must(t, s, Decide{note(strap, 1)})
	must(t, s, TakeOut{triage.Place{Session: strap.Session, Strap: 1, Position: 1}, 1, start})
	must(t, s, SetHand{strap.Session, 1, triage.Held{Serial: triage.Serial{Digits: "12345678"}}})
	must(t, s, PutErrands{[]errands.Errand{{Kind: errands.Pile, Place: triage.Place{Session: strap.Session}, Done: start}}})
	must(t, s, DropSession{strap.Session})
	if after := everyKey(t, s); !slices.Equal(after, before) {
		t.Errorf("in the file are\n%q, want\n%q", after, before)
	}
	wantSound(t, s)
	if next := withStrap(t, s); next.Session <= strap.Session {
		t.Errorf("the next session is %d, after %d", next.Session, strap.Session)
	}
}

func TestASessionWithANoteStays(t *testing.T) {
	s := tempStore(t)
	decided, listed := withStrap(t, s), withStrap(t, s)
	must(t, s, Decide{note(decided, 1)})
	must(t, s, List{Straps: []triage.Strap{listed}, Notes: []triage.Listed{{Session: listed.Session, Strap: 1, Position: 1, Serial: triage.Serial{Digits: "12345678"}}}})
	for _, id := range []uint64{decided.Session, listed.Session} {
		if r := s.Do(DropSession{id}); !errors.Is(r.Err, ErrHasNotes) {
			t.Errorf("session %d: %v", id, r.Err)
		}
	}
	if r := s.Do(DropSession{99}); !errors.Is(r.Err, ErrNoSession) {
		t.Errorf("a session that is not there: %v", r.Err)
	}
	wantSound(t, s)
}

// A wrong number of notes in a strap is put right in every strap, but one in sequence has proved its own.
func TestTheBandsFollowTheirSession(t *testing.T) {
	s := tempStore(t)
	first := withStrap(t, s)
	must(t, s, Decide{note(first, 1)})
	must(t, s, CloseStrap{first.Session, 1, start})
	must(t, s, List{Straps: []triage.Strap{{Session: first.Session, Number: 2, Band: first.Band, InSequence: true}},
		Notes: []triage.Listed{{Session: first.Session, Strap: 2, Position: 1}}})
	session, err := s.Session(first.Session)
	if err != nil {
		t.Fatal(err)
	}
	session.StrapNotes = 25
	must(t, s, PutSession{session})
	straps, err := s.Straps(first.Session)
	if err != nil || len(straps) != 2 || straps[0].Band != 25 || straps[0].Totals.Notes != 1 || straps[1].Band != first.Band || straps[1].Listed != 1 {
		t.Errorf("straps are %+v (%v)", straps, err)
	}
	wantSound(t, s)
}

// everyKey gives the keys of every bucket.
func everyKey(t *testing.T, s *Store) (all []string) {
	t.Helper()
	err := s.view(func(tx *bolt.Tx) error {
		return tx.ForEach(func(name []byte, b *bolt.Bucket) error {
			return b.ForEach(func(k, _ []byte) error {
				all = append(all, string(name)+"/"+string(k))
				return nil
			})
		})
	})
	if err != nil {
		t.Fatal(err)
	}
	return all
}
