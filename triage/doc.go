// Package triage holds what a sorter of paper money knows and decides: sessions, straps and notes,
// the serial as it is typed, the pause before a decision counts, the re-read of a near miss, the
// strap from its first note to its last, and the second look.
//
// The package is told the time and never reads a clock; it opens no file and draws nothing. What
// must be said to the person comes out as a Notice, which the screen puts into words; what must be
// stored comes out as a Note, which counts as decided only when the store has said so.
package triage
