package patterns

import (
	"cmp"
	"slices"
	"sync"
)

// A Book is a set of rules under one choice of Settings. It never changes after NewBook and may be
// used from several goroutines at once.
type Book struct {
	settings Settings
	specs    []spec        // rarest first
	place    [64]int8      // place[id]: where the rule is in specs, or -1
	shapes   *shapeTable   // what digits have in common; the same for every book
	equal    equalTable    // the rules about equal digits
	values   *verdictTable // the rules about particular digits

	mu    sync.Mutex
	tally *tally // the counts last asked for
}

// An equalTable has the rules about equal digits for every node of the shape table: what some
// completion matches or is a near miss of.
type equalTable struct{ match, near []Set }

// NewBook makes the rules that the settings describe. The error says which setting cannot be used
// and why; a *PatternError points at the character of an own pattern or number.
func NewBook(s Settings) (*Book, error) {
	s = s.clone() // the caller may go on editing theirs
	rules, err := specs(s)
	if err != nil {
		return nil, err
	}
	return bind(s, rules), nil
}

// bind makes the tables of a book.
func bind(s Settings, rules []spec) *Book {
	b := &Book{settings: s, specs: rules, shapes: shapes()}
	b.equal = b.shapes.apply(rules)
	b.values = plant(rules)
	b.rank()
	return b
}

// apply tests every shape against the rules about equal digits, and then looks for near misses
// among the shapes one edit away.
func (t *shapeTable) apply(rules []spec) equalTable {
	nodes, first := t.first[Places+1], t.first[Places]
	e := equalTable{match: make([]Set, nodes), near: make([]Set, nodes)}
	for s := range t.forms {
		for _, r := range rules {
			if r.shape != nil && r.shape(&t.forms[s]) {
				e.match[first+s] |= 1 << r.ID
			}
		}
	}
	for s, edits := range t.edits {
		for _, other := range edits {
			e.near[first+s] |= e.match[first+int(other)]
		}
		e.near[first+s] &^= e.match[first+s]
	}
	for n := first - 1; n >= 0; n-- {
		for c := 0; c <= int(t.kinds[n]); c++ {
			e.match[n] |= e.match[t.next[n][c]]
			e.near[n] |= e.near[t.next[n][c]]
		}
	}
	return e
}

// plant makes the machine for the rules about particular digits. Those with large trees come last:
// what is put in early is copied by everything that comes later.
func plant(rules []spec) *verdictTable {
	type trees struct {
		id          ID
		match, near tree
		cost        int
	}
	f := newForest()
	var list []trees
	for _, r := range rules {
		if r.tree != nil {
			before := len(f.nodes.keys)
			match := r.tree(f)
			near := f.near(match, Places)
			list = append(list, trees{r.ID, match, near, len(f.nodes.keys) - before})
		}
	}
	slices.SortStableFunc(list, func(a, b trees) int { return cmp.Compare(a.cost, b.cost) })
	m := newVerdictMaker(f)
	for _, t := range list {
		m.add(t.id, t.match, t.near)
	}
	return m.table()
}

// rank counts every rule over all strings and puts the rarest first.
func (b *Book) rank() {
	all := b.count(Total - 1)
	for i := range b.specs {
		r := &b.specs[i].Rule
		r.Total, r.NearTotal = all.match[r.ID], all.near[r.ID]
		if b.matches(0).Has(r.ID) {
			r.Total++
		}
		if b.nearly(0).Has(r.ID) {
			r.NearTotal++
		}
		r.HasNear = r.NearTotal > 0
	}
	slices.SortStableFunc(b.specs, func(x, y spec) int {
		return cmp.Or(cmp.Compare(x.Total, y.Total), cmp.Compare(x.ID, y.ID))
	})
	for i := range b.place {
		b.place[i] = -1
	}
	for i, r := range b.specs {
		b.place[r.ID] = int8(i)
	}
}

// Settings gives the definitions the book was made with.
func (b *Book) Settings() Settings { return b.settings.clone() }

// Rules gives every rule, the one with the fewest serials first.
func (b *Book) Rules() []Rule {
	rules := make([]Rule, len(b.specs))
	for i, r := range b.specs {
		rules[i] = r.Rule
	}
	return rules
}

// Rule gives the rule with that number, or false when this book has none.
func (b *Book) Rule(id ID) (Rule, bool) {
	if int(id) >= len(b.place) || b.place[id] < 0 {
		return Rule{}, false
	}
	return b.specs[b.place[id]].Rule, true
}

// Sets gives the rules a serial matches and the rules it is a near miss of: those it does not
// match, but would with one digit changed or two neighbouring digits swapped.
func (b *Book) Sets(d Digits) (match, near Set) {
	v := b.values
	n := v.heads[d/10_000]
	for _, c := range lastFour(d) {
		n = v.next[n][c]
	}
	s := b.shapes.whole.node(d)
	return b.equal.match[s] | v.match[n], b.equal.near[s] | v.near[n]
}

func (b *Book) matches(d Digits) Set { m, _ := b.Sets(d); return m }
func (b *Book) nearly(d Digits) Set  { _, n := b.Sets(d); return n }

// Stops reports whether the serial stops a sorter with that watch list.
func (b *Book) Stops(d Digits, w Watch) bool {
	match, near := b.Sets(d)
	return w.stops(match, near)
}

// Possible gives the rules that some completion of the prefix matches, and those that some
// completion is a near miss of. The prefix is zero to eight characters 0 to 9; of anything else
// nothing is possible.
func (b *Book) Possible(prefix string) (match, near Set) {
	if len(prefix) > Places {
		return 0, 0
	}
	s, n := noDigits, b.values.root
	for i := 0; i < len(prefix); i++ {
		digit := uint(prefix[i] - '0')
		if digit > 9 {
			return 0, 0
		}
		s = b.shapes.step(s, digit)
		n = b.values.next[n][digit]
	}
	return b.equal.match[s.node()] | b.values.match[n], b.equal.near[s.node()] | b.values.near[n]
}
