package finds

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"pgregory.net/rapid"

	"app/unband/patterns"
	"app/unband/triage"
	"app/unband/triage/currency"
	"app/unband/triage/flaws"
)

var update = flag.Bool("update", false, "rewrite the golden pages in testdata/finds")

var book = sync.OnceValue(func() *patterns.Book {
	b, err := patterns.NewBook(settings())
	if err != nil {
		panic(err)
	}
	return b
})

func settings() patterns.Settings {
	s := patterns.DefaultSettings()
	s.Templates = []patterns.Template{{Pattern: "??1234??", Remark: "the stall's number"}}
	return s
}

// note is a decided note of the invented stall, judged as the program judges it.
func note(serial string, d triage.Decision, change func(*triage.Note)) triage.Note {
	s, _, err := triage.ParseSerial(serial)
	if err != nil {
		panic(err)
	}
	n := triage.Note{Session: 1, Strap: 1, Position: 1, Serial: s, Decision: d}
	if w, ok := s.Whole(); ok {
		n.Hits, n.Near = book().Sets(w)
	}
	if change != nil {
		change(&n)
	}
	return n
}

func session() triage.Session {
	return triage.Session{ID: 1, Name: "Friday *float*", Source: "Harbour branch", Denomination: 1, OldBefore: "2003", Watch: book().DefaultWatch(),
		Settings: settings(), Opened: time.Date(2026, 3, 6, 18, 0, 0, 0, time.UTC), Totals: triage.Totals{Notes: 1000, Kept: 19}}
}

// evening is the cash float of an invented stall at a street market, in the order of the strap.
func evening() []triage.Note {
	notes := []triage.Note{
		note("B48160297C", triage.Spend, nil),
		note("F12021202B", triage.Keep, func(n *triage.Note) { n.Series, n.Grade = "2017A", flaws.Fine }), // a repeater
		note("B70633607C", triage.Keep, func(n *triage.Note) { n.Fate, n.FateRemark = triage.Sold, "to a neighbour" }),
		note("A27722772C", triage.Keep, nil), // radar repeater
		note("D01873355*", triage.Keep, func(n *triage.Note) { n.Series = "2017" }),
		note("B02873355*", triage.Keep, func(n *triage.Note) { n.Series = "2013" }),
		note("B03555530*", triage.Keep, func(n *triage.Note) { n.Series = "2013" }), // a star that is a radar
		note("C00873355*", triage.Keep, nil),                                        // series not said
		note("L61225697K", triage.Keep, func(n *triage.Note) { n.Series, n.Seal = "1963A", currency.Green }),
		note("L61225698K", triage.Keep, func(n *triage.Note) { n.Series = "1985" }),
		note("L01225698*", triage.Keep, func(n *triage.Note) { n.Series = "1981" }),
		note("G35120846A", triage.Keep, func(n *triage.Note) { n.Flaw, n.Face = flaws.GutterFold, "a white line through the portrait" }),
		note("G35120847A", triage.Keep, func(n *triage.Note) { n.Reason = "to go with it" }),
		note("E81306542C", triage.Keep, func(n *triage.Note) { n.Flaw = flaws.OffsetTransfer }),
		note("H70633507B", triage.Spend, func(n *triage.Note) { n.Look = triage.StillSpent }),
		note("H50715017B", triage.Keep, func(n *triage.Note) { n.Look = triage.KeptAfter }), // two digits swapped
		note("C44444494B", triage.Keep, nil),
		note("E56123498B", triage.Keep, nil), // the stall's number
		note("K52120846C", triage.Spend, func(n *triage.Note) { n.Stamp, n.Remark = true, "red [ink](x)" }),
		note("J70611607C", triage.SetAside, nil),
		note("J70711607C", triage.LaidApart, func(n *triage.Note) { n.Denomination = 5 }),
		note("J52120847C", triage.Keep, func(n *triage.Note) { n.Reason = "the stall's first" }),
		note("D12022021D", triage.Keep, nil), // a radar and a date
	}
	for i := range notes {
		notes[i].Position = i + 1
	}
	return notes
}

func golden(t *testing.T, name, got string) {
	t.Helper()
	path := filepath.Join("..", "..", "testdata", "finds", name)
	if *update {
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(path)
	if err != nil || got != string(want) {
		t.Errorf("%s (%v) is\n%s\nwant\n%s", name, err, got, want)
	}
}

// The page of an evening, as text and Markdown, and with digits hidden.
func TestThePageOfAnEvening(t *testing.T) {
	p := Make(session(), evening(), book(), Options{Star: func(triage.Note) string { return "in a run of 640,000" }})
	golden(t, "evening.txt", Text(p))
	golden(t, "evening.md", Markdown(p))
	golden(t, "evening-hidden.txt", Text(Make(session(), evening(), book(), Options{HideDigits: 4})))
	golden(t, "nothing.txt", Text(Make(session(), nil, book(), Options{})))
}

// Every find stands once, none is lost, and what is set aside is none.
func TestEveryFindStandsOnce(t *testing.T) {
	p := Make(session(), evening(), book(), Options{})
	seen := map[string]int{}
	for _, s := range p.Sections {
		for _, i := range s.Items {
			seen[i.Serial]++
		}
	}
	for _, n := range evening() {
		want := 0
		if n.Decision == triage.Keep || n.Stamp || n.Look == triage.StillSpent {
			want = 1
		}
		if seen[n.Serial.String()] != want {
			t.Errorf("%s stands %d times, want %d", n.Serial, seen[n.Serial.String()], want)
		}
	}
}

// Every note of the evening is in its section, and the sections are in the order in which one shows them.
func TestTheOrder(t *testing.T) {
	want := []string{
		"Old notes, the oldest first: L61225697K L01225698* L61225698K",
		"Stars, by series and bank: B02873355* B03555530* D01873355* C00873355*",
		"Patterns, the rarest first: A27722772C C44444494B F12021202B B70633607C D12022021D E56123498B",
		"Errors: E81306542C G35120846A",
		"Near misses worth telling: H70633507B H50715017B",
		"With the stamp of someone who tracks notes: K52120846C",
		"Kept beside another: G35120847A",
		"Kept for other reasons: J52120847C",
	}
	var got []string
	for _, s := range Make(session(), evening(), book(), Options{}).Sections {
		line := s.Title + ":"
		for _, i := range s.Items {
			line += " " + i.Serial
		}
		got = append(got, line)
	}
	if strings.Join(got, "\n") != strings.Join(want, "\n") {
		t.Errorf("the sections are\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

// What a note is told as, after questions of collectors; the letters say which.
func TestWhatANoteIs(t *testing.T) {
	for _, c := range []struct {
		serial, words string
		also, never   string
		why           string
	}{
		{"F27722772C", "radar-repeater, 1 in 1,1", "also radar, 1 in 10,001; repeater, 1 in 10,001; binary", "", "P01: three names are true, the rarest leads"},
		{"K77707707A", "binary, 1 in ", "six alike", "true binary", "P13: not only 0 and 1"},
		{"C12345679B", "skipping ladder", "also one digit off a ladder up (1 in 32,000,000): an 8 at place 8", "", "P08: a near miss that is itself rare"},
		{"B98765432D", "ladder down", "uncut sheet", "", "P12: a number that no bank strap holds says so"},
		{"K00000087C", "low number", "six in a row", "", "P25: low must win"},
		{"J60896809A", "rotator", "", "radar", "P26: turned it reads the same"},
		{"L69900996B", "radar", "", "rotator", "P29: turned it reads otherwise"},
		{"A12022021D", "radar, 1 in 10,001", "2 December 2021", "", "P37: neither name hides the other"},
		{"B13131313G", "super repeater", "binary", "date", "P38: no month 13"},
		{"A00000000A", "solid", "Eight zeros", "radar", "P39: a solid is told as nothing else; it is taken out before it gets anywhere"},
		{"K12344321B", "ladder radar", "radar, 1 in 10,001", "ladder up, ", "P41: owners call it a ladder"},
		{"E56123498B", "??1234??, 1 in 10,000", "the stall's number", "", "an own pattern has its remark"},
	} {
		p := Make(session(), []triage.Note{note(c.serial, triage.Keep, func(n *triage.Note) { n.Series = "2017A" })}, book(), Options{})
		i := p.Sections[0].Items[0]
		all := i.Words + "\n" + strings.Join(i.Also, "\n")
		told := strings.Split(all, "also one ")[0] // of what it is; the rest is what it nearly is
		if len(p.Sections) != 1 || !strings.HasPrefix(i.Words, c.words) || !strings.Contains(all, c.also) || c.never != "" && strings.Contains(told, c.never) {
			t.Errorf("%s is %+v, want %q and %q, never %q: %s", c.serial, i, c.words, c.also, c.never, c.why)
		}
	}
}

// What a note is near to takes two lines at most, however much that is: the rarest with what would make it so, several
// others by name. Worked by hand: a 5 at place 5 makes 15554551 a super radar, and the others.
func TestNearMissesReadWell(t *testing.T) {
	for serial, want := range map[string]string{
		"B15554551C": "one digit off a super radar (1 in 1,103,448): a 5 at place 5\n" +
			"also one digit off six in a row (1 in 39,056), a radar (1 in 10,001) and a binary (1 in 8,996)",
		"B70633507C": "one digit off a radar (1 in 10,001): a 5 at place 3, or a 6 at place 6",
	} {
		i := Make(session(), []triage.Note{note(serial, triage.Keep, nil)}, book(), Options{}).Sections[0].Items[0]
		if got := strings.Join(append([]string{i.Words}, i.Also...), "\n"); got != want {
			t.Errorf("%s is told as\n%s\nwant\n%s", serial, got, want)
		}
	}
}

// The heading over the patterns is true of what stands below it: with hidden digits those not named come last.
func TestTheHeadingOverPatternsIsTrue(t *testing.T) {
	for _, c := range []struct {
		serials []string
		hidden  int
		want    string
	}{
		{[]string{"B70633607C", "B60896809A"}, 0, "Patterns, the rarest first: B60896809A B70633607C"},
		{[]string{"B70633607C", "B60896809A"}, 4, "Patterns, the rarest first, those not named last: BxxxxxxxxC BxxxxxxxxA"},
		{[]string{"B70633607C", "B27722772A"}, 4, "Patterns, the rarest first: BxxxxxxxxA BxxxxxxxxC"},
		{[]string{"B60896809A"}, 4, "Patterns, not named here: BxxxxxxxxA"},
	} {
		var notes []triage.Note
		for i, serial := range c.serials {
			notes = append(notes, note(serial, triage.Keep, func(n *triage.Note) { n.Position = 1 + 10*i }))
		}
		s := Make(session(), notes, book(), Options{HideDigits: c.hidden}).Sections[0]
		got := s.Title + ":"
		for _, i := range s.Items {
			got += " " + i.Serial
		}
		if got != c.want {
			t.Errorf("%v with %d hidden: %q, want %q", c.serials, c.hidden, got, c.want)
		}
	}
}

// A kept note that stands in one section is told the rest of what it is there, an error with stage and caution.
func TestOneNoteIsSeveralThings(t *testing.T) {
	n := note("B03555530*", triage.Keep, func(n *triage.Note) {
		n.Series, n.Flaw, n.Back, n.Stamp = "1981", flaws.OffsetTransfer, "the face in mirror writing", true
		n.Fate = triage.Traded
	})
	p := Make(session(), []triage.Note{n}, book(), Options{Star: func(triage.Note) string { return "in a run of 640,000" }})
	if len(p.Sections) != 1 || len(p.Sections[0].Items) != 1 || p.Sections[0].Items[0].Words != "series 1981" {
		t.Fatalf("%+v, want one old note", p.Sections)
	}
	got := strings.Join(p.Sections[0].Items[0].Also, "\n")
	for _, want := range []string{"also a star note", "in a run of 640,000", "also radar, 1 in 10,001", "also offset transfer", "stage: ",
		"on the back: the face in mirror writing", flaws.Verdict, "with a tracking stamp", "traded"} {
		if !strings.Contains(got, want) {
			t.Errorf("%q is not in\n%s", want, got)
		}
	}
}

// An error in whose words nothing was written is told by what the walk-through says one sees.
func TestWhatOneSees(t *testing.T) {
	outcome, _ := flaws.OffsetTransfer.Outcome()
	p := Make(session(), []triage.Note{note("E81306542C", triage.Keep, func(n *triage.Note) { n.Flaw = flaws.OffsetTransfer })}, book(), Options{})
	if also := p.Sections[0].Items[0].Also; outcome.See == "" || !slices.Contains(also, outcome.See) || !slices.Contains(also, flaws.Verdict) {
		t.Errorf("%q, want %q and the caution", also, outcome.See)
	}
	damaged := note("E81306542C", triage.Spend, func(n *triage.Note) { n.Flaw = flaws.DamageAfter })
	if p := Make(session(), []triage.Note{damaged}, book(), Options{}); !p.Empty() {
		t.Errorf("a damaged note that was spent is shown: %+v", p.Sections)
	}
}

// Ten near misses are told, the rarest ones, and one that is not among them is still found by its stamp, or
// because it was kept.
func TestTheRarestNearMissesAreTold(t *testing.T) {
	var notes []triage.Note
	for d := 10_203_202; len(notes) < 12; d += 10_010_010 - 1_000 {
		n := note(fmt.Sprintf("B%08dC", d%96_000_000), triage.Spend, nil)
		if n.Hits&session().Watch.Hit == 0 && n.Near&session().Watch.Near == 1<<patterns.Radar {
			notes = append(notes, n)
		}
	}
	notes[10].Stamp = true
	notes[11].Decision = triage.Keep
	notes = append(notes, note("C22222225B", triage.Spend, nil)) // a solid but for one: seven in a row, near a solid
	notes[12].Hits = 0
	for i := range notes {
		notes[i].Position = i + 1
	}
	var got []int
	p := Make(session(), notes, book(), Options{})
	for _, s := range p.Sections {
		got = append(got, len(s.Items))
	}
	if !slices.Equal(got, []int{10, 1, 1}) || p.Sections[0].Items[0].Serial != "C22222225B" {
		t.Fatalf("%v, first %+v; want ten near misses, the rarest first, a stamped and a kept note", got, p.Sections[0].Items[0])
	}
}

// Near misses of what is not rare are not worth telling, though the person has the sorter stop for them.
func TestCommonNearMissesAreNotTold(t *testing.T) {
	s := session()
	n := note("B48428441C", triage.Spend, nil)
	s.Watch.Near = s.Watch.Near.With(patterns.FiveAlike)
	if r, _ := book().Rule(patterns.FiveAlike); r.Total < patterns.Total/5000 || !n.Near.Has(patterns.FiveAlike) {
		t.Fatalf("%v is no near miss of a common rule", n.Serial)
	}
	if p := Make(s, []triage.Note{n}, book(), Options{}); !p.Empty() {
		t.Errorf("%+v, want nothing", p.Sections)
	}
}

// A note set aside is not shown, whatever else it is.
func TestSetAsideIsNoFind(t *testing.T) {
	for _, serial := range []string{"B70633607C", "B70633507C", "B01873355*", "B48160297C"} {
		n := note(serial, triage.SetAside, func(n *triage.Note) {
			n.Series, n.Flaw, n.Stamp, n.Reason = "1963A", flaws.GutterFold, true, "the paper"
		})
		if p := Make(session(), []triage.Note{n}, book(), Options{}); !p.Empty() {
			t.Errorf("%s is shown: %+v", serial, p.Sections)
		}
	}
}

// The order of patterns is that of the odds which stand beside them.
func TestTheOddsRise(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		half := rapid.SliceOfN(rapid.StringMatching(`[0-9]{4}`), 1, 8).Draw(t, "halves")
		var notes []triage.Note
		for i, h := range half {
			notes = append(notes, note("B"+h+h+"C", triage.Keep, func(n *triage.Note) { n.Position = i + 1 }))
		}
		p := Make(session(), notes, book(), Options{})
		if len(p.Sections) != 1 || len(p.Sections[0].Items) != len(half) {
			t.Fatalf("%+v, want %d patterns", p.Sections, len(half))
		}
		before := patterns.Total * 2
		for _, i := range p.Sections[0].Items {
			odds := patterns.Total
			if at := strings.Index(i.Words, "1 in "); at >= 0 {
				fmt.Sscan(strings.ReplaceAll(i.Words[at+5:], ",", ""), &odds)
			}
			if odds > before {
				t.Fatalf("%q stands behind 1 in %d", i.Words, before)
			}
			before = odds
		}
	})
}

// A neighbour is one of a kept note that wants it, on either side, also over the end of a strap; a note set aside
// is nobody's neighbour.
func TestNeighbours(t *testing.T) {
	flawed := func(n *triage.Note) { n.Flaw = flaws.GutterFold }
	at := func(n triage.Note, strap, position int) triage.Note {
		n.Strap, n.Position = strap, position
		return n
	}
	wanted := note("G35120846A", triage.Keep, flawed)
	for _, c := range []struct {
		keeper, beside triage.Note
		want           string
		why            string
	}{
		{at(wanted, 1, 4), at(note("G35120847A", triage.Keep, nil), 1, 5), "beside G35120846A", "the note after"},
		{at(wanted, 1, 4), at(note("G35120845A", triage.Keep, nil), 1, 3), "beside G35120846A", "the note before"},
		{at(wanted, 1, 100), at(note("G35120847A", triage.Keep, nil), 2, 1), "beside G35120846A", "the first note of the next strap"},
		{at(wanted, 1, 4), at(note("G35120847A", triage.Keep, nil), 1, 6), "", "one lies between"},
		{at(wanted, 1, 4), at(note("G61120847A", triage.Keep, nil), 1, 5), "", "used notes whose numbers do not follow"},
		{at(wanted, 1, 4), at(note("G35120847A", triage.Spend, nil), 1, 5), "", "it was spent"},
		{at(note("G35120846A", triage.SetAside, flawed), 1, 4), at(note("G35120847A", triage.Keep, nil), 1, 5), "", "set aside"},
	} {
		p := Make(session(), []triage.Note{c.keeper, c.beside}, book(), Options{})
		got := ""
		for _, s := range p.Sections {
			if s.Title == "Kept beside another" {
				got = s.Items[0].Words
			}
		}
		if got != c.want {
			t.Errorf("%q, want %q: %s", got, c.want, c.why)
		}
	}
}

// Without a limit of the person's own, old is what common practice calls so; a session without a name has a page;
// a stamped note passed over unread has no digits to show.
func TestWhatWasNotSaid(t *testing.T) {
	s := session()
	s.OldBefore, s.Name = "", ""
	old := note("L61225697K", triage.Keep, func(n *triage.Note) { n.Series = "1963A" })
	stamped := triage.Note{Session: 1, Strap: 1, Position: 2, Decision: triage.Glance, Stamp: true}
	p := Make(s, []triage.Note{old, stamped}, book(), Options{})
	if p.Title != "Finds" || len(p.Sections) != 2 || p.Sections[0].Title != "Old notes, the oldest first" || p.Sections[1].Items[0].Serial != "serial not read" {
		t.Errorf("%+v", p)
	}
}

// The page names no branch and gives no verdict or value.
func TestWhatThePageDoesNotSay(t *testing.T) {
	text := Text(Make(session(), evening(), book(), Options{})) + Markdown(Make(session(), evening(), book(), Options{}))
	for _, no := range []string{"Harbour", "authentic", "worth $", "value", "to a neighbour"} {
		if strings.Contains(text, no) {
			t.Errorf("the page says %q", no)
		}
	}
}

// A listed note that is not in the pile cannot be shown, whatever was said of it before that was found.
func TestANoteThatIsNotThereIsNoFind(t *testing.T) {
	n := triage.Note{Session: 1, Strap: 1, Position: 1, Decision: triage.NotThere, Stamp: true, Listed: "B70633607C"}
	if p := Make(session(), []triage.Note{n}, book(), Options{}); len(p.Sections) != 0 {
		t.Errorf("it is among %+v", p.Sections)
	}
}
