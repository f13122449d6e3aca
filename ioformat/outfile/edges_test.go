//go:build unix

package outfile

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"testing/synctest"
	"time"

	"fitcoil/internal/must"
)

// What can't be written is told in words, by the name given.
func TestToldInWords(t *testing.T) {
	dir := t.TempDir()
	file := put(t, filepath.Join(dir, "file"), "old")
	nowhere, pipe := filepath.Join(dir, "nowhere"), filepath.Join(dir, "pipe")
	if err := os.Symlink("gone", nowhere); err != nil {
		t.Skip("symbolic links can't be made here")
	}
	if err := syscall.Mkfifo(pipe, 0o600); err != nil {
		t.Skip("pipes can't be made here")
	}
	if err := os.Link(file, filepath.Join(dir, "second")); err != nil {
		t.Skip("hard links can't be made here")
	}
	write := func(path string) error { return Write(path, nil, Options{Force: true}) }
	update := func(path string) error { return Update(path, become("")) }
	for _, c := range []struct {
		do         func(string) error
		path, want string
	}{
		{write, dir, "it is a folder; name a file"},
		{update, dir, "it is a folder; name a file"},
		{write, nowhere, "it is a link that leads nowhere"},
		{update, pipe, "it is not a file"},
		{update, file, "it has 2 names (hard links), and the others would keep the old content; copy it, and write to the copy"},
		{write, filepath.Join(dir, "none", "a"), "its folder doesn't exist; make it first"},
		{write, filepath.Join(file, "a"), "a file stands where a folder is needed; choose another name"},
	} {
		if err := c.do(c.path); err == nil || err.Error() != "can't write "+c.path+": "+c.want {
			t.Errorf("%s: %v", c.path, err)
		}
	}
	for err, want := range map[error]string{syscall.EROFS: "nothing can be written there; choose another place", syscall.EIO: syscall.EIO.Error(),
		syscall.EACCES: "you have no permission; choose another place"} {
		for _, is := range []error{err, &fs.PathError{Op: "open", Path: ".fitcoil-1", Err: err}, &os.LinkError{Op: "link", Old: ".fitcoil-1", New: "b", Err: err}} {
			told := failed("a\nb", is)
			if told.Error() != "can't write a<U+000A>b: "+want || !errors.Is(told, err) {
				t.Errorf("%q", told)
			}
			if failed("other", told) != told {
				t.Error("an error is told twice")
			}
		}
	}
	if failed("a", nil) != nil {
		t.Error("nothing has failed")
	}
}

// What the program knows as its own is overwritten, but no file beyond 64 MiB is looked into.
func TestOwnFiles(t *testing.T) {
	dir := t.TempDir()
	path := put(t, filepath.Join(dir, "a.svg"), "ours")
	asked := 0
	own := Options{Own: func(content []byte) bool { asked++; return string(content) == "ours" }}
	must.Do(t, Write(path, []byte("new"), own))
	mustHold(t, path, "new")
	mustRefuse(t, Write(path, []byte("newer"), own), Exists)
	mustHold(t, path, "new")
	if asked != 2 {
		t.Errorf("asked %d times", asked)
	}
	own.Own = func(content []byte) bool { asked++; return true }
	for size, is := range map[int64]bool{1 << 26: true, 1<<26 + 1: false} {
		asked = 0
		must.Do(t, os.Truncate(path, size))
		s := &staged{path: path}
		s.old, _ = os.Stat(path)
		if s.owned(own.Own) != is || is != (asked == 1) {
			t.Errorf("%d bytes: looked into %d times", size, asked)
		}
	}
	if (&staged{path: filepath.Join(dir, "gone"), old: mustStat(t, dir)}).owned(own.Own) {
		t.Error("a missing file is ours")
	}
}

func mustStat(t *testing.T, path string) fs.FileInfo {
	t.Helper()
	return must.Get(os.Stat(path)).In(t)
}

// A pipe gets the content, and stays a pipe.
func TestPipe(t *testing.T) {
	pipe := filepath.Join(t.TempDir(), "pipe")
	if err := syscall.Mkfifo(pipe, 0o600); err != nil {
		t.Skip("pipes can't be made here")
	}
	read := make(chan string)
	go func() {
		content, _ := os.ReadFile(pipe)
		read <- string(content)
	}()
	must.Do(t, Write(pipe, []byte("flows"), Options{}))
	if got := <-read; got != "flows" || mustStat(t, pipe).Mode()&fs.ModeNamedPipe == 0 {
		t.Errorf("the pipe carried %q", got)
	}
}

// No run leaves a file open, whether it succeeds or fails.
func TestNothingStaysOpen(t *testing.T) {
	open := func() int {
		list, err := os.ReadDir("/proc/self/fd")
		if err != nil {
			t.Skip("this system doesn't tell what is open")
		}
		return len(list)
	}
	dir := t.TempDir()
	path := put(t, filepath.Join(dir, "a.csv"), "old")
	link := filepath.Join(dir, "new")
	before := open()
	for i := range 20 {
		_ = Write(path, []byte("new"), Options{Force: true})
		_ = Write(path, []byte("new"), Options{})
		_ = Write(os.DevNull, nil, Options{})
		_ = WriteAll(filepath.Join(dir, "set"), []File{{"a", nil}, {"a", nil}}, Options{})
		_ = Update(path, line("row"))
		_ = Update(path, func([]byte) ([]byte, error) { return nil, errors.New("no") })
		_ = replace(path, []byte("else"), nil)
		_ = (&staged{given: link, path: link}).write(func(io.Writer) error { return errors.New("full") })
		put(t, filepath.Join(dir, fmt.Sprintf(".fitcoil-%016x", i)), "left")
		sweep(dir, nil)
	}
	if after := open(); after > before {
		t.Errorf("%d files are open after %d", after, before)
	}
	mustList(t, dir, "a.csv")
}

// A file that changes whenever it is read is given up after a hundred times.
func TestChangedAgainAndAgain(t *testing.T) {
	path := put(t, filepath.Join(t.TempDir(), "a.csv"), "")
	times := 0
	err := Update(path, func(old []byte) ([]byte, error) {
		times++
		put(t, path, strings.Repeat("x", times))
		return old, nil
	})
	mustRefuse(t, err, Changed)
	if times != 100 || err.(*Error).Path != path {
		t.Errorf("after %d times: %v", times, err)
	}
	mustHold(t, path, strings.Repeat("x", 100))
}

// Of a set that fails in the end, what is new goes again, what replaced an older file stays.
func TestWithdrawn(t *testing.T) {
	dir := t.TempDir()
	put(t, filepath.Join(dir, "b"), "old")
	var list []*staged
	for _, name := range []string{"a", "b"} {
		s := must.Get(stage(target{filepath.Join(dir, name), []byte("new")}, Options{Force: true})).In(t)
		must.Do(t, s.commit())
		list = append(list, s)
	}
	device := &staged{path: filepath.Join(dir, "b")}
	withdraw(append(list, device))
	mustList(t, dir, "b")
	mustHold(t, filepath.Join(dir, "b"), "new")
}

// Folders are made as far as they are missing, the innermost is told first.
func TestFoldersMade(t *testing.T) {
	dir := t.TempDir()
	made, err := makeFolder(filepath.Join(dir, "a", "b"))
	if err != nil || len(made) != 2 || made[0] != filepath.Join(dir, "a", "b") || made[1] != filepath.Join(dir, "a") {
		t.Errorf("%q, %v", made, err)
	}
	if again, err := makeFolder(filepath.Join(dir, "a", "b")); err != nil || len(again) != 0 {
		t.Errorf("%q, %v", again, err)
	}
	file := put(t, filepath.Join(dir, "file"), "")
	err = WriteAll(file, nil, Options{})
	mustRefuse(t, err, Failed)
	if err.(*Error).Path != file {
		t.Errorf("%v", err)
	}
}

// Whoever holds a file keeps others out until it is released; whoever finds it replaced holds
// the new one.
func TestHeld(t *testing.T) {
	path := put(t, filepath.Join(t.TempDir(), "a.csv"), "old")
	h, err := hold(path)
	if err != nil || !os.SameFile(h.info, mustStat(t, path)) {
		t.Fatalf("%+v, %v", h, err)
	}
	if _, err := tryHold(path); !errors.Is(err, errBusy) {
		t.Errorf("held twice: %v", err)
	}
	other := put(t, path+"2", "new")
	must.Do(t, os.Rename(other, path))
	second, err := hold(path) // the new file is free
	if err != nil || !os.SameFile(second.info, mustStat(t, path)) {
		t.Fatalf("%+v, %v", second, err)
	}
	h.release()
	second.release()
	if third, err := tryHold(path); err != nil {
		t.Error(err)
	} else {
		third.release()
	}
	if _, err := hold(path + "3"); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("%v", err)
	}
	if n := links(path + "3"); n != 1 {
		t.Errorf("a missing file has %d names", n)
	}
}

// Who waited for a file holds what stands under its name then, not what was replaced meanwhile.
func TestHoldsWhatStandsThere(t *testing.T) {
	dir := t.TempDir()
	path, next := put(t, filepath.Join(dir, "log.csv"), "old"), put(t, filepath.Join(dir, "next.csv"), "new")
	first := must.Get(hold(path)).In(t)
	if _, err := tryHold(path); !errors.Is(err, errBusy) {
		t.Fatalf("it is held twice: %v", err)
	}
	type got struct {
		held
		err error
	}
	waited := make(chan got, 1)
	go func() {
		h, err := hold(path)
		waited <- got{h, err}
	}()
	time.Sleep(20 * time.Millisecond) // it has the old one open by then, or will open the new one
	must.Do(t, os.Rename(next, path))
	first.release()
	second := <-waited
	must.Do(t, second.err)
	defer second.release()
	if now := must.Get(os.Stat(path)).In(t); !os.SameFile(now, second.info) || os.SameFile(now, first.info) {
		t.Error("what is held isn't what stands there")
	}
}

// A temporary file that was cleared away before it was locked, or whose name another has, is no
// one's own.
func TestClaim(t *testing.T) {
	dir := t.TempDir()
	for want, meanwhile := range map[bool]func(path string){
		true:  func(string) {},
		false: func(path string) { must.Do(t, os.Remove(path)); put(t, path, "another's") },
	} {
		f := must.Get(os.OpenFile(filepath.Join(dir, fmt.Sprint(want)), os.O_RDWR|os.O_CREATE, 0o600)).In(t)
		defer f.Close()
		meanwhile(f.Name())
		if claim(f) != want {
			t.Errorf("claimed %v, want %v", !want, want)
		}
	}
	gone := must.Get(os.Create(filepath.Join(dir, "gone"))).In(t)
	defer gone.Close()
	must.Do(t, os.Remove(gone.Name()))
	if claim(gone) {
		t.Error("a file that is gone is claimed")
	}
}

// "-" among inputs is standard input, not a file of that name; a folder is made for all who may
// see what the user makes.
func TestDashAndFolder(t *testing.T) {
	t.Chdir(t.TempDir())
	put(t, "-", "old")
	must.Do(t, Write("./-", []byte("new"), Options{Force: true, Inputs: []string{"-"}}))
	mustHold(t, "-", "new")
	mustRefuse(t, Write("-", nil, Options{Force: true, Inputs: []string{"./-"}}), IsInput)
	must.Do(t, WriteAll("plots/deep", []File{{"a", nil}}, Options{}))
	must.Do(t, os.Mkdir("own", 0o777))
	want := must.Get(os.Stat("own")).In(t).Mode()
	for _, dir := range []string{"plots", "plots/deep"} {
		if got := must.Get(os.Stat(dir)).In(t).Mode(); got != want {
			t.Errorf("%s has %v, want %v", dir, got, want)
		}
	}
}

// Who waits for a file that another run holds asks again at once, later every 20 ms, and gives up after 20 s: by
// the clock of a test, in which nobody waits.
func TestHowLongIsWaited(t *testing.T) {
	path := put(t, filepath.Join(t.TempDir(), "log.csv"), "old")
	synctest.Test(t, func(t *testing.T) {
		first := must.Get(hold(path)).In(t)
		begin := time.Now()
		_, err := hold(path)
		if waited := time.Since(begin); !errors.Is(err, errBusy) || waited < 20*time.Second || waited > 20*time.Second+20*time.Millisecond {
			t.Errorf("after %v: %v", waited, err)
		}
		for _, busy := range []time.Duration{0, time.Millisecond, 15 * time.Second} {
			begin = time.Now()
			time.AfterFunc(busy, first.release)
			first = must.Get(hold(path)).In(t)
			if late := time.Since(begin) - busy; late < 0 || late > 20*time.Millisecond || busy < 2*time.Millisecond && late > 2*time.Millisecond {
				t.Errorf("free after %v, held %v later", busy, late)
			}
		}
		first.release()
	})
}
