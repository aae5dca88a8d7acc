package patterns

import "slices"

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

// table numbers the nodes in use level by level.
func (m *verdictMaker) table() *verdictTable {
	room := len(m.nodes.keys)
	t := &verdictTable{next: make([][10]uint32, 1, room), match: make([]Set, 1, room), near: make([]Set, 1, room)}
	number := make([]uint32, len(m.nodes.keys)) // 0: not met yet, or nothing
	level := m.number(t, number, nil, m.root)
	t.root = number[m.root]
	t.first[0] = 1
	for k := 0; k < Places; k++ {
		t.first[k+1] = len(t.match)
		var below []uint32
		for _, n := range level {
			var next [10]uint32
			for c, kid := range m.nodes.keys[n].kids {
				below = m.number(t, number, below, kid)
				next[c] = number[kid]
			}
			t.next = append(t.next, next)
		}
		level = below
	}
	t.first[Places+1] = len(t.match)
	t.next, t.match, t.near = slices.Clone(t.next), slices.Clone(t.match), slices.Clone(t.near)
	t.look()
	for v := range t.heads {
		digits := lastFour(Digits(v))
		t.heads[v] = t.walk(digits[:])
	}
	return t
}

// number gives a node its place in the table and adds it to the level, if it is new.
func (m *verdictMaker) number(t *verdictTable, number []uint32, level []uint32, n uint32) []uint32 {
	if n == nothing || number[n] != 0 {
		return level
	}
	number[n] = uint32(len(t.match))
	t.match = append(t.match, m.nodes.keys[n].match)
	t.near = append(t.near, m.nodes.keys[n].near)
	return append(level, n)
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
