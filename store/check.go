package store

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"reflect"
	"slices"
	"strings"
	"time"

	bolt "go.etcd.io/bbolt"

	"app/unband/triage"
	"app/unband/triage/errands"
	"app/unband/triage/stars"
	"app/unband/triage/tally"
)

// A Report is what Check found.
type Report struct {
	Path  string
	Bytes int64 // size of the file

	Sessions, Straps, Notes, Versions int // records read; Versions are the earlier ones of notes
	Runs                              int // of star notes, from lists

	// Problems are the disagreements found, each a sentence without a period.
	Problems []string
}

// Sound reports whether nothing was found wrong.
func (r Report) Sound() bool { return len(r.Problems) == 0 }

// Check reads the whole file: checksums, totals against the notes, positions without a hole,
// versions without a hole, the indexes in both directions, runs that clash, and bbolt's own page structure. What is
// wrong is in the Report; an error means that the file could not be checked. Writes may go on
// meanwhile; those that must enlarge the file wait for the end of the check.
func (s *Store) Check() (Report, error) {
	c := checker{report: Report{Path: s.path}}
	if err := s.inPlace(); err != nil {
		return c.report, err
	}
	c.file(s.path)
	s.mu.RLock()
	defer s.mu.RUnlock()
	if s.db == nil {
		return c.report, s.gone
	}
	err := c.all(s.db)
	return c.report, err
}

// all goes through everything in one read transaction.
func (c *checker) all(db *bolt.DB) error {
	err := view(db, func(tx *bolt.Tx) error {
		c.tx = tx
		c.buckets()
		c.ledgers()
		c.sessions()
		c.straps()
		c.listed()
		c.notes()
		c.versions()
		c.hands()
		each(c, choices, func(triage.Choices) {})
		each(c, takenOut, func(triage.Note) {})
		c.digits()
		c.waiting()
		c.stars()
		c.index(byKept, 0, func(_ []byte, n triage.Note) bool { return n.Decision == triage.Keep })
		c.errands()
		c.tallies()
		c.runs()
		c.pages()
		return nil
	})
	if _, broken := err.(*DamagedError); broken {
		c.problem("%v, so the check ended early", err)
		err = nil
	}
	return err
}

// A checker goes through the buckets once each, sums first: sessions and straps are few and held in
// memory, notes are not.
type checker struct {
	tx     *bolt.Tx
	report Report

	listedAt      map[triage.Place]bool
	ledgerOf      map[triage.Place]ledger
	openTotals    map[uint64]triage.Totals      // of the straps being sorted, by session
	sessionTotals map[uint64]triage.Totals      // as stored
	sessionOf     map[uint64]triage.Session     // as stored
	days          map[uint64]byDay              // what the notes add up to, by session
	strapsOf      map[triage.Place]triage.Strap // as stored
}

func (c *checker) problem(format string, args ...any) {
	c.report.Problems = append(c.report.Problems, fmt.Sprintf(format, args...))
}

// file looks at the header pages and reads the whole file once in order: from a cold disk that is
// twenty times faster than letting the buckets fetch page by page.
func (c *checker) file(path string) {
	f, err := os.Open(path)
	if err != nil {
		c.problem("the file cannot be read beside the open one: %v", err)
		return
	}
	defer f.Close()
	if _, sound, _ := readHeaders(f); sound < 2 {
		c.problem("one of the two header pages is broken; the last change may be missing")
	}
	if c.report.Bytes, err = io.Copy(io.Discard, f); err != nil {
		c.problem("the file cannot be read to its end: %v", err)
	}
}

func (c *checker) buckets() {
	_ = c.tx.ForEach(func(name []byte, _ *bolt.Bucket) error {
		if !slices.Contains(buckets, string(name)) {
			c.problem("bucket %q does not belong in the file", name)
		}
		return nil
	})
}

// each reads every record of a table and passes on the sound ones.
func each[T any](c *checker, t table[T], record func(T)) {
	_ = t.walk(c.tx, nil, func(r T, err error) error {
		if err != nil {
			c.problem("%v", err)
		} else {
			record(r)
		}
		return nil
	})
}

// ledgers reads what the straps that are being sorted count. Whether it is right is told among the notes.
func (c *checker) ledgers() {
	c.ledgerOf, c.openTotals = map[triage.Place]ledger{}, map[uint64]triage.Totals{}
	each(c, ledgers, func(l ledger) {
		p := triage.Place{Session: l.Session, Strap: l.Strap}
		c.ledgerOf[p] = l
		c.openTotals[l.Session] = c.openTotals[l.Session].Add(l.Totals)
		if t, ok, err := straps.get(c.tx, l.key()); err == nil && (!ok || t.Done) {
			c.problem("%v: it has a ledger, but is not being sorted", inWords(p))
		}
	})
}

func (c *checker) sessions() {
	c.sessionTotals, c.sessionOf, c.days = map[uint64]triage.Totals{}, map[uint64]triage.Session{}, map[uint64]byDay{}
	var highest uint64
	each(c, sessions, func(s triage.Session) {
		c.report.Sessions++
		s.Totals = s.Totals.Add(c.openTotals[s.ID])
		c.sessionTotals[s.ID] = s.Totals
		c.sessionOf[s.ID] = s
		highest = max(highest, s.ID)
	})
	if next := sessions.in(c.tx).Sequence(); next < highest {
		c.problem("the next new session would get the number %d again, session %d exists", next+1, highest)
	}
}

// straps reads the straps and compares each session's totals with the sum of its straps'.
func (c *checker) straps() {
	c.strapsOf = map[triage.Place]triage.Strap{}
	sums, last := map[uint64]triage.Totals{}, map[uint64]int{}
	each(c, straps, func(s triage.Strap) {
		p := triage.Place{Session: s.Session, Strap: s.Number}
		c.report.Straps++
		if !s.Done {
			if s.Totals != (triage.Totals{}) || s.Listed != 0 {
				c.problem("%v: it is being sorted, and counts beside its ledger", inWords(p))
			}
			if _, ok := c.ledgerOf[p]; !ok {
				c.problem("%v: its ledger is missing", inWords(p))
			}
			s.Totals, s.Listed = c.ledgerOf[p].Totals, c.ledgerOf[p].Listed
		}
		c.strapsOf[p] = s
		if _, ok := c.sessionTotals[s.Session]; !ok {
			c.problem("%v: there is no such session", inWords(p))
		}
		if s.Number != last[s.Session]+1 {
			c.problem("%v: strap %d is missing before it", inWords(p), last[s.Session]+1)
		}
		last[s.Session] = s.Number
		sums[s.Session] = sums[s.Session].Add(s.Totals)
	})
	for _, id := range sorted(c.sessionTotals) {
		c.compare(fmt.Sprintf("session %d", id), c.sessionTotals[id], "its straps", sums[id])
	}
}

// listed reads the listed notes. That they leave no hole is told among the notes.
func (c *checker) listed() {
	c.listedAt = map[triage.Place]bool{}
	count := map[triage.Place]int{}
	each(c, listed, func(l triage.Listed) {
		p := triage.Place{Session: l.Session, Strap: l.Strap}
		count[p]++
		c.listedAt[l.Place()] = true
		if s, ok := c.strapsOf[p]; !ok || s.Done {
			c.problem("%v is listed, but its strap is not being sorted", inWords(l.Place()))
		}
		if notes.in(c.tx).Get(noteKey(l.Place())) != nil {
			c.problem("%v is listed, but it is decided", inWords(l.Place()))
		}
		if l.Position > 1 && !c.listedAt[triage.Place{Session: l.Session, Strap: l.Strap, Position: l.Position - 1}] &&
			notes.in(c.tx).Get(noteKey(triage.Place{Session: l.Session, Strap: l.Strap, Position: l.Position - 1})) == nil {
			c.problem("%v: note %d is missing before it", inWords(l.Place()), l.Position-1)
		}
	})
	for _, p := range sortedPlaces(c.strapsOf) {
		if s := c.strapsOf[p]; s.Listed != count[p] {
			c.problem("%v: %d notes are listed, the strap says %d", inWords(p), count[p], s.Listed)
		}
	}
}

// notes reads the notes, compares each strap's totals with the sum of its notes, and looks every
// note up in the indexes and among the earlier versions.
func (c *checker) notes() {
	sums, last := map[triage.Place]triage.Totals{}, map[triage.Place]int{}
	each(c, notes, func(n triage.Note) {
		if n.Decision != triage.NotThere {
			c.report.Notes++
		}
		p := triage.Place{Session: n.Session, Strap: n.Strap}
		if _, ok := c.strapsOf[p]; !ok && last[p] == 0 {
			c.problem("%v: there is no such strap, yet it has notes", inWords(p))
		}
		for missing := last[p] + 1; missing < n.Position; missing++ {
			if !c.listedAt[triage.Place{Session: n.Session, Strap: n.Strap, Position: missing}] {
				c.problem("%v: note %d is missing before it", inWords(n.Place()), missing)
				break
			}
		}
		last[p] = n.Position
		sums[p] = sums[p].Add(n.Totals())
		if c.days[n.Session] == nil {
			c.days[n.Session] = byDay{}
		}
		c.days[n.Session].count(c.sessionOf[n.Session], n)
		c.note(n)
	})
	for _, p := range sortedPlaces(c.strapsOf) {
		c.compare(inWords(p), c.strapsOf[p].Totals, "its notes", sums[p])
	}
}

// note looks one note up everywhere else it must stand.
func (c *checker) note(n triage.Note) {
	p := n.Place()
	if d, ok := n.Serial.Whole(); ok {
		if s, ok := c.strapsOf[triage.Place{Session: p.Session, Strap: p.Strap}]; !ok || s.Done {
			c.expect(byDigits, digitsKey(d, p), p, "the index of digits "+d.String())
		}
	}
	if n.Look == triage.Waiting {
		c.expect(byWaiting, noteKey(p), p, "the list of notes that wait for the second look")
	}
	if keptStar(n) {
		c.expect(byStars, noteKey(p), p, "the batch of stars")
	}
	if n.Decision == triage.Keep {
		c.expect(byKept, noteKey(p), p, "the list of keepers")
	}
	if open, err := hasErrand(c.tx, n); err == nil && open {
		c.expect(byErrand, noteKey(p), p, "the list of notes with an errand")
	}
	earlier, cursor := 0, versions.in(c.tx).Cursor()
	for k, _ := cursor.Seek(noteKey(p)); k != nil && bytes.HasPrefix(k, noteKey(p)); k, _ = cursor.Next() {
		earlier++
		if !bytes.Equal(k, versionKey(p, earlier)) {
			c.problem("%v: version %d is missing among the earlier ones", inWords(p), earlier)
			return
		}
	}
	if earlier != n.Version-1 {
		c.problem("%v stands at version %d, but %d earlier ones are kept", inWords(p), n.Version, earlier)
	}
}

// expect reports an index without the entry of a note.
func (c *checker) expect(i index, key []byte, p triage.Place, name string) {
	if c.tx.Bucket([]byte(i)).Get(key) == nil {
		c.problem("%v is missing in %s", inWords(p), name)
	}
}

func (c *checker) versions() {
	each(c, versions, func(n triage.Note) {
		c.report.Versions++
		if notes.in(c.tx).Get(noteKey(n.Place())) == nil {
			c.problem("%v: version %d is kept, but the note is not there", inWords(n.Place()), n.Version)
		}
	})
}

func (c *checker) hands() {
	each(c, hands, func(h hand) {
		p := triage.Place{Session: h.Session, Strap: h.Strap}
		if s, ok := c.strapsOf[p]; !ok || s.Done {
			c.problem("%v: a serial is in hand, but the strap is not being sorted", inWords(p))
		}
	})
}

// digits looks at the index from its own side: every entry is that of a note with these digits.
func (c *checker) digits() {
	c.index(byDigits, 4, func(key []byte, n triage.Note) bool {
		d, ok := n.Serial.Whole()
		return ok && bytes.Equal(key, digitsKey(d, n.Place())) && c.strapsOf[triage.Place{Session: n.Session, Strap: n.Strap}].Done
	})
}

func (c *checker) waiting() {
	c.index(byWaiting, 0, func(_ []byte, n triage.Note) bool { return n.Look == triage.Waiting })
}

func (c *checker) stars() {
	c.index(byStars, 0, func(_ []byte, n triage.Note) bool { return keptStar(n) })
}

// errands looks at the notes with an errand from their list, and at what the errands that were done are
// about.
func (c *checker) errands() {
	c.index(byErrand, 0, func(_ []byte, n triage.Note) bool {
		open, err := hasErrand(c.tx, n)
		return open || err != nil
	})
	each(c, doneErrands, func(e errands.Errand) {
		if err := errandExists(c.tx, e); err == ErrNoNote || err == ErrNoSession {
			c.problem("an errand was done (%s), but %v", e.Kind, err)
		}
	})
}

// tallies compares the tally of every session and day with what its notes add up to.
func (c *checker) tallies() {
	each(c, tallies, func(tally.SessionDay) {}) // those that are damaged are told
	all, err := talliesOf(c.tx, nil)
	if err != nil {
		return // told already
	}
	for _, d := range all {
		if sum := c.days[d.Session][d.Day]; sum == nil || !reflect.DeepEqual(d.Tally, *sum) {
			c.problem("session %d: the tally of %s is not what its notes add up to", d.Session, d.Day.Time().Format(time.DateOnly))
		}
		delete(c.days[d.Session], d.Day)
	}
	for session, days := range c.days {
		for day := range days {
			c.problem("session %d: the tally of %s is missing", session, day.Time().Format(time.DateOnly))
		}
	}
}

// runs puts the runs together once more: what Add refuses does not belong in the file.
func (c *checker) runs() {
	list := &stars.List{}
	each(c, runs, func(r stars.Run) {
		c.report.Runs++
		switch added, err := list.Add(r); {
		case err != nil:
			c.problem("run %v: %v", r, err)
		case !added:
			c.problem("run %v is there twice", r)
		}
	})
}

// index reads every entry of an index; a note's key begins after skip bytes of it.
func (c *checker) index(i index, skip int, belongs func(key []byte, n triage.Note) bool) {
	cursor := c.tx.Bucket([]byte(i)).Cursor()
	for k, v := cursor.First(); k != nil; k, v = cursor.Next() {
		if _, err := unseal(string(i), k, v); err != nil {
			c.problem("%v", err)
			continue
		}
		if len(k) < skip {
			c.problem("entry %s %x has a wrong length", i, k)
			continue
		}
		n, ok, err := notes.get(c.tx, k[skip:])
		if err != nil {
			continue // told among the notes
		}
		if !ok || !belongs(k, n) {
			c.problem("entry %s %x names a note that it does not fit", i, k)
		}
	}
}

// pages lets bbolt check its own structure. It does so in a goroutine where a fault cannot be
// caught, so this comes last: a broken page was met before and ended the check.
func (c *checker) pages() {
	for err := range c.tx.Check() {
		c.problem("structure of the file: %v", err)
	}
}

// compare tells in which totals two sums differ.
func (c *checker) compare(what string, stored triage.Totals, whose string, sum triage.Totals) {
	if stored == sum {
		return
	}
	var parts []string
	a, b := reflect.ValueOf(stored), reflect.ValueOf(sum)
	for i := range a.NumField() {
		if a.Field(i).Interface() != b.Field(i).Interface() {
			parts = append(parts, fmt.Sprintf("%s %v, not %v", a.Type().Field(i).Name, a.Field(i), b.Field(i)))
		}
	}
	c.problem("%s: the totals say %s as %s add up to", what, strings.Join(parts, "; "), whose)
}

func sorted(m map[uint64]triage.Totals) []uint64 {
	var ids []uint64
	for id := range m {
		ids = append(ids, id)
	}
	slices.Sort(ids)
	return ids
}

func sortedPlaces(m map[triage.Place]triage.Strap) []triage.Place {
	var all []triage.Place
	for p := range m {
		all = append(all, p)
	}
	slices.SortFunc(all, func(a, b triage.Place) int { return bytes.Compare(noteKey(a), noteKey(b)) })
	return all
}
