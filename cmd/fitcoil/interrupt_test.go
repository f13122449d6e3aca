//go:build unix

package main

import (
	"bytes"
	"io"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"fitcoil/internal/must"
)

// A real process that reads and is interrupted ends quietly with its own exit
// code, and leaves no file.
func TestInterrupt(t *testing.T) {
	for _, s := range []syscall.Signal{syscall.SIGINT, syscall.SIGTERM} {
		folder := t.TempDir()
		cmd := exec.Command("fitcoil", "fit", "-", "--plots", filepath.Join(folder, "figures"))
		var told bytes.Buffer
		cmd.Stderr = &told
		in, err := cmd.StdinPipe()
		if err != nil {
			t.Fatal(err)
		}
		must.Do(t, cmd.Start())
		// Pipes hold 64 KiB: when more is taken, the process reads, and so has
		// its handler in place.
		must.Get(io.WriteString(in, "frequency [MHz]\n"+strings.Repeat("2.524\n", 100_000))).In(t)
		must.Do(t, cmd.Process.Signal(s))
		err = cmd.Wait()
		if code := cmd.ProcessState.ExitCode(); code != exitInterrupted {
			t.Errorf("%v: exit code %d (%v), want %d", s, code, err, exitInterrupted)
		}
		if told.Len() > 0 {
			t.Errorf("%v: standard error holds %q", s, told.String())
		}
		if left, _ := os.ReadDir(folder); len(left) > 0 {
			t.Errorf("%v: %s was left", s, left[0].Name())
		}
	}
}

// An interrupt waits for files that are being written.
func TestInterruptWaitsForFiles(t *testing.T) {
	s := streams{in: never{}, out: io.Discard, err: io.Discard, writing: new(sync.Mutex)}
	interrupted := make(chan os.Signal, 1)
	signal.Notify(interrupted, syscall.SIGUSR2) // for Stop
	code := make(chan int)
	s.writing.Lock()
	interrupted <- os.Interrupt
	go func() { code <- interruptible([]string{"fit", "-"}, s, interrupted) }()
	select {
	case <-code:
		t.Fatal("it ended while a file was being written")
	case <-time.After(50 * time.Millisecond):
	}
	s.writing.Unlock()
	if c := <-code; c != exitInterrupted {
		t.Errorf("exit code %d", c)
	}
}

// never is an input that says nothing, for ever.
type never struct{}

func (never) Read([]byte) (int, error) { select {} }

// A reader that has seen enough, as head has, makes no noise.
func TestClosedPipe(t *testing.T) {
	inDemo(t)
	for _, args := range [][]string{{"fit", "lighthouse.csv"}, {"check", "lighthouse.csv", "--json"}, {"fit", "--help"}} {
		read, write, err := os.Pipe()
		if err != nil {
			t.Fatal(err)
		}
		read.Close()
		cmd := exec.Command("fitcoil", args...)
		var told bytes.Buffer
		cmd.Stdout, cmd.Stderr = write, &told
		err = cmd.Run()
		write.Close()
		status, ok := cmd.ProcessState.Sys().(syscall.WaitStatus)
		if !ok || !status.Signaled() || status.Signal() != syscall.SIGPIPE || told.Len() > 0 {
			t.Errorf("%v: %v, standard error %q; want the silent end that a closed pipe brings", args, err, told.String())
		}
	}
}

// A full disk behind standard output is told.
func TestFullOutput(t *testing.T) {
	inDemo(t)
	full, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
	if err != nil {
		t.Skip("this system has no /dev/full")
	}
	defer full.Close()
	cmd := exec.Command("fitcoil", "fit", "lighthouse.csv")
	var told bytes.Buffer
	cmd.Stdout, cmd.Stderr = full, &told
	err = cmd.Run()
	if code := cmd.ProcessState.ExitCode(); code != exitUnwritable || strings.Count(told.String(), "\n") != 1 {
		t.Errorf("exit code %d (%v), standard error %q", code, err, told.String())
	}
}
