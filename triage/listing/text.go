package listing

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"app/unband/triage"
)

// The marks that some programs put before the first line of a file.
var (
	utf8Mark    = []byte("\ufeff")
	utf16Big    = []byte{0xFE, 0xFF}
	utf16Little = []byte{0xFF, 0xFE}
)

const saveAsUTF8 = "save it as CSV in UTF-8"

// isUTF16Text reports whether the beginning of a file is UTF-16: by its mark, or because one byte of
// each two is NUL.
func isUTF16Text(start []byte) bool {
	if bytes.HasPrefix(start, utf16Big) || bytes.HasPrefix(start, utf16Little) {
		return true
	}
	n := min(len(start), 64) &^ 1
	var nuls [2]int
	for i, b := range start[:n] {
		if b == 0 {
			nuls[i%2]++
		}
	}
	return n >= 4 && max(nuls[0], nuls[1]) > n/3 && min(nuls[0], nuls[1]) == 0
}

// readText reads and checks a whole text. What cannot be a list ends it at once, however much would
// follow.
func readText(in io.Reader) (*content, error) {
	var text strings.Builder
	check := checker{line: 1}
	buf := make([]byte, 64<<10)
	for {
		n, err := io.ReadFull(in, buf)
		chunk := buf[:n]
		if text.Len() == 0 {
			if isUTF16Text(chunk) {
				return nil, formatError(0, "it is UTF-16; "+saveAsUTF8)
			}
			chunk = bytes.TrimPrefix(chunk, utf8Mark)
		}
		if wrong := check.bytes(chunk); wrong != nil {
			return nil, wrong
		}
		if text.Len()+n > mostBytes {
			return nil, formatError(0, "it is larger than %s bytes; divide it", triage.Thousands(mostBytes))
		}
		text.Write(chunk)
		if err == io.EOF || err == io.ErrUnexpectedEOF {
			break
		}
		if err != nil {
			return nil, fmt.Errorf("read the list: %w", err)
		}
	}
	c := divide(text.String(), check.line)
	for i := range c.lines {
		if wrong := characters(c.line(i+1), i+1); wrong != nil {
			return nil, wrong
		}
	}
	return c, nil
}

// A checker looks at the bytes of a text as they come.
type checker struct {
	line   int  // number of the line it is in
	length int  // of that line so far
	cr     bool // the last byte was a CR, so that a LF belongs to it
}

func (c *checker) bytes(chunk []byte) error {
	for _, b := range chunk {
		after := c.cr
		c.cr = b == '\r'
		switch {
		case b == '\n' && after:
		case b == '\n' || b == '\r':
			c.line++
			c.length = 0
			if c.line > mostLines+1 {
				return formatError(0, "it has more than %s lines; divide it", triage.Thousands(mostLines))
			}
		case b == 0:
			return nulBytes(c.line)
		case c.length == LongestLine:
			return lineTooLong(c.line)
		default:
			c.length++
		}
	}
	return nil
}

// divide finds the lines of a text that has about so many.
func divide(text string, about int) *content {
	c := &content{text: text, lines: make([]span, 0, about)}
	for from := 0; from < len(text); {
		end := strings.IndexAny(text[from:], "\r\n")
		if end < 0 {
			c.lines = append(c.lines, span{uint32(from), uint32(len(text))})
			break
		}
		end += from
		c.lines = append(c.lines, span{uint32(from), uint32(end)})
		from = end + 1
		if text[end] == '\r' && from < len(text) && text[from] == '\n' {
			from++
		}
	}
	return c
}

// characters says what in a line no list has. A tab is between columns, a form feed between pages.
func characters(line string, number int) error {
	plain := true
	for i := range len(line) {
		b := line[i]
		if b < ' ' && b != '\t' && b != '\f' || b == 0x7f {
			return controls(number, rune(b))
		}
		plain = plain && b < utf8.RuneSelf
	}
	if plain {
		return nil
	}
	for i, r := range line {
		if r == utf8.RuneError && !strings.HasPrefix(line[i:], "\ufffd") {
			return formatError(number, "is not UTF-8; "+saveAsUTF8)
		}
		if 0x80 <= r && r <= 0x9f {
			return controls(number, r)
		}
	}
	return nil
}

// controls says which control character a line has, by its number in Unicode.
func controls(number int, r rune) error {
	name := fmt.Sprintf("%U", r)
	if r == 0x1b {
		name = "escape, " + name
	}
	return formatError(number, "has control characters (%s); take them out, or save the list as plain text", name)
}

func nulBytes(line int) error {
	return formatError(line, "has NUL bytes, which no text has; if it is UTF-16, "+saveAsUTF8)
}

func lineTooLong(line int) error {
	return formatError(line, "is longer than %s bytes; give a list with one note a line", triage.Thousands(LongestLine))
}
