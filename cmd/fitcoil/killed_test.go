package main

import (
	"bufio"
	"bytes"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"fitcoil/internal/must"
	"fitcoil/ioformat/benchlog"
)

var kills = flag.Int("kills", 8, "how many logs being written TestLogIsKilled kills")

// A log holds each reading that was answered, whenever the program is killed.
func TestLogIsKilled(t *testing.T) {
	for i := range *kills {
		path := filepath.Join(t.TempDir(), "evening.csv")
		cmd := exec.Command("fitcoil", "log", path)
		in := must.Get(cmd.StdinPipe()).In(t)
		out := must.Get(cmd.StdoutPipe()).In(t)
		must.Do(t, cmd.Start())
		go func() {
			for n := range 200 {
				if _, err := fmt.Fprintf(in, "%.3fMHz added=%dpF\n", 2.5-0.01*float64(n), n+1); err != nil {
					return
				}
			}
		}()
		answered := make(chan int)
		go func() {
			n := 0
			for s := bufio.NewScanner(out); s.Scan(); {
				if strings.HasPrefix(s.Text(), "line ") {
					n++
				}
			}
			answered <- n
		}()
		time.Sleep(time.Duration(rand.IntN(300)) * time.Millisecond)
		cmd.Process.Kill()
		told := <-answered
		cmd.Wait()
		content, err := os.ReadFile(path)
		if os.IsNotExist(err) && told == 0 {
			continue
		}
		if err != nil {
			t.Fatalf("after %d answers: %v", told, err)
		}
		log, err := benchlog.Read(bytes.NewReader(content), "evening.csv", benchlog.Options{})
		if err != nil {
			t.Fatalf("killed log %d can't be read: %v\n%s", i, err, content)
		}
		if n := len(log.Readings); n < told || n > told+1 {
			t.Errorf("killed log %d holds %d readings, %d were answered", i, n, told)
		}
	}
}
