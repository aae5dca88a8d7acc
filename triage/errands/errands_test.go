package errands

import (
	"testing"
	"time"

	"app/unband/triage"
	"app/unband/triage/flaws"
)

var day = time.Date(2026, 3, 6, 19, 0, 0, 0, time.UTC)

func never(Kind, triage.Place) time.Time { return time.Time{} }

func TestWhatANoteBears(t *testing.T) {
	for _, c := range []struct {
		why  string
		note triage.Note
		want []Kind
	}{
		{"nothing", triage.Note{Decision: triage.Keep}, nil},
		{"a stamp, though the note is spent", triage.Note{Decision: triage.Spend, Stamp: true}, []Kind{Stamp}},
		{"an error that is kept", triage.Note{Decision: triage.Keep, Flaw: flaws.GutterFold}, []Kind{Study}},
		{"not sure, and kept", triage.Note{Decision: triage.Keep, Flaw: flaws.NotSure}, []Kind{Study}},
		{"damage", triage.Note{Decision: triage.Keep, Flaw: flaws.DamageAfter}, nil},
		{"an error that was spent", triage.Note{Decision: triage.Spend, Flaw: flaws.GutterFold}, nil},
		{"an error that was sold", triage.Note{Decision: triage.Keep, Flaw: flaws.GutterFold, Fate: triage.Sold}, nil},
		{"a suspected counterfeit", triage.Note{Decision: triage.SetAside}, []Kind{Report}},
		{"one that was not there", triage.Note{Decision: triage.NotThere, Stamp: true}, nil},
		{"both", triage.Note{Decision: triage.Keep, Flaw: flaws.GutterFold, Stamp: true}, []Kind{Stamp, Study}},
	} {
		got := Of(c.note)
		if len(got) != len(c.want) {
			t.Errorf("%s: %v, want %v", c.why, got, c.want)
			continue
		}
		for i := range got {
			if got[i] != c.want[i] {
				t.Errorf("%s: %v, want %v", c.why, got, c.want)
			}
		}
	}
}

func TestOpenErrands(t *testing.T) {
	strap := triage.Strap{Session: 1, Number: 1, Done: true, Closed: day.Add(time.Hour)}
	session := triage.Session{ID: 1, Straps: 1, Totals: triage.Totals{Notes: 100, Spent: 97, Kept: 3}}
	other := session // nothing of it waits for the second look, so its pile can go
	other.ID = 2
	waiting := []triage.Note{{Session: 1, Strap: 1, Position: 4, Decided: day}, {Session: 1, Strap: 1, Position: 9, Decided: day.Add(time.Minute)}}
	w := Work{
		Notes:    []triage.Note{{Session: 1, Strap: 1, Position: 7, Stamp: true, Decided: day, Changed: day.Add(time.Minute)}},
		Stars:    []triage.Note{{Session: 1, Strap: 1, Position: 3, Decided: day}},
		Sessions: []Session{{session, []triage.Strap{strap}, waiting}, {other, []triage.Strap{{Session: 2, Number: 1, Done: true, Closed: strap.Closed}}, nil}},
	}
	got := Open(w, never)
	want := []Errand{
		{Kind: Pile, Place: triage.Place{Session: 2}, Since: strap.Closed},
		{Kind: Look, Place: triage.Place{Session: 1}, Since: day.Add(time.Minute)},
		{Kind: Stamp, Place: triage.Place{Session: 1, Strap: 1, Position: 7}, Since: day.Add(time.Minute)},
		{Kind: Star, Place: triage.Place{Session: 1, Strap: 1, Position: 3}, Since: day},
	}
	if len(got) != len(want) {
		t.Fatalf("%+v, want %+v", got, want)
	}
	for i := range want {
		if got[i] != want[i] {
			t.Errorf("errand %d is %+v, want %+v", i, got[i], want[i])
		}
	}
	done := func(at time.Time) func(Kind, triage.Place) time.Time {
		return func(Kind, triage.Place) time.Time { return at }
	}
	if left := Open(w, done(day.Add(2*time.Hour))); len(left) != 0 {
		t.Errorf("after all was done %+v is left", left)
	}
	// What came up after it was done, a near miss or a strap more, is to be done again.
	if left := Open(w, done(day)); len(left) != 2 || left[0].Kind != Pile || left[1].Kind != Look {
		t.Errorf("what came up later: %+v", left)
	}
}

func TestWhenThePileCanGo(t *testing.T) {
	done := triage.Strap{Done: true, Closed: day}
	open := triage.Session{ID: 1, Straps: 2, Totals: triage.Totals{Spent: 5}}
	closed := open
	closed.Closed = day
	none := open
	none.Totals.Spent = 0
	for _, c := range []struct {
		why    string
		s      triage.Session
		straps []triage.Strap
		want   bool
	}{
		{"a strap is missing", open, []triage.Strap{done}, false},
		{"a strap is being sorted", open, []triage.Strap{done, {}}, false},
		{"every strap is sorted", open, []triage.Strap{done, done}, true},
		{"closed with a strap less", closed, []triage.Strap{done}, true},
		{"nothing was spent", none, []triage.Strap{done, done}, false},
		{"not one strap", closed, nil, false},
	} {
		got := Open(Work{Sessions: []Session{{c.s, c.straps, nil}}}, never)
		if (len(got) == 1) != c.want {
			t.Errorf("%s: %+v", c.why, got)
		}
	}
	// A closed session is looked at no more.
	if got := Open(Work{Sessions: []Session{{closed, nil, []triage.Note{{Decided: day}}}}}, never); len(got) != 0 {
		t.Errorf("the second look of a closed session: %+v", got)
	}
}
