package store

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"pgregory.net/rapid"

	"app/unband/patterns"
	"app/unband/triage"
	"app/unband/triage/flaws"
)

var (
	long  = flag.Bool("long", false, "also the long checks: more kills, every bit and page")
	seed  = flag.Int64("seed", 0, "seed of the kill test, 0: by the clock")
	sizes = flag.Int("notes", 20_000, "notes in the file of the read benchmarks")
)

// childEnv makes the test binary a child that writes decisions into this file until it is killed.
const childEnv = "UNBAND_STORE_CHILD"

func TestMain(m *testing.M) {
	if path := os.Getenv(childEnv); path != "" {
		writeUntilKilled(path)
	}
	os.Exit(m.Run())
}

var start = time.Date(2026, 3, 14, 9, 26, 53, 589793238, time.UTC)

// tempStore opens a new file that is closed at the end of the test.
func tempStore(t testing.TB) *Store {
	t.Helper()
	return openStore(t, filepath.Join(t.TempDir(), "unband.db"))
}

func openStore(t testing.TB, path string) *Store {
	t.Helper()
	s, err := Open(path)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	return s
}

// must makes a write that has to work.
func must(t testing.TB, s *Store, w Write) Result {
	t.Helper()
	r := s.Do(w)
	if r.Err != nil {
		t.Fatalf("%T: %v", w, r.Err)
	}
	return r
}

// withStrap opens a session and its first strap.
func withStrap(t testing.TB, s *Store) triage.Strap {
	t.Helper()
	session := must(t, s, AddSession{triage.Session{Name: "market float", Denomination: 1, Straps: 10, StrapNotes: 100, Opened: start, Touched: start}}).Session
	return must(t, s, OpenStrap{triage.Strap{Session: session.ID, Band: 100, Opened: start}}).Strap
}

// nextStrap closes a strap and opens the one after it.
func nextStrap(t testing.TB, s *Store, strap triage.Strap) triage.Strap {
	t.Helper()
	must(t, s, CloseStrap{strap.Session, strap.Number, start})
	return must(t, s, OpenStrap{triage.Strap{Session: strap.Session, Band: 100, Opened: start}}).Strap
}

// note is a plain first version at a position; its digits follow from the position.
func note(strap triage.Strap, position int) triage.Note {
	return triage.Note{
		Session: strap.Session, Strap: strap.Number, Position: position, Version: 1,
		Serial:   triage.Serial{Prefix: "B", Digits: fmt.Sprintf("%08d", (position*7919+strap.Number*104729)%patterns.Total), Suffix: 'C'},
		Decision: triage.Spend,
		Decided:  start.Add(time.Duration(position) * 3 * time.Second), Took: 3 * time.Second,
	}
}

func wantSound(t testing.TB, s *Store) {
	t.Helper()
	r, err := s.Check()
	if err != nil {
		t.Fatalf("check: %v", err)
	}
	for _, p := range r.Problems {
		t.Errorf("check: %s", p)
	}
}

// Generators.

func drawTime() *rapid.Generator[time.Time] {
	return rapid.Custom(func(t *rapid.T) time.Time {
		switch rapid.IntRange(0, 9).Draw(t, "kind of time") {
		case 0:
			return time.Time{}
		case 1:
			return time.Unix(0, 0).UTC()
		case 2: // any time Go can print, from the year 1 to 9999
			return time.Unix(rapid.Int64Range(-62135596800, 253402300799).Draw(t, "seconds"), rapid.Int64Range(0, 999999999).Draw(t, "nanos")).UTC()
		}
		return start.Add(time.Duration(rapid.Int64Range(-1<<50, 1<<50).Draw(t, "offset")))
	})
}

func drawSerial() *rapid.Generator[triage.Serial] {
	return rapid.Custom(func(t *rapid.T) triage.Serial {
		return triage.Serial{
			Prefix:    rapid.StringMatching(`[A-Z]{0,2}`).Draw(t, "prefix"),
			Digits:    rapid.StringMatching(`[0-9]{8}|[0-9]{0,8}`).Draw(t, "digits"),
			Suffix:    rapid.SampledFrom([]byte{0, 'A', 'Y'}).Draw(t, "suffix"),
			Star:      rapid.Bool().Draw(t, "star"),
			StarFront: rapid.Bool().Draw(t, "star in front"),
		}
	})
}

// drawNote gives a note with everything set but the place and version.
func drawNote() *rapid.Generator[triage.Note] {
	set := rapid.Custom(func(t *rapid.T) patterns.Set { return patterns.Set(rapid.Uint64().Draw(t, "set")) })
	return rapid.Custom(func(t *rapid.T) triage.Note {
		return triage.Note{
			Serial:   drawSerial().Draw(t, "serial"),
			Series:   rapid.StringMatching(`((19|20)[0-9]{2}[A-Z]?)?`).Draw(t, "series"),
			Decision: triage.Decision(rapid.IntRange(1, 6).Draw(t, "decision")),
			Hits:     set.Draw(t, "hits"), Near: set.Draw(t, "near"), Watched: set.Draw(t, "watched"),
			Reread: triage.Reread(rapid.IntRange(0, 2).Draw(t, "re-read")),
			Before: rapid.StringMatching(`([0-9]{8})?`).Draw(t, "before"),
			Look:   triage.Look(rapid.IntRange(0, 3).Draw(t, "look")),
			Reason: rapid.String().Draw(t, "reason"),
			Stamp:  rapid.IntRange(0, 3).Draw(t, "stamp") == 0,
			Flaw:   rapid.SampledFrom([]flaws.OutcomeID{0, 0, flaws.GutterFold, flaws.DamageAfter}).Draw(t, "flaw"),
			Fate:   triage.Fate(max(rapid.IntRange(-4, 4).Draw(t, "fate"), 0)),
			Ruled:  triage.Ruling(rapid.IntRange(0, 3).Draw(t, "ruling")),

			Changed: drawTime().Draw(t, "changed"),
			Decided: drawTime().Draw(t, "decided"),
			Took:    time.Duration(rapid.Int64().Draw(t, "took")),
		}
	})
}

func drawTotals() *rapid.Generator[triage.Totals] { return rapid.Make[triage.Totals]() }

func drawSession() *rapid.Generator[triage.Session] {
	return rapid.Custom(func(t *rapid.T) triage.Session {
		return triage.Session{
			ID:           rapid.Uint64().Draw(t, "id"),
			Name:         rapid.String().Draw(t, "name"),
			Source:       rapid.String().Draw(t, "source"),
			Denomination: rapid.SampledFrom(triage.Denominations).Draw(t, "denomination"),
			NewNotes:     rapid.Bool().Draw(t, "new"),
			Straps:       rapid.Int().Draw(t, "straps"),
			StrapNotes:   rapid.Int().Draw(t, "notes"),
			Opened:       drawTime().Draw(t, "opened"),
			Touched:      drawTime().Draw(t, "touched"),
			Closed:       drawTime().Draw(t, "closed"),
			Watch:        rapid.Make[patterns.Watch]().Draw(t, "watch"),
			Settings:     drawSettings(t),
			Whole:        rapid.Bool().Draw(t, "whole"),
			Totals:       drawTotals().Draw(t, "totals"),
			Back:         rapid.Make[triage.Back]().Draw(t, "back"),
			Log:          []triage.Event{{Kind: triage.SignedOff, At: start, Back: rapid.Int().Draw(t, "log")}},
		}
	})
}
