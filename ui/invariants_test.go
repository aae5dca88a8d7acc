package ui

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/charmbracelet/x/ansi"

	"app/unband/triage"
)

// A witness says after every key of a table whether what must always be true still is. It knows the file as it
// was after the key before.
type witness struct {
	b       *table
	answers int // of the disk, when the file was looked at last
	notes   map[triage.Place]triage.Note
	out     map[uint64]int // notes taken out, by session
	listed  int            // notes that wait

	face  map[uint64]triage.Denomination // of each session, as it was seen first
	other map[uint64]bool                // sessions that were put right to another
}

func newWitness(b *table) *witness {
	w := &witness{b: b, face: map[uint64]triage.Denomination{}, other: map[uint64]bool{}}
	w.look()
	return w
}

// after looks at everything once a key, or whatever else happened, was taken. decides says that it may have
// decided something.
func (w *witness) after(decides bool) {
	w.b.t.Helper()
	w.window()
	if w.answers != w.b.answers {
		w.file(decides)
	}
	w.said()
	w.known()
}

// window wants a view that fits the window, is the same when it is drawn twice, and cannot move the cursor.
func (w *witness) window() {
	w.b.t.Helper()
	a := w.b.app
	view := a.View()
	if again := a.View(); again != view {
		w.b.t.Fatalf("drawn twice, the view is\n%s\nand\n%s", view, again)
	}
	if !utf8.ValidString(view) {
		w.b.t.Fatalf("the view is not UTF-8:\n%q", view)
	}
	lines := strings.Split(view, "\n")
	if len(lines) > max(a.height, 1) {
		w.b.t.Fatalf("%d lines in a window of %d", len(lines), a.height)
	}
	for _, line := range lines {
		if strings.ContainsFunc(line, func(r rune) bool { return unicode.Is(unicode.C, r) }) {
			w.b.t.Fatalf("the line %q has a control character", line)
		}
		if ansi.StringWidth(line) > max(a.width, 0) {
			w.b.t.Fatalf("a line of %d cells in a window of %d:\n%s", ansi.StringWidth(line), a.width, line)
		}
	}
}

// decidedSaid is how the strap says that a decision is on the disk.
var decidedSaid = regexp.MustCompile(`^note (\d+): (?:(.+?) )?(spent unread|spent|kept|set aside|laid apart)\b`)

// goneSaid is how it says that a listed note is not in the pile.
var goneSaid = regexp.MustCompile(`^note (\d+) is ()(not there): the notes below`)

// said wants the decision that the status line tells of just now in the file.
func (w *witness) said() {
	w.b.t.Helper()
	a := w.b.app
	v, ok := a.screen.(*strap)
	said := decidedSaid.FindStringSubmatch(a.env.status.text)
	if said == nil {
		said = goneSaid.FindStringSubmatch(a.env.status.text)
	}
	if !ok || said == nil || a.env.status.hint || !a.env.status.since.Equal(a.at) {
		return
	}
	position, _ := strconv.Atoi(said[1])
	t := v.sorter.Strap()
	n, there := w.notes[triage.Place{Session: t.Session, Strap: t.Number, Position: position}]
	serial := ""
	if !n.Serial.Empty() {
		serial = n.Serial.String()
	}
	if !there || n.Decision.String() != said[3] || serial != said[2] {
		w.b.t.Fatalf("the screen says %q, the file has %+v (%v)", a.env.status.text, n, there)
	}
}

// known wants the strap on the screen to know the notes that are in the file, and no others, once the disk has answered.
func (w *witness) known() {
	w.b.t.Helper()
	v, ok := w.b.app.screen.(*strap)
	if !ok || w.b.app.env.open > 0 {
		return
	}
	t := v.sorter.Strap()
	notes := slices.DeleteFunc(slices.Clone(v.sorter.Notes()), func(n triage.Note) bool { return n.Decision == triage.Undecided }) // listed
	inFile := 0
	for p := range w.notes {
		if p.Session == t.Session && p.Strap == t.Number {
			inFile++
		}
	}
	if len(notes) != inFile {
		w.b.t.Fatalf("the screen knows %d notes of the strap, the file %d", len(notes), inFile)
	}
	for _, n := range notes {
		if w.notes[n.Place()] != n {
			w.b.t.Fatalf("the screen knows\n%+v, the file\n%+v", n, w.notes[n.Place()])
		}
	}
}

// file compares the file with what it was before, and its sums with its notes.
func (w *witness) file(decides bool) {
	w.b.t.Helper()
	before := *w
	w.look()
	decided, gone := 0, 0
	for p, n := range w.notes {
		old, there := before.notes[p]
		switch {
		case !there || n.Decision != old.Decision || n.Serial != old.Serial:
			decided++
		case n.Version == old.Version && n != old:
			w.b.t.Fatalf("version %d of %v was\n%+v and is\n%+v", n.Version, p, old, n)
		}
		if there && n.Version < old.Version && w.takenOut(before) == 0 {
			w.b.t.Fatalf("%v went from version %d to %d", p, old.Version, n.Version)
		}
	}
	for p := range before.notes {
		if _, there := w.notes[p]; !there {
			gone++
		}
	}
	switch {
	case gone > w.takenOut(before):
		w.b.t.Fatalf("%d notes are gone, %d were taken out", gone, w.takenOut(before))
	case !decides && decided+gone > 0:
		w.b.t.Fatalf("%d notes were decided by what must not decide", decided+gone)
	case w.b.release == nil && decided > max(1, before.listed-w.listed, w.b.answers-before.answers):
		w.b.t.Fatalf("%d notes were decided by %d answers of the disk, and none of them was listed", decided, w.b.answers-before.answers)
	}
}

// takenOut is how many notes were taken out since. What was taken out of a session before goes with the session.
func (w *witness) takenOut(before witness) (n int) {
	for session, out := range w.out {
		n += out - before.out[session]
	}
	return n
}

// look reads the whole file and wants it to agree with itself.
func (w *witness) look() {
	w.b.t.Helper()
	w.answers, w.notes, w.out, w.listed = w.b.answers, map[triage.Place]triage.Note{}, map[uint64]int{}, 0
	sessions, err := w.b.store.Sessions()
	w.must(err)
	for _, s := range sessions {
		out, err := w.b.store.TakenOut(s.ID)
		w.must(err)
		w.out[s.ID] = len(out)
		if face, known := w.face[s.ID]; known && face != s.Denomination {
			w.other[s.ID] = true
		}
		w.face[s.ID] = s.Denomination
		straps, err := w.b.store.Straps(s.ID)
		w.must(err)
		var sum triage.Totals
		for i, t := range straps {
			if t.Number != i+1 || !s.Open() && !t.Done {
				w.b.t.Fatalf("strap %d of session %+v is %+v", i+1, s, t)
			}
			w.strap(t)
			sum = sum.Add(t.Totals)
		}
		if s.Totals != sum {
			w.b.t.Fatalf("session %d says %+v, its straps add up to %+v", s.ID, s.Totals, sum)
		}
	}
}

// strap wants the notes of a strap, decided and listed, in one row without a hole, and its totals to be theirs.
func (w *witness) strap(t triage.Strap) {
	w.b.t.Helper()
	notes := w.b.notes(t.Session, t.Number)
	list, err := w.b.store.Listed(t.Session, t.Number)
	w.must(err)
	w.listed += len(list)
	there := map[int]bool{}
	for _, l := range list {
		there[l.Position] = true
	}
	var sum triage.Totals
	for _, n := range notes {
		there[n.Position] = true
		sum = sum.Add(n.Totals())
		w.note(n)
		w.notes[n.Place()] = n
	}
	for i := range len(notes) + len(list) {
		if !there[i+1] {
			w.b.t.Fatalf("strap %+v has %d notes and %d listed, and nothing at place %d", t, len(notes), len(list), i+1)
		}
	}
	if sum != t.Totals || t.Listed != len(list) || t.Done && len(list) > 0 {
		w.b.t.Fatalf("strap %+v: its notes add up to %+v, and %d are listed", t, sum, len(list))
	}
}

// note wants a note that was decided as the rules of the program allow.
func (w *witness) note(n triage.Note) {
	w.b.t.Helper()
	if n.Version > 1 {
		earlier, err := w.b.store.Versions(n.Session, n.Strap, n.Position)
		w.must(err)
		for i, v := range earlier {
			if v.Version != i+1 {
				w.b.t.Fatalf("version %d of %+v is %+v", i+1, n, v)
			}
		}
		if len(earlier) != n.Version-1 {
			w.b.t.Fatalf("%d versions before %+v", len(earlier), n)
		}
	}
	_, whole := n.Serial.Whole()
	switch {
	case n.Decision == triage.Undecided, n.Decision == triage.Keep && !whole, n.Decision == triage.Glance && !n.Serial.Empty(), n.Decision == triage.NotThere && !n.Serial.Empty():
		w.b.t.Fatalf("decided was %+v", n)
	case n.Denomination != 0 && n.Changed.IsZero() && !w.other[n.Session] && (n.Decision == triage.Keep || n.Decision == triage.Spend || n.Decision == triage.Glance):
		w.b.t.Fatalf("of another denomination, and %v: %+v", n.Decision, n)
	case n.Decision == triage.Spend && n.Watched&n.Near != 0 && n.Watched&n.Hits == 0 && n.Reread == triage.NotReread && n.Origin != triage.FromSequence:
		w.b.t.Fatalf("a watched near miss was spent and never read again: %+v", n)
	}
}

func (w *witness) must(err error) {
	w.b.t.Helper()
	if err != nil {
		w.b.t.Fatal(err)
	}
}
