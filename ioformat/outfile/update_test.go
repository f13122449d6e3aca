package outfile

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"fitcoil/internal/must"
)

// become is an edit that doesn't look at what was there.
func become(content string) func([]byte) ([]byte, error) {
	return func([]byte) ([]byte, error) { return []byte(content), nil }
}

// line is an edit that adds a line.
func line(text string) func([]byte) ([]byte, error) {
	return func(old []byte) ([]byte, error) { return append(slices.Clip(old), text+"\n"...), nil }
}

func TestUpdate(t *testing.T) {
	dir := t.TempDir()
	path := put(t, filepath.Join(dir, "log.csv"), "f\n1\n")
	must.Do(t, os.Chmod(path, 0o600))
	link := filepath.Join(dir, "today.csv")
	if err := os.Symlink("log.csv", link); err != nil {
		t.Skip("symbolic links can't be made here")
	}
	must.Do(t, Update(link, line("2")))
	mustHold(t, path, "f\n1\n2\n")
	if info, _ := os.Lstat(path); info.Mode() != 0o600 {
		t.Errorf("mode became %v", info.Mode())
	}
	mustRefuse(t, replace(link, []byte("f\n1\n"), []byte("f\n1\n3\n")), Changed)
	mustHold(t, path, "f\n1\n2\n")

	own := errors.New("no")
	if err := Update(link, func([]byte) ([]byte, error) { return nil, own }); err != own {
		t.Errorf("the error of the edit became %v", err)
	}
	mustRefuse(t, Update(dir, line("1")), Failed)
	mustRefuse(t, Update(filepath.Join(dir, "none", "log.csv"), line("1")), Failed)
	fresh := filepath.Join(dir, "fresh.csv")
	must.Do(t, Update(fresh, line("1")))
	mustHold(t, fresh, "1\n")
	mustList(t, dir, "fresh.csv", "log.csv", "today.csv")
}

// Somebody who knows nothing of locks changes the file meanwhile.
func TestUpdateBeginsAnew(t *testing.T) {
	dir := t.TempDir()
	path, other := put(t, filepath.Join(dir, "log.csv"), "1\n"), filepath.Join(dir, "other")
	times := 0
	err := Update(path, func(old []byte) ([]byte, error) {
		switch times++; times {
		case 1: // as a text editor that writes into the file
			put(t, path, "1\n2\n")
		case 2: // as one that replaces it
			put(t, other, "1\n2\n3\n")
			must.Do(t, os.Rename(other, path))
		}
		return line("4")(old)
	})
	if err != nil || times != 3 {
		t.Fatalf("%v after %d times", err, times)
	}
	mustHold(t, path, "1\n2\n3\n4\n")
	mustList(t, dir, "log.csv")
}

// Four writers at once: each line of each is there in the end, whether the file
// was there before or not.
func TestUpdatesAtOnce(t *testing.T) {
	const writers, rounds = 4, 25
	dir := t.TempDir()
	for _, begin := range []string{"", "first\n"} {
		path := filepath.Join(dir, fmt.Sprintf("log%d", len(begin)))
		if begin != "" {
			put(t, path, begin)
		}
		var all sync.WaitGroup
		for w := range writers {
			all.Go(func() {
				for r := range rounds {
					if err := Update(path, line(fmt.Sprintf("%d.%d", w, r))); err != nil {
						t.Error(err)
					}
				}
			})
		}
		all.Wait()
		content, _ := os.ReadFile(path)
		lines := strings.Split(string(content), "\n")
		seen := map[string]bool{}
		for _, l := range lines {
			seen[l] = true
		}
		for w := range writers {
			for r := range rounds {
				if l := fmt.Sprintf("%d.%d", w, r); !seen[l] {
					t.Errorf("line %s is lost", l)
				}
			}
		}
		if want := writers*rounds + len(begin)/6 + 1; len(lines) != want {
			t.Errorf("%d lines, want %d", len(lines), want)
		}
	}
	mustList(t, dir, "log0", "log6")
}

// A second name would keep the old content.
func TestHardLink(t *testing.T) {
	dir := t.TempDir()
	path := put(t, filepath.Join(dir, "log.csv"), "old")
	if err := os.Link(path, filepath.Join(dir, "second.csv")); err != nil {
		t.Skip("hard links can't be made here")
	}
	err := Update(path, become("new"))
	mustRefuse(t, err, Failed)
	if !strings.Contains(err.Error(), "2 names (hard links)") {
		t.Error(err)
	}
	mustHold(t, path, "old")
	mustList(t, dir, "log.csv", "second.csv")
}

// What a killed run left is cleared, what another has in use stays, as does
// what is named a little otherwise.
func TestLeftOver(t *testing.T) {
	if !keepsOpen {
		t.Skip("here a left-over file goes after ten minutes only")
	}
	dir := t.TempDir()
	put(t, filepath.Join(dir, ".fitcoil-0123456789abcdef"), "left")
	put(t, filepath.Join(dir, ".fitcoil-notes"), "mine")
	live := must.Get(create(dir)).In(t)
	defer live.Close()
	path := filepath.Join(dir, "page.html")
	must.Do(t, Write(path, []byte("whole"), Options{}))
	mustList(t, dir, filepath.Base(live.Name()), ".fitcoil-notes", "page.html")

	// killed between the two steps of giving a new file its name
	left := filepath.Join(dir, ".fitcoil-fedcba9876543210")
	if err := os.Link(path, left); err != nil {
		t.Skip("hard links can't be made here")
	}
	must.Do(t, Update(path, become("new")))
	mustHold(t, path, "new")
	mustList(t, dir, filepath.Base(live.Name()), ".fitcoil-notes", "page.html")
}
