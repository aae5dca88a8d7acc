package patterns

// A tree is a set of strings of digits, all of the same length: where a digit leads from the root
// is the set of what may follow it. Equal sets are the same tree (a reduced decision diagram), so
// that the rotators, the dates or a template are a few hundred nodes whatever they match.
//
// Two trees stand for any length: none, which holds no string, and every, which holds all.
type tree uint32

const (
	none  tree = 0
	every tree = 1
)

// A forest owns trees. It is used while a book is made, and thrown away.
type forest struct {
	kids   [][10]tree
	index  map[[10]tree]tree
	unions map[[2]tree]tree
	minus  map[[2]tree]tree
	nears  map[nearKey]tree
}

type nearKey struct {
	t      tree
	length int
}

func newForest() *forest {
	f := &forest{
		kids:   make([][10]tree, 2, 1<<12),
		index:  make(map[[10]tree]tree, 1<<12),
		unions: map[[2]tree]tree{},
		minus:  map[[2]tree]tree{},
		nears:  map[nearKey]tree{},
	}
	for c := range f.kids[every] {
		f.kids[every][c] = every
	}
	f.index[f.kids[none]] = none
	f.index[f.kids[every]] = every
	return f
}

// join gives the set of the strings that begin with digit c and go on with one of kids[c].
func (f *forest) join(kids [10]tree) tree {
	if t, ok := f.index[kids]; ok {
		return t
	}
	t := tree(len(f.kids))
	f.kids = append(f.kids, kids)
	f.index[kids] = t
	return t
}

// then gives the strings of one digit for which ok holds, each followed by rest.
func (f *forest) then(ok func(digit int) bool, rest tree) tree {
	var kids [10]tree
	for c := range kids {
		if ok(c) {
			kids[c] = rest
		}
	}
	return f.join(kids)
}

// digit gives the strings that begin with c and go on with one of rest.
func (f *forest) digit(c int, rest tree) tree {
	var kids [10]tree
	kids[c] = rest
	return f.join(kids)
}

// number gives the strings that begin with v, written with so many digits, and go on with rest.
func (f *forest) number(v, length int, rest tree) tree {
	for ; length > 0; length-- {
		rest = f.digit(v%10, rest)
		v /= 10
	}
	return rest
}

// numbers gives, for every v of so many digits, v followed by rest(v).
func (f *forest) numbers(length int, rest func(v int) tree) tree {
	var from func(v, left int) tree
	from = func(v, left int) tree {
		if left == 0 {
			return rest(v)
		}
		var kids [10]tree
		for c := range kids {
			kids[c] = from(v*10+c, left-1)
		}
		return f.join(kids)
	}
	return from(0, length)
}

// between gives the strings of so many digits from low to high, both included.
func (f *forest) between(low, high, length int) tree {
	size := 1
	for i := 0; i < length; i++ {
		size *= 10
	}
	var from func(start, size int) tree
	from = func(start, size int) tree {
		switch end := start + size - 1; {
		case end < low || start > high:
			return none
		case low <= start && end <= high:
			return every
		}
		var kids [10]tree
		for c := range kids {
			kids[c] = from(start+c*(size/10), size/10)
		}
		return f.join(kids)
	}
	return from(0, size)
}

// union gives the strings of either set.
func (f *forest) union(a, b tree) tree {
	switch {
	case a > b:
		return f.union(b, a)
	case a == none || a == b:
		return b
	case a == every:
		return every
	}
	key := [2]tree{a, b}
	if t, ok := f.unions[key]; ok {
		return t
	}
	var kids [10]tree
	for c := range kids {
		kids[c] = f.union(f.kids[a][c], f.kids[b][c])
	}
	t := f.join(kids)
	f.unions[key] = t
	return t
}

// without gives the strings of a that are not in b.
func (f *forest) without(a, b tree) tree {
	switch {
	case a == none || b == every || a == b:
		return none
	case b == none:
		return a
	}
	key := [2]tree{a, b}
	if t, ok := f.minus[key]; ok {
		return t
	}
	var kids [10]tree
	for c := range kids {
		kids[c] = f.without(f.kids[a][c], f.kids[b][c])
	}
	t := f.join(kids)
	f.minus[key] = t
	return t
}

// near gives the strings of that length that are not in t, but would be with one digit changed or
// with two neighbouring digits swapped.
func (f *forest) near(t tree, length int) tree {
	return f.without(f.edited(t, length), t)
}

// edited gives every string that one edit, or a swap of equal digits, puts into t. Whatever digit
// comes first, the edit is still to come, or was a change of this digit, or swaps it with the next.
func (f *forest) edited(t tree, length int) tree {
	if t == none || length == 0 {
		return none
	}
	key := nearKey{t, length}
	if done, ok := f.nears[key]; ok {
		return done
	}
	changed := f.othersThan(f.kids[t])
	var kids [10]tree
	for c := range kids {
		later := f.edited(f.kids[t][c], length-1)
		kids[c] = f.union(later, changed[c])
		if length > 1 {
			kids[c] = f.union(kids[c], f.swapped(t, c))
		}
	}
	done := f.join(kids)
	f.nears[key] = done
	return done
}

// othersThan gives for every digit c the union of what follows any other digit.
func (f *forest) othersThan(kids [10]tree) (others [10]tree) {
	var left, right tree
	for c := range kids {
		others[c] = left
		left = f.union(left, kids[c])
	}
	for c := len(kids) - 1; c >= 0; c-- {
		others[c] = f.union(others[c], right)
		right = f.union(right, kids[c])
	}
	return others
}

// swapped gives what may follow digit c when the next digit and c, in this order, begin a string
// of t.
func (f *forest) swapped(t tree, c int) tree {
	var kids [10]tree
	for next := range kids {
		kids[next] = f.kids[f.kids[t][next]][c]
	}
	return f.join(kids)
}

// count gives how many strings of that length t holds.
func (f *forest) count(t tree, length int) int {
	memo := map[nearKey]int{}
	var from func(t tree, length int) int
	from = func(t tree, length int) int {
		switch {
		case t == none:
			return 0
		case length == 0:
			return 1
		}
		key := nearKey{t, length}
		if n, ok := memo[key]; ok {
			return n
		}
		n := 0
		for _, kid := range f.kids[t] {
			n += from(kid, length-1)
		}
		memo[key] = n
		return n
	}
	return from(t, length)
}

// scan gives the strings of that length a small machine accepts: it starts in a state, reads the
// digits from the left, and says at the end whether it liked them.
func scan[S comparable](f *forest, length int, start S, read func(S, int) S, accept func(S) bool) tree {
	type key struct {
		state S
		left  int
	}
	memo := map[key]tree{}
	var from func(s S, left int) tree
	from = func(s S, left int) tree {
		if left == 0 {
			if accept(s) {
				return every
			}
			return none
		}
		k := key{s, left}
		if t, ok := memo[k]; ok {
			return t
		}
		var kids [10]tree
		for c := range kids {
			kids[c] = from(read(s, c), left-1)
		}
		t := f.join(kids)
		memo[k] = t
		return t
	}
	return from(start, length)
}
