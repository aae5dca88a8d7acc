package patterns

import "math/bits"

// A union counts the serials that stop by their digits and not by their shape. Both tables are
// walked together, but only where the answer is not yet known from one of them alone.
type union struct {
	book   *Book
	equal  []int32 // by node of the shape table: how many completions stop by their shape
	values []int32 // by node of the verdict table: how many completions stop by their digits

	// Of the nodes with seven digits, which last digits make a stop: by class, by digit.
	lastClasses, lastDigits []uint16
}

// size[k] is how many completions a string of k digits has.
var size = [Places + 1]int32{100_000_000, 10_000_000, 1_000_000, 100_000, 10_000, 1_000, 100, 10, 1}

func (b *Book) union(w Watch) *union {
	u := &union{book: b}
	u.countShapes(w)
	u.countValues(w)
	return u
}

func (u *union) countShapes(w Watch) {
	t, e := u.book.shapes, u.book.equal
	u.equal = make([]int32, len(e.match))
	u.lastClasses = make([]uint16, t.first[Places])
	for n := len(u.equal) - 1; n >= 0; n-- {
		if n >= t.first[Places] {
			u.equal[n] = one(w.stops(e.match[n], e.near[n]))
			continue
		}
		for c := 0; c <= int(t.kinds[n]); c++ {
			stops := u.equal[t.next[n][c]]
			u.equal[n] += stops * int32(choices(t.kinds[n], c))
			u.lastClasses[n] |= uint16(stops&1) << c
		}
	}
}

func (u *union) countValues(w Watch) {
	t := u.book.values
	u.values = make([]int32, len(t.match))
	u.lastDigits = make([]uint16, t.first[Places])
	for n := len(u.values) - 1; n > nothing; n-- {
		if n >= t.first[Places] {
			u.values[n] = one(w.stops(t.match[n], t.near[n]))
			continue
		}
		for c, kid := range t.next[n] {
			u.values[n] += u.values[kid]
			u.lastDigits[n] |= uint16(u.values[kid]&1) << c
		}
	}
}

func one(yes bool) int32 {
	if yes {
		return 1
	}
	return 0
}

// beyond counts the serials 0 to top that stop by their digits and not by their shape.
func (u *union) beyond(top Digits) int {
	s, v := noDigits, u.book.values.root
	n := 0
	for k, digit := range top.all() {
		for c := uint(0); c < uint(digit); c++ {
			n += int(u.below(u.book.shapes.step(s, c), u.book.values.next[v][c], k+1))
		}
		s, v = u.book.shapes.step(s, uint(digit)), u.book.values.next[v][digit]
	}
	return n + int(u.below(s, v, Places))
}

// below counts them among the completions of k digits.
func (u *union) below(s shapeState, v uint32, k int) int32 {
	switch equal := u.equal[s.node()]; {
	case u.values[v] == 0 || equal == size[k]:
		return 0
	case equal == 0:
		return u.values[v]
	case k == Places-1:
		return u.last(s, v)
	}
	n := int32(0)
	for c, kid := range u.book.values.next[v] {
		if u.values[kid] != 0 {
			n += u.below(u.book.shapes.step(s, uint(c)), kid, k+1)
		}
	}
	return n
}

// last counts them among the ten completions of seven digits.
func (u *union) last(s shapeState, v uint32) (n int32) {
	classes := u.lastClasses[s.node()]
	for digits := u.lastDigits[v]; digits != 0; digits &= digits - 1 {
		class := s.class(uint(bits.TrailingZeros16(digits)))
		n += 1 - int32(classes>>class&1)
	}
	return n
}
