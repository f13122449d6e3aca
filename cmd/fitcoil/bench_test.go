package main

import (
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"fitcoil/internal/must"
)

// Whole commands on the demo log of 20 readings. The parts at hand make 114
// candidates of next, of which one to five are planned.
var benchmarked = []struct {
	name string
	args []string
}{
	{"version", []string{"version"}}, // what starting alone takes
	{"fit", []string{"fit", "lighthouse.csv"}},
	{"predict", []string{"predict", "lighthouse.csv", "--states", "planned.csv"}},
	{"next", []string{"next", "lighthouse.csv", "--for", "L", "--have", "1pF,3.3pF,15pF,47pF"}},
	{"next5", []string{"next", "lighthouse.csv", "--for", "L", "--have", "1pF,3.3pF,15pF,47pF", "--how-many", "5"}},
}

// BenchmarkProcess runs the program as a shell does: starting, reading, fitting
// and writing.
func BenchmarkProcess(b *testing.B) {
	program := filepath.Join(b.TempDir(), "fitcoil.exe")
	if out, err := exec.Command("go", "build", "-trimpath", "-o", program, ".").CombinedOutput(); err != nil {
		b.Fatalf("%v\n%s", err, out)
	}
	for _, c := range benchmarked {
		b.Run(c.name, func(b *testing.B) {
			var user float64
			for b.Loop() {
				run := exec.Command(program, c.args...)
				run.Dir = demo
				must.Do(b, run.Run())
				user += (run.ProcessState.UserTime() + run.ProcessState.SystemTime()).Seconds()
			}
			b.ReportMetric(1e3*user/float64(b.N), "cpu-ms/op")
		})
	}
}

// BenchmarkInside is the same without the start of a process.
func BenchmarkInside(b *testing.B) {
	b.Chdir(demo)
	for _, c := range benchmarked {
		b.Run(c.name, func(b *testing.B) {
			for b.Loop() {
				if code := run(c.args, streams{in: os.Stdin, out: io.Discard, err: io.Discard}); code != exitAnswered {
					b.Fatalf("exit code %d", code)
				}
			}
		})
	}
}

var demo = filepath.Join("..", "..", "testdata")

// BenchmarkMillion fits the log of a counter left running for a million readings,
// beside reading it alone (check).
func BenchmarkMillion(b *testing.B) {
	log := filepath.Join(b.TempDir(), "counter.csv")
	must.Do(b, os.WriteFile(log, []byte(counter(1_000_000)), 0o666))
	for _, name := range []string{"check", "fit"} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if code := run([]string{name, log}, streams{in: os.Stdin, out: io.Discard, err: io.Discard}); code != exitAnswered {
					b.Fatalf("exit code %d", code)
				}
			}
		})
	}
}
