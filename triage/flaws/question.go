package flaws

// A QuestionID names a question of the walk-through.
type QuestionID uint8

// The questions. Their numbers are stored: never renumber, only add.
const (
	NoQuestion      QuestionID = 0
	AskExtra        QuestionID = 1
	AskReadable     QuestionID = 2
	AskMirrored     QuestionID = 3
	AskMirror       QuestionID = 4
	AskMirrorSerial QuestionID = 5
	AskLinesUp      QuestionID = 6
	AskOtherPlate   QuestionID = 7
	AskSoaked       QuestionID = 8
	AskExtraSerial  QuestionID = 9
	AskOnBack       QuestionID = 10
	AskFlapPrint    QuestionID = 11
	AskLayered      QuestionID = 12
	AskStraight     QuestionID = 13
	AskSameInk      QuestionID = 14
	AskUnderPrint   QuestionID = 15

	AskMisplaced  QuestionID = 20
	AskUpsideDown QuestionID = 21
	AskTurned     QuestionID = 22
	AskAllAlike   QuestionID = 23
	AskTooHigh    QuestionID = 24
	AskOddSize    QuestionID = 25
	AskNeighbour  QuestionID = 26
	AskSerialsOff QuestionID = 27
	AskTouches    QuestionID = 28
	AskOneSideOff QuestionID = 29

	AskSerials   QuestionID = 40
	AskHalfDigit QuestionID = 41
	AskDiffer    QuestionID = 42
	AskLetters   QuestionID = 43
	AskTwoNotes  QuestionID = 44

	AskPaper  QuestionID = 50
	AskStrip  QuestionID = 51
	AskJoin   QuestionID = 52
	AskFlap   QuestionID = 53
	AskAcross QuestionID = 54
	AskOpens  QuestionID = 55
	AskSharp  QuestionID = 56
	AskFibres QuestionID = 57

	AskFaint      QuestionID = 60
	AskWhole      QuestionID = 61
	AskTrace      QuestionID = 62
	AskNoSerials  QuestionID = 63
	AskBlankBack  QuestionID = 64
	AskShape      QuestionID = 65
	AskCrossed    QuestionID = 66
	AskRepeats    QuestionID = 67
	AskPaleSerial QuestionID = 68
	AskRubbed     QuestionID = 69
	AskRelief     QuestionID = 70
	AskLimp       QuestionID = 71
	AskBleached   QuestionID = 72
	AskOneSide    QuestionID = 73

	AskColour QuestionID = 80
	AskClass  QuestionID = 81

	AskSmall QuestionID = 90
	AskUse   QuestionID = 91
)

// A Question is one step of the walk-through. It can be answered yes, no or unsure.
type Question struct {
	ID   QuestionID
	Text string
	Help string // how to find out
}

// A turn is where an answer leads: to a question or, when that is NoQuestion, to an outcome.
type turn struct {
	ask QuestionID
	end OutcomeID
}

// A node is a question with the turns of its three answers.
type node struct {
	Question
	yes, no, unsure turn

	// denies marks the questions that come last. What they end in denies an error, so it stands only
	// when nothing before was left unsure; else the end is NotSure.
	denies bool
}

func ask(q QuestionID) turn { return turn{ask: q} }
func end(o OutcomeID) turn  { return turn{end: o} }

// nodes are the walk-through in the order that decides: what is there too much, what stands wrong,
// what differs, what the paper did, what is missing, and only then what is small or comes from use.
var nodes = []node{
	// Too much print.
	{Question: Question{AskExtra, "Is there print that should not be there: a ghost of the other side, serials or seals twice or on the back, a streak of ink?",
		"Look at both sides by a slanting light, and compare with the note beside it."},
		yes: ask(AskReadable), no: ask(AskMisplaced), unsure: ask(AskMisplaced)},
	{Question: Question{AskReadable, "Can you make out letters, numbers or a part of the design in it?",
		"A streak or a blot shows none."},
		yes: ask(AskMirrored), no: ask(AskSameInk), unsure: ask(AskSameInk)},
	{Question: Question{AskMirrored, "Is that extra image mirrored?",
		"Letters run from right to left, as on a stamp or in a mirror."},
		yes: ask(AskMirrorSerial), no: ask(AskExtraSerial), unsure: ask(AskMirror)},
	{Question: Question{AskMirror, "Hold it to a mirror: do letters or numbers come out right there?",
		"Or photograph it and flip the photograph."},
		yes: ask(AskMirrorSerial), no: ask(AskExtraSerial), unsure: end(NotSure)},
	{Question: Question{AskMirrorSerial, "Is it serials or seals that are mirrored?",
		"Serials, seals and bank numbers are printed last, on the face."},
		yes: end(OverprintOffset), no: ask(AskLinesUp), unsure: ask(AskLinesUp)},
	{Question: Question{AskLinesUp, "Held against the light, does it line up exactly with the print of the other side?",
		"Take one strong line, such as the frame, and see whether its shadow lies right behind it."},
		yes: ask(AskOtherPlate), no: end(OffsetTransfer), unsure: ask(AskOtherPlate)},
	{Question: Question{AskOtherPlate, "Does the ghost have a plate number other than the note's own, or do the next notes of the strap show it too, weaker and weaker?",
		"The plate number is the small number near a corner of the design."},
		yes: end(OffsetTransfer), no: ask(AskSoaked), unsure: ask(AskSoaked)},
	{Question: Question{AskSoaked, "Is the paper soaked, greasy or stained there, and the shadow soft at the edges?",
		"Compare with a clean part of the note."},
		yes: end(BledThrough), no: end(NotSure), unsure: end(NotSure)},
	{Question: Question{AskExtraSerial, "Is the extra print serials, seals or bank numbers?",
		"The third print: what differs from note to note, and the seals."},
		yes: ask(AskOnBack), no: ask(AskStraight), unsure: ask(AskStraight)},
	{Question: Question{AskOnBack, "Does it stand on the back?",
		"The back is the side without portrait and serials."},
		yes: ask(AskFlapPrint), no: ask(AskLayered), unsure: end(NotSure)},
	{Question: Question{AskFlapPrint, "Is only a part of it there, ending along a line where the paper was folded, with that part missing on the face?",
		"A flap that was folded over takes the print that was meant for the face."},
		yes: end(Foldover), no: end(OverprintOnBack), unsure: end(NotSure)},
	{Question: Question{AskLayered, "Under a lens, is the second print as thick as the first and of the same colour?",
		"A home printer leaves fine dots; ink of the press lies thick and in layers."},
		yes: end(DoubledOverprint), no: end(AddedLater), unsure: end(NotSure)},
	{Question: Question{AskStraight, "Is it an image of the other side that reads straight?",
		"The press leaves the other side mirrored, never straight."},
		yes: end(AddedLater), no: end(NotSure), unsure: end(NotSure)},
	{Question: Question{AskSameInk, "Is it the very ink of one of the note's prints, and a streak all one way?",
		"Compare colour and gloss under a lens; a smear follows the way of the press."},
		yes: ask(AskUnderPrint), no: end(AddedLater), unsure: end(NotSure)},
	{Question: Question{AskUnderPrint, "Does a later print lie over it, or is it the ink of the last print, the serials and seals?",
		"Back first, then face, then serials and seals; over these no print comes."},
		yes: end(InkSmear), no: end(AddedLater), unsure: end(NotSure)},

	// Print in the wrong place.
	{Question: Question{AskMisplaced, "Does something stand in the wrong place: upside down, shifted, or cut wrong?",
		"Compare the margins of both sides and the place of serials and seals with the note beside it."},
		yes: ask(AskUpsideDown), no: ask(AskSerials), unsure: ask(AskSerials)},
	{Question: Question{AskUpsideDown, "Is one of the prints upside down to the others?",
		"Turn the note over side to side, like a page: the back should stand upright."},
		yes: ask(AskTurned), no: ask(AskAllAlike), unsure: ask(AskAllAlike)},
	{Question: Question{AskTurned, "Is it the serials and seals that are upside down?",
		"Hold it so that the portrait stands upright."},
		yes: end(InvertedOverprint), no: end(InvertedBack), unsure: end(NotSure)},
	{Question: Question{AskAllAlike, "Are all prints off alike: face, back, serials and seals by the same amount?",
		"One print off is the press, all alike is the cut. Hold it against the light."},
		yes: ask(AskTooHigh), no: ask(AskSerialsOff), unsure: ask(AskSerialsOff)},
	{Question: Question{AskTooHigh, "Is the serial above the highest circulation number of its series?",
		"For $1 to $20 since about Series 1988A that is 96,000,000, for $50 and $100 99,200,000."},
		yes: end(HomeCut), no: ask(AskOddSize), unsure: ask(AskOddSize)},
	{Question: Question{AskOddSize, "Is it larger or smaller than the note beside it, or is an edge cut by hand?",
		"Lay one on the other, corner on corner."},
		yes: end(HomeCut), no: ask(AskNeighbour), unsure: ask(AskNeighbour)},
	{Question: Question{AskNeighbour, "Does a part of the neighbour note, or of the sheet's margin with its marks, show?",
		"A wide white margin alone is off centre."},
		yes: end(Miscut), no: end(OffCentreCut), unsure: end(NotSure)},
	{Question: Question{AskSerialsOff, "Is it only the serials and seals that are off?",
		"Face and back fit each other against the light."},
		yes: ask(AskTouches), no: ask(AskOneSideOff), unsure: ask(AskOneSideOff)},
	{Question: Question{AskTouches, "Do they touch or cover something they should stay clear of, or run off the note?",
		"A green seal still inside the word beside it is a small shift; one over its edge or a serial in the portrait is not."},
		yes: end(OverprintShift), no: end(SmallOverprintShift), unsure: end(NotSure)},
	{Question: Question{AskOneSideOff, "Is one side far off while the other is right, so that its border is cut or a part of the neighbour note shows?",
		"Unequal margins with the whole border there are let pass."},
		yes: end(Misalignment), no: end(WithinTolerance), unsure: end(NotSure)},

	// Serials and denominations that differ.
	{Question: Question{AskSerials, "Do the two serials differ, does a digit look cut, or do face and back show different denominations?",
		"Read left and right once more, letters too."},
		yes: ask(AskHalfDigit), no: ask(AskPaper), unsure: ask(AskPaper)},
	{Question: Question{AskHalfDigit, "Does a digit stand between two numbers, so that it is cut in part or a bit of the next one shows?",
		"A digit that is whole and only a hair too high or too low is let pass."},
		yes: end(StuckDigit), no: ask(AskDiffer), unsure: ask(AskDiffer)},
	{Question: Question{AskDiffer, "Read again, digit by digit and letter by letter, do the two serials still differ?",
		"8 and 9, 3 and 8, 6 and 0 are easily misread; use a lens."},
		yes: ask(AskLetters), no: ask(AskTwoNotes), unsure: ask(AskTwoNotes)},
	{Question: Question{AskLetters, "Do all eight digits agree, so that only a letter differs?",
		"The letters before and after the digits."},
		yes: end(MismatchedPrefix), no: end(MismatchedSerials), unsure: end(MismatchedSerials)},
	{Question: Question{AskTwoNotes, "Do face and back show different denominations?",
		"The number words in the middle of both sides."},
		yes: end(DoubleDenomination), no: end(WithinTolerance), unsure: end(NotSure)},

	// What the paper did.
	{Question: Question{AskPaper, "Is there a blank line, a crease, a folded flap, an odd outline, or a strip stuck on?",
		"Look along the edges, and against the light."},
		yes: ask(AskStrip), no: ask(AskFaint), unsure: ask(AskFaint)},
	{Question: Question{AskStrip, "Is a strip or a patch of paper stuck on?",
		"It shows darker against the light."},
		yes: ask(AskJoin), no: ask(AskFlap), unsure: ask(AskFlap)},
	{Question: Question{AskJoin, "Does the print run over the join in one piece?",
		"Under a lens: no gap, no step, no line of the design out of place."},
		yes: end(PaperSplice), no: end(Repaired), unsure: end(NotSure)},
	{Question: Question{AskFlap, "Is a corner or an edge folded over, or does the note get an odd outline when it is opened?",
		"Open it only as far as it goes by itself."},
		yes: ask(AskAcross), no: ask(AskOpens), unsure: ask(AskOpens)},
	{Question: Question{AskAcross, "Does the print go on across the flap on the wrong side, with a blank gap elsewhere?",
		"A corner folded after printing carries its own print and leaves no gap."},
		yes: end(Foldover), no: end(FoldedLater), unsure: end(NotSure)},
	{Question: Question{AskOpens, "Pulled apart gently, does the line open to a band of bare paper?",
		"It widens, often like a wedge, and the note gets longer. Do not iron or wet it."},
		yes: ask(AskSharp), no: ask(AskFibres), unsure: ask(AskFibres)},
	{Question: Question{AskSharp, "Does the print end sharply on both sides of that band?",
		"The two edges fit each other like a zip."},
		yes: end(GutterFold), no: end(WornCrease), unsure: end(NotSure)},
	{Question: Question{AskFibres, "Are the fibres along the line whole, and its edges clean?",
		"Under a lens. Rough fibres and ink that thins out are wear."},
		yes: end(PaperCrease), no: end(WornCrease), unsure: end(NotSure)},

	// What is missing.
	{Question: Question{AskFaint, "Is ink missing: a blank spot, a faint print, or a whole print gone?",
		"Compare with the note beside it."},
		yes: ask(AskWhole), no: ask(AskColour), unsure: ask(AskColour)},
	{Question: Question{AskWhole, "Is a whole print missing: a blank back, a blank face, or no serials and seals?",
		"Not a trace of it to the naked eye."},
		yes: ask(AskTrace), no: ask(AskShape), unsure: ask(AskShape)},
	{Question: Question{AskTrace, "Under a lens, by slanting light, is there a trace or the relief of it, or is the paper rough there?",
		"A print that was removed leaves something."},
		yes: end(RubbedOut), no: ask(AskNoSerials), unsure: end(NotSure)},
	{Question: Question{AskNoSerials, "Is it the serials and seals that are missing?",
		"Face and back are both there."},
		yes: end(MissingOverprint), no: ask(AskBlankBack), unsure: ask(AskBlankBack)},
	{Question: Question{AskBlankBack, "Is it the back that is blank?",
		"The side without portrait."},
		yes: end(MissingBack), no: end(MissingFace), unsure: end(NotSure)},
	{Question: Question{AskShape, "Has the blank a sharp edge, like the shape of something that lay there?",
		"A scrap of paper, a thread, a strip of tape."},
		yes: ask(AskCrossed), no: ask(AskRepeats), unsure: ask(AskRepeats)},
	{Question: Question{AskCrossed, "Do the other prints cross the blank as usual, on an unhurt surface?",
		"Torn fibres, a shine of glue, or every print gone speak for tape or rubbing."},
		yes: end(ObstructedPrint), no: end(LiftedInk), unsure: end(NotSure)},
	{Question: Question{AskRepeats, "Does the note before or after show the same patch in the same place?",
		"Also the one after the next: sheets are cut and stacked."},
		yes: end(BoardBreak), no: ask(AskPaleSerial), unsure: ask(AskPaleSerial)},
	{Question: Question{AskPaleSerial, "Is it only serials or seals that are faint, with face and back at full strength?",
		"They have no relief to feel, so they are asked about by themselves."},
		yes: ask(AskRubbed), no: ask(AskRelief), unsure: ask(AskRelief)},
	{Question: Question{AskRubbed, "Is the paper there rubbed, stained or rough?",
		"Under a lens, by slanting light."},
		yes: end(RubbedOut), no: end(InsufficientInking), unsure: end(NotSure)},
	{Question: Question{AskRelief, "Where ink is missing, can you feel or see the relief of the print without ink?",
		"A fingernail across the portrait's coat, or slanting light. On a limp note relief can be worn flat."},
		yes: ask(AskLimp), no: ask(AskBleached), unsure: ask(AskOneSide)},
	{Question: Question{AskLimp, "Is the note limp, or are both sides faint?",
		"Under-inking shows evenly on one side, on paper that is crisp for its wear."},
		yes: end(NotSure), no: end(InsufficientInking), unsure: end(NotSure)},
	{Question: Question{AskOneSide, "Is it one side alone that is faint, evenly and on crisp paper, with the other at full strength?",
		"Turn it over, beside an ordinary note."},
		yes: end(InsufficientInking), no: ask(AskBleached), unsure: ask(AskBleached)},
	{Question: Question{AskBleached, "Is the paper limp or paler than others, or are its coloured fibres faded?",
		"Small red and blue fibres lie in the paper."},
		yes: end(WashedOut), no: end(NotSure), unsure: end(NotSure)},

	// The wrong colour.
	{Question: Question{AskColour, "Has a seal or a serial another colour than on other notes of the kind?",
		"Daylight; green on Federal Reserve notes."},
		yes: ask(AskClass), no: ask(AskSmall), unsure: ask(AskSmall)},
	{Question: Question{AskClass, "Does the note call itself something else than a Federal Reserve note, or does it carry the word HAWAII?",
		"At the top of the face: silver certificate (blue seal), United States note (red), national currency (brown). In the war years brown seals went to Hawaii and yellow ones to North Africa."},
		yes: end(ColourOfClass), no: end(ChangedColour), unsure: end(NotSure)},

	// Small things and use.
	{Question: Question{AskSmall, "Is it something small: specks, a filled or broken letter, a digit a hair too high?",
		"Seen only when one looks for it."},
		yes: end(WithinTolerance), no: ask(AskUse), unsure: ask(AskUse), denies: true},
	{Question: Question{AskUse, "Is it what use does to a note: torn, stained, written on, burnt, rubbed, chewed?",
		"Ask whether it could have come about after the note left the press."},
		yes: end(DamageAfter), no: end(NotSure), unsure: end(NotSure), denies: true},
}

// find gives the node of a question.
func find(q QuestionID) (node, bool) {
	for _, n := range nodes {
		if n.ID == q {
			return n, true
		}
	}
	return node{}, false
}

// Question gives what the number stands for, false for one that is not known.
func (id QuestionID) Question() (Question, bool) {
	n, ok := find(id)
	return n.Question, ok
}
