package store

import (
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"testing"
	"time"

	bolt "go.etcd.io/bbolt"

	"app/unband/patterns"
	"app/unband/triage"
	"app/unband/triage/report"
)

// grown makes a file with many notes, 100 to a strap and 10 straps to a session, and gives the
// newest strap, which has room. Many notes go into one transaction: the same pages, sooner. So no
// transaction splits a page as single ones would; BenchmarkBytesPerNote reports the growth of those.
func grown(b *testing.B, total int) (*Store, triage.Strap) {
	b.Helper()
	path := filepath.Join(b.TempDir(), "unband.db")
	if grownFile == nil {
		grow(b, path, total)
		data, err := os.ReadFile(path)
		check(b, err)
		grownFile = data
	} else {
		check(b, os.WriteFile(path, grownFile, 0o600))
	}
	check(b, syncPath(path)) // else the first decision waits for all of it
	s := openStore(b, path)
	s.keep = 0 // a backup after each strap would be measured, too
	return s, withStrap(b, s)
}

// grownFile is the file that grown made first: making one of a million notes takes minutes.
var grownFile []byte

func grow(b *testing.B, path string, total int) {
	b.Helper()
	s := openStore(b, path)
	s.commit, s.keep = commitWithoutSync, 0
	defer func() { check(b, s.Close()) }()
	random := rand.New(rand.NewPCG(1, 2))
	var strap triage.Strap
	for done := 0; done < total; done += 100 {
		if done%1000 == 0 {
			strap = withStrap(b, s)
		} else {
			strap = nextStrap(b, s, strap)
		}
		check(b, s.db.Update(func(tx *bolt.Tx) error {
			for i := 1; i <= 100; i++ {
				if _, _, err := (Decide{randomNote(random, strap, i)}).apply(tx); err != nil {
					return err
				}
			}
			return nil
		}))
	}
}

// randomNote is like those of a real strap: whole serials, here and there a near miss.
func randomNote(random *rand.Rand, strap triage.Strap, position int) triage.Note {
	n := note(strap, position)
	n.Serial.Digits = patterns.Digits(random.IntN(patterns.Total)).String()
	n.Hits, n.Near = patterns.Set(random.Uint64()&random.Uint64()&(1<<40-1)), 1<<12
	n.Took = time.Duration(2_000_000_000 + random.IntN(3_000_000_000))
	if position%50 == 0 {
		n.Look, n.Watched, n.Reread = triage.Waiting, 1<<12, triage.RereadSame
	}
	return n
}

// Each decision is on disk before the next begins. Beside it stands what the same disk needs, in the
// same run, for appending 4 KiB and fsync: the two take turns, so both meet the same disk.
func BenchmarkDecide(b *testing.B) {
	s, strap := grown(b, *sizes)
	plain, err := os.Create(filepath.Join(b.TempDir(), "plain"))
	check(b, err)
	defer plain.Close()
	page := make([]byte, 4096)
	random := rand.New(rand.NewPCG(3, 4))
	var ours, theirs []time.Duration
	position := 0
	for b.Loop() {
		if position++; position > 100 {
			b.StopTimer()
			strap = nextStrap(b, s, strap)
			position = 1
			b.StartTimer()
		}
		n := randomNote(random, strap, position)
		began := time.Now()
		if r := s.Do(Decide{n}); r.Err != nil {
			b.Fatal(r.Err)
		}
		ours = append(ours, time.Since(began))
		b.StopTimer()
		began = time.Now()
		_, err := plain.Write(page)
		check(b, err)
		check(b, plain.Sync())
		theirs = append(theirs, time.Since(began))
		b.StartTimer()
	}
	b.ReportMetric(float64(quantile(ours, 50))/float64(quantile(theirs, 50)), "×append")
	b.ReportMetric(float64(quantile(ours, 50))/1e3, "p50-µs")
	b.ReportMetric(float64(quantile(ours, 99))/1e3, "p99-µs")
	b.ReportMetric(float64(quantile(theirs, 50))/1e3, "append-p50-µs")
}

func quantile(all []time.Duration, percent int) time.Duration {
	sorted := slices.Sorted(slices.Values(all))
	return sorted[len(sorted)*percent/100]
}

// Met is asked with each eighth digit.
func BenchmarkMet(b *testing.B) {
	s, _ := grown(b, *sizes)
	random := rand.New(rand.NewPCG(1, 2)) // the serials of grown, so that every look-up finds its note
	var known []patterns.Digits
	for i := range min(*sizes, 10_000) {
		d, _ := randomNote(random, triage.Strap{}, i%100+1).Serial.Whole()
		known = append(known, d)
	}
	i := 0
	for b.Loop() {
		i++
		if all, err := s.Met(known[i%len(known)], 3); err != nil || len(all) == 0 {
			b.Fatal(all, err)
		}
	}
}

func BenchmarkNotes(b *testing.B) {
	s, _ := grown(b, *sizes)
	last := uint64(*sizes+999) / 1000
	i := 0
	for b.Loop() {
		i++
		if all, err := s.Notes(uint64(i)%last+1, 1); err != nil || len(all) != 100 {
			b.Fatal(len(all), err)
		}
	}
}

// BenchmarkTyping types serials into a sorter that looks every one of them and its neighbours up in the
// file: judgement, cross-checks and memory together, for each key.
func BenchmarkTyping(b *testing.B) {
	s, strap := grown(b, *sizes)
	settings := patterns.DefaultSettings()
	book, err := patterns.NewBook(settings)
	check(b, err)
	session := triage.Session{ID: strap.Session, Denomination: 1, Settings: settings, Watch: book.DefaultWatch(), OldBefore: "2003"}
	met := func(d patterns.Digits) []triage.Note {
		notes, err := s.Met(d, 20)
		check(b, err)
		return notes
	}
	at := start
	sorter := triage.NewSorter(session, strap, nil, nil, triage.Held{}, triage.Rules{Book: book, Pauses: triage.DefaultPauses(), Met: met}, at)
	random := rand.New(rand.NewPCG(5, 6))
	var took []time.Duration
	for b.Loop() {
		serial := randomNote(random, strap, 1).Serial
		for _, r := range "B" + serial.Digits + "C" {
			at = at.Add(100 * time.Millisecond)
			began := time.Now()
			sorter.Press(triage.Key{Kind: triage.KeyRune, Rune: r}, at)
			took = append(took, time.Since(began))
		}
		sorter.Press(triage.Key{Kind: triage.KeyClear}, at)
	}
	slices.Sort(took)
	b.ReportMetric(float64(took[len(took)/2].Microseconds()), "p50-µs")
	b.ReportMetric(float64(took[len(took)*99/100].Microseconds()), "p99-µs")
}

// Opening reads the header, the stamp and, here, the sessions for the desk and one strap.
func BenchmarkOpenToStrap(b *testing.B) {
	s, strap := grown(b, *sizes)
	path := s.Path()
	check(b, s.Close())
	for b.Loop() {
		s, err := Open(path)
		check(b, err)
		_, err = s.Sessions()
		check(b, err)
		_, err = s.Notes(strap.Session-1, 10)
		check(b, err)
		check(b, s.Close())
	}
}

func BenchmarkCheck(b *testing.B) {
	s, _ := grown(b, *sizes)
	for b.Loop() {
		if r, err := s.Check(); err != nil || !r.Sound() {
			b.Fatal(r.Problems, err)
		}
	}
}

// Bytes a note costs in the file, by bbolt's pages in use, when each has its own transaction.
func BenchmarkBytesPerNote(b *testing.B) {
	for b.Loop() {
		s := tempStore(b)
		s.commit = commitWithoutSync
		random := rand.New(rand.NewPCG(5, 6))
		var strap triage.Strap
		for i := range *sizes {
			switch {
			case i%1000 == 0:
				strap = withStrap(b, s)
			case i%100 == 0:
				strap = nextStrap(b, s, strap)
			}
			must(b, s, Decide{randomNote(random, strap, i%100+1)})
		}
		b.ReportMetric(float64(usedBytes(b, s))/float64(*sizes), "B/note")
		for _, name := range buckets {
			check(b, s.view(func(tx *bolt.Tx) error {
				st := tx.Bucket([]byte(name)).Stats()
				b.ReportMetric(float64(st.LeafAlloc+st.BranchAlloc)/float64(*sizes), fmt.Sprintf("B/note-in-%s", name))
				return nil
			}))
		}
		check(b, s.Close())
	}
}

// usedBytes counts the pages that are neither free nor beyond the last one ever used.
func usedBytes(b *testing.B, s *Store) int {
	b.Helper()
	f, err := os.Open(s.Path())
	check(b, err)
	defer f.Close()
	h, _, _ := readHeaders(f)
	return int(h.pages-int64(s.db.Stats().FreePageN)) * int(h.pageSize)
}

// BenchmarkReport writes a report of the whole file in every form. What lives on the heap is looked at now and then
// while it is written; pages of the file that are mapped are the system's and not counted.
func BenchmarkReport(b *testing.B) {
	for _, form := range report.Forms {
		b.Run(string(form), func(b *testing.B) {
			s, _ := grown(b, *sizes)
			var peak uint64
			for b.Loop() {
				all, err := s.Sessions()
				check(b, err)
				straps := 0
				source := report.Source{Sessions: all, Straps: s.Straps, Notes: func(session uint64, strap int) ([]triage.Note, error) {
					if straps++; straps%50 == 0 {
						var m runtime.MemStats
						runtime.ReadMemStats(&m)
						peak = max(peak, m.HeapAlloc)
					}
					return s.Notes(session, strap)
				}}
				check(b, report.Write(io.Discard, form, report.Made{At: start, From: "unband.db", By: "unband test"}, source))
			}
			b.ReportMetric(float64(*sizes)*float64(b.N)/b.Elapsed().Seconds(), "notes/s")
			b.ReportMetric((float64(peak)-float64(len(grownFile)))/1e6, "peak-heap-MB") // without the copy that grown keeps
		})
	}
}
