package triage

import "app/unband/patterns"

// Choices are what a person has chosen for sorting. A new session takes them over and keeps them;
// the pauses hold for every session.
type Choices struct {
	Pauses   Pauses
	Whole    bool // every serial is typed to the end: no note is settled early
	Watch    patterns.Watch
	Settings patterns.Settings
}

// DefaultChoices gives what a new user starts with.
func DefaultChoices() (Choices, error) {
	settings := patterns.DefaultSettings()
	book, err := patterns.NewBook(settings)
	if err != nil {
		return Choices{}, err
	}
	return Choices{Pauses: DefaultPauses(), Watch: book.DefaultWatch(), Settings: settings}, nil
}
