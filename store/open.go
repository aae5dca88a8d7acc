package store

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"time"

	"github.com/adrg/xdg"
	bolt "go.etcd.io/bbolt"
	berrors "go.etcd.io/bbolt/errors"
)

// lockWait is how long Open waits for another window to let go of the file.
const lockWait = time.Second

// DefaultPath is where the file lies unless another is named: unband/unband.db in the user's data
// folder ($XDG_DATA_HOME or ~/.local/share, %LocalAppData%, ~/Library/Application Support). The
// folder is made, for the user alone, if it does not exist.
func DefaultPath() (string, error) {
	// Not xdg.DataFile: when the home folder cannot be written it falls back to folders that every
	// user shares.
	folder := filepath.Join(xdg.DataHome, program)
	if !filepath.IsAbs(folder) {
		return "", fmt.Errorf("find the data folder: there is no home folder (%q)", xdg.DataHome)
	}
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return "", fmt.Errorf("make the data folder: %w", err)
	}
	return filepath.Join(folder, program+".db"), nil
}

// Open opens the file, creating it if it does not exist; its folder must exist. A file that is
// refused is left exactly as it was; one of an older layout is copied aside, as FILE.layout-1, and brought
// up to date. Errors: ErrInUse after a second, ErrEmpty, ErrNotOurs,
// ErrNotRegular, ErrNoFolder, *VersionError, *DamagedError, *RecordError, and those of package os.
// After a DamagedError the same file may stay locked until the program ends.
func Open(path string) (*Store, error) {
	s, err := open(path)
	if err != nil {
		return nil, err
	}
	go s.writer()
	return s, nil
}

// OpenThrowAway opens a file that is thrown away when it is closed, as Open does, creating it if it does not exist. No
// backups are made of it, and no write waits for the disk: after a power cut nothing of it need be there. A strap is
// entered a hundred times faster so. The caller removes the file. Errors: as Open.
func OpenThrowAway(path string) (*Store, error) {
	s, err := open(path)
	if err != nil {
		return nil, err
	}
	s.keep, s.db.NoSync, s.db.NoGrowSync = 0, true, true
	go s.writer()
	return s, nil
}

// open gives a store whose writer does not run yet.
func open(path string) (*Store, error) {
	path, err := resolve(path)
	if err != nil {
		return nil, fmt.Errorf("open %s: %w", path, err)
	}
	s := &Store{path: path, queue: newQueue(), finished: make(chan struct{}), keep: keptBackups, commit: (*bolt.Tx).Commit}
	if s.db, s.file, err = openOrCreate(path); err != nil {
		return nil, fmt.Errorf("open %s: %w", path, err)
	}
	return s, nil
}

// resolve makes a path absolute and follows links, so that a later change of folder or link does not
// make the file look replaced.
func resolve(path string) (string, error) {
	path, err := filepath.Abs(path)
	if err != nil {
		return path, err
	}
	folder, err := filepath.EvalSymlinks(filepath.Dir(path))
	if errors.Is(err, fs.ErrNotExist) {
		return path, ErrNoFolder
	}
	if err != nil {
		return path, err
	}
	path = filepath.Join(folder, filepath.Base(path))
	if _, err := os.Lstat(path); errors.Is(err, fs.ErrNotExist) {
		return path, nil
	}
	target, err := filepath.EvalSymlinks(path)
	if err != nil {
		return path, err // a link to nothing, or no permission to look
	}
	return target, nil
}

func openOrCreate(path string) (*bolt.DB, os.FileInfo, error) {
	info, err := os.Stat(path)
	if errors.Is(err, fs.ErrNotExist) {
		if err := create(path); err != nil {
			return nil, nil, fmt.Errorf("create: %w", err)
		}
		info, err = os.Stat(path)
	}
	switch {
	case err != nil:
		return nil, nil, err
	case !info.Mode().IsRegular():
		return nil, nil, ErrNotRegular
	case info.Size() == 0:
		return nil, nil, ErrEmpty // bbolt would silently make a new file of it
	}
	var older *VersionError
	if err := inspect(path); errors.As(err, &older) && !older.Newer() && older.Found >= oldest {
		if err := migrate(path, older.Found); err != nil {
			return nil, nil, err
		}
	} else if err != nil {
		return nil, nil, err
	}
	return openBolt(path, false)
}

// inspect refuses, without a chance of writing to it, a file that is not a sound one of ours.
func inspect(path string) error {
	if err := checkHeader(path); err != nil {
		return err
	}
	db, _, err := openBolt(path, true)
	if err != nil {
		return err
	}
	return db.Close()
}

// openBolt opens an existing file and checks its stamp. A file that is broken in a way bbolt does
// not expect makes it panic or run into memory that is not there; both come out as a DamagedError.
func openBolt(path string, readOnly bool) (db *bolt.DB, info os.FileInfo, err error) {
	defer caught(&err)
	defer debug.SetPanicOnFault(debug.SetPanicOnFault(true))
	opened := func(name string, flag int, mode os.FileMode) (*os.File, error) {
		f, err := os.OpenFile(name, flag&^os.O_CREATE, mode)
		if err == nil {
			info, err = f.Stat()
		}
		return f, err
	}
	db, err = bolt.Open(path, 0o600, &bolt.Options{
		Timeout: lockWait, ReadOnly: readOnly, OpenFile: opened,
	})
	if err != nil {
		return nil, nil, plain(err)
	}
	if err := view(db, checkStamp); err != nil {
		_ = db.Close()
		return nil, nil, err
	}
	return db, info, nil
}

// plain gives bbolt's errors about a file our names.
func plain(err error) error {
	switch {
	case errors.Is(err, berrors.ErrTimeout):
		return ErrInUse
	case errors.Is(err, berrors.ErrInvalid), errors.Is(err, berrors.ErrVersionMismatch),
		errors.Is(err, berrors.ErrChecksum), errors.Is(err, berrors.ErrInvalidMapping):
		return &DamagedError{err}
	}
	return err
}

// create makes an empty file of ours under another name and gives it its own when it is complete
// and on disk: a power cut during creation leaves no half-made file under the name.
func create(path string) (err error) {
	temp, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+".*") // mode 0600
	if err != nil {
		return err
	}
	name := temp.Name()
	defer func() { err = errors.Join(err, removeIfThere(name)) }()
	if err := temp.Close(); err != nil {
		return err
	}
	if err := initialise(name); err != nil {
		return err
	}
	if err := syncPath(name); err != nil {
		return err
	}
	if err := GiveName(name, path); !errors.Is(err, fs.ErrExist) {
		return err
	}
	return nil // another window was faster
}

func initialise(name string) error {
	db, err := bolt.Open(name, 0o600, &bolt.Options{Timeout: lockWait})
	if err != nil {
		return err
	}
	return errors.Join(db.Update(createBuckets), db.Close())
}

// syncPath waits until a file is on disk.
func syncPath(name string) error {
	f, err := os.OpenFile(name, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}

// syncFolder waits until a folder's list of names is on disk; bbolt does not.
func syncFolder(name string) error {
	if runtime.GOOS == "windows" {
		return nil // a folder cannot be opened for this there
	}
	f, err := os.Open(name)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}
