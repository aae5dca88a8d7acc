package flaws

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"
)

// everyPath goes every way through the questions and calls visit at each end.
func everyPath(t *testing.T, visit func(w Walk, o Outcome)) (paths int) {
	t.Helper()
	var go1 func(w Walk)
	go1 = func(w Walk) {
		if len(w.steps) > len(nodes) {
			t.Fatalf("a path does not end: %v", w.steps)
		}
		_, o, done := w.At()
		if done {
			paths++
			visit(w, o)
			return
		}
		for _, a := range []Answer{Yes, No, Unsure} {
			go1(w.Answer(a))
		}
	}
	go1(Start())
	return paths
}

func TestEveryPath(t *testing.T) {
	reached := make(map[OutcomeID]int)
	asked := make(map[QuestionID]bool)
	longest := 0
	var seen [256]int // path number in which a question was asked last
	n := 0
	paths := everyPath(t, func(w Walk, o Outcome) {
		n++
		if o.ID == NoOutcome || o.Name == "" {
			t.Fatalf("a dead end after %v", w.steps)
		}
		for _, s := range w.steps {
			if seen[s.Question] == n {
				t.Fatalf("question %d asked twice: %v", s.Question, w.steps)
			}
			seen[s.Question], asked[s.Question] = n, true
		}
		reached[o.ID]++
		longest = max(longest, len(w.steps))
	})
	for _, o := range Outcomes {
		if reached[o.ID] == 0 {
			t.Errorf("%q is never reached", o.Name)
		}
	}
	for _, q := range nodes {
		if !asked[q.ID] {
			t.Errorf("question %d is never asked: %s", q.ID, q.Text)
		}
	}
	// Somebody stands there with a note in hand.
	if longest > 16 {
		t.Errorf("the longest path has %d questions, want 16 at most", longest)
	}
	t.Logf("%d paths, %d questions, %d outcomes, longest path %d", paths, len(nodes), len(Outcomes), longest)
}

// A no that covers everything stands only when nothing was left unsure.
func TestUnsureNeverDeniesAnError(t *testing.T) {
	everyPath(t, func(w Walk, o Outcome) {
		last := w.steps[len(w.steps)-1].Question
		if (last == AskSmall || last == AskUse) && w.leftOpen() && o.ID != NotSure {
			t.Fatalf("%v ends in %q, want %q", w.steps, o.Name, NotSure)
		}
	})
	w := Start()
	for range nodes {
		w = w.Answer(Unsure)
	}
	if _, o, done := w.At(); !done || o.ID != NotSure {
		t.Errorf("unsure throughout ends in %q, want %q", o.Name, NotSure)
	}
}

// At every place of every path the way back is the walk before, and the stored answers lead to the
// same place.
func TestBackAndResume(t *testing.T) {
	var visit func(w Walk)
	visit = func(w Walk) {
		again, whole := Resume(w.Trail())
		if !whole || !slices.Equal(again.Trail(), w.Trail()) || where(again) != where(w) {
			t.Fatalf("Resume(%v) stands elsewhere", w.Trail())
		}
		if _, _, done := w.At(); done {
			if next := w.Answer(Yes); len(next.steps) != len(w.steps) {
				t.Fatalf("an answer after the end is taken: %v", next.steps)
			}
			return
		}
		for _, a := range []Answer{Yes, No, Unsure} {
			next := w.Answer(a)
			if !slices.Equal(next.Back().Trail(), w.Trail()) {
				t.Fatalf("Back from %v is not %v", next.Trail(), w.Trail())
			}
			visit(next)
		}
	}
	visit(Start())
	if w := Start().Back(); len(w.Trail()) != 0 {
		t.Error("Back at the first question goes somewhere")
	}
}

func where(w Walk) [2]uint8 {
	q, o, _ := w.At()
	return [2]uint8{uint8(q.ID), uint8(o.ID)}
}

// Two answers from one place, and a change of the trail, leave the other walk alone.
func TestWalkIsAValue(t *testing.T) {
	w := Start().Answer(No).Answer(No)
	a, b := w.Answer(Yes), w.Answer(Unsure)
	back := a.Back().Answer(No)
	trail := a.Trail()
	trail[0].Answer = Unsure
	for _, c := range []struct {
		name string
		walk Walk
		want []Step
	}{
		{"first branch", a, []Step{{AskExtra, No}, {AskMisplaced, No}, {AskSerials, Yes}}},
		{"second branch", b, []Step{{AskExtra, No}, {AskMisplaced, No}, {AskSerials, Unsure}}},
		{"back and on", back, []Step{{AskExtra, No}, {AskMisplaced, No}, {AskSerials, No}}},
	} {
		if !slices.Equal(c.walk.Trail(), c.want) {
			t.Errorf("%s: trail %v, want %v", c.name, c.walk.Trail(), c.want)
		}
	}
}

// What was stored by another version, or spoilt, leads as far as it makes sense and says so.
func TestResumeOfTrailsThatDoNotFit(t *testing.T) {
	ends := []Step{{AskExtra, Yes}, {AskReadable, Yes}, {AskMirrored, Yes}, {AskMirrorSerial, No}, {AskLinesUp, No}}
	for _, c := range []struct {
		name  string
		trail []Step
		steps int
		whole bool
	}{
		{"nothing stored", nil, 0, true},
		{"a whole path", ends, 5, true},
		{"a step behind the end", append(slices.Clone(ends), Step{AskSoaked, Yes}), 5, false},
		{"another question first", []Step{{AskFaint, Yes}}, 0, false},
		{"a question that is not known", []Step{{AskExtra, No}, {250, Yes}}, 1, false},
		{"an answer that is not known", []Step{{AskExtra, No}, {AskMisplaced, 9}}, 1, false},
		{"no answer", []Step{{AskExtra, NoAnswer}}, 0, false},
	} {
		w, whole := Resume(c.trail)
		if len(w.Trail()) != c.steps || whole != c.whole {
			t.Errorf("%s: %d steps, whole %v; want %d, %v", c.name, len(w.Trail()), whole, c.steps, c.whole)
		}
		w.At() // stands somewhere
	}
}

func FuzzResume(f *testing.F) {
	f.Add([]byte{1, 1, 2, 1})
	f.Add([]byte{1, 3, 20, 2, 255, 0})
	f.Fuzz(func(t *testing.T, b []byte) {
		var trail []Step
		for i := 0; i+1 < len(b); i += 2 {
			trail = append(trail, Step{QuestionID(b[i]), Answer(b[i+1])})
		}
		w, whole := Resume(trail)
		if whole != (len(w.Trail()) == len(trail)) || !slices.Equal(w.Trail(), trail[:len(w.Trail())]) {
			t.Errorf("Resume(%v) gave %v, whole %v", trail, w.Trail(), whole)
		}
		if q, o, done := w.At(); done && o.ID == NoOutcome || !done && q.ID == NoQuestion {
			t.Errorf("Resume(%v) stands nowhere", trail)
		}
	})
}

func TestTrailSurvivesStorage(t *testing.T) {
	w := Start().Answer(Unsure).Answer(Yes).Answer(No)
	b, err := json.Marshal(w.Trail())
	if err != nil {
		t.Fatal(err)
	}
	var stored []Step
	if err := json.Unmarshal(b, &stored); err != nil {
		t.Fatal(err)
	}
	again, whole := Resume(stored)
	if !whole || where(again) != where(w) {
		t.Errorf("from %s the walk stands elsewhere", b)
	}
}

// What collectors ask, with the answers a person would give at the note. Each case names where its
// answer was read.
func TestDisputedNotes(t *testing.T) {
	for _, c := range []struct {
		name, source string
		answers      map[QuestionID]Answer // what is not in it is answered no
		want         OutcomeID
	}{
		{"E01: B57104899A left, B57104900A right, read again and still so",
			"pmgnotes.com/news/article/9976",
			map[QuestionID]Answer{AskSerials: Yes, AskDiffer: Yes}, MismatchedSerials},
		{"E01: it was only a misread 8 or 9",
			"pmgnotes.com/news/article/9976",
			map[QuestionID]Answer{AskSerials: Yes}, WithinTolerance},
		{"E03: $2 of 1976, prefix D right, K left, digits agree",
			"pmgnotes.com/news/article/10496",
			map[QuestionID]Answer{AskSerials: Yes, AskDiffer: Yes, AskLetters: Yes}, MismatchedPrefix},
		{"E04: a digit half way between 3 and 4 on both sides",
			"reddit.com/r/CURRENCY/comments/1h2f24z",
			map[QuestionID]Answer{AskSerials: Yes, AskHalfDigit: Yes}, StuckDigit},
		{"E04: a digit a hair too high, nothing cut: small shifts are tolerated",
			"reddit.com/r/CURRENCY/comments/1h2f24z",
			map[QuestionID]Answer{AskSmall: Yes}, WithinTolerance},
		{"E06: limp, portrait and border nearly gone, seal and serial strong, no relief",
			"cointalk.com/posts/2522624; cointalk.com/posts/7982481",
			map[QuestionID]Answer{AskFaint: Yes, AskBleached: Yes}, WashedOut},
		{"E06: the same, unsure about the relief",
			"cointalk.com/posts/2522624; cointalk.com/posts/7982481",
			map[QuestionID]Answer{AskFaint: Yes, AskRelief: Unsure, AskBleached: Yes}, WashedOut},
		{"E06: a whole side evenly faint on crisp paper",
			"cointalk.com/posts/2522624; cointalk.com/posts/7982481",
			map[QuestionID]Answer{AskFaint: Yes, AskRelief: Unsure, AskOneSide: Yes}, InsufficientInking},
		{"E06: the same, with the relief felt",
			"cointalk.com/posts/2522624; cointalk.com/posts/7982481",
			map[QuestionID]Answer{AskFaint: Yes, AskRelief: Yes}, InsufficientInking},
		{"E07: green seal turned yellow, or blue",
			"cointalk.com/goto/post?id=445157; cointalk.com/threads/384868; treasurenet.com/threads/690879",
			map[QuestionID]Answer{AskColour: Yes}, ChangedColour},
		{"E07: a blue seal on a silver certificate",
			"chicagogoldgallery.com (seal colours)",
			map[QuestionID]Answer{AskColour: Yes, AskClass: Yes}, ColourOfClass},
		{"E07: a brown seal on a Federal Reserve note with HAWAII on it",
			"chicagogoldgallery.com (seal colours)",
			map[QuestionID]Answer{AskColour: Yes, AskClass: Yes}, ColourOfClass},
		{"E08: off toward the bottom on both sides alike, serial 97 million",
			"coincommunity.com TOPIC_ID=436446; reddit.com/r/CURRENCY/comments/1j3cltg; cointalk.com/threads/343620",
			map[QuestionID]Answer{AskMisplaced: Yes, AskAllAlike: Yes, AskTooHigh: Yes}, HomeCut},
		{"E08: the serial alone decides nothing, nor does the shift: the same cut with an ordinary serial, the neighbour showing",
			"coincommunity.com TOPIC_ID=436446",
			map[QuestionID]Answer{AskMisplaced: Yes, AskAllAlike: Yes, AskNeighbour: Yes}, Miscut},
		{"E10: green seal shifted but still inside the word ONE",
			"uscurrencyerrors.blogspot.com; cointalk.com/threads/210550; cointalk.com/posts/1691517",
			map[QuestionID]Answer{AskMisplaced: Yes, AskSerialsOff: Yes}, SmallOverprintShift},
		{"E10: the same, touching the word",
			"uscurrencyerrors.blogspot.com; cointalk.com/threads/210550",
			map[QuestionID]Answer{AskMisplaced: Yes, AskSerialsOff: Yes, AskTouches: Yes}, OverprintShift},
		{"E11: mirror image of the back on the face, plate number 214 in the ghost, 219 on the back",
			"cointalk.com/goto/post?id=2060759",
			map[QuestionID]Answer{AskExtra: Yes, AskReadable: Yes, AskMirrored: Yes}, OffsetTransfer},
		{"E11: the same, unsure whether it lines up: the differing number decides for it, not against",
			"cointalk.com/goto/post?id=2060759",
			map[QuestionID]Answer{AskExtra: Yes, AskReadable: Yes, AskMirrored: Yes, AskLinesUp: Unsure, AskOtherPlate: Yes}, OffsetTransfer},
		{"E13: a white line that opens to bare paper, ink ends sharply on both sides",
			"coinweek.com/five-dramatic-paper-money-errors-you-can-find-in-circulation",
			map[QuestionID]Answer{AskPaper: Yes, AskOpens: Yes, AskSharp: Yes}, GutterFold},
		{"E13: an ordinary crease, ink worn thin, the design unbroken",
			"coinweek.com/five-dramatic-paper-money-errors-you-can-find-in-circulation",
			map[QuestionID]Answer{AskPaper: Yes}, WornCrease},
	} {
		t.Run(c.name, func(t *testing.T) {
			w, used := follow(c.answers)
			_, o, _ := w.At()
			if o.ID != c.want {
				t.Errorf("ends in %q, want %q (%s)\nafter %v", o.Name, c.want, c.source, w.Trail())
			}
			if used != len(c.answers) {
				t.Errorf("%d of the case's %d answers were asked for: %v", used, len(c.answers), w.Trail())
			}
		})
	}
}

// follow walks to the end with the given answers, no where there is none, and counts those asked for.
func follow(answers map[QuestionID]Answer) (w Walk, used int) {
	for {
		q, _, done := w.At()
		if done {
			return w, used
		}
		a, given := answers[q.ID]
		if given {
			used++
		} else {
			a = No
		}
		w = w.Answer(a)
	}
}

// The deciding checks of the table of errors, other than those in the cases above. The sources are
// those of the outcome's row.
func TestDecidingChecks(t *testing.T) {
	for _, c := range []struct {
		why     string
		answers map[QuestionID]Answer
		want    OutcomeID
	}{
		{"the mirror alone does not decide: exactly behind its own print, soaked paper", map[QuestionID]Answer{AskExtra: Yes, AskReadable: Yes, AskMirrored: Yes, AskLinesUp: Yes, AskSoaked: Yes}, BledThrough},
		{"a right-reading image of the other side is not from the press", map[QuestionID]Answer{AskExtra: Yes, AskReadable: Yes, AskStraight: Yes}, AddedLater},
		{"overprint on the back is right-reading", map[QuestionID]Answer{AskExtra: Yes, AskReadable: Yes, AskExtraSerial: Yes, AskOnBack: Yes}, OverprintOnBack},
		{"its offset is mirrored", map[QuestionID]Answer{AskExtra: Yes, AskReadable: Yes, AskMirrored: Yes, AskMirrorSerial: Yes}, OverprintOffset},
		{"serials twice in thick ink of one colour", map[QuestionID]Answer{AskExtra: Yes, AskReadable: Yes, AskExtraSerial: Yes, AskLayered: Yes}, DoubledOverprint},
		{"serials twice, the second in dots: home printing", map[QuestionID]Answer{AskExtra: Yes, AskReadable: Yes, AskExtraSerial: Yes}, AddedLater},
		{"a smear in the same ink under the later print", map[QuestionID]Answer{AskExtra: Yes, AskSameInk: Yes, AskUnderPrint: Yes}, InkSmear},
		{"a pen", map[QuestionID]Answer{AskExtra: Yes}, AddedLater},
		{"one print moved is an error of the press", map[QuestionID]Answer{AskMisplaced: Yes, AskOneSideOff: Yes}, Misalignment},
		{"all moved together, nothing else showing, is off centre", map[QuestionID]Answer{AskMisplaced: Yes, AskAllAlike: Yes}, OffCentreCut},
		{"the wrong size speaks for scissors", map[QuestionID]Answer{AskMisplaced: Yes, AskAllAlike: Yes, AskOddSize: Yes}, HomeCut},
		{"the back upside down", map[QuestionID]Answer{AskMisplaced: Yes, AskUpsideDown: Yes}, InvertedBack},
		{"the third print upside down", map[QuestionID]Answer{AskMisplaced: Yes, AskUpsideDown: Yes, AskTurned: Yes}, InvertedOverprint},
		{"two denominations", map[QuestionID]Answer{AskSerials: Yes, AskTwoNotes: Yes}, DoubleDenomination},
		{"print across the flap on the wrong side", map[QuestionID]Answer{AskPaper: Yes, AskFlap: Yes, AskAcross: Yes}, Foldover},
		{"a corner folded after issue", map[QuestionID]Answer{AskPaper: Yes, AskFlap: Yes}, FoldedLater},
		{"a clean thin line, fibres whole", map[QuestionID]Answer{AskPaper: Yes, AskFibres: Yes}, PaperCrease},
		{"print over the join in one piece", map[QuestionID]Answer{AskPaper: Yes, AskStrip: Yes, AskJoin: Yes}, PaperSplice},
		{"print broken at the join", map[QuestionID]Answer{AskPaper: Yes, AskStrip: Yes}, Repaired},
		{"no seals and serials, no trace of them", map[QuestionID]Answer{AskFaint: Yes, AskWhole: Yes, AskNoSerials: Yes}, MissingOverprint},
		{"blank back, no trace", map[QuestionID]Answer{AskFaint: Yes, AskWhole: Yes, AskBlankBack: Yes}, MissingBack},
		{"blank face, no trace", map[QuestionID]Answer{AskFaint: Yes, AskWhole: Yes}, MissingFace},
		{"a trace under the lens: chemicals", map[QuestionID]Answer{AskFaint: Yes, AskWhole: Yes, AskTrace: Yes}, RubbedOut},
		{"the shape of an object, other prints cross it", map[QuestionID]Answer{AskFaint: Yes, AskShape: Yes, AskCrossed: Yes}, ObstructedPrint},
		{"tape", map[QuestionID]Answer{AskFaint: Yes, AskShape: Yes}, LiftedInk},
		{"the same patch on the next note", map[QuestionID]Answer{AskFaint: Yes, AskRepeats: Yes}, BoardBreak},
		{"faint serials on unhurt paper", map[QuestionID]Answer{AskFaint: Yes, AskPaleSerial: Yes}, InsufficientInking},
		{"limp, though the relief is felt: experts would differ", map[QuestionID]Answer{AskFaint: Yes, AskRelief: Yes, AskLimp: Yes}, NotSure},
		{"torn", map[QuestionID]Answer{AskUse: Yes}, DamageAfter},
		{"nothing of all that", nil, NotSure},
	} {
		w, used := follow(c.answers)
		_, o, _ := w.At()
		if o.ID != c.want || used != len(c.answers) {
			t.Errorf("%s: ends in %q, want %q; %d of %d answers asked for: %v", c.why, o.Name, c.want, used, len(c.answers), w.Trail())
		}
	}
}

// The questions of the design in the order it gives them: mirrored, then against the light; one print
// or all alike; the relief without ink.
func TestOrderThatDecides(t *testing.T) {
	place := func(id QuestionID) int {
		return slices.IndexFunc(nodes, func(n node) bool { return n.ID == id })
	}
	order := []QuestionID{AskMirrored, AskLinesUp, AskAllAlike, AskRelief}
	for i := range order[1:] {
		if place(order[i]) >= place(order[i+1]) {
			t.Errorf("question %d does not come before %d", order[i], order[i+1])
		}
	}
	for _, n := range nodes {
		for _, to := range []turn{n.yes, n.no, n.unsure} {
			if to.ask != NoQuestion && place(to.ask) < 0 {
				t.Errorf("question %d leads to %d, which there is not", n.ID, to.ask)
			}
			if (to.ask == NoQuestion) == (to.end == NoOutcome) {
				t.Errorf("question %d: an answer leads to a question or to an outcome, not %v", n.ID, to)
			}
		}
	}
}

// The numbers are in people's files: each belongs to its kind of error for good.
func TestOutcomeNumbers(t *testing.T) {
	for id, word := range map[OutcomeID]string{
		1: "not sure", 2: "damage", 3: "tolerance", 4: "offset transfer", 5: "misalignment", 6: "shifted overprint",
		7: "cutting", 8: "gutter", 9: "foldover", 10: "creased before", 11: "insufficient", 12: "smear", 13: "obstructed",
		14: "back not printed", 15: "face not printed", 16: "overprint missing", 17: "inverted back", 18: "inverted overprint",
		19: "overprint on the back", 20: "doubled", 21: "mismatched serials", 22: "mismatched prefix", 23: "stuck", 24: "double denomination",
		25: "board break", 26: "splice", 27: "offset of the overprint", 28: "small shift", 29: "off centre", 30: "cut at home",
		31: "came through", 32: "added", 33: "worn crease", 34: "folded after", 35: "mended", 36: "washed", 37: "removed",
		38: "lifted", 39: "chemicals", 40: "older class",
	} {
		if !strings.Contains(id.String(), word) {
			t.Errorf("outcome %d is %q, want one with %q in it", id, id, word)
		}
	}
	if NoOutcome.String() != "not said" || OutcomeID(200).String() != "outcome 200" {
		t.Errorf("numbers without a name: %q, %q", NoOutcome, OutcomeID(200))
	}
}

func TestOutcomesSayWhatTheyMust(t *testing.T) {
	for i, o := range Outcomes {
		if int(o.ID) != i+1 {
			t.Errorf("%q has number %d in place %d", o.Name, o.ID, i+1)
		}
		for field, text := range map[string]string{"name": o.Name, "see": o.See, "mistaken for": o.MistakenFor, "next": o.Next, "source": o.Source} {
			if text == "" {
				t.Errorf("%q: no %s", o.Name, field)
			}
		}
		if !strings.HasSuffix(o.Next, Verdict) || strings.Count(o.Next, Verdict) != 1 {
			t.Errorf("%q: the advice ends %q", o.Name, o.Next)
		}
		if o.Kind == NoKind || o.Sure == 0 || (o.Stage == 0) != (o.ID == NotSure) {
			t.Errorf("%q: kind %d, sure %v, stage %q", o.Name, o.Kind, o.Sure, o.Stage)
		}
		if want := o.Kind == Error || o.ID == NotSure; o.Keep() != want {
			t.Errorf("%q: keep %v, want %v", o.Name, o.Keep(), want)
		}
		if (o.Kind == Damage) != (o.Stage == After) {
			t.Errorf("%q: damage is what comes after printing, nothing else; kind %d, stage %q", o.Name, o.Kind, o.Stage)
		}
	}
}
