package reading

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"io"
	"sync/atomic"

	"app/unband/patterns"
	"app/unband/triage"
	"app/unband/triage/listing"
)

// A judge turns lines into results. All workers share it.
type judge struct {
	Options
	stopper atomic.Pointer[patterns.Stopper] // nil while the list is not yet worth one
	rules   map[patterns.ID]rule
	write   func(dst []byte, v *verdict) []byte
}

// A rule is what is told of a rule with every serial that meets it.
type rule struct {
	name  string
	count int // serials 1 to top
}

// A verdict is what is told of one line.
type verdict struct {
	input   []byte
	serial  triage.Serial
	digits  patterns.Digits
	judged  patterns.Judgement
	stop    bool
	notices []string
	judge   *judge
}

func newJudge(o Options) (*judge, error) {
	j := &judge{Options: o, rules: map[patterns.ID]rule{}}
	switch o.As {
	case Text, "":
		j.write = writeText
	case CSV:
		j.write = writeCSV
	case JSON:
		j.write = writeJSON
	default:
		return nil, &UsageError{fmt.Sprintf("there is no format %q: text, csv or json", o.As)}
	}
	if o.Top < 1 || o.Top >= patterns.Total {
		return nil, &UsageError{fmt.Sprintf("%d is no highest serial: 1 to 99999999", o.Top)}
	}
	if o.Count {
		return j, nil // no odds are told
	}
	for _, r := range o.Book.Rules() {
		j.rules[r.ID] = rule{name: r.Name, count: o.Book.Count(r.ID, o.Top)}
	}
	return j, nil
}

// size is how many bytes of lines a chunk has. What is told of a line is up to a hundred times as
// long as the line.
func (j *judge) size() int {
	if j.Count {
		return 256 << 10
	}
	return 32 << 10
}

// begin writes what stands before the lines, end what stands after them.
func (j *judge) begin(out io.Writer) error {
	if j.As != CSV || j.Count {
		return nil
	}
	_, err := out.Write(csvHeader())
	return err
}

func (j *judge) end(out io.Writer, sum Sum) error {
	if !j.Count {
		return nil
	}
	n := sum.Serials
	if j.Stops {
		n = sum.Stops
	}
	var err error
	switch j.As {
	case JSON:
		_, err = fmt.Fprintf(out, "{\"count\":%d,\"lines\":%d,\"serials\":%d,\"stops\":%d,\"bad\":%d}\n", n, sum.Lines, sum.Serials, sum.Stops, sum.Bad)
	case CSV:
		_, err = fmt.Fprintf(out, "count,lines,serials,stops,bad\n%d,%d,%d,%d,%d\n", n, sum.Lines, sum.Serials, sum.Stops, sum.Bad)
	default:
		_, err = fmt.Fprintln(out, n)
	}
	return err
}

// whole is the layout of a list whose lines are the serials.
var whole = listing.Plain()

// chunk judges the lines of a job.
func (j *judge) chunk(w *job) {
	list, answers := w.list, listing.Answers{}
	if list == nil {
		list = whole
	}
	if j.Zeros {
		answers.Zeros = listing.Yes
	}
	reader := list.Reader(answers)
	fast := j.Count && list.Layout().Separator == listing.Whole
	text := w.text
	for len(text) > 0 {
		line := text
		if end := bytes.IndexByte(text, '\n'); end >= 0 {
			line, text = text[:end], text[end+1:]
		} else {
			text = nil
		}
		w.lines++
		if fast {
			if d, ok := plain(line); ok { // the common line, read without looking twice
				j.count(w, d)
				continue
			}
		}
		j.line(w, reader, line)
	}
}

// count counts a serial of which no more is asked.
func (j *judge) count(w *job, d patterns.Digits) {
	w.sum.Lines++
	w.sum.Serials++
	if j.Stops && j.stops(d) {
		w.sum.Stops++
	}
}

// byteOrderMark is what some editors put before the first line of a file.
var byteOrderMark = []byte("\ufeff")

func (j *judge) line(w *job, reader *listing.Reader, line []byte) {
	if len(line) > longestLine {
		w.sum.Lines++
		j.refuse(w, fmt.Errorf("the line is longer than %d characters", longestLine))
		return
	}
	note, left := reader.Line(w.from+w.lines, string(line))
	switch {
	case note == nil && left == nil:
		w.sum.Blank++
		return
	case left != nil && left.Kind.Sure():
		w.sum.Aside++
		w.bad = append(w.bad, BadLine{w.lines, fmt.Errorf("left out, %s", left.Reason), true})
		return
	}
	w.sum.Lines++
	if left != nil {
		j.refuse(w, &triage.SerialError{Text: left.Text, Reason: left.Reason})
		return
	}
	d, ok := note.Serial.Whole()
	if !ok {
		j.refuse(w, &triage.SerialError{Text: note.Text, Reason: unread(note)})
		return
	}
	w.sum.Serials++
	stop := j.stops(d) || note.Serial.Star
	if stop {
		w.sum.Stops++
	}
	if j.Count || j.Stops && !stop {
		return
	}
	line = bytes.TrimSpace(bytes.TrimPrefix(line, byteOrderMark))
	w.out = j.write(w.out, &verdict{line, note.Serial, d, j.Book.Judge(d), stop, note.Notices(), j})
}

// unread says why a note has no serial.
func unread(n *listing.Note) string {
	switch {
	case n.Doubt == listing.UnreadDigits:
		return n.Reason + ": look at the note, nothing is guessed"
	case n.Short:
		return n.Reason + "; was a leading zero lost in a spreadsheet? --zeros puts it back"
	}
	return n.Reason
}

func (j *judge) stops(d patterns.Digits) bool {
	if s := j.stopper.Load(); s != nil {
		return s.Stops(d)
	}
	return j.Book.Stops(d, j.Watch)
}

// hurry makes the stopper, once, beside the workers: a list that has been long will go on.
func (j *judge) hurry() {
	go func() { j.stopper.Store(j.Book.Stopper(j.Watch)) }()
}

func (j *judge) refuse(w *job, err error) {
	w.sum.Bad++
	w.bad = append(w.bad, BadLine{w.lines, err, false})
}

// plain reads a line of at most two letters, exactly eight digits and at most a letter, as nearly
// every line of a list is. Any other line is left to the whole parser.
func plain(line []byte) (patterns.Digits, bool) {
	if n := len(line); n > 0 && line[n-1] == '\r' {
		line = line[:n-1]
	}
	for range 2 {
		if len(line) > 0 && 'A' <= line[0] && line[0] <= 'Z' && line[0] != 'O' {
			line = line[1:]
		}
	}
	switch len(line) {
	case patterns.Places:
	case patterns.Places + 1:
		if l := line[patterns.Places]; l < 'A' || 'Z' < l || l == 'O' {
			return 0, false
		}
	default:
		return 0, false
	}
	return eight(binary.LittleEndian.Uint64(line))
}

// eight reads eight characters at once; they lie in v in the order of the line. All are digits if
// each is 0x30 to 0x39. Pairs, then fours, then eight are put together by multiplication.
func eight(v uint64) (patterns.Digits, bool) {
	const high, zeros = 0xf0f0f0f0f0f0f0f0, 0x3030303030303030
	if v&high != zeros || (v+0x0606060606060606)&high != zeros {
		return 0, false
	}
	v -= zeros
	v = v*10 + v>>8
	const pairs = 0x000000ff000000ff
	v = (v&pairs*(100+1_000_000<<32) + v>>16&pairs*(1+10_000<<32)) >> 32
	return patterns.Digits(uint32(v)), true
}
