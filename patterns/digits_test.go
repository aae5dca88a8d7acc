package patterns

import (
	"strings"
	"testing"
)

func TestParseDigits(t *testing.T) {
	for _, c := range []struct {
		text string
		want Digits
		word string // in the error; "" when there is none
	}{
		{"00000042", 42, ""},
		{"99999999", 99_999_999, ""},
		{"4471023", 0, "7 characters"},
		{"447102233", 0, "9 characters"},
		{"1234567O", 0, "character 8"},
		{"-1234567", 0, "character 1"},
		{"", 0, "0 characters"},
	} {
		got, err := ParseDigits(c.text)
		if got != c.want || (err == nil) != (c.word == "") || err != nil && !strings.Contains(err.Error(), c.word) {
			t.Errorf("ParseDigits(%q) = %v, %v; want %v and an error with %q", c.text, got, err, c.want, c.word)
		}
	}
}

// A change does to the number what it does to the string, and done twice a swap undoes itself.
func TestChangesEditTheString(t *testing.T) {
	for _, d := range []Digits{0, 42, 70633607, 98765432, 99999999} {
		s := d.String()
		for i := range Places {
			for to := byte(0); to < 10; to++ {
				want := s[:i] + string('0'+to) + s[i+1:]
				if got := d.apply(Change{Pos: i, To: to}); got.String() != want {
					t.Errorf("%v with %d at %d is %v, want %s", d, to, i, got, want)
				}
			}
			if i+1 == Places {
				continue
			}
			swap := Change{Pos: i, Swap: true}
			want := s[:i] + s[i+1:i+2] + s[i:i+1] + s[i+2:]
			if got := d.apply(swap); got.String() != want || got.apply(swap) != d {
				t.Errorf("%v swapped at %d is %v, want %s", d, i, got, want)
			}
		}
	}
}

func TestSets(t *testing.T) {
	s := Set(0).With(Radar).With(LastTemplate).With(Solid).Without(Solid)
	if !s.Has(Radar) || !s.Has(LastTemplate) || s.Has(Solid) || s.Len() != 2 {
		t.Errorf("set %b", s)
	}
	if ids := s.IDs(); len(ids) != 2 || ids[0] != Radar || ids[1] != LastTemplate {
		t.Errorf("the set's rules are %v", ids)
	}
}
