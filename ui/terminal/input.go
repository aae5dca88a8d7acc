package terminal

import (
	"io"
	"os"
	"sync"
)

// Input is a terminal's keyboard, read through a translation that mends what
// bubbletea v1 misreads:
//   - A numeric keypad in application mode sends ESC O and a letter. bubbletea
//     makes alt+O and that letter of it, so a digit would be lost and a letter
//     typed. It becomes the digit, operator or Enter printed on the key; Home,
//     End and Begin become the sequences bubbletea knows.
//   - A sequence that is split over two reads is put together again. What never
//     gets its end is passed on after about 20 ms if a key can have sent it (a
//     lone Esc), else dropped after 0.3 s.
//   - A bracketed paste is cut at 4 KiB, and gets an end when it has been silent
//     for 0.3 s: an end marker that never comes would swallow every later key.
//   - Esc followed at once by another sequence is dropped.
//   - A mouse report of the old form is dropped, torn or whole: its last bytes
//     can be any character.
//   - A terminal's late answer to another program's question is dropped.
//
// Everything else is passed on byte for byte.
//
// Input embeds the file so that bubbletea still finds Fd and Name, and with them
// raw mode, cancelling and the window's size. On Windows bubbletea reads the
// console itself and never calls Read.
type Input struct {
	*os.File
	quit  func()
	once  sync.Once
	t     translator
	ready []byte // translated and not yet delivered
}

// NewInput returns an Input that reads from f. quit is called once, in the
// reading goroutine, when f ends or fails: bubbletea ignores an end of input,
// and would go on for ever without a terminal, with the file locked.
func NewInput(f *os.File, quit func()) *Input {
	return &Input{File: f, quit: quit}
}

// Read fills p with translated input. It may return 0 and no error when all that
// came is being held back and more is there to be read. At the end of the file,
// and after any failure, it returns io.EOF: anything else would make bubbletea
// call a closed terminal an error.
//
// It never fills p if that has 256 bytes, as bubbletea's has: bubbletea takes a
// full buffer for an unfinished one and keeps the last key until the next.
// Nor does it keep back translated bytes then: bubbletea waits for the file, not
// for Input, and would not come for them.
func (in *Input) Read(p []byte) (int, error) {
	if len(in.ready) > 0 {
		return in.deliver(p)
	}
	var raw [256]byte
	n, err := in.File.Read(raw[:readSize(len(p))])
	in.ready = append(in.ready, in.t.feed(raw[:n])...)
	if err != nil {
		return in.end(p)
	}
	if wait := in.t.patience(); wait > 0 && !readable(in.File, wait) {
		in.ready = append(in.ready, in.t.flush()...)
	}
	return in.deliver(p)
}

// readSize returns how much to read so that the translation fits into size
// bytes: all that is held back may come on top, or the end of a paste.
func readSize(size int) int {
	return min(256, max(1, size-1-heldMax-len(pasteEnd)))
}

func (in *Input) deliver(p []byte) (int, error) {
	n := copy(p, in.ready)
	in.ready = append(in.ready[:0], in.ready[n:]...)
	return n, nil
}

// end delivers what was held back, then reports the end.
func (in *Input) end(p []byte) (int, error) {
	in.ready = append(in.ready, in.t.flush()...)
	if len(in.ready) > 0 {
		return in.deliver(p)
	}
	in.once.Do(in.quit)
	return 0, io.EOF
}
