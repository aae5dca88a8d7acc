package triage

import (
	"maps"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"pgregory.net/rapid"

	"app/unband/patterns"
	"app/unband/triage/currency"
)

// A bench is a sorter with a clock and a store that always says yes, unless told otherwise.
type bench struct {
	t       testing.TB
	s       *Sorter
	now     time.Time
	said    []NoticeKind
	saved   []Note   // every version, in the order stored
	hand    Held     // the note in hand, as stored
	list    []Listed // as stored: listed and not decided
	rest    []Note   // decided in one go
	unlist  bool
	onward  bool
	ended   bool
	failing bool
	held    bool // the store does not answer
}

// defaultBook is made once: a book never changes.
var defaultBook = sync.OnceValue(func() *patterns.Book {
	book, err := patterns.NewBook(patterns.DefaultSettings())
	if err != nil {
		panic(err)
	}
	return book
})

func newBench(t testing.TB, band int) *bench {
	b := &bench{t: t, now: time.Date(2026, 3, 1, 19, 0, 0, 0, time.UTC)}
	s := Session{ID: 1, Denomination: 1, StrapNotes: band, Straps: 1, Settings: patterns.DefaultSettings()}
	book := defaultBook()
	s.Watch = book.DefaultWatch()
	r := Rules{Book: book, Pauses: DefaultPauses(), Met: b.met}
	b.s = NewSorter(s, Strap{Session: 1, Number: 1, Band: band}, nil, nil, Held{}, r, b.now)
	return b
}

func (b *bench) met(d patterns.Digits) []Note {
	var out []Note
	for _, n := range b.notes() {
		if whole, ok := n.Serial.Whole(); ok && whole == d {
			out = append(out, n)
		}
	}
	return out
}

// metAll looks through everything saved, also of other sessions.
func (b *bench) metAll(d patterns.Digits) []Note {
	var out []Note
	for _, n := range b.saved {
		if whole, ok := n.Serial.Whole(); ok && whole == d {
			out = append(out, n)
		}
	}
	return out
}

// notes are the newest versions, by position.
func (b *bench) notes() []Note {
	newest := map[int]Note{}
	for _, n := range b.saved {
		newest[n.Position] = n
	}
	var out []Note
	for _, position := range slices.Sorted(maps.Keys(newest)) {
		out = append(out, newest[position])
	}
	return out
}

func (b *bench) totals() Totals {
	var t Totals
	for _, n := range b.notes() {
		t = t.Add(n.Totals())
	}
	return t
}

// press gives one key a tenth of a second after the one before.
func (b *bench) press(k Key) {
	b.now = b.now.Add(100 * time.Millisecond)
	b.take(b.s.Press(k, b.now))
}

func (b *bench) take(e Effect) {
	if e.Notice.Kind != Quiet {
		b.said = append(b.said, e.Notice.Kind)
	}
	if e.Hand != nil {
		b.hand = *e.Hand
	}
	b.ended = b.ended || e.EndStrap
	b.unlist, b.onward = b.unlist || e.Unlist, b.onward || e.GoOn
	if e.Listed != nil {
		for i := range b.list {
			if b.list[i].Position == e.Listed.Position {
				b.list[i] = *e.Listed
			}
		}
	}
	if e.Rest {
		b.rest = b.s.Rest(b.now)
	}
	if e.Decide == nil || b.held {
		return
	}
	b.answer(*e.Decide)
}

// answer is the store's answer to a decision.
func (b *bench) answer(n Note) {
	if b.failing {
		b.s.Failed(b.now)
		return
	}
	if n.Version == 1 {
		b.hand = Held{}
	}
	b.list = slices.DeleteFunc(b.list, func(l Listed) bool { return l.Position == n.Position })
	b.saved = append(b.saved, n)
	totals := b.totals()
	s, t := b.s.Session(), b.s.Strap()
	s.Totals, t.Totals, t.Listed = totals, totals, len(b.list)
	for _, e := range b.s.Stored(s, t, b.now) {
		b.take(e)
	}
}

// play presses keys by name: a character is itself, the rest are words. "wait" lets every pause
// pass, "rest" also every lock.
func (b *bench) play(keys string) {
	b.t.Helper()
	for _, k := range strings.Fields(keys) {
		switch k {
		case "wait":
			b.now = b.now.Add(1500 * time.Millisecond)
		case "+":
			b.press(Key{Kind: KeyKeep})
		case "-":
			b.press(Key{Kind: KeySpend})
		case ".":
			b.press(Key{Kind: KeyBack})
		case "enter":
			b.press(Key{Kind: KeyEnter})
		case "erase":
			b.press(Key{Kind: KeyErase})
		case "clear":
			b.press(Key{Kind: KeyClear})
		case "right":
			b.press(Key{Kind: KeyMove, N: 1})
		case "left":
			b.press(Key{Kind: KeyMove, N: -1})
		case "down":
			b.press(Key{Kind: KeyMove, N: 10})
		case "onebyone":
			b.press(Key{Kind: KeyOneByOne})
		case "!":
			b.press(Key{Kind: KeySetAside})
		case "takeout":
			b.press(Key{Kind: KeyTakeOut})
		default:
			for _, r := range k {
				b.press(Key{Kind: KeyRune, Rune: r})
			}
		}
	}
}

// want checks the newest versions against lines such as "B70633607C kept".
func (b *bench) want(lines ...string) {
	b.t.Helper()
	var got []string
	for _, n := range b.notes() {
		got = append(got, n.Serial.String()+" "+n.Decision.String())
	}
	if !slices.Equal(got, lines) {
		b.t.Errorf("decided\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(lines, "\n"))
	}
}

func (b *bench) heard(k NoticeKind) {
	b.t.Helper()
	if len(b.said) == 0 || b.said[len(b.said)-1] != k {
		b.t.Errorf("the last notices were %v, want %d at the end", b.said, k)
	}
}

func TestPlainNotesAndAHit(t *testing.T) {
	b := newBench(t, 100)
	b.play("B48160297C wait -")
	b.want("B48160297C spent")
	b.play("70633607 wait +")
	b.want("B48160297C spent", "70633607 kept")
	if n := b.notes()[1]; !n.Hits.Has(patterns.Radar) || !n.Watched.Has(patterns.Radar) {
		t.Errorf("a radar was kept with hits %b, watched %b", n.Hits, n.Watched)
	}
}

func TestKeysThatComeTooEarlyAreDropped(t *testing.T) {
	b := newBench(t, 100)
	b.play("48160297 -")
	b.heard(TooEarly)
	b.play("wait")
	if len(b.notes()) != 0 {
		t.Fatal("an early key was saved up")
	}
	b.play("-")
	b.want("48160297 spent")
}

// The pause begins anew with the digit that completes the serial, whatever ran before: the serial
// was not there to be looked at until then.
func TestThePauseBeginsWithTheLastDigit(t *testing.T) {
	for _, typed := range []string{"4816029", "7063350", "4444444"} { // settled early; near a radar; near anything
		b := newBench(t, 100)
		b.play(typed + " wait wait")
		b.play("7")
		if done := b.s.PauseAt(b.now); done != 0 {
			t.Errorf("%s7: %.0f %% of the pause was over with the last digit", typed, 100*done)
		}
		b.play("-")
		b.heard(TooEarly)
	}
	b := newBench(t, 100)
	b.play("48160297 wait C -")
	b.want("48160297C spent") // a suffix changes nothing that was to be looked at
	b.play("48160298 wait * +")
	b.heard(TooEarly) // a star does
}

func TestAHitIsSpentByTwoPresses(t *testing.T) {
	b := newBench(t, 100)
	b.play("70633607 wait -")
	b.heard(AskAgain)
	b.want()
	b.play("-")
	b.heard(HeldKey)
	b.play("wait -")
	b.want("70633607 spent")
}

func TestTheSecondPressCanBeTakenBack(t *testing.T) {
	b := newBench(t, 100)
	b.play("70633607 wait - wait +")
	b.want("70633607 kept")
}

func TestNearMissReadAgainTheSame(t *testing.T) {
	b := newBench(t, 100)
	b.play("70633507 wait -")
	b.heard(RereadAsked)
	b.play("65 enter")
	b.want("70633507 spent")
	if n := b.notes()[0]; n.Look != Waiting || n.Reread != RereadSame {
		t.Errorf("look %d and re-read %d, want %d and %d", n.Look, n.Reread, Waiting, RereadSame)
	}
}

func TestNearMissWasARadar(t *testing.T) {
	b := newBench(t, 100)
	b.play("70633507 wait - 66 enter")
	b.heard(RereadHit)
	b.want()
	b.play("wait +")
	b.want("70633607 kept")
	if n := b.notes()[0]; n.Before != "70633507" || n.Reread != RereadChanged {
		t.Errorf("before %q, re-read %d", n.Before, n.Reread)
	}
}

// Other digits than typed first are judged anew: still one pair off a radar, so they are read once
// more before the note is spent.
func TestNearMissWasAnotherNearMiss(t *testing.T) {
	b := newBench(t, 100)
	b.play("70633507 wait - 15 enter")
	b.heard(RereadCorrect)
	b.play("wait - 15 enter")
	b.want("70133507 spent")
	if n := b.notes()[0]; n.Look != Waiting || n.Reread != RereadChanged || n.Before != "70633507" {
		t.Errorf("look %d, re-read %d, before %q", n.Look, n.Reread, n.Before)
	}
}

func TestRereadIsFinishedOrLeft(t *testing.T) {
	b := newBench(t, 100)
	b.play("70633507 wait - 6 enter")
	b.heard(RereadUnended)
	b.play("wait -")
	b.heard(RereadFirst)
	b.play("clear clear")
	b.heard(RereadLeft)
	b.play("wait +")
	b.want("70633507 kept")
}

func TestAGlance(t *testing.T) {
	b := newBench(t, 100)
	b.play("wait - - -")
	b.heard(HeldKey)
	b.play("wait -")
	b.want("········ spent unread", "········ spent unread")
	if got := b.totals(); got.Glances != 2 || got.Spent != 2 {
		t.Errorf("totals %+v", got)
	}
}

func TestGoingBackKeepsTheNoteInHand(t *testing.T) {
	b := newBench(t, 100)
	b.play("48160297 wait - 35120846 wait - B12 . .")
	if b.s.Place() != 1 {
		t.Fatalf("at note %d, want 1", b.s.Place())
	}
	b.play("wait -")
	b.heard(Unchanged)
	b.play("wait +")
	b.want("48160297 kept", "35120846 spent")
	if h := b.s.Hand().Entry.String(); b.s.Place() != 3 || h != "B12······" {
		t.Errorf("note %d with %q in hand, want note 3 with what was typed of it", b.s.Place(), h)
	}
	if v := b.saved[len(b.saved)-1]; v.Version != 2 || v.Position != 1 {
		t.Errorf("stored version %d of note %d", v.Version, v.Position)
	}
}

func TestGoneBackAnotherSerialIsTyped(t *testing.T) {
	b := newBench(t, 100)
	b.play("48160297 wait - . 5 clear 70633607 wait + ")
	b.want("70633607 kept")
	b.play(". erase 8 wait - wait")
	if b.s.Hand().Mode() != Rereading {
		t.Errorf("70633608 is near a radar; mode %d, want a re-read", b.s.Hand().Mode())
	}
	b.play("enter clear 78 enter")
	b.play("enter")
	if b.heard(DecideFirst); b.s.Place() != 1 {
		t.Errorf("with another serial typed Enter leads to note %d", b.s.Place())
	}
	b.play("clear enter")
	if b.s.Place() != 2 {
		t.Errorf("Enter leads to note %d, want 2", b.s.Place())
	}
}

func TestNineDigitsDecideNothing(t *testing.T) {
	b := newBench(t, 100)
	b.play("481602977 wait -")
	b.heard(TooManyDigits)
	b.play("erase wait -")
	b.want("48160297 spent")
}

func TestTypedTwice(t *testing.T) {
	b := newBench(t, 100)
	b.play("A48160297D wait - A48160297D wait -")
	b.heard(AskAgain)
	if _, twice := b.s.Hand().Twin(); !twice {
		t.Error("the same note was typed twice, and it is not said")
	}
	b.play("clear C48160297D wait -")
	b.want("A48160297D spent", "C48160297D spent") // another bank's: a chance pair, no double entry
}

func TestAStarKeeperIsAskedForPrefixAndSeries(t *testing.T) {
	b := newBench(t, 100)
	b.play("48160297* wait +")
	b.heard(StarFacts)
	b.play("M enter")
	b.heard(BadStarPrefix)
	b.play("erase B enter 1997 enter")
	b.heard(WhichSeries) // not on the list kept here, which is no reason to refuse it
	b.play("clear 19x enter clear 17 enter")
	b.heard(WhichSeries) // 2017 or 2017A
	b.play("A enter")
	b.want("B48160297* kept")
	if n := b.notes()[0]; n.Series != "2017A" {
		t.Errorf("series %q, want 2017A", n.Series)
	}
}

// The FW question decides about a star that was printed twice, and only there.
func TestATwiceStarIsAskedForItsPlant(t *testing.T) {
	b := newBench(t, 100)
	b.play("B00250000* wait + 13 enter")
	b.heard(StarFacts)
	b.play("X enter")
	b.heard(BadPlant)
	b.play("clear F enter")
	b.want("B00250000* kept")
	if n := b.notes()[0]; n.Series != "2013" || n.Facility != currency.FortWorth {
		t.Errorf("series %q, facility %v", n.Series, n.Facility)
	}
	b.play("B00250001* wait + 13 enter")
	b.want("B00250000* kept", "B00250001* kept")
}

// On $5 and up the first letter names the series: it is not asked for.
func TestTheLetterNamesTheSeries(t *testing.T) {
	b := newBench(t, 100)
	b.s.session.Denomination = 5
	b.s.next(b.now)
	b.play("MB04417225* wait +")
	b.want("MB04417225* kept")
	if n := b.notes()[0]; n.Series != "2013" {
		t.Errorf("series %q, want 2013 by the letter M", n.Series)
	}
}

func TestAStarKeeperMayPassTheQuestionsOver(t *testing.T) {
	b := newBench(t, 100)
	b.play("B48160297* wait + enter")
	b.want("B48160297* kept")
}

func TestEndOfStrap(t *testing.T) {
	b := newBench(t, 2)
	b.play("48160297 wait - 35120846 wait -")
	if !b.s.Ending() {
		t.Fatal("two notes of two: the strap is not asked about")
	}
	b.play("enter")
	if b.ended {
		t.Fatal("Enter closed the strap before the pause was over")
	}
	b.play("6")
	b.heard(PastBand)
	if b.s.Ending() || b.s.Place() != 3 {
		t.Fatal("a third note cannot be typed")
	}
	b.play("clear enter wait enter")
	if !b.ended {
		t.Error("the strap was not closed as counted")
	}
}

func TestAShortStrapCanBeClosed(t *testing.T) {
	b := newBench(t, 100)
	b.play("enter")
	b.heard(StrapEmpty)
	b.play("48160297 wait - enter wait enter")
	b.heard(FarOff)
	if b.ended {
		t.Error("a strap 99 short was closed by one press")
	}
	b.play("wait enter")
	if !b.ended {
		t.Error("a strap of one note in a band of a hundred was not closed as counted")
	}
}

func TestTheDiskIsWaitedFor(t *testing.T) {
	b := newBench(t, 100)
	b.held = true
	b.play("48160297 wait - 3 5 1 2 0 8 4 6 -")
	if !b.s.Pending() || len(b.s.Notes()) != 0 {
		t.Fatal("the sorter went on before the disk had answered")
	}
	b.held = false
	b.answer(Note{Session: 1, Strap: 1, Position: 1, Version: 1, Serial: Serial{Digits: "48160297"}, Decision: Spend, Decided: b.now})
	if got := b.s.Hand().Entry.String(); got != "35120846" {
		t.Errorf("in hand %q, want the digits typed meanwhile", got)
	}
	if len(b.s.Notes()) != 1 {
		t.Errorf("%d notes decided: the key that came meanwhile was too early", len(b.s.Notes()))
	}
}

func TestAFailedWriteDecidesNothing(t *testing.T) {
	b := newBench(t, 100)
	b.failing = true
	b.play("48160297 wait -")
	b.want()
	if got := b.s.Hand().Entry.String(); got != "48160297" {
		t.Fatalf("in hand %q after a failed write, want 48160297", got)
	}
	b.failing = false
	b.play("wait -")
	b.want("48160297 spent")
}

func TestTheSerialInHandIsPutDown(t *testing.T) {
	b := newBench(t, 100)
	b.play("4816029")
	if !b.hand.Serial.Empty() {
		t.Error("seven digits were put down as in hand")
	}
	b.play("7")
	if b.hand.Serial.Digits != "48160297" {
		t.Errorf("in hand %q, want 48160297", b.hand.Serial.Digits)
	}
	b.play("C")
	if b.hand.Serial.Suffix != 'C' {
		t.Error("the suffix was not put down")
	}
	b.play("erase erase")
	if !b.hand.Serial.Empty() {
		t.Error("an entry taken back is still in hand")
	}
}

func TestResumeWithASerialInHand(t *testing.T) {
	b := newBench(t, 100)
	b.play("48160297 wait - 35120846")
	r := b.s.rules
	again := NewSorter(b.s.Session(), b.s.Strap(), b.notes(), nil, b.hand, r, b.now)
	if again.Place() != 2 || again.Hand().Entry.Digits != "35120846" {
		t.Errorf("resumed at note %d with %q, want 2 with 35120846", again.Place(), again.Hand().Entry.Digits)
	}
	if e := again.Press(Key{Kind: KeySpend}, b.now.Add(100*time.Millisecond)); e.Decide != nil {
		t.Error("the pause did not run after resuming")
	}
}

// Keys typed while the disk is slow play when it has answered, as if they came then: a decision key
// among them is early, because what it is about was not on the screen.
func TestNothingIsDecidedUnseen(t *testing.T) {
	for _, keys := range []string{"35120846 wait -", "70633607 wait - wait -", "70633607 wait +"} {
		b := newBench(t, 100)
		b.held = true
		b.play("48160297 wait -")
		first := *b.s.pending
		b.play(keys)
		b.held = false
		b.answer(first)
		if n := len(b.notes()); n != 1 {
			t.Errorf("%q during a slow write decided %d notes, want none", keys, n-1)
		}
	}
}

func TestTheEndIsNotAnsweredUnseen(t *testing.T) {
	b := newBench(t, 1)
	b.held = true
	b.play("48160297 wait -")
	first := *b.s.pending
	b.play("enter wait enter")
	b.held = false
	b.answer(first)
	if b.ended || !b.s.Ending() {
		t.Error("a strap was closed by keys that came before it was asked about")
	}
}

// A burst of decision keys is a held key on a slow line: it locks the key like an early one.
func TestBurstsLock(t *testing.T) {
	b := newBench(t, 100)
	b.play("48160297 wait -")
	for range 25 {
		b.now = b.now.Add(100 * time.Millisecond)
		b.s.Deaf(KeySpend, b.now)
	}
	b.play("-")
	b.want("48160297 spent")
	b.heard(HeldKey)
}

func TestDecisionKeysLeaveTheEndAsked(t *testing.T) {
	b := newBench(t, 1)
	b.play("48160297 wait - wait wait -")
	b.heard(EndAsked)
	b.play("wait wait - +")
	if !b.s.Ending() || len(b.notes()) != 1 {
		t.Errorf("the question is gone, or a note was made up: %d notes", len(b.notes()))
	}
	b.play(". enter")
	if !b.s.Ending() {
		t.Error("after a look at the note before, the question does not stand again")
	}
	b.play("4") // a note more was begun, and it was none
	b.play("erase wait wait -")
	b.heard(AskAgain)
}

func TestMeaninglessKeysLeaveANoteAlone(t *testing.T) {
	b := newBench(t, 100)
	b.play("70633607 wait + . /")
	if got := b.s.Hand().Entry.Digits; got != "70633607" {
		t.Fatalf("%q stands after a key that means nothing", got)
	}
	b.play("clear wait wait -")
	b.heard(AskAgain) // unread now, though it had been read
	b.want("70633607 kept")
}

func TestAStarKeptLaterIsAskedForToo(t *testing.T) {
	b := newBench(t, 100)
	b.play("48160297* wait - wait - . wait wait +")
	b.heard(StarFacts)
	b.play("B enter 2017A enter")
	b.want("B48160297* kept")
}

func TestANearMissStarIsReadAgain(t *testing.T) {
	b := newBench(t, 100)
	b.play("70633507* wait - wait -")
	b.heard(RereadAsked)
	b.play("65 7")
	b.heard(RereadFull)
	b.play("enter")
	b.want("70633507* spent")
}

func TestHeldEnterAfterARereadAsksNothing(t *testing.T) {
	b := newBench(t, 100)
	b.play("70633507 wait - 65 enter enter enter")
	if b.s.Ending() {
		t.Error("the Enter that answered a re-read asked about the strap")
	}
}

func TestTooFastTenTimes(t *testing.T) {
	b := newBench(t, 100)
	for i := range 10 {
		b.play("4816029" + string(rune('0'+i)))
		b.now = b.now.Add(600 * time.Millisecond)
		if b.s.Hand().Stops() {
			t.Fatal("a note of this test stops the sorter")
		}
		b.play("-")
	}
	b.heard(SlowDown)
}

// Random keys: whatever is pressed, the notes stored are one unbroken row of versions, a decision
// is never given about digits that do not stand there, and no watched near miss is spent unread.
func TestRandomKeys(t *testing.T) {
	keys := strings.Fields("0 1 2 3 7 70633507 70633607 48160297 B C * O + + - - - . enter erase clear wait wait wait")
	rapid.Check(t, func(rt *rapid.T) {
		b := newBench(t, 4)
		for range rapid.IntRange(1, 60).Draw(rt, "length") {
			b.held = rapid.IntRange(0, 9).Draw(rt, "disk") == 0
			pending := b.s.Pending()
			b.play(rapid.SampledFrom(keys).Draw(rt, "key"))
			if p := b.s.pending; p != nil && (!pending || !b.held) {
				b.failing = rapid.Bool().Draw(rt, "fails")
				b.answer(*p)
				b.failing = false
			}
		}
		versions := map[int]int{}
		for _, n := range b.saved {
			if versions[n.Position]++; n.Version != versions[n.Position] {
				rt.Fatalf("note %d: version %d stored after %d", n.Position, n.Version, versions[n.Position]-1)
			}
			if n.Version == 1 && n.Position != len(versions) {
				rt.Fatalf("note %d stored while %d were decided: a hole", n.Position, len(versions)-1)
			}
			d, whole := n.Serial.Whole()
			if n.Decision == Keep && !whole {
				rt.Fatalf("kept %q", n.Serial)
			}
			if !whole {
				continue
			}
			match, near := b.s.rules.Book.Sets(d)
			watch := b.s.Session().Watch
			if n.Decision == Spend && near&watch.Near != 0 && match&watch.Hit == 0 && n.Reread == NotReread {
				rt.Fatalf("%s was spent without a re-read", n.Serial)
			}
		}
	})
}
