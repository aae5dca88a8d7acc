package stars

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"runtime"
	"slices"
	"strings"
	"testing"
	"testing/iotest"
	"time"
	"unicode"
	"unicode/utf16"

	"pgregory.net/rapid"

	"app/unband/patterns"
	"app/unband/triage"
)

// listed is the date of the invented lists.
var listed = time.Date(2030, time.January, 31, 0, 0, 0, 0, time.UTC)

const header = "denomination,series,from,to,quantity,facility,month\n"

func file(t testing.TB, name string) string {
	t.Helper()
	b, err := os.ReadFile(filepath.Join("..", "..", "testdata", "runs", name))
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

func imported(t testing.TB, text string, known ...Run) Result {
	t.Helper()
	r, err := ImportCSV(strings.NewReader(text), listed, known)
	if err != nil {
		t.Fatalf("%.60q: %v", text, err)
	}
	return r
}

// names writes runs in the short, without what is not said.
func names(runs []Run) (all []string) {
	for _, r := range runs {
		s := fmt.Sprintf("%v %s %c %d-%d", r.Denomination, r.Series, r.Bank, r.From, r.To)
		if r.Quantity > 0 {
			s += fmt.Sprintf(" %d", r.Quantity)
		}
		if r.Facility != AnyFacility {
			s += " " + r.Facility.String()
		}
		if r.Month != 0 {
			s += fmt.Sprintf(" %d", r.Month)
		}
		all = append(all, s)
	}
	return all
}

func wantNames(t *testing.T, why string, runs []Run, want ...string) {
	t.Helper()
	if got := names(runs); !slices.Equal(got, want) {
		t.Errorf("%s:\n%s\nwant\n%s", why, strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

// The published runs as a file: totals of the sources (CoinTalk thread 326210 and posts/1808412).
func TestImportOfPublishedRuns(t *testing.T) {
	r := imported(t, file(t, "published-2009-ones.csv"))
	if len(r.Refused) > 0 || r.Regular > 0 {
		t.Errorf("%q", r.Sentences())
	}
	totals := map[byte]int{}
	for _, run := range r.Runs {
		totals[run.Bank] += run.Notes()
		if run.Listed != listed {
			t.Errorf("%v is of the list of %v", run, run.Listed)
		}
	}
	if totals['B'] != 8_992_000 || totals['A'] != 6_080_000 {
		t.Errorf("New York has %d, Boston %d; published are 8,992,000 and 6,080,000", totals['B'], totals['A'])
	}
}

func TestImportOfEverySpelling(t *testing.T) {
	r := imported(t, file(t, "spellings.csv"))
	wantNames(t, "spellings.csv", r.Runs,
		"$1 2017A C 35200001-38400000 3200000 Fort Worth 202003",
		"$1 2017A C 38400001-41600000 Fort Worth 202004",
		"$5 2013 C 35200001-38400000 3200000 Washington 201410",
		"$1 2017A C 44800001-45120000 320000 Washington 202005",
		"$1 2017A L 48000001-48320000")
	if r.Regular != 1 || r.FirstRegular != 7 || len(r.Refused) > 0 {
		t.Errorf("%q", r.Sentences())
	}
	r = imported(t, file(t, "tabs-suffix-column.tsv"))
	wantNames(t, "tabs-suffix-column.tsv", r.Runs, "$20 2017 B 3200001-3840000 640000")
	if r.Regular != 1 || r.FirstRegular != 5 || len(r.Refused) > 0 {
		t.Errorf("%q", r.Sentences())
	}
}

func TestRefusedLineByLine(t *testing.T) {
	r := imported(t, file(t, "refused.csv"))
	wantNames(t, "the good lines", r.Runs,
		"$1 2017A B 1-640000 640000 Washington 202001",
		"$1 2017A B 16000001-19200000 Fort Worth 202002", "$1 2017A B 19200001-22400000 Fort Worth 202002")
	if r.Divided != 1 {
		t.Errorf("%d lines were divided, want 1", r.Divided)
	}
	want := []Refusal{
		{3, "it overlaps the run 00000001 to 00640000 (line 2)"},
		{4, "these numbers are known with 640,000 notes, not 320,000 (line 2)"},
		{5, "it begins with 03200001, after its end 03199000"},
		{6, "6,400,000 notes do not fit: from 03200001 to 03840000 there are 640,000 numbers"},
		{7, "M before the digits names no Federal Reserve Bank: A to L"},
		{8, "MB before the digits: $1 notes of Series 2017A have one letter"},
		{9, "“$3” is no denomination of Federal Reserve notes"},
		{10, "“17” is not a series such as 2017 or 2017A"},
		{11, "one of “B 03200001 *” and “B 03840000 E” has a star, the other has not"},
		{12, "neither a star nor a suffix letter is given, so it may be a regular run"},
		{13, "the letters before the digits differ: B and C"},
		{14, "“B 032000010 *” has 9 digits, a serial has 8"},
		{15, "“*03200001 B” is not a number of a note such as C 38,400,001 *"},
		{16, "it has 10 cells, the header names 7: a number with commas needs quotes around it"},
		{17, "“Denver” is no facility: Washington (or DC) or Fort Worth (or FW)"},
		{18, "“01/02/2020” is not a month such as 2014-10 or October 2014"},
		{19, "it is of January 2031, after the date of the list, 31 January 2030"},
		{20, "it goes from slot 3 into slot 4, so it is more than one run: a star run is given 3,200,000 numbers, here up to 09600000"},
		{21, "the denomination is blank"},
		{22, "the series is blank"},
		{23, `the number "from" is blank`},
		{24, "its quotes do not match; a cell cannot go over a line"},
		{25, "the first number is 0: numbers begin with 00000001"},
		{26, "B before the digits: $20 notes of Series 2017 have two letters, and the second names the bank"},
		{27, "“64,00” is not a number of notes"},
	}
	for i := range max(len(want), len(r.Refused)) {
		var got, w Refusal
		if i < len(r.Refused) {
			got = r.Refused[i]
		}
		if i < len(want) {
			w = want[i]
		}
		if got != w {
			t.Errorf("refused is\n%v, want\n%v", got, w)
		}
	}
	said := strings.Join(r.Sentences(), "\n")
	if !strings.Contains(said, "3 new runs came in, 0 known already.") || !strings.Contains(said, "Refused, line 3: it overlaps") {
		t.Errorf("it is told as\n%s", said)
	}
}

func TestOneLine(t *testing.T) {
	for _, c := range []struct {
		why, header, line string
		want              string // the run, or part of the reason
	}{
		{"spelling of the task", "Denomination,Series,Beginning,Ending", `$1,2017A,"C 38,400,001 *","C 41,600,000 *"`, "$1 2017A C 38400001-41600000"},
		{"no blanks", "Denomination,Series,Beginning,Ending", `$1,2017A,C38400001*,C41600000*`, "$1 2017A C 38400001-41600000"},
		{"two letters", "Denomination,Series,Beginning,Ending", `$5,2013,"MC 38,400,001 *","MC 41,600,000 *"`, "$5 2013 C 38400001-41600000"},
		{"a series letter has its own column", "denomination,series,series letter,bank letter,begin,end,suffix", `$5,2013,M,C,38400001,41600000,*`, "$5 2013 C 38400001-41600000"},
		{"the bank letter too", "denomination,series,bank letter,begin,end", `$5,2013,C,C 38400001*,C 41600000*`, "$5 2013 C 38400001-41600000"},
		{"leading zeros lost in a spreadsheet (I01)", "denomination,series,from,to,suffix,bank", "$1,2017A,1,640000,*,F", "$1 2017A F 1-640000"},
		{"names with underscores and capitals", "Note_Denomination,SERIES,StartSerial,EndSerial", "$1,2017A,F1*,F640000*", "$1 2017A F 1-640000"},
		{"notes are the quantity", "denomination,series,from,to,number of notes", `$1,2017A,F1*,F640000*,"640,000"`, "$1 2017A F 1-640000 640000"},
		{"unless there is one", "denomination,series,from,to,notes,quantity", `$1,2017A,F1*,F640000*,late,"640,000"`, "$1 2017A F 1-640000 640000"},
		{"a city", "denomination,series,from,to,suffix,bank", "$1,2017A,1,640000,*,st. louis", "$1 2017A H 1-640000"},
		{"a district", "denomination,series,from,to,suffix,district", "$1,2017A,1,640000,*,12", "$1 2017A L 1-640000"},
		{"no-break spaces", "denomination,series,from,to", "$1,2017A,C\u00a038\u00a0400\u00a0001\u00a0*,C 41600000 *", "$1 2017A C 38400001-41600000"},
		{"cells behind the header, blank", "denomination,series,from,to", "$1,2017A,F1*,F640000*,,", "$1 2017A F 1-640000"},
		{"cents", "denomination,series,from,to", "$100.00,2009A,LF1*,LF640000*", "$100 2009A F 1-640000"},
		{"the end says no letters", "denomination,series,from,to", "$1,2017A,F1*,640000*", "$1 2017A F 1-640000"},
		{"an older two-letter note", "denomination,series,from,to", "$20,1995,MB1*,MB640000*", "one letter"},
		{"district 13", "denomination,series,from,to,suffix,district", "$1,2017A,1,640000,*,13", "no Federal Reserve Bank"},
		{"the column says another bank", "denomination,series,from,to,bank", "$1,2017A,F1*,F640000*,G", "its own column says G"},
		{"no bank anywhere", "denomination,series,from,to", "$1,2017A,1*,640000*", "no bank is named"},
		{"star and suffix differ", "denomination,series,from,to,suffix", "$1,2017A,F1*,F640000*,A", "the suffixes differ: * and A"},
		{"commas in the wrong places", "denomination,series,from,to", `$1,2017A,"F3,84,000,01*",F38400001*`, "is not a number of a note"},
		{"a letter among the digits", "denomination,series,from,to", `$1,2017A,F3840O001*,F38400001*`, "is not a number of a note"},
		{"two stars", "denomination,series,from,to", `$1,2017A,F38400001**,F38400001*`, "is not a number of a note"},
		{"no notes", "denomination,series,from,to,quantity", `$1,2017A,F1*,F640000*,0`, "leave it blank"},
		{"a total", "denomination,series,from,to,quantity", `Total,,,,640000`, `the number "from" is blank`},
		{"a formula", "denomination,series,from,to", `=1+1,2017A,F1*,F640000*`, "no denomination"},
		{"colours", "denomination,series,from,to", "\x1b[31m$1,2017A,F1*,F640000*", `“\x1b[31m$1” is no denomination`},
		{"a very long cell", "denomination,series,from,to", strings.Repeat("9", 3000) + ",2017A,F1*,F640000*", "…” is no denomination"},
		{"bytes that are no text", "denomination,series,from,to", "\xff\xfe$1,2017A,F1*,F640000*", "no denomination"},
		{"NUL", "denomination,series,from,to", "$1,2017A,F1*,F64\x000000*", "NUL bytes"},
		{"a quote that stays open", "denomination,series,from,to", `$1,2017A,"F1*,F640000*`, "quotes do not match"},
		{"month before the Bureau", "denomination,series,from,to,month", `$1,2017A,F1*,F640000*,1800-01`, "is not a month"},
	} {
		r := imported(t, c.header+"\n"+c.line+"\n")
		if len(r.Runs) == 1 {
			wantNames(t, c.why, r.Runs, c.want)
			continue
		}
		if len(r.Refused) != 1 || r.Refused[0].Line != 2 || !strings.Contains(r.Refused[0].Reason, c.want) {
			t.Errorf("%s: %q, want %q", c.why, r.Sentences(), c.want)
		}
	}
}

func TestMonths(t *testing.T) {
	for _, text := range []string{"2014-10", "2014/10", "10/2014", "10-2014", "201410", "October 2014", "october  2014",
		"October, 2014", "Oct 2014", "OCT-2014", "Oct-14", "2014-10-31"} {
		if m, err := readMonth(text); m != 201410 || err != nil {
			t.Errorf("%q is %v, %v", text, m, err)
		}
	}
	for _, text := range []string{"10", "2014", "13/2014", "10/11/2014", "0/2014", "Octember 2014", "2014-00", "99999-01"} {
		if m, err := readMonth(text); err == nil {
			t.Errorf("%q is %v", text, m)
		}
	}
	if s := Month(201410).String(); s != "October 2014" {
		t.Errorf("201410 is %q", s)
	}
}

// Line ends and marks change nothing.
func TestTheSameListInEveryForm(t *testing.T) {
	text := file(t, "refused.csv")
	want := imported(t, text)
	for why, form := range map[string]string{
		"CR LF":                 strings.ReplaceAll(text, "\n", "\r\n"),
		"CR alone":              strings.ReplaceAll(text, "\n", "\r"),
		"byte order mark":       "\uFEFF" + text,
		"no end of line at all": strings.TrimRight(text, "\n"),
		"blank cells behind":    strings.ReplaceAll(text, "month\n", "month,,\n"),
	} {
		if got := imported(t, form); why != "blank cells behind" && !reflect.DeepEqual(got, want) || !reflect.DeepEqual(got.Runs, want.Runs) {
			t.Errorf("%s: %q, want %q", why, got.Sentences(), want.Sentences())
		}
	}
	got, err := ImportCSV(iotest.OneByteReader(strings.NewReader(text)), listed, nil)
	if err != nil || !reflect.DeepEqual(got, want) {
		t.Errorf("byte by byte: %q, %v", got.Sentences(), err)
	}
	got, err = ImportCSV(iotest.DataErrReader(strings.NewReader(text)), listed, nil)
	if err != nil || !reflect.DeepEqual(got, want) {
		t.Errorf("the end with the last bytes: %q, %v", got.Sentences(), err)
	}
}

func TestFilesThatAreNoList(t *testing.T) {
	wide := func(mark string, order func(uint16) []byte) string {
		out := []byte(mark)
		for _, u := range utf16.Encode([]rune(header)) {
			out = append(out, order(u)...)
		}
		return string(out)
	}
	little := func(u uint16) []byte { return []byte{byte(u), byte(u >> 8)} }
	big := func(u uint16) []byte { return []byte{byte(u >> 8), byte(u)} }
	for _, c := range []struct{ why, text, want string }{
		{"nothing", "", "no line names the columns"},
		{"blank lines", "\n\n\r\n", "no line names the columns"},
		{"no such columns", "a,b,c\n1,2,3\n", "no line names the columns denomination, series, from and to"},
		{"a column is lacking", "denomination,series,from,quantity\n$1,2017A,F1*,1\n", "no line names the columns"},
		{"no header in sight", strings.Repeat("$1,2017A,F1*,F640000*\n", 30), "none of the first 20 lines"},
		{"two columns alike", "denomination,series,from,start,to\n", "“from” and “start”"},
		{"two columns alike, coloured", "denomination,series,from,\x1b[31 start,to\n", `“\x1b[31 start”`},
		{"UTF-16, little end first", wide("\xff\xfe", little), "UTF-16"},
		{"UTF-16, big end first", wide("\xfe\xff", big), "UTF-16"},
		{"UTF-16 without a mark", wide("", little), "UTF-16"},
		{"NUL bytes", "\x00\x00\x00", "NUL"},
		{"a line of 10 MB", strings.Repeat("x", 10<<20), "longer than 4,096 bytes"},
		{"too many lines", header + strings.Repeat("\n", mostLines), "more than 200,000 lines"},
	} {
		r, err := ImportCSV(strings.NewReader(c.text), listed, nil)
		var e *FormatError
		if !errors.As(err, &e) || !strings.Contains(err.Error(), c.want) || !reflect.DeepEqual(r, Result{}) {
			t.Errorf("%s: %v, %+v; want a FormatError with %q", c.why, err, r, c.want)
		}
	}
	disk := errors.New("the disk says no")
	r, err := ImportCSV(io.MultiReader(strings.NewReader(header+"$1,2017A,F1*,F640000*\n$1,20"), iotest.ErrReader(disk)), listed, nil)
	if !errors.Is(err, disk) || !reflect.DeepEqual(r, Result{}) {
		t.Errorf("a disk that fails: %v, %+v", err, r)
	}
}

// No file fills the memory: a long line is passed over, refusals are counted after the first thousand,
// and runs end at a bound.
func TestMemoryIsBounded(t *testing.T) {
	good := "$1,2017A,F1*,F640000*,,,\n"
	r := imported(t, header+strings.Repeat("x", 10<<20)+"\n"+good)
	if len(r.Runs) != 1 || len(r.Refused) != 1 || r.Refused[0] != (Refusal{2, "it is longer than 4,096 bytes"}) {
		t.Errorf("after a line of 10 MB: %q", r.Sentences())
	}
	r = imported(t, header+strings.Repeat("x\n", 5000)+good)
	if len(r.Runs) != 1 || len(r.Refused) != mostRefusals || r.More != 4000 {
		t.Errorf("%d runs, %d refused, %d more", len(r.Runs), len(r.Refused), r.More)
	}
	if said := r.Sentences(); said[len(said)-1] != "Refused, 4,000 more lines." {
		t.Errorf("it is told as %q", said[len(said)-1])
	}
	var before, after runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&before)
	endless := io.MultiReader(strings.NewReader(header), io.LimitReader(letters{}, 1<<26))
	if _, err := ImportCSV(endless, listed, nil); err != nil {
		t.Error(err)
	}
	runtime.ReadMemStats(&after)
	if grown := after.TotalAlloc - before.TotalAlloc; grown > 1<<20 {
		t.Errorf("a line of 64 MB took %d bytes", grown)
	}
	var many strings.Builder
	many.WriteString(header)
	for i := range mostRuns + 1 {
		fmt.Fprintf(&many, "$1,2017A,F%d*,F%d*,,,\n", i*10+1, i*10+10)
	}
	var e *FormatError
	if _, err := ImportCSV(strings.NewReader(many.String()), listed, nil); !errors.As(err, &e) || !strings.Contains(e.Reason, "20,000 runs") {
		t.Errorf("too many runs: %v", err)
	}
}

// letters never ends and never breaks a line.
type letters struct{}

func (letters) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = 'x'
	}
	return len(p), nil
}

// What was known before counts like an earlier line.
func TestImportBesideKnownRuns(t *testing.T) {
	known := boston2009()
	r := imported(t, file(t, "published-2009-ones.csv"), known...)
	if r.Known != 4 || len(r.Runs) != 6 || len(r.Refused) > 0 {
		t.Errorf("%q", r.Sentences())
	}
	known = []Run{run(1, "2009", 'A', 600_000, 700_000)}
	r = imported(t, file(t, "published-2009-ones.csv"), known...)
	want := []Refusal{{8, "it overlaps the run 00600000 to 00700000 (known from before)"}}
	if len(r.Runs) != 9 || !reflect.DeepEqual(r.Refused, want) {
		t.Errorf("%q, want %v", r.Sentences(), want)
	}
	if len(known) != 1 || known[0].From != 600_000 {
		t.Error("what was handed in was changed")
	}
}

// drawList writes a list in some form, with good lines and bad ones.
func drawList(t *rapid.T) string {
	comma := rapid.SampledFrom([]string{",", ";", "\t"}).Draw(t, "comma")
	names := rapid.Permutation([]string{"Denomination", "Series", "From", "To", "Quantity", "Facility", "Month"}).Draw(t, "columns")
	out := strings.Join(names, comma) + "\n"
	for range rapid.IntRange(0, 15).Draw(t, "lines") {
		r := drawRun(t)
		if r.Denomination == 20 && r.Series == "2013" {
			continue // two letters
		}
		suffix := rapid.SampledFrom([]string{"*", "*", "*", " *", "E", ""}).Draw(t, "suffix")
		cells := map[string]string{
			"Denomination": r.Denomination.String(), "Series": r.Series,
			"From":     fmt.Sprintf(`"%c %s%s"`, r.Bank, triage.Thousands(int(r.From)), suffix),
			"To":       fmt.Sprintf("%c%v%s", r.Bank, r.To, suffix),
			"Quantity": map[bool]string{true: fmt.Sprint(r.Quantity)}[r.Quantity > 0],
			"Facility": map[Facility]string{Washington: "DC", FortWorth: "Fort Worth"}[r.Facility],
			"Month":    map[bool]string{true: r.Month.String()}[r.Month > 0],
		}
		var line []string
		for _, n := range names {
			line = append(line, cells[n])
		}
		out += strings.Join(line, comma) + rapid.SampledFrom([]string{"\n", "\r\n", "\n\n"}).Draw(t, "end")
	}
	return out
}

// Importing a list twice changes nothing: what came in is known the second time, and what was refused
// is refused again.
func TestImportingTwiceChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text, known := drawList(t), drawRuns(t)
		first, err := ImportCSV(strings.NewReader(text), listed, known)
		if err != nil {
			t.Fatalf("%q: %v", text, err)
		}
		all := append(slices.Clone(known), first.Runs...)
		again, err := ImportCSV(strings.NewReader(text), listed, all)
		if err != nil || len(again.Runs) != 0 {
			t.Fatalf("again: %v, %v", names(again.Runs), err)
		}
		if again.Known != first.Known+len(first.Runs) || again.Regular != first.Regular || len(again.Refused) != len(first.Refused) {
			t.Fatalf("first: %q\nagain: %q", first.Sentences(), again.Sentences())
		}
		if n := len(NewList(all).Runs()); n != len(all) {
			t.Fatalf("%d runs, %d of them in the list", len(all), n)
		}
		l := &List{} // what came in stands without a clash
		for _, r := range all {
			if added, err := l.Add(r); err != nil || !added {
				t.Fatalf("%v: %v, %v", r, added, err)
			}
		}
	})
}

func FuzzImportCSV(f *testing.F) {
	for _, name := range []string{"published-2009-ones.csv", "spellings.csv", "tabs-suffix-column.tsv", "refused.csv"} {
		f.Add([]byte(file(f, name)))
	}
	f.Add([]byte(header + "$1,2017A,F1*,F96000000*,,,\n\"\x00,\x1b[2J,\r\xff"))
	f.Fuzz(func(t *testing.T, text []byte) {
		r, err := ImportCSV(bytes.NewReader(text), listed, nil)
		if err != nil {
			if bad := unsafe(err.Error()); bad != "" {
				t.Fatalf("the error %q has %s", err, bad)
			}
			return
		}
		for _, s := range r.Sentences() {
			if bad := unsafe(s); bad != "" {
				t.Fatalf("%q has %s", s, bad)
			}
		}
		l := &List{}
		for _, run := range r.Runs {
			if added, err := l.Add(run); err != nil || !added {
				t.Fatalf("%v came in: %v, %v", run, added, err)
			}
			if run.Notes() < 1 || run.Notes() > patterns.Total {
				t.Fatalf("%v has %d notes", run, run.Notes())
			}
		}
		again, err := ImportCSV(bytes.NewReader(text), listed, r.Runs)
		if err != nil || len(again.Runs) != 0 || len(again.Refused) != len(r.Refused) {
			t.Fatalf("again: %v, %d runs, %d and %d refused", err, len(again.Runs), len(again.Refused), len(r.Refused))
		}
		wantAccounted(t, text, r)
	})
}

// wantAccounted imports each line behind the header alone. What becomes of it there must be counted for the whole file,
// but for lines that are refused beside others.
func wantAccounted(t *testing.T, text []byte, whole Result) {
	t.Helper()
	lines := regexp.MustCompile("\r\n|\r|\n").Split(string(text), -1)
	if len(lines) > 60 || whole.More > 0 {
		return // it would take too long
	}
	header := 1
	for ; header <= len(lines); header++ {
		if _, err := ImportCSV(strings.NewReader(strings.Join(lines[:header], "\n")), listed, nil); err == nil {
			break
		}
	}
	refused := map[int]string{}
	for _, r := range whole.Refused {
		refused[r.Line] = r.Reason
	}
	runs, regular, beside := 0, 0, 0
	for i := header; i < len(lines); i++ {
		alone, err := ImportCSV(strings.NewReader(strings.Join(append(slices.Clone(lines[:header]), lines[i]), "\n")), listed, nil)
		if err != nil || len(alone.Refused) > 1 {
			t.Fatalf("line %d alone: %v, %q", i+1, err, alone.Sentences())
		}
		reason, out := refused[i+1]
		switch {
		case len(alone.Refused) == 1 && alone.Refused[0].Reason != reason:
			t.Fatalf("line %d is refused alone, %q, and in the file %q", i+1, alone.Refused[0].Reason, reason)
		case len(alone.Refused) == 0 && out:
			beside++
		}
		if !out {
			runs, regular = runs+len(alone.Runs), regular+alone.Regular
		}
		if out && alone.Regular+len(alone.Runs)+len(alone.Refused) == 0 {
			t.Fatalf("line %d is blank, and refused: %q", i+1, reason)
		}
		delete(refused, i+1)
	}
	if runs != len(whole.Runs)+whole.Known || regular != whole.Regular || len(refused) > 0 || beside > 0 && runs == 0 {
		t.Fatalf("of %q line by line %d runs and %d others come; lines %v are in no place; the file says %q", text, runs, regular, refused, whole.Sentences())
	}
}

// unsafe gives what in a message could move a cursor.
func unsafe(s string) string {
	for _, r := range s {
		if !unicode.IsGraphic(r) {
			return fmt.Sprintf("%q", r)
		}
	}
	return ""
}

// A report of ten years: 60,000 lines, one in six of stars.
func BenchmarkImportCSV(b *testing.B) {
	var text strings.Builder
	text.WriteString(header)
	for i := range 60_000 {
		from, suffix := i/72%30*3_200_000+1, "E"
		if i%6 == 0 {
			suffix = "*"
		}
		series := []string{"1999", "2001", "2003", "2003A", "2006", "2009", "2013", "2017", "2017A", "2021"}[i/2160%10]
		fmt.Fprintf(&text, "$1,%s,\"%c %s %s\",\"%c %s %s\",\"640,000\",Fort Worth,2020-03\n", series,
			'A'+i%72/6, triage.Thousands(from), suffix, 'A'+i%72/6, triage.Thousands(from+639_999), suffix)
	}
	b.SetBytes(int64(text.Len()))
	for b.Loop() {
		r, err := ImportCSV(strings.NewReader(text.String()), listed, nil)
		if err != nil || r.Regular != 50_000 || len(r.Runs)+r.Known != 10_000 {
			b.Fatalf("%d new, %d known, %d regular, %q, %v", len(r.Runs), r.Known, r.Regular, r.Sentences()[:2], err)
		}
	}
}
