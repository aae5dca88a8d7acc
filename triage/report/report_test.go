package report

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"reflect"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"
	"unicode"
	"unicode/utf8"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"app/unband/patterns"
	"app/unband/triage"
	"app/unband/triage/flaws"
)

var update = flag.Bool("update", false, "rewrite the golden reports in testdata/report")

var long = flag.Bool("long", false, "measure memory with a million notes")

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

// counted is a file whose sessions were counted back: one signed off though a note is missing, with a strap short from
// the bank; one that agrees and was opened again; one counted, and not signed off; one closed uncounted; and one still
// being sorted, of which there is nothing to say but that its first strap was over its band.
func counted() Source {
	watch := patterns.Watch{Hit: patterns.Set(0).With(patterns.Radar), Near: patterns.Set(0).With(patterns.Radar).With(patterns.Solid)}
	begun := func(id uint64, name string, straps int) triage.Session {
		return triage.Session{ID: id, Name: name, Denomination: 1, Straps: straps, StrapNotes: 100, Opened: at, Settings: patterns.DefaultSettings(), Watch: watch}
	}
	strap := func(session uint64, number, notes, kept int) triage.Strap {
		return triage.Strap{Session: session, Number: number, Band: 100, Opened: at, Closed: at, Done: true,
			Totals: triage.Totals{Notes: notes, Kept: kept, Spent: notes - kept}}
	}
	var sessions []triage.Session
	straps, notes := map[uint64][]triage.Strap{}, map[uint64][]triage.Note{}
	add := func(s triage.Session, of ...triage.Strap) {
		for _, t := range of {
			s.Totals = s.Totals.Add(t.Totals)
		}
		sessions, straps[s.ID] = append(sessions, s), of
	}

	short := begun(1, "short", 2).After(triage.Event{Kind: triage.SignedOff, At: at, Back: 195, Counted: 194})
	short.Back = triage.Back{Counted: 194, Said: true}
	first, second := strap(1, 1, 100, 2), strap(1, 2, 98, 1)
	first.Totals.Near, first.Totals.Respent = 2, 1
	first.Totals.Kept, first.Totals.Spent = 1, 97
	first.Totals.Aside, first.Totals.Apart = 1, 1
	first.Back = triage.Back{InPlace: 2, Replaced: true, Counted: 97, Said: true}
	add(short, first, second)
	notes[1] = []triage.Note{
		{Session: 1, Strap: 1, Position: 1, Version: 2, Serial: triage.Serial{Prefix: "B", Digits: "70633507", Suffix: 'C'}, Decision: triage.Keep, Series: "2017A",
			Near: patterns.Set(0).With(patterns.Radar), Watched: patterns.Set(0).With(patterns.Radar), Look: triage.KeptAfter, Decided: at},
		{Session: 1, Strap: 1, Position: 2, Version: 1, Serial: triage.Serial{Prefix: "B", Digits: "70633607", Suffix: 'C'}, Decision: triage.Keep,
			Hits: patterns.Set(0).With(patterns.Radar), Watched: patterns.Set(0).With(patterns.Radar), Decided: at},
		{Session: 1, Strap: 1, Position: 3, Version: 1, Serial: triage.Serial{Prefix: "B", Digits: "44444443", Suffix: 'C'}, Decision: triage.Keep,
			Near: patterns.Set(0).With(patterns.Radar).With(patterns.Solid), Watched: patterns.Set(0).With(patterns.Radar).With(patterns.Solid), Decided: at},
		{Session: 1, Strap: 1, Position: 4, Version: 1, Serial: triage.Serial{Prefix: "F", Digits: "70633608", Suffix: 'C'}, Decision: triage.Keep,
			Near: patterns.Set(0).With(patterns.Radar), Origin: triage.FromSequence, Decided: at},
		{Session: 1, Strap: 1, Position: 5, Version: 1, Serial: triage.Serial{Prefix: "B", Digits: "35120846", Suffix: 'C'}, Decision: triage.SetAside, Remark: "thin", Decided: at},
		{Session: 1, Strap: 1, Position: 6, Version: 1, Serial: triage.Serial{Prefix: "MB", Digits: "35120847", Suffix: 'C'}, Decision: triage.LaidApart, Denomination: 5, Decided: at},
	}

	agrees := begun(2, "agrees", 1).After(triage.Event{Kind: triage.SignedOff, At: at, Back: 97, Counted: 97}).After(triage.Event{Kind: triage.Reopened, At: at.Add(time.Hour)})
	agrees.Back = triage.Back{Counted: 97, Said: true}
	add(agrees, strap(2, 1, 99, 2))

	unsigned := begun(3, "not signed", 1)
	unsigned.Back = triage.Back{Counted: 101, Said: true}
	waits := strap(3, 1, 100, 0)
	waits.Totals.Near, waits.Totals.Waiting = 1, 1
	add(unsigned, waits)

	add(begun(4, "uncounted", 3).After(triage.Event{Kind: triage.ClosedUncounted, At: at}), strap(4, 1, 100, 0))

	open := strap(5, 2, 10, 0)
	open.Done = false
	add(begun(5, "being sorted", 3), strap(5, 1, 101, 0), open)

	return Source{Sessions: sessions,
		Straps: func(session uint64) ([]triage.Strap, error) { return straps[session], nil },
		Notes: func(session uint64, strap int) ([]triage.Note, error) {
			if strap != 1 {
				return nil, nil
			}
			return notes[session], nil
		}}
}

func written(t *testing.T, f Form) string { t.Helper(); return writtenOf(t, f, stall()) }

func writtenOf(t *testing.T, f Form, s Source) string {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, f, made, s); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestReports(t *testing.T) {
	for name, got := range map[string]string{
		"stall.txt": written(t, TextForm), "stall.md": written(t, MarkdownForm), "stall.csv": written(t, CSVForm), "stall.json": written(t, JSONForm),
		"counted.txt": writtenOf(t, TextForm, counted()), "counted.md": writtenOf(t, MarkdownForm, counted()), "counted.json": writtenOf(t, JSONForm, counted()),
	} {
		path := filepath.Join(samples, name)
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
		{3, "digits", "'0123"}, {3, "serial", "0123????"}, {3, "why", "'-2"}, {4, "remark", "''quoted"}, {4, "decision", "spent unread"}, {4, "serial", ""},
	} {
		if i, ok := column[c.column]; !ok || rows[c.row][i] != c.want {
			t.Errorf("row %d, %s: %q, want %q", c.row, c.column, rows[c.row][i], c.want)
		}
	}
}

// No cell begins a formula (OWASP, CSV Injection, with the full-width signs), also where blanks and what cannot
// be seen are passed over; no digits are a number that would lose a zero; and every text comes back.
func FuzzCell(f *testing.F) {
	for _, s := range []string{"", "=cmd", "+1", "-1", "@x", "\tx", "\rx", "'a", "a,b", "a\"b", "a\nb", " a ", "＝1", "－", "ü", "007", " 007", "1234567890123456",
		" =1", "\u00a0=1", "\ufeff=1", "\u200b@x", "\x00+1", "\uf6ff+", "0", "3/4", "1E5", "12:30", "2017A", "' x", " 'x", "   "} {
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
		seen := strings.TrimLeftFunc(cell, func(r rune) bool { return !unicode.IsGraphic(r) || unicode.IsSpace(r) })
		if seen != "" && strings.ContainsRune("=+-@＝＋－＠", []rune(seen)[0]) || cell != "" && strings.ContainsRune("\t\r\n", rune(cell[0])) {
			t.Fatalf("%q begins a formula", cell)
		}
		if x := strings.TrimSpace(cell); len(x) > 1 && x[0] == '0' && strings.Trim(x, "0123456789") == "" {
			t.Fatalf("%q would lose a zero", cell)
		}
		// encoding/csv reads \r\n inside quotes as \n.
		if got := strings.TrimPrefix(cell, "'"); got != strings.ReplaceAll(s, "\r\n", "\n") {
			t.Fatalf("%q came back as %q", s, got)
		}
	})
}

// What a spreadsheet would change is kept as text; what it leaves alone stays as it is.
func TestCellsKeepWhatTheySay(t *testing.T) {
	for text, want := range map[string]string{
		"007": "'007", "0": "0", "12": "12", "1928": "1928", "2017A": "2017A", "1234567890123456": "'1234567890123456", "3/4": "'3/4", "1E5": "'1E5",
		".5": "'.5", "12:30": "'12:30", "10 straps": "10 straps", "2026-11-25": "'2026-11-25", " =1": "\"' =1\"", "\ufeff=1": "'\ufeff=1", "a=1": "a=1", "'": "''",
	} {
		if got := string(appendCell(nil, text)); got != want {
			t.Errorf("%q is written %q, want %q", text, got, want)
		}
	}
}

// A second serial may be typed without its letters, and keeps its zeros, too.
func TestASecondSerialKeepsItsZeros(t *testing.T) {
	for second, want := range map[string]string{"00000870": ",'00000870,", "70633607": ",'70633607,", "B00000870C": ",B00000870C,"} {
		row := appendRow(nil, nil, &names{joined: map[patterns.Set]string{}}, &triage.Note{Second: second})
		if !strings.Contains(string(row), want) {
			t.Errorf("%s: the row %s lacks %s", second, row, want)
		}
	}
}

// What counting back has to say stands in the text, and in no session that has nothing to say of it. The numbers are
// worked by hand: 198 entered of 200, three kept, one set aside, one of another denomination, two put in place, 195 go back, 194 counted.
func TestCountingBackIsTold(t *testing.T) {
	text := writtenOf(t, TextForm, counted())
	session := func(name string) string {
		_, of, _ := strings.Cut(text, name+" (session ")
		of, _, _ = strings.Cut(of, "\n\n")
		return of
	}
	for name, want := range map[string][]string{
		"short": {"1 strap was not as the band said: 2 notes missing in all (strap 2: 2 short of 100)", "195 notes go back, $195, 1 full strap of 100 and 95 notes",
			"200 received by the bands, 198 entered, 3 kept (1 of them spent after all, but not with this pile), 2 set aside (1 of them of another denomination), 2 put in place of keepers",
			"194 counted by hand: 1 note fewer than should go back, $1", "strap 1: 97 counted by hand, 1 note fewer than should go back",
			"signed off with 1 note fewer than should go back, 194 counted", "B70633507C, near radar (a 5 at place 3, or a 6 at place 6), kept after all, series 2017A",
			"B35120846C, set aside: strap 1 note 5, thin", "MB35120847C, $5, laid apart: strap 1 note 6", "B44444443C, near solid (a 4 at place 8), radar (a 3 at place 1, or a 4 at place 8)"},
		"agrees":       {"strap 1 came short from the bank", "97 counted by hand: it agrees", "opened again", "not signed off yet"},
		"not signed":   {"1 near miss (1 waits for the second look)", "100 notes go back, $100, 1 full strap of 100\n", "101 counted by hand: 1 note more than should go back, $1", "not signed off yet"},
		"uncounted":    {"2 straps were not sorted", "100 notes go back, $100", "closed without being counted back"},
		"being sorted": {"1 note too many in all (strap 1: 1 over 100)"},
	} {
		for _, words := range want {
			if !strings.Contains(session(name)+"\n", words) {
				t.Errorf("%s does not say %q:\n%s", name, words, session(name))
			}
		}
	}
	for name, never := range map[string][]string{
		"short": {"F70633608C, near", "B70633607C, radar, near", "not signed off"}, "uncounted": {"counted by hand", "not as the band said", "not signed off"},
		"being sorted": {"go back", "short of", "counted", "signed"},
	} {
		for _, words := range never {
			if strings.Contains(session(name), words) {
				t.Errorf("%s says %q:\n%s", name, words, session(name))
			}
		}
	}
	for _, words := range []string{"go back", "counted", "signed", "band said"} {
		if strings.Contains(written(t, TextForm), words) {
			t.Errorf("of sessions that nothing is to be said of, %q is said", words)
		}
	}
}

// The rarest name leads, as on the screen: a solid is a radar, too.
func TestTheRarestNameLeads(t *testing.T) {
	book, err := patterns.NewBook(patterns.DefaultSettings())
	if err != nil {
		t.Fatal(err)
	}
	made, n := namesOf(patterns.DefaultSettings(), nil)
	if again, same := namesOf(patterns.DefaultSettings(), made); same != n || len(again) != 1 {
		t.Error("the same definitions were read twice")
	}
	other := patterns.DefaultSettings()
	other.LowLimit = 10
	if again, same := namesOf(other, made); same == n || len(again) != 2 {
		t.Error("other definitions got the names of these")
	}
	var all patterns.Set
	var want []string
	for _, r := range book.Rules() { // the one with the fewest serials first
		all, want = all.With(r.ID), append(want, r.Name)
	}
	if slices.Equal(want, byNumber(book, all)) {
		t.Error("the numbers of the rules have come to be their ranks: this test tells nothing any more")
	}
	if got := n.list(all); !slices.Equal(got, want) {
		t.Errorf("the rules stand as\n%v\nwant\n%v", got, want)
	}
	for i := range maxJoined + 10 { // a forgotten set is joined again
		n.join(patterns.Set(i + 1))
	}
	if len(n.joined) > maxJoined || n.join(all) != strings.Join(want, "; ") {
		t.Errorf("%d sets are kept joined, at most %d shall be; %q", len(n.joined), maxJoined, n.join(all))
	}
}

// byNumber are the names of a set by the numbers of its rules.
func byNumber(b *patterns.Book, s patterns.Set) (all []string) {
	for _, id := range s.IDs() {
		r, _ := b.Rule(id)
		all = append(all, r.Name)
	}
	return all
}

// fields says for every field of a note something that is not there in the plain one.
var fields = map[string]func(*triage.Note){
	"Session": nil, // of the session, whose line or cells say it
	"Strap":   func(n *triage.Note) { n.Strap = 7 }, "Position": func(n *triage.Note) { n.Position = 7 }, "Version": func(n *triage.Note) { n.Version = 7 },
	"Serial.Prefix": func(n *triage.Note) { n.Serial.Prefix = "F" }, "Serial.Digits": func(n *triage.Note) { n.Serial.Digits = "1" },
	"Serial.Suffix": func(n *triage.Note) { n.Serial.Suffix = 'F' }, "Serial.Star": func(n *triage.Note) { n.Serial.Star = false },
	"Serial.StarFront": func(n *triage.Note) { n.Serial.StarFront = true },
	"Series":           func(n *triage.Note) { n.Series = "2017A" }, "Facility": func(n *triage.Note) { n.Facility++ }, "Seal": func(n *triage.Note) { n.Seal++ },
	"Second": func(n *triage.Note) { n.Second = "x" }, "SealLetter": func(n *triage.Note) { n.SealLetter = "x" }, "Corner": func(n *triage.Note) { n.Corner = "7" },
	"Web": func(n *triage.Note) { n.Web = true }, "Sheet": func(n *triage.Note) { n.Sheet = "x" }, "Plate": func(n *triage.Note) { n.Plate = "x" },
	"Grade": func(n *triage.Note) { n.Grade = flaws.Fine }, "Defects": func(n *triage.Note) { n.Defects = flaws.Tear }, "Stamp": func(n *triage.Note) { n.Stamp = true },
	"Flaw": func(n *triage.Note) { n.Flaw = flaws.GutterFold }, "Walk": func(n *triage.Note) { n.Walk = "1y" }, "Remark": func(n *triage.Note) { n.Remark = "x" },
	"Where": func(n *triage.Note) { n.Where = "x" }, "Face": func(n *triage.Note) { n.Face = "x" }, "Back": func(n *triage.Note) { n.Back = "x" },
	"BackPlate": func(n *triage.Note) { n.BackPlate = "x" }, "Neighbours": func(n *triage.Note) { n.Neighbours = true }, "Reason": func(n *triage.Note) { n.Reason = "x" },
	"Denomination": func(n *triage.Note) { n.Denomination = 5 },
	"Decision":     func(n *triage.Note) { n.Decision = triage.Keep }, "Fate": func(n *triage.Note) { n.Fate = triage.Sold }, "FateDay": func(n *triage.Note) { n.FateDay = at },
	"FateRemark": func(n *triage.Note) { n.FateRemark = "x" }, "Hits": func(n *triage.Note) { n.Hits = n.Hits.With(patterns.Radar) },
	"Near": func(n *triage.Note) { n.Near = n.Near.With(patterns.Radar) }, "Watched": func(n *triage.Note) { n.Watched = n.Watched.With(patterns.Radar) },
	"Ruled": func(n *triage.Note) { n.Ruled = triage.RuledTell }, "Reread": func(n *triage.Note) { n.Reread = triage.RereadSame }, "Before": func(n *triage.Note) { n.Before = "1" },
	"Look": func(n *triage.Note) { n.Look = triage.Waiting }, "Decided": func(n *triage.Note) { n.Decided = at }, "Changed": func(n *triage.Note) { n.Changed = at },
	"Origin": func(n *triage.Note) { n.Origin = triage.FromList }, "Listed": func(n *triage.Note) { n.Listed = "F2?" },
	"Took": func(n *triage.Note) { n.Took = time.Second },
}

// Nothing that is known of a note is left out of CSV and JSON, and everything fits the schema.
func TestEveryFieldIsReported(t *testing.T) {
	schema := noteSchema(t)
	_, names := namesOf(patterns.DefaultSettings(), nil)
	said := func(n triage.Note) [2]string {
		line, err := json.Marshal(noteOf(names, &n))
		if err != nil {
			t.Fatal(err)
		}
		return [2]string{string(appendRow(nil, nil, names, &n)), string(line)}
	}
	plain := triage.Note{Session: 1, Strap: 1, Position: 1, Version: 1, Serial: triage.Serial{Digits: "00000870", Star: true}, Decision: triage.Spend}
	var walk func(prefix string, of reflect.Type)
	walk = func(prefix string, of reflect.Type) {
		for field := range of.Fields() {
			name := prefix + field.Name
			if field.Type == reflect.TypeFor[triage.Serial]() {
				walk(name+".", field.Type)
				continue
			}
			change, known := fields[name]
			if !known {
				t.Errorf("nobody has thought of %s of a note in the report", name)
			}
			if change == nil {
				continue
			}
			n := plain
			change(&n)
			got := said(n)
			for i, f := range []Form{CSVForm, JSONForm} {
				if got[i] == said(plain)[i] {
					t.Errorf("%s does not say %s", f, name)
				}
			}
			fits(t, schema, got[1])
		}
	}
	walk("", reflect.TypeFor[triage.Note]())
}

// noteSchema is the schema of the README (JSON Schema 2020-12, by a validator that is not ours).
func noteSchema(t *testing.T) *jsonschema.Schema {
	t.Helper()
	c := jsonschema.NewCompiler()
	c.AssertFormat() // else dates and times could be anything
	schema, err := c.Compile(filepath.Join(samples, "schema.json"))
	if err != nil {
		t.Fatal(err)
	}
	return schema
}

func fits(t *testing.T, schema *jsonschema.Schema, lines string) {
	t.Helper()
	for line := range strings.Lines(lines) {
		value, err := jsonschema.UnmarshalJSON(strings.NewReader(line))
		if err == nil {
			err = schema.Validate(value)
		}
		if err != nil {
			t.Errorf("%s: %v", line, err)
		}
	}
}

// Every line of the JSON is what the schema says.
func TestJSONFitsTheSchema(t *testing.T) {
	schema, text := noteSchema(t), written(t, JSONForm)
	if n := strings.Count(text, "\n"); n != 8 { // the head, two sessions, a strap, four notes
		t.Errorf("%d lines", n)
	}
	fits(t, schema, text)
	fits(t, schema, writtenOf(t, JSONForm, counted()))
	for _, bad := range []string{`{"kind":"note","digits":"12x"}`, `{"kind":"strap"}`, `{}`, `[]`,
		`{"kind":"report","made":"yesterday","from":"float.db","by":"unband","version":1}`,
		`{"kind":"note","session":1,"strap":1,"position":1,"decision":"lost","seconds":1,"version":1}`,
		`{"kind":"note","session":1,"strap":1,"position":1,"decision":"kept","seconds":1,"version":1,"more":1}`} {
		value, err := jsonschema.UnmarshalJSON(strings.NewReader(bad))
		if err != nil || schema.Validate(value) == nil {
			t.Errorf("the schema takes %s (%v)", bad, err)
		}
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

// pile gives a source of many straps of 100 notes, made one strap at a time, ten to a session; each is handed to
// look before it is given. plain notes are like most, a serial and a time; the others have something in every cell.
func pile(straps int, plain bool, look func(strap int)) Source {
	var s Source
	for i := range (straps + 9) / 10 {
		s.Sessions = append(s.Sessions, triage.Session{ID: uint64(i + 1), Name: "float", Source: "Harbour branch", Denomination: 1, Straps: 10, StrapNotes: 100, Opened: at, Settings: patterns.DefaultSettings()})
	}
	s.Straps = func(session uint64) (all []triage.Strap, err error) {
		for i := range min(10, straps-int(session-1)*10) {
			all = append(all, triage.Strap{Session: session, Number: i + 1, Band: 100, Opened: at})
		}
		return all, nil
	}
	s.Notes = func(session uint64, strap int) (all []triage.Note, err error) {
		look(int(session-1)*10 + strap)
		for i := range 100 {
			number := (int(session-1)*1000 + strap*100 + i) * 7919
			n := triage.Note{Session: session, Strap: strap, Position: i + 1, Version: 1, Decision: triage.Spend, Decided: at, Took: 3 * time.Second,
				Serial: triage.Serial{Prefix: "B", Digits: fmt.Sprintf("%08d", number%100_000_000), Suffix: 'C'}, Hits: patterns.Set(i % 7 << 20)}
			if !plain {
				n.Hits = patterns.Set(number) // every note another set
				for name, change := range fields {
					if change != nil && !strings.HasPrefix(name, "Serial.") && name != "Hits" && name != "Strap" && name != "Position" {
						change(&n)
					}
				}
			}
			all = append(all, n)
		}
		return all, nil
	}
	return s
}

// A report of ten times the notes is in no need of more memory. What is alive is measured, after collecting the
// rest, at the same strap and at the last; -long takes a million notes.
func TestMemoryStaysFlat(t *testing.T) {
	straps := 500
	if *long {
		straps = 10_000
	}
	alive := func() uint64 {
		runtime.GC()
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		return m.HeapAlloc
	}
	for _, form := range Forms {
		var early, late uint64
		s := pile(straps, false, func(strap int) {
			switch strap {
			case straps / 10:
				early = alive()
			case straps:
				late = alive()
			}
		})
		if err := Write(io.Discard, form, made, s); err != nil {
			t.Fatal(err)
		}
		// Held notes would be 35 MB more, of a million 700 MB. The joined names, limited, and the straps read ahead
		// make up for two.
		if early == 0 || late > early+2<<20 {
			t.Errorf("%s: %d bytes are alive after a tenth of %d straps, %d at the end", form, early, straps, late)
		}
	}
}

// BenchmarkCSV is one row: of a note like most, and of one with something in every cell.
func BenchmarkCSV(b *testing.B) {
	for name, plain := range map[string]bool{"plain": true, "full": false} {
		b.Run(name, func(b *testing.B) {
			one := pile(1, plain, func(int) {})
			notes, err := one.Notes(1, 1)
			if err != nil {
				b.Fatal(err)
			}
			one.Straps = func(uint64) ([]triage.Strap, error) { return make([]triage.Strap, b.N/100+1), nil }
			one.Notes = func(uint64, int) ([]triage.Note, error) { return notes, nil }
			b.ReportAllocs()
			b.ResetTimer()
			if err := Write(io.Discard, CSVForm, made, one); err != nil {
				b.Fatal(err)
			}
			b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "rows/s")
		})
	}
}
