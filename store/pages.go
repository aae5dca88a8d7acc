package store

import (
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"maps"
	"slices"
)

// Reading the pages of a bbolt file without bbolt, which panics on a broken page and gives up everything below it.
// (Format: bbolt v1.5.0, internal/common/page.go, meta.go, bucket.go.)

// The kinds of page, and of an element of a leaf that is a bucket.
const (
	branchPage    = 0x01
	leafPage      = 0x02
	bucketElement = 0x01
	elementSize   = 16
	bucketHeader  = 16
)

// Bounds, so that no file can fill the memory or keep the reader busy for hours: a broken page may say anything.
const (
	longestPage = 16 << 20 // bytes, with those that overflow from it; bbolt puts no more than four pairs into such a page
	deepest     = 64       // pages on the way from a root down; with two below each, no file can hold more
	fullest     = 4        // times a page, that its pairs together may be long: one that is broken may lie over others
)

// A pageFile is a file of pages.
type pageFile struct {
	in       io.ReaderAt
	pageSize int64
	pages    int64 // that are in the file, whole ones
	seen     map[uint64]bool
	broken   int   // pages that were named by another one and cannot be read
	spare    int64 // bytes that may still be read of pages that overflow: in a sound file they do not overlap
}

// newPageFile reads a file of so many bytes. It may be gone through three times.
func newPageFile(in io.ReaderAt, size, pageSize int64) *pageFile {
	return &pageFile{in: in, pageSize: pageSize, pages: size / pageSize, seen: map[uint64]bool{}, spare: 3 * size}
}

// An element is one pair of a leaf.
type element struct {
	key, value []byte
	bucket     bool
}

// read gives a page with those that overflow from it.
func (f *pageFile) read(id uint64) ([]byte, error) {
	if id >= uint64(f.pages) {
		return nil, fmt.Errorf("page %d is beyond the end", id)
	}
	head := make([]byte, pageHeaderSize)
	if _, err := f.in.ReadAt(head, int64(id)*f.pageSize); err != nil {
		return nil, err
	}
	if found := binary.NativeEndian.Uint64(head); found != id {
		return nil, fmt.Errorf("page %d says that it is page %d", id, found)
	}
	more := int64(binary.NativeEndian.Uint32(head[12:]))
	switch {
	case more >= f.pages-int64(id):
		return nil, fmt.Errorf("page %d goes on beyond the end", id)
	case (1+more)*f.pageSize > max(longestPage, f.pageSize), more*f.pageSize > f.spare:
		return nil, fmt.Errorf("page %d goes on for too long", id)
	}
	f.spare -= more * f.pageSize
	page := make([]byte, (1+more)*f.pageSize)
	_, err := f.in.ReadAt(page, int64(id)*f.pageSize)
	return page, err
}

// children gives the pages that a branch page names.
func children(page []byte) (ids []uint64, err error) {
	e := binary.NativeEndian
	n := int(e.Uint16(page[10:]))
	if pageHeaderSize+n*elementSize > len(page) {
		return nil, errors.New("a branch page names more pages than fit into it")
	}
	for i := range n {
		ids = append(ids, e.Uint64(page[pageHeaderSize+i*elementSize+8:]))
	}
	return ids, nil
}

// elements gives the pairs of a leaf page; those that do not lie inside it are left out and make an error.
func elements(page []byte) (all []element, err error) {
	if len(page) < pageHeaderSize {
		return nil, errors.New("a leaf page is cut short")
	}
	e, room := binary.NativeEndian, fullest*int64(len(page))
	for i := range int(e.Uint16(page[10:])) {
		at := pageHeaderSize + i*elementSize
		if at+elementSize > len(page) {
			return all, errors.New("a leaf page has more pairs than fit into it")
		}
		flags, pos := e.Uint32(page[at:]), int64(e.Uint32(page[at+4:]))
		ksize, vsize := int64(e.Uint32(page[at+8:])), int64(e.Uint32(page[at+12:]))
		from := int64(at) + pos
		if from+ksize+vsize > int64(len(page)) {
			err = errors.New("a pair does not lie inside its page")
			continue
		}
		if room -= ksize + vsize; room < 0 {
			return all, errors.New("the pairs of a page lie over each other")
		}
		all = append(all, element{page[from : from+ksize], page[from+ksize : from+ksize+vsize], flags&bucketElement != 0})
	}
	return all, err
}

// walk visits every pair below a page that can be read. A page that cannot be read loses what is below it, and
// nothing else.
func (f *pageFile) walk(id uint64, visit func(element)) { f.down(id, 1, visit) }

func (f *pageFile) down(id uint64, depth int, visit func(element)) {
	if f.seen[id] { // a broken file may go in circles
		return
	}
	if depth > deepest {
		f.broken++
		return
	}
	f.seen[id] = true
	page, err := f.read(id)
	if err != nil {
		f.broken++
		return
	}
	switch binary.NativeEndian.Uint16(page[8:]) & (branchPage | leafPage) {
	case branchPage:
		ids, err := children(page)
		if err != nil {
			f.broken++
		}
		for _, below := range ids {
			f.down(below, depth+1, visit)
		}
	case leafPage:
		f.leaf(page, visit)
	default:
		f.broken++
	}
}

func (f *pageFile) leaf(page []byte, visit func(element)) {
	all, err := elements(page)
	if err != nil {
		f.broken++
	}
	for _, e := range all {
		visit(e)
	}
}

// bucket visits every pair of a bucket, given its element.
func (f *pageFile) bucket(b element, visit func(element)) (sequence uint64) {
	if len(b.value) < bucketHeader {
		f.broken++
		return 0
	}
	root, sequence := binary.NativeEndian.Uint64(b.value), binary.NativeEndian.Uint64(b.value[8:])
	if root != 0 {
		f.walk(root, visit)
	} else if page := b.value[bucketHeader:]; len(page) >= pageHeaderSize { // a small bucket lies in its own element
		f.leaf(page, visit)
	}
	return sequence
}

// roots gives the pages under which the buckets may lie, the likeliest first: those that the sound header pages name,
// then every leaf page with a bucket of ours in it. named is how many the header pages name.
func (f *pageFile) roots() (ids []uint64, named int) {
	type rootOf struct{ root, change uint64 }
	var sound []rootOf
	buf := make([]byte, pageHeaderSize+metaSize)
	for page := range int64(2) {
		n, _ := f.in.ReadAt(buf, page*f.pageSize)
		if h, _, ok := parseHeader(buf[:n]); ok {
			sound = append(sound, rootOf{binary.NativeEndian.Uint64(buf[pageHeaderSize+16:]), h.change})
		}
	}
	if len(sound) == 2 && sound[1].change > sound[0].change {
		sound[0], sound[1] = sound[1], sound[0]
	}
	for _, s := range sound {
		ids = append(ids, s.root)
	}
	named = len(ids)
	ours := map[uint64]bool{} // leaves with buckets of ours
	for id := range uint64(f.pages) {
		if page, err := f.read(id); err == nil && holdsBuckets(page) {
			ours[id] = true
		}
	}
	for id := range uint64(f.pages) { // one leaf may be too small for all buckets
		page, err := f.read(id)
		if err != nil || binary.NativeEndian.Uint16(page[8:])&branchPage == 0 {
			continue
		}
		below, _ := children(page)
		if slices.ContainsFunc(below, func(id uint64) bool { return ours[id] }) {
			ids = append(ids, id)
		}
	}
	return append(ids, slices.Sorted(maps.Keys(ours))...), named
}

// holdsBuckets reports whether a page is a leaf with buckets of ours in it.
func holdsBuckets(page []byte) bool {
	if binary.NativeEndian.Uint16(page[8:])&leafPage == 0 {
		return false
	}
	all, _ := elements(page)
	return slices.ContainsFunc(all, func(e element) bool { return e.bucket && slices.Contains(buckets, string(e.key)) })
}
