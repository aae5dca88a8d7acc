package listing

import (
	"os"
	"strings"
	"testing"
)

// outcomes says what became of every line, in one line each: the serial of a note, with · for digits
// that are not known, "!" and the doubt, and in brackets what was taken otherwise; "-" and the reason
// for a line left out; nothing for a blank one.
func outcomes(l *List, t Taken) []string {
	said := make([]string, l.Lines())
	for _, n := range t.Notes {
		text := n.Serial.String()
		if n.Unread != "" {
			text = n.Serial.Prefix + n.Unread
			if n.Serial.Suffix != 0 {
				text += string(n.Serial.Suffix)
			}
		}
		if n.Doubt != None {
			text += " ! " + n.Reason
		}
		if notices := n.Notices(); len(notices) > 0 {
			text += " (" + strings.Join(notices, "; ") + ")"
		}
		said[n.Line-1] = text
	}
	for _, left := range t.LeftOut {
		said[left.Line-1] = "- " + left.Reason
	}
	return said
}

func readSample(t *testing.T, name string) *List {
	t.Helper()
	f, err := os.Open("../../testdata/lists/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	l, err := Read(f)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return l
}

const (
	unclosed = "no letter or star behind the digits: whether it is a star note is not known"
	asked    = "seven digits, a serial has eight"
)

// The layouts and the serials are invented. The I… cases are collectors' questions the program was made
// for; none has a published answer but that of the letter O (BEP, Serial Numbers).
func TestSamples(t *testing.T) {
	for _, c := range []struct {
		name    string
		answers Answers
		layout  Layout
		want    []string
	}{
		{"plain.txt", Answers{Denomination: 1}, Layout{Whole, 0, -1, -1, -1, 0, -1}, []string{
			"- nothing in it looks like a serial",
			"",
			"B48160297C",
			"F01873355*",
			"MB70633507A",
			"*04417225A",
			"H10200201C (the letter O was taken as the digit 0 at places 2, 4, 5, 7)", // I02
			"70633607",
			"G20174410 (" + unclosed + ")", // I09
			"05500550",
			"04471022",
			"B48160297 (" + unclosed + ")",
			"K3?4554?3D ! 2 digits are unread (?)", // I04
			"········ ! " + asked,                  // I07
			"········ ! nine digits, a serial has eight",                                                      // I07
			"········ ! O may be the letter behind, then a digit is missing, or it stands for the last digit", // I06
			"C99099099A (the letter O was taken as the digit 0 at place 6)",
			"48160298C (a letter was not read (?), and left out)",
			"········ ! B may be the letter behind, then a digit is missing, or it stands for the last digit",
			"D18345688A (the letter B was taken as the digit 8 at places 2, 7)",
			"········ ! I stands among the digits",
			"- a heading",
			"- a day, not a serial",
		}},
		{"print-out.txt", Answers{Denomination: 1}, Layout{Blanks, 3, -1, -1, 2, 4, 0}, []string{
			"- above the header",
			"- above the header",
			"",
			"- the header",
			"- a ruler",
			"B48160297C",
			"F01873355*",
			"K3?4554?3D ! 2 digits are unread (?)",
			"········ ! no serial was read",
			"········ ! no serial was read",
			"- a heading",
			"- the header",
			"- a ruler",
			"C70633507D",
			"L09120415B",
			"- a ruler",
			"- a totals line",
			"- a totals line",
			"- a day or a time",
		}},
		{"commas.csv", Answers{Denomination: 1}, Layout{Comma, 3, -1, -1, 2, 1, 0}, []string{
			"- the header",
			"B48160297C",
			"F01873355*",
			"H10200201C (the letter O was taken as the digit 0 at places 2, 4, 5, 7)", // I02
			"········ ! no serial was read",
			"J20260311A",
			"",
			`········ ! " has no place in a serial`,
			"- a totals line",
		}},
		{"tabs.tsv", Answers{Denomination: 1}, Layout{Tab, 3, -1, -1, -1, 0, 0}, []string{
			"48160297",
			"01873355",
			"70633507 (the letter O was taken as the digit 0 at place 2)",
			"70?33607 ! 1 digit is unread (?)",
			"09120415",
			"",
			"- a totals line",
		}},
		{"semicolons.csv", Answers{Denomination: 1}, Layout{Semicolon, 2, -1, -1, 1, 1, 0}, []string{
			"- the header",
			"B48160297C",
			"F01873355*",
			"D18345678A (the letter B was taken as the digit 8 at place 2)",
			"- the same serial as line 2", // D06
			"- nothing in it looks like a serial",
		}},
		{"bars.txt", Answers{Denomination: 1}, Layout{Bar, 2, -1, -1, 1, 1, 0}, []string{
			"- the header",
			"B48160297C",
			"F01873355*",
			"- a $2 by the list",
			"",
		}},
		{"zeros.csv", Answers{Denomination: 1, Zeros: Yes}, Layout{Comma, 2, 1, 3, -1, 1, -1}, []string{
			"- the header",
			"B05500550F (leading zeros lost in a spreadsheet were put back)", // I01
			"F48160297C",
			"F01873355* (leading zeros lost in a spreadsheet were put back)",
			"K3?4554?3D ! 2 digits are unread (?)",
			"L00912041B (leading zeros lost in a spreadsheet were put back)",
			"G12345670A (the letter O was taken as the digit 0 at place 8)",
			"B81234567 (the letter B was taken as the digit 8 at place 1; " + unclosed + ")",
			"C70633507 (a letter was not read (?), and left out)",
		}},
		{"zeros.csv", Answers{Denomination: 1, Zeros: No}, Layout{Comma, 2, 1, 3, -1, 1, -1}, []string{
			"- the header",
			"B········F ! " + asked, // I01
			"F48160297C",
			"F········* ! " + asked,
			"K3?4554?3D ! 2 digits are unread (?)",
			"L········B ! six digits, a serial has eight",
			"G12345670A (the letter O was taken as the digit 0 at place 8)",
			"B81234567 (the letter B was taken as the digit 8 at place 1; " + unclosed + ")",
			"C70633507 (a letter was not read (?), and left out)",
		}},
		{"doubts.csv", Answers{Denomination: 1, Zeros: Yes, Twice: Yes, Others: Yes}, Layout{Comma, 2, -1, -1, 1, 1, 0}, []string{
			"- the header",
			"B48160297C",
			"K3?4554?3D ! 2 digits are unread (?)",
			"H10200201C (the letter O was taken as the digit 0 at places 2, 4, 5, 7)",
			"D18345678A (the letter B was taken as the digit 8 at place 2)",
			"MB70633507A ! a $5 by the list",
			"B48160297C ! the same serial as line 2",
			"········ ! " + asked,
			"········ ! nine digits, a serial has eight",
			"········ ! O may be the letter behind, then a digit is missing, or it stands for the last digit",
			"········ ! _ has no place in a serial",
			"G20174410 (" + unclosed + ")",
			"MB70633508A ! a $5 by the list",
			"01873355 (leading zeros lost in a spreadsheet were put back)",
			"???????? ! 8 digits are unread (?)",
		}},
		{"doubts.csv", Answers{Denomination: 5}, Layout{Comma, 2, -1, -1, 1, 1, 0}, []string{
			"- the header",
			"- a $1 by the list", "- a $1 by the list", "- a $1 by the list", "- a $1 by the list",
			"MB70633507A",
			"- a $1 by the list", "- a $1 by the list", "- a $1 by the list", "- a $1 by the list", "- a $1 by the list", "- a $1 by the list",
			"MB70633508A",
			"- a $1 by the list", "- a $1 by the list",
		}},
	} {
		l := readSample(t, c.name)
		if got := l.Layout(); got != c.layout {
			t.Errorf("%s: layout %+v, want %+v", c.name, got, c.layout)
		}
		got := outcomes(l, l.Take(c.answers))
		if len(got) != len(c.want) {
			t.Errorf("%s has %d lines, want %d", c.name, len(got), len(c.want))
			continue
		}
		for i := range got {
			if got[i] != c.want[i] {
				t.Errorf("%s, line %d:\n got %s\nwant %s", c.name, i+1, got[i], c.want[i])
			}
		}
	}
}
