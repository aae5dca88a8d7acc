package currency

// A Kind says what a remark is about, so that a screen can mark the place.
type Kind uint8

// The kinds of remark. They are not stored: their numbers may change.
const (
	KindPrefix        Kind = iota + 1 // a letter before the digits that cannot stand there
	KindPrefixLength                  // one letter where two belong, or two where one belongs
	KindSeriesLetter                  // the first of two prefix letters against the series
	KindSuffix                        // a letter behind the digits that cannot stand there
	KindStarPlace                     // star before or behind the digits, against the class
	KindStarNumber                    // the number of a star note: leading zeros are usual
	KindSeries                        // a series that is not known for the denomination
	KindYearLetter                    // whether a small letter follows the year
	KindDistrict                      // a bank the series was not printed for
	KindHighest                       // above the highest circulation serial
	KindAllZero                       // eight zeros
	KindBank                          // prefix, seal letter and corner number disagree
	KindSecondDigits                  // the digits of the two serials differ
	KindSecondLetters                 // letters or star of the two serials differ
	KindSecondUnread                  // the second serial is not a whole serial
	KindFacility                      // FW or not, against what is on record
	KindWebPress                      // web-press note
	KindTwin                          // Series 2013 New York stars printed twice
	KindClass                         // an older class of note
	KindSealColour                    // seal colour against class or series
	KindPosition                      // a note position that cannot be whole
	KindPlate                         // a plate number that cannot be whole, or does not go with the position
)
