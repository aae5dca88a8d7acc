package stars

import (
	"bufio"
	"bytes"
	"io"
)

// lines reads a text line by line, ended by LF, CR LF or CR, and holds no more of a line than it needs
// to say that the line is too long.
type lines struct {
	in      *bufio.Reader
	buf     []byte
	number  int  // of the line read last, from 1
	tooLong bool // the line read last
}

// newLines looks at the first bytes: a byte order mark is passed over, and UTF-16 is refused.
func newLines(in io.Reader) (*lines, error) {
	l := &lines{in: bufio.NewReader(in), buf: make([]byte, 0, longestLine+1)}
	mark, _ := l.in.Peek(3) // an error comes again at the first line
	switch {
	case bytes.HasPrefix(mark, []byte{0xFE, 0xFF}), bytes.HasPrefix(mark, []byte{0xFF, 0xFE}):
		return nil, formatError("it is UTF-16; save it as CSV in UTF-8")
	case bytes.Equal(mark, []byte{0xEF, 0xBB, 0xBF}):
		_, _ = l.in.Discard(3)
	}
	return l, nil
}

// next gives the next line, good until the one after, or io.EOF. Of a line that is too long it gives
// one byte more than may be.
func (l *lines) next() ([]byte, error) {
	l.buf, l.tooLong = l.buf[:0], false
	for read := 0; ; read++ {
		b, err := l.in.ReadByte()
		if err == io.EOF && read > 0 {
			break
		}
		if err != nil {
			return nil, err
		}
		if b == '\n' || b == '\r' && l.end() {
			break
		}
		if len(l.buf) <= longestLine {
			l.buf = append(l.buf, b)
		}
	}
	l.number++
	l.tooLong = len(l.buf) > longestLine
	return l.buf, nil
}

// end passes over the LF behind a CR. A CR ends a line with or without it.
func (l *lines) end() bool {
	if b, err := l.in.Peek(1); err == nil && b[0] == '\n' {
		_, _ = l.in.Discard(1)
	}
	return true
}
