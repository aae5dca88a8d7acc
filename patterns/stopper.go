package patterns

import "math/bits"

// A Stopper knows for each of the 100,000,000 serials whether it stops a sorter: one bit each, 12.5
// MB. It answers several times as fast as a Book and is worth making for lists of a million serials
// and more; for the notes on a table a Book is better.
type Stopper struct {
	bits []uint64 // bit d%64 of word d/64
}

// Stopper finds all serials that stop a sorter with that watch list.
func (b *Book) Stopper(w Watch) *Stopper {
	s := &Stopper{bits: make([]uint64, (Total+63)/64)}
	m := marker{union: b.union(w), to: s}
	m.mark(noDigits, b.values.root, 0, 0)
	return s
}

// Stops reports whether the serial stops the sorter.
func (s *Stopper) Stops(d Digits) bool { return s.bits[d/64]>>(d%64)&1 == 1 }

// Count is how many serials stop the sorter, 00000000 included.
func (s *Stopper) Count() int {
	n := 0
	for _, word := range s.bits {
		n += bits.OnesCount64(word)
	}
	return n
}

// A marker walks both tables together, and only where something stops.
type marker struct {
	*union
	to *Stopper
}

func (m marker) mark(s shapeState, v uint32, k int, base Digits) {
	switch {
	case m.equal[s.node()] == 0 && m.values[v] == 0:
		return
	case k == Places-1:
		m.last(s, v, base*10)
		return
	}
	for c := range uint(10) {
		m.mark(m.book.shapes.step(s, c), m.book.values.next[v][c], k+1, base*10+Digits(c))
	}
}

// last marks the ten serials from base on.
func (m marker) last(s shapeState, v uint32, base Digits) {
	ten := uint64(m.lastDigits[v])
	if classes := m.lastClasses[s.node()]; classes != 0 {
		for c := range uint(10) {
			ten |= uint64(classes>>s.class(c)&1) << c
		}
	}
	m.to.bits[base/64] |= ten << (base % 64)
	if base%64 > 64-10 {
		m.to.bits[base/64+1] |= ten >> (64 - base%64)
	}
}
