package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fitcoil/internal/must"
)

// At the bench, fit and check answer what the commands print of the log.
func TestLogAnswersAsCommandsDo(t *testing.T) {
	logs, err := filepath.Glob(filepath.Join("..", "..", "testdata", "formats", "log", "*"))
	if err != nil {
		t.Fatal(err)
	}
	for i, name := range logs {
		if logs[i], err = filepath.Abs(name); err != nil {
			t.Fatal(err)
		}
	}
	demo := must.Get(filepath.Abs(filepath.Join("..", "..", "testdata", "lighthouse.csv"))).In(t)
	t.Chdir(t.TempDir())
	tried := 0
	for _, name := range append(logs[:min(len(logs), 10)], demo) {
		content := must.Get(os.ReadFile(name)).In(t)
		copied := filepath.Base(name)
		must.Do(t, os.WriteFile(copied, content, 0o666))
		said := func(lines string, args ...string) (string, int) {
			var out, diagnostics bytes.Buffer
			code := run(args, streams{in: strings.NewReader(lines), out: &out, err: &diagnostics})
			return out.String(), code
		}
		for _, verb := range []string{"fit", "check"} {
			want, code := said("", verb, copied)
			if code != 0 {
				continue
			}
			tried++
			if got, code := said(verb+"\n.\n", "log", copied); code != 0 || !strings.Contains(got, "> "+verb+"\n"+want+"> .\n") {
				t.Errorf("%s: %s at the bench answers\n%s\nand as a command\n%s", copied, verb, got, want)
			}
		}
	}
	if tried < 15 {
		t.Errorf("only %d answers were compared", tried)
	}
}
