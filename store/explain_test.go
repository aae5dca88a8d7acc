package store

import (
	"errors"
	"fmt"
	"io/fs"
	"strings"
	"syscall"
	"testing"

	"app/unband/triage/stars"
)

func TestEveryErrorIsExplained(t *testing.T) {
	disk := func(e error) error { return &fs.PathError{Op: "write", Path: "/home/x/unband.db", Err: e} }
	seen := map[string]string{}
	for _, err := range []error{
		ErrInUse, ErrEmpty, ErrNotOurs, ErrNotRegular, ErrNoFolder, ErrClosed, ErrMoved, ErrNoSession, ErrNoStrap,
		ErrSessionClosed, ErrStrapDone, ErrHole, ErrUndecided,
		&VersionError{Found: 2, Known: 1}, &VersionError{Found: 0, Known: 1}, &DamagedError{errors.New("page 3")},
		&RecordError{bucketNotes, []byte{1}, errors.New("has a wrong checksum")}, &StaleError{"note 1", 1, 2, 1},
		&RunError{stars.Run{Denomination: 1, Series: "2009", Bank: 'B', From: 1, To: 2}, errors.New("it overlaps another")},
		disk(syscall.ENOSPC), disk(syscall.EDQUOT), disk(syscall.EROFS), disk(syscall.EACCES), disk(syscall.ENOENT),
		disk(syscall.EIO), disk(syscall.EFBIG), errors.New("something else"),
		&CommitError{Err: disk(syscall.ENOSPC)}, &CommitError{Err: disk(syscall.EIO), Written: true},
		&CommitError{Err: disk(syscall.EIO), Reopen: ErrInUse},
	} {
		what, safe, next := Explain(fmt.Errorf("open unband.db: %w", err))
		for _, sentence := range []string{what, safe, next} {
			if !strings.HasSuffix(sentence, ".") || strings.Contains(sentence, "..") || strings.Contains(sentence, "%!") {
				t.Errorf("%v: %q is not a sentence", err, sentence)
			}
		}
		if before := seen[what+safe]; before != "" {
			t.Errorf("%v is explained like %s", err, before)
		}
		seen[what+safe] = err.Error()
	}
	if what, safe, next := Explain(nil); what+safe+next != "" {
		t.Errorf("no error is explained: %q %q %q", what, safe, next)
	}
}

// What is said to be safe must be true of the very error.
func TestExplainSaysWhetherItIsWritten(t *testing.T) {
	for _, c := range []struct {
		err  error
		want string
	}{
		{&CommitError{Err: syscall.ENOSPC}, "What you just did is not stored."},
		{&CommitError{Err: syscall.ENOSPC, Written: true}, "What you just did is stored all the same"},
		{&CommitError{Err: syscall.ENOSPC, Reopen: ErrEmpty}, "is not known"},
	} {
		if _, safe, _ := Explain(c.err); !strings.Contains(safe, c.want) {
			t.Errorf("%v: %q, want %q", c.err, safe, c.want)
		}
	}
}
