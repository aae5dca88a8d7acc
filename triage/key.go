package triage

// A KeyKind is what a key of the strap screen means, whatever it is called on the keyboard.
type KeyKind uint8

// The kinds of key.
const (
	KeyRune     KeyKind = iota + 1 // a character of the serial: Rune
	KeyKeep                        // keep the note
	KeySpend                       // spend the note
	KeyBack                        // to the note before
	KeyMove                        // by N notes, while gone back
	KeyEnter                       // answer a question; never decides a note
	KeyErase                       // take back a character
	KeyClear                       // take back all of them
	KeyClose                       // close a session
	KeyTakeOut                     // take the last decided note out again
	KeySetAside                    // set a suspected counterfeit aside, or lay a note of another denomination apart
	KeyOneByOne                    // sort the strap note by note, whatever was taken in of it

	keyKinds = iota + 1 // how many there are, 0 included
)

// A Key is one key press.
type Key struct {
	Kind KeyKind
	Rune rune // of KeyRune
	N    int  // of KeyMove
}

// key is the key that gives the decision.
func (d Decision) key() KeyKind {
	switch d {
	case Keep:
		return KeyKeep
	case SetAside, LaidApart:
		return KeySetAside
	case NotThere:
		return KeyTakeOut
	}
	return KeySpend
}
