package store

import (
	"errors"
	"io/fs"
	"runtime"
	"syscall"
)

// Explain says in plain words what happened, what is safe, and what to do next. It claims no more
// than is known. An error that is not from this package is told as it is.
func Explain(err error) (what, safe, next string) {
	if err == nil {
		return "", "", ""
	}
	var failed *CommitError
	if errors.As(err, &failed) {
		return explainCommit(failed)
	}
	if what, safe, next, ok := explainFile(err); ok {
		return what, safe, next
	}
	if what, safe, next, ok := explainRefusal(err); ok {
		return what, safe, next
	}
	if what, next, ok := explainDisk(err); ok {
		return what, "Nothing was changed.", next
	}
	return "It did not work: " + err.Error() + ".", "Nothing was changed.", "Try again; if it stays, leave and start again."
}

// Damaged reports whether an error means that the file itself is damaged, so that a backup or a rescue is what helps.
func Damaged(err error) bool {
	var damaged *DamagedError
	var record *RecordError
	var unsound *UnsoundError
	return errors.As(err, &damaged) || errors.As(err, &record) || errors.As(err, &unsound) || errors.Is(err, ErrEmpty)
}

// explainFile is about files that are not opened, or not to be written any more.
func explainFile(err error) (what, safe, next string, ok bool) {
	const untouched = "The file was not touched."
	var version *VersionError
	var damaged *DamagedError
	var record *RecordError
	var unsound *UnsoundError
	switch {
	case errors.As(err, &version) && version.Newer():
		return "The file was made by a newer version of unband.", untouched,
			"Start that version, or name another file with --file.", true
	case errors.As(err, &version):
		return "The file was made by an older version of unband that this one cannot read.", untouched,
			"Start the version that made it, or name another file with --file.", true
	case errors.As(err, &record):
		return "A record in the file is damaged: " + record.Error() + ".", "The damaged record is not used, and nothing was changed.",
			"Leave, copy the file to a safe place, then run: unband check.", true
	case errors.As(err, &damaged):
		return "The file is damaged: " + damaged.Err.Error() + ".", "Nothing was changed.",
			"Copy the file to a safe place, then go on from a backup with --file, or save what can be read: unband rescue.", true
	case errors.As(err, &unsound):
		return "The file is damaged: " + unsound.Problems[0] + ".", "No backup was made, and nothing was changed.",
			"Run unband check, which names everything that is wrong.", true
	case errors.Is(err, ErrBusyCopy):
		return "Another window has the file open and kept writing while it was copied.", "No backup was made, and nothing was changed.",
			"Wait a moment there, or leave that window, then do it again.", true
	case errors.Is(err, ErrInUse):
		return "The file is open in another window.", untouched,
			"Close unband there, or name another file with --file.", true
	case errors.Is(err, ErrEmpty):
		return "The file is empty: not even its header is there.", untouched,
			"If it should hold your notes, go on from a backup with --file; else delete the empty file and start again.", true
	case errors.Is(err, ErrNotOurs):
		return "This is not a file of unband.", untouched, "Name the right file with --file.", true
	case errors.Is(err, ErrNotRegular):
		return "This is a folder or a device, not a file.", untouched, "Name a file with --file.", true
	case errors.Is(err, ErrNoFolder):
		return "The folder of the file does not exist.", "Nothing was made.", "Make the folder, or name another file with --file.", true
	case errors.Is(err, ErrMoved):
		return "The file was deleted, moved or replaced while it was open.",
			"What you just did is not stored. Up to then everything is in the file that was moved.",
			"Put the file back under its name and do it again; else leave and look for the file.", true
	case errors.Is(err, ErrClosed):
		return "The file is closed already.", "What you just did is not stored; what was stored before is safe.", "Start unband again.", true
	}
	return "", "", "", false
}

// explainRefusal is about writes that the store does not make.
func explainRefusal(err error) (what, safe, next string, ok bool) {
	const unchanged = "Nothing was changed."
	var stale *StaleError
	var run *RunError
	switch {
	case errors.As(err, &run):
		return "The " + run.Error() + ".", "None of the runs was entered, and nothing was changed.",
			"Enter it as the list has it, or take the run it clashes with out first.", true
	case errors.As(err, &stale):
		return "This note is entered already, or was changed since it was shown: " + stale.Error() + ".", unchanged,
			"Leave and start again: the strap shows what is stored.", true
	case errors.Is(err, ErrNoSession):
		return "There is no such session.", unchanged, "Choose one on the desk.", true
	case errors.Is(err, ErrNoStrap):
		return "There is no such strap.", unchanged, "Choose one on the desk.", true
	case errors.Is(err, ErrNoNote):
		return "There is no such note.", unchanged, "Leave the screen and come back: it shows what is stored.", true
	case errors.Is(err, ErrSessionClosed):
		return "The session is closed.", unchanged, "A closed session is not changed any more.", true
	case errors.Is(err, ErrStrapOpen):
		return "A strap of this session is still being sorted.", unchanged, "Go on with it, or close it as counted.", true
	case errors.Is(err, ErrStrapDone):
		return "The strap is closed: it takes corrections, but no new notes.", unchanged, "Open the next strap.", true
	case errors.Is(err, ErrNotLast):
		return "Only the last note of a strap can be taken out.", unchanged, "Take out the notes after it first, or change this one.", true
	case errors.Is(err, ErrHole):
		return "A note or strap before this one is not stored.", unchanged,
			"Leave and start again: the strap shows what is stored, and goes on there.", true
	case errors.Is(err, ErrListed):
		return "Notes of this strap are listed and not decided.", unchanged, "Go on with the strap: decide them, or spend the rest as listed.", true
	case errors.Is(err, ErrHasNotes):
		return "Notes of this session are decided or listed.", unchanged, "A session with notes stays; it can be closed.", true
	case errors.Is(err, ErrUndecided):
		return "The note has no decision.", unchanged, "Keep it or spend it.", true
	}
	return "", "", "", false
}

// explainDisk is about what the disk refuses.
func explainDisk(err error) (what, next string, ok bool) {
	switch {
	case full(err):
		return "The disk is full.", "Make room on the disk, then do it again.", true
	case errors.Is(err, syscall.EDQUOT):
		return "Your share of the disk is used up.", "Make room, then do it again.", true
	case errors.Is(err, syscall.EFBIG):
		return "The file may not grow any more: a limit is set for its size.", "Lift the limit, then do it again.", true
	case errors.Is(err, syscall.EROFS):
		return "The disk is read-only.", "Make it writable, or name a file on another one with --file.", true
	case errors.Is(err, fs.ErrPermission):
		return "You are not allowed to read and write here: " + err.Error() + ".",
			"Change the permissions of the file and its folder, or name another file with --file.", true
	case errors.Is(err, fs.ErrNotExist):
		return "The file is not there: " + err.Error() + ".", "Look for it, or name another file with --file.", true
	case errors.Is(err, syscall.EIO):
		return "The disk reports a failure.", "Copy the file to another disk before you go on.", true
	}
	return "", "", false
}

// full knows a full disk under both of its names.
func full(err error) bool {
	const windowsDiskFull = syscall.Errno(112)
	return errors.Is(err, syscall.ENOSPC) || runtime.GOOS == "windows" && errors.Is(err, windowsDiskFull)
}

func explainCommit(e *CommitError) (what, safe, next string) {
	what, next, ok := explainDisk(e.Err)
	if !ok {
		what, next = "The disk reports a failure: "+e.Err.Error()+".", "Do it again."
	}
	switch {
	case e.Reopen != nil:
		return what + " The file could not be opened again: " + e.Reopen.Error() + ".",
			"Everything stored before is safe as far as is known. Whether the last one is stored is not known, and no more is stored now.",
			"Leave and start again: the strap shows the last note that is stored."
	case e.Written:
		return what, "What you just did is stored all the same; the file was opened again to make sure.",
			"Do not enter it again."
	}
	return what, "What you just did is not stored. Everything before is; the file was opened again to make sure.", next
}
