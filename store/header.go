package store

import (
	"encoding/binary"
	"errors"
	"fmt"
	"hash/fnv"
	"io"
	"math"
	"os"
)

// A header is what the two header pages of a bbolt file say, read without bbolt: it checks less, and
// panics or faults on a file that was cut short. (Format: bbolt v1.5.0, internal/common/meta.go.)
type header struct {
	pageSize int64
	pages    int64 // pages in use; the file is at least as long
	change   uint64
}

const (
	boltMagic      = 0xED0CDAED
	boltVersion    = 2
	pageHeaderSize = 16
	metaSize       = 64
	minPageSize    = 1 << 10
	maxPageSize    = 64 << 10
)

// parseHeader reads a header page. found says that it is marked as one, ok that its checksum is right and that its
// sizes can be: whoever wants to can make the checksum right.
func parseHeader(page []byte) (h header, found, ok bool) {
	if len(page) < pageHeaderSize+metaSize {
		return h, false, false
	}
	m, e := page[pageHeaderSize:pageHeaderSize+metaSize], binary.NativeEndian
	if e.Uint32(m) != boltMagic || e.Uint32(m[4:]) != boltVersion {
		return h, false, false
	}
	sum := fnv.New64a()
	_, _ = sum.Write(m[:metaSize-8])
	h = header{int64(e.Uint32(m[8:])), int64(e.Uint64(m[40:])), e.Uint64(m[48:])}
	return h, true, sum.Sum64() == e.Uint64(m[metaSize-8:]) && h.possible()
}

// possible reports whether there can be pages of this size, and so many of them.
func (h header) possible() bool {
	return h.pageSize >= minPageSize && h.pageSize <= maxPageSize && h.pageSize&(h.pageSize-1) == 0 &&
		h.pages >= 0 && h.pages <= math.MaxInt64/h.pageSize
}

// readHeaders gives the newest sound header of a file and how many of its two pages are sound.
func readHeaders(f io.ReaderAt) (newest header, sound int, found bool) {
	page := make([]byte, pageHeaderSize+metaSize)
	look := func(at int64) (header, bool) {
		n, _ := f.ReadAt(page, at)
		h, marked, ok := parseHeader(page[:n])
		found = found || marked
		if ok && (sound == 0 || h.change > newest.change) {
			newest = h
		}
		if ok {
			sound++
		}
		return h, ok
	}
	if h, ok := look(0); ok {
		look(h.pageSize)
		return newest, sound, found
	}
	for size := int64(minPageSize); size <= maxPageSize && sound == 0; size *= 2 {
		look(size) // the first page is broken, so the page size is not known
	}
	return newest, sound, found
}

// HoldsNotes reports whether a file looks like one that unband keeps notes in, sound or not, of whatever layout
// and under whatever name. Nothing that is made of such a file may ever take its place.
func HoldsNotes(path string) (bool, error) {
	f, err := os.Open(path)
	if err != nil {
		return false, err
	}
	defer f.Close()
	_, _, found := readHeaders(f)
	return found, nil
}

// checkHeader refuses a file that is not bbolt's, has no sound header, or was cut short.
func checkHeader(path string) error {
	f, err := os.Open(path)
	if err != nil {
		return err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return err
	}
	h, sound, found := readHeaders(f)
	switch {
	case !found:
		return ErrNotOurs
	case sound == 0:
		return &DamagedError{errors.New("both header pages are broken")}
	case h.pages*h.pageSize > info.Size():
		return &DamagedError{fmt.Errorf("it is cut short: %d bytes of at least %d are there",
			info.Size(), h.pages*h.pageSize)}
	}
	return nil
}
