package ui

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/adrg/xdg"
	"github.com/charmbracelet/bubbles/key"

	"app/unband/triage"
)

// This file reads a file of keys. A line gives the keys of one action on one screen, as in
//
//	strap keep: + =
//
// and whatever is not in the file stays as it is. # begins a comment, at the beginning of a line or behind its keys.

// longestKeyFile bounds a file of keys, in bytes; one with every key of the program has some 20,000.
const longestKeyFile = 1 << 16

// Keys are what a file of keys has changed. The zero value changes nothing.
type Keys struct{ names map[*key.Binding][]string }

// A KeyFault says what is wrong with a line of a file of keys, and what to do about it.
type KeyFault struct {
	Line       int // from 1; 0 for the file as a whole
	What, Next string
}

// KeysError says why a file of keys was refused.
type KeysError struct {
	File   string
	Faults []KeyFault
}

// mostFaults is how many faults are told at once.
const mostFaults = 8

func (e *KeysError) Error() string {
	var b strings.Builder
	for i, f := range e.Faults {
		if i == mostFaults {
			fmt.Fprintf(&b, "and %s more\n", count(len(e.Faults)-i, "fault", "faults"))
			break
		}
		if f.Line > 0 {
			fmt.Fprintf(&b, "line %d of ", f.Line)
		}
		fmt.Fprintf(&b, "%s: %s.\n        %s.\n", printable(e.File), f.What, f.Next)
	}
	return strings.TrimSuffix(b.String(), "\n")
}

// delivered are the keys of the program as it comes.
var delivered = func() map[*key.Binding][]string {
	all := map[*key.Binding][]string{}
	for _, a := range actions() {
		all[a.binding] = namesOf(a.binding.Keys())
	}
	return all
}()

// DefaultKeysPath is the file of keys that is read when none is named.
func DefaultKeysPath() (string, error) {
	folder := filepath.Join(xdg.ConfigHome, "unband")
	if !filepath.IsAbs(folder) { // not xdg.ConfigFile, which makes folders and takes those of other users
		return "", fmt.Errorf("find the folder of settings: there is no home folder (%q)", xdg.ConfigHome)
	}
	return filepath.Join(folder, "keys"), nil
}

// StandardKeys is the name of the keys as the program comes.
const StandardKeys = "standard"

// KeysNamed gives the keys of a file, or those of the built-in sets LeftHand and StandardKeys. With no name it is the file at DefaultKeysPath;
// that one need not be there.
func KeysNamed(name string) (Keys, error) {
	switch name {
	case LeftHand:
		return ReadKeys(strings.NewReader(leftHand), "the keys for the left hand")
	case StandardKeys:
		return Keys{}, nil
	}
	path := name
	if path == "" {
		var err error
		if path, err = DefaultKeysPath(); err != nil {
			return Keys{}, nil // without a home folder there is no such file
		}
	}
	f, err := os.Open(path)
	if name == "" && errors.Is(err, fs.ErrNotExist) {
		return Keys{}, nil
	}
	if err != nil {
		return Keys{}, unreadable(path, err)
	}
	defer f.Close()
	return ReadKeys(f, path)
}

func unreadable(file string, err error) *KeysError {
	what := err.Error()
	var p *fs.PathError
	if errors.As(err, &p) { // its path is said already
		what = p.Err.Error()
	}
	return &KeysError{file, []KeyFault{{0, "it cannot be read: " + what,
		"Name another file with --keys, or none: --keys " + StandardKeys + " are the keys as they come"}}}
}

// ReadKeys reads a file of keys. A KeysError names the lines that are wrong; nothing is changed before Use.
func ReadKeys(r io.Reader, file string) (Keys, error) {
	data, err := io.ReadAll(io.LimitReader(r, longestKeyFile+1))
	switch {
	case err != nil:
		return Keys{}, unreadable(file, err)
	case len(data) > longestKeyFile:
		return Keys{}, &KeysError{file, []KeyFault{{0, "it is longer than " + number(longestKeyFile) + " bytes", "A line for each key that is to be another is enough"}}}
	}
	k := keyReader{lines: map[*key.Binding]int{}, names: map[*key.Binding][]string{}}
	text := strings.TrimPrefix(string(data), "\ufeff") // some editors on Windows begin a file so
	for i, line := range strings.Split(text, "\n") {
		k.line(i+1, strings.TrimSuffix(line, "\r"))
	}
	k.check()
	if len(k.faults) > 0 {
		slices.SortStableFunc(k.faults, func(a, b KeyFault) int { return a.Line - b.Line })
		return Keys{}, &KeysError{file, k.faults}
	}
	return Keys{k.names}, nil
}

// Use puts the keys in force, before the program is made. What it gives back puts things as they were.
func (k Keys) Use() (undo func()) {
	before := map[*key.Binding]key.Binding{}
	for b, names := range k.names {
		before[b] = *b
		rebind(b, names)
	}
	return func() {
		for b, was := range before {
			*b = was
		}
	}
}

// WriteKeys writes the keys in force as a file of keys, with what they do as comments.
func WriteKeys(w io.Writer) error {
	var b strings.Builder
	b.WriteString("# The keys of unband: a screen, what is done there, and the keys that do it.\n" +
		"# Of a file of your own only the lines that differ need be kept.\n")
	for _, m := range keyMaps() {
		fmt.Fprintf(&b, "\n# %s\n", m.heading)
		for _, a := range actionsOf(m.keys) {
			if a.typedIn() {
				continue
			}
			line := fmt.Sprintf("%s %s: %s", m.id, a.name, strings.Join(namesOf(a.binding.Keys()), " "))
			fmt.Fprintf(&b, "%-36s # %s\n", line, a.binding.Help().Desc)
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// A keyReader collects what the lines say and what is wrong with them.
type keyReader struct {
	names  map[*key.Binding][]string
	lines  map[*key.Binding]int // where each was given
	faults []KeyFault
}

func (k *keyReader) fault(line int, what, next string) {
	k.faults = append(k.faults, KeyFault{line, what, next})
}

// allKeys says where to look.
const allKeys = "unband help keys prints every screen with what is done there and its keys"

// line takes one line.
func (k *keyReader) line(n int, line string) {
	trimmed := strings.TrimSpace(line)
	if trimmed == "" || trimmed[0] == '#' {
		return
	}
	if !utf8.ValidString(trimmed) {
		k.fault(n, "it is no text in UTF-8", "Write the file anew with a plain text editor")
		return
	}
	left, right, colon := strings.Cut(trimmed, ":")
	words := strings.Fields(left)
	if !colon || len(words) != 2 {
		k.fault(n, fmt.Sprintf("%q is no line of keys", triage.Printable(shortened(trimmed))), "Write it as in strap keep: + = , with # before a comment")
		return
	}
	a, ok := k.action(n, words[0], words[1])
	if !ok {
		return
	}
	k.keys(n, a, right)
}

// shortened keeps the beginning of a text.
func shortened(s string) string {
	if r := []rune(s); len(r) > 40 {
		return string(r[:40]) + "…"
	}
	return s
}

// action finds what a line is about.
func (k *keyReader) action(n int, screen, name string) (action, bool) {
	known := false
	for _, a := range actions() {
		if !strings.EqualFold(a.screen, screen) {
			continue
		}
		known = true
		switch {
		case !strings.EqualFold(a.name, name):
		case a.typedIn():
			k.fault(n, a.String()+" is what is typed, and has no key of its own", "Leave the line out")
			return a, false
		case k.lines[a.binding] > 0:
			k.fault(n, fmt.Sprintf("%s has its keys in line %d already", a, k.lines[a.binding]), "Write all its keys in one line")
			return a, false
		default:
			return a, true
		}
	}
	if known {
		k.fault(n, fmt.Sprintf("%q is nothing that is done on the screen %s", printable(shortened(name)), strings.ToLower(screen)), allKeys)
	} else {
		k.fault(n, fmt.Sprintf("there is no screen %q", printable(shortened(screen))), allKeys)
	}
	return action{}, false
}

// keys takes the keys of a line.
func (k *keyReader) keys(n int, a action, text string) {
	words := strings.Fields(text)
	var names []string
	for i, word := range words {
		if word[0] == '#' && (len(word) > 1 || i < len(words)-1) {
			break // a comment
		}
		name, ok := keyNamed(word)
		switch other := sameKey[name]; {
		case !ok:
			k.fault(n, fmt.Sprintf("%q is no key", printable(shortened(word))),
				"A key is one character, Ctrl+A to Ctrl+Z, F1 to F12, Enter, Tab, Shift+Tab, Space, Backspace, Esc, Up, Down, Left, Right, PgUp, PgDn, Home, End, Insert or Delete")
			return
		case other != "":
			k.fault(n, fmt.Sprintf("a terminal cannot tell %s from %s", name, other), "Write "+other+", or give another key")
			return
		case !slices.Contains(names, name):
			names = append(names, name)
		}
	}
	if len(names) == 0 {
		k.fault(n, a.String()+" would have no key", "Give it one behind the colon, or leave the line out. Where # is the key it stands last in its line")
		return
	}
	k.names[a.binding], k.lines[a.binding] = names, n
}
