package listing

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"testing"
	"testing/iotest"
	"unicode"
	"unicode/utf8"

	"pgregory.net/rapid"

	"app/unband/patterns"
	"app/unband/triage"
)

func read(t testing.TB, text string) *List {
	t.Helper()
	l, err := Read(strings.NewReader(text))
	if err != nil {
		t.Fatalf("%.60q: %v", text, err)
	}
	return l
}

// What one cell reads as, by itself, in a pile of ones and in one of hundreds.
func TestCells(t *testing.T) {
	for _, c := range []struct{ why, text, ones, hundreds string }{
		{"letters, digits, letter", "B70633607C", "B70633607C", "B70633607C"},
		{"two letters are on $5 and up, but the list is believed (V03)", "MB20443155A", "MB20443155A", "MB20443155A"},
		{"B in front of eight digits is a prefix", "B12345678", "B12345678", "B12345678"},
		{"B on both sides of eight digits is a letter", "B12345678B", "B12345678B", "B12345678B"},
		{"B in a place of the digits", "L123B5678C", "L12385678C", "L12385678C"},
		{"B among eight characters", "123B5678", "12385678", "12385678"},
		{"B first: a one has one letter in front, a hundred may have two", "MB1234567C", "M81234567C", "Unreadable"},
		{"B first after two letters", "MBB1234567C", "MB81234567C", "MB81234567C"},
		{"B first with none in front", "B1234567", "Unreadable", "Unreadable"},
		{"B last with none behind (as I06)", "A1234567B", "Unreadable", "Unreadable"},
		{"B last with a letter behind", "A1234567BC", "A12345678C", "A12345678C"},
		{"both ends may be letters", "B1234567B", "Unreadable", "Unreadable"},
		{"I02: O among the digits", "H1O2OO2O1C", "H10200201C", "H10200201C"},
		{"O first: it is never a letter", "HO1020020C", "H01020020C", "H01020020C"},
		{"I06: O last with none behind", "B1234567O", "Unreadable", "Unreadable"},
		{"O last with a letter behind", "B1234567OC", "B12345670C", "B12345670C"},
		{"I04: unread digits are kept apart", "K3?4554?3D", "K3?4554?3D", "K3?4554?3D"},
		{"unread, and O", "K3?45O4?3D", "K3?4504?3D", "K3?4504?3D"},
		{"unread star", "K34554?33*", "K34554?33*", "K34554?33*"},
		{"all eight unread", "????????", "????????", "????????"},
		{"one of eight unread", "?0633607", "?0633607", "?0633607"},
		{"unread first after a letter: the same", "B?1234567", "B?1234567", "Unreadable"},
		{"the same with a letter behind: two letters are on $5 and up", "B?1234567C", "B?1234567C", "Unreadable"},
		{"unread letter in front", "?12345678C", "12345678C", "12345678C"},
		{"of two letters one unread: both are left out", "M?12345678C", "12345678C", "12345678C"},
		{"unread letter behind", "C12345678?", "C12345678", "C12345678"},
		{"I07: seven digits", "L4471023C", "Unreadable", "Unreadable"},
		{"I07: nine digits", "L447102233C", "Unreadable", "Unreadable"},
		{"I01: a lost zero with its letters in one cell", "B5500550F", "Unreadable", "Unreadable"},
		{"S is not 5", "B123S5678C", "Unreadable", "Unreadable"},
		{"Z is not 2", "Z123Z5678C", "Unreadable", "Unreadable"},
		{"Q is not 0", "B123Q5678C", "Unreadable", "Unreadable"},
		{"_ is no mark of ours", "B1_345678C", "Unreadable", "Unreadable"},
		{"# neither", "B1#345678C", "Unreadable", "Unreadable"},
		{"a hyphen is passed over, so that a digit is missing", "B1-345678C", "Unreadable", "Unreadable"},
		{"as people write it", " mb 7063-3507 a ", "MB70633507A", "MB70633507A"},
		{"star in front", "*04417225A", "*04417225A", "*04417225A"},
		{"two stars", "*04417225*", "Unreadable", "Unreadable"},
		{"no O behind (V04)", "G55123807O", "Unreadable", "Unreadable"},
		{"rounded by a spreadsheet", "5.50E+07", "Unreadable", "Unreadable"},
		{"digits of another alphabet", "B٧٠٦٣٣٦٠٧C", "Unreadable", "Unreadable"},
		{"another star", "F01873355☆", "F01873355*", "F01873355*"},
	} {
		for i, f := range []form{{prefixes: 1}, anyForm} {
			want := []string{c.ones, c.hundreds}[i]
			got := f.readCell(c.text)
			text := got.Serial.String()
			switch {
			case got.Doubt == Unreadable:
				text = "Unreadable"
				if got.Reason == "" {
					t.Errorf("%s: %q is unreadable without a reason", c.why, c.text)
				}
			case got.Unread != "":
				text = strings.Replace(text, "········", got.Unread, 1)
			}
			if text != want {
				t.Errorf("%s: %q with %d letters in front reads as %s (%s), want %s", c.why, c.text, f.prefixes, text, got.Reason, want)
			}
		}
	}
}

// A serial that triage.ParseSerial takes reads the same here, or is in doubt where a letter was taken as
// a digit at the end; and nothing is taken that it refuses but B for 8 and unread letters.
func TestCellsAsParsed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`[A-Z*]?[A-Z]?[0-9OB?]{7,9}[A-Z*?]?`).Draw(t, "text")
		got := anyForm.readCell(text)
		want, _, err := triage.ParseSerial(text)
		switch {
		case got.Doubt == None && !got.Repairs.Has(BAsEight) && !got.Repairs.Has(LetterUnread):
			if err != nil || got.Serial != want {
				t.Fatalf("%q reads as %v, parsed %v (%v)", text, got.Serial, want, err)
			}
		case err == nil && got.Doubt == UnreadDigits:
			t.Fatalf("%q has unread digits, parsed %v", text, want)
		case err == nil && got.Doubt == Unreadable && !strings.ContainsAny(text, "OB"):
			t.Fatalf("%q is unreadable (%s), parsed %v", text, got.Reason, want)
		}
	})
}

func TestFormats(t *testing.T) {
	const serial = "B48160297C"
	long := strings.Repeat("7", 10<<20)
	columns := strings.Repeat(",", 1_000_000)
	for _, c := range []struct{ why, text, says string }{
		{"nothing", "", "empty"},
		{"no serial", "a\nb\n", "nothing in it looks like a serial"},
		{"numbers of lines only", "1\n2\n3\n4\n", "nothing in it looks like a serial"},
		{"NUL", serial + "\n" + serial + "\x00\n", "line 2 has NUL bytes"},
		{"UTF-16, little end first", "\xff\xfeB\x004\x008\x00", "it is UTF-16; save it as CSV in UTF-8"},
		{"UTF-16, big end first", "\xfe\xff\x00B\x004", "it is UTF-16"},
		{"UTF-16 without its mark", "B\x004\x008\x001\x006\x000\x00", "it is UTF-16"},
		{"a line of 10 MB", serial + "\n" + long, "line 2 is longer than 4,096 bytes"},
		{"a million columns", serial + columns, "line 1 is longer than 4,096 bytes"},
		{"too many columns", serial + strings.Repeat(",", 300), "line 1 has more than 200 columns"},
		{"a control sequence", serial + "\r\n" + "\x1b[2J" + serial, "line 2 has control characters (escape, U+001B)"},
		{"a control sequence of one character", serial + "\u009b31m", "line 1 has control characters (U+009B)"},
		{"the same as a byte", serial + "\r\x9b31m", "line 2 is not UTF-8"},
		{"a bell", serial + "\n\a", "U+0007"},
		{"DEL", serial + "\n\x7f", "U+007F"},
		{"another encoding", serial + ";caf\xe9", "line 1 is not UTF-8; save it as CSV in UTF-8"},
		{"a picture", "\x89PNG\r\n\x1a\n\x00\x00", "line 3 has NUL bytes"},
		{"too many lines", strings.Repeat("\n", mostLines+1), "more than 1,000,000 lines"},
	} {
		_, err := Read(strings.NewReader(c.text))
		var format *FormatError
		if !errors.As(err, &format) || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v, want a *FormatError with %q", c.why, err, c.says)
			continue
		}
		if s := err.Error(); harmful(s) || len(s) > 200 {
			t.Errorf("%s: the message could move the cursor or is long: %q", c.why, s)
		}
	}
	broken := errors.New("the disk is gone")
	if _, err := Read(io.MultiReader(strings.NewReader(serial+"\n"), iotest.ErrReader(broken))); !errors.Is(err, broken) {
		t.Errorf("a read error gave %v", err)
	}
	// A stream without an end is refused, not read for ever.
	if _, err := Read(endless{}); err == nil {
		t.Error("an endless line was taken")
	}
}

type endless struct{}

func (endless) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = '7'
	}
	return len(p), nil
}

// harmful reports whether a text could do something to a terminal.
func harmful(s string) bool {
	return !utf8.ValidString(s) || strings.ContainsFunc(s, func(r rune) bool { return unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r) })
}

// Whatever reader it comes from and however its lines end, a list is the same.
func TestLineEnds(t *testing.T) {
	lines := []string{"no,serial", "1,B48160297C", "", "2,F01873355*"}
	want := read(t, strings.Join(lines, "\n")).Take(Answers{})
	for _, end := range []string{"\n", "\r\n", "\r"} {
		for _, mark := range []string{"", "\ufeff"} {
			for _, last := range []string{"", end} {
				l, err := Read(iotest.OneByteReader(strings.NewReader(mark + strings.Join(lines, end) + last)))
				if err != nil {
					t.Fatal(err)
				}
				if got := l.Take(Answers{}); fmt.Sprint(got) != fmt.Sprint(want) || l.Lines() != 4 {
					t.Errorf("ended by %q, mark %q: %v, want %v", end, mark, got, want)
				}
			}
		}
	}
}

// Which column is taken where several could hold serials.
func TestLayouts(t *testing.T) {
	rows := func(n int, row func(i int) string) string {
		var b strings.Builder
		for i := range n {
			fmt.Fprintln(&b, row(i))
		}
		return b.String()
	}
	digits := func(i int) int { return (i*7_654_321 + 20_123_457) % 96_000_000 }
	for _, c := range []struct {
		why, text string
		want      Layout
	}{
		{"blanks inside a serial are no columns", "mb 7063-3507 a\nB 48160297 C\n", Layout{Whole, 0, -1, -1, -1, 0, -1}},
		{"a pocket in front is no prefix", rows(9, func(i int) string { return fmt.Sprintf("A B%08dC", digits(i)) }), Layout{Blanks, 1, -1, -1, -1, 0, -1}},
		{"a day and a constant lose against digits", rows(9, func(i int) string { return fmt.Sprintf("20260311;44444444;%08d", digits(i)) }), Layout{Semicolon, 2, -1, -1, -1, 0, -1}},
		{"different days lose", rows(9, func(i int) string { return fmt.Sprintf("202603%02d;%08d", 11+i*2, digits(i)) }), Layout{Semicolon, 1, -1, -1, -1, 0, -1}},
		{"eight digits that run lose against others", rows(9, func(i int) string { return fmt.Sprintf("%d,%d", 10_000_001+i, digits(i)) }), Layout{Comma, 1, -1, -1, -1, 0, 0}},
		{"but a new strap runs, too", rows(9, func(i int) string { return fmt.Sprintf("%d,ok-1,%08d", i+1, 10_000_001+i) }), Layout{Comma, 2, -1, -1, -1, 0, 0}},
		{"the machine's own number on every line loses", rows(20, func(i int) string { return fmt.Sprintf("AB10293847A,%08d", digits(i)) }), Layout{Comma, 1, -1, -1, -1, 0, -1}},
		{"of two serial columns the first", "B48160297C,B48160297C\n", Layout{Comma, 0, -1, -1, -1, 0, -1}},
		{"the one with letters before the one without", "48160297,B48160297C\n", Layout{Comma, 1, -1, -1, -1, 0, -1}},
		{"the one that is named", "Batch,Serial\n73160297,48160297\n92160297,58160297\n", Layout{Comma, 1, -1, -1, -1, 1, -1}},
		{"lost zeros only", rows(20, func(i int) string { return fmt.Sprintf("%d,%d,100", i+1, digits(i)/10) }), Layout{Comma, 1, -1, -1, 2, 0, 0}},
		{"pieces are no denomination", rows(9, func(i int) string { return fmt.Sprintf("1,B%08dC", digits(i)) }), Layout{Comma, 1, -1, -1, -1, 0, -1}},
		{"fives are", rows(9, func(i int) string { return fmt.Sprintf("5,B%08dC", digits(i)) }), Layout{Comma, 1, -1, -1, 0, 0, -1}},
		{"grades are no suffix where columns are named", "No,Serial,Fit\n1,48160297,A\n2,58160297,B\n", Layout{Comma, 1, -1, -1, -1, 1, -1}},
	} {
		if got := read(t, c.text).Layout(); got != c.want {
			t.Errorf("%s: %+v, want %+v", c.why, got, c.want)
		}
	}
}

// What becomes of single lines among ordinary ones.
func TestLines(t *testing.T) {
	const printed = "Batch 17 stall 4\nNo Time Value Serial\n1 09:41 $1 B48160297C\n2 09:41 $1 F01873355*\n3 09:42 $1 L09120415B\n"
	const digits = "No,Serial\n1,48160297\n2,58160297\n3,9120415\n4,77120415\n5,30456881\n6,70160297\n"
	const spaced = "B 48160297 C\nF 01873355 *\nL 09120415 B\n"
	for _, c := range []struct{ why, list, line, want string }{
		{"above the header", printed, "", "1: - above the header"},
		{"a footer with a small number where the serials are", printed, "Operator 3 shift 2", "6: - nothing in it looks like a serial"},
		{"a line without its time", printed, "4 $1 C70633507D", "6: C70633507D"},
		{"the number goes on, so it is a note whatever else it says", printed, "4 09:42 $1 total loss", "6: ········ ! no serial was read"},
		{"a sum", printed, "3 notes total $3", "6: - a totals line"},
		{"a number that does not go on", printed, "9 09:42 - ?", "6: - nothing in it looks like a serial"},
		{"a small number that goes on is a note that lost many zeros", digits, "7,415", "8: ········ ! three digits, a serial has eight"},
		{"a small number in a list of digits that does not", digits, "9,415", "8: - nothing in it looks like a serial"},
		{"a serial where none is expected", digits, "B48160297C", "8: B48160297C"},
		{"a serial where none is expected, and something else where it is", digits, "B48160297C,void", "8: ········ ! a serial stands in column 1"},
		{"the header again", digits, "No,Serial", "8: - the header"},
		{"only separators", digits, ",,,", "8: "},
		{"a header named as a total would be", "Count,Serial\n1,48160297\n2,58160297\n", "", "1: - the header"},
		{"two serials in a line", spaced, "C48160297C D01873355*", "4: ········ ! several serials stand in the line"},
		{"a word beside the serial", spaced, "C48160297C torn", "4: C48160297C"},
		{"two serials in columns where none is expected", digits, "B48160297C,,C48160297C", "8: ········ ! several serials stand in the line"},
	} {
		l := read(t, c.list+c.line+"\n")
		number, want, _ := strings.Cut(c.want, ": ")
		n, _ := strconv.Atoi(number)
		if got := outcomes(l, l.Take(Answers{Denomination: 1}))[n-1]; got != want {
			t.Errorf("%s: line %d, %q, gives\n%s, want\n%s (layout %+v)", c.why, n, c.line, got, want, l.Layout())
		}
	}
}

// Whatever columns stand beside the serials, in whatever order and between whatever marks, the serials
// are found and come in order.
func TestFindsTheColumn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(4, 40).Draw(t, "notes")
		lettered := rapid.Bool().Draw(t, "letters")
		separator := rapid.SampledFrom([]string{"\t", ";", ",", "|", "  "}).Draw(t, "separator")
		digits := rapid.SliceOfNDistinct(rapid.IntRange(1, 95_999_999), n, n, rapid.ID[int]).Draw(t, "digits")
		others := map[string]func(i int) string{
			"No":      func(i int) string { return fmt.Sprint(i + 1) },
			"Time":    func(i int) string { return fmt.Sprintf("09:%02d:%02d", i/60, i%60) },
			"Date":    func(int) string { return "20260311" },
			"Day":     func(int) string { return "2026-03-11" },
			"Denom":   func(int) string { return "$1" },
			"Sum":     func(i int) string { return fmt.Sprintf("%d.00", i+1) },
			"Pocket":  func(i int) string { return fmt.Sprint(1 + i%2) },
			"Machine": func(int) string { return "73160297" },
			"Fit":     func(i int) string { return []string{"fit", "unfit"}[i%2] },
		}
		names := append(rapid.Permutation([]string{"No", "Time", "Date", "Day", "Denom", "Sum", "Pocket", "Machine", "Fit"}).Draw(t, "columns")[:rapid.IntRange(1, 9).Draw(t, "some")], "Serial")
		names = rapid.Permutation(names).Draw(t, "order")
		var b strings.Builder
		if rapid.Bool().Draw(t, "header") {
			b.WriteString(strings.Join(names, separator) + "\n")
		}
		var want []string
		for i, d := range digits {
			serial := fmt.Sprintf("%08d", d)
			if lettered {
				serial = fmt.Sprintf("%c%s%c", 'A'+i%12, serial, "ABC*"[i%4])
			}
			want = append(want, serial)
			var cells []string
			for _, name := range names {
				if name == "Serial" {
					cells = append(cells, serial)
				} else {
					cells = append(cells, others[name](i))
				}
			}
			b.WriteString(strings.Join(cells, separator) + "\n")
		}
		l, err := Read(strings.NewReader(b.String()))
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, n := range l.Take(Answers{Denomination: 1}).Notes {
			got = append(got, n.Serial.String())
		}
		if !slices.Equal(got, want) {
			t.Fatalf("%+v gives %q, want %q, of\n%s", l.Layout(), got, want, b.String())
		}
	})
}

func TestColumns(t *testing.T) {
	l := read(t, "No,Left,Right\u202e\n1,B48160297C,F01873355*\n2,G20174410A,G20174410A\n")
	columns := l.Columns()
	if len(columns) != 3 || columns[0].Name != "No" || columns[1].Name != "Left" || columns[1].Serials != 2 || columns[1].Example != "B48160297C" {
		t.Errorf("columns %+v", columns)
	}
	if harmful(columns[2].Name) {
		t.Errorf("the name %q could turn a line round", columns[2].Name)
	}
	taken := l.Take(Answers{})
	if taken.Notes[0].Serial.String() != "B48160297C" || taken.Beside != (Some{1, 2}) {
		t.Errorf("%+v: want the left column, and line 2 said to have another serial beside", taken)
	}
	right := l.ByColumn(2)
	if got := right.Take(Answers{}).Notes[0].Serial.String(); got != "F01873355*" || right.Layout().Header != 1 {
		t.Errorf("the third column gives %s, layout %+v", got, right.Layout())
	}
	if l.ByColumn(3) != l || l.ByColumn(-1) != l {
		t.Error("a column that is not there was taken")
	}
	if got := read(t, "B48160297C;1\nF01873355*;2\n").Columns()[1].Name; got != "column 2" {
		t.Errorf("a column without a name is called %q", got)
	}
}

func TestQuestions(t *testing.T) {
	l := readSample(t, "doubts.csv")
	a := Answers{Denomination: 1}
	taken := l.Take(a)
	if q := taken.Asked; q.Zeros != 1 || q.Twice != 1 || q.Others != 2 || !q.Open() {
		t.Errorf("asked %+v, want one lost zero, one line twice, two of another denomination, open", q)
	}
	a.Zeros, a.Twice = No, No
	if !l.Take(a).Asked.Open() {
		t.Error("with the last question unanswered nothing is open")
	}
	a.Others = No
	if q := l.Take(a).Asked; q.Open() || q.Others != 2 {
		t.Errorf("answered: %+v", q)
	}
	a.Twice, a.Others = Yes, Yes
	taken = l.Take(a)
	for _, n := range taken.Notes {
		switch {
		case n.Line == 7 && (n.Doubt != Repeats || n.Of < 0 || taken.Notes[n.Of].Line != 2):
			t.Errorf("line 7 repeats line 2: %+v", n)
		case n.Line != 7 && n.Of != -1:
			t.Errorf("line %d repeats none: %+v", n.Line, n)
		case n.Line == 6 && n.Doubt != OtherFace:
			t.Errorf("line 6 is a $5: %+v", n)
		}
	}
	said := strings.Join(l.Take(Answers{Denomination: 1}).Sentences(), "\n")
	for _, want := range []string{"11 notes in the list.", "In line 4 the letter O", "In line 5 the letter B", "line 6: a $5 by the list", "line 7: the same serial as line 2"} {
		if !strings.Contains(said, want) {
			t.Errorf("nothing says %q:\n%s", want, said)
		}
	}
}

// inPile is the pile of a list that begins on its top.
var inPile = Pile{Note: func(i int) string { return fmt.Sprint("note ", i+1) }, Behind: func(n int) string { return fmt.Sprint("behind note ", n) }}

// A list with a serial twice names the first by its line, and with the pile by its place there; a line left out by where it
// would lie.
func TestTheRepeatedSerialIsNamedInThePile(t *testing.T) {
	l := read(t, "B48160297C\n\nB35120846C\nnone\nB48160297C\n")
	taken := l.Take(Answers{Twice: Yes})
	if got := taken.Why(2, inPile); got != "the same serial as note 1 (line 1)" {
		t.Errorf("the note that repeats: %q", got)
	}
	if got := taken.Why(0, inPile); got != "" {
		t.Errorf("a note without doubt: %q", got)
	}
	if got := taken.Told(taken.LeftOut[0], inPile); got != "line 4, behind note 2: nothing in it looks like a serial: none" {
		t.Errorf("the line that is no note: %q", got)
	}
	taken = l.Take(Answers{})
	if got := taken.Told(taken.LeftOut[1], inPile); got != "line 5, behind note 2: the same serial as note 1 (line 1): B48160297C" {
		t.Errorf("the line left out: %q", got)
	}
	for denomination, want := range map[triage.Denomination]string{1: "a $5 by the list; the same serial as note 1 (line 2)", 5: "the same serial as note 1 (line 2)"} {
		taken := read(t, "Serial,Face\nB48160297C,$5\nB48160297C,$5\n").Take(Answers{denomination, No, Yes, Yes})
		if got := taken.Why(1, inPile); got != want {
			t.Errorf("among %s: %q, want %q", denomination, got, want)
		}
	}
}

// Lines that say nothing are told, too.
func TestBlankLinesAreTold(t *testing.T) {
	for text, want := range map[string]string{
		"1,B48160297C\n,\n2,B35120846C\n":         "A blank line was passed over: line 2.",
		"B48160297C\n\n  \nB35120846C\n\n":        "3 blank lines were passed over, the first is line 2.",
		"B48160297C\nB35120846C\n":                "",
		"Serial;Face\n\"\";\"\"\nB48160297C;$1\n": "A blank line was passed over: line 2.",
	} {
		if got := strings.Join(read(t, text).Take(Answers{}).Remarks(), " "); got != want {
			t.Errorf("%q says %q, want %q", text, got, want)
		}
	}
}

// A quoted cell that goes on in the next line does not cost the note its serial, and the rest of it is no note. (That
// cells may do so: RFC 4180, section 2, rule 6.)
func TestAQuotedCellOverSeveralLines(t *testing.T) {
	l := read(t, "No,\"Serial\nnumber\",Remark\n1,\"B48160297C\",\"torn\nat the 2nd edge\"\n2,B70633607C,\n3,B35120846C,\"x\ny\"\n4,\"\n")
	if got := l.Said(); got != "column 2, Serial, between commas" {
		t.Errorf("the serials are in %q", got)
	}
	taken := l.Take(Answers{})
	var notes, left []string
	for _, n := range taken.Notes {
		notes = append(notes, fmt.Sprint(n.Line, " ", n.Serial, " ", n.Reason))
	}
	for _, out := range taken.LeftOut {
		left = append(left, fmt.Sprint(out.Line, " ", out.Kind.Sure(), " ", out.Reason))
	}
	const rest = "the rest of a quoted cell; give each note one line"
	if want := []string{"3 B48160297C ", "5 B70633607C ", "6 B35120846C ", "8 ········ a quoted cell goes on in the next line; give each note one line"}; !slices.Equal(notes, want) {
		t.Errorf("notes %q, want %q", notes, want)
	}
	if want := []string{"1 true the header", "2 true " + rest, "4 false " + rest, "7 true " + rest}; !slices.Equal(left, want) {
		t.Errorf("left out %q, want %q", left, want)
	}
	// A quote by mistake takes no note away.
	for _, text := range []string{"1,B48160297C\"\n", "1,torn\",B48160297C\n", "1,\"B48160297C\n"} {
		if taken := read(t, "1,B35120846C,x\n"+text).Take(Answers{}); len(taken.Notes) != 2 {
			t.Errorf("%q is no note: %+v", text, taken.LeftOut)
		}
	}
}

// accounted says what is wrong with the account of a list: every line is a note, left out with a reason,
// or blank; notes stand in order; an unread digit is never guessed; nothing harms a terminal.
func accounted(l *List, t Taken) error {
	seen := make([]bool, l.Lines())
	once := func(line int) error {
		if line < 1 || line > len(seen) || seen[line-1] {
			return fmt.Errorf("line %d is not there, or taken twice", line)
		}
		seen[line-1] = true
		return nil
	}
	if sum := len(t.Notes) + len(t.LeftOut) + t.Blank.Lines; sum != l.Lines() {
		return fmt.Errorf("%d notes, %d left out and %d blank of %d lines", len(t.Notes), len(t.LeftOut), t.Blank.Lines, l.Lines())
	}
	last := 0
	for i, n := range t.Notes {
		if err := once(n.Line); err != nil {
			return err
		}
		_, whole := n.Serial.Whole()
		switch needs := n.Doubt == UnreadDigits || n.Doubt == Unreadable; {
		case n.Line <= last:
			return fmt.Errorf("line %d comes after line %d", n.Line, last)
		case whole == needs && n.Doubt != Repeats && n.Doubt != OtherFace, n.Serial.Digits != "" && !whole:
			return fmt.Errorf("line %d: doubt %d with digits %q", n.Line, n.Doubt, n.Serial.Digits)
		case (n.Unread != "") != (n.Doubt == UnreadDigits), n.Unread != "" && (len(n.Unread) != patterns.Places || !strings.Contains(n.Unread, "?")):
			return fmt.Errorf("line %d: doubt %d with unread %q", n.Line, n.Doubt, n.Unread)
		case (n.Reason != "") != (n.Doubt != None):
			return fmt.Errorf("line %d: doubt %d, reason %q", n.Line, n.Doubt, n.Reason)
		case (t.Why(i, inPile) != "") != (n.Doubt != None), harmful(t.Why(i, inPile)):
			return fmt.Errorf("line %d: doubt %d, in the pile %q", n.Line, n.Doubt, t.Why(i, inPile))
		case (n.Of >= 0) && (n.Of >= i || t.Notes[n.Of].Serial != n.Serial):
			return fmt.Errorf("line %d repeats note %d", n.Line, n.Of)
		case harmful(n.Text+n.Reason+n.Serial.String()) || len(n.Text) > 1000:
			return fmt.Errorf("line %d: harmful or long: %q, %q", n.Line, n.Text, n.Reason)
		}
		last = n.Line
	}
	for _, left := range t.LeftOut {
		if err := once(left.Line); err != nil {
			return err
		}
		if left.Reason == "" || harmful(left.String()) || harmful(t.Told(left, inPile)) {
			return fmt.Errorf("left out without a reason, or harmful: %q", left)
		}
	}
	for i, s := range seen {
		if blank := strings.Trim(l.line(i+1), " \t\f\u00a0\ufeff,;|\"") == ""; !s && !blank {
			return fmt.Errorf("line %d counts as blank: %q", i+1, l.line(i+1))
		}
	}
	return nil
}

// everyAnswer calls try with all answers.
func everyAnswer(try func(Answers)) {
	for i := range 27 {
		for _, d := range []triage.Denomination{0, 1, 5} {
			try(Answers{d, Answer(i % 3), Answer(i / 3 % 3), Answer(i / 9)})
		}
	}
}

func TestEveryLineIsAccountedFor(t *testing.T) {
	line := rapid.OneOf(
		rapid.StringMatching(`[A-L][0-9]{8}[A-Z*]`),
		rapid.StringMatching(`[A-M?]{0,2}[0-9OB?]{7,9}[A-Z*?]?`),
		rapid.StringMatching(`[0-9]{1,3}[,;\t |]{1,3}(09:4[0-9]:[0-9]{2})?[,;\t |]\$?(1|5|1.00)[,;\t |]{1,2}[A-L]?[0-9?O]{7,8}[A-Z*]?`),
		rapid.StringMatching(`(TOTAL|Count|Sum|Page|No)[:,; ][0-9]{0,4}(,|;| +)[$0-9A-Za-z]{0,12}`),
		rapid.SampledFrom([]string{"", " ", "\t", ",,,", "\f", "-----", "2026-03-11", "\"", "=\"01234567\"", "'01234567", "B70633607C", "1,\"B,70633607\",C"}),
		rapid.StringMatching(`[ -~]{0,30}`),
	)
	rapid.Check(t, func(t *rapid.T) {
		end := rapid.SampledFrom([]string{"\n", "\r\n", "\r"}).Draw(t, "end")
		text := strings.Join(rapid.SliceOfN(line, 1, 12).Draw(t, "lines"), end)
		l, err := Read(strings.NewReader(text))
		if err != nil {
			var format *FormatError
			if !errors.As(err, &format) {
				t.Fatal(err)
			}
			return
		}
		for i := range l.Columns() {
			l := l.ByColumn(i)
			everyAnswer(func(a Answers) {
				if err := accounted(l, l.Take(a)); err != nil {
					t.Fatalf("%q, layout %+v, answers %+v: %v", text, l.Layout(), a, err)
				}
			})
		}
	})
}

func FuzzRead(f *testing.F) {
	names, err := filepath.Glob("../../testdata/lists/*.*")
	if err != nil || len(names) < 8 {
		f.Fatalf("the samples are missing: %v, %v", names, err)
	}
	for _, name := range names {
		text, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(text)
	}
	f.Add([]byte("B70633607C\x1b[2J\n"))
	f.Add([]byte("\xff\xfeB\x007\x00"))
	f.Fuzz(func(t *testing.T, text []byte) {
		l, err := Read(bytes.NewReader(text))
		if err != nil {
			if harmful(err.Error()) {
				t.Fatalf("the message %q is harmful", err)
			}
			return
		}
		for i, c := range l.Columns() {
			if harmful(c.Name + c.Example) {
				t.Fatalf("column %+v is harmful", c)
			}
			if l := l.ByColumn(i); i < 4 {
				for _, a := range []Answers{{}, {1, Yes, Yes, Yes}, {5, No, No, No}} {
					if err := accounted(l, l.Take(a)); err != nil {
						t.Fatalf("layout %+v, answers %+v: %v", l.Layout(), a, err)
					}
				}
			}
		}
	})
}

// machineList is a list of so many lines as a machine might write it, with some of everything.
func machineList(lines int) []byte {
	random := rand.New(rand.NewPCG(3, 3))
	var b bytes.Buffer
	b.WriteString("No,Time,Denomination,Serial,Fit\n")
	for i := range lines {
		digits := []byte(fmt.Sprintf("%08d", random.IntN(96_000_000)))
		switch random.IntN(100) {
		case 0:
			digits[random.IntN(8)] = '?'
		case 1:
			digits = bytes.ReplaceAll(digits, []byte("0"), []byte("O"))
		}
		fmt.Fprintf(&b, "%d,%02d:%02d:%02d,$1,%c%s%c,A\n", i+1, i/36000%24, i/600%60, i/10%60, 'A'+random.IntN(12), digits, 'A'+random.IntN(12))
	}
	return b.Bytes()
}

// BenchmarkList reads, takes and judges a list of 100,000 lines, as the screen does when it is opened.
func BenchmarkList(b *testing.B) {
	const lines = 100_000
	text := machineList(lines)
	book, err := patterns.NewBook(patterns.DefaultSettings())
	if err != nil {
		b.Fatal(err)
	}
	watch := book.DefaultWatch()
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	heap := uint64(0) // of the process after the first list, the list as a text and the book with it
	for b.Loop() {
		l, err := Read(bytes.NewReader(text))
		if err != nil {
			b.Fatal(err)
		}
		stops := 0
		for _, n := range l.Take(Answers{Denomination: 1}).Notes {
			if d, ok := n.Serial.Whole(); ok && book.Stops(d, watch) {
				stops++
			}
		}
		if stops == 0 {
			b.Fatal("nothing stops")
		}
		if heap == 0 {
			var m runtime.MemStats
			runtime.ReadMemStats(&m)
			heap = m.HeapSys
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/lines, "ns/line")
	b.ReportMetric(float64(heap)/(1<<20), "MB-heap")
}

// BenchmarkTake is what a changed answer costs.
func BenchmarkTake(b *testing.B) {
	l, err := Read(bytes.NewReader(machineList(100_000)))
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		l.Take(Answers{Denomination: 1})
	}
}
