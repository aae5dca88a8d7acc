package triage

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"app/unband/triage/currency"
	"app/unband/triage/flaws"
)

// WalkText writes the steps of a walk as it is stored: "1y2n7u", a question's number and the answer.
func WalkText(steps []flaws.Step) string {
	var b strings.Builder
	for _, s := range steps {
		fmt.Fprintf(&b, "%d%c", s.Question, " ynu"[s.Answer])
	}
	return b.String()
}

// WalkOf reads a stored walk. What cannot be read ends it: the walk then stands at the question before.
func WalkOf(text string) flaws.Walk {
	var steps []flaws.Step
	for text != "" {
		var s flaws.Step
		var answer rune
		if n, err := fmt.Sscanf(text, "%d%c", &s.Question, &answer); n != 2 || err != nil {
			break
		}
		i := strings.IndexRune("ynu", answer)
		if i < 0 {
			break
		}
		s.Answer = flaws.Answer(i + 1)
		steps = append(steps, s)
		text = text[strings.IndexRune(text, answer)+1:]
	}
	w, _ := flaws.Resume(steps)
	return w
}

// Facts are what is known of a note besides its serial. Nothing of it carries over from one note to
// the next.
type Facts struct {
	Series   string            // as printed, "2017A"; empty while nobody has said it
	Facility currency.Facility // by the FW before the plate number at the lower right of the face
	Seal     currency.Colour   // of the Treasury seal
	Second   string            // the other serial of the same note, where it was read too

	SealLetter string // letter in the round seal, or of a mark such as L12
	Corner     string // district number at the corners, "7"
	Web        bool   // taken for a note from the web press

	Sheet   string          // note position as printed, "F4"
	Plate   string          // face plate number as printed, "FW F 12"
	Grade   flaws.Grade     // the condition, in the trade's words
	Defects flaws.Defect    // what lowers it
	Stamp   bool            // stamped by someone who tracks bills
	Flaw    flaws.OutcomeID // where the walk through the printing errors ended
	Walk    string          // the answers on the way there, see WalkText
	Remark  string          // the person's own words
	Where   string          // where the note lies, in the person's own words

	Face       string // what one sees on the face, in the person's own words
	Back       string // what one sees on the back, in the person's own words
	BackPlate  string // plate number of the back as printed, "295"
	Neighbours bool   // the notes before and after it are wanted, too
	Reason     string // why it is kept or spent, in the person's own words

	Denomination Denomination // where it is another than that of the pile; else 0
}

// Reading is the note in hand as package currency takes it.
func (h InHand) Reading() currency.Note {
	if h.Apart() && h.bySequence() { // the number that lies here is not that of this note
		return readingOf(h.pile, Serial{}, h.facts)
	}
	return readingOf(h.Entry.denomination, h.Entry.Serial, h.facts)
}

// RemarksOn is what the letters, the series and the rest say about a note that is not in hand, the gravest first.
func RemarksOn(d Denomination, s Serial, f Facts) []currency.Remark {
	return currency.Check(readingOf(d, s, f))
}

func readingOf(denomination Denomination, s Serial, f Facts) currency.Note {
	if f.Denomination != 0 {
		denomination = f.Denomination
	}
	d, whole := s.Whole()
	var series currency.Series
	if f.Series != "" {
		series, _ = currency.ParseSeries(f.Series) // well formed: SetFacts sees to it
	}
	return currency.Note{
		Denomination: int(denomination), Series: series, Prefix: s.Prefix, Digits: d, Whole: whole,
		Suffix: s.Suffix, Star: s.Star, StarFront: s.StarFront, FW: f.Facility, Seal: f.Seal, Second: f.Second,
		SealLetter: letterOf(f.SealLetter), Corner: cornerOf(f.Corner), Web: f.Web,
		NoLetter: true, // wherever a series is said, the forms with and without a letter are shown or asked for
	}
}

func letterOf(text string) byte {
	if text == "" {
		return 0
	}
	return text[0]
}

// cornerOf is the number typed; what is none counts as not said.
func cornerOf(text string) int {
	n, _ := strconv.Atoi(text)
	return n
}

// Facts are what is known of the note besides its serial.
func (h InHand) Facts() Facts { return h.facts }

// SetFacts says what is known of the note. A series that is none leaves everything as it was and
// gives the reason.
func (h *InHand) SetFacts(f Facts, at time.Time) error {
	if f.Series != "" {
		series, err := currency.ParseSeries(f.Series)
		if err != nil {
			return err
		}
		f.Series = series.String()
	}
	same := h.facts
	same.Reason = f.Reason
	if same != f && h.mode == Sure { // the decision would rest on something else now; why is not part of it
		h.mode = Typing
	}
	h.know(f)
	h.changed(at)
	return nil
}

// know takes in what is known of the note. How many letters its serial has follows from its denomination.
func (h *InHand) know(f Facts) {
	h.facts = f
	h.Entry.denomination = h.face()
}

// face is the denomination of the note in hand.
func (h InHand) face() Denomination {
	if h.facts.Denomination != 0 {
		return h.facts.Denomination
	}
	return h.pile
}

// Apart reports whether the note is of another denomination than the pile. Then it is neither kept nor spent: KeySetAside
// lays it apart.
func (h InHand) Apart() bool { return h.facts.Denomination != 0 && h.facts.Denomination != h.pile }

// Remarks is what the letters, the series and the rest say about the note, the gravest first.
func (h InHand) Remarks() []currency.Remark { return h.remarks }

// Doubtful reports whether something about the note does not fit, so that it wants another look: a
// remark that says so, the same serial a moment ago, or another one than was taken in for its place. It can be decided all the same, by pressing
// the key twice: old classes of note have letters that a Federal Reserve note never has.
func (h InHand) Doubtful() bool {
	if _, twice := h.Twin(); twice || h.Contradicts() || h.ListedAt() > 0 {
		return true
	}
	if h.asListed() && h.listed.Doubt != "" && h.Entry.Complete() { // as of a serial that the list has twice
		return true
	}
	return currency.Worst(h.remarks) > currency.Fine
}

// Old reports whether the series is older than the limit the person has set for the denomination.
func (h InHand) Old() bool {
	series, err := currency.ParseSeries(h.facts.Series)
	limit, bad := currency.ParseSeries(h.rules.OldBefore)
	return err == nil && bad == nil && currency.Old(series, limit)
}
