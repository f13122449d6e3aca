package main

import (
	"bytes"
	"errors"
	"flag"
	"io/fs"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"fitcoil/internal/golden"
	"fitcoil/internal/must"

	"github.com/rogpeppe/go-internal/testscript"
)

// The test program runs as fitcoil itself where a script calls that.
func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"fitcoil": main})
}

var anyGolden = flag.Bool("any-golden", false, "let TestScripts take any output where it would compare with one of its own")

// Each script in testdata/script is a session at a shell, in a folder that
// holds the demo files. Beside the commands of testscript there are:
//
//	exits CODE COMMAND...  run it and expect the exit code; unless that is 0,
//	                       nothing on standard output, and on standard error
//	                       what a user can read
//	stamp FILE...          remember bytes and time stamps of files
//	untouched              expect both as they were, and no file beside
//	samefiles A B          expect the same files in two folders
func TestScripts(t *testing.T) {
	folder := filepath.Join("testdata", "script")
	if *anyGolden {
		copied := t.TempDir()
		must.Do(t, os.CopyFS(copied, os.DirFS(folder)))
		folder = copied
	}
	testscript.Run(t, testscript.Params{
		Dir:                 folder,
		UpdateScripts:       golden.Updating() || *anyGolden,
		RequireExplicitExec: true,
		Setup: func(env *testscript.Env) error {
			env.Values[stampKey{}] = map[string]stamp{}
			return copyDemo(env.WorkDir)
		},
		Condition: func(name string) (bool, error) {
			if name == "root" {
				return os.Geteuid() == 0, nil
			}
			return false, errors.New("no such condition")
		},
		Cmds: map[string]func(ts *testscript.TestScript, neg bool, args []string){
			"exits":     exits,
			"stamp":     stampFiles,
			"untouched": untouched,
			"samefiles": sameFiles,
		},
	})
}

// copyDemo copies the demo files, as a user would find them, into a folder.
func copyDemo(folder string) error {
	top := filepath.Join("..", "..", "testdata")
	return filepath.WalkDir(top, func(path string, d fs.DirEntry, err error) error {
		name, _ := filepath.Rel(top, path)
		switch {
		case err != nil:
			return err
		case d.IsDir() && (name == "." || name == "captures"):
			return os.MkdirAll(filepath.Join(folder, name), 0o777)
		case d.IsDir():
			return fs.SkipDir
		}
		content, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		return os.WriteFile(filepath.Join(folder, name), content, 0o666)
	})
}

// goWords are words that only a programmer would understand.
var goWords = regexp.MustCompile(`strconv|\bnil\b|panic|goroutine|runtime error|pflag|invalid argument|parsing|%!|0x[0-9a-f]|\.go\b|errno|<no value>`)

func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits CODE COMMAND...")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	code := 0
	var status *exec.ExitError
	if err := ts.Exec(args[1], args[2:]...); errors.As(err, &status) {
		code = status.ExitCode()
	} else {
		ts.Check(err)
	}
	out, told := ts.ReadFile("stdout"), ts.ReadFile("stderr")
	if code != want {
		ts.Fatalf("exit code %d, want %d", code, want)
	}
	if word := goWords.FindString(told); word != "" {
		ts.Fatalf("standard error holds %q", word)
	}
	if want == exitAnswered {
		return
	}
	if out != "" {
		ts.Fatalf("a failure has a result on standard output")
	}
	// The faults of a file are told one a line; all else is one line.
	if lines := strings.Count(told, "\n"); lines < 1 || lines > 1 && want != exitBadData {
		ts.Fatalf("a failure is told in %d lines", lines)
	}
}

type stampKey struct{}

type stamp struct {
	content []byte
	info    fs.FileInfo
}

func stampFiles(ts *testscript.TestScript, neg bool, args []string) {
	for _, name := range args {
		path := ts.MkAbs(name)
		info, err := os.Stat(path)
		ts.Check(err)
		content, err := os.ReadFile(path)
		ts.Check(err)
		ts.Value(stampKey{}).(map[string]stamp)[path] = stamp{content, info}
	}
}

func untouched(ts *testscript.TestScript, neg bool, args []string) {
	stamps := ts.Value(stampKey{}).(map[string]stamp)
	if neg || len(stamps) == 0 {
		ts.Fatalf("usage: stamp FILE... before untouched")
	}
	for path, old := range stamps {
		info, err := os.Stat(path)
		ts.Check(err)
		content, err := os.ReadFile(path)
		ts.Check(err)
		if !bytes.Equal(content, old.content) || !info.ModTime().Equal(old.info.ModTime()) ||
			info.Mode() != old.info.Mode() || !os.SameFile(info, old.info) {
			ts.Fatalf("%s was touched", path)
		}
	}
	ts.Check(filepath.WalkDir(ts.MkAbs("."), func(path string, d fs.DirEntry, err error) error {
		if err == nil && strings.HasPrefix(d.Name(), ".fitcoil-") {
			ts.Fatalf("%s was left behind", path)
		}
		return err
	}))
}

func sameFiles(ts *testscript.TestScript, neg bool, args []string) {
	var have [2]map[string]string
	for i := range have {
		if neg || len(args) != 2 {
			ts.Fatalf("usage: samefiles FOLDER FOLDER")
		}
		have[i] = map[string]string{}
		entries, err := os.ReadDir(ts.MkAbs(args[i]))
		ts.Check(err)
		for _, e := range entries {
			have[i][e.Name()] = ts.ReadFile(filepath.Join(args[i], e.Name()))
		}
	}
	if len(have[0]) == 0 || !maps.Equal(have[0], have[1]) {
		ts.Fatalf("%d and %d files that differ", len(have[0]), len(have[1]))
	}
}
