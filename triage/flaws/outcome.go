package flaws

import (
	"fmt"
	"strings"

	"app/unband/triage/currency"
)

// A Stage is a set of steps in the life of a note, one bit each. On sheet-fed notes the back is
// printed first, then the face, then serials and seals; then the sheet is cut [PE1][PE2][AP].
type Stage uint8

// The stages.
const (
	Paper       Stage = 1 << 0 // before the first print
	FirstPrint  Stage = 1 << 1 // back
	SecondPrint Stage = 1 << 2 // face
	ThirdPrint  Stage = 1 << 3 // overprint: serials, seals, bank numbers
	Cutting     Stage = 1 << 4
	After       Stage = 1 << 5 // after it left the press
)

// String names the stages, "first print (back) or second print (face)"; "" for none.
func (s Stage) String() string {
	var names []string
	for i, name := range [...]string{"paper", "first print (back)", "second print (face)", "third print (serials and seals)", "cutting", "after printing"} {
		if s&(1<<i) != 0 {
			names = append(names, name)
		}
	}
	return strings.Join(names, " or ")
}

// A Kind says what sort of answer an outcome is.
type Kind uint8

// The kinds of outcome. They are not stored.
const (
	NoKind    Kind = iota
	Error          // by what was seen, an error of press, paper or cutting
	Tolerance      // within what the printer lets pass
	Damage         // done to the note after printing, most likely
	Open           // not sure: keep it and ask
)

// An OutcomeID names an outcome.
type OutcomeID uint8

// The outcomes. Their numbers are stored: never renumber, only add.
const (
	NoOutcome           OutcomeID = 0
	NotSure             OutcomeID = 1
	DamageAfter         OutcomeID = 2
	WithinTolerance     OutcomeID = 3
	OffsetTransfer      OutcomeID = 4
	Misalignment        OutcomeID = 5
	OverprintShift      OutcomeID = 6
	Miscut              OutcomeID = 7
	GutterFold          OutcomeID = 8
	Foldover            OutcomeID = 9
	PaperCrease         OutcomeID = 10
	InsufficientInking  OutcomeID = 11
	InkSmear            OutcomeID = 12
	ObstructedPrint     OutcomeID = 13
	MissingBack         OutcomeID = 14
	MissingFace         OutcomeID = 15
	MissingOverprint    OutcomeID = 16
	InvertedBack        OutcomeID = 17
	InvertedOverprint   OutcomeID = 18
	OverprintOnBack     OutcomeID = 19
	DoubledOverprint    OutcomeID = 20
	MismatchedSerials   OutcomeID = 21
	MismatchedPrefix    OutcomeID = 22
	StuckDigit          OutcomeID = 23
	DoubleDenomination  OutcomeID = 24
	BoardBreak          OutcomeID = 25
	PaperSplice         OutcomeID = 26
	OverprintOffset     OutcomeID = 27
	SmallOverprintShift OutcomeID = 28
	OffCentreCut        OutcomeID = 29
	HomeCut             OutcomeID = 30
	BledThrough         OutcomeID = 31
	AddedLater          OutcomeID = 32
	WornCrease          OutcomeID = 33
	FoldedLater         OutcomeID = 34
	Repaired            OutcomeID = 35
	WashedOut           OutcomeID = 36
	RubbedOut           OutcomeID = 37
	LiftedInk           OutcomeID = 38
	ChangedColour       OutcomeID = 39
	ColourOfClass       OutcomeID = 40
)

// Verdict is how the advice of every outcome ends: the program describes, it does not judge.
const Verdict = "Leave the verdict to someone who has it in hand."

// An Outcome is where the walk-through ends: a name for what was seen, never more than that.
type Outcome struct {
	ID          OutcomeID
	Name        string
	Kind        Kind
	Stage       Stage // none where it was not found out
	See         string
	MistakenFor string
	Next        string // what to check and do next; ends with Verdict
	Source      string
	Sure        currency.Sure
}

// Keep reports whether the outcome with the number is a reason to keep the note; false for none.
func (id OutcomeID) Keep() bool {
	o, _ := id.Outcome()
	return o.Keep()
}

// Keep reports whether the outcome is a reason to keep the note: an error by what was seen, or open.
func (o Outcome) Keep() bool { return o.Kind == Error || o.Kind == Open }

// Outcomes lists every outcome once, by its number.
var Outcomes = []Outcome{
	{
		NotSure, "not sure: keep it and ask", Open, 0,
		"Something is odd, and the answers do not tell what it is.",
		"almost anything",
		"Keep it flat, unfolded and uncleaned, with the note before and the note after. Photograph both sides and ask. " + Verdict,
		"common practice, no source", currency.Common,
	},
	{
		DamageAfter, "damage after printing, most likely", Damage, After,
		"Marks of use: torn, stained, written on, burnt, rubbed.",
		"an error of the press, when photographed",
		"Write the defects down for the condition. " + Verdict,
		"common practice, no source", currency.Common,
	},
	{
		WithinTolerance, "within tolerance: not counted as an error", Tolerance, FirstPrint | SecondPrint | ThirdPrint,
		"Specks, a filled or broken letter, a digit a hair too high, a small shift.",
		"a smear, a stuck digit, a shifted print",
		"Compare with the notes beside it in the strap: what all of them show is the way they are printed. " + Verdict,
		"[PC]", currency.Published,
	},
	{
		OffsetTransfer, "offset transfer", Error, FirstPrint | SecondPrint,
		"A fainter, mirrored image of the other side.",
		"ink that came through the paper, which is mirrored too; a stamp",
		"It came from another sheet by way of the impression cylinder, so its plate number may differ from the note's own. Look for weaker ones on the next notes of the strap. " + Verdict,
		"[PO][PC][CW14][CT15]", currency.Published,
	},
	{
		Misalignment, "misalignment of face or back", Error, FirstPrint | SecondPrint,
		"Face or back stands off while the other prints are right; a part of the neighbour note may show.",
		"a bad cut; normal tolerance",
		"Hold face, back and overprint against each other: one print moved is an error of the press, all moved together is the cut. " + Verdict,
		"[PC][CK]", currency.Published,
	},
	{
		OverprintShift, "shifted overprint", Error, ThirdPrint,
		"Serials and seals stand off together, over parts of the design that they should stay clear of.",
		"a small shift, which is let pass; a bad cut",
		"Measure how far: under about a quarter to three eighths of an inch counts for little, and touching the design is the common rule. " + Verdict,
		"[PC][UB][CT22]", currency.Published,
	},
	{
		Miscut, "cutting error", Error, Cutting,
		"Every print is shifted alike; a part of the neighbour note or of the sheet's margin shows.",
		"a sheet sold uncut and cut at home",
		"Check that the serial is not above the highest circulation serial, and lay it on another note: the size should be right. " + Verdict,
		"[CT13][PB2], in part common practice", currency.Common,
	},
	{
		GutterFold, "gutter fold", Error, Paper | FirstPrint | SecondPrint | ThirdPrint,
		"A blank line that opens to bare paper; the print ends sharply on both sides of it.",
		"a crease with the ink worn off",
		"Do not iron or press it. Measure it opened: it comes out longer than a note beside it. " + Verdict,
		"[PC][CK]", currency.Published,
	},
	{
		Foldover, "foldover before printing", Error, Paper | FirstPrint | SecondPrint | ThirdPrint,
		"Print on a flap that was folded over, a blank gap elsewhere, an odd outline.",
		"a corner folded after issue",
		"Leave the flap as it is. See whether the print goes on across the flap on the wrong side. " + Verdict,
		"[PC][CK]", currency.Published,
	},
	{
		PaperCrease, "paper creased before printing", Error, Paper | FirstPrint | SecondPrint | ThirdPrint,
		"A thin line without print; its fibres are whole.",
		"a gutter fold; wear along a crease",
		"Look along the line under a lens: ink worn thin speaks for wear, a clean edge for the press. " + Verdict,
		"common practice, no source", currency.Common,
	},
	{
		InsufficientInking, "insufficient inking", Error, FirstPrint | SecondPrint | ThirdPrint,
		"One print is faint or missing in part; the others are at full strength.",
		"a washed or bleached note; wear",
		"Feel for the relief of the print where the ink is missing, and look at the coloured fibres: on a bleached note they fade too. " + Verdict,
		"[PC][PG], in part common practice", currency.Common,
	},
	{
		InkSmear, "ink smear", Error, FirstPrint | SecondPrint | ThirdPrint,
		"A streak in the ink of one of the prints, all one way.",
		"spilled ink, a pen",
		"A smear lies under the print that came later; look with a lens where they cross. " + Verdict,
		"[PK], in part common practice", currency.Common,
	},
	{
		ObstructedPrint, "obstructed print", Error, FirstPrint | SecondPrint | ThirdPrint,
		"A blank with a sharp edge in one print, in the shape of whatever lay there; the others cross it.",
		"ink lifted by tape; rubbing out",
		"Look at the surface under a lens for torn fibres or the shine of glue. If what lay there still clings, leave it. " + Verdict,
		"[PO2]", currency.Published,
	},
	{
		MissingBack, "back not printed", Error, FirstPrint,
		"The back is blank; the face is whole.",
		"a back removed by chemicals",
		"Look for traces under a lens and for relief by slanting light; there should be none. Keep the notes beside it: often two sheets went through at once. " + Verdict,
		"[PC][PG][AP]", currency.Published,
	},
	{
		MissingFace, "face not printed", Error, SecondPrint,
		"The face shows no design; the serials may stand on bare paper.",
		"a face removed by chemicals",
		"Look for traces under a lens and for relief by slanting light; there should be none. Keep the notes beside it. " + Verdict,
		"[PC][PG][AP]", currency.Published,
	},
	{
		MissingOverprint, "overprint missing", Error, ThirdPrint,
		"No serials, no seals, no bank numbers; face and back are whole.",
		"an overprint removed by chemicals",
		"Look for traces under a lens where the serials belong. Write down the serials of the notes beside it and keep those too. " + Verdict,
		"[PC][PG][AP]", currency.Published,
	},
	{
		InvertedBack, "inverted back", Error, FirstPrint | SecondPrint,
		"The back stands upside down to the face.",
		"nothing usual",
		"Turn an ordinary note over side to side beside it and compare. " + Verdict,
		"[PM]", currency.Published,
	},
	{
		InvertedOverprint, "inverted overprint", Error, ThirdPrint,
		"Serials and seals stand upside down and at the wrong ends.",
		"nothing usual",
		"See whether all of the third print is turned, seals and bank numbers too. " + Verdict,
		"[PG]", currency.Published,
	},
	{
		OverprintOnBack, "overprint on the back", Error, ThirdPrint,
		"Serials and seals stand on the back and can be read straight off.",
		"an offset of the overprint, which is mirrored; a foldover",
		"See whether they stand on the face as well, and keep the notes beside it. " + Verdict,
		"[PE2]", currency.Published,
	},
	{
		DoubledOverprint, "doubled overprint", Error, ThirdPrint,
		"Serials or seals are printed twice.",
		"a second print added at home",
		"Compare both prints under a microscope: ink of the press lies thick and in layers, and its colour matches. " + Verdict,
		"[AQ]", currency.Published,
	},
	{
		MismatchedSerials, "mismatched serials", Error, ThirdPrint,
		"The two serials differ in a digit or more.",
		"a misread digit",
		"Read both again, digit by digit. An operator's slip shows in the leading digits, a stuck wheel in any, usually one. Do not fold it; photograph both serials. " + Verdict,
		"[PE2][PS][PM1]", currency.Published,
	},
	{
		MismatchedPrefix, "mismatched prefix", Error, ThirdPrint,
		"The digits agree; a letter of the two serials differs.",
		"a misread letter; mismatched digits",
		"The letter in the bank's seal, where there is one, shows which of the two is right. Photograph both serials. " + Verdict,
		"[PM2]", currency.Published,
	},
	{
		StuckDigit, "stuck or partly turned digit", Error, ThirdPrint,
		"A digit is cut in part, or stands between two numbers.",
		"ink lost from a digit; a digit a hair too high or too low, which is let pass",
		"Look for a part of the next number above or below. The other serial may show what it should be; keep the digit as doubtful. " + Verdict,
		"[PS][RC1]", currency.Published,
	},
	{
		DoubleDenomination, "double denomination", Error, FirstPrint | SecondPrint,
		"Face and back belong to different denominations.",
		"two notes split and glued; other work of fakers",
		"Extremely rare. Look along the edges for a join, do not try to part it, and show it to an expert in hand. " + Verdict,
		"[PM]", currency.Published,
	},
	{
		BoardBreak, "board break", Error, FirstPrint | SecondPrint,
		"A light or uninked patch of irregular outline, the same on note after note.",
		"insufficient inking",
		"Keep two or three notes that show it, with their serials. " + Verdict,
		"from memory", currency.Memory,
	},
	{
		PaperSplice, "paper maker's splice or patch", Error, Paper,
		"A strip stuck on, with the print running over the join in one piece.",
		"a tear mended after printing",
		"Look under a lens whether the print is broken at the join. Do not bend it there. " + Verdict,
		"from memory", currency.Memory,
	},
	{
		OverprintOffset, "offset of the overprint", Error, ThirdPrint,
		"Serials or seals in mirror writing, fainter than the straight ones.",
		"an overprint on the back, which reads straight; damp notes pressed together after issue",
		"Compare its number with the notes beside it in the strap, and look whether they show it too. " + Verdict,
		"[PE2]; what to compare: common practice", currency.Common,
	},
	{
		SmallOverprintShift, "small shift of the overprint", Tolerance, ThirdPrint,
		"Serials and seals stand off, but clear of what they should stay clear of.",
		"a shifted overprint",
		"Under about a quarter to three eighths of an inch it counts for little or nothing. " + Verdict,
		"[UB][CT22]", currency.Published,
	},
	{
		OffCentreCut, "off centre, no more", Tolerance, Cutting,
		"Every print is shifted alike, but nothing of the neighbour note shows.",
		"a cutting error",
		"Write it down as off centre for the condition. " + Verdict,
		"[PC][IB]", currency.Published,
	},
	{
		HomeCut, "cut at home from an uncut sheet, most likely", Damage, After,
		"Shifted alike on both sides, with a serial above the highest in circulation, or with a size or an edge that no cutter at the press leaves.",
		"a cutting error",
		"A serial that high was used for uncut sheets sold to collectors. Lay it on another note and compare the size. " + Verdict,
		"[CT1][CCF3]; size and edge: [CT13], in part common practice", currency.Common,
	},
	{
		BledThrough, "ink that came through the paper, most likely", Damage, After,
		"A mirrored shadow exactly behind its own print.",
		"an offset transfer, which is mirrored too",
		"Look with a lens for soaked paper and soft edges. " + Verdict,
		"[PO][PC]", currency.Published,
	},
	{
		AddedLater, "added after printing, most likely", Damage, After,
		"Print, stamp, pen or spilled ink that belongs to no print of the note.",
		"a smear, a doubled overprint, an offset transfer",
		"An image of the other side that reads straight does not come from the press. " + Verdict,
		"[AQ][PK][RD]", currency.Common,
	},
	{
		WornCrease, "worn crease", Damage, After,
		"Ink worn thin along a crease; the design runs on across it.",
		"a gutter fold; paper creased before printing",
		"Write it down as a crease for the condition. " + Verdict,
		"[CK][IB]", currency.Published,
	},
	{
		FoldedLater, "folded after printing, most likely", Damage, After,
		"A folded corner with its own print on it and no blank elsewhere.",
		"a foldover",
		"Open it gently: the design should be whole. " + Verdict,
		"[PC][CK]", currency.Published,
	},
	{
		Repaired, "a mended tear, most likely", Damage, After,
		"Paper or tape over a tear, with the print broken at the join.",
		"a paper maker's splice",
		"Do not pull it off. Write down tear and tape for the condition. " + Verdict,
		"from memory", currency.Memory,
	},
	{
		WashedOut, "washed or bleached, most likely", Damage, After,
		"Limp or pale paper, faded fibres, print worn flat.",
		"insufficient inking",
		"Experts differ over photographs of such notes: crisp? one side only? fibres faded? Spend it, or ask. " + Verdict,
		"[PC][CT19][CT20]", currency.Published,
	},
	{
		RubbedOut, "print removed after printing, most likely", Damage, After,
		"A trace or the relief of the missing print is left, or the paper is rough or stained there.",
		"a missing print",
		"Compare the feel of the paper with a note beside it. " + Verdict,
		"[PC][PG][AP]", currency.Published,
	},
	{
		LiftedInk, "ink lifted by tape or rubbed out, most likely", Damage, After,
		"A blank with torn fibres, the shine of glue, or every print gone in it.",
		"an obstructed print",
		"Look at it under a lens by slanting light. " + Verdict,
		"[PO2]", currency.Published,
	},
	{
		ChangedColour, "colour changed by chemicals, most likely", Damage, After,
		"Seal or serials of a colour their class never had.",
		"an error of the press",
		"Graders refuse such notes, and the finest of them have fooled experts. " + Verdict,
		"[CT18][CT21][TN2]", currency.Published,
	},
	{
		ColourOfClass, "the colour of an older class of note", Tolerance, ThirdPrint,
		"A seal in the colour of what the note says it is.",
		"an error of the press",
		"No error. Write down the class and the series. " + Verdict,
		"[SE2][CT9]", currency.Published,
	},
}

// Outcome gives what the number stands for, false for one that is not known.
func (id OutcomeID) Outcome() (Outcome, bool) {
	for _, o := range Outcomes {
		if o.ID == id {
			return o, true
		}
	}
	return Outcome{}, false
}

// String gives the outcome's name, "not said" for NoOutcome.
func (id OutcomeID) String() string {
	if o, ok := id.Outcome(); ok {
		return o.Name
	}
	if id == NoOutcome {
		return "not said"
	}
	return fmt.Sprintf("outcome %d", uint8(id))
}
