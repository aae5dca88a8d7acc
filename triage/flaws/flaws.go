// Package flaws knows what may be wrong with a note: the words for its condition, the defects that
// lower it, the errors of the press and how to tell them from damage, and what to be careful about.
//
// It names what one sees and what it is mistaken for. It never gives a verdict and never a price: the
// verdict belongs to someone who has the note in hand. What it knows stands in tables, each row with
// its source and how sure it is.
//
// The package is pure: no clock, no files, nothing global that changes. In every value zero means
// that nobody has said it. Numbers of grades, defects, questions, answers and outcomes are stored:
// never renumber, only add.
//
// Source codes in brackets, such as [PC], are listed in sources.go and in triage/currency.
package flaws
