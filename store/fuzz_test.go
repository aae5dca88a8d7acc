package store

import (
	"bytes"
	"encoding/binary"
	"errors"
	"hash/fnv"
	"os"
	"path/filepath"
	"reflect"
	"testing"

	bolt "go.etcd.io/bbolt"

	"app/unband/triage"
)

// reencode reads a record and wants what it writes again to read the same, and to be written the same from then on.
func reencode[T any](t *testing.T, table table[T], key, content []byte) {
	t.Helper()
	record, err := table.read(key, seal(key, content))
	if err != nil {
		var bad *RecordError
		if !errors.As(err, &bad) || !bytes.Equal(bad.Key, key) {
			t.Fatalf("%s: %v does not name the record", table.bucket, err)
		}
		return
	}
	once := encode(table.fields, &record)
	again, err := table.read(key, seal(key, once))
	if err != nil || !reflect.DeepEqual(again, record) {
		t.Fatalf("%s: %q reads as\n%+v, written again as\n%+v (%v)", table.bucket, content, record, again, err)
	}
	if twice := encode(table.fields, &again); !bytes.Equal(twice, once) {
		t.Fatalf("%s: written as %x, then as %x", table.bucket, once, twice)
	}
}

// A fuzzed is a table whose records are made of arbitrary bytes.
type fuzzed struct {
	reencode     func(t *testing.T, key, content []byte)
	key, content []byte // of a record with every field set
}

func fuzzedTable[T any](table table[T]) fuzzed {
	var record T
	fill(reflect.ValueOf(&record).Elem())
	return fuzzed{
		func(t *testing.T, key, content []byte) { reencode(t, table, key, content) },
		table.key(&record), encode(table.fields, &record),
	}
}

// Arbitrary bytes under an arbitrary key, in every table. New tables go to the end: the corpus knows them by number.
func FuzzRecord(f *testing.F) {
	tables := []fuzzed{fuzzedTable(notes), fuzzedTable(sessions), fuzzedTable(straps), fuzzedTable(versions), fuzzedTable(takenOut),
		fuzzedTable(hands), fuzzedTable(listed), fuzzedTable(choices), fuzzedTable(runs), fuzzedTable(doneErrands), fuzzedTable(tallies), fuzzedTable(ledgers)}
	for i, table := range tables {
		f.Add(uint8(i), table.key, table.content)
		f.Add(uint8(i), table.key, []byte{})
	}
	f.Fuzz(func(t *testing.T, table uint8, key, content []byte) {
		tables[int(table)%len(tables)].reencode(t, key, content)
	})
}

// stampHeader makes a header page marked as one, with a right checksum over whatever it says.
func stampHeader(page []byte) {
	m, e := page[pageHeaderSize:pageHeaderSize+metaSize], binary.NativeEndian
	e.PutUint32(m, boltMagic)
	e.PutUint32(m[4:], boltVersion)
	sum := fnv.New64a()
	_, _ = sum.Write(m[:metaSize-8])
	e.PutUint64(m[metaSize-8:], sum.Sum64())
}

// Header pages that say anything, with right checksums: what is taken for sound can be counted with.
func FuzzHeader(f *testing.F) {
	page := make([]byte, 1024+pageHeaderSize+metaSize)
	binary.NativeEndian.PutUint32(page[pageHeaderSize+8:], 1024)
	binary.NativeEndian.PutUint64(page[pageHeaderSize+40:], 3)
	f.Add(page, true)
	f.Add(page[:40], false)
	binary.NativeEndian.PutUint64(page[pageHeaderSize+40:], 1<<60)
	f.Add(page, true)
	f.Fuzz(func(t *testing.T, file []byte, stamp bool) {
		if stamp && len(file) >= pageHeaderSize+metaSize {
			file = bytes.Clone(file)
			stampHeader(file)
		}
		h, sound, found := readHeaders(bytes.NewReader(file))
		if sound > 0 && (!found || !h.possible() || h.pages*h.pageSize < 0 || h.pageSize > maxPageSize) {
			t.Fatalf("%d sound headers, %v: %+v", sound, found, h)
		}
		readWreck(bytes.NewReader(file), int64(len(file)))
		path := filepath.Join(t.TempDir(), "header.db")
		write(file)(t, path)
		err := checkHeader(path)
		if (err == nil) != (sound > 0 && h.pages*h.pageSize <= int64(len(file))) {
			t.Fatalf("%+v of %d bytes: %v", h, len(file), err)
		}
	})
}

// Pages of any content, made small so that a few hundred bytes are many: nothing is read outside them, no page is
// visited twice, and what is read stays in proportion to the file.
func FuzzPages(f *testing.F) {
	const size = 64
	e := binary.NativeEndian
	page := func(kind, count uint16, more uint32, rest ...uint32) []byte {
		p := make([]byte, size)
		e.PutUint16(p[8:], kind)
		e.PutUint16(p[10:], count)
		e.PutUint32(p[12:], more)
		for i, r := range rest {
			e.PutUint32(p[16+4*i:], r)
		}
		return p
	}
	join := func(pages ...[]byte) []byte { return bytes.Join(pages, nil) }
	f.Add(join(page(branchPage, 2, 0, 0, 0, 1, 0, 0, 0, 0, 0), page(leafPage, 1, 0, 0, 16, 3, 5)))
	f.Add(join(page(leafPage, 1, 1, bucketElement, 16, 5, 32), page(leafPage, 1, 0xffffffff, 0, 0xffffffff, 0xffffffff, 0xffffffff)))
	f.Add(join(page(branchPage, 0xffff, 3), page(branchPage, 3, 0), page(leafPage, 0xffff, 1), page(leafPage, 1, 0)))
	f.Fuzz(func(t *testing.T, file []byte) {
		file = bytes.Clone(file)
		for id := range len(file) / size {
			e.PutUint64(file[id*size:], uint64(id))
		}
		in := &countingReader{Reader: bytes.NewReader(file)}
		p := newPageFile(in, int64(len(file)), size)
		visits, length := 0, 0
		visit := func(e element) { visits, length = visits+1, length+len(e.key)+len(e.value) }
		p.walk(0, func(e element) {
			visit(e)
			if e.bucket {
				p.bucket(e, visit)
			}
		})
		if most := (3 + 1) * len(file); visits > (fullest+1)*most || length > (fullest+1)*fullest*most || in.read > 2*most+pageHeaderSize*len(p.seen) {
			t.Fatalf("of %d bytes %d were read, in %d pairs of %d bytes", len(file), in.read, visits, length)
		}
		in.read = 0
		if roots, _ := newPageFile(in, int64(len(file)), size).roots(); len(roots) > 2*(len(file)/size)+2 || in.read > 6*len(file)+2*(pageHeaderSize+metaSize) {
			t.Fatalf("of %d bytes %d were read to find %d roots", len(file), in.read, len(roots))
		}
	})
}

// A countingReader counts the bytes that were read.
type countingReader struct {
	*bytes.Reader
	read int
}

func (r *countingReader) ReadAt(b []byte, at int64) (int, error) {
	n, err := r.Reader.ReadAt(b, at)
	r.read += n
	return n, err
}

// smallPages is the page size of the files that are broken by fuzzing: small, so that they are.
const smallPages = minPageSize

// wrecked makes a file with something in every bucket.
func wrecked(f *testing.F) []byte {
	f.Helper()
	s := tempStore(f)
	s.commit = commitWithoutSync
	strap := withStrap(f, s)
	for i := 1; i <= 12; i++ {
		n := plan(strap, i, 1)
		must(f, s, Decide{n})
		if i%4 == 0 {
			n.Version = 2
			must(f, s, Decide{n})
		}
	}
	must(f, s, TakeOut{triage.Place{Session: 1, Strap: 1, Position: 12}, 2, start})
	must(f, s, PutRuns{newYork2009()})
	next := nextStrap(f, s, strap)
	must(f, s, List{[]triage.Strap{next}, []triage.Listed{{Session: 1, Strap: next.Number, Position: 1, Serial: note(next, 1).Serial}, {Session: 1, Strap: next.Number, Position: 2}}})
	must(f, s, SetHand{1, next.Number, triage.Held{Serial: note(next, 1).Serial}})
	small := filepath.Join(f.TempDir(), "small.db")
	db, err := bolt.Open(small, 0o600, &bolt.Options{PageSize: smallPages, NoSync: true})
	check(f, err)
	check(f, s.view(func(tx *bolt.Tx) error { return copied(db, tx) }))
	check(f, errors.Join(db.Close(), s.Close()))
	file, err := os.ReadFile(small)
	check(f, err)
	return file
}

// copied copies every bucket of a file into another.
func copied(to *bolt.DB, from *bolt.Tx) error {
	return to.Update(func(tx *bolt.Tx) error {
		return from.ForEach(func(name []byte, b *bolt.Bucket) error {
			fresh, err := tx.CreateBucket(name)
			if err != nil {
				return err
			}
			return errors.Join(fresh.SetSequence(b.Sequence()), b.ForEach(fresh.Put))
		})
	})
}

// damage changes a file as a script says. Each step is six bytes: what to do, at which page, where in it (two bytes),
// and with what (two bytes). It never makes the file longer.
func damage(file, script []byte) []byte {
	file = bytes.Clone(file)
	for ; len(script) >= 6; script = script[6:] {
		pages := len(file) / smallPages
		if pages == 0 {
			break
		}
		with := int(binary.BigEndian.Uint16(script[4:]))
		page := file[int(script[1])%pages*smallPages:][:smallPages]
		at := int(binary.BigEndian.Uint16(script[2:])) % (smallPages - 8)
		switch script[0] % 8 {
		case 0:
			page[at] = byte(with)
		case 1:
			binary.NativeEndian.PutUint16(page[at:], uint16(with))
		case 2:
			binary.NativeEndian.PutUint32(page[at:], uint32(with)*0x10001)
		case 3:
			copy(page, file[with%pages*smallPages:][:smallPages])
		case 4:
			stampHeader(page)
		case 5:
			file = file[:len(file)-min(with, len(file))]
		case 6:
			reseal(page, with)
		case 7:
			for i := range page[at:] {
				page[at+i] = byte(with)
			}
		}
	}
	return file
}

// reseal makes the checksum of one pair of a leaf right, so that what was broken in it is believed.
func reseal(page []byte, which int) {
	all, _ := elements(page)
	if len(all) == 0 {
		return
	}
	e := all[which%len(all)]
	if len(e.value) >= sumSize {
		binary.BigEndian.PutUint32(e.value, checksum(e.key, e.value[sumSize:]))
	}
}

// Whatever is broken in a file, also by someone who makes the checksums right: Rescue ends, within bounds, and what it
// makes is sound.
func FuzzRescue(f *testing.F) {
	file := wrecked(f)
	pages := byte(len(file) / smallPages)
	f.Add([]byte{})
	f.Add([]byte{7, 0, 0, 0, 0, 0, 7, 1, 0, 0, 0, 0})  // no headers
	f.Add([]byte{2, 0, 0, 24, 0, 0, 4, 0, 0, 0, 0, 0}) // pages of size 0
	f.Add([]byte{5, 0, 0, 0, 0x20, 0})                 // cut short
	for page := byte(2); page < pages; page++ {
		f.Add([]byte{2, page, 0, 12, 0xff, 0xff}) // a page that goes on for ever
		f.Add([]byte{1, page, 0, 10, 0xff, 0xff}) // one with more than it holds
		f.Add([]byte{7, page, 0, 0, 0, 0})        // one that is gone
		for at := byte(0); at < 3; at++ {         // a place with a number that cannot be
			f.Add([]byte{0, page, 3, 0xf0 - at*40, 0, 0xff, 6, page, 0, 0, 0, 0, 6, page, 0, 0, 0, 1, 6, page, 0, 0, 0, 2})
		}
	}
	f.Fuzz(func(t *testing.T, script []byte) {
		path := filepath.Join(t.TempDir(), "damaged.db")
		write(damage(file, script[:min(len(script), 120)]))(t, path)
		to := path + ".new"
		r, err := Rescue(path, to)
		var bad *DamagedError
		switch {
		case errors.Is(err, ErrNotOurs):
			return
		case errors.As(err, &bad):
			if !bytes.Contains([]byte(bad.Error()), []byte("cannot be right")) {
				t.Fatal(err)
			}
			return
		case err != nil:
			t.Fatal(err)
		}
		s := openStore(t, to)
		defer s.Close()
		report, err := s.Check()
		if err != nil || !report.Sound() {
			t.Fatalf("what was rescued, %+v, is not sound: %q, %v", r, report.Problems, err)
		}
	})
}
