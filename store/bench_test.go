package store

import (
	"encoding/binary"
	"errors"
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
		switch {
		case done == 0:
			strap = withStrap(b, s)
		case done%1000 == 0:
			must(b, s, CloseStrap{strap.Session, strap.Number, start})
			strap = withStrap(b, s)
		default:
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
	if total > 0 {
		must(b, s, CloseStrap{strap.Session, strap.Number, start})
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

// Each decision is on disk before the next begins. Beside it, in turn, stands what the same disk needs for appending
// 4 KiB and fsync, for writing a block that is there already and fsync, and for the least that a file of ours can do: one
// bare Put of as many bytes among as many notes. Every commit of bbolt waits for the disk twice, first for the pages
// and then for the header that names them, so against one append there is a floor that only the disk decides.
func BenchmarkDecide(b *testing.B) {
	s, strap := grown(b, *sizes)
	least, put := bareNotes(b)
	plain, err := os.Create(filepath.Join(b.TempDir(), "plain"))
	check(b, err)
	defer plain.Close()
	block, err := os.Create(filepath.Join(b.TempDir(), "block"))
	check(b, err)
	defer block.Close()
	page := make([]byte, 4096)
	_, err = block.Write(page)
	check(b, err)
	random := rand.New(rand.NewPCG(3, 4))
	var ours, appended, overwritten, bare []time.Duration
	measured := func(all *[]time.Duration, do func() error) {
		began := time.Now()
		err := do()
		*all = append(*all, time.Since(began))
		check(b, err)
	}
	position := 0
	for b.Loop() {
		b.StopTimer()
		if position++; position > 100 {
			strap = nextStrap(b, s, strap)
			position = 1
		}
		n := randomNote(random, strap, position)
		measured(&appended, func() error { _, err := plain.Write(page); return errors.Join(err, plain.Sync()) })
		measured(&overwritten, func() error { _, err := block.WriteAt(page, 0); return errors.Join(err, block.Sync()) })
		measured(&bare, func() error { return least.Update(put) })
		b.StartTimer()
		measured(&ours, func() error { return s.Do(Decide{n}).Err })
	}
	p50 := float64(quantile(ours, 50))
	b.ReportMetric(p50/float64(quantile(appended, 50)), "×append")
	b.ReportMetric(p50/float64(quantile(overwritten, 50)), "×overwrite")
	b.ReportMetric(p50/float64(quantile(bare, 50)), "×bare-put")
	b.ReportMetric(p50/1e3, "p50-µs")
	b.ReportMetric(float64(quantile(ours, 99))/1e3, "p99-µs")
	b.ReportMetric(float64(quantile(appended, 50))/1e3, "append-p50-µs")
}

// bareNotes gives a second file like that of grown and what puts one more pair behind its notes.
func bareNotes(b *testing.B) (*bolt.DB, func(*bolt.Tx) error) {
	b.Helper()
	path := filepath.Join(b.TempDir(), "bare.db")
	check(b, os.WriteFile(path, grownFile, 0o600))
	check(b, syncPath(path))
	db, err := bolt.Open(path, 0o600, nil)
	check(b, err)
	b.Cleanup(func() { check(b, db.Close()) })
	key, value := uint64(0), make([]byte, 70) // about what a note takes
	return db, func(tx *bolt.Tx) error {
		notes := tx.Bucket([]byte(bucketNotes))
		notes.FillPercent = 0.9
		key++
		return notes.Put(binary.BigEndian.AppendUint64(binary.BigEndian.AppendUint64(nil, 1<<40), key), value)
	}
}

func quantile(all []time.Duration, percent int) time.Duration {
	sorted := slices.Sorted(slices.Values(all))
	return sorted[len(sorted)*percent/100]
}

// fillStrap decides all notes of a strap but the last: those of an open strap are looked through one by one.
func fillStrap(b *testing.B, s *Store, strap triage.Strap) {
	b.Helper()
	random := rand.New(rand.NewPCG(7, 8))
	for i := 1; i < 100; i++ {
		must(b, s, Decide{randomNote(random, strap, i)})
	}
}

// Met is asked with each eighth digit.
func BenchmarkMet(b *testing.B) {
	s, strap := grown(b, *sizes)
	fillStrap(b, s, strap)
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
	fillStrap(b, s, strap)
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
		s.commit, s.keep = commitWithoutSync, 0
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
