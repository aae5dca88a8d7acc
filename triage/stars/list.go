package stars

import (
	"cmp"
	"fmt"
	"slices"
	"sort"
	"time"

	"app/unband/patterns"
	"app/unband/triage"
)

// A List is the known runs, ready for looking numbers up. The zero List is empty and ready to use.
type List struct {
	groups map[Group]*groupRuns
}

// groupRuns are the runs of one group by first number.
type groupRuns struct {
	runs []Run
	// reach[i] is the highest end among runs[:i+1]. Runs lie apart but for the twice-printed ones.
	reach  []patterns.Digits
	notes  int       // of all runs
	listed time.Time // the newest list that had one of them
}

// A ClashError says that a run cannot stand beside one that is known.
type ClashError struct {
	Run, Known Run
	Reason     string // in plain words
}

func (e *ClashError) Error() string { return e.Reason }

// NewList makes a list of runs. It takes what it is given, as from a file that was checked when it was
// written: runs that clash are all kept. Use Add for what comes from outside.
func NewList(runs []Run) *List {
	l := &List{}
	sorted := slices.Clone(runs)
	slices.SortStableFunc(sorted, Run.Compare)
	for _, r := range sorted {
		l.insert(r)
	}
	return l
}

// Merge gives what two listings of one run say together: what one leaves out is taken from the other,
// and the newer date.
func Merge(known, r Run) Run {
	known.Quantity = cmp.Or(known.Quantity, r.Quantity)
	known.Month = cmp.Or(known.Month, r.Month)
	known.Facility = cmp.Or(known.Facility, r.Facility)
	if r.Listed.After(known.Listed) {
		known.Listed = r.Listed
	}
	return known
}

// Add takes a run into the list. Added is false when the list has it already: the same numbers, and
// nothing said of them that differs; the list stays as it is then. An error says that there can be no
// such run, or is a *ClashError.
func (l *List) Add(r Run) (added bool, err error) {
	known, err := l.has(r)
	if known || err != nil {
		return false, err
	}
	l.insert(r)
	return true, nil
}

// has reports whether the list has the run already. An error says why it cannot be taken in.
func (l *List) has(r Run) (known bool, err error) {
	if err := r.Valid(); err != nil {
		return false, err
	}
	overlapping := l.overlapping(r)
	if slices.ContainsFunc(overlapping, func(known Run) bool { return sameRun(known, r) }) {
		return true, nil
	}
	for _, known := range overlapping {
		switch {
		case known.From == r.From && known.To == r.To && known.sameFacility(r):
			return false, &ClashError{r, known, "these numbers are known with " + difference(known, r)}
		case !twicePrinted(known, r):
			return false, &ClashError{r, known, fmt.Sprintf("it overlaps the run %v to %v", known.From, known.To)}
		}
	}
	return false, nil
}

// Enrich puts what a run says more into the run of the list that it is, and gives that run before and
// after. Later runs are compared with what is known then.
func (l *List) Enrich(r Run) (before, after Run) {
	before, ok := l.Known(r)
	if !ok {
		return Run{}, Run{}
	}
	after = Merge(before, r)
	if after == before {
		return before, after
	}
	g := l.groups[before.Group()]
	runs := slices.Clone(g.runs)
	runs[slices.Index(runs, before)] = after
	delete(l.groups, before.Group())
	for _, run := range runs {
		l.insert(run)
	}
	return before, after
}

// Known gives the run of the list that a run is, if it has it already.
func (l *List) Known(r Run) (known Run, ok bool) {
	for _, other := range l.overlapping(r) {
		if sameRun(other, r) {
			return other, true
		}
	}
	return Run{}, false
}

// sameRun reports whether two runs are one. What one of them does not say is no difference, nor is the
// list it was read from.
func sameRun(a, b Run) bool {
	return a.Group() == b.Group() && a.From == b.From && a.To == b.To && a.sameFacility(b) &&
		agree(a.Quantity, b.Quantity) && agree(a.Month, b.Month)
}

func (r Run) sameFacility(s Run) bool { return agree(r.Facility, s.Facility) }

// agree reports whether two values may be one; a zero is not said.
func agree[T comparable](a, b T) bool {
	var unsaid T
	return a == b || a == unsaid || b == unsaid
}

// difference tells two runs of the same numbers and facility apart.
func difference(known, r Run) string {
	if !agree(known.Quantity, r.Quantity) {
		return fmt.Sprintf("%s notes, not %s", triage.Thousands(known.Quantity), triage.Thousands(r.Quantity))
	}
	return fmt.Sprintf("%v, not %v", known.Month, r.Month)
}

// twicePrinted reports whether two runs may have numbers in common. Both facilities printed the stars
// of Series 2013 $1 New York from the same numbers (Coin World, "matching pair star note search";
// American Numismatic Association reading room, 2 May 2024); of no other group is this known.
func twicePrinted(a, b Run) bool {
	return a.Group() == Group{1, "2013", 'B'} && !a.sameFacility(b)
}

// insert keeps the runs of a group in order.
func (l *List) insert(r Run) {
	if l.groups == nil {
		l.groups = map[Group]*groupRuns{}
	}
	g := l.groups[r.Group()]
	if g == nil {
		g = &groupRuns{}
		l.groups[r.Group()] = g
	}
	i := sort.Search(len(g.runs), func(i int) bool { return g.runs[i].Compare(r) > 0 })
	g.runs = slices.Insert(g.runs, i, r)
	g.reach = slices.Insert(g.reach, i, 0)
	for ; i < len(g.runs); i++ {
		g.reach[i] = g.runs[i].To
		if i > 0 {
			g.reach[i] = max(g.reach[i], g.reach[i-1])
		}
	}
	g.notes += r.Notes()
	if r.Listed.After(g.listed) {
		g.listed = r.Listed
	}
}

// overlapping gives the known runs that have a number in common with r.
func (l *List) overlapping(r Run) (all []Run) {
	g := l.groups[r.Group()]
	if g == nil {
		return nil
	}
	for i := g.after(r.To) - 1; i >= 0 && g.reach[i] >= r.From; i-- {
		if g.runs[i].To >= r.From {
			all = append(all, g.runs[i])
		}
	}
	return all
}

// after is the index of the first run that begins after a number.
func (g *groupRuns) after(n patterns.Digits) int {
	return sort.Search(len(g.runs), func(i int) bool { return g.runs[i].From > n })
}

// Runs gives every run in the order of Run.Compare.
func (l *List) Runs() []Run {
	var all []Run
	for _, g := range l.groups {
		all = append(all, g.runs...)
	}
	slices.SortStableFunc(all, Run.Compare)
	return all
}
