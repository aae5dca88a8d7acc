package stars

import (
	"bytes"
	"cmp"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"app/unband/triage"
)

// Bounds of an import, so that no file can fill the memory. No published list comes near them.
const (
	longestLine  = 4096    // bytes
	mostLines    = 200_000 // of a file
	mostRuns     = 20_000  // new ones of a file
	mostRefusals = 1000    // told with their reason; the others are counted
	headerWithin = 20      // lines before and with the header
)

// A Result says what came of an import.
type Result struct {
	Runs    []Run // new ones, in the order of the file
	Known   int   // runs that were known already, from before or from an earlier line
	Richer  []Run // of Known: runs of which the file says more than was known, as they are now
	Regular int   // lines skipped because they are not of star notes
	// FirstRegular is the first of these lines, 0 when there is none.
	FirstRegular int
	Divided      int // lines that filled slots to their end and became one run for each slot

	Refused []Refusal // the first of the lines that did not come in
	More    int       // lines refused beyond those
}

// A Refusal is a line that did not come in.
type Refusal struct {
	Line   int    // from 1, as an editor counts
	Reason string // in plain words, safe on any terminal
}

// String gives "line 7: …".
func (r Refusal) String() string { return fmt.Sprintf("line %d: %s", r.Line, r.Reason) }

// A FormatError says why a file as a whole is not a list of runs. Nothing of it came in.
type FormatError struct{ Reason string }

func (e *FormatError) Error() string { return "this is not a list of runs: " + e.Reason }

func formatError(format string, args ...any) *FormatError {
	return &FormatError{fmt.Sprintf(format, args...)}
}

// ImportCSV reads a list of runs with the columns of the published monthly reports: denomination,
// series, from, to; and quantity, facility, month, bank letter and suffix where the list has them. The
// columns may come in any order, separated by commas, semicolons or tabs; the first line names them.
// Cells may be quoted, but not go over a line.
//
// Good lines come in. Lines that are impossible, or overlap a known run or an earlier line, are refused
// one by one, with the reason. A run that is known already changes nothing, so importing a file twice
// changes nothing. Listed is the date of the list, zero when it is not known.
//
// The error is a *FormatError, or one of reading; nothing came in then.
func ImportCSV(in io.Reader, listed time.Time, known []Run) (Result, error) {
	imp := &importer{list: NewList(known), listed: listed, lines: map[Run]int{}}
	lines, err := newLines(in)
	if err != nil {
		return Result{}, err
	}
	for {
		line, err := lines.next()
		switch {
		case err == io.EOF && imp.columns == nil:
			return Result{}, formatError("no line names the columns denomination, series, from and to")
		case err == io.EOF:
			return imp.result, nil
		case err != nil:
			return Result{}, fmt.Errorf("read the list of runs: %w", err)
		case lines.number > mostLines:
			return Result{}, formatError("it has more than %s lines: divide it", triage.Thousands(mostLines))
		}
		if imp.columns == nil {
			err = imp.header(line, lines)
		} else {
			err = imp.take(line, lines.number)
		}
		if err != nil {
			return Result{}, err
		}
	}
}

// An importer takes lines in.
type importer struct {
	list    *List
	listed  time.Time
	comma   rune
	columns columns     // nil before the header
	width   int         // of the header, in cells
	lines   map[Run]int // where the runs of this file stand
	result  Result
}

// header looks for the names of the columns in the first lines.
func (imp *importer) header(line []byte, lines *lines) error {
	switch {
	case lines.tooLong:
		return formatError("line %d is longer than %s bytes", lines.number, triage.Thousands(longestLine))
	case bytes.IndexByte(line, 0) >= 0:
		return formatError("line %d has NUL bytes; if it is UTF-16, save it as CSV in UTF-8", lines.number)
	case lines.number > headerWithin:
		return formatError("none of the first %d lines names the columns denomination, series, from and to", headerWithin)
	}
	for _, comma := range []rune{',', ';', '\t'} {
		cells, err := split(line, comma)
		if err != nil {
			continue
		}
		found, err := readHeader(cells)
		if !found.complete() || len(found) <= len(imp.columns) {
			continue
		}
		if err != nil {
			return &FormatError{err.Error()}
		}
		imp.columns, imp.comma, imp.width = found, comma, len(cells)
	}
	return nil
}

// take takes one line in, or refuses it. The error ends the import.
func (imp *importer) take(line []byte, number int) error {
	runs, regular, err := imp.read(line)
	switch {
	case err != nil:
		imp.refuse(number, err.Error())
	case regular:
		imp.result.Regular++
		imp.result.FirstRegular = cmp.Or(imp.result.FirstRegular, number)
	default:
		imp.add(runs, number)
	}
	if len(imp.result.Runs) > mostRuns {
		return formatError("it has more than %s runs: divide it", triage.Thousands(mostRuns))
	}
	return nil
}

func (imp *importer) refuse(line int, reason string) {
	if len(imp.result.Refused) == mostRefusals {
		imp.result.More++
		return
	}
	imp.result.Refused = append(imp.result.Refused, Refusal{line, reason})
}

// read gives the runs of a line: none for a blank one, several where it goes over slots. Regular says
// that it is not of star notes.
func (imp *importer) read(line []byte) (runs []Run, regular bool, err error) {
	switch {
	case len(line) > longestLine:
		return nil, false, fmt.Errorf("it is longer than %s bytes", triage.Thousands(longestLine))
	case bytes.IndexByte(line, 0) >= 0:
		return nil, false, errors.New("it has NUL bytes, which no text has")
	}
	cells, err := split(line, imp.comma)
	if err != nil {
		return nil, false, err
	}
	for len(cells) > imp.width && cells[len(cells)-1] == "" {
		cells = cells[:len(cells)-1]
	}
	if len(cells) > imp.width {
		return nil, false, fmt.Errorf("it has %d cells, the header names %d: a number with commas needs quotes around it", len(cells), imp.width)
	}
	if !slices.ContainsFunc(cells, func(c string) bool { return c != "" }) {
		return nil, false, nil
	}
	r, regular, err := imp.columns.run(cells)
	if err != nil || regular {
		return nil, regular, err
	}
	r.Listed = imp.listed
	return r.Split(), false, nil
}

// add puts the runs of a line into the list, all or none.
func (imp *importer) add(runs []Run, line int) {
	var fresh []Run
	for _, r := range runs {
		known, err := imp.list.has(r)
		if err != nil {
			imp.refuse(line, imp.explain(err))
			return
		}
		if !known {
			fresh = append(fresh, r)
			continue
		}
		if before, after := imp.list.Enrich(r); after != before {
			imp.result.Richer = append(imp.result.Richer, after)
		}
	}
	for _, r := range fresh {
		imp.list.insert(r)
		imp.lines[r] = line
	}
	imp.result.Runs = append(imp.result.Runs, fresh...)
	imp.result.Known += len(runs) - len(fresh)
	if len(runs) > 1 {
		imp.result.Divided++
	}
}

// explain says also where the run stands that another one clashes with.
func (imp *importer) explain(err error) string {
	var clash *ClashError
	if !errors.As(err, &clash) {
		return err.Error()
	}
	if line := imp.lines[clash.Known]; line > 0 {
		return fmt.Sprintf("%s (line %d)", clash.Reason, line)
	}
	return clash.Reason + " (known from before)"
}

// split gives the cells of a line, without the blanks around them.
func split(line []byte, comma rune) ([]string, error) {
	if len(bytes.TrimSpace(line)) == 0 {
		return nil, nil
	}
	r := csv.NewReader(bytes.NewReader(line))
	r.Comma, r.FieldsPerRecord = comma, -1
	r.TrimLeadingSpace = comma != '\t' // it would swallow blank cells between tabs
	cells, err := r.Read()
	if err != nil {
		return nil, errors.New("its quotes do not match; a cell cannot go over a line")
	}
	for i, c := range cells {
		cells[i] = strings.TrimSpace(c)
	}
	return cells, nil
}

// Sentences says what came of the import in plain words.
func (r Result) Sentences() []string {
	said := []string{fmt.Sprintf("%s came in, %s known already.", count(len(r.Runs), "new run"), triage.Thousands(r.Known))}
	if len(r.Richer) > 0 {
		said = append(said, fmt.Sprintf("Of %s more is known now than before.", count(len(r.Richer), "known run")))
	}
	if r.Divided > 0 {
		said = append(said, fmt.Sprintf("%s more than a slot of %s numbers and became one run for each slot.",
			count(r.Divided, "line has", "lines have"), triage.Thousands(slotNumbers)))
	}
	if r.Regular > 0 {
		said = append(said, fmt.Sprintf("%s skipped: not of star notes (the first is line %d).", count(r.Regular, "line was", "lines were"), r.FirstRegular))
	}
	for _, refused := range r.Refused {
		said = append(said, "Refused, "+refused.String()+".")
	}
	if r.More > 0 {
		said = append(said, fmt.Sprintf("Refused, %s.", count(r.More, "more line")))
	}
	return said
}

// count gives a number with its word; the plural takes an s when none is given.
func count(n int, words ...string) string {
	if n == 1 {
		return "1 " + words[0]
	}
	many := words[0] + "s"
	if len(words) > 1 {
		many = words[1]
	}
	return triage.Thousands(n) + " " + many
}
