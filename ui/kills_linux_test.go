package ui

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"app/unband/patterns"
	"app/unband/store"
	"app/unband/triage"
)

// The program is killed at random moments, most of them within a few milliseconds of a key that decides, and taken
// up again. After each kill:
//   - every decision that the screen had shown is in the file once, at its place, with every earlier version;
//   - nothing is in the file that was not typed; at most the decision under way is ahead of the screen, which may be
//     the one that spends the rest of a list;
//   - the totals and indexes agree with the notes (store.Check);
//   - the strap is resumed at the right note, which the screen names;
//   - whatever lies in the folder of backups under a backup's name is whole and sound.
//
// The sitting mixes ordinary notes, kept hits, near misses with the re-read, notes passed over unread, notes changed
// afterwards, closer looks, straps closed, second looks, and straps taken in as a sequence and from a list.
// 50 kills, with -long 1,000. A few files are sorted side by side: a sitting mostly waits for its pauses.
func TestKilledAtAnyMoment(t *testing.T) {
	if testing.Short() {
		t.Skip("runs the real program for half a minute")
	}
	t.Parallel()
	kills, files := 50, 5
	if *long {
		kills, files = 1000, 8
	}
	if _, err := program(); err != nil {
		t.Fatal(err)
	}
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	stalls := make([]*stall, files)
	var work sync.WaitGroup
	for i := range stalls {
		m := newStall(t, filepath.Join(t.TempDir(), "float.db"), rand.New(rand.NewPCG(seed, uint64(i))))
		stalls[i] = m
		work.Go(func() {
			for range kills / files {
				if !m.sitting() {
					return
				}
			}
		})
	}
	work.Wait()
	var sum killFigures
	for _, m := range stalls {
		sum = sum.add(m.figures)
	}
	t.Logf("%+v", sum)
	if sum.Stored != sum.Shown+sum.Ahead {
		t.Errorf("%d decisions are in the file, %d were shown and %d were ahead of the screen", sum.Stored, sum.Shown, sum.Ahead)
	}
	if sum.Shown == 0 || sum.Resumed == 0 {
		t.Error("nothing was shown or resumed: nothing was tested")
	}
	for what, n := range map[string]int{"plain note": sum.Plain, "keeper": sum.Kept, "re-read": sum.Reread, "glance": sum.Glances, "note changed": sum.Changed,
		"closer look": sum.Closer, "strap closed": sum.Straps, "sequence": sum.Sequences, "list": sum.Lists, "second look": sum.SecondLooks} {
		if n == 0 && *long {
			t.Errorf("not one %s came to its end in %d kills: the sittings do not do what they say", what, kills)
		}
	}
}

// killFigures count what a series of kills has met.
type killFigures struct {
	Kills, Resumed  int
	Shown           int // decisions that the screen had shown; notes of a list spent in one go count each
	Stored          int // decisions that are in the file, earlier versions counted
	Ahead           int // decisions that were in the file before the screen had shown them
	Plain, Kept     int
	Reread, Glances int
	Changed, Closer int
	Straps          int // closed one by one
	Sequences       int // straps in sequence that were finished
	Lists           int
	SecondLooks     int // near misses looked at again
	Backups         int // found sound after a kill, each one counted each time
	Unfinished      int // files left behind by backups that were cut short
}

func (f killFigures) add(g killFigures) killFigures {
	f.Kills += g.Kills
	f.Resumed += g.Resumed
	f.Shown += g.Shown
	f.Stored += g.Stored
	f.Ahead += g.Ahead
	f.Plain += g.Plain
	f.Kept += g.Kept
	f.Reread += g.Reread
	f.Glances += g.Glances
	f.Changed += g.Changed
	f.Closer += g.Closer
	f.Straps += g.Straps
	f.Sequences += g.Sequences
	f.Lists += g.Lists
	f.SecondLooks += g.SecondLooks
	f.Backups += g.Backups
	f.Unfinished += g.Unfinished
	return f
}

// A stall is one file and everything that is known of it from outside: what was typed and what the screen showed.
type stall struct {
	t       *testing.T
	file    string
	random  *rand.Rand
	session triage.Session // as stored, for its watch list
	rules   triage.Rules
	used    map[string]bool // digits that were used: no note is met twice

	typed map[triage.Place][]made // the versions of each note, in the order typed
	shown map[triage.Place]int    // the newest version the screen has shown
	lists map[int]*takenIn        // straps that were taken in, by number
	over  map[int]bool            // straps that the screen has shown as closed

	straps []triage.Strap // as stored after the last kill
	notes  []triage.Note  // of the last strap

	figures killFigures
}

// made is one version of a note.
type made struct {
	serial   string // empty for a glance
	decision triage.Decision
	remark   string
	waits    bool // for the second look
}

// takenIn is a strap that was taken in by a list or a sequence.
type takenIn struct {
	serials []string
	answers map[int]string // by position: the notes to be pulled; the digits of the re-read, empty for a hit
	list    bool
}

func newStall(t *testing.T, file string, random *rand.Rand) *stall {
	book, err := patterns.NewBook(patterns.DefaultSettings())
	if err != nil {
		t.Fatal(err)
	}
	m := &stall{t: t, file: file, random: random, used: map[string]bool{},
		typed: map[triage.Place][]made{}, shown: map[triage.Place]int{}, lists: map[int]*takenIn{}, over: map[int]bool{}}
	m.session = triage.Session{ID: 1, Denomination: 1, NewNotes: true, Straps: 10_000, StrapNotes: 100, Watch: book.DefaultWatch()}
	m.rules = triage.Rules{Book: book, Watch: m.session.Watch, Pauses: triage.Pauses{Plain: triage.MinPause, Stop: triage.MinPause}, NewNotes: true}
	return m
}

// The two ways in which a sitting ends before it is through.
type (
	killed struct{}
	failed string
)

// sitting is one start of the program, up to its kill. It reports false when something was wrong.
func (m *stall) sitting() (ok bool) {
	path, _ := program()
	s, err := sitDown(m.t, screenOf(path, m.file))
	if err != nil {
		m.t.Error(err)
		return false
	}
	defer s.getUp()
	k := &seat{sitting: s, m: m}
	defer k.plan()()
	func() {
		defer func() {
			switch p := recover().(type) {
			case nil, killed:
			case failed:
				m.t.Errorf("%s: %s\nits end was\n%s", m.file, p, s.tail())
			default:
				panic(p)
			}
		}()
		k.sort()
	}()
	s.cmd.Process.Kill() // for a sitting that has failed
	s.cmd.Wait()
	<-s.gone
	m.figures.Kills++
	if err := m.compare(); err != nil {
		m.t.Errorf("%s, after kill %d: %v\nthe end of the screen was\n%s", m.file, m.figures.Kills, err, s.tail())
	}
	return !m.t.Failed()
}

// A seat is somebody at the program who does not know when it will be killed.
type seat struct {
	*sitting
	m       *stall
	strap   int
	note    int           // the note in hand
	decided int           // decision keys pressed
	at      int           // the decision key that is followed by the kill
	close   bool          // the kill follows the closing of a strap
	delay   time.Duration // from that key
}

// plan chooses the moment of the kill: some time, or some microseconds after a decision key or after the end of a
// strap, when a backup is made.
func (k *seat) plan() (stop func()) {
	random := k.m.random
	latest := 6 * time.Second
	switch random.IntN(4) {
	case 0:
		latest = time.Duration(random.IntN(4000)) * time.Millisecond
	case 1:
		k.close, k.delay = true, time.Duration(random.IntN(60_000))*time.Microsecond
	default:
		k.at, k.delay = 1+random.IntN(7), time.Duration(random.IntN(12_000))*time.Microsecond
	}
	timer := time.AfterFunc(latest, func() { k.cmd.Process.Kill() })
	return func() { timer.Stop() }
}

// await waits for one of the texts.
func (k *seat) await(mark int, texts ...string) int {
	i, err := k.first(mark, texts...)
	switch {
	case errors.Is(err, errGone) && k.cmd.Process != nil && !k.ended():
		panic(killed{})
	case err != nil:
		panic(failed(fmt.Sprintf("none of %q: %v", texts, err)))
	}
	return i
}

// ended reports whether the program has ended by itself, which it must not.
func (k *seat) ended() bool {
	k.cmd.Wait()
	return k.cmd.ProcessState.Exited()
}

// rest lets some time pass.
func (k *seat) rest(d time.Duration) {
	select {
	case <-k.gone:
		if k.ended() {
			panic(failed("it has ended by itself"))
		}
		panic(killed{})
	case <-time.After(d):
	}
}

// The rests that keys need: resting is that of a key which was pressed just now.
const resting = 1200 * time.Millisecond

// press presses a key that decides something.
func (k *seat) press(key string, closes bool) {
	k.decided++
	if closes && k.close || k.decided == k.at {
		time.AfterFunc(k.delay, func() { k.cmd.Process.Kill() })
	}
	k.keys(key)
}

// decision makes one version of a note and waits until it is shown.
func (k *seat) decision(key string, strap, note int, v made) {
	done := fmt.Sprintf("note %d: %s", note, v.decision)
	if v.serial != "" {
		done = fmt.Sprintf("note %d: %s %s", note, v.serial, v.decision)
	}
	place := triage.Place{Session: 1, Strap: strap, Position: note}
	k.m.typed[place] = append(k.m.typed[place], v)
	for {
		k.rest(plainPause)
		mark := k.mark()
		k.press(key, false)
		if k.await(mark, done, didNotCount, "once more") == 0 {
			break
		}
		k.rest(resting)
	}
	k.m.shown[place] = len(k.m.typed[place])
	k.m.figures.Shown++
}

// sort sorts until it is killed.
func (k *seat) sort() {
	k.takeUp()
	for {
		switch {
		case k.strap == 0:
			k.onThePage()
		case k.m.lists[k.strap] != nil:
			k.pull()
		default:
			k.oneNote()
		}
	}
}

// takeUp begins the session, or takes it up where the file says that it was left.
func (k *seat) takeUp() {
	m := k.m
	if m.session.Name == "" {
		k.await(0, "N new session")
		k.keys("nFriday float\t\t\tn\t")
		k.press("10000\t\r", false)
		k.await(0, "note 1 of 100")
		k.strap, k.note = 1, 1
		m.session.Name = "Friday float"
		return
	}
	k.await(0, "resumes Friday float", "goes on with Friday float")
	mark := k.mark()
	k.keys("r")
	m.figures.Resumed++
	n := len(m.straps)
	if n == 0 || m.straps[n-1].Done {
		k.await(mark, "wait  band")
		return
	}
	k.strap = n
	k.note = 1
	if len(m.notes) > 0 {
		last := m.notes[len(m.notes)-1]
		k.await(mark, fmt.Sprintf("last decided: note %d,", last.Position))
		k.note = last.Position + 1
	}
	list := m.lists[k.strap]
	if list != nil {
		k.note = list.next(m.notes)
	}
	if list != nil && k.note == 0 {
		k.await(mark, "All that was to be pulled is looked at.")
		return
	}
	k.await(mark, fmt.Sprintf("note %d of 100", k.note))
	if list == nil {
		k.keys("\x15") // whatever is still in hand is typed anew
	}
}

// next is the first note to be pulled that is not decided, 0 when there is none.
func (l *takenIn) next(notes []triage.Note) int {
	done := map[int]bool{}
	for _, n := range notes {
		done[n.Position] = true
	}
	for p := range len(l.serials) {
		if _, pulled := l.answers[p+1]; pulled && !done[p+1] {
			return p + 1
		}
	}
	return 0
}

// oneNote does one of the things that can be done in a strap.
func (k *seat) oneNote() {
	m := k.m
	what := m.random.IntN(100)
	before := m.newest(k.strap, k.note-1)
	switch {
	case k.note > 90 || k.note > 3 && what < 18:
		k.closeStrap()
		return
	case what < 26 && before.serial != "" && !before.waits && !m.rules.Book.Stops(digitsOf(before.serial), m.rules.Watch):
		k.change(before)
		return
	case what < 36:
		serial := m.hit()
		k.keys(serial)
		k.decision("+", k.strap, k.note, made{serial: serial, decision: triage.Keep})
		m.figures.Kept++
	case what < 48:
		k.nearMiss()
	case what < 56:
		k.keys("\x7f") // takes nothing back, and frees the key for spending
		k.decision("-", k.strap, k.note, made{decision: triage.Glance})
		m.figures.Glances++
	case what < 64:
		k.closerLook()
	default:
		serial := m.ordinary()
		k.keys(serial)
		k.decision("-", k.strap, k.note, made{serial: serial, decision: triage.Spend})
		m.figures.Plain++
	}
	k.note++
}

// change goes back to the note before the one in hand and decides it the other way.
func (k *seat) change(before made) {
	mark := k.mark()
	k.keys(".")
	k.await(mark, "gone back: ")
	key, now := "+", before
	now.decision = triage.Keep
	if before.decision == triage.Keep {
		key, now.decision = "-", triage.Spend
	}
	mark = k.mark()
	k.decision(key, k.strap, k.note-1, now)
	k.await(mark, fmt.Sprintf("note %d of 100", k.note))
	k.m.figures.Changed++
}

// nearMiss spends a near miss, which asks for its doubtful digits once more.
func (k *seat) nearMiss() {
	serial, answer := k.m.near()
	k.keys(serial)
	k.reread(serial, answer)
}

func (k *seat) reread(serial, answer string) {
	for {
		k.rest(plainPause)
		mark := k.mark()
		k.press("-", false)
		if k.await(mark, "read the blank", didNotCount) == 0 {
			break
		}
		k.rest(resting)
	}
	k.keys(answer)
	k.decision("\r", k.strap, k.note, made{serial: serial, decision: triage.Spend, waits: true})
	k.m.figures.Reread++
}

// closerLook says something of a note before it is spent.
func (k *seat) closerLook() {
	serial, remark := k.m.ordinary(), fmt.Sprintf("corner %d torn", k.note)
	k.keys(serial)
	mark := k.mark()
	k.keys("/")
	k.await(mark, "FW mark")
	k.keys("2017A\r")
	k.keys("\x07r" + remark) // Ctrl+G: a letter goes to its line
	k.await(mark, remark)
	mark = k.mark()
	k.keys("\x1b")
	k.await(mark, "pace")
	k.decision("-", k.strap, k.note, made{serial: serial, decision: triage.Spend, remark: remark})
	k.m.figures.Closer++
}

// closeStrap closes the strap short of its band.
func (k *seat) closeStrap() {
	mark := k.mark()
	k.keys("\r")
	k.await(mark, "closes the strap as counted")
	k.answerEnd("short of 100")
	k.m.figures.Straps++
}

// answerEnd answers the question at the end of a strap until the page of the session is there.
func (k *seat) answerEnd(done string) {
	for {
		k.rest(resting)
		mark := k.mark()
		k.press("\r", true)
		if k.await(mark, done, didNotCount, "once more") == 0 {
			break
		}
	}
	k.m.over[k.strap] = true
	k.strap = 0
}

// pull looks at the next note to be pulled from a strap that was taken in, or spends the rest of it.
func (k *seat) pull() {
	m, list := k.m, k.m.lists[k.strap]
	if k.note == 0 {
		k.spendRest(list)
		return
	}
	serial, answer := list.serials[k.note-1], list.answers[k.note]
	mark := k.mark()
	if answer == "" {
		k.decision("+", k.strap, k.note, made{serial: serial, decision: triage.Keep})
	} else {
		k.reread(serial, answer)
	}
	var done []triage.Note
	for p := range list.answers {
		if m.newest(k.strap, p).decision != triage.Undecided {
			done = append(done, triage.Note{Position: p})
		}
	}
	if k.note = list.next(done); k.note == 0 {
		k.await(mark, "All that was to be pulled is looked at.")
		return
	}
	k.await(mark, fmt.Sprintf("note %d of 100", k.note))
}

func (k *seat) spendRest(list *takenIn) {
	m, strap := k.m, k.strap
	rest := 0
	for i, serial := range list.serials {
		place := triage.Place{Session: 1, Strap: strap, Position: i + 1}
		if _, pulled := list.answers[i+1]; !pulled {
			m.typed[place] = []made{{serial: serial, decision: triage.Spend}}
			rest++
		}
	}
	k.answerEnd(fmt.Sprintf("%d notes spent ", rest))
	for i := range list.serials {
		m.shown[triage.Place{Session: 1, Strap: strap, Position: i + 1}] = 1
	}
	m.figures.Shown += rest
	if list.list {
		m.figures.Lists++
	} else {
		m.figures.Sequences++
	}
}

// onThePage goes on from the page of the session: a second look, a strap in sequence, a list, or the next strap.
func (k *seat) onThePage() {
	m := k.m
	next := len(m.straps) + 1
	for m.over[next] { // closed in this sitting
		next++
	}
	switch what := m.random.IntN(10); {
	case what < 4 && len(m.waits()) > 0:
		k.secondLook()
	case what < 6:
		k.sequence(next)
	case what < 8:
		k.list(next)
	default:
		for {
			k.rest(resting)
			mark := k.mark()
			k.press("\r", false)
			if k.await(mark, "note 1 of 100", didNotCount) == 0 {
				break
			}
		}
		k.strap, k.note = next, 1
	}
}

// secondLook looks once more at one or two of the near misses that wait, the first in the order of the pile first.
func (k *seat) secondLook() {
	m := k.m
	waits := m.waits()
	mark := k.mark()
	k.keys("l")
	for i := range 1 + m.random.IntN(2) {
		if i == len(waits) {
			return // the last one leads back to the page
		}
		p := waits[i]
		k.await(mark, fmt.Sprintf("strap %d, note %d", p.Strap, p.Position))
		v := m.newest(p.Strap, p.Position)
		key := "-"
		v.waits = false
		if m.random.IntN(2) == 0 {
			key, v.decision = "+", triage.Keep
		}
		mark = k.mark()
		k.decision(key, p.Strap, p.Position, v)
		m.figures.SecondLooks++
		if i == len(waits)-1 {
			k.await(mark, "The second look is done")
			return
		}
		k.rest(resting) // the next one may want the same key
	}
	mark = k.mark()
	k.keys("\x04")
	k.await(mark, "wait  band")
}

// sequence takes the next strap in by its first and its last number.
func (k *seat) sequence(strap int) {
	first, list := k.m.inSequence(strap)
	mark := k.mark()
	k.keys("s")
	k.await(mark, "Two reads and no guess")
	k.keys(first + "\r\r\r\r" + list.serials[99])
	k.m.lists[strap] = list
	k.press("\r", false)
	k.await(mark, "the last number proves it")
	k.takenIn(strap, list)
}

// list takes the next strap in from a file.
func (k *seat) list(strap int) {
	list, path := k.m.fromMachine(strap)
	mark := k.mark()
	k.keys("i\x15" + path + "\r")
	k.await(mark, "takes in 100 notes")
	k.m.lists[strap] = list
	k.takenIn(strap, list)
}

// takenIn confirms what is taken in, and waits for the first note to be pulled.
func (k *seat) takenIn(strap int, list *takenIn) {
	k.note = list.next(nil)
	first := "All that was to be pulled is looked at."
	if k.note > 0 {
		first = fmt.Sprintf("note %d of 100", k.note)
	}
	for {
		k.rest(resting)
		mark := k.mark()
		k.press("\r", false)
		if k.await(mark, first, didNotCount) == 0 {
			break
		}
	}
	k.strap = strap
}

// newest is the newest version of a note, as typed.
func (m *stall) newest(strap, note int) made {
	if v := m.typed[triage.Place{Session: 1, Strap: strap, Position: note}]; len(v) > 0 {
		return v[len(v)-1]
	}
	return made{}
}

// waits are the near misses that wait for the second look, in the order of the pile.
func (m *stall) waits() []triage.Place {
	var places []triage.Place
	for p, v := range m.typed {
		if len(v) > 0 && v[len(v)-1].waits {
			places = append(places, p)
		}
	}
	slices.SortFunc(places, func(a, b triage.Place) int {
		return cmp.Or(cmp.Compare(a.Strap, b.Strap), cmp.Compare(a.Position, b.Position))
	})
	return places
}

func digitsOf(serial string) patterns.Digits {
	d, err := patterns.ParseDigits(serial[1:9])
	if err != nil {
		panic(err)
	}
	return d
}

// lettered puts digits between two letters of a one-dollar note.
func (m *stall) lettered(digits string) string {
	m.used[digits] = true
	return string(rune('A'+m.random.IntN(12))) + digits + string(rune('A'+m.random.IntN(12)))
}

// drawn draws digits that were not used yet until one fits.
func (m *stall) drawn(draw func() string, fits func(patterns.Digits) bool) string {
	for {
		digits := draw()
		if d, err := patterns.ParseDigits(digits); err == nil && !m.used[digits] && fits(d) {
			return digits
		}
	}
}

// ordinary gives a serial that stops no sorter.
func (m *stall) ordinary() string {
	return m.lettered(m.drawn(func() string { return fmt.Sprintf("%08d", 1+m.random.IntN(96_000_000)) },
		func(d patterns.Digits) bool { return !m.rules.Book.Stops(d, m.rules.Watch) }))
}

// radar draws a serial that reads the same from both ends.
func (m *stall) radar() string {
	half := fmt.Sprintf("%04d", m.random.IntN(9600))
	return half + string([]byte{half[3], half[2], half[1], half[0]})
}

// lonely reports whether a serial is a watched hit whose neighbours nobody wants.
func (m *stall) lonely(d patterns.Digits) bool {
	match, _ := m.rules.Book.Sets(d)
	return match&m.rules.Watch.Hit != 0 && !triage.Note{Decision: triage.Keep, Hits: match}.WantsNeighbours()
}

// hit gives a serial that is kept.
func (m *stall) hit() string { return m.lettered(m.drawn(m.radar, m.lonely)) }

// near gives a near miss and the digits that its re-read asks for.
func (m *stall) near() (serial, answer string) {
	for {
		digits := []byte(m.radar())
		place := m.random.IntN(8)
		digits[place] = '0' + (digits[place]-'0'+1+byte(m.random.IntN(9)))%10
		if m.used[string(digits)] {
			continue
		}
		o := triage.NewSorter(m.session, triage.Strap{Session: 1, Number: 1, Band: 100}, nil, nil, triage.Held{}, m.rules, time.Time{})
		at := time.Time{}.Add(time.Hour)
		for _, r := range "A" + string(digits) + "A" {
			o.Press(triage.Key{Kind: triage.KeyRune, Rune: r}, at)
		}
		o.Press(triage.Key{Kind: triage.KeySpend}, at.Add(time.Hour))
		places, _ := o.Hand().Blanks()
		if o.Hand().Mode() != triage.Rereading || len(places) == 0 {
			continue
		}
		for _, p := range places {
			answer += string(digits[p])
		}
		return m.lettered(string(digits)), answer
	}
}

// inSequence gives a strap of a hundred new notes in sequence. What is to be pulled is asked of triage: the kills are
// what is tested here.
func (m *stall) inSequence(strap int) (first string, list *takenIn) {
	for {
		radar, err := patterns.ParseDigits(m.radar())
		if err != nil {
			continue
		}
		from := int(radar) - m.random.IntN(100)
		letters := m.ordinary()
		list = &takenIn{answers: map[int]string{}}
		var notes []triage.Listed
		good := from > 0 && from+99 <= 96_000_000
		for i := range 100 {
			digits := fmt.Sprintf("%08d", from+i)
			list.serials = append(list.serials, letters[:1]+digits+letters[9:])
			serial, _, err := triage.ParseSerial(list.serials[i])
			good = good && err == nil && !m.used[digits]
			notes = append(notes, triage.Listed{Session: 1, Strap: strap, Position: i + 1, Serial: serial, Origin: triage.FromSequence})
		}
		if !good {
			continue
		}
		for _, p := range triage.Pulls(m.session, len(notes), func(i int) triage.Listed { return notes[i] }, m.rules) {
			good = good && p.Beside == 0 && p.Doubt == "" && m.lonely(digitsOf(list.serials[p.Position-1]))
			list.answers[p.Position] = ""
		}
		if !good {
			continue
		}
		for _, serial := range list.serials {
			m.used[serial[1:9]] = true
		}
		return list.serials[0], list
	}
}

// fromMachine writes a list of a hundred notes, a hit and a near miss among them.
func (m *stall) fromMachine(strap int) (*takenIn, string) {
	list := &takenIn{answers: map[int]string{}, list: true}
	hit, near := 1+m.random.IntN(50), 51+m.random.IntN(50)
	for i := 1; i <= 100; i++ {
		serial := ""
		switch i {
		case hit:
			serial, list.answers[i] = m.hit(), ""
		case near:
			serial, list.answers[i] = m.near()
		default:
			serial = m.ordinary()
		}
		list.serials = append(list.serials, serial)
	}
	path := filepath.Join(filepath.Dir(m.file), fmt.Sprintf("%d.csv", strap))
	if err := os.WriteFile(path, []byte(strings.Join(list.serials, "\n")+"\n"), 0o600); err != nil {
		panic(failed(err.Error()))
	}
	return list, path
}

// compare holds the file against what was typed and shown, after the program is gone.
func (m *stall) compare() error {
	if _, err := os.Stat(m.file); errors.Is(err, fs.ErrNotExist) && m.session.Name == "" {
		return nil // killed before the file was made
	}
	if err := m.backups(); err != nil {
		return err
	}
	s, err := store.Open(m.file)
	if err != nil {
		return err
	}
	defer s.Close()
	report, err := s.Check()
	if err != nil || !report.Sound() {
		return fmt.Errorf("the file is not sound: %v %v", err, report.Problems)
	}
	sessions, err := s.Sessions()
	switch {
	case err != nil || len(sessions) > 1:
		return fmt.Errorf("%d sessions, %v", len(sessions), err)
	case len(sessions) == 1:
		m.session = sessions[0]
	case m.session.Name != "":
		return errors.New("the session was shown and is not in the file")
	default:
		return nil
	}
	if m.straps, err = s.Straps(1); err != nil {
		return err
	}
	m.notes, m.figures.Stored = nil, 0
	for _, t := range m.straps {
		if err := m.compareStrap(s, t); err != nil {
			return fmt.Errorf("strap %d: %w", t.Number, err)
		}
	}
	return m.forget()
}

// compareStrap holds one strap against what was typed and shown.
func (m *stall) compareStrap(s *store.Store, t triage.Strap) error {
	notes, err := s.Notes(1, t.Number)
	if err != nil {
		return err
	}
	list := m.lists[t.Number]
	if m.over[t.Number] && !t.Done {
		return errors.New("it was shown as closed and is not")
	}
	m.over[t.Number] = t.Done
	for i, n := range notes {
		if list == nil && n.Position != i+1 {
			return fmt.Errorf("its note %d is at place %d", i+1, n.Position)
		}
		versions, err := s.Versions(1, t.Number, n.Position)
		if err != nil {
			return err
		}
		if err := m.compareNote(append(versions, n)); err != nil {
			return fmt.Errorf("note %d: %w", n.Position, err)
		}
	}
	if list != nil && t.Done && len(notes) != 100 {
		return fmt.Errorf("%d notes of a strap that was taken in and is done", len(notes))
	}
	m.notes = notes
	return nil
}

// compareNote holds the versions of a note against what was typed and shown.
func (m *stall) compareNote(versions []triage.Note) error {
	p := versions[0].Place()
	typed, shown := m.typed[p], m.shown[p]
	if len(versions) > len(typed) || len(versions) < shown {
		return fmt.Errorf("%d versions are in the file, %d were typed and %d shown", len(versions), len(typed), shown)
	}
	for i, n := range versions {
		got := made{n.Serial.String(), n.Decision, n.Remark, n.Look == triage.Waiting}
		if n.Serial.Empty() {
			got.serial = ""
		}
		if got != typed[i] {
			return fmt.Errorf("version %d is %+v, typed was %+v", i+1, got, typed[i])
		}
	}
	m.figures.Stored += len(versions)
	m.figures.Ahead += len(versions) - shown
	m.typed[p], m.shown[p] = typed[:len(versions)], len(versions)
	return nil
}

// forget drops what was typed and did not come to the file. Nothing of it may have been shown.
func (m *stall) forget() error {
	stored := map[int]int{}
	for _, t := range m.straps {
		stored[t.Number] = t.Totals.Notes
	}
	sum := map[int]int{}
	for p, typed := range m.typed {
		switch {
		case len(typed) == 0:
		case m.shown[p] == 0:
			m.typed[p] = nil
		case m.shown[p] > 0 && stored[p.Strap] == 0:
			return fmt.Errorf("strap %d, note %d was shown and is not in the file", p.Strap, p.Position)
		default:
			sum[p.Strap]++
		}
	}
	for strap, n := range sum {
		if stored[strap] != n {
			return fmt.Errorf("strap %d has %d notes in the file, %d were shown", strap, stored[strap], n)
		}
	}
	for n, list := range m.lists {
		if n > len(m.straps) && list != nil {
			delete(m.lists, n)
		}
	}
	return nil
}

// backups holds that whatever has a backup's name is whole and sound.
func (m *stall) backups() error {
	all, err := store.Backups(m.file)
	if err != nil {
		return err
	}
	for _, b := range all {
		report, err := store.CheckCopy(b.Path)
		if err != nil || !report.Sound() || report.Notes == 0 {
			return fmt.Errorf("%s has a backup's name and is not one: %v %+v", b.Path, err, report)
		}
		m.figures.Backups++
	}
	entries, err := os.ReadDir(store.BackupFolder(m.file))
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	m.figures.Unfinished = len(entries) - len(all)
	return nil
}
