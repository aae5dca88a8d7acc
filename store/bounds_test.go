package store

import (
	"bytes"
	"encoding/binary"
	"errors"
	"math"
	"path/filepath"
	"testing"

	bolt "go.etcd.io/bbolt"

	"app/unband/triage"
)

// Headers with right checksums whose sizes cannot be are no sound headers.
func TestHeadersThatCannotBe(t *testing.T) {
	for _, c := range []struct {
		pageSize uint32
		pages    uint64
	}{{0, 3}, {1, 3}, {512, 3}, {4097, 3}, {128 << 10, 3}, {math.MaxUint32, 3}, {4096, math.MaxUint64}, {4096, 1 << 52}} {
		page := make([]byte, pageHeaderSize+metaSize)
		binary.NativeEndian.PutUint32(page[pageHeaderSize+8:], c.pageSize)
		binary.NativeEndian.PutUint64(page[pageHeaderSize+40:], c.pages)
		stampHeader(page)
		if h, found, ok := parseHeader(page); !found || ok {
			t.Errorf("%+v is taken for sound: %+v", c, h)
		}
		path := filepath.Join(t.TempDir(), "header.db")
		write(page)(t, path)
		var bad *DamagedError
		if err := checkHeader(path); !errors.As(err, &bad) {
			t.Errorf("%+v: %v", c, err)
		}
	}
}

// A file of which every page says that it goes on to the end is not read once for each of them.
func TestPagesThatGoOnForEver(t *testing.T) {
	const size, pages = 1024, 4096
	file := make([]byte, size*pages)
	for id := range pages {
		page := file[id*size:]
		binary.NativeEndian.PutUint64(page, uint64(id))
		binary.NativeEndian.PutUint16(page[8:], leafPage)
		binary.NativeEndian.PutUint32(page[12:], uint32(pages-1-id))
	}
	in := &countingReader{Reader: bytes.NewReader(file)}
	newPageFile(in, int64(len(file)), size).roots()
	if in.read > 6*len(file) {
		t.Errorf("of %d bytes %d were read", len(file), in.read)
	}
}

// Branches that lead down from page to page as far as the file is long are left off.
func TestBranchesWithoutEnd(t *testing.T) {
	const size, pages = 64, 1 << 20
	file := make([]byte, size*pages)
	for id := range pages {
		page := file[id*size:]
		binary.NativeEndian.PutUint64(page, uint64(id))
		binary.NativeEndian.PutUint16(page[8:], branchPage)
		binary.NativeEndian.PutUint16(page[10:], 1)
		binary.NativeEndian.PutUint64(page[pageHeaderSize+8:], uint64(id+1)%pages)
	}
	f := newPageFile(bytes.NewReader(file), int64(len(file)), size)
	f.walk(0, func(element) { t.Error("a branch has a pair") })
	if len(f.seen) != deepest || f.broken != 1 {
		t.Errorf("%d pages were visited, %d are broken", len(f.seen), f.broken)
	}
}

// Pairs that all lie over the same whole page are not each taken for the whole page.
func TestPairsOverEachOther(t *testing.T) {
	page := make([]byte, 1<<20)
	const pairs = 60_000
	binary.NativeEndian.PutUint16(page[8:], leafPage)
	binary.NativeEndian.PutUint16(page[10:], pairs)
	for i := range pairs {
		at := pageHeaderSize + i*elementSize
		binary.NativeEndian.PutUint32(page[at+8:], 16)
		binary.NativeEndian.PutUint32(page[at+12:], uint32(len(page)-at-16))
	}
	if all, err := elements(page); err == nil || len(all) > 2*fullest {
		t.Errorf("%d pairs are taken, %v", len(all), err)
	}
}

// rescuedAfter breaks a file from within, with right checksums, and rescues it.
func rescuedAfter(t *testing.T, change func(*bolt.Tx) error) (*Store, error) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "changed.db")
	changed(closedStore(t), change)(t, path)
	if _, err := Rescue(path, path+".new"); err != nil {
		return nil, err
	}
	return openStore(t, path+".new"), nil
}

// A number that was made up does not have millions of places put in.
func TestRescueOfNumbersThatCannotBe(t *testing.T) {
	far := note(triage.Strap{Session: 1, Number: 1}, math.MaxInt32)
	for why, change := range map[string]func(*bolt.Tx) error{
		"a far place": func(tx *bolt.Tx) error { _, _, err := notes.put(tx, far); return err },
		"a far strap": func(tx *bolt.Tx) error {
			_, _, err := straps.put(tx, triage.Strap{Session: 1, Number: math.MaxInt32})
			return err
		},
		"huge totals": func(tx *bolt.Tx) error {
			return ledger{Session: 1, Strap: 2, Totals: triage.Totals{Notes: math.MaxInt}, Listed: 1 << 40}.put(tx)
		},
		"many listed": func(tx *bolt.Tx) error {
			return ledger{Session: 1, Strap: 2, Listed: math.MaxInt}.put(tx)
		},
		"a closed strap of many": func(tx *bolt.Tx) error {
			_, _, err := straps.put(tx, triage.Strap{Session: 1, Number: 1, Done: true, Listed: math.MaxInt})
			return err
		},
	} {
		s, err := rescuedAfter(t, change)
		var bad *DamagedError
		switch {
		case errors.As(err, &bad): // refused, in so many words
		case err != nil:
			t.Errorf("%s: %v", why, err)
		case why != "huge totals": // together they are less than nothing
			t.Errorf("%s: it was rescued", why)
		default:
			wantSound(t, s)
		}
	}
}

// What lies before the first place is dropped, and of a session of which only listed notes are left they are saved.
func TestRescueOfWhatHangsInTheAir(t *testing.T) {
	s, err := rescuedAfter(t, func(tx *bolt.Tx) error {
		nowhere := note(triage.Strap{Session: 1, Number: 1}, 1)
		nowhere.Position = 0
		_, _, err := notes.put(tx, nowhere)
		_, _, second := listed.put(tx, triage.Listed{Session: 7, Strap: 1, Position: 2})
		return errors.Join(err, second)
	})
	check(t, err)
	wantSound(t, s)
	list, err := s.Listed(7, 1)
	if err != nil || len(list) != 2 || list[0].Doubt == "" {
		t.Errorf("listed are %+v, %v", list, err)
	}
	if all, err := s.Notes(1, 1); err != nil || len(all) != 100 {
		t.Errorf("%d notes, %v", len(all), err)
	}
}

// A strap with a number far beyond the others has those between put in, in the time that so many take: in no order of
// their keys it was half a minute, and a fuzz run took it for a hang.
func TestRescueOfAFarStrap(t *testing.T) {
	s, err := rescuedAfter(t, func(tx *bolt.Tx) error {
		_, _, err := straps.put(tx, triage.Strap{Session: 1, Number: 20_000})
		return err
	})
	check(t, err)
	wantSound(t, s)
	if all, err := s.Straps(1); err != nil || len(all) != 20_000 {
		t.Errorf("%d straps, %v", len(all), err)
	}
}
