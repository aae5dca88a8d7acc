package ui

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"app/unband/triage/listing"
)

// This file goes from the name of a list, as a person types it, to the list, or to words that help to find it.

// listPath is the path that is typed. A ~ in front is the user's home folder. Quotes around it, as terminals put them
// around the name of a file that is dropped on them, do not belong to it unless a file is called so.
func listPath(typed string) string {
	path := strings.TrimSpace(typed)
	if n := len(path); n > 2 && (path[0] == '\'' || path[0] == '"') && path[n-1] == path[0] {
		if _, err := os.Lstat(path); err != nil {
			path = path[1 : n-1]
		}
	}
	if rest, ok := strings.CutPrefix(path, "~"); ok && (rest == "" || os.IsPathSeparator(rest[0])) {
		if home, err := os.UserHomeDir(); err == nil {
			path = filepath.Join(home, rest)
		}
	}
	return path
}

// readList reads a list from a file, and says in plain words why it could not.
func readList(path string) (*listing.List, error) {
	f, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, errors.New(noFile(path))
	}
	if err != nil {
		return nil, fmt.Errorf("%s cannot be read: %s", printable(path), printable(err.Error()))
	}
	defer f.Close()
	switch info, err := f.Stat(); {
	case err == nil && info.IsDir():
		return nil, fmt.Errorf("%s is a folder. %s. Type the name of the file behind it", printable(absolute(path)), listsIn(path, ""))
	case err != nil || !info.Mode().IsRegular():
		return nil, fmt.Errorf("%s is no ordinary file", printable(path))
	}
	list, err := listing.Read(f)
	if err != nil {
		return nil, fmt.Errorf("%s was not taken in: %s", printable(path), printable(err.Error()))
	}
	return list, nil
}

// noFile says that there is no such file, where it was looked for, and what is there instead.
func noFile(path string) string {
	folder, file := filepath.Split(absolute(path))
	if info, err := os.Stat(folder); err != nil || !info.IsDir() {
		return fmt.Sprintf("there is no folder %s. Type the name again, with a folder that is there; ~ is your home folder", printable(filepath.Clean(folder)))
	}
	return fmt.Sprintf("there is no file %s in the folder %s. %s. If it lies elsewhere, type its folder, too; ~ is your home folder",
		printable(file), printable(filepath.Clean(folder)), listsIn(folder, file))
}

func absolute(path string) string {
	if full, err := filepath.Abs(path); err == nil {
		return full
	}
	return path
}

// Bounds of looking for lists in a folder, so that a large one costs no more than a moment.
const (
	mostFiles = 1000
	mostLists = 3
)

// listsIn names files in a folder that may be lists, by their endings: those that begin as the name that was looked for,
// then the newest.
func listsIn(folder, like string) string {
	const none = "No .csv, .tsv or .txt file lies in it"
	d, err := os.Open(folder)
	if err != nil {
		return none
	}
	defer d.Close()
	files, _ := d.ReadDir(mostFiles) // what came before an error is good enough
	type list struct {
		name    string
		alike   int // how many characters are those of the name looked for
		changed time.Time
	}
	var lists []list
	for _, f := range files {
		info, err := f.Info()
		if err == nil && info.Mode().IsRegular() && slices.Contains([]string{".csv", ".tsv", ".txt"}, strings.ToLower(filepath.Ext(f.Name()))) {
			lists = append(lists, list{f.Name(), alike(f.Name(), like), info.ModTime()})
		}
	}
	slices.SortFunc(lists, func(a, b list) int {
		return cmp.Or(b.alike-a.alike, b.changed.Compare(a.changed), strings.Compare(a.name, b.name))
	})
	var names []string
	for _, l := range lists[:min(len(lists), mostLists)] {
		names = append(names, printable(l.name))
	}
	switch more := len(lists) - len(names); {
	case len(lists) == 0:
		return none
	case more > 0:
		return fmt.Sprintf("Lists may be in it: %s and %s more", strings.Join(names, ", "), number(more))
	}
	return "Lists may be in it: " + strings.Join(names, ", ")
}

// alike is how many characters of two names are the same from the beginning, whatever their capitals. Fewer than three are
// none.
func alike(a, b string) int {
	x, y := []rune(strings.ToLower(a)), []rune(strings.ToLower(b))
	n := 0
	for n < min(len(x), len(y)) && x[n] == y[n] {
		n++
	}
	if n < 3 {
		return 0
	}
	return n
}
