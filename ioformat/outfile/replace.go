package outfile

import (
	"bytes"
	"errors"
	"os"
)

// Replace puts content in the place of the file path, which must still hold
// old: a log that somebody saved since it was read keeps what they saved. The
// permissions stay, as does a symbolic link; another hard link keeps the old
// content.
func Replace(path string, old, content []byte) error {
	s, err := stage(target{path, content}, Options{Force: true})
	if err != nil {
		return err
	}
	if s.temporary == "" {
		return failed(path, errors.New("it is not a file"))
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
		abandon([]*staged{s})
	}
	return failed(path, err)
}
