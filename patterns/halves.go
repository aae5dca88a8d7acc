package patterns

// The shape of a whole serial is found from its two halves at once, several times faster than digit
// by digit: the shape of the front, the shape of the back, and for each digit of the back the class
// it has in the front, decide.

// absent is the class of a digit that the front does not have.
const absent = 4

// A front is what the first four digits bring: three bits for each digit 0 to 9, its class or
// absent, and where the rows of its shape begin in the join table.
type front struct{ classes, row uint32 }

// A back is what the last four digits bring: a byte for each, three times the digit, and which row
// of the front's is theirs.
type back struct{ shifts, row uint32 }

// halves[f][b] and join are filled once.
type halves struct {
	fronts [10_000]front
	backs  [10_000]back
	join   []uint16 // nodes of the shape table by front shape, back shape and four classes to the base of five
}

const (
	joinRow  = 5 * 5 * 5 * 5
	joinRows = 15 // shapes of four digits, the Bell number B(4)
)

// node gives the node of eight digits.
func (h *halves) node(d Digits) int {
	f, b := h.fronts[d/10_000], h.backs[d%10_000]
	w, x := f.classes>>(b.shifts&31)&7, f.classes>>(b.shifts>>8&31)&7
	y, z := f.classes>>(b.shifts>>16&31)&7, f.classes>>(b.shifts>>24&31)&7
	return int(h.join[f.row+b.row+((w*5+x)*5+y)*5+z])
}

func (t *shapeTable) halve() *halves {
	h := &halves{}
	first := t.first[Places/2] // the fifteen shapes of four digits
	for v := range h.fronts {
		state := t.heads[v]
		shape := uint32(state.node() - first)
		h.fronts[v].row = shape * joinRows * joinRow
		h.backs[v].row = shape * joinRow
		for c := uint(0); c < 10; c++ {
			class := min(uint32(state>>(4*c)&15), absent)
			h.fronts[v].classes |= class << (3 * c)
		}
		for i, c := range lastFour(Digits(v)) {
			h.backs[v].shifts |= uint32(3*c) << (8 * i)
		}
	}
	h.join = make([]uint16, joinRows*joinRows*joinRow)
	fours := t.fours()
	for i := range h.join {
		row := i / joinRow
		h.join[i] = t.joined(fours[row/joinRows], fours[row%joinRows], i%joinRow)
	}
	return h
}

// joined gives the node of two shapes of four digits, with the classes that those of the second have
// in the first. Where these contradict each other it gives some node: no serial asks for it.
func (t *shapeTable) joined(front, back [4]uint8, classes int) uint16 {
	var f form
	copy(f[:4], front[:])
	for j := 3; j >= 0; j-- {
		f[4+j] = uint8(classes % 5)
		if f[4+j] == absent {
			f[4+j] += back[j]
		}
		classes /= 5
	}
	canonical(&f)
	return uint16(t.first[Places] + t.index(&f))
}

// fours gives the shapes of four digits in the order of their nodes: that of the shapes of eight
// that begin with them.
func (t *shapeTable) fours() (list [][4]uint8) {
	for _, f := range t.forms {
		front := [4]uint8(f[:4])
		if len(list) == 0 || list[len(list)-1] != front {
			list = append(list, front)
		}
	}
	return list
}
