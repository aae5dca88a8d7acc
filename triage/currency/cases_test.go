package currency

import (
	"slices"
	"strings"
	"testing"

	"app/unband/patterns"
)

// note builds a whole note from a serial as it is printed, "B12345678C", "*00911324A", "B08511734*".
func note(denomination int, series, serial string) Note {
	n := Note{Denomination: denomination}
	if series != "" {
		n.Series = mustSeries(series)[0]
	}
	if strings.HasPrefix(serial, "*") {
		n.Star, n.StarFront, serial = true, true, serial[1:]
	}
	s, ok := parseSecond(serial)
	if !ok {
		panic(serial)
	}
	n.Prefix, n.Digits, n.Whole, n.Suffix = s.prefix, s.digits, true, s.suffix
	n.Star = n.Star || s.star
	return n
}

// with changes a note.
func with(n Note, change func(*Note)) Note {
	change(&n)
	return n
}

// What collectors ask and dispute. Each case names where the answer was read.
func TestDisputedNotes(t *testing.T) {
	for _, c := range []struct {
		name, source string
		note         Note
		worst        Verdict
		kind         Kind     // of the remark that answers; 0 when nothing is to be said
		sure         Sure     // of that remark
		says         []string // in that remark
	}{
		{"V01 $1 green seal, prefix M", "[B1] Serial Numbers, BEP",
			with(note(1, "", "M31744713C"), func(n *Note) { n.Class = FederalReserveNote }),
			LookAgain, KindPrefix, Published, []string{"M before the digits", "A to L", "It may be H."}},
		{"V01 the same, class not said", "[B1]",
			note(1, "", "M31744713C"),
			LookAgain, KindPrefix, Published, []string{"green seal", "blue or red"}},
		{"V03 $1 with two letters", "[B1][U1]",
			note(1, "", "MB20443155A"),
			LookAgain, KindPrefixLength, Published, []string{"one letter", "Series 2013", "New York", "key slipped"}},
		{"V04 suffix O", "[B1]",
			note(1, "", "G55123807O"),
			LookAgain, KindSuffix, Published, []string{"Q, D, C or G"}},
		{"V06 star in front on a green seal", "drbanks.com/currency/anatomy/serial.html [DB]",
			with(note(1, "2013", "*B04417225"), func(n *Note) { n.Seal = Green }),
			LookAgain, KindStarPlace, Published, []string{"B04417225*", "behind"}},
		{"V08 no $1 of Series 2004", "[U1], onedollarbill.org/collecting.html [OD]",
			note(1, "2004", "B12044178C"),
			LookAgain, KindSeries, Published, []string{"No $1 Federal Reserve note of Series 2004", "2003, 2003A and 2006", "$20 and $50"}},
		{"V10 1963B for Atlanta", "itm.ebaydesc.com/itmdesc/157517681754 [EB], [SP1]",
			note(1, "1963B", "F12044178A"),
			LookAgain, KindDistrict, Published, []string{"B, E, G, J and L only", "not for F (Atlanta)"}},
		{"V11 letter N on 2017A", "[U1]",
			note(20, "2017A", "NL55018823B"),
			LookAgain, KindSeriesLetter, Published, []string{"N belongs to Series 2017, P to Series 2017A", "small letter"}},
		{"V13 above 96,000,000", "cointalk.com/threads/343620 [CT1]",
			note(1, "2017", "F96012345B"),
			NotFromCirculation, KindHighest, Published, []string{"96,000,000", "Read the serial again", "uncut sheet"}},
		{"P12 a ladder no strap holds", "cointalk.com/threads/343620 [CT1]",
			note(1, "2017A", "B98765432D"),
			NotFromCirculation, KindHighest, Published, []string{"96,000,000"}},
		{"E08 97-million, series not said", "[CT1]",
			note(1, "", "B97004178D"),
			LookAgain, KindHighest, Published, []string{"today's $1", "99,999,999", "look at the series"}},
		{"P39 all zeros", "cointalk.com/threads/247773 [CT2]",
			note(1, "1969A", "A00000000A"),
			NotFromCirculation, KindAllZero, Published, []string{"one escape", "specialist"}},
		{"V15 seal G, corner 4", "[U1], pmgnotes.com/news/article/10496 [PM2]",
			with(note(1, "2013", "G41850962H"), func(n *Note) { n.SealLetter, n.Corner = 'G', 4 }),
			LookAgain, KindBank, Published, []string{"G, district 7, Chicago", "D, district 4, Cleveland", "specialist"}},
		{"V16 star of 2003", "cointalk.com/goto/post?id=325512 [CT16]",
			note(1, "2003", "B08511734*"),
			LookAgain, KindYearLetter, Published, []string{"2003 and 2003A"}},
		{"V16 somebody has looked", "[CT16]",
			with(note(1, "2003", "B08511734*"), func(n *Note) { n.NoLetter = true }),
			Fine, KindStarNumber, Published, nil},
		{"V18 $2 red seal, star in front", "drbanks.com/currency/anatomy/serial.html [DB]",
			with(note(2, "1963", "*00911324A"), func(n *Note) { n.Seal = Red }),
			Fine, KindClass, Published, []string{"United States note", "replacement"}},
		{"V18 the colour was not said", "[RM]: $2 of 1963 are United States notes",
			note(2, "1963", "*00911324A"),
			Fine, KindClass, Published, []string{"red seal"}},
		{"T12 a star's leading zero", "cointalk.com/threads/star-notes-print-run-vs-total-printed.326210 [CT17]",
			with(note(1, "2017", "F01873355*"), func(n *Note) { n.NoLetter = true }),
			Fine, KindStarNumber, Published, []string{"30,000,000"}},
		{"K07 $5 of 2013 taken for 2017A", "[U1]",
			note(5, "2017A", "MB20443155A"),
			LookAgain, KindSeriesLetter, Published, []string{"M belongs to Series 2013, P to Series 2017A"}},
		{"K07 $1 of 2013 taken for 2017A: only a look can tell", "[U1]",
			note(1, "2017A", "B20443155A"), Fine, 0, 0, nil},
		{"C03 $1 of 1963A", "[SP1]", note(1, "1963A", "B20443155A"), Fine, 0, 0, nil},
		{"E01 stuck at the roll-over", "pmgnotes.com/news/article/9976 [PM1]",
			with(note(1, "2009", "B57104899A"), func(n *Note) { n.Second = "B57104900A" }),
			LookAgain, KindSecondDigits, Published, []string{"First read both again", "6 (8, 9)", "went on by one", "flat"}},
		{"E03 prefixes differ, seal D", "pmgnotes.com/news/article/10496 [PM2]",
			with(note(2, "1976", "K20443155A"), func(n *Note) { n.Second, n.SealLetter = "D20443155A", 'D' }),
			LookAgain, KindSecondLetters, Published, []string{"K and D", "First read both again", "The seal says D, so D is right"}},
		{"E14 web note with FW", "[CW13], [W2]",
			with(note(1, "1995", "F20443155A"), func(n *Note) { n.Web, n.FW = true, FortWorth }),
			LookAgain, KindWebPress, Published, []string{"Washington only", "not one"}},
		{"T07 in the gap without FW", "coinworld.com 2013-matching-pair-star-note-search [CW3], money.org [A2]",
			with(note(1, "2013", "B00250001*"), func(n *Note) { n.FW = Washington }),
			LookAgain, KindTwin, Computed, []string{"Fort Worth only"}},
		{"T07 printed twice", "[CW3]",
			note(1, "2013", "B03200001*"),
			Fine, KindTwin, Published, []string{"printed twice", "FW"}},
		{"E07 a green seal turned blue", "cointalk.com/goto/post?id=445157 [CT18]",
			with(note(1, "2013", "B20443155A"), func(n *Note) { n.Seal = Blue }),
			LookAgain, KindSealColour, Published, []string{"chemical change"}},
	} {
		remarks := Check(c.note)
		if got := Worst(remarks); got != c.worst {
			t.Errorf("%s: verdict %q, want %q (%s): %+v", c.name, got, c.worst, c.source, remarks)
		}
		if c.kind == 0 {
			if len(remarks) > 0 {
				t.Errorf("%s: remarks %+v, want none (%s)", c.name, remarks, c.source)
			}
			continue
		}
		i := slices.IndexFunc(remarks, func(r Remark) bool { return r.Kind == c.kind })
		if i < 0 {
			t.Errorf("%s: no remark of kind %d (%s): %+v", c.name, c.kind, c.source, remarks)
			continue
		}
		if remarks[i].Sure != c.sure {
			t.Errorf("%s: sure %q, want %q", c.name, remarks[i].Sure, c.sure)
		}
		for _, want := range c.says {
			if !strings.Contains(remarks[i].Text, want) {
				t.Errorf("%s: %q does not say %q (%s)", c.name, remarks[i].Text, want, c.source)
			}
		}
	}
}

// More that has one answer; what it rests on stands beside it.
func TestVerdicts(t *testing.T) {
	type change = func(*Note)
	same := change(func(*Note) {})
	for _, c := range []struct {
		series, serial string
		denomination   int
		change         change
		worst          Verdict
		kind           Kind // 0: no remark graver than fine
		why            string
	}{
		{"1976", "B20443155A", 2, same, Fine, 0, "an ordinary two [RM]"},
		{"2017A", "F20443155A", 2, same, LookAgain, KindDistrict, "every bank but Atlanta [CW10]"},
		{"2017A", "B00443155*", 2, same, LookAgain, KindDistrict, "stars of Philadelphia only [CW10]"},
		{"2017A", "C00443155*", 2, same, Fine, 0, "the one with stars [CW10]"},
		{"2017A", "B20443155A", 2, func(n *Note) { n.FW = Washington }, LookAgain, KindFacility, "Fort Worth [CW10]"},
		{"1995", "B20443155A", 2, same, LookAgain, KindDistrict, "Atlanta only, from memory: asks"},
		{"1969C", "A20443155A", 1, same, LookAgain, KindDistrict, "A missing, from memory: asks"},
		{"1969C", "B20443155A", 1, same, Fine, 0, "among the ten"},
		{"1963B", "B20443155A", 1, same, Fine, 0, "among the five [SP1][EB]"},
		{"1995", "B20443155A", 1, func(n *Note) { n.FW = FortWorth }, LookAgain, KindFacility, "A to E Washington [PX3]"},
		{"1995", "K20443155A", 1, func(n *Note) { n.FW = Washington }, LookAgain, KindFacility, "G to L Fort Worth [PX3]"},
		{"1995", "F20443155A", 1, func(n *Note) { n.FW = FortWorth }, Fine, 0, "F both [PX3]"},
		{"1981", "B20443155A", 1, func(n *Note) { n.FW = FortWorth }, LookAgain, KindFacility, "before Fort Worth [F6], years from memory"},
		{"1988A", "B20443155A", 1, func(n *Note) { n.FW = FortWorth }, Fine, 0, "Fort Worth began in 1991 [F6]"},
		{"1974", "B99999999A", 1, same, Fine, 0, "blocks were filled up [CT2]"},
		{"1981", "B99840000A", 1, same, Fine, 0, "156 runs of 640,000 [CT3]"},
		{"1981", "B99840001A", 1, same, NotFromCirculation, KindHighest, "one more [CT3]"},
		{"1985", "B99840001A", 1, same, LookAgain, KindHighest, "an era's end, from memory: asks"},
		{"1988A", "F96000000F", 1, same, Fine, 0, "a listed run ends there [W2]"},
		{"2021", "B96000001F", 1, same, NotFromCirculation, KindHighest, "15 runs of 6,400,000 [CT1]"},
		{"2013", "MB96000001F", 20, same, NotFromCirculation, KindHighest, "$20 too [CT3]"},
		{"", "MB96000001F", 20, same, NotFromCirculation, KindHighest, "the letter M says 2013 [U1]"},
		{"2013", "MB99200000F", 100, same, Fine, 0, "31 runs of 3,200,000 [CT1]"},
		{"2013", "MB99200001F", 100, same, NotFromCirculation, KindHighest, "one more [CT1]"},
		{"1957", "O20443155A", 1, same, LookAgain, KindPrefix, "no O on the older classes [DB]"},
		{"1957", "Z20443155Z", 1, same, Fine, 0, "Z is used there [DB][CT4]"},
		{"1957", "Z99999999Z", 1, same, Fine, 0, "the cap is for Federal Reserve notes"},
		{"1957", "20443155*", 1, same, LookAgain, KindStarPlace, "star in front on silver certificates [DB]"},
		{"1957", "*20443155A", 1, same, Fine, 0, "star in front [DB]"},
		{"1935A", "B20443155C", 1, func(n *Note) { n.Seal = Brown }, Fine, 0, "Hawaii [SE2]"},
		{"1935A", "B20443155C", 1, func(n *Note) { n.Seal = Yellow }, Fine, 0, "North Africa [SE2]"},
		{"1957", "B20443155C", 1, func(n *Note) { n.Seal = Yellow }, LookAgain, KindSealColour, "not of that series [SE2]"},
		{"1953", "B20443155C", 5, same, Fine, KindClass, "blue or red seal [PX1][RM]"},
		{"1928", "*20443155C", 1, same, Fine, KindClass, "blue or red seal [DT][RM]"},
		{"1957", "B20443155C", 1, func(n *Note) { n.Class = FederalReserveNote }, LookAgain, KindSeries, "the first green ones are 1963 [CWK3]"},
		{"2017", "B20443155Z", 1, same, NotFromCirculation, KindSuffix, "test printings [B1]"},
		{"", "B20443155Z", 1, same, LookAgain, KindSuffix, "the class is open"},
		{"2017", "20443155*", 1, func(n *Note) { n.Suffix, n.NoLetter = 'A', true }, LookAgain, KindSuffix, "a star stands in place of the suffix [B1]"},
		{"2017", "B20443155A", 20, same, LookAgain, KindPrefixLength, "two letters from 1996 on [B3]"},
		{"1995", "B20443155A", 20, same, Fine, 0, "one letter to 1995 [B1][B3]"},
		{"1995", "AB20443155A", 20, same, LookAgain, KindPrefixLength, "one letter to 1995 [B1][B3]"},
		{"2006", "IG20443155A", 20, same, Fine, 0, "I [EZ]"},
		{"2006", "HG20443155A", 100, same, Fine, 0, "H [CF2]"},
		{"", "OB20443155A", 20, same, LookAgain, KindPrefix, "no O [B1]"},
		{"", "RB20443155A", 20, same, LookAgain, KindPrefix, "not known here"},
		{"", "MM20443155A", 20, same, LookAgain, KindPrefix, "districts to L [B1]"},
		{"", "NB20443155A", 5, same, LookAgain, KindSeries, "no $5 of 2017, from memory: asks"},
		{"2021", "QB20443155A", 20, same, Fine, 0, "newer than May 2023 [CW9], borne out by the letter"},
		{"1996", "B20443155A", 1, same, LookAgain, KindSeries, "missing from memory: asks"},
		{"2025", "B20443155A", 1, same, LookAgain, KindSeries, "newer than the tables"},
		{"2013", "B20443155A", 1, func(n *Note) { n.Corner = 13 }, LookAgain, KindBank, "twelve districts [U1]"},
		{"2013", "B20443155A", 1, func(n *Note) { n.SealLetter = 'M' }, LookAgain, KindBank, "A to L [U1]"},
		{"2013", "B20443155A", 1, func(n *Note) { n.SealLetter, n.Corner = 'b', 2 }, Fine, 0, "all agree"},
		{"2013", "B20443155A", 1, func(n *Note) { n.Second = "b 2044-3155 a" }, Fine, 0, "the same serial"},
		{"2013", "B20443155A", 1, func(n *Note) { n.Second = "20443155" }, Fine, 0, "digits alone"},
		{"2013", "B20443155A", 1, func(n *Note) { n.Second = "B20443185A" }, LookAgain, KindSecondDigits, "one wheel [PS]"},
		{"2013", "B20443155A", 1, func(n *Note) { n.Second = "B2044315" }, LookAgain, KindSecondUnread, "seven digits"},
		{"2013", "B20443155A", 1, func(n *Note) { n.Second = "B20443155*" }, LookAgain, KindSecondLetters, "a star on one side"},
		{"2013", "B20443155A", 1, func(n *Note) { n.Second = "B20443155C" }, LookAgain, KindSecondLetters, "suffix"},
		{"2013", "B20443155A", 1, func(n *Note) { n.Web = true }, LookAgain, KindWebPress, "not a web series [W2]"},
		{"1993", "B20443155A", 1, func(n *Note) { n.Web = true }, Fine, 0, "a web series [W2]"},
		{"1993", "B20443155A", 5, func(n *Note) { n.Web = true }, LookAgain, KindWebPress, "$1 only [W2]"},
	} {
		n := note(c.denomination, c.series, c.serial)
		c.change(&n)
		remarks := Check(n)
		if got := Worst(remarks); got != c.worst {
			t.Errorf("$%d %s %s: verdict %q, want %q: %s: %+v", c.denomination, c.series, c.serial, got, c.worst, c.why, remarks)
			continue
		}
		if c.kind != 0 && remarks[0].Kind != c.kind {
			t.Errorf("$%d %s %s: first remark %+v, want kind %d: %s", c.denomination, c.series, c.serial, remarks[0], c.kind, c.why)
		}
	}
}

// D06: all of it equal is one note typed twice, but for the 2013 New York stars [CW3]; the same serial
// recurs in other series [F3][CW12].
func TestAlike(t *testing.T) {
	a := note(1, "2017A", "A71066240D")
	twin := note(1, "2013", "B00250000*")
	fw := with(twin, func(n *Note) { n.FW = FortWorth })
	dc := with(twin, func(n *Note) { n.FW = Washington })
	for _, c := range []struct {
		a, b Note
		want Likeness
		why  string
	}{
		{a, a, SameNote, "D06"},
		{a, note(1, "2017", "A71066240D"), DifferentNotes, "D06 the series differs"},
		{a, note(1, "", "A71066240D"), SeriesOpen, "D06 the series was not said"},
		{a, note(1, "2017A", "A71066240C"), DifferentNotes, "other block"},
		{note(1, "2017A", "H58008500K"), note(1, "2013", "C58008500D"), DifferentNotes, "D03"},
		{fw, dc, TwinPair, "T07 a pair"},
		{fw, fw, SameNote, "T07 the same plant"},
		{fw, twin, PairOpen, "T07 not looked yet"},
		{note(1, "2013", "B00250001*"), note(1, "2013", "B00250001*"), SameNote, "T07 past the end"},
		{Note{}, Note{}, DifferentNotes, "nothing was read"},
	} {
		if got := Alike(c.a, c.b); got != c.want {
			t.Errorf("Alike(%+v, %+v) = %d, want %d: %s", c.a, c.b, got, c.want, c.why)
		}
	}
}

// T07: the ends are inclusive [CW2][CW3][A2].
func TestTwin(t *testing.T) {
	for _, c := range []struct {
		series, serial string
		want           TwinState
		why            string
	}{
		{"2013", "B00000001*", TwicePrinted, "the first"},
		{"2013", "B00250000*", TwicePrinted, "T07"},
		{"2013", "B00250001*", FortWorthOnly, "T07"},
		{"2013", "B03200000*", FortWorthOnly, "T07"},
		{"2013", "B03200001*", TwicePrinted, "T07"},
		{"2013", "B06400000*", TwicePrinted, "end of a run"},
		{"2013", "B09600000*", TwicePrinted, "T07"},
		{"2013", "B09600001*", NoTwin, "T07"},
		{"2013", "B00000000*", NoTwin, "belongs to no run"},
		{"2013", "B00250000A", NoTwin, "no star"},
		{"2013", "A00250000*", NoTwin, "another bank"},
		{"2009", "B00250000*", NoTwin, "another series"},
		{"", "B00250000*", NoTwin, "the series was not said"},
	} {
		if got := Twin(note(1, c.series, c.serial)); got != c.want {
			t.Errorf("Twin(%s %s) = %d, want %d: %s", c.series, c.serial, got, c.want, c.why)
		}
	}
	if got := Twin(note(5, "2013", "B00250000*")); got != NoTwin {
		t.Errorf("Twin of a $5 = %d", got)
	}
	doubled := 0
	for _, row := range TwinRanges {
		if row.State == TwicePrinted {
			doubled += int(row.Last - row.First + 1)
		}
	}
	if doubled != 6_650_000 { // 250,000 + 6,400,000 [CW2][CW3]; also P. Huntoon, "Duplicated FRN Serial Numbers", Bank Note Reporter
		t.Errorf("%d serials printed twice, the record says 6,650,000", doubled)
	}
}

// Every number within and around the ranges has a state, and the count by asking agrees with the table.
func TestTwinByCounting(t *testing.T) {
	n := note(1, "2013", "B00000000*")
	count := 0
	for n.Digits = 0; n.Digits < 9_700_000; n.Digits += 1000 { // ends of ranges are tested above
		n.Digits++
		if Twin(n) == TwicePrinted {
			count++
		}
		n.Digits--
	}
	if count != 6_650 {
		t.Errorf("%d thousands printed twice, want 6,650", count)
	}
}

func TestPosition(t *testing.T) {
	for _, c := range []struct {
		digits   patterns.Digits
		position string
		quadrant int
	}{
		// The examples of the formula, computed from [CT10].
		{1, "A1", 1}, {200_001, "B1", 1}, {800_001, "E1", 1}, {1_600_001, "A2", 2}, {3_200_001, "A3", 3},
		{6_400_000, "H4", 4}, {12_345_678, "F4", 4}, {96_000_000, "H4", 4},
		{200_000, "A1", 1}, {6_400_001, "A1", 1}, // ends of a stack and of a run
		{0, "", 0}, // no run holds it
	} {
		position, quadrant := Position(c.digits)
		if position != c.position || quadrant != c.quadrant {
			t.Errorf("Position(%s) = %s, %d, want %s, %d", c.digits, position, quadrant, c.position, c.quadrant)
		}
	}
	for _, c := range []struct {
		note Note
		want bool
		why  string
	}{
		{note(1, "1995", "B20443155A"), true, "sheets of 32"},
		{note(1, "2013", "B20443155A"), true, "sheets of 32 or 50 [CW4]"},
		{note(1, "2017", "B20443155A"), false, "sheets of 50"},
		{note(1, "1985", "B20443155A"), false, "smaller runs"},
		{note(1, "1995", "B00443155*"), false, "a star"},
		{note(1, "", "B20443155A"), false, "the series was not said"},
		{note(5, "1995", "B20443155A"), false, "not a $1"},
		{with(note(1, "1995", "B20443155A"), func(n *Note) { n.Web = true }), false, "not sheet-fed"},
	} {
		if got := PositionHolds(c.note); got != c.want {
			t.Errorf("PositionHolds(%+v) = %v, want %v: %s", c.note, got, c.want, c.why)
		}
	}
}

// Each position of a run comes 200,000 times, down the left column of a quadrant first [CT10][B4]: one
// number down the sheet is N further, one to the right 4N, across the quadrant line 5N and 12N.
func TestPositionLaysOutTheSheet(t *testing.T) {
	// The sheet as it lies: rows 1 to 8, columns 1 to 4; quadrants 1 upper left, 2 lower left, 3 upper
	// right, 4 lower right, each filled A to D in its left column and E to H in its right one.
	var sheet [8][4]string
	for q := range 4 {
		for l := range 8 {
			sheet[q%2*4+l%4][q/2*2+l/4] = string(rune('A'+l)) + string(rune('1'+q))
		}
	}
	at := map[string]int{}
	for s := 1; s <= 6_400_000; s += 200_000 {
		position, _ := Position(patterns.Digits(s))
		at[position] = s
	}
	if len(at) != 32 {
		t.Fatalf("%d positions on a sheet of 32", len(at))
	}
	const n = 200_000
	for row := range 8 {
		for col := range 4 {
			here := at[sheet[row][col]]
			if row < 7 {
				if step := at[sheet[row+1][col]] - here; step != map[bool]int{false: n, true: 5 * n}[row == 3] {
					t.Errorf("from %s down: %d", sheet[row][col], step)
				}
			}
			if col < 3 {
				if step := at[sheet[row][col+1]] - here; step != map[bool]int{false: 4 * n, true: 12 * n}[col == 1] {
					t.Errorf("from %s to the right: %d", sheet[row][col], step)
				}
			}
		}
	}
}

func TestWebPress(t *testing.T) {
	for _, c := range []struct {
		series, serial     string
		fw                 Facility
		candidate, inRange bool
		says, why          string
	}{
		{"1988A", "A25600001E", FacilityUnknown, true, true, "three tells", "first of a run [W2]"},
		{"1988A", "A25600000E", FacilityUnknown, true, false, "October 1993", "one before"},
		{"1988A", "A32000000E", FacilityUnknown, true, true, "hint", "last of a run [W2]"},
		{"1988A", "A32000001E", FacilityUnknown, true, false, "May be", "one after"},
		{"1988A", "F96000000F", FacilityUnknown, true, false, "May be", "another bank of that block"},
		{"1988A", "B35000000L", FacilityUnknown, true, false, "Part of this run", "mixed: the serial cannot decide [W2]"},
		{"1988A", "F07000000*", Washington, true, false, "Part of this run", "mixed stars [W2]"},
		{"1993", "B20000000H", Washington, true, false, "weak", "[W4]"},
		{"1995", "B20000000H", Washington, true, false, "No list", "no list was found"},
		{"1995", "K20000000H", FacilityUnknown, true, false, "FW first", "usually Fort Worth [PX3]"},
		{"1995", "F20000000H", FortWorth, false, false, "Washington only", "E14"},
		{"1999", "F20000000H", Washington, false, false, "", "not a web series [W2]"},
		{"", "F20000000H", Washington, false, false, "", "the series was not said"},
	} {
		n := note(1, c.series, c.serial)
		n.FW = c.fw
		candidate, inRange, tells, text := WebPress(n)
		if candidate != c.candidate || inRange != c.inRange || !strings.Contains(text, c.says) || candidate != (len(tells) == 3) {
			t.Errorf("WebPress(%s %s, %d) = %v, %v, %d tells, %q: %s", c.series, c.serial, c.fw, candidate, inRange, len(tells), text, c.why)
		}
	}
	full, sum := 0, 0
	for _, row := range WebRanges {
		if row.Kind == FullRun {
			full, sum = full+1, sum+int(row.Last-row.First)+1
		}
	}
	if full != 17 || sum != 185_600_000 { // sum of the runs listed in [W2], computed
		t.Errorf("%d full runs of %d notes, want 17 of 185,600,000", full, sum)
	}
}
