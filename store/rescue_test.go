package store

import (
	"bytes"
	"encoding/binary"
	"errors"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"app/unband/triage"
)

// rescued rescues what is left of a file. A nil store means that nothing of ours was found.
func rescued(t *testing.T, file []byte) (*Store, Rescued) {
	t.Helper()
	folder := t.TempDir()
	path, to := filepath.Join(folder, "damaged.db"), filepath.Join(folder, "rescued.db")
	write(file)(t, path)
	r, err := Rescue(path, to)
	if after, look := os.ReadFile(path); look != nil || !bytes.Equal(after, file) {
		t.Fatalf("the damaged file was changed (%v)", look)
	}
	if errors.Is(err, ErrNotOurs) {
		if _, err := os.Stat(to); !errors.Is(err, fs.ErrNotExist) {
			t.Fatal("a file was left although nothing was found")
		}
		return nil, r
	}
	if err != nil {
		t.Fatal(err)
	}
	return openStore(t, to), r
}

// everything reads all that a file holds.
func everything(t *testing.T, s *Store) map[string]any {
	t.Helper()
	all := map[string]any{}
	sessions, err := s.Sessions()
	check(t, err)
	for _, session := range sessions {
		all[sessionName(session)] = session
		straps, err := s.Straps(session.ID)
		check(t, err)
		for _, strap := range straps {
			p := triage.Place{Session: strap.Session, Strap: strap.Number}
			all[inWords(p)] = strap
			notes, err := s.Notes(p.Session, p.Strap)
			check(t, err)
			for _, n := range notes {
				all[inWords(n.Place())] = n
				earlier, err := s.Versions(p.Session, p.Strap, n.Position)
				check(t, err)
				all["versions of "+inWords(n.Place())] = earlier
			}
			list, err := s.Listed(p.Session, p.Strap)
			check(t, err)
			for _, l := range list {
				all["listed "+inWords(l.Place())] = l
			}
			held, _, err := s.Hand(p.Session, p.Strap)
			check(t, err)
			all["in hand of "+inWords(p)] = held
		}
		out, err := s.TakenOut(session.ID)
		check(t, err)
		all["taken out of "+sessionName(session)] = out
	}
	c, _, err := s.Choices()
	check(t, err)
	all["choices"] = c
	runs, err := s.Runs()
	check(t, err)
	all["runs"] = runs
	done, err := s.ErrandsDone()
	check(t, err)
	all["errands"] = done
	return all
}

func sessionName(s triage.Session) string { return "session " + s.Name }

// Of a sound file everything is saved, as it is.
func TestASoundFileIsRescuedWhole(t *testing.T) {
	for _, name := range []string{"layout-1.db", "layout-2.db"} {
		path, content := oldFile(t, name)
		want := everything(t, openStore(t, path)) // brought up to date
		s, r := rescued(t, content)
		if got := everything(t, s); !reflect.DeepEqual(got, want) {
			for k := range want {
				if !reflect.DeepEqual(got[k], want[k]) {
					t.Errorf("%s: %s is\n%+v, want\n%+v", name, k, got[k], want[k])
				}
			}
		}
		if len(r.Missing) > 0 {
			t.Errorf("%s: missing is %q", name, r.Missing)
		}
		wantSound(t, s)
	}
	sound := closedStore(t)
	s, r := rescued(t, sound)
	if r.Notes != 104 || r.Versions != 10 || len(r.Missing) > 0 {
		t.Errorf("rescued is %+v", r)
	}
	wantSound(t, s)
}

// truth is what a file held before it was damaged.
func truth(t *testing.T, sound []byte) map[string]any {
	t.Helper()
	path := filepath.Join(t.TempDir(), "sound.db")
	write(sound)(t, path)
	s := openStore(t, path)
	defer s.Close()
	return everything(t, s)
}

// wantNothingInvented compares every note that was saved with what was there before.
func wantNothingInvented(t *testing.T, why string, s *Store, want map[string]any) (saved int) {
	t.Helper()
	wantSound(t, s)
	for name, got := range everything(t, s) {
		n, isNote := got.(triage.Note)
		if !isNote {
			continue
		}
		saved++
		before, there := want[name].(triage.Note)
		if !there {
			t.Errorf("%s: %s was never there", why, name)
			continue
		}
		n.Version = before.Version // earlier ones may be lost
		if !reflect.DeepEqual(n, before) && !oldVersion(want["versions of "+name], n) {
			t.Errorf("%s: %s is\n%+v, was\n%+v", why, name, n, before)
		}
	}
	return saved
}

// oldVersion reports whether a note is as one of its earlier versions was.
func oldVersion(earlier any, n triage.Note) bool {
	all, _ := earlier.([]triage.Note)
	for _, v := range all {
		n.Version = v.Version
		if reflect.DeepEqual(n, v) {
			return true
		}
	}
	return false
}

// Whatever page is lost, the rest is saved, nothing is invented, and the new file is sound. A leaf of notes that is
// lost costs its notes and no others.
func TestRescueWithAnyPageLost(t *testing.T) {
	sound := closedStore(t)
	want := truth(t, sound)
	size := os.Getpagesize()
	for _, fill := range []byte{0, 0xff, 0x5a} {
		for page := range len(sound) / size {
			broken := bytes.Clone(sound)
			for i := range size {
				broken[page*size+i] = fill
			}
			s, r := rescued(t, broken)
			if s == nil {
				t.Errorf("page %d: nothing was found", page)
				continue
			}
			saved := wantNothingInvented(t, r.Path, s, want)
			if lost := 104 - saved; lost > 0 && !strings.Contains(strings.Join(r.Missing, "\n"), "lost") {
				t.Errorf("page %d: %d notes are lost and nobody says so: %q", page, lost, r.Missing)
			}
			if saved < 40 {
				t.Errorf("page %d of kind %d: only %d of 104 notes are saved: %q", page, binary.NativeEndian.Uint16(sound[page*size+8:]), saved, r.Missing)
			}
			s.Close()
		}
	}
}

// The same for files that are cut short at every page, and in between.
func TestRescueOfFilesCutShort(t *testing.T) {
	sound := closedStore(t)
	want := truth(t, sound)
	size := os.Getpagesize()
	for at := 0; at < len(sound); at += size {
		for _, cut := range []int{at, at + 1, at + size/2} {
			if s, r := rescued(t, sound[:cut]); s != nil {
				wantNothingInvented(t, r.Path, s, want)
				s.Close()
			}
		}
	}
}

// Random damage, many bytes at once: no panic, no hang, nothing invented.
func TestRescueOfRandomDamage(t *testing.T) {
	rounds, seed := 60, uint64(20261125)
	if *long {
		rounds = 3000
	}
	sound := closedStore(t)
	want := truth(t, sound)
	some := 0
	for round := range rounds {
		random := rand.New(rand.NewPCG(seed, uint64(round)))
		broken := bytes.Clone(sound)
		for range 1 + random.IntN(200) {
			broken[random.IntN(len(broken))] ^= byte(1 + random.IntN(255))
		}
		if s, r := rescued(t, broken); s != nil {
			some += wantNothingInvented(t, r.Path, s, want)
			s.Close()
		}
	}
	if some == 0 {
		t.Error("nothing was ever saved: the test proves nothing")
	}
}

// With both header pages gone the buckets are found by looking for them.
func TestRescueWithoutHeaders(t *testing.T) {
	broken := closedStore(t)
	clear(broken[:2*os.Getpagesize()])
	s, r := rescued(t, broken)
	if s == nil || r.Notes != 104 || r.Versions != 10 || len(r.Missing) > 0 {
		t.Fatalf("saved is %+v", r)
	}
}

// Lost notes in the middle leave no hole: the strap is open again, and their places wait to be read.
func TestLostNotesWaitToBeRead(t *testing.T) {
	sound := closedStore(t)
	size := os.Getpagesize()
	for page := 2; page < len(sound)/size; page++ {
		broken := bytes.Clone(sound)
		clear(broken[page*size : (page+1)*size])
		s, r := rescued(t, broken)
		if s == nil {
			continue
		}
		if list, err := s.Listed(1, 1); err == nil && len(list) > 0 {
			straps, err := s.Straps(1)
			check(t, err)
			if straps[0].Done || straps[0].Listed != len(list) || straps[0].Size() != 100 || list[0].Doubt == "" {
				t.Errorf("strap %+v, listed %+v", straps[0], list[0])
			}
			if r.Notes-4+len(list) != 100 { // four are of strap 2
				t.Errorf("%d notes and %d waiting", r.Notes, len(list))
			}
			return
		}
		s.Close()
	}
	t.Error("no page held notes alone: the test proves nothing")
}

// What is not ours is told as such; a file that is there is not replaced.
func TestRescueRefuses(t *testing.T) {
	folder := t.TempDir()
	for name, content := range map[string][]byte{"empty": {}, "text": []byte(strings.Repeat("text ", 5000)), "zeros": make([]byte, 1<<16)} {
		path := filepath.Join(folder, name)
		write(content)(t, path)
		if _, err := Rescue(path, filepath.Join(folder, "new.db")); !errors.Is(err, ErrNotOurs) {
			t.Errorf("%s: %v", name, err)
		}
	}
	foreignPath := filepath.Join(folder, "foreign.db")
	foreign("meta", "program")(t, foreignPath)
	if _, err := Rescue(foreignPath, filepath.Join(folder, "new.db")); !errors.Is(err, ErrNotOurs) {
		t.Errorf("another program's file: %v", err)
	}
	path := filepath.Join(folder, "sound.db")
	write(closedStore(t))(t, path)
	if _, err := Rescue(path, path); !errors.Is(err, fs.ErrExist) {
		t.Errorf("over itself: %v", err)
	}
	if _, err := Rescue(folder, filepath.Join(folder, "new.db")); !errors.Is(err, ErrNotRegular) {
		t.Errorf("a folder: %v", err)
	}
}
