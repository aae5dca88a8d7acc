package ui

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"app/unband/store"
	"app/unband/triage"
)

// listFile writes a list to a file and gives its name.
func listFile(t testing.TB, lines ...string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "float.csv")
	if err := os.WriteFile(path, []byte(strings.Join(lines, "\n")+"\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// openList goes from the strap on the table to a list.
func (b *table) openList(path string) {
	b.t.Helper()
	b.play("list clear")
	b.typed(path)
	b.play("enter")
}

// machine is a list as a counting machine may print it: 100 notes of a strap, among them a radar, a near radar, two
// digits that were not read, and a star. (An invented layout.)
func machine() []string {
	lines := []string{"No;Time;Serial"}
	for i, serial := range plainSerials(100, 3) {
		switch i + 1 {
		case 12:
			serial = "B70633607C"
		case 40:
			serial = "K3?4554?3D"
		case 41:
			serial = "B70633507C"
		case 77:
			serial = "F01180455*"
		}
		lines = append(lines, fmt.Sprintf("%d;09:41:%02d;%s", i+1, i%60, serial))
	}
	return append(lines, "TOTAL;100;$100")
}

// listOf goes to a list of so many notes with a radar as note 4 and one as note 151.
func (b *table) listOf(notes int) {
	b.t.Helper()
	b.begin("Friday float")
	serials := plainSerials(notes, 5)
	serials[3], serials[150] = "B27722772C", "B70633607C"
	b.openList(listFile(b.t, serials...))
}

// A number typed over that of a note gone to is not dropped without a word.
func TestANumberTypedOverAListedOneStays(t *testing.T) {
	b := newTable(t)
	b.begin("float")
	b.openList(listFile(t, machine()...))
	b.play("wait enter wait left left left left")
	b.shows("note 8 of 100", "not decided")
	b.play("A11223395B")
	for _, away := range []string{"right", "left", ".", "up", "down", "enter"} {
		b.play("wait " + away)
		b.shows("note 8 of 100", "another serial stands here: decide the note first, or clear it")
	}
	b.play("clear right")
	b.shows("note 9 of 100")
	b.sound()
}

// A question about the list is answered by y or n, too; another letter says that it chooses nothing.
func TestAQuestionAboutAListIsAnsweredByALetter(t *testing.T) {
	b := newTable(t)
	b.begin("float")
	serials := plainSerials(100, 8)
	serials[40] = serials[20]
	b.openList(listFile(t, serials...))
	b.play("x")
	b.shows("nothing here begins with x")
	b.play("y")
	b.shows("[yes]", "takes in 100 notes, 1 to be pulled")
	b.play("n")
	b.shows("[no]", "takes in 99 notes")
	b.play("y wait enter wait")
	b.shows("note 41 of 100", "the same serial as note 21", "twice keeps", "twice spends")
	b.play("-")
	b.shows("press the same key once more")
	b.sound()
}

// The answer to a re-read is not asked about again, nor is its note missed at the end.
func TestWhatARereadFoundIsNotDoubted(t *testing.T) {
	b := newTable(t)
	b.begin("float")
	serials := plainSerials(100, 8)
	serials[3] = "E10881808R" // the note has 18881888: two digits are others than the list has
	b.openList(listFile(t, serials...))
	b.play("wait enter wait")
	b.shows("note 4 of 100", "near")
	b.play("wait -")
	b.shows("from the note again")
	for range blanks(b) {
		b.play("8")
	}
	b.play("enter")
	if strings.Contains(b.app.View(), "is it this note?") {
		t.Errorf("the answer to the re-read is doubted:\n%s", b.app.View())
	}
	b.play("9") // a stray key does not take the place of what was read
	b.shows("the serial has ended: 9 was left out")
}

// A list that was taken in before is known by its numbers.
func TestAListThatWasTakenInBefore(t *testing.T) {
	b := newTable(t)
	b.begin("float")
	path := listFile(t, plainSerials(100, 9)...)
	b.openList(path)
	b.play("wait enter wait wait enter wait wait enter wait")
	b.play("desk d")
	b.begin("another day")
	b.openList(path)
	b.shows("100 of these notes were met before, in other sessions: is it a list that was", "taken in already?", "↺    1", "met before")
	b.sound()
}

// A note that the machine counted is not in the pile: it is said twice to be missing, the strap is short by it, and it can be
// found later all the same.
func TestAListedNoteIsNotInThePile(t *testing.T) {
	b := newTable(t)
	b.begin("float")
	b.openList(listFile(t, machine()...))
	b.play("wait enter wait ctrl+x")
	b.shows("note 12 was taken in: Ctrl+X again says that it is not in the pile")
	b.play("wait wait ctrl+x")
	b.shows("note 12 is not there: the notes below it lie one place higher", "note 40 of 100", "missing")
	n := b.notes(1, 1)
	if len(n) != 1 || n[0].Decision != triage.NotThere || n[0].Listed != "B70633607C" || !n[0].Serial.Empty() {
		t.Fatalf("stored are %+v", n)
	}
	b.sound()
	b.play("K35455453D wait + wait wait - 65 enter wait + 2017A enter wait")
	b.shows("listed as note 12, and not found: B70633607C", "spends the other 96 notes as listed", "99 notes in", "the band says 100: count")
	b.play("wait enter wait wait enter")
	b.shows("strap 1", "1 short of 100")
	b.sound()
}

// Of a number that was not read whole only what is missing is typed, with the letters the list has; or all of it.
func TestOnlyTheUnreadDigitsAreTyped(t *testing.T) {
	b := newTable(t)
	b.begin("float")
	b.openList(listFile(t, machine()...))
	b.play("wait enter wait + wait wait")
	b.shows("note 40 of 100", "the list has K3?4554?3D: type the 2 unread digits", "from the note and Enter, or the whole number")
	b.play("5 enter")
	b.shows("type the 2 unread digits from the note, then Enter; or the whole number")
	b.play("4 enter wait")
	b.shows("K", "D", "+ keep   - spend")
	if s := b.app.screen.(*strap).sorter.Hand().Entry.Serial; s.String() != "K35455443D" {
		t.Errorf("in hand is %v", s)
	}
	b.play("clear 55 enter wait +")
	b.shows("note 40: K35455453D kept")
	if n := b.notes(1, 1); n[1].Serial.String() != "K35455453D" || n[1].Listed != "K3?4554?3D" || n[1].Hits == 0 {
		t.Errorf("stored is %+v", n[1])
	}
}

// A hundred notes from a counting machine: four are pulled, the rest is spent in one go.
func TestAListFromACountingMachine(t *testing.T) {
	b := newTable(t)
	b.begin("float")
	b.openList(listFile(t, machine()...))
	b.shows("float.csv", "takes in 100 notes, 4 to be pulled", "12  B70633607C", "radar (1 in 10,001)", "40  K3?4554?3D", "a radar if both are equal", "star note")
	b.play("wait enter")
	b.shows("taken in: 100 notes, 4 to be pulled", "note 12 of 100", "from the list")
	b.play("wait +")
	b.shows("note 40 of 100", "the list has K3?4554?3D", "a radar if both are equal")
	b.play("wait wait K35455453D wait +")
	b.shows("note 41 of 100", "near radar")
	b.play("wait -")
	b.shows("read the blanks from the note")
	for _, p := range blanks(b) {
		b.play("70633507"[p : p+1])
	}
	b.play("enter")
	b.shows("note 77 of 100", "star note")
	b.play("wait + 2017a enter")
	b.shows("All that was to be pulled is looked at.", "the other 96 notes")
	b.play("wait wait enter wait enter")
	b.shows("96 notes spent as listed")
	b.decided(1, 3, 97)
	notes := b.notes(1, 1)
	if n := notes[39]; n.Serial.String() != "K35455453D" || n.Listed != "K3?4554?3D" || n.Origin != triage.Typed {
		t.Errorf("the unread note is stored as %+v", n)
	}
	if n := notes[40]; n.Look != triage.Waiting || n.Origin != triage.FromList {
		t.Errorf("the near miss is stored as %+v", n)
	}
	b.sound()
}

// blanks are the places that are to be typed again.
func blanks(b *table) []int {
	places, _ := b.app.screen.(*strap).sorter.Hand().Blanks()
	return places
}

// A list of ten straps: pulled strap by strap, the rest of all of them spent in one act that says the number.
func TestAListIntoSeveralStraps(t *testing.T) {
	b := newTable(t)
	b.begin("float")
	serials := plainSerials(950, 5)
	serials[250], serials[3] = "B70633607C", "B27722772C"
	b.openList(listFile(t, serials...))
	b.shows("straps 1 to 10", "takes in 950 notes, 2 to be pulled", "1:4", "3:51")
	b.play("wait enter wait +")
	b.shows("Nothing more is to be pulled from strap 1", "goes on to strap 3")
	b.play("wait enter")
	b.shows("strap 3 of 10", "note 51 of 100")
	b.play("wait +")
	b.shows("the other 948 notes")
	b.play("wait wait enter wait enter")
	b.shows("948 notes spent as listed", "50 short of 100")
	straps, err := b.store.Straps(1)
	if err != nil || len(straps) != 10 {
		t.Fatalf("%d straps, %v", len(straps), err)
	}
	for _, s := range straps {
		if !s.Done || s.Listed != 0 {
			t.Errorf("strap %+v is not done", s)
		}
	}
	b.sound()
}

// The pile may lie the other way round: the first line is its bottom.
func TestAListFromTheBottom(t *testing.T) {
	b := newTable(t)
	b.begin("float")
	b.openList(listFile(t, machine()...))
	for !strings.Contains(strings.Join(selected(b), "\n"), "first line") {
		b.play("down")
	}
	b.play("right")
	b.shows("24  F01180455*", "89  B70633607C")
	b.play("wait enter")
	b.shows("note 24 of 100")
	b.sound()
}

// selected are the lines of the screen with the sign of choice in front.
func selected(b *table) (lines []string) {
	for _, line := range strings.Split(b.app.View(), "\n") {
		if strings.HasPrefix(line, signChoice) {
			lines = append(lines, line)
		}
	}
	return lines
}

// What is kept whole and what is spent as listed are two acts, each with its own number: a list does not go behind a
// strap of stars, and where both are listed each is asked about by itself.
func TestAStrapOfStarsBesideAList(t *testing.T) {
	b := newTable(t)
	b.begin("float")
	b.openList(listFile(t, plainSerials(50, 5)...))
	b.play("wait enter wait")
	b.shows("spends the other 50 notes as listed")
	stars := store.List{Straps: []triage.Strap{{Session: 1, Number: 2, Band: 100, InSequence: true}}}
	q := triage.Sequence{First: triage.Serial{Prefix: "A", Digits: "12345601", Star: true}, Notes: 100}
	stars.Straps[0].First = q.First
	stars.Straps[0].Last, _ = q.Last()
	for i := range 100 {
		serial, _ := q.At(i + 1)
		stars.Notes = append(stars.Notes, triage.Listed{Session: 1, Strap: 2, Position: i + 1, Serial: serial, Origin: triage.FromSequence})
	}
	if r := b.store.Do(stars); r.Err != nil {
		t.Fatal(r.Err)
	}
	b.start()
	b.play("r wait wait")
	b.shows("spends the other 50 notes as listed")
	b.play("enter wait enter wait")
	b.shows("50 notes spent as listed")
	b.decided(1, 0, 50)
	b.decided(2, 0, 0)
	b.play("enter wait")
	b.shows("keep it whole", "keeps 100 stars, A12345601* to")
	b.play("list")
	b.shows("a strap of stars in sequence is kept whole")
	b.play("desk p i")
	b.shows("strap 2 is one of stars in sequence")
	b.play("wait enter wait wait enter wait enter")
	b.shows("100 notes kept whole")
	b.decided(2, 100, 0)
	b.sound()
}

// Notes typed already stay; the list goes on behind them.
func TestAListBehindTypedNotes(t *testing.T) {
	b := newTable(t)
	b.begin("float")
	b.play("35120846 wait - 27118265 wait -")
	b.openList(listFile(t, "B48160297C", "B70633607C"))
	b.shows("4  B70633607C")
	b.play("wait enter")
	b.shows("note 4 of 100")
	b.play("wait + wait wait enter wait enter")
	b.decided(1, 1, 3)
	b.sound()
}

// The first note of the next strap lies beside the last one of this: when that is kept with its neighbours, it is
// pulled before the rest goes.
func TestTheNextStrapBeginsBesideAKeeper(t *testing.T) {
	b := newTable(t)
	b.play("n")
	b.typed("float")
	b.play("down down down n down 2 down enter")
	serials := plainSerials(200, 5)
	serials[99] = "B27722772C"
	b.openList(listFile(t, serials...))
	b.play("wait enter")
	b.shows("note 100 of 100")
	b.play("/ s space")
	b.play("esc wait + wait")
	b.shows("note 99 of 100")
	b.play("+ wait wait enter wait wait enter")
	b.decided(2, 0, 0)
	b.shows("read the question once more", "goes on to strap 2")
	b.play("wait enter")
	b.shows("strap 2 of 2", "note 1 of 100", "beside note 100 of strap 1")
	b.play("wait + wait wait enter wait enter")
	b.shows("197 notes spent as listed")
	b.decided(1, 2, 98)
	b.decided(2, 1, 99)
	b.sound()
}

// Listed notes may be pulled in any order: the one decided last lies on top of its pile.
func TestTheNotePulledLastIsToldWhereItLies(t *testing.T) {
	b := newTable(t)
	b.begin("float")
	b.openList(listFile(t, machine()...))
	b.play("wait enter wait")
	b.play("down down down down down down right right right right right wait + 2017a enter")
	b.shows("note 12 of 100")
	b.play("wait +")
	b.start()
	b.play("r")
	b.shows("last decided: note 12")
}

// What was said of a listed note while the disk did not take it is put down with the next key, like what is in hand.
func TestFactsOfAListedNoteThatWereNotStored(t *testing.T) {
	b := newTable(t)
	b.begin("float")
	b.openList(listFile(t, machine()...))
	b.play("wait enter wait left / s space")
	away := b.path + ".away"
	if err := os.Rename(b.path, away); err != nil {
		t.Fatal(err)
	}
	b.play("esc")
	if !b.app.env.status.alarm {
		t.Fatal("the file is gone, and nothing is said")
	}
	if err := os.Rename(away, b.path); err != nil {
		t.Fatal(err)
	}
	b.play("enter")
	list, err := b.store.Listed(1, 1)
	if err != nil || !list[10].Facts.Neighbours {
		t.Errorf("note 11 is stored as %+v (%v)", list[10], err)
	}
}

// A note that is typed and not decided is not lost to a list.
func TestAListWaitsForTheNoteInHand(t *testing.T) {
	b := newTable(t)
	b.begin("float")
	b.play("48160297 wait - B35120846C")
	b.play("list")
	b.shows("a note of strap 1 is in hand", "note 2 of 100", "still in hand")
	b.play("desk p i")
	b.shows("a note of strap 1 is in hand")
	b.play("wait enter wait -")
	b.openList(listFile(t, "B27118265C", "B70633607C"))
	b.play("wait enter")
	b.shows("note 4 of 100")
	b.decided(1, 0, 2)
	b.sound()
}

// What is left undone by a list is there the next evening: the pull in hand, and its place.
func TestAListIsTakenUpAgain(t *testing.T) {
	b := newTable(t)
	b.begin("float")
	b.openList(listFile(t, machine()...))
	b.play("wait enter wait +")
	b.start()
	b.play("r")
	b.shows("note 40 of 100", "last decided: note 12", "3 notes to be pulled")
	b.sound()
}

// From the session's page a list goes into the strap after the last one, also one more than was said.
func TestAListFromTheSessionsPage(t *testing.T) {
	b := newTable(t)
	b.beginNew("float")
	b.play("35120846 wait - wait enter wait enter wait enter")
	b.shows("99 short")
	b.play("wait i clear")
	b.typed(listFile(t, "B48160297C", "B70633607C"))
	b.play("enter wait enter")
	b.shows("strap 2 of 2", "note 2 of 100")
	b.sound()
}

// A file that is no list leaves everything as it was, and says what to do.
func TestFilesThatAreNoList(t *testing.T) {
	folder := t.TempDir()
	for name, content := range map[string]string{
		"a line of 10 MB": strings.Repeat("7", 10<<20), "NUL": "B48160297C\x00\n", "UTF-16": "\xff\xfeB\x004\x00",
		"control sequences": "\x1b]0;title\x07\x1b[2JB48160297C\n", "a million columns": strings.Repeat("B48160297C,", 1_000_000),
	} {
		path := filepath.Join(folder, "list.csv")
		if err := os.WriteFile(path, []byte(content), 0o600); err != nil {
			t.Fatal(err)
		}
		b := newTable(t)
		b.begin("float")
		b.openList(path)
		b.shows("was not taken in")
		if strings.ContainsAny(b.app.View(), "\x1b\x00\x07") {
			t.Errorf("%s: the screen is written to: %q", name, b.app.View())
		}
		b.play("esc 48160297 wait -")
		b.decided(1, 0, 1)
		b.sound()
	}
	b := newTable(t)
	b.begin("float")
	b.openList("/dev/null")
	b.shows("is no ordinary file")
}

// onScreen is the whole text of the screen without its line ends: a long path is broken where the window ends.
func onScreen(b *table) string {
	return strings.Join(strings.Fields(strings.ReplaceAll(b.app.View(), "\n  ", "")), " ")
}

// The file that is not there: which folder was looked in, and the newest lists in it.
func TestWhereAListWasLookedFor(t *testing.T) {
	home := t.TempDir()
	t.Setenv("HOME", home)
	folder := filepath.Join(home, "market")
	if err := os.Mkdir(folder, 0o700); err != nil {
		t.Fatal(err)
	}
	b := newTable(t)
	b.size(120, 40)
	b.begin("float")
	looked := func(typed string, says ...string) {
		t.Helper()
		b.openList(typed)
		for _, text := range says {
			if got := onScreen(b); !strings.Contains(got, text) {
				t.Errorf("for %s the screen does not say %q:\n%s", typed, text, b.app.View())
			}
		}
	}
	looked("~/market/friday.csv", "there is no file friday.csv in the folder "+folder+".", "No .csv, .tsv or .txt file lies in it.")
	for i, name := range []string{"may.csv", "June.TXT", "july.tsv", "august.csv", "notes.db"} {
		path := filepath.Join(folder, name)
		if err := os.WriteFile(path, []byte("B48160297C\n"), 0o600); err != nil {
			t.Fatal(err)
		}
		if changed := b.now.Add(time.Duration(i) * time.Hour); os.Chtimes(path, changed, changed) != nil {
			t.Fatal("the time of a file cannot be set")
		}
	}
	looked("~/market/friday.csv", "Lists may be in it: august.csv, july.tsv, June.TXT and 1 more.", "type its folder, too")
	looked("~/market/mayday.csv", "Lists may be in it: may.csv, august.csv, july.tsv and 1 more.")
	looked("~/market", folder+" is a folder. Lists may be in it: august.csv")
	looked("~/fair/friday.csv", "there is no folder "+filepath.Join(home, "fair")+".")
	looked("~", home+" is a folder.")
	looked("'"+filepath.Join(folder, "may.csv")+"'", "takes in 1 note,")
	b.play("up")
	b.typed("~/market/june.txt")
	b.play("enter")
	b.shows("there is no file june.txt", "June.TXT, august.csv")
	b.play("clear")
	b.typed("~/market/June.TXT")
	b.play("enter")
	b.shows("takes in 1 note,", "~/market/June.TXT")
}

// A name that stands in the line is replaced by the first character typed, and that is said; Backspace and the arrows keep
// it to be changed.
func TestTheNameOfTheListBefore(t *testing.T) {
	first := listFile(t, "B48160297C", "B70633607C")
	file := func(b *table) string { return b.app.screen.(*takeIn).file }
	for keys, want := range map[string]string{"x y": "xy", "clear": "", "bs": first[:len(first)-1], "right x": first + "x", "left bs": first[:len(first)-1], "down": first} {
		b := newTable(t)
		b.begin("float")
		b.play("list")
		if view := b.app.View(); strings.Contains(view, "typing replaces it") {
			t.Errorf("an empty line is to be replaced:\n%s", view)
		}
		b.openList(first)
		b.play("esc list")
		b.shows("typing replaces it")
		b.play(keys)
		if got := file(b); got != want {
			t.Errorf("after %s the name is %q, want %q", keys, got, want)
		}
		if view := b.app.View(); keys != "down" && strings.Contains(view, "typing replaces it") {
			t.Errorf("after %s the name is to be replaced still:\n%s", keys, view)
		}
	}
}

// Beside the list that was read another one can be named. A name that is left unread changes nothing, and the same file is
// read again.
func TestAnotherListInPlaceOfThisOne(t *testing.T) {
	first, second := listFile(t, "B48160297C", "B70633607C"), listFile(t, "B35120846C")
	b := newTable(t)
	b.begin("float")
	b.openList(first)
	b.shows("takes in 2 notes", "2 of 100 notes")
	b.play("up")
	b.shows("typing replaces it", "reads the file again", "Enter read it")
	b.typed(second + "x")
	b.shows("until then the one before stays")
	b.play("enter")
	b.shows("there is no file", "until then the one before stays")
	b.play("down")
	b.shows("was not read", "takes in 2 notes")
	b.play("up")
	b.typed(second)
	b.play("enter")
	b.shows("takes in 1 note,")
	if err := os.WriteFile(second, []byte("B35120846C\nB27722772C\nB48160297C\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	b.play("up enter")
	b.shows("takes in 3 notes", "2  B27722772C")
	b.play("wait enter")
	b.shows("note 2 of 100")
}

// In the smallest window at least six pulls are seen at once; every line of the list can be scrolled to, and as many keys
// lead back from its end as led there.
func TestAllPullsAreSeenInTheSmallestWindow(t *testing.T) {
	var serials []string
	for i := range 40 {
		serials = append(serials, fmt.Sprintf("B%02d7667%02dC", i+10, (i+10)%10*10+(i+10)/10))
	}
	serials = append(serials, "total 40", "", "B27722772C", "none")
	for _, size := range [][2]int{{MinWidth, MinHeight}, {80, 24}, {120, 40}} {
		b := newTable(t)
		b.size(size[0], size[1])
		b.begin("float")
		b.openList(listFile(t, serials...))
		b.play("wait")
		top := b.app.View()
		if n := strings.Count(top, signHit); n < 6 {
			t.Errorf("at %v %d pulls are seen:\n%s", size, n, top)
		}
		seen, pages := "", 0
		for before := ""; before != b.app.View(); pages++ {
			before = b.app.View()
			seen += before
			b.play("pgdn")
		}
		for i, s := range serials[:40] {
			if !strings.Contains(seen, fmt.Sprintf("%4d  %s", i+1, s)) {
				t.Errorf("at %v note %d is seen nowhere", size, i+1)
			}
		}
		for _, text := range []string{"a totals line: total 40", "A blank line was passed over: line 42.", "line 44, behind note 41: nothing in it looks like a serial: none"} {
			if !strings.Contains(strings.Join(strings.Fields(seen), " "), text) {
				t.Errorf("at %v nothing says %q", size, text)
			}
		}
		b.play("pgdn pgdn pgdn")
		for range pages - 1 {
			b.play("pgup")
		}
		if b.app.View() != top {
			t.Errorf("at %v %d keys down and as many up lead to\n%s", size, pages-1, b.app.View())
		}
		b.play("wait enter wait +")
		b.decided(1, 1, 0)
	}
}

// A serial that comes twice is told by the places of both notes in the pile, whichever way it lies and through straps.
func TestASerialTwiceIsToldByItsPlace(t *testing.T) {
	b := newTable(t)
	b.size(120, 40)
	b.begin("float")
	b.play("35120846 wait -")
	b.openList(listFile(t, "B48160297C", "B27118265C", "B48160297C"))
	b.shows("line 3, behind note 3: the same serial as note 2 (line 1): B48160297C")
	b.play("right")
	b.shows("4  B48160297C     the same serial as note 2 (line 1)")
	b.play("up up right") // from the bottom
	b.shows("2  B48160297C     the same serial as note 4 (line 1)")
	b.play("down down right")
	b.shows("line 3, above note 2: the same serial as note 3 (line 1): B48160297C")
	b.play("left wait enter wait")
	b.shows("note 2 of 100", "the same serial as note 4 (line 1)")

	b = newTable(t)
	b.size(120, 40)
	b.begin("float")
	serials := plainSerials(250, 5)
	serials[240] = serials[120]
	b.openList(listFile(t, serials...))
	b.play("right")
	b.shows("3:41  "+serials[240], "the same serial as note 21 of strap 2 (line 121)")
	b.sound()
}

// BenchmarkTakeInAList reads a list of 100,000 lines, judges it and draws the page.
func BenchmarkTakeInAList(b *testing.B) {
	table := newTable(b)
	table.begin("float")
	lines := []string{"No,Time,Serial"}
	for i, serial := range plainSerials(100_000, 9) {
		lines = append(lines, fmt.Sprintf("%d,09:%02d:%02d,%s", i+1, i/60%60, i%60, serial))
	}
	path := listFile(b, lines...)
	table.play("list clear")
	table.typed(path)
	b.ReportAllocs()
	for b.Loop() {
		v := table.app.screen.(*takeIn)
		table.press(tea.KeyMsg{Type: tea.KeyUp})
		v.field = inFile
		table.press(tea.KeyMsg{Type: tea.KeyEnter})
		_ = table.app.View()
		if len(v.taken.Notes)+v.taken.Asked.Twice != 100_000 {
			b.Fatal(len(v.taken.Notes))
		}
	}
}

// The note beside the listed one was pulled: that is said, and takes the key twice; what the list had and nobody found is
// named before the rest is spent.
func TestTheNoteBesideIsPulled(t *testing.T) {
	b := newTable(t)
	b.begin("float")
	b.size(120, 40)
	b.openList(listFile(t, "B48160297C", "B70633607C", "B35120846C"))
	b.play("wait enter wait")
	b.shows("note 2 of 100", "radar")
	b.play("B35120846C")
	b.shows("this number is listed as note 3: did you pull the note beside?", "the list has B70633607C here, radar (1 in 10,001): is it this note?")
	b.play("wait -")
	b.shows("press the same key once more")
	b.play("wait wait -")
	b.shows("note 3 of 100") // its number was met as note 2
	b.play("wait - wait -")
	b.shows("listed as note 2, and not found: B70633607C")
	b.play("wait . left B70633607C wait +")
	b.shows("All that was to be pulled is looked at.")
	if view := b.app.View(); strings.Contains(view, "not found") {
		t.Errorf("what was found is missed still:\n%s", view)
	}
	b.sound()
}

// What the list has comes back after it was taken away.
func TestTheListedNumberComesBack(t *testing.T) {
	b := newTable(t)
	b.begin("float")
	b.size(120, 40)
	b.openList(listFile(t, "B48160297C", "B70633607C"))
	b.play("wait enter wait clear")
	b.shows("the list has B70633607C here, radar")
	b.play("clear")
	b.shows("from the list")
	b.play("wait +")
	b.decided(1, 1, 0)
}

// A list that was taken in the wrong way round is forgotten in all its straps, and taken in anew.
func TestAListIsTakenInAnew(t *testing.T) {
	b := newTable(t)
	b.listOf(250)
	path := b.app.screen.(*takeIn).file
	b.play("wait enter wait list")
	b.shows("numbers were taken in for this strap already")
	b.play("wait onebyone wait onebyone")
	b.shows("sorted one by one from here")
	b.openList(path)
	for !strings.Contains(strings.Join(selected(b), "\n"), "first line") {
		b.play("down")
	}
	b.play("right wait enter")
	b.shows("strap 1 of 10", "note 100 of 100") // 250 notes, the 151st from the other end
	straps, err := b.store.Straps(1)
	if err != nil || len(straps) != 3 || straps[2].Listed != 50 {
		t.Errorf("straps %+v, %v", straps, err)
	}
	b.sound()
}

// The strap is left and taken up at the note decided last, which need not be the last one of the pile.
func TestTheNoteDecidedLastIsNamed(t *testing.T) {
	b := newTable(t)
	b.begin("float")
	b.openList(listFile(t, "B48160297C", "B70633607C", "B35120846C", "B27722772C"))
	b.play("wait enter right right wait + left left wait wait +")
	b.start()
	b.play("r")
	b.shows("last decided: note 1, B48160297C, kept")
}

// A listed near miss that is passed over unread is not forgotten: that the second press does so is said, and what the list
// had is named before the rest is spent. While digits are read blind nothing on the screen gives them away.
func TestAListedNearMissIsNotPassedOver(t *testing.T) {
	b := newTable(t)
	b.begin("Friday float")
	b.size(120, 40)
	b.openList(listFile(t, "B48160297C", "G16227755B", "B35120846C"))
	b.play("wait enter wait")
	b.shows("note 2 of 100")
	b.play("-")
	if view := b.app.View(); strings.Contains(view, "G16227755B") {
		t.Errorf("the digits that are to be read stand on the screen:\n%s", view)
	}
	b.play("clear")
	b.shows("not read again")
	b.play("wait clear")
	b.shows("the list has G16227755B here, near four pairs", "Ctrl+U brings it")
	b.play("wait -")
	b.shows("press the same key once more")
	b.play("wait")
	b.shows("- again spends it unread")
	b.play("-")
	b.shows("spent unread", "listed as note 2, and not found: G16227755B")
	b.play(". . left")
	b.sound()
}
