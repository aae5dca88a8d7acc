package reading

import (
	"bytes"
	"fmt"
	"io"
	"sync"

	"app/unband/triage/listing"
)

// longestLine is how long a line may be, in bytes. No list of serials has longer ones, and what is
// longer must not fill the memory.
const longestLine = listing.LongestLine

// A job is a chunk of whole lines and what came of it.
type job struct {
	text []byte
	done chan struct{}
	list *listing.List // its layout; nil where the line is the serial
	told string        // the first of a list in columns: which one was taken
	from int           // lines before it in its list, for a list in columns

	lines int // in the chunk, blank ones too
	sum   Sum
	out   []byte
	bad   []BadLine
}

// free keeps jobs for use again: their buffers are the memory of a run.
var free = sync.Pool{New: func() any { return &job{done: make(chan struct{}, 1)} }}

func newJob(text []byte) *job {
	w := free.Get().(*job)
	w.text = append(w.text[:0], text...)
	w.list, w.told, w.from = nil, "", 0
	w.lines, w.sum, w.out, w.bad = 0, Sum{}, w.out[:0], nil
	return w
}

// A splitter makes jobs of lists.
type splitter struct {
	in   *Joined
	size int // of a chunk, in bytes
	Layouts
	emit func(*job) bool // says no when no more is wanted

	source int           // the list that lines are read of, -1 before the first
	begun  bool          // its layout is known
	list   *listing.List // the layout; nil where the line is the serial
	lines  int           // read of a list in columns
}

// run reads chunks that end with a line, and hands them on until emit says no or the input ends.
func (s *splitter) run() error {
	buf := make([]byte, 0, s.size+2*longestLine)
	skipping := false // inside a line that is too long
	for {
		before := len(buf)
		n, err := s.in.Read(buf[before:cap(buf)])
		buf = buf[:before+n]
		if skipping {
			buf, skipping = skip(buf)
		}
		if from := s.in.source(); n > 0 && from != s.source {
			// What stood before are the last lines of another list.
			if more, err := s.hand(buf[:before]); !more || err != nil {
				return err
			}
			buf = append(buf[:0], buf[before:]...)
			s.source, s.begun = from, false
		}
		end := bytes.LastIndexByte(buf, '\n') + 1
		switch {
		case err == io.EOF:
			end = len(buf)
		case err != nil:
			return fmt.Errorf("read the list: %w", err)
		case len(buf) < s.size && end > 0 && n > 0 && cap(buf)-len(buf) > longestLine:
			continue // room for more
		}
		if end == 0 && len(buf) > longestLine {
			// What is left of the line is enough to say that it is too long.
			buf = append(buf[:longestLine+1], '\n')
			end, skipping = len(buf), true
		}
		if more, err := s.hand(buf[:end]); !more || err != nil {
			return err
		}
		buf = append(buf[:0], buf[end:]...)
		if err == io.EOF {
			return nil
		}
	}
}

// hand makes a job of lines of one list. With the first of them it finds the layout.
func (s *splitter) hand(lines []byte) (more bool, err error) {
	if len(lines) == 0 {
		return true, nil
	}
	w := newJob(lines)
	if !s.begun {
		if s.list, err = s.layout(s.in.sources[s.source], lines); err != nil {
			return false, err
		}
		s.begun, s.lines = true, 0
		if s.list != nil {
			w.told = s.list.Said()
		}
	}
	if s.list != nil {
		w.list, w.from = s.list, s.lines
		s.lines += bytes.Count(lines, []byte{'\n'})
	}
	return s.emit(w), nil
}

// skip drops the rest of a line that is too long.
func skip(buf []byte) (rest []byte, skipping bool) {
	end := bytes.IndexByte(buf, '\n')
	if end < 0 {
		return buf[:0], true
	}
	return append(buf[:0], buf[end+1:]...), false
}
