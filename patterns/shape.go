package patterns

import "sync"

// The shape of a string of digits says which of its digits are equal: 70633607 and 12455421 both
// have the shape 01233210, where each digit is written as the order in which it first appears (a
// restricted growth string). Eight digits have 4,140 shapes, the Bell number B(8) of OEIS A000110.
// A shape with k different digits stands for 10!/(10-k)! strings.
//
// Most names of the trade speak of equal digits only, so they are sets of shapes, and so are their
// near misses: what one changed digit does to a shape does not depend on which digits they are.

// A form is a shape of eight digits, each the order in which it first appeared.
type form [Places]uint8

// kinds is how many different digits the form has.
func (f *form) kinds() int {
	k := uint8(0)
	for _, c := range f {
		k = max(k, c+1)
	}
	return int(k)
}

// A shapeTable holds the shapes of zero to eight digits as the nodes of a tree, numbered level by
// level: the root is node 0.
type shapeTable struct {
	next  [][Places]uint16   // next[n][c]: node n followed by its digit c; c = kinds[n] is a new digit
	kinds []uint8            // kinds[n]: how many different digits node n has
	first [Places + 2]int    // first[k]: the first node with k digits; first[9]: how many nodes
	forms []form             // forms[s]: the shape of node first[8]+s
	edits [][]uint16         // edits[s]: the shapes one edit away from shape s, each once
	heads [10_000]shapeState // heads[v]: where the four digits of v lead
	whole *halves            // the quick way to the shape of eight digits
}

// shapes is made once and never changes.
var shapes = sync.OnceValue(makeShapes)

// A shapeState is a node of the shape table together with the digits seen: 16 bits node, 8 bits
// how many different digits, then four bits for each digit 0 to 9, the order of its first
// appearance, or 15.
type shapeState uint64

const (
	noDigits  shapeState = 1<<40 - 1 // the root, nothing seen
	seenShift            = 40
	nodeShift            = 48
)

func (s shapeState) node() int { return int(s >> nodeShift) }

func (s shapeState) kinds() uint64 { return uint64(s) >> seenShift & 0xff }

// class gives the order of a digit's first appearance, also if that is now.
func (s shapeState) class(digit uint) uint64 {
	return min(uint64(s)>>(digit*4&63)&15, s.kinds())
}

// step reads one more digit.
func (t *shapeTable) step(s shapeState, digit uint) shapeState {
	shift := digit * 4 & 63
	kinds, class := s.kinds(), s.class(digit)
	node := uint64(t.next[s>>nodeShift][class&7])
	seen := uint64(s)&(1<<seenShift-1)&^(15<<shift) | class<<shift
	return shapeState(node<<nodeShift | max(kinds, class+1)<<seenShift | seen)
}

// index gives the number of a form.
func (t *shapeTable) index(f *form) int {
	n := 0
	for _, c := range f {
		n = int(t.next[n][c])
	}
	return n - t.first[Places]
}

func makeShapes() *shapeTable {
	t := &shapeTable{}
	t.grow()
	for v := range t.heads {
		s := noDigits
		for _, digit := range lastFour(Digits(v)) {
			s = t.step(s, uint(digit))
		}
		t.heads[v] = s
	}
	t.whole = t.halve()
	t.edits = make([][]uint16, len(t.forms))
	seen := make([]int, len(t.forms))
	for s := range t.forms {
		t.edits[s] = t.editsOf(s, seen)
	}
	return t
}

// grow makes the nodes, one level after the other.
func (t *shapeTable) grow() {
	level := []form{{}}
	t.kinds = []uint8{0}
	for k := 0; k < Places; k++ {
		t.first[k+1] = t.first[k] + len(level)
		var below []form
		for i, f := range level {
			kinds := t.kinds[t.first[k]+i]
			var next [Places]uint16
			for c := uint8(0); c <= kinds; c++ {
				next[c] = uint16(t.first[k+1] + len(below))
				f[k] = c
				below = append(below, f)
				t.kinds = append(t.kinds, max(kinds, c+1))
			}
			t.next = append(t.next, next)
		}
		level = below
	}
	t.forms = level
	t.first[Places+1] = t.first[Places] + len(level)
}

// editsOf lists the shapes that one changed digit or one swap of neighbours makes of shape s. seen
// remembers which shape was last met from where.
func (t *shapeTable) editsOf(s int, seen []int) []uint16 {
	var list []uint16
	add := func(f form) {
		canonical(&f)
		n := t.index(&f)
		if n == s || seen[n] == s+1 {
			return
		}
		seen[n] = s + 1
		list = append(list, uint16(n))
	}
	f := t.forms[s]
	for i := range f {
		for c := 0; c <= f.kinds(); c++ { // the last is a digit that occurs nowhere else
			g := f
			g[i] = uint8(c)
			add(g)
		}
		if i+1 < Places {
			g := f
			g[i], g[i+1] = g[i+1], g[i]
			add(g)
		}
	}
	return list
}

// canonical renames the classes of a form by the order in which they first appear.
func canonical(f *form) {
	var name [10]uint8 // digits serve as classes, too
	used := uint8(0)
	for i, c := range f {
		if name[c] == 0 {
			used++
			name[c] = used
		}
		f[i] = name[c] - 1
	}
}

// choices is how many ways there are to choose the digit of class c after a string with so many
// kinds of digits: one if it is there already, any of the others if it is new.
func choices(kinds uint8, c int) int {
	if c < int(kinds) {
		return 1
	}
	return 10 - int(kinds)
}

// weight is how many strings a shape with k different digits stands for: 10!/(10-k)!.
func weight(k int) int {
	n := 1
	for i := 0; i < k; i++ {
		n *= 10 - i
	}
	return n
}
