package outfile

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

// mostRedone is how often Update begins anew when others change the file
// meanwhile; those that hold its lock don't.
const mostRedone = 100

// Update puts what edit makes of the content of the file path in its place. A
// missing file is made: edit is given nil then. Runs that update one file at
// the same time do so one after the other; when another program changes it
// meanwhile, edit is called again with the new content. The error of edit is
// returned as it is.
//
// Permissions, owner and group stay, as does a symbolic link. A file for which
// the system does not allow that is refused, as is one with a second name by a
// hard link, under which the old content would stay.
func Update(path string, edit func(old []byte) ([]byte, error)) error {
	for range mostRedone {
		err := updateOnce(path, edit)
		var own *Error
		if !errors.As(err, &own) || own.Cause != Changed && own.Cause != Exists {
			return err
		}
	}
	return &Error{Path: path, Cause: Changed}
}

func updateOnce(path string, edit func(old []byte) ([]byte, error)) error {
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		content, err := edit(nil)
		if err != nil {
			return err
		}
		return Write(path, content, Options{})
	case err != nil:
		return failed(path, err)
	case info.IsDir():
		return failed(path, errFolder)
	case !info.Mode().IsRegular():
		return failed(path, errors.New("it is not a file"))
	}
	resolved, err := filepath.EvalSymlinks(path)
	if err != nil {
		return failed(path, err)
	}
	held, err := hold(resolved)
	if err != nil {
		return failed(path, err)
	}
	defer held.release()
	sweep(filepath.Dir(resolved), held.info)
	if n := links(resolved); n > 1 {
		return failed(path, fmt.Errorf("it has %d names (hard links), and the others would keep the old content; copy it, and write to the copy", n))
	}
	old, err := os.ReadFile(resolved)
	if err != nil {
		return failed(path, err)
	}
	content, err := edit(old)
	if err != nil {
		return err
	}
	return replace(path, old, content)
}

// replace puts content in the place of the file path, which must still hold
// old: what somebody saved since it was read stays.
func replace(path string, old, content []byte) error {
	s, err := stage(target{path, content}, Options{Force: true})
	if err != nil {
		return err
	}
	now, err := os.ReadFile(path)
	switch {
	case err != nil:
	case !bytes.Equal(now, old):
		err = &Error{Path: path, Cause: Changed}
	default:
		err = s.commit()
	}
	if err != nil {
		s.abandon()
	}
	return failed(path, err)
}
