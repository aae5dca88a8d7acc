package ui

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/charmbracelet/bubbles/key"

	"app/unband/store"
	"app/unband/triage"
)

// outKeys give a text out of the program. Every page that has one has the same.
type outKeys struct{ Save, Copy key.Binding }

var outMap = outKeys{
	Save: bind("Ctrl+S", "write the text to the file", "ctrl+s"),
	Copy: bind("Ctrl+Y", "hand the text to the clipboard, if the terminal has one", "ctrl+y"),
}

// handOver gives a text out of the program: to a file, or to the terminal's clipboard.
type handOver struct {
	env   *env
	file  string
	typed bool   // the name was touched; until then it is the one proposed, and typing replaces it
	over  string // the file that was found there and may be replaced by the same key again
	gate  triage.Gate
}

// edit takes a key into the name of the file. The keys of stay keep the proposed one to be changed.
func (o *handOver) edit(k keyMsg, stay ...key.Binding) {
	fresh := !o.typed
	textLine{longest: longestRemark}.over(&o.file, &fresh, k, stay...)
	o.typed = !fresh
}

// named draws the name of the file while it is written, in w cells.
func (o *handOver) named(w int) string {
	if !o.typed {
		return replaceable(printable(o.file), w)
	}
	return tail(printable(o.file), w-1) + look.cursor.Render(" ")
}

// other says that another key came: the one that writes is not held down.
func (o *handOver) other() {
	o.over = ""
	o.gate.Other()
}

// save writes a text to the file.
func (o *handOver) save(text string, at time.Time) {
	o.write(func(w io.Writer) error { _, err := io.WriteString(w, text); return err }, at)
}

// write writes the file. One that is there is replaced only when the key comes again.
func (o *handOver) write(text func(io.Writer) error, at time.Time) {
	path := strings.TrimSpace(o.file)
	if path == "" {
		o.env.hint("the file needs a name", at)
		return
	}
	if full, err := filepath.Abs(path); err == nil {
		path = full
	}
	if o.over == path && o.gate.Rests(triage.KeyTakeOut, at) { // held down, the key replaces nothing
		o.gate.Lock(triage.KeyTakeOut, at)
		o.env.hint(triage.Notice{Kind: triage.HeldKey}.String(), at)
		return
	}
	o.gate.Lock(triage.KeyTakeOut, at)
	err := WriteNew(path, o.over == path, text)
	switch {
	case errors.Is(err, fs.ErrExist):
		o.over = path
		o.env.hint("there is a file "+printable(path)+" already: "+name(outMap.Save)+" again replaces it, or give another name", at)
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
		o.env.hint("there is no clipboard here: "+name(outMap.Save)+" writes a file", at)
		return
	}
	o.env.copy(text)
	o.env.say("handed to the terminal for the clipboard. If nothing can be pasted, it has none: "+name(outMap.Save)+" writes a file", at)
}

// What WriteNew never replaces, whatever it is told.
var (
	ErrHoldsNotes  = errors.New("it holds notes of unband")
	ErrNotOrdinary = errors.New("it is a link, a folder or a device")
)

// WriteNew writes a file for its user alone, whole or not at all: it is written beside under another name and
// then given its own. It never follows a link, and replaces an ordinary file only when told to; else one that
// is there is fs.ErrExist. A file with notes in it is never replaced: a report under its name would be all that
// is left of them. The errors about what is there already come before anything is written.
func WriteNew(path string, replace bool, write func(io.Writer) error) error {
	switch info, err := os.Lstat(path); {
	case errors.Is(err, fs.ErrNotExist):
	case err != nil:
		return err
	case !info.Mode().IsRegular():
		return &fs.PathError{Op: "write", Path: path, Err: ErrNotOrdinary}
	default: // asked also where nothing is to be replaced: what can never be must not be offered
		holds, err := store.HoldsNotes(path)
		switch {
		case holds:
			return &fs.PathError{Op: "write", Path: path, Err: ErrHoldsNotes}
		case !replace:
			return &fs.PathError{Op: "write", Path: path, Err: fs.ErrExist}
		case err != nil:
			return err // what cannot be read may hold anything
		}
	}
	part, err := os.CreateTemp(filepath.Dir(path), ".unband-*") // mode 0600
	if err != nil {
		return err
	}
	if err = write(part); err == nil {
		err = part.Sync() // else a power cut could leave neither the old file nor the new
	}
	switch err = errors.Join(err, part.Close()); {
	case err != nil:
	case replace:
		err = os.Rename(part.Name(), path)
	default:
		err = store.GiveName(part.Name(), path)
	}
	if rm := os.Remove(part.Name()); rm != nil && !errors.Is(rm, fs.ErrNotExist) {
		err = errors.Join(err, rm)
	}
	return err
}
