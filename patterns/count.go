package patterns

// A tally has, for one highest serial, how many serials have each shape and how many end in each
// leaf of the verdict table. Every count of a rule is a sum over these.
type tally struct {
	top    Digits
	shapes []int // by node of the shape table; the leaves are shapes
	leaves []int // by node of the verdict table
	match  [64]int
	near   [64]int
}

// Count is how many of the serials 1 to top match the rule. 00000000 is not issued.
func (b *Book) Count(id ID, top Digits) int {
	if id > LastTemplate {
		return 0
	}
	return b.count(top).match[id]
}

// NearCount is how many of the serials 1 to top are near misses of the rule.
func (b *Book) NearCount(id ID, top Digits) int {
	if id > LastTemplate {
		return 0
	}
	return b.count(top).near[id]
}

// count gives the counts of all rules under a highest serial, and keeps them: the same is likely
// to be asked next. A top above 99,999,999 counts as that.
func (b *Book) count(top Digits) *tally {
	top = min(top, Total-1)
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.tally == nil || b.tally.top != top {
		b.tally = b.add(top)
	}
	return b.tally
}

func (b *Book) add(top Digits) *tally {
	t := &tally{top: top, shapes: b.shapes.count(top), leaves: b.values.count(top)}
	for n := b.shapes.first[Places]; n < len(t.shapes); n++ {
		t.sum(t.shapes[n], b.equal.match[n], b.equal.near[n])
	}
	for n := b.values.first[Places]; n < len(t.leaves); n++ {
		t.sum(t.leaves[n], b.values.match[n], b.values.near[n])
	}
	match, near := b.Sets(0)
	t.sum(-1, match, near)
	return t
}

func (t *tally) sum(n int, match, near Set) {
	for _, id := range match.IDs() {
		t.match[id] += n
	}
	for _, id := range near.IDs() {
		t.near[id] += n
	}
}

// count gives for every node of the shape table how many prefixes of the serials 0 to top lead to
// it; of those serials themselves, for the nodes with eight digits.
func (t *shapeTable) count(top Digits) []int {
	ways := make([]int, t.first[Places+1])
	bound := noDigits // the digits of top itself are followed one by one, beside the ways
	for k, digit := range top.all() {
		for c := uint(0); c < uint(digit); c++ {
			ways[t.step(bound, c).node()]++
		}
		for n := t.first[k]; n < t.first[k+1]; n++ {
			for c := 0; c <= int(t.kinds[n]); c++ {
				ways[t.next[n][c]] += ways[n] * choices(t.kinds[n], c)
			}
		}
		bound = t.step(bound, uint(digit))
	}
	ways[bound.node()]++
	return ways
}

// count gives for every node of the verdict table how many prefixes of the serials 0 to top lead to
// it; of those serials themselves, for the leaves.
func (t *verdictTable) count(top Digits) []int {
	ways := make([]int, t.first[Places+1])
	bound := t.root
	for k, digit := range top.all() {
		for c := uint8(0); c < digit; c++ {
			ways[t.next[bound][c]]++
		}
		for n := t.first[k]; n < t.first[k+1]; n++ {
			if ways[n] != 0 {
				for _, kid := range t.next[n] {
					ways[kid] += ways[n]
				}
			}
		}
		bound = t.next[bound][digit]
	}
	ways[bound]++
	return ways
}
