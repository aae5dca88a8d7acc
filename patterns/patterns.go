// Package patterns decides what is remarkable about the eight digits of a serial number and how
// rare that is.
//
// Every rule answers the same questions: does a serial match, how many of the serials up to a
// highest one match, which single digit or which swap of two neighbours keeps a serial from
// matching, and can digits typed so far still become a match. Counts are exact, never sampled.
//
// The package is pure: no clock, no files, nothing global that changes. Equal input, equal output.
package patterns
