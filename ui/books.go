package ui

import (
	"encoding/json"
	"fmt"
	"sync"

	"app/unband/patterns"
)

// books are the definitions made so far, by the settings they are made of. To make one takes some hundredths of a second.
type books struct {
	mu   sync.Mutex
	made map[string]func() (*patterns.Book, error)
}

// of gives the book of some settings, made now or before.
func (b *books) of(s patterns.Settings) (*patterns.Book, error) {
	name, err := json.Marshal(s)
	if err != nil {
		return nil, err
	}
	return b.entry(string(name), s)()
}

func (b *books) entry(name string, s patterns.Settings) func() (*patterns.Book, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.made[name] == nil {
		if b.made == nil {
			b.made = map[string]func() (*patterns.Book, error){}
		}
		b.made[name] = sync.OnceValues(func() (*patterns.Book, error) {
			made, err := patterns.NewBook(s)
			if err != nil {
				return nil, fmt.Errorf("the definitions of a session: %w", err)
			}
			return made, nil
		})
	}
	return b.made[name]
}

// ahead makes a book beside what goes on, so that whoever wants it next need not wait. What goes wrong comes with of: a
// panic there is one on the screen, which puts the terminal right, and not one beside it.
func (b *books) ahead(s patterns.Settings) {
	go func() {
		defer func() { _ = recover() }()
		_, _ = b.of(s)
	}()
}
