package patterns

import (
	"math/rand/v2"
	"testing"

	"github.com/dlclark/regexp2"
)

// A second, independent matcher: regular expressions with backreferences and lookahead, which is
// how people search lists of serials. Go's own regexp has neither; github.com/dlclark/regexp2 has.
var expressions = map[ID]string{
	Solid:         `^(.)\1{7}$`,
	LadderUp:      `^(?:01234567|12345678|23456789)$`,
	LadderDown:    `^(?:98765432|87654321|76543210)$`,
	Radar:         `^(.)(.)(.)(.)\4\3\2\1$`,
	SuperRadar:    `^(.)(?!\1)(.)\2{5}\1$`,
	RadarRepeater: `^(.)(?!\1)(.)\2\1\1\2\2\1$`,
	Repeater:      `^(.{4})\1$`,
	SuperRepeater: `^(.)(?!\1)(.)(?:\1\2){3}$`,
	Rotator: `^(?=[01689]{8}$)(?:0.{6}0|1.{6}1|8.{6}8|6.{6}9|9.{6}6)(?<=^.(?:0.{4}0|1.{4}1|8.{4}8|6.{4}9|9.{4}6).)` +
		`(?<=^..(?:0..0|1..1|8..8|6..9|9..6)..)(?<=^...(?:00|11|88|69|96)...)$`,
	Binary:       `^(?!(.)\1{7})(.)\2*(?!\2)(.)(?:\2|\3)*$`,
	TrueBinary:   `^(?=.*0)(?=.*1)[01]{8}$`,
	Trinary:      `^(.)\1*(?!\1)(.)(?:\1|\2)*(?!\1|\2)(.)(?:\1|\2|\3)*$`,
	FourInRow:    `^(?=.*(.)\1{3})(?!.*(.)\2{4})`,
	FiveInRow:    `^(?=.*(.)\1{4})(?!.*(.)\2{5})`,
	SixInRow:     `^(?=.*(.)\1{5})(?!.*(.)\2{6})`,
	SevenInRow:   `^(?=.*(.)\1{6})(?!.*(.)\2{7})`,
	FiveAlike:    `^(?=.*(.)(?:.*\1){4})(?!.*(.)(?:.*\2){5})`,
	SixAlike:     `^(?=.*(.)(?:.*\1){5})(?!.*(.)(?:.*\2){6})`,
	SevenAlike:   `^(?=.*(.)(?:.*\1){6})(?!.*(.)(?:.*\2){7})`,
	DoubleQuad:   `^(.)\1{3}(?!\1)(.)\2{3}$`,
	FourPairs:    `^(.)\1(.)\2(.)\3(.)\4$`,
	Bookends2:    `^(..).*\1$`,
	Bookends3:    `^(...).*\1$`,
	Alternator:   `^(?:(.).\1.\1.\1.|.(.).\2.\2.\2)$`,
	AllDifferent: `^(?!.*(.).*\1)`,
	LowNumber:    `^(?:000000(?!00)..|00000100)$`,
	RoundMillion: `^(?!00)..0{6}$`,
	TenMillion:   `^[1-9]0{7}$`,
	HighNumber:   `^(?:9599....|96000000)$`,
	Flipper: `^[01689]{8}$(?<!^(?:0.{6}0|1.{6}1|8.{6}8|6.{6}9|9.{6}6)(?<=^.(?:0.{4}0|1.{4}1|8.{4}8|6.{4}9|9.{4}6).)` +
		`(?<=^..(?:0..0|1..1|8..8|6..9|9..6)..)(?<=^...(?:00|11|88|69|96)...))`,
	BrokenLadder: `^(?!.*(.).*\1)(?:[0-7]{8}|[1-8]{8}|[2-9]{8})$`,
	LadderRadar:  `^(?=0123|1234|2345|3456|4567|5678|6789|3210|4321|5432|6543|7654|8765|9876)(.)(.)(.)(.)\4\3\2\1$`,
}

// compiled gives the expressions ready for use.
func compiled(t *testing.T) map[ID]*regexp2.Regexp {
	t.Helper()
	list := map[ID]*regexp2.Regexp{}
	for id, text := range expressions {
		re, err := regexp2.Compile(text, regexp2.None)
		if err != nil {
			t.Fatalf("rule %d: %v", id, err)
		}
		list[id] = re
	}
	return list
}

// Random serials, and every serial of the rules that at most 12,000 match: under -long a million and
// all of them, otherwise a fiftieth.
func TestRegularExpressionsAgree(t *testing.T) {
	b, list := defaultBook(t), compiled(t)
	random, every := 20_000, 40
	if *long {
		random, every = 1_200_000, 1
	}
	check := func(d Digits) {
		match, _ := b.Sets(d)
		for id, re := range list {
			got, err := re.MatchString(d.String())
			if err != nil {
				t.Fatal(err)
			}
			if got != match.Has(id) {
				r, _ := b.Rule(id)
				t.Errorf("%v: the expression for %s says %v, the book %v", d, r.Name, got, match.Has(id))
			}
		}
	}
	r := rand.New(rand.NewPCG(2, 1963))
	for range random {
		check(Digits(r.IntN(Total)))
	}
	n := 0
	for _, rule := range b.Rules() {
		if rule.Total > 12_000 {
			continue
		}
		each(b, rule.ID, func(d Digits) {
			if n++; n%every == 0 || rule.Total < 100 {
				check(d)
			}
		})
	}
	t.Logf("%d random serials, %d serials of rare rules, %d expressions", random, n/every, len(list))
}
