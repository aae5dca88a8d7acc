package store

import (
	"bytes"
	"errors"

	bolt "go.etcd.io/bbolt"

	"app/unband/triage"
	"app/unband/triage/errands"
	"app/unband/triage/stars"
	"app/unband/triage/tally"
)

// A table is one bucket of records of type T.
type table[T any] struct {
	bucket string
	fields []field[T]
	key    func(*T) []byte
	// fill sets what only the key says.
	fill func(key []byte, record *T) error
}

// A hand is the note of a strap whose serial is complete and which is not decided.
type hand struct {
	Session uint64
	Strap   int
	Held    triage.Held
}

var (
	sessions = table[triage.Session]{bucketSessions, sessionFields,
		func(s *triage.Session) []byte { return sessionKey(s.ID) },
		func(key []byte, s *triage.Session) (err error) {
			s.ID, err = splitKey(key)
			return err
		}}
	straps = table[triage.Strap]{bucketStraps, strapFields,
		func(s *triage.Strap) []byte { return strapKey(s.Session, s.Number) },
		func(key []byte, s *triage.Strap) (err error) {
			s.Session, err = splitKey(key, &s.Number)
			return err
		}}
	notes = table[triage.Note]{bucketNotes, noteFields,
		func(n *triage.Note) []byte { return noteKey(n.Place()) },
		func(key []byte, n *triage.Note) (err error) {
			n.Session, err = splitKey(key, &n.Strap, &n.Position)
			return err
		}}
	listed = table[triage.Listed]{bucketListed, listedFields,
		func(l *triage.Listed) []byte { return noteKey(l.Place()) },
		func(key []byte, l *triage.Listed) (err error) {
			l.Session, err = splitKey(key, &l.Strap, &l.Position)
			return err
		}}
	ledgers = table[ledger]{bucketLedgers, ledgerFields,
		func(l *ledger) []byte { return l.key() },
		func(key []byte, l *ledger) (err error) {
			l.Session, err = splitKey(key, &l.Strap)
			return err
		}}
	versions = table[triage.Note]{bucketVersions, noteFields,
		func(n *triage.Note) []byte { return versionKey(n.Place(), n.Version) },
		func(key []byte, n *triage.Note) (err error) {
			n.Session, err = splitKey(key, &n.Strap, &n.Position, &n.Version)
			return err
		}}
	takenOut = table[triage.Note]{bucketTakenOut, noteFields,
		func(n *triage.Note) []byte { return takenOutKey(n.Place(), 0) },
		func(key []byte, n *triage.Note) (err error) {
			var high, low int // of the running number
			n.Session, err = splitKey(key, &n.Strap, &n.Position, &high, &low)
			return err
		}}
	hands = table[hand]{bucketHands, handFields,
		func(h *hand) []byte { return strapKey(h.Session, h.Strap) },
		func(key []byte, h *hand) (err error) {
			h.Session, err = splitKey(key, &h.Strap)
			return err
		}}
	choices = table[triage.Choices]{bucketChoices, choicesFields,
		func(*triage.Choices) []byte { return []byte(keyPerson) },
		func([]byte, *triage.Choices) error { return nil }}
	doneErrands = table[errands.Errand]{bucketErrands, errandFields,
		func(e *errands.Errand) []byte { return errandKey(e.Kind, e.Place) },
		func(key []byte, e *errands.Errand) (err error) {
			if len(key) == 0 {
				return errors.New("key is empty")
			}
			e.Kind = errands.Kind(key[0])
			e.Place.Session, err = splitKey(key[1:], &e.Place.Strap, &e.Place.Position)
			return err
		}}
	tallies = table[tally.SessionDay]{bucketTallies, tallyFields,
		func(d *tally.SessionDay) []byte { return appendCount(sessionKey(d.Session), int(d.Day)) },
		func(key []byte, d *tally.SessionDay) error {
			day := 0
			session, err := splitKey(key, &day)
			d.Session, d.Day = session, tally.Day(day)
			return err
		}}
	runs = table[stars.Run]{bucketRuns, runFields,
		func(r *stars.Run) []byte { return runKey(*r) },
		splitRunKey}
)

func (t table[T]) in(tx *bolt.Tx) *bolt.Bucket { return tx.Bucket([]byte(t.bucket)) }

// read turns a stored pair into a record.
func (t table[T]) read(key, value []byte) (record T, err error) {
	content, err := unseal(t.bucket, key, value)
	if err != nil {
		return record, err
	}
	if err = decode(t.fields, content, &record); err == nil {
		err = t.fill(key, &record)
	}
	if err != nil {
		var zero T
		return zero, newRecordError(t.bucket, key, err)
	}
	return record, nil
}

// get finds one record; ok is false when there is none.
func (t table[T]) get(tx *bolt.Tx, key []byte) (record T, ok bool, err error) {
	value := t.in(tx).Get(key)
	if value == nil {
		return record, false, nil
	}
	record, err = t.read(key, value)
	return record, err == nil, err
}

// list gives the records whose keys begin with prefix, in key order.
func (t table[T]) list(tx *bolt.Tx, prefix []byte) ([]T, error) {
	var all []T
	err := t.walk(tx, prefix, func(record T, err error) error {
		all = append(all, record)
		return err
	})
	if err != nil {
		return nil, err
	}
	return all, nil
}

// walk visits the records whose keys begin with prefix, in key order; of a damaged one the error. It ends with
// the first error that a visit returns.
func (t table[T]) walk(tx *bolt.Tx, prefix []byte, visit func(T, error) error) error {
	c := t.in(tx).Cursor()
	for k, v := c.Seek(prefix); k != nil && bytes.HasPrefix(k, prefix); k, v = c.Next() {
		if err := visit(t.read(k, v)); err != nil {
			return err
		}
	}
	return nil
}

// sound visits the records whose keys begin with prefix and that are not damaged; check names the others.
func (t table[T]) sound(tx *bolt.Tx, prefix []byte, visit func(T) error) error {
	return t.walk(tx, prefix, func(record T, err error) error {
		if err != nil {
			return nil
		}
		return visit(record)
	})
}

// put stores a record and gives it as a later read will give it.
func (t table[T]) put(tx *bolt.Tx, record T) (stored T, e entry, err error) {
	key := t.key(&record)
	e = entry{t.bucket, key, seal(key, encode(t.fields, &record))}
	b := t.in(tx)
	if t.bucket == bucketNotes || t.bucket == bucketListed {
		// Notes come in key order: full pages make the file about half as large. bbolt does not
		// store this, so it is said in each transaction.
		b.FillPercent = 0.9
	}
	if err := b.Put(e.key, e.value); err != nil {
		return stored, e, err
	}
	stored, err = t.read(e.key, e.value)
	return stored, e, err
}

// nothingKey is a key under which nothing is ever stored, for the mark of a write that had nothing to
// change.
var nothingKey = []byte("nothing")

// An entry is one pair of the file; a nil value means that the key must not be there.
type entry struct {
	bucket     string
	key, value []byte
}

// holds reports whether the file has the entry just so.
func (e entry) holds(tx *bolt.Tx) bool {
	value := tx.Bucket([]byte(e.bucket)).Get(e.key)
	return (value == nil) == (e.value == nil) && bytes.Equal(value, e.value)
}

// An index is a bucket of keys without content.
type index string

func (i index) set(tx *bolt.Tx, key []byte, present bool) error {
	b := tx.Bucket([]byte(i))
	if present {
		return putSealed(b, key, nil)
	}
	return b.Delete(key)
}

const (
	byDigits  index = bucketDigits
	byWaiting index = bucketWaiting
	byStars   index = bucketStars
	byKept    index = bucketKept
	byErrand  index = bucketTodo
)
