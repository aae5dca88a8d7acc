package demo

import (
	"fmt"
	"time"

	"app/unband/store"
	"app/unband/triage"
	"app/unband/triage/counting"
)

// A pile is one session of the market.
type pile struct {
	name, source string
	days         int // how long ago it was
	face         triage.Denomination
	way          way
	straps       int
	wonders      []wonder
	left         left
}

// A way is how the straps of a pile are sorted.
type way uint8

const (
	byHand     way = iota // used notes, one after the other
	inSequence            // new notes: the first number and the last are read
	fromList              // used notes that a counting machine has listed
)

// left is where a pile was left.
type left uint8

const (
	signedOff  left = iota // counted back, and closed
	uncounted              // closed without being counted
	miscounted             // counted back one note short, and closed
	unlooked               // sorted, but near misses wait for the second look
	unreturned             // sorted and looked at, but not counted back
	sorting                // in the middle of its second strap
)

// A wonder is a note worth looking at, put into a pile of ordinary ones.
type wonder struct {
	strap, position int
	what            kind
}

// piles are the sessions of the market, the oldest first.
var piles = []pile{
	{"spring cleaning of the float", "Harbour branch, till 2", 171, 1, byHand, 2,
		[]wonder{{1, 23, radar}, {1, 61, old}, {1, 88, stamped}, {2, 17, fourPairs}, {2, 54, mistyped}}, signedOff},
	{"float, rainy Saturday", "Station Road branch", 140, 1, byHand, 2,
		[]wonder{{1, 9, binary}, {1, 70, odd}, {2, 33, repeater}, {2, 90, unread}}, signedOff},
	{"fives for change", "Harbour branch, till 2", 118, 5, byHand, 1,
		[]wonder{{1, 12, radar}, {1, 47, suspect}, {1, 80, old}}, signedOff},
	{"new ones for the raffle", "Mill Lane branch", 97, 1, inSequence, 1, nil, signedOff},
	{"float, book fair", "Station Road branch", 76, 1, byHand, 2,
		[]wonder{{1, 31, sixInARow}, {1, 66, old}, {2, 8, misprinted}, {2, 72, repeater}}, miscounted},
	{"float, counted by machine", "Harbour branch, machine", 55, 1, fromList, 2,
		[]wonder{{1, 28, radar}, {1, 75, unread}, {2, 51, fourPairs}}, uncounted},
	{"float, harvest market", "Station Road branch", 34, 1, byHand, 2,
		[]wonder{{1, 4, rotator}, {1, 59, stamped}, {2, 20, old}, {2, 65, own}}, signedOff},
	{"float, evening market", "Mill Lane branch", 20, 1, byHand, 2,
		[]wonder{{1, 36, lowNumber}, {1, 77, nearRadar}, {2, 41, nearRepeater}, {2, 83, binary}}, unlooked},
	{"float, small market", "Harbour branch, till 2", 6, 1, byHand, 1,
		[]wonder{{1, 14, sevenAlike}, {1, 52, old}, {1, 69, misprinted}}, unreturned},
	{"float, this Saturday", "Harbour branch, till 2", 0, 1, byHand, 3,
		[]wonder{{1, 19, fourPairs}, {1, 55, nearRadar}, {2, 11, nearRepeater}, {2, 27, repeater}, {2, inHand, radar}}, sorting},
}

// inHand is the note of the last strap at which the sorter has left the table.
const inHand = 43

// pile sorts a session from its first strap to where it was left.
func (m *market) pile(p pile) {
	m.at = m.evening(p.days)
	r := m.do(store.AddSession{Session: triage.Session{
		Name: p.name, Source: p.source, Denomination: p.face, NewNotes: p.way == inSequence, Straps: p.straps, StrapNotes: fullStrap,
		Opened: m.at, Touched: m.at, OldBefore: m.choices.OldLimit(p.face), Watch: m.choices.Watch, Wishes: m.choices.Wishes, Settings: m.choices.Settings,
	}})
	m.faces[r.Session.ID] = p.face
	switch p.way {
	case inSequence:
		m.sequence()
	case fromList:
		m.list(p)
	default:
		for number := 1; number <= p.straps && m.err == nil && !(p.left == sorting && number > 2); number++ {
			m.wait(m.about(2 * time.Minute)) // cuts the band
			m.strap(number, m.deck(p, number), p.left == sorting && number == 2)
		}
	}
	m.leave(p)
}

// evening is when a session of some days ago began, and for today so long ago that the sitting fits in before now.
func (m *market) evening(days int) time.Time {
	if days == 0 {
		return m.now.Add(-25 * time.Minute).Truncate(time.Second)
	}
	y, month, d := m.now.Date()
	begin := time.Date(y, month, d-days, 18, 30, 0, 0, m.now.Location())
	return begin.Add(m.about(time.Hour)).Truncate(time.Second)
}

// fullStrap is how many notes a band promises.
const fullStrap = 100

// deck gives the notes of a strap of used ones, its wonders in their places.
func (m *market) deck(p pile, number int) []slip {
	deck := make([]slip, fullStrap)
	for i := range deck {
		deck[i] = m.ordinary(p.face)
	}
	for _, w := range p.wonders {
		if w.strap == number {
			deck[w.position-1] = m.wonderful(w.what, p.face)
		}
	}
	if p.left == miscounted && number == p.straps {
		deck = deck[:fullStrap-1] // the band promised one more
	}
	return deck
}

// leave does with a sorted session what its sorter did.
func (m *market) leave(p pile) {
	switch p.left {
	case sorting, unlooked:
		return
	case unreturned:
		m.secondLook(0)
		return
	}
	m.secondLook(keptAfter[p.days])
	m.wait(m.about(4 * time.Minute))
	if p.left == uncounted {
		m.do(store.PutSession{Session: m.session.After(triage.Event{Kind: triage.ClosedUncounted, At: m.at, Back: m.together().Back()})})
		return
	}
	m.countBack(p.left == miscounted)
}

// keptAfter is of how many near misses the sorter has thought better in the second look, by the days of the pile.
var keptAfter = map[int]int{171: 1, 76: 1}

// secondLook goes through the near misses that wait. The first ones are kept after all.
func (m *market) secondLook(keep int) {
	waiting, err := m.store.Waiting(m.session.ID)
	if err != nil {
		m.fail(err)
	}
	if m.err != nil || len(waiting) == 0 {
		return
	}
	look := triage.NewSecondLook(m.session, waiting, m.rules, m.at)
	for tries := 0; look.Left() > 0 && m.err == nil; tries++ {
		if tries > 4*len(waiting) {
			m.fail(fmt.Errorf("the second look does not end"))
		}
		m.wait(2*time.Second + m.about(5*time.Second))
		key := triage.Key{Kind: triage.KeySpend}
		if _, kept := look.Answered(); kept < keep {
			key.Kind = triage.KeyKeep
		}
		if e := look.Press(key, m.at); e.Decide != nil {
			r := m.do(store.Decide{Note: *e.Decide})
			look.Stored(r.Session, m.at)
		}
	}
}

// together is the session's count as it stands.
func (m *market) together() counting.Line {
	straps, err := m.store.Straps(m.session.ID)
	if err != nil {
		m.fail(err)
	}
	return counting.New(m.session, straps, nil).Together()
}

// countBack counts the rest of a session, puts a note in place of each keeper, and signs it off. lost says that one
// note fewer was counted than was entered.
func (m *market) countBack(lost bool) {
	straps, err := m.store.Straps(m.session.ID)
	if err != nil {
		m.fail(err)
	}
	for _, t := range straps {
		kept := counting.New(m.session, []triage.Strap{t}, nil).Together().Kept
		m.do(store.PutBack{Session: t.Session, Strap: t.Number, Back: triage.Back{InPlace: kept, Replaced: true}})
	}
	counted := m.together().Back()
	if lost {
		counted--
	}
	m.do(store.PutBack{Session: m.session.ID, Back: triage.Back{Counted: counted, Said: true}})
	all := m.together()
	m.wait(m.about(time.Minute))
	m.do(store.PutSession{Session: m.session.After(triage.Event{Kind: triage.SignedOff, At: m.at, Back: all.Back(), Counted: all.Counted})})
}
