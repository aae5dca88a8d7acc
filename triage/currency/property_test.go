package currency

import (
	"math/rand/v2"
	"regexp"
	"testing"

	"app/unband/patterns"
)

// contradicts finds words that a fact from memory may not use, verdicts finds those no remark may.
var (
	contradicts = regexp.MustCompile(`(?i)\bno \$|not exist|cannot|impossible|on record|not for\b`)
	verdicts    = regexp.MustCompile(`(?i:authentic|genuine|fake|value|premium)|\bworth\b`)
)

// Whatever was typed, Check does not fail; every remark has words, a source and one of the three
// verdicts; and what is known from memory alone asks and never contradicts.
func TestRemarksAreWhole(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 11))
	seen, checked := map[Kind]int{}, map[Remark]bool{}
	for range 20_000 {
		n := anyNote(rng)
		for _, remarks := range [][]Remark{Check(n), Syntax(n)} {
			for i, r := range remarks {
				seen[r.Kind]++
				if !checked[r] {
					checkRemark(t, n, r)
				}
				checked[r] = true
				if i > 0 && r.Verdict > remarks[i-1].Verdict {
					t.Fatalf("%+v: a graver remark stands behind: %+v", n, remarks)
				}
			}
		}
		Twin(n)
		WebPress(n)
		PositionHolds(n)
		Name(n)
		Suggest(n.Denomination, n.Prefix, n.Second, n.Series)
	}
	for k := KindPrefix; k <= KindSealColour; k++ {
		if seen[k] == 0 {
			t.Errorf("no note brought a remark of kind %d: the random notes prove nothing about it", k)
		}
	}
}

func checkRemark(t *testing.T, n Note, r Remark) {
	t.Helper()
	checkSource(t, r.Text, r.Source, r.Sure)
	switch {
	case r.Verdict > NotFromCirculation || r.Text == "" || r.Kind < KindPrefix || r.Kind > KindSealColour:
		t.Fatalf("%+v: not a whole remark: %+v", n, r)
	case r.Sure == Memory && (r.Verdict == NotFromCirculation || contradicts.MatchString(r.Text)):
		t.Fatalf("%+v: memory contradicts: %+v", n, r)
	case verdicts.MatchString(r.Text):
		t.Fatalf("%+v: a judgement: %+v", n, r)
	}
}

// anyNote makes a note of which about half the parts are as they should be.
func anyNote(rng *rand.Rand) Note {
	pick := func(texts ...string) string { return texts[rng.IntN(len(texts))] }
	letter := func(letters string) byte { return letters[rng.IntN(len(letters))] }
	n := Note{
		Denomination: []int{0, 1, 1, 1, 2, 5, 10, 20, 50, 100, 3, -1}[rng.IntN(12)],
		Class:        Class(max(0, rng.IntN(14)-7)),
		Seal:         Colour(max(0, rng.IntN(16)-8)),
		Series:       anySeries(rng),
		NoLetter:     rng.IntN(2) == 0,
		Prefix:       pick("", "B", "B", "F", "K", "a", "M", "O", "MB", "PL", "IG", "OB", "RQ", "ABC", "é", "1"),
		Digits:       anyDigits(rng),
		Whole:        rng.IntN(4) > 0,
		Suffix:       letter("\x00\x00AHLOZz*\xff"),
		Star:         rng.IntN(3) == 0,
		Second:       pick("", "", "", "B20443155A", "20443156", "F00250001*", "*20443155A", "garbage", "B2044315", "é20443155", "2044315é", "★★20443155"),
		SealLetter:   letter("\x00\x00BFMZ"),
		Corner:       []int{0, 0, 2, 6, 12, 13, -1}[rng.IntN(7)],
		FW:           Facility(rng.IntN(4)),
		Web:          rng.IntN(8) == 0,
	}
	n.StarFront = n.Star && rng.IntN(3) == 0
	if rng.IntN(40) == 0 { // too rare by chance: the twins
		n.Denomination, n.Class, n.Series, n.Prefix, n.Star, n.Digits = 1, ClassUnknown, Series{2013, 0}, "B", true, anyDigits(rng)%9_700_000
	}
	return n
}

func anySeries(rng *rand.Rand) Series {
	switch rng.IntN(4) {
	case 0:
		return Series{}
	case 1:
		return Series{1920 + rng.IntN(120), letterOrNone(rng)}
	}
	list := List([]int{1, 1, 2, 5, 10, 20, 50, 100}[rng.IntN(8)])
	return list[rng.IntN(len(list))].Series
}

func letterOrNone(rng *rand.Rand) byte {
	return []byte{0, 0, 'A', 'B', 'Z', 0xff}[rng.IntN(6)]
}

func anyDigits(rng *rand.Rand) patterns.Digits {
	edges := []patterns.Digits{0, 1, 250_000, 250_001, 9_600_000, 20_443_155, 96_000_000, 96_000_001, 99_200_001, 99_840_001, 99_999_999}
	if rng.IntN(2) == 0 {
		return edges[rng.IntN(len(edges))]
	}
	return patterns.Digits(rng.UintN(patterns.Total))
}

// An ordinary note brings no remark: what Check says, it says for a reason.
func TestOrdinaryNotesAreFine(t *testing.T) {
	for _, d := range []int{1, 2, 5, 10, 20, 50, 100} {
		for _, l := range List(d) {
			if l.Class != FederalReserveNote || l.Series.Compare(Series{1963, 0}) < 0 {
				continue
			}
			districts := allBanks
			if row, ok := DistrictsOf(d, l.Series, false); ok {
				districts = row.Banks
			}
			n := Note{Denomination: d, Series: l.Series, Seal: Green, Digits: 20_443_155, Whole: true, Suffix: 'A'}
			for i := range len(districts) {
				n.Prefix = districts[i : i+1]
				if letters := LettersOfSeries(l.Series); d >= 5 && letters != "" {
					n.Prefix = letters[len(letters)-1:] + n.Prefix
				}
				if remarks := Check(n); Worst(remarks) != Fine {
					t.Errorf("%s: %+v", Name(n)+" "+n.Prefix, remarks)
				}
			}
		}
	}
}

func BenchmarkCheck(b *testing.B) {
	for name, n := range map[string]Note{
		"ordinary": note(1, "2017A", "B20443155A"),
		"gap":      note(1, "2004", "M98443155O"),
		"hundred":  note(100, "2009A", "LB20443155A"),
	} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				Check(n)
			}
		})
	}
}
