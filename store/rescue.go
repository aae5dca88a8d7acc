package store

import (
	"cmp"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"maps"
	"os"
	"slices"
	"time"

	bolt "go.etcd.io/bbolt"

	"app/unband/patterns"
	"app/unband/triage"
	"app/unband/triage/errands"
	"app/unband/triage/stars"
)

// A Rescued says what was saved out of a damaged file, and what was not.
type Rescued struct {
	Path                              string // the new file
	Sessions, Straps, Notes, Versions int

	// Missing says what could not be read or had to be put in place of it, each a sentence without a period.
	Missing []string
}

// Rescue reads what can be read of a damaged file, without trusting its structure, into a new one, in which every total
// and index agrees with the notes. The damaged file is not touched; a file that is there under the new name is never
// replaced. Where notes of a strap are lost, the strap is open again and each lost place waits to be read.
// Errors: fs.ErrExist, ErrNotOurs when nothing of ours is in the file, *DamagedError when more is missing than was ever
// there, and those of package os.
func Rescue(path, to string) (r Rescued, err error) {
	defer caught(&err)
	from, err := os.Open(path)
	if err != nil {
		return r, err
	}
	defer from.Close()
	info, err := from.Stat()
	switch {
	case err != nil:
		return r, err
	case !info.Mode().IsRegular():
		return r, ErrNotRegular
	}
	x := readWreck(from, info.Size())
	if len(x.notes) == 0 && len(x.sessions) == 0 {
		return r, ErrNotOurs
	}
	x.dropPlaceless()
	if err := x.possible(); err != nil {
		return r, err
	}
	x.complete()
	r = Rescued{Path: to, Sessions: len(x.sessions), Straps: len(x.straps), Notes: len(x.notes), Missing: x.missing}
	for _, earlier := range x.versions {
		r.Versions += len(earlier)
	}
	return r, newCopy(to, func(f *os.File) error { return x.write(f.Name()) })
}

// A wreck is what was read out of a damaged file.
type wreck struct {
	sessions map[uint64]triage.Session
	straps   map[triage.Place]triage.Strap
	notes    map[triage.Place]triage.Note
	versions map[triage.Place][]triage.Note // earlier ones, in any order
	listed   map[triage.Place]triage.Listed
	ledgers  map[triage.Place]ledger
	hands    map[triage.Place]triage.Held
	takenOut map[string]triage.Note // by key
	choices  *triage.Choices
	runs     []stars.Run
	errands  []errands.Errand
	sequence uint64 // of the sessions

	damaged int // records that cannot be read
	missing []string
}

// mostRoots is how many roots are tried, each of which may mean to read the whole file. A sound file has a few dozen:
// those of the last changes, in pages that are free by now.
const mostRoots = 256

// readWreck reads the file by whichever of its roots gives the most notes, and then looks through all pages for notes
// that are lost there.
func readWreck(f io.ReaderAt, size int64) *wreck {
	best := &wreck{}
	pageSize := int64(os.Getpagesize())
	if h, sound, _ := readHeaders(f); sound > 0 {
		pageSize = h.pageSize
	}
	roots, named := newPageFile(f, size, pageSize).roots()
	roots = roots[:min(len(roots), mostRoots)]
	var tree *pageFile
	for i, root := range roots {
		if 0 < i && i <= named && tree != nil && best.damaged == 0 && tree.broken == 0 {
			break // what a sound header page names is whole
		}
		p := newPageFile(f, size, pageSize)
		if w := readTree(p, root); w.records() > best.records() {
			best, tree = w, p
		}
	}
	if tree == nil {
		tree = newPageFile(f, size, pageSize)
		best = newWreck()
	}
	if tree.broken > 0 {
		best.say("%s of the file cannot be read", triage.Plural(tree.broken, "page", "pages"))
	}
	if best.damaged > 0 {
		best.say("%s cannot be read", triage.Plural(best.damaged, "record", "records"))
	}
	best.strays(tree)
	return best
}

// records is how many records were read.
func (x *wreck) records() int {
	n := len(x.sessions) + len(x.straps) + len(x.notes) + len(x.listed) + len(x.takenOut) + len(x.runs) + len(x.errands)
	for _, earlier := range x.versions {
		n += len(earlier)
	}
	return n
}

func newWreck() *wreck {
	return &wreck{sessions: map[uint64]triage.Session{}, straps: map[triage.Place]triage.Strap{}, notes: map[triage.Place]triage.Note{},
		versions: map[triage.Place][]triage.Note{}, listed: map[triage.Place]triage.Listed{}, ledgers: map[triage.Place]ledger{}, hands: map[triage.Place]triage.Held{}, takenOut: map[string]triage.Note{}}
}

func (x *wreck) say(format string, args ...any) {
	x.missing = append(x.missing, fmt.Sprintf(format, args...))
}

// readTree reads everything below a root.
func readTree(f *pageFile, root uint64) *wreck {
	x := newWreck()
	f.walk(root, func(b element) {
		if b.bucket {
			sequence := f.bucket(b, func(e element) { x.take(string(b.key), e) })
			if string(b.key) == bucketSessions {
				x.sequence = sequence
			}
		}
	})
	for p, l := range x.ledgers { // as a reader adds them
		if t, there := x.straps[p]; there && !t.Done {
			t.Totals, t.Listed = l.Totals, l.Listed
			x.straps[p] = t
		}
		if s, there := x.sessions[l.Session]; there {
			s.Touched = later(s.Touched, l.Touched)
			x.sessions[l.Session] = s
		}
	}
	return x
}

// take takes one pair of a bucket in, if it is sound.
func (x *wreck) take(bucket string, e element) {
	var err error
	switch bucket {
	case bucketSessions:
		err = salvage(sessions, e, func(s triage.Session) { x.sessions[s.ID] = s })
	case bucketStraps:
		err = salvage(straps, e, func(s triage.Strap) { x.straps[triage.Place{Session: s.Session, Strap: s.Number}] = s })
	case bucketNotes:
		err = salvage(notes, e, func(n triage.Note) { x.notes[n.Place()] = n })
	case bucketVersions:
		err = salvage(versions, e, func(n triage.Note) { x.versions[n.Place()] = append(x.versions[n.Place()], n) })
	case bucketListed:
		err = salvage(listed, e, func(l triage.Listed) { x.listed[l.Place()] = l })
	case bucketLedgers:
		err = salvage(ledgers, e, func(l ledger) { x.ledgers[triage.Place{Session: l.Session, Strap: l.Strap}] = l })
	case bucketHands:
		err = salvage(hands, e, func(h hand) { x.hands[triage.Place{Session: h.Session, Strap: h.Strap}] = h.Held })
	case bucketTakenOut:
		err = salvage(takenOut, e, func(n triage.Note) { x.takenOut[string(e.key)] = n })
	case bucketChoices:
		err = salvage(choices, e, func(c triage.Choices) { x.choices = &c })
	case bucketRuns:
		err = salvage(runs, e, func(r stars.Run) { x.runs = append(x.runs, r) })
	case bucketErrands:
		err = salvage(doneErrands, e, func(d errands.Errand) { x.errands = append(x.errands, d) })
	default: // an index or a tally: made anew from the notes
	}
	if err != nil {
		x.damaged++
	}
}

// salvage reads a pair as a record of a table.
func salvage[T any](t table[T], e element, keep func(T)) error {
	record, err := t.read(e.key, e.value)
	if err == nil {
		keep(record)
	}
	return err
}

// strays looks through the pages that no other one names any more for notes that are lost: those that would leave a hole,
// or that the totals of their strap count. Of several versions the newest counts.
func (x *wreck) strays(f *pageFile) {
	found := map[triage.Place]triage.Note{}
	for id := range uint64(f.pages) {
		if f.seen[id] {
			continue
		}
		page, err := f.read(id)
		if err != nil || binary.NativeEndian.Uint16(page[8:])&leafPage == 0 {
			continue
		}
		all, _ := elements(page)
		for _, e := range all {
			if e.bucket || len(e.key) != 16 || len(e.value) <= sumSize {
				continue
			}
			n, err := notes.read(e.key, e.value)
			if err != nil || n.Version < 1 || n.Decision == triage.Undecided {
				continue // a listed note, which lies under a key of the same kind
			}
			if n.Version > found[n.Place()].Version {
				found[n.Place()] = n
			}
		}
	}
	last := x.last()
	count := 0
	for p, n := range found {
		strap := triage.Place{Session: p.Session, Strap: p.Strap}
		_, there := x.notes[p]
		_, waits := x.listed[p]
		if !there && !waits && p.Position <= max(last[strap], x.straps[strap].Size()) {
			x.notes[p] = n
			count++
		}
	}
	if count > 0 {
		x.say("%s found in pages that the file does not use any more: look at what was decided about them last", triage.Plural(count, "note was", "notes were"))
	}
}

// last is the last known position of each strap.
func (x *wreck) last() map[triage.Place]int {
	last := map[triage.Place]int{}
	for p := range x.notes {
		strap := triage.Place{Session: p.Session, Strap: p.Strap}
		last[strap] = max(last[strap], p.Position)
	}
	for p := range x.listed {
		strap := triage.Place{Session: p.Session, Strap: p.Strap}
		last[strap] = max(last[strap], p.Position)
	}
	return last
}

// complete puts something in place of what is lost, so that nothing that is left hangs in the air.
func (x *wreck) complete() {
	last := x.last()
	x.completeSessions()
	highest := map[uint64]int{}
	for p := range x.straps {
		highest[p.Session] = max(highest[p.Session], p.Strap)
	}
	for p := range last {
		highest[p.Session] = max(highest[p.Session], p.Strap)
	}
	for _, id := range slices.Sorted(maps.Keys(x.sessions)) {
		for number := 1; number <= highest[id]; number++ {
			p := triage.Place{Session: id, Strap: number}
			x.completeStrap(p, last[p])
		}
	}
	lost := 0
	for p, n := range x.notes {
		x.notes[p] = x.renumber(n, &lost)
	}
	if lost > 0 {
		x.say("%s of notes are lost", triage.Plural(lost, "earlier version", "earlier versions"))
	}
	for p := range x.versions {
		if _, there := x.notes[p]; !there {
			delete(x.versions, p)
		}
	}
}

// dropPlaceless drops what lies before the first place: nothing of ours ever does.
func (x *wreck) dropPlaceless() {
	maps.DeleteFunc(x.straps, func(p triage.Place, _ triage.Strap) bool { return p.Strap < 1 })
	maps.DeleteFunc(x.notes, func(p triage.Place, _ triage.Note) bool { return p.Strap < 1 || p.Position < 1 })
	maps.DeleteFunc(x.listed, func(p triage.Place, _ triage.Listed) bool { return p.Strap < 1 || p.Position < 1 })
}

// mostMissing is how many notes and straps together are put in place of lost ones: more than ten thousand straps of a hundred.
const mostMissing = 2_000_000

// possible refuses a file in which so much is missing that it cannot have been there: numbers that were made up
// would fill the memory.
func (x *wreck) possible() error {
	last := x.last()
	for p, s := range x.straps {
		last[p] = max(last[p], s.Size())
	}
	most := mostMissing + len(x.notes) + len(x.listed)
	highest, wanted := map[uint64]int{}, 0
	for p, n := range last {
		wanted += max(0, min(n, most+1-wanted)) // no sum can overflow
		highest[p.Session] = max(highest[p.Session], p.Strap)
	}
	for _, n := range highest {
		wanted += max(0, min(n, most+1-wanted))
	}
	if wanted > most {
		return &DamagedError{fmt.Errorf("its numbers cannot be right: more than %s notes would be missing", triage.Thousands(mostMissing))}
	}
	return nil
}

// completeSessions makes a session for the notes and straps of one whose record is lost.
func (x *wreck) completeSessions() {
	lost := map[uint64]time.Time{} // with a time of one of its notes
	for p := range x.listed {
		lost[p.Session] = time.Time{} // there is none in a listed note
	}
	for p := range x.straps {
		lost[p.Session] = x.straps[p].Opened
	}
	for p, n := range x.notes {
		lost[p.Session] = n.Decided
	}
	for id, at := range lost {
		if _, there := x.sessions[id]; there {
			continue
		}
		chosen, err := triage.DefaultChoices()
		if x.choices != nil {
			chosen = *x.choices
		} else if err != nil {
			chosen.Settings = patterns.DefaultSettings()
		}
		x.sessions[id] = triage.Session{ID: id, Name: fmt.Sprintf("rescued session %d", id), Denomination: 1, Straps: 1, StrapNotes: 100,
			Opened: at, Touched: at, Watch: chosen.Watch, Wishes: chosen.Wishes, Settings: chosen.Settings}
		x.say("what session %d was is lost: its name, bank, denomination and watch list; $1 is put in place", id)
	}
}

// completeStrap sees to it that a strap is there and has no hole.
func (x *wreck) completeStrap(p triage.Place, last int) {
	strap, there := x.straps[p]
	if !there {
		s := x.sessions[p.Session]
		strap = triage.Strap{Session: p.Session, Number: p.Strap, Band: s.StrapNotes, Opened: s.Opened, Done: true, Closed: s.Touched}
		x.say("what %s was is lost; %s of it are there", inWords(p), triage.Plural(last, "note", "notes"))
	}
	last = max(last, strap.Size())
	lost := 0
	for position := 1; position <= last; position++ {
		at := triage.Place{Session: p.Session, Strap: p.Strap, Position: position}
		_, decided := x.notes[at]
		_, waits := x.listed[at]
		if decided && waits {
			delete(x.listed, at)
		}
		if !decided && !waits {
			lost++
			x.listed[at] = triage.Listed{Session: p.Session, Strap: p.Strap, Position: position, Doubt: "lost from a damaged file: read it again"}
			waits = true
		}
		if waits && !decided {
			strap.Done, strap.Closed = false, time.Time{}
		}
	}
	if lost > 0 {
		x.say("%s of %s are lost: the strap is open again, and they wait to be read", triage.Plural(lost, "note", "notes"), inWords(p))
	}
	if s := x.sessions[p.Session]; !strap.Done && !s.Open() {
		s.Closed = time.Time{}
		x.sessions[p.Session] = s
		x.say("session %d is open again", p.Session)
	}
	strap.Totals, strap.Listed = triage.Totals{}, 0
	x.straps[p] = strap
}

// renumber numbers the versions of a note anew where some of the earlier ones are lost.
func (x *wreck) renumber(n triage.Note, lost *int) triage.Note {
	earlier := x.versions[n.Place()]
	slices.SortFunc(earlier, func(a, b triage.Note) int { return cmp.Compare(a.Version, b.Version) })
	earlier = slices.DeleteFunc(earlier, func(v triage.Note) bool { return v.Version >= n.Version })
	*lost += max(n.Version-1-len(earlier), 0)
	for i := range earlier {
		earlier[i].Version = i + 1
	}
	x.versions[n.Place()] = earlier
	n.Version = len(earlier) + 1
	return n
}

// rescuedAtOnce is how many records are written in one transaction.
const rescuedAtOnce = 5000

// write makes a file of ours of it, under the name of one that is there and empty.
func (x *wreck) write(name string) (err error) {
	if err := os.Truncate(name, 0); err != nil {
		return err
	}
	db, err := bolt.Open(name, 0o600, &bolt.Options{Timeout: lockWait, NoSync: true}) // the caller waits for the disk
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, db.Close()) }()
	if err := db.Update(createBuckets); err != nil {
		return err
	}
	places := slices.SortedFunc(maps.Keys(x.notes), comparePlaces)
	for len(places) > 0 {
		some := places[:min(rescuedAtOnce, len(places))]
		places = places[len(some):]
		if err := db.Update(func(tx *bolt.Tx) error { return x.writeNotes(tx, some) }); err != nil {
			return err
		}
	}
	return db.Update(x.writeRest)
}

// writeNotes enters notes with their earlier versions and counts them in their straps.
func (x *wreck) writeNotes(tx *bolt.Tx, places []triage.Place) error {
	for _, p := range places {
		n := x.notes[p]
		if _, _, err := notes.put(tx, n); err != nil {
			return err
		}
		for _, v := range x.versions[p] {
			if _, _, err := versions.put(tx, v); err != nil {
				return err
			}
		}
		if err := enter(tx, n, true, x.straps[triage.Place{Session: p.Session, Strap: p.Strap}].Done); err != nil {
			return err
		}
		at := triage.Place{Session: p.Session, Strap: p.Strap}
		strap := x.straps[at]
		strap.Totals = strap.Totals.Add(n.Totals())
		x.straps[at] = strap
	}
	return nil
}

// writeRest enters everything else.
func (x *wreck) writeRest(tx *bolt.Tx) error {
	var errs []error
	keep := func(err error) { errs = append(errs, err) }
	// In the order of their keys: bbolt divides a page only when it commits, and many keys in no order would take minutes.
	for _, p := range slices.SortedFunc(maps.Keys(x.listed), comparePlaces) {
		l := x.listed[p]
		at := triage.Place{Session: l.Session, Strap: l.Strap}
		strap := x.straps[at]
		strap.Listed++
		x.straps[at] = strap
		_, _, err := listed.put(tx, l)
		keep(err)
	}
	sums := map[uint64]triage.Totals{}
	for _, p := range slices.SortedFunc(maps.Keys(x.straps), comparePlaces) {
		strap := x.straps[p]
		sums[p.Session] = sums[p.Session].Add(strap.Totals)
		_, _, err := putStrap(tx, strap)
		keep(err)
	}
	highest := x.sequence
	for id, s := range x.sessions {
		highest = max(highest, id)
		s.Totals = sums[id]
		_, _, err := putSession(tx, s)
		keep(err)
		keep(retally(tx, s))
	}
	keep(sessions.in(tx).SetSequence(highest))
	for p, held := range x.hands {
		if strap, there := x.straps[p]; there && !strap.Done {
			_, _, err := hands.put(tx, hand{p.Session, p.Strap, held})
			keep(err)
		}
	}
	number := uint64(0)
	for key, n := range x.takenOut {
		number = max(number, binary.BigEndian.Uint64([]byte(key)[len(key)-8:]))
		keep(takenOut.in(tx).Put([]byte(key), seal([]byte(key), encode(noteFields, &n))))
	}
	keep(takenOut.in(tx).SetSequence(number))
	if x.choices != nil {
		_, _, err := choices.put(tx, *x.choices)
		keep(err)
	}
	for _, r := range x.runs {
		_, _, err := runs.put(tx, r)
		keep(err)
	}
	return errors.Join(append(errs, x.writeErrands(tx))...)
}

// writeErrands enters what was done about notes and sessions that are still there.
func (x *wreck) writeErrands(tx *bolt.Tx) error {
	for _, e := range x.errands {
		if errandExists(tx, e) != nil {
			continue
		}
		if _, _, err := doneErrands.put(tx, e); err != nil {
			return err
		}
		if err := retell(tx, e.Place); err != nil {
			return err
		}
	}
	return nil
}
