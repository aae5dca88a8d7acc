package ui

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"
)

// handOver gives a text out of the program: to a file, or to the terminal's clipboard.
type handOver struct {
	env  *env
	file string
	over string // the file that was found there and may be replaced by the same key again
}

// save writes the file. One that is there is replaced only when the key comes again.
func (o *handOver) save(text string, at time.Time) {
	path := strings.TrimSpace(o.file)
	if path == "" {
		o.env.hint("the file needs a name", at)
		return
	}
	if full, err := filepath.Abs(path); err == nil {
		path = full
	}
	err := writeNew(path, text, o.over == path)
	switch {
	case errors.Is(err, fs.ErrExist):
		o.over = path
		o.env.hint("there is a file "+printable(path)+" already: "+name(askMap.Save)+" again replaces it, or give another name", at)
	case err != nil:
		o.env.hint("the text was not written: "+printable(err.Error())+". Nothing is lost; try another name or folder", at)
	default:
		o.over = ""
		o.env.say("written to "+printable(path), at)
	}
}

// copy hands the text to the terminal's clipboard. Whether the terminal has one it never says.
func (o *handOver) copy(text string, at time.Time) {
	if o.env.copy == nil {
		o.env.hint("there is no clipboard here: "+name(askMap.Save)+" writes a file", at)
		return
	}
	o.env.copy(text)
	o.env.say("handed to the terminal for the clipboard. If nothing can be pasted, it has none: "+name(askMap.Save)+" writes a file", at)
}

// writeNew writes a file for its user alone. It never follows a link, and replaces what is there only when
// told to.
func writeNew(path, text string, replace bool) error {
	f, err := os.OpenFile(path, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
	if errors.Is(err, fs.ErrExist) && replace {
		info, look := os.Lstat(path)
		switch {
		case look != nil:
			return look
		case !info.Mode().IsRegular():
			return fmt.Errorf("%s is no ordinary file", path)
		}
		part, makeErr := os.CreateTemp(filepath.Dir(path), ".unband-*")
		if makeErr != nil {
			return makeErr
		}
		_, err = part.WriteString(text)
		if err = errors.Join(err, part.Close()); err == nil {
			err = os.Rename(part.Name(), path)
		}
		if err != nil {
			return errors.Join(err, os.Remove(part.Name()))
		}
		return nil
	}
	if err != nil {
		return err
	}
	_, err = f.WriteString(text)
	if err = errors.Join(err, f.Close()); err != nil {
		return errors.Join(err, os.Remove(path))
	}
	return nil
}
