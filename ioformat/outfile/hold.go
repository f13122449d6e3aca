package outfile

import (
	"errors"
	"io/fs"
	"os"
	"time"
)

// held is a file that no other run of this program may replace until it is
// released. The system releases what a killed run held.
type held struct {
	info    fs.FileInfo
	release func()
}

// longest is how long hold waits for another run.
const longest = 20 * time.Second

// errBusy means that another run holds the file.
var errBusy = errors.New("another run of fitcoil has been writing it for too long; end that one, or wait for it")

// hold waits until the file path is free, and holds it. Whoever waited may
// find that the file has been replaced by then: it tries again with the new
// one, so that what is held is always what stands under the name.
func hold(path string) (held, error) {
	pause := time.Millisecond
	for begin := time.Now(); time.Since(begin) < longest; time.Sleep(pause) {
		h, err := tryHold(path)
		switch {
		case errors.Is(err, errBusy):
			pause = min(2*pause, 20*time.Millisecond)
			continue
		case err != nil:
			return h, err
		}
		if now, err := os.Stat(path); err == nil && os.SameFile(now, h.info) {
			return h, nil
		}
		h.release()
		pause = time.Millisecond
	}
	return held{}, errBusy
}
