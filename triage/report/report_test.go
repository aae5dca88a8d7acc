package report

import (
	"bytes"
	"encoding/csv"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"app/unband/patterns"
	"app/unband/triage"
	"app/unband/triage/flaws"
)

var update = flag.Bool("update", false, "rewrite the golden reports in testdata/report")

var samples = filepath.Join("..", "..", "testdata", "report")

var at = time.Date(2026, 3, 6, 19, 0, 0, 0, time.UTC)

var made = Made{At: at, From: "float.db", By: "unband test"}

// stall is an invented stall's file: two sessions, one of them without a strap, with words that would harm.
func stall() Source {
	watch := patterns.Watch{Hit: patterns.Set(0).With(patterns.Radar)}
	sessions := []triage.Session{
		{ID: 1, Name: "Friday, =float", Source: "Harbour \"branch\"", Denomination: 1, Straps: 1, StrapNotes: 100, Opened: at, Settings: patterns.DefaultSettings(),
			Watch: watch, Totals: triage.Totals{Notes: 4, Kept: 1, Spent: 3}},
		{ID: 2, Name: "# Saturday", Denomination: 5, NewNotes: true, Straps: 2, StrapNotes: 100, Opened: at, Closed: at.Add(time.Hour), Settings: patterns.DefaultSettings()},
	}
	notes := []triage.Note{
		{Session: 1, Strap: 1, Position: 1, Version: 2, Serial: triage.Serial{Prefix: "B", Digits: "70633607", Suffix: 'C'}, Decision: triage.Keep, Series: "2017A",
			Hits: patterns.Set(0).With(patterns.Radar), Watched: patterns.Set(0).With(patterns.Radar), Ruled: triage.RuledKeep, Grade: flaws.Fine, Defects: flaws.Fold | flaws.Tear,
			Flaw: flaws.GutterFold, Face: "a line\nacross", Remark: "=1+1", Where: "album, page 3", Fate: triage.Sold, FateDay: at, FateRemark: "@fair", Decided: at, Took: 3200 * time.Millisecond},
		{Session: 1, Strap: 1, Position: 2, Version: 1, Serial: triage.Serial{Digits: "00000870"}, Decision: triage.Spend, Decided: at, Took: time.Second, Before: "00000876", Reread: triage.RereadChanged, Look: triage.StillSpent},
		{Session: 1, Strap: 1, Position: 3, Version: 1, Serial: triage.Serial{Digits: "0123"}, Decision: triage.Spend, Reason: "-2", Decided: at},
		{Session: 1, Strap: 1, Position: 4, Version: 1, Decision: triage.Glance, Decided: at, Remark: "'quoted"},
	}
	return Source{Sessions: sessions,
		Straps: func(session uint64) ([]triage.Strap, error) {
			if session == 2 {
				return nil, nil
			}
			return []triage.Strap{{Session: 1, Number: 1, Band: 100}}, nil
		},
		Notes: func(uint64, int) ([]triage.Note, error) { return notes, nil }}
}

func written(t *testing.T, f Form) string {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, f, made, stall()); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestReports(t *testing.T) {
	for form, name := range map[Form]string{TextForm: "stall.txt", MarkdownForm: "stall.md", CSVForm: "stall.csv", JSONForm: "stall.json"} {
		path, got := filepath.Join(samples, name), written(t, form)
		if *update {
			if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
				t.Fatal(err)
			}
			continue
		}
		want, err := os.ReadFile(path)
		if err != nil || got != string(want) {
			t.Errorf("%s (%v) is\n%s\nwant\n%s", name, err, got, want)
		}
	}
	if err := Write(io.Discard, "xml", made, stall()); err == nil {
		t.Error("a form that does not exist was written")
	}
}

// What encoding/csv reads back (RFC 4180) is what was said, once the apostrophe is taken away; digits keep
// their zeros, and the last header says when and from what.
func TestCSVComesBack(t *testing.T) {
	rows, err := csv.NewReader(strings.NewReader(written(t, CSVForm))).ReadAll()
	if err != nil || len(rows) != 5 {
		t.Fatalf("%d rows, %v", len(rows), err)
	}
	column := map[string]int{}
	for i, name := range rows[0] {
		column[name] = i
	}
	if last := rows[0][len(rows[0])-1]; last != "made 2026-03-06T19:00:00Z from float.db by unband test" {
		t.Errorf("the last header is %q", last)
	}
	for _, c := range []struct {
		row          int
		column, want string
	}{
		{1, "session name", "Friday, =float"}, {1, "source", `Harbour "branch"`}, {1, "serial", "B70633607C"}, {1, "digits", "'70633607"},
		{1, "patterns", "radar"}, {1, "remark", "'=1+1"}, {1, "remark on that", "'@fair"}, {1, "on the face", "a line\nacross"}, {1, "where it lies", "album, page 3"},
		{1, "defects", "fold, tear"}, {1, "own rule", "keep"}, {1, "what became of it", "sold"}, {1, "on the day", "2026-03-06"}, {1, "seconds taken", "3.2"},
		{2, "serial", "'00000870"}, {2, "digits", "'00000870"}, {2, "digits typed first", "'00000876"}, {2, "read again", "changed"}, {2, "second look", "still spent"},
		{3, "digits", "'0123"}, {3, "why", "'-2"}, {4, "remark", "''quoted"}, {4, "decision", "spent unread"}, {4, "serial", ""},
	} {
		if i, ok := column[c.column]; !ok || rows[c.row][i] != c.want {
			t.Errorf("row %d, %s: %q, want %q", c.row, c.column, rows[c.row][i], c.want)
		}
	}
}

// No cell begins a formula, and every text comes back.
func FuzzCell(f *testing.F) {
	for _, s := range []string{"", "=cmd", "+1", "-1", "@x", "\tx", "\rx", "'a", "a,b", "a\"b", "a\nb", " a ", "＝1", "－", "ü"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		if !utf8.ValidString(s) {
			s = strings.ToValidUTF8(s, "?")
		}
		rows, err := csv.NewReader(bytes.NewReader(append(appendCell(nil, s), ",x\n"...))).ReadAll()
		if err != nil || len(rows) != 1 || len(rows[0]) != 2 {
			t.Fatalf("%q is written %q: %v, %v", s, appendCell(nil, s), rows, err)
		}
		cell := rows[0][0]
		if cell != "" && strings.ContainsRune("=+-@\t\r＝＋－＠", []rune(cell)[0]) {
			t.Fatalf("%q begins a formula", cell)
		}
		// encoding/csv reads \r\n inside quotes as \n.
		if got := strings.TrimPrefix(cell, "'"); got != strings.ReplaceAll(s, "\r\n", "\n") && !(strings.HasPrefix(s, "'") && "'"+got == s) {
			t.Fatalf("%q came back as %q", s, got)
		}
	})
}

// Every line of the JSON is what the schema of the README says (JSON Schema 2020-12, by a validator that is
// not ours).
func TestJSONFitsTheSchema(t *testing.T) {
	schema, err := jsonschema.NewCompiler().Compile(filepath.Join(samples, "schema.json"))
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSpace(written(t, JSONForm)), "\n")
	if len(lines) != 7 { // the head, two sessions, four notes
		t.Errorf("%d lines", len(lines))
	}
	for _, line := range lines {
		value, err := jsonschema.UnmarshalJSON(strings.NewReader(line))
		if err == nil {
			err = schema.Validate(value)
		}
		if err != nil {
			t.Errorf("%s: %v", line, err)
		}
	}
	bad, _ := jsonschema.UnmarshalJSON(strings.NewReader(`{"kind":"note","digits":"12x"}`))
	if schema.Validate(bad) == nil {
		t.Error("the schema takes anything")
	}
}

// An error of the source or of the writer is told, and nothing hangs.
func TestErrorsAreTold(t *testing.T) {
	broken := errors.New("a damaged record")
	for _, form := range Forms {
		s := stall()
		s.Notes = func(uint64, int) ([]triage.Note, error) { return nil, broken }
		if err := Write(io.Discard, form, made, s); !errors.Is(err, broken) {
			t.Errorf("%s: %v", form, err)
		}
		if err := Write(full{}, form, made, stall()); !errors.Is(err, errFull) {
			t.Errorf("%s to a full disk: %v", form, err)
		}
	}
}

var errFull = errors.New("the disk is full")

type full struct{}

func (full) Write([]byte) (int, error) { return 0, errFull }

// BenchmarkCSV is one row, of a strap of ordinary notes in memory.
func BenchmarkCSV(b *testing.B) {
	s := stall()
	var notes []triage.Note
	for i := range 100 {
		n := triage.Note{Session: 1, Strap: 1, Position: i + 1, Version: 1, Decision: triage.Spend, Serial: triage.Serial{Prefix: "B", Digits: fmt.Sprintf("%08d", i*7919), Suffix: 'C'},
			Hits: patterns.Set(i % 7 << 20), Decided: at, Took: 3 * time.Second}
		notes = append(notes, n)
	}
	s.Sessions = s.Sessions[:1]
	s.Straps = func(uint64) ([]triage.Strap, error) {
		straps := make([]triage.Strap, b.N/100+1)
		return straps, nil
	}
	s.Notes = func(uint64, int) ([]triage.Note, error) { return notes, nil }
	b.ReportAllocs()
	if err := Write(io.Discard, CSVForm, made, s); err != nil {
		b.Fatal(err)
	}
}
