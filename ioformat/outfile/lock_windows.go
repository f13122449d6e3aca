package outfile

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"syscall"
)

// tryHold holds the file path by a file beside it, which nobody else can open
// and which the system removes when the process ends; or it fails with errBusy.
func tryHold(path string) (held, error) {
	const deleteOnClose = 0x04000000 // FILE_FLAG_DELETE_ON_CLOSE
	const sharingViolation = syscall.Errno(32)
	info, err := os.Stat(path)
	if err != nil {
		return held{}, err
	}
	beside := filepath.Join(filepath.Dir(path), ".fitcoil-lock-"+filepath.Base(path))
	name, err := syscall.UTF16PtrFromString(beside)
	if err != nil {
		return held{}, err
	}
	h, err := syscall.CreateFile(name, syscall.GENERIC_WRITE, 0, nil, syscall.OPEN_ALWAYS, syscall.FILE_ATTRIBUTE_HIDDEN|deleteOnClose, 0)
	switch {
	case errors.Is(err, sharingViolation):
		return held{}, errBusy
	case errors.Is(err, syscall.ERROR_ACCESS_DENIED):
		if _, gone := os.Lstat(beside); gone == nil || !errors.Is(gone, fs.ErrNotExist) {
			return held{}, errBusy // it is on its way out
		}
		return held{}, err
	case err != nil:
		return held{}, err
	}
	return held{info, func() { syscall.CloseHandle(h) }}, nil
}
