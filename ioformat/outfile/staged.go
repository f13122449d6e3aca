package outfile

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
)

var errFolder = errors.New("it is a folder; name a file")

// staged is a file whose content is safe on the disk under a temporary name.
type staged struct {
	given     string      // path as the caller gave it, for messages
	path      string      // the same with symbolic links resolved
	old       fs.FileInfo // what is there now; nil for nothing
	temporary string      // "" for a device, which is written at commit
	file      *os.File    // the temporary one, open where that shows that it is in use
	device    []byte
	replace   bool
}

// stage checks that t may be written, and puts its content beside its place.
func stage(t target, opt Options) (*staged, error) {
	s := &staged{given: t.path, path: t.path, replace: opt.Force}
	old, err := os.Stat(t.path)
	switch {
	case err == nil:
		s.old = old
	case !errors.Is(err, fs.ErrNotExist):
		return nil, failed(t.path, err)
	case isLink(t.path):
		return nil, failed(t.path, errors.New("it is a link that leads nowhere"))
	}
	if s.old != nil {
		if err := s.admit(opt); err != nil {
			return nil, err
		}
		if !s.old.Mode().IsRegular() {
			s.device = t.content
			return s, nil
		}
	}
	return s, s.write(func(w io.Writer) error {
		_, err := w.Write(t.content)
		return err
	})
}

func isLink(path string) bool {
	info, err := os.Lstat(path)
	return err == nil && info.Mode()&fs.ModeSymlink != 0
}

// admit tells whether what is there now may be written over.
func (s *staged) admit(opt Options) error {
	for _, name := range opt.Inputs {
		if info, err := os.Stat(name); name != "-" && err == nil && os.SameFile(info, s.old) {
			return &Error{Path: s.given, Cause: IsInput}
		}
	}
	switch mode := s.old.Mode(); {
	case mode.IsDir():
		return failed(s.given, errFolder)
	case !mode.IsRegular():
		return nil
	case opt.Force:
	case opt.Own != nil && s.owned(opt.Own):
		s.replace = true
	default:
		return &Error{Path: s.given, Cause: Exists}
	}
	resolved, err := filepath.EvalSymlinks(s.path)
	if err != nil {
		return failed(s.given, err)
	}
	s.path = resolved
	return s.writable()
}

// owned tells whether the old content may be replaced.
func (s *staged) owned(own func([]byte) bool) bool {
	const most = 1 << 26 // bytes; no figure has more
	if s.old.Size() > most {
		return false
	}
	content, err := os.ReadFile(s.path)
	return err == nil && own(content)
}

// writable asks whether the old file may be written: taking its name would need
// no more than the folder's permission, but a file that is marked read-only is
// meant to stay.
func (s *staged) writable() error {
	f, err := os.OpenFile(s.path, os.O_WRONLY, 0)
	if err != nil {
		return failed(s.given, err)
	}
	return failed(s.given, f.Close())
}

// write puts what fill writes into the temporary file, and that onto the disk.
// On failure nothing is left.
func (s *staged) write(fill func(io.Writer) error) error {
	f, err := create(filepath.Dir(s.path))
	if err != nil {
		return failed(s.given, err)
	}
	s.temporary, s.file = f.Name(), f
	err = fill(f)
	if err == nil && s.old != nil {
		if err = keepOwner(f, s.old); err == nil { // which may take permissions away
			err = f.Chmod(s.old.Mode().Perm())
		}
	}
	if err == nil {
		err = f.Sync()
	}
	if err == nil && !keepsOpen {
		err = s.close()
	}
	if err != nil {
		s.abandon()
	}
	return failed(s.given, err)
}

// close closes the temporary file.
func (s *staged) close() (err error) {
	if s.file != nil {
		err, s.file = s.file.Close(), nil
	}
	return err
}

// abandon removes the temporary file.
func (s *staged) abandon() {
	if s.temporary != "" {
		if !keepsOpen {
			s.close()
		}
		os.Remove(s.temporary)
		s.close()
	}
}

// commit gives the file its name.
func (s *staged) commit() error {
	if s.temporary == "" {
		return failed(s.given, writeDevice(s.path, s.device))
	}
	if err := s.rename(); err != nil {
		return err
	}
	syncFolder(filepath.Dir(s.path))
	return failed(s.given, s.close())
}

// rename takes the target's name. Where nothing may be overwritten it does so
// by a link, which fails if meanwhile somebody else took the name; file systems
// without links get the check just before.
func (s *staged) rename() error {
	if !s.replace {
		err := os.Link(s.temporary, s.path)
		if err == nil {
			os.Remove(s.temporary)
			return nil
		}
		if _, lstat := os.Lstat(s.path); errors.Is(err, fs.ErrExist) || lstat == nil {
			return &Error{Path: s.given, Cause: Exists}
		}
	}
	return failed(s.given, os.Rename(s.temporary, s.path))
}

func writeDevice(path string, content []byte) error {
	f, err := os.OpenFile(path, os.O_WRONLY, 0)
	if err != nil {
		return err
	}
	_, err = f.Write(content)
	if e := f.Close(); err == nil {
		err = e
	}
	return err
}

// syncFolder makes the new name survive a loss of power. Not every system can;
// the file is whole either way, so a refusal is no failure.
func syncFolder(dir string) {
	if d, err := os.Open(dir); err == nil {
		_ = d.Sync()
		_ = d.Close()
	}
}

// A temporary file is named so, and locked while it is in use.
var temporaryName = regexp.MustCompile(`^\.fitcoil-[0-9a-f]{16}$`)

// create makes a new file in dir with the permissions that any new file of the
// user gets, which those of os.CreateTemp are not.
func create(dir string) (*os.File, error) {
	for range 100 {
		name := filepath.Join(dir, fmt.Sprintf(".fitcoil-%016x", rand.Uint64()))
		f, err := os.OpenFile(name, os.O_RDWR|os.O_CREATE|os.O_EXCL, 0o666)
		switch {
		case errors.Is(err, fs.ErrExist):
		case err != nil:
			return nil, err
		case claim(f):
			return f, nil
		default:
			f.Close()
		}
	}
	return nil, errors.New("no name is left for a temporary file")
}

// sweep removes the temporary files that killed runs left in dir. own is a file
// that the caller holds, nil for none.
func sweep(dir string, own fs.FileInfo) {
	d, err := os.Open(dir)
	if err != nil {
		return
	}
	defer d.Close()
	names, _ := d.Readdirnames(-1)
	for _, name := range names {
		if temporaryName.MatchString(name) {
			clear(filepath.Join(dir, name), own)
		}
	}
}
