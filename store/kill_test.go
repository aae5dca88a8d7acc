package store

import (
	"bufio"
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"app/unband/triage"
)

// strapNotes is how many notes the child puts into each strap.
const strapNotes = 40

// plan is note i of a strap at a version: whoever reads the file later knows what must be there.
func plan(strap triage.Strap, position, version int) triage.Note {
	n := note(strap, position)
	n.Version = version
	n.Look = triage.Look(position % 4)
	n.Reason = fmt.Sprintf("note %d, version %d", position, version)
	return n
}

// writeUntilKilled is the child: it goes on where the file ends, always as fast as it can, and
// prints each note that it was told is written. Every seventh note also corrects the one three before.
func writeUntilKilled(path string) {
	s, err := Open(path)
	if err != nil {
		fmt.Println("error", err)
		os.Exit(1)
	}
	for {
		strap, err := childStrap(s)
		if err != nil {
			fmt.Println("error", err)
			os.Exit(1)
		}
		s.fillStrap(strap)
	}
}

// childStrap resumes the last strap, or opens the next one (and first the session).
func childStrap(s *Store) (triage.Strap, error) {
	sessions, err := s.Sessions()
	if err != nil {
		return triage.Strap{}, err
	}
	if len(sessions) == 0 {
		sessions = []triage.Session{s.Do(AddSession{triage.Session{Name: "market float", Opened: start}}).Session}
	}
	straps, err := s.Straps(sessions[0].ID)
	if err != nil {
		return triage.Strap{}, err
	}
	if n := len(straps); n > 0 && !straps[n-1].Done {
		return straps[n-1], nil
	}
	r := s.Do(OpenStrap{triage.Strap{Session: sessions[0].ID, Band: strapNotes, Opened: start}})
	return r.Strap, r.Err
}

// fillStrap submits the rest of a strap without waiting, then waits for its end.
func (s *Store) fillStrap(strap triage.Strap) {
	tell := func(r Result) {
		if r.Err != nil {
			fmt.Println("error", r.Err)
			os.Exit(1)
		}
		fmt.Println("written", r.Note.Session, r.Note.Strap, r.Note.Position, r.Note.Version)
	}
	for i := strap.Totals.Notes + 1; i <= strapNotes; i++ {
		n := plan(strap, i, 1)
		s.Submit(SetHand{n.Session, n.Strap, triage.Held{Serial: n.Serial}}, nil)
		s.Submit(Decide{n}, tell)
		if i%7 == 0 {
			s.Submit(Decide{plan(strap, i-3, 2)}, tell)
		}
	}
	// After a kill between a seventh note and its correction, the correction is never made: fine.
	s.Do(CloseStrap{strap.Session, strap.Number, start})
}

// The program can be killed at any moment: what was told as written is in the file, once and in
// order, and nothing else is wrong with the file either.
func TestKilledAtAnyMoment(t *testing.T) {
	runs := 20
	if *long {
		runs = 500
	}
	if *seed == 0 {
		*seed = time.Now().UnixNano()
	}
	t.Logf("-seed %d", *seed)
	random := rand.New(rand.NewPCG(uint64(*seed), 0))
	shared := filepath.Join(t.TempDir(), "unband.db")
	told := map[triage.Place]int{} // newest version told
	acknowledged, ahead := 0, 0
	for run := range runs {
		path, known := shared, told
		if run%4 == 3 { // sometimes a new file, so that its making is hit too
			path, known = filepath.Join(t.TempDir(), "unband.db"), map[triage.Place]int{}
		}
		pause := time.Duration(random.IntN(80_000)) * time.Microsecond
		acknowledged += killAfter(t, path, pause, known)
		ahead += wantAllTold(t, path, known)
	}
	t.Logf("%d kills, %d decisions told as written, all there; %d more were written than told", runs, acknowledged, ahead)
	if acknowledged == 0 {
		t.Error("no decision was told in any run: nothing was tested")
	}
}

// killAfter runs the child for a while and notes what it was told.
func killAfter(t *testing.T, path string, pause time.Duration, told map[triage.Place]int) (lines int) {
	t.Helper()
	child := exec.Command(os.Args[0])
	child.Env = append(os.Environ(), childEnv+"="+path)
	out, err := child.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := child.Start(); err != nil {
		t.Fatal(err)
	}
	timer := time.AfterFunc(pause, func() { _ = child.Process.Kill() })
	defer timer.Stop()
	for in := bufio.NewScanner(out); in.Scan(); {
		var p triage.Place
		var version int
		if _, err := fmt.Sscan(in.Text()[len("written"):], &p.Session, &p.Strap, &p.Position, &version); err != nil {
			t.Fatalf("the child says %q", in.Text())
		}
		told[p] = max(told[p], version)
		lines++
	}
	_ = child.Wait() // always "killed"
	return lines
}

// wantAllTold opens the file after a kill and gives how many versions are in it that were not told.
func wantAllTold(t *testing.T, path string, told map[triage.Place]int) (ahead int) {
	t.Helper()
	if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) && len(told) == 0 {
		return 0 // killed before the file was made
	}
	s, err := Open(path)
	if err != nil {
		t.Fatalf("open after a kill: %v", err)
	}
	defer s.Close()
	wantSound(t, s)
	stored := map[triage.Place]int{}
	sessions, _ := s.Sessions()
	for _, session := range sessions {
		straps, _ := s.Straps(session.ID)
		for _, strap := range straps {
			notes, err := s.Notes(session.ID, strap.Number)
			if err != nil {
				t.Fatal(err)
			}
			for i, n := range notes {
				if want := plan(strap, i+1, n.Version); n != want {
					t.Fatalf("stored is %+v, want %+v", n, want)
				}
				stored[n.Place()] = n.Version
			}
			if hand, ok, _ := s.Hand(session.ID, strap.Number); ok && hand.Serial != plan(strap, len(notes)+1, 1).Serial {
				t.Fatalf("in hand is %v, not the note after %d", hand, len(notes))
			}
		}
	}
	for p, version := range told {
		if stored[p] < version {
			t.Fatalf("%s was told at version %d, stored is %d", inWords(p), version, stored[p])
		}
	}
	for p, version := range stored {
		ahead += version - told[p]
		told[p] = version // told by the file itself from now on
	}
	return ahead
}
