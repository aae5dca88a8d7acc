package patterns

import "testing"

// The guarantee: whatever serial of a rule whose near misses are watched is on the note, one wrong
// digit or one swap of two neighbours cannot bring the sorter past it. Every serial of every such
// rule is walked, with all its 72 and 7 edits.
func TestNoSingleMisreadingIsMissed(t *testing.T) {
	b := bookOf(t, func(s *Settings) {
		s.Templates = []Template{{Pattern: "ABBACDDC"}, {Pattern: "??123456"}, {Pattern: "A1B2A1B2"}}
		s.Numbers = []OwnNumber{{Number: "7071977", Place: End}, {Number: "4217421"}}
	})
	for _, w := range []Watch{b.DefaultWatch(), {Near: b.DefaultWatch().Near, Hit: b.DefaultWatch().Near}} {
		edits := 0
		for _, id := range w.Near.IDs() {
			r, _ := b.Rule(id)
			if !w.Hit.Has(id) {
				t.Errorf("%s: near misses are watched, hits are not", r.Name)
			}
			serials := 0
			each(b, id, func(d Digits) {
				serials++
				if !b.Stops(d, w) {
					t.Errorf("%v is a %s and does not stop", d, r.Name)
				}
				for _, e := range editsOf(d) {
					edits++
					if !b.Stops(e, w) {
						t.Errorf("%v, read instead of the %s %v, does not stop", e, r.Name, d)
					}
				}
			})
			if serials != r.Total {
				t.Errorf("%s: walked %d serials of %d", r.Name, serials, r.Total)
			}
		}
		t.Logf("%d rules, %d misreadings", w.Near.Len(), edits)
	}
}

// editsOf gives the 72 other digits and the 7 swaps, as strings would be edited.
func editsOf(d Digits) []Digits {
	s := d.String()
	var list []Digits
	for i := range s {
		for c := byte('0'); c <= '9'; c++ {
			if c != s[i] {
				list = append(list, mustDigits(s[:i]+string(c)+s[i+1:]))
			}
		}
		if i > 0 {
			list = append(list, mustDigits(s[:i-1]+s[i:i+1]+s[i-1:i]+s[i+1:]))
		}
	}
	return list
}
