package reading

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"strings"
	"sync"
	"testing"
	"testing/iotest"

	"app/unband/patterns"
	"app/unband/triage"
)

var book = sync.OnceValue(func() *patterns.Book {
	b, err := patterns.NewBook(patterns.DefaultSettings())
	if err != nil {
		panic(err)
	}
	return b
})

func options(as Format) Options {
	return Options{Book: book(), Watch: book().DefaultWatch(), Top: 96_000_000, As: as}
}

// read runs over a text and gives what went out, the sum and the bad lines.
func read(t *testing.T, in io.Reader, o Options) (string, Sum, []BadLine) {
	t.Helper()
	var bad []BadLine
	o.Bad = func(b BadLine) { bad = append(bad, b) }
	var out bytes.Buffer
	sum, err := Read(in, &out, o)
	if err != nil {
		t.Fatal(err)
	}
	return out.String(), sum, bad
}

const list = "\ufeffB70633607C\n\nH1O2OO2O1C\r\n  mb 7063-3507 a\nL4471023C\nL447102233C\nA48160297*\n12345678\nnot a serial\n27722772"

func TestText(t *testing.T) {
	out, sum, bad := read(t, strings.NewReader(list), options(Text))
	for _, line := range []string{"B70633607C  stop  radar (1 in 10,001", "MB70633507A  stop  near radar: a 5 at place 3, or a 6 at place 6", "A48160297*  stop"} {
		if !strings.Contains(strings.ToLower(out), strings.ToLower(line)) {
			t.Errorf("the text has no %q:\n%s", line, out)
		}
	}
	if !strings.Contains(out, "O was taken as the digit 0") {
		t.Errorf("I02: that O was taken as 0 is not said:\n%s", out)
	}
	if want := (Sum{Lines: 9, Serials: 6, Stops: 6, Bad: 3, Blank: 1}); sum != want {
		t.Errorf("sum %+v, want %+v", sum, want)
	}
	var numbers []int
	for _, b := range bad {
		numbers = append(numbers, b.Number)
		var e *triage.SerialError
		if !errors.As(b.Err, &e) {
			t.Errorf("line %d: %v is no *SerialError", b.Number, b.Err)
		}
	}
	if fmt.Sprint(numbers) != "[5 6 9]" {
		t.Errorf("bad lines %v, want 5 (seven digits), 6 (nine) and 9", numbers)
	}
}

func TestJSON(t *testing.T) {
	out, _, _ := read(t, strings.NewReader("B70633507C\n27722772\n00000000\n"), options(JSON))
	var lines []jsonLine
	for dec := json.NewDecoder(strings.NewReader(out)); dec.More(); {
		var l jsonLine
		if err := dec.Decode(&l); err != nil {
			t.Fatal(err)
		}
		lines = append(lines, l)
	}
	if len(lines) != 3 {
		t.Fatalf("%d lines, want 3:\n%s", len(lines), out)
	}
	near := lines[0].Near[0]
	if !strings.EqualFold(near.Name, "radar") || len(near.Changes) != 2 || !lines[0].Stop {
		t.Errorf("a near radar gave %+v", lines[0])
	}
	for _, c := range near.Changes {
		if c.Digit == nil || !(c.Position == 3 && *c.Digit == 5 || c.Position == 6 && *c.Digit == 6) {
			t.Errorf("change %+v: want a 5 at place 3 or a 6 at place 6", c)
		}
	}
	// P01: three names are true, the rarest leads; 87 radar repeaters up to 96,000,000 (facts 12.4
	// count super radars and super repeaters so; ABBAABBA has the same form: 10 × 9 digits).
	if f := lines[1].Findings; !strings.EqualFold(f[0].Name, "radar-repeater") || f[0].Count != 87 || len(f[0].Digits) != 8 {
		t.Errorf("27722772 gave %+v", f)
	}
	if strings.Contains(out, "null") {
		t.Errorf("an empty list is null:\n%s", out)
	}
}

func TestCSV(t *testing.T) {
	out, _, _ := read(t, strings.NewReader("05500550\n*04417225A\nB48160297C\n"), options(CSV))
	rows, err := csv.NewReader(strings.NewReader(out)).ReadAll()
	if err != nil || len(rows) != 4 {
		t.Fatalf("%v, %d rows:\n%s", err, len(rows), out)
	}
	for _, row := range rows[1:] {
		for _, cell := range row[:3] {
			if c := cell[0]; c != '\'' && (c < 'A' || 'Z' < c) {
				t.Errorf("the cell %q would lose a zero or start a formula", cell)
			}
		}
	}
	if rows[1][2] != "'05500550" {
		t.Errorf("digits %q, want a leading zero that stays", rows[1][2])
	}
}

func TestStopsAndCount(t *testing.T) {
	in := "48160297\n70633607\n70633507\n"
	o := options(Text)
	o.Stops = true
	if out, _, _ := read(t, strings.NewReader(in), o); strings.Contains(out, "48160297") || strings.Count(out, "\n") != 2 {
		t.Errorf("--stops gave\n%s", out)
	}
	o.Count = true
	if out, _, _ := read(t, strings.NewReader(in), o); out != "2\n" {
		t.Errorf("--stops --count gave %q, want 2", out)
	}
	o.Stops = false
	if out, _, _ := read(t, strings.NewReader(in), o); out != "3\n" {
		t.Errorf("--count gave %q, want 3", out)
	}
}

// Whatever way the input comes in, and however its lines fall into chunks, the answer is that of
// judging line by line.
func TestChunks(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 1))
	var in strings.Builder
	var want strings.Builder
	stops, bad := 0, 0
	for i := range 20_000 {
		switch random.IntN(50) {
		case 0:
			in.WriteString("\n")
		case 1:
			in.WriteString("nothing here\n")
			bad++
		case 2:
			fmt.Fprintf(&in, "%s\n", strings.Repeat("7", random.IntN(3*longestLine)+9))
			bad++
		default:
			d := patterns.Digits(random.IntN(patterns.Total))
			if i%2 == 0 {
				d -= d % 10_000
				d += d / 10_000 // a repeater
			}
			fmt.Fprintf(&in, "%s\n", d)
			if book().Stops(d, book().DefaultWatch()) {
				stops++
				fmt.Fprintf(&want, "%s\n", d)
			}
		}
	}
	for name, r := range map[string]io.Reader{
		"whole": strings.NewReader(in.String()), "halves": iotest.HalfReader(strings.NewReader(in.String())),
		"with the end": iotest.DataErrReader(strings.NewReader(in.String())),
	} {
		o := options(Text)
		o.Stops = true
		out, sum, badLines := read(t, r, o)
		if sum.Stops != stops || sum.Bad != bad || len(badLines) != bad {
			t.Errorf("%s: %+v and %d bad lines, want %d stops and %d bad", name, sum, len(badLines), stops, bad)
		}
		var got strings.Builder
		for line := range strings.Lines(out) {
			got.WriteString(line[:8] + "\n")
		}
		if got.String() != want.String() {
			t.Errorf("%s: other serials or another order", name)
		}
		for i := 1; i < len(badLines); i++ {
			if badLines[i].Number <= badLines[i-1].Number {
				t.Fatalf("%s: bad lines out of order", name)
			}
		}
	}
}

func TestErrors(t *testing.T) {
	broken := errors.New("the disk is gone")
	if _, err := Read(io.MultiReader(strings.NewReader("48160297\n"), iotest.ErrReader(broken)), io.Discard, options(Text)); !errors.Is(err, broken) {
		t.Errorf("a read error gave %v", err)
	}
	long := strings.Repeat("48160297\n", 1_000_000)
	if _, err := Read(strings.NewReader(long), failing{}, options(Text)); !errors.Is(err, io.ErrClosedPipe) {
		t.Errorf("a write error gave %v", err)
	}
	o := options("xml")
	if _, err := Read(strings.NewReader(""), io.Discard, o); err == nil {
		t.Error("an unknown format was taken")
	}
}

type failing struct{}

func (failing) Write([]byte) (int, error) { return 0, io.ErrClosedPipe }

// Every line of the common form is read as the whole parser reads it.
func TestPlain(t *testing.T) {
	random := rand.New(rand.NewPCG(2, 2))
	const chars = "0123456789/:ABOZ*\x00\xff "
	for range 200_000 {
		line := []byte(fmt.Sprintf("%08d", random.IntN(patterns.Total)))
		if random.IntN(3) == 0 {
			line[random.IntN(len(line))] = chars[random.IntN(len(chars))]
		}
		for range random.IntN(3) {
			line = append([]byte{byte('A' + random.IntN(26))}, line...)
		}
		if random.IntN(2) == 0 {
			line = append(line, byte('A'+random.IntN(26)))
		}
		d, ok := plain(line)
		s, _, err := triage.ParseSerial(string(line))
		if whole, _ := s.Whole(); ok && (err != nil || whole != d) {
			t.Fatalf("%q: plain gives %v, the parser %v (%v)", line, d, whole, err)
		}
	}
}

// BenchmarkStops is the whole way of a line of `unband read --count --stops`; bytes are those of
// the list.
func BenchmarkStops(b *testing.B) {
	random := rand.New(rand.NewPCG(1, 1))
	var in bytes.Buffer
	const lines = worthStopper - 1
	for range lines {
		fmt.Fprintf(&in, "%c%08d%c\n", 'A'+random.IntN(12), random.IntN(96_000_000), 'A'+random.IntN(12))
	}
	o := options(Text)
	o.Stops, o.Count = true, true
	b.SetBytes(int64(in.Len()))
	for b.Loop() {
		if _, err := Read(bytes.NewReader(in.Bytes()), io.Discard, o); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/lines, "ns/line")
}
