package main

import (
	"archive/tar"
	"archive/zip"
	"bytes"
	"compress/gzip"
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"fitcoil/internal/must"
)

// released packs this test's own program under the names of two.
func released(t *testing.T) (to string) {
	t.Helper()
	from, to := t.TempDir(), t.TempDir()
	self := must.Get(os.Executable()).In(t)
	for name, content := range map[string]string{"LICENSE": "free", "share/man/man1/fitcoil.1": ".TH"} {
		file := filepath.Join(from, "share", name)
		must.Do(t, os.MkdirAll(filepath.Dir(file), 0o777))
		must.Do(t, os.WriteFile(file, []byte(content), 0o666))
	}
	for _, name := range []string{"fitcoil-linux-amd64", "fitcoil-windows-arm64.exe"} {
		if err := os.Symlink(self, filepath.Join(from, name)); err != nil {
			t.Skip("symbolic links can't be made here")
		}
	}
	must.Do(t, run([]string{"v1.2.3", "1700000000", from, to}))
	return to
}

// An archive holds the program and what comes along, in a folder of its own, and is the
// same whenever and from wherever it is made.
func TestArchives(t *testing.T) {
	a, b := released(t), released(t)
	want := []string{"fitcoil", "fitcoil.cdx.json", "LICENSE", "share/man/man1/fitcoil.1"}
	for name, list := range map[string]func([]byte) []string{
		"fitcoil-v1.2.3-linux-amd64.tar.gz": inTar, "fitcoil-v1.2.3-windows-arm64.zip": inZip,
	} {
		content := read(t, filepath.Join(a, name))
		if !bytes.Equal(content, read(t, filepath.Join(b, name))) {
			t.Errorf("%s isn't the same a second time", name)
		}
		folder := strings.TrimSuffix(strings.TrimSuffix(name, ".tar.gz"), ".zip")
		got := list(content)
		for i, w := range want {
			if i == 0 && strings.Contains(name, "windows") {
				w += ".exe"
			}
			if !slices.Contains(got, folder+"/"+w) {
				t.Errorf("%s lacks %s: %q", name, w, got)
			}
		}
	}
}

func inTar(content []byte) (names []string) {
	z, err := gzip.NewReader(bytes.NewReader(content))
	if err != nil {
		return nil
	}
	for r := tar.NewReader(z); ; {
		h, err := r.Next()
		if err != nil {
			return names
		}
		if h.ModTime.Unix() == 1700000000 && (h.Mode == 0o755) == strings.HasSuffix(h.Name, "/fitcoil") {
			names = append(names, h.Name)
		}
	}
}

func inZip(content []byte) (names []string) {
	r, err := zip.NewReader(bytes.NewReader(content), int64(len(content)))
	if err != nil {
		return nil
	}
	for _, f := range r.File {
		if f.Modified.Unix() == 1700000000 {
			names = append(names, f.Name)
		}
	}
	return names
}

// The bill of materials names each module once, with its version.
func TestBill(t *testing.T) {
	var b struct {
		BOMFormat, SpecVersion, SerialNumber string
		Components                           []struct{ Name, Version, PURL string }
		Dependencies                         []struct{ DependsOn []string }
	}
	self := must.Get(os.Executable()).In(t)
	bill := must.Get(newBill("v1.2.3", time.Unix(1700000000, 0).UTC(), []string{self, self})).In(t)
	must.Do(t, json.Unmarshal(bill, &b))
	if b.BOMFormat != "CycloneDX" || b.SpecVersion != "1.6" || len(b.SerialNumber) != len("urn:uuid:")+36 {
		t.Errorf("%+v", b)
	}
	seen := map[string]bool{}
	for _, c := range b.Components {
		if seen[c.Name] || c.Version == "" || c.PURL != "pkg:golang/"+c.Name+"@"+c.Version {
			t.Errorf("%+v", c)
		}
		seen[c.Name] = true
	}
	if !seen["std"] || len(b.Dependencies) != 1 || len(b.Dependencies[0].DependsOn) != len(b.Components) {
		t.Errorf("%+v", b)
	}
}

func read(t *testing.T, file string) []byte {
	t.Helper()
	f := must.Get(os.Open(file)).In(t)
	defer f.Close()
	return must.Get(io.ReadAll(f)).In(t)
}
