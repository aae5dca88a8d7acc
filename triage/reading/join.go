package reading

import (
	"bytes"
	"io"
	"sync"
)

// A Source is one list, with the name that messages give it.
type Source struct {
	Name  string
	In    io.Reader
	Plain bool // it is a serial by itself: no columns are looked for
}

// A Joined reads several lists one after the other and knows afterwards which line came from where.
type Joined struct {
	sources []Source

	mu     sync.Mutex
	index  int
	lines  int   // lines read of all sources
	starts []int // lines before each source begun so far
	open   bool  // the last byte read was not the end of a line
	from   int   // index of the source that was read last
	cr     bool  // its last byte was a CR, given as the end of a line: a LF belongs to it
}

// Join makes one list of several. The last line of each ends with it.
func Join(sources ...Source) *Joined { return &Joined{sources: sources, starts: []int{0}} }

// Read is io.Reader's. A CR that ends a line by itself is given as LF.
func (j *Joined) Read(p []byte) (int, error) {
	j.mu.Lock()
	defer j.mu.Unlock()
	if len(p) == 0 {
		return 0, nil
	}
	for j.index < len(j.sources) {
		n, err := j.sources[j.index].In.Read(p)
		got := n
		n = j.lineEnds(p[:got])
		if n < got && n == 0 && err == nil {
			continue // it was the LF of a line that had ended
		}
		j.from = j.index
		if n > 0 {
			j.lines += bytes.Count(p[:n], []byte{'\n'})
			j.open = p[n-1] != '\n'
		}
		if err != io.EOF {
			return n, err
		}
		if n > 0 {
			return n, nil
		}
		if j.open {
			j.open, p[0] = false, '\n'
			j.lines++
			return 1, nil
		}
		j.index++
		j.cr = false
		j.starts = append(j.starts, j.lines)
	}
	return 0, io.EOF
}

// lineEnds makes LF of each CR without one, in place, and gives the new length. A CR at the very end is
// taken for such a one; a LF that then comes first is dropped.
func (j *Joined) lineEnds(p []byte) int {
	if j.cr && len(p) > 0 {
		if p[0] == '\n' {
			p = p[:copy(p, p[1:])]
		}
		j.cr = false
	}
	for from := 0; ; {
		i := bytes.IndexByte(p[from:], '\r')
		if i < 0 {
			return len(p)
		}
		from += i + 1
		if from == len(p) {
			p[from-1], j.cr = '\n', true
			return len(p)
		}
		if p[from] != '\n' {
			p[from-1] = '\n'
		}
	}
}

// source gives the index of the list that was read from last.
func (j *Joined) source() int {
	j.mu.Lock()
	defer j.mu.Unlock()
	return j.from
}

// At says which list a line of the whole came from, and which line of it that was, from 1.
func (j *Joined) At(line int) (name string, number int) {
	j.mu.Lock()
	defer j.mu.Unlock()
	for i := min(len(j.starts), len(j.sources)) - 1; i >= 0; i-- {
		if j.starts[i] < line {
			return j.sources[i].Name, line - j.starts[i]
		}
	}
	return "", line
}

// Empty names the lists that were read to their end and had nothing in them, not one line.
func (j *Joined) Empty() (names []string) {
	j.mu.Lock()
	defer j.mu.Unlock()
	for i := range len(j.starts) - 1 {
		if j.starts[i+1] == j.starts[i] {
			names = append(names, j.sources[i].Name)
		}
	}
	return names
}
