// Package counting makes the count and the dollars agree before the rest of a session goes back to the
// bank: what must go back by what was entered, what was counted by hand, where the two differ and why
// that may be.
//
// It says what is likely, never what happened. The package is pure: no clock, no files.
package counting

import (
	"fmt"
	"slices"
	"strings"

	"app/unband/triage"
)

// A Line is the count of one strap, in notes. The strap's own counts say what was entered.
type Line struct {
	Strap   int // its number
	Band    int // what the band promised
	Entered int // decided on the screen
	Kept    int // also those spent after all: somewhere else, not with this pile
	Respent int // of Kept: those spent after all
	Aside   int // suspected counterfeit: never handed back
	Apart   int // of another denomination: no part of this pile
	InPlace int // put in place of keepers, by the person's word
	Counted int // by hand; means something only with Said
	Said    bool
	Done    bool // nothing of it is left to sort
	Listed  bool // notes of it were taken in from a list, or by its sequence, and spent without a look

	Twice    []int // positions whose serial stands twice in the session
	Glances  int   // notes passed over unread
	Replaced bool  // somebody has said how many were put in place, if only 0
}

// Back is how many notes of the strap go back by what was entered.
func (l Line) Back() int { return l.Entered - l.Kept - l.Aside - l.Apart + l.InPlace }

// ByBand is how many would go back if the band was right.
func (l Line) ByBand() int { return l.Band - l.Kept - l.Aside - l.Apart + l.InPlace }

// Off is by how many notes more (positive) or fewer the strap held than its band promised, as entered.
func (l Line) Off() int { return l.Entered - l.Band }

// Difference is how many notes were counted more (positive) or fewer (negative) than go back by what was
// entered; ok is false while they were not counted.
func (l Line) Difference() (n int, ok bool) { return l.Counted - l.Back(), l.Said }

// A Count is the count of a session.
type Count struct {
	Denomination triage.Denomination
	StrapNotes   int // notes in a whole strap, by its band
	Promised     int // straps taken in, by what was said; fewer may be begun
	Straps       []Line

	// Counted is the whole pile counted by hand, where Said; it stands beside the counts of single
	// straps, and leads where there are both.
	Counted int
	Said    bool
}

// New makes the count of a session. twice gives for each strap the positions whose serial stands twice.
func New(s triage.Session, straps []triage.Strap, twice map[int][]int) Count {
	c := Count{Denomination: s.Denomination, StrapNotes: s.StrapNotes, Promised: s.Straps, Counted: s.Back.Counted, Said: s.Back.Said}
	for _, t := range straps {
		c.Straps = append(c.Straps, Line{
			Strap: t.Number, Band: t.Band, Entered: t.Totals.Notes, Kept: t.Totals.Kept + t.Totals.Respent, Respent: t.Totals.Respent, Aside: t.Totals.Aside, Apart: t.Totals.Apart, Done: t.Done, Listed: t.List != "" || t.InSequence,
			InPlace: t.Back.InPlace, Counted: t.Back.Counted, Said: t.Back.Said, Replaced: t.Back.Replaced,
			Twice: twice[t.Number], Glances: t.Totals.Glances,
		})
	}
	return c
}

// Together adds the straps up. Its Counted is the hand count of the whole pile, or else the sum of the
// straps where every one was counted.
func (c Count) Together() Line {
	sum := Line{Said: len(c.Straps) > 0}
	for _, l := range c.Straps {
		sum.Band += l.Band
		sum.Entered += l.Entered
		sum.Kept += l.Kept
		sum.Respent += l.Respent
		sum.Aside += l.Aside
		sum.Apart += l.Apart
		sum.InPlace += l.InPlace
		sum.Counted += l.Counted
		sum.Glances += l.Glances
		sum.Said = sum.Said && l.Said
	}
	if c.Said {
		sum.Counted, sum.Said = c.Counted, true
	}
	return sum
}

// Whole splits notes into full straps and the rest, as they are banded again.
func (c Count) Whole(notes int) (straps, rest int) {
	size := max(c.StrapNotes, 1)
	return notes / size, notes % size
}

// Dollars is the face value of notes of the session.
func (c Count) Dollars(notes int) int { return notes * int(c.Denomination) }

// Agrees reports whether the pile was counted and is what goes back by what was entered.
func (c Count) Agrees() bool {
	n, ok := c.Together().Difference()
	return ok && n == 0
}

// A Cause is one thing that may be behind a difference, with the straps to look at for it, the likeliest
// first; none where it can be any.
type Cause struct {
	Text   string
	Straps []int
}

// String names the straps behind the text.
func (c Cause) String() string {
	if len(c.Straps) == 0 {
		return c.Text
	}
	return c.Text + ": look at " + strapWords(c.Straps) + " first"
}

func strapWords(numbers []int) string {
	const most = 5
	var words []string
	for _, n := range numbers[:min(most, len(numbers))] {
		words = append(words, fmt.Sprint(n))
	}
	text := "strap " + words[0]
	if len(words) > 1 {
		text = "straps " + strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
	}
	if more := len(numbers) - most; more > 0 {
		text += fmt.Sprintf(" (and %d more)", more)
	}
	return text
}

// Causes says what may be behind the difference of the whole pile, the likeliest first; and, where the
// count agrees with what was entered but not with the bands, what to do about those. All of it is common
// practice, no source.
func (c Count) Causes() []Cause {
	n, ok := c.Together().Difference()
	switch {
	case !ok:
		return nil
	case n > 0:
		return append(c.clash(), c.tooMany(n)...)
	case n < 0:
		return append(c.clash(), c.tooFew(-n)...)
	}
	return append(c.clash(), c.bands()...)
}

// clash is the straps' own counts where every strap was counted and they add up to another number than the whole pile was
// counted as: one of the counts is wrong, whatever was entered.
func (c Count) clash() []Cause {
	sum := 0
	for _, l := range c.Straps {
		if !l.Said {
			return nil
		}
		sum += l.Counted
	}
	if !c.Said || sum == c.Counted {
		return nil
	}
	return []Cause{{fmt.Sprintf("strap by strap %s were counted, and %s of the whole pile: count the whole once more",
		triage.Thousands(sum), triage.Thousands(c.Counted)), nil}}
}

// tooMany: more notes lie there than were entered.
func (c Count) tooMany(n int) []Cause {
	all := c.Together()
	causes := c.located(func(d int) bool { return d > 0 })
	if short := c.where(func(l Line) bool { return l.Off() < 0 }); len(short) > 0 {
		causes = append(causes, Cause{"two notes stuck together, or one passed over without being entered, in a strap that came out short", short})
	}
	if all.Kept > 0 && n <= all.Kept {
		causes = append(causes, Cause{keeperBack(n), c.where(func(l Line) bool { return l.Kept > 0 && !l.Replaced })})
	}
	return append(causes, Cause{"a note entered nowhere: two stuck together; or one from elsewhere got in. Count once more", nil})
}

func keeperBack(n int) string {
	if n == 1 {
		return "a keeper is still in the pile, or was replaced and that is not said"
	}
	return fmt.Sprintf("%d keepers are still in the pile, or were replaced and that is not said", n)
}

// tooFew: fewer notes lie there than were entered.
func (c Count) tooFew(n int) []Cause {
	all := c.Together()
	causes := c.located(func(d int) bool { return d < 0 })
	if twice := c.where(func(l Line) bool { return len(l.Twice) > 0 }); len(twice) > 0 {
		causes = append(causes, Cause{"a note entered twice: the same serial stands there two times", twice})
	}
	if listed := c.where(func(l Line) bool { return l.Listed }); len(listed) > 0 {
		causes = append(causes, Cause{"a note spent as it was listed, without a look, that was not in the pile", listed})
	}
	if over := c.where(func(l Line) bool { return l.Off() > 0 }); len(over) > 0 {
		causes = append(causes, Cause{"a note entered twice, or a key pressed once too often, in a strap that came out over its band", over})
	}
	if all.InPlace > 0 && n <= all.InPlace {
		causes = append(causes, Cause{"a keeper was not replaced, though it is said to be", c.where(func(l Line) bool { return l.InPlace > 0 })})
	}
	if glances := c.where(func(l Line) bool { return l.Glances > 0 }); len(glances) > 0 && len(causes) == 0 {
		causes = append(causes, Cause{"a note passed over unread that was none: the key was pressed once too often", glances})
	}
	return append(causes, Cause{"two notes stuck together in the count; or a note laid with the keepers though it was spent. Count once more", nil})
}

// located names the straps whose own count differs.
func (c Count) located(wrong func(difference int) bool) []Cause {
	var straps []int
	for _, l := range c.Straps {
		if d, ok := l.Difference(); ok && wrong(d) {
			straps = append(straps, l.Strap)
		}
	}
	if len(straps) == 0 {
		return nil
	}
	return []Cause{{"the difference lies where the strap's own count differs", straps}}
}

// where gives the straps something is true of, those counted and found wrong first.
func (c Count) where(is func(Line) bool) []int {
	lines := slices.DeleteFunc(slices.Clone(c.Straps), func(l Line) bool { return !is(l) })
	slices.SortStableFunc(lines, func(a, b Line) int { return suspicion(b) - suspicion(a) })
	var numbers []int
	for _, l := range lines {
		numbers = append(numbers, l.Strap)
	}
	return numbers
}

// suspicion weighs how much speaks for looking at a strap first: its own count differs, its band was not
// right, a serial stands twice, notes were passed over unread.
func suspicion(l Line) int {
	w := 0
	if d, ok := l.Difference(); ok && d != 0 {
		w += 8
	}
	if l.Off() != 0 {
		w += 4
	}
	if len(l.Twice) > 0 {
		w += 2
	}
	if l.Glances > 0 {
		w++
	}
	return w
}

// bands: the count agrees with what was entered, so a band that does not was wrong from the bank on.
func (c Count) bands() []Cause {
	var causes []Cause
	if short := c.where(func(l Line) bool { return l.Off() < 0 }); len(short) > 0 {
		causes = append(causes, Cause{strapWords(short) + " came short from the bank: keep the band with date and initials, and tell the bank at once", nil})
	}
	if over := c.where(func(l Line) bool { return l.Off() > 0 }); len(over) > 0 {
		causes = append(causes, Cause{strapWords(over) + " held more than the band says: tell the bank", nil})
	}
	return causes
}
