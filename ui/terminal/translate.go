package terminal

import (
	"time"
	"unicode/utf8"
)

const (
	// pasteCap is the most bytes of one bracketed paste that are passed on; the
	// rest is dropped. bubbletea v1 keeps a paste in one growing buffer and scans
	// all of it again for every 256 bytes, so a megabyte stops the screen for
	// seconds. Nothing the screens accept comes near this size.
	pasteCap = 4096

	// heldMax bounds what is kept back while waiting for the end of a sequence.
	// The longest sequence of use, a colour report, has 25 bytes.
	heldMax = 64

	// tornWait is how long a lone ESC, ESC O or ESC [ is kept back for the rest
	// of its sequence. A person cannot press two keys within it; a terminal
	// writes a whole sequence at once.
	tornWait = 20 * time.Millisecond

	// quietWait is how long a sequence that no key press starts by itself is
	// kept back, and how long an open paste may be silent before it is taken to
	// have lost its end. It stays below the 500 ms that bubbletea waits for its
	// reader when it releases the terminal.
	quietWait = 300 * time.Millisecond
)

const (
	pasteStart = "\x1b[200~"
	pasteEnd   = "\x1b[201~"
)

// state says what the bytes held back by a translator have to become.
type state int

const (
	ground state = iota // nothing is held back
	rune8               // a UTF-8 character begun
	esc                 // ESC
	ss3                 // ESC O
	csi                 // ESC [ and parameters
	linux               // ESC [ [, a function key of the Linux console
	report              // ESC ] or ESC P: a terminal's answer, up to BEL or ESC \
	mouse               // ESC [ M: the three characters of a mouse report follow
	paste               // inside a bracketed paste
)

// translator rewrites what a terminal sends into what bubbletea v1 can read
// (see Input for the rules). It does no input itself: feed takes bytes as they
// come, flush is called when nothing came for as long as patience says.
// Splitting the same bytes over several feeds does not change the output.
type translator struct {
	state  state
	held   []byte // kept back: the beginning of a sequence, or of a paste's end
	lost   bool   // the sequence outgrew heldMax and will be dropped
	pasted int    // bytes of the open paste passed on
	closed bool   // the open paste reached pasteCap and its end was supplied
	out    []byte
}

// feed takes in and returns what can be passed on now. The result is valid until
// the next call.
func (t *translator) feed(in []byte) []byte {
	t.out = t.out[:0]
	for _, b := range in {
		// step says false when b ended what was held back but does not belong to
		// it: then b starts something new. Every state but paste then is ground.
		for !t.step(b) {
		}
	}
	return t.out
}

// step takes one byte. It returns false if the byte was not taken.
func (t *translator) step(b byte) bool {
	switch t.state {
	case rune8:
		return t.stepRune(b)
	case esc:
		return t.stepEsc(b)
	case ss3:
		return t.stepSS3(b)
	case csi:
		return t.stepCSI(b)
	case linux:
		t.hold(b)
		t.release()
		return true
	case report:
		return t.stepReport(b)
	case mouse:
		return t.stepMouse(b)
	case paste:
		return t.stepPaste(b)
	}
	switch {
	case b == 0x1b:
		t.state = esc
		t.hold(b)
	case b >= utf8.RuneSelf:
		t.state = rune8
		return t.stepRune(b)
	default:
		t.out = append(t.out, b)
	}
	return true
}

// stepRune keeps a character's bytes together: bubbletea reports half a
// character as an unknown byte.
func (t *translator) stepRune(b byte) bool {
	if b < utf8.RuneSelf {
		t.release()
		return false
	}
	t.hold(b)
	if utf8.FullRune(t.held) {
		t.release()
	}
	return true
}

func (t *translator) stepEsc(b byte) bool {
	switch b {
	case 'O':
		t.state = ss3
	case '[':
		t.state = csi
	case ']', 'P':
		t.state = report
	case 0x1b:
		// Of two, the second may begin a sequence, and bubbletea would take both
		// for alt+Esc and the rest of the sequence for typed characters.
		return true
	default:
		t.hold(b) // alt and a key
		t.release()
		return true
	}
	t.hold(b)
	return true
}

// keypad has what the keys of a numeric keypad in application mode (DECKPAM)
// send after ESC O, and the plain byte each stands for: VT220 Programmer
// Reference Manual, table 3-8, and XTerm Control Sequences, "VT220-Style
// Function Keys" (for X, and for j, k and o, which the VT220 has not).
var keypad = map[byte]byte{
	'p': '0', 'q': '1', 'r': '2', 's': '3', 't': '4',
	'u': '5', 'v': '6', 'w': '7', 'x': '8', 'y': '9',
	'j': '*', 'k': '+', 'l': ',', 'm': '-', 'n': '.', 'o': '/',
	'M': '\r', 'X': '=',
}

func (t *translator) stepSS3(b byte) bool {
	if plain, ok := keypad[b]; ok {
		t.drop()
		t.out = append(t.out, plain)
		return true
	}
	switch b {
	case 'H', 'F', 'E':
		// Home, End and Begin: bubbletea knows only the form with ESC [.
		t.drop()
		t.out = append(t.out, 0x1b, '[', b)
		return true
	case 'A', 'B', 'C', 'D', 'P', 'Q', 'R', 'S':
		t.hold(b) // arrows and F1 to F4: bubbletea knows these
		t.release()
		return true
	}
	t.release() // it was alt+O, and b is a key of its own
	return false
}

func (t *translator) stepCSI(b byte) bool {
	last := t.held[len(t.held)-1]
	intermediate := last >= 0x20 && last <= 0x2f
	switch {
	case b == '[' && len(t.held) == 2 && !t.lost:
		t.state = linux
		t.hold(b)
	case b >= 0x30 && b <= 0x3f && !intermediate, b >= 0x20 && b <= 0x2f:
		t.hold(b)
	case b >= 0x40 && b <= 0x7e:
		t.hold(b)
		t.endCSI()
	default:
		// A control character, or a parameter after an intermediate byte (rxvt
		// ends Shift+Home with "$"): the sequence is over, b is not part of it.
		t.release()
		return false
	}
	return true
}

// endCSI passes on a complete control sequence and sees a paste begin, or a mouse report of the old form.
func (t *translator) endCSI() {
	if string(t.held) == "\x1b[M" {
		t.state = mouse
		return
	}
	begins := string(t.held) == pasteStart
	t.release()
	if begins {
		t.state, t.pasted, t.closed = paste, 0, false
	}
}

// stepMouse drops a mouse report of the old form, whose button and place are three characters from the space on: each
// a byte or, in another mode, one of UTF-8 (XTerm Control Sequences, "Mouse Tracking"). unband never asks for such
// reports, but a program that ran earlier may have, and bubbletea takes one that is torn for typed characters: "-" and
// "+" among them would decide notes.
func (t *translator) stepMouse(b byte) bool {
	const whole = 6                                              // with ESC [ M
	first := func(b byte) bool { return b >= 0xc2 && b <= 0xdf } // of two bytes of UTF-8
	last := &t.held[len(t.held)-1]
	second := first(*last) && b >= 0x80 && b <= 0xbf
	if b < ' ' || len(t.held) == whole && !second {
		t.drop()
		return false
	}
	if second {
		*last = b
	} else {
		t.hold(b)
	}
	if len(t.held) == whole && !first(t.held[whole-1]) {
		t.drop()
	}
	return true
}

// stepReport drops a terminal's answer to a question which an earlier program
// asked (colour, version): bubbletea would read its digits as typed ones. Without
// the end that an answer has, the bytes were keys (alt+P or alt+] and what was
// typed after it in one burst) and are passed on.
func (t *translator) stepReport(b byte) bool {
	if t.held[len(t.held)-1] == 0x1b {
		if b == '\\' {
			t.drop()
			return true
		}
		// ESC begins another sequence; what came before was none.
		t.held = t.held[:len(t.held)-1]
		t.release()
		t.state = esc
		t.hold(0x1b)
		return false
	}
	switch {
	case b == 0x07:
		t.drop()
	case b == 0x1b && len(t.held) == 2:
		t.release() // alt+] or alt+P, then a new sequence
		return false
	case b < 0x20 && b != 0x1b, len(t.held) == heldMax:
		t.release()
		return false
	default:
		t.hold(b)
	}
	return true
}

// stepPaste passes on at most pasteCap bytes between the markers.
func (t *translator) stepPaste(b byte) bool {
	if b == pasteEnd[len(t.held)] {
		t.hold(b)
		if len(t.held) == len(pasteEnd) {
			t.endPaste()
		}
		return true
	}
	if len(t.held) > 0 {
		t.addPasted(t.held...) // it only looked like the end
		t.held = t.held[:0]
		return false
	}
	t.addPasted(b)
	return true
}

func (t *translator) addPasted(bs ...byte) {
	for _, b := range bs {
		if t.closed {
			return
		}
		t.out = append(t.out, b)
		if t.pasted++; t.pasted == pasteCap {
			// The end is supplied now rather than at the paste's own end, so
			// that bubbletea's buffer is empty while the rest goes by.
			t.out = append(t.out, pasteEnd...)
			t.closed = true
		}
	}
}

func (t *translator) endPaste() {
	if !t.closed {
		t.out = append(t.out, pasteEnd...)
	}
	t.drop()
}

// hold keeps b back. Bytes beyond heldMax are not kept; the sequence is then
// dropped whole when it ends.
func (t *translator) hold(b byte) {
	if len(t.held) == heldMax {
		t.lost = true
		t.held[heldMax-1] = b // stepCSI looks at the last byte
		return
	}
	t.held = append(t.held, b)
}

// release passes on what is held back, as it came.
func (t *translator) release() {
	if !t.lost {
		t.out = append(t.out, t.held...)
	}
	t.drop()
}

// drop forgets what is held back.
func (t *translator) drop() {
	t.state, t.held, t.lost = ground, t.held[:0], false
}

// patience returns how long the next byte may take before flush is due, 0 if
// nothing is waited for.
func (t *translator) patience() time.Duration {
	switch {
	case t.state == ground:
		return 0
	case t.state == paste, len(t.held) > 2: // more than a key with alt sends
		return quietWait
	}
	return tornWait
}

// flush gives up waiting: it returns what the bytes held back mean if nothing
// follows them. The result is valid until the next call.
func (t *translator) flush() []byte {
	t.out = t.out[:0]
	switch {
	case t.state == paste:
		t.held = t.held[:0]
		t.endPaste()
	case t.state == csi && len(t.held) > 2, t.state == mouse:
		t.drop() // its parameters would be read as typed digits
	default:
		t.release()
	}
	return t.out
}
