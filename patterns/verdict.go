package patterns

// A verdictTable is one machine for all rules that speak of particular digits: it reads a serial
// from the left and ends in a leaf that says which of those rules match and which are near misses.
// Every node knows what is still possible below it.
type verdictTable struct {
	next  [][10]uint32    // next[n][c]: where digit c leads from node n; nothing for node 0
	match []Set           // match[n]: the rules some serial below node n matches
	near  []Set           // near[n]: the rules some serial below node n is a near miss of
	first [Places + 2]int // first[k]: the first node with k digits read; first[9]: how many nodes
	root  uint32
	heads [10_000]uint32 // heads[v]: where the four digits of v lead
}

// nothing is the node below which no rule matches and none is near, whatever follows.
const nothing = 0

// walk gives the node that the digits lead to.
func (t *verdictTable) walk(digits []uint8) uint32 {
	n := t.root
	for _, c := range digits {
		n = t.next[n][c]
	}
	return n
}

// A verdictMaker puts the trees of the rules together, one rule after the other.
type verdictMaker struct {
	forest *forest
	nodes  intern[verdictNode]
	merges intern[mergeKey]
	merged []uint32 // by number of merge
	root   uint32
}

// A verdictNode is an inner node (kids) or a leaf (match and near).
type verdictNode struct {
	kids        [10]uint32
	match, near Set
}

func (v verdictNode) hash() uint64 {
	h := mix(uint64(v.match), uint64(v.near))
	for i := 0; i < len(v.kids); i += 2 {
		h = mix(h, uint64(v.kids[i])<<32|uint64(v.kids[i+1]))
	}
	return h
}

// A mergeKey is a place where a node and the two trees of a rule meet.
type mergeKey struct {
	node        uint32
	match, near tree
	left        uint32 // digits still to come
}

func (k mergeKey) hash() uint64 {
	return mix(mix(uint64(k.left), uint64(k.node)<<32|uint64(k.match)), uint64(k.near))
}

func newVerdictMaker(f *forest) *verdictMaker {
	m := &verdictMaker{forest: f, nodes: newIntern[verdictNode](1 << 15), merges: newIntern[mergeKey](1 << 13)}
	m.root, _ = m.nodes.of(verdictNode{})
	return m
}

// add puts in the serials that match a rule and those that are near misses of it.
func (m *verdictMaker) add(id ID, match, near tree) {
	m.merges.reset()
	m.merged = m.merged[:0]
	m.root = m.merge(id, mergeKey{m.root, match, near, Places})
}

func (m *verdictMaker) merge(id ID, k mergeKey) uint32 {
	if k.match == none && k.near == none {
		return k.node
	}
	at, fresh := m.merges.of(k)
	if !fresh {
		return m.merged[at]
	}
	m.merged = append(m.merged, 0)
	v := m.nodes.keys[k.node]
	switch {
	case k.left > 0:
		match, near := m.forest.kids(k.match), m.forest.kids(k.near)
		for c := range v.kids {
			v.kids[c] = m.merge(id, mergeKey{v.kids[c], match[c], near[c], k.left - 1})
		}
	case k.match == every:
		v.match = v.match.With(id)
	default:
		v.near = v.near.With(id)
	}
	m.merged[at], _ = m.nodes.of(v)
	return m.merged[at]
}

// table copies the nodes in use, level by level.
func (m *verdictMaker) table() *verdictTable {
	order, first := m.levels()
	number := make([]uint32, len(m.nodes.keys))
	for i, n := range order {
		number[n] = uint32(i)
	}
	t := &verdictTable{
		next:  make([][10]uint32, first[Places]),
		match: make([]Set, len(order)),
		near:  make([]Set, len(order)),
		first: first,
		root:  number[m.root],
	}
	for i, n := range order {
		v := &m.nodes.keys[n]
		t.match[i], t.near[i] = v.match, v.near
		for c := 0; i < len(t.next) && c < len(v.kids); c++ {
			t.next[i][c] = number[v.kids[c]]
		}
	}
	t.look()
	for v := range t.heads {
		digits := lastFour(Digits(v))
		t.heads[v] = t.walk(digits[:])
	}
	return t
}

// levels lists nothing, and then the nodes in use by the number of digits that lead to them;
// first[k] is where those with k digits begin.
func (m *verdictMaker) levels() (order []uint32, first [Places + 2]int) {
	met := make([]bool, len(m.nodes.keys))
	add := func(n uint32) {
		if !met[n] {
			met[n] = true
			order = append(order, n)
		}
	}
	add(nothing)
	first[0] = len(order)
	add(m.root)
	for k := 0; k < Places; k++ {
		first[k+1] = len(order)
		for _, n := range order[first[k]:first[k+1]] {
			for _, kid := range m.nodes.keys[n].kids {
				add(kid)
			}
		}
	}
	first[Places+1] = len(order)
	return order, first
}

// look carries what is possible from the leaves up to the root.
func (t *verdictTable) look() {
	for n := len(t.next) - 1; n > nothing; n-- {
		for _, kid := range t.next[n] {
			t.match[n] |= t.match[kid]
			t.near[n] |= t.near[kid]
		}
	}
}
