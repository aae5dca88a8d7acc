package patterns

import (
	"fmt"
)

// UnreadSign stands for a digit that was not read. Machines that count and read notes print it so.
const UnreadSign = '?'

// A Could is one rule that a serial with unread digits could still meet. A filling is one choice of a
// digit for every unread place.
type Could struct {
	Rule ID
	Near bool // the fillings are near misses of the rule; else they meet it

	Fillings int      // how many fillings, 1 to Of
	Of       int      // how many there are: 10 to the number of unread digits
	First    []string // the lowest of them, at most three: the unread digits alone, from the left
	Equal    bool     // two or more digits are unread, and the fillings are those where all are equal

	// Told is in how many of the fillings a Judgement would tell the rule by its own name, and not by
	// a better one that is asked for, too: a solid is not told as a radar.
	Told int
}

// Always reports whether the rule holds whatever the unread digits are.
func (c Could) Always() bool { return c.Fillings == c.Of }

// Unread gives what a serial can still be of which some digits are not known: the rules of Hit that
// some filling meets, and then the rules of Near of which some filling is a near miss, both with the
// rarest rule first. Every count is exact, whatever the number of unread digits; 00000000 is counted,
// though it is not issued. The text is eight characters, 0 to 9 and UnreadSign; the error says what
// is wrong with it, also when nothing in it is unread.
func (b *Book) Unread(text string, of Watch) ([]Could, error) {
	u, err := b.unread(text, of)
	if err != nil {
		return nil, err
	}
	u.shapes(noDigits, 0, 1)
	u.values()
	u.better()
	u.first()
	u.equals()
	return u.list(), nil
}

// An unread is a serial with unread digits while it is counted.
type unread struct {
	book   *Book
	of     Watch
	places [Places]int        // the digit, or -1
	later  [Places + 1]uint16 // later[i]: bit c says that digit c stands at place i or behind it
	size   int                // how many fillings

	all    tally   // the fillings of every rule
	hidden [64]int // fillings that meet a rule and are told by a better name
	lowest [2][64][]string
	equal  [2]Set // the rules of which every filling of one digit is a match, or a near miss
}

// shown is how many fillings are told one by one.
const shown = 3

func (b *Book) unread(text string, of Watch) (*unread, error) {
	if len(text) != Places {
		return nil, fmt.Errorf("%q has %d characters, a serial has %d digits", text, len(text), Places)
	}
	u := &unread{book: b, of: of, size: 1}
	for i := Places - 1; i >= 0; i-- {
		u.later[i] = u.later[i+1]
		switch c := text[i]; {
		case c == UnreadSign:
			u.places[i] = -1
			u.size *= 10
		case '0' <= c && c <= '9':
			u.places[i] = int(c - '0')
			u.later[i] |= 1 << (c - '0')
		default:
			return nil, fmt.Errorf("%q: character %d is %q, neither a digit nor %c", text, i+1, c, UnreadSign)
		}
	}
	if u.size == 1 {
		return nil, fmt.Errorf("%q: all eight digits are read", text)
	}
	return u, nil
}

// shapes counts the fillings of the rules about equal digits. An unread digit is one that stands
// before it, one that stands behind it, or any of the others: these lead to the same shapes, so one
// is followed for all. No shape is met twice, so there are at most 4,140 ends.
func (u *unread) shapes(s shapeState, place, ways int) {
	t := u.book.shapes
	if place == Places {
		u.all.sum(ways, u.book.equal.match[s.node()], u.book.equal.near[s.node()])
		return
	}
	if c := u.places[place]; c >= 0 {
		u.shapes(t.step(s, uint(c)), place+1, ways)
		return
	}
	others, one := 0, uint(0)
	for c := range uint(10) {
		if s.class(c) == s.kinds() && u.later[place]>>c&1 == 0 {
			others, one = others+1, c
			continue
		}
		u.shapes(t.step(s, c), place+1, ways)
	}
	if others > 0 {
		u.shapes(t.step(s, one), place+1, ways*others)
	}
}

// values counts the fillings of the rules about particular digits: how many lead to each node.
func (u *unread) values() {
	t := u.book.values
	ways := map[uint32]int{t.root: 1}
	for _, c := range u.places {
		below := make(map[uint32]int)
		for n, w := range ways {
			if c >= 0 {
				below[t.next[n][c]] += w
				continue
			}
			for _, kid := range t.next[n] {
				below[kid] += w
			}
		}
		delete(below, nothing)
		ways = below
	}
	for n, w := range ways {
		u.all.sum(w, t.match[n], t.near[n])
	}
}

// better counts the fillings that go by a better name than a rule's own.
func (u *unread) better() {
	var names Set
	for _, id := range []ID{Solid, LadderUp, LadderDown} {
		names = names.With(id)
	}
	u.each(func() (Set, Set) { return names & u.of.Hit, 0 }, func(_ Digits, match, _ Set) {
		match &= u.of.Hit
		for _, id := range (match &^ told(match)).IDs() {
			u.hidden[id]++
		}
	})
}

// first finds the lowest fillings of every rule.
func (u *unread) first() {
	var left [2][64]int
	var open [2]Set
	for i, counts := range [2]*[64]int{&u.all.match, &u.all.near} {
		for _, id := range [2]Set{u.of.Hit, u.of.Near}[i].IDs() {
			if left[i][id] = min(counts[id], shown); left[i][id] > 0 {
				open[i] = open[i].With(id)
			}
		}
	}
	u.each(func() (Set, Set) { return open[0], open[1] }, func(d Digits, match, near Set) {
		for i, met := range [2]Set{match & open[0], near & open[1]} {
			for _, id := range met.IDs() {
				u.lowest[i][id] = append(u.lowest[i][id], u.filling(d))
				if left[i][id]--; left[i][id] == 0 {
					open[i] = open[i].Without(id)
				}
			}
		}
	})
}

// each goes by rising number through the fillings that match, or are a near miss of, one of the rules
// wanted, until none is wanted any more. It turns back where the digits so far leave none possible.
func (u *unread) each(want func() (match, near Set), found func(d Digits, match, near Set)) {
	b := u.book
	var from func(s shapeState, v uint32, place int, d Digits)
	from = func(s shapeState, v uint32, place int, d Digits) {
		match, near := b.equal.match[s.node()]|b.values.match[v], b.equal.near[s.node()]|b.values.near[v]
		wantMatch, wantNear := want()
		switch {
		case match&wantMatch == 0 && near&wantNear == 0:
			return
		case place == Places:
			found(d, match, near)
			return
		}
		low, high := 0, 9
		if c := u.places[place]; c >= 0 {
			low, high = c, c
		}
		for c := low; c <= high; c++ {
			from(b.shapes.step(s, uint(c)), b.values.next[v][c], place+1, d*10+Digits(c))
		}
	}
	from(noDigits, b.values.root, 0, 0)
}

// filling gives the digits at the unread places.
func (u *unread) filling(d Digits) string {
	var text []byte
	for i, c := range d.all() {
		if u.places[i] < 0 {
			text = append(text, '0'+c)
		}
	}
	return string(text)
}

// equals finds the rules that hold whenever all unread digits are equal.
func (u *unread) equals() {
	u.equal = [2]Set{^Set(0), ^Set(0)}
	for c := range 10 {
		var d Digits
		for _, read := range u.places {
			if read < 0 {
				read = c
			}
			d = d*10 + Digits(read)
		}
		match, near := u.book.Sets(d)
		u.equal[0] &= match
		u.equal[1] &= near
	}
}

// list gives what was found, in the order in which a Judgement tells it.
func (u *unread) list() []Could {
	var list []Could
	counts := [2]*[64]int{&u.all.match, &u.all.near}
	for i, asked := range [2]Set{u.of.Hit, u.of.Near} {
		for _, r := range u.book.specs {
			n := counts[i][r.ID]
			if n == 0 || !asked.Has(r.ID) {
				continue
			}
			c := Could{Rule: r.ID, Near: i == 1, Fillings: n, Of: u.size, First: u.lowest[i][r.ID], Told: n}
			c.Equal = n == 10 && u.size > 10 && u.equal[i].Has(r.ID)
			if !c.Near {
				c.Told -= u.hidden[r.ID]
			}
			list = append(list, c)
		}
	}
	return list
}
