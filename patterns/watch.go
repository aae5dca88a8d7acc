package patterns

// A Watch says which rules stop the sorter: by a hit, and by a near miss.
type Watch struct {
	Hit  Set `json:"hit"`
	Near Set `json:"near"`
}

// stops reports whether a serial with these findings stops the sorter.
func (w Watch) stops(match, near Set) bool { return match&w.Hit|near&w.Near != 0 }

// What is watched unless the user chooses otherwise. A strap of 100 random notes under a top of
// 96,000,000 then stops 1.8 times on average, 58 % of the notes are settled after six digits and
// 90 % after seven, and 6.52 digits are typed; the tests hold these figures.
const (
	hitsUpTo  = 50_000  // a hit stops when at most so many of all strings match: one in 2,000
	nearUpTo  = 20_000  // a near miss stops when at most so many match: one in 5,000
	datesUpTo = 500_000 // dates stop by a hit unless the years reach so far that they are common
)

// DefaultWatch gives the rules that stop a sorter who has chosen nothing: hits of the rare rules, of
// dates and of everything the user has made, and near misses of the very rare ones. Near misses of a
// high number are left out: one note in 260 is one, and few who like the number like its neighbours.
func (b *Book) DefaultWatch() Watch {
	var w Watch
	for _, r := range b.specs {
		own := ownRules.Has(r.ID) && r.ID != Date
		if r.Total <= hitsUpTo || own || r.ID == Date && r.Total <= datesUpTo {
			w.Hit = w.Hit.With(r.ID)
		}
		if r.Total <= nearUpTo && r.ID != HighNumber {
			w.Near = w.Near.With(r.ID)
		}
	}
	return w
}
