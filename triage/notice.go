package triage

// A NoticeKind says what happened to a key. The screen has the words, because only it knows what
// the keys are called.
type NoticeKind uint8

// The kinds of notice.
const (
	Quiet NoticeKind = iota // nothing to say

	// Bad input. Nothing was decided and nothing was lost.
	LetterAmongDigits // Text is the letter, N the digits typed so far
	OTakenAsZero      // the letter O was read as 0; N is its last place, 1 to 8, Text all of several
	SecondPrefix      // Text is the letter: a $1 or $2 has one letter in front
	ThirdPrefix       // Text is the letter: no serial has three letters in front
	SecondSuffix      // Text is the letter: there is one already
	NoSuchSuffix      // Text is the letter: it is never printed
	StarAmongDigits   // a star stands after the eighth digit, or before the first
	StarAndSuffix     // a star takes the place of the letter, a note has one of them
	NothingBehind     // a letter in front, but neither letter nor star behind: not known if it is a star
	DigitBehind       // Text is the digit: the letter or star behind the eight has ended the serial
	TooManyDigits     // N digits typed, a serial has eight
	TooFewDigits      // N digits typed, nothing can be decided
	UnknownKey        // Text is the character
	NothingToErase

	// Keys that came, but did not count.
	TooEarly          // the pause was not over
	HeldKey           // the key is held down or hammered: it must rest
	OtherDenomination // the note is one of N dollars: neither kept nor spent, but laid apart
	AskAgain          // a hit, or a doubtful serial, wants the same key a second time
	NoNoteBefore
	NoNoteAfter
	Unchanged // a note gone back to was decided as it was before

	// The re-read.
	RereadAsked   // the doubtful digits are blanked now
	RereadUnended // N blanks are still open
	RereadFirst   // a decision key came while the blanks were open
	RereadFull    // every blank has its digit
	RereadOver    // read again, the digits stand as they were
	RereadLeft    // the re-read was left, nothing was read
	RereadCorrect // a digit was changed by it: judged anew
	RereadHit     // the digit that was missing: a watched pattern now
	RereadNothing // there is nothing doubtful to read again
	StarFacts     // a star is kept: its prefix and series are asked for
	BadSeries     // Text is not a series
	WhichSeries   // Text lists the series that can be meant
	BadPlant      // Text is no answer about the FW
	BadStarPrefix // Text is not a bank letter, or has too few letters

	// A strap gone through once more.
	NoSuchNote  // there is no decided note at position N; Text is the last there is
	JumpFirst   // a decision key came while a position was being typed: Text
	PassBegins  // there is no note before this one, the way the pass runs
	PassEnds    // there is no note after it
	DecideFirst // the serial was changed and is not decided yet
	AnswerFirst // a question stands that must be answered or left first
	StaysClosed // in a closed session no decision is changed

	// The strap.
	OnlyLast      // only the last decided note can be taken out, once it is gone back to
	TakeOut       // the key must come again to take note N out
	NotThereAsked // the key must come again to say that listed note N is not in the pile
	FarOff        // the strap holds N notes more or fewer than its band says: the answer must come again
	EndAsked      // a decision key came while the strap is asked about
	PastBand      // one more than the band says
	SlowDown      // N notes in a row faster than the set pace
	StrapEmpty
	PullsLeft       // N listed notes are to be looked at before the strap can end
	RestAsked       // the key must come again to spend N notes that were taken in, or keep them: Text, with %s for the notes
	UnlistAsked     // the key must come again to sort the strap note by note; N notes are listed
	EnterDecidesNot // Enter came with N digits typed: it answers questions
	FillUnread      // N digits are unread in the list: as many, or the whole number, are to be typed
	NothingListed   // nothing was taken in of the strap beforehand
)

// A Notice is one thing to say to the person at the table.
type Notice struct {
	Kind NoticeKind
	N    int
	Text string
}
