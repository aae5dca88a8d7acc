package currency

// A Class is the kind of currency a note is.
type Class uint8

// The classes of small-size notes.
const (
	ClassUnknown Class = iota
	FederalReserveNote
	SilverCertificate
	UnitedStatesNote
	GoldCertificate
	NationalCurrency // National Bank Note or Federal Reserve Bank Note of 1929
)

// A Colour is the colour of the Treasury seal (and, on most notes, of the serials).
type Colour uint8

// The seal colours.
const (
	ColourUnknown Colour = iota
	Green
	Blue
	Red
	Gold
	Brown
	Yellow
)
