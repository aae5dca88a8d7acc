package patterns

// A Book is a set of rules under one choice of Settings. It never changes after NewBook and may be
// used from several goroutines at once.
type Book struct {
	settings Settings
	rules    []Rule // rarest first
	byID     [64]int8
}

// NewBook makes the rules that the settings describe. The error names the setting that cannot be
// used.
func NewBook(s Settings) (*Book, error) { return &Book{settings: s}, nil }

// Settings gives the definitions the book was made with.
func (b *Book) Settings() Settings { return b.settings }

// Rules gives every rule, the one with the fewest serials first.
func (b *Book) Rules() []Rule { return b.rules }

// Rule gives the rule with that number, or false when this book has none.
func (b *Book) Rule(id ID) (Rule, bool) { return Rule{}, false }

// Count is how many of the serials 1 to top match the rule.
func (b *Book) Count(id ID, top Digits) int { return 0 }

// NearCount is how many of the serials 1 to top are near misses of the rule.
func (b *Book) NearCount(id ID, top Digits) int { return 0 }

// Sets gives the rules a serial matches and the rules it is a near miss of.
func (b *Book) Sets(d Digits) (match, near Set) { return 0, 0 }

// Judge gives everything the book knows about one serial.
func (b *Book) Judge(d Digits) Judgement { return Judgement{Digits: d} }

// DefaultWatch gives the rules that stop a sorter who has chosen nothing.
func (b *Book) DefaultWatch() Watch { return Watch{} }

// Stops reports whether the serial stops a sorter with that watch list.
func (b *Book) Stops(d Digits, w Watch) bool {
	m, n := b.Sets(d)
	return m&w.Hit != 0 || n&w.Near != 0
}

// Possible gives the rules that some completion of the prefix matches, and those that some
// completion is a near miss of. The prefix is zero to eight characters 0 to 9.
func (b *Book) Possible(prefix string) (match, near Set) { return 0, 0 }

// Price counts the serials 1 to top that a watch list stops.
func (b *Book) Price(w Watch, top Digits) Price { return Price{Top: top} }

// Settling counts after how many digits the serials 1 to top are settled.
func (b *Book) Settling(w Watch, top Digits) Settling { return Settling{Top: top} }
