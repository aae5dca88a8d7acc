package tally

import (
	"cmp"
	"slices"

	"app/unband/triage"
)

// A Part is the tally of one session within a scope.
type Part struct {
	Session triage.Session
	Tally   Tally
}

// A SessionDay is the tally of one session on one day, as it is stored.
type SessionDay struct {
	Session uint64
	Day     Day
	Tally   Tally
}

// A Scope says what is counted. The zero Scope counts everything.
type Scope struct {
	Session  uint64 // this one alone; 0 for all
	From, To Day    // first and last day, both counted; a To of 0 has no end
}

// Parts gives the tallies of the sessions in a scope, by session. Days of sessions that are not given are
// left out.
func Parts(days []SessionDay, sessions []triage.Session, scope Scope) []Part {
	byID := map[uint64]triage.Session{}
	for _, s := range sessions {
		byID[s.ID] = s
	}
	sums := map[uint64]*Tally{}
	for _, d := range days {
		if _, known := byID[d.Session]; !known || !scope.has(d) {
			continue
		}
		if sums[d.Session] == nil {
			sums[d.Session] = &Tally{}
		}
		sums[d.Session].Count(d.Tally)
	}
	var parts []Part
	for id, sum := range sums {
		parts = append(parts, Part{byID[id], *sum})
	}
	slices.SortFunc(parts, func(a, b Part) int { return cmp.Compare(a.Session.ID, b.Session.ID) })
	return parts
}

func (s Scope) has(d SessionDay) bool {
	return (s.Session == 0 || d.Session == s.Session) && d.Day >= s.From && (s.To == 0 || d.Day <= s.To)
}

// A By is what sessions are told apart by.
type By uint8

// What sessions are told apart by.
const (
	Together By = iota
	BySource
	ByDenomination
	ByKind // used or new
	bys
)

// String names it.
func (b By) String() string {
	return [...]string{"together", "by source", "by denomination", "by used and new"}[b%bys]
}

// Next gives the one after, around.
func (b By) Next() By { return (b + 1) % bys }

// of names the group that a session belongs to.
func (b By) of(s triage.Session) string {
	switch b {
	case BySource:
		return cmp.Or(s.Source, "source not said")
	case ByDenomination:
		return s.Denomination.String()
	case ByKind:
		if s.NewNotes {
			return "new"
		}
		return "used"
	}
	return "together"
}

// A Group is the sessions that are counted together.
type Group struct {
	Name  string
	Parts []Part
	Sum   Tally
}

// Used is the sum over the sessions of used notes. Those of new notes are no fair sample for a rate: their numbers follow
// one another, so that a strap is one draw of chance and not a hundred.
func (g Group) Used() (sum Tally) {
	for _, p := range g.Parts {
		if !p.Session.NewNotes {
			sum = sum.Add(p.Tally)
		}
	}
	return sum
}

// Groups puts parts together; the group with the most notes comes first.
func Groups(parts []Part, by By) []Group {
	at := map[string]int{}
	var groups []Group
	for _, p := range parts {
		name := by.of(p.Session)
		i, known := at[name]
		if !known {
			i = len(groups)
			at[name] = i
			groups = append(groups, Group{Name: name})
		}
		groups[i].Parts = append(groups[i].Parts, p)
		groups[i].Sum.Count(p.Tally)
	}
	slices.SortStableFunc(groups, func(a, b Group) int { return cmp.Compare(b.Sum.Notes, a.Sum.Notes) })
	return groups
}

// Dollars is the face value of every note decided, in dollars.
func (g Group) Dollars() int {
	sum := 0
	for _, p := range g.Parts {
		sum += p.Tally.Notes * int(p.Session.Denomination)
	}
	return sum
}
