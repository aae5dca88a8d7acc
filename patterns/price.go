package patterns

// Price counts the serials 1 to top that a watch list stops: those with a shape it watches, and
// those with watched digits whose shape it does not. A serial that stops for several reasons counts
// once. A top above 99,999,999 counts as that.
func (b *Book) Price(w Watch, top Digits) Price {
	t := b.count(top)
	p := Price{Top: t.top}
	p.Hits = b.stopped(Watch{Hit: w.Hit}, t)
	p.NearOnly = b.stopped(w, t) - p.Hits
	return p
}

// stopped counts the serials 1 to the tally's top that stop.
func (b *Book) stopped(w Watch, t *tally) int {
	u := b.union(w)
	n := 0
	for s := b.shapes.first[Places]; s < len(t.shapes); s++ {
		if u.equal[s] > 0 {
			n += t.shapes[s]
		}
	}
	n += u.beyond(t.top)
	if b.Stops(0, w) {
		n--
	}
	return n
}

// A union counts the serials that stop by their digits and not by their shape. Both tables are
// walked together, but only where the answer is not yet known from one of them alone.
type union struct {
	book   *Book
	equal  []int32 // by node of the shape table: how many completions stop by their shape
	values []int32 // by node of the verdict table: how many completions stop by their digits
}

// size[k] is how many completions a string of k digits has.
var size = [Places + 1]int32{100_000_000, 10_000_000, 1_000_000, 100_000, 10_000, 1_000, 100, 10, 1}

func (b *Book) union(w Watch) *union {
	u := &union{book: b, equal: make([]int32, len(b.equal.match)), values: make([]int32, len(b.values.match))}
	t := b.shapes
	for n := len(u.equal) - 1; n >= 0; n-- {
		if n >= t.first[Places] {
			u.equal[n] = one(w.stops(b.equal.match[n], b.equal.near[n]))
			continue
		}
		for c := 0; c <= int(t.kinds[n]); c++ {
			u.equal[n] += u.equal[t.next[n][c]] * int32(choices(t.kinds[n], c))
		}
	}
	v := b.values
	for n := len(u.values) - 1; n > nothing; n-- {
		if n >= v.first[Places] {
			u.values[n] = one(w.stops(v.match[n], v.near[n]))
			continue
		}
		for _, kid := range v.next[n] {
			u.values[n] += u.values[kid]
		}
	}
	return u
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
	shapes := &u.book.shapes.next[s.node()]
	for c, kid := range u.book.values.next[v] {
		n += u.values[kid] & (1 - u.equal[shapes[s.class(uint(c))&7]])
	}
	return n
}
