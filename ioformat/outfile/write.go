package outfile

import (
	"os"
	"path/filepath"
)

// Options say what may be overwritten.
type Options struct {
	Force bool // overwrite what exists
	// Own tells whether the content of a file that exists may be overwritten without
	// Force; nil for none.
	Own    func(content []byte) bool
	Inputs []string // files that this run reads: never overwritten; "-" is skipped
}

// File is one file of a set.
type File struct {
	Name    string // within the folder of the set
	Content []byte
}

// Write writes content to the file path. A symbolic link to a file stays, and
// the file that it points at is written.
func Write(path string, content []byte, opt Options) error {
	return writeAll([]target{{path, content}}, opt)
}

// WriteAll writes all files into the folder dir, which is made if missing, or
// none of them.
func WriteAll(dir string, files []File, opt Options) error {
	made, err := makeFolder(dir)
	if err != nil {
		return failed(dir, err)
	}
	targets := make([]target, len(files))
	for i, f := range files {
		targets[i] = target{filepath.Join(dir, f.Name), f.Content}
	}
	if err := writeAll(targets, opt); err != nil {
		for _, d := range made { // empty ones only: Remove spares the others
			os.Remove(d)
		}
		return err
	}
	return nil
}

// makeFolder makes dir and what is missing above it, and returns what it made,
// the innermost first.
func makeFolder(dir string) (made []string, err error) {
	for d := filepath.Clean(dir); ; d = filepath.Dir(d) {
		if _, err := os.Stat(d); err == nil || !os.IsNotExist(err) || d == filepath.Dir(d) {
			break
		}
		made = append(made, d)
	}
	return made, os.MkdirAll(dir, 0o777)
}

type target struct {
	path    string
	content []byte
}

func writeAll(targets []target, opt Options) error {
	var staged []*staged
	for _, t := range targets {
		s, err := stage(t, opt)
		if err != nil {
			abandon(staged)
			return err
		}
		staged = append(staged, s)
	}
	swept := map[string]bool{}
	for _, s := range staged {
		if dir := filepath.Dir(s.path); !swept[dir] {
			swept[dir] = true
			sweep(dir, nil)
		}
	}
	for i, s := range staged {
		if err := s.commit(); err != nil {
			withdraw(staged[:i])
			abandon(staged[i:])
			return err
		}
	}
	return nil
}

// abandon removes temporary files.
func abandon(list []*staged) {
	for _, s := range list {
		s.abandon()
	}
}

// withdraw removes files that are new. Those that replaced an older file stay:
// they are whole, and the older ones are gone.
func withdraw(list []*staged) {
	for _, s := range list {
		if s.old == nil && s.temporary != "" {
			os.Remove(s.path)
		}
	}
}
