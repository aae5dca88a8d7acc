package keepers

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"app/unband/patterns"
	"app/unband/triage"
	"app/unband/triage/currency"
	"app/unband/triage/flaws"
)

var day = time.Date(2026, 3, 6, 19, 0, 0, 0, time.UTC)

func set(ids ...patterns.ID) (s patterns.Set) {
	for _, id := range ids {
		s = s.With(id)
	}
	return s
}

// stall is the cash float of an invented market stall: a session of ones with an own pattern, one of fives.
func stall() ([]triage.Note, []triage.Session) {
	settings := patterns.DefaultSettings()
	settings.Templates = []patterns.Template{{Pattern: "ABABCDCD", Remark: "the stall's own"}}
	sessions := []triage.Session{
		{ID: 1, Name: "Friday float", Source: "Harbour branch", Denomination: 1, NewNotes: true, Settings: settings},
		{ID: 2, Name: "Saturday float", Source: "Mill Lane", Denomination: 5, Settings: patterns.DefaultSettings()},
	}
	both := set(patterns.Radar, patterns.FirstTemplate, patterns.Trinary)
	notes := []triage.Note{
		{Session: 1, Strap: 1, Position: 4, Serial: triage.Serial{Prefix: "B", Digits: "70633607", Suffix: 'C'}, Series: "2017A",
			Hits: both, Watched: both.Without(patterns.Trinary), Where: "album 1", Decided: day},
		{Session: 1, Strap: 1, Position: 5, Serial: triage.Serial{Prefix: "B", Digits: "70633608", Suffix: 'C'}, Flaw: flaws.GutterFold, Defects: flaws.Tear,
			Grade: flaws.Fine, Decided: day.Add(time.Minute)},
		{Session: 1, Strap: 1, Position: 6, Serial: triage.Serial{Prefix: "B", Digits: "70633609", Suffix: 'C'}, Decided: day.Add(2 * time.Minute)},
		{Session: 1, Strap: 2, Position: 1, Serial: triage.Serial{Prefix: "D", Digits: "01873355", Star: true}, Series: "2013", Decided: day.Add(3 * time.Minute)},
		{Session: 2, Strap: 1, Position: 9, Serial: triage.Serial{Prefix: "MB", Digits: "55667788", Suffix: 'A'}, Series: "2013", Stamp: true, Where: "Drawer",
			Decided: day.Add(4 * time.Minute), Fate: triage.Sold},
		{Session: 2, Strap: 1, Position: 10, Serial: triage.Serial{Prefix: "A", Digits: "35120846", Suffix: 'B'}, Series: "1953", Seal: currency.Blue, Decided: day.Add(5 * time.Minute)},
	}
	for i := range notes {
		notes[i].Decision = triage.Keep
	}
	return notes, sessions
}

func list() []*Keeper {
	notes, sessions := stall()
	return List(notes, sessions, []patterns.ID{patterns.Radar, patterns.Trinary})
}

func serials(all []*Keeper) string {
	var words []string
	for _, k := range all {
		words = append(words, k.Note.Serial.String())
	}
	return strings.Join(words, " ")
}

// What a note was kept for: the person's own patterns first, then the rarest; what was not watched is no
// reason; the notes beside an error.
func TestWhy(t *testing.T) {
	for serial, want := range map[string]string{
		"B70633607C":  "ABABCDCD, radar, beside note 5",
		"B70633608C":  flaws.GutterFold.String(),
		"B70633609C":  "beside note 5",
		"D01873355*":  "star",
		"MB55667788A": "tracking stamp",
		"A35120846B":  "series 1953",
	} {
		for _, k := range list() {
			if k.Note.Serial.String() == serial && strings.Join(k.Why, ", ") != want {
				t.Errorf("%s was kept for %q, want %q", serial, k.Why, want)
			}
		}
	}
}

// The bank is named by the letter of a Federal Reserve note only (BEP, Serial Numbers).
func TestBank(t *testing.T) {
	for _, k := range list() {
		want := map[string]byte{"B70633607C": 'B', "D01873355*": 'D', "MB55667788A": 'B', "A35120846B": 0}
		if w, ok := want[k.Note.Serial.String()]; ok && k.Bank != w {
			t.Errorf("%s is of bank %q, want %q", k.Note.Serial, k.Bank, w)
		}
	}
}

func TestFilter(t *testing.T) {
	for query, want := range map[string]int{
		"": 6, "radar": 1, "GUTTER": 1, "2013": 2, "new york": 4, "cleveland": 1, "album": 1, "saturday": 2, "mill": 2,
		"tear": 1, "fine": 1, "7063 harbour": 3, "radar gutter": 0, "sold": 1, "$5": 2, "stamp drawer": 1, "nothing at all": 0,
	} {
		if got := Filter(list(), query); len(got) != want {
			t.Errorf("%q finds %d (%s), want %d", query, len(got), serials(got), want)
		}
	}
}

func TestOrders(t *testing.T) {
	for o, want := range map[Order]string{
		Newest:   "A35120846B MB55667788A D01873355* B70633609C B70633608C B70633607C",
		Oldest:   "B70633607C B70633608C B70633609C D01873355* MB55667788A A35120846B",
		BySeries: "D01873355* B70633607C B70633608C B70633609C A35120846B MB55667788A", // series not said come last
		ByPlace:  "B70633608C B70633609C D01873355* A35120846B MB55667788A B70633607C",
	} {
		all := list()
		if Sort(all, o); serials(all) != want {
			t.Errorf("%s: %s, want %s", o, serials(all), want)
		}
	}
	o := Newest
	for range orders {
		o = o.Next()
	}
	if o != Newest {
		t.Errorf("the orders do not go around: %v", o)
	}
}

func TestSum(t *testing.T) {
	s := Add(list())
	if s.Notes[triage.StillHere] != 5 || s.Dollars[triage.StillHere] != 9 || s.Dollars[triage.Sold] != 5 {
		t.Errorf("%+v", s)
	}
}

// Whatever the keepers: the filter drops none that has the words and keeps none that lacks one, an order
// loses none, and a keeper without its session is there all the same.
func TestNothingIsLost(t *testing.T) {
	_, sessions := stall()
	rapid.Check(t, func(t *rapid.T) {
		var notes []triage.Note
		for i := range rapid.IntRange(0, 30).Draw(t, "notes") {
			notes = append(notes, triage.Note{Session: uint64(rapid.IntRange(1, 3).Draw(t, "session")), Strap: 1, Position: i + 1, Decision: triage.Keep,
				Serial: triage.Serial{Digits: fmt.Sprintf("%08d", rapid.IntRange(0, 99).Draw(t, "digits"))},
				Where:  rapid.SampledFrom([]string{"", "Box", "album"}).Draw(t, "where"), Hits: patterns.Set(rapid.Uint64().Draw(t, "hits")), Watched: ^patterns.Set(0)})
		}
		all := List(notes, sessions, nil)
		for o := Newest; o < orders; o++ {
			if Sort(all, o); len(all) != len(notes) {
				t.Fatalf("%d of %d are left", len(all), len(notes))
			}
		}
		found := Filter(all, "box 7")
		for _, k := range all {
			has := k.Note.Where == "Box" && (strings.Contains(k.Note.Serial.Digits, "7") || strings.Contains(k.text, "7"))
			if slices.Contains(found, k) != has {
				t.Fatalf("%+v found: %v", k.Note, !has)
			}
		}
	})
}

func TestAKeeperOfAnotherDenominationHasItsOwnFaceValue(t *testing.T) {
	k := Keeper{Note: triage.Note{Denomination: 5}, Session: triage.Session{Denomination: 1}}
	if k.Face() != 5 {
		t.Errorf("a $5 kept from ones is worth $%d by its face", k.Face())
	}
}
