package main

import (
	"archive/tar"
	"archive/zip"
	"bytes"
	"compress/gzip"
	"debug/buildinfo"
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
		if f.Modified.Unix() == 1700000000 && (f.Mode() == 0o755) == strings.HasSuffix(f.Name, "/fitcoil.exe") {
			names = append(names, f.Name)
		}
	}
	return names
}

// part is a component of a bill.
type part struct {
	Type, Name, Version, PURL string
	Ref                       string `json:"bom-ref"`
	Licenses                  []struct{ License map[string]string }
}

// The bill of materials names each module once, with its version.
func TestBill(t *testing.T) {
	var b struct {
		BOMFormat, SpecVersion, SerialNumber string
		Version                              int
		Metadata                             struct {
			Timestamp string
			Component part
		}
		Components   []part
		Dependencies []struct {
			Ref       string
			DependsOn []string
		}
	}
	self := must.Get(os.Executable()).In(t)
	bill := must.Get(newBill("v1.2.3", time.Unix(1700000000, 0).UTC(), []string{self, self})).In(t)
	must.Do(t, json.Unmarshal(bill, &b))
	if b.BOMFormat != "CycloneDX" || b.SpecVersion != "1.6" || len(b.SerialNumber) != len("urn:uuid:")+36 {
		t.Errorf("%+v", b)
	}
	if id := b.SerialNumber; b.Version != 1 || id[23] != '8' || !strings.ContainsRune("89ab", rune(id[28])) { // RFC 9562: version 8 in octet 6, variant 10 in octet 8
		t.Errorf("version %d, serial number %s", b.Version, id)
	}
	own := b.Metadata.Component
	if b.Metadata.Timestamp != "2023-11-14T22:13:20Z" || own.Type != "application" || own.Name != "fitcoil" || own.Version != "v1.2.3" || len(own.Licenses) != 1 || own.Licenses[0].License["id"] != "MIT" || own.Licenses[0].License["name"] != "" {
		t.Errorf("%+v", b.Metadata)
	}
	info := must.Get(buildinfo.ReadFile(self)).In(t)
	want := map[string]string{"std": strings.TrimPrefix(info.GoVersion, "go")}
	for _, m := range info.Deps {
		want[m.Path] = m.Version
	}
	seen := map[string]bool{}
	for i, c := range b.Components {
		if seen[c.Name] || c.Version == "" || c.Version != want[c.Name] || c.PURL != "pkg:golang/"+c.Name+"@"+c.Version || c.Ref != c.PURL || c.Type != "library" || c.Licenses[0].License["name"] != "see THIRD-PARTY" || b.Dependencies[0].DependsOn[i] != c.Ref {
			t.Errorf("%+v", c)
		}
		seen[c.Name] = true
	}
	if len(seen) != len(want) || b.Dependencies[0].Ref != own.Ref || !slices.IsSorted(b.Dependencies[0].DependsOn) {
		t.Errorf("of %d modules there are %d; %+v", len(want), len(seen), b.Dependencies)
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
