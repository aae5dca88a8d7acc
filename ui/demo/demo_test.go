package demo

import (
	"bytes"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"app/unband/patterns"
	"app/unband/store"
	"app/unband/triage"
	"app/unband/triage/currency"
	"app/unband/triage/errands"
	"app/unband/triage/report"
	"app/unband/triage/stars"
)

// saturday is the time the tests make the demo for.
var saturday = time.Date(2026, 3, 7, 20, 40, 0, 0, time.UTC)

// made makes the demo's file.
func made(t testing.TB, now time.Time, seed uint64) *store.Store {
	t.Helper()
	s, err := store.OpenThrowAway(filepath.Join(t.TempDir(), "demo.db"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	if err := Fill(s, now, seed); err != nil {
		t.Fatal(err)
	}
	return s
}

// told is everything in the file: the report for other programs, and what is not in it.
func told(t *testing.T, s *store.Store) string {
	t.Helper()
	sessions, err := s.Sessions()
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := report.Write(&b, report.JSONForm, report.Made{At: saturday}, report.Source{Sessions: sessions, Straps: s.Straps, Notes: s.Notes}); err != nil {
		t.Fatal(err)
	}
	for _, n := range notes(t, s) {
		versions, err := s.Versions(n.Session, n.Strap, n.Position)
		fmt.Fprintf(&b, "%+v %+v %v\n", n, versions, err)
	}
	done, err := s.ErrandsDone()
	fmt.Fprintf(&b, "%+v %v\n", done, err)
	runs, err := s.Runs()
	fmt.Fprintf(&b, "%+v %v\n", runs, err)
	choices, _, err := s.Choices()
	fmt.Fprintf(&b, "%+v %v\n", choices, err)
	hand, _, err := s.Hand(sessions[0].ID, 2)
	fmt.Fprintf(&b, "%+v %v\n", hand, err)
	return b.String()
}

// notes gives every note of the file.
func notes(t *testing.T, s *store.Store) (all []triage.Note) {
	t.Helper()
	sessions, err := s.Sessions()
	if err != nil {
		t.Fatal(err)
	}
	for _, session := range sessions {
		straps, err := s.Straps(session.ID)
		if err != nil {
			t.Fatal(err)
		}
		for _, strap := range straps {
			some, err := s.Notes(session.ID, strap.Number)
			if err != nil {
				t.Fatal(err)
			}
			all = append(all, some...)
		}
	}
	return all
}

// The same seed and time give the same notes; another seed gives others.
func TestSameSeedAndTimeGiveTheSameNotes(t *testing.T) {
	first := told(t, made(t, saturday, Seed))
	if again := told(t, made(t, saturday, Seed)); again != first {
		t.Error("the same seed and time have given other notes")
	}
	if testing.Short() {
		return
	}
	if other := told(t, made(t, saturday, Seed+1)); other == first {
		t.Error("another seed has given the same notes")
	}
}

// The file is sound whatever is drawn, and nothing in it lies ahead of the time it is made for.
func TestEveryTimeAndSeedGiveASoundFile(t *testing.T) {
	east := time.FixedZone("east", 9*60*60)
	for _, c := range []struct {
		now  time.Time
		seed uint64
	}{
		{saturday, Seed},
		{time.Date(2028, 2, 29, 0, 5, 0, 0, time.UTC), 2},
		{time.Date(2031, 1, 1, 3, 0, 0, 1, east), 3},
	} {
		if testing.Short() && c.seed != Seed {
			continue
		}
		s := made(t, c.now, c.seed)
		r, err := s.Check()
		if err != nil || !r.Sound() {
			t.Errorf("seed %d: %v, %v", c.seed, r.Problems, err)
		}
		var last time.Time
		for _, n := range notes(t, s) {
			if n.Decided.After(c.now) || n.Changed.After(c.now) {
				t.Errorf("seed %d: %v was decided at %v and changed at %v, now is %v", c.seed, n.Place(), n.Decided, n.Changed, c.now)
			}
			if n.Decided.After(last) {
				last = n.Decided
			}
		}
		if ago := c.now.Sub(last); ago > 15*time.Minute {
			t.Errorf("seed %d: the last note was decided %v ago", c.seed, ago)
		}
	}
}

func TestWhatIsInTheFile(t *testing.T) {
	s := made(t, saturday, Seed)
	t.Run("something of everything", func(t *testing.T) { hasEverything(t, s) })
	t.Run("the star batch is ripe", func(t *testing.T) { hasRipeBatch(t, s) })
	t.Run("wonders are what they are called", func(t *testing.T) { hasWonders(t, s) })
}

// hasEverything looks for a note of each kind that the screens tell of.
func hasEverything(t *testing.T, s *store.Store) {
	have := map[string]int{}
	for _, n := range notes(t, s) {
		have[n.Decision.String()]++
		have[n.Fate.String()]++
		have["origin "+fmt.Sprint(n.Origin)]++
		have["look "+fmt.Sprint(n.Look)]++
		have["reread "+fmt.Sprint(n.Reread)]++
		for what, is := range map[string]bool{
			"stamp": n.Stamp, "error": n.Flaw.Keep(), "where": n.Where != "", "reason": n.Reason != "", "remark": n.Remark != "",
			"grade": n.Grade != 0, "settled": n.Serial.Digits != "" && len(n.Serial.Digits) < patterns.Places,
		} {
			if is {
				have[what]++
			}
		}
	}
	for _, what := range []string{"spent", "kept", "spent unread", "set aside", "sold", "traded", "sent to be graded", "spent after all",
		"origin 0", "origin 1", "origin 2", "look 1", "look 2", "look 3", "reread 1", "reread 2",
		"stamp", "error", "where", "reason", "remark", "grade", "settled"} {
		if have[what] == 0 {
			t.Errorf("no note of the kind %q", what)
		}
	}
	sessions, err := s.Sessions()
	if err != nil || len(sessions) != 10 {
		t.Errorf("%d sessions, %v", len(sessions), err)
	}
	if first := sessions[len(sessions)-1].Opened; saturday.Sub(first) < 150*day {
		t.Errorf("the first session began on %v", first)
	}
	done, err := s.ErrandsDone()
	if err != nil || !slices.ContainsFunc(done, func(e errands.Errand) bool { return e.Kind == errands.Report && e.Remark != "" }) {
		t.Errorf("errands done: %v, %v", done, err)
	}
	if hand, ok, err := s.Hand(sessions[0].ID, 2); err != nil || !ok || hand.Position != inHand {
		t.Errorf("in hand is %+v, %v", hand, err)
	}
}

// hasRipeBatch: enough stars are to be looked up, and the runs have an answer for some stars and none for others.
func hasRipeBatch(t *testing.T, s *store.Store) {
	kept, err := s.Stars()
	if err != nil {
		t.Fatal(err)
	}
	runs, err := s.Runs()
	if err != nil {
		t.Fatal(err)
	}
	choices, _, err := s.Choices()
	if err != nil {
		t.Fatal(err)
	}
	all := make([]stars.Star, len(kept))
	for i, n := range kept {
		all[i], _ = stars.Of(n, 1)
	}
	found := map[stars.Status]int{}
	for _, f := range stars.ResolveAll(all, runs) {
		found[f.Status]++
	}
	if open := found[stars.NotReady] + found[stars.NoList]; open < choices.RipeAt() {
		t.Errorf("%d stars to be looked up, ripe at %d", open, choices.RipeAt())
	}
	for _, status := range []stars.Status{stars.NotReady, stars.NoList, stars.InRun, stars.Gap, stars.Beyond} {
		if found[status] == 0 {
			t.Errorf("no star has the status %d: %v", status, found)
		}
	}
	for _, r := range runs { // nobody takes them for published ones
		if series, err := currency.ParseSeries(r.Series); err != nil || r.Listed.IsZero() || r.Listed.Year() >= series.Year {
			t.Errorf("%v bears the date %v", r, r.Listed)
		}
	}
}

// hasWonders: each wonder is by the rules what it is called here, or near it where it should be.
func hasWonders(t *testing.T, s *store.Store) {
	sessions, err := s.Sessions()
	if err != nil {
		t.Fatal(err)
	}
	book, err := patterns.NewBook(sessions[0].Settings)
	if err != nil {
		t.Fatal(err)
	}
	names := map[kind]string{radar: "radar", repeater: "repeater", fourPairs: "four pairs", binary: "binary", sixInARow: "six in a row",
		sevenAlike: "seven alike", lowNumber: "low number", rotator: "rotator", own: "??2468??", mistyped: "radar", nearRadar: "radar", nearRepeater: "repeater"}
	tested := 0
	for i, p := range piles {
		for _, w := range p.wonders {
			name, ok := names[w.what]
			if !ok || w.position == inHand {
				continue
			}
			all, err := s.Notes(uint64(i+1), w.strap)
			if err != nil || len(all) < w.position {
				t.Fatalf("%s: %d notes, %v", p.name, len(all), err)
			}
			n := all[w.position-1]
			set := n.Hits
			if w.what == nearRadar || w.what == nearRepeater {
				set = n.Near
			}
			tested++
			if !slices.ContainsFunc(set.IDs(), func(id patterns.ID) bool { r, _ := book.Rule(id); return strings.Contains(r.Name, name) }) {
				t.Errorf("%s, %v: %s is no %s", p.name, n.Place(), n.Serial, name)
			}
		}
	}
	if tested < 15 {
		t.Errorf("only %d wonders were tested", tested)
	}
}

// BenchmarkFill is what unband --demo takes before its first screen.
func BenchmarkFill(b *testing.B) {
	for i := 0; b.Loop(); i++ {
		s, err := store.OpenThrowAway(filepath.Join(b.TempDir(), fmt.Sprint(i)))
		if err != nil {
			b.Fatal(err)
		}
		if err := Fill(s, saturday, Seed); err != nil {
			b.Fatal(err)
		}
		if err := s.Close(); err != nil {
			b.Fatal(err)
		}
	}
}
