package patterns

// A Watch says which rules stop the sorter: by a hit, and by a near miss.
type Watch struct {
	Hit  Set `json:"hit"`
	Near Set `json:"near"`
}

// stops reports whether a serial with these findings stops the sorter.
func (w Watch) stops(match, near Set) bool { return match&w.Hit|near&w.Near != 0 }

// What is watched unless the user chooses otherwise, chosen so that a strap of 100 random notes
// stops about twice, and nine notes in ten are settled before their last digit.
const (
	hitsUpTo = 50_000 // a hit stops when no more than so many of all strings match
	nearUpTo = 20_000 // a near miss stops when no more than so many match: one in 5,000
)

// DefaultWatch gives the rules that stop a sorter who has chosen nothing.
func (b *Book) DefaultWatch() Watch {
	var w Watch
	for _, r := range b.specs {
		if r.Total <= hitsUpTo {
			w.Hit |= 1 << r.ID
		}
		if r.Total <= nearUpTo && r.ID != HighNumber {
			w.Near |= 1 << r.ID
		}
	}
	return w
}
