// Command pack makes the archives and the bill of materials of a release; see
// scripts/release.sh, which builds what goes in.
//
//	pack VERSION SECONDS FROM TO
//
// FROM holds the programs, as fitcoil-linux-amd64, and a folder share of what goes into
// every archive. TO receives an archive for each program, its times SECONDS since 1970, and
// a bill of materials. The same input makes the same bytes.
package main

import (
	"archive/tar"
	"archive/zip"
	"compress/gzip"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strconv"
	"strings"
	"time"
)

func main() {
	if err := run(os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "pack:", err)
		os.Exit(1)
	}
}

func run(args []string) error {
	if len(args) != 4 {
		return fmt.Errorf("read %q, expected VERSION SECONDS FROM TO", args)
	}
	version, from, to := args[0], args[2], args[3]
	seconds, err := strconv.ParseInt(args[1], 10, 64)
	if err != nil {
		return err
	}
	programs, err := filepath.Glob(filepath.Join(from, "fitcoil-*"))
	if err != nil || len(programs) == 0 {
		return fmt.Errorf("no programs in %s: %v", from, err)
	}
	at := time.Unix(seconds, 0).UTC()
	bill, err := newBill(version, at, programs)
	if err != nil {
		return err
	}
	if err := os.WriteFile(filepath.Join(to, "fitcoil-"+version+".cdx.json"), bill, 0o666); err != nil {
		return err
	}
	for _, p := range programs {
		if err := pack(version, at, p, filepath.Join(from, "share"), bill, to); err != nil {
			return err
		}
	}
	return nil
}

// entry is a file of an archive.
type entry struct {
	name    string
	content []byte
	mode    fs.FileMode
}

// pack makes the archive of one program.
func pack(version string, at time.Time, program, share string, bill []byte, to string) error {
	system := strings.TrimSuffix(strings.TrimPrefix(filepath.Base(program), "fitcoil-"), ".exe")
	folder := "fitcoil-" + version + "-" + system
	content, err := os.ReadFile(program)
	if err != nil {
		return err
	}
	entries := []entry{{path.Join(folder, "fitcoil"+filepath.Ext(program)), content, 0o755},
		{path.Join(folder, "fitcoil.cdx.json"), bill, 0o644}}
	err = filepath.WalkDir(share, func(file string, d fs.DirEntry, err error) error { // in the order of names
		if err != nil || d.IsDir() {
			return err
		}
		content, err := os.ReadFile(file)
		if err != nil {
			return err
		}
		relative, err := filepath.Rel(share, file)
		entries = append(entries, entry{path.Join(folder, filepath.ToSlash(relative)), content, 0o644})
		return err
	})
	if err != nil {
		return err
	}
	write, suffix := writeTar, ".tar.gz"
	if strings.HasPrefix(system, "windows") {
		write, suffix = writeZip, ".zip"
	}
	f, err := os.Create(filepath.Join(to, folder+suffix))
	if err != nil {
		return err
	}
	if err := write(f, at, entries); err != nil {
		f.Close()
		return err
	}
	return f.Close()
}

func writeTar(w io.Writer, at time.Time, entries []entry) error {
	z, err := gzip.NewWriterLevel(w, gzip.BestCompression)
	if err != nil {
		return err
	}
	t := tar.NewWriter(z)
	for _, e := range entries {
		h := &tar.Header{Name: e.name, Mode: int64(e.mode), Size: int64(len(e.content)), ModTime: at, Format: tar.FormatPAX}
		if err := t.WriteHeader(h); err != nil {
			return err
		}
		if _, err := t.Write(e.content); err != nil {
			return err
		}
	}
	if err := t.Close(); err != nil {
		return err
	}
	return z.Close()
}

func writeZip(w io.Writer, at time.Time, entries []entry) error {
	z := zip.NewWriter(w)
	for _, e := range entries {
		h := &zip.FileHeader{Name: e.name, Method: zip.Deflate, Modified: at}
		h.SetMode(e.mode)
		f, err := z.CreateHeader(h)
		if err != nil {
			return err
		}
		if _, err := f.Write(e.content); err != nil {
			return err
		}
	}
	return z.Close()
}
