package patterns

// Settling counts after how many digits the serials 1 to top are settled under a watch list.
// A top above 99,999,999 counts as that.
func (b *Book) Settling(w Watch, top Digits) Settling {
	top = min(top, Total-1)
	s := Settling{Top: top}
	open := b.open(w, top)
	before := int(top)
	for k, n := range open {
		s.After[k] = before - n
		before = n
	}
	s.After[Places] = before
	return s
}

// open gives for every k below eight how many of the serials 1 to top have k first digits that
// leave a stop possible.
func (b *Book) open(w Watch, top Digits) [Places]int {
	o := &opening{book: b, watch: w, equal: b.shapes.openings(b.equal, w), values: b.values.openings(w)}
	s, v := noDigits, b.values.root
	for k, digit := range top.all() {
		o.prefix(s, v, k, int(top)%int(size[k])+1)
		for c := uint(0); c < uint(digit) && k+1 < Places; c++ {
			o.below(b.shapes.step(s, c), b.values.next[v][c], k+1)
		}
		s, v = b.shapes.step(s, uint(digit)), b.values.next[v][digit]
	}
	s, v = noDigits, b.values.root
	for k := range o.count { // 00000000 is among them so far
		o.prefix(s, v, k, -1)
		s, v = b.shapes.step(s, 0), b.values.next[v][0]
	}
	return o.count
}

// openings has, for a node with k digits and every i from k to 7, how many completions are still
// open after i digits.
type openings [Places]int32

// An opening adds up the open serials. As in a union, both tables are walked together only where
// both are open.
type opening struct {
	book   *Book
	watch  Watch
	equal  []openings // by node of the shape table, as if there were only rules about equal digits
	values []openings // by node of the verdict table, as if there were only the others
	count  [Places]int
}

// prefix adds the given number of serials to those open after k digits, if they are.
func (o *opening) prefix(s shapeState, v uint32, k, serials int) {
	if o.equal[s.node()][k] > 0 || o.values[v][k] > 0 {
		o.count[k] += serials
	}
}

// below adds all serials that begin with k digits which lead to s and v.
func (o *opening) below(s shapeState, v uint32, k int) {
	equal, values := &o.equal[s.node()], &o.values[v]
	switch {
	case values[k] == 0:
		o.add(equal, k)
		return
	case equal[k] == 0:
		o.add(values, k)
		return
	}
	o.count[k] += int(size[k])
	if k+1 == Places {
		return
	}
	for c, kid := range o.book.values.next[v] {
		o.below(o.book.shapes.step(s, uint(c)), kid, k+1)
	}
}

func (o *opening) add(n *openings, from int) {
	for i := from; i < Places; i++ {
		o.count[i] += int(n[i])
	}
}

func (t *shapeTable) openings(e equalTable, w Watch) []openings {
	all := make([]openings, t.first[Places])
	for k := Places - 1; k >= 0; k-- {
		for n := t.first[k]; n < t.first[k+1]; n++ {
			if !w.stops(e.match[n], e.near[n]) {
				continue
			}
			all[n][k] = size[k]
			for c := 0; k+1 < Places && c <= int(t.kinds[n]); c++ {
				all[n].plus(&all[t.next[n][c]], k+1, choices(t.kinds[n], c))
			}
		}
	}
	return all
}

func (t *verdictTable) openings(w Watch) []openings {
	all := make([]openings, t.first[Places])
	for k := Places - 1; k >= 0; k-- {
		for n := t.first[k]; n < t.first[k+1]; n++ {
			if !w.stops(t.match[n], t.near[n]) {
				continue
			}
			all[n][k] = size[k]
			for c := 0; k+1 < Places && c < 10; c++ {
				all[n].plus(&all[t.next[n][c]], k+1, 1)
			}
		}
	}
	return all
}

func (o *openings) plus(other *openings, from, times int) {
	for i := from; i < Places; i++ {
		o[i] += other[i] * int32(times)
	}
}
