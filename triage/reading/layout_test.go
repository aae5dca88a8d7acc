package reading

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/iotest"

	"app/unband/triage/listing"
)

// The lists are read line by line as package listing reads them whole: the same serials, and every other
// line told. What takes the whole list to know is answered there.
func TestSamplesAsListed(t *testing.T) {
	names, err := filepath.Glob("../../testdata/lists/*.[ct]sv")
	if more, _ := filepath.Glob("../../testdata/lists/*.txt"); err != nil || len(names)+len(more) < 7 {
		t.Fatalf("the samples are missing: %v, %v", names, err)
	} else {
		names = append(names, more...)
	}
	for _, name := range names {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		l, err := listing.Read(bytes.NewReader(text))
		if err != nil {
			t.Fatal(err)
		}
		taken := l.Take(listing.Answers{Zeros: listing.Yes, Twice: listing.Yes, Others: listing.Yes})
		var serials []string
		others := len(taken.LeftOut)
		for _, n := range taken.Notes {
			if _, ok := n.Serial.Whole(); ok {
				serials = append(serials, n.Serial.String())
			} else {
				others++
			}
		}
		for way, in := range map[string]io.Reader{"whole": bytes.NewReader(text), "by the byte": iotest.OneByteReader(bytes.NewReader(text))} {
			o := options(Text)
			o.Zeros = true
			var found []string
			o.Found = func(column string, _ int) { found = append(found, column) }
			out, sum, bad := read(t, in, o)
			var got []string
			for line := range strings.Lines(out) {
				serial, _, _ := strings.Cut(strings.TrimSpace(line), " ")
				got = append(got, serial)
			}
			if !slices.Equal(got, serials) || len(bad) != others || sum.Bad+sum.Aside != others {
				t.Errorf("%s, %s: serials %v and %d other lines (%+v), want %v and %d", name, way, got, len(bad), sum, serials, others)
			}
			if want := l.Said(); want == "" && found != nil || want != "" && !slices.Equal(found, []string{want}) {
				t.Errorf("%s, %s: told %q, want %q once", name, way, found, want)
			}
		}
	}
}

// Each list has a layout of its own, however many are joined, and each line its number in its list.
func TestJoinedLayouts(t *testing.T) {
	j := Join(
		Source{Name: "commas", In: strings.NewReader("No,Serial\n1,B70633607C\n2,B7?633607C\nTotal,2")},
		Source{Name: "argument", In: strings.NewReader("mb 7063-3607 c"), Plain: true},
		Source{Name: "semicolons", In: strings.NewReader("C70633607D;1\r\nserial;2\r\n")},
		Source{Name: "old", In: strings.NewReader("D70633607E\rE7063360F\r")},
	)
	o := options(Text)
	var told []string
	tell := func(line int, what any) {
		name, number := j.At(line)
		told = append(told, fmt.Sprintf("%s %d: %v", name, number, what))
	}
	o.Bad = func(b BadLine) { tell(b.Number, b.Aside) }
	o.Found = func(column string, line int) { tell(line, column) }
	var out bytes.Buffer
	sum, err := Read(j, &out, o)
	if err != nil {
		t.Fatal(err)
	}
	if want := (Sum{Lines: 7, Serials: 4, Stops: 4, Bad: 3, Aside: 2}); sum != want {
		t.Errorf("sum %+v, want %+v", sum, want)
	}
	want := []string{
		"commas 1: column 2, Serial, between commas", "commas 1: true", "commas 3: false", "commas 4: true",
		"semicolons 1: column 1, between semicolons", "semicolons 2: false", "old 2: false",
	}
	if !slices.Equal(told, want) {
		t.Errorf("told %q, want %q", told, want)
	}
}

// A list longer than a chunk keeps the layout, and memory stays the same.
func TestLongColumns(t *testing.T) {
	var in strings.Builder
	const lines = 50_000
	for i := range lines {
		fmt.Fprintf(&in, "%d,09:41:07,$1,B%08dC\n", i+1, (i*7_654_321)%96_000_000)
	}
	in.WriteString("Total,,$50000,\n")
	for _, count := range []bool{false, true} {
		o := options(Text)
		o.Count = count
		out, sum, bad := read(t, strings.NewReader(in.String()), o)
		if sum.Serials != lines || sum.Bad != 0 || len(bad) != 1 || bad[0].Number != lines+1 || !bad[0].Aside {
			t.Errorf("count %v: %+v, %v", count, sum, bad)
		}
		if count && out != fmt.Sprintln(lines) {
			t.Errorf("counted %q", out)
		}
	}
}

func TestRefusedLists(t *testing.T) {
	for _, c := range []struct{ why, text, says string }{
		{"UTF-16", "\xff\xfeB\x007\x000\x00", "it is UTF-16; save it as CSV in UTF-8"},
		{"UTF-16 without its mark", "B\x007\x000\x006\x00", "UTF-16"},
		{"NUL", "B70633607C\nB7063\x003607C\n", "line 2 has NUL bytes"},
		{"a line without an end", strings.Repeat("7", 10<<20), "line 1 is longer than 4,096 bytes"},
	} {
		var format *listing.FormatError
		if _, err := Read(strings.NewReader(c.text), io.Discard, options(Text)); !errors.As(err, &format) || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v, want a *FormatError with %q", c.why, err, c.says)
		}
	}
	o := options(Text)
	o.Column = 3
	var usage *UsageError
	if _, err := Read(strings.NewReader("1,B70633607C\n"), io.Discard, o); !errors.As(err, &usage) {
		t.Errorf("a column that is not there gave %v", err)
	}
	o.Column = 2
	if out, _, _ := read(t, strings.NewReader("B70633607C,C70633507D\n"), o); !strings.HasPrefix(out, "C70633507D") {
		t.Errorf("--column 2 gave %q", out)
	}
}

// BenchmarkColumns is the way of a line of a list in columns.
func BenchmarkColumns(b *testing.B) {
	const lines = 200_000
	var in bytes.Buffer
	for i := range lines {
		fmt.Fprintf(&in, "%d,09:41:07,$1,B%08dC\n", i+1, (i*7_654_321)%96_000_000)
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
