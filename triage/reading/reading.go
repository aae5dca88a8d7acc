// Package reading judges serials by the line: a list comes in, and for each line what its eight
// digits say goes out, as text, CSV or JSON, or only how many there are.
//
// A list may have columns, as counting machines and spreadsheets write them: the layout is found by the
// first lines, as package listing has it. A list is not held, so that serials that come twice are not
// noticed, nor what needs an answer: only package listing does that.
//
// Lines are judged on all processors and leave in the order they came. Memory stays the same
// whatever the length of the list. A line that is no serial is reported with its number and does
// not end the run; nothing is cut and nothing filled up to make it one.
package reading

import (
	"fmt"
	"io"
	"runtime"

	"app/unband/patterns"
)

// A Format is what goes out.
type Format string

// The formats.
const (
	Text Format = "text"
	CSV  Format = "csv"
	JSON Format = "json"
)

// Options says what is judged and what is told of it.
type Options struct {
	Book  *patterns.Book
	Watch patterns.Watch
	Top   patterns.Digits // the highest serial the odds are counted under
	As    Format
	Stops bool // only serials that would stop a sorter
	Count bool // only how many there are
	Layouts

	// Bad is told of each line that is no serial, in order. It may be nil.
	Bad func(BadLine)
	// Found is told once of each list in columns which one was taken, and a line of that list. It may be nil.
	Found func(column string, line int)
	// Progress is told now and then how many lines have been judged. It may be nil.
	Progress func(lines int)
}

// A BadLine is a line that is no serial.
type BadLine struct {
	Number int // of the line, from 1
	Err    error
	Aside  bool // it can be no note: a header, a totals line, a heading
}

// A UsageError says which option cannot be used.
type UsageError struct{ Reason string }

func (e *UsageError) Error() string { return e.Reason }

// A Sum says how a run went.
type Sum struct {
	Lines   int // not counting blank ones
	Serials int
	Stops   int // serials that would stop a sorter
	Bad     int // lines that are no serial and may be a note
	Aside   int // lines that can be no note
	Blank   int // lines that say nothing
}

// Read judges every line of in and writes what is asked for to out. The error is one of reading or
// writing, a *listing.FormatError where a list is no text, or a *UsageError; bad lines are none.
func Read(in io.Reader, out io.Writer, o Options) (Sum, error) {
	j, err := newJudge(o)
	if err != nil {
		return Sum{}, err
	}
	if err := j.begin(out); err != nil {
		return Sum{}, err
	}
	sum, err := run(in, out, j)
	if err != nil {
		return sum, err
	}
	return sum, j.end(out, sum)
}

// worthStopper is how many lines a list must have had for a patterns.Stopper to be made.
const worthStopper = 500_000

// run has workers judge chunks of lines while their results are written in order.
func run(in io.Reader, out io.Writer, j *judge) (Sum, error) {
	workers := runtime.GOMAXPROCS(0)
	todo, inOrder := make(chan *job, workers), make(chan *job, workers)
	stop := make(chan struct{})
	readErr := make(chan error, 1)
	for range workers {
		go func() {
			for w := range todo {
				j.chunk(w)
				w.done <- struct{}{}
			}
		}()
	}
	emit := func(w *job) bool {
		select {
		case inOrder <- w:
			todo <- w
			return true
		case <-stop:
			return false
		}
	}
	joined, ok := in.(*Joined)
	if !ok {
		joined = Join(Source{In: in})
	}
	go func() {
		s := splitter{in: joined, size: j.size(), Layouts: j.Layouts, emit: emit, source: -1}
		readErr <- s.run()
		close(todo)
		close(inOrder)
	}()

	var sum Sum
	var writeErr error
	first := 0 // lines before the chunk
	for w := range inOrder {
		<-w.done
		if writeErr != nil {
			continue
		}
		if w.told != "" && j.Found != nil {
			j.Found(w.told, first+1)
		}
		for _, bad := range w.bad {
			bad.Number += first
			if j.Bad != nil {
				j.Bad(bad)
			}
		}
		first += w.lines
		if before := sum.Lines; before < worthStopper && before+w.sum.Lines >= worthStopper {
			j.hurry()
		}
		sum = sum.plus(w.sum)
		if _, writeErr = out.Write(w.out); writeErr != nil {
			writeErr = fmt.Errorf("write what was read: %w", writeErr)
			close(stop)
		}
		if j.Progress != nil {
			j.Progress(sum.Lines)
		}
		free.Put(w)
	}
	if writeErr != nil {
		return sum, writeErr
	}
	return sum, <-readErr
}

func (s Sum) plus(t Sum) Sum {
	return Sum{s.Lines + t.Lines, s.Serials + t.Serials, s.Stops + t.Stops, s.Bad + t.Bad, s.Aside + t.Aside, s.Blank + t.Blank}
}
