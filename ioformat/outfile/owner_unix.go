//go:build unix

package outfile

import (
	"fmt"
	"io/fs"
	"os"
	"syscall"
)

// keepOwner gives f the owner and the group of the file old, or says why the
// system doesn't allow it.
func keepOwner(f *os.File, old fs.FileInfo) error {
	info, err := f.Stat()
	if err != nil {
		return err
	}
	was, ok := old.Sys().(*syscall.Stat_t)
	is, both := info.Sys().(*syscall.Stat_t)
	if !ok || !both || was.Uid == is.Uid && was.Gid == is.Gid {
		return nil
	}
	if err := f.Chown(int(was.Uid), int(was.Gid)); err != nil {
		return fmt.Errorf("its owner (user %d, group %d) can't be kept; let the owner write it, or write to a copy", was.Uid, was.Gid)
	}
	return nil
}

// links returns how many names (hard links) the file path has.
func links(path string) int {
	if info, err := os.Stat(path); err == nil {
		if s, ok := info.Sys().(*syscall.Stat_t); ok {
			return int(s.Nlink)
		}
	}
	return 1
}
