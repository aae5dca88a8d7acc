package currency

import "fmt"

// A Class is the kind of currency a note is. Each has its own syntax of serials.
type Class uint8

// The classes of small-size notes. All are legal tender at face value [SE].
const (
	ClassUnknown       Class = iota
	FederalReserveNote       // green seal; the bank's letter in the serial, star behind
	SilverCertificate        // blue seal; letters carry no bank, star in front
	UnitedStatesNote         // red seal; letters carry no bank, star in front
	GoldCertificate          // gold seal
	NationalCurrency         // brown seal: National Bank Note or Federal Reserve Bank Note of 1929
)

// String gives the class in the trade's words.
func (c Class) String() string {
	switch c {
	case FederalReserveNote:
		return "Federal Reserve note"
	case SilverCertificate:
		return "silver certificate"
	case UnitedStatesNote:
		return "United States note"
	case GoldCertificate:
		return "gold certificate"
	case NationalCurrency:
		return "national currency"
	}
	return "class not said"
}

// lettered reports whether the letters of the class run on with the count and name no bank [DB].
func (c Class) lettered() bool {
	return c == SilverCertificate || c == UnitedStatesNote || c == GoldCertificate
}

// starInFront reports whether a replacement of the class has its star in place of the prefix. For
// gold certificates and national currency no source was read.
func (c Class) starInFront() bool { return c == SilverCertificate || c == UnitedStatesNote }

// A Colour is the colour of the Treasury seal and, on most notes, of the serials. Its numbers are
// stored: never renumber, only add.
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

	// LastColour is the last of them, for a list to choose from.
	LastColour = Yellow
)

// String gives the colour as a word.
func (c Colour) String() string {
	names := [...]string{"colour not said", "green", "blue", "red", "gold", "brown", "yellow"}
	if int(c) >= len(names) {
		return names[0]
	}
	return names[c]
}

// A SealRow ties a class to the colour of its seal.
type SealRow struct {
	Class  Class
	Seal   Colour
	Sure   Sure
	Source string
}

// Seals lists the colour of each class; Issues has the exceptions.
var Seals = []SealRow{
	{FederalReserveNote, Green, Published, "[SE]"},
	{SilverCertificate, Blue, Published, "[SE][SP2]"},
	{UnitedStatesNote, Red, Published, "[SE][RM]"},
	{GoldCertificate, Gold, Published, "[SE]"},
	{NationalCurrency, Brown, Published, "[SE]"},
}

// An Issue is a wartime issue: a note of an ordinary class with a seal of its own.
type Issue struct {
	Name         string
	Tell         string // what else to look for
	Seal         Colour
	Class        Class
	Denomination int
	Series       []Series
	Sure         Sure
	Source       string
}

// Issues lists the notes for Hawaii and for North Africa.
var Issues = []Issue{
	{"Hawaii", hawaiiTell, Brown, SilverCertificate, 1, mustSeries("1935A"), Published, "[SE2]"},
	{"Hawaii", hawaiiTell, Brown, FederalReserveNote, 5, mustSeries("1934 1934A"), Memory, "from memory"},
	{"Hawaii", hawaiiTell, Brown, FederalReserveNote, 10, mustSeries("1934A"), Memory, "from memory"},
	{"Hawaii", hawaiiTell, Brown, FederalReserveNote, 20, mustSeries("1934 1934A"), Memory, "from memory"},
	{"North Africa", africaTell, Yellow, SilverCertificate, 1, mustSeries("1935A"), Published, "[SE2]"},
	{"North Africa", africaTell, Yellow, SilverCertificate, 5, mustSeries("1934A"), Published, "[SE2]"},
	{"North Africa", africaTell, Yellow, SilverCertificate, 10, mustSeries("1934A"), Published, "[SE2]"},
}

const (
	hawaiiTell = "the word HAWAII stands on both sides"
	africaTell = "the seal is yellow, the serials are blue"
)

// IssueOf gives the wartime issue a note of this seal may be. An unknown series fits any.
func IssueOf(denomination int, s Series, seal Colour) (Issue, bool) {
	for _, row := range Issues {
		if row.Seal == seal && row.Denomination == denomination && (!s.Known() || holds(row.Series, s)) {
			return row, true
		}
	}
	return Issue{}, false
}

// SealOf gives the colour of the seal on ordinary notes of a class.
func SealOf(c Class) Colour {
	for _, row := range Seals {
		if row.Class == c {
			return row.Seal
		}
	}
	return ColourUnknown
}

// ClassOfSeal gives the class that a seal of this colour belongs to. Brown is the 1929 notes unless
// denomination and series fit a Hawaii note; yellow is the North Africa notes alone.
func ClassOfSeal(denomination int, s Series, seal Colour) Class {
	if issue, ok := IssueOf(denomination, s, seal); ok && (s.Known() || seal == Yellow) {
		return issue.Class
	}
	for _, row := range Seals {
		if row.Seal == seal && (seal != Brown || s == Series{1929, 0}) {
			return row.Class
		}
	}
	return ClassUnknown
}

// Name gives a note in the trade's words as far as class and series are certain: "$1 silver
// certificate, Series 1957, blue seal", "$1 Federal Reserve note, green seal", "$5 note".
func Name(n Note) string {
	r := read(n)
	name := r.noteName()
	if r.series.Known() {
		name += fmt.Sprintf(", Series %s", r.series)
	}
	if !r.certain {
		return name
	}
	if issue, ok := IssueOf(n.Denomination, r.series, n.Seal); ok && issue.Class == r.class {
		return name + fmt.Sprintf(", %s issue, %s seal", issue.Name, issue.Seal)
	}
	return name + fmt.Sprintf(", %s seal", SealOf(r.class))
}
