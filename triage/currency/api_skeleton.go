package currency

import (
	"errors"

	"app/unband/patterns"
)

// Skeleton: signatures first so that callers can be written; each moves to a file of its own.

// ParseSeries reads a series.
func ParseSeries(text string) (Series, error) { return Series{}, errors.New("not read yet") }

// Compare orders series.
func (s Series) Compare(t Series) int { return 0 }

// Syntax looks at the letters and the star of a serial.
func Syntax(n Note) []Remark { return nil }

// Check looks at everything that was said about a note.
func Check(n Note) []Remark { return nil }

// A Choice is a series to choose.
type Choice struct {
	Series Series
	Doubt  string // why to look again before it is taken; empty when nothing speaks against it
}

// Suggest offers the series that fit what was typed.
func Suggest(denomination int, prefix, typed string, last Series) []Choice { return nil }

// Decided gives the series when only one is left and nothing speaks against it.
func Decided(choices []Choice) (Series, bool) { return Series{}, false }

// Old reports whether a series is older than the limit.
func Old(s, limit Series) bool { return false }

// DefaultOldLimit is the series before which a note counts as old unless the user says otherwise.
func DefaultOldLimit(denomination int) Series { return Series{} }

// WebPress says whether a note may come from the web press.
func WebPress(n Note) (candidate, inListedRange bool, tells []string, text string) { return }

// Position gives the place on a sheet of 32.
func Position(d patterns.Digits) (position string, quadrant int) { return "", 0 }

// A TwinState says where a note stands among the twice-printed stars.
type TwinState uint8

// The twin states.
const (
	NoTwin TwinState = iota
	TwicePrinted
	FortWorthOnly
)

// Twin says where a note stands.
func Twin(n Note) TwinState { return NoTwin }
