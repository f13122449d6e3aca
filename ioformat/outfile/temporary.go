package outfile

import (
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
)

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
