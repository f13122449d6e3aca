package outfile

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"fitcoil/internal/must"
)

// put makes a file for a test.
func put(t *testing.T, path, content string) string {
	t.Helper()
	must.Do(t, os.WriteFile(path, []byte(content), 0o644))
	return path
}

func mustHold(t *testing.T, path, want string) {
	t.Helper()
	got, err := os.ReadFile(path)
	if err != nil || string(got) != want {
		t.Errorf("%s holds %q (%v), want %q", path, got, err, want)
	}
}

// mustList checks all names in dir, hidden ones too.
func mustList(t *testing.T, dir string, want ...string) {
	t.Helper()
	entries := must.Get(os.ReadDir(dir)).In(t)
	var got []string
	for _, e := range entries {
		got = append(got, e.Name())
	}
	if strings.Join(got, " ") != strings.Join(want, " ") {
		t.Errorf("folder holds %v, want %v", got, want)
	}
}

func mustRefuse(t *testing.T, err error, cause Cause) {
	t.Helper()
	var e *Error
	if !errors.As(err, &e) || e.Cause != cause {
		t.Fatalf("error is %v, want one of cause %d", err, cause)
	}
	if strings.Contains(err.Error(), ".fitcoil-") || strings.Contains(err.Error(), "\n") {
		t.Errorf("message shows inner names or more than a line: %q", err)
	}
}

func TestWriteNew(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "page.html")
	must.Do(t, Write(path, []byte("whole"), Options{}))
	mustHold(t, path, "whole")
	mustList(t, dir, "page.html")
	// a new file gets the permissions of any other new file of this user
	plain := must.Get(os.Create(filepath.Join(dir, "plain"))).In(t)
	defer plain.Close()
	want, _ := plain.Stat()
	got, _ := os.Stat(path)
	if got.Mode() != want.Mode() {
		t.Errorf("mode is %v, want %v", got.Mode(), want.Mode())
	}
}

func TestWriteRefusesToOverwrite(t *testing.T) {
	dir := t.TempDir()
	path := put(t, filepath.Join(dir, "page.html"), "precious")
	mustRefuse(t, Write(path, []byte("new"), Options{}), Exists)
	mustHold(t, path, "precious")
	mustList(t, dir, "page.html")
}

func TestWriteForced(t *testing.T) {
	dir := t.TempDir()
	path := put(t, filepath.Join(dir, "page.html"), "old")
	must.Do(t, os.Chmod(path, 0o640))
	must.Do(t, Write(path, []byte("new"), Options{Force: true}))
	mustHold(t, path, "new")
	mustList(t, dir, "page.html")
	if info, _ := os.Stat(path); info.Mode().Perm() != 0o640 {
		t.Errorf("mode became %v", info.Mode())
	}
}

func TestNeverOntoAnInput(t *testing.T) {
	dir := t.TempDir()
	log := put(t, filepath.Join(dir, "log.csv"), "readings")
	symbolic, hard := filepath.Join(dir, "symbolic"), filepath.Join(dir, "hard")
	if err := os.Symlink("log.csv", symbolic); err != nil {
		t.Skip("symbolic links can't be made here")
	}
	if err := os.Link(log, hard); err != nil {
		t.Skip("hard links can't be made here")
	}
	other := filepath.Join(dir, ".", "..", filepath.Base(dir), "log.csv")
	opt := Options{Force: true, Inputs: []string{"-", "missing.csv", log}}
	for _, path := range []string{log, symbolic, hard, other} {
		mustRefuse(t, Write(path, []byte("new"), opt), IsInput)
	}
	// the input may be named by the link, too
	opt.Inputs = []string{symbolic}
	mustRefuse(t, Write(log, []byte("new"), opt), IsInput)
	mustHold(t, log, "readings")
	mustList(t, dir, "hard", "log.csv", "symbolic")
}

func TestSymbolicLinkStays(t *testing.T) {
	dir, elsewhere := t.TempDir(), t.TempDir()
	path := put(t, filepath.Join(elsewhere, "page.html"), "old")
	link := filepath.Join(dir, "link.html")
	if err := os.Symlink(path, link); err != nil {
		t.Skip("symbolic links can't be made here")
	}
	mustRefuse(t, Write(link, []byte("new"), Options{}), Exists)
	must.Do(t, Write(link, []byte("new"), Options{Force: true}))
	mustHold(t, path, "new")
	if !isLink(link) {
		t.Error("the link became a file")
	}
	mustList(t, elsewhere, "page.html")

	nowhere := filepath.Join(dir, "nowhere")
	must.Do(t, os.Symlink(filepath.Join(dir, "gone"), nowhere))
	mustRefuse(t, Write(nowhere, []byte("new"), Options{Force: true}), Failed)
	mustList(t, dir, "link.html", "nowhere")
}

func TestWhatCannotBeWritten(t *testing.T) {
	dir := t.TempDir()
	file := put(t, filepath.Join(dir, "file"), "old")
	for name, path := range map[string]string{
		"folder":         dir,
		"no such folder": filepath.Join(dir, "none", "page.html"),
		"below a file":   filepath.Join(file, "page.html"),
		"no name":        "",
	} {
		err := Write(path, []byte("new"), Options{Force: true})
		mustRefuse(t, err, Failed)
		t.Logf("%s: %v", name, err)
	}
	mustList(t, dir, "file")
}

// A disk that fills up half-way leaves the old file and nothing else.
func TestFullDisk(t *testing.T) {
	dir := t.TempDir()
	path := put(t, filepath.Join(dir, "page.html"), "old")
	info, _ := os.Stat(path)
	s := &staged{given: path, path: path, old: info, replace: true}
	err := s.write(func(w io.Writer) error {
		_, _ = w.Write([]byte("half"))
		return &os.PathError{Op: "write", Path: s.temporary, Err: syscall.ENOSPC}
	})
	mustRefuse(t, err, Failed)
	if !errors.Is(err, syscall.ENOSPC) {
		t.Errorf("the reason got lost: %v", err)
	}
	mustHold(t, path, "old")
	mustList(t, dir, "page.html")
}

// Somebody else takes the name between the check and the end.
func TestNameTakenMeanwhile(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "page.html")
	s := must.Get(stage(target{path, []byte("ours")}, Options{})).In(t)
	put(t, path, "theirs")
	mustRefuse(t, s.commit(), Exists)
	abandon([]*staged{s})
	mustHold(t, path, "theirs")
	mustList(t, dir, "page.html")
}

func TestWriteAll(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "new", "plots")
	files := []File{{"a.svg", []byte("a")}, {"b.svg", []byte("b")}}
	must.Do(t, WriteAll(dir, files, Options{}))
	mustList(t, dir, "a.svg", "b.svg")
	mustHold(t, filepath.Join(dir, "b.svg"), "b")
}

func TestWriteAllOrNothing(t *testing.T) {
	dir := t.TempDir()
	put(t, filepath.Join(dir, "c.svg"), "precious")
	files := []File{{"a.svg", []byte("a")}, {"b.svg", []byte("b")}, {"c.svg", []byte("c")}}
	mustRefuse(t, WriteAll(dir, files, Options{}), Exists)
	mustList(t, dir, "c.svg")
	mustHold(t, filepath.Join(dir, "c.svg"), "precious")

	// the failure comes with the last rename: c.svg is a folder by then
	files[2].Name = "a.svg"
	mustRefuse(t, WriteAll(dir, files, Options{}), Exists)
	mustList(t, dir, "c.svg")

	// folders made for nothing go again
	top := filepath.Join(dir, "top")
	files[2].Name = "none/c.svg"
	mustRefuse(t, WriteAll(filepath.Join(top, "plots"), files, Options{}), Failed)
	mustList(t, dir, "c.svg")
}

func TestMessages(t *testing.T) {
	for _, c := range []struct {
		err  Error
		want string
	}{
		{Error{"a.svg", Exists, nil}, "can't write a.svg: it exists; choose another name, or overwrite it with --force"},
		{Error{"a.csv", IsInput, nil}, "can't write a.csv: it is an input of this run; choose another name"},
		{Error{"a.csv", Changed, nil}, "can't write a.csv: it was changed since it was read; try again"},
		{Error{"a.svg", Failed, syscall.ENOSPC}, "can't write a.svg: no space is left; free some, or choose another place"},
	} {
		if got := c.err.Error(); got != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
}
