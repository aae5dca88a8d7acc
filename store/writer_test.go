package store

import (
	"bytes"
	"errors"
	"os"
	"sync"
	"testing"
	"time"

	bolt "go.etcd.io/bbolt"

	"app/unband/triage"
)

var errDisk = errors.New("the disk says no")

// commitWithoutSync is for tests whose file need not survive a power cut.
func commitWithoutSync(tx *bolt.Tx) error {
	tx.DB().NoSync = true
	return tx.Commit()
}

// fail makes commits fail: before anything is written, or although everything is.
func fail(s *Store, after bool) {
	s.commit = func(tx *bolt.Tx) error {
		if after {
			if err := tx.Commit(); err != nil {
				return err
			}
		}
		return errDisk
	}
}

func TestResultsComeInTheOrderOfTheWrites(t *testing.T) {
	s := tempStore(t)
	strap := withStrap(t, s)
	var got []int
	var all sync.WaitGroup
	for i := 1; i <= 200; i++ {
		all.Add(1)
		s.Submit(Decide{note(strap, i)}, func(r Result) {
			defer all.Done()
			if r.Err != nil {
				t.Errorf("note %d: %v", i, r.Err)
			}
			if r.Strap.Totals.Notes != i {
				t.Errorf("note %d: the strap counts %d", i, r.Strap.Totals.Notes)
			}
			got = append(got, r.Note.Position)
		})
	}
	all.Wait()
	for i, position := range got {
		if position != i+1 {
			t.Fatalf("result %d is that of note %d", i+1, position)
		}
	}
	wantSound(t, s)
}

// What is told as written must be readable by whoever was told.
func TestDoneIsCalledAfterTheWriteCanBeRead(t *testing.T) {
	s := tempStore(t)
	strap := withStrap(t, s)
	told := make(chan int)
	s.Submit(Decide{note(strap, 1)}, func(Result) {
		all, _ := s.Notes(strap.Session, strap.Number)
		told <- len(all)
	})
	if n := <-told; n != 1 {
		t.Errorf("%d notes are read when the first is told as written", n)
	}
}

func TestCloseMakesTheWritesThatWait(t *testing.T) {
	s := tempStore(t)
	strap := withStrap(t, s)
	told := 0
	for i := 1; i <= 100; i++ {
		s.Submit(Decide{note(strap, i)}, func(Result) { told++ })
	}
	var both sync.WaitGroup
	for range 2 { // from two sides at once
		both.Go(func() {
			if err := s.Close(); err != nil {
				t.Errorf("close: %v", err)
			}
		})
	}
	both.Wait()
	if err := s.Close(); err != nil || told != 100 {
		t.Errorf("closed again: %v; %d of 100 writes were told", err, told)
	}
	if r := s.Do(Decide{note(strap, 101)}); !errors.Is(r.Err, ErrClosed) {
		t.Errorf("a write after the end was answered %v", r.Err)
	}
	s.Submit(Decide{note(strap, 101)}, nil)
	if _, err := s.Notes(strap.Session, strap.Number); !errors.Is(err, ErrClosed) {
		t.Errorf("a read after the end was answered %v", err)
	}
	again := openStore(t, s.Path())
	if all, err := again.Notes(strap.Session, strap.Number); err != nil || len(all) != 100 {
		t.Errorf("%d notes after opening again, %v", len(all), err)
	}
	wantSound(t, again)
}

// A slow disk must not hold up the screen.
func TestSubmitDoesNotWait(t *testing.T) {
	s := tempStore(t)
	strap := withStrap(t, s)
	gate := make(chan struct{})
	s.commit = func(tx *bolt.Tx) error { <-gate; return commitWithoutSync(tx) }
	for i := 1; i <= 5000; i++ {
		s.Submit(Decide{note(strap, i)}, nil) // would hang here
	}
	close(gate)
	if r := s.Do(Decide{note(strap, 5001)}); r.Err != nil {
		t.Error(r.Err)
	}
}

func TestAFailedCommitIsLookedFor(t *testing.T) {
	for _, after := range []bool{false, true} {
		s := tempStore(t)
		strap := withStrap(t, s)
		must(t, s, Decide{note(strap, 1)})
		fail(s, after)
		second := s.Do(Decide{note(strap, 2)})
		var failure *CommitError
		if !errors.As(second.Err, &failure) || !errors.Is(second.Err, errDisk) {
			t.Fatalf("after %v: answered %v", after, second.Err)
		}
		if second.Written != after || failure.Written != after || (second.Note.Position == 2) != after {
			t.Errorf("after %v: written %v, error says %v, note %+v", after, second.Written, failure.Written, second.Note)
		}
		all, err := s.Notes(strap.Session, strap.Number)
		if stored := len(all) == 2; err != nil || stored != after {
			t.Errorf("after %v: %d notes are stored, %v", after, len(all), err)
		}
		s.commit = (*bolt.Tx).Commit
		must(t, s, Decide{note(strap, len(all)+1)})
		wantSound(t, s)
	}
}

// A correction has the same key as the version before it, so finding the key is not enough.
func TestAFailedCorrectionIsNotTakenForTheVersionBefore(t *testing.T) {
	for _, after := range []bool{false, true} {
		s := tempStore(t)
		strap := withStrap(t, s)
		n := note(strap, 1)
		must(t, s, Decide{n})
		n.Version = 2
		fail(s, after)
		if r := s.Do(Decide{n}); r.Err == nil || r.Written != after {
			t.Errorf("after %v: answered %v, written %v", after, r.Err, r.Written)
		}
	}
}

func TestEveryKindOfWriteIsLookedFor(t *testing.T) {
	for _, after := range []bool{false, true} {
		s := tempStore(t)
		strap := withStrap(t, s)
		session, err := s.Session(strap.Session)
		if err != nil {
			t.Fatal(err)
		}
		must(t, s, SetHand{strap.Session, 1, triage.Held{Serial: triage.Serial{Digits: "12345678"}}})
		session.Name = "another name"
		failing := func(w Write) {
			fail(s, after)
			if r := s.Do(w); r.Err == nil || r.Written != after {
				t.Errorf("%T, after %v: answered %v, written %v", w, after, r.Err, r.Written)
			}
			s.commit = (*bolt.Tx).Commit
		}
		for _, w := range []Write{
			AddSession{session}, PutSession{session}, PutChoices{triage.Choices{Whole: true}},
			SetHand{session.ID, 1, triage.Held{Serial: triage.Serial{Digits: "87654321"}}}, SetHand{Session: session.ID, Strap: 1},
			Decide{note(strap, 1)}, CloseStrap{session.ID, 1, start},
		} {
			failing(w)
		}
		if !after { // the next strap can be opened only now
			must(t, s, CloseStrap{session.ID, 1, start})
		}
		failing(OpenStrap{triage.Strap{Session: session.ID}})
		empty := must(t, s, AddSession{session}).Session
		failing(DropSession{empty.ID})
		wantSound(t, s)
	}
}

// When the file cannot be opened again nobody knows more, and nothing more is written.
func TestAFileThatDoesNotOpenAgainTakesNoMoreWrites(t *testing.T) {
	s := tempStore(t)
	strap := withStrap(t, s)
	s.commit = func(tx *bolt.Tx) error {
		if err := os.Truncate(s.path, 0); err != nil {
			t.Error(err)
		}
		return errDisk
	}
	first := s.Do(Decide{note(strap, 1)})
	var failure *CommitError
	if !errors.As(first.Err, &failure) || failure.Reopen == nil || first.Written {
		t.Fatalf("answered %v, written %v", first.Err, first.Written)
	}
	s.commit = (*bolt.Tx).Commit
	if r := s.Do(Decide{note(strap, 2)}); r.Err != first.Err {
		t.Errorf("a later write was answered %v, want the same", r.Err)
	}
	if _, err := s.Sessions(); err == nil {
		t.Error("a read worked on a file that is not open")
	}
	if err := s.Close(); err != nil {
		t.Errorf("close: %v", err)
	}
}

func TestPanicsAreAnswers(t *testing.T) {
	s := tempStore(t)
	strap := withStrap(t, s)
	s.commit = func(*bolt.Tx) error { panic("invalid page type") }
	var damaged *DamagedError
	if r := s.Do(Decide{note(strap, 1)}); !errors.As(r.Err, &damaged) || r.Written {
		t.Errorf("a panic while committing was answered %v, written %v", r.Err, r.Written)
	}
	s.commit = (*bolt.Tx).Commit
	s.Submit(Decide{note(strap, 1)}, func(Result) { panic("in the screen") })
	if r := s.Do(Decide{note(strap, 2)}); r.Err != nil {
		t.Errorf("after a panic in done: %v", r.Err)
	}
	if r := s.Do(nil); r.Err == nil {
		t.Error("nothing was written without an error")
	}
	wantSound(t, s)
	if err := s.Close(); err == nil {
		t.Error("close does not tell of the panic in done")
	}
}

// bbolt goes on writing into a file that is gone and reports success.
func TestAFileThatIsGoneOrReplacedIsNoticed(t *testing.T) {
	for _, replace := range []bool{false, true} {
		s := tempStore(t)
		strap := withStrap(t, s)
		must(t, s, Decide{note(strap, 1)})
		aside := s.Path() + ".aside"
		if err := os.Rename(s.Path(), aside); err != nil {
			t.Fatal(err)
		}
		if replace {
			if err := os.WriteFile(s.Path(), []byte("another file"), 0o600); err != nil {
				t.Fatal(err)
			}
		}
		if r := s.Do(Decide{note(strap, 2)}); !errors.Is(r.Err, ErrMoved) || r.Written {
			t.Errorf("replaced %v: answered %v", replace, r.Err)
		}
		if err := os.Rename(aside, s.Path()); err != nil {
			t.Fatal(err)
		}
		must(t, s, Decide{note(strap, 2)}) // back under its name, it goes on
		wantSound(t, s)
	}
}

// Readers meet whole writes only, also while the file is opened anew.
func TestReadersBesideTheWriter(t *testing.T) {
	s := tempStore(t)
	strap := withStrap(t, s)
	stop := make(chan struct{})
	var readers sync.WaitGroup
	for range 3 {
		readers.Go(func() {
			for {
				select {
				case <-stop:
					return
				default:
				}
				if all, err := s.Notes(strap.Session, strap.Number); err != nil {
					t.Errorf("%d notes, %v", len(all), err)
					return
				}
				if _, err := s.Waiting(strap.Session); err != nil {
					t.Error(err)
					return
				}
			}
		})
	}
	for i := 1; i <= 300; i++ {
		if i%50 == 0 {
			fail(s, false)
			s.Do(Decide{note(strap, i)})
			s.commit = (*bolt.Tx).Commit
		}
		must(t, s, Decide{note(strap, i)})
	}
	close(stop)
	readers.Wait()
	wantSound(t, s)
}

// What is read must not change when the file does.
func TestReadRecordsOutliveTheTransaction(t *testing.T) {
	s := tempStore(t)
	strap := withStrap(t, s)
	n := note(strap, 1)
	n.Reason = "its four corners are sharp"
	must(t, s, Decide{n})
	all, err := s.Notes(strap.Session, strap.Number)
	if err != nil {
		t.Fatal(err)
	}
	for i := 2; i <= 300; i++ {
		must(t, s, Decide{note(strap, i)})
	}
	s.Close()
	if all[0] != n || !bytes.Equal([]byte(all[0].Reason), []byte(n.Reason)) {
		t.Errorf("read before: %+v, now want %+v", all[0], n)
	}
}

func TestTimesComeBackInUTC(t *testing.T) {
	s := tempStore(t)
	strap := withStrap(t, s)
	n := note(strap, 1)
	n.Decided = time.Now().In(time.FixedZone("far", 5*3600+1800))
	r := must(t, s, Decide{n})
	if !r.Note.Decided.Equal(n.Decided) || r.Note.Decided.Location() != time.UTC {
		t.Errorf("decided %v came back as %v", n.Decided, r.Note.Decided)
	}
}
