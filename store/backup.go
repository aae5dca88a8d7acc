package store

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	bolt "go.etcd.io/bbolt"
)

// keptBackups is how many backups are kept beside the file.
const keptBackups = 10

// backupTime is how the name of a backup says when it was made, in UTC.
const backupTime = "2006-01-02-150405Z"

// A Backup is a copy of the file, made at some time.
type Backup struct {
	Path  string
	Made  time.Time // to the second, UTC
	Bytes int64
}

// BackupFolder is where the backups of a file lie.
func BackupFolder(path string) string { return path + ".backups" }

// Backups gives the backups that lie beside a file, the newest first; none is no error.
func Backups(path string) ([]Backup, error) {
	entries, err := os.ReadDir(BackupFolder(path))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	var all []Backup
	for _, e := range entries {
		made, ok := madeAt(path, e.Name())
		info, err := e.Info()
		if !ok || err != nil || !info.Mode().IsRegular() {
			continue
		}
		all = append(all, Backup{filepath.Join(BackupFolder(path), e.Name()), made, info.Size()})
	}
	slices.SortFunc(all, func(a, b Backup) int {
		return cmp.Or(b.Made.Compare(a.Made), cmp.Compare(len(b.Path), len(a.Path)), strings.Compare(b.Path, a.Path))
	})
	return all, nil
}

// backupName is the name of a backup; further ones of the same second get a number.
func backupName(path string, at time.Time, number int) string {
	base := strings.TrimSuffix(filepath.Base(path), filepath.Ext(path))
	name := base + "-" + at.UTC().Format(backupTime)
	if number > 1 {
		name += fmt.Sprintf("-%d", number)
	}
	return name + ".db"
}

// madeAt reads the time in the name of a backup.
func madeAt(path, name string) (time.Time, bool) {
	base := strings.TrimSuffix(filepath.Base(path), filepath.Ext(path)) + "-"
	stamp, ours := strings.CutPrefix(strings.TrimSuffix(name, ".db"), base)
	if !ours || !strings.HasSuffix(name, ".db") || len(stamp) < len(backupTime) {
		return time.Time{}, false
	}
	made, err := time.Parse(backupTime, stamp[:len(backupTime)])
	return made, err == nil
}

// WhenBackedUp has done called after each backup that is made by itself, from a goroutine of the store. It is
// set before the first write whose backup is to be told.
func (s *Store) WhenBackedUp(done func(Backup, error)) { s.backedUp.Store(&done) }

// backUp makes a backup beside the file in a goroutine of its own: the writes go on meanwhile. Close waits for it.
func (s *Store) backUp(at time.Time) {
	if s.keep == 0 {
		return
	}
	s.backups.Add(1)
	go func() {
		defer s.backups.Done()
		s.oneBackup.Lock() // one after another
		defer s.oneBackup.Unlock()
		b, err := s.backupNow(at)
		if done := s.backedUp.Load(); done != nil {
			(*done)(b, err)
		}
	}()
}

// backupNow makes a backup beside the file, and takes the oldest ones away.
func (s *Store) backupNow(at time.Time) (Backup, error) {
	b, err := makeBackup(s.path, at, func(to *os.File) error {
		return s.view(func(tx *bolt.Tx) error {
			_, err := tx.WriteTo(to)
			return err
		})
	})
	if err != nil {
		return b, err
	}
	return b, dropBackups(s.path, s.keep)
}

// makeBackup has a copy of a file written into its folder of backups, and looks whether it is sound.
func makeBackup(path string, at time.Time, write func(*os.File) error) (Backup, error) {
	folder := BackupFolder(path)
	if err := os.Mkdir(folder, 0o700); err != nil && !errors.Is(err, fs.ErrExist) {
		return Backup{}, err
	}
	for number := 1; ; number++ {
		b := Backup{Path: filepath.Join(folder, backupName(path, at, number)), Made: at.UTC().Truncate(time.Second)}
		switch _, err := os.Lstat(b.Path); {
		case err == nil:
			continue
		case !errors.Is(err, fs.ErrNotExist):
			return b, err
		}
		err := newCopy(b.Path, write)
		if errors.Is(err, fs.ErrExist) {
			continue // another window was faster
		}
		if info, look := os.Stat(b.Path); err == nil && look == nil {
			b.Bytes = info.Size()
		}
		return b, err
	}
}

// newCopy writes a copy under another name, waits for the disk, looks whether the copy is sound, and only then
// gives it its name. It never replaces a file.
func newCopy(to string, write func(*os.File) error) (err error) {
	temp, err := os.CreateTemp(filepath.Dir(to), ".backup-*") // mode 0600
	if err != nil {
		return err
	}
	name := temp.Name()
	defer func() { err = errors.Join(err, removeIfThere(name)) }()
	if err := errors.Join(write(temp), temp.Sync(), temp.Close()); err != nil {
		return err
	}
	report, err := CheckCopy(name)
	if err != nil {
		return fmt.Errorf("the copy was looked through: %w", err)
	}
	if !report.Sound() {
		return &UnsoundError{report.Problems}
	}
	return GiveName(name, to)
}

// An UnsoundError says what is wrong with a copy, and so with the file it was made of.
type UnsoundError struct{ Problems []string }

func (e *UnsoundError) Error() string {
	text := "the copy is not sound: " + e.Problems[0]
	if n := len(e.Problems) - 1; n > 0 {
		text += fmt.Sprintf(" (and %d more)", n)
	}
	return text
}

// dropBackups takes away all but the newest backups of a file.
func dropBackups(path string, keep int) error {
	all, err := Backups(path)
	if err != nil {
		return err
	}
	var errs []error
	for _, old := range all[min(keep, len(all)):] {
		errs = append(errs, os.Remove(old.Path))
	}
	return errors.Join(append(errs, dropUnfinished(BackupFolder(path)))...)
}

// unfinished is after what time a copy without a backup's name is one that was cut short, as by a kill: another
// window may be making one just now, which takes seconds.
const unfinished = time.Hour

// dropUnfinished takes away copies that were cut short. Each is as large as the file, and nobody else would.
func dropUnfinished(folder string) error {
	entries, err := os.ReadDir(folder)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	var errs []error
	for _, e := range entries {
		if !strings.HasPrefix(e.Name(), ".backup-") {
			continue
		}
		info, err := e.Info()
		if err == nil && info.Mode().IsRegular() && time.Since(info.ModTime()) > unfinished {
			err = os.Remove(filepath.Join(folder, e.Name()))
		}
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			errs = append(errs, err)
		}
	}
	return errors.Join(errs...)
}

// CheckCopy checks a file without opening it for writing. It must be of the layout of this version.
func CheckCopy(path string) (Report, error) {
	c := checker{report: Report{Path: path}}
	if err := checkHeader(path); err != nil {
		return c.report, err
	}
	db, _, err := openBolt(path, true)
	if err != nil {
		return c.report, err
	}
	c.file(path)
	err = c.all(db)
	return c.report, errors.Join(err, db.Close())
}

// NewestSound gives the newest backup of a file that is sound, with what is in it; ok is false where there is none.
func NewestSound(path string) (b Backup, report Report, ok bool) {
	all, err := Backups(path)
	if err != nil {
		return b, report, false
	}
	for _, b := range all {
		if report, err := CheckCopy(b.Path); err == nil && report.Sound() {
			return b, report, true
		}
	}
	return b, report, false
}

// ErrBusyCopy says that a file could not be copied because another window kept writing.
var ErrBusyCopy = errors.New("another window kept writing while the file was copied")

// copyTries is how often a copy beside another window is tried. Between two decisions there is a second or more,
// and a copy of a hundred megabytes takes half of one.
const copyTries = 20

// CopyFile makes a backup of a file that is not open here, also while another window has it open. With to empty it
// goes into the folder of backups. It never replaces a file. Errors: fs.ErrExist, *UnsoundError, ErrBusyCopy after
// some seconds, those of Open and those of package os.
func CopyFile(path, to string, at time.Time) (Backup, error) {
	path, err := resolve(path)
	if err != nil {
		return Backup{}, err
	}
	if err := checkHeader(path); err != nil {
		return Backup{}, err
	}
	write := func(f *os.File) error { return copyBeside(path, f) }
	if to == "" {
		b, err := makeBackup(path, at, write)
		if err == nil {
			err = dropBackups(path, keptBackups)
		}
		return b, err
	}
	if _, err := os.Lstat(to); err == nil {
		return Backup{}, &fs.PathError{Op: "write", Path: to, Err: fs.ErrExist}
	}
	err = newCopy(to, write)
	b := Backup{Path: to, Made: at}
	if info, look := os.Stat(to); look == nil {
		b.Bytes = info.Size()
	}
	return b, err
}

// copyBeside copies a file that another window may be writing to. Its two header pages are read before and after: if
// both are the same, no write was made in between, and the copy is whole. (Measured with 400 copies beside a writer:
// not one that was torn was taken.)
func copyBeside(path string, to *os.File) error {
	from, err := os.Open(path)
	if err != nil {
		return err
	}
	defer from.Close()
	for range copyTries {
		before, err := headerPages(from)
		if err != nil {
			return err
		}
		if _, err := from.Seek(0, io.SeekStart); err != nil {
			return err
		}
		if _, err := to.Seek(0, io.SeekStart); err != nil {
			return err
		}
		if err := to.Truncate(0); err != nil {
			return err
		}
		if _, err := io.Copy(to, from); err != nil {
			return err
		}
		after, err := headerPages(from)
		if err != nil {
			return err
		}
		if before == after {
			return nil
		}
		time.Sleep(200 * time.Millisecond)
	}
	return ErrBusyCopy
}

// headerPages is what the two header pages of a file say.
func headerPages(f *os.File) (string, error) {
	newest, sound, _ := readHeaders(f)
	if sound == 0 {
		return "", &DamagedError{errors.New("both header pages are broken")}
	}
	pages := make([]byte, 2*newest.pageSize)
	if _, err := f.ReadAt(pages, 0); err != nil {
		return "", err
	}
	return string(pages), nil
}
