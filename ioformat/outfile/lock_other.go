//go:build !(darwin || dragonfly || freebsd || linux || netbsd || openbsd)

package outfile

import (
	"io/fs"
	"os"
	"time"
)

// claim has nothing to do: a file that is open can't be removed here.
func claim(*os.File) bool { return true }

// clear removes the file path unless a process may have it in use: between
// the end of its writing and its new name it is closed for a moment.
func clear(path string, _ fs.FileInfo) {
	const moment = 10 * time.Minute
	if info, err := os.Lstat(path); err == nil && info.Mode().IsRegular() && time.Since(info.ModTime()) > moment {
		os.Remove(path)
	}
}

// keepsOpen says that a file which is in use may take another's name.
const keepsOpen = false
