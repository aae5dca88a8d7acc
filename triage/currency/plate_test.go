package currency

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

// Of all that three characters can be, exactly the positions of the published sheets pass without a word: A1 to J5 of
// 50 (BEP, "50-Subject $1 Note" [B4]), A1 to H4 of 32 where the series is older than those (Coin World, April 2014
// [CW4]), and A to R alone where sheets had 18 notes (hobby page [OO]).
func TestWholePositions(t *testing.T) {
	letters := strings.Split("ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789*", "")
	sheet := func(most string, digits int) (list []string) {
		for letter := 'A'; letter <= rune(most[0]); letter++ {
			for d := range digits {
				list = append(list, fmt.Sprintf("%c%d", letter, d+1))
			}
		}
		return list
	}
	of18 := strings.Split("ABCDEFGHIJKLMNOPQR", "")
	for series, want := range map[string][]string{
		"":      sheet("J", 5),
		"2017A": sheet("J", 5),
		"2013":  sheet("J", 5),
		"2009":  sheet("H", 4),
		"1963":  sheet("H", 4),
		"1957B": append(sheet("H", 4), of18...),
		"1935A": append(sheet("H", 4), of18...),
	} {
		s, _ := ParseSeries(series) // unknown for ""
		var got []string
		try := func(text string) {
			if len(CheckPosition(text, s, false)) == 0 {
				got = append(got, text)
			}
		}
		for _, a := range letters {
			try(a)
			for _, b := range letters {
				try(a + b)
				for _, c := range letters {
					try(a + b + c)
				}
			}
		}
		slices.Sort(got)
		slices.Sort(want)
		if !slices.Equal(got, want) {
			t.Errorf("series %q: whole are %v, want %v", series, got, want)
		}
	}
	for text, want := range map[string]string{"F": "a digit stands behind", "4": "a letter stands before", "4f": "is it F4?", "K3": "A1 to H4", "J5": "sheets of 50 alone"} {
		if r := CheckPosition(text, Series{Year: 1995}, false); len(r) != 1 || !strings.Contains(r[0].Text, want) {
			t.Errorf("%s: %+v, want %q", text, r, want)
		}
	}
	if len(CheckPosition("F4", Series{}, true)) == 0 {
		t.Error("a web-press note has no position (hobby page [OO]), and F4 passes")
	}
}

// A face plate number is a number behind the letter of the position ("Anatomy of a U.S. Dollar Bill" [AA]; U.S. Currency
// Education Program [U1]), with FW before it from Fort Worth (Coin World [CW13]), and alone on the web press (an
// encyclopedia entry [W4], weak).
func TestWholePlates(t *testing.T) {
	for _, c := range []struct {
		plate, position string
		web, whole      bool
	}{
		{"", "F4", false, true},
		{"F 12", "F4", false, true}, {"F12", "", false, true}, {"f12", "f4", false, true}, {"FW F 12", "F4", false, true}, {"FWF12", "F4", false, true},
		{"F 12", "4", false, true}, // the position itself is asked about
		{"F", "F4", false, false}, {"FW", "", false, false}, {"FW F", "F4", false, false},
		{"12", "", false, false}, {"FW 12", "", false, false}, {"12", "", true, true}, {"F 12", "", true, false},
		{"G 12", "F4", false, false}, {"FW G 12", "F", false, false},
	} {
		if got := CheckFacePlate(c.plate, c.position, c.web); (len(got) == 0) != c.whole {
			t.Errorf("plate %q, position %q, web %v: %+v", c.plate, c.position, c.web, got)
		}
	}
	for text, whole := range map[string]bool{"": true, "295": true, "FW 3": true, "S": false, "*": false} {
		if got := CheckBackPlate(text); (len(got) == 0) != whole {
			t.Errorf("back plate %q: %+v", text, got)
		}
	}
}

// What is asked about positions and plates only asks for another look, and names a source that is explained.
func TestPlatesOnlyAsk(t *testing.T) {
	var all []Remark
	for _, text := range []string{"F", "4", "4F", "K3", "J5", "A12", "FW", "12", "G 7"} {
		all = append(all, CheckPosition(text, Series{Year: 1995}, false)...)
		all = append(all, CheckPosition(text, Series{}, true)...)
		all = append(all, CheckFacePlate(text, "F4", false)...)
		all = append(all, CheckFacePlate(text, "F4", true)...)
		all = append(all, CheckBackPlate(text)...)
	}
	for _, r := range all {
		codes := strings.FieldsFunc(r.Source, func(c rune) bool { return c == '[' || c == ']' })
		for _, code := range codes {
			if r.Source != practice && !slices.ContainsFunc(Sources, func(s Source) bool { return s.Code == code }) {
				t.Errorf("%q names the source %q, which is not explained", r.Text, code)
			}
		}
		if r.Verdict != LookAgain || r.Text == "" || r.Sure == 0 || (r.Sure == Common) != (r.Source == practice) {
			t.Errorf("%+v", r)
		}
	}
	if len(all) < 20 {
		t.Errorf("only %d remarks", len(all))
	}
}
