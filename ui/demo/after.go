package demo

import (
	"fmt"
	"time"

	"app/unband/store"
	"app/unband/triage"
	"app/unband/triage/counting"
	"app/unband/triage/errands"
	"app/unband/triage/stars"
)

// This file is what happened to the notes after they were sorted.

const day = 24 * time.Hour

// afterwards puts the keepers away, has some of them go their way, enters star runs, and does some errands.
func (m *market) afterwards() {
	m.putAway()
	m.goneTheirWay()
	m.do(store.PutRuns{Runs: runs()})
	m.errandsDone()
}

// listsDated is the date of the invented lists of star runs: nothing of what is in them was printed then, so that nobody
// takes them for real ones.
var listsDated = time.Date(1900, time.January, 1, 0, 0, 0, 0, time.UTC)

// runs are invented star runs. One group has a whole slot, a part of the next, and nothing behind it: so there are
// stars in a run, in a gap, and beyond what the list knows. Of other groups no run is known.
func runs() (all []stars.Run) {
	for _, bank := range []byte{'B', 'F'} {
		for _, r := range []stars.Run{{From: 1, To: 3_200_000}, {From: 3_200_001, To: 5_120_000}, {From: 6_400_001, To: 6_880_000}} {
			if bank == 'B' && r.From > 1 {
				continue
			}
			r.Denomination, r.Series, r.Bank, r.Listed = 1, "2017A", bank, listsDated
			all = append(all, r)
		}
	}
	return all
}

// kept gives the keepers of the sessions that are at least some days old.
func (m *market) kept(days int) (old []triage.Note) {
	all, err := m.store.Kept()
	if err != nil {
		m.fail(err)
	}
	for _, n := range all {
		if m.now.Sub(n.Decided) >= time.Duration(days)*day {
			old = append(old, n)
		}
	}
	return old
}

// putAway says where the keepers lie. Those of the last week still lie on the table.
func (m *market) putAway() {
	var put []triage.Note
	for _, n := range m.kept(10) {
		f := n.Facts()
		switch {
		case f.Where != "":
			continue
		case n.Serial.Star:
			f.Where = "star box, by series and bank"
		case n.Series != "" && n.Hits&n.Watched == 0:
			f.Where = "album, old series"
		default:
			f.Where = "album, page " + m.one("1", "2", "3")
		}
		put = append(put, n.Revised(f, n.Decided.Add(2*day)))
	}
	m.do(store.Revise{Notes: put})
}

// goneTheirWay says what became of some of the keepers, in this order.
func (m *market) goneTheirWay() {
	ways := []struct {
		fate   triage.Fate
		remark string
	}{
		{triage.SpentAfter, "short of change on a Sunday"},
		{triage.Sold, "to the book stall"},
		{triage.SentGrading, "with two of a friend's"},
		{triage.Traded, "for another radar, at the harvest market"},
	}
	var gone []triage.Note
	for _, n := range m.kept(30) {
		if n.Serial.Star || n.Flaw.Keep() || len(gone) == len(ways) {
			continue
		}
		at := n.Decided.Add(9 * day)
		y, month, d := at.Date()
		way := ways[len(gone)]
		gone = append(gone, n.Became(way.fate, time.Date(y, month, d, 0, 0, 0, 0, time.UTC), way.remark, at))
	}
	m.do(store.Revise{Notes: gone})
}

// errandsDone ticks off what was done: the older piles are back at a bank, and of the notes of the first months every
// errand is done.
func (m *market) errandsDone() {
	sessions, err := m.store.Sessions()
	if err != nil {
		m.fail(err)
	}
	var done []errands.Errand
	for _, s := range sessions {
		if s.Open() || m.now.Sub(s.Closed) < 40*day {
			continue
		}
		straps, err := m.store.Straps(s.ID)
		if err != nil {
			m.fail(err)
		}
		back := counting.New(s, straps, nil).Together().Back() * int(s.Denomination)
		done = append(done, errands.Errand{Kind: errands.Pile, Place: triage.Place{Session: s.ID}, Since: s.Closed, Done: s.Closed.Add(day),
			What: fmt.Sprintf("take $%s of %s to another branch than %s", triage.Thousands(back), s.Name, s.Source), Remark: "in full straps, nobody asked"})
	}
	todo, err := m.store.Todo()
	if err != nil {
		m.fail(err)
	}
	for _, n := range todo {
		if m.now.Sub(n.Decided) < 100*day {
			continue
		}
		for _, k := range errands.Of(n) {
			done = append(done, errands.Errand{Kind: k, Place: n.Place(), Since: n.Decided, Done: n.Decided.Add(3 * day),
				What: k.String() + ": " + n.Serial.String(), Remark: outcome(k)})
		}
	}
	m.do(store.PutErrands{Errands: done})
}

// outcome is how an errand came out.
func outcome(k errands.Kind) string {
	switch k {
	case errands.Report:
		return "handed over against a receipt; the bank was told"
	case errands.Stamp:
		return "it has come through two towns before ours"
	}
	return "shown at the club: nobody was sure"
}
