package patterns

import (
	"slices"
	"strings"
	"time"
)

// The slow truth: every rule once more, as plainly as it can be said about a string of eight
// characters, without shapes, trees or tables. Written from facts.md §11, not from the package.

type naiveRule func(s string) bool

// naive gives the rules as DefaultSettings has them.
func naive() map[ID]naiveRule {
	return map[ID]naiveRule{
		Solid:         func(s string) bool { return s == strings.Repeat(s[:1], 8) },
		LadderUp:      func(s string) bool { return strings.Contains("0123456789", s) },
		LadderDown:    func(s string) bool { return strings.Contains("9876543210", s) },
		Radar:         func(s string) bool { return s == reversed(s) },
		SuperRadar:    func(s string) bool { return s[0] != s[1] && s == s[:1]+strings.Repeat(s[1:2], 6)+s[:1] },
		RadarRepeater: func(s string) bool { return s[0] != s[1] && s == reversed(s) && s[:4] == s[4:] },
		Repeater:      func(s string) bool { return s[:4] == s[4:] },
		SuperRepeater: func(s string) bool { return s[0] != s[1] && s == strings.Repeat(s[:2], 4) },
		Rotator:       func(s string) bool { t, ok := turnedNote(s); return ok && t == s },
		Flipper:       func(s string) bool { t, ok := turnedNote(s); return ok && t != s },
		Binary:        func(s string) bool { return kinds(s) == 2 },
		Trinary:       func(s string) bool { return kinds(s) == 3 },
		AllDifferent:  func(s string) bool { return kinds(s) == 8 },
		TrueBinary: func(s string) bool {
			return strings.Trim(s, "01") == "" && strings.Contains(s, "0") && strings.Contains(s, "1")
		},
		FourInRow:        func(s string) bool { return longestRunOf(s) == 4 },
		FiveInRow:        func(s string) bool { return longestRunOf(s) == 5 },
		SixInRow:         func(s string) bool { return longestRunOf(s) == 6 },
		SevenInRow:       func(s string) bool { return longestRunOf(s) == 7 },
		FiveAlike:        func(s string) bool { return most(s) == 5 },
		SixAlike:         func(s string) bool { return most(s) == 6 },
		SevenAlike:       func(s string) bool { return most(s) == 7 },
		DoubleQuad:       func(s string) bool { return s[0] != s[7] && s == strings.Repeat(s[:1], 4)+strings.Repeat(s[7:], 4) },
		FourPairs:        func(s string) bool { return s[0] == s[1] && s[2] == s[3] && s[4] == s[5] && s[6] == s[7] },
		Bookends2:        func(s string) bool { return strings.HasSuffix(s, s[:2]) },
		Bookends3:        func(s string) bool { return strings.HasSuffix(s, s[:3]) },
		Alternator:       naiveAlternator,
		LowNumber:        func(s string) bool { return s >= "00000001" && s <= "00000100" },
		HighNumber:       func(s string) bool { return s >= "95990000" && s <= "96000000" },
		RoundMillion:     func(s string) bool { return s[2:] == "000000" && s[:2] != "00" },
		TenMillion:       func(s string) bool { return s[1:] == "0000000" && s[0] != '0' },
		BrokenLadder:     func(s string) bool { return kinds(s) == 8 && strings.Contains("0123456789", sorted(s)) },
		LadderRadar:      func(s string) bool { return s == reversed(s) && (rising(s[:4]) || rising(s[4:])) },
		SevenSteps:       func(s string) bool { return naiveStraight(s) == 7 },
		SixSteps:         func(s string) bool { return naiveStraight(s) == 6 },
		StutteringLadder: func(s string) bool { return naiveStutter(s) || naiveStutter(reversed(s)) },
		SkippingLadder:   func(s string) bool { return naiveSkip(s) || naiveSkip(reversed(s)) },
		PartialLadder:    naivePartial,
		Date: func(s string) bool {
			return naiveDate(s, "01022006") || naiveDate(s, "02012006") || naiveDate(s, "20060102")
		},
	}
}

func reversed(s string) string {
	b := []byte(s)
	slices.Reverse(b)
	return string(b)
}

func sorted(s string) string {
	b := []byte(s)
	slices.Sort(b)
	return string(b)
}

var sixesAndNines = strings.NewReplacer("6", "9", "9", "6")

// turnedNote reads the note upside down, from the right.
func turnedNote(s string) (string, bool) {
	if strings.Trim(s, "01689") != "" {
		return "", false
	}
	return sixesAndNines.Replace(reversed(s)), true
}

// tallied gives how often the digits occur, the most frequent first, and 0 for the others.
func tallied(s string) (times [10]int) {
	for _, c := range s {
		times[c-'0']++
	}
	slices.SortFunc(times[:], func(a, b int) int { return b - a })
	return times
}

// kinds gives how many different digits there are.
func kinds(s string) (n int) {
	for c := byte('0'); c <= '9'; c++ {
		if strings.IndexByte(s, c) >= 0 {
			n++
		}
	}
	return n
}

// most gives how often the most frequent digit occurs.
func most(s string) int { return tallied(s)[0] }

func longestRunOf(s string) (longest int) {
	for i := range s {
		n := 1
		for i+n < len(s) && s[i+n] == s[i] {
			n++
		}
		longest = max(longest, n)
	}
	return longest
}

func naiveAlternator(s string) bool {
	return s[0] == s[2] && s[2] == s[4] && s[4] == s[6] || s[1] == s[3] && s[3] == s[5] && s[5] == s[7]
}

func rising(s string) bool  { return strings.Contains("0123456789", s) }
func falling(s string) bool { return strings.Contains("9876543210", s) }

// naiveStraight gives the length of the longest part that is a piece of 0123456789 or of that
// backwards.
func naiveStraight(s string) (longest int) {
	for i := range s {
		n := 1
		for i+n < len(s) && (rising(s[i:i+n+1]) || falling(s[i:i+n+1])) {
			n++
		}
		longest = max(longest, n)
	}
	return longest
}

// naiveStutter reports whether dropping one of two equal neighbours leaves a rising ladder.
func naiveStutter(s string) bool {
	for i := 1; i < len(s); i++ {
		if s[i] == s[i-1] && rising(s[:i]+s[i+1:]) {
			return true
		}
	}
	return false
}

func naiveSkip(s string) bool {
	for i := 1; i < len(s); i++ {
		if s[i] <= s[i-1] {
			return false
		}
	}
	return !rising(s)
}

func naivePartial(s string) bool {
	for _, core := range []string{strings.TrimLeft(s, "0"), strings.TrimRight(s, "0")} {
		if len(core) >= 4 && len(core) < 7 && !strings.Contains(core, "0") && (rising(core) || falling(core)) {
			return true
		}
	}
	return false
}

// naiveDate asks the standard library's calendar.
func naiveDate(s, layout string) bool {
	if layout == "20060102" && s > "2026" || layout != "20060102" && (s[4:] < "1900" || s[4:] > "2025") {
		return false // only to save time
	}
	t, err := time.Parse(layout, s)
	return err == nil && t.Year() >= 1900 && t.Year() <= 2025
}

// otherSettings takes the other side in every dispute.
func otherSettings(s *Settings) {
	*s = Settings{
		LadderZero: AnyWrap, Binary: ZeroAndOne, LowLimit: 7_777, FourDifferent: true,
		HighFrom: 99_000_000, HighTo: 99_200_000, DayFirst: true, YearFirst: true, FromYear: 1776, ToYear: 1801,
	}
}

// otherNaive gives the rules as otherSettings has them.
func otherNaive() map[ID]naiveRule {
	rules := naive()
	delete(rules, Binary)
	for _, id := range []ID{Radar, Repeater, Bookends2, Bookends3, Alternator} {
		with := rules[id]
		rules[id] = func(s string) bool { return with(s) && kinds(s) > 1 }
	}
	const round, back = "01234567890123456", "65432109876543210987654321"
	up := func(s string) bool { return strings.Contains(round, s) }
	down := func(s string) bool { return strings.Contains(back, s) }
	rules[LadderUp], rules[LadderDown] = up, down
	rules[BrokenLadder] = func(s string) bool {
		for i := range 10 {
			if sorted(s) == sorted(round[i:i+8]) {
				return true
			}
		}
		return false
	}
	skip := rules[SkippingLadder]
	rules[SkippingLadder] = func(s string) bool { return skip(s) && !up(s) && !down(s) }
	turns := func(s string) bool { return strings.Trim(s, "0689") == "" }
	rules[Rotator] = func(s string) bool { t, _ := turnedNote(s); return turns(s) && t == s && longestRunOf(s) < 8 }
	rules[Flipper] = func(s string) bool { t, _ := turnedNote(s); return turns(s) && t != s }
	rules[TrueBinary] = func(s string) bool {
		return strings.Trim(s, "01") == "" && strings.Count(s, "1") > 1 && strings.Contains(s, "0")
	}
	rules[LowNumber] = func(s string) bool { return s > "00000000" && s <= "00007777" }
	rules[HighNumber] = func(s string) bool { return s >= "99000000" && s <= "99200000" }
	rules[FourPairs] = func(s string) bool {
		return s[0] == s[1] && s[2] == s[3] && s[4] == s[5] && s[6] == s[7] && kinds(s) == 4
	}
	rules[Date] = func(s string) bool {
		for _, layout := range []string{"02012006", "20060102"} {
			if t, err := time.Parse(layout, s); err == nil && t.Year() >= 1776 && t.Year() <= 1801 {
				return true
			}
		}
		return false
	}
	return rules
}
