//go:build unix

package outfile

import (
	"os"
	"os/exec"
	"path/filepath"
	"syscall"
	"testing"
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
	own, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	content, err := os.ReadFile(own)
	if err != nil {
		t.Fatal(err)
	}
	dir, err := os.MkdirTemp("", "outfile")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { os.RemoveAll(dir) })
	program := filepath.Join(dir, "test")
	if err := os.WriteFile(program, content, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.Chmod(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	return program
}

func TestReadOnly(t *testing.T) {
	if !asNobody(t) {
		return
	}
	dir := t.TempDir()
	path := put(t, filepath.Join(dir, "old.csv"), "old")

	// a file marked read-only is meant to stay, though its folder would allow it
	if err := os.Chmod(path, 0o444); err != nil {
		t.Fatal(err)
	}
	mustRefuse(t, Write(path, []byte("new"), Options{Force: true}), Failed)
	mustRefuse(t, Replace(path, []byte("old"), []byte("new")), Failed)
	mustHold(t, path, "old")

	if err := os.Chmod(dir, 0o555); err != nil {
		t.Fatal(err)
	}
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
	if err := Write(os.DevNull, []byte("nothing"), Options{}); err != nil {
		t.Fatal(err)
	}
	info, err := os.Stat(os.DevNull)
	if err != nil || info.Mode().IsRegular() {
		t.Fatalf("%s is no device any more: %v %v", os.DevNull, info, err)
	}
	if _, err := os.Stat("/dev/full"); err == nil {
		mustRefuse(t, Write("/dev/full", []byte("too much"), Options{}), Failed)
	}
	mustRefuse(t, Replace(os.DevNull, nil, []byte("row")), Failed)
}
