package tally

import (
	"encoding/json"
	"reflect"
	"testing"
	"time"

	"pgregory.net/rapid"

	"app/unband/patterns"
	"app/unband/triage"
)

var evening = time.Date(2026, 3, 6, 19, 50, 0, 0, time.UTC)

// What one note counts as: a rule only where the note was tested for it.
func TestOf(t *testing.T) {
	watch := patterns.Watch{Hit: patterns.Set(0).With(patterns.Radar)}
	hits := patterns.Set(0).With(patterns.Radar).With(patterns.Trinary)
	n := triage.Note{Serial: triage.Serial{Prefix: "B", Digits: "70633607", Suffix: 'C'}, Hits: hits, Decision: triage.Keep, Series: "1995",
		Reread: triage.RereadChanged, Decided: evening, Took: 4 * time.Second}
	for _, c := range []struct {
		why     string
		session triage.Session
		want    map[patterns.ID]int
	}{
		{"used notes, settled early", triage.Session{Watch: watch, OldBefore: "2003"}, map[patterns.ID]int{patterns.Radar: 1}},
		{"every serial typed to its end", triage.Session{Watch: watch, Whole: true, OldBefore: "2003"}, map[patterns.ID]int{patterns.Radar: 1, patterns.Trinary: 1}},
		{"new notes", triage.Session{Watch: watch, NewNotes: true, OldBefore: "2003"}, nil},
	} {
		got := Of(c.session, n)
		if !reflect.DeepEqual(got.Found, c.want) {
			t.Errorf("%s: found %v, want %v", c.why, got.Found, c.want)
		}
		// Ten characters and the decision; a quarter of an hour is the 79th of the day.
		if got.Keys != 11 || got.Old != 1 || got.Said != 1 || got.Changed != 1 || got.Reread != 1 || got.Kept != 1 || got.Pace[79] != (Pace{1, 4}) {
			t.Errorf("%s: %+v", c.why, got)
		}
	}
	if g := Of(triage.Session{}, triage.Note{Decision: triage.Glance, Decided: evening}); g.Read() != 0 || g.Notes != 1 || g.Keys != 1 {
		t.Errorf("a glance is %+v", g)
	}
}

// Adding and taking out again leaves nothing, in any order, and a tally is the same after it was stored.
func TestAddAndSub(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var sum Tally
		var all []Tally
		s := triage.Session{Whole: rapid.Bool().Draw(t, "whole"), Watch: patterns.Watch{Hit: patterns.Set(rapid.Uint64().Draw(t, "hit"))}}
		for range rapid.IntRange(0, 8).Draw(t, "notes") {
			n := triage.Note{Hits: patterns.Set(rapid.Uint64().Draw(t, "hits")), Decision: triage.Decision(rapid.IntRange(1, 4).Draw(t, "decision")),
				Decided: evening.Add(time.Duration(rapid.IntRange(0, 1e6).Draw(t, "at")) * time.Second), Took: time.Duration(rapid.IntRange(0, 120).Draw(t, "took")) * time.Second,
				Series: rapid.SampledFrom([]string{"", "2013", "2017A"}).Draw(t, "series")}
			all = append(all, Of(s, n))
			counted := sum.Add(Tally{}) // a copy of its own
			counted.Count(all[len(all)-1])
			if sum = sum.Add(all[len(all)-1]); !reflect.DeepEqual(counted, sum) {
				t.Fatalf("counted in %+v, added %+v", counted, sum)
			}
		}
		if sum.Notes != len(all) {
			t.Fatalf("%d notes, want %d", sum.Notes, len(all))
		}
		data, err := json.Marshal(sum)
		var back Tally
		if err != nil || json.Unmarshal(data, &back) != nil || !reflect.DeepEqual(sum, back) {
			t.Fatalf("stored %s, read %+v, want %+v", data, back, sum)
		}
		for _, i := range rapid.Permutation(all).Draw(t, "order") {
			sum = sum.Sub(i)
		}
		if !reflect.DeepEqual(sum, Tally{}) {
			t.Fatalf("left is %+v", sum)
		}
	})
}

func TestDays(t *testing.T) {
	if d := DayOf(evening); !d.Time().Equal(time.Date(2026, 3, 6, 0, 0, 0, 0, time.UTC)) || DayOf(d.Time()) != d || DayOf(time.Time{}) != 0 {
		t.Errorf("%v is day %d, %v", evening, d, d.Time())
	}
}
