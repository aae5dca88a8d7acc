package finds

import (
	"strconv"
	"strings"
	"unicode"

	"app/unband/patterns"
	"app/unband/triage"
)

// Hide writes a serial with the last n of its digits as x. Letters and star stay: they tell the block.
func Hide(s triage.Serial, n int) string {
	n = min(max(n, 0), len(s.Digits))
	s.Digits = s.Digits[:len(s.Digits)-n] + strings.Repeat("x", n)
	return s.String()
}

// alike are the rules that speak only of which digits are equal, so that their name tells no digit: whatever
// digits stand for one another, the rule holds. Solid is left out, of which there are only ten.
const alike = patterns.Set(1<<patterns.Radar | 1<<patterns.SuperRadar | 1<<patterns.RadarRepeater |
	1<<patterns.Repeater | 1<<patterns.SuperRepeater | 1<<patterns.Binary | 1<<patterns.Trinary |
	1<<patterns.FourInRow | 1<<patterns.FiveInRow | 1<<patterns.SixInRow | 1<<patterns.SevenInRow |
	1<<patterns.FiveAlike | 1<<patterns.SixAlike | 1<<patterns.SevenAlike | 1<<patterns.DoubleQuad |
	1<<patterns.FourPairs | 1<<patterns.Bookends2 | 1<<patterns.Bookends3 | 1<<patterns.Alternator | 1<<patterns.AllDifferent)

// toldHits are the rules that may be named. Where digits are hidden these are the ones in alike alone: a radar
// that is a rotator, too, is one of a few dozen, and the next word would give it away.
func (m maker) toldHits(rules []patterns.Rule) (told []patterns.Rule) {
	if !m.hiding() {
		return rules
	}
	for _, r := range rules {
		if alike.Has(r.ID) {
			told = append(told, r)
		}
	}
	return told
}

// toldNear does the same for near misses, and leaves out what would make them one. What is nearer than a hit
// depends on the hit, and that may be a name which is not told: then no name is.
func (m maker) toldNear(f *find) (told []nearly) {
	if !m.hiding() {
		return f.near
	}
	for _, n := range f.near {
		if alike.Has(n.ID) && len(f.hits) == 0 {
			told = append(told, nearly{Rule: n.Rule})
		}
	}
	return told
}

func rulesOf(near []nearly) (rules []patterns.Rule) {
	for _, n := range near {
		rules = append(rules, n.Rule)
	}
	return rules
}

// own gives what the person wrote, where digits are hidden without any: a remark may repeat the serial. All of
// them go, because leaving only the others would tell which are the serial's.
func (m maker) own(text string) string {
	if !m.hiding() {
		return text
	}
	return strings.Map(func(r rune) rune {
		if unicode.IsNumber(r) {
			return 'x'
		}
		return r
	}, text)
}

// apart is how far two numbers must be from each other not to be taken for notes of one pile of new straps.
const apart = 100_000

// hideAll sets how many digits of each find are hidden: the last ones, and all of them where a pattern is told,
// because half of a radar is the whole of it. Notes of one strap have nearly the same number, so one that is
// close to such a note is hidden with it; so are two that follow one another across the digits that are
// shown, for these end in nines and noughts.
func hideAll(parts []part, last int) {
	var all []*find
	for _, p := range parts {
		all = append(all, p.finds...)
	}
	for _, f := range all {
		f.hidden = last
		if len(f.hits)+len(f.near) > 0 {
			f.hidden = patterns.Places
		}
	}
	for again := true; again; {
		again = false
		for _, f := range all {
			if f.hidden < patterns.Places && betrayed(f, all) {
				f.hidden, again = patterns.Places, true
			}
		}
	}
}

// betrayed reports whether what is shown of a find and what is told of another would tell more.
func betrayed(f *find, all []*find) bool {
	for _, g := range all {
		away := distance(f.Serial.Digits, g.Serial.Digits)
		if f == g || away >= apart {
			continue
		}
		if g.hidden >= patterns.Places || away == 1 && Hide(triage.Serial{Digits: f.Serial.Digits}, f.hidden) != Hide(triage.Serial{Digits: g.Serial.Digits}, g.hidden) {
			return true
		}
	}
	return false
}

// distance is how far two numbers are from each other at least; digits that were not typed may be any.
func distance(a, b string) int {
	la, ha := span(a)
	lb, hb := span(b)
	return max(la-hb, lb-ha, 0)
}

func span(digits string) (low, high int) {
	missing := max(patterns.Places-len(digits), 0)
	low, _ = strconv.Atoi(digits + strings.Repeat("0", missing)) // digits alone, as Serial says
	high, _ = strconv.Atoi(digits + strings.Repeat("9", missing))
	return low, high
}
