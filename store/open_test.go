package store

import (
	"bytes"
	"encoding/binary"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"sync"
	"testing"

	"github.com/adrg/xdg"
	bolt "go.etcd.io/bbolt"

	"app/unband/triage"
)

func TestANewFileIsForItsUserAlone(t *testing.T) {
	s := tempStore(t)
	info, err := os.Stat(s.Path())
	if err != nil {
		t.Fatal(err)
	}
	if runtime.GOOS != "windows" && info.Mode().Perm() != 0o600 {
		t.Errorf("mode is %v, want 0600", info.Mode())
	}
	beside, err := os.ReadDir(filepath.Dir(s.Path()))
	if err != nil || len(beside) != 1 {
		t.Errorf("the folder holds %v (%v), want the file alone", beside, err)
	}
	all, err := s.Sessions()
	if err != nil || len(all) != 0 {
		t.Errorf("a new file has sessions %v, %v", all, err)
	}
	wantSound(t, s)
}

func TestDefaultPath(t *testing.T) {
	if runtime.GOOS == "windows" || runtime.GOOS == "darwin" {
		t.Skip("the data folder is not set by the environment here")
	}
	home := t.TempDir()
	t.Setenv("XDG_DATA_HOME", home)
	xdg.Reload()
	t.Cleanup(xdg.Reload)
	path, err := DefaultPath()
	if want := filepath.Join(home, "unband", "unband.db"); err != nil || path != want {
		t.Errorf("%q, %v, want %q", path, err, want)
	}
	info, err := os.Stat(filepath.Dir(path))
	if err != nil || info.Mode().Perm() != 0o700 {
		t.Errorf("folder: %v, %v, want 0700", info, err)
	}
}

func TestASecondWindowIsRefused(t *testing.T) {
	s := tempStore(t)
	if _, err := Open(s.Path()); !errors.Is(err, ErrInUse) {
		t.Errorf("the second opening says %v", err)
	}
	must(t, s, AddSession{})
	s.Close()
	openStore(t, s.Path())
}

// Two windows may be started at the same moment, and neither may take away what the other made.
func TestTwoMakersOfOneFile(t *testing.T) {
	for range 20 {
		path := filepath.Join(t.TempDir(), "unband.db")
		var makers sync.WaitGroup
		for range 4 {
			makers.Go(func() {
				if err := create(path); err != nil {
					t.Error(err)
				}
			})
		}
		makers.Wait()
		if beside, _ := os.ReadDir(filepath.Dir(path)); len(beside) != 1 {
			t.Errorf("left are %v", beside)
		}
		wantSound(t, openStore(t, path))
	}
}

func TestMakingNeverReplacesAFile(t *testing.T) {
	s := tempStore(t)
	must(t, s, AddSession{})
	if err := create(s.Path()); err != nil {
		t.Error(err)
	}
	must(t, s, AddSession{}) // the file is still the one that is open
}

func TestTheFolderMayBeALinkAndChange(t *testing.T) {
	folder := t.TempDir()
	link := filepath.Join(t.TempDir(), "link")
	if err := os.Symlink(folder, link); err != nil {
		t.Skip("no links here: ", err)
	}
	s := openStore(t, filepath.Join(link, "unband.db"))
	if err := os.Remove(link); err != nil {
		t.Fatal(err)
	}
	must(t, s, AddSession{})
	dangling := filepath.Join(folder, "dangling.db")
	if err := os.Symlink(filepath.Join(folder, "nothing"), dangling); err != nil {
		t.Fatal(err)
	}
	if _, err := Open(dangling); err == nil {
		t.Error("a link to nothing was opened")
	}
}

func TestFilesThatAreRefused(t *testing.T) {
	sound := closedStore(t)
	for _, c := range []struct {
		why  string
		make func(t *testing.T, path string)
		want func(error) bool
	}{
		{"not a byte in it", write(nil), is(ErrEmpty)},
		{"a text", write([]byte("serial,decision\nB12345678C,keep\n")), is(ErrNotOurs)},
		{"a long text", write(bytes.Repeat([]byte("12345678 keep\n"), 5000)), is(ErrNotOurs)},
		{"zeros", write(make([]byte, 64<<10)), is(ErrNotOurs)},
		{"one byte", write([]byte{1}), is(ErrNotOurs)},
		{"a folder", func(t *testing.T, path string) { check(t, os.Mkdir(path, 0o700)) }, is(ErrNotRegular)},
		{"another program's bolt file", foreign("notes", ""), is(ErrNotOurs)},
		{"another program's bolt file with a bucket like ours", foreign("meta", "version"), is(ErrNotOurs)},
		{"another program's bolt file with a stamp like ours", foreign("meta", "program"), isA[*RecordError]},
		{"a newer version", stamped(sound, version+1), func(err error) bool {
			var e *VersionError
			return errors.As(err, &e) && e.Newer() && e.Found == version+1
		}},
		{"an older version", stamped(sound, 0), func(err error) bool {
			var e *VersionError
			return errors.As(err, &e) && !e.Newer()
		}},
		{"a bucket is missing", without(sound, bucketDigits), isA[*DamagedError]},
		{"both headers broken", func(t *testing.T, path string) {
			b := bytes.Clone(sound)
			b[pageHeaderSize+20] ^= 1
			b[os.Getpagesize()+pageHeaderSize+20] ^= 1
			write(b)(t, path)
		}, isA[*DamagedError]},
	} {
		t.Run(c.why, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "unband.db")
			c.make(t, path)
			before, _ := os.ReadFile(path)
			stat, err := os.Stat(path)
			check(t, err)
			s, err := Open(path)
			if err == nil {
				s.Close()
			}
			if !c.want(err) {
				t.Errorf("opening says: %v", err)
			}
			after, _ := os.ReadFile(path)
			again, err := os.Stat(path)
			check(t, err)
			if !bytes.Equal(before, after) || !stat.ModTime().Equal(again.ModTime()) || stat.Mode() != again.Mode() {
				t.Error("the file was touched")
			}
		})
	}
}

func TestFoldersThatAreRefused(t *testing.T) {
	if _, err := Open(filepath.Join(t.TempDir(), "nowhere", "unband.db")); !errors.Is(err, ErrNoFolder) {
		t.Errorf("a folder that is not there: %v", err)
	}
	if os.Getuid() == 0 {
		t.Skip("root may write everywhere: permissions are not tested")
	}
	folder := t.TempDir()
	check(t, os.Chmod(folder, 0o500))
	t.Cleanup(func() { _ = os.Chmod(folder, 0o700) })
	if _, err := Open(filepath.Join(folder, "unband.db")); !errors.Is(err, fs.ErrPermission) {
		t.Errorf("a folder without permission: %v", err)
	}
	for _, mode := range []fs.FileMode{0o000, 0o400} {
		s := tempStore(t)
		s.Close()
		check(t, os.Chmod(s.Path(), mode))
		if _, err := Open(s.Path()); !errors.Is(err, fs.ErrPermission) {
			t.Errorf("a file with mode %v: %v", mode, err)
		}
	}
}

// A file cut anywhere is refused, unless only unused pages at its end are gone.
func TestFilesCutShort(t *testing.T) {
	sound := closedStore(t)
	h, _, _ := readHeaders(bytes.NewReader(sound))
	step := h.pageSize / 2
	if *long {
		step = 64
	}
	for size := int64(1); size < int64(len(sound)); size += step {
		path := filepath.Join(t.TempDir(), "unband.db")
		write(sound[:size])(t, path)
		s, err := Open(path)
		if size >= h.pages*h.pageSize {
			if err != nil {
				t.Errorf("cut to %d bytes, all that is used: %v", size, err)
				continue
			}
			wantSound(t, s)
			s.Close()
			continue
		}
		if !isA[*DamagedError](err) && !errors.Is(err, ErrNotOurs) {
			t.Errorf("cut to %d of %d bytes: %v", size, len(sound), err)
		}
	}
}

// closedStore gives the bytes of a file with a strap of 100 notes that is done, and one of four notes, two listed
// ones and one in hand that is being sorted.
func closedStore(t *testing.T) []byte {
	t.Helper()
	s := tempStore(t)
	s.commit = commitWithoutSync
	strap := withStrap(t, s)
	for i := 1; i <= 100; i++ {
		n := plan(strap, i, 1)
		must(t, s, Decide{n})
		if i%10 == 0 {
			n.Version = 2
			must(t, s, Decide{n})
		}
	}
	s.keep = 0
	must(t, s, CloseStrap{strap.Session, strap.Number, start})
	open := triage.Strap{Session: strap.Session, Number: 2, Band: 100, Opened: start}
	must(t, s, List{Straps: []triage.Strap{open}, Notes: []triage.Listed{
		{Session: strap.Session, Strap: 2, Position: 1, Serial: note(open, 1).Serial, Origin: triage.FromList},
		{Session: strap.Session, Strap: 2, Position: 2, Text: "B4816?297C", Unread: "4816?297"}}})
	for i := 3; i <= 6; i++ {
		must(t, s, Decide{plan(open, i, 1)})
	}
	must(t, s, SetHand{strap.Session, 2, triage.Held{Serial: note(open, 7).Serial}})
	check(t, s.Close())
	b, err := os.ReadFile(s.Path())
	check(t, err)
	return b
}

func check(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func is(want error) func(error) bool { return func(err error) bool { return errors.Is(err, want) } }

func isA[E error](err error) bool {
	var e E
	return errors.As(err, &e)
}

func write(data []byte) func(*testing.T, string) {
	return func(t *testing.T, path string) { t.Helper(); check(t, os.WriteFile(path, data, 0o600)) }
}

// foreign makes a bolt file of another program, without a stored freelist: bbolt would write one
// into it as soon as it is opened for writing.
func foreign(bucket, key string) func(*testing.T, string) {
	return func(t *testing.T, path string) {
		db, err := bolt.Open(path, 0o600, &bolt.Options{NoFreelistSync: true})
		check(t, err)
		check(t, db.Update(func(tx *bolt.Tx) error {
			b, err := tx.CreateBucket([]byte(bucket))
			if err != nil || key == "" {
				return err
			}
			return b.Put([]byte(key), []byte("something else"))
		}))
		check(t, db.Close())
	}
}

// changed gives a copy of a file after a change made with bbolt.
func changed(sound []byte, change func(*bolt.Tx) error) func(*testing.T, string) {
	return func(t *testing.T, path string) {
		t.Helper()
		write(sound)(t, path)
		db, err := bolt.Open(path, 0o600, nil)
		check(t, err)
		check(t, db.Update(change))
		check(t, db.Close())
	}
}

func stamped(sound []byte, v uint32) func(*testing.T, string) {
	return changed(sound, func(tx *bolt.Tx) error {
		return putSealed(tx.Bucket([]byte(bucketMeta)), []byte(keyVersion), binary.BigEndian.AppendUint32(nil, v))
	})
}

func without(sound []byte, bucket string) func(*testing.T, string) {
	return changed(sound, func(tx *bolt.Tx) error { return tx.DeleteBucket([]byte(bucket)) })
}
