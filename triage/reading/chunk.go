package reading

import (
	"bytes"
	"fmt"
	"io"
	"sync"
)

// longestLine is how long a line may be, in bytes. No list of serials has longer ones, and what is
// longer must not fill the memory.
const longestLine = 4096

// A job is a chunk of whole lines and what came of it.
type job struct {
	text []byte
	done chan struct{}

	lines int // in the chunk, blank ones too
	sum   Sum
	out   []byte
	bad   []BadLine
}

// free keeps jobs for use again: their buffers are the memory of a run.
var free = sync.Pool{New: func() any { return &job{done: make(chan struct{}, 1)} }}

func newJob(text []byte) *job {
	w := free.Get().(*job)
	w.text, w.lines, w.sum, w.out, w.bad = append(w.text[:0], text...), 0, Sum{}, w.out[:0], nil
	return w
}

// split reads chunks of about size bytes that end with a line, and hands them on until emit says no
// or the input ends.
func split(in io.Reader, size int, emit func(*job) bool) error {
	buf := make([]byte, 0, size+2*longestLine)
	skipping := false // inside a line that is too long
	for {
		n, err := in.Read(buf[len(buf):cap(buf)])
		buf = buf[:len(buf)+n]
		if skipping {
			buf, skipping = skip(buf)
		}
		end := bytes.LastIndexByte(buf, '\n') + 1
		switch {
		case err == io.EOF:
			end = len(buf)
		case err != nil:
			return fmt.Errorf("read the list: %w", err)
		case len(buf) < size && end > 0 && n > 0 && cap(buf)-len(buf) > longestLine:
			continue // room for more
		}
		if end == 0 && len(buf) > longestLine {
			// What is left of the line is enough to say that it is too long.
			buf = append(buf[:longestLine+1], '\n')
			end, skipping = len(buf), true
		}
		if end > 0 {
			if !emit(newJob(buf[:end])) {
				return nil
			}
			buf = append(buf[:0], buf[end:]...)
		}
		if err == io.EOF {
			return nil
		}
	}
}

// skip drops the rest of a line that is too long.
func skip(buf []byte) (rest []byte, skipping bool) {
	end := bytes.IndexByte(buf, '\n')
	if end < 0 {
		return buf[:0], true
	}
	return append(buf[:0], buf[end+1:]...), false
}
