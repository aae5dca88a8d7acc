package triage

import (
	"testing"

	"app/unband/triage/currency"
)

// D01 and D03 are collectors' questions; that neighbours are worth a word is common practice, no
// source.
// D06 and T07: the twice-printed stars of Series 2013, New York, are told apart by FW alone; two with
// the same serial are a pair, not one note typed twice.
func TestTwinStars(t *testing.T) {
	for _, c := range []struct {
		why           string
		digits        string
		first, second currency.Facility
		twice         bool
	}{
		{"one of each plant", "00250000", currency.Washington, currency.FortWorth, false},
		{"both from one plant", "00250000", currency.FortWorth, currency.FortWorth, true},
		{"not looked yet", "00250000", currency.FortWorth, currency.FacilityUnknown, true},
		{"outside the twice-printed ranges", "00250001", currency.Washington, currency.FortWorth, true},
	} {
		b := newBench(t, 100)
		b.saved = []Note{{Session: 1, Strap: 1, Position: 1, Serial: Serial{Prefix: "B", Digits: c.digits, Star: true}, Series: "2013", Facility: c.first, Decision: Keep}}
		b.s.notes = b.saved
		b.s.next(b.now)
		if err := b.s.hand.SetFacts(Facts{Series: "2013", Facility: c.second}, b.now); err != nil {
			t.Fatal(err)
		}
		b.play("B" + c.digits + "*")
		if _, twice := b.s.Hand().Twin(); twice != c.twice {
			t.Errorf("%s: typed twice %v, want %v (%+v)", c.why, twice, c.twice, b.s.Hand().Memories())
		}
	}
}

func TestMemories(t *testing.T) {
	before := []Note{
		{Session: 1, Strap: 1, Position: 12, Serial: Serial{Prefix: "K", Digits: "31180944", Suffix: 'C'}, Decision: Spend},
		{Session: 9, Strap: 2, Position: 5, Serial: Serial{Prefix: "C", Digits: "58008500", Suffix: 'D'}, Series: "2013", Decision: Keep},
		{Session: 9, Strap: 2, Position: 6, Serial: Serial{Prefix: "F", Digits: "20114436", Suffix: 'A'}, Decision: Spend},
		{Session: 9, Strap: 2, Position: 7, Serial: Serial{Prefix: "F", Digits: "30114436", Suffix: 'A'}, Decision: Keep},
	}
	for _, c := range []struct {
		why, typed, series string
		want               []Relation
		here               bool
	}{
		{"D01: consecutive to note 12 of this strap", "K31180945C", "", []Relation{OneBefore}, true},
		{"another block is no neighbour", "L31180945C", "", nil, false},
		{"a star is no neighbour of a note", "K31180945*", "", nil, false},
		{"D03: the same digits in another block", "H58008500K", "2017A", []Relation{OtherBlock}, false},
		{"the same serial in another series", "C58008500D", "2017A", []Relation{OtherSeries}, false},
		{"the same note met again", "C58008500D", "2013", []Relation{SameSerial}, false},
		{"the same digits, letters not typed", "58008500", "", []Relation{SameDigits}, false},
		{"a neighbour spent elsewhere is out of reach", "F20114437A", "", nil, false},
		{"a neighbour that was kept is not", "F30114435A", "", []Relation{OneAfter}, false},
	} {
		b := newBench(t, 100)
		b.saved = before
		b.s.rules.Met, b.s.hand.rules.Met = b.metAll, b.metAll
		b.s.hand.facts.Series = c.series
		b.play(c.typed)
		var got []Relation
		here := false
		for _, m := range b.s.Hand().Memories() {
			got, here = append(got, m.Relation), here || m.Here
		}
		if len(got) != len(c.want) || len(got) > 0 && got[0] != c.want[0] || here != c.here {
			t.Errorf("%s: %s has relations %v (here %v), want %v (%v)", c.why, c.typed, got, here, c.want, c.here)
		}
	}
}
