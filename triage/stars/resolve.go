package stars

import (
	"time"

	"app/unband/patterns"
)

// A Status is where a star stands in the list of runs.
type Status uint8

// The statuses.
const (
	NotReady Status = iota // the star lacks what a look-up needs, see Of
	NoList                 // no run of its group is known yet
	InRun                  // in a known run
	Gap                    // behind a run that stopped before the end of its slot: never printed, as far as the list goes
	Beyond                 // where the list knows nothing: above its last run, or in a slot it has no beginning of
)

// A Finding is what the list of runs says of one star.
type Finding struct {
	Star   Star
	Status Status
	Slot   Slot // of the star's number; zero when NotReady

	// InRun only. Size is the notes of the run: parts of one slot and facility that join without a gap,
	// as when a run is reported in two months, count together, and Parts says how many there are.
	Run   Run
	Size  int
	Parts int
	// Other is the printing of the same number by the other facility; its From is 0 when there is none.
	// It is set also where the list knows no other: the star is Beyond then.
	Other Run

	// The nearest known runs around a star that is in none: Below ends before it, Above begins after
	// it. Their From is 0 when there is none.
	Below, Above Run

	// Of the star's group: all notes and runs that the list knows, and the date of the newest list that
	// had one of them (zero when no date is known).
	Total  int
	Runs   int
	Listed time.Time
}

// ShortRun is the most notes that a short run has: common practice, and the person may set another.
// A dealer's text says 640,000; one hobby list takes under 1,000,000 in a whole star block.
const ShortRun = 640_000

// Short reports whether the star is from a run of limit notes or fewer. A run's number counts, never
// the district's total.
func (f Finding) Short(limit int) bool { return f.Status == InRun && f.Size <= limit }

// Resolve looks one star up among runs. For many stars make a List once.
func Resolve(s Star, runs []Run) Finding { return NewList(runs).Resolve(s) }

// ResolveAll looks up every star of a batch; the findings are in the order of the stars.
func ResolveAll(stars []Star, runs []Run) []Finding { return NewList(runs).ResolveAll(stars) }

// ResolveAll looks up every star of a batch; the findings are in the order of the stars.
func (l *List) ResolveAll(stars []Star) []Finding {
	all := make([]Finding, len(stars))
	for i, s := range stars {
		all[i] = l.Resolve(s)
	}
	return all
}

// Resolve looks one star up.
func (l *List) Resolve(s Star) Finding {
	f := Finding{Star: s}
	if !s.Group().Known() || s.Number == 0 {
		return f
	}
	f.Slot = SlotOf(s.Series, s.Number)
	g := l.groups[s.Group()]
	if g == nil {
		f.Status = NoList
		return f
	}
	f.Total, f.Runs, f.Listed = g.notes, len(g.runs), g.listed
	next := g.after(s.Number)
	if g.find(&f, next) {
		return f
	}
	f.Status = Beyond
	if next > 0 {
		f.Below = g.highest(next)
	}
	if next < len(g.runs) {
		f.Above = g.runs[next]
		if f.Below.From > 0 && f.Below.To >= f.Slot.From {
			f.Status = Gap
		}
	}
	return f
}

// find looks for the runs with the star's number before index next.
func (g *groupRuns) find(f *Finding, next int) bool {
	n := f.Star.Number
	for i := next - 1; i >= 0 && g.reach[i] >= n; i-- {
		if !g.runs[i].Contains(n) {
			continue
		}
		if !agree(g.runs[i].Facility, f.Star.Facility) && !g.other(i, n) {
			f.Other = g.runs[i] // of the other plant: not the run of this note
			continue
		}
		if f.Status == InRun {
			f.Other = g.runs[i]
			if f.Other.Facility == f.Star.Facility || f.Run.Facility != f.Star.Facility && f.Run.Facility > f.Other.Facility {
				f.Run, f.Other = f.Other, f.Run // the note's own plant first, else Washington
			}
			break
		}
		f.Status, f.Run = InRun, g.runs[i]
	}
	if f.Status != InRun {
		return false
	}
	f.Size, f.Parts = g.joined(f.Run)
	return true
}

// other reports whether the number is in another run than i too: a star printed twice shows both.
func (g *groupRuns) other(i int, n patterns.Digits) bool {
	for j, r := range g.runs {
		if j != i && r.Contains(n) {
			return true
		}
	}
	return false
}

// joined adds up the parts that a run was listed in: beginning in one slot, printed by one facility, each
// beginning where the one before ends.
func (g *groupRuns) joined(r Run) (notes, parts int) {
	slot := SlotOf(r.Series, r.From)
	var end patterns.Digits
	found := false
	for _, part := range g.runs[g.after(slot.From-1):g.after(slot.To)] {
		if part.Facility != r.Facility {
			continue
		}
		if part.From != end+1 {
			if found {
				break
			}
			notes, parts = 0, 0
		}
		notes, parts, end = notes+part.Notes(), parts+1, part.To
		found = found || part.From == r.From
	}
	return notes, parts
}

// highest is the run with the highest end before index next.
func (g *groupRuns) highest(next int) Run {
	best := g.runs[0]
	for i := next - 1; i >= 0; i-- {
		if g.runs[i].To == g.reach[next-1] {
			best = g.runs[i]
			break
		}
	}
	return best
}
