package store

import (
	"bytes"
	"encoding/binary"
	"fmt"

	bolt "go.etcd.io/bbolt"

	"app/unband/patterns"
	"app/unband/triage"
	"app/unband/triage/stars"
)

// PutRuns enters runs of star notes, all of them or none. Of a run that is known already what was not
// said before is taken, and the date of the newer list; otherwise it changes nothing.
// It is refused with a *RunError when one of them cannot be, or clashes with a known run.
type PutRuns struct{ Runs []stars.Run }

// DropRuns takes runs out again, as when one was entered wrongly. Runs are named by group, first
// number and facility; one that is not there is passed over.
type DropRuns struct{ Runs []stars.Run }

// A RunError refuses a run of star notes.
type RunError struct {
	Run stars.Run
	Err error // why, in plain words
}

func (e *RunError) Error() string { return fmt.Sprintf("run %v: %v", e.Run, e.Err) }
func (e *RunError) Unwrap() error { return e.Err }

// seriesBytes is how long a series is in a key: a year and a letter.
const seriesBytes = 5

// runKey sorts as stars.Run.Compare does.
func runKey(r stars.Run) []byte {
	key := binary.BigEndian.AppendUint32(nil, uint32(r.Denomination))
	var series [seriesBytes]byte
	copy(series[:], r.Series)
	key = append(append(key, series[:]...), r.Bank)
	return append(binary.BigEndian.AppendUint32(key, uint32(r.From)), byte(r.Facility))
}

func splitRunKey(key []byte, r *stars.Run) error {
	const bank = 4 + seriesBytes
	if len(key) != bank+6 {
		return fmt.Errorf("key has %d bytes, want %d", len(key), bank+6)
	}
	r.Denomination = triage.Denomination(binary.BigEndian.Uint32(key))
	r.Series = string(bytes.TrimRight(key[4:bank], "\x00"))
	r.Bank = key[bank]
	r.From = patterns.Digits(binary.BigEndian.Uint32(key[bank+1:]))
	r.Facility = stars.Facility(key[bank+5])
	return nil
}

// nothing is the mark of a write that had nothing to change.
var nothing = entry{bucket: bucketRuns, key: nothingKey}

func (w PutRuns) apply(tx *bolt.Tx) (r Result, mark entry, err error) {
	known, err := runs.list(tx, nil)
	if err != nil {
		return r, mark, err
	}
	list := stars.NewList(known)
	mark = nothing
	for _, run := range w.Runs {
		added, err := list.Add(run)
		if err != nil {
			return r, mark, &RunError{run, err}
		}
		if !added {
			before, after := list.Enrich(run)
			if run = after; after == before {
				continue
			}
			if run.Facility != before.Facility { // the key has it
				if err := runs.in(tx).Delete(runKey(before)); err != nil {
					return r, mark, err
				}
			}
		}
		if _, mark, err = runs.put(tx, run); err != nil {
			return r, mark, err
		}
	}
	return r, mark, nil
}

func (w DropRuns) apply(tx *bolt.Tx) (r Result, mark entry, err error) {
	mark = nothing
	for _, run := range w.Runs {
		key := runKey(run)
		if runs.in(tx).Get(key) == nil {
			continue
		}
		if err := runs.in(tx).Delete(key); err != nil {
			return r, mark, err
		}
		mark = entry{bucketRuns, key, nil}
	}
	return r, mark, nil
}

// Runs gives every known run of star notes in the order of stars.Run.Compare.
func (s *Store) Runs() (all []stars.Run, err error) {
	err = s.view(func(tx *bolt.Tx) error {
		all, err = runs.list(tx, nil)
		return err
	})
	return all, err
}

// Stars gives the kept star notes of all sessions in pile order. Their denomination is that of the
// session.
func (s *Store) Stars() (all []triage.Note, err error) {
	err = s.view(func(tx *bolt.Tx) error {
		all, err = indexed(tx, byStars, nil, 0)
		return err
	})
	return all, err
}

// keptStar reports whether a note belongs in the batch of stars.
func keptStar(n triage.Note) bool {
	return n.Decision == triage.Keep && n.Serial.Star && n.Fate != triage.SpentAfter
}
