package store

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
)

// A file is written under a name of the moment, and gets its own when it is complete and on disk: neither a kill nor a
// power cut leaves half a file under the name.

// GiveName gives a finished file its name and waits until that is on disk. It never replaces a file: an error that is
// fs.ErrExist says that there is one. The name of the moment may stay, too.
func GiveName(name, to string) error {
	if err := os.Link(name, to); err != nil {
		if errors.Is(err, fs.ErrExist) {
			return err
		}
		if _, look := os.Lstat(to); look == nil {
			return &fs.PathError{Op: "write", Path: to, Err: fs.ErrExist}
		}
		if err := os.Rename(name, to); err != nil { // no links on this file system
			return err
		}
	}
	return syncFolder(filepath.Dir(to))
}

// removeIfThere removes a name of the moment.
func removeIfThere(name string) error {
	if err := os.Remove(name); !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return nil
}
