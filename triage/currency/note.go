package currency

import "app/unband/patterns"

// A Facility is the plant that printed a note. Its numbers are stored: never renumber, only add.
type Facility uint8

// The facilities. A note from Fort Worth has a small FW before the plate number at the lower right
// of the face; one from Washington has nothing there [CW13].
const (
	FacilityUnknown Facility = iota
	Washington
	FortWorth
)

// String names the place.
func (f Facility) String() string {
	switch f {
	case Washington:
		return "Washington"
	case FortWorth:
		return "Fort Worth"
	}
	return "facility unknown"
}

// A Note is what was read from one note. Zero values mean that nobody has said it.
type Note struct {
	Denomination int // face value in dollars: 1, 2, 5, 10, 20, 50 or 100
	Class        Class
	Seal         Colour // colour of the Treasury seal
	Series       Series
	NoLetter     bool // someone has looked: no small letter follows the year

	Prefix    string          // letters before the digits, none, one or two
	Digits    patterns.Digits // means something only when Whole
	Whole     bool            // all eight digits were read
	Suffix    byte            // letter behind the digits
	Star      bool
	StarFront bool   // the star stands before the digits
	Second    string // the other serial of the same note, as typed

	SealLetter byte // bank letter in the round seal, or of a mark such as L12
	Corner     int  // district number at the corners, 1 to 12
	FW         Facility
	Web        bool // taken for a web-press note
}
