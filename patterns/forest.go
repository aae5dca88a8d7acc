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
	nodes  intern[fork]
	unions treeMemo
	minus  treeMemo
	nears  treeMemo
}

// A fork is where each digit leads.
type fork [10]tree

func (k fork) hash() uint64 {
	h := uint64(0)
	for i := 0; i < len(k); i += 2 {
		h = mix(h, uint64(k[i])<<32|uint64(k[i+1]))
	}
	return h
}

// A treeMemo remembers what was made of two trees, or of a tree and a length.
type treeMemo struct {
	keys intern[treePair]
	made []tree
}

type treePair [2]tree

func (p treePair) hash() uint64 { return mix(0, uint64(p[0])<<32|uint64(p[1])) }

// make gives what was made of the pair before, or makes it.
func (m *treeMemo) make(a, b tree, fresh func() tree) tree {
	n, isNew := m.keys.of(treePair{a, b})
	if !isNew {
		return m.made[n]
	}
	m.made = append(m.made, none)
	t := fresh()
	m.made[n] = t
	return t
}

func newForest() *forest {
	f := &forest{nodes: newIntern[fork](1 << 15)}
	f.nodes.of(fork{}) // none leads to none
	everywhere := fork{}
	for c := range everywhere {
		everywhere[c] = every
	}
	f.nodes.of(everywhere)
	return f
}

// kids gives where each digit leads from a tree.
func (f *forest) kids(t tree) *fork { return &f.nodes.keys[t] }

// join gives the set of the strings that begin with digit c and go on with one of kids[c].
func (f *forest) join(kids fork) tree {
	n, _ := f.nodes.of(kids)
	return tree(n)
}

// then gives the strings of one digit for which ok holds, each followed by rest.
func (f *forest) then(ok func(digit int) bool, rest tree) tree {
	var kids fork
	for c := range kids {
		if ok(c) {
			kids[c] = rest
		}
	}
	return f.join(kids)
}

// digit gives the strings that begin with c and go on with one of rest.
func (f *forest) digit(c int, rest tree) tree {
	var kids fork
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
		var kids fork
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
		var kids fork
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
	return f.unions.make(a, b, func() tree {
		var kids fork
		for c := range kids {
			kids[c] = f.union(f.kids(a)[c], f.kids(b)[c])
		}
		return f.join(kids)
	})
}

// without gives the strings of a that are not in b.
func (f *forest) without(a, b tree) tree {
	switch {
	case a == none || b == every || a == b:
		return none
	case b == none:
		return a
	}
	return f.minus.make(a, b, func() tree {
		var kids fork
		for c := range kids {
			kids[c] = f.without(f.kids(a)[c], f.kids(b)[c])
		}
		return f.join(kids)
	})
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
	return f.nears.make(t, tree(length), func() tree {
		changed := f.othersThan(*f.kids(t))
		var kids fork
		for c := range kids {
			kids[c] = f.union(f.edited(f.kids(t)[c], length-1), changed[c])
			if length > 1 {
				kids[c] = f.union(kids[c], f.swapped(t, c))
			}
		}
		return f.join(kids)
	})
}

// othersThan gives for every digit c the union of what follows any other digit.
func (f *forest) othersThan(kids fork) (others fork) {
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
	var kids fork
	for next := range kids {
		kids[next] = f.kids(f.kids(t)[next])[c]
	}
	return f.join(kids)
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
		var kids fork
		for c := range kids {
			kids[c] = from(read(s, c), left-1)
		}
		t := f.join(kids)
		memo[k] = t
		return t
	}
	return from(start, length)
}
