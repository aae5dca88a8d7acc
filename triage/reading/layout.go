package reading

import (
	"bytes"
	"fmt"

	"app/unband/triage/listing"
)

// Layouts says what a person says of the layouts of lists.
type Layouts struct {
	Column int  // of the serials, from 1; 0 to find it
	Zeros  bool // leading zeros were lost in a spreadsheet: a cell of one to seven digits is filled up
}

// sample is how much of a list is looked at to find its layout, in bytes. A chunk is never smaller
// unless the list is.
const sample = 16 << 10

// layout finds the layout of a list by its first lines; nil is one serial a line.
func (o Layouts) layout(s Source, lines []byte) (*listing.List, error) {
	if len(lines) > sample {
		if end := bytes.LastIndexByte(lines[:sample], '\n') + 1; end > 0 {
			lines = lines[:end]
		}
	}
	if s.Plain || o.Column == 0 && allPlain(lines) {
		return nil, nil
	}
	list, err := listing.Begin(lines)
	if err != nil {
		return nil, named(s, err)
	}
	if o.Column == 0 {
		return list, nil
	}
	list = list.ByColumn(o.Column - 1)
	if list.Layout().Column != o.Column-1 {
		return nil, named(s, &UsageError{fmt.Sprintf("there is no column %d: its lines have %d", o.Column, len(list.Columns()))})
	}
	return list, nil
}

// named says which list an error is about, if it has a name.
func named(s Source, err error) error {
	if s.Name == "" {
		return err
	}
	return fmt.Errorf("%s: %w", s.Name, err)
}

// allPlain reports whether every line is a serial as it is printed, as in most lists.
func allPlain(lines []byte) bool {
	for line := range bytes.Lines(lines) {
		if _, ok := plain(bytes.TrimSuffix(line, []byte{'\n'})); !ok {
			return false
		}
	}
	return true
}
