package patterns

import (
	"slices"
	"testing"
)

// What collectors ask and dispute: the pattern cases, and those of the typing cases whose digits are
// known. The findings are told rarest first; "lead" is the first. P17 names the run of five before
// the six of a kind, but six of a kind are the rarer (22,680 against 34,200) and so lead here.
func TestDisputedCases(t *testing.T) {
	var def func(*Settings) // nil: the default settings
	usual := defaultBook(t)
	for _, c := range []struct {
		name   string
		digits string
		change func(*Settings)
		lead   string   // "" when the case has no name at all
		also   []string // told too
		not    []string // not told
		near   []string // near misses told
	}{
		{"P01 radar and repeater at once", "27722772", def, "radar-repeater", []string{"radar", "repeater", "binary"}, nil, nil},
		{"P03 outer pair differs", "31400419", def, "", nil, []string{"radar"}, []string{"radar"}},
		{"P05 third pair differs", "48200984", def, "", nil, []string{"radar"}, []string{"radar"}},
		{"P07 place 3 against 7", "58135873", def, "", nil, []string{"repeater"}, []string{"repeater"}},
		{"P08 seven up, last digit 9", "12345679", def, "skipping ladder", []string{"seven-digit straight"}, []string{"ladder up"}, []string{"ladder up"}},
		{"P09 1 to 8 out of order", "36147258", def, "broken ladder", nil, []string{"ladder up", "ladder down"}, nil},
		{"P10 zero after nine: no", "34567890", def, "seven-digit straight", nil, []string{"ladder up"}, nil},
		{"P10 zero as ten", "34567890", func(s *Settings) { s.LadderZero = ZeroAsTen }, "ladder up", []string{"seven-digit straight"}, nil, nil},
		{"P10 any wrap", "34567890", func(s *Settings) { s.LadderZero = AnyWrap }, "ladder up", nil, nil, nil},
		{"P12 perfect descending ladder", "98765432", def, "ladder down", nil, []string{"broken ladder"}, nil},
		{"P13 binary in the wide sense", "77707707", def, "binary", []string{"six alike"}, []string{"true binary", "six in a row"}, nil},
		{"P13 binary only of 0 and 1", "77707707", func(s *Settings) { s.Binary = ZeroAndOne }, "six alike", nil, []string{"binary", "true binary"}, nil},
		{"P15 trinary with bookends", "45545845", def, "trinary", []string{"two-digit bookends"}, nil, nil},
		{"P16 one digit off a trinary", "70440741", def, "", nil, []string{"trinary"}, []string{"trinary"}},
		{"P17 run of five, six of a kind", "55555253", def, "six alike", []string{"five in a row", "trinary"}, []string{"six in a row"}, nil},
		{"P19 alternating tail", "83171717", def, "", nil, []string{"repeater", "super repeater"}, nil},
		{"P20 two-digit bookends", "29460129", def, "two-digit bookends", nil, nil, nil},
		{"P22 four pairs", "55667788", def, "four pairs", nil, []string{"repeater"}, nil},
		{"P24 low to 100", "00004821", def, "four in a row", nil, []string{"low number"}, nil},
		{"P24 low to 1,000", "00004821", func(s *Settings) { s.LowLimit = 1_000 }, "four in a row", nil, []string{"low number"}, nil},
		{"P24 low to 10,000", "00004821", func(s *Settings) { s.LowLimit = 10_000 }, "low number", nil, nil, nil},
		{"P25 low wins", "00000087", def, "low number", []string{"six in a row", "six alike", "trinary"}, nil, nil},
		{"P26 rotator without a 1", "60896809", func(s *Settings) { s.OneTurns = false }, "rotator", nil, []string{"radar", "flipper"}, nil},
		{"P26 rotator for all schools", "60896809", def, "rotator", nil, []string{"radar", "flipper"}, nil},
		{"P28 flipper", "98600861", def, "flipper", nil, []string{"rotator"}, nil},
		{"P28 with a 1 that does not turn", "98600861", func(s *Settings) { s.OneTurns = false }, "", nil, []string{"flipper", "rotator"}, nil},
		{"P29 symmetrical, but no rotator", "69900996", def, "radar", nil, []string{"rotator"}, nil},
		{"P30 eight different digits", "48160297", def, "all different", nil, []string{"broken ladder"}, nil},
		{"P32 date in both orders", "07041976", def, "date", nil, nil, nil},
		{"P33 day first", "25121968", def, "date", nil, nil, nil},
		{"P33 month first only", "25121968", func(s *Settings) { s.DayFirst = false }, "", nil, []string{"date"}, nil},
		{"P35 no 30 February", "02302019", def, "", nil, []string{"date"}, nil},
		{"P37 radar and date", "12022021", def, "radar", []string{"date", "trinary"}, nil, nil},
		{"P38 super repeater, no month 13", "13131313", def, "super repeater", []string{"repeater", "binary", "alternator"}, []string{"date"}, nil},
		{"P39 all zeros are no low number", "00000000", def, "solid", nil, []string{"low number", "radar"}, nil},
		{"P41 ladder radar", "12344321", def, "ladder radar", []string{"radar"}, []string{"ladder up", "ladder down"}, nil},
		{"P43 nines and zeros", "99099099", def, "radar", []string{"binary", "six alike"}, []string{"rotator"}, nil},
		{"I01 the lost zero put back", "05500550", def, "radar-repeater", []string{"radar", "repeater"}, nil, nil},
		{"I02 letters O read as zeros", "10200201", def, "radar", nil, nil, nil},
		{"I04 both unread digits a 7", "37455473", def, "radar", nil, nil, nil},
		{"I04 unread digits 7 and 8", "37455483", def, "", nil, []string{"radar"}, []string{"radar"}},
		{"I06 the wrong repair looks like a ladder", "12345670", def, "seven-digit straight", nil, []string{"ladder up"}, []string{"ladder up"}},
		{"I09 nothing in it", "20174410", def, "", nil, nil, nil},
	} {
		b := usual
		if c.change != nil {
			b = bookOf(t, c.change)
		}
		j := b.Judge(mustDigits(c.digits))
		var names, near []string
		for _, f := range j.Findings {
			names = append(names, nameOf(b, f.Rule))
		}
		for _, n := range j.Near {
			near = append(near, nameOf(b, n.Rule))
		}
		lead := ""
		if len(names) > 0 {
			lead = names[0]
		}
		if lead != c.lead {
			t.Errorf("%s: %s leads with %q, want %q; all %q", c.name, c.digits, lead, c.lead, names)
		}
		for _, want := range c.also {
			if !slices.Contains(names, want) {
				t.Errorf("%s: %s is not told to be %q; all %q", c.name, c.digits, want, names)
			}
		}
		for _, no := range c.not {
			if slices.Contains(names, no) {
				t.Errorf("%s: %s is told to be %q", c.name, c.digits, no)
			}
		}
		for _, want := range c.near {
			if !slices.Contains(near, want) {
				t.Errorf("%s: %s is not told to be near %q; all %q", c.name, c.digits, want, near)
			}
		}
	}
}

func nameOf(b *Book, id ID) string {
	r, _ := b.Rule(id)
	return r.Name
}

// Which digits would have made it: the places of P03, P05, P07 and P08, counted from 0.
func TestNearCasesNameTheDigit(t *testing.T) {
	b := defaultBook(t)
	for _, c := range []struct {
		name, digits string
		rule         ID
		want         []Change
	}{
		{"P03 3 and 9 outside", "31400419", Radar, []Change{{Pos: 0, To: 9}, {Pos: 7, To: 3}}},
		{"P05 2 and 9", "48200984", Radar, []Change{{Pos: 2, To: 9}, {Pos: 5, To: 2}}},
		{"P07 1 and 7", "58135873", Repeater, []Change{{Pos: 2, To: 7}, {Pos: 6, To: 1}}},
		{"P08 9 instead of 8", "12345679", LadderUp, []Change{{Pos: 7, To: 8}}},
		{"a swap alone", "12345687", LadderUp, []Change{{Pos: 6, Swap: true}}},
	} {
		j := b.Judge(mustDigits(c.digits))
		i := slices.IndexFunc(j.Near, func(n NearMiss) bool { return n.Rule == c.rule })
		if i < 0 || !slices.Equal(j.Near[i].Changes, c.want) {
			t.Errorf("%s: %s near misses %+v, want rule %d by %+v", c.name, c.digits, j.Near, c.rule, c.want)
		}
	}
}

// P32, P33, P37 and the calendar's edges: which day it is, the United States order first.
func TestDatesAreRead(t *testing.T) {
	b := bookOf(t, func(s *Settings) { s.FromYear, s.ToYear = 1776, 2025 })
	for _, c := range []struct{ digits, want, why string }{
		{"07041976", "4 July 1976 (month first), 7 April 1976 (day first)", "P32"},
		{"25121968", "25 December 1968 (day first)", "P33"},
		{"12022021", "2 December 2021 (month first), 12 February 2021 (day first)", "P37"},
		{"02291988", "29 February 1988 (month first)", "facts §11: a leap year"},
		{"02291900", "", "facts §11: 1900 was none"},
		{"02292000", "29 February 2000 (month first)", "2000 was one"},
		{"20000229", "29 February 2000 (year first)", "the same, year first"},
		{"05051990", "5 May 1990", "one day in both orders"},
		{"02302019", "", "P35"},
		{"13131313", "", "P38"},
		{"07041775", "", "before the window"},
	} {
		got := ""
		for _, f := range b.Judge(mustDigits(c.digits)).Findings {
			if f.Rule == Date {
				got = f.Detail
			}
		}
		if got != c.want {
			t.Errorf("%s reads %q, want %q: %s", c.digits, got, c.want, c.why)
		}
	}
}

// The digits a finding rests on, as bits from the left; x marks them here.
func TestPlaces(t *testing.T) {
	b := bookOf(t, func(s *Settings) {
		s.Templates = []Template{{Pattern: "??1234??"}}
		s.Numbers = []OwnNumber{{Number: "505"}}
	})
	for _, c := range []struct {
		digits string
		rule   ID
		want   string
	}{
		{"70633607", Radar, "xxxxxxxx"},
		{"41730841", Bookends2, "xx....xx"},
		{"20593205", Bookends3, "xxx..xxx"},
		{"12277773", FourInRow, "...xxxx."},
		{"55558888", FourInRow, "xxxxxxxx"},
		{"66166266", SixAlike, "xx.xx.xx"},
		{"50607080", Alternator, ".x.x.x.x"},
		{"38383838", Alternator, "xxxxxxxx"},
		{"83456789", SixSteps, ""},
		{"03456789", SevenSteps, ".xxxxxxx"},
		{"98123558", FirstTemplate, ""},
		{"98123456", FirstTemplate, "..xxxx.."},
		{"50505177", OwnNumbers, "xxxxx..."},
	} {
		got := ""
		for _, f := range b.Judge(mustDigits(c.digits)).Findings {
			for i := 0; f.Rule == c.rule && i < Places; i++ {
				got += string(".x"[f.Places>>i&1])
			}
		}
		if got != c.want {
			t.Errorf("%s: rule %d rests on %q, want %q", c.digits, c.rule, got, c.want)
		}
	}
}

// The odds the cases give, over one block of 96,000,000: "one note in N".
func TestOddsOfTheCases(t *testing.T) {
	usual := defaultBook(t)
	asTen := bookOf(t, func(s *Settings) { s.LadderZero = ZeroAsTen })
	for _, c := range []struct {
		name      string
		book      *Book
		rule      ID
		low, high float64
	}{
		{"P01 about 1.1 million", usual, RadarRepeater, 1_050_000, 1_150_000},
		{"P08 about 700,000", usual, SevenSteps, 690_000, 710_000},
		{"P09 about 612, by zero as ten", asTen, BrokenLadder, 611, 612.5},
		{"P15 about 146", usual, Trinary, 145.5, 146.5},
		{"P20 about a hundred", usual, Bookends2, 99.5, 100.5},
		{"P28 about 279", usual, Flipper, 279, 280},
		{"P30 one in 55", usual, AllDifferent, 54.5, 55.5},
	} {
		if got := 96_000_000 / float64(c.book.Count(c.rule, 96_000_000)); got < c.low || got > c.high {
			t.Errorf("%s: one in %.1f", c.name, got)
		}
	}
}
