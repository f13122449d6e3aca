//go:build unix

package outfile

import (
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"fitcoil/internal/must"
)

// asNobody runs the calling test again without the rights of root, for whom no
// folder is read-only. It returns true in the process that should test.
func asNobody(t *testing.T) bool {
	if os.Geteuid() != 0 {
		return true
	}
	const nobody = 65534
	cmd := exec.Command(openCopy(t), "-test.run=^"+t.Name()+"$", "-test.v")
	cmd.Dir = "/"
	cmd.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: nobody, Gid: nobody}}
	out, err := cmd.CombinedOutput()
	if err != nil {
		t.Fatalf("without the rights of root: %v\n%s", err, out)
	}
	return false
}

// openCopy copies the test program to where everybody may run it.
func openCopy(t *testing.T) string {
	own := must.Get(os.Executable()).In(t)
	content := must.Get(os.ReadFile(own)).In(t)
	dir := must.Get(os.MkdirTemp("", "outfile")).In(t)
	t.Cleanup(func() { os.RemoveAll(dir) })
	program := filepath.Join(dir, "test")
	must.Do(t, os.WriteFile(program, content, 0o755))
	must.Do(t, os.Chmod(dir, 0o755))
	return program
}

func TestReadOnly(t *testing.T) {
	if !asNobody(t) {
		return
	}
	dir := t.TempDir()
	path := put(t, filepath.Join(dir, "old.csv"), "old")

	// a file marked read-only is meant to stay, though its folder would allow it
	must.Do(t, os.Chmod(path, 0o444))
	mustRefuse(t, Write(path, []byte("new"), Options{Force: true}), Failed)
	mustRefuse(t, Update(path, become("new")), Failed)
	mustHold(t, path, "old")

	link := filepath.Join(t.TempDir(), "link.csv")
	must.Do(t, os.Symlink(path, link))
	told := func(err error) {
		t.Helper()
		if want := "can't write " + link + ": you have no permission; choose another place"; err == nil || err.Error() != want {
			t.Errorf("got %v, want %q", err, want)
		}
	}
	told(Write(link, []byte("new"), Options{Force: true}))
	told(Update(link, become("new")))
	must.Do(t, os.Chmod(path, 0o644))

	must.Do(t, os.Chmod(dir, 0o555))
	told(Write(link, []byte("new"), Options{Force: true})) // by the name given, whatever it leads to
	told(Update(link, become("new")))
	defer os.Chmod(dir, 0o755) // or it can't be cleared away
	err := Write(filepath.Join(dir, "new.csv"), []byte("new"), Options{})
	mustRefuse(t, err, Failed)
	if want := "can't write " + filepath.Join(dir, "new.csv") + ": you have no permission; choose another place"; err.Error() != want {
		t.Errorf("got %q, want %q", err, want)
	}
	mustRefuse(t, WriteAll(filepath.Join(dir, "plots"), nil, Options{}), Failed)
	mustList(t, dir, "old.csv")
}

func TestDevice(t *testing.T) {
	must.Do(t, Write(os.DevNull, []byte("nothing"), Options{}))
	info, err := os.Stat(os.DevNull)
	if err != nil || info.Mode().IsRegular() {
		t.Fatalf("%s is no device any more: %v %v", os.DevNull, info, err)
	}
	if _, err := os.Stat("/dev/full"); err == nil {
		mustRefuse(t, Write("/dev/full", []byte("too much"), Options{}), Failed)
	}
	mustRefuse(t, Update(os.DevNull, become("row")), Failed)
}

// Owner and group stay where the system allows it; else nothing is written.
func TestOwner(t *testing.T) {
	if os.Geteuid() != 0 {
		t.Skip("only root can give a file to others")
	}
	for _, owner := range [][2]int{{1234, 2345}, {0, 2345}, {1234, 0}} {
		path := put(t, filepath.Join(t.TempDir(), "log.csv"), "old")
		must.Do(t, os.Chown(path, owner[0], owner[1]))
		for _, err := range []error{Update(path, become("new")), Write(path, []byte("newer"), Options{Force: true})} {
			if err != nil {
				t.Fatal(err)
			}
			info, _ := os.Stat(path)
			if s := info.Sys().(*syscall.Stat_t); int(s.Uid) != owner[0] || int(s.Gid) != owner[1] {
				t.Errorf("the file belongs to %d:%d, not to %v", s.Uid, s.Gid, owner)
			}
		}
		mustHold(t, path, "newer")
	}
}

func TestOwnerThatCannotBeKept(t *testing.T) {
	foreign := os.Getenv("FOREIGN_FILE")
	if os.Geteuid() == 0 { // a file that everybody may write, in a folder of that kind
		dir := filepath.Dir(openCopy(t))
		must.Do(t, os.Chmod(dir, 0o777))
		foreign = put(t, filepath.Join(dir, "log.csv"), "old")
		must.Do(t, os.Chmod(foreign, 0o666))
		must.Do(t, os.Chown(foreign, 1234, 2345))
		t.Setenv("FOREIGN_FILE", foreign)
	}
	if foreign == "" {
		t.Skip("there is no file of somebody else")
	}
	if !asNobody(t) {
		mustHold(t, foreign, "old")
		mustList(t, filepath.Dir(foreign), "log.csv", "test")
		return
	}
	err := Update(foreign, become("new"))
	mustRefuse(t, err, Failed)
	if !strings.Contains(err.Error(), "its owner (user 1234, group 2345) can't be kept; let the owner write it, or write to a copy") {
		t.Error(err)
	}
}

// TestKilledWhileHolding: what a killed process held is free again.
func TestKilledWhileHolding(t *testing.T) {
	if path := os.Getenv("HOLD_FILE"); path != "" {
		must.Get(hold(path)).In(t)
		must.Get(create(filepath.Dir(path))).In(t)
		os.Stdout.WriteString("held\n")
		time.Sleep(time.Minute)
		return
	}
	dir := t.TempDir()
	path := put(t, filepath.Join(dir, "log.csv"), "old")
	cmd := exec.Command(os.Args[0], "-test.run=^"+t.Name()+"$")
	cmd.Env = append(os.Environ(), "HOLD_FILE="+path)
	out := must.Get(cmd.StdoutPipe()).In(t)
	must.Do(t, cmd.Start())
	if said := make([]byte, 5); true {
		if _, err := io.ReadFull(out, said); err != nil || string(said) != "held\n" {
			t.Fatalf("%q, %v", said, err)
		}
	}
	if _, err := tryHold(path); !errors.Is(err, errBusy) {
		t.Errorf("what another process holds is free: %v", err)
	}
	sweep(dir, nil)
	if list, _ := os.ReadDir(dir); len(list) != 2 {
		t.Errorf("a temporary file in use was removed: %v", list)
	}
	cmd.Process.Kill()
	cmd.Wait()
	must.Do(t, Update(path, become("new")))
	mustHold(t, path, "new")
	mustList(t, dir, "log.csv")
}
